//! What corrections brought to the static moment, and how closely that is known.
//!
//! Main type: [`Brought`], by [`Job::brought`]. A correction that fitted a weight or drilled an old one out brings what
//! its sheet says, any other its mass × the arm of its station. Pieces of one weight share its design and its scale, so
//! their uncertainties add up and do not average out; lots of holes are taken as independent, each by the bound that was
//! stated of its own mass. Not covered: paint and repairs, whose mass nobody typed; a scale or a certificate that two
//! weights, or two lots of holes, have in common.

use super::deed::Deed;
use super::job::{Job, Refusal};
use super::weight::BalanceWeight;
use crate::Assessment;
use crate::weight::fitted::FittedMoment;
use hingeline_quantity::{Entered, Mass, Quantity};
use std::ops::RangeBounds;

/// What corrections brought together.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Brought {
    /// kg m, positive tail-heavy.
    pub(super) moment_kg_m: f64,
    /// Of what somebody stated, kg m.
    pub(super) standard_uncertainty: f64,
    /// Whether somebody stated how closely each of them is known.
    pub(super) known: bool,
    /// The entries, each in words: "0.58 lb added at horn weight".
    pub(super) changes: Vec<(u64, String)>,
}

impl Job {
    /// What the corrections of these entries brought together; none where a mass, a station or a sheet of the record
    /// cannot be read.
    pub(super) fn brought(
        &self,
        assessment: &Assessment,
        entries: &impl RangeBounds<u64>,
    ) -> Option<Brought> {
        let (mut pieces, mut changes) = (Vec::new(), Vec::new());
        for (entry, [station, action, mass, _]) in
            self.corrections.iter().filter(|(entry, _)| entries.contains(entry))
        {
            let gives = match self.fitted_by(*entry) {
                Some(gives) => gives,
                // What its sheet cannot say any more is not guessed by the arm of the station.
                None if self.has_sheet(*entry) => return None,
                None => at_station(assessment, station, action, mass)?,
            };
            pieces.push((*entry, gives));
            let done = if action == "remove" { "taken away" } else { "added" };
            changes.push((*entry, format!("{mass} {done} at {station}")));
        }
        Some(Brought {
            moment_kg_m: pieces.iter().map(|(_, gives)| gives.moment_kg_m).sum(),
            standard_uncertainty: self.uncertainty(&pieces),
            known: pieces.iter().all(|(_, gives)| 0.0 < gives.standard_uncertainty),
            changes,
        })
    }

    /// What a correction brought, where it fitted a weight or drilled one out: by the arm of that weight, or of the
    /// holes, and not of the station.
    #[must_use]
    pub fn fitted_by(&self, correction: u64) -> Option<FittedMoment> {
        let weights = self.weights();
        let fitted = weights.iter().find_map(|weight| {
            Some((weight, weight.fitted.iter().find(|piece| piece.correction == correction)?))
        });
        match fitted {
            Some((weight, piece)) => {
                let worked = weight.worked().ok()?;
                piece.gives(&worked)
            }
            None => self.drilled_by(correction),
        }
    }

    /// Whether a correction fitted a weight or drilled one out, so that a sheet says what it brings.
    #[must_use]
    pub fn has_sheet(&self, correction: u64) -> bool {
        !self.linked_to(correction).is_empty()
    }

    /// The entries that link a correction to a weight, or to holes in an old one.
    fn linked_to(&self, correction: u64) -> Vec<u64> {
        let (weights, drill_outs) = (self.weights(), self.drill_outs());
        let fitted = weights.iter().flat_map(|weight| &weight.fitted);
        let drilled = drill_outs.iter().flat_map(|meant| &meant.done);
        let fitted = fitted.map(|piece| (piece.entry, piece.correction));
        let links = fitted.chain(drilled.map(|holes| (holes.entry, holes.correction)));
        links.filter(|(_, known)| *known == correction).map(|(entry, _)| entry).collect()
    }

    /// A weight that was fitted stands for one correction that added mass, one that was drilled out for one that took
    /// mass away. `mended`: the entry in whose place the deed comes.
    pub(super) fn may_link(&self, deed: &Deed, mended: Option<u64>) -> Result<(), Refusal> {
        let (correction, wanted, what) = match deed {
            Deed::WeightFitted { correction, .. } => (*correction, "add", "added the piece"),
            Deed::DrilledOut { correction, .. } => (*correction, "remove", "took the mass of the holes away"),
            _ => return Ok(()),
        };
        let is_it = |(entry, [_, action, ..]): &(u64, [String; 4])| *entry == correction && action == wanted;
        if !self.corrections.iter().any(is_it) {
            let what = format!("enter the correction that {what}; entry {correction} is none");
            return Err(Refusal::Missing { what });
        }
        if self.linked_to(correction).into_iter().any(|entry| Some(entry) != mended) {
            return Err(Refusal::Done { what: "the correction belongs to a weight" });
        }
        Ok(())
    }

    /// The standard uncertainty of what some corrections brought together, kg m.
    pub(super) fn uncertainty(&self, pieces: &[(u64, FittedMoment)]) -> f64 {
        let weights = self.weights();
        let weight_of = |correction: u64| {
            let is_of =
                |weight: &&BalanceWeight| weight.fitted.iter().any(|piece| piece.correction == correction);
            weights.iter().find(is_of).map(|weight| weight.entry)
        };
        let mut sums: Vec<(Option<u64>, f64)> = Vec::new();
        for (correction, gives) in pieces {
            let weight = weight_of(*correction);
            match sums.iter_mut().find(|(known, _)| weight.is_some() && *known == weight) {
                Some((_, sum)) => *sum += gives.standard_uncertainty,
                None => sums.push((weight, gives.standard_uncertainty)),
            }
        }
        sums.iter().map(|(_, u)| *u).fold(0.0, f64::hypot)
    }
}

/// What a mass brought at the arm of its station; how closely mass and arm are known nobody stated.
fn at_station(assessment: &Assessment, station: &str, action: &str, mass: &str) -> Option<FittedMoment> {
    let arm = assessment.sheet.stations.iter().find(|known| known.name == station)?.station.arm;
    let moment_kg_m = (Entered::<Mass>::parse(mass).ok()?.value * arm).si();
    let sign = if action == "remove" { -1.0 } else { 1.0 };
    Some(FittedMoment { moment_kg_m: sign * moment_kg_m, arm_m: arm.si(), standard_uncertainty: 0.0 })
}
