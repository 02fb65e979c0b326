//! Mass that must go: a weight sheet that asks for holes in an old weight in place of a new piece.
//!
//! Main types: [`DrillSheet`], [`Drilled`]; [`AnySheet`] reads a sheet of either kind. The holes are worked out by
//! `hingeline_ballast::design::drill_out`; where they do not suffice, [`Bounds`] says which bound stops them and by how
//! much. Not covered: whether the metal at that place is thick enough, which the depth allowed must know.

mod answer;
pub mod words;

pub use answer::{DrillAnswer, DrillStopPart, DrilledPart};

use super::bounds::{DRILL, PIECE, POINT, SIZE};
use super::mesh::Files;
use super::place;
use super::sheet::{Metal, WeightSheet, read_head, read_sheet};
use crate::Faults;
use crate::fault::Fault;
use crate::fields::Fields;
use crate::job_sheet::{Units, read_whole, required_table};
use hingeline_ballast::design::{DrillFault, DrillOut, Drilling, OldWeight, Wanted, bore_for, drill_out};
use hingeline_ballast::{Moments, solid};
use hingeline_quantity::{Angle, Entered, Length, Mass, Quantity};
use std::f64::consts::PI;

/// A weight sheet of either kind.
#[derive(Debug, Clone)]
pub enum AnySheet {
    /// A piece is wanted.
    Piece(Box<WeightSheet>),
    /// Holes are wanted.
    DrillOut(Box<DrillSheet>),
}

impl AnySheet {
    /// Reads a weight sheet of either kind with the files that it names.
    ///
    /// # Errors
    /// As for [`WeightSheet::parse_with`].
    pub fn parse_with(text: &str, files: &Files<'_>) -> Result<Self, Faults> {
        read_whole(text, |root| {
            if is_asked(root) {
                return read(root, text).map(|sheet| Self::DrillOut(Box::new(sheet)));
            }
            read_sheet(root, text, files).map(|sheet| Self::Piece(Box::new(sheet)))
        })
    }
}

/// A sheet that asks for holes in an old weight.
#[derive(Debug, Clone)]
pub struct DrillSheet {
    /// What is drilled, in words.
    pub name: String,
    /// The number of the job it is for.
    pub job: Option<String>,
    /// The big numbers as typed, each with its key in words.
    pub typed: Vec<(&'static str, String)>,
    /// The units that the answer speaks in: those of the moment.
    pub units: Units,
    /// The metal of the old weight.
    pub metal: Metal,
    /// What the holes must bring: kg m, positive towards tail-heavy.
    pub wanted: Wanted,
    /// Mass and arm of the old weight, kg and m, where they are given.
    pub old: Option<(f64, f64)>,
    /// Most that may go, kg, where that is given.
    pub removable: Option<f64>,
    /// Where the holes go, and with what.
    pub drilling: Drilling,
    /// The drills as typed, m.
    pub drills: Vec<(f64, String)>,
    /// BLAKE3 of the sheet's text, hexadecimal.
    pub fingerprint: String,
}

impl DrillSheet {
    /// Reads a sheet that asks for holes.
    ///
    /// # Errors
    /// - [`Faults`]: everything that is wrong with it; a sheet of a new piece is a fault too
    pub fn parse(text: &str) -> Result<Self, Faults> {
        read_whole(text, |root| {
            if !is_asked(root) && root.has("form") {
                let what =
                    "this sheet describes a new piece, and here one that drills an old weight out is wanted";
                let fault = Fault::new(what, root.span_of("form"));
                root.push(fault.hint("give it where a weight is designed, or ask for holes in [drill_out]"));
                return None;
            }
            if !is_asked(root) {
                required_table(root, TABLE);
            }
            read(root, text)
        })
    }
}

/// The mass, kg, that holes of one drill take out of the metal of a sheet.
///
/// # Inputs
/// `holes`: how many; `diameter`, `tip_depth`: of each, m, above 0.
#[must_use]
pub fn bored_kg(sheet: &DrillSheet, holes: u32, diameter: f64, tip_depth: f64) -> f64 {
    let point_angle = sheet.drilling.point_angle;
    let hole = solid::drill_hole(diameter, solid::Drilled::ToTip { depth: tip_depth, point_angle });
    hole.total * sheet.metal.density.kg_m3 * f64::from(holes)
}

/// Share of a weighed mass by which it may differ from that of its holes before it is worth a second look.
const MARGIN: f64 = 0.15;

/// Whether a weighed mass, kg, is near what its holes take, kg.
#[must_use]
pub fn is_near(weighed_kg: f64, bored_kg: f64) -> bool {
    (weighed_kg - bored_kg).abs() <= MARGIN * bored_kg
}

/// A drill sheet with all that follows from it.
#[derive(Debug, Clone)]
pub struct Drilled {
    /// The sheet.
    pub sheet: DrillSheet,
    /// The holes, or why there are none.
    pub outcome: Result<DrillOut, DrillFault>,
    /// How far the bounds let it go, where they stop it.
    pub bounds: Option<Bounds>,
}

/// How far the bounds let it go.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// In words.
    pub limit: &'static str,
    /// What must go, kg.
    pub needed_kg: f64,
    /// The most that may go, kg.
    pub most_kg: f64,
    /// Of the moment, what is lacking then, kg m, with sign.
    pub lacking_kg_m: f64,
    /// Holes of the widest drill as deep as allowed that would do; none where the removable mass stops it too.
    pub would_take_holes: Option<u32>,
    /// How deep the most holes of the widest drill would have to be, to the tip, m.
    pub would_take_depth_m: Option<f64>,
}

