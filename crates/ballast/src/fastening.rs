//! Screening of the fastening of a balance weight, as a help to an engineer: what every bolt, plate, thread and the
//! root of the arm carries under the load factors, and the margins to the strengths that were named.
//!
//! Main types: [`Fastening`] in, [`Screening`] out, by [`screen`]. Sources: 14 CFR 23.659, 23.303 and 23.625 as they
//! stood (loads and factors), RP-1228 and AISC Part 7 (bolt group), FED-STD-H28/2B (threads). Margins are
//! M.S. = allowable/(factors × limit load) − 1. Not covered: fatigue, vibration, prying, slip, edge distance and
//! tear-out, corrosion, temperature, and the stress that tightening leaves in a bolt. It decides nothing.

use crate::source::Cited;
use crate::thread::Limits;
use crate::{Moments, Vector};
use std::borrow::Cow;

mod check;
mod fault;
mod group;
mod report;
mod screening;
mod tables;
#[cfg(test)]
mod tests;

pub use fault::Fault;
pub use group::{BoltLoad, Heel};
pub use report::FOR_THE_ENGINEER;
pub use screening::{Case, Check, ClampStress, Margin, RootLoad, Screening, Sense, Warning, screen};
pub use tables::{AN_BOLTS, AN_WASHERS, LEAD_SHEAR, LEAD_SUSTAINED, NUT_FACTOR, usual_loads};

/// A mass and where its centroid is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Body {
    /// kg.
    pub mass_kg: f64,
    /// m, in the axes of the surface.
    pub at: Vector,
}

impl Body {
    /// The body of mass moments (kg, kg m); none for a body of no mass.
    #[must_use]
    pub fn of(moments: &Moments) -> Option<Self> {
        Some(Self { mass_kg: moments.total, at: moments.centroid()? })
    }
}

/// The directions in which the load factors are named.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Direction {
    /// Normal to the plane of the surface (z).
    Normal,
    /// Fore and aft (x).
    ForeAndAft,
    /// Parallel to the hinge line (y).
    AlongHinge,
}

/// A limit load factor in one direction; both senses are screened.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// Which way.
    pub direction: Direction,
    /// In standard gravities, above 0.
    pub factor: Cited,
}

/// Factors between limit load and what the strengths are compared with.
#[derive(Debug, Clone, PartialEq)]
pub struct Factors {
    /// Ultimate over limit load, at least 1.
    pub ultimate: Cited,
    /// Fitting factor, at least 1; taken on bolts, bearing, threads and the root of the arm.
    pub fitting: Cited,
}

/// A size of bolt with its strengths.
#[derive(Debug, Clone, PartialEq)]
pub struct BoltSize {
    /// As printed.
    pub name: Cow<'static, str>,
    /// Shank diameter, m.
    pub diameter_m: f64,
    /// Ultimate single shear, N.
    pub shear_n: Cited,
    /// Ultimate tension, N.
    pub tension_n: Cited,
    /// Recommended torque, N m, from and to.
    pub torque_nm: Option<[Cited; 2]>,
}

/// A plain washer.
#[derive(Debug, Clone, PartialEq)]
pub struct Washer {
    /// As printed.
    pub name: Cow<'static, str>,
    /// Outer diameter, m.
    pub outer_m: f64,
    /// Inner diameter, m.
    pub inner_m: f64,
}

/// What lies between head and nut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ClampPath {
    /// Hard metal all the way: a bushing or insert that bears on the arm.
    HardMetal,
    /// Bare lead: it creeps away from under the washer.
    BareLead,
}

/// How a bolt is tightened.
#[derive(Debug, Clone, PartialEq)]
pub struct Clamp {
    /// N m.
    pub torque_nm: f64,
    /// K of T = K P d.
    pub nut_factor: Cited,
    /// The washer that bears on the weight.
    pub washer: Washer,
    /// What the clamp runs through.
    pub path: ClampPath,
}

/// The metal an internal thread is cut in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ThreadedIn {
    /// Steel, brass, aluminium.
    HardMetal,
    /// Lead or antimonial lead.
    Lead,
}

/// An engagement of threads that a pull on the bolt goes through: a bolt in an insert, an insert in lead.
#[derive(Debug, Clone, PartialEq)]
pub struct Grip {
    /// As printed: “bolt in insert”.
    pub name: String,
    /// Limits of size.
    pub limits: Limits,
    /// Engaged length, m.
    pub engagement_m: f64,
    /// Ultimate shear strength of the metal of the external thread, Pa.
    pub external_pa: Cited,
    /// Ultimate shear strength of the metal of the internal thread, Pa.
    pub internal_pa: Cited,
    /// What the internal thread is cut in.
    pub internal: ThreadedIn,
}

/// One bolt of the joint.
#[derive(Debug, Clone, PartialEq)]
pub struct Bolt {
    /// Where its axis meets the joint plane, m.
    pub at: Vector,
    /// Its size.
    pub size: BoltSize,
    /// The threads it pulls on.
    pub grips: Vec<Grip>,
    /// How it is tightened.
    pub clamp: Option<Clamp>,
}

/// A plate, lug or bushing that bolts bear on; every bolt bears on every plate with its whole shear.
#[derive(Debug, Clone, PartialEq)]
pub struct Plate {
    /// As printed.
    pub name: String,
    /// m.
    pub thickness_m: f64,
    /// Ultimate bearing strength at the edge distance that is there, Pa.
    pub bearing_pa: Cited,
}

/// The section of the arm at its root.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// The axis of bending that `modulus_m3` belongs to; its part along the arm does not matter.
    pub axis: Vector,
    /// Section modulus about that axis, m³.
    pub modulus_m3: f64,
    /// Section modulus about the axis across it, m³.
    pub modulus_across_m3: f64,
    /// Area, m².
    pub area_m2: f64,
    /// Ultimate tensile strength, Pa.
    pub strength_pa: Cited,
}

impl Section {
    /// A rectangle: `height` is measured across the axis of bending, `width` along it.
    /// Z = w h²/6 about the axis, h w²/6 about the axis across it, A = w h.
    #[must_use]
    pub fn rectangle(axis: Vector, [width, height]: [f64; 2], strength_pa: Cited) -> Self {
        Self {
            axis,
            modulus_m3: width * height * height / 6.0,
            modulus_across_m3: height * width * width / 6.0,
            area_m2: width * height,
            strength_pa,
        }
    }
}

/// The root of the arm that the weight stands on.
#[derive(Debug, Clone, PartialEq)]
pub struct Root {
    /// m.
    pub at: Vector,
    /// Along the arm.
    pub along: Vector,
    /// The arm itself beyond the root, if it is to be counted.
    pub arm: Option<Body>,
    /// Its section, for a stress.
    pub section: Option<Section>,
}

/// A weight, its bolts and what they hold on to.
#[derive(Debug, Clone, PartialEq)]
pub struct Fastening {
    /// All mass that hangs on the bolts.
    pub weight: Body,
    /// Load factors; [`usual_loads`] to begin with.
    pub loads: Vec<Load>,
    /// Factors of safety.
    pub factors: Factors,
    /// Along the bolts, from the arm to the weight: this way a pull is tension.
    pub axis: Vector,
    /// The bolts, in one plane at right angles to the axis.
    pub bolts: Vec<Bolt>,
    /// What they bear on.
    pub plates: Vec<Plate>,
    /// From the centroid of bolts that stand in a line (or of a single bolt) to the edge of the face that presses on
    /// the arm, m, the same on both sides. Without it a moment about the line is reported as not carried.
    pub heel_m: Option<f64>,
    /// The root of the arm.
    pub root: Option<Root>,
}
