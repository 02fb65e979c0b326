//! The ledger of a job: every entry in plain words, with who, when and the seal; mended ones struck through.

use super::{at, name, say, step};
use crate::app::Heavy;
use crate::parts::{self, Tone};
use crate::problem::chain;
use crate::visit::{Answer, Visit};
use axum::extract::Path;
use hingeline_bench::record::deed::Deed;
use hingeline_bench::record::job::{Job, Line, ledger_of};
use hingeline_bench::record::ledger::{Hash, Stored};
use hingeline_store::VerifyError;
use maud::{Markup, html};
use std::sync::Arc;

/// GET /jobs/{number}/ledger
pub(crate) async fn page(visit: Visit, Path(number): Path<String>) -> Answer {
    let job = visit.job(&number).await?;
    let ledger = ledger_of(&number);
    let verified = if visit.query.get("verify").is_empty() {
        None
    } else {
        let (store, ledger) = (Arc::clone(visit.app.store()), ledger.clone());
        Some(visit.app.heavy(Heavy::Paper, move || store.verify_ledger(&ledger)).await?)
    };
    let entries = visit.app.ask(move |store| store.entries(&ledger)).await?;
    visit.page(&name(&job, "Ledger"), content(&visit, &job, &entries, verified.as_ref()))
}

fn content(
    visit: &Visit,
    job: &Job,
    entries: &[Stored],
    verified: Option<&Result<(u64, Hash), VerifyError>>,
) -> Markup {
    let number = job.text("number");
    let body = html! {
        @if let Some(verified) = verified { (result(job, verified)) }
        ol.ledger {
            @for (line, stored) in job.lines.iter().zip(entries) { (entry(visit, job, line, stored)) }
        }
        form.row method="get" action=(at(number, "/ledger")) {
            button.quiet type="submit" name="verify" value="yes" { "Check every seal now" }
            span.hint { "newest seal of this job: " span.mono { (job.head.short()) } }
        }
    };
    step(
        job,
        None,
        "Ledger",
        "Every entry, in order. Nothing is taken out: a mistake is mended by a new entry.",
        &body,
    )
}

/// What the check of this job's ledger says.
fn result(job: &Job, verified: &Result<(u64, Hash), VerifyError>) -> Markup {
    match verified {
        Ok(head) if *head == (job.entries, job.head) => parts::notice(
            Tone::Good,
            "Every seal of this job fits.",
            &html! {
                p { "Its " (job.entries) " entries follow from one another, and the files that they name are as they were entered. Its newest seal is " span.mono { (job.head.hex()) } "." }
                p { "A sheet that was printed before must show a seal that stands below; a chain alone cannot show that its last entries were cut off." }
                p { "The whole shop is checked at the terminal, also while this page is served: " code { "hingeline ledger verify --folder SHOP" } }
            },
        ),
        Ok(_) => parts::notice(
            Tone::Bad,
            "The record does not fit.",
            &html! { p { "The chain of this job was read whole, and its newest seal is not the one that its page was made from. Load the page again; if it stays so, look at the backup." } },
        ),
        Err(error) => parts::notice(
            Tone::Bad,
            "The record does not fit.",
            &html! {
                p { (chain(error)) "." }
                @if let Some(hint) = error.hint() { p { (hint) } }
            },
        ),
    }
}

/// Whether an entry strikes another without putting anything in its place.
fn strikes(job: &Job, entry: u64) -> bool {
    job.lines.iter().any(|line| line.number == entry && matches!(line.deed, Deed::Mended { with: None, .. }))
}

fn entry(visit: &Visit, job: &Job, line: &Line, stored: &Stored) -> Markup {
    let class = if line.mended.is_some() { "mended" } else { "" };
    html! {
        li class=(class) id={ "entry-" (line.number) } {
            div.when { strong { (line.number) } span { (visit.local(&line.at)) } span { (line.by) } span.mono title=(stored.entry.hash.hex()) { (stored.entry.hash.short()) } }
            div.what {
                @if line.mended.is_some() { del { (say::deed(job, &line.deed)) } } @else { (say::deed(job, &line.deed)) }
                @if let Deed::Photographed { file, caption, .. } = &line.deed { (super::photo::thumbnail(job, file, caption, &html! {})) }
                @if let Some((by, reason)) = &line.mended {
                    p.mend { (if strikes(job, *by) { "Struck" } else { "Mended" }) " by " a href={ "#entry-" (by) } { "entry " (by) } ", because " (reason) }
                }
                @if let Some(to) = super::mend::offered(visit, job, line) { p { a.mend href=(to) { (if line.number == 1 { "Mend" } else { "Mend or strike" }) } } }
            }
        }
    }
}
