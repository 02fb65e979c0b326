//! Reading the inputs of a case: quantities as text with their unit, plain numbers where there is none.
//!
//! Every unknown or missing input is a fault.

use crate::fault::Fault;
use hingeline_balance::{Indicator, Readings, Series};
use hingeline_quantity::{Entered, Quantity};
use serde::Deserialize;
use serde::de::{DeserializeOwned, Deserializer, Error};
use toml::Table;

/// Reads the inputs of a calculation.
pub(crate) fn read<T: DeserializeOwned>(inputs: Table) -> Result<T, Fault> {
    toml::Value::Table(inputs).try_into().map_err(|error: toml::de::Error| bad(error.message()))
}

/// A fault of the inputs.
pub(crate) fn bad(message: impl Into<String>) -> Fault {
    Fault::BadInputs { message: message.into() }
}

/// A quantity that is written as a shop writes it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Text<Q>(pub(crate) Q);

impl<'de, Q: Quantity> Deserialize<'de> for Text<Q> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let text = String::deserialize(from)?;
        let entered = Entered::<Q>::parse(&text)
            .map_err(|error| D::Error::custom(format!("{error}; allowed: {}", error.problem.allowed())))?;
        Ok(Self(entered.value))
    }
}

/// The quantity in an optional text.
pub(crate) fn some<Q: Quantity>(text: Option<Text<Q>>) -> Option<Q> {
    text.map(|text| text.0)
}

/// Degrees of freedom: a number, or "infinite".
#[derive(Debug, Clone, Copy)]
pub(crate) struct Freedom(pub(crate) Option<f64>);

impl<'de> Deserialize<'de> for Freedom {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        #[derive(Deserialize)]
        #[serde(untagged)]
        enum Written {
            Number(f64),
            Word(String),
        }
        match Written::deserialize(from)? {
            Written::Number(count) if count > 0.0 && count.is_finite() => Ok(Self(Some(count))),
            Written::Word(word) if word == "infinite" => Ok(Self(None)),
            _ => Err(D::Error::custom("degrees of freedom are a number above zero or “infinite”")),
        }
    }
}

/// A measuring instrument: `{ resolution = "0.01 lb", calibration = "0.01 lb" }`.
#[derive(Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "Q: Quantity"))]
pub(crate) struct Instrument<Q> {
    resolution: Text<Q>,
    calibration: Option<Text<Q>>,
}

impl<Q: Quantity> Instrument<Q> {
    pub(crate) fn indicator(&self) -> Indicator<Q> {
        Indicator { resolution: self.resolution.0, calibration: some(self.calibration) }
    }
}

/// Readings as written: at rest, or raising and lowering.
#[derive(Deserialize)]
#[serde(deny_unknown_fields, bound(deserialize = "Q: Quantity"))]
pub(crate) struct Sets<Q> {
    at_rest: Option<Vec<Text<Q>>>,
    raising: Option<Vec<Text<Q>>>,
    lowering: Option<Vec<Text<Q>>>,
}

impl<Q: Quantity> Sets<Q> {
    pub(crate) fn readings(&self) -> Result<Readings, Fault> {
        match (&self.at_rest, &self.raising, &self.lowering) {
            (Some(at_rest), None, None) => Ok(Readings::AtRest(series(at_rest)?)),
            (None, Some(raising), Some(lowering)) => {
                Ok(Readings::Turning { raising: series(raising)?, lowering: series(lowering)? })
            }
            _ => Err(bad("readings are “at_rest”, or “raising” with “lowering”")),
        }
    }
}

fn series<Q: Quantity>(texts: &[Text<Q>]) -> Result<Series, Fault> {
    let values = texts.iter().map(|text| text.0.si()).collect();
    Series::new(values).ok_or_else(|| bad("a set of readings is empty"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use hingeline_quantity::Length;

    #[derive(Debug, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Sample {
        #[allow(dead_code, reason = "only its reading is tested")]
        arm: Text<Length>,
    }

    fn refused(toml: &str) -> String {
        read::<Sample>(toml.parse().expect("a table")).expect_err(toml).to_string()
    }

    #[test]
    fn unknown_missing_and_ill_formed_inputs_are_refused() {
        assert!(refused("arm = \"1 in\"\nlever = \"2 in\"").contains("unknown field `lever`"));
        assert!(refused("").contains("missing field `arm`"));
        assert!(refused("arm = \"1 lb\"").contains("“lb” is a unit of mass, but a length is wanted"));
        assert!(refused("arm = 1.0").contains("expected a string"));
    }
}
