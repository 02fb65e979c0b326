//! Counterbores, countersinks and holes that run into each other, against closed forms and sums over levels.

use std::f64::consts::PI;

use hingeline_ballast::design::{
    Depth, Design, Dimension, Face, Fault, Form, Head, Hole, Limit, Mouth, NoseShape, Solution, Span, Vary,
    Wanted,
};
use hingeline_ballast::outline::{Outline, Path};
use proptest::prelude::*;

use crate::design::LEAD;
use crate::outline::agree;

const SPAN: Span = Span { from: -0.05, length: 0.1 };

fn design(form: Form, holes: Vec<Hole>) -> Design {
    let wanted = Wanted { moment_kg_m: -0.05, standard_uncertainty: 0.0 };
    Design { holes, ..Design::new(wanted, form, Vary::Nothing, LEAD) }
}

/// 10 mm fore and aft, 20 mm high, about the chord plane.
fn bar() -> Form {
    Form::Bar { depth: 0.01, height: 0.02, span: SPAN, face: Face::Rear(-0.15), middle: 0.0 }
}

/// Of 10 mm radius on a flat at −150 mm.
fn nose() -> Form {
    let (shape, flat) = (NoseShape::HalfRound, -0.15);
    Form::Nose { shape, depth: 0.01, height: 0.02, span: SPAN, flat, middle: 0.0 }
}

fn bolt_hole(diameter: f64, depth: Depth, head: Option<Head>, mouth: Mouth) -> Hole {
    Hole { name: "bolt hole".to_owned(), diameter, depth, head, mouth }
}

/// The volume that the only hole takes out.
fn gone(found: &Solution) -> f64 {
    -found.parts[1].mass_kg / LEAD.kg_m3
}

fn taken(form: Form, hole: Hole) -> f64 {
    gone(&design(form, vec![hole]).reckon().unwrap_or_else(|fault| panic!("{fault}")))
}

/// Through a flat wall t: π/4 (d² t + (D² − d²) h), and the centroid by the same parts.
#[test]
fn a_counterbore_is_a_ring_above_its_hole() {
    let (d, t, wide, h): (f64, f64, f64, f64) = (0.004, 0.02, 0.008, 0.005);
    let head = Some(Head::Counterbore { diameter: wide, depth: h });
    for (mouth, up) in [(Mouth::Top { x: -0.155, y: 0.0 }, 1.0), (Mouth::Bottom { x: -0.155, y: 0.0 }, -1.0)]
    {
        let found = design(bar(), vec![bolt_hole(d, Depth::Wall, head, mouth)]).reckon().expect("a piece");
        let (hole, ring) = (PI / 4.0 * d * d * t, PI / 4.0 * (wide * wide - d * d) * h);
        agree(gone(&found), hole + ring, 1e-12);
        let lifted = (found.as_cast.first[2] - found.as_drilled.first[2]) / LEAD.kg_m3;
        agree(lifted, ring * up * (t - h) / 2.0, 1e-12);
    }
}

/// A cone frustum less the hole in it: h = (D − d) / (2 tan α/2), V = π h (D² + D d + d²) / 12 − π d² h / 4.
#[test]
fn a_countersink_is_a_frustum_about_its_hole() {
    let (d, wide): (f64, f64) = (0.004_8, 0.009_6);
    for (angle, depth) in
        [(82_f64, Depth::Wall), (100.0, Depth::FullDiameter { depth: 0.006, point_angle: 2.06 })]
    {
        let angle = angle.to_radians();
        let mouth = Mouth::Top { x: -0.155, y: 0.01 };
        let h = (wide - d) / 2.0 / (angle / 2.0).tan();
        let by_hand = PI * h * (wide * wide + wide * d + d * d) / 12.0 - PI * d * d * h / 4.0;
        let sunk =
            taken(bar(), bolt_hole(d, depth, Some(Head::Countersink { diameter: wide, angle }), mouth));
        let plain = taken(bar(), bolt_hole(d, depth, None, mouth));
        agree(sunk - plain, by_hand, 1e-11);
    }
}

/// The cone without its hole would come through a wall of 3 mm (its tip is 4.03 mm deep); the hole has taken that tip.
#[test]
fn a_countersink_in_a_thin_wall_counts_only_down_to_its_hole() {
    let wall = Form::Bar { depth: 0.012, height: 0.003, span: SPAN, face: Face::Rear(-0.15), middle: 0.0 };
    let (d, wide, angle): (f64, f64, f64) = (0.004_8, 0.009_6, 100_f64.to_radians());
    let head = Some(Head::Countersink { diameter: wide, angle });
    let mouth = Mouth::Top { x: -0.156, y: 0.0 };
    let h = (wide - d) / 2.0 / (angle / 2.0).tan();
    let ring = PI * h * (wide * wide + wide * d + d * d) / 12.0 - PI * d * d * h / 4.0;
    agree(taken(wall, bolt_hole(d, Depth::Wall, head, mouth)), PI / 4.0 * d * d * 0.003 + ring, 1e-11);
}

