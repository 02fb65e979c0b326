//! Holes with a wider mouth, holes that meet, and holes that a casting has already when it is weighed.

use crate::sheets::told;
use crate::weight::{DEMO, casting, read};
use hingeline_bench::weight::{WeightSheet, answer, words, work};

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
fn another_casting_begins_anew() {
    let again = |more: &str| format!("[[cast]]\nmass = \"345.6 g\"\n{more}");
    let alone = excess_g(&bored("345.6 g", ""));
    let made = "[[cast]]\nmass = \"290 g\"\nholes_made = [\"screw hole\"]\n";
    for before in ["", made] {
        let anew = bored("300 g", &format!("{before}{}", again("cast_again = true\n")));
        assert!((excess_g(&anew) - alone).abs() <= 1e-9, "{before}");
    }
    // Without the word the holes stay made.
    assert!((excess_g(&bored("300 g", &format!("{made}{}", again("")))) - alone).abs() > 1.0);
    assert!(refused(&bored("300 g", &again("cast_again = \"yes\"\n"))).contains("neither true nor false"));
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

/// Whether two holes meet is asked of every pair.
#[test]
fn a_sheet_has_a_bound_of_holes() {
    let sheet = |tables: u32, more: &str| {
        let places: Vec<String> = (0..50).map(|place| format!("\"{} mm\"", 20 * place)).collect();
        let row = |index: u32| {
            format!(
                "[[hole]]\nname = \"row {index}\"\ndiameter = \"1 mm\"\nfrom = \"top\"\ndepth = \"through\"\n\
                 arm = \"{} mm\"\nside = \"forward\"\nalong = [{}]\n",
                61 + 3 * index,
                places.join(", ")
            )
        };
        let rows: String = (0..tables).map(row).collect();
        format!(
            "[weight]\nname = \"bar\"\nmoment = \"1 kg·m nose-heavy\"\nmaterial = \"lead\"\n[form]\nkind = \"bar\"\n\
             depth = \"30 mm\"\nheight = \"10 mm\"\nspan = \"1 m\"\nface = \"rear\"\narm = \"60 mm\"\n\
             side = \"forward\"\n{rows}{more}"
        )
    };
    let end = "[[hole]]\nname = \"end\"\ndiameter = \"1 mm\"\nfrom = \"end\"\ndepth = \"2 mm\"\npoint = \"118 deg\"\n\
               measured = \"to the tip\"\narm = \"75 mm\"\nside = \"forward\"\n";
    assert!(WeightSheet::parse(&sheet(4, "")).is_ok());
    let said = refused(&sheet(4, end));
    assert!(said.contains("the sheet has 201 holes") && said.contains("up to 200"), "{said}");
}

/// 10 mm at 57 mm, 5 mm above, in a bar from 56 mm to 70 mm and 6 mm to both sides: most of it is air.
#[test]
fn a_hole_from_the_end_that_stands_out_of_the_section_is_refused() {
    let sheet = |arm: &str, height: &str| {
        format!(
            "[weight]\nname = \"bar\"\nmoment = \"1 kg·mm nose-heavy\"\nmaterial = \"lead\"\n[form]\nkind = \"bar\"\n\
             depth = \"14 mm\"\nheight = \"12 mm\"\nspan = \"90 mm\"\nface = \"rear\"\narm = \"56 mm\"\n\
             side = \"forward\"\n[[hole]]\nname = \"trim hole\"\ndiameter = \"10 mm\"\nfrom = \"end\"\n\
             depth = \"20 mm\"\npoint = \"118 deg\"\nmeasured = \"full diameter\"\narm = \"{arm}\"\n\
             side = \"forward\"\nheight = \"{height}\"\n"
        )
    };
    assert!(answer(&read(&sheet("63 mm", "0 mm"))).solution.is_some());
    let air = answer(&read(&sheet("57 mm", "5 mm above")));
    let stopped = air.stopped.expect("no piece");
    assert!(stopped.what.contains("trim hole"), "{}", stopped.what);
}

#[test]
fn every_hole_has_a_name_of_its_own() {
    let two =
        |name: &str| bored("345.6 g", "").replace("name = \"drain hole\"", &format!("name = \"{name}\""));
    for name in ["screw hole", "screw hole 2"] {
        let said = refused(&two(name));
        assert!(said.contains(&format!("two holes are called “{name}”")), "{said}");
    }
    read(&two("screw hole 3"));
}

/// 330 g, then 350 g where mass was taken; 330 g, then 5 g and the holes that were made.
#[test]
fn weighings_that_can_hardly_be_are_told() {
    let notes = |more: &str| answer(&read(&bored("330.0 g", more))).trim.expect("a casting").notes;
    let second = |more: &str| format!("[[cast]]\n{more}\n");
    let taken = "taken_arm = \"6.2 in\"\ntaken_side = \"forward\"";
    assert_eq!(notes(&second(&format!("mass = \"320 g\"\n{taken}"))), Vec::<String>::new());
    let heavier = notes(&second(&format!("mass = \"350 g\"\n{taken}")));
    assert!(heavier[0].starts_with("weighing 2 shows 20.0 g more than the one before"), "{heavier:?}");
    let beside = notes(&second(&format!("mass = \"5 g\"\n{}", taken.replace("6.2", "2"))));
    assert!(beside[0].contains("outside the piece as designed"), "{beside:?}");
    let lines = words::trim(&work(read(&bored("330.0 g", &second("mass = \"350 g\"")))));
    assert!(lines.iter().any(|line| line.starts_with("weighing 2 shows 20.0 g more")), "{lines:?}");
}

/// 0.2 g of the certificate and a step of 0.1 g, k = 2: both weighings lie on one scale.
#[test]
fn the_certificate_of_one_scale_counts_once() {
    let of =
        |text: &str| answer(&read(text)).trim.expect("a casting").expanded_uncertainty_kg.expect("judged");
    let taken = "[[cast]]\nmass = \"320 g\"\ntaken_arm = \"2 in\"\ntaken_side = \"forward\"\n";
    let certified = |text: String| {
        let plain: Vec<&str> =
            text.lines().filter(|line| !line.starts_with("calibration_uncertainty")).collect();
        let all = plain.join("\n").replace("[trim]", "[trim]\ncalibration_uncertainty = \"2 g\"");
        of(&all)
    };
    let (one, two) = (certified(bored("330.0 g", "")), certified(bored("330.0 g", taken)));
    assert!((two / one - 1.0).abs() <= 0.01, "{one} {two}");
}

#[test]
fn a_list_that_does_not_close_is_one_slip_and_hides_nothing() {
    let whole = casting("345.6 g");
    let line = whole.lines().find(|line| line.starts_with("diameters = [")).expect("a list").to_owned();
    for open in [line.trim_end_matches(']'), "diameters = [", "diameters = [\n\"1/4 in\","] {
        let text =
            whole.replacen(&line, open, 1).replace("resolution = \"0.1 g\"", "resolution = \"0.1 mm\"");
        let faults = WeightSheet::parse(&text).expect_err("two faults");
        let said = told(&faults);
        assert_eq!(said.matches("not TOML here").count(), 1, "{said}");
        assert!(said.contains("a bracket that does not close") && said.contains("resolution"), "{said}");
    }
}
