//! `hingeline weight`: the demo's sheets, their status, their printed sums, what is said of a wrong one, and the files:
//! drawing, pattern, and the mesh that a sheet names.

use crate::calls::{call, demo, hingeline};
use crate::hand::{EXACT, worked_again};
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

fn sheets() -> Vec<PathBuf> {
    let folder = fs::read_dir(demo("weights")).expect("the demo");
    let mut sheets: Vec<PathBuf> = folder.map(|item| item.expect("an entry").path()).collect();
    sheets.retain(|path| path.extension().is_some_and(|ending| ending == "toml"));
    sheets.sort();
    sheets
}

fn weight(sheet: &str) -> (i32, String, String) {
    call(hingeline().arg("weight").arg(demo("weights").join(sheet)))
}

fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Not one of them is passed over: what stands before the uncertainty and has a “ = ” is a sum.
#[test]
fn every_printed_sum_can_be_worked_again_by_hand() {
    let mut checked = 0;
    for sheet in sheets() {
        let (_, out, err) = call(hingeline().arg("weight").arg(&sheet));
        assert_eq!(err, "");
        let ends = ["HOW SURE", "SOURCES"].map(|title| out.find(title).unwrap_or(out.len()));
        let sums = &out[..ends[0].min(ends[1])];
        let here = worked_again(sums, 4, EXACT);
        let joined = sums.replace("\n    ", " ");
        let titled = |line: &&str| line.starts_with("  ") && line.contains(" = ") && !line.contains("(k = ");
        let written = joined.lines().filter(titled).count();
        assert_eq!(here, written, "{}", sheet.display());
        checked += here;
    }
    assert!(checked >= 25, "only {checked} sums were checked");
}

#[test]
fn parts_of_the_json_make_the_wanted_moment() {
    let (status, out, err) =
        call(hingeline().arg("weight").arg(demo("weights/HP-0231-horn-cap.toml")).arg("--json"));
    assert_eq!((status, err.as_str()), (0, ""));
    let answer: Value = serde_json::from_str(&out).expect("JSON");
    let parts = answer["solution"]["parts"].as_array().expect("parts");
    let number = |value: &Value| value.as_f64().expect("a number");
    let sum: f64 = parts.iter().map(|part| number(&part["mass_kg"]) * number(&part["arm_m"])).sum();
    let wanted = number(&answer["wanted"]["moment_kg_m"]);
    assert!((sum - wanted).abs() <= 1e-9 * wanted.abs(), "{sum} {wanted}");
}

#[test]
fn the_main_job_gets_a_cap_that_fits_its_station() {
    let (status, out, _) = weight("HP-0231-horn-cap.toml");
    let out = plain(&out);
    assert_eq!(status, 0);
    for part in [
        "Cast a cap 0.130 in thick: it gives 3.780 in-lb nose-heavy with its hardware and coating.",
        "moment ÷ old arm = 3.780 in-lb ÷ 6.500 in = 0.5815 lb",
        "too little",
        "upper half, forward",
        "Lead: fume and dust are poisonous.",
        "Molten metal and water",
        "[IDEAL-MIX]",
    ] {
        assert!(out.contains(part), "no “{part}” in {out}");
    }
}

#[test]
fn a_piece_that_cannot_be_says_what_is_lacking() {
    let (status, out, err) = weight("HP-0231-rib-bar.toml");
    let out = plain(&out);
    assert_eq!((status, err.as_str()), (1, ""));
    assert!(out.contains("No round bar will do: 0.775 in-lb of 3.780 in-lb nose-heavy is reached"), "{out}");
    assert!(out.contains("by the capacity of the station") && out.contains("79.5 %"), "{out}");
}

#[test]
fn a_heavy_casting_is_trimmed_step_by_step() {
    let (status, out, _) = weight("HP-0236-casting.toml");
    let out = plain(&out);
    assert_eq!(status, 0);
    for part in ["to trim: ", "saw ", "drill ", "file ", "the scale must then read 3", "left for the file"] {
        assert!(out.contains(part), "no “{part}” in {out}");
    }
}

#[test]
fn a_light_casting_gives_status_1() {
    let folder = TempDir::new().expect("a folder");
    let sheet = folder.path().join("light.toml");
    let text = fs::read_to_string(demo("weights/HP-0236-casting.toml")).expect("the demo");
    fs::write(&sheet, text.replace("353.4 g", "300.0 g")).expect("written");
    let (status, out, _) = call(hingeline().arg("weight").arg(&sheet));
    assert_eq!(status, 1);
    assert!(out.contains("nothing may be taken off"), "{out}");
}

