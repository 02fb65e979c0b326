//! The drawing of a solution: its places as plain numbers, its labels in words. Main function: [`drawing_of`].

use hingeline_ballast::design::{Design, Form, Head, Hole, Mouth, Parting, Solution};
use hingeline_ballast::outline::{Edge, Path};
use hingeline_bench::weight::words::Speech;
use hingeline_quantity::unit::INCH;

use super::WeightTexts;
use super::picture::{self, hand_of, surface};
use crate::drawing::{
    Bore, Figure, HoleHead, Measure, PartingLine, Profile, ScaleBar, SpaceLimits, WeightDrawing, WeightHole,
};

/// How far the straight sides of a drawing lie from the true line at most, as a share of the size of the piece.
const DRAWN: f64 = 5e-4;

/// The weight that was found, as [`crate::drawing::weight_views`] draws it.
#[must_use]
pub fn drawing_of(design: &Design, solution: &Solution, texts: &WeightTexts) -> WeightDrawing {
    let say = texts.say;
    let tolerance = DRAWN * size_of(solution);
    let envelope = solution.envelope;
    let drilled = solution.as_drilled;
    let form = solution.form.name().split_once(' ').map_or("piece", |(_, name)| name);
    let from_y =
        figures(solution, tolerance).iter().map(|figure| figure.from_y).fold(f64::INFINITY, f64::min);
    WeightDrawing {
        name: format!("new {form}, {}", texts.metal),
        figures: figures(solution, tolerance),
        surface: body_surface(solution),
        hand: hand_of(design, solution, texts.hand),
        old: front_of(solution, texts, tolerance),
        old_label: if texts.old.is_empty() {
            "old weight, front as traced".into()
        } else {
            texts.old.clone()
        },
        holes: design.holes.iter().map(|hole| hole_of(hole, say, from_y, solution)).collect(),
        parting: match design.parting {
            None => PartingLine::Whole,
            Some(Parting::AtHeight(z)) => PartingLine::AtHeight(z),
            Some(Parting::MidSpan) => PartingLine::MidSpan,
        },
        centre_m: [solution.finished.arm_m, drilled.first[2] / drilled.total],
        arm_label: format!("centre of gravity {}", say.arm(solution.finished.arm_m)),
        reach_label: format!("front {}", say.arm(envelope.front)),
        height_label: format!("height {}", say.length(envelope.top - envelope.bottom)),
        size: size(solution, say),
        span_label: span_label(solution, say),
        limits: limits(design, say),
        scale_bar: scale_bar(texts, envelope.rear - envelope.front),
    }
}

/// The surface of a piece that is drawn by it.
fn body_surface(solution: &Solution) -> Vec<[[f64; 3]; 3]> {
    match &solution.form {
        Form::Measured { .. } => surface(solution, DRAWN).unwrap_or_default(),
        _ => Vec::new(),
    }
}

/// What is drawn of a large mesh.
pub(super) fn coarse_note(solution: &Solution) -> Option<String> {
    let Form::Measured { surface, .. } = &solution.form else { return None };
    let (all, most) = (surface.triangles().len(), picture::MOST_DRAWN);
    (most < all).then(|| {
        format!(
            "Drawings and picture show the mesh coarsened from {all} triangles to no more than {most}; its small parts \
             are not seen there. The numbers are of the whole mesh."
        )
    })
}

/// The size of the section, m.
pub(super) fn size_of(solution: &Solution) -> f64 {
    let envelope = solution.envelope;
    (envelope.rear - envelope.front).hypot(envelope.top - envelope.bottom)
}

