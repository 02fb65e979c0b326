//! A dimension line from one place to another with its label, on a row of its own.
//!
//! Main type: [`Dimension`]. A label that does not fit between the arrows stands beside them, on the roomier side.

use crate::drawing::pen::{Anchor, Paint, Pen, Stroke};
use crate::drawing::text::{Block, Face};

/// A level dimension line, measured before it is placed.
pub(super) struct Dimension {
    x0: f64,
    x1: f64,
    block: Block,
    beside: Option<(f64, Anchor)>,
}

impl Dimension {
    /// Between two places, with room for its label from `room.0` to `room.1`.
    pub(super) fn new(pen: &Pen, ends: (f64, f64), label: &str, face: Face, room: (f64, f64)) -> Self {
        let em = pen.em();
        let (x0, x1) = (ends.0.min(ends.1), ends.0.max(ends.1));
        let fit = |width: f64| Block::plain(label, face, width.max(em), pen.lettering());
        let inside = x1 - x0 - 2.4 * em;
        let block = fit(inside);
        if block.lines.len() <= 1 && block.width <= inside {
            return Self { x0, x1, block, beside: None };
        }
        let (left, right) = (x0 - 1.5 * em - room.0, room.1 - x1 - 1.5 * em);
        if left.max(right) < inside {
            return Self { x0, x1, block, beside: None };
        }
        let beside = if left < right { (x1 + 1.3 * em, Anchor::Start) } else { (x0 - 1.3 * em, Anchor::End) };
        Self { x0, x1, block: fit(left.max(right)), beside: Some(beside) }
    }
    /// The height of its row.
    pub(super) fn height(&self, em: f64) -> f64 {
        self.block.height().max(em) + 0.45 * em
    }
    /// The height of its line, with the top of the row at a level.
    pub(super) fn line(&self, em: f64, top: f64) -> f64 {
        top + self.height(em) / 2.0
    }
    /// Draws it with the top of its row at a level.
    pub(super) fn draw(&self, pen: &mut Pen, top: f64) {
        let em = pen.em();
        let level = self.line(em, top);
        pen.open("dimension");
        let narrow = self.x1 - self.x0 < 2.0 * em;
        let (towards, out) = if narrow { (1.0, 1.1 * em) } else { (-1.0, 0.0) };
        pen.arrowhead((self.x0, level), (towards, 0.0), Paint::Ink);
        pen.arrowhead((self.x1, level), (-towards, 0.0), Paint::Ink);
        pen.line((self.x0 - out, level), (self.x1 + out, level), Stroke::THIN);
        pen.close();
        let label_top = level - self.block.height() / 2.0;
        match self.beside {
            Some((x, anchor)) => pen.plated(&self.block, x, label_top, anchor),
            None => pen.plated(&self.block, f64::midpoint(self.x0, self.x1), label_top, Anchor::Middle),
        }
    }
}