impl Drilled {
    /// Whether there are holes that bring the moment, and so the exit status.
    #[must_use]
    pub fn is_solved(&self) -> bool {
        self.outcome.is_ok()
    }
    /// The word in the answer.
    #[must_use]
    pub fn standing(&self) -> &'static str {
        match &self.outcome {
            Ok(_) => "solved",
            Err(DrillFault::WrongSide { .. }) => "wrong side",
            Err(_) => "not enough",
        }
    }
}

/// Whether a sheet asks for holes in place of a piece.
pub(super) fn is_asked(root: &Fields<'_>) -> bool {
    root.has(TABLE)
}

const TABLE: &str = "drill_out";
/// Most holes that a drill may make.
const MOST_HOLES: u32 = 1000;

/// Says that a piece was expected.
pub(super) fn refuse(root: &Fields<'_>) {
    let what = "this sheet drills an old weight out, and here a sheet of a new piece is wanted";
    root.push(
        Fault::new(what, root.span_of(TABLE))
            .hint("give it to hingeline weight, or describe a piece in [form]"),
    );
}

fn read(root: &Fields<'_>, text: &str) -> Option<DrillSheet> {
    let head = required_table(root, "weight").and_then(|fields| read_head(&fields));
    let table = root.maybe_table(TABLE).and_then(|fields| read_table(&fields));
    if root.has("form") {
        let fault = Fault::new("the sheet has both [form] and [drill_out]", root.span_of(TABLE));
        root.push(fault.hint("keep [form] for a new piece, or [drill_out] for holes in the old weight"));
        return None;
    }
    root.finish();
    let (head, table) = (head?, table?);
    if table.old_mass.is_some() && head.old_arm.is_none() {
        let fault = Fault::new("drill_out has old_mass, but weight has no old_arm", root.span_of("weight"));
        root.push(fault.hint(
            "add old_arm = \"6 1/2 in\" and old_side = \"forward\" to [weight], or leave old_mass out",
        ));
    }
    Some(DrillSheet {
        name: head.name,
        job: head.job,
        typed: head.typed,
        units: head.units,
        metal: head.metal,
        wanted: head.wanted,
        old: table.old_mass.zip(head.old_arm),
        removable: table.removable,
        drilling: table.drilling,
        drills: table.drills,
        fingerprint: blake3::hash(text.as_bytes()).to_hex().to_string(),
    })
}

/// What stands in `[drill_out]`.
struct Table {
    old_mass: Option<f64>,
    removable: Option<f64>,
    drilling: Drilling,
    drills: Vec<(f64, String)>,
}

fn read_table(fields: &Fields<'_>) -> Option<Table> {
    let mass = |key| {
        let mass: Option<Entered<Mass>> = fields.maybe(key, &PIECE);
        mass.map(|mass| mass.value.si())
    };
    let (old_mass, removable) = (mass("old_mass"), mass("removable"));
    let drilling = read_drilling(fields);
    fields.finish();
    let (drilling, drills) = drilling?;
    Some(Table { old_mass, removable, drilling, drills })
}

