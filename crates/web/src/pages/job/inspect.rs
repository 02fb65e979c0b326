//! The independent inspection: another person than any performer checks and signs with the PIN, or sends the job back.

use super::{at, name, rounds, say, sign, step};
use crate::form::{Filled, Said, Typed, Wrong};
use crate::parts::{self, Field, Tone};
use crate::visit::{Answer, Visit, go_saying};
use axum::extract::Path;
use hingeline_bench::record::card;
use hingeline_bench::record::deed::Deed;
use hingeline_bench::record::fitted_weight::FittedWeight;
use hingeline_bench::record::job::{Job, Refusal, Weighing};
use hingeline_bench::record::scale_check::{CheckState, scale_check};
use hingeline_bench::record::signed::Act;
use hingeline_bench::record::told;
use hingeline_bench::record::way::Step;
use hingeline_bench::{Assessment, arithmetic};
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
    let job = visit.job_and_weights(&number).await?;
    visit.page(&name(&job, "Inspection"), content(&visit, &job, &Filled::default()))
}

/// POST /jobs/{number}/inspect
pub(crate) async fn enter(visit: Visit, Path(number): Path<String>, typed: Typed) -> Answer {
    let job = visit.job_and_weights(&number).await?;
    let person = visit.me()?.person.clone();
    sign::fresh(&job, &typed)?;
    let signature = sign::signature(&job, &person, statement());
    job.allows(&Deed::SentBack { reason: String::new() }, &person)?;
    let mut wrong = Wrong::default();
    for stop in card::standing(&visit.shop, &job).iter().filter(|standing| standing.stops()) {
        wrong.say("", Said::new(stop.words()).hint("send the job back: another card has to be chosen"));
    }
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
    visit.sign(&typed, &mut wrong).await?;
    if !wrong.is_empty() {
        let filled = Filled::refused(sign::without_pin(typed), wrong);
        return visit.refused(&name(&job, "Inspection"), content(&visit, &job, &filled));
    }
    visit.enter_job(&number, &[Deed::Inspected(signature)], &typed).await?;
    go_saying(&at(&number, ""), "inspected")
}

/// POST /jobs/{number}/send-back
pub(crate) async fn send_back(visit: Visit, Path(number): Path<String>, typed: Typed) -> Answer {
    let job = visit.job_and_weights(&number).await?;
    let mut wrong = Wrong::default();
    let reason = wrong.need(&typed, "reason", "the reason").to_owned();
    sign::fresh(&job, &typed)?;
    job.allows(&Deed::SentBack { reason: String::new() }, &visit.me()?.person)?;
    visit.sign(&typed, &mut wrong).await?;
    if !wrong.is_empty() {
        let filled = Filled::refused(sign::without_pin(typed), wrong);
        return visit.refused(&name(&job, "Inspection"), content(&visit, &job, &filled));
    }
    visit.enter_job(&number, &[Deed::SentBack { reason }], &sign::without_pin(typed)).await?;
    go_saying(&at(&number, ""), "sent-back")
}

fn statement() -> String {
    let items = ITEMS.map(|(_, words)| words).join("; ");
    format!("Independent of the performer I checked: {items}.")
}

