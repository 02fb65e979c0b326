//! The aircraft that surfaces belong to. Main functions: [`list`], [`page`].

use super::jobs::{self, Listed};
use crate::parts;
use crate::problem::Problem;
use crate::visit::{Answer, Visit};
use axum::extract::Path;
use hingeline_store::{Aircraft, Filter, State};
use maud::{Markup, html};
use std::collections::BTreeSet;

/// The most jobs of one aircraft that its page looks through.
const MOST: u64 = 500;

/// GET /aircraft
pub(crate) async fn list(visit: Visit) -> Answer {
    let aircraft = visit.app.ask(|store| store.aircraft()).await?;
    let rows: Vec<Vec<Markup>> = aircraft.iter().map(|one| row(&visit, one)).collect();
    visit.page("Aircraft", html! {
        h1 { "Aircraft" }
        @if rows.is_empty() {
            div.empty { p { "No job names an aircraft yet. It is asked for when a surface is received." } }
        } @else {
            (parts::table("Aircraft by name", &["Aircraft", "Open jobs", "Jobs", "Last entry"], &rows))
        }
    })
}

fn row(visit: &Visit, aircraft: &Aircraft) -> Vec<Markup> {
    vec![
        html! { a.strong href={ "/aircraft/" (parts::escape(&aircraft.name)) } { (aircraft.name) } },
        html! { @if aircraft.open > 0 { strong { (aircraft.open) " open" } } @else { span.soft { "none" } } },
        html! { (aircraft.jobs) },
        html! { (visit.local(&aircraft.changed)) },
    ]
}

/// GET /aircraft/{name}
pub(crate) async fn page(visit: Visit, Path(name): Path<String>) -> Answer {
    let filter = Filter::OfAircraft(name.clone());
    let found = visit.app.ask(move |store| {
        let rows = store.jobs(&filter, MOST, 0)?;
        jobs::listed(store, rows)
    });
    let all = found.await?;
    let Some(newest) = all.first() else { return Err(Problem::not_found(format!("aircraft {name}"))) };
    let name = newest.row.aircraft.clone();
    let open: Vec<Listed> = all.iter().filter(|job| job.row.state == State::Open).cloned().collect();
    let surfaces = surfaces(&all);
    visit.page(&name, html! {
        h1 { (name) }
        p.lead { (surfaces.len()) @if surfaces.len() == 1 { " surface" } @else { " surfaces" } " in " (all.len()) @if all.len() == 1 { " job" } @else { " jobs" } }
        (due(&visit, &open))
        section { (parts::table("Surfaces, each with its last state", &["Surface", "Part and serial", "Last job", "State", "Last weighing"], &surfaces)) }
        section {
            @if open.is_empty() { div.empty { p { "No job is open for this aircraft." } } }
            @else { (jobs::table("Open jobs", &open)) }
        }
    })
}

/// The newest job of each surface.
fn surfaces(all: &[Listed]) -> Vec<Vec<Markup>> {
    let mut seen = BTreeSet::new();
    let newest = all.iter().filter(|job| {
        let row = &job.row;
        // Without a serial number two jobs are two surfaces.
        let alone = if row.serial.is_empty() { row.number.clone() } else { String::new() };
        seen.insert((row.part.to_lowercase(), row.serial.clone(), alone))
    });
    newest
        .map(|job| {
            vec![
                html! { (job.row.surface) },
                jobs::surface(&job.row.part, &job.row.serial),
                html! { a.keep[jobs::is_short(&job.row.number)] href=(jobs::link(&job.row.number)) { (job.row.number) } },
                jobs::step(job),
                jobs::last(job),
            ]
        })
        .collect()
}

/// The instruments of the open jobs that are due soon or past due.
fn due(visit: &Visit, open: &[Listed]) -> Markup {
    let used: BTreeSet<&str> =
        open.iter().flat_map(|job| job.instruments.iter().map(String::as_str)).collect();
    let due: Vec<_> = used
        .into_iter()
        .filter_map(|id| Some((id, visit.shop.instruments.get(id)?)))
        .filter_map(|(id, instrument)| {
            let (tone, word) = super::instruments::attention(visit, instrument)?;
            Some((id, instrument, tone, word))
        })
        .collect();
    html! {
        @for (id, instrument, tone, word) in due {
            (parts::notice(tone, &format!("{id} {word}, due {}", instrument.text("due")), &html! {
                "used by an open job of this aircraft. " a href="/instruments" { "Instruments" }
            }))
        }
    }
}
