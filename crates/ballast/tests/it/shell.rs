//! Shells over a path and outlines grown, against Steiner's formula and against each other; cuts.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI, TAU};

use hingeline_ballast::outline::{Edge, Fault, Outline, Path, PlaneMoments, Point, Side, Traced};
use proptest::prelude::*;

use crate::outline::{agree, config};

/// A convex front from its upper rear corner round the nose to the lower one; the outside is on the right.
fn front() -> Path {
    let edges = [
        Traced::Line { to: [-0.08, 0.02] },
        Traced::Arc { through: [-0.097, 0.0], to: [-0.08, -0.02] },
        Traced::Line { to: [0.0, -0.025] },
    ];
    Path::traced([0.0, 0.03], &edges).expect("a front")
}

fn nearly(found: &PlaneMoments, expected: &PlaneMoments) {
    agree(found.area, expected.area, 1e-13);
    for i in 0..2 {
        assert!((found.first[i] - expected.first[i]).abs() < 1e-17, "{found:?} {expected:?}");
        for j in 0..2 {
            assert!((found.second[i][j] - expected.second[i][j]).abs() < 1e-18, "{found:?} {expected:?}");
        }
    }
}

/// The direction in which an edge begins and ends, as an angle.
fn headings(path: &Path) -> Vec<[f64; 2]> {
    let mut at = path.start();
    path.edges()
        .map(|edge| match edge {
            Edge::Line { to } => {
                let angle = (to[1] - at[1]).atan2(to[0] - at[0]);
                at = to;
                [angle, angle]
            }
            Edge::Arc { centre, radii, from, sweep } => {
                let end = from + sweep;
                at = [centre[0] + radii[0] * end.cos(), centre[1] + radii[1] * end.sin()];
                [from, end].map(|angle| angle + FRAC_PI_2 * sweep.signum())
            }
            Edge::Parabola { to, .. } => {
                at = to;
                [f64::NAN; 2]
            }
        })
        .collect()
}

/// How far a path turns to the left in all: in its arcs and at its corners.
fn turning(path: &Path) -> f64 {
    let headings = headings(path);
    let arcs: f64 = headings.iter().map(|[from, to]| to - from).sum();
    let corner = |two: &[[f64; 2]]| (two[1][0] - two[0][1] + PI).rem_euclid(TAU) - PI;
    arcs + headings.windows(2).map(corner).sum::<f64>()
}

/// Steiner: L t + Σ turning t²/2.
#[test]
fn a_strip_over_a_convex_front_follows_steiner() {
    let front = front();
    for t in [1e-5, 0.001, 0.01, 0.2] {
        let strip = front.strip(t, Side::Right).expect("a strip");
        let expected = front.rim().length * t + turning(&front) * t * t / 2.0;
        agree(strip.moments().area, expected, 1e-12);
    }
}

/// Along a straight front both sides are the plain rectangle.
#[test]
fn a_strip_over_a_line_is_a_rectangle() {
    let line = Path::polyline(&[[0.0, 0.0], [-0.1, 0.0]]).expect("a line");
    let strip = line.strip(0.01, Side::Right).expect("a strip");
    assert_eq!(strip.bounds(), [[-0.1, 0.0], [0.0, 0.01]]);
    assert_eq!(line.strip(0.01, Side::Left).expect("a strip").bounds(), [[-0.1, -0.01], [0.0, 0.0]]);
}

/// At an inward corner of a right angle the strip loses a square where it would lie twice.
#[test]
fn an_inward_corner_is_trimmed() {
    let angle = Path::polyline(&[[0.0, 0.0], [0.1, 0.0], [0.1, 0.1]]).expect("an angle");
    agree(angle.strip(0.01, Side::Left).expect("a strip").moments().area, 0.2 * 0.01 - 1e-4, 1e-13);
    agree(
        angle.strip(0.01, Side::Right).expect("a strip").moments().area,
        0.2 * 0.01 + PI / 4.0 * 1e-4,
        1e-13,
    );
}

