//! Brings what the reader of job sheets says to the fields of a form. Main function: [`by_key`].
//!
//! A page writes its fields as a sheet (crate bench, `SheetFields::text`) and the reader of sheets judges it; a fault
//! has a line, and a line of that text holds one key. What is missing stands at the head of its table.

use crate::form::Said;
use hingeline_bench::Faults;
use std::collections::BTreeMap;

/// Where in a sheet: the table, which one of its kind (from 0), the key (empty for the table as a whole).
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Place {
    /// "limits", "station", "weighing.part"; empty for the sheet.
    pub(crate) table: String,
    /// From 0.
    pub(crate) index: usize,
    /// The key.
    pub(crate) key: String,
}

/// The faults of a text that `SheetFields::text` wrote, each with its place.
pub(crate) fn by_key(text: &str, faults: &Faults) -> Vec<(Place, Said)> {
    let places = places(text);
    let place_of = |line: usize, what: &str| {
        if let Some(key) = what.strip_prefix("the sheet has no ") {
            return Place { key: key.to_owned(), ..Place::default() };
        }
        let mut place = places.get(line.saturating_sub(1)).cloned().unwrap_or_default();
        if place.key.is_empty() {
            place.key = missing_key(what).unwrap_or_default().to_owned();
        }
        place
    };
    faults.faults.iter().map(|fault| (place_of(fault.line, &fault.what), Said::from(fault))).collect()
}

/// The place of each line.
fn places(text: &str) -> Vec<Place> {
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    let mut here = Place::default();
    let mut places = Vec::new();
    for line in text.lines() {
        if let Some(head) = line.strip_prefix('[') {
            let table = head.trim_matches(['[', ']']).to_owned();
            let count = counts.entry(table.clone()).or_default();
            here = Place { table, index: *count, key: String::new() };
            *count += 1;
            places.push(here.clone());
            continue;
        }
        let key = line.split_once(" = ").map_or("", |(key, _)| key);
        places.push(Place { key: key.to_owned(), ..here.clone() });
    }
    places
}

/// The key that the reader misses: "limits has no source".
fn missing_key(what: &str) -> Option<&str> {
    let (_, key) = what.rsplit_once(" has no ")?;
    key.bytes().all(|byte| byte.is_ascii_lowercase() || byte == b'_').then_some(key)
}

#[cfg(test)]
mod tests {
    use super::*;
    use hingeline_bench::CardSheet;

    fn faults(text: &str) -> Vec<(String, String)> {
        let faults = CardSheet::parse(text).expect_err("faults");
        let name = |place: &Place| format!("{}.{}.{}", place.table, place.index, place.key);
        by_key(text, &faults).iter().map(|(place, said)| (name(place), said.what.clone())).collect()
    }

    #[test]
    fn every_fault_finds_its_field() {
        let text = "[limits]\nfrom = \"4.0\"\nto = \"0 in-lb\"\n\n[[station]]\nname = \"a\"\narm = \"6 in\"\nside = \"forward\"\n\n\
            [[station]]\nname = \"b\"\narm = \"6 kg\"\n";
        let places: Vec<String> = faults(text).into_iter().map(|(place, _)| place).collect();
        assert_eq!(places, ["limits.0.source", "limits.0.from", "station.1.side", "station.1.arm"]);
    }

    #[test]
    fn what_the_sheet_misses_as_a_whole_has_no_table() {
        let places = faults("[limits]\nsource = \"m\"\nfrom = \"4 in-lb nose-heavy\"\nto = \"0 in-lb\"\n");
        assert_eq!(places[0].0, ".0.station", "{places:?}");
    }
}
