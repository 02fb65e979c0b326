//! A piece that was drawn elsewhere: what a mesh gives, where the sheet puts it, and every refusal.

use crate::sheets::told;
use crate::weight::{MESH, horn};
use hingeline_ballast::Mesh;
use hingeline_bench::weight::{Standing, WeightAnswer, WeightSheet, words, work};

/// kg per lb, kg m per in-lb: legal definitions.
const POUND: f64 = 0.453_592_37;
const INCH: f64 = 0.0254;

/// A box by its lowest and highest corner, in units of the file.
fn cuboid(low: [f64; 3], high: [f64; 3]) -> Mesh {
    let outline = [[low[0], low[2]], [high[0], low[2]], [high[0], high[2]], [low[0], high[2]]];
    Mesh::extruded(&[outline.to_vec()], low[1], high[1]).expect("a box")
}

fn stl(mesh: &Mesh) -> Vec<u8> {
    mesh.write_stl(1.0, "box")
}

/// A sheet of a bare mesh in mm.
fn sheet(keys: &str) -> String {
    format!(
        "[weight]\nname = \"box\"\nmoment = \"1 kg·mm nose-heavy\"\nmaterial = \"lead\"\ndensity = \"10 g/cm³\"\n\
         [form]\nkind = \"mesh\"\nfile = \"box.stl\"\nunit = \"mm\"\n{keys}\n"
    )
}

const HUNDRED_FORWARD: &str = "arm = \"100 mm\"\nside = \"forward\"";

fn answer(text: &str, bytes: &[u8]) -> WeightAnswer {
    let read = WeightSheet::parse_with(text, &|_: &str| Ok(bytes.to_vec()));
    WeightAnswer::of(&work(read.unwrap_or_else(|faults| panic!("{}", told(&faults)))))
}

fn refusal(text: &str, bytes: &[u8]) -> String {
    told(&WeightSheet::parse_with(text, &|_: &str| Ok(bytes.to_vec())).expect_err("a fault"))
}

fn near(a: f64, b: f64) {
    assert!((a - b).abs() <= 1e-6 * b.abs().max(1e-6), "{a} is not {b}");
}

#[test]
fn the_horn_of_the_demo_weighs_what_its_section_says() {
    // Section by the shoelace formula: 0.98 in², drawn 3.2 in; 3.136 in³ of 11.033 g/cm³.
    let piece = WeightAnswer::of(&work(WeightSheet::parse_with(MESH, &horn).expect("the demo")));
    let density = piece.head.material.density_kg_m3;
    let cast = piece.solution.expect("a piece").as_cast;
    near(cast.mass_kg, 3.136 * INCH.powi(3) * density);
    assert!((cast.mass_kg / POUND - 1.250).abs() < 0.001);
}

#[test]
fn a_box_lies_where_the_sheet_puts_its_origin() {
    let bytes = stl(&cuboid([0.0, 0.0, 0.0], [20.0, 30.0, 10.0]));
    let keys = format!("{HUNDRED_FORWARD}\nheight = \"5 mm below\"\nalong = \"7 mm\"");
    let piece = answer(&sheet(&keys), &bytes).solution.expect("a piece");
    // 20 × 30 × 10 mm of 10 g/cm³, its middle 10 mm behind the origin.
    near(piece.as_cast.mass_kg, 0.06);
    near(piece.as_cast.arm_m, -0.09);
    near(piece.envelope.front_m, -0.1);
    near(piece.envelope.top_m, 0.005);
    near(piece.envelope.span_m, 0.03);
}

