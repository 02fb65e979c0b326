//! Readings, the t distribution, conformity with limits, and the calibration line.

use super::input::{Freedom, bad, read};
use crate::fault::Fault;
use crate::value::Results;
use hingeline_balance::{
    Input, Limits, Line, Model, Series, Source, Spread, coverage_factor, probability_below,
};
use hingeline_quantity::{Moment, Quantity};
use serde::Deserialize;
use toml::Table;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Values {
    values: Vec<f64>,
}

/// Mean and scatter of repeated readings.
pub(super) fn readings(inputs: Table) -> Result<Results, Fault> {
    let Values { values } = read(inputs)?;
    let series = Series::new(values).ok_or_else(|| bad("“values” is empty"))?;
    let (u, nu) = series.uncertainty_of_mean().ok_or_else(|| bad("one value has no scatter"))?;
    let s = series.standard_deviation().unwrap_or(f64::NAN);
    Ok(Results::new()
        .number("mean", series.mean())
        .number("standard deviation", s)
        .number("standard uncertainty of the mean", u)
        .number("degrees of freedom", nu))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Coverage {
    degrees_of_freedom: Freedom,
}

/// k at 95.45 %.
pub(super) fn coverage(inputs: Table) -> Result<Results, Fault> {
    let Coverage { degrees_of_freedom } = read(inputs)?;
    Ok(Results::new().number("coverage factor", coverage_factor(degrees_of_freedom.0)))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Probability {
    t: f64,
    degrees_of_freedom: Freedom,
}

/// The probability below t, and within ± t.
pub(super) fn probability(inputs: Table) -> Result<Results, Fault> {
    let Probability { t, degrees_of_freedom } = read(inputs)?;
    let below = |t| probability_below(t, degrees_of_freedom.0);
    Ok(Results::new()
        .number("probability below", below(t))
        .number("probability within", below(t) - below(-t)))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Conformity {
    estimate: f64,
    standard_uncertainty: f64,
    degrees_of_freedom: Option<f64>,
    lower: Option<f64>,
    upper: Option<f64>,
}

/// So many standard uncertainties away, a limit that is not there might as well stand.
const FAR: f64 = 1e4;

/// The probability that a measured value lies within its limits, by the judgement that weighings get; the
/// numbers stand for moments.
pub(super) fn conformity(inputs: Table) -> Result<Results, Fault> {
    let Conformity { estimate, standard_uncertainty: u, degrees_of_freedom, lower, upper } = read(inputs)?;
    if lower.is_none() && upper.is_none() {
        return Err(bad("“lower” or “upper” is missing"));
    }
    let from = lower.unwrap_or(estimate - FAR * u);
    let to = upper.unwrap_or(estimate + FAR * u);
    let limits = Limits::new(Moment::from_si(from), Moment::from_si(to), None)
        .map_err(|error| bad(error.to_string()))?;
    let mut model = Model::default();
    let spread = match degrees_of_freedom {
        Some(degrees_of_freedom) => Spread::Student { scale: u, degrees_of_freedom },
        None => Spread::Normal { sigma: u },
    };
    model.add(Input { estimate, degrees_of_freedom, ..Input::type_b("measured", Source::Other, spread) });
    model.expression = hingeline_balance::Expression::sum_of_inputs(1);
    let judged = limits.judge(&model.propagate());
    Ok(Results::new()
        .number("probability within", judged.probability_within)
        .number("probability outside", 1.0 - judged.probability_within)
        .number("margin", judged.margin.si()))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Points {
    t: Vec<f64>,
    y: Vec<f64>,
    origin: f64,
    at: f64,
}

/// The calibration line, and what it predicts at one place.
pub(super) fn straight_line(inputs: Table) -> Result<Results, Fault> {
    let Points { t, y, origin, at } = read(inputs)?;
    if t.len() != y.len() {
        return Err(bad("“t” and “y” are not of one length"));
    }
    let points: Vec<(f64, f64)> = t.into_iter().zip(y).collect();
    let line = Line::fit(&points, origin).map_err(|error| bad(error.to_string()))?;
    let there = line.at(at);
    Ok(Results::new()
        .number("intercept", line.intercept)
        .number("intercept uncertainty", line.intercept_uncertainty)
        .number("slope", line.slope)
        .number("slope uncertainty", line.slope_uncertainty)
        .number("correlation", line.correlation)
        .number("residual standard deviation", line.residual_standard_deviation)
        .number("degrees of freedom", line.degrees_of_freedom)
        .number("prediction", there.value)
        .number("prediction uncertainty", there.standard_uncertainty))
}
