//! Two exact order statistics of many values, of which only those near and beyond the two are kept.
//!
//! A pilot sample tells from where to where nothing need be kept ([`Gap`]); [`Ranks`] says which values are
//! wanted and finds them among those that were kept. Where the pilot misled and a wanted value was not kept,
//! [`Ranks::find`] gives nothing, and all values must be kept instead.
//! Source: JCGM 101:2008 7.7.2, from memory (which values the ends of the probabilistically symmetric interval are: with q
//! covered of M, the r-th and the (r + q)-th, r = (M − q)/2, and where that is no whole number the whole part of (M − q + 1)/2).

use crate::lanes::Column;
use multiversion::multiversion;

/// The places, from 0, that the two ends of the interval have among the sorted values.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Ranks {
    low: usize,
    high: usize,
    trials: usize,
}

/// Values between these two are not kept.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Gap {
    from: f64,
    to: f64,
}

/// The pilot leaves the ends of the interval this many standard deviations of its own noise.
const MARGIN: f64 = 6.0;

impl Gap {
    /// Everything is kept.
    pub(crate) const NONE: Self = Self { from: f64::INFINITY, to: f64::NEG_INFINITY };

    /// A gap that leaves both wanted values outside, as far as a pilot sample can tell.
    #[allow(clippy::cast_precision_loss, reason = "trial counts are far below 2^53")]
    pub(crate) fn after(mut pilot: Vec<f64>, ranks: &Ranks) -> Self {
        pilot.sort_unstable_by(f64::total_cmp);
        let beyond = |outside: usize| {
            let share = outside as f64 / ranks.trials as f64;
            let expected = share * pilot.len() as f64;
            expected + MARGIN * (expected * (1.0 - share)).sqrt() + MARGIN
        };
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a share of a length")]
        let (below, above) = (beyond(ranks.low) as usize, beyond(ranks.trials - 1 - ranks.high) as usize);
        let from = pilot.get(below).copied();
        let to = pilot.len().checked_sub(above + 1).map(|place| pilot[place]);
        Self { from: from.unwrap_or(Self::NONE.from), to: to.unwrap_or(Self::NONE.to) }
    }

    /// Adds those of the first `count` values that do not lie in the gap.
    pub(crate) fn keep(&self, values: &Column, count: usize, kept: &mut Vec<f64>) {
        let mut room = Column::ZERO;
        let found = outside(*self, &values.0[..count], &mut room);
        kept.extend_from_slice(&room.0[..found]);
    }
}

/// Writes the values outside the gap one after the other, and says how many they are. Every value is written,
/// and the place moves on only after those that are wanted: no branch to guess wrong.
#[multiversion(targets = "simd")]
fn outside(gap: Gap, values: &[f64], room: &mut Column) -> usize {
    let mut place = 0;
    for &value in values {
        room.0[place] = value;
        // Not the same as value ≤ from or value ≥ to: what is not a number is kept.
        place += usize::from(!(gap.from < value && value < gap.to));
    }
    place
}

impl Ranks {
    /// The ends of the probabilistically symmetric interval that covers this share of so many trials.
    pub(crate) fn new(trials: usize, coverage: f64) -> Self {
        #[allow(clippy::cast_precision_loss, reason = "trial counts are far below 2^53")]
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a share of a length")]
        let covered = (coverage * trials as f64 + 0.5).floor() as usize;
        let below = trials.saturating_sub(covered).div_ceil(2).max(1);
        Self { low: below - 1, high: (below + covered).max(1).min(trials) - 1, trials }
    }

    /// The values at both ranks, from those that were kept of all; none where they are not among them.
    ///
    /// The order of the kept values changes.
    pub(crate) fn find(&self, gap: &Gap, kept: &mut [f64]) -> Option<(f64, f64)> {
        let from_top = self.trials - self.high;
        let high = kept.len().checked_sub(from_top)?;
        if kept.len() < self.trials {
            // Only what lies at the lower side of the gap stands at its own place from below.
            let below = kept.iter().filter(|value| value.total_cmp(&gap.from).is_le()).count();
            if below <= self.low || high < below {
                return None;
            }
        }
        let low = *kept.select_nth_unstable_by(self.low, f64::total_cmp).1;
        let above = &mut kept[self.low..];
        let high = *above.select_nth_unstable_by(high - self.low, f64::total_cmp).1;
        Some((low, high))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lanes::BATCH;

    fn kept_of(values: &[f64], gap: &Gap) -> Vec<f64> {
        let mut kept = Vec::new();
        for batch in values.chunks(BATCH) {
            let mut column = Column::ZERO;
            column.0[..batch.len()].copy_from_slice(batch);
            gap.keep(&column, batch.len(), &mut kept);
        }
        kept
    }

    /// 1 to 10000, well shuffled.
    fn shuffled() -> Vec<f64> {
        (0..10_000u32).map(|index| f64::from(index * 4241 % 10_000 + 1)).collect()
    }

    #[test]
    fn the_interval_of_a_known_list() {
        let ranks = Ranks::new(1000, 0.95);
        let mut values: Vec<f64> = (1..=1000).rev().map(f64::from).collect();
        assert_eq!(ranks.find(&Gap::NONE, &mut values), Some((25.0, 975.0)));
    }

    #[test]
    fn an_odd_number_outside_leaves_the_larger_half_below() {
        // 941 of 990 are covered and 49 not: r is the whole part of (49 + 1)/2.
        let mut values: Vec<f64> = (1..=990).map(f64::from).collect();
        assert_eq!(Ranks::new(990, 0.95).find(&Gap::NONE, &mut values), Some((25.0, 966.0)));
    }

    #[test]
    fn what_is_kept_is_enough_and_the_ends_are_exact() {
        let values = shuffled();
        let ranks = Ranks::new(values.len(), 0.95);
        let gap = Gap::after(values[..2000].to_vec(), &ranks);
        let mut kept = kept_of(&values, &gap);
        assert!(kept.len() < 1500, "{}", kept.len());
        assert_eq!(ranks.find(&gap, &mut kept), Some((250.0, 9750.0)));
    }

    #[test]
    fn too_wide_a_gap_is_noticed() {
        let values = shuffled();
        let ranks = Ranks::new(values.len(), 0.95);
        for gap in [Gap { from: 249.0, to: 9000.0 }, Gap { from: 1000.0, to: 9751.0 }] {
            assert_eq!(ranks.find(&gap, &mut kept_of(&values, &gap)), None);
        }
        let just = Gap { from: 250.0, to: 9750.0 };
        assert_eq!(ranks.find(&just, &mut kept_of(&values, &just)), Some((250.0, 9750.0)));
    }

    #[test]
    fn equal_values_and_small_pilots_keep_everything() {
        let ranks = Ranks::new(1000, 0.95);
        let gap = Gap::after(vec![3.0; 1000], &ranks);
        assert_eq!(kept_of(&[3.0; 1000], &gap).len(), 1000);
        assert_eq!(Gap::after(vec![1.0, 2.0, 3.0], &ranks), Gap::NONE);
    }

    #[test]
    fn what_is_no_number_counts_as_the_highest() {
        let mut values = shuffled();
        values[17] = f64::NAN;
        let ranks = Ranks::new(values.len(), 0.95);
        let gap = Gap::after(shuffled(), &ranks);
        let ends = ranks.find(&gap, &mut kept_of(&values, &gap));
        values.sort_by(f64::total_cmp);
        assert_eq!(ends, Some((values[249], values[9749])));
    }
}
