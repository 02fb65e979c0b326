//! 3MF: a zip archive with one XML model. Objects with meshes and with earlier objects as components, placed by the
//! items of the build; objects of type "support" are passed over.
//!
//! Not covered: models in several parts (production extension), beam lattices, slices. Source: 3MF Consortium, 3D
//! Manufacturing Format, core specification 1.3, chapters 3 and 4, from memory.

use super::lines::{excerpt, number};
use super::read::Parsed;
use super::{
    LineProblem, MOST_TRIANGLES, MOST_UNPACKED, MOST_VERTICES, MeshFault, MeshFormat, MeshNote,
    PackageProblem, Triangle,
};
use crate::Vector;
use crate::vector::{cross, dot};
use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::io::{Cursor, Read};
use zip::ZipArchive;

/// Reads a file; its own unit goes before the one given.
pub(super) fn read(bytes: &[u8], unit_m: f64) -> Result<Parsed, MeshFault> {
    let text = model_text(bytes).map_err(MeshFault::Package)?;
    let mut model = Model { unit_m: 0.001, ..Model::default() };
    let mut reader = Reader::from_str(text.strip_prefix('\u{FEFF}').unwrap_or(&text));
    loop {
        let event = reader.read_event().map_err(|fault| LineProblem::Xml { text: fault.to_string() });
        let taken = event.and_then(|event| model.take(&event));
        if !taken.map_err(|problem| at_line(&text, reader.buffer_position(), problem))? {
            break;
        }
    }
    let mut notes = Vec::new();
    if (model.unit_m - unit_m).abs() > 1e-12 {
        notes.push(MeshNote::OwnUnit { unit_m: model.unit_m });
    }
    Ok(Parsed { triangles: model.built, notes, unit_m: model.unit_m, survey: None })
}

fn at_line(text: &str, position: u64, problem: LineProblem) -> MeshFault {
    let before =
        usize::try_from(position).ok().and_then(|end| text.as_bytes().get(..end)).unwrap_or(text.as_bytes());
    let line = 1 + before.iter().filter(|byte| **byte == b'\n').count();
    MeshFault::Line { format: MeshFormat::ThreeMf, line, problem }
}

fn model_text(bytes: &[u8]) -> Result<String, PackageProblem> {
    let zip = |fault: zip::result::ZipError| PackageProblem::Zip { text: fault.to_string() };
    let mut archive = ZipArchive::new(Cursor::new(bytes)).map_err(zip)?;
    let is_model = |name: &[u8]| name.to_ascii_lowercase().ends_with(b"3d/3dmodel.model");
    let at = archive.file_names_raw().position(is_model).ok_or(PackageProblem::NoModel)?;
    let file = archive.by_index(at).map_err(zip)?;
    let mut unpacked = Vec::new();
    file.take(MOST_UNPACKED + 1)
        .read_to_end(&mut unpacked)
        .map_err(|fault| PackageProblem::Zip { text: fault.to_string() })?;
    if MOST_UNPACKED < unpacked.len() as u64 {
        return Err(PackageProblem::TooLong);
    }
    String::from_utf8(unpacked).map_err(|_| PackageProblem::Encoding)
}

/// Most elements inside one another; a core model has seven.
const DEEPEST: usize = 64;

/// What the model has given so far.
#[derive(Default)]
struct Model {
    /// One unit, m.
    unit_m: f64,
    vertices: Vec<Vector>,
    object: Option<String>,
    triangles: Vec<Triangle>,
    objects: BTreeMap<String, Vec<Triangle>>,
    /// Triangles of all objects.
    held: usize,
    built: Vec<Triangle>,
    /// Elements open.
    depth: usize,
}

