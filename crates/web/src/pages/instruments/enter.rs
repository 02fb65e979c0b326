//! Entering an instrument, and changing one after a calibration. The reader of job sheets judges its table.

use super::find;
use crate::form::{Filled, Said, Typed, Wrong};
use crate::parts::{self, Field, form_summary};
use crate::sheet_faults::{Place, by_key};
use crate::visit::{Answer, Visit, go_saying};
use axum::extract::Path;
use hingeline_bench::job_sheet::Instrument as Read;
use hingeline_bench::record::check;
use hingeline_bench::record::deed::{Deed, Field as Value, Fields};
use maud::{Markup, html};
use serde::Serialize;

/// The kinds: in the record and in words. A check weight measures nothing: no weighing names one.
pub(super) const KINDS: [(&str, &str); 4] =
    [("scale", "scale"), ("rule", "rule"), ("level", "level"), (WEIGHT, "check weight")];
const WEIGHT: &str = "check-weight";
const KEYS: [&str; 8] =
    ["id", "kind", "nominal", "resolution", "capacity", "calibration_uncertainty", "certificate", "due"];

/// GET /instruments/new
pub(crate) async fn new(visit: Visit) -> Answer {
    let filled = Filled::with([("kind", "scale")]);
    visit.page("Enter an instrument", content(&visit, &filled, None))
}

/// GET /instruments/{id}/change
pub(crate) async fn change(visit: Visit, Path(id): Path<String>) -> Answer {
    let instrument = find(&visit, &id)?;
    let mut typed = Typed::of(KEYS.map(|key| (key, instrument.text(key))));
    typed.set("name", instrument.name.as_str());
    typed.set("check_weight", instrument.check_weight.as_str());
    typed.set("check_within", instrument.check_within.as_str());
    typed.set("calibrated", instrument.calibrated.as_str());
    let filled = Filled { typed, wrong: Wrong::default() };
    visit.page("Change an instrument", content(&visit, &filled, Some(&id)))
}

fn content(visit: &Visit, filled: &Filled, known: Option<&str>) -> Markup {
    let address = known.map_or("/instruments".to_owned(), |id| format!("/instruments/{}", parts::escape(id)));
    html! {
        h1 { @if let Some(id) = known { (id) } @else { "Enter an instrument" } }
        (form_summary(filled))
        form.flow method="post" action=(address) {
            (parts::seen(visit.shop.entries))
            (itself(filled, known))
            (certificate(filled))
            @if known.is_none() || filled.typed.get("kind") == "scale" { (weight(filled, known)) }
            div.row { button type="submit" { "Enter" } a.button.quiet href=(address) { "Cancel" } }
        }
    }
}

fn itself(filled: &Filled, known: Option<&str>) -> Markup {
    let kind = filled.typed.get("kind");
    let is = |of: &[&str]| known.is_none() || of.contains(&kind);
    let when = |of: &'static str| known.is_none().then_some(of);
    html! {
        fieldset.group {
            legend { "The instrument" }
            @if known.is_none() { (Field::radio("kind", "Kind", &KINDS).needed().show(filled)) }
            div.fields {
                @if known.is_none() { (Field::line("id", "Mark on it").needed().hint("for example S-2; it cannot be changed later").show(filled)) }
                (Field::line("name", "Name in words").needed().hint("hanging scale, 30 lb").show(filled))
                @if is(&["scale", "rule", "level"]) {
                    div data-when=[when("kind=scale|rule|level")] { (Field::line("resolution", "Smallest step it shows").needed().hint("0.01 lb, 5 g, 1/32 in, 1 mm, 0.1 deg").show(filled)) }
                }
                @if is(&["scale"]) {
                    div data-when=[when("kind=scale")] { (Field::line("capacity", "Capacity of a scale").hint("30 lb or 15 kg").show(filled)) }
                }
                @if is(&[WEIGHT]) {
                    div data-when=[when("kind=check-weight")] { (Field::line("nominal", "Mass of a check weight").needed().hint("5.00 lb or 2 kg").show(filled)) }
                }
            }
        }
    }
}

