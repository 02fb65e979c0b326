//! The result keys that others build on, and the numbers of the design's own sheet worked out by hand.

use crate::sheets::{HEAD, LIMITS, WEIGHING, assessed, changed, with_weighing};
use hingeline_bench::result::JobResult;
use serde_json::Value;

fn json(text: &str) -> Value {
    serde_json::to_value(JobResult::of(&assessed(text))).expect("JSON")
}

fn number(value: &Value, path: &str) -> f64 {
    value.pointer(path).and_then(Value::as_f64).unwrap_or_else(|| panic!("{path} of {value}"))
}

fn near(found: f64, expected: f64, digits: i32) {
    assert!(
        (found - expected).abs() <= 10f64.powi(-digits) * expected.abs().max(1e-12),
        "{found} for {expected}"
    );
}

const LB: f64 = 0.453_592_37;
const IN: f64 = 0.0254;

#[test]
fn every_key_of_the_contract_is_there() {
    let result = json(&with_weighing(WEIGHING));
    let keys = [
        "/job/number",
        "/limits/from_kg_m",
        "/limits/to_kg_m",
        "/limits/aim_kg_m",
        "/weighings/0/stage",
        "/weighings/0/method",
        "/weighings/0/static_moment_kg_m",
        "/weighings/0/side",
        "/weighings/0/friction_moment_kg_m",
        "/weighings/0/standard_uncertainty_kg_m",
        "/weighings/0/degrees_of_freedom",
        "/weighings/0/coverage_factor",
        "/weighings/0/expanded_uncertainty_kg_m",
        "/weighings/0/probability_within",
        "/weighings/0/verdict",
        "/weighings/0/doubt",
        "/weighings/0/valid_for_release",
        "/weighings/0/reasons",
        "/weighings/0/budget/0/name",
        "/weighings/0/budget/0/standard_uncertainty_kg_m",
        "/weighings/0/budget/0/share",
        "/corrections/0/station",
        "/corrections/0/action",
        "/corrections/0/mass_kg",
        "/corrections/0/mass_rounded_kg",
        "/corrections/0/mass_standard_uncertainty_kg",
        "/corrections/0/predicted_moment_kg_m",
        "/corrections/0/predicted_reading_kg",
        "/corrections/0/within_capacity",
    ];
    for key in keys {
        assert!(result.pointer(key).is_some(), "{key}");
    }
}

#[test]
fn one_reading_worked_by_hand() {
    let result = json(&with_weighing(WEIGHING));
    near(number(&result, "/weighings/0/static_moment_kg_m"), 1.25 * 17.25 * LB * IN, 12);
    // Reading and tare: 0.01/(2√3) lb each at 17.25 in; certificate 0.005 lb; rule 1/32/(2√3) in at 1.25 lb.
    let display = 0.01 / 12f64.sqrt() * 17.25;
    let certificate = 0.005 * 17.25;
    let rule = 1.0 / 32.0 / 12f64.sqrt() * 1.25;
    let u = (2.0 * display * display + certificate * certificate + rule * rule).sqrt() * LB * IN;
    near(number(&result, "/weighings/0/standard_uncertainty_kg_m"), u, 12);
    near(number(&result, "/weighings/0/expanded_uncertainty_kg_m"), 2.0 * u, 12);
    assert!(result.pointer("/weighings/0/degrees_of_freedom").expect("key").is_null());
    assert!(result.pointer("/weighings/0/friction_moment_kg_m").expect("key").is_null());
    assert_eq!(result["weighings"][0]["verdict"], "outside");
    assert_eq!(result["weighings"][0]["doubt"], "clear");
    assert_eq!(result["weighings"][0]["side"], "tail-heavy");
    assert_eq!(result["weighings"][0]["valid_for_release"], true);
    let shares: f64 = result["weighings"][0]["budget"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|row| number(row, "/share"))
        .sum();
    near(shares, 1.0, 12);
}

#[test]
fn the_correction_is_kept_within_the_capacity() {
    let result = json(&with_weighing(WEIGHING));
    let exact = (1.25 * 17.25 + 2.0) / 6.5;
    near(number(&result, "/corrections/0/mass_kg"), exact * LB, 12);
    near(number(&result, "/corrections/0/mass_rounded_kg"), 0.8 * LB, 12);
    assert_eq!(result["corrections"][0]["action"], "add");
    assert_eq!(result["corrections"][0]["within_capacity"], false);
    let predicted = 1.25 * 17.25 - 0.8 * 6.5;
    near(number(&result, "/corrections/0/predicted_moment_kg_m"), predicted * LB * IN, 12);
    near(number(&result, "/corrections/0/predicted_reading_kg"), (predicted / 17.25 + 0.06) * LB, 12);
}

