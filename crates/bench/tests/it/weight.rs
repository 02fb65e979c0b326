//! The weight sheet: what is found, what is said of a casting, and every way of being wrong.

use crate::sheets::told;
use hingeline_bench::weight::{Standing, WeightAnswer, WeightSheet, answer, words, work};
use proptest::prelude::*;

macro_rules! demo {
    ($name:literal) => {
        ($name, include_str!(concat!("../../../../demo/weights/", $name, ".toml")))
    };
}

pub(crate) const DEMO: [(&str, &str); 5] = [
    demo!("HP-0228-aileron-bar"),
    demo!("HP-0231-horn-cap"),
    demo!("HP-0235-rudder-plates"),
    demo!("HP-0236-casting"),
    demo!("HP-0231-rib-bar"),
];

/// A sheet that names a file.
pub(crate) const MESH: &str = include_str!("../../../../demo/weights/HP-0240-horn-mesh.toml");
/// A sheet that drills an old weight out.
pub(crate) const DRILL_OUT: &str = include_str!("../../../../demo/weights/HP-0241-drill-out.toml");

/// The file of the demo, under any name.
pub(crate) fn horn(_: &str) -> Result<Vec<u8>, String> {
    Ok(include_bytes!("../../../../demo/weights/HP-0240-horn.stl").to_vec())
}

/// The casting of the demo with another reading of the scale.
pub(crate) fn casting(reads: &str) -> String {
    DEMO[3].1.replace("353.4 g", reads)
}

pub(crate) fn read(text: &str) -> WeightSheet {
    WeightSheet::parse(text).unwrap_or_else(|faults| panic!("{}", told(&faults)))
}

fn sum(answer: &WeightAnswer) -> f64 {
    let piece = answer.solution.as_ref().expect("a piece");
    piece.parts.iter().map(|part| part.mass_kg * part.arm_m).sum()
}

#[test]
fn parts_of_a_found_piece_make_the_wanted_moment() {
    for (name, text) in [DEMO[0], DEMO[1], DEMO[3]] {
        let answer = answer(&read(text));
        let wanted = answer.head.wanted.moment_kg_m;
        assert!((sum(&answer) - wanted).abs() <= 1e-9 * wanted.abs(), "{name}: {} {wanted}", sum(&answer));
    }
}

#[test]
fn plates_give_enough_with_less_than_a_plate_beyond_it() {
    let answer = answer(&read(DEMO[2].1));
    let piece = answer.solution.as_ref().expect("a stack");
    let (wanted, short) = (answer.head.wanted.moment_kg_m, piece.remaining_kg_m);
    assert!((sum(&answer) + short - wanted).abs() <= 1e-9 * wanted.abs());
    let one_more = piece.as_cast.moment_kg_m / f64::from(piece.plates.expect("plates"));
    let beyond = -short / wanted;
    assert!((-1e-9..one_more / wanted).contains(&beyond), "{beyond}");
}

#[test]
fn halves_make_the_whole() {
    let answer = answer(&read(DEMO[1].1));
    let piece = answer.solution.expect("a cap");
    let halves: f64 = piece.halves.iter().map(|half| half.moment_kg_m).sum();
    assert_eq!(piece.halves.len(), 2);
    assert!((halves - piece.as_cast.moment_kg_m).abs() <= 1e-12);
}

#[test]
fn a_trace_walked_the_other_way_gives_the_same_cap() {
    let backward = DEMO[1]
        .1
        .replace(" above\",", " ABOVE\",")
        .replace(" below\",", " above\",")
        .replace(" ABOVE\",", " below\",");
    assert_ne!(backward, DEMO[1].1);
    let value = |text: &str| answer(&read(text)).solution.expect("a cap").value_m.expect("a thickness");
    assert!((value(&backward) - value(DEMO[1].1)).abs() <= 1e-12);
}