#[test]
fn axes_turn_the_file_and_never_mirror_it() {
    let bytes = stl(&cuboid([0.0, 0.0, 0.0], [20.0, 30.0, 10.0]));
    // From the origin: arm of the middle, top, span, all in mm.
    for (axes, arm, top, span) in [
        ("x aft, z up", 10.0, 10.0, 30.0),
        ("x forward, z up", -10.0, 10.0, 30.0),
        ("x outboard, z up", -15.0, 10.0, 20.0),
        ("x inboard, z up", 15.0, 10.0, 20.0),
        ("x aft, y up", 10.0, 30.0, 10.0),
        ("x forward, y up", -10.0, 30.0, 10.0),
    ] {
        let text = sheet(&format!("{HUNDRED_FORWARD}\naxes = \"{axes}\""));
        let piece = answer(&text, &bytes).solution.expect("a piece");
        near(piece.as_cast.mass_kg, 0.06);
        near(piece.as_cast.arm_m, -0.1 + arm / 1000.0);
        near(piece.envelope.top_m, top / 1000.0);
        near(piece.envelope.span_m, span / 1000.0);
    }
}

#[test]
fn hardware_and_holes_count_with_their_moment() {
    let piece = WeightAnswer::of(&work(WeightSheet::parse_with(MESH, &horn).expect("the demo")));
    let piece = piece.solution.expect("a piece");
    let sum: f64 = piece.parts.iter().map(|part| part.mass_kg * part.arm_m).sum();
    near(sum, piece.finished.moment_kg_m);
    assert_eq!(piece.parts.iter().filter(|part| part.kind == "hole").count(), 2);
}

#[test]
fn a_piece_that_gives_too_little_is_short() {
    let more = MESH.replace("7.75 in-lb", "8.5 in-lb");
    let worked = work(WeightSheet::parse_with(&more, &horn).expect("the demo"));
    assert_eq!(worked.standing(), Standing::Short);
    assert!(
        words::headline(&worked).contains("0.700 in-lb short of the wanted 8.500"),
        "{}",
        words::headline(&worked)
    );
}

#[test]
fn a_piece_that_does_not_keep_within_its_space_says_so() {
    let near = MESH.replace("forward_reach = \"7.1 in\"", "forward_reach = \"6.9 in\"");
    let worked = work(WeightSheet::parse_with(&near, &horn).expect("the demo"));
    let said = words::headline(&worked);
    assert!(
        said.starts_with("This measured piece will not do: it does not keep within the reach forward"),
        "{said}"
    );
}

#[test]
fn what_was_mended_is_told() {
    let turned = stl(&cuboid([0.0; 3], [20.0, 30.0, 10.0]).turned());
    let mesh = answer(&sheet(HUNDRED_FORWARD), &turned).mesh.expect("a mesh");
    assert_eq!(mesh.notes, ["the surface was inside out as a whole and was turned"]);
    let tiny = stl(&cuboid([0.0; 3], [0.02, 0.03, 0.01]));
    let mesh = answer(&sheet(HUNDRED_FORWARD), &tiny).mesh.expect("a mesh");
    assert!(
        mesh.notes[0].ends_with("is the file in inches?") || mesh.notes[0].contains("is the file in "),
        "{:?}",
        mesh.notes
    );
}

#[test]
fn a_file_with_cavities_says_how_many() {
    let mut hollow = cuboid([0.0; 3], [20.0, 30.0, 10.0]);
    hollow.append(cuboid([5.0, 5.0, 2.0], [15.0, 25.0, 8.0]).turned());
    let answer = answer(&sheet(HUNDRED_FORWARD), &stl(&hollow));
    near(answer.solution.expect("a piece").as_cast.mass_kg, 0.06 - 0.012);
    assert!(answer.mesh.expect("a mesh").notes[0].starts_with("bodies: 1, cavities: 1"));
}

#[test]
fn an_open_surface_is_refused_with_the_count_of_its_edges() {
    let whole = cuboid([0.0; 3], [20.0, 30.0, 10.0]);
    let open = Mesh::new(whole.triangles()[1..].to_vec());
    let said = refusal(&sheet(HUNDRED_FORWARD), &stl(&open));
    for part in
        ["form, file “box.stl”", "3 open edges", "every edge between two faces turned alike", "mend the body"]
    {
        assert!(said.contains(part), "no “{part}” in:\n{said}");
    }
}

#[test]
fn a_turned_face_is_refused() {
    let mut triangles = cuboid([0.0; 3], [20.0, 30.0, 10.0]).triangles().to_vec();
    triangles[0].swap(1, 2);
    let said = refusal(&sheet(HUNDRED_FORWARD), &stl(&Mesh::new(triangles)));
    assert!(said.contains("1 face turned the wrong way"), "{said}");
}

