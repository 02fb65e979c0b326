//! Instruments: which there are, how their calibration stands, and the page of each.
//!
//! Main functions: [`list`], [`one`]. Past due is said by word, sign and frame.

pub(crate) mod check;
pub(crate) mod enter;
pub(crate) mod line;

use crate::form::Filled;
use crate::form::{Said, Typed, Wrong};
use crate::parts::{self, Field, Tone, form_summary};
use crate::problem::Problem;
use crate::routes::Who;
use crate::visit::{Answer, Visit, go_saying};
use axum::extract::Path;
use hingeline_bench::record::check::failed as check_failed;
use hingeline_bench::record::deed::Deed;
use hingeline_bench::record::shop::{DueState, Instrument, State};
use maud::{Markup, html};

/// GET /instruments
pub(crate) async fn list(visit: Visit) -> Answer {
    let group = |title: &str, retired: bool| {
        let of = |(_, instrument): &(&String, &Instrument)| instrument.retired.is_some() == retired;
        let rows: Vec<Vec<Markup>> = visit
            .shop
            .instruments
            .iter()
            .filter(of)
            .map(|(id, instrument)| row(&visit, id, instrument))
            .collect();
        html! {
            @if !rows.is_empty() { (parts::table(title, &["mark", "name", "kind", "smallest step", "due", "state", "last check"], &rows)) }
        }
    };
    let content = html! {
        div.title {
            div { h1 { "Instruments" } p.lead { "A weighing with an instrument that is past its due date, or failed its last check, is not valid for release." } }
            @if visit.may(Who::DataKeeper) { a.button href="/instruments/new" { "Enter an instrument" } }
        }
        @if visit.shop.instruments.is_empty() { div.empty { p { "No instrument yet." } } }
        (group("In use", false))
        (group("Out of use", true))
    };
    visit.page("Instruments", content)
}

fn row(visit: &Visit, id: &str, instrument: &Instrument) -> Vec<Markup> {
    let last = instrument
        .checks
        .last()
        .map_or("none".to_owned(), |check| format!("{}, {}", visit.local(&check.at), check.by));
    vec![
        html! { a href={ "/instruments/" (parts::escape(id)) } { (id) } },
        html! { (instrument.name) },
        html! { span.unbroken { (kind(instrument)) } },
        html! { span.unbroken { (instrument.text("resolution")) } },
        html! { span.unbroken { (due(instrument)) } },
        state(visit, instrument),
        html! { (last) },
    ]
}

fn due(instrument: &Instrument) -> String {
    instrument.due().map_or("not stated".to_owned(), |due| due.to_string())
}

/// Its kind in words.
fn kind(instrument: &Instrument) -> &str {
    let kind = instrument.text("kind");
    enter::KINDS.iter().find(|(known, _)| *known == kind).map_or(kind, |(_, word)| word)
}

/// Why somebody has to see to it: its last check failed, or its due date is past or near.
pub(crate) fn attention(visit: &Visit, instrument: &Instrument) -> Option<(Tone, &'static str)> {
    if instrument.retired.is_some() {
        return None;
    }
    match (check_failed(instrument), instrument.due_state(visit.today)) {
        (Some(_), _) => Some((Tone::Bad, FAILED)),
        (None, DueState::Past) => Some((Tone::Bad, "past due")),
        (None, DueState::Soon) => Some((Tone::Doubt, "due soon")),
        (None, DueState::InDate | DueState::Unknown) => None,
    }
}

const FAILED: &str = "failed its check";

/// How it stands: its check where that failed, and its calibration.
pub(crate) fn state(visit: &Visit, instrument: &Instrument) -> Markup {
    let failed = instrument.retired.is_none() && check_failed(instrument).is_some();
    html! {
        @if failed { (parts::badge(Tone::Bad, FAILED)) " " }
        (calibration(visit, instrument))
    }
}

fn calibration(visit: &Visit, instrument: &Instrument) -> Markup {
    if instrument.retired.is_some() {
        return parts::badge(Tone::Plain, "out of use");
    }
    match instrument.due_state(visit.today) {
        DueState::InDate => parts::badge(Tone::Good, "in date"),
        DueState::Soon => parts::badge(Tone::Doubt, "due soon"),
        DueState::Past => parts::badge(Tone::Bad, "PAST DUE"),
        DueState::Unknown => parts::badge(Tone::Doubt, "no due date"),
    }
}

/// The instrument of an address.
fn find<'v>(visit: &'v Visit, id: &str) -> Result<&'v Instrument, Problem> {
    visit.shop.instruments.get(id).ok_or_else(|| Problem::not_found(format!("instrument {id}")))
}

/// What stands in the forms of an instrument's page.
#[derive(Debug, Default)]
struct Forms {
    check: Filled,
    line: Filled,
    retire: Filled,
}

/// GET /instruments/{id}
pub(crate) async fn one(visit: Visit, Path(id): Path<String>) -> Answer {
    let instrument = find(&visit, &id)?;
    visit.page(&id, content(&visit, &id, instrument, &Forms::default()))
}

