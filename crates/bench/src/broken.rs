//! What is no TOML in a sheet, in plain words, and what else can still be said of it.
//!
//! Main type: [`Broken`]. The parser goes on behind most slips: a text without quotes, a quote too few or too many. Where
//! it has to drop lines that are right (an open list, a broken header), only the slips are said: what follows from the
//! dropped lines would mislead.

use crate::fault::Fault;
use std::collections::BTreeSet;
use std::ops::Range;
use toml::de::{DeTable, DeValue, Error};

/// The slips of one text.
pub(crate) struct Broken<'t> {
    text: &'t str,
    slips: Vec<(Range<usize>, String)>,
}

/// Part of the parser's message, what it means, what to do.
const WORDS: [(&str, &str, &str); 7] = [
    ("must be quoted", "a text without straight quotes", "put it in straight quotes"),
    (
        "invalid basic string",
        "a text whose quotes do not close",
        "put \" before and behind it; round a text with an inch mark put ' in place of \"",
    ),
    (
        "expected newline",
        "something behind the value",
        "one value stands on a line; round a text with an inch mark put ' in place of \": '17 1/4\"'",
    ),
    ("key with no value", "a key without =", "write key = value; a key is one word, with _ for a space"),
    (
        "duplicate key",
        "the same name twice",
        "leave one of them out; a further one of a list begins with its [[…]]",
    ),
    (
        "unclosed",
        "a bracket that does not close",
        "close it: [ ] round a list or a table, [[ ]] round one of several",
    ),
    ("missing comma", "no comma between two of a list", "put a comma between them, and ] behind the last"),
];
const USUAL: &str = "texts stand in straight quotes, those with an inch mark in single ones ('17 1/4\"'); dates stand \
                     without, year-month-day";

impl<'t> Broken<'t> {
    /// The first slip of every line: others on it mostly follow from that.
    pub(crate) fn of(text: &'t str, errors: &[Error], open: &[Range<usize>]) -> Self {
        let place = |error: &Error| seen(text, error.span().unwrap_or(0..0));
        let mut slips: Vec<_> =
            errors.iter().map(|error| (place(error), error.message().to_owned())).collect();
        slips.extend(open.iter().map(|span| (span.clone(), "unclosed list".to_owned())));
        slips.sort_by_key(|(span, _)| span.start);
        let mut broken = Self { text, slips: Vec::new() };
        for (span, message) in slips {
            if broken.slips.last().is_none_or(|(last, _)| broken.line(last.start) != broken.line(span.start))
            {
                broken.slips.push((span, message));
            }
        }
        broken
    }
    /// The slips, each as a fault.
    pub(crate) fn faults(&self) -> Vec<Fault> {
        self.slips.iter().map(|(span, message)| self.fault(span, message)).collect()
    }
    fn fault(&self, span: &Range<usize>, message: &str) -> Fault {
        let known = WORDS.iter().find(|(part, ..)| message.contains(part));
        let (what, hint) = known.map_or((message, USUAL), |(_, what, hint)| (*what, *hint));
        let hint =
            self.quoted(span).filter(|_| message.contains("must be quoted")).unwrap_or(hint.to_owned());
        Fault::new(format!("not TOML here: {what}"), span.clone()).hint(hint)
    }
    /// The line of a text without quotes, with them.
    fn quoted(&self, span: &Range<usize>) -> Option<String> {
        let typed = self.text.get(span.clone())?.trim_matches(['“', '”', '„', '‘', '’', ' ']);
        let mark = if typed.contains('"') { '\'' } else { '"' };
        let key = key_of(self.text.lines().nth(self.line(span.start))?)?;
        Some(format!("write {key} = {mark}{typed}{mark}; a date stands without quotes, year-month-day"))
    }
    /// Lines from 0.
    fn line(&self, at: usize) -> usize {
        self.text.as_bytes()[..at.min(self.text.len())].iter().filter(|byte| **byte == b'\n').count()
    }
    fn lines(&self) -> BTreeSet<usize> {
        self.slips.iter().map(|(span, _)| self.line(span.start)).collect()
    }

