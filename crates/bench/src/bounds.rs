//! The one table of what a number may be: checks, messages and forms all read it.
//!
//! Main type: [`Bound`]. The bounds are wide on purpose: they catch slips of unit and decimal mark, not unusual
//! surfaces.

use hingeline_quantity::{Quantity, Unit, unit};

/// The allowed range of one kind of entry.
#[derive(Debug)]
pub struct Bound {
    /// Smallest value, in `unit`.
    pub min: f64,
    /// Whether the smallest value itself is allowed.
    pub min_allowed: bool,
    /// Largest value, in `unit`; always allowed.
    pub max: f64,
    /// The unit of both.
    pub unit: &'static Unit,
    /// Why.
    pub why: &'static str,
}

impl Bound {
    pub(crate) const fn above_zero(max: f64, unit: &'static Unit, why: &'static str) -> Self {
        Self { min: 0.0, min_allowed: false, max, unit, why }
    }
    pub(crate) const fn between(min: f64, max: f64, unit: &'static Unit, why: &'static str) -> Self {
        Self { min, min_allowed: true, max, unit, why }
    }
    /// Whether a value lies in the range.
    pub fn holds<Q: Quantity>(&self, value: Q) -> bool {
        let number = value.in_unit(self.unit);
        let above =
            if self.min_allowed { number >= self.min - 1e-12 } else { number > 0.0 && number > self.min };
        above && number <= self.max + 1e-12
    }
    /// The range in words, for the "allowed" line.
    #[must_use]
    pub fn words(&self) -> String {
        let symbol = self.unit.symbol;
        let from = if self.min_allowed {
            format!("from {} {symbol}", self.min)
        } else {
            format!("above {}", self.min)
        };
        format!("{from} up to {} {symbol} ({})", self.max, self.why)
    }
}

/// A distance from the hinge line.
pub static ARM: Bound = Bound::above_zero(5.0, &unit::METRE, "no surface on a bench reaches further");
/// How closely an arm is known.
pub static ARM_WITHIN: Bound = Bound::above_zero(0.5, &unit::METRE, "wider says nothing about the arm");
/// A scale reading; nose-heavy surfaces may pull it below zero.
pub static READING: Bound = Bound::between(-500.0, 500.0, &unit::KILOGRAM, "no bench scale reads further");
/// A mass of something.
pub static MASS: Bound = Bound::above_zero(500.0, &unit::KILOGRAM, "no surface on a bench is heavier");
/// A tare, a hanger or a support: it may be nothing.
pub static TARE: Bound = Bound::between(0.0, 100.0, &unit::KILOGRAM, "slings, pans and supports are lighter");
/// A moment.
pub static MOMENT: Bound =
    Bound::between(-500.0, 500.0, &unit::KILOGRAM_METRE, "no surface on a bench is that far out");
/// The uncertainty of a moment.
pub static MOMENT_WITHIN: Bound =
    Bound::between(0.0, 50.0, &unit::KILOGRAM_METRE, "wider says nothing about the moment");
/// The step of a scale.
pub static SCALE_STEP: Bound =
    Bound::above_zero(5.0, &unit::KILOGRAM, "a coarser scale cannot weigh a surface");
/// The step of a rule.
pub static RULE_STEP: Bound =
    Bound::above_zero(50.0, &unit::MILLIMETRE, "a coarser rule cannot measure an arm");
/// The step of a level.
pub static LEVEL_STEP: Bound = Bound::above_zero(5.0, &unit::DEGREE, "a coarser level cannot level a chord");
/// How closely the chord was level.
pub static LEVEL_WITHIN: Bound = Bound::above_zero(10.0, &unit::DEGREE, "further out is not level");
/// The second of two attitudes.
pub static SECOND_ANGLE: Bound = Bound::between(
    2.0,
    60.0,
    &unit::DEGREE,
    "a smaller angle tells nothing about height, a larger one unhangs the scale",
);
/// A surface's outline beyond the hinge line.
pub static OUTLINE: Bound = Bound::between(0.0, 5.0, &unit::METRE, "no surface on a bench reaches further");
/// How many readings a set may hold.
pub const MOST_READINGS: usize = 100;
