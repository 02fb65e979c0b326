//! The slow look at a surface that does not close: which edges are open, turned or crowded, and whether corners that lie
//! almost at one place along the gaps explain it.
//!
//! Main function: [`mended`]. Sorted lists, so the same mesh gives the same answer.

use super::survey::Survey;
use super::{Mesh, MeshNote, Seams, Triangle};
use crate::Vector;
use rayon::prelude::*;
use std::cmp::Ordering;

/// Corners along a gap are taken for one where they lie closer than this share of the longest side ...
const GAP_OF_SIZE: f64 = 1e-6;
/// ... and this share of the largest coordinate: two steps of a 32-bit number.
const GAP_OF_COORDINATE: f64 = 2.4e-7;

/// Closes gaps far below what a shop can measure; what is wrong with the edges where that does not help.
pub(super) fn mended(mesh: Mesh, survey: &Survey) -> Result<(Mesh, MeshNote), Seams> {
    let largest = survey.low.iter().chain(&survey.high).fold(0.0f64, |most, x| most.max(x.abs()));
    let within_m = GAP_OF_SIZE * survey.longest() + GAP_OF_COORDINATE * largest;
    let welded = Welded::of(&mesh.triangles);
    let edges = welded.edges();
    let near = welded.nearest(&loose(&edges), within_m);
    let corners = near.iter().enumerate().filter(|(point, to)| point != *to).count();
    if corners == 0 {
        return Err(welded.seams(&edges));
    }
    let joined = welded.joined(&near);
    if Survey::of(&joined).seam == 0 && !joined.is_empty() {
        return Ok((Mesh::new(joined), MeshNote::Merged { corners, within_m }));
    }
    let welded = Welded::of(&joined);
    Err(welded.seams(&welded.edges()))
}

/// Triangles that know which of their corners are the same place.
pub(super) struct Welded {
    pub(super) points: Vec<Vector>,
    pub(super) faces: Vec<[usize; 3]>,
}

/// A side of a face, kept from the lower point to the higher.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Edge {
    ends: [usize; 2],
    direction: Direction,
    face: usize,
}

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Direction {
    Upwards,
    Downwards,
}

impl Welded {
    pub(super) fn of(triangles: &[Triangle]) -> Self {
        let corners = triangles.as_flattened();
        let mut order: Vec<usize> = (0..corners.len()).collect();
        order.par_sort_unstable_by(|a, b| compare(&corners[*a], &corners[*b]));
        let mut points: Vec<Vector> = Vec::new();
        let mut faces = vec![[0; 3]; triangles.len()];
        for corner in order {
            if points.last().is_none_or(|last| compare(last, &corners[corner]).is_ne()) {
                points.push(corners[corner]);
            }
            faces.as_flattened_mut()[corner] = points.len() - 1;
        }
        Self { points, faces }
    }
    fn edges(&self) -> Vec<Edge> {
        let sides = |(face, [a, b, c]): (usize, &[usize; 3])| {
            [(*a, *b), (*b, *c), (*c, *a)].map(|(from, to)| Edge {
                ends: [from.min(to), from.max(to)],
                direction: if from < to { Direction::Upwards } else { Direction::Downwards },
                face,
            })
        };
        let mut edges: Vec<Edge> = self.faces.iter().enumerate().flat_map(sides).collect();
        edges.retain(|edge| edge.ends[0] != edge.ends[1]);
        edges.par_sort_unstable();
        edges
    }
    /// For each point the one it is taken for: itself, or a lower one close to it if it is in the list.
    fn nearest(&self, list: &[usize], within: f64) -> Vec<usize> {
        let mut groups = Groups::new(self.points.len());
        let mut cells: Vec<(Vector, usize)> =
            list.iter().map(|point| (self.points[*point].map(|x| (x / within).floor()), *point)).collect();
        cells.sort_unstable_by(|a, b| compare(&a.0, &b.0).then(a.1.cmp(&b.1)));
        let mut firsts: Vec<(Vector, usize)> = Vec::new();
        for cell in cells {
            match firsts.last() {
                Some((place, first)) if compare(place, &cell.0).is_eq() => groups.join(*first, cell.1, 0),
                _ => firsts.push(cell),
            }
        }
        for (place, first) in &firsts {
            for step in neighbours() {
                let beside: Vector = std::array::from_fn(|i| place[i] + step[i]);
                if let Ok(at) = firsts.binary_search_by(|(cell, _)| compare(cell, &beside)) {
                    groups.join(*first, firsts[at].1, 0);
                }
            }
        }
        (0..self.points.len()).map(|point| groups.root(point).0).collect()
    }
    /// The triangles with each point put where the other one is; those that lose a side are left out.
    fn joined(&self, near: &[usize]) -> Vec<Triangle> {
        let faces = self.faces.iter().map(|face| face.map(|point| near[point]));
        faces
            .filter(|[a, b, c]| a != b && b != c && c != a)
            .map(|face| face.map(|point| self.points[point]))
            .collect()
    }
    fn seams(&self, edges: &[Edge]) -> Seams {
        let (mut open, mut turned, mut crowded) = (Vec::new(), Vec::new(), Vec::new());
        let mut groups = Groups::new(self.faces.len());
        for sides in edges.chunk_by(|a, b| a.ends == b.ends) {
            let upwards = sides.iter().filter(|edge| edge.direction == Direction::Upwards).count();
            match sides {
                [one] => open.push(one.ends),
                [a, b] if a.direction == b.direction => {
                    turned.push(a.ends);
                    groups.join(a.face, b.face, 1);
                }
                [a, b] => groups.join(a.face, b.face, 0),
                [a, ..] if 2 * upwards != sides.len() => crowded.push(a.ends),
                _ => {}
            }
        }
        let faces = groups.fewer_turned();
        Seams {
            open_edges: open.len(),
            turned_faces: if turned.is_empty() { 0 } else { faces.max(1) },
            crowded_edges: crowded.len(),
            at: self.middle(open.first().or(crowded.first()).or(turned.first())),
        }
    }
    fn middle(&self, ends: Option<&[usize; 2]>) -> Vector {
        ends.map_or([0.0; 3], |[a, b]| {
            std::array::from_fn(|i| f64::midpoint(self.points[*a][i], self.points[*b][i]))
        })
    }
}

