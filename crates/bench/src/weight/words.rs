//! The answer to a weight sheet in plain words and written-out sums, the same on screen, page and paper.
//!
//! Main functions: [`headline`], the one big sentence, and [`sections`], all the rest in order. Text made of numbers that
//! others worked out, in the units of the sheet.

mod casting;
mod speech;

pub(super) use casting::odd_weighings;
pub use casting::{ToolLine, fastening, standing, tools, trim};
pub use speech::Speech;

use super::mesh::MeshFile;
use super::place;
use super::reserve::Beyond;
use super::result;
use super::sheet::Metal;
use super::work::Worked;
use crate::arithmetic::Step;
use crate::words::{CAUTIONS, in_unit, percent_plain};
use hingeline_ballast::design::{Fault, Form, Kind, Limit, Part, Shortfall, Solution, Vary};
use hingeline_quantity::{Length, Mass, Moment, Quantity, Side};

/// One part of the answer under its title.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Section {
    /// Its title.
    pub title: &'static str,
    /// Its lines, in order.
    pub lines: Vec<String>,
}

/// The whole answer below the big sentence, without what has nothing to say.
#[must_use]
pub fn sections(worked: &Worked) -> Vec<Section> {
    let steps = |steps: Vec<Step>| steps.iter().map(Step::line).collect();
    let all = [
        ("why", stopped(worked)),
        ("beside moment ÷ old arm", naive(worked)),
        ("the piece", piece(worked)),
        ("the file", file(worked)),
        ("parts: mass × arm = moment", steps(parts(worked))),
        ("halves, before holes and hardware", steps(halves(worked))),
        ("what to cast", reserve(worked)),
        ("how sure", uncertainty(worked)),
        ("the casting on the scale", trim(worked)),
        ("fastening, for the engineer to confirm", fastening(worked)),
        ("sources", sources(worked)),
        ("cautions", cautions(worked).into_iter().map(str::to_owned).collect()),
    ];
    let told = all.into_iter().filter(|(_, lines): &(_, Vec<String>)| !lines.is_empty());
    told.map(|(title, lines)| Section { title, lines }).collect()
}

/// The one big sentence: “Cast a cap 0.143 in thick: it gives 3.780 in-lb nose-heavy with its hardware and coating.”
#[must_use]
pub fn headline(worked: &Worked) -> String {
    let speech = Speech::of(worked);
    match &worked.outcome {
        Ok(piece) => found(worked, piece, &speech),
        Err(Fault::Shortfall(short)) if !short.is_wrong_side() => format!(
            "No {} will do: {} of {} is reached, {} lacking.",
            kind(worked),
            speech.size(short.reached_kg_m),
            speech.moment(short.wanted_kg_m),
            speech.size(short.lacking_kg_m())
        ),
        Err(fault) if worked.sheet.design.vary == Vary::Nothing => {
            format!("This {} will not do: {}.", kind(worked), refusal(fault, "it", &speech))
        }
        Err(fault) => {
            let smallest = "even the smallest allowed";
            format!("No {} will do: {}.", kind(worked), refusal(fault, smallest, &speech))
        }
    }
}

/// The kind of piece, as it is spoken of.
fn kind(worked: &Worked) -> &'static str {
    if worked.sheet.mesh.is_some() { "measured piece" } else { worked.sheet.kind }
}

/// "does not keep within the capacity of the station: it has 0.92 lb, allowed: 0.80 lb".
fn outgrown(speech: &Speech, limit: Limit, found: f64, allowed: f64) -> String {
    let say = |value: f64| if limit == Limit::Capacity { speech.mass(value) } else { speech.length(value) };
    format!("does not keep within {}: it has {}, allowed: {}", limit.name(), say(found), say(allowed))
}

/// Why there is no piece, in a few words.
fn refusal(fault: &Fault, which: &str, speech: &Speech) -> String {
    match fault {
        Fault::Shortfall(_) => "it lies on the wrong side of the hinge line for this moment".to_owned(),
        Fault::TooMuch { dimension, value, reached_kg_m, wanted_kg_m } => format!(
            "the smallest allowed, {}, gives {} already, more than {}",
            speech.dimension(*dimension, *value),
            speech.moment(*reached_kg_m),
            speech.moment(*wanted_kg_m)
        ),
        Fault::HoleNeedsMore { name, dimension, value, reached_kg_m, wanted_kg_m } => format!(
            "the smallest that holds hole “{name}”, {}, gives {} already, more than {}; below that the hole would \
             come through",
            speech.dimension(*dimension, *value),
            speech.moment(*reached_kg_m),
            speech.moment(*wanted_kg_m)
        ),
        Fault::NoRoom { limit, found, allowed } => {
            format!("{which} {}", outgrown(speech, *limit, *found, *allowed))
        }
        Fault::HoleNeedsRoom { name, dimension, value, limit, found, allowed } => format!(
            "hole “{name}” wants the piece {} or more, which {}",
            speech.dimension(*dimension, *value),
            outgrown(speech, *limit, *found, *allowed)
        ),
        Fault::Outline(fault) => {
            format!("the section cannot be made: {}", place::said(fault, speech.units().length))
        }
        other => other.to_string(),
    }
}

