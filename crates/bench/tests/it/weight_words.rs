//! The answer to a weight sheet in words: sums that a hand comes to as well, hints, digits, what is not known.

use crate::weight::{DEMO, casting, read};
use hingeline_bench::arithmetic::Step;
use hingeline_bench::weight::{WeightAnswer, Worked, words, work};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

/// A number as printed.
fn number(word: &str) -> Option<f64> {
    word.replace('−', "-").parse().ok()
}

/// What comes of "27.8473 − 0.3089 + 2.2 kg·mm" or "0.44202 kg × 9.80665 m/s² × 63 mm", from left to right.
fn by_hand(numbers: &str) -> f64 {
    let (mut value, mut sign) = (None, '+');
    for word in numbers.split_whitespace() {
        match (word, number(word.trim_start_matches('−'))) {
            (_, Some(size)) => {
                let size = if word.starts_with('−') { -size } else { size };
                value = Some(match (value, sign) {
                    (None, _) => size,
                    (Some(before), '−') => before - size,
                    (Some(before), '×') => before * size,
                    (Some(before), '÷') => before / size,
                    (Some(before), _) => before + size,
                });
            }
            ("+" | "−" | "×" | "÷", None) => sign = word.chars().next().expect("a sign"),
            _ => {}
        }
    }
    value.expect("a number")
}

/// Whether a hand that works the printed numbers out and rounds comes to the printed result.
fn comes_out(step: &Step) -> bool {
    let result = step.result.split(' ').next().expect("a number");
    let places = result.split_once('.').map_or(0, |(_, after)| after.len());
    let size = by_hand(&step.numbers).abs();
    format!("{size:.places$}") == result.trim_start_matches('−')
}

fn sums(worked: &Worked) -> Vec<Step> {
    [words::parts(worked), words::halves(worked), division(worked).into_iter().collect()].concat()
}

/// “moment ÷ old arm = 3.780 in-lb ÷ 6.500 in = 0.5815 lb”.
fn division(worked: &Worked) -> Option<Step> {
    let line = words::naive(worked).into_iter().next()?;
    let parts: Vec<String> = line.split(" = ").map(str::to_owned).collect();
    let [formula, numbers, result] = parts.try_into().expect("three parts");
    Some(Step { formula, numbers, result })
}

#[test]
fn every_sum_of_the_demo_comes_out_by_hand() {
    for (name, text) in DEMO {
        for step in sums(&work(read(text))) {
            assert!(comes_out(&step), "{name}: {}", step.line());
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, rng_seed: RngSeed::Fixed(231), ..ProptestConfig::default() })]

    /// Terms are said with as many decimals as it takes; products with as many digits.
    #[test]
    fn every_sum_of_any_bar_comes_out_by_hand(
        unit in 0usize..4,
        moment in 0.8f64..1.2,
        arm in 150.0f64..250.0,
        screws in prop::collection::vec((1.0f64..9.0, 155.0f64..240.0), 1..6),
    ) {
        let (word, per_kg_m) =
            [("in-lb", 86.796_166), ("kg·mm", 1000.0), ("N·m", 9.806_65), ("g·cm", 1e5)][unit];
        let mut text = format!(
            "[weight]\nname = \"bar\"\nmoment = \"{:.4} {word} nose-heavy\"\nmaterial = \"lead\"\nold_arm = \
             \"{:.2} mm\"\nold_side = \"forward\"\n[form]\nkind = \
             \"bar\"\ndepth = \"20 mm\"\nheight = \"15 mm\"\nface = \"front\"\narm = \"{arm:.2} mm\"\nside = \
             \"forward\"\nhalves = \"at mid span\"\n[vary]\nwhat = \"span\"\nleast = \"5 mm\"\nmost = \"500 mm\"\n\
             [[coating]]\nname = \"epoxy primer\"\n",
            0.1 * moment * per_kg_m,
            1.37 * arm,
        );
        for (mass, at) in screws {
            text += &format!(
                "[[hardware]]\nname = \"screw\"\nmass = \"{mass:.3} g\"\narm = \"{at:.2} mm\"\nside = \"forward\"\n"
            );
        }
        let worked = work(read(&text));
        prop_assert!(worked.solution().is_some(), "{text}");
        for step in sums(&worked) {
            prop_assert!(comes_out(&step), "{}", step.line());
        }
    }
}

