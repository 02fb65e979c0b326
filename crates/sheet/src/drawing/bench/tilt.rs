//! The bold arrow at the heavy side, with its words.

use super::plan::{Levels, Plan};
use super::{BenchDrawing, Heavy};
use crate::drawing::Canvas;
use crate::drawing::pen::{Anchor, Paint, Pen, Rect, Stroke};
use crate::drawing::text::{Block, Face, run};

/// The arrow's length in heights of the lettering.
const LENGTH: f64 = 3.0;

/// The heavy side and its words, in a column of their own beside the surface.
pub(super) struct Tilt {
    heavy: Heavy,
    word: Block,
    label: Block,
    em: f64,
}

impl Tilt {
    /// Wraps the words.
    pub(super) fn new(pen: &Pen, drawing: &BenchDrawing, canvas: Canvas) -> Self {
        let word = match drawing.heavy {
            Heavy::TailHeavy => "tail-heavy",
            Heavy::NoseHeavy => "nose-heavy",
            Heavy::Balanced => "balanced",
        };
        let label = drawing.heavy_label.trim_end().trim_end_matches(word).trim_end();
        let width = 0.26 * canvas.width;
        let word = Block::plain(word, Face::STRONG, width, pen.lettering().scaled(1.15));
        let label = Block::wrap(&[vec![run(label, Face::PLAIN)]], width.min(9.0 * pen.em()), pen.lettering());
        Self { heavy: drawing.heavy, word, label, em: pen.em() }
    }

    fn width(&self) -> f64 {
        self.word.width.max(self.label.width)
    }

    /// The room the column takes at the left and at the right of the drawing.
    pub(super) fn margins(&self) -> (f64, f64) {
        let (narrow, wide) = (0.4 * self.em, self.width() + 1.2 * self.em);
        match self.heavy {
            Heavy::NoseHeavy => (wide, narrow),
            Heavy::TailHeavy | Heavy::Balanced => (narrow, wide),
        }
    }

    /// The lowest that the column reaches, from the level of the hinge line.
    pub(super) fn bottom(&self, hinge: f64) -> f64 {
        self.text_top(hinge) + self.word.height() + self.label.height()
    }

    fn text_top(&self, hinge: f64) -> f64 {
        match self.heavy {
            Heavy::Balanced => hinge + 0.8 * self.em,
            Heavy::TailHeavy | Heavy::NoseHeavy => hinge + (LENGTH - 1.0) * self.em,
        }
    }

    /// Draws the arrow and the words.
    pub(super) fn draw(&self, pen: &mut Pen, plan: &Plan, levels: &Levels) {
        let half = self.width() / 2.0 + 0.2 * self.em;
        let x = match self.heavy {
            Heavy::NoseHeavy => plan.left - 0.6 * self.em - half,
            Heavy::TailHeavy | Heavy::Balanced => plan.right + 0.6 * self.em + half,
        };
        match self.heavy {
            Heavy::Balanced => self.level(pen, x, levels.hinge),
            Heavy::TailHeavy | Heavy::NoseHeavy => self.arrow(pen, x, levels.hinge - 1.2 * self.em),
        }
        let top = self.text_top(levels.hinge);
        pen.label(&self.word, x, top, Anchor::Middle);
        pen.label(&self.label, x, top + self.word.height(), Anchor::Middle);
    }

    fn arrow(&self, pen: &mut Pen, x: f64, top: f64) {
        let em = self.em;
        let (shaft, head, neck) = (0.32 * em, 0.9 * em, top + (LENGTH - 1.35) * em);
        let tip = top + (LENGTH - 0.1) * em;
        let points = [
            (x - shaft, top),
            (x + shaft, top),
            (x + shaft, neck),
            (x + head, neck),
            (x, tip),
            (x - head, neck),
            (x - shaft, neck),
        ];
        pen.polygon(&points, Stroke::NONE, Paint::Ink);
    }

    /// Two level bars for a surface in balance.
    fn level(&self, pen: &mut Pen, x: f64, y: f64) {
        let em = self.em;
        for top in [y - 0.6 * em, y + 0.1 * em] {
            let rect = Rect { x0: x - 1.2 * em, y0: top, x1: x + 1.2 * em, y1: top + 0.32 * em };
            pen.rect(rect, 0.0, Stroke::NONE, Paint::Ink);
        }
    }
}
