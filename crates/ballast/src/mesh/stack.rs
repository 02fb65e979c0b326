//! Sections drawn out along the hinge line one behind the other, as one closed skin.
//!
//! Main function: [`Mesh::stacked`], of [`Layer`]s. Where two layers touch, only what one has beyond the other gets a
//! face: the walls of a pocket, the shoulders of a step. So that no gap is left, corners that all but coincide become
//! one, and a side is divided at the corners of its neighbour that lie on it and where two sides cross. Not covered:
//! layers that overlap along the hinge line, which are refused.

use super::extrude::{MOST_CORNERS, PolygonFault, Section, area, cancel};
use super::survey::is_near;
use super::{Mesh, Triangle};
use std::collections::{BTreeMap, BTreeSet};

/// Corners no further apart than this share of the size of the whole are one.
const SAME: f64 = 1e-9;
/// Most rounds in which the sides of neighbours are divided.
const MOST_ROUNDS: usize = 8;

type Point = [f64; 2];
/// A side, by the numbers of its corners.
type Side = (usize, usize);

/// Sections between the same two places along the hinge line.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Layer {
    /// Each of a ring outside and the rings of its holes: corners `[x, z]`, m, either way round.
    pub sections: Vec<Vec<Vec<Point>>>,
    /// Where they begin, y in m.
    pub from_y: f64,
    /// Where they end, y in m.
    pub to_y: f64,
}

impl Mesh {
    /// The closed skin of layers, each beginning where the one before ends, or beyond it.
    ///
    /// # Errors
    /// [`PolygonFault`]: no area, no numbers, rings that cross, layers that overlap.
    pub fn stacked(layers: &[Layer]) -> Result<Self, PolygonFault> {
        let mut stack = Stack::of(layers)?;
        stack.divide();
        let mut triangles = Vec::new();
        for (at, layer) in stack.layers.iter().enumerate() {
            let before = at.checked_sub(1).and_then(|at| stack.layers.get(at));
            if before.is_none_or(|before| !before.touches(layer)) {
                stack.end(layer, layer.from_y, End::Low, &mut triangles)?;
            }
            match stack.layers.get(at + 1).filter(|next| layer.touches(next)) {
                Some(next) => stack.between(layer, next, &mut triangles)?,
                None => stack.end(layer, layer.to_y, End::High, &mut triangles)?,
            }
            stack.walls(layer, &mut triangles);
        }
        Ok(Self::new(triangles))
    }
}

/// Which way a flat end looks along the hinge line.
#[derive(Clone, Copy, PartialEq)]
enum End {
    Low,
    High,
}

/// A layer by the numbers of its corners: every section's outer ring counterclockwise, its holes clockwise.
struct Rings {
    sections: Vec<Vec<Vec<usize>>>,
    from_y: f64,
    to_y: f64,
}

impl Rings {
    fn touches(&self, next: &Self) -> bool {
        next.from_y <= self.to_y
    }
    fn sides(&self) -> impl Iterator<Item = Side> {
        self.sections
            .iter()
            .flatten()
            .flat_map(|ring| ring.iter().copied().zip(ring.iter().copied().cycle().skip(1)).take(ring.len()))
    }
}

/// All layers, with the places of their corners.
struct Stack {
    places: Vec<Point>,
    layers: Vec<Rings>,
    /// Corners no further apart are one, m.
    same: f64,
}

impl Stack {
    fn of(layers: &[Layer]) -> Result<Self, PolygonFault> {
        let corners = || layers.iter().flat_map(|layer| layer.sections.iter().flatten().flatten());
        let ends = layers.iter().flat_map(|layer| [&layer.from_y, &layer.to_y]);
        let are_apart = layers.iter().all(|layer| layer.from_y < layer.to_y);
        let in_order = layers.windows(2).all(|two| two[0].to_y <= two[1].from_y);
        if !(corners().flatten().chain(ends).all(|x| is_near(*x)) && are_apart && in_order) {
            return Err(PolygonFault::Number);
        }
        let size = corners().flatten().fold(0.0_f64, |size, x| size.max(x.abs()));
        let mut pool =
            Pool { same: SAME * size.max(f64::MIN_POSITIVE), near: BTreeMap::new(), places: Vec::new() };
        let mut stack = Vec::with_capacity(layers.len());
        for layer in layers {
            let sections =
                layer.sections.iter().map(|rings| pool.section(rings)).collect::<Result<_, _>>()?;
            stack.push(Rings { sections, from_y: layer.from_y, to_y: layer.to_y });
        }
        Ok(Self { places: pool.places, layers: stack, same: pool.same })
    }

