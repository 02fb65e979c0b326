//! The second route: propagation of distributions by Monte Carlo.
//!
//! Draws all inputs, works the expression out for each trial, and reads mean, standard deviation and the
//! probabilistically symmetric interval off the sorted values. Each block of trials has its own random stream
//! made from the seed, so that the answer does not depend on the number of threads. Main type: [`Draws`].
//! Source: JCGM 101:2008 5.9 and 7 (procedure), 7.7 (interval).

use crate::bell::Bell;
use crate::expression::Scratch;
use crate::model::{Model, Spread};
use crate::student::LEVEL;
use rand::{Rng, RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;
use rayon::prelude::*;
use std::f64::consts::PI;

/// The coverage probability that goes with k = 2: erf √2.
pub const COVERAGE: f64 = LEVEL;

const BLOCK: usize = 4096;

/// What a Monte Carlo run says about the result.
#[derive(Debug, Clone, PartialEq)]
pub struct Draws {
    /// How many trials were made.
    pub trials: usize,
    /// Their mean.
    pub mean: f64,
    /// Their standard deviation (it does not settle where an input has two degrees of freedom or fewer).
    pub standard_deviation: f64,
    /// Lower end of the interval.
    pub low: f64,
    /// Upper end of the interval.
    pub high: f64,
    /// The share of the trials from `from` to `to`, where a band was given.
    pub inside: Option<f64>,
}

impl Draws {
    /// Half of the interval's width, to lay beside U.
    #[must_use]
    pub fn half_width(&self) -> f64 {
        (self.high - self.low) / 2.0
    }
}

enum Sampler {
    Exact,
    Bell { bell: Bell, scale: f64 },
    Rectangular { half_width: f64 },
    ArcSine { half_width: f64 },
}

impl Sampler {
    fn new(spread: Spread) -> Self {
        match spread {
            Spread::Exact => Self::Exact,
            Spread::Student {
                scale,
                degrees_of_freedom,
            } => Self::Bell {
                bell: Bell::student(degrees_of_freedom),
                scale,
            },
            Spread::Normal { sigma } => Self::Bell {
                bell: Bell::normal(),
                scale: sigma,
            },
            Spread::Rectangular { half_width } => Self::Rectangular { half_width },
            Spread::ArcSine { half_width } => Self::ArcSine { half_width },
        }
    }

    fn fill(&self, estimate: f64, random: &mut impl Rng, out: &mut [f64]) {
        match self {
            Self::Exact => out.fill(estimate),
            Self::Bell { bell, scale } => out.fill_with(|| estimate + scale * bell.draw(random)),
            Self::Rectangular { half_width } => {
                out.fill_with(|| estimate + half_width * (2.0 * random.random::<f64>() - 1.0));
            }
            Self::ArcSine { half_width } => {
                out.fill_with(|| estimate + half_width * (2.0 * PI * random.random::<f64>()).sin());
            }
        }
    }
}

impl Model {
    /// Propagates the inputs' distributions through the expression.
    ///
    /// # Inputs
    /// `trials`: how many, at least 1000 are used; `seed`: same seed, same answer, on any number of threads;
    /// `coverage`: probability of the interval, such as [`COVERAGE`]; `band`: count the trials inside it.
    /// # Gives
    /// mean, standard deviation and symmetric interval, in the unit of the result.
    /// # Source
    /// [JCGM101] clause 7
    /// # Checked by
    /// checks/jcgm-101/additive.toml, checks/jcgm-101/mass.toml
    #[must_use]
    pub fn monte_carlo(&self, trials: usize, seed: u64, coverage: f64, band: Option<(f64, f64)>) -> Draws {
        let samplers: Vec<Sampler> = self
            .inputs
            .iter()
            .map(|input| Sampler::new(input.spread))
            .collect();
        let mut values = vec![0.0; trials.max(1000)];
        values.par_chunks_mut(BLOCK).enumerate().for_each_init(
            || (vec![vec![0.0; BLOCK]; samplers.len()], Scratch::new(BLOCK)),
            |(draws, scratch), (block, out)| {
                let mut random = stream(seed, block);
                for ((sampler, input), column) in samplers.iter().zip(&self.inputs).zip(draws.iter_mut()) {
                    sampler.fill(input.estimate, &mut random, &mut column[..out.len()]);
                }
                self.expression.values(draws, out, scratch);
            },
        );
        summary(values, coverage, band)
    }
}

/// The random stream of one block.
fn stream(seed: u64, block: usize) -> Xoshiro256PlusPlus {
    // An odd multiplier keeps the seeds of different blocks apart; seed_from_u64 mixes them.
    Xoshiro256PlusPlus::seed_from_u64(seed ^ (block as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15))
}

#[allow(clippy::cast_precision_loss, reason = "trial counts are far below 2^53")]
fn summary(mut values: Vec<f64>, coverage: f64, band: Option<(f64, f64)>) -> Draws {
    let trials = values.len();
    let n = trials as f64;
    let mean = sum_by_blocks(&values, |value| value) / n;
    let squares = sum_by_blocks(&values, |value| (value - mean) * (value - mean));
    let inside = band.map(|(from, to)| {
        let count: usize = values
            .par_chunks(BLOCK)
            .map(|block| block.iter().filter(|v| from <= **v && **v <= to).count())
            .sum();
        count as f64 / n
    });
    let (low, high) = interval(&mut values, coverage);
    Draws {
        trials,
        mean,
        standard_deviation: (squares / (n - 1.0)).sqrt(),
        low,
        high,
        inside,
    }
}

/// Block sums added in the order of the blocks, so that threads do not change the last digit.
fn sum_by_blocks(values: &[f64], of: impl Fn(f64) -> f64 + Sync) -> f64 {
    let blocks: Vec<f64> = values
        .par_chunks(BLOCK)
        .map(|block| block.iter().map(|value| of(*value)).sum())
        .collect();
    blocks.iter().sum()
}

/// The probabilistically symmetric interval (JCGM 101 7.7.2).
fn interval(values: &mut [f64], coverage: f64) -> (f64, f64) {
    #[allow(clippy::cast_precision_loss, reason = "trial counts are far below 2^53")]
    let n = values.len() as f64;
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a share of a length"
    )]
    let q = (coverage * n + 0.5).floor() as usize;
    let below = ((values.len() - q) / 2).max(1);
    let (_, low, above) = values.select_nth_unstable_by(below - 1, f64::total_cmp);
    let low = *low;
    let last = above.len() - 1;
    let (_, high, _) = above.select_nth_unstable_by((q - 1).min(last), f64::total_cmp);
    (low, *high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::expression::{Expression, Linear, Product};
    use crate::model::{Input, Source};

    fn sum_of(spreads: &[Spread]) -> Model {
        let mut model = Model::default();
        let mut form = Linear::default();
        for spread in spreads {
            let input = model.add(Input::type_b("x", Source::Other, *spread));
            form = form.plus(input, 1.0);
        }
        model.expression = Expression {
            products: vec![Product::of(1.0, vec![form])],
        };
        model
    }

    #[test]
    fn same_seed_same_answer_and_other_seed_another() {
        let model = sum_of(&[
            Spread::Normal { sigma: 1.0 },
            Spread::Rectangular { half_width: 2.0 },
        ]);
        let run = |seed| model.monte_carlo(50_000, seed, COVERAGE, None);
        let alone = rayon::ThreadPoolBuilder::new()
            .num_threads(1)
            .build()
            .expect("a pool")
            .install(|| run(1));
        assert_eq!(run(1), alone);
        assert_ne!(run(1), run(2));
    }

    #[test]
    fn both_routes_agree_for_normal_inputs() {
        let model = sum_of(&[Spread::Normal { sigma: 3.0 }, Spread::Normal { sigma: 4.0 }]);
        let law = model.propagate();
        let draws = model.monte_carlo(1_000_000, 3, COVERAGE, Some((-10.0, 10.0)));
        assert!((law.standard_uncertainty - 5.0).abs() < 1e-12);
        assert!((draws.standard_deviation - 5.0).abs() < 0.015);
        assert!((draws.half_width() - law.expanded_uncertainty).abs() < 0.05);
        assert!((draws.inside.expect("a band") - COVERAGE).abs() < 0.001);
    }

    #[test]
    fn the_interval_of_a_known_list() {
        let mut values: Vec<f64> = (1..=1000).rev().map(f64::from).collect();
        assert_eq!(interval(&mut values, 0.95), (25.0, 975.0));
    }
}
