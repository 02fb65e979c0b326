//! Reading `[form]` of kind mesh: a piece that was drawn elsewhere and comes as a surface of triangles.
//!
//! Main type: [`MeshFile`], beside the measured form. The bytes come from whoever reads the sheet ([`Files`]); the file
//! is checked by `hingeline_ballast::Mesh`, whose refusals become faults at the key `file`. Not covered: coatings, and
//! holes that end at a wall, since nothing is known of skin and walls.

use super::place;
use crate::fault::Fault;
use crate::fields::Fields;
use hingeline_ballast::design::{Depth, Form, Hole, Mouth};
use hingeline_ballast::{CheckedMesh, Matrix, Mesh, MeshFault, MeshFormat, MeshNote, Vector};
use std::ops::Range;
use std::sync::Arc;

/// Largest file of a mesh, bytes: the most triangles of a binary STL, and room beside. Whoever reads one looks at its
/// size first.
pub const MOST_MESH_BYTES: u64 = 1 << 28;

/// Who gives the bytes of a file that a sheet names, or says in words why it cannot.
pub type Files<'f> = dyn Fn(&str) -> Result<Vec<u8>, String> + 'f;

/// The files of a sheet that is read where there are none.
pub(super) fn none_at_hand(_: &str) -> Result<Vec<u8>, String> {
    Err("no files are read here".to_owned())
}

/// The file that a piece was measured from.
#[derive(Debug, Clone, PartialEq)]
pub struct MeshFile {
    /// As typed.
    pub name: String,
    /// Told by its content.
    pub format: MeshFormat,
    /// One unit of the file, m: the file's own, where it states one.
    pub unit_m: f64,
    /// Where its axes point, in words.
    pub axes: &'static str,
    /// Triangles that were taken.
    pub triangles: usize,
    /// What was put right, or should be looked at.
    pub notes: Vec<String>,
    /// BLAKE3 of the bytes, hexadecimal.
    pub fingerprint: String,
}

/// Units that drawing programs export in, m.
const UNITS: [(&str, f64); 5] = [("mm", 0.001), ("cm", 0.01), ("m", 1.0), ("in", 0.0254), ("ft", 0.3048)];

/// How a file's axes lie.
struct Axes {
    word: &'static str,
    /// All three, in words.
    words: &'static str,
    /// Rows: aft, outboard, up, by x, y, z of the file.
    map: Matrix,
}

