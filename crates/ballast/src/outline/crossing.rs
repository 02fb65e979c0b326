//! Where lines and circular arcs meet, and whether a run of pieces crosses itself or another.
//!
//! Main functions: `within` and `between`. Two pieces that share an end are asked for their other meeting point, found
//! by reflection, so that tangent neighbours are not taken for crossing ones. For this question alone an ellipse or a
//! parabola is replaced by chords within a ten thousandth of the size of the whole: lines that pass each other nearer
//! than that may be called crossing.

use super::piece::{Arc, Curve, Piece, cross, dot, left, minus, plus, size, times, unit};
use super::{Path, Point};

/// Nearer than this share of the size of the whole is the same place.
pub(super) const SAME: f64 = 1e-8;
/// How far off its chords stand in for an ellipse or a parabola, as a share of the size of the whole.
const STAND_IN: f64 = 1e-4;

/// Where two edges cross: their numbers, from 0, and the place, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Crossing {
    pub(super) edges: [usize; 2],
    pub(super) at: Point,
}

struct Link {
    piece: Piece,
    bounds: [Point; 2],
    edge: usize,
}

type Two = [Option<Point>; 2];

fn links(pieces: &[Piece], extent: f64) -> Vec<Link> {
    let mut links = Vec::with_capacity(pieces.len());
    for (edge, piece) in pieces.iter().enumerate() {
        let link = |piece: Piece| Link { piece, bounds: piece.bounds(), edge };
        if is_plain(piece) {
            links.push(link(*piece));
        } else {
            links.extend(faceted(piece, STAND_IN * extent).map(link));
        }
    }
    links
}

/// A straight line or an arc of a circle.
pub(super) fn is_plain(piece: &Piece) -> bool {
    match piece.curve {
        Curve::Line => true,
        Curve::Arc(arc) => arc.is_round(),
        Curve::Parabola(_) => false,
    }
}

/// Chords in the place of a curve.
pub(super) fn faceted(piece: &Piece, tolerance: f64) -> impl Iterator<Item = Piece> {
    let ends = piece.corners(tolerance).skip(1).chain([piece.b]);
    piece.corners(tolerance).zip(ends).map(|(a, b)| Piece::line(a, b))
}

/// The first place where a run of pieces meets itself other than at the ends that follow each other.
pub(super) fn within(path: &Path) -> Option<Crossing> {
    let extent = path.extent();
    let links = links(&path.pieces, extent);
    let closed = path.is_closed();
    let last = links.len().saturating_sub(1);
    links.iter().enumerate().find_map(|(i, p)| {
        // No edge crosses itself.
        let mut others = links[i + 1..].iter().enumerate().filter(|(_, q)| q.edge != p.edge);
        others.find_map(|(k, q)| {
            let next = (k == 0).then_some(p.piece.b);
            let round = (closed && i == 0 && k + 1 == last).then_some(p.piece.a);
            pair(p, q, [next, round], SAME * extent).map(|at| Crossing { edges: [p.edge, q.edge], at })
        })
    })
}

/// The first place where two runs of pieces meet.
pub(super) fn between(one: &Path, other: &Path) -> Option<Point> {
    let extent = one.extent().max(other.extent());
    let others = links(&other.pieces, extent);
    links(&one.pieces, extent)
        .iter()
        .find_map(|p| others.iter().find_map(|q| pair(p, q, [None, None], SAME * extent)))
}

fn apart(p: &Link, q: &Link, slack: f64) -> bool {
    (0..2).any(|axis| {
        p.bounds[1][axis] + slack < q.bounds[0][axis] || q.bounds[1][axis] + slack < p.bounds[0][axis]
    })
}

fn pair(p: &Link, q: &Link, shared: Two, near: f64) -> Option<Point> {
    if apart(p, q, near) {
        return None;
    }
    let (p, q) = (&p.piece, &q.piece);
    let elsewhere = |at: &Point| shared.iter().flatten().all(|end| near < size(minus(*at, *end)));
    if on_one_carrier(p, q, near) {
        return overlap(p, q, near, elsewhere);
    }
    let found = match shared.iter().flatten().next() {
        Some(end) => [other_meeting(p, q, *end), None],
        None => meetings(p, q),
    };
    found.into_iter().flatten().find(|at| elsewhere(at) && is_on(p, *at) && is_on(q, *at))
}

fn is_on(piece: &Piece, at: Point) -> bool {
    (-1e-10..=1.0 + 1e-10).contains(&share_of(piece, at))
}