#[test]
fn raising_and_lowering_worked_by_hand() {
    let weighing = WEIGHING.replace(
        "readings = [\"1.31 lb\"]",
        "raising = [\"1.34 lb\", \"1.35 lb\", \"1.33 lb\"]\nlowering = [\"1.28 lb\", \"1.29 lb\", \"1.28 lb\"]",
    );
    let result = json(&with_weighing(&weighing));
    let (raising, lowering) = (1.34, (1.28 + 1.29 + 1.28) / 3.0);
    near(
        number(&result, "/weighings/0/static_moment_kg_m"),
        ((raising + lowering) / 2.0 - 0.06) * 17.25 * LB * IN,
        12,
    );
    near(
        number(&result, "/weighings/0/friction_moment_kg_m"),
        17.25 * (raising - lowering) / 2.0 * LB * IN,
        12,
    );
    // s = 0.01 and 0.01/√3 lb: the half-sum has u = ½ √(0.01²/3 + (0.01²/3)/3) lb from the scatter.
    let a = 0.5 * 0.01 / 3f64.sqrt() * 17.25;
    let b = 0.5 * (0.01 / 3f64.sqrt()) / 3f64.sqrt() * 17.25;
    let display = 0.01 / 12f64.sqrt() * 17.25;
    let r = (raising + lowering) / 2.0 - 0.06;
    let variance = a * a
        + b * b
        + 2.0 * display * display
        + (0.005f64 * 17.25).powi(2)
        + (1.0 / 32.0 / 12f64.sqrt() * r).powi(2);
    near(number(&result, "/weighings/0/standard_uncertainty_kg_m"), variance.sqrt() * LB * IN, 12);
    near(
        number(&result, "/weighings/0/degrees_of_freedom"),
        variance.powi(2) / (a.powi(4) / 2.0 + b.powi(4) / 2.0),
        9,
    );
}

#[test]
fn limits_as_readings_are_limits_as_moments() {
    let limits = r#"
[limits]
source = "SK12 repair manual, 55-20, revision 4"
configuration = []
at_arm = "17 1/4 in"
from_reading = "-0.25 lb"
to_reading = "0.05 lb"
aim_reading = "0 lb"
"#;
    let weighing = WEIGHING.replace("confirmed = [\"final paint\", \"tab fitted and locked at neutral\", \"hinge bearings clean and dry\"]\n", "");
    let result = json(&format!("{HEAD}{limits}{weighing}"));
    near(number(&result, "/limits/from_kg_m"), -0.25 * 17.25 * LB * IN, 12);
    near(number(&result, "/limits/to_kg_m"), 0.05 * 17.25 * LB * IN, 12);
    near(number(&result, "/limits/aim_kg_m"), 0.0, 12);
    // The trade's own formula: (R − G) × D / d with R and G net of the sling.
    near(number(&result, "/corrections/0/mass_kg"), 1.25 * 17.25 / 6.5 * LB, 12);
}

#[test]
fn nose_heavy_is_taken_off_forward_and_put_on_aft() {
    let limits = LIMITS
        .replace("4.0 in-lb nose-heavy", "1 in-lb nose-heavy")
        .replace("\"0 in-lb\"", "\"1 in-lb tail-heavy\"")
        .replace("aim = \"2.0 in-lb nose-heavy\"\n", "");
    let aft = "[[station]]\nname = \"aft\"\narm = \"10 in\"\nside = \"aft\"\n";
    let weighing = WEIGHING.replace("1.31 lb", "-0.02 lb");
    let result = json(&format!("{HEAD}{aft}{limits}{weighing}"));
    assert_eq!(result["weighings"][0]["side"], "nose-heavy");
    assert_eq!(result["corrections"][0]["action"], "remove");
    assert_eq!(result["corrections"][1]["action"], "add");
    near(number(&result, "/corrections/0/mass_kg"), 0.08 * 17.25 / 6.5 * LB, 10);
    near(number(&result, "/corrections/1/mass_kg"), 0.08 * 17.25 / 10.0 * LB, 10);
}

#[test]
fn a_failed_check_makes_a_weighing_not_valid_for_release() {
    let said = "the check weight read +0.10 lb off, 0.02 lb is allowed";
    let line = format!("due = 2027-03-01\nfailed_check = \"{said}\"");
    let result = json(&changed("due = 2027-03-01", &line));
    assert_eq!(result["weighings"][0]["valid_for_release"], false);
    let reason = result["weighings"][0]["reasons"][0].as_str().expect("a reason");
    assert_eq!(reason, format!("instrument S-2 failed its last check: {said}"));
    assert_eq!(result["weighings"][0]["verdict"], "outside", "the verdict stays");
}

