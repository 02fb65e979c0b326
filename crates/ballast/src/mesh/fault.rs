//! What can be wrong with a mesh file, and what was put right or should be looked at.
//!
//! Main types: [`MeshFault`] (refused), [`MeshNote`] (taken, with a remark). Places are in units of the file, so that
//! they can be found in the drawing program.

use super::{FURTHEST_M, MOST_PIECES, MOST_TRIANGLES, MOST_UNPACKED, MOST_VERTICES, MeshFormat};
use crate::Vector;
use std::fmt;

/// Why a file gives no body.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum MeshFault {
    /// The unit is no length.
    #[error("one unit of the file is said to be {unit_m} m; allowed: a length above 0")]
    Unit {
        /// As given, m.
        unit_m: f64,
    },
    /// The content is none of the formats.
    #[error("this is {found}, not a mesh; allowed: STL, OBJ or 3MF")]
    Unknown {
        /// What it looks like.
        found: &'static str,
    },
    /// A binary STL says another count than its length allows.
    #[error(
        "a binary STL of {said} triangles has {needed} bytes, and this file has {length}; allowed: the two agree (up to \
         49 more bytes are passed over)"
    )]
    Count {
        /// Triangles, by the file's own count.
        said: u32,
        /// Bytes that these take.
        needed: u64,
        /// Bytes of the file.
        length: u64,
    },
    /// More than the program takes.
    #[error(
        "the file has more than {MOST_TRIANGLES} triangles or {MOST_VERTICES} corners; allowed: up to these"
    )]
    TooMany,
    /// A line of a text file cannot be read.
    #[error("{format}, line {line}: {problem}")]
    Line {
        /// The format of the file.
        format: MeshFormat,
        /// The line, from 1.
        line: usize,
        /// What is wrong there.
        problem: LineProblem,
    },
    /// The container of a 3MF file cannot be opened.
    #[error("the 3MF file cannot be opened: {0}")]
    Package(PackageProblem),
    /// There is no triangle.
    #[error("the file holds no triangles")]
    Empty,
    /// A coordinate is no number or too far out.
    #[error(
        "a coordinate of triangle {triangle} is {value}; allowed: numbers up to {} m from the origin",
        FURTHEST_M
    )]
    Coordinate {
        /// The triangle, from 1 in the order of the file.
        triangle: usize,
        /// The coordinate, in units of the file.
        value: f64,
    },
    /// The surface does not close or is not turned one way.
    #[error("the surface does not enclose a body: {0}; allowed: every edge between two faces turned alike")]
    NotClosed(Seams),
    /// Faces at one place and turned alike: a body that is there twice, or bodies in one another.
    #[error(
        "faces that are there more than once: {count}, one of them around ({:.4}, {:.4}, {:.4}) of the file; allowed: every \
         face once, else its metal counts twice", at[0], at[1], at[2]
    )]
    Twice {
        /// How many faces too many.
        count: usize,
        /// The middle of one, in units of the file.
        at: Vector,
    },
    /// A body among several is inside out.
    #[error(
        "of {count} separate surfaces one is inside out and lies in no other: around ({:.4}, {:.4}, {:.4}) of the file; \
         allowed: bodies turned outwards, and cavities inside them", at[0], at[1], at[2]
    )]
    InsideOut {
        /// Separate surfaces.
        count: usize,
        /// The middle of its bounds, in units of the file.
        at: Vector,
    },
    /// More separate surfaces than the program takes.
    #[error("the file holds {count} separate surfaces; allowed: up to {MOST_PIECES}")]
    Pieces {
        /// How many.
        count: usize,
    },
    /// The surface encloses nothing.
    #[error(
        "the surface encloses no volume ({volume_m3:e} m³ in a box with a longest side of {longest_m} m)"
    )]
    NoVolume {
        /// Enclosed volume, m³.
        volume_m3: f64,
        /// Longest side of the box around the surface, m.
        longest_m: f64,
    },
}

impl MeshFault {
    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Unit { .. } => "choose the unit that the drawing program exported in",
            Self::Unknown { .. } => "export the part from the drawing program again, as binary STL",
            Self::Count { .. } | Self::Package(_) => {
                "copy or export the file again: it may have been cut off"
            }
            Self::TooMany => "export with a coarser tolerance: 0.01 mm is ample for a balance weight",
            Self::Line { .. } => "export the file again, or mend the line in a text editor",
            Self::Empty => "export the body itself, not a sketch or an empty assembly",
            Self::Coordinate { .. } => "check the unit and where the part lies in the drawing program",
            Self::InsideOut { .. } => {
                "turn that body in the drawing program, or export the bodies one by one"
            }
            Self::Twice { .. } => "take the copy out in the drawing program, and export the body once",
            Self::Pieces { .. } => "export the balance weight alone",
            Self::NotClosed(_) => {
                "mend the body in the drawing program until it is one solid, and export it again"
            }
            Self::NoVolume { .. } => "export a solid, not a sheet",
        }
    }
}

/// What is wrong with the edges of a surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seams {
    /// Edges of one face only.
    pub open_edges: usize,
    /// Faces turned against the others around them.
    pub turned_faces: usize,
    /// Edges where more than two faces meet and do not pair off.
    pub crowded_edges: usize,
    /// The middle of one such edge, in units of the file.
    pub at: Vector,
}

