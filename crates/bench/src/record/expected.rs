//! What the next weighing should show: the last one with the corrections that were entered after it.
//!
//! Main function: [`expected`]. S after = S as last weighed + what the corrections brought (`brought`); the reading
//! follows from the formula of the method (docs/formulas.md). Its uncertainty is told where a sheet, or a bound of the mass
//! that went, says how closely every correction is known. Not covered: paint and repairs, whose mass nobody typed.

use super::common::common;
use super::deed::{Field, Fields};
use super::job::Job;
use super::shop::Shop;
use super::weigh;
use crate::words::{SLING_ONLY_PULLS, Voice};
use crate::{Assessment, JobSheet, System, arithmetic};
use hingeline_balance::{Method, Place};
use hingeline_quantity::{Length, Mass, Moment, Quantity, significant};

/// What the next weighing should show.
#[derive(Debug, Clone)]
pub struct Expected {
    /// The moment as last weighed.
    pub from: Moment,
    /// The moment to be expected.
    pub moment: Moment,
    /// What was changed in between, one after the other: "0.58 lb added at horn weight".
    pub changes: Vec<String>,
    /// What the scale should show, or why it cannot show it; none before the set-up is typed.
    pub reading: Option<String>,
    /// Whether paint, repair or other work came in between, whose mass is not known.
    pub worked: bool,
    /// Its standard uncertainty; none where nobody stated how closely one of the changes is known.
    pub standard_uncertainty: Option<Moment>,
    /// What was measured beside it, in words; none before it is measured.
    pub beside: Option<String>,
    voice: Voice,
}

impl Expected {
    /// The moment to be expected and where it comes from.
    #[must_use]
    pub fn words(&self) -> String {
        format!(
            "{} is to be expected: {} as last weighed, then {}",
            self.voice.moment(self.moment),
            self.voice.moment(self.from),
            self.changes.join(", ")
        )
    }
    /// The same with the weighing beside it that is the last of an assessment, after the one that this begins from:
    /// "measured 2.07 ± 0.24 in-lb nose-heavy, expected 2.00 ± 0.26 …".
    #[must_use]
    pub fn against(mut self, assessment: &Assessment) -> Self {
        let (Some(u), [.., before, weighed]) = (self.standard_uncertainty, assessment.weighings.as_slice())
        else {
            return self;
        };
        let (measured, other) = (weighed.measured.static_moment(), weighed.measured.standard_uncertainty());
        let apart = (measured.si() - self.moment.si()).abs();
        let square = u.si().powi(2) + other.si().powi(2) - 2.0 * common(assessment, before, weighed);
        let both = 2.0 * square.max(0.0).sqrt();
        let word = if apart <= both { "within" } else { "more than" };
        let said = |moment, u: Moment| self.voice.measured_as(moment, u * 2.0);
        self.beside = Some(format!(
            "measured {}, expected {}: {} apart, {word} both uncertainties together ({}, k = 2)",
            said(measured, other),
            said(self.moment, u),
            self.voice.size(Moment::from_si(apart)),
            self.voice.size(Moment::from_si(both)),
        ));
        self
    }
}

/// What a weighing with this set-up should show after the corrections since the last one.
///
/// # Inputs
/// `weighing`: the fields as typed so far, its readings left aside.
/// # Gives
/// none where nothing was corrected since, or where a mass or a station of the record cannot be read.
#[must_use]
pub fn expected(job: &Job, shop: &Shop, weighing: &Fields, system: System) -> Option<Expected> {
    let since = job.weighings.last()?.entry;
    if job.corrections.iter().all(|(entry, _)| *entry <= since) {
        return None;
    }
    let assessment = job.assessment()?.ok()?.in_system(system);
    let brought = job.brought(&assessment, &(since + 1..))?;
    let moment = assessment.last().measured.static_moment() + Moment::from_si(brought.moment_kg_m);
    let u = assessment.last().measured.standard_uncertainty().si();
    let voice = Voice::of(assessment.last(), assessment.sheet.limits.units);
    let reading = method(job, shop, weighing).and_then(|method| {
        reading(&method, moment, assessment.last().measured.standard_uncertainty(), &voice)
    });
    Some(Expected {
        from: assessment.last().measured.static_moment(),
        moment,
        changes: brought.changes.into_iter().map(|(_, words)| words).collect(),
        reading,
        worked: job.works.iter().any(|(entry, _)| *entry > since),
        // Where nobody said how closely a change is known, nothing is said of the sum either.
        standard_uncertainty: brought.known.then(|| Moment::from_si(u.hypot(brought.standard_uncertainty))),
        beside: None,
        voice,
    })
}

