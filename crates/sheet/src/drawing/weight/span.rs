//! The views along the span: from ahead, and from above.
//!
//! Main function: [`draw`]. Outboard is to the left in both, as a right-hand surface is seen from ahead, and to the
//! right for a left-hand one. Each hole on this side has a row with its distance from the inboard end.

use super::dimension::Dimension;
use super::picture::solid;
use super::{Bore, Extent, Figure, Hand, PartingLine, Profile, WeightDrawing, WeightHole, heading};
use crate::drawing::Canvas;
use crate::drawing::pen::{Paint, Pen, Rect, Stroke};
use crate::drawing::text::Face;

/// The highest that a view is drawn, as a part of the width.
const HIGHEST: f64 = 0.2;

/// The most rows of hole distances that are drawn; the templates show all holes.
const MOST_ROWS: usize = 8;

/// From where.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum View {
    /// From ahead, looking aft: up is up.
    Front,
    /// From above, forward down.
    Above,
}

impl View {
    /// The part of a place in the section that goes up on the paper.
    fn up(self, [x, z]: [f64; 2]) -> f64 {
        match self {
            Self::Front => z,
            Self::Above => x,
        }
    }
    fn heading(self, hand: Hand) -> String {
        let view = match self {
            Self::Front => "view from ahead, looking aft",
            Self::Above => "view from above, forward down",
        };
        let way = match hand {
            Hand::Right => ", of a right-hand surface: outboard to the left",
            Hand::Left => ", of a left-hand surface: outboard to the right",
            Hand::AsDrawn => ": the pilot's right to the left",
            Hand::Either => "",
        };
        format!("{view}{way} (scale of its own)")
    }
    fn shows(self, hole: &WeightHole) -> bool {
        match self {
            Self::Front => hole.bore == Bore::Aft,
            Self::Above => matches!(hole.bore, Bore::Down | Bore::Up),
        }
    }
}

/// Places in the view.
struct Place {
    scale: f64,
    /// Where the inboard end is drawn.
    inboard: f64,
    inboard_m: f64,
    /// 1 where outboard is to the right, −1 where it is to the left.
    way: f64,
    top: f64,
    top_m: f64,
}

impl Place {
    fn x(&self, y_m: f64) -> f64 {
        self.inboard + self.way * (y_m - self.inboard_m) * self.scale
    }
    fn y(&self, up_m: f64) -> f64 {
        self.top + (self.top_m - up_m) * self.scale
    }
}

/// Draws a view from a level down; gives the level below it.
pub(super) fn draw(pen: &mut Pen, drawing: &WeightDrawing, canvas: Canvas, view: View, top: f64) -> f64 {
    let em = pen.em();
    let level = heading(pen, &view.heading(drawing.hand), canvas, top) + 0.3 * em;
    let (from, to) = drawing.span();
    let piece = drawing.piece();
    let (low, high) = (view.up(piece.low), view.up(piece.high));
    let room = canvas.width - 3.0 * em;
    let scale = (room / (to - from)).min(HIGHEST * canvas.width / (high - low));
    let middle = canvas.width / 2.0;
    let way = if drawing.hand == Hand::Left { 1.0 } else { -1.0 };
    let inboard = middle - way * (to - from) * scale / 2.0;
    let place = Place { scale, inboard, inboard_m: from, way, top: level, top_m: high };
    let bottom = place.y(low);
    for figure in &drawing.figures {
        if figure.profile == Profile::Body {
            body(pen, drawing, view, &place, (canvas.width, bottom));
        } else {
            part(pen, figure, view, &place);
        }
    }
    parted(pen, drawing, view, &place, (level, bottom));
    for hole in &drawing.holes {
        bore(pen, hole, view, &place, (low, high));
    }
    let mut below = bottom + 0.5 * em;
    let edges = (0.5 * em, canvas.width - 0.5 * em);
    let mut holes: Vec<_> = drawing.holes.iter().filter(|hole| view.shows(hole)).collect();
    holes.sort_by(|a, b| a.mouth[1].total_cmp(&b.mouth[1]));
    for hole in holes.into_iter().filter(|hole| !hole.label.is_empty()).take(MOST_ROWS) {
        let x = place.x(hole.mouth[1]);
        let row = Dimension::new(pen, (x, place.x(from)), &hole.label, Face::PLAIN, edges);
        let up = match view {
            View::Front => hole.mouth[2],
            View::Above => hole.mouth[0],
        };
        extension(pen, x, place.y(up), row.line(em, below));
        row.draw(pen, below);
        below += row.height(em);
    }
    let row = Dimension::new(pen, (place.x(from), place.x(to)), &drawing.span_label, Face::STRONG, edges);
    for y in [from, to] {
        extension(pen, place.x(y), bottom, row.line(em, below));
    }
    row.draw(pen, below);
    below + row.height(em)
}

