//! The history of a surface: no label covers another, moments and time are to scale, the band steps where it changed.

use hingeline_sheet::drawing::{
    Canvas, HistoryDay, HistoryDrawing, HistoryPoint, HistoryRow, PointKind, history,
};
use hingeline_sheet::{Palette, Tone};
use proptest::prelude::*;

use crate::drawings::{CANVASES, check_labels, config, palette, text};
use crate::svg;

fn weighing(day: f64, kind: PointKind, value_kg_m: f64, band_kg_m: (f64, f64)) -> HistoryRow {
    let point = HistoryPoint {
        kind,
        value_kg_m,
        expanded_uncertainty_kg_m: Some(0.0024),
        band_kg_m,
        value_label: format!("{value_kg_m} kg·m tail-heavy: outside"),
        tone: Tone::Bad,
    };
    HistoryRow { day, when: format!("day {day}"), label: "as found".to_owned(), weighed: Some(point) }
}

fn work(day: f64, label: &str) -> HistoryRow {
    HistoryRow { day, when: format!("day {day}"), label: label.to_owned(), weighed: None }
}

/// Seven years of an invented elevator half; its limits were revised once.
fn seven_years() -> HistoryDrawing {
    let (old, new) = ((-0.046, 0.0), (-0.058, 0.006));
    let rows = vec![
        weighing(100.0, PointKind::AsFound, -0.031, old),
        weighing(104.0, PointKind::AsLeft, -0.023, old),
        work(105.0, "paint"),
        weighing(900.0, PointKind::AsFound, -0.004, old),
        work(1500.0, "repair"),
        weighing(2400.0, PointKind::AsFound, 0.028, new),
        work(2401.0, "0.4 lb added"),
        weighing(2401.0, PointKind::AsLeft, -0.022, new),
    ];
    let year = |index: u16| HistoryDay { day: 365.0 * f64::from(index), label: (2019 + index).to_string() };
    let limits = ["5.0 in-lb nose-heavy", "0.5 in-lb tail-heavy"].map(str::to_owned);
    HistoryDrawing { rows, days: (1..7).map(year).collect(), limits, zero_label: "0 in-lb".to_owned() }
}

fn drawn(drawing: &HistoryDrawing, canvas: Canvas) -> String {
    history(drawing, &Palette::paper(), canvas).unwrap().into_string()
}

prop_compose! {
    fn point()(
        kind in prop_oneof![Just(PointKind::AsFound), Just(PointKind::AsLeft), Just(PointKind::Predicted)],
        value_kg_m in prop_oneof![-0.1..0.1, -50.0..50.0, Just(0.0)],
        expanded_uncertainty_kg_m in prop::option::of(prop_oneof![0.0..0.01, 0.0..90.0]),
        band_kg_m in prop_oneof![Just((-0.046, 0.0)), (-1.0..0.0, 0.0..1.0), Just((0.0, 0.0))],
        value_label in text(),
    ) -> HistoryPoint {
        HistoryPoint { kind, value_kg_m, expanded_uncertainty_kg_m, band_kg_m, value_label, tone: Tone::Plain }
    }
}

prop_compose! {
    fn any_history()(
        rows in prop::collection::vec((0.0..4000.0, text(), text(), prop::option::of(point())), 0..14),
        days in prop::collection::vec((-100.0..4100.0, "[0-9]{4}(-[0-9]{2}){0,2}"), 0..30),
        limits in (text(), text()),
        zero_label in text(),
    ) -> HistoryDrawing {
        let mut rows: Vec<_> =
            rows.into_iter().map(|(day, when, label, weighed)| HistoryRow { day, when, label, weighed }).collect();
        rows.sort_by(|a, b| a.day.total_cmp(&b.day));
        let mut days: Vec<_> = days.into_iter().map(|(day, label)| HistoryDay { day, label }).collect();
        days.sort_by(|a, b| a.day.total_cmp(&b.day));
        HistoryDrawing { rows, days, limits: [limits.0, limits.1], zero_label }
    }
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn labels_keep_apart(drawing in any_history(), canvas in prop::sample::select(CANVASES.to_vec()), stretch in 1.0..1.3) {
        check_labels(&history(&drawing, &palette(stretch), canvas).unwrap().into_string())?;
    }
}

