//! What a revision that waits for its second person changes: against the card whose place it takes, and for the open
//! jobs that are judged by that one. Main function: [`shown`].

use super::band;
use crate::parts;
use crate::problem::Problem;
use crate::visit::Visit;
use hingeline_bench::record::deed::{Card, Field, Fields};
use hingeline_bench::record::shop::LibraryCard;
use hingeline_store::Filter;
use maud::{Markup, html};
use std::collections::BTreeSet;

/// A difference: what it is of, as it stands, as it is proposed.
type Difference = [String; 3];

/// The differences and the jobs; nothing of a card that revises none.
pub(super) async fn shown(visit: &Visit, card: &LibraryCard) -> Result<Markup, Problem> {
    let Some(old) = card.revises.and_then(|old| visit.shop.cards.get(&old)) else { return Ok(html! {}) };
    let jobs = judged_by(visit, old.number).await?;
    let rows: Vec<Vec<Markup>> = differences(&old.content, &card.content)
        .iter()
        .map(|difference| difference.iter().map(|text| html! { (text) }).collect())
        .collect();
    let was = format!("card {}", old.number);
    Ok(html! {
        section.card {
            h2 { "What it changes against " a href={ "/limits/" (old.number) } { (was) } }
            @if rows.is_empty() { p { "Nothing: both say the same." } }
            @else { (parts::table("Differences", &["what", &was, "as proposed"], &rows)) }
            @if jobs.is_empty() { p { "No open job is judged by " (was) "." } }
            @else {
                p { "Open jobs judged by " (was) "; each keeps it until somebody chooses the new card there:" }
                ul.tight { @for job in &jobs { li { a href={ "/jobs/" (parts::escape(job)) } { (job) } } } }
            }
        }
    })
}

/// The open jobs that are judged by a card.
async fn judged_by(visit: &Visit, card: u64) -> Result<Vec<String>, Problem> {
    let found = visit.app.ask(move |store| {
        let open = store.jobs(&Filter::Open, store.count(&Filter::Open)?, 0)?;
        let mut found = Vec::new();
        for row in open {
            let job = store.job(&row.number)?;
            if job.and_then(|job| job.card).is_some_and(|(number, _)| number == card) {
                found.push(row.number);
            }
        }
        Ok(found)
    });
    found.await
}

fn differences(old: &Card, new: &Card) -> Vec<Difference> {
    let mut found = Vec::new();
    let mut compare = |of: &str, old: String, new: String| {
        if old != new {
            let said = |text: String| if text.is_empty() { "not stated".to_owned() } else { text };
            found.push([of.to_owned(), said(old), said(new)]);
        }
    };
    compare("what it is for", old.title.clone(), new.title.clone());
    compare("part numbers", old.parts.join(", "), new.parts.join(", "));
    compare("band", band(&old.limits), band(&new.limits));
    for (key, of) in [
        ("source", "source with revision"),
        ("aim", "aim"),
        ("aim_reading", "aim"),
        ("manual_plus", "plus in the manual"),
        ("configuration", "must be so when it is weighed"),
    ] {
        compare(of, typed(&old.limits, key), typed(&new.limits, key));
    }
    for row in 0..old.stations.len().max(new.stations.len()) {
        let station = |card: &Card| card.stations.get(row).map(whole).unwrap_or_default();
        compare(&format!("station {}", row + 1), station(old), station(new));
    }
    for (key, of) in
        [("nose", "hinge line to the nose"), ("trailing_edge", "hinge line to the trailing edge")]
    {
        compare(of, typed(&old.outline, key), typed(&new.outline, key));
    }
    found
}

/// A station in one line: its name, then what else is stated of it.
fn whole(station: &Fields) -> String {
    let keys: BTreeSet<&str> = station.keys().map(String::as_str).filter(|key| *key != "name").collect();
    let rest = keys.into_iter().map(|key| format!("{} {}", key.replace('_', " "), typed(station, key)));
    std::iter::once(typed(station, "name")).chain(rest).collect::<Vec<_>>().join(", ")
}

/// A field as it was typed; empty where it is not there.
fn typed(fields: &Fields, key: &str) -> String {
    match fields.get(key) {
        Some(Field::Text(text)) => text.clone(),
        Some(Field::List(list)) => list.join("; "),
        _ => String::new(),
    }
}