fn content(visit: &Visit, id: &str, instrument: &Instrument, forms: &Forms) -> Markup {
    let address = format!("/instruments/{}", parts::escape(id));
    html! {
        div.title {
            div { h1 { (id) } p.lead { (instrument.name) " · " (state(visit, instrument)) } }
            @if visit.may(Who::DataKeeper) { a.button.quiet href={ (address) "/change" } { "Change, or enter a calibration" } }
        }
        @for filled in [&forms.check, &forms.line, &forms.retire] { (form_summary(filled)) }
        (warning(visit, instrument))
        (data(instrument))
        (check::section(visit, &address, instrument, &forms.check))
        (line::section(visit, &address, instrument, &forms.line))
        (states(visit, instrument))
        (retirement(visit, &address, instrument, &forms.retire))
    }
}

fn warning(visit: &Visit, instrument: &Instrument) -> Markup {
    if let Some(why) = &instrument.retired {
        return parts::notice(Tone::Plain, "Out of use", &html! { p { (why) } });
    }
    let failed = check_failed(instrument);
    html! {
        @if let Some(said) = failed {
            (parts::notice(Tone::Bad, "Failed its last check", &html! {
                p { "At that check " (said) ". A weighing with it is not valid for release until a check is within its bound." }
            }))
        }
        (dated(visit, instrument))
    }
}

fn dated(visit: &Visit, instrument: &Instrument) -> Markup {
    let due = due(instrument);
    match instrument.due_state(visit.today) {
        DueState::Past => parts::notice(
            Tone::Bad,
            "Past its due date",
            &html! { p { "Its calibration ran out on " (due) ". A weighing with it is not valid for release." } },
        ),
        DueState::Soon => parts::notice(
            Tone::Doubt,
            "Due soon",
            &html! { p { "Its calibration runs out on " (due) ". Send it in." } },
        ),
        _ => html! {},
    }
}

fn data(instrument: &Instrument) -> Markup {
    let or = |text: &str, none: &str| if text.is_empty() { none.to_owned() } else { text.to_owned() };
    let weight = match (instrument.check_weight.as_str(), instrument.check_within.as_str()) {
        ("", _) => "none".to_owned(),
        (weight, "") => weight.to_owned(),
        (weight, within) => format!("{weight}, within {within}"),
    };
    let scale = instrument.text("kind") == "scale";
    let mut facts = vec![("Kind", html! { (kind(instrument)) })];
    match instrument.text("nominal") {
        "" => facts.push(("Smallest step", html! { (instrument.text("resolution")) })),
        nominal => facts.push(("Mass", html! { (nominal) })),
    }
    if scale {
        facts.push(("Capacity", html! { (or(instrument.text("capacity"), "not stated")) }));
    }
    facts.extend([
        (
            "Calibration uncertainty, k = 2",
            html! { (or(instrument.text("calibration_uncertainty"), "not stated: the budget leaves it out")) },
        ),
        ("Certificate", html! { (or(instrument.text("certificate"), "not stated")) }),
        ("Calibrated", html! { (or(&instrument.calibrated, "not stated")) }),
        ("Due", html! { (due(instrument)) }),
    ]);
    if scale {
        facts.push(("Check weight", html! { (weight) }));
    }
    parts::facts(&facts)
}

/// Every state it was entered in, newest first.
fn states(visit: &Visit, instrument: &Instrument) -> Markup {
    let row = |state: &State| {
        let text = |key| super::limits::text(&state.fields, key).to_owned();
        vec![
            html! { (visit.local(&state.at)) },
            html! { (state.by) },
            html! { (text("certificate")) },
            html! { (text("due")) },
            html! { (text("resolution")) },
            html! { (text("calibration_uncertainty")) },
        ]
    };
    let rows: Vec<Vec<Markup>> = instrument.states.iter().rev().map(row).collect();
    html! {
        @if rows.len() > 1 {
            (parts::table("How it was entered", &["when", "who", "certificate", "due", "smallest step", "uncertainty"], &rows))
        }
    }
}

fn retirement(visit: &Visit, address: &str, instrument: &Instrument, filled: &Filled) -> Markup {
    html! {
        @if visit.may(Who::DataKeeper) && instrument.retired.is_none() {
            form.card method="post" action={ (address) "/retire" } {
                h2 { "Take out of use" }
                p.hint { "Earlier weighings with it stay as they are." }
                (parts::seen(visit.shop.entries))
                (Field::line("reason", "Why").needed().show(filled))
                div.row { button.danger type="submit" { "Take out of use" } }
            }
        }
    }
}

/// POST /instruments/{id}/retire
pub(crate) async fn retire(visit: Visit, Path(id): Path<String>, typed: Typed) -> Answer {
    let instrument = find(&visit, &id)?;
    let mut wrong = Wrong::default();
    let reason = wrong.need(&typed, "reason", "the reason").to_owned();
    if instrument.retired.is_some() {
        wrong.say("", Said::new(format!("{id} is out of use already")).hint("nothing is left to do"));
    }
    if !wrong.is_empty() {
        let forms = Forms { retire: Filled::refused(typed, wrong), ..Forms::default() };
        return visit.refused(&id, content(&visit, &id, instrument, &forms));
    }
    visit.enter_shop(&Deed::InstrumentRetired { id: id.clone(), reason }, &typed).await?;
    go_saying(&format!("/instruments/{}", parts::escape(&id)), "retired")
}
