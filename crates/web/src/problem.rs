//! Why a page cannot be shown or a form not entered. Main type: [`Problem`].
//!
//! A handler returns one; the middleware that knows the visitor renders it inside the layout. The status is chosen
//! here and nowhere else.

use crate::form::Typed;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use hingeline_bench::record::job::Refusal;
use hingeline_store::StoreError;
pub(crate) use hingeline_store::chain;

/// Why not.
#[derive(Debug, Clone)]
pub(crate) enum Problem {
    /// There is no such page or record.
    NotFound {
        /// What was looked for, with its number: "job HP-0231".
        what: String,
    },
    /// The page is there, and does not take this method.
    Method,
    /// The role may not.
    Forbidden {
        /// Who may: "an inspector".
        needs: String,
    },
    /// The rules of the record refuse the deed.
    Refused(Refusal),
    /// Somebody wrote in between. What was typed is kept.
    Stale {
        /// The ledger.
        ledger: String,
        /// How many entries were known.
        seen: u64,
        /// How many there are.
        entries: u64,
        /// The form.
        typed: Box<Typed>,
    },
    /// What was sent is larger than the page takes.
    TooLarge {
        /// The fields that were read before it was too much.
        typed: Box<Typed>,
    },
    /// What was sent cannot be read.
    Unreadable {
        /// What and why.
        what: String,
    },
    /// Somebody else typed into the same draft.
    Draft {
        /// What the store says.
        what: String,
    },
    /// Our own fault.
    Defect {
        /// For the log.
        what: String,
    },
}

impl Problem {
    pub(crate) fn not_found(what: impl Into<String>) -> Self {
        Self::NotFound { what: what.into() }
    }

    pub(crate) fn status(&self) -> StatusCode {
        match self {
            Self::NotFound { .. } => StatusCode::NOT_FOUND,
            Self::Method => StatusCode::METHOD_NOT_ALLOWED,
            Self::Forbidden { .. } | Self::Refused(Refusal::Role { .. }) => StatusCode::FORBIDDEN,
            Self::Refused(Refusal::NoSuchEntry { .. }) => StatusCode::NOT_FOUND,
            Self::Refused(_) | Self::Stale { .. } | Self::Draft { .. } => StatusCode::CONFLICT,
            Self::TooLarge { .. } => StatusCode::PAYLOAD_TOO_LARGE,
            Self::Unreadable { .. } => StatusCode::BAD_REQUEST,
            Self::Defect { .. } => StatusCode::INTERNAL_SERVER_ERROR,
        }
    }

    /// What to say: title, sentence, hint.
    pub(crate) fn words(&self) -> (&'static str, String, &'static str) {
        match self {
            Self::NotFound { what } => {
                ("Not found", format!("There is no {what}."), "Check the address, or search for it above.")
            }
            Self::Method => (
                "Not that way",
                "This address does not take that kind of request.".to_owned(),
                "Go to the page and use its form.",
            ),
            Self::Forbidden { needs } => (
                "Not with this role",
                format!("This needs {needs}."),
                "Ask somebody who may, or an administrator to change your role.",
            ),
            Self::Refused(refusal) => (
                "Not now",
                format!("This cannot be entered: {refusal}."),
                "Nothing was written. Go back; what you typed is still there.",
            ),
            Self::Stale { seen, entries, .. } => (
                "Somebody wrote in between",
                format!(
                    "When you opened the page the record had {seen} entries; now it has {entries}. Nothing was written."
                ),
                "Read what is new, then decide whether what you typed still holds.",
            ),
            Self::TooLarge { .. } => (
                "Too large",
                "What was sent is larger than this page takes. Nothing was written.".to_owned(),
                "Go back to the page and send less: a shorter text, or a smaller file.",
            ),
            Self::Unreadable { what } => (
                "Cannot be read",
                format!("What was sent cannot be read: {what}. Nothing was written."),
                "Go back to the page and send its form again.",
            ),
            Self::Draft { what } => ("Typed by somebody else", what.clone(), "Load the page again."),
            Self::Defect { .. } => (
                "A fault of the program",
                "The program failed. Nothing was written by this request.".to_owned(),
                "Try again; if it fails again, tell whoever looks after the program what you did.",
            ),
        }
    }
}

impl From<Refusal> for Problem {
    fn from(refusal: Refusal) -> Self {
        Self::Refused(refusal)
    }
}

impl From<StoreError> for Problem {
    fn from(error: StoreError) -> Self {
        match error {
            StoreError::Stale { ledger, seen, entries } => {
                Self::Stale { ledger, seen, entries, typed: Box::default() }
            }
            StoreError::DraftConflict { .. } | StoreError::DraftGone { .. } => {
                Self::Draft { what: error.to_string() }
            }
            StoreError::BadHash { given } => Self::NotFound { what: format!("file {given}") },
            error => Self::Defect { what: chain(&error) },
        }
    }
}

impl IntoResponse for Problem {
    /// The bare answer: the middleware that knows the visitor makes the page of it.
    fn into_response(self) -> Response {
        let mut response = self.status().into_response();
        response.extensions_mut().insert(self);
        response
    }
}