    /// Divides the sides of layers that touch until each has the corners of the other that lie on it.
    fn divide(&mut self) {
        for _ in 0..MOST_ROUNDS {
            let mut is_done = true;
            for at in 1..self.layers.len() {
                if !self.layers[at - 1].touches(&self.layers[at]) {
                    continue;
                }
                let [one, other] = [at - 1, at].map(|at| self.layers[at].sides().collect::<Vec<_>>());
                let (one, other) = (apart(&one, &other), apart(&other, &one));
                let met = self.crossings(&one, &other);
                for (layer, own, theirs) in [(at - 1, &one, &other), (at, &other, &one)] {
                    let mut corners: Vec<usize> = theirs.iter().flat_map(|side| [side.0, side.1]).collect();
                    corners.extend(&met);
                    let cuts: BTreeMap<Side, Vec<usize>> = own
                        .iter()
                        .map(|side| (*side, self.on_side(*side, &corners)))
                        .filter(|(_, cuts)| !cuts.is_empty())
                        .collect();
                    is_done &= cuts.is_empty();
                    self.layers[layer].sections.iter_mut().flatten().for_each(|ring| cut(ring, &cuts));
                }
            }
            if is_done {
                break;
            }
        }
    }
    /// The corners that lie on a side between its ends, in their order.
    fn on_side(&self, (a, b): Side, corners: &[usize]) -> Vec<usize> {
        let (from, to) = (self.places[a], self.places[b]);
        let way = [to[0] - from[0], to[1] - from[1]];
        let length = way[0].hypot(way[1]);
        let mut on: Vec<(f64, usize)> = corners
            .iter()
            .filter(|corner| **corner != a && **corner != b)
            .filter_map(|corner| {
                let [u, v] = self.places[*corner];
                let gap = [u - from[0], v - from[1]];
                let along = (gap[0] * way[0] + gap[1] * way[1]) / length;
                let beside = (gap[0] * way[1] - gap[1] * way[0]) / length;
                (0.0 < along && along < length && beside.abs() <= self.same).then_some((along, *corner))
            })
            .collect();
        on.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        on.dedup_by_key(|(_, corner)| *corner);
        on.into_iter().map(|(_, corner)| corner).collect()
    }
    /// New corners where a side of one layer crosses a side of the other.
    fn crossings(&mut self, one: &[Side], other: &[Side]) -> Vec<usize> {
        let mut met = Vec::new();
        for a in one {
            for b in other {
                let ends = [a.0, a.1, b.0, b.1].map(|corner| self.places[corner]);
                if let Some(place) = crossing(ends, self.same) {
                    met.push(self.places.len());
                    self.places.push(place);
                }
            }
        }
        met
    }

