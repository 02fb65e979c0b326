//! What a piece is: its form with its dimensions. Main type: [`Form`].

use super::Fault;
use crate::outline::{Outline, Path, Point, Side};
use crate::{Mesh, Moments, Vector};
use std::sync::Arc;

/// A length along the hinge line: from a place, outboard. A span that varies grows outboard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// Where it begins, m.
    pub from: f64,
    /// m, above 0.
    pub length: f64,
}

impl Span {
    /// Where it ends, m.
    #[must_use]
    pub fn to(&self) -> f64 {
        self.from + self.length
    }
}

/// Where a bar stands fore and aft: the face that stays as its depth varies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Face {
    /// Its rear face, x in m: it grows forward.
    Rear(f64),
    /// Its front face, x in m: it grows aft.
    Front(f64),
}

/// The section of a nose.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoseShape {
    /// Half a circle: its depth is half its height, and goes with it.
    HalfRound,
    /// Half an ellipse.
    HalfElliptic,
    /// A parabola, its vertex forward.
    Parabolic,
}

/// A dimension that may be free.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dimension {
    /// Of a cap, a plate or a ring segment.
    Thickness,
    /// Along the hinge line.
    Span,
    /// Fore and aft.
    Depth,
    /// Up and down.
    Height,
    /// Of a round bar.
    Diameter,
}

impl Dimension {
    /// In words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Thickness => "thickness",
            Self::Span => "span",
            Self::Depth => "depth",
            Self::Height => "height",
            Self::Diameter => "diameter",
        }
    }
}

/// What the piece is. Lengths in m and above 0; places in m from the hinge line.
#[derive(Debug, Clone, PartialEq)]
pub enum Form {
    /// A shell over the front of an old weight. Free: thickness, span.
    Cap {
        /// The front of the old weight, traced open, in hinge coordinates.
        front: Path,
        /// The side of the trace on which the cap lies: right, where it is traced from the upper rear corner forward.
        outside: Side,
        /// Of the shell.
        thickness: f64,
        /// That the shell covers.
        span: Span,
        /// Thickness of walls that close both ends, beyond the span; they cover the section of cap and old weight.
        end_walls: Option<f64>,
    },
    /// A rectangular bar. Free: depth, height, span.
    Bar {
        /// Fore and aft.
        depth: f64,
        /// Up and down.
        height: f64,
        /// Along the hinge line.
        span: Span,
        /// Where it stands.
        face: Face,
        /// Height of its middle, z.
        middle: f64,
    },
    /// A round bar along the hinge line. Free: diameter, span.
    RoundBar {
        /// Of the bar.
        diameter: f64,
        /// Along the hinge line.
        span: Span,
        /// x and z.
        centre: Point,
    },
    /// A nose on a flat face. Free: depth, height, span.
    Nose {
        /// Its section.
        shape: NoseShape,
        /// Forward of the flat face.
        depth: f64,
        /// Of the flat face.
        height: f64,
        /// Along the hinge line.
        span: Span,
        /// x of the flat face.
        flat: f64,
        /// Height of its middle, z.
        middle: f64,
    },
    /// A part of a ring of rectangular section, bent about a line along the hinge line. Free: thickness, span.
    RingSegment {
        /// x and z of that line.
        centre: Point,
        /// From there to the inside.
        inner_radius: f64,
        /// From the inside outward.
        thickness: f64,
        /// Where it begins, rad from straight forward, upwards positive.
        from_angle: f64,
        /// How far it goes on from there, rad, above 0, below a whole turn.
        over_angle: f64,
        /// Along the hinge line.
        span: Span,
    },
    /// Any section, in hinge coordinates. Free: span.
    Section {
        /// The section.
        outline: Outline,
        /// Along the hinge line.
        span: Span,
    },
    /// Plates stacked along the hinge line. Free: thickness, or number and stock.
    Plates {
        /// Of one plate, in hinge coordinates.
        outline: Outline,
        /// Of one plate.
        thickness: f64,
        /// How many, 1 to 1000.
        count: u32,
        /// Where the stack begins, y.
        from: f64,
    },
    /// A frustum or cylinder whose axis lies fore and aft. Free: depth.
    Frustum {
        /// At its front; 0 for a cone.
        front_diameter: f64,
        /// At its rear face.
        rear_diameter: f64,
        /// Fore and aft.
        depth: f64,
        /// The middle of its rear face.
        rear: Vector,
    },
    /// A piece that was measured, as from a mesh. Nothing is free; it takes no films and no holes through a wall.
    Measured {
        /// Its surface, in hinge coordinates; empty where it is not known.
        surface: Arc<Mesh>,
        /// Of its volume, in hinge coordinates.
        volume: Moments,
        /// The least and the greatest corner of the box around it.
        bounds: [Vector; 2],
    },
}

