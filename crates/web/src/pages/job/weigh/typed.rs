//! Between the form and the table `[[weighing]]`: what was typed, as the record keeps it, and back.
//!
//! Main functions: [`weighing`], [`struck`], [`before`] from the form; [`pairs`] back into it. A set of readings is one
//! field, its readings parted by semicolons, so that a page without script can send it too.

use super::ways::{PART, SECOND_SETS, SETS, Way};
use crate::form::Typed;
use hingeline_bench::record::deed::{BeforeWeighing, Field, Fields, Struck};
use hingeline_bench::record::sheet::text;
use std::collections::BTreeMap;

/// Under which name the draft keeps a field: what was read belongs to its method, and to the surface as it stood after
/// the entry `after` of its ledger.
pub(super) fn kept_as(name: &str, way: &Way, after: u64) -> String {
    if is_read(name) { format!("{name}@{}@{after}", way.slug) } else { name.to_owned() }
}

/// Whether a field is something that was read.
pub(super) fn is_read(name: &str) -> bool {
    SETS.contains(&name) || SECOND_SETS.contains(&name) || name.starts_with("struck.")
}

/// The kind of unit of a field of a part.
pub(super) fn units_of_part(key: &str) -> &'static str {
    match key {
        "mass" | "mass_within" => "mass",
        "arm" | "arm_within" => "length",
        _ => "",
    }
}

/// The readings of a set, each as typed.
pub(super) fn readings(set: &str) -> Vec<String> {
    set.split([';', '\n']).map(str::trim).filter(|reading| !reading.is_empty()).map(str::to_owned).collect()
}

/// The same as one field.
pub(super) fn joined(readings: &[String]) -> String {
    readings.join("; ")
}

/// Whether a set counts: only those of the way of reading that was chosen.
fn counts(typed: &Typed, key: &str) -> bool {
    let at_rest = [SETS[0], SECOND_SETS[0]].contains(&key);
    match typed.get("way") {
        "rest" => at_rest,
        "turning" => !at_rest,
        _ => true,
    }
}

/// The table `[[weighing]]` of a form.
pub(super) fn weighing(typed: &Typed, way: &Way, stage: &str) -> Fields {
    let mut fields = Fields::new();
    fields.insert("stage".to_owned(), text(stage));
    fields.insert("method".to_owned(), text(way.word));
    let keys = ["date"].into_iter().chain(way.defs().map(|def| def.key));
    for key in keys.filter(|key| typed.has(key)) {
        fields.insert(key.to_owned(), text(typed.get(key)));
    }
    for key in way.sets().filter(|key| counts(typed, key)) {
        let readings = readings(typed.get(key));
        if !readings.is_empty() {
            fields.insert(key.to_owned(), Field::List(readings));
        }
    }
    let confirmed: Vec<String> = typed.all("confirmed").into_iter().map(str::to_owned).collect();
    if !confirmed.is_empty() {
        fields.insert("confirmed".to_owned(), Field::List(confirmed));
    }
    let parts: Vec<BTreeMap<String, String>> =
        rows(typed, way).into_iter().map(|row| part(typed, row)).collect();
    if !parts.is_empty() {
        fields.insert("part".to_owned(), Field::Parts(parts));
    }
    fields
}

/// The rows of the parts that hold anything.
pub(super) fn rows(typed: &Typed, way: &Way) -> Vec<usize> {
    if way.readings.is_some() {
        return Vec::new();
    }
    let typed_in =
        |row: &usize| ["name", "mass", "arm"].iter().any(|key| typed.has(&format!("part.{row}.{key}")));
    typed.rows("part").into_iter().filter(typed_in).collect()
}

fn part(typed: &Typed, row: usize) -> BTreeMap<String, String> {
    let value = |key: &str| typed.get(&format!("part.{row}.{key}")).to_owned();
    PART.iter()
        .map(|(key, ..)| ((*key).to_owned(), value(key)))
        .filter(|(_, value)| !value.is_empty())
        .collect()
}

/// The readings that were struck, with their rows in the form.
pub(super) fn struck(typed: &Typed) -> Vec<(usize, Struck)> {
    let value = |row: usize, key: &str| typed.get(&format!("struck.{row}.{key}")).to_owned();
    typed
        .rows("struck")
        .into_iter()
        .map(|row| {
            let [set, reading, reason] = ["set", "reading", "reason"].map(|key| value(row, key));
            (row, Struck { set, reading, reason })
        })
        .filter(|(_, struck)| !struck.reading.is_empty())
        .collect()
}

/// Zero and check weight, where either was typed.
pub(super) fn before(typed: &Typed) -> Option<BeforeWeighing> {
    let before = BeforeWeighing { zero: typed.get("zero").to_owned(), check: typed.get("check").to_owned() };
    (before != BeforeWeighing::default()).then_some(before)
}

/// The form of a weighing that was entered: every field.
pub(super) fn pairs(
    fields: &Fields,
    before: Option<&BeforeWeighing>,
    struck: &[Struck],
) -> Vec<(String, String)> {
    let mut pairs = Vec::new();
    for (key, field) in fields {
        match field {
            Field::Text(value) => pairs.push((key.clone(), value.clone())),
            Field::List(items) if key == "confirmed" => {
                pairs.extend(items.iter().map(|item| (key.clone(), item.clone())));
            }
            Field::List(items) => pairs.push((key.clone(), joined(items))),
            Field::Parts(parts) => {
                for (row, part) in parts.iter().enumerate() {
                    pairs
                        .extend(part.iter().map(|(key, value)| (format!("part.{row}.{key}"), value.clone())));
                }
            }
        }
    }
    if let Some(before) = before {
        pairs.push(("zero".to_owned(), before.zero.clone()));
        pairs.push(("check".to_owned(), before.check.clone()));
    }
    for (row, each) in struck.iter().enumerate() {
        for (key, value) in [("set", &each.set), ("reading", &each.reading), ("reason", &each.reason)] {
            pairs.push((format!("struck.{row}.{key}"), value.clone()));
        }
    }
    pairs
}

/// What a weighing hands on to the next one: how it was set up, not what was read.
pub(super) fn carried(fields: &Fields, way: &Way) -> Vec<(String, String)> {
    let text = |key: &'static str| match fields.get(key) {
        Some(Field::Text(value)) => Some((key.to_owned(), value.clone())),
        _ => None,
    };
    way.defs().filter_map(|def| text(def.key)).collect()
}

/// Strikes a reading: it leaves its set and stands among the struck ones, its reason still to be given.
pub(super) fn strike(typed: &mut Typed, set: &str, index: usize) {
    let mut left = readings(typed.get(set));
    if index >= left.len() {
        return;
    }
    let reading = left.remove(index);
    typed.set(set, joined(&left));
    let row = typed.rows("struck").last().map_or(0, |last| last + 1);
    for (key, value) in [("set", set), ("reading", &reading), ("reason", "")] {
        typed.set(&format!("struck.{row}.{key}"), value);
    }
}

/// Lets a struck reading count again.
pub(super) fn restore(typed: &mut Typed, row: usize) {
    let Some((_, struck)) = struck(typed).into_iter().find(|(known, _)| *known == row) else { return };
    let mut set = readings(typed.get(&struck.set));
    set.push(struck.reading);
    typed.set(&struck.set, joined(&set));
    for key in ["set", "reading", "reason"] {
        typed.set(&format!("struck.{row}.{key}"), "");
    }
}
