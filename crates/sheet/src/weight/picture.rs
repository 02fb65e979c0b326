//! The surface of a weight with the mouths of its holes: for pictures, and as JSON for a page's script.
//!
//! Main functions: [`picture_of`] and [`surface_json`]. A hole is shown by its rim: where the drill first meets the
//! surface. Not covered: screws, of which a sheet gives only the arm.

use std::collections::BTreeMap;
use std::f64::consts::TAU;

use hingeline_ballast::design::{Design, Fault, Form, Hole, Mouth, Prism, Solution};
use hingeline_bench::weight::Hand;
use serde::Serialize;

use crate::drawing::{self, WeightPicture};

/// Corners of the rim of a hole.
const RIM: u32 = 32;

/// Most triangles of a measured piece that are drawn.
pub(super) const MOST_DRAWN: usize = 4000;

/// Ends along the hinge line no further apart than this, m, are alike.
const ALIKE: f64 = 1e-9;

/// A place, x aft, y outboard, z up, m.
type Place = [f64; 3];

/// The body before holes with the mouths of its holes on it. Its flat sides are no further from it than a tolerance, m,
/// above 0; a measured piece is coarsened to 4000 triangles.
///
/// # Errors
/// As for [`Solution::mesh`].
pub fn picture_of(
    design: &Design,
    solution: &Solution,
    hand: Hand,
    tolerance: f64,
) -> Result<WeightPicture, Fault> {
    let triangles = surface(solution, tolerance)?;
    let holes = design.holes.iter().flat_map(|hole| rims(hole, &triangles)).collect();
    Ok(WeightPicture { holes, triangles, hand: hand_of(design, solution, hand) })
}

/// The triangles of that.
pub(super) fn surface(solution: &Solution, tolerance: f64) -> Result<Vec<[Place; 3]>, Fault> {
    let mesh = match &solution.form {
        Form::Measured { surface, .. } if MOST_DRAWN < surface.triangles().len() => {
            surface.coarsened(MOST_DRAWN)
        }
        _ => solution.mesh(tolerance)?,
    };
    Ok(mesh.triangles().to_vec())
}

/// The rims of a hole, the wider mouth before the bore; none where the drill does not meet the surface all round.
fn rims(hole: &Hole, triangles: &[[Place; 3]]) -> Vec<Vec<Place>> {
    let wider = hole.head.map(|head| head.diameter());
    let diameters = wider.into_iter().chain([hole.diameter]);
    diameters.filter_map(|diameter| rim(hole.mouth, diameter, triangles)).collect()
}

fn rim(mouth: Mouth, diameter: f64, triangles: &[[Place; 3]]) -> Option<Vec<Place>> {
    // along which axis the drill goes, which way, and its middle on the two others, in their order
    let (axis, way, middle) = match mouth {
        Mouth::Front { y, z } => (0, 1.0, [y, z]),
        Mouth::End { x, z } => (1, 1.0, [x, z]),
        Mouth::Top { x, y } => (2, -1.0, [x, y]),
        Mouth::Bottom { x, y } => (2, 1.0, [x, y]),
    };
    let corner = |step: u32| {
        let (sin, cos) = (TAU * f64::from(step) / f64::from(RIM)).sin_cos();
        let place = [middle[0] + 0.5 * diameter * cos, middle[1] + 0.5 * diameter * sin];
        let met = triangles.iter().filter_map(|triangle| met(triangle, axis, place));
        let first = met.min_by(|a, b| (a * way).total_cmp(&(b * way)))?;
        let mut corner = [place[0], place[1], place[1]];
        match axis {
            0 => corner = [first, place[0], place[1]],
            1 => corner[1] = first,
            _ => corner[2] = first,
        }
        Some(corner)
    };
    let rim: Option<Vec<Place>> = (0..RIM).map(corner).collect();
    // y, z about x and x, y about z run counterclockwise towards the positive end; x, z about y the other way
    let is_outward = (way < 0.0) != (axis == 1);
    rim.map(|mut rim| {
        if !is_outward {
            rim.reverse();
        }
        rim
    })
}

/// Where a line along an axis meets a triangle.
fn met([a, b, c]: &[Place; 3], axis: usize, [u, v]: [f64; 2]) -> Option<f64> {
    let (first, second) = ([1, 0, 0][axis], [2, 2, 1][axis]);
    let gap = |p: &Place| [p[first] - u, p[second] - v];
    let area = |p: [f64; 2], q: [f64; 2]| p[0] * q[1] - p[1] * q[0];
    let [p, q, r] = [gap(a), gap(b), gap(c)];
    let shares = [area(q, r), area(r, p), area(p, q)];
    let whole: f64 = shares.iter().sum();
    let is_inside = shares.iter().all(|share| 0.0 <= share * whole.signum());
    (is_inside && 0.0 < whole.abs())
        .then(|| (shares[0] * a[axis] + shares[1] * b[axis] + shares[2] * c[axis]) / whole)
}