#[test]
fn numbers_speak_the_units_of_the_sheet() {
    let (_, out, _) = weight("HP-0228-aileron-bar.toml");
    let answer = out.split("SOURCES").next().expect("the answer");
    assert!(answer.contains("kg·mm") && !answer.contains(" lb"), "{answer}");
    assert!(plain(&out).contains("clamps through bare lead"), "{out}");
}

#[test]
fn plates_are_named_as_they_were_typed() {
    let (status, out, _) = weight("HP-0235-rudder-plates.toml");
    assert_eq!(status, 0);
    assert!(out.contains("Stack 8 plates of 1/8 in"), "{out}");
    assert!(!out.contains("Molten"), "nothing is cast here");
}

#[test]
fn a_wrong_sheet_goes_to_stderr_with_status_2() {
    let folder = TempDir::new().expect("a folder");
    let sheet = folder.path().join("wrong.toml");
    let text = fs::read_to_string(demo("weights/HP-0231-rib-bar.toml")).expect("the demo");
    fs::write(&sheet, text.replace("side = ", "sight = ").replace("tail-heavy", "")).expect("written");
    let (status, out, err) = call(hingeline().arg("weight").arg(&sheet));
    assert_eq!((status, out.as_str()), (2, ""));
    for part in ["1.78 in-lb does not say its side", "unknown key “sight”", "form has no side", "3 faults in"]
    {
        assert!(err.contains(part), "no “{part}” in {err}");
    }
}

/// A folder with copies of the demo's weight sheets and the file that one names.
fn copied() -> TempDir {
    let folder = TempDir::new().expect("a folder");
    for item in fs::read_dir(demo("weights")).expect("the demo") {
        let path = item.expect("an entry").path();
        fs::copy(&path, folder.path().join(path.file_name().expect("a name"))).expect("copied");
    }
    folder
}

/// A sheet of such a folder with one text in it changed for another.
fn changed(folder: &TempDir, sheet: &str, from: &str, to: &str) -> PathBuf {
    let path = folder.path().join(sheet);
    let text = fs::read_to_string(&path).expect("a sheet");
    assert!(text.contains(from), "the sheet holds no {from}");
    fs::write(&path, text.replace(from, to)).expect("written");
    path
}

fn run(sheet: &Path, args: &[&str]) -> (i32, String, String) {
    let (status, out, err) = call(hingeline().arg("weight").arg(sheet).args(args));
    (status, plain(&out), plain(&err))
}

const CAP: &str = "HP-0231-horn-cap.toml";
const BAR: &str = "HP-0228-aileron-bar.toml";
const RIB: &str = "HP-0231-rib-bar.toml";
const MESH: &str = "HP-0240-horn-mesh.toml";
const HOLES: &str = "HP-0241-drill-out.toml";

/// Names in a folder that were not there before.
fn written(folder: &TempDir) -> Vec<String> {
    let all =
        fs::read_dir(folder.path()).expect("the folder").map(|item| item.expect("an entry").file_name());
    let there = |name: &String| !demo("weights").join(name).exists();
    let mut names: Vec<String> = all.map(|name| name.to_string_lossy().into_owned()).filter(there).collect();
    names.sort();
    names
}

/// The triangles that a binary STL holds, after its length was held against its own count.
fn triangles(path: &Path) -> Vec<[[f32; 3]; 3]> {
    let bytes = fs::read(path).expect("a pattern");
    let count = u32::from_le_bytes(bytes[80..84].try_into().expect("4 bytes")) as usize;
    assert_eq!(bytes.len(), 84 + 50 * count, "{} is whole", path.display());
    let number = |at: usize| f32::from_le_bytes(bytes[at..at + 4].try_into().expect("4 bytes"));
    let corner = |at: usize| [number(at), number(at + 4), number(at + 8)];
    (0..count)
        .map(|index| 84 + 50 * index + 12)
        .map(|at| [corner(at), corner(at + 12), corner(at + 24)])
        .collect()
}

/// The volume inside, in cubes of the unit of the file.
fn volume(path: &Path) -> f64 {
    let six = |[a, b, c]: [[f32; 3]; 3]| {
        let [a, b, c] = [a, b, c].map(|corner| corner.map(f64::from));
        a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0])
            + a[2] * (b[0] * c[1] - b[1] * c[0])
    };
    triangles(path).into_iter().map(six).sum::<f64>() / 6.0
}

