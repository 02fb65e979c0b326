//! A run of edges in the section plane, open or closed, as traced from a part or made by formula.
//!
//! Main type: [`Path`]. An edge shorter than a thousand millionth of the whole is dropped, a gap of that size is closed.
//! It may cross itself; [`Path::keeps_clear`] and [`Outline::new`](super::Outline::new) ask that.

use std::f64::consts::{PI, TAU};

use super::crossing::{self, faceted, is_plain};
use super::green;
use super::piece::{Arc, Curve, Piece, cross, dot, minus, plus, size, times};
use super::{Fault, PlaneMoments, Point, Rim};

/// A gap of this share of the size of the whole is none.
const CLOSED: f64 = 1e-9;
/// An arc flatter than this share of its chord is taken for a straight line.
const STRAIGHT: f64 = 1e-6;

/// One edge, from the end of the edge before it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Edge {
    /// A straight line.
    Line {
        /// Its end, m.
        to: Point,
    },
    /// An arc of an ellipse whose axes are level and upright; with equal radii, of a circle.
    Arc {
        /// m.
        centre: Point,
        /// Along u and along v, m, above 0.
        radii: Point,
        /// Where it begins, rad: at the centre and the radii times the cosine and the sine of this.
        from: f64,
        /// How far it goes, rad, counterclockwise positive, up to one turn.
        sweep: f64,
    },
    /// A parabola: a quadratic Bézier curve.
    Parabola {
        /// Where the tangents at both ends meet, m.
        control: Point,
        /// Its end, m.
        to: Point,
    },
}

/// One edge as it is traced: by points on it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Traced {
    /// A straight line.
    Line {
        /// Its end, m.
        to: Point,
    },
    /// An arc of a circle.
    Arc {
        /// Any point between, best near the middle, m.
        through: Point,
        /// Its end, m.
        to: Point,
    },
}

/// A run of edges, open or closed. There is one at least.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    pub(super) pieces: Vec<Piece>,
    extent: f64,
    closed: bool,
}

impl Path {
    /// A run of edges from a start.
    ///
    /// # Errors
    /// A value that is not finite, an arc without size or not beginning at the end of the edge before, no edge at all.
    pub fn new(start: Point, edges: &[Edge]) -> Result<Self, Fault> {
        let mut pieces = Vec::with_capacity(edges.len());
        let mut widest = (0.0, 0);
        let mut at = start;
        for (edge, number) in edges.iter().zip(1..) {
            let piece = checked_piece(at, edge, number)?;
            let gap = size(minus(piece.a, at));
            if widest.0 < gap {
                widest = (gap, number);
            }
            at = piece.b;
            pieces.push(piece);
        }
        let path = Self::from_pieces(pieces)?;
        let (gap, edge) = widest;
        if CLOSED * path.extent < gap { Err(Fault::Step { edge, gap }) } else { Ok(path) }
    }
    /// A run of edges given by points on them.
    ///
    /// # Errors
    /// A value that is not finite, three points that no arc passes in their order, no edge at all.
    pub fn traced(start: Point, edges: &[Traced]) -> Result<Self, Fault> {
        let mut pieces = Vec::with_capacity(edges.len());
        let mut at = start;
        for (index, edge) in edges.iter().enumerate() {
            let piece = match *edge {
                Traced::Line { to } => Piece::line(at, to),
                Traced::Arc { through, to } => {
                    arc_through(at, through, to).ok_or(Fault::NoArc { edge: index + 1 })?
                }
            };
            at = piece.b;
            pieces.push(piece);
        }
        Self::from_pieces(pieces)
    }
    /// Straight lines from point to point.
    ///
    /// # Errors
    /// A value that is not finite, fewer than two different points.
    pub fn polyline(points: &[Point]) -> Result<Self, Fault> {
        Self::from_pieces(points.windows(2).map(|two| Piece::line(two[0], two[1])).collect())
    }
    /// A circle, m, for a hole or an outline.
    ///
    /// # Errors
    /// A value that is not finite, a radius not above 0.
    pub fn circle(centre: Point, radius: f64) -> Result<Self, Fault> {
        let half = |from: f64| Edge::Arc { centre, radii: [radius, radius], from, sweep: PI };
        Self::new([centre[0] + radius, centre[1]], &[half(0.0), half(PI)])
    }
    /// An arc of a circle about the origin, m: from an angle on over another, both in rad, from straight forward on,
    /// upwards positive.
    ///
    /// # Errors
    /// A value that is not finite, a radius not above 0, an angle over of 0 or more than a turn.
    pub fn of_ring(radius: f64, from: f64, over: f64) -> Result<Self, Fault> {
        // An edge counts its angles from straight aft, counterclockwise.
        let arc = Edge::Arc { centre: [0.0; 2], radii: [radius; 2], from: PI - from, sweep: -over };
        Self::new([-radius * from.cos(), radius * from.sin()], &[arc])
    }

