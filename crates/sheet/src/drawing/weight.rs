//! A balance weight on paper: its section and its view from ahead to scale, with dimensions.
//!
//! Main function: [`weight_views`]. [`weight_picture`] draws its surface as seen from ahead, inboard and above, and
//! [`template_sheets`] its shapes at true size. All take plain numbers in metres and finished labels: x aft, y outboard,
//! z up, counted from the hinge line. Each row of dimensions has a level of its own, so that no label covers another.
//! Not covered: sections that change along the span, which are drawn by their largest outline.

mod depths;
mod dimension;
mod hatch;
mod key;
mod picture;
mod section;
mod span;
mod template;

use maud::Markup;
use serde::{Deserialize, Serialize};

use self::key::Key;
use super::Canvas;
use super::ScaleBar;
use super::pen::Pen;
use super::text::{Block, Face};
use crate::error::within;
use crate::{Palette, SheetError};

pub use picture::{WeightPicture, weight_picture};
pub(crate) use template::BARS;
pub use template::{TemplateShape, TemplateSheet, Templates, check_bars, template_sheets};

/// Places that can be drawn.
const PLACE: (f64, f64, &str) = (-100.0, 100.0, "-100 m to 100 m");

/// Of which surface a piece is; places are given outboard positive for both.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Hand {
    /// A right-hand surface: seen from ahead, outboard is to the left.
    #[default]
    Right,
    /// A left-hand surface: the mirror image.
    Left,
    /// The piece is its own mirror image, so that nothing need be said.
    Either,
    /// A piece whose file says how it lies: y is to the right as the pilot sits, on whichever side that is.
    AsDrawn,
}

/// How a part of the piece goes along the hinge line.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Profile {
    /// The section drawn out along the hinge line.
    #[default]
    Drawn,
    /// The section turned about an axis that lies fore and aft.
    Turned,
    /// Any body: the rings are the box around it, and it is drawn by its surface.
    Body,
}

/// A part of the piece: a section from one place along the hinge line to another.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Figure {
    /// Closed rings of places x, z in m; the first is the outside, the others are holes in the section.
    pub rings: Vec<Vec<[f64; 2]>>,
    /// Where it begins, y in m.
    pub from_y: f64,
    /// Where it ends, y in m.
    pub to_y: f64,
    /// How it goes along.
    pub profile: Profile,
}

/// Which way a hole goes.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Bore {
    /// From the front aft; x of its mouth is not used.
    #[default]
    Aft,
    /// From the top down; z is not used.
    Down,
    /// From below up; z is not used.
    Up,
    /// From the inboard end outboard; y is not used.
    Outboard,
}

/// The wider mouth of a hole: a counterbore, or a countersink, which narrows.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
pub struct HoleHead {
    /// Its diameter in the face, m.
    pub face_m: f64,
    /// Its diameter where the hole goes on alone, m.
    pub floor_m: f64,
    /// How deep that is, m.
    pub depth_m: f64,
}

/// A hole.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct WeightHole {
    /// Which way it goes.
    pub bore: Bore,
    /// The middle of its mouth, x, y, z in m.
    pub mouth: [f64; 3],
    /// Its diameter, m.
    pub diameter_m: f64,
    /// The depth of its full diameter, m; none goes through the first wall.
    pub depth_m: Option<f64>,
    /// Its wider mouth, where it has one.
    pub head: Option<HoleHead>,
    /// Its place from the inboard end and what it is, such as "1.000 in: no. 10 screw, dia. 0.193 in".
    pub label: String,
}

/// Where the piece is parted.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PartingLine {
    /// It is cast in one.
    #[default]
    Whole,
    /// At a height, z in m.
    AtHeight(f64),
    /// At half its span.
    MidSpan,
}

/// A length from one x to another, with its label.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Measure {
    /// One end, x in m.
    pub from_m: f64,
    /// The other end, x in m.
    pub to_m: f64,
    /// The label, such as "thickness 0.213 in".
    pub label: String,
}

/// The space that the piece keeps within; what is none is not drawn.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct SpaceLimits {
    /// The foremost x, m, so as a rule negative.
    pub forward_x_m: Option<f64>,
    /// The highest z, m.
    pub above_z_m: Option<f64>,
    /// The lowest z, m.
    pub below_z_m: Option<f64>,
    /// The largest distance from the hinge line, m.
    pub swing_m: Option<f64>,
    /// The limits in words, for the key; may be empty.
    pub label: String,
}