/// The parts of the body.
pub(super) fn figures(solution: &Solution, tolerance: f64) -> Vec<Figure> {
    let envelope = solution.envelope;
    let boxed = |y: f64, half: f64, profile| {
        let (a, b, low, high) = (envelope.front, envelope.rear, envelope.bottom, envelope.top);
        let ring = vec![[b, low], [b, high], [a, high], [a, low]];
        vec![Figure { rings: vec![ring], from_y: y - half, to_y: y + half, profile }]
    };
    match &solution.form {
        Form::Frustum { front_diameter, rear_diameter, depth, rear: [x, y, z] } => {
            let (front, back) = (front_diameter / 2.0, rear_diameter / 2.0);
            let ring = [[*x, z - back], [*x, z + back], [x - depth, z + front], [x - depth, z - front]];
            let widest = front.max(back);
            let (from_y, to_y) = (y - widest, y + widest);
            vec![Figure { rings: vec![ring.to_vec()], from_y, to_y, profile: Profile::Turned }]
        }
        Form::Measured { bounds: [low, high], .. } => {
            boxed(f64::midpoint(low[1], high[1]), (high[1] - low[1]) / 2.0, Profile::Body)
        }
        _ => solution
            .body
            .prisms
            .iter()
            .map(|prism| Figure {
                rings: prism.outline.polygon(tolerance),
                from_y: prism.from_y,
                to_y: prism.to_y,
                profile: Profile::Drawn,
            })
            .collect(),
    }
}

/// The corners of a figure.
pub(super) fn points(figure: &Figure) -> impl Iterator<Item = [f64; 2]> + '_ {
    figure.rings.iter().flatten().copied()
}

/// The front of the old weight: that of a cap, or the one the caller gives.
pub(super) fn front_of(solution: &Solution, texts: &WeightTexts, tolerance: f64) -> Vec<[f64; 2]> {
    match &solution.form {
        Form::Cap { front, .. } => polyline(front, tolerance),
        _ => texts.old_front.clone(),
    }
}

/// The corners of an open path, no further from it than a tolerance, m.
pub(super) fn polyline(path: &Path, tolerance: f64) -> Vec<[f64; 2]> {
    let mut points = vec![path.start()];
    for edge in path.edges() {
        let at = points.last().copied().unwrap_or_default();
        match edge {
            Edge::Line { to } => points.push(to),
            Edge::Arc { centre, radii, from, sweep } => {
                let steps = steps(radii[0].max(radii[1]) * sweep * sweep, tolerance);
                points.extend((1..=steps).map(|step| {
                    let angle = from + sweep * f64::from(step) / f64::from(steps);
                    [centre[0] + radii[0] * angle.cos(), centre[1] + radii[1] * angle.sin()]
                }));
            }
            Edge::Parabola { control, to } => {
                let bend = [0, 1].map(|axis: usize| at[axis] - 2.0 * control[axis] + to[axis]);
                let steps = steps(2.0 * bend[0].hypot(bend[1]), tolerance);
                points.extend((1..=steps).map(|step| {
                    let t = f64::from(step) / f64::from(steps);
                    let (p, q, r) = ((1.0 - t) * (1.0 - t), 2.0 * t * (1.0 - t), t * t);
                    [0, 1].map(|axis: usize| p * at[axis] + q * control[axis] + r * to[axis])
                }));
            }
        }
    }
    points
}

/// Into how many chords a curve goes: its bend over eight tolerances, under the root.
fn steps(bend: f64, tolerance: f64) -> u32 {
    let wanted = (bend / (8.0 * tolerance)).sqrt();
    (4..2000).find(|count| wanted <= f64::from(*count)).unwrap_or(2000)
}

fn hole_of(hole: &Hole, say: Speech, from_y: f64, solution: &Solution) -> WeightHole {
    let envelope = solution.envelope;
    let (bore, mouth) = match hole.mouth {
        Mouth::Front { y, z } => (Bore::Aft, [envelope.front, y, z]),
        Mouth::Top { x, y } => (Bore::Down, [x, y, envelope.top]),
        Mouth::Bottom { x, y } => (Bore::Up, [x, y, envelope.bottom]),
        Mouth::End { x, z } => (Bore::Outboard, [x, from_y, z]),
    };
    let depth_m = hole.depth.full(hole.diameter);
    let depth = depth_m.map_or("through the wall".to_owned(), |depth| format!("{} deep", say.length(depth)));
    let at = if bore == Bore::Outboard { "in the end".to_owned() } else { say.length(mouth[1] - from_y) };
    let wider = hole.head.map_or(String::new(), |head| head_words(head, hole.diameter, say));
    let label = format!("{at}: {}, diameter {}, {depth}{wider}", hole.name, say.length(hole.diameter));
    let head = hole.head.map(|head| HoleHead {
        face_m: head.diameter(),
        floor_m: match head {
            Head::Counterbore { diameter, .. } => diameter,
            Head::Countersink { .. } => hole.diameter,
        },
        depth_m: head.depth(hole.diameter),
    });
    WeightHole { bore, mouth, diameter_m: hole.diameter, depth_m, head, label }
}

