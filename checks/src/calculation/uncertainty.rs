//! Models as cases write them, and both routes to their uncertainty.
//!
//! A model is a list of inputs and a sum of products of linear forms; without products it is the sum of its
//! inputs. Plain numbers, told in the unit that the case names; with `kind = "mass"` texts with their unit.

use super::input::{Text, bad, read};
use super::quantity::KindName;
use crate::fault::Fault;
use crate::value::{Results, Told};
use hingeline_balance::{COVERAGE, Expression, Factor, Input, Linear, Model, Product, Source, Spread};
use hingeline_quantity::{Angle, Kind, Length, Mass, Moment, Quantity};
use serde::Deserialize;
use std::collections::BTreeMap;
use toml::{Table, Value};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Written {
    unit: Option<String>,
    kind: Option<KindName>,
    input: Vec<WrittenInput>,
    product: Option<Vec<WrittenProduct>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WrittenInput {
    name: String,
    estimate: Option<Value>,
    normal: Option<Value>,
    student: Option<Value>,
    rectangular: Option<Value>,
    arc_sine: Option<Value>,
    degrees_of_freedom: Option<f64>,
}

/// Linear forms by input name, multiplied and divided; "constant" names the part without an input.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WrittenProduct {
    coefficient: Option<f64>,
    times: Option<Vec<BTreeMap<String, f64>>>,
    over: Option<Vec<BTreeMap<String, f64>>>,
}

/// A model with what its result is told in.
struct Built {
    model: Model,
    told: Told,
}

impl Written {
    fn build(self) -> Result<Built, Fault> {
        let names: Vec<String> = self.input.iter().map(|input| input.name.clone()).collect();
        let mut model = Model::default();
        for input in self.input {
            model.add(input.build(self.kind)?);
        }
        model.expression = match self.product {
            None => Expression::sum_of_inputs(names.len()),
            Some(products) => Expression {
                products: products
                    .into_iter()
                    .map(|product| product.build(&names))
                    .collect::<Result<_, _>>()?,
            },
        };
        let told = match (self.kind, self.unit) {
            (Some(_), Some(_)) => return Err(bad("“kind” and “unit” do not go together")),
            (Some(kind), None) => Told::In(kind_of(kind)),
            (None, Some(unit)) => Told::As(unit),
            (None, None) => Told::Number,
        };
        Ok(Built { model, told })
    }
}

fn kind_of(name: KindName) -> Kind {
    match name {
        KindName::Length => Kind::Length,
        KindName::Mass => Kind::Mass,
        KindName::Moment => Kind::Moment,
        KindName::Angle => Kind::Angle,
    }
}

/// A plain number, or the SI value of a text of the kind.
fn amount(value: Value, kind: Option<KindName>) -> Result<f64, Fault> {
    fn text<Q: Quantity>(value: Value) -> Result<f64, Fault> {
        let text: Text<Q> = value.try_into().map_err(|error: toml::de::Error| bad(error.message()))?;
        Ok(text.0.si())
    }
    match kind {
        None => value.try_into().map_err(|error: toml::de::Error| bad(error.message())),
        Some(KindName::Length) => text::<Length>(value),
        Some(KindName::Mass) => text::<Mass>(value),
        Some(KindName::Moment) => text::<Moment>(value),
        Some(KindName::Angle) => text::<Angle>(value),
    }
}

impl WrittenInput {
    fn build(self, kind: Option<KindName>) -> Result<Input, Fault> {
        let amount = |value: Option<Value>| value.map(|value| amount(value, kind)).transpose();
        let (normal, student) = (amount(self.normal)?, amount(self.student)?);
        let (rectangular, arc_sine) = (amount(self.rectangular)?, amount(self.arc_sine)?);
        let spread = match (normal, student, rectangular, arc_sine) {
            (None, None, None, None) => Spread::Exact,
            (Some(sigma), None, None, None) => Spread::Normal { sigma },
            (None, Some(scale), None, None) => Spread::Student {
                scale,
                degrees_of_freedom: self
                    .degrees_of_freedom
                    .ok_or_else(|| bad(format!("“{}” has no degrees of freedom", self.name)))?,
            },
            (None, None, Some(half_width), None) => Spread::Rectangular { half_width },
            (None, None, None, Some(half_width)) => Spread::ArcSine { half_width },
            _ => return Err(bad(format!("“{}” has more than one spread", self.name))),
        };
        let estimate = amount(self.estimate)?.unwrap_or(0.0);
        Ok(Input {
            estimate,
            degrees_of_freedom: self.degrees_of_freedom,
            ..Input::type_b(self.name, Source::Other, spread)
        })
    }
}

