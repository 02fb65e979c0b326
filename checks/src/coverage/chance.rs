//! Where the simulated bench takes its luck from: uniform, log-uniform and normal numbers, coins and choices.
//!
//! Normal numbers come from the polar method of Marsaglia and Bray (SIAM Review 6, 1964), so that nothing is
//! shared with the draws of the product. Main type: [`Chance`].

use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

/// A stream of random numbers.
pub(super) struct Chance {
    random: Xoshiro256PlusPlus,
    spare: Option<f64>,
}

impl Chance {
    /// The stream of one lot of benches: a seed, the number of the row of the table, the number of the lot.
    pub(super) fn new(seed: u64, row: u64, lot: u64) -> Self {
        let key = mixed(mixed(mixed(seed) ^ row) ^ lot);
        Self { random: Xoshiro256PlusPlus::seed_from_u64(key), spare: None }
    }

    /// Anywhere from `low` to `high`.
    pub(super) fn uniform(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.random.random::<f64>()
    }

    /// Anywhere within ± `bound`.
    pub(super) fn within(&mut self, bound: f64) -> f64 {
        self.uniform(-bound, bound)
    }

    /// From `low` to `high`, every octave equally likely.
    pub(super) fn octaves(&mut self, low: f64, high: f64) -> f64 {
        self.uniform(low.ln(), high.ln()).exp()
    }

    /// Heads or tails.
    pub(super) fn coin(&mut self) -> bool {
        self.random.random::<bool>()
    }

    /// +1 or −1.
    pub(super) fn sign(&mut self) -> f64 {
        if self.coin() { 1.0 } else { -1.0 }
    }

    /// A whole number from `low` to `high`.
    pub(super) fn count(&mut self, low: usize, high: usize) -> usize {
        self.random.random_range(low..=high)
    }

    /// One of several.
    pub(super) fn one_of<T: Copy>(&mut self, choices: &[T]) -> T {
        choices[self.count(0, choices.len() - 1)]
    }

    /// Normal about zero.
    pub(super) fn normal(&mut self, sigma: f64) -> f64 {
        if let Some(spare) = self.spare.take() {
            return sigma * spare;
        }
        loop {
            let (x, y) = (self.within(1.0), self.within(1.0));
            let square = x * x + y * y;
            if square > 0.0 && square < 1.0 {
                let factor = (-2.0 * square.ln() / square).sqrt();
                self.spare = Some(y * factor);
                return sigma * x * factor;
            }
        }
    }
}

/// Spreads every bit over all others, one to one (the finisher of MurmurHash3).
fn mixed(z: u64) -> u64 {
    let z = (z ^ (z >> 33)).wrapping_mul(0xff51_afd7_ed55_8ccd);
    let z = (z ^ (z >> 33)).wrapping_mul(0xc4ce_b9fe_1a85_ec53);
    z ^ (z >> 33)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn normal_numbers_have_the_moments_of_the_normal_distribution() {
        let mut chance = Chance::new(1, 2, 3);
        let draws: Vec<f64> = (0..200_000).map(|_| chance.normal(2.0)).collect();
        let moment = |power: i32| draws.iter().map(|x| (x / 2.0).powi(power)).sum::<f64>() / 200_000.0;
        // Standard deviations of these means: 0.0022, 0.0032, 0.022.
        assert!(moment(1).abs() < 0.009);
        assert!((moment(2) - 1.0).abs() < 0.013);
        assert!((moment(4) - 3.0).abs() < 0.09);
    }

    #[test]
    fn streams_differ_by_seed_row_and_lot() {
        let first = |seed, row, lot| Chance::new(seed, row, lot).uniform(0.0, 1.0).to_bits();
        let all = [first(1, 0, 0), first(2, 0, 0), first(1, 1, 0), first(1, 0, 1), first(1, 1, 1)];
        let distinct: std::collections::BTreeSet<u64> = all.into_iter().collect();
        assert_eq!(distinct.len(), all.len());
        assert_eq!(first(1, 0, 0), first(1, 0, 0));
    }
}
