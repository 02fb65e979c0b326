//! Where things are: along the chord by the arms, and up and down by the room that labels need.

use super::device::Device;
use super::key::Key;
use super::rows::Rows;
use super::tilt::Tilt;
use super::{BenchDrawing, Method};
use crate::drawing::Canvas;
use crate::drawing::pen::Pen;

/// The longest the scale bar may be drawn, as a part of the width.
const LONGEST_BAR: f64 = 0.5;

/// The most that a tilted surface may reach up or down, as a part of the width.
const DEEPEST_TILT: f64 = 0.26;

/// Places along the chord.
#[derive(Debug)]
pub(in crate::drawing) struct Plan {
    /// Units of the view box for one metre.
    pub(super) scale: f64,
    /// Place of the hinge line.
    pub(super) hinge: f64,
    /// Arm of the nose, known or schematic.
    nose_m: f64,
    /// Arm of the trailing edge, known or schematic.
    trailing_edge_m: f64,
    /// Left end of the room for labels.
    pub(super) left: f64,
    /// Right end of the room for labels.
    pub(super) right: f64,
    /// The second angle, where one is drawn.
    pub(super) second_rad: f64,
}

impl Plan {
    /// Fits all arms between the margins, to one scale.
    pub(super) fn new(drawing: &BenchDrawing, margins: (f64, f64), canvas: Canvas) -> Self {
        let arms = arms(drawing);
        let ahead = arms.iter().copied().fold(0.0, f64::min);
        let aft = arms.iter().copied().fold(0.0, f64::max);
        let trailing_edge_m = drawing.trailing_edge_m.unwrap_or_else(|| schematic_edge(ahead, aft, drawing));
        let nose_m = drawing.nose_m.unwrap_or(-0.16 * trailing_edge_m.abs()).min(trailing_edge_m);
        let (low, high) = (ahead.min(nose_m), aft.max(trailing_edge_m));
        let second_rad = match (drawing.method, &drawing.second) {
            (Method::TwoAttitudes, Some(second)) => second.angle_rad,
            _ => 0.0,
        };
        let (left, right) = (margins.0, canvas.width - margins.1);
        let inset = 1.2 * canvas.text;
        let (first, last) = (left + inset, right - inset);
        let depth = (second_rad.sin() * trailing_edge_m.max(-nose_m)).abs();
        let by_bar = LONGEST_BAR * canvas.width / drawing.scale_bar.length_m;
        let scale = ((last - first) / (high - low)).min(by_bar).min(DEEPEST_TILT * canvas.width / depth);
        let hinge = (first + last - (low + high) * scale) / 2.0;
        Self { scale, hinge, nose_m, trailing_edge_m, left, right, second_rad }
    }

    /// Where an arm ends.
    pub(super) fn x(&self, arm_m: f64) -> f64 {
        self.hinge + arm_m * self.scale
    }

    /// Where the nose is.
    pub(super) fn nose(&self) -> f64 {
        self.x(self.nose_m)
    }

    /// Where the trailing edge is.
    pub(super) fn trailing_edge(&self) -> f64 {
        self.x(self.trailing_edge_m)
    }

    /// Half the thickness of the schematic outline.
    pub(super) fn half_thickness(&self, em: f64) -> f64 {
        (0.055 * (self.trailing_edge() - self.nose())).clamp(0.55 * em, 1.7 * em)
    }

    /// How far the tilted surface reaches above and below the hinge line.
    fn tilt_reach(&self) -> (f64, f64) {
        let aft = self.second_rad.sin() * self.trailing_edge_m * self.scale;
        let ahead = self.second_rad.sin() * self.nose_m * self.scale;
        (-aft.min(ahead).min(0.0), aft.max(ahead).max(0.0))
    }
}

fn arms(drawing: &BenchDrawing) -> Vec<f64> {
    let mut arms: Vec<_> = drawing.stations.iter().map(|station| station.arm_m).collect();
    if drawing.method == Method::PartsList {
        arms.extend(drawing.parts.iter().map(|part| part.arm_m));
    } else {
        arms.push(drawing.arm_m);
    }
    arms
}

/// A trailing edge where none is known: just aft of the aftmost arm; where the device does not bear on it, also
/// in proportion to what is ahead.
fn schematic_edge(ahead: f64, aft: f64, drawing: &BenchDrawing) -> f64 {
    let bears = matches!(drawing.method, Method::TrailingEdgeScale | Method::TwoAttitudes);
    if bears && 0.0 < aft {
        return 1.03 * aft;
    }
    let edge = (1.03 * aft).max(-1.6 * ahead);
    if 0.0 < edge { edge } else { 2.0 * drawing.scale_bar.length_m }
}

/// Places up and down, from the top of the view box.
#[derive(Debug)]
pub(in crate::drawing) struct Levels {
    /// Top of the device's box above the surface.
    pub(super) device_above: f64,
    /// Top of the rows above the surface.
    pub(super) rows_top: f64,
    /// Where the rows above the surface begin, going up.
    pub(super) above: f64,
    /// The hinge line.
    pub(super) hinge: f64,
    /// Half the thickness of the surface.
    pub(super) half: f64,
    /// Where the rows below the surface begin, going down.
    pub(super) below: f64,
    /// Top of the device below the surface.
    pub(super) device_below: f64,
    /// The table.
    pub(super) table: f64,
    /// Top of what stands under the table.
    pub(super) foot: f64,
}

impl Levels {
    /// Stacks everything, from the top down.
    pub(super) fn new(
        pen: &Pen,
        plan: &Plan,
        rows: &[&Rows; 2],
        device: &Device,
        key: &Key,
        tilt: &Tilt,
    ) -> Self {
        let em = pen.em();
        let half = plan.half_thickness(em);
        let reach = plan.tilt_reach();
        let device_above = 0.4 * em;
        let room = (half + 0.8 * em + key.blocks_height() + device.beam_height()).max(1.9 * em);
        let above = device_above + device.height_above().max(1.3 * em) + rows[0].height().max(reach.0);
        let rows_top = above - rows[0].height();
        let hinge = above + room;
        let below = hinge + (half + 0.8 * em).max(1.5 * em);
        let device_below = below + rows[1].height();
        let table = (device_below + device.height_below() + 0.9 * em)
            .max(hinge + 5.5 * em)
            .max(hinge + reach.1 + 1.5 * em)
            .max(tilt.bottom(hinge) + 0.5 * em);
        Self {
            device_above,
            rows_top,
            above,
            hinge,
            half,
            below,
            device_below,
            table,
            foot: table + 1.4 * em,
        }
    }
}