    /// Joins, drops what has no length, and closes what is nearly closed.
    pub(super) fn from_pieces(mut pieces: Vec<Piece>) -> Result<Self, Fault> {
        let bad = pieces.iter().position(|piece| !is_finite(piece));
        if let Some(edge) = bad {
            return Err(Fault::NotFinite { edge: edge + 1 });
        }
        let extent = extent_of(&pieces);
        pieces.retain(|piece| CLOSED * extent < piece.reach());
        for index in 1..pieces.len() {
            pieces[index].a = pieces[index - 1].b;
        }
        let (Some(first), Some(last)) = (pieces.first().copied(), pieces.last_mut()) else {
            return Err(Fault::TooFewEdges { ring: super::Ring::Outer, edges: 0 });
        };
        let closed = size(minus(last.b, first.a)) <= CLOSED * extent;
        if closed {
            last.b = first.a;
        }
        Ok(Self { pieces, extent, closed })
    }
    fn same_shape(&self, map: impl Fn(&Piece) -> Piece) -> Self {
        Self { pieces: self.pieces.iter().map(map).collect(), ..*self }
    }

    /// Where it begins, m.
    #[must_use]
    pub fn start(&self) -> Point {
        self.pieces.first().map_or([f64::NAN; 2], |piece| piece.a)
    }
    /// Where it ends, m.
    #[must_use]
    pub fn end(&self) -> Point {
        self.pieces.last().map_or([f64::NAN; 2], |piece| piece.b)
    }
    /// Whether it ends where it begins.
    #[must_use]
    pub fn is_closed(&self) -> bool {
        self.closed
    }
    /// Whether it keeps clear of itself. It takes time with the square of the number of edges.
    ///
    /// # Errors
    /// [`Fault::Crossing`]: the first two edges that meet elsewhere than at the ends that follow each other.
    pub fn keeps_clear(&self) -> Result<(), Fault> {
        crossing::within(self).map_or(Ok(()), |crossing::Crossing { edges: [a, b], at }| {
            Err(Fault::Crossing { ring: super::Ring::Outer, edges: [a + 1, b + 1], at })
        })
    }
    /// Its edges from the start.
    pub fn edges(&self) -> impl ExactSizeIterator<Item = Edge> {
        self.pieces.iter().map(|piece| match piece.curve {
            Curve::Line => Edge::Line { to: piece.b },
            Curve::Arc(Arc { centre, radii, from, sweep }) => Edge::Arc { centre, radii, from, sweep },
            Curve::Parabola(control) => Edge::Parabola { control, to: piece.b },
        })
    }
    /// The size of the whole, m: the diagonal of the box around it.
    pub(super) fn extent(&self) -> f64 {
        self.extent
    }
    /// The least and the greatest corner of the box around it, m.
    #[must_use]
    pub fn bounds(&self) -> [Point; 2] {
        bounds_of(&self.pieces)
    }
    /// Its length and the first moment of its length.
    #[must_use]
    pub fn rim(&self) -> Rim {
        self.pieces.iter().map(green::rim).fold(Rim::default(), |sum, rim| sum + rim)
    }
    /// What a line from the origin to it sweeps from start to end; of a closed path what it encloses, negative where
    /// it runs clockwise.
    pub(super) fn swept(&self) -> PlaneMoments {
        let pole = self.start();
        self.pieces.iter().map(|piece| green::swept(piece, pole)).sum::<PlaneMoments>().moved(pole)
    }
    /// The area alone of that.
    pub(super) fn swept_area(&self) -> f64 {
        let pole = self.start();
        self.pieces.iter().map(|piece| green::swept_area(piece, pole)).sum()
    }
    /// The same with a straight edge from its end back to its start, where it is open.
    #[must_use]
    pub fn closed(mut self) -> Self {
        if !self.closed {
            self.pieces.push(Piece::line(self.end(), self.start()));
            self.closed = true;
        }
        self
    }
    /// The other way round.
    #[must_use]
    pub fn reversed(&self) -> Self {
        Self { pieces: self.pieces.iter().rev().map(Piece::reversed).collect(), ..*self }
    }
    /// Moved by a displacement, m.
    #[must_use]
    pub fn moved(&self, by: Point) -> Self {
        self.same_shape(|piece| piece.moved(by))
    }
    /// With fore and aft exchanged.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        self.same_shape(Piece::mirrored)
    }
    /// Turned about the origin, counterclockwise with u to the right and v up, rad.
    ///
    /// # Errors
    /// An ellipse in it.
    pub fn turned(&self, angle: f64) -> Result<Self, Fault> {
        let turned = self
            .pieces
            .iter()
            .enumerate()
            .map(|(edge, piece)| piece.turned(angle).ok_or(Fault::EllipseTurned { edge: edge + 1 }));
        Self::from_pieces(turned.collect::<Result<_, _>>()?)
    }
    /// With straight lines, no further off than a tolerance, m, in the place of its ellipses and parabolas. Lines and
    /// arcs of circles stay.
    #[must_use]
    pub fn faceted(&self, tolerance: f64) -> Self {
        let mut pieces = Vec::with_capacity(self.pieces.len());
        for piece in &self.pieces {
            if is_plain(piece) {
                pieces.push(*piece);
            } else {
                pieces.extend(faceted(piece, tolerance));
            }
        }
        Self { pieces, ..*self }
    }
    /// Whether a point lies inside the closed path: an odd number of crossings of the ray that goes aft from it.
    pub(super) fn surrounds(&self, point: Point) -> bool {
        self.pieces.iter().map(|piece| crossings(piece, point)).sum::<usize>() % 2 == 1
    }
    /// The corners of chords that take in the same area as the closed path; no corner is repeated.
    pub(super) fn level_corners(&self, tolerance: f64) -> Vec<Point> {
        self.pieces.iter().flat_map(|piece| piece.level_corners(tolerance)).collect()
    }
    /// The corners of its chords; no corner is repeated.
    pub(super) fn corners(&self, tolerance: f64) -> Vec<Point> {
        let mut corners: Vec<Point> = self.pieces.iter().flat_map(|piece| piece.corners(tolerance)).collect();
        if !self.closed {
            corners.push(self.end());
        }
        corners
    }
}

