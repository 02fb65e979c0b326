//! The guide to the weight sheet says what the reader does: every key, whether it is needed, its range; and every key of
//! an answer.

use crate::sheets::told;
use crate::weight::{DEMO, DRILL_OUT, MESH, casting, horn};
use hingeline_bench::bounds::{self, Bound};
use hingeline_bench::weight::drill_out::{self, DrillAnswer};
use hingeline_bench::weight::{AnySheet, WeightSheet, answer, bounds as own};
use serde_json::Value;
use std::collections::BTreeSet;

const GUIDE: &str = include_str!("../../../../docs/weight-sheet.md");

/// What stands under one heading of the guide.
#[derive(Debug, Default)]
struct Section {
    heading: String,
    block: Option<String>,
    rows: Vec<Row>,
}

/// One line of a table of keys: key, needed, kind, range, what it is.
#[derive(Debug)]
struct Row {
    key: String,
    needed: String,
    kind: String,
    range: String,
}

fn sections() -> Vec<Section> {
    let mut sections = vec![Section::default()];
    let mut block: Option<String> = None;
    for line in GUIDE.lines() {
        let last = sections.last_mut().expect("one at least");
        match &mut block {
            Some(text) if line == "```" => {
                last.block = Some(std::mem::take(text));
                block = None;
            }
            Some(text) => *text += &format!("{line}\n"),
            None if line == "```toml" => block = Some(String::new()),
            None if line.starts_with('#') => {
                let heading = line.trim_start_matches(['#', ' ']).to_owned();
                sections.push(Section { heading, ..Section::default() });
            }
            None => last.rows.extend(row(line)),
        }
    }
    sections
}

fn row(line: &str) -> Option<Row> {
    let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
    let [key, needed, kind, range, _] = cells.as_slice() else { return None };
    let key = key.strip_prefix('`')?.strip_suffix('`')?.to_owned();
    let [needed, kind, range] = [needed, kind, range].map(|cell| (*cell).to_owned());
    Some(Row { key, needed, kind, range })
}

/// The sections that describe keys of a sheet.
fn tables() -> Vec<Section> {
    sections().into_iter().filter(|section| section.heading.starts_with("`[")).collect()
}

