//! The first page after the log-in: what waits, and for whom. Main function: [`page`].

use super::job::weigh::draft_page;
use super::jobs::{self, Listed};
use crate::parts::{self, Tone};
use crate::routes::Who;
use crate::visit::{Answer, Visit};
use hingeline_bench::mark::mark;
use hingeline_bench::record::job::Job;
use hingeline_bench::words::{self, Voice};
use hingeline_bench::{Assessment, record::way::Step};
use hingeline_sheet::drawing::{Canvas, band};
use hingeline_sheet::{Palette, band_drawing};
use hingeline_store::{Filter, Store, StoreError, Unfinished};
use maud::{Markup, html};

/// Open jobs on this page; the list has the rest.
const SHOWN: u64 = 12;
/// Unfinished weighings on this page.
const MOST_UNFINISHED: usize = 12;
/// The job that the demo shop is about.
const DEMO: &str = "HP-0231";

/// What the store says for this page.
struct Waiting {
    demo: Option<(Job, Option<Assessment>)>,
    open: Vec<Listed>,
    total: u64,
    unfinished: Vec<(Unfinished, String, String)>,
}

impl Waiting {
    fn read(store: &Store, demo: bool) -> Result<Self, StoreError> {
        let job = if demo { store.job(DEMO)? } else { None };
        let demo = job.map(|job| {
            let assessment = job.assessment().and_then(Result::ok);
            (job, assessment)
        });
        let mut rows = store.jobs(&Filter::Open, SHOWN + 1, 0)?;
        rows.retain(|row| demo.is_none() || row.number != DEMO);
        rows.truncate(usize::try_from(SHOWN).unwrap_or(usize::MAX));
        let total = store.count(&Filter::Open)?;
        Ok(Self { demo, open: jobs::listed(store, rows)?, total, unfinished: unfinished(store)? })
    }
}

/// The weighings that somebody began and did not enter, in words, and where each is gone on with.
fn unfinished(store: &Store) -> Result<Vec<(Unfinished, String, String)>, StoreError> {
    let mut found = Vec::new();
    for form in store.unfinished()? {
        let job = store.job(&form.job)?;
        if let Some((what, to)) = job.and_then(|job| draft_page(&job, &form.form)) {
            found.push((form, what, to));
        }
        if found.len() == MOST_UNFINISHED {
            break;
        }
    }
    Ok(found)
}

/// GET /
pub(crate) async fn page(visit: Visit) -> Answer {
    let demo = visit.app.config().demo;
    let waiting = visit.app.ask(move |store| Waiting::read(store, demo)).await?;
    visit.page(
        "Bench",
        html! {
            div.title {
                h1 { "Bench" }
                @if visit.may(Who::Worker) { a.button href="/jobs/new" { "New job" } }
            }
            @if let Some((job, assessment)) = &waiting.demo { (main_job(&visit, job, assessment.as_ref())) }
            (super::first_steps::list(&visit).await?)
            (begun(&visit, &waiting))
            (open_jobs(&visit, &waiting))
            div.waiting { (instruments(&visit)) (cards(&visit)) }
        },
    )
}

/// The job that the demo is about, first and largest.
fn main_job(visit: &Visit, job: &Job, assessment: Option<&Assessment>) -> Markup {
    let step = job.now();
    html! {
        section.main-job aria-labelledby="main-job" {
            div.title {
                div {
                    h2 #main-job { a href=(jobs::link(DEMO)) { (DEMO) ": " (job.text("surface")) } }
                    p.lead { "part " (job.text("part")) " · serial " (job.text("serial")) @if !job.text("aircraft").is_empty() { " · " (job.text("aircraft")) } }
                }
                a.button href=(jobs::link(DEMO)) { "Go to this job" }
            }
            @if let Some(assessment) = assessment { (last_weighing(assessment)) }
            @if job.released.is_none() { (waits(visit, step, job)) }
        }
    }
}

fn last_weighing(assessment: &Assessment) -> Markup {
    let last = assessment.last();
    let voice = Voice::of(last, assessment.sheet.limits.units);
    let tone = match mark(last).into() {
        Tone::Good if assessment.worked_on_since => Tone::Doubt,
        tone => tone,
    };
    let since = html! {
        @if assessment.worked_on_since {
            (parts::notice(Tone::Doubt, "Work was done since this weighing.", &html! { p { "The surface is not as it was weighed; weigh it again." } }))
        }
    };
    let drawing = band_drawing(assessment);
    html! {
        (parts::verdict(tone, &words::verdict(last, &voice), &words::doubt(last, &voice), &since))
        @for (class, canvas) in [("wide-only", Canvas::WIDE), ("phone-only", Canvas::PHONE)] {
            @if let Ok(drawn) = band(&drawing, &Palette::page(), canvas) { div class={ "drawing " (class) } { (drawn) } }
        }
    }
}

fn waits(visit: &Visit, step: Step, job: &Job) -> Markup {
    html! {
        @let first = jobs::waits(&visit.shop, job, step);
        p { "Waits for: " strong { (step.task()) } @if !first.is_empty() { " – " (first) } }
    }
}

fn begun(visit: &Visit, waiting: &Waiting) -> Markup {
    html! {
        @if !waiting.unfinished.is_empty() {
            (parts::notice(Tone::Doubt, "Typed and not entered yet", &html! {
                ul.plain { @for (form, what, to) in &waiting.unfinished {
                    li { a href=(to) { (form.job) ": " (what) } span.hint { " last changed " (visit.local(&form.at)) " by " (form.by) } }
                } }
            }))
        }
    }
}

fn open_jobs(visit: &Visit, waiting: &Waiting) -> Markup {
    html! {
        section {
            @if waiting.open.is_empty() {
                h2 { "Open jobs" }
                div.empty { p {
                    @if waiting.demo.is_some() { "No other job is open." } @else { "No job is open." }
                    @if visit.may(Who::Worker) { " A new one begins when a surface comes in." }
                } }
            } @else {
                (jobs::table("Open jobs and the step each waits for", &waiting.open))
                @if waiting.total > SHOWN { p.more { a href="/jobs" { "All " (waiting.total) " open jobs" } } }
            }
        }
    }
}

fn instruments(visit: &Visit) -> Markup {
    let due: Vec<_> = visit
        .shop
        .instruments
        .iter()
        .filter_map(|(id, instrument)| {
            let (tone, word) = super::instruments::attention(visit, instrument)?;
            Some((id, instrument, tone, word))
        })
        .collect();
    html! {
        section.card {
            h2 { "Instruments due" }
            @if due.is_empty() { p.soft { "None is past due or due within " (hingeline_bench::record::shop::WARNING_DAYS) " days." } }
            @else { ul.plain { @for (id, instrument, tone, word) in due {
                li { (parts::badge(tone, word)) " " a href={ "/instruments/" (parts::escape(id)) } { (id) } " " (instrument.name) @if !instrument.text("due").is_empty() { ", due " (instrument.text("due")) } }
            } } }
        }
    }
}

fn cards(visit: &Visit) -> Markup {
    let open: Vec<_> = visit.shop.cards.values().filter(|card| card.waits()).collect();
    html! {
        section.card {
            h2 { "Limits waiting for approval" }
            @if open.is_empty() { p.soft { "No card waits for a second person." } }
            @else { ul.plain { @for card in open {
                li { a href={ "/limits/" (card.number) } { "card " (card.number) ": " (card.content.title) } ", proposed by " (card.proposed.0) " on " (visit.local(&card.proposed.1)) }
            } } }
        }
    }
}
