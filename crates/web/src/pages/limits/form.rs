//! The form of a card: a card out of what was typed, and what was typed out of a card. The reader of job sheets
//! judges. Main functions: [`read`], [`fill`].

use crate::form::{Filled, Said, Typed, Wrong};
use crate::sheet_faults::{Place, by_key};
use hingeline_bench::record::deed::{Card, Field, Fields};
use serde::{Deserialize, Serialize};

/// A card as a file has it; a job sheet is read as one too, its other tables are left out.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
pub(super) struct CardFile {
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub(super) title: String,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) parts: Vec<String>,
    #[serde(default)]
    pub(super) limits: Fields,
    #[serde(default, skip_serializing_if = "Fields::is_empty")]
    pub(super) outline: Fields,
    #[serde(default)]
    pub(super) station: Vec<Fields>,
}

impl CardFile {
    pub(super) fn of(card: &Card) -> Self {
        Self {
            title: card.title.clone(),
            parts: card.parts.clone(),
            limits: card.limits.clone(),
            outline: card.outline.clone(),
            station: card.stations.clone(),
        }
    }
}

pub(super) const BY_MOMENTS: [&str; 3] = ["from", "to", "aim"];
pub(super) const BY_READINGS: [&str; 4] = ["at_arm", "from_reading", "to_reading", "aim_reading"];
pub(super) const STATION: [&str; 7] = ["name", "arm", "arm_within", "side", "capacity", "removable", "step"];
pub(super) const OUTLINE: [&str; 2] = ["nose", "trailing_edge"];
/// Most stations that a form shows.
pub(super) const STATIONS: usize = 20;

/// What the form of a card holds when it is first shown.
pub(super) fn fill(card: &Card) -> Filled {
    let mut typed = Typed::of([("title", card.title.as_str())]);
    typed.set("parts", card.parts.join("\n"));
    let readings = card.limits.contains_key("at_arm");
    typed.set("given", if readings { "readings" } else { "moments" });
    typed.set("configuration", super::list_of(&card.limits, "configuration").join("\n"));
    let keys = ["source", "manual_plus"].into_iter().chain(BY_MOMENTS).chain(BY_READINGS);
    for key in keys {
        typed.set(key, super::text(&card.limits, key));
    }
    for (row, station) in card.stations.iter().enumerate() {
        for key in STATION {
            typed.set(&format!("station.{row}.{key}"), super::text(station, key));
        }
    }
    for key in OUTLINE {
        typed.set(&format!("outline.{key}"), super::text(&card.outline, key));
    }
    Filled { typed, wrong: Wrong::default() }
}

/// The stations of a form that hold anything.
fn filled_rows(typed: &Typed) -> Vec<usize> {
    let holds =
        |row: &usize| STATION.iter().any(|key| *key != "side" && typed.has(&format!("station.{row}.{key}")));
    typed.rows("station").into_iter().filter(holds).collect()
}

fn table<'k>(typed: &Typed, before: &str, keys: impl IntoIterator<Item = &'k str>) -> Fields {
    let mut fields = Fields::new();
    for key in keys {
        let value = typed.get(&format!("{before}{key}"));
        if !value.is_empty() {
            fields.insert(key.to_owned(), Field::Text(value.to_owned()));
        }
    }
    fields
}

/// The card that a form describes, or everything that is wrong with it.
pub(super) fn read(typed: &Typed) -> Result<Card, Wrong> {
    let mut wrong = Wrong::default();
    let title = wrong.need(typed, "title", "what it is for").to_owned();
    let parts = typed.lines("parts");
    if parts.is_empty() {
        wrong.say(
            "parts",
            Said::new("there is no part number").hint("one a line; a star at the end stands for any ending"),
        );
    }
    if parts.iter().any(|part| part == "*") {
        let said = Said::new("a lone star would be for every part of every aircraft");
        wrong.say(
            "parts",
            said.allowed("a star behind the beginning of a part number").hint("write SK12-55-*"),
        );
    }
    let readings = typed.get("given") == "readings";
    let other = if readings { &BY_MOMENTS[..] } else { &BY_READINGS[..] };
    if other.iter().any(|key| typed.has(key)) {
        let said = Said::new("the band is filled in both ways, as static moments and as readings at an arm");
        wrong.say("given", said.allowed("one way").hint("choose one, and empty the fields of the other"));
    }
    let rows = filled_rows(typed);
    let card = card(typed, title, parts, &rows);
    judge(&card, &rows, typed, &mut wrong);
    if wrong.is_empty() { Ok(card) } else { Err(wrong) }
}

fn card(typed: &Typed, title: String, parts: Vec<String>, rows: &[usize]) -> Card {
    let mut limits = table(typed, "", ["source", "manual_plus"]);
    let configuration = typed.lines("configuration");
    if !configuration.is_empty() {
        limits.insert("configuration".to_owned(), Field::List(configuration));
    }
    let readings = typed.get("given") == "readings";
    limits.extend(if readings { table(typed, "", BY_READINGS) } else { table(typed, "", BY_MOMENTS) });
    let station = |row: &usize| table(typed, &format!("station.{row}."), STATION);
    Card {
        title,
        parts,
        limits,
        stations: rows.iter().map(station).collect(),
        outline: table(typed, "outline.", OUTLINE),
    }
}

/// What the reader of job sheets says, beside the fields.
fn judge(card: &Card, rows: &[usize], typed: &Typed, wrong: &mut Wrong) {
    let Err(faults) = card.sheet() else { return };
    for (place, said) in by_key(&faults, label) {
        let field = field_of(&place, rows, typed);
        wrong.say(field, said);
    }
}

/// What a field is called on the page.
fn label(place: &Place) -> Option<String> {
    let word = match place.key.as_str() {
        "source" => "source with revision",
        "from" | "from_reading" => "from, nose-heavy end",
        "to" | "to_reading" => "to, tail-heavy end",
        "aim" | "aim_reading" => "aim",
        "at_arm" => "arm of the readings",
        "arm_within" => "arm known within",
        "capacity" => "most that may be added",
        "removable" => "most that may be taken away",
        "nose" => "hinge line to the nose",
        "trailing_edge" => "hinge line to the trailing edge",
        other => other,
    };
    let station = place.table == "station" && !place.key.is_empty();
    Some(if station { format!("{word} of station {}", place.index + 1) } else { word.to_owned() })
}

fn field_of(place: &Place, rows: &[usize], typed: &Typed) -> String {
    let Place { table, index, key } = place;
    match (table.as_str(), key.as_str()) {
        ("limits", "from") if typed.get("given") == "readings" => "from_reading".to_owned(),
        ("limits", key) => key.to_owned(),
        ("outline", key) => format!("outline.{key}"),
        ("station", "") => format!("station.{}.name", rows.get(*index).copied().unwrap_or(0)),
        ("station", key) => format!("station.{}.{key}", rows.get(*index).copied().unwrap_or(0)),
        ("", "station") => "station.0.name".to_owned(),
        _ => String::new(),
    }
}