/// Into a round nose of radius r from the front: at every level z the face stands back by r − √(r² − z²).
#[test]
fn a_counterbore_in_a_round_nose_begins_at_its_skin() {
    let (r, d, wide, h): (f64, f64, f64, f64) = (0.01, 0.004, 0.008, 0.004);
    let mouth = Mouth::Front { y: 0.0, z: 0.0 };
    let head = Some(Head::Counterbore { diameter: wide, depth: h });
    let plain = taken(nose(), bolt_hole(d, Depth::Wall, None, mouth));
    let ring = taken(nose(), bolt_hole(d, Depth::Wall, head, mouth)) - plain;
    let steps = 40_000;
    let chord = |diameter: f64, z: f64| 2.0 * (diameter * diameter / 4.0 - z * z).max(0.0).sqrt();
    let strip = |index: u32| {
        let z = wide * ((f64::from(index) + 0.5) / f64::from(steps) - 0.5);
        let back = r - (r * r - z * z).sqrt();
        (h - back) * (chord(wide, z) - chord(d, z)) * wide / f64::from(steps)
    };
    let summed: f64 = (0..steps).map(strip).sum();
    agree(ring / summed, 1.0, 2e-5);
}

#[test]
fn a_head_that_is_no_wider_or_deeper_than_its_hole_is_refused() {
    let mouth = Mouth::Top { x: -0.155, y: 0.0 };
    let deep = Depth::FullDiameter { depth: 0.004, point_angle: 2.06 };
    let cases = [
        (Head::Counterbore { diameter: 0.004, depth: 0.002 }, "the diameter of a counterbore or countersink"),
        (Head::Counterbore { diameter: 0.008, depth: 0.0 }, "the depth of a counterbore"),
        (Head::Counterbore { diameter: 0.008, depth: 0.0041 }, "the depth of a counterbore or countersink"),
        (Head::Countersink { diameter: 0.008, angle: PI }, "the angle of a countersink"),
    ];
    for (head, wrong) in cases {
        let fault = design(bar(), vec![bolt_hole(0.004, deep, Some(head), mouth)]).reckon().expect_err(wrong);
        assert!(matches!(fault, Fault::Number { what, .. } if what == wrong), "{fault}");
    }
}

/// A countersink of 8 mm at 90° about 4 mm wants a wall of 2 mm: 0.1 × 0.012 × 0.002 m³ of lead weigh 26.5 g.
#[test]
fn a_countersink_that_wants_a_thicker_piece_than_the_space_allows_is_named() {
    let head = Some(Head::Countersink { diameter: 0.008, angle: PI / 2.0 });
    let hole = bolt_hole(0.004, Depth::Wall, head, Mouth::Top { x: -0.156, y: 0.0 });
    let form = Form::Bar { depth: 0.012, height: 0.003, span: SPAN, face: Face::Rear(-0.15), middle: 0.0 };
    let mut design = design(form, vec![hole]);
    design.vary = Vary::Dimension { dimension: Dimension::Height, least: 0.001, most: 0.02 };
    design.space.capacity = Some(0.02);
    let fault = design.solve().expect_err("no room");
    let Fault::HoleNeedsRoom { name, value, limit, .. } = &fault else { panic!("{fault}") };
    assert_eq!((name.as_str(), *limit), ("bolt hole", Limit::Capacity));
    agree(*value, 0.002, 1e-9);
}

#[test]
fn a_counterbore_through_the_whole_wall_or_past_the_end_is_refused() {
    let bored = |depth: f64, y: f64| {
        let head = Some(Head::Counterbore { diameter: 0.008, depth });
        design(bar(), vec![bolt_hole(0.004, Depth::Wall, head, Mouth::Top { x: -0.155, y })]).reckon()
    };
    assert!(bored(0.019, 0.045).is_ok());
    assert!(matches!(bored(0.0201, 0.0), Err(Fault::HoleOutside { beyond_end: false, .. })));
    assert!(matches!(bored(0.005, 0.0461), Err(Fault::HoleOutside { beyond_end: true, .. })));
}

