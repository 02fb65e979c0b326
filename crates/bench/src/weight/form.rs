//! Reading `[form]` and `[vary]`: what the piece is, and what of it may vary.
//!
//! Main functions: [`read_vary`], then [`read_form`], which asks for every dimension that does not vary. A piece
//! measured as a mesh is read by its own module.

use super::bounds::SIZE;
use super::mesh::{Files, MeshFile, read_mesh};
use super::place::{self, Trace};
use crate::fault::Fault;
use crate::fields::Fields;
use crate::words::in_unit;
use hingeline_ballast::design::{Dimension, Face, Form, NoseShape, Parting, Span, Vary};
use hingeline_ballast::outline::{Outline, Path, Point, Side};
use hingeline_quantity::{Entered, Length, Quantity, unit};
use std::f64::consts::{PI, TAU};

/// Most plates of a stack.
pub(super) const MOST_PLATES: u32 = 1000;

/// What may vary: a dimension, the number of plates, or nothing.
#[derive(Clone, Copy, PartialEq)]
enum What {
    Dimension(Dimension),
    Count,
    Nothing,
}

const WHATS: [(&str, What); 7] = [
    ("thickness", What::Dimension(Dimension::Thickness)),
    ("span", What::Dimension(Dimension::Span)),
    ("depth", What::Dimension(Dimension::Depth)),
    ("height", What::Dimension(Dimension::Height)),
    ("diameter", What::Dimension(Dimension::Diameter)),
    ("count", What::Count),
    ("nothing", What::Nothing),
];

/// What may vary, and the stock of plates as typed.
pub(super) type ReadVary = (Vary, Vec<(f64, String)>);

/// Reads `[vary]`.
pub(super) fn read_vary(fields: &Fields<'_>) -> Option<ReadVary> {
    let vary = match fields.choice("what", &WHATS)? {
        What::Dimension(dimension) => read_range(fields, dimension).map(|vary| (vary, Vec::new())),
        What::Count => read_stock(fields),
        What::Nothing => Some((Vary::Nothing, Vec::new())),
    };
    fields.finish();
    vary
}

fn read_range(fields: &Fields<'_>, dimension: Dimension) -> Option<Vary> {
    let least: Option<Entered<Length>> = fields.quantity("least", &SIZE);
    let most: Option<Entered<Length>> = fields.quantity("most", &SIZE);
    let (least, most) = (least?, most?);
    if least.value < most.value {
        return Some(Vary::Dimension { dimension, least: least.value.si(), most: most.value.si() });
    }
    let what = format!("vary: least {} is not below most {}", least.text, most.text);
    let fault = Fault::new(what, fields.span_of("least"));
    fields.push(fault.allowed("least below most").hint("change them over, or check their units"));
    None
}

fn read_stock(fields: &Fields<'_>) -> Option<ReadVary> {
    let stock: Option<Vec<(Entered<Length>, _)>> = fields.maybe_list("stock", &SIZE, "plate");
    let most = fields.maybe_count("most_plates", 1..=MOST_PLATES);
    for key in ["stock", "most_plates"].into_iter().filter(|key| !fields.has(key)) {
        let fault = Fault::new(format!("vary has no {key}"), fields.span_of(key));
        fields.push(fault.hint("add stock = [\"1/8 in\", \"1/4 in\"] and most_plates = 20"));
    }
    let typed: Vec<(f64, String)> =
        stock?.into_iter().map(|(thickness, _)| (thickness.value.si(), thickness.text)).collect();
    let stock: Vec<f64> = typed.iter().map(|(thickness, _)| *thickness).collect();
    if stock.is_empty() { None } else { Some((Vary::Plates { stock, most: most? }, typed)) }
}

/// What varies, while the form is read; none where `[vary]` itself is wrong.
pub(super) struct Free<'v>(pub(super) Option<&'v Vary>);