/// An arc that meets a line at an inward corner: the corner of the parallel lies on both parallels.
#[test]
fn an_inward_corner_between_line_and_arc_is_trimmed() {
    let edges = [
        Edge::Line { to: [0.1, 0.0] },
        Edge::Arc { centre: [0.1, 0.05], radii: [0.05; 2], from: -FRAC_PI_2, sweep: -PI },
    ];
    let path = Path::new([0.0, 0.0], &edges).expect("a path").mirrored();
    // Mirrored and reversed along itself: the arc leaves the line backward, a half circle over it.
    let fault = path.strip(0.001, Side::Left).err().or(path.strip(0.001, Side::Right).err());
    assert!(fault.is_some());
    let dip = Path::traced(
        [0.0, 0.0],
        &[Traced::Line { to: [0.04, 0.0] }, Traced::Arc { through: [0.05, 0.01], to: [0.06, 0.0] }],
    );
    let parallel = dip.expect("a path").parallel(0.004, Side::Left).expect("a parallel");
    let corner = parallel.edges().next().expect("a line");
    let Edge::Line { to } = corner else { panic!("not a line") };
    agree(to[1], 0.004, 1e-12);
    agree((to[0] - 0.05).hypot(to[1]), 0.014, 1e-12);
}

#[test]
fn the_largest_thickness_inside_an_arc_is_its_radius() {
    let fault = front().strip(0.05, Side::Left).expect_err("swallowed");
    let Fault::TooThick { thickness, largest, .. } = fault else { panic!("{fault}") };
    assert!((thickness - 0.05).abs() < 1e-15);
    assert!(front().strip(largest, Side::Left).is_ok());
    assert!(front().strip(largest * 1.0001, Side::Left).is_err());
    let bowl =
        Path::new([0.03, 0.0], &[Edge::Arc { centre: [0.0; 2], radii: [0.03; 2], from: 0.0, sweep: 2.0 }]);
    let fault = bowl.expect("a bowl").strip(0.031, Side::Left).expect_err("swallowed");
    let Fault::TooThick { largest, .. } = fault else { panic!("{fault}") };
    agree(largest, 0.03, 1e-6);
}

/// Two arms 0.04 apart: from both of them no more than 0.02 fits between.
#[test]
fn the_largest_thickness_between_two_arms_is_half_their_distance() {
    let slot = Path::polyline(&[[0.0, 0.0], [0.1, 0.0], [0.1, 0.04], [0.0, 0.04]]).expect("a slot");
    let fault = slot.strip(0.025, Side::Left).expect_err("too thick");
    let Fault::TooThick { largest, .. } = fault else { panic!("{fault}") };
    agree(largest, 0.02, 1e-6);
    assert!(fault.to_string().contains("allowed: up to 20.000 mm"), "{fault}");
}

#[test]
fn no_thickness_and_no_ellipse() {
    for thickness in [0.0, -0.001, f64::NAN, f64::INFINITY] {
        assert!(matches!(front().strip(thickness, Side::Right), Err(Fault::Thickness { .. })));
    }
    let nose = Outline::half_ellipse(0.05, 0.02).expect("a nose");
    assert_eq!(nose.grown(0.001), Err(Fault::NotRound { edge: 1 }));
    assert!(nose.faceted(1e-6).grown(0.001).is_ok());
}

#[test]
fn a_path_that_crosses_itself_is_told_so() {
    let knot = Path::polyline(&[[0.0, 0.0], [1.0, 1.0], [1.0, 0.0], [0.0, 1.0]]).expect("a path");
    assert!(matches!(knot.strip(0.01, Side::Left), Err(Fault::Crossing { edges: [1, 3], .. })));
}

/// Two routes: the ring round a closed path, and the grown outline less the outline.
#[test]
fn a_ring_is_the_grown_outline_less_the_outline() {
    let outline = Outline::new(front().closed(), Vec::new()).expect("an outline");
    let ring = outline.outer().strip(0.003, Side::Right).expect("a ring");
    let grown = outline.grown(0.003).expect("grown");
    nearly(&ring.moments(), &(grown.moments() - outline.moments()));
    let inner = outline.outer().strip(0.003, Side::Left).expect("a ring");
    nearly(&inner.moments(), &(outline.moments() - outline.shrunk(0.003).expect("shrunk").moments()));
}

