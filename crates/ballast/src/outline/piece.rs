//! One piece of an outline with both its ends: a straight line, an arc of an ellipse with level axes, or a parabola.
//!
//! Main type: `Piece`. Not covered: what it sweeps (green.rs) and where two of them meet (crossing.rs).

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use super::Point;

/// The most chords that one piece is ever cut into.
const MOST_CHORDS: u32 = 20_000;

#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Arc {
    pub(super) centre: Point,
    pub(super) radii: Point,
    pub(super) from: f64,
    pub(super) sweep: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Curve {
    Line,
    Arc(Arc),
    Parabola(Point),
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Piece {
    pub(super) a: Point,
    pub(super) b: Point,
    pub(super) curve: Curve,
}

pub(super) fn plus(a: Point, b: Point) -> Point {
    [a[0] + b[0], a[1] + b[1]]
}
pub(super) fn minus(a: Point, b: Point) -> Point {
    [a[0] - b[0], a[1] - b[1]]
}
pub(super) fn times(a: Point, by: f64) -> Point {
    [a[0] * by, a[1] * by]
}
pub(super) fn cross(a: Point, b: Point) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}
pub(super) fn dot(a: Point, b: Point) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}
pub(super) fn size(a: Point) -> f64 {
    a[0].hypot(a[1])
}
/// A quarter turn to the left.
pub(super) fn left(a: Point) -> Point {
    [-a[1], a[0]]
}
pub(super) fn unit(a: Point) -> Point {
    times(a, 1.0 / size(a))
}
fn between(a: Point, b: Point, t: f64) -> Point {
    plus(times(a, 1.0 - t), times(b, t))
}

impl Arc {
    pub(super) fn round(centre: Point, radius: f64, from: f64, sweep: f64) -> Self {
        Self { centre, radii: [radius, radius], from, sweep }
    }
    pub(super) fn at(&self, angle: f64) -> Point {
        let (sin, cos) = angle.sin_cos();
        plus(self.centre, [self.radii[0] * cos, self.radii[1] * sin])
    }
    pub(super) fn end(&self) -> f64 {
        self.from + self.sweep
    }
    pub(super) fn is_round(&self) -> bool {
        (self.radii[0] - self.radii[1]).abs() <= 1e-12 * self.radii[0]
    }
    /// How far along it a direction from its centre lies: 0 at the start, 1 at the end. A direction just short of
    /// the start is a little below 0.
    pub(super) fn share(&self, angle: f64) -> f64 {
        let along = ((angle - self.from) * self.sweep.signum()).rem_euclid(TAU);
        let short = if TAU - 1e-9 < along { along - TAU } else { along };
        short / self.sweep.abs()
    }
    pub(super) fn angle_of(&self, point: Point) -> f64 {
        let [u, v] = minus(point, self.centre);
        (v / self.radii[1]).atan2(u / self.radii[0])
    }
    fn part(&self, low: f64, high: f64) -> Self {
        Self { from: self.from + low * self.sweep, sweep: (high - low) * self.sweep, ..*self }
    }
}

