//! What two weighings do not know alike: the certificates of the instruments that both used.
//!
//! Main function: [`common`]. Cov(S₁, S₂) = Σ c₁u × c₂u over scale, rule and level that both used under one certificate,
//! whose error is taken for the same at both; so that u²(S₂ − S₁) = u²(S₁) + u²(S₂) − 2 Cov. Weighed at one arm on one
//! scale its certificate drops out; read in opposite senses it counts twice. Source: \[GUM\] F.1.2.3. Not covered: what
//! else may be alike, as a chord that is not level, and the scale that a balance weight lay on.

use crate::job_sheet::{Instrument, InstrumentKind};
use crate::{Assessment, Weighed};
use hingeline_balance::Source;

/// The covariance of two static moments, kg² m².
pub(super) fn common(assessment: &Assessment, one: &Weighed, other: &Weighed) -> f64 {
    let kinds = [Kind::Scale, Kind::Rule, Kind::Level];
    let used = |weighed: &Weighed, kind: Kind| -> Option<&Instrument> {
        let all = weighed.taken.instruments.iter().filter_map(|&at| assessment.sheet.instruments.get(at));
        let mut of_kind = all.filter(|instrument| Kind::of(instrument) == kind);
        // Of two scales in one weighing nobody can tell whose certificate a share is.
        of_kind.next().filter(|_| of_kind.next().is_none())
    };
    let shared = kinds.into_iter().filter(|kind| match (used(one, *kind), used(other, *kind)) {
        (Some(one), Some(other)) => is_same(one, other),
        _ => false,
    });
    shared.map(|kind| kind.share(one) * kind.share(other)).sum()
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Scale,
    Rule,
    Level,
}

impl Kind {
    fn of(instrument: &Instrument) -> Self {
        match instrument.kind {
            InstrumentKind::Scale(..) => Self::Scale,
            InstrumentKind::Rule(_) => Self::Rule,
            InstrumentKind::Level(_) => Self::Level,
        }
    }
    /// What the certificate brings to the uncertainty of a moment, with the sign of its sensitivity, kg m.
    fn share(self, weighed: &Weighed) -> f64 {
        let measured = &weighed.measured;
        let inputs = measured.model.inputs.iter().zip(&measured.propagated.shares);
        let of_certificate = inputs.filter(|(input, _)| match self {
            Self::Scale => input.source == Source::ScaleCalibration,
            Self::Rule => input.source == Source::RuleCalibration,
            Self::Level => input.source == Source::LevelTool && input.name.ends_with("certificate"),
        });
        of_certificate.map(|(_, share)| share.standard_uncertainty.copysign(share.sensitivity)).sum()
    }
}

/// One instrument under one certificate, whatever else of it was entered anew in between: then it has its id and the count
/// of its states. Without a certificate to tell by, "S/1" and "S/2" may be two scales of the shop.
fn is_same(one: &Instrument, other: &Instrument) -> bool {
    let base = |instrument: &Instrument| {
        let id = instrument.id.as_str();
        id.rsplit_once('/')
            .filter(|(_, state)| state.parse::<u32>().is_ok())
            .map_or(id, |(base, _)| base)
            .to_owned()
    };
    let is_one = one.id == other.id || (one.certificate.is_some() && base(one) == base(other));
    is_one && one.certificate == other.certificate && one.calibration == other.calibration
}
