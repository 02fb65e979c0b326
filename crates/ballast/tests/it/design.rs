//! Solved weights against closed forms by hand, against their own moments reckoned again, and against meshes.

use std::f64::consts::PI;
use std::sync::Arc;

use hingeline_ballast::design::{
    Accuracy, Depth, Design, Dimension, Face, Fault, Film, Form, Hardware, Hole, Kind, Limit, Mouth,
    NoseShape, Parting, Place, Solution, Space, Span, Vary, Wanted,
};
use hingeline_ballast::outline::{Outline, Path, Side, Traced};
use hingeline_ballast::{Density, Moments};
use proptest::prelude::*;

use crate::outline::{agree, config};

pub(crate) const LEAD: Density = Density { kg_m3: 11_033.0, standard_uncertainty: 10.0 };
const INCH: f64 = 0.0254;
const POUND: f64 = 0.453_592_37;

pub(crate) fn wanted(moment_kg_m: f64) -> Wanted {
    Wanted { moment_kg_m, standard_uncertainty: 0.0 }
}

pub(crate) fn span(length: f64) -> Span {
    Span { from: -0.5 * length, length }
}

pub(crate) fn free(dimension: Dimension, least: f64, most: f64) -> Vary {
    Vary::Dimension { dimension, least, most }
}

pub(crate) fn bar() -> Form {
    Form::Bar { depth: 0.01, height: 0.02, span: span(0.1), face: Face::Rear(-0.15), middle: 0.003 }
}

/// The front of an invented old weight: half round of 0.45 in about x = −6.1 in, flanks back to x = −5.6 in.
fn front() -> Path {
    let inches = |x: f64, z: f64| [x * INCH, z * INCH];
    let edges = [
        Traced::Line { to: inches(-6.1, 0.45) },
        Traced::Arc { through: inches(-6.55, 0.0), to: inches(-6.1, -0.45) },
        Traced::Line { to: inches(-5.6, -0.45) },
    ];
    Path::traced(inches(-5.6, 0.45), &edges).expect("a front")
}

fn cap(end_walls: Option<f64>) -> Form {
    let span = span(4.0 * INCH);
    Form::Cap { front: front(), outside: Side::Right, thickness: 0.003, span, end_walls }
}

/// A cap in two halves, with two screws in inserts and a primer.
pub(crate) fn cap_design() -> Design {
    let wanted = Wanted { moment_kg_m: -3.78 * INCH * POUND, standard_uncertainty: 0.02 * INCH * POUND };
    let mut design = Design::new(wanted, cap(None), free(Dimension::Thickness, 0.001, 0.012), LEAD);
    for y in [-INCH, INCH] {
        let x = -5.85 * INCH;
        let hole = |name: &str, diameter: f64, mouth: Mouth| Hole {
            name: name.to_owned(),
            diameter: diameter * INCH,
            depth: Depth::Wall,
            head: None,
            mouth,
        };
        design.holes.push(hole("insert hole", 0.25, Mouth::Top { x, y }));
        design.holes.push(hole("clearance hole", 0.196, Mouth::Bottom { x, y }));
        let item = |name: &str, mass_kg: f64| Hardware {
            name: name.to_owned(),
            mass_kg,
            standard_uncertainty: 0.000_02,
            place: Place::At(x),
        };
        design.hardware.push(item("#10 screw", 0.004));
        design.hardware.push(item("insert", 0.001_2));
    }
    design.films.push(Film { name: "primer".to_owned(), kg_m2: 0.030_5, standard_uncertainty: 0.004 });
    design.accuracy = Accuracy { dimension: 0.000_05, position: 0.000_1, coverage_factor: 2.0 };
    design.parting = Some(Parting::AtHeight(0.0));
    design.old_arm = Some(-5.9 * INCH);
    design
}

pub(crate) fn solved(design: &Design) -> Solution {
    design.solve().unwrap_or_else(|fault| panic!("{fault}"))
}

pub(crate) fn value(solution: &Solution) -> f64 {
    solution.value.expect("a free dimension").1
}