/// ", counterbore 0.400 in, 0.120 in deep", ", countersink 0.400 in at 100°".
fn head_words(head: Head, hole_diameter: f64, say: Speech) -> String {
    let wide = say.length(head.diameter());
    match head {
        Head::Counterbore { .. } => {
            format!(", counterbore {wide}, {} deep", say.length(head.depth(hole_diameter)))
        }
        Head::Countersink { angle, .. } => format!(", countersink {wide} at {:.0}°", angle.to_degrees()),
    }
}

/// The thickness at the front, or the depth.
fn size(solution: &Solution, say: Speech) -> Option<Measure> {
    let envelope = solution.envelope;
    let of = |name: &str, from_m: f64, to_m: f64| Measure {
        from_m,
        to_m,
        label: format!("{name} {}", say.length(to_m - from_m)),
    };
    match &solution.form {
        Form::Cap { thickness, .. } => Some(of("thickness", envelope.front, envelope.front + thickness)),
        // A ring is as thick as it is only where it lies straight forward of its centre.
        Form::RingSegment { thickness, centre, inner_radius, .. }
            if envelope.front <= centre[0] - inner_radius - thickness * (1.0 - 1e-9) =>
        {
            Some(of("thickness", envelope.front, envelope.front + thickness))
        }
        Form::RoundBar { .. } => Some(of("diameter", envelope.front, envelope.rear)),
        _ => Some(of("depth", envelope.front, envelope.rear)),
    }
}

fn span_label(solution: &Solution, say: Speech) -> String {
    let span = say.length(solution.envelope.span);
    match &solution.form {
        Form::Plates { count, thickness, .. } => {
            format!("span {span}: {count} plates of {}", say.length(*thickness))
        }
        Form::Cap { end_walls: Some(wall), .. } => {
            format!("span {span}, with end walls of {}", say.length(*wall))
        }
        Form::Frustum { .. } => format!("largest diameter {span}"),
        _ => format!("span {span}"),
    }
}

fn limits(design: &Design, say: Speech) -> SpaceLimits {
    let space = design.space;
    let words = [
        ("forward", space.forward),
        ("above", space.above),
        ("below", space.below),
        ("swing", space.swing),
        ("span", space.span),
    ];
    let words =
        words.iter().filter_map(|(name, value)| value.map(|value| format!("{name} {}", say.length(value))));
    SpaceLimits {
        forward_x_m: space.forward.map(|forward| -forward),
        above_z_m: space.above,
        below_z_m: space.below.map(|below| -below),
        swing_m: space.swing,
        label: words.collect::<Vec<_>>().join(", "),
    }
}

/// The longest round length that is no longer than a third of the section.
fn scale_bar(texts: &WeightTexts, depth: f64) -> ScaleBar {
    let inches = [
        (0.1, "0.1 in"),
        (0.25, "1/4 in"),
        (0.5, "1/2 in"),
        (1.0, "1 in"),
        (2.0, "2 in"),
        (5.0, "5 in"),
        (10.0, "10 in"),
    ];
    let millimetres = [
        (0.002, "2 mm"),
        (0.005, "5 mm"),
        (0.01, "10 mm"),
        (0.02, "20 mm"),
        (0.05, "50 mm"),
        (0.1, "100 mm"),
        (0.2, "200 mm"),
    ];
    let bars = if matches!(texts.say.units().length.symbol, "in" | "ft") {
        inches.map(|(length, label)| (length * INCH.factor, label))
    } else {
        millimetres
    };
    let fitting = bars.iter().rev().find(|(length, _)| *length <= depth / 2.0).unwrap_or(&bars[0]);
    ScaleBar { length_m: fitting.0, label: fitting.1.to_owned() }
}