    fn at(&self, corner: usize, y: f64) -> [f64; 3] {
        let [x, z] = self.places[corner];
        [x, y, z]
    }
    fn walls(&self, layer: &Rings, triangles: &mut Vec<Triangle>) {
        for (a, b) in layer.sides() {
            let [low, high] = [layer.from_y, layer.to_y].map(|y| [self.at(a, y), self.at(b, y)]);
            triangles.push([low[0], high[0], high[1]]);
            triangles.push([low[0], high[1], low[1]]);
        }
    }
    fn end(
        &self,
        layer: &Rings,
        y: f64,
        end: End,
        triangles: &mut Vec<Triangle>,
    ) -> Result<(), PolygonFault> {
        layer.sections.iter().try_for_each(|rings| self.face(rings, y, end, triangles))
    }
    /// A flat face of an outer ring counterclockwise and holes clockwise.
    fn face(
        &self,
        rings: &[Vec<usize>],
        y: f64,
        end: End,
        triangles: &mut Vec<Triangle>,
    ) -> Result<(), PolygonFault> {
        let rings: Vec<Vec<Point>> = rings.iter().map(|ring| self.ring(ring)).collect();
        let section = Section::of(&rings)?;
        triangles.extend(section.cap()?.into_iter().map(|[a, b, c]| {
            let [a, b, c] = [a, b, c].map(|corner| [section.points[corner][0], y, section.points[corner][1]]);
            if end == End::Low { [a, b, c] } else { [a, c, b] }
        }));
        Ok(())
    }
    fn ring(&self, ring: &[usize]) -> Vec<Point> {
        ring.iter().map(|corner| self.places[*corner]).collect()
    }
    /// What one of two layers that touch has beyond the other.
    fn between(&self, low: &Rings, high: &Rings, triangles: &mut Vec<Triangle>) -> Result<(), PolygonFault> {
        let mut left: BTreeMap<Side, usize> = BTreeMap::new();
        low.sides().for_each(|side| cancel(&mut left, side));
        high.sides().for_each(|(a, b)| cancel(&mut left, (b, a)));
        let mut loops: Vec<(Vec<usize>, f64)> = loops(left)
            .into_iter()
            .map(|ring| {
                let size = area(&self.ring(&ring));
                (ring, size)
            })
            .collect();
        loops.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
        let mut faces: Vec<(Vec<Vec<usize>>, f64)> = Vec::new();
        for (ring, size) in loops {
            let is_hole_of = |(rings, outer): &(Vec<Vec<usize>>, f64)| {
                outer * size < 0.0 && rings.first().is_some_and(|outer| self.holds(outer, &ring))
            };
            match faces.iter_mut().rev().find(|face| is_hole_of(face)) {
                Some((rings, _)) => rings.push(ring),
                None => faces.push((vec![ring], size)),
            }
        }
        for (rings, size) in faces {
            if size.abs() <= self.same * self.same {
                self.sliver(&rings, low.to_y, triangles);
                continue;
            }
            let end = if 0.0 < size { End::High } else { End::Low };
            self.face(&rings, low.to_y, end, triangles)?;
        }
        Ok(())
    }
    /// A ring without area still needs its edges.
    fn sliver(&self, rings: &[Vec<usize>], y: f64, triangles: &mut Vec<Triangle>) {
        for ring in rings {
            let corners: Vec<_> = ring.iter().map(|corner| self.at(*corner, y)).collect();
            let (Some(first), rest) = (corners.first(), corners.get(1..).unwrap_or_default()) else {
                continue;
            };
            triangles.extend(rest.windows(2).map(|two| [*first, two[1], two[0]]));
        }
    }
    /// Whether a ring lies in another that it does not cross.
    fn holds(&self, outer: &[usize], inner: &[usize]) -> bool {
        let outer_places = self.ring(outer);
        let free = inner.iter().find(|corner| !outer.contains(corner));
        free.is_some_and(|corner| surrounds(&outer_places, self.places[*corner]))
    }
}

/// Corners by where they lie, so that one that is all but there is found.
struct Pool {
    same: f64,
    near: BTreeMap<[i64; 2], usize>,
    places: Vec<Point>,
}

