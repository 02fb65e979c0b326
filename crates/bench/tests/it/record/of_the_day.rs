//! A weighing takes the instruments of its own day: of the weighing that it mends, else of the shop as it stood then.

use super::weigh::{list, set_up, with_limits};
use super::{Ledger, fields};
use hingeline_bench::record::deed::{BeforeWeighing, Deed, Fields};
use hingeline_bench::record::job::{Job, Weighing};
use hingeline_bench::record::ledger::Entry;
use hingeline_bench::record::shop::Shop;
use hingeline_bench::record::weigh::{self, Occasion};

const PAST: &str = "instrument S-2 was due for calibration on 2026-10-01 and was used on 2026-10-02";
/// The end of the day that every weighing here was taken on.
const UNTIL: &str = "2026-10-03T00:00:00Z";

fn entered(id: &str, calibrated: &str, due: &str) -> Deed {
    let (kind, step) = if id == "R-1" { ("rule", "1/32 in") } else { ("scale", "0.01 lb") };
    Deed::InstrumentEntered {
        instrument: fields(&[("id", id), ("kind", kind), ("resolution", step), ("due", due)]),
        name: "bench".to_owned(),
        check_weight: "5 lb".to_owned(),
        check_within: "0.02 lb".to_owned(),
        calibrated: calibrated.to_owned(),
    }
}

/// A scale that ran out on 1 October, and what came after.
fn shop(later: &[(&str, Deed)]) -> Shop {
    let before = "2026-01-05T08:00:00Z";
    let mut all = vec![
        (before, entered("S-2", "2025-10-01", "2026-10-01")),
        (before, entered("R-1", "2026-01-01", "2027-01-01")),
    ];
    all.extend(later.iter().cloned());
    let entries: Vec<Entry> = (1..)
        .zip(all)
        .map(|(number, (at, deed))| Entry {
            ledger: "shop".to_owned(),
            number,
            at: at.to_owned(),
            by: "A. Admin".to_owned(),
            body: serde_json::to_string(&deed).expect("JSON"),
            hash: hingeline_bench::record::ledger::Hash::default(),
        })
        .collect();
    Shop::fold(&entries).expect("readable")
}

fn recalibrated() -> (&'static str, Deed) {
    ("2026-10-03T09:00:00Z", entered("S-2", "2026-10-03", "2027-10-03"))
}

fn weighing(arm: &str) -> Fields {
    let mut weighing = set_up("trailing-edge scale", &[("tare", "0.06 lb"), ("arm", arm)]);
    weighing.insert("readings".to_owned(), list(&["0.05 lb"; 3]));
    weighing
}

fn take(shop: &Shop, before: Option<BeforeWeighing>, when: Occasion<'_>) -> Deed {
    let job = with_limits().job();
    weigh::deed(&job, shop, &weighing("17 1/4 in"), before, Vec::new(), when).expect("a weighing")
}

fn reasons(deed: &Deed) -> Vec<String> {
    let Deed::Weighed { outcome, .. } = deed else { panic!("a weighing") };
    outcome.reasons.clone()
}

/// A job with one weighing, taken while the scale was past due.
fn weighed_past_due(shop: &Shop) -> Job {
    let mut ledger: Ledger = with_limits();
    ledger.write("M. Tarn", &take(shop, None, Occasion::default()));
    ledger.job()
}

fn mend(job: &Job, shop: &Shop) -> Result<Deed, Vec<hingeline_bench::Fault>> {
    let mended: &Weighing = &job.weighings[0];
    let when = Occasion { mends: Some(mended), until: Some(UNTIL) };
    let base = Job { weighings: Vec::new(), ..job.clone() };
    weigh::deed(&base, shop, &weighing("17 1/2 in"), None, Vec::new(), when)
}

#[test]
fn a_mend_keeps_the_instruments_of_what_it_mends() {
    let job = weighed_past_due(&shop(&[]));
    assert_eq!(job.weighings[0].outcome.reasons, [PAST]);
    let mended = mend(&job, &shop(&[recalibrated()])).expect("a mend");
    assert_eq!(reasons(&mended), [PAST], "calibrated since, and past due then");
}

#[test]
fn a_weighing_with_a_scale_that_was_retired_since_can_be_mended() {
    let job = weighed_past_due(&shop(&[]));
    let retired = Deed::InstrumentRetired { id: "S-2".to_owned(), reason: "dropped".to_owned() };
    let after = shop(&[("2026-10-04T08:00:00Z", retired)]);
    assert_eq!(reasons(&mend(&job, &after).expect("a mend")), [PAST]);
    let fresh = weigh::preview(&with_limits().job(), &after, &weighing("17 in"), None, Occasion::default());
    assert!(!fresh.faults.is_empty(), "no new weighing is taken with it");
}

#[test]
fn a_weighing_entered_late_takes_the_state_of_its_day() {
    let late = Occasion { mends: None, until: Some(UNTIL) };
    assert_eq!(reasons(&take(&shop(&[recalibrated()]), None, late)), [PAST]);
    let undated = ("2026-10-03T09:00:00Z", entered("S-2", "", "2027-10-03"));
    assert_eq!(reasons(&take(&shop(&[undated]), None, late)), [PAST], "it counts from when it was entered");
    let slip = ("2026-10-03T09:00:00Z", entered("S-2", "2025-10-01", "2026-11-01"));
    assert!(reasons(&take(&shop(&[slip]), None, late)).is_empty(), "a due date that was put right");
    assert!(reasons(&take(&shop(&[recalibrated()]), None, Occasion::default())).is_empty());
}

#[test]
fn an_instrument_that_was_entered_later_is_taken_as_it_was_entered_first() {
    let mut deed = entered("S-2", "2026-10-03", "2027-10-03");
    let Deed::InstrumentEntered { instrument, .. } = &mut deed else { panic!("an instrument") };
    instrument.insert("id".to_owned(), hingeline_bench::record::sheet::text("S-7"));
    let shop = shop(&[("2026-10-05T08:00:00Z", deed)]);
    let mut fields = weighing("17 1/4 in");
    fields.insert("scale".to_owned(), hingeline_bench::record::sheet::text("S-7"));
    let late = Occasion { mends: None, until: Some(UNTIL) };
    let preview = weigh::preview(&with_limits().job(), &shop, &fields, None, late);
    assert!(preview.assessment.is_some(), "{:?}", preview.faults);
}

#[test]
fn a_check_that_failed_later_says_nothing_of_an_earlier_weighing() {
    let check = BeforeWeighing { zero: "0 lb".to_owned(), check: "5.10 lb".to_owned() };
    let slip = ("2026-01-06T08:00:00Z", entered("S-2", "2025-10-01", "2026-11-01"));
    let failed = ("2026-10-04T08:00:00Z", Deed::Checked { id: "S-2".to_owned(), check: check.clone() });
    let shop = shop(&[slip, failed]);
    let late = Occasion { mends: None, until: Some(UNTIL) };
    assert!(reasons(&take(&shop, None, late)).is_empty());
    assert_eq!(reasons(&take(&shop, None, Occasion::default())).len(), 1);
    assert_eq!(reasons(&take(&shop, Some(check), late)).len(), 1, "its own check is its newest");
}
