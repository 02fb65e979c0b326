//! The section of a shell laid over a path: the strip between the path and its parallel at a distance, and outlines
//! grown or shrunk by a distance.
//!
//! Main methods: [`Path::strip`], [`Outline::grown`]. Lines and arcs of circles have parallels of their own kind, so the
//! result is exact; ellipses and parabolas are refused, [`Path::faceted`] replaces them. At a corner that points away
//! the parallel goes round on a circle about the corner; at one that points inward it is trimmed where its neighbours
//! meet. An edge that would be swallowed whole is a fault, not a repair. Source: Steiner's formula checks it.

use super::crossing::{self, is_plain, meetings, share_of};
use super::piece::{Arc, Curve, Piece, cross, dot, left, minus, size, times};
use super::{Fault, Outline, Path, Point, Ring};

/// A smaller turn between two edges than this, rad, is none.
const SMOOTH: f64 = 1e-8;
/// How often the span is halved in search of the largest thickness.
const HALVINGS: usize = 40;

/// A side of a path, looking along it with u to the right and v up. Along a front that is traced from its upper rear
/// corner forward round the nose to the lower one, the outside is on the right.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Left.
    Left,
    /// Right.
    Right,
}

/// How the parallels of two edges that follow each other are joined.
enum Joint {
    /// They meet end to end.
    Smooth,
    /// By an arc about the corner.
    Round(Piece),
    /// Both end where they meet: how far along the one and the other.
    Trimmed { at: Point, before: f64, after: f64 },
}

impl Path {
    /// The figure between the path and its parallel at a thickness t (m, above 0) on one side, with square ends; of a
    /// closed path the ring.
    ///
    /// Without inward corners its area is L t + Σ t²/2 times the turning angle, outward positive (Steiner).
    ///
    /// ```
    /// use hingeline_ballast::outline::{Path, Side, Traced};
    ///
    /// // The front of an old weight of 40 mm, from its upper rear corner round the nose to the lower one.
    /// let front = Path::traced(
    ///     [0.0, 0.020],
    ///     &[
    ///         Traced::Line { to: [-0.050, 0.020] },
    ///         Traced::Arc { through: [-0.070, 0.0], to: [-0.050, -0.020] },
    ///         Traced::Line { to: [0.0, -0.020] },
    ///     ],
    /// )?;
    /// let cap = front.strip(0.003, Side::Right)?;
    /// let weight_of_lead = cap.extruded(0.0, 0.100) * 11_340.0;
    /// assert!((weight_of_lead.total - 0.56999).abs() < 0.00001);
    /// # Ok::<(), hingeline_ballast::outline::Fault>(())
    /// ```
    ///
    /// # Errors
    /// A thickness that is not above 0; an edge that is an ellipse or a parabola; a path that crosses itself; a
    /// thickness that swallows an edge or lets the parallel cross itself or the path, with the largest that fits.
    pub fn strip(&self, thickness: f64, side: Side) -> Result<Outline, Fault> {
        checked(self, thickness)?;
        let path = self.on_left(side);
        largest(self, thickness, |t| strip(&path, t))
    }
    /// The parallel at a distance (m, above 0) on one side, in the direction of the path.
    ///
    /// # Errors
    /// As for [`Path::strip`].
    pub fn parallel(&self, distance: f64, side: Side) -> Result<Self, Fault> {
        checked(self, distance)?;
        let path = self.on_left(side);
        let found = largest(self, distance, |t| {
            let found = parallel(&path, t)?;
            crossing::within(&found).map_or(Ok(found), |crossing| Err(crossing.at))
        })?;
        Ok(if side == Side::Left { found } else { found.reversed() })
    }
    fn on_left(&self, side: Side) -> Self {
        if side == Side::Left { self.clone() } else { self.reversed() }
    }
}

impl Outline {
    /// The outline with its metal grown by a thickness (m, above 0) everywhere: the outside larger with its corners
    /// rounded, holes smaller.
    ///
    /// # Errors
    /// A thickness that is not above 0 or does not fit, with the largest that does; an ellipse or a parabola in it.
    pub fn grown(&self, thickness: f64) -> Result<Self, Fault> {
        self.offset(thickness, Side::Right)
    }
    /// The outline with a thickness (m, above 0) of metal taken off everywhere: the outside smaller, holes larger.
    ///
    /// # Errors
    /// A thickness that is not above 0 or does not fit, with the largest that does; an ellipse or a parabola in it.
    pub fn shrunk(&self, thickness: f64) -> Result<Self, Fault> {
        self.offset(thickness, Side::Left)
    }
    fn offset(&self, thickness: f64, side: Side) -> Result<Self, Fault> {
        for path in self.paths() {
            checked(path, thickness)?;
        }
        let outer = self.outer.on_left(side);
        let holes: Vec<Path> = self.holes.iter().map(|hole| hole.on_left(side)).collect();
        largest(&self.outer, thickness, |t| {
            let inner = holes.iter().map(|hole| parallel(hole, t)).collect::<Result<_, _>>()?;
            Self::new(parallel(&outer, t)?, inner).map_err(|fault| place_of(&fault, &outer))
        })
    }
}

fn checked(path: &Path, thickness: f64) -> Result<(), Fault> {
    if !(0.0 < thickness && thickness.is_finite()) {
        return Err(Fault::Thickness { thickness });
    }
    let odd = path.pieces.iter().position(|piece| !is_plain(piece));
    odd.map_or(Ok(()), |edge| Err(Fault::NotRound { edge: edge + 1 }))
}

