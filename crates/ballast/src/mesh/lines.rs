//! Lines and words of a text file of numbers, read as bytes: names in it may be in any encoding.
//!
//! Main type: [`Line`], which knows its number for a fault.

use super::{LineProblem, MeshFault, MeshFormat};
use crate::Vector;

/// Most characters of a wrong word that a fault repeats.
const LONGEST_EXCERPT: usize = 40;

/// The words of one line.
pub(super) struct Line<'a> {
    format: MeshFormat,
    number: usize,
    rest: &'a [u8],
}

/// The lines of a file, counted from 1. They end in LF, CRLF or, where there is no LF at all, CR.
pub(super) fn lines(bytes: &[u8], format: MeshFormat) -> impl Iterator<Item = Line<'_>> {
    let end = if bytes.contains(&b'\n') { b'\n' } else { b'\r' };
    bytes.split(move |byte| *byte == end).enumerate().map(move |(at, rest)| Line {
        format,
        number: at + 1,
        rest,
    })
}

impl<'a> Line<'a> {
    /// The next word, if there is one.
    pub(super) fn word(&mut self) -> Option<&'a [u8]> {
        let start = self.rest.trim_ascii_start();
        let length = start.iter().position(u8::is_ascii_whitespace).unwrap_or(start.len());
        let (word, rest) = start.split_at(length);
        self.rest = rest;
        (!word.is_empty()).then_some(word)
    }
    /// The next three words as numbers of a unit of so many metres.
    pub(super) fn place(&mut self, unit_m: f64) -> Result<Vector, MeshFault> {
        Ok([self.number(unit_m)?, self.number(unit_m)?, self.number(unit_m)?])
    }
    fn number(&mut self, unit_m: f64) -> Result<f64, MeshFault> {
        let word = self.word().unwrap_or_default();
        number(word)
            .map(|x| x * unit_m)
            .ok_or_else(|| self.fault(LineProblem::Number { found: excerpt(word) }))
    }
    pub(super) fn fault(&self, problem: LineProblem) -> MeshFault {
        MeshFault::Line { format: self.format, line: self.number, problem }
    }
}

/// A finite number.
pub(super) fn number(word: &[u8]) -> Option<f64> {
    std::str::from_utf8(word).ok()?.parse().ok().filter(|x: &f64| x.is_finite())
}

/// The start of a word, to be printed.
pub(super) fn excerpt(word: &[u8]) -> String {
    String::from_utf8_lossy(word).chars().take(LONGEST_EXCERPT).collect()
}
