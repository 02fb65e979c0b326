//! Volume, centroid and inertia of a body as moments that add: a hole is taken away by subtraction, a part is moved,
//! turned or grown by a formula, and a density makes them a mass.
//!
//! Main type: [`Moments`]. Source: the definitions (parallel axes: Huygens–Steiner). Not covered: moments beyond the
//! second.

use std::iter::Sum;
use std::ops::{Add, Mul, Neg, Sub};

/// A point or a displacement, m.
pub type Vector = [f64; 3];
/// Three rows of three numbers.
pub type Matrix = [[f64; 3]; 3];

/// The moments of a body about the origin of its axes: ∫dV, ∫xᵢ dV and ∫xᵢxⱼ dV.
///
/// As made by a shape they are those of a volume (m³, m⁴, m⁵); times a density (kg/m³) they are those of a mass
/// (kg, kg m, kg m²).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Moments {
    /// ∫dV: volume, m³, or mass, kg.
    pub total: f64,
    /// ∫xᵢ dV: m⁴, or kg m.
    pub first: Vector,
    /// ∫xᵢxⱼ dV: m⁵, or kg m². Symmetric.
    pub second: Matrix,
}

impl Moments {
    /// The moments of a body of a total `total` whose centroid is the origin, with the second moments there.
    #[must_use]
    pub fn centred(total: f64, second: Matrix) -> Self {
        Self { total, first: [0.0; 3], second }
    }
    /// A point of a total `total` at a place.
    #[must_use]
    pub fn point(total: f64, at: Vector) -> Self {
        Self::centred(total, [[0.0; 3]; 3]).moved(at)
    }
    /// The centroid, m; none for a body of no volume.
    #[must_use]
    pub fn centroid(&self) -> Option<Vector> {
        let place = self.first.map(|moment| moment / self.total);
        place.iter().all(|x| x.is_finite()).then_some(place)
    }
    /// The same body moved by a displacement, m.
    #[must_use]
    pub fn moved(&self, by: Vector) -> Self {
        let second = matrix(|i, j| {
            self.second[i][j] + self.first[i] * by[j] + by[i] * self.first[j] + self.total * by[i] * by[j]
        });
        Self { total: self.total, first: vector(|i| self.first[i] + self.total * by[i]), second }
    }
    /// The same body after a linear map of space (its rows): a turn, a mirror, a growth. The volume changes with the
    /// size of the determinant.
    #[must_use]
    pub fn mapped(&self, map: &Matrix) -> Self {
        let size = determinant(map).abs();
        let half = matrix(|i, j| (0..3).map(|k| map[i][k] * self.second[k][j]).sum());
        Self {
            total: self.total * size,
            first: vector(|i| size * (0..3).map(|k| map[i][k] * self.first[k]).sum::<f64>()),
            second: matrix(|i, j| size * (0..3).map(|k| half[i][k] * map[j][k]).sum::<f64>()),
        }
    }
    /// The inertia tensor about the centroid: moments of inertia on the diagonal, products of inertia beside it with
    /// a minus sign (m⁵, or kg m²); none for a body of no volume.
    #[must_use]
    pub fn inertia(&self) -> Option<Matrix> {
        let centroid = self.centroid()?;
        let second = self.moved(centroid.map(|x| -x)).second;
        let trace = second[0][0] + second[1][1] + second[2][2];
        Some(matrix(|i, j| if i == j { trace - second[i][j] } else { -second[i][j] }))
    }
}

fn vector(of: impl Fn(usize) -> f64) -> Vector {
    std::array::from_fn(of)
}

fn matrix(of: impl Fn(usize, usize) -> f64) -> Matrix {
    std::array::from_fn(|i| std::array::from_fn(|j| of(i, j)))
}

fn determinant(m: &Matrix) -> f64 {
    m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1]) - m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0])
        + m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0])
}

impl Add for Moments {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            total: self.total + other.total,
            first: vector(|i| self.first[i] + other.first[i]),
            second: matrix(|i, j| self.second[i][j] + other.second[i][j]),
        }
    }
}
impl Neg for Moments {
    type Output = Self;
    fn neg(self) -> Self {
        self * -1.0
    }
}
impl Sub for Moments {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self + -other
    }
}
impl Mul<f64> for Moments {
    type Output = Self;
    /// By a density: the moments of the mass.
    fn mul(self, density: f64) -> Self {
        Self {
            total: self.total * density,
            first: self.first.map(|x| x * density),
            second: self.second.map(|row| row.map(|x| x * density)),
        }
    }
}
impl Sum for Moments {
    fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
        parts.fold(Self::default(), Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(a: f64, b: f64) -> bool {
        (a - b).abs() <= 1e-12 * (1.0 + a.abs())
    }

    /// A brick 1 by 2 by 3 about its centroid.
    fn brick() -> Moments {
        let [a, b, c] = [1.0, 2.0, 3.0];
        let volume = a * b * c;
        Moments::centred(
            volume,
            matrix(|i, j| if i == j { volume * [a, b, c][i].powi(2) / 12.0 } else { 0.0 }),
        )
    }

    #[test]
    fn moving_the_origin_moves_the_first_moment_by_the_total_times_the_shift() {
        let moved = brick().moved([0.5, -1.0, 2.0]);
        assert!(moved.first.iter().zip([3.0, -6.0, 12.0]).all(|(a, b)| near(*a, b)));
        assert!(
            moved
                .inertia()
                .expect("a volume")
                .iter()
                .zip(brick().inertia().expect("a volume"))
                .all(|(a, b)| a.iter().zip(b).all(|(a, b)| near(*a, b)))
        );
    }

    #[test]
    fn a_brick_has_the_inertia_of_the_handbook() {
        let inertia = brick().inertia().expect("a volume");
        assert!(
            near(inertia[0][0], 6.0 * (4.0 + 9.0) / 12.0) && near(inertia[2][2], 6.0 * (1.0 + 4.0) / 12.0)
        );
    }

    #[test]
    fn a_quarter_turn_swaps_the_axes_and_a_growth_is_cubed() {
        let turned = brick().mapped(&[[0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]]);
        assert!(near(turned.second[0][0], brick().second[1][1]) && near(turned.total, 6.0));
        let grown =
            brick().moved([1.0, 0.0, 0.0]).mapped(&[[2.0, 0.0, 0.0], [0.0, 2.0, 0.0], [0.0, 0.0, 2.0]]);
        assert!(near(grown.total, 48.0) && near(grown.first[0], 96.0));
    }

    #[test]
    fn what_is_added_and_taken_away_is_as_before() {
        let hole = brick().moved([3.0, 0.0, 0.0]) * 0.25;
        let again = brick() + hole - hole;
        assert!(
            near(again.total, 6.0)
                && near(again.first[0], 0.0)
                && near(again.second[0][0], brick().second[0][0])
        );
        assert_eq!(Moments::default().centroid(), None);
    }
}