/// A bar with its rear face at −a grown forward by d: M = −ρ h s (a d + d²/2), so d = √(a² + 2 |M| / (ρ h s)) − a.
#[test]
fn the_depth_of_a_bar_is_that_of_the_quadratic_formula() {
    let moment = -0.05;
    let found = solved(&Design::new(wanted(moment), bar(), free(Dimension::Depth, 0.001, 0.1), LEAD));
    let area = LEAD.kg_m3 * 0.02 * 0.1;
    let by_hand = (0.15_f64.powi(2) + 2.0 * 0.05 / area).sqrt() - 0.15;
    agree(value(&found), by_hand, 1e-12);
    agree(found.finished.moment_kg_m, moment, 1e-13);
    agree(found.envelope.front, -0.15 - by_hand, 1e-12);
}

/// The span of a section is linear: M = ρ s ∫x dA.
#[test]
fn the_span_of_a_section_is_that_of_a_division() {
    let outline = Outline::wedge(0.03, 0.02).expect("a wedge").moved([-0.2, 0.0]);
    let first = outline.moments().first[0];
    let form = Form::Section { outline, span: span(0.01) };
    let found = solved(&Design::new(wanted(-0.1), form, free(Dimension::Span, 0.001, 1.0), LEAD));
    agree(value(&found), -0.1 / (LEAD.kg_m3 * first), 1e-12);
}

/// A half-round nose of radius r on a flat at −a: M = −ρ s (a π r²/2 + 2 r³/3); here r = 10 mm is put in.
#[test]
fn the_height_of_a_half_round_nose_is_found_again() {
    let (a, r, s): (f64, f64, f64) = (0.15, 0.01, 0.1);
    let moment = -LEAD.kg_m3 * s * (a * PI * r * r / 2.0 + 2.0 * r.powi(3) / 3.0);
    let form = Form::Nose {
        shape: NoseShape::HalfRound,
        depth: 0.001,
        height: 0.002,
        span: span(s),
        flat: -a,
        middle: 0.0,
    };
    for (dimension, expected) in [(Dimension::Height, 2.0 * r), (Dimension::Depth, r)] {
        let design = Design::new(wanted(moment), form.clone(), free(dimension, 0.001, 0.1), LEAD);
        agree(value(&solved(&design)), expected, 1e-12);
    }
}

/// A ring segment from −β to β about the hinge line: M = −ρ s (2/3) (R³ − r³) sin β.
#[test]
fn the_thickness_of_a_ring_segment_about_the_hinge_line_is_that_of_the_cube_root() {
    let (r, beta, s): (f64, f64, f64) = (0.15, 0.3, 0.08);
    let form = Form::RingSegment {
        centre: [0.0; 2],
        inner_radius: r,
        thickness: 0.001,
        from_angle: -beta,
        over_angle: 2.0 * beta,
        span: span(s),
    };
    let found = solved(&Design::new(wanted(-0.05), form, free(Dimension::Thickness, 0.001, 0.05), LEAD));
    let outer = (r.powi(3) + 1.5 * 0.05 / (LEAD.kg_m3 * s * beta.sin())).cbrt();
    agree(value(&found), outer - r, 1e-12);
    agree(found.envelope.swing, outer, 1e-12);
    agree(-found.envelope.front, outer, 1e-12);
    agree(found.envelope.top, outer * beta.sin(), 1e-12);
    // The film covers both curved faces, both edges, both ends.
    let section = beta * (outer * outer - r * r);
    let skin = (2.0 * beta * (outer + r) + 2.0 * (outer - r)) * s + 2.0 * section;
    agree(found.body.skin.expect("a skin").area, skin, 1e-12);
}

/// Halves of a ring segment by height have its mass between them, and its mesh its moment.
#[test]
fn a_ring_segment_is_parted_and_meshed_as_other_sections_are() {
    let mut design =
        Design::new(wanted(-0.02), ring_segment(0.1), free(Dimension::Thickness, 0.000_5, 0.02), LEAD);
    design.parting = Some(Parting::AtHeight(0.01));
    let found = solved(&design);
    let halves: f64 = found.halves.iter().map(|half| half.as_cast.total).sum();
    agree(halves, found.as_cast.total, 1e-10);
    let mesh = found.mesh(1e-9).expect("a mesh").moments();
    assert!((mesh.first[0] * LEAD.kg_m3 / found.as_cast.first[0] - 1.0).abs() < 1e-6);
}

