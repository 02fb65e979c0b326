//! The second route: propagation of distributions by Monte Carlo.
//!
//! Draws all inputs, works the expression out for each trial, and reads mean, standard deviation and the
//! probabilistically symmetric interval off the values. The trials are cut into lots; each input of each lot has
//! its own random stream made from the seed, so that the answer does not depend on the number of threads, nor on
//! the processor. The ends of the interval are order statistics, exact ones, though only the values near and
//! beyond them are kept: a pilot lot tells where to start keeping. Main type: [`Draws`].
//! Source: JCGM 101:2008 5.9 and 7 (procedure), 7.7 (interval).

use crate::bell::Bell;
use crate::elementary::sine;
use crate::expression::{Expression, Scratch};
use crate::lanes::{BATCH, Column, LANES, Lanes, signed_unit};
use crate::model::{Model, Spread};
use crate::student::LEVEL;
use crate::tails::{Gap, Ranks};
use multiversion::multiversion;
use rayon::prelude::*;
use std::f64::consts::FRAC_PI_2;

/// The coverage probability that goes with k = 2: erf √2.
pub const COVERAGE: f64 = LEVEL;

/// Trials of one lot.
const LOT: usize = 32 * BATCH;

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

/// The standard distribution that an input is drawn from, before it is scaled and shifted.
enum Sampler {
    Exact,
    Bell(Bell),
    Rectangular,
    ArcSine,
}

impl Sampler {
    fn new(spread: Spread) -> Self {
        match spread {
            Spread::Exact => Self::Exact,
            Spread::Student { degrees_of_freedom, .. } => Self::Bell(Bell::student(degrees_of_freedom)),
            Spread::Normal { .. } => Self::Bell(Bell::normal()),
            Spread::Rectangular { .. } => Self::Rectangular,
            Spread::ArcSine { .. } => Self::ArcSine,
        }
    }

    fn fill(&self, lanes: &mut Lanes, out: &mut Column) {
        match self {
            Self::Exact => {}
            Self::Bell(bell) => bell.fill(lanes, out),
            Self::Rectangular => fill_rectangular(lanes, out),
            Self::ArcSine => fill_arc_sine(lanes, out),
        }
    }
}

#[multiversion(targets = "simd")]
fn fill_rectangular(lanes: &mut Lanes, out: &mut Column) {
    lanes.fill(out, signed_unit);
}

#[multiversion(targets = "simd")]
fn fill_arc_sine(lanes: &mut Lanes, out: &mut Column) {
    lanes.fill(out, |bits| sine(FRAC_PI_2 * signed_unit(bits)));
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
    /// \[JCGM101\] clause 7
    /// # Checked by
    /// checks/jcgm-101/additive.toml, checks/jcgm-101/mass.toml
    #[must_use]
    pub fn monte_carlo(&self, trials: usize, seed: u64, coverage: f64, band: Option<(f64, f64)>) -> Draws {
        let run = Run::new(self, trials.max(1000), seed);
        let ranks = Ranks::new(run.trials, coverage);
        let pilot = run.pilot();
        let about = pilot.iter().sum::<f64>() / count(pilot.len());
        let gap = Gap::after(pilot, &ranks);
        let mut tally = run.tally(&gap, about, band);
        if let Some(ends) = ranks.find(&gap, &mut tally.kept) {
            return run.draws(&tally, about, ends, band);
        }
        let mut tally = run.tally(&Gap::NONE, about, band);
        let ends = ranks.find(&Gap::NONE, &mut tally.kept).unwrap_or((f64::NAN, f64::NAN));
        run.draws(&tally, about, ends, band)
    }
}

#[allow(clippy::cast_precision_loss, reason = "trial counts are far below 2^53")]
fn count(trials: usize) -> f64 {
    trials as f64
}

/// A model made ready to be drawn from.
struct Run {
    samplers: Vec<Sampler>,
    /// The model's expression, of the standard draws.
    expression: Expression,
    trials: usize,
    seed: u64,
}

