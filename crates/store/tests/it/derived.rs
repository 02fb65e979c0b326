//! What is derived from the entries is the same whether it was kept or rebuilt.

use crate::shop::{
    Bench, bench, corrected, derived, fields, judged, mended, noted, person, received, released, signature,
    weighed, whole_job, worked, write,
};
use hingeline_bench::record::deed::{Deed, Finding};
use hingeline_bench::record::way::LOOK;
use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed, TestRunner};

fn rebuilt_is_kept(bench: &Bench) {
    bench.store.verify().expect("it fits");
    let kept = derived(bench.folder.path());
    bench.store.rebuild().expect("rebuilt");
    assert_eq!(derived(bench.folder.path()), kept);
    bench.store.verify().expect("it fits still");
}

#[test]
fn a_rebuilt_database_equals_the_kept_one() {
    let bench = bench();
    write(&bench.store, "shop", &person("tarn"));
    whole_job(&bench.store, "HP-1", "SK12-55-210", "0087");
    write(&bench.store, "job HP-2", &noted("no identity yet"));
    write(&bench.store, "job HP-1", &mended(3, None));
    write(&bench.store, "job HP-1", &mended(1, Some(received("HP-1", "SK12-55-211", "0088"))));
    rebuilt_is_kept(&bench);
    assert!(derived(bench.folder.path()).len() > 20);
}

#[test]
fn what_was_spoilt_is_put_right() {
    let bench = bench();
    whole_job(&bench.store, "HP-1", "SK12-55-210", "0087");
    let kept = derived(bench.folder.path());
    let outside = crate::shop::database(bench.folder.path());
    let spoil =
        "DELETE FROM point; UPDATE job SET number = 'x', step = 'lunch'; DELETE FROM search WHERE rowid = 1;
        INSERT INTO search (rowid, terms) VALUES (9, 'x');";
    outside.execute_batch(spoil).expect("spoilt");
    write(&bench.store, "job HP-1", &noted("the record never waits for its lists"));
    bench.store.rebuild().expect("rebuilt");
    bench.store.verify().expect("it fits");
    assert_eq!(derived(bench.folder.path()).len(), kept.len());
}

#[test]
fn what_another_version_derived_is_derived_anew() {
    let Bench { folder, store } = bench();
    whole_job(&store, "HP-1", "SK12-55-210", "0087");
    let kept = derived(folder.path());
    drop(store);
    let other = "UPDATE derived_by SET version = '0.0.1'; UPDATE job SET step = 'limits'";
    crate::shop::database(folder.path()).execute_batch(other).expect("as another version left it");
    let store = hingeline_store::Store::open(folder.path()).expect("a store");
    store.verify().expect("it fits");
    assert_eq!(derived(folder.path()), kept);
}

fn deed() -> impl Strategy<Value = Deed> {
    let serial = prop_oneof![Just("0087"), Just("0088"), Just("LN/3 é")];
    let moment = prop_oneof![Just(-0.02), Just(0.0), Just(0.031), Just(-1e-9), Just(12.5)];
    let stage = prop_oneof![Just("as found"), Just("as left")];
    let date = prop_oneof![Just("2026-10-02"), Just("2025-01-31"), Just("soon")];
    let simple = prop_oneof![
        serial.prop_map(|serial| received("HP", "SK12-55-210", serial)),
        Just(Deed::Received { job: fields(&[("aircraft", "D-EABC")]) }),
        (stage, date, moment).prop_map(|(stage, date, moment)| weighed(stage, date, moment)),
        Just(judged()),
        Just(looked()),
        Just(noted("a remark")),
        "[0-9]{1,2} lb".prop_map(|mass| corrected(&mass)),
        Just(worked("repair")),
    ];
    let signed = prop_oneof![
        Just(Deed::SignedOff(signature(1))),
        Just(Deed::Inspected(signature(1))),
        Just(Deed::SentBack { reason: "smudged".to_owned() }),
        Just(released()),
    ];
    let simple = simple.boxed();
    let with = proptest::option::of(simple.clone());
    prop_oneof![6 => simple, 2 => signed, 2 => (1..12_u64, with).prop_map(|(entry, with)| mended(entry, with))]
}

fn looked() -> Deed {
    let finding = Finding { state: "in order".to_owned(), text: String::new() };
    Deed::Looked { findings: LOOK.iter().map(|(item, _)| ((*item).to_owned(), finding.clone())).collect() }
}

#[test]
fn any_sequence_of_deeds_keeps_what_a_rebuild_gives() {
    let config =
        Config { cases: 60, rng_seed: RngSeed::Fixed(3), failure_persistence: None, ..Config::default() };
    let sequence = proptest::collection::vec((0..3_usize, deed()), 1..25);
    let run = TestRunner::new(config).run(&sequence, |sequence| {
        let bench = bench();
        for (job, deed) in &sequence {
            write(&bench.store, ["job HP-1", "job HP-2", "job x y"][*job], deed);
        }
        rebuilt_is_kept(&bench);
        Ok(())
    });
    run.expect("kept and rebuilt agree");
}
