//! The pages in a real browser.
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, reason = "a test stops where it fails")]

mod access;
mod no_script;
mod shop;
mod two_browsers;
mod whole_job;
