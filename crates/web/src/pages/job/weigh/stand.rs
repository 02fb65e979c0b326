//! The stand, drawn to scale in a frame that keeps still: the fields of the page lie on it by its style, so that none
//! moves while somebody types into it. The hinge line and the device keep their places; the scale follows.
//!
//! Main functions: [`wide`], the frame for the fields; [`phone`], the drawing with its labels, for a narrow screen.

use hingeline_sheet::drawing::{BenchDrawing, Canvas, Heavy, Method, Station};
use hingeline_sheet::{Palette, SheetError};
use maud::{Markup, html};

/// Where things stand in the frame of a method, in the units of its view box.
#[derive(Debug, Clone, Copy)]
struct Frame {
    /// Height of the view box; its width is [`WIDTH`].
    height: f64,
    /// The hinge line.
    hinge: f64,
    /// The level of the chord.
    level: f64,
    /// Where the device stands while there is room for it.
    device: f64,
    /// The level of the dimension line of the arm.
    dimension: f64,
    /// Upper left corner of the words of the stations.
    stations: (f64, f64),
    /// Where the side is said, and which way its words run.
    heavy: (f64, f64, &'static str),
}

const WIDTH: f64 = 800.0;
/// Half of the thickness of the section at the hinge line.
const HALF: f64 = 30.0;

impl Frame {
    fn of(drawing: &BenchDrawing) -> Self {
        let forward = drawing.arm_m < 0.0;
        let heavy = (792.0, 214.0, "end");
        let under = matches!(drawing.method, Method::HungWeight | Method::SupportScale);
        // Fields stand close under the chord there: the words take the side that the arrow does not point to.
        let heavy = match drawing.heavy {
            Heavy::NoseHeavy if under => (792.0, 186.0, "end"),
            _ if under => (792.0, 130.0, "end"),
            _ => heavy,
        };
        let aft = Self {
            height: 352.0,
            hinge: 240.0,
            level: 160.0,
            device: 640.0,
            dimension: 262.0,
            stations: (8.0, 20.0),
            heavy,
        };
        match drawing.method {
            Method::TrailingEdgeScale => aft,
            Method::TwoAttitudes => Self { height: 402.0, heavy: (622.0, 132.0, "end"), ..aft },
            Method::HungWeight | Method::SupportScale if forward => Self {
                height: 376.0,
                hinge: 440.0,
                device: 190.0,
                level: 150.0,
                dimension: 240.0,
                heavy,
                ..aft
            },
            Method::HungWeight | Method::SupportScale => {
                Self { height: 376.0, device: 540.0, level: 150.0, dimension: 240.0, heavy, ..aft }
            }
            Method::BalanceBeam => {
                let (hinge, device) = if forward { (440.0, 200.0) } else { (240.0, 564.0) };
                let stations = if forward { (436.0, 20.0) } else { (8.0, 20.0) };
                let heavy = (792.0, 300.0, "end");
                Self { height: 420.0, level: 238.0, dimension: 330.0, hinge, device, stations, heavy }
            }
            Method::PartsList => aft,
        }
    }

    fn foot(&self) -> f64 {
        self.height - 20.0
    }

    /// Units of the view box for a metre: the device in its place, or as far out as everything else leaves room.
    fn scale(&self, drawing: &BenchDrawing) -> f64 {
        let arms = drawing.stations.iter().map(|station| station.arm_m);
        let ends = [drawing.nose_m, drawing.trailing_edge_m].into_iter().flatten();
        let fits = |arm: f64| {
            let room = if arm < 0.0 { self.hinge - 24.0 } else { WIDTH - 44.0 - self.hinge };
            room / arm.abs().max(1e-4)
        };
        let device = (self.device - self.hinge).abs() / drawing.arm_m.abs().max(1e-4);
        arms.chain(ends).map(fits).fold(device, f64::min)
    }
}

/// What is drawn, with its scale.
struct Stand<'d> {
    drawing: &'d BenchDrawing,
    frame: Frame,
    scale: f64,
}

