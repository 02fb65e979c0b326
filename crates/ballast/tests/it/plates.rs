//! Plates: which stock and how many.

use std::f64::consts::PI;

use hingeline_ballast::design::{Depth, Design, Fault, Form, Hole, Limit, Mouth, Vary};
use hingeline_ballast::outline::Outline;

use crate::design::{LEAD, solved, wanted};
use crate::outline::agree;

/// Each plate gives ρ A t x: the least that is enough over both stocks, of equal stacks the one of fewer plates.
#[test]
fn plates_give_at_least_the_wanted_moment_with_the_least_beyond_it() {
    let outline = Outline::rectangle(0.02, 0.04).expect("a plate").moved([-0.2, 0.0]);
    let form = Form::Plates { outline, thickness: 0.003, count: 1, from: 0.0 };
    let vary = Vary::Plates { stock: vec![0.003, 0.002], most: 40 };
    let one_mm = LEAD.kg_m3 * 0.02 * 0.04 * 0.001 * 0.21;
    for (moment, thickness, count) in
        [(-9.2, 0.002, 5), (-8.5, 0.003, 3), (-27.4, 0.002, 14), (-12.0, 0.003, 4), (-1.0, 0.002, 1)]
    {
        let design = Design::new(wanted(moment * one_mm), form.clone(), vary.clone(), LEAD);
        let found = solved(&design);
        let Form::Plates { thickness: found_thickness, count: found_count, .. } = found.form else {
            panic!("plates");
        };
        assert!(
            (found_thickness - thickness).abs() < 1e-12 && found_count == count,
            "{moment}: {found_count}"
        );
        let remaining = moment * one_mm + thickness * 1e3 * f64::from(count) * one_mm;
        assert!((found.remaining_kg_m - remaining).abs() < 1e-12);
    }
    // Five plates of 2 mm give 10 and 5 of 3 mm give 15 of 10.8: 4 of 3 mm are the nearest that are enough.
    let few = Vary::Plates { stock: vec![0.003, 0.002], most: 5 };
    let found = solved(&Design::new(wanted(-10.8 * one_mm), form.clone(), few, LEAD));
    assert!(matches!(found.form, Form::Plates { count: 4, .. }), "{:?}", found.form);
    let mut design = Design::new(wanted(-27.0 * one_mm), form, vary, LEAD);
    design.space.span = Some(0.02);
    let Err(Fault::Shortfall(shortfall)) = design.solve() else { panic!("a shortfall") };
    assert_eq!((shortfall.limit, shortfall.dimension), (Limit::Span, None));
    agree(shortfall.value, 10.0, 1e-12);
    agree(shortfall.lacking_percent(), 100.0 * 7.0 / 27.0, 1e-10);
}

/// Plates of 3 mm and a hole of 8 mm from the top, 4.5 mm from the start of the stack: one or two plates do not hold it,
/// three do. Its metal is gone once: n plates of 3 mm give n × 3 − π 4² × 20 / (20 × 40) of what 1 mm gives, less 1.257.
#[test]
fn a_hole_wider_than_a_plate_goes_through_several() {
    let outline = Outline::rectangle(0.02, 0.04).expect("a plate").moved([-0.2, 0.0]);
    let form = Form::Plates { outline, thickness: 0.003, count: 1, from: 0.0 };
    let one_mm = LEAD.kg_m3 * 0.02 * 0.04 * 0.001 * 0.21;
    let depth = Depth::FullDiameter { depth: 0.02, point_angle: PI - 1e-6 };
    let mouth = Mouth::Top { x: -0.21, y: 0.004_5 };
    let hole = Hole { name: "bolt hole".to_owned(), diameter: 0.008, depth, head: None, mouth };
    let design = |moment: f64, stock: Vec<f64>, most: u32| {
        let vary = Vary::Plates { stock, most };
        Design { holes: vec![hole.clone()], ..Design::new(wanted(moment * one_mm), form.clone(), vary, LEAD) }
    };
    for (moment, count) in [(-1.0, 3), (-7.7, 3), (-7.8, 4), (-25.0, 9)] {
        let found = solved(&design(moment, vec![0.003], 40));
        assert!(
            matches!(found.form, Form::Plates { count: found, .. } if found == count),
            "{:?}",
            found.form
        );
        let gives = 3.0 * f64::from(count) - PI * 16.0 * 20.0 / 800.0;
        agree(found.finished.moment_kg_m, -gives * one_mm, 1e-6);
    }
    assert!(matches!(design(-1.0, vec![0.003], 2).solve(), Err(Fault::HoleOutside { .. })));
    // The other stock holds it.
    let found = solved(&design(-1.0, vec![0.003, 0.01], 2));
    assert!(matches!(found.form, Form::Plates { count: 1, .. }), "{:?}", found.form);
}
