//! From the bytes of a file to a checked body: the format is told by the content, the surface is checked, small faults
//! are mended and noted, others refused.
//!
//! Main types: [`CheckedMesh`], [`MeshFormat`].

use super::survey::{self, Survey};
use super::{Mesh, MeshFault, MeshNote, Seams, Triangle, diagnose, obj, package, pieces, stl};
use crate::{Moments, Vector};
use std::fmt;

/// The formats that are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MeshFormat {
    /// STL, binary: little-endian, 50 bytes a triangle.
    StlBinary,
    /// STL, text.
    StlText,
    /// Wavefront OBJ: corners and faces of it.
    Obj,
    /// 3D Manufacturing Format, core model in one part.
    ThreeMf,
}

impl MeshFormat {
    /// The format by the content; a name is never asked.
    ///
    /// # Errors
    /// [`MeshFault::Unknown`] where it is none of them.
    pub fn of(bytes: &[u8]) -> Result<Self, MeshFault> {
        if bytes.starts_with(b"PK\x03\x04") {
            return Ok(Self::ThreeMf);
        }
        if let Some((_, found)) = STRANGERS.iter().find(|(start, _)| bytes.starts_with(start)) {
            return Err(unknown(found));
        }
        let start = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
        if is_text(start) {
            return text_format(start);
        }
        if bytes.len() < stl::HEADER { Err(unknown("a file too short for one")) } else { Ok(Self::StlBinary) }
    }
}

impl fmt::Display for MeshFormat {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::StlBinary => "binary STL",
            Self::StlText => "text STL",
            Self::Obj => "OBJ",
            Self::ThreeMf => "3MF",
        })
    }
}

/// How files begin that are sometimes taken for meshes.
const STRANGERS: [(&[u8], &str); 6] = [
    (b"\xFF\xD8\xFF", "a JPEG picture"),
    (b"\x89PNG", "a PNG picture"),
    (b"%PDF", "a PDF file"),
    (b"\x1F\x8B", "a gzip archive"),
    (b"glTF", "a glTF file"),
    (b"\xD0\xCF\x11\xE0", "a file of a drawing program's own kind"),
];

/// No control characters near the start: the count in a binary STL always has one below the limit of triangles.
fn is_text(bytes: &[u8]) -> bool {
    let is_control = |byte: &u8| *byte < 9 || (13 < *byte && *byte < 32 && *byte != 26);
    !bytes.iter().take(4096).any(is_control)
}

fn text_format(bytes: &[u8]) -> Result<MeshFormat, MeshFault> {
    let text = bytes.trim_ascii_start();
    let begins = |word: &[u8]| text.get(..word.len()).is_some_and(|start| start.eq_ignore_ascii_case(word));
    if begins(b"solid") {
        return Ok(MeshFormat::StlText);
    }
    let others: [(&[u8], &str); 4] = [
        (b"ISO-10303-21", "a STEP file"),
        (b"ply", "a PLY file"),
        (b"<?xml", "an XML file"),
        (b"OFF", "an OFF file"),
    ];
    if let Some((_, found)) = others.iter().find(|(word, _)| begins(word)) {
        return Err(unknown(found));
    }
    let is_obj = |line: &[u8]| matches!(line.trim_ascii_start(), [b'v' | b'f', b' ' | b'\t', ..]);
    if bytes.split(|byte| matches!(byte, b'\n' | b'\r')).any(is_obj) {
        return Ok(MeshFormat::Obj);
    }
    Err(unknown(if bytes.is_empty() { "an empty file" } else { "some other text" }))
}

fn unknown(found: &'static str) -> MeshFault {
    MeshFault::Unknown { found }
}

/// A mesh that encloses a body.
#[derive(Debug, Clone, PartialEq)]
pub struct CheckedMesh {
    /// The surface, closed and turned outwards.
    pub mesh: Mesh,
    /// Its moments (m³, m⁴, m⁵).
    pub moments: Moments,
    /// What was put right or should be looked at.
    pub notes: Vec<MeshNote>,
}

/// What a format gives, before it is checked.
pub(super) struct Parsed {
    pub(super) triangles: Vec<Triangle>,
    pub(super) notes: Vec<MeshNote>,
    /// One unit of the file, m.
    pub(super) unit_m: f64,
    /// The survey, where reading made it already.
    pub(super) survey: Option<Survey>,
}

