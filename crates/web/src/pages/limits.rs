//! The limits library: cards that the shop copied out of its own approved data, and what becomes of them.
//!
//! Main functions: [`list`], [`one`]. A card is proposed by one person and approved by another; a revision takes the
//! place of its card when it is approved.

pub(crate) mod decide;
mod draw;
pub(crate) mod exchange;
pub(crate) mod form;
pub(crate) mod propose;
mod revision;

pub(crate) use hingeline_bench::record::deed::{list as list_of, text};

use crate::form::Filled;
use crate::parts::{self, Tone};
use crate::problem::Problem;
use crate::routes::Who;
use crate::visit::{Answer, Visit};
use axum::extract::Path;
use hingeline_bench::record::deed::Fields;
use hingeline_bench::record::shop::LibraryCard;
use maud::{Markup, html};

/// Which cards belong to a group.
type Choice = fn(&LibraryCard) -> bool;

/// GET /limits
pub(crate) async fn list(visit: Visit) -> Answer {
    let keeps = visit.may(Who::DataKeeper);
    let groups: [(&str, Choice); 4] = [
        ("Waiting for a second person", LibraryCard::waits),
        ("In use", LibraryCard::in_use),
        ("Superseded", |card| card.superseded.is_some()),
        ("Withdrawn or refused", |card| card.withdrawn.is_some()),
    ];
    let content = html! {
        div.title {
            div { h1 { "Limits" } p.lead { "What the shop copied out of its own approved data. The approved data themselves decide." } }
            @if keeps {
                div.row {
                    a.button href="/limits/new" { "Propose a card" }
                    a.button.quiet href="/limits/import" { "Import" }
                }
            }
        }
        @if visit.shop.cards.is_empty() {
            div.empty { p { "No card yet. A job is judged by a card that a second person approved." } }
        }
        @for (title, is) in groups { (group(&visit, title, is)) }
    };
    visit.page("Limits", content)
}

fn group(visit: &Visit, title: &str, is: fn(&LibraryCard) -> bool) -> Markup {
    let rows: Vec<Vec<Markup>> = visit.shop.cards.values().filter(|card| is(card)).map(row).collect();
    html! {
        @if !rows.is_empty() { (parts::table(title, &["card", "for", "part numbers", "source", "band", "state"], &rows)) }
    }
}

fn row(card: &LibraryCard) -> Vec<Markup> {
    let address = format!("/limits/{}", card.number);
    vec![
        html! { a href=(address) { (card.number) } },
        html! { a href=(address) { (card.content.title) } },
        html! { (card.content.parts.join(", ")) },
        html! { (text(&card.content.limits, "source")) },
        html! { (band(&card.content.limits)) },
        state(card),
    ]
}

/// The band as it was typed.
fn band(limits: &Fields) -> String {
    if limits.contains_key("at_arm") {
        let [from, to, arm] = ["from_reading", "to_reading", "at_arm"].map(|key| text(limits, key));
        format!("reading {from} to {to} at {arm}")
    } else {
        format!("{} to {}", text(limits, "from"), text(limits, "to"))
    }
}

/// How a card stands, as a badge.
fn state(card: &LibraryCard) -> Markup {
    match (&card.withdrawn, card.superseded, &card.approved) {
        (Some(_), _, Some(_)) => parts::badge(Tone::Bad, "withdrawn"),
        (Some(_), _, None) => parts::badge(Tone::Bad, "refused"),
        (None, Some(by), _) => parts::badge(Tone::Plain, &format!("superseded by {by}")),
        (None, None, Some(_)) => parts::badge(Tone::Good, "in use"),
        (None, None, None) => parts::badge(Tone::Doubt, "waiting for approval"),
    }
}

/// The card of an address.
pub(crate) fn find<'v>(visit: &'v Visit, number: &str) -> Result<&'v LibraryCard, Problem> {
    let found = number.parse().ok().and_then(|number: u64| visit.shop.cards.get(&number));
    found.ok_or_else(|| Problem::not_found(format!("limits card {number}")))
}

/// GET /limits/{card}
pub(crate) async fn one(visit: Visit, Path(number): Path<String>) -> Answer {
    let card = find(&visit, &number)?;
    let content = content(&visit, card, &Filled::default(), &Filled::default()).await?;
    visit.page(&card.content.title, content)
}

