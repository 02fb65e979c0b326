//! Pieces as they are seen: of a right-hand and of a left-hand surface, with the mouths of their holes, and as a mesh.

use std::sync::Arc;

use hingeline_ballast::Mesh;
use hingeline_ballast::design::{Depth, Design, Form, Hole, Mouth, Solution, Vary};
use hingeline_bench::weight::Hand;
use hingeline_bench::weight::words::Speech;
use hingeline_quantity::unit::MILLIMETRE;
use hingeline_sheet::Palette;
use hingeline_sheet::drawing::{self, Canvas, Profile, weight_picture, weight_views};
use hingeline_sheet::paper::PaperSize;
use hingeline_sheet::weight::{
    WeightTexts, drawing_of, paper_of, pattern_stl, picture_of, surface_json, template_shapes, texts_of,
    weight_paper,
};

use crate::drawings::{CANVASES, check_labels};
use crate::svg;
use crate::weight_demo;

/// A bar with one hole from above, nearer to its inboard end, and one into that end.
fn lopsided() -> (Design, Solution) {
    let mut design = weight_demo::bar();
    design.holes.truncate(1);
    let depth = Depth::FullDiameter { depth: 0.01, point_angle: 2.06 };
    let mouth = Mouth::End { x: -0.013, z: 0.002 };
    design.holes.push(Hole { name: "trim hole".into(), diameter: 0.004, depth, head: None, mouth });
    let solution = design.solve().unwrap();
    (design, solution)
}

fn texts(hand: Hand) -> WeightTexts {
    WeightTexts { hand, ..weight_demo::texts() }
}

#[test]
fn the_pattern_of_a_left_hand_piece_is_the_mirror_image_and_turned_outwards() {
    for (name, _, solution) in weight_demo::all().unwrap() {
        let [right, left] = [Hand::Right, Hand::Left].map(|hand| {
            pattern_stl(&solution, hand, 0.01, &MILLIMETRE).unwrap_or_else(|fault| panic!("{name}: {fault}"))
        });
        for (right, left) in right.iter().zip(&left) {
            assert!(left.bytes.starts_with(b"STL of left-hand"), "{name}");
            // the reader refuses a surface that is turned inwards, or says that it turned it
            let read =
                |bytes: &[u8]| Mesh::read(bytes, 0.001).unwrap_or_else(|fault| panic!("{name}: {fault}"));
            let (one, other) = (read(&right.bytes), read(&left.bytes));
            assert_eq!(one.notes, other.notes, "{name}");
            let near = |a: f64, b: f64| (a - b).abs() <= 1e-6 * one.moments.total;
            let (a, b) = (one.moments, other.moments);
            assert!(
                near(a.total, b.total) && near(a.first[0], b.first[0]) && near(a.first[1], -b.first[1]),
                "{name}"
            );
            assert!(near(a.first[2], b.first[2]), "{name}");
        }
    }
}

#[test]
fn the_numbers_of_a_left_hand_piece_are_those_of_a_right_hand_one() {
    let sheet = |hand: &str| {
        let text = format!(
            "[weight]\nname = \"bar\"\nmoment = \"3 in-lb nose-heavy\"\nmaterial = \"lead, 4 % antimony\"\n[form]\n\
             kind = \"bar\"\nhand = \"{hand}\"\ndepth = \"1/2 in\"\nheight = \"1/2 in\"\nface = \"rear\"\n\
             arm = \"5 in\"\nside = \"forward\"\n[vary]\nwhat = \"span\"\nleast = \"1 in\"\nmost = \"20 in\"\n\
             [[hole]]\nname = \"bolt\"\ndiameter = \"0.19 in\"\nfrom = \"top\"\ndepth = \"1/4 in\"\npoint = \"118 deg\"\n\
             measured = \"full diameter\"\narm = \"5.2 in\"\nside = \"forward\"\nalong = [\"0.3 in\"]\n"
        );
        hingeline_bench::weight::work(hingeline_bench::weight::WeightSheet::parse(&text).unwrap())
    };
    let (right, left) = (sheet("right"), sheet("left"));
    assert_eq!(right.outcome.unwrap(), left.outcome.unwrap());
    assert_eq!((right.sheet.hand, left.sheet.hand), (Hand::Right, Hand::Left));
}

