//! The solids agree with printed numbers and forms of handbooks, and with their own sections extruded.

use std::f64::consts::{FRAC_PI_2, PI};

use hingeline_ballast::Moments;
use hingeline_ballast::outline::Outline;
use hingeline_ballast::solid::{self, Drilled};

use crate::outline::{agree, printed};

const LEAD: f64 = 11_340.0;
const INCH: f64 = 0.0254;

fn per_mass(body: &Moments) -> [f64; 3] {
    let inertia = body.inertia().expect("a volume");
    [0, 1, 2].map(|i| inertia[i][i] / body.total)
}

fn centroid(body: &Moments) -> [f64; 3] {
    body.centroid().expect("a volume")
}

/// Handbook forms (Machinery's Handbook; Pilkey), numbers for r = 1, L = 2.
#[test]
fn half_cylinder_of_the_handbook() {
    let body = solid::half_cylinder(1.0, 2.0);
    agree(body.total, PI, 1e-15);
    printed("-0.4244132", centroid(&body)[0]);
    let [across, along, normal] = [per_mass(&body)[2], per_mass(&body)[1], per_mass(&body)[0]];
    printed("0.3198735", along);
    printed("0.4032068", across);
    printed("0.5833333", normal);
}

/// Handbook forms, numbers for a half flat of 2, a depth of 1 and a length of 3.
#[test]
fn half_elliptic_cylinder_of_the_handbook() {
    let body = solid::half_elliptic_cylinder(1.0, 2.0, 3.0);
    printed("9.424778", body.total);
    agree(centroid(&body)[0], -4.0 / (3.0 * PI), 1e-14);
    let [normal, along, across] = per_mass(&body);
    printed("0.8198735", across);
    printed("1.75", normal);
    printed("1.0698735", along);
}

/// Handbook forms, numbers for radii 2 and 1 and a height of 3.
#[test]
fn frustum_of_the_handbook() {
    let body = solid::frustum(2.0, 1.0, 3.0);
    printed("21.991149", body.total);
    printed("1.1785714", centroid(&body)[2]);
    printed("1.3285714", per_mass(&body)[2]);
}

/// Handbook forms: a third of the cylinder, a quarter of the height, 3/80 (4 r² + h²) across.
#[test]
fn cone_of_the_handbook() {
    let body = solid::cone(0.7, 1.9);
    agree(body.total, PI * 0.49 * 1.9 / 3.0, 1e-14);
    agree(centroid(&body)[2], 1.9 / 4.0, 1e-14);
    agree(per_mass(&body)[0], 3.0 / 80.0 * (4.0 * 0.49 + 1.9 * 1.9), 1e-13);
    agree(per_mass(&body)[2], 0.3 * 0.49, 1e-14);
}

/// Handbook forms: r²/2 about the axis, (3 r² + L²)/12 across; (b² + c²)/12 of a brick.
#[test]
fn cylinder_and_brick_of_the_handbook() {
    let body = solid::cylinder(0.3, 1.7);
    agree(body.total, PI * 0.09 * 1.7, 1e-14);
    agree(per_mass(&body)[2], 0.045, 1e-14);
    agree(per_mass(&body)[1], (3.0 * 0.09 + 1.7 * 1.7) / 12.0, 1e-13);
    let brick = solid::brick([0.1, 0.2, 0.5]);
    agree(brick.total, 0.01, 1e-14);
    agree(per_mass(&brick)[0], (0.04 + 0.25) / 12.0, 1e-14);
}

/// Handbook forms: volume 1/6, centroid 1/4, ∫x² = 1/60, ∫xy = 1/120, products of inertia 1/480 about the centroid.
#[test]
fn unit_tetrahedron_of_the_handbook() {
    let body = solid::tetrahedron([[0.0; 3], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]);
    agree(body.total, 1.0 / 6.0, 1e-15);
    assert!(centroid(&body).iter().all(|x| (x - 0.25).abs() < 1e-15));
    agree(body.second[0][0], 1.0 / 60.0, 1e-15);
    agree(body.second[0][1], 1.0 / 120.0, 1e-15);
    agree(body.inertia().expect("a volume")[1][1], 1.0 / 80.0, 1e-14);
}

/// Handbook forms, numbers for a length of 1.5 and a half width of 0.5; areas are of the section.
#[test]
fn parabolic_nose_of_the_handbook() {
    let body = solid::parabolic_nose(1.5, 0.5, 1.0);
    agree(body.total, 1.0, 1e-15);
    // 0.9 from the vertex, which lies 1.5 forward of the base.
    printed("0.9", 1.5 + centroid(&body)[0]);
    let own = body.moved(centroid(&body).map(|x| -x));
    printed("0.1542857", own.second[0][0]);
    printed("0.05", own.second[2][2]);
}

