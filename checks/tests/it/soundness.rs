//! Checks that prove nothing are refused, and checks that disagree are told.

use hingeline_checks::{CheckError, Fault, Report, Suite};

const SOURCES: &str = "[[source]]\nkey = \"BOOK\"\ntitle = \"A book\"\npublisher = \"A publisher\"\n";

/// A case of the coverage factor, with `head` and `expect` in place of the sound ones.
fn case(head: &str, expect: &str) -> String {
    let sound = [
        ("id", "\"k\""),
        ("source", "\"BOOK\""),
        ("place", "\"table 1\""),
        ("what", "\"A sentence.\""),
        ("calculation", "\"coverage factor\""),
        ("grade", "\"derived\""),
        ("inputs", "{ degrees_of_freedom = 2 }"),
    ];
    let mut text = String::from("[[case]]\n");
    for (key, value) in sound {
        let given = head.lines().any(|line| line.starts_with(&format!("{key} =")));
        if !given {
            text.push_str(&format!("{key} = {value}\n"));
        }
    }
    format!("{text}{head}\n\n[[case.expect]]\n{expect}\n")
}

fn run(text: &str) -> Result<Report, CheckError> {
    Suite::load(SOURCES, &[("book/one.toml", text)])?.run()
}

const SOUND: &str = "of = \"coverage factor\"\nprinted = \"4.53\"";

fn fault(head: &str, expect: &str) -> Fault {
    let text = case(head, expect);
    let error = run(&text).expect_err(&text);
    assert!(!error.fault.hint().is_empty());
    assert!(!error.to_string().contains(&error.fault.to_string()), "the fault is told once");
    error.fault
}

#[test]
fn the_sample_case_is_sound_and_agrees() {
    let report = run(&case("", SOUND)).expect("sound");
    assert!(report.all_agree());
    assert_eq!(report.lines[0].matching_digits, 3);
    assert!((report.lines[0].tolerance - 0.005).abs() < 1e-15);
}

#[test]
fn a_value_that_disagrees_is_a_line_and_no_error() {
    let report = run(&case("", "of = \"coverage factor\"\nprinted = \"4.54\"")).expect("sound");
    assert_eq!(report.agree(), (0, 1));
    assert!(!report.all_agree());
    assert!(report.text().contains("WRONG"));
    assert_eq!(report.lines[0].matching_digits, 2);
}

#[test]
fn a_result_that_is_not_a_number_disagrees() {
    let head = "calculation = \"propagation\"\ninputs = { input = [{ name = \"x\", normal = nan }] }";
    let report = run(&case(head, "of = \"standard uncertainty\"\nprinted = \"4.53\"")).expect("sound");
    assert!(report.lines[0].computed.is_nan());
    assert_eq!(report.agree(), (0, 1));
}

#[test]
fn an_expected_text_that_is_no_number_is_refused() {
    for text in ["NaN", "inf", "", "about 4"] {
        let expect = format!("of = \"coverage factor\"\nprinted = \"{text}\"");
        assert_eq!(fault("", &expect), Fault::NotPrinted { text: text.to_owned() });
    }
}

#[test]
fn a_missing_source_is_refused() {
    let key = "NOVEL".to_owned();
    assert_eq!(fault("source = \"NOVEL\"", SOUND), Fault::UnknownSource { key });
}

#[test]
fn an_unknown_calculation_or_result_is_refused() {
    let name = "horoscope".to_owned();
    assert_eq!(fault("calculation = \"horoscope\"", SOUND), Fault::UnknownCalculation { name });
    let expect = "of = \"luck\"\nprinted = \"4.53\"";
    assert!(matches!(fault("", expect), Fault::UnknownResult { name, known }
        if name == "luck" && known == "coverage factor"));
}

