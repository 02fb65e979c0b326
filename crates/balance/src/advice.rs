//! Which source of uncertainty to attack first, and what that would bring.
//!
//! Each attack changes the inputs it can reach and propagates again. More readings are taken to scatter as the
//! ones at hand did; a finer tool is taken to be twice as fine. Main type: [`Gain`].

use crate::model::{Input, Model, Source, Spread};
use crate::propagation::{Propagated, combine};

/// A way to make a measurement better.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Attack {
    /// Three more readings in each set.
    ThreeMoreReadings,
    /// A scale with half the step.
    FinerScale,
    /// A scale with half the uncertainty in its certificate.
    BetterScaleCertificate,
    /// A rule with half the step.
    FinerRule,
    /// A rule with half the uncertainty in its certificate.
    BetterRuleCertificate,
    /// Levelling twice as close.
    CloserLevel,
    /// Bounds stated half as wide.
    CloserBounds,
}

/// What an attack would bring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gain {
    /// The attack.
    pub attack: Attack,
    /// U today, kg m.
    pub before: f64,
    /// U after it, kg m.
    pub after: f64,
}

/// A gain below this share of U is not worth the work.
pub const NOT_WORTH: f64 = 0.05;

impl Gain {
    /// The share of U that it takes away.
    #[must_use]
    pub fn share(&self) -> f64 {
        if self.before > 0.0 { 1.0 - self.after / self.before } else { 0.0 }
    }
    /// Whether it is worth the work.
    #[must_use]
    pub fn worth_it(&self) -> bool {
        self.share() >= NOT_WORTH
    }
}

const ATTACKS: [Attack; 7] = [
    Attack::ThreeMoreReadings,
    Attack::FinerScale,
    Attack::BetterScaleCertificate,
    Attack::FinerRule,
    Attack::BetterRuleCertificate,
    Attack::CloserLevel,
    Attack::CloserBounds,
];

impl Model {
    /// Every attack that reaches an input of this model, the most useful first.
    #[must_use]
    pub fn gains(&self, today: &Propagated) -> Vec<Gain> {
        let sensitivities: Vec<f64> = today.shares.iter().map(|share| share.sensitivity).collect();
        let mut gains: Vec<Gain> = ATTACKS
            .into_iter()
            .filter(|attack| self.inputs.iter().any(|input| attack.reaches(input)))
            .map(|attack| {
                let inputs: Vec<Input> = self.inputs.iter().map(|input| attack.applied(input)).collect();
                let after = combine(today.estimate, &inputs, &sensitivities).expanded_uncertainty;
                Gain { attack, before: today.expanded_uncertainty, after }
            })
            .collect();
        gains.sort_by(|a, b| a.after.total_cmp(&b.after));
        gains
    }
}

impl Attack {
    fn reaches(self, input: &Input) -> bool {
        matches!(
            (self, input.source),
            (Self::ThreeMoreReadings, Source::Repeatability { .. })
                | (Self::FinerScale, Source::ScaleDisplay)
                | (Self::BetterScaleCertificate, Source::ScaleCalibration)
                | (Self::FinerRule, Source::RuleGraduation)
                | (Self::BetterRuleCertificate, Source::RuleCalibration)
                | (Self::CloserLevel, Source::Levelling)
                | (Self::CloserBounds, Source::StatedMass | Source::StatedArm | Source::StatedMoment)
        )
    }

    fn applied(self, input: &Input) -> Input {
        if !self.reaches(input) {
            return input.clone();
        }
        match input.source {
            Source::Repeatability { count } => with_three_more(input, count),
            _ => Input { spread: input.spread.scaled(0.5), ..input.clone() },
        }
    }
}

#[allow(clippy::cast_precision_loss, reason = "counts of readings are small")]
fn with_three_more(input: &Input, count: usize) -> Input {
    let more = count + 3;
    let scale = input.spread.standard_uncertainty() * (count as f64 / more as f64).sqrt();
    let degrees_of_freedom = more as f64 - 1.0;
    Input {
        source: Source::Repeatability { count: more },
        spread: Spread::Student { scale, degrees_of_freedom },
        degrees_of_freedom: Some(degrees_of_freedom),
        ..input.clone()
    }
}
