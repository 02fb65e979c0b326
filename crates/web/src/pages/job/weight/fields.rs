//! The fields of a weight's form, and the weight sheet that they make.
//!
//! A field is called as its place in the sheet: "form.thickness", "hole.1.diameter". Main functions: [`sheet`] writes the
//! fields as a sheet, which the reader of weight sheets judges; [`filled`] takes a sheet apart again; [`field_of`] finds the
//! field that a fault is about. Only fields that go with the chosen form are written; what was typed into others stays
//! in the page.

mod tables;

use crate::form::Typed;
use crate::sheet_faults::Place;
use tables::first;
pub(super) use tables::{Def, FORMS, Kind, ROWS, TOOLS, WEIGHT, defs, free};
use toml::{Table, Value};

/// The most rows of one table.
const MOST_ROWS: usize = 40;

/// The tables of a sheet that asks for holes in an old weight.
pub(super) const HOLES: &[&str] = &["weight", "drill_out"];

/// The tables of a sheet of a new piece, in their order.
pub(super) const PIECE: &[&str] = &[
    "weight",
    "form",
    "vary",
    "space",
    "hardware",
    "hole",
    "coating",
    "trim",
    "tool",
    "insert",
    "fastening",
    "bolt",
    "plate",
    "thread",
    "root",
];

/// Whether a table may stand more than once.
fn is_many(table: &str) -> bool {
    ROWS.iter().any(|(known, _)| *known == table)
}

/// The rows of a table, as numbers in its fields' names.
pub(super) fn rows(typed: &Typed, table: &str) -> Vec<usize> {
    let mut rows = typed.rows(table);
    rows.truncate(MOST_ROWS);
    rows
}

/// The rows in which something was typed.
fn typed_rows(typed: &Typed, table: &str) -> Vec<usize> {
    let holds = |row: &usize| {
        let row = format!("{table}.{row}");
        // A tool of no known kind shows no other field: whatever was typed of it counts, and the reader asks for its kind.
        if table == "tool" && !TOOLS.contains(&typed.get(&format!("{row}.kind"))) {
            let start = format!("{row}.");
            return typed
                .pairs()
                .iter()
                .any(|(key, value)| key.starts_with(&start) && !value.trim().is_empty());
        }
        let typed_here =
            |def: &Def| !matches!(def.kind, Kind::Choice(_)) && typed.has(&format!("{row}.{}", def.key));
        defs(typed, table, &row).iter().any(typed_here)
    };
    rows(typed, table).into_iter().filter(holds).collect()
}

/// The fields of some tables as a weight sheet.
pub(super) fn sheet(typed: &Typed, tables: &[&'static str]) -> String {
    let mut out = String::new();
    let held = typed.has("fastening.bolt");
    for table in tables.iter().copied() {
        let of_fastening = ["fastening", "bolt", "plate", "thread", "root"].contains(&table);
        if of_fastening && !held {
            continue;
        }
        if is_many(table) {
            for row in typed_rows(typed, table) {
                write(&mut out, typed, table, &format!("{table}.{row}"));
            }
        } else {
            write(&mut out, typed, table, table);
        }
    }
    out
}

fn write(out: &mut String, typed: &Typed, table: &str, row: &str) {
    let defs = first(table).into_iter().chain(defs(typed, table, row));
    let lines: Vec<String> = defs
        .filter_map(|def| {
            let value = value(typed, &def, &format!("{row}.{}", def.key))?;
            Some(format!("{} = {value}\n", def.key))
        })
        .collect();
    // The reader wants to see the two that every sheet has, and every row in which something was typed.
    if lines.is_empty() && !["weight", "form", "drill_out"].contains(&table) && !is_many(table) {
        return;
    }
    if !out.is_empty() {
        out.push('\n');
    }
    out.push_str(&if is_many(table) { format!("[[{table}]]\n") } else { format!("[{table}]\n") });
    out.extend(lines);
}

fn value(typed: &Typed, def: &Def, name: &str) -> Option<Value> {
    let given = typed.get(name);
    if given.is_empty() {
        return None;
    }
    Some(match def.kind {
        Kind::Text | Kind::Choice(_) | Kind::File => Value::String(given.replace('\n', " ")),
        Kind::List(_) => Value::Array(typed.lines(name).into_iter().map(Value::String).collect()),
        Kind::Number => number_of(given),
    })
}

/// A plain number; what is none stays a text, and the reader says so.
fn number_of(given: &str) -> Value {
    if let Ok(whole) = given.parse::<i64>() {
        return Value::Integer(whole);
    }
    let number = given.replace(',', ".").parse::<f64>().ok().filter(|number| number.is_finite());
    number.map_or_else(|| Value::String(given.to_owned()), Value::Float)
}

/// The fields of a sheet that has no fault.
pub(super) fn filled(sheet: &str) -> Vec<(String, String)> {
    let Ok(root) = sheet.parse::<Table>() else { return Vec::new() };
    let mut pairs = Vec::new();
    for (table, value) in &root {
        match value {
            Value::Table(fields) => pairs.extend(pairs_of(table, fields)),
            Value::Array(list) => {
                let tables = list.iter().filter_map(Value::as_table).enumerate();
                pairs
                    .extend(tables.flat_map(|(index, fields)| pairs_of(&format!("{table}.{index}"), fields)));
            }
            _ => {}
        }
    }
    pairs
}

fn pairs_of(row: &str, fields: &Table) -> Vec<(String, String)> {
    fields.iter().map(|(key, value)| (format!("{row}.{key}"), plain(value))).collect()
}

fn plain(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Array(list) => list.iter().map(plain).collect::<Vec<_>>().join("\n"),
        other => other.to_string(),
    }
}

