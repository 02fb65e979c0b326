//! What a person must know about a weighing beyond its numbers, in plain words.
//!
//! Main functions: [`notes`], all of it; [`to_look_at_first`], what of it may change the result; [`before_correcting`],
//! what comes before a correction.

use super::{friction_beyond_margin, in_unit, turning, turning_of_a_scale};
use crate::assess::{Assessment, Weighed};
use crate::job_sheet::{ApprovedLimits, Outline};
use crate::taken::Stage;
use hingeline_balance::{Method, Note, Place, Verdict};
use hingeline_quantity::{Entered, Length, Mass, Moment, Quantity};

/// What a person must know about a weighing beyond its numbers.
#[must_use]
pub fn note(note: &Note) -> &'static str {
    match note {
        Note::SingleReading => {
            "a set of one reading says nothing about scatter: the uncertainty leaves it out; take three or more"
        }
        Note::FewAtRest => {
            "fewer than seven readings at rest: ±U may cover a little less than 95 % (about 93 % with three, \
             scatter dominating); raise and lower, or take more"
        }
        Note::FewInASet => {
            "two readings in a set: ±U may cover a little less than 95 % (about 94 %, where their scatter counts twice \
             as much as the rest), and may be several times as wide as three would make it; take three or more in each"
        }
        Note::NoScatterSeen => {
            "all readings of a set are the same: their scatter is hidden below the step of the display"
        }
        Note::FrictionUnknown => "friction was not measured: read while raising and while lowering",
        Note::FrictionTurned => {
            "the lowering readings lie above the raising ones: look whether the sets were changed over"
        }
        Note::LevellingLeftOut => {
            "the levelling error is left out of the uncertainty: surface mass, height of the centre of gravity \
             and level are not stated"
        }
        Note::NoScaleCertificate => {
            "no certificate is stated for the scale: its error is left out of the uncertainty"
        }
        Note::BelowTare => {
            "the scale reads less than its sling or support alone: make sure that it can read a pull the other way, and that \
             nothing else holds the surface"
        }
        Note::TakenAsExact => {
            "a mass, an arm or the starting moment has no stated uncertainty and is taken as exact"
        }
        Note::Calculated => {
            "calculated, not weighed: it can stand for a weighing only where the approved data accept a calculation"
        }
    }
}

/// Why a trailing-edge scale shows nothing below its sling.
pub const SLING_ONLY_PULLS: &str = "a scale that pulls through a sling cannot read below it: use hung weight";

/// What a weighing without a tare does.
pub const NO_TARE: &str = "no tare is given, so sling or hook counts as part of the surface: type what the scale shows \
    with it alone, or 0 where it was zeroed with it";

/// Whether a trailing-edge scale was read below its sling, or below nothing where no sling is stated.
#[must_use]
pub fn below_sling(method: &Method) -> bool {
    let hangs = matches!(method, Method::TrailingEdgeScale(_) | Method::TwoAttitudes(_));
    let read = method.readings().map(|readings| Mass::from_si(readings.mean()));
    hangs && read.zip(method.reading_at(Moment::ZERO)).is_some_and(|(read, sling)| read < sling)
}

/// Whether a trailing-edge scale was read without a tare.
#[must_use]
pub fn no_tare(method: &Method) -> bool {
    match method {
        Method::TrailingEdgeScale(at) => at.tare.is_none(),
        Method::TwoAttitudes(two) => two.level.tare.is_none(),
        _ => false,
    }
}

