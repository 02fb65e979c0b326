//! Inserts for a casting that is too light, threads that strip, and the root of the arm, worked by hand.

use crate::sheets::told;
use crate::weight::read;
use hingeline_bench::weight::result::{FasteningPart, MarginPart};
use hingeline_bench::weight::{Standing, WeightAnswer, WeightSheet, answer, words, work};

/// A bar of 20 × 20 × 100 mm of 11.0 g/cm³: 440 g, 70 mm ahead of the hinge line, from 0 to 100 mm along it.
pub(crate) const BAR: &str = r#"
[weight]
name = "bar"
moment = "30.8 kg·mm nose-heavy"
material = "lead of this shop"
density = "11.0 g/cm³"

[form]
kind = "bar"
depth = "20 mm"
height = "20 mm"
span = "100 mm"
face = "rear"
arm = "60 mm"
side = "forward"
"#;

/// 10 g too light.
pub(crate) const LIGHT: &str = r#"
[[cast]]
mass = "430.0 g"

[trim]
tolerance = "0.5 g"
resolution = "0.01 g"

[[insert]]
material = "tungsten of this shop"
density = "18.0 g/cm³"
arm = "80 mm"
side = "forward"
diameters = ["8 mm", "10 mm", "12 mm"]
longest = "20 mm"
"#;

/// Two AN4 bolts 30 mm to either side of the middle of the bar, along x.
pub(crate) const HELD: &str = r#"
[fastening]
bolt = "AN4"
weight_lies = "forward"
heel = "9 mm"

[[bolt]]
arm = "60 mm"
side = "forward"
along = "20 mm"

[[bolt]]
arm = "60 mm"
side = "forward"
along = "80 mm"
"#;

pub(crate) const THREAD: &str = r#"
[[thread]]
name = "bolt in lead"
thread = "1/4-28 UNF-2B"
engagement = "1/4 in"
external_strength = "75 ksi"
external_source = "drawing of the bolt"
cut_in = "lead"
"#;

pub(crate) const ROOT: &str = r#"
[root]
arm = "20 mm"
side = "forward"
along = "50 mm"
arm_runs = "forward"
arm_mass = "100 g"
arm_mass_beyond = "25 mm"
section_width = "12 mm"
section_height = "25 mm"
strength = "620 MPa"
source = "drawing 55-210"
"#;

fn near(found: f64, by_hand: f64) {
    assert!((found - by_hand).abs() <= 1e-5 * by_hand.abs(), "{found} for {by_hand}");
}

fn with(parts: &[&str]) -> WeightAnswer {
    answer(&read(&(BAR.to_owned() + &parts.concat())))
}

fn faults(parts: &[&str]) -> String {
    told(&WeightSheet::parse(&(BAR.to_owned() + &parts.concat())).expect_err("faults"))
}

/// Lacking 10 g at 70 mm; at 80 mm that is 10 × 70/80 = 8.75 g. V = 8.75/(18 − 11) = 1.25 cm³ of insert, 22.5 g.
/// 8 mm across it would be 1250/50.26548 = 24.868 mm long, above 20 mm; 10 mm: 1250/78.53982 = 15.91549 mm.
/// The scale then reads 430 + 8.75 = 438.75 g.
#[test]
fn an_insert_makes_a_light_casting_good() {
    let worked = work(read(&format!("{BAR}{LIGHT}")));
    assert_eq!(worked.standing(), Standing::TooLight);
    let trim = WeightAnswer::of(&worked).trim.expect("a casting");
    let [insert] = trim.inserts.as_slice() else { panic!("{:?}", trim.inserts) };
    near(insert.gain_kg.expect("a gain"), 0.008_75);
    near(insert.mass_kg.expect("a mass"), 0.0225);
    near(insert.diameter_m.expect("a diameter"), 0.01);
    near(insert.hole_full_depth_m.expect("a depth"), 0.015_915_49);
    near(insert.hole_tip_depth_m.expect("a tip"), 0.015_915_49);
    near(insert.scale_reads_kg.expect("a reading"), 0.438_75);
    let lines = words::trim(&worked).join("\n");
    assert!(lines.contains("insert of tungsten of this shop: drill 10.0"), "{lines}");
    assert!(lines.contains("flat bottom") && lines.contains("the scale must then read 438.75 g"), "{lines}");
    assert!(lines.contains("whether there is enough metal round the hole"), "{lines}");
}

