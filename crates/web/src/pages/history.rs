//! The history of one surface: its weighings through the years, the work between them, what each paint job did.
//! Main function: [`page`].

mod chart;

use super::jobs;
use crate::parts;
use crate::problem::Problem;
use crate::visit::{Answer, Visit};
use axum::extract::Path;
use hingeline_bench::mark::Recorded;
use hingeline_bench::record::job::ledger_of;
use hingeline_bench::record::log::{Moment, drift};
use hingeline_bench::record::told::{self, Told};
use hingeline_store::{Event, EventKind, Filter, History, JobRow, Point, Store, StoreError};
use maud::{Markup, html};

/// The most jobs of one surface that its page lists.
const MOST: u64 = 500;

/// What the store says of a surface.
struct Surface {
    jobs: Vec<JobRow>,
    lines: Vec<Line>,
    drift: Vec<Drift>,
}

/// What a paint job did.
struct Drift {
    paint: Event,
    day: String,
    words: String,
}

/// A line of the history, in order of time.
struct Line {
    /// The day, ISO 8601.
    day: String,
    /// The day and, within it, the time of the entry: texts sort as times do.
    at: String,
    what: What,
}

/// How a moment was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum How {
    /// On the bench.
    Weighed,
    /// From a list of parts.
    Calculated,
}

impl How {
    fn word(self) -> &'static str {
        match self {
            Self::Weighed => "weighed",
            Self::Calculated => "calculated",
        }
    }
}

enum What {
    Weighed(Point, Told, How),
    /// From here on other limits: what they are.
    Limits(String),
    Done(Event),
}

impl Surface {
    /// Reads it; nothing where no job is for this surface.
    fn read(store: &Store, visit: &Visit, part: &str, serial: &str) -> Result<Option<Self>, StoreError> {
        let of = Filter::OfPart { part: part.to_owned(), serial: serial.to_owned() };
        let jobs = store.jobs(&of, MOST, 0)?;
        if jobs.is_empty() {
            return Ok(None);
        }
        let history = store.history(part, serial)?;
        // One axis, one unit: that of the newest weighing's limits.
        let newest = match history.points.last() {
            Some(point) => store.job(&point.job)?,
            None => None,
        };
        let units = newest.as_ref().map(told::units);
        let tell = |point: &Point| {
            let units = units.unwrap_or_else(|| told::units(&Default::default()));
            Told::new(point.moment_kg_m, point.expanded_kg_m, point.band_kg_m, units)
        };
        let calculated = calculations(store, &history)?;
        let how = |point: &Point| {
            let listed = calculated.iter().any(|(job, entry)| *job == point.job && *entry == point.entry);
            if listed { How::Calculated } else { How::Weighed }
        };
        let lines = lines(visit, &history, tell, how);
        let drift = drifts(&lines);
        Ok(Some(Self { jobs, lines, drift }))
    }
}

/// The entries of a history that were calculated and not weighed: job and number.
fn calculations(store: &Store, history: &History) -> Result<Vec<(String, u64)>, StoreError> {
    let mut numbers: Vec<&str> = history.points.iter().map(|point| point.job.as_str()).collect();
    numbers.sort_unstable();
    numbers.dedup();
    let mut found = Vec::new();
    for number in numbers {
        // To fold every job of a surface takes long, and few were ever calculated.
        let entries = store.entries(&ledger_of(number))?;
        if !entries.iter().any(|stored| stored.entry.body.contains("parts list")) {
            continue;
        }
        let job = store.job(number)?.unwrap_or_default();
        let calculated = job.weighings.iter().filter(|weighing| weighing.is_calculated());
        found.extend(calculated.map(|weighing| (number.to_owned(), weighing.entry)));
    }
    Ok(found)
}

fn key(day: &str, at: &str, entry: u64) -> String {
    format!("{day} {at} {entry:09}")
}