fn found(worked: &Worked, piece: &Solution, speech: &Speech) -> String {
    let gives = speech.moment(piece.finished.moment_kg_m);
    let with = with_what(piece);
    if worked.sheet.design.vary == Vary::Nothing {
        return format!("This {} gives {gives}{with}: {}.", kind(worked), miss(piece, speech));
    }
    let what = match (&piece.form, piece.value) {
        (Form::Plates { count, thickness, .. }, None) => {
            format!("Stack {count} plates of {}", stock(worked, *thickness, speech))
        }
        (_, Some((dimension, value))) => {
            let verb = if casts(worked) { "Cast" } else { "Make" };
            let kind = worked.sheet.kind;
            let article = if kind.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
            format!("{verb} {article} {kind} {}", speech.dimension(dimension, value))
        }
        (_, None) => format!("Make the {}", kind(worked)),
    };
    let rest = if matches!(worked.sheet.design.vary, Vary::Plates { .. }) {
        format!(", {}", miss(piece, speech))
    } else {
        String::new()
    };
    format!("{what}: it gives {gives}{with}{rest}.")
}

/// A thickness of stock as it was typed.
fn stock(worked: &Worked, thickness: f64, speech: &Speech) -> String {
    let same = |typed: &&(f64, String)| (typed.0 - thickness).abs() <= 1e-12;
    worked.sheet.stock.iter().find(same).map_or_else(|| speech.stock(thickness), |(_, text)| text.clone())
}

/// “0.02 in-lb short of the wanted 3.78 in-lb nose-heavy”.
fn miss(piece: &Solution, speech: &Speech) -> String {
    let wanted_kg_m = piece.finished.moment_kg_m + piece.remaining_kg_m;
    let wanted = speech.moment(wanted_kg_m);
    let short = piece.remaining_kg_m * wanted_kg_m.signum();
    if speech.is_nothing(short) {
        return format!("just the wanted {wanted}");
    }
    let word = if short < 0.0 { "more than" } else { "short of" };
    format!("{} {word} the wanted {wanted}", speech.size(short))
}

fn with_what(piece: &Solution) -> &'static str {
    let has = |kind| piece.parts.iter().any(|part| part.kind == kind);
    match (has(Kind::Hardware), has(Kind::Film)) {
        (true, true) => " with its hardware and coating",
        (true, false) => " with its hardware",
        (false, true) => " with its coating",
        (false, false) => "",
    }
}

/// Whether the metal is one that a shop melts and pours; plates and other metals are cut and machined.
#[must_use]
pub fn casts(worked: &Worked) -> bool {
    let name = worked.sheet.metal.name.to_lowercase();
    let is_stock = matches!(worked.sheet.design.form, Form::Plates { .. });
    !is_stock && (name.contains("lead") || name.contains("bismuth"))
}

/// What would be done without this program, and by how much it would miss.
#[must_use]
pub fn naive(worked: &Worked) -> Vec<String> {
    let Some((piece, naive)) = worked.solution().and_then(|piece| Some((piece, piece.naive?))) else {
        return Vec::new();
    };
    let speech = Speech::of(worked);
    let wanted = worked.sheet.design.wanted.moment_kg_m;
    let much = naive.miss_kg_m * wanted.signum();
    let word = if much < 0.0 { "too little" } else { "too much" };
    let share = percent_plain((much / wanted).abs());
    let old_arm = worked.sheet.design.old_arm.unwrap_or_default();
    let division = speech.division("moment ÷ old arm", wanted, old_arm, naive.mass_kg);
    let differs = piece.finished.mass_kg - naive.mass_kg;
    let than = if differs < 0.0 { "less" } else { "more" };
    vec![
        division.line(),
        format!(
            "but this piece has its mass at {}: so much there would give {}, {} ({share}) {word}",
            speech.arm(piece.finished.arm_m),
            speech.moment(naive.moment_kg_m),
            speech.size(naive.miss_kg_m),
        ),
        format!(
            "this piece weighs {} finished, {} {than}",
            speech.mass(piece.finished.mass_kg),
            speech.fine_mass(differs.abs())
        ),
    ]
}

