//! Reading `[fastening]`, `[[bolt]]`, `[[plate]]`: what holds the piece, for a screening that an engineer confirms;
//! `[[thread]]` and `[root]` by their own modules.
//!
//! Main type: [`Holding`], which becomes a [`Fastening`] once the piece is known. Kept small: one size of bolt, and all
//! bolts pull on the same threads.

use super::bounds::{SIZE, TORQUE};
use super::place;
use super::ratio::STRENGTH;
use super::root::read_root;
use super::threads::read_thread;
use crate::fault::Fault;
use crate::fields::Fields;
use hingeline_ballast::Cited;
use hingeline_ballast::Vector;
use hingeline_ballast::fastening::{
    AN_BOLTS, AN_WASHERS, Body, Bolt, BoltSize, Clamp, ClampPath, Direction, Factors, Fastening, Grip, Load,
    NUT_FACTOR, Plate, Washer, screen, usual_loads,
};
use hingeline_quantity::{Entered, Length, Moment, Quantity, STANDARD_GRAVITY};

/// A fastening without the piece that hangs on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Holding(Fastening);

impl Holding {
    /// The fastening of a piece.
    #[must_use]
    pub fn of(&self, weight: Body) -> Fastening {
        Fastening { weight, ..self.0.clone() }
    }
    /// The threads that every bolt pulls on.
    #[must_use]
    pub fn threads(&self) -> &[Grip] {
        self.0.bolts.first().map_or(&[], |bolt| bolt.grips.as_slice())
    }
}

/// Words for a direction.
pub(super) const AXES: [(&str, Vector); 6] = [
    ("forward", [-1.0, 0.0, 0.0]),
    ("aft", [1.0, 0.0, 0.0]),
    ("up", [0.0, 0.0, 1.0]),
    ("down", [0.0, 0.0, -1.0]),
    ("outboard", [0.0, 1.0, 0.0]),
    ("inboard", [0.0, -1.0, 0.0]),
];

/// What stands in `[fastening]`.
struct Table {
    size: BoltSize,
    axis: Vector,
    heel_m: Option<f64>,
    loads: Vec<Load>,
    factors: Factors,
    clamp: Option<Clamp>,
}

/// Reads all five tables; none where the sheet has no `[fastening]`.
pub(super) fn read_holding(root: &Fields<'_>) -> Option<Holding> {
    let table = root.maybe_table("fastening").map(|fields| read_table(&fields));
    let bolts: Vec<Option<Vector>> = root.tables("bolt").into_iter().map(read_bolt).collect();
    let plates: Vec<Option<Plate>> = root.tables("plate").into_iter().map(read_plate).collect();
    let threads: Vec<Option<Grip>> = root.tables("thread").into_iter().map(read_thread).collect();
    let arm_root = root.maybe_table("root").map(|fields| read_root(&fields));
    let table = table?;
    if !root.has("bolt") {
        let fault = Fault::new("the sheet has [fastening] but no bolt", root.span_of("fastening"));
        root.push(fault.hint("add [[bolt]] with arm, side, height and along for each bolt"));
    }
    let (table, bolts) = (table?, bolts.into_iter().collect::<Option<Vec<_>>>()?);
    let plates = plates.into_iter().collect::<Option<Vec<_>>>()?;
    let threads = threads.into_iter().collect::<Option<Vec<_>>>()?;
    let arm_root = match arm_root {
        Some(read) => Some(read?),
        None => None,
    };
    let first = *bolts.first()?;
    let Table { size, axis, heel_m, loads, factors, clamp } = table;
    let bolt = |at| Bolt { at, size: size.clone(), grips: threads.clone(), clamp: clamp.clone() };
    let holding = Holding(Fastening {
        weight: Body { mass_kg: 1.0, at: first },
        loads,
        factors,
        axis,
        bolts: bolts.into_iter().map(bolt).collect(),
        plates,
        heel_m,
        root: arm_root,
    });
    checked(root, holding)
}