#[test]
fn shares_of_the_uncertainty_make_one() {
    let piece = answer(&read(DEMO[1].1)).solution.expect("a cap");
    let shares: f64 = piece.contributions.iter().map(|one| one.share).sum();
    assert!((shares - 1.0).abs() <= 1e-12);
}

#[test]
fn following_the_saw_and_then_the_file_comes_inside_tolerance() {
    let mut text = DEMO[3].1.to_owned();
    for tool in ["saw", "file"] {
        let answer = answer(&read(&text));
        let trim = answer.trim.expect("a casting");
        assert_eq!(trim.state, "to trim");
        let way = trim.ways.iter().find(|way| way.tool == tool).expect("the tool");
        let reads = way.scale_reads_kg.expect("a way") * 1000.0;
        text += &format!("[[cast]]\nmass = \"{reads:.1} g\"\n");
    }
    let worked = work(read(&text));
    assert_eq!(worked.standing(), Standing::Solved);
    assert_eq!(WeightAnswer::of(&worked).trim.expect("a casting").state, "inside tolerance");
}

#[test]
fn a_casting_that_is_too_light_has_remedies_and_no_ways() {
    let worked = work(read(&casting("300.0 g")));
    assert_eq!(worked.standing(), Standing::TooLight);
    let trim = WeightAnswer::of(&worked).trim.expect("a casting");
    assert!(trim.ways.is_empty() && trim.remedies.len() == 2);
}

#[test]
fn a_shortfall_says_what_is_lacking() {
    let worked = work(read(DEMO[4].1));
    assert_eq!(worked.standing(), Standing::NoPiece);
    let short = WeightAnswer::of(&worked).stopped.expect("no piece").shortfall.expect("a shortfall");
    assert_eq!(short.limit, "the capacity of the station");
    // 0.25 lb at 3.1 in of 3.78 in-lb.
    assert!((short.lacking_percent - 100.0 * (1.0 - 0.25 * 3.1 / 3.78)).abs() < 1e-6);
}

#[test]
fn a_piece_on_the_wrong_side_is_told_so() {
    let aft = DEMO[4].1.replace("side = \"forward\"", "side = \"aft\"");
    let worked = work(read(&aft));
    assert!(words::headline(&worked).contains("it lies on the wrong side of the hinge line"));
    assert!(words::stopped(&worked).iter().any(|line| line.contains("look at the side of the form")));
}

#[test]
fn a_piece_without_room_says_what_it_has_and_what_is_allowed() {
    let wide = DEMO[4].1.replace("diameter = \"3/4 in\"", "diameter = \"2 in\"");
    let said = words::headline(&work(read(&wide)));
    assert!(
        said.contains("the capacity of the station: it has 0.6") && said.contains("allowed: 0.2500 lb"),
        "{said}"
    );
}

#[test]
fn a_smallest_piece_that_gives_too_much_says_so() {
    let large = DEMO[4].1.replace("least = \"1/2 in\"", "least = \"5 in\"").replace("0.25 lb", "9 lb");
    let little = large.replace("1.78 in-lb tail-heavy", "1.78 in-lb nose-heavy");
    let said = words::headline(&work(read(&little)));
    assert!(
        said.contains("the smallest allowed, 5.000 in long") && said.contains("already, more than 0.2200"),
        "{said}"
    );
}

#[test]
fn a_casting_near_its_tolerance_is_left_to_the_file() {
    let lines = words::trim(&work(read(&casting("329.0 g"))));
    assert!(lines.contains(&"saw: no, the 0.9 g too much are for the file".to_owned()), "{lines:?}");
    assert!(lines.iter().any(|line| line.starts_with("file 0.000")), "{lines:?}");
}

#[test]
fn where_nothing_varies_the_piece_is_compared() {
    let text = DEMO[4].1.split("[vary]").next().expect("the first part").to_owned();
    let standing = |span: &str| work(read(&format!("{text}span = \"{span}\"\n"))).standing();
    assert_eq!(standing("6 in"), Standing::Short);
    assert_eq!(standing("7 in"), Standing::Solved);
}

