//! The performer's sign-off, with the PIN; refused with all that is missing.

use super::{at, name, rounds, say, step};
use crate::form::{Filled, Said, Typed, Wrong};
use crate::parts::{self, Field, Tone};
use crate::problem::Problem;
use crate::routes::Who;
use crate::visit::{Answer, Visit, go_saying};
use axum::extract::Path;
use hingeline_bench::record::card;
use hingeline_bench::record::concern;
use hingeline_bench::record::deed::{Deed, Person, Signature};
use hingeline_bench::record::job::{Job, ledger_of};
use hingeline_bench::record::signed::{Act, Signed};
use hingeline_bench::record::way::Step;
use hingeline_bench::words;
use maud::{Markup, html};

/// GET /jobs/{number}/sign
pub(crate) async fn page(visit: Visit, Path(number): Path<String>) -> Answer {
    let job = visit.job_and_weights(&number).await?;
    visit.page(&name(&job, "Sign-off"), content(&visit, &job, &Filled::default()))
}

/// POST /jobs/{number}/sign
pub(crate) async fn enter(visit: Visit, Path(number): Path<String>, typed: Typed) -> Answer {
    let job = visit.job_and_weights(&number).await?;
    fresh(&job, &typed)?;
    let mut wrong = Wrong::default();
    for missing in card::before_sign_off(&visit.shop, &job) {
        wrong.say("", Said::new(format!("missing before the sign-off: {missing}")));
    }
    if job.signed.is_some() {
        wrong.say("", Said::new("the last weighing is signed off already").hint("an inspector comes next"));
    }
    certificate(&visit.me()?.person, &mut wrong);
    visit.sign(&typed, &mut wrong).await?;
    if !wrong.is_empty() {
        return visit.refused(
            &name(&job, "Sign-off"),
            content(&visit, &job, &Filled::refused(without_pin(typed), wrong)),
        );
    }
    let signature = signature(&job, &visit.me()?.person, statement(&job));
    visit.enter_job(&number, &[Deed::SignedOff(signature)], &typed).await?;
    go_saying(&at(&number, ""), "signed")
}

/// A signature is for what its giver saw: where somebody wrote in between, nothing is tried at all.
pub(super) fn fresh(job: &Job, typed: &Typed) -> Result<(), Problem> {
    if job.entries == typed.seen() {
        return Ok(());
    }
    let ledger = ledger_of(job.text("number"));
    Err(Problem::Stale { ledger, seen: typed.seen(), entries: job.entries, typed: Box::new(typed.clone()) })
}

/// A signature without a certificate number says too little.
pub(super) fn certificate(person: &Person, wrong: &mut Wrong) {
    for (text, word) in [(&person.certificate, "certificate number"), (&person.kind, "kind of certificate")] {
        if text.trim().is_empty() {
            let said = Said::new(format!("the record knows no {word} of {}", person.name));
            wrong.say("", said.hint("an administrator enters it on the page People"));
        }
    }
}

pub(super) fn without_pin(mut typed: Typed) -> Typed {
    typed.set("pin", "");
    typed
}

/// The signature of a person under a statement, for the last weighing.
pub(super) fn signature(job: &Job, person: &Person, statement: String) -> Signature {
    Signature {
        name: person.name.clone(),
        certificate: person.certificate.clone(),
        kind: person.kind.clone(),
        statement,
        weighing: job.weighings.last().map_or(0, |weighing| weighing.entry),
        head: job.head.hex(),
    }
}

/// What the performer signs.
fn statement(job: &Job) -> String {
    let weighed = job.weighings.last().map_or_else(String::new, |last| {
        let likely = doubt(job).map_or_else(String::new, |likely| format!("; {likely}"));
        format!(
            " The last weighing, entry {} of {}, gave {}, {}{likely}.",
            last.entry,
            say::text(&last.fields, "date"),
            say::moment(job, &last.outcome),
            last.outcome.verdict
        )
    });
    let source = job.card.as_ref().map_or("", |(_, card)| say::text(&card.limits, "source"));
    format!(
        "The work and the readings of this job were done as recorded, on the surface and in the configuration stated.{weighed} \
         Approved data: {source}."
    )
}

