//! Drawings as SVG: the bench to scale, the approved band with the weighings on it, the history of a surface, its tag, a
//! balance weight.
//!
//! Main functions: [`bench()`], [`band()`], [`history()`], [`tag()`] and [`weight_views()`]. Each takes a description in
//! plain numbers and finished labels, a [`Palette`](crate::Palette) and a [`Canvas`]. They wrap, stack and move labels so
//! that none covers another or leaves the view box. The SVG uses presentation attributes only: no style, no script, no
//! ids, so that it may stand in a page under a strict content policy, more than once, and in the sheet.

mod axis;
mod band;
mod bench;
mod free;
mod history;
mod lane;
mod pen;
mod spread;
mod tag;
mod text;
mod weight;

pub(crate) use band::in_words as band_in_words;
pub use band::{BandDrawing, BandPoint, Mark, PointKind, band};
pub(crate) use bench::in_words as bench_in_words;

pub use history::{HistoryDay, HistoryDrawing, HistoryPoint, HistoryRow, history};
pub use tag::{TagDrawing, TagSize, tag};

pub(crate) use weight::BARS;
pub(crate) use weight::in_words as weight_in_words;
pub use weight::{
    Bore, Figure, Hand, HoleHead, Measure, PartingLine, Profile, SpaceLimits, TemplateShape, TemplateSheet,
    Templates, WeightDrawing, WeightHole, WeightPicture, check_bars, template_sheets, weight_picture,
    weight_views,
};

pub use bench::{BenchDrawing, Heavy, Method, Part, ScaleBar, SecondAttitude, Station, bench};

/// The room a drawing has: width of the view box and height of the lettering, in the same unit.
///
/// The height of the view box follows from what is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Canvas {
    /// Width of the view box, at least 280.
    pub width: f64,
    /// Height of the lettering, 8 to 20.
    pub text: f64,
}

impl Canvas {
    /// The text width of the printed sheet, in points.
    pub const SHEET: Self = Self { width: 520.0, text: 8.5 };
    /// A desk screen or a tablet, in CSS pixels.
    pub const WIDE: Self = Self { width: 760.0, text: 15.0 };
    /// A phone held upright, in CSS pixels.
    pub const PHONE: Self = Self { width: 360.0, text: 13.0 };
}
