//! The case files, built into the program in the order of the report. A test compares this list with the folders.

macro_rules! embedded {
    ($($path:literal,)*) => {
        [$(($path, include_str!(concat!("../", $path)))),*]
    };
}

/// The list of sources.
pub const SOURCES: &str = include_str!("../sources.toml");

/// Every case file: its name below the folder of the checks, and its text.
pub const FILES: [(&str, &str); 25] = embedded![
    "gum/clause-4.toml",
    "gum/annex-g.toml",
    "gum/table-g2.toml",
    "gum/h1.toml",
    "gum/h3.toml",
    "nist-tn-1297/table-b1.toml",
    "nist-tn-1900/examples.toml",
    "jcgm-101/additive.toml",
    "jcgm-101/mass.toml",
    "jcgm-106/conformity.toml",
    "ilac-g8/guard-band.toml",
    "ea-4-02/s2.toml",
    "closed-form/distributions.toml",
    "units/definitions.toml",
    "units/typed.toml",
    "ac-43-13-1b/figure-10-10.toml",
    "ac-43-13-1b/figures-10-11-to-10-14.toml",
    "handbook-solids/solids.toml",
    "handbook-solids/drilled.toml",
    "numpy-stl/solids.toml",
    "metals/densities.toml",
    "films/dry-films.toml",
    "threads/unified.toml",
    "common-practice/correction.toml",
    "common-practice/methods.toml",
];