/// What is to be looked at about the pan or hook of a hung weight: it hangs with the masses, so it counts.
#[must_use]
pub fn hung_pan(method: &Method) -> Option<&'static str> {
    let Method::HungWeight(hung) = method else { return None };
    let step = hung.scale.resolution.si();
    let Some(pan) = hung.hanger else {
        return Some("no pan or hook is given: if the mass hung in one, type what that weighs alone");
    };
    if pan <= Mass::ZERO {
        return Some(
            "the pan or hook is typed as 0: it hangs with the mass and counts, also where the scale was zeroed with it; \
             leave 0 only where it was weighed together with the mass, or where there is none",
        );
    }
    let same = (hung.readings.mean() - pan.si()).abs() < step * (1.0 + 1e-6);
    same.then_some(
        "the mass hung is as much as the pan or hook alone: look whether the pan was weighed in place of the mass in \
         it; the mass is typed without the pan, and the pan counts beside it",
    )
}

/// A note in the words of its method.
fn note_of(kind: &Note, method: &Method) -> String {
    match kind {
        Note::FrictionTurned => friction_turned(method),
        Note::FrictionUnknown if turning(method) != turning_of_a_scale() => {
            let [rises, sinks] = turning(method);
            format!("friction was not measured: take both sets, “{rises}” and “{sinks}”")
        }
        Note::BelowTare if below_sling(method) => SLING_ONLY_PULLS.to_owned(),
        _ => note(kind).to_owned(),
    }
}

/// Friction has to be overcome: what lifts the trailing edge is then the larger reading, what lets it sink the
/// smaller. A scale or support aft and a mass forward lift it; a scale or support forward and a mass aft hold it
/// down, and it rises once they bear less.
fn friction_turned(method: &Method) -> String {
    let [rises, sinks] = turning(method);
    let (lifts, place) = match method {
        Method::HungWeight(hung) => {
            (hung.place == Place::Forward, format!(" with the weight hung {}", hung.place.word()))
        }
        Method::BalanceBeam(beam) => {
            (beam.place == Place::Forward, format!(" with the mass slid {}", beam.place.word()))
        }
        Method::SupportScale(support) => {
            (support.place == Place::Aft, format!(" with the support {}", support.place.word()))
        }
        _ => (true, String::new()),
    };
    let (larger, smaller) = if lifts { (rises, sinks) } else { (sinks, rises) };
    format!(
        "friction makes “{larger}” the larger reading{place}, but “{smaller}” is the larger one here: look whether \
         the two sets were changed over"
    )
}

/// All that a person must know about a weighing beyond its numbers.
#[must_use]
pub fn notes(assessment: &Assessment, weighed: &Weighed) -> Vec<String> {
    let mut notes: Vec<String> =
        weighed.measured.notes.iter().map(|kind| note_of(kind, &weighed.taken.weighing.method)).collect();
    if below_sling(&weighed.taken.weighing.method) {
        notes.retain(|known| known != SLING_ONLY_PULLS);
        notes.insert(0, SLING_ONLY_PULLS.to_owned());
    }
    if no_tare(&weighed.taken.weighing.method) {
        notes.push(NO_TARE.to_owned());
    }
    notes.extend(hung_pan(&weighed.taken.weighing.method).map(str::to_owned));
    notes.extend(weighed.taken.remarks.iter().cloned());
    notes.dedup();
    notes.extend(circumstances(assessment, weighed));
    if friction_beyond_margin(weighed).is_some() {
        notes.push(FREE_THE_BEARINGS.to_owned());
    }
    notes
}

/// What is done where friction hides the moment.
const FREE_THE_BEARINGS: &str =
    "the friction moment is larger than the distance to the limit: free the bearings and weigh again";

/// Of the notes those that may change the result itself: how the load was taken, where, and whether friction hides it.
#[must_use]
pub fn to_look_at_first(assessment: &Assessment, weighed: &Weighed) -> Vec<String> {
    let method = &weighed.taken.weighing.method;
    let mut first: Vec<String> =
        below_sling(method).then(|| SLING_ONLY_PULLS.to_owned()).into_iter().collect();
    let grave = |kind: &&Note| match kind {
        Note::BelowTare => !below_sling(method),
        kind => **kind == Note::FrictionTurned,
    };
    first.extend(weighed.measured.notes.iter().filter(grave).map(|kind| note_of(kind, method)));
    first.extend(no_tare(method).then(|| NO_TARE.to_owned()));
    first.extend(hung_pan(method).map(str::to_owned));
    let sheet = &assessment.sheet;
    first.extend(method.bears_at().and_then(|arm| arm_beyond(sheet.outline, &sheet.limits, arm)));
    first.extend(friction_beyond_margin(weighed).map(|_| FREE_THE_BEARINGS.to_owned()));
    first
}

