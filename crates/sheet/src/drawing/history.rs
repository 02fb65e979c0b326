//! The history of a surface: time runs down, the line of static moment lies across as in the drawing of the band.
//!
//! Main type: [`HistoryDrawing`]. Every weighing and every piece of work has a row of its own, in order of time, so
//! that no two labels meet however close together they lie in time; the rail at the left is time to scale, with a
//! line from each row to its day. The band is drawn as each weighing was judged by it and may step sideways. Where
//! there is width, the words stand in a column between rail and line; else over each bar.

use maud::Markup;
use serde::{Deserialize, Serialize};

use super::Canvas;
use super::axis::{Axis, Spot};
use super::band::{self, BandDrawing, Mark, PointKind};
use super::lane::{bar, marker};
use super::pen::{Anchor, Paint, Pen, Rect, Stroke, polyline};
use super::text::{Block, Face, run};
use crate::error::within;
use crate::{Palette, SheetError, Tone};

/// Moments that can be drawn.
const MOMENT: (f64, f64, &str) = (-1e6, 1e6, "-1000000 kg·m to 1000000 kg·m");
/// Uncertainties that can be drawn.
const UNCERTAINTY: (f64, f64, &str) = (0.0, 1e6, "0 kg·m to 1000000 kg·m");
/// Days that can be drawn.
const DAY: (f64, f64, &str) = (-1e7, 1e7, "-10000000 d to 10000000 d");

/// From this width on, in heights of the lettering, the words have a column of their own.
const WIDE: f64 = 44.0;

/// A weighing in a row.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct HistoryPoint {
    /// Its marker.
    pub kind: PointKind,
    /// Static moment, kg·m, positive tail-heavy.
    pub value_kg_m: f64,
    /// Expanded uncertainty U, kg·m: the half-width of the bar; nothing where there is none.
    pub expanded_uncertainty_kg_m: Option<f64>,
    /// The band that it was judged by, kg·m.
    pub band_kg_m: (f64, f64),
    /// The value with its side and its verdict, such as "21.6 ± 0.2 in-lb tail-heavy: outside".
    pub value_label: String,
    /// Colour of the point, by its verdict.
    pub tone: Tone,
}

/// A row: a weighing, or what was done between weighings.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct HistoryRow {
    /// The day, counted from any day.
    pub day: f64,
    /// The day in words.
    pub when: String,
    /// "as found", "paint", "0.4 lb added".
    pub label: String,
    /// The weighing; nothing where the row is work.
    pub weighed: Option<HistoryPoint>,
}

/// A day to be named at the rail, such as the first of a year. Those that have no room are left out.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct HistoryDay {
    /// The day, counted as those of the rows.
    pub day: f64,
    /// Its name.
    pub label: String,
}

/// What [`history()`] draws.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct HistoryDrawing {
    /// The rows, in order of time.
    pub rows: Vec<HistoryRow>,
    /// Days to be named, in order of time.
    pub days: Vec<HistoryDay>,
    /// The labels of the newest band's two ends.
    pub limits: [String; 2],
    /// The label of zero, such as "0 in-lb".
    pub zero_label: String,
}

/// Draws the history: time down, nose-heavy to the left, tail-heavy to the right.
///
/// # Errors
/// - [`SheetError::Number`] when a value is not finite, or an uncertainty is below zero.
pub fn history(drawing: &HistoryDrawing, palette: &Palette, canvas: Canvas) -> Result<Markup, SheetError> {
    check(drawing)?;
    let mut pen = Pen::new(palette, canvas);
    let em = pen.em();
    let frame = Frame::new(&pen, drawing, canvas);
    let newest = newest_band(drawing);
    let axis = axis(drawing, &newest, frame.plot, em);
    let top = band::ends(&mut pen, &newest, &axis, frame.plot) + 0.2 * em;
    let rows = Row::all(&pen, drawing, &frame, top);
    let bottom = rows.last().map_or(top, Row::bottom) + 0.3 * em;
    bands(&mut pen, &rows, &axis, (top, bottom));
    let zero = axis.place(0.0);
    pen.line((zero, top), (zero, bottom), Stroke::HAIR);
    rail(&mut pen, drawing, &rows, &frame, (top, bottom));
    path_of(&mut pen, &rows, &axis);
    for row in &rows {
        row.draw(&mut pen, &axis, &frame);
    }
    band::line(&mut pen, &axis, bottom, frame.plot);
    let end = band::marks(&mut pen, &newest, &axis, bottom, canvas);
    Ok(pen.finish(end + 0.3 * em, &in_words(drawing)))
}

fn check(drawing: &HistoryDrawing) -> Result<(), SheetError> {
    let days = drawing.rows.iter().map(|row| row.day).chain(drawing.days.iter().map(|day| day.day));
    for day in days {
        within("history", "day".to_owned(), day, "d", DAY)?;
    }
    for (index, row) in drawing.rows.iter().enumerate() {
        let Some(point) = &row.weighed else { continue };
        let number = index + 1;
        for value in [point.value_kg_m, point.band_kg_m.0, point.band_kg_m.1] {
            within("history", format!("moment of row {number}"), value, "kg·m", MOMENT)?;
        }
        let uncertainty = point.expanded_uncertainty_kg_m.unwrap_or(0.0);
        within("history", format!("uncertainty of row {number}"), uncertainty, "kg·m", UNCERTAINTY)?;
    }
    Ok(())
}

