//! How much larger a pattern is made than the cold casting: what is published for lead, which disagrees by a factor of
//! three.
//!
//! Main type: [`Allowance`], its rows by [`allowances`]. The user sets the figure; it is for the size of a pattern, never
//! for mass, which comes from the cold volume. Sources stand in every row. Not covered: other metals.

use crate::Grade;

/// A published figure for the linear contraction of lead from the mould to the cold casting.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Allowance {
    /// The least and the greatest, as a share of the length; both the same where one figure is printed.
    pub shares: [f64; 2],
    /// As the source prints it, or how it is reckoned.
    pub printed: &'static str,
    /// The source.
    pub source: &'static str,
    /// How it came here.
    pub grade: Grade,
    /// What to know about it.
    pub remark: &'static str,
}

/// Inches in a foot.
const FOOT: f64 = 12.0;

const ALLOWANCES: [Allowance; 4] = [
    Allowance {
        shares: [0.0089, 0.0095],
        printed: "α × (327.5 °C − 20 °C), α from 28.9 to about 31 millionths per kelvin",
        source: "thermal contraction of solid lead; expansion from WESTERMANN and others, mean to the melting point from memory",
        grade: Grade::Computed,
        remark: "the solid alone: what physics leaves where mould and feeding do nothing more",
    },
    Allowance {
        shares: [0.01, 0.01],
        printed: "1 %",
        source: "WESTERMANN (Westermann Tables for the Metal Trade)",
        grade: Grade::Seen,
        remark: "the only shop figure that agrees with the contraction of the solid",
    },
    Allowance {
        shares: [7.0 / 32.0 / FOOT, 7.0 / 32.0 / FOOT],
        printed: "7/32 in per ft",
        source: "Dooley, shop tables",
        grade: Grade::Seen,
        remark: "folds in freezing, movement of the mould and rapping of the pattern",
    },
    Allowance {
        shares: [5.0 / 16.0 / FOOT, 5.0 / 16.0 / FOOT],
        printed: "5/16 in per ft",
        source: "tables of shrink rules",
        grade: Grade::Seen,
        remark: "folds in freezing, movement of the mould and rapping of the pattern",
    },
];

/// All figures, from the least to the greatest. They contradict each other: none of them is a recommendation.
#[must_use]
pub fn allowances() -> &'static [Allowance] {
    &ALLOWANCES
}

impl Allowance {
    /// In percent, as printed: "1.82 %" or "0.89 to 0.95 %".
    #[must_use]
    pub fn percent(&self) -> String {
        let [least, most] = self.shares.map(|share| format!("{:.2}", 100.0 * share));
        if least == most { format!("{least} %") } else { format!("{least} to {most} %") }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rules_in_inches_per_foot_are_the_printed_percentages() {
        let percent: Vec<String> = allowances().iter().map(Allowance::percent).collect();
        assert_eq!(percent, ["0.89 to 0.95 %", "1.00 %", "1.82 %", "2.60 %"]);
    }

    #[test]
    fn the_contraction_of_the_solid_is_that_of_its_expansion() {
        // as it is printed, α times the fall of temperature
        let [least, most] = allowances()[0].shares;
        assert!((28.9e-6_f64 * 307.5 - least).abs() < 5e-5);
        assert!((most - 31e-6 * 307.5).abs() < 5e-5);
    }
}
