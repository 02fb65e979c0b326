//! Places and traces as typed: “6.1 in forward, 0.45 in above”, “arc through … to …”.
//!
//! Main functions: [`trace`] for a list that makes a path, [`middle`] for a height, [`direction`] for an angle. x is aft positive, z up. Not
//! covered: curves other than arcs of circles; trace them by several arcs.

use super::bounds::{PLACE, POINTS, TURN};
use crate::bounds::{self, Bound};
use crate::fault::Fault;
use crate::fields::Fields;
use crate::job_sheet::PLACES;
use hingeline_ballast::outline::{self, Outline, Path, Point, Traced};
use hingeline_quantity::{Angle, Entered, Length, Quantity, Unit, significant, unit};
use std::ops::Range;

/// A text of the sheet and where it stands: `from` is the byte of its first letter.
#[derive(Clone, Copy)]
struct Text<'t> {
    text: &'t str,
    from: usize,
}

impl<'t> Text<'t> {
    fn span(self) -> Range<usize> {
        self.from..self.from + self.text.len()
    }
    fn part(self, range: Range<usize>) -> Self {
        let cut = &self.text[range.clone()];
        let lead = cut.len() - cut.trim_start_matches([' ', ',']).len();
        Text { text: cut.trim_matches([' ', ',']), from: self.from + range.start + lead }
    }
    fn after(self, start: usize) -> Self {
        self.part(start..self.text.len())
    }
}

/// Where a key stands, for messages.
struct Reader<'f, 'a> {
    fields: &'f Fields<'a>,
    key: &'static str,
}

