//! What calculations give: named results with their kind, and how they are told in a printed value's unit.

use hingeline_quantity::{Angle, Kind, Length, Mass, Moment, Quantity, unit};
use std::collections::BTreeMap;

/// What a result is told in.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Told {
    /// A pure number; “%” and “ppm” are allowed.
    Number,
    /// The unit that the case itself names ("nm"); nothing is converted.
    As(String),
    /// An SI quantity; any unit of its kind is allowed.
    In(Kind),
}

/// One result.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Value {
    pub(crate) number: f64,
    pub(crate) told: Told,
}

impl Value {
    /// The number in a unit; nothing where the unit does not fit.
    pub(crate) fn in_unit(&self, wanted: Option<&str>) -> Option<f64> {
        match (&self.told, wanted) {
            (Told::Number, None) => Some(self.number),
            (Told::Number, Some("%")) => Some(self.number * 100.0),
            (Told::Number, Some("ppm")) => Some(self.number * 1e6),
            (Told::As(label), Some(wanted)) if label == wanted => Some(self.number),
            (Told::In(kind), Some(wanted)) => in_kind(self.number, *kind, wanted),
            _ => None,
        }
    }
}

fn in_kind(si: f64, kind: Kind, wanted: &str) -> Option<f64> {
    let unit = unit::find(wanted).filter(|unit| unit.kind == kind)?;
    if !si.is_finite() {
        return Some(f64::NAN);
    }
    Some(match kind {
        Kind::Length => Length::from_si(si).in_unit(unit),
        Kind::Mass => Mass::from_si(si).in_unit(unit),
        Kind::Moment => Moment::from_si(si).in_unit(unit),
        Kind::Angle => Angle::from_si(si).in_unit(unit),
    })
}

/// The results of one calculation by name.
#[derive(Debug, Clone, Default)]
pub(crate) struct Results(BTreeMap<String, Value>);

impl Results {
    pub(crate) fn new() -> Self {
        Self::default()
    }
    pub(crate) fn get(&self, name: &str) -> Option<&Value> {
        self.0.get(name)
    }
    /// Their names, for messages.
    pub(crate) fn names(&self) -> String {
        let names: Vec<&str> = self.0.keys().map(String::as_str).collect();
        names.join(", ")
    }
    /// With one more.
    pub(crate) fn told(mut self, name: impl Into<String>, number: f64, told: &Told) -> Self {
        let value = Value { number, told: told.clone() };
        self.0.insert(name.into(), value);
        self
    }
    /// With one more pure number.
    pub(crate) fn number(self, name: impl Into<String>, number: f64) -> Self {
        self.told(name, number, &Told::Number)
    }
    /// With one more quantity.
    pub(crate) fn quantity<Q: Quantity>(self, name: &str, quantity: Q) -> Self {
        self.told(name, quantity.si(), &Told::In(Q::KIND))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_are_of_the_results_kind() {
        let moment = Value { number: unit::INCH_POUND.factor, told: Told::In(Kind::Moment) };
        assert!((moment.in_unit(Some("in-lb")).expect("a moment") - 1.0).abs() < 1e-15);
        assert_eq!(moment.in_unit(Some("lb")), None);
        assert_eq!(moment.in_unit(None), None);
        let share = Value { number: 0.25, told: Told::Number };
        assert!((share.in_unit(Some("%")).expect("a share") - 25.0).abs() < 1e-15);
        assert_eq!(share.in_unit(Some("nm")), None);
        let length = Value { number: 5.0, told: Told::As("nm".to_owned()) };
        assert_eq!(length.in_unit(Some("nm")), Some(5.0));
        assert_eq!(length.in_unit(Some("mm")), None);
    }
}
