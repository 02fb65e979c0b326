//! Holes in an old weight: what they bring, what stops them, and every way of being wrong.

use crate::sheets::told;
use crate::weight::{DRILL_OUT, MESH, horn};
use hingeline_bench::weight::drill_out::{DrillAnswer, Drilled, words, work};
use hingeline_bench::weight::{AnySheet, WeightSheet};
use proptest::prelude::*;
use std::f64::consts::PI;

fn drilled(text: &str) -> Drilled {
    match AnySheet::parse_with(text, &horn) {
        Ok(AnySheet::DrillOut(sheet)) => work(*sheet),
        Ok(AnySheet::Piece(_)) => panic!("a piece"),
        Err(faults) => panic!("{}", told(&faults)),
    }
}

fn refusal(text: &str) -> String {
    told(&AnySheet::parse_with(text, &horn).expect_err("a fault"))
}

fn near(a: f64, b: f64) {
    assert!((a - b).abs() <= 1e-9 * b.abs(), "{a} is not {b}");
}

#[test]
fn the_mass_that_goes_is_the_change_over_the_arm() {
    let answer = DrillAnswer::of(&drilled(DRILL_OUT));
    let holes = answer.drilled.expect("holes");
    // 0.45 in-lb at 6.6 in.
    near(holes.removed_kg, 0.45 / 6.6 * 0.453_592_37);
    near(holes.removed_moment_kg_m, answer.head.wanted.moment_kg_m);
    assert!(holes.remaining_kg_m.abs() < 1e-15);
}

#[test]
fn the_holes_hold_the_mass_that_goes() {
    let answer = DrillAnswer::of(&drilled(DRILL_OUT));
    let holes = answer.drilled.expect("holes");
    let radius = 0.5 * holes.hole_diameter_m;
    let cone = PI * radius.powi(2) * (holes.hole_tip_depth_m - holes.hole_full_depth_m) / 3.0;
    let each = PI * radius.powi(2) * holes.hole_full_depth_m + cone;
    near(each * f64::from(holes.holes) * answer.head.material.density_kg_m3, holes.removed_kg);
}

#[test]
fn what_is_left_is_the_old_weight_less_the_holes() {
    let left = DrillAnswer::of(&drilled(DRILL_OUT)).drilled.expect("holes").left.expect("an old weight");
    // (0.92 lb × 6.5 in − 0.45 in-lb) ÷ (0.92 lb − 0.45/6.6 lb)
    near(left.arm_m, -(0.92 * 6.5 - 0.45) / (0.92 - 0.45 / 6.6) * 0.0254);
}

#[test]
fn without_the_mass_of_the_old_weight_only_what_goes_is_said() {
    let answer =
        drilled(&DRILL_OUT.replace("old_mass = \"0.92 lb\"\n", "").replace("removable = \"0.15 lb\"\n", ""));
    let lines: Vec<String> = words::sections(&answer).into_iter().flat_map(|section| section.lines).collect();
    assert!(lines.iter().any(|line| line == "it must weigh 0.06818 lb less than before"), "{lines:?}");
    assert!(DrillAnswer::of(&answer).drilled.expect("holes").left.is_none());
}

/// 1 lb at 5 in, of which 5 in-lb must go at 5 in: there is no arm of nothing.
#[test]
fn of_an_old_weight_that_goes_whole_nothing_is_left() {
    let whole = DRILL_OUT
        .replace("measured = \"2.35 in-lb", "measured = \"5 in-lb")
        .replace("\"1.9 in-lb nose-heavy\"", "\"0 in-lb\"")
        .replace("\"6 1/2 in\"", "\"5 in\"")
        .replace("\"6.6 in\"", "\"5 in\"")
        .replace("\"0.92 lb\"", "\"1 lb\"")
        .replace("removable = \"0.15 lb\"\n", "")
        .replace("most_holes = 6", "most_holes = 60");
    let answer = drilled(&whole);
    let lines: Vec<String> = words::sections(&answer).into_iter().flat_map(|section| section.lines).collect();
    assert!(lines.iter().any(|line| line == "after: nothing is left of it"), "{lines:?}");
    let holes = DrillAnswer::of(&answer).drilled.expect("holes");
    near(holes.removed_kg, 0.453_592_37);
    assert!(holes.left.is_none());
}