/// Where along a line or an arc the point of it nearest to a place lies: 0 at the start, 1 at the end.
pub(super) fn share_of(piece: &Piece, at: Point) -> f64 {
    if let Curve::Arc(arc) = piece.curve {
        return arc.share(arc.angle_of(at));
    }
    let along = minus(piece.b, piece.a);
    dot(minus(at, piece.a), along) / dot(along, along)
}

fn on_one_carrier(p: &Piece, q: &Piece, near: f64) -> bool {
    match (p.curve, q.curve) {
        (Curve::Arc(one), Curve::Arc(two)) => {
            size(minus(one.centre, two.centre)) <= near && (one.radii[0] - two.radii[0]).abs() <= near
        }
        (Curve::Line, Curve::Line) => {
            let heading = p.heading(0.0);
            let off = |at: Point| cross(heading, minus(at, p.a)).abs();
            off(q.a) <= near && off(q.b) <= near
        }
        _ => false,
    }
}

/// A place that two pieces on one line or circle both cover over a length.
fn overlap(p: &Piece, q: &Piece, near: f64, elsewhere: impl Fn(&Point) -> bool) -> Option<Point> {
    if let (Curve::Line, Curve::Line) = (p.curve, q.curve) {
        let heading = p.heading(0.0);
        let [a, b] = [q.a, q.b].map(|at| dot(heading, minus(at, p.a)));
        let low = a.min(b).max(0.0);
        let high = a.max(b).min(size(minus(p.b, p.a)));
        return (low + near < high).then(|| plus(p.a, times(heading, 0.5 * (low + high))));
    }
    let places = [p.a, p.at(0.5), p.b, q.a, q.at(0.5), q.b];
    places.into_iter().find(|at| elsewhere(at) && is_on(p, *at) && is_on(q, *at))
}

/// Where the whole lines or circles that two pieces lie on meet.
pub(super) fn meetings(p: &Piece, q: &Piece) -> Two {
    match (p.curve, q.curve) {
        (Curve::Arc(one), Curve::Arc(two)) => circles(&one, &two),
        (Curve::Arc(arc), _) => line_and_circle(q, &arc),
        (_, Curve::Arc(arc)) => line_and_circle(p, &arc),
        _ => {
            let (d, e) = (minus(p.b, p.a), minus(q.b, q.a));
            let turn = cross(d, e);
            let t = cross(minus(q.a, p.a), e) / turn;
            [t.is_finite().then(|| plus(p.a, times(d, t))), None]
        }
    }
}

/// Half the chord, from the squares of radius and distance; a touch within rounding counts as one.
fn half_chord(radius: f64, distance: f64) -> Option<f64> {
    let square = (radius - distance) * (radius + distance);
    (-1e-14 * radius * radius <= square).then(|| square.max(0.0).sqrt())
}

fn line_and_circle(line: &Piece, arc: &Arc) -> Two {
    let heading = line.heading(0.0);
    let out = minus(arc.centre, line.a);
    let foot = plus(line.a, times(heading, dot(out, heading)));
    let Some(half) = half_chord(arc.radii[0], cross(heading, out)) else {
        return [None, None];
    };
    [half, -half].map(|half| Some(plus(foot, times(heading, half))))
}

fn circles(one: &Arc, two: &Arc) -> Two {
    let out = minus(two.centre, one.centre);
    let gap = size(out);
    let (p, q) = (one.radii[0], two.radii[0]);
    let along = 0.5 * (gap + (p - q) * (p + q) / gap);
    let Some(half) = half_chord(p, along) else {
        return [None, None];
    };
    let heading = unit(out);
    let foot = plus(one.centre, times(heading, along));
    [half, -half].map(|half| Some(plus(foot, times(left(heading), half))))
}

/// Two pieces share an end: where the lines or circles that they lie on meet a second time, by reflection of that end.
fn other_meeting(p: &Piece, q: &Piece, end: Point) -> Option<Point> {
    match (p.curve, q.curve) {
        (Curve::Arc(one), Curve::Arc(two)) => {
            let heading = unit(minus(two.centre, one.centre));
            let out = minus(end, one.centre);
            Some(plus(one.centre, minus(times(heading, 2.0 * dot(out, heading)), out)))
        }
        (Curve::Arc(arc), _) => Some(beyond(q, &arc, end)),
        (_, Curve::Arc(arc)) => Some(beyond(p, &arc, end)),
        _ => None,
    }
}

fn beyond(line: &Piece, arc: &Arc, end: Point) -> Point {
    let heading = line.heading(0.0);
    plus(end, times(heading, 2.0 * dot(minus(arc.centre, end), heading)))
}
