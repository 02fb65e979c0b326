//! Proposing a card, and revising one.

use super::form::{self, STATIONS};
use crate::form::{Filled, Said, Typed, Wrong};
use crate::parts::{self, Field, Tone, form_summary};
use crate::visit::{Answer, Visit, go_saying};
use axum::extract::Path;
use hingeline_bench::record::deed::{Card, Deed};
use hingeline_bench::record::shop::LibraryCard;
use maud::{Markup, html};

const GIVEN: [(&str, &str); 2] = [("moments", "as static moments"), ("readings", "as readings at an arm")];
const PLUS: [(&str, &str); 3] = [
    ("", "the manual prints no signs"),
    ("tail-heavy", "plus is tail-heavy"),
    ("nose-heavy", "plus is nose-heavy"),
];
const SIDE: [(&str, &str); 2] = [("forward", "forward"), ("aft", "aft")];

/// GET /limits/new
pub(crate) async fn new(visit: Visit) -> Answer {
    let filled = Filled::with([("given", "moments"), ("station.0.side", "forward")]);
    visit.page("Propose a card", content(&visit, &filled))
}

/// GET /limits/{card}/revise
pub(crate) async fn revise(visit: Visit, Path(number): Path<String>) -> Answer {
    let card = super::find(&visit, &number)?;
    let mut filled = form::fill(&card.content);
    filled.typed.set("revises", card.number.to_string());
    if card.superseded.is_some() || card.withdrawn.is_some() {
        filled
            .wrong
            .say("", Said::new(format!("card {number} is out of use")).hint("propose a new card instead"));
    }
    visit.page("Revise a card", content(&visit, &filled))
}

/// POST /limits
pub(crate) async fn propose(visit: Visit, mut typed: Typed) -> Answer {
    if typed.get("act") == "station" {
        return another_station(&visit, &mut typed);
    }
    let mut read = form::read(&typed);
    let revises = typed.number("revises");
    if let Some(said) = revises.and_then(|old| not_revised(&visit, old)) {
        let mut wrong = read.err().unwrap_or_default();
        wrong.say("", said);
        read = Err(wrong);
    }
    if let Some(said) = read.as_ref().ok().and_then(|card| known(&visit, card)) {
        let mut wrong = Wrong::default();
        wrong.say("", said);
        read = Err(wrong);
    }
    match read {
        Ok(content) => {
            let card = visit.shop.next_card();
            visit.enter_shop(&Deed::CardProposed { card, revises, content }, &typed).await?;
            go_saying(&format!("/limits/{card}"), "proposed")
        }
        Err(wrong) => visit.refused("Propose a card", content(&visit, &Filled::refused(typed, wrong))),
    }
}

/// A card that holds exactly this already.
fn known(visit: &Visit, content: &Card) -> Option<Said> {
    let same = |card: &&LibraryCard| (card.waits() || card.in_use()) && card.content == *content;
    let card = visit.shop.cards.values().find(same)?;
    let state = if card.in_use() { "in use" } else { "waiting for approval" };
    Some(Said::new(format!("card {} holds exactly this and is {state}", card.number)).hint("use that card"))
}

/// Why a card cannot be revised.
fn not_revised(visit: &Visit, old: u64) -> Option<Said> {
    match visit.shop.cards.get(&old) {
        None => Some(Said::new(format!("there is no card {old} to revise")).hint("propose a new card")),
        Some(card) if card.superseded.is_some() || card.withdrawn.is_some() => Some(
            Said::new(format!("card {old} is out of use by now"))
                .hint("propose a new card, or revise the one in its place"),
        ),
        Some(_) => None,
    }
}

/// The same form with one more station; nothing is judged and nothing written.
fn another_station(visit: &Visit, typed: &mut Typed) -> Answer {
    let next = typed.rows("station").last().map_or(0, |last| last + 1);
    if next < STATIONS {
        typed.set(&format!("station.{next}.side"), "forward");
    }
    let filled = Filled { typed: typed.clone(), wrong: Wrong::default() };
    visit.page("Propose a card", content(visit, &filled))
}

