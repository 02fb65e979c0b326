//! A pattern of a weight as STL, grown by the shrinkage the user sets: the body as it is cast, before holes.
//!
//! Main functions: [`pattern_stl`] and [`pattern_sized`]. The whole and every half are one closed skin each.

use hingeline_ballast::design::{Fault, Solution};
use hingeline_ballast::{Matrix, Mesh};
use hingeline_bench::weight::{Hand, Worked};
use hingeline_quantity::Unit;

use super::{Poured, Size};

/// How far the flat sides of a pattern lie from the true surface at most, m.
const PATTERN: f64 = 1e-5;

/// From outboard to inboard.
const MIRROR: Matrix = [[1.0, 0.0, 0.0], [0.0, -1.0, 0.0], [0.0, 0.0, 1.0]];

/// A file for a pattern.
#[derive(Debug, Clone, PartialEq)]
pub struct Pattern {
    /// What it is: "whole", or the name of the half.
    pub name: &'static str,
    /// A binary STL file.
    pub bytes: Vec<u8>,
}

/// The cast body as STL, grown about the hinge line by a shrinkage (0.01 for 1 %, from −0.5 to 0.5), one unit of the file
/// as given: the whole, then each half. That of a left-hand surface is the mirror image. A measured piece has all the
/// triangles that it was measured by.
///
/// # Errors
/// - [`Fault::NoMesh`]: a measured piece without its surface
/// - [`Fault::Mesh`]: the sides cross
/// - [`Fault::Number`]: a shrinkage that cannot be
pub fn pattern_stl(
    solution: &Solution,
    hand: Hand,
    shrinkage: f64,
    unit: &Unit,
) -> Result<Vec<Pattern>, Fault> {
    patterns(solution, ("exact", hand), shrinkage, unit)
}

/// The same of the piece of a weight sheet, exact or with its reserve, and which of them it is: exact where there is no
/// reserve. None where there is no piece.
///
/// # Errors
/// As for [`pattern_stl`].
pub fn pattern_sized(
    worked: &Worked,
    size: Size,
    shrinkage: f64,
    unit: &Unit,
) -> Result<Option<(String, Vec<Pattern>)>, Fault> {
    let Some(piece) = worked.solution() else { return Ok(None) };
    let poured = if size == Size::Exact { None } else { Poured::of(worked) };
    let (words, piece) = match &poured {
        Some(poured) => (poured.words.as_str(), poured.solution.as_ref()),
        None => ("exact", piece),
    };
    let files = patterns(piece, (words, worked.sheet.hand), shrinkage, unit)?;
    Ok(Some((words.to_owned(), files)))
}

fn patterns(
    solution: &Solution,
    (words, hand): (&str, Hand),
    shrinkage: f64,
    unit: &Unit,
) -> Result<Vec<Pattern>, Fault> {
    if !(-0.5..=0.5).contains(&shrinkage) {
        let allowed = "-0.5 to 0.5, as 0.01 for 1 %";
        return Err(Fault::Number { what: "the shrinkage", value: shrinkage, allowed });
    }
    let file = |name: &'static str, mesh: &Mesh| {
        let grown = mesh.scaled(1.0 + shrinkage);
        let (side, mesh) = match hand {
            Hand::Right => ("", grown),
            Hand::Left => ("left-hand ", grown.mapped(&MIRROR)),
        };
        let header =
            format!("{side}{name}, {} per unit, grown by {:.2} %, {words}", unit.symbol, 100.0 * shrinkage);
        Pattern { name, bytes: mesh.write_stl(unit.factor, &header) }
    };
    let mut files = vec![file("whole", &solution.mesh(PATTERN)?)];
    for half in &solution.halves {
        files.push(file(half.name, &half.mesh(PATTERN)?));
    }
    Ok(files)
}