/// Two routes: the cap over a front, and the grown outline less the outline, cut off at the rear face.
#[test]
fn a_cap_is_the_grown_outline_less_the_outline_in_front_of_the_rear_face() {
    let edges = [
        Traced::Line { to: [-0.08, 0.02] },
        Traced::Arc { through: [-0.1, 0.0], to: [-0.08, -0.02] },
        Traced::Line { to: [0.0, -0.02] },
    ];
    let front = Path::traced([0.0, 0.02], &edges).expect("a front");
    let cap = front.strip(0.004, Side::Right).expect("a cap");
    let outline = Outline::new(front.closed(), Vec::new()).expect("an outline");
    let parts = outline.grown(0.004).expect("grown").cut([0.0, 0.0], [-1.0, 0.0]).expect("a cut");
    assert_eq!(parts.len(), 1);
    nearly(&cap.moments(), &(parts[0].moments() - outline.moments()));
}

#[test]
fn holes_become_smaller_when_metal_grows() {
    let plate = Outline::rectangle(0.1, 0.05).expect("a plate");
    let plate = plate.with_hole(Path::circle([-0.05, 0.0], 0.01).expect("a circle")).expect("a hole");
    let hole = |outline: &Outline| outline.holes()[0].rim().length / TAU;
    agree(hole(&plate.grown(0.004).expect("grown")), 0.006, 1e-13);
    agree(hole(&plate.shrunk(0.004).expect("shrunk")), 0.014, 1e-13);
    let fault = plate.grown(0.011).expect_err("swallowed");
    assert!(matches!(fault, Fault::TooThick { largest, .. } if (largest - 0.01).abs() < 1e-6));
}

#[test]
fn a_front_of_twenty_edges_is_covered() {
    let points: Vec<Point> = (0..=20)
        .map(|k| f64::from(k) * PI / 20.0 + FRAC_PI_2)
        .map(|angle| [0.1 * angle.cos(), 0.03 * angle.sin()])
        .collect();
    let front = Path::polyline(&points).expect("a front");
    let strip = front.strip(0.004, Side::Right).expect("a strip");
    agree(strip.moments().area, front.rim().length * 0.004 + turning(&front) * 8e-6, 1e-12);
}

/// A front traced in tenths of a millimetre: its arcs meet its lines at corners of a degree or so, inward or outward.
#[test]
fn a_front_traced_in_tenths_of_a_millimetre_is_covered() {
    let tenth = |x: f64| (x * 1e4).round() / 1e4;
    for k in 0..200 {
        let (radius, slope) = (0.0123 + 0.000_037 * f64::from(k), 0.001 * f64::from(k % 60));
        let on = |angle: f64| [tenth(-0.06 + radius * angle.cos()), tenth(radius * angle.sin())];
        let (upper, lower) = (FRAC_PI_2 - slope, 3.0 * FRAC_PI_2 + slope);
        let rise = tenth(radius / slope.cos() + 0.06 * slope.tan());
        let edges = [
            Traced::Line { to: on(upper) },
            Traced::Arc { through: on(2.2), to: on(PI) },
            Traced::Arc { through: on(4.0), to: on(lower) },
            Traced::Line { to: [0.0, -rise] },
        ];
        let front = Path::traced([0.0, rise], &edges).expect("a front");
        let strip = front.strip(0.003, Side::Right).expect("a strip");
        let expected = front.rim().length * 0.003 + turning(&front) * 4.5e-6;
        // An inward corner of a small angle loses its third power only: tan(a/2) and a/2 differ by a³/24.
        agree(strip.moments().area, expected, 1e-5);
    }
}