/// What can be wrong with it does not depend on the piece.
fn checked(root: &Fields<'_>, holding: Holding) -> Option<Holding> {
    let Err(faults) = screen(&holding.0) else {
        return Some(holding);
    };
    for fault in faults {
        let told = Fault::new(format!("fastening: {fault}"), root.span_of("fastening"));
        root.push(told.hint(fault.hint()));
    }
    None
}

fn read_table(fields: &Fields<'_>) -> Option<Table> {
    let sizes: Vec<(&str, &BoltSize)> = AN_BOLTS.iter().map(|size| (size.name.as_ref(), size)).collect();
    let size = fields.choice("bolt", &sizes);
    let axis = fields.choice("weight_lies", &AXES);
    let heel: Option<Entered<Length>> = fields.maybe("heel", &SIZE);
    let source = fields.maybe_text("source").unwrap_or_default();
    let loads = read_loads(fields, &source);
    let factors = read_factors(fields, &source);
    let clamp = read_clamp(fields);
    fields.finish();
    Some(Table {
        size: size?.clone(),
        axis: axis?,
        heel_m: heel.map(|heel| heel.value.si()),
        loads,
        factors,
        clamp: clamp?,
    })
}

/// The usual load factors, each replaced by one that is entered.
fn read_loads(fields: &Fields<'_>, source: &str) -> Vec<Load> {
    let key = |direction| match direction {
        Direction::Normal => "normal",
        Direction::ForeAndAft => "fore_and_aft",
        Direction::AlongHinge => "along_hinge",
    };
    let entered = |load: Load| match fields.maybe_number(key(load.direction), 0.1..=1000.0) {
        Some(factor) => Load { factor: Cited::entered(factor, source), ..load },
        None => load,
    };
    usual_loads().into_iter().map(entered).collect()
}

fn read_factors(fields: &Fields<'_>, source: &str) -> Factors {
    let usual = Factors::default();
    let read = |key, usual| {
        fields.maybe_number(key, 1.0..=10.0).map_or(usual, |factor| Cited::entered(factor, source))
    };
    Factors { ultimate: read("ultimate", usual.ultimate), fitting: read("fitting", usual.fitting) }
}

const PATHS: [(&str, ClampPath); 2] =
    [("hard metal", ClampPath::HardMetal), ("bare lead", ClampPath::BareLead)];

/// None inside where nothing is said of tightening; none outside where it is wrong.
#[allow(clippy::option_option, reason = "left out and wrong are two things")]
fn read_clamp(fields: &Fields<'_>) -> Option<Option<Clamp>> {
    let washers: Vec<(&str, &Washer)> =
        AN_WASHERS.iter().map(|washer| (washer.name.as_ref(), washer)).collect();
    let torque: Option<Entered<Moment>> = fields.maybe("torque", &TORQUE);
    let washer = fields.maybe_choice("washer", &washers);
    let path = fields.maybe_choice("clamps_through", &PATHS);
    let keys = ["torque", "washer", "clamps_through"];
    if !keys.into_iter().any(|key| fields.has(key)) {
        return Some(None);
    }
    for key in keys.into_iter().filter(|key| !fields.has(key)) {
        let fault = Fault::new(format!("fastening has no {key}"), fields.span_of(key));
        fields.push(fault.hint("torque, washer and clamps_through belong together"));
    }
    Some(Some(Clamp {
        torque_nm: torque?.value.si() * STANDARD_GRAVITY,
        nut_factor: NUT_FACTOR.clone(),
        washer: washer?.clone(),
        path: path?,
    }))
}

fn read_bolt(fields: Fields<'_>) -> Option<Vector> {
    let x = place::arm(&fields);
    let along = place::along(&fields, "along");
    let height = place::middle(&fields, "height");
    fields.finish();
    Some([x?, along?, height?])
}

fn read_plate(fields: Fields<'_>) -> Option<Plate> {
    let name = fields.text("name");
    let thickness: Option<Entered<Length>> = fields.quantity("thickness", &SIZE);
    let bearing = STRENGTH.wanted(&fields, "bearing_strength");
    let source = fields.maybe_text("source").unwrap_or_default();
    fields.finish();
    Some(Plate {
        name: name?,
        thickness_m: thickness?.value.si(),
        bearing_pa: Cited::entered(bearing?, &source),
    })
}
