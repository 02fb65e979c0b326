//! The answer to a drill sheet in plain words and written-out sums, in the units of the sheet.
//!
//! Main functions: [`headline`], the one big sentence, and [`sections`], all the rest in order.

use super::{Bounds, DrillSheet, Drilled, degrees};
use crate::weight::words::{Section, Speech, metal_lines};
use crate::words::{CAUTIONS, plain};
use hingeline_ballast::design::{DrillFault, DrillOut};
use hingeline_quantity::{Moment, Quantity};

/// What the sheet asks for, as typed.
#[must_use]
pub fn asked(drilled: &Drilled) -> String {
    let typed = drilled.sheet.typed.iter().map(|(key, text)| format!("{key} {text}"));
    typed.collect::<Vec<_>>().join(", ")
}

/// The one big sentence: “Drill 4 × 3/8 in, 0.412 in deep at full diameter: 0.0682 lb goes, 0.435 in-lb towards
/// tail-heavy.”
#[must_use]
pub fn headline(drilled: &Drilled) -> String {
    let (sheet, speech) = (&drilled.sheet, speech(&drilled.sheet));
    let wanted = change(sheet, &speech);
    match (&drilled.outcome, drilled.bounds) {
        (Ok(out), _) => format!(
            "Drill {} × {} at {}, {} deep at full diameter ({} to the tip): {} goes, which is {wanted}.",
            out.count,
            drill(sheet, out.bore.diameter),
            speech.arm(sheet.drilling.x),
            speech.length(out.bore.full_depth),
            speech.length(out.bore.tip_depth),
            speech.mass(out.removed_kg)
        ),
        (Err(_), Some(bounds)) => format!(
            "Holes there will not do: {} of {} may go, {} of {wanted} is lacking.",
            speech.mass(bounds.most_kg),
            speech.mass(bounds.needed_kg),
            speech.size(bounds.lacking_kg_m)
        ),
        (Err(DrillFault::WrongSide { x }), None) => format!(
            "Holes there will not do: mass taken away at {} changes the moment the other way, and {wanted} is wanted.",
            speech.arm(*x)
        ),
        (Err(fault), None) => format!("Holes there will not do: {fault}."),
    }
}

/// “0.4500 in-lb towards tail-heavy”.
fn change(sheet: &DrillSheet, speech: &Speech) -> String {
    let wanted = Moment::from_si(sheet.wanted.moment_kg_m);
    format!("{} towards {}", speech.size(wanted.si()), wanted.side().word())
}

/// The whole answer below the big sentence, without what has nothing to say.
#[must_use]
pub fn sections(drilled: &Drilled) -> Vec<Section> {
    let holes = drilled.outcome.as_ref().map_or(Vec::new(), |out| holes(&drilled.sheet, out));
    let left = drilled.outcome.as_ref().map_or(Vec::new(), |out| left(&drilled.sheet, out));
    let cautions = cautions(&drilled.sheet).into_iter().map(str::to_owned).collect();
    let all = [
        ("why", why(drilled)),
        ("the holes", holes),
        ("the old weight after it", left),
        ("sources", metal_lines(&drilled.sheet.metal)),
        ("cautions", cautions),
    ];
    let told = all.into_iter().filter(|(_, lines): &(_, Vec<String>)| !lines.is_empty());
    told.map(|(title, lines)| Section { title, lines }).collect()
}

/// How the numbers of a drill sheet are said.
#[must_use]
pub fn speech(sheet: &DrillSheet) -> Speech {
    Speech::in_units(sheet.units, sheet.wanted.moment_kg_m)
}

/// A drill as it was typed.
fn drill(sheet: &DrillSheet, diameter: f64) -> String {
    let same = |typed: &&(f64, String)| (typed.0 - diameter).abs() <= 1e-12;
    sheet.drills.iter().find(same).map_or_else(|| speech(sheet).stock(diameter), |(_, text)| text.clone())
}

