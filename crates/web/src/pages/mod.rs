//! The pages. Each module holds handlers that a row of [`crate::routes`] names, and what they show.

pub(crate) mod aircraft;
pub(crate) mod begin;
pub(crate) mod export;
pub(crate) mod first_steps;
pub(crate) mod history;
pub(crate) mod instruments;
pub(crate) mod job;
pub(crate) mod jobs;
pub(crate) mod limits;
pub(crate) mod log_in;
pub(crate) mod me;
pub(crate) mod people;
pub(crate) mod search;
pub(crate) mod set_up;
pub(crate) mod shop;
pub(crate) mod stale;
pub(crate) mod tag;
