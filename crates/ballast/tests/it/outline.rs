//! Outlines: exact moments against polygons and handbook forms, the refusals, and what holds for every outline.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use hingeline_ballast::outline::{Edge, Fault, Outline, Path, PlaneMoments, Point, Ring, Traced};
use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed};

pub(crate) fn config() -> Config {
    Config { cases: 200, rng_seed: RngSeed::Fixed(57), failure_persistence: None, ..Config::default() }
}

/// Equal within a share of the larger of the expected value and 1e-3 of the unit.
#[track_caller]
pub(crate) fn agree(found: f64, expected: f64, share: f64) {
    assert!((found - expected).abs() <= share * expected.abs().max(1e-3), "{found} is not {expected}");
}

/// Equal to all printed digits: within half a unit of the last.
#[track_caller]
pub(crate) fn printed(text: &str, found: f64) {
    let expected: f64 = text.parse().expect("a printed number");
    let decimals = text.split_once('.').map_or(0, |(_, after)| after.len());
    let last = 0.1_f64.powi(i32::try_from(decimals).expect("few decimals"));
    assert!((found - expected).abs() <= 0.5 * last * (1.0 + 1e-6), "{found} is printed {text}");
}

/// An outline whose front is a traced nose with a concave rear, an arc, a parabola and two holes.
fn mixed() -> Outline {
    let edges = [
        Edge::Parabola { control: [-0.12, 0.01], to: [0.0, -0.03] },
        Edge::Line { to: [0.04, -0.03] },
        Edge::Arc { centre: [0.04, 0.0], radii: [0.02, 0.03], from: -FRAC_PI_2, sweep: PI },
    ];
    let outer = Path::new([0.0, 0.03], &edges).expect("a path").closed();
    let slot = Path::polyline(&[[0.02, -0.01], [0.03, -0.01], [0.03, 0.01]]).expect("a path").closed();
    Outline::new(outer, vec![Path::circle([0.0, 0.005], 0.006).expect("a circle"), slot]).expect("an outline")
}

#[track_caller]
fn same(one: &PlaneMoments, other: &PlaneMoments, share: f64, size: f64) {
    let near = |a: f64, b: f64, power: i32| (a - b).abs() <= share * size.powi(power);
    assert!(near(one.area, other.area, 2), "{one:?} {other:?}");
    for i in 0..2 {
        assert!(near(one.first[i], other.first[i], 3), "{one:?} {other:?}");
        for j in 0..2 {
            assert!(near(one.second[i][j], other.second[i][j], 4), "{one:?} {other:?}");
        }
    }
}

/// The moments of the polygon, side by side about the origin.
fn of_polygon(outline: &Outline, tolerance: f64) -> PlaneMoments {
    let rings = outline.polygon(tolerance);
    let sides = rings.iter().flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)));
    sides
        .map(|(a, b)| {
            let twice = a[0] * b[1] - a[1] * b[0];
            let second = |i: usize, j: usize| {
                twice / 24.0 * (2.0 * (a[i] * a[j] + b[i] * b[j]) + a[i] * b[j] + a[j] * b[i])
            };
            PlaneMoments {
                area: twice / 2.0,
                first: [0, 1].map(|i| twice / 6.0 * (a[i] + b[i])),
                second: [0, 1].map(|i| [0, 1].map(|j| second(i, j))),
            }
        })
        .sum()
}

#[test]
fn polygons_of_a_quarter_of_the_tolerance_are_four_times_as_near() {
    let exact = mixed().moments();
    let off = |tolerance: f64| (of_polygon(&mixed(), tolerance).area - exact.area).abs();
    let (coarse, fine) = (off(1e-4), off(1e-4 / 64.0));
    let ratio = coarse / fine;
    assert!(50.0 < ratio && ratio < 80.0, "{ratio}");
    same(&of_polygon(&mixed(), 1e-9), &exact, 1e-7, 0.1);
}

#[test]
fn polygons_stay_within_their_tolerance() {
    for tolerance in [1e-3, 1e-4, 1e-5] {
        let ring = &Outline::circle(0.03).expect("a circle").polygon(tolerance)[0];
        for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
            let middle = [(a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0];
            assert!(0.03 - middle[0].hypot(middle[1]) <= tolerance);
        }
    }
}

