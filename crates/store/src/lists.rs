//! Lists of jobs. Main types: [`JobRow`], [`Filter`], [`Aircraft`].
//!
//! A row is derived from the job's ledger; what a page decides by, it takes from [`Reader::job`].

use crate::error::StoreError;
use crate::reader::Reader;
use crate::rows::all;
use hingeline_bench::record::job::Job;
use hingeline_bench::record::ledger::Stored;
use hingeline_bench::record::way::Step;
use rusqlite::types::{ToSql, Type};
use rusqlite::{Connection, Row};

/// A job in a list.
#[derive(Debug, Clone, PartialEq)]
pub struct JobRow {
    /// Its number.
    pub number: String,
    /// The surface.
    pub surface: String,
    /// Its part number.
    pub part: String,
    /// Its serial number.
    pub serial: String,
    /// The aircraft; empty where it is not stated.
    pub aircraft: String,
    /// The work order; empty where it is not stated.
    pub work_order: String,
    /// The first step that misses something.
    pub step: Step,
    /// Whether it is released.
    pub state: State,
    /// When its first entry was made, UTC, RFC 3339.
    pub opened: String,
    /// When its last entry was made.
    pub changed: String,
    /// How many entries its ledger has.
    pub entries: u64,
    /// The last weighing that counts.
    pub last: Option<LastWeighing>,
}

/// Whether a job is released.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    /// Work goes on.
    Open,
    /// Its release sheet was made, and nothing has taken the signatures away since.
    Released,
}

impl State {
    const ALL: [(Self, &'static str); 2] = [(Self::Open, "open"), (Self::Released, "released")];
    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::Released => "released",
        }
    }
}

/// The last weighing of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct LastWeighing {
    /// "as found" or "as left".
    pub stage: String,
    /// Static moment, kg m, positive tail-heavy.
    pub moment_kg_m: f64,
    /// "within" or "outside".
    pub verdict: String,
    /// "clear", or why it is in doubt: "doubtful", "friction hides it", "no uncertainty is stated".
    pub doubt: String,
}

/// Which jobs are listed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Filter {
    /// All of them.
    All,
    /// Those that are not released.
    Open,
    /// Those that are.
    Released,
    /// Those of an aircraft, as it is written on the job.
    OfAircraft(String),
    /// Those of one surface: its part and serial number.
    OfPart {
        /// The part number.
        part: String,
        /// The serial number.
        serial: String,
    },
}

/// An aircraft that jobs were done for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Aircraft {
    /// As it is written on the jobs.
    pub name: String,
    /// How many jobs.
    pub jobs: u64,
    /// How many of them are not released.
    pub open: u64,
    /// When one of them last changed.
    pub changed: String,
}

impl Filter {
    /// The condition on the table, and its two arguments.
    fn condition(&self) -> (&'static str, [&str; 2]) {
        match self {
            Self::All => ("?1 = '' AND ?2 = ''", ["", ""]),
            Self::Open => ("state = ?1 AND ?2 = ''", [State::Open.word(), ""]),
            Self::Released => ("state = ?1 AND ?2 = ''", [State::Released.word(), ""]),
            Self::OfAircraft(name) => ("aircraft = ?1 AND ?2 = ''", [name, ""]),
            Self::OfPart { part, serial } => ("part = ?1 AND serial = ?2", [part, serial]),
        }
    }
}

/// The columns of a row, in the order in which [`job_row`] reads and [`insert`] writes them.
pub(crate) const COLUMNS: &str =
    "number, surface, part, serial, aircraft, work_order, step, state, opened, changed,
    entries, last_stage, last_moment_kg_m, last_verdict, last_doubt";

impl Reader {
    /// Jobs, the newest first.
    ///
    /// # Errors
    /// - [`StoreError::Database`]: the database refused
    pub fn jobs(&self, filter: &Filter, limit: u64, offset: u64) -> Result<Vec<JobRow>, StoreError> {
        let (condition, [first, second]) = filter.condition();
        let query =
            format!("SELECT {COLUMNS} FROM job WHERE {condition} ORDER BY id DESC LIMIT ?3 OFFSET ?4");
        self.read(|connection| Ok(all(connection, &query, (first, second, limit, offset), job_row)?))
    }

