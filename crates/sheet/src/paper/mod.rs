//! The printed sheet: plain data in, PDF out.
//!
//! Main type: [`Paper`], every word and number that the sheet shows, finished by the caller. [`pdf`] hands it
//! to the template as data, so that whatever a shop types stays text. The number of a page, a share's bar and
//! the drawings are all that is worked out here.

mod clean;
mod data;
mod press;
mod weight;

pub use data::*;
pub use weight::{CastRow, WeightPaper, WeightPart, weight_pdf};

use serde::Serialize;

use crate::drawing::{self, Canvas};
use crate::{Palette, SheetError};

/// Height of the drawings' lettering, in points.
const LETTERING: f64 = 8.5;

/// What the template reads.
#[derive(Serialize)]
struct Sheet {
    /// The page size, by the typesetter's name for it.
    size: &'static str,
    palette: Palette,
    paper: Paper,
    bench: Option<Picture>,
    band: Option<Picture>,
}

/// A drawing with what it shows in words.
#[derive(Serialize)]
struct Picture {
    svg: String,
    words: String,
}

impl PaperSize {
    fn name(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::Letter => "us-letter",
        }
    }

    /// Width of a drawing in its frame, in points: the page less margins (2 x 16 mm) and insets (2 x 6 pt).
    fn canvas(self) -> Canvas {
        let page_mm = match self {
            Self::A4 => 210.0,
            Self::Letter => 8.5 * 25.4,
        };
        Canvas { width: (page_mm - 32.0) / 25.4 * 72.0 - 12.0, text: LETTERING }
    }
}

/// Sets the sheet as a PDF (PDF 1.7, tagged, fonts embedded); the same input gives the same bytes.
///
/// A sheet with a [`Day`] is written as PDF/A-2a, for the archive, and as PDF/UA-1; without, as PDF/UA-1 alone.
/// Characters that the embedded face lacks come out as `[U+XXXX]`, so that nothing is lost without a trace.
///
/// # Errors
/// - [`SheetError::Number`] when a drawing holds a number that cannot be drawn.
/// - [`SheetError::Day`] when the sheet's day is not in the calendar.
/// - [`SheetError::Data`] when the data cannot be written as JSON.
/// - [`SheetError::Setting`] when the template fails, which is a defect of this crate.
pub fn pdf(paper: &Paper, size: PaperSize) -> Result<Vec<u8>, SheetError> {
    check(paper.title.day)?;
    let paper = clean::printable(paper)?;
    let (palette, canvas) = (Palette::paper(), size.canvas());
    let bench = paper.bench.as_ref().map(|bench| {
        let svg = drawing::bench(bench, &palette, canvas)?.into_string();
        Ok(Picture { svg, words: drawing::bench_in_words(bench) })
    });
    let band = paper.band.as_ref().map(|band| {
        let svg = drawing::band(band, &palette, canvas)?.into_string();
        Ok(Picture { svg, words: drawing::band_in_words(band) })
    });
    let (bench, band) = (bench.transpose()?, band.transpose()?);
    let name = format!("{}\n{}", paper.title.document_id, paper.footer.fingerprint);
    let sheet = Sheet { size: size.name(), palette, paper: clean::breakable(paper)?, bench, band };
    let data = serde_json::to_vec(&sheet).map_err(|error| SheetError::Data { why: error.to_string() })?;
    press::print(press::Template::Job, data, &name)
}

fn check(day: Option<Day>) -> Result<(), SheetError> {
    match day {
        Some(Day { year, month, day }) if !press::is_day(year, month, day) => {
            Err(SheetError::Day { given: format!("{year}-{month:02}-{day:02}") })
        }
        _ => Ok(()),
    }
}
