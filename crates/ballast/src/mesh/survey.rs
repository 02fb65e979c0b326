//! One pass over the triangles: bounds, faults of single triangles and the sum over directed edges that is zero for a
//! closed surface; and the pass that sums the moments.
//!
//! Main type: [`Survey`]. Blocks have a fixed size and are joined in their order, so the bits do not depend on how many
//! threads there are.

use super::{FURTHEST_M, Triangle};
use crate::vector::{cross, dot, sub};
use crate::{Moments, Vector};
use rayon::prelude::*;
use std::cmp::Ordering;

/// Triangles in a block: 288 KiB, which stays in the cache between its steps.
pub(super) const BLOCK: usize = 4096;

/// What one pass over triangles shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Survey {
    /// Sum over the directed edges: zero for a closed surface turned one way.
    pub(super) seam: u64,
    /// Lowest and highest coordinates, m.
    pub(super) low: Vector,
    pub(super) high: Vector,
    /// Triangles with two corners at one place.
    pub(super) collapsed: usize,
    /// Triangles with a coordinate that is no number or too far out.
    pub(super) astray: usize,
}

impl Survey {
    const NONE: Self =
        Self { seam: 0, low: [f64::INFINITY; 3], high: [f64::NEG_INFINITY; 3], collapsed: 0, astray: 0 };

    pub(super) fn of(triangles: &[Triangle]) -> Self {
        Self::joined(&triangles.par_chunks(BLOCK).map(Self::of_block).collect::<Vec<_>>())
    }
    pub(super) fn of_block(block: &[Triangle]) -> Self {
        block.iter().fold(Self::NONE, |survey, triangle| survey.with(triangle))
    }
    pub(super) fn joined(blocks: &[Self]) -> Self {
        blocks.iter().fold(Self::NONE, |a, b| Self {
            seam: a.seam.wrapping_add(b.seam),
            low: std::array::from_fn(|i| a.low[i].min(b.low[i])),
            high: std::array::from_fn(|i| a.high[i].max(b.high[i])),
            collapsed: a.collapsed + b.collapsed,
            astray: a.astray + b.astray,
        })
    }
    /// The middle of the bounds, m; none without triangles.
    pub(super) fn middle(&self) -> Option<Vector> {
        (self.low[0] <= self.high[0])
            .then(|| std::array::from_fn(|i| f64::midpoint(self.low[i], self.high[i])))
    }
    /// The longest side of the bounds, m.
    pub(super) fn longest(&self) -> f64 {
        (0..3).map(|i| self.high[i] - self.low[i]).fold(0.0, f64::max)
    }
    fn with(mut self, triangle: &Triangle) -> Self {
        let [a, b, c] = triangle.map(hash);
        let seam = edge(a, b).wrapping_add(edge(b, c)).wrapping_add(edge(c, a));
        self.seam = self.seam.wrapping_add(seam);
        self.collapsed += usize::from(a == b || b == c || c == a);
        self.astray += usize::from(is_astray(triangle));
        for corner in triangle {
            self.low = std::array::from_fn(|i| self.low[i].min(corner[i]));
            self.high = std::array::from_fn(|i| self.high[i].max(corner[i]));
        }
        self
    }
}

/// Lowest and highest coordinates, m; none without triangles.
pub(super) fn bounds(triangles: &[Triangle]) -> Option<[Vector; 2]> {
    let corners = triangles.as_flattened();
    let first = [*corners.first()?; 2];
    let around = |[low, high]: [Vector; 2], [from, to]: [Vector; 2]| -> [Vector; 2] {
        [std::array::from_fn(|i| low[i].min(from[i])), std::array::from_fn(|i| high[i].max(to[i]))]
    };
    let blocks = corners.par_chunks(3 * BLOCK);
    let of_block = |block: &[Vector]| block.iter().fold(first, |bounds, corner| around(bounds, [*corner; 2]));
    Some(blocks.map(of_block).reduce(|| first, around))
}

/// Whether two corners are at one place.
pub(super) fn is_collapsed(triangle: &Triangle) -> bool {
    let [a, b, c] = triangle.map(hash);
    a == b || b == c || c == a
}

/// Whether a coordinate is no number or too far out.
pub(super) fn is_astray(triangle: &Triangle) -> bool {
    !triangle.as_flattened().iter().all(|x| is_near(*x))
}

