//! What a finished piece gives once the scale has said its mass.
//!
//! Main function: [`fitted`]. S = m × x, m from the scale and x from the design, or from the casting where that was
//! balanced on an edge. The uncertainty is that of x and that of m: the finished piece counts as weighed on the scale that
//! weighed the casting. With m weighed, whatever is heavier than designed only moves x, towards its own place. [`by_the_scale`] says what
//! the finished piece must weigh after its casting was weighed. One half by itself ([`pieces`]) has its own mass and arm:
//! those of its casting by the design, with holes, hardware and films shared as the metal is. Not covered: a scale that
//! nobody described; halves that were cast unlike.

use super::work::Worked;
use hingeline_ballast::Moments;
use hingeline_ballast::design::{Half, Solution};
use hingeline_ballast::trim::Trim;

/// What a finished piece gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FittedMoment {
    /// kg m, positive tail-heavy.
    pub moment_kg_m: f64,
    /// x of its centre, m, positive aft.
    pub arm_m: f64,
    /// Of the moment, kg m.
    pub standard_uncertainty: f64,
}

/// The word for all of it.
pub const WHOLE: &str = "the whole piece";

/// What may be fitted by itself, in words: the whole, then its halves.
#[must_use]
pub fn pieces(worked: &Worked) -> Vec<String> {
    let halves = worked.solution().map_or(&[][..], |piece| piece.halves.as_slice());
    std::iter::once(WHOLE.to_owned()).chain(halves.iter().map(half_word)).collect()
}

fn half_word(half: &Half) -> String {
    format!("{} half", half.name)
}

/// What a piece in words is of the whole: its share of the mass, and how far aft of the whole its centre lies, m.
fn part_of(piece: &Solution, which: &str) -> (f64, f64) {
    let Some(half) = piece.halves.iter().find(|half| half_word(half) == which) else { return (1.0, 0.0) };
    let arm = |mass: &Moments| mass.first[0] / mass.total;
    (half.as_cast.total / piece.as_cast.total, arm(&half.as_cast) - arm(&piece.as_cast))
}

/// The moment of a finished piece, or of a half of it, of this mass, kg; none where the sheet has no piece.
///
/// `which`: one of [`pieces`]; any other word is the whole.
#[must_use]
pub fn fitted(worked: &Worked, which: &str, mass_kg: f64) -> Option<FittedMoment> {
    let piece = worked.solution()?;
    let (_, aft_m) = part_of(piece, which);
    let arm_m = arm(worked, piece) + aft_m;
    // The sensitivities are those of the whole piece; of a part of it, the share of its mass.
    let share = mass_kg / piece.finished.mass_kg;
    let of_place = share.abs() * at_known_mass(worked, piece);
    let scale = worked.sheet.trimming.as_ref().and_then(|trimming| trimming.weighings.last());
    let of_scale = scale.map_or(0.0, |weighing| arm_m * weighing.standard_uncertainty);
    Some(FittedMoment { moment_kg_m: mass_kg * arm_m, arm_m, standard_uncertainty: of_place.hypot(of_scale) })
}

/// What the finished piece must weigh by the last weighing of its casting.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ByTheScale {
    /// The casting with the hardware and films that still come to it, kg.
    pub mass_kg: f64,
    /// A mass that lies further off than this is worth a second look, kg.
    pub margin_kg: f64,
}

/// Share of its mass by which a finished piece may differ from its casting with what came to it.
const MARGIN: f64 = 0.05;
/// The same in steps of the scale, for a small piece on a coarse scale.
const MARGIN_STEPS: f64 = 4.0;

impl ByTheScale {
    /// Whether a finished mass, kg, is near enough.
    #[must_use]
    pub fn holds(&self, mass_kg: f64) -> bool {
        (mass_kg - self.mass_kg).abs() <= self.margin_kg
    }
    /// The least and the most mass that is near enough, kg.
    #[must_use]
    pub fn range(&self) -> [f64; 2] {
        [self.mass_kg - self.margin_kg, self.mass_kg + self.margin_kg]
    }
}

/// The finished mass of a piece in words by the last casting of the whole; none where none is judged.
#[must_use]
pub fn by_the_scale(worked: &Worked, which: &str) -> Option<ByTheScale> {
    let (share, _) = part_of(worked.solution()?, which);
    let step_kg = worked.sheet.trimming.as_ref()?.step_kg;
    let mass_kg = share * finished_kg(worked.trim.as_ref()?.judged.as_ref().ok()?);
    Some(ByTheScale { mass_kg, margin_kg: (MARGIN * mass_kg).max(MARGIN_STEPS * step_kg) })
}

fn finished_kg(trim: &Trim) -> f64 {
    trim.mass_kg + trim.made.mass_kg + trim.intended.to_come.iter().map(|part| part.mass_kg).sum::<f64>()
}

/// x of the finished piece: by the last casting, where one is judged.
fn arm(worked: &Worked, piece: &Solution) -> f64 {
    let judged = worked.trim.as_ref().and_then(|trimmed| trimmed.judged.as_ref().ok());
    let Some(trim) = judged else { return piece.finished.arm_m };
    let finished = finished_kg(trim);
    if finished <= 0.0 { piece.finished.arm_m } else { trim.moment_kg_m / finished }
}

/// The standard uncertainty of the finished moment, kg m, without that of the wanted one.
#[must_use]
pub fn made_within(worked: &Worked, piece: &Solution) -> f64 {
    let wanted = worked.sheet.design.wanted.standard_uncertainty;
    // Differences of squares may fall below nothing by rounding.
    (piece.standard_uncertainty.powi(2) - wanted.powi(2)).max(0.0).sqrt()
}

/// The same once the mass is known. What brings a mass dm with a moment dS moves the arm only: m dx = dS − x dm, x that
/// of the finished piece (docs/formulas.md).
fn at_known_mass(worked: &Worked, piece: &Solution) -> f64 {
    let design = &worked.sheet.design;
    let (by, x) = (&piece.sensitivity, piece.finished.arm_m);
    let moves = |moment: f64, mass: f64| moment - x * mass;
    let (metal, accuracy) = (&piece.as_drilled, design.accuracy);
    let of_metal = moves(metal.first[0], metal.total) / design.density.kg_m3;
    let slope = by.moment_per_dimension.zip(by.mass_per_dimension);
    let of_dimension = slope.map_or(0.0, |(moment, mass)| moves(moment, mass));
    let mut terms = vec![
        by.moment_per_position * accuracy.position,
        of_metal * design.density.standard_uncertainty,
        of_dimension * accuracy.dimension,
    ];
    let front = piece.envelope.front;
    terms.extend(
        design.hardware.iter().map(|item| moves(item.place.x(front), 1.0) * item.standard_uncertainty),
    );
    if let Some(skin) = piece.body.skin {
        let of_film = moves(skin.first[0], skin.area);
        terms.extend(design.films.iter().map(|film| of_film * film.standard_uncertainty));
    }
    terms.into_iter().fold(0.0, f64::hypot)
}