#[test]
fn files_of_other_kinds_are_named() {
    assert!(refusal(&sheet(HUNDRED_FORWARD), b"%PDF-1.7").contains("this is a PDF file, not a mesh"));
    assert!(refusal(&sheet(HUNDRED_FORWARD), b"ISO-10303-21;").contains("a STEP file"));
    assert!(refusal(&sheet(HUNDRED_FORWARD), b"").contains("an empty file"));
}

#[test]
fn a_text_of_corners_and_faces_is_read_as_obj() {
    // A wedge: half of a box of 20 × 30 × 10 mm.
    let obj = "v 0 0 0\nv 20 0 0\nv 0 0 10\nv 0 30 0\nv 20 30 0\nv 0 30 10\n\
               f 1 2 3\nf 4 6 5\nf 1 4 5 2\nf 2 5 6 3\nf 3 6 4 1\n";
    let answer = answer(&sheet(HUNDRED_FORWARD), obj.as_bytes());
    near(answer.solution.expect("a piece").as_cast.mass_kg, 0.03);
    assert_eq!(answer.mesh.expect("a mesh").format, "OBJ");
}

#[test]
fn a_sheet_read_without_files_says_so() {
    let said = told(&WeightSheet::parse(MESH).expect_err("a fault"));
    assert!(said.contains("no files are read here"), "{said}");
    let read = WeightSheet::parse_with(MESH, &|_: &str| Err("it is locked away".to_owned()));
    assert!(told(&read.expect_err("a fault")).contains("it is locked away"));
}

#[test]
fn keys_of_a_mesh() {
    let bytes = stl(&cuboid([0.0; 3], [20.0, 30.0, 10.0]));
    let check = |from: &str, to: &str, part: &str| {
        let text = sheet(HUNDRED_FORWARD).replace(from, to);
        let said = refusal(&text, &bytes);
        assert!(said.contains(part), "no “{part}” in:\n{said}");
    };
    check("unit = \"mm\"\n", "", "form has no unit");
    check("\"mm\"\n", "\"yd\"\n", "“yd” is not a choice");
    check("file = \"box.stl\"\n", "", "form has no file");
    check("arm = \"100 mm\"\n", "", "form has no arm");
    check("unit = ", "axes = \"x up\"\nunit = ", "“x up” is not a choice");
    check("unit = ", "halves = \"at mid span\"\nunit = ", "unknown key “halves”");
    check("unit = ", "hand = \"left\"\nunit = ", "form, hand: a mesh is taken as it was drawn");
    check("unit = ", "dimension_within = \"1 mm\"\nunit = ", "unknown key “dimension_within”");
}

#[test]
fn what_a_mesh_cannot_have() {
    let bytes = stl(&cuboid([0.0; 3], [20.0, 30.0, 10.0]));
    let check = |tables: &str, part: &str| {
        let said = refusal(&format!("{}{tables}", sheet(HUNDRED_FORWARD)), &bytes);
        assert!(said.contains(part), "no “{part}” in:\n{said}");
    };
    check("[[coating]]\nname = \"epoxy primer\"\n", "the skin of a mesh is not known");
    check(
        "[vary]\nwhat = \"span\"\nleast = \"1 mm\"\nmost = \"9 mm\"\n",
        "a measured piece has no span that may vary",
    );
    let hole = "[[hole]]\nname = \"bolt\"\ndiameter = \"4 mm\"\n";
    check(
        &format!(
            "{hole}from = \"top\"\ndepth = \"through\"\narm = \"90 mm\"\nside = \"forward\"\nalong = [\"9 mm\"]\n"
        ),
        "goes through, and the walls of a mesh are not known",
    );
    check(
        &format!(
            "{hole}from = \"end\"\ndepth = \"9 mm\"\npoint = \"118 deg\"\nmeasured = \"to the tip\"\narm = \"90 mm\"\nside = \"forward\"\n"
        ),
        "enters at an end",
    );
}
