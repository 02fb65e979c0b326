//! The proof by simulation: how often S ± U covers the true moment.
//!
//! A bench is drawn at random, with a surface whose true moment is known. Physics that shares nothing with the
//! product's models makes the readings of one day at that bench; the written-down values go through
//! [`Weighing::measure`] and [`Limits::judge`], exactly as a shop's would; and the answer is laid beside the truth.
//! [`simulate`] does so for one [`Row`]: a way of weighing, a mix of causes of error, a number of readings. [`claimed`]
//! lists the rows that the claim of 95 % is made for, [`outside`] those that it does not reach, [`page`] writes both
//! down for docs/coverage.md.
//!
//! Not covered: a bench at which something is wrong that no budget knows of, such as a surface that touches its
//! stand, a wrong arm written down, or friction that is not the same both ways.

mod chance;
mod page;
mod plan;
mod shop;
mod tools;
mod weigh;

pub use page::page;
pub use plan::{
    AT_REST, Cause, Habit, Mix, Outside, RAISING_AND_LOWERING, RATIOS, Row, SWEPT, Taken, Way, claimed,
    outside, sweep,
};

use chance::Chance;
use hingeline_balance::{Doubt, Limits, Measured, Verdict, Weighing};
use hingeline_quantity::{Moment, Quantity};
use rayon::prelude::*;
use shop::Bench;

/// What came of the benches of one row.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Tally {
    /// How many benches.
    pub benches: u64,
    /// S ± U covered the true moment.
    pub covered: u64,
    /// The verdict was clear.
    pub clear: u64,
    /// It was clear, and wrong.
    pub clear_wrong: u64,
    /// It was doubtful, and wrong.
    pub doubtful_wrong: u64,
    /// The height of the centre of gravity was measured.
    pub heights: u64,
    /// Height ± U covered the true height.
    pub heights_covered: u64,
    /// Sum of U, in yardsticks.
    pub expanded: f64,
    /// Sum of the squares of the errors, in yardsticks.
    pub squares: f64,
}

impl Tally {
    /// The share of the benches that S ± U covered, %.
    #[must_use]
    pub fn coverage(&self) -> f64 {
        percent(self.covered, self.benches)
    }
    /// The standard deviation that chance alone gives to that share, %.
    #[must_use]
    pub fn noise(&self) -> f64 {
        let share = self.coverage() / 100.0;
        100.0 * (share * (1.0 - share) / number(self.benches)).sqrt()
    }
    /// Mean U over twice the root mean square of the true errors, both in yardsticks: 1 is just wide enough for
    /// normal errors.
    #[must_use]
    pub fn width(&self) -> f64 {
        let n = number(self.benches);
        self.expanded / n / (2.0 * (self.squares / n).sqrt())
    }
    /// The share of the verdicts that were clear, %.
    #[must_use]
    pub fn clear_share(&self) -> f64 {
        percent(self.clear, self.benches)
    }
    /// The share of the clear verdicts that were wrong, %.
    #[must_use]
    pub fn clear_wrong(&self) -> f64 {
        percent(self.clear_wrong, self.clear)
    }
    /// The share of the doubtful verdicts that were wrong, %.
    #[must_use]
    pub fn doubtful_wrong(&self) -> f64 {
        percent(self.doubtful_wrong, self.benches - self.clear)
    }
    /// The share of the heights of the centre of gravity that height ± U covered, %; none where none was measured.
    #[must_use]
    pub fn height_coverage(&self) -> Option<f64> {
        (self.heights > 0).then(|| percent(self.heights_covered, self.heights))
    }
}

fn percent(part: u64, of: u64) -> f64 {
    100.0 * number(part) / number(of)
}

#[allow(clippy::cast_precision_loss, reason = "nobody simulates 2^53 benches")]
fn number(count: u64) -> f64 {
    count as f64
}

impl Tally {
    fn plus(self, other: Self) -> Self {
        Self {
            benches: self.benches + other.benches,
            covered: self.covered + other.covered,
            clear: self.clear + other.clear,
            clear_wrong: self.clear_wrong + other.clear_wrong,
            doubtful_wrong: self.doubtful_wrong + other.doubtful_wrong,
            heights: self.heights + other.heights,
            heights_covered: self.heights_covered + other.heights_covered,
            expanded: self.expanded + other.expanded,
            squares: self.squares + other.squares,
        }
    }
}

const LOT: u64 = 1000;

/// Simulates so many benches of a row. What the technician wrote down goes through `handed` before it reaches
/// the product.
///
/// `number` is the row's own random stream; the same seed, number and benches give the same tally on any number of
/// threads.
pub fn simulate(
    row: &Row,
    number: u64,
    benches: u64,
    seed: u64,
    handed: impl Fn(Weighing) -> Weighing + Sync,
) -> Tally {
    let lots: Vec<Tally> = (0..benches.div_ceil(LOT))
        .into_par_iter()
        .map(|lot| {
            let mut chance = Chance::new(seed, number, lot);
            let here = LOT.min(benches - lot * LOT);
            (0..here).fold(Tally::default(), |tally, _| tally.plus(one(row, &handed, &mut chance)))
        })
        .collect();
    lots.into_iter().fold(Tally::default(), Tally::plus)
}

fn one(row: &Row, handed: &impl Fn(Weighing) -> Weighing, chance: &mut Chance) -> Tally {
    let bench = Bench::draw(row, chance);
    let mut tally = Tally { benches: 1, ..Tally::default() };
    let (Some(another), Some(weighing)) = (bench.weigh(chance), bench.weigh(chance)) else {
        return tally;
    };
    let another = another.measure().expanded_uncertainty().si();
    let measured = handed(weighing).measure();
    let truth = bench.surface.moment;
    let error = measured.static_moment().si() - truth;
    let expanded = measured.expanded_uncertainty().si();
    tally.covered = u64::from(error.abs() <= expanded);
    tally.expanded = expanded / bench.yardstick;
    tally.squares = (error / bench.yardstick).powi(2);
    if let Some(centre) = measured.centre_of_gravity {
        let off = (centre.height.si() - bench.surface.height).abs();
        tally.heights = 1;
        tally.heights_covered = u64::from(off <= centre.expanded_uncertainty.si());
    }
    tally.judge(truth, another, &measured, chance);
    tally
}

impl Tally {
    /// Lays limits near the truth, apart from it by up to three times the U of `another` weighing of the same bench,
    /// and looks whether the verdict against them was right.
    fn judge(&mut self, truth: f64, reach: f64, measured: &Measured, chance: &mut Chance) {
        let near = truth + chance.within(3.0 * reach);
        let far = near + chance.sign() * chance.uniform(2.0, 8.0) * reach;
        let (from, to) = (near.min(far), near.max(far));
        let Ok(limits) = Limits::new(Moment::from_si(from), Moment::from_si(to), None) else {
            return;
        };
        let judged = limits.judge(&measured.propagated);
        let wrong = (judged.verdict == Verdict::Within) != (from <= truth && truth <= to);
        let clear = judged.doubt == Doubt::Clear;
        self.clear = u64::from(clear);
        self.clear_wrong = u64::from(clear && wrong);
        self.doubtful_wrong = u64::from(!clear && wrong);
    }
}