/// What has to be done, and weighed again, before a weighing outside its limits is corrected: by its number alone mass
/// would be changed for the friction or for the way of reading. Empty where nothing stands in the way.
#[must_use]
pub fn before_correcting(weighed: &Weighed) -> Vec<String> {
    if weighed.judgement.verdict != Verdict::Outside {
        return Vec::new();
    }
    let method = &weighed.taken.weighing.method;
    let sling = below_sling(method).then(|| SLING_ONLY_PULLS.to_owned());
    let turned = weighed.measured.notes.contains(&Note::FrictionTurned).then(|| friction_turned(method));
    let friction = friction_beyond_margin(weighed).map(|_| FREE_THE_BEARINGS.to_owned());
    sling.into_iter().chain(turned).chain(friction).collect()
}

/// What does not fit together: dates, due dates, persons, arms.
fn circumstances(assessment: &Assessment, weighed: &Weighed) -> Vec<String> {
    let sheet = &assessment.sheet;
    let used = weighed.taken.instruments.iter().map(|&index| &sheet.instruments[index]);
    let mut notes: Vec<String> = used
        .filter(|instrument| instrument.due.is_none())
        .map(|instrument| format!("no due date is stated for {}", sheet.plain_id(&instrument.id)))
        .collect();
    let found = assessment.weighings.iter().filter(|other| other.taken.stage == Stage::AsFound);
    if weighed.taken.stage == Stage::AsLeft
        && found.clone().any(|found| weighed.taken.date < found.taken.date)
    {
        notes.push("as left is dated before as found".to_owned());
    }
    let job = &sheet.job;
    if job.performed_by.is_some() && job.performed_by == job.inspected_by {
        notes.push(
            "performer and inspector are the same person: an independent inspection needs another".to_owned(),
        );
    }
    let arm = weighed.taken.weighing.method.bears_at();
    notes.extend(arm.and_then(|arm| arm_beyond(sheet.outline, &sheet.limits, arm)));
    notes
}

/// How far out of what is known of a surface an arm may reach before it is to be looked at.
const FAR_OUT: f64 = 1.5;

/// What is said of an arm, aft positive, that reaches beyond the outline of the card; where the outline does not say
/// how far it goes there, of one beyond 1.5 times the largest of the other lengths behind the hinge line.
#[must_use]
pub fn arm_beyond(outline: Outline, limits: &ApprovedLimits, arm: Length) -> Option<String> {
    let far = |end: Length, by: f64| end.si() * by * (1.0 + 1e-9) < arm.si().abs();
    let at = |length: Length| in_unit(length.si(), limits.units.length);
    let (end, word) =
        if arm < Length::ZERO { (outline.nose, "nose") } else { (outline.trailing_edge, "trailing edge") };
    if let Some(end) = end {
        return far(end, 1.0).then(|| format!("look at this arm: the {word} is at {}", at(end)));
    }
    let typed = limits.typed.iter().find(|(word, _)| *word == "at arm");
    let manual = typed.and_then(|(_, text)| Entered::<Length>::parse(text).ok()).map(|arm| arm.value);
    let (known, word) = match (outline.trailing_edge, manual) {
        (Some(edge), manual) if manual.is_none_or(|manual| manual < edge) => (edge, "the trailing edge is"),
        (_, Some(manual)) => (manual, "the manual reads"),
        _ => return None,
    };
    far(known, FAR_OUT).then(|| format!("look at this arm: {word} at {}", at(known)))
}
