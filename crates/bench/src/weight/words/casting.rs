//! The casting on the scale and the fastening, in words.

use super::super::bolts::Holding;
use super::super::casting::{AtHand, Trimming};
use super::super::extras::alike;
use super::super::insert::InsertAtHand;
use super::super::result::state_word;
use super::super::work::{NoWay, Trimmed, Worked};
use super::{Speech, scale_mass};
use hingeline_ballast::fastening::{Case, FOR_THE_ENGINEER, Margin, Screening, Sense};
use hingeline_ballast::trim::{By, Cut, Doubt, Fault, Insert, Remedy, State, Trim, Way};
use hingeline_quantity::{Unit, places};

/// How the scale is spoken of: its unit, and as finely as it tells.
struct Scale {
    unit: &'static Unit,
    places: usize,
}

/// Digits beyond those of the scale that a small excess is told to.
const FINER: usize = 3;
/// Most decimals of a scale, however finely it was typed.
const FINEST: usize = 6;

impl Scale {
    fn mass(&self, kg: f64) -> String {
        scale_mass(kg, self.unit, self.places)
    }
    /// How far a casting is off: with more digits where it would say nothing.
    fn off(&self, kg: f64) -> String {
        let own = places(kg / self.unit.factor, 1);
        let finer = if kg < self.smallest() { own.min(self.places + FINER) } else { self.places };
        scale_mass(kg, self.unit, finer)
    }
    /// Half of the last digit, kg.
    fn smallest(&self) -> f64 {
        let places = i32::try_from(self.places).unwrap_or(0);
        0.5 * 10f64.powi(-places) * self.unit.factor
    }
}

/// Where the casting stands, every way to bring it inside tolerance, and what the scale must read after it.
#[must_use]
pub fn trim(worked: &Worked) -> Vec<String> {
    let (Some(trimmed), Some(trimming)) = (&worked.trim, &worked.sheet.trimming) else {
        return Vec::new();
    };
    let scale = scale_of(trimming);
    let mut lines = vec![format!("weighed: {}", trimming.typed.join(", then "))];
    lines.extend(trimmed.judged.iter().flat_map(|trim| odd_weighings(worked, trim)));
    match &trimmed.judged {
        Ok(trim) => {
            lines.extend(judged(trim, trimmed, &scale, &Speech::of(worked), &trimming.typed_tolerance))
        }
        Err(fault) => lines.push(format!("it cannot be judged: {fault}")),
    }
    lines.extend(moved_places(worked, trimmed));
    lines
}

/// What of the weighings can hardly be.
#[must_use]
pub(in crate::weight) fn odd_weighings(worked: &Worked, trim: &Trim) -> Vec<String> {
    let Some(trimming) = &worked.sheet.trimming else { return Vec::new() };
    let heavier = trim.gain.map(|gain| {
        format!(
            "weighing {} shows {} more than the one before, with the holes that were made counted: right only where \
             mass was added; look at the masses, at holes_made, and whether it is another casting (cast_again)",
            gain.weighing,
            scale_of(trimming).mass(gain.by_kg)
        )
    });
    let reach = worked.outcome.as_ref().ok().map(|piece| piece.body.envelope);
    let beside = reach.filter(|reach| !(reach.front..=reach.rear).contains(&trim.arm_m)).map(|_| {
        format!(
            "its arm comes to {}, outside the piece as designed: look at the masses, at where mass was taken and at \
             holes_made",
            Speech::of(worked).arm(trim.arm_m)
        )
    });
    heavier.into_iter().chain(beside).collect()
}

/// What a saw does to places along the span, where the piece has such.
fn moved_places(worked: &Worked, trimmed: &Trimmed) -> Option<String> {
    let sawn =
        trimmed.ways.iter().any(|(_, way)| way.as_ref().is_ok_and(|way| matches!(way.cut, Cut::Saw { .. })));
    let design = &worked.sheet.design;
    let placed = !(design.holes.is_empty() && design.hardware.is_empty());
    (sawn && placed).then(|| {
        "a saw cut moves the end that holes and screws are measured from: with both ends sawn, each place along the \
         span is nearer to either end by what went there; mark them anew from the middle, and mind the edge distance"
            .to_owned()
    })
}

