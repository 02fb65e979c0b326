//! What was typed on a page and is not entered yet, field by field. Main types: [`FormDraft`], [`Typed`].
//!
//! One counter runs through the whole shop, so that "since" has a meaning across people, fields and forms. A page
//! keeps for every field the newest revision it knows: that of the form when it was loaded, then that of its own save.

use crate::error::StoreError;
use crate::reader::Reader;
use crate::rows::all;
use crate::store::Store;
use rusqlite::{Connection, OptionalExtension, Row};

/// One field as a page sends it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Typed<'a> {
    /// The number of the job, or another name for what the form belongs to.
    pub job: &'a str,
    /// The form.
    pub form: &'a str,
    /// The field.
    pub field: &'a str,
    /// What stands in it now; empty where it was emptied.
    pub value: &'a str,
    /// The newest revision of this field that the page knows.
    pub seen_rev: u64,
    /// Who.
    pub by: &'a str,
    /// When, UTC, RFC 3339.
    pub at: &'a str,
}

/// A form as it was typed so far.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FormDraft {
    /// The newest revision of the shop; a page that shows this form has seen everything up to it.
    pub rev: u64,
    /// The revision under which it was entered or emptied last; 0 for never. What a page knows from before is no more.
    pub cleared: u64,
    /// Its fields, in the order of their names.
    pub fields: Vec<DraftField>,
}

/// A field as it was typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftField {
    /// Its name.
    pub field: String,
    /// What stands in it.
    pub value: String,
    /// The revision it was saved under.
    pub rev: u64,
    /// Who saved it.
    pub by: String,
    /// When.
    pub at: String,
}

/// A form of a job that somebody typed into and did not enter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unfinished {
    /// The number of the job.
    pub job: String,
    /// The form.
    pub form: String,
    /// Who changed it last.
    pub by: String,
    /// When.
    pub at: String,
}

/// A field was saved, or stood there already.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DraftSaved {
    /// The revision to send with the next save of this field.
    pub rev: u64,
}

impl Reader {
    /// What was typed into a form so far.
    ///
    /// # Errors
    /// - [`StoreError::Database`]: the database refused
    pub fn draft(&self, job: &str, form: &str) -> Result<FormDraft, StoreError> {
        let query =
            "SELECT field, value, rev, \"by\", at FROM draft WHERE job = ?1 AND form = ?2 ORDER BY field";
        self.read(|connection| {
            let snapshot = connection.unchecked_transaction()?;
            let rev = snapshot.query_row("SELECT rev FROM draft_rev", [], |row| row.get(0))?;
            let cleared = cleared(&snapshot, job, form)?.unwrap_or(0);
            Ok(FormDraft { rev, cleared, fields: all(&snapshot, query, [job, form], draft_field)? })
        })
    }
}

impl Reader {
    /// The forms that were typed into and not entered, the one changed last first; those in which every field was
    /// emptied again are left out.
    ///
    /// # Errors
    /// - [`StoreError::Database`]: the database refused
    pub fn unfinished(&self) -> Result<Vec<Unfinished>, StoreError> {
        let query = "SELECT draft.job, draft.form, draft.\"by\", draft.at FROM draft JOIN
            (SELECT job, form, MAX(rev) AS rev, MAX(LENGTH(value)) AS longest FROM draft GROUP BY job, form) AS newest
            ON draft.job = newest.job AND draft.form = newest.form AND draft.rev = newest.rev
            WHERE newest.longest > 0 ORDER BY draft.rev DESC";
        self.read(|connection| {
            Ok(all(connection, query, [], |row| {
                Ok(Unfinished { job: row.get(0)?, form: row.get(1)?, by: row.get(2)?, at: row.get(3)? })
            })?)
        })
    }
}

impl Store {
    /// Saves what was typed into a field.
    ///
    /// Nobody overwrites another person's text without having seen it. One's own text from another tablet is
    /// overwritten, since the saves of one page may overtake each other.
    ///
    /// # Errors
    /// - [`StoreError::DraftConflict`]: another person saved a different text in between
    /// - [`StoreError::DraftGone`]: the form was entered or emptied in between
    /// - [`StoreError::Database`]: the database refused
    pub fn save_draft(&self, typed: &Typed<'_>) -> Result<DraftSaved, StoreError> {
        self.write(|transaction| save(transaction, typed))
    }

    /// Empties a form.
    ///
    /// # Errors
    /// - [`StoreError::Database`]: the database refused
    pub fn clear_draft(&self, job: &str, form: &str) -> Result<(), StoreError> {
        self.write(|transaction| clear(transaction, job, form))
    }
}

fn save(connection: &Connection, typed: &Typed<'_>) -> Result<DraftSaved, StoreError> {
    let Typed { job, form, field, value, seen_rev, by, at } = *typed;
    if cleared(connection, job, form)?.is_some_and(|cleared| cleared > seen_rev) {
        return Err(StoreError::DraftGone { job: job.to_owned(), form: form.to_owned() });
    }
    let stands =
        "SELECT field, value, rev, \"by\", at FROM draft WHERE job = ?1 AND form = ?2 AND field = ?3";
    if let Some(stands) = connection.query_row(stands, [job, form, field], draft_field).optional()? {
        if stands.value == value {
            return Ok(DraftSaved { rev: stands.rev });
        }
        if stands.rev > seen_rev && stands.by != by {
            return Err(StoreError::DraftConflict {
                field: field.to_owned(),
                mine: value.to_owned(),
                theirs: stands.value,
                by: stands.by,
                rev: stands.rev,
            });
        }
    }
    let rev = next_rev(connection)?;
    let save = "INSERT OR REPLACE INTO draft (job, form, field, value, rev, \"by\", at)
        VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)";
    connection.execute(save, (job, form, field, value, rev, by, at))?;
    Ok(DraftSaved { rev })
}

/// The revision under which a form was entered or emptied last.
fn cleared(connection: &Connection, job: &str, form: &str) -> Result<Option<u64>, StoreError> {
    let query = "SELECT rev FROM draft_cleared WHERE job = ?1 AND form = ?2";
    Ok(connection.query_row(query, [job, form], |row| row.get(0)).optional()?)
}

/// Empties a form, in a transaction of the caller.
pub(crate) fn clear(connection: &Connection, job: &str, form: &str) -> Result<(), StoreError> {
    let rev = next_rev(connection)?;
    connection.execute("DELETE FROM draft WHERE job = ?1 AND form = ?2", [job, form])?;
    let note = "INSERT OR REPLACE INTO draft_cleared (job, form, rev) VALUES (?1, ?2, ?3)";
    connection.execute(note, (job, form, rev))?;
    Ok(())
}

fn next_rev(connection: &Connection) -> Result<u64, StoreError> {
    let next = "UPDATE draft_rev SET rev = rev + 1 RETURNING rev";
    Ok(connection.query_row(next, [], |row| row.get(0))?)
}

fn draft_field(row: &Row<'_>) -> rusqlite::Result<DraftField> {
    Ok(DraftField {
        field: row.get(0)?,
        value: row.get(1)?,
        rev: row.get(2)?,
        by: row.get(3)?,
        at: row.get(4)?,
    })
}
