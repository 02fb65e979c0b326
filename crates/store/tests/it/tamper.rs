//! Whoever changes the record behind the program's back is found out, and the entry is named.

use crate::shop::{bench, noted, person, received, rows, unguarded, weighed, whole_job, write};
use hingeline_bench::record::ledger::Misfit;
use hingeline_store::{Reader, VerifyError};
use rand::RngExt;
use rand::SeedableRng;
use rand_xoshiro::Xoshiro256PlusPlus;
use rusqlite::{Connection, types::Value};
use std::path::Path;
use tempfile::TempDir;

/// Three ledgers, interleaved.
fn shop() -> TempDir {
    let bench = bench();
    write(&bench.store, "shop", &person("tarn"));
    whole_job(&bench.store, "HP-1", "SK12-55-210", "0087");
    write(&bench.store, "job HP-2", &received("HP-2", "SK12-27-014", "113"));
    write(&bench.store, "shop", &person("osterby"));
    write(&bench.store, "job HP-2", &weighed("as found", "2026-10-02", 0.01));
    write(&bench.store, "job HP-1", &noted("tag fitted"));
    bench.folder
}

fn misfit(folder: &Path) -> Misfit {
    match Reader::open(folder).expect("a reader").verify() {
        Err(VerifyError::Entry { source }) => source,
        other => panic!("no entry is named: {other:?}"),
    }
}

fn set(connection: &Connection, column: &str, place: i64, value: &Value) {
    let cast = if matches!(column, "hash" | "shop_hash") { "?1" } else { "CAST(?1 AS TEXT)" };
    let cast = if column == "number" { "?1" } else { cast };
    let set = format!("UPDATE entry SET {column} = {cast} WHERE place = ?2");
    assert_eq!(connection.execute(&set, (value, place)).expect("changed"), 1);
}

fn bytes(connection: &Connection, column: &str, place: i64) -> Vec<u8> {
    let get = format!("SELECT CAST({column} AS BLOB) FROM entry WHERE place = ?1");
    connection.query_row(&get, [place], |row| row.get(0)).expect("a value")
}

#[test]
fn one_ledger_is_checked_by_itself() {
    let folder = shop();
    let reader = Reader::open(folder.path()).expect("a reader");
    let whole = reader.verify().expect("it fits");
    for (ledger, head) in &whole.ledgers {
        assert_eq!(reader.verify_ledger(ledger).expect("it fits"), *head, "{ledger}");
    }
    let connection = unguarded(folder.path());
    let place =
        connection.query_row("SELECT place FROM entry WHERE ledger = 'job HP-2' AND number = 2", [], |row| {
            row.get(0)
        });
    let place: i64 = place.expect("an entry");
    set(&connection, "body", place, &Value::Text("{}".to_owned()));
    assert_eq!(reader.verify_ledger("job HP-1").expect("it fits"), whole.ledgers["job HP-1"]);
    match reader.verify_ledger("job HP-2") {
        Err(VerifyError::Entry { source }) => assert_eq!(source.number, 2),
        other => panic!("no entry is named: {other:?}"),
    }
    connection.execute("DELETE FROM entry WHERE ledger = 'job HP-1' AND number = 2", []).expect("left out");
    assert!(
        matches!(reader.verify_ledger("job HP-1"), Err(VerifyError::Entry { source }) if source.number == 3)
    );
}

#[test]
fn a_changed_byte_of_any_column_names_its_entry() {
    let folder = shop();
    let connection = unguarded(folder.path());
    let mut random = Xoshiro256PlusPlus::seed_from_u64(1);
    for place in 1..=14 {
        for column in ["ledger", "at", "\"by\"", "body", "hash", "shop_hash"] {
            let sealed = bytes(&connection, column, place);
            for _ in 0..5 {
                let mut changed = sealed.clone();
                let at = random.random_range(0..changed.len());
                changed[at] ^= random.random_range(1..=255_u8);
                set(&connection, column, place, &Value::Blob(changed));
                let misfit = misfit(folder.path());
                assert_eq!(misfit.place, place.unsigned_abs(), "{column} byte {at}: {misfit}");
            }
            set(&connection, column, place, &Value::Blob(sealed));
        }
    }
    Reader::open(folder.path()).expect("a reader").verify().expect("all is as it was");
}

#[test]
fn a_text_made_longer_shorter_or_empty_names_its_entry() {
    let folder = shop();
    let connection = unguarded(folder.path());
    for column in ["ledger", "at", "\"by\"", "body", "hash", "shop_hash"] {
        let sealed = bytes(&connection, column, 5);
        let longer = [&sealed[..], b"x"].concat();
        for changed in [longer, sealed[1..].to_vec(), Vec::new()] {
            set(&connection, column, 5, &Value::Blob(changed));
            assert_eq!(misfit(folder.path()).place, 5, "{column}");
        }
        set(&connection, column, 5, &Value::Blob(sealed));
    }
}

#[test]
fn a_changed_number_names_its_entry() {
    let folder = shop();
    let connection = unguarded(folder.path());
    for place in 1..=14 {
        let get = "SELECT number FROM entry WHERE place = ?1";
        let sealed: i64 = connection.query_row(get, [place], |row| row.get(0)).expect("a number");
        for changed in [sealed + 100, -sealed, 0, i64::MAX] {
            set(&connection, "number", place, &Value::Integer(changed));
            assert_eq!(misfit(folder.path()).place, place.unsigned_abs(), "{changed}");
        }
        set(&connection, "number", place, &Value::Integer(sealed));
    }
}

