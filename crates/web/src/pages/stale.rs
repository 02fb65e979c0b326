//! What is shown when somebody wrote between the opening of a page and its form: what is new, and what was typed.

use super::job::say;
use crate::form::Typed;
use crate::parts;
use crate::visit::Visit;
use hingeline_bench::record::deed::Deed;
use hingeline_bench::record::job::Job;
use hingeline_bench::record::ledger::Stored;
use hingeline_bench::record::shop::LEDGER;
use maud::{Markup, html};

/// Fields that are never shown again.
const SECRET: [&str; 7] = ["password", "again", "pin", "pin-again", "current", "code", "seen"];

pub(crate) async fn content(visit: &Visit, ledger: &str, seen: u64, entries: u64, typed: &Typed) -> Markup {
    let name = ledger.to_owned();
    let all = visit.app.ask(move |store| store.entries(&name)).await.unwrap_or_default();
    let new: Vec<&Stored> = all.iter().filter(|stored| stored.entry.number > seen).collect();
    let job = Job::fold(all.iter().map(|stored| &stored.entry)).ok().filter(|_| ledger != LEDGER);
    let rows: Vec<Vec<Markup>> = new.iter().map(|stored| row(visit, job.as_ref(), stored)).collect();
    let shown =
        typed.pairs().iter().filter(|(name, value)| !SECRET.contains(&name.as_str()) && !value.is_empty());
    let kept: Vec<Vec<Markup>> =
        shown.map(|(name, value)| vec![html! { (name) }, html! { (value) }]).collect();
    html! {
        @if !rows.is_empty() { (parts::table("Written in between", &["entry", "when", "who", "what"], &rows)) }
        @if !kept.is_empty() { (parts::table("What you typed", &["field", "value"], &kept)) }
        form.row method="post" action=(visit.path) {
            (parts::hidden(typed, &SECRET))
            (parts::seen(entries))
            @if typed.has("pin") { (parts::Field::pin("pin", "Your PIN, once more").needed().show(&Default::default())) }
            button type="submit" { "Enter mine after it" }
            a.button.quiet href=(visit.here) { "Back to the page" }
        }
    }
}

/// An entry with its words; those of the shop's own ledger by their kind.
fn row(visit: &Visit, job: Option<&Job>, stored: &Stored) -> Vec<Markup> {
    let entry = &stored.entry;
    let what = match (serde_json::from_str::<Deed>(&entry.body), job) {
        (Ok(deed), Some(job)) => say::deed(job, &deed),
        (Ok(deed), None) => html! { (words(&deed)) },
        (Err(_), _) => html! { "an entry of a newer version" },
    };
    vec![html! { (entry.number) }, html! { (visit.local(&entry.at)) }, html! { (entry.by) }, what]
}

/// A deed in a few words.
pub(crate) fn words(deed: &Deed) -> &'static str {
    match deed {
        Deed::Received { .. } => "received, or its data changed",
        Deed::Looked { .. } => "incoming look",
        Deed::Noted { .. } => "remark",
        Deed::Photographed { .. } => "photograph",
        Deed::JudgedBy { .. } => "approved limits chosen",
        Deed::Weighed { .. } => "weighing",
        Deed::Corrected { .. } => "correction",
        Deed::WeightIntended { .. } => "a balance weight meant",
        Deed::WeightWeighed { .. } => "a casting weighed",
        Deed::WeightFitted { .. } => "a balance weight fitted",
        Deed::DrillOutIntended { .. } => "holes in an old weight meant",
        Deed::DrilledOut { .. } => "an old weight drilled out",
        Deed::Worked { .. } => "work",
        Deed::Mended { .. } => "an earlier entry mended",
        Deed::SignedOff(_) => "signed off",
        Deed::Inspected(_) => "inspected",
        Deed::SentBack { .. } => "sent back by the inspector",
        Deed::Released { .. } => "release sheet made",
        Deed::CardProposed { .. } => "limits card proposed",
        Deed::CardApproved { .. } => "limits card approved",
        Deed::CardWithdrawn { .. } => "limits card withdrawn",
        Deed::InstrumentEntered { .. } => "instrument entered or changed",
        Deed::InstrumentRetired { .. } => "instrument out of use",
        Deed::LineFitted { .. } => "calibration line",
        Deed::Checked { .. } => "daily check",
        Deed::ShopNamed { .. } => "the shop named",
        Deed::PersonEntered { .. } => "person entered or changed",
        Deed::PasswordChosen { .. } => "password that its owner chose",
        Deed::PinSet { .. } => "PIN set by its owner",
        Deed::PasswordReset { .. } => "password of a person set by an administrator",
    }
}
