//! Outlines drawn out to surfaces: closed, with the volume of their area.

use super::*;

#[test]
fn an_extruded_frame_has_the_moments_of_the_outer_less_the_inner_brick() {
    let brick = |a: f64, b: f64, c: f64| {
        let volume = a * b * c;
        Moments::centred(volume, diagonal(a * a, b * b, c * c).map(|row| row.map(|x| volume * x / 12.0)))
    };
    let ring = |x: f64, z: f64| vec![[-x, -z], [x, -z], [x, z], [-x, z]];
    let frame = Mesh::extruded(&[ring(2.0, 1.0), ring(1.5, 0.5)], -3.0, 3.0).expect("a frame");
    let moments = frame.checked(METRE).expect("a body").moments;
    assert_same(&moments, &(brick(4.0, 6.0, 2.0) - brick(3.0, 6.0, 1.0)), 1e-14);
}

#[test]
fn corners_on_a_straight_line_leave_no_gap() {
    let ring =
        vec![[0.0, 0.0], [1.0, 0.0], [2.0, 0.0], [3.0, 0.0], [3.0, 1.0], [2.0, 1.0], [1.0, 1.0], [0.0, 1.0]];
    let mut wrong_way = ring.clone();
    wrong_way.reverse();
    for ring in [ring, wrong_way] {
        let body = Mesh::extruded(&[ring], 0.0, 2.0).expect("a bar").checked(METRE).expect("closed");
        assert_near(body.moments.total, 6.0, 1e-14);
        assert_eq!(body.notes, []);
    }
}

#[test]
fn outlines_that_give_no_body_are_refused() {
    let of = |rings: &[Vec<[f64; 2]>]| Mesh::extruded(rings, 0.0, 1.0);
    let square = SQUARE.to_vec();
    let outside: Vec<[f64; 2]> = SQUARE.iter().map(|[x, z]| [x + 5.0, *z]).collect();
    assert_eq!(of(&[]), Err(PolygonFault::Flat { ring: 1 }));
    assert_eq!(of(&[square.clone(), vec![[0.1, 0.1], [0.2, 0.2]]]), Err(PolygonFault::Flat { ring: 2 }));
    assert_eq!(of(&[vec![[0.0, 0.0], [1.0, f64::NAN], [1.0, 1.0]]]), Err(PolygonFault::Number));
    assert_eq!(of(&[square.clone(), outside]), Err(PolygonFault::Crossing));
    assert_eq!(Mesh::extruded(&[square], 1.0, 1.0), Err(PolygonFault::Number));
}

/// A star of so many rays about a place: never crosses itself.
fn star(radii: &[f64], at: [f64; 2]) -> Vec<[f64; 2]> {
    let turn = std::f64::consts::TAU / radii.len() as f64;
    let point =
        |(i, r): (usize, &f64)| [at[0] + r * (turn * i as f64).cos(), at[1] + r * (turn * i as f64).sin()];
    radii.iter().enumerate().map(point).collect()
}

fn area(ring: &[[f64; 2]]) -> f64 {
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).map(|(a, b)| 0.5 * (a[0] * b[1] - a[1] * b[0])).sum()
}

proptest! {
    #![proptest_config(seeded(200))]

    #[test]
    fn extruded_stars_with_holes_are_closed_and_have_their_area(
        outer in prop::collection::vec(1.0..3.0f64, 3..60),
        hole in prop::collection::vec(0.05..0.2f64, 3..20),
        length in 0.01..5.0f64,
    ) {
        let outer = star(&outer, [0.0, 0.0]);
        prop_assume!(outer.len() > 5);
        let hole = star(&hole, [0.1, -0.1]);
        let body = Mesh::extruded(&[outer.clone(), hole.clone()], 0.0, length).expect("rings").checked(METRE);
        let volume = (area(&outer) - area(&hole)) * length;
        prop_assert!((body.expect("closed").moments.total - volume).abs() <= 1e-13 * volume);
    }

    #[test]
    fn corners_on_a_grid_leave_no_gap(heights in prop::collection::vec(1u8..4, 2..30)) {
        let steps = heights.iter().enumerate();
        let tops = steps.flat_map(|(i, h)| [[i as f64, f64::from(*h)], [i as f64 + 1.0, f64::from(*h)]]);
        let floor = (0..=heights.len()).rev().map(|i| [i as f64, 0.0]);
        let ring: Vec<[f64; 2]> = floor.chain(tops).collect();
        let body = Mesh::extruded(&[ring], 0.0, 1.0).expect("steps").checked(METRE).expect("closed");
        let area: f64 = heights.iter().map(|h| f64::from(*h)).sum();
        prop_assert!((body.moments.total - area).abs() <= 1e-12 * area);
        let is_size = |note: &MeshNote| matches!(note, MeshNote::Size { .. });
        prop_assert!(body.notes.iter().all(is_size));
    }

    #[test]
    fn rings_of_any_kind_are_refused_or_closed(
        rings in prop::collection::vec(prop::collection::vec((0u8..6, 0u8..6), 0..9), 0..4),
    ) {
        let point = |(x, z): &(u8, u8)| [f64::from(*x), f64::from(*z)];
        let rings: Vec<Vec<[f64; 2]>> = rings.iter().map(|ring| ring.iter().map(point).collect()).collect();
        if let Ok(mesh) = Mesh::extruded(&rings, 0.0, 1.0) {
            let checked = mesh.checked(METRE);
            prop_assert!(!matches!(checked, Err(MeshFault::NotClosed(_))), "{checked:?}");
        }
    }
}
