//! The files of a weight: the drawing with its templates at true size, the pattern, the sheet.

use super::show;
use super::weight_at;
use crate::form::{Said, Typed, Wrong};
use crate::problem::{Problem, chain};
use crate::visit::{Answer, Visit};
use axum::extract::Path;
use axum::http::header;
use axum::response::IntoResponse;
use hingeline_bench::record::job::Job;
use hingeline_bench::weight::{Worked, words};
use hingeline_sheet::PaperSize;
use hingeline_sheet::paper::{Footer, TitleBlock};
use hingeline_sheet::weight::{Poured, Size, WeightTexts, pattern_sized, weight_paper};

/// The largest shrinkage that a pattern is grown by, percent.
const MOST_PERCENT: f64 = 10.0;

/// A name of a file that no system minds.
fn file_name(number: &str, what: &str, ending: &str) -> String {
    let plain = |sign: char| if sign.is_ascii_alphanumeric() || sign == '-' { sign } else { '_' };
    let both = format!("{number}-{what}");
    format!("{}.{ending}", both.chars().map(plain).collect::<String>())
}

fn answer(media: &str, shown: &str, name: &str, bytes: Vec<u8>) -> Answer {
    let headers = [
        (header::CONTENT_TYPE, media.to_owned()),
        (header::CONTENT_DISPOSITION, format!("{shown}; filename=\"{name}\"")),
    ];
    Ok((headers, bytes).into_response())
}

/// A weight sheet as a file.
pub(super) fn toml(job: &Job, text: &str) -> Answer {
    let name = file_name(job.text("number"), "weight", "toml");
    answer("application/toml; charset=utf-8", "attachment", &name, text.as_bytes().to_vec())
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
    paper(&visit, &job, worked, &state, size).await
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
pub(super) fn worked(weight: &hingeline_bench::record::weight::BalanceWeight) -> Result<Worked, Problem> {
    weight
        .worked()
        .map_err(|faults| Problem::Unreadable { what: format!("the sheet of this weight: {faults}") })
}

/// The paper of a weight, inline.
pub(super) async fn paper(visit: &Visit, job: &Job, worked: Worked, state: &str, size: PaperSize) -> Answer {
    let texts = WeightTexts { templates: asked(visit, Size::Exact), ..texts(visit, job, &worked, state) };
    let printed = tokio::task::spawn_blocking(move || {
        let solution = worked.solution().ok_or_else(|| Problem::not_found("piece of this weight"))?;
        weight_paper(&worked.sheet.design, solution, &texts, size)
            .map_err(|error| Problem::Defect { what: chain(&error) })
    });
    let bytes = printed.await.map_err(|error| Problem::Defect { what: error.to_string() })??;
    answer("application/pdf", "inline", &file_name(job.text("number"), "weight", "pdf"), bytes)
}

fn texts(visit: &Visit, job: &Job, worked: &Worked, state: &str) -> WeightTexts {
    let text = |key: &str| job.text(key).to_owned();
    let confirm = |line: String| format!("{line} (for the engineer to confirm)");
    WeightTexts {
        title: TitleBlock {
            document: "Balance weight".to_owned(),
            shop: text("shop"),
            job: text("number"),
            surface: text("surface"),
            part: text("part"),
            serial: text("serial"),
            aircraft: text("aircraft"),
            date: visit.today.to_string(),
            document_id: state.to_owned(),
            ..TitleBlock::default()
        },
        notes: vec![format!("The piece: {}.", worked.sheet.name)],
        fastening: words::fastening(worked).into_iter().map(confirm).collect(),
        sources: words::sources(worked),
        poured: Poured::of(worked),
        footer: Footer {
            program: concat!("hingeline ", env!("CARGO_PKG_VERSION")).to_owned(),
            checks: String::new(),
            fingerprint: worked.sheet.fingerprint.clone(),
        },
        ..WeightTexts::new(&worked.sheet.metal.name, show::units(worked))
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
    let made = pattern_sized(&worked, size, percent / 100.0, show::units(&worked).length);
    let made = made.map_err(|fault| Problem::Unreadable { what: format!("the pattern: {fault}") })?;
    let (words, patterns) = made.ok_or_else(|| Problem::not_found("piece of this weight"))?;
    let wanted = if visit.query.has("part") { visit.query.get("part") } else { "whole" };
    let found = patterns.into_iter().find(|pattern| pattern.name == wanted);
    let pattern = found.ok_or_else(|| Problem::not_found(format!("part “{wanted}” of this weight")))?;
    let which = if words == "exact" { "exact" } else { "with-reserve" };
    let name = file_name(&number_of(&job), &format!("{}-{which}", pattern.name), "stl");
    answer("model/stl", "attachment", &name, pattern.bytes)
}

fn number_of(job: &Job) -> String {
    job.text("number").to_owned()
}
