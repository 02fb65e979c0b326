//! Drawing primitives: what a drawing is put together from, as SVG.
//!
//! Main type: [`Pen`], which collects lines, areas and labels and gives one `svg` element in the end. Numbers
//! are printed with two decimals at most, so that the same drawing is the same text everywhere.

use maud::{Markup, PreEscaped, html};

use super::Canvas;
use super::text::{Block, Face, Lettering, Run, Weight};
use crate::{Palette, Tone};

/// A colour of the palette.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Paint {
    /// Nothing.
    None,
    /// First rank.
    Ink,
    /// Second rank.
    Soft,
    /// Hairlines.
    Hair,
    /// The ground under labels.
    Ground,
    /// Filled outlines.
    Tint,
    /// Measured or typed.
    Blue,
    /// The approved band's edges.
    Good,
    /// The approved band.
    GoodTint,
    /// By meaning.
    Of(Tone),
}

/// A line: its colour, its width (1 is the usual line) and its dashes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stroke {
    paint: Paint,
    width: f64,
    dash: Dash,
}

/// The dashes of a line, as drawing offices use them.
#[derive(Debug, Clone, Copy)]
enum Dash {
    Solid,
    Chain,
    Hidden,
}

impl Stroke {
    /// No line at all.
    pub(super) const NONE: Self = Self::of(Paint::None, 0.0);
    /// An outline.
    pub(super) const OUTLINE: Self = Self::of(Paint::Ink, 1.7);
    /// A thin line: dimensions, extensions.
    pub(super) const THIN: Self = Self::of(Paint::Soft, 0.8);
    /// A hairline.
    pub(super) const HAIR: Self = Self::of(Paint::Hair, 0.8);
    /// A centre line: long and short dashes.
    pub(super) const CHAIN: Self = Self { paint: Paint::Soft, width: 0.9, dash: Dash::Chain };
    /// A second position: short dashes.
    pub(super) const HIDDEN: Self = Self { paint: Paint::Soft, width: 1.0, dash: Dash::Hidden };

    /// Where a casting is parted: long and short dashes in ink.
    pub(super) const PARTING: Self = Self { paint: Paint::Ink, width: 1.3, dash: Dash::Chain };

    /// The aim: short dashes in ink.
    pub(super) const AIM: Self = Self { paint: Paint::Ink, width: 1.1, dash: Dash::Hidden };

    /// A solid line.
    pub(super) const fn of(paint: Paint, width: f64) -> Self {
        Self { paint, width, dash: Dash::Solid }
    }
}

/// Where a label's given x lies in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Anchor {
    /// At its left end.
    Start,
    /// In its middle.
    Middle,
    /// At its right end.
    End,
}

impl Anchor {
    /// Left end of a label of some width.
    pub(super) fn left(self, x: f64, width: f64) -> f64 {
        match self {
            Self::Start => x,
            Self::Middle => x - width / 2.0,
            Self::End => x - width,
        }
    }

    fn word(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Middle => "middle",
            Self::End => "end",
        }
    }
}

/// A rectangle between two corners.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rect {
    /// Left.
    pub(super) x0: f64,
    /// Top.
    pub(super) y0: f64,
    /// Right.
    pub(super) x1: f64,
    /// Bottom.
    pub(super) y1: f64,
}

/// Collects a drawing.
pub(super) struct Pen<'a> {
    palette: &'a Palette,
    canvas: Canvas,
    shapes: Vec<Markup>,
    plates: Vec<Markup>,
    labels: Vec<Markup>,
}

impl<'a> Pen<'a> {
    /// An empty drawing.
    pub(super) fn new(palette: &'a Palette, canvas: Canvas) -> Self {
        Self { palette, canvas, shapes: Vec::new(), plates: Vec::new(), labels: Vec::new() }
    }

    /// The usual lettering.
    pub(super) fn lettering(&self) -> Lettering {
        Lettering { size: self.canvas.text, stretch: self.palette.letter_width }
    }

    /// Height of the usual lettering: the unit of all distances.
    pub(super) fn em(&self) -> f64 {
        self.canvas.text
    }

    /// A straight line.
    pub(super) fn line(&mut self, from: (f64, f64), to: (f64, f64), stroke: Stroke) {
        self.path(&polyline(&[from, to]), stroke, Paint::None);
    }

    /// A closed outline through points.
    pub(super) fn polygon(&mut self, points: &[(f64, f64)], stroke: Stroke, fill: Paint) {
        self.path(&format!("{}Z", polyline(points)), stroke, fill);
    }

    /// A rectangle with its corners rounded by `radius`.
    pub(super) fn rect(&mut self, rect: Rect, radius: f64, stroke: Stroke, fill: Paint) {
        self.path(&outline(rect, radius), stroke, fill);
    }