impl Pool {
    fn section(&mut self, rings: &[Vec<Point>]) -> Result<Vec<Vec<usize>>, PolygonFault> {
        let count = rings.iter().map(Vec::len).sum();
        if MOST_CORNERS < count {
            return Err(PolygonFault::TooMany { count });
        }
        let mut section = Vec::with_capacity(rings.len());
        for (at, ring) in rings.iter().enumerate() {
            let mut ring: Vec<usize> = ring.iter().map(|place| self.corner(*place)).collect();
            ring.dedup();
            while 1 < ring.len() && ring.first() == ring.last() {
                ring.pop();
            }
            let places: Vec<Point> = ring.iter().map(|corner| self.places[*corner]).collect();
            let size = area(&places);
            if ring.len() < 3 || size.abs() <= f64::MIN_POSITIVE {
                return Err(PolygonFault::Flat { ring: at + 1 });
            }
            if (at == 0) != (0.0 < size) {
                ring.reverse();
            }
            section.push(ring);
        }
        if section.is_empty() { Err(PolygonFault::Flat { ring: 1 }) } else { Ok(section) }
    }
    fn corner(&mut self, place: Point) -> usize {
        let cell = place.map(|x| cell(x / self.same));
        let beside = (-1..=1).flat_map(|i| (-1..=1).map(move |j| [cell[0] + i, cell[1] + j]));
        if let Some(known) = beside.filter_map(|cell| self.near.get(&cell)).next() {
            return *known;
        }
        let number = self.places.len();
        self.near.insert(cell, number);
        self.places.push(place);
        number
    }
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "a share of a thousand millionth of the largest: within 2e9"
)]
fn cell(x: f64) -> i64 {
    x.floor() as i64
}

/// The sides that another layer does not have, either way round.
fn apart(own: &[Side], theirs: &[Side]) -> Vec<Side> {
    let known: BTreeSet<Side> = theirs.iter().flat_map(|(a, b)| [(*a, *b), (*b, *a)]).collect();
    own.iter().copied().filter(|side| !known.contains(side)).collect()
}

fn cut(ring: &mut Vec<usize>, cuts: &BTreeMap<Side, Vec<usize>>) {
    let next: Vec<usize> = ring.iter().copied().cycle().skip(1).take(ring.len()).collect();
    let with = |(a, b): (usize, usize)| {
        std::iter::once(a).chain(cuts.get(&(a, b)).into_iter().flatten().copied()).collect::<Vec<_>>()
    };
    *ring = ring.iter().copied().zip(next).flat_map(with).collect();
}

/// Where two sides cross away from their ends.
fn crossing([a, b, c, d]: [Point; 4], same: f64) -> Option<Point> {
    let minus = |p: Point, q: Point| [p[0] - q[0], p[1] - q[1]];
    let cross = |p: Point, q: Point| p[0] * q[1] - p[1] * q[0];
    let (one, other, gap) = (minus(b, a), minus(d, c), minus(c, a));
    let turn = cross(one, other);
    let (s, t) = (cross(gap, other) / turn, cross(gap, one) / turn);
    let is_inside = |share: f64, way: Point| {
        let length = way[0].hypot(way[1]);
        same < share * length && same < (1.0 - share) * length
    };
    (is_inside(s, one) && is_inside(t, other)).then(|| [a[0] + s * one[0], a[1] + s * one[1]])
}

/// Rings that pass no corner twice, of sides of which as many leave every corner as come.
fn loops(mut left: BTreeMap<Side, usize>) -> Vec<Vec<usize>> {
    let mut loops = Vec::new();
    while let Some((&(first, _), _)) = left.first_key_value() {
        let mut path = vec![first];
        while let Some(last) = path.last().copied() {
            let Some((&side, _)) = left.range((last, 0)..=(last, usize::MAX)).next() else { break };
            match left.get_mut(&side) {
                Some(count) if 1 < *count => *count -= 1,
                _ => drop(left.remove(&side)),
            }
            match path.iter().position(|corner| *corner == side.1) {
                Some(start) => {
                    loops.push(path.split_off(start));
                    path.push(side.1);
                }
                None => path.push(side.1),
            }
        }
    }
    loops
}

fn surrounds(ring: &[Point], [u, v]: Point) -> bool {
    let sides = ring.iter().zip(ring.iter().cycle().skip(1));
    let met = sides
        .filter(|(a, b)| (a[1] <= v) != (b[1] <= v) && u < a[0] + (v - a[1]) / (b[1] - a[1]) * (b[0] - a[0]));
    met.count() % 2 == 1
}
