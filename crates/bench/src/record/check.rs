//! The check of a scale before a weighing: zero, check weight, and how far it moved since its last check.
//!
//! Main function: [`judge`]. A check beyond its bound is pointed at; it does not stop a weighing.

use super::deed::BeforeWeighing;
use super::shop::Instrument;
use hingeline_quantity::{Entered, Mass, ParseError, Quantity, Unit, decimals, places};

/// What a check of a scale shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Checked {
    /// How far the check weight reads off, its zero taken away; none without a check weight or its reading.
    pub off: Option<Mass>,
    /// Whether that lies within the bound; none without a bound.
    pub within: Option<bool>,
    /// That bound.
    pub bound: Option<Mass>,
    /// How far the scale moved since its last check; none where there was none like it.
    pub drift: Option<Mass>,
    /// The unit that the check weight is stated in.
    pub unit: &'static Unit,
    /// Decimal places that a reading was typed with.
    places: usize,
}

impl Checked {
    /// A mass of the check, with its sign.
    fn signed(&self, mass: Mass) -> String {
        let number = decimals(mass.abs().in_unit(self.unit), self.places);
        let zero = number.bytes().all(|byte| matches!(byte, b'0' | b'.'));
        let sign = if zero {
            ""
        } else if mass < Mass::ZERO {
            "−"
        } else {
            "+"
        };
        format!("{sign}{number} {}", self.unit.symbol)
    }
    /// In words: what it reads off, and how far it moved.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        let off = self.off.map(|off| format!("the check weight reads {} off", self.signed(off)));
        let drift = self.drift.map(|drift| format!("{} since its last check", self.signed(drift)));
        off.into_iter().chain(drift).collect()
    }
}

/// A field of the check that cannot be read: "zero" or "check", and why.
pub type NotRead = (&'static str, ParseError);

/// Reads and compares a check; nothing where both fields are empty.
///
/// # Errors
/// - one [`NotRead`] a field that is no mass
pub fn judge(instrument: &Instrument, before: &BeforeWeighing) -> Result<Option<Checked>, Vec<NotRead>> {
    let mut wrong = Vec::new();
    let mut read = |field: &'static str, text: &str| match maybe(text) {
        Ok(read) => read,
        Err(error) => {
            wrong.push((field, error));
            None
        }
    };
    let (zero, check) = (read("zero", &before.zero), read("check", &before.check));
    if !wrong.is_empty() {
        return Err(wrong);
    }
    let Some(first) = check.as_ref().or(zero.as_ref()) else { return Ok(None) };
    let weight = maybe(&instrument.check_weight).ok().flatten();
    let bound = maybe(&instrument.check_within).ok().flatten();
    let unit = weight.as_ref().map_or(first.unit, |weight| weight.unit);
    let off = off(weight.as_ref(), zero.as_ref(), check.as_ref());
    let within =
        off.zip(bound.as_ref()).map(|(off, bound)| off.abs().si() <= bound.value.si() * (1.0 + 1e-9));
    let drift = off.zip(last_off(instrument, weight.as_ref())).map(|(now, then)| now - then);
    let step = maybe(instrument.text("resolution")).ok().flatten();
    let step = step.map_or(0.001, |step| step.value.in_unit(unit));
    Ok(Some(Checked {
        off,
        within,
        bound: bound.map(|bound| bound.value),
        drift,
        unit,
        places: places(step, 1).min(6),
    }))
}

fn maybe(text: &str) -> Result<Option<Entered<Mass>>, ParseError> {
    if text.trim().is_empty() { Ok(None) } else { Entered::parse(text).map(Some) }
}

/// What the check weight reads beyond its mass, the zero taken away.
fn off(
    weight: Option<&Entered<Mass>>,
    zero: Option<&Entered<Mass>>,
    check: Option<&Entered<Mass>>,
) -> Option<Mass> {
    let zero = zero.map_or(Mass::ZERO, |zero| zero.value);
    Some(check?.value - zero - weight?.value)
}

/// The same of the newest check that can be read.
fn last_off(instrument: &Instrument, weight: Option<&Entered<Mass>>) -> Option<Mass> {
    instrument.checks.iter().rev().find_map(|(_, _, before)| {
        let (zero, check) = (maybe(&before.zero).ok()?, maybe(&before.check).ok()?);
        off(weight, zero.as_ref(), check.as_ref())
    })
}

#[cfg(test)]
mod tests {
    use super::super::deed::Field;
    use super::*;

    fn scale() -> Instrument {
        let mut scale = Instrument {
            check_weight: "5 lb".to_owned(),
            check_within: "0.02 lb".to_owned(),
            ..Instrument::default()
        };
        scale.fields.insert("resolution".to_owned(), Field::Text("0.01 lb".to_owned()));
        scale
    }
    fn before(zero: &str, check: &str) -> BeforeWeighing {
        BeforeWeighing { zero: zero.to_owned(), check: check.to_owned() }
    }
    fn judged(scale: &Instrument, zero: &str, check: &str) -> Checked {
        judge(scale, &before(zero, check)).expect("readable").expect("a check")
    }

    #[test]
    fn a_check_is_what_it_reads_beyond_zero_and_weight() {
        let checked = judged(&scale(), "0.01 lb", "5.03 lb");
        assert_eq!(checked.within, Some(true), "the bound itself is allowed");
        assert_eq!(checked.words(), ["the check weight reads +0.02 lb off"]);
        assert_eq!(judged(&scale(), "0 lb", "4.97 lb").within, Some(false));
    }

    #[test]
    fn it_is_compared_with_the_last_check() {
        let mut scale = scale();
        scale.checks.push((
            "2026-10-01T08:00:00Z".to_owned(),
            "M. Tarn".to_owned(),
            before("0 lb", "5.00 lb"),
        ));
        let words = judged(&scale, "0 lb", "5.01 lb").words();
        assert_eq!(words[1], "+0.01 lb since its last check");
    }

    #[test]
    fn what_is_no_mass_is_named_and_nothing_is_nothing() {
        let wrong = judge(&scale(), &before("0", "five")).expect_err("two faults");
        assert_eq!(wrong.iter().map(|(field, _)| *field).collect::<Vec<_>>(), ["zero", "check"]);
        assert_eq!(judge(&scale(), &before("", " ")).expect("nothing"), None);
        assert_eq!(judged(&scale(), "0 lb", "").off, None);
    }
}
