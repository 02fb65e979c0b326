//! Dimension lines, stacked outwards from the surface.
//!
//! Main type: [`Rows`]. Each arm has a row of its own, the shorter nearer to the surface, so that no extension
//! line crosses another arm's dimension line. The label goes into the line where it fits, else beside it where
//! nothing passes; only where every place is too narrow does it get the ground laid under it.

use super::plan::{Levels, Plan};
use crate::drawing::free::free;
use crate::drawing::pen::{Anchor, Paint, Pen, Stroke};
use crate::drawing::text::{Block, Run};

/// The narrowest place that a label is put into, in heights of the lettering.
const NARROWEST: f64 = 7.0;

/// Which way the rows are stacked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Direction {
    /// Above the surface.
    Up,
    /// Below it.
    Down,
}

/// One arm to be dimensioned.
pub(super) struct RowSpec {
    /// The arm, m, aft positive.
    pub(super) arm_m: f64,
    /// Its label.
    pub(super) paragraphs: Vec<Vec<Run>>,
}

/// A dimension line with its label placed.
struct Row {
    x: f64,
    slot: Slot,
    block: Block,
}

/// A place for a label: between two ends, beside or within the dimension line.
#[derive(Debug, Clone, Copy)]
struct Slot {
    x0: f64,
    x1: f64,
    kind: SlotKind,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum SlotKind {
    Within,
    Right,
    Left,
    Crossed,
}

/// The rows on one side of the surface.
pub(super) struct Rows {
    rows: Vec<Row>,
    direction: Direction,
    em: f64,
}

impl Rows {
    /// Sorts the arms and places their labels clear of `lines`, the spans along the chord that something crosses.
    pub(super) fn new(
        pen: &Pen,
        mut specs: Vec<RowSpec>,
        plan: &Plan,
        lines: &[(f64, f64)],
        direction: Direction,
    ) -> Self {
        specs.sort_by(|a, b| a.arm_m.abs().total_cmp(&b.arm_m.abs()));
        let ends: Vec<_> = specs.iter().map(|spec| plan.x(spec.arm_m)).collect();
        let rows = specs.iter().enumerate().map(|(index, spec)| {
            let farther = ends.iter().skip(index + 1).map(|x| (*x, *x));
            let obstacles: Vec<_> = lines.iter().copied().chain(farther).collect();
            let x = plan.x(spec.arm_m);
            let (slot, block) =
                place(pen, &spec.paragraphs, (plan.hinge, x), &obstacles, (plan.left, plan.right));
            Row { x, slot, block }
        });
        Self { rows: rows.collect(), direction, em: pen.em() }
    }

    /// Height of all rows.
    pub(super) fn height(&self) -> f64 {
        self.rows.iter().map(|row| self.row_height(row)).sum()
    }

    fn row_height(&self, row: &Row) -> f64 {
        row.block.height().max(self.em) + 0.55 * self.em
    }

    /// Draws the rows, beginning at a level next to the surface.
    pub(super) fn draw(&self, pen: &mut Pen, plan: &Plan, start: f64, levels: &Levels) {
        let sign = if self.direction == Direction::Up { -1.0 } else { 1.0 };
        let mut middles = Vec::new();
        let mut level = start;
        for row in &self.rows {
            middles.push(level + sign * self.row_height(row) / 2.0);
            level += sign * self.row_height(row);
        }
        for (row, y) in self.rows.iter().zip(&middles) {
            let from = levels.hinge + sign * (0.55 * self.em);
            pen.line((row.x, from), (row.x, y + sign * 0.4 * self.em), Stroke::THIN);
        }
        for (row, y) in self.rows.iter().zip(&middles) {
            self.draw_row(pen, row, plan.hinge, *y);
        }
    }

    fn draw_row(&self, pen: &mut Pen, row: &Row, hinge: f64, y: f64) {
        pen.open("dimension");
        self.draw_line(pen, row, hinge, y);
        pen.close();
        let top = y - row.block.height() / 2.0;
        let (x, anchor) = match row.slot.kind {
            SlotKind::Within => ((row.slot.x0 + row.slot.x1) / 2.0, Anchor::Middle),
            SlotKind::Left => (row.slot.x1, Anchor::End),
            SlotKind::Right | SlotKind::Crossed => (row.slot.x0, Anchor::Start),
        };
        pen.plated(&row.block, x, top, anchor);
    }

