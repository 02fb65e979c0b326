//! The units that may be typed, with exact factors.
//!
//! Each factor is a chain of legal definitions: inch = 25.4 mm and pound = 0.453 592 37 kg = 7000 grain
//! (International Yard and Pound agreement, 1959), standard gravity 9.80665 m/s² (3rd CGPM, 1901). Spellings
//! are compared without case, spaces, dots, hyphens and multiplication signs, so `in-lb`, `in·lb`, `IN LB` and
//! `inlb` are one unit.

use crate::STANDARD_GRAVITY;
use std::f64::consts::PI;

/// The kinds of quantity.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Length, in metres.
    Length,
    /// Mass, in kilograms; forces stand for the mass they weigh at standard gravity.
    Mass,
    /// Mass moment, in kilogram metres.
    Moment,
    /// Plane angle, in radians.
    Angle,
}

impl Kind {
    /// The kind with its article, for messages.
    #[must_use]
    pub fn with_article(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Mass => "a mass",
            Self::Moment => "a moment",
            Self::Angle => "an angle",
        }
    }
    /// The units of this kind.
    #[must_use]
    pub fn units(self) -> &'static [&'static Unit] {
        match self {
            Self::Length => &LENGTHS,
            Self::Mass => &MASSES,
            Self::Moment => &MOMENTS,
            Self::Angle => &ANGLES,
        }
    }
    /// The symbols of its units, for messages: "in, ft, mm, …".
    #[must_use]
    pub fn symbols(self) -> String {
        let symbols: Vec<&str> = self.units().iter().map(|unit| unit.symbol).collect();
        symbols.join(", ")
    }
}

/// A unit: how it is printed and typed, and how much SI one of it is.
#[derive(Debug, PartialEq)]
pub struct Unit {
    /// The kind of quantity it measures.
    pub kind: Kind,
    /// As printed.
    pub symbol: &'static str,
    /// As typed, folded (see [`fold`]); the folded symbol is always among them.
    pub spellings: &'static [&'static str],
    /// SI units in one of it, exact by definition (up to the last place of `f64`).
    pub factor: f64,
    /// For a moment: the unit of its arm and the unit of its mass.
    pub parts: Option<(&'static Unit, &'static Unit)>,
    /// The smaller unit that may follow it ("3 ft 2 in"), and how many of those make one.
    pub smaller: Option<(&'static Unit, f64)>,
}