fn holes(sheet: &DrillSheet, out: &DrillOut) -> Vec<String> {
    let speech = speech(sheet);
    let x = sheet.drilling.x;
    let side = if x < 0.0 { "forward" } else { "aft" };
    let change = speech.product(&format!("what goes, {side}"), out.removed_kg, x, sheet.wanted.moment_kg_m);
    let mut lines = vec![
        format!(
            "{} of {}, point {} deg: {} deep at full diameter, {} to the tip; allowed: {} to the tip",
            count(out.count),
            drill(sheet, out.bore.diameter),
            plain(degrees(out.bore.point_angle)),
            speech.length(out.bore.full_depth),
            speech.length(out.bore.tip_depth),
            speech.length(sheet.drilling.deepest)
        ),
        format!(
            "each takes {}, all of them {}",
            speech.mass(out.removed_kg / f64::from(out.count)),
            speech.mass(out.removed_kg)
        ),
        change.line(),
    ];
    let remaining = sheet.wanted.moment_kg_m + out.removed_kg * x;
    let aim = sheet.typed.iter().find(|(key, _)| *key == "aim");
    if speech.is_nothing(remaining) {
        let there = aim.map_or(String::new(), |(_, aim)| format!(": the surface then has its aim of {aim}"));
        lines.push(format!("nothing remains of the wanted change{there}"));
    } else {
        lines.push(format!("{} remains of the wanted change", speech.moment(remaining)));
    }
    let wanted = sheet.wanted.standard_uncertainty;
    if 0.0 < wanted {
        lines.push(format!("the wanted change is known to ±{} (k = 2)", speech.fine_size(2.0 * wanted)));
    }
    lines.push(
        "what counts is the mass that goes: weigh the chips, or the weight before and after".to_owned(),
    );
    lines
}

fn count(holes: u32) -> String {
    if holes == 1 { "1 hole".to_owned() } else { format!("{holes} holes") }
}

fn left(sheet: &DrillSheet, out: &DrillOut) -> Vec<String> {
    let speech = speech(sheet);
    let Some((mass, arm)) = sheet.old else {
        return vec![format!("it must weigh {} less than before", speech.mass(out.removed_kg))];
    };
    let line = |word: &str, mass: f64, arm: f64| {
        format!("{word}: {} at {}, {}", speech.mass(mass), speech.arm(arm), speech.moment(mass * arm))
    };
    let mut lines = vec![line("before", mass, arm)];
    match out.left {
        Some(left) => lines.extend([
            line("after", left.mass_kg, left.arm_m),
            format!("it must then weigh {}", speech.mass(left.mass_kg)),
        ]),
        None => lines.push("after: nothing is left of it".to_owned()),
    }
    lines
}

fn why(drilled: &Drilled) -> Vec<String> {
    let Err(fault) = &drilled.outcome else { return Vec::new() };
    let (sheet, speech) = (&drilled.sheet, speech(&drilled.sheet));
    let mut lines = drilled.bounds.map_or(Vec::new(), |bounds| stopped(sheet, &bounds, &speech));
    lines.push(format!("what can be done: {}", fault.hint()));
    lines
}

fn stopped(sheet: &DrillSheet, bounds: &Bounds, speech: &Speech) -> Vec<String> {
    let Bounds { needed_kg, most_kg, .. } = *bounds;
    let drilling = &sheet.drilling;
    let mut lines = vec![format!(
        "it is stopped by {}: {} must go, {} may; {} too little",
        bounds.limit,
        speech.mass(needed_kg),
        speech.mass(most_kg),
        speech.fine_mass(needed_kg - most_kg)
    )];
    let Some(depth) = bounds.would_take_depth_m else { return lines };
    let widest = drilling.diameters.iter().copied().fold(0.0, f64::max);
    let widest = drill(sheet, widest);
    lines.push(format!(
        "{} of {widest}, {} to the tip, take {}",
        count(drilling.most),
        speech.length(drilling.deepest),
        speech.mass(most_kg)
    ));
    let deeper = format!("{} {} deep to the tip", count(drilling.most), speech.length(depth));
    lines.push(match bounds.would_take_holes {
        Some(holes) => format!("of that drill it would take {} as deep, or {deeper}", count(holes)),
        None => format!("of that drill it would take {deeper}"),
    });
    lines
}

/// The cautions that belong to drilling.
#[must_use]
pub fn cautions(sheet: &DrillSheet) -> Vec<&'static str> {
    let [flutter, _, lead, ..] = CAUTIONS;
    let is_lead = sheet.metal.name.to_lowercase().contains("lead");
    let mut told = vec![flutter];
    told.extend(is_lead.then_some(lead));
    told
}
