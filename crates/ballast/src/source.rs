//! Where a figure comes from: the table of sources and the grade of each figure, so that a page can print both.
//!
//! Main types: [`Cited`], a number with its source, and [`Grade`]. The table is `materials/sources.toml`. Not
//! covered: whether the source itself is right.

use serde::Deserialize;
use std::borrow::Cow;
use std::sync::LazyLock;

/// How a figure came here.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Grade {
    /// Read in the named published source.
    Seen,
    /// Worked out from figures that were read.
    Computed,
    /// From memory: to be looked up in the named source before anyone relies on it.
    Memory,
    /// What the trade does; no source.
    Practice,
    /// Entered by the user.
    Entered,
}

impl Grade {
    /// The words a page prints.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Seen => "read in the source",
            Self::Computed => "computed from figures read",
            Self::Memory => "from memory, to be looked up",
            Self::Practice => "common practice",
            Self::Entered => "as entered",
        }
    }
}

/// A number with the source it comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Cited {
    /// The number, in the SI unit that its place says.
    pub value: f64,
    /// A key of the table of sources, or free text of the user (drawing, specification).
    pub source: Cow<'static, str>,
    /// How it came here.
    pub grade: Grade,
}

impl Cited {
    /// A figure of the built-in tables.
    #[must_use]
    pub const fn of(value: f64, source: &'static str, grade: Grade) -> Self {
        Self { value, source: Cow::Borrowed(source), grade }
    }
    /// A figure the user entered, with the source as typed; an empty source becomes the key `ENTERED`.
    #[must_use]
    pub fn entered(value: f64, source: &str) -> Self {
        let source = if source.trim().is_empty() { "ENTERED" } else { source.trim() };
        Self { value, source: Cow::Owned(source.to_owned()), grade: Grade::Entered }
    }
    /// Source and grade, as printed behind the number.
    #[must_use]
    pub fn origin(&self) -> String {
        format!("{}, {}", self.source, self.grade.words())
    }
}

/// One row of the table of sources.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct Source {
    /// The key that figures carry.
    pub key: String,
    /// The full citation.
    pub citation: String,
}

#[derive(Deserialize)]
struct Table {
    source: Vec<Source>,
}

static SOURCES: LazyLock<Vec<Source>> = LazyLock::new(|| {
    // A test reads the table with an error of its own: at run time it is whole.
    toml::from_str::<Table>(TEXT).map(|table| table.source).unwrap_or_default()
});

const TEXT: &str = include_str!("../materials/sources.toml");

/// All sources, in the order of the table.
#[must_use]
pub fn sources() -> &'static [Source] {
    &SOURCES
}

/// The full citation of a key; none for a key that is free text.
#[must_use]
pub fn citation(key: &str) -> Option<&'static str> {
    sources().iter().find(|source| source.key == key).map(|source| source.citation.as_str())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_read_whole_and_every_key_stands_once() {
        let table: Table = toml::from_str(TEXT).expect("the table of sources");
        assert_eq!(table.source.len(), TEXT.matches("[[source]]").count());
        for source in &table.source {
            assert_eq!(table.source.iter().filter(|other| other.key == source.key).count(), 1, "{source:?}");
            assert!(source.citation.len() > 20 || source.key == "ENTERED", "{source:?}");
        }
    }

    #[test]
    fn a_figure_without_a_source_says_that_it_was_entered() {
        assert_eq!(Cited::entered(1.0, " ").source, "ENTERED");
        assert_eq!(Cited::entered(1.0, "drawing 12").origin(), "drawing 12, as entered");
    }
}
