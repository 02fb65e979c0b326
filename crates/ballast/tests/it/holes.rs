//! Holes in faces that are curved, stepped or steep, against closed forms and columns of a grid.

use std::f64::consts::PI;
use std::sync::Arc;

use hingeline_ballast::Moments;
use hingeline_ballast::design::{Depth, Design, Dimension, Fault, Form, Head, Hole, Mouth, NoseShape, Vary};
use hingeline_ballast::outline::{Edge, Outline, Path, Side};
use proptest::prelude::*;

use crate::design::{LEAD, bar, forms, free, solved, span, wanted};
use crate::outline::{agree, config};

/// Into the flank of a nose the mouth of a hole is curved: a fine mesh of columns gives the volume that is left out.
#[test]
fn a_hole_in_a_curved_front_takes_less_than_one_in_a_flat_one() {
    let (r, d, depth): (f64, f64, f64) = (0.011, 0.005, 0.006);
    let form = Form::Nose {
        shape: NoseShape::HalfRound,
        depth: r,
        height: 2.0 * r,
        span: span(0.1),
        flat: -0.15,
        middle: 0.0,
    };
    let mut design = Design::new(wanted(-0.05), form, Vary::Nothing, LEAD);
    let depth_of = Depth::ToTip { depth, point_angle: 118_f64.to_radians() };
    let mouth = Mouth::Front { y: 0.0, z: 0.0 };
    design.holes.push(Hole { name: "hole".to_owned(), diameter: d, depth: depth_of, head: None, mouth });
    let found = design.reckon().expect("a piece");
    let flat = PI / 4.0 * d * d * depth - PI / 12.0 * d * d * 2.0 * (d / 2.0) / 59_f64.to_radians().tan();
    // ∫ (r − √(r² − z²)) 2 √(d²/4 − z²) dz by the midpoint rule.
    let steps = 20_000;
    let strip = |index: u32| {
        let z = d * ((f64::from(index) + 0.5) / f64::from(steps) - 0.5);
        (r - (r * r - z * z).sqrt()) * 2.0 * (d * d / 4.0 - z * z).sqrt() * d / f64::from(steps)
    };
    let gap: f64 = (0..steps).map(strip).sum();
    agree(-found.parts[1].mass_kg, LEAD.kg_m3 * (flat - gap), 1e-7);
    assert!(0.01 * flat < gap);
}

/// What a drill from above, at x with a floor that rises from the tip by the slope, takes out by columns of a grid that
/// has a line at every kink: the metal of a level given from above downwards, z falling.
fn by_columns(
    [x, radius]: [f64; 2],
    [tip_z, slope]: [f64; 2],
    kinks: &[f64],
    metal: impl Fn(f64) -> Vec<[f64; 2]>,
) -> f64 {
    let steps = 700;
    let middle = |index: u32| (f64::from(index) + 0.5) / f64::from(steps);
    let inside = kinks.iter().copied().filter(|kink| (kink - x).abs() < radius);
    let mut lines: Vec<f64> = inside.chain([x - radius, x + radius]).collect();
    lines.sort_by(f64::total_cmp);
    let mut sum = 0.0;
    for two in lines.windows(2) {
        let width = (two[1] - two[0]) / f64::from(steps);
        for level in (0..steps).map(|index| two[0] + (two[1] - two[0]) * middle(index)) {
            let (metal, off) = (metal(level), level - x);
            let half = (radius * radius - off * off).sqrt();
            for floor in (0..steps).map(|index| tip_z + slope * off.hypot(half * middle(index))) {
                let gone: f64 = metal.iter().map(|[top, low]| (top - low.max(floor)).max(0.0)).sum();
                // Both sides of the middle are alike.
                sum += 2.0 * half / f64::from(steps) * width * gone;
            }
        }
    }
    sum
}

