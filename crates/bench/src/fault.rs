//! What is wrong with something a person handed in: what, where, what is allowed, what to do.
//!
//! Main types: [`Fault`], one thing that is wrong, and [`Faults`], everything that is wrong with one sheet.

use std::fmt;
use std::ops::Range;

/// One thing that is wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// What was wrong, with the value given, and in which record and field.
    pub what: String,
    /// The bytes of the text that it concerns.
    pub span: Range<usize>,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// The table it is in, as its header names it, and which of that name, from 1; none before the first header.
    pub table: Option<(String, usize)>,
    /// The key it is about, where it is about one.
    pub key: Option<String>,
    /// Range or choices, with unit and reason.
    pub allowed: Option<String>,
    /// What to do.
    pub hint: Option<String>,
}

impl Fault {
    /// A fault at a place in the text; line and column are filled in by [`Faults::new`].
    pub(crate) fn new(what: impl Into<String>, span: Range<usize>) -> Self {
        Self {
            what: what.into(),
            span,
            line: 0,
            column: 0,
            table: None,
            key: None,
            allowed: None,
            hint: None,
        }
    }
    /// A fault in one text of the crates below: what is wrong; allowed: what is.
    pub(crate) fn said(text: &str, span: Range<usize>) -> Self {
        match text.split_once("; allowed: ") {
            Some((what, allowed)) => Self::new(what, span).allowed(allowed),
            None => Self::new(text, span),
        }
    }
    pub(crate) fn allowed(mut self, allowed: impl Into<String>) -> Self {
        self.allowed = Some(allowed.into());
        self
    }
    pub(crate) fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }
}

/// Everything that is wrong with one text, in the order of the text.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub struct Faults {
    /// The faults, at least one.
    pub faults: Vec<Fault>,
}

impl Faults {
    pub(crate) fn new(text: &str, mut faults: Vec<Fault>) -> Self {
        faults.sort_by_key(|fault| fault.span.start);
        faults.dedup();
        for fault in &mut faults {
            let start = fault.span.start.min(text.len());
            let before = &text[..text.floor_char_boundary(start)];
            fault.line = before.matches('\n').count() + 1;
            fault.column = before.rsplit('\n').next().map_or(0, |line| line.chars().count()) + 1;
            fault.table = table_at(text, fault.line);
            fault.key = key_of(text, fault);
        }
        Self { faults }
    }
}

/// The last header up to a line, and how many of that name there were.
fn table_at(text: &str, line: usize) -> Option<(String, usize)> {
    let headers: Vec<&str> = text
        .lines()
        .take(line)
        .map(str::trim)
        .filter(|line| line.starts_with('[') && line.ends_with(']'))
        .collect();
    let last = headers.last()?;
    let count = headers.iter().filter(|header| *header == last).count();
    Some((last.trim_matches(['[', ']']).to_owned(), count))
}

/// The key that begins the line of a fault; for a missing one, whose line is the head of its table, the key that the
/// message ends in.
fn key_of(text: &str, fault: &Fault) -> Option<String> {
    let bare = |key: &str| !key.is_empty() && key.chars().all(|sign| sign.is_alphanumeric() || sign == '_');
    let missing = fault.what.rsplit_once(" has no ").map(|(_, key)| key.trim());
    let line = text.lines().nth(fault.line.max(1) - 1).unwrap_or("");
    let begins = line.split_once('=').map(|(key, _)| key.trim());
    // A value without a unit "has no unit" too, and its line begins with its key.
    begins.filter(|key| bare(key)).or(missing.filter(|key| bare(key))).map(str::to_owned)
}

impl fmt::Display for Faults {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.faults.as_slice() {
            [one] => f.write_str(&one.what),
            many => write!(f, "{} faults", many.len()),
        }
    }
}
