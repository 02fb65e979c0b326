//! Every way of being wrong: what is said, where, and what to do.

use crate::sheets::{HEAD, LIMITS, WEIGHING, changed, told, with_weighing};
use hingeline_bench::JobSheet;
use proptest::prelude::*;

/// What is said about a sheet with one text changed for another.
fn says(from: &str, to: &str) -> String {
    refused(&changed(from, to))
}

fn refused(text: &str) -> String {
    told(&JobSheet::parse(text).expect_err("a fault"))
}

fn check(from: &str, to: &str, parts: &[&str]) {
    let told = says(from, to);
    for part in parts {
        assert!(told.contains(part), "no “{part}” in:\n{told}");
    }
}

#[test]
fn unknown_key_names_the_nearest() {
    check("tare = ", "tear = ", &["weighing 1 (as found): unknown key “tear”", "did you mean “tare”?"]);
    check(
        "[[station]]",
        "[[stations]]",
        &["unknown key “stations”", "did you mean “station”?", "the sheet has no station"],
    );
    check("surface = ", "surfaces = ", &["job: unknown key “surfaces”", "job has no surface"]);
}

#[test]
fn missing_station_weighing_or_instrument() {
    let told = refused(&format!("{LIMITS}{WEIGHING}"));
    assert!(told.contains("the sheet has no [job]"), "{told}");
    assert!(told.contains("the sheet has no station"), "{told}");
    assert!(told.contains("there is no instrument “S-2” in this sheet"), "{told}");
    assert!(refused(&format!("{HEAD}{LIMITS}")).contains("the sheet has no weighing"));
    check("scale = \"S-2\"", "scale = \"S-9\"", &["no instrument “S-9”", "allowed: S-2, R-1"]);
    check("scale = \"S-2\"", "scale = \"R-1\"", &["the instrument named is a rule", "kind \"scale\""]);
    check("scale = \"S-2\"\n", "", &["weighing 1 (as found) has no scale"]);
}

#[test]
fn arms_of_zero_or_without_unit() {
    check(
        "arm = \"6.5 in\"",
        "arm = \"0 in\"",
        &["station “horn weight, front face”, arm is 0 in", "above 0 up to 5 m"],
    );
    check("arm = \"17 1/4 in\"", "arm = \"17 1/4\"", &["“17 1/4” has no unit", "hint: write 17 1/4 in"]);
    check("arm = \"17 1/4 in\"", "arm = \"17 1/4 lb\"", &["“lb” is a unit of mass, but a length is wanted"]);
    check("arm = \"17 1/4 in\"", "arm = 17.25", &["arm: a float where a text with its unit is wanted"]);
    check("arm = \"17 1/4 in\"", "arm = \"17 1/0 in\"", &["“1/0” is a fraction over zero"]);
}

#[test]
fn numbers_that_are_none() {
    check("1.31 lb", "1.3.1 lb", &["“1.3.1” has more than one decimal mark"]);
    check("1.31 lb", "NaN lb", &["“NaN” is not a number"]);
    check("1.31 lb", "inf lb", &["“inf” is not a number"]);
    check(
        "readings = [\"1.31 lb\"]",
        "readings = []",
        &["readings holds no reading", "allowed: 1 to 100 readings", "enter at least one reading"],
    );
    let many = format!("readings = [{}]", "\"1.31 lb\", ".repeat(103));
    let said = ["readings holds 103 readings", "allowed: 1 to 100 readings", "leave out 3"];
    check("readings = [\"1.31 lb\"]", &many, &said);
}

#[test]
fn readings_beyond_the_scale() {
    check(
        "resolution = \"0.01 lb\"\n",
        "resolution = \"0.01 lb\"\ncapacity = \"1 lb\"\n",
        &["readings: 1.31 lb is more than the scale can weigh", "allowed: up to 1.000 lb"],
    );
}

#[test]
fn limits_the_wrong_way_round() {
    check(
        "4.0 in-lb nose-heavy",
        "4.0 in-lb tail-heavy",
        &["limits are the wrong way round", "change them over"],
    );
    check(
        "aim = \"2.0 in-lb nose-heavy\"",
        "aim = \"2.0 in-lb tail-heavy\"",
        &["the aim 2.000 in-lb tail-heavy lies outside the limits"],
    );
}

#[test]
fn a_side_and_a_sign() {
    check(
        "\"4.0 in-lb nose-heavy\"",
        "\"-4.0 in-lb tail-heavy\"",
        &["a sign and “tail-heavy” stand side by side and may contradict each other"],
    );
    check("\"4.0 in-lb nose-heavy\"", "\"-4.0 in-lb\"", &["does not say its side", "manual_plus"]);
}

#[test]
fn signs_of_the_manual_are_read_by_its_rule() {
    let text = changed("\"4.0 in-lb nose-heavy\"", "\"+4.0 in-lb\"")
        .replace("configuration", "manual_plus = \"nose-heavy\"\nconfiguration");
    let sheet = JobSheet::parse(&text).expect("a sheet");
    assert!(sheet.limits.band.from().side().word() == "nose-heavy");
}

#[test]
fn half_a_way_of_reading() {
    check("readings = [\"1.31 lb\"]", "raising = [\"1.31 lb\"]", &["has raising but no lowering"]);
    check(
        "readings = ",
        "raising = [\"1.3 lb\"]\nlowering = [\"1.3 lb\"]\nreadings = ",
        &["has both readings and raising or lowering"],
    );
    check(
        "tare = ",
        "surface_mass = \"11 lb\"\ntare = ",
        &["the levelling has no cg_height_within and no level_within"],
    );
}

