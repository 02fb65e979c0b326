//! The published shape of a result: one JSON object, SI, the unit in each key.
//!
//! The keys are a contract: keys may be added, none may change its meaning. The types here convert from the
//! core types and live as long as the contract does.

use crate::assess::{Assessment, StationCorrection, Weighed};
use crate::words;
use hingeline_balance::{Action, Doubt, Spread, Verdict};
use hingeline_quantity::Quantity;
use serde::Serialize;

/// The result of a job sheet.
#[derive(Debug, Serialize)]
pub struct JobResult {
    /// The version of the program that worked it out.
    pub program: &'static str,
    /// BLAKE3 of the sheet's text.
    pub sheet_fingerprint: String,
    /// Who and what.
    pub job: JobPart,
    /// The approved band.
    pub limits: LimitsPart,
    /// One a weighing.
    pub weighings: Vec<WeighingPart>,
    /// From as found to as left; null where the sheet has not both.
    pub change: Option<ChangePart>,
    /// One a station, worked from the last weighing.
    pub corrections: Vec<CorrectionPart>,
}

/// Who and what.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct JobPart {
    pub number: String,
    pub surface: String,
    pub part: String,
    pub serial: String,
}

/// The approved band.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct LimitsPart {
    pub source: String,
    pub from_kg_m: f64,
    pub to_kg_m: f64,
    pub aim_kg_m: f64,
}

/// A weighing.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold; docs/job-sheet.md explains each")]
pub struct WeighingPart {
    pub stage: &'static str,
    pub method: &'static str,
    pub date: String,
    pub static_moment_kg_m: f64,
    pub side: &'static str,
    pub friction_moment_kg_m: Option<f64>,
    pub standard_uncertainty_kg_m: f64,
    pub degrees_of_freedom: Option<f64>,
    pub coverage_factor: f64,
    pub expanded_uncertainty_kg_m: f64,
    pub probability_within: f64,
    pub verdict: &'static str,
    pub doubt: &'static str,
    pub margin_kg_m: f64,
    pub valid_for_release: bool,
    pub reasons: Vec<String>,
    pub notes: Vec<String>,
    pub budget: Vec<BudgetPart>,
    pub cg_height_m: Option<f64>,
    pub cg_height_standard_uncertainty_m: Option<f64>,
    pub cg_height_expanded_uncertainty_m: Option<f64>,
    pub monte_carlo: Option<DrawsPart>,
}

/// One source of uncertainty.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct BudgetPart {
    pub name: String,
    pub evaluation: &'static str,
    pub standard_uncertainty_kg_m: f64,
    pub degrees_of_freedom: Option<f64>,
    pub share: f64,
}

/// The second route.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct DrawsPart {
    pub trials: usize,
    pub mean_kg_m: f64,
    /// Null where an input has so few degrees of freedom that it does not settle.
    pub standard_deviation_kg_m: Option<f64>,
    pub interval_low_kg_m: f64,
    pub interval_high_kg_m: f64,
    pub probability_within: Option<f64>,
}

/// From as found to as left.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct ChangePart {
    pub moment_kg_m: f64,
    pub standard_uncertainty_kg_m: f64,
}

/// A correction.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct CorrectionPart {
    pub station: String,
    pub arm_m: f64,
    pub action: &'static str,
    pub mass_kg: f64,
    pub mass_rounded_kg: f64,
    pub mass_standard_uncertainty_kg: f64,
    pub predicted_moment_kg_m: f64,
    pub predicted_reading_kg: Option<f64>,
    pub predicted_slide_m: Option<f64>,
    pub predicted_other_side: bool,
    pub predicted_verdict: &'static str,
    pub within_capacity: bool,
}

impl JobResult {
    /// The result of an assessment, worked out by this version of the program.
    #[must_use]
    pub fn of(assessment: &Assessment) -> Self {
        let job = &assessment.sheet.job;
        let band = &assessment.sheet.limits.band;
        Self {
            program: concat!("hingeline ", env!("CARGO_PKG_VERSION")),
            sheet_fingerprint: assessment.sheet.fingerprint.clone(),
            job: JobPart {
                number: job.number.clone(),
                surface: job.surface.clone(),
                part: job.part.clone(),
                serial: job.serial.clone(),
            },
            limits: LimitsPart {
                source: assessment.sheet.limits.source.clone(),
                from_kg_m: band.from().si(),
                to_kg_m: band.to().si(),
                aim_kg_m: band.aim().si(),
            },
            weighings: assessment.weighings.iter().map(|weighed| weighing(assessment, weighed)).collect(),
            change: assessment.change().map(|(moment, u)| ChangePart {
                moment_kg_m: moment.si(),
                standard_uncertainty_kg_m: u.si(),
            }),
            corrections: assessment.corrections.iter().map(correction).collect(),
        }
    }
}

