//! The line of static moment: the approved band, the aim, and each weighing with its interval.

use maud::Markup;
use serde::{Deserialize, Serialize};

use super::Canvas;
use super::axis::{Axis, Spot};
use super::lane::Lane;
use super::pen::{Anchor, Paint, Pen, Rect, Stroke, polyline};
use super::spread::spread;
use super::text::{Block, Face, Run, Weight, run};
use crate::error::within;
use crate::{Palette, SheetError, Tone};

/// Moments that can be drawn.
const MOMENT: (f64, f64, &str) = (-1e6, 1e6, "-1000000 kg·m to 1000000 kg·m");

/// Uncertainties that can be drawn.
const UNCERTAINTY: (f64, f64, &str) = (0.0, 1e6, "0 kg·m to 1000000 kg·m");

/// The band's box is never slimmer than this, in heights of the lettering.
const SLIMMEST_BAND: f64 = 0.3;

/// Said where the line is broken.
const BROKEN: &str = "line broken: the parts do not join, each has its own scale";

/// A value on the line of static moment with its finished label.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Mark {
    /// Static moment, kg·m, positive tail-heavy.
    pub value_kg_m: f64,
    /// The label with the word of its side, such as "4.0 in-lb nose-heavy".
    pub label: String,
}

/// What a point on the line stands for; each kind has a marker shape of its own.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PointKind {
    /// Before any correction: a ring.
    #[default]
    AsFound,
    /// After the correction: a filled square.
    AsLeft,
    /// Calculated and not weighed: an open triangle.
    Predicted,
}

/// One weighing, or one prediction, on the line.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct BandPoint {
    /// What the point stands for.
    pub kind: PointKind,
    /// Static moment, kg·m, positive tail-heavy.
    pub value_kg_m: f64,
    /// Expanded uncertainty U, kg·m: the half-width of the bar; nothing where there is none.
    pub expanded_uncertainty_kg_m: Option<f64>,
    /// The label, such as "as found: 21.6 ± 0.2 in-lb tail-heavy".
    pub label: String,
    /// Colour of the point, by its verdict.
    pub tone: Tone,
}

/// What [`band()`] draws.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct BandDrawing {
    /// The nose-heavy end of the approved band; nothing where the approved data set none.
    pub from: Option<Mark>,
    /// The tail-heavy end of the approved band; nothing where the approved data set none.
    pub to: Option<Mark>,
    /// The moment that the correction is worked towards.
    pub aim: Option<Mark>,
    /// The label of zero, such as "0 in-lb".
    pub zero_label: String,
    /// The weighings and predictions, drawn from top to bottom.
    pub points: Vec<BandPoint>,
}

/// Draws the line of static moment: nose-heavy to the left, tail-heavy to the right.
///
/// # Errors
/// - [`SheetError::Number`] when a value is not finite, or an uncertainty is below zero.
pub fn band(drawing: &BandDrawing, palette: &Palette, canvas: Canvas) -> Result<Markup, SheetError> {
    check(drawing)?;
    let mut pen = Pen::new(palette, canvas);
    let em = pen.em();
    let axis = axis(drawing, canvas);
    let room = (0.0, canvas.width);
    let lanes_top = ends(&mut pen, drawing, &axis, room);
    let edges = box_ends(drawing, &axis, em, room);
    let lanes: Vec<_> =
        drawing.points.iter().map(|point| Lane::new(&pen, point, &axis, edges, canvas)).collect();
    let heights: f64 = lanes.iter().map(Lane::height).sum();
    let axis_y = lanes_top + heights.max(1.2 * em) + 0.7 * em;
    limits(&mut pen, drawing, &axis, (lanes_top, axis_y), room);
    let mut top = lanes_top + 0.3 * em;
    for lane in &lanes {
        lane.draw(&mut pen, top);
        top += lane.height();
    }
    line(&mut pen, &axis, axis_y, room);
    let bottom = marks(&mut pen, drawing, &axis, axis_y, canvas);
    Ok(pen.finish(bottom + 0.3 * em, &in_words(drawing)))
}

