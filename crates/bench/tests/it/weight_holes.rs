//! Holes with a wider mouth, holes that meet, and holes that a casting has already when it is weighed.

use crate::sheets::told;
use crate::weight::{DEMO, casting, read};
use hingeline_bench::weight::{WeightSheet, answer};

/// The casting of the demo with two screw holes of 5 mm in its front.
fn bored(cast: &str, more: &str) -> String {
    let holes = "[[hole]]\nname = \"screw hole\"\ndiameter = \"5 mm\"\nfrom = \"front\"\ndepth = \"8 mm\"\npoint = \"118 deg\"\n\
        measured = \"full diameter\"\nalong = [\"1 in\", \"2 in\"]\n";
    let drain = "[[hole]]\nname = \"drain hole\"\ndiameter = \"4 mm\"\nfrom = \"top\"\ndepth = \"through\"\n\
        arm = \"6.25 in\"\nside = \"forward\"\nalong = [\"1.5 in\"]\n";
    format!("{}{more}{holes}{drain}", casting(cast))
}

fn excess_g(text: &str) -> f64 {
    1000.0 * answer(&read(text)).trim.expect("a casting").excess_kg.expect("it is judged")
}

/// g that a hole takes by the table of parts.
fn taken_g(text: &str, name: &str) -> f64 {
    let piece = answer(&read(text)).solution.expect("a piece");
    let holes = piece.parts.iter().filter(|part| part.name.starts_with(name));
    -1000.0 * holes.map(|part| part.mass_kg).sum::<f64>()
}

fn refused(text: &str) -> String {
    told(&WeightSheet::parse(text).expect_err("a fault"))
}

#[test]
fn a_hole_that_is_in_the_casting_already_does_not_come_again() {
    let to_come = bored("345.6 g", "");
    let gone = taken_g(&to_come, "drain hole");
    assert!((1.0..5.0).contains(&gone), "{gone}");
    let reads = format!("{} g", 345.6 - gone);
    let made = bored(&reads, "").replace(
        &format!("mass = \"{reads}\""),
        &format!("mass = \"{reads}\"\nholes_made = [\"drain hole\"]"),
    );
    // Its arm is not that of the piece; the sheet takes it for the reckoned one before the hole.
    assert!(
        (excess_g(&made) - excess_g(&to_come)).abs() <= 1e-9,
        "{} {}",
        excess_g(&made),
        excess_g(&to_come)
    );
    assert!((excess_g(&bored(&reads, "")) - excess_g(&to_come) + gone).abs() <= 1e-9);
    let trim = |text: &str| answer(&read(text)).trim.expect("a casting");
    assert!((1000.0 * trim(&made).mass_kg.expect("a mass") - 345.6 + gone).abs() <= 1e-9);
    let reading = |text: &str| 1000.0 * trim(text).ways[2].scale_reads_kg.expect("the file");
    assert!((reading(&to_come) - reading(&made) - gone).abs() <= 1e-9);
}

#[test]
fn a_hole_stays_made_and_one_name_stands_for_all_of_its_table() {
    let first = bored("345.6 g", "");
    let gone = taken_g(&first, "screw hole");
    let second = |mass: f64, more: &str| format!("[[cast]]\nmass = \"{mass} g\"\n{more}");
    let plain = bored("345.6 g", &second(340.0, ""));
    let made = "holes_made = [\"screw hole\"]\n";
    assert!((excess_g(&bored("345.6 g", &second(340.0 - gone, made))) - excess_g(&plain)).abs() <= 1e-9);
    let later = second(341.0 - gone, made) + &second(340.0 - gone, "");
    assert!((excess_g(&bored("345.6 g", &later)) - excess_g(&plain)).abs() <= 1e-9);
    let one = second(340.0 - gone / 2.0, "holes_made = [\"screw hole 2\"]\n");
    assert!((excess_g(&bored("345.6 g", &one)) - excess_g(&plain)).abs() <= 1e-9);
}

#[test]
fn a_hole_that_the_sheet_has_not_is_told_with_those_it_has() {
    let told = refused(&bored("345.6 g", "[[cast]]\nmass = \"340 g\"\nholes_made = [\"rod hole\"]\n"));
    assert!(told.contains("no hole is called “rod hole”"), "{told}");
    assert!(told.contains("screw hole 1, screw hole 2, drain hole"), "{told}");
    let bare =
        casting("345.6 g").replace("mass = \"345.6 g\"", "mass = \"345.6 g\"\nholes_made = [\"rod hole\"]");
    assert!(refused(&bare).contains("the sheet has no [[hole]]"));
}

/// π/4 (D² − d²) h of lead with 6 % antimony; D 10 mm, d 5 mm, h 4 mm.
#[test]
fn a_counterbore_counts_with_its_hole() {
    let hole = |more: &str| {
        format!(
            "{}\n[[hole]]\nname = \"screw hole\"\ndiameter = \"5 mm\"\nfrom = \"top\"\ndepth = \"through\"\n{more}\
             arm = \"63 mm\"\nside = \"forward\"\nalong = [\"120 mm\"]\n",
            DEMO[0].1
        )
    };
    let bored = hole("counterbore = \"10 mm\"\ncounterbore_depth = \"4 mm\"\n");
    let more = taken_g(&bored, "screw hole") - taken_g(&hole(""), "screw hole");
    let by_hand = std::f64::consts::PI / 4.0 * (1.0 - 0.25) * 0.4 * 10.886;
    assert!((more - by_hand).abs() <= 1e-4 * by_hand, "{more} {by_hand}");
    let both = hole("counterbore = \"10 mm\"\ncountersink_angle = \"100 deg\"\n");
    let told = refused(&both);
    assert!(told.contains("has counterbore but no counterbore_depth"), "{told}");
    assert!(told.contains("has countersink_angle but no countersink"), "{told}");
    let heads = "counterbore = \"10 mm\"\ncounterbore_depth = \"4 mm\"\ncountersink = \"9 mm\"\ncountersink_angle = \"100 deg\"\n";
    assert!(refused(&hole(heads)).contains("has a counterbore and a countersink"));
}

#[test]
fn holes_that_run_into_each_other_stop_the_piece() {
    let across = "\n[[hole]]\nname = \"cross hole\"\ndiameter = \"5 mm\"\nfrom = \"top\"\ndepth = \"through\"\narm = \"63 mm\"\n\
        side = \"forward\"\nalong = [\"200 mm\"]\n";
    let stopped = answer(&read(&format!("{}{across}", DEMO[0].1))).stopped.expect("no piece");
    assert!(
        stopped.what.contains("holes “bolt hole 2” and “cross hole” run into each other"),
        "{}",
        stopped.what
    );
    assert!(stopped.hint.contains("counterbore"), "{}", stopped.hint);
}