/// An arc hardly deeper than what is taken for a line: a sweep of 16 millionths, a radius of 62 500 chords.
#[test]
fn a_strip_over_a_shallow_arc_follows_steiner() {
    let arc = Traced::Arc { through: [-0.05, 2e-7], to: [-0.1, 0.0] };
    let front = Path::traced([0.0, 0.0], &[arc]).expect("a front");
    assert!(matches!(front.edges().next(), Some(Edge::Arc { .. })));
    for (side, sign) in [(Side::Right, 1.0), (Side::Left, -1.0)] {
        let strip = front.strip(0.01, side).expect("a strip");
        let expected = front.rim().length * 0.01 + sign * turning(&front) * 5e-5;
        agree(strip.moments().area, expected, 1e-10);
    }
}

/// Every edge turned about: the parallel to the parallel on the other side is the path again.
#[test]
fn the_parallel_of_the_parallel_is_the_path() {
    let smooth = Path::traced(
        [0.0, 0.02],
        &[Traced::Line { to: [-0.08, 0.02] }, Traced::Arc { through: [-0.1, 0.0], to: [-0.08, -0.02] }],
    )
    .expect("a path");
    let out = smooth.parallel(0.005, Side::Right).expect("a parallel");
    let back = out.parallel(0.005, Side::Left).expect("a parallel");
    agree(back.rim().length, smooth.rim().length, 1e-14);
    agree(out.rim().length, smooth.rim().length + PI * 0.005, 1e-13);
}

/// Two routes: the halves of a cap parted at a height make the cap.
#[test]
fn the_halves_of_a_cap_make_the_cap() {
    let cap = front().strip(0.006, Side::Right).expect("a cap");
    for height in [-0.02, 0.0, 0.005, 0.0199] {
        let upper = cap.cut([0.0, height], [0.0, 1.0]).expect("a cut");
        let lower = cap.cut([0.0, height], [0.0, -1.0]).expect("a cut");
        let all: PlaneMoments = upper.iter().chain(&lower).map(Outline::moments).sum();
        nearly(&all, &cap.moments());
        assert!(upper.iter().all(|part| height - 1e-12 <= part.bounds()[0][1]));
    }
}

#[test]
fn a_cut_across_both_arms_gives_two_parts() {
    let cap = front().strip(0.006, Side::Right).expect("a cap");
    let rear = cap.cut([-0.05, 0.0], [1.0, 0.0]).expect("a cut");
    assert_eq!(rear.len(), 2);
    assert_eq!(cap.cut([-0.05, 0.0], [-1.0, 0.0]).expect("a cut").len(), 1);
}

#[test]
fn a_cut_beside_the_outline_keeps_all_or_nothing() {
    let plate = Outline::rectangle(0.1, 0.05).expect("a plate");
    let plate = plate.with_hole(Path::circle([-0.05, 0.0], 0.01).expect("a circle")).expect("a hole");
    assert_eq!(plate.cut([0.1, 0.0], [-1.0, 0.0]).expect("a cut"), vec![plate.clone()]);
    assert!(plate.cut([0.1, 0.0], [1.0, 0.0]).expect("a cut").is_empty());
    // Along its own rear face.
    agree(plate.cut([0.0, 0.0], [-1.0, 0.0]).expect("a cut")[0].moments().area, plate.moments().area, 1e-14);
    assert!(plate.cut([0.0, 0.0], [1.0, 0.0]).expect("a cut").is_empty());
    assert_eq!(plate.cut([0.0, 0.0], [0.0, 0.0]), Err(Fault::NotFinite { edge: 0 }));
}

#[test]
fn a_cut_through_a_hole_opens_it() {
    let plate = Outline::rectangle(0.1, 0.05).expect("a plate");
    let hole = |u: f64| Path::circle([u, 0.0], 0.01).expect("a circle");
    let plate = plate.with_hole(hole(-0.05)).and_then(|plate| plate.with_hole(hole(-0.02))).expect("holes");
    let parts = plate.cut([-0.05, 0.0], [1.0, 0.0]).expect("a cut");
    assert_eq!(parts.len(), 1);
    assert_eq!(parts[0].holes().len(), 1);
    agree(parts[0].moments().area, 0.05 * 0.05 - 1.5 * PI * 1e-4, 1e-13);
}

