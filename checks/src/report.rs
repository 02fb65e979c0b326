//! What a run of the checks found, and how it is printed.
//!
//! Main types: [`Report`], [`Line`]. The printed form is grouped by source, at most 100 columns wide, and the same
//! on every machine.

use crate::case::Grade;
use std::fmt::{self, Write};

/// One printed value with what the program computes for it.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// The case.
    pub id: String,
    /// What the value is.
    pub name: String,
    /// Key of the source.
    pub source: String,
    /// The source's citation.
    pub citation: String,
    /// Table, page, row or clause in it.
    pub place: String,
    /// What the case is about.
    pub what: String,
    /// How well the printed value is known.
    pub grade: Grade,
    /// Who transcribed it, or which program computed it.
    pub by: Option<String>,
    /// As printed in the source.
    pub printed: String,
    /// Its unit.
    pub unit: Option<String>,
    /// What the program computes, in that unit.
    pub computed: f64,
    /// How many of the printed digits the computed value follows.
    pub matching_digits: usize,
    /// How many there are.
    pub printed_digits: usize,
    /// Decimal places of the value that was compared.
    pub decimals: usize,
    /// Whether it agrees: with the printed value, or with ours where we depart from the source.
    pub agrees: bool,
    /// The tolerance, in the unit.
    pub tolerance: f64,
    /// Why the tolerance is wider than half a unit of the last digit.
    pub why: Option<String>,
    /// Why we depart from the source.
    pub difference: Option<String>,
    /// What we hold instead.
    pub ours: Option<String>,
}

/// What a run found.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Report {
    /// One line a printed value.
    pub lines: Vec<Line>,
}

/// Widest line of the printed form.
const WIDTH: usize = 100;
/// Columns: name, printed value with unit, computed value, digits, agreement; the grade ends the line.
const NAME: usize = 30;
const PRINTED: usize = 18;
const COMPUTED: usize = 14;
const DIGITS: usize = 8;

impl Report {
    /// How many values agree, and how many there are.
    #[must_use]
    pub fn agree(&self) -> (usize, usize) {
        let agreed = self.lines.iter().filter(|line| line.agrees).count();
        (agreed, self.lines.len())
    }

    /// Whether all agree, and there is one at all.
    #[must_use]
    pub fn all_agree(&self) -> bool {
        let (agreed, total) = self.agree();
        total > 0 && agreed == total
    }

    /// How many values are of a grade.
    #[must_use]
    pub fn of_grade(&self, grade: Grade) -> usize {
        self.lines.iter().filter(|line| line.grade == grade).count()
    }

    /// The keys of the sources, in the order in which they first come up.
    #[must_use]
    pub fn sources(&self) -> Vec<&str> {
        distinct(self.lines.iter().map(|line| line.source.as_str()))
    }

    /// The report as plain text, its last line the summary.
    #[must_use]
    pub fn text(&self) -> String {
        self.to_string()
    }

    /// How many values agree and what they rest on, in one line.
    #[must_use]
    pub fn summary(&self) -> String {
        let (agreed, total) = self.agree();
        let cases = distinct(self.lines.iter().map(|line| line.id.as_str())).len();
        let differences = self.lines.iter().filter(|line| line.difference.is_some()).count();
        let memory = self.of_grade(Grade::Recalled);
        let practice = self.of_grade(Grade::CommonPractice);
        format!(
            "{agreed} of {total} values agree, in {cases} cases; {memory} from memory, {practice} common practice, \
             {differences} stated differences"
        )
    }
}

fn distinct<'a>(keys: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    keys.fold(Vec::new(), |mut known, key| {
        if !known.contains(&key) {
            known.push(key);
        }
        known
    })
}

impl fmt::Display for Report {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "Published checks: printed value, computed value, printed digits that it follows")?;
        for key in self.sources() {
            let lines: Vec<&Line> = self.lines.iter().filter(|line| line.source == key).collect();
            let citation = lines.first().map_or("", |line| line.citation.as_str());
            writeln!(f)?;
            paragraph(f, &format!("{key}: {citation}"), 0, 4)?;
            for id in distinct(lines.iter().map(|line| line.id.as_str())) {
                let of_case: Vec<&&Line> = lines.iter().filter(|line| line.id == id).collect();
                case(f, &of_case)?;
            }
        }
        writeln!(f)?;
        f.write_str(&self.summary())
    }
}

/// The lines of one case under its sentence; what several lines say is said once.
fn case(f: &mut fmt::Formatter<'_>, lines: &[&&Line]) -> fmt::Result {
    let Some(first) = lines.first() else { return Ok(()) };
    paragraph(f, &format!("{}: {}", first.place, first.what), 2, 4)?;
    for by in distinct(lines.iter().filter_map(|line| line.by.as_deref())) {
        paragraph(f, &format!("by {by}"), 4, 7)?;
    }
    let mut why = "";
    for line in lines {
        row(f, line)?;
        if let (Some(difference), Some(ours)) = (&line.difference, &line.ours) {
            paragraph(f, &format!("DIFFERENCE, we hold {ours}: {difference}"), 6, 8)?;
        }
        if let Some(reason) = line.why.as_deref().filter(|reason| *reason != why) {
            paragraph(f, &format!("within {}: {reason}", plain(line.tolerance)), 6, 8)?;
            why = reason;
        }
    }
    Ok(())
}

fn row(f: &mut fmt::Formatter<'_>, line: &Line) -> fmt::Result {
    let unit = line.unit.as_ref().map_or_else(String::new, |unit| format!(" {unit}"));
    let printed = format!("{}{unit}", line.printed);
    let computed = shown(line);
    let digits = format!("{} of {}", line.matching_digits, line.printed_digits);
    let verdict = match (line.agrees, &line.difference) {
        (false, _) => "WRONG",
        (true, Some(_)) => "ours",
        (true, None) => "agrees",
    };
    let mut name = line.name.as_str();
    if name.chars().count() > NAME {
        paragraph(f, name, 4, 6)?;
        name = "";
    }
    let grade = line.grade.word();
    writeln!(
        f,
        "    {name:NAME$} {printed:>PRINTED$} {computed:>COMPUTED$} {digits:>DIGITS$} {verdict:6} {grade}"
    )
}

/// The computed value with two digits more than the printed one, or as many as the column has room for.
fn shown(line: &Line) -> String {
    let with = |more: usize| format!("{:.*}", line.decimals + more, line.computed);
    let fits = [2, 1].into_iter().map(with).find(|text| text.len() <= COMPUTED);
    fits.unwrap_or_else(|| with(0))
}

/// A tolerance as a plain decimal.
fn plain(tolerance: f64) -> String {
    format!("{tolerance}")
}

/// Words filled into lines, the first indented by `first`, the others by `rest`.
fn paragraph(f: &mut fmt::Formatter<'_>, text: &str, first: usize, rest: usize) -> fmt::Result {
    let mut line = " ".repeat(first);
    let mut empty = true;
    for word in text.split_whitespace() {
        let fits = line.chars().count() + usize::from(!empty) + word.chars().count() <= WIDTH;
        if !fits && !empty {
            writeln!(f, "{line}")?;
            line = " ".repeat(rest);
            empty = true;
        }
        if empty {
            line.push_str(word);
        } else {
            write!(line, " {word}")?;
        }
        empty = false;
    }
    writeln!(f, "{line}")
}
