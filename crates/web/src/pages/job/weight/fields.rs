//! The fields of a weight's form, and the weight sheet that they make.
//!
//! A field is called as its place in the sheet: "form.thickness", "hole.1.diameter". Main functions: [`sheet`] writes the
//! fields as a sheet, which the reader of weight sheets judges; [`filled`] takes a sheet apart again; [`field_of`] finds the
//! field that a fault is about. Only fields that go with the chosen form are written; what was typed into others stays
//! in the page.

use crate::form::Typed;
use crate::sheet_faults::Place;
use toml::{Table, Value};

/// How a field is typed and written.
#[derive(Debug, Clone, Copy)]
pub(super) enum Kind {
    /// A text or a quantity.
    Text,
    /// A plain number.
    Number,
    /// Several texts, one on each line; this many lines are shown.
    List(usize),
    /// One of these words.
    Choice(&'static [&'static str]),
}

/// A field of one table.
#[derive(Debug, Clone, Copy)]
pub(super) struct Def {
    /// Its key in the sheet.
    pub(super) key: &'static str,
    /// Its label.
    pub(super) label: &'static str,
    /// What to type.
    pub(super) hint: &'static str,
    /// How.
    pub(super) kind: Kind,
    /// Whether the sheet must have it.
    pub(super) needed: bool,
}

const fn text(key: &'static str, label: &'static str, hint: &'static str) -> Def {
    Def { key, label, hint, kind: Kind::Text, needed: false }
}
const fn number(key: &'static str, label: &'static str, hint: &'static str) -> Def {
    Def { key, label, hint, kind: Kind::Number, needed: false }
}
const fn list(key: &'static str, label: &'static str, hint: &'static str, rows: usize) -> Def {
    Def { key, label, hint, kind: Kind::List(rows), needed: false }
}
const fn choice(key: &'static str, label: &'static str, words: &'static [&'static str]) -> Def {
    Def { key, label, hint: "", kind: Kind::Choice(words), needed: false }
}
const fn needed(def: Def) -> Def {
    Def { needed: true, ..def }
}

const SIDES: &[&str] = &["forward", "aft"];
/// The forms of a weight.
pub(super) const FORMS: &[&str] = &[
    "cap",
    "bar",
    "round bar",
    "half-round nose",
    "half-elliptic nose",
    "parabolic nose",
    "outline",
    "plates",
    "frustum",
];

/// `[weight]`
pub(super) const WEIGHT: &[Def] = &[
    needed(text("name", "What it is", "in words: cap over the old horn weight")),
    text("job", "Job", ""),
    text("measured", "Moment as measured", "with its side: 1.78 in-lb tail-heavy"),
    text("aim", "Aim", "with its side: 2.0 in-lb nose-heavy"),
    text("moment", "Or the moment it must give", "in place of measured and aim: 3.78 in-lb nose-heavy"),
    text("moment_uncertainty", "Uncertainty of that moment", "expanded, k = 2: 0.12 in-lb"),
    text("old_arm", "Arm of the old weight", "hinge line to its middle: 6 1/2 in"),
    choice("old_side", "Side of the old weight", SIDES),
    needed(text("material", "Metal", "lead; lead, 4 % antimony; brass; steel; tungsten")),
    text("density", "Density, if measured", "in place of the table: 11.03 g/cm³"),
    text("density_uncertainty", "Its uncertainty", "expanded, k = 2"),
    number("coverage_factor", "k of the reserve", "left empty: 2"),
];

const TRACE: Def = needed(list(
    "trace",
    "Front of the old weight",
    "a point on each line, from the top round to the bottom: 5.6 in forward, 0.45 in above; or an arc: arc through 6.5 in \
     forward, 0 in to 5.6 in forward, 0.45 in below",
    5,
));
const OUTLINE: Def = needed(list(
    "outline",
    "Outline",
    "a point on each line, round the section: 6 in forward, 0.4 in below",
    5,
));
const THROUGH: Def =
    list("holes", "Holes through it", "one on each line: 0.25 in diameter at 6.25 in forward, 0 in", 2);