fn taken(outline: Outline, diameter: f64, x: f64, depth: Depth) -> Result<f64, Fault> {
    let mut design =
        Design::new(wanted(-0.05), Form::Section { outline, span: span(0.1) }, Vary::Nothing, LEAD);
    design.holes.push(Hole {
        name: "hole".to_owned(),
        diameter,
        depth,
        head: None,
        mouth: Mouth::Top { x, y: 0.0 },
    });
    design.reckon().map(|found| -found.parts[1].mass_kg / LEAD.kg_m3)
}

/// An L: from −120 to −110 mm as high as the first, from there to −100 mm as the second; its bottom at −10 mm.
fn step(heights: [f64; 2]) -> Outline {
    let [low, high] = heights;
    let corners = [[-0.1, -0.01], [-0.1, high], [-0.11, high], [-0.11, low], [-0.12, low], [-0.12, -0.01]];
    Outline::straight(&corners).expect("an L")
}

/// Beside a step nothing is there to go: 28.27 mm² less the segment beyond it, 5 mm deep, and the point's share of 96.7.
#[test]
fn a_hole_over_a_step_takes_only_what_is_there() {
    let point_angle = 118_f64.to_radians();
    let slope = 1.0 / (0.5 * point_angle).tan();
    for (x, depth) in [(-0.1095, 0.005), (-0.108, 0.004), (-0.1125, 0.003)] {
        let found =
            taken(step([0.0, 0.01]), 0.006, x, Depth::FullDiameter { depth, point_angle }).expect("a hole");
        let mouth = if x < -0.11 { 0.0 } else { 0.01 };
        let grid = by_columns([x, 0.003], [mouth - depth - 0.003 * slope, slope], &[-0.11], |x| {
            vec![[if x < -0.11 { 0.0 } else { 0.01 }, -0.01]]
        });
        agree(found / grid, 1.0, 1e-4);
    }
    let deep = taken(step([0.0, 0.01]), 0.006, -0.1095, Depth::FullDiameter { depth: 0.005, point_angle });
    agree(deep.expect("a hole"), 96.73e-9, 1e-4);
}

/// Through both steps: R² acos(d/R) − d √(R² − d²) = 11.151 mm² beyond the step, 20 mm thick, the rest 10 mm.
#[test]
fn a_hole_through_a_step_goes_through_both_thicknesses() {
    let (r, d): (f64, f64) = (3.0, 0.5);
    let segment = r * r * (d / r).acos() - d * (r * r - d * d).sqrt();
    let by_hand = (segment * 20.0 + (PI * r * r - segment) * 10.0) * 1e-9;
    let outline = step([0.0, 0.01]);
    let mut design =
        Design::new(wanted(-0.05), Form::Section { outline, span: span(0.1) }, Vary::Nothing, LEAD);
    let mouth = Mouth::Bottom { x: -0.1105, y: 0.0 };
    design.holes.push(Hole {
        name: "hole".to_owned(),
        diameter: 0.006,
        depth: Depth::Wall,
        head: None,
        mouth,
    });
    let found = design.reckon().expect("a piece");
    agree(-found.parts[1].mass_kg / LEAD.kg_m3 / by_hand, 1.0, 1e-9);
}

/// A round passage beside the middle of the drill: above it and below it metal goes, in it there is none.
#[test]
fn a_drill_that_passes_a_gap_takes_the_metal_on_both_sides_of_it() {
    let passage = Path::circle([-0.106, 0.0], 0.003).expect("a circle");
    let block = Outline::rectangle(0.03, 0.02).expect("a block").moved([-0.09, 0.0]);
    let outline = block.with_hole(passage).expect("a passage");
    let (point_angle, x) = (2.0_f64, -0.1025);
    let slope = 1.0 / (0.5 * point_angle).tan();
    let found = taken(outline, 0.006, x, Depth::ToTip { depth: 0.015, point_angle }).expect("a hole");
    let grid = by_columns([x, 0.003], [-0.005, slope], &[-0.103], |x| {
        let half = 0.003_f64.powi(2) - (x + 0.106).powi(2);
        if half <= 0.0 { vec![[0.01, -0.01]] } else { vec![[0.01, half.sqrt()], [-half.sqrt(), -0.01]] }
    });
    agree(found / grid, 1.0, 1e-4);
}