/// The form.
pub(super) fn content(visit: &Visit, filled: &Filled) -> Markup {
    let revises = filled.typed.get("revises");
    html! {
        h1 { @if revises.is_empty() { "Propose a card" } @else { "Revise card " (revises) } }
        p.lead { "Copy it from the approved data in front of you, with their own numbers and units. A second person compares every number before it is used." }
        (form_summary(filled))
        form.flow method="post" action="/limits" {
            (parts::seen(visit.shop.entries))
            @if !revises.is_empty() { input type="hidden" name="revises" value=(revises); }
            (what(filled))
            (band(filled))
            (stations(filled))
            (outline(filled))
            (parts::notice(Tone::Doubt, "Before you send it", &html! {
                p { "Compare each number, unit and side with the approved data once more. A side that is mixed up makes a tail-heavy surface look right." }
            }))
            div.row {
                button type="submit" { "Propose" }
                a.button.quiet href="/limits" { "Cancel" }
            }
        }
    }
}

fn what(filled: &Filled) -> Markup {
    html! {
        fieldset.group {
            legend { "What it is for" }
            div.fields {
                (Field::line("title", "Surface, in words").needed().hint("right elevator half, SK12").show(filled))
                (Field::line("source", "Source with revision").needed().hint("manual, chapter, revision").show(filled))
                (Field::area("parts", "Part numbers", 4).needed().hint("one a line; a star at the end stands for any ending").show(filled))
                (Field::area("configuration", "Must be so when it is weighed", 4).hint("one a line: final paint, tab fitted and locked").show(filled))
            }
        }
    }
}

fn band(filled: &Filled) -> Markup {
    html! {
        fieldset.group {
            legend { "The approved band" }
            (Field::radio("given", "The data give it", &GIVEN).needed().show(filled))
            (Field::choice("manual_plus", "Signs in the manual", &PLUS).hint("Makers differ. With signs, type the numbers with their signs. Without, name the side of a moment in words; a reading is then plus where it is tail-heavy.").show(filled))
            fieldset.group data-when="given=moments" {
                legend { "As static moments" }
                div.fields {
                (Field::line("from", "From, nose-heavy end").needed().hint("4.0 in-lb nose-heavy").show(filled))
                (Field::line("to", "To, tail-heavy end").needed().hint("0 in-lb").show(filled))
                (Field::line("aim", "Aim").hint("empty: the middle of the band").show(filled))
                }
            }
            fieldset.group data-when="given=readings" {
                legend { "As readings at an arm" }
                div.fields {
                (Field::line("at_arm", "Arm of the readings").needed().hint("17 1/4 in, aft of the hinge line").show(filled))
                (Field::line("from_reading", "From, nose-heavy end").needed().hint("-0.25 lb").show(filled))
                (Field::line("to_reading", "To, tail-heavy end").needed().hint("0.05 lb").show(filled))
                (Field::line("aim_reading", "Aim").hint("empty: the middle of the band").show(filled))
                }
            }
        }
    }
}

fn stations(filled: &Filled) -> Markup {
    let mut rows = filled.typed.rows("station");
    if rows.is_empty() {
        rows.push(0);
    }
    html! {
        fieldset.group {
            legend { "Stations: where mass may be changed" }
            @for row in &rows { (station(*row, filled)) }
            @if rows.len() < STATIONS {
                div.row { button.quiet type="submit" name="act" value="station" { "Another station" } }
            }
        }
    }
}

fn station(row: usize, filled: &Filled) -> Markup {
    let name = |key: &str| format!("station.{row}.{key}");
    let [n, arm, within, side, capacity, removable, step] = form::STATION.map(name);
    html! {
        fieldset.group {
            legend { "Station " (row + 1) }
            div.fields {
                (Field::line(&n, "Name").needed().hint("horn weight, front face").show(filled))
                (Field::line(&arm, "Arm from the hinge line").needed().hint("6 1/2 in").show(filled))
                (Field::choice(&side, "Side of the hinge line", &SIDE).needed().show(filled))
                (Field::line(&capacity, "Most that may be added").hint("0.8 lb").show(filled))
                (Field::line(&removable, "Most that may be taken away").hint("0.2 lb").show(filled))
                (Field::line(&step, "Step").hint("0.01 lb").show(filled))
                (Field::line(&within, "Arm known within").hint("1/16 in").show(filled))
            }
            @if row > 0 { p.hint { "A station that is left empty is left out." } }
        }
    }
}

fn outline(filled: &Filled) -> Markup {
    html! {
        fieldset.group {
            legend { "Outline, for the drawing" }
            div.fields {
                (Field::line("outline.nose", "Hinge line to the nose").hint("7.5 in").show(filled))
                (Field::line("outline.trailing_edge", "Hinge line to the trailing edge").hint("18 1/2 in").show(filled))
            }
        }
    }
}