#[test]
fn the_drawing_is_written_whole_and_the_same_each_time() {
    let folder = copied();
    let write = |name: &str, paper: &str| {
        let out = folder.path().join(name);
        let (status, _, err) =
            run(&folder.path().join(BAR), &["--paper", paper, "--pdf", &out.display().to_string()]);
        assert_eq!((status, err), (0, format!("wrote {}", out.display())));
        fs::read(out).expect("the drawing")
    };
    let (one, two, letter) = (write("one.pdf", "a4"), write("two.pdf", "a4"), write("three.pdf", "letter"));
    assert!(one.starts_with(b"%PDF-") && one.trim_ascii_end().ends_with(b"%%EOF"));
    assert!(one == two, "the same sheet gives the same bytes");
    assert!(one != letter);
    assert_eq!(written(&folder), ["one.pdf", "three.pdf", "two.pdf"], "nothing is left beside them");
}

#[test]
fn halves_of_a_pattern_stand_beside_the_whole_and_make_it() {
    let folder = copied();
    let out = folder.path().join("cap.stl");
    let (status, _, err) = run(&folder.path().join(CAP), &["--stl", &out.display().to_string()]);
    assert_eq!(status, 0, "{err}");
    assert_eq!(written(&folder), ["cap-lower.stl", "cap-upper.stl", "cap.stl"]);
    let halves = volume(&folder.path().join("cap-lower.stl")) + volume(&folder.path().join("cap-upper.stl"));
    let whole = volume(&out);
    assert!((halves - whole).abs() <= 1e-4 * whole, "{halves} {whole}");
}

/// The pattern has the reserve unless it is asked for without: a casting must have metal to trim.
#[test]
fn a_pattern_has_the_reserve_unless_it_is_asked_for_without() {
    let folder = copied();
    let made = |args: &[&str]| {
        let out = folder.path().join("cap.stl").display().to_string();
        let (status, _, err) = run(&folder.path().join(CAP), &[args, &["--stl", &out]].concat());
        assert_eq!(status, 0, "{err}");
        (volume(&folder.path().join("cap.stl")), err)
    };
    let (usual, told) = made(&[]);
    let (with, _) = made(&["--reserve", "with"]);
    let (exact, exactly) = made(&["--reserve", "without"]);
    assert!((usual - with).abs() <= 1e-12 && exact * 1.01 < with, "{usual} {with} {exact}");
    assert!(told.starts_with("the pattern is with the reserve, 0.1"), "{told}");
    assert!(exactly.starts_with("the pattern is exact"), "{exactly}");
}

/// Templates are exact unless they are asked for with the reserve.
#[test]
fn templates_are_of_the_piece_that_is_asked_for() {
    let folder = copied();
    let made = |name: &str, args: &[&str]| {
        let out = folder.path().join(name);
        let (status, _, err) =
            run(&folder.path().join(CAP), &[args, &["--pdf", &out.display().to_string()]].concat());
        assert_eq!(status, 0, "{err}");
        fs::read(out).expect("the drawing")
    };
    let usual = made("one.pdf", &[]);
    assert!(usual == made("two.pdf", &["--reserve", "without"]));
    assert!(usual != made("three.pdf", &["--reserve", "with"]));
}

#[test]
fn a_pattern_is_grown_by_the_shrinkage_that_is_asked_for() {
    let folder = copied();
    let grown = |percent: &str| {
        let out = folder.path().join(format!("bar-{percent}.stl"));
        let args = ["--reserve", "without", "--shrinkage", percent, "--stl", &out.display().to_string()];
        assert_eq!(run(&folder.path().join(BAR), &args).0, 0);
        volume(&out)
    };
    let (exact, two) = (grown("0"), grown("2"));
    assert!((two / exact - 1.02f64.powi(3)).abs() < 1e-5, "{}", two / exact);
    // The metal before holes, of the answer, over its density.
    let (_, json, _) = call(hingeline().arg("weight").arg(folder.path().join(BAR)).arg("--json"));
    let answer: Value = serde_json::from_str(&json).expect("JSON");
    let number = |value: &Value| value.as_f64().expect("a number");
    let mass = number(&answer["solution"]["as_cast"]["mass_kg"]);
    let cubic_mm = mass / number(&answer["material"]["density_kg_m3"]) * 1e9;
    assert!((exact - cubic_mm).abs() <= 1e-4 * cubic_mm, "{exact} {cubic_mm}");
}

