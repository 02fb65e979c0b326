//! The published checks, run once by each process and remembered: every sheet says how many of them agree here.

use crate::problem::{Problem, chain};
use std::sync::OnceLock;

/// How many values agree, of how many; or why the checks cannot be run.
fn result() -> &'static Result<(usize, usize), String> {
    static RESULT: OnceLock<Result<(usize, usize), String>> = OnceLock::new();
    RESULT.get_or_init(|| hingeline_checks::run().map(|report| report.agree()).map_err(|error| chain(&error)))
}

/// Starts them, so that the first sheet need not wait for them.
pub(crate) fn start() {
    std::thread::spawn(result);
}

/// How many agree, of how many; waits for them where they still run.
pub(crate) fn agree() -> Result<(usize, usize), Problem> {
    result().clone().map_err(|what| Problem::Defect { what })
}