impl Reader<'_, '_> {
    fn push(&self, what: &str, at: Text<'_>, allowed: &str, hint: &str) {
        let what = format!("{}, {}: {what}", self.fields.name(), self.key);
        self.fields.push(Fault::new(what, at.span()).allowed(allowed).hint(hint));
    }
    fn length(&self, text: Text<'_>, bound: &Bound) -> Option<f64> {
        self.quantity::<Length>(text, bound)
    }
    fn quantity<Q: Quantity>(&self, text: Text<'_>, bound: &Bound) -> Option<f64> {
        match Entered::<Q>::parse(text.text) {
            Ok(entered) if bound.holds(entered.value) => Some(entered.value.si()),
            Ok(entered) => {
                let hint = "check the unit and the decimal mark; a side is said in words, not by a sign";
                self.push(&format!("{} is out of range", entered.text), text, &bound.words(), hint);
                None
            }
            Err(error) => {
                self.push(&error.to_string(), text, &error.problem.allowed(), &error.problem.hint());
                None
            }
        }
    }
    /// “0.45 in above”, “0.45 in below”, or a plain zero.
    fn height(&self, text: Text<'_>) -> Option<f64> {
        self.upright::<Length>(text, &PLACE, "height")
    }
    /// “30 deg above”, “20 deg below”, or a plain zero.
    fn direction(&self, text: Text<'_>) -> Option<f64> {
        self.upright::<Angle>(text, &TURN, "angle")
    }
    fn upright<Q: Quantity>(&self, text: Text<'_>, bound: &Bound, name: &str) -> Option<f64> {
        let ending =
            [("above", 1.0), ("below", -1.0)].into_iter().find(|(word, _)| text.text.ends_with(word));
        if let Some((word, sign)) = ending {
            let body = text.part(0..text.text.len() - word.len());
            return self.quantity::<Q>(body, bound).map(|size| sign * size);
        }
        if self.quantity::<Q>(text, bound)? <= 0.0 {
            return Some(0.0);
        }
        let what = format!("the {name} {} does not say its side", text.text);
        let hint = format!("write {0} above or {0} below", text.text);
        self.push(&what, text, "“above” or “below” behind what is not 0", &hint);
        None
    }
    /// “6.1 in forward, 0.45 in above”.
    fn spot(&self, text: Text<'_>) -> Option<Point> {
        let sides = [("forward", -1.0), ("aft", 1.0)];
        let side = sides.into_iter().find_map(|(word, sign)| Some((text.text.find(word)?, word, sign)));
        let Some((at, word, sign)) = side else {
            let what = format!("“{}” does not say on which side of the hinge line", text.text);
            let hint = "write it as 6.1 in forward, 0.45 in above";
            self.push(&what, text, "“forward” or “aft” behind the arm, then the height", hint);
            return None;
        };
        let (arm, height) = (text.part(0..at), text.after(at + word.len()));
        if height.text.is_empty() {
            let what = format!("“{}” has no height", text.text);
            let hint = "write 0 in for a point on the chord plane";
            self.push(&what, text, "the height above or below the chord plane behind a comma", hint);
            return None;
        }
        let (arm, height) = (self.length(arm, &PLACE), self.height(height));
        Some([sign * arm?, height?])
    }
    /// A point, or “arc through … to …”.
    fn edge(&self, text: Text<'_>) -> Option<Traced> {
        let Some(rest) = text.text.strip_prefix("arc through ") else {
            return self.spot(text).map(|to| Traced::Line { to });
        };
        let rest = text.after(text.text.len() - rest.len());
        let Some(joint) = rest.text.find(" to ") else {
            let hint = "write it as arc through 6.5 in forward, 0 in to 6.1 in forward, 0.45 in below";
            self.push("the arc does not say where it ends", text, "arc through a point to a point", hint);
            return None;
        };
        let (through, to) = (self.spot(rest.part(0..joint)), self.spot(rest.after(joint + 4)));
        Some(Traced::Arc { through: through?, to: to? })
    }
    fn path(&self, start: Point, edges: &[Traced]) -> Option<Path> {
        match Path::traced(start, edges) {
            Ok(path) => Some(path),
            Err(fault) => {
                self.refuse_outline(&fault);
                None
            }
        }
    }
    fn refuse(&self, what: &str, hint: &str) {
        let what = format!("{}, {}: {what}", self.fields.name(), self.key);
        self.fields.push(Fault::new(what, self.fields.span_of(self.key)).hint(hint));
    }
    /// What is wrong with an outline, its places in the unit of the first point.
    fn refuse_outline(&self, fault: &outline::Fault) {
        let texts = self.texts().unwrap_or_default();
        let unit = texts.iter().find_map(|(text, _)| unit_of(text)).unwrap_or(&unit::MILLIMETRE);
        self.refuse(&said(fault, unit), fault.hint());
    }
    /// “0.5 in diameter at 6.1 in forward, 0 in”.
    fn hole(&self, text: Text<'_>) -> Option<Path> {
        let Some(joint) = text.text.find(" diameter at ") else {
            let hint = "write it as 0.5 in diameter at 6.1 in forward, 0 in";
            self.push(&format!("“{}” is not a hole", text.text), text, "a diameter at a place", hint);
            return None;
        };
        let diameter = self.length(text.part(0..joint), &super::bounds::SIZE);
        let at = self.spot(text.after(joint + " diameter at ".len()));
        match Path::circle(at?, 0.5 * diameter?) {
            Ok(path) => Some(path),
            Err(fault) => {
                self.refuse_outline(&fault);
                None
            }
        }
    }
    /// Whether a list is short enough to be worked out; says so where it is not.
    fn is_short(&self, texts: &[(String, Range<usize>)], what: &str) -> bool {
        if texts.len() <= POINTS {
            return true;
        }
        let said = format!("{}, {}: {} {what}", self.fields.name(), self.key, texts.len());
        let fault = Fault::new(said, self.fields.span_of(self.key)).allowed(format!("up to {POINTS}"));
        self.fields
            .push(fault.hint("leave points out where they lie on a line, or take arcs: arc through … to …"));
        false
    }
    fn texts(&self) -> Option<Vec<(String, Range<usize>)>> {
        self.fields.maybe_texts(self.key)
    }
}

