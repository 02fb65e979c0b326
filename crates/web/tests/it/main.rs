//! The pages through their router, without a socket.
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, reason = "a test stops where it fails")]

mod demo;
mod guard;
mod instruments;
mod job;
mod limits;
mod lists;
mod people;
mod set_up;
mod shop;
mod sign_in;
mod stale;
mod table;
mod weigh;
