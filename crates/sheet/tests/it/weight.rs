//! A balance weight on paper: labels keep apart, templates and bars are at true size in the file itself, patterns close.

use hingeline_ballast::Mesh;
use hingeline_bench::weight::Hand;
use hingeline_quantity::unit::{INCH, MILLIMETRE};
use hingeline_sheet::drawing::{
    Bore, Canvas, Figure, HoleHead, Measure, PartingLine, Profile, ScaleBar, SpaceLimits, TemplateShape,
    WeightDrawing, WeightHole, WeightPicture, check_bars, template_sheets, weight_picture, weight_views,
};
use hingeline_sheet::paper::PaperSize;
use hingeline_sheet::weight::{
    drawing_of, pattern_stl, picture_of, shrink_rows, surface_json, template_shapes, weight_paper,
};
use hingeline_sheet::{Palette, SheetError, drawing};
use proptest::prelude::*;

use crate::drawings::{CANVASES, check_labels, config, palette, text};
use crate::marks::{self, Line};
use crate::svg;
use crate::weight_demo::{self, IN};

const MM: f64 = 1e-3;

fn cap() -> WeightDrawing {
    let design = weight_demo::cap().unwrap();
    drawing_of(&design, &design.solve().unwrap(), &weight_demo::texts())
}

fn cap_paper(size: PaperSize) -> Vec<u8> {
    let design = weight_demo::cap().unwrap();
    weight_paper(&design, &design.solve().unwrap(), &weight_demo::texts(), size).unwrap()
}

fn squeezed(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace() && *c != '\u{200b}').collect()
}

fn check_says(bytes: &[u8], wanted: &[&str]) {
    let text = squeezed(&pdf_extract::extract_text_from_mem(bytes).unwrap());
    for wanted in wanted {
        assert!(text.contains(&squeezed(wanted)), "{wanted:?} is not in the text layer:\n{text}");
    }
}

fn place() -> impl Strategy<Value = f64> {
    prop_oneof![-0.3..0.3, -0.02..0.02, Just(0.0)]
}

prop_compose! {
    fn any_figure()(left in place(), low in place(), width in 0.001..0.3, height in 0.001..0.3, from_y in place(), span in 0.001..0.8, turned in any::<bool>()) -> Figure {
        let (right, high) = (left + width, low + height);
        let profile = if turned { Profile::Turned } else { Profile::Drawn };
        Figure { rings: vec![vec![[left, low], [right, low], [right, high], [left, high]]], from_y, to_y: from_y + span, profile }
    }
}

/// A share of the way between two ends.
fn part(share: f64, ends: impl Iterator<Item = f64> + Clone) -> f64 {
    let (low, high) = (ends.clone().fold(f64::INFINITY, f64::min), ends.fold(f64::NEG_INFINITY, f64::max));
    low + share * (high - low)
}

/// Holes given by shares of the box around the piece, put into it.
fn in_the_piece(holes: Vec<WeightHole>, figures: &[Figure]) -> Vec<WeightHole> {
    let corners = || figures.iter().flat_map(|figure| figure.rings.iter().flatten());
    let put = |hole: WeightHole| {
        let [x, y, z] = hole.mouth;
        let along = figures.iter().flat_map(|figure| [figure.from_y, figure.to_y]);
        let mouth = [part(x, corners().map(|c| c[0])), part(y, along), part(z, corners().map(|c| c[1]))];
        WeightHole { mouth, ..hole }
    };
    holes.into_iter().map(put).collect()
}

prop_compose! {
    fn any_hole()(bore in prop::sample::select(vec![Bore::Aft, Bore::Down, Bore::Up, Bore::Outboard]), mouth in [0.0..1.0, 0.0..1.0, 0.0..1.0],
        diameter_m in 0.0..0.03, depth_m in prop::option::of(0.0..0.1), label in text(),
        head in prop::option::of((0.0..0.04, 0.0..0.03, 0.0..0.02))) -> WeightHole {
        let head = head.map(|(face_m, floor_m, depth_m)| HoleHead { face_m, floor_m, depth_m });
        WeightHole { bore, mouth, diameter_m, depth_m, head, label }
    }
}

