//! An outline parted by a straight line, as for a cap cast in two halves.
//!
//! Main method: [`Outline::cut`]. Every edge is split where it meets the line; the runs on the kept side are joined along
//! the line, each to the next one ahead with the metal on the left. Exact for every kind of edge.

use super::piece::{Curve, Piece, dot, left, minus, times, unit};
use super::{Fault, Outline, Path, Point, Ring};

/// The line of a cut and the side that is kept.
struct Cut {
    through: Point,
    /// Away from the line into what is kept, of length 1.
    normal: Point,
}

/// Consecutive pieces on the kept side, from the line to the line.
struct Run {
    pieces: Vec<Piece>,
    /// Where along the line it begins and ends, m.
    entry: f64,
    exit: f64,
}

impl Outline {
    /// What lies on one side of the straight line through a point: the side that a direction points into, square to the
    /// line. The parts are outlines of their own, in the order of the rim; none where nothing lies on that side.
    ///
    /// # Errors
    /// A value that is not finite or a direction of no length.
    pub fn cut(&self, through: Point, towards: Point) -> Result<Vec<Self>, Fault> {
        let cut = Cut { through, normal: unit(towards) };
        if !cut.normal.iter().chain(&through).all(|x| x.is_finite()) {
            return Err(Fault::NotFinite { edge: 0 });
        }
        let (mut runs, mut holes) = (Vec::new(), Vec::new());
        let mut outers = Vec::new();
        for (index, path) in self.paths().enumerate() {
            match cut.runs(path) {
                Kept::Whole if index == 0 => outers.push(path.clone()),
                Kept::Whole => holes.push(path.clone()),
                Kept::Runs(more) => runs.extend(more),
            }
        }
        outers.extend(joined(runs)?);
        outers.into_iter().map(|outer| with_its_holes(outer, &holes)).collect()
    }
}

enum Kept {
    Whole,
    Runs(Vec<Run>),
}

fn with_its_holes(outer: Path, holes: &[Path]) -> Result<Outline, Fault> {
    let inside = holes.iter().filter(|hole| outer.surrounds(hole.start())).cloned().collect();
    Outline::new(outer, inside)
}

impl Cut {
    fn height(&self, point: Point) -> f64 {
        dot(minus(point, self.through), self.normal)
    }
    /// How far along the line, with what is kept on the left, m.
    fn along(&self, point: Point) -> f64 {
        dot(minus(point, self.through), times(left(self.normal), -1.0))
    }
    fn runs(&self, path: &Path) -> Kept {
        let least = 1e-12 * path.extent();
        let split: Vec<(Piece, bool)> = path
            .pieces
            .iter()
            .flat_map(|piece| self.split(piece))
            .map(|part| (part, least < self.height(part.at(0.5))))
            .collect();
        let Some(lost) = split.iter().position(|(_, kept)| !kept) else {
            return Kept::Whole;
        };
        let (head, tail) = split.split_at(lost);
        let turned: Vec<(Piece, bool)> = tail.iter().chain(head).copied().collect();
        let runs = turned.split(|(_, kept)| !kept).filter(|run| !run.is_empty());
        Kept::Runs(runs.map(|run| self.run(run.iter().map(|(piece, _)| *piece).collect())).collect())
    }
    fn run(&self, pieces: Vec<Piece>) -> Run {
        let end = |point: Option<Point>| point.map_or(f64::NAN, |point| self.along(point));
        let entry = end(pieces.first().map(|piece| piece.a));
        let exit = end(pieces.last().map(|piece| piece.b));
        Run { pieces, entry, exit }
    }
    /// The parts of a piece on either side.
    fn split(&self, piece: &Piece) -> Vec<Piece> {
        let mut places: Vec<f64> =
            self.meetings(piece).into_iter().filter(|t| 1e-12 < *t && *t < 1.0 - 1e-12).collect();
        places.sort_by(f64::total_cmp);
        places.insert(0, 0.0);
        places.push(1.0);
        let mut parts: Vec<Piece> = places.windows(2).map(|two| piece.part(two[0], two[1])).collect();
        if let Some(first) = parts.first_mut() {
            first.a = piece.a;
        }
        if let Some(last) = parts.last_mut() {
            last.b = piece.b;
        }
        parts
    }
    /// Where along a piece it meets the line; what is not a number or not between 0 and 1 is no meeting.
    fn meetings(&self, piece: &Piece) -> [f64; 2] {
        let (a, b) = (self.height(piece.a), self.height(piece.b));
        match piece.curve {
            Curve::Line => [a / (a - b), f64::NAN],
            Curve::Arc(arc) => {
                let [p, q] = [arc.radii[0] * self.normal[0], arc.radii[1] * self.normal[1]];
                let half = (-self.height(arc.centre) / p.hypot(q)).acos();
                let middle = q.atan2(p);
                [arc.share(middle - half), arc.share(middle + half)]
            }
            Curve::Parabola(control) => {
                let c = self.height(control);
                roots(a - 2.0 * c + b, 2.0 * (c - a), a)
            }
        }
    }
}

/// The roots of a t² + b t + c, without loss of digits.
fn roots(a: f64, b: f64, c: f64) -> [f64; 2] {
    let q = -0.5 * (b + (b * b - 4.0 * a * c).sqrt().copysign(b));
    [q / a, c / q]
}

/// Closed paths of runs, each joined to the nearest that begins ahead of its end along the line.
fn joined(mut runs: Vec<Run>) -> Result<Vec<Path>, Fault> {
    let size = runs.iter().map(|run| run.exit.abs().max(run.entry.abs())).fold(0.0, f64::max);
    let mut paths = Vec::new();
    while !runs.is_empty() {
        let Run { mut pieces, entry, mut exit } = runs.remove(0);
        loop {
            let ahead = |place: f64| exit - 1e-9 * size <= place;
            let next = (0..runs.len())
                .filter(|index| ahead(runs[*index].entry))
                .min_by(|one, other| runs[*one].entry.total_cmp(&runs[*other].entry));
            let Some(next) = next.filter(|next| !ahead(entry) || runs[*next].entry < entry) else {
                break;
            };
            let run = runs.remove(next);
            if let (Some(last), Some(first)) = (pieces.last().copied(), run.pieces.first()) {
                pieces.push(Piece::line(last.b, first.a));
            }
            pieces.extend(run.pieces);
            exit = run.exit;
        }
        paths.push(closed(pieces)?);
    }
    Ok(paths)
}

fn closed(mut pieces: Vec<Piece>) -> Result<Path, Fault> {
    let (Some(first), Some(last)) = (pieces.first().copied(), pieces.last().copied()) else {
        return Err(Fault::TooFewEdges { ring: Ring::Outer, edges: 0 });
    };
    pieces.push(Piece::line(last.b, first.a));
    Path::from_pieces(pieces)
}