#[test]
fn a_density_of_the_shop_takes_the_place_of_the_table() {
    let text = DEMO[4].1.replace("\n[form]", "density = \"18.0 g/cm³\"\n\n[form]");
    let sheet = read(&text);
    assert!((sheet.metal.density.kg_m3 - 18_000.0).abs() < 1e-9 && sheet.metal.grade == "as entered");
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 60,
        rng_seed: proptest::test_runner::RngSeed::Fixed(31),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn the_parts_of_any_bar_make_the_wanted_moment(moment in 0.5..4.0f64, arm in 40..90u32, screw in 1..30u32) {
        let text = format!(
            "[weight]\nname = \"bar\"\nmoment = \"{moment} kg·mm nose-heavy\"\nmaterial = \"lead\"\n\
             [form]\nkind = \"bar\"\ndepth = \"12 mm\"\nheight = \"12 mm\"\nface = \"front\"\narm = \"{arm} mm\"\n\
             side = \"forward\"\n[vary]\nwhat = \"span\"\nleast = \"0.01 mm\"\nmost = \"900 mm\"\n\
             [[hardware]]\nname = \"screw\"\nmass = \"{} g\"\nbehind_front = \"2 mm\"\n\
             [[coating]]\nname = \"epoxy primer\"\n",
            f64::from(screw) / 10.0
        );
        let answer = answer(&read(&text));
        let wanted = answer.head.wanted.moment_kg_m;
        prop_assert!((sum(&answer) - wanted).abs() <= 1e-9 * wanted.abs());
    }

    #[test]
    fn any_text_is_read_or_refused(text in ".{0,200}", at in 0usize..2000) {
        let mut sheet = DEMO[1].1.to_owned();
        let at = sheet.floor_char_boundary(at.min(sheet.len()));
        sheet.insert_str(at, &text);
        if let Err(faults) = WeightSheet::parse(&sheet) {
            prop_assert!(!faults.faults.is_empty());
        }
    }
}

/// The demo's cap with one text in it changed for another.
fn check(from: &str, to: &str, parts: &[&str]) {
    check_in(DEMO[1].1, from, to, parts);
}

fn check_in(text: &str, from: &str, to: &str, parts: &[&str]) {
    assert!(text.contains(from), "the sheet holds no {from}");
    let said = told(&WeightSheet::parse(&text.replacen(from, to, 1)).expect_err("a fault"));
    for part in parts {
        assert!(said.contains(part), "no “{part}” in:\n{said}");
    }
}

#[test]
fn tables_and_keys() {
    check("[weight]", "[wait]", &["the sheet has no [weight]", "did you mean “weight”?"]);
    check("[form]", "[from]", &["the sheet has no [form]", "unknown key “from”"]);
    check("span = ", "spam = ", &["form has no span", "did you mean “span”?"]);
    check("kind = \"cap\"", "kind = \"cup\"", &["“cup” is not a choice", "write kind = \"cap\""]);
    check("least = \"1/16 in\"", "least = \"1/2 in\"", &["least 1/2 in is not below most 3/8 in"]);
    check("what = \"thickness\"", "what = \"span\"", &["form has no thickness", "or let it vary"]);
    check(
        "[vary]\nwhat = \"thickness\"",
        "thickness = \"1/8 in\"\n[vary]\nwhat = \"depth\"",
        &["a cap has no depth that may vary"],
    );
}

#[test]
fn the_wish() {
    check("tail-heavy\"\naim", "\"\naim", &["weight, measured: 1.78 in-lb does not say its side"]);
    check("aim = ", "moment = ", &["weight has both moment and measured with aim", "weight has no aim"]);
}

#[test]
fn nothing_wanted() {
    check("\"1.78 in-lb tail-heavy\"", "\"2.0 in-lb nose-heavy\"", &["nothing is wanted, the moment is 0"]);
    check("old_side = \"forward\"\n", "", &["weight has no old_side"]);
}