/// What [`weight_views`] draws.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct WeightDrawing {
    /// What the piece is, such as "new cap, lead".
    pub name: String,
    /// The piece, part by part; one at least.
    pub figures: Vec<Figure>,
    /// Its surface, where a part of it is a body: triangles counterclockwise as seen from outside, x, y, z in m.
    pub surface: Vec<[[f64; 3]; 3]>,
    /// Of which surface it is.
    pub hand: Hand,
    /// The front of the old weight as traced, places x, z in m; may be empty.
    pub old: Vec<[f64; 2]>,
    /// What the old weight is, for the key.
    pub old_label: String,
    /// Its holes.
    pub holes: Vec<WeightHole>,
    /// Where it is parted.
    pub parting: PartingLine,
    /// The centre of gravity of the finished piece, x and z in m.
    pub centre_m: [f64; 2],
    /// The arm of the centre of gravity as a label, such as "centre of gravity 6.42 in forward".
    pub arm_label: String,
    /// The forward reach as a label, such as "front 6.76 in forward".
    pub reach_label: String,
    /// The height as a label.
    pub height_label: String,
    /// The thickness of the wall or the depth.
    pub size: Option<Measure>,
    /// The span as a label.
    pub span_label: String,
    /// The space that it keeps within.
    pub limits: SpaceLimits,
    /// The bar by which the scale of the section can be verified.
    pub scale_bar: ScaleBar,
}

/// The least and the greatest corner of a box.
#[derive(Debug, Clone, Copy)]
struct Extent {
    low: [f64; 2],
    high: [f64; 2],
}

impl Extent {
    fn of<'a>(points: impl IntoIterator<Item = &'a [f64; 2]>) -> Self {
        let none = Self { low: [f64::INFINITY; 2], high: [f64::NEG_INFINITY; 2] };
        points.into_iter().fold(none, |extent, point| extent.with(*point))
    }
    fn with(self, [u, v]: [f64; 2]) -> Self {
        let ([a, b], [c, d]) = (self.low, self.high);
        Self { low: [a.min(u), b.min(v)], high: [c.max(u), d.max(v)] }
    }
    fn size(&self) -> [f64; 2] {
        [self.high[0] - self.low[0], self.high[1] - self.low[1]]
    }
}

impl WeightDrawing {
    fn piece(&self) -> Extent {
        Extent::of(self.figures.iter().flat_map(|figure| figure.rings.iter().flatten()))
    }
    /// Where it begins and ends along the hinge line.
    fn span(&self) -> (f64, f64) {
        let from = self.figures.iter().map(|figure| figure.from_y).fold(f64::INFINITY, f64::min);
        let to = self.figures.iter().map(|figure| figure.to_y).fold(f64::NEG_INFINITY, f64::max);
        (from, to)
    }
    /// Whether it is drawn by its surface.
    fn is_body(&self) -> bool {
        self.figures.iter().any(|figure| figure.profile == Profile::Body)
    }
    /// The part in the middle of the span, by which the section is drawn.
    fn middle(&self) -> Option<&Figure> {
        let (from, to) = self.span();
        let middle = f64::midpoint(from, to);
        self.figures
            .iter()
            .find(|figure| figure.from_y <= middle && middle <= figure.to_y)
            .or(self.figures.first())
    }
}

/// Draws a balance weight: the section with the old weight and the hinge line, forward to the left; the view from ahead,
/// and the view from above where holes begin there; the key. A body is seen from its side in place of the section.
///
/// The section is to the scale of its bar; where the hinge line is far it is drawn nearer, behind a break, and the label
/// says the true arm.
///
/// # Errors
/// - [`SheetError::Number`] when there is no piece, or a place or the bar is not finite or beyond what can be drawn.
pub fn weight_views(
    drawing: &WeightDrawing,
    palette: &Palette,
    canvas: Canvas,
) -> Result<Markup, SheetError> {
    check(drawing)?;
    let mut pen = Pen::new(palette, canvas);
    let em = pen.em();
    let mut level = 0.3 * em;
    level = section::draw(&mut pen, drawing, canvas, level) + 0.9 * em;
    level = span::draw(&mut pen, drawing, canvas, span::View::Front, level);
    let is_bored = drawing.holes.iter().any(|hole| matches!(hole.bore, Bore::Down | Bore::Up));
    if is_bored || drawing.is_body() {
        level = span::draw(&mut pen, drawing, canvas, span::View::Above, level + 0.9 * em);
    }
    level = Key::new(&pen, drawing, canvas).draw(&mut pen, level + 0.7 * em);
    Ok(pen.finish(level + 0.3 * em, &in_words(drawing)))
}

