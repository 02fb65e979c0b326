//! The demo: every method, and the four kinds of answer.

use crate::calls::{call, demo, hingeline};
use serde_json::Value;
use std::collections::BTreeSet;

fn all() -> Vec<Value> {
    let (_, out, err) = call(hingeline().arg("balance").arg(demo("")).arg("--json"));
    assert_eq!(err, "");
    serde_json::from_str::<Value>(&out).expect("JSON").as_array().expect("a list").clone()
}

fn last(entry: &Value) -> &Value {
    entry["result"]["weighings"].as_array().expect("weighings").last().expect("one")
}

#[test]
fn every_method_is_shown() {
    let all = all();
    let methods: BTreeSet<&str> =
        all.iter().map(|entry| last(entry)["method"].as_str().expect("a method")).collect();
    assert_eq!(methods.len(), 6, "{methods:?}");
}

#[test]
fn the_four_kinds_of_answer_are_shown() {
    let all = all();
    let there = |verdict: &str, doubt: &str, side: &str| {
        all.iter()
            .map(last)
            .any(|w| w["verdict"] == verdict && w["doubt"] == doubt && (side.is_empty() || w["side"] == side))
    };
    assert!(there("within", "clear", ""), "a clear pass");
    assert!(there("outside", "clear", "tail-heavy"), "a clear fail");
    assert!(there("within", "doubtful", "") || there("outside", "doubtful", ""), "a doubtful one");
    assert!(there("outside", "clear", "nose-heavy"), "one nose-heavy beyond its limit");
    assert!(all.iter().any(|entry| last(entry)["valid_for_release"] == false), "one not valid for release");
    assert!(all.iter().any(|entry| !entry["result"]["change"].is_null()), "one as found and as left");
}

#[test]
fn the_correction_of_the_main_job_leads_into_the_limits() {
    let (_, out, _) = call(hingeline().arg("balance").arg(demo("HP-0231-elevator.toml")).arg("--json"));
    let result: Value = serde_json::from_str(&out).expect("JSON");
    let correction = &result["corrections"][0];
    assert_eq!(correction["within_capacity"], true);
    let predicted = correction["predicted_moment_kg_m"].as_f64().expect("a number");
    assert!(result["limits"]["from_kg_m"].as_f64().expect("a number") < predicted);
    assert!(predicted < result["limits"]["to_kg_m"].as_f64().expect("a number"));
}

/// The budget calls the sets what the rest of the answer calls them.
#[test]
fn the_sets_of_a_hung_weight_have_one_name() {
    let (_, out, _) = call(hingeline().arg("balance").arg(demo("HP-0229-tab.toml")).arg("--explain"));
    assert!(
        out.contains("mean of “just rises with”")
            && out.contains("scatter of hung masses, “just sinks with”"),
        "{out}"
    );
    assert!(!out.contains("raising") && !out.contains("lowering"), "{out}");
}
