//! The surfaces of pieces and of their halves: one closed skin, turned outwards, with the volume of the piece.

use std::collections::BTreeSet;

use hingeline_ballast::design::{Design, Face, Form, Half, NoseShape, Parting, Solution, Span, Vary, Wanted};
use hingeline_ballast::outline::{Outline, Path, Side, Traced};
use hingeline_ballast::{Layer, Mesh, MeshNote, Moments, PolygonFault, Vector};

use crate::design::LEAD;

const MILLIMETRE: f64 = 0.001;
/// That of a pattern, m.
const TOLERANCE: f64 = 1e-5;

fn span() -> Span {
    Span { from: 0.01, length: 0.1 }
}

fn solved(form: Form, parting: Option<Parting>) -> Solution {
    let wanted = Wanted { moment_kg_m: -0.05, standard_uncertainty: 0.0 };
    let design = Design { parting, ..Design::new(wanted, form, Vary::Nothing, LEAD) };
    design.reckon().expect("a piece")
}

fn boxed(front: Path) -> Form {
    let (thickness, end_walls) = (0.004, Some(0.003));
    Form::Cap { front, outside: Side::Right, thickness, span: span(), end_walls }
}

/// Half round with flanks, and the rear ends not above each other.
fn round() -> Path {
    let edges = [
        Traced::Line { to: [-0.155, 0.011] },
        Traced::Arc { through: [-0.166, 0.0], to: [-0.155, -0.011] },
        Traced::Line { to: [-0.135, -0.011] },
    ];
    Path::traced([-0.14, 0.011], &edges).expect("a front")
}

fn straight(points: &[[f64; 2]]) -> Path {
    Path::polyline(points).expect("a front")
}

/// Fronts of many kinds: with a corner, flat, flat with a corner on the line, hollow, and one that crosses its chord.
fn fronts() -> Vec<(&'static str, Path)> {
    let hollow = [Traced::Arc { through: [-0.158, 0.0], to: [-0.16, -0.02] }];
    let winding = [
        Traced::Arc { through: [-0.162, 0.01], to: [-0.16, 0.001] },
        Traced::Arc { through: [-0.158, -0.01], to: [-0.16, -0.02] },
    ];
    vec![
        ("round", round()),
        ("wedge", straight(&[[-0.14, 0.012], [-0.16, 0.002], [-0.145, -0.01]])),
        ("flat", straight(&[[-0.16, 0.02], [-0.16, -0.02]])),
        ("flat with a corner", straight(&[[-0.16, 0.02], [-0.16, 0.003], [-0.16, -0.02]])),
        ("hollow", Path::traced([-0.16, 0.02], &hollow).expect("a front")),
        ("winding", Path::traced([-0.16, 0.02], &winding).expect("a front")),
    ]
}

/// Corners less edges and triangles: 2 for a ball, 0 for a ring.
fn characteristic(mesh: &Mesh) -> i64 {
    let bits = |corner: &Vector| corner.map(|x| (x + 0.0).to_bits());
    let (mut corners, mut edges) = (BTreeSet::new(), BTreeSet::new());
    for triangle in mesh.triangles() {
        let named = triangle.each_ref().map(bits);
        corners.extend(named);
        for side in 0..3 {
            let (a, b) = (named[side], named[(side + 1) % 3]);
            edges.insert((a.min(b), a.max(b)));
        }
    }
    let count = |count: usize| i64::try_from(count).expect("a count");
    count(corners.len()) - count(edges.len()) + count(mesh.triangles().len())
}

#[track_caller]
fn is_one_skin(name: &str, mesh: &Mesh, exact: &Moments, wanted: i64) {
    let checked = mesh.clone().checked(1.0).unwrap_or_else(|fault| panic!("{name}: {fault}"));
    assert_eq!(checked.notes, [], "{name}");
    assert_eq!(mesh.pieces().len(), 1, "{name}");
    assert_eq!(characteristic(mesh), wanted, "{name}");
    let off = checked.moments.total / exact.total - 1.0;
    assert!(off.abs() < 1e-9, "{name}: volume off by {off:e}");
    let middles = [&checked.moments, exact].map(|moments| moments.centroid().expect("a body"));
    for axis in 0..3 {
        assert!((middles[0][axis] - middles[1][axis]).abs() < 2e-6, "{name}: {middles:?}");
    }
}

fn check(name: &str, mesh: &Mesh, exact: &Moments, wanted: i64) {
    is_one_skin(name, mesh, exact, wanted);
    // as it is written and read again, in single numbers
    let read = Mesh::read(&mesh.write_stl(MILLIMETRE, name), MILLIMETRE)
        .unwrap_or_else(|fault| panic!("{name}: {fault}"));
    let torn = read.notes.iter().any(|note| matches!(note, MeshNote::Several { .. }));
    assert!(!torn && (read.moments.total / exact.total - 1.0).abs() < 1e-4, "{name}: {:?}", read.notes);
}

fn volume(half: &Half) -> Moments {
    half.as_cast * (1.0 / LEAD.kg_m3)
}

#[test]
fn a_cap_with_end_walls_is_one_closed_skin_over_every_front() {
    for (name, front) in fronts() {
        let found = solved(boxed(front), None);
        check(name, &found.mesh(TOLERANCE).expect("a surface"), &found.body.volume, 2);
    }
}

#[test]
fn the_halves_of_a_cap_with_end_walls_are_one_closed_skin_each() {
    for parting in [Parting::AtHeight(0.0), Parting::AtHeight(0.004), Parting::MidSpan] {
        for (name, front) in fronts().into_iter().take(5) {
            let found = solved(boxed(front), Some(parting));
            assert_eq!(found.halves.len(), 2);
            for half in &found.halves {
                let name = format!("{name}, {} half, {parting:?}", half.name);
                check(&name, &half.mesh(TOLERANCE).expect("a surface"), &volume(half), 2);
            }
        }
    }
}