fn extension(pen: &mut Pen, x: f64, from: f64, to: f64) {
    let em = pen.em();
    pen.line((x, from), (x, to + 0.4 * em), Stroke::HAIR);
}

/// A body as it is seen: to the left y, up what the view has up.
fn body(pen: &mut Pen, drawing: &WeightDrawing, view: View, place: &Place, size: (f64, f64)) {
    let at = |[right, up, away]: [f64; 3]| [place.x(-right), place.y(up), away * place.scale];
    let look: fn([f64; 3]) -> [f64; 3] = match view {
        View::Front => |[x, y, z]| [-y, z, x],
        View::Above => |[x, y, z]| [-y, x, -z],
    };
    solid(pen, &drawing.surface, look, at, size);
}

fn part(pen: &mut Pen, figure: &Figure, view: View, place: &Place) {
    let extent = Extent::of(figure.rings.iter().flatten());
    let (low, high) = (place.y(view.up(extent.low)), place.y(view.up(extent.high)));
    let ends = [figure.from_y, figure.to_y].map(|y| place.x(y));
    let (x0, x1) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
    if figure.profile == Profile::Turned && view == View::Front {
        let centre = (f64::midpoint(x0, x1), f64::midpoint(low, high));
        pen.circle(centre, (low - high) / 2.0, Stroke::OUTLINE, Paint::Ground);
        return;
    }
    pen.rect(Rect { x0, y0: high, x1, y1: low }, 0.0, Stroke::OUTLINE, Paint::Ground);
}

fn parted(pen: &mut Pen, drawing: &WeightDrawing, view: View, place: &Place, (top, bottom): (f64, f64)) {
    let em = pen.em();
    let (from, to) = drawing.span();
    match drawing.parting {
        PartingLine::AtHeight(z) if view == View::Front => {
            let out = 0.8 * em * place.way;
            let (a, b) = (place.x(from) - out, place.x(to) + out);
            pen.line((a, place.y(z)), (b, place.y(z)), Stroke::PARTING);
        }
        PartingLine::MidSpan => {
            let x = place.x(f64::midpoint(from, to));
            pen.line((x, top - 0.3 * em), (x, bottom + 0.3 * em), Stroke::PARTING);
        }
        _ => {}
    }
}

/// A hole as a circle with its centre lines, or its sides where it is seen from beside.
fn bore(pen: &mut Pen, hole: &WeightHole, view: View, place: &Place, (low, high): (f64, f64)) {
    let em = pen.em();
    let r = hole.diameter_m / 2.0;
    let [x, y, z] = hole.mouth;
    let up = if view == View::Front { z } else { x };
    if view.shows(hole) {
        let (centre, r) = ((place.x(y), place.y(up)), r * place.scale);
        let out = r.max(hole.head.map_or(0.0, |head| 0.5 * head.face_m * place.scale)) + 0.5 * em;
        pen.open("hole");
        let hidden = hole.bore == Bore::Up;
        let stroke = if hidden { Stroke::AIM } else { Stroke::of(Paint::Ink, 1.2) };
        let wide = hole.head.map_or(r, |head| 0.5 * head.face_m * place.scale);
        if r < wide {
            pen.circle(centre, wide, stroke, Paint::Ground);
        }
        pen.circle(centre, r, stroke, Paint::Ground);
        pen.close();
        pen.line((centre.0 - out, centre.1), (centre.0 + out, centre.1), Stroke::CHAIN);
        pen.line((centre.0, centre.1 - out), (centre.0, centre.1 + out), Stroke::CHAIN);
        return;
    }
    let depth = hole.depth_m.unwrap_or(0.0);
    let ends = match (hole.bore, view) {
        (Bore::Down, View::Front) => (high, high - depth),
        (Bore::Up, View::Front) => (low, low + depth),
        (Bore::Aft, View::Above) => (low, low + depth),
        _ => return,
    };
    for side in [-r, r] {
        let x = place.x(y + side);
        pen.line((x, place.y(ends.0)), (x, place.y(ends.1)), Stroke::HIDDEN);
    }
}