#[test]
fn metals() {
    check(
        "lead, 4 % antimony",
        "tungsten aloy class 3",
        &[
            "“tungsten aloy class 3” is not a known material\n",
            "allowed: lead, antimony, steel, 4130 steel",
            "hint: write material = \"tungsten alloy class 3\", or give density",
        ],
    );
    check("lead, 4 % antimony", "zzz", &["hint: give density = \"11.0 g/cm³\" with a name of your own"]);
    check("lead, 4 % antimony", "antimonial lead", &["does not say how much antimony"]);
    check("lead, 4 % antimony", "lead, 20 % antimony", &["antimony is 20 % by mass"]);
    check(
        "\"lead, 4 % antimony\"",
        "\"lead\"\ndensity = \"11.34\"",
        &["“11.34” is not a density with its unit", "g/cm³, kg/m³, lb/in³"],
    );
    check(
        "\"lead, 4 % antimony\"",
        "\"lead\"\ndensity = \"11340 g/cm³\"",
        &["density is 11340 g/cm³", "no metal is denser"],
    );
}

#[test]
fn points_and_traces() {
    check("\"5.6 in forward, 0.45 in above\"", "\"5.6 in, 0.45 in\"", &["does not say on which side"]);
    check("\"5.6 in forward, 0.45 in above\"", "\"5.6 in forward\"", &["has no height"]);
    check("\"5.6 in forward, 0.45 in above\"", "\"5.6 in forward, 0.45 in\"", &["does not say its side"]);
    check("\"5.6 in forward, 0.45 in above\"", "\"5.6 in forward, -0.45 in above\"", &["is out of range"]);
    check("\"5.6 in forward, 0.45 in above\"", "\"5.6 yd forward, 0 in\"", &["“yd” is not a known unit"]);
    check(" to 6.05 in forward, 0.45 in below", "", &["the arc does not say where it ends"]);
    check("arc through 6.5 in", "arc through 9.5 in aft, 1 in above to 6.5 in", &[]);
}

#[test]
fn traces_that_cannot_be() {
    check(
        "\"5.6 in forward, 0.45 in above\"",
        "\"arc through 1 in forward, 0 in to 2 in forward, 0 in\"",
        &["it does not begin with a point"],
    );
    let plates = DEMO[2].1;
    check_in(plates, "0.257 in diameter at 8.75", "0.257 in round at 8.75", &["is not a hole"]);
    check_in(plates, "at 8.75 in forward", "at 7 in forward", &["form, outline: hole 1 lies outside"]);
    check_in(plates, "\"8.4 in forward, 0.5 in above\"", "\"9.6 in forward, 0.6 in above\"", &["crosses"]);
}

#[test]
fn a_trace_that_crosses_itself_or_is_too_long_is_refused_at_its_key() {
    check(
        "\"5.6 in forward, 0.45 in above\",",
        "\"5.6 in forward, 0.45 in above\", \"6.5 in forward, 0.6 in below\", \"6.5 in forward, 0.6 in above\",",
        &["form, trace: it crosses or touches itself: edges 1 and 4"],
    );
    let many = "\"5.6 in forward, 0.45 in above\", ".repeat(200);
    check("\"5.6 in forward, 0.45 in above\",", &many, &["form, trace: 203 points", "up to 200"]);
}

/// About the hinge line, 80 mm along it: M = ρ s (2/3) (R³ − r³) sin β, with 11340 kg/m³ for lead.
const RING: &str = "[weight]\nname = \"ring\"\nmoment = \"50 kg·mm nose-heavy\"\nmaterial = \"lead\"\n\
    density = \"11340 kg/m³\"\n[form]\nkind = \"ring segment\"\ninner_radius = \"150 mm\"\n\
    from_angle = \"17 deg below\"\nto_angle = \"17 deg above\"\nspan = \"80 mm\"\n\
    [vary]\nwhat = \"thickness\"\nleast = \"1 mm\"\nmost = \"50 mm\"\n";

