//! Brings what the reader of job sheets says to the fields of a form, in the words of the form. Main function:
//! [`by_key`].
//!
//! A page writes its fields as a sheet and the reader of sheets judges it; each fault knows its table and key. A form
//! has no keys: the words that name them give way to the label of the field.

use crate::form::Said;
use hingeline_bench::{Fault, Faults};

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

/// The faults, each with its place; `label` gives the name of a field on the page.
pub(crate) fn by_key(faults: &Faults, label: impl Fn(&Place) -> Option<String>) -> Vec<(Place, Said)> {
    let said = |fault: &Fault| {
        let place = place(fault);
        let label = label(&place).unwrap_or_else(|| place.key.replace('_', " "));
        let said = plainly(fault, &place.key, &label);
        (place, said)
    };
    faults.faults.iter().map(said).collect()
}

fn place(fault: &Fault) -> Place {
    if let Some(key) = fault.what.strip_prefix("the sheet has no ") {
        return Place { key: key.to_owned(), ..Place::default() };
    }
    let (table, count) = fault.table.clone().unwrap_or_default();
    Place { table, index: count.saturating_sub(1), key: fault.key.clone().unwrap_or_default() }
}

/// A fault in the words of a form.
fn plainly(fault: &Fault, key: &str, label: &str) -> Said {
    if key.is_empty() {
        return Said::from(fault);
    }
    if fault.what.ends_with(&format!(" has no {key}")) {
        return Said::new(format!("{label} is empty")).hint("fill it in");
    }
    let after = |mark: &str| fault.what.split_once(&format!(", {key}{mark}")).map(|(_, rest)| rest);
    let what = match (after(": "), after(" is ")) {
        (Some(rest), _) => format!("{label}: {rest}"),
        (None, Some(rest)) => format!("{label} is {rest}"),
        (None, None) => fault.what.clone(),
    };
    Said { what, allowed: fault.allowed.clone(), hint: hint(fault, key), ..Said::default() }
}

/// The hint, where it speaks of the value and not of the file.
fn hint(fault: &Fault, key: &str) -> Option<String> {
    let hint = fault.hint.as_deref()?;
    if hint.contains("manual_plus") {
        let side = "name the side behind the number, or choose which side the manual prints with a plus";
        return Some(side.to_owned());
    }
    if let Some(value) = hint.strip_prefix(&format!("write {key} = ")) {
        return Some(format!("write {}", value.trim_matches('"')));
    }
    (!hint.contains(" = ") && !hint.starts_with("add ")).then(|| hint.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use hingeline_bench::CardSheet;

    fn faults(text: &str) -> Vec<(String, Said)> {
        let faults = CardSheet::parse(text).expect_err("faults");
        let name = |place: &Place| format!("{}.{}.{}", place.table, place.index, place.key);
        let label =
            |place: &Place| (place.key == "arm").then(|| format!("Arm of station {}", place.index + 1));
        by_key(&faults, label).iter().map(|(place, said)| (name(place), said.clone())).collect()
    }

    const TEXT: &str = "[limits]\nfrom = \"4.0 in-lb\"\nto = \"0 in-lb\"\n\n[[station]]\nname = \"a\"\narm = \"6 in\"\n\
        side = \"forward\"\n\n[[station]]\nname = \"b\"\narm = \"6 kg\"\n";

    #[test]
    fn every_fault_finds_its_field() {
        let places: Vec<String> = faults(TEXT).into_iter().map(|(place, _)| place).collect();
        assert_eq!(places, ["limits.0.source", "limits.0.from", "station.1.side", "station.1.arm"]);
    }

    #[test]
    fn no_word_of_the_file_is_left() {
        let said = faults(TEXT);
        let what: Vec<&str> = said.iter().map(|(_, said)| said.what.as_str()).collect();
        assert_eq!(
            what,
            [
                "source is empty",
                "from: 4.0 in-lb does not say its side",
                "side is empty",
                "Arm of station 2: “kg” is a unit of mass, but a length is wanted"
            ]
        );
        for (_, said) in &said {
            let words = format!("{said:?}");
            assert!(
                !words.contains(" = ") && !words.contains("manual_plus") && !words.contains("[["),
                "{words}"
            );
        }
    }

    #[test]
    fn what_the_sheet_misses_as_a_whole_has_no_table() {
        let said = faults("[limits]\nsource = \"m\"\nfrom = \"4 in-lb nose-heavy\"\nto = \"0 in-lb\"\n");
        assert_eq!(said[0].0, ".0.station");
    }
}