    /// A circle.
    pub(super) fn circle(&mut self, centre: (f64, f64), radius: f64, stroke: Stroke, fill: Paint) {
        let ((x, y), r) = (centre, n(radius));
        let path = format!(
            "M{} {}a{r} {r} 0 1 0 {} 0a{r} {r} 0 1 0 {} 0Z",
            n(x - radius),
            n(y),
            n(2.0 * radius),
            n(-2.0 * radius)
        );
        self.path(&path, stroke, fill);
    }

    /// Any path, in the words of SVG.
    pub(super) fn path(&mut self, d: &str, stroke: Stroke, fill: Paint) {
        let markup = self.path_markup(d, stroke, fill);
        self.shapes.push(markup);
    }

    /// A path turned by degrees (clockwise) about a point.
    pub(super) fn turned(&mut self, d: &str, degrees: f64, about: (f64, f64), stroke: Stroke) {
        let turn = format!("rotate({} {} {})", n(degrees), n(about.0), n(about.1));
        let inner = self.path_markup(d, stroke, Paint::None);
        self.shapes.push(html! { g transform=(turn) { (inner) } });
    }

    /// A path in a frame of its own: moved to a place and scaled.
    pub(super) fn placed(&mut self, d: &str, at: (f64, f64), scale: f64, fill: Paint) {
        let place = format!("translate({} {}) scale({scale:.4})", n(at.0), n(at.1));
        let fill = self.colour(fill);
        let markup = html! { path d=(d) transform=(place) fill=(fill) shape-rendering="crispEdges" {} };
        self.shapes.push(markup);
    }

    /// Begins a group with a class, by which a page or a test finds it.
    pub(super) fn open(&mut self, class: &str) {
        self.shapes.push(PreEscaped(format!("<g class=\"{class}\">")));
    }

    /// Ends the group.
    pub(super) fn close(&mut self) {
        self.shapes.push(PreEscaped("</g>".into()));
    }

    fn path_markup(&self, d: &str, stroke: Stroke, fill: Paint) -> Markup {
        let width = n(stroke.width * self.canvas.text / 15.0);
        let dash = self.dash(stroke.dash);
        let has_stroke = stroke.paint != Paint::None;
        html! {
            path d=(d) fill=(self.colour(fill)) stroke=[has_stroke.then(|| self.colour(stroke.paint))]
                stroke-width=[has_stroke.then_some(width)] stroke-dasharray=[dash] stroke-linejoin="round" {}
        }
    }

    fn dash(&self, dash: Dash) -> Option<String> {
        let pattern: &[f64] = match dash {
            Dash::Solid => return None,
            Dash::Chain => &[0.9, 0.25, 0.2, 0.25],
            Dash::Hidden => &[0.35, 0.25],
        };
        let lengths: Vec<_> = pattern.iter().map(|length| n(length * self.canvas.text)).collect();
        Some(lengths.join(" "))
    }

    fn colour(&self, paint: Paint) -> &str {
        match paint {
            Paint::None => "none",
            Paint::Ink => &self.palette.ink,
            Paint::Soft => &self.palette.soft,
            Paint::Hair => &self.palette.line,
            Paint::Ground => &self.palette.ground,
            Paint::Tint => &self.palette.tint,
            Paint::Blue => &self.palette.blue,
            Paint::Good => &self.palette.good,
            Paint::GoodTint => &self.palette.good_tint,
            Paint::Of(tone) => self.palette.of(tone),
        }
    }

    /// A slim filled arrowhead with its tip at a point, pointing along a direction of unit length.
    pub(super) fn arrowhead(&mut self, tip: (f64, f64), direction: (f64, f64), paint: Paint) {
        let (length, half) = (0.75 * self.em(), 0.15 * self.em());
        let (dx, dy) = direction;
        let (bx, by) = (tip.0 - dx * length, tip.1 - dy * length);
        let points = [tip, (bx - dy * half, by + dx * half), (bx + dy * half, by - dx * half)];
        self.polygon(&points, Stroke::NONE, paint);
    }

    /// Slanted hatching inside a rectangle.
    pub(super) fn hatch(&mut self, rect: Rect, spacing: f64, stroke: Stroke) {
        let Rect { x0, y0, x1, y1 } = rect;
        let height = y1 - y0;
        let mut path = String::new();
        let mut foot = x0 + spacing / 2.0;
        while foot < x1 + height {
            // from (foot, y0) down to the left, cut at both sides
            let right = foot.min(x1);
            let left = (foot - height).max(x0);
            path.push_str(&polyline(&[(right, y0 + foot - right), (left, y0 + foot - left)]));
            foot += spacing;
        }
        self.path(&path, stroke, Paint::None);
    }

