//! One weighing's lane over the line of static moment.
//!
//! Main type: [`Lane`]. Every point has a lane of its own, so labels of different points never meet. The label
//! goes beside the bar, clear of the band's edges (with a thin line to it where an edge lies between), else over
//! the bar.

use super::Canvas;
use super::axis::Axis;
use super::band::{BandPoint, PointKind};
use super::free::free;
use super::pen::{Anchor, Paint, Pen, Rect, Stroke};
use super::text::{Block, Face};

/// The narrowest place that a label is put into, in heights of the lettering.
const NARROWEST: f64 = 8.0;

/// A point with its bar, and its label already placed.
pub(super) struct Lane {
    point: f64,
    bar: Option<(f64, f64)>,
    kind: PointKind,
    paint: Paint,
    label: Label,
    em: f64,
}

/// A label and where it goes.
struct Label {
    block: Block,
    x: f64,
    anchor: Anchor,
    side: Side,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Side {
    Beside,
    Over,
}

impl Lane {
    /// Places the point and wraps its label; the label keeps clear of the edges of the approved band.
    pub(super) fn new(
        pen: &Pen,
        point: &BandPoint,
        axis: &Axis,
        edges: Option<(f64, f64)>,
        canvas: Canvas,
    ) -> Self {
        let (em, place) = (pen.em(), axis.place(point.value_kg_m));
        let half = point.expanded_uncertainty_kg_m;
        let bar = half.map(|half| (axis.place(point.value_kg_m - half), axis.place(point.value_kg_m + half)));
        let (x0, x1) = bar.unwrap_or((place, place));
        let taken = (x0.min(place - 0.5 * em), x1.max(place + 0.5 * em));
        let mut spans = vec![taken];
        spans.extend(edges.into_iter().flat_map(|(left, right)| [(left, left), (right, right)]));
        let room = (0.4 * em, canvas.width - 0.4 * em);
        let label = Label::new(pen, &point.label, taken, &free(&spans, room, 0.5 * em));
        let label = label.unwrap_or_else(|| Label::over(pen, &point.label, room));
        Self { point: place, bar, kind: point.kind, paint: Paint::Of(point.tone), label, em }
    }

    /// Height of the lane.
    pub(super) fn height(&self) -> f64 {
        let (marker, text) = (1.75 * self.em, self.label.block.height());
        match self.label.side {
            Side::Beside => marker.max(text + 0.4 * self.em),
            Side::Over => marker + text,
        }
    }

    /// Draws the lane below `top`.
    pub(super) fn draw(&self, pen: &mut Pen, top: f64) {
        let text = self.label.block.height();
        let middle = top + self.height() / 2.0;
        let (text_top, y) = match self.label.side {
            Side::Beside => (middle - text / 2.0, middle),
            Side::Over => (top, top + text + 0.85 * self.em),
        };
        if self.label.side == Side::Beside {
            let end = if self.label.anchor == Anchor::Start { -0.3 } else { 0.3 } * self.em;
            pen.line((self.point, y), (self.label.x + end, y), Stroke::THIN);
        }
        if let Some(ends) = self.bar {
            bar(pen, ends, y, self.paint);
        }
        marker(pen, (self.point, y), self.kind, self.paint);
        pen.plated(&self.label.block, self.label.x, text_top, self.label.anchor);
    }
}

/// A bar from one place to another, with a tick at either end.
pub(super) fn bar(pen: &mut Pen, (x0, x1): (f64, f64), y: f64, paint: Paint) {
    let (thick, tick) = (0.13 * pen.em(), 0.6 * pen.em());
    pen.rect(Rect { x0, y0: y - thick, x1, y1: y + thick }, 0.0, Stroke::NONE, paint);
    for x in [x0, x1] {
        pen.line((x, y - tick), (x, y + tick), Stroke::of(paint, 1.8));
    }
}

/// The marker of a kind of point.
pub(super) fn marker(pen: &mut Pen, (x, y): (f64, f64), kind: PointKind, paint: Paint) {
    let r = 0.42 * pen.em();
    let outline = Stroke::of(paint, 2.2);
    match kind {
        PointKind::AsFound => pen.circle((x, y), r, outline, Paint::Ground),
        PointKind::AsLeft => {
            let square = Rect { x0: x - r, y0: y - r, x1: x + r, y1: y + r };
            pen.rect(square, 0.0, Stroke::of(Paint::Ground, 1.0), paint);
        }
        PointKind::Predicted => {
            pen.polygon(
                &[(x, y - 1.1 * r), (x + 1.1 * r, y + 0.9 * r), (x - 1.1 * r, y + 0.9 * r)],
                outline,
                Paint::Ground,
            );
        }
    }
}

impl Label {
    /// The best of the free places beside the bar: few lines, and near.
    fn new(pen: &Pen, text: &str, taken: (f64, f64), free: &[(f64, f64)]) -> Option<Self> {
        let after = free.iter().filter(|place| taken.1 <= place.0).enumerate();
        let before = free.iter().rev().filter(|place| place.1 <= taken.0).enumerate();
        let after = after.map(|(hops, place)| (hops, place, Anchor::Start));
        let before = before.map(|(hops, place)| (hops, place, Anchor::End));
        let labels = after.chain(before).map(|(hops, (x0, x1), anchor)| {
            let block = Block::plain(text, Face::STRONG, x1 - x0, pen.lettering());
            let x = if anchor == Anchor::Start { *x0 } else { *x1 };
            // one more line costs less than one more edge to step over
            (2 * block.lines.len() + 3 * hops, x1 - x0, Self { block, x, anchor, side: Side::Beside })
        });
        let wide =
            labels.filter(|(_, width, label)| NARROWEST * pen.em() <= *width || label.block.lines.len() < 2);
        wide.min_by_key(|(cost, _, _)| *cost).map(|(_, _, label)| label)
    }

    /// Over the bar, where there is no place beside it.
    fn over(pen: &Pen, text: &str, room: (f64, f64)) -> Self {
        let block = Block::plain(text, Face::STRONG, room.1 - room.0, pen.lettering());
        Self { block, x: room.0, anchor: Anchor::Start, side: Side::Over }
    }
}