#[test]
fn a_ring_segment_has_the_thickness_of_its_closed_form() {
    let found = answer(&read(RING));
    let piece = found.solution.as_ref().expect("a piece");
    let wanted: f64 = 0.15_f64.powi(3) + 1.5 * 0.05 / (11_340.0 * 0.08 * 17_f64.to_radians().sin());
    assert!((piece.envelope.swing_m - wanted.cbrt()).abs() < 1e-9, "{}", piece.envelope.swing_m);
}

/// Moved forward by its centre, the same piece lies that much further forward; aft is the other way round.
#[test]
fn a_ring_segment_lies_about_its_centre() {
    let at = |from: &str, to: &str| {
        let solved = RING.replace("[vary]", &format!("thickness = \"9 mm\"\n{from}\n[vary]"));
        let (head, _) = solved.split_once("[vary]").expect("a table");
        let sheet = head.replace("17 deg below", to).replace("17 deg above", "170 deg below");
        let sheet = if to == "17 deg below" { head.to_owned() } else { sheet };
        answer(&read(&sheet)).solution.expect("a piece").as_cast.arm_m
    };
    let here = at("", "17 deg below");
    let forward = at("centre = \"40 mm forward, 10 mm above\"", "17 deg below");
    assert!((forward - here + 0.04).abs() < 1e-12, "{forward} {here}");
    assert!(0.15 < at("", "170 deg above"), "it lies aft");
}

#[test]
fn ring_segments_that_cannot_be() {
    let ring = |from: &str, to: &str, parts: &[&str]| check_in(RING, from, to, parts);
    ring("\"17 deg below\"", "\"17 deg\"", &["form, from_angle: the angle 17 deg does not say its side"]);
    ring("\"17 deg below\"", "\"190 deg below\"", &["190 deg is out of range", "up to 180 deg"]);
    ring(
        "\"17 deg below\"",
        "\"17 mm below\"",
        &["from_angle: “mm” is a unit of length, but an angle is wanted"],
    );
    ring("from_angle = \"17 deg below\"\n", "", &["form has no from_angle", "\"30 deg above\""]);
    ring("17 deg below", "17 deg above", &["upwards and on to 17 deg above is 0 deg", "change them over"]);
    let over = RING.replace("17 deg below", "18 deg above");
    check_in(&over, "18", "18", &["is 359 deg", "above 0 deg, up to 180 deg"]);
    ring("[vary]", "centre = \"40 mm, 0 mm\"\n[vary]", &["form, centre: ", "does not say on which side"]);
    ring("what = \"thickness\"", "what = \"depth\"", &["form has no thickness"]);
}

#[test]
fn a_frustum_is_not_parted() {
    let form = "[weight]\nname = \"x\"\nmoment = \"3 kg·mm nose-heavy\"\nmaterial = \"lead\"\n[form]\nkind = \"frustum\"\n\
                front_diameter = \"20 mm\"\nrear_diameter = \"30 mm\"\ndepth = \"40 mm\"\narm = \"100 mm\"\n\
                side = \"forward\"\n";
    check_in(form, "kind", "halves = \"at mid span\"\nkind", &["form, halves: a frustum is not parted"]);
}

#[test]
fn hardware_holes_and_coatings() {
    check("arm = \"5.85 in\"\nside = \"forward\"\n\n[[hole]]", "\n[[hole]]", &["has no place"]);
    check("arm = \"5.85 in\"", "behind_front = \"1 in\"\narm = \"5.85 in\"", &["has more than one place"]);
    check("count = 4", "count = 0", &["count is 0", "from 1 to 100"]);
    check("count = 4", "count = \"4\"", &["a whole number is wanted"]);
    check("depth = \"through\"", "depth = \"1/2 in\"", &["has no point", "has no measured"]);
    check("along = [\"0.8 in\", \"3.7 in\"]", "", &["hole “upper screw hole” has no along"]);
    check(
        "\"epoxy primer\"",
        "\"epoxi primer\"",
        &["is not in the table of coatings", "name = \"epoxy primer\""],
    );
    check("coats = 1", "coats = 11", &["coats is 11", "from 1 to 10"]);
    check("coats = 1", "film = \"0.02 mm\"", &["has no specific_gravity"]);
    check("coats = 1", "mass_per_area_within = \"1 g/m²\"", &["has no mass_per_area"]);
    check("[weight]", "[weight]\ncoverage_factor = 11", &["coverage_factor is 11", "from 0 to 10"]);
    check("[weight]", "[weight]\ncoverage_factor = \"2\"", &["a number is wanted"]);
}