/// A whole turn would touch itself, no turn is no piece.
#[test]
fn a_ring_segment_of_no_turn_or_a_whole_one_is_refused() {
    for odd in [0.0, -0.1, 2.0 * PI, f64::NAN] {
        let Form::RingSegment { centre, inner_radius, thickness, from_angle, span, .. } = ring_segment(0.1)
        else {
            panic!("a ring segment")
        };
        let form = Form::RingSegment { centre, inner_radius, thickness, from_angle, over_angle: odd, span };
        let refused = Design::new(wanted(-0.02), form, Vary::Nothing, LEAD).reckon();
        assert!(matches!(refused, Err(Fault::Number { what: "the angle over", .. })), "{odd}");
    }
}

/// A disc of 30 mm at 0.2 m: d = √(4 M / (π ρ s x)).
#[test]
fn a_weight_aft_of_the_hinge_line_gives_a_tail_heavy_moment() {
    let form = Form::RoundBar { diameter: 0.01, span: span(0.03), centre: [0.2, 0.0] };
    let found = solved(&Design::new(wanted(0.02), form, free(Dimension::Diameter, 0.001, 0.1), LEAD));
    agree(value(&found), (4.0 * 0.02 / (PI * LEAD.kg_m3 * 0.03 * 0.2)).sqrt(), 1e-12);
    assert!(0.0 < found.finished.arm_m);
}

/// Without inward corners the area of the shell is L t + π t²/2 (Steiner), of which the halves have one half each.
#[test]
fn the_cap_has_its_moment_its_volume_and_even_halves() {
    let design = cap_design();
    let found = solved(&design);
    agree(found.finished.moment_kg_m, design.wanted.moment_kg_m, 1e-13);
    let t = value(&found);
    let length = INCH + PI * 0.45 * INCH;
    let volume = (length * t + PI * t * t / 2.0) * 4.0 * INCH;
    agree(found.as_cast.total, LEAD.kg_m3 * volume, 1e-12);
    assert_eq!(found.halves.len(), 2);
    for half in &found.halves {
        agree(half.as_cast.total, 0.5 * found.as_cast.total, 1e-10);
    }
    agree(found.envelope.front, -6.55 * INCH - t, 1e-12);
}

#[test]
fn the_parts_add_up_to_the_whole() {
    let found = solved(&cap_design());
    let mass: f64 = found.parts.iter().map(|part| part.mass_kg).sum();
    let moment: f64 = found.parts.iter().map(|part| part.mass_kg * part.arm_m).sum();
    agree(mass, found.finished.mass_kg, 1e-14);
    agree(moment, found.finished.moment_kg_m, 1e-13);
    assert_eq!(found.parts.iter().filter(|part| part.kind == Kind::Hole && part.mass_kg < 0.0).count(), 4);
    // A flank is flat there: a wall of t, π/4 d² t.
    let t = value(&found);
    agree(found.parts[1].mass_kg, -LEAD.kg_m3 * PI / 4.0 * (0.25 * INCH).powi(2) * t, 1e-12);
}

/// Film on the outside: the parallel of length L + π t, the two rear edges, the two ends.
#[test]
fn the_film_lies_on_the_outside_only() {
    let found = solved(&cap_design());
    let t = value(&found);
    let parallel = INCH + PI * (0.45 * INCH + t);
    let ends = 2.0 * found.as_cast.total / LEAD.kg_m3 / (4.0 * INCH);
    let area = (parallel + 2.0 * t) * 4.0 * INCH + ends;
    let film = found.parts.last().expect("a film");
    agree(film.mass_kg, 0.030_5 * area, 1e-12);
}

/// Walls of w close both ends: each covers flank by height and half circle of the outside.
#[test]
fn end_walls_cover_the_old_weight_and_close_both_ends() {
    let (t, w) = (0.003, 0.002);
    let design = Design::new(wanted(-0.04), cap(Some(w)), Vary::Nothing, LEAD);
    let found = design.reckon().expect("a piece");
    let r = 0.45 * INCH + t;
    let shell = (INCH + PI * 0.45 * INCH) * t + PI * t * t / 2.0;
    let cover = 0.5 * INCH * 2.0 * r + PI * r * r / 2.0;
    agree(found.as_cast.total, LEAD.kg_m3 * (shell * 4.0 * INCH + 2.0 * cover * w), 1e-12);
    // Outside: the parallel, the rear edges of the shell, the rears of the walls, the two ends.
    let sides = (INCH + PI * r) * (4.0 * INCH + 2.0 * w) + 2.0 * t * 4.0 * INCH + 2.0 * w * 2.0 * r;
    agree(found.body.skin.expect("a skin").area, sides + 2.0 * cover, 1e-12);
    agree(found.envelope.span, 4.0 * INCH + 2.0 * w, 1e-12);
}