/// Of which surface drawings say that the piece is: of either, where it is its own mirror image along the hinge line.
pub(super) fn hand_of(design: &Design, solution: &Solution, hand: Hand) -> drawing::Hand {
    match hand {
        _ if matches!(solution.form, Form::Measured { .. }) => drawing::Hand::AsDrawn,
        _ if is_mirrored(design, solution) => drawing::Hand::Either,
        Hand::Right => drawing::Hand::Right,
        Hand::Left => drawing::Hand::Left,
    }
}

fn is_mirrored(design: &Design, solution: &Solution) -> bool {
    let prisms = &solution.body.prisms;
    let middle = match &solution.form {
        Form::Frustum { rear, .. } => rear[1],
        _ => {
            let low = prisms.iter().map(|prism| prism.from_y).fold(f64::INFINITY, f64::min);
            let high = prisms.iter().map(|prism| prism.to_y).fold(f64::NEG_INFINITY, f64::max);
            f64::midpoint(low, high)
        }
    };
    let is_opposite = |a: f64, b: f64| (a + b - 2.0 * middle).abs() < ALIKE;
    let has_twin = |one: &Prism| {
        let is_twin = |other: &Prism| {
            is_opposite(one.from_y, other.to_y)
                && is_opposite(one.to_y, other.from_y)
                && one.outline == other.outline
        };
        prisms.iter().any(is_twin)
    };
    let has_other = |hole: &Hole| {
        let mouth = match hole.mouth {
            Mouth::Front { y, z } => Mouth::Front { y: 2.0 * middle - y, z },
            Mouth::Top { x, y } => Mouth::Top { x, y: 2.0 * middle - y },
            Mouth::Bottom { x, y } => Mouth::Bottom { x, y: 2.0 * middle - y },
            Mouth::End { .. } => return false,
        };
        let is_there = |other: &Hole| {
            is_near(mouth, other.mouth)
                && Hole { mouth: hole.mouth, name: hole.name.clone(), ..other.clone() } == *hole
        };
        design.holes.iter().any(is_there)
    };
    prisms.iter().all(has_twin) && design.holes.iter().all(has_other)
}

fn is_near(one: Mouth, other: Mouth) -> bool {
    let near = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).abs() < ALIKE && (a[1] - b[1]).abs() < ALIKE;
    match (one, other) {
        (Mouth::Front { y, z }, Mouth::Front { y: b, z: c }) => near([y, z], [b, c]),
        (Mouth::Top { x, y }, Mouth::Top { x: a, y: b })
        | (Mouth::Bottom { x, y }, Mouth::Bottom { x: a, y: b }) => near([x, y], [a, b]),
        _ => false,
    }
}

/// What a page's script reads: whole numbers of a hundredth of a millimetre.
#[derive(Serialize)]
struct Shared {
    /// Metres in one of the corners' numbers.
    unit_m: f64,
    /// x, y, z of every corner, one after the other.
    corners: Vec<i64>,
    /// Three indices of corners for every triangle.
    triangles: Vec<u32>,
    /// The rim of every hole: x, y, z of every corner, one after the other.
    holes: Vec<Vec<i64>>,
}

/// A picture as compact JSON: `{"unit_m":1e-5,"corners":[x,y,z,…],"triangles":[a,b,c,…],"holes":[[x,y,z,…],…]}`, x aft,
/// y to the right as the pilot sits, z up; triangles and rims counterclockwise as seen from outside.
#[must_use]
pub fn surface_json(picture: &WeightPicture) -> String {
    let unit_m = 1e-5;
    // outboard is to the left of a left-hand surface
    let is_left = picture.hand == drawing::Hand::Left;
    let side = if is_left { -1.0 } else { 1.0 };
    let place = |[x, y, z]: Place| [x, side * y, z].map(|value| whole(value / unit_m));
    let mut places: BTreeMap<[i64; 3], u32> = BTreeMap::new();
    let mut shared = Shared { unit_m, corners: Vec::new(), triangles: Vec::new(), holes: Vec::new() };
    for triangle in &picture.triangles {
        let [a, b, c] = triangle.map(place).map(|corner| {
            let next = u32::try_from(places.len()).unwrap_or(u32::MAX);
            *places.entry(corner).or_insert_with(|| {
                shared.corners.extend(corner);
                next
            })
        });
        if a != b && b != c && c != a {
            shared.triangles.extend(if is_left { [a, c, b] } else { [a, b, c] });
        }
    }
    shared.holes = picture
        .holes
        .iter()
        .map(|rim| {
            let mut rim: Vec<Place> = rim.clone();
            if is_left {
                rim.reverse();
            }
            rim.into_iter().flat_map(place).collect()
        })
        .collect();
    serde_json::to_string(&shared).unwrap_or_default()
}

#[expect(clippy::cast_possible_truncation, reason = "the mesh keeps within 1e4 m: 1e9 of the unit")]
fn whole(value: f64) -> i64 {
    value.round() as i64
}
