//! One program for all tests of the crate.

#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, reason = "a test stops where it fails")]

mod design;
mod drill;
mod heads;
mod holes;
mod mesh;
mod outline;
mod pattern;
mod plates;
mod shell;
mod solid;
mod trim;
