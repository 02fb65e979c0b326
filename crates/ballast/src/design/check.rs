//! Whether the numbers of a design and of a form are in range. Main functions: [`checked`], [`in_range`].

use std::f64::consts::{PI, TAU};

use super::{Depth, Design, Face, Fault, Form, Head, Hole, Mouth, Span, Vary, plates};

type Checked = Result<(), Fault>;

/// No number of a design is larger: products of them stay finite.
const MOST: f64 = 1e9;

fn number(what: &'static str, value: f64, allowed: &'static str, is_good: bool) -> Checked {
    if is_good && value.abs() <= MOST { Ok(()) } else { Err(Fault::Number { what, value, allowed }) }
}

fn above_0(what: &'static str, value: f64) -> Checked {
    number(what, value, "above 0, up to 1e9", 0.0 < value)
}

fn not_below_0(what: &'static str, value: f64) -> Checked {
    number(what, value, "0 or above, up to 1e9", 0.0 <= value)
}

fn finite(what: &'static str, value: f64) -> Checked {
    number(what, value, "a number of a size up to 1e9", true)
}

fn not_0(what: &'static str, value: f64) -> Checked {
    number(what, value, "a number other than 0, of a size up to 1e9", 0.0 < value.abs())
}

/// # Errors
/// [`Fault::Number`]: a length that is not above 0, a place that is not finite.
pub(super) fn in_range(form: &Form) -> Checked {
    match form {
        Form::Cap { thickness, span, end_walls, .. } => {
            above_0("the thickness", *thickness)?;
            above_0("the end wall", end_walls.unwrap_or(1.0))?;
            along(span)
        }
        Form::Bar { depth, height, span, face: Face::Rear(x) | Face::Front(x), middle } => {
            standing([*depth, *height], [*x, *middle], span)
        }
        Form::Nose { depth, height, span, flat, middle, .. } => {
            standing([*depth, *height], [*flat, *middle], span)
        }
        Form::RoundBar { diameter, span, centre: [x, z] } => {
            above_0("the diameter", *diameter)?;
            centred([*x, *z], span)
        }
        Form::RingSegment { centre: [x, z], inner_radius, thickness, from_angle, over_angle, span } => {
            above_0("the inner radius", *inner_radius)?;
            above_0("the thickness", *thickness)?;
            finite("the angle at its start", *from_angle)?;
            let turn = 0.0 < *over_angle && *over_angle < TAU;
            number("the angle over", *over_angle, "above 0, below a whole turn", turn)?;
            centred([*x, *z], span)
        }
        Form::Section { span, .. } => along(span),
        Form::Plates { thickness, from, count, .. } => {
            above_0("the thickness of a plate", *thickness)?;
            finite("the start of the stack", *from)?;
            count_of_plates(*count)
        }
        Form::Frustum { front_diameter, rear_diameter, depth, rear } => {
            not_below_0("the front diameter", *front_diameter)?;
            not_below_0("the rear diameter", *rear_diameter)?;
            above_0("the larger diameter", front_diameter.max(*rear_diameter))?;
            above_0("the depth", *depth)?;
            rear.iter().try_for_each(|place| finite("the middle of the rear face", *place))
        }
        Form::Measured { volume, bounds, .. } => {
            above_0("the volume", volume.total)?;
            let places = volume.first.iter().chain(bounds.iter().flatten());
            places.into_iter().try_for_each(|place| finite("a place of the measured piece", *place))
        }
    }
}

fn along(span: &Span) -> Checked {
    above_0("the span", span.length)?;
    finite("the start of the span", span.from)
}

fn centred([x, z]: [f64; 2], span: &Span) -> Checked {
    finite("x of the centre", x)?;
    finite("z of the centre", z)?;
    along(span)
}

fn standing([depth, height]: [f64; 2], [x, z]: [f64; 2], span: &Span) -> Checked {
    above_0("the depth", depth)?;
    above_0("the height", height)?;
    finite("x of the face", x)?;
    finite("the height of the middle", z)?;
    along(span)
}

fn count_of_plates(count: u32) -> Checked {
    number("the number of plates", f64::from(count), "1 to 1000", (1..=plates::MOST).contains(&count))
}

