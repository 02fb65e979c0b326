//! The record of a shop: append-only ledgers, and the states that follow from them.
//!
//! A [`ledger`] is a chain of entries; a [`deed`] is what an entry holds. [`job::Job`] and [`shop::Shop`] are folds
//! over the entries: nothing about a job or a shop is stored that could not be worked out again from its ledger.
//! [`sheet::text`] writes the job sheet of a job, so that the same reader judges paper, page and file.
//!
//! Not here: storage (crate store), pages, passwords. Time and identity are arguments.

mod brought;
pub mod calibration;
pub mod capitals;
pub mod card;
pub mod casting;
pub mod check;
mod common;
pub mod compared;
pub mod concern;
pub mod deed;
pub mod drill_out;
pub mod expected;
pub mod fitted_weight;
pub mod job;
pub mod ledger;
pub mod left;
pub mod log;
pub mod scale_check;
pub mod sheet;
pub mod shelf;
pub mod shop;
pub mod signed;
pub mod told;
pub mod way;
pub mod weigh;
pub mod weight;
