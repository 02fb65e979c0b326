//! The measuring device, by method.
//!
//! Main type: [`Device`]. What it shows and its name stand in a box: above the surface for a hanging scale and
//! a beam, below it for a hung mass and a platform scale. The box follows the arm as far as the page allows;
//! the line to it always stands at the arm.

use super::plan::{Levels, Plan};
use super::surface::stand_width;
use super::{BenchDrawing, Method};
use crate::drawing::pen::{Anchor, Paint, Pen, Rect, Stroke, polyline};
use crate::drawing::text::{Block, Face, run};

/// The device with its box placed along the chord.
pub(super) struct Device {
    method: Method,
    block: Block,
    /// Place of the arm.
    arm: f64,
    /// Left end of the box.
    left: f64,
    em: f64,
}

impl Device {
    /// Wraps what the box says and places it.
    pub(super) fn new(pen: &Pen, drawing: &BenchDrawing, plan: &Plan) -> Self {
        let em = pen.em();
        let paragraphs =
            [vec![run(&drawing.reading_label, Face::MEASURED)], vec![run(&drawing.device_label, Face::SOFT)]];
        let width = (0.5 * (plan.right - plan.left)).min(22.0 * em);
        let block = Block::wrap(&paragraphs, width, pen.lettering());
        let mut device = Self { method: drawing.method, block, arm: plan.x(drawing.arm_m), left: 0.0, em };
        device.left = device.box_left(plan);
        device
    }

    fn box_width(&self) -> f64 {
        (self.block.width + 1.4 * self.em).max(4.0 * self.em)
    }

    fn box_height(&self) -> f64 {
        self.block.height().max(1.2 * self.em) + 0.7 * self.em
    }

    fn is_above(&self) -> bool {
        matches!(self.method, Method::TrailingEdgeScale | Method::TwoAttitudes | Method::BalanceBeam)
    }

    fn is_below(&self) -> bool {
        matches!(self.method, Method::HungWeight | Method::SupportScale)
    }

    /// Over or under the arm, inside the drawing, and clear of the stand where it stands on the table.
    fn box_left(&self, plan: &Plan) -> f64 {
        let width = self.box_width();
        let left = self.arm - width / 2.0;
        let clear = 2.3 * self.em;
        let left = match self.is_below() {
            true if self.arm < plan.hinge => left.min(plan.hinge - clear - width),
            true => left.max(plan.hinge + clear),
            false => left,
        };
        left.clamp(plan.left, (plan.right - width).max(plan.left))
    }

    /// Height of the room above the rows.
    pub(super) fn height_above(&self) -> f64 {
        if self.is_above() { self.box_height() + 1.4 * self.em } else { 0.0 }
    }

    /// Height of the room between the rows and the table.
    pub(super) fn height_below(&self) -> f64 {
        match self.method {
            Method::HungWeight => self.box_height() + 2.0 * self.em,
            Method::SupportScale => self.box_height() + 0.9 * self.em,
            _ => 0.0,
        }
    }

    /// Height of the beam over the surface.
    pub(super) fn beam_height(&self) -> f64 {
        if self.method == Method::BalanceBeam { 1.9 * self.em } else { 0.0 }
    }

    /// What of the device crosses the rows above the surface.
    pub(super) fn lines_above(&self, plan: &Plan) -> Vec<(f64, f64)> {
        let mut lines = vec![(plan.hinge, plan.hinge)];
        if self.is_above() {
            lines.push((self.arm, self.arm));
        }
        lines
    }

    /// What of the device crosses the rows below the surface.
    pub(super) fn lines_below(&self) -> Vec<(f64, f64)> {
        if self.is_below() { vec![(self.arm - 0.3 * self.em, self.arm + 0.3 * self.em)] } else { vec![] }
    }

    fn rect(&self, top: f64) -> Rect {
        Rect { x0: self.left, y0: top, x1: self.left + self.box_width(), y1: top + self.box_height() }
    }

    /// What stands behind the surface.
    pub(super) fn draw_behind(&self, pen: &mut Pen, plan: &Plan, levels: &Levels) {
        match self.method {
            Method::BalanceBeam => self.beam(pen, plan, levels),
            Method::SupportScale => self.support(pen, levels),
            _ => {}
        }
    }

    /// The device itself, before the surface.
    pub(super) fn draw(&self, pen: &mut Pen, levels: &Levels) {
        match self.method {
            Method::TrailingEdgeScale | Method::TwoAttitudes => self.hanging_scale(pen, levels),
            Method::BalanceBeam => self.sliding_mass(pen, levels),
            Method::HungWeight => self.hung_mass(pen, levels),
            Method::SupportScale => self.platform_scale(pen, levels),
            Method::PartsList => {}
        }
    }

    fn words(&self, pen: &mut Pen, rect: Rect) {
        let top = (rect.y0 + rect.y1 - self.block.height()) / 2.0;
        pen.label(&self.block, (rect.x0 + rect.x1) / 2.0, top, Anchor::Middle);
    }

    fn body(&self, pen: &mut Pen, rect: Rect) {
        pen.rect(rect, 0.35 * self.em, Stroke::OUTLINE, Paint::Ground);
        self.words(pen, rect);
    }

