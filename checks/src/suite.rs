//! Loads the cases, runs them, and judges every printed value.
//!
//! What makes a check unsound (an unknown name, a tolerance without reason, a check that cannot fail) is an error
//! of the whole run; a value that disagrees is a line of the [`Report`]. Main type: [`Suite`].

use crate::calculation;
use crate::case::{Case, CaseFile, Expected, Grade};
use crate::embedded;
use crate::fault::{CheckError, Fault};
use crate::printed::{Printed, within};
use crate::report::{Line, Report};
use crate::source::{Source, Sources};
use crate::value::Results;
use std::collections::{BTreeMap, BTreeSet};
use toml::Table;

/// A tolerance above this share of the value needs a reason.
const WIDE_SHARE: f64 = 0.10;
/// A value so many tolerances away must disagree.
const MUST_FAIL_AT: f64 = 3.0;

/// The cases with their sources, ready to run.
#[derive(Debug, Clone)]
pub struct Suite {
    sources: Sources,
    cases: Vec<Loaded>,
    /// Every target is moved by so many tolerances: 0 for a run in earnest.
    moved: f64,
}

#[derive(Debug, Clone)]
struct Loaded {
    file: String,
    case: Case,
}

impl Loaded {
    fn error(&self, fault: Fault) -> CheckError {
        CheckError { fault, file: self.file.clone(), case: Some(self.case.id.clone()) }
    }
}

/// Runs every published check of this program.
///
/// # Gives
/// one line a printed value, in the order of the sources and within it that of the files.
/// # Errors
/// - [`CheckError`] where the checks themselves are unsound; a value that disagrees is no error
pub fn run() -> Result<Report, CheckError> {
    Suite::embedded()?.run()
}

impl Suite {
    /// The checks that are built into the program.
    ///
    /// # Errors
    /// - [`CheckError`]: as for [`Suite::load`]
    pub fn embedded() -> Result<Self, CheckError> {
        Self::load(embedded::SOURCES, &embedded::FILES)
    }

    /// Checks from the text of `sources.toml` and of case files, each with its name.
    ///
    /// # Errors
    /// - [`CheckError`]: a file that is not of its form, is empty, or names an unknown source; no case at all; two
    ///   cases of one id
    pub fn load(sources: &str, files: &[(&str, &str)]) -> Result<Self, CheckError> {
        let sources = Sources::read(sources)?;
        let mut cases = Vec::new();
        for (file, text) in files {
            cases.extend(read_file(file, text)?);
        }
        let mut ids = BTreeSet::new();
        for loaded in &cases {
            let case = &loaded.case;
            if sources.get(&case.source).is_none() {
                let key = case.source.clone();
                return Err(loaded.error(Fault::UnknownSource { key }));
            }
            if case.expect.is_empty() {
                return Err(loaded.error(Fault::ExpectsNothing));
            }
            if !ids.insert(case.id.as_str()) {
                return Err(loaded.error(Fault::SameId));
            }
        }
        if cases.is_empty() {
            return Err(whole(Fault::NoCases));
        }
        Ok(Self { sources, cases, moved: 0.0 })
    }

    /// The same checks with every expected value moved by so many of its tolerances: a run of them at 3 must find
    /// no value that agrees.
    #[must_use]
    pub fn moved(mut self, tolerances: f64) -> Self {
        self.moved = tolerances;
        self
    }

    /// The list of sources.
    #[must_use]
    pub fn sources(&self) -> &Sources {
        &self.sources
    }

    /// Runs every case.
    ///
    /// # Errors
    /// - [`CheckError`]: unknown calculation, result, input or unit; an input missing; an expected text that is no
    ///   number; a tolerance that is wide without a reason; a check that cannot fail; a result that only values
    ///   from memory check
    pub fn run(&self) -> Result<Report, CheckError> {
        let mut lines = Vec::new();
        let mut vouched = Vouched::default();
        for loaded in &self.cases {
            let mut runs = Runs::default();
            for expected in &loaded.case.expect {
                let judged = self.line(loaded, expected, &mut runs);
                let line = judged.map_err(|fault| loaded.error(fault))?;
                vouched.note(&loaded.case.calculation, &expected.of, line.grade);
                lines.push(line);
            }
        }
        vouched.check()?;
        lines.sort_by_key(|line: &Line| self.sources.place(&line.source));
        Ok(Report { lines })
    }

    fn line(&self, loaded: &Loaded, expected: &Expected, runs: &mut Runs) -> Result<Line, Fault> {
        let case = &loaded.case;
        let printed = read_printed(&expected.printed)?;
        let ours = expected.ours.as_deref().map(read_printed).transpose()?;
        let grade = expected.grade.unwrap_or(case.grade);
        let by = expected.by.as_ref().or(case.by.as_ref());
        let named = matches!(grade, Grade::Transcribed | Grade::Computed);
        if named && by.is_none_or(|by| by.trim().is_empty()) {
            return Err(Fault::NobodyNamed { printed: printed.text().to_owned(), grade: grade.word() });
        }
        let results = runs.of(case, &expected.with)?;
        let computed = computed(results, expected)?;
        let target = ours.as_ref().unwrap_or(&printed);
        let tolerance = tolerance(target, expected)?;
        check_difference(expected, &printed, computed)?;
        Ok(Line {
            id: case.id.clone(),
            name: expected.name.clone().unwrap_or_else(|| expected.of.clone()),
            source: case.source.clone(),
            citation: self.sources.get(&case.source).map_or_else(String::new, Source::citation),
            place: case.place.clone(),
            what: case.what.clone(),
            grade,
            by: by.filter(|_| named).cloned(),
            printed: printed.text().to_owned(),
            unit: expected.unit.clone(),
            computed,
            matching_digits: printed.matching_digits(computed),
            printed_digits: printed.digits(),
            decimals: target.decimals(),
            agrees: within(computed, target.value() + self.moved * tolerance, tolerance),
            tolerance,
            why: expected.why.clone(),
            difference: expected.difference.clone(),
            ours: expected.ours.clone(),
        })
    }
}

