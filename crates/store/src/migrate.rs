//! Bringing a database up to date, step by step.
//!
//! The layout is counted in SQLite's `user_version`; step n leads from layout n - 1 to n in one transaction.
//! `schema.sql` is the end state, for reading.

use crate::error::StoreError;
use rusqlite::{Connection, TransactionBehavior};
use std::path::Path;

/// The steps, in order.
pub(crate) const STEPS: [&str; 1] = [include_str!("../steps/1.sql")];

/// The layout that this version reads and writes.
pub(crate) const LAYOUT: i64 = STEPS.len() as i64;

/// Marks a database as one of this program's, in its header.
const APPLICATION: i64 = 0x4869_6e67;

fn pragma(connection: &Connection, name: &str) -> Result<i64, StoreError> {
    Ok(connection.pragma_query_value(None, name, |row| row.get(0))?)
}

/// Runs the steps that a database has not seen.
pub(crate) fn run(connection: &mut Connection, steps: &[&str], path: &Path) -> Result<(), StoreError> {
    check_owner(connection, path)?;
    loop {
        let step = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let (found, known) = (pragma(&step, "user_version")?, steps.len() as i64);
        if found > known {
            return Err(StoreError::Newer { found, known });
        }
        let Some(sql) = usize::try_from(found).ok().and_then(|found| steps.get(found)) else { return Ok(()) };
        step.execute_batch(sql)?;
        step.pragma_update(None, "application_id", APPLICATION)?;
        step.pragma_update(None, "user_version", found + 1)?;
        step.commit()?;
    }
}

/// Says whether a database is of the layout that this version reads.
pub(crate) fn check(connection: &Connection, path: &Path) -> Result<(), StoreError> {
    check_owner(connection, path)?;
    let (found, known) = (pragma(connection, "user_version")?, LAYOUT);
    match found.cmp(&known) {
        std::cmp::Ordering::Less => Err(StoreError::Older { found, known }),
        std::cmp::Ordering::Equal => Ok(()),
        std::cmp::Ordering::Greater => Err(StoreError::Newer { found, known }),
    }
}

/// A database with tables and without our mark is another program's.
pub(crate) fn check_owner(connection: &Connection, path: &Path) -> Result<(), StoreError> {
    let foreign = || StoreError::Foreign { path: path.to_path_buf() };
    let tables = connection.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get::<_, i64>(0));
    let tables = match tables {
        Err(rusqlite::Error::SqliteFailure(error, _)) if error.code == rusqlite::ErrorCode::NotADatabase => {
            return Err(foreign());
        }
        tables => tables?,
    };
    let mark = pragma(connection, "application_id")?;
    if mark == APPLICATION || (tables == 0 && mark == 0) { Ok(()) } else { Err(foreign()) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn database() -> Connection {
        Connection::open_in_memory().expect("memory")
    }
    fn tables(connection: &Connection) -> Vec<String> {
        let mut query = connection.prepare("SELECT name FROM sqlite_schema ORDER BY name").expect("SQL");
        query.query_map([], |row| row.get(0)).expect("rows").collect::<Result<_, _>>().expect("names")
    }
    fn path() -> &'static Path {
        Path::new("hingeline.db")
    }

    #[test]
    fn every_step_in_the_folder_is_run() {
        let folder = std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/steps")).expect("a folder");
        assert_eq!(folder.count(), STEPS.len());
    }

    #[test]
    fn only_the_steps_not_seen_are_run() {
        let mut connection = database();
        run(&mut connection, &["CREATE TABLE one (a)"], path()).expect("one step");
        run(&mut connection, &["CREATE TABLE one (a)", "CREATE TABLE two (a)"], path()).expect("the next");
        run(&mut connection, &["CREATE TABLE one (a)", "CREATE TABLE two (a)"], path()).expect("none left");
        assert_eq!(tables(&connection), ["one", "two"]);
        assert_eq!(pragma(&connection, "user_version").expect("a number"), 2);
    }

    #[test]
    fn a_step_that_fails_leaves_nothing_behind() {
        let mut connection = database();
        let steps = ["CREATE TABLE one (a)", "CREATE TABLE two (a); CREATE TABLE two (a)"];
        run(&mut connection, &steps, path()).expect_err("the second step is wrong");
        assert_eq!(tables(&connection), ["one"]);
        assert_eq!(pragma(&connection, "user_version").expect("a number"), 1);
    }

    #[test]
    fn a_newer_layout_is_refused() {
        let mut connection = database();
        run(&mut connection, &["CREATE TABLE one (a)", "CREATE TABLE two (a)"], path()).expect("two steps");
        let error = run(&mut connection, &["CREATE TABLE one (a)"], path()).expect_err("newer");
        assert!(matches!(error, StoreError::Newer { found: 2, known: 1 }));
    }

    #[test]
    fn a_database_of_another_program_is_refused() {
        let mut connection = database();
        connection.execute_batch("CREATE TABLE theirs (a)").expect("SQL");
        let error = run(&mut connection, &STEPS, path()).expect_err("not ours");
        assert!(matches!(error, StoreError::Foreign { .. }));
        assert_eq!(tables(&connection), ["theirs"]);
    }
}