/// The points at edges whose directions do not cancel, each once, in order.
fn loose(edges: &[Edge]) -> Vec<usize> {
    let is_loose = |sides: &&[Edge]| {
        2 * sides.iter().filter(|edge| edge.direction == Direction::Upwards).count() != sides.len()
    };
    let sides = edges.chunk_by(|a, b| a.ends == b.ends).filter(is_loose);
    let mut points: Vec<usize> = sides.filter_map(<[Edge]>::first).flat_map(|edge| edge.ends).collect();
    points.sort_unstable();
    points.dedup();
    points
}

/// Half of the 26 cells around a cell: the others find it in turn.
fn neighbours() -> impl Iterator<Item = Vector> {
    let steps = [-1.0, 0.0, 1.0];
    let all =
        steps.into_iter().flat_map(move |x| steps.into_iter().flat_map(move |y| steps.map(|z| [x, y, z])));
    all.filter(|step| compare(step, &[0.0; 3]).is_gt())
}

/// By x, then y, then z; minus zero is zero.
fn compare(a: &Vector, b: &Vector) -> Ordering {
    let by = |i: usize| (a[i] + 0.0).total_cmp(&(b[i] + 0.0));
    by(0).then_with(|| by(1)).then_with(|| by(2))
}

/// Things that belong together, each with a parity against the lowest of its group.
pub(super) struct Groups {
    parents: Vec<(usize, u8)>,
    /// How many groups there are.
    pub(super) count: usize,
}

impl Groups {
    pub(super) fn new(count: usize) -> Self {
        Self { parents: (0..count).map(|thing| (thing, 0)).collect(), count }
    }
    /// The lowest of the group and the parity against it.
    pub(super) fn root(&mut self, thing: usize) -> (usize, u8) {
        let (mut at, mut parity) = (thing, 0);
        while self.parents[at].0 != at {
            let (parent, step) = self.parents[at];
            let (above, more) = self.parents[parent];
            self.parents[at] = (above, step ^ more);
            parity ^= step ^ more;
            at = above;
        }
        (at, parity)
    }
    pub(super) fn join(&mut self, a: usize, b: usize, parity: u8) {
        if self.parents[a].0 == self.parents[b].0 {
            return;
        }
        let ((a, of_a), (b, of_b)) = (self.root(a), self.root(b));
        let (low, high) = (a.min(b), a.max(b));
        if low != high {
            self.parents[high] = (low, of_a ^ of_b ^ parity);
            self.count -= 1;
        }
    }
    /// In each group those of one parity or of the other, whichever are fewer; over all groups.
    fn fewer_turned(&mut self) -> usize {
        let mut counts = vec![[0usize; 2]; self.parents.len()];
        for thing in 0..self.parents.len() {
            let (root, parity) = self.root(thing);
            counts[root][usize::from(parity)] += 1;
        }
        counts.iter().map(|[alike, turned]| alike.min(turned)).sum()
    }
}
