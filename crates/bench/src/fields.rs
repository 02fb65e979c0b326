//! Reading a TOML table field by field, collecting every fault instead of stopping at the first.
//!
//! Main type: [`Fields`]. It remembers which keys were asked for, so that the others can be reported as unknown,
//! with the nearest known key as the hint. It knows TOML and quantities, nothing of job sheets.

use crate::bounds::{Bound, MOST_READINGS};
use crate::fault::Fault;
use hingeline_quantity::{Entered, Moment, ParseError, Quantity, Side};
use jiff::civil::Date;
use std::cell::RefCell;
use std::ops::{Range, RangeInclusive};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// The years that a job or a certificate can be of; others are slips.
const YEARS: std::ops::RangeInclusive<i16> = 1950..=2100;

type Value<'a> = Spanned<DeValue<'a>>;

/// One table of the file, being read.
pub(crate) struct Fields<'a> {
    text: &'a str,
    table: &'a DeTable<'a>,
    span: Range<usize>,
    name: String,
    asked: RefCell<Vec<&'static str>>,
    faults: &'a RefCell<Vec<Fault>>,
}

impl<'a> Fields<'a> {
    pub(crate) fn new(
        text: &'a str,
        table: &'a DeTable<'a>,
        span: Range<usize>,
        name: impl Into<String>,
        faults: &'a RefCell<Vec<Fault>>,
    ) -> Self {
        Self { text, table, span, name: name.into(), asked: RefCell::default(), faults }
    }

    /// The name of this table, for messages.
    pub(crate) fn name(&self) -> &str {
        &self.name
    }
    pub(crate) fn rename(&mut self, name: String) {
        self.name = name;
    }
    pub(crate) fn push(&self, fault: Fault) {
        self.faults.borrow_mut().push(fault);
    }
    /// The place of a key's value, or of the table where it is missing.
    pub(crate) fn span_of(&self, key: &str) -> Range<usize> {
        self.table.get(key).map_or_else(|| self.span.clone(), Spanned::span)
    }
    /// Whether a key is there (asking does not make it known).
    pub(crate) fn has(&self, key: &str) -> bool {
        self.table.contains_key(key)
    }

    fn ask(&self, key: &'static str) -> Option<&'a Value<'a>> {
        self.asked.borrow_mut().push(key);
        self.table.get(key)
    }
    fn wrong_type(&self, key: &str, value: &Value<'_>, wanted: &str) {
        let found = value.get_ref().type_str();
        let what = format!("{}, {key}: {} {found} where {wanted} is wanted", self.name, article(found));
        let typed = self.text.get(value.span()).unwrap_or("");
        let hint = match wanted {
            "a text with its unit" => format!("write {key} = \"{typed} …\" with its unit, in quotes"),
            "an array of tables" => format!("write [[{key}]] with two brackets on each side"),
            _ => format!("write {key} = {}", example(wanted)),
        };
        self.push(Fault::new(what, value.span()).allowed(wanted.to_owned()).hint(hint));
    }
    fn missing(&self, key: &str, wanted: &str) {
        let fault = Fault::new(format!("{} has no {key}", self.name), self.span.clone());
        self.push(fault.hint(format!("add {key} = {}", example(wanted))));
    }
    pub(crate) fn required<T>(&self, key: &'static str, wanted: &str, value: Option<T>) -> Option<T> {
        if value.is_none() && !self.has(key) {
            self.missing(key, wanted);
        }
        value
    }

    pub(crate) fn maybe_text(&self, key: &'static str) -> Option<String> {
        let value = self.ask(key)?;
        match value.get_ref().as_str().map(str::trim) {
            Some("") => {
                self.push(
                    Fault::new(format!("{}, {key} is empty", self.name), value.span())
                        .hint("fill it in, or leave the key out"),
                );
                None
            }
            Some(text) => Some(text.to_owned()),
            None => {
                self.wrong_type(key, value, "a text");
                None
            }
        }
    }
    pub(crate) fn text(&self, key: &'static str) -> Option<String> {
        self.required(key, "a text", self.maybe_text(key))
    }