impl Stand<'_> {
    fn x(&self, arm_m: f64) -> f64 {
        self.frame.hinge + arm_m * self.scale
    }
    fn device(&self) -> f64 {
        self.x(self.drawing.arm_m)
    }
    fn nose(&self) -> f64 {
        let forward = self.drawing.stations.iter().map(|station| station.arm_m).fold(0.0, f64::min);
        let device = if self.hung_forward() { self.drawing.arm_m } else { 0.0 };
        let schematic = self.x(forward.min(device)) - 16.0;
        self.drawing.nose_m.map_or(schematic.min(self.frame.hinge - 60.0), |nose| self.x(nose)).max(8.0)
    }
    fn trailing_edge(&self) -> f64 {
        let schematic = (self.device() + 40.0).max(self.frame.hinge + 280.0);
        self.drawing.trailing_edge_m.map_or(schematic, |edge| self.x(edge)).min(WIDTH - 14.0)
    }
    fn hung_forward(&self) -> bool {
        self.drawing.arm_m < 0.0
    }
    fn is_beam(&self) -> bool {
        self.drawing.method == Method::BalanceBeam
    }
    fn above(&self) -> bool {
        matches!(self.drawing.method, Method::TrailingEdgeScale | Method::TwoAttitudes | Method::BalanceBeam)
    }
}

fn n(value: f64) -> String {
    format!("{value:.1}")
}

/// The frame that the fields lie on.
pub(super) fn wide(drawing: &BenchDrawing) -> Markup {
    let frame = Frame::of(drawing);
    let stand = Stand { drawing, frame, scale: frame.scale(drawing) };
    let side = if stand.hung_forward() { "forward" } else { "aft" };
    html! {
        svg.stand-frame viewBox={ "0 0 800 " (n(frame.height)) } role="img" data-side=(side)
            aria-label=(words(drawing)) {
            (ground(&stand))
            (second(&stand))
            @if !stand.above() { (device(&stand)) }
            (section(&stand))
            @if stand.above() { (device(&stand)) }
            (hinge(&stand))
            (dimension(&stand))
            (stations(&stand))
            (heavy(&stand))
            (scale_bar(&stand))
        }
    }
}

/// The drawing of the printed sheet, for a narrow screen and for a parts list.
pub(super) fn phone(drawing: &BenchDrawing, canvas: Canvas) -> Result<Markup, SheetError> {
    hingeline_sheet::drawing::bench(drawing, &Palette::page(), canvas)
}

fn words(drawing: &BenchDrawing) -> String {
    let method = match drawing.method {
        Method::TrailingEdgeScale => "a hanging scale",
        Method::HungWeight => "a hung weight",
        Method::BalanceBeam => "a balance beam",
        Method::SupportScale => "a platform scale under a support",
        Method::PartsList => "a parts list",
        Method::TwoAttitudes => "a hanging scale in two attitudes",
    };
    let arm = if drawing.arm_label.is_empty() { "not typed yet" } else { &drawing.arm_label };
    format!("The stand in side view, nose to the left, with {method}; arm {arm}; {}", drawing.heavy_label)
}

fn ground(stand: &Stand<'_>) -> Markup {
    let (foot, hinge) = (stand.frame.foot(), stand.frame.hinge);
    let (x0, x1) = if stand.above() || stand.drawing.method == Method::PartsList {
        (8.0, WIDTH - 8.0)
    } else if stand.hung_forward() {
        (hinge - 60.0, WIDTH - 8.0)
    } else {
        (8.0, hinge + 60.0)
    };
    html! {
        path.line d={ "M" (n(x0)) " " (n(foot)) "H" (n(x1)) } {}
        path.ink d={
            "M" (n(hinge - 30.0)) " " (n(foot)) "L" (n(hinge)) " " (n(stand.frame.level)) "L" (n(hinge + 30.0)) " " (n(foot))
            "M" (n(hinge - 15.0)) " " (n((foot + stand.frame.level) / 2.0)) "H" (n(hinge + 15.0))
        } {}
    }
}

/// The section: its outline is schematic.
fn outline(stand: &Stand<'_>) -> String {
    let (hinge, y) = (stand.frame.hinge, stand.frame.level);
    let (nose, edge) = (stand.nose(), stand.trailing_edge());
    let quarter = nose + 0.35 * (hinge - nose);
    let half = HALF * 1.04;
    format!(
        "M{} {y}C{} {} {} {} {} {}L{} {}V{}L{} {}C{} {} {} {} {} {y}Z",
        n(nose),
        n(nose),
        n(y - 0.8 * HALF),
        n(quarter),
        n(y - half),
        n(hinge),
        n(y - HALF),
        n(edge),
        n(y - 2.0),
        n(y + 2.0),
        n(hinge),
        n(y + HALF),
        n(quarter),
        n(y + half),
        n(nose),
        n(y + 0.8 * HALF),
        n(nose),
    )
}