#[test]
fn an_unknown_missing_or_impossible_input_is_refused() {
    for inputs in [
        "{}",
        "{ degrees_of_freedom = 2, colour = \"red\" }",
        "{ degrees_of_freedom = \"two\" }",
        "{ degrees_of_freedom = -1 }",
        "{ degrees_of_freedom = inf }",
    ] {
        let head = format!("inputs = {inputs}");
        assert!(matches!(fault(&head, SOUND), Fault::BadInputs { .. }), "{inputs}");
    }
    let with = format!("{SOUND}\nwith = {{ colour = 1 }}");
    assert!(matches!(fault("", &with), Fault::BadInputs { message } if message.contains("colour")));
}

#[test]
fn an_unknown_field_of_a_case_is_refused() {
    assert!(matches!(fault("colour = \"red\"", SOUND), Fault::Unreadable { .. }));
    let expect = format!("{SOUND}\ncolour = 1");
    assert!(matches!(fault("", &expect), Fault::Unreadable { .. }));
    assert!(matches!(fault("grade = \"good\"", SOUND), Fault::Unreadable { .. }));
}

#[test]
fn a_unit_that_does_not_fit_is_refused() {
    let expect = format!("{SOUND}\nunit = \"in\"");
    assert!(matches!(fault("", &expect), Fault::WrongUnit { unit, .. } if unit == "in"));
    let head = "calculation = \"reading a quantity\"\ninputs = { kind = \"length\", text = \"1 ft\" }";
    let expect = "of = \"value\"\nprinted = \"12.0\"";
    assert!(matches!(fault(head, expect), Fault::WrongUnit { unit, .. } if unit.is_empty()));
    assert!(run(&case(head, &format!("{expect}\nunit = \"in\""))).expect("sound").all_agree());
}

#[test]
fn a_wide_tolerance_needs_a_reason() {
    let wide = format!("{SOUND}\ntolerance = 0.006");
    assert!(matches!(fault("", &wide), Fault::WideTolerance { wide, .. } if wide.starts_with("wider")));
    assert!(matches!(fault("", &format!("{wide}\nwhy = \" \"")), Fault::WideTolerance { .. }));
    assert!(run(&case("", &format!("{wide}\nwhy = \"because\""))).expect("sound").all_agree());
}

#[test]
fn a_tolerance_above_a_tenth_of_the_value_needs_a_reason() {
    let coarse = "of = \"coverage factor\"\nprinted = \"5\"";
    let at_ten = run(&case("", coarse)).expect("a tenth is allowed");
    assert!(at_ten.all_agree());
    let two = "of = \"coverage factor\"\nprinted = \"2\"\nwith = { degrees_of_freedom = \"infinite\" }";
    assert!(matches!(fault("", two), Fault::WideTolerance { wide, .. } if wide.contains("tenth")));
}

#[test]
fn a_tolerance_of_nothing_is_refused() {
    for tolerance in ["0", "-0.1", "nan", "inf"] {
        let expect = format!("{SOUND}\ntolerance = {tolerance}\nwhy = \"because\"");
        assert!(matches!(fault("", &expect), Fault::NoTolerance { .. }), "{tolerance}");
    }
}

#[test]
fn a_tolerance_below_the_resolution_of_numbers_cannot_fail_and_is_refused() {
    let expect = format!("{SOUND}\ntolerance = 1e-300");
    assert!(matches!(fault("", &expect), Fault::CannotFail { .. }));
}

#[test]
fn empty_files_and_no_files_are_refused() {
    let error = Suite::load(SOURCES, &[("book/one.toml", "# nothing yet\n")]).expect_err("empty");
    assert_eq!(error.fault, Fault::EmptyFile);
    assert_eq!(error.to_string(), "book/one.toml is not sound");
    let error = Suite::load(SOURCES, &[]).expect_err("no files");
    assert_eq!(error.fault, Fault::NoCases);
    let bare = case("", SOUND).split("[[case.expect]]").next().expect("a head").to_owned();
    assert_eq!(run(&bare).expect_err("no value").fault, Fault::ExpectsNothing);
    assert!(!Report::default().all_agree(), "nothing agrees with nothing");
}