    /// One of some words.
    pub(crate) fn maybe_choice<T: Copy>(&self, key: &'static str, choices: &[(&str, T)]) -> Option<T> {
        let text = self.maybe_text(key)?;
        let found = choices.iter().find(|(word, _)| word.eq_ignore_ascii_case(&text));
        if found.is_none() {
            let words: Vec<&str> = choices.iter().map(|(word, _)| *word).collect();
            let hint = nearest(&text, &words).unwrap_or(words[0]);
            let what = format!("{}, {key}: “{text}” is not a choice", self.name);
            let quoted = words.iter().map(|word| format!("\"{word}\"")).collect::<Vec<_>>().join(", ");
            self.push(
                Fault::new(what, self.span_of(key)).allowed(quoted).hint(format!("write {key} = \"{hint}\"")),
            );
        }
        found.map(|(_, value)| *value)
    }
    pub(crate) fn choice<T: Copy>(&self, key: &'static str, choices: &[(&str, T)]) -> Option<T> {
        let found = self.maybe_choice(key, choices);
        self.required(key, &format!("\"{}\"", choices[0].0), found)
    }

    /// A plain number between two others.
    pub(crate) fn maybe_number(&self, key: &'static str, allowed: RangeInclusive<f64>) -> Option<f64> {
        let value = self.ask(key)?;
        let number = match value.get_ref() {
            DeValue::Integer(typed) if typed.radix() == 10 => typed.as_str().parse::<f64>().ok(),
            DeValue::Float(typed) => typed.as_str().parse::<f64>().ok(),
            _ => None,
        };
        let Some(number) = number else {
            self.wrong_type(key, value, "a number");
            return None;
        };
        let (least, most) = allowed.into_inner();
        if (least..=most).contains(&number) {
            return Some(number);
        }
        let what = format!("{}, {key} is {number}", self.name);
        let fault = Fault::new(what, value.span()).allowed(format!("from {least} to {most}"));
        self.push(fault.hint("check the decimal mark"));
        None
    }
    /// A whole number between two others.
    pub(crate) fn maybe_count(&self, key: &'static str, allowed: RangeInclusive<u32>) -> Option<u32> {
        let value = self.ask(key)?;
        let number = value.get_ref().as_integer().filter(|typed| typed.radix() == 10);
        let Some(number) = number else {
            self.wrong_type(key, value, "a whole number");
            return None;
        };
        let read = number.as_str().parse::<u32>().ok().filter(|read| allowed.contains(read));
        if read.is_none() {
            let what = format!("{}, {key} is {}", self.name, number.as_str());
            let fault = Fault::new(what, value.span());
            self.push(
                fault.allowed(format!("from {} to {}", allowed.start(), allowed.end())).hint("count again"),
            );
        }
        read
    }

    /// Whether a key is `true`; left out it is not.
    pub(crate) fn is_true(&self, key: &'static str) -> bool {
        let Some(value) = self.ask(key) else { return false };
        let read = value.get_ref().as_bool();
        if read.is_none() {
            let fault = Fault::new(format!("{}, {key} is neither true nor false", self.name), value.span());
            self.push(fault.allowed("true, false").hint(format!("write {key} = true, without quotes")));
        }
        read == Some(true)
    }

    /// Whether a key holds just this word, where a quantity might stand as well.
    pub(crate) fn is_word(&self, key: &'static str, word: &str) -> bool {
        let value = self.ask(key).and_then(|value| value.get_ref().as_str());
        value.is_some_and(|text| text.trim().eq_ignore_ascii_case(word))
    }

