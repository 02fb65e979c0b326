//! The part of the answer that is about the fastening. Main type: [`FasteningPart`].

use hingeline_ballast::fastening::{Check, Screening};
use serde::Serialize;

/// The screening of the fastening.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct FasteningPart {
    pub warnings: Vec<String>,
    pub margins: Vec<MarginPart>,
}

/// A margin of safety, for the engineer to confirm.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct MarginPart {
    pub load: String,
    pub check: String,
    pub bolt: Option<usize>,
    pub applied: f64,
    pub allowable: f64,
    pub unit: &'static str,
    pub factor: f64,
    pub margin: f64,
    pub source: String,
    pub grade: &'static str,
}

/// What a margin is about, in words, with the unit of its numbers.
fn check_words(check: &Check) -> (String, &'static str) {
    match check {
        Check::Shear => ("shear".to_owned(), "N"),
        Check::Tension => ("tension".to_owned(), "N"),
        Check::Interaction => ("shear with tension".to_owned(), ""),
        Check::Bearing { plate } => (format!("bearing on {plate}"), "Pa"),
        Check::Stripping { grip } => (format!("stripping of {grip}"), "N"),
        Check::Root => ("root of the arm".to_owned(), "Pa"),
    }
}

pub(super) fn fastening(screening: &Screening) -> FasteningPart {
    let mut margins = Vec::new();
    for case in &screening.cases {
        let way = case.direction.words();
        let load = format!("{} g {way}, {}", case.factor.value, case.sense.words(case.direction));
        margins.extend(case.margins.iter().map(|margin| {
            let (check, unit) = check_words(&margin.check);
            MarginPart {
                load: load.clone(),
                check,
                bolt: margin.bolt,
                applied: margin.applied,
                allowable: margin.allowable.value,
                unit,
                factor: margin.factor,
                margin: margin.margin,
                source: margin.allowable.source.to_string(),
                grade: margin.allowable.grade.words(),
            }
        }));
    }
    FasteningPart { warnings: screening.warnings.iter().map(ToString::to_string).collect(), margins }
}
