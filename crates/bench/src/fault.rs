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
    /// Range or choices, with unit and reason.
    pub allowed: Option<String>,
    /// What to do.
    pub hint: Option<String>,
}

impl Fault {
    /// A fault at a place in the text; line and column are filled in by [`Faults::new`].
    pub(crate) fn new(what: impl Into<String>, span: Range<usize>) -> Self {
        Self { what: what.into(), span, line: 0, column: 0, allowed: None, hint: None }
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
        for fault in &mut faults {
            let start = fault.span.start.min(text.len());
            let before = &text[..text.floor_char_boundary(start)];
            fault.line = before.matches('\n').count() + 1;
            fault.column = before.rsplit('\n').next().map_or(0, |line| line.chars().count()) + 1;
        }
        Self { faults }
    }
}

impl fmt::Display for Faults {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.faults.as_slice() {
            [one] => f.write_str(&one.what),
            many => write!(f, "{} faults", many.len()),
        }
    }
}