    pub(crate) fn maybe_date(&self, key: &'static str) -> Option<Date> {
        let value = self.ask(key)?;
        let typed = match value.get_ref() {
            DeValue::Datetime(typed) => typed.to_string(),
            DeValue::String(typed) => typed.to_string(),
            _ => {
                self.wrong_type(key, value, "a date");
                return None;
            }
        };
        let read = typed.trim().parse::<Date>().ok().filter(|date| YEARS.contains(&date.year()));
        if read.is_none() {
            let fault = Fault::new(format!("{}, {key}: “{typed}” is not a date", self.name), value.span());
            self.push(
                fault
                    .allowed("a day of the calendar, year-month-day, from 1950 to 2100")
                    .hint(format!("write {key} = 2026-10-02")),
            );
        }
        read
    }
    pub(crate) fn date(&self, key: &'static str) -> Option<Date> {
        self.required(key, "a date", self.maybe_date(key))
    }

    /// A list of texts; none where the key is missing.
    pub(crate) fn maybe_texts(&self, key: &'static str) -> Option<Vec<(String, Range<usize>)>> {
        let value = self.ask(key)?;
        let Some(list) = value.get_ref().as_array() else {
            self.wrong_type(key, value, "a list of texts");
            return None;
        };
        let mut texts = Vec::new();
        for item in list {
            match item.get_ref().as_str() {
                Some(text) => texts.push((text.to_owned(), item.span())),
                None => self.wrong_type(key, item, "a text"),
            }
        }
        Some(texts)
    }

    pub(crate) fn maybe<Q: Quantity>(&self, key: &'static str, bound: &Bound) -> Option<Entered<Q>> {
        let value = self.ask(key)?;
        match value.get_ref().as_str() {
            Some(text) => self.read(key, text, value.span(), bound),
            None => {
                self.wrong_type(key, value, "a text with its unit");
                None
            }
        }
    }
    pub(crate) fn quantity<Q: Quantity>(&self, key: &'static str, bound: &Bound) -> Option<Entered<Q>> {
        self.required(key, Q::KIND.with_article(), self.maybe(key, bound))
    }

    /// A list of quantities, up to [`MOST_READINGS`] of them; none where the key is missing. `one`: what it holds, in a
    /// word whose plural ends in s.
    pub(crate) fn maybe_list<Q: Quantity>(
        &self,
        key: &'static str,
        bound: &Bound,
        one: &str,
    ) -> Option<Vec<(Entered<Q>, Range<usize>)>> {
        let texts = self.maybe_texts(key)?;
        let allowed = format!("1 to {MOST_READINGS} {one}s");
        if texts.is_empty() {
            let fault = Fault::new(format!("{}, {key} holds no {one}", self.name), self.span_of(key));
            self.push(fault.allowed(allowed).hint(format!("enter at least one {one}, or leave the key out")));
        } else if texts.len() > MOST_READINGS {
            let what = format!("{}, {key} holds {} {one}s", self.name, texts.len());
            let fault = Fault::new(what, self.span_of(key)).allowed(allowed);
            self.push(fault.hint(format!("leave out {}", texts.len() - MOST_READINGS)));
        }
        let read = texts
            .into_iter()
            .filter_map(|(text, span)| Some((self.read(key, &text, span.clone(), bound)?, span)));
        Some(read.collect())
    }

    fn read<Q: Quantity>(
        &self,
        key: &str,
        text: &str,
        span: Range<usize>,
        bound: &Bound,
    ) -> Option<Entered<Q>> {
        match Entered::<Q>::parse(text) {
            Ok(entered) if bound.holds(entered.value) => Some(entered),
            Ok(entered) => {
                let what = format!("{}, {key} is {}", self.name, entered.text);
                self.push(
                    Fault::new(what, span).allowed(bound.words()).hint("check the unit and the decimal mark"),
                );
                None
            }
            Err(error) => {
                let what = format!("{}, {key}: {error}", self.name);
                let fault = Fault::new(what, self.inside(&span, text, &error));
                self.push(fault.allowed(error.problem.allowed()).hint(error.problem.hint()));
                None
            }
        }
    }

    /// The part of a quoted text that an error points at; the whole where the file writes it with escapes.
    fn inside(&self, span: &Range<usize>, text: &str, error: &ParseError) -> Range<usize> {
        let begins = span.start + 1;
        if self.text.get(begins..begins + text.len()) == Some(text) && error.at.start < error.at.end {
            begins + error.at.start..begins + error.at.end
        } else {
            span.clone()
        }
    }

