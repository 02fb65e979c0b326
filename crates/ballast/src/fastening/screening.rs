//! The screening itself: load cases, sharing among the bolts, the root of the arm, margins and warnings.

use super::check;
use super::group::{self, BoltLoad, Group, Heel};
use super::{ClampPath, Direction, Fastening, Fault, Load, Root, Section, ThreadedIn, fault, tables};
use crate::Vector;
use crate::source::Cited;
use hingeline_quantity::STANDARD_GRAVITY;

/// Which of the two senses of a direction the inertia force has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sense {
    /// Up, aft or outboard.
    Positive,
    /// Down, forward or inboard.
    Negative,
}

/// What a margin is about.
#[derive(Debug, Clone, PartialEq)]
pub enum Check {
    /// Shear of a bolt, N.
    Shear,
    /// Tension of a bolt, N.
    Tension,
    /// Shear and tension together: √(Rs² + Rt²), no unit, factors already in the ratios.
    Interaction,
    /// Bearing of a bolt on a plate, Pa.
    Bearing {
        /// The plate.
        plate: String,
    },
    /// Stripping of an engagement, N.
    Stripping {
        /// The engagement.
        grip: String,
    },
    /// Stress at the root of the arm, Pa.
    Root,
}

/// A margin of safety of one part under one load.
#[derive(Debug, Clone, PartialEq)]
pub struct Margin {
    /// What is compared.
    pub check: Check,
    /// Bolt, from 1; none for the arm.
    pub bolt: Option<usize>,
    /// At limit load, in the unit of the check.
    pub applied: f64,
    /// Ultimate × fitting factor; 1 where the factors are already in `applied`.
    pub factor: f64,
    /// In the unit of the check, with its source.
    pub allowable: Cited,
    /// allowable/(factor × applied) − 1.
    pub margin: f64,
}

/// What the arm carries at its root at limit load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RootLoad {
    /// About the root, N m.
    pub moment: Vector,
    /// Across the arm, N m.
    pub bending_nm: f64,
    /// Along the arm, N m.
    pub torsion_nm: f64,
    /// Across the arm, N.
    pub shear_n: f64,
    /// Along the arm, N, positive away from the root.
    pub axial_n: f64,
    /// |M₁|/Z₁ + |M₂|/Z₂ + |N|/A, Pa, where the section is known; shear and torsion are not in it.
    pub stress_pa: Option<f64>,
}

/// One load in one sense.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// Which way.
    pub direction: Direction,
    /// Which sense.
    pub sense: Sense,
    /// The load factor.
    pub factor: Cited,
    /// The inertia force of the weight at limit load, N.
    pub force: Vector,
    /// About the centroid of the bolts, N m.
    pub moment: Vector,
    /// What each bolt carries.
    pub bolts: Vec<BoltLoad>,
    /// Where the weight presses on the arm, if the bolts stand in a line.
    pub heels: Vec<Heel>,
    /// The moment that nothing in this model carries, N m.
    pub uncarried: Vector,
    /// What the root of the arm carries.
    pub root: Option<RootLoad>,
    /// The margins.
    pub margins: Vec<Margin>,
}

