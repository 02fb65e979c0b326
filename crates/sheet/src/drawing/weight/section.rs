//! The section: old weight, new piece, hinge line and their distances, forward to the left.
//!
//! Main function: [`draw`].

use super::dimension::Dimension;
use super::hatch::{closed, crossings, hatching};
use super::key::centre;
use super::picture::solid;
use super::{Bore, Extent, Hand, PartingLine, Profile, WeightDrawing, WeightHole, heading};
use crate::drawing::Canvas;
use crate::drawing::pen::{Anchor, Paint, Pen, Stroke, polyline};
use crate::drawing::text::{Block, Face};

/// The hinge line is drawn to scale where the whole is at most this many times as long as what is drawn.
const UNBROKEN: f64 = 2.2;

/// The highest that the section is drawn, as a part of the width.
const HIGHEST: f64 = 0.28;

/// A limit is drawn where it lies no further from the piece than this part of the drawing.
const NEAR: f64 = 0.6;

/// Places in the section.
struct Place {
    scale: f64,
    /// Where the left end of what is drawn lies.
    left: f64,
    left_m: f64,
    /// Where the hinge line is drawn.
    hinge: f64,
    /// The break before it, where it is drawn nearer than it is.
    broken: bool,
    top: f64,
    top_m: f64,
}

impl Place {
    fn x(&self, x_m: f64) -> f64 {
        self.left + (x_m - self.left_m) * self.scale
    }
    fn y(&self, z_m: f64) -> f64 {
        self.top + (self.top_m - z_m) * self.scale
    }
    fn at(&self, [x, z]: [f64; 2]) -> (f64, f64) {
        (self.x(x), self.y(z))
    }
    fn rings(&self, rings: &[Vec<[f64; 2]>]) -> Vec<Vec<(f64, f64)>> {
        rings.iter().map(|ring| ring.iter().map(|point| self.at(*point)).collect()).collect()
    }
}

/// What is drawn to scale: piece, old weight, and limits that are near.
fn extent(drawing: &WeightDrawing) -> Extent {
    let piece = drawing.piece();
    let mut extent =
        drawing.old.iter().fold(piece, |extent, point| extent.with(*point)).with(drawing.centre_m);
    for x in drawing.size.iter().flat_map(|size| [size.from_m, size.to_m]) {
        extent = extent.with([x, piece.low[1]]);
    }
    let [width, height] = extent.size();
    let [left, low] = extent.low;
    let [right, high] = extent.high;
    let near = |value: &f64, from: f64, room: f64| (value - from).abs() <= room * NEAR;
    let limits = &drawing.limits;
    for x in limits.forward_x_m.iter().filter(|x| near(x, left, width)) {
        extent = extent.with([*x, low]);
    }
    for x in limits.swing_m.iter().map(|swing| -swing).filter(|x| near(x, left, width)) {
        extent = extent.with([x, low]);
    }
    for z in limits.above_z_m.iter().filter(|z| near(z, high, height)) {
        extent = extent.with([left, *z]);
    }
    for z in limits.below_z_m.iter().filter(|z| near(z, low, height)) {
        extent = extent.with([right, *z]);
    }
    // the chord plane, where it is near
    if near(&0.0, f64::midpoint(low, high), 2.0 * height) { extent.with([left, 0.0]) } else { extent }
}

/// Fits the section between the left margin and the right edge.
fn place(extent: &Extent, left: f64, canvas: Canvas) -> Place {
    let em = canvas.text;
    let [width, height] = extent.size();
    let room = canvas.width - left - 2.0 * em;
    let whole = extent.with([0.0, extent.low[1]]);
    let broken = extent.high[0] < 0.0 && UNBROKEN * width < whole.size()[0];
    let (drawn, room) = if broken { (width, 0.6 * room) } else { (whole.size()[0], room) };
    let scale = (room / drawn).min(HIGHEST * canvas.width / height);
    let left_m = if broken { extent.low[0] } else { whole.low[0] };
    let hinge = if broken { canvas.width - 2.0 * em } else { left + (0.0 - left_m) * scale };
    Place { scale, left, left_m, hinge, broken, top: 0.0, top_m: extent.high[1] }
}

