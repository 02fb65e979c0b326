//! The history of one surface: its weighings through the years, and the work between them. Main type: [`History`].

use crate::derive::decimal;
use crate::error::StoreError;
use crate::reader::Reader;
use crate::rows::all;
use hingeline_bench::record::deed::Field;
use hingeline_bench::record::job::{Job, Weighing};
use rusqlite::types::Type;
use rusqlite::{Connection, Row};

/// Weighings and work of one part and serial number, through all its jobs.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct History {
    /// The weighings that count, by their date.
    pub points: Vec<Point>,
    /// The corrections and works that count, by the time they were entered.
    pub events: Vec<Event>,
}

/// A weighing.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    /// The number of the job.
    pub job: String,
    /// The number of its entry.
    pub entry: u64,
    /// When it was entered, UTC, RFC 3339.
    pub at: String,
    /// The day it was taken, ISO 8601.
    pub date: String,
    /// "as found" or "as left".
    pub stage: String,
    /// Static moment, kg m, positive tail-heavy.
    pub moment_kg_m: f64,
    /// Expanded uncertainty, kg m.
    pub expanded_kg_m: f64,
    /// The band it was judged by, kg m.
    pub band_kg_m: (f64, f64),
    /// "within" or "outside".
    pub verdict: String,
    /// "clear", or why it is in doubt: "doubtful", "friction hides it", "no uncertainty is stated".
    pub doubt: String,
    /// Whether it is valid for release.
    pub valid: bool,
}

/// A piece of work between weighings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Event {
    /// The number of the job.
    pub job: String,
    /// The number of its entry.
    pub entry: u64,
    /// When it was entered, UTC, RFC 3339.
    pub at: String,
    /// Who entered it.
    pub by: String,
    /// What was done.
    pub what: EventKind,
}

/// What was done between weighings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum EventKind {
    /// Mass was added or taken away.
    Corrected {
        /// The station.
        station: String,
        /// "add" or "remove".
        action: String,
        /// The mass, as typed.
        mass: String,
        /// In words.
        what: String,
    },
    /// A repair, paint job or other work.
    Worked {
        /// "paint", "repair", "cover", "other".
        kind: String,
        /// In words.
        what: String,
    },
}

const POINTS: &str =
    "SELECT number, entry, at, date, stage, moment_kg_m, expanded_kg_m, from_kg_m, to_kg_m, verdict,
    doubt, valid FROM point JOIN job ON job.id = point.job";
const EVENTS: &str = "SELECT number, entry, at, \"by\", sort, station, action, mass, kind, what
    FROM event JOIN job ON job.id = event.job";

impl Reader {
    /// The history of one surface; empty where there is none.
    ///
    /// # Errors
    /// - [`StoreError::Database`]: the database refused
    pub fn history(&self, part: &str, serial: &str) -> Result<History, StoreError> {
        let of = "WHERE part = ?1 AND serial = ?2 ORDER BY";
        let points = format!("{POINTS} {of} date, id, entry");
        let events = format!("{EVENTS} {of} at, id, entry");
        self.read(|connection| {
            let snapshot = connection.unchecked_transaction()?;
            Ok(History {
                points: all(&snapshot, &points, [part, serial], point)?,
                events: all(&snapshot, &events, [part, serial], event)?,
            })
        })
    }
}

impl History {
    /// What a job adds to the history of its surface, in the order of its entries.
    pub(crate) fn of(number: &str, job: &Job) -> Result<Self, StoreError> {
        let points = job.weighings.iter().map(|weighing| Point::of(number, weighing));
        let line = |entry: u64| job.lines.iter().find(|line| line.number == entry);
        let event = |entry: u64, what: EventKind| Event {
            job: number.to_owned(),
            entry,
            at: line(entry).map(|line| line.at.clone()).unwrap_or_default(),
            by: line(entry).map(|line| line.by.clone()).unwrap_or_default(),
            what,
        };
        let corrected = job.corrections.iter().cloned().map(|(entry, [station, action, mass, what])| {
            event(entry, EventKind::Corrected { station, action, mass, what })
        });
        let worked = job.works.iter().cloned();
        let worked = worked.map(|(entry, [kind, what])| event(entry, EventKind::Worked { kind, what }));
        let mut events: Vec<Event> = corrected.chain(worked).collect();
        events.sort_by_key(|event| event.entry);
        Ok(Self { points: points.collect::<Result<_, _>>()?, events })
    }

