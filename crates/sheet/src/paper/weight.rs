//! The sheet of a balance weight: the answer, its drawings, its table of parts, and templates at true size.
//!
//! Main type: [`WeightPaper`], every text that it shows; [`weight_pdf`] sets it. The templates stand on pages of their
//! own, each with measured bars in both directions. Not covered: what the texts say.

use serde::{Deserialize, Serialize};

use super::{Footer, Line, PaperSize, TitleBlock, check, clean, press};
use crate::drawing::{
    self, BARS, TemplateShape, TemplateSheet, WeightDrawing, WeightPicture, check_bars, template_sheets,
    weight_picture, weight_views,
};
use crate::{Palette, SheetError};

/// Margins of the page, mm: sides, top, bottom.
const PAGE: (f64, f64, f64) = (16.0, 18.0, 17.0);

/// Height of the words over a template, mm.
const HEAD: f64 = 21.0;

/// A row of the table of parts.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct WeightPart {
    /// The part.
    pub name: String,
    /// Its mass with its sign.
    pub mass: String,
    /// Its arm with its side.
    pub arm: String,
    /// Its moment with its side.
    pub moment: String,
}

/// A published shrink allowance.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct CastRow {
    /// The allowance in percent.
    pub percent: String,
    /// As the source prints it.
    pub printed: String,
    /// The source and how it came here.
    pub source: String,
    /// What to know about it.
    pub remark: String,
}

/// Everything that the sheet of a weight shows. An empty text or list leaves its place out.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct WeightPaper {
    /// The title block.
    pub title: TitleBlock,
    /// The answer in one sentence.
    pub answer: String,
    /// What else to know about it, a sentence each.
    pub notes: Vec<String>,
    /// The drawing.
    pub drawing: Option<WeightDrawing>,
    /// The picture.
    pub picture: Option<WeightPicture>,
    /// Metal, holes, hardware, films.
    pub parts: Vec<WeightPart>,
    /// The sum of the parts.
    pub total: WeightPart,
    /// The heading of what follows: "What to cast".
    pub making: String,
    /// What to cast, or to make.
    pub cast: Vec<Line>,
    /// What the scale must read as it is trimmed.
    pub trim: Vec<Line>,
    /// The margins of the fastening; each line asks the engineer.
    pub fastening: Vec<String>,
    /// Published shrink allowances.
    pub shrinkage: Vec<CastRow>,
    /// Cautions, in a frame.
    pub cautions: Vec<String>,
    /// Sources of the figures.
    pub sources: Vec<String>,
    /// What stands at the foot of every page.
    pub footer: Footer,
}

/// What the template reads.
#[derive(Serialize)]
struct Sheet {
    size: &'static str,
    palette: Palette,
    paper: WeightPaper,
    views: Option<Shown>,
    picture: Option<Shown>,
    picture_caption: &'static str,
    templates: Vec<TemplatePage>,
    refused: Vec<String>,
    /// The check bars, of the size of the room under the words.
    bars: String,
    room_mm: [f64; 2],
    head_mm: f64,
    /// Where the window begins, and its size.
    bars_mm: f64,
    window_mm: [f64; 2],
}

#[derive(Serialize)]
struct Shown {
    svg: String,
    words: String,
}

#[derive(Serialize)]
struct TemplatePage {
    title: String,
    svg: String,
    size_mm: [f64; 2],
    from_mm: [f64; 2],
}

impl From<TemplateSheet> for TemplatePage {
    fn from(sheet: TemplateSheet) -> Self {
        let TemplateSheet { title, svg, size_mm, from_mm } = sheet;
        Self { title, svg, size_mm, from_mm }
    }
}

impl PaperSize {
    fn page_mm(self) -> [f64; 2] {
        match self {
            Self::A4 => [210.0, 297.0],
            Self::Letter => [215.9, 279.4],
        }
    }
    /// The room under the words of a template page, mm.
    fn room_mm(self) -> [f64; 2] {
        let [width, height] = self.page_mm();
        [width - 2.0 * PAGE.0, height - PAGE.1 - PAGE.2 - HEAD]
    }
    /// The largest piece of a template that one sheet shows, mm.
    #[must_use]
    pub fn window_mm(self) -> [f64; 2] {
        let [width, height] = self.room_mm();
        [width - BARS.0, height - BARS.1]
    }
}

/// Sets the sheet of a weight as a PDF with templates at true size; the same input gives the same bytes.
///
/// Shapes that would take more than `most` sheets each are refused, and the sheet says so.
///
/// # Errors
/// As for [`super::pdf`].
pub fn weight_pdf(
    paper: &WeightPaper,
    shapes: &[TemplateShape],
    most: u32,
    size: PaperSize,
) -> Result<Vec<u8>, SheetError> {
    check(paper.title.day)?;
    let palette = Palette::paper();
    let mut canvas = size.canvas();
    let drawn = clean::labels(&paper.drawing)?;
    let views = drawn.as_ref().map(|drawing| {
        let svg = weight_views(drawing, &palette, canvas)?.into_string();
        Ok(Shown { svg, words: drawing::weight_in_words(drawing) })
    });
    canvas.width = (canvas.width + 12.0 - 14.0) / 2.0 - 12.0;
    let words = drawn
        .map_or_else(|| "picture of the weight".to_owned(), |drawing| format!("picture of {}", drawing.name));
    let picture = paper.picture.as_ref().map(|picture| {
        let svg = weight_picture(picture, &words, &palette, canvas)?.into_string();
        Ok(Shown { svg, words: words.clone() })
    });
    let templates = template_sheets(shapes, size.window_mm(), most, &palette);
    let sheet = Sheet {
        size: size.name(),
        views: views.transpose()?,
        picture: picture.transpose()?,
        picture_caption: if paper.picture.as_ref().is_some_and(|picture| !picture.holes.is_empty()) {
            "the body with the mouths of its holes; the pattern is without them"
        } else {
            "the body"
        },
        paper: clean::texts(&WeightPaper { drawing: None, picture: None, ..paper.clone() })?,
        templates: templates.sheets.into_iter().map(TemplatePage::from).collect(),
        refused: clean::texts(&templates.refused)?,
        bars: check_bars(size.room_mm(), &palette),
        room_mm: size.room_mm(),
        head_mm: HEAD,
        bars_mm: BARS.0,
        window_mm: size.window_mm(),
        palette,
    };
    let name = format!("{}\n{}\n{}", sheet.paper.title.document_id, paper.footer.fingerprint, paper.answer);
    let data = serde_json::to_vec(&sheet).map_err(|error| SheetError::Data { why: error.to_string() })?;
    press::print(press::Template::Weight, data, &name)
}