/// Turned, never mirrored: the third axis follows from the two by the right hand.
static AXES: [Axes; 6] = [
    Axes {
        word: "x aft, z up",
        words: "x aft, y outboard, z up",
        map: [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
    },
    Axes {
        word: "x forward, z up",
        words: "x forward, y inboard, z up",
        map: [[-1.0, 0.0, 0.0], [0.0, -1.0, 0.0], [0.0, 0.0, 1.0]],
    },
    Axes {
        word: "x outboard, z up",
        words: "x outboard, y forward, z up",
        map: [[0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]],
    },
    Axes {
        word: "x inboard, z up",
        words: "x inboard, y aft, z up",
        map: [[0.0, 1.0, 0.0], [-1.0, 0.0, 0.0], [0.0, 0.0, 1.0]],
    },
    Axes {
        word: "x aft, y up",
        words: "x aft, y up, z inboard",
        map: [[1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0]],
    },
    Axes {
        word: "x forward, y up",
        words: "x forward, y up, z outboard",
        map: [[-1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, 1.0, 0.0]],
    },
];

/// Reads the keys of a mesh and its file.
pub(super) fn read_mesh(fields: &Fields<'_>, files: &Files<'_>) -> Option<(Form, MeshFile)> {
    let name = fields.text("file");
    let unit = fields.choice("unit", &UNITS);
    let axes = fields.maybe_choice("axes", &AXES.each_ref().map(|axes| (axes.word, axes)));
    let x = place::reach(fields);
    let along = place::along(fields, "along");
    let height = place::middle(fields, "height");
    let axes = if fields.has("axes") { axes? } else { &AXES[0] };
    let (name, unit_m) = (name?, unit?);
    let (checked, format, fingerprint) = read_file(fields, &name, unit_m, files)?;
    let origin = [x?, along?, height?];
    let form = placed(&checked, axes, origin)?;
    let own = checked.notes.iter().find_map(|note| match note {
        MeshNote::OwnUnit { unit_m } => Some(*unit_m),
        _ => None,
    });
    let file = MeshFile {
        name,
        format,
        unit_m: own.unwrap_or(unit_m),
        axes: axes.words,
        triangles: checked.mesh.triangles().len(),
        notes: checked.notes.iter().map(ToString::to_string).collect(),
        fingerprint,
    };
    Some((form, file))
}

fn read_file(
    fields: &Fields<'_>,
    name: &str,
    unit_m: f64,
    files: &Files<'_>,
) -> Option<(CheckedMesh, MeshFormat, String)> {
    let bytes = match files(name) {
        Ok(bytes) => bytes,
        Err(why) => {
            let what = format!("form, file: “{name}” cannot be had: {why}");
            let fault = Fault::new(what, fields.span_of("file"));
            fields.push(
                fault
                    .allowed("the name of an STL, OBJ or 3MF file that lies beside the sheet")
                    .hint("put the file beside the sheet and give its name alone: file = \"horn.stl\""),
            );
            return None;
        }
    };
    let read = MeshFormat::of(&bytes).and_then(|format| Ok((Mesh::read(&bytes, unit_m)?, format)));
    match read {
        Ok((checked, format)) => Some((checked, format, blake3::hash(&bytes).to_hex().to_string())),
        Err(fault) => {
            fields.push(refused(name, fields.span_of("file"), &fault));
            None
        }
    }
}

/// What is wrong with a file, before a sheet names it; none where it can be a piece. `unit`: one of its own, as in the
/// sheet; millimetres where that is not known yet.
#[must_use]
pub fn refusal(name: &str, bytes: &[u8], unit: &str) -> Option<Fault> {
    let unit_m = UNITS.iter().find(|(word, _)| *word == unit).map_or(0.001, |(_, unit_m)| *unit_m);
    let fault = MeshFormat::of(bytes).and_then(|_| Mesh::read(bytes, unit_m)).err()?;
    Some(refused(name, 0..0, &fault))
}

/// A refusal of the file, at the key that names it.
fn refused(name: &str, span: Range<usize>, fault: &MeshFault) -> Fault {
    Fault::said(&format!("form, file “{name}”: {fault}"), span).hint(fault.hint())
}

/// The body where the sheet puts it.
fn placed(checked: &CheckedMesh, axes: &Axes, origin: Vector) -> Option<Form> {
    let volume = checked.moments.mapped(&axes.map).moved(origin);
    let bounds = checked.mesh.bounds()?.map(|corner| {
        let turned: Vector = axes.map.map(|row| row.iter().zip(corner).map(|(a, b)| a * b).sum());
        std::array::from_fn(|i| turned[i] + origin[i])
    });
    let [one, other]: [Vector; 2] = bounds;
    let low = std::array::from_fn(|i| one[i].min(other[i]));
    let high = std::array::from_fn(|i| one[i].max(other[i]));
    let surface = Arc::new(checked.mesh.mapped(&axes.map).moved(origin));
    Some(Form::Measured { surface, volume, bounds: [low, high] })
}

/// Says which extras a measured piece cannot have.
pub(super) fn check_extras(root: &Fields<'_>, form: &Form, holes: &[Hole]) {
    if !matches!(form, Form::Measured { .. }) {
        return;
    }
    if root.has("coating") {
        let fault = Fault::new("the skin of a mesh is not known, so no coating", root.span_of("coating"));
        root.push(fault.hint(
            "give the dry film as [[hardware]], with its mass and its arm, or weigh the painted piece",
        ));
    }
    for hole in holes {
        let why = match (hole.depth, hole.mouth) {
            (Depth::Wall, _) => "goes through, and the walls of a mesh are not known",
            (_, Mouth::End { .. }) => "enters at an end, and the ends of a mesh are not known",
            _ => continue,
        };
        let fault = Fault::new(format!("hole “{}” {why}", hole.name), root.span_of("hole"));
        root.push(fault.hint("draw the hole in the drawing program and export the piece again, or give it from front, top or bottom with its depth"));
    }
}