fn certificate(filled: &Filled) -> Markup {
    html! {
        fieldset.group {
            legend { "Its certificate" }
            div.fields {
                (Field::line("certificate", "Number").show(filled))
                (Field::line("calibration_uncertainty", "Expanded uncertainty, k = 2").hint("with its unit, as the certificate states it").show(filled))
                (Field::date("calibrated", "Calibrated on").show(filled))
                (Field::date("due", "Due on").hint("the last day on which it may be used").show(filled))
            }
        }
    }
}

fn weight(filled: &Filled, known: Option<&str>) -> Markup {
    html! {
        fieldset.group data-when=[known.is_none().then_some("kind=scale")] {
            legend { "The daily check of a scale" }
            div.fields {
                (Field::line("check_weight", "Check weight").hint("5.00 lb or 2 kg; empty where there is none").show(filled))
                (Field::line("check_within", "May be off by").hint("0.02 lb or 10 g").show(filled))
            }
        }
    }
}

#[derive(Serialize)]
struct Sheet<'f> {
    instrument: [&'f Fields; 1],
}

/// The instrument that a form describes, or everything that is wrong with it.
fn read(visit: &Visit, typed: &Typed, known: Option<&str>) -> Result<Deed, Wrong> {
    let mut wrong = Wrong::default();
    let name = wrong.need(typed, "name", "the name").to_owned();
    let mut instrument = Fields::new();
    for key in KEYS.into_iter().filter(|key| typed.has(key)) {
        instrument.insert(key.to_owned(), Value::Text(typed.get(key).to_owned()));
    }
    match known {
        Some(id) => {
            instrument.insert("id".to_owned(), Value::Text(id.to_owned()));
            let kind = visit.shop.instruments.get(id).map_or("scale", |known| known.text("kind"));
            instrument.insert("kind".to_owned(), Value::Text(kind.to_owned()));
        }
        None => new_mark(visit, typed, &mut wrong),
    }
    if super::super::limits::text(&instrument, "kind") == WEIGHT {
        judge_weight(&mut instrument, typed, &mut wrong);
    } else {
        instrument.remove("nominal");
        judge(&instrument, &mut wrong);
    }
    let (check_weight, check_within) = check_of(&instrument, typed, &mut wrong);
    let calibrated = day(visit, typed, &mut wrong);
    if wrong.is_empty() {
        Ok(Deed::InstrumentEntered { instrument, name, check_weight, check_within, calibrated })
    } else {
        Err(wrong)
    }
}

fn new_mark(visit: &Visit, typed: &Typed, wrong: &mut Wrong) {
    let id = typed.get("id");
    if visit.shop.instruments.contains_key(id) {
        let said = Said::new(format!("there is an instrument {id} already"));
        wrong.say("id", said.hint("take another mark, or change that one"));
    }
    if id.contains('/') || id == "new" || id.chars().count() > 24 {
        let said = Said::new(format!("“{id}” cannot be a mark")).allowed("up to 24 characters, no slash");
        wrong.say("id", said.hint("S-2 is one"));
    }
}

fn judge(instrument: &Fields, wrong: &mut Wrong) {
    let Ok(text) = toml::to_string(&Sheet { instrument: [instrument] }) else {
        wrong.say(
            "",
            Said::new("the instrument cannot be written as a job sheet").hint("take unusual characters out"),
        );
        return;
    };
    let Err(faults) = Read::parse_all(&text) else { return };
    let label = |place: &Place| {
        let word = match place.key.as_str() {
            "id" => "the mark on it",
            "resolution" => "the smallest step",
            "calibration_uncertainty" => "the expanded uncertainty",
            "due" => "due on",
            other => other,
        };
        Some(word.to_owned())
    };
    for (place, said) in by_key(&faults, label) {
        wrong.say(place.key, said);
    }
}

/// A check weight is no instrument of a job sheet: its mass and its due date are judged here.
fn judge_weight(instrument: &mut Fields, typed: &Typed, wrong: &mut Wrong) {
    for key in ["resolution", "capacity"] {
        instrument.remove(key);
    }
    wrong.need(typed, "id", "the mark on it");
    wrong.need(typed, "nominal", "the mass");
    for (field, label) in [("nominal", "mass"), ("calibration_uncertainty", "expanded uncertainty")] {
        positive(typed, field, label, wrong);
    }
    if typed.has("due") && typed.get("due").parse::<jiff::civil::Date>().is_err() {
        no_date(typed, "due", wrong);
    }
}

