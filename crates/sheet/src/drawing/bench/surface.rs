//! The surface, its second attitude, the stand and the table.

use super::plan::{Levels, Plan};
use super::{BenchDrawing, Method};
use crate::drawing::Canvas;
use crate::drawing::free::free;
use crate::drawing::pen::{Anchor, Paint, Pen, Rect, Stroke, n, polyline};
use crate::drawing::text::{Block, Face};

/// Half the width of the stand's post.
pub(super) fn stand_width(em: f64) -> f64 {
    0.45 * em
}

/// The schematic section as a closed path.
fn section(nose: f64, edge: f64, y: f64, half: f64) -> String {
    let chord = edge - nose;
    let blunt = 0.12 * half;
    let at = |part: f64, rise: f64| format!("{} {}", n(nose + part * chord), n(y - rise));
    let mut path = format!("M{}", at(0.0, 0.0));
    for (first, second, end) in [
        (at(0.0, 0.75 * half), at(0.09, half), at(0.26, half)),
        (at(0.5, half), at(0.8, 0.42 * half), at(1.0, blunt)),
    ] {
        path.push_str(&format!("C{first} {second} {end}"));
    }
    path.push_str(&format!("L{}", at(1.0, -blunt)));
    for (first, second, end) in [
        (at(0.8, -0.42 * half), at(0.5, -half), at(0.26, -half)),
        (at(0.09, -half), at(0.0, -0.75 * half), at(0.0, 0.0)),
    ] {
        path.push_str(&format!("C{first} {second} {end}"));
    }
    path + "Z"
}

/// The second attitude, faintly behind all else, with the arc of its angle.
pub(super) fn second(pen: &mut Pen, drawing: &BenchDrawing, plan: &Plan, levels: &Levels) {
    if drawing.method != Method::TwoAttitudes || drawing.second.is_none() {
        return;
    }
    let about = (plan.hinge, levels.hinge);
    let path = section(plan.nose(), plan.trailing_edge(), levels.hinge, levels.half);
    pen.turned(&path, plan.second_rad.to_degrees(), about, Stroke::HIDDEN);
    let chord = polyline(&[about, (plan.trailing_edge(), levels.hinge)]);
    pen.turned(&chord, plan.second_rad.to_degrees(), about, Stroke::CHAIN);
    let radius = 0.8 * (plan.trailing_edge() - plan.hinge);
    let (sin, cos) = plan.second_rad.sin_cos();
    let end = (about.0 + radius * cos, about.1 + radius * sin);
    let turn = if plan.second_rad < 0.0 { 0 } else { 1 };
    let r = n(radius);
    let arc = format!("M{} {}A{r} {r} 0 0 {turn} {} {}", n(about.0 + radius), n(about.1), n(end.0), n(end.1));
    pen.path(&arc, Stroke::THIN, Paint::None);
    let sense = if plan.second_rad < 0.0 { -1.0 } else { 1.0 };
    pen.arrowhead(end, (-sin * sense, cos * sense), Paint::Ink);
}

/// The levelled table, hatched below, with the spirit level on it.
pub(super) fn table(pen: &mut Pen, plan: &Plan, levels: &Levels, canvas: Canvas) {
    let (em, y) = (pen.em(), levels.table);
    let (x0, x1) = (0.4 * em, canvas.width - 0.4 * em);
    pen.hatch(Rect { x0, y0: y, x1, y1: y + 0.55 * em }, 0.7 * em, Stroke::HAIR);
    pen.line((x0, y), (x1, y), Stroke::OUTLINE);
    stand(pen, plan, levels);
}

fn stand(pen: &mut Pen, plan: &Plan, levels: &Levels) {
    let (em, x, y) = (pen.em(), plan.hinge, levels.hinge);
    let (post, foot, base) = (stand_width(em), 1.7 * em, levels.table);
    let points = [
        (x, y),
        (x + post, y + 1.6 * em),
        (x + post, base - 1.0 * em),
        (x + foot, base - 0.45 * em),
        (x + foot, base),
        (x - foot, base),
        (x - foot, base - 0.45 * em),
        (x - post, base - 1.0 * em),
        (x - post, y + 1.6 * em),
    ];
    pen.polygon(&points, Stroke::of(Paint::Ink, 1.3), Paint::Tint);
}