/// Draws the section from a level down; gives the level below it.
pub(super) fn draw(pen: &mut Pen, drawing: &WeightDrawing, canvas: Canvas, top: f64) -> f64 {
    let em = pen.em();
    let level = heading(pen, &title(drawing), canvas, top);
    let height = Block::plain(&drawing.height_label, Face::STRONG, 0.17 * canvas.width, pen.lettering());
    let column = height.width + 2.6 * em;
    let extent = extent(drawing);
    let mut place = place(&extent, column + em, canvas);
    let room = (0.5 * em, canvas.width - 0.5 * em);
    let piece = drawing.piece();
    let arms = [(drawing.centre_m[0], &drawing.arm_label), (piece.low[0], &drawing.reach_label)];
    let mut arms: Vec<_> = arms.into_iter().filter(|(_, label)| !label.is_empty()).collect();
    // the longest is outermost
    arms.sort_by(|a, b| b.0.abs().total_cmp(&a.0.abs()));
    let rows: Vec<_> = arms
        .iter()
        .map(|(x, label)| (*x, Dimension::new(pen, (place.x(*x), place.hinge), label, Face::STRONG, room)))
        .collect();
    let rows_height: f64 = rows.iter().map(|(_, row)| row.height(em)).sum();
    // the label of the height, at the middle of the piece, may be higher than the section
    let middle = f64::midpoint(piece.low[1], piece.high[1]);
    let over = |drawn_m: f64| (height.height() / 2.0 - drawn_m * place.scale).max(0.0);
    let (above, below) = (over(extent.high[1] - middle), over(middle - extent.low[1]));
    place.top = level + rows_height + 0.8 * em + above;
    let bottom = place.top + extent.size()[1] * place.scale + below;
    old(pen, drawing, &place);
    new(pen, drawing, &place, (canvas.width, bottom));
    limits(pen, drawing, &place, &extent, (level + rows_height, bottom));
    let mut row_top = level;
    for (x, row) in &rows {
        let line = row.line(em, row_top);
        let from = if *x < drawing.centre_m[0] {
            f64::midpoint(piece.low[1], piece.high[1])
        } else {
            drawing.centre_m[1]
        };
        pen.line((place.x(*x), place.y(from)), (place.x(*x), line - 0.4 * em), Stroke::HAIR);
        row.draw(pen, row_top);
        row_top += row.height(em);
    }
    centre(pen, place.at(drawing.centre_m));
    upright(pen, &piece, &place, &height, column);
    let below = size(pen, drawing, &place, room, bottom + 0.5 * em);
    hinge(pen, &place, (level, below));
    foot(pen, drawing, &place, canvas, below + 0.2 * em)
}

fn old(pen: &mut Pen, drawing: &WeightDrawing, place: &Place) {
    if drawing.old.len() < 2 {
        return;
    }
    let points: Vec<_> = drawing.old.iter().map(|point| place.at(*point)).collect();
    pen.polygon(&points, Stroke::NONE, Paint::Tint);
    pen.path(&polyline(&points), Stroke::of(Paint::Soft, 1.4), Paint::None);
    // the old weight goes on aft of its trace
    if let (Some(a), Some(b)) = (points.first(), points.last()) {
        pen.path(&wave(*a, *b), Stroke::THIN, Paint::None);
    }
}

/// A break line between two places.
fn wave(a: (f64, f64), b: (f64, f64)) -> String {
    let n = crate::drawing::pen::n;
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let place = |t: f64, side: f64| {
        format!("{} {}", n(a.0 + t * dx - 0.12 * side * dy), n(a.1 + t * dy + 0.12 * side * dx))
    };
    format!("M{}C{} {} {}", place(0.0, 0.0), place(0.35, 1.0), place(0.65, -1.0), place(1.0, 0.0))
}

/// What is seen: with forward to the left one looks outboard on a right-hand surface.
fn title(drawing: &WeightDrawing) -> String {
    let what = if drawing.is_body() { "side view" } else { "section at the middle of the span" };
    let way = match drawing.hand {
        Hand::Right => ", looking outboard",
        Hand::Left => ", looking inboard",
        Hand::AsDrawn => ", looking to the pilot's right",
        Hand::Either => "",
    };
    format!("{what}{way}; forward to the left")
}