#[test]
fn polygons_run_counterclockwise_holes_clockwise_and_repeat_nothing() {
    let rings = mixed().mirrored().polygon(1e-4);
    assert_eq!(rings.len(), 3);
    for (index, ring) in rings.iter().enumerate() {
        let next = ring.iter().cycle().skip(1);
        let twice: f64 = ring.iter().zip(next.clone()).map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum();
        assert_eq!(0.0 < twice, index == 0);
        assert!(ring.iter().zip(next).all(|(a, b)| 1e-6 < (a[0] - b[0]).hypot(a[1] - b[1])));
    }
}

/// Two routes: a shallow arc goes by the rule, a deeper one by closed form; split in ten it is ten shallow ones.
#[test]
fn an_ellipse_in_short_arcs_is_the_whole_ellipse() {
    let arc = |k: i32, parts: i32| Edge::Arc {
        centre: [0.3, -0.1],
        radii: [0.05, 0.02],
        from: TAU * f64::from(k) / f64::from(parts),
        sweep: TAU / f64::from(parts),
    };
    let of = |parts: i32| {
        let edges: Vec<Edge> = (0..parts).map(|k| arc(k, parts)).collect();
        Outline::new(Path::new([0.35, -0.1], &edges).expect("a path"), Vec::new()).expect("an outline")
    };
    same(&of(2).moments(), &of(20).moments(), 1e-14, 0.4);
    agree(of(2).moments().area, PI * 0.001, 1e-13);
    agree(of(2).rim().length, of(20).rim().length, 1e-13);
}

/// Perimeter of an ellipse of half axes 2 and 1: 8 E(3/4) = 9.688 448 220 547 675 (value from memory; the series of
/// Gauss and Kummer below is the check).
#[test]
fn the_rim_of_an_ellipse() {
    let half = |from: f64| Edge::Arc { centre: [0.0; 2], radii: [2.0, 1.0], from, sweep: PI };
    let path = Path::new([2.0, 0.0], &[half(0.0), half(PI)]).expect("a path");
    let h: f64 = 1.0 / 9.0; // ((a - b)/(a + b))²
    let (mut factor, mut series) = (1.0, 1.0);
    for n in 1..40 {
        factor *= (1.5 - f64::from(n)) / f64::from(n); // binomial of 1/2 over n
        series += factor * factor * h.powi(n);
    }
    agree(path.rim().length, PI * 3.0 * series, 1e-13);
    agree(path.rim().length, 9.688_448_220_547_675, 1e-12);
    assert!(path.rim().first.iter().all(|x| x.abs() < 1e-13));
}

/// Arc of the parabola y² = b² x/a from the vertex, mirrored: closed form of the handbook.
#[test]
fn the_rim_of_a_parabola() {
    let (a, b): (f64, f64) = (1.5, 0.5);
    let nose = Outline::parabolic_nose(a, b).expect("a nose");
    let root = (b * b + 4.0 * a * a).sqrt();
    let arc = root + b * b / (2.0 * a) * ((2.0 * a + root) / b).ln();
    agree(nose.rim().length, arc + 2.0 * b, 1e-13);
    agree(nose.rim().first[1], 0.0, 1e-12);
}

/// Handbook: the centroid of a half circle's arc lies 2r/π from its centre.
#[test]
fn the_rim_of_a_half_circle() {
    let rim = Outline::half_round(0.03).expect("a half round").rim();
    agree(rim.length, (PI + 2.0) * 0.03, 1e-14);
    agree(rim.first[0], -2.0 / PI * 0.03 * PI * 0.03, 1e-13);
}

