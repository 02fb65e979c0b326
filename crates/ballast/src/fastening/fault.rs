//! What can be wrong with the description of a fastening; all faults are found at once.

use super::{Bolt, Fastening, Root, Section, group};
use crate::Vector;
use crate::source::Cited;

/// How far a bolt may stand out of the joint plane before it is another joint, m.
const IN_PLANE_M: f64 = 0.001;

/// One thing that is wrong, and where.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Fault {
    /// Nothing holds the weight.
    #[error("the fastening has no bolts; allowed: 1 or more")]
    NoBolts,
    /// Nothing to be carried.
    #[error("there are no load factors; allowed: 1 or more")]
    NoLoads,
    /// A number that is none.
    #[error("{place} is not a finite number")]
    NotFinite {
        /// Which, as on the screen.
        place: String,
    },
    /// Too small a number.
    #[error("{place} is {value}; allowed: {}", if *.least <= 0.0 { "above 0".to_owned() } else { format!("{} or more", .least) })]
    TooSmall {
        /// Which, with its unit.
        place: String,
        /// As given.
        value: f64,
        /// 0 means above 0.
        least: f64,
    },
    /// A direction without length, or along another one.
    #[error(
        "{place} gives no direction; allowed: three numbers that are not all 0, across the arm where it matters"
    )]
    NoDirection {
        /// Which.
        place: String,
    },
    /// A bolt of another joint.
    #[error("bolt {bolt} stands {} mm out of the plane of the others; allowed: 1 mm", (.by_m * 1000.0).round())]
    OutOfPlane {
        /// From 1.
        bolt: usize,
        /// m.
        by_m: f64,
    },
    /// A washer whose hole is as large as itself.
    #[error(
        "bolt {bolt}: the washer is {outer_mm} mm outside and {inner_mm} mm inside; allowed: larger outside than inside"
    )]
    Washer {
        /// From 1.
        bolt: usize,
        /// mm.
        outer_mm: f64,
        /// mm.
        inner_mm: f64,
    },
}

impl Fault {
    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::NoBolts => "enter each bolt with its place and size",
            Self::NoLoads => "begin with the load factors of the certification basis",
            Self::NotFinite { .. } | Self::TooSmall { .. } => "measure it, or take it from the drawing",
            Self::NoDirection { .. } => "enter the direction as the three parts along x, y and z",
            Self::OutOfPlane { .. } => "screen each plane of bolts as a joint of its own",
            Self::Washer { .. } => "check the two diameters against each other",
        }
    }
}

pub(super) fn faults(fastening: &Fastening) -> Vec<Fault> {
    let mut list = List(Vec::new());
    list.body("weight", &fastening.weight);
    list.factors(fastening);
    if fastening.bolts.is_empty() {
        list.0.push(Fault::NoBolts);
    }
    list.direction("direction of the bolts", fastening.axis);
    for (index, bolt) in fastening.bolts.iter().enumerate() {
        list.bolt(index + 1, bolt);
    }
    for plate in &fastening.plates {
        list.above(&format!("{}: thickness, m", plate.name), plate.thickness_m);
        list.cited(&format!("{}: bearing strength, Pa", plate.name), &plate.bearing_pa);
    }
    if let Some(heel) = fastening.heel_m {
        list.above("distance of the heel, m", heel);
    }
    if let Some(root) = &fastening.root {
        list.root(root);
    }
    if list.0.is_empty() {
        list.plane(fastening);
    }
    list.0
}

struct List(Vec<Fault>);

impl List {
    fn at_least(&mut self, place: &str, value: f64, least: f64) {
        let place = place.to_owned();
        if !value.is_finite() {
            self.0.push(Fault::NotFinite { place });
        } else if value < least || value <= 0.0 {
            self.0.push(Fault::TooSmall { place, value, least });
        }
    }
    fn above(&mut self, place: &str, value: f64) {
        self.at_least(place, value, 0.0);
    }
    fn cited(&mut self, place: &str, figure: &Cited) {
        self.above(place, figure.value);
    }
    fn point(&mut self, place: &str, at: Vector) {
        if !at.iter().all(|x| x.is_finite()) {
            self.0.push(Fault::NotFinite { place: format!("{place}: place") });
        }
    }
    fn direction(&mut self, place: &str, along: Vector) {
        if group::unit(along).is_none() {
            self.0.push(Fault::NoDirection { place: place.to_owned() });
        }
    }
    fn body(&mut self, place: &str, body: &super::Body) {
        self.above(&format!("{place}: mass, kg"), body.mass_kg);
        self.point(place, body.at);
    }
    fn factors(&mut self, fastening: &Fastening) {
        if fastening.loads.is_empty() {
            self.0.push(Fault::NoLoads);
        }
        for load in &fastening.loads {
            self.cited(&format!("load factor {}", load.direction.words()), &load.factor);
        }
        self.at_least("factor of safety", fastening.factors.ultimate.value, 1.0);
        self.at_least("fitting factor", fastening.factors.fitting.value, 1.0);
    }
    fn bolt(&mut self, number: usize, bolt: &Bolt) {
        let place = |what: &str| format!("bolt {number}: {what}");
        self.point(&format!("bolt {number}"), bolt.at);
        self.above(&place("diameter, m"), bolt.size.diameter_m);
        self.cited(&place("shear strength, N"), &bolt.size.shear_n);
        self.cited(&place("tension strength, N"), &bolt.size.tension_n);
        for grip in &bolt.grips {
            self.above(&place(&format!("{}: engagement, m", grip.name)), grip.engagement_m);
            self.cited(&place(&format!("{}: external thread, Pa", grip.name)), &grip.external_pa);
            self.cited(&place(&format!("{}: internal thread, Pa", grip.name)), &grip.internal_pa);
        }
        let Some(clamp) = &bolt.clamp else { return };
        self.above(&place("torque, N m"), clamp.torque_nm);
        self.cited(&place("nut factor"), &clamp.nut_factor);
        let (outer, inner) = (clamp.washer.outer_m, clamp.washer.inner_m);
        self.above(&place("washer outside, m"), outer);
        self.above(&place("washer inside, m"), inner);
        if outer <= inner {
            self.0.push(Fault::Washer { bolt: number, outer_mm: outer * 1000.0, inner_mm: inner * 1000.0 });
        }
    }
    fn root(&mut self, root: &Root) {
        self.point("root of the arm", root.at);
        self.direction("direction of the arm", root.along);
        if let Some(arm) = &root.arm {
            self.body("arm", arm);
        }
        if let Some(section) = &root.section {
            self.section(section, root.along);
        }
    }
    fn section(&mut self, section: &Section, along: Vector) {
        self.above("section modulus, m³", section.modulus_m3);
        self.above("section modulus across, m³", section.modulus_across_m3);
        self.above("section area, m²", section.area_m2);
        self.cited("strength of the arm, Pa", &section.strength_pa);
        let across = group::unit(along).map_or(section.axis, |along| group::across(section.axis, along));
        self.direction("axis of the section", across);
    }
    fn plane(&mut self, fastening: &Fastening) {
        let Some(axis) = group::unit(fastening.axis) else { return };
        let heights: Vec<f64> = fastening.bolts.iter().map(|bolt| group::dot(bolt.at, axis)).collect();
        let first = heights.first().copied().unwrap_or_default();
        for (index, height) in heights.iter().enumerate() {
            let by_m = (height - first).abs();
            if IN_PLANE_M < by_m {
                self.0.push(Fault::OutOfPlane { bolt: index + 1, by_m });
            }
        }
    }
}