/// Weighings and work in order of time; where the limits changed, a line says so.
fn lines(
    visit: &Visit,
    history: &History,
    tell: impl Fn(&Point) -> Told,
    how: impl Fn(&Point) -> How,
) -> Vec<Line> {
    let mut lines: Vec<Line> = Vec::new();
    let mut band: Option<(f64, f64)> = None;
    for point in &history.points {
        let (day, told) = (point.date.clone(), tell(point));
        let at = key(&day, &point.at, point.entry);
        let changed = |old: (f64, f64)| {
            let moved = (old.0 - point.band_kg_m.0).abs() + (old.1 - point.band_kg_m.1).abs();
            moved > 1e-9
        };
        if band.is_some_and(changed) {
            // Just before the weighing that was first judged by them.
            let at = at.trim_end_matches(|sign: char| sign.is_ascii_digit()).to_owned();
            lines.push(Line { day: day.clone(), at, what: What::Limits(told.band()) });
        }
        band = Some(point.band_kg_m);
        lines.push(Line { day, at, what: What::Weighed(point.clone(), told, how(point)) });
    }
    for event in &history.events {
        let day = visit.day_of(&event.at);
        let at = key(&day, &event.at, event.entry);
        lines.push(Line { day, at, what: What::Done(event.clone()) });
    }
    lines.sort_by(|a, b| a.at.cmp(&b.at));
    lines
}

/// What each paint job did to the moment.
fn drifts(lines: &[Line]) -> Vec<Drift> {
    let mut moments = Vec::new();
    let (mut paints, mut others) = (Vec::new(), Vec::new());
    for line in lines {
        match &line.what {
            // What was calculated does not know the paint.
            What::Weighed(_, _, How::Calculated) => {}
            What::Weighed(point, ..) => {
                moments.push(Moment { at: line.at.clone(), moment_kg_m: point.moment_kg_m });
            }
            What::Done(Event { what: EventKind::Worked { kind, .. }, .. }) if kind == "paint" => {
                paints.push(line.at.clone());
            }
            What::Done(_) => others.push(line.at.clone()),
            What::Limits(_) => {}
        }
    }
    let voice = lines.iter().rev().find_map(|line| match &line.what {
        What::Weighed(_, told, _) => Some(*told),
        _ => None,
    });
    let Some(voice) = voice else { return Vec::new() };
    drift(&moments, &paints, &others)
        .into_iter()
        .filter_map(|(at, by)| {
            let line = lines.iter().find(|line| line.at == at)?;
            let What::Done(paint) = &line.what else { return None };
            Some(Drift { paint: paint.clone(), day: line.day.clone(), words: voice.change(by) })
        })
        .collect()
}

/// GET /surfaces/{part}/{serial}
pub(crate) async fn page(visit: Visit, Path((part, serial)): Path<(String, String)>) -> Answer {
    let (asking, wanted) = (visit.clone(), (part.clone(), serial.clone()));
    let found = visit.app.ask(move |store| Surface::read(store, &asking, &wanted.0, &wanted.1)).await?;
    let Some(surface) = found else {
        return Err(Problem::not_found(format!("surface with part {part} and serial {serial}")));
    };
    let content = content(&surface, &part, &serial);
    visit.page(&format!("{part} {serial}"), content)
}

fn content(surface: &Surface, part: &str, serial: &str) -> Markup {
    let newest = surface.jobs.first();
    let name = newest.map_or("", |row| row.surface.as_str());
    let aircraft = newest.map_or("", |row| row.aircraft.as_str());
    html! {
        div.title {
            div {
                h1 { @if name.is_empty() { "Surface" } @else { (name) } }
                p.lead { "part " (part) " · serial " (serial)
                    @if !aircraft.is_empty() { " · " a href={ "/aircraft/" (parts::escape(aircraft)) } { (aircraft) } } }
            }
            @if !surface.lines.is_empty() { a.button.quiet href={ (jobs::history_link(part, serial)) "/history.csv" } { "CSV of this history" } }
        }
        (chart::figure(&surface.lines))
        (record(surface))
        (paint(surface))
        (of_jobs(surface))
    }
}

