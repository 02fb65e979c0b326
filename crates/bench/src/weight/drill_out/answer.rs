//! The published shape of the answer to a drill sheet: one JSON object, SI, the unit in each key.
//!
//! Main type: [`DrillAnswer`]. The keys are a contract as those of [`super::super::WeightAnswer`];
//! docs/weight-sheet.md explains each.

use super::{Bounds, Drilled};
use crate::weight::result::{
    HeadPart, MaterialPart, PROGRAM, SourcePart, WantedPart, WeightPart, metal_source,
};
use hingeline_ballast::design::{DrillFault, DrillOut};
use serde::Serialize;

/// The answer to a drill sheet.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold; docs/weight-sheet.md explains each")]
pub struct DrillAnswer {
    #[serde(flatten)]
    pub head: HeadPart,
    pub drilled: Option<DrilledPart>,
    pub stopped: Option<DrillStopPart>,
    pub sources: Vec<SourcePart>,
}

/// The holes.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct DrilledPart {
    pub holes: u32,
    pub hole_diameter_m: f64,
    pub hole_full_depth_m: f64,
    pub hole_tip_depth_m: f64,
    pub arm_m: f64,
    pub removed_kg: f64,
    pub removed_moment_kg_m: f64,
    pub remaining_kg_m: f64,
    pub left: Option<WeightPart>,
}

/// Why the holes do not do it.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct DrillStopPart {
    pub what: String,
    pub hint: &'static str,
    pub limit: Option<&'static str>,
    pub needed_kg: Option<f64>,
    pub most_kg: Option<f64>,
    pub lacking_kg: Option<f64>,
    pub lacking_kg_m: Option<f64>,
    pub would_take_holes: Option<u32>,
    pub would_take_depth_m: Option<f64>,
}

impl DrillAnswer {
    /// The published answer, worked out by this version of the program.
    #[must_use]
    pub fn of(drilled: &Drilled) -> Self {
        let sheet = &drilled.sheet;
        Self {
            head: HeadPart {
                program: PROGRAM,
                sheet_fingerprint: sheet.fingerprint.clone(),
                name: sheet.name.clone(),
                job: sheet.job.clone(),
                standing: drilled.standing(),
                wanted: WantedPart::of(sheet.wanted),
                material: MaterialPart::of(&sheet.metal),
            },
            drilled: drilled.outcome.as_ref().ok().map(|out| holes(drilled, out)),
            stopped: drilled.outcome.as_ref().err().map(|fault| stopped(fault, drilled.bounds)),
            sources: vec![metal_source(&sheet.metal)],
        }
    }
}

fn holes(drilled: &Drilled, out: &DrillOut) -> DrilledPart {
    let sheet = &drilled.sheet;
    let removed_moment_kg_m = -out.removed_kg * sheet.drilling.x;
    DrilledPart {
        holes: out.count,
        hole_diameter_m: out.bore.diameter,
        hole_full_depth_m: out.bore.full_depth,
        hole_tip_depth_m: out.bore.tip_depth,
        arm_m: sheet.drilling.x,
        removed_kg: out.removed_kg,
        removed_moment_kg_m,
        remaining_kg_m: sheet.wanted.moment_kg_m - removed_moment_kg_m,
        left: out.left.map(|left| WeightPart {
            mass_kg: left.mass_kg,
            arm_m: left.arm_m,
            moment_kg_m: left.moment_kg_m,
        }),
    }
}

fn stopped(fault: &DrillFault, bounds: Option<Bounds>) -> DrillStopPart {
    DrillStopPart {
        what: fault.to_string(),
        hint: fault.hint(),
        limit: bounds.map(|bounds| bounds.limit),
        needed_kg: bounds.map(|bounds| bounds.needed_kg),
        most_kg: bounds.map(|bounds| bounds.most_kg),
        lacking_kg: bounds.map(|bounds| bounds.needed_kg - bounds.most_kg),
        lacking_kg_m: bounds.map(|bounds| bounds.lacking_kg_m),
        would_take_holes: bounds.and_then(|bounds| bounds.would_take_holes),
        would_take_depth_m: bounds.and_then(|bounds| bounds.would_take_depth_m),
    }
}
