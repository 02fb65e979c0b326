//! What a weight, or holes in one, were to do to the surface, beside what the surface weighed after that.
//!
//! Main type: [`Compared`]: S after = S as weighed before + what all corrections in between bring (`brought`). What both
//! weighings do not know alike is told by `common`. Not covered: paint and repairs in between, whose mass nobody typed.

use super::common::common;
use super::job::Job;
use super::weight::{BalanceWeight, Fitted};
use crate::Weighed;
use crate::weight::fitted::FittedMoment;
use crate::words::Voice;
use hingeline_quantity::{Moment, Quantity};

impl Job {
    /// A weight's prediction beside what the surface weighed; none before it is fitted, or without a weighing before.
    #[must_use]
    pub fn compared(&self, weight: &BalanceWeight) -> Option<Compared> {
        let worked = weight.fitted.first().and_then(|_| weight.worked().ok())?;
        let gives = |piece: &Fitted| Some((piece.correction, piece.gives(&worked)?));
        self.compared_with(Made::Fitted, &weight.fitted.iter().map(gives).collect::<Option<Vec<_>>>()?)
    }

    /// What some corrections were to bring, beside what the surface weighed after them.
    pub(super) fn compared_with(&self, made: Made, pieces: &[(u64, FittedMoment)]) -> Option<Compared> {
        let (first, last) = (pieces.first()?.0, pieces.last()?.0);
        let assessment = self.assessment()?.ok()?;
        let entries = self.weighings.iter().map(|weighing| weighing.entry);
        let weighings: Vec<(u64, &Weighed)> = entries.zip(&assessment.weighings).collect();
        let (from, before) = *weighings.iter().rfind(|(entry, _)| *entry < first)?;
        let after = weighings.iter().find(|(entry, _)| last < *entry).copied();
        let to = after.map_or(u64::MAX, |(entry, _)| entry);
        let between = from + 1..to;
        let brought = self.brought(&assessment, &between)?;
        let others = brought.changes.into_iter();
        let others = others.filter(|(entry, _)| pieces.iter().all(|(correction, _)| correction != entry));
        let before_it = Sure::of(before);
        Some(Compared {
            made,
            from,
            before: before_it,
            gives: Sure::new(
                pieces.iter().map(|(_, gives)| gives.moment_kg_m).sum(),
                self.uncertainty(pieces),
            ),
            known: brought.known,
            others: others.map(|(_, words)| words).collect(),
            predicted: Sure::new(
                before_it.moment_kg_m + brought.moment_kg_m,
                before_it.standard_uncertainty.hypot(brought.standard_uncertainty),
            ),
            weighed: after.map(|(entry, weighed)| (entry, Sure::of(weighed))),
            worked: self.works.iter().any(|(entry, _)| between.contains(entry)),
            common: after.map_or(0.0, |(_, weighed)| common(&assessment, before, weighed)),
            few: std::iter::once(before).chain(after.map(|(_, weighed)| weighed)).any(is_wider),
            units: assessment.sheet.limits.units,
        })
    }
}

/// A moment with its standard uncertainty, kg m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sure {
    /// Positive tail-heavy.
    pub moment_kg_m: f64,
    /// Standard.
    pub standard_uncertainty: f64,
}

impl Sure {
    fn new(moment_kg_m: f64, standard_uncertainty: f64) -> Self {
        Self { moment_kg_m, standard_uncertainty }
    }
    fn of(weighed: &Weighed) -> Self {
        let measured = &weighed.measured;
        Self::new(measured.static_moment().si(), measured.standard_uncertainty().si())
    }
    fn words(self, units: crate::job_sheet::Units) -> String {
        let (moment, expanded) =
            (Moment::from_si(self.moment_kg_m), Moment::from_si(2.0 * self.standard_uncertainty));
        Voice::with(moment, expanded, units).measured_as(moment, expanded)
    }
}

/// What was made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Made {
    /// A piece was fitted.
    Fitted,
    /// Holes were drilled.
    Drilled,
}

impl Made {
    /// What it was made of, and what was done, in words.
    #[must_use]
    pub fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Fitted => ("balance weight", "fitted"),
            Self::Drilled => ("old weight", "drilled out"),
        }
    }
}

/// What a weight, or holes in one, was to do to the surface, beside what the surface weighed.
#[derive(Debug, Clone)]
pub struct Compared {
    /// What was made.
    pub made: Made,
    /// The weighing before it.
    pub from: u64,
    /// What that measured.
    pub before: Sure,
    /// What the fitted pieces give, or the holes bring.
    pub gives: Sure,
    /// Other corrections in between.
    pub others: Vec<String>,
    /// What was to be expected.
    pub predicted: Sure,
    /// The first weighing after it, and what that measured.
    pub weighed: Option<(u64, Sure)>,
    /// Whether other work came in between.
    pub worked: bool,
    /// Whether somebody said how closely everything is known that the prediction adds up.
    known: bool,
    /// The covariance of the two weighings, kg² m².
    common: f64,
    /// Whether one of the weighings states more than twice its standard uncertainty.
    few: bool,
    units: crate::job_sheet::Units,
}

