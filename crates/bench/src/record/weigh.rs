//! The use case behind the bench page: the fields as typed, on top of a job, in; a preview, the faults beside their
//! fields, or the deed to enter, out.
//!
//! Main functions: [`preview`], for every keystroke; [`deed`], to enter. Both write the job as a sheet and let the
//! reader of job sheets judge, so that page and file never differ.

use super::deed::{BeforeWeighing, Deed, Field, Fields, Outcome, Struck};
use super::job::Job;
use super::shop::Shop;
use crate::job_sheet::InstrumentKind;
use crate::{Assessment, Fault, JobSheet, Weighed, assess};
use hingeline_balance::{Method, Outlier, Readings, Series};
use hingeline_quantity::Quantity;

/// What the fields of a weighing come to.
#[derive(Debug)]
pub struct Preview {
    /// The job with this weighing as its last one; none while there are faults.
    pub assessment: Option<Assessment>,
    /// What is wrong, in the order of the sheet.
    pub faults: Vec<Fault>,
    /// Readings that stand out: the key of their set, and which.
    pub outliers: Vec<(&'static str, Outlier)>,
}

/// The instruments that a weighing names, as they stand in the shop; one that is not there is left to the reader.
#[must_use]
pub fn instruments(shop: &Shop, weighing: &Fields) -> Vec<Fields> {
    ["scale", "rule", "level"]
        .into_iter()
        .filter_map(|key| match weighing.get(key) {
            Some(Field::Text(id)) => shop.instruments.get(id),
            _ => None,
        })
        .filter(|instrument| instrument.retired.is_none())
        .map(|instrument| instrument.fields.clone())
        .collect()
}

/// Judges the fields of a weighing on top of a job: the weighings before it stay as they are.
///
/// A job without limits gives one fault that says so.
#[must_use]
pub fn preview(job: &Job, shop: &Shop, weighing: &Fields) -> Preview {
    let Some(mut sheet) = job.sheet() else {
        return refused(Fault::new("the job has no approved limits yet", 0..0).hint("choose a card first"));
    };
    let before = sheet.weighing.len();
    sheet.add(&without_empty(weighing), &instruments(shop, weighing));
    let Ok(text) = sheet.text() else {
        return refused(Fault::new("the fields cannot be written as a sheet", 0..0));
    };
    match JobSheet::parse(&text) {
        Ok(sheet) => {
            let assessment = assess(sheet, None);
            let outliers = outliers(&assessment, before);
            Preview { assessment: Some(assessment), faults: Vec::new(), outliers }
        }
        Err(faults) => Preview { assessment: None, faults: faults.faults, outliers: Vec::new() },
    }
}

fn refused(fault: Fault) -> Preview {
    Preview { assessment: None, faults: vec![fault], outliers: Vec::new() }
}

/// What was left empty was not typed.
fn without_empty(fields: &Fields) -> Fields {
    let full = |field: &Field| match field {
        Field::Text(text) => !text.trim().is_empty(),
        Field::List(list) => list.iter().any(|text| !text.trim().is_empty()),
        Field::Parts(parts) => !parts.is_empty(),
    };
    let trimmed = |field: &Field| match field {
        Field::List(list) => {
            Field::List(list.iter().filter(|text| !text.trim().is_empty()).cloned().collect())
        }
        other => other.clone(),
    };
    fields.iter().filter(|(_, field)| full(field)).map(|(key, field)| (key.clone(), trimmed(field))).collect()
}

fn outliers(assessment: &Assessment, index: usize) -> Vec<(&'static str, Outlier)> {
    let Some(weighed) = assessment.weighings.get(index) else { return Vec::new() };
    let method = &weighed.taken.weighing.method;
    let mut sets = Vec::new();
    if let Some(readings) = method.readings() {
        sets.extend(sets_of(readings, ["readings", "raising", "lowering"]));
    }
    if let Method::TwoAttitudes(two) = method {
        sets.extend(sets_of(&two.tilted, ["second_readings", "second_raising", "second_lowering"]));
    }
    let step = step(assessment, weighed);
    let stands_out = |series: &Series| {
        let outlier = series.outlier()?;
        let far = (series.values().get(outlier.index)? - series.mean()).abs();
        (step * (1.0 + 1e-6) < far).then_some(outlier)
    };
    sets.into_iter().filter_map(|(key, series)| Some((key, stands_out(series)?))).collect()
}

fn sets_of<'r>(readings: &'r Readings, keys: [&'static str; 3]) -> Vec<(&'static str, &'r Series)> {
    match readings {
        Readings::AtRest(series) => vec![(keys[0], series)],
        Readings::Turning { raising, lowering } => vec![(keys[1], raising), (keys[2], lowering)],
    }
}

/// The step of what was read, SI: nothing stands out that lies within one step of the mean.
fn step(assessment: &Assessment, weighed: &Weighed) -> f64 {
    let slides = matches!(weighed.taken.weighing.method, Method::BalanceBeam(_));
    let used = weighed.taken.instruments.iter().filter_map(|&index| assessment.sheet.instruments.get(index));
    let steps = used.filter_map(|instrument| match &instrument.kind {
        InstrumentKind::Scale(scale, _) if !slides => Some(scale.resolution.si()),
        InstrumentKind::Rule(rule) if slides => Some(rule.resolution.si()),
        _ => None,
    });
    steps.fold(0.0, f64::max)
}

/// The deed that enters a weighing.
///
/// # Errors
/// - the faults of the fields, all at once
pub fn deed(
    job: &Job,
    shop: &Shop,
    weighing: &Fields,
    before: Option<BeforeWeighing>,
    struck: Vec<Struck>,
) -> Result<Deed, Vec<Fault>> {
    let preview = preview(job, shop, weighing);
    let Some(assessment) = preview.assessment else { return Err(preview.faults) };
    Ok(Deed::Weighed {
        instruments: instruments(shop, weighing),
        weighing: without_empty(weighing),
        before,
        struck,
        outcome: Outcome::of(&assessment),
    })
}
