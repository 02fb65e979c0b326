//! Fields that were typed and not entered yet.

use crate::shop::{bench, draft, noted};
use hingeline_store::{Store, StoreError, Typed, Write};

fn typed<'a>(field: &'a str, value: &'a str, seen_rev: u64, by: &'a str) -> Typed<'a> {
    Typed { job: "HP-1", form: "weigh", field, value, seen_rev, by, at: "2026-10-02T08:00:00Z" }
}

fn save(store: &Store, field: &str, value: &str, seen_rev: u64, by: &str) -> u64 {
    store.save_draft(&typed(field, value, seen_rev, by)).expect("saved").rev
}

fn values(store: &Store) -> Vec<(String, String, String)> {
    let fields = store.draft("HP-1", "weigh").expect("a draft").fields;
    fields.into_iter().map(|field| (field.field, field.value, field.by)).collect()
}

#[test]
fn fields_are_kept_by_job_and_form() {
    let bench = bench();
    assert_eq!(bench.store.draft("HP-1", "weigh").expect("a draft").fields, []);
    save(&bench.store, "arm", "17 1/4 in", 0, "M. Tarn");
    let other = Typed { form: "look", ..typed("arm", "x", 0, "M. Tarn") };
    bench.store.save_draft(&other).expect("another form");
    let kept = bench.store.draft("HP-1", "weigh").expect("a draft");
    assert_eq!(kept.fields.len(), 1);
    assert_eq!((kept.fields[0].rev, kept.rev), (1, 2));
    assert_eq!(kept.fields[0].at, "2026-10-02T08:00:00Z");
}

#[test]
fn what_was_begun_is_found_by_its_last_change() {
    let bench = bench();
    assert_eq!(bench.store.unfinished().expect("forms"), []);
    save(&bench.store, "arm", "17 1/4 in", 0, "M. Tarn");
    let other =
        Typed { job: "HP-2", at: "2026-10-02T08:10:00Z", ..typed("tare", "0.06 lb", 0, "J. Osterby") };
    bench.store.save_draft(&other).expect("another job");
    save(&bench.store, "tare", "0.06 lb", 0, "R. Alder");
    let found = bench.store.unfinished().expect("forms");
    let found: Vec<_> =
        found.iter().map(|form| (form.job.as_str(), form.form.as_str(), form.by.as_str())).collect();
    assert_eq!(found, [("HP-1", "weigh", "R. Alder"), ("HP-2", "weigh", "J. Osterby")]);
    bench.store.clear_draft("HP-1", "weigh").expect("cleared");
    assert_eq!(bench.store.unfinished().expect("forms").len(), 1);
    let emptied = Typed { value: "", ..other };
    bench.store.save_draft(&emptied).expect("emptied");
    assert_eq!(bench.store.unfinished().expect("forms"), []);
}

#[test]
fn nobody_overwrites_another_unseen() {
    let bench = bench();
    let rev = save(&bench.store, "arm", "17 1/4 in", 0, "M. Tarn");
    let error = bench.store.save_draft(&typed("arm", "17 1/2 in", 0, "J. Osterby")).expect_err("a conflict");
    let StoreError::DraftConflict { field, mine, theirs, by, rev: stands } = error else {
        panic!("{error:?}")
    };
    assert_eq!([field, mine, theirs, by], ["arm", "17 1/2 in", "17 1/4 in", "M. Tarn"].map(str::to_owned));
    assert_eq!(stands, rev);
    assert_eq!(values(&bench.store)[0].1, "17 1/4 in");
    save(&bench.store, "arm", "17 1/2 in", stands, "J. Osterby");
    assert_eq!(values(&bench.store)[0].1, "17 1/2 in", "seen, and overwritten knowingly");
    let back = bench.store.save_draft(&typed("arm", "17 in", rev, "M. Tarn"));
    assert!(matches!(back, Err(StoreError::DraftConflict { .. })), "the first has not seen that");
}

#[test]
fn the_same_text_is_no_conflict() {
    let bench = bench();
    let rev = save(&bench.store, "arm", "17 in", 0, "M. Tarn");
    assert_eq!(save(&bench.store, "arm", "17 in", 0, "J. Osterby"), rev);
    assert_eq!(values(&bench.store)[0].2, "M. Tarn", "nothing was written");
}

#[test]
fn different_fields_are_no_conflict() {
    let bench = bench();
    save(&bench.store, "arm", "17 in", 0, "M. Tarn");
    save(&bench.store, "tare", "0.06 lb", 0, "J. Osterby");
    assert_eq!(values(&bench.store).len(), 2);
}

#[test]
fn ones_own_saves_may_overtake_each_other() {
    let bench = bench();
    save(&bench.store, "arm", "1", 0, "M. Tarn");
    save(&bench.store, "arm", "17", 0, "M. Tarn");
    assert_eq!(values(&bench.store)[0].1, "17");
}

#[test]
fn an_emptied_field_is_a_text_like_any_other() {
    let bench = bench();
    let rev = save(&bench.store, "arm", "17 in", 0, "M. Tarn");
    save(&bench.store, "arm", "", rev, "J. Osterby");
    let late = bench.store.save_draft(&typed("arm", "18 in", rev, "M. Tarn"));
    assert!(matches!(late, Err(StoreError::DraftConflict { theirs, .. }) if theirs.is_empty()));
}

#[test]
fn a_late_save_does_not_bring_an_entered_form_back() {
    let bench = bench();
    let rev = save(&bench.store, "arm", "17 in", 0, "M. Tarn");
    bench.store.clear_draft("HP-1", "weigh").expect("emptied");
    let late = bench.store.save_draft(&typed("arm", "17 1/4 in", rev, "M. Tarn"));
    assert!(matches!(late, Err(StoreError::DraftGone { .. })));
    let anew = bench.store.draft("HP-1", "weigh").expect("a draft");
    assert_eq!(anew.fields, []);
    save(&bench.store, "arm", "17 1/4 in", anew.rev, "M. Tarn");
}

#[test]
fn entering_a_form_empties_it_with_the_entry_or_not_at_all() {
    let bench = bench();
    save(&bench.store, "arm", "17 in", 0, "M. Tarn");
    let write = |seen| [Write { draft: draft("job HP-1", "M. Tarn", &noted("weighed")), seen }];
    bench.store.enter(&write(5), "HP-1", &["weigh".to_owned()]).expect_err("stale");
    assert_eq!(values(&bench.store).len(), 1, "still there");
    bench.store.enter(&write(0), "HP-1", &["weigh".to_owned()]).expect("entered");
    assert_eq!(values(&bench.store), []);
    assert_eq!(bench.store.head().expect("a head").entries, 1);
}
