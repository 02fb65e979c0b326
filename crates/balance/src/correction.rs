//! From a moment that is wrong to a mass at a station.
//!
//! S + Δm x = aim, so Δm = (aim − S)/x with the station's arm x aft positive: added where Δm is positive, taken
//! away where it is negative. Common practice of the trade, with no published source: with a reading R, a goal
//! G, both at arm D, and the weight at arm d, the mass is (R − G) D/d. Main types: [`Station`], [`Correction`].

use crate::weighing::Measured;
use hingeline_quantity::{Length, Mass, Moment, Quantity};

/// A place where mass may be added or taken away.
#[derive(Debug, Clone, PartialEq)]
pub struct Station {
    /// Arm from the hinge line, aft positive, not zero.
    pub arm: Length,
    /// Half of the width that the arm is known in.
    pub arm_within: Option<Length>,
    /// The most that may be added; none is no stated bound.
    pub capacity: Option<Mass>,
    /// The most that may be taken away; none is no stated bound.
    pub removable: Option<Mass>,
    /// The step that mass comes in.
    pub step: Option<Mass>,
}

/// What to do at a station.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Action {
    /// Add mass.
    Add,
    /// Take mass away.
    Remove,
    /// Leave it.
    None,
}

/// The correction at one station, if it were made there alone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Correction {
    /// What to do.
    pub action: Action,
    /// The exact mass, not negative.
    pub mass: Mass,
    /// The mass rounded to the step and kept within what the station can take.
    pub mass_rounded: Mass,
    /// The standard uncertainty of the exact mass.
    pub mass_standard_uncertainty: Mass,
    /// The moment after the rounded mass.
    pub predicted_moment: Moment,
    /// Whether the station can take the mass whole.
    pub within_capacity: bool,
}

/// A millionth of a gram is no mass to work with.
const NO_MASS: f64 = 1e-9;

impl Station {
    /// The mass that brings a measured moment to the aim, at this station alone.
    ///
    /// # Gives
    /// action, masses (kg, not negative) and the predicted moment (kg m, positive tail-heavy).
    /// u(Δm) = √(u²(S) + (Δm u(x))²)/|x|.
    /// # Source
    /// common practice, no published source; statics: S + Δm x = aim
    /// # Checked by
    /// checks/common-practice/correction.toml
    #[must_use]
    pub fn correct(&self, measured: &Measured, aim: Moment) -> Correction {
        let change = (aim - measured.static_moment()) / self.arm;
        let exact = change.abs();
        let bound = if change.si() > 0.0 { self.capacity } else { self.removable };
        let rounded = self.step.map_or(exact, |step| whole_steps(exact, step, f64::round));
        let kept = bound.map_or(rounded, |bound| self.at_most(rounded, bound));
        let sign = change.si().signum();
        let arm_u = self.arm_within.map_or(0.0, |within| within.si() / 3f64.sqrt());
        let moment_u = measured.standard_uncertainty().si().hypot(change.si() * arm_u);
        Correction {
            action: match NO_MASS < rounded.si() {
                false => Action::None,
                true if 0.0 < change.si() => Action::Add,
                true => Action::Remove,
            },
            mass: exact,
            mass_rounded: kept,
            mass_standard_uncertainty: Mass::from_si(moment_u / self.arm.si().abs()),
            predicted_moment: measured.static_moment() + kept * sign * self.arm,
            within_capacity: bound.is_none_or(|bound| rounded.si() <= bound.si() * (1.0 + 1e-9)),
        }
    }

    fn at_most(&self, mass: Mass, bound: Mass) -> Mass {
        if mass <= bound {
            return mass;
        }
        self.step.map_or(bound, |step| whole_steps(bound, step, |steps| (steps + 1e-9).floor()))
    }
}

fn whole_steps(mass: Mass, step: Mass, to_whole: impl Fn(f64) -> f64) -> Mass {
    step * to_whole(mass.si() / step.si())
}