fn weighing(assessment: &Assessment, weighed: &Weighed) -> WeighingPart {
    let law = &weighed.measured.propagated;
    let centre = weighed.measured.centre_of_gravity;

    WeighingPart {
        stage: weighed.taken.stage.word(),
        method: crate::method_word(&weighed.taken.weighing.method),
        date: weighed.taken.date.to_string(),
        // Adding zero turns minus zero into plain zero.
        static_moment_kg_m: law.estimate + 0.0,
        side: weighed.measured.static_moment().side().word(),
        friction_moment_kg_m: weighed.measured.friction_moment.map(Quantity::si),
        standard_uncertainty_kg_m: law.standard_uncertainty,
        degrees_of_freedom: law.degrees_of_freedom,
        coverage_factor: law.coverage_factor,
        expanded_uncertainty_kg_m: law.expanded_uncertainty,
        probability_within: weighed.judgement.probability_within,
        verdict: verdict_word(weighed.judgement.verdict),
        doubt: doubt_word(weighed.judgement.doubt),
        margin_kg_m: weighed.judgement.margin.si(),
        valid_for_release: weighed.reasons.is_empty(),
        reasons: weighed.reasons.iter().map(words::reason).collect(),
        notes: words::notes(assessment, weighed),
        budget: budget(weighed),
        cg_height_m: centre.map(|centre| centre.height.si()),
        cg_height_standard_uncertainty_m: centre.map(|centre| centre.standard_uncertainty.si()),
        cg_height_expanded_uncertainty_m: centre.map(|centre| centre.expanded_uncertainty.si()),
        monte_carlo: draws(weighed),
    }
}

fn budget(weighed: &Weighed) -> Vec<BudgetPart> {
    let inputs = &weighed.measured.model.inputs;
    inputs
        .iter()
        .zip(&weighed.measured.propagated.shares)
        .map(|(input, share)| BudgetPart {
            name: input.name.clone(),
            evaluation: words::evaluation(input),
            standard_uncertainty_kg_m: share.standard_uncertainty,
            degrees_of_freedom: input.degrees_of_freedom,
            share: share.share,
        })
        .collect()
}

fn draws(weighed: &Weighed) -> Option<DrawsPart> {
    let draws = weighed.draws.as_ref()?;
    let settles = weighed.measured.model.inputs.iter().all(|input| match input.spread {
        Spread::Student { degrees_of_freedom, .. } => degrees_of_freedom > 2.0,
        _ => true,
    });
    Some(DrawsPart {
        trials: draws.trials,
        mean_kg_m: draws.mean,
        standard_deviation_kg_m: settles.then_some(draws.standard_deviation),
        interval_low_kg_m: draws.low,
        interval_high_kg_m: draws.high,
        probability_within: draws.inside,
    })
}

fn correction(station: &StationCorrection) -> CorrectionPart {
    let correction = &station.correction;
    CorrectionPart {
        station: station.station.name.clone(),
        arm_m: station.station.station.arm.si(),
        action: match correction.action {
            Action::Add => "add",
            Action::Remove => "remove",
            Action::None => "none",
        },
        mass_kg: correction.mass.si(),
        mass_rounded_kg: correction.mass_rounded.si(),
        mass_standard_uncertainty_kg: correction.mass_standard_uncertainty.si(),
        predicted_moment_kg_m: correction.predicted_moment.si(),
        predicted_reading_kg: station.predicted_reading.map(Quantity::si),
        predicted_slide_m: station.predicted_slide.map(Quantity::si),
        predicted_other_side: station.other_side,
        predicted_verdict: verdict_word(if station.within { Verdict::Within } else { Verdict::Outside }),
        within_capacity: correction.within_capacity,
    }
}

/// The contract's word.
#[must_use]
pub fn verdict_word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Within => "within",
        Verdict::Outside => "outside",
    }
}

/// The contract's word.
#[must_use]
pub fn doubt_word(doubt: Doubt) -> &'static str {
    match doubt {
        Doubt::Clear => "clear",
        Doubt::Doubtful => "doubtful",
    }
}
