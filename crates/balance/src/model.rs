//! A measurement as its inputs and the expression that joins them.
//!
//! [`Input`] says what is known of one input: estimate, spread, degrees of freedom and where it comes from.
//! [`Model`] is what both routes to the uncertainty work on.
//! Source: JCGM 100 (GUM) 4.2 (type A), 4.3 (type B); JCGM 101 6.4 (distributions).

use crate::expression::Expression;

/// How an input is spread about its estimate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Spread {
    /// Known without doubt.
    Exact,
    /// Type A: scaled and shifted t, scale = s/√n (JCGM 101 6.4.9).
    Student {
        /// The standard uncertainty s/√n.
        scale: f64,
        /// n − 1.
        degrees_of_freedom: f64,
    },
    /// Normal (JCGM 101 6.4.7).
    Normal {
        /// The standard uncertainty.
        sigma: f64,
    },
    /// Rectangular (JCGM 101 6.4.2).
    Rectangular {
        /// Half of its width.
        half_width: f64,
    },
    /// Arc sine (JCGM 101 6.4.6).
    ArcSine {
        /// Half of its width.
        half_width: f64,
    },
}

impl Spread {
    /// The standard uncertainty of the input.
    #[must_use]
    pub fn standard_uncertainty(self) -> f64 {
        match self {
            Self::Exact => 0.0,
            Self::Student { scale, .. } => scale,
            Self::Normal { sigma } => sigma,
            Self::Rectangular { half_width } => half_width / 3f64.sqrt(),
            Self::ArcSine { half_width } => half_width / 2f64.sqrt(),
        }
    }

    /// What a draw of the standard distribution (t, normal, or from −1 to 1) is multiplied by.
    pub(crate) fn scale(self) -> f64 {
        match self {
            Self::Exact => 0.0,
            Self::Student { scale, .. } => scale,
            Self::Normal { sigma } => sigma,
            Self::Rectangular { half_width } | Self::ArcSine { half_width } => half_width,
        }
    }

    /// The same spread, so many times as wide.
    #[must_use]
    pub fn scaled(self, by: f64) -> Self {
        match self {
            Self::Exact => Self::Exact,
            Self::Student { scale, degrees_of_freedom } => {
                Self::Student { scale: scale * by, degrees_of_freedom }
            }
            Self::Normal { sigma } => Self::Normal { sigma: sigma * by },
            Self::Rectangular { half_width } => Self::Rectangular { half_width: half_width * by },
            Self::ArcSine { half_width } => Self::ArcSine { half_width: half_width * by },
        }
    }
}

/// Where an uncertainty comes from, so that it can be named and attacked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// Scatter of repeated readings; so many were taken.
    Repeatability {
        /// The number of readings of this set.
        count: usize,
    },
    /// The step of the scale's display.
    ScaleDisplay,
    /// The certificate of the scale.
    ScaleCalibration,
    /// The graduation of the rule.
    RuleGraduation,
    /// The certificate of the rule.
    RuleCalibration,
    /// The chord not quite level.
    Levelling,
    /// The graduation or certificate of the level.
    LevelTool,
    /// A mass that is only stated within bounds.
    StatedMass,
    /// An arm that is only stated within bounds.
    StatedArm,
    /// A moment that is taken over from elsewhere.
    StatedMoment,
    /// Anything else (the published examples use it).
    Other,
}

/// One input of a measurement.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// Its name, as the budget prints it.
    pub name: String,
    /// Where its uncertainty comes from.
    pub source: Source,
    /// Its best value, SI.
    pub estimate: f64,
    /// Its spread about that.
    pub spread: Spread,
    /// Degrees of freedom of its standard uncertainty; none is infinitely many.
    pub degrees_of_freedom: Option<f64>,
}

impl Input {
    /// A type B input: known from a bound or a certificate.
    pub fn type_b(name: impl Into<String>, source: Source, spread: Spread) -> Self {
        Self { name: name.into(), source, estimate: 0.0, spread, degrees_of_freedom: None }
    }
}

/// The inputs and the expression of one measurement.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Model {
    /// The inputs, in the order of the budget.
    pub inputs: Vec<Input>,
    /// How they make the result.
    pub expression: Expression,
}

impl Model {
    /// Adds an input and gives its number.
    pub fn add(&mut self, input: Input) -> usize {
        self.inputs.push(input);
        self.inputs.len() - 1
    }

    /// The best values of all inputs.
    #[must_use]
    pub fn estimates(&self) -> Vec<f64> {
        self.inputs.iter().map(|input| input.estimate).collect()
    }

    /// The best value of the result.
    #[must_use]
    pub fn estimate(&self) -> f64 {
        self.expression.value(&self.estimates())
    }
}
