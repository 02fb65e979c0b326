//! What the marks of the drawing mean.
//!
//! Main type: [`Key`]. Entries stand side by side where they fit.

use super::{PartingLine, WeightDrawing};
use crate::drawing::Canvas;
use crate::drawing::pen::{Anchor, Paint, Pen, Rect, Stroke};
use crate::drawing::text::{Block, Face};

/// A mark in the drawing.
#[derive(Debug, Clone, Copy)]
enum Sample {
    Hatched,
    Shown,
    Tinted,
    Centre,
    Parting,
    Limit,
}

/// The key under the drawing, measured before it is placed.
pub(super) struct Key {
    entries: Vec<(Sample, Block)>,
    right: f64,
}

impl Key {
    /// The entries for what is drawn.
    pub(super) fn new(pen: &Pen, drawing: &WeightDrawing, canvas: Canvas) -> Self {
        let em = pen.em();
        let width = canvas.width - 4.0 * em;
        let parting = match drawing.parting {
            PartingLine::Whole => "",
            PartingLine::AtHeight(_) => "parting of the upper and the lower half",
            PartingLine::MidSpan => "parting of the inboard and the outboard half",
        };
        let limits = &drawing.limits.label;
        let limits = if limits.is_empty() { String::new() } else { format!("space limits: {limits}") };
        let old = if drawing.old.is_empty() { "" } else { drawing.old_label.as_str() };
        let entries = [
            (if drawing.is_body() { Sample::Shown } else { Sample::Hatched }, drawing.name.as_str()),
            (Sample::Tinted, old),
            (Sample::Centre, "centre of gravity of the finished piece"),
            (Sample::Parting, parting),
            (Sample::Limit, &limits),
        ];
        let entries = entries
            .into_iter()
            .map(|(sample, text)| (sample, Block::plain(text, Face::PLAIN, width, pen.lettering())));
        Self {
            entries: entries.filter(|(_, block)| !block.lines.is_empty()).collect(),
            right: canvas.width - em,
        }
    }

    /// Draws it from a level down; gives the level below it.
    pub(super) fn draw(&self, pen: &mut Pen, top: f64) -> f64 {
        let em = pen.em();
        let (mut x, mut y, mut deepest) = (0.5 * em, top, 0.0_f64);
        for (sample, block) in &self.entries {
            let width = 2.4 * em + block.width;
            if 0.5 * em < x && self.right < x + width {
                (x, y, deepest) = (0.5 * em, y + deepest + 0.25 * em, 0.0);
            }
            sample.draw(pen, (x, y + 0.62 * em));
            pen.label(block, x + 2.1 * em, y, Anchor::Start);
            deepest = deepest.max(block.height());
            x += width + 1.4 * em;
        }
        y + deepest
    }
}

impl Sample {
    /// At the left end of its middle.
    fn draw(self, pen: &mut Pen, (x, y): (f64, f64)) {
        let em = pen.em();
        let swatch = Rect { x0: x, y0: y - 0.42 * em, x1: x + 1.6 * em, y1: y + 0.42 * em };
        let (left, right) = ((x, y), (x + 1.6 * em, y));
        match self {
            Self::Hatched => {
                pen.hatch(swatch, 0.36 * em, Stroke::of(Paint::Blue, 0.7));
                pen.rect(swatch, 0.0, Stroke::OUTLINE, Paint::None);
            }
            Self::Shown => pen.rect(swatch, 0.0, Stroke::OUTLINE, Paint::Tint),
            Self::Tinted => pen.rect(swatch, 0.0, Stroke::THIN, Paint::Tint),
            Self::Centre => centre(pen, (x + 0.8 * em, y)),
            Self::Parting => pen.line(left, right, Stroke::PARTING),
            Self::Limit => pen.line(left, right, Stroke::HIDDEN),
        }
    }
}

/// The mark of a centre of gravity: a circle with two quarters filled.
pub(super) fn centre(pen: &mut Pen, (x, y): (f64, f64)) {
    let r = 0.42 * pen.em();
    pen.circle((x, y), r, Stroke::of(Paint::Ink, 1.1), Paint::Ground);
    let n = crate::drawing::pen::n;
    let quarter = |dx: f64, dy: f64| {
        format!("M{} {}L{} {}A{r:.2} {r:.2} 0 0 1 {} {}Z", n(x), n(y), n(x + dx), n(y), n(x), n(y + dy))
    };
    // right and below, left and above: both clockwise from the level radius
    pen.path(&quarter(r, r), Stroke::NONE, Paint::Ink);
    pen.path(&quarter(-r, -r), Stroke::NONE, Paint::Ink);
}