const SPAN: Def = needed(text("span", "Span", "length along the hinge line: 4 1/2 in"));
const FROM: Def = text("from", "Begins at", "place along the hinge line; left empty: 0");
const DEPTH: Def = needed(text("depth", "Depth", "fore and aft: 0.75 in"));
const HEIGHT: Def = needed(text("height", "Height", "0.9 in"));
const THICKNESS: Def = needed(text("thickness", "Thickness", "of its wall or of one plate: 1/8 in"));
const DIAMETER: Def = needed(text("diameter", "Diameter", "3/4 in"));
const ARM: Def = needed(text("arm", "Arm", "hinge line to it: 6.1 in"));
const SIDE: Def = needed(choice("side", "Side", SIDES));
const MIDDLE: Def = text("middle", "Height of its middle", "0.1 in above; left empty: on the chord plane");

/// What every form may say.
const MADE: &[Def] = &[
    choice("halves", "In two halves", &["at mid height", "at mid span"]),
    text("dimension_within", "Made within", "how closely the free dimension is kept: 0.005 in"),
    text("position_within", "Placed within", "how closely its place is kept: 1/64 in"),
];

/// The dimensions of a form, those that may vary first.
fn dimensions(form: &str) -> &'static [&'static str] {
    match form {
        "cap" => &["thickness", "span"],
        "bar" => &["depth", "height", "span"],
        "round bar" => &["diameter", "span"],
        "half-round nose" => &["height", "span"],
        "half-elliptic nose" | "parabolic nose" => &["depth", "height", "span"],
        "outline" => &["span"],
        "plates" => &["count", "thickness"],
        "frustum" => &["depth"],
        _ => &[],
    }
}

/// What may vary of a form.
pub(super) fn free(form: &str) -> Vec<&'static str> {
    let mut free = dimensions(form).to_vec();
    free.push("nothing");
    free
}

/// `[form]`, all but its kind.
fn form(form: &str, vary: &str) -> Vec<Def> {
    let defs: &[Def] = match form {
        "cap" => &[
            TRACE,
            THICKNESS,
            SPAN,
            FROM,
            text("end_walls", "End walls", "thickness of walls at both ends; left empty: none"),
        ],
        "bar" => &[
            DEPTH,
            HEIGHT,
            SPAN,
            FROM,
            needed(choice("face", "The arm goes to its", &["rear", "front"])),
            ARM,
            SIDE,
            MIDDLE,
        ],
        "round bar" => &[DIAMETER, SPAN, FROM, ARM, SIDE, MIDDLE],
        "half-round nose" => &[HEIGHT, SPAN, FROM, ARM, SIDE, MIDDLE],
        "half-elliptic nose" | "parabolic nose" => &[DEPTH, HEIGHT, SPAN, FROM, ARM, SIDE, MIDDLE],
        "outline" => &[OUTLINE, THROUGH, SPAN, FROM],
        "plates" => &[OUTLINE, THROUGH, THICKNESS, needed(number("count", "Plates", "how many")), FROM],
        "frustum" => &[
            needed(text("front_diameter", "Diameter at its front", "0.6 in")),
            needed(text("rear_diameter", "Diameter at its rear", "0.8 in")),
            DEPTH,
            ARM,
            SIDE,
            text("along", "Place along the hinge line", "left empty: 0"),
            MIDDLE,
        ],
        _ => &[],
    };
    let varies = |def: &&Def| def.key == vary || (vary == "count" && def.key == "thickness");
    defs.iter().filter(|def| !varies(def)).chain(MADE).copied().collect()
}

/// `[vary]`, all but what it is.
fn vary(what: &str) -> Vec<Def> {
    match what {
        "" | "nothing" => vec![],
        "count" => vec![
            needed(list("stock", "Stock at hand", "a thickness on each line: 1/8 in", 3)),
            needed(number("most_plates", "Most plates", "20")),
        ],
        _ => vec![
            needed(text("least", "Least", "the smallest that may be: 1/16 in")),
            needed(text("most", "Most", "the largest that may be: 3/8 in")),
        ],
    }
}

