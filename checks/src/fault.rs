//! What can be wrong with the checks themselves: a file, a case, or a value that proves nothing.
//!
//! A value that disagrees is no fault but a line of the report. Main type: [`CheckError`].

use std::fmt;

/// A fault with the file and case that it was found in.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub struct CheckError {
    /// What is wrong.
    #[source]
    pub fault: Fault,
    /// The file, relative to the folder of the checks; empty where the checks as a whole are at fault.
    pub file: String,
    /// The case in it.
    pub case: Option<String>,
}

impl fmt::Display for CheckError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (&self.case, self.file.as_str()) {
            (_, "") => f.write_str("the published checks are not sound"),
            (None, file) => write!(f, "{file} is not sound"),
            (Some(case), file) => write!(f, "case {case} of {file} is not sound"),
        }
    }
}

/// The ways in which a check can be unsound.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Fault {
    /// Not TOML, or not of the form of a case file.
    #[error("it cannot be read: {message}")]
    Unreadable {
        /// What the reader said.
        message: String,
    },
    /// A case file without a case.
    #[error("it holds no case")]
    EmptyFile,
    /// No case in any file.
    #[error("there is not one case")]
    NoCases,
    /// A case that expects nothing.
    #[error("it expects no value")]
    ExpectsNothing,
    /// Two cases of the same name.
    #[error("another case has the same id")]
    SameId,
    /// A source that the list of sources does not hold.
    #[error("the source “{key}” is not in sources.toml")]
    UnknownSource {
        /// The key as written.
        key: String,
    },
    /// Two sources of one key.
    #[error("the source “{key}” is there twice")]
    SameKey {
        /// The key.
        key: String,
    },
    /// A source with an empty title, edition or publisher.
    #[error("the source “{key}” has an empty {field}")]
    EmptySource {
        /// The key.
        key: String,
        /// The field that is empty.
        field: &'static str,
    },
    /// A calculation nobody knows.
    #[error("the calculation “{name}” is not known")]
    UnknownCalculation {
        /// As written.
        name: String,
    },
    /// An input that is missing, unknown, or not of its form.
    #[error("its inputs cannot be used: {message}")]
    BadInputs {
        /// What is wrong with which input.
        message: String,
    },
    /// A result that the calculation does not give.
    #[error("the calculation gives no “{name}”, but {known}")]
    UnknownResult {
        /// As written.
        name: String,
        /// What it gives.
        known: String,
    },
    /// An expected text that is not a finite number.
    #[error("“{text}” is not a printed number")]
    NotPrinted {
        /// As written.
        text: String,
    },
    /// A unit that the result cannot be told in.
    #[error("“{unit}” is not a unit of “{result}”")]
    WrongUnit {
        /// As written; empty where none was given.
        unit: String,
        /// The result.
        result: String,
    },
    /// A tolerance that is not a positive number.
    #[error("the tolerance {tolerance} of {printed} is not above zero")]
    NoTolerance {
        /// As written.
        tolerance: f64,
        /// The printed value.
        printed: String,
    },
    /// A tolerance that is wide without a reason.
    #[error("the tolerance {tolerance} of {printed} is {wide} and says no why")]
    WideTolerance {
        /// As used.
        tolerance: f64,
        /// The printed value.
        printed: String,
        /// Against what it is wide.
        wide: &'static str,
    },
    /// A tolerance so wide that a wrong value would pass.
    #[error("the check of {printed} would agree with a value three tolerances away")]
    CannotFail {
        /// The printed value.
        printed: String,
    },
    /// A transcription or another program's result without its name.
    #[error("{printed} is {grade}, and “by” does not say by whom")]
    NobodyNamed {
        /// The printed value.
        printed: String,
        /// The grade.
        grade: &'static str,
    },
    /// A difference from the source without our own value, or the other way round.
    #[error("“difference” and “ours” belong together at {printed}")]
    HalfDifference {
        /// The printed value.
        printed: String,
    },
    /// A difference from the source that is none.
    #[error("{printed} is stated as a difference, and agrees")]
    NoDifference {
        /// The printed value.
        printed: String,
    },
    /// A formula that only memory vouches for.
    #[error("only values from memory check “{result}” of “{calculation}”")]
    OnlyFromMemory {
        /// The calculation.
        calculation: String,
        /// Its result.
        result: String,
    },
}

impl Fault {
    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Unreadable { .. } => "compare the file with gum/h3.toml",
            Self::EmptyFile | Self::NoCases | Self::ExpectsNothing => "write the case, or delete the file",
            Self::SameId | Self::SameKey { .. } => "give each a name of its own",
            Self::UnknownSource { .. } | Self::EmptySource { .. } => {
                "enter the full citation in sources.toml"
            }
            Self::UnknownCalculation { .. } => "take a name from the list in calculation/mod.rs",
            Self::BadInputs { .. } => "name every input of the calculation, with its unit, and no other",
            Self::UnknownResult { .. } => "take one of the results it gives",
            Self::NotPrinted { .. } => "write the digits as the source prints them",
            Self::WrongUnit { .. } => "take a unit of the result's kind",
            Self::NoTolerance { .. } => "leave the tolerance out: half a unit of the last digit is taken",
            Self::WideTolerance { .. } => "say why in “why”, or print more digits",
            Self::CannotFail { .. } => "make the tolerance smaller",
            Self::NobodyNamed { .. } => "name the transcriber, or the program with its version, in “by”",
            Self::HalfDifference { .. } => "say in “difference” why, and in “ours” what we hold",
            Self::NoDifference { .. } => "delete “difference” and “ours”",
            Self::OnlyFromMemory { .. } => "add a value that is derived, computed or seen",
        }
    }
}