fn judged(trim: &Trim, trimmed: &Trimmed, scale: &Scale, speech: &Speech, tolerance: &str) -> Vec<String> {
    let excess = scale.off(trim.excess_kg.abs());
    let word = if trim.excess_kg < 0.0 { "too light" } else { "too heavy" };
    let mut lines = vec![
        format!(
            "{}: {excess} {word} at its arm of {}; tolerance {tolerance}",
            state_word(trim.state),
            speech.arm(trim.intended.arm_m)
        ),
        format!("nothing done, the finished piece would give {}", speech.moment(trim.moment_kg_m)),
    ];
    if trim.doubt == Doubt::Doubtful {
        lines.push("the scale cannot tell for sure: weigh again on a finer one".to_owned());
    }
    match trim.state {
        State::Inside => lines.push("leave it as it is".to_owned()),
        State::ToTrim => {
            lines.extend(trimmed.ways.iter().map(|(tool, way)| way_line(tool, way, scale, speech)))
        }
        State::TooLight => {
            lines.push("nothing may be taken off; one of these would make it good:".to_owned());
            lines.extend(trimmed.remedies.iter().map(|remedy| remedy_line(remedy, scale, speech)));
            lines.extend(insert_lines(trimmed, scale, speech));
        }
    }
    lines
}

/// How the scale of a casting is spoken of: to its step, to the tolerance, and to the weighings as typed, whichever is
/// the finest.
fn scale_of(trimming: &Trimming) -> Scale {
    let unit = trimming.unit;
    let step = step_places(trimming.step_kg / unit.factor);
    let tolerance = places(trimming.tolerance.mass_kg / unit.factor, 1);
    let typed = trimming.typed.iter().filter(|text| text.trim_end().ends_with(unit.symbol));
    let typed = typed.map(|text| decimals_of(text)).max().unwrap_or(0);
    Scale { unit, places: step.max(tolerance).max(typed).min(FINEST) }
}

/// The decimals of a step: of 0.1 one, of 0.25 two.
fn step_places(step: f64) -> usize {
    let one = places(step, 1);
    let shown = 10f64.powi(i32::try_from(one).unwrap_or(0)) * step;
    if 0.01 < (shown - shown.round()).abs() { one + 1 } else { one }
}

/// The decimals of a number as typed: “353,40 g” has two.
fn decimals_of(text: &str) -> usize {
    let after = text.split(['.', ',']).nth(1).unwrap_or_default();
    after.bytes().take_while(u8::is_ascii_digit).count()
}

/// A tool at hand and what it can do for a casting.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ToolLine {
    /// "saw", "drill", "file".
    pub tool: &'static str,
    /// Whether it can be used now.
    pub goes: bool,
    /// What to do and what the scale must read then, or why it is of no use.
    pub line: String,
}

/// Every tool at hand, in the order of the sheet; none where nothing has to go.
#[must_use]
pub fn tools(worked: &Worked) -> Vec<ToolLine> {
    let (Some(trimmed), Some(trimming)) = (&worked.trim, &worked.sheet.trimming) else {
        return Vec::new();
    };
    let (scale, speech) = (scale_of(trimming), Speech::of(worked));
    let line = |(tool, way): &(AtHand, Result<Way, NoWay>)| ToolLine {
        tool: tool.word(),
        goes: way.is_ok(),
        line: way_line(tool, way, &scale, &speech),
    };
    trimmed.ways.iter().map(line).collect()
}

/// Where the casting stands, as one big sentence: “7.2 g too heavy: trim it”.
#[must_use]
pub fn standing(worked: &Worked) -> Option<String> {
    let (trimmed, trimming) = (worked.trim.as_ref()?, worked.sheet.trimming.as_ref()?);
    let Ok(trim) = &trimmed.judged else { return Some("The casting cannot be judged".to_owned()) };
    let excess = scale_of(trimming).off(trim.excess_kg.abs());
    Some(match trim.state {
        State::Inside => format!("Inside the tolerance of {}", trimming.typed_tolerance),
        State::ToTrim => format!("{excess} too heavy: trim it"),
        State::TooLight => format!("{excess} too light"),
    })
}

