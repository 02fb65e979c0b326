//! The layout of the database: brought up to date step by step, and refused where it is not ours to touch.

use crate::shop::{bench, database, noted, rows, write};
use hingeline_store::{Reader, Store, StoreError};
use rusqlite::Connection;
use std::path::Path;

const SCHEMA: &str = "SELECT type, name, tbl_name, sql FROM sqlite_schema ORDER BY type, name";

#[test]
fn a_fresh_shop_has_the_layout_of_the_schema() {
    let bench = bench();
    let written = Connection::open_in_memory().expect("memory");
    written.execute_batch(include_str!("../../schema.sql")).expect("the schema");
    assert_eq!(rows(&database(bench.folder.path()), SCHEMA), rows(&written, SCHEMA));
    for (setting, value) in [("journal_mode", "wal"), ("user_version", "1")] {
        let get = format!("SELECT CAST({setting} AS TEXT) FROM pragma_{setting}");
        let found: String =
            database(bench.folder.path()).query_row(&get, [], |row| row.get(0)).expect("a setting");
        assert_eq!(found, value, "{setting}");
    }
}

#[test]
fn opening_twice_changes_nothing() {
    let bench = bench();
    write(&bench.store, "job HP-1", &noted("one"));
    let before = rows(&database(bench.folder.path()), SCHEMA);
    let heads = bench.store.verify().expect("it fits");
    drop(bench.store);
    let again = Store::open(bench.folder.path()).expect("again");
    assert_eq!(again.verify().expect("it fits"), heads);
    assert_eq!(rows(&database(bench.folder.path()), SCHEMA), before);
}

fn version(folder: &Path, version: i64) {
    database(folder).pragma_update(None, "user_version", version).expect("a version");
}

#[test]
fn a_newer_layout_is_refused_and_left_alone() {
    let bench = bench();
    drop(bench.store);
    version(bench.folder.path(), 99);
    let error = Store::open(bench.folder.path()).expect_err("newer");
    assert!(matches!(error, StoreError::Newer { found: 99, known: 1 }));
    assert_eq!(error.to_string(), "the database has layout 99, and this version knows layouts up to 1");
    assert!(error.hint().is_some());
    assert!(matches!(Reader::open(bench.folder.path()), Err(StoreError::Newer { .. })));
    version(bench.folder.path(), 1);
    Store::open(bench.folder.path()).expect("as it was").verify().expect("it fits");
}

#[test]
fn an_older_layout_is_not_read_before_it_is_brought_up_to_date() {
    let bench = bench();
    version(bench.folder.path(), 0);
    let error = Reader::open(bench.folder.path()).expect_err("older");
    assert!(matches!(error, StoreError::Older { found: 0, known: 1 }));
}

#[test]
fn what_is_no_shop_is_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    assert!(matches!(Reader::open(folder.path()), Err(StoreError::NoShop { .. })));
    assert!(!folder.path().join("hingeline.db").exists(), "a reader makes nothing");
    std::fs::write(folder.path().join("hingeline.db"), vec![b'x'; 5000]).expect("written");
    assert!(matches!(Reader::open(folder.path()), Err(StoreError::Foreign { .. })));
    assert!(matches!(Store::open(folder.path()), Err(StoreError::Foreign { .. })));
    let other = tempfile::tempdir().expect("a folder");
    database(other.path()).execute_batch("CREATE TABLE theirs (a)").expect("SQL");
    assert!(matches!(Store::open(other.path()), Err(StoreError::Foreign { .. })));
}

#[test]
fn a_folder_that_is_a_file_is_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("shop");
    std::fs::write(&file, "x").expect("written");
    assert!(matches!(Store::open(&file), Err(StoreError::File { .. })));
}
