//! The scale bar and what the drawing says about itself.

use super::BenchDrawing;
use super::plan::Plan;
use crate::drawing::Canvas;
use crate::drawing::pen::{Anchor, Paint, Pen, Rect, Stroke};
use crate::drawing::text::{Block, Face};

/// What the drawing says about itself.
const NOTE: &str = "outline schematic; arms to scale";

/// Draws the scale bar and the note; gives the bottom.
pub(super) fn draw(pen: &mut Pen, drawing: &BenchDrawing, plan: &Plan, top: f64, canvas: Canvas) -> f64 {
    let (em, left) = (pen.em(), 0.4 * pen.em());
    let length = drawing.scale_bar.length_m * plan.scale;
    pen.open("scale-bar");
    bar(pen, left, top + 0.4 * em, length);
    pen.close();
    let label_x = left + length + 0.6 * em;
    let room = canvas.width - label_x - left;
    let label = Block::plain(&drawing.scale_bar.label, Face::STRONG, room, pen.lettering());
    pen.label(&label, label_x, top, Anchor::Start);
    let note = Block::plain(NOTE, Face::SOFT, canvas.width - 2.0 * left, pen.lettering());
    let beside = label_x + label.width + em + note.width <= canvas.width - left;
    let (x, y, anchor) = if beside {
        (canvas.width - left, top, Anchor::End)
    } else {
        (left, top + label.height(), Anchor::Start)
    };
    pen.label(&note, x, y, anchor);
    y + if beside { label.height().max(note.height()) } else { note.height() }
}

/// A bar in two halves, one filled, with a tick at each end.
fn bar(pen: &mut Pen, x: f64, y: f64, length: f64) {
    let (height, em) = (0.4 * pen.em(), pen.em());
    let rect = Rect { x0: x, y0: y, x1: x + length, y1: y + height };
    pen.rect(rect, 0.0, Stroke::of(Paint::Ink, 1.1), Paint::Ground);
    pen.rect(Rect { x1: x + length / 2.0, ..rect }, 0.0, Stroke::NONE, Paint::Ink);
    for end in [x, x + length] {
        pen.line((end, y - 0.25 * em), (end, y + height), Stroke::of(Paint::Ink, 1.1));
    }
}