#[test]
fn templates_of_a_left_hand_piece_are_mirrored_with_their_holes() {
    let (design, solution) = lopsided();
    let [right, left] =
        [Hand::Right, Hand::Left].map(|hand| template_shapes(&design, &solution, &texts(hand)));
    assert_eq!(right.len(), left.len());
    for (one, other) in right.iter().zip(&left) {
        let rings = |shape: &drawing::TemplateShape, way: f64| -> Vec<[f64; 2]> {
            shape.rings.iter().flatten().map(|[u, v]| [way * u, *v]).collect()
        };
        assert_eq!(rings(one, -1.0), rings(other, 1.0), "{}", one.name);
        let circles = |shape: &drawing::TemplateShape, way: f64| -> Vec<[f64; 2]> {
            shape.circles.iter().map(|([u, v], _)| [way * u, *v]).collect()
        };
        assert_eq!(circles(one, -1.0), circles(other, 1.0), "{}", one.name);
    }
    let said = |shapes: &[drawing::TemplateShape], words: &str| {
        shapes.iter().filter(|shape| shape.name.contains(words)).count()
    };
    assert_eq!(said(&right, "of a right-hand surface"), right.len());
    assert_eq!(said(&left, "of a left-hand surface"), left.len());
}

#[test]
fn views_of_a_left_hand_piece_have_outboard_to_the_right() {
    let (design, solution) = lopsided();
    let drawn = |hand: Hand| {
        let drawing = drawing_of(&design, &solution, &texts(hand));
        weight_views(&drawing, &Palette::page(), Canvas::WIDE).unwrap().into_string()
    };
    let (right, left) = (drawn(Hand::Right), drawn(Hand::Left));
    for (drawn, hand, way) in
        [(&right, "right", "outboard to the left"), (&left, "left", "outboard to the right")]
    {
        assert!(drawn.contains(&format!("of a {hand}-hand surface: {way}")), "{drawn}");
        check_labels(drawn).unwrap();
    }
    let hole = |drawn: &str| -> f64 {
        let group = svg::groups(drawn, "hole").remove(0);
        // a circle begins at the left end of its level diameter
        let (start, rest) = svg::attribute(group, "d")[1..].split_once(' ').unwrap();
        let radius = rest.split_once('a').unwrap().1.split(' ').next().unwrap();
        start.parse::<f64>().unwrap() + radius.parse::<f64>().unwrap()
    };
    let width = svg::view_box(&right).0;
    assert!((hole(&right) + hole(&left) - width).abs() < 0.02 && width / 2.0 < hole(&right), "{width}");
}

#[test]
fn a_piece_that_is_its_own_mirror_image_needs_no_word() {
    for (name, design, solution) in weight_demo::all().unwrap() {
        for hand in [Hand::Right, Hand::Left] {
            let drawing = drawing_of(&design, &solution, &texts(hand));
            assert_eq!(drawing.hand, drawing::Hand::Either, "{name}");
            let drawn = weight_views(&drawing, &Palette::page(), Canvas::WIDE).unwrap().into_string();
            let shapes = template_shapes(&design, &solution, &texts(hand));
            assert!(
                !drawn.contains("-hand") && shapes.iter().all(|shape| !shape.name.contains("-hand")),
                "{name}"
            );
        }
    }
}

#[test]
fn holes_have_their_mouths_on_the_face_of_the_picture() {
    let (design, solution) = lopsided();
    let picture = picture_of(&design, &solution, Hand::Right, 1e-4).unwrap();
    let [down, end] = picture.holes.as_slice() else { panic!("{:?}", picture.holes) };
    for [x, y, z] in down {
        assert!(
            (z - solution.envelope.top).abs() < 1e-12 && ((x + 0.018).hypot(y - 0.15) - 0.003).abs() < 1e-12
        );
    }
    for [x, y, z] in end {
        assert!((y - 0.1).abs() < 1e-12 && ((x + 0.013).hypot(z - 0.002) - 0.002).abs() < 1e-12);
    }
    let draw = |hand: drawing::Hand| {
        let picture = drawing::WeightPicture { hand, ..picture.clone() };
        weight_picture(&picture, "a bar", &Palette::paper(), Canvas::WIDE).unwrap().into_string()
    };
    let (right, left) = (draw(drawing::Hand::Right), draw(drawing::Hand::Left));
    assert_eq!(svg::groups(&right, "mouth").len(), 2);
    assert!(left.contains("of a left-hand surface") && left != right);
    let lid = weight_demo::bar();
    let solved = lid.solve().unwrap();
    let mut below = lid;
    for hole in &mut below.holes {
        let Mouth::Top { x, y } = hole.mouth else { continue };
        hole.mouth = Mouth::Bottom { x, y };
    }
    let picture = picture_of(&below, &solved, Hand::Right, 1e-4).unwrap();
    assert_eq!(picture.holes.len(), 3);
    let drawn = weight_picture(&picture, "a bar", &Palette::paper(), Canvas::WIDE).unwrap().into_string();
    assert!(svg::groups(&drawn, "mouth").is_empty(), "holes from below are on the far side");
}