/// Working space of one thread.
struct Work {
    draws: Vec<Column>,
    values: Column,
    scratch: Scratch,
}

impl Run {
    fn new(model: &Model, trials: usize, seed: u64) -> Self {
        let scales: Vec<(f64, f64)> =
            model.inputs.iter().map(|input| (input.estimate, input.spread.scale())).collect();
        Self {
            samplers: model.inputs.iter().map(|input| Sampler::new(input.spread)).collect(),
            expression: model.expression.rescaled(&scales),
            trials,
            seed,
        }
    }

    fn work(&self) -> Work {
        Work { draws: vec![Column::ZERO; self.samplers.len()], values: Column::ZERO, scratch: Scratch::new() }
    }

    /// Works out the trials of a lot, batch by batch, and hands each batch on with the number of trials in it.
    fn lot(&self, lot: usize, work: &mut Work, mut each: impl FnMut(&Column, usize)) {
        let mut streams: Vec<Lanes> =
            (0..self.samplers.len()).map(|input| Lanes::new(self.seed, lot, input)).collect();
        let here = LOT.min(self.trials - lot * LOT);
        for first in (0..here).step_by(BATCH) {
            for ((sampler, lanes), column) in self.samplers.iter().zip(&mut streams).zip(&mut work.draws) {
                sampler.fill(lanes, column);
            }
            self.expression.values(&work.draws, &mut work.values, &mut work.scratch);
            each(&work.values, BATCH.min(here - first));
        }
    }

    /// The values of the first lot.
    fn pilot(&self) -> Vec<f64> {
        let mut pilot = Vec::with_capacity(LOT);
        self.lot(0, &mut self.work(), |values, count| pilot.extend_from_slice(&values.0[..count]));
        pilot
    }

    /// All trials, counted; lots are put together in their order, so that threads do not change the last digit.
    fn tally(&self, gap: &Gap, about: f64, band: Option<(f64, f64)>) -> Tally {
        let lots: Vec<Tally> = (0..self.trials.div_ceil(LOT))
            .into_par_iter()
            .map_init(
                || self.work(),
                |work, lot| {
                    let mut tally = Tally::default();
                    self.lot(lot, work, |values, count| tally.take(values, count, gap, about, band));
                    tally
                },
            )
            .collect();
        lots.into_iter().fold(Tally::default(), Tally::and)
    }

    fn draws(&self, tally: &Tally, about: f64, (low, high): (f64, f64), band: Option<(f64, f64)>) -> Draws {
        let n = count(self.trials);
        let squares = tally.squares - tally.sum * tally.sum / n;
        Draws {
            trials: self.trials,
            mean: about + tally.sum / n,
            standard_deviation: (squares.max(0.0) / (n - 1.0)).sqrt(),
            low,
            high,
            inside: band.map(|_| count(tally.inside) / n),
        }
    }
}

/// What is remembered of many trials.
#[derive(Default)]
struct Tally {
    /// Sum of the values less a number near their mean.
    sum: f64,
    /// Sum of the squares of that.
    squares: f64,
    /// How many lie in the band.
    inside: usize,
    /// The values outside the gap.
    kept: Vec<f64>,
}

impl Tally {
    fn take(&mut self, values: &Column, count: usize, gap: &Gap, about: f64, band: Option<(f64, f64)>) {
        let (sum, squares) = sums(&values.0[..count], about);
        self.sum += sum;
        self.squares += squares;
        if let Some((from, to)) = band {
            self.inside += values.0[..count].iter().filter(|value| from <= **value && **value <= to).count();
        }
        gap.keep(values, count, &mut self.kept);
    }

    fn and(mut self, mut next: Self) -> Self {
        self.sum += next.sum;
        self.squares += next.squares;
        self.inside += next.inside;
        self.kept.append(&mut next.kept);
        self
    }
}