/// The mesh of the body with its holes and hardware gives the aim, and its volume comes nearer as its tolerance falls.
#[test]
fn the_mesh_of_the_piece_gives_the_moment_too() {
    for walls in [None, Some(0.003)] {
        let design = Design { form: cap(walls), ..cap_design() };
        let found = solved(&design);
        let checked = found.mesh(1e-9).expect("a mesh");
        let others: f64 = found.parts[1..].iter().map(|part| part.moment_kg_m).sum();
        let moment = LEAD.kg_m3 * checked.moments().first[0] + others;
        assert!((moment / design.wanted.moment_kg_m - 1.0).abs() < 1e-6, "{moment}");
        let halves: f64 =
            found.halves.iter().map(|half| half.mesh(1e-9).expect("a mesh").moments().total).sum();
        assert!((halves / found.body.volume.total - 1.0).abs() < 1e-6, "{halves}");
    }
}

#[test]
fn faults_say_what_is_lacking_and_where() {
    let design = Design::new(wanted(-0.5), bar(), free(Dimension::Depth, 0.001, 0.05), LEAD);
    let space = Space { forward: Some(0.16), ..Space::default() };
    let fault = Design { space, ..design }.solve().expect_err("a shortfall");
    // 11 033 × 0.02 × 0.1 × (0.15 × 0.01 + 0.01²/2) = 0.03420 of 0.5 kg m.
    assert_eq!(
        fault.to_string(),
        "depth stops at 10.000 mm: the reach forward; -0.03420 of -0.50000 kg m is reached, 93.16 % is lacking"
    );
    assert!(fault.hint().contains("denser"));
}

/// At the front of a moving piece hardware goes with it: M = −ρ h s (a d + d²/2) − m (a + d − 0.002).
#[test]
fn hardware_on_the_front_moves_with_it() {
    let mut design = Design::new(wanted(-0.05), bar(), free(Dimension::Depth, 0.001, 0.1), LEAD);
    let place = Place::BehindFront(0.002);
    design.hardware.push(Hardware {
        name: "screw".to_owned(),
        mass_kg: 0.02,
        standard_uncertainty: 0.0,
        place,
    });
    let d = value(&solved(&design));
    let metal = LEAD.kg_m3 * 0.02 * 0.1 * (0.15 * d + d * d / 2.0);
    agree(metal + 0.02 * (0.15 + d - 0.002), 0.05, 1e-12);
}

/// Every limit of space stops the depth of the bar where its own formula says.
#[test]
fn the_limit_that_comes_first_is_named() {
    let free_depth = || Design::new(wanted(-0.5), bar(), free(Dimension::Depth, 0.001, 0.05), LEAD);
    let (none, mass) = (Space::default(), LEAD.kg_m3 * 0.02 * 0.1);
    let swing = (0.17_f64.powi(2) + 0.013_f64.powi(2)).sqrt();
    for (space, limit, at) in [
        (none, Limit::Bound, 0.05),
        (Space { forward: Some(0.16), ..none }, Limit::Forward, 0.01),
        (Space { swing: Some(swing), ..none }, Limit::Swing, 0.02),
        (Space { capacity: Some(mass * 0.015), ..none }, Limit::Capacity, 0.015),
        (Space { capacity: Some(mass * 0.015), forward: Some(0.16), ..none }, Limit::Forward, 0.01),
    ] {
        let design = Design { space, ..free_depth() };
        let Err(Fault::Shortfall(shortfall)) = design.solve() else { panic!("a shortfall") };
        assert_eq!(shortfall.limit, limit);
        agree(shortfall.value, at, 1e-9);
        let reached = -mass * (0.15 * at + at * at / 2.0);
        agree(shortfall.reached_kg_m, reached, 1e-8);
        let unrestricted = (0.15_f64.powi(2) + 2.0 * 0.5 / mass).sqrt() - 0.15;
        agree(shortfall.unrestricted.expect("an answer"), unrestricted, 1e-10);
    }
}

