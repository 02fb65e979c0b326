//! Numbers of a piece as they are said: in the units of the sheet, to the digits that a shop can use. Main type:
//! [`Speech`].

use super::super::work::Worked;
use crate::arithmetic::{Step, gravity};
use crate::job_sheet::Units;
use crate::words::{Voice, plain};
use hingeline_ballast::design::Dimension;
use hingeline_quantity::{Moment, Quantity, decimals, places, significant, unit};

/// How numbers of one sheet are said.
#[derive(Debug, Clone, Copy)]
pub struct Speech {
    voice: Voice,
}

/// Digits of a mass and an arm that go into a written-out product: more than its result shows.
const DIGITS_IN: u8 = 6;

impl Speech {
    /// The speech of a sheet: moments to four digits of the wanted one.
    #[must_use]
    pub fn of(worked: &Worked) -> Self {
        Self::in_units(worked.sheet.units, worked.sheet.design.wanted.moment_kg_m)
    }
    /// The speech of units: moments to four digits of a wanted one, kg m.
    pub(in super::super) fn in_units(units: Units, wanted_kg_m: f64) -> Self {
        let wanted = Moment::from_si(wanted_kg_m).in_unit(units.moment);
        Self { voice: Voice { units, places: places(wanted, 4).min(6) } }
    }
    /// Its units.
    #[must_use]
    pub fn units(&self) -> Units {
        self.voice.units
    }
    /// A moment with its side.
    #[must_use]
    pub fn moment(&self, kg_m: f64) -> String {
        self.voice.moment(Moment::from_si(kg_m))
    }
    pub(super) fn finer_moment(&self, kg_m: f64) -> String {
        self.voice.finer().moment(Moment::from_si(kg_m))
    }
    /// The size of a moment.
    #[must_use]
    pub fn size(&self, kg_m: f64) -> String {
        self.voice.size(Moment::from_si(kg_m))
    }
    /// The size of a small moment, to two digits of its own.
    #[must_use]
    pub fn fine_size(&self, kg_m: f64) -> String {
        let unit = self.units().moment;
        format!("{} {}", significant(Moment::from_si(kg_m).abs().in_unit(unit), 2), unit.symbol)
    }
    /// Whether a moment rounds to nothing.
    pub(in super::super) fn is_nothing(&self, kg_m: f64) -> bool {
        let number = self.voice.number(Moment::from_si(kg_m).abs());
        number.bytes().all(|byte| matches!(byte, b'0' | b'.'))
    }
    /// A mass to four digits.
    #[must_use]
    pub fn mass(&self, kg: f64) -> String {
        let unit = self.units().mass;
        format!("{} {}", significant(kg / unit.factor, 4), unit.symbol)
    }
    /// A small mass, to two digits of its own.
    #[must_use]
    pub fn fine_mass(&self, kg: f64) -> String {
        let unit = self.units().mass;
        format!("{} {}", significant(kg / unit.factor, 2), unit.symbol)
    }
    /// A length to what a shop can measure.
    #[must_use]
    pub fn length(&self, metres: f64) -> String {
        let unit = self.units().length;
        let number = metres / unit.factor;
        // What is thin is said to two digits of its own, so that it does not round to nothing.
        let places = if 0.0 < number.abs() {
            self.length_places().max(places(number, 2))
        } else {
            self.length_places()
        };
        format!("{} {}", decimals(number, places), unit.symbol)
    }
    /// A thickness of stock, without trailing zeros.
    #[must_use]
    pub fn stock(&self, metres: f64) -> String {
        super::plain_length(metres, self.units().length)
    }
    /// A distance from the hinge line with its side.
    #[must_use]
    pub fn arm(&self, x: f64) -> String {
        let side = if x < 0.0 { "forward" } else { "aft" };
        format!("{} {side}", self.length(x.abs()))
    }
    /// A height above or below the chord plane.
    #[must_use]
    pub fn height(&self, z: f64) -> String {
        let side = if z < 0.0 { "below" } else { "above" };
        format!("{} {side}", self.length(z.abs()))
    }
    /// “0.143 in thick”, “6.2 in long”.
    #[must_use]
    pub fn dimension(&self, dimension: Dimension, metres: f64) -> String {
        let word = match dimension {
            Dimension::Thickness => "thick",
            Dimension::Span => "long along the hinge line",
            Dimension::Depth => "deep",
            Dimension::Height => "high",
            Dimension::Diameter => "in diameter",
        };
        format!("{} {word}", self.length(metres))
    }
    /// About a hundredth of a millimetre.
    fn length_places(&self) -> usize {
        match self.units().length.symbol {
            symbol if symbol == unit::MILLIMETRE.symbol => 2,
            symbol if symbol == unit::INCH.symbol || symbol == unit::CENTIMETRE.symbol => 3,
            _ => 5,
        }
    }
    /// “…: mass × arm = 0.6432 lb × 6.3211 in = 4.066 in-lb nose-heavy”.
    pub(in super::super) fn product(&self, name: &str, mass: f64, arm: f64, moment: f64) -> Step {
        let units = self.units();
        let number = |value: f64| plain_to(value, DIGITS_IN);
        Step::new(
            name,
            format!(
                "{} {}{} × {} {}",
                number((mass / units.mass.factor).abs()),
                units.mass.symbol,
                gravity(units),
                number((arm / units.length.factor).abs()),
                units.length.symbol
            ),
            self.finer_moment(moment),
        )
    }
    /// “4.0660 − 0.0123 + 0.2001”.
    pub(super) fn sum(&self, terms: impl Iterator<Item = f64>) -> String {
        let finer = self.voice.finer();
        let mut text = String::new();
        for term in terms {
            let number = finer.number(Moment::from_si(term.abs()));
            let sign = if term < 0.0 { "−" } else { "+" };
            text += &match (text.is_empty(), term < 0.0) {
                (true, false) => number,
                (true, true) => format!("−{number}"),
                (false, _) => format!(" {sign} {number}"),
            };
        }
        text
    }
    pub(super) fn divided_by_gravity(&self) -> &'static str {
        if self.units().force { " ÷ 9.80665 m/s²" } else { "" }
    }
}

/// A number to so many significant digits, without trailing zeros.
fn plain_to(value: f64, digits: u8) -> String {
    let text = significant(value, digits);
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        plain(value)
    }
}
