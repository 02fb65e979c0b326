//! The bench in side view, to scale from the numbers.
//!
//! Main function: [`bench()`]. It first plans the places along the chord ([`Plan`]), then measures what stands
//! above and below the surface, then fixes the levels, and only then draws. The outline, the stand and the
//! devices are schematic; arms, the second angle and the scale bar are to scale.

mod device;
mod foot;
mod key;
mod plan;
mod rows;
mod surface;
mod tilt;

use maud::Markup;
use serde::{Deserialize, Serialize};

use self::device::Device;
use self::key::Key;
use self::plan::{Levels, Plan};
use self::rows::{Direction, RowSpec, Rows};
use self::tilt::Tilt;
use super::Canvas;
use super::pen::Pen;
use super::text::{Face, run};
use crate::error::within;
use crate::{Palette, SheetError};

/// Arms that can be drawn.
const ARM: (f64, f64, &str) = (-100.0, 100.0, "-100 m to 100 m");

/// Second angles that can be drawn: up to a right angle either way.
const ANGLE: (f64, f64, &str) = (-1.571, 1.571, "-90° to 90°, given in rad");

/// Scale bars that can be drawn.
const SCALE_BAR: (f64, f64, &str) = (1e-4, 100.0, "0.0001 m to 100 m");

/// How the static moment was measured; decides which device is drawn.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Method {
    /// A hanging scale with a sling at the arm.
    #[default]
    TrailingEdgeScale,
    /// A known mass hung at the arm.
    HungWeight,
    /// A mass that slides along a beam.
    BalanceBeam,
    /// A platform scale under a support at the arm.
    SupportScale,
    /// Calculated from parts; no device.
    PartsList,
    /// A hanging scale, level and at a second angle.
    TwoAttitudes,
}

/// Which way the surface tips.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Heavy {
    /// The trailing edge drops.
    TailHeavy,
    /// The trailing edge rises.
    NoseHeavy,
    /// Neither.
    #[default]
    Balanced,
}

/// A place where mass may be added or taken away.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Station {
    /// Name, as the shop calls it.
    pub name: String,
    /// Arm from the hinge line, m, aft positive.
    pub arm_m: f64,
    /// The arm as a label, such as "6.5 in forward".
    pub arm_label: String,
    /// A further line, such as "add 3.63 lb"; may be empty.
    pub note: String,
}

/// A part on the list of a calculated moment.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Part {
    /// Arm from the hinge line, m, aft positive.
    pub arm_m: f64,
    /// The line of the key under the drawing, such as "new rib 4, 0.42 lb at 9 1/2 in".
    pub label: String,
}

/// A bar of known length, by which the drawing's scale can be verified.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct ScaleBar {
    /// Length, m.
    pub length_m: f64,
    /// The length as a label, such as "5 in".
    pub label: String,
}

/// The second attitude of a weighing in two attitudes.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct SecondAttitude {
    /// Angle from level, rad, positive with the trailing edge down.
    pub angle_rad: f64,
    /// The label, such as "30° trailing edge down: 1.12 lb".
    pub label: String,
}

/// What [`bench()`] draws. Every arm is signed: aft of the hinge line positive, ahead of it negative.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct BenchDrawing {
    /// How the moment was measured.
    pub method: Method,
    /// Arm of the device, m, aft positive; not used for a parts list.
    pub arm_m: f64,
    /// The arm as a label, such as "17 1/4 in".
    pub arm_label: String,
    /// What the device shows, such as "1.31 lb"; may be empty.
    pub reading_label: String,
    /// Which device, such as "scale S-2"; may be empty.
    pub device_label: String,
    /// Where mass may be added or taken away.
    pub stations: Vec<Station>,
    /// Which way the surface tips.
    pub heavy: Heavy,
    /// A line under the word at the arrow, such as "21.6 in-lb"; the word itself, at its end, is not repeated;
    /// may be empty.
    pub heavy_label: String,
    /// The second attitude, drawn for [`Method::TwoAttitudes`].
    pub second: Option<SecondAttitude>,
    /// The parts, drawn for [`Method::PartsList`].
    pub parts: Vec<Part>,
    /// The scale bar.
    pub scale_bar: ScaleBar,
    /// Arm of the nose, m, aft positive (so it is negative); where unknown a schematic nose is drawn.
    pub nose_m: Option<f64>,
    /// Arm of the trailing edge, m, aft positive; where unknown a schematic one is drawn.
    pub trailing_edge_m: Option<f64>,
}

