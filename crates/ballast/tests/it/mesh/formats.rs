//! STL, OBJ and 3MF: what is taken, and what a fault says.

use super::*;

#[test]
fn a_byte_after_the_last_triangle_is_noted() {
    let notes = Mesh::read(HALF_DONUT, METRE).expect("a body").notes;
    assert!(notes.contains(&MeshNote::Trailing { bytes: 1 }), "{notes:?}");
}

#[test]
fn the_format_is_told_by_the_content() {
    let solid: Vec<u8> = b"solid ".iter().chain(&CUBE[6..]).copied().collect();
    assert_eq!(MeshFormat::of(&solid), Ok(MeshFormat::StlBinary));
    assert_eq!(MeshFormat::of(CUBE_TEXT), Ok(MeshFormat::StlText));
    assert_eq!(MeshFormat::of(b"# a part\nv 0 0 0\n"), Ok(MeshFormat::Obj));
    assert_eq!(MeshFormat::of(b"PK\x03\x04"), Ok(MeshFormat::ThreeMf));
    assert_eq!(MeshFormat::of(b"ISO-10303-21;"), Err(MeshFault::Unknown { found: "a STEP file" }));
    assert_eq!(MeshFormat::of(b"%PDF-1.7"), Err(MeshFault::Unknown { found: "a PDF file" }));
    assert_eq!(MeshFormat::of(b""), Err(MeshFault::Unknown { found: "an empty file" }));
}

#[test]
fn a_count_that_disagrees_with_the_length_is_refused_with_both_numbers() {
    let mut claims = CUBE.to_vec();
    claims[80..84].copy_from_slice(&u32::MAX.to_le_bytes());
    assert_eq!(fault(&claims), MeshFault::Count { said: u32::MAX, needed: 214_748_364_834, length: 684 });
    let cut = MeshFault::Count { said: 12, needed: 684, length: 683 };
    assert_eq!(fault(&CUBE[..683]), cut);
    let text = cut.to_string();
    assert!(text.contains("684") && text.contains("683"), "{text}");
}

#[test]
fn text_stl_may_be_in_capitals_with_other_line_ends_and_several_solids() {
    let text = String::from_utf8(CUBE_TEXT.to_vec()).expect("ASCII");
    for bytes in [text.to_uppercase(), text.replace("\r\n", "\n"), text.replace("\r\n", "\r")] {
        assert_near(read(bytes.as_bytes()).total, 8.0, 1e-14);
    }
    let far = text.replace("vertex ", "vertex 1.0E+0");
    let two = Mesh::read(format!("{text}\n{far}").as_bytes(), METRE).expect("two bodies");
    assert!(two.notes.contains(&MeshNote::Several { bodies: 2, cavities: 0 }), "{:?}", two.notes);
}

#[test]
fn text_stl_faults_say_the_line() {
    let line = |text: &str| match fault(text.as_bytes()) {
        MeshFault::Line { format: MeshFormat::StlText, line, problem } => (line, problem),
        other => panic!("{other:?}"),
    };
    let start = "solid a\nfacet normal 0 0 1\nouter loop\n";
    let number = |found: &str| LineProblem::Number { found: found.to_owned() };
    assert_eq!(line(&format!("{start}vertex 0 1,5 0\n")), (4, number("1,5")));
    assert_eq!(line(&format!("{start}vertex 0 nan 0\n")), (4, number("nan")));
    assert_eq!(line(&format!("{start}vertex 0 1\n")), (4, number("")));
    assert_eq!(line(&format!("{start}endfacet\n")), (4, LineProblem::Corners { count: 0 }));
    assert_eq!(line("solid a\nfacet"), (2, LineProblem::End { wanted: "\"endsolid\"" }));
    assert!(matches!(line("solid a\nlorem"), (2, LineProblem::Word { .. })));
}

#[test]
fn obj_takes_every_form_of_a_corner_and_polygons() {
    let text = "# box\nv 0 0 0\nv 2 0 0\nv 2 1 0\nv 0 1 0\nv 0 0 3\nv 2 0 3\nv 2 1 3\nv 0 1 3\nvt 0 0\nvn 0 0 1\n\
                f 4 3 2 1\nf 5/1 6/1 7/1 8/1\nf -8//1 -7//1 -3//1 -4//1\nf 2/1/1 3/1/1 7/1/1 6/1/1\nf 3 4 8 7 # end\n\
                f 4 1 5 8\n";
    for text in [text.to_owned(), text.replace('\n', "\r\n")] {
        assert_near(read(text.as_bytes()).total, 6.0, 1e-14);
    }
}

#[test]
fn obj_faults_say_the_line() {
    let index = |index: &str| LineProblem::Index { index: index.to_owned(), count: 1 };
    for (text, problem) in [
        ("v 0 0 0\nf 1 2 3\n", index("2")),
        ("v 0 0 0\nf -2 1 1\n", index("-2")),
        ("v 0 0 0\nf 0 1 1\n", index("0")),
        ("v 0 0 0\nf 99999999999999999999 1 1\n", index("99999999999999999999")),
        ("v 0 0 0\nf 1 1\n", LineProblem::Corners { count: 2 }),
        ("v 0 0 0\nv 0 x 0\n", LineProblem::Number { found: "x".to_owned() }),
    ] {
        assert_eq!(fault(text.as_bytes()), MeshFault::Line { format: MeshFormat::Obj, line: 2, problem });
    }
}

/// A 3MF file with this model.
pub(super) fn package(model: &str) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    zip.start_file("3D/3dmodel.model", SimpleFileOptions::default()).expect("a zip");
    zip.write_all(model.as_bytes()).expect("a zip");
    zip.finish().expect("a zip").into_inner()
}