fn check(drawing: &BandDrawing) -> Result<(), SheetError> {
    let value = |field: String, value: f64| within("band", field, value, "kg·m", MOMENT);
    for (name, mark) in [("from", &drawing.from), ("to", &drawing.to), ("aim", &drawing.aim)] {
        mark.as_ref().map_or(Ok(()), |mark| value(name.into(), mark.value_kg_m))?;
    }
    for (index, point) in drawing.points.iter().enumerate() {
        let number = index + 1;
        value(format!("moment of point {number}"), point.value_kg_m)?;
        let uncertainty = point.expanded_uncertainty_kg_m.unwrap_or(0.0);
        within("band", format!("uncertainty of point {number}"), uncertainty, "kg·m", UNCERTAINTY)?;
    }
    Ok(())
}

/// Lower and upper end of the band, where it has both.
fn closed(drawing: &BandDrawing) -> Option<(f64, f64)> {
    let (from, to) = (drawing.from.as_ref()?.value_kg_m, drawing.to.as_ref()?.value_kg_m);
    Some((from.min(to), from.max(to)))
}

fn axis(drawing: &BandDrawing, canvas: Canvas) -> Axis {
    let marks = [&drawing.from, &drawing.to, &drawing.aim].into_iter().flatten();
    let mut spots: Vec<_> = marks.map(|mark| Spot { value: mark.value_kg_m, half: 0.0 }).collect();
    spots.push(Spot { value: 0.0, half: 0.0 });
    spots.extend(
        drawing.points.iter().map(|point| Spot {
            value: point.value_kg_m,
            half: point.expanded_uncertainty_kg_m.unwrap_or(0.0),
        }),
    );
    let inset = 1.2 * canvas.text;
    Axis::new(&spots, closed(drawing), (inset, canvas.width - inset), 2.0 * canvas.text)
}

/// Where the band's box begins and ends; an open side reaches the end of the line.
fn box_ends(drawing: &BandDrawing, axis: &Axis, em: f64, room: (f64, f64)) -> Option<(f64, f64)> {
    let place = |mark: &Option<Mark>| mark.as_ref().map(|mark| axis.place(mark.value_kg_m));
    let (x0, x1) = match (place(&drawing.from), place(&drawing.to)) {
        (None, None) => return None,
        (from, to) => (from.unwrap_or(room.0 + 0.5 * em), to.unwrap_or(room.1 - 0.5 * em)),
    };
    Some(not_too_slim((x0.min(x1), x0.max(x1)), em))
}

/// A band's box, widened where it would be too slim to be seen.
pub(super) fn not_too_slim((x0, x1): (f64, f64), em: f64) -> (f64, f64) {
    let lacking = (SLIMMEST_BAND * em - (x1 - x0)).max(0.0) / 2.0;
    (x0 - lacking, x1 + lacking)
}

/// The words at both ends and over the band; gives the top of the lanes.
pub(super) fn ends(pen: &mut Pen, drawing: &BandDrawing, axis: &Axis, room: (f64, f64)) -> f64 {
    let em = pen.em();
    let (first, last) = (room.0 + 0.4 * em, room.1 - 0.4 * em);
    let half = (room.1 - room.0) / 2.0 - 2.0 * em;
    let nose = Block::plain("\u{2190} nose-heavy", Face::STRONG, half, pen.lettering());
    let tail = Block::plain("tail-heavy \u{2192}", Face::STRONG, half, pen.lettering());
    pen.label(&nose, first, 0.2 * em, Anchor::Start);
    pen.label(&tail, last, 0.2 * em, Anchor::End);
    let below = 0.2 * em + nose.height().max(tail.height());
    let Some((x0, x1)) = box_ends(drawing, axis, em, room) else {
        return below + 0.3 * em;
    };
    let caption = Block::plain(
        "approved limits",
        Face { paint: Paint::Good, weight: Weight::SemiBold },
        half,
        pen.lettering(),
    );
    let half_caption = caption.width / 2.0;
    let middle = ((x0 + x1) / 2.0).clamp(first + half_caption, last - half_caption);
    // on the same line where the words at the ends leave room
    let (left, right) = (first + nose.width + em, last - tail.width - em);
    let beside = left <= middle - half_caption && middle + half_caption <= right;
    let top = if beside { 0.2 * em } else { below };
    pen.label(&caption, middle, top, Anchor::Middle);
    top + caption.height() + 0.2 * em
}

