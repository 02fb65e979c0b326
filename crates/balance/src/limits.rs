//! The approved band of static moment, and what a measured moment means against it.
//!
//! The verdict is read from the measured moment alone, as the approved data are; the doubt stands beside it and
//! never replaces it.
//! Source: JCGM 106:2012 7.3 (probability of conformity of a measured item); simple acceptance as in
//! ILAC-G8:09/2019 4.2.1.

use crate::propagation::Propagated;
use crate::student::probability_below;
use hingeline_quantity::{Moment, Quantity};

/// The approved band with the moment that corrections aim at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    from: Moment,
    to: Moment,
    aim: Moment,
}

/// Why limits were refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum LimitsError {
    /// The first limit is not on the nose-heavy side of the second.
    #[error("the limits are the wrong way round")]
    WrongWayRound,
    /// The aim lies outside them.
    #[error("the aim lies outside the limits")]
    AimOutside,
}

/// What the approved data say of a measured moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Inside the limits or on them.
    Within,
    /// Outside the limits.
    Outside,
}

/// Whether the measurement can tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doubt {
    /// All of S ± U lies on the same side of the limits as S.
    Clear,
    /// Some of it does not.
    Doubtful,
}

/// A verdict with its doubt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Judgement {
    /// Within or outside.
    pub verdict: Verdict,
    /// Clear or doubtful.
    pub doubt: Doubt,
    /// The probability that the true moment lies within the limits.
    pub probability_within: f64,
    /// How far inside the nearest limit (positive) or outside it (negative).
    pub margin: Moment,
}

/// Less than this share of the larger number is the rest of a rounding, not a difference; about zero it is what
/// [`Moment::side`] calls balanced.
const ROUNDING: f64 = 1e-12;

fn at_most(a: f64, b: f64) -> bool {
    a <= b + (ROUNDING * a.abs().max(b.abs())).max(Moment::NEGLIGIBLE.si())
}

impl Limits {
    /// A band, with the aim or else its middle.
    ///
    /// # Inputs
    /// `from`: the limit on the nose-heavy side; `to`: the one on the tail-heavy side, kg m, above `from`;
    /// `aim`: between them.
    /// # Errors
    /// - [`LimitsError::WrongWayRound`]: `from` is not below `to`
    /// - [`LimitsError::AimOutside`]: the aim is outside the band
    pub fn new(from: Moment, to: Moment, aim: Option<Moment>) -> Result<Self, LimitsError> {
        if from >= to {
            return Err(LimitsError::WrongWayRound);
        }
        let aim = aim.unwrap_or((from + to) / 2.0);
        let inside = at_most(from.si(), aim.si()) && at_most(aim.si(), to.si());
        if inside { Ok(Self { from, to, aim }) } else { Err(LimitsError::AimOutside) }
    }
    /// The limit on the nose-heavy side.
    #[must_use]
    pub fn from(&self) -> Moment {
        self.from
    }
    /// The limit on the tail-heavy side.
    #[must_use]
    pub fn to(&self) -> Moment {
        self.to
    }
    /// The moment that corrections aim at.
    #[must_use]
    pub fn aim(&self) -> Moment {
        self.aim
    }

    /// Whether a moment lies inside the band or on its limits.
    #[must_use]
    pub fn contains(&self, moment: Moment) -> bool {
        at_most(self.from.si(), moment.si()) && at_most(moment.si(), self.to.si())
    }

    /// How far a moment lies inside the nearer limit; negative outside.
    #[must_use]
    pub fn margin(&self, moment: Moment) -> Moment {
        Moment::from_si((moment - self.from).si().min((self.to - moment).si()))
    }