#[test]
fn a_shrinkage_out_of_bounds_is_refused() {
    let folder = copied();
    for percent in ["10.5", "-1", "one", "nan"] {
        let out = folder.path().join("bar.stl").display().to_string();
        let (status, _, err) =
            run(&folder.path().join(BAR), &[&format!("--shrinkage={percent}"), "--stl", &out]);
        assert_eq!(status, 2, "{percent}");
        assert!(err.contains("it is a number from 0 to 10"), "{err}");
    }
    assert!(written(&folder).is_empty());
}

#[test]
fn no_file_takes_the_place_of_a_sheet() {
    let folder = copied();
    let before = fs::read(folder.path().join(CAP)).expect("the sheet");
    for flag in ["--pdf", "--stl"] {
        for out in [CAP, "other.toml"] {
            let place = folder.path().join(out).display().to_string();
            let (status, out, err) = run(&folder.path().join(CAP), &[flag, &place]);
            assert_eq!((status, out.as_str()), (2, ""));
            assert!(err.contains("would take the place of a sheet"), "{err}");
        }
    }
    assert_eq!(fs::read(folder.path().join(CAP)).expect("the sheet"), before);
    assert!(written(&folder).is_empty());
}

#[test]
fn drawing_and_pattern_are_two_files() {
    let folder = copied();
    let out = folder.path().join("one.pdf");
    let out = out.to_str().expect("text");
    let (status, _, said) = run(&folder.path().join("HP-0231-horn-cap.toml"), &["--pdf", out, "--stl", out]);
    assert_eq!(status, 2);
    assert!(said.contains("name the same file") && said.contains("hint: name two"), "{said}");
    assert!(!folder.path().join("one.pdf").exists());
}

#[test]
fn no_file_takes_the_place_of_the_mesh_that_the_sheet_names() {
    let folder = copied();
    let mesh = folder.path().join("HP-0240-horn.stl");
    let before = fs::read(&mesh).expect("the mesh");
    let (status, _, err) = run(&folder.path().join(MESH), &["--stl", &mesh.display().to_string()]);
    assert!(status == 2 && err.contains("would take the place of the mesh"), "{err}");
    assert_eq!(fs::read(&mesh).expect("the mesh"), before);
}

#[test]
fn without_a_piece_nothing_is_written_and_that_is_said() {
    let folder = copied();
    let [pdf, stl] = ["rib.pdf", "rib.stl"].map(|name| folder.path().join(name).display().to_string());
    let (status, out, err) = run(&folder.path().join(RIB), &["--pdf", &pdf, "--stl", &stl]);
    assert_eq!(status, 1);
    assert!(out.contains("No round bar will do"), "{out}");
    assert_eq!(err, "there is no piece, so --pdf wrote nothing there is no piece, so --stl wrote nothing");
    assert!(written(&folder).is_empty());
}

#[test]
fn where_one_file_cannot_be_made_none_is_written() {
    let folder = copied();
    let sheet = folder.path().join("thin.toml");
    // the skin over the hole is thinner than the flat sides of a pattern are near
    let text = "[weight]\nname = \"plug\"\nmoment = \"1 in-lb nose-heavy\"\nmaterial = \"lead\"\n[form]\nkind = \
                \"outline\"\noutline = [\"6 in forward, 0.4 in below\", \"6 in forward, 0.4 in above\", \
                \"7 in forward, 0.4 in above\", \"7 in forward, 0.4 in below\"]\nholes = [\"0.25 in diameter at \
                6.5 in forward, 0.27499 in above\"]\n[vary]\nwhat = \"span\"\nleast = \"0.1 in\"\nmost = \"6 in\"\n";
    fs::write(&sheet, text).expect("written");
    let [pdf, stl] = ["plug.pdf", "plug.stl"].map(|name| folder.path().join(name).display().to_string());
    let (status, out, err) = run(&sheet, &["--pdf", &pdf, "--stl", &stl]);
    assert_eq!((status, out.as_str()), (2, ""));
    assert!(err.contains("error: no pattern: the mesh cannot be made"), "{err}");
    assert_eq!(written(&folder), ["thin.toml"]);
    assert_eq!(run(&sheet, &["--pdf", &pdf]).0, 0, "its drawing alone can be made");
}