/// The bar is 10 mm × 20 mm: a circle about a place in it may still stand out at an edge.
#[test]
fn a_hole_from_the_end_lies_with_its_whole_width_in_the_section() {
    let deep = Depth::FullDiameter { depth: 0.02, point_angle: 2.06 };
    let bored = |x: f64, z: f64, wide: Option<f64>| {
        let head = wide.map(|diameter| Head::Counterbore { diameter, depth: 0.003 });
        design(bar(), vec![bolt_hole(0.004, deep, head, Mouth::End { x, z })])
            .reckon()
            .map(|found| gone(&found))
    };
    let whole = bored(-0.155, 0.0, None).expect("a hole");
    for (x, z) in [(-0.1521, 0.0), (-0.1579, 0.0), (-0.155, 0.0079), (-0.1521, -0.0079)] {
        agree(bored(x, z, None).expect("a hole"), whole, 1e-12);
    }
    assert!(bored(-0.155, 0.0059, Some(0.008)).is_ok());
    for (x, z, wide) in [
        (-0.1519, 0.0, None),
        (-0.1581, 0.0, None),
        (-0.155, 0.0081, None),
        (-0.155, -0.0081, None),
        (-0.155, 0.0061, Some(0.008)),
    ] {
        let fault = bored(x, z, wide).expect_err("it stands out");
        assert!(matches!(fault, Fault::HoleOutside { beyond_end: false, .. }), "{x} {z}: {fault}");
    }
}

/// A bore of 2 mm through the section stands in the circle of a hole of 8 mm beside it.
#[test]
fn a_hole_from_the_end_over_a_bore_of_the_section_is_refused() {
    let section = |bore: f64| {
        let path = Path::circle([-0.15, bore], 0.001).expect("a circle");
        let outline =
            Outline::rectangle(0.03, 0.03).and_then(|plate| plate.moved([-0.14, 0.0]).with_hole(path));
        let form = Form::Section { outline: outline.expect("a section"), span: SPAN };
        let mouth = Mouth::End { x: -0.155, z: 0.0 };
        design(form, vec![bolt_hole(0.014, Depth::Wall, None, mouth)]).reckon()
    };
    assert!(section(0.008).is_ok());
    assert!(matches!(section(0.0), Err(Fault::HoleOutside { .. })));
}

/// Two holes on the bar, the first from the top in its middle, 4 mm wide and 8 mm deep to a flat floor.
#[test]
fn holes_that_run_into_each_other_are_refused() {
    let flat = |depth: f64| Depth::FullDiameter { depth, point_angle: 3.1 };
    let first = bolt_hole(0.004, flat(0.008), None, Mouth::Top { x: -0.155, y: 0.0 });
    let cases = [
        // Beside each other from the same side.
        (Mouth::Top { x: -0.155, y: 0.0039 }, 0.008, true),
        (Mouth::Top { x: -0.155, y: 0.0041 }, 0.008, false),
        // On one axis from both sides of 20 mm.
        (Mouth::Bottom { x: -0.155, y: 0.0 }, 0.0125, true),
        (Mouth::Bottom { x: -0.155, y: 0.0 }, 0.0115, false),
        // Across it: the floor is at z = 2 mm, the front at x = −160 mm.
        (Mouth::Front { y: 0.0, z: 0.006 }, 0.008, true),
        (Mouth::Front { y: 0.0, z: 0.006 }, 0.0028, false),
        (Mouth::Front { y: 0.0041, z: 0.006 }, 0.008, false),
        (Mouth::Front { y: 0.0, z: -0.0005 }, 0.008, false),
        // Along the hinge line, from the end at y = −50 mm.
        (Mouth::End { x: -0.155, z: 0.006 }, 0.049, true),
        (Mouth::End { x: -0.155, z: 0.006 }, 0.047, false),
    ];
    for (mouth, depth, meet) in cases {
        let second = Hole { name: "other".to_owned(), ..bolt_hole(0.004, flat(depth), None, mouth) };
        let found = design(bar(), vec![first.clone(), second]).reckon();
        let told =
            matches!(&found, Err(Fault::HolesMeet { one, other }) if one == "bolt hole" && other == "other");
        assert_eq!(told, meet, "{mouth:?} {depth}: {:?}", found.err());
    }
}

proptest! {
    /// A head takes more than its hole, and less than a hole as wide and as deep as the head would with it.
    #[test]
    fn a_head_takes_more_than_its_hole_alone(
        d in 0.001..0.005_f64, wider in 0.000_1..0.004_f64, angle in 1.2..2.2_f64, z in -0.003..0.003_f64,
    ) {
        let mouth = Mouth::Front { y: 0.0, z };
        let wide = d + wider;
        let sink = Head::Countersink { diameter: wide, angle };
        let bore = Head::Counterbore { diameter: wide, depth: sink.depth(d) };
        let of = |head: Option<Head>| taken(nose(), bolt_hole(d, Depth::Wall, head, mouth));
        prop_assume!(sink.depth(d) < 0.004);
        let (plain, sunk, bored) = (of(None), of(Some(sink)), of(Some(bore)));
        prop_assert!(plain <= sunk && sunk <= bored, "{plain} {sunk} {bored}");
    }
}
