//! The checks that are built into the program.

use hingeline_checks::{FILES, Grade, Report, Suite, run};
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

fn report() -> Report {
    run().expect("sound checks")
}

#[test]
fn every_published_value_agrees() {
    let report = report();
    let wrong: Vec<String> = report
        .lines
        .iter()
        .filter(|line| !line.agrees)
        .map(|line| format!("{} {}: {} for {}", line.id, line.name, line.computed, line.printed))
        .collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(report.all_agree());
    assert_eq!(report.agree(), (report.lines.len(), report.lines.len()));
}

#[test]
fn every_check_fails_where_its_value_is_moved_by_three_tolerances() {
    for tolerances in [3.0, -3.0] {
        let moved = Suite::embedded().expect("sound").moved(tolerances).run().expect("sound");
        assert_eq!(moved.lines.len(), report().lines.len());
        for line in &moved.lines {
            assert!(
                !line.agrees,
                "{} {}: {} still agrees with {} moved by {tolerances} × {}",
                line.id, line.name, line.computed, line.printed, line.tolerance
            );
        }
        assert!(!moved.all_agree());
    }
}

#[test]
fn the_text_is_the_same_each_time_and_fits_the_page() {
    let text = report().text();
    assert_eq!(text, report().text());
    for line in text.lines() {
        assert!(line.chars().count() <= 100, "{line}");
        assert_eq!(line.trim_end(), line);
    }
}

#[test]
fn the_text_ends_in_the_summary_and_names_what_memory_and_practice_vouch_for() {
    let report = report();
    let text = report.text();
    assert_eq!(text.lines().last(), Some(report.summary().as_str()));
    for grade in [Grade::Recalled, Grade::CommonPractice] {
        let marked = text.lines().filter(|line| line.ends_with(&format!(" {}", grade.word()))).count();
        assert_eq!(marked, report.of_grade(grade), "{}", grade.word());
        assert!(marked > 0);
    }
    assert!(text.contains("Common practice of the trade, no published source"));
    let differences = report.lines.iter().filter(|line| line.difference.is_some()).count();
    assert_eq!(text.matches("DIFFERENCE, we hold").count(), differences);
}

#[test]
fn every_grade_is_there_and_every_source_of_the_list_is_used() {
    let report = report();
    for grade in Grade::ALL {
        assert!(report.of_grade(grade) > 0, "{}", grade.word());
    }
    let suite = Suite::embedded().expect("sound");
    let listed: Vec<&str> = suite.sources().all().iter().map(|source| source.key.as_str()).collect();
    assert_eq!(report.sources(), listed, "in the order of the list");
}

#[test]
fn most_values_do_not_rest_on_memory() {
    let report = report();
    assert!(4 * report.of_grade(Grade::Recalled) < report.lines.len());
}

/// Every TOML file in a folder of the checks, and no other, is built in.
#[test]
fn every_case_file_is_built_into_the_program() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut found = BTreeSet::new();
    for folder in fs::read_dir(root).expect("the checks").map(|entry| entry.expect("an entry").path()) {
        if !folder.is_dir() {
            continue;
        }
        for file in fs::read_dir(&folder).expect("a folder").map(|entry| entry.expect("an entry").path()) {
            if file.extension().is_some_and(|extension| extension == "toml") {
                let name = file.strip_prefix(root).expect("below the checks");
                found.insert(name.to_string_lossy().replace('\\', "/"));
            }
        }
    }
    let built_in: BTreeSet<String> = FILES.iter().map(|(file, _)| (*file).to_owned()).collect();
    assert_eq!(found, built_in);
    assert_eq!(built_in.len(), FILES.len(), "no file is there twice");
}