/// Handbook forms, numbers for a bend of 3, a section of radius 0.5 and a quarter turn, density 1.
#[test]
fn ring_segment_of_the_handbook() {
    let body = solid::ring_segment(3.0, 0.5, FRAC_PI_2);
    printed("3.7011017", body.total);
    printed("2.7197055", centroid(&body)[0]);
    printed("34.003871", body.second[0][0] + body.second[1][1]);
}

/// Handbook form of the whole torus: (5 r²/8 + R²/2) m across.
#[test]
fn a_whole_ring_is_the_torus_of_the_handbook() {
    let body = solid::ring_segment(3.0, 0.5, 2.0 * PI);
    assert!(body.first[0].abs() < 1e-14 * body.total);
    agree(per_mass(&body)[0], 5.0 / 8.0 * 0.25 + 4.5, 1e-14);
}

/// Handbook forms: half a ball has its centroid at 3/8 r and 2/5 r² about its axis; the whole is the ball.
#[test]
fn caps_make_the_half_ball_and_the_ball() {
    let half = solid::spherical_cap(2.0, 2.0);
    agree(centroid(&half)[2], 0.75, 1e-14);
    agree(per_mass(&half)[2], 0.4 * 4.0, 1e-14);
    let (whole, ball) = (solid::spherical_cap(2.0, 4.0), solid::sphere(2.0));
    agree(whole.total, ball.total, 1e-14);
    agree(whole.second[2][2], ball.second[2][2], 1e-13);
    agree(whole.second[0][0], ball.second[0][0], 1e-13);
}

/// Two routes: half a ring is a half cylinder less a smaller one, a whole ring a cylinder less a smaller one.
#[test]
fn an_annular_sector_of_half_a_turn_is_the_difference_of_half_cylinders() {
    let half = solid::annular_sector(0.02, 0.05, PI, 0.3);
    let other = solid::half_cylinder(0.05, 0.3) + solid::half_cylinder(0.02, 0.3) * -1.0;
    agree(half.total, other.total, 1e-13);
    for i in 0..3 {
        agree(half.first[i], other.first[i], 1e-12);
        agree(half.second[i][i], other.second[i][i], 1e-12);
    }
    let whole = solid::annular_sector(0.02, 0.05, 2.0 * PI, 0.3);
    agree(whole.total, PI * (0.05 * 0.05 - 0.02 * 0.02) * 0.3, 1e-13);
    assert!(whole.first[0].abs() < 1e-14 * whole.total);
}

/// Pappus: what a rectangle sweeps is its area times the way of its centroid; a thin ring has the centroid of an arc,
/// r sin β/β.
#[test]
fn an_annular_sector_agrees_with_pappus_and_with_the_arc() {
    let body = solid::annular_sector(0.19, 0.21, 0.8, 0.3);
    agree(body.total, 0.02 * 0.3 * 0.2 * 0.8, 1e-13);
    let thin = solid::annular_sector(0.2, 0.200_002, 0.8, 0.3);
    agree(centroid(&thin)[0], -0.200_001 * 0.4_f64.sin() / 0.4, 1e-9);
}

/// Two routes: a cap is a ball less the other cap.
#[test]
fn a_cap_and_its_rest_make_the_ball() {
    let rest = solid::spherical_cap(2.0, 3.3).mapped(&[[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, -1.0]]);
    let both = rest + solid::spherical_cap(2.0, 0.7);
    let ball = solid::sphere(2.0);
    agree(both.total, ball.total, 1e-14);
    assert!(both.first[2].abs() < 1e-13 * ball.total);
    agree(both.second[2][2], ball.second[2][2], 1e-13);
    agree(both.second[1][1], ball.second[1][1], 1e-13);
}

/// Two routes: the closed forms of the solids, and Green's theorem along their outlines.
#[test]
fn solids_of_one_section_are_their_outlines_extruded() {
    let pairs = [
        (solid::half_cylinder(0.02, 0.3), Outline::half_round(0.02)),
        (solid::half_elliptic_cylinder(0.05, 0.02, 0.3), Outline::half_ellipse(0.05, 0.02)),
        (solid::parabolic_nose(0.05, 0.02, 0.3), Outline::parabolic_nose(0.05, 0.02)),
        (solid::wedge(0.05, 0.02, 0.3), Outline::wedge(0.05, 0.02)),
        (solid::annular_sector(0.02, 0.05, 1.1, 0.3), Outline::ring_segment([0.02, 0.05], -0.55, 1.1)),
        (solid::annular_sector(0.02, 0.05, 5.9, 0.3), Outline::ring_segment([0.02, 0.05], -2.95, 5.9)),
        (solid::brick([0.05, 0.3, 0.02]).moved([-0.025, 0.15, 0.0]), Outline::rectangle(0.05, 0.02)),
    ];
    for (body, outline) in pairs {
        let extruded = outline.expect("an outline").extruded(0.0, 0.3);
        agree(extruded.total, body.total, 1e-13);
        for i in 0..3 {
            assert!((extruded.first[i] - body.first[i]).abs() < 1e-13 * body.total);
            for j in 0..3 {
                assert!((extruded.second[i][j] - body.second[i][j]).abs() < 1e-13 * body.total, "{i} {j}");
            }
        }
    }
}

