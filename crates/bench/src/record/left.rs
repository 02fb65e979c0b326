//! What the places of a job can still take and give, after the corrections of this job that count.
//!
//! Main type: [`Use`]. A card says what a place can take and what may be taken away; what this job added takes up the
//! one and adds to the other, what it removed the other way round. A bound that the card does not state stays unstated.

use super::deed::{Field, Fields, text};
use super::job::Job;
use crate::words::in_unit;
use hingeline_quantity::{Entered, Mass, Quantity};

/// Less than this of a bound is the rest of a rounding.
const ROUNDING: f64 = 1e-9;

/// A bound of a place, and what this job made of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Use {
    bound: Entered<Mass>,
    used: Mass,
}

impl Use {
    /// What is left, not negative.
    #[must_use]
    pub fn left(&self) -> Mass {
        let left = self.bound.value - self.used;
        if left.si() <= ROUNDING * self.bound.value.si() { Mass::from_si(0.0) } else { left }
    }
    /// What is left, in the unit that the card states: "0.05 lb".
    #[must_use]
    pub fn left_words(&self) -> String {
        in_unit(self.left().si(), self.bound.unit)
    }
    /// Whether a mass fits into what is left.
    #[must_use]
    pub fn fits(&self, mass: Mass) -> bool {
        mass.si() <= self.left().si() + ROUNDING * self.bound.value.si()
    }
    /// Whether this job used any of it.
    #[must_use]
    pub fn touched(&self) -> bool {
        ROUNDING * self.bound.value.si() < self.used.si().abs()
    }
    /// How much is used of what: "0.2 lb of 0.25 lb used"; nothing is used where more was taken away than added.
    #[must_use]
    pub fn words(&self) -> String {
        let used = if self.used.si() < 0.0 { 0.0 } else { self.used.si() };
        format!("{} of {} used", in_unit(used, self.bound.unit), self.bound.text)
    }
}

/// "add" or "remove": which bound of a place is meant.
fn key_of(action: &str) -> &'static str {
    if action == "remove" { "removable" } else { "capacity" }
}

impl Job {
    /// What an action ("add", "remove") at a place has used of the card's bound, and has left; none where the card
    /// states no bound. `without`: the number of a correction that does not count, because it is being mended.
    #[must_use]
    pub fn used(&self, station: &str, action: &str, without: Option<u64>) -> Option<Use> {
        let (_, card) = self.card.as_ref()?;
        let fields = card.stations.iter().find(|fields| text(fields, "name") == station)?;
        let bound = Entered::<Mass>::parse(text(fields, key_of(action))).ok()?;
        let used = self.moved(station, without);
        Some(Use {
            bound,
            used: if key_of(action) == "removable" { Mass::from_si(-used.si()) } else { used },
        })
    }

    /// The mass that this job put into a place: what was added less what was removed.
    fn moved(&self, station: &str, without: Option<u64>) -> Mass {
        let here =
            self.corrections.iter().filter(|(entry, [at, ..])| at == station && Some(*entry) != without);
        let masses = here.filter_map(|(_, [_, action, mass, _])| {
            let mass = Entered::<Mass>::parse(mass).ok()?.value.si();
            Some(if action == "remove" { -mass } else { mass })
        });
        Mass::from_si(masses.sum())
    }

    /// The stations of the card with what each has left, in the card's own units; a bound that this job did not touch
    /// stays as it was typed.
    #[must_use]
    pub fn stations_left(&self) -> Vec<Fields> {
        let Some((_, card)) = &self.card else { return Vec::new() };
        let left = |fields: &Fields| {
            let mut fields = fields.clone();
            let name = text(&fields, "name").to_owned();
            for action in ["add", "remove"] {
                if let Some(bound) = self.used(&name, action, None).filter(Use::touched) {
                    fields.insert(key_of(action).to_owned(), Field::Text(bound.left_words()));
                }
            }
            fields
        };
        card.stations.iter().map(left).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::deed::Card;
    use crate::record::sheet::text as field;

    fn job(corrections: &[[&str; 3]]) -> Job {
        let station = [
            ("name", "rib"),
            ("arm", "3.1 in"),
            ("side", "forward"),
            ("capacity", "1/4 lb"),
            ("removable", "2 oz"),
        ];
        let card = Card {
            title: "elevator".to_owned(),
            parts: vec![],
            limits: Fields::new(),
            stations: vec![station.iter().map(|(key, value)| ((*key).to_owned(), field(*value))).collect()],
            outline: Fields::new(),
        };
        let entry = |(index, [station, action, mass]): (usize, &[&str; 3])| {
            (index as u64 + 1, [station, action, mass, &"cap"].map(|text| (*text).to_owned()))
        };
        Job {
            card: Some((1, card)),
            corrections: corrections.iter().enumerate().map(entry).collect(),
            ..Job::default()
        }
    }

    #[test]
    fn what_is_added_takes_up_the_room_and_may_be_taken_away_again() {
        let job = job(&[["rib", "add", "0.2 lb"], ["horn", "add", "1 lb"]]);
        let room = job.used("rib", "add", None).expect("a bound");
        assert_eq!((room.words().as_str(), room.left_words().as_str()), ("0.2 lb of 1/4 lb used", "0.05 lb"));
        let less = job.used("rib", "remove", None).expect("a bound");
        assert_eq!((less.words().as_str(), less.left_words().as_str()), ("0 oz of 2 oz used", "5.2 oz"));
        assert_eq!(text(&job.stations_left()[0], "capacity"), "0.05 lb");
        assert_eq!(job.used("rib", "add", Some(1)).expect("a bound").left_words(), "0.25 lb");
    }

    #[test]
    fn what_is_full_has_nothing_left_and_never_less() {
        for mass in ["0.25 lb", "5 lb"] {
            let job = job(&[["rib", "add", mass]]);
            let room = job.used("rib", "add", None).expect("a bound");
            assert_eq!(room.left_words(), "0 lb");
            assert!(!room.fits(Mass::from_si(0.001)));
        }
        assert!(job(&[]).used("rib", "add", None).expect("a bound").fits(Mass::from_si(0.113_398_092_5)));
    }

    #[test]
    fn what_was_not_touched_stays_as_typed() {
        assert_eq!(text(&job(&[]).stations_left()[0], "capacity"), "1/4 lb");
        assert!(job(&[]).used("elsewhere", "add", None).is_none());
    }
}