/// Near the end of a parabola the mouth is steep and lies below the shoulder of the drill.
#[test]
fn a_hole_in_a_steep_face_takes_only_what_is_there() {
    let (length, half, x) = (0.035, 0.0075, -0.127);
    let outline = Outline::parabolic_nose(length, half).expect("a nose").moved([-0.1, 0.0]);
    let face = |x: f64| half * (1.0 + (x + 0.1) / length).max(0.0).sqrt();
    let point_angle = 118_f64.to_radians();
    let slope = 1.0 / (0.5 * point_angle).tan();
    for depth in [0.0004, 0.001, 0.003] {
        let found = taken(outline.clone(), 0.006, x, Depth::ToTip { depth, point_angle }).expect("a hole");
        let grid = by_columns([x, 0.003], [face(x) - depth, slope], &[], |x| vec![[face(x), -face(x)]]);
        agree(found / grid, 1.0, 1e-4);
    }
}

#[test]
fn a_hole_that_goes_through_a_frustum_is_refused_by_its_own_reason() {
    let (form, ..) = forms(5, 0.02);
    let mut design = Design::new(wanted(-0.05), form, Vary::Nothing, LEAD);
    let mouth = Mouth::Top { x: -0.205, y: 0.0 };
    design.holes.push(Hole {
        name: "bolt".to_owned(),
        diameter: 0.004,
        depth: Depth::Wall,
        head: None,
        mouth,
    });
    let fault = design.reckon().expect_err("no walls");
    assert!(matches!(fault, Fault::HoleForm { .. }));
    assert!(fault.to_string().contains("goes through, which is not reckoned in a frustum"), "{fault}");
}

#[test]
fn a_hole_beside_the_metal_or_through_it_is_refused() {
    let mut design = Design::new(wanted(-0.05), bar(), Vary::Nothing, LEAD);
    let hole = |z: f64, depth: f64| Hole {
        name: "hole".to_owned(),
        diameter: 0.004,
        depth: Depth::ToTip { depth, point_angle: 2.0 },
        head: None,
        mouth: Mouth::Front { y: 0.0, z },
    };
    for (z, depth) in [(0.05, 0.005), (0.0125, 0.005), (0.003, 0.0101)] {
        design.holes = vec![hole(z, depth)];
        assert!(matches!(design.reckon(), Err(Fault::HoleOutside { .. })), "{z} {depth}");
    }
    design.holes = vec![hole(0.003, 0.0099)];
    assert!(design.reckon().is_ok());
}

/// A blind hole of 8 mm forbids what would break through: the smallest bar is the one that just holds it.
#[test]
fn the_smallest_piece_is_the_one_that_holds_its_holes() {
    let mut design = Design::new(wanted(-0.05), bar(), free(Dimension::Depth, 0.001, 0.1), LEAD);
    design.holes.push(Hole {
        name: "insert hole".to_owned(),
        diameter: 0.004,
        depth: Depth::ToTip { depth: 0.008, point_angle: 2.0 },
        head: None,
        mouth: Mouth::Front { y: 0.0, z: 0.003 },
    });
    let found = solved(&design);
    agree(found.finished.moment_kg_m, -0.05, 1e-13);
    design.wanted = wanted(-0.02);
    let Err(Fault::HoleNeedsMore { name, value, .. }) = design.solve() else { panic!("too much") };
    assert_eq!(name, "insert hole");
    agree(value, 0.008, 1e-9);
    design.vary = free(Dimension::Depth, 0.001, 0.007);
    assert!(matches!(design.solve(), Err(Fault::HoleOutside { .. })));
}