fn forms() -> Vec<(&'static str, Form, i64)> {
    let nose =
        |shape, depth| Form::Nose { shape, depth, height: 0.024, span: span(), flat: -0.15, middle: 0.001 };
    let trapped = Path::traced(
        [-0.2, -0.01],
        &[
            Traced::Line { to: [-0.16, -0.01] },
            Traced::Arc { through: [-0.15, 0.0], to: [-0.16, 0.01] },
            Traced::Line { to: [-0.2, 0.01] },
        ],
    );
    let outline = Outline::new(trapped.expect("an outline").closed(), Vec::new()).expect("an outline");
    let bored = outline.clone().with_hole(Path::circle([-0.18, 0.0], 0.004).expect("a hole")).expect("bored");
    let cone = |front_diameter, rear_diameter| Form::Frustum {
        front_diameter,
        rear_diameter,
        depth: 0.04,
        rear: [-0.15, 0.02, 0.01],
    };
    vec![
        (
            "bar",
            Form::Bar { depth: 0.01, height: 0.02, span: span(), face: Face::Rear(-0.15), middle: 0.003 },
            2,
        ),
        ("round bar", Form::RoundBar { diameter: 0.019, span: span(), centre: [-0.15, 0.002] }, 2),
        ("half-round nose", nose(NoseShape::HalfRound, 0.012), 2),
        ("half-elliptic nose", nose(NoseShape::HalfElliptic, 0.03), 2),
        ("parabolic nose", nose(NoseShape::Parabolic, 0.03), 2),
        ("outline", Form::Section { outline, span: span() }, 2),
        ("plates with a hole", Form::Plates { outline: bored, thickness: 0.004, count: 5, from: 0.0 }, 0),
        ("frustum", cone(0.014, 0.02), 2),
        ("cone", cone(0.0, 0.02), 2),
        ("cone to the rear", cone(0.02, 0.0), 2),
    ]
}

#[test]
fn the_surface_of_every_form_has_the_volume_of_the_form() {
    for (name, form, wanted) in forms() {
        let found = solved(form, None);
        for tolerance in [TOLERANCE, 1e-3] {
            let mesh = found.mesh(tolerance).expect("a surface");
            let checked = mesh.clone().checked(1.0).expect("closed");
            assert!(
                (checked.moments.total / found.body.volume.total - 1.0).abs() < 1e-9,
                "{name} {tolerance}"
            );
        }
        check(name, &found.mesh(TOLERANCE).expect("a surface"), &found.body.volume, wanted);
    }
}

/// A block with a hollow from one end that goes half way: the floor of the hollow is a face, the rest of the end is not.
#[test]
fn a_layer_with_a_hole_on_a_layer_without_is_one_skin() {
    let square = |half: f64| vec![[-half, -half], [half, -half], [half, half], [-half, half]];
    let layer =
        |rings: Vec<Vec<[f64; 2]>>, from_y: f64, to_y: f64| Layer { sections: vec![rings], from_y, to_y };
    let floor = layer(vec![square(2.0)], 0.0, 1.0);
    let wall = layer(vec![square(2.0), square(1.0)], 1.0, 3.0);
    let mesh = Mesh::stacked(&[floor.clone(), wall.clone()]).expect("a box").checked(1.0).expect("closed");
    assert!((mesh.moments.total - 40.0).abs() < 1e-12 && characteristic(&mesh.mesh) == 2);
    // a stud on a plate, smaller than it all round
    let stud = layer(vec![square(0.5)], 1.0, 2.0);
    let mesh = Mesh::stacked(&[floor.clone(), stud]).expect("a stud").checked(1.0).expect("closed");
    assert!((mesh.moments.total - 17.0).abs() < 1e-12 && characteristic(&mesh.mesh) == 2);
    assert_eq!(Mesh::stacked(&[wall, floor]), Err(PolygonFault::Number));
}

/// Two sections that cross like a plus: new corners where their sides meet.
#[test]
fn layers_that_cross_are_one_skin() {
    let block =
        |x: f64, z: f64| [[-x, -z], [x, -z], [x, z], [-x, z]].map(|corner| corner.map(|x| 0.01 * x)).to_vec();
    let layer =
        |ring: Vec<[f64; 2]>, from_y: f64| Layer { sections: vec![vec![ring]], from_y, to_y: from_y + 0.01 };
    let layers = [layer(block(3.0, 1.0), 0.0), layer(block(1.0, 3.0), 0.01), layer(block(3.0, 1.0), 0.02)];
    let mesh = Mesh::stacked(&layers).expect("a stack").checked(1.0).expect("closed");
    assert!((mesh.moments.total - 36e-6).abs() < 1e-18);
    assert_eq!((mesh.notes, characteristic(&mesh.mesh)), (Vec::new(), 2));
}

#[test]
fn a_coarse_surface_keeps_its_size_with_few_triangles() {
    let ball = Mesh::frustum([0.02, 0.02], 0.1, 1e-8);
    assert!(4000 < ball.triangles().len());
    let coarse = ball.coarsened(500);
    assert!((50..=500).contains(&coarse.triangles().len()), "{}", coarse.triangles().len());
    let [fine, rough] = [&ball, &coarse].map(|mesh| mesh.bounds().expect("a body"));
    for (a, b) in fine.as_flattened().iter().zip(rough.as_flattened()) {
        assert!((a - b).abs() < 0.004, "{fine:?} {rough:?}");
    }
    assert_eq!(ball.coarsened(1_000_000), ball);
}
