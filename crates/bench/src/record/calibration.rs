//! The calibration line of an instrument: what it reads at known values, and the correction that follows.
//!
//! Main function: [`calibration_line`]. Quantities come as typed; what cannot be read is said for each field. Source:
//! \[GUM\] H.3, through [`hingeline_balance::Line`]. Not here: the daily check ([`super::check`]).

use hingeline_balance::Line;
use hingeline_quantity::{Angle, Entered, Length, Mass, Quantity, Unit};

/// A field that cannot be read: which one ("3.known"; empty for the line as a whole), what is wrong, what is allowed, what to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Misread {
    /// The field.
    pub field: String,
    /// What is wrong.
    pub what: String,
    /// What is allowed.
    pub allowed: Option<String>,
    /// What to do.
    pub hint: String,
}

impl Misread {
    fn new(field: impl Into<String>, what: impl Into<String>, hint: impl Into<String>) -> Self {
        Self { field: field.into(), what: what.into(), allowed: None, hint: hint.into() }
    }
}

/// A number as an instrument of some kind reads it: SI, and the unit it was typed in.
#[derive(Debug, Clone, Copy)]
struct Reading {
    si: f64,
    unit: &'static Unit,
}

/// Reads a text by the kind of the instrument: masses for a scale, lengths for a rule, angles for a level.
fn read(kind: &str, field: &str, text: &str) -> Result<Reading, Misread> {
    match kind {
        "rule" => read_as::<Length>(field, text),
        "level" => read_as::<Angle>(field, text),
        _ => read_as::<Mass>(field, text),
    }
}

fn read_as<Q: Quantity>(field: &str, text: &str) -> Result<Reading, Misread> {
    match Entered::<Q>::parse(text) {
        Ok(entered) => Ok(Reading { si: entered.value.si(), unit: entered.unit }),
        Err(error) => Err(Misread {
            field: field.to_owned(),
            what: error.to_string(),
            allowed: Some(error.problem.allowed()),
            hint: error.problem.hint(),
        }),
    }
}

/// A straight line through what an instrument read at known values.
#[derive(Debug, Clone, PartialEq)]
pub struct CalibrationLine {
    /// The unit of everything here: that of the first value typed.
    pub unit: &'static Unit,
    /// The line: correction (known value minus reading) over reading, origin at the mean reading.
    pub line: Line,
    /// Each point.
    pub points: Vec<CalibrationPoint>,
}

/// One point of a calibration line, in the line's unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CalibrationPoint {
    /// The known value.
    pub known: f64,
    /// What the instrument read.
    pub reading: f64,
    /// The correction seen: known minus reading.
    pub seen: f64,
    /// The correction that the line gives there.
    pub fitted: f64,
    /// Its standard uncertainty.
    pub standard_uncertainty: f64,
}

/// The calibration line through points as typed: known value, reading.
///
/// # Errors
/// - [`Misread`]: every field that is no quantity of the instrument's kind; fewer than three points; all points at one
///   reading
pub fn calibration_line(kind: &str, points: &[(String, String)]) -> Result<CalibrationLine, Vec<Misread>> {
    let mut wrong = Vec::new();
    let mut read_points = Vec::new();
    for (index, (known, reading)) in points.iter().enumerate() {
        let known = read(kind, &format!("{index}.known"), known);
        let reading = read(kind, &format!("{index}.reading"), reading);
        match (known, reading) {
            (Ok(known), Ok(reading)) => read_points.push((known, reading)),
            (known, reading) => wrong.extend(known.err().into_iter().chain(reading.err())),
        }
    }
    if !wrong.is_empty() {
        return Err(wrong);
    }
    let Some((first, _)) = read_points.first() else { return Err(vec![too_few(0)]) };
    let unit = first.unit;
    let pairs: Vec<(f64, f64)> = read_points
        .iter()
        .map(|(known, reading)| (known.si / unit.factor, reading.si / unit.factor))
        .collect();
    fit(unit, &pairs).map_err(|misread| vec![misread])
}

fn too_few(count: usize) -> Misread {
    let mut misread = Misread::new(
        "",
        format!("there are {count} points"),
        "enter the reading at three known values or more",
    );
    misread.allowed = Some("3 points or more, at different readings".to_owned());
    misread
}

fn fit(unit: &'static Unit, pairs: &[(f64, f64)]) -> Result<CalibrationLine, Misread> {
    if pairs.len() < 3 {
        return Err(too_few(pairs.len()));
    }
    #[allow(clippy::cast_precision_loss, reason = "nobody takes 2^53 points")]
    let mean = pairs.iter().map(|(_, reading)| reading).sum::<f64>() / pairs.len() as f64;
    let corrections: Vec<(f64, f64)> =
        pairs.iter().map(|(known, reading)| (*reading, known - reading)).collect();
    let line = Line::fit(&corrections, mean).map_err(|error| {
        Misread::new(
            "",
            format!("no line goes through these points: {error}"),
            "spread the known values over the range",
        )
    })?;
    let point = |(known, reading): &(f64, f64)| {
        let at = line.at(*reading);
        CalibrationPoint {
            known: *known,
            reading: *reading,
            seen: known - reading,
            fitted: at.value,
            standard_uncertainty: at.standard_uncertainty,
        }
    };
    Ok(CalibrationLine { unit, line, points: pairs.iter().map(point).collect() })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(texts: &[(&str, &str)]) -> Vec<(String, String)> {
        texts.iter().map(|(known, reading)| ((*known).to_owned(), (*reading).to_owned())).collect()
    }

    #[test]
    fn a_scale_that_reads_one_in_a_hundred_low_is_corrected() {
        let line =
            calibration_line("scale", &points(&[("0 lb", "0 lb"), ("1 lb", "0.99 lb"), ("2 lb", "1.98 lb")]));
        let line = line.expect("a line");
        assert!((line.line.slope - 0.01 / 0.99).abs() < 1e-12);
        assert!((line.points[2].seen - 0.02).abs() < 1e-12);
        assert!((line.points[2].fitted - 0.02).abs() < 1e-12);
    }

    #[test]
    fn units_may_be_mixed_and_the_first_speaks() {
        let line =
            calibration_line("scale", &points(&[("1 kg", "1 kg"), ("2000 g", "2 kg"), ("3 kg", "3000 g")]));
        let line = line.expect("a line");
        assert_eq!(line.unit.symbol, "kg");
        assert!(line.line.slope.abs() < 1e-12);
    }

    #[test]
    fn every_field_that_cannot_be_read_is_named() {
        let wrong = calibration_line("scale", &points(&[("1", "1 lb"), ("2 lb", "x"), ("3 mm", "")]))
            .expect_err("wrong");
        let fields: Vec<&str> = wrong.iter().map(|misread| misread.field.as_str()).collect();
        assert_eq!(fields, ["0.known", "1.reading", "2.known", "2.reading"]);
        assert_eq!(calibration_line("rule", &points(&[("1 in", "1 in")])).expect_err("wrong")[0].field, "");
        let same = points(&[("1 in", "1 in"), ("1 in", "1 in"), ("1 in", "1 in")]);
        calibration_line("rule", &same).expect_err("all at one place");
        calibration_line("scale", &[]).expect_err("no point");
    }
}
