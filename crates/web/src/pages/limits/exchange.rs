//! Cards as files: export as TOML, and import, which fills the form of a proposal and writes nothing.

use super::form::{self, CardFile};
use super::propose;
use crate::form::{Filled, Said, Typed, Wrong};
use crate::parts::{Field, form_summary};
use crate::problem::Problem;
use crate::visit::{Answer, Given, Visit, file};
use axum::extract::Path;
use hingeline_bench::record::deed::Card;
use maud::{Markup, html};

/// GET /limits/{card}/export
pub(crate) async fn export(visit: Visit, Path(number): Path<String>) -> Answer {
    let card = super::find(&visit, &number)?;
    let body = toml::to_string(&CardFile::of(&card.content))
        .map_err(|error| Problem::Defect { what: error.to_string() })?;
    let state = match &card.approved {
        Some((by, at)) => format!("approved by {by}, {at}"),
        None => "not approved".to_owned(),
    };
    let text = format!("# Limits card {number}, {state}. The approved data themselves decide.\n\n{body}");
    file(Given::ToKeep, "application/toml; charset=utf-8", &format!("limits-{number}.toml"), text)
}

/// GET /limits/import
pub(crate) async fn page(visit: Visit) -> Answer {
    visit.page("Import a card", content(&Filled::default()))
}

fn content(filled: &Filled) -> Markup {
    html! {
        h1 { "Import a card" }
        p.lead { "A card that this program exported, or a job sheet. It fills the form of a new card; you check it there and propose it." }
        (form_summary(filled))
        form.card method="post" action="/limits/import" enctype="multipart/form-data" data-unkept {
            div.field {
                label for="f-file" { "File" }
                input #f-file type="file" name="file" accept=".toml,text/plain";
            }
            (Field::area("text", "Or its text", 12).show(filled))
            div.row { button type="submit" { "Fill the form" } a.button.quiet href="/limits" { "Cancel" } }
        }
    }
}

/// POST /limits/import
pub(crate) async fn import(visit: Visit, mut typed: Typed) -> Answer {
    let text = match typed.file("file") {
        Some(file) => String::from_utf8_lossy(&file.bytes).into_owned(),
        None => typed.get("text").to_owned(),
    };
    match read(&text) {
        Ok(card) => visit.page("Propose a card", propose::content(&visit, &form::fill(&card))),
        Err(said) => {
            typed.set("text", text);
            let mut wrong = Wrong::default();
            wrong.say("text", said);
            visit.refused("Import a card", content(&Filled::refused(typed, wrong)))
        }
    }
}

/// The card in a file: a card's own, or a job sheet's.
fn read(text: &str) -> Result<Card, Said> {
    if text.trim().is_empty() {
        return Err(Said::new("there is no file and no text").hint("choose a file, or paste its text"));
    }
    let hint = "choose a .toml file that the button “Export” of a card gave, or a job sheet";
    let mut table: toml::Table = text.parse().map_err(|error: toml::de::Error| {
        let line = error.span().map_or(1, |span| text[..span.start.min(text.len())].lines().count().max(1));
        Said::new(format!("this file is no card and no job sheet: line {line} cannot be read")).hint(hint)
    })?;
    let job = table.remove("job");
    let known = ["title", "parts", "limits", "outline", "station", "instrument", "weighing"];
    if let Some(key) = table.keys().find(|key| !known.contains(&key.as_str())) {
        return Err(Said::new(format!("this file is no card and no job sheet: it holds “{key}”"))
            .allowed(known[..5].join(", "))
            .hint(hint));
    }
    let mut file: CardFile = table.try_into().map_err(|error: toml::de::Error| {
        Said::new(format!("this file is no card: {}", error.message())).hint(hint)
    })?;
    let of_job = |key: &str| job.as_ref().and_then(|job| job.get(key)).and_then(toml::Value::as_str);
    if file.title.is_empty() {
        file.title = of_job("surface").unwrap_or("").to_owned();
    }
    if file.parts.is_empty() {
        file.parts = of_job("part").map(str::to_owned).into_iter().collect();
    }
    let CardFile { title, parts, limits, outline, station } = file;
    Ok(Card { title, parts, limits, stations: station, outline })
}