/// Pappus and Guldin: the coat on a cylinder, and a thin coat against the difference of two bodies.
#[test]
fn the_skin_times_a_thin_coat_is_the_growth() {
    let skin = Outline::circle(0.02).expect("a circle").moved([0.1, 0.0]).skin(0.5, 0.2);
    agree(skin.sides.area, TAU * 0.02 * 0.3, 1e-13);
    agree(skin.whole().area, TAU * 0.02 * 0.3 + 2.0 * PI * 4e-4, 1e-13);
    let centroid = skin.whole().centroid().expect("a surface");
    agree(centroid[0], 0.1, 1e-13);
    agree(centroid[1], 0.35, 1e-13);
    agree(skin.ends[0].first[1], 0.2 * PI * 4e-4, 1e-13);
    let box_of = Outline::rectangle(0.05, 0.02).expect("a rectangle");
    let coat = 1e-6;
    let growth = box_of.grown(coat).expect("grown").extruded(-coat, 0.3 + coat).total
        - box_of.extruded(0.0, 0.3).total;
    assert!((growth / coat - box_of.skin(0.0, 0.3).whole().area).abs() < 1e-4 * growth / coat);
}

#[test]
fn holes_subtract() {
    let plate = Outline::rectangle(0.1, 0.05).expect("a plate");
    let hole = Path::circle([-0.03, 0.01], 0.005).expect("a circle");
    let round = Outline::new(hole.clone(), Vec::new()).expect("an outline").moments();
    let drilled = plate.clone().with_hole(hole).expect("a hole");
    same(&drilled.moments(), &(plate.moments() - round), 1e-15, 0.1);
    assert!(plate.contains([-0.03, 0.01]) && !drilled.contains([-0.03, 0.01]));
    agree(drilled.rim().length, 0.3 + TAU * 0.005, 1e-13);
    // No paint goes into the bore, and there is none over its mouths: 0.3 m × 0.2 m, two ends of 5000 − 25 π mm².
    agree(drilled.skin(0.0, 0.2).whole().area, 0.06 + 2.0 * (0.005 - 25e-6 * PI), 1e-13);
}

#[test]
fn a_traced_arc_passes_its_middle_point() {
    let nose = [
        Traced::Line { to: [-0.02, 0.01] },
        Traced::Arc { through: [-0.03, 0.0], to: [-0.02, -0.01] },
        Traced::Line { to: [0.0, -0.01] },
    ];
    let path = Path::traced([0.0, 0.01], &nose).expect("a path").closed();
    let outline = Outline::new(path, Vec::new()).expect("an outline");
    agree(outline.moments().area, 0.02 * 0.02 + PI * 1e-4 / 2.0, 1e-13);
    agree(outline.bounds()[0][0], -0.03, 1e-14);
}

/// The clockwise and the counterclockwise arc, below and above half a turn.
#[test]
fn a_traced_arc_goes_the_way_of_its_points() {
    for angles in [[0.3, 1.0, 2.0], [2.0, 1.0, 0.3], [0.3, 3.0, 5.5], [5.5, 3.0, 0.3]] {
        let [a, m, b] = angles.map(|angle: f64| [1.0 + 0.2 * angle.cos(), 0.2 * angle.sin()]);
        let path = Path::traced(a, &[Traced::Arc { through: m, to: b }]).expect("a path");
        agree(path.rim().length, 0.2 * (angles[2] - angles[0]).abs(), 1e-12);
    }
}

#[test]
fn an_arc_that_is_all_but_straight_is_a_line() {
    let path = Path::traced([0.0; 2], &[Traced::Arc { through: [0.05, 1e-9], to: [0.1, 0.0] }]);
    assert_eq!(path.expect("a path").edges().next(), Some(Edge::Line { to: [0.1, 0.0] }));
    let beyond = Path::traced([0.0; 2], &[Traced::Arc { through: [0.15, 0.0], to: [0.1, 0.0] }]);
    assert_eq!(beyond, Err(Fault::NoArc { edge: 1 }));
}

/// Two routes: the shallow arc of a large circle against its chord and the form for a parabola, 2/3 chord times sagitta.
#[test]
fn a_shallow_arc_loses_no_digits() {
    let sagitta = 1e-6;
    let path = Path::traced([5.0, 3.0], &[Traced::Arc { through: [5.05, 3.0 - sagitta], to: [5.1, 3.0] }]);
    let outline = Outline::new(path.expect("a path").closed(), Vec::new()).expect("an outline");
    let area = outline.moments().area;
    assert!((area - 2.0 / 3.0 * 0.1 * sagitta).abs() < 1e-7 * area, "{area}");
}

