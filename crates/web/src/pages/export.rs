//! What leaves the program as a file: a job as a sheet, as a result, as its ledger; lists as CSV.
//!
//! docs/exports.md says what stands in each. CSV follows RFC 4180. A text that a spreadsheet would take for a formula
//! gets an apostrophe in front of it ([`guarded`]); numbers are written by the program and stay numbers.

use super::jobs::{Asked, Show};
use crate::problem::Problem;
use crate::visit::{Answer, Given, Visit, file};
use axum::extract::Path;
use hingeline_bench::record::check::failed;
use hingeline_bench::record::job::ledger_of;
use hingeline_bench::record::ledger::{Hash, Stored};
use hingeline_bench::record::shop::{DueState, Instrument, LEDGER};
use hingeline_bench::record::told;
use hingeline_bench::result::JobResult;
use hingeline_quantity::{Moment, Quantity, unit};
use hingeline_store::{Event, EventKind, JobRow, Point};
use serde::Serialize;

const CSV: &str = "text/csv; charset=utf-8; header=present";

fn kept(media: &'static str, name: &str, body: String) -> Answer {
    file(Given::ToKeep, media, name, body)
}

fn defect(error: impl std::fmt::Display) -> Problem {
    Problem::Defect { what: error.to_string() }
}

/// GET /jobs/{number}/sheet.toml
pub(crate) async fn sheet(visit: Visit, Path(number): Path<String>) -> Answer {
    let job = visit.job(&number).await?;
    let sheet = job
        .sheet()
        .ok_or_else(|| Problem::not_found(format!("job sheet of {number} yet: its limits are not chosen")))?;
    kept("application/toml; charset=utf-8", &format!("{number}.toml"), sheet.text().map_err(defect)?)
}

/// GET /jobs/{number}/result.json
pub(crate) async fn result(visit: Visit, Path(number): Path<String>) -> Answer {
    let job = visit.job(&number).await?;
    let judged = tokio::task::spawn_blocking(move || job.assessment()).await.map_err(defect)?;
    let judged = judged.ok_or_else(|| {
        Problem::not_found(format!("result of {number} yet: it has no limits or no weighing"))
    })?;
    let text = serde_json::to_string_pretty(&JobResult::of(&judged.map_err(defect)?)).map_err(defect)?;
    kept("application/json", &format!("{number}.json"), text + "\n")
}

/// An entry as a line of JSON: all that its seal is made of, the seal, and the chain of the shop.
#[derive(Serialize)]
struct Sealed<'a> {
    place: u64,
    ledger: &'a str,
    number: u64,
    at: &'a str,
    by: &'a str,
    body: &'a str,
    previous: String,
    hash: String,
    shop_hash: String,
}

/// GET /jobs/{number}/ledger.jsonl
pub(crate) async fn ledger(visit: Visit, Path(number): Path<String>) -> Answer {
    chain_of(&visit, ledger_of(&number), &format!("{number}-ledger.jsonl")).await
}

/// GET /shop/ledger.jsonl
pub(crate) async fn shop_ledger(visit: Visit) -> Answer {
    chain_of(&visit, LEDGER.to_owned(), "shop-ledger.jsonl").await
}

async fn chain_of(visit: &Visit, ledger: String, file: &str) -> Answer {
    let name = ledger.clone();
    let entries = visit.app.ask(move |store| store.entries(&name)).await?;
    if entries.is_empty() {
        return Err(Problem::not_found(ledger));
    }
    let mut text = String::new();
    let mut previous = Hash::default();
    for stored in &entries {
        text.push_str(&sealed(stored, &previous)?);
        text.push('\n');
        previous = stored.entry.hash;
    }
    kept("application/jsonl; charset=utf-8", file, text)
}

fn sealed(stored: &Stored, previous: &Hash) -> Result<String, Problem> {
    let entry = &stored.entry;
    let line = Sealed {
        place: stored.place,
        ledger: &entry.ledger,
        number: entry.number,
        at: &entry.at,
        by: &entry.by,
        body: &entry.body,
        previous: previous.hex(),
        hash: entry.hash.hex(),
        shop_hash: stored.shop_hash.hex(),
    };
    serde_json::to_string(&line).map_err(defect)
}