/// The text and the object say the same: there is one home of a hint.
#[test]
fn what_can_be_done_is_the_same_in_words_and_in_the_object() {
    let rib = DEMO[4].1;
    let wrong_side = rib.replace("side = \"forward\"", "side = \"aft\"");
    let bound = rib.replace("capacity = \"0.25 lb\"", "span = \"1 in\"");
    for (text, part) in [
        (rib, "further from the hinge line, where less mass does it"),
        (wrong_side.as_str(), "look at the side of the form and of the moment"),
        (bound.as_str(), "a denser metal"),
    ] {
        let worked = work(read(text));
        let hint = WeightAnswer::of(&worked).stopped.expect("no piece").hint;
        let lines = words::stopped(&worked);
        assert!(hint.contains(part), "{hint}");
        assert_eq!(lines.last(), Some(&format!("what can be done: {hint}")));
    }
}

fn how_sure(text: &str) -> String {
    words::uncertainty(&work(read(text))).join("\n")
}

#[test]
fn where_no_uncertainty_was_typed_none_is_printed() {
    let bare = "[weight]\nname = \"bar\"\nmoment = \"4 in-lb nose-heavy\"\nmaterial = \"lead\"\ndensity = \
                \"11.3 g/cm³\"\n[form]\nkind = \"round bar\"\ndiameter = \"3/4 in\"\narm = \"5 in\"\nside = \
                \"forward\"\n[vary]\nwhat = \"span\"\nleast = \"1 in\"\nmost = \"9 in\"\n";
    let none = how_sure(bare);
    assert!(none.starts_with("no uncertainty given") && !none.contains('±'), "{none}");
    let metal = how_sure(&bare.replace("[form]", "density_uncertainty = \"0.1 g/cm³\"\n[form]"));
    assert!(metal.contains("(k = 2), and no uncertainty of the wanted one is given"), "{metal}");
    let wanted = how_sure(&bare.replace("[form]", "moment_uncertainty = \"0.1 in-lb\"\n[form]"));
    assert!(wanted.contains("±0.10 in-lb (k = 2), with the uncertainty of the wanted one in it"), "{wanted}");
    assert!(
        wanted.contains("\nwanted moment: standard uncertainty 0.050 in-lb"),
        "nobody measured it: {wanted}"
    );
    let no_k =
        how_sure(&bare.replace("[form]", "moment_uncertainty = \"0.1 in-lb\"\ncoverage_factor = 0\n[form]"));
    assert!(no_k.starts_with("the finished moment has the standard uncertainty 0.050 in-lb"), "{no_k}");
}

/// 353.4 g on a scale of 0.1 g, and as typed from a finer one.
#[test]
fn masses_of_the_casting_are_said_as_finely_as_the_scale_tells() {
    let said = |text: &str| words::trim(&work(read(text))).join("\n");
    let step = "resolution = \"0.1 g\"";
    let decimals = |text: &str| {
        let said = said(text);
        let reads = said.split("must then read ").nth(1).expect("a way");
        let number = reads.split(' ').next().expect("a number");
        number.split_once('.').map_or(0, |(_, after)| after.len())
    };
    assert_eq!(decimals(&casting("353.4 g")), 1);
    assert_eq!(decimals(&casting("353.412 g")), 3);
    assert_eq!(decimals(&casting("353.4 g").replace(step, "resolution = \"0.05 g\"")), 2);
    assert_eq!(decimals(&casting("353.4 g").replace(step, "resolution = \"0.25 g\"")), 2);
}

/// 28.5 g are lacking at the casting's arm of 6.29 in: 28.9 g at the two inserts, 14.5 g each.
#[test]
fn alike_hardware_is_told_how_much_heavier_each_is_to_be() {
    let lines = words::trim(&work(read(&casting("299.6 g"))));
    let line = lines.iter().find(|line| line.contains("insert with screw")).expect("a remedy");
    assert!(line.starts_with("each of the 2 “insert with screw” heavier by "), "{line}");
    let masses: Vec<f64> =
        line.split("heavier by ").nth(1).expect("masses").split(' ').filter_map(number).collect();
    assert!((masses[0] * 2.0 - masses[1]).abs() <= 0.11, "{line}");
}

/// 5.6 kg is 12.346 lb: four digits alone would say 12.35, ten times as coarse as half a gram.
#[test]
fn what_a_scale_must_read_is_said_as_finely_as_it_must_come() {
    let units = read(DEMO[3].1).units;
    let pounds = hingeline_bench::job_sheet::Units { mass: &hingeline_quantity::unit::POUND, ..units };
    let speech = words::Speech::in_units(pounds, 0.04);
    assert_eq!(speech.mass(5.6), "12.35 lb");
    assert_eq!(speech.reading(5.6, Some(5e-4)), "12.346 lb");
    assert_eq!(speech.reading(5.6, None), "12.346 lb", "half a gram is usual");
    assert_eq!(speech.reading(0.3, Some(0.1)), speech.mass(0.3), "four digits at least");
}