fn piece(worked: &Worked) -> Vec<String> {
    let Some(piece) = worked.solution() else { return Vec::new() };
    let speech = Speech::of(worked);
    let weight = |word: &str, mass: f64, arm: f64, moment: f64| {
        format!("{word}: {} at {}, {}", speech.mass(mass), speech.arm(arm), speech.moment(moment))
    };
    let metal = |word: &str, moments: &hingeline_ballast::Moments| {
        let arm = moments.centroid().map_or(0.0, |centroid| centroid[0]);
        weight(word, moments.total, arm, moments.first[0])
    };
    let mut lines = vec![metal("before holes", &piece.as_cast)];
    if piece.parts.iter().any(|part| part.kind == Kind::Hole) {
        lines.push(metal("as drilled", &piece.as_drilled));
    }
    let finished = &piece.finished;
    lines.push(weight("finished", finished.mass_kg, finished.arm_m, finished.moment_kg_m));
    let reach = &piece.envelope;
    lines.push(format!(
        "reaches from {} to {}, {} to {}, {} along the hinge line; furthest point {} from the hinge line",
        speech.arm(reach.rear),
        speech.arm(reach.front),
        speech.height(reach.bottom),
        speech.height(reach.top),
        speech.length(reach.span),
        speech.length(reach.swing)
    ));
    if worked.sheet.mesh.is_some() {
        lines.push(
            "the furthest point is that of the box around it, which is no nearer than its own".to_owned(),
        );
    }
    lines
}

/// The file that a piece was measured from, and what stands out in it.
#[must_use]
pub fn file(worked: &Worked) -> Vec<String> {
    let Some(mesh) = &worked.sheet.mesh else { return Vec::new() };
    let MeshFile { name, format, triangles, axes, notes, .. } = mesh;
    let unit = in_unit(mesh.unit_m, &hingeline_quantity::unit::MILLIMETRE);
    let mut lines = vec![
        format!("{name}: {format}, {triangles} triangles, one unit {unit}"),
        format!("its axes: {axes}"),
    ];
    lines.extend(notes.iter().cloned());
    let design = &worked.sheet.design;
    if !design.holes.is_empty() {
        lines.push("holes begin at the box around the piece: look whether its metal begins there".to_owned());
    }
    if design.space.smallest_wall.is_some() {
        lines.push("its walls are not known: the smallest wall is not looked at".to_owned());
    }
    lines
}

/// Every part as mass × arm = moment, then their sum, for a hand calculator.
#[must_use]
pub fn parts(worked: &Worked) -> Vec<Step> {
    let Some(piece) = worked.solution() else { return Vec::new() };
    let speech = Speech::of(worked);
    let metal = worked.sheet.metal.name.as_str();
    let side = Moment::from_si(piece.finished.moment_kg_m).side();
    let sign = if side == Side::NoseHeavy { -1.0 } else { 1.0 };
    let terms: Vec<f64> = piece.parts.iter().map(|part| part.moment_kg_m).collect();
    let name = format!("all of them, {} counted as plus", side.word());
    let (adding, sum) = speech.sum(name, &terms, piece.finished.moment_kg_m, sign);
    let mut steps: Vec<Step> = piece.parts.iter().map(|part| part_step(part, metal, &adding)).collect();
    steps.push(sum);
    steps
}

fn part_step(part: &Part, metal: &str, speech: &Speech) -> Step {
    let side = if part.arm_m < 0.0 { "forward" } else { "aft" };
    let name = match part.kind {
        Kind::Metal => format!("{metal}, before holes"),
        Kind::Hole => format!("{}, taken away", part.name),
        Kind::Hardware | Kind::Film => part.name.clone(),
    };
    speech.product(&format!("{name}, {side}"), part.mass_kg, part.arm_m, part.moment_kg_m)
}