/// A text for a cell: with an apostrophe in front where a spreadsheet would take it for a formula, or where it
/// begins with an apostrophe itself, so that taking one away gives the text again.
fn guarded(text: &str) -> String {
    const TAKEN: [char; 12] = ['=', '+', '-', '@', '\t', '\r', '\n', '\'', '＝', '＋', '－', '＠'];
    if text.starts_with(TAKEN) { format!("'{text}") } else { text.to_owned() }
}

/// Rows of CSV under their head.
fn csv<const N: usize>(
    head: [&str; N],
    rows: impl IntoIterator<Item = [String; N]>,
) -> Result<String, Problem> {
    let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    writer.write_record(head).map_err(defect)?;
    for row in rows {
        writer.write_record(row).map_err(defect)?;
    }
    String::from_utf8(writer.into_inner().map_err(defect)?).map_err(defect)
}

/// GET /jobs.csv
pub(crate) async fn jobs(visit: Visit) -> Answer {
    let asked = Asked::of(&visit.query, Show::All)?;
    let rows = visit.app.ask(move |store| asked.rows(store)).await?;
    let head = [
        "number",
        "surface",
        "part",
        "serial",
        "aircraft",
        "work_order",
        "state",
        "step",
        "opened",
        "changed",
        "last_stage",
        "last_moment_kg_m",
        "last_side",
        "last_verdict",
        "last_doubt",
        "last_moment_in_lb",
    ];
    kept(CSV, "jobs.csv", csv(head, rows.iter().map(job_row))?)
}

/// A moment in the unit of most benches, to a ten-thousandth: the column in kg m has all digits.
fn in_lb(kg_m: f64) -> String {
    format!("{:.4}", Moment::from_si(kg_m).in_unit(&unit::INCH_POUND))
}

fn job_row(row: &JobRow) -> [String; 16] {
    let last = row.last.as_ref();
    [
        guarded(&row.number),
        guarded(&row.surface),
        guarded(&row.part),
        guarded(&row.serial),
        guarded(&row.aircraft),
        guarded(&row.work_order),
        row.state.word().to_owned(),
        row.step.word().to_owned(),
        row.opened.clone(),
        row.changed.clone(),
        last.map(|last| guarded(&last.stage)).unwrap_or_default(),
        last.map(|last| last.moment_kg_m.to_string()).unwrap_or_default(),
        last.map(|last| told::side(last.moment_kg_m).to_owned()).unwrap_or_default(),
        last.map(|last| last.verdict.clone()).unwrap_or_default(),
        last.map(|last| last.doubt.clone()).unwrap_or_default(),
        last.map(|last| in_lb(last.moment_kg_m)).unwrap_or_default(),
    ]
}

/// GET /surfaces/{part}/{serial}/history.csv
pub(crate) async fn history(visit: Visit, Path((part, serial)): Path<(String, String)>) -> Answer {
    let of = (part.clone(), serial.clone());
    let history = visit.app.ask(move |store| store.history(&of.0, &of.1)).await?;
    if history.points.is_empty() && history.events.is_empty() {
        return Err(Problem::not_found(format!("history of part {part} serial {serial} yet")));
    }
    let weighings = history
        .points
        .iter()
        .map(|point| (point.date.clone(), point.at.clone(), point.entry, weighed(point)));
    let events = history.events.iter().map(|event| {
        let day = visit.day_of(&event.at);
        (day.clone(), event.at.clone(), event.entry, done(event, day))
    });
    let mut rows: Vec<_> = weighings.chain(events).collect();
    rows.sort_by(|a, b| (&a.0, &a.1, a.2).cmp(&(&b.0, &b.1, b.2)));
    let head = [
        "date",
        "job",
        "entry",
        "entered",
        "kind",
        "stage",
        "moment_kg_m",
        "side",
        "expanded_uncertainty_kg_m",
        "limit_from_kg_m",
        "limit_to_kg_m",
        "verdict",
        "doubt",
        "valid_for_release",
        "station",
        "action",
        "mass",
        "words",
        "by",
        "moment_in_lb",
        "expanded_uncertainty_in_lb",
    ];
    let text = csv(head, rows.into_iter().map(|(.., row)| row))?;
    kept(CSV, &format!("{part}-{serial}-history.csv"), text)
}

