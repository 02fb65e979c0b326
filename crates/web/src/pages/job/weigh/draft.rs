//! Keeps what is typed, field by field, so that it is there after a reload and on another tablet.

use super::known;
use crate::form::Typed;
use crate::problem::Problem;
use crate::visit::{Answer, Visit};
use axum::extract::Path;
use axum::http::{StatusCode, header};
use axum::response::IntoResponse;
use hingeline_store::{StoreError, Typed as Kept};
use serde::Serialize;

/// What the page is told about a field.
#[derive(Debug, Serialize)]
#[serde(tag = "state", rename_all = "lowercase")]
enum Saved {
    /// It is kept.
    Kept { rev: u64 },
    /// Somebody else typed something else in the meantime.
    Conflict { mine: String, theirs: String, by: String, rev: u64 },
    /// The weighing was entered or dropped in the meantime.
    Gone,
}

/// How long a value may be.
const LONGEST: usize = 10_000;

/// POST /jobs/{number}/weigh/draft
pub(crate) async fn draft(visit: Visit, Path(number): Path<String>, typed: Typed) -> Answer {
    known::job(&visit, &number).await?;
    let by = visit.me()?.person.name.clone();
    let (form, field, value) =
        (typed.get("form").to_owned(), typed.get("field").to_owned(), typed.exact("value").to_owned());
    let ours = form.starts_with("weigh ") || form.starts_with("mend ");
    if !ours || field.is_empty() || value.len() > LONGEST || field.len() > 100 {
        return Err(Problem::Unreadable { what: "it is no field of the bench".to_owned() });
    }
    let (rev, at) = (typed.number("rev").unwrap_or(0), visit.now.to_string());
    let saved = visit.app.ask(move |store| {
        let kept =
            Kept { job: &number, form: &form, field: &field, value: &value, seen_rev: rev, by: &by, at: &at };
        match store.save_draft(&kept) {
            Ok(saved) => Ok(Saved::Kept { rev: saved.rev }),
            Err(StoreError::DraftConflict { mine, theirs, by, rev, .. }) => {
                Ok(Saved::Conflict { mine, theirs, by, rev })
            }
            Err(StoreError::DraftGone { .. }) => Ok(Saved::Gone),
            Err(error) => Err(error),
        }
    });
    let saved = saved.await?;
    let status = if matches!(saved, Saved::Kept { .. }) { StatusCode::OK } else { StatusCode::CONFLICT };
    let text = serde_json::to_string(&saved).map_err(|error| Problem::Defect { what: error.to_string() })?;
    Ok((status, [(header::CONTENT_TYPE, "application/json")], text).into_response())
}
