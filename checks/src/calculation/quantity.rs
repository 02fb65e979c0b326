//! Reading typed quantities, and masses on arms.

use super::input::{Text, bad, read};
use crate::fault::Fault;
use crate::value::Results;
use hingeline_quantity::{Angle, Entered, Length, Mass, Moment, Quantity};
use serde::Deserialize;
use toml::Table;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Reading {
    text: String,
    kind: KindName,
}

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(super) enum KindName {
    Length,
    Mass,
    Moment,
    Angle,
}

/// “value”: what `Entered::parse` reads in a text.
pub(super) fn reading(inputs: Table) -> Result<Results, Fault> {
    let Reading { text, kind } = read(inputs)?;
    match kind {
        KindName::Length => parsed::<Length>(&text),
        KindName::Mass => parsed::<Mass>(&text),
        KindName::Moment => parsed::<Moment>(&text),
        KindName::Angle => parsed::<Angle>(&text),
    }
}

fn parsed<Q: Quantity>(text: &str) -> Result<Results, Fault> {
    let entered = Entered::<Q>::parse(text).map_err(|error| bad(error.to_string()))?;
    Ok(Results::new().quantity("value", entered.value))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    mass: Text<Mass>,
    arm: Text<Length>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Rows {
    row: Vec<Row>,
}

/// “mass”, “moment” and “centre of gravity” of masses on arms, from one datum.
pub(super) fn sum_of_moments(inputs: Table) -> Result<Results, Fault> {
    let Rows { row } = read(inputs)?;
    let mass = row.iter().fold(Mass::ZERO, |sum, row| sum + row.mass.0);
    let moment = row.iter().fold(Moment::ZERO, |sum, row| sum + row.mass.0 * row.arm.0);
    if mass.si() <= 0.0 {
        return Err(bad("the masses add up to nothing"));
    }
    Ok(Results::new()
        .quantity("mass", mass)
        .quantity("moment", moment)
        .quantity("centre of gravity", moment / mass))
}
