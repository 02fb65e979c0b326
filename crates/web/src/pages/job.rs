//! The way of one job through the bench. Here: the frame that all its pages share; [`overview`] is the first of them.

pub(crate) mod correction;
pub(crate) mod inspect;
pub(crate) mod ledger;
pub(crate) mod limits;
pub(crate) mod look;
pub(crate) mod mend;
pub(crate) mod note;
pub(crate) mod overview;
pub(crate) mod photo;
pub(crate) mod receive;
pub(crate) mod release;
mod rounds;
pub(super) mod say;
pub(crate) mod sign;
pub(crate) mod weigh;
pub(crate) mod weight;
pub(crate) mod work;

use crate::parts::whole_words as kept;
use crate::parts::{self, Tone, WayStep};
use hingeline_bench::record::job::Job;
use hingeline_bench::record::way::Step;
use maud::{Markup, html};

/// The address of a page of a job.
pub(crate) fn at(number: &str, rest: &str) -> String {
    format!("/jobs/{}{rest}", parts::escape(number))
}

/// Where a step of the way is done.
pub(crate) fn at_step(job: &Job, step: Step) -> String {
    at(
        job.text("number"),
        match step {
            Step::Receive => "/look",
            Step::Limits => "/limits",
            Step::AsFound => "/weigh?stage=as+found",
            Step::Correction => "/correction",
            Step::AsLeft => "/weigh?stage=as+left",
            Step::SignOff => "/sign",
            Step::Inspection => "/inspect",
            Step::Release => "/release",
        },
    )
}

/// What stands over every page of a job: the surface with its numbers, and its way.
pub(crate) fn head(job: &Job, here: Option<Step>) -> Markup {
    let number = job.text("number");
    html! {
        header.job-strip {
            a.surface href=(at(number, "")) { (job.text("surface")) }
            span { (job.text("part")) " · serial " (job.text("serial")) }
            span { "job " strong { (number) } }
            @if !job.text("aircraft").is_empty() { span { (job.text("aircraft")) } }
            @if !job.text("work_order").is_empty() { span { "work order " (job.text("work_order")) } }
        }
        (parts::way(&way(job, here)))
    }
}

fn way(job: &Job, here: Option<Step>) -> Vec<WayStep<'static>> {
    let steps = Step::ALL.into_iter();
    steps
        .map(|(step, _, word)| WayStep {
            word,
            to: at_step(job, step),
            done: job.missing(step).is_empty(),
            here: here == Some(step),
        })
        .collect()
}

/// A page of a step: its head, a title, what it holds.
fn step(job: &Job, here: Option<Step>, title: &str, lead: &str, content: &Markup) -> Markup {
    html! {
        (head(job, here))
        div {
            h1 { (title) }
            @if !lead.is_empty() { p.lead { (lead) } }
        }
        (content)
    }
}

/// Why a job takes no more work; none while it does.
fn closed(job: &Job) -> Option<Markup> {
    job.released.as_ref().map(|_| {
        parts::notice(Tone::Doubt, "The job is released.", &html! {
            p { "It takes no more work. Open a new job for the surface, or " a href=(at(job.text("number"), "/ledger")) { "mend an entry" } ", which takes the signatures and the release away." }
        })
    })
}

/// The title of a page in the browser.
fn name(job: &Job, page: &str) -> String {
    format!("{page} · {}", job.text("number"))
}