/// The stress that tightening puts under a washer.
#[derive(Debug, Clone, PartialEq)]
pub struct ClampStress {
    /// From 1.
    pub bolt: usize,
    /// P = T/(K d), N.
    pub preload_n: f64,
    /// K.
    pub nut_factor: Cited,
    /// Over the area of the washer, Pa.
    pub stress_pa: f64,
    /// What it presses on.
    pub path: ClampPath,
    /// For bare lead: its sustained stresses with names, and how many times each the clamp stress is.
    pub against: Vec<(&'static str, Cited, f64)>,
}

/// What stands out beside the margins.
#[derive(Debug, Clone, PartialEq)]
pub enum Warning {
    /// A clamp through bare lead.
    ClampThroughLead {
        /// From 1.
        bolt: usize,
        /// Pa.
        stress_pa: f64,
    },
    /// A thread cut in lead.
    ThreadInLead {
        /// From 1.
        bolt: usize,
        /// The engagement.
        grip: String,
    },
    /// A thread that gives before its bolt.
    StripsBeforeBolt {
        /// From 1.
        bolt: usize,
        /// The engagement.
        grip: String,
        /// N.
        strip_n: f64,
        /// N.
        bolt_n: f64,
    },
    /// A moment that neither bolts nor heel carry.
    NotCarried {
        /// Which way the load acts.
        direction: Direction,
        /// N m.
        moment_nm: f64,
    },
    /// A torque beyond the recommended range.
    Torque {
        /// From 1.
        bolt: usize,
        /// N m.
        torque_nm: f64,
        /// N m, with source.
        most_nm: Cited,
    },
    /// A bolt below the least size for primary structure.
    SmallBolt {
        /// From 1.
        bolt: usize,
    },
}

/// The whole screening.
#[derive(Debug, Clone, PartialEq)]
pub struct Screening {
    /// Every load in both senses.
    pub cases: Vec<Case>,
    /// Every bolt that is tightened.
    pub clamps: Vec<ClampStress>,
    /// What stands out.
    pub warnings: Vec<Warning>,
    /// The factors that were used.
    pub factors: super::Factors,
}

/// Screens a fastening: bolts by the elastic method, bearing, threads, the root of the arm, the clamp.
///
/// # Inputs
/// See [`Fastening`]; places in m in the axes of the surface, masses in kg, strengths ultimate.
///
/// # Valid for
/// A stiff weight on a stiff arm; static loads; bolts in one plane.
///
/// # Errors
/// - every [`Fault`] of the description, all at once
///
/// # Checked by
/// Two published bolt groups, the worked clamp stresses and strip loads, a two-bolt cap worked by hand, and statics:
/// bolts and heel balance the load about any point.
pub fn screen(fastening: &Fastening) -> Result<Screening, Vec<Fault>> {
    let faults = fault::faults(fastening);
    if !faults.is_empty() {
        return Err(faults);
    }
    let axis = group::unit(fastening.axis)
        .ok_or_else(|| vec![Fault::NoDirection { place: "direction of the bolts".to_owned() }])?;
    let bolts: Vec<(Vector, f64)> =
        fastening.bolts.iter().map(|bolt| (bolt.at, bolt.size.diameter_m.powi(2))).collect();
    let group = Group::new(axis, &bolts, fastening.heel_m);
    let cases: Vec<Case> = fastening
        .loads
        .iter()
        .flat_map(|load| [Sense::Positive, Sense::Negative].map(|sense| case(fastening, &group, load, sense)))
        .collect();
    let clamps = clamps(fastening);
    let warnings = warnings(fastening, &cases, &clamps);
    Ok(Screening { cases, clamps, warnings, factors: fastening.factors.clone() })
}

impl Screening {
    /// The case and margin that is least; none where nothing carries a load.
    #[must_use]
    pub fn least(&self) -> Option<(&Case, &Margin)> {
        self.cases
            .iter()
            .flat_map(|case| case.margins.iter().map(move |margin| (case, margin)))
            .min_by(|a, b| a.1.margin.total_cmp(&b.1.margin))
    }
}

impl Direction {
    fn unit(self) -> Vector {
        match self {
            Self::ForeAndAft => [1.0, 0.0, 0.0],
            Self::AlongHinge => [0.0, 1.0, 0.0],
            Self::Normal => [0.0, 0.0, 1.0],
        }
    }
}

fn case(fastening: &Fastening, group: &Group, load: &Load, sense: Sense) -> Case {
    let sign = match sense {
        Sense::Positive => 1.0,
        Sense::Negative => -1.0,
    };
    let acceleration = group::times(load.direction.unit(), sign * load.factor.value * STANDARD_GRAVITY);
    let weight = &fastening.weight;
    let force = group::times(acceleration, weight.mass_kg);
    let share = group.share(force, weight.at);
    let root = fastening.root.as_ref().map(|root| root_load(root, fastening, acceleration));
    let margins = check::margins(fastening, &share.bolts, root.as_ref(), group::length(force));
    Case {
        direction: load.direction,
        sense,
        factor: load.factor.clone(),
        force,
        moment: group::cross(group::sub(weight.at, group.centroid()), force),
        bolts: share.bolts,
        heels: share.heels,
        uncarried: share.uncarried,
        root,
        margins,
    }
}

fn root_load(root: &Root, fastening: &Fastening, acceleration: Vector) -> RootLoad {
    let along = group::unit(root.along).unwrap_or_default();
    let bodies = std::iter::once(&fastening.weight).chain(root.arm.as_ref());
    let (mut force, mut moment) = ([0.0; 3], [0.0; 3]);
    for body in bodies {
        let part = group::times(acceleration, body.mass_kg);
        force = group::add(force, part);
        moment = group::add(moment, group::cross(group::sub(body.at, root.at), part));
    }
    let axial_n = group::dot(force, along);
    let bending = group::across(moment, along);
    RootLoad {
        moment,
        bending_nm: group::length(bending),
        torsion_nm: group::dot(moment, along).abs(),
        shear_n: group::length(group::across(force, along)),
        axial_n,
        stress_pa: root.section.as_ref().map(|section| stress(section, along, bending, axial_n)),
    }
}

fn stress(section: &Section, along: Vector, bending: Vector, axial_n: f64) -> f64 {
    let first = group::unit(group::across(section.axis, along)).unwrap_or_default();
    let second = group::cross(along, first);
    group::dot(bending, first).abs() / section.modulus_m3
        + group::dot(bending, second).abs() / section.modulus_across_m3
        + axial_n.abs() / section.area_m2
}

fn clamps(fastening: &Fastening) -> Vec<ClampStress> {
    let stress = |(index, bolt): (usize, &super::Bolt)| {
        let clamp = bolt.clamp.as_ref()?;
        let preload_n = clamp.torque_nm / (clamp.nut_factor.value * bolt.size.diameter_m);
        let stress_pa = preload_n / clamp.washer.area_m2();
        let against = match clamp.path {
            ClampPath::HardMetal => Vec::new(),
            ClampPath::BareLead => tables::LEAD_SUSTAINED
                .iter()
                .map(|(name, sustained)| (*name, sustained.clone(), stress_pa / sustained.value))
                .collect(),
        };
        let nut_factor = clamp.nut_factor.clone();
        Some(ClampStress { bolt: index + 1, preload_n, nut_factor, stress_pa, path: clamp.path, against })
    };
    fastening.bolts.iter().enumerate().filter_map(stress).collect()
}

impl super::Washer {
    /// The area that bears, m².
    #[must_use]
    pub fn area_m2(&self) -> f64 {
        std::f64::consts::FRAC_PI_4 * (self.outer_m.powi(2) - self.inner_m.powi(2))
    }
}

fn warnings(fastening: &Fastening, cases: &[Case], clamps: &[ClampStress]) -> Vec<Warning> {
    let mut warnings: Vec<Warning> = clamps
        .iter()
        .filter(|clamp| clamp.path == ClampPath::BareLead)
        .map(|clamp| Warning::ClampThroughLead { bolt: clamp.bolt, stress_pa: clamp.stress_pa })
        .collect();
    for (index, bolt) in fastening.bolts.iter().enumerate() {
        warnings.extend(bolt_warnings(index + 1, bolt));
    }
    for case in cases.iter().filter(|case| case.sense == Sense::Positive) {
        let moment_nm = group::length(case.uncarried);
        if 1e-9 * group::length(case.force) < moment_nm {
            warnings.push(Warning::NotCarried { direction: case.direction, moment_nm });
        }
    }
    warnings
}

fn bolt_warnings(number: usize, bolt: &super::Bolt) -> Vec<Warning> {
    let mut warnings = Vec::new();
    if bolt.size.diameter_m < tables::LEAST_PRIMARY_DIAMETER_M - 1e-6 {
        warnings.push(Warning::SmallBolt { bolt: number });
    }
    for grip in &bolt.grips {
        if grip.internal == ThreadedIn::Lead {
            warnings.push(Warning::ThreadInLead { bolt: number, grip: grip.name.clone() });
        }
        let (strip_n, bolt_n) = (grip.strip().value, bolt.size.tension_n.value);
        if strip_n < bolt_n {
            warnings.push(Warning::StripsBeforeBolt {
                bolt: number,
                grip: grip.name.clone(),
                strip_n,
                bolt_n,
            });
        }
    }
    let most = bolt.size.torque_nm.as_ref().map(|[_, most]| most.clone());
    if let (Some(clamp), Some(most_nm)) = (&bolt.clamp, most)
        && most_nm.value * (1.0 + 1e-9) < clamp.torque_nm
    {
        warnings.push(Warning::Torque { bolt: number, torque_nm: clamp.torque_nm, most_nm });
    }
    warnings
}
