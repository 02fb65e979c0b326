//! A small chart: points over a line of numbers or of days, a band, a straight line. Main function: [`chart`].
//!
//! Layout geometry only; values and labels come finished. The table beside a chart says the same in words.

use super::Tone;
use maud::{Markup, html};

/// One point.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Dot {
    /// Along.
    pub(crate) x: f64,
    /// Up.
    pub(crate) y: f64,
    /// What the pointer is told.
    pub(crate) label: String,
    /// Its meaning: a ring for good and plain, a cross for bad.
    pub(crate) tone: Tone,
}

/// What is drawn.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Chart {
    /// What it shows, for who does not see it.
    pub(crate) title: String,
    /// The points.
    pub(crate) dots: Vec<Dot>,
    /// Lowest and highest value that is allowed.
    pub(crate) band: Option<(f64, f64)>,
    /// A straight line from one point to another.
    pub(crate) line: Option<[(f64, f64); 2]>,
    /// Labels up the left: value and text.
    pub(crate) left: Vec<(f64, String)>,
    /// Labels along the foot: value and text.
    pub(crate) foot: Vec<(f64, String)>,
}

const HEIGHT: f64 = 260.0;
/// Room left of, above, right of and below the field.
const ROOM: [f64; 4] = [92.0, 14.0, 40.0, 34.0];
/// Labels up the left stand at least so far apart.
const LETTERS: f64 = 18.0;

/// Where values fall on the paper.
struct Field {
    x: (f64, f64),
    y: (f64, f64),
    width: f64,
}

fn span(values: impl Iterator<Item = f64>) -> (f64, f64) {
    let (least, most) = values
        .filter(|value| value.is_finite())
        .fold((f64::MAX, f64::MIN), |(least, most), value| (least.min(value), most.max(value)));
    if least > most {
        return (-1.0, 1.0);
    }
    let around = if most - least > 0.0 { 0.06 * (most - least) } else { least.abs().max(1.0) * 0.5 };
    (least - around, most + around)
}

impl Field {
    fn of(chart: &Chart, width: f64) -> Self {
        let line = chart.line.iter().flatten();
        let dots = || chart.dots.iter().filter(|dot| drawable(dot));
        let x = dots().map(|dot| dot.x).chain(line.clone().map(|end| end.0));
        let band = chart.band.into_iter().flat_map(|(low, high)| [low, high]);
        let labels = chart.left.iter().map(|label| label.0);
        let y = dots().map(|dot| dot.y).chain(line.map(|end| end.1)).chain(band).chain(labels);
        Self { x: span(x), y: span(y), width }
    }
    fn x(&self, value: f64) -> f64 {
        ROOM[0] + (value - self.x.0) / (self.x.1 - self.x.0) * (self.width - ROOM[0] - ROOM[2])
    }
    fn y(&self, value: f64) -> f64 {
        HEIGHT - ROOM[3] - (value - self.y.0) / (self.y.1 - self.y.0) * (HEIGHT - ROOM[1] - ROOM[3])
    }
}

fn number(value: f64) -> String {
    format!("{value:.1}")
}

/// The chart as SVG, once for wide and once for narrow windows; its classes take their colours from the page.
pub(crate) fn chart(chart: &Chart) -> Markup {
    html! {
        div.wide-only { (drawn(chart, 720.0, "chart")) }
        div.phone-only { (drawn(chart, 340.0, "chart narrow-paper")) }
    }
}

fn drawn(chart: &Chart, width: f64, class: &str) -> Markup {
    let field = Field::of(chart, width);
    let (left, right) = (ROOM[0], width - ROOM[2]);
    html! {
        svg class=(class) viewBox={ "0 0 " (width) " " (HEIGHT) } role="img" aria-label=(chart.title) {
            @if let Some((low, high)) = chart.band {
                rect.band x=(left) width=(right - left) y=(number(field.y(high))) height=(number(field.y(low) - field.y(high))) {}
            }
            @for (value, text) in apart(&field, &chart.left) {
                path.grid d={ "M" (left) " " (number(field.y(*value))) "H" (right) } {}
                text.end x=(left - 8.0) y=(number(field.y(*value) + 4.5)) { (text) }
            }
            path.axis d={ "M" (left) " " (HEIGHT - ROOM[3]) "H" (right) } {}
            @for (value, text) in &chart.foot {
                text.mid x=(number(field.x(*value))) y=(HEIGHT - 10.0) { (text) }
            }
            @if let Some([(x1, y1), (x2, y2)]) = chart.line {
                path.line d={ "M" (number(field.x(x1))) " " (number(field.y(y1))) "L" (number(field.x(x2))) " " (number(field.y(y2))) } {}
            }
            @for dot in chart.dots.iter().filter(|dot| drawable(dot)) { (mark(&field, dot)) }
        }
    }
}

/// The labels that do not stand in the way of an earlier one.
fn apart<'l>(field: &Field, labels: &'l [(f64, String)]) -> Vec<&'l (f64, String)> {
    let mut kept: Vec<&(f64, String)> = Vec::new();
    for label in labels {
        if kept.iter().all(|other| LETTERS <= (field.y(other.0) - field.y(label.0)).abs()) {
            kept.push(label);
        }
    }
    kept
}

/// What is no number has no place on a chart.
fn drawable(dot: &Dot) -> bool {
    dot.x.is_finite() && dot.y.is_finite()
}

fn mark(field: &Field, dot: &Dot) -> Markup {
    let (x, y) = (number(field.x(dot.x)), number(field.y(dot.y)));
    html! {
        g transform={ "translate(" (x) " " (y) ")" } class=(dot.tone.class()) {
            title { (dot.label) }
            @if dot.tone == Tone::Bad { path.dot d="M-6 -6L6 6M6 -6L-6 6" {} } @else { circle.dot r="5.5" {} }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn svg(values: &[(f64, f64)]) -> String {
        let dot = |(x, y): &(f64, f64)| Dot { x: *x, y: *y, label: "a < b".to_owned(), tone: Tone::Good };
        chart(&Chart { dots: values.iter().map(dot).collect(), ..Chart::default() }).into_string()
    }

    #[test]
    fn no_chart_holds_what_is_no_number() {
        for values in
            [&[][..], &[(1.0, 1.0)], &[(0.0, 0.0), (0.0, 0.0)], &[(f64::NAN, 1.0), (2.0, f64::INFINITY)]]
        {
            let svg = svg(values);
            let bad = svg.matches("NaN").count() + svg.matches("inf").count();
            assert_eq!(bad, 0, "{svg}");
        }
    }

    #[test]
    fn labels_are_text() {
        assert!(svg(&[(1.0, 2.0)]).contains("a &lt; b"));
    }
}
