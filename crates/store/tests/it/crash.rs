//! A writer that is killed at any moment loses nothing that it acknowledged, and leaves a shop that verifies.
//!
//! The writer is this test program once more: the test [`writer`] appends without end where the environment names
//! a folder, and does nothing otherwise.

use crate::shop::{draft, noted, seen};
use hingeline_bench::record::deed::Deed;
use hingeline_store::{Reader, Store, StoreError, Write};
use rand::RngExt;
use rand::SeedableRng;
use rand_xoshiro::Xoshiro256PlusPlus;
use std::io::{BufRead, BufReader, Write as _};
use std::path::Path;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::time::Duration;

const FOLDER: &str = "HINGELINE_TEST_WRITER";

#[test]
fn writer() {
    let Ok(folder) = std::env::var(FOLDER) else { return };
    let store = Store::open(Path::new(&folder)).expect("a store");
    let mut seen = (seen(&store, "job HP-1"), seen(&store, "shop"));
    let mut out = std::io::stdout();
    loop {
        let file = store.put_file(&seen.0.to_le_bytes()).expect("kept");
        let deed = Deed::Photographed { file, media: String::new(), caption: "x".repeat(900) };
        let first = Write { draft: draft("job HP-1", "M. Tarn", &deed), seen: seen.0 };
        let second = Write { draft: draft("shop", "M. Tarn", &noted("with it")), seen: seen.1 };
        let stored = store.append(&[first.clone(), second, first]).expect("written");
        writeln!(out, "\nwritten {} {}", stored[2].place, stored[2].shop_hash).expect("told");
        out.flush().expect("told");
        seen = (seen.0 + 2, seen.1 + 1);
    }
}

fn start(folder: &Path) -> (Child, BufReader<ChildStdout>) {
    let mut child = Command::new(std::env::current_exe().expect("this program"))
        .args(["--exact", "crash::writer", "--nocapture"])
        .env(FOLDER, folder)
        .stdout(Stdio::piped())
        .spawn()
        .expect("a writer");
    let out = BufReader::new(child.stdout.take().expect("its output"));
    (child, out)
}

/// The next place and hash that the writer acknowledges; none at its end.
fn acknowledged(out: &mut BufReader<ChildStdout>) -> Option<(u64, String)> {
    let mut line = String::new();
    while out.read_line(&mut line).expect("output") > 0 {
        let whole = line.strip_prefix("written ").and_then(|rest| rest.strip_suffix('\n'));
        if let Some((place, hash)) = whole.and_then(|rest| rest.split_once(' ')) {
            return Some((place.parse().expect("a place"), hash.to_owned()));
        }
        line.clear();
    }
    None
}

fn check(folder: &Path, acknowledged: &[(u64, String)]) {
    let store = Store::open(folder).expect("it opens");
    let heads = store.verify().expect("it fits");
    assert_eq!(heads.entries % 3, 0, "each append is there whole");
    let entries = store.entries_from(1, heads.entries).expect("entries");
    for (place, hash) in acknowledged {
        let stored = entries.iter().find(|stored| stored.place == *place);
        assert_eq!(stored.map(|stored| stored.shop_hash.hex()).as_ref(), Some(hash), "place {place}");
    }
}

#[test]
fn a_killed_writer_loses_nothing_that_it_acknowledged() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(4);
    for _ in 0..6 {
        let folder = tempfile::tempdir().expect("a folder");
        let mut known = Vec::new();
        for _ in 0..20 {
            let (mut child, mut out) = start(folder.path());
            for _ in 0..random.random_range(0..6) {
                known.extend(acknowledged(&mut out));
            }
            std::thread::sleep(Duration::from_micros(random.random_range(0..6000)));
            child.kill().expect("killed");
            child.wait().expect("ended");
            known.extend(std::iter::from_fn(|| acknowledged(&mut out)));
            check(folder.path(), &known);
        }
        assert!(known.len() > 20, "{} appends", known.len());
    }
}

#[test]
fn a_folder_is_refused_while_another_process_writes_to_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let (mut child, mut out) = start(folder.path());
    let first = acknowledged(&mut out).expect("it writes");
    assert!(matches!(Store::open(folder.path()), Err(StoreError::InUse { .. })));
    let reader = Reader::open(folder.path()).expect("a reader");
    assert!(reader.verify().expect("it fits").entries >= first.0);
    let backup = reader.backup(&folder.path().join("backup")).expect("a backup");
    assert!(backup.entries >= first.0);
    child.kill().expect("killed");
    child.wait().expect("ended");
    check(folder.path(), &[first]);
}
