//! The part of the answer that is about the casting on the scale. Main type: [`TrimPart`].

use crate::weight::insert::InsertAtHand;
use crate::weight::words::odd_weighings;
use crate::weight::work::{NoWay, Trimmed, Worked};
use hingeline_ballast::trim::{self, Cut, Doubt, Insert, Remedy, State, Way};
use serde::Serialize;

/// The casting on the scale.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct TrimPart {
    pub state: &'static str,
    pub doubt: Option<&'static str>,
    pub mass_kg: Option<f64>,
    pub arm_m: Option<f64>,
    pub moment_kg_m: Option<f64>,
    pub excess_kg: Option<f64>,
    pub expanded_uncertainty_kg: Option<f64>,
    pub tolerance_kg: f64,
    pub notes: Vec<String>,
    pub refused: Option<String>,
    pub ways: Vec<WayPart>,
    pub remedies: Vec<RemedyPart>,
    pub inserts: Vec<InsertPart>,
}

/// A way to take mass off.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct WayPart {
    pub tool: &'static str,
    pub refused: Option<String>,
    pub removed_kg: Option<f64>,
    pub arm_m: Option<f64>,
    pub off_each_end_m: Option<f64>,
    pub ends: Option<u32>,
    pub holes: Option<u32>,
    pub hole_diameter_m: Option<f64>,
    pub hole_full_depth_m: Option<f64>,
    pub hole_tip_depth_m: Option<f64>,
    pub skin_m: Option<f64>,
    pub scale_reads_kg: Option<f64>,
    pub moment_kg_m: Option<f64>,
    pub excess_kg: Option<f64>,
}

/// What makes good what is lacking, but for inserts.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct RemedyPart {
    pub kind: &'static str,
    pub name: Option<String>,
    pub mass_kg: f64,
    pub arm_m: f64,
}

/// An insert of a denser metal.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct InsertPart {
    pub material: String,
    pub density_kg_m3: f64,
    pub source: String,
    pub grade: &'static str,
    pub refused: Option<String>,
    pub diameter_m: Option<f64>,
    pub hole_full_depth_m: Option<f64>,
    pub hole_tip_depth_m: Option<f64>,
    pub arm_m: Option<f64>,
    pub mass_kg: Option<f64>,
    pub gain_kg: Option<f64>,
    pub scale_reads_kg: Option<f64>,
}

pub(super) fn trim(worked: &Worked, trimmed: &Trimmed) -> TrimPart {
    let judged = trimmed.judged.as_ref().ok();
    TrimPart {
        state: judged.map_or("not judged", |trim| state_word(trim.state)),
        doubt: judged.map(|trim| match trim.doubt {
            Doubt::Clear => "clear",
            Doubt::Doubtful => "doubtful",
        }),
        mass_kg: judged.map(|trim| trim.mass_kg),
        arm_m: judged.map(|trim| trim.arm_m),
        moment_kg_m: judged.map(|trim| trim.moment_kg_m),
        excess_kg: judged.map(|trim| trim.excess_kg),
        expanded_uncertainty_kg: judged
            .map(|trim| trim.tolerance.coverage_factor * trim.standard_uncertainty),
        tolerance_kg: worked.sheet.trimming.as_ref().map_or(0.0, |trimming| trimming.tolerance.mass_kg),
        notes: judged.map_or(Vec::new(), |trim| odd_weighings(worked, trim)),
        refused: trimmed.judged.as_ref().err().map(ToString::to_string),
        ways: trimmed.ways.iter().map(|(tool, way)| way_part(tool.word(), way.as_ref())).collect(),
        remedies: trimmed.remedies.iter().map(remedy).collect(),
        inserts: trimmed.inserts.iter().map(|(hand, insert)| insert_part(hand, insert.as_ref())).collect(),
    }
}

/// The contract's word.
#[must_use]
pub fn state_word(state: State) -> &'static str {
    match state {
        State::ToTrim => "to trim",
        State::Inside => "inside tolerance",
        State::TooLight => "too light",
    }
}

fn way_part(tool: &'static str, way: Result<&Way, &NoWay>) -> WayPart {
    let done = way.ok();
    let sawn = done.and_then(|way| match way.cut {
        Cut::Saw { ends, off, .. } => Some((ends, off)),
        _ => None,
    });
    let drilled = done.and_then(|way| match way.cut {
        Cut::Drill { count, bore } => Some((count, bore)),
        _ => None,
    });
    let filed = done.and_then(|way| match way.cut {
        Cut::File { thickness } => Some(thickness),
        _ => None,
    });
    WayPart {
        tool,
        refused: way.err().map(ToString::to_string),
        removed_kg: done.map(|way| way.removed_kg),
        arm_m: done.map(|way| way.x),
        off_each_end_m: sawn.map(|(_, off)| off),
        ends: sawn.map(|(ends, _)| ends),
        holes: drilled.map(|(count, _)| count),
        hole_diameter_m: drilled.map(|(_, bore)| bore.diameter),
        hole_full_depth_m: drilled.map(|(_, bore)| bore.full_depth),
        hole_tip_depth_m: drilled.map(|(_, bore)| bore.tip_depth),
        skin_m: filed,
        scale_reads_kg: done.map(|way| way.scale_reads_kg),
        moment_kg_m: done.map(|way| way.moment_kg_m),
        excess_kg: done.map(|way| way.excess_kg),
    }
}

fn insert_part(hand: &InsertAtHand, insert: Result<&Insert, &trim::Fault>) -> InsertPart {
    let done = insert.ok();
    InsertPart {
        material: hand.stock.name.clone(),
        density_kg_m3: hand.stock.density_kg_m3,
        source: hand.source.clone(),
        grade: hand.grade,
        refused: insert.err().map(ToString::to_string),
        diameter_m: done.map(|insert| insert.diameter),
        hole_full_depth_m: done.map(|insert| insert.depth),
        hole_tip_depth_m: done.map(|insert| insert.tip_depth),
        arm_m: done.map(|insert| insert.x),
        mass_kg: done.map(|insert| insert.mass_kg),
        gain_kg: done.map(|insert| insert.gain_kg),
        scale_reads_kg: done.map(|insert| insert.scale_reads_kg),
    }
}

fn remedy(remedy: &Remedy) -> RemedyPart {
    match remedy {
        Remedy::HeavierHardware { name, by_kg, x } => {
            RemedyPart { kind: "heavier hardware", name: Some(name.clone()), mass_kg: *by_kg, arm_m: *x }
        }
        Remedy::AddOn { mass_kg, x } => {
            RemedyPart { kind: "mass added on", name: None, mass_kg: *mass_kg, arm_m: *x }
        }
    }
}