/// The cone of a 10 mm drill at 118°: 5/tan 59° = 3.004303 mm high, 78.65201 mm³, 0.8651721 g of the bar's metal.
/// V = (8.75 + 0.8651721)/7 = 1.373596 cm³: 17.48917 mm long, 20.49347 mm to the tip.
#[test]
fn the_cone_of_the_drill_counts() {
    let trim = with(&[LIGHT, "point = \"118 deg\"\n"]).trim.expect("a casting");
    let insert = &trim.inserts[0];
    near(insert.hole_full_depth_m.expect("a depth"), 0.017_489_17);
    near(insert.hole_tip_depth_m.expect("a tip"), 0.020_493_47);
}

#[test]
fn an_insert_that_will_not_do_says_why_and_a_tabled_one_names_its_source() {
    let steel = LIGHT.replace("tungsten of this shop", "steel").replace("density = \"18.0 g/cm³\"\n", "");
    let worked = work(read(&format!("{BAR}{steel}")));
    let lines = words::trim(&worked).join("\n");
    assert!(lines.contains("insert of steel: no, it is no denser than the metal"), "{lines}");
    let short = LIGHT.replace("longest = \"20 mm\"", "longest = \"5 mm\"");
    let lines = words::trim(&work(read(&format!("{BAR}{short}")))).join("\n");
    assert!(lines.contains("even the widest would have to be 11.05"), "{lines}");
    let tabled = steel.replace("\"steel\"", "\"tungsten alloy class 3\"");
    let answer = with(&[&tabled]);
    let insert = &answer.trim.as_ref().expect("a casting").inserts[0];
    assert!(answer.sources.iter().any(|source| source.key == insert.source && source.citation.is_some()));
}

#[test]
fn a_casting_that_is_not_too_light_has_no_inserts() {
    let trim = with(&[&LIGHT.replace("430.0 g", "440.0 g")]).trim.expect("a casting");
    assert!(trim.inserts.is_empty() && trim.state == "inside tolerance");
}

fn margin<'a>(part: &'a FasteningPart, check: &str, load: &str) -> &'a MarginPart {
    let found = part.margins.iter().find(|margin| margin.check == check && margin.load == load);
    found.unwrap_or_else(|| panic!("{:?}", part.margins))
}

/// 12 g forward: 0.44 × 12 × 9.80665 = 51.77911 N, 25.88956 N on each bolt.
/// 1/4-28 class 2 over 1/4 in: shear areas 0.09338 and 0.13033 in² (the row of checks/threads): the bolt's own thread
/// strips at 0.09338 × 75 000 = 7004 lbf, the lead at 84.084 mm² × 12.5 MPa = 1051.1 N.
/// M.S. 1051.1/(1.5 × 1.15 × 25.88956) − 1 = 22.536.
#[test]
fn a_thread_in_lead_strips_at_the_worked_load() {
    let answer = with(&[HELD, THREAD]);
    let part = answer.fastening.as_ref().expect("a fastening");
    let margin = margin(part, "stripping of bolt in lead", "12 g fore and aft, forward");
    near(margin.applied, 25.889_56);
    assert!((margin.allowable - 1051.1).abs() < 0.5, "{}", margin.allowable);
    assert!((margin.margin - 22.536).abs() < 0.02, "{}", margin.margin);
    assert_eq!((margin.source.as_str(), margin.grade), ("LEAD-SHEAR", "from memory, to be looked up"));
    let thread = &part.threads[0];
    assert_eq!((thread.thread, thread.class), ("1/4-28 UNF", "class 2A/2B"));
    assert!((thread.external_shear_area_m2 / 645.16e-6 - 0.09338).abs() < 0.00001);
    assert!((thread.internal_shear_area_m2 / 645.16e-6 - 0.13033).abs() < 0.00001);
    for key in ["ASME-B1.1", "LEAD-SHEAR"] {
        assert!(answer.sources.iter().any(|source| source.key == key && source.citation.is_some()), "{key}");
    }
    let lines = words::fastening(&work(read(&[BAR, HELD, THREAD].concat())));
    let line = |what: &str| lines.iter().find(|line| line.contains(what)).expect(what);
    assert!(line("creeps under a steady pull").contains("bolt in lead"));
    assert!(
        line("the thread strips at 1051 N, before the bolt breaks").ends_with("for the engineer to confirm")
    );
    assert!(line("thread, bolt in lead: 1/4-28 UNF").contains("[ASME-B1.1, computed from figures read]"));
}