fn new(pen: &mut Pen, drawing: &WeightDrawing, place: &Place, size: (f64, f64)) {
    let Some(figure) = drawing.middle() else { return };
    let rings = place.rings(&figure.rings);
    pen.open("piece");
    if figure.profile == Profile::Body {
        let at = |[x, z, y]: [f64; 3]| [place.x(x), place.y(z), y * place.scale];
        solid(pen, &drawing.surface, |[x, y, z]| [x, z, y], at, size);
    } else {
        pen.path(&hatching(&rings, 0.5 * pen.em()), Stroke::of(Paint::Blue, 0.7), Paint::None);
        pen.path(&closed(&rings), Stroke::OUTLINE, Paint::None);
    }
    pen.close();
    for hole in &drawing.holes {
        bore(pen, hole, &figure.rings, place);
    }
    if figure.profile == Profile::Turned {
        let extent = Extent::of(figure.rings.iter().flatten());
        let z = f64::midpoint(extent.low[1], extent.high[1]);
        let (a, b) = (place.at([extent.low[0], z]), place.at([extent.high[0], z]));
        pen.line((a.0 - pen.em(), a.1), (b.0 + pen.em(), b.1), Stroke::CHAIN);
    }
    if let PartingLine::AtHeight(z) = drawing.parting {
        let extent = Extent::of(figure.rings.iter().flatten());
        let (a, b) = (place.at([extent.low[0], z]), place.at([extent.high[0], z]));
        let em = pen.em();
        pen.line((a.0 - 0.8 * em, a.1), (b.0 + 0.8 * em, b.1), Stroke::PARTING);
    }
}

/// A hole in the section: its sides as hidden lines, or its circle.
fn bore(pen: &mut Pen, hole: &WeightHole, rings: &[Vec<[f64; 2]>], place: &Place) {
    let [x, _, z] = hole.mouth;
    let r = hole.diameter_m / 2.0;
    let turned = || -> Vec<Vec<[f64; 2]>> {
        rings.iter().map(|ring| ring.iter().map(|[u, v]| [*v, *u]).collect()).collect()
    };
    // Where its mouth is, which way it goes, and where it ends.
    let (met, inwards) = match hole.bore {
        Bore::Outboard => {
            let wide = hole.head.map_or(r, |head| head.face_m / 2.0).max(r);
            for r in [wide, r] {
                pen.circle(place.at([x, z]), r * place.scale, Stroke::of(Paint::Ink, 1.2), Paint::Ground);
            }
            return;
        }
        Bore::Aft => (crossings(rings, z), 1.0),
        Bore::Up => (crossings(&turned(), x), 1.0),
        Bore::Down => (crossings(&turned(), x).into_iter().rev().collect(), -1.0),
    };
    let (Some(mouth), Some(back)) = (met.first(), met.get(1)) else { return };
    let at = |along: f64, off: f64| match hole.bore {
        Bore::Aft => place.at([along, z + off]),
        _ => place.at([x + off, along]),
    };
    let deep = |depth: f64| mouth + inwards * depth;
    let head = hole.head.unwrap_or_default();
    for side in [-1.0, 1.0] {
        let end = hole.depth_m.map_or(*back, deep);
        pen.line(at(deep(head.depth_m), side * r), at(end, side * r), Stroke::AIM);
        if hole.head.is_some() {
            let (face, floor) = (side * head.face_m / 2.0, side * head.floor_m / 2.0);
            pen.line(at(*mouth, face), at(deep(head.depth_m), floor), Stroke::AIM);
            pen.line(at(deep(head.depth_m), floor), at(deep(head.depth_m), side * r), Stroke::AIM);
        }
    }
}

fn limits(pen: &mut Pen, drawing: &WeightDrawing, place: &Place, extent: &Extent, (top, bottom): (f64, f64)) {
    let limits = &drawing.limits;
    let [left, low] = extent.low.map(|value| value - 1e-9);
    let high = extent.high[1] + 1e-9;
    pen.open("limits");
    for x in limits.forward_x_m.iter().filter(|x| left <= **x) {
        pen.line((place.x(*x), top), (place.x(*x), bottom), Stroke::HIDDEN);
    }
    let ends = (place.left - 0.4 * pen.em(), place.x(extent.high[0]) + pen.em());
    for z in [limits.above_z_m, limits.below_z_m].iter().flatten().filter(|z| low <= **z && **z <= high) {
        pen.line((ends.0, place.y(*z)), (ends.1, place.y(*z)), Stroke::HIDDEN);
    }
    for swing in limits.swing_m.iter().filter(|swing| left <= -**swing) {
        pen.path(&arc(*swing, extent, place), Stroke::HIDDEN, Paint::None);
    }
    pen.close();
}

/// The part of the circle about the hinge line that lies beside the section.
fn arc(swing: f64, extent: &Extent, place: &Place) -> String {
    let steps = 24;
    let (low, high) = (extent.low[1].max(-swing), extent.high[1].min(swing));
    let points: Vec<_> = (0..=steps)
        .map(|step| low + (high - low) * f64::from(step) / f64::from(steps))
        .map(|z| place.at([-(swing * swing - z * z).max(0.0).sqrt(), z]))
        .collect();
    polyline(&points)
}

