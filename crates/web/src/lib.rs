//! The pages of a shop: people, limits, instruments and jobs, rendered here and usable without script.
//!
//! [`app`] builds the router over a [`App`] (tests call it without a socket), [`serve`] listens. Every page is a row
//! of the one table in [`routes`]; whoever may see it stands in that row. A page loads the job or the shop from the
//! store, asks it whether the deed is allowed, and appends a draft of an entry.
//!
//! Not here: arithmetic of the trade (crates balance and bench), SQL (crate store), the clock (an argument).

mod app;
mod assets;
mod checks;
mod clock;
pub mod demo;
mod form;
mod guard;
mod layout;
mod pages;
mod parts;
mod problem;
pub mod routes;
mod secrets;
mod server;
mod session;
mod sheet_faults;
mod tls;
mod visit;

pub use app::{App, Config, app};
pub use clock::Clock;
pub use server::{Pem, serve};
pub use tls::{TlsError, generated};
