//! Where a straight line parallel to an axis meets an outline, and how far an outline reaches from the hinge line.
//!
//! Main functions: [`crossings`], [`swing`]. Closed forms for lines, arcs and parabolas; the reach of ellipses and
//! parabolas by search. Not covered: lines that only touch a corner may be counted once.

use std::f64::consts::TAU;

use crate::outline::{Edge, Outline, Path, Point};

/// Samples along an edge in search of its furthest point.
const SAMPLES: u32 = 64;
/// Places nearer than this, m, are one.
const SAME_M: f64 = 1e-12;

/// The places, along the other axis and in rising order, where the coordinate of an axis (0: aft, 1: up) has a level.
pub(super) fn crossings(outline: &Outline, axis: usize, level: f64) -> Vec<f64> {
    let paths = std::iter::once(outline.outer()).chain(outline.holes());
    let mut found = met(paths.flat_map(placed), axis, level);
    found.dedup_by(|one, other| (*one - *other).abs() <= SAME_M);
    found
}

/// Where edges have the level, in rising order.
fn met(edges: impl Iterator<Item = (Point, Edge)>, axis: usize, level: f64) -> Vec<f64> {
    let mut found = Vec::new();
    for (start, edge) in edges {
        let meetings = meetings(start, &edge, axis, level).into_iter().filter(|t| (0.0..=1.0).contains(t));
        found.extend(meetings.map(|t| at(start, &edge, t)[1 - axis]));
    }
    found.sort_by(f64::total_cmp);
    found
}

/// The edges of an outline that reach into a range of levels.
pub(super) struct Band {
    edges: Vec<(Point, Edge)>,
    axis: usize,
    range: [f64; 2],
    /// Levels where an edge begins, ends or turns back.
    pub(super) corners: Vec<f64>,
}

impl Band {
    /// Those between two levels of an axis (0: aft, 1: up).
    pub(super) fn of(outline: &Outline, axis: usize, range: [f64; 2]) -> Self {
        let paths = std::iter::once(outline.outer()).chain(outline.holes());
        let mut band = Self { edges: Vec::new(), axis, range, corners: Vec::new() };
        for (start, edge) in paths.flat_map(placed) {
            let (low, high) = reach(start, &edge, axis);
            if high < range[0] || range[1] < low {
                continue;
            }
            band.corners.extend([start[axis], at(start, &edge, 1.0)[axis]]);
            if !matches!(edge, Edge::Line { .. }) {
                band.corners.extend([low, high]);
            }
            if let Edge::Parabola { control, to } = edge {
                let t = (start[axis] - control[axis]) / (start[axis] - 2.0 * control[axis] + to[axis]);
                band.corners.push(at(start, &edge, t)[axis]);
            }
            band.edges.push((start, edge));
        }
        band.corners.retain(|corner| range[0] < *corner && *corner < range[1]);
        band
    }
    /// Whether straight edges without a corner pass through it.
    pub(super) fn is_straight(&self) -> bool {
        self.corners.is_empty() && self.edges.iter().all(|(_, edge)| matches!(edge, Edge::Line { .. }))
    }
    /// The metal at a level, along the other axis and in rising order.
    pub(super) fn intervals(&self, level: f64) -> Vec<[f64; 2]> {
        let mut found = met(self.edges.iter().copied(), self.axis, level);
        if !found.len().is_multiple_of(2) {
            found.dedup_by(|one, other| (*one - *other).abs() <= SAME_M);
        }
        found.chunks_exact(2).map(|two| [two[0], two[1]]).collect()
    }
    /// Its first and its last level, a hair within.
    pub(super) fn ends(&self) -> [f64; 2] {
        let [low, high] = self.range;
        let hair = 1e-9 * (high - low);
        [low + hair, high - hair]
    }
}

/// Levels between which an edge lies.
fn reach(start: Point, edge: &Edge, axis: usize) -> (f64, f64) {
    match edge {
        Edge::Line { to } => (start[axis].min(to[axis]), start[axis].max(to[axis])),
        Edge::Parabola { control, to } => {
            let ends = (start[axis].min(to[axis]), start[axis].max(to[axis]));
            (ends.0.min(control[axis]), ends.1.max(control[axis]))
        }
        Edge::Arc { centre, radii, .. } => (centre[axis] - radii[axis], centre[axis] + radii[axis]),
    }
}

/// The largest distance of any point of an outline from the origin, m.
pub(super) fn swing(outline: &Outline) -> f64 {
    placed(outline.outer()).map(|(start, edge)| furthest(start, &edge)).fold(0.0, f64::max)
}

/// The edges with their starts.
fn placed(path: &Path) -> impl Iterator<Item = (Point, Edge)> {
    path.edges().scan(path.start(), |start, edge| {
        let from = *start;
        *start = at(from, &edge, 1.0);
        Some((from, edge))
    })
}

