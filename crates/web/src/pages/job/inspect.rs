//! The independent inspection: another person than any performer checks and signs with the PIN, or sends the job back.

use super::{at, name, sign, step};
use crate::form::{Filled, Said, Typed, Wrong};
use crate::parts::{self, Field, Tone};
use crate::visit::{Answer, Visit, go_saying};
use axum::extract::Path;
use hingeline_bench::record::deed::Deed;
use hingeline_bench::record::job::{Job, Refusal};
use hingeline_bench::record::signed::Act;
use hingeline_bench::record::way::Step;
use maud::{Markup, html};

/// What an inspector looks at; all of it, or the job goes back.
const ITEMS: [(&str, &str); 5] = [
    ("identity", "surface, part and serial number agree with the record"),
    ("data", "the approved data are the right ones, in their current revision"),
    ("weighing", "configuration, set-up, arms and readings of the last weighing"),
    ("correction", "what was added or taken away: place, mass, fastening, locking, finish"),
    ("freedom", "the surface moves freely, and nothing was left in or on it"),
];

/// GET /jobs/{number}/inspect
pub(crate) async fn page(visit: Visit, Path(number): Path<String>) -> Answer {
    let job = visit.job(&number).await?;
    visit.page(&name(&job, "Inspection"), content(&visit, &job, &Filled::default(), &Filled::default()))
}

/// POST /jobs/{number}/inspect
pub(crate) async fn enter(visit: Visit, Path(number): Path<String>, typed: Typed) -> Answer {
    let job = visit.job(&number).await?;
    let person = visit.me()?.person.clone();
    sign::fresh(&job, &typed)?;
    let signature = sign::signature(&job, &person, statement());
    job.allows(&Deed::Inspected(signature.clone()), &person)?;
    let mut wrong = Wrong::default();
    if job.inspected.is_some() {
        wrong.say("", Said::new("the job is inspected already").hint("the release comes next"));
    }
    for (item, words) in ITEMS {
        if !typed.ticked("checked", item) {
            wrong.say(
                format!("checked.{item}"),
                Said::new(format!("not checked: {words}"))
                    .hint("check it and tick it, or send the job back with the reason"),
            );
        }
    }
    sign::certificate(&person, &mut wrong);
    sign::pin(&visit, &typed, &mut wrong).await?;
    if !wrong.is_empty() {
        let filled = Filled::refused(sign::without_pin(typed), wrong);
        return visit.refused(&name(&job, "Inspection"), content(&visit, &job, &filled, &Filled::default()));
    }
    visit.enter_job(&number, &[Deed::Inspected(signature)], &typed, None).await?;
    go_saying(&at(&number, ""), "inspected")
}

/// POST /jobs/{number}/send-back
pub(crate) async fn send_back(visit: Visit, Path(number): Path<String>, typed: Typed) -> Answer {
    let job = visit.job(&number).await?;
    let mut wrong = Wrong::default();
    let reason = wrong.need(&typed, "reason", "the reason").to_owned();
    if !wrong.is_empty() {
        let filled = Filled::refused(typed, wrong);
        return visit.refused(&name(&job, "Inspection"), content(&visit, &job, &Filled::default(), &filled));
    }
    visit.enter_job(&number, &[Deed::SentBack { reason }], &typed, None).await?;
    go_saying(&at(&number, ""), "sent-back")
}

fn statement() -> String {
    let items = ITEMS.map(|(_, words)| words).join("; ");
    format!("Independent of the performer I checked: {items}.")
}

fn content(visit: &Visit, job: &Job, filled: &Filled, back: &Filled) -> Markup {
    let body = html! {
        div.split {
            div {
                @for signed in job.standing(Act::SignOff).iter().chain(job.standing(Act::Inspection).iter()) { (sign::given(visit, signed)) }
                (open(visit, job, filled, back))
            }
            aside {
                div.card {
                    h2 { "Independent" }
                    p { "Whoever weighed, corrected, worked, mended an entry or signed off this job cannot inspect it." }
                    @if !job.performers.is_empty() {
                        p.hint { "So far these took part:" }
                        ul.tight { @for name in &job.performers { li { (name) } } }
                    }
                }
                (parts::caution(hingeline_bench::words::CAUTIONS[0]))
            }
        }
    };
    step(
        job,
        Some(Step::Inspection),
        "Independent inspection",
        "Another person than the performer checks the surface and its record, then signs or sends it back.",
        &body,
    )
}

/// The forms, or why there are none.
fn open(visit: &Visit, job: &Job, filled: &Filled, back: &Filled) -> Markup {
    if job.inspected.is_some() {
        return html! { div.row { a.button href=(at(job.text("number"), "/release")) { "To the release" } } };
    }
    let deed = Deed::SentBack { reason: String::new() };
    let allowed = visit.me.as_ref().map(|me| job.allows(&deed, &me.person));
    match allowed {
        None | Some(Ok(())) => html! { (form(visit, job, filled)) (back_form(job, back)) },
        Some(Err(refusal)) => refused(&refusal),
    }
}

fn refused(refusal: &Refusal) -> Markup {
    match refusal {
        Refusal::NotIndependent { .. } => {
            parts::notice(Tone::Bad, "You cannot inspect this job.", &html! { p { (refusal) "." } })
        }
        Refusal::Role { needs } => parts::notice(
            Tone::Doubt,
            "Waiting for an inspector.",
            &html! { p { "This needs " (needs) "." } },
        ),
        other => parts::notice(Tone::Doubt, "Not yet.", &html! { p { (other) "." } }),
    }
}

fn form(visit: &Visit, job: &Job, filled: &Filled) -> Markup {
    html! {
        form.card.flow method="post" action=(at(job.text("number"), "/inspect")) {
            h2 { "Check, then sign" }
            (parts::seen(job.entries))
            (parts::form_summary(filled))
            @for (item, words) in ITEMS { (tick(filled, item, words)) }
            (sign::signer(visit))
            (Field::pin("pin", "Your PIN").hint("it stands for your signature").needed().show(filled))
            div.row { button type="submit" { "Sign the inspection" } }
        }
    }
}

fn tick(filled: &Filled, item: &str, words: &str) -> Markup {
    let wrong = filled.wrong.of(&format!("checked.{item}"));
    html! {
        div.field.tick.wrong[!wrong.is_empty()] {
            label.choice {
                input type="checkbox" id={ "f-checked-" (item) } name="checked" value=(item) checked[filled.typed.ticked("checked", item)];
                span { (words) }
            }
            @for said in wrong { div.said { p { span.sign aria-hidden="true" { "✗ " } (said.what) } } }
        }
    }
}

fn back_form(job: &Job, filled: &Filled) -> Markup {
    html! {
        form.card.flow method="post" action=(at(job.text("number"), "/send-back")) {
            h2 { "Or send it back" }
            (parts::seen(job.entries))
            (parts::form_summary(filled))
            (Field::area("reason", "Reason", 3).hint("what has to be done or looked at again; the performer's signature is taken away").needed().show(filled))
            div.row { button.danger type="submit" { "Send it back" } }
        }
    }
}