    /// A moment whose side is named in words, or by the sign of the manual.
    pub(crate) fn maybe_moment(
        &self,
        key: &'static str,
        bound: &Bound,
        plus: Option<Side>,
    ) -> Option<Entered<Moment>> {
        let entered: Entered<Moment> = self.maybe(key, bound)?;
        if entered.side.is_some() || entered.value.abs() <= Moment::NEGLIGIBLE {
            return Some(entered);
        }
        let Some(plus) = plus else {
            let what = format!("{}, {key}: {} does not say its side", self.name, entered.text);
            let fault =
                Fault::new(what, self.span_of(key)).allowed("“tail-heavy” or “nose-heavy” behind the number");
            let plain = entered.text.trim_start_matches(['-', '+', '−']).trim();
            self.push(fault.hint(format!(
                "write \"{plain} tail-heavy\" or \"{plain} nose-heavy\"; or, where the manual prints signs, add manual_plus to [limits]"
            )));
            return None;
        };
        Some(Entered { value: entered.value * plus.sign(), ..entered })
    }

    /// The tables of an array of tables, named "weighing 1", "weighing 2".
    pub(crate) fn tables(&self, key: &'static str) -> Vec<Fields<'a>> {
        let Some(value) = self.ask(key) else {
            return Vec::new();
        };
        let Some(list) = value.get_ref().as_array() else {
            self.wrong_type(key, value, "an array of tables");
            return Vec::new();
        };
        let mut tables = Vec::new();
        for (index, item) in list.iter().enumerate() {
            match item.get_ref().as_table() {
                Some(table) => {
                    let name = format!("{key} {}", index + 1);
                    tables.push(Fields::new(self.text, table, item.span(), name, self.faults));
                }
                None => self.wrong_type(key, item, "a table"),
            }
        }
        tables
    }
    pub(crate) fn maybe_table(&self, key: &'static str) -> Option<Fields<'a>> {
        let value = self.ask(key)?;
        let Some(table) = value.get_ref().as_table() else {
            self.wrong_type(key, value, "a table");
            return None;
        };
        Some(Fields::new(self.text, table, value.span(), key, self.faults))
    }

    /// Reports every key that nobody asked for.
    pub(crate) fn finish(&self) {
        let known = self.asked.borrow();
        for key in self.table.keys() {
            let word = key.get_ref().as_ref();
            if known.contains(&word) {
                continue;
            }
            let fault = Fault::new(format!("{}: unknown key “{word}”", self.name), key.span());
            let mut words: Vec<&str> = known.clone();
            words.sort_unstable();
            words.dedup();
            let fault = fault.allowed(words.join(", "));
            self.push(match nearest(word, &words) {
                Some(near) => fault.hint(format!("did you mean “{near}”?")),
                None => fault.hint("leave it out"),
            });
        }
    }
}

/// The nearest of some words, where one is near enough to be meant.
pub(crate) fn nearest<'w>(word: &str, words: &[&'w str]) -> Option<&'w str> {
    let word = word.to_lowercase();
    words
        .iter()
        .map(|candidate| {
            (strsim::normalized_damerau_levenshtein(&word, &candidate.to_lowercase()), *candidate)
        })
        .filter(|(likeness, _)| *likeness > 0.4)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, candidate)| candidate)
}

fn article(word: &str) -> &'static str {
    if word.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" }
}

fn example(wanted: &str) -> &str {
    match wanted {
        "a mass" => "\"1.25 lb\"",
        "a length" => "\"17 1/4 in\"",
        "a moment" => "\"2.0 in-lb tail-heavy\"",
        "an angle" => "\"0.5 deg\"",
        "a text with its unit" => "\"17 1/4 in\"",
        "a date" => "2026-10-02",
        "a number" => "2.5",
        "a whole number" => "2",
        "a list of texts" => "[\"…\"]",
        "a text" => "\"…\"",
        other => other,
    }
}
