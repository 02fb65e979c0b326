//! What a weight sheet comes to: the piece, the casting on the scale, the fastening.
//!
//! Main function: [`work`]. Everything is worked out by `hingeline-ballast`; here the parts meet.

use super::casting::{AtHand, Trimming};
use super::insert::InsertAtHand;
use super::reserve::{self, Beyond};
use super::sheet::WeightSheet;
use hingeline_ballast::design::{self, Form, Kind, Solution, Space, Vary};
use hingeline_ballast::fastening::{Body, Screening, screen};
use hingeline_ballast::trim::{self, Insert, Intended, Made, Remedy, State, Tool, Trim, Way, Weighing};

/// A weight sheet with all that follows from it.
#[derive(Debug, Clone)]
pub struct Worked {
    /// The sheet.
    pub sheet: WeightSheet,
    /// The piece, or why there is none.
    pub outcome: Result<Box<Solution>, design::Fault>,
    /// The limits that the casting breaks with its reserve, before it is trimmed.
    pub beyond: Vec<Beyond>,
    /// The casting on the scale, where there is a piece and a casting.
    pub trim: Option<Trimmed>,
    /// The screening of the fastening, where there is a piece and the sheet says how it is held.
    pub screening: Option<Screening>,
}

/// A casting judged, and what can be done with it.
#[derive(Debug, Clone)]
pub struct Trimmed {
    /// The judgement, or why it cannot be judged.
    pub judged: Result<Trim, trim::Fault>,
    /// Every tool at hand with its way, where mass must go.
    pub ways: Vec<(AtHand, Result<Way, NoWay>)>,
    /// What makes good what is lacking, where it is too light.
    pub remedies: Vec<Remedy>,
    /// Every denser metal at hand with the insert that makes it good, where it is too light.
    pub inserts: Vec<(InsertAtHand, Result<Insert, trim::Fault>)>,
}

/// Why a tool is of no use.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoWay {
    /// The piece does not tell what the tool needs.
    #[error("this form has no {0} to reckon with")]
    NotKnown(&'static str),
    /// The saw would go through an end wall.
    #[error("{:.3} mm would have to go, and the end wall is {:.3} mm thick", needed * 1e3, wall * 1e3)]
    EndWall {
        /// The slice and the cut, m.
        needed: f64,
        /// m.
        wall: f64,
        /// The smallest wall, which must stay, m; 0 where none is asked for.
        stays: f64,
    },
    /// It cannot be done.
    #[error(transparent)]
    Trim(#[from] trim::Fault),
}

/// Where a sheet stands, and so the exit status.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// There is a piece, and no casting that is too light.
    Solved,
    /// There is a piece that gives less than is wanted, because nothing may vary.
    Short,
    /// There is no piece.
    NoPiece,
    /// The casting is too light, or cannot be judged.
    TooLight,
}

impl Standing {
    /// Its word in the answer.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Solved => "solved",
            Self::Short => "short",
            Self::NoPiece => "no piece",
            Self::TooLight => "too light",
        }
    }
}

impl Worked {
    /// The piece, where there is one.
    #[must_use]
    pub fn solution(&self) -> Option<&Solution> {
        self.outcome.as_ref().ok().map(AsRef::as_ref)
    }
    /// Where the sheet stands.
    #[must_use]
    pub fn standing(&self) -> Standing {
        let Ok(solution) = &self.outcome else {
            return Standing::NoPiece;
        };
        let light = |trimmed: &Trimmed| match &trimmed.judged {
            Ok(trim) => trim.state == State::TooLight,
            Err(_) => true,
        };
        if self.trim.as_ref().is_some_and(light) {
            return Standing::TooLight;
        }
        if self.sheet.design.vary == Vary::Nothing && self.lacking(solution) {
            Standing::Short
        } else {
            Standing::Solved
        }
    }
    /// Whether a piece of which nothing may vary gives less than is wanted, beyond the uncertainty of the wish.
    fn lacking(&self, solution: &Solution) -> bool {
        let wanted = self.sheet.design.wanted;
        let towards = solution.remaining_kg_m * wanted.moment_kg_m.signum();
        2.0 * wanted.standard_uncertainty + 1e-9 * wanted.moment_kg_m.abs() < towards
    }
}