/// `[space]`
pub(super) const SPACE: &[Def] = &[
    text("forward_reach", "Furthest forward", "of the hinge line: 7.3 in"),
    text("above", "Highest above the chord plane", "0.9 in"),
    text("below", "Lowest below it", "0.9 in"),
    text("swing", "Largest distance from the hinge line", "the gap as the surface moves: 7.35 in"),
    text("span", "Longest along the hinge line", "5 in"),
    text("capacity", "Heaviest finished piece", "what the station takes: 0.8 lb"),
    text("smallest_wall", "Thinnest wall", "that may be cast: 1/16 in"),
];

const HARDWARE: &[Def] = &[
    needed(text("name", "What", "screw, insert, washer")),
    needed(text("mass", "Mass of one", "0.008 lb")),
    text("mass_within", "Known within", "0.0005 lb"),
    number("count", "How many", "left empty: 1"),
    text("arm", "Arm", "of its middle, or give one of the two below"),
    choice("side", "Side", SIDES),
    text("behind_front", "Or: behind the front", "moves with the front of the piece"),
    text("ahead_of_front", "Or: stands out ahead of it", ""),
];

fn hole(from: &str) -> Vec<Def> {
    let mut defs = vec![
        needed(text("name", "What", "screw hole")),
        needed(text("diameter", "Diameter", "0.19 in")),
        needed(choice("from", "Drilled from", &["front", "top", "bottom", "end"])),
        needed(text("depth", "Depth", "through, or 1/2 in")),
        text("point", "Point of the drill", "118 deg; empty for a hole that goes through"),
        choice("measured", "Depth is measured", &["full diameter", "to the tip"]),
    ];
    if from != "front" {
        defs.extend([ARM, SIDE]);
    }
    if from != "top" && from != "bottom" {
        defs.push(text("height", "Height", "0.1 in above; left empty: on the chord plane"));
    }
    if from != "end" {
        defs.push(needed(list("along", "Along the hinge line", "a hole at each place, one on each line", 2)));
    }
    defs
}

const COATING: &[Def] = &[
    needed(text(
        "name",
        "What",
        "epoxy primer, polyurethane topcoat, epoxy topcoat, zinc chromate primer; or numbers of your own below",
    )),
    number("coats", "Coats", "left empty: 1"),
    text("mass_per_area", "Or: mass per area", "of the dry film, all coats: 32 g/m²"),
    text("mass_per_area_within", "Known within", "8 g/m²"),
    text("film", "Or: dry film", "all coats: 0.0008 in"),
    text("film_within", "Known within", "0.0002 in"),
    number("specific_gravity", "Specific gravity", "of the dry film: 1.6"),
];

/// `[trim]`
pub(super) const TRIM: &[Def] = &[
    needed(text("tolerance", "Tolerance of its mass", "0.5 g")),
    text("for_the_file", "Left for the file", "what saw and drill leave: 1 g"),
    needed(text("resolution", "Step of the scale", "0.1 g")),
    text("calibration_uncertainty", "From the scale's certificate", "k = 2: 0.1 g"),
];

fn tool(kind: &str) -> Vec<Def> {
    match kind {
        "saw" => vec![
            needed(text("kerf", "Width of the cut", "1 mm")),
            number("ends", "Ends cut alike", "1 or 2"),
            needed(text("most", "Most off an end", "1/2 in")),
        ],
        "drill" => vec![
            ARM,
            SIDE,
            needed(list("diameters", "Drills at hand", "one on each line: 1/4 in", 2)),
            needed(text("point", "Point of the drills", "118 deg")),
            needed(text("deepest", "Deepest, to the tip", "0.4 in")),
            number("most_holes", "Most holes", ""),
        ],
        "file" => vec![needed(text("most", "Most off all over", "0.03 in"))],
        // Which fields a tool has hangs on its kind.
        _ => vec![],
    }
}

/// `[fastening]`
pub(super) const FASTENING: &[Def] = &[
    choice("bolt", "Bolts", &["AN3", "AN4", "AN5", "AN6"]),
    needed(choice(
        "weight_lies",
        "From the arm, the weight lies",
        &["forward", "aft", "up", "down", "outboard", "inboard"],
    )),
    text("heel", "Bolts to the edge that presses", "0.4 in"),
    text("source", "Source of the factors below", "left empty: the usual ones are used"),
    number("normal", "Load normal to the surface, g", "24"),
    number("fore_and_aft", "Fore and aft, g", "12"),
    number("along_hinge", "Along the hinge line, g", "12"),
    number("ultimate", "Ultimate over limit", "1.5"),
    number("fitting", "Fitting factor", "1.15"),
    text("torque", "Torque", "22 in-lb"),
    choice("washer", "Washer", &["AN960-10", "AN960-416", "AN970-3", "AN970-4"]),
    choice("clamps_through", "Clamps through", &["hard metal", "bare lead"]),
];