macro_rules! units {
    ($kind:ident: $($(#[$doc:meta])* $name:ident $symbol:literal = $factor:expr, [$($spelling:literal),*] $(, smaller $smaller:ident $count:literal)?;)*) => {
        $($(#[$doc])*
        pub static $name: Unit = Unit {
            kind: Kind::$kind,
            symbol: $symbol,
            spellings: &[$($spelling),*],
            factor: $factor,
            parts: None,
            smaller: units!(@smaller $($smaller $count)?),
        };)*
    };
    (@smaller) => { None };
    (@smaller $smaller:ident $count:literal) => { Some((&$smaller, $count)) };
}

macro_rules! moments {
    ($($(#[$doc:meta])* $name:ident $symbol:literal = $arm:ident * $mass:ident, [$($spelling:literal),*];)*) => {
        $($(#[$doc])*
        pub static $name: Unit = Unit {
            kind: Kind::Moment,
            symbol: $symbol,
            spellings: &[$($spelling),*],
            factor: $arm.factor * $mass.factor,
            parts: Some((&$arm, &$mass)),
            smaller: None,
        };)*
    };
}

units! { Length:
    /// Inch: 25.4 mm.
    INCH "in" = 0.0254, ["in", "\"", "inch", "inches"];
    /// Foot: 12 in.
    FOOT "ft" = 0.3048, ["ft", "'", "foot", "feet"], smaller INCH 12.0;
    /// Millimetre.
    MILLIMETRE "mm" = 0.001, ["mm", "millimetre", "millimetres", "millimeter", "millimeters"];
    /// Centimetre.
    CENTIMETRE "cm" = 0.01, ["cm", "centimetre", "centimetres", "centimeter", "centimeters"];
    /// Metre.
    METRE "m" = 1.0, ["m", "metre", "metres", "meter", "meters"];
}
units! { Mass:
    /// Pound: 0.453 592 37 kg.
    POUND "lb" = 0.453_592_37, ["lb", "lbs", "pound", "pounds", "lbm"], smaller OUNCE 16.0;
    /// Ounce: a sixteenth of a pound.
    OUNCE "oz" = 0.453_592_37 / 16.0, ["oz", "ounce", "ounces"];
    /// Kilogram.
    KILOGRAM "kg" = 1.0, ["kg", "kgs", "kilogram", "kilograms"];
    /// Gram.
    GRAM "g" = 0.001, ["g", "gram", "grams"];
    /// Milligram.
    MILLIGRAM "mg" = 1e-6, ["mg", "milligram", "milligrams"];
    /// Grain: a seven-thousandth of a pound, 64.798 91 mg.
    GRAIN "grain" = 0.453_592_37 / 7000.0, ["grain", "grains"];
    /// Newton, as the mass it weighs at standard gravity.
    NEWTON "N" = 1.0 / STANDARD_GRAVITY, ["n", "newton", "newtons"];
    /// Pound-force, as the mass it weighs at standard gravity.
    POUND_FORCE "lbf" = 0.453_592_37, ["lbf"];
    /// Kilogram-force, as the mass it weighs at standard gravity.
    KILOGRAM_FORCE "kgf" = 1.0, ["kgf"];
}
units! { Angle:
    /// Degree.
    DEGREE "deg" = PI / 180.0, ["deg", "°", "degree", "degrees"];
    /// Minute of arc.
    MINUTE_OF_ARC "arcmin" = PI / 10_800.0, ["arcmin"];
    /// Radian.
    RADIAN "rad" = 1.0, ["rad", "radian", "radians"];
    /// Milliradian.
    MILLIRADIAN "mrad" = 0.001, ["mrad", "milliradian", "milliradians"];
}
moments! {
    /// Inch-pound.
    INCH_POUND "in-lb" = INCH * POUND,
        ["inlb", "lbin", "inlbs", "lbsin", "inlbf", "lbfin", "inchpound", "inchpounds", "poundinch", "poundinches"];
    /// Inch-ounce.
    INCH_OUNCE "in-oz" = INCH * OUNCE, ["inoz", "ozin", "inchounce", "inchounces", "inozf", "ozfin"];
    /// Foot-pound.
    FOOT_POUND "ft-lb" = FOOT * POUND,
        ["ftlb", "lbft", "ftlbs", "lbsft", "ftlbf", "lbfft", "footpound", "footpounds", "poundfoot", "poundfeet"];
    /// Newton metre.
    NEWTON_METRE "N·m" = METRE * NEWTON, ["nm", "mn", "newtonmetre", "newtonmetres", "newtonmeter", "newtonmeters"];
    /// Newton centimetre.
    NEWTON_CENTIMETRE "N·cm" = CENTIMETRE * NEWTON, ["ncm", "cmn"];
    /// Newton millimetre.
    NEWTON_MILLIMETRE "N·mm" = MILLIMETRE * NEWTON, ["nmm", "mmn"];
    /// Kilogram metre.
    KILOGRAM_METRE "kg·m" = METRE * KILOGRAM, ["kgm", "mkg", "kgfm"];
    /// Kilogram centimetre.
    KILOGRAM_CENTIMETRE "kg·cm" = CENTIMETRE * KILOGRAM, ["kgcm", "cmkg", "kgfcm"];
    /// Kilogram millimetre.
    KILOGRAM_MILLIMETRE "kg·mm" = MILLIMETRE * KILOGRAM, ["kgmm", "mmkg", "kgfmm"];
    /// Gram centimetre.
    GRAM_CENTIMETRE "g·cm" = CENTIMETRE * GRAM, ["gcm", "cmg"];
    /// Gram millimetre.
    GRAM_MILLIMETRE "g·mm" = MILLIMETRE * GRAM, ["gmm", "mmg"];
}

static LENGTHS: [&Unit; 5] = [&INCH, &FOOT, &MILLIMETRE, &CENTIMETRE, &METRE];
static MASSES: [&Unit; 9] =
    [&POUND, &OUNCE, &KILOGRAM, &GRAM, &MILLIGRAM, &GRAIN, &NEWTON, &POUND_FORCE, &KILOGRAM_FORCE];
static MOMENTS: [&Unit; 11] = [
    &INCH_POUND,
    &INCH_OUNCE,
    &FOOT_POUND,
    &NEWTON_METRE,
    &NEWTON_CENTIMETRE,
    &NEWTON_MILLIMETRE,
    &KILOGRAM_METRE,
    &KILOGRAM_CENTIMETRE,
    &KILOGRAM_MILLIMETRE,
    &GRAM_CENTIMETRE,
    &GRAM_MILLIMETRE,
];
static ANGLES: [&Unit; 4] = [&DEGREE, &MINUTE_OF_ARC, &RADIAN, &MILLIRADIAN];

/// A typed unit brought to the form that spellings are listed in: lower case, one kind of foot and inch mark,
/// no spaces, dots, hyphens or multiplication signs.
#[must_use]
pub fn fold(typed: &str) -> String {
    typed
        .chars()
        .filter(|letter| !matches!(letter, ' ' | '\u{a0}' | '.' | '-' | '·' | '⋅' | '•' | '*' | '×' | '‑'))
        .map(|letter| match letter {
            '’' | '′' => '\'',
            '”' | '″' => '"',
            'º' => '°',
            other => other,
        })
        .flat_map(char::to_lowercase)
        .collect::<String>()
        .replace("''", "\"")
}

/// The unit that a typed text names, of whatever kind.
#[must_use]
pub fn find(typed: &str) -> Option<&'static Unit> {
    let folded = fold(typed);
    [Kind::Length, Kind::Mass, Kind::Moment, Kind::Angle]
        .into_iter()
        .flat_map(|kind| kind.units().iter().copied())
        .find(|unit| unit.spellings.contains(&folded.as_str()))
}

/// The moment unit made of an arm's unit and a mass's unit, where the trade has one.
#[must_use]
pub fn moment_unit(arm: &Unit, mass: &Unit) -> Option<&'static Unit> {
    Kind::Moment.units().iter().copied().find(|unit| {
        unit.parts.is_some_and(|(length, weight)| length.symbol == arm.symbol && weight.symbol == mass.symbol)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all() -> Vec<&'static Unit> {
        [Kind::Length, Kind::Mass, Kind::Moment, Kind::Angle]
            .iter()
            .flat_map(|k| k.units().iter().copied())
            .collect()
    }

    #[test]
    fn every_spelling_names_one_unit_only() {
        for unit in all() {
            for spelling in unit.spellings {
                let owners = all().iter().filter(|other| other.spellings.contains(spelling)).count();
                assert_eq!(owners, 1, "{spelling}");
            }
            assert_eq!(find(unit.symbol).map(|u| u.symbol), Some(unit.symbol));
        }
    }

    #[test]
    fn factors_are_the_legal_definitions() {
        assert!((POUND.factor - 7000.0 * 64.798_91e-6).abs() < 1e-16);
        assert!((FOOT.factor - 12.0 * INCH.factor).abs() < 1e-16);
        assert!((OUNCE.factor * 16.0 - POUND.factor).abs() < 1e-16);
        assert!((NEWTON.factor * 9.80665 - 1.0).abs() < 1e-16);
        assert!((INCH_POUND.factor - 0.011_521_246_198).abs() < 1e-15);
    }

    #[test]
    fn the_trades_spellings_are_one_unit() {
        for text in ["in-lb", "IN-LB", "lb in", "in·lb", "in.-lb.", "inch pounds", "lbf·in", "in-lbs"] {
            assert_eq!(find(text).map(|u| u.symbol), Some("in-lb"), "{text}");
        }
        assert_eq!(moment_unit(&CENTIMETRE, &GRAM).map(|u| u.symbol), Some("g·cm"));
        assert!(moment_unit(&FOOT, &GRAM).is_none());
    }
}
