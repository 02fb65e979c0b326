//! The drawings: no label covers another or leaves the drawing, and arms are to scale.

use hingeline_sheet::drawing::{
    BandDrawing, BandPoint, BenchDrawing, Canvas, Heavy, Mark, Method, Part, PointKind, ScaleBar,
    SecondAttitude, Station, band, bench,
};
use hingeline_sheet::{Palette, SheetError, Tone};
use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed};

use crate::job::{self, INCH, METHODS};
use crate::svg;

pub(crate) const CANVASES: [Canvas; 3] = [Canvas::SHEET, Canvas::WIDE, Canvas::PHONE];

pub(crate) fn config() -> Config {
    Config { cases: 400, rng_seed: RngSeed::Fixed(231), failure_persistence: None, ..Config::default() }
}

pub(crate) fn check_labels(drawn: &str) -> Result<(), TestCaseError> {
    let (width, height) = svg::view_box(drawn);
    let labels = svg::labels(drawn);
    prop_assert!(!labels.is_empty());
    for label in &labels {
        let inside = 0.0 <= label.x0 && label.x1 <= width && 0.0 <= label.y0 && label.y1 <= height;
        prop_assert!(inside, "{label:?} leaves {width} x {height}\n{drawn}");
    }
    for (index, label) in labels.iter().enumerate() {
        for other in &labels[index + 1..] {
            prop_assert!(!label.covers(other), "{label:?} covers {other:?}\n{drawn}");
        }
    }
    Ok(())
}

pub(crate) fn text() -> impl Strategy<Value = String> {
    prop_oneof![
        "[a-z]{1,9} [0-9]{1,3}",
        "([A-Za-z0-9,.()/±−°½äéß]{1,14} ){0,12}",
        "[A-Z0-9]{0,70}",
        Just("17 3/32 in".to_owned()),
        Just(String::new()),
    ]
}

fn arm() -> impl Strategy<Value = f64> {
    prop_oneof![-2.0..3.0, -0.2..0.5, -0.01..0.01, Just(0.0), Just(-0.165), Just(0.438)]
}

fn stations() -> impl Strategy<Value = Vec<Station>> {
    let station = (text(), arm(), text(), text()).prop_map(|(name, arm_m, arm_label, note)| Station {
        name,
        arm_m,
        arm_label,
        note,
    });
    prop::collection::vec(station, 0..=6)
}

fn parts() -> impl Strategy<Value = Vec<Part>> {
    prop::collection::vec((arm(), text()).prop_map(|(arm_m, label)| Part { arm_m, label }), 0..14)
}

fn heavy() -> impl Strategy<Value = Heavy> {
    prop_oneof![Just(Heavy::TailHeavy), Just(Heavy::NoseHeavy), Just(Heavy::Balanced)]
}

prop_compose! {
    fn any_bench()(
        method in prop::sample::select(METHODS.to_vec()),
        arm_m in arm(),
        labels in (text(), text(), text(), text(), text()),
        stations in stations(),
        parts in parts(),
        heavy in heavy(),
        angle_rad in prop::option::of(-1.57..1.57),
        length_m in 0.001..1.0,
        nose_m in prop::option::of(-1.0..0.05),
        trailing_edge_m in prop::option::of(0.05..4.0),
    ) -> BenchDrawing {
        let second = angle_rad.map(|angle_rad| SecondAttitude { angle_rad, label: labels.0.clone() });
        BenchDrawing {
            method: method.0, arm_m, arm_label: labels.0, reading_label: labels.1, device_label: labels.2,
            stations, heavy, heavy_label: labels.3, second, parts,
            scale_bar: ScaleBar { length_m, label: labels.4 }, nose_m, trailing_edge_m,
        }
    }
}

fn mark() -> impl Strategy<Value = Option<Mark>> {
    let value = prop_oneof![-0.1..0.1, -50.0..50.0, Just(0.0), Just(-1e-4)];
    prop::option::of((value, text()).prop_map(|(value_kg_m, label)| Mark { value_kg_m, label }))
}

fn points() -> impl Strategy<Value = Vec<BandPoint>> {
    let kind = prop_oneof![Just(PointKind::AsFound), Just(PointKind::AsLeft), Just(PointKind::Predicted)];
    let value = prop_oneof![-0.1..0.1, -500.0..500.0, Just(0.0)];
    let half = prop::option::of(prop_oneof![0.0..0.01, 0.0..900.0, Just(0.0)]);
    let point =
        (kind, value, half, text()).prop_map(|(kind, value_kg_m, expanded_uncertainty_kg_m, label)| {
            BandPoint { kind, value_kg_m, expanded_uncertainty_kg_m, label, tone: Tone::Plain }
        });
    prop::collection::vec(point, 0..7)
}

prop_compose! {
    fn any_band()(from in mark(), to in mark(), aim in mark(), zero_label in text(), points in points()) -> BandDrawing {
        BandDrawing { from, to, aim, zero_label, points }
    }
}

