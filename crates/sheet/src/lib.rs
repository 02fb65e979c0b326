//! Drawings and printed sheets.
//!
//! [`drawing::bench()`] draws the bench in side view to scale and [`drawing::band()`] the approved band with each
//! weighing on a line of static moment, both as SVG; [`paper::pdf`] sets the printed sheet; [`weight::weight_paper`] sets
//! that of a balance weight with its templates at true size. The caller gives finished texts and the few numbers that
//! place a mark; this crate does layout geometry and none of the trade's arithmetic. It reads no file and no clock: the
//! same input gives the same bytes.

pub mod drawing;
mod error;
mod job;
mod palette;
pub mod paper;
pub mod weight;

pub use error::SheetError;
pub use job::{Beside, Record, band_drawing, bench_drawing, job_paper, paper_of, recorded, recorded_paper};
pub use palette::{Palette, Tone};
pub use paper::{Paper, PaperSize};

/// The upright face of the sheet and the pages, TrueType.
pub const REGULAR: &[u8] = include_bytes!("../fonts/SourceSans3-Regular.ttf");

/// Its semi-bold.
pub const SEMI_BOLD: &[u8] = include_bytes!("../fonts/SourceSans3-SemiBold.ttf");