/// Whether a weighing states more than twice its standard uncertainty, as one of few readings does.
fn is_wider(weighed: &Weighed) -> bool {
    let measured = &weighed.measured;
    2.1 * measured.standard_uncertainty().si() < measured.expanded_uncertainty().si()
}

/// Why a comparison shows another ± than the weighing itself.
const TWICE: &str = "every ± here is twice the standard uncertainty (k = 2); the weighing itself states a wider one, because \
    few readings need a larger k";

impl Compared {
    /// Weighed less predicted; none before it is weighed.
    #[must_use]
    pub fn difference(&self) -> Option<Sure> {
        let (_, weighed) = self.weighed?;
        let square = weighed.standard_uncertainty.powi(2) + self.predicted.standard_uncertainty.powi(2);
        let u = (square - 2.0 * self.common).max(0.0).sqrt();
        Some(Sure::new(weighed.moment_kg_m - self.predicted.moment_kg_m, u))
    }
    /// Whether the two uncertainties (k = 2) explain the difference; none before it is weighed, and where an uncertainty
    /// that nobody stated may be what the known ones do not explain.
    #[must_use]
    pub fn explained(&self) -> Option<bool> {
        let difference = self.difference()?;
        let explained = difference.moment_kg_m.abs() <= 2.0 * difference.standard_uncertainty;
        (explained || self.known).then_some(explained)
    }
    /// What the ± of the prediction holds: "k = 2", and whether something is left out of it.
    #[must_use]
    pub fn holds(&self) -> &'static str {
        if self.known { "k = 2" } else { "k = 2, without what nobody stated" }
    }
    /// What was predicted: "2.05 ± 0.20 in-lb nose-heavy".
    #[must_use]
    pub fn predicted_words(&self) -> String {
        self.predicted.words(self.units)
    }
    /// What was weighed.
    #[must_use]
    pub fn weighed_words(&self) -> Option<String> {
        self.weighed.map(|(_, weighed)| weighed.words(self.units))
    }
    /// The difference in words: "0.06 ± 0.24 in-lb towards tail-heavy".
    #[must_use]
    pub fn difference_words(&self) -> Option<String> {
        let difference = self.difference()?;
        let (moment, expanded) =
            (Moment::from_si(difference.moment_kg_m), Moment::from_si(2.0 * difference.standard_uncertainty));
        let voice = Voice::with(moment, expanded, self.units);
        let side = if difference.moment_kg_m < 0.0 { "nose-heavy" } else { "tail-heavy" };
        Some(format!("{} ± {} towards {side}", voice.number(moment.abs()), voice.size(expanded)))
    }
    /// What the fitted pieces give: without a number for an uncertainty that nobody stated.
    fn gives_words(&self) -> String {
        if 0.0 < self.gives.standard_uncertainty {
            return self.gives.words(self.units);
        }
        let moment = Moment::from_si(self.gives.moment_kg_m);
        let places = hingeline_quantity::places(moment.in_unit(self.units.moment), 4).min(6);
        format!("{}, its uncertainty not known", Voice { units: self.units, places }.moment(moment))
    }
    /// The sum behind the prediction, one line each.
    #[must_use]
    pub fn sum(&self) -> Vec<String> {
        let mut lines = vec![
            format!("as weighed before, entry {}: {}", self.from, self.before.words(self.units)),
            match self.made {
                Made::Fitted => format!("the weight as fitted gives {}", self.gives_words()),
                Made::Drilled => format!("what the holes took away brings {}", self.gives_words()),
            },
        ];
        lines.extend(self.others.iter().map(|other| format!("also {other}")));
        lines.push(format!("predicted: {} ({})", self.predicted_words(), self.holds()));
        if let Some(((entry, _), weighed)) = self.weighed.zip(self.weighed_words()) {
            lines.push(format!("weighed, entry {entry}: {weighed} (k = 2)"));
        }
        lines.extend(self.difference_words().map(|words| format!("difference: {words} ({})", self.holds())));
        lines.extend(self.few.then(|| TWICE.to_owned()));
        lines
    }
    /// What the difference means.
    #[must_use]
    pub fn meaning(&self) -> Option<&'static str> {
        if let (Some(false), false, Made::Drilled) = (self.explained(), self.worked, self.made) {
            return Some(
                "The two differ by more than their uncertainties. Look at the mass that went, the place of the holes, and \
                 what else was changed in between.",
            );
        }
        self.weighed?;
        let Some(explained) = self.explained() else {
            return Some(
                "The two differ by more than what is known of their uncertainties; how closely one of the changes is known \
                 nobody stated, so this says little.",
            );
        };
        Some(match (explained, self.worked) {
            (true, false) => "The two agree within their uncertainties.",
            (true, true) => "The two agree, though other work was done in between.",
            (false, true) => {
                "The two differ by more than their uncertainties; other work was done in between."
            }
            (false, false) => {
                "The two differ by more than their uncertainties. Look at the mass of the fitted piece, its place, \
                 and paint or screws that the design does not have."
            }
        })
    }
}
