//! What the documentation of the product says of checks and sources is true.

use hingeline_checks::{FILES, Suite};
use std::fs;
use std::path::{Path, PathBuf};

/// Every source file of every crate, with its text.
fn sources() -> Vec<(PathBuf, String)> {
    let crates = Path::new(env!("CARGO_MANIFEST_DIR")).join("../crates");
    let mut files = Vec::new();
    let mut folders: Vec<PathBuf> = fs::read_dir(&crates)
        .expect("the crates")
        .map(|entry| entry.expect("an entry").path().join("src"))
        .collect();
    while let Some(folder) = folders.pop() {
        let Ok(entries) = fs::read_dir(&folder) else { continue };
        for path in entries.map(|entry| entry.expect("an entry").path()) {
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|extension| extension == "rs") {
                let text = fs::read_to_string(&path).expect("a source file");
                files.push((path, text));
            }
        }
    }
    files.sort();
    files
}

/// The text of a documentation comment's line.
fn documentation(line: &str) -> Option<&str> {
    let line = line.trim_start();
    line.strip_prefix("///").or_else(|| line.strip_prefix("//!"))
}

/// Words such as `checks/gum/h1.toml`.
fn check_files(text: &str) -> Vec<&str> {
    let ends = |letter: char| letter.is_whitespace() || "`\"'(),;:".contains(letter);
    text.split(ends)
        .filter(|word| word.starts_with("checks/"))
        .map(|word| word.trim_end_matches('.'))
        .collect()
}

/// Keys such as `GUM` in `[GUM] equation 10`, or with backslashes before the brackets; links as in [`Limits`] or
/// [text](target) are none.
fn keys(text: &str) -> Vec<&str> {
    text.split('[')
        .skip(1)
        .filter_map(|rest| rest.split_once(']'))
        .map(|(key, behind)| (key.trim_end_matches('\\'), behind))
        .filter(|(key, behind)| {
            let upper =
                |letter: char| letter.is_ascii_uppercase() || letter.is_ascii_digit() || letter == '-';
            !key.is_empty() && key.chars().all(upper) && !behind.starts_with('(')
        })
        .map(|(key, _)| key)
        .collect()
}

#[test]
fn every_check_that_the_documentation_names_exists() {
    let mut named = 0;
    for (path, text) in sources() {
        for word in text.lines().filter_map(documentation).flat_map(check_files) {
            let file = word.trim_start_matches("checks/");
            let known = FILES.iter().any(|(name, _)| *name == file);
            assert!(known, "{}: {word} is not there", path.display());
            named += 1;
        }
    }
    assert!(named >= 8, "only {named} found");
}

#[test]
fn every_source_key_that_the_documentation_cites_is_in_the_list() {
    let suite = Suite::embedded().expect("sound");
    let mut cited = 0;
    for (path, text) in sources() {
        let mut in_source = false;
        for line in text.lines() {
            let Some(line) = documentation(line) else {
                in_source = false;
                continue;
            };
            if let Some(heading) = line.trim_start().strip_prefix("# ") {
                in_source = heading.trim() == "Source";
            } else if in_source {
                for key in keys(line) {
                    let known = suite.sources().get(key).is_some();
                    assert!(known, "{}: [{key}] is not in sources.toml", path.display());
                    cited += 1;
                }
            }
        }
    }
    assert!(cited >= 6, "only {cited} found");
}

#[test]
fn references_are_found_in_text() {
    assert_eq!(
        check_files("/// see checks/gum/h1.toml, `checks/units/typed.toml`, and checks."),
        ["checks/gum/h1.toml", "checks/units/typed.toml"]
    );
    assert_eq!(
        keys("[GUM] 4.2, \\[JCGM101\\] 7; [`Limits`], [CLOSED-FORM], [HB](x)"),
        ["GUM", "JCGM101", "CLOSED-FORM"]
    );
}