/// Handbook: the segment of a parabola is 2/3 of its base times its depth; a quarter of an ellipse is π/4 a b.
#[test]
fn ellipse_and_parabola_are_cut_exactly() {
    let nose = Outline::parabolic_nose(1.5, 0.5).expect("a nose");
    let tip = nose.cut([-0.9, 0.0], [-1.0, 0.0]).expect("a cut");
    agree(tip[0].moments().area, 2.0 / 3.0 * 2.0 * 0.5 * 0.4_f64.sqrt() * 0.6, 1e-13);
    let half = Outline::half_ellipse(0.05, 0.02).expect("a half ellipse");
    agree(half.cut([0.0; 2], [0.0, 1.0]).expect("a cut")[0].moments().area, FRAC_PI_4 * 0.001, 1e-13);
}

/// A front that bends one way only: lines and arcs, turning outward all along.
fn convex() -> impl Strategy<Value = Path> {
    proptest::collection::vec((0.005..0.03f64, 0.02..0.3f64, 0.0..0.3f64), 3..9).prop_map(|steps| {
        let (mut at, mut heading) = ([0.0, 0.03], PI);
        let mut edges = Vec::new();
        for (length, corner, bend) in steps {
            heading += corner;
            if bend < 0.1 {
                at = [at[0] + length * heading.cos(), at[1] + length * heading.sin()];
                edges.push(Edge::Line { to: at });
            } else {
                let radius = length / bend;
                let centre = [at[0] - radius * heading.sin(), at[1] + radius * heading.cos()];
                let from = heading - FRAC_PI_2;
                edges.push(Edge::Arc { centre, radii: [radius; 2], from, sweep: bend });
                heading += bend;
                at = [centre[0] + radius * heading.sin(), centre[1] - radius * heading.cos()];
            }
        }
        Path::new([0.0, 0.03], &edges).expect("a front")
    })
}

fn distance(place: Point, a: Point, b: Point) -> f64 {
    let (along, out) = ([b[0] - a[0], b[1] - a[1]], [place[0] - a[0], place[1] - a[1]]);
    let share = (out[0] * along[0] + out[1] * along[1]) / (along[0] * along[0] + along[1] * along[1]);
    let share = share.clamp(0.0, 1.0);
    (out[0] - share * along[0]).hypot(out[1] - share * along[1])
}