impl Free<'_> {
    /// A stand-in for a dimension that varies: its least value.
    fn stand_in(&self, wanted: Dimension) -> Option<f64> {
        match self.0 {
            Some(Vary::Dimension { dimension, least, .. }) if *dimension == wanted => Some(*least),
            _ => None,
        }
    }
    /// A dimension of the piece: it must be there, save where it varies.
    fn size(&self, fields: &Fields<'_>, key: &'static str, dimension: Dimension) -> Option<f64> {
        if self.0.is_none() || self.stand_in(dimension).is_some() {
            let given: Option<Entered<Length>> = fields.maybe(key, &SIZE);
            let wrong = given.is_none() && fields.has(key);
            return given.map(|given| given.value.si()).or(self.stand_in(dimension)).filter(|_| !wrong);
        }
        if !fields.has(key) {
            let fault = Fault::new(format!("form has no {key}"), fields.span_of(key));
            let vary = dimension.name();
            fields.push(
                fault.hint(format!("add {key} = \"1/2 in\", or let it vary: [vary] with what = \"{vary}\"")),
            );
        }
        let given: Option<Entered<Length>> = fields.maybe(key, &SIZE);
        given.map(|given| given.value.si())
    }
    fn span(&self, fields: &Fields<'_>) -> Option<Span> {
        let length = self.size(fields, "span", Dimension::Span);
        let from = place::along(fields, "from");
        Some(Span { from: from?, length: length? })
    }
}

fn size(fields: &Fields<'_>, key: &'static str) -> Option<f64> {
    let given: Option<Entered<Length>> = fields.quantity(key, &SIZE);
    given.map(|given| given.value.si())
}

/// The kinds of `[form]`, with the words of a sheet.
#[derive(Clone, Copy)]
pub(super) enum Kind {
    Cap,
    Bar,
    RoundBar,
    Nose(NoseShape),
    RingSegment,
    Outline,
    Plates,
    Frustum,
    Mesh,
}

const KINDS: [(&str, Kind); 11] = [
    ("cap", Kind::Cap),
    ("bar", Kind::Bar),
    ("round bar", Kind::RoundBar),
    ("half-round nose", Kind::Nose(NoseShape::HalfRound)),
    ("half-elliptic nose", Kind::Nose(NoseShape::HalfElliptic)),
    ("parabolic nose", Kind::Nose(NoseShape::Parabolic)),
    ("ring segment", Kind::RingSegment),
    ("outline", Kind::Outline),
    ("plates", Kind::Plates),
    ("frustum", Kind::Frustum),
    ("mesh", Kind::Mesh),
];

/// A form with what is said of it beside its dimensions.
pub(super) struct ReadForm {
    pub(super) form: Form,
    /// Its kind, in the words of the sheet.
    pub(super) kind: &'static str,
    pub(super) parting: Option<Parting>,
    pub(super) hand: Hand,
    /// The file that it was measured from.
    pub(super) mesh: Option<MeshFile>,
}

/// Of which surface a piece is: along the hinge line one is the mirror image of the other, and all numbers are alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Hand {
    /// Outboard is to the right, looking forward.
    #[default]
    Right,
    /// Outboard is to the left.
    Left,
}

const HANDS: [(&str, Hand); 2] = [("right", Hand::Right), ("left", Hand::Left)];