/// The method as it is set up; its readings stand for none.
fn method(job: &Job, shop: &Shop, weighing: &Fields) -> Option<Method> {
    let mut fields = weighing.clone();
    let is = |word: &str| matches!(weighing.get("method"), Some(Field::Text(method)) if method == word);
    let one = |text: &str| Field::List(vec![text.to_owned()]);
    for key in weigh::SETS {
        fields.remove(key);
    }
    fields.insert("readings".to_owned(), one(if is("balance beam") { "10 mm" } else { "10 g" }));
    if is("two attitudes") {
        fields.insert("second_readings".to_owned(), one("10 g"));
    }
    let mut sheet = job.sheet()?;
    sheet.add(
        &weigh::without_empty(&fields),
        &weigh::instruments(shop, weighing, None, weigh::Occasion::default()),
    );
    let sheet = JobSheet::parse(&sheet.text().ok()?).ok()?;
    sheet.weighings.last().map(|taken| taken.weighing.method.clone())
}

/// What is to be read at a moment, or why it cannot be.
fn reading(method: &Method, moment: Moment, u: Moment, voice: &Voice) -> Option<String> {
    if let Some(slide) = method.slide_at(moment) {
        let unit = voice.units.length;
        let at = format!("{} {}", significant(slide.abs().in_unit(unit), 3), unit.symbol);
        let side = other_side(method, moment);
        return Some(format!("the sliding mass should then stand at about {at}{side}"));
    }
    let (reading, arm) = (method.reading_at(moment)?, method.bears_at()?.abs());
    // To the first digit of the uncertainty: nobody reads it closer.
    let digits = |mass: Mass| arithmetic::digits_of(mass, u.abs() / arm).saturating_sub(1).max(2);
    let mass = |mass: Mass| voice.mass(mass, digits(mass));
    let lifted = method.reads_load() && method.reading_at(Moment::ZERO).is_some_and(|zero| reading < zero);
    Some(match method {
        Method::SupportScale(_) if lifted => {
            "the surface would lift off this support: weigh it on the other side of the hinge line".to_owned()
        }
        Method::TrailingEdgeScale(_) | Method::TwoAttitudes(_) if lifted => {
            format!("{SLING_ONLY_PULLS}, {}", would_hang(moment, arm, &mass))
        }
        Method::SupportScale(_) => {
            format!("the scale should then read about {}, support included", mass(reading))
        }
        Method::HungWeight(_) => {
            let side = other_side(method, moment);
            format!("it should then be level with about {} hung{side}", mass(reading))
        }
        _ => format!("the scale should then read about {}, sling included", mass(reading)),
    })
}

/// What levels a moment at an arm, and on which side of the hinge line.
fn would_hang(moment: Moment, arm: Length, mass: &dyn Fn(Mass) -> String) -> String {
    let place = if moment < Moment::ZERO { Place::Aft } else { Place::Forward };
    format!("about {} hung {} at the same arm", mass((moment / arm).abs()), place.word())
}

fn other_side(method: &Method, moment: Moment) -> &'static str {
    if method.other_side_at(moment) { " on the other side of the hinge line" } else { "" }
}
