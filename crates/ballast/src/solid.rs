//! Exact moments of handbook solids, each in a frame of its own: move and turn them to their place.
//!
//! Main type: [`Moments`], made by one function for each solid. Bodies of one section stand along y between 0 and their
//! width, their rear face on x = 0 and the body forward of it, as the outlines do. Turned bodies have z as their axis and
//! stand on z = 0 unless said otherwise; [`turned_to`] gives the turn to another axis. Lengths are in m and above 0,
//! angles in rad; they are not checked here, and what is not a number stays none. Sources: the definitions; the forms
//! agree with those of handbooks (Machinery's Handbook; Pilkey, Formulas for Stress, Strain, and Structural Matrices).
//! Not covered: bodies of other sections, see [`crate::outline`].

use std::f64::consts::{FRAC_PI_2, PI};

use crate::outline::PlaneMoments;
use crate::{Matrix, Moments, Vector};

/// A brick of three sizes along x, y and z, its centroid at the origin.
#[must_use]
pub fn brick(sizes: Vector) -> Moments {
    let [a, b, c] = sizes;
    let volume = a * b * c;
    centred_diagonal(volume, sizes.map(|side| volume * side * side / 12.0))
}

/// A wedge along y: its rear face of a height stands on x = 0, half above z = 0, and its edge points forward.
#[must_use]
pub fn wedge(length: f64, height: f64, width: f64) -> Moments {
    let area = length * height / 2.0;
    let second = [area * length * length / 18.0, area * height * height / 24.0];
    prism(PlaneMoments::centred(area, second), length / 3.0, width)
}

/// A half cylinder along y: its flat stands on x = 0, half above z = 0, and its round points forward.
#[must_use]
pub fn half_cylinder(radius: f64, width: f64) -> Moments {
    half_elliptic_cylinder(radius, radius, width)
}

/// A half elliptic cylinder along y: its flat of twice the half height stands on x = 0, and it reaches forward by its
/// length.
#[must_use]
pub fn half_elliptic_cylinder(length: f64, half_height: f64, width: f64) -> Moments {
    let area = FRAC_PI_2 * length * half_height;
    let forward = 4.0 * length / (3.0 * PI);
    let second = [area * (length * length / 4.0 - forward * forward), area * half_height * half_height / 4.0];
    prism(PlaneMoments::centred(area, second), forward, width)
}

/// A parabolic nose along y: its base of twice the half height stands on x = 0, and its vertex points forward.
#[must_use]
pub fn parabolic_nose(length: f64, half_height: f64, width: f64) -> Moments {
    let area = 4.0 * length * half_height / 3.0;
    let second = [16.0 * length.powi(3) * half_height / 175.0, 4.0 * length * half_height.powi(3) / 15.0];
    prism(PlaneMoments::centred(area, second), 2.0 * length / 5.0, width)
}

/// A part of a ring of rectangular section, bent about the y axis and along it: the inner and the outer radius, and the
/// angle, up to a whole turn, half of it on either side of straight forward.
#[must_use]
pub fn annular_sector(inner: f64, outer: f64, angle: f64, width: f64) -> Moments {
    let area = angle * (outer * outer - inner * inner) / 2.0;
    let forward = 2.0 / 3.0 * (outer.powi(3) - inner.powi(3)) * (angle / 2.0).sin();
    let fourth = (outer.powi(4) - inner.powi(4)) / 8.0;
    let second = [[fourth * (angle + angle.sin()), 0.0], [0.0, fourth * (angle - angle.sin())]];
    PlaneMoments { area, first: [-forward, 0.0], second }.extruded(0.0, width)
}

/// A cylinder along z, standing on z = 0 about the z axis.
#[must_use]
pub fn cylinder(radius: f64, length: f64) -> Moments {
    frustum(radius, radius, length)
}

/// A cone standing on z = 0 about the z axis, its point up.
#[must_use]
pub fn cone(radius: f64, height: f64) -> Moments {
    frustum(radius, 0.0, height)
}

/// A frustum of a cone about the z axis: one radius at z = 0, the other at z = its height.
#[must_use]
pub fn frustum(radius: f64, upper_radius: f64, height: f64) -> Moments {
    let (p, q, h) = (radius, upper_radius, height);
    let across = PI * h / 20.0 * (p.powi(4) + p.powi(3) * q + p * p * q * q + p * q.powi(3) + q.powi(4));
    let along = PI * h.powi(3) / 30.0 * (p * p + 3.0 * p * q + 6.0 * q * q);
    Moments {
        total: PI * h / 3.0 * (p * p + p * q + q * q),
        first: [0.0, 0.0, PI * h * h / 12.0 * (p * p + 2.0 * p * q + 3.0 * q * q)],
        second: diagonal([across, across, along]),
    }
}

/// A ball about the origin.
#[must_use]
pub fn sphere(radius: f64) -> Moments {
    let volume = 4.0 / 3.0 * PI * radius.powi(3);
    centred_diagonal(volume, [volume * radius * radius / 5.0; 3])
}

