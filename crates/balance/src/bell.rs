//! Fast draws from any bell: standard normal, or t with any degrees of freedom.
//!
//! The ziggurat of Marsaglia and Tsang (J. Stat. Softw. 5(8), 2000) with 256 layers of equal area, built for
//! the density at hand; the tail beyond the last layer is drawn from the Pareto curve that touches the density
//! there, with rejection (the logarithmic slope of these densities only steepens, so that curve lies above).
//! Main type: [`Bell`].

use rand::{Rng, RngExt};
use statrs::distribution::{ContinuousCDF, Normal, StudentsT};
use statrs::function::gamma::ln_gamma;
use std::f64::consts::PI;

const LAYERS: usize = 256;

/// A standard bell-shaped distribution that can be drawn from.
#[derive(Debug, Clone)]
pub struct Bell {
    shape: Shape,
    /// Right edges of the layers, the (pseudo) base layer first, 0 last.
    edge: Vec<f64>,
    /// The density at those edges.
    height: Vec<f64>,
    /// Exponent of the Pareto curve at the tail's beginning.
    slope: f64,
}

#[derive(Debug, Clone, Copy)]
enum Shape {
    Normal,
    Student(f64),
}

impl Shape {
    /// The density, 1 at its middle.
    fn density(self, x: f64) -> f64 {
        match self {
            Self::Normal => (-0.5 * x * x).exp(),
            Self::Student(nu) => (x * x / nu).ln_1p().mul_add(-f64::midpoint(nu, 1.0), 0.0).exp(),
        }
    }
    /// Where the density falls to `y`.
    fn reach(self, y: f64) -> f64 {
        match self {
            Self::Normal => (-2.0 * y.ln()).sqrt(),
            Self::Student(nu) => (nu * (-y.ln() / f64::midpoint(nu, 1.0)).exp_m1()).sqrt(),
        }
    }
    /// The area under the density beyond `x`.
    fn area_beyond(self, x: f64) -> f64 {
        match self {
            Self::Normal => (2.0 * PI).sqrt() * Normal::standard().cdf(-x),
            Self::Student(nu) => {
                let whole = (ln_gamma(nu / 2.0) - ln_gamma(f64::midpoint(nu, 1.0))).exp() * (nu * PI).sqrt();
                whole * StudentsT::new(0.0, 1.0, nu).map_or(f64::NAN, |student| student.cdf(-x))
            }
        }
    }
    /// −d ln(density)/d ln(x)
    fn log_slope(self, x: f64) -> f64 {
        match self {
            Self::Normal => x * x,
            Self::Student(nu) => (nu + 1.0) * x * x / (nu + x * x),
        }
    }
}

impl Bell {
    /// The standard normal distribution.
    #[must_use]
    pub fn normal() -> Self {
        Self::build(Shape::Normal)
    }

    /// Student's t with this many degrees of freedom, at least 1.
    #[must_use]
    pub fn student(degrees_of_freedom: f64) -> Self {
        Self::build(Shape::Student(degrees_of_freedom.max(1.0)))
    }

    /// Finds the tail's beginning at which the layers of equal area just close at the top, by bisection.
    fn build(shape: Shape) -> Self {
        let (mut low, mut high) = (0.5f64, 1e4f64);
        for _ in 0..200 {
            let middle = (low * high).sqrt();
            if stack(shape, middle).is_some() {
                high = middle;
            } else {
                low = middle;
            }
        }
        let mut edge = stack(shape, high).unwrap_or_default();
        edge.push(0.0);
        let height = edge.iter().map(|&x| shape.density(x)).collect();
        let slope = shape.log_slope(high);
        Self {
            shape,
            edge,
            height,
            slope,
        }
    }

    /// One draw.
    #[inline]
    pub fn draw(&self, random: &mut impl Rng) -> f64 {
        loop {
            let bits = random.next_u64();
            let layer = (bits & 0xff) as usize;
            let x = signed_unit(bits) * self.edge[layer];
            if x.abs() < self.edge[layer + 1] {
                return x;
            }
            if let Some(value) = self.at_the_rim(layer, x, random) {
                return value;
            }
        }
    }

