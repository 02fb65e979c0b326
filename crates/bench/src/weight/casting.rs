//! Reading what the scale says of the casting: `[[cast]]`, `[trim]`, `[[tool]]`; `[[insert]]` by its own module.

use super::bounds::{MADE_WITHIN, PIECE, SIZE, WITHIN};
use super::drill_out::read_drilling;
use super::insert::{InsertAtHand, read_insert};
use super::place;
use crate::bounds;
use crate::fault::Fault;
use crate::fields::Fields;
use hingeline_ballast::design::{Drilling, Hole};
use hingeline_ballast::trim::{InCommon, Made, Taken, Tolerance, Weighing};
use hingeline_quantity::{Entered, Length, Mass, Quantity, Unit};
use std::collections::BTreeSet;

/// The castings' weighings and how they are to be trimmed.
#[derive(Debug, Clone)]
pub struct Trimming {
    /// Of the newest casting in order, the first as it came from the mould; at least one.
    pub weighings: Vec<Weighing>,
    /// The masses as typed.
    pub typed: Vec<String>,
    /// Of every weighing the holes that were made by then, by their place among those of the sheet.
    pub made: Vec<Vec<usize>>,
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
    /// Denser metals at hand.
    pub inserts: Vec<InsertAtHand>,
}

impl Trimming {
    /// The weighing before as typed, where a new one reads more than that and a step of the scale.
    #[must_use]
    pub fn risen(&self, mass_kg: f64) -> Option<&str> {
        let (last, typed) = (self.weighings.last()?, self.typed.last()?);
        (last.mass_kg + self.step_kg < mass_kg).then_some(typed)
    }
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
    scale: OnScale,
}

/// What stands in `[[cast]]`.
struct Cast {
    mass: Entered<Mass>,
    weighing: Weighing,
    /// The holes of the sheet that are made since the weighing before, by their place in it.
    made: Vec<usize>,
    /// Whether it is another casting than the one before.
    again: bool,
    /// The scale that it lay on, where that is not the one of `[trim]`.
    scale: Option<OnScale>,
}

/// How well a scale tells.
#[derive(Clone, Copy, PartialEq)]
struct OnScale {
    step_kg: f64,
    calibration_kg: f64,
}

impl OnScale {
    /// Half a step, rectangular, and what the certificate states, k = 2.
    fn standard_uncertainty(self) -> f64 {
        (self.step_kg / 12f64.sqrt()).hypot(self.of_certificate())
    }
    fn of_certificate(self) -> f64 {
        0.5 * self.calibration_kg
    }
}

/// Reads the four tables; none where the sheet has no casting.
pub(super) fn read_trimming(root: &Fields<'_>, coverage_factor: f64, holes: &[Hole]) -> Option<Trimming> {
    let table = root.maybe_table("trim").map(|fields| (read_trim(&fields), fields));
    let tools: Vec<Option<AtHand>> = root.tables("tool").into_iter().map(read_tool).collect();
    let inserts: Vec<Option<InsertAtHand>> = root.tables("insert").into_iter().map(read_insert).collect();
    let casts = root.tables("cast");
    if casts.is_empty() {
        return None;
    }
    let Some((trim, fields)) = table else {
        let fault = Fault::new("the sheet has [[cast]] but no [trim]", root.span_of("cast"));
        root.push(fault.hint("add [trim] with tolerance = \"0.5 g\" and resolution = \"0.1 g\""));
        return None;
    };
    let casts: Vec<_> = casts.into_iter().map(|fields| read_cast(fields, holes)).collect();
    if trim.is_none() && !fields.has("tolerance") {
        return None;
    }
    let (trim, tools) = (trim?, tools.into_iter().collect::<Option<Vec<_>>>()?);
    let inserts = inserts.into_iter().collect::<Option<Vec<_>>>()?;
    let casts = newest(casts.into_iter().collect::<Option<_>>()?);
    let own = |cast: &Cast| cast.scale.unwrap_or(trim.scale);
    let scales: Vec<OnScale> = casts.iter().map(own).collect();
    let weigh = |(cast, scale): (&Cast, &OnScale)| Weighing {
        standard_uncertainty: scale.standard_uncertainty(),
        in_common: InCommon {
            // What has the same step and the same certificate is one scale.
            scale: scales.iter().position(|one| one == scale).unwrap_or_default(),
            standard_uncertainty: scale.of_certificate(),
        },
        ..cast.weighing
    };
    Some(Trimming {
        weighings: casts.iter().zip(&scales).map(weigh).collect(),
        unit: casts.first()?.mass.unit,
        step_kg: scales.last()?.step_kg,
        typed: casts.iter().map(|cast| cast.mass.text.clone()).collect(),
        made: made_by(&casts),
        tolerance: Tolerance {
            mass_kg: trim.tolerance.value.si(),
            for_the_file_kg: trim.for_the_file_kg,
            coverage_factor,
        },
        typed_tolerance: trim.tolerance.text,
        tools,
        inserts,
    })
}