    /// A scale over the surface, with a hook and a sling round the section.
    fn hanging_scale(&self, pen: &mut Pen, levels: &Levels) {
        let (em, x) = (self.em, self.arm);
        let rect = self.rect(levels.device_above);
        let spread = 0.55 * em;
        let knot = levels.hinge - 1.7 * em;
        let outline = Stroke::of(Paint::Ink, 1.3);
        pen.line((x, rect.y1 + 0.6 * em), (x, knot), outline);
        let sling = [(x - spread, levels.hinge), (x, knot), (x + spread, levels.hinge)];
        pen.path(&polyline(&sling), outline, Paint::None);
        pen.line((x - spread, levels.hinge), (x + spread, levels.hinge), Stroke::OUTLINE);
        pen.circle((x, rect.y1 + 0.35 * em), 0.28 * em, outline, Paint::None);
        self.body(pen, rect);
    }

    fn beam_level(&self, levels: &Levels) -> f64 {
        levels.hinge - levels.half - 1.3 * self.em
    }

    /// The beam with the clamps that hold it to the surface.
    fn beam(&self, pen: &mut Pen, plan: &Plan, levels: &Levels) {
        let (em, y) = (self.em, self.beam_level(levels));
        let ahead = plan.hinge - 0.35 * (plan.hinge - plan.nose()).max(0.0);
        let aft = plan.hinge + 0.25 * (plan.trailing_edge() - plan.hinge).max(0.0);
        let x0 = (self.arm - 1.1 * em).min(ahead - 0.5 * em);
        let x1 = (self.arm + 1.1 * em).max(aft + 0.5 * em);
        for x in [ahead, aft] {
            pen.line((x, y), (x, levels.hinge), Stroke::of(Paint::Ink, 2.4));
        }
        let (top, bottom) = (y - 0.14 * em, y + 0.14 * em);
        pen.rect(Rect { x0, y0: top, x1, y1: bottom }, 0.0, Stroke::of(Paint::Ink, 1.1), Paint::Ground);
    }

    fn sliding_mass(&self, pen: &mut Pen, levels: &Levels) {
        let (em, x, y) = (self.em, self.arm, self.beam_level(levels));
        let rect = self.rect(levels.device_above);
        pen.line((x, rect.y1), (x, y - 0.6 * em), Stroke::of(Paint::Blue, 0.9));
        pen.line((x, y), (x, levels.hinge + 0.55 * em), Stroke::THIN);
        let mass = Rect { x0: x - 0.6 * em, y0: y - 0.6 * em, x1: x + 0.6 * em, y1: y + 0.6 * em };
        pen.rect(mass, 0.1 * em, Stroke::OUTLINE, Paint::Tint);
        pen.line((x, mass.y0), (x, mass.y1), Stroke::of(Paint::Ink, 0.8));
        pen.rect(rect, 0.35 * em, Stroke::of(Paint::Blue, 0.9), Paint::Ground);
        self.words(pen, rect);
    }

    /// A mass on a cord, wider below than above.
    fn hung_mass(&self, pen: &mut Pen, levels: &Levels) {
        let (em, x) = (self.em, self.arm);
        let rect = self.rect(levels.device_below + 1.2 * em);
        let outline = Stroke::of(Paint::Ink, 1.3);
        pen.line((x, levels.hinge), (x, rect.y0 - 0.5 * em), outline);
        let hook = x.clamp(rect.x0 + 0.5 * em, rect.x1 - 0.5 * em);
        pen.path(&polyline(&[(x, rect.y0 - 0.5 * em), (hook, rect.y0)]), outline, Paint::None);
        pen.circle((x, levels.hinge), 0.25 * em, outline, Paint::Ground);
        let slope = 0.35 * em;
        let points =
            [(rect.x0 + slope, rect.y0), (rect.x1 - slope, rect.y0), (rect.x1, rect.y1), (rect.x0, rect.y1)];
        pen.polygon(&points, Stroke::OUTLINE, Paint::Ground);
        self.words(pen, rect);
    }

    fn platform_top(&self, levels: &Levels) -> f64 {
        levels.table - self.box_height() - 0.35 * self.em
    }

    /// The support between the surface and the platform.
    fn support(&self, pen: &mut Pen, levels: &Levels) {
        let (em, x) = (self.em, self.arm);
        let half = stand_width(em) * 0.8;
        let bottom = self.platform_top(levels);
        let points = [
            (x, levels.hinge),
            (x + half, levels.hinge + 1.4 * em),
            (x + half, bottom),
            (x - half, bottom),
            (x - half, levels.hinge + 1.4 * em),
        ];
        pen.polygon(&points, Stroke::of(Paint::Ink, 1.3), Paint::Tint);
    }

    fn platform_scale(&self, pen: &mut Pen, levels: &Levels) {
        let (em, top) = (self.em, self.platform_top(levels));
        let rect = self.rect(levels.table - self.box_height());
        let (x0, x1) = (rect.x0.min(self.arm - 0.8 * em), rect.x1.max(self.arm + 0.8 * em));
        self.body(pen, rect);
        pen.rect(
            Rect { x0, y0: top, x1, y1: top + 0.35 * em },
            0.0,
            Stroke::of(Paint::Ink, 1.3),
            Paint::Tint,
        );
    }
}