/// A hard metal is as strong as the drawing says: 84.084 mm² × 40 ksi (275.790 MPa) = 23 190 N, 0.09338 in² × 75 ksi
/// = 7004 lbf = 31 153 N: the internal thread is the weaker.
#[test]
fn a_thread_in_hard_metal_needs_its_strength() {
    let hard = THREAD.replace("\"lead\"", "\"hard metal\"");
    assert!(faults(&[HELD, &hard]).contains("has no internal_strength"), "{}", faults(&[HELD, &hard]));
    let own = format!("{hard}internal_strength = \"40 ksi\"\ninternal_source = \"drawing of the insert\"\n");
    let answer = with(&[HELD, &own]);
    let part = answer.fastening.as_ref().expect("a fastening");
    assert!((part.threads[0].strips_at_n - 23_190.0).abs() < 3.0, "{}", part.threads[0].strips_at_n);
    let margin = margin(part, "stripping of bolt in lead", "12 g fore and aft, forward");
    assert_eq!((margin.source.as_str(), margin.grade), ("drawing of the insert", "as entered"));
}

#[test]
fn a_thread_that_is_none_is_told_with_what_is_allowed() {
    let said = faults(&[HELD, &THREAD.replace("1/4-28 UNF-2B", "1/4-30")]);
    assert!(said.contains("“1/4-30” is not a thread of the table") && said.contains("10-32 UNF, "), "{said}");
    let said = faults(&[HELD, &THREAD.replace("1/4-28 UNF-2B", "M5x0.8-2B")]);
    assert!(said.contains("M5 has no such class") && said.contains("6g/6H for metric"), "{said}");
}

/// 24 g up: the bar 0.44 × 24 × 9.80665 = 103.5582 N, 50 mm beyond the root; the arm 0.1 × 24 × 9.80665 = 23.53596 N,
/// 25 mm beyond it. Bending 5.177911 + 0.588399 = 5.766310 N m, shear 127.0942 N.
/// Z = 12 × 25²/6 = 1250 mm³: 4.613048 MPa. M.S. 620/(1.725 × 4.613048) − 1 = 76.9138.
#[test]
fn the_root_of_the_arm_carries_the_worked_load() {
    let bar = with(&[HELD, ROOT]);
    let moduli =
        "section_modulus = \"1250 mm³\"\nsection_modulus_across = \"600 mm³\"\nsection_area = \"300 mm²\"\n";
    let drawn = ROOT.replace("section_width = \"12 mm\"\nsection_height = \"25 mm\"\n", moduli);
    for answer in [bar, with(&[HELD, &drawn])] {
        let part = answer.fastening.expect("a fastening");
        let root =
            part.root.iter().find(|root| root.load == "24 g normal to the surface, up").expect("a load");
        near(root.bending_nm, 5.766_310);
        near(root.shear_n, 127.0942);
        assert!(root.torsion_nm.abs() < 1e-9 && root.axial_n.abs() < 1e-9);
        near(root.stress_pa.expect("a stress"), 4.613_048e6);
        let margin = margin(&part, "root of the arm", "24 g normal to the surface, up");
        near(margin.margin, 76.9138);
        assert_eq!((margin.source.as_str(), margin.grade), ("drawing 55-210", "as entered"));
    }
    let lines = words::fastening(&work(read(&[BAR, HELD, ROOT].concat()))).join("\n");
    assert!(lines.contains("24 g normal to the surface: root of the arm: bending 5.77 N m"), "{lines}");
}

#[test]
fn a_root_without_a_section_has_its_load_and_no_margin() {
    let (load, _) = ROOT.split_once("section_width").expect("a section");
    let part = with(&[HELD, load]).fastening.expect("a fastening");
    assert!(part.root.len() == 6 && part.root.iter().all(|root| root.stress_pa.is_none()));
    assert!(part.margins.iter().all(|margin| margin.check != "root of the arm"));
}

#[test]
fn half_a_section_is_told() {
    let said = |from: &str, to: &str| faults(&[HELD, &ROOT.replacen(from, to, 1)]);
    assert!(said("section_height = \"25 mm\"\n", "").contains("root has no section_height"));
    assert!(said("strength = \"620 MPa\"\n", "").contains("root has no strength"));
    assert!(said("section_width = \"12 mm\"\nsection_height = \"25 mm\"\n", "").contains("no section"));
    assert!(said("arm_mass_beyond = \"25 mm\"\n", "").contains("root has no arm_mass_beyond"));
    let moduli =
        "section_modulus = \"1250 mm³\"\nsection_modulus_across = \"600 mm³\"\nsection_area = \"300 mm²\"\n";
    assert!(said("strength = ", &format!("{moduli}strength = ")).contains("root has two sections"));
}