fn at(start: Point, edge: &Edge, t: f64) -> Point {
    let blend = |i: usize| match edge {
        Edge::Line { to } => start[i] + t * (to[i] - start[i]),
        Edge::Parabola { control, to } => {
            let s = 1.0 - t;
            s * s * start[i] + 2.0 * s * t * control[i] + t * t * to[i]
        }
        Edge::Arc { centre, radii, from, sweep } => {
            let (sin, cos) = (from + t * sweep).sin_cos();
            centre[i] + radii[i] * [cos, sin][i]
        }
    };
    [blend(0), blend(1)]
}

/// Where along an edge it has the level; what is not a number or not from 0 to 1 is no meeting.
fn meetings(start: Point, edge: &Edge, axis: usize, level: f64) -> [f64; 2] {
    let a = start[axis] - level;
    match edge {
        Edge::Line { to } => [a / (start[axis] - to[axis]), f64::NAN],
        Edge::Parabola { control, to } => {
            let (c, b) = (control[axis] - level, to[axis] - level);
            roots(a - 2.0 * c + b, 2.0 * (c - a), a)
        }
        Edge::Arc { centre, radii, from, sweep } => {
            let ratio = (level - centre[axis]) / radii[axis];
            let half = ratio.acos();
            let middle = if axis == 0 { 0.0 } else { TAU / 4.0 };
            [middle - half, middle + half].map(|angle| share(angle, *from, *sweep))
        }
    }
}

/// How far along an arc an angle lies: 0 at its start, 1 at its end, beyond 1 where it is not on it.
fn share(angle: f64, from: f64, sweep: f64) -> f64 {
    let along = ((angle - from) * sweep.signum()).rem_euclid(TAU);
    // Just before the start is the start.
    let along = if TAU - 1e-12 < along { 0.0 } else { along };
    let share = along / sweep.abs();
    if share <= 1.0 + 1e-12 { share.min(1.0) } else { share }
}

/// The roots of a t² + b t + c, without loss of digits.
fn roots(a: f64, b: f64, c: f64) -> [f64; 2] {
    let q = -0.5 * (b + (b * b - 4.0 * a * c).sqrt().copysign(b));
    [q / a, c / q]
}

fn furthest(start: Point, edge: &Edge) -> f64 {
    let distance = |t: f64| {
        let [x, z] = at(start, edge, t);
        x.hypot(z)
    };
    let ends = distance(0.0).max(distance(1.0));
    match edge {
        Edge::Line { .. } => ends,
        Edge::Arc { centre: [x, z], radii, from, sweep }
            if (radii[0] - radii[1]).abs() <= 1e-12 * radii[0] =>
        {
            let outward = share(z.atan2(*x), *from, *sweep);
            if outward <= 1.0 { x.hypot(*z) + radii[0] } else { ends }
        }
        _ => ends.max(searched(distance)),
    }
}

/// The largest value between 0 and 1: the best of samples, then sought by thirds beside it.
fn searched(distance: impl Fn(f64) -> f64) -> f64 {
    let place = |index: u32| f64::from(index) / f64::from(SAMPLES);
    let best = (0..=SAMPLES).map(place).max_by(|one, other| distance(*one).total_cmp(&distance(*other)));
    let best = best.unwrap_or(0.0);
    let step = place(1);
    let (mut low, mut high) = ((best - step).max(0.0), (best + step).min(1.0));
    for _ in 0..60 {
        let third = (high - low) / 3.0;
        if distance(low + third) < distance(high - third) { low += third } else { high -= third }
    }
    distance(0.5 * (low + high))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(a: f64, b: f64) -> bool {
        (a - b).abs() <= 1e-12
    }

    #[test]
    fn a_circle_is_met_at_both_of_its_sides() {
        let circle = Outline::circle(5.0).expect("a circle").moved([10.0, 0.0]);
        let at_3 = crossings(&circle, 1, 3.0);
        assert!(at_3.len() == 2 && near(at_3[0], 6.0) && near(at_3[1], 14.0), "{at_3:?}");
        let middle = crossings(&circle, 1, 0.0);
        assert!(middle.len() == 2 && near(middle[0], 5.0) && near(middle[1], 15.0), "{middle:?}");
        assert!(near(swing(&circle), 15.0));
        assert!(crossings(&circle, 0, 4.9).is_empty());
    }

    /// A parabola of depth 1.5 and half width 0.5: at half of that width it is 1.5 (1 − 1/4) = 1.125 deep.
    #[test]
    fn a_parabola_is_met_where_its_formula_says() {
        let nose = Outline::parabolic_nose(1.5, 0.5).expect("a nose");
        let at_quarter = crossings(&nose, 1, 0.25);
        assert!(near(at_quarter[0], -1.125) && near(at_quarter[1], 0.0), "{at_quarter:?}");
        assert!(near(swing(&nose), 1.5));
        let upright = crossings(&nose, 0, -1.125);
        assert!(near(upright[0], -0.25) && near(upright[1], 0.25), "{upright:?}");
    }

    #[test]
    fn the_furthest_point_of_an_ellipse_is_found() {
        let nose = Outline::half_ellipse(1.0, 2.0).expect("a nose").moved([-1.0, 0.0]);
        // (1 + cos a)² + 4 sin² a is largest where cos a = 1/3: 16/9 + 32/9.
        assert!(near(swing(&nose), (48.0_f64 / 9.0).sqrt()));
    }
}
