//! The use cases of the bench: a job sheet in, a result out.
//!
//! The way through: [`JobSheet::parse`] reads a sheet or says all that is wrong with it; [`assess()`] weighs,
//! judges and corrects; [`result::JobResult`] is the published shape of that (JSON); [`words`] and
//! [`arithmetic`] say it to a person. Balance weights go the same way in [`weight`]. One use case is one function,
//! which the command line and the pages share.
//!
//! Not here: calculation (crate balance), files, clock, printing.

pub mod arithmetic;
pub mod assess;
pub mod bounds;
mod broken;
mod fault;
mod fields;
pub mod job_sheet;
pub mod mark;
pub mod record;
pub mod result;
pub mod taken;
mod units;
pub mod weight;
pub mod words;

pub use assess::{Assessment, MonteCarlo, StationCorrection, Weighed, assess};
pub use fault::{Fault, Faults};
pub use job_sheet::{CardSheet, JobSheet, same_item};
pub use mark::Mark;
pub use taken::{Stage, method_word};
pub use units::{System, with_unit};
