//! Jobs folded once: every keystroke on the bench asks for the same one.
//!
//! Main function: [`job`]. A job is kept under its number and the newest hash of the whole shop, so that it is never
//! older than the record, whichever shop it is of.

use crate::problem::Problem;
use crate::visit::Visit;
use hingeline_bench::record::job::Job;
use hingeline_bench::record::ledger::Hash;
use std::sync::{Arc, Mutex, PoisonError};

/// How many are kept.
const MOST: usize = 16;

type Kept = Vec<((String, Hash), Arc<Job>)>;

static KEPT: Mutex<Kept> = Mutex::new(Vec::new());

/// The job as it stands.
pub(super) async fn job(visit: &Visit, number: &str) -> Result<Arc<Job>, Problem> {
    let key = (number.to_owned(), visit.head.hash);
    let found = kept(|kept| kept.iter().find(|(known, _)| *known == key).map(|(_, job)| Arc::clone(job)));
    if let Some(job) = found {
        return Ok(job);
    }
    let job = Arc::new(visit.job_and_weights(number).await?);
    kept(|kept| {
        if kept.len() >= MOST {
            kept.remove(0);
        }
        kept.push((key, Arc::clone(&job)));
    });
    Ok(job)
}

fn kept<T>(what: impl FnOnce(&mut Kept) -> T) -> T {
    what(&mut KEPT.lock().unwrap_or_else(PoisonError::into_inner))
}