#[test]
fn too_few_holes_say_what_it_would_take() {
    let answer = drilled(&DRILL_OUT.replace("most_holes = 6", "most_holes = 2"));
    assert!(!answer.is_solved());
    let stopped = DrillAnswer::of(&answer).stopped.expect("not enough");
    assert_eq!(stopped.limit, Some("number, depth and diameter of the holes"));
    assert_eq!(stopped.would_take_holes, Some(3));
    let lacking = stopped.lacking_kg.expect("a mass");
    near(stopped.lacking_kg_m.expect("a moment"), lacking * 6.6 * 0.0254);
}

#[test]
fn as_deep_as_it_says_the_holes_would_do() {
    let few = DRILL_OUT.replace("most_holes = 6", "most_holes = 2");
    let stopped = DrillAnswer::of(&drilled(&few)).stopped.expect("not enough");
    let depth = stopped.would_take_depth_m.expect("a depth") * 1000.0 + 1e-6;
    let deeper = few.replace("deepest = \"0.6 in\"", &format!("deepest = \"{depth} mm\""));
    assert!(drilled(&deeper).is_solved());
}

#[test]
fn the_mass_that_may_go_stops_it() {
    let answer = drilled(&DRILL_OUT.replace("removable = \"0.15 lb\"", "removable = \"0.05 lb\""));
    let said = words::headline(&answer);
    assert_eq!(
        said,
        "Holes there will not do: 0.05000 lb of 0.06818 lb may go, 0.1200 in-lb of 0.4500 in-lb towards tail-heavy \
         is lacking."
    );
    assert_eq!(DrillAnswer::of(&answer).stopped.expect("not enough").limit, Some("the mass that may go"));
}

#[test]
fn the_wrong_side_is_told() {
    let answer = drilled(&DRILL_OUT.replace("side = \"forward\"\ndiameters", "side = \"aft\"\ndiameters"));
    assert_eq!(answer.standing(), "wrong side");
    assert!(words::headline(&answer).contains("6.600 in aft changes the moment the other way"));
}

#[test]
fn keys_of_drilling_out() {
    let check = |from: &str, to: &str, part: &str| {
        assert!(DRILL_OUT.contains(from), "the sheet holds no {from}");
        let said = refusal(&DRILL_OUT.replacen(from, to, 1));
        assert!(said.contains(part), "no “{part}” in:\n{said}");
    };
    check("arm = \"6.6 in\"\n", "", "drill_out has no arm");
    check("diameters = [\"1/4 in\", \"5/16 in\", \"3/8 in\"]\n", "", "drill_out has no diameters");
    check("deepest = ", "depest = ", "did you mean “deepest”?");
    check(
        "old_arm = \"6 1/2 in\"\nold_side = \"forward\"\n",
        "",
        "drill_out has old_mass, but weight has no old_arm",
    );
    check("[drill_out]", "[vary]\nwhat = \"nothing\"\n[drill_out]", "unknown key “vary”");
    check("[drill_out]", "[form]\nkind = \"cap\"\n[drill_out]", "the sheet has both [form] and [drill_out]");
    check("most_holes = 6", "most_holes = 0", "most_holes is 0");
}

#[test]
fn a_sheet_of_holes_is_not_read_as_a_piece() {
    let said = told(&WeightSheet::parse(DRILL_OUT).expect_err("a fault"));
    assert!(said.contains("this sheet drills an old weight out"), "{said}");
    assert!(matches!(AnySheet::parse_with(MESH, &horn), Ok(AnySheet::Piece(_))));
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 100,
        rng_seed: proptest::test_runner::RngSeed::Fixed(47),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn any_change_is_brought_about_or_refused_with_what_is_lacking(aim in 0.1..2.3f64, most in 1..12u32) {
        let text = DRILL_OUT
            .replace("\"1.9 in-lb nose-heavy\"", &format!("\"{aim} in-lb nose-heavy\""))
            .replace("most_holes = 6", &format!("most_holes = {most}"));
        let answer = DrillAnswer::of(&drilled(&text));
        let wanted = answer.head.wanted.moment_kg_m;
        match (answer.drilled, answer.stopped) {
            (Some(holes), None) => {
                prop_assert!(holes.holes <= most && holes.hole_tip_depth_m <= 0.6 * 0.0254);
                prop_assert!((holes.removed_kg * 6.6 * 0.0254 - wanted).abs() <= 1e-9 * wanted);
            }
            (None, Some(stopped)) => {
                prop_assert!(0.0 < stopped.lacking_kg_m.expect("a moment"));
                prop_assert!(stopped.lacking_kg_m.expect("a moment") < wanted);
            }
            other => prop_assert!(false, "{other:?}"),
        }
    }
}
