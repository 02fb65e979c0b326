//! Laws that every weighing, verdict and correction must obey, on numbers drawn from a fixed seed.

use hingeline_balance::{
    BalanceBeam, Correction, HungWeight, Indicator, Levelling, Limits, Line, Measured, Method, Model, Part,
    PartsList, Place, Propagated, Readings, ScaleAtArm, Series, Spread, Station, SupportScale, TwoAttitudes,
    Weighing,
};
use hingeline_quantity::{Angle, Entered, Kind, Length, Mass, Moment, Quantity, unit};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

fn config(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        rng_seed: RngSeed::Fixed(20_261_002),
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

/// The same up to the rest of a rounding.
fn close(a: f64, b: f64, scale: f64) -> bool {
    (a - b).abs() <= 1e-9 * scale.abs().max(a.abs()).max(b.abs()) + 1e-300
}

fn series(values: impl Strategy<Value = Vec<f64>>) -> impl Strategy<Value = Series> {
    values.prop_map(|values| Series::new(values).expect("finite readings"))
}

/// Readings about `base`, at rest or turning, that scatter by at most a fiftieth of it.
fn readings(base: std::ops::Range<f64>, count: std::ops::Range<usize>) -> BoxedStrategy<Readings> {
    base.prop_flat_map(move |base| {
        let near = move |count| series(prop::collection::vec(0.98 * base..1.02 * base, count));
        prop_oneof![
            near(count.clone()).prop_map(Readings::AtRest),
            (near(count.clone()), near(count.clone()))
                .prop_map(|(raising, lowering)| Readings::Turning { raising, lowering }),
        ]
    })
    .boxed()
}

fn indicator<Q: Quantity + std::fmt::Debug>(
    step: std::ops::Range<f64>,
) -> impl Strategy<Value = Indicator<Q>> {
    (step, prop::option::of(0.1..2.0)).prop_map(|(step, steps)| Indicator {
        resolution: Q::from_si(step),
        calibration: steps.map(|steps| Q::from_si(steps * step)),
    })
}

fn scale() -> impl Strategy<Value = Indicator<Mass>> {
    indicator(0.0005..0.01)
}

fn rule() -> impl Strategy<Value = Indicator<Length>> {
    indicator(0.0002..0.002)
}

fn place() -> impl Strategy<Value = Place> {
    prop_oneof![Just(Place::Forward), Just(Place::Aft)]
}

fn scale_at_arm(count: std::ops::Range<usize>) -> impl Strategy<Value = ScaleAtArm> {
    let tare = prop::option::of(0.01..0.1f64);
    (readings(0.2..5.0, count), scale(), tare, 0.1..1.0f64, rule()).prop_map(
        |(readings, scale, tare, arm, rule)| ScaleAtArm {
            readings,
            scale,
            tare: tare.map(Mass::from_si),
            arm: Length::from_si(arm),
            rule,
        },
    )
}

fn hung_weight(count: std::ops::Range<usize>) -> impl Strategy<Value = Method> {
    let extra = (prop::option::of(0.01..0.3f64), prop::option::of(0.001..0.01f64));
    (readings(0.2..5.0, count), scale(), extra, 0.1..1.0f64, place(), rule()).prop_map(
        |(readings, scale, (hanger, moves_with), arm, place, rule)| {
            Method::HungWeight(HungWeight {
                readings,
                scale,
                hanger: hanger.map(Mass::from_si),
                arm: Length::from_si(arm),
                place,
                rule,
                moves_with: moves_with.map(Mass::from_si),
            })
        },
    )
}

fn balance_beam(count: std::ops::Range<usize>) -> impl Strategy<Value = Method> {
    let beam = (-0.5..0.5f64, prop::option::of(0.001..0.02f64));
    (readings(0.1..0.6, count), rule(), 0.1..2.0f64, scale(), place(), beam).prop_map(
        |(readings, rule, sliding, scale, place, (beam, beam_u))| {
            Method::BalanceBeam(BalanceBeam {
                readings,
                rule,
                sliding_mass: Mass::from_si(sliding),
                scale,
                place,
                beam_moment: Moment::from_si(beam),
                beam_uncertainty: beam_u.map(Moment::from_si),
            })
        },
    )
}

fn support_scale(count: std::ops::Range<usize>) -> impl Strategy<Value = Method> {
    let within = prop::option::of(0.0005..0.005f64);
    (readings(0.5..5.0, count), scale(), 0.05..0.4f64, 0.1..1.0f64, rule(), (place(), within)).prop_map(
        |(readings, scale, support, arm, rule, (place, within))| {
            Method::SupportScale(SupportScale {
                readings,
                scale,
                support_mass: Mass::from_si(support),
                arm: Length::from_si(arm),
                rule,
                place,
                bearing_within: within.map(Length::from_si),
            })
        },
    )
}

fn part() -> impl Strategy<Value = Part> {
    let within = (prop::option::of(0.001..0.02f64), prop::option::of(0.0005..0.005f64));
    (0.01..1.0f64, -0.5..0.5f64, any::<bool>(), within).prop_map(
        |(mass, arm, added, (mass_within, arm_within))| Part {
            name: format!("{mass:.4} at {arm:.4}"),
            mass: Mass::from_si(mass),
            arm: Length::from_si(arm),
            change: if added { 1.0 } else { -1.0 },
            mass_within: mass_within.map(Mass::from_si),
            arm_within: arm_within.map(Length::from_si),
        },
    )
}

fn parts_list() -> impl Strategy<Value = PartsList> {
    let start = (-0.5..0.5f64, prop::option::of(0.001..0.02f64));
    let parts = prop::collection::vec(part(), 1..8);
    (start, parts, prop::option::of(scale()), prop::option::of(rule())).prop_map(
        |((start, start_u), parts, scale, rule)| PartsList {
            start: Moment::from_si(start),
            start_uncertainty: start_u.map(Moment::from_si),
            parts,
            scale,
            rule,
        },
    )
}

fn two_attitudes(count: std::ops::Range<usize>) -> impl Strategy<Value = Method> {
    let tilt = (0.1..0.6f64, any::<bool>());
    let tilted = readings(0.2..5.0, count.clone());
    (scale_at_arm(count), tilted, tilt, indicator(0.0005..0.005), 2.0..20.0f64).prop_map(
        |(level, tilted, (angle, up), level_tool, mass)| {
            Method::TwoAttitudes(TwoAttitudes {
                level,
                tilted,
                angle: Angle::from_si(if up { angle } else { -angle }),
                level_tool,
                surface_mass: Mass::from_si(mass),
            })
        },
    )
}

/// A method that reads, with so many readings in each set.
fn reading_method(count: std::ops::Range<usize>) -> BoxedStrategy<Method> {
    prop_oneof![
        scale_at_arm(count.clone()).prop_map(Method::TrailingEdgeScale),
        hung_weight(count.clone()),
        balance_beam(count.clone()),
        support_scale(count.clone()),
        two_attitudes(count),
    ]
    .boxed()
}

fn weighing_of(method: impl Strategy<Value = Method>) -> impl Strategy<Value = Weighing> {
    let levelling = prop::option::of((2.0..20.0f64, 0.001..0.03f64, 0.002..0.02f64));
    (method, levelling).prop_map(|(method, levelling)| {
        let two = matches!(method, Method::TwoAttitudes(_));
        let within = levelling.map(|(_, _, angle)| Angle::from_si(angle));
        let levelling = levelling.filter(|_| !two).map(|(mass, height, angle)| Levelling {
            surface_mass: Mass::from_si(mass),
            cg_height_within: Length::from_si(height),
            level_within: Angle::from_si(angle),
        });
        Weighing { method, levelling, level_within: within.filter(|_| two) }
    })
}

/// A weighing of any of the six methods.
fn weighing() -> impl Strategy<Value = Weighing> {
    let method = prop_oneof![5 => reading_method(1..6), 1 => parts_list().prop_map(Method::PartsList)];
    weighing_of(method)
}

fn of_parts(list: PartsList) -> Measured {
    let weighing = Weighing { method: Method::PartsList(list), levelling: None, level_within: None };
    weighing.measure()
}

fn station(arm: f64) -> Station {
    Station { arm: Length::from_si(arm), arm_within: None, capacity: None, removable: None, step: None }
}

/// Arms ahead and behind, none at the hinge line.
fn arm() -> impl Strategy<Value = f64> {
    prop_oneof![-0.5..-0.02f64, 0.02..0.5f64]
}

/// The largest term of the sum that a list of parts adds up: rounding is measured by it.
fn size(list: &PartsList) -> f64 {
    let parts = list.parts.iter().map(|part| (part.mass * part.arm).si().abs());
    parts.fold(list.start.si().abs(), f64::max)
}

/// A correction in words: positive for mass put on.
fn signed(correction: &Correction) -> f64 {
    use hingeline_balance::Action;
    match correction.action {
        Action::Add => correction.mass_rounded.si(),
        Action::Remove => -correction.mass_rounded.si(),
        Action::None => 0.0,
    }
}

proptest! {
    #![proptest_config(config(256))]

    #[test]
    fn the_order_of_parts_does_not_matter(list in parts_list(), turn in 0usize..8) {
        let mut turned = list.clone();
        let by = turn % turned.parts.len();
        turned.parts.rotate_left(by);
        turned.parts.reverse();
        let scale = size(&list);
        let (here, there) = (of_parts(list), of_parts(turned));
        prop_assert!(close(here.propagated.estimate, there.propagated.estimate, scale));
        let u = |measured: &Measured| measured.propagated.standard_uncertainty;
        prop_assert!(close(u(&here), u(&there), 0.0));
    }

    #[test]
    fn adding_and_then_removing_the_same_part_restores_the_moment(list in parts_list(), part in part()) {
        let mut both = list.clone();
        both.parts.push(Part { change: 1.0, ..part.clone() });
        both.parts.push(Part { change: -1.0, ..part });
        let scale = size(&both);
        let (before, after) = (of_parts(list), of_parts(both));
        prop_assert!(close(before.propagated.estimate, after.propagated.estimate, scale));
    }

    #[test]
    fn moving_the_datum_moves_the_moment_by_mass_times_shift(list in parts_list(), shift in -1.0..1.0f64) {
        let mut moved = list.clone();
        for part in &mut moved.parts {
            part.arm = part.arm + Length::from_si(shift);
        }
        let mass: f64 = list.parts.iter().map(|part| part.change * part.mass.si()).sum();
        let scale = size(&list).max(size(&moved));
        let (before, after) = (of_parts(list), of_parts(moved));
        prop_assert!(close(
            after.propagated.estimate,
            before.propagated.estimate + mass * shift,
            scale
        ));
    }

    #[test]
    fn the_shares_of_a_budget_sum_to_one(weighing in weighing()) {
        let propagated = weighing.measure().propagated;
        let shares: f64 = propagated.shares.iter().map(|share| share.share).sum();
        let squares: f64 = propagated.shares.iter().map(|share| share.standard_uncertainty.powi(2)).sum();
        let u = propagated.standard_uncertainty;
        if u > 0.0 {
            prop_assert!(close(shares, 1.0, 1.0), "{shares}");
        } else {
            prop_assert!(propagated.shares.iter().all(|share| share.share <= 0.0));
        }
        prop_assert!(close(squares, u * u, 0.0));
        prop_assert!(close(propagated.expanded_uncertainty, propagated.coverage_factor * u, 0.0));
        prop_assert!(propagated.coverage_factor >= 2.0);
    }

    #[test]
    fn the_gradient_is_the_numeric_derivative_on_real_weighings(weighing in weighing()) {
        let Model { inputs, expression } = weighing.measure().model;
        let estimates: Vec<f64> = inputs.iter().map(|input| input.estimate).collect();
        let gradient = expression.gradient(&estimates);
        for (index, input) in inputs.iter().enumerate() {
            let step = 1e-3 * input.spread.standard_uncertainty().max(1e-6);
            let at = |by: f64| {
                let mut moved = estimates.clone();
                moved[index] += by;
                expression.value(&moved)
            };
            let slope = (at(step) - at(-step)) / (2.0 * step);
            let noise = 1e-15 * at(0.0).abs().max(1.0) / step;
            prop_assert!(
                (gradient[index] - slope).abs() <= 1e-6 * slope.abs() + 10.0 * noise,
                "{}: {} for {slope}", input.name, gradient[index]
            );
        }
    }

    #[test]
    fn the_reading_at_the_measured_moment_is_the_reading(weighing in weighing_of(reading_method(1..6))) {
        let moment = weighing.measure().static_moment();
        let mean = weighing.method.readings().expect("a method that reads").mean();
        let back = match &weighing.method {
            Method::BalanceBeam(_) => weighing.method.slide_at(moment).expect("a beam").si(),
            method => method.reading_at(moment).expect("a scale").si(),
        };
        prop_assert!((back - mean).abs() < 1e-9, "{back} for {mean}");
    }

    #[test]
    fn the_exact_correction_reaches_the_aim(
        weighing in weighing(), aim in -0.5..0.5f64, arm in arm(),
    ) {
        let measured = weighing.measure();
        let aim = Moment::from_si(aim);
        let correction = station(arm).correct(&measured, aim);
        prop_assert!((correction.predicted_moment - aim).abs().si() < 1e-9);
        // The parts list agrees: the measured moment and the mass at the station make the aim.
        let list = PartsList {
            start: measured.static_moment(),
            start_uncertainty: None,
            parts: vec![Part {
                name: "correction".to_owned(),
                mass: Mass::from_si(signed(&correction).abs()),
                arm: Length::from_si(arm),
                change: signed(&correction).signum(),
                mass_within: None,
                arm_within: None,
            }],
            scale: None,
            rule: None,
        };
        prop_assert!((of_parts(list).propagated.estimate - aim.si()).abs() < 2e-9);
    }

    #[test]
    fn a_rounded_correction_misses_the_aim_by_half_a_step_at_most(
        weighing in weighing(), aim in -0.5..0.5f64, arm in arm(), step in 0.001..0.1f64,
    ) {
        let aim = Moment::from_si(aim);
        let stepped = Station { step: Some(Mass::from_si(step)), ..station(arm) };
        let correction = stepped.correct(&weighing.measure(), aim);
        let miss = (correction.predicted_moment - aim).abs().si();
        prop_assert!(miss <= 0.5 * step * arm.abs() * (1.0 + 1e-6) + 1e-12);
        let steps = correction.mass_rounded.si() / step;
        prop_assert!((steps - steps.round()).abs() < 1e-6);
    }

    #[test]
    fn a_station_never_takes_more_than_it_can(
        weighing in weighing(), aim in -0.5..0.5f64, arm in arm(), bound in 0.0..0.5f64,
        step in prop::option::of(0.001..0.1f64),
    ) {
        let bounded = Station {
            capacity: Some(Mass::from_si(bound)),
            removable: Some(Mass::from_si(bound)),
            step: step.map(Mass::from_si),
            ..station(arm)
        };
        let correction = bounded.correct(&weighing.measure(), Moment::from_si(aim));
        prop_assert!(correction.mass_rounded.si() <= bound * (1.0 + 1e-6) + 1e-12);
        let moved = correction.predicted_moment.si() - weighing.measure().static_moment().si();
        prop_assert!((moved.abs() - correction.mass_rounded.si() * arm.abs()).abs() < 1e-9);
    }

    #[test]
    fn the_mirror_changes_the_side_and_nothing_else(
        weighing in weighing(), low in -1.0..0.5f64, width in 0.01..1.0f64, arm in arm(),
    ) {
        let limits = |from: f64, to: f64| {
            Limits::new(Moment::from_si(from), Moment::from_si(to), None).expect("a band")
        };
        let (here, there) = (limits(low, low + width), limits(-low - width, -low));
        let propagated = weighing.measure().propagated;
        let mirrored = Propagated { estimate: -propagated.estimate, ..propagated.clone() };
        let (judged, turned) = (here.judge(&propagated), there.judge(&mirrored));
        prop_assert_eq!(judged.verdict, turned.verdict);
        prop_assert_eq!(judged.doubt, turned.doubt);
        prop_assert!((judged.probability_within - turned.probability_within).abs() < 1e-9);
        prop_assert!((judged.margin - turned.margin).abs().si() < 1e-12);
        let measured = weighing.measure();
        let flipped = Measured { propagated: mirrored, ..measured.clone() };
        let correction = station(arm).correct(&measured, here.aim());
        let mirror = station(-arm).correct(&flipped, there.aim());
        prop_assert!((signed(&correction) - signed(&mirror)).abs() < 1e-9);
    }

    #[test]
    fn hanging_or_sliding_on_the_other_side_turns_the_moment(method in prop_oneof![
        hung_weight(1..6), support_scale(1..6), balance_beam(1..6),
    ]) {
        let other = |place| match place {
            Place::Forward => Place::Aft,
            Place::Aft => Place::Forward,
        };
        let turned = match method.clone() {
            Method::HungWeight(hung) => Method::HungWeight(HungWeight { place: other(hung.place), ..hung }),
            Method::SupportScale(on) => Method::SupportScale(SupportScale { place: other(on.place), ..on }),
            Method::BalanceBeam(beam) => Method::BalanceBeam(BalanceBeam {
                place: other(beam.place),
                beam_moment: -beam.beam_moment,
                ..beam
            }),
            method => method,
        };
        let measure = |method| Weighing { method, levelling: None, level_within: None }.measure();
        let (here, there) = (measure(method), measure(turned));
        let (s, t) = (here.propagated.estimate, there.propagated.estimate);
        prop_assert!(close(s, -t, 0.0), "{s} and {t}");
        prop_assert!(close(here.propagated.standard_uncertainty, there.propagated.standard_uncertainty, 0.0));
        let friction = |measured: &Measured| measured.friction_moment.map_or(0.0, Quantity::si);
        prop_assert!(close(friction(&here), -friction(&there), 0.0));
    }

    #[test]
    fn a_wider_band_holds_at_least_as_much(
        weighing in weighing(), low in -1.0..0.5f64, width in 0.01..1.0f64, more in 0.0..0.5f64,
    ) {
        let propagated = weighing.measure().propagated;
        let within = |from: f64, to: f64| {
            let limits = Limits::new(Moment::from_si(from), Moment::from_si(to), None).expect("a band");
            limits.judge(&propagated).probability_within
        };
        let narrow = within(low, low + width);
        prop_assert!((0.0..=1.0).contains(&narrow));
        prop_assert!(within(low - more, low + width + more) >= narrow - 1e-12);
        // What lies outside lies below or above.
        let (below, above) = (within(-1e3, low), within(low + width, 1e3));
        prop_assert!((below + narrow + above - 1.0).abs() < 1e-3, "{below} {narrow} {above}");
    }

    #[test]
    fn friction_moves_the_sets_apart_and_not_the_moment(at in scale_at_arm(2..6), friction in 0.001..0.1f64) {
        let (Readings::AtRest(series) | Readings::Turning { raising: series, .. }) = &at.readings;
        let shifted = |by: f64| {
            Series::new(series.values().iter().map(|value| value + by).collect()).expect("finite")
        };
        let turning = ScaleAtArm {
            readings: Readings::Turning { raising: shifted(friction), lowering: shifted(-friction) },
            ..at.clone()
        };
        let still = ScaleAtArm { readings: Readings::AtRest(series.clone()), ..at.clone() };
        let measure = |at| {
            let method = Method::TrailingEdgeScale(at);
            Weighing { method, levelling: None, level_within: None }.measure()
        };
        let (with, without) = (measure(turning), measure(still));
        prop_assert!((with.static_moment() - without.static_moment()).abs().si() < 1e-9);
        let seen = with.friction_moment.expect("both sets").si();
        prop_assert!((seen - friction * at.arm.si()).abs() < 1e-9);
    }

    #[test]
    fn the_unit_that_something_is_typed_in_changes_nothing(
        number in 0.001..1000.0f64, from in 0usize..20, to in 0usize..20, kind in 0usize..4,
    ) {
        match [Kind::Length, Kind::Mass, Kind::Moment, Kind::Angle][kind] {
            Kind::Length => retyped::<Length>(number, from, to)?,
            Kind::Mass => retyped::<Mass>(number, from, to)?,
            Kind::Moment => retyped::<Moment>(number, from, to)?,
            Kind::Angle => retyped::<Angle>(number, from, to)?,
        }
    }

    #[test]
    fn a_weighing_typed_in_other_units_gives_the_same(
        reading in 0.1..10.0f64, tare in 0.01..0.1f64, arm in 5.0..50.0f64, step in 0.001..0.05f64,
    ) {
        let inches = typed([reading, tare, arm, step], ["lb", "lb", "in", "lb"], 1.0 / 32.0);
        let g_per_lb = 453.592_37;
        let millimetres = typed(
            [reading * g_per_lb, tare * g_per_lb, arm * 25.4, step * g_per_lb],
            ["g", "g", "mm", "g"],
            25.4 / 32.0,
        );
        let (a, b) = (inches.propagated, millimetres.propagated);
        prop_assert!(close(a.estimate, b.estimate, 0.0));
        prop_assert!(close(a.standard_uncertainty, b.standard_uncertainty, 0.0));
        prop_assert!(close(a.expanded_uncertainty, b.expanded_uncertainty, 0.0));
    }

    #[test]
    fn a_line_finds_the_points_that_it_was_drawn_through(
        intercept in -10.0..10.0f64, slope in -5.0..5.0f64, origin in -20.0..20.0f64,
        places in prop::collection::btree_set(-100i32..100, 3..12), at in -150.0..150.0f64,
    ) {
        let points: Vec<(f64, f64)> = places
            .into_iter()
            .map(|t| (f64::from(t), intercept + slope * (f64::from(t) - origin)))
            .collect();
        let line = Line::fit(&points, origin).expect("a line");
        prop_assert!((line.slope - slope).abs() < 1e-9);
        prop_assert!((line.intercept - intercept).abs() < 1e-7);
        prop_assert!((line.at(at).value - intercept - slope * (at - origin)).abs() < 1e-7);
        prop_assert!(line.residual_standard_deviation < 1e-7);
        prop_assert!((-1.0..=1.0).contains(&line.correlation));
    }

    #[test]
    fn the_fitted_line_leaves_the_least_squares(
        ys in prop::collection::vec(-1.0..1.0f64, 3..12), dy in -0.1..0.1f64, ds in -0.1..0.1f64,
    ) {
        let points: Vec<(f64, f64)> = (0i32..).zip(&ys).map(|(t, y)| (f64::from(t), *y)).collect();
        let line = Line::fit(&points, 0.0).expect("a line");
        let squares = |y1: f64, y2: f64| points.iter().map(|(t, y)| (y - y1 - y2 * t).powi(2)).sum::<f64>();
        let least = squares(line.intercept, line.slope);
        prop_assert!(squares(line.intercept + dy, line.slope + ds) >= least - 1e-12);
        let s = line.residual_standard_deviation;
        prop_assert!((s * s * line.degrees_of_freedom - least).abs() < 1e-9);
    }
}

/// Types a number in one unit, tells it in another, types that: the value is the same.
fn retyped<Q: Quantity>(number: f64, from: usize, to: usize) -> Result<(), TestCaseError> {
    let units = Q::KIND.units();
    let (from, to) = (units[from % units.len()], units[to % units.len()]);
    let first = Entered::<Q>::parse(&format!("{number} {}", from.symbol)).expect("typed");
    let told = format!("{:.30} {}", first.value.in_unit(to), to.symbol);
    let second = Entered::<Q>::parse(&told).expect("typed again");
    prop_assert!(close(first.value.si(), second.value.si(), 0.0), "{told}");
    Ok(())
}

/// A trailing-edge weighing typed in given units: reading, tare, arm, step of the scale; and the step of the rule
/// in the arm's unit.
fn typed(numbers: [f64; 4], units: [&str; 4], rule: f64) -> Measured {
    let mass = |index: usize| {
        Entered::<Mass>::parse(&format!("{} {}", numbers[index], units[index])).expect("a mass").value
    };
    let length =
        |number: f64| Entered::<Length>::parse(&format!("{number} {}", units[2])).expect("a length").value;
    let at = ScaleAtArm {
        readings: Readings::AtRest(Series::new(vec![mass(0).si()]).expect("a reading")),
        scale: Indicator { resolution: mass(3), calibration: Some(mass(3)) },
        tare: Some(mass(1)),
        arm: length(numbers[2]),
        rule: Indicator { resolution: length(rule), calibration: None },
    };
    let method = Method::TrailingEdgeScale(at);
    Weighing { method, levelling: None, level_within: None }.measure()
}

/// What the simulation's standard deviation tends to: the law's u with each t distribution as wide as it really is.
fn standard_deviation(measured: &Measured) -> f64 {
    let inputs = measured.model.inputs.iter();
    let variance: f64 = inputs
        .zip(&measured.propagated.shares)
        .map(|(input, share)| {
            let wider = match input.spread {
                Spread::Student { degrees_of_freedom: nu, .. } => nu / (nu - 2.0),
                _ => 1.0,
            };
            wider * share.standard_uncertainty.powi(2)
        })
        .sum();
    variance.sqrt()
}

/// Mean and standard deviation by both routes: within five standard errors of the draws, and a thousandth of u for
/// the curvature that the law leaves out.
fn both_routes(weighing: &Weighing, seed: u64) -> Result<(), TestCaseError> {
    const DRAWS: usize = 100_000;
    let measured = weighing.measure();
    let drawn = measured.model.monte_carlo(DRAWS, seed, hingeline_balance::COVERAGE, None);
    let (s, u) = (measured.propagated.estimate, standard_deviation(&measured));
    let error = u / (DRAWS as f64).sqrt();
    prop_assert!((drawn.mean - s).abs() <= 5.0 * error + 1e-3 * u, "mean {} for {s}, u {u}", drawn.mean);
    let sd = drawn.standard_deviation;
    prop_assert!((sd - u).abs() <= 5.0 * error + 1e-3 * u, "standard deviation {sd} for {u}");
    Ok(())
}

proptest! {
    #![proptest_config(config(24))]

    #[test]
    fn both_routes_agree_where_readings_are_many(
        weighing in weighing_of(reading_method(12..20)), seed in any::<u64>(),
    ) {
        both_routes(&weighing, seed)?;
    }

    #[test]
    fn both_routes_agree_on_parts_lists(list in parts_list(), seed in any::<u64>()) {
        let weighing = Weighing {
            method: Method::PartsList(list),
            levelling: None,
            level_within: None,
        };
        both_routes(&weighing, seed)?;
    }
}

#[test]
fn units_of_the_trade_are_told_apart() {
    // The table that the properties draw from is not empty for any kind.
    for kind in [Kind::Length, Kind::Mass, Kind::Moment, Kind::Angle] {
        assert!(kind.units().len() >= 4);
    }
    assert_eq!(unit::find("in-lb").map(|unit| unit.kind), Some(Kind::Moment));
}