/// The unit of the first arm of a point or hole.
fn unit_of(text: &str) -> Option<&'static Unit> {
    let text = text.rsplit_once(" diameter at ").map_or(text, |(_, at)| at);
    let text = text.trim_start_matches("arc through ");
    let end = ["forward", "aft"].into_iter().find_map(|side| text.find(side))?;
    Some(Entered::<Length>::parse(text[..end].trim()).ok()?.unit)
}

/// What is wrong with an outline, in a unit of the sheet; inside, places are millimetres aft and up.
pub(super) fn said(fault: &outline::Fault, unit: &Unit) -> String {
    use outline::Fault;
    let length = |metres: f64| format!("{} {}", significant(metres / unit.factor, 4), unit.symbol);
    let spot = |[x, z]: Point| {
        let (side, end) = (if x < 0.0 { "forward" } else { "aft" }, if z < 0.0 { "below" } else { "above" });
        format!("{} {side}, {} {end}", length(x.abs()), length(z.abs()))
    };
    match *fault {
        Fault::Open { ring, gap } => format!("{ring} is open: its end lies {} from its start", length(gap)),
        Fault::Crossing { ring, edges: [one, other], at } => {
            format!("{ring} crosses or touches itself: edges {one} and {other} meet at {}", spot(at))
        }
        Fault::HoleCrosses { hole, at } => {
            format!("hole {hole} crosses or touches the outline at {}", spot(at))
        }
        Fault::TooThick { thickness, largest, at } => format!(
            "a thickness of {} does not fit at {}; allowed: up to {}",
            length(thickness),
            spot(at),
            length(largest)
        ),
        ref other => other.to_string(),
    }
}

fn inner<'t>((text, span): &'t (String, Range<usize>)) -> Text<'t> {
    let lead = text.len() - text.trim_start().len();
    Text { text: text.trim(), from: span.start + 1 + lead }
}

/// The points that a path is traced by, in order.
pub(super) struct Trace {
    /// The path, open or closed as typed.
    pub(super) path: Path,
    /// The points typed, those on arcs too.
    pub(super) points: Vec<Point>,
}

/// The path of a list of points; it must be there.
pub(super) fn trace(fields: &Fields<'_>, key: &'static str) -> Option<Trace> {
    let reader = Reader { fields, key };
    let Some(texts) = reader.texts() else {
        if !fields.has(key) {
            let fault = Fault::new(format!("{} has no {key}", fields.name()), fields.span_of(key));
            fields.push(fault.hint(format!(
                "add {key} = [\"5.6 in forward, 0.45 in above\", \"arc through … to …\"], point after point"
            )));
        }
        return None;
    };
    if !reader.is_short(&texts, "points") {
        return None;
    }
    let read: Vec<Option<Traced>> = texts.iter().map(|text| reader.edge(inner(text))).collect();
    let edges: Vec<Traced> = read.into_iter().collect::<Option<_>>()?;
    let Some((Traced::Line { to: start }, rest)) = edges.split_first() else {
        reader.refuse(
            "it does not begin with a point",
            "begin with a point such as 5.6 in forward, 0.45 in above",
        );
        return None;
    };
    let path = reader.path(*start, rest)?;
    Some(Trace { path, points: edges.iter().flat_map(passed).collect() })
}

fn passed(edge: &Traced) -> Vec<Point> {
    match *edge {
        Traced::Line { to } => vec![to],
        Traced::Arc { through, to } => vec![through, to],
    }
}

/// The open path of a list of points that may not cross itself; it must be there.
pub(super) fn clear_trace(fields: &Fields<'_>, key: &'static str) -> Option<Trace> {
    let trace = trace(fields, key)?;
    if let Err(fault) = trace.path.keeps_clear() {
        let reader = Reader { fields, key };
        let unit = reader.texts().unwrap_or_default().iter().find_map(|(text, _)| unit_of(text));
        let said = said(&fault, unit.unwrap_or(&unit::MILLIMETRE)).replacen("the outline", "it", 1);
        reader.refuse(&said, fault.hint());
        return None;
    }
    Some(trace)
}

