//! Plane outlines in the section plane, u = x (aft) and v = z (up), of lines, elliptic arcs and parabolas, with holes;
//! their moments, their rim, the body extruded along the hinge line and its skin.
//!
//! Main types: [`Outline`], and [`Path`] for a run of edges as it is traced. Moments are exact by Green's theorem, edge by
//! edge; shells of a thickness over a path and parallels to an outline keep to lines and arcs and are exact too. Sources:
//! Green's theorem; the forms of handbooks for the solids that check it. Not covered: bodies whose section changes along
//! the hinge line, and triangles ([`Outline::polygon`] gives what is to be triangulated).

mod crossing;
mod cut;
mod fault;
mod green;
mod path;
mod piece;
mod plane;
mod shell;

pub use fault::{Fault, Ring};
pub use path::{Edge, Path, Traced};
pub use plane::{PlaneMoments, Point, Rim, Skin, Surface};
pub use shell::Side;

use std::f64::consts::{FRAC_PI_2, PI};

use crate::Moments;

/// An area of less than this share of the square of the size of the outline is none.
const NO_AREA: f64 = 1e-9;

/// A closed plane figure with holes. It does not cross itself, and its holes lie inside it and apart from each other.
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    /// Counterclockwise, with u to the right and v up.
    outer: Path,
    /// Clockwise.
    holes: Vec<Path>,
}

impl Outline {
    /// A figure of a closed path and the closed paths of its holes, which may run either way round.
    ///
    /// # Errors
    /// A path that is open, has fewer than two edges, crosses or touches itself or encloses no area; a hole that is
    /// outside, crosses or touches the outline, or meets another hole.
    pub fn new(outer: Path, holes: Vec<Path>) -> Result<Self, Fault> {
        let outline =
            Self { outer: counterclockwise(outer, Ring::Outer)?, holes: Vec::with_capacity(holes.len()) };
        holes.into_iter().try_fold(outline, Self::with_hole)
    }
    /// The same with one more hole.
    ///
    /// # Errors
    /// As for [`Outline::new`].
    pub fn with_hole(mut self, hole: Path) -> Result<Self, Fault> {
        let number = self.holes.len() + 1;
        let hole = counterclockwise(hole, Ring::Hole(number))?.reversed();
        if let Some(at) = crossing::between(&self.outer, &hole) {
            return Err(Fault::HoleCrosses { hole: number, at });
        }
        if !self.outer.surrounds(hole.start()) {
            return Err(Fault::HoleOutside { hole: number });
        }
        for (before, other) in self.holes.iter().zip(1..) {
            let nested = before.surrounds(hole.start()) || hole.surrounds(before.start());
            if nested || crossing::between(before, &hole).is_some() {
                return Err(Fault::HolesMeet { hole: number, other });
            }
        }
        self.holes.push(hole);
        Ok(self)
    }

    /// A rectangle, m: its rear face stands on u = 0, its middle at v = 0, and it reaches forward.
    ///
    /// # Errors
    /// A length that is 0 or not finite.
    pub fn rectangle(length: f64, height: f64) -> Result<Self, Fault> {
        let half = 0.5 * height;
        Self::straight(&[[0.0, -half], [0.0, half], [-length, half], [-length, -half]])
    }
    /// A wedge, m: its rear face stands on u = 0, its middle at v = 0, and its edge points forward.
    ///
    /// # Errors
    /// A length that is 0 or not finite.
    pub fn wedge(length: f64, height: f64) -> Result<Self, Fault> {
        let half = 0.5 * height;
        Self::straight(&[[0.0, -half], [0.0, half], [-length, 0.0]])
    }
    /// A figure of straight edges between three points or more, the last joined to the first.
    ///
    /// # Errors
    /// As for [`Outline::new`].
    pub fn straight(points: &[Point]) -> Result<Self, Fault> {
        Self::new(Path::polyline(points)?.closed(), Vec::new())
    }
    /// A circle about the origin, m.
    ///
    /// # Errors
    /// A radius that is not above 0 or not finite.
    pub fn circle(radius: f64) -> Result<Self, Fault> {
        Self::new(Path::circle([0.0; 2], radius)?, Vec::new())
    }
    /// A half circle, m: its flat stands on u = 0, and its round points forward.
    ///
    /// # Errors
    /// A radius that is not above 0 or not finite.
    pub fn half_round(radius: f64) -> Result<Self, Fault> {
        Self::half_ellipse(radius, radius)
    }
    /// A half ellipse, m: its flat of twice the half width stands on u = 0, and it reaches forward by its length.
    ///
    /// # Errors
    /// A length or half width that is not above 0 or not finite.
    pub fn half_ellipse(length: f64, half_width: f64) -> Result<Self, Fault> {
        let arc = Edge::Arc { centre: [0.0; 2], radii: [length, half_width], from: FRAC_PI_2, sweep: PI };
        Self::new(Path::new([0.0, half_width], &[arc])?.closed(), Vec::new())
    }
    /// A parabola with its vertex forward, m: its base of twice the half width stands on u = 0.
    ///
    /// # Errors
    /// A length or half width that is 0 or not finite.
    pub fn parabolic_nose(length: f64, half_width: f64) -> Result<Self, Fault> {
        let nose = Edge::Parabola { control: [-2.0 * length, 0.0], to: [0.0, -half_width] };
        Self::new(Path::new([0.0, half_width], &[nose])?.closed(), Vec::new())
    }
    /// A part of a ring about the origin, m: between two radii, from an angle on over another, both in rad, from
    /// straight forward on, upwards positive.
    ///
    /// # Errors
    /// A radius that is not above 0, radii that are equal, an angle over that is 0 or a whole turn.
    pub fn ring_segment([inner, outer]: [f64; 2], from: f64, over: f64) -> Result<Self, Fault> {
        let (outside, inside) =
            (Path::of_ring(outer, from, over)?, Path::of_ring(inner, from + over, -over)?);
        let mut edges: Vec<Edge> = outside.edges().collect();
        edges.push(Edge::Line { to: inside.start() });
        edges.extend(inside.edges());
        Self::new(Path::new(outside.start(), &edges)?.closed(), Vec::new())
    }

