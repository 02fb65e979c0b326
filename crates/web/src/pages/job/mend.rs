//! A mistake is mended by a new entry that says what it replaces and why, or strikes it.

use super::{at, correction, look, name, note, photo, receive, say, step, work};
use crate::form::{Filled, Said, Typed, Wrong};
use crate::parts::{self, Field, Tone};
use crate::problem::Problem;
use crate::routes::Who;
use crate::visit::{Answer, Visit, go_saying};
use axum::extract::Path;
use hingeline_bench::record::deed::{Deed, Fields};
use hingeline_bench::record::job::{Job, Line, Refusal};
use hingeline_bench::record::sheet::text;
use maud::{Markup, html};

/// Characters of a reason at most.
const LONGEST: usize = 500;

/// GET /jobs/{number}/mend/{entry}
pub(crate) async fn page(visit: Visit, Path((number, entry)): Path<(String, String)>) -> Answer {
    let job = visit.job(&number).await?;
    let (line, deed) = mendable(&job, &entry)?;
    visit.page(&name(&job, "Mend an entry"), content(&visit, &job, (line, deed), &prefilled(deed)))
}

/// POST /jobs/{number}/mend/{entry}
pub(crate) async fn enter(
    visit: Visit,
    Path((number, entry)): Path<(String, String)>,
    mut typed: Typed,
) -> Answer {
    let job = visit.job(&number).await?;
    let (line, stands) = mendable(&job, &entry)?;
    let mut wrong = Wrong::default();
    if let (Deed::Received { .. }, "mend") = (stands, typed.get("do")) {
        receive::in_capitals(&mut typed, &mut wrong);
    }
    let reason = wrong.need(&typed, "reason", "the reason").to_owned();
    if reason.chars().count() > LONGEST {
        wrong.say(
            "reason",
            Said::new("the reason is too long")
                .allowed(format!("up to {LONGEST} characters"))
                .hint("put the rest into a remark"),
        );
    }
    let with = match typed.get("do") {
        "strike" if can_be_struck(stands) => None,
        "mend" if can_be_mended(stands) => Some(Box::new(read(&job, (line, stands), &typed, &mut wrong))),
        other => {
            let what = if other.is_empty() {
                "neither mend nor strike is chosen".to_owned()
            } else {
                format!("“{other}” cannot be done to this entry")
            };
            wrong.say("", Said::new(what).hint("use one of the buttons below"));
            None
        }
    };
    if with.as_deref() == Some(stands) {
        wrong.say(
            "",
            Said::new("what is typed is what the entry says already")
                .hint("change what was wrong, or go back"),
        );
    }
    if !wrong.is_empty() {
        return visit.refused(
            &name(&job, "Mend an entry"),
            content(&visit, &job, (line, stands), &Filled::refused(typed, wrong)),
        );
    }
    let deed = Deed::Mended { entry: line.number, reason, with };
    visit.enter_job(&number, &[deed], &typed).await?;
    go_saying(&at(&number, ""), "mended")
}

/// Where an entry is mended; none where it cannot be, or not by this person.
pub(super) fn offered(visit: &Visit, job: &Job, line: &Line) -> Option<String> {
    let open = job.stands(line.number).is_some() && (can_be_mended(&line.deed) || can_be_struck(&line.deed));
    (open && visit.may(Who::Worker)).then(|| at(job.text("number"), &format!("/mend/{}", line.number)))
}

/// An entry and what it says now.
fn mendable<'j>(job: &'j Job, entry: &str) -> Result<(&'j Line, &'j Deed), Problem> {
    let missing = || Problem::not_found(format!("entry {entry} in job {}", job.text("number")));
    let number: u64 = entry.parse().map_err(|_| missing())?;
    let line = job.lines.iter().find(|line| line.number == number).ok_or_else(missing)?;
    let open = can_be_mended(&line.deed) || can_be_struck(&line.deed);
    let stands = job.stands(number).filter(|_| open);
    stands.map(|deed| (line, deed)).ok_or(Problem::Refused(Refusal::NoSuchEntry { number }))
}

fn can_be_mended(deed: &Deed) -> bool {
    matches!(
        deed,
        Deed::Received { .. }
            | Deed::Looked { .. }
            | Deed::Corrected { .. }
            | Deed::Worked { .. }
            | Deed::Noted { .. }
            | Deed::Photographed { .. }
    )
}

/// A job without its surface would be none: that entry is only mended.
fn can_be_struck(deed: &Deed) -> bool {
    match deed {
        Deed::Received { .. } => false,
        Deed::JudgedBy { .. } | Deed::Weighed { .. } => true,
        Deed::WeightIntended { .. } | Deed::WeightWeighed { .. } | Deed::WeightFitted { .. } => true,
        Deed::DrillOutIntended { .. } | Deed::DrilledOut { .. } => true,
        other => can_be_mended(other),
    }
}