#[test]
fn configuration_and_due_dates_decide_validity_not_the_verdict() {
    let result = json(&changed("due = 2027-03-01", "due = 2026-10-01"));
    assert_eq!(result["weighings"][0]["valid_for_release"], false);
    assert_eq!(result["weighings"][0]["verdict"], "outside");
    let reasons = result["weighings"][0]["reasons"].to_string();
    assert!(reasons.contains("S-2") && reasons.contains("2026-10-01"), "{reasons}");
    let result = json(&changed("due = 2027-03-01", "due = 2026-10-02"));
    assert_eq!(result["weighings"][0]["valid_for_release"], true, "due on the day is in date");
    let open = WEIGHING
        .replace("confirmed = [\"final paint\", ", "confirmed = [\"FINAL PAINT\", ")
        .replace(", \"hinge bearings clean and dry\"]\nscale", "]\nscale");
    let result = json(&with_weighing(&open));
    assert_eq!(result["weighings"][0]["reasons"].as_array().expect("a list").len(), 1);
}

#[test]
fn units_of_the_sheet_change_nothing() {
    let metric = changed("arm = \"17 1/4 in\"", "arm = \"438.15 mm\"")
        .replace("1.31 lb", "20.96 oz")
        .replace("tare = \"0.06 lb\"", "tare = \"0,0272155422 kg\"");
    let one = json(&metric);
    let other = json(&with_weighing(WEIGHING));
    near(
        number(&one, "/weighings/0/static_moment_kg_m"),
        number(&other, "/weighings/0/static_moment_kg_m"),
        12,
    );
    near(
        number(&one, "/weighings/0/standard_uncertainty_kg_m"),
        number(&other, "/weighings/0/standard_uncertainty_kg_m"),
        12,
    );
}

#[test]
fn exactly_on_a_limit_of_zero_is_within() {
    let weighing = WEIGHING
        .replace("17 1/4 in", "7.3 in")
        .replace("0.06 lb", "0.7 lb")
        .replace("readings = [\"1.31 lb\"]", "raising = [\"0.73 lb\", \"0.74 lb\", \"0.71 lb\"]\nlowering = [\"0.68 lb\", \"0.67 lb\", \"0.67 lb\"]");
    let result = json(&with_weighing(&weighing));
    assert_eq!(result["weighings"][0]["side"], "balanced");
    assert_eq!(result["weighings"][0]["verdict"], "within");
}

#[test]
fn a_hung_mass_on_the_other_side_takes_its_hanger_along() {
    let limits = LIMITS
        .replace("aim = \"2.0 in-lb nose-heavy\"", "aim = \"3 in-lb nose-heavy\"")
        .replace("4.0 in-lb", "5 in-lb");
    let weighing = WEIGHING
        .replace("trailing-edge scale", "hung weight")
        .replace("tare = \"0.06 lb\"", "hanger = \"0.05 lb\"\nside = \"forward\"")
        .replace("17 1/4 in", "6 in")
        .replace("1.31 lb", "0.40 lb");
    let result = json(&format!("{HEAD}{limits}{weighing}"));
    let predicted = number(&result, "/corrections/0/predicted_moment_kg_m");
    assert!(predicted < 0.0);
    assert_eq!(result["corrections"][0]["predicted_other_side"], true);
    near(number(&result, "/corrections/0/predicted_reading_kg"), -predicted / (6.0 * IN) - 0.05 * LB, 9);
}

#[test]
fn a_correction_that_leads_out_again_says_so() {
    let limits = LIMITS.replace("4.0 in-lb", "1 in-lb").replace("aim = \"2.0 in-lb nose-heavy\"\n", "");
    let head = HEAD.replace("step = \"0.01 lb\"", "step = \"0.4 lb\"");
    let weighing = WEIGHING.replace("1.31 lb", "0.12 lb");
    let result = json(&format!("{head}{limits}{weighing}"));
    assert_eq!(result["corrections"][0]["predicted_verdict"], "outside");
}

#[test]
fn a_parts_list_that_begins_nowhere_is_not_valid_for_release() {
    let list = r#"
[[weighing]]
stage = "as found"
method = "parts list"
date = 2026-10-02
confirmed = ["final paint", "tab fitted and locked at neutral", "hinge bearings clean and dry"]
scale = "S-2"
rule = "R-1"
[[weighing.part]]
name = "rib"
mass = "0.1 lb"
arm = "10 in"
side = "forward"
change = "added"
"#;
    let result = json(&with_weighing(list));
    assert_eq!(result["weighings"][0]["valid_for_release"], false);
    assert!(result["weighings"][0]["reasons"][0].as_str().expect("a reason").contains("starting moment"));
}
