//! Shapes at true size, laid out on sheets: small ones side by side, large ones cut into sheets with match marks.
//!
//! Main functions: [`template_sheets`] and [`check_bars`]. All drawings are in millimetres: one unit of the view box is
//! 1 mm on paper. Numbers are printed to 0.01 mm.

use super::Extent;
use super::hatch::closed;
use super::key::centre;
use crate::Palette;
use crate::drawing::Canvas;
use crate::drawing::pen::{Anchor, Paint, Pen, Stroke, polyline};
use crate::drawing::text::{Block, Face};

/// Height of the lettering, mm.
const LETTERING: f64 = 2.8;

/// Free margin round a shape, mm.
const MARGIN: f64 = 3.0;

/// How far two sheets of a large shape overlap, mm.
const OVERLAP: f64 = 16.0;

/// Room beside the bars: left and below, mm.
pub(crate) const BARS: (f64, f64) = (17.0, 15.0);

/// Metres in millimetres.
const MM: f64 = 1e3;

/// A shape at true size, m: u to the right, v up on the paper.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct TemplateShape {
    /// What it is, printed beneath.
    pub name: String,
    /// Closed rings.
    pub rings: Vec<Vec<[f64; 2]>>,
    /// Open lines, drawn dashed: a parting, the old weight.
    pub lines: Vec<Vec<[f64; 2]>>,
    /// Holes to mark: centre and diameter.
    pub circles: Vec<([f64; 2], f64)>,
    /// The centre of gravity.
    pub centre: Option<[f64; 2]>,
}

/// One sheet of templates: a drawing of `size_mm`, of which a window from `from_mm` on is shown.
#[derive(Debug, Clone, PartialEq)]
pub struct TemplateSheet {
    /// What is on it.
    pub title: String,
    /// The drawing, in millimetres.
    pub svg: String,
    /// Width and height of the drawing, mm.
    pub size_mm: [f64; 2],
    /// The upper left corner of the window in the drawing, mm.
    pub from_mm: [f64; 2],
}

/// All sheets, and what was refused.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Templates {
    /// The sheets, in order.
    pub sheets: Vec<TemplateSheet>,
    /// Why a shape is on none of them, one sentence each.
    pub refused: Vec<String>,
}

/// A shape with the room it needs, mm.
struct Laid {
    shape: TemplateShape,
    extent: Extent,
    caption: Block,
    width: f64,
    height: f64,
}

impl Laid {
    fn new(pen: &Pen, shape: &TemplateShape, widest: f64) -> Self {
        let circles = shape
            .circles
            .iter()
            .flat_map(|([u, v], d)| [[u - d / 2.0, v - d / 2.0], [u + d / 2.0, v + d / 2.0]]);
        let circles: Vec<_> = circles.collect();
        let points = shape.rings.iter().chain(&shape.lines).flatten().chain(&circles).chain(&shape.centre);
        let extent = Extent::of(points);
        let [width, height] = extent.size().map(|side| side * MM);
        let room = width.max(46.0).min(widest - 2.0 * MARGIN);
        let caption = Block::plain(&shape.name, Face::PLAIN, room, pen.lettering());
        let width = width.max(caption.width) + 2.0 * MARGIN;
        let height = height + caption.height() + 1.2 + 2.0 * MARGIN;
        Self { shape: shape.clone(), extent, caption, width, height }
    }
    /// Draws it with its upper left corner at a place, mm.
    fn draw(&self, pen: &mut Pen, (left, top): (f64, f64)) {
        let (left, top) = (left + MARGIN, top + MARGIN);
        let Extent { low, high } = self.extent;
        let at = |[u, v]: [f64; 2]| (left + (u - low[0]) * MM, top + (high[1] - v) * MM);
        let place = |ring: &Vec<[f64; 2]>| ring.iter().map(|point| at(*point)).collect::<Vec<_>>();
        pen.open("template");
        let rings: Vec<_> = self.shape.rings.iter().map(place).collect();
        pen.path(&closed(&rings), Stroke::of(Paint::Ink, 1.1), Paint::None);
        pen.close();
        for line in &self.shape.lines {
            pen.path(&polyline(&place(line)), Stroke::AIM, Paint::None);
        }
        for (middle, diameter) in &self.shape.circles {
            let ((x, y), r) = (at(*middle), diameter * MM / 2.0);
            pen.circle((x, y), r, Stroke::of(Paint::Ink, 1.1), Paint::None);
            pen.line((x - r - 2.0, y), (x + r + 2.0, y), Stroke::THIN);
            pen.line((x, y - r - 2.0), (x, y + r + 2.0), Stroke::THIN);
        }
        if let Some(middle) = self.shape.centre {
            centre(pen, at(middle));
        }
        let below = top + (high[1] - low[1]) * MM + 1.2;
        pen.label(&self.caption, left, below, Anchor::Start);
    }
}