/// A closed outline with the holes that go through it.
pub(super) fn outline(fields: &Fields<'_>) -> Option<Outline> {
    let holes = Reader { fields, key: "holes" };
    let texts = holes.texts().unwrap_or_default();
    if !holes.is_short(&texts, "holes") {
        return None;
    }
    let read: Vec<Option<Path>> = texts.iter().map(|text| holes.hole(inner(text))).collect();
    let trace = trace(fields, "outline")?;
    let holes: Vec<Path> = read.into_iter().collect::<Option<_>>()?;
    match Outline::new(trace.path.closed(), holes) {
        Ok(outline) => Some(outline),
        Err(fault) => {
            Reader { fields, key: "outline" }.refuse_outline(&fault);
            None
        }
    }
}

/// A height above or below the chord plane; 0 where the key is missing.
pub(super) fn middle(fields: &Fields<'_>, key: &'static str) -> Option<f64> {
    let Some(text) = fields.maybe_text(key) else {
        return (!fields.has(key)).then_some(0.0);
    };
    Reader { fields, key }.height(typed(fields, key, &text))
}

/// A point of the section; the hinge line where the key is missing.
pub(super) fn centre(fields: &Fields<'_>, key: &'static str) -> Option<Point> {
    let Some(text) = fields.maybe_text(key) else {
        return (!fields.has(key)).then_some([0.0; 2]);
    };
    Reader { fields, key }.spot(typed(fields, key, &text))
}

/// An angle from straight forward, rad, upwards positive; it must be there.
pub(super) fn direction(fields: &Fields<'_>, key: &'static str) -> Option<f64> {
    let text = fields.required(key, "\"30 deg above\"", fields.maybe_text(key))?;
    Reader { fields, key }.direction(typed(fields, key, &text))
}

fn typed<'t>(fields: &Fields<'_>, key: &str, text: &'t str) -> Text<'t> {
    Text { text, from: fields.span_of(key).start + 1 }
}

/// A place along the hinge line; 0 where the key is missing.
pub(super) fn along(fields: &Fields<'_>, key: &'static str) -> Option<f64> {
    let from: Option<Entered<Length>> = fields.maybe(key, &PLACE);
    if fields.has(key) { from.map(|from| from.value.si()) } else { Some(0.0) }
}

/// A distance from the hinge line with its side, as x; both must be there.
pub(super) fn arm(fields: &Fields<'_>) -> Option<f64> {
    arm_of(fields, "arm", "side")
}

/// The same under other keys.
pub(super) fn arm_of(fields: &Fields<'_>, arm: &'static str, side: &'static str) -> Option<f64> {
    let arm: Option<Entered<Length>> = fields.quantity(arm, &bounds::ARM);
    let place = fields.choice(side, &PLACES);
    Some((arm?.value * place?.sign()).si())
}

/// A distance from the hinge line with its side, as x, where it may be 0; both must be there.
pub(super) fn reach(fields: &Fields<'_>) -> Option<f64> {
    let arm: Option<Entered<Length>> = fields.quantity("arm", &PLACE);
    let place = fields.choice("side", &PLACES);
    Some((arm?.value * place?.sign()).si())
}

/// The same where both may be missing; half of it is a fault.
pub(super) fn maybe_arm(fields: &Fields<'_>, arm: &'static str, side: &'static str) -> Option<f64> {
    if fields.has(arm) || fields.has(side) {
        return arm_of(fields, arm, side);
    }
    let _: Option<Entered<Length>> = fields.maybe(arm, &bounds::ARM);
    let _ = fields.maybe_choice(side, &PLACES);
    None
}
