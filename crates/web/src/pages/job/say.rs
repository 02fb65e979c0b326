//! Deeds in plain words, for the ledger and the list of rounds.

pub(super) use hingeline_bench::record::deed::text;
pub(super) use hingeline_bench::words::capital;

use hingeline_bench::record::deed::{Deed, Field, Fields, Finding, Outcome};
use hingeline_bench::record::job::Job;
use hingeline_bench::record::told::{self, Told};
use hingeline_bench::record::way::LOOK;
use maud::{Markup, html};
use std::collections::BTreeMap;

/// The words of the table `[job]`, in the order of the form.
pub(super) const IDENTITY: [(&str, &str); 8] = [
    ("number", "Job number"),
    ("surface", "Surface"),
    ("part", "Part number"),
    ("serial", "Serial number"),
    ("aircraft", "Aircraft"),
    ("work_order", "Work order"),
    ("shop", "Shop"),
    ("reason", "Reason"),
];

/// A field as typed.
fn typed(field: &Field) -> String {
    match field {
        Field::Text(text) => text.clone(),
        Field::List(list) => list.join(", "),
        Field::Parts(parts) => {
            let part = |part: &BTreeMap<String, String>| part.values().cloned().collect::<Vec<_>>().join(" ");
            parts.iter().map(part).collect::<Vec<_>>().join("; ")
        }
    }
}

/// The verdict of an outcome in a word or two.
pub(super) fn verdict(outcome: &Outcome) -> String {
    hingeline_bench::words::verdict_and_doubt(&outcome.verdict, &outcome.doubt)
}

/// The keys of a weighing that are no field of its page.
const WEIGHING: [(&str, &str); 5] = [
    ("stage", "stage"),
    ("method", "method"),
    ("date", "day"),
    ("confirmed", "configuration confirmed"),
    ("part", "parts"),
];

/// A key of a weighing as its page calls it.
fn label(weighing: &Fields, key: &str) -> String {
    let known = WEIGHING.iter().find(|(known, _)| *known == key).map(|(_, word)| (*word).to_owned());
    let on_page = || super::weigh::label(text(weighing, "method"), key);
    known.or_else(on_page).unwrap_or_else(|| key.replace('_', " "))
}

/// What is looked at first of a weighing; the rest follows by its name.
const FIRST: [&str; 6] = ["method", "date", "arm", "readings", "raising", "lowering"];

/// A weighing as it was typed, field by field: label and text.
pub(super) fn as_typed(weighing: &Fields) -> Vec<(String, String)> {
    let place = |key: &str| FIRST.iter().position(|first| *first == key).unwrap_or(FIRST.len());
    let mut fields: Vec<(&String, &Field)> = weighing.iter().collect();
    fields.sort_by_key(|(key, _)| place(key));
    fields.into_iter().map(|(key, field)| (label(weighing, key), typed(field))).collect()
}

/// A correction in words: "added 0.63 lb at the horn weight".
pub(super) fn correction(station: &str, action: &str, mass: &str) -> String {
    match action {
        "remove" => format!("{mass} removed at {station}"),
        _ => format!("{mass} added at {station}"),
    }
}

/// The word of a kind of work.
pub(super) fn work(kind: &str) -> &str {
    super::work::KINDS.iter().find(|(known, _)| *known == kind).map_or(kind, |(_, word)| word)
}

/// An instrument as it stood: "scale S-2, resolution 0.01 lb, due 2027-03-01".
pub(super) fn instrument(fields: &Fields) -> String {
    let words = [
        ("resolution", "resolution "),
        ("calibration_uncertainty", "calibrated within "),
        ("certificate", "certificate "),
        ("due", "due "),
    ];
    let known = words.iter().filter(|(key, _)| !text(fields, key).is_empty());
    let more: Vec<String> = known.map(|(key, word)| format!(", {word}{}", text(fields, key))).collect();
    format!("{} {}{}", text(fields, "kind"), text(fields, "id"), more.concat())
}

/// A deed in plain words.
pub(in crate::pages) fn deed(job: &Job, deed: &Deed) -> Markup {
    match deed {
        Deed::Received { job } => {
            html! { "Surface received" (pairs(IDENTITY.iter().filter_map(|(key, word)| Some((*word, typed(job.get(*key)?)))))) }
        }
        Deed::Looked { findings } => html! { "Incoming look" (look(findings)) },
        Deed::Noted { text } => html! { "Remark: " (text) },
        Deed::Photographed { caption, .. } => html! { "Photograph: " (caption) },
        Deed::JudgedBy { card, content } => html! {
            "Approved limits chosen: card " (card) ", " (content.title) ", " (text(&content.limits, "source"))
        },
        Deed::Weighed { weighing, outcome, struck, .. } => html! {
            "Weighing " (text(weighing, "stage")) " by " (text(weighing, "method")) ", " (text(weighing, "date")) ": "
            (moment(job, outcome)) ", " (verdict(outcome))
            @if !struck.is_empty() { ", " (struck.len()) " readings do not count" }
            details { summary { "As typed" } (pairs(as_typed(weighing).iter().map(|(word, value)| (word.as_str(), value.clone())))) }
        },
        Deed::Corrected { station, action, mass, what } => {
            html! { "Correction: " (correction(station, action, mass)) "; " (what) }
        }
        Deed::Worked { kind, what } => html! { (capital(work(kind))) ": " (what) },
        Deed::WeightIntended { .. }
        | Deed::WeightWeighed { .. }
        | Deed::WeightFitted { .. }
        | Deed::DrillOutIntended { .. }
        | Deed::DrilledOut { .. } => super::weight::said(job, deed),
        Deed::Mended { entry, reason, with } => html! {
            @if let Some(with) = with { "Entry " (entry) " mended, because " (reason) ". Now it says: " (self::deed(job, with)) }
            @else { "Entry " (entry) " struck, because " (reason) }
        },
        Deed::SignedOff(signature) => {
            html! { "Signed off by " (signature.name) ", " (signature.certificate) " (" (signature.kind) "): " (signature.statement) }
        }
        Deed::Inspected(signature) => {
            html! { "Inspected by " (signature.name) ", " (signature.certificate) " (" (signature.kind) "): " (signature.statement) }
        }
        Deed::SentBack { reason } => html! { "Sent back by the inspector, because " (reason) },
        Deed::Released { log_text } => html! { "Release sheet made. For the log book: " q { (log_text) } },
        other => html! { (crate::pages::stale::words(other)) },
    }
}

/// What a weighing came to when it was entered.
pub(super) fn moment(job: &Job, outcome: &Outcome) -> String {
    let told = Told::of(outcome, told::units(job));
    told.map(|told| told.measured()).unwrap_or_else(|| format!("{} kg m", outcome.moment_kg_m))
}

fn look(findings: &BTreeMap<String, Finding>) -> Markup {
    let word = |item: &str| {
        LOOK.iter().find(|(known, _)| *known == item).map_or(item.to_owned(), |(_, word)| (*word).to_owned())
    };
    html! {
        ul.said-list { @for (item, finding) in findings {
            li { (word(item)) ": " (finding.state) @if !finding.text.is_empty() { ": " (finding.text) } }
        } }
    }
}

fn pairs<'p>(pairs: impl Iterator<Item = (&'p str, String)>) -> Markup {
    html! { ul.said-list { @for (word, value) in pairs { li { (word) ": " (value) } } } }
}