    /// What the tables hold of a job, in the order of its entries.
    pub(crate) fn read(connection: &Connection, id: u64) -> Result<Self, StoreError> {
        let points = format!("{POINTS} WHERE id = ?1 ORDER BY entry");
        let events = format!("{EVENTS} WHERE id = ?1 ORDER BY entry");
        Ok(Self {
            points: all(connection, &points, [id], point)?,
            events: all(connection, &events, [id], event)?,
        })
    }

    /// Writes what a job adds.
    pub(crate) fn insert(&self, connection: &Connection, id: u64) -> Result<(), StoreError> {
        for point in &self.points {
            point.insert(connection, id)?;
        }
        for event in &self.events {
            event.insert(connection, id)?;
        }
        Ok(())
    }
}

impl Point {
    fn of(number: &str, weighing: &Weighing) -> Result<Self, StoreError> {
        let outcome = &weighing.outcome;
        let decimal = |text: &str| decimal(number, weighing.entry, text);
        Ok(Self {
            job: number.to_owned(),
            entry: weighing.entry,
            at: weighing.at.clone(),
            date: date(weighing),
            stage: weighing.stage().to_owned(),
            moment_kg_m: decimal(&outcome.moment_kg_m)?,
            expanded_kg_m: decimal(&outcome.expanded_kg_m)?,
            band_kg_m: (decimal(&outcome.band_kg_m.0)?, decimal(&outcome.band_kg_m.1)?),
            verdict: outcome.verdict.clone(),
            doubt: outcome.doubt.clone(),
            valid: outcome.reasons.is_empty(),
        })
    }

    fn insert(&self, connection: &Connection, id: u64) -> Result<(), StoreError> {
        let query =
            "INSERT INTO point (job, entry, at, date, stage, moment_kg_m, expanded_kg_m, from_kg_m, to_kg_m,
            verdict, doubt, valid) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12)";
        connection.prepare_cached(query)?.execute((
            id,
            self.entry,
            &self.at,
            &self.date,
            &self.stage,
            self.moment_kg_m,
            self.expanded_kg_m,
            self.band_kg_m.0,
            self.band_kg_m.1,
            &self.verdict,
            &self.doubt,
            self.valid,
        ))?;
        Ok(())
    }
}

/// The day a weighing was taken; the day it was entered where it states none.
fn date(weighing: &Weighing) -> String {
    let typed = match weighing.fields.get("date") {
        Some(Field::Text(date)) => date.trim().parse::<jiff::civil::Date>().ok(),
        _ => None,
    };
    let entered = || weighing.at.get(..10).unwrap_or_default().to_owned();
    typed.map_or_else(entered, |date| date.to_string())
}

impl Event {
    fn insert(&self, connection: &Connection, id: u64) -> Result<(), StoreError> {
        let (sort, [station, action, mass, kind, what]) = match &self.what {
            EventKind::Corrected { station, action, mass, what } => {
                ("corrected", [station.as_str(), action, mass, "", what])
            }
            EventKind::Worked { kind, what } => ("worked", ["", "", "", kind, what]),
        };
        let query = "INSERT INTO event (job, entry, at, \"by\", sort, station, action, mass, kind, what)
            VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)";
        let values = (id, self.entry, &self.at, &self.by, sort, station, action, mass, kind, what);
        connection.prepare_cached(query)?.execute(values)?;
        Ok(())
    }
}

fn point(row: &Row<'_>) -> rusqlite::Result<Point> {
    Ok(Point {
        job: row.get(0)?,
        entry: row.get(1)?,
        at: row.get(2)?,
        date: row.get(3)?,
        stage: row.get(4)?,
        moment_kg_m: row.get(5)?,
        expanded_kg_m: row.get(6)?,
        band_kg_m: (row.get(7)?, row.get(8)?),
        verdict: row.get(9)?,
        doubt: row.get(10)?,
        valid: row.get(11)?,
    })
}

fn event(row: &Row<'_>) -> rusqlite::Result<Event> {
    let sort: String = row.get(4)?;
    let what = match sort.as_str() {
        "corrected" => EventKind::Corrected {
            station: row.get(5)?,
            action: row.get(6)?,
            mass: row.get(7)?,
            what: row.get(9)?,
        },
        "worked" => EventKind::Worked { kind: row.get(8)?, what: row.get(9)? },
        _ => return Err(rusqlite::Error::InvalidColumnType(4, sort, Type::Text)),
    };
    Ok(Event { job: row.get(0)?, entry: row.get(1)?, at: row.get(2)?, by: row.get(3)?, what })
}