fn section(stand: &Stand<'_>) -> Markup {
    let (x, y) = (stand.device(), stand.frame.level);
    let end = if stand.hung_forward() { stand.nose() } else { stand.trailing_edge() };
    let beyond = if stand.hung_forward() { x < end } else { end < x };
    html! {
        // A device beyond the section bears on a bar that is fixed to it.
        @if beyond && !stand.is_beam() { path.ink d={ "M" (n(end)) " " (n(y)) "H" (n(x)) } {} }
        path.section d=(outline(stand)) {}
    }
}

fn second(stand: &Stand<'_>) -> Markup {
    let Some(second) = &stand.drawing.second else { return html! {} };
    let turn = format!(
        "rotate({:.2} {} {})",
        second.angle_rad.to_degrees(),
        n(stand.frame.hinge),
        n(stand.frame.level)
    );
    html! { path.ghost d=(outline(stand)) transform=(turn) {} }
}

fn hinge(stand: &Stand<'_>) -> Markup {
    let (x, y) = (stand.frame.hinge, stand.frame.level);
    // Over the beam, where there is one.
    let over = if stand.is_beam() { 104.0 } else { 74.0 };
    html! {
        path.axis d={ "M" (n(x)) " " (n(y - over)) "V" (n(stand.frame.foot() + 14.0)) } {}
        path.axis d={ "M" (n(stand.nose() - 8.0)) " " (n(y)) "H" (n(stand.trailing_edge() + 12.0)) } {}
        circle.pivot cx=(n(x)) cy=(n(y)) r="7" {}
        text.soft x=(n(x + 6.0)) y=(n(y - over + 12.0)) { "hinge line" }
    }
}

fn device(stand: &Stand<'_>) -> Markup {
    let (x, y, bottom) = (stand.device(), stand.frame.level, stand.frame.height);
    match stand.drawing.method {
        Method::TrailingEdgeScale | Method::TwoAttitudes => html! {
            circle.ink cx=(n(x)) cy="10" r="6" {}
            path.ink d={
                "M" (n(x)) " 16V" (n(y - 34.0)) "M" (n(x - 11.0)) " " (n(y)) "L" (n(x)) " " (n(y - 34.0)) "L" (n(x + 11.0)) " " (n(y))
                "Z"
            } {}
        },
        Method::HungWeight => html! {
            path.ink d={ "M" (n(x)) " " (n(y)) "V" (n(bottom - 13.0)) } {}
            circle.pivot cx=(n(x)) cy=(n(y)) r="4" {}
            circle.ink cx=(n(x)) cy=(n(bottom - 7.0)) r="6" {}
        },
        Method::SupportScale => html! {
            path.device d={
                "M" (n(x)) " " (n(y)) "L" (n(x + 13.0)) " " (n(y + 26.0)) "V" (n(bottom - 8.0)) "H" (n(x - 13.0)) "V" (n(y + 26.0)) "Z"
            } {}
            path.device d={ "M" (n(x - 80.0)) " " (n(bottom)) "V" (n(bottom - 9.0)) "H" (n(x + 80.0)) "V" (n(bottom)) } {}
        },
        Method::BalanceBeam => beam(stand),
        Method::PartsList => html! {},
    }
}

fn beam(stand: &Stand<'_>) -> Markup {
    let (x, hinge, y) = (stand.device(), stand.frame.hinge, stand.frame.level);
    let beam = y - 62.0;
    let (x0, x1) = (x.min(hinge - 90.0) - 24.0, x.max(hinge + 90.0) + 24.0);
    html! {
        path.ink d={
            "M" (n(hinge - 46.0)) " " (n(beam)) "V" (n(y - HALF + 4.0)) "M" (n(hinge + 60.0)) " " (n(beam)) "V" (n(y - HALF + 4.0))
        } {}
        rect.device x=(n(x0)) y=(n(beam - 4.0)) width=(n(x1 - x0)) height="8" {}
        path.measured d={ "M" (n(x)) " 0V" (n(beam - 18.0)) } {}
        rect.slide x=(n(x - 16.0)) y=(n(beam - 18.0)) width="32" height="36" rx="2" {}
        path.ink d={ "M" (n(x)) " " (n(beam - 18.0)) "V" (n(beam + 18.0)) } {}
    }
}