proptest! {
    #![proptest_config(config())]

    /// Steps of any height under a drill of any point, against columns of a grid.
    #[test]
    fn holes_over_steps_agree_with_a_grid(
        heights in [-0.008..0.01_f64, -0.008..0.01_f64],
        x in -0.116..-0.104_f64,
        radius in 0.001..0.004_f64,
        depth in 0.000_5..0.015_f64,
        point_angle in 1.0..3.0_f64,
    ) {
        let top = |x: f64| if x < -0.11 { heights[0] } else { heights[1] };
        let slope = 1.0 / (0.5 * point_angle).tan();
        if let Ok(found) = taken(step(heights), 2.0 * radius, x, Depth::ToTip { depth, point_angle }) {
            let grid = by_columns([x, radius], [top(x) - depth, slope], &[-0.11], |x| vec![[top(x), -0.01]]);
            prop_assert!((found - grid).abs() <= 1e-4 * grid, "{} {}", found, grid);
        }
    }
}

/// A ten thousandth thinner the bar would not hold its hole: the slope is that of the thicker side, −ρ h s (a + d).
#[test]
fn a_piece_that_just_holds_its_hole_is_found() {
    let (deep, depth) = (0.012, 0.012 * (1.0 + 3e-5));
    let mut design = Design::new(wanted(-0.05), bar(), free(Dimension::Depth, 0.001, 0.1), LEAD);
    let depth_of = Depth::ToTip { depth: deep, point_angle: 118_f64.to_radians() };
    let mouth = Mouth::Front { y: 0.0, z: 0.003 };
    design.holes.push(Hole { name: "hole".to_owned(), diameter: 0.005, depth: depth_of, head: None, mouth });
    let just = Design { form: design.form.with(Dimension::Depth, depth).expect("a bar"), ..design.clone() };
    design.wanted = wanted(just.reckon().expect("a piece").finished.moment_kg_m);
    let found = solved(&design);
    agree(found.value.expect("a depth").1, depth, 1e-9);
    let slope = found.sensitivity.moment_per_dimension.expect("a slope");
    agree(slope / (-LEAD.kg_m3 * 0.02 * 0.1 * (0.15 + depth)), 1.0, 0.02);
}

fn into(form: Form, mouth: Mouth, diameter: f64, depth: f64) -> Result<f64, Fault> {
    let mut design = Design::new(wanted(-0.05), form, Vary::Nothing, LEAD);
    let depth = Depth::FullDiameter { depth, point_angle: PI / 2.0 };
    design.holes.push(Hole { name: "hole".to_owned(), diameter, depth, head: None, mouth });
    design.reckon().map(|found| -found.parts[1].mass_kg / LEAD.kg_m3)
}

/// From the front parallel to the axis a hole is π r² d and its cone; it keeps to the metal: 20 mm wide in front, 30 mm
/// at the rear, 40 mm deep. The point of 90° goes on by the radius.
#[test]
fn a_hole_in_a_frustum_comes_from_the_front_and_keeps_to_the_metal() {
    let frustum = |front_diameter, rear_diameter| Form::Frustum {
        front_diameter,
        rear_diameter,
        depth: 0.04,
        rear: [-0.06, 0.05, 0.0],
    };
    let front = |y: f64, depth: f64| into(frustum(0.02, 0.03), Mouth::Front { y, z: 0.0 }, 0.006, depth);
    let by_hand = PI * 0.003_f64.powi(2) * (0.03 + 0.003 / 3.0);
    agree(front(0.05, 0.03).expect("a hole"), by_hand, 1e-12);
    agree(front(0.0569, 0.03).expect("a hole"), by_hand, 1e-12);
    assert!(matches!(front(0.058, 0.03), Err(Fault::HoleOutside { beyond_end: false, .. })));
    assert!(matches!(front(0.05, 0.06), Err(Fault::HoleOutside { .. })));
    // It narrows aft by 1 mm of radius in 8: 7 mm off the axis there is room to 24 mm, to the tip.
    let narrowing = |depth: f64| into(frustum(0.03, 0.02), Mouth::Front { y: 0.057, z: 0.0 }, 0.01, depth);
    assert!(narrowing(0.018).is_ok());
    assert!(matches!(narrowing(0.02), Err(Fault::HoleOutside { .. })));
    for mouth in [Mouth::Top { x: -0.08, y: 0.05 }, Mouth::Bottom { x: -0.08, y: 0.05 }] {
        let fault = into(frustum(0.02, 0.03), mouth, 0.006, 0.008).expect_err("across");
        assert!(matches!(fault, Fault::HoleForm { .. }));
        let told = "enters across the axis, which is not reckoned in a frustum; allowed: from the front with a depth";
        assert!(fault.to_string().contains(told), "{fault}");
    }
}