/// The height, on the left.
fn upright(pen: &mut Pen, piece: &Extent, place: &Place, label: &Block, x: f64) {
    if label.lines.is_empty() {
        return;
    }
    let em = pen.em();
    let (top, bottom) = (place.y(piece.high[1]), place.y(piece.low[1]));
    for level in [top, bottom] {
        pen.line((x - 0.4 * em, level), (place.x(piece.high[0]), level), Stroke::HAIR);
    }
    pen.open("height");
    let towards = if bottom - top < 2.0 * em { 1.0 } else { -1.0 };
    pen.arrowhead((x, top), (0.0, towards), Paint::Ink);
    pen.arrowhead((x, bottom), (0.0, -towards), Paint::Ink);
    let out = if 0.0 < towards { 1.1 * em } else { 0.0 };
    pen.line((x, top - out), (x, bottom + out), Stroke::THIN);
    pen.close();
    pen.plated(label, x - 0.7 * em, f64::midpoint(top, bottom) - label.height() / 2.0, Anchor::End);
}

/// The thickness or depth, below; gives the level below it.
fn size(pen: &mut Pen, drawing: &WeightDrawing, place: &Place, room: (f64, f64), top: f64) -> f64 {
    let Some(size) = drawing.size.as_ref().filter(|size| !size.label.is_empty()) else { return top };
    let em = pen.em();
    let ends = (place.x(size.from_m), place.x(size.to_m));
    let row = Dimension::new(pen, ends, &size.label, Face::MEASURED, room);
    let piece = drawing.piece();
    let from = place.y(f64::midpoint(piece.low[1], piece.high[1]));
    for x in [ends.0, ends.1] {
        pen.line((x, from), (x, row.line(em, top) + 0.4 * em), Stroke::HAIR);
    }
    row.draw(pen, top);
    top + row.height(em)
}

/// The hinge line: its axis with the chord plane through it, behind a break where it is drawn nearer than it is.
fn hinge(pen: &mut Pen, place: &Place, (top, bottom): (f64, f64)) {
    let (em, x, y) = (pen.em(), place.hinge, place.y(0.0));
    pen.open("hinge");
    pen.line((x, top), (x, bottom + 0.3 * em), Stroke::CHAIN);
    if top < y && y < bottom {
        pen.line((place.left - 0.4 * em, y), (x + 1.4 * em, y), Stroke::CHAIN);
        pen.circle((x, y), 0.5 * em, Stroke::OUTLINE, Paint::Ground);
        pen.circle((x, y), 0.12 * em, Stroke::NONE, Paint::Ink);
    }
    pen.close();
    if place.broken && top < y && y < bottom {
        let at = x - 2.6 * em;
        let zigzag = [
            (at, y - 0.9 * em),
            (at, y - 0.25 * em),
            (at - 0.4 * em, y - 0.1 * em),
            (at + 0.4 * em, y + 0.1 * em),
            (at, y + 0.25 * em),
            (at, y + 0.9 * em),
        ];
        for shift in [0.0, 0.5 * em] {
            let points: Vec<_> = zigzag.iter().map(|(px, py)| (px + shift, *py)).collect();
            pen.path(&polyline(&points), Stroke::THIN, Paint::None);
        }
    }
}

/// The bar of the scale and the name of the hinge line; gives the level below.
fn foot(pen: &mut Pen, drawing: &WeightDrawing, place: &Place, canvas: Canvas, top: f64) -> f64 {
    let em = pen.em();
    let words = if place.broken { "hinge line (drawn nearer than it is)" } else { "hinge line" };
    let name = Block::plain(words, Face::PLAIN, 0.42 * canvas.width, pen.lettering());
    let half = name.width / 2.0;
    let x = place.hinge.clamp(half + 0.3 * em, canvas.width - half - 0.3 * em);
    pen.plated(&name, x, top, Anchor::Middle);
    let level = top + name.height().max(1.3 * em) + 0.2 * em;
    let length = drawing.scale_bar.length_m * place.scale;
    let longest = 0.5 * canvas.width;
    if longest < length {
        return level;
    }
    let (left, y) = (0.6 * em, level + 0.62 * em);
    pen.open("scale-bar");
    pen.line((left, y), (left + length, y), Stroke::OUTLINE);
    pen.close();
    for x in [left, left + length] {
        pen.line((x, y - 0.35 * em), (x, y + 0.35 * em), Stroke::OUTLINE);
    }
    let label = format!("{}: scale of the section", drawing.scale_bar.label);
    let block = Block::plain(&label, Face::SOFT, canvas.width - left - length - 2.0 * em, pen.lettering());
    pen.label(&block, left + length + 0.8 * em, level, Anchor::Start);
    level + block.height().max(1.24 * em)
}
