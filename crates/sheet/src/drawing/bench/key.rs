//! The numbered parts on the surface, and the key under the drawing.
//!
//! Main type: [`Key`]. Parts whose blocks would cover each other are stacked upwards.

use super::plan::{Levels, Plan};
use super::{BenchDrawing, Method};
use crate::drawing::Canvas;
use crate::drawing::pen::{Anchor, Paint, Pen, Rect, Stroke};
use crate::drawing::text::{Block, Face, Lettering};

/// Side of a numbered block, in heights of the lettering.
const SIDE: f64 = 1.35;

/// Distance between two stacked blocks, in heights of the lettering.
const STEP: f64 = 1.5;

/// The numbered parts and the lines of the key.
pub(super) struct Key {
    parts: Vec<PartMark>,
    entries: Vec<Entry>,
    columns: Vec<f64>,
    em: f64,
}

struct PartMark {
    x: f64,
    level: f64,
}

/// One line of the key: a numbered block or a sample line, and its words.
struct Entry {
    number: Option<usize>,
    block: Block,
}

impl Key {
    /// Stacks the blocks and wraps the key.
    pub(super) fn new(pen: &Pen, drawing: &BenchDrawing, plan: &Plan, canvas: Canvas) -> Self {
        let em = pen.em();
        let is_list = drawing.method == Method::PartsList;
        let parts = if is_list { drawing.parts.as_slice() } else { &[] };
        let columns = columns(canvas, parts.len());
        let width = canvas.width / f64::max(columns.iter().map(|_| 1.0).sum(), 1.0) - 3.4 * em;
        let wrap = |text: &str| Block::plain(text, Face::PLAIN, width, pen.lettering());
        let numbered = parts.iter().enumerate();
        let mut entries: Vec<_> = numbered
            .map(|(index, part)| Entry { number: Some(index + 1), block: wrap(&part.label) })
            .collect();
        if let (Method::TwoAttitudes, Some(second)) = (drawing.method, &drawing.second) {
            entries.push(Entry { number: None, block: wrap(&format!("second attitude: {}", second.label)) });
        }
        let places: Vec<_> = parts.iter().map(|part| plan.x(part.arm_m)).collect();
        Self { parts: stack(&places, 1.2 * SIDE * em), entries, columns, em }
    }

    /// Height of the stacked blocks over the surface.
    pub(super) fn blocks_height(&self) -> f64 {
        let top = self.parts.iter().map(|part| part.level).fold(-1.0, f64::max);
        (top + 1.0) * STEP * self.em
    }

    /// Draws the numbered blocks on the surface.
    pub(super) fn draw_blocks(&self, pen: &mut Pen, levels: &Levels) {
        let base = levels.hinge - levels.half - 0.9 * self.em;
        for part in &self.parts {
            pen.line((part.x, base - part.level * STEP * self.em), (part.x, levels.hinge), Stroke::THIN);
            pen.circle((part.x, levels.hinge), 0.16 * self.em, Stroke::NONE, Paint::Ink);
        }
        for (index, part) in self.parts.iter().enumerate() {
            self.numbered(pen, index + 1, (part.x, base - part.level * STEP * self.em));
        }
    }

    fn numbered(&self, pen: &mut Pen, number: usize, (x, y): (f64, f64)) {
        let half = SIDE * self.em / 2.0;
        pen.rect(
            Rect { x0: x - half, y0: y - half, x1: x + half, y1: y + half },
            0.1 * self.em,
            Stroke::of(Paint::Ink, 1.1),
            Paint::Ground,
        );
        let block = Block::plain(&number.to_string(), Face::STRONG, 4.0 * half, pen.lettering().scaled(0.86));
        pen.label(&block, x, y - block.height() / 2.0, Anchor::Middle);
    }

    /// Draws the key; gives the bottom.
    pub(super) fn draw_list(&self, pen: &mut Pen, top: f64, canvas: Canvas) -> f64 {
        let mut top = if self.entries.is_empty() { top } else { top + 0.6 * self.em };
        for row in self.entries.chunks(self.columns.len().max(1)) {
            let mut height = SIDE * self.em;
            for (entry, part) in row.iter().zip(&self.columns) {
                self.entry(pen, entry, (0.4 * self.em + part * canvas.width, top));
                height = height.max(entry.block.height());
            }
            top += height + 0.35 * self.em;
        }
        top
    }

    fn entry(&self, pen: &mut Pen, entry: &Entry, (x, top): (f64, f64)) {
        let em = self.em;
        match entry.number {
            Some(number) => self.numbered(pen, number, (x + SIDE * em / 2.0, top + SIDE * em / 2.0)),
            None => pen.line((x, top + 0.65 * em), (x + 1.8 * em, top + 0.65 * em), Stroke::HIDDEN),
        }
        pen.label(&entry.block, x + 2.2 * em, top + 0.04 * em, Anchor::Start);
    }
}

/// Left ends of the key's columns, as parts of the width.
fn columns(canvas: Canvas, entries: usize) -> Vec<f64> {
    let lettering = Lettering { size: canvas.text, stretch: 1.0 };
    let ems = canvas.width / lettering.size;
    if entries < 2 || ems < 45.0 { vec![0.0] } else { vec![0.0, 0.5] }
}

/// Gives each block the lowest level on which it covers no earlier one.
fn stack(places: &[f64], width: f64) -> Vec<PartMark> {
    let mut marks: Vec<PartMark> = Vec::new();
    for x in places {
        let mut level = 0.0;
        while marks.iter().any(|mark| (mark.level - level).abs() < 0.5 && (mark.x - x).abs() < width) {
            level += 1.0;
        }
        marks.push(PartMark { x: *x, level });
    }
    marks
}