#[test]
fn moments_and_their_bars_are_to_scale() {
    for canvas in CANVASES {
        let drawing = seven_years();
        let drawn = drawn(&drawing, canvas);
        let bars: Vec<(f64, f64)> = svg::groups(&drawn, "weighing")
            .iter()
            .map(|group| svg::points(svg::attribute(group, "d")))
            .map(|corners| (corners[0].0, corners[1].0))
            .collect();
        let values: Vec<f64> = drawing
            .rows
            .iter()
            .filter_map(|row| row.weighed.as_ref())
            .map(|point| point.value_kg_m)
            .collect();
        assert_eq!(bars.len(), values.len());
        let middle = |index: usize| (bars[index].0 + bars[index].1) / 2.0;
        let scale = (middle(3) - middle(0)) / (values[3] - values[0]);
        for (index, value) in values.iter().enumerate() {
            assert!((middle(index) - middle(0) - scale * (value - values[0])).abs() < 0.05, "point {index}");
            assert!((bars[index].1 - bars[index].0 - scale * 2.0 * 0.0024).abs() < 0.05, "bar {index}");
        }
    }
}

#[test]
fn time_is_to_scale_and_runs_down() {
    let drawing = seven_years();
    let drawn = drawn(&drawing, Canvas::WIDE);
    let places: Vec<f64> = svg::groups(&drawn, "time")
        .iter()
        .map(|group| svg::points(svg::attribute(group, "d"))[0].1)
        .collect();
    let days: Vec<f64> = drawing.rows.iter().map(|row| row.day).collect();
    let last = days.len() - 1;
    let scale = (places[last] - places[0]) / (days[last] - days[0]);
    assert!(scale > 0.0);
    for (place, day) in places.iter().zip(&days) {
        assert!((place - places[0] - scale * (day - days[0])).abs() < 0.05, "day {day}");
    }
}

#[test]
fn the_band_steps_where_the_limits_were_revised() {
    let drawn = drawn(&seven_years(), Canvas::WIDE);
    let boxes: Vec<Vec<(f64, f64)>> =
        svg::groups(&drawn, "band").iter().map(|group| svg::points(svg::attribute(group, "d"))).collect();
    let [old, new] = &boxes[..] else { panic!("{} bands", boxes.len()) };
    assert!(new[0].0 < old[0].0 && old[1].0 < new[1].0, "the new one is wider");
    assert!((old[2].1 - new[0].1).abs() < 0.01, "one ends where the next begins");
}

#[test]
fn the_words_say_what_the_marks_mean() {
    let drawn = drawn(&seven_years(), Canvas::PHONE);
    let texts: Vec<String> = svg::labels(&drawn).into_iter().map(|label| label.text).collect();
    for wanted in ["← nose-heavy", "tail-heavy →", "approved limits", "day 105 paint", "2021"] {
        assert!(texts.iter().any(|text| text == wanted), "{wanted} is not in {texts:?}");
    }
    assert!(
        svg::attribute(&drawn, "aria-label").contains("day 2401 0.4 lb added; day 2401 as found -0.022 kg·m")
    );
}

#[test]
fn the_same_history_gives_the_same_text() {
    let once = drawn(&seven_years(), Canvas::WIDE);
    assert_eq!(once, drawn(&seven_years(), Canvas::WIDE));
    let page = history(&seven_years(), &Palette::page(), Canvas::PHONE).unwrap().into_string();
    assert!(page.contains("fill=\"var(--good-tint)\"") && !page.contains("style=") && !page.contains(" id="));
}

#[test]
fn an_empty_history_is_a_line_alone() {
    let texts = svg::labels(&drawn(&HistoryDrawing::default(), Canvas::WIDE));
    assert_eq!(texts.len(), 2, "the words at its ends");
}

#[test]
fn numbers_that_cannot_be_drawn_are_refused_with_their_place() {
    let mut drawing = seven_years();
    drawing.rows[0].day = f64::INFINITY;
    let error = history(&drawing, &Palette::paper(), Canvas::WIDE).unwrap_err();
    assert_eq!(error.to_string(), "day of the history is inf d\n  allowed: -10000000 d to 10000000 d");
    drawing.rows[0] = weighing(0.0, PointKind::AsFound, f64::NAN, (0.0, 0.0));
    let error = history(&drawing, &Palette::paper(), Canvas::WIDE).unwrap_err();
    assert!(error.to_string().starts_with("moment of row 1 of the history is NaN kg·m"));
}
