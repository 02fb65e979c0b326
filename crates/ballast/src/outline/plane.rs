//! Area, centroid and second moments of a plane figure in the section plane, u aft and v up, as moments that add.
//!
//! Main types: [`PlaneMoments`], and [`Surface`] for what lies on the outside of a body. Source: the definitions.

use std::iter::Sum;
use std::ops::{Add, Neg, Sub};

use crate::{Moments, Vector};

/// A point of the section plane: aft and up, m.
pub type Point = [f64; 2];

/// The moments of a plane figure about the origin of its plane.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PlaneMoments {
    /// ∫dA, m².
    pub area: f64,
    /// ∫u dA and ∫v dA, m³.
    pub first: Point,
    /// ∫uᵢuⱼ dA, m⁴. Symmetric.
    pub second: [Point; 2],
}

impl PlaneMoments {
    /// The moments of a figure whose centroid is the origin, with its second moments along the axes (m⁴) and no
    /// product.
    pub(crate) fn centred(area: f64, second: Point) -> Self {
        Self { area, first: [0.0; 2], second: [[second[0], 0.0], [0.0, second[1]]] }
    }
    /// The centroid, m; none for a figure of no area.
    #[must_use]
    pub fn centroid(&self) -> Option<Point> {
        let place = self.first.map(|moment| moment / self.area);
        place.iter().all(|x| x.is_finite()).then_some(place)
    }
    /// The same figure moved by a displacement, m.
    #[must_use]
    pub fn moved(&self, by: Point) -> Self {
        let Self { area, first, second } = *self;
        let shifted =
            |i: usize, j: usize| second[i][j] + first[i] * by[j] + by[i] * first[j] + area * by[i] * by[j];
        let product = shifted(0, 1);
        Self {
            area,
            first: [first[0] + area * by[0], first[1] + area * by[1]],
            second: [[shifted(0, 0), product], [product, shifted(1, 1)]],
        }
    }
    /// The body that has this section everywhere between two places along the hinge line, m, in either order: u
    /// becomes x and v becomes z.
    #[must_use]
    pub fn extruded(&self, from_y: f64, to_y: f64) -> Moments {
        let (low, high) = (from_y.min(to_y), from_y.max(to_y));
        let length = high - low;
        let middle = 0.5 * (low + high);
        let square = length * (middle * middle + length * length / 12.0);
        let [[uu, uv], [_, vv]] = self.second;
        let [u, v] = self.first;
        let along = length * middle;
        Moments {
            total: self.area * length,
            first: [u * length, self.area * along, v * length],
            second: [
                [uu * length, u * along, uv * length],
                [u * along, self.area * square, v * along],
                [uv * length, v * along, vv * length],
            ],
        }
    }
}

impl Add for PlaneMoments {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        let [[a, b], [c, d]] = self.second;
        let [[e, f], [g, h]] = other.second;
        Self {
            area: self.area + other.area,
            first: [self.first[0] + other.first[0], self.first[1] + other.first[1]],
            second: [[a + e, b + f], [c + g, d + h]],
        }
    }
}
impl Neg for PlaneMoments {
    type Output = Self;
    fn neg(self) -> Self {
        Self {
            area: -self.area,
            first: self.first.map(|x| -x),
            second: self.second.map(|row| row.map(|x| -x)),
        }
    }
}
impl Sub for PlaneMoments {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self + -other
    }
}

impl Sum for PlaneMoments {
    fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
        parts.fold(Self::default(), Add::add)
    }
}

/// The length of a line in the section plane and its first moment, ∫u ds and ∫v ds.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Rim {
    /// ∫ds, m.
    pub length: f64,
    /// ∫u ds and ∫v ds, m².
    pub first: Point,
}

impl Add for Rim {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            length: self.length + other.length,
            first: [self.first[0] + other.first[0], self.first[1] + other.first[1]],
        }
    }
}

/// A surface and its first moments: times a thickness it is the volume of a coat or of a skin taken off.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Surface {
    /// ∫dS, m².
    pub area: f64,
    /// ∫x dS, ∫y dS and ∫z dS, m³.
    pub first: Vector,
}

impl Surface {
    /// The centroid of the surface, m; none where there is none.
    #[must_use]
    pub fn centroid(&self) -> Option<Vector> {
        let place = self.first.map(|moment| moment / self.area);
        place.iter().all(|x| x.is_finite()).then_some(place)
    }
}

impl Add for Surface {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        let [x, y, z] = other.first;
        Self {
            area: self.area + other.area,
            first: [self.first[0] + x, self.first[1] + y, self.first[2] + z],
        }
    }
}

/// The outside of an extruded body.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Skin {
    /// Along the outer rim; the walls of holes are no part of it.
    pub sides: Surface,
    /// The two flat ends, the one of the smaller y first.
    pub ends: [Surface; 2],
}

impl Skin {
    /// Sides and ends together.
    #[must_use]
    pub fn whole(&self) -> Surface {
        self.sides + self.ends[0] + self.ends[1]
    }
}