    /// A label at a place.
    pub(super) fn label(&mut self, block: &Block, x: f64, top: f64, anchor: Anchor) {
        let mut baseline = top + 0.93 * block.lettering.size;
        for line in &block.lines {
            let markup = self.text_line(line, x, baseline, anchor, block.lettering);
            self.labels.push(markup);
            baseline += block.line_height();
        }
    }

    /// A label with the ground laid under it and over all lines, so that none strikes it through.
    pub(super) fn plated(&mut self, block: &Block, x: f64, top: f64, anchor: Anchor) {
        let left = anchor.left(x, block.width);
        let gap = 0.2 * self.em();
        let rect = Rect { x0: left - gap, y0: top, x1: left + block.width + gap, y1: top + block.height() };
        if !block.lines.is_empty() {
            let plate = self.path_markup(&outline(rect, 0.0), Stroke::NONE, Paint::Ground);
            self.plates.push(plate);
        }
        self.label(block, x, top, anchor);
    }

    fn text_line(&self, line: &[Run], x: f64, y: f64, anchor: Anchor, lettering: Lettering) -> Markup {
        let single = line.len() == 1;
        let first = line.first().map_or(Face::PLAIN, |run| run.face);
        html! {
            text x=(n(x)) y=(n(y)) font-size=(n(lettering.size)) text-anchor=(anchor.word())
                fill=(self.colour(first.paint)) font-weight=(weight(first)) {
                @if single { @for run in line { (run.text) } }
                @else {
                    @for (index, run) in line.iter().enumerate() {
                        @if index > 0 { " " }
                        tspan fill=(self.colour(run.face.paint)) font-weight=(weight(run.face)) { (run.text) }
                    }
                }
            }
        }
    }

    /// The finished drawing, `height` units high, with what it shows in words for those who do not see it.
    pub(super) fn finish(self, height: f64, in_words: &str) -> Markup {
        self.finish_in("", height, in_words)
    }

    /// The same, with the unit that its size is stated in.
    pub(super) fn finish_in(self, unit: &str, height: f64, in_words: &str) -> Markup {
        let view_box = format!("0 0 {} {}", n(self.canvas.width), n(height));
        let size = (n(self.canvas.width) + unit, n(height) + unit);
        let in_words: String = in_words.chars().filter(|character| !character.is_control()).collect();
        html! {
            svg xmlns="http://www.w3.org/2000/svg" viewBox=(view_box) width=(size.0) height=(size.1) role="img"
                aria-label=(in_words) font-family=(self.palette.font_family) {
                @for shape in &self.shapes { (shape) }
                @for plate in &self.plates { (plate) }
                @for label in &self.labels { (label) }
            }
        }
    }
}

fn weight(face: Face) -> &'static str {
    match face.weight {
        Weight::Regular => "400",
        Weight::SemiBold => "600",
    }
}

/// A number with two decimals at most.
pub(super) fn n(value: f64) -> String {
    let rounded = (value * 100.0).round() / 100.0;
    // adding zero turns minus zero into zero
    (rounded + 0.0).to_string()
}

/// An open path through points.
pub(super) fn polyline(points: &[(f64, f64)]) -> String {
    let mut path = String::new();
    for (index, (x, y)) in points.iter().enumerate() {
        path.push(if index == 0 { 'M' } else { 'L' });
        path.push_str(&format!("{} {}", n(*x), n(*y)));
    }
    path
}

/// The outline of a rectangle as a path.
fn outline(rect: Rect, radius: f64) -> String {
    let Rect { x0, y0, x1, y1 } = rect;
    if radius <= 0.0 {
        return polyline(&[(x0, y0), (x1, y0), (x1, y1), (x0, y1)]) + "Z";
    }
    let r = n(radius);
    format!(
        "M{} {}H{}a{r} {r} 0 0 1 {r} {r}V{}a{r} {r} 0 0 1 -{r} {r}H{}a{r} {r} 0 0 1 -{r} -{r}V{}a{r} {r} 0 0 1 {r} -{r}Z",
        n(x0 + radius),
        n(y0),
        n(x1 - radius),
        n(y1 - radius),
        n(x0 + radius),
        n(y0 + radius),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_and_have_no_minus_zero() {
        assert_eq!(n(12.3456), "12.35");
        assert_eq!(n(-0.001), "0");
        assert_eq!(n(40.0), "40");
    }

    #[test]
    fn labels_are_escaped() {
        let palette = Palette::paper();
        let mut pen = Pen::new(&palette, Canvas::WIDE);
        let block = Block::plain("<b>&\"x\"", Face::PLAIN, 500.0, pen.lettering());
        pen.label(&block, 10.0, 10.0, Anchor::Start);
        let svg = pen.finish(50.0, "\"><script>").into_string();
        assert!(svg.contains("&lt;b&gt;&amp;"));
        assert!(!svg.contains("<script>"));
    }
}