/// The name of the field that a fault is about; empty where it is about the whole.
pub(super) fn field_of(typed: &Typed, place: &Place) -> String {
    let table = if place.table.is_empty() { place.key.as_str() } else { place.table.as_str() };
    if !PIECE.contains(&table) && !HOLES.contains(&table) {
        return String::new();
    }
    let row = if is_many(table) {
        match typed_rows(typed, table).get(place.index) {
            Some(row) => format!("{table}.{row}"),
            None => return String::new(),
        }
    } else {
        table.to_owned()
    };
    let all: Vec<Def> = first(table).into_iter().chain(defs(typed, table, &row)).collect();
    let known = all.iter().find(|def| def.key == place.key).or(all.first());
    known.map_or_else(String::new, |def| format!("{row}.{}", def.key))
}

/// The label of a place.
pub(super) fn label(typed: &Typed, place: &Place) -> Option<String> {
    let row = match typed_rows(typed, &place.table).get(place.index) {
        Some(row) if is_many(&place.table) => format!("{}.{row}", place.table),
        _ => place.table.clone(),
    };
    let mut all = first(&place.table).into_iter().chain(defs(typed, &place.table, &row));
    let label = all.find(|def| def.key == place.key)?.label;
    let of = ROWS.iter().find(|(table, _)| *table == place.table);
    Some(match of {
        Some((_, word)) => format!("{word} {}: {label}", place.index + 1),
        None => label.to_owned(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use hingeline_bench::weight::{WeightAnswer, WeightSheet, answer};

    const CAP: &str = include_str!("../../../../../../demo/weights/HP-0231-horn-cap.toml");
    const ALL: [&str; 5] = [
        CAP,
        include_str!("../../../../../../demo/weights/HP-0228-aileron-bar.toml"),
        include_str!("../../../../../../demo/weights/HP-0231-rib-bar.toml"),
        include_str!("../../../../../../demo/weights/HP-0235-rudder-plates.toml"),
        include_str!("../../../../../../demo/weights/HP-0236-casting.toml"),
    ];

    fn worked(text: &str) -> WeightAnswer {
        answer(&WeightSheet::parse(text).expect("a sheet"))
    }

    #[test]
    fn a_sheet_goes_through_the_form_and_says_the_same() {
        for text in ALL {
            let typed = Typed::of(filled(text));
            let again = sheet(&typed, PIECE);
            let (before, after) = (worked(text), worked(&again));
            let piece =
                |answer: &WeightAnswer| serde_json::to_value(answer).expect("JSON")["solution"].clone();
            assert_eq!(piece(&before), piece(&after), "{again}");
        }
    }

    /// The tables of the published description that stand for a form and can be read by themselves.
    const DESCRIBED: &str = include_str!("../../../../../../docs/weight-sheet.md");

    #[test]
    fn every_key_of_the_published_sheet_has_its_field() {
        let mut blocks = DESCRIBED.split("```toml\n").skip(1).filter_map(|rest| rest.split("```").next());
        let mut seen = 0;
        let whole = blocks.find(|block| block.starts_with("[weight]")).expect("a whole sheet");
        for block in std::iter::once(whole).chain(blocks) {
            let Ok(table) = block.parse::<Table>() else { continue };
            let kind = table.get("form").and_then(|form| form.get("kind")).and_then(Value::as_str);
            let tables = if table.contains_key("drill_out") { HOLES } else { PIECE };
            let mut typed = Typed::of(filled(block));
            if kind.is_none() {
                typed.set("form.kind", "cap");
            }
            let again: Table = sheet(&typed, tables).parse().expect("TOML");
            let (before, after) = (Typed::of(filled(block)), Typed::of(pairs_of_all(&again)));
            for (key, value) in before.pairs().iter().filter(|(key, _)| !key.starts_with("cast.")) {
                assert_eq!(after.get(key), value.trim(), "{key} of:\n{block}");
                seen += 1;
            }
        }
        assert!(100 < seen, "{seen} keys were looked at");
    }

    fn pairs_of_all(table: &Table) -> Vec<(String, String)> {
        filled(&toml::to_string(table).expect("TOML"))
    }

    #[test]
    fn a_fault_finds_its_field_though_rows_were_taken_out() {
        let mut typed = Typed::of(filled(CAP));
        typed.set("hardware.0.name", "");
        typed.set("hardware.0.mass", "");
        typed.set("hardware.0.mass_within", "");
        typed.set("hardware.0.count", "");
        typed.set("hardware.0.arm", "");
        typed.set("hardware.4.name", "washer");
        typed.set("hardware.4.mass", "2 furlongs");
        let faults = WeightSheet::parse(&sheet(&typed, PIECE)).expect_err("faults");
        let places = crate::sheet_faults::by_key(&faults, |place| label(&typed, place));
        let names: Vec<String> = places.iter().map(|(place, _)| field_of(&typed, place)).collect();
        assert!(names.contains(&"hardware.4.mass".to_owned()), "{names:?}");
        assert!(
            places.iter().any(|(_, said)| said.what.starts_with("Hardware 1: Mass of one")),
            "{places:?}"
        );
    }

    #[test]
    fn what_goes_with_another_form_is_not_written() {
        let mut typed = Typed::of(filled(CAP));
        typed.set("form.kind", "round bar");
        let text = sheet(&typed, PIECE);
        assert!(!text.contains("trace") && text.contains("round bar"), "{text}");
        assert!(WeightSheet::parse(&text).is_err(), "it has no diameter");
    }
}
