//! Quantities that a length to a power is in, as typed: density, mass per area, strength, area, section modulus.
//!
//! Main type: [`Ratio`], one kind of them with its units and range. Factors are chains of legal definitions. Not
//! covered: units beyond the few that data sheets use.

use crate::fault::Fault;
use crate::fields::Fields;
use hingeline_quantity::parse_decimal;

const INCH: f64 = 0.0254;
const POUND: f64 = 0.453_592_37;
const FOOT: f64 = 12.0 * INCH;
const POUND_FORCE: f64 = POUND * hingeline_quantity::STANDARD_GRAVITY;

/// One kind of quantity over an area or a volume.
pub(super) struct Ratio {
    /// In a message: “a density”.
    article: &'static str,
    /// Symbol, factor to SI, other spellings.
    units: &'static [(&'static str, f64, &'static [&'static str])],
    /// The largest, SI.
    most: f64,
    /// The same in words.
    allowed: &'static str,
    example: &'static str,
}

/// kg/m³.
pub(super) static DENSITY: Ratio = Ratio {
    article: "a density",
    units: &[
        ("g/cm³", 1000.0, &["g/cc", "kg/l", "kg/dm3"]),
        ("kg/m³", 1.0, &[]),
        ("lb/in³", POUND / (INCH * INCH * INCH), &["lb/cuin"]),
    ],
    most: 25_000.0,
    allowed: "above 0 up to 25 g/cm³ (no metal is denser)",
    example: "\"11.0 g/cm³\"",
};
/// kg/m².
pub(super) static FILM_MASS: Ratio = Ratio {
    article: "a mass per area",
    units: &[
        ("g/m²", 0.001, &[]),
        ("kg/m²", 1.0, &[]),
        ("oz/ft²", POUND / 16.0 / (FOOT * FOOT), &["oz/sqft"]),
        ("lb/ft²", POUND / (FOOT * FOOT), &["lb/sqft"]),
    ],
    most: 10.0,
    allowed: "above 0 up to 10 kg/m² (no coat is heavier)",
    example: "\"32 g/m²\"",
};
/// Pa.
pub(super) static STRENGTH: Ratio = Ratio {
    article: "a strength",
    units: &[
        ("MPa", 1e6, &["n/mm2"]),
        ("psi", POUND_FORCE / (INCH * INCH), &[]),
        ("ksi", 1000.0 * POUND_FORCE / (INCH * INCH), &[]),
    ],
    most: 5e9,
    allowed: "above 0 up to 5000 MPa (no metal is stronger)",
    example: "\"60 ksi\"",
};
/// m².
pub(super) static AREA: Ratio = Ratio {
    article: "an area",
    units: &[("mm²", 1e-6, &[]), ("cm²", 1e-4, &[]), ("in²", INCH * INCH, &["sqin"])],
    most: 0.1,
    allowed: "above 0 up to 1000 cm² (no arm of a weight is larger)",
    example: "\"0.5 in²\"",
};
/// m³.
pub(super) static MODULUS: Ratio = Ratio {
    article: "a section modulus",
    units: &[("mm³", 1e-9, &[]), ("cm³", 1e-6, &[]), ("in³", INCH * INCH * INCH, &["cuin"])],
    most: 0.001,
    allowed: "above 0 up to 1000 cm³ (no arm of a weight is larger)",
    example: "\"0.08 in³\"",
};

impl Ratio {
    /// The value in SI; none where the key is missing.
    pub(super) fn maybe(&self, fields: &Fields<'_>, key: &'static str) -> Option<f64> {
        let text = fields.maybe_text(key)?;
        let read = self.read(&text);
        if read.is_none() {
            let what = format!("{}, {key}: “{text}” is not {} with its unit", fields.name(), self.article);
            let symbols: Vec<&str> = self.units.iter().map(|(symbol, ..)| *symbol).collect();
            let fault = Fault::new(what, fields.span_of(key));
            fields.push(
                fault
                    .allowed(format!("a number with one of {}", symbols.join(", ")))
                    .hint(format!("write {key} = {}", self.example)),
            );
        }
        let value = read?;
        if 0.0 < value && value <= self.most {
            return Some(value);
        }
        let fault = Fault::new(format!("{}, {key} is {text}", fields.name()), fields.span_of(key));
        fields.push(fault.allowed(self.allowed).hint("check the unit and the decimal mark"));
        None
    }
    /// The same where it must be there.
    pub(super) fn wanted(&self, fields: &Fields<'_>, key: &'static str) -> Option<f64> {
        self.required(fields, key, self.maybe(fields, key))
    }
    /// A value that was read, with a fault where the key is missing.
    pub(super) fn required(&self, fields: &Fields<'_>, key: &'static str, value: Option<f64>) -> Option<f64> {
        if value.is_none() && !fields.has(key) {
            let fault = Fault::new(format!("{} has no {key}", fields.name()), fields.span_of(key));
            fields.push(fault.hint(format!("add {key} = {}", self.example)));
        }
        value
    }
    fn read(&self, text: &str) -> Option<f64> {
        let begins = text.find(char::is_alphabetic)?;
        let number = parse_decimal(text[..begins].trim()).ok()?;
        let plain = |unit: &str| {
            let unit = unit.to_lowercase().replace('³', "3").replace('²', "2");
            unit.chars().filter(|sign| !matches!(sign, ' ' | '^' | '.' | '·')).collect::<String>()
        };
        let typed = plain(&text[begins..]);
        let known = self
            .units
            .iter()
            .find(|(symbol, _, others)| plain(symbol) == typed || others.iter().any(|other| *other == typed));
        known.map(|(_, factor, _)| number * factor)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_of_one_kind_agree() {
        let near = |a: Option<f64>, b: f64| a.is_some_and(|a| (a / b - 1.0).abs() < 1e-6);
        assert!(near(DENSITY.read("11,34 g/cm3"), 11_340.0));
        // 1 lb/in³ is 27.679 905 g/cm³.
        assert!(near(DENSITY.read("0.4 lb/in³"), 0.4 * 27_679.905));
        // 1 ksi is 6.894 757 MPa.
        assert!(near(STRENGTH.read("60 ksi"), 60.0 * 6_894_757.3));
        assert!(near(FILM_MASS.read("1 oz/ft^2"), 0.305_151_7));
        // 1 in³ is 16 387.064 mm³, 1 in² is 645.16 mm².
        assert!(near(MODULUS.read("0.1 in³"), 1638.7064e-9));
        assert!(near(AREA.read("0.5 in2"), 322.58e-6));
        assert_eq!(DENSITY.read("11.34"), None);
    }
}