/// The band's box, hatched and tinted, and the aim's line.
fn limits(pen: &mut Pen, drawing: &BandDrawing, axis: &Axis, (top, bottom): (f64, f64), room: (f64, f64)) {
    if let Some((x0, x1)) = box_ends(drawing, axis, pen.em(), room) {
        hatched(pen, Rect { x0, y0: top, x1, y1: bottom });
        for (mark, x) in [(&drawing.from, x0), (&drawing.to, x1)] {
            if mark.is_some() {
                pen.line((x, top), (x, bottom + 0.5 * pen.em()), Stroke::of(Paint::Good, 2.2));
            }
        }
    }
    if let Some(aim) = &drawing.aim {
        let x = axis.place(aim.value_kg_m);
        pen.line((x, top), (x, bottom), Stroke::AIM);
    }
}

/// The ground of a band: its tint, and hatching for those who do not see the tint.
pub(super) fn hatched(pen: &mut Pen, rect: Rect) {
    pen.rect(rect, 0.0, Stroke::NONE, Paint::GoodTint);
    pen.hatch(rect, 0.55 * pen.em(), Stroke::of(Paint::Good, 0.5));
}

/// The line itself with its arrowheads, the breaks and zero.
pub(super) fn line(pen: &mut Pen, axis: &Axis, y: f64, room: (f64, f64)) {
    let em = pen.em();
    let (first, right) = (room.0 + 0.3 * em, room.1 - 0.3 * em);
    let mut x = first;
    for (index, piece) in axis.pieces.iter().enumerate() {
        if index > 0 {
            zigzag(pen, x, piece.x0, y);
            x = piece.x0;
        }
        let last = index + 1 == axis.pieces.len();
        let end = if last { right } else { piece.x1 };
        pen.line((x, y), (end, y), Stroke::of(Paint::Ink, 1.3));
        x = end;
    }
    pen.arrowhead((first - 0.2 * em, y), (-1.0, 0.0), Paint::Ink);
    pen.arrowhead((right + 0.2 * em, y), (1.0, 0.0), Paint::Ink);
    let zero = axis.place(0.0);
    pen.line((zero, y - 0.5 * em), (zero, y + 0.5 * em), Stroke::of(Paint::Ink, 1.7));
}

fn zigzag(pen: &mut Pen, x0: f64, x1: f64, y: f64) {
    let (step, rise) = ((x1 - x0) / 6.0, 0.55 * pen.em());
    let points = [
        (x0, y),
        (x0 + 2.0 * step, y),
        (x0 + 2.5 * step, y - rise),
        (x0 + 3.5 * step, y + rise),
        (x0 + 4.0 * step, y),
        (x1, y),
    ];
    pen.path(&polyline(&points), Stroke::of(Paint::Ink, 1.3), Paint::None);
}

/// One mark under the line, with its label.
struct Below {
    x: f64,
    block: Block,
}

/// The labels of the limits, the aim and zero under the line; gives the bottom.
pub(super) fn marks(pen: &mut Pen, drawing: &BandDrawing, axis: &Axis, y: f64, canvas: Canvas) -> f64 {
    let em = pen.em();
    if let Some(aim) = &drawing.aim {
        diamond(pen, (axis.place(aim.value_kg_m), y));
    }
    let mut texts = Vec::new();
    for (word, mark) in [("limit", &drawing.from), ("limit", &drawing.to), ("aim", &drawing.aim)] {
        texts.extend(mark.as_ref().map(|mark| (axis.place(mark.value_kg_m), word, mark.label.as_str())));
    }
    let zero = axis.place(0.0);
    if texts.iter().all(|(x, _, _)| (x - zero).abs() > 0.5) {
        texts.push((zero, "", drawing.zero_label.as_str()));
    }
    texts.sort_by(|a, b| a.0.total_cmp(&b.0));
    let blocks = below(pen, &texts, canvas);
    let bottom = place_below(pen, &blocks, y + 0.6 * em, canvas);
    if axis.pieces.len() < 2 {
        return bottom;
    }
    let note = Block::plain(BROKEN, Face::SOFT, canvas.width - em, pen.lettering().scaled(0.92));
    pen.label(&note, canvas.width / 2.0, bottom, Anchor::Middle);
    bottom + note.height()
}