    /// Judges a measured moment.
    ///
    /// within: from ≤ S ≤ to; clear: all of S ± U on the same side; p = F((to − S)/u) − F((from − S)/u) with F
    /// the t distribution of the truncated degrees of freedom.
    ///
    /// # Source
    /// \[JCGM106\] 7.3, 7.4
    /// # Checked by
    /// checks/jcgm-106/conformity.toml, checks/ilac-g8/guard-band.toml
    #[must_use]
    pub fn judge(&self, measured: &Propagated) -> Judgement {
        let (s, expanded) =
            (Moment::from_si(measured.estimate), Moment::from_si(measured.expanded_uncertainty));
        let (low, high) = (s - expanded, s + expanded);
        let within = self.contains(s);
        let clear = if within {
            self.contains(low) && self.contains(high)
        } else {
            !at_most(self.from.si(), high.si()) || !at_most(low.si(), self.to.si())
        };
        Judgement {
            verdict: if within { Verdict::Within } else { Verdict::Outside },
            doubt: if clear { Doubt::Clear } else { Doubt::Doubtful },
            probability_within: self.probability_within(measured),
            margin: self.margin(s),
        }
    }

    fn probability_within(&self, measured: &Propagated) -> f64 {
        let u = measured.standard_uncertainty;
        if u <= 0.0 {
            return if self.contains(Moment::from_si(measured.estimate)) { 1.0 } else { 0.0 };
        }
        let below = |limit: Moment| {
            probability_below((limit.si() - measured.estimate) / u, measured.degrees_of_freedom)
        };
        (below(self.to) - below(self.from)).clamp(0.0, 1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use hingeline_quantity::unit::INCH_POUND;

    fn limits() -> Limits {
        let inch_pounds = |number| Moment::of(number, &INCH_POUND);
        Limits::new(inch_pounds(-4.0), inch_pounds(0.0), Some(inch_pounds(-2.0))).expect("a band")
    }

    fn judged(number: f64, u: f64) -> Judgement {
        let estimate = number * INCH_POUND.factor;
        let u = u * INCH_POUND.factor;
        limits().judge(&Propagated {
            estimate,
            standard_uncertainty: u,
            degrees_of_freedom: None,
            coverage_factor: 2.0,
            expanded_uncertainty: 2.0 * u,
            shares: Vec::new(),
        })
    }

    #[test]
    fn on_the_limit_is_within() {
        assert_eq!(judged(0.0, 0.0).verdict, Verdict::Within);
        assert_eq!(judged(-4.0, 0.0).verdict, Verdict::Within);
        assert_eq!(judged(0.001, 0.0).verdict, Verdict::Outside);
        assert_eq!(
            judged(1.03e-17 / INCH_POUND.factor, 0.0).verdict,
            Verdict::Within,
            "the rest of a rounding"
        );
    }

    #[test]
    fn doubt_is_whether_the_interval_crosses() {
        assert_eq!(judged(-2.0, 0.5).doubt, Doubt::Clear);
        assert_eq!(judged(-0.5, 0.5).doubt, Doubt::Doubtful);
        assert_eq!(judged(0.5, 0.5).doubt, Doubt::Doubtful);
        assert_eq!(judged(5.0, 0.5).doubt, Doubt::Clear);
        assert_eq!(judged(-2.0, 9.0).doubt, Doubt::Doubtful);
    }

    #[test]
    fn probability_on_the_limit_is_a_half() {
        assert!((judged(0.0, 0.1).probability_within - 0.5).abs() < 1e-9);
    }

    #[test]
    fn wrong_bands_are_refused() {
        let at = |number| Moment::of(number, &INCH_POUND);
        assert_eq!(Limits::new(at(1.0), at(-1.0), None), Err(LimitsError::WrongWayRound));
        assert_eq!(Limits::new(at(1.0), at(1.0), None), Err(LimitsError::WrongWayRound));
        assert_eq!(Limits::new(at(-1.0), at(1.0), Some(at(2.0))), Err(LimitsError::AimOutside));
        assert!(Limits::new(at(-1.0), at(2.0), None).expect("a band").aim() > Moment::ZERO);
    }
}