#[test]
fn a_smallest_piece_that_breaks_a_limit_or_gives_too_much_is_said() {
    let design = Design::new(wanted(-0.05), bar(), free(Dimension::Depth, 0.001, 0.05), LEAD);
    let space = Space { above: Some(0.012), ..Space::default() };
    let fault = Design { space, ..design.clone() }.solve().expect_err("no room");
    assert!(matches!(fault, Fault::NoRoom { limit: Limit::Above, .. }), "{fault}");
    let fault =
        Design { vary: free(Dimension::Depth, 0.02, 0.05), ..design.clone() }.solve().expect_err("much");
    assert!(matches!(fault, Fault::TooMuch { .. }), "{fault}");
    // A wall of 12 mm forbids what the moment asks for, a wall of 5 mm does not.
    let walled = |wall: f64| Design {
        space: Space { smallest_wall: Some(wall), ..Space::default() },
        ..Design::new(wanted(-0.03), bar(), free(Dimension::Depth, 0.001, 0.05), LEAD)
    };
    assert!(
        matches!(walled(0.012).solve(), Err(Fault::TooMuch { value, .. }) if (value - 0.012).abs() < 1e-9)
    );
    assert!(walled(0.005).solve().is_ok());
}

/// The inside corners of a channel let a cap on its inside be no thicker than half of its width.
#[test]
fn a_shell_that_swallows_its_own_front_stops_there() {
    let mut design = cap_design();
    design.holes.clear();
    design.form = Form::Cap {
        front: front(),
        outside: Side::Left,
        thickness: 0.003,
        span: span(4.0 * INCH),
        end_walls: None,
    };
    design.wanted = wanted(-10.0);
    design.vary = free(Dimension::Thickness, 0.001, 0.05);
    let Err(Fault::Shortfall(shortfall)) = design.solve() else { panic!("a shortfall") };
    assert_eq!((shortfall.limit, shortfall.unrestricted), (Limit::Shape, None));
    agree(shortfall.value, 0.45 * INCH, 1e-6);
}

#[test]
fn what_cannot_be_is_refused_with_its_name() {
    let design = Design::new(wanted(-0.05), bar(), free(Dimension::Depth, 0.001, 0.05), LEAD);
    let zero = Design { wanted: wanted(0.0), ..design.clone() };
    assert!(matches!(zero.solve(), Err(Fault::Number { what: "the wanted moment", .. })));
    let nan = Design { wanted: wanted(f64::NAN), ..design.clone() };
    assert!(matches!(nan.solve(), Err(Fault::Number { what: "the wanted moment", .. })));
    let bounds = Design { vary: free(Dimension::Depth, 0.05, 0.001), ..design.clone() };
    assert!(matches!(bounds.solve(), Err(Fault::Number { what: "the most", .. })));
    let other = Design { vary: free(Dimension::Diameter, 0.001, 0.05), ..design.clone() };
    assert!(matches!(other.solve(), Err(Fault::NotFree { .. })));
    let plates = Design { vary: Vary::Plates { stock: vec![0.003], most: 3 }, ..design };
    assert!(matches!(plates.solve(), Err(Fault::NoPlates { .. })));
}

/// wanted / old arm at the arm of the piece: wanted × arm / old arm.
#[test]
fn the_naive_answer_misses_by_the_ratio_of_the_arms() {
    let design = cap_design();
    let found = solved(&design);
    let naive = found.naive.expect("an old arm");
    agree(naive.mass_kg, design.wanted.moment_kg_m / (-5.9 * INCH), 1e-14);
    agree(naive.moment_kg_m / design.wanted.moment_kg_m, found.finished.arm_m / (-5.9 * INCH), 1e-12);
    // The cap reaches further forward than the old weight: the naive mass gives too much.
    assert!(naive.miss_kg_m < 0.0);
}

