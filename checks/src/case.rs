//! The case files as they are written: one `[[case]]` a calculation, one `[[case.expect]]` a printed value.

use serde::Deserialize;
use toml::Table;

/// A case file.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct CaseFile {
    #[serde(default)]
    pub(crate) case: Vec<Case>,
}

/// How well the printed value is known to us.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Grade {
    /// Read in the document itself.
    Seen,
    /// Read in somebody else's copy or quotation of it.
    Transcribed,
    /// Worked out by another program.
    Computed,
    /// Follows from a closed form, a limiting case, or hand arithmetic.
    Derived,
    /// Remembered, and not confirmed.
    Recalled,
    /// What the trade does; there is no published source.
    CommonPractice,
}

impl Grade {
    /// Every grade, the best first.
    pub const ALL: [Self; 6] =
        [Self::Seen, Self::Transcribed, Self::Computed, Self::Derived, Self::Recalled, Self::CommonPractice];

    /// The word for it on the self-check's line.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Seen => "seen",
            Self::Transcribed => "transcribed",
            Self::Computed => "computed",
            Self::Derived => "derived",
            Self::Recalled => "from memory",
            Self::CommonPractice => "common practice",
        }
    }
}

/// One calculation with what it must give.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Case {
    /// Its name, its own in all files.
    pub(crate) id: String,
    /// Key in sources.toml.
    pub(crate) source: String,
    /// Table, page, row or clause.
    pub(crate) place: String,
    /// What it is, in one plain sentence.
    pub(crate) what: String,
    /// The calculation's name.
    pub(crate) calculation: String,
    /// How well its values are known, where a value does not say otherwise.
    pub(crate) grade: Grade,
    /// Who transcribed or computed them.
    pub(crate) by: Option<String>,
    /// The inputs.
    #[serde(default)]
    pub(crate) inputs: Table,
    /// The values.
    #[serde(default)]
    pub(crate) expect: Vec<Expected>,
}

/// One printed value.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Expected {
    /// Which result of the calculation.
    pub(crate) of: String,
    /// The text as printed.
    pub(crate) printed: String,
    /// Its unit.
    pub(crate) unit: Option<String>,
    /// What the report calls it; without it, the result's own name.
    pub(crate) name: Option<String>,
    /// Inputs that stand in for those of the case, for the rows of a table.
    #[serde(default)]
    pub(crate) with: Table,
    /// Its grade, where it is not that of the case.
    pub(crate) grade: Option<Grade>,
    /// Who transcribed or computed it, where that is not the case's.
    pub(crate) by: Option<String>,
    /// Tolerance, where it is not half a unit of the last printed digit.
    pub(crate) tolerance: Option<f64>,
    /// Why the tolerance is wide.
    pub(crate) why: Option<String>,
    /// Why we depart from the source.
    pub(crate) difference: Option<String>,
    /// What we hold instead, as text.
    pub(crate) ours: Option<String>,
}