/// Sum of the values less `about`, and of the squares of that, each of eight lanes adding up its own.
#[multiversion(targets = "simd")]
fn sums(values: &[f64], about: f64) -> (f64, f64) {
    let (mut sum, mut squares) = ([0.0; LANES], [0.0; LANES]);
    let (chunks, rest) = values.as_chunks::<LANES>();
    for chunk in chunks {
        for lane in 0..LANES {
            let off = chunk[lane] - about;
            sum[lane] += off;
            squares[lane] += off * off;
        }
    }
    for (lane, value) in rest.iter().enumerate() {
        sum[lane] += value - about;
        squares[lane] += (value - about) * (value - about);
    }
    (sum.iter().sum(), squares.iter().sum())
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
        model.expression = Expression { products: vec![Product::of(1.0, vec![form])] };
        model
    }

    #[test]
    fn same_seed_same_answer_and_other_seed_another() {
        let model = sum_of(&[Spread::Normal { sigma: 1.0 }, Spread::Rectangular { half_width: 2.0 }]);
        let run = |seed| model.monte_carlo(50_000, seed, COVERAGE, None);
        let alone =
            rayon::ThreadPoolBuilder::new().num_threads(1).build().expect("a pool").install(|| run(1));
        assert_eq!(run(1), alone);
        assert_ne!(run(1), run(2));
    }

    /// Exact, so that another processor, compiler or system that changes a digit is noticed.
    #[test]
    fn the_answer_is_the_same_on_every_machine() {
        let model = sum_of(&[
            Spread::Normal { sigma: 1.0 },
            Spread::Student { scale: 1.0, degrees_of_freedom: 2.0 },
            Spread::Student { scale: 1.0, degrees_of_freedom: 4.0 },
            Spread::Rectangular { half_width: 2.0 },
            Spread::ArcSine { half_width: 0.5 },
        ]);
        let draws = model.monte_carlo(20_000, 1, COVERAGE, None);
        assert_eq!((draws.low, draws.high), (-6.104774554089174, 6.011581591600207));
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
    fn draws_have_the_moments_of_their_distribution() {
        let cases = [
            (Spread::Rectangular { half_width: 3.0 }, 3f64.sqrt()),
            (Spread::ArcSine { half_width: 3.0 }, 4.5f64.sqrt()),
            (Spread::Exact, 0.0),
        ];
        for (spread, expected) in cases {
            let draws = sum_of(&[spread]).monte_carlo(400_000, 9, COVERAGE, None);
            assert!((draws.standard_deviation - expected).abs() < 0.01, "{spread:?}: {draws:?}");
            assert!(draws.mean.abs() < 0.02, "{spread:?}: {draws:?}");
            assert!(draws.low >= -3.0 && draws.high <= 3.0, "{spread:?}: {draws:?}");
        }
    }

    #[test]
    fn a_few_trials_more_change_little() {
        let model = sum_of(&[Spread::Normal { sigma: 1.0 }]);
        let ends = |trials| model.monte_carlo(trials, 5, COVERAGE, None);
        for (fewer, more) in [(LOT, LOT + 1), (LOT + BATCH - 1, LOT + BATCH), (3 * LOT, 3 * LOT + 7)] {
            let (fewer, more) = (ends(fewer), ends(more));
            assert!((fewer.low - more.low).abs() < 0.01 && (fewer.high - more.high).abs() < 0.01);
        }
    }

    #[test]
    fn the_ends_are_those_of_all_values_sorted() {
        let model = sum_of(&[
            Spread::Student { scale: 1.0, degrees_of_freedom: 2.0 },
            Spread::Rectangular { half_width: 2.0 },
        ]);
        for (trials, coverage) in [(1000, 0.95), (100_001, COVERAGE), (50_000, 0.5), (30_000, 0.9999)] {
            let draws = model.monte_carlo(trials, 11, coverage, None);
            let run = Run::new(&model, trials, 11);
            let mut all = run.tally(&Gap::NONE, 0.0, None).kept;
            assert_eq!(all.len(), trials);
            assert_eq!(
                Ranks::new(trials, coverage).find(&Gap::NONE, &mut all),
                Some((draws.low, draws.high))
            );
        }
    }
}