/// What is made with a thickness, or the fault with the largest thickness with which it can be made.
fn largest<T>(path: &Path, thickness: f64, make: impl Fn(f64) -> Result<T, Point>) -> Result<T, Fault> {
    let at = match make(thickness) {
        Ok(made) => return Ok(made),
        Err(at) => at,
    };
    if let Some(crossing::Crossing { edges: [a, b], at }) = crossing::within(path) {
        return Err(Fault::Crossing { ring: Ring::Outer, edges: [a + 1, b + 1], at });
    }
    let (mut fits, mut fails) = (0.0, thickness);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (fits + fails);
        if make(middle).is_ok() { fits = middle } else { fails = middle }
    }
    Err(Fault::TooThick { thickness, largest: fits, at })
}

fn place_of(fault: &Fault, path: &Path) -> Point {
    match fault {
        Fault::Crossing { at, .. } | Fault::HoleCrosses { at, .. } => *at,
        _ => path.start(),
    }
}

/// The strip on the left, or the place where it fails.
fn strip(path: &Path, thickness: f64) -> Result<Outline, Point> {
    let beside = parallel(path, thickness)?;
    let made = if path.is_closed() {
        let (one, other) = (path.swept_area().abs(), beside.swept_area().abs());
        let (outer, hole) = if one < other { (beside, path.clone()) } else { (path.clone(), beside) };
        Outline::new(outer, vec![hole])
    } else {
        let back = beside.pieces.iter().rev().map(Piece::reversed);
        let mut pieces = Vec::with_capacity(path.pieces.len() + beside.pieces.len() + 2);
        pieces.extend_from_slice(&path.pieces);
        pieces.push(Piece::line(path.end(), beside.end()));
        pieces.extend(back);
        pieces.push(Piece::line(beside.start(), path.start()));
        Path::from_pieces(pieces).and_then(|rim| Outline::new(rim, Vec::new()))
    };
    made.map_err(|fault| place_of(&fault, path))
}

/// The parallel on the left, or the place where an edge is swallowed.
fn parallel(path: &Path, distance: f64) -> Result<Path, Point> {
    let pieces = &path.pieces;
    let beside = pieces.iter().map(|piece| moved_left(piece, distance)).collect::<Result<Vec<_>, _>>()?;
    let count = pieces.len();
    let joint = |index: usize| {
        let next = (index + 1) % count;
        joint([&pieces[index], &pieces[next]], [&beside[index], &beside[next]], distance)
    };
    let mut before = if path.is_closed() { joint(count - 1)? } else { Joint::Smooth };
    let mut run = Vec::with_capacity(2 * count);
    for (index, piece) in beside.iter().enumerate() {
        let open_end = index + 1 == count && !path.is_closed();
        let after = if open_end { Joint::Smooth } else { joint(index)? };
        run.push(trimmed(piece, &before, &after).ok_or(pieces[index].at(0.5))?);
        if let Joint::Round(arc) = &after {
            run.push(*arc);
        }
        before = after;
    }
    Path::from_pieces(run).map_err(|_| path.start())
}

fn moved_left(piece: &Piece, distance: f64) -> Result<Piece, Point> {
    let Curve::Arc(arc) = piece.curve else {
        return Ok(piece.moved(times(left(piece.heading(0.0)), distance)));
    };
    let radius = arc.radii[0] - distance * arc.sweep.signum();
    if radius <= 1e-9 * arc.radii[0] {
        return Err(piece.at(0.5));
    }
    Ok(Piece::arc(Arc { radii: [radius, radius], ..arc }))
}

fn joint(pieces: [&Piece; 2], beside: [&Piece; 2], distance: f64) -> Result<Joint, Point> {
    let corner = pieces[0].b;
    let (before, after) = (pieces[0].heading(1.0), pieces[1].heading(0.0));
    let turn = cross(before, after).atan2(dot(before, after));
    if turn.abs() <= SMOOTH {
        return Ok(Joint::Smooth);
    }
    if turn < 0.0 {
        let [u, v] = left(before);
        return Ok(Joint::Round(Piece::arc(Arc::round(corner, distance, v.atan2(u), turn))));
    }
    let nearest = meetings(beside[0], beside[1])
        .into_iter()
        .flatten()
        .map(|at| (at, share_of(beside[0], at), share_of(beside[1], at)))
        .filter(|(_, before, after)| 0.0 <= *before && *before <= 1.0 && 0.0 <= *after && *after <= 1.0)
        .min_by(|one, other| size(minus(one.0, corner)).total_cmp(&size(minus(other.0, corner))));
    nearest.map(|(at, before, after)| Joint::Trimmed { at, before, after }).ok_or(corner)
}

/// What is left of a parallel between its joints; none where nothing is.
fn trimmed(piece: &Piece, before: &Joint, after: &Joint) -> Option<Piece> {
    let (low, a) = match before {
        Joint::Trimmed { at, after, .. } => (*after, *at),
        _ => (0.0, piece.a),
    };
    let (high, b) = match after {
        Joint::Trimmed { at, before, .. } => (*before, *at),
        _ => (1.0, piece.b),
    };
    (low < high).then(|| Piece { a, b, ..piece.part(low, high) })
}