/// The dimension line of the arm.
fn dimension(stand: &Stand<'_>) -> Markup {
    if stand.drawing.method == Method::PartsList {
        return html! {};
    }
    let (y, hinge, x) = (stand.frame.dimension, stand.frame.hinge, stand.device());
    let head = if x < hinge { -9.0 } else { 9.0 };
    let label = stand.drawing.method == Method::BalanceBeam;
    html! {
        path.measure d={ "M" (n(hinge)) " " (n(y - 10.0)) "V" (n(y + 10.0)) "M" (n(x)) " " (n(stand.frame.level + 8.0)) "V" (n(y + 10.0)) } {}
        path.measured d={ "M" (n(hinge)) " " (n(y)) "H" (n(x)) } {}
        path.arrow d={
            "M" (n(hinge)) " " (n(y)) "l" (n(head)) " -4v8ZM" (n(x)) " " (n(y)) "l" (n(-head)) " -4v8Z"
        } {}
        @if label && !stand.drawing.arm_label.is_empty() {
            text.measured-text x=(n((hinge + x) / 2.0)) y=(n(y - 8.0)) text-anchor="middle" { (stand.drawing.arm_label) }
        }
    }
}

fn stations(stand: &Stand<'_>) -> Markup {
    html! {
        @for (index, station) in stand.drawing.stations.iter().take(3).enumerate() {
            (self::station(stand, index, station))
        }
    }
}

/// A station on the chord under its number, and its words beside the same number: lines between the two would cross
/// the words of the others.
fn station(stand: &Stand<'_>, index: usize, station: &Station) -> Markup {
    let (x, level) = (stand.x(station.arm_m), stand.frame.level);
    let lines = [0.0, 1.0, 2.0];
    let (left, top) =
        (stand.frame.stations.0, stand.frame.stations.1 + lines.get(index).copied().unwrap_or(0.0) * 40.0);
    html! {
        (numbered(index, x, level))
        (numbered(index, left + 8.0, top - 5.0))
        text.label x=(n(left + 22.0)) y=(n(top)) {
            tspan.strong { (station.arm_label) }
            @if !stand.is_beam() { " · " (station.name) }
        }
        // The fields of a beam leave less room beside the words.
        @let below = if stand.is_beam() { [station.name.as_str(), station.note.as_str()] } else { ["", station.note.as_str()] };
        @let below: Vec<&str> = below.into_iter().filter(|words| !words.is_empty()).collect();
        @if !below.is_empty() { text.soft x=(n(left + 22.0)) y=(n(top + 18.0)) { (below.join(", ")) } }
    }
}

fn numbered(index: usize, x: f64, y: f64) -> Markup {
    html! {
        circle.station cx=(n(x)) cy=(n(y)) r="8" {}
        text.number x=(n(x)) y=(n(y + 4.0)) text-anchor="middle" { (index + 1) }
    }
}

/// Which way the surface tips when it is let go.
fn heavy(stand: &Stand<'_>) -> Markup {
    let drawing = stand.drawing;
    if drawing.heavy_label.is_empty() {
        return html! {};
    }
    let (x, y) = ((stand.trailing_edge() + 8.0).min(WIDTH - 12.0), stand.frame.level);
    let turn = match drawing.heavy {
        Heavy::TailHeavy => 1.0,
        Heavy::NoseHeavy => -1.0,
        Heavy::Balanced => 0.0,
    };
    let (left, top, anchor) = stand.frame.heavy;
    html! {
        @if turn != 0.0 {
            path.turn d={ "M" (n(x)) " " (n(y)) "v" (n(turn * 26.0)) } {}
            path.turn-head d={ "M" (n(x)) " " (n(y + turn * 38.0)) "l-6 " (n(turn * -13.0)) "h12Z" } {}
        }
        text.heavy x=(n(left)) y=(n(top)) text-anchor=(anchor) { (drawing.heavy_label) }
    }
}

fn scale_bar(stand: &Stand<'_>) -> Markup {
    let bar = &stand.drawing.scale_bar;
    let top = matches!(stand.drawing.method, Method::HungWeight | Method::SupportScale);
    let y = if top { 16.0 } else { stand.frame.foot() + 10.0 };
    if bar.label.is_empty() {
        return html! { text.soft x="792" y=(n(y + 5.0)) text-anchor="end" { "sketch, not to scale yet" } };
    }
    let length = bar.length_m * stand.scale;
    let x0 = WIDTH - 12.0 - length;
    html! {
        rect.bar x=(n(x0)) y=(n(y - 4.0)) width=(n(length)) height="6" {}
        rect.bar-half x=(n(x0)) y=(n(y - 4.0)) width=(n(length / 2.0)) height="6" {}
        text.soft x=(n(x0 - 8.0)) y=(n(y + 5.0)) text-anchor="end" { (bar.label) @if !top { " · outline schematic, arms to scale" } }
    }
}
