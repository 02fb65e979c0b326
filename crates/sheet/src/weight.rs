//! A balance weight that was found, as drawings, paper, pattern and surface.
//!
//! Main functions: [`drawing_of`], [`weight_paper`], [`pattern_stl`] and [`picture_of`]; main type: [`WeightTexts`], what
//! the caller says about it. The numbers are those of the [`Solution`]; here they only get words and units. A measured
//! piece is drawn by its surface, coarsened, and has no templates: it was drawn elsewhere.

mod pattern;
mod picture;
mod shapes;
mod views;
mod words;
mod wrap;

use hingeline_ballast::design::{Design, Solution};
use hingeline_ballast::shrinkage::{self, Allowance};
use hingeline_bench::weight::{Hand, Worked, reserve, words as sheet_words};
use hingeline_bench::words::CAUTIONS;
use hingeline_quantity::Unit;

use crate::SheetError;
use crate::job::short;
use crate::paper::{CastRow, Footer, Line, PaperSize, TitleBlock, WeightPaper, weight_pdf};

pub use pattern::{Pattern, pattern_sized, pattern_stl};
pub use picture::{picture_of, surface_json};
pub use shapes::template_shapes;
pub use views::drawing_of;

/// The cautions that belong to a cast weight, of those of the main job: flutter, lead, molten metal, paint.
const CAST_CAUTIONS: [usize; 4] = [0, 2, 3, 4];

/// How far the flat sides of the picture lie from the piece at most, as a share of its size.
const PICTURE: f64 = 2e-3;

/// The units that the shop writes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeightUnits {
    /// Of lengths.
    pub length: &'static Unit,
    /// Of masses.
    pub mass: &'static Unit,
    /// Of moments.
    pub moment: &'static Unit,
}

/// Of which piece templates and pattern are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Size {
    /// The piece as it is to be when it is trimmed.
    Exact,
    /// The casting as it is poured, with the metal that trimming takes off.
    WithReserve,
}

/// A piece with its reserve.
#[derive(Debug, Clone, PartialEq)]
pub struct Poured {
    /// The piece.
    pub solution: Box<Solution>,
    /// Which it is: "with the reserve, 0.137 in thick".
    pub words: String,
}

impl Poured {
    /// That of a weight sheet; none where there is no reserve, or no dimension that carries it.
    #[must_use]
    pub fn of(worked: &Worked) -> Option<Self> {
        let solution = Box::new(reserve::as_cast(worked)?);
        let piece = worked.solution()?;
        let ((dimension, _), value) = (piece.value?, piece.reserve?.dimension_m?);
        let words = sheet_words::Speech::of(worked).dimension(dimension, value);
        Some(Self { solution, words: format!("with the reserve, {words}") })
    }
}

/// What the caller says about a weight.
#[derive(Debug, Clone, PartialEq)]
pub struct WeightTexts {
    /// The title block of the paper.
    pub title: TitleBlock,
    /// The metal, such as "lead".
    pub metal: String,
    /// The units.
    pub units: WeightUnits,
    /// Of which surface it is.
    pub hand: Hand,
    /// What the old weight is, for the key; empty for "old weight, front as traced".
    pub old: String,
    /// The front of an old weight that the form does not hold, x and z in m; may be empty.
    pub old_front: Vec<[f64; 2]>,
    /// Further sentences under the answer.
    pub notes: Vec<String>,
    /// Trim targets beyond those of the design, such as the steps of a saw cut.
    pub trim: Vec<Line>,
    /// The lines of the screening of the fastening, see [`hingeline_ballast::fastening::Screening::lines`].
    pub fastening: Vec<String>,
    /// Cautions beyond the usual ones.
    pub cautions: Vec<String>,
    /// Sources of density, limits and the like.
    pub sources: Vec<String>,
    /// What stands at the foot of every page.
    pub footer: Footer,
    /// The piece with its reserve, where there is one.
    pub poured: Option<Poured>,
    /// Of which piece the templates are; exact where there is none with a reserve.
    pub templates: Size,
    /// The most sheets that one template may take.
    pub most_sheets: u32,
}

impl WeightTexts {
    /// Nothing but the metal and the units, of a right-hand surface; up to 12 sheets for a template.
    #[must_use]
    pub fn new(metal: &str, units: WeightUnits) -> Self {
        Self {
            title: TitleBlock::default(),
            metal: metal.to_owned(),
            units,
            hand: Hand::Right,
            old: String::new(),
            old_front: Vec::new(),
            notes: Vec::new(),
            trim: Vec::new(),
            fastening: Vec::new(),
            cautions: Vec::new(),
            sources: Vec::new(),
            footer: Footer::default(),
            poured: None,
            templates: Size::Exact,
            most_sheets: 12,
        }
    }
}