/// The table that says the same as the chart.
fn record(surface: &Surface) -> Markup {
    let rows: Vec<Vec<Markup>> = surface.lines.iter().map(row).collect();
    html! {
        section {
            @if rows.is_empty() { div.empty { p { "This surface was not weighed yet, and no work on it is entered." } } }
            @else {
                (parts::table("Weighings and the work between them, the oldest first", &["Day", "What", "Static moment", "Job"], &rows))
                p.hint { "Weighings that were struck or mended in the record stand here as they count now." }
            }
        }
    }
}

fn row(line: &Line) -> Vec<Markup> {
    let none = || html! { span.none { "–" } };
    let limits = |band: &str| html! { small.block-small { "limits " (band) } };
    match &line.what {
        What::Weighed(point, told, how) => vec![
            day(&line.day),
            html! { (how.word()) " " (point.stage) },
            html! {
                div.row { strong.keep { (told.measured()) } span {
                    (jobs::verdict(&recorded(point, *how)))
                } }
                (limits(&told.band()))
            },
            job_link(&point.job),
        ],
        What::Limits(band) => {
            vec![day(&line.day), html! { "other limits from here" }, limits(band), none()]
        }
        What::Done(event) => {
            let (short, long) = said(event);
            let what = html! { div { (short) } @if !long.is_empty() { small { (long) } } };
            vec![day(&line.day), what, none(), job_link(&event.job)]
        }
    }
}

/// The verdict of a point as the record holds it.
fn recorded(point: &Point, how: How) -> Recorded<'_> {
    let Point { verdict, doubt, valid, .. } = point;
    Recorded { verdict, doubt, valid: *valid, calculated: how == How::Calculated }
}

fn job_link(number: &str) -> Markup {
    html! { a.keep[jobs::is_short(number)] href=(jobs::link(number)) { (number) } }
}

fn day(day: &str) -> Markup {
    html! { span.keep { (day) } }
}

/// What was done: short for the chart, and in its own words.
fn said(event: &Event) -> (String, &str) {
    match &event.what {
        EventKind::Corrected { station, action, mass, what } => {
            let verb = if action == "remove" { "removed" } else { "added" };
            (format!("{mass} {verb} at {station}"), what)
        }
        EventKind::Worked { kind, what } => {
            let word = if kind == "other" { "other work" } else { kind.as_str() };
            (word.to_owned(), what)
        }
    }
}

fn paint(surface: &Surface) -> Markup {
    let rows: Vec<Vec<Markup>> = surface
        .drift
        .iter()
        .map(|drift| {
            let (_, what) = said(&drift.paint);
            let change = html! { strong.keep { (drift.words) } };
            vec![day(&drift.day), html! { (what) }, change, job_link(&drift.paint.job)]
        })
        .collect();
    html! {
        @if !rows.is_empty() {
            section {
                (parts::table("What each paint job did", &["Day", "Paint job", "Change of moment", "Job"], &rows))
                p.hint { "From the last weighing before to the first one after. A paint job with anything else between the two is left out, since nobody knows which of them moved it; calculations do not count." }
            }
        }
    }
}

fn of_jobs(surface: &Surface) -> Markup {
    let rows: Vec<Vec<Markup>> = surface
        .jobs
        .iter()
        .map(|row| {
            let state = if row.state == hingeline_store::State::Released {
                html! { (parts::badge(parts::Tone::Good, "released")) }
            } else {
                html! { "waits for: " strong { (row.step.word()) } }
            };
            let order = if row.work_order.is_empty() { "–" } else { &row.work_order };
            vec![job_link(&row.number), html! { (order) }, state]
        })
        .collect();
    html! { section { (parts::table("Jobs of this surface, the newest first", &["Job", "Work order", "State"], &rows)) } }
}