prop_compose! {
    fn any_limits()(forward_x_m in prop::option::of(place()), above_z_m in prop::option::of(place()), below_z_m in prop::option::of(place()),
        swing_m in prop::option::of(0.001..0.5), label in text()) -> SpaceLimits {
        SpaceLimits { forward_x_m, above_z_m, below_z_m, swing_m, label }
    }
}

prop_compose! {
    fn any_weight()(figures in prop::collection::vec(any_figure(), 1..4), old in prop::collection::vec([place(), place()], 0..6),
        holes in prop::collection::vec(any_hole(), 0..12), parting in prop_oneof![Just(PartingLine::Whole), place().prop_map(PartingLine::AtHeight), Just(PartingLine::MidSpan)],
        centre_m in [place(), place()], labels in [text(), text(), text(), text(), text(), text(), text()],
        size in prop::option::of((place(), place())), limits in any_limits(), length_m in 0.001..0.1, hand in prop::sample::select(vec![drawing::Hand::Right, drawing::Hand::Left, drawing::Hand::Either])) -> WeightDrawing {
        let [name, old_label, arm_label, reach_label, height_label, span_label, size_label] = labels;
        let holes = in_the_piece(holes, &figures);
        WeightDrawing {
            name, figures, old, old_label, holes, parting, centre_m, arm_label, reach_label, height_label,
            size: size.map(|(from_m, to_m)| Measure { from_m, to_m, label: size_label }), span_label, limits,
            scale_bar: ScaleBar { length_m, label: "bar".into() }, hand, surface: Vec::new(),
        }
    }
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn weight_labels_keep_apart(drawing in any_weight(), canvas in prop::sample::select(CANVASES.to_vec()), stretch in 1.0..1.3) {
        check_labels(&weight_views(&drawing, &palette(stretch), canvas).unwrap().into_string())?;
    }
}

#[test]
fn labels_of_solved_weights_keep_apart_on_every_canvas() {
    for (name, design, solution) in weight_demo::all().unwrap() {
        let drawing = drawing_of(&design, &solution, &weight_demo::texts());
        for canvas in CANVASES {
            let drawn = weight_views(&drawing, &Palette::page(), canvas).unwrap().into_string();
            check_labels(&drawn).unwrap_or_else(|error| panic!("{name}: {error}"));
        }
    }
}

#[test]
fn the_thickness_of_the_section_is_to_the_scale_of_its_bar() {
    let drawing = cap();
    let drawn = weight_views(&drawing, &Palette::paper(), Canvas::WIDE).unwrap().into_string();
    let size = drawing.size.unwrap();
    // the rows in their order: front, centre of gravity, thickness, ...
    let thickness = svg::dimensions(&drawn)[2];
    let wanted = (size.to_m - size.from_m) / drawing.scale_bar.length_m;
    assert!((thickness / svg::scale_bar(&drawn) - wanted).abs() < 2e-3, "{thickness}");
}

#[test]
fn a_hinge_line_that_is_near_is_drawn_to_scale() {
    let design = weight_demo::bar();
    let solution = design.solve().unwrap();
    let drawing = drawing_of(&design, &solution, &weight_demo::texts());
    let drawn = weight_views(&drawing, &Palette::paper(), Canvas::WIDE).unwrap().into_string();
    assert!(!drawn.contains("drawn nearer than it is"));
    let metre = svg::scale_bar(&drawn) / drawing.scale_bar.length_m;
    let front = svg::dimensions(&drawn)[0] / metre;
    assert!((front + solution.envelope.front).abs() < 2e-4, "{front}");
}

#[test]
fn the_drawing_says_what_it_shows() {
    let drawn = weight_views(&cap(), &Palette::paper(), Canvas::WIDE).unwrap().into_string();
    for wanted in [
        "thickness 0.137 in",
        "span 4.000 in",
        "height 1.175 in",
        "old weight, front as traced",
        "new cap, lead",
    ] {
        assert!(drawn.contains(&format!(">{wanted}</text>")), "{wanted}");
    }
    let words = svg::attribute(&drawn, "aria-label");
    assert!(words.contains("centre of gravity") && words.contains("upper and a lower half"), "{words}");
}