/// The form as the entry fills it.
fn prefilled(deed: &Deed) -> Filled {
    let owned = |pairs: &[(&str, &str)]| {
        Filled::with(pairs.iter().map(|(key, value)| ((*key).to_owned(), (*value).to_owned())))
    };
    match deed {
        Deed::Received { job } => Filled::with(receive::FIELDS.map(|(key, ..)| (key, say::text(job, key)))),
        Deed::Looked { findings } => look::standing(findings),
        Deed::Corrected { station, action, mass, what } => {
            owned(&[("station", station), ("action", action), ("mass", mass), ("what", what)])
        }
        Deed::Worked { kind, what } => owned(&[("kind", kind), ("what", what)]),
        Deed::Noted { text } => owned(&[("text", text)]),
        Deed::Photographed { caption, .. } => owned(&[("caption", caption)]),
        _ => Filled::default(),
    }
}

/// What takes the entry's place, with everything that is wrong with it.
fn read(job: &Job, (line, old): (&Line, &Deed), typed: &Typed, wrong: &mut Wrong) -> Deed {
    match old {
        Deed::Received { job } => Deed::Received { job: identity(job, typed, wrong) },
        Deed::Looked { .. } => Deed::Looked { findings: look::findings(wrong, typed) },
        Deed::Corrected { .. } => correction::read(job, typed, wrong, Some(line.number)),
        Deed::Worked { .. } => work::read(typed, wrong),
        Deed::Noted { .. } => note::read(typed, wrong),
        Deed::Photographed { file, media, .. } => Deed::Photographed {
            file: file.clone(),
            media: media.clone(),
            caption: photo::caption(typed, wrong),
        },
        other => other.clone(),
    }
}

/// The number of a job is the name of its ledger and stays, and so does what the form does not show.
fn identity(old: &Fields, typed: &Typed, wrong: &mut Wrong) -> Fields {
    let shown = |key: &str| receive::FIELDS.iter().any(|(known, ..)| *known == key);
    let mut fields = receive::identity(wrong, typed);
    for (key, field) in old.iter().filter(|(key, _)| !shown(key)) {
        fields.insert(key.clone(), field.clone());
    }
    fields.entry("number".to_owned()).or_insert_with(|| text(""));
    fields
}

fn content(visit: &Visit, job: &Job, (line, stands): (&Line, &Deed), filled: &Filled) -> Markup {
    let number = job.text("number");
    let signed = job.signed.is_some() || job.inspected.is_some();
    let body = html! {
        section.card {
            h2 { "Entry " (line.number) ", " (visit.local(&line.at)) ", " (line.by) }
            div { (say::deed(job, stands)) }
        }
        @if signed {
            (parts::notice(Tone::Doubt, "The job is signed.", &html! { p { "Mending or striking any entry takes the signatures" @if job.released.is_some() { " and the release" } " away: the job must be signed and inspected again." } }))
        }
        form.card.flow method="post" action=(at(number, &format!("/mend/{}", line.number))) {
            (parts::seen(job.entries))
            (parts::form_summary(filled))
            (inputs(job, stands, filled))
            (Field::line("reason", "Why the entry is mended or struck").hint("what was wrong with it").needed().show(filled))
            div.row {
                @if matches!(stands, Deed::Weighed { .. }) { a.button href=(at(number, &format!("/weigh/{}/mend", line.number))) { "Mend its readings" } }
                @if can_be_mended(stands) { button type="submit" name="do" value="mend" { "Put this in its place" } }
                @if can_be_struck(stands) { button.danger type="submit" name="do" value="strike" { "Strike the entry" } }
                a.button.quiet href=(at(number, "/ledger")) { "Leave it" }
            }
        }
    };
    step(
        job,
        None,
        "Mend an entry",
        "The old entry stays in the ledger, struck through, with the reason beside it.",
        &body,
    )
}

fn inputs(job: &Job, deed: &Deed, filled: &Filled) -> Markup {
    match deed {
        Deed::Received { .. } => html! { div.fields { (receive::fields(filled)) } },
        Deed::Looked { .. } => look::items(filled),
        Deed::Corrected { .. } => correction::fields(job, filled),
        Deed::Worked { .. } => work::fields(filled),
        Deed::Noted { .. } => note::fields(filled),
        Deed::Photographed { .. } => Field::line("caption", "What it shows").needed().show(filled),
        Deed::Weighed { .. } => {
            html! { p { "Striking a weighing takes it out of the verdict and off the sheet; its readings stay in the ledger." } }
        }
        Deed::WeightIntended { .. } => {
            html! { p { "Striking a weight takes it off the list of weights, with its castings; a correction that fitted it stays." } }
        }
        Deed::WeightWeighed { .. } => {
            html! { p { "Striking a weighing of the casting works the trimming out again from the others." } }
        }
        Deed::DrillOutIntended { .. } => {
            html! { p { "Striking this takes the holes that are meant off the list; a correction that drilled them stays." } }
        }
        Deed::WeightFitted { .. } | Deed::DrilledOut { .. } => {
            html! { p { "Striking this takes the link to the weight away; the correction with its mass stays, and is mended by itself." } }
        }
        _ => {
            html! { p { "Striking the choice of the limits leaves the job with the card chosen before it, or with none." } }
        }
    }
}
