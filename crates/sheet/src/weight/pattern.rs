//! The surface of a weight: for a pattern as STL, grown by the shrinkage the user sets, and for pictures as JSON.
//!
//! Main functions: [`pattern_stl`], [`pattern_sized`] and [`surface_json`]. A piece with end walls is several closed bodies that touch.

use std::collections::BTreeMap;

use hingeline_ballast::Mesh;
use hingeline_ballast::design::{Fault, Prism, Solution};
use hingeline_bench::weight::Worked;
use hingeline_quantity::Unit;
use serde::Serialize;

use super::{Poured, Size};

/// How far the flat sides of a pattern lie from the true surface at most, m.
const PATTERN: f64 = 1e-5;

/// A file for a pattern.
#[derive(Debug, Clone, PartialEq)]
pub struct Pattern {
    /// What it is: "whole", or the name of the half.
    pub name: &'static str,
    /// A binary STL file.
    pub bytes: Vec<u8>,
}

/// The cast body as STL, grown about the hinge line by a shrinkage (0.01 for 1 %, from −0.5 to 0.5), one unit of the file
/// as given: the whole, then each half.
///
/// # Errors
/// - [`Fault::NoMesh`]: a frustum or a measured piece
/// - [`Fault::Mesh`]: the sides cross
/// - [`Fault::Number`]: a shrinkage that cannot be
pub fn pattern_stl(solution: &Solution, shrinkage: f64, unit: &Unit) -> Result<Vec<Pattern>, Fault> {
    patterns(solution, "exact", shrinkage, unit)
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
    let files = patterns(piece, words, shrinkage, unit)?;
    Ok(Some((words.to_owned(), files)))
}

fn patterns(solution: &Solution, words: &str, shrinkage: f64, unit: &Unit) -> Result<Vec<Pattern>, Fault> {
    if !(-0.5..=0.5).contains(&shrinkage) {
        let allowed = "-0.5 to 0.5, as 0.01 for 1 %";
        return Err(Fault::Number { what: "the shrinkage", value: shrinkage, allowed });
    }
    let file = |name: &'static str, mesh: &Mesh| {
        let header =
            format!("{name}, {} per unit, grown by {:.2} %, {words}", unit.symbol, 100.0 * shrinkage);
        Pattern { name, bytes: mesh.scaled(1.0 + shrinkage).write_stl(unit.factor, &header) }
    };
    let mut files = vec![file("whole", &solution.mesh(PATTERN)?)];
    for half in &solution.halves {
        files.push(file(half.name, &mesh_of(&half.prisms)?));
    }
    Ok(files)
}

fn mesh_of(prisms: &[Prism]) -> Result<Mesh, Fault> {
    let mut mesh = Mesh::default();
    for prism in prisms {
        mesh.append(Mesh::extruded(&prism.outline.polygon(PATTERN), prism.from_y, prism.to_y)?);
    }
    Ok(mesh)
}

/// The triangles of the body before holes, m, with flat sides no further from it than a tolerance, m, above 0.
///
/// # Errors
/// As for [`Solution::mesh`].
pub fn surface(solution: &Solution, tolerance: f64) -> Result<Vec<[[f64; 3]; 3]>, Fault> {
    Ok(solution.mesh(tolerance)?.triangles().to_vec())
}

/// What a page's script reads: whole numbers of a hundredth of a millimetre.
#[derive(Serialize)]
struct Shared {
    /// Metres in one of the corners' numbers.
    unit_m: f64,
    /// x, y, z of every corner, one after the other.
    corners: Vec<i64>,
    /// Three indices of corners for every triangle.
    triangles: Vec<u32>,
}

/// The same as compact JSON: `{"unit_m":1e-5,"corners":[x,y,z,…],"triangles":[a,b,c,…]}`, x aft, y outboard, z up.
///
/// # Errors
/// As for [`Solution::mesh`].
pub fn surface_json(solution: &Solution, tolerance: f64) -> Result<String, Fault> {
    let unit_m = 1e-5;
    let mut places: BTreeMap<[i64; 3], u32> = BTreeMap::new();
    let mut shared = Shared { unit_m, corners: Vec::new(), triangles: Vec::new() };
    for triangle in surface(solution, tolerance)? {
        let corners = triangle.map(|corner| corner.map(|value| whole(value / unit_m)));
        let [a, b, c] = corners.map(|corner| {
            let next = u32::try_from(places.len()).unwrap_or(u32::MAX);
            *places.entry(corner).or_insert_with(|| {
                shared.corners.extend(corner);
                next
            })
        });
        if a != b && b != c && c != a {
            shared.triangles.extend([a, b, c]);
        }
    }
    Ok(serde_json::to_string(&shared).unwrap_or_default())
}

#[expect(clippy::cast_possible_truncation, reason = "the mesh keeps within 1e4 m: 1e9 of the unit")]
fn whole(value: f64) -> i64 {
    value.round() as i64
}