#[test]
fn a_page_passes_its_own_colours_and_labels_stay_text() {
    let drawing = WeightDrawing { name: "<script>".into(), ..cap() };
    let drawn = weight_views(&drawing, &Palette::page(), Canvas::PHONE).unwrap().into_string();
    assert!(drawn.contains("var(--ink)") && !drawn.contains("style=") && !drawn.contains(" id="));
    assert!(!drawn.contains("<script>"));
}

#[test]
fn a_weight_that_cannot_be_drawn_is_refused() {
    let nothing = WeightDrawing { figures: Vec::new(), ..cap() };
    let error = weight_views(&nothing, &Palette::paper(), Canvas::WIDE).unwrap_err();
    assert!(error.to_string().contains("allowed: rings of 3 corners or more"), "{error}");
    let mut beside = cap();
    beside.holes[0].mouth[1] = 0.2;
    let error = weight_views(&beside, &Palette::paper(), Canvas::WIDE).unwrap_err();
    assert!(error.to_string().contains("allowed: within the piece"), "{error}");
    let astray = WeightDrawing { centre_m: [f64::NAN, 0.0], ..cap() };
    assert!(matches!(weight_views(&astray, &Palette::paper(), Canvas::WIDE), Err(SheetError::Number { .. })));
}

#[test]
fn the_picture_keeps_within_its_canvas_and_is_the_same_every_time() {
    let design = weight_demo::boxed().unwrap();
    let picture = picture_of(&design, &design.solve().unwrap(), Hand::Right, 1e-4).unwrap();
    let draw = || weight_picture(&picture, "a cap", &Palette::paper(), Canvas::PHONE).unwrap().into_string();
    let drawn = draw();
    check_labels(&drawn).unwrap();
    assert_eq!(drawn, draw());
    assert_eq!(svg::attribute(&drawn, "aria-label"), "a cap");
    let (width, height) = svg::view_box(&drawn);
    for d in drawn.split(" d=\"").skip(1).map(|part| &part[..part.find('"').unwrap()]) {
        for (x, y) in d.split('M').filter(|run| !run.is_empty()).flat_map(svg::points) {
            assert!(0.0 <= x && x <= width && 0.0 <= y && y <= height, "{x} {y}");
        }
    }
}

#[test]
fn a_hidden_face_is_not_drawn() {
    let plate = |away: f64, size: f64| {
        // square to the line of sight of the picture
        let (u, v, w) = (
            [0.5_f64.sqrt(), -0.5_f64.sqrt(), 0.0],
            [1.0, 1.0, 2.0].map(|c| c / 6f64.sqrt()),
            [1.0, 1.0, -1.0].map(|c| away * c / 3f64.sqrt()),
        );
        let at = |p: f64, q: f64| [0, 1, 2].map(|i: usize| size * (p * u[i] + q * v[i]) + w[i]);
        [[at(-1.0, -1.0), at(1.0, -1.0), at(1.0, 1.0)], [at(-1.0, -1.0), at(1.0, 1.0), at(-1.0, 1.0)]]
    };
    let draw = |plates: &[[[[f64; 3]; 3]; 2]]| {
        let picture = WeightPicture { triangles: plates.concat(), ..WeightPicture::default() };
        weight_picture(&picture, "plates", &Palette::paper(), Canvas::WIDE).unwrap().into_string()
    };
    let near = draw(&[plate(0.0, 0.1)]);
    assert_eq!(near, draw(&[plate(0.0, 0.1), plate(0.2, 0.05)]));
    assert_ne!(near, draw(&[plate(0.0, 0.1), plate(-0.2, 0.05)]));
}

/// Length and height of the first ring of a template drawing, in units of its view box.
fn ring_size(drawn: &str) -> (f64, f64) {
    let group = svg::groups(drawn, "template").remove(0);
    let points = svg::points(svg::attribute(group, "d"));
    let span = |values: Vec<f64>| {
        values.iter().copied().fold(f64::NEG_INFINITY, f64::max)
            - values.iter().copied().fold(f64::INFINITY, f64::min)
    };
    (span(points.iter().map(|p| p.0).collect()), span(points.iter().map(|p| p.1).collect()))
}