/// What a plane cuts off a ball about the origin at its upper end: from z = radius less height up to z = radius.
#[must_use]
pub fn spherical_cap(radius: f64, height: f64) -> Moments {
    let (r, h) = (radius, height);
    let side = h * (2.0 * r - h); // the square of the radius of the flat
    // In powers of h, for ∫ (R² - z²)² and ∫ z² (R² - z²) over the cap without loss of digits.
    let across = PI / 4.0 * h.powi(3) * (4.0 * r * r / 3.0 - r * h + h * h / 5.0);
    let along = PI * (r.powi(3) * h * h - 5.0 / 3.0 * r * r * h.powi(3) + r * h.powi(4) - h.powi(5) / 5.0);
    Moments {
        total: PI * h * h * (r - h / 3.0),
        first: [0.0, 0.0, PI / 4.0 * side * side],
        second: diagonal([across, across, along]),
    }
}

/// A piece of a ring of round section, bent about the z axis: the radius of the bend to the middle of the section, the
/// radius of the section, and the angle, up to a whole turn, half of it on either side of the x axis.
#[must_use]
pub fn ring_segment(bend: f64, radius: f64, angle: f64) -> Moments {
    let section = PI * radius * radius;
    let square = radius * radius;
    let outward = section * (bend.powi(3) + 0.75 * bend * square);
    Moments {
        total: section * bend * angle,
        first: [section * (bend * bend + square / 4.0) * 2.0 * (angle / 2.0).sin(), 0.0, 0.0],
        second: diagonal([
            outward * (angle + angle.sin()) / 2.0,
            outward * (angle - angle.sin()) / 2.0,
            section * square / 4.0 * bend * angle,
        ]),
    }
}

/// A tetrahedron of four corners, in any order.
#[must_use]
pub fn tetrahedron(corners: [Vector; 4]) -> Moments {
    let [a, b, c, d] = corners;
    let [p, q, r] = [b, c, d].map(|corner| std::array::from_fn::<f64, 3, _>(|i| corner[i] - a[i]));
    let volume = (p[0] * (q[1] * r[2] - q[2] * r[1])
        + p[1] * (q[2] * r[0] - q[0] * r[2])
        + p[2] * (q[0] * r[1] - q[1] * r[0]))
        .abs()
        / 6.0;
    let sum: Vector = std::array::from_fn(|i| corners.iter().map(|corner| corner[i]).sum());
    let second = |i: usize, j: usize| {
        volume / 20.0 * (corners.iter().map(|corner| corner[i] * corner[j]).sum::<f64>() + sum[i] * sum[j])
    };
    Moments {
        total: volume,
        first: sum.map(|x| volume * x / 4.0),
        second: std::array::from_fn(|i| std::array::from_fn(|j| second(i, j))),
    }
}

/// How deep a hole is drilled. Point angles are those of the drill, from edge to edge: 118° and 135° are common.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Drilled {
    /// Right through metal of a thickness, m: no cone counts.
    Through {
        /// m.
        thickness: f64,
    },
    /// The depth of the full diameter, m; the cone of the point goes beyond.
    FullDiameter {
        /// m.
        depth: f64,
        /// rad, above 0, below half a turn.
        point_angle: f64,
    },
    /// The depth to the tip of the point, m. A hole shallower than the point is a cone alone.
    ToTip {
        /// m.
        depth: f64,
        /// rad, above 0, below half a turn.
        point_angle: f64,
    },
}

/// How long the cone of a point is, m: (d/2) ÷ tan(angle/2).
#[must_use]
pub fn point_length(diameter: f64, point_angle: f64) -> f64 {
    0.5 * diameter / (0.5 * point_angle).tan()
}

/// What a drill takes out: its mouth about the origin, flat on z = 0, the hole going up along z.
#[must_use]
pub fn drill_hole(diameter: f64, drilled: Drilled) -> Moments {
    let radius = diameter / 2.0;
    let point = |angle: f64| point_length(diameter, angle);
    match drilled {
        Drilled::Through { thickness } => cylinder(radius, thickness),
        Drilled::FullDiameter { depth, point_angle } => pointed(radius, depth, point(point_angle)),
        Drilled::ToTip { depth, point_angle } => {
            let point = point(point_angle);
            let reached = depth.min(point);
            pointed(radius * reached / point, depth - reached, reached)
        }
    }
}

fn pointed(radius: f64, straight: f64, point: f64) -> Moments {
    cylinder(radius, straight) + cone(radius, point).moved([0.0, 0.0, straight])
}

/// The turn that takes the z axis to a direction, given with any length; none for a direction of no length.
#[must_use]
pub fn turned_to(direction: Vector) -> Option<Matrix> {
    let [x, y, z] = direction;
    let size = x.hypot(y).hypot(z);
    let [x, y, z] = direction.map(|part| part / size);
    if !(x.is_finite() && y.is_finite() && z.is_finite()) {
        return None;
    }
    if z < 0.0 {
        // By way of half a turn about the x axis, to stay clear of the division by 1 + z.
        let turn = turned_to([x, -y, -z])?;
        return Some([turn[0], turn[1].map(|part| -part), turn[2].map(|part| -part)]);
    }
    let k = 1.0 / (1.0 + z);
    Some([[1.0 - k * x * x, -k * x * y, x], [-k * x * y, 1.0 - k * y * y, y], [-x, -y, z]])
}

/// A section with its centroid at a distance forward of x = 0, along y from 0 to a width.
fn prism(section: PlaneMoments, forward: f64, width: f64) -> Moments {
    section.moved([-forward, 0.0]).extruded(0.0, width)
}

fn diagonal(of: Vector) -> Matrix {
    std::array::from_fn(|i| std::array::from_fn(|j| if i == j { of[i] } else { 0.0 }))
}

fn centred_diagonal(total: f64, of: Vector) -> Moments {
    Moments::centred(total, diagonal(of))
}