/// A tetrahedron is a third of its base times its height, wherever it stands and in whatever order.
#[test]
fn a_tetrahedron_moves_with_its_corners() {
    let corners = [[0.1, 0.2, 0.0], [1.3, -0.2, 0.4], [0.2, 0.9, -0.3], [0.5, 0.3, 1.1]];
    let by = [3.0, -2.0, 0.7];
    let [a, b, c, d] = corners.map(|corner| [corner[0] + by[0], corner[1] + by[1], corner[2] + by[2]]);
    let (there, moved) = (solid::tetrahedron([c, a, d, b]), solid::tetrahedron(corners).moved(by));
    agree(there.total, moved.total, 1e-13);
    for i in 0..3 {
        agree(there.first[i], moved.first[i], 1e-13);
        agree(there.second[i][i], moved.second[i][i], 1e-13);
    }
}

fn full(diameter: f64, depth: f64, point: f64) -> Moments {
    solid::drill_hole(diameter, Drilled::FullDiameter { depth, point_angle: point.to_radians() })
}

/// V = π/12 d² h, with h/d as tabled: 0.30043 (118°) and 0.20711 (135°). The cone volume tabled for 135°, 0.0542212 d³,
/// was reckoned from that rounded h; in full it is π/12 · 0.207 106 78 = 0.0542204.
#[test]
fn the_cone_of_a_drill_point() {
    printed("0.0786525", full(1.0, 0.0, 118.0).total);
    printed("0.0542204", full(1.0, 0.0, 135.0).total);
    printed("0.30043", 12.0 / PI * full(1.0, 0.0, 118.0).total);
    printed("0.20711", 12.0 / PI * full(1.0, 0.0, 135.0).total);
}

/// Table of drilled holes, 118°: 1/8 by 1/4 in and 1/4 by 1/2 in, full diameter depth, in lead of 11 340 kg/m³.
#[test]
fn the_table_of_drilled_holes() {
    for (d, depth, cubic_inches, grams, pounds) in
        [(0.125, 0.25, "0.003222", "0.599", "0.00132"), (0.25, 0.5, "0.025773", "4.789", "0.01056")]
    {
        let hole = full(d * INCH, depth * INCH, 118.0).total;
        printed(cubic_inches, hole / INCH.powi(3));
        printed(grams, hole * LEAD * 1e3);
        printed(pounds, hole * LEAD / 0.453_592_37);
    }
    printed("4.718", full(0.25 * INCH, 0.5 * INCH, 135.0).total * LEAD * 1e3);
}

/// The same, 10 mm by 20 mm, to the full diameter and to the tip.
#[test]
fn ten_by_twenty_millimetres_to_the_shoulder_and_to_the_tip() {
    let whole = full(0.010, 0.020, 118.0).total;
    printed("1649.449", whole * 1e9);
    printed("18.7047", whole * LEAD * 1e3);
    let tip = Drilled::ToTip { depth: 0.020, point_angle: 118f64.to_radians() };
    let tip = solid::drill_hole(0.010, tip).total;
    printed("1413.491", tip * 1e9);
    printed("16.0290", tip * LEAD * 1e3);
}

#[test]
fn a_hole_right_through_has_no_cone() {
    let hole = solid::drill_hole(0.01, Drilled::Through { thickness: 0.02 });
    agree(hole.total, PI / 4.0 * 1e-4 * 0.02, 1e-14);
    agree(centroid(&hole)[2], 0.01, 1e-14);
}

#[test]
fn a_hole_shallower_than_its_point_is_a_cone() {
    let quarter_turn = FRAC_PI_2;
    let hole = solid::drill_hole(0.01, Drilled::ToTip { depth: 0.002, point_angle: quarter_turn });
    agree(hole.total, PI * 0.002_f64.powi(3) / 3.0, 1e-13);
}

/// The turn takes z to the direction, keeps lengths and is no mirror.
#[test]
fn a_body_is_turned_to_any_direction() {
    let directions =
        [[1.0, 0.0, 0.0], [0.0, 0.0, -2.0], [0.3, -0.4, -1.2], [-1e-9, 0.0, -1.0], [0.1, 2.0, 0.5]];
    for direction in directions {
        let turn = solid::turned_to(direction).expect("a direction");
        let size = direction.iter().map(|x| x * x).sum::<f64>().sqrt();
        let body = solid::cylinder(0.1, 2.0).mapped(&turn);
        agree(body.total, PI * 0.02, 1e-13);
        let ahead = direction.map(|x| x / size);
        assert!(centroid(&body).iter().zip(ahead).all(|(a, b)| (a - b).abs() < 1e-12));
        let [a, b, c] = turn;
        let triple = a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0])
            + a[2] * (b[0] * c[1] - b[1] * c[0]);
        agree(triple, 1.0, 1e-14);
    }
    assert_eq!(solid::turned_to([0.0; 3]), None);
}