    /// Whether the document has every line that is right.
    pub(crate) fn is_whole(&self, document: &DeTable<'_>) -> bool {
        if self.slips.is_empty() {
            return true; // what looks like a key may stand in a text of several lines
        }
        let (slips, mut keys) = (self.lines(), BTreeSet::new());
        keys_of(document, &mut keys);
        let mut at = 0;
        self.text.split_inclusive('\n').enumerate().all(|(number, line)| {
            let begins = at + line.len() - line.trim_start().len();
            at += line.len();
            let is_header = line.trim_start().starts_with('[');
            let is_right = !slips.contains(&number);
            if is_header { is_right } else { !is_right || key_of(line).is_none() || keys.contains(&begins) }
        })
    }
    /// Those of other faults that do not follow from a slip: neither on its line nor for want of its key.
    pub(crate) fn apart(&self, faults: Vec<Fault>) -> Vec<Fault> {
        let slips = self.lines();
        let keys: BTreeSet<&str> = self
            .text
            .lines()
            .enumerate()
            .filter(|(number, _)| slips.contains(number))
            .filter_map(|(_, line)| key_of(line))
            .collect();
        let wants = |fault: &Fault| {
            fault
                .what
                .rsplit_once(" has no ")
                .is_some_and(|(_, key)| keys.contains(key.trim_matches(['[', ']'])))
        };
        faults
            .into_iter()
            .filter(|fault| !slips.contains(&self.line(fault.span.start)) && !wants(fault))
            .collect()
    }
}

/// The text with a number in the place of every list that does not close before the next key or table, and those lists:
/// what stands behind them can be read then. Everything keeps its place.
pub(crate) fn closed(text: &str) -> (String, Vec<Range<usize>>) {
    let (mut closed, mut open) = (text.to_owned(), Vec::new());
    let (mut begun, mut at): (Option<usize>, usize) = (None, 0);
    for line in text.split_inclusive('\n').chain(["[end]"]) {
        if begins_anew(line) {
            if let Some(from) = begun {
                let span = from..text[..at].trim_end().len();
                let blank = format!("{:<width$}", "0", width = span.len());
                closed.replace_range(span.clone(), &blank);
                let first = text[span.clone()].lines().next().map_or(0, str::len);
                open.push(span.start..span.start + first);
            }
            begun = list_begun(line).map(|from| at + from);
        } else if line.contains(']') {
            begun = None;
        }
        at += line.len();
    }
    (closed, open)
}

/// Whether a line begins a key or a table.
fn begins_anew(line: &str) -> bool {
    let table = line.trim_start().strip_prefix('[').map(|rest| rest.trim_start_matches('['));
    key_of(line).is_some() || table.is_some_and(|name| name.starts_with(char::is_alphabetic))
}

/// Where a list begins that does not close on its line.
fn list_begun(line: &str) -> Option<usize> {
    let value = line.find('=').filter(|_| key_of(line).is_some())? + 1;
    let from = line.len() - line[value..].trim_start().len();
    (line[from..].starts_with('[') && !line.contains(']')).then_some(from)
}

/// A place that can be shown: one without width takes the rest of its line, or the last character of it.
fn seen(text: &str, span: Range<usize>) -> Range<usize> {
    let start = text.floor_char_boundary(span.start.min(text.len()));
    if span.start < span.end {
        return span;
    }
    let rest = text[start..].split('\n').next().unwrap_or("").trim_end().len();
    let before = text[..start].chars().next_back().filter(|last| *last != '\n').map_or(0, char::len_utf8);
    if 0 < rest { start..start + rest } else { start - before..start }
}

/// The bare key that a line begins with.
fn key_of(line: &str) -> Option<&str> {
    let key = line.split_once('=')?.0.trim();
    let bare = |sign: char| sign.is_alphanumeric() || matches!(sign, '_' | '-');
    (!key.is_empty() && key.chars().all(bare)).then_some(key)
}

/// Where every key stands.
fn keys_of(table: &DeTable<'_>, into: &mut BTreeSet<usize>) {
    for (key, value) in table {
        into.insert(key.span().start);
        keys_in(value.get_ref(), into);
    }
}

fn keys_in(value: &DeValue<'_>, into: &mut BTreeSet<usize>) {
    match value {
        DeValue::Table(table) => keys_of(table, into),
        DeValue::Array(list) => list.iter().for_each(|item| keys_in(item.get_ref(), into)),
        _ => {}
    }
}