/// The box is 40 mm fore and aft, 100 mm along the hinge line and 20 mm high.
#[test]
fn a_hole_in_a_measured_piece_keeps_to_the_box_around_it() {
    let measured = || Form::Measured {
        surface: Arc::default(),
        volume: Moments::point(1e-5, [-0.2, 0.0, 0.0]),
        bounds: [[-0.22, -0.05, -0.01], [-0.18, 0.05, 0.01]],
    };
    let top = |x: f64, y: f64, depth: f64| into(measured(), Mouth::Top { x, y }, 0.004, depth);
    assert!(top(-0.2, 0.0, 0.006).is_ok() && top(-0.218, 0.048, 0.018).is_ok());
    assert!(matches!(top(0.18, 0.0, 0.006), Err(Fault::HoleOutside { beyond_end: false, .. })));
    assert!(matches!(top(-0.219, 0.0, 0.006), Err(Fault::HoleOutside { beyond_end: false, .. })));
    assert!(matches!(top(-0.2, 0.049, 0.006), Err(Fault::HoleOutside { beyond_end: true, .. })));
    assert!(matches!(top(-0.2, 0.0, 0.019), Err(Fault::HoleOutside { .. })));
    let head = Some(Head::Counterbore { diameter: 0.009, depth: 0.002 });
    let mut design = Design::new(wanted(-0.05), measured(), Vary::Nothing, LEAD);
    let depth = Depth::FullDiameter { depth: 0.006, point_angle: 2.0 };
    let mouth = Mouth::Top { x: -0.2165, y: 0.0 };
    design.holes.push(Hole { name: "hole".to_owned(), diameter: 0.004, depth, head: None, mouth });
    assert!(design.reckon().is_ok());
    design.holes[0].head = head;
    assert!(matches!(design.reckon(), Err(Fault::HoleOutside { .. })));
}

/// A cap 12 mm thick with walls of 4 mm: at 116 mm forward wall, shell and wall hold the drill, at 90 mm the wall alone.
#[test]
fn a_hole_from_the_end_goes_on_where_the_section_behind_holds_it() {
    let corners = [[-0.11, 0.01], [-0.11, -0.01], [-0.08, -0.01]].map(|to| Edge::Line { to });
    let front = Path::new([-0.08, 0.01], &corners).expect("a front");
    let shell =
        Form::Cap { front, outside: Side::Right, thickness: 0.012, span: span(0.06), end_walls: Some(0.004) };
    let end = |x: f64, depth: Depth| {
        let mut design = Design::new(wanted(-0.05), shell.clone(), Vary::Nothing, LEAD);
        let mouth = Mouth::End { x, z: 0.0 };
        design.holes.push(Hole { name: "hole".to_owned(), diameter: 0.004, depth, head: None, mouth });
        design.reckon().map(|found| -found.parts[1].mass_kg / LEAD.kg_m3)
    };
    let area = PI * 0.002 * 0.002;
    agree(end(-0.116, Depth::Wall).expect("a hole"), area * 0.068, 1e-12);
    agree(end(-0.09, Depth::Wall).expect("a hole"), area * 0.004, 1e-12);
    let deep = |depth: f64| Depth::ToTip { depth, point_angle: PI / 2.0 };
    assert!(end(-0.116, deep(0.06)).is_ok());
    assert!(matches!(end(-0.116, deep(0.07)), Err(Fault::HoleOutside { .. })));
    assert!(matches!(end(-0.09, deep(0.006)), Err(Fault::HoleOutside { .. })));
}