/// A kind with its word.
pub(super) type KindWord = (&'static str, Kind);

/// Reads the kind, on which all other keys depend.
pub(super) fn read_kind(fields: &Fields<'_>) -> Option<KindWord> {
    fields.choice("kind", &KINDS.map(|(word, kind)| (word, (word, kind))))
}

/// Reads `[form]`, all but how well it is made.
pub(super) fn read_form(
    fields: &Fields<'_>,
    (word, kind): KindWord,
    free: &Free<'_>,
    files: &Files<'_>,
) -> Option<ReadForm> {
    let hand = fields.maybe_choice("hand", &HANDS).unwrap_or_default();
    let form = match kind {
        Kind::Cap => read_cap(fields, free),
        Kind::Bar => read_bar(fields, free),
        Kind::RoundBar => read_round_bar(fields, free),
        Kind::Nose(shape) => read_nose(fields, free, shape),
        Kind::RingSegment => read_ring_segment(fields, free),
        Kind::Outline => read_section(fields, free),
        Kind::Plates => read_plates(fields, free),
        Kind::Frustum => read_frustum(fields, free),
        Kind::Mesh => {
            // What is measured is not parted, and nothing of it varies.
            refuse_hand(fields);
            let (form, mesh) = read_mesh(fields, files)?;
            return Some(ReadForm { form, kind: word, parting: None, hand, mesh: Some(mesh) });
        }
    };
    let halves =
        fields.maybe_choice("halves", &[("at mid height", Halves::Height), ("at mid span", Halves::Span)]);
    if halves.is_some() && matches!(kind, Kind::Frustum) {
        let fault = Fault::new("form, halves: a frustum is not parted", fields.span_of("halves"));
        fields.push(
            fault.allowed("halves of a piece of one section along the hinge line").hint("leave halves out"),
        );
        return None;
    }
    let form = form?;
    Some(ReadForm { parting: halves.map(|halves| halves.of(&form)), kind: word, form, hand, mesh: None })
}

/// A mesh is drawn as what it is: mirrored it would be another piece.
fn refuse_hand(fields: &Fields<'_>) {
    if fields.has("hand") {
        let fault = Fault::new("form, hand: a mesh is taken as it was drawn", fields.span_of("hand"));
        let fault = fault.allowed("hand of a piece that is given by its dimensions");
        fields.push(fault.hint("leave hand out; mirror the piece in the program that it comes from"));
    }
}

#[derive(Clone, Copy)]
enum Halves {
    Height,
    Span,
}

impl Halves {
    fn of(self, form: &Form) -> Parting {
        match self {
            Self::Height => Parting::AtHeight(mid_height(form)),
            Self::Span => Parting::MidSpan,
        }
    }
}

fn mid_height(form: &Form) -> f64 {
    let between = |[low, high]: [Point; 2]| f64::midpoint(low[1], high[1]);
    match form {
        Form::Cap { front, .. } => between(front.bounds()),
        Form::Bar { middle, .. } | Form::Nose { middle, .. } => *middle,
        Form::RoundBar { centre, .. } => centre[1],
        Form::RingSegment { centre, inner_radius, from_angle, over_angle, .. } => {
            // The inside, as of a cap: it stays as the thickness varies.
            let inside = Path::of_ring(*inner_radius, *from_angle, *over_angle);
            centre[1] + inside.map_or(0.0, |inside| between(inside.bounds()))
        }
        Form::Section { outline, .. } | Form::Plates { outline, .. } => between(outline.bounds()),
        Form::Frustum { rear, .. } => rear[2],
        Form::Measured { bounds: [low, high], .. } => f64::midpoint(low[2], high[2]),
    }
}

fn read_cap(fields: &Fields<'_>, free: &Free<'_>) -> Option<Form> {
    let trace = place::clear_trace(fields, "trace");
    let thickness = free.size(fields, "thickness", Dimension::Thickness);
    let span = free.span(fields);
    let end_walls: Option<Entered<Length>> = fields.maybe("end_walls", &SIZE);
    let end_walls = end_walls.map(|walls| walls.value.si());
    let Trace { path, points } = trace?;
    Some(Form::Cap { outside: outside(&points), front: path, thickness: thickness?, span: span?, end_walls })
}

/// The side of the trace that the cap lies on: the one that does not face the old weight.
///
/// The trace runs round the old weight, so its points and the line back to its start go counterclockwise about it where
/// it begins at the upper end; a straight trace is covered on its forward side.
fn outside(points: &[Point]) -> Side {
    let next = points.iter().cycle().skip(1);
    let twice: f64 = points.iter().zip(next).map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum();
    let (first, last) = (points.first(), points.last());
    let falls = first.zip(last).is_some_and(|(first, last)| last[1] < first[1]);
    let flat = twice.abs() <= 1e-12;
    if (flat && falls) || (!flat && 0.0 < twice) { Side::Right } else { Side::Left }
}

fn read_bar(fields: &Fields<'_>, free: &Free<'_>) -> Option<Form> {
    let depth = free.size(fields, "depth", Dimension::Depth);
    let height = free.size(fields, "height", Dimension::Height);
    let span = free.span(fields);
    let face = fields.choice("face", &[("rear", FaceWord::Rear), ("front", FaceWord::Front)]);
    let x = place::arm(fields);
    let middle = place::middle(fields, "middle");
    let face = match face? {
        FaceWord::Rear => Face::Rear(x?),
        FaceWord::Front => Face::Front(x?),
    };
    Some(Form::Bar { depth: depth?, height: height?, span: span?, face, middle: middle? })
}

#[derive(Clone, Copy)]
enum FaceWord {
    Rear,
    Front,
}

fn read_round_bar(fields: &Fields<'_>, free: &Free<'_>) -> Option<Form> {
    let diameter = free.size(fields, "diameter", Dimension::Diameter);
    let span = free.span(fields);
    let x = place::arm(fields);
    let middle = place::middle(fields, "middle");
    Some(Form::RoundBar { diameter: diameter?, span: span?, centre: [x?, middle?] })
}

fn read_nose(fields: &Fields<'_>, free: &Free<'_>, shape: NoseShape) -> Option<Form> {
    let (depth, height) = if shape == NoseShape::HalfRound {
        let by_depth = free.stand_in(Dimension::Depth).map(|depth| 2.0 * depth);
        let height = match by_depth {
            Some(height) => Some(height),
            None => free.size(fields, "height", Dimension::Height),
        };
        (height.map(|height| 0.5 * height), height)
    } else {
        (free.size(fields, "depth", Dimension::Depth), free.size(fields, "height", Dimension::Height))
    };
    let span = free.span(fields);
    let flat = place::arm(fields);
    let middle = place::middle(fields, "middle");
    Some(Form::Nose { shape, depth: depth?, height: height?, span: span?, flat: flat?, middle: middle? })
}

fn read_ring_segment(fields: &Fields<'_>, free: &Free<'_>) -> Option<Form> {
    let inner_radius = size(fields, "inner_radius");
    let thickness = free.size(fields, "thickness", Dimension::Thickness);
    let from_angle = place::direction(fields, "from_angle");
    let to_angle = place::direction(fields, "to_angle");
    let centre = place::centre(fields, "centre");
    let span = free.span(fields);
    Some(Form::RingSegment {
        over_angle: over(fields, from_angle?, to_angle?)?,
        from_angle: from_angle?,
        centre: centre?,
        inner_radius: inner_radius?,
        thickness: thickness?,
        span: span?,
    })
}

/// How far it is from one direction upwards and on to another, rad; half a turn at most.
fn over(fields: &Fields<'_>, from: f64, to: f64) -> Option<f64> {
    let over = (to - from).rem_euclid(TAU);
    if 0.0 < over && over <= PI + 1e-9 {
        return Some(over);
    }
    let typed = |key: &'static str| fields.maybe_text(key).unwrap_or_default();
    let (from, to) = (typed("from_angle"), typed("to_angle"));
    let over = in_unit(over, &unit::DEGREE);
    let what = format!("{}: from {from} upwards and on to {to} is {over}", fields.name());
    let fault = Fault::new(what, fields.span_of("to_angle")).allowed("above 0 deg, up to 180 deg");
    fields.push(fault.hint("from_angle is the lower end of a piece that lies forward: change them over"));
    None
}

fn read_section(fields: &Fields<'_>, free: &Free<'_>) -> Option<Form> {
    let outline = place::outline(fields);
    let span = free.span(fields);
    Some(Form::Section { outline: outline?, span: span? })
}

fn read_plates(fields: &Fields<'_>, free: &Free<'_>) -> Option<Form> {
    let outline: Option<Outline> = place::outline(fields);
    let from = place::along(fields, "from");
    if let Some(Vary::Plates { stock, .. }) = free.0 {
        let thickness = stock.first().copied();
        return Some(Form::Plates { outline: outline?, thickness: thickness?, count: 1, from: from? });
    }
    let thickness = free.size(fields, "thickness", Dimension::Thickness);
    let count = fields.maybe_count("count", 1..=MOST_PLATES);
    if !fields.has("count") {
        let fault = Fault::new("form has no count", fields.span_of("count"));
        fields.push(fault.hint("add count = 4, or let it vary: [vary] with what = \"count\" and stock"));
    }
    Some(Form::Plates { outline: outline?, thickness: thickness?, count: count?, from: from? })
}

fn read_frustum(fields: &Fields<'_>, free: &Free<'_>) -> Option<Form> {
    let front_diameter = size(fields, "front_diameter");
    let rear_diameter = size(fields, "rear_diameter");
    let depth = free.size(fields, "depth", Dimension::Depth);
    let x = place::arm(fields);
    let along = place::along(fields, "along");
    let middle = place::middle(fields, "middle");
    Some(Form::Frustum {
        front_diameter: front_diameter?,
        rear_diameter: rear_diameter?,
        depth: depth?,
        rear: [x?, along?, middle?],
    })
}

/// Says where `[vary]` and `[form]` do not go together.
pub(super) fn check_free(root: &Fields<'_>, form: &Form, vary: &Vary) {
    let (what, hint) = match vary {
        Vary::Dimension { dimension, .. } => {
            if form.dimension(*dimension).is_some() {
                return;
            }
            (
                format!("{} has no {} that may vary", form.name(), dimension.name()),
                "let another dimension vary",
            )
        }
        Vary::Plates { .. } if !matches!(form, Form::Plates { .. }) => (
            format!("{} has no plates to count", form.name()),
            "let a dimension vary, or take the form of plates",
        ),
        _ => return,
    };
    root.push(Fault::new(what, root.span_of("vary")).hint(hint));
}