fn read_trim(fields: &Fields<'_>) -> Option<TrimTable> {
    let tolerance: Option<Entered<Mass>> = fields.quantity("tolerance", &PIECE);
    let left: Option<Entered<Mass>> = fields.maybe("for_the_file", &WITHIN);
    let resolution: Option<Entered<Mass>> = fields.quantity("resolution", &bounds::SCALE_STEP);
    let calibration: Option<Entered<Mass>> = fields.maybe("calibration_uncertainty", &bounds::SCALE_STEP);
    fields.finish();
    let scale = on_scale(&resolution?, calibration.as_ref());
    Some(TrimTable {
        tolerance: tolerance?,
        for_the_file_kg: left.map_or(0.0, |left| left.value.si()),
        scale,
    })
}

fn on_scale(step: &Entered<Mass>, calibration: Option<&Entered<Mass>>) -> OnScale {
    OnScale {
        step_kg: step.value.si(),
        calibration_kg: calibration.map_or(0.0, |calibration| calibration.value.si()),
    }
}

/// The weighings of the newest casting: what was done to one before it is not in this one.
fn newest(mut casts: Vec<Cast>) -> Vec<Cast> {
    let first = casts.iter().rposition(|cast| cast.again).unwrap_or(0);
    casts.split_off(first)
}

/// A hole that was made once stays made.
fn made_by(casts: &[Cast]) -> Vec<Vec<usize>> {
    let so_far = |all: &mut BTreeSet<usize>, cast: &Cast| {
        all.extend(&cast.made);
        Some(all.iter().copied().collect())
    };
    casts.iter().scan(BTreeSet::new(), so_far).collect()
}

/// The holes that are called by their names.
fn read_made(fields: &Fields<'_>, holes: &[Hole]) -> Option<Vec<usize>> {
    let mut made = Vec::new();
    let mut all_known = true;
    for (name, span) in fields.maybe_texts("holes_made").unwrap_or_default() {
        let found = called(holes, &name);
        if found.is_empty() {
            all_known = false;
            let names: Vec<&str> = holes.iter().map(|hole| hole.name.as_str()).collect();
            let allowed = if names.is_empty() {
                "none: the sheet has no [[hole]]".to_owned()
            } else {
                names.join(", ")
            };
            let fault = Fault::new(format!("{}: no hole is called “{name}”", fields.name()), span);
            fields.push(fault.allowed(allowed).hint("write the name of a [[hole]] of this sheet"));
        }
        made.extend(found);
    }
    all_known.then_some(made)
}

/// The hole of a name, or all that one table of that name makes, which are numbered.
fn called(holes: &[Hole], name: &str) -> Vec<usize> {
    let is_number = |text: &str| !text.is_empty() && text.chars().all(|digit| digit.is_ascii_digit());
    let number = |hole: &Hole| hole.name.strip_prefix(name)?.strip_prefix(' ').map(is_number);
    let of = |is_called: &dyn Fn(&Hole) -> bool| -> Vec<usize> {
        holes.iter().enumerate().filter(|(_, hole)| is_called(hole)).map(|(index, _)| index).collect()
    };
    let itself = of(&|hole| hole.name == name);
    if itself.is_empty() { of(&|hole| number(hole) == Some(true)) } else { itself }
}

fn read_cast(fields: Fields<'_>, holes: &[Hole]) -> Option<Cast> {
    let mass: Option<Entered<Mass>> = fields.quantity("mass", &PIECE);
    let arm_m = place::maybe_arm(&fields, "arm", "side");
    let taken = place::maybe_arm(&fields, "taken_arm", "taken_side");
    let step: Option<Entered<Mass>> = fields.maybe("resolution", &bounds::SCALE_STEP);
    let calibration: Option<Entered<Mass>> = fields.maybe("calibration_uncertainty", &bounds::SCALE_STEP);
    if calibration.is_some() && !fields.has("resolution") {
        let what = format!("{} has calibration_uncertainty but no resolution", fields.name());
        let fault = Fault::new(what, fields.span_of("calibration_uncertainty"));
        fields.push(fault.hint("add the step of that scale, or leave both to [trim]"));
    }
    let made = read_made(&fields, holes);
    let again = fields.is_true("cast_again");
    fields.finish();
    let mass = mass?;
    let weighing = Weighing {
        mass_kg: mass.value.si(),
        standard_uncertainty: 0.0,
        in_common: InCommon::default(),
        arm_m,
        taken: taken.map_or(Taken::Alike, Taken::At),
        made: Made::default(),
    };
    let scale = step.map(|step| on_scale(&step, calibration.as_ref()));
    Some(Cast { made: made?, again, scale, mass, weighing })
}

fn read_tool(fields: Fields<'_>) -> Option<AtHand> {
    let word = fields.choice("kind", &[("saw", 0u8), ("drill", 1), ("file", 2)])?;
    let tool = match word {
        0 => read_saw(&fields),
        1 => read_drilling(&fields).map(|(drilling, _)| AtHand::Drill(drilling)),
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