fn weighed(point: &Point) -> [String; 21] {
    let none = String::new;
    [
        point.date.clone(),
        guarded(&point.job),
        point.entry.to_string(),
        point.at.clone(),
        "weighing".to_owned(),
        guarded(&point.stage),
        point.moment_kg_m.to_string(),
        told::side(point.moment_kg_m).to_owned(),
        point.expanded_kg_m.to_string(),
        point.band_kg_m.0.to_string(),
        point.band_kg_m.1.to_string(),
        point.verdict.clone(),
        point.doubt.clone(),
        if point.valid { "yes" } else { "no" }.to_owned(),
        none(),
        none(),
        none(),
        none(),
        none(),
        in_lb(point.moment_kg_m),
        in_lb(point.expanded_kg_m),
    ]
}

fn done(event: &Event, day: String) -> [String; 21] {
    let (kind, [station, action, mass, what]) = match &event.what {
        EventKind::Corrected { station, action, mass, what } => {
            ("correction", [station.as_str(), action, mass, what])
        }
        EventKind::Worked { kind, what } => (kind.as_str(), ["", "", "", what]),
    };
    let none = String::new;
    [
        day,
        guarded(&event.job),
        event.entry.to_string(),
        event.at.clone(),
        guarded(kind),
        none(),
        none(),
        none(),
        none(),
        none(),
        none(),
        none(),
        none(),
        none(),
        guarded(station),
        guarded(action),
        guarded(mass),
        guarded(what),
        guarded(&event.by),
        none(),
        none(),
    ]
}

/// GET /instruments.csv
pub(crate) async fn instruments(visit: Visit) -> Answer {
    let head = [
        "id",
        "name",
        "kind",
        "resolution",
        "capacity",
        "calibration_uncertainty",
        "certificate",
        "calibrated",
        "due",
        "state",
        "check_weight",
        "check_within",
    ];
    let row = |(id, instrument): (&String, &Instrument)| {
        let state = match (&instrument.retired, instrument.due_state(visit.today)) {
            (Some(_), _) => "retired",
            (None, _) if failed(instrument).is_some() => "failed check",
            (None, DueState::InDate) => "in date",
            (None, DueState::Soon) => "due soon",
            (None, DueState::Past) => "past due",
            (None, DueState::Unknown) => "no due date",
        };
        let text = |key: &str| guarded(instrument.text(key));
        [
            guarded(id),
            guarded(&instrument.name),
            text("kind"),
            text("resolution"),
            text("capacity"),
            text("calibration_uncertainty"),
            text("certificate"),
            guarded(&instrument.calibrated),
            text("due"),
            state.to_owned(),
            guarded(&instrument.check_weight),
            guarded(&instrument.check_within),
        ]
    };
    kept(CSV, "instruments.csv", csv(head, visit.shop.instruments.iter().map(row))?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_spreadsheet_would_run_is_text() {
        for (text, cell) in [
            ("HP-0231", "HP-0231"),
            ("=1+1", "'=1+1"),
            ("-2", "'-2"),
            ("@x", "'@x"),
            ("\t=1", "'\t=1"),
            ("'quoted", "''quoted"),
            ("＝1", "'＝1"),
            ("", ""),
        ] {
            assert_eq!(guarded(text), cell);
        }
    }

    #[test]
    fn a_cell_may_hold_anything() {
        let text = csv(["a", "b"], [["x, \"y\"".to_owned(), "two\r\nlines".to_owned()]]).expect("CSV");
        assert_eq!(text, "a,b\r\n\"x, \"\"y\"\"\",\"two\r\nlines\"\r\n");
    }
}