    /// The line around it, counterclockwise with u to the right and v up.
    #[must_use]
    pub fn outer(&self) -> &Path {
        &self.outer
    }
    /// Its holes, clockwise.
    #[must_use]
    pub fn holes(&self) -> &[Path] {
        &self.holes
    }
    fn paths(&self) -> impl Iterator<Item = &Path> {
        std::iter::once(&self.outer).chain(&self.holes)
    }
    fn mapped(&self, map: impl Fn(&Path) -> Path) -> Self {
        Self { outer: map(&self.outer), holes: self.holes.iter().map(map).collect() }
    }

    /// Area, centroid and second moments, exact: lines, elliptic arcs and parabolas have closed forms.
    ///
    /// Checked by the forms of handbooks for half circle, half ellipse and parabola, and by polygons of ever more
    /// corners.
    #[must_use]
    pub fn moments(&self) -> PlaneMoments {
        self.paths().map(Path::swept).sum()
    }
    /// The length of its rim, holes included, and the first moment of it.
    #[must_use]
    pub fn rim(&self) -> Rim {
        self.paths().map(Path::rim).fold(Rim::default(), |sum, rim| sum + rim)
    }
    /// The body that has this section between two places along the hinge line, m, in either order.
    #[must_use]
    pub fn extruded(&self, from_y: f64, to_y: f64) -> Moments {
        self.moments().extruded(from_y, to_y)
    }
    /// The outside of that body, without the walls of its holes: neither brush nor file goes into a bore.
    #[must_use]
    pub fn skin(&self, from_y: f64, to_y: f64) -> Skin {
        let (low, high) = (from_y.min(to_y), from_y.max(to_y));
        let (rim, flat) = (self.outer.rim(), self.moments());
        let length = high - low;
        let area = rim.length * length;
        let [u, v] = rim.first;
        let end = |y: f64| Surface { area: flat.area, first: [flat.first[0], flat.area * y, flat.first[1]] };
        Skin {
            sides: Surface { area, first: [u * length, area * 0.5 * (low + high), v * length] },
            ends: [end(low), end(high)],
        }
    }
    /// The least and the greatest corner of the box around it, m.
    #[must_use]
    pub fn bounds(&self) -> [Point; 2] {
        self.outer.bounds()
    }
    /// Whether a point lies in it and in none of its holes. On the rim itself either answer is right.
    #[must_use]
    pub fn contains(&self, point: Point) -> bool {
        self.outer.surrounds(point) && !self.holes.iter().any(|hole| hole.surrounds(point))
    }
    /// The corners of a polygon whose corners lie on the outline and whose sides are nowhere further from it than a
    /// tolerance, m, above 0: first the outer line counterclockwise, then every hole clockwise. The last corner is not
    /// the first again. An arc has a side in every quarter turn at least, and no edge has more than 20 000.
    ///
    /// Walls thinner than the tolerance may come out crossing.
    #[must_use]
    pub fn polygon(&self, tolerance: f64) -> Vec<Vec<Point>> {
        self.paths().map(|path| path.corners(tolerance)).collect()
    }
    /// The same with the area of the outline: the corners of a curve, but for its ends, stand off it to the outside of
    /// its bend. They are no further from it than the tolerance either. For bodies, whose weight counts.
    #[must_use]
    pub fn level_polygon(&self, tolerance: f64) -> Vec<Vec<Point>> {
        self.paths().map(|path| path.level_corners(tolerance)).collect()
    }

    /// Moved by a displacement, m.
    #[must_use]
    pub fn moved(&self, by: Point) -> Self {
        self.mapped(|path| path.moved(by))
    }
    /// With fore and aft exchanged.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        self.mapped(|path| path.mirrored().reversed())
    }
    /// Turned about the origin, counterclockwise with u to the right and v up, rad.
    ///
    /// # Errors
    /// An ellipse in it.
    pub fn turned(&self, angle: f64) -> Result<Self, Fault> {
        let holes = self.holes.iter().map(|hole| hole.turned(angle)).collect::<Result<_, _>>()?;
        Ok(Self { outer: self.outer.turned(angle)?, holes })
    }
    /// With straight lines, no further off than a tolerance, m, in the place of its ellipses and parabolas.
    #[must_use]
    pub fn faceted(&self, tolerance: f64) -> Self {
        self.mapped(|path| path.faceted(tolerance))
    }
}

/// A closed path that is fit to be a rim, counterclockwise.
fn counterclockwise(path: Path, ring: Ring) -> Result<Path, Fault> {
    let edges = path.pieces.len();
    if !path.is_closed() {
        let [a, b] = [path.start(), path.end()];
        return Err(Fault::Open { ring, gap: piece::size(piece::minus(b, a)) });
    }
    if edges < 2 {
        return Err(Fault::TooFewEdges { ring, edges });
    }
    if let Some(crossing::Crossing { edges: [a, b], at }) = crossing::within(&path) {
        return Err(Fault::Crossing { ring, edges: [a + 1, b + 1], at });
    }
    let area = path.swept_area();
    if area.abs() <= NO_AREA * path.extent() * path.extent() {
        return Err(Fault::NoArea { ring });
    }
    Ok(if area < 0.0 { path.reversed() } else { path })
}
