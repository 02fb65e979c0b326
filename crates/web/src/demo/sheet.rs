//! The demo's job sheets, taken apart into what a ledger holds. Days are moved into the calendar of now.

use super::DemoError;
use super::book::Book;
use hingeline_bench::record::deed::{Card, Field, Fields};
use jiff::civil::Date;
use toml::{Table, Value};

macro_rules! sheets {
    ($($number:literal = $file:literal),* $(,)?) => {
        const SHEETS: &[(&str, &str)] = &[$(($number, include_str!(concat!("../../../../demo/", $file)))),*];
    };
}

sheets! {
    "HP-0228" = "HP-0228-aileron.toml",
    "HP-0229" = "HP-0229-tab.toml",
    "HP-0231" = "HP-0231-elevator.toml",
    "HP-0235" = "HP-0235-rudder.toml",
    "HP-0236" = "HP-0236-elevator.toml",
    "HP-0237" = "HP-0237-aileron-plan.toml",
    "HP-0238" = "HP-0238-elevator.toml",
}

/// A job sheet taken apart.
pub(super) struct Sheet {
    /// `[job]`
    pub(super) job: Fields,
    /// `[[weighing]]`
    pub(super) weighings: Vec<Fields>,
    card: Card,
}

impl Sheet {
    /// The sheet of a job.
    pub(super) fn of(book: &Book, number: &str) -> Result<Self, DemoError> {
        let faulty = |what: String| DemoError::Faulty { what: format!("{number}: {what}") };
        let (_, text) = SHEETS
            .iter()
            .find(|(known, _)| *known == number)
            .ok_or_else(|| faulty("no such sheet".to_owned()))?;
        let sheet: Table = text.parse().map_err(|error: toml::de::Error| faulty(error.to_string()))?;
        let one = |key: &str| sheet.get(key).and_then(Value::as_table).map(|table| fields(book, table));
        let many = |key: &str| {
            let list = sheet.get(key).and_then(Value::as_array).map(Vec::as_slice).unwrap_or_default();
            list.iter().filter_map(Value::as_table).map(|table| fields(book, table)).collect::<Vec<_>>()
        };
        Ok(Self {
            job: one("job").unwrap_or_default(),
            weighings: many("weighing"),
            card: Card {
                title: String::new(),
                parts: Vec::new(),
                limits: one("limits").unwrap_or_default(),
                stations: many("station"),
                outline: one("outline").unwrap_or_default(),
            },
        })
    }
    /// Its limits as a card for some part numbers.
    pub(super) fn card(&self, title: &str, parts: &[&str]) -> Card {
        let parts = parts.iter().map(|part| (*part).to_owned()).collect();
        Card { title: title.to_owned(), parts, ..self.card.clone() }
    }
}

fn fields(book: &Book, table: &Table) -> Fields {
    table.iter().map(|(key, value)| (key.clone(), field(book, value))).collect()
}

fn field(book: &Book, value: &Value) -> Field {
    match value {
        Value::Array(list) if list.iter().all(Value::is_table) && !list.is_empty() => {
            let part =
                |table: &Table| table.iter().map(|(key, value)| (key.clone(), plain(book, value))).collect();
            Field::Parts(list.iter().filter_map(Value::as_table).map(part).collect())
        }
        Value::Array(list) => Field::List(list.iter().map(|value| plain(book, value)).collect()),
        value => Field::Text(plain(book, value)),
    }
}

fn plain(book: &Book, value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Datetime(day) => {
            let day = day.to_string();
            day.parse::<Date>().map_or(day, |day| book.day(day).to_string())
        }
        other => other.to_string(),
    }
}
