//! Writing entries: sealed, all or nothing, in order, never changed.

use crate::shop::{bench, database, draft, judged, noted, person, received, seen, write};
use hingeline_bench::record::ledger::Heads;
use hingeline_store::{Reader, Store, StoreError, Write};
use std::sync::Arc;
use std::thread;

fn note(ledger: &str, seen: u64) -> Write {
    Write { draft: draft(ledger, "M. Tarn", &noted("a remark")), seen }
}

#[test]
fn entries_are_sealed_as_the_record_seals_them() {
    let bench = bench();
    let mut heads = Heads::default();
    for ledger in ["job HP-1", "shop", "job HP-1", "job HP-2"] {
        let write = note(ledger, seen(&bench.store, ledger));
        let stored = bench.store.append(std::slice::from_ref(&write)).expect("written");
        assert_eq!(stored, [heads.append(write.draft)]);
    }
    assert_eq!(bench.store.head().expect("head").hash, heads.shop);
    assert_eq!(bench.store.verify().expect("it fits"), heads);
}

#[test]
fn an_empty_shop_has_nothing() {
    let bench = bench();
    assert_eq!(bench.store.verify().expect("it fits"), Heads::default());
    assert_eq!(bench.store.job("HP-1").expect("read"), None);
    assert_eq!(bench.store.shop().expect("shop").entries, 0);
    assert!(bench.store.append(&[]).expect("nothing").is_empty());
}

#[test]
fn who_knew_fewer_entries_is_refused() {
    let bench = bench();
    bench.store.append(&[note("job HP-1", 0)]).expect("the first");
    let error = bench.store.append(&[note("job HP-1", 0)]).expect_err("stale");
    let StoreError::Stale { ledger, seen: 0, entries: 1 } = &error else { panic!("{error:?}") };
    assert_eq!(ledger, "job HP-1");
    assert_eq!(error.to_string(), "job HP-1 has 1 entries, and 0 were known when this was written");
    assert!(matches!(bench.store.append(&[note("job HP-1", 2)]), Err(StoreError::Stale { .. })), "or more");
    assert_eq!(seen(&bench.store, "job HP-1"), 1);
}

#[test]
fn several_writes_are_all_kept_or_none() {
    let bench = bench();
    let stored = bench.store.append(&[note("job HP-1", 0), note("job HP-1", 0), note("shop", 0)]);
    let places: Vec<u64> = stored.expect("all").iter().map(|stored| stored.place).collect();
    assert_eq!(places, [1, 2, 3]);
    let unreadable = Write { draft: draft("job HP-2", "M. Tarn", &judged()), seen: 0 };
    let mut unreadable = [note("job HP-1", 2), unreadable];
    unreadable[1].draft.body = "{\"deed\":\"unheard-of\"}".to_owned();
    let wrong =
        [[note("job HP-1", 2), note("shop", 0)], [note("job HP-1", 2), note("elsewhere", 0)], unreadable];
    for writes in wrong {
        bench.store.append(&writes).expect_err("the second is wrong");
        assert_eq!(bench.store.head().expect("head").entries, 3);
        assert_eq!(bench.store.verify().expect("it fits").ledgers["job HP-1"].0, 2);
    }
}

#[test]
fn a_ledger_is_the_shops_or_a_jobs() {
    let bench = bench();
    for ledger in ["", "jobs HP-1", "job ", "job  HP-1", "job HP-1 ", "Shop"] {
        let error = bench.store.append(&[note(ledger, 0)]).expect_err("no ledger");
        assert!(matches!(error, StoreError::UnknownLedger { .. }), "{ledger}: {error}");
    }
}

#[test]
fn an_outcome_must_be_a_number() {
    let bench = bench();
    for given in ["", "much", "NaN", "inf"] {
        let mut draft = draft("job HP-1", "M. Tarn", &crate::shop::weighed("as found", "2026-10-02", 0.5));
        draft.body = draft.body.replace("\"0.5\"", &format!("\"{given}\""));
        let error = bench.store.append(&[Write { draft, seen: 0 }]).expect_err("no number");
        assert!(matches!(error, StoreError::NotANumber { entry: 1, .. }), "{given}: {error}");
    }
}

