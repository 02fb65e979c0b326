//! STL, read as binary and as text, and written as binary. The normals in a file are not asked: the order of the corners
//! says which side is outside, and the colours some programs hide in the last two bytes are passed over.
//!
//! Source: the format as its maker published it (3D Systems, StereoLithography Interface Specification, 1989), from
//! memory.

use super::lines::{Line, excerpt, lines};
use super::read::Parsed;
use super::survey::{BLOCK, Survey};
use super::{LineProblem, MOST_TRIANGLES, Mesh, MeshFault, MeshFormat, MeshNote, Triangle};
use crate::Vector;
use crate::vector::{cross, sub};
use rayon::prelude::*;

/// Bytes of name and count.
pub(super) const HEADER: usize = 84;
/// Bytes of a triangle: normal and three corners as twelve 32-bit numbers, and two bytes of attributes.
const FACET: usize = 50;

/// Reads a binary file.
pub(super) fn read_binary(bytes: &[u8], unit_m: f64) -> Result<Parsed, MeshFault> {
    let (header, body) =
        bytes.split_at_checked(HEADER).ok_or(MeshFault::Unknown { found: "a file too short for one" })?;
    let said = header.last_chunk().map_or(0, |count| u32::from_le_bytes(*count));
    let needed = u64::from(said) * 50;
    let facets = body.len() / FACET;
    if usize::try_from(said) != Ok(facets) {
        let [header, length] = [HEADER, bytes.len()].map(|bytes| bytes as u64);
        return Err(MeshFault::Count { said, needed: needed + header, length });
    }
    if MOST_TRIANGLES < facets {
        return Err(MeshFault::TooMany);
    }
    let mut triangles = vec![[[0.0; 3]; 3]; facets];
    let surveys: Vec<Survey> = triangles
        .par_chunks_mut(BLOCK)
        .zip(body.par_chunks(FACET * BLOCK))
        .map(|(block, bytes)| {
            block
                .iter_mut()
                .zip(bytes.chunks_exact(FACET))
                .for_each(|(to, facet)| *to = corners(facet, unit_m));
            Survey::of_block(block)
        })
        .collect();
    let trailing = body.len() % FACET;
    let notes = (0 < trailing).then_some(MeshNote::Trailing { bytes: trailing });
    Ok(Parsed {
        triangles,
        notes: notes.into_iter().collect(),
        unit_m,
        survey: Some(Survey::joined(&surveys)),
    })
}

fn corners(facet: &[u8], unit_m: f64) -> Triangle {
    let words = facet.as_chunks::<4>().0;
    let number = |at: usize| words.get(at).map_or(0.0, |word| f64::from(f32::from_le_bytes(*word)));
    std::array::from_fn(|corner| std::array::from_fn(|axis| number(3 + 3 * corner + axis) * unit_m))
}

/// Reads a text file.
pub(super) fn read_text(bytes: &[u8], unit_m: f64) -> Result<Parsed, MeshFault> {
    let mut text = Text { triangles: Vec::new(), facet: Vec::with_capacity(3), solids: 0, ended: 0 };
    let mut last = None;
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    for mut line in lines(bytes, MeshFormat::StlText) {
        while let Some(word) = line.word() {
            let is_name_next = text.take(word, &mut line, unit_m)?;
            if is_name_next {
                break;
            }
        }
        last = Some(line);
    }
    if let Some(line) = last.filter(|_| text.ended < text.solids || !text.facet.is_empty()) {
        return Err(line.fault(LineProblem::End { wanted: "\"endsolid\"" }));
    }
    Ok(Parsed { triangles: text.triangles, notes: Vec::new(), unit_m, survey: None })
}

/// Letters of the longest word of the format.
const LONGEST_WORD: usize = 8;

/// A word of the format in small letters; nothing for a longer one.
fn lower_case<'a>(word: &[u8], room: &'a mut [u8; LONGEST_WORD]) -> &'a [u8] {
    let Some(letters) = room.get_mut(..word.len()) else { return &[] };
    letters.copy_from_slice(word);
    letters.make_ascii_lowercase();
    letters
}

/// What a text file has given so far.
struct Text {
    triangles: Vec<Triangle>,
    facet: Vec<Vector>,
    solids: usize,
    ended: usize,
}

impl Text {
    /// Takes one word with what belongs to it; true where a name fills the rest of the line.
    fn take(&mut self, word: &[u8], line: &mut Line<'_>, unit_m: f64) -> Result<bool, MeshFault> {
        match lower_case(word, &mut [0; LONGEST_WORD]) {
            b"vertex" if self.facet.len() < 3 => self.facet.push(line.place(unit_m)?),
            b"vertex" => return Err(line.fault(LineProblem::Corners { count: 4 })),
            b"facet" | b"outer" | b"loop" | b"endloop" | b"\x1A" => {}
            b"normal" => [line.word(), line.word(), line.word()].iter().for_each(|_| ()),
            b"endfacet" => self.end_facet(line)?,
            b"solid" => {
                self.solids += 1;
                return Ok(true);
            }
            b"endsolid" => {
                self.ended += 1;
                return Ok(true);
            }
            _ => {
                return Err(
                    line.fault(LineProblem::Word { wanted: "a word of the format", found: excerpt(word) })
                );
            }
        }
        Ok(false)
    }
    fn end_facet(&mut self, line: &Line<'_>) -> Result<(), MeshFault> {
        let &[a, b, c] = self.facet.as_slice() else {
            return Err(line.fault(LineProblem::Corners { count: self.facet.len() }));
        };
        if MOST_TRIANGLES <= self.triangles.len() {
            return Err(MeshFault::TooMany);
        }
        self.facet.clear();
        self.triangles.push([a, b, c]);
        Ok(())
    }
}

impl Mesh {
    /// The surface as a binary STL file: `unit_m` is one unit of the file in metres, `name` goes into the header, as far
    /// as it is ASCII and fits. The same mesh gives the same bytes. Coordinates are rounded to 24 binary digits, as the
    /// format has them.
    #[must_use]
    pub fn write_stl(&self, unit_m: f64, name: &str) -> Vec<u8> {
        let mut bytes = Vec::with_capacity(HEADER + FACET * self.triangles.len());
        // A header that begins with "solid" would pass for a text file.
        bytes.extend(
            b"STL of ".iter().copied().chain(name.bytes().filter(|b| (32..127).contains(b))).take(80),
        );
        bytes.resize(80, b' ');
        bytes.extend(u32::try_from(self.triangles.len()).unwrap_or(u32::MAX).to_le_bytes());
        for triangle in &self.triangles {
            let corners = triangle.map(|corner| corner.map(|x| x / unit_m));
            let numbers = normal(triangle).into_iter().chain(corners.into_iter().flatten());
            numbers.for_each(|x| bytes.extend(single(x).to_le_bytes()));
            bytes.extend([0, 0]);
        }
        bytes
    }
}

/// The outward direction of a triangle, zero where it has none.
fn normal([a, b, c]: &Triangle) -> Vector {
    let across = cross(sub(*b, *a), sub(*c, *a));
    let length = across.iter().map(|x| x * x).sum::<f64>().sqrt();
    if 0.0 < length { across.map(|x| x / length) } else { [0.0; 3] }
}

#[expect(clippy::cast_possible_truncation, reason = "the format has 32-bit numbers")]
fn single(x: f64) -> f32 {
    x as f32
}