/// Draws the bench in side view, nose to the left, arms to scale.
///
/// The outline is schematic, and the drawing says so. Dimension lines are stacked outwards from the surface, the
/// shorter arm nearer to it: stations ahead of the hinge line above, all others and the device's arm below.
///
/// # Errors
/// - [`SheetError::Number`] when an arm, the angle or the scale bar is not finite or beyond what can be drawn,
///   or when the trailing edge is not aft of the nose.
pub fn bench(drawing: &BenchDrawing, palette: &Palette, canvas: Canvas) -> Result<Markup, SheetError> {
    check(drawing)?;
    let mut pen = Pen::new(palette, canvas);
    let tilt = Tilt::new(&pen, drawing, canvas);
    let plan = Plan::new(drawing, tilt.margins(), canvas);
    let device = Device::new(&pen, drawing, &plan);
    let (above, below) = rows(&pen, drawing, &plan, &device);
    let key = Key::new(&pen, drawing, &plan, canvas);
    let levels = Levels::new(&pen, &plan, &[&above, &below], &device, &key, &tilt);
    surface::second(&mut pen, drawing, &plan, &levels);
    surface::table(&mut pen, &plan, &levels, canvas);
    device.draw_behind(&mut pen, &plan, &levels);
    surface::outline(&mut pen, drawing, &plan, &levels);
    above.draw(&mut pen, &plan, levels.above, &levels);
    below.draw(&mut pen, &plan, levels.below, &levels);
    surface::hinge(&mut pen, &plan, &levels, &device.lines_above(&plan));
    device.draw(&mut pen, &levels);
    tilt.draw(&mut pen, &plan, &levels);
    key.draw_blocks(&mut pen, &levels);
    let foot = foot::draw(&mut pen, drawing, &plan, levels.foot, canvas);
    let bottom = key.draw_list(&mut pen, foot, canvas);
    Ok(pen.finish(bottom + 0.3 * canvas.text, &in_words(drawing)))
}

fn check(drawing: &BenchDrawing) -> Result<(), SheetError> {
    let arm = |field: String, value: f64| within("bench", field, value, "m", ARM);
    arm("arm".into(), drawing.arm_m)?;
    for station in &drawing.stations {
        arm(format!("arm of station {}", station.name), station.arm_m)?;
    }
    for part in &drawing.parts {
        arm(format!("arm of part {}", part.label), part.arm_m)?;
    }
    let nose = drawing.nose_m.unwrap_or(-ARM.1);
    arm("nose".into(), nose)?;
    let aft_of_nose = (nose, ARM.1, "aft of the nose, up to 100 m from the hinge line");
    within("bench", "trailing edge".into(), drawing.trailing_edge_m.unwrap_or(ARM.1), "m", aft_of_nose)?;
    let angle = drawing.second.as_ref().map_or(0.0, |second| second.angle_rad);
    within("bench", "second angle".into(), angle, "rad", ANGLE)?;
    within("bench", "scale bar".into(), drawing.scale_bar.length_m, "m", SCALE_BAR)
}

/// The rows of dimension lines above and below the surface.
fn rows(pen: &Pen, drawing: &BenchDrawing, plan: &Plan, device: &Device) -> (Rows, Rows) {
    let spec = |station: &Station| RowSpec {
        arm_m: station.arm_m,
        paragraphs: vec![
            vec![
                run(&station.arm_label, Face::STRONG),
                run("·", Face::SOFT),
                run(&station.name, Face::PLAIN),
            ],
            vec![run(&station.note, Face::SOFT)],
        ],
    };
    let (ahead, aft): (Vec<_>, Vec<_>) = drawing.stations.iter().partition(|station| station.arm_m < 0.0);
    let mut under: Vec<_> = aft.into_iter().map(spec).collect();
    if drawing.method != Method::PartsList {
        let label = vec![run(&drawing.arm_label, Face::MEASURED)];
        under.push(RowSpec { arm_m: drawing.arm_m, paragraphs: vec![label] });
    }
    let above =
        Rows::new(pen, ahead.into_iter().map(spec).collect(), plan, &device.lines_above(plan), Direction::Up);
    let stand = surface::stand_width(pen.em());
    let mut lines = device.lines_below();
    lines.push((plan.hinge - stand, plan.hinge + stand));
    (above, Rows::new(pen, under, plan, &lines, Direction::Down))
}

/// The drawing in one sentence.
pub(crate) fn in_words(drawing: &BenchDrawing) -> String {
    let device = match drawing.method {
        Method::TrailingEdgeScale => "hanging scale",
        Method::HungWeight => "hung weight",
        Method::BalanceBeam => "balance beam",
        Method::SupportScale => "platform scale under a support",
        Method::PartsList => "parts list",
        Method::TwoAttitudes => "hanging scale in two attitudes",
    };
    let side = match drawing.heavy {
        Heavy::TailHeavy => "tail-heavy",
        Heavy::NoseHeavy => "nose-heavy",
        Heavy::Balanced => "balanced",
    };
    let mut words = format!("Side view of the bench to scale, nose to the left: {device}");
    for label in [&drawing.device_label, &drawing.reading_label, &drawing.arm_label] {
        if !label.is_empty() {
            words.push_str(&format!(", {label}"));
        }
    }
    words.push_str(&format!("; {side} {}", drawing.heavy_label));
    for station in &drawing.stations {
        words.push_str(&format!("; {} {}", station.name, station.arm_label));
    }
    words
}