/// “saw 0.12 in off one end (slice 0.09 in): the scale must then read 243.1 g”.
fn way_line(tool: &AtHand, way: &Result<Way, NoWay>, scale: &Scale, speech: &Speech) -> String {
    let way = match way {
        Ok(way) => way,
        Err(fault) => return format!("{}: no, {}", tool.word(), no_way(fault, scale, speech)),
    };
    let cut = match way.cut {
        Cut::Saw { ends, off, slice, by } => {
            let ends = if ends < 2 { "one end" } else { "each of both ends" };
            let by = match by {
                By::Casting => "the casting's own",
                By::Design => "the design's",
            };
            format!(
                "saw {} off {ends} (a slice of {} and the cut, by {by} mass per {})",
                speech.length(off),
                speech.length(slice),
                per_length(speech)
            )
        }
        Cut::Drill { count, bore } => format!(
            "drill {count} × {} at {}, {} deep at full diameter ({} to the tip)",
            speech.length(bore.diameter),
            speech.arm(way.x),
            speech.length(bore.full_depth),
            speech.length(bore.tip_depth)
        ),
        Cut::File { thickness } => format!("file {} off all over", speech.length(thickness)),
    };
    let reads = scale.mass(way.scale_reads_kg);
    let left = scale.mass(way.excess_kg);
    let rest = if way.excess_kg < scale.smallest() {
        String::new()
    } else {
        format!("; {left} is left for the file")
    };
    let (more, again) = match way.cut {
        Cut::Saw { by: By::Casting, .. } => (" or more", ": weigh again"),
        Cut::Saw { .. } => ("", ": weigh again"),
        _ => ("", ""),
    };
    format!("{cut}: {} goes, the scale must then read {reads}{more}{rest}{again}", scale.mass(way.removed_kg))
}

/// The unit of length in a word.
fn per_length(speech: &Speech) -> &'static str {
    match speech.units().length.symbol {
        "in" => "inch",
        symbol => symbol,
    }
}

/// Why a tool is of no use, in the units of the sheet.
fn no_way(fault: &NoWay, scale: &Scale, speech: &Speech) -> String {
    match fault {
        NoWay::Trim(Fault::ForTheFile { excess_kg, .. }) => {
            format!("the {} too much are for the file", scale.mass(*excess_kg))
        }
        NoWay::Trim(Fault::Kerf { needed, kerf }) => {
            format!("only {} must go, less than the cut of {}", speech.length(*needed), speech.length(*kerf))
        }
        NoWay::Trim(Fault::TooDeep { needed, most }) => {
            format!("{} would have to go, allowed: {}", speech.length(*needed), speech.length(*most))
        }
        NoWay::EndWall { needed, wall, stays } if 0.0 < *stays => format!(
            "{} would have to go, and of the end wall of {} must stay {}",
            speech.length(*needed),
            speech.length(*wall),
            speech.length(*stays)
        ),
        NoWay::EndWall { needed, wall, .. } => format!(
            "{} would have to go, and the end wall is {} thick: behind it is another section",
            speech.length(*needed),
            speech.length(*wall)
        ),
        other => other.to_string(),
    }
}

fn remedy_line(remedy: &Remedy, scale: &Scale, speech: &Speech) -> String {
    match remedy {
        Remedy::HeavierHardware { name, by_kg, x } => {
            let (all, at) = (scale.mass(*by_kg), speech.arm(*x));
            let Some((count, one)) = alike(name) else {
                return format!("{name} heavier by {all}, at {at}");
            };
            let each = scale.mass(by_kg / f64::from(count));
            format!("each of the {count} “{one}” heavier by {each}, together {all}, at {at}")
        }
        Remedy::AddOn { mass_kg, x } => format!("{} more, fixed at {}", scale.mass(*mass_kg), speech.arm(*x)),
    }
}

