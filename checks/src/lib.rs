//! The published checks of Hingeline's calculations.
//!
//! One folder a source, each holding TOML case files: the inputs, the values as the source prints them, and how
//! well we know them ([`Grade`]). [`run`] sends every case through the product's own public functions and compares;
//! [`Report::text`] is what the self-check prints. The files are built into the program, so that it runs them on the
//! user's machine without files or network.
//!
//! The tolerance is half a unit of the last printed digit. A wider one states why, and a check that could not fail
//! is refused ([`Fault`]). Our own earlier output is no check and is not here.

pub mod coverage;

mod calculation;
mod case;
mod embedded;
mod fault;
mod printed;
mod report;
mod source;
mod suite;
mod value;

pub use case::Grade;
pub use embedded::{FILES, SOURCES};
pub use fault::{CheckError, Fault};
pub use printed::Printed;
pub use report::{Line, Report};
pub use source::{Source, Sources};
pub use suite::{Suite, run};
