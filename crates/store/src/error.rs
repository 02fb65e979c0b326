//! What can go wrong in the store. Main type: [`StoreError`].

use crate::verify::VerifyError;
use hingeline_bench::record::job::Unreadable;
use std::error::Error;
use std::io;
use std::path::{Path, PathBuf};

/// Why the store did not do what it was asked.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// Somebody wrote to the ledger in between.
    #[error("{ledger} has {entries} entries, and {seen} were known when this was written")]
    Stale {
        /// The ledger.
        ledger: String,
        /// How many entries the writer knew.
        seen: u64,
        /// How many there are.
        entries: u64,
    },
    /// Somebody else typed something different into the same field.
    #[error("{field}: {by} typed \"{theirs}\" in the meantime, and this says \"{mine}\"")]
    DraftConflict {
        /// The field.
        field: String,
        /// What this writer typed.
        mine: String,
        /// What stands there.
        theirs: String,
        /// Who typed that.
        by: String,
        /// Its revision; saving again with it overwrites knowingly.
        rev: u64,
    },
    /// The form was entered or emptied in the meantime.
    #[error("the form \"{form}\" of job {job} was entered or emptied in the meantime")]
    DraftGone {
        /// The job.
        job: String,
        /// The form.
        form: String,
    },
    /// An entry holds a deed that this version does not know.
    #[error("the ledger \"{ledger}\" cannot be read")]
    Unreadable {
        /// The ledger.
        ledger: String,
        /// Which entry, and what the reader says.
        source: Unreadable,
    },
    /// The name of a ledger is neither that of the shop nor that of a job.
    #[error("there is no ledger \"{ledger}\"; allowed: \"shop\", \"job\" and a number")]
    UnknownLedger {
        /// The name given.
        ledger: String,
    },
    /// What was worked out of a weighing is no finite number.
    #[error("entry {entry} of {ledger} gives \"{given}\" where a finite decimal number is wanted")]
    NotANumber {
        /// The ledger.
        ledger: String,
        /// The entry.
        entry: u64,
        /// The text given.
        given: String,
    },
    /// The name of a file is no hash.
    #[error("\"{given}\" is no file of the record; allowed: 64 hexadecimal digits")]
    BadHash {
        /// The name given.
        given: String,
    },
    /// A file is not what its name says.
    #[error("the file {hash} was changed: its content has another hash")]
    FileDamaged {
        /// The hash that it should have.
        hash: String,
    },
    /// Another program writes to this folder.
    #[error("the folder {} is in use by another Hingeline", folder.display())]
    InUse {
        /// The folder.
        folder: PathBuf,
    },
    /// There is no database in the folder.
    #[error("there is no shop in the folder {}", folder.display())]
    NoShop {
        /// The folder.
        folder: PathBuf,
    },
    /// The database was written by a newer version.
    #[error("the database has layout {found}, and this version knows layouts up to {known}")]
    Newer {
        /// The layout found.
        found: i64,
        /// The newest layout known.
        known: i64,
    },
    /// The database was written by an older version and only read now.
    #[error("the database has layout {found}, and this version reads layout {known}")]
    Older {
        /// The layout found.
        found: i64,
        /// The layout wanted.
        known: i64,
    },
    /// The database belongs to another program.
    #[error("{} is not a database of Hingeline", path.display())]
    Foreign {
        /// The file.
        path: PathBuf,
    },
    /// The target of a backup or of a restore holds something.
    #[error("the folder {} is not empty", folder.display())]
    NotEmpty {
        /// The folder.
        folder: PathBuf,
    },
    /// The copy does not fit its chain.
    #[error("the copy does not verify, and was not kept")]
    NotVerified {
        /// What does not fit.
        source: Box<VerifyError>,
    },
    /// A file or folder could not be read or written.
    #[error("{} cannot be used", path.display())]
    File {
        /// The file or folder.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
    /// The database refused.
    #[error("the database refused")]
    Database {
        /// What it says.
        #[from]
        source: rusqlite::Error,
    },
}

impl StoreError {
    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> Option<&'static str> {
        match self {
            Self::Stale { .. } => Some("read what was added, then enter it again"),
            Self::DraftConflict { .. } => Some("ask the other person, then keep one of the two"),
            Self::DraftGone { .. } => Some("load the form again"),
            Self::InUse { .. } => Some("stop the other one, or choose another folder"),
            Self::Newer { .. } | Self::Unreadable { .. } => Some("use the newer version of Hingeline"),
            Self::Older { .. } => {
                Some("start the server of this version once; it brings the database up to date")
            }
            Self::NoShop { .. } | Self::Foreign { .. } => Some("check the name of the folder"),
            Self::NotEmpty { .. } => Some("name a folder that is empty or not there yet"),
            Self::FileDamaged { .. } | Self::NotVerified { .. } => {
                Some("keep the folder as it is, and restore the last good backup into another one")
            }
            _ => None,
        }
    }
    pub(crate) fn file(path: &Path) -> impl FnOnce(io::Error) -> Self {
        let path = path.to_path_buf();
        |source| Self::File { path, source }
    }
}

/// An error with all that lies behind it.
#[must_use]
pub fn chain(error: &dyn Error) -> String {
    let behind = std::iter::successors(error.source(), |&error| error.source());
    behind.fold(error.to_string(), |text, error| format!("{text}: {error}"))
}