#[test]
fn a_template_is_drawn_in_millimetres() {
    let design = weight_demo::cap().unwrap();
    let solution = design.solve().unwrap();
    let shapes = template_shapes(&design, &solution, &weight_demo::texts());
    for shape in &shapes {
        let ring = &shape.rings[0];
        let size = |axis: usize| {
            let along = || ring.iter().map(|point| point[axis]);
            (along().fold(f64::NEG_INFINITY, f64::max) - along().fold(f64::INFINITY, f64::min)) / MM
        };
        let sheets =
            template_sheets(std::slice::from_ref(shape), PaperSize::A4.window_mm(), 12, &Palette::paper())
                .sheets;
        let drawn = ring_size(&sheets[0].svg);
        assert!((drawn.0 - size(0)).abs() <= 0.0101 && (drawn.1 - size(1)).abs() <= 0.0101, "{}", shape.name);
        let (width, height) = svg::view_box(&sheets[0].svg);
        let [across, down] = sheets[0].size_mm;
        assert!((across - width).abs() < 0.0101 && (down - height).abs() < 0.0101, "{}", shape.name);
        assert!(svg::attribute(&sheets[0].svg, "width").ends_with("mm"));
    }
    let section = &shapes[0];
    let height = section.rings[0].iter().map(|point| point[1]).fold(f64::NEG_INFINITY, f64::max);
    assert!((height - solution.envelope.top).abs() < 1e-5);
}

#[test]
fn labels_of_templates_keep_apart() {
    for (name, design, solution) in weight_demo::all().unwrap() {
        let shapes = template_shapes(&design, &solution, &weight_demo::texts());
        for size in [PaperSize::A4, PaperSize::Letter] {
            for sheet in template_sheets(&shapes, size.window_mm(), 12, &Palette::paper()).sheets {
                check_labels(&sheet.svg).unwrap_or_else(|error| panic!("{name}: {error}"));
            }
        }
    }
    check_labels(&check_bars([178.0, 241.0], &Palette::paper())).unwrap();
}

fn long_shape(width: f64, height: f64) -> TemplateShape {
    let ring = vec![[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]];
    TemplateShape { name: "long bar".into(), rings: vec![ring], ..TemplateShape::default() }
}

#[test]
fn a_long_piece_is_cut_into_sheets_that_cover_it_and_share_their_marks() {
    let window = PaperSize::A4.window_mm();
    let sheets = template_sheets(&[long_shape(0.7, 0.3)], window, 20, &Palette::paper()).sheets;
    assert!(1 < sheets.len());
    let crosses: Vec<(f64, f64)> = svg::groups(&sheets[0].svg, "match-mark")
        .iter()
        .map(|group| {
            let ends = svg::points(svg::attribute(group, "d"));
            (f64::midpoint(ends[0].0, ends[1].0), ends[0].1)
        })
        .collect();
    let within = |sheet: [f64; 2], (x, y): (f64, f64)| {
        sheet[0] <= x && x <= sheet[0] + window[0] && sheet[1] <= y && y <= sheet[1] + window[1]
    };
    for cross in &crosses {
        let on = sheets.iter().filter(|sheet| within(sheet.from_mm, *cross)).count();
        assert!(2 <= on, "{cross:?} is on {on} sheets");
    }
    for sheet in &sheets {
        assert!(
            2 <= crosses.iter().filter(|cross| within(sheet.from_mm, **cross)).count(),
            "{}",
            sheet.title
        );
    }
    let reach =
        |axis: usize| sheets.iter().map(|sheet| sheet.from_mm[axis] + window[axis]).fold(0.0, f64::max);
    assert!(sheets[0].size_mm[0] <= reach(0) && sheets[0].size_mm[1] <= reach(1));
}

#[test]
fn a_piece_for_too_many_sheets_is_refused_with_its_size() {
    let templates =
        template_sheets(&[long_shape(2.0, 0.3)], PaperSize::Letter.window_mm(), 6, &Palette::paper());
    assert!(templates.sheets.is_empty());
    assert_eq!(templates.refused.len(), 1);
    assert!(templates.refused[0].contains("more than the 6 that are printed"), "{}", templates.refused[0]);
}