/// A model of one tetrahedron of volume 1/6 as object 1, then these resources and this build.
pub(super) fn model(unit: &str, resources: &str, build: &str) -> Vec<u8> {
    package(&format!(
        "<?xml version=\"1.0\"?>\n<model unit=\"{unit}\">\n<resources><object id=\"1\" type=\"model\"><mesh><vertices>\
         <vertex x=\"0\" y=\"0\" z=\"0\"/><vertex x=\"1\" y=\"0\" z=\"0\"/><vertex x=\"0\" y=\"1\" z=\"0\"/>\
         <vertex x=\"0\" y=\"0\" z=\"1\"/></vertices><triangles><triangle v1=\"0\" v2=\"2\" v3=\"1\"/>\
         <triangle v1=\"0\" v2=\"1\" v3=\"3\"/><triangle v1=\"0\" v2=\"3\" v3=\"2\"/>\
         <triangle v1=\"1\" v2=\"2\" v3=\"3\"/></triangles></mesh></object>{resources}</resources>\n\
         <build>{build}</build></model>"
    ))
}

#[test]
fn a_3mf_body_is_placed_in_its_own_unit() {
    let bytes = model("inch", "", "<item objectid=\"1\" transform=\"2 0 0 0 1 0 0 0 1 10 0 0\"/>");
    let body = Mesh::read(&bytes, MILLIMETRE).expect("a body");
    assert_near(body.moments.total, 0.0254f64.powi(3) / 3.0, 1e-19);
    assert_near(body.moments.centroid().expect("a volume")[0], 10.5 * 0.0254, 1e-15);
    assert!(body.notes.contains(&MeshNote::OwnUnit { unit_m: 0.0254 }));
}

#[test]
fn a_3mf_assembly_of_a_body_and_its_mirror_is_put_together() {
    let parts = "<object id=\"2\"><components><component objectid=\"1\"/>\
                 <component objectid=\"1\" transform=\"-1 0 0 0 1 0 0 0 1 -3 0 0\"/></components></object>";
    let moments = read(&model("meter", parts, "<item objectid=\"2\"/>"));
    assert_near(moments.total, 1.0 / 3.0, 1e-15);
    assert_near(moments.centroid().expect("a volume")[0], -1.5, 1e-14);
}

#[test]
fn faults_of_a_3mf_say_the_line() {
    let line = |bytes: &[u8]| match fault(bytes) {
        MeshFault::Line { format: MeshFormat::ThreeMf, line, problem } => (line, problem),
        other => panic!("{other:?}"),
    };
    let missing = line(&model("meter", "", "<item objectid=\"7\"/>"));
    assert_eq!(missing, (4, LineProblem::Object { id: "7".to_owned() }));
    let elsewhere = line(&model("meter", "", "<item objectid=\"1\" p:path=\"/3D/a.model\"/>"));
    assert_eq!(elsewhere, (4, LineProblem::Elsewhere));
    assert!(matches!(line(&model("furlong", "", "")), (2, LineProblem::Word { .. })));
    assert!(matches!(line(&package("<model>\n</mode>")), (2, LineProblem::Xml { .. })));
}

#[test]
fn a_zip_without_a_model_is_refused() {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    zip.start_file("readme.txt", SimpleFileOptions::default()).expect("a zip");
    let bytes = zip.finish().expect("a zip").into_inner();
    assert_eq!(fault(&bytes), MeshFault::Package(PackageProblem::NoModel));
    assert!(matches!(fault(b"PK\x03\x04 and no more"), MeshFault::Package(PackageProblem::Zip { .. })));
}

#[test]
fn deep_nesting_in_a_3mf_is_refused() {
    let deep = format!("<model>{}{}</model>", "<a>".repeat(200_000), "</a>".repeat(200_000));
    assert!(matches!(fault(&package(&deep)), MeshFault::Line { line: 1, problem: LineProblem::Deep, .. }));
}

#[test]
fn components_that_double_again_and_again_are_refused() {
    let doubling = (2..60).map(|id| {
        let part = format!("<component objectid=\"{}\"/>", id - 1);
        format!("<object id=\"{id}\"><components>{part}{part}</components></object>")
    });
    let bytes = model("meter", &doubling.collect::<String>(), "<item objectid=\"59\"/>");
    assert!(matches!(fault(&bytes), MeshFault::Line { problem: LineProblem::TooMany, .. }));
}

#[test]
fn what_is_written_is_read_back() {
    let moon = Mesh::read(MOON, MILLIMETRE).expect("a body").mesh;
    let bytes = moon.write_stl(MILLIMETRE, "solid nose weight, left");
    assert!(bytes.starts_with(b"STL of solid nose weight, left  "));
    assert_eq!(Mesh::read(&bytes, MILLIMETRE).expect("a body").mesh, moon);
}

/// Two cubes at one place pair all their edges; a cube on another has a face of each turned against the other.
#[test]
fn a_body_that_is_there_twice_is_refused_and_bodies_that_touch_are_not() {
    let twice: Vec<Triangle> = cube().into_iter().chain(cube()).collect();
    let turned_on: Vec<Triangle> = cube().into_iter().map(|[a, b, c]| [b, c, a]).chain(cube()).collect();
    for mesh in [twice, turned_on] {
        let fault = Mesh::new(mesh).checked(METRE).expect_err("twice");
        assert!(matches!(fault, MeshFault::Twice { count: 12, .. }), "{fault}");
        assert!(
            fault.to_string().starts_with("faces that are there more than once: 12, one of them"),
            "{fault}"
        );
    }
    let upper = Mesh::new(cube()).moved([0.0, 0.0, 1.0]);
    let stacked = cube().into_iter().chain(upper.triangles().to_vec()).collect();
    assert_near(Mesh::new(stacked).checked(METRE).expect("a body").moments.total, 2.0, 1e-12);
}