impl WrittenProduct {
    fn build(self, names: &[String]) -> Result<Product, Fault> {
        let forms = |maps: Option<Vec<BTreeMap<String, f64>>>| -> Result<Vec<Linear>, Fault> {
            maps.unwrap_or_default().into_iter().map(|map| form(map, names)).collect()
        };
        let (times, over) = (forms(self.times)?, forms(self.over)?);
        let times = times.into_iter().map(Factor::Times);
        Ok(Product {
            coefficient: self.coefficient.unwrap_or(1.0),
            factors: times.chain(over.into_iter().map(Factor::Over)).collect(),
        })
    }
}

fn form(map: BTreeMap<String, f64>, names: &[String]) -> Result<Linear, Fault> {
    let mut form = Linear::default();
    for (name, coefficient) in map {
        if name == "constant" {
            form = form.shifted(coefficient);
            continue;
        }
        let input = names.iter().position(|known| *known == name);
        let input = input.ok_or_else(|| bad(format!("the product names “{name}”, which is no input")))?;
        form = form.plus(input, coefficient);
    }
    Ok(form)
}

/// The law of propagation: estimate, u, ν, k, U and what each input brings.
pub(super) fn propagation(inputs: Table) -> Result<Results, Fault> {
    let Built { model, told } = read::<Written>(inputs)?.build()?;
    let propagated = model.propagate();
    let mut results = Results::new()
        .told("estimate", propagated.estimate, &told)
        .told("standard uncertainty", propagated.standard_uncertainty, &told)
        .told("expanded uncertainty", propagated.expanded_uncertainty, &told)
        .number("coverage factor", propagated.coverage_factor);
    let whole = propagated.whole_degrees_of_freedom();
    if let (Some(freedom), Some(whole)) = (propagated.degrees_of_freedom, whole) {
        results = results.number("degrees of freedom", freedom).number("whole degrees of freedom", whole);
    }
    for (input, share) in model.inputs.iter().zip(&propagated.shares) {
        results = results
            .told(format!("contribution of {}", input.name), share.standard_uncertainty, &told)
            .number(format!("share of {}", input.name), share.share);
    }
    Ok(results)
}

#[derive(Deserialize)]
struct Draws {
    draws: usize,
    seed: u64,
    coverage: Option<f64>,
    from: Option<f64>,
    to: Option<f64>,
}

/// Propagation of distributions: mean, standard deviation and interval.
pub(super) fn monte_carlo(mut inputs: Table) -> Result<Results, Fault> {
    let mut of_draws = Table::new();
    for name in ["draws", "seed", "coverage", "from", "to"] {
        if let Some(value) = inputs.remove(name) {
            of_draws.insert(name.to_owned(), value);
        }
    }
    let run: Draws = read(of_draws)?;
    let Built { model, told } = read::<Written>(inputs)?.build()?;
    let band = run.from.zip(run.to);
    let drawn = model.monte_carlo(run.draws, run.seed, run.coverage.unwrap_or(COVERAGE), band);
    let results = Results::new()
        .told("mean", drawn.mean, &told)
        .told("standard deviation", drawn.standard_deviation, &told)
        .told("lower end", drawn.low, &told)
        .told("upper end", drawn.high, &told)
        .told("half-width", drawn.half_width(), &told);
    Ok(match drawn.inside {
        Some(inside) => results.number("probability inside", inside),
        None => results,
    })
}
