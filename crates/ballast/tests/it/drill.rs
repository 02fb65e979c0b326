//! Mass that must go: holes in an old weight.

use hingeline_ballast::Moments;
use hingeline_ballast::design::{Design, Dimension, Drilling, OldWeight, bore_for, drill_out};
use proptest::prelude::*;

use crate::design::{LEAD, bar, free, solved, wanted};
use crate::outline::{agree, config};

/// Published check values: 10 mm × 20 mm at 118°.
#[test]
fn the_depth_of_a_hole_is_that_of_its_volume() {
    let angle = 118_f64.to_radians();
    agree(bore_for(1649.449e-9, 0.01, angle).full_depth, 0.02, 1e-6);
    agree(bore_for(1413.491e-9, 0.01, angle).tip_depth, 0.02, 1e-6);
    // An eighth of the cone of 78.6525 mm³ is a cone of half its depth, 1.50215 mm.
    let dimple = bore_for(78.6525e-9 / 8.0, 0.01, angle);
    agree(dimple.tip_depth, 0.001_502_15, 1e-5);
    agree(dimple.full_depth, 0.0, 1e-12);
}

#[test]
fn drilling_out_changes_the_moment_by_what_was_wanted() {
    let old = OldWeight {
        mass: Some(Moments::point(0.5, [-0.15, 0.0, 0.0])),
        density_kg_m3: 11_340.0,
        removable_kg: Some(0.1),
    };
    let drilling = Drilling {
        x: -0.16,
        diameters: vec![0.006, 0.004, 0.01],
        point_angle: 118_f64.to_radians(),
        deepest: 0.02,
        most: 6,
    };
    // 18 g at 0.16 m: one hole of 10 mm takes 16.03 g at most, so two, of 8 g: 6 mm is too thin, 10 mm will do.
    let done = drill_out(&old, 0.018 * 0.16, &drilling).expect("holes");
    assert!(done.count == 2 && (done.bore.diameter - 0.01).abs() < 1e-12);
    agree(done.removed_kg, 0.018, 1e-12);
    agree(f64::from(done.count) * done.bore.volume * 11_340.0, 0.018, 1e-12);
    agree(done.left.expect("a mass").moment_kg_m, -0.075 + 0.018 * 0.16, 1e-12);
    use hingeline_ballast::design::DrillFault as F;
    assert!(matches!(drill_out(&old, -0.001, &drilling), Err(F::WrongSide { .. })));
    let many = Drilling { most: 12, ..drilling.clone() };
    assert!(matches!(drill_out(&old, 0.02, &many), Err(F::Removable { .. })));
    let few = Drilling { most: 1, ..drilling };
    assert!(matches!(drill_out(&old, 0.018 * 0.16, &few), Err(F::TooLittle { .. })));
    // 0.1 kg may go, one hole takes 16 g: of 0.12 kg the hole is what stops it.
    assert!(
        matches!(drill_out(&old, 0.12 * 0.16, &few), Err(F::TooLittle { most_kg, .. }) if most_kg < 0.02)
    );
}

/// 0.1 kg at 0.15 m, of which 0.1 kg goes at 0.15 m: up to the last gram, and then there is nothing with an arm.
#[test]
fn of_an_old_weight_that_goes_whole_nothing_is_left() {
    let (angle, arm) = (118_f64.to_radians(), -0.15);
    let drilling = Drilling { x: arm, diameters: vec![0.012], point_angle: angle, deepest: 0.03, most: 100 };
    let of = |mass: Option<Moments>| OldWeight { mass, density_kg_m3: 11_340.0, removable_kg: None };
    let old = of(Some(Moments::point(0.1, [arm, 0.0, 0.0])));
    let most = drill_out(&old, 0.099 * 0.15, &drilling).expect("holes").left.expect("a gram");
    agree(most.mass_kg, 0.001, 1e-12);
    agree(most.arm_m, arm, 1e-9);
    assert_eq!(drill_out(&old, 0.1 * 0.15, &drilling).expect("holes").left, None);
    // Of a mass that nobody gave nothing is said, and nothing bounds it.
    let unknown = drill_out(&of(None), 0.2 * 0.15, &drilling).expect("holes");
    agree(unknown.removed_kg, 0.2, 1e-12);
    assert_eq!(unknown.left, None);
}

proptest! {
    #![proptest_config(config())]

    /// What was added by a cap is drilled out again: the moment is as before.
    #[test]
    fn adding_and_taking_away_restores(moment in 0.001..0.02_f64, x in 0.1..0.2_f64) {
        let old = Moments::point(0.4, [-0.15, 0.0, 0.0]);
        let design = Design::new(wanted(-moment), bar(), free(Dimension::Depth, 1e-4, 0.1), LEAD);
        let added = solved(&design).as_cast;
        let whole = OldWeight { mass: Some(old + added), density_kg_m3: LEAD.kg_m3, removable_kg: None };
        let drilling = Drilling { x: -x, diameters: vec![0.012], point_angle: 2.0, deepest: 0.03, most: 100 };
        let out = drill_out(&whole, moment, &drilling).expect("holes");
        agree(out.left.expect("a mass").moment_kg_m, old.first[0], 1e-12);
        agree(out.removed_kg * x, moment, 1e-12);
    }
}