/// Where the columns lie.
struct Frame {
    /// The rail of time.
    rail: f64,
    /// Where the lines from the rail end.
    rows: f64,
    /// The column of words.
    words: (f64, f64),
    /// The line of static moment.
    plot: (f64, f64),
    /// Whether the words stand over the bars.
    over: bool,
}

impl Frame {
    fn new(pen: &Pen, drawing: &HistoryDrawing, canvas: Canvas) -> Self {
        let em = pen.em();
        let widest = drawing.days.iter().map(|day| day_block(pen, day).width).fold(0.0, f64::max);
        let rail = 0.4 * em + widest + 0.6 * em;
        let rows = rail + 2.0 * em;
        let over = canvas.width < WIDE * em;
        let split = if over { rows } else { rows + 0.43 * canvas.width };
        let right = if over { canvas.width - 0.3 * em } else { split };
        Self { rail, rows, words: (rows + 0.4 * em, right), plot: (split + 0.4 * em, canvas.width), over }
    }
}

fn day_block(pen: &Pen, day: &HistoryDay) -> Block {
    Block::plain(&day.label, Face::SOFT, 7.0 * pen.em(), pen.lettering().scaled(0.92))
}

/// The band of the last weighing, for the words round the line.
fn newest_band(drawing: &HistoryDrawing) -> BandDrawing {
    let mut band = BandDrawing { zero_label: drawing.zero_label.clone(), ..BandDrawing::default() };
    if let Some(point) = drawing.rows.iter().rev().find_map(|row| row.weighed.as_ref()) {
        let [from, to] = drawing.limits.clone();
        band.from = Some(Mark { value_kg_m: point.band_kg_m.0, label: from });
        band.to = Some(Mark { value_kg_m: point.band_kg_m.1, label: to });
    }
    band
}

fn axis(drawing: &HistoryDrawing, newest: &BandDrawing, plot: (f64, f64), em: f64) -> Axis {
    let mut spots = vec![Spot { value: 0.0, half: 0.0 }];
    for point in drawing.rows.iter().filter_map(|row| row.weighed.as_ref()) {
        let half = point.expanded_uncertainty_kg_m.unwrap_or(0.0);
        spots.push(Spot { value: point.value_kg_m, half });
        spots.extend([point.band_kg_m.0, point.band_kg_m.1].map(|value| Spot { value, half: 0.0 }));
    }
    let ends = newest.from.as_ref().zip(newest.to.as_ref());
    let band =
        ends.map(|(from, to)| (from.value_kg_m.min(to.value_kg_m), from.value_kg_m.max(to.value_kg_m)));
    Axis::new(&spots, band, (plot.0 + 1.2 * em, plot.1 - 1.2 * em), 2.0 * em)
}

/// A row with its words wrapped and its place found.
struct Row<'a> {
    day: f64,
    top: f64,
    height: f64,
    words: Block,
    weighed: Option<&'a HistoryPoint>,
    /// Where the line from the rail ends.
    anchor: f64,
    /// Where the bar lies.
    bar: f64,
}

impl<'a> Row<'a> {
    fn all(pen: &Pen, drawing: &'a HistoryDrawing, frame: &Frame, top: f64) -> Vec<Self> {
        let mut top = top;
        let mut rows = Vec::new();
        for row in &drawing.rows {
            let placed = Self::new(pen, row, frame, top);
            top = placed.bottom();
            rows.push(placed);
        }
        rows
    }

    fn new(pen: &Pen, row: &'a HistoryRow, frame: &Frame, top: f64) -> Self {
        let em = pen.em();
        let mut paragraphs = vec![vec![run(&row.when, Face::SOFT), run(&row.label, Face::PLAIN)]];
        if let Some(point) = &row.weighed {
            paragraphs.push(vec![run(&point.value_label, Face::STRONG)]);
        }
        let words = Block::wrap(&paragraphs, frame.words.1 - frame.words.0, pen.lettering());
        let lane = if row.weighed.is_some() { 1.75 * em } else { 0.0 };
        let (height, bar) = if frame.over {
            (words.height() + lane + 0.5 * em, top + words.height() + 0.25 * em + lane / 2.0)
        } else {
            let height = words.height().max(lane) + 0.6 * em;
            (height, top + height / 2.0)
        };
        let anchor = if frame.over { top + 0.25 * em + 0.5 * words.line_height() } else { bar };
        Self { day: row.day, top, height, words, weighed: row.weighed.as_ref(), anchor, bar }
    }

    fn bottom(&self) -> f64 {
        self.top + self.height
    }

    fn draw(&self, pen: &mut Pen, axis: &Axis, frame: &Frame) {
        let em = pen.em();
        let text = if frame.over { self.top + 0.25 * em } else { self.bar - self.words.height() / 2.0 };
        pen.plated(&self.words, frame.words.0, text, Anchor::Start);
        match self.weighed {
            Some(point) => self.point(pen, point, axis),
            None if frame.over => {}
            None => pen.line((frame.plot.0, self.bar), (frame.plot.1, self.bar), Stroke::HIDDEN),
        }
    }

