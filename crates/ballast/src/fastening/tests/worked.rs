//! Whole fastenings worked by hand, in the order of the hand: force, moment, shares, margins.

use super::*;

const UP: Vector = [0.0, 0.0, 1.0];
const OUTBOARD: Vector = [0.0, 1.0, 0.0];
const FORWARD: Vector = [-1.0, 0.0, 0.0];

/// Bolts of one size with the usual loads and factors: 1.5 × 1.15 = 1.725.
fn held(weight: Body, axis: Vector, size: usize, places: &[Vector], heel_m: Option<f64>) -> Fastening {
    let bolt = |at: &Vector| Bolt { size: AN_BOLTS[size].clone(), ..an4(*at) };
    let bolts = places.iter().map(bolt).collect();
    let (loads, factors) = (usual_loads(), Factors::default());
    Fastening { weight, loads, factors, axis, bolts, plates: Vec::new(), heel_m, root: None }
}

fn margin(case: &Case, bolt: usize, check: &Check) -> f64 {
    let found = case.margins.iter().find(|margin| margin.check == *check && margin.bolt == Some(bolt));
    found.expect("a margin").margin
}

/// A weight of 0.8 kg on three AN3 that point up, at (−100, 0), (−100, 60) and (−130, 30) mm aft and outboard; its
/// centroid at −115, 35, and 25 mm above the joint. By hand, 12 g aft:
///   Centroid of the bolts −110, 30; bolts from there (10, −30), (10, 30), (−20, 0): Σx² = 600 mm², Σy² = 1800 mm²,
///   Σxy = 0, Σr² = 2400 mm².
///   F = 0.8 × 12 × 9.80665 = 94.14384 N aft, at −5, 5, 25 mm from that centroid.
///   About the bolts' direction −94.14384 × 0.005 = −0.4707192 N m; over Σr² −196.1330 N/m.
///   Shear: 94.14384/3 = 31.38128 N aft, and from the torsion 196.1330 y aft, −196.1330 x outboard:
///     1: 31.38128 − 5.88399 = 25.49729, −1.96133: 25.57261 N
///     2: 31.38128 + 5.88399 = 37.26527, −1.96133: 37.31685 N
///     3: 31.38128, 3.92266: 31.62550 N
///   Overturning 94.14384 × 0.025 = 2.353596 N m lifts the front: −x × 2.353596/600 mm² = −3922.66 N/m × x:
///     1 and 2: −39.2266 N, 3: 78.4532 N of tension.
///   AN3: shear 2126 lbf = 9456.919 N, tension 2210 lbf = 9830.570 N.
///   M.S. shear of 2: 9456.919/(1.725 × 37.31685) − 1 = 145.911; tension of 3: 9830.570/(1.725 × 78.4532) − 1 = 71.641.
///   Of 3: Rs = 0.00576868, Rt = 0.01376643, R = 0.01492625: M.S. 65.996.
#[test]
fn three_bolts_in_a_triangle() {
    let places = [[-0.1, 0.0, 0.0], [-0.1, 0.06, 0.0], [-0.13, 0.03, 0.0]];
    let weight = Body { mass_kg: 0.8, at: [-0.115, 0.035, 0.025] };
    let screening = screen(&held(weight, UP, 0, &places, None)).expect("no faults");
    let aft = find(&screening, Direction::ForeAndAft, Sense::Positive);
    let wanted = [(25.572_61, -39.2266), (37.316_85, -39.2266), (31.625_50, 78.4532)];
    for (bolt, (shear_n, tension_n)) in aft.bolts.iter().zip(wanted) {
        near(bolt.shear_n, shear_n, 1e-5);
        near(bolt.tension_n, tension_n, 1e-4);
    }
    near(margin(aft, 2, &Check::Shear), 145.911, 0.001);
    near(margin(aft, 3, &Check::Tension), 71.641, 0.001);
    near(margin(aft, 3, &Check::Interaction), 65.996, 0.001);
    assert!(aft.heels.is_empty() && screening.warnings.is_empty());
}