#[test]
fn the_database_refuses_to_change_the_record() {
    let bench = bench();
    write(&bench.store, "job HP-1", &received("HP-1", "SK12-55-210", "0087"));
    write(&bench.store, "job HP-1", &noted("one"));
    let outside = database(bench.folder.path());
    let again = "INTO entry SELECT place + 0, ledger, number, at, \"by\", 'x', hash, shop_hash FROM entry";
    for statement in [
        "UPDATE entry SET body = 'x' WHERE place = 1".to_owned(),
        "UPDATE entry SET place = 9 WHERE place = 2".to_owned(),
        "DELETE FROM entry WHERE place = 2".to_owned(),
        "DELETE FROM entry".to_owned(),
        format!("INSERT OR REPLACE {again}"),
        format!("REPLACE {again} WHERE place = 2"),
        "INSERT INTO entry VALUES (7, 'job HP-1', 3, '', '', '', x'', x'')".to_owned(),
        "INSERT OR REPLACE INTO entry VALUES (3, 'job HP-1', 2, '', '', '', x'', x'')".to_owned(),
    ] {
        let error = outside.execute_batch(&statement).expect_err("refused").to_string();
        assert!(error.contains("an entry of the record"), "{statement}: {error}");
    }
    assert_eq!(bench.store.verify().expect("it fits").entries, 2);
}

#[test]
fn a_reader_sees_what_is_written_after_it_was_opened() {
    let bench = bench();
    let reader = Reader::open(bench.folder.path()).expect("a reader");
    assert_eq!(reader.head().expect("a head").entries, 0);
    write(&bench.store, "job HP-1", &noted("one"));
    assert_eq!(reader.head().expect("a head").entries, 1);
    write(&bench.store, "shop", &person("tarn"));
    assert!(reader.shop().expect("shop").person("tarn").is_some());
}

#[test]
fn one_store_at_a_time() {
    let bench = bench();
    let error = Store::open(bench.folder.path()).expect_err("in use");
    assert!(matches!(error, StoreError::InUse { .. }));
    Reader::open(bench.folder.path()).expect("a reader").verify().expect("it fits");
    drop(bench.store);
    Store::open(bench.folder.path()).expect("free again");
}

#[test]
fn a_store_is_shared_between_threads() {
    fn shared<T: Send + Sync>() {}
    shared::<Store>();
    shared::<Reader>();
}

#[test]
fn writers_in_several_threads_lose_nothing() {
    let bench = bench();
    let store = Arc::new(bench.store);
    let writers: Vec<_> = (0..4)
        .map(|_| {
            let store = Arc::clone(&store);
            thread::spawn(move || {
                let mut written = 0;
                while written < 25 {
                    let seen = store.job("HP-1").expect("read").map_or(0, |job| job.entries);
                    match store.append(&[note("job HP-1", seen)]) {
                        Ok(_) => written += 1,
                        Err(StoreError::Stale { .. }) => {}
                        Err(error) => panic!("{error}"),
                    }
                }
            })
        })
        .collect();
    for writer in writers {
        writer.join().expect("a writer");
    }
    assert_eq!(store.verify().expect("it fits").entries, 100);
}

#[test]
fn the_shop_is_folded_anew_when_its_ledger_grows() {
    let bench = bench();
    write(&bench.store, "shop", &person("tarn"));
    let shop = bench.store.shop().expect("shop");
    assert!(shop.person("tarn").is_some());
    write(&bench.store, "job HP-1", &noted("not the shop's"));
    assert!(Arc::ptr_eq(&shop, &bench.store.shop().expect("shop")), "kept");
    write(&bench.store, "shop", &person("osterby"));
    assert!(bench.store.shop().expect("shop").person("osterby").is_some());
}