#[test]
fn the_check_bars_are_100_mm_and_4_in_long_in_both_directions() {
    let drawn = check_bars([178.0, 241.0], &Palette::paper());
    let bars: Vec<(f64, f64)> = svg::groups(&drawn, "check-bar")
        .iter()
        .map(|group| {
            let ends = svg::points(svg::attribute(group, "d"));
            ((ends[1].0 - ends[0].0).abs(), (ends[1].1 - ends[0].1).abs())
        })
        .collect();
    for wanted in [(100.0, 0.0), (0.0, 100.0), (101.6, 0.0), (0.0, 101.6)] {
        let near = |bar: &&(f64, f64)| (bar.0 - wanted.0).abs() < 0.0101 && (bar.1 - wanted.1).abs() < 0.0101;
        assert_eq!(bars.iter().filter(near).count(), 1, "{wanted:?} in {bars:?}");
    }
}

/// How many lines of a length, mm, there are on a page, level or upright.
fn count(lines: &[Line], level_mm: f64, upright_mm: f64) -> usize {
    let mm = 25.4 / 72.0;
    let is = |line: &&Line| {
        let (dx, dy) = ((line.to.0 - line.from.0).abs() * mm, (line.to.1 - line.from.1).abs() * mm);
        (dx - level_mm).abs() < 0.02 && (dy - upright_mm).abs() < 0.02
    };
    lines.iter().filter(is).count()
}

#[test]
fn bars_and_templates_have_their_true_size_on_the_page_of_the_file() {
    let design = weight_demo::cap().unwrap();
    let solution = design.solve().unwrap();
    let height_mm = (solution.envelope.top - solution.envelope.bottom) / MM;
    let span_mm = 4.0 * IN / MM;
    for size in [PaperSize::A4, PaperSize::Letter] {
        let pages = marks::lines(&cap_paper(size));
        let lines = pages.last().unwrap();
        for (level, upright) in [(100.0, 0.0), (0.0, 100.0), (101.6, 0.0), (0.0, 101.6)] {
            assert!(1 <= count(lines, level, upright), "{level} by {upright} mm on {size:?}");
        }
        // the view from ahead and the wrap: both long sides of each, beside the bars of 4 in
        let all = pages.iter().skip(2).flatten().copied().collect::<Vec<_>>();
        assert_eq!(count(&all, span_mm, 0.0), 5, "span on {size:?}");
        assert!(2 <= count(lines, 0.0, height_mm), "height on {size:?}");
        // nothing of that size by chance on the first page, which is not at true size
        assert_eq!(count(&pages[0], 0.0, height_mm), 0);
    }
}

#[test]
fn the_paper_of_a_weight_says_what_it_must() {
    let bytes = cap_paper(PaperSize::A4);
    check_says(
        &bytes,
        &[
            "HP-0231",
            "Lead cap, thickness 0.137 in: 0.6083 lb finished",
            "3.780 in-lb nose-heavy",
            "Parts and moments",
            "two no. 10 screws",
            "What to cast",
            "Trim targets",
            "margins for the engineer to confirm",
            "Flutter can destroy an aeroplane",
            "Lead: fume and dust are poisonous",
            "Molten metal and water",
            "7/32 in per ft",
            "Sources",
            "Print at actual size (100 %); measure the bars before use.",
            "Templates 1:1, sheet 1 of 1",
            "100 mm",
            "4 in",
            "upper half, section",
            "old weight, front as traced",
        ],
    );
}

#[test]
fn the_paper_of_a_weight_is_the_same_bytes_every_time() {
    assert!(cap_paper(PaperSize::Letter) == cap_paper(PaperSize::Letter));
}

#[test]
fn every_form_prints() {
    for (name, design, solution) in weight_demo::all().unwrap() {
        let bytes = weight_paper(&design, &solution, &weight_demo::texts(), PaperSize::Letter).unwrap();
        assert!(bytes.starts_with(b"%PDF"), "{name}");
    }
}

#[test]
fn typed_texts_stay_text_on_the_paper_of_a_weight() {
    let design = weight_demo::cap().unwrap();
    let mut texts = weight_demo::texts();
    texts.metal = "#panic() $x$ <b>".into();
    texts.notes = vec!["翼 #read(\"/etc/passwd\")".into()];
    let bytes = weight_paper(&design, &design.solve().unwrap(), &texts, PaperSize::A4).unwrap();
    check_says(&bytes, &["#panic() $x$ <b>", "[U+7FFC] #read(\"/etc/passwd\")"]);
}

