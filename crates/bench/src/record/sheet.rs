//! A job written as a job sheet: the text that `hingeline balance` reads.
//!
//! Pages and files are judged by the same reader, because a page first writes its fields as a sheet. Main type:
//! [`SheetFields`], the tables of a sheet as typed.

use super::deed::{Card, Field, Fields};
use serde::Serialize;

/// The tables of a job sheet, as typed.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct SheetFields {
    /// `[job]`
    pub job: Fields,
    /// `[limits]`
    pub limits: Fields,
    /// `[outline]`
    #[serde(skip_serializing_if = "Fields::is_empty")]
    pub outline: Fields,
    /// `[[instrument]]`
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub instrument: Vec<Fields>,
    /// `[[weighing]]`
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub weighing: Vec<Fields>,
    /// `[[station]]`
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub station: Vec<Fields>,
}

impl SheetFields {
    /// The tables of a card, for a job.
    #[must_use]
    pub fn of(job: Fields, card: &Card) -> Self {
        Self {
            job,
            limits: card.limits.clone(),
            outline: card.outline.clone(),
            station: card.stations.clone(),
            ..Self::default()
        }
    }

    /// Adds a weighing with its instruments; an instrument that is there already with other numbers (it was
    /// calibrated between two weighings) is entered under its id and the count of its states.
    pub fn add(&mut self, weighing: &Fields, instruments: &[Fields]) {
        let mut weighing = weighing.clone();
        for instrument in instruments {
            let Some(Field::Text(id)) = instrument.get("id").cloned() else { continue };
            if self.instrument.contains(instrument) {
                continue;
            }
            let states = self.instrument.iter().filter(|other| is_state_of(other, &id)).count();
            let mut instrument = instrument.clone();
            if states > 0 {
                let state = format!("{id}/{}", states + 1);
                instrument.insert("id".to_owned(), Field::Text(state.clone()));
                for key in ["scale", "rule", "level"] {
                    if weighing.get(key) == Some(&Field::Text(id.clone())) {
                        weighing.insert(key.to_owned(), Field::Text(state.clone()));
                    }
                }
            }
            if !self.instrument.contains(&instrument) {
                self.instrument.push(instrument);
            }
        }
        self.weighing.push(weighing);
    }

    /// The sheet as text.
    ///
    /// # Errors
    /// - what the TOML writer says, which is a defect of this module
    pub fn text(&self) -> Result<String, toml::ser::Error> {
        toml::to_string(self)
    }
}

fn is_state_of(instrument: &Fields, id: &str) -> bool {
    match instrument.get("id") {
        Some(Field::Text(other)) => other == id || other.rsplit_once('/').is_some_and(|(base, _)| base == id),
        _ => false,
    }
}

/// A field of one text.
#[must_use]
pub fn text(value: impl Into<String>) -> Field {
    Field::Text(value.into())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::JobSheet;

    fn fields(pairs: &[(&str, &str)]) -> Fields {
        pairs.iter().map(|(key, value)| ((*key).to_owned(), text(*value))).collect()
    }

    fn sheet() -> SheetFields {
        let mut limits = fields(&[("source", "manual"), ("from", "4 in-lb nose-heavy"), ("to", "0 in-lb")]);
        limits.insert("configuration".to_owned(), Field::List(vec!["final \"paint\"".to_owned()]));
        let station = fields(&[("name", "horn"), ("arm", "6 1/2 in"), ("side", "forward")]);
        let card = Card {
            title: "elevator".to_owned(),
            parts: vec![],
            limits,
            stations: vec![station],
            outline: Fields::new(),
        };
        SheetFields::of(fields(&[("number", "1"), ("surface", "s"), ("part", "p"), ("serial", "1")]), &card)
    }

    fn weighing() -> Fields {
        let mut weighing = fields(&[
            ("stage", "as found"),
            ("method", "trailing-edge scale"),
            ("date", "2026-10-02"),
            ("scale", "S-2"),
            ("rule", "R-1"),
            ("arm", "17 1/4 in"),
        ]);
        weighing.insert("readings".to_owned(), Field::List(vec!["0.3 lb".to_owned()]));
        weighing.insert("confirmed".to_owned(), Field::List(vec!["final \"paint\"".to_owned()]));
        weighing
    }

    fn instruments(due: &str) -> Vec<Fields> {
        vec![
            fields(&[("id", "S-2"), ("kind", "scale"), ("resolution", "0.01 lb"), ("due", due)]),
            fields(&[("id", "R-1"), ("kind", "rule"), ("resolution", "1/32 in")]),
        ]
    }

    #[test]
    fn a_sheet_is_read_back() {
        let mut sheet = sheet();
        sheet.add(&weighing(), &instruments("2027-01-01"));
        sheet.add(&weighing(), &instruments("2027-01-01"));
        let read = JobSheet::parse(&sheet.text().expect("TOML")).expect("a sheet");
        assert_eq!(read.weighings.len(), 2);
        assert_eq!(read.instruments.len(), 2);
        assert_eq!(read.limits.configuration, ["final \"paint\""]);
    }

    #[test]
    fn an_instrument_calibrated_in_between_has_two_states() {
        let mut sheet = sheet();
        sheet.add(&weighing(), &instruments("2026-01-01"));
        sheet.add(&weighing(), &instruments("2027-01-01"));
        let assessment = crate::assess(JobSheet::parse(&sheet.text().expect("TOML")).expect("a sheet"), None);
        assert_eq!(assessment.weighings[0].reasons.len(), 1, "past due then");
        assert!(assessment.weighings[1].reasons.is_empty(), "in date now");
        assert_eq!(assessment.sheet.instruments.len(), 3);
    }

    #[test]
    fn a_parts_list_is_read_back() {
        let mut sheet = sheet();
        let mut list = fields(&[("stage", "as found"), ("method", "parts list"), ("date", "2026-10-02")]);
        let part =
            [("name", "rib"), ("mass", "34 g"), ("arm", "140 mm"), ("side", "aft"), ("change", "added")];
        let part = part.iter().map(|(key, value)| ((*key).to_owned(), (*value).to_owned())).collect();
        list.insert("part".to_owned(), Field::Parts(vec![part]));
        sheet.add(&list, &[]);
        JobSheet::parse(&sheet.text().expect("TOML")).expect("a sheet");
    }
}