#[test]
fn keys_of_another_method_are_unknown() {
    check(
        "method = \"trailing-edge scale\"",
        "method = \"parts list\"",
        &["unknown key “arm”", "has no part"],
    );
    check(
        "method = \"trailing-edge scale\"",
        "method = \"trailing edge scale\"",
        &["“trailing edge scale” is not a choice", "hint: write method = \"trailing-edge scale\""],
    );
}

#[test]
fn an_item_that_nobody_asked_for() {
    check(
        "confirmed = [\"final paint\"",
        "confirmed = [\"finel paint\"",
        &["“finel paint” is not in the configuration", "did you mean “final paint”?"],
    );
}

#[test]
fn dates_of_the_calendar() {
    check("date = 2026-10-02", "date = \"2026-02-30\"", &["“2026-02-30” is not a date"]);
    check("date = 2026-10-02", "date = 7", &["date: an integer where a date is wanted"]);
}

#[test]
fn all_faults_come_at_once_in_the_order_of_the_text() {
    let text = changed("1.31 lb", "1.31")
        .replace("17 1/4 in", "0 in")
        .replace("kind = \"rule\"", "kind = \"ruler\"")
        .replace("6.5 in", "6.5");
    let faults = JobSheet::parse(&text).expect_err("faults").faults;
    assert!(faults.len() >= 4, "{faults:?}");
    assert!(faults.is_sorted_by_key(|fault| (fault.line, fault.column)));
    for fault in &faults {
        let line = text.lines().nth(fault.line - 1).expect("the line is there");
        assert!(fault.column <= line.chars().count() + 1);
    }
}

#[test]
fn the_place_is_the_part_that_is_wrong() {
    let text = with_weighing(&WEIGHING.replace("\"1.31 lb\"", "\"1.31 lb\", \"1,2,3 lb\""));
    let faults = JobSheet::parse(&text).expect_err("a fault").faults;
    assert_eq!(text.get(faults[0].span.clone()), Some("1,2,3"));
}

#[test]
fn text_that_is_no_toml() {
    let told = refused("[job\nnumber = ");
    assert!(told.contains("not TOML here"), "{told}");
    assert!(refused("").contains("the sheet has no [job]"));
}

/// Texts without quotes, quotes that do not close, an inch mark within double quotes: the line says it, with what to
/// write, and the other faults of the sheet are said too, but none that only follows.
#[test]
fn slips_of_toml_do_not_hide_other_faults() {
    let whole = with_weighing(WEIGHING).replace("tare = ", "tear = ");
    let slips = [
        (
            "kind = \"scale\"",
            "kind = scale",
            "a text without straight quotes",
            "write kind = \"scale\"; a date",
        ),
        ("kind = \"scale\"", "kind = “scale”", "a text without straight quotes", "write kind = \"scale\""),
        ("arm = \"17 1/4 in\"", "arm = \"17 1/4\"\"", "something behind the value", "'17 1/4\"'"),
        ("id = \"S-2\"", "id = \"S-2", "quotes do not close", "put \" before and behind it"),
        ("date = 2026-10-02", "date = 02.10.2026", "not TOML here", "year-month-day"),
        ("surface = ", "number = \"x\"\nsurface = ", "the same name twice", "leave one of them out"),
    ];
    for (from, to, what, hint) in slips {
        assert!(whole.contains(from), "{from}");
        let faults = JobSheet::parse(&whole.replacen(from, to, 1)).expect_err("faults");
        let said = told(&faults);
        assert!(said.contains(what) && said.contains(hint), "{to}: {said}");
        assert!(said.contains("unknown key “tear”"), "{to}: {said}");
        assert_eq!(faults.faults.len(), 2, "{to}: {said}");
        assert!(faults.faults.iter().all(|fault| !fault.span.is_empty()), "{to}: a place to be shown");
    }
}

/// Where a slip swallows lines that are right, it alone is said, once a line.
#[test]
fn a_slip_that_swallows_lines_is_said_alone() {
    let whole = with_weighing(WEIGHING).replace("tare = ", "tear = ");
    for (from, to, what) in [
        ("[limits]", "[limits", "a bracket that does not close"),
        ("[[weighing]]", "[[weighing]", "a bracket that does not close"),
        ("[limits]", "[job]", "the same name twice"),
        ("surface = ", "the surface = ", "a key without ="),
    ] {
        let faults = JobSheet::parse(&whole.replacen(from, to, 1)).expect_err("a fault");
        assert!(told(&faults).contains(what), "{to}: {}", told(&faults));
        assert_eq!(faults.faults.len(), 1, "{to}: {}", told(&faults));
        assert!(whole.lines().nth(faults.faults[0].line - 1).is_some_and(|line| line.contains(from)), "{to}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { rng_seed: proptest::test_runner::RngSeed::Fixed(7), ..ProptestConfig::default() })]

    /// Whatever is cut out of a sheet or put into it, it is read or refused, with every fault inside the text.
    #[test]
    fn damaged_sheets_never_panic(start in 0usize..1200, length in 0usize..40, put in "[\\PC\n]{0,12}") {
        let whole = with_weighing(WEIGHING);
        let start = whole.floor_char_boundary(start.min(whole.len()));
        let end = whole.ceil_char_boundary((start + length).min(whole.len()));
        let text = format!("{}{put}{}", &whole[..start], &whole[end..]);
        if let Err(faults) = JobSheet::parse(&text) {
            prop_assert!(!faults.faults.is_empty());
            for fault in &faults.faults {
                prop_assert!(fault.line >= 1 && fault.column >= 1);
            }
        }
    }
}
