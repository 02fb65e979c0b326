//! The simulated tools: a scale, a rule or a level with a step and a hidden error.
//!
//! A tool's certificate states an expanded uncertainty U (k = 2). Its error is drawn anew for each weighing as
//! offset + gain × reading, both normal; at the largest reading that the tool takes on this bench the standard
//! deviation of the two together is U/2, and below that it is less. What is written down is the true value plus
//! that error, rounded to the step. Main types: [`Tool`], [`InHand`].

use super::chance::Chance;
use hingeline_balance::Indicator;
use hingeline_quantity::Quantity;

/// A tool as the shop's list knows it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Tool {
    /// Step of the display or graduation, SI.
    pub(super) step: f64,
    /// Standard deviation of the offset, SI.
    pub(super) offset: f64,
    /// Standard deviation of the gain error at the largest reading, SI.
    pub(super) gain: f64,
    /// The largest reading it takes on this bench, SI.
    pub(super) largest: f64,
}

/// The tool as it happens to be on the day.
#[derive(Debug, Clone, Copy)]
pub(super) struct InHand {
    step: f64,
    offset: f64,
    slope: f64,
}

impl Tool {
    /// What the sheet says of it: its step and the expanded uncertainty of its certificate.
    pub(super) fn stated<Q: Quantity>(&self) -> Indicator<Q> {
        Indicator {
            resolution: Q::from_si(self.step),
            calibration: Some(Q::from_si(2.0 * self.offset.hypot(self.gain))),
        }
    }

    /// Takes it in hand: draws its error.
    pub(super) fn in_hand(&self, chance: &mut Chance) -> InHand {
        InHand {
            step: self.step,
            offset: chance.normal(self.offset),
            slope: chance.normal(self.gain) / self.largest,
        }
    }
}

impl InHand {
    /// What is written down for a true value.
    pub(super) fn shows(&self, truth: f64) -> f64 {
        rounded(truth + self.offset + self.slope * truth, self.step)
    }

    /// How far off it is at a true value, before rounding.
    #[cfg(test)]
    pub(super) fn error_at(&self, truth: f64) -> f64 {
        self.offset + self.slope * truth
    }
}

/// To the nearest whole number of steps.
pub(super) fn rounded(value: f64, step: f64) -> f64 {
    (value / step).round() * step
}

/// Up to the next whole number of steps.
pub(super) fn rounded_up(value: f64, step: f64) -> f64 {
    (value / step).ceil() * step
}

/// Which steps the tools of a shop have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Steps {
    /// 1, 2, 5, 10 … of a gram or millimetre (and their tenths, hundredths …).
    Metric,
    /// 1, 2, 5, 10 … of a pound; halves, quarters, eighths … of an inch.
    Inch,
}

const POUND: f64 = 0.453_592_37;
const INCH: f64 = 0.0254;

impl Steps {
    /// The step of a scale nearest to a wanted one.
    pub(super) fn of_scale(self, wanted: f64) -> f64 {
        match self {
            Self::Metric => one_two_five(wanted, 1e-3),
            Self::Inch => one_two_five(wanted, POUND),
        }
    }

    /// The graduation of a rule nearest to a wanted one.
    pub(super) fn of_rule(self, wanted: f64) -> f64 {
        match self {
            Self::Metric => one_two_five(wanted, 1e-3),
            Self::Inch => INCH * (wanted / INCH).log2().round().exp2(),
        }
    }
}

/// The nearest of 1, 2, 5 times a power of ten of a unit.
pub(super) fn one_two_five(wanted: f64, unit: f64) -> f64 {
    let exponent = (wanted / unit).log10();
    let decade = exponent.floor();
    let steps = [1.0f64, 2.0, 5.0, 10.0];
    let distance = |step: f64| (step.log10() - (exponent - decade)).abs();
    let nearest = steps.into_iter().min_by(|a, b| distance(*a).total_cmp(&distance(*b)));
    unit * nearest.unwrap_or(1.0) * 10f64.powf(decade)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_those_of_a_shop() {
        let close = |a: f64, b: f64| assert!((a / b - 1.0).abs() < 1e-12, "{a} {b}");
        close(Steps::Metric.of_scale(0.0019), 0.002);
        close(Steps::Metric.of_scale(0.000_08), 0.0001);
        close(Steps::Inch.of_scale(0.004), 0.01 * POUND);
        close(Steps::Inch.of_rule(0.0008), INCH / 32.0);
        close(Steps::Metric.of_rule(0.0042), 0.005);
    }

    #[test]
    fn the_certificate_states_twice_the_standard_deviation_at_the_largest_reading() {
        let tool = Tool { step: 1e-9, offset: 3.0, gain: 4.0, largest: 7.0 };
        let stated: Indicator<hingeline_quantity::Mass> = tool.stated();
        assert!((stated.calibration.expect("a certificate").si() - 10.0).abs() < 1e-12);
        let mut chance = Chance::new(5, 0, 0);
        let squares: f64 = (0..100_000).map(|_| tool.in_hand(&mut chance).error_at(7.0).powi(2)).sum();
        assert!(((squares / 1e5).sqrt() - 5.0).abs() < 0.05);
        assert!((rounded(0.26, 0.1) - 0.3).abs() < 1e-12);
        assert!((rounded_up(0.21, 0.1) - 0.3).abs() < 1e-12);
    }
}