/// For a bar M = −ρ h s (a d + d²/2): its slope is −ρ h s (a + d), its uncertainties follow by hand.
#[test]
fn sensitivity_uncertainty_and_reserve_are_those_of_the_formula() {
    let mut design = Design::new(wanted(-0.05), bar(), free(Dimension::Depth, 0.001, 0.1), LEAD);
    design.wanted.standard_uncertainty = 0.000_2;
    design.accuracy = Accuracy { dimension: 0.000_1, position: 0.000_2, coverage_factor: 2.0 };
    let found = solved(&design);
    let (d, area) = (value(&found), LEAD.kg_m3 * 0.02 * 0.1);
    let slope = -area * (0.15 + d);
    agree(found.sensitivity.moment_per_dimension.expect("free"), slope, 1e-9);
    agree(found.sensitivity.mass_per_dimension.expect("free"), area, 1e-9);
    agree(found.sensitivity.moment_per_position, area * d, 1e-12);
    let parts = [0.05 * 10.0 / LEAD.kg_m3, area * d * 0.000_2, slope * 0.000_1, 0.000_2];
    let u = parts.iter().map(|part| part * part).sum::<f64>().sqrt();
    agree(found.standard_uncertainty, u, 1e-9);
    let reserve = found.reserve.expect("a reserve");
    let larger = (0.15_f64.powi(2) + 2.0 * (0.05 + 2.0 * u) / area).sqrt() - 0.15;
    agree(reserve.dimension_m.expect("free"), larger, 1e-9);
    agree(reserve.mass_kg, area * (larger - d), 1e-7);
}

#[test]
fn halves_by_span_have_one_half_each_and_lie_apart() {
    let mut design = Design { parting: Some(Parting::MidSpan), ..cap_design() };
    design.form = cap(Some(0.002));
    let found = solved(&design);
    let [inboard, outboard] = found.halves.as_slice() else { panic!("two halves") };
    agree(inboard.as_cast.total, outboard.as_cast.total, 1e-12);
    agree(inboard.as_cast.total + outboard.as_cast.total, found.as_cast.total, 1e-12);
    assert!(inboard.as_cast.first[1] < 0.0 && 0.0 < outboard.as_cast.first[1]);
}

/// A cone of 20 mm on 30 mm with its flat at −0.2 m has its centroid 5 mm before it.
#[test]
fn a_frustum_points_forward() {
    let form =
        Form::Frustum { front_diameter: 0.0, rear_diameter: 0.03, depth: 0.02, rear: [-0.2, 0.4, 0.01] };
    let found = Design::new(wanted(-0.05), form, Vary::Nothing, LEAD).reckon().expect("a piece");
    let volume = PI * 0.015_f64.powi(2) * 0.02 / 3.0;
    agree(found.as_cast.total, LEAD.kg_m3 * volume, 1e-12);
    agree(found.as_cast.centroid().expect("a body")[0], -0.205, 1e-12);
    agree(found.as_cast.centroid().expect("a body")[2], 0.01, 1e-12);
    // Skin: π r s and π r²; the centroid of the side lies a third of the height from the base.
    let skin = found.body.skin.expect("a skin");
    let side = PI * 0.015 * 0.02_f64.hypot(0.015);
    agree(skin.area, side + PI * 0.015_f64.powi(2), 1e-12);
    agree(skin.first[0], -0.2 * skin.area - side * 0.02 / 3.0, 1e-12);
}

#[test]
fn a_measured_piece_is_reckoned_up() {
    let volume = Moments::point(1e-5, [-0.2, 0.0, 0.0]);
    let surface = Arc::default();
    let form = Form::Measured { surface, volume, bounds: [[-0.22, -0.05, -0.01], [-0.18, 0.05, 0.01]] };
    let found = Design::new(wanted(-0.05), form.clone(), Vary::Nothing, LEAD).solve().expect("a piece");
    agree(found.finished.moment_kg_m, -0.2e-5 * LEAD.kg_m3, 1e-12);
    agree(found.remaining_kg_m, -0.05 + 0.2e-5 * LEAD.kg_m3, 1e-12);
    let fault = Design::new(wanted(-0.05), form, free(Dimension::Span, 0.1, 0.2), LEAD).solve();
    assert!(matches!(fault, Err(Fault::NotFree { .. })));
}