fn content(visit: &Visit, job: &Job, filled: &Filled) -> Markup {
    let body = html! {
        div.split {
            div {
                @for signed in job.standing(Act::SignOff).iter().chain(job.standing(Act::Inspection).iter()) { (sign::given(visit, signed)) }
                (sent_back(visit, job))
                (rounds::look_first(&sign::first(job)))
                (evidence(visit, job))
                (open(visit, job, filled))
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

/// What the record says of each item, beside which the inspector looks at the surface.
fn evidence(visit: &Visit, job: &Job) -> Markup {
    let identity = say::IDENTITY.into_iter().filter(|(key, _)| !job.text(key).is_empty());
    let identity: Vec<(&str, Markup)> =
        identity.map(|(key, word)| (word, html! { (job.text(key)) })).collect();
    html! {
        section.card { h2 { "Surface" } (parts::facts(&identity)) }
        @if let Some((number, content)) = &job.card {
            section.card {
                h2 { "Approved data: card " (number) }
                (super::limits::standing_of(visit, job))
                (super::limits::card(content))
            }
        }
        section.evidence {
            h2 { "Weighings" }
            @if job.weighings.is_empty() { p.empty { "Nothing was weighed yet." } }
            @let judged = job.assessment().and_then(Result::ok);
            @for (index, weighing) in job.weighings.iter().enumerate() { (weighed(visit, job, index, weighing, judged.as_ref())) }
        }
        section.card {
            h2 { "What was added, taken away or done" }
            @let done = rounds::done(visit, job);
            @if done.is_empty() { p.soft { "Nothing was entered." } } @else { ol.plain { @for each in &done { li { (each) } } } }
        }
        @for weight in &job.fitted_weights() { (fitted(weight)) }
        (not_fitted(job))
    }
}

/// Why the job was sent back before, the last time first; what was asked for is looked at again.
fn sent_back(visit: &Visit, job: &Job) -> Markup {
    let back = job.send_backs();
    html! {
        @if !back.is_empty() {
            (parts::notice(Tone::Doubt, "Sent back before: look whether it was done", &html! {
                ul { @for (line, reason) in back.iter().rev() {
                    li { strong { (reason) } " " span.hint { (line.by) ", " (visit.local(&line.at)) ", entry " (line.number) } }
                } }
            }))
        }
    }
}

/// The balance weights that were designed, perhaps cast too, and not fitted.
fn not_fitted(job: &Job) -> Markup {
    let weights: Vec<_> = job.weights().into_iter().filter(|weight| weight.fitted.is_empty()).collect();
    let units = told::units(job);
    html! {
        @if !weights.is_empty() {
            section.card {
                h2 { "Balance weights designed and not fitted" }
                ul.tight { @for weight in &weights {
                    li {
                        a href=(at(job.text("number"), &format!("/weights/{}", weight.entry))) { (weight.name().unwrap_or_else(|| "balance weight".to_owned())) }
                        @if let Some(mass) = weight.outcome.mass(units.mass) { ", meant " (mass) }
                        @if let Some(cast) = weight.casts.last() { "; " (cast.step) ": " (say::text(&cast.fields, "mass")) } @else { "; never on the scale" }
                        span.hint { " entry " (weight.entry) }
                    }
                } }
            }
        }
    }
}

/// A balance weight that was fitted, as cast and trimmed, predicted beside weighed.
fn fitted(weight: &FittedWeight) -> Markup {
    let facts: Vec<(&str, Markup)> =
        weight.lines.iter().map(|(name, value)| (*name, html! { (value) })).collect();
    let (what, done) = weight.made.words();
    html! { section.card { h2 { (say::capital(what)) " " (done) ": " (weight.name) } (parts::facts(&facts)) } }
}

fn weighed(
    visit: &Visit,
    job: &Job,
    index: usize,
    weighing: &Weighing,
    judged: Option<&Assessment>,
) -> Markup {
    let outcome = &weighing.outcome;
    let typed = say::as_typed(&weighing.fields);
    let facts: Vec<(&str, Markup)> =
        typed.iter().map(|(word, value)| (word.as_str(), html! { (value) })).collect();
    html! {
        section.card {
            h3 { "Weighing " (index + 1) ", " (weighing.stage()) }
            p { strong { (say::moment(job, outcome)) } ", " (say::verdict(outcome)) }
            (parts::facts(&facts))
            @if !weighing.instruments.is_empty() {
                p.hint { "instruments, as they stood" }
                ul.tight { @for instrument in &weighing.instruments { li { (say::instrument(instrument)) } } }
            }
            (check(visit, weighing))
            @for struck in &weighing.struck { p.hint { "does not count: " s { (struck.reading) } ", because " (struck.reason) } }
            @if let Some(mended) = rounds::mended(job, weighing.entry) { p.mend { (mended) } }
            @if let Some((weighed, judged)) = judged.and_then(|judged| Some((judged.weighings.get(index)?, judged))) {
                details {
                    summary { "Notes and arithmetic" }
                    (rounds::working(weighed, judged))
                    p.sum { (arithmetic::uncertainty(weighed, judged.sheet.limits.units).iter().map(arithmetic::Step::line).collect::<Vec<_>>().join("\n")) }
                }
            }
            p.by { (visit.local(&weighing.at)) " · " (weighing.by) " · entry " (weighing.entry) }
        }
    }
}

/// The check of its scale: what it read, what it should have read, how it came out.
fn check(visit: &Visit, weighing: &Weighing) -> Markup {
    let is_on = |at: &str, day: jiff::civil::Date| visit.local(at).starts_with(&day.to_string());
    let checked = scale_check(&visit.shop, weighing, is_on);
    let empty = weighing.before.as_ref().map_or("", |before| before.zero.as_str());
    html! {
        @if let Some(checked) = checked {
            @let tone = match checked.state {
                CheckState::Within => Tone::Good,
                CheckState::Beyond => Tone::Bad,
                CheckState::NoBound | CheckState::NotRead => Tone::Doubt,
            };
            p.check-of-scale {
                (parts::badge(tone, checked.state.word())) " Scale check: " (checked.words)
                @if let Some((at, by)) = &checked.entered { " (made by itself, " (visit.local(at)) ", " (by) ")" }
                "."
                @if checked.state == CheckState::NotRead && !empty.is_empty() { " Empty it showed " (empty) "." }
            }
        }
    }
}

/// The forms, or why there are none.
fn open(visit: &Visit, job: &Job, filled: &Filled) -> Markup {
    if job.inspected.is_some() {
        return html! { div.row { a.button href=(at(job.text("number"), "/release")) { "To the release" } } };
    }
    let deed = Deed::SentBack { reason: String::new() };
    let allowed = visit.me.as_ref().map(|me| job.allows(&deed, &me.person));
    match allowed {
        None | Some(Ok(())) => form(visit, job, filled),
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
            @let stops = card::stop(&visit.shop, job).is_some();
            h2 { (if stops { "Send it back" } else { "Check, then sign" }) }
            (parts::seen(job.entries))
            (parts::form_summary(filled))
            @if stops { p { "Nothing is signed by the card of this job: another card has to be chosen." } }
            @else { @for (item, words) in ITEMS { (tick(filled, item, words)) } }
            (sign::signer(visit))
            (Field::pin("pin", "Your PIN").hint("it stands for your signature, and is needed to send the job back too").needed().show(filled))
            @if !stops {
                div.row { button type="submit" { "Sign the inspection" } }
                h2 { "Or send it back" }
            }
            (Field::area("reason", "Reason", 3).hint("needed to send it back: what has to be done or looked at again; the performer's signature is taken away").sometimes().show(filled))
            div.row { button.danger type="submit" formaction=(at(job.text("number"), "/send-back")) { "Send it back" } }
        }
    }
}

fn tick(filled: &Filled, item: &str, words: &str) -> Markup {
    let wrong = filled.wrong.of(&format!("checked.{item}"));
    html! {
        div.field.inspect-item.wrong[!wrong.is_empty()] {
            label.choice {
                input type="checkbox" id={ "f-checked-" (item) } name="checked" value=(item) checked[filled.typed.ticked("checked", item)];
                span { (words) }
            }
            @if !wrong.is_empty() { div.said { @for said in wrong { (parts::said(said)) } } }
        }
    }
}