/// The rim of a hole into a round front lies on it, and is turned outwards.
#[test]
fn the_mouth_of_a_hole_in_a_round_front_is_curved() {
    let design = weight_demo::cap().unwrap();
    let solution = design.solve().unwrap();
    let picture = picture_of(&design, &solution, Hand::Right, 1e-6).unwrap();
    assert_eq!(picture.holes.len(), 2);
    let rim = &picture.holes[0];
    let front = solution.envelope.front;
    let deepest = rim.iter().map(|corner| corner[0] - front).fold(0.0, f64::max);
    assert!(1e-4 < deepest && deepest < 1e-3, "{deepest}");
    let turned: f64 =
        rim.iter().zip(rim.iter().cycle().skip(1)).map(|(a, b)| a[1] * b[2] - a[2] * b[1]).sum();
    assert!(turned < 0.0, "counterclockwise as seen from ahead, against x");
}

#[test]
fn the_surface_for_a_page_is_mirrored_for_a_left_hand_piece() {
    let (design, solution) = lopsided();
    let json = |hand: Hand| -> serde_json::Value {
        serde_json::from_str(&surface_json(&picture_of(&design, &solution, hand, 1e-4).unwrap())).unwrap()
    };
    let volume = |value: &serde_json::Value| -> i64 {
        let numbers = |name: &str| -> Vec<i64> {
            value[name].as_array().unwrap().iter().map(|n| n.as_i64().unwrap()).collect()
        };
        let (corners, triangles) = (numbers("corners"), numbers("triangles"));
        let corner = |index: i64| &corners[3 * usize::try_from(index).unwrap()..][..3];
        let of = |t: &[i64]| {
            let (a, b, c) = (corner(t[0]), corner(t[1]), corner(t[2]));
            a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0])
                + a[2] * (b[0] * c[1] - b[1] * c[0])
        };
        triangles.chunks(3).map(of).sum()
    };
    let (right, left) = (json(Hand::Right), json(Hand::Left));
    assert!(0 < volume(&right));
    assert_eq!(volume(&right), volume(&left));
    let across = |value: &serde_json::Value| value["holes"][0][1].as_i64().unwrap();
    assert!(0 < across(&right) && across(&left) < 0);
    assert_eq!(right["holes"].as_array().unwrap().len(), 2);
}

/// A piece as from a file: a wedge that is thicker outboard, so no extrusion.
fn measured() -> (Design, Solution) {
    let [a, b] = [(0.0, 0.008), (0.1, 0.02)]
        .map(|(y, z)| [[-0.16, y, -z], [-0.14, y, -z], [-0.14, y, z], [-0.16, y, z]]);
    let mut triangles = vec![[a[0], a[1], a[2]], [a[0], a[2], a[3]], [b[0], b[2], b[1]], [b[0], b[3], b[2]]];
    for side in 0..4 {
        let next = (side + 1) % 4;
        triangles.extend([[a[side], b[side], b[next]], [a[side], b[next], a[next]]]);
    }
    let surface = Mesh::new(triangles).checked(1.0).unwrap();
    let [low, high] = surface.mesh.bounds().unwrap();
    let form =
        Form::Measured { volume: surface.moments, bounds: [low, high], surface: Arc::new(surface.mesh) };
    let design = Design { form, vary: Vary::Nothing, holes: Vec::new(), ..weight_demo::frustum() };
    let solution = design.solve().unwrap();
    (design, solution)
}

#[test]
fn a_measured_piece_is_drawn_by_its_surface_from_three_sides() {
    let (design, solution) = measured();
    let drawing = drawing_of(&design, &solution, &weight_demo::texts());
    assert_eq!((drawing.figures[0].profile, drawing.surface.len()), (Profile::Body, 12));
    for canvas in CANVASES {
        let drawn = weight_views(&drawing, &Palette::page(), canvas).unwrap().into_string();
        check_labels(&drawn).unwrap();
    }
    let drawn = weight_views(&drawing, &Palette::page(), Canvas::WIDE).unwrap().into_string();
    for words in [
        "side view, looking to the pilot",
        "view from ahead",
        "view from above",
        "height ",
        "span ",
        "centre of gravity",
    ] {
        assert!(drawn.contains(words), "{words}");
    }
    let picture = picture_of(&design, &solution, Hand::Right, 1e-4).unwrap();
    assert_eq!(picture.triangles.len(), 12);
    let bytes = weight_paper(&design, &solution, &weight_demo::texts(), PaperSize::A4).unwrap();
    assert!(bytes.starts_with(b"%PDF"));
    assert!(template_shapes(&design, &solution, &weight_demo::texts()).is_empty());
    // the pattern is the mesh itself, grown
    let files = pattern_stl(&solution, Hand::Right, 0.01, &MILLIMETRE).unwrap();
    let read = Mesh::read(&files[0].bytes, 0.001).unwrap();
    assert!((read.moments.total / (solution.body.volume.total * 1.01_f64.powi(3)) - 1.0).abs() < 1e-5);
}

