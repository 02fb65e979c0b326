//! Reading `[root]`: where the arm that the weight stands on leaves the surface, and its section there.

use super::bolts::AXES;
use super::bounds::{PIECE, SIZE};
use super::place;
use super::ratio::{AREA, MODULUS, Ratio, STRENGTH};
use crate::fault::Fault;
use crate::fields::Fields;
use hingeline_ballast::Cited;
use hingeline_ballast::Vector;
use hingeline_ballast::fastening::{Body, Root, Section};
use hingeline_quantity::{Entered, Length, Mass, Quantity};

pub(super) fn read_root(fields: &Fields<'_>) -> Option<Root> {
    let at = read_place(fields);
    let along = fields.choice("arm_runs", &AXES);
    let arm = read_arm(fields);
    let section = read_section(fields, along);
    fields.finish();
    let (at, along) = (at?, along?);
    let arm = arm?.map(|(mass_kg, beyond)| Body { mass_kg, at: ahead(at, along, beyond) });
    Some(Root { at, along, arm, section: section? })
}

fn read_place(fields: &Fields<'_>) -> Option<Vector> {
    let x = place::reach(fields);
    let along = place::along(fields, "along");
    let height = place::middle(fields, "height");
    Some([x?, along?, height?])
}

/// A place so far along a direction.
fn ahead(at: Vector, along: Vector, by: f64) -> Vector {
    std::array::from_fn(|axis| at[axis] + by * along[axis])
}

/// Keys that belong together: none of them, or all.
fn together(fields: &Fields<'_>, keys: &[&'static str]) -> bool {
    let any = keys.iter().any(|key| fields.has(key));
    for key in keys.iter().filter(|key| any && !fields.has(key)) {
        let fault = Fault::new(format!("{} has no {key}", fields.name()), fields.span_of(key));
        fields.push(fault.hint(format!("{} belong together", keys.join(", "))));
    }
    any
}

/// The arm's own mass and how far beyond the root it has it. None inside where it is not counted.
#[allow(clippy::option_option, reason = "left out and wrong are two things")]
fn read_arm(fields: &Fields<'_>) -> Option<Option<(f64, f64)>> {
    let mass: Option<Entered<Mass>> = fields.maybe("arm_mass", &PIECE);
    let beyond: Option<Entered<Length>> = fields.maybe("arm_mass_beyond", &SIZE);
    if !together(fields, &["arm_mass", "arm_mass_beyond"]) {
        return Some(None);
    }
    Some(Some((mass?.value.si(), beyond?.value.si())))
}

const BAR: [&str; 2] = ["section_width", "section_height"];
const ANY: [&str; 3] = ["section_modulus", "section_modulus_across", "section_area"];

/// None inside where only the load is asked for.
#[allow(clippy::option_option, reason = "left out and wrong are two things")]
fn read_section(fields: &Fields<'_>, along: Option<Vector>) -> Option<Option<Section>> {
    let size = |key| {
        let size: Option<Entered<Length>> = fields.maybe(key, &SIZE);
        size.map(|size| size.value.si())
    };
    let bar = BAR.map(size);
    let ratio = |(ratio, key): (&Ratio, &'static str)| ratio.maybe(fields, key);
    let any = [(&MODULUS, ANY[0]), (&MODULUS, ANY[1]), (&AREA, ANY[2])].map(ratio);
    let strength = STRENGTH.maybe(fields, "strength");
    let source = fields.maybe_text("source").unwrap_or_default();
    let (has_bar, has_any) = (together(fields, &BAR), together(fields, &ANY));
    if !has_bar && !has_any {
        if fields.has("strength") {
            let fault = Fault::new("root has strength but no section", fields.span_of("strength"));
            fields.push(fault.hint(format!("add {}, or {}", BAR.join(" and "), ANY.join(", "))));
            return None;
        }
        return Some(None);
    }
    if has_bar && has_any {
        let fault = Fault::new("root has two sections", fields.span_of(BAR[0]));
        fields.push(fault.hint(format!("keep {}, or {}", BAR.join(" and "), ANY.join(", "))));
    }
    let strength = STRENGTH.required(fields, "strength", strength);
    let (strength, axis) = (Cited::entered(strength?, &source), bending_axis(along?));
    Some(Some(if has_bar {
        Section::rectangle(axis, [bar[0]?, bar[1]?], strength)
    } else {
        let [modulus_m3, modulus_across_m3, area_m2] = [any[0]?, any[1]?, any[2]?];
        Section { axis, modulus_m3, modulus_across_m3, area_m2, strength_pa: strength }
    }))
}

/// The axis that the width lies along: the hinge line, or fore and aft where the arm itself runs along the hinge line.
fn bending_axis(along: Vector) -> Vector {
    if along[1] == 0.0 { [0.0, 1.0, 0.0] } else { [1.0, 0.0, 0.0] }
}