#[test]
fn castings_tools_and_plates() {
    let cast = DEMO[3].1;
    check_in(cast, "[trim]", "[trimm]", &["the sheet has [[cast]] but no [trim]"]);
    check_in(cast, "diameters = [\"1/4 in\", \"5/16 in\", \"3/8 in\"]\n", "", &["has no diameters"]);
    check_in(cast, "resolution = \"0.1 g\"\n", "", &["trim has no resolution"]);
    check_in(cast, "ends = 2", "ends = 3", &["ends is 3"]);
    check_in(DEMO[2].1, "stock = ", "stick = ", &["vary has no stock"]);
    check_in(DEMO[2].1, "most_plates = 30\n", "", &["vary has no most_plates"]);
}

#[test]
fn lists_say_what_they_hold() {
    let drills = "diameters = [\"1/4 in\", \"5/16 in\", \"3/8 in\"]";
    let said = ["diameters holds no drill", "allowed: 1 to 100 drills", "enter at least one drill"];
    check_in(DEMO[3].1, drills, "diameters = []", &said);
    let many = format!("diameters = [{}]", "\"1/4 in\", ".repeat(101));
    check_in(
        DEMO[3].1,
        drills,
        &many,
        &["diameters holds 101 drills", "allowed: 1 to 100 drills", "leave out 1"],
    );
    let begins = DEMO[2].1.find("stock = [").expect("a list");
    let ends = begins + DEMO[2].1[begins..].find(']').expect("its end") + 1;
    check_in(DEMO[2].1, &DEMO[2].1[begins..ends], "stock = []", &["stock holds no plate"]);
}

#[test]
fn plates_that_are_not_counted() {
    let plates = DEMO[2].1.split("[vary]").next().expect("the first part");
    let fixed = plates.replace("[form]", "[form]\nthickness = \"1/8 in\"");
    check_in(&fixed, "thickness", "thickness", &["form has no count"]);
    let bar = DEMO[4].1.split("[vary]").next().expect("the first part");
    let bar =
        format!("{bar}span = \"1 in\"\n[vary]\nwhat = \"count\"\nstock = [\"1 mm\"]\nmost_plates = 3\n");
    check_in(&bar, "[vary]", "[vary]", &["a round bar has no plates to count"]);
}

#[test]
fn fastenings() {
    let bar = DEMO[0].1;
    check_in(bar, "bolt = \"AN4\"", "bolt = \"AN9\"", &["“AN9” is not a choice", "\"AN3\", \"AN4\""]);
    check_in(bar, "torque = \"6,2 N·m\"\n", "", &["fastening has no torque", "belong together"]);
    check_in(bar, "bearing_strength = \"600 MPa\"", "", &["has no bearing_strength"]);
    let out_of_plane = bar.replacen("along = \"200 mm\"", "along = \"210 mm\"", 1);
    let at = out_of_plane.rfind("arm = \"56 mm\"").expect("the second bolt");
    let (before, after) = out_of_plane.split_at(at);
    let text = format!("{before}{}", after.replacen("56 mm", "66 mm", 1));
    check_in(&text, "[weight]", "[weight]", &["fastening: bolt 2 stands 10 mm out of the plane"]);
}

#[test]
fn a_fastening_without_bolts() {
    let at = DEMO[0].1.find("[[bolt]]").expect("bolts");
    check_in(&DEMO[0].1[..at], "[weight]", "[weight]", &["the sheet has [fastening] but no bolt"]);
}
