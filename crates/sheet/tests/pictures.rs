//! The pictures in docs/pictures are the ones that the drawings make today.

#![allow(clippy::expect_used, reason = "a test stops where it fails")]

#[path = "../examples/guide/mod.rs"]
mod guide;

use std::collections::BTreeSet;
use std::path::PathBuf;

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../docs/pictures")
}

/// Names of the pictures that the guides show.
fn shown() -> BTreeSet<String> {
    let guides =
        std::fs::read_dir(folder().join("..")).expect("docs").map(|entry| entry.expect("an entry").path());
    let guides = guides.filter(|path| path.extension().is_some_and(|ending| ending == "md"));
    let text: String = guides.map(|path| std::fs::read_to_string(path).expect("a guide")).collect();
    let places = text.split("(pictures/").skip(1).filter_map(|rest| rest.split(')').next());
    places.map(str::to_owned).collect()
}

const MAKE: &str =
    "run `cargo run -p hingeline-sheet --example pictures -- docs/pictures` and look at what changed";

#[test]
fn each_picture_is_up_to_date() {
    for (name, svg) in guide::pictures().expect("the demo can be drawn") {
        let kept = std::fs::read_to_string(folder().join(&name)).unwrap_or_default();
        assert!(kept == svg, "docs/pictures/{name} is not what is drawn today: {MAKE}");
    }
}

#[test]
fn every_picture_is_kept_and_shown_and_no_other() {
    let made: BTreeSet<String> =
        guide::pictures().expect("the demo can be drawn").into_iter().map(|(name, _)| name).collect();
    let kept: BTreeSet<String> = std::fs::read_dir(folder())
        .expect("docs/pictures")
        .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
        .collect();
    assert_eq!(kept, made, "{MAKE}");
    assert_eq!(shown(), made, "the pictures that the guides show");
}

#[test]
fn a_picture_stands_alone() {
    for (name, svg) in guide::pictures().expect("the demo can be drawn") {
        let begins = svg.lines().take(2).collect::<Vec<_>>().join("\n");
        assert!(begins.contains("xmlns=") && begins.contains("viewBox="), "{name}: {begins}");
        assert!(begins.contains("<rect width=\"100%\""), "{name} has no ground: {begins}");
        assert!(svg.contains("sans-serif") && !svg.contains("var(") && !svg.contains("inherit"), "{name}");
    }
}