/// What is to be looked at before anybody signs.
pub(super) fn first(job: &Job) -> Vec<String> {
    job.assessment().and_then(Result::ok).map_or_else(Vec::new, |judged| concern::first(job, &judged))
}

/// The doubt of the last weighing in a few words; none where there is none.
fn doubt(job: &Job) -> Option<String> {
    let assessment = job.assessment()?.ok()?;
    words::likely(assessment.last())
}

fn content(visit: &Visit, job: &Job, filled: &Filled) -> Markup {
    let missing = card::before_sign_off(&visit.shop, job);
    let body = html! {
        div.split {
            div {
                (super::limits::standing_of(visit, job))
                (rounds::look_first(&first(job)))
                (super::overview::sent_back(visit, job))
                @if let Some(signed) = job.standing(Act::SignOff) {
                    (given(visit, &signed))
                    div.row { a.button href=(at(job.text("number"), "/inspect")) { "To the inspection" } }
                } @else {
                    @if !missing.is_empty() { (before("Before the sign-off", &missing)) (parts::form_summary(filled)) }
                    @if missing.is_empty() && visit.may(Who::Worker) { (form(visit, job, filled)) }
                }
            }
            aside { (parts::caution(hingeline_bench::words::CAUTIONS[0])) }
        }
    };
    step(
        job,
        Some(Step::SignOff),
        "Sign-off",
        "The performer signs for the last weighing and all that led to it.",
        &body,
    )
}

/// All that is missing.
pub(super) fn before(title: &str, missing: &[String]) -> Markup {
    parts::notice(Tone::Doubt, title, &html! { ul { @for what in missing { li { (what) } } } })
}

fn form(visit: &Visit, job: &Job, filled: &Filled) -> Markup {
    html! {
        form.card.flow method="post" action=(at(job.text("number"), "/sign")) {
            (parts::seen(job.entries))
            (parts::form_summary(filled))
            @if let Some(likely) = doubt(job) {
                (parts::notice(Tone::Doubt, "The last weighing leaves a doubt", &html! { p { (say::capital(&likely)) "." } }))
            }
            p.statement { (statement(job)) }
            (signer(visit))
            (Field::pin("pin", "Your PIN").hint("it stands for your signature").needed().show(filled))
            div.row { button type="submit" { "Sign it off" } a.button.quiet href=(at(job.text("number"), "")) { "Not yet" } }
        }
    }
}

/// Who will have signed.
pub(super) fn signer(visit: &Visit) -> Markup {
    let Some(me) = &visit.me else { return html! {} };
    parts::facts(&[
        ("Name", html! { (me.person.name) }),
        ("Certificate number", html! { (me.person.certificate) }),
        ("Kind", html! { (me.person.kind) }),
        ("Day", html! { (visit.today) }),
    ])
}

/// A signature that was given, and what became of it.
pub(super) fn given(visit: &Visit, signed: &Signed) -> Markup {
    let what = match signed.act {
        Act::SignOff => "Performed",
        Act::Inspection => "Independent inspection",
    };
    let class = if signed.voided.is_some() { "card signature voided" } else { "card signature" };
    html! {
        section class=(class) {
            p.act { (what) }
            p.name { (signed.signature.name) }
            p.hint { (signed.signature.certificate) ", " (signed.signature.kind) " · " (visit.local(&signed.at)) " · entry " (signed.entry) }
            p { (signed.signature.statement) }
            @match signed.voided {
                None => (parts::badge(Tone::Good, "stands")),
                Some(by) => { (parts::badge(Tone::Bad, "void")) " " span.hint { "taken away by entry " (by) @if signed.sent_back { ", with which the inspector sent the job back" } @else { ", which changed what was signed" } } }
            }
        }
    }
}