impl Mesh {
    /// Reads a file. Numbers are taken as they are; `unit_m` says what one of them is in metres, except for 3MF, which
    /// states its unit itself. Memory is bounded by the length of the file and the limits of this crate, never by what the
    /// file claims.
    ///
    /// # Errors
    /// [`MeshFault`]: what it is and where.
    pub fn read(bytes: &[u8], unit_m: f64) -> Result<CheckedMesh, MeshFault> {
        if !(0.0 < unit_m && unit_m.is_finite()) {
            return Err(MeshFault::Unit { unit_m });
        }
        let parsed = match MeshFormat::of(bytes)? {
            MeshFormat::StlBinary => stl::read_binary(bytes, unit_m)?,
            MeshFormat::StlText => stl::read_text(bytes, unit_m)?,
            MeshFormat::Obj => obj::read(bytes, unit_m)?,
            MeshFormat::ThreeMf => package::read(bytes, unit_m)?,
        };
        check(parsed)
    }
    /// Checks that the surface is closed and turned one way, and mends what can be mended without doubt: triangles with
    /// two corners at one place are left out, gaps far below any tolerance of a shop are closed, a surface inside out as
    /// a whole is turned. `unit_m` is the unit of the places in a fault, m.
    ///
    /// # Errors
    /// [`MeshFault`]: coordinates, open or crowded edges, turned faces, faces that are there twice, no volume.
    pub fn checked(self, unit_m: f64) -> Result<CheckedMesh, MeshFault> {
        check(Parsed { triangles: self.triangles, notes: Vec::new(), unit_m, survey: None })
    }
}

fn check(parsed: Parsed) -> Result<CheckedMesh, MeshFault> {
    let Parsed { mut triangles, mut notes, unit_m, survey } = parsed;
    let survey = survey.unwrap_or_else(|| Survey::of(&triangles));
    if 0 < survey.astray {
        return Err(astray(&triangles, unit_m));
    }
    let middle = survey.middle().ok_or(MeshFault::Empty)?;
    if 0 < survey.collapsed {
        notes.push(MeshNote::Dropped { triangles: survey.collapsed });
        triangles.retain(|triangle| !survey::is_collapsed(triangle));
    }
    let mut mesh = Mesh::new(triangles);
    if survey.seam != 0 {
        let (mended, note) = diagnose::mended(mesh, &survey).map_err(|seams| in_file_units(seams, unit_m))?;
        mesh = mended;
        notes.push(note);
    }
    if let Some((count, face)) = survey::doubled(&mesh.triangles) {
        let at = std::array::from_fn(|i| face.iter().map(|corner| corner[i]).sum::<f64>() / 3.0 / unit_m);
        return Err(MeshFault::Twice { count, at });
    }
    let longest = survey.longest();
    let (mut moments, count) =
        rayon::join(|| survey::moments_about(&mesh.triangles, middle), || pieces::count(&mesh.triangles));
    if moments.total.abs() <= SMALLEST_FILL * longest.powi(3) {
        return Err(MeshFault::NoVolume { volume_m3: moments.total, longest_m: longest });
    }
    if moments.total < 0.0 {
        (mesh, moments) = (mesh.turned(), -moments);
        notes.push(MeshNote::TurnedWhole);
    }
    notes.extend(pieces::check(&mesh, count, unit_m)?);
    notes.extend(size_note(longest, unit_m));
    Ok(CheckedMesh { mesh, moments: moments.moved(middle), notes })
}

/// Least share of the cube of the longest side that a body fills: far below a wire's, far above rounding.
const SMALLEST_FILL: f64 = 1e-12;
/// Longest sides that are plausible for a balance weight, m.
const PLAUSIBLE_M: (f64, f64) = (0.002, 3.0);
/// Units that drawing programs export in, m.
const UNITS: [(&str, f64); 5] =
    [("millimetres", 0.001), ("inches", 0.0254), ("metres", 1.0), ("centimetres", 0.01), ("feet", 0.3048)];

fn size_note(longest_m: f64, unit_m: f64) -> Option<MeshNote> {
    let is_plausible = |length: f64| PLAUSIBLE_M.0 <= length && length <= PLAUSIBLE_M.1;
    let would_suit =
        UNITS.iter().find(|(_, unit)| is_plausible(longest_m / unit_m * unit)).map(|(name, _)| *name);
    (!is_plausible(longest_m)).then_some(MeshNote::Size { longest_m, would_suit })
}

fn astray(triangles: &[Triangle], unit_m: f64) -> MeshFault {
    let at = triangles.iter().position(survey::is_astray).unwrap_or_default();
    let coordinates = triangles.get(at).map_or(&[] as &[f64], |triangle| triangle.as_flattened());
    let value = coordinates.iter().find(|x| !survey::is_near(**x)).unwrap_or(&f64::NAN);
    MeshFault::Coordinate { triangle: at + 1, value: value / unit_m }
}

fn in_file_units(seams: Seams, unit_m: f64) -> MeshFault {
    let at: Vector = seams.at.map(|x| x / unit_m);
    MeshFault::NotClosed(Seams { at, ..seams })
}