#[test]
fn a_mesh_lies_beside_its_sheet_wherever_the_call_is_made() {
    let (status, out, err) = weight(MESH);
    let out = plain(&out);
    assert_eq!((status, err.as_str()), (0, ""));
    for part in [
        "This measured piece gives 7.800 in-lb nose-heavy with its hardware: 0.050 in-lb more than the wanted 7.750",
        "HP-0240-horn.stl: text STL, 24 triangles, one unit 25.4 mm",
        "its axes: x aft, y outboard, z up",
        "screw hole 1, taken away, forward",
    ] {
        assert!(out.contains(part), "no “{part}” in {out}");
    }
}

#[test]
fn a_mesh_has_a_drawing_and_the_pattern_is_the_mesh_grown() {
    let folder = copied();
    let [pdf, stl] = ["horn.pdf", "horn-out.stl"].map(|name| folder.path().join(name).display().to_string());
    let (status, _, err) =
        run(&folder.path().join(MESH), &["--pdf", &pdf, "--stl", &stl, "--shrinkage", "2"]);
    assert_eq!(status, 0, "{err}");
    assert_eq!(written(&folder), ["horn-out.stl", "horn.pdf"]);
    let (_, out, _) = run(&folder.path().join(MESH), &["--json"]);
    let answer: Value = serde_json::from_str(&out).expect("JSON");
    let number = |name: &str| answer.pointer(name).and_then(Value::as_f64).expect("a number");
    let wanted =
        number("/solution/as_cast/mass_kg") / number("/material/density_kg_m3") * 1e9 * 1.02_f64.powi(3);
    assert!((volume(&folder.path().join("horn-out.stl")) / wanted - 1.0).abs() < 1e-5);
}

#[test]
fn a_frustum_and_a_left_hand_piece_have_patterns() {
    let folder = copied();
    let sheet = folder.path().join("plug.toml");
    let text = "[weight]\nname = \"plug\"\nmoment = \"1 in-lb nose-heavy\"\nmaterial = \"lead\"\n[form]\nkind = \
                \"frustum\"\nhand = \"left\"\nfront_diameter = \"0.6 in\"\nrear_diameter = \"0.8 in\"\narm = \"5 in\"\n\
                side = \"forward\"\nalong = \"1 in\"\n[vary]\nwhat = \"depth\"\nleast = \"1/2 in\"\nmost = \"6 in\"\n";
    fs::write(&sheet, text).expect("written");
    let stl = folder.path().join("plug.stl");
    let (status, _, err) = run(&sheet, &["--stl", &stl.display().to_string(), "--shrinkage", "0"]);
    assert_eq!(status, 0, "{err}");
    assert!(err.contains("of a left-hand surface, before holes"), "{err}");
    assert!(0.0 < volume(&stl), "turned outwards");
    // its axis is 1 in outboard, which is to the left
    let along = || triangles(&stl).into_iter().flatten().map(|corner| f64::from(corner[1]));
    let (low, high) = (along().fold(f64::INFINITY, f64::min), along().fold(f64::NEG_INFINITY, f64::max));
    assert!((f64::midpoint(low, high) + 25.4).abs() < 1e-3, "{low} to {high}");
}

#[test]
fn files_are_read_from_beside_the_sheet_alone() {
    for file in ["../HP-0240-horn.stl", "/etc/passwd", "./../x.stl", "a/../b.stl"] {
        let folder = copied();
        let sheet = changed(&folder, MESH, "HP-0240-horn.stl", file);
        let (status, _, err) = run(&sheet, &[]);
        assert_eq!(status, 2);
        assert!(err.contains("it does not lie beside the sheet"), "{err}");
    }
}

#[test]
fn a_mesh_that_is_not_there_or_a_folder_is_a_fault_at_its_name() {
    let folder = copied();
    let sheet = changed(&folder, MESH, "HP-0240-horn.stl", "horns.stl");
    let (status, _, err) = run(&sheet, &[]);
    assert_eq!(status, 2);
    assert!(err.contains("form, file: “horns.stl” cannot be had") && err.contains("13 | file ="), "{err}");
    fs::create_dir(folder.path().join("horns.stl")).expect("a folder");
    assert!(run(&sheet, &[]).2.contains("is no file"));
}

#[test]
fn a_sheet_that_is_not_there_is_no_job_sheet() {
    let (status, _, err) = weight("HP-0000-none.toml");
    assert_eq!(status, 2);
    assert!(err.contains("hint: name a sheet, a text file in TOML"), "{err}");
}