/// The halves as cast, before holes and hardware.
#[must_use]
pub fn halves(worked: &Worked) -> Vec<Step> {
    let speech = Speech::of(worked);
    let halves = worked.solution().map_or(&[][..], |piece| piece.halves.as_slice());
    let step = |half: &hingeline_ballast::design::Half| {
        let mass = &half.as_cast;
        let arm = mass.centroid().map_or(0.0, |centroid| centroid[0]);
        let side = if arm < 0.0 { "forward" } else { "aft" };
        speech.product(&format!("{} half, {side}", half.name), mass.total, arm, mass.first[0])
    };
    halves.iter().map(step).collect()
}

/// What to cast so that the piece does not come out too light.
#[must_use]
pub fn reserve(worked: &Worked) -> Vec<String> {
    let Some(piece) = worked.solution() else { return Vec::new() };
    let speech = Speech::of(worked);
    if !casts(worked) {
        return Vec::new();
    }
    let Some(reserve) = piece.reserve.filter(|reserve| 0.0 < reserve.mass_kg) else {
        return vec![
            "no larger piece can be made, so there is no reserve: weigh the casting before anything else"
                .to_owned(),
        ];
    };
    let larger = reserve
        .dimension_m
        .zip(piece.value)
        .map_or(String::new(), |(value, (dimension, _))| format!(", {}", speech.dimension(dimension, value)));
    if worked.sheet.mesh.is_some() {
        let more = speech.fine_mass(reserve.mass_kg);
        return vec![format!(
            "as drawn it weighs {} before holes; so that it does not come out too light, draw it {more} heavier, then \
             weigh it and trim it",
            speech.mass(piece.as_cast.total)
        )];
    }
    let mut lines = vec![
        format!(
            "pour for {}{larger}: {} more than the exact piece, before holes",
            speech.mass(reserve.cast_kg),
            speech.fine_mass(reserve.mass_kg)
        ),
        "then weigh it and trim it: mass can be taken off a casting, not put on".to_owned(),
    ];
    lines.extend(beyond(worked));
    lines
}

/// What a casting with its reserve goes beyond before it is trimmed; of metals that a shop pours.
#[must_use]
pub fn beyond(worked: &Worked) -> Vec<String> {
    let Some(piece) = worked.solution().filter(|_| casts(worked)) else { return Vec::new() };
    let speech = Speech::of(worked);
    worked.beyond.iter().map(|beyond| untrimmed(piece, beyond, &speech)).collect()
}

/// “before trimming it reaches 7.36 in forward, more than the 7.3 in allowed: trim before fitting”.
fn untrimmed(piece: &Solution, beyond: &Beyond, speech: &Speech) -> String {
    let Beyond { limit, found, allowed } = *beyond;
    let has = match (limit, piece.value) {
        (Limit::Bound, Some((dimension, _))) => format!("is {}", speech.dimension(dimension, found)),
        (Limit::Capacity, _) => format!("makes a finished piece of {}", speech.mass(found)),
        (Limit::Forward, _) => format!("reaches {} forward", speech.length(found)),
        (Limit::Above, _) => format!("reaches {} above the chord plane", speech.length(found)),
        (Limit::Below, _) => format!("reaches {} below the chord plane", speech.length(found)),
        (Limit::Swing, _) => format!("swings at {} from the hinge line", speech.length(found)),
        _ => format!("is {} along the hinge line", speech.length(found)),
    };
    let allowed = if limit == Limit::Capacity { speech.mass(allowed) } else { speech.length(allowed) };
    format!("before trimming it {has}, more than the {allowed} allowed: trim before fitting")
}

/// How far the finished moment may be off, and where that comes from.
#[must_use]
pub fn uncertainty(worked: &Worked) -> Vec<String> {
    let Some(piece) = worked.solution() else { return Vec::new() };
    let speech = Speech::of(worked);
    let mut lines = vec![known_to(worked, piece, &speech)];
    let variance: f64 = piece.contributions.iter().map(|one| one.standard_uncertainty.powi(2)).sum();
    let told = piece.contributions.iter().filter(|one| 0.0 < one.standard_uncertainty);
    lines.extend(told.map(|one| {
        let share = percent_plain(one.standard_uncertainty.powi(2) / variance);
        format!("{}: standard uncertainty {}, {share}", one.name, speech.fine_size(one.standard_uncertainty))
    }));
    lines
}