#[test]
fn orientation_is_put_right() {
    let clockwise = Outline::straight(&[[0.0, 0.0], [0.0, 1.0], [1.0, 0.0]]).expect("a triangle");
    agree(clockwise.moments().area, 0.5, 1e-15);
}

#[test]
fn an_open_line_is_refused_with_its_gap() {
    let path = Path::polyline(&[[0.0, 0.0], [1.0, 0.0], [1.0, 1.0]]).expect("a path");
    let fault = Outline::new(path, Vec::new()).expect_err("open");
    assert_eq!(fault, Fault::Open { ring: Ring::Outer, gap: 2f64.sqrt() });
    assert_eq!(fault.to_string(), "the outline is open: its end lies 1414.214 mm from its start");
    assert!(!fault.hint().is_empty());
}

#[test]
fn a_bow_tie_is_refused_where_it_crosses() {
    let fault = Outline::straight(&[[0.0, 0.0], [1.0, 1.0], [1.0, 0.0], [0.0, 1.0]]).expect_err("crosses");
    assert_eq!(fault, Fault::Crossing { ring: Ring::Outer, edges: [1, 3], at: [0.5, 0.5] });
    let text = "the outline crosses or touches itself: edges 1 and 3 meet at x 500.000 mm, z 500.000 mm";
    assert_eq!(fault.to_string(), text);
}

#[test]
fn an_arc_that_crosses_its_neighbour_is_refused() {
    // Round a rectangle and back to the start by an arc that goes the long way, across the first edge.
    let edges = [
        Traced::Line { to: [1.0, 0.0] },
        Traced::Line { to: [1.0, 1.0] },
        Traced::Line { to: [0.0, 1.0] },
        Traced::Arc { through: [0.3 + 0.34_f64.sqrt(), 0.5], to: [0.0, 0.0] },
    ];
    let path = Path::traced([0.0, 0.0], &edges).expect("a path");
    let fault = Outline::new(path, Vec::new()).expect_err("crosses");
    let Fault::Crossing { edges, at, .. } = fault else { panic!("{fault}") };
    assert_eq!(edges, [1, 4]);
    agree(at[0], 0.6, 1e-12);
}

#[test]
fn what_folds_back_is_refused() {
    let spike = Outline::straight(&[[0.0, 0.0], [1.0, 0.0], [2.0, 0.0], [1.0, 0.0], [1.0, 1.0]]);
    assert!(matches!(spike, Err(Fault::Crossing { .. })));
    let touching = Outline::straight(&[[0.0, 0.0], [2.0, 0.0], [2.0, 1.0], [1.0, 0.0], [0.0, 1.0]]);
    assert!(matches!(touching, Err(Fault::Crossing { .. })));
}

#[test]
fn a_crescent_of_tangent_arcs_is_fine() {
    // Two circles that touch from inside, each run from the touch round to it: a lune with a cusp.
    let edges = [
        Edge::Arc { centre: [0.0, 0.0], radii: [1.0; 2], from: 0.0, sweep: PI },
        Edge::Line { to: [0.0, 0.0] },
        Edge::Arc { centre: [0.5, 0.0], radii: [0.5; 2], from: PI, sweep: -PI },
    ];
    let path = Path::new([1.0, 0.0], &edges).expect("a path");
    let area = Outline::new(path, Vec::new()).expect("a crescent").moments().area;
    agree(area, PI / 2.0 - PI / 8.0, 1e-14);
}

#[test]
fn too_few_edges_and_no_area_are_refused() {
    let whole = Edge::Arc { centre: [0.0; 2], radii: [1.0; 2], from: 0.0, sweep: TAU };
    let one = Outline::new(Path::new([1.0, 0.0], &[whole]).expect("a path"), Vec::new());
    assert_eq!(one, Err(Fault::TooFewEdges { ring: Ring::Outer, edges: 1 }));
    assert!(matches!(Outline::rectangle(0.1, 0.0), Err(Fault::Crossing { .. } | Fault::NoArea { .. })));
    let sliver = Outline::straight(&[[0.0, 0.0], [0.5, 4e-10], [1.0, 0.0]]);
    assert!(matches!(sliver, Err(Fault::NoArea { .. } | Fault::Crossing { .. })));
}