impl Form {
    /// In words, with its article.
    #[must_use]
    pub fn name(&self) -> &'static str {
        match self {
            Self::Cap { .. } => "a cap",
            Self::Bar { .. } => "a bar",
            Self::RoundBar { .. } => "a round bar",
            Self::Nose { .. } => "a nose",
            Self::RingSegment { .. } => "a ring segment",
            Self::Section { .. } => "a section",
            Self::Plates { .. } => "a stack of plates",
            Self::Frustum { .. } => "a frustum",
            Self::Measured { .. } => "a measured piece",
        }
    }
    /// What may be free in it, in words.
    fn free(&self) -> &'static str {
        match self {
            Self::Cap { .. } | Self::RingSegment { .. } => "thickness, span",
            Self::Bar { .. } | Self::Nose { .. } => "depth, height, span",
            Self::RoundBar { .. } => "diameter, span",
            Self::Section { .. } => "span",
            Self::Plates { .. } => "thickness, or the number of plates",
            Self::Frustum { .. } => "depth",
            Self::Measured { .. } => "nothing",
        }
    }
    /// A dimension of it, m; none where the form has it not or it may not vary.
    #[must_use]
    pub fn dimension(&self, dimension: Dimension) -> Option<f64> {
        let mut copy = self.clone();
        copy.slot(dimension).map(|value| *value)
    }
    /// The same with another value of a dimension, m.
    ///
    /// # Errors
    /// [`Fault::NotFree`]: the form has it not, or it may not vary.
    pub fn with(&self, dimension: Dimension, value: f64) -> Result<Self, Fault> {
        let mut form = self.clone();
        let (name, allowed) = (self.name(), self.free());
        let slot = form.slot(dimension).ok_or(Fault::NotFree { form: name, dimension, allowed })?;
        *slot = value;
        if let Self::Nose { shape: NoseShape::HalfRound, depth, height, .. } = &mut form {
            // The dimension that was put in counts, the other goes with it.
            if dimension == Dimension::Depth { *height = 2.0 * *depth } else { *depth = 0.5 * *height }
        }
        Ok(form)
    }
    fn slot(&mut self, dimension: Dimension) -> Option<&mut f64> {
        use Dimension as D;
        match (self, dimension) {
            (
                Self::Cap { thickness, .. }
                | Self::Plates { thickness, .. }
                | Self::RingSegment { thickness, .. },
                D::Thickness,
            ) => Some(thickness),
            (
                Self::Cap { span, .. }
                | Self::Bar { span, .. }
                | Self::RoundBar { span, .. }
                | Self::Nose { span, .. }
                | Self::RingSegment { span, .. }
                | Self::Section { span, .. },
                D::Span,
            ) => Some(&mut span.length),
            (Self::Bar { depth, .. } | Self::Nose { depth, .. } | Self::Frustum { depth, .. }, D::Depth) => {
                Some(depth)
            }
            (Self::Bar { height, .. } | Self::Nose { height, .. }, D::Height) => Some(height),
            (Self::RoundBar { diameter, .. }, D::Diameter) => Some(diameter),
            _ => None,
        }
    }
}
