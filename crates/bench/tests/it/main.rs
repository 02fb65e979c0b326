//! The job sheet read, judged and said, through the public functions.

#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, reason = "a test stops where it fails")]

mod asked;
mod contract;
mod docs;
mod faults;
mod guide;
mod record;
mod sheets;
mod units;
mod weight;
mod weight_docs;
mod weight_drill_out;
mod weight_holes;
mod weight_joint;
mod weight_mesh;
mod weight_reserve;
mod weight_words;