#[test]
fn values_that_are_no_numbers_are_refused() {
    assert_eq!(Outline::rectangle(f64::NAN, 1.0), Err(Fault::NotFinite { edge: 2 }));
    assert!(matches!(Outline::circle(f64::INFINITY), Err(Fault::NotFinite { .. })));
    assert_eq!(Outline::circle(-1.0), Err(Fault::ArcSize { edge: 1 }));
    assert_eq!(Path::polyline(&[[1.0, 1.0]]), Err(Fault::TooFewEdges { ring: Ring::Outer, edges: 0 }));
}

#[test]
fn an_arc_that_begins_elsewhere_is_refused() {
    let arc = Edge::Arc { centre: [0.0; 2], radii: [1.0; 2], from: 0.0, sweep: PI };
    let fault = Path::new([1.1, 0.0], &[arc]).expect_err("a step");
    assert!(matches!(fault, Fault::Step { edge: 1, gap } if (gap - 0.1).abs() < 1e-12));
}

#[test]
fn holes_out_of_place_are_refused() {
    let plate = Outline::rectangle(0.1, 0.05).expect("a plate");
    let hole = |u: f64, radius: f64| Path::circle([u, 0.0], radius).expect("a circle");
    assert_eq!(plate.clone().with_hole(hole(0.3, 0.01)), Err(Fault::HoleOutside { hole: 1 }));
    assert!(matches!(plate.clone().with_hole(hole(-0.1, 0.01)), Err(Fault::HoleCrosses { hole: 1, .. })));
    let one = plate.with_hole(hole(-0.05, 0.02)).expect("a hole");
    assert_eq!(one.clone().with_hole(hole(-0.05, 0.01)), Err(Fault::HolesMeet { hole: 2, other: 1 }));
    assert_eq!(one.with_hole(hole(-0.07, 0.01)), Err(Fault::HolesMeet { hole: 2, other: 1 }));
}

#[test]
fn an_ellipse_is_not_turned() {
    let half = Outline::half_ellipse(0.05, 0.02).expect("a half ellipse");
    assert_eq!(half.turned(0.1), Err(Fault::EllipseTurned { edge: 1 }));
    let turned = half.faceted(1e-7).turned(FRAC_PI_2).expect("turned");
    assert!((turned.moments().area - half.moments().area).abs() < 1e-7 * 0.1);
}

#[test]
fn edges_read_back_make_the_same_path() {
    let outer = mixed().outer().clone();
    let edges: Vec<Edge> = outer.edges().collect();
    assert_eq!(Path::new(outer.start(), &edges).expect("a path").closed(), outer);
}

