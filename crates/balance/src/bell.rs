//! Fast draws from any bell: standard normal, or t with any degrees of freedom.
//!
//! Plain formulas of two uniform numbers, without tables or rejection, so that several draws are worked out at
//! once: Box and Muller (Ann. Math. Stat. 29, 1958) for the normal distribution, Bailey (Math. Comp. 62, 1994)
//! for t. Two degrees of freedom, the case of three readings a set, have a formula of one uniform number: their
//! distribution function turned round. Main type: [`Bell`].

use crate::elementary::{exp_m1, ln, sine, sine_cosine};
use crate::lanes::{Column, Lanes, signed_unit, unit};
use multiversion::multiversion;
use std::f64::consts::FRAC_PI_2;

/// With so many degrees of freedom t is normal, to more digits than draws have.
const AS_GOOD_AS_NORMAL: f64 = 1e9;

/// A standard bell-shaped distribution that can be drawn from.
#[derive(Debug, Clone)]
pub(crate) struct Bell {
    shape: Shape,
}

#[derive(Debug, Clone, Copy)]
enum Shape {
    Normal,
    /// t with two degrees of freedom.
    Two,
    /// t with this many degrees of freedom.
    Student(f64),
}

impl Bell {
    /// The standard normal distribution.
    #[must_use]
    pub(crate) fn normal() -> Self {
        Self { shape: Shape::Normal }
    }

    /// Student's t with this many degrees of freedom, at least 1.
    #[must_use]
    pub(crate) fn student(degrees_of_freedom: f64) -> Self {
        let shape = if degrees_of_freedom > AS_GOOD_AS_NORMAL {
            Shape::Normal
        } else if (degrees_of_freedom - 2.0).abs() < 1e-12 {
            Shape::Two
        } else {
            Shape::Student(degrees_of_freedom.max(1.0))
        };
        Self { shape }
    }

    /// A column of draws.
    pub(crate) fn fill(&self, lanes: &mut Lanes, out: &mut Column) {
        match self.shape {
            Shape::Normal => fill_normal(lanes, out),
            Shape::Two => fill_two(lanes, out),
            Shape::Student(nu) => fill_student(nu, lanes, out),
        }
    }
}

#[multiversion(targets = "simd")]
fn fill_normal(lanes: &mut Lanes, out: &mut Column) {
    lanes.fill_in_pairs(out, normal_pair);
}

#[multiversion(targets = "simd")]
fn fill_two(lanes: &mut Lanes, out: &mut Column) {
    lanes.fill(out, two);
}

#[multiversion(targets = "simd")]
fn fill_student(nu: f64, lanes: &mut Lanes, out: &mut Column) {
    lanes.fill_from_two(out, |first, second| student(nu, first, second));
}

/// √(−2 ln u) times the sine and the cosine of an angle anywhere on the circle: two independent normal numbers.
///
/// The angle is drawn on the half circle where the cosine is positive; the highest bit that is not used for it
/// gives the cosine its sign.
#[inline(always)]
fn normal_pair(first: u64, second: u64) -> (f64, f64) {
    let radius = (-2.0 * ln(unit(first))).sqrt();
    let (sine, cosine) = sine_cosine(FRAC_PI_2 * signed_unit(second));
    let sign = (second << 52) & (1 << 63);
    (radius * sine, f64::from_bits((radius * cosine).to_bits() ^ sign))
}

/// F(t) = (1 + t/√(2 + t²))/2, so with x = 2F − 1: t = x √(2/(1 − x²)).
#[inline(always)]
fn two(bits: u64) -> f64 {
    let x = signed_unit(bits);
    x * (2.0 / ((1.0 - x) * (1.0 + x))).sqrt()
}

/// √(ν (u^(−2/ν) − 1)) times the sine of an angle anywhere on the circle.
#[inline(always)]
fn student(nu: f64, first: u64, second: u64) -> f64 {
    let radius = (nu * exp_m1(-2.0 / nu * ln(unit(first)))).sqrt();
    radius * sine(FRAC_PI_2 * signed_unit(second))
}

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::distribution::{ContinuousCDF, Normal, StudentsT};

    const DRAWS: usize = 400_000;
    const DEGREES: [f64; 8] = [1.0, 2.0, 3.0, 4.7, 9.0, 30.0, 1000.0, 1e7];

    /// Kolmogorov–Smirnov: the largest gap between the drawn and the true distribution.
    fn gap(mut draws: Vec<f64>, below: impl Fn(f64) -> f64) -> f64 {
        draws.sort_by(f64::total_cmp);
        let n = draws.len() as f64;
        draws
            .iter()
            .enumerate()
            .map(|(index, &x)| {
                (below(x) - index as f64 / n).abs().max((below(x) - (index + 1) as f64 / n).abs())
            })
            .fold(0.0, f64::max)
    }

    fn draws_of(bell: &Bell) -> Vec<f64> {
        let mut lanes = Lanes::new(7, 0, 0);
        let mut column = Column::ZERO;
        let mut draws = Vec::new();
        while draws.len() < DRAWS {
            bell.fill(&mut lanes, &mut column);
            draws.extend_from_slice(&column.0);
        }
        draws
    }

    #[test]
    fn draws_follow_the_distribution() {
        // 1.95/√n is the bound at one in a thousand.
        let bound = 1.95 / (DRAWS as f64).sqrt();
        let normal = gap(draws_of(&Bell::normal()), |x| Normal::standard().cdf(x));
        assert!(normal < bound, "normal: {normal}");
        for nu in DEGREES {
            let student = StudentsT::new(0.0, 1.0, nu).expect("t");
            let measured = gap(draws_of(&Bell::student(nu)), |x| student.cdf(x));
            assert!(measured < bound, "{nu}: {measured}");
        }
    }

    #[test]
    fn the_tail_is_as_heavy_as_it_should_be() {
        for nu in DEGREES {
            let student = StudentsT::new(0.0, 1.0, nu).expect("t");
            let far = student.inverse_cdf(0.9995);
            let draws = draws_of(&Bell::student(nu));
            let beyond = draws.iter().filter(|x| x.abs() > far).count() as f64 / draws.len() as f64;
            let noise = (0.001 / draws.len() as f64).sqrt();
            assert!((beyond - 0.001).abs() < 4.0 * noise, "{nu}: {beyond}");
        }
    }

    #[test]
    fn the_two_numbers_of_a_pair_are_independent() {
        let draws = draws_of(&Bell::normal());
        let pairs =
            draws.chunks_exact(16).flat_map(|chunk| (0..8).map(|lane| (chunk[lane], chunk[8 + lane])));
        let (mut products, mut squares, mut count) = (0.0, 0.0, 0.0);
        for (x, y) in pairs {
            products += x * y;
            squares += (x * x - 1.0) * (y * y - 1.0);
            count += 1.0;
        }
        // Standard deviations of the sums: √n and 2 √n.
        assert!(products.abs() < 4.0 * f64::sqrt(count), "{products}");
        assert!(squares.abs() < 8.0 * f64::sqrt(count), "{squares}");
    }
}
