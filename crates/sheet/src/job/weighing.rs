//! One weighing on the printed sheet: readings as typed, arithmetic, budget, summary, remarks.

use super::{reasons, tone};
use crate::paper::{BudgetRow, Formula, Line, Reading, Weighing};
use hingeline_bench::arithmetic::{self, Step};
use hingeline_bench::result::{doubt_word, verdict_word};
use hingeline_bench::words::{self, Voice};
use hingeline_bench::{Assessment, Weighed, method_word};
use hingeline_quantity::significant;

pub(super) fn of(assessment: &Assessment, weighed: &Weighed) -> Weighing {
    let units = assessment.sheet.limits.units;
    let voice = Voice::of(weighed, units);
    let taken = &weighed.taken;
    let law = &weighed.measured.propagated;
    let moment = voice.moment(weighed.measured.static_moment());

    let attack = words::attack_first(assessment, weighed, &voice);
    Weighing {
        stage: taken.stage.word().to_owned(),
        method: method_word(&taken.weighing.method).to_owned(),
        date: taken.date.to_string(),
        readings: readings(assessment, weighed),
        arithmetic: arithmetic::moment(weighed, units).iter().map(formula).collect(),
        result: format!("{moment} ± {}", voice.size(weighed.measured.expanded_uncertainty())),
        verdict: words::verdict_and_doubt(
            verdict_word(weighed.judgement.verdict),
            doubt_word(weighed.judgement.doubt),
        ),
        tone: tone(weighed),
        budget: weighed
            .measured
            .model
            .inputs
            .iter()
            .zip(&law.shares)
            .map(|(input, share)| BudgetRow {
                source: format!(
                    "{}: {}",
                    words::input_name(input, &taken.weighing.method),
                    arithmetic::source(input, share, weighed, units)
                ),
                evaluation: words::evaluation(input).to_owned(),
                standard_uncertainty: format!(
                    "{} {}",
                    significant(share.standard_uncertainty / units.moment.factor, 5),
                    units.moment.symbol
                ),
                share: share.share,
                share_label: words::percent_plain(share.share),
            })
            .collect(),
        summary: arithmetic::uncertainty(weighed, units).iter().map(summary).collect(),
        not_valid: reasons(weighed),
        notes: words::notes(assessment, weighed).into_iter().chain(attack).collect(),
    }
}

fn readings(assessment: &Assessment, weighed: &Weighed) -> Vec<Reading> {
    let taken = &weighed.taken;
    let mut readings: Vec<Reading> = taken
        .typed
        .iter()
        .map(|typed| Reading {
            name: words::set_word(&taken.weighing.method, &typed.word),
            typed: typed.texts.clone(),
            ..Reading::default()
        })
        .collect();
    let ids: Vec<String> = weighed
        .taken
        .instruments
        .iter()
        .map(|&index| &assessment.sheet.instruments[index])
        .map(|instrument| format!("{} {}", instrument.kind.word(), instrument.id))
        .collect();
    if !ids.is_empty() {
        readings.push(Reading { name: "measured with".to_owned(), typed: ids, ..Reading::default() });
    }
    readings
}

/// "S = (r − tare) × arm" has a name and symbols; other lines are a name alone.
fn formula(step: &Step) -> Formula {
    let (name, symbols) = if step.formula.contains(" = ") || step.formula.contains('×') {
        (String::new(), step.formula.clone())
    } else {
        (step.formula.clone(), String::new())
    };
    Formula { name, symbols, numbers: step.numbers.clone(), result: step.result.clone() }
}

fn summary(step: &Step) -> Line {
    Line { name: step.formula.clone(), value: step.outcome() }
}
