//! Plane outlines with holes, drawn out along the hinge line to a closed surface.
//!
//! Main function: [`Mesh::extruded`], of one section; [`Mesh::stacked`] takes several. The ends are cut into triangles by ear cutting (crate `earcut`). It leaves out
//! corners that come to lie on a straight line; the flat triangles that then lack are added, so that every edge has its
//! opposite. Not covered: outlines that cross themselves or one another, which are refused where the area shows it.

use super::{FURTHEST_M, Layer, Mesh};
use earcut::Earcut;
use std::collections::BTreeMap;

/// Most corners of an outline with its holes.
pub(super) const MOST_CORNERS: usize = 20_000;
/// Largest difference between the area of the outline and of its triangles, as a share.
const AREA_TOLERANCE: f64 = 1e-9;

/// Why outlines give no body.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum PolygonFault {
    /// A ring of less than three different corners or without area.
    #[error("ring {ring} has no area; allowed: three corners or more that do not lie on one line")]
    Flat {
        /// The ring, from 1 for the outer one.
        ring: usize,
    },
    /// A coordinate is no number or too far out, or the ends are not apart, or sections overlap along the hinge line.
    #[error(
        "a coordinate is no number or too far out, or the ends are not apart; allowed: up to {FURTHEST_M} m \
         from the origin, the first end before the second, one section after the other"
    )]
    Number,
    /// More corners than the program takes.
    #[error("the outline has {count} corners; allowed: up to {MOST_CORNERS}")]
    TooMany {
        /// Corners of all rings.
        count: usize,
    },
    /// The rings cross, or a hole lies outside.
    #[error(
        "the rings cross, or a hole lies outside the outer ring; allowed: rings that do not meet, holes inside"
    )]
    Crossing,
}

type Point = [f64; 2];

impl Mesh {
    /// An outline in the plane of x and z (corners `[x, z]`, m; the first ring outside, the others holes, each either
    /// way round) drawn out from y = `from_y` to y = `to_y`, m.
    ///
    /// # Errors
    /// [`PolygonFault`]: no area, no numbers, rings that cross.
    pub fn extruded(rings: &[Vec<Point>], from_y: f64, to_y: f64) -> Result<Self, PolygonFault> {
        Self::stacked(&[Layer { sections: vec![rings.to_vec()], from_y, to_y }])
    }
}

/// Rings one after the other, the outer one counterclockwise and the holes clockwise.
pub(super) struct Section {
    pub(super) points: Vec<Point>,
    /// Where each ring begins, and the end of the last.
    starts: Vec<usize>,
}

impl Section {
    pub(super) fn of(rings: &[Vec<Point>]) -> Result<Self, PolygonFault> {
        let mut section = Self { points: Vec::new(), starts: vec![0] };
        for (at, ring) in rings.iter().enumerate() {
            let mut ring = without_repeats(ring);
            let area = area(&ring);
            if ring.len() < 3 || area.abs() <= f64::MIN_POSITIVE {
                return Err(PolygonFault::Flat { ring: at + 1 });
            }
            if (at == 0) != (0.0 < area) {
                ring.reverse();
            }
            section.points.extend(ring);
            section.starts.push(section.points.len());
        }
        if section.points.is_empty() { Err(PolygonFault::Flat { ring: 1 }) } else { Ok(section) }
    }
    /// The sides of all rings, from corner to corner.
    fn sides(&self) -> impl Iterator<Item = (usize, usize)> {
        let rings = self.starts.iter().zip(self.starts.iter().skip(1));
        rings.flat_map(|(start, end)| {
            (*start..*end).map(move |corner| (corner, if corner + 1 == *end { *start } else { corner + 1 }))
        })
    }
    /// The section in triangles, counterclockwise, whose outer edges are the sides exactly.
    pub(super) fn cap(&self) -> Result<Vec<[usize; 3]>, PolygonFault> {
        let holes = self.starts.get(1..self.starts.len() - 1).unwrap_or_default();
        let mut cut: Vec<usize> = Vec::new();
        Earcut::new().earcut(self.points.iter().copied(), holes, &mut cut);
        let mut faces: Vec<[usize; 3]> = cut.as_chunks::<3>().0.to_vec();
        if self.area_of(&faces) < 0.0 {
            faces.iter_mut().for_each(|face| face.swap(1, 2));
        }
        faces.extend(self.flat_faces(&faces));
        let whole: f64 = self.rings().map(area).sum();
        let size: f64 = faces.iter().map(|face| self.area_of(&[*face]).abs()).sum();
        let is_whole = (size - whole).abs() <= AREA_TOLERANCE * whole;
        if is_whole { Ok(faces) } else { Err(PolygonFault::Crossing) }
    }
    fn rings(&self) -> impl Iterator<Item = &[Point]> {
        let rings = self.starts.iter().zip(self.starts.iter().skip(1));
        rings.filter_map(|(start, end)| self.points.get(*start..*end))
    }
    fn area_of(&self, faces: &[[usize; 3]]) -> f64 {
        faces.iter().map(|face| area(&face.map(|corner| self.points[corner]))).sum()
    }
    /// Triangles without area between corners on one line, for the edges that lack their opposite.
    fn flat_faces(&self, faces: &[[usize; 3]]) -> Vec<[usize; 3]> {
        let mut lacking: BTreeMap<(usize, usize), usize> = BTreeMap::new();
        for [a, b, c] in faces {
            [(*a, *b), (*b, *c), (*c, *a)].into_iter().for_each(|edge| cancel(&mut lacking, edge));
        }
        self.sides().for_each(|(a, b)| cancel(&mut lacking, (b, a)));
        let mut flat = Vec::new();
        while let Some((&(first, mut last), _)) = lacking.first_key_value() {
            cancel(&mut lacking, (last, first));
            while last != first {
                let Some((&(_, next), _)) = lacking.range((last, 0)..=(last, usize::MAX)).next() else {
                    break;
                };
                cancel(&mut lacking, (next, last));
                if next != first {
                    flat.push([first, next, last]);
                }
                last = next;
            }
        }
        flat
    }
}

/// Strikes out an edge against its opposite, or keeps it until that comes.
pub(super) fn cancel(edges: &mut BTreeMap<(usize, usize), usize>, (from, to): (usize, usize)) {
    match edges.get_mut(&(to, from)) {
        Some(1) => drop(edges.remove(&(to, from))),
        Some(count) => *count -= 1,
        None => *edges.entry((from, to)).or_default() += 1,
    }
}

/// The ring without corners that repeat the one before.
fn without_repeats(ring: &[Point]) -> Vec<Point> {
    let mut points = ring.to_vec();
    points.dedup();
    while 1 < points.len() && points.first() == points.last() {
        points.pop();
    }
    points
}

/// The area inside a ring, m², positive counterclockwise; seen from its first corner, to lose no digits.
pub(super) fn area(ring: &[Point]) -> f64 {
    let Some(first) = ring.first() else { return 0.0 };
    let from = |point: &Point| [point[0] - first[0], point[1] - first[1]];
    let sides = ring.windows(2).map(|side| (from(&side[0]), from(&side[1])));
    0.5 * sides.map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum::<f64>()
}