/// Says what is wrong with a field that holds a mass above nothing, or is empty.
fn positive(typed: &Typed, field: &str, label: &str, wrong: &mut Wrong) {
    let text = typed.get(field);
    match check::is_positive(text) {
        Ok(true) => {}
        Ok(false) => wrong.say(
            field,
            Said::new(format!("{label}: “{text}” is not more than nothing"))
                .allowed("more than 0")
                .hint("leave the sign out"),
        ),
        Err(error) => {
            let said = Said::new(format!("{label}: {error}")).allowed(error.problem.allowed());
            wrong.say(field, said.hint(error.problem.hint()));
        }
    }
}

/// The check weight and its bound: masses, and only a scale has them.
fn check_of(instrument: &Fields, typed: &Typed, wrong: &mut Wrong) -> (String, String) {
    let (weight, within) = (typed.get("check_weight"), typed.get("check_within"));
    let scale = super::super::limits::text(instrument, "kind") == "scale";
    let given = !weight.is_empty() || !within.is_empty();
    if !scale && given {
        wrong.say(
            "check_weight",
            Said::new("only a scale has a check weight").hint("leave both fields empty"),
        );
    }
    positive(typed, "check_weight", "check weight", wrong);
    positive(typed, "check_within", "may be off by", wrong);
    let capacity = super::super::limits::text(instrument, "capacity");
    if check::over_capacity(capacity, weight) {
        let said = Said::new(format!("check weight: “{weight}” is more than the scale can weigh"));
        wrong.say("check_weight", said.allowed(format!("up to {capacity}")).hint("check both numbers"));
    }
    (weight.to_owned(), within.to_owned())
}

/// The day of the last calibration: not after today, and not after the due date.
fn day(visit: &Visit, typed: &Typed, wrong: &mut Wrong) -> String {
    let calibrated = typed.get("calibrated");
    let [day, due] = [calibrated, typed.get("due")].map(|text| text.parse::<jiff::civil::Date>().ok());
    if !calibrated.is_empty() && day.is_none() {
        no_date(typed, "calibrated", wrong);
    }
    if day.is_some_and(|day| visit.today < day) {
        let said = Said::new(format!("calibrated on: {calibrated} is after today"));
        wrong.say("calibrated", said.allowed(format!("up to {}", visit.today)).hint("check the year"));
    }
    if day.zip(due).is_some_and(|(day, due)| due < day) {
        let said =
            Said::new(format!("due on: {} is before the calibration on {calibrated}", typed.get("due")));
        wrong.say("due", said.allowed(format!("{calibrated} or later")).hint("check both days"));
    }
    calibrated.to_owned()
}

fn no_date(typed: &Typed, field: &str, wrong: &mut Wrong) {
    let said = Said::new(format!("“{}” is not a date", typed.get(field)));
    wrong.say(field, said.allowed("a day of the calendar, year-month-day").hint("write 2026-10-02"));
}

/// POST /instruments
pub(crate) async fn enter(visit: Visit, typed: Typed) -> Answer {
    match read(&visit, &typed, None) {
        Ok(deed) => {
            visit.enter_shop(&deed, &typed).await?;
            go_saying(&format!("/instruments/{}", parts::escape(typed.get("id"))), "instrument")
        }
        Err(wrong) => {
            visit.refused("Enter an instrument", content(&visit, &Filled::refused(typed, wrong), None))
        }
    }
}

/// POST /instruments/{id}
pub(crate) async fn renew(visit: Visit, Path(id): Path<String>, mut typed: Typed) -> Answer {
    let kind = find(&visit, &id)?.text("kind").to_owned();
    typed.set("kind", kind);
    match read(&visit, &typed, Some(&id)) {
        Ok(deed) => {
            visit.enter_shop(&deed, &typed).await?;
            go_saying(&format!("/instruments/{}", parts::escape(&id)), "instrument")
        }
        Err(wrong) => {
            visit.refused("Change an instrument", content(&visit, &Filled::refused(typed, wrong), Some(&id)))
        }
    }
}