impl Model {
    /// Takes one piece of the XML; false at the end.
    fn take(&mut self, event: &Event<'_>) -> Result<bool, LineProblem> {
        match event {
            Event::Start(element) => {
                self.depth += 1;
                if DEEPEST < self.depth {
                    return Err(LineProblem::Deep);
                }
                self.open(element)?;
            }
            Event::Empty(element) => {
                self.open(element)?;
                self.close(element.name().as_ref());
            }
            Event::End(element) => {
                self.depth = self.depth.saturating_sub(1);
                self.close(element.name().as_ref());
            }
            Event::Eof if self.object.is_some() => return Err(LineProblem::End { wanted: "\"</object>\"" }),
            Event::Eof => return Ok(false),
            _ => {}
        }
        Ok(true)
    }
    fn open(&mut self, element: &BytesStart<'_>) -> Result<(), LineProblem> {
        match element.name().as_ref() {
            "model" => self.unit_m = unit(attribute(element, "unit"))?,
            "object" => {
                self.object = attribute(element, "id").filter(|_| !is_support(element)).map(Cow::into_owned)
            }
            "mesh" => self.vertices.clear(),
            "vertex" => {
                within(self.vertices.len(), 1, MOST_VERTICES)?;
                self.vertices.push(self.vertex(element)?);
            }
            "triangle" => {
                within(self.held, 1, MOST_TRIANGLES)?;
                let triangle =
                    [self.corner(element, "v1")?, self.corner(element, "v2")?, self.corner(element, "v3")?];
                self.triangles.push(triangle);
                self.held += 1;
            }
            "component" => {
                let part = self.placed(element, self.held)?;
                self.held += part.len();
                self.triangles.extend(part);
            }
            "item" => {
                let part = self.placed(element, self.built.len())?;
                self.built.extend(part);
            }
            _ => {}
        }
        Ok(())
    }
    fn close(&mut self, name: &str) {
        if name == "object" {
            let triangles = std::mem::take(&mut self.triangles);
            if let Some(id) = self.object.take() {
                self.objects.insert(id, triangles);
            }
        }
    }
    fn vertex(&self, element: &BytesStart<'_>) -> Result<Vector, LineProblem> {
        let axis = |name: &str| parsed(attribute(element, name).unwrap_or_default().as_bytes());
        Ok([axis("x")?, axis("y")?, axis("z")?].map(|x| x * self.unit_m))
    }
    fn corner(&self, element: &BytesStart<'_>, name: &str) -> Result<Vector, LineProblem> {
        let index = attribute(element, name).unwrap_or_default();
        let corner = index.trim().parse().ok().and_then(|at: usize| self.vertices.get(at));
        let fault = || LineProblem::Index { index: excerpt(index.as_bytes()), count: self.vertices.len() };
        corner.copied().ok_or_else(fault)
    }
    /// A copy of an earlier object where an item or a component puts it, beside so many triangles.
    fn placed(&self, element: &BytesStart<'_>, beside: usize) -> Result<Vec<Triangle>, LineProblem> {
        if element.attributes().with_checks(false).flatten().any(|a| a.key.local_name().as_ref() == "path") {
            return Err(LineProblem::Elsewhere);
        }
        let id = attribute(element, "objectid").unwrap_or_default();
        let object = self
            .objects
            .get(id.as_ref())
            .ok_or_else(|| LineProblem::Object { id: excerpt(id.as_bytes()) })?;
        within(beside, object.len(), MOST_TRIANGLES)?;
        let Some(transform) = attribute(element, "transform") else { return Ok(object.clone()) };
        let place = Place::parse(&transform, self.unit_m)?;
        Ok(object.iter().map(|triangle| place.of(triangle)).collect())
    }
}

/// That more may be held, before it is.
fn within(held: usize, more: usize, most: usize) -> Result<(), LineProblem> {
    if most < held + more { Err(LineProblem::TooMany) } else { Ok(()) }
}

/// Objects of support structure are no part of the body.
fn is_support(element: &BytesStart<'_>) -> bool {
    attribute(element, "type").is_some_and(|kind| kind == "support" || kind == "solidsupport")
}

/// An attribute as written: no entity in it is resolved. Names of other namespaces have a prefix and do not match.
fn attribute<'a>(element: &'a BytesStart<'_>, name: &str) -> Option<Cow<'a, str>> {
    let mut attributes = element.attributes();
    let mut named =
        attributes.with_checks(false).flatten().filter(|attribute| attribute.key.as_ref() == name);
    named.next().map(|attribute| attribute.value)
}

fn parsed(word: &[u8]) -> Result<f64, LineProblem> {
    number(word.trim_ascii()).ok_or_else(|| LineProblem::Number { found: excerpt(word) })
}

/// The unit of the model, m; millimetres where it states none.
fn unit(name: Option<Cow<'_, str>>) -> Result<f64, LineProblem> {
    match name.as_deref() {
        None | Some("millimeter") => Ok(0.001),
        Some("micron") => Ok(1e-6),
        Some("centimeter") => Ok(0.01),
        Some("inch") => Ok(0.0254),
        Some("foot") => Ok(0.3048),
        Some("meter") => Ok(1.0),
        Some(other) => {
            Err(LineProblem::Word { wanted: "a unit of the format", found: excerpt(other.as_bytes()) })
        }
    }
}

/// A placement: a row for each axis of the object and one for its origin, as the format writes them.
struct Place([Vector; 4]);

impl Place {
    fn parse(text: &str, unit_m: f64) -> Result<Self, LineProblem> {
        let mut words = text.split_ascii_whitespace();
        let mut rows = [[0.0; 3]; 4];
        for value in rows.as_flattened_mut() {
            *value = parsed(words.next().unwrap_or_default().as_bytes())?;
        }
        rows[3] = rows[3].map(|x| x * unit_m);
        Ok(Self(rows))
    }
    fn of(&self, triangle: &Triangle) -> Triangle {
        let [x, y, z, origin] = self.0;
        let [a, b, c] =
            triangle.map(|p| std::array::from_fn(|i| p[0] * x[i] + p[1] * y[i] + p[2] * z[i] + origin[i]));
        if dot(x, cross(y, z)) < 0.0 { [a, c, b] } else { [a, b, c] }
    }
}