pub(crate) fn palette(letter_width: f64) -> Palette {
    Palette { letter_width, ..Palette::paper() }
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn bench_labels_keep_apart(drawing in any_bench(), canvas in prop::sample::select(CANVASES.to_vec()), stretch in 1.0..1.3) {
        check_labels(&bench(&drawing, &palette(stretch), canvas).unwrap().into_string())?;
    }

    #[test]
    fn band_labels_keep_apart(drawing in any_band(), canvas in prop::sample::select(CANVASES.to_vec()), stretch in 1.0..1.3) {
        check_labels(&band(&drawing, &palette(stretch), canvas).unwrap().into_string())?;
    }

    #[test]
    fn arms_are_drawn_to_the_scale_of_the_bar(drawing in any_bench(), canvas in prop::sample::select(CANVASES.to_vec())) {
        let drawn = bench(&drawing, &Palette::paper(), canvas).unwrap().into_string();
        let metre = svg::scale_bar(&drawn) / drawing.scale_bar.length_m;
        let mut arms: Vec<f64> = drawing.stations.iter().map(|station| station.arm_m.abs()).collect();
        if drawing.method != Method::PartsList {
            arms.push(drawing.arm_m.abs());
        }
        let mut drawn_arms = svg::dimensions(&drawn);
        arms.sort_by(f64::total_cmp);
        drawn_arms.sort_by(f64::total_cmp);
        prop_assert_eq!(arms.len(), drawn_arms.len());
        for (arm, length) in arms.iter().zip(&drawn_arms) {
            // numbers are printed to two decimals, and the bar may be short
            let rounding = 0.02 + 0.02 * arm / drawing.scale_bar.length_m;
            prop_assert!((length - arm * metre).abs() <= rounding, "{} m drawn as {}", arm, length);
        }
    }
}

#[test]
fn the_arm_of_the_invented_job_is_to_scale() {
    let drawing = job::bench(Method::TrailingEdgeScale, Heavy::TailHeavy);
    let drawn = bench(&drawing, &Palette::paper(), Canvas::WIDE).unwrap().into_string();
    let five_inches = svg::scale_bar(&drawn);
    let longest = svg::dimensions(&drawn).into_iter().fold(0.0, f64::max);
    assert!((longest / five_inches - 17.25 / 5.0).abs() < 1e-3);
}

#[test]
fn the_drawing_names_the_heavy_side_and_says_what_is_schematic() {
    for (heavy, word) in
        [(Heavy::TailHeavy, "tail-heavy"), (Heavy::NoseHeavy, "nose-heavy"), (Heavy::Balanced, "balanced")]
    {
        let drawing = job::bench(Method::TrailingEdgeScale, heavy);
        let drawn = bench(&drawing, &Palette::paper(), Canvas::WIDE).unwrap().into_string();
        let texts: Vec<_> = svg::labels(&drawn).into_iter().map(|label| label.text).collect();
        for wanted in [word, "outline schematic; arms to scale", "17 1/4 in", "1.312 lb", "scale S-2", "5 in"]
        {
            assert!(texts.iter().any(|text| text == wanted), "{wanted} is not in {texts:?}");
        }
    }
}

#[test]
fn both_ends_and_both_limits_of_the_band_carry_words() {
    let drawn = band(&job::band(), &Palette::paper(), Canvas::WIDE).unwrap().into_string();
    let texts: Vec<_> = svg::labels(&drawn).into_iter().map(|label| label.text).collect();
    for wanted in
        ["← nose-heavy", "tail-heavy →", "4.0 in-lb nose-heavy", "0 in-lb", "aim", "approved limits"]
    {
        assert!(texts.iter().any(|text| text == wanted), "{wanted} is not in {texts:?}");
    }
}

#[test]
fn a_page_may_pass_its_own_colours_and_no_style_attribute_is_used() {
    let drawing = job::bench(Method::TwoAttitudes, Heavy::TailHeavy);
    let drawn = bench(&drawing, &Palette::page(), Canvas::PHONE).unwrap().into_string();
    assert!(drawn.contains("fill=\"var(--ink)\""));
    assert!(!drawn.contains("style=") && !drawn.contains(" id="));
}

#[test]
fn labels_stay_text() {
    let mut drawing = job::bench(Method::TrailingEdgeScale, Heavy::TailHeavy);
    drawing.device_label = "</text><script>x</script>".into();
    let drawn = bench(&drawing, &Palette::paper(), Canvas::WIDE).unwrap().into_string();
    assert!(!drawn.contains("<script>"));
}

#[test]
fn numbers_that_cannot_be_drawn_are_refused_with_their_place() {
    let mut drawing = job::bench(Method::TrailingEdgeScale, Heavy::TailHeavy);
    drawing.arm_m = f64::NAN;
    let error = bench(&drawing, &Palette::paper(), Canvas::WIDE).unwrap_err();
    assert_eq!(error.to_string(), "arm of the bench is NaN m\n  allowed: -100 m to 100 m");
    drawing.arm_m = 17.25 * INCH;
    drawing.nose_m = Some(0.3);
    drawing.trailing_edge_m = Some(0.2);
    assert!(
        matches!(bench(&drawing, &Palette::paper(), Canvas::WIDE), Err(SheetError::Number { field, .. }) if field == "trailing edge")
    );
}

#[test]
fn an_uncertainty_below_zero_is_refused() {
    let point = BandPoint { expanded_uncertainty_kg_m: Some(-1.0), ..BandPoint::default() };
    let drawing = BandDrawing { points: vec![point], ..job::band() };
    assert!(band(&drawing, &Palette::paper(), Canvas::WIDE).is_err());
}