proptest! {
    #![proptest_config(config())]

    /// A piece of a known dimension is reckoned up; asked for its moment, the search finds that dimension.
    #[test]
    fn what_is_reckoned_up_is_found_again(which in 0..7_usize, share in 0.02..0.98_f64, height in 0.01..0.03_f64) {
        let (form, dimension, least, most) = forms(which, height);
        let expected = least + share * (most - least);
        let put_in = form.with(dimension, expected).expect("free");
        let mut design = Design::new(wanted(-1.0), put_in, Vary::Nothing, LEAD);
        design.films = cap_design().films;
        let reckoned = design.reckon().expect("a piece");
        design.form = form;
        design.wanted = wanted(reckoned.finished.moment_kg_m);
        design.vary = free(dimension, least, most);
        let found = solved(&design);
        agree(value(&found), expected, 1e-10);
        agree(found.finished.moment_kg_m, design.wanted.moment_kg_m, 2e-13);
    }

    /// Whatever is put in, the answer is a fault or a piece of the wanted moment within its bounds.
    #[test]
    fn odd_numbers_give_a_fault_or_the_wanted_moment(
        which in 0..7_usize,
        height in odd(0.01..0.03),
        moment in odd(-0.1..0.0),
        [least, most] in [odd(0.000_5..0.005), odd(0.01..0.3)],
        coverage_factor in odd(0.0..3.0),
    ) {
        let (form, dimension, ..) = forms(which, height);
        let mut design = Design::new(wanted(moment), form, free(dimension, least, most), LEAD);
        design.accuracy = Accuracy { dimension: 0.000_1, position: 0.000_1, coverage_factor };
        if let Ok(found) = design.solve() {
            agree(found.finished.moment_kg_m / moment, 1.0, 1e-9);
            prop_assert!(least <= value(&found) && value(&found) <= most);
        }
    }

    #[test]
    fn more_moment_takes_more_metal(which in 0..7_usize, one in 0.1..0.9_f64, other in 0.1..0.9_f64) {
        prop_assume!(1e-6 < (one - other).abs());
        let (form, dimension, least, most) = forms(which, 0.02);
        let moment = |value: f64| {
            let form = form.with(dimension, value).expect("free");
            Design::new(wanted(-1.0), form, Vary::Nothing, LEAD).reckon().expect("a piece").finished.moment_kg_m
        };
        let (low, high) = (moment(least), moment(most));
        let at = |share: f64| {
            let target = wanted(low + share * (high - low));
            solved(&Design::new(target, form.clone(), free(dimension, least, most), LEAD))
        };
        let (one_piece, other_piece) = (at(one), at(other));
        prop_assert_eq!(one < other, one_piece.finished.mass_kg < other_piece.finished.mass_kg);
        prop_assert_eq!(one < other, value(&one_piece) < value(&other_piece));
    }
}

pub(crate) fn forms(which: usize, height: f64) -> (Form, Dimension, f64, f64) {
    let nose = |shape: NoseShape| Form::Nose {
        shape,
        depth: 0.01,
        height,
        span: span(0.1),
        flat: -0.15,
        middle: 0.002,
    };
    match which {
        0 => (cap(None), Dimension::Thickness, 0.000_5, 0.02),
        1 => (cap(Some(0.003)), Dimension::Thickness, 0.000_5, 0.02),
        2 => (nose(NoseShape::HalfElliptic), Dimension::Depth, 0.002, 0.06),
        3 => (nose(NoseShape::Parabolic), Dimension::Height, 0.002, 0.06),
        4 => (bar(), Dimension::Span, 0.01, 0.3),
        5 => (
            Form::Frustum {
                front_diameter: height,
                rear_diameter: 0.03,
                depth: 0.01,
                rear: [-0.2, 0.0, 0.0],
            },
            Dimension::Depth,
            0.002,
            0.06,
        ),
        _ => (ring_segment(height), Dimension::Thickness, 0.000_5, 0.02),
    }
}

/// From 20° below straight forward to 40° above, about a line near the hinge line.
fn ring_segment(inner_radius: f64) -> Form {
    let (from_angle, over_angle) = (-20_f64.to_radians(), 60_f64.to_radians());
    let centre = [-0.03, 0.002];
    Form::RingSegment { centre, inner_radius, thickness: 0.004, from_angle, over_angle, span: span(0.1) }
}

/// Mostly numbers of a shop, and such as nobody means.
fn odd(usual: std::ops::Range<f64>) -> impl Strategy<Value = f64> {
    let strange = [0.0, -0.0, f64::NAN, f64::INFINITY, f64::MIN_POSITIVE, f64::MAX, -1.0, 1e-9, 1e9];
    prop_oneof![9 => usual, 1 => prop::sample::select(strange.to_vec())]
}