/// Only its size is looked at: it is not read.
#[test]
fn a_mesh_file_beyond_the_limit_is_refused_by_its_size() {
    let folder = copied();
    let file = fs::File::create(folder.path().join("HP-0240-horn.stl")).expect("a file");
    file.set_len((256 << 20) + 1).expect("a long file");
    let (status, _, err) = run(&folder.path().join(MESH), &[]);
    assert_eq!(status, 2);
    assert!(err.contains("has 257 MiB, more than the 256 MiB of the largest file"), "{err}");
}

#[test]
fn an_open_mesh_is_refused_with_all_other_faults() {
    let folder = copied();
    let text = fs::read_to_string(folder.path().join("HP-0240-horn.stl")).expect("the mesh");
    let open = text.split("endfacet\n").skip(1).collect::<Vec<_>>().join("endfacet\n");
    fs::write(folder.path().join("HP-0240-horn.stl"), format!("solid horn\n{open}")).expect("written");
    let sheet = changed(&folder, MESH, "material = ", "metal = ");
    let (status, out, err) = run(&sheet, &[]);
    assert_eq!((status, out.as_str()), (2, ""));
    for part in
        ["3 open edges", "mend the body in the drawing program", "weight has no material", "3 faults in"]
    {
        assert!(err.contains(part), "no “{part}” in {err}");
    }
}

#[test]
fn holes_are_told_with_what_the_weight_must_weigh_then() {
    let (status, out, err) = weight(HOLES);
    let out = plain(&out);
    assert_eq!((status, err.as_str()), (0, ""));
    for part in [
        "Drill 3 × 3/8 in at 6.600 in forward, 0.479 in deep at full diameter (0.591 in to the tip)",
        "0.4500 in-lb towards tail-heavy",
        "the surface then has its aim of 1.9 in-lb nose-heavy",
        "it must then weigh 0.8518 lb",
        "Lead: fume and dust are poisonous.",
    ] {
        assert!(out.contains(part), "no “{part}” in {out}");
    }
}

#[test]
fn holes_that_do_not_suffice_give_status_1() {
    let folder = copied();
    let sheet = changed(&folder, HOLES, "most_holes = 6", "most_holes = 2");
    let (status, out, _) = run(&sheet, &[]);
    assert_eq!(status, 1);
    assert!(
        out.contains("of that drill it would take 3 holes as deep, or 2 holes 0.849 in deep to the tip"),
        "{out}"
    );
    let (status, json, _) = call(hingeline().arg("weight").arg(&sheet).arg("--json"));
    let answer: Value = serde_json::from_str(&json).expect("JSON");
    assert_eq!((status, answer["standing"].as_str()), (1, Some("not enough")));
}

#[test]
fn a_sheet_of_holes_has_no_drawing() {
    let folder = copied();
    for flag in ["--pdf", "--stl"] {
        let place = folder.path().join("holes-out").display().to_string();
        let (status, _, err) = run(&folder.path().join(HOLES), &[flag, &place]);
        assert_eq!(status, 2);
        assert!(err.contains("this sheet drills an old weight out"), "{err}");
    }
    assert!(written(&folder).is_empty());
}

/// Where one of the files cannot be, none is written.
#[test]
fn no_file_takes_the_place_of_another_and_none_is_left_alone() {
    let folder = TempDir::new().expect("a folder");
    let at = |name: &str| folder.path().join(name);
    let call = |pdf: &Path, stl: &Path| {
        let sheet = demo("weights/HP-0231-horn-cap.toml");
        call(hingeline().arg("weight").arg(sheet).arg("--pdf").arg(pdf).arg("--stl").arg(stl))
    };
    let (status, out, said) = call(&at("x-upper.stl"), &at("x.stl"));
    assert_eq!((status, out.as_str()), (2, ""));
    assert!(said.contains("the drawing and a pattern would both be"), "{said}");
    let (status, _, said) = call(&at("o.pdf"), &at("nowhere/o.stl"));
    assert_eq!(status, 2);
    assert!(said.contains("there is no folder"), "{said}");
    let (status, _, said) = call(&at("o.pdf"), folder.path());
    assert_eq!(status, 2);
    assert!(said.contains("hint: "), "{said}");
    assert_eq!(fs::read_dir(folder.path()).expect("a folder").count(), 0);
}