/// A ring of points at growing angles about the origin, joined by lines and arcs that bulge.
fn star() -> impl Strategy<Value = Path> {
    proptest::collection::vec((0.02..0.05f64, -0.1..0.1f64), 4..12).prop_map(|spokes| {
        let count = spokes.len() as f64;
        let points: Vec<Point> = spokes
            .iter()
            .enumerate()
            .map(|(k, (radius, _))| {
                let angle = TAU * k as f64 / count;
                [radius * angle.cos(), radius * angle.sin()]
            })
            .collect();
        let edges: Vec<Traced> = (0..points.len())
            .map(|k| {
                let (a, b) = (points[k], points[(k + 1) % points.len()]);
                let bulge = spokes[k].1;
                let through = [
                    (a[0] + b[0]) / 2.0 + bulge * (b[1] - a[1]),
                    (a[1] + b[1]) / 2.0 - bulge * (b[0] - a[0]),
                ];
                if bulge < 0.02 { Traced::Line { to: b } } else { Traced::Arc { through, to: b } }
            })
            .collect();
        Path::traced(points[0], &edges).expect("a path")
    })
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn moving_an_outline_moves_its_moments(path in star(), u in -2.0..2.0f64, v in -2.0..2.0f64) {
        let outline = Outline::new(path, Vec::new()).expect("an outline");
        same(&outline.moved([u, v]).moments(), &outline.moments().moved([u, v]), 1e-14, 3.0);
    }

    #[test]
    fn turning_an_outline_turns_its_body(path in star(), angle in -4.0..4.0f64) {
        let outline = Outline::new(path, Vec::new()).expect("an outline");
        let (sin, cos) = angle.sin_cos();
        let turn = [[cos, 0.0, -sin], [0.0, 1.0, 0.0], [sin, 0.0, cos]];
        let turned = outline.turned(angle).expect("turned").extruded(0.1, 0.4);
        let body = outline.extruded(0.1, 0.4).mapped(&turn);
        prop_assert!((turned.total - body.total).abs() < 1e-14);
        for i in 0..3 {
            prop_assert!((turned.first[i] - body.first[i]).abs() < 1e-15);
            for j in 0..3 {
                prop_assert!((turned.second[i][j] - body.second[i][j]).abs() < 1e-16);
            }
        }
    }

    /// Two routes: where two sides cross, the ends of each lie on either side of the other.
    #[test]
    fn a_polygon_is_refused_where_two_sides_cross(
        points in proptest::collection::vec([0.0..1.0f64, 0.0..1.0f64], 3..8)
    ) {
        let side = |a: Point, b: Point, p: Point| {
            0.0 < (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])
        };
        let count = points.len();
        let crossing = (0..count).flat_map(|i| (i + 2..count).map(move |j| (i, j))).any(|(i, j)| {
            let [a, b, c, d] = [i, i + 1, j, j + 1].map(|k| points[k % count]);
            (i + count != j + 1) && side(a, b, c) != side(a, b, d) && side(c, d, a) != side(c, d, b)
        });
        let made = Outline::straight(&points);
        prop_assert_eq!(matches!(made, Err(Fault::Crossing { .. })), crossing);
        prop_assert_eq!(made.is_ok(), !crossing);
    }

    #[test]
    fn a_mirror_turns_the_sign_of_what_is_forward(path in star()) {
        let outline = Outline::new(path, Vec::new()).expect("an outline");
        let (one, other) = (outline.moments(), outline.mirrored().moments());
        prop_assert!((one.area - other.area).abs() < 1e-16);
        prop_assert!((one.first[0] + other.first[0]).abs() < 1e-17);
        prop_assert!((one.second[0][1] + other.second[0][1]).abs() < 1e-18);
    }

    #[test]
    fn a_polygon_comes_near_its_outline(path in star()) {
        let outline = Outline::new(path, Vec::new()).expect("an outline");
        let tolerance = 1e-6;
        let off = (of_polygon(&outline, tolerance).area - outline.moments().area).abs();
        prop_assert!(off <= tolerance * outline.rim().length);
    }

    #[test]
    fn points_inside_are_inside_the_polygon(path in star(), u in -0.06..0.06f64, v in -0.06..0.06f64) {
        let outline = Outline::new(path, Vec::new()).expect("an outline");
        let ring = &outline.polygon(1e-7)[0];
        // The angle that the polygon sweeps about the point.
        let around: f64 = ring.iter().zip(ring.iter().cycle().skip(1)).map(|(a, b)| {
            let (a, b) = ([a[0] - u, a[1] - v], [b[0] - u, b[1] - v]);
            (a[0] * b[1] - a[1] * b[0]).atan2(a[0] * b[0] + a[1] * b[1])
        }).sum();
        prop_assert_eq!(outline.contains([u, v]), 1.0 < around);
    }

    #[test]
    fn bounds_hold_every_corner(path in star()) {
        let outline = Outline::new(path, Vec::new()).expect("an outline");
        let [low, high] = outline.bounds();
        let ring = &outline.polygon(1e-7)[0];
        for axis in 0..2 {
            let least = ring.iter().map(|p| p[axis]).fold(f64::INFINITY, f64::min);
            let greatest = ring.iter().map(|p| p[axis]).fold(f64::NEG_INFINITY, f64::max);
            prop_assert!(low[axis] <= least && least < low[axis] + 2e-7);
            prop_assert!(greatest <= high[axis] && high[axis] - 2e-7 < greatest);
        }
    }
}
