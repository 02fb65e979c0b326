//! One million Monte Carlo trials of a weighing with a trailing-edge scale, timed inside the process.
//!
//! The same model as numpy_model.py; compare.sh runs both by turns. Prints mean, standard deviation and the two
//! ends of the 95.45 % interval, then one time in milliseconds a run. Argument: how many runs.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "a bench prints times and may stop"
)]

use hingeline_balance::{
    COVERAGE, Draws, Indicator, Levelling, Method, Model, Readings, ScaleAtArm, Series, Weighing,
};
use hingeline_quantity::{Angle, Length, Mass, Quantity};
use std::hint::black_box;
use std::time::Instant;

const TRIALS: usize = 1_000_000;
const POUND: f64 = 0.453_592_37;
const INCH: f64 = 0.0254;

fn main() {
    // Cargo adds an argument of its own.
    let runs: u64 = std::env::args().find_map(|argument| argument.parse().ok()).unwrap_or(15);
    let model = model();
    let Draws { mean, standard_deviation, low, high, .. } = model.monte_carlo(TRIALS, 0, COVERAGE, None);
    println!("{mean} {standard_deviation} {low} {high}");
    for seed in 1..=runs {
        let start = Instant::now();
        black_box(black_box(&model).monte_carlo(TRIALS, seed, COVERAGE, None));
        println!("{:.3}", 1e3 * start.elapsed().as_secs_f64());
    }
}

fn model() -> Model {
    let at = ScaleAtArm {
        readings: Readings::Turning {
            raising: pounds([1.34, 1.35, 1.33]),
            lowering: pounds([1.28, 1.29, 1.28]),
        },
        scale: Indicator {
            resolution: Mass::from_si(0.01 * POUND),
            calibration: Some(Mass::from_si(0.01 * POUND)),
        },
        tare: Some(Mass::from_si(0.06 * POUND)),
        arm: Length::from_si(17.25 * INCH),
        rule: Indicator {
            resolution: Length::from_si(INCH / 32.0),
            calibration: Some(Length::from_si(0.02 * INCH)),
        },
    };
    let levelling = Levelling {
        surface_mass: Mass::from_si(11.2 * POUND),
        cg_height_within: Length::from_si(0.5 * INCH),
        level_within: Angle::from_si(0.5f64.to_radians()),
    };
    let weighing =
        Weighing { method: Method::TrailingEdgeScale(at), levelling: Some(levelling), level_within: None };
    weighing.measure().model
}

fn pounds(readings: [f64; 3]) -> Series {
    Series::new(readings.iter().map(|reading| reading * POUND).collect()).unwrap()
}
