//! The program as a shop uses it: calls, files, exit status, what is printed where.

#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, reason = "a test stops where it fails")]

mod architecture;
mod calls;
mod crash;
mod demo;
mod hand;
mod server;
mod shop;
mod weight;