    /// The rare cases: the tail, and the sliver between two layers.
    #[cold]
    fn at_the_rim(&self, layer: usize, x: f64, random: &mut impl Rng) -> Option<f64> {
        if layer == 0 {
            return Some(self.tail(random).copysign(x));
        }
        let between: f64 = random.random();
        let y = self.height[layer] + between * (self.height[layer + 1] - self.height[layer]);
        (y < self.shape.density(x)).then_some(x)
    }

    fn tail(&self, random: &mut impl Rng) -> f64 {
        let start = self.edge[1];
        loop {
            let unit: f64 = 1.0 - random.random::<f64>();
            let x = start * unit.powf(-1.0 / (self.slope - 1.0));
            let bound = self.height[1] * (x / start).powf(-self.slope);
            if random.random::<f64>() * bound < self.shape.density(x) && x.is_finite() {
                return x;
            }
        }
    }
}

/// The edges of layers of equal area above a tail that begins at `start`; none where they do not fit under the
/// top.
fn stack(shape: Shape, start: f64) -> Option<Vec<f64>> {
    let area = start * shape.density(start) + shape.area_beyond(start);
    let mut edges = vec![area / shape.density(start), start];
    let mut x = start;
    for _ in 2..LAYERS {
        let y = shape.density(x) + area / x;
        if y >= 1.0 {
            return None;
        }
        x = shape.reach(y);
        edges.push(x);
    }
    (shape.density(x) + area / x <= 1.0).then_some(edges)
}

/// The upper 53 bits as a number from −1 to 1.
#[inline]
#[allow(clippy::cast_precision_loss, reason = "54 bits fit a signed mantissa")]
fn signed_unit(bits: u64) -> f64 {
    #[allow(clippy::cast_possible_wrap, reason = "the sign bit is wanted as a sign")]
    let signed = (bits as i64) >> 11;
    signed as f64 * (1.0 / (1u64 << 52) as f64)
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::SeedableRng;
    use rand_xoshiro::Xoshiro256PlusPlus;

    /// Kolmogorov–Smirnov: the largest gap between the drawn and the true distribution.
    fn gap(bell: &Bell, below: impl Fn(f64) -> f64) -> f64 {
        let mut random = Xoshiro256PlusPlus::seed_from_u64(7);
        let mut draws: Vec<f64> = (0..400_000).map(|_| bell.draw(&mut random)).collect();
        draws.sort_by(f64::total_cmp);
        let n = draws.len() as f64;
        draws
            .iter()
            .enumerate()
            .map(|(index, &x)| {
                (below(x) - index as f64 / n)
                    .abs()
                    .max((below(x) - (index + 1) as f64 / n).abs())
            })
            .fold(0.0, f64::max)
    }

    #[test]
    fn draws_follow_the_distribution() {
        // 1.95/√n is the bound at one in a thousand.
        let bound = 1.95 / 400_000f64.sqrt();
        let normal = gap(&Bell::normal(), |x| Normal::standard().cdf(x));
        assert!(normal < bound, "normal: {normal}");
        for nu in [1.0, 2.0, 3.0, 4.7, 9.0, 30.0, 1000.0] {
            let student = StudentsT::new(0.0, 1.0, nu).expect("t");
            let measured = gap(&Bell::student(nu), |x| student.cdf(x));
            assert!(measured < bound, "{nu}: {measured}");
        }
    }

    #[test]
    fn the_tail_is_as_heavy_as_it_should_be() {
        for nu in [1.0, 2.0, 5.0, 40.0] {
            let bell = Bell::student(nu);
            let start = bell.edge[1];
            let far = 2.0 * start;
            let student = StudentsT::new(0.0, 1.0, nu).expect("t");
            let expected = student.cdf(-far) / student.cdf(-start);
            let mut random = Xoshiro256PlusPlus::seed_from_u64(11);
            let count = (0..100_000).filter(|_| bell.tail(&mut random) > far).count() as f64 / 1e5;
            let noise = (expected * (1.0 - expected) / 1e5).sqrt();
            assert!(
                (count - expected).abs() < 4.0 * noise + 1e-5,
                "{nu}: {count} for {expected}"
            );
        }
    }
}