fn checked_piece(at: Point, edge: &Edge, number: usize) -> Result<Piece, Fault> {
    let piece = match *edge {
        Edge::Line { to } => Piece::line(at, to),
        Edge::Parabola { control, to } => Piece { a: at, b: to, curve: Curve::Parabola(control) },
        Edge::Arc { centre, radii, from, sweep } => Piece::arc(Arc { centre, radii, from, sweep }),
    };
    if !is_finite(&piece) {
        return Err(Fault::NotFinite { edge: number });
    }
    let Curve::Arc(arc) = piece.curve else {
        return Ok(piece);
    };
    let turn = arc.sweep.abs();
    let sized = 0.0 < arc.radii[0].min(arc.radii[1]) && 0.0 < turn && turn <= TAU * (1.0 + 1e-12);
    if sized { Ok(piece) } else { Err(Fault::ArcSize { edge: number }) }
}

fn is_finite(piece: &Piece) -> bool {
    let shape = match piece.curve {
        Curve::Line => [0.0; 4],
        Curve::Arc(arc) => [arc.radii[0], arc.radii[1], arc.from, arc.sweep],
        Curve::Parabola(c) => [c[0], c[1], 0.0, 0.0],
    };
    piece.a.iter().chain(&piece.b).chain(&shape).all(|x| x.is_finite())
}

fn bounds_of(pieces: &[Piece]) -> [Point; 2] {
    let none = [[f64::INFINITY; 2], [f64::NEG_INFINITY; 2]];
    pieces.iter().map(Piece::bounds).fold(none, |[low, high], [least, greatest]| {
        [[low[0].min(least[0]), low[1].min(least[1])], [high[0].max(greatest[0]), high[1].max(greatest[1])]]
    })
}

fn extent_of(pieces: &[Piece]) -> f64 {
    let [low, high] = bounds_of(pieces);
    size(minus(high, low))
}

/// The arc of a circle from a over m to b; a line where it is all but straight; none where m is not between.
fn arc_through(a: Point, m: Point, b: Point) -> Option<Piece> {
    let (p, q) = (minus(m, a), minus(b, a));
    let (twice, chord) = (cross(p, q), dot(q, q));
    if twice.abs() <= STRAIGHT * chord {
        let share = dot(p, q) / chord;
        return (0.0 < share && share < 1.0).then(|| Piece::line(a, b));
    }
    let (pp, qq) = (dot(p, p), dot(q, q));
    let out = times([q[1] * pp - p[1] * qq, p[0] * qq - q[0] * pp], 0.5 / twice);
    let [from, to] = [times(out, -1.0), minus(q, out)].map(|[u, v]| v.atan2(u));
    let sweep = if 0.0 < twice { (to - from).rem_euclid(TAU) } else { -(from - to).rem_euclid(TAU) };
    let arc = Arc::round(plus(a, out), size(out), from, sweep);
    Some(Piece { a, b, curve: Curve::Arc(arc) })
}

/// How often a piece crosses the ray that goes aft from a point.
fn crossings(piece: &Piece, point: Point) -> usize {
    let mut turns: Vec<f64> = [0.0, 1.0].into_iter().chain(piece.turns_at(1)).collect();
    turns.sort_by(f64::total_cmp);
    turns.windows(2).filter(|part| crosses(piece, part[0], part[1], point)).count()
}

/// Whether a part that only rises or only falls crosses the ray.
fn crosses(piece: &Piece, mut low: f64, mut high: f64, point: Point) -> bool {
    let below = |t: f64| {
        let place = if t <= 0.0 {
            piece.a
        } else if 1.0 <= t {
            piece.b
        } else {
            piece.at(t)
        };
        place[1] <= point[1]
    };
    let start = below(low);
    if start == below(high) {
        return false;
    }
    if let Curve::Line = piece.curve {
        let share = (point[1] - piece.a[1]) / (piece.b[1] - piece.a[1]);
        return point[0] < piece.a[0] + share * (piece.b[0] - piece.a[0]);
    }
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if below(middle) == start { low = middle } else { high = middle }
    }
    point[0] < piece.at(low)[0]
}
