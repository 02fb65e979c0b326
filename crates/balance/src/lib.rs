//! Static balance of movable control surfaces, pure calculation: readings in, moment, uncertainty, verdict and
//! correction out.
//!
//! The way through: a [`Weighing`] is [measured](Weighing::measure) into a [`Measured`] moment; [`Limits`]
//! [judge](Limits::judge) it; a [`Station`] [corrects](Station::correct) it. Underneath, [`Model`] holds the
//! inputs of a measurement and its expression; [`propagate`](Model::propagate) and
//! [`monte_carlo`](Model::monte_carlo) are the two independent routes to its uncertainty.
//!
//! Everything is SI and positive tail-heavy. There is no clock, file or environment here. Not covered: dynamic
//! balance, design of weights, casting.

mod advice;
mod bell;
mod correction;
mod elementary;
mod expression;
mod lanes;
mod limits;
mod line;
mod method;
mod model;
mod monte_carlo;
mod outlier;
mod propagation;
mod series;
mod student;
mod tails;
mod weighing;

pub use advice::{Attack, Gain, NOT_WORTH};
pub use correction::{Action, Correction, Station};
pub use expression::{Expression, Factor, Linear, Product};
pub use limits::{Doubt, Judgement, Limits, LimitsError, Verdict};
pub use line::{Line, LineError, Prediction};
pub use method::{
    BalanceBeam, HungWeight, Indicator, Part, PartsList, Place, ScaleAtArm, SupportScale, TwoAttitudes,
};
pub use model::{Input, Model, Source, Spread};
pub use monte_carlo::{COVERAGE, Draws};
pub use outlier::{Outlier, grubbs_critical};
pub use propagation::{Propagated, Share};
pub use series::{Readings, Series};
pub use student::{coverage_factor, probability_below};
pub use weighing::{CentreOfGravity, Levelling, Measured, Method, Note, Weighing};