#[test]
fn names_are_given_once() {
    let text = case("", SOUND);
    let error = Suite::load(SOURCES, &[("book/one.toml", &text), ("book/two.toml", &text)]);
    let error = error.expect_err("two of one id");
    assert_eq!(error.fault, Fault::SameId);
    assert_eq!(error.to_string(), "case k of book/two.toml is not sound");
    let twice = format!("{SOURCES}{SOURCES}");
    let error = Suite::load(&twice, &[("book/one.toml", &text)]).expect_err("two of one key");
    assert!(matches!(error.fault, Fault::SameKey { .. }));
}

#[test]
fn a_source_must_be_cited_in_full() {
    let text = case("", SOUND);
    for (sources, expected) in [
        ("[[source]]\nkey = \"BOOK\"\ntitle = \" \"\n", "title"),
        ("[[source]]\nkey = \"BOOK\"\ntitle = \"A\"\npublisher = \"\"\n", "publisher"),
    ] {
        let error = Suite::load(sources, &[("book/one.toml", &text)]).expect_err("incomplete");
        assert!(matches!(error.fault, Fault::EmptySource { field, .. } if field == expected));
    }
    let error = Suite::load("[[source]]\nkey = \"BOOK\"\n", &[("book/one.toml", &text)]);
    assert!(matches!(error.expect_err("no title").fault, Fault::Unreadable { .. }));
}

#[test]
fn a_formula_that_only_memory_vouches_for_is_refused() {
    let recalled = case("grade = \"recalled\"", SOUND);
    let error = run(&recalled).expect_err("memory alone");
    assert!(matches!(error.fault, Fault::OnlyFromMemory { result, .. } if result == "coverage factor"));
    let derived = case("id = \"k-again\"", SOUND);
    let both = Suite::load(SOURCES, &[("book/one.toml", &recalled), ("book/two.toml", &derived)]);
    let report = both.expect("sound").run().expect("sound");
    assert!(report.all_agree());
    assert!(report.text().contains("from memory"));
}

#[test]
fn who_transcribed_or_computed_must_be_named() {
    for grade in ["transcribed", "computed"] {
        let head = format!("grade = \"{grade}\"");
        assert!(matches!(fault(&head, SOUND), Fault::NobodyNamed { .. }));
        let named = format!("{head}\nby = \"Alderbrook Structures\"");
        assert!(run(&case(&named, SOUND)).expect("sound").text().contains("by Alderbrook"));
    }
}

#[test]
fn a_difference_from_the_source_is_stated_with_what_we_hold_and_is_one() {
    let misprint = "of = \"coverage factor\"\nprinted = \"4.35\"";
    let stated = format!("{misprint}\ndifference = \"turned digits\"");
    assert!(matches!(fault("", &stated), Fault::HalfDifference { .. }));
    let report = run(&case("", &format!("{stated}\nours = \"4.53\""))).expect("sound");
    assert!(report.all_agree());
    assert!(report.text().contains("DIFFERENCE, we hold 4.53: turned digits"));
    let none = format!("{SOUND}\ndifference = \"none\"\nours = \"4.53\"");
    assert!(matches!(fault("", &none), Fault::NoDifference { .. }));
    let wrong = run(&case("", &format!("{stated}\nours = \"4.52\""))).expect("sound");
    assert!(!wrong.all_agree());
}

#[test]
fn moving_the_values_moves_what_is_compared() {
    let suite = Suite::load(SOURCES, &[("book/one.toml", &case("", SOUND))]).expect("sound");
    for (tolerances, agrees) in [(0.0, true), (1.0, false), (-1.0, true), (3.0, false), (-3.0, false)] {
        // 4.52654 lies 0.69 tolerances below 4.53.
        let report = suite.clone().moved(tolerances).run().expect("sound");
        assert_eq!(report.all_agree(), agrees, "{tolerances}");
    }
}
