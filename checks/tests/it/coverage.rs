//! The proof by simulation, reduced: S ± U covers the true moment as often as it says, and a weighing that is handed
//! over wrongly is found out.
//!
//! docs/coverage.md is the whole of it.

use hingeline_balance::{Levelling, Method, Readings, Weighing};
use hingeline_checks::coverage::{
    Cause, Habit, Mix, RATIOS, Row, Taken, Tally, Way, claimed, simulate, sweep,
};

const BENCHES: u64 = 20_000;
const SEED: u64 = 1;

/// 95 % less three standard deviations of binomial noise, √(0.95 × 0.05 / 20000) = 0.154 %.
const BOUND: f64 = 95.0 - 3.0 * 0.154;

/// The rows of the claim, each way and mix with the fewest readings that the claim allows: raising and lowering,
/// and at rest.
fn hardest() -> Vec<Row> {
    claimed().into_iter().filter(|row| matches!(row.readings, 0 | 3 | 7)).collect()
}

fn covered(taken: Taken) {
    let rows: Vec<Row> = hardest().into_iter().filter(|row| row.taken == taken).collect();
    assert!(!rows.is_empty());
    for (number, row) in (0..).zip(&rows) {
        let tally = simulate(row, number, BENCHES, SEED, |weighing| weighing);
        assert_eq!(tally.benches, BENCHES);
        assert!(tally.coverage() >= BOUND, "{row:?}: {:.2} %", tally.coverage());
        assert!(tally.clear_wrong() < 1.0, "{row:?}: {:.2} %", tally.clear_wrong());
        if let Some(heights) = tally.height_coverage() {
            assert!(heights >= BOUND, "{row:?}: height {heights:.2} %");
        }
    }
}

#[test]
fn raising_and_lowering_covers_the_truth_in_every_mix() {
    covered(Taken::Turning);
}

#[test]
fn seven_readings_at_rest_cover_the_truth_in_every_mix_of_the_claim() {
    covered(Taken::AtRest);
}

#[test]
fn a_parts_list_covers_the_truth_in_every_mix() {
    covered(Taken::Calculated);
}

#[test]
fn no_proportion_of_scatter_and_the_rest_falls_below() {
    let fewest = |row: &Row| row.has_enough_readings() && matches!(row.readings, 3 | 7);
    let rows: Vec<Row> = sweep(Mix::Rest).into_iter().chain(sweep(Mix::Beside)).filter(fewest).collect();
    assert_eq!(rows.len(), 2 * 2 * RATIOS.len());
    for (number, row) in (0..).zip(&rows) {
        let tally = simulate(row, number, BENCHES, SEED, |weighing| weighing);
        assert!(tally.coverage() >= BOUND, "{row:?}: {:.2} %", tally.coverage());
    }
}

#[test]
fn the_claim_is_about_every_way_and_every_cause() {
    let rows = hardest();
    for way in Way::ALL {
        for taken in [Taken::Turning, Taken::AtRest, Taken::Calculated] {
            if (way == Way::PartsList) != (taken == Taken::Calculated) {
                continue;
            }
            for cause in way.causes(taken) {
                let sticks = taken == Taken::AtRest && cause == Cause::Friction;
                let there = rows
                    .iter()
                    .any(|row| row.way == way && row.taken == taken && row.mix == Mix::Chiefly(cause));
                assert_eq!(there, !sticks, "{way:?} {taken:?} {cause:?}");
            }
        }
    }
}

#[test]
fn the_answer_does_not_depend_on_the_number_of_threads() {
    let row = three_a_set(Cause::Scatter);
    let run = || simulate(&row, 1, 5_500, SEED, |weighing| weighing);
    let alone = rayon::ThreadPoolBuilder::new().num_threads(1).build().expect("a pool").install(run);
    assert_eq!(run(), alone);
}

fn three_a_set(cause: Cause) -> Row {
    Row {
        way: Way::TrailingEdgeScale,
        mix: Mix::Chiefly(cause),
        taken: Taken::Turning,
        readings: 3,
        habit: Habit::Good,
    }
}

/// Simulates benches on which this cause is chief, handed over wrongly.
fn wrongly(cause: Cause, handed: impl Fn(&mut Weighing) + Sync) -> Tally {
    simulate(&three_a_set(cause), 0, BENCHES, SEED, |mut weighing| {
        handed(&mut weighing);
        weighing
    })
}

#[track_caller]
fn found_out(tally: Tally) {
    assert!(tally.coverage() < 85.0, "{:.2} %", tally.coverage());
}

#[test]
fn a_certificate_left_out_is_found_out() {
    found_out(wrongly(Cause::ScaleOffset, |weighing| {
        let Method::TrailingEdgeScale(at) = &mut weighing.method else { return };
        at.scale.calibration = None;
    }));
}

#[test]
fn raising_only_is_found_out() {
    found_out(wrongly(Cause::Friction, |weighing| {
        let Method::TrailingEdgeScale(at) = &mut weighing.method else { return };
        let Readings::Turning { raising, .. } = &at.readings else { return };
        at.readings = Readings::AtRest(raising.clone());
    }));
}

#[test]
fn a_display_said_to_be_ten_times_as_fine_is_found_out() {
    found_out(wrongly(Cause::Display, |weighing| {
        let Method::TrailingEdgeScale(at) = &mut weighing.method else { return };
        at.scale.resolution = at.scale.resolution / 10.0;
    }));
}

#[test]
fn levelling_said_to_be_ten_times_as_close_is_found_out() {
    found_out(wrongly(Cause::Levelling, |weighing| {
        let Some(Levelling { level_within, .. }) = &mut weighing.levelling else { return };
        *level_within = *level_within / 10.0;
    }));
}

#[test]
fn a_forgotten_tare_is_found_out() {
    let tally = wrongly(Cause::Scatter, |weighing| {
        let Method::TrailingEdgeScale(at) = &mut weighing.method else { return };
        at.tare = None;
    });
    assert!(tally.coverage() < 85.0, "half of the benches have a sling: {:.2} %", tally.coverage());
}
