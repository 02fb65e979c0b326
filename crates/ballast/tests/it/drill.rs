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
        mass: Moments::point(0.5, [-0.15, 0.0, 0.0]),
        density_kg_m3: 11_340.0,
        removable_kg: 0.1,
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
    agree(done.left_moment_kg_m, -0.075 + 0.018 * 0.16, 1e-12);
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

proptest! {
    #![proptest_config(config())]

    /// What was added by a cap is drilled out again: the moment is as before.
    #[test]
    fn adding_and_taking_away_restores(moment in 0.001..0.02_f64, x in 0.1..0.2_f64) {
        let old = Moments::point(0.4, [-0.15, 0.0, 0.0]);
        let design = Design::new(wanted(-moment), bar(), free(Dimension::Depth, 1e-4, 0.1), LEAD);
        let added = solved(&design).as_cast;
        let whole = OldWeight { mass: old + added, density_kg_m3: LEAD.kg_m3, removable_kg: 1.0 };
        let drilling = Drilling { x: -x, diameters: vec![0.012], point_angle: 2.0, deepest: 0.03, most: 100 };
        let left = drill_out(&whole, moment, &drilling).expect("holes");
        agree(left.left_moment_kg_m, old.first[0], 1e-12);
        agree(left.removed_kg * x, moment, 1e-12);
    }
}
