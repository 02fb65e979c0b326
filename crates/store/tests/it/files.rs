//! Photographs and meshes beside the record.

use crate::shop::{bench, mended, noted, write};
use hingeline_bench::record::deed::{Deed, NamedFile, WeightOutcome};
use hingeline_store::{Store, StoreError, VerifyError};
use std::fs;

fn photographed(file: &str) -> Deed {
    Deed::Photographed {
        file: file.to_owned(),
        media: "image/jpeg".to_owned(),
        caption: "the horn weight".to_owned(),
    }
}

#[test]
fn a_file_lies_under_its_hash() {
    let bench = bench();
    let hash = bench.store.put_file(b"a picture").expect("kept");
    assert_eq!(hash, blake3::hash(b"a picture").to_hex().as_str());
    assert_eq!(bench.store.file(&hash).expect("read").as_deref(), Some(&b"a picture"[..]));
    assert_eq!(bench.store.put_file(b"a picture").expect("kept"), hash, "twice is harmless");
    assert_eq!(fs::read_dir(bench.folder.path().join("files")).expect("a folder").count(), 1);
    assert_eq!(bench.store.file(&"0".repeat(64)).expect("read"), None);
}

#[test]
fn no_name_leads_out_of_the_folder() {
    let bench = bench();
    let hash = bench.store.put_file(b"a picture").expect("kept");
    for name in ["", "../hingeline.db", "/etc/hosts", &hash[1..], &hash.to_uppercase(), &format!("{hash}/")] {
        assert!(matches!(bench.store.file(name), Err(StoreError::BadHash { .. })), "{name}");
    }
}

#[test]
fn a_changed_file_is_not_given_out_and_is_put_right_by_the_same_file() {
    let bench = bench();
    let hash = bench.store.put_file(b"a picture").expect("kept");
    fs::write(bench.folder.path().join("files").join(&hash), b"another one").expect("changed");
    assert!(matches!(bench.store.file(&hash), Err(StoreError::FileDamaged { .. })));
    bench.store.put_file(b"a picture").expect("put right");
    assert!(bench.store.file(&hash).expect("read").is_some());
}

#[test]
fn what_was_half_written_goes_when_the_shop_is_opened() {
    let bench = bench();
    let hash = bench.store.put_file(b"a picture").expect("kept");
    let half = bench.folder.path().join("files").join(format!("{hash}.1-1.part"));
    fs::write(&half, b"a pic").expect("half");
    drop(bench.store);
    Store::open(bench.folder.path()).expect("open");
    assert!(!half.exists());
}

/// A weight that was drawn elsewhere.
fn drawn(file: &str) -> Deed {
    let number = || "0.3".to_owned();
    Deed::WeightIntended {
        sheet: String::new(),
        station: String::new(),
        weighing: None,
        outcome: WeightOutcome {
            mass_kg: number(),
            arm_m: number(),
            moment_kg_m: number(),
            standard_uncertainty_kg_m: number(),
            casting_kg: number(),
        },
        mesh: Some(NamedFile { name: "horn.stl".to_owned(), file: file.to_owned() }),
    }
}

#[test]
fn the_file_of_a_weight_is_read_checked_backed_up_and_restored() {
    let bench = bench();
    let hash = bench.store.put_file(b"a surface").expect("kept");
    write(&bench.store, "job HP-1", &noted("first"));
    write(&bench.store, "job HP-1", &drawn(&hash));
    let read = |store: &Store| {
        let job = store.job("HP-1").expect("read").expect("a job");
        let weight = job.weights().pop().expect("a weight");
        job.shelf.read(weight.mesh.as_ref())
    };
    assert_eq!(read(&bench.store).as_deref(), Ok(&b"a surface"[..]));
    let copies = tempfile::tempdir().expect("a folder");
    let (backup, again) = (copies.path().join("backup"), copies.path().join("again"));
    bench.store.backup(&backup).expect("backed up");
    hingeline_store::restore(&backup, &again).expect("restored");
    assert_eq!(read(&Store::open(&again).expect("open")).as_deref(), Ok(&b"a surface"[..]));
    let path = bench.folder.path().join("files").join(&hash);
    fs::write(&path, b"another one").expect("changed");
    assert!(read(&bench.store).expect_err("changed").contains("was changed since it was entered"));
    let error = bench.store.verify().expect_err("changed");
    assert!(matches!(error, VerifyError::FileDamaged { number: 2, .. }), "{error}");
    fs::remove_file(&path).expect("removed");
    assert!(read(&bench.store).expect_err("missing").contains("does not have the file any more"));
    let error = bench.store.verify().expect_err("missing");
    assert!(matches!(error, VerifyError::FileMissing { number: 2, .. }), "{error}");
}

#[test]
fn every_file_that_an_entry_names_is_checked() {
    let bench = bench();
    let kept = bench.store.put_file(b"one").expect("kept");
    let mended_with = bench.store.put_file(b"two").expect("kept");
    write(&bench.store, "job HP-1", &noted("first"));
    write(&bench.store, "job HP-1", &photographed(&kept));
    write(&bench.store, "job HP-1", &mended(2, Some(photographed(&mended_with))));
    bench.store.verify().expect("it fits");
    for (hash, entry) in [(&kept, 2), (&mended_with, 3)] {
        let path = bench.folder.path().join("files").join(hash);
        let bytes = fs::read(&path).expect("bytes");
        fs::write(&path, b"changed").expect("changed");
        let error = bench.store.verify().expect_err("changed");
        assert!(matches!(error, VerifyError::FileDamaged { number, .. } if number == entry), "{error}");
        fs::remove_file(&path).expect("removed");
        let error = bench.store.verify().expect_err("missing");
        assert!(matches!(error, VerifyError::FileMissing { number, .. } if number == entry), "{error}");
        fs::write(&path, bytes).expect("back");
    }
    bench.store.verify().expect("it fits again");
}
