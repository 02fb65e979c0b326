//! The rounds of a job, in their order: weighings with value and doubt, corrections, work, what was chosen and sent
//! back. What was struck stays in its place, struck through.

use super::weigh::received_on;
use super::{kept, mend, say};
use crate::parts::{self, Tone};
use crate::visit::Visit;
use hingeline_bench::mark::mark;
use hingeline_bench::record::deed::Deed;
use hingeline_bench::record::job::{Job, Line};
use hingeline_bench::record::weigh as rules;
use hingeline_bench::words::{self, Voice};
use hingeline_bench::{Assessment, Weighed, arithmetic, method_word};
use maud::{Markup, html};

/// The list; a weighing is told with what the job's limits make of it now.
pub(super) fn list(visit: &Visit, job: &Job, assessment: Option<&Assessment>) -> Markup {
    let rounds: Vec<Markup> =
        job.lines.iter().filter_map(|line| round(visit, job, line, assessment)).collect();
    html! {
        @if rounds.is_empty() { p.empty { "Nothing was weighed or changed yet." } }
        @else { ol.rounds { @for round in &rounds { (round) } } }
    }
}

fn round(visit: &Visit, job: &Job, line: &Line, assessment: Option<&Assessment>) -> Option<Markup> {
    let (class, inside) = match &line.deed {
        Deed::Weighed { .. } => ("weighed", weighing(visit, job, line, assessment)),
        Deed::Corrected { .. } | Deed::Worked { .. } | Deed::JudgedBy { .. } => {
            ("done", small(visit, job, line))
        }
        Deed::SentBack { .. } => ("back", small(visit, job, line)),
        _ => return None,
    };
    let out = if job.stands(line.number).is_none() { " out" } else { "" };
    Some(html! {
        li class={ (class) (out) } {
            (inside)
            @if let Some((by, reason)) = &line.mended {
                p.mend { (if out.is_empty() { "Mended" } else { "Struck" }) " by entry " (by) ", because " (reason) }
            }
        }
    })
}

/// The corrections and the work that count, each with who and when.
pub(super) fn done(visit: &Visit, job: &Job) -> Vec<Markup> {
    let counts =
        |line: &&Line| matches!(job.stands(line.number), Some(Deed::Corrected { .. } | Deed::Worked { .. }));
    let lines = job.lines.iter().filter(counts);
    lines
        .map(|line| {
            html! {
                @if let Some(deed) = job.stands(line.number) { (say::deed(job, deed)) }
                @if let Some(mended) = mended(job, line.number) { p.mend { (mended) } }
                p.by { (visit.local(&line.at)) " · " (line.by) " · entry " (line.number) }
            }
        })
        .collect()
}

/// What became of an entry that still counts: "mended by entry 9, because misread"; none where it stands as it was
/// entered.
pub(super) fn mended(job: &Job, entry: u64) -> Option<String> {
    let line = job.lines.iter().find(|line| line.number == entry)?;
    let (by, reason) = line.mended.as_ref()?;
    Some(format!("mended by entry {by}, because {reason}"))
}

/// Who, when, and where to mend it.
fn by(visit: &Visit, job: &Job, line: &Line) -> Markup {
    html! {
        p.by {
            (visit.local(&line.at)) " · " (line.by) " · entry " (line.number)
            @if let Some(to) = mend::offered(visit, job, line) { " · " a.mend href=(to) { "mend" } }
        }
    }
}

fn small(visit: &Visit, job: &Job, line: &Line) -> Markup {
    html! {
        @match job.stands(line.number) {
            Some(deed) => p.what { (say::deed(job, deed)) },
            None => p.what { del { (say::deed(job, &line.deed)) } },
        }
        (by(visit, job, line))
    }
}

fn weighing(visit: &Visit, job: &Job, line: &Line, assessment: Option<&Assessment>) -> Markup {
    let index = job.weighings.iter().position(|weighing| weighing.entry == line.number);
    let weighed = index
        .zip(assessment)
        .and_then(|(index, assessment)| Some((index, assessment.weighings.get(index)?, assessment)));
    match weighed {
        Some((index, weighed, assessment)) => html! {
            h3 { "Weighing " (index + 1) ", " (weighed.taken.stage.word()) }
            (values(weighed, assessment))
            @if let Some(early) = job.weighings.get(index).and_then(|known| rules::dated_early(&known.fields, received_on(visit, job))) {
                p.hint { span aria-hidden="true" { "! " } (say::capital(&early)) "." }
            }
            (by(visit, job, line))
        },
        None => html! {
            h3 { "Weighing" }
            @if job.stands(line.number).is_none() { del { (say::deed(job, &line.deed)) } } @else { (say::deed(job, &line.deed)) }
            (by(visit, job, line))
        },
    }
}

fn values(weighed: &Weighed, assessment: &Assessment) -> Markup {
    let units = assessment.sheet.limits.units;
    let voice = Voice::of(weighed, units);
    html! {
        p.value { (kept(&voice.measured(weighed))) }
        p { (parts::badge(tone(weighed), &verdict(weighed))) " " (kept(&words::doubt(weighed, &voice))) }
        @if !weighed.reasons.is_empty() {
            (parts::notice(Tone::Bad, "Not valid for release", &html! { ul { @for reason in &weighed.reasons { li { (words::reason(reason)) } } } }))
        }
        p.hint { (method_word(&weighed.taken.weighing.method)) ", " (weighed.taken.date) }
        details {
            summary { "Readings and arithmetic" }
            dl.facts { @for typed in &weighed.taken.typed { div { dt { (words::set_word(&weighed.taken.weighing.method, &typed.word)) } dd { (typed.texts.join(", ")) } } } }
            (working(weighed, assessment))
        }
    }
}

/// The written-out arithmetic of a weighing, and its notes.
pub(super) fn working(weighed: &Weighed, assessment: &Assessment) -> Markup {
    let units = assessment.sheet.limits.units;
    let moment = arithmetic::moment(weighed, units);
    let sum: Vec<String> = moment.iter().map(arithmetic::Step::line).collect();
    let notes = words::notes(assessment, weighed);
    html! {
        p.sum { (sum.join("\n")) }
        @if !notes.is_empty() { ul.tight.notes { @for note in &notes { li { (note) } } } }
    }
}

/// What is to be looked at before anybody signs; nothing where nothing is.
pub(super) fn look_first(said: &[String]) -> Markup {
    html! {
        @if !said.is_empty() {
            (parts::notice(Tone::Doubt, "Look at this first", &html! { ul { @for each in said { li { (say::capital(each)) "." } } } }))
        }
    }
}

/// Good, bad, or to be looked at.
pub(super) fn tone(weighed: &Weighed) -> Tone {
    mark(weighed).into()
}

fn verdict(weighed: &Weighed) -> String {
    let calculated = if words::calculated(weighed) { "calculated, " } else { "" };
    format!("{calculated}{}", hingeline_bench::result::verdict_word(weighed.judgement.verdict))
}