/// The same shape a quarter turn to the left.
fn turned(shape: &TemplateShape) -> TemplateShape {
    let turn = |point: &[f64; 2]| [-point[1], point[0]];
    let all = |lines: &[Vec<[f64; 2]>]| lines.iter().map(|line| line.iter().map(turn).collect()).collect();
    TemplateShape {
        name: format!("{} (a quarter turn to the left: left in these words is below)", shape.name),
        rings: all(&shape.rings),
        lines: all(&shape.lines),
        circles: shape.circles.iter().map(|(middle, diameter)| (turn(middle), *diameter)).collect(),
        centre: shape.centre.as_ref().map(turn),
    }
}

/// How many windows cover a length.
fn windows(length: f64, window: f64) -> u32 {
    let more = ((length - window) / (window - OVERLAP)).ceil().max(0.0);
    (0..10_000).find(|count| more <= f64::from(*count)).unwrap_or(10_000) + 1
}

/// Lays shapes out on sheets with a window of a size, mm. A shape that would need more than `most` sheets is refused.
#[must_use]
pub fn template_sheets(
    shapes: &[TemplateShape],
    window: [f64; 2],
    most: u32,
    palette: &Palette,
) -> Templates {
    let canvas = Canvas { width: window[0], text: LETTERING };
    let pen = Pen::new(palette, canvas);
    let mut templates = Templates::default();
    let mut small = Vec::new();
    let mut large = Vec::new();
    for shape in shapes {
        let laid = Laid::new(&pen, shape, window[0]);
        let fits = |laid: &Laid| laid.width <= window[0] && laid.height <= window[1];
        if fits(&laid) {
            small.push(laid);
            continue;
        }
        let across = Laid::new(&pen, &turned(shape), window[0]);
        if fits(&across) {
            small.push(across);
            continue;
        }
        let count = |laid: &Laid| windows(laid.width, window[0]) * windows(laid.height, window[1]);
        let laid = if count(&across) < count(&laid) { across } else { laid };
        if most < count(&laid) {
            templates.refused.push(refusal(&laid, count(&laid), most));
        } else {
            large.push(laid);
        }
    }
    templates.sheets = packed(small, window, palette);
    templates.sheets.extend(large.iter().flat_map(|laid| tiled(laid, window, palette)));
    templates
}

fn refusal(laid: &Laid, count: u32, most: u32) -> String {
    let [width, height] = laid.extent.size().map(|side| side * MM);
    format!(
        "{}: {width:.0} mm x {height:.0} mm would take {count} sheets, more than the {most} that are printed; make it by \
         the dimensions of the drawing",
        laid.shape.name
    )
}

/// Shelf by shelf.
fn packed(laid: Vec<Laid>, [width, height]: [f64; 2], palette: &Palette) -> Vec<TemplateSheet> {
    let mut pages: Vec<Vec<(Laid, (f64, f64))>> = Vec::new();
    let (mut x, mut y, mut shelf) = (0.0, f64::INFINITY, 0.0_f64);
    for piece in laid {
        if width < x + piece.width {
            (x, y, shelf) = (0.0, y + shelf, 0.0);
        }
        if height < y + piece.height {
            pages.push(Vec::new());
            (x, y, shelf) = (0.0, 0.0, 0.0);
        }
        let place = (x, y);
        x += piece.width;
        shelf = shelf.max(piece.height);
        if let Some(page) = pages.last_mut() {
            page.push((piece, place));
        }
    }
    pages.iter().map(|page| page_of(page, [width, height], palette)).collect()
}

fn page_of(page: &[(Laid, (f64, f64))], size_mm: [f64; 2], palette: &Palette) -> TemplateSheet {
    let mut pen = Pen::new(palette, Canvas { width: size_mm[0], text: LETTERING });
    for (laid, place) in page {
        laid.draw(&mut pen, *place);
    }
    let names: Vec<_> = page.iter().map(|(laid, _)| laid.shape.name.clone()).collect();
    let title = names.join("; ");
    let svg = pen.finish_in("mm", size_mm[1], &format!("templates at true size: {title}")).into_string();
    TemplateSheet { title, svg, size_mm, from_mm: [0.0; 2] }
}

