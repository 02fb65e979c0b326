//! The tables that follow from the entries: lists, history, search.
//!
//! One function works them out of a ledger, [`Derived::of`]; writing an entry, rebuilding and verifying all use it.

use crate::error::StoreError;
use crate::history::History;
use crate::lists::{self, COLUMNS, JobRow, job_row};
use crate::reader::fold_job;
use crate::rows::of_ledger;
use crate::search::terms;
use hingeline_bench::record::deed::Deed;
use hingeline_bench::record::job::Unreadable;
use hingeline_bench::record::ledger::{Entry, Stored};
use hingeline_bench::record::shop::LEDGER;
use rusqlite::{Connection, OptionalExtension};

/// What follows from a ledger of the shop.
#[derive(Debug, PartialEq)]
pub(crate) struct Derived {
    /// The place of its first entry.
    pub(crate) id: u64,
    /// Its row in the lists.
    pub(crate) row: JobRow,
    /// Its part in the history of its surface.
    pub(crate) history: History,
}

/// The number of the job that a ledger is of; none where it is that of the shop.
pub(crate) fn job_of(ledger: &str) -> Result<Option<&str>, StoreError> {
    match ledger.strip_prefix("job ") {
        _ if ledger == LEDGER => Ok(None),
        Some(number) if !number.is_empty() && number.trim() == number => Ok(Some(number)),
        _ => Err(StoreError::UnknownLedger { ledger: ledger.to_owned() }),
    }
}

/// A decimal text of an outcome.
pub(crate) fn decimal(job: &str, entry: u64, given: &str) -> Result<f64, StoreError> {
    let number = given.parse::<f64>().ok().filter(|number| number.is_finite());
    let wrong = || StoreError::NotANumber { ledger: job.to_owned(), entry, given: given.to_owned() };
    number.ok_or_else(wrong)
}

/// The deed of an entry.
pub(crate) fn deed(entry: &Entry) -> Result<Deed, StoreError> {
    serde_json::from_str(&entry.body).map_err(|error| StoreError::Unreadable {
        ledger: entry.ledger.clone(),
        source: Unreadable { number: entry.number, why: error.to_string() },
    })
}

impl Derived {
    /// What follows from the entries of a job.
    pub(crate) fn of(number: &str, entries: &[Stored]) -> Result<Option<Self>, StoreError> {
        let Some(first) = entries.first() else { return Ok(None) };
        let job = fold_job(&first.entry.ledger, entries)?;
        let row = JobRow::of(number, &job, entries)?;
        Ok(Some(Self { id: first.place, row, history: History::of(number, &job)? }))
    }

    /// What the tables hold of a job.
    pub(crate) fn read(connection: &Connection, id: u64) -> Result<Option<Self>, StoreError> {
        let query = format!("SELECT {COLUMNS} FROM job WHERE id = ?1");
        let row = connection.prepare_cached(&query)?.query_row([id], job_row).optional()?;
        let Some(row) = row else { return Ok(None) };
        Ok(Some(Self { id, row, history: History::read(connection, id)? }))
    }

    /// Brings the tables to this state.
    fn write(&self, connection: &Connection) -> Result<(), StoreError> {
        // What cannot be read is written anew: the record never waits for what is derived from it.
        let known = Self::read(connection, self.id).ok().flatten().map(|known| terms(&known.row));
        let terms = terms(&self.row);
        connection.prepare_cached("DELETE FROM job WHERE id = ?1")?.execute([self.id])?;
        lists::insert(connection, self.id, &self.row)?;
        self.history.insert(connection, self.id)?;
        if known.as_ref() == Some(&terms) {
            return Ok(());
        }
        connection.prepare_cached("DELETE FROM search WHERE rowid = ?1")?.execute([self.id])?;
        let insert = "INSERT INTO search (rowid, terms) VALUES (?1, ?2)";
        connection.prepare_cached(insert)?.execute((self.id, terms))?;
        Ok(())
    }
}

/// Brings the tables up to date with one ledger.
pub(crate) fn renew(connection: &Connection, ledger: &str) -> Result<(), StoreError> {
    let Some(number) = job_of(ledger)? else { return Ok(()) };
    match Derived::of(number, &of_ledger(connection, ledger)?)? {
        Some(derived) => derived.write(connection),
        None => Ok(()),
    }
}

const EMPTY: &str = "DELETE FROM event; DELETE FROM point; DELETE FROM job;
    INSERT INTO search (search) VALUES ('delete-all');";

/// Empties the tables and fills them again; gives the number of jobs.
pub(crate) fn rebuild(connection: &Connection) -> Result<u64, StoreError> {
    connection.execute_batch(EMPTY)?;
    let ledgers = crate::rows::all(connection, LEDGERS, [], |row| row.get::<_, String>(0))?;
    for ledger in &ledgers {
        renew(connection, ledger)?;
    }
    connection.execute("UPDATE derived_by SET version = ?1", [VERSION])?;
    Ok(connection.query_row("SELECT count(*) FROM job", [], |row| row.get(0))?)
}

/// Whether another version derived the tables: it may have seen the same entries in another way.
pub(crate) fn is_of_another_version(connection: &Connection) -> Result<bool, StoreError> {
    let version: String = connection.query_row("SELECT version FROM derived_by", [], |row| row.get(0))?;
    Ok(version != VERSION)
}

const VERSION: &str = env!("CARGO_PKG_VERSION");

/// All ledgers, in the order of their first entries.
pub(crate) const LEDGERS: &str = "SELECT ledger FROM entry WHERE number = 1 ORDER BY place";