/// Works a sheet out.
#[must_use]
pub fn work(sheet: WeightSheet) -> Worked {
    let outcome = sheet.design.solve().map(Box::new);
    let piece = outcome.as_deref().ok();
    let trim = piece
        .zip(sheet.trimming.as_ref())
        .map(|(piece, trimming)| trimmed(piece, trimming, &sheet.design.space));
    let screening = piece.and_then(|piece| screening(piece, &sheet));
    let beyond = piece.map_or(Vec::new(), |piece| reserve::beyond(&sheet, piece));
    Worked { outcome, beyond, trim, screening, sheet }
}

fn trimmed(piece: &Solution, trimming: &Trimming, space: &Space) -> Trimmed {
    let weighings: Vec<Weighing> = trimming
        .weighings
        .iter()
        .zip(&trimming.made)
        .map(|(weighing, made)| Weighing { made: made_in(piece, made), ..*weighing })
        .collect();
    let judged = Trim::of(Intended::of(piece), trimming.tolerance, &weighings);
    let (mut ways, mut remedies, mut inserts) = (Vec::new(), Vec::new(), Vec::new());
    if let Ok(trim) = &judged {
        if trim.state == State::ToTrim {
            ways =
                trimming.tools.iter().map(|tool| (tool.clone(), way(trim, (piece, space), tool))).collect();
        }
        if trim.state == State::TooLight {
            inserts = trimming.inserts.iter().map(|hand| (hand.clone(), trim.insert(&hand.stock))).collect();
        }
        remedies = trim.remedies(trim.arm_m).unwrap_or_default();
    }
    Trimmed { judged, ways, remedies, inserts }
}

/// What the holes took that are made already, by their place among those of the sheet.
fn made_in(piece: &Solution, made: &[usize]) -> Made {
    let holes: Vec<_> = piece.parts.iter().filter(|part| part.kind == Kind::Hole).collect();
    let holes = made.iter().filter_map(|index| holes.get(*index));
    holes.fold(Made::default(), |sum, hole| Made {
        mass_kg: sum.mass_kg - hole.mass_kg,
        moment_kg_m: sum.moment_kg_m - hole.moment_kg_m,
    })
}

fn way(trim: &Trim, (piece, space): (&Solution, &Space), at_hand: &AtHand) -> Result<Way, NoWay> {
    let stays = space.smallest_wall.unwrap_or(0.0);
    let wall = end_wall(piece, at_hand, stays);
    match (trim.way(&tool(piece, at_hand, wall.map(|wall| wall - stays))?), wall) {
        (Err(trim::Fault::TooDeep { needed, .. }), Some(wall)) => Err(NoWay::EndWall { needed, wall, stays }),
        (way, _) => Ok(way?),
    }
}

/// The thickness of the end walls, where they stop the saw before its own bound: of a wall so much must stay, and behind
/// it is another section.
fn end_wall(piece: &Solution, at_hand: &AtHand, stays: f64) -> Option<f64> {
    match (&piece.form, at_hand) {
        (Form::Cap { end_walls: Some(wall), .. }, AtHand::Saw { most, .. }) if wall - stays < *most => {
            Some(*wall)
        }
        _ => None,
    }
}

/// A tool with the area and the place that the piece gives it; a saw takes no more than a length, where one is given.
fn tool(piece: &Solution, at_hand: &AtHand, no_more: Option<f64>) -> Result<Tool, NoWay> {
    match at_hand {
        AtHand::Drill(drilling) => Ok(Tool::Drill(drilling.clone())),
        AtHand::Saw { kerf, ends, most } => {
            let most = no_more.unwrap_or(*most).max(f64::MIN_POSITIVE);
            Tool::saw(piece, *kerf, *ends, most).ok_or(NoWay::NotKnown("section at its ends"))
        }
        AtHand::File { most } => Tool::file(piece, *most).ok_or(NoWay::NotKnown("skin")),
    }
}

/// All mass of the finished piece, at its own arm; along the hinge line and up it is where its metal is.
fn screening(piece: &Solution, sheet: &WeightSheet) -> Option<Screening> {
    let [_, y, z] = piece.as_drilled.centroid()?;
    let weight = Body { mass_kg: piece.finished.mass_kg, at: [piece.finished.arm_m, y, z] };
    // What is wrong with the fastening itself was told when the sheet was read.
    screen(&sheet.holding.as_ref()?.of(weight)).ok()
}