/// The sheets of a large shape, row by row from the upper left, with marks in the middle of every overlap.
fn tiled(laid: &Laid, [width, height]: [f64; 2], palette: &Palette) -> Vec<TemplateSheet> {
    let size_mm = [laid.width.max(width), laid.height.max(height)];
    let mut pen = Pen::new(palette, Canvas { width: size_mm[0], text: LETTERING });
    laid.draw(&mut pen, (0.0, 0.0));
    let (columns, rows) = (windows(laid.width, width), windows(laid.height, height));
    let steps = [width - OVERLAP, height - OVERLAP];
    marks(&mut pen, laid, (columns, rows), steps);
    let name = &laid.shape.name;
    let svg = pen.finish_in("mm", size_mm[1], &format!("template at true size: {name}")).into_string();
    let all = columns * rows;
    let places = (0..rows).flat_map(|row| (0..columns).map(move |column| (row, column)));
    places
        .zip(1..)
        .map(|((row, column), number)| {
            let (row_of, column_of) = (row + 1, column + 1);
            let place =
                format!("sheet {number} of {all}, row {row_of} of {rows}, column {column_of} of {columns}");
            let title = format!("{name}: {place}; lay the crosses of neighbouring sheets on each other");
            let from_mm = [f64::from(column) * steps[0], f64::from(row) * steps[1]];
            TemplateSheet { title, svg: svg.clone(), size_mm, from_mm }
        })
        .collect()
}

/// Crosses with letters in the middle of every overlap: the same cross is on both sheets.
fn marks(pen: &mut Pen, laid: &Laid, (columns, rows): (u32, u32), steps: [f64; 2]) {
    let mut names = (b'A'..=b'Z').map(char::from).cycle().zip(1..).map(|(letter, number): (char, u32)| {
        if number <= 26 { letter.to_string() } else { format!("{letter}{}", number.div_ceil(26)) }
    });
    let mut mark = |x: f64, y: f64| {
        let Some(name) = names.next() else { return };
        pen.open("match-mark");
        pen.path(&polyline(&[(x - 4.0, y), (x + 4.0, y)]), Stroke::of(Paint::Blue, 1.0), Paint::None);
        pen.path(&polyline(&[(x, y - 4.0), (x, y + 4.0)]), Stroke::of(Paint::Blue, 1.0), Paint::None);
        pen.close();
        let block = Block::plain(&name, Face::MEASURED, 20.0, pen.lettering());
        pen.plated(&block, x + 1.2, y + 0.6, Anchor::Start);
    };
    let shares = [0.2, 0.8];
    for column in 1..columns {
        let x = f64::from(column) * steps[0] + OVERLAP / 2.0;
        for row in 0..rows {
            let top = f64::from(row) * steps[1];
            let bottom = laid.height.min(top + steps[1]);
            shares.iter().for_each(|share| mark(x, top + share * (bottom - top)));
        }
    }
    for row in 1..rows {
        let y = f64::from(row) * steps[1] + OVERLAP / 2.0;
        for column in 0..columns {
            let left = f64::from(column) * steps[0];
            let right = laid.width.min(left + steps[0]);
            shares.iter().for_each(|share| mark(left + share * (right - left), y));
        }
    }
}

/// The measured bars of 100 mm and 4 in, upright on the left and level below, for a sheet of a size, mm.
#[must_use]
pub fn check_bars([width, height]: [f64; 2], palette: &Palette) -> String {
    let mut pen = Pen::new(palette, Canvas { width, text: LETTERING });
    let base = height - BARS.1 + 3.0;
    for (index, (length, name)) in [(100.0, "100 mm"), (101.6, "4 in")].into_iter().enumerate() {
        let shift = if index == 0 { 0.0 } else { 6.5 };
        let (x, y) = (BARS.0, base + shift);
        bar(&mut pen, (x, y), (x + length, y), (0.0, 1.4));
        let block = Block::plain(name, Face::STRONG, 40.0, pen.lettering());
        pen.label(&block, x + length + 2.0, y - 0.6 * LETTERING, Anchor::Start);
        let x = 2.0 + 1.6 * shift;
        let foot = height - BARS.1 - 4.0;
        bar(&mut pen, (x, foot), (x, foot - length), (1.4, 0.0));
        pen.label(&block, (x - 1.6).max(0.0), foot - length - 4.6, Anchor::Start);
    }
    let words = "Measure the bars in both directions before use.";
    let block = Block::plain(words, Face::STRONG, width - BARS.0 - 122.0, pen.lettering());
    pen.label(&block, width, base - 0.6 * LETTERING, Anchor::End);
    pen.finish_in("mm", height, "check bars of 100 mm and 4 in, level and upright").into_string()
}

fn bar(pen: &mut Pen, from: (f64, f64), to: (f64, f64), tick: (f64, f64)) {
    pen.open("check-bar");
    pen.line(from, to, Stroke::of(Paint::Ink, 1.1));
    pen.close();
    for (x, y) in [from, to] {
        pen.line((x - tick.0, y - tick.1), (x + tick.0, y + tick.1), Stroke::of(Paint::Ink, 0.8));
    }
}