fn check(drawing: &WeightDrawing) -> Result<(), SheetError> {
    let place = |field: &str, value: f64| within("weight", field.into(), value, "m", PLACE);
    for figure in &drawing.figures {
        figure.rings.iter().flatten().flatten().try_for_each(|value| place("outline", *value))?;
        place("start", figure.from_y)?;
        let after = (figure.from_y + 1e-6, PLACE.1, "after its start, up to 100 m");
        within("weight", "end".into(), figure.to_y, "m", after)?;
    }
    let corners = drawing.figures.iter().flat_map(|figure| figure.rings.first()).map(Vec::len).min();
    let least = if corners.is_some_and(|count| 3 <= count) { 1.0 } else { f64::NAN };
    within("weight", "outline".into(), least, "", (0.0, 1.0, "rings of 3 corners or more"))?;
    let [width, height] = drawing.piece().size();
    let sized = (1e-5, 100.0, "0.00001 m to 100 m");
    within("weight", "depth".into(), width, "m", sized)?;
    within("weight", "height".into(), height, "m", sized)?;
    let count = u32::try_from(drawing.surface.len()).map_or(f64::INFINITY, f64::from);
    within("weight", "number of triangles".into(), count, "", picture::MOST_DRAWN)?;
    drawing.surface.iter().flatten().flatten().try_for_each(|value| place("surface", *value))?;
    drawing.old.iter().flatten().try_for_each(|value| place("old weight", *value))?;
    drawing.centre_m.iter().try_for_each(|value| place("centre of gravity", *value))?;
    for hole in &drawing.holes {
        check_mouth(drawing, hole)?;
        within("weight", "diameter of a hole".into(), hole.diameter_m, "m", (0.0, 100.0, "0 m to 100 m"))?;
        place("depth of a hole", hole.depth_m.unwrap_or(0.0))?;
        let head = hole.head.unwrap_or_default();
        for diameter in [head.face_m, head.floor_m] {
            within("weight", "diameter of a mouth".into(), diameter, "m", (0.0, 100.0, "0 m to 100 m"))?;
        }
        place("depth of a mouth", head.depth_m)?;
    }
    if let Some(measure) = &drawing.size {
        place("dimension", measure.from_m)?;
        place("dimension", measure.to_m)?;
    }
    let limits = &drawing.limits;
    for limit in
        [limits.forward_x_m, limits.above_z_m, limits.below_z_m, limits.swing_m].into_iter().flatten()
    {
        place("limit", limit)?;
    }
    within("weight", "scale bar".into(), drawing.scale_bar.length_m, "m", (1e-4, 100.0, "0.0001 m to 100 m"))
}

/// Refuses a hole that does not begin in the box around the piece.
fn check_mouth(drawing: &WeightDrawing, hole: &WeightHole) -> Result<(), SheetError> {
    let (piece, (from, to)) = (drawing.piece(), drawing.span());
    let [x, y, z] = hole.mouth;
    let fore_and_aft = (x, piece.low[0], piece.high[0]);
    let along = (y, from, to);
    let upright = (z, piece.low[1], piece.high[1]);
    let places = match hole.bore {
        Bore::Aft => [along, upright],
        Bore::Down | Bore::Up => [fore_and_aft, along],
        Bore::Outboard => [fore_and_aft, upright],
    };
    places.into_iter().try_for_each(|(value, low, high)| {
        within("weight", "mouth of a hole".into(), value, "m", (low - 1e-6, high + 1e-6, "within the piece"))
    })
}

/// A heading over a view.
fn heading(pen: &mut Pen, text: &str, canvas: Canvas, level: f64) -> f64 {
    let block = Block::plain(text, Face::SOFT, canvas.width - pen.em(), pen.lettering());
    pen.label(&block, 0.5 * pen.em(), level, super::pen::Anchor::Start);
    level + block.height() + 0.3 * pen.em()
}

/// The drawing in one sentence.
pub(crate) fn in_words(drawing: &WeightDrawing) -> String {
    let mut words = format!("Drawing of the balance weight to scale, forward to the left: {}", drawing.name);
    let size = drawing.size.as_ref().map_or("", |size| size.label.as_str());
    let labels = [&drawing.arm_label, &drawing.reach_label, &drawing.height_label, &drawing.span_label];
    for label in labels.into_iter().map(String::as_str).chain([size]).filter(|label| !label.is_empty()) {
        words.push_str(", ");
        words.push_str(label);
    }
    match drawing.parting {
        PartingLine::Whole => {}
        PartingLine::AtHeight(_) => words.push_str("; cast in an upper and a lower half"),
        PartingLine::MidSpan => words.push_str("; cast in an inboard and an outboard half"),
    }
    for hole in &drawing.holes {
        words.push_str("; hole at ");
        words.push_str(&hole.label);
    }
    words
}
