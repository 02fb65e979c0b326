//! Quantities as an aircraft structures shop writes them.
//!
//! Main types: [`Length`], [`Mass`], [`Moment`] (a mass moment, positive tail-heavy) and [`Angle`], each an SI
//! number; [`Unit`], a named unit with its exact factor; [`Entered`], a quantity together with the text it was
//! typed as. [`Entered::parse`] reads `17 3/32 in`, `3' 2 1/2"`, `1 lb 3.5 oz`, `0,62 kg`, `12.5 N` or
//! `3.4 in-lb tail-heavy`.
//!
//! Factors are chains of legal definitions ([`mod@unit`]). Not covered: areas, inertias, temperatures.

mod entered;
mod number;
mod show;
pub mod unit;

pub use entered::{Entered, ParseError, Problem};
pub use number::parse_decimal;
pub use show::{decimals, places, reads_zero, signed, significant};
pub use unit::{Kind, Unit};

use std::ops::{Add, Div, Mul, Neg, Sub};

/// Standard gravity, m/s², by which a force reading stands for a mass (3rd CGPM, 1901, resolution 2: 9.80665).
pub const STANDARD_GRAVITY: f64 = 9.80665;

/// What every quantity of this crate is: one finite SI number of one [`Kind`].
pub trait Quantity: Copy {
    /// The kind of quantity: it selects the units that may be typed.
    const KIND: Kind;
    /// The quantity of a value in SI. The caller has made sure that it is finite.
    fn from_si(value: f64) -> Self;
    /// The value in SI (m, kg, kg m, rad).
    fn si(self) -> f64;
    /// The value in a unit of the same kind.
    fn in_unit(self, unit: &Unit) -> f64 {
        self.si() / unit.factor
    }
    /// The quantity of a number of some unit.
    fn of(number: f64, unit: &Unit) -> Self {
        Self::from_si(number * unit.factor)
    }
}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(f64);

        impl Quantity for $name {
            const KIND: Kind = Kind::$name;
            fn from_si(value: f64) -> Self {
                debug_assert!(value.is_finite(), "a quantity is a finite number");
                Self(value)
            }
            fn si(self) -> f64 {
                self.0
            }
        }
        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);
            /// Its size without its sign.
            #[must_use]
            pub fn abs(self) -> Self {
                Self(self.0.abs())
            }
        }
        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }
        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }
        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }
        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }
        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }
    };
}

quantity!(
    /// A length or an arm, m. An arm is counted from the hinge line, aft positive.
    Length
);
quantity!(
    /// A mass or a scale reading, kg. Force readings stand for the mass they weigh at standard gravity.
    Mass
);
quantity!(
    /// A static (mass) moment about the hinge line, kg m, positive tail-heavy.
    Moment
);
quantity!(
    /// A plane angle, rad.
    Angle
);

impl Mul<Length> for Mass {
    type Output = Moment;
    fn mul(self, arm: Length) -> Moment {
        Moment(self.0 * arm.0)
    }
}
impl Div<Length> for Moment {
    type Output = Mass;
    fn div(self, arm: Length) -> Mass {
        Mass(self.0 / arm.0)
    }
}
impl Div<Mass> for Moment {
    type Output = Length;
    fn div(self, mass: Mass) -> Length {
        Length(self.0 / mass.0)
    }
}

/// Which way a surface wants to turn about its hinge line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// The trailing edge drops (underbalanced).
    TailHeavy,
    /// The trailing edge rises (overbalanced).
    NoseHeavy,
    /// Neither.
    Balanced,
}

impl Side {
    /// The trade's word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::TailHeavy => "tail-heavy",
            Self::NoseHeavy => "nose-heavy",
            Self::Balanced => "balanced",
        }
    }
    /// +1 for tail-heavy, −1 for nose-heavy, 0 for balanced.
    #[must_use]
    pub fn sign(self) -> f64 {
        match self {
            Self::TailHeavy => 1.0,
            Self::NoseHeavy => -1.0,
            Self::Balanced => 0.0,
        }
    }
}

impl Moment {
    /// Below this a moment is nobody's: 1e-12 kg m, a thousandth of a milligram at one millimetre, is the rest
    /// of a rounding.
    pub const NEGLIGIBLE: Self = Self(1e-12);

    /// The side that this moment makes heavy.
    #[must_use]
    pub fn side(self) -> Side {
        if self.abs() <= Self::NEGLIGIBLE {
            Side::Balanced
        } else if self.0 > 0.0 {
            Side::TailHeavy
        } else {
            Side::NoseHeavy
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn mass_times_arm_is_a_moment_and_back() {
        let moment = Mass::of(1.25, &unit::POUND) * Length::of(17.25, &unit::INCH);
        assert!((moment.in_unit(&unit::INCH_POUND) - 21.5625).abs() < 1e-12);
        let mass = moment / Length::of(17.25, &unit::INCH);
        assert!((mass.in_unit(&unit::POUND) - 1.25).abs() < 1e-14);
        let arm = moment / Mass::of(1.25, &unit::POUND);
        assert!((arm.in_unit(&unit::INCH) - 17.25).abs() < 1e-12);
    }

    #[test]
    fn sides_are_named_by_the_sign() {
        assert_eq!(Moment::from_si(0.01).side().word(), "tail-heavy");
        assert_eq!(Moment::from_si(-0.01).side().word(), "nose-heavy");
        assert_eq!(Moment::from_si(1e-17).side(), Side::Balanced);
    }
}