/// # Errors
/// [`Fault::Number`]; [`Fault::NotFree`], [`Fault::NoPlates`]: what is to vary is not in the form.
pub(super) fn checked(design: &Design) -> Checked {
    let wanted = design.wanted;
    not_0("the wanted moment", wanted.moment_kg_m)?;
    not_below_0("the uncertainty of the wanted moment", wanted.standard_uncertainty)?;
    above_0("the density", design.density.kg_m3)?;
    not_below_0("the uncertainty of the density", design.density.standard_uncertainty)?;
    let accuracy = design.accuracy;
    not_below_0("the uncertainty of the dimension", accuracy.dimension)?;
    not_below_0("the uncertainty of the place", accuracy.position)?;
    not_below_0("the coverage factor", accuracy.coverage_factor)?;
    not_0("the old arm", design.old_arm.unwrap_or(1.0))?;
    checked_space(design)?;
    checked_vary(design)?;
    checked_extras(design)
}

fn checked_space(design: &Design) -> Checked {
    let space = design.space;
    finite("the reach forward", space.forward.unwrap_or(0.0))?;
    finite("the height above", space.above.unwrap_or(0.0))?;
    finite("the depth below", space.below.unwrap_or(0.0))?;
    above_0("the swing", space.swing.unwrap_or(1.0))?;
    above_0("the span that is free", space.span.unwrap_or(1.0))?;
    above_0("the capacity", space.capacity.unwrap_or(1.0))?;
    above_0("the smallest wall", space.smallest_wall.unwrap_or(1.0))
}

fn checked_vary(design: &Design) -> Checked {
    match &design.vary {
        Vary::Nothing => Ok(()),
        Vary::Dimension { dimension, least, most } => {
            above_0("the least", *least)?;
            number("the most", *most, "above the least, up to 1e9", least < most)?;
            design.form.with(*dimension, *least).map(|_| ())
        }
        Vary::Plates { stock, most } => {
            if !matches!(design.form, Form::Plates { .. }) {
                return Err(Fault::NoPlates { form: design.form.name() });
            }
            count_of_plates(*most)?;
            above_0("the number of stock thicknesses", if stock.is_empty() { 0.0 } else { 1.0 })?;
            stock.iter().try_for_each(|thickness| above_0("the thickness of the stock", *thickness))
        }
    }
}

fn checked_extras(design: &Design) -> Checked {
    for item in &design.hardware {
        above_0("the mass of hardware", item.mass_kg)?;
        not_below_0("the uncertainty of hardware", item.standard_uncertainty)?;
        finite("the place of hardware", item.place.x(0.0))?;
    }
    for film in &design.films {
        above_0("the mass per area of a film", film.kg_m2)?;
        not_below_0("the uncertainty of a film", film.standard_uncertainty)?;
    }
    design.holes.iter().try_for_each(checked_hole)
}

fn checked_hole(hole: &Hole) -> Checked {
    above_0("the diameter of a hole", hole.diameter)?;
    let (Mouth::Front { y: one, z: other }
    | Mouth::Top { x: one, y: other }
    | Mouth::Bottom { x: one, y: other }
    | Mouth::End { x: one, z: other }) = hole.mouth;
    finite("the place of a hole", one + other)?;
    hole.head.map_or(Ok(()), |head| checked_head(hole, head))?;
    let (Depth::FullDiameter { depth, point_angle } | Depth::ToTip { depth, point_angle }) = hole.depth
    else {
        return Ok(());
    };
    above_0("the depth of a hole", depth)?;
    number(
        "the point angle",
        point_angle,
        "above 0, below half a turn",
        0.0 < point_angle && point_angle < PI,
    )
}

fn checked_head(hole: &Hole, head: Head) -> Checked {
    let wider = "above the diameter of its hole, up to 1e9";
    let is_wider = hole.diameter < head.diameter();
    number("the diameter of a counterbore or countersink", head.diameter(), wider, is_wider)?;
    match head {
        Head::Counterbore { depth, .. } => above_0("the depth of a counterbore", depth)?,
        Head::Countersink { angle, .. } => {
            let allowed = "above 0, below half a turn";
            number("the angle of a countersink", angle, allowed, 0.0 < angle && angle < PI)?;
        }
    }
    let depth = head.depth(hole.diameter);
    let is_shallower = hole.depth.full(hole.diameter).is_none_or(|deep| depth <= deep);
    number("the depth of a counterbore or countersink", depth, "less than that of its hole", is_shallower)
}