/// Wraps the labels so that all fit side by side: on one line where none has to move, else the word over the
/// value, in as few lines as leave room for all.
fn below(pen: &Pen, texts: &[(f64, &str, &str)], canvas: Canvas) -> Vec<Below> {
    let wrap = |width: f64, paragraphs: fn(Run, Run) -> Vec<Vec<Run>>| -> Vec<Below> {
        let blocks = texts.iter().map(|(x, word, label)| {
            let paragraphs = paragraphs(run(word, Face::SOFT), run(label, Face::PLAIN));
            Below { x: *x, block: Block::wrap(&paragraphs, width, pen.lettering()) }
        });
        blocks.collect()
    };
    let line = wrap(canvas.width, |word, label| vec![vec![word, label]]);
    if stays(&line, pen, canvas) {
        return line;
    }
    let gaps: f64 = texts.iter().map(|_| pen.em()).sum();
    let stacked = |width: f64| wrap(width, |word, label| vec![vec![word], vec![label]]);
    let fits = |labels: &Vec<Below>| {
        labels.iter().map(|label| label.block.width).sum::<f64>() + gaps <= canvas.width
    };
    let shares = (0..17).map(|step| canvas.width * 0.4 * (1.0 - f64::from(step) / 20.0));
    shares.map(stacked).find(fits).unwrap_or_else(|| stacked(canvas.width * 0.08))
}

/// Whether every label can stand right under its place.
fn stays(labels: &[Below], pen: &Pen, canvas: Canvas) -> bool {
    let mut end = 0.0;
    for label in labels {
        let half = label.block.width / 2.0;
        if label.x - half < end {
            return false;
        }
        end = label.x + half + pen.em();
    }
    end - pen.em() <= canvas.width
}

/// Sets the labels in a row, each with a leader to its place on the line; gives the bottom.
fn place_below(pen: &mut Pen, labels: &[Below], top: f64, canvas: Canvas) -> f64 {
    let (em, edge) = (pen.em(), 0.3 * pen.em());
    let wanted: Vec<_> = labels.iter().map(|label| (label.x, label.block.width)).collect();
    let centres = spread(&wanted, 0.8 * em, edge, canvas.width - edge);
    let text_top = top + 0.9 * em;
    for (label, centre) in labels.iter().zip(&centres) {
        let half = (label.block.width / 2.0 - 0.3 * em).max(0.0);
        let foot = label.x.clamp(centre - half, centre + half);
        pen.path(&polyline(&[(label.x, top), (foot, text_top - 0.1 * em)]), Stroke::THIN, Paint::None);
        pen.label(&label.block, *centre, text_top, Anchor::Middle);
    }
    text_top + labels.iter().map(|label| label.block.height()).fold(0.0, f64::max)
}

fn diamond(pen: &mut Pen, (x, y): (f64, f64)) {
    let r = 0.42 * pen.em();
    let points = [(x, y - r), (x + r, y), (x, y + r), (x - r, y)];
    pen.polygon(&points, Stroke::of(Paint::Ink, 1.3), Paint::Ground);
}

/// The drawing in one sentence.
pub(crate) fn in_words(drawing: &BandDrawing) -> String {
    let mut words = String::from("Line of static moment, nose-heavy to the left, tail-heavy to the right");
    for (word, mark) in [("limit", &drawing.from), ("limit", &drawing.to), ("aim", &drawing.aim)] {
        if let Some(mark) = mark {
            words.push_str(&format!("; {word} {}", mark.label));
        }
    }
    for point in &drawing.points {
        words.push_str(&format!("; {}", point.label));
    }
    words
}
