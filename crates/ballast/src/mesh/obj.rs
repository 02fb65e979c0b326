//! Wavefront OBJ: the corners (`v`) and the faces (`f`) that name them, with positive or negative numbers and with or
//! without texture and normal behind a slash. A polygon is cut into a fan from its first corner.
//!
//! Not covered: free-form curves and surfaces, and all else that is no flat face; such lines are passed over, and what
//! is missing then shows as open edges. Source: Wavefront, Advanced Visualizer, appendix B1, from memory.

use super::lines::{Line, excerpt, lines};
use super::read::Parsed;
use super::{LineProblem, MOST_TRIANGLES, MOST_VERTICES, MeshFault, MeshFormat, Triangle};
use crate::Vector;

/// Reads a file.
pub(super) fn read(bytes: &[u8], unit_m: f64) -> Result<Parsed, MeshFault> {
    let (mut vertices, mut triangles) = (Vec::new(), Vec::new());
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    for mut line in lines(bytes, MeshFormat::Obj) {
        match line.word() {
            Some(b"v") => vertices.push(line.place(unit_m)?),
            Some(b"f") => face(&mut line, &vertices, &mut triangles)?,
            _ => {}
        }
        if MOST_TRIANGLES < triangles.len() || MOST_VERTICES < vertices.len() {
            return Err(MeshFault::TooMany);
        }
    }
    Ok(Parsed { triangles, notes: Vec::new(), unit_m, survey: None })
}

fn face(line: &mut Line<'_>, vertices: &[Vector], triangles: &mut Vec<Triangle>) -> Result<(), MeshFault> {
    let mut fan: Option<(Vector, Vector)> = None;
    let mut count = 0;
    while let Some(word) = line.word().filter(|word| !word.starts_with(b"#")) {
        let corner = corner(word, vertices)
            .ok_or_else(|| line.fault(LineProblem::Index { index: excerpt(word), count: vertices.len() }))?;
        count += 1;
        if let Some((first, last)) = fan.filter(|_| 2 < count) {
            triangles.push([first, last, corner]);
        }
        fan = Some((fan.map_or(corner, |(first, _)| first), corner));
    }
    if count < 3 || MOST_TRIANGLES < triangles.len() {
        return Err(if count < 3 { line.fault(LineProblem::Corners { count }) } else { MeshFault::TooMany });
    }
    Ok(())
}

/// The corner that `7`, `7/1`, `7/1/3`, `7//3` or `-1` names: from 1 at the first, from -1 back from the last.
fn corner(word: &[u8], vertices: &[Vector]) -> Option<Vector> {
    let index = word.split(|byte| *byte == b'/').next()?;
    let index: i64 = std::str::from_utf8(index).ok()?.parse().ok()?;
    let back = usize::try_from(index.unsigned_abs()).ok()?;
    let at = if index < 0 { vertices.len().checked_sub(back)? } else { back.checked_sub(1)? };
    vertices.get(at).copied()
}
