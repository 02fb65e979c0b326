//! Entering an instrument, and changing one after a calibration. The reader of job sheets judges its table.

use super::find;
use crate::form::{Filled, Said, Typed, Wrong};
use crate::parts::{self, Field, form_summary};
use crate::sheet_faults::{Place, by_key};
use crate::visit::{Answer, Visit, go_saying};
use axum::extract::Path;
use hingeline_bench::job_sheet::Instrument as Read;
use hingeline_bench::record::check;
use hingeline_bench::record::deed::{BeforeWeighing, Deed, Field as Value, Fields};
use hingeline_bench::record::shop::Instrument;
use maud::{Markup, html};
use serde::Serialize;

const KINDS: [(&str, &str); 3] = [("scale", "scale"), ("rule", "rule"), ("level", "level")];
const KEYS: [&str; 7] =
    ["id", "kind", "resolution", "capacity", "calibration_uncertainty", "certificate", "due"];

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
            (weight(filled))
            div.row { button type="submit" { "Enter" } a.button.quiet href=(address) { "Leave it" } }
        }
    }
}

fn itself(filled: &Filled, known: Option<&str>) -> Markup {
    html! {
        fieldset.group {
            legend { "The instrument" }
            @if known.is_none() { (Field::radio("kind", "Kind", &KINDS).needed().show(filled)) }
            div.fields {
                @if known.is_none() { (Field::line("id", "Mark on it").needed().hint("S-2; it cannot be changed later").show(filled)) }
                (Field::line("name", "Name in words").needed().hint("hanging scale, 30 lb").show(filled))
                (Field::line("resolution", "Step").needed().hint("0.01 lb, 1/32 in, 0.1 deg").show(filled))
                (Field::line("capacity", "Capacity of a scale").hint("30 lb").show(filled))
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
                (Field::line("calibration_uncertainty", "Expanded uncertainty, k = 2").hint("0.01 lb, as the certificate states it").show(filled))
                (Field::date("calibrated", "Calibrated on").show(filled))
                (Field::date("due", "Due on").hint("the last day on which it may be used").show(filled))
            }
        }
    }
}

fn weight(filled: &Filled) -> Markup {
    html! {
        fieldset.group {
            legend { "Its daily check" }
            div.fields {
                (Field::line("check_weight", "Check weight").hint("5.00 lb; empty where there is none").show(filled))
                (Field::line("check_within", "May be off by").hint("0.02 lb").show(filled))
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
    judge(&instrument, &mut wrong);
    let (check_weight, check_within) = check_of(&instrument, typed, &mut wrong);
    let calibrated = day(typed, &mut wrong);
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
        let said = Said::new(format!("“{id}” cannot be a mark")).allowed("up to 24 signs, no slash");
        wrong.say("id", said.hint("S-2 is one"));
    }
}

fn judge(instrument: &Fields, wrong: &mut Wrong) {
    let Ok(text) = toml::to_string(&Sheet { instrument: [instrument] }) else {
        wrong.say(
            "",
            Said::new("the instrument cannot be written as a job sheet").hint("take unusual signs out"),
        );
        return;
    };
    let Err(faults) = Read::parse_all(&text) else { return };
    let label = |place: &Place| {
        let word = match place.key.as_str() {
            "id" => "the mark on it",
            "resolution" => "the step",
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
    // Both are read as a check reads its two fields.
    let both = BeforeWeighing { zero: within.to_owned(), check: weight.to_owned() };
    let misread = check::judge(&Instrument::default(), &both).err().unwrap_or_default();
    for (field, error) in misread {
        let (name, text) = if field == "zero" { ("check_within", within) } else { ("check_weight", weight) };
        let said = Said::new(format!("“{text}”: {error}")).allowed(error.problem.allowed());
        wrong.say(name, said.hint(error.problem.hint()));
    }
    (weight.to_owned(), within.to_owned())
}

fn day(typed: &Typed, wrong: &mut Wrong) -> String {
    let calibrated = typed.get("calibrated");
    if !calibrated.is_empty() && calibrated.parse::<jiff::civil::Date>().is_err() {
        let said = Said::new(format!("“{calibrated}” is not a date"));
        wrong.say(
            "calibrated",
            said.allowed("a day of the calendar, year-month-day").hint("write 2026-10-02"),
        );
    }
    calibrated.to_owned()
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
pub(crate) async fn renew(visit: Visit, Path(id): Path<String>, typed: Typed) -> Answer {
    find(&visit, &id)?;
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
