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
use hingeline_bench::weight::words::Speech;
use hingeline_bench::weight::{Hand, Worked, reserve, words as sheet_words};
use hingeline_bench::words::CAUTIONS;

use crate::SheetError;
use crate::job::short;
use crate::paper::{CastRow, Footer, Line, PaperSize, TitleBlock, WeightPaper, weight_pdf};

pub use pattern::{Pattern, pattern_sized, pattern_stl};
pub use picture::{picture_of, surface_json};
pub use shapes::template_shapes;
pub use views::drawing_of;

/// How far the flat sides of the picture lie from the piece at most, as a share of its size.
const PICTURE: f64 = 2e-3;

/// Of which piece templates and pattern are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Size {
    /// The piece as it is to be when it is trimmed.
    Exact,
    /// The casting as it is poured, with the metal that trimming takes off.
    WithReserve,
}

/// How a piece comes to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Making {
    /// It is poured.
    Cast,
    /// It is cut and machined, or stacked of plates.
    Machined,
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
        let words = Speech::of(worked).dimension(dimension, value);
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
    /// How its numbers are said.
    pub say: Speech,
    /// How closely its casting must come, kg; none where nobody said.
    pub tolerance_kg: Option<f64>,
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
    /// How it is made.
    pub making: Making,
    /// The cautions that belong to it.
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
    /// Nothing but the metal and how numbers are said, of a right-hand surface, cast, with the cautions of cast lead; up to
    /// 12 sheets for a template.
    #[must_use]
    pub fn new(metal: &str, say: Speech) -> Self {
        Self {
            title: TitleBlock::default(),
            metal: metal.to_owned(),
            say,
            tolerance_kg: None,
            hand: Hand::Right,
            old: String::new(),
            old_front: Vec::new(),
            notes: Vec::new(),
            trim: Vec::new(),
            fastening: Vec::new(),
            making: Making::Cast,
            cautions: [0, 2, 3, 4].map(|index| CAUTIONS[index].to_owned()).to_vec(),
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
    WeightTexts {
        tolerance_kg: worked.sheet.trimming.as_ref().map(|trimming| trimming.tolerance.mass_kg),
        title: TitleBlock {
            document: "Balance weight".to_owned(),
            job: job.to_owned(),
            surface: worked.sheet.name.clone(),
            ..TitleBlock::default()
        },
        notes: sheet_words::beyond(worked).into_iter().map(sentence).collect(),
        trim: steps(sheet_words::trim(worked)),
        making: if sheet_words::casts(worked) { Making::Cast } else { Making::Machined },
        cautions: sheet_words::cautions(worked).into_iter().map(str::to_owned).collect(),
        fastening: sheet_words::fastening(worked),
        sources: sheet_words::sources(worked),
        poured: Poured::of(worked),
        hand: worked.sheet.hand,
        footer: Footer {
            program: concat!("hingeline ", env!("CARGO_PKG_VERSION")).to_owned(),
            checks: format!("published checks on this machine: {agreed} of {total} agree"),
            fingerprint: short(&worked.sheet.fingerprint),
        },
        ..WeightTexts::new(&worked.sheet.metal.name, Speech::of(worked))
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
    let name = |index: usize| if index == 0 { "the piece on the scale".to_owned() } else { String::new() };
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
    let say = &texts.say;
    let mut trim = words::trim(texts, solution);
    trim.extend(texts.trim.iter().cloned());
    WeightPaper {
        title: texts.title.clone(),
        answer: words::answer(say, solution, &texts.metal),
        notes: words::notes(say, design, solution)
            .into_iter()
            .chain(texts.notes.iter().cloned())
            .chain(templates_note(texts))
            .chain(views::coarse_note(solution))
            .collect(),
        drawing: Some(drawing_of(design, solution, texts)),
        picture: picture_of(design, solution, texts.hand, PICTURE * views::size_of(solution)).ok(),
        parts: words::parts(say, solution),
        total: words::total(say, solution),
        making: match texts.making {
            Making::Cast => "What to cast",
            Making::Machined => "What to make",
        }
        .to_owned(),
        cast: words::make(texts, design, solution),
        trim,
        fastening: texts.fastening.clone(),
        shrinkage: if texts.making == Making::Cast { shrink_rows() } else { Vec::new() },
        cautions: texts.cautions.clone(),
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
