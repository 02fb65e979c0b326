//! Reading what the scale says of the casting: `[[cast]]`, `[trim]`, `[[tool]]`.

use super::bounds::{DRILL, MADE_WITHIN, PIECE, POINT, SIZE, WITHIN};
use super::place;
use crate::bounds;
use crate::fault::Fault;
use crate::fields::Fields;
use hingeline_ballast::design::Drilling;
use hingeline_ballast::trim::{Taken, Tolerance, Weighing};
use hingeline_quantity::{Angle, Entered, Length, Mass, Quantity, Unit};

/// Most holes that a drill may make.
pub(super) const MOST_HOLES: u32 = 1000;

/// The castings' weighings and how they are to be trimmed.
#[derive(Debug, Clone)]
pub struct Trimming {
    /// In order, the first as it came from the mould; at least one.
    pub weighings: Vec<Weighing>,
    /// The masses as typed.
    pub typed: Vec<String>,
    /// The unit that the first was typed in: what the scale must read is said in it.
    pub unit: &'static Unit,
    /// When it is good.
    pub tolerance: Tolerance,
    /// The step of the scale, kg.
    pub step_kg: f64,
    /// The tolerance as typed.
    pub typed_tolerance: String,
    /// What is at hand.
    pub tools: Vec<AtHand>,
}

/// A way to take mass off that is at hand; areas come from the piece.
#[derive(Debug, Clone, PartialEq)]
pub enum AtHand {
    /// A saw at the span ends.
    Saw {
        /// Width of the cut, m.
        kerf: f64,
        /// How many ends, 1 or 2.
        ends: u32,
        /// Most that may go from an end, m.
        most: f64,
    },
    /// A drill.
    Drill(Drilling),
    /// A file over the whole outside.
    File {
        /// Most that may go, m.
        most: f64,
    },
}

impl AtHand {
    /// Its word in the sheet.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            Self::Saw { .. } => "saw",
            Self::Drill(_) => "drill",
            Self::File { .. } => "file",
        }
    }
}

/// What stands in `[trim]`.
struct TrimTable {
    tolerance: Entered<Mass>,
    for_the_file_kg: f64,
    step_kg: f64,
    scale: f64,
}

/// Reads the three tables; none where the sheet has no casting.
pub(super) fn read_trimming(root: &Fields<'_>, coverage_factor: f64) -> Option<Trimming> {
    let table = root.maybe_table("trim").map(|fields| (read_trim(&fields), fields));
    let tools: Vec<Option<AtHand>> = root.tables("tool").into_iter().map(read_tool).collect();
    let casts = root.tables("cast");
    if casts.is_empty() {
        return None;
    }
    let Some((trim, fields)) = table else {
        let fault = Fault::new("the sheet has [[cast]] but no [trim]", root.span_of("cast"));
        root.push(fault.hint("add [trim] with tolerance = \"0.5 g\" and resolution = \"0.1 g\""));
        return None;
    };
    let casts: Vec<_> = casts.into_iter().map(read_cast).collect();
    if trim.is_none() && !fields.has("tolerance") {
        return None;
    }
    let (trim, tools) = (trim?, tools.into_iter().collect::<Option<Vec<_>>>()?);
    let casts: Vec<(Entered<Mass>, Weighing)> = casts.into_iter().collect::<Option<_>>()?;
    let weigh = |(_, weighing): &(_, Weighing)| Weighing { standard_uncertainty: trim.scale, ..*weighing };
    Some(Trimming {
        weighings: casts.iter().map(weigh).collect(),
        unit: casts.first()?.0.unit,
        typed: casts.iter().map(|(mass, _)| mass.text.clone()).collect(),
        tolerance: Tolerance {
            mass_kg: trim.tolerance.value.si(),
            for_the_file_kg: trim.for_the_file_kg,
            coverage_factor,
        },
        step_kg: trim.step_kg,
        typed_tolerance: trim.tolerance.text,
        tools,
    })
}

/// The scale counts with half a step, rectangular, and with its certificate, k = 2.
fn read_trim(fields: &Fields<'_>) -> Option<TrimTable> {
    let tolerance: Option<Entered<Mass>> = fields.quantity("tolerance", &PIECE);
    let left: Option<Entered<Mass>> = fields.maybe("for_the_file", &WITHIN);
    let resolution: Option<Entered<Mass>> = fields.quantity("resolution", &bounds::SCALE_STEP);
    let calibration: Option<Entered<Mass>> = fields.maybe("calibration_uncertainty", &bounds::SCALE_STEP);
    fields.finish();
    let step_kg = resolution?.value.si();
    let step = step_kg / 12f64.sqrt();
    let certificate = calibration.map_or(0.0, |calibration| 0.5 * calibration.value.si());
    Some(TrimTable {
        tolerance: tolerance?,
        for_the_file_kg: left.map_or(0.0, |left| left.value.si()),
        step_kg,
        scale: step.hypot(certificate),
    })
}

fn read_cast(fields: Fields<'_>) -> Option<(Entered<Mass>, Weighing)> {
    let mass: Option<Entered<Mass>> = fields.quantity("mass", &PIECE);
    let arm_m = place::maybe_arm(&fields, "arm", "side");
    let taken = place::maybe_arm(&fields, "taken_arm", "taken_side");
    fields.finish();
    let mass = mass?;
    let weighing = Weighing {
        mass_kg: mass.value.si(),
        standard_uncertainty: 0.0,
        arm_m,
        taken: taken.map_or(Taken::Alike, Taken::At),
    };
    Some((mass, weighing))
}

fn read_tool(fields: Fields<'_>) -> Option<AtHand> {
    let word = fields.choice("kind", &[("saw", 0u8), ("drill", 1), ("file", 2)])?;
    let tool = match word {
        0 => read_saw(&fields),
        1 => read_drill(&fields).map(AtHand::Drill),
        _ => length(&fields, "most", &MADE_WITHIN).map(|most| AtHand::File { most }),
    };
    fields.finish();
    tool
}

fn length(fields: &Fields<'_>, key: &'static str, bound: &bounds::Bound) -> Option<f64> {
    let length: Option<Entered<Length>> = fields.quantity(key, bound);
    length.map(|length| length.value.si())
}

fn read_saw(fields: &Fields<'_>) -> Option<AtHand> {
    let kerf = length(fields, "kerf", &MADE_WITHIN);
    let most = length(fields, "most", &SIZE);
    let ends = fields.maybe_count("ends", 1..=2);
    let ends = if fields.has("ends") { ends? } else { 1 };
    Some(AtHand::Saw { kerf: kerf?, ends, most: most? })
}

fn read_drill(fields: &Fields<'_>) -> Option<Drilling> {
    let x = place::arm(fields);
    let diameters: Option<Vec<(Entered<Length>, _)>> = fields.maybe_list("diameters", &DRILL);
    if !fields.has("diameters") {
        let fault = Fault::new(format!("{} has no diameters", fields.name()), fields.span_of("diameters"));
        fields.push(fault.hint("add diameters = [\"1/4 in\", \"3/8 in\"], the drills at hand"));
    }
    let point: Option<Entered<Angle>> = fields.quantity("point", &POINT);
    let deepest = length(fields, "deepest", &SIZE);
    let most = fields.maybe_count("most_holes", 1..=MOST_HOLES);
    let most = if fields.has("most_holes") { most? } else { MOST_HOLES };
    let diameters: Vec<f64> = diameters?.iter().map(|(diameter, _)| diameter.value.si()).collect();
    if diameters.is_empty() {
        return None;
    }
    Some(Drilling { x: x?, diameters, point_angle: point?.value.si(), deepest: deepest?, most })
}
