//! The store from outside.
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, reason = "a test stops where it fails")]

mod append;
mod backup;
mod crash;
mod derived;
mod drafts;
mod files;
mod lists;
mod schema;
mod secrets;
mod shop;
mod tamper;