impl fmt::Display for Seams {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let parts = [
            (self.open_edges, "open edge", "open edges"),
            (self.turned_faces, "face turned the wrong way", "faces turned the wrong way"),
            (self.crowded_edges, "edge of more than two faces", "edges of more than two faces"),
        ];
        let parts: Vec<String> = parts
            .iter()
            .filter(|(count, ..)| 0 < *count)
            .map(|(count, one, many)| format!("{count} {}", if *count == 1 { one } else { many }))
            .collect();
        let [x, y, z] = self.at;
        write!(f, "{}, one of them at ({x:.4}, {y:.4}, {z:.4}) of the file", parts.join(", "))
    }
}

/// What is wrong with a line.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LineProblem {
    /// A number is missing or is none.
    #[error(
        "{found:?} stands where a number belongs; allowed: digits with a decimal point, with or without an exponent"
    )]
    Number {
        /// The text there.
        found: String,
    },
    /// A word that does not belong there.
    #[error("{found:?} stands where {wanted} belongs")]
    Word {
        /// What belongs there.
        wanted: &'static str,
        /// The text there.
        found: String,
    },
    /// A facet of an STL file with more or fewer corners than three.
    #[error("a facet has {count} corners; allowed: 3")]
    Corners {
        /// Corners counted, at most 4.
        count: usize,
    },
    /// A face names a corner that is not there.
    #[error("a face names corner {index:?}, and {count} corners are listed so far")]
    Index {
        /// As written.
        index: String,
        /// Corners so far.
        count: usize,
    },
    /// An object that is not there.
    #[error("object {id:?} is placed, and no object of that number stands above")]
    Object {
        /// As written.
        id: String,
    },
    /// More than the program takes.
    #[error(
        "here the file goes beyond {MOST_TRIANGLES} triangles or {MOST_VERTICES} corners; allowed: up to these"
    )]
    TooMany,
    /// The file ends too early.
    #[error("the file ends before {wanted}")]
    End {
        /// What should have come.
        wanted: &'static str,
    },
    /// The XML is not well formed.
    #[error("the XML is not well formed: {text}")]
    Xml {
        /// In the words of the reader.
        text: String,
    },
    /// Elements inside one another without end.
    #[error("the XML is nested deeper than any model of the format")]
    Deep,
    /// A part of a 3MF model lies in another file of the container.
    #[error("a part of the model lies in another file of the container; allowed: one model file")]
    Elsewhere,
}

/// What is wrong with the container of a 3MF file.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PackageProblem {
    /// The zip archive is damaged, encrypted or packed in a way of its own.
    #[error("{text}")]
    Zip {
        /// In the words of the reader.
        text: String,
    },
    /// No model inside.
    #[error("there is no model (3D/3dmodel.model) in it")]
    NoModel,
    /// The model is too large.
    #[error("its model unpacks to more than {MOST_UNPACKED} bytes")]
    TooLong,
    /// The model is not UTF-8.
    #[error("its model is not written in UTF-8")]
    Encoding,
}

/// What was put right, or should be looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MeshNote {
    /// Bytes after the last triangle were passed over.
    Trailing {
        /// How many.
        bytes: usize,
    },
    /// Triangles with two corners at one place were left out.
    Dropped {
        /// How many.
        triangles: usize,
    },
    /// Corners along gaps were brought together.
    Merged {
        /// How many.
        corners: usize,
        /// How far apart they may lie, m.
        within_m: f64,
    },
    /// The whole surface was inside out and was turned.
    TurnedWhole,
    /// The surface falls into several, which are taken together.
    Several {
        /// Surfaces turned outwards.
        bodies: usize,
        /// Surfaces turned inwards.
        cavities: usize,
    },
    /// The file states its unit, which was used in place of the one given.
    OwnUnit {
        /// One unit of the file, m.
        unit_m: f64,
    },
    /// The size is implausible for a balance weight.
    Size {
        /// Longest side of the box around the body, m.
        longest_m: f64,
        /// A unit with which it would be plausible.
        would_suit: Option<&'static str>,
    },
}

impl fmt::Display for MeshNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Trailing { bytes } => write!(f, "{bytes} bytes after the last triangle were passed over"),
            Self::Dropped { triangles } => {
                write!(f, "{triangles} triangles with two corners at one place were left out")
            }
            Self::Merged { corners, within_m } => {
                write!(
                    f,
                    "{corners} corners along gaps of up to {:.2e} mm were brought together",
                    1e3 * within_m
                )
            }
            Self::TurnedWhole => write!(f, "the surface was inside out as a whole and was turned"),
            Self::Several { bodies, cavities } => write!(
                f,
                "bodies: {bodies}, cavities: {cavities}, taken together; where bodies overlap, metal counts twice"
            ),
            Self::OwnUnit { unit_m } => {
                write!(f, "the file states its own unit, {} mm, which was used", 1e3 * unit_m)
            }
            Self::Size { longest_m, would_suit } => {
                write!(
                    f,
                    "the body is {:.4} mm long, which is unlikely for a balance weight",
                    1e3 * longest_m
                )?;
                would_suit.map_or(Ok(()), |unit| write!(f, "; is the file in {unit}?"))
            }
        }
    }
}