impl Piece {
    pub(super) fn line(a: Point, b: Point) -> Self {
        Self { a, b, curve: Curve::Line }
    }
    pub(super) fn arc(arc: Arc) -> Self {
        Self { a: arc.at(arc.from), b: arc.at(arc.end()), curve: Curve::Arc(arc) }
    }
    pub(super) fn at(&self, t: f64) -> Point {
        match self.curve {
            Curve::Line => between(self.a, self.b, t),
            Curve::Arc(arc) => arc.at(arc.from + t * arc.sweep),
            Curve::Parabola(c) => between(between(self.a, c, t), between(c, self.b, t), t),
        }
    }
    /// How the point moves with t.
    pub(super) fn pace(&self, t: f64) -> Point {
        match self.curve {
            Curve::Line => minus(self.b, self.a),
            Curve::Arc(arc) => {
                let (sin, cos) = (arc.from + t * arc.sweep).sin_cos();
                [-arc.radii[0] * sin * arc.sweep, arc.radii[1] * cos * arc.sweep]
            }
            Curve::Parabola(c) => times(between(minus(c, self.a), minus(self.b, c), t), 2.0),
        }
    }
    /// Both at once.
    pub(super) fn at_pace(&self, t: f64) -> (Point, Point) {
        let Curve::Arc(Arc { centre, radii, from, sweep }) = self.curve else {
            return (self.at(t), self.pace(t));
        };
        let (sin, cos) = (from + t * sweep).sin_cos();
        let out = [radii[0] * cos, radii[1] * sin];
        (plus(centre, out), [-radii[0] * sin * sweep, radii[1] * cos * sweep])
    }
    /// The direction at t, of length 1.
    pub(super) fn heading(&self, t: f64) -> Point {
        unit(self.pace(t))
    }
    pub(super) fn reversed(&self) -> Self {
        let curve = match self.curve {
            Curve::Arc(arc) => Curve::Arc(Arc { from: arc.end(), sweep: -arc.sweep, ..arc }),
            other => other,
        };
        Self { a: self.b, b: self.a, curve }
    }
    pub(super) fn moved(&self, by: Point) -> Self {
        let curve = match self.curve {
            Curve::Line => Curve::Line,
            Curve::Arc(arc) => Curve::Arc(Arc { centre: plus(arc.centre, by), ..arc }),
            Curve::Parabola(c) => Curve::Parabola(plus(c, by)),
        };
        Self { a: plus(self.a, by), b: plus(self.b, by), curve }
    }
    /// After a mirror that turns the sign of u: fore becomes aft.
    pub(super) fn mirrored(&self) -> Self {
        let flip = |[u, v]: Point| [-u, v];
        let curve = match self.curve {
            Curve::Line => Curve::Line,
            Curve::Arc(arc) => {
                Curve::Arc(Arc { centre: flip(arc.centre), from: PI - arc.from, sweep: -arc.sweep, ..arc })
            }
            Curve::Parabola(c) => Curve::Parabola(flip(c)),
        };
        Self { a: flip(self.a), b: flip(self.b), curve }
    }
    /// After a turn about the origin, counterclockwise, rad; none for an ellipse, whose axes would no longer be level.
    pub(super) fn turned(&self, angle: f64) -> Option<Self> {
        let (sin, cos) = angle.sin_cos();
        let turn = |[u, v]: Point| [cos * u - sin * v, sin * u + cos * v];
        let curve = match self.curve {
            Curve::Line => Curve::Line,
            Curve::Arc(arc) if arc.is_round() => {
                Curve::Arc(Arc { centre: turn(arc.centre), from: arc.from + angle, ..arc })
            }
            Curve::Arc(_) => return None,
            Curve::Parabola(c) => Curve::Parabola(turn(c)),
        };
        Some(Self { a: turn(self.a), b: turn(self.b), curve })
    }
    /// The part between two values of t.
    pub(super) fn part(&self, low: f64, high: f64) -> Self {
        let curve = match self.curve {
            Curve::Line => Curve::Line,
            Curve::Arc(arc) => Curve::Arc(arc.part(low, high)),
            Curve::Parabola(_) => {
                Curve::Parabola(plus(self.at(low), times(self.pace(low), 0.5 * (high - low))))
            }
        };
        Self { a: self.at(low), b: self.at(high), curve }
    }
    /// Whether an arc of less than half a turn has both ends on one side of its centre.
    fn stays_on_its_side(&self, arc: &Arc, axis: usize) -> bool {
        let centre = arc.centre[axis];
        arc.sweep.abs() < PI && 0.0 < (self.a[axis] - centre) * (self.b[axis] - centre)
    }
    /// The values of t between 0 and 1 where it turns back along an axis: where it is furthest out.
    pub(super) fn turns_at(&self, axis: usize) -> impl Iterator<Item = f64> {
        let quarters = match (self.curve, axis) {
            (Curve::Arc(arc), _) if self.stays_on_its_side(&arc, 1 - axis) => [None, None],
            (Curve::Arc(_), 0) => [Some(0.0), Some(PI)],
            (Curve::Arc(_), _) => [Some(FRAC_PI_2), Some(-FRAC_PI_2)],
            (Curve::Parabola(c), _) => {
                let (before, after) = (c[axis] - self.a[axis], self.b[axis] - c[axis]);
                [Some(before / (before - after)), None]
            }
            (Curve::Line, _) => [None, None],
        };
        let curve = self.curve;
        let share = move |at: f64| if let Curve::Arc(arc) = curve { arc.share(at) } else { at };
        quarters.into_iter().flatten().map(share).filter(|t| 0.0 < *t && *t < 1.0)
    }
    /// The least and the greatest corner of the smallest box around it.
    pub(super) fn bounds(&self) -> [Point; 2] {
        let of = |axis: usize| {
            let ends = (self.a[axis].min(self.b[axis]), self.a[axis].max(self.b[axis]));
            let turning = self.turns_at(axis).map(|t| self.at(t)[axis]);
            turning.fold(ends, |(low, high), value| (low.min(value), high.max(value)))
        };
        let ((left, right), (low, high)) = (of(0), of(1));
        [[left, low], [right, high]]
    }
    /// A length that it is no longer than.
    pub(super) fn reach(&self) -> f64 {
        match self.curve {
            Curve::Line => size(minus(self.b, self.a)),
            Curve::Arc(arc) => arc.radii[0].max(arc.radii[1]) * arc.sweep.abs(),
            Curve::Parabola(c) => size(minus(c, self.a)) + size(minus(self.b, c)),
        }
    }
    /// Into how many chords, equal in t, it is cut so that none lies further off than a tolerance, m. An arc has one
    /// in every quarter turn at least.
    pub(super) fn chords(&self, tolerance: f64) -> u32 {
        let (bend, least) = match self.curve {
            Curve::Line => return 1,
            Curve::Arc(arc) => {
                (arc.radii[0].max(arc.radii[1]) * arc.sweep * arc.sweep, arc.sweep.abs() / FRAC_PI_2)
            }
            Curve::Parabola(c) => (2.0 * size(minus(plus(self.a, self.b), times(c, 2.0))), 1.0),
        };
        let wanted = (bend / (8.0 * tolerance)).sqrt().max(least - 1e-9);
        (1..MOST_CHORDS).find(|n| wanted <= f64::from(*n)).unwrap_or(MOST_CHORDS)
    }
    /// The start of every chord of a run that takes in the same area as the piece: its inner corners stand off the
    /// curve to the outside of the bend, by no more than the tolerance, m. A curve has three chords at least.
    pub(super) fn level_corners(&self, tolerance: f64) -> impl Iterator<Item = Point> {
        let piece = *self;
        let least = if self.curve == Curve::Line { 1 } else { 3 };
        let count = self.chords(tolerance).max(least);
        let n = f64::from(count);
        (0..count).map(move |k| {
            let at = piece.at(f64::from(k) / n);
            match piece.curve {
                _ if k == 0 => piece.a,
                Curve::Line => at,
                Curve::Arc(arc) => {
                    // n triangles about the centre, the first and the last with one corner on the arc, hold what the
                    // sector does: 2 k + (n − 2) k² = sweep / sin(sweep / n)
                    let turn = arc.sweep.abs();
                    let wanted = turn / (turn / n).sin();
                    let out = ((1.0 + (n - 2.0) * wanted).sqrt() - 1.0) / (n - 2.0);
                    plus(arc.centre, times(minus(at, arc.centre), out))
                }
                // what the chords cut off is a third of |c × b| / n², with a at the origin
                Curve::Parabola(c) => {
                    let bend = minus(plus(piece.a, piece.b), times(c, 2.0));
                    minus(at, times(bend, 1.0 / (6.0 * n * (n - 1.0))))
                }
            }
        })
    }
    /// The start of every chord.
    pub(super) fn corners(&self, tolerance: f64) -> impl Iterator<Item = Point> {
        let piece = *self;
        let count = self.chords(tolerance);
        (0..count).map(move |k| if k == 0 { piece.a } else { piece.at(f64::from(k) / f64::from(count)) })
    }
}