/// The page of a card, with what stands in its two forms.
pub(crate) async fn content(
    visit: &Visit,
    card: &LibraryCard,
    approve: &Filled,
    withdraw: &Filled,
) -> Result<Markup, Problem> {
    let revision = if card.waits() {
        revision::shown(visit, card).await?
    } else {
        html! {}
    };
    Ok(html! {
        div.title {
            div {
                h1 { (card.content.title) }
                p.lead { "Card " (card.number) " · " (state(card)) }
            }
            div.row {
                @if visit.may(Who::DataKeeper) && card.superseded.is_none() && card.withdrawn.is_none() {
                    a.button.quiet href={ "/limits/" (card.number) "/revise" } { "Revise" }
                }
                a.button.quiet href={ "/limits/" (card.number) "/export" } { "Export (TOML)" }
            }
        }
        (fate(visit, card))
        (others(visit, card))
        (revision)
        (data(card))
        (draw::drawings(&card.content))
        (stations(card))
        (decide::forms(visit, card, approve, withdraw))
    })
}

/// Who proposed, approved, withdrew it, and what it revises.
fn fate(visit: &Visit, card: &LibraryCard) -> Markup {
    let signed = |(by, at): &(String, String)| html! { (by) ", " (visit.local(at)) };
    let mut facts = vec![("Proposed", signed(&card.proposed))];
    if let Some(old) = card.revises {
        facts.push(("Revises", html! { a href={ "/limits/" (old) } { "card " (old) } }));
    }
    match &card.approved {
        Some(approved) => facts.push(("Approved by a second person", signed(approved))),
        None => facts.push(("Approved", html! { "not yet" })),
    }
    if let Some(new) = card.superseded {
        facts.push(("Superseded by", html! { a href={ "/limits/" (new) } { "card " (new) } }));
    }
    if let Some((by, why)) = &card.withdrawn {
        facts
            .push((if card.approved.is_some() { "Withdrawn" } else { "Refused" }, html! { (by) ": " (why) }));
    }
    parts::facts(&facts)
}

/// Other cards in use for one of its part numbers: a job would have to choose between them.
fn others(visit: &Visit, card: &LibraryCard) -> Markup {
    let covers = |one: &LibraryCard, other: &LibraryCard| {
        one.content.parts.iter().any(|part| other.is_for(part.trim_end_matches('*')))
    };
    let shared = |other: &&LibraryCard| {
        other.number != card.number
            && (other.in_use() || other.waits())
            && card.revises != Some(other.number)
            && (covers(card, other) || covers(other, card))
    };
    let shared: Vec<&LibraryCard> = visit.shop.cards.values().filter(shared).collect();
    html! {
        @if !shared.is_empty() && card.withdrawn.is_none() && card.superseded.is_none() {
            (parts::notice(Tone::Doubt, "There is another card for one of these part numbers", &html! {
                ul { @for other in shared { li { a href={ "/limits/" (other.number) } { "card " (other.number) ": " (other.content.title) } ", " (if other.in_use() { "in use" } else { "waiting for approval" }) } } }
            }))
        }
    }
}

fn data(card: &LibraryCard) -> Markup {
    let limits = &card.content.limits;
    let items = list_of(limits, "configuration");
    let mut facts = vec![
        ("Part numbers", html! { (card.content.parts.join(", ")) }),
        ("Source and revision", html! { (text(limits, "source")) }),
        ("Band, as typed", html! { (band(limits)) }),
    ];
    let aim = [text(limits, "aim"), text(limits, "aim_reading")].into_iter().find(|aim| !aim.is_empty());
    facts.push(("Aim", html! { (aim.unwrap_or("the middle of the band")) }));
    match text(limits, "manual_plus") {
        "" => {}
        side => facts.push(("In this manual plus is", html! { (side) })),
    }
    for (key, word) in
        [("nose", "Hinge line to the nose"), ("trailing_edge", "Hinge line to the trailing edge")]
    {
        let length = text(&card.content.outline, key);
        facts.push((word, html! { (if length.is_empty() { "not stated" } else { length }) }));
    }
    html! {
        (parts::facts(&facts))
        section.card {
            h2 { "Must be so when the surface is weighed" }
            @if items.is_empty() { p { "No condition is stated." } }
            @else { ul { @for item in items { li { (item) } } } }
        }
    }
}

fn stations(card: &LibraryCard) -> Markup {
    let or = |text: &str| if text.is_empty() { "not stated".to_owned() } else { text.to_owned() };
    let row = |station: &Fields| {
        vec![
            html! { (text(station, "name")) },
            html! { (text(station, "arm")) " " (text(station, "side")) },
            html! { (or(text(station, "arm_within"))) },
            html! { (or(text(station, "capacity"))) },
            html! { (or(text(station, "removable"))) },
            html! { (or(text(station, "step"))) },
        ]
    };
    let rows: Vec<Vec<Markup>> = card.content.stations.iter().map(row).collect();
    parts::table(
        "Stations: where mass may be changed",
        &["station", "arm", "arm known within", "most added", "most removed", "step"],
        &rows,
    )
}
