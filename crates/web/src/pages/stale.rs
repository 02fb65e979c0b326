//! What is shown when somebody wrote between the opening of a page and its form: what is new, and what was typed.

use crate::form::Typed;
use crate::parts;
use crate::visit::Visit;
use hingeline_bench::record::deed::Deed;
use hingeline_bench::record::ledger::Stored;
use maud::{Markup, html};

/// Fields that are never shown again.
const SECRET: [&str; 7] = ["password", "again", "pin", "pin-again", "current", "code", "seen"];

pub(crate) async fn content(visit: &Visit, ledger: &str, seen: u64, entries: u64, typed: &Typed) -> Markup {
    let name = ledger.to_owned();
    let all = visit.app.ask(move |store| store.entries(&name)).await.unwrap_or_default();
    let new: Vec<&Stored> = all.iter().filter(|stored| stored.entry.number > seen).collect();
    let rows: Vec<Vec<Markup>> = new.iter().map(|stored| row(visit, stored)).collect();
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
            a.button.quiet href=(visit.here) { "Back to the page, without what I typed" }
        }
    }
}

fn row(visit: &Visit, stored: &Stored) -> Vec<Markup> {
    let entry = &stored.entry;
    let what =
        serde_json::from_str::<Deed>(&entry.body).map_or("an entry of a newer version", |deed| words(&deed));
    vec![html! { (entry.number) }, html! { (visit.local(&entry.at)) }, html! { (entry.by) }, html! { (what) }]
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
        Deed::PersonEntered { .. } => "person entered or changed",
    }
}