/// The start, the middle and the end of every edge.
fn places(path: &Path) -> Vec<Point> {
    let mut at = path.start();
    let mut places = Vec::new();
    for edge in path.edges() {
        let (middle, end) = match edge {
            Edge::Line { to } => ([(at[0] + to[0]) / 2.0, (at[1] + to[1]) / 2.0], to),
            Edge::Arc { centre: [u, v], radii: [r, _], from, sweep } => {
                let on = |angle: f64| [u + r * angle.cos(), v + r * angle.sin()];
                (on(from + sweep / 2.0), on(from + sweep))
            }
            Edge::Parabola { control, to } => (control, to),
        };
        places.extend([at, middle, end]);
        at = end;
    }
    places
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn steiner_holds_for_every_convex_front(front in convex(), t in 0.0005..0.01f64) {
        let strip = front.strip(t, Side::Right).expect("a strip");
        let expected = front.rim().length * t + turning(&front) * t * t / 2.0;
        prop_assert!((strip.moments().area - expected).abs() < 1e-12 * expected);
    }

    /// Two routes: every place of the parallel lies at the distance t from the path.
    #[test]
    fn the_parallel_lies_at_its_distance(
        heights in proptest::collection::vec(-0.012..0.012f64, 2..20), t in 0.0002..0.01f64
    ) {
        let points: Vec<Point> = heights.iter().zip(0..).map(|(v, k)| [-0.02 * f64::from(k), *v]).collect();
        let path = Path::polyline(&points).expect("a path");
        let parallel = path.parallel(t, Side::Right);
        prop_assume!(parallel.is_ok());
        let parallel = parallel.expect("it fits");
        prop_assert!(parallel.edges().len() + 1 >= points.len());
        for place in places(&parallel) {
            let distance = points
                .windows(2)
                .map(|side| distance(place, side[0], side[1]))
                .fold(f64::INFINITY, f64::min);
            prop_assert!((distance - t).abs() < 1e-12, "{} {}", distance, t);
        }
    }

    /// Two routes: area and first moment of a strip are what its parallels sweep while they move out, by Simpson's rule.
    #[test]
    fn a_strip_is_what_its_parallel_sweeps(front in convex(), t in 0.0002..0.002f64, outside in any::<bool>()) {
        let side = if outside { Side::Right } else { Side::Left };
        let strip = front.strip(t, side);
        prop_assume!(strip.is_ok());
        let strip = strip.expect("it fits").moments();
        let (mut area, mut first) = (0.0, [0.0; 2]);
        for k in 0..=16 {
            let rim = if k == 0 {
                front.rim()
            } else {
                front.parallel(t * f64::from(k) / 16.0, side).expect("it fits").rim()
            };
            let weight = t / 48.0 * if k == 0 || k == 16 { 1.0 } else if k % 2 == 1 { 4.0 } else { 2.0 };
            area += weight * rim.length;
            first = [0, 1].map(|i| first[i] + weight * rim.first[i]);
        }
        prop_assert!((strip.area - area).abs() < 1e-8 * area, "{} {}", strip.area, area);
        for (found, swept) in strip.first.iter().zip(first) {
            prop_assert!((found - swept).abs() < 1e-8 * area * 0.1, "{} {}", found, swept);
        }
    }

    /// Steiner inward, straight edges: a corner loses the kite between the trimmed parallels, tan(turning/2) t².
    #[test]
    fn steiner_holds_inward(corners in proptest::collection::vec(0.02..0.5f64, 2..6), t in 0.0002..0.002f64) {
        let (mut at, mut heading) = ([0.0, 0.03], PI);
        let mut points = vec![at];
        for corner in &corners {
            at = [at[0] + 0.02 * heading.cos(), at[1] + 0.02 * heading.sin()];
            points.push(at);
            heading += corner;
        }
        let kites: f64 = corners[..corners.len() - 1].iter().map(|corner| (corner / 2.0).tan()).sum();
        let front = Path::polyline(&points).expect("a front");
        let strip = front.strip(t, Side::Left).expect("a strip");
        agree(strip.moments().area, front.rim().length * t - kites * t * t, 1e-12);
    }

    #[test]
    fn grown_and_shrunk_again_is_as_before(front in convex(), t in 0.0005..0.01f64) {
        let outline = Outline::new(front.closed(), Vec::new()).expect("an outline");
        let grown = outline.grown(t).expect("grown");
        // Its corners are now arcs of the radius t; a little less than t leaves them.
        let again = grown.shrunk(0.9 * t).and_then(|back| back.grown(0.9 * t)).expect("there and back");
        prop_assert!((again.moments().area - grown.moments().area).abs() < 1e-12 * grown.moments().area);
        let expected = outline.moments().area + outline.rim().length * t + PI * t * t;
        prop_assert!((grown.moments().area - expected).abs() < 1e-12 * expected);
    }

    #[test]
    fn two_parts_of_a_cut_make_the_whole(front in convex(), angle in 0.0..TAU, share in 0.0..1.0f64) {
        let cap = front.strip(0.004, Side::Right).expect("a cap");
        let ring = &cap.polygon(1e-4)[0];
        let (a, b) = (ring[0], ring[ring.len() / 2]);
        let through = [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])];
        let towards = [angle.cos(), angle.sin()];
        let away = towards.map(|x| -x);
        let parts = [towards, away].map(|side| cap.cut(through, side).expect("a cut"));
        let all: PlaneMoments = parts.iter().flatten().map(Outline::moments).sum();
        prop_assert!((all.area - cap.moments().area).abs() < 1e-12 * all.area);
        prop_assert!((all.second[0][1] - cap.moments().second[0][1]).abs() < 1e-17);
    }
}
