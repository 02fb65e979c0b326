//! The separate bodies and cavities of a mesh: what hangs together by common corners.
//!
//! Main type: [`Piece`]. Corners are the same where their hashes of 64 bits are.

use super::diagnose::Groups;
use super::survey::hash;
use super::{Mesh, MeshFault, MeshNote, Triangle};
use crate::{Moments, Vector};
use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

/// Most separate surfaces that a body from a file may have.
pub const MOST_PIECES: usize = 1000;

/// One of several surfaces that have no corner in common.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Piece {
    /// Its triangles.
    pub triangles: usize,
    /// Its moments (m³, m⁴, m⁵): negative for a cavity, and for a body that is inside out among others.
    pub moments: Moments,
    /// Lowest and highest coordinates, m.
    pub bounds: [Vector; 2],
}

impl Mesh {
    /// The separate surfaces, in the order of their first triangles.
    #[must_use]
    pub fn pieces(&self) -> Vec<Piece> {
        let (of, count) = surfaces(&self.triangles);
        let mut surfaces: Vec<Vec<Triangle>> = vec![Vec::new(); count];
        for (surface, triangle) in of.iter().zip(&self.triangles) {
            surfaces[*surface].push(*triangle);
        }
        surfaces.into_iter().filter_map(|triangles| piece(Self::new(triangles))).collect()
    }
}

fn piece(mesh: Mesh) -> Option<Piece> {
    let bounds = mesh.bounds()?;
    Some(Piece { triangles: mesh.triangles.len(), moments: mesh.moments(), bounds })
}

/// Whether the separate surfaces make sense: every one turned inwards lies within the bounds of one turned outwards.
pub(super) fn check(mesh: &Mesh, count: usize, unit_m: f64) -> Result<Option<MeshNote>, MeshFault> {
    if count <= 1 {
        return Ok(None);
    }
    if MOST_PIECES < count {
        return Err(MeshFault::Pieces { count });
    }
    let (bodies, cavities): (Vec<Piece>, Vec<Piece>) =
        mesh.pieces().into_iter().partition(|piece| 0.0 <= piece.moments.total);
    let is_inside = |cavity: &Piece| bodies.iter().any(|body| encloses(&body.bounds, &cavity.bounds));
    if let Some(stray) = cavities.iter().find(|cavity| !is_inside(cavity)) {
        let at = std::array::from_fn(|i| f64::midpoint(stray.bounds[0][i], stray.bounds[1][i]) / unit_m);
        return Err(MeshFault::InsideOut { count, at });
    }
    Ok(Some(MeshNote::Several { bodies: bodies.len(), cavities: cavities.len() }))
}

fn encloses(outer: &[Vector; 2], inner: &[Vector; 2]) -> bool {
    (0..3).all(|i| outer[0][i] <= inner[0][i] && inner[1][i] <= outer[1][i])
}

/// How many separate surfaces there are.
pub(super) fn count(triangles: &[Triangle]) -> usize {
    joined(triangles).count
}

/// The number of its surface for each triangle, and how many surfaces there are.
fn surfaces(triangles: &[Triangle]) -> (Vec<usize>, usize) {
    let mut groups = joined(triangles);
    let mut numbers: Vec<usize> = (0..triangles.len()).map(|at| groups.root(at).0).collect();
    let mut next = 0;
    // The root is the lowest of its group, so its number is known before the others ask.
    for at in 0..numbers.len() {
        let root = numbers[at];
        numbers[at] = if root == at { next } else { numbers[root] };
        next += usize::from(root == at);
    }
    (numbers, next)
}

/// Corners that are remembered at once: 192 KiB, which stays in the cache.
const REMEMBERED: u64 = 1 << 13;

/// Triangles grouped by common corners. Most corners were met a short while before, so
/// that a small memory joins most triangles; only corners it did not know go through the map, and only where it left
/// more than one group.
fn joined(triangles: &[Triangle]) -> Groups {
    let mut groups = Groups::new(triangles.len());
    let mut recent = vec![None; usize::try_from(REMEMBERED).unwrap_or_default()];
    let mut unknown: Vec<(u64, usize)> = Vec::with_capacity(triangles.len());
    for (at, triangle) in triangles.iter().enumerate() {
        for corner in triangle.map(hash) {
            let slot = &mut recent[usize::try_from(corner % REMEMBERED).unwrap_or_default()];
            match slot.replace((corner, at)) {
                Some((known, before)) if known == corner => groups.join(at, before, 0),
                _ => unknown.push((corner, at)),
            }
        }
    }
    if 1 < groups.count {
        let mut firsts: HashMap<u64, usize, BuildHasherDefault<AsItIs>> = HashMap::default();
        for (corner, at) in unknown {
            let first = *firsts.entry(corner).or_insert(at);
            groups.join(at, first, 0);
        }
    }
    groups
}

/// The keys are hashes already.
#[derive(Default)]
struct AsItIs(u64);

impl Hasher for AsItIs {
    fn finish(&self) -> u64 {
        self.0
    }
    fn write(&mut self, bytes: &[u8]) {
        bytes.iter().for_each(|byte| self.0 = self.0.rotate_left(8) ^ u64::from(*byte));
    }
    fn write_u64(&mut self, key: u64) {
        self.0 = key;
    }
}
