//! The pages in a real browser.
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, reason = "a test stops where it fails")]

mod access;
mod kept;
mod keypad;
mod no_script;
mod shop;
mod two_browsers;
mod weight;
mod whole_job;