fn whole(fault: Fault) -> CheckError {
    CheckError { fault, file: String::new(), case: None }
}

fn read_file(file: &str, text: &str) -> Result<Vec<Loaded>, CheckError> {
    let error = |fault| CheckError { fault, file: file.to_owned(), case: None };
    let read: CaseFile =
        toml::from_str(text).map_err(|fault| error(Fault::Unreadable { message: fault.to_string() }))?;
    if read.case.is_empty() {
        return Err(error(Fault::EmptyFile));
    }
    let loaded = |case| Loaded { file: file.to_owned(), case };
    Ok(read.case.into_iter().map(loaded).collect())
}

fn read_printed(text: &str) -> Result<Printed, Fault> {
    Printed::parse(text).ok_or_else(|| Fault::NotPrinted { text: text.to_owned() })
}

/// The results of a case, worked out once for each set of inputs.
#[derive(Default)]
struct Runs(Vec<(Table, Results)>);

impl Runs {
    fn of(&mut self, case: &Case, with: &Table) -> Result<&Results, Fault> {
        let place = match self.0.iter().position(|(known, _)| known == with) {
            Some(place) => place,
            None => {
                let mut inputs = case.inputs.clone();
                inputs.extend(with.clone());
                let results = calculation::find(&case.calculation)?(inputs)?;
                self.0.push((with.clone(), results));
                self.0.len() - 1
            }
        };
        Ok(&self.0[place].1)
    }
}

fn computed(results: &Results, expected: &Expected) -> Result<f64, Fault> {
    let value = results
        .get(&expected.of)
        .ok_or_else(|| Fault::UnknownResult { name: expected.of.clone(), known: results.names() })?;
    value.in_unit(expected.unit.as_deref()).ok_or_else(|| Fault::WrongUnit {
        unit: expected.unit.clone().unwrap_or_default(),
        result: expected.of.clone(),
    })
}

/// Half a unit of the last printed digit, or what the case says; wide ones need a reason, and a value three
/// tolerances away must fail.
fn tolerance(target: &Printed, expected: &Expected) -> Result<f64, Fault> {
    let tolerance = expected.tolerance.unwrap_or_else(|| target.half_unit());
    let printed = || target.text().to_owned();
    if !(tolerance.is_finite() && tolerance > 0.0) {
        return Err(Fault::NoTolerance { tolerance, printed: printed() });
    }
    let share = WIDE_SHARE * target.value().abs();
    let wide = if !within(tolerance, 0.0, target.half_unit()) {
        Some("wider than half a unit of the last digit")
    } else if share > 0.0 && !within(tolerance, 0.0, share) {
        Some("more than a tenth of the value")
    } else {
        None
    };
    let reason = expected.why.as_ref().is_some_and(|why| !why.trim().is_empty());
    if let (Some(wide), false) = (wide, reason) {
        return Err(Fault::WideTolerance { tolerance, printed: printed(), wide });
    }
    let away = MUST_FAIL_AT * tolerance;
    let passes = |moved| within(target.value(), moved, tolerance);
    if passes(target.value() + away) || passes(target.value() - away) {
        return Err(Fault::CannotFail { printed: printed() });
    }
    Ok(tolerance)
}

/// A stated difference has both its halves, and is one.
fn check_difference(expected: &Expected, printed: &Printed, computed: f64) -> Result<(), Fault> {
    if expected.difference.is_some() != expected.ours.is_some() {
        return Err(Fault::HalfDifference { printed: printed.text().to_owned() });
    }
    if expected.difference.is_some() && within(computed, printed.value(), printed.half_unit()) {
        return Err(Fault::NoDifference { printed: printed.text().to_owned() });
    }
    Ok(())
}

/// Which results something better than memory vouches for.
#[derive(Default)]
struct Vouched(BTreeMap<(String, String), bool>);

impl Vouched {
    fn note(&mut self, calculation: &str, result: &str, grade: Grade) {
        // "share of the rule" and "share of the scale" are one formula.
        let formula = result.split(" of ").next().unwrap_or(result);
        let key = (calculation.to_owned(), formula.to_owned());
        *self.0.entry(key).or_default() |= grade != Grade::Recalled;
    }

    fn check(self) -> Result<(), CheckError> {
        let alone = self.0.into_iter().find(|(_, vouched)| !vouched);
        match alone {
            Some(((calculation, result), _)) => Err(whole(Fault::OnlyFromMemory { calculation, result })),
            None => Ok(()),
        }
    }
}
