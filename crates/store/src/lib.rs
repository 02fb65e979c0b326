//! The record of a shop in one folder that a person can see and back up: `hingeline.db` (SQLite) and `files/`
//! (photographs under their hashes).
//!
//! [`Store`] writes, and there is one of it at a time; [`Reader`] reads, also beside it. The entries of the ledgers
//! are the record: they are written once, in chains of hashes, and no statement changes them. Lists, histories and
//! the search follow from them and can be rebuilt. [`Reader::verify`] checks all of it; [`Reader::backup`] and
//! [`restore`] copy it whole.
//!
//! Not here: the rules of who may do what (crate bench), and time: it is an argument.

mod backup;
mod derive;
mod drafts;
mod error;
mod files;
mod folder;
mod history;
mod lists;
mod migrate;
mod reader;
mod rows;
mod search;
mod secrets;
mod store;
mod verify;
mod whole;

pub use backup::restore;
pub use drafts::{DraftField, DraftSaved, FormDraft, Typed, Unfinished};
pub use error::{StoreError, chain};
pub use history::{Event, EventKind, History, Point};
pub use lists::{Aircraft, Filter, JobRow, LastWeighing, State};
pub use reader::{Head, Reader};
pub use secrets::{Credential, Session, Try};
pub use store::{Store, Write};
pub use verify::VerifyError;
pub use whole::{ReadBy, write_whole};