/// A sheet cut at the headers of its tables.
fn chunks(text: &str) -> Vec<String> {
    let mut chunks: Vec<String> = Vec::new();
    for line in text.lines() {
        if line.starts_with('[') || chunks.is_empty() {
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

impl Section {
    /// The header of the table that it describes: "[form]".
    fn table(&self) -> &str {
        self.heading.split('`').nth(1).expect("a table in the heading")
    }
    /// Whether it describes what all kinds of the table have.
    fn is_base(&self) -> bool {
        self.heading.ends_with('`')
    }
    /// The whole sheet with the tables of this section's block in the place of its own.
    fn sheet(&self) -> String {
        let all = sections();
        let whole = all.iter().find_map(|section| section.block.clone()).expect("a whole sheet");
        let Some(block) = &self.block else { return whole };
        if block.contains("[drill_out]") {
            return block.clone();
        }
        let fragments = chunks(block);
        let replaced = |chunk: &String| fragments.iter().any(|other| header(other) == header(chunk));
        let mut kept: Vec<String> = chunks(&whole).into_iter().filter(|chunk| !replaced(chunk)).collect();
        if block.contains("kind = \"mesh\"") {
            // Nothing is known of its skin.
            kept.retain(|chunk| header(chunk) != "[[coating]]");
        }
        kept.extend(fragments);
        kept.concat()
    }
    /// The sheet with the lines of its table changed.
    fn with(&self, change: impl Fn(&str) -> Option<String>) -> String {
        let mut there = false;
        let mut text = String::new();
        for line in self.sheet().lines() {
            if line.starts_with('[') {
                there = line == self.table();
            }
            let line = if there { change(line) } else { Some(line.to_owned()) };
            text += &line.map_or(String::new(), |line| line + "\n");
        }
        text
    }
    fn holds(&self, key: &str) -> bool {
        self.with(|line| (!line.starts_with(&format!("{key} = "))).then(|| line.to_owned())) != self.sheet()
    }
    fn without(&self, key: &str) -> String {
        self.with(|line| (!line.starts_with(&format!("{key} = "))).then(|| line.to_owned()))
    }
    fn with_value(&self, key: &str, value: &str) -> String {
        let is_there = self.holds(key);
        self.with(|line| {
            if line.starts_with(&format!("{key} = ")) {
                Some(format!("{key} = {value}"))
            } else if line == self.table() && !is_there {
                Some(format!("{line}\n{key} = {value}"))
            } else {
                Some(line.to_owned())
            }
        })
    }
    fn keys(&self) -> BTreeSet<String> {
        self.rows.iter().map(|row| row.key.clone()).collect()
    }
}

fn says(sheet: &str) -> String {
    AnySheet::parse_with(sheet, &horn).err().map_or_else(String::new, |faults| told(&faults))
}

#[test]
fn every_block_is_a_sheet_or_part_of_one() {
    let blocks = sections().into_iter().filter(|section| section.block.is_some());
    let count =
        blocks.inspect(|section| assert_eq!(says(&section.sheet()), "", "{}", section.heading)).count();
    assert!(count >= 14, "only {count} blocks");
}

#[test]
fn every_key_that_is_read_is_in_the_guide_and_no_other() {
    let all = tables();
    for section in &all {
        let said = says(&section.with_value("zzz", "1"));
        let allowed = said.lines().skip_while(|line| !line.contains("unknown key “zzz”")).nth(1);
        let allowed = allowed.and_then(|line| line.trim().strip_prefix("allowed: "));
        let allowed = allowed.unwrap_or_else(|| panic!("{}: {said}", section.heading));
        let read: BTreeSet<String> = allowed.split(", ").map(str::to_owned).collect();
        let invented: Vec<_> = section.keys().difference(&read).cloned().collect();
        assert!(invented.is_empty(), "“{}” has keys that nobody reads: {invented:?}", section.heading);
        // A base holds what all kinds have; the kind in the sheet brings its own.
        let same_table = all.iter().filter(|other| other.table() == section.table());
        let others = same_table.filter(|other| other.is_base() || section.is_base());
        let written: BTreeSet<String> = others.flat_map(Section::keys).chain(section.keys()).collect();
        let other_way = ["measured", "aim"].map(str::to_owned);
        let left_out: Vec<_> = read.difference(&written).filter(|key| !other_way.contains(key)).collect();
        assert!(left_out.is_empty(), "“{}” leaves out {left_out:?}", section.heading);
    }
    assert_eq!(all.len(), 34, "tables of keys");
}

#[test]
fn needed_keys_are_needed_and_the_others_are_not() {
    for section in tables() {
        for row in section.rows.iter().filter(|row| section.holds(&row.key)) {
            let said = says(&section.without(&row.key));
            let place = format!("{}, {}", section.heading, row.key);
            let half_of = ["old_arm", "old_side"].contains(&row.key.as_str());
            match row.needed.as_str() {
                "no" if half_of => assert!(said.contains("old_"), "{place}: {said}"),
                "no" => assert_eq!(said, "", "{place}"),
                "yes" | "together" => assert!(said.contains(&row.key), "{place}: {said}"),
                "one way" => assert_ne!(said, "", "{place}"),
                other => panic!("{place}: needed is “{other}”"),
            }
        }
    }
}

fn ranges() -> [(&'static str, &'static Bound); 13] {
    [
        ("size", &own::SIZE),
        ("place", &own::PLACE),
        ("mass of the piece", &own::PIECE),
        ("how closely a mass", &own::WITHIN),
        ("how closely made", &own::MADE_WITHIN),
        ("drill", &own::DRILL),
        ("point", &own::POINT),
        ("film", &own::FILM),
        ("torque", &own::TORQUE),
        ("arm", &bounds::ARM),
        ("moment", &bounds::MOMENT),
        ("uncertainty of a moment", &bounds::MOMENT_WITHIN),
        ("step of a scale", &bounds::SCALE_STEP),
    ]
}

#[test]
fn the_ranges_are_those_of_the_reader() {
    let mut table = "| range | allowed | why |\n|---|---|---|\n".to_owned();
    let there = include_str!("../../src/weight/bounds.rs").matches("pub static ").count();
    for (name, bound) in &ranges()[..there] {
        let words = bound.words();
        let allowed = words.strip_suffix(&format!(" ({})", bound.why)).expect("the reason comes last");
        table += &format!("| {name} | {allowed} | {} |\n", bound.why);
    }
    assert!(
        GUIDE.contains(&format!("{table}\n")),
        "docs/weight-sheet.md wants this table of ranges:\n{table}"
    );
}

#[test]
fn each_key_has_the_range_that_the_guide_says() {
    let mut count = 0;
    for section in tables() {
        for row in section.rows.iter().filter(|row| !row.range.is_empty()) {
            let place = format!("{}, {}", section.heading, row.key);
            let named = ranges().into_iter().find(|(name, _)| *name == row.range);
            let (_, bound) = named.unwrap_or_else(|| panic!("{place}: no range “{}”", row.range));
            let check = |number: f64| {
                let quantity = format!("\"{number} {}\"", bound.unit.symbol);
                let value = if row.kind.starts_with("list") { format!("[{quantity}]") } else { quantity };
                let said = says(&section.with_value(&row.key, &value));
                assert!(said.contains(&format!("{} is {number}", row.key)), "{place}: {said}");
                assert!(said.contains(&bound.words()), "{place}: {said}");
            };
            check(1.1 * bound.max);
            if !bound.min_allowed {
                check(0.0);
            }
            count += 1;
        }
    }
    assert!(count >= 70, "only {count} keys have a range");
}

/// The paths of all values of an answer, lists as [].
fn paths(value: &Value, path: &str, into: &mut BTreeSet<String>) {
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

#[test]
fn every_key_of_an_answer_is_in_the_guide_and_no_other() {
    let mut given = BTreeSet::new();
    // A piece that is too high for its space is stopped by no shortfall; without an old arm there is no
    // naive answer.
    let tall = DEMO[3].1.replace("[vary]", "[space]\nabove = \"0.1 in\"\n[vary]");
    let plain = "[weight]\nname = \"bar\"\nmoment = \"1 kg·mm nose-heavy\"\nmaterial = \"lead\"\n[form]\n\
                 kind = \"bar\"\ndepth = \"10 mm\"\nheight = \"10 mm\"\nspan = \"90 mm\"\nface = \"rear\"\n\
                 arm = \"60 mm\"\nside = \"forward\"\n";
    let texts = DEMO.iter().map(|(_, text)| (*text).to_owned());
    let in_metres = MESH.replace("unit = \"in\"", "unit = \"m\"");
    let thick = DEMO[1].1.replace("most = \"3/8 in\"", "most = \"0.131 in\"");
    for text in texts.chain([casting("300.0 g"), tall, plain.to_owned(), thick, MESH.to_owned(), in_metres]) {
        let sheet =
            WeightSheet::parse_with(&text, &horn).unwrap_or_else(|faults| panic!("{}", told(&faults)));
        paths(&serde_json::to_value(answer(&sheet)).expect("JSON"), "", &mut given);
    }
    same_keys(1, &given);
}

#[test]
fn every_key_of_a_drilled_answer_is_in_the_guide_and_no_other() {
    let mut given = BTreeSet::new();
    let few = DRILL_OUT.replace("most_holes = 6", "most_holes = 1");
    let no_mass = DRILL_OUT.replace("old_mass = \"0.92 lb\"\n", "");
    for text in [
        DRILL_OUT.to_owned(),
        few,
        no_mass,
        DRILL_OUT.replace("side = \"forward\"\ndia", "side = \"aft\"\ndia"),
    ] {
        let Ok(AnySheet::DrillOut(sheet)) = AnySheet::parse_with(&text, &horn) else { panic!("{text}") };
        let answer = DrillAnswer::of(&drill_out::work(*sheet));
        paths(&serde_json::to_value(answer).expect("JSON"), "", &mut given);
    }
    same_keys(2, &given);
}

/// Holds the keys that were given against one of the guide's tables of them.
fn same_keys(table: usize, given: &BTreeSet<String>) {
    let table = GUIDE.split("| JSON key |").nth(table).expect("the table of the JSON keys");
    let rows = table.lines().skip(2).take_while(|line| line.starts_with('|'));
    let written: BTreeSet<String> =
        rows.map(|line| line.split('`').nth(1).expect("a key").to_owned()).collect();
    let invented: Vec<_> = written.difference(given).collect();
    let left_out: Vec<_> = given.difference(&written).collect();
    assert!(invented.is_empty() && left_out.is_empty(), "invented {invented:?}, left out {left_out:?}");
}
