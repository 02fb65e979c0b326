//! Where a casting with its reserve goes beyond what the finished piece may be, before it is trimmed.
//!
//! Main functions: `beyond` and [`as_cast`], the piece as it is poured. The reserve is reckoned without the limits of
//! space, since what is too much is trimmed off again; here those limits are held against it, so that nobody fits the
//! casting first.

use super::sheet::WeightSheet;
use super::work::Worked;
use hingeline_ballast::design::{Design, Limit, Solution, Vary};

/// One limit that the untrimmed casting breaks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beyond {
    /// Which.
    pub limit: Limit,
    /// What it has, m or kg.
    pub found: f64,
    /// What is allowed, m or kg.
    pub allowed: f64,
}

impl Beyond {
    /// The unit of both numbers.
    #[must_use]
    pub fn unit(&self) -> &'static str {
        if self.limit == Limit::Capacity { "kg" } else { "m" }
    }
}

/// Every limit of `[vary]` and `[space]` that the casting breaks with its reserve.
pub(super) fn beyond(sheet: &WeightSheet, piece: &Solution) -> Vec<Beyond> {
    let design = &sheet.design;
    let Some(reserve) = piece.reserve.filter(|reserve| 0.0 < reserve.mass_kg) else { return Vec::new() };
    let space = &design.space;
    let as_cast = reserve.dimension_m.and_then(|value| larger(design, piece, value));
    let mass =
        as_cast.as_ref().map_or(piece.finished.mass_kg + reserve.mass_kg, |piece| piece.finished.mass_kg);
    let most = match design.vary {
        Vary::Dimension { most, .. } => Some(most),
        Vary::Plates { .. } | Vary::Nothing => None,
    };
    let reach = as_cast.map_or(piece.envelope, |piece| piece.envelope);
    let all = [
        (Limit::Bound, reserve.dimension_m.unwrap_or(0.0), most),
        (Limit::Forward, -reach.front, space.forward),
        (Limit::Above, reach.top, space.above),
        (Limit::Below, -reach.bottom, space.below),
        (Limit::Swing, reach.swing, space.swing),
        (Limit::Span, reach.span, space.span),
        (Limit::Capacity, mass, space.capacity),
    ];
    let broken = all.into_iter().filter_map(|(limit, found, allowed)| {
        let allowed = allowed.filter(|allowed| allowed + 1e-9 * allowed.abs() < found)?;
        Some(Beyond { limit, found, allowed })
    });
    broken.collect()
}

/// The piece with its reserve, as it is poured: none where there is no reserve, or no dimension that carries it.
#[must_use]
pub fn as_cast(worked: &Worked) -> Option<Solution> {
    let piece = worked.solution()?;
    let reserve = piece.reserve.filter(|reserve| 0.0 < reserve.mass_kg)?;
    larger(&worked.sheet.design, piece, reserve.dimension_m?)
}

/// The piece with its dimension as cast.
fn larger(design: &Design, piece: &Solution, value: f64) -> Option<Solution> {
    let (dimension, _) = piece.value?;
    let form = piece.form.with(dimension, value).ok()?;
    Design { form, vary: Vary::Nothing, ..design.clone() }.reckon().ok()
}