#[test]
fn a_changed_place_names_the_first_that_is_out_of_order() {
    let folder = shop();
    let connection = unguarded(folder.path());
    let moved = |from: i64, to: i64| {
        connection.execute("UPDATE entry SET place = ?2 WHERE place = ?1", (from, to)).expect("moved");
    };
    for (from, to, named) in [(5, 99, 6), (14, 15, 15), (5, 0, 0), (5, -3, 0), (1, 99, 2)] {
        moved(from, to);
        assert_eq!(misfit(folder.path()).place, named, "{from} to {to}");
        moved(to, from);
    }
    moved(5, 99);
    moved(6, 5);
    moved(99, 6);
    assert_eq!(misfit(folder.path()).place, 5, "two change places");
}

#[test]
fn a_job_whose_end_is_cut_off_shows_in_the_chain_of_the_shop() {
    let folder = shop();
    let connection = unguarded(folder.path());
    connection.execute_batch("DELETE FROM entry WHERE ledger = 'job HP-2' AND number = 2").expect("cut off");
    let misfit = misfit(folder.path());
    assert_eq!((misfit.place, misfit.why), (14, "an entry before it is missing"));
}

#[test]
fn a_shop_whose_end_is_cut_off_disagrees_with_its_lists_and_with_paper() {
    let folder = shop();
    let printed = Reader::open(folder.path()).expect("a reader").verify().expect("it fits");
    let connection = unguarded(folder.path());
    connection.execute_batch("DELETE FROM entry WHERE place = 14").expect("cut off");
    let reader = Reader::open(folder.path()).expect("a reader");
    let error = reader.verify().expect_err("the lists know more");
    assert!(matches!(error, VerifyError::Derived { table: "row", .. }), "{error}");
    let head = reader.head().expect("a head");
    assert_ne!(
        (head.entries, head.hash),
        (printed.entries, printed.shop),
        "the newest hash on paper shows it"
    );
}

#[test]
fn what_is_derived_is_compared_with_the_entries() {
    let folder = shop();
    let outside = crate::shop::database(folder.path());
    for (change, back, table) in [
        ("UPDATE job SET serial = '88' WHERE id = 2", "UPDATE job SET serial = '0087' WHERE id = 2", "row"),
        ("UPDATE job SET step = 'lunch' WHERE id = 2", "UPDATE job SET step = 'receive' WHERE id = 2", "row"),
        ("UPDATE point SET moment_kg_m = 0.03 WHERE entry = 3", "UPDATE point SET moment_kg_m = 0.031 WHERE entry = 3", "weighings"),
        ("UPDATE event SET mass = '1 lb' WHERE entry = 4", "UPDATE event SET mass = '0.4 lb' WHERE entry = 4", "works"),
        (
            "INSERT INTO job SELECT 99, 'X', surface, part, serial, aircraft, work_order, step, state, opened,
                changed, entries, NULL, NULL, NULL, NULL FROM job LIMIT 1",
            "DELETE FROM job WHERE id = 99",
            "list",
        ),
        ("DELETE FROM search WHERE rowid = 2", "", "search"),
    ] {
        outside.execute_batch(change).expect("changed");
        let error = Reader::open(folder.path()).expect("a reader").verify().expect_err("it differs");
        let VerifyError::Derived { table: named, .. } = &error else { panic!("{error:?}") };
        assert_eq!(*named, table, "{change}: {error}");
        outside.execute_batch(back).expect("changed back");
    }
    let store = hingeline_store::Store::open(folder.path()).expect("a store");
    assert_eq!(store.rebuild().expect("rebuilt"), 2);
    store.verify().expect("it fits again");
}

#[test]
fn no_changed_byte_of_the_database_file_changes_the_record_unseen() {
    let folder = shop();
    let database = folder.path().join("hingeline.db");
    crate::shop::database(folder.path()).execute_batch("PRAGMA journal_mode = DELETE").expect("one file");
    let sealed = std::fs::read(&database).expect("a file");
    let all = "SELECT place, ledger, number, at, \"by\", body, hash, shop_hash FROM entry ORDER BY place";
    let entries = rows(&crate::shop::database(folder.path()), all);
    let mut random = Xoshiro256PlusPlus::seed_from_u64(2);
    let mut found_out = 0;
    let used: Vec<usize> = (0..sealed.len()).filter(|at| sealed[*at] != 0).collect();
    for _ in 0..400 {
        let mut changed = sealed.clone();
        let at = used[random.random_range(0..used.len())];
        changed[at] ^= random.random_range(1..=255_u8);
        std::fs::write(&database, &changed).expect("written");
        let verified = Reader::open(folder.path()).map(|reader| reader.verify());
        match verified {
            Ok(Ok(_)) => {
                let read =
                    Reader::open(folder.path()).expect("a reader").entries_from(1, 100).expect("entries");
                assert_eq!(read.len(), entries.len(), "byte {at}");
                assert_eq!(rows(&crate::shop::database(folder.path()), all), entries, "byte {at}");
            }
            _ => found_out += 1,
        }
    }
    assert!(found_out > 200, "{found_out} of 400 changes were found out");
}