/// Where holes go and with what, and the drills as typed, m.
pub(super) fn read_drilling(fields: &Fields<'_>) -> Option<(Drilling, Vec<(f64, String)>)> {
    let x = place::arm(fields);
    let drills: Option<Vec<(Entered<Length>, _)>> = fields.maybe_list("diameters", &DRILL, "drill");
    if !fields.has("diameters") {
        let fault = Fault::new(format!("{} has no diameters", fields.name()), fields.span_of("diameters"));
        fields.push(fault.hint("add diameters = [\"1/4 in\", \"3/8 in\"], the drills at hand"));
    }
    let point: Option<Entered<Angle>> = fields.quantity("point", &POINT);
    let deepest: Option<Entered<Length>> = fields.quantity("deepest", &SIZE);
    let most = fields.maybe_count("most_holes", 1..=MOST_HOLES);
    let most = if fields.has("most_holes") { most? } else { MOST_HOLES };
    let drills: Vec<(f64, String)> =
        drills?.into_iter().map(|(drill, _)| (drill.value.si(), drill.text)).collect();
    if drills.is_empty() {
        return None;
    }
    let diameters = drills.iter().map(|(diameter, _)| *diameter).collect();
    let (point_angle, deepest) = (point?.value.si(), deepest?.value.si());
    Some((Drilling { x: x?, diameters, point_angle, deepest, most }, drills))
}

/// Works a drill sheet out.
#[must_use]
pub fn work(sheet: DrillSheet) -> Drilled {
    let old = OldWeight {
        mass: sheet.old.map(|(mass, arm)| Moments::point(mass, [arm, 0.0, 0.0])),
        density_kg_m3: sheet.metal.density.kg_m3,
        removable_kg: sheet.removable,
    };
    let outcome = drill_out(&old, sheet.wanted.moment_kg_m, &sheet.drilling);
    let bounds = outcome.as_ref().err().and_then(|fault| stopped_by(&sheet, fault));
    Drilled { outcome, bounds, sheet }
}

fn stopped_by(sheet: &DrillSheet, fault: &DrillFault) -> Option<Bounds> {
    let drilling = &sheet.drilling;
    let lacking = |needed_kg: f64, most_kg: f64| (needed_kg - most_kg) * -drilling.x;
    match *fault {
        DrillFault::Removable { needed_kg, removable_kg } => Some(Bounds {
            limit: if sheet.removable.is_some() {
                "the mass that may go"
            } else {
                "the mass of the old weight"
            },
            needed_kg,
            most_kg: removable_kg,
            lacking_kg_m: lacking(needed_kg, removable_kg),
            would_take_holes: None,
            would_take_depth_m: None,
        }),
        DrillFault::TooLittle { needed_kg, most_kg } => {
            let widest = drilling.diameters.iter().copied().fold(0.0, f64::max);
            let each = most_kg / f64::from(drilling.most);
            let volume = needed_kg / sheet.metal.density.kg_m3 / f64::from(drilling.most);
            // Where the mass that may go is too little as well, no holes would do.
            let may_go = sheet.removable.is_none_or(|removable_kg| needed_kg <= removable_kg)
                && sheet.old.is_none_or(|(mass_kg, _)| needed_kg <= mass_kg);
            Some(Bounds {
                limit: "number, depth and diameter of the holes",
                needed_kg,
                most_kg,
                lacking_kg_m: lacking(needed_kg, most_kg),
                would_take_holes: whole(needed_kg / each).filter(|_| may_go),
                would_take_depth_m: may_go.then(|| bore_for(volume, widest, drilling.point_angle).tip_depth),
            })
        }
        DrillFault::WrongSide { .. } | DrillFault::Number { .. } => None,
    }
}

/// The next whole number, where it is one that can be drilled.
fn whole(count: f64) -> Option<u32> {
    (1..=MOST_HOLES).find(|holes| count <= f64::from(*holes))
}

/// The point of a drill in degrees.
fn degrees(angle: f64) -> f64 {
    angle * 180.0 / PI
}