const BOLT: &[Def] = &[
    needed(text("arm", "Arm", "hinge line to where its axis meets the joint")),
    SIDE,
    text("height", "Height", "0.2 in above"),
    text("along", "Along the hinge line", "0.8 in"),
];

const PLATE: &[Def] = &[
    needed(text("name", "What the bolts bear on", "horn arm")),
    needed(text("thickness", "Thickness", "0.09 in")),
    needed(text("bearing_strength", "Bearing strength", "ultimate: 100 ksi")),
    text("source", "Source", ""),
];

/// The tables that may stand more than once, with what one of them is called.
pub(super) const ROWS: [(&str, &str); 6] = [
    ("hardware", "Hardware"),
    ("hole", "Hole"),
    ("coating", "Coating"),
    ("tool", "Tool"),
    ("bolt", "Bolt"),
    ("plate", "Plate"),
];

/// The most rows of one table.
const MOST_ROWS: usize = 40;

/// The words of a choice that the page asks apart from the other fields.
pub(super) const TOOLS: &[&str] = &["saw", "drill", "file"];

/// The fields of a table as it is typed; `row` is "hole.1" of a table that may stand more than once.
pub(super) fn defs(typed: &Typed, table: &str, row: &str) -> Vec<Def> {
    let of = |key: &str| typed.get(&format!("{row}.{key}"));
    match table {
        "weight" => WEIGHT.to_vec(),
        "form" => form(of("kind"), typed.get("vary.what")),
        "vary" => vary(of("what")),
        "space" => SPACE.to_vec(),
        "hardware" => HARDWARE.to_vec(),
        "hole" => hole(of("from")),
        "coating" => COATING.to_vec(),
        "trim" => TRIM.to_vec(),
        "tool" => tool(of("kind")),
        "fastening" => FASTENING.to_vec(),
        "bolt" => BOLT.to_vec(),
        "plate" => PLATE.to_vec(),
        _ => Vec::new(),
    }
}

/// The key that the page asks apart, on which the other fields of a table hang.
fn first(table: &str) -> Option<Def> {
    match table {
        "form" => Some(choice("kind", "Form", FORMS)),
        "vary" => Some(choice("what", "What may vary", &[])),
        "tool" => Some(choice("kind", "Tool", TOOLS)),
        _ => None,
    }
}

/// The tables of a sheet in their order.
const ORDER: [&str; 12] = [
    "weight",
    "form",
    "vary",
    "space",
    "hardware",
    "hole",
    "coating",
    "trim",
    "tool",
    "fastening",
    "bolt",
    "plate",
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

/// The fields as a weight sheet.
pub(super) fn sheet(typed: &Typed) -> String {
    let mut out = String::new();
    let held = typed.has("fastening.bolt");
    for table in ORDER {
        let of_fastening = ["fastening", "bolt", "plate"].contains(&table);
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
    if lines.is_empty() && !["weight", "form"].contains(&table) && !is_many(table) {
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
        Kind::Text | Kind::Choice(_) => Value::String(given.replace('\n', " ")),
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
    if !ORDER.contains(&table) {
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
            let again = sheet(&typed);
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
            if kind == Some("mesh") || table.contains_key("drill_out") {
                continue;
            }
            let mut typed = Typed::of(filled(block));
            if !typed.has("form.kind") {
                typed.set("form.kind", "cap");
            }
            let again: Table = sheet(&typed).parse().expect("TOML");
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
        let faults = WeightSheet::parse(&sheet(&typed)).expect_err("faults");
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
        let text = sheet(&typed);
        assert!(!text.contains("trace") && text.contains("round bar"), "{text}");
        assert!(WeightSheet::parse(&text).is_err(), "it has no diameter");
    }
}