    fn draw_line(&self, pen: &mut Pen, row: &Row, hinge: f64, y: f64) {
        let (x0, x1) = (hinge.min(row.x), hinge.max(row.x));
        let outside = is_short(x0, x1, self.em);
        let inward = if outside { 1.0 } else { -1.0 };
        pen.arrowhead((x0, y), (inward, 0.0), Paint::Ink);
        pen.arrowhead((x1, y), (-inward, 0.0), Paint::Ink);
        if outside {
            let tail = tail(self.em);
            pen.line((x0 - tail, y), (x0, y), Stroke::THIN);
            pen.line((x1, y), (x1 + tail, y), Stroke::THIN);
        }
        if row.slot.kind == SlotKind::Within && 0.0 < row.block.width {
            let middle = (row.slot.x0 + row.slot.x1) / 2.0;
            let half = row.block.width / 2.0 + 0.4 * self.em;
            pen.line((x0, y), (middle - half, y), Stroke::THIN);
            pen.line((middle + half, y), (x1, y), Stroke::THIN);
        } else {
            pen.line((x0, y), (x1, y), Stroke::THIN);
        }
    }
}

/// Whether the arrowheads stand outside the line.
fn is_short(x0: f64, x1: f64, em: f64) -> bool {
    x1 - x0 < 2.2 * em
}

/// Length of the line behind an arrowhead that stands outside.
fn tail(em: f64) -> f64 {
    1.4 * em
}

/// Chooses the place with the fewest lines of text; of equal ones the first.
fn place(
    pen: &Pen,
    paragraphs: &[Vec<Run>],
    (hinge, end): (f64, f64),
    obstacles: &[(f64, f64)],
    room: (f64, f64),
) -> (Slot, Block) {
    let em = pen.em();
    let wrap = |slot: &Slot| Block::wrap(paragraphs, slot.x1 - slot.x0, pen.lettering());
    let slots = slots(em, (hinge, end), obstacles, room);
    let wide = slots.into_iter().filter(|slot| NARROWEST * em <= slot.x1 - slot.x0 || fits(wrap(slot), slot));
    let placed = wide.map(|slot| (slot, wrap(&slot)));
    let best = placed.min_by_key(|(_, block)| block.lines.len());
    best.unwrap_or_else(|| {
        let slot = Slot { x0: room.0, x1: room.1, kind: SlotKind::Crossed };
        let block = wrap(&slot);
        let x0 = ((hinge + end - block.width) / 2.0).clamp(room.0, (room.1 - block.width).max(room.0));
        (Slot { x0, ..slot }, block)
    })
}

/// Whether a label stands in a narrow place on one line.
fn fits(block: Block, slot: &Slot) -> bool {
    block.lines.len() <= 1 && block.width <= slot.x1 - slot.x0
}

/// The places for a label: within the line, then beside it from the nearest outwards.
fn slots(
    em: f64,
    (hinge, end): (f64, f64),
    obstacles: &[(f64, f64)],
    (left, right): (f64, f64),
) -> Vec<Slot> {
    let (x0, x1) = (hinge.min(end), hinge.max(end));
    let mut slots = vec![Slot { x0: x0 + 1.5 * em, x1: x1 - 1.5 * em, kind: SlotKind::Within }];
    let reach = if is_short(x0, x1, em) { tail(em) } else { 0.0 };
    let mut spans: Vec<_> = obstacles.to_vec();
    spans.push((x0 - reach, x1 + reach));
    let free = free(&spans, (left, right), 0.6 * em);
    // right of the line first, then left of it; each from the nearest outwards
    let side = |slot: &(f64, f64)| x1 <= slot.0;
    slots.extend(free.iter().filter(|slot| side(slot)).map(|(x0, x1)| Slot {
        x0: *x0,
        x1: *x1,
        kind: SlotKind::Right,
    }));
    let before = free.iter().rev().filter(|slot| !side(slot));
    slots.extend(before.map(|(x0, x1)| Slot { x0: *x0, x1: *x1, kind: SlotKind::Left }));
    slots.retain(|slot| slot.x0 < slot.x1);
    slots
}