/// A weight of 1.5 kg on one AN5 that points outboard; from where the bolt meets the joint its centroid lies 3 mm
/// forward, 15 mm outboard, 4 mm up, and the edge that presses is 12 mm away. By hand, 12 g outboard:
///   F = 1.5 × 12 × 9.80665 = 176.5197 N; about the bolt 4 mm and 3 mm off: 5 mm × 176.5197 = 0.8825985 N m.
///   The edge presses with 0.8825985/0.012 = 73.54988 N where the moment points; the bolt pulls
///   176.5197 + 73.54988 = 250.0696 N and shears nothing.
///   AN5: tension 6500 lbf = 28 913.44 N: M.S. 28 913.44/(1.725 × 250.0696) − 1 = 66.027.
#[test]
fn a_single_bolt_with_a_moment_aslant() {
    let weight = Body { mass_kg: 1.5, at: [-0.203, 0.065, 0.004] };
    let screening = screen(&held(weight, OUTBOARD, 2, &[[-0.2, 0.05, 0.0]], Some(0.012))).expect("no faults");
    let outboard = find(&screening, Direction::AlongHinge, Sense::Positive);
    let ([bolt], [heel]) = (&outboard.bolts[..], &outboard.heels[..]) else { panic!("one of each") };
    near(bolt.tension_n, 250.0696, 0.0001);
    near(bolt.shear_n, 0.0, 1e-9);
    near(heel.force[1], -73.549_88, 0.0001);
    near(heel.at[0], -0.2 + 0.012 * 0.6, 1e-9);
    near(heel.at[2], -0.012 * 0.8, 1e-9);
    near(margin(outboard, 1, &Check::Tension), 66.027, 0.001);
}

/// A weight of 2 kg on two AN6 that point forward, 60 mm apart along the hinge line; its centroid midway between them,
/// 20 mm ahead and 10 mm up, the edge 20 mm from their line. By hand, 24 g down:
///   F = 2 × 24 × 9.80665 = 470.7192 N; shear 235.3596 N each.
///   About their line 470.7192 × 0.020 = 9.414384 N m; the edge presses with 9.414384/0.020 = 470.7192 N; tension
///   235.3596 N each.
///   AN6: shear 8284 lbf = 36 849.07 N, M.S. 89.762; tension 10 100 lbf = 44 927.04 N, M.S. 109.659.
///   Rs = 0.01101779, Rt = 0.00903677, R = 0.01424993: M.S. 69.177.
///   Bearing on 4 mm of 414 MPa: 235.3596/(9.525 × 4) = 6.177417 MPa, M.S. 414/(1.725 × 6.177417) − 1 = 37.851.
#[test]
fn two_bolts_along_the_hinge_line_with_a_plate() {
    let weight = Body { mass_kg: 2.0, at: [-0.17, 0.05, 0.01] };
    let places = [[-0.15, 0.02, 0.0], [-0.15, 0.08, 0.0]];
    let plate =
        Plate { name: "lug".to_owned(), thickness_m: 0.004, bearing_pa: Cited::entered(414e6, "drawing") };
    let fastening = Fastening { plates: vec![plate], ..held(weight, FORWARD, 3, &places, Some(0.02)) };
    let screening = screen(&fastening).expect("no faults");
    let down = find(&screening, Direction::Normal, Sense::Negative);
    for (index, bolt) in down.bolts.iter().enumerate() {
        near(bolt.shear_n, 235.3596, 1e-4);
        near(bolt.tension_n, 235.3596, 1e-4);
        near(margin(down, index + 1, &Check::Shear), 89.762, 0.001);
        near(margin(down, index + 1, &Check::Tension), 109.659, 0.001);
        near(margin(down, index + 1, &Check::Interaction), 69.177, 0.001);
        near(margin(down, index + 1, &Check::Bearing { plate: "lug".to_owned() }), 37.851, 0.001);
    }
}
