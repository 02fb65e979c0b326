//! The signatures of a job, the voided ones too, each with what became of it.
//!
//! [`super::job::Job::signed`] holds only what stands; pages and paper also show what was signed before and why it
//! counts no more. Main type: [`Signed`].

use super::deed::{Deed, Signature};
use super::job::{Job, Line};

/// What was signed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Act {
    /// The performer's sign-off.
    SignOff,
    /// The independent inspection.
    Inspection,
}

/// A signature with its entry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Signed {
    /// The number of its entry.
    pub entry: u64,
    /// When.
    pub at: String,
    /// What was signed.
    pub act: Act,
    /// The signature.
    pub signature: Signature,
    /// The entry that took it away; none while it stands.
    pub voided: Option<u64>,
    /// Whether it was the inspector who sent the job back.
    pub sent_back: bool,
}

impl Job {
    /// Every signature in the ledger, in order.
    #[must_use]
    pub fn signatures(&self) -> Vec<Signed> {
        let signed = self.lines.iter().filter_map(|line| {
            let (act, signature) = match &line.deed {
                Deed::SignedOff(signature) => (Act::SignOff, signature),
                Deed::Inspected(signature) => (Act::Inspection, signature),
                _ => return None,
            };
            let later = self.lines.iter().filter(|later| line.number < later.number);
            let voiding = later.into_iter().find(|later| voids(&later.deed, act));
            Some(Signed {
                entry: line.number,
                at: line.at.clone(),
                act,
                signature: signature.clone(),
                voided: voiding.map(|later| later.number),
                sent_back: voiding.is_some_and(|later| matches!(later.deed, Deed::SentBack { .. })),
            })
        });
        signed.collect()
    }

    /// Every time that an inspector sent the job back, in order: the line, and the reason.
    #[must_use]
    pub fn send_backs(&self) -> Vec<(&Line, &str)> {
        let back = self.lines.iter().filter_map(|line| match &line.deed {
            Deed::SentBack { reason } => Some((line, reason.as_str())),
            _ => None,
        });
        back.collect()
    }

    /// The signature of an act that stands.
    #[must_use]
    pub fn standing(&self, act: Act) -> Option<Signed> {
        self.signatures().into_iter().rev().find(|signed| signed.act == act && signed.voided.is_none())
    }
}

/// Whether a later deed takes a signature away.
pub(super) fn voids(deed: &Deed, act: Act) -> bool {
    match deed {
        Deed::Noted { .. } | Deed::Photographed { .. } | Deed::Looked { .. } | Deed::Released { .. } => false,
        Deed::WeightIntended { .. } | Deed::WeightWeighed { .. } | Deed::DrillOutIntended { .. } => false,
        Deed::Inspected(_) => act == Act::Inspection,
        _ => true,
    }
}