    fn point(&self, pen: &mut Pen, point: &HistoryPoint, axis: &Axis) {
        let paint = Paint::Of(point.tone);
        pen.open("weighing");
        if let Some(half) = point.expanded_uncertainty_kg_m {
            let ends = (axis.place(point.value_kg_m - half), axis.place(point.value_kg_m + half));
            bar(pen, ends, self.bar, paint);
        }
        marker(pen, (axis.place(point.value_kg_m), self.bar), point.kind, paint);
        pen.close();
    }
}

/// The bands, each from the row that was first judged by it to the next other one.
fn bands(pen: &mut Pen, rows: &[Row<'_>], axis: &Axis, (top, bottom): (f64, f64)) {
    let em = pen.em();
    let box_of = |point: &HistoryPoint| {
        let (x0, x1) = (axis.place(point.band_kg_m.0), axis.place(point.band_kg_m.1));
        band::not_too_slim((x0.min(x1), x0.max(x1)), em)
    };
    let mut steps: Vec<(f64, (f64, f64))> = Vec::new();
    for row in rows {
        let Some(ends) = row.weighed.map(box_of) else { continue };
        if steps.last().is_none_or(|(_, last)| (last.0 - ends.0).abs() + (last.1 - ends.1).abs() > 0.01) {
            steps.push((if steps.is_empty() { top } else { row.top }, ends));
        }
    }
    let lasts = steps.iter().skip(1).map(|(start, _)| *start).chain([bottom]);
    let edge = Stroke::of(Paint::Good, 2.2);
    let mut before: Option<(f64, f64)> = None;
    for ((y0, (x0, x1)), y1) in steps.iter().zip(lasts) {
        pen.open("band");
        band::hatched(pen, Rect { x0: *x0, y0: *y0, x1: *x1, y1 });
        pen.close();
        for (x, old) in [(*x0, before.map(|ends| ends.0)), (*x1, before.map(|ends| ends.1))] {
            pen.line((x, *y0), (x, y1), edge);
            if let Some(old) = old {
                pen.line((old, *y0), (x, *y0), Stroke::of(Paint::Good, 1.2));
            }
        }
        before = Some((*x0, *x1));
    }
}

/// From marker to marker: what the years did, and what the corrections did.
fn path_of(pen: &mut Pen, rows: &[Row<'_>], axis: &Axis) {
    let points: Vec<_> =
        rows.iter().filter_map(|row| Some((axis.place(row.weighed?.value_kg_m), row.bar))).collect();
    if points.len() > 1 {
        pen.path(&polyline(&points), Stroke::THIN, Paint::None);
    }
}

/// Time to scale: the rail, its named days, and a line from each row to its day.
fn rail(pen: &mut Pen, drawing: &HistoryDrawing, rows: &[Row<'_>], frame: &Frame, (top, bottom): (f64, f64)) {
    let em = pen.em();
    let (Some(first), Some(last)) = (rows.first(), rows.last()) else { return };
    let (y0, y1) = (first.anchor, last.anchor);
    let span = last.day - first.day;
    let place =
        |day: f64| if span > 0.0 { y0 + (day - first.day) / span * (y1 - y0) } else { (y0 + y1) / 2.0 };
    pen.line((frame.rail, top), (frame.rail, bottom), Stroke::of(Paint::Ink, 1.3));
    pen.arrowhead((frame.rail, bottom + 0.3 * em), (0.0, 1.0), Paint::Ink);
    for row in rows {
        pen.open("time");
        let y = place(row.day);
        let kink = frame.rows - 0.6 * em;
        pen.path(
            &polyline(&[(frame.rail, y), (kink, row.anchor), (frame.rows, row.anchor)]),
            Stroke::THIN,
            Paint::None,
        );
        pen.close();
        let end =
            if row.weighed.is_some() { Stroke::of(Paint::Ink, 2.6) } else { Stroke::of(Paint::Soft, 1.4) };
        pen.line((kink, row.anchor), (frame.rows, row.anchor), end);
    }
    let mut free = top;
    for day in &drawing.days {
        let (y, block) = (place(day.day), day_block(pen, day));
        let start = y - block.height() / 2.0;
        if start < free || bottom < start + block.height() {
            continue;
        }
        free = start + block.height();
        pen.line((frame.rail - 0.4 * em, y), (frame.rail + 0.4 * em, y), Stroke::of(Paint::Ink, 1.3));
        pen.label(&block, frame.rail - 0.6 * em, start, Anchor::End);
    }
}

/// The drawing in one sentence.
fn in_words(drawing: &HistoryDrawing) -> String {
    let mut words = String::from(
        "History of static moment, time runs down, nose-heavy to the left, tail-heavy to the right",
    );
    for row in &drawing.rows {
        words.push_str(&format!("; {} {}", row.when, row.label));
        if let Some(point) = &row.weighed {
            words.push_str(&format!(" {}", point.value_label));
        }
    }
    words
}