/// The outline with the stations on it; what lies beyond the outline hangs on a bar.
pub(super) fn outline(pen: &mut Pen, drawing: &BenchDrawing, plan: &Plan, levels: &Levels) {
    let y = levels.hinge;
    let mut ends: Vec<_> = drawing.stations.iter().map(|station| plan.x(station.arm_m)).collect();
    ends.push(plan.hinge);
    match drawing.method {
        Method::PartsList => ends.extend(drawing.parts.iter().map(|part| plan.x(part.arm_m))),
        Method::BalanceBeam => {}
        _ => ends.push(plan.x(drawing.arm_m)),
    }
    let first = ends.iter().copied().fold(f64::INFINITY, f64::min);
    let last = ends.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let bar = 0.16 * pen.em();
    for (x0, x1) in [(first, plan.nose()), (plan.trailing_edge(), last)] {
        if x0 < x1 {
            pen.rect(
                Rect { x0, y0: y - bar, x1, y1: y + bar },
                0.0,
                Stroke::of(Paint::Ink, 1.0),
                Paint::Tint,
            );
        }
    }
    pen.path(&section(plan.nose(), plan.trailing_edge(), y, levels.half), Stroke::OUTLINE, Paint::Tint);
    let (x0, x1) = (plan.nose().min(first) - pen.em(), plan.trailing_edge().max(last) + pen.em());
    pen.line((x0, y), (x1, y), Stroke::CHAIN);
    for station in &drawing.stations {
        weight(pen, plan.x(station.arm_m), y);
    }
}

/// A balance weight at a station: a hatched block.
fn weight(pen: &mut Pen, x: f64, y: f64) {
    let half = 0.5 * pen.em();
    let rect = Rect { x0: x - half, y0: y - half, x1: x + half, y1: y + half };
    pen.rect(rect, 0.0, Stroke::of(Paint::Ink, 1.2), Paint::Ground);
    pen.hatch(rect, 0.32 * pen.em(), Stroke::of(Paint::Ink, 0.9));
}

/// The hinge line: its chain line up and down with its name, and the mark at the centre.
pub(super) fn hinge(pen: &mut Pen, plan: &Plan, levels: &Levels, lines: &[(f64, f64)]) {
    let (em, x, y) = (pen.em(), plan.hinge, levels.hinge);
    pen.line((x, levels.rows_top - 1.2 * em), (x, levels.table + 0.9 * em), Stroke::CHAIN);
    name(pen, plan, levels.rows_top - 1.25 * em, lines);
    let r = 0.42 * em;
    pen.circle((x, y), r, Stroke::of(Paint::Ink, 1.5), Paint::Ground);
    pen.line((x - r, y), (x + r, y), Stroke::of(Paint::Ink, 0.8));
    pen.line((x, y - r), (x, y + r), Stroke::of(Paint::Ink, 0.8));
}

/// The name of the hinge line, on the side of it where nothing passes.
fn name(pen: &mut Pen, plan: &Plan, top: f64, lines: &[(f64, f64)]) {
    let room = (plan.left, plan.right);
    let label = Block::plain("hinge line", Face::SOFT, room.1 - room.0, pen.lettering().scaled(0.92));
    let places = free(lines, room, 0.5 * pen.em());
    let before = places.iter().rev().find(|place| place.1 < plan.hinge);
    let after = places.iter().find(|place| plan.hinge < place.0);
    match (before, after) {
        (Some(place), _) if label.width <= place.1 - place.0 => pen.label(&label, place.1, top, Anchor::End),
        (_, Some(place)) if label.width <= place.1 - place.0 => {
            pen.label(&label, place.0, top, Anchor::Start)
        }
        _ => pen.plated(&label, plan.hinge.max(room.0 + label.width), top, Anchor::End),
    }
}
