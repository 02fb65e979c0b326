//! Numbers of a piece as they are said: in the units of the sheet, to the digits that a shop can use. Main type:
//! [`Speech`].

use super::super::work::Worked;
use crate::arithmetic::{Step, gravity};
use crate::job_sheet::Units;
use crate::words::{Voice, plain};
use hingeline_ballast::design::Dimension;
use hingeline_quantity::{Moment, Quantity, STANDARD_GRAVITY, Unit, decimals, places, significant, unit};

/// How numbers of one sheet are said.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Speech {
    voice: Voice,
}

/// As closely as a shop trims a casting, where its sheet does not say.
const USUAL_TOLERANCE_KG: f64 = 5e-4;

/// Digits of numbers that go into a written-out product: the fewest with which a hand comes to the printed result.
const DIGITS_IN: std::ops::RangeInclusive<u8> = 6..=12;
/// Decimals of the terms of a written-out sum beyond those of its result, for the same reason.
const MORE_PLACES: std::ops::RangeInclusive<usize> = 0..=6;

impl Speech {
    /// The speech of a sheet: moments to four digits of the wanted one.
    #[must_use]
    pub fn of(worked: &Worked) -> Self {
        Self::in_units(worked.sheet.units, worked.sheet.design.wanted.moment_kg_m)
    }
    /// The speech of units: moments to four digits of a wanted one, kg m.
    #[must_use]
    pub fn in_units(units: Units, wanted_kg_m: f64) -> Self {
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
    #[must_use]
    pub fn is_nothing(&self, kg_m: f64) -> bool {
        let number = self.voice.number(Moment::from_si(kg_m).abs());
        number.bytes().all(|byte| matches!(byte, b'0' | b'.'))
    }
    /// A mass to four digits.
    #[must_use]
    pub fn mass(&self, kg: f64) -> String {
        let unit = self.units().mass;
        format!("{} {}", significant(kg / unit.factor, 4), unit.symbol)
    }
    /// A mass that a scale must read: to four digits, and no coarser than a tolerance, kg; of half a gram where none is
    /// known.
    #[must_use]
    pub fn reading(&self, kg: f64, tolerance_kg: Option<f64>) -> String {
        let unit = self.units().mass;
        let [mass, step] = [kg, tolerance_kg.unwrap_or(USUAL_TOLERANCE_KG)].map(|kg| kg / unit.factor);
        format!("{} {}", decimals(mass, places(mass, 4).max(places(step, 1))), unit.symbol)
    }
    /// “1 lb at this arm is 6.350 in-lb”.
    #[must_use]
    pub fn of_one(&self, arm_m: f64) -> String {
        let Units { mass, moment, .. } = self.units();
        let size = significant((arm_m * mass.factor / moment.factor).abs(), 4);
        format!("1 {} at this arm is {size} {}", mass.symbol, moment.symbol)
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
        let (mass, arm) = ((mass / units.mass.factor).abs(), (arm / units.length.factor).abs());
        let gravity_m_s2 = if units.force { STANDARD_GRAVITY } else { 1.0 };
        let result = self.finer_moment(moment);
        let numbers = agreeing(&result, DIGITS_IN, |digits| {
            let [mass, arm] = [mass, arm].map(|number| plain_to(number, digits));
            let value = number(&mass) * gravity_m_s2 * number(&arm);
            let gravity = gravity(units);
            (format!("{mass} {}{gravity} × {arm} {}", units.mass.symbol, units.length.symbol), value)
        });
        Step::new(name, numbers, result)
    }
    /// “moment ÷ arm = 3.780 in-lb ÷ 6.500 in = 0.5815 lb”.
    pub(super) fn division(&self, name: &str, moment: f64, arm: f64, mass: f64) -> Step {
        let units = self.units();
        let gravity_m_s2 = if units.force { STANDARD_GRAVITY } else { 1.0 };
        let gravity = if units.force { " ÷ 9.80665 m/s²" } else { "" };
        let result = self.mass(mass.abs());
        let written = |moment: String, arm: String| {
            let value = number(&moment) / gravity_m_s2 / number(&arm);
            (format!("{moment}{gravity} ÷ {arm}"), value)
        };
        let (numbers, value) = written(self.size(moment), self.length(arm.abs()));
        if rounds_to(value, &result) {
            return Step::new(name, numbers, result);
        }
        let plainly = |value: f64, unit: &Unit, digits| {
            format!("{} {}", plain_to((value / unit.factor).abs(), digits), unit.symbol)
        };
        let numbers = agreeing(&result, DIGITS_IN, |digits| {
            written(plainly(moment, units.moment, digits), plainly(arm, units.length, digits))
        });
        Step::new(name, numbers, result)
    }
    /// “4.0660 − 0.0123 + 0.2001 in-lb = 4.2538 in-lb nose-heavy”, and how the terms are said so that they add up to
    /// that: with more decimals than it where rounding makes it needful. `sign`: +1 or −1, that of the side which counts
    /// as plus.
    pub(super) fn sum(&self, name: String, terms: &[f64], total: f64, sign: f64) -> (Self, Step) {
        let result = self.finer_moment(total);
        let terms_with = |more: usize| {
            let speech = Self { voice: Voice { places: self.voice.places + more, ..self.voice } };
            (speech, speech.terms(terms, sign))
        };
        let adds_up = |more: &usize| {
            let (_, (_, value)) = terms_with(*more);
            rounds_to(value, &result)
        };
        let more = MORE_PLACES.clone().find(adds_up).unwrap_or(*MORE_PLACES.end());
        let (speech, (text, _)) = terms_with(more);
        (speech, Step::new(name, format!("{text} {}", self.units().moment.symbol), result))
    }
    /// Terms as they are printed, and what a hand that adds them up gets.
    fn terms(&self, terms: &[f64], sign: f64) -> (String, f64) {
        let finer = self.voice.finer();
        let (mut text, mut sum) = (String::new(), 0.0);
        for term in terms.iter().map(|term| sign * term) {
            let size = finer.number(Moment::from_si(term.abs()));
            sum += number(&size).copysign(term);
            let minus = term < 0.0;
            text += &match (text.is_empty(), minus) {
                (true, false) => size,
                (true, true) => format!("−{size}"),
                (false, false) => format!(" + {size}"),
                (false, true) => format!(" − {size}"),
            };
        }
        (text, sum)
    }
}

/// The first text whose numbers, as printed, come to a printed result; else the one with the most digits.
fn agreeing(
    result: &str,
    mut digits: std::ops::RangeInclusive<u8>,
    written: impl Fn(u8) -> (String, f64),
) -> String {
    let most = *digits.end();
    let first = digits.find(|digits| rounds_to(written(*digits).1, result));
    written(first.unwrap_or(most)).0
}

/// Whether a number rounds to the one that a printed text begins with, whatever their signs.
fn rounds_to(value: f64, printed: &str) -> bool {
    let word = printed.split(' ').next().unwrap_or_default();
    let places = word.split_once('.').map_or(0, |(_, after)| after.len());
    let half = 0.5 * 10f64.powi(-i32::try_from(places).unwrap_or(0));
    // At just half a hand might round the other way.
    (value.abs() - number(word).abs()).abs() <= half * (1.0 - 1e-6)
}

/// The number that a text of ours begins with.
fn number(text: &str) -> f64 {
    text.split(' ').next().unwrap_or_default().replace('−', "-").parse().unwrap_or(f64::NAN)
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