/// Whether a coordinate is a number and not too far out.
pub(super) fn is_near(x: f64) -> bool {
    x.abs() <= FURTHEST_M
}

/// The moments about a point, as seen from that point.
pub(super) fn moments_about(triangles: &[Triangle], point: Vector) -> Moments {
    let blocks: Vec<[f64; 10]> = triangles.par_chunks(BLOCK).map(|block| sums(block, point)).collect();
    let mut all = [0.0; 10];
    blocks.iter().for_each(|block| add(&mut all, block));
    let [v, x, y, z, xx, yy, zz, xy, yz, zx] = all;
    let second = [[xx, xy, zx], [xy, yy, yz], [zx, yz, zz]];
    Moments {
        total: v / 6.0,
        first: [x, y, z].map(|m| m / 24.0),
        second: second.map(|row| row.map(|m| m / 120.0)),
    }
}

/// Sums over the tetrahedra of a block of d, d s and d (ss + aa + bb + cc), d six times the volume.
fn sums(block: &[Triangle], point: Vector) -> [f64; 10] {
    let mut sums = [0.0; 10];
    for triangle in block {
        let [a, b, c] = triangle.map(|corner| sub(corner, point));
        let d = dot(a, cross(b, c));
        let s: Vector = std::array::from_fn(|i| a[i] + b[i] + c[i]);
        let of = |i: usize, j: usize| d * (s[i] * s[j] + a[i] * a[j] + b[i] * b[j] + c[i] * c[j]);
        let terms = [d, d * s[0], d * s[1], d * s[2]];
        let products = [of(0, 0), of(1, 1), of(2, 2), of(0, 1), of(1, 2), of(2, 0)];
        for (sum, term) in sums.iter_mut().zip(terms.into_iter().chain(products)) {
            *sum += term;
        }
    }
    sums
}

fn add(all: &mut [f64; 10], block: &[f64; 10]) {
    all.iter_mut().zip(block).for_each(|(sum, term)| *sum += term);
}

/// A hash of a place by its exact coordinates; minus zero is zero.
pub(super) fn hash(corner: Vector) -> u64 {
    let [x, y, z] = corner.map(|x| (x + 0.0).to_bits());
    fold(fold(x ^ 0x9E37_79B9_7F4A_7C15, y ^ 0xD1B5_4A32_D192_ED03) ^ z, 0xABC9_8388_FB8F_AC03)
}

/// How many faces are there once more, turned alike, and the first of these; none where every face is there once. By
/// hashes of 64 bits: of 5 million faces two differ and look alike once in a million files.
pub(super) fn doubled(triangles: &[Triangle]) -> Option<(usize, Triangle)> {
    let mut keys: Vec<u64> = triangles.par_iter().map(face).collect();
    keys.par_sort_unstable();
    let mut alike = keys.windows(2).filter(|two| two[0] == two[1]).map(|two| two[0]);
    let first = alike.next()?;
    let at = triangles.iter().find(|triangle| face(triangle) == first)?;
    Some((1 + alike.count(), *at))
}

/// A hash of a face that is the same from whichever corner it begins; the same face turned the other way has another.
fn face(triangle: &Triangle) -> u64 {
    let mut corners = triangle.map(hash);
    while corners[0] != corners[0].min(corners[1]).min(corners[2]) {
        corners.rotate_left(1);
    }
    let [a, b, c] = corners;
    fold(fold(a ^ 0x9E37_79B9_7F4A_7C15, b ^ 0xD1B5_4A32_D192_ED03) ^ c, 0xABC9_8388_FB8F_AC03)
}

/// What a directed edge adds to the sum: the opposite direction takes the same off.
fn edge(a: u64, b: u64) -> u64 {
    let low = a.min(b) ^ 0x8CB9_2BA7_2F3D_8DD7;
    let high = a.max(b).rotate_left(32) ^ 0xAEF1_7502_108E_F2D9;
    let value = fold(fold(low, high), 0xF135_7AEA_2E62_A9C5);
    match a.cmp(&b) {
        Ordering::Less => value,
        Ordering::Equal => 0,
        Ordering::Greater => value.wrapping_neg(),
    }
}

/// The two halves of a product, folded together.
fn fold(a: u64, b: u64) -> u64 {
    let (low, high) = a.carrying_mul(b, 0);
    low ^ high
}
