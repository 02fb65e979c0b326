//! What is odd about the course of a job, though each of its weighings is right by itself.
//!
//! Main function: [`concerns`]. From one weighing to the next, S moves by what the corrections in between bring
//! (`brought`); what both do not know alike is told by `common`. It is a warning and stops nobody: the record may lack
//! an entry. Not covered: paint and repairs, whose mass nobody typed, where nothing else was done in between; what was
//! calculated and not weighed.

use super::common::common;
use super::job::Job;
use crate::words::{self, Voice};
use crate::{Assessment, Weighed};
use hingeline_balance::Verdict;
use hingeline_quantity::{Moment, Quantity};

/// What is to be looked at before a job is signed: of its last weighing what may change the result itself, and what does
/// not follow from one weighing to the next.
#[must_use]
pub fn first(job: &Job, assessment: &Assessment) -> Vec<String> {
    let mut first = words::to_look_at_first(assessment, assessment.last());
    first.extend(concerns(job, assessment));
    first
}

/// What does not follow from one weighing of a job to the next, in words without a full stop.
#[must_use]
pub fn concerns(job: &Job, assessment: &Assessment) -> Vec<String> {
    let entries = job.weighings.iter().map(|weighing| weighing.entry);
    let all: Vec<Step<'_>> = (1..).zip(entries.zip(&assessment.weighings)).collect();
    let weighed: Vec<Step<'_>> =
        all.into_iter().filter(|(_, (_, weighed))| !words::calculated(weighed)).collect();
    weighed.windows(2).filter_map(|pair| concern(job, assessment, pair[0], pair[1])).collect()
}

/// A weighing: which one, from 1, and its entry.
type Step<'a> = (usize, (u64, &'a Weighed));

fn concern(job: &Job, assessment: &Assessment, before: Step<'_>, after: Step<'_>) -> Option<String> {
    let ((one, (from, before)), (other, (to, after))) = (before, after);
    let between = from + 1..to;
    let worked = job.works.iter().any(|(entry, _)| between.contains(entry));
    let brought = job.brought(assessment, &between)?;
    let nothing_corrected = brought.changes.is_empty();
    if nothing_corrected && worked {
        return None;
    }
    let (was, is) = (before.measured.static_moment().si(), after.measured.static_moment().si());
    let predicted = was + brought.moment_kg_m;
    let u = |weighed: &Weighed| weighed.measured.standard_uncertainty().si();
    let square = u(before).powi(2) + u(after).powi(2) + brought.standard_uncertainty.powi(2);
    let both = 2.0 * (square - 2.0 * common(assessment, before, after)).max(0.0).sqrt();
    let apart = (is - predicted).abs();
    let came_within =
        (before.judgement.verdict, after.judgement.verdict) == (Verdict::Outside, Verdict::Within);
    let voice = Voice::of(after, assessment.sheet.limits.units);
    let size = |kg_m: f64| voice.size(Moment::from_si(kg_m));
    let far = format!("{}, more than both uncertainties together ({}, k = 2)", size(apart), size(both));
    if nothing_corrected {
        let begins = match (came_within, both < apart) {
            (true, true) => format!("weighing {one} lies outside, weighing {other} within and {far}, away"),
            (true, false) => format!("weighing {one} lies outside, weighing {other} within"),
            (false, true) => format!("weighing {other} lies away from weighing {one} by {far}"),
            (false, false) => return None,
        };
        return Some(format!(
            "{begins}, and no correction or work was entered between them: enter what was done, or find out which weighing \
             is right"
        ));
    }
    (both < apart).then(|| {
        let predicted = voice.moment(Moment::from_si(predicted));
        let worked = if worked { "; other work was done in between too" } else { "" };
        let known =
            if brought.known { "" } else { ", though nobody stated how closely the corrections are known" };
        format!(
            "weighing {other} gave {}, but {predicted} is predicted from weighing {one} and the corrections: they differ by \
             {far}{known}{worked}",
            voice.moment(after.measured.static_moment())
        )
    })
}