#[test]
fn a_large_mesh_is_drawn_coarser_and_the_paper_says_so() {
    let (mut design, _) = measured();
    let surface = Mesh::frustum([0.02, 0.03], 0.1, 1e-8).moved([-0.1, 0.0, 0.0]);
    assert!(4000 < surface.triangles().len());
    let [low, high] = surface.bounds().unwrap();
    design.form =
        Form::Measured { volume: surface.moments(), bounds: [low, high], surface: Arc::new(surface) };
    let solution = design.solve().unwrap();
    assert!(picture_of(&design, &solution, Hand::Right, 1e-4).unwrap().triangles.len() <= 4000);
    let paper = hingeline_sheet::weight::paper_of(&design, &solution, &weight_demo::texts());
    assert!(paper.notes.iter().any(|note| note.contains("coarsened from")), "{:?}", paper.notes);
}

/// By hand: two flanks of half an inch and half a circle of the outside.
#[test]
fn the_wrap_of_a_cap_is_its_outside_rolled_out() {
    let design = weight_demo::cap().unwrap();
    let solution = design.solve().unwrap();
    let wrap = |texts: &WeightTexts| {
        let shapes = template_shapes(&design, &solution, texts);
        shapes.into_iter().find(|shape| shape.name.starts_with("to lay round")).unwrap()
    };
    let shape = wrap(&weight_demo::texts());
    let (_, thickness) = solution.value.unwrap();
    let round = weight_demo::IN + std::f64::consts::PI * (0.45 * weight_demo::IN + thickness);
    let reach = |axis: usize| shape.rings[0].iter().map(|point| -point[axis]).fold(0.0, f64::max);
    assert!(
        (reach(1) - round).abs() < 1e-5 && (reach(0) - 4.0 * weight_demo::IN).abs() < 1e-12,
        "{:?}",
        shape.rings
    );
    // both screws are in the middle of the front, on the parting line
    for (([u, v], _), along) in shape.circles.iter().zip([1.0, 3.0]) {
        assert!((u + along * weight_demo::IN).abs() < 1e-12 && (v + round / 2.0).abs() < 1e-5, "{u} {v}");
    }
    assert!((shape.lines[0][0][1] + round / 2.0).abs() < 1e-5);
}

#[test]
fn a_wrap_that_does_not_go_on_one_sheet_is_left_out() {
    let mut design = weight_demo::cap().unwrap();
    design.parting = None;
    design.space = hingeline_ballast::design::Space::default();
    design.wanted.moment_kg_m *= 3.0;
    if let Form::Cap { span, .. } = &mut design.form {
        span.length *= 3.0;
    }
    let shapes = template_shapes(&design, &design.solve().unwrap(), &weight_demo::texts());
    assert!(shapes.iter().all(|shape| !shape.name.starts_with("to lay round")));
}

/// One piece weighs the same in every place where it is read: on paper, page and terminal.
#[test]
fn the_paper_says_its_numbers_as_terminal_and_page_do() {
    let text = include_str!("../../../../demo/weights/HP-0236-casting.toml");
    let worked = hingeline_bench::weight::work(hingeline_bench::weight::WeightSheet::parse(text).unwrap());
    let (piece, say) = (worked.solution().unwrap(), Speech::of(&worked));
    let paper = paper_of(&worked.sheet.design, piece, &texts_of(&worked, "HP-0236", (1, 1)));
    let finished = say.mass(piece.finished.mass_kg);
    assert_eq!((&paper.total.mass, paper.total.moment), (&finished, say.moment(piece.finished.moment_kg_m)));
    assert!(paper.answer.contains(&format!("{finished} finished")), "{}", paper.answer);
    let row = paper.trim.iter().find(|line| line.name == "finished").unwrap();
    assert!(row.value.starts_with(&format!("{finished}, ")), "{}", row.value);
    // What the scale must read is no coarser than how closely it must come.
    let tolerance = worked.sheet.trimming.as_ref().unwrap().tolerance.mass_kg;
    let reads = paper.trim.iter().chain(&paper.cast).filter(|line| line.name.contains("before holes"));
    for line in reads {
        let number = line.value.split(' ').next().unwrap();
        let places = number.split_once('.').map_or(0, |(_, after)| after.len());
        let step = 10f64.powi(-i32::try_from(places).unwrap()) * say.units().mass.factor;
        assert!(step <= tolerance, "{}: {}", line.name, line.value);
    }
}
