//! The pages in a real browser: the built program serves the demo shop on this machine, a Chromium of its own visits it.
//!
//! Main types: [`Server`] (the program), [`Browser`] (one Chromium of one person), [`Look`] (its window). What a person
//! does is in [`hand`] (pointer or finger), [`keys`] (keyboard alone) and [`steps`] (either); [`axe`] holds the accessibility rules and
//! [`survey`] finds every page. Everything is bounded in time and every child is ended with its guard.
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, reason = "a test stops where it fails")]

pub mod axe;
pub mod browser;
pub mod child;
pub mod hand;
pub mod keys;
pub mod pages;
pub mod server;
pub mod steps;
pub mod survey;

pub use browser::{Browser, Light, Look};
pub use server::{Person, Server};
