//! Backup while others write, and back.

use crate::shop::{bench, draft, noted, person, unguarded, whole_job, write};
use hingeline_bench::record::deed::Deed;
use hingeline_store::{Reader, Store, StoreError, Write, restore};
use jiff::Timestamp;
use std::fs;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;

#[test]
fn a_backup_opens_like_any_shop() {
    let bench = bench();
    whole_job(&bench.store, "HP-1", "SK12-55-210", "0087");
    let file = bench.store.put_file(b"a picture").expect("kept");
    let photograph =
        Deed::Photographed { file: file.clone(), media: "image/png".to_owned(), caption: String::new() };
    write(&bench.store, "job HP-1", &photograph);
    bench.store.set_password("tarn", "$one").expect("set");
    let noon = Timestamp::from_second(1_790_000_000).expect("a time");
    bench.store.start_session("token", "tarn", noon, Timestamp::MAX).expect("started");
    let target = bench.folder.path().join("backups").join("2026-10-02");
    let heads = bench.store.backup(&target).expect("a backup");
    assert_eq!(heads, bench.store.verify().expect("it fits"));
    let mut names: Vec<_> =
        fs::read_dir(&target).expect("a folder").map(|file| file.expect("a file").file_name()).collect();
    names.sort();
    assert_eq!(names, ["files", "hingeline.db"], "one database file, and the files");
    let copy = Store::open(&target).expect("it opens");
    assert_eq!(copy.verify().expect("it fits"), heads);
    assert_eq!(copy.file(&file).expect("read").as_deref(), Some(&b"a picture"[..]));
    assert!(copy.credential("tarn").expect("read").is_some());
    assert_eq!(copy.session("token", noon).expect("read"), None, "nobody is logged in in a copy");
    assert_eq!(copy.job("HP-1").expect("read"), bench.store.job("HP-1").expect("read"));
    write(&copy, "job HP-1", &noted("it goes on"));
    assert_eq!(copy.verify().expect("it fits").entries, heads.entries + 1);
}

/// Ends the writing also where the test stops early.
struct Stop<'a>(&'a AtomicBool);

impl Drop for Stop<'_> {
    fn drop(&mut self) {
        self.0.store(true, Ordering::Relaxed);
    }
}

#[test]
fn a_backup_while_others_write_is_one_moment_of_the_shop() {
    let bench = bench();
    let (store, stop) = (&bench.store, AtomicBool::new(false));
    write(store, "job HP-0", &noted("the first"));
    thread::scope(|scope| {
        let _stop = Stop(&stop);
        scope.spawn(|| {
            for number in 0_u64.. {
                if stop.load(Ordering::Relaxed) {
                    return;
                }
                let (job, seen) = (number % 7 + 1, number / 7);
                let ledger = format!("job HP-{job}");
                let file = store.put_file(&number.to_le_bytes()).expect("kept");
                let deed = Deed::Photographed { file, media: String::new(), caption: String::new() };
                store.append(&[Write { draft: draft(&ledger, "M. Tarn", &deed), seen }]).expect("written");
            }
        });
        for number in 0..6 {
            let backup = bench.folder.path().join(format!("backup-{number}"));
            let heads = store.backup(&backup).expect("a backup");
            let restored = bench.folder.path().join(format!("restored-{number}"));
            assert_eq!(restore(&backup, &restored).expect("restored"), heads);
            let copied = Reader::open(&restored)
                .expect("a reader")
                .entries_from(1, u64::from(u32::MAX))
                .expect("entries");
            let live = store.entries_from(1, heads.entries).expect("entries");
            assert_eq!(copied, live, "the beginning of the shop");
        }
    });
    assert!(store.head().expect("a head").entries > 6);
}

#[test]
fn a_reader_backs_up_beside_a_server() {
    let bench = bench();
    write(&bench.store, "shop", &person("tarn"));
    let reader = Reader::open(bench.folder.path()).expect("a reader");
    let heads = reader.backup(&bench.folder.path().join("copy")).expect("a backup");
    assert_eq!(heads.entries, 1);
}

#[test]
fn a_target_that_holds_something_is_refused() {
    let bench = bench();
    write(&bench.store, "shop", &person("tarn"));
    let target = bench.folder.path().join("target");
    fs::create_dir(&target).expect("a folder");
    bench.store.backup(&target).expect("an empty one is good");
    assert!(matches!(bench.store.backup(&target), Err(StoreError::NotEmpty { .. })));
    assert!(matches!(restore(&target, bench.folder.path()), Err(StoreError::NotEmpty { .. })));
    let nothing = bench.folder.path().join("nothing");
    let free = bench.folder.path().join("free");
    assert!(matches!(restore(&nothing, &free), Err(StoreError::NoShop { .. })));
    fs::create_dir(&nothing).expect("a folder");
    crate::shop::database(&nothing).execute_batch("CREATE TABLE session (a)").expect("another program's");
    assert!(matches!(restore(&nothing, &free), Err(StoreError::Foreign { .. })));
    assert!(!free.exists());
}

#[test]
fn a_shop_that_does_not_verify_gives_no_backup() {
    let bench = bench();
    let ledger = whole_job(&bench.store, "HP-1", "SK12-55-210", "0087");
    unguarded(bench.folder.path())
        .execute("UPDATE entry SET \"by\" = 'x' WHERE place = 4", [])
        .expect("changed");
    let target = bench.folder.path().join("target");
    let error = bench.store.backup(&target).expect_err("it does not fit");
    assert!(matches!(error, StoreError::NotVerified { .. }), "{ledger}: {error}");
    assert!(!target.exists() && !target.with_file_name("target.part").exists());
}

#[test]
fn a_missing_file_gives_no_backup() {
    let bench = bench();
    let file = bench.store.put_file(b"a picture").expect("kept");
    let deed = Deed::Photographed { file: file.clone(), media: String::new(), caption: String::new() };
    write(&bench.store, "job HP-1", &deed);
    fs::remove_file(bench.folder.path().join("files").join(file)).expect("removed");
    let error = bench.store.backup(&bench.folder.path().join("target")).expect_err("a file is missing");
    assert!(matches!(error, StoreError::NotVerified { .. }));
}

#[test]
fn a_plain_copy_of_the_folder_of_a_stopped_server_is_restored() {
    let bench = bench();
    write(&bench.store, "shop", &person("tarn"));
    let copy = bench.folder.path().join("copy");
    fs::create_dir(&copy).expect("a folder");
    for name in ["hingeline.db", "hingeline.db-wal"] {
        fs::copy(bench.folder.path().join(name), copy.join(name)).expect("copied");
    }
    let heads = restore(&copy, &bench.folder.path().join("restored")).expect("restored");
    assert_eq!(heads.entries, 1, "what was still in the log is there");
}