#[test]
fn a_pattern_is_closed_and_grown_by_the_shrinkage() {
    for (name, design) in [("cap", weight_demo::cap().unwrap()), ("bar", weight_demo::bar())] {
        let solution = design.solve().unwrap();
        for unit in [&MILLIMETRE, &INCH] {
            let files = pattern_stl(&solution, Hand::Right, 0.0182, unit).unwrap();
            assert_eq!(files.len(), 3, "{name}: the whole and two halves");
            let volumes: Vec<f64> = files
                .iter()
                .map(|file| Mesh::read(&file.bytes, unit.factor).unwrap().moments.total)
                .collect();
            let wanted = solution.body.volume.total * 1.0182_f64.powi(3);
            assert!((volumes[0] / wanted - 1.0).abs() < 1e-4, "{name} {volumes:?} {wanted}");
            assert!(((volumes[1] + volumes[2]) / wanted - 1.0).abs() < 1e-4, "{name} {volumes:?} {wanted}");
        }
    }
}

#[test]
fn a_shrinkage_that_cannot_be_is_refused() {
    let solution = weight_demo::nose().solve().unwrap();
    for shrinkage in [f64::NAN, 0.6, -1.0] {
        assert!(pattern_stl(&solution, Hand::Right, shrinkage, &INCH).is_err(), "{shrinkage}");
    }
}

#[test]
fn the_surface_for_a_page_is_closed() {
    let design = weight_demo::cap().unwrap();
    let picture = picture_of(&design, &design.solve().unwrap(), Hand::Right, 1e-4).unwrap();
    let text = surface_json(&picture);
    let value: serde_json::Value = serde_json::from_str(&text).unwrap();
    let whole = |name: &str| -> Vec<i64> {
        value[name].as_array().unwrap().iter().map(|one| one.as_i64().unwrap()).collect()
    };
    let (corners, triangles) = (whole("corners"), whole("triangles"));
    assert_eq!(corners.len() % 3, 0);
    let mut sides: Vec<(i64, i64)> =
        triangles.chunks(3).flat_map(|t| [(t[0], t[1]), (t[1], t[2]), (t[2], t[0])]).collect();
    let mut back: Vec<(i64, i64)> = sides.iter().map(|(a, b)| (*b, *a)).collect();
    sides.sort_unstable();
    back.sort_unstable();
    assert_eq!(sides, back);
    let foremost = corners.chunks(3).map(|corner| corner[0]).min().unwrap();
    let front = design.solve().unwrap().envelope.front / value["unit_m"].as_f64().unwrap();
    // the corners of a curve stand off it by no more than the tolerance
    assert!((front - f64::from(i32::try_from(foremost).unwrap())).abs() <= 10.0);
}

#[test]
fn the_published_shrinkages_stand_side_by_side_with_their_sources() {
    let rows = shrink_rows();
    let percent: Vec<&str> = rows.iter().map(|row| row.percent.as_str()).collect();
    assert_eq!(percent, ["0.89 to 0.95 %", "1.00 %", "1.82 %", "2.60 %"]);
    assert!(rows.iter().all(|row| !row.source.is_empty() && !row.printed.is_empty()));
}

#[test]
fn the_paper_of_plates_speaks_of_making_and_not_of_casting() {
    let plates = include_str!("../../../../demo/weights/HP-0235-rudder-plates.toml");
    let worked = hingeline_bench::weight::work(hingeline_bench::weight::WeightSheet::parse(plates).unwrap());
    let texts = hingeline_sheet::weight::texts_of(&worked, "HP-0235", (1, 1));
    let paper = hingeline_sheet::weight::paper_of(&worked.sheet.design, worked.solution().unwrap(), &texts);
    assert_eq!(paper.making, "What to make");
    assert!(paper.shrinkage.is_empty(), "nothing shrinks");
    let mut said = paper.cautions.clone();
    said.extend(paper.cast.iter().chain(&paper.trim).map(|line| format!("{} {}", line.name, line.value)));
    said.extend(paper.parts.iter().map(|part| part.name.clone()));
    let said = said.join("; ").to_lowercase();
    for word in ["cast", "molten", "lead:"] {
        assert!(!said.contains(word), "{word} in: {said}");
    }
}
