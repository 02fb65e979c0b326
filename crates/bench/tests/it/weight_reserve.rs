//! What is said of a casting before it is trimmed, of a saw at an end wall, and of outlines in inches.

use crate::sheets::told;
use crate::weight::{DEMO, read};
use hingeline_bench::weight::{WeightAnswer, WeightSheet, words, work};

/// The cap of the demo, 0.130 in thick exact and 0.139 in with its reserve.
fn cap(from: &str, to: &str) -> Vec<String> {
    assert!(DEMO[1].1.contains(from), "the sheet holds no {from}");
    words::reserve(&work(read(&DEMO[1].1.replace(from, to))))
}

#[test]
fn a_casting_within_all_limits_has_no_note() {
    let lines = words::reserve(&work(read(DEMO[1].1)));
    assert!(!lines.iter().any(|line| line.contains("before trimming")), "{lines:?}");
}

#[test]
fn a_casting_beyond_the_reach_is_to_be_trimmed_before_fitting() {
    let lines = cap("forward_reach = \"7.3 in\"", "forward_reach = \"6.635 in\"");
    let note =
        "before trimming it reaches 6.639 in forward, more than the 6.635 in allowed: trim before fitting";
    assert!(lines.iter().any(|line| line == note), "{lines:?}");
}

#[test]
fn a_casting_beyond_its_own_bound_says_so() {
    let lines = cap("most = \"3/8 in\"", "most = \"0.131 in\"");
    assert!(lines.iter().any(|line| line.starts_with("before trimming it is 0.139 in thick")), "{lines:?}");
}

#[test]
fn a_casting_beyond_the_capacity_says_so() {
    let finished = WeightAnswer::of(&work(read(DEMO[1].1))).solution.expect("a cap").finished.mass_kg;
    let just = format!("capacity = \"{} g\"", 1000.0 * finished + 0.1);
    let lines = cap("capacity = \"0.8 lb\"", &just);
    assert!(
        lines.iter().any(|line| line.starts_with("before trimming it makes a finished piece of 0.6")),
        "{lines:?}"
    );
}

#[test]
fn what_it_goes_beyond_is_in_the_answer() {
    let text = DEMO[1].1.replace("above = \"0.9 in\"", "above = \"0.581 in\"");
    let answer = WeightAnswer::of(&work(read(&text)));
    let reserve = answer.solution.expect("a cap").reserve.expect("a reserve");
    let beyond = &reserve.beyond[0];
    assert_eq!((beyond.limit, beyond.unit), ("the height above the chord plane", "m"));
    assert!(beyond.allowed < beyond.found);
    // The shell lies above the old weight, 0.45 in high.
    assert!((beyond.found - 0.45 * 0.0254 - reserve.value_m.expect("a thickness")).abs() < 1e-9);
}

/// The cap with walls at its ends, too heavy, and a saw at hand.
fn sawn(walls: &str) -> String {
    let exact = work(read(&with_walls(walls, "100 g")));
    let cast = exact.solution().expect("a cap").as_drilled.total * 1000.0 + 40.0;
    with_walls(walls, &format!("{cast:.1} g"))
}

fn with_walls(walls: &str, cast: &str) -> String {
    let text =
        DEMO[1].1.replace("span = \"4 1/2 in\"", &format!("span = \"4 1/2 in\"\nend_walls = \"{walls}\""));
    format!(
        "{text}[[cast]]\nmass = \"{cast}\"\n[trim]\ntolerance = \"0.5 g\"\nresolution = \"0.1 g\"\n\
         [[tool]]\nkind = \"saw\"\nkerf = \"1 mm\"\nends = 2\nmost = \"1/2 in\"\n"
    )
}

#[test]
fn a_saw_does_not_go_through_an_end_wall() {
    let thin = sawn("1/16 in").replace("smallest_wall = \"1/16 in\"\n", "");
    let lines = words::trim(&work(read(&thin)));
    let said = lines.iter().find(|line| line.starts_with("saw")).expect("the saw");
    assert!(said.contains("the end wall is 0.062 in thick: behind it is another section"), "{said}");
}

/// Of 1/8 in, 1/16 in must stay: what the saw takes at both ends is more than the other 1/16 in.
#[test]
fn a_saw_leaves_the_smallest_wall() {
    let lines = words::trim(&work(read(&sawn("1/8 in"))));
    let said = lines.iter().find(|line| line.starts_with("saw")).expect("the saw");
    assert!(said.contains("of the end wall of 0.125 in must stay 0.062 in"), "{said}");
}

#[test]
fn a_saw_that_stays_in_the_end_wall_is_a_way() {
    let lines = words::trim(&work(read(&sawn("1/4 in"))));
    assert!(lines.iter().any(|line| line.starts_with("saw 0.")), "{lines:?}");
}

#[test]
fn outlines_in_inches_are_told_in_inches() {
    let text = DEMO[2].1.replace("\"8.4 in forward, 0.5 in above\"", "\"9.6 in forward, 0.6 in above\"");
    let said = told(&WeightSheet::parse(&text).expect_err("a fault"));
    assert!(said.contains("meet at 9.455 in forward, 0.4668 in above"), "{said}");
    assert!(!said.contains(" mm"), "{said}");
}