/// “the finished moment is known to ±0.30 in-lb (k = 2), with the uncertainty of the wanted one in it”.
fn known_to(worked: &Worked, piece: &Solution, speech: &Speech) -> String {
    let design = &worked.sheet.design;
    let (k, u) = (design.accuracy.coverage_factor, piece.standard_uncertainty);
    if u <= 0.0 {
        return "no uncertainty given: how far the finished moment may be off is not known".to_owned();
    }
    let wanted = if 0.0 < design.wanted.standard_uncertainty {
        "with the uncertainty of the wanted one in it"
    } else {
        "and no uncertainty of the wanted one is given"
    };
    if k <= 0.0 {
        let u = speech.fine_size(u);
        return format!("the finished moment has the standard uncertainty {u}, {wanted}");
    }
    let k_words = crate::words::plain(k);
    format!("the finished moment is known to ±{} (k = {k_words}), {wanted}", speech.fine_size(k * u))
}

/// Why there is no piece, and what to do.
#[must_use]
pub fn stopped(worked: &Worked) -> Vec<String> {
    let Err(fault) = &worked.outcome else { return Vec::new() };
    let speech = Speech::of(worked);
    let mut lines = match fault {
        Fault::Shortfall(short) => shortfall(short, &speech),
        // The big sentence says it whole.
        _ => Vec::new(),
    };
    lines.push(format!("what can be done: {}", fault.hint()));
    lines
}

fn shortfall(short: &Shortfall, speech: &Speech) -> Vec<String> {
    let value = |value: f64| match short.dimension {
        Some(dimension) => speech.dimension(dimension, value),
        None => format!("{value:.0} plates"),
    };
    if short.is_wrong_side() {
        return Vec::new();
    }
    let mut lines = vec![
        format!("it stops at {} by {}", value(short.value), short.limit.name()),
        format!(
            "it gives {} there; {} ({} %) is lacking of {}",
            speech.moment(short.reached_kg_m),
            speech.size(short.lacking_kg_m()),
            hingeline_quantity::decimals(short.lacking_percent(), 1),
            speech.moment(short.wanted_kg_m)
        ),
    ];
    lines.push(match short.unrestricted {
        Some(free) => format!("without any limit it would be {}", value(free)),
        None => "no size of it would give the moment, even without limits".to_owned(),
    });
    lines
}

/// The metal and where the numbers come from.
#[must_use]
pub fn sources(worked: &Worked) -> Vec<String> {
    let mut lines = metal_numbers(&worked.sheet.metal);
    lines.extend(result::sources(worked).iter().map(source_line));
    lines
}

/// The metal, where nothing else has a source.
pub(super) fn metal_lines(metal: &Metal) -> Vec<String> {
    let mut lines = metal_numbers(metal);
    lines.push(source_line(&result::metal_source(metal)));
    lines
}

fn source_line(source: &result::SourcePart) -> String {
    match source.citation {
        Some(citation) => format!("[{}] {citation} ({})", source.key, source.grade),
        None => format!("[{}] ({})", source.key, source.grade),
    }
}

fn metal_numbers(metal: &Metal) -> Vec<String> {
    let density = hingeline_quantity::decimals(metal.density.kg_m3 / 1000.0, 3);
    let u = hingeline_quantity::decimals(metal.density.standard_uncertainty / 1000.0, 3);
    let mut lines = vec![format!("{}: {density} g/cm³, standard uncertainty {u} g/cm³", metal.name)];
    lines.extend(Some(metal.notes.clone()).filter(|notes| !notes.is_empty()));
    lines
}

/// The cautions that belong to this piece.
#[must_use]
pub fn cautions(worked: &Worked) -> Vec<&'static str> {
    let [flutter, _, lead, molten, paint] = CAUTIONS;
    let mut told = vec![flutter];
    if worked.sheet.metal.name.to_lowercase().contains("lead") {
        told.push(lead);
    }
    if casts(worked) {
        told.push(molten);
    }
    if !worked.sheet.design.films.is_empty() {
        told.push(paint);
    }
    told
}

/// What the sheet asks for, as typed: “moment 3.78 in-lb nose-heavy, within 0.06 in-lb”.
#[must_use]
pub fn asked(worked: &Worked) -> String {
    let typed = worked.sheet.typed.iter().map(|(key, text)| format!("{key} {text}"));
    typed.collect::<Vec<_>>().join(", ")
}

/// A mass in a unit that was typed, to the digit that a scale of that use shows.
fn scale_mass(mass: f64, unit: &'static hingeline_quantity::Unit, places: usize) -> String {
    format!("{} {}", hingeline_quantity::decimals(Mass::from_si(mass).in_unit(unit), places), unit.symbol)
}

/// A length without trailing zeros.
fn plain_length(length: f64, unit: &hingeline_quantity::Unit) -> String {
    in_unit(Length::from_si(length).si(), unit)
}
