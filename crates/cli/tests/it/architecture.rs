//! The arrows between the crates, and the map that describes them.

use serde_json::Value;
use std::path::Path;
use std::process::Command;

fn root() -> &'static Path {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../.."))
}

fn packages() -> Vec<Value> {
    let out = Command::new(env!("CARGO"))
        .args(["metadata", "--format-version", "1", "--no-deps", "--offline"])
        .current_dir(root())
        .output()
        .expect("cargo runs");
    let metadata: Value = serde_json::from_slice(&out.stdout).expect("JSON");
    metadata["packages"].as_array().expect("packages").clone()
}

/// Every arrow that the design allows.
const ARROWS: [(&str, &[&str]); 10] = [
    ("hingeline-quantity", &[]),
    ("hingeline-balance", &["hingeline-quantity"]),
    ("hingeline-ballast", &["hingeline-quantity"]),
    ("hingeline-bench", &["hingeline-quantity", "hingeline-balance", "hingeline-ballast"]),
    ("hingeline-sheet", &["hingeline-quantity", "hingeline-balance", "hingeline-ballast", "hingeline-bench"]),
    ("hingeline-checks", &["hingeline-quantity", "hingeline-balance", "hingeline-ballast"]),
    ("hingeline-store", &["hingeline-bench"]),
    (
        "hingeline-web",
        &[
            "hingeline-quantity",
            "hingeline-balance",
            "hingeline-bench",
            "hingeline-sheet",
            "hingeline-store",
            "hingeline-checks",
        ],
    ),
    ("hingeline-browser-tests", &["hingeline-web"]),
    (
        "hingeline-cli",
        &[
            "hingeline-quantity",
            "hingeline-balance",
            "hingeline-bench",
            "hingeline-sheet",
            "hingeline-store",
            "hingeline-web",
            "hingeline-checks",
        ],
    ),
];

/// Crates that would bring files, clocks, network or SQL into the pure rooms.
const IMPURE: [&str; 9] =
    ["tokio", "rusqlite", "axum", "tempfile", "chrono", "time", "reqwest", "getrandom", "clap"];

#[test]
fn arrows_point_one_way() {
    let packages = packages();
    assert_eq!(packages.len(), ARROWS.len(), "a crate is missing from the table of arrows");
    for package in &packages {
        let name = package["name"].as_str().expect("a name");
        let (_, allowed) =
            ARROWS.iter().find(|(known, _)| *known == name).unwrap_or_else(|| panic!("{name} is new"));
        let pure = ["quantity", "balance", "ballast", "bench", "sheet"]
            .iter()
            .any(|room| name.strip_prefix("hingeline-") == Some(*room));
        for dependency in package["dependencies"].as_array().expect("dependencies") {
            if dependency["kind"].as_str() == Some("dev") {
                continue;
            }
            let wanted = dependency["name"].as_str().expect("a name");
            assert!(!wanted.starts_with("hingeline-") || allowed.contains(&wanted), "{name} uses {wanted}");
            assert!(!pure || !IMPURE.contains(&wanted), "the pure {name} uses {wanted}");
        }
    }
}

#[test]
fn the_map_names_every_crate() {
    let map = std::fs::read_to_string(root().join("ARCHITECTURE.md")).expect("the map");
    for package in packages() {
        let name = package["name"].as_str().expect("a name").to_owned();
        assert!(map.contains(&format!("`{name}`")), "{name} is not in ARCHITECTURE.md");
    }
}

#[test]
fn every_link_of_the_documents_leads_somewhere() {
    let mut documents: Vec<_> =
        ["README.md", "ARCHITECTURE.md", "CHANGELOG.md"].iter().map(|f| root().join(f)).collect();
    for item in std::fs::read_dir(root().join("docs")).expect("docs") {
        documents.push(item.expect("an entry").path());
    }
    for document in documents.iter().filter(|path| path.extension().is_some_and(|ending| ending == "md")) {
        let text = std::fs::read_to_string(document).expect("a document");
        for part in text.split("](").skip(1) {
            let target = part.split([')', '#']).next().unwrap_or("");
            if target.is_empty() || target.contains("://") {
                continue;
            }
            let path = document.parent().expect("a folder").join(target);
            assert!(path.exists(), "{} links to {target}", document.display());
        }
    }
}