/// What the paper of a weight sheet says, for a job's number; `checks`: how many published checks agree, of how many.
#[must_use]
pub fn texts_of(worked: &Worked, job: &str, (agreed, total): (usize, usize)) -> WeightTexts {
    let units = worked.sheet.units;
    let units = WeightUnits { length: units.length, mass: units.mass, moment: units.moment };
    WeightTexts {
        title: TitleBlock {
            document: "Balance weight".to_owned(),
            job: job.to_owned(),
            surface: worked.sheet.name.clone(),
            ..TitleBlock::default()
        },
        notes: sheet_words::beyond(worked).into_iter().map(sentence).collect(),
        trim: steps(sheet_words::trim(worked)),
        fastening: sheet_words::fastening(worked),
        sources: sheet_words::sources(worked),
        poured: Poured::of(worked),
        hand: worked.sheet.hand,
        footer: Footer {
            program: concat!("hingeline ", env!("CARGO_PKG_VERSION")).to_owned(),
            checks: format!("published checks on this machine: {agreed} of {total} agree"),
            fingerprint: short(&worked.sheet.fingerprint),
        },
        ..WeightTexts::new(&worked.sheet.metal.name, units)
    }
}

/// A line of the terminal as a sentence of the paper.
fn sentence(line: String) -> String {
    let mut line = line + ".";
    if let Some(first) = line.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    line
}

/// The steps of trimming under one name.
fn steps(lines: Vec<String>) -> Vec<Line> {
    let name = |index: usize| if index == 0 { "the casting on the scale".to_owned() } else { String::new() };
    lines.into_iter().enumerate().map(|(index, value)| Line { name: name(index), value }).collect()
}

/// A published shrink allowance for page and paper.
#[must_use]
pub fn shrink_rows() -> Vec<CastRow> {
    let row = |allowance: &Allowance| CastRow {
        percent: allowance.percent(),
        printed: allowance.printed.to_owned(),
        source: format!("{}; {}", allowance.source, allowance.grade.words()),
        remark: allowance.remark.to_owned(),
    };
    shrinkage::allowances().iter().map(row).collect()
}

/// Everything that the paper of a weight shows.
#[must_use]
pub fn paper_of(design: &Design, solution: &Solution, texts: &WeightTexts) -> WeightPaper {
    let say = words::Voice { units: texts.units };
    let usual =
        CAST_CAUTIONS.iter().filter_map(|index| CAUTIONS.get(*index)).map(|caution| (*caution).to_owned());
    let mut trim = say.trim(solution);
    trim.extend(texts.trim.iter().cloned());
    WeightPaper {
        title: texts.title.clone(),
        answer: say.answer(solution, &texts.metal),
        notes: say
            .notes(design, solution)
            .into_iter()
            .chain(texts.notes.iter().cloned())
            .chain(templates_note(texts))
            .chain(views::coarse_note(solution))
            .collect(),
        drawing: Some(drawing_of(design, solution, texts)),
        picture: picture_of(design, solution, texts.hand, PICTURE * views::size_of(solution)).ok(),
        parts: say.parts(solution),
        total: say.total(solution),
        cast: say.cast(design, solution),
        trim,
        fastening: texts.fastening.clone(),
        shrinkage: shrink_rows(),
        cautions: usual.chain(texts.cautions.iter().cloned()).collect(),
        sources: texts.sources.clone(),
        footer: texts.footer.clone(),
    }
}

/// Of which piece the templates are, where there are two.
fn templates_note(texts: &WeightTexts) -> Option<String> {
    let words = &texts.poured.as_ref()?.words;
    Some(match texts.templates {
        Size::Exact => format!(
            "The templates are exact, of the trimmed piece; the section {words}, to be poured, follows them."
        ),
        Size::WithReserve => {
            format!("The templates are {words}: of the casting to be poured, not of the trimmed piece.")
        }
    })
}

/// The paper of a weight as a PDF: the answer, drawings, tables and cautions, then the templates at true size.
///
/// # Errors
/// As for [`weight_pdf`].
pub fn weight_paper(
    design: &Design,
    solution: &Solution,
    texts: &WeightTexts,
    size: PaperSize,
) -> Result<Vec<u8>, SheetError> {
    let shapes = template_shapes(design, solution, texts);
    weight_pdf(&paper_of(design, solution, texts), &shapes, texts.most_sheets, size)
}