/// Every insert that would do or why it would not, then what is not looked at.
fn insert_lines(trimmed: &Trimmed, scale: &Scale, speech: &Speech) -> Vec<String> {
    let line = |(hand, insert): &(InsertAtHand, Result<Insert, Fault>)| match insert {
        Ok(insert) => insert_line(insert, scale, speech),
        Err(fault) => format!("insert of {}: no, {}", hand.stock.name, no_insert(fault, speech)),
    };
    let mut lines: Vec<String> = trimmed.inserts.iter().map(line).collect();
    if trimmed.inserts.iter().any(|(_, insert)| insert.is_ok()) {
        lines.push(
            "whether there is enough metal round the hole of an insert, and what holds it there, is not looked at"
                .to_owned(),
        );
    }
    lines
}

/// “insert of tungsten: drill 0.375 in at 6.25 in forward, 0.2 in deep …: the scale must then read 243.1 g”.
fn insert_line(insert: &Insert, scale: &Scale, speech: &Speech) -> String {
    let bottom = if insert.depth < insert.tip_depth {
        format!("{} to the tip", speech.length(insert.tip_depth))
    } else {
        "with a flat bottom".to_owned()
    };
    let (across, depth) = (speech.length(insert.diameter), speech.length(insert.depth));
    format!(
        "insert of {}: drill {across} at {}, {depth} deep at full diameter ({bottom}), and fill it with a piece \
         {across} across and {depth} long, {}: it gains {} over the metal that goes, the scale must then read {}",
        insert.name,
        speech.arm(insert.x),
        scale.mass(insert.mass_kg),
        scale.mass(insert.gain_kg),
        scale.mass(insert.scale_reads_kg)
    )
}

/// Why no insert of a metal would do, in the units of the sheet.
fn no_insert(fault: &Fault, speech: &Speech) -> String {
    match fault {
        Fault::TooDeep { needed, most } => format!(
            "even the widest would have to be {} long, allowed: {}",
            speech.length(*needed),
            speech.length(*most)
        ),
        Fault::NotDenser { .. } => "it is no denser than the metal that it takes the place of".to_owned(),
        Fault::WrongSide { x } => {
            format!("mass at {} works the other way; it must lie on the side of the piece", speech.arm(*x))
        }
        other => other.to_string(),
    }
}

/// Warnings, factors, and the lowest margin of each kind with its load.
#[must_use]
pub fn fastening(worked: &Worked) -> Vec<String> {
    let Some(screening) = &worked.screening else { return Vec::new() };
    let mut lines: Vec<String> = screening.warnings.iter().map(ToString::to_string).collect();
    lines.push(screening.factors.to_string());
    lines.extend(screening.clamps.iter().map(ToString::to_string));
    lines.extend(
        worked.sheet.holding.iter().flat_map(Holding::threads).map(|thread| format!("thread, {thread}")),
    );
    lines.extend(screening.cases.iter().filter(|case| case.sense == Sense::Positive).filter_map(|case| {
        Some(format!("{} g {}: {}", case.factor.value, case.direction.words(), case.root.as_ref()?))
    }));
    lines.extend(worst_of(screening));
    lines.extend(
        lowest(screening).into_iter().map(|(case, margin)| format!("{}: {margin}", case_words(case))),
    );
    lines
}

/// "18 g fore and aft, forward".
fn case_words(case: &Case) -> String {
    format!("{} g {}, {}", case.factor.value, case.direction.words(), case.sense.words(case.direction))
}

/// Which load cases were screened, and that only the lowest margins follow; none where there is one case.
fn worst_of(screening: &Screening) -> Option<String> {
    let cases: Vec<String> = screening.cases.iter().map(case_words).collect();
    (1 < cases.len()).then(|| {
        format!(
            "{} load cases were screened ({}); of each check only the lowest margin follows, with the case it comes \
             from, {FOR_THE_ENGINEER}",
            cases.len(),
            cases.join("; ")
        )
    })
}

/// The lowest margin of each kind of check, in the order of the checks.
fn lowest(screening: &Screening) -> Vec<(&Case, &Margin)> {
    let mut lowest: Vec<(&Case, &Margin)> = Vec::new();
    let all = screening.cases.iter().flat_map(|case| case.margins.iter().map(move |margin| (case, margin)));
    for (case, margin) in all {
        match lowest.iter_mut().find(|(_, known)| known.check == margin.check) {
            Some(known) if margin.margin < known.1.margin => *known = (case, margin),
            Some(_) => {}
            None => lowest.push((case, margin)),
        }
    }
    lowest
}
