//! The log-book entry of a job, and the drift of a surface from paint job to paint job.
//!
//! [`log_text`] gives a text for the technician to check and copy: what 14 CFR 43.9(a) asks for (description of the
//! work or reference to data, date, name of the performer; the approver signs by hand). Local rules come first.
//! [`drift`] is what each paint job did to the moment: the next weighing less the one before it.

use super::card::Standing;
use super::job::Job;
use crate::Assessment;
use crate::words::{self, Voice, capital};

/// The text for the log book. `card`: what became of the card that the job was judged by.
#[must_use]
pub fn log_text(job: &Job, assessment: &Assessment, card: &[Standing]) -> String {
    let last = assessment.last();
    let voice = Voice::of(last, assessment.sheet.limits.units);
    let [from, to, _] = words::limits(assessment, &voice);
    let mut lines = vec![format!(
        "{} part {} serial {}: static balance checked by {} on {}, job {}.",
        capital(job.text("surface")),
        job.text("part"),
        job.text("serial"),
        crate::method_word(&last.taken.weighing.method),
        last.taken.date,
        job.text("number"),
    )];
    for (_, [kind, what]) in &job.works {
        lines.push(format!("{}: {what}.", capital(kind)));
    }
    for (_, [station, action, mass, what]) in &job.corrections {
        let verb = if action == "remove" { "removed" } else { "added" };
        lines.push(format!("{} {verb} at {station}: {what}.", capital(mass)));
    }
    let limits = match words::limits_as_typed(assessment) {
        Some(typed) => format!("{typed} (that is {from} to {to})"),
        None => format!("{from} to {to}"),
    };
    lines.push(format!(
        "Static moment as left {}; limits {limits}, {}.",
        voice.measured(last),
        assessment.sheet.limits.source
    ));
    lines.extend(card.iter().map(|standing| format!("{}.", capital(&standing.words()))));
    if let Some(signature) = &job.signed {
        lines.push(format!(
            "Performed by {} ({}, {}).",
            signature.name, signature.certificate, signature.kind
        ));
    }
    if let Some(signature) = &job.inspected {
        lines.push(format!(
            "Inspected by {} ({}, {}).",
            signature.name, signature.certificate, signature.kind
        ));
    }
    lines.join(" ")
}

/// A moment at a time, for [`drift`].
#[derive(Debug, Clone, PartialEq)]
pub struct Moment {
    /// When, so that texts sort as times do.
    pub at: String,
    /// Static moment, kg m, positive tail-heavy.
    pub moment_kg_m: f64,
}

/// What each paint job did: the time of the paint job and the change, kg m, from the last weighing before it to the
/// first one after it. A paint job with no weighing on one side, or with anything else between, is left out: nobody knows
/// which of them moved it.
///
/// # Inputs
/// `moments`: what was weighed; calculations left out. `others`: corrections, repairs and other work.
#[must_use]
pub fn drift(moments: &[Moment], paints: &[String], others: &[String]) -> Vec<(String, f64)> {
    paints
        .iter()
        .filter_map(|paint| {
            let before = moments.iter().rev().find(|moment| moment.at < *paint)?;
            let after = moments.iter().find(|moment| *paint < moment.at)?;
            let between = |at: &String| before.at < *at && *at < after.at;
            let alone = paints.iter().chain(others).filter(|at| between(at)).count() == 1;
            alone.then(|| (paint.clone(), after.moment_kg_m - before.moment_kg_m))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn drift_is_taken_across_a_paint_job_alone() {
        let moment = |at: &str, moment_kg_m| Moment { at: at.to_owned(), moment_kg_m };
        let moments =
            [moment("2020", -0.03), moment("2022", -0.01), moment("2024", -0.02), moment("2026", 0.01)];
        let texts = |list: &[&str]| list.iter().map(|text| (*text).to_owned()).collect::<Vec<_>>();
        let found = drift(&moments, &texts(&["2019", "2021", "2025", "2027"]), &texts(&["2023"]));
        assert_eq!(found.len(), 2);
        assert!((found[0].1 - 0.02).abs() < 1e-12 && (found[1].1 - 0.03).abs() < 1e-12);
        assert!(drift(&moments, &texts(&["2023-05"]), &texts(&["2023-06"])).is_empty());
        assert!(
            drift(&moments, &texts(&["2023-05", "2023-06"]), &[]).is_empty(),
            "two paint jobs share a change"
        );
    }
}