    /// How many jobs there are.
    ///
    /// # Errors
    /// - [`StoreError::Database`]: the database refused
    pub fn count(&self, filter: &Filter) -> Result<u64, StoreError> {
        let (condition, arguments) = filter.condition();
        let query = format!("SELECT count(*) FROM job WHERE {condition}");
        self.read(|connection| {
            Ok(connection.prepare_cached(&query)?.query_row(arguments, |row| row.get(0))?)
        })
    }

    /// The aircraft that jobs were done for, in the order of their names.
    ///
    /// # Errors
    /// - [`StoreError::Database`]: the database refused
    pub fn aircraft(&self) -> Result<Vec<Aircraft>, StoreError> {
        let query = "SELECT aircraft, count(*), sum(state = ?1), max(changed) FROM job
            WHERE aircraft <> '' GROUP BY aircraft ORDER BY aircraft";
        self.read(|connection| {
            let row = |row: &Row<'_>| {
                Ok(Aircraft { name: row.get(0)?, jobs: row.get(1)?, open: row.get(2)?, changed: row.get(3)? })
            };
            Ok(all(connection, query, [State::Open.word()], row)?)
        })
    }
}

impl JobRow {
    /// The row of a job.
    pub(crate) fn of(number: &str, job: &Job, entries: &[Stored]) -> Result<Self, StoreError> {
        let text = |key: &str| job.text(key).to_owned();
        let at = |stored: Option<&Stored>| stored.map(|stored| stored.entry.at.clone()).unwrap_or_default();
        let last = job.weighings.last().map(|weighing| {
            let outcome = &weighing.outcome;
            Ok::<_, StoreError>(LastWeighing {
                stage: weighing.stage().to_owned(),
                moment_kg_m: crate::derive::decimal(number, weighing.entry, &outcome.moment_kg_m)?,
                verdict: outcome.verdict.clone(),
                doubt: outcome.doubt.clone(),
            })
        });
        Ok(Self {
            number: number.to_owned(),
            surface: text("surface"),
            part: text("part"),
            serial: text("serial"),
            aircraft: text("aircraft"),
            work_order: text("work_order"),
            step: job.now(),
            state: if job.released.is_some() { State::Released } else { State::Open },
            opened: at(entries.first()),
            changed: at(entries.last()),
            entries: job.entries,
            last: last.transpose()?,
        })
    }
}

/// Reads a row.
pub(crate) fn job_row(row: &Row<'_>) -> rusqlite::Result<JobRow> {
    let unknown = |column: usize| rusqlite::Error::InvalidColumnType(column, "word".to_owned(), Type::Text);
    let (step, state): (String, String) = (row.get(6)?, row.get(7)?);
    let step = Step::ALL.iter().find(|(_, address, _)| *address == step).ok_or_else(|| unknown(6))?.0;
    let state = State::ALL.iter().find(|(_, word)| *word == state).ok_or_else(|| unknown(7))?.0;
    let last = match row.get(11)? {
        None => None,
        Some(stage) => Some(LastWeighing {
            stage,
            moment_kg_m: row.get(12)?,
            verdict: row.get(13)?,
            doubt: row.get(14)?,
        }),
    };
    Ok(JobRow {
        number: row.get(0)?,
        surface: row.get(1)?,
        part: row.get(2)?,
        serial: row.get(3)?,
        aircraft: row.get(4)?,
        work_order: row.get(5)?,
        step,
        state,
        opened: row.get(8)?,
        changed: row.get(9)?,
        entries: row.get(10)?,
        last,
    })
}

/// Writes a row.
pub(crate) fn insert(connection: &Connection, id: u64, row: &JobRow) -> Result<(), StoreError> {
    let (_, step, _) = Step::ALL.iter().find(|(step, ..)| *step == row.step).unwrap_or(&Step::ALL[0]);
    let last = row.last.as_ref();
    let values: [&dyn ToSql; 16] = [
        &row.number,
        &row.surface,
        &row.part,
        &row.serial,
        &row.aircraft,
        &row.work_order,
        step,
        &row.state.word(),
        &row.opened,
        &row.changed,
        &row.entries,
        &last.map(|last| &last.stage),
        &last.map(|last| last.moment_kg_m),
        &last.map(|last| &last.verdict),
        &last.map(|last| &last.doubt),
        &id,
    ];
    let query = format!(
        "INSERT INTO job ({COLUMNS}, id) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16)"
    );
    connection.prepare_cached(&query)?.execute(values)?;
    Ok(())
}
