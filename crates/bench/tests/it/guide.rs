//! A guide to a sheet taken apart, for the tests that hold it against the reader: headings, whole or partial sheets, and
//! the tables of keys, ranges and JSON keys.

use hingeline_bench::bounds::Bound;
use serde_json::Value;
use std::collections::BTreeSet;

/// What stands under one heading of a guide.
#[derive(Debug, Default)]
pub(crate) struct Section {
    pub(crate) heading: String,
    pub(crate) blocks: Vec<String>,
    pub(crate) rows: Vec<Row>,
}

/// One line of a table of keys: key, needed, kind, range, what it is.
#[derive(Debug)]
pub(crate) struct Row {
    pub(crate) key: String,
    pub(crate) needed: String,
    pub(crate) kind: String,
    pub(crate) range: String,
}

impl Section {
    pub(crate) fn keys(&self) -> BTreeSet<String> {
        self.rows.iter().map(|row| row.key.clone()).collect()
    }
}

/// Headings, TOML blocks, and the tables whose first column is "key".
pub(crate) fn sections(guide: &str) -> Vec<Section> {
    let mut sections = vec![Section::default()];
    let mut block: Option<String> = None;
    let mut keys = false;
    for line in guide.lines() {
        let last = sections.last_mut().expect("one at least");
        match &mut block {
            Some(text) if line == "```" => {
                last.blocks.push(std::mem::take(text));
                block = None;
            }
            Some(text) => *text += &format!("{line}\n"),
            None if line == "```toml" => block = Some(String::new()),
            None if line.starts_with('#') => {
                let heading = line.trim_start_matches(['#', ' ']).to_owned();
                sections.push(Section { heading, ..Section::default() });
            }
            None => {
                keys = line.starts_with("| key |") || (keys && line.starts_with('|'));
                last.rows.extend(keys.then(|| row(line)).flatten());
            }
        }
    }
    sections
}

fn row(line: &str) -> Option<Row> {
    let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
    let key = cells[0].strip_prefix('`')?.strip_suffix('`')?.to_owned();
    let [_, needed, kind, range, _] = cells.as_slice() else { panic!("{line}") };
    let [needed, kind, range] = [needed, kind, range].map(|cell| (*cell).to_owned());
    Some(Row { key, needed, kind, range })
}

/// A sheet cut at the headers of its tables; a table within a table ("[[weighing.part]]") stays with the one before.
fn chunks(text: &str) -> Vec<String> {
    let mut chunks: Vec<String> = Vec::new();
    for line in text.lines() {
        if line.starts_with('[') && !line.contains('.') || chunks.is_empty() {
            chunks.push(String::new());
        }
        let last = chunks.len() - 1;
        chunks[last] += &format!("{line}\n");
    }
    chunks
}

fn header(chunk: &str) -> &str {
    chunk.lines().next().unwrap_or("")
}

/// A whole sheet with the tables of a fragment in the place of its own, and without some tables.
pub(crate) fn completed(whole: &str, fragment: &str, without: &[&str]) -> String {
    let fragments = chunks(fragment);
    let goes = |chunk: &String| {
        without.contains(&header(chunk)) || fragments.iter().any(|other| header(other) == header(chunk))
    };
    let kept = chunks(whole).into_iter().filter(|chunk| !goes(chunk));
    kept.chain(fragments.iter().cloned()).collect()
}

/// A sheet of which one table is changed: the first of its header.
pub(crate) struct Table {
    pub(crate) sheet: String,
    pub(crate) header: String,
}

impl Table {
    /// The sheet with the lines of the table changed.
    pub(crate) fn with(&self, change: impl Fn(&str) -> Option<String>) -> String {
        let (mut there, mut done) = (false, false);
        let mut text = String::new();
        for line in self.sheet.lines() {
            if line.starts_with('[') {
                done |= there;
                there = line == self.header && !done;
            }
            let line = if there { change(line) } else { Some(line.to_owned()) };
            text += &line.map_or(String::new(), |line| line + "\n");
        }
        text
    }
    pub(crate) fn line_of(&self, key: &str) -> Option<String> {
        let line = std::cell::RefCell::new(None);
        let _ = self.with(|text| {
            if text.starts_with(&format!("{key} = ")) {
                *line.borrow_mut() = Some(text.to_owned());
            }
            Some(text.to_owned())
        });
        line.into_inner()
    }
    pub(crate) fn without(&self, key: &str) -> String {
        self.with(|line| (!line.starts_with(&format!("{key} = "))).then(|| line.to_owned()))
    }
    /// The sheet with another value at a key, which is put in where it is not there.
    pub(crate) fn with_value(&self, key: &str, value: &str) -> String {
        let is_there = self.line_of(key).is_some();
        self.with(|line| {
            if line.starts_with(&format!("{key} = ")) {
                Some(format!("{key} = {value}"))
            } else if line == self.header && !is_there {
                Some(format!("{line}\n{key} = {value}"))
            } else {
                Some(line.to_owned())
            }
        })
    }
}

/// The table of ranges as a guide prints it.
pub(crate) fn table_of_ranges(ranges: &[(&str, &Bound)]) -> String {
    let mut table = "| range | allowed | why |\n|---|---|---|\n".to_owned();
    for (name, bound) in ranges {
        let words = bound.words();
        let allowed = words.strip_suffix(&format!(" ({})", bound.why)).expect("the reason comes last");
        table += &format!("| {name} | {allowed} | {} |\n", bound.why);
    }
    table
}

/// The paths of all values of a result, lists as [].
pub(crate) fn paths(value: &Value, path: &str, into: &mut BTreeSet<String>) {
    match value {
        Value::Object(map) => {
            let dot = if path.is_empty() { "" } else { "." };
            map.iter().for_each(|(key, value)| paths(value, &format!("{path}{dot}{key}"), into));
        }
        Value::Array(list) => list.iter().for_each(|value| paths(value, &format!("{path}[]"), into)),
        _ => {
            into.insert(path.to_owned());
        }
    }
}

/// Holds the keys that were given against one of a guide's tables of them, from 1.
pub(crate) fn same_keys(guide: &str, table: usize, given: &BTreeSet<String>) {
    let table = guide.split("| JSON key |").nth(table).expect("the table of the JSON keys");
    let rows = table.lines().skip(2).take_while(|line| line.starts_with('|'));
    let written: BTreeSet<String> =
        rows.map(|line| line.split('`').nth(1).expect("a key").to_owned()).collect();
    let invented: Vec<_> = written.difference(given).collect();
    let left_out: Vec<_> = given.difference(&written).collect();
    assert!(invented.is_empty() && left_out.is_empty(), "invented {invented:?}, left out {left_out:?}");
}
