//! How a verdict is marked, the same on every page, list, chart and sheet.
//!
//! Main type: [`Mark`]; of a weighing at hand by [`mark`], of one that a list holds by [`Recorded::mark`]. Good is only
//! what lies within beyond doubt and is valid for release: a reading that its method cannot give, friction that hides the
//! verdict, or an uncertainty that nobody knows, leaves a doubt as scatter does. A mark is never colour alone: words stand beside it.

use crate::Weighed;
use crate::result::verdict_word;
use crate::words;
use hingeline_balance::{Doubt, Verdict};
use hingeline_quantity::Moment;

/// How a verdict is marked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// Within beyond doubt, and valid for release.
    Good,
    /// Calculated, and within: no weighing, however well it comes out.
    Plain,
    /// Within, but to be looked at.
    Doubt,
    /// Outside.
    Bad,
}

/// A verdict as the record holds it.
#[derive(Debug, Clone, Copy)]
pub struct Recorded<'a> {
    /// "within" or "outside".
    pub verdict: &'a str,
    /// One of the words of [`doubt`].
    pub doubt: &'a str,
    /// Whether it is valid for release.
    pub valid: bool,
    /// Whether it was calculated from a list of parts, and not weighed.
    pub calculated: bool,
}

/// The mark of a weighing.
#[must_use]
pub fn mark(weighed: &Weighed) -> Mark {
    Recorded {
        verdict: verdict_word(weighed.judgement.verdict),
        doubt: doubt(weighed),
        valid: weighed.reasons.is_empty(),
        calculated: words::calculated(weighed),
    }
    .mark()
}

/// The doubt of a weighing in a word or two, for the record: "clear" where there is none.
#[must_use]
pub fn doubt(weighed: &Weighed) -> &'static str {
    if weighed.measured.expanded_uncertainty() <= Moment::ZERO {
        return "no uncertainty is stated";
    }
    if words::below_sling(&weighed.taken.weighing.method) {
        return "this cannot be read so";
    }
    if words::friction_beyond_margin(weighed).is_some() {
        return "friction hides it";
    }
    match weighed.judgement.doubt {
        Doubt::Clear => CLEAR,
        Doubt::Doubtful => DOUBTFUL,
    }
}

/// The word for no doubt.
pub(crate) const CLEAR: &str = "clear";
/// The word for a doubt that comes of the uncertainty.
pub(crate) const DOUBTFUL: &str = "doubtful";

impl Recorded<'_> {
    /// Its mark.
    #[must_use]
    pub fn mark(&self) -> Mark {
        if self.verdict != verdict_word(Verdict::Within) {
            return Mark::Bad;
        }
        match (self.calculated, self.valid) {
            (_, false) => Mark::Doubt,
            (true, true) => Mark::Plain,
            (false, true) if self.doubt == CLEAR => Mark::Good,
            (false, true) => Mark::Doubt,
        }
    }
    /// In words: "calculated, within, doubtful".
    #[must_use]
    pub fn words(&self) -> String {
        let mut words = Vec::new();
        words.extend(self.calculated.then_some("calculated"));
        words.push(self.verdict);
        words.extend((self.doubt != CLEAR && !self.doubt.is_empty()).then_some(self.doubt));
        words.join(", ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn recorded<'a>(verdict: &'a str, doubt: &'a str) -> Recorded<'a> {
        Recorded { verdict, doubt, valid: true, calculated: false }
    }

    #[test]
    fn good_is_only_what_lies_within_beyond_doubt_and_is_valid() {
        assert_eq!(recorded("within", "clear").mark(), Mark::Good);
        for doubt in ["doubtful", "friction hides it", "no uncertainty is stated"] {
            assert_eq!(recorded("within", doubt).mark(), Mark::Doubt, "{doubt}");
        }
        assert_eq!(recorded("outside", "clear").mark(), Mark::Bad);
        let not_valid = Recorded { valid: false, ..recorded("within", "clear") };
        assert_eq!(not_valid.mark(), Mark::Doubt);
    }

    #[test]
    fn a_calculation_is_never_good() {
        let calculated = Recorded { calculated: true, ..recorded("within", "clear") };
        assert_eq!((calculated.mark(), calculated.words().as_str()), (Mark::Plain, "calculated, within"));
        assert_eq!(Recorded { valid: false, ..calculated }.mark(), Mark::Doubt);
        let outside = Recorded { verdict: "outside", doubt: "doubtful", ..calculated };
        assert_eq!((outside.mark(), outside.words().as_str()), (Mark::Bad, "calculated, outside, doubtful"));
    }
}
