//! The files of a weight: the drawing with its templates at true size, the pattern, the sheet.

use super::weight_at;
use crate::app::Heavy;
use crate::checks;
use crate::form::{Said, Typed, Wrong};
use crate::problem::{Problem, chain};
use crate::visit::{Answer, Given, Visit, file};
use axum::extract::Path;
use hingeline_bench::record::job::Job;
use hingeline_bench::record::weight::BalanceWeight;
use hingeline_bench::weight::Worked;
use hingeline_sheet::PaperSize;
use hingeline_sheet::paper::TitleBlock;
use hingeline_sheet::weight::{Size, WeightTexts, pattern_sized, texts_of, weight_paper};
use std::sync::Arc;

/// The largest shrinkage that a pattern is grown by, percent.
const MOST_PERCENT: f64 = 10.0;

/// A weight sheet as a file.
pub(super) fn toml(job: &Job, text: &str) -> Answer {
    let name = format!("{}-weight.toml", job.text("number"));
    file(Given::ToKeep, "application/toml; charset=utf-8", &name, text.to_owned())
}

/// GET /jobs/{number}/weights/{entry}/sheet.toml
pub(crate) async fn sheet(visit: Visit, Path((number, entry)): Path<(String, String)>) -> Answer {
    let (job, weight) = weight_at(&visit, &number, &entry).await?;
    toml(&job, &weight.sheet)
}

/// GET /jobs/{number}/weights/{entry}/drawing.pdf
pub(crate) async fn drawing(visit: Visit, Path((number, entry)): Path<(String, String)>) -> Answer {
    let (job, weight) = weight_at(&visit, &number, &entry).await?;
    let worked = worked(&weight)?;
    let size = if visit.query.get("paper") == "letter" { PaperSize::Letter } else { PaperSize::A4 };
    let state = format!("record entry {}", weight.entry);
    let made = Made { state, day: visit.day_of(&weight.at) };
    paper(&visit, &job, worked, made, size).await
}

/// Which piece a link asks for: exact or with the reserve; none named is the one that is usual for the file.
fn asked(visit: &Visit, usual: Size) -> Size {
    match visit.query.get("reserve") {
        "with" => Size::WithReserve,
        "without" => Size::Exact,
        _ => usual,
    }
}

/// A weight of the record worked out, with its castings.
pub(super) fn worked(weight: &BalanceWeight) -> Result<Arc<Worked>, Problem> {
    weight
        .worked()
        .map_err(|faults| Problem::Unreadable { what: format!("the sheet of this weight: {faults}") })
}

/// Where a weight stands in the record, and its day.
pub(super) struct Made {
    /// "record entry 12".
    pub(super) state: String,
    /// The day that it was entered; today where it is not.
    pub(super) day: String,
}

/// The paper of a weight, inline.
pub(super) async fn paper(
    visit: &Visit,
    job: &Job,
    worked: Arc<Worked>,
    made: Made,
    size: PaperSize,
) -> Answer {
    let templates = asked(visit, Size::Exact);
    let (title, number) = (title(job, made), job.text("number").to_owned());
    let printed = visit.app.heavy(Heavy::Paper, move || {
        let solution = worked.solution().ok_or_else(|| Problem::not_found("piece of this weight"))?;
        let told = texts_of(&worked, &number, checks::agree()?);
        let mut notes = vec![format!("The piece: {}.", worked.sheet.name)];
        notes.extend(told.notes.iter().cloned());
        let texts = WeightTexts { title, notes, templates, ..told };
        weight_paper(&worked.sheet.design, solution, &texts, size)
            .map_err(|error| Problem::Defect { what: chain(&error) })
    });
    let name = format!("{}-weight.pdf", job.text("number"));
    file(Given::ToSee, "application/pdf", &name, printed.await??)
}

fn title(job: &Job, made: Made) -> TitleBlock {
    let text = |key: &str| job.text(key).to_owned();
    TitleBlock {
        document: "Balance weight".to_owned(),
        shop: text("shop"),
        job: text("number"),
        surface: text("surface"),
        part: text("part"),
        serial: text("serial"),
        aircraft: text("aircraft"),
        date: made.day,
        document_id: made.state,
        ..TitleBlock::default()
    }
}

/// The shrinkage that is typed, percent; none typed is 1 %.
pub(super) fn shrinkage(typed: &Typed, wrong: &mut Wrong) -> f64 {
    let given = typed.get("shrinkage").trim_end_matches('%').trim().replace(',', ".");
    if given.is_empty() {
        return 1.0;
    }
    match given.parse::<f64>() {
        Ok(percent) if (0.0..=MOST_PERCENT).contains(&percent) => percent,
        _ => {
            let said = Said::new(format!("shrinkage: “{}” cannot be", typed.get("shrinkage")));
            let allowed = format!("0 % to {MOST_PERCENT:.0} %");
            wrong.say("shrinkage", said.allowed(allowed).hint("write it as 1 or 1.2 %"));
            1.0
        }
    }
}

/// GET /jobs/{number}/weights/{entry}/pattern.stl
pub(crate) async fn pattern(visit: Visit, Path((number, entry)): Path<(String, String)>) -> Answer {
    let (job, weight) = weight_at(&visit, &number, &entry).await?;
    let worked = worked(&weight)?;
    let mut wrong = Wrong::default();
    let percent = shrinkage(&visit.query, &mut wrong);
    if let Some((_, said)) = wrong.all().next() {
        return Err(Problem::Unreadable { what: said.what.clone() });
    }
    let size = asked(&visit, Size::WithReserve);
    let made = visit.app.heavy(Heavy::Paper, move || {
        pattern_sized(&worked, size, percent / 100.0, worked.sheet.units.length)
    });
    let made = made.await?.map_err(|fault| Problem::Unreadable { what: format!("the pattern: {fault}") })?;
    let (words, patterns) = made.ok_or_else(|| Problem::not_found("piece of this weight"))?;
    let wanted = if visit.query.has("part") { visit.query.get("part") } else { "whole" };
    let found = patterns.into_iter().find(|pattern| pattern.name == wanted);
    let pattern = found.ok_or_else(|| Problem::not_found(format!("part “{wanted}” of this weight")))?;
    let which = if words == "exact" { "exact" } else { "with-reserve" };
    let name = format!("{}-{}-{which}.stl", job.text("number"), pattern.name);
    file(Given::ToKeep, "model/stl", &name, pattern.bytes)
}
