//! Random bits for the Monte Carlo route, several generators side by side so that a processor works on all of
//! them at once.
//!
//! Each lane is xoshiro256+ (Blackman and Vigna, ACM Trans. Math. Softw. 47(4), 2021), the member of its family
//! that is meant for floating point numbers: the lowest bits are weak and the numbers are made of the upper 52.
//! The states come from the seed by SplitMix64 (Steele, Lea and Flood, OOPSLA 2014). Main type: [`Lanes`].

/// How many generators run side by side: one register of the widest processors, two or four of the others. The
/// number is part of the answer, so it is the same on every machine.
pub(crate) const LANES: usize = 8;

/// How many trials are worked on at a time: few enough that all columns of a model stay in the nearest cache.
pub(crate) const BATCH: usize = 256;

/// One number a trial, beginning where a line of the cache does.
#[derive(Debug, Clone, Copy)]
#[repr(align(64))]
pub(crate) struct Column(pub(crate) [f64; BATCH]);

impl Column {
    pub(crate) const ZERO: Self = Self([0.0; BATCH]);
}

/// One word of the state of every lane.
type Words = [u64; LANES];

/// Generators side by side.
#[derive(Debug, Clone)]
pub(crate) struct Lanes {
    s0: Words,
    s1: Words,
    s2: Words,
    /// The published s₃ before the rotation that ends a step: turned at the next step, it keeps its register.
    s3: Words,
}

impl Lanes {
    /// The stream of one input in one lot of trials.
    pub(crate) fn new(seed: u64, lot: usize, input: usize) -> Self {
        let key = mixed(mixed(mixed(seed) ^ lot as u64) ^ input as u64);
        let words = |word: u64| std::array::from_fn(|lane| split_mix(key, word * LANES as u64 + lane as u64));
        Self { s0: words(0), s1: words(1), s2: words(2), s3: words(3) }
    }

    /// The next bits of every lane; the upper 52 are good.
    #[inline(always)]
    pub(crate) fn bits(&mut self) -> Words {
        let mut out = [0; LANES];
        for (lane, out) in out.iter_mut().enumerate() {
            let s3 = self.s3[lane].rotate_left(45);
            *out = self.s0[lane].wrapping_add(s3);
            let shifted = self.s1[lane] << 17;
            self.s2[lane] ^= self.s0[lane];
            self.s3[lane] = s3 ^ self.s1[lane];
            self.s1[lane] ^= self.s2[lane];
            self.s0[lane] ^= self.s3[lane];
            self.s2[lane] ^= shifted;
        }
        out
    }

    /// Fills a column with what `of` makes of the bits.
    #[inline(always)]
    pub(crate) fn fill(&mut self, out: &mut Column, of: impl Fn(u64) -> f64) {
        for chunk in out.0.as_chunks_mut::<LANES>().0 {
            let bits = self.bits();
            for lane in 0..LANES {
                chunk[lane] = of(bits[lane]);
            }
        }
    }

    /// Fills a column with what `of` makes of the bits of two steps.
    #[inline(always)]
    pub(crate) fn fill_from_two(&mut self, out: &mut Column, of: impl Fn(u64, u64) -> f64) {
        for chunk in out.0.as_chunks_mut::<LANES>().0 {
            let (first, second) = (self.bits(), self.bits());
            for lane in 0..LANES {
                chunk[lane] = of(first[lane], second[lane]);
            }
        }
    }

    /// Fills a column with the two numbers that `of` makes of the bits of two steps.
    #[inline(always)]
    pub(crate) fn fill_in_pairs(&mut self, out: &mut Column, of: impl Fn(u64, u64) -> (f64, f64)) {
        for chunk in out.0.as_chunks_mut::<{ 2 * LANES }>().0 {
            let (first, second) = (self.bits(), self.bits());
            for lane in 0..LANES {
                (chunk[lane], chunk[LANES + lane]) = of(first[lane], second[lane]);
            }
        }
    }
}

/// A number of the sequence that SplitMix64 makes from a key, counted from 0.
#[inline]
fn split_mix(key: u64, place: u64) -> u64 {
    mixed(key.wrapping_add((place + 1).wrapping_mul(0x9e37_79b9_7f4a_7c15)))
}

/// The mixing function of SplitMix64: every bit of the answer hangs on every bit of `z`.
#[inline]
fn mixed(z: u64) -> u64 {
    let z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

/// The upper 52 bits as a number between 0 and 1, neither included.
#[inline(always)]
pub(crate) fn unit(bits: u64) -> f64 {
    // As the fraction of a number from 1 to 2; half a step up keeps away from both ends.
    f64::from_bits((bits >> 12) | 1f64.to_bits()) - (1.0 - f64::EPSILON / 2.0)
}

/// The upper 52 bits as a number between −1 and 1, neither included.
#[inline(always)]
pub(crate) fn signed_unit(bits: u64) -> f64 {
    let unit = unit(bits);
    (unit + unit) - 1.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::{Rng, SeedableRng};
    use rand_xoshiro::Xoshiro256Plus;
    use std::collections::BTreeSet;

    #[test]
    fn every_lane_is_the_published_generator() {
        let mut lanes = Lanes::new(3, 1, 4);
        let mut published: Vec<Xoshiro256Plus> = (0..LANES)
            .map(|lane| {
                let words = [lanes.s0[lane], lanes.s1[lane], lanes.s2[lane], lanes.s3[lane].rotate_left(45)];
                let mut seed = [0; 32];
                for (bytes, word) in seed.as_chunks_mut::<8>().0.iter_mut().zip(words) {
                    *bytes = word.to_le_bytes();
                }
                Xoshiro256Plus::from_seed(seed)
            })
            .collect();
        for _ in 0..1000 {
            let bits = lanes.bits();
            let expected: Vec<u64> = published.iter_mut().map(Rng::next_u64).collect();
            assert_eq!(bits.as_slice(), expected);
        }
    }

    #[test]
    fn streams_differ_by_seed_lot_and_input() {
        let keys = (0..4u64)
            .flat_map(|seed| (0..50).flat_map(move |lot| (0..20).map(move |input| (seed, lot, input))));
        let words: Vec<u64> =
            keys.flat_map(|(seed, lot, input)| Lanes::new(seed, lot, input).bits()).collect();
        let distinct: BTreeSet<&u64> = words.iter().collect();
        assert_eq!(distinct.len(), words.len());
    }

    #[test]
    fn numbers_stay_off_the_ends() {
        for bits in [0, u64::MAX] {
            assert!(unit(bits) > 0.0 && unit(bits) < 1.0);
            assert!(signed_unit(bits).abs() < 1.0);
        }
        assert!((unit(1 << 63) - 0.5).abs() < 1e-15);
        assert!(signed_unit(1 << 63).abs() < 1e-15);
        assert!((signed_unit(0) + signed_unit(u64::MAX)).abs() < 1e-300, "as far below as above");
    }
}
