//! What can be wrong with an outline. Main type: [`Fault`].

use std::fmt;

use super::Point;

/// Which closed line of an outline.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ring {
    /// The one around it.
    Outer,
    /// A hole, counted from 1.
    Hole(usize),
}

impl fmt::Display for Ring {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Outer => f.write_str("the outline"),
            Self::Hole(number) => write!(f, "hole {number}"),
        }
    }
}

/// A place, printed in millimetres aft and up.
struct Place(Point);

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "x {:.3} mm, z {:.3} mm", self.0[0] * 1e3, self.0[1] * 1e3)
    }
}

/// A line, an outline or a shell that cannot be made. Edges and holes are counted from 1; lengths are in m.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum Fault {
    /// A coordinate, radius or angle is not a finite number.
    #[error("edge {edge} has a value that is not a finite number")]
    NotFinite {
        /// The edge; 0 is the start.
        edge: usize,
    },
    /// An arc whose radii or sweep cannot be.
    #[error("the arc of edge {edge} has no size; allowed: radii above 0, a sweep of up to one turn, not 0")]
    ArcSize {
        /// The edge.
        edge: usize,
    },
    /// An arc begins elsewhere than where the edge before it ends.
    #[error("the arc of edge {edge} begins {:.3} mm away from the end of the edge before", gap * 1e3)]
    Step {
        /// The edge.
        edge: usize,
        /// How far.
        gap: f64,
    },
    /// No arc passes from the start through the middle point to the end.
    #[error(
        "no arc passes through the three points of edge {edge}: the middle one does not lie between the others"
    )]
    NoArc {
        /// The edge.
        edge: usize,
    },
    /// A closed line of fewer than two edges.
    #[error("{ring} has {edges} edges; allowed: 2 or more")]
    TooFewEdges {
        /// Which line.
        ring: Ring,
        /// How many.
        edges: usize,
    },
    /// It does not end where it began.
    #[error("{ring} is open: its end lies {:.3} mm from its start", gap * 1e3)]
    Open {
        /// Which line.
        ring: Ring,
        /// How far.
        gap: f64,
    },
    /// It crosses, touches or covers itself.
    #[error("{ring} crosses or touches itself: edges {} and {} meet at {}", edges[0], edges[1], Place(*at))]
    Crossing {
        /// Which line.
        ring: Ring,
        /// The two edges.
        edges: [usize; 2],
        /// Where.
        at: Point,
    },
    /// It encloses nothing.
    #[error("{ring} encloses no area")]
    NoArea {
        /// Which line.
        ring: Ring,
    },
    /// A hole beside the outline.
    #[error("hole {hole} lies outside the outline")]
    HoleOutside {
        /// The hole.
        hole: usize,
    },
    /// A hole runs into the rim.
    #[error("hole {hole} crosses or touches the outline at {}", Place(*at))]
    HoleCrosses {
        /// The hole.
        hole: usize,
        /// Where.
        at: Point,
    },
    /// Two holes cross, touch or lie in each other.
    #[error("hole {hole} and hole {other} run into each other")]
    HolesMeet {
        /// The later hole.
        hole: usize,
        /// The earlier one.
        other: usize,
    },
    /// A parallel to an ellipse or a parabola is neither.
    #[error(
        "edge {edge} is an ellipse or a parabola; allowed for a shell: straight lines and arcs of circles"
    )]
    NotRound {
        /// The edge.
        edge: usize,
    },
    /// A turn of an ellipse by another angle than a whole number of half turns.
    #[error("edge {edge} is an arc of an ellipse, whose axes must stay level and upright")]
    EllipseTurned {
        /// The edge.
        edge: usize,
    },
    /// A thickness that is not a finite number above 0.
    #[error("the thickness is {:.3} mm; allowed: above 0", thickness * 1e3)]
    Thickness {
        /// As given.
        thickness: f64,
    },
    /// The parallel crosses itself or an edge is swallowed.
    #[error(
        "a thickness of {:.3} mm does not fit at {}; allowed: up to {:.3} mm",
        thickness * 1e3, Place(*at), largest * 1e3
    )]
    TooThick {
        /// As given.
        thickness: f64,
        /// The largest that fits.
        largest: f64,
        /// Near which place.
        at: Point,
    },
}

impl Fault {
    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::NotFinite { .. } => "enter a number for every coordinate",
            Self::ArcSize { .. } => "enter a radius above 0; make a full circle of two half circles",
            Self::Step { .. } => "let the arc begin at the end of the edge before, or put a line between",
            Self::NoArc { .. } => {
                "take the middle point on the arc between its ends, or make it a straight line"
            }
            Self::TooFewEdges { .. } => {
                "trace at least one straight line and one arc, or three straight lines"
            }
            Self::Open { .. } => "close it with one more edge back to the start",
            Self::Crossing { .. } => "look at the order of the points near this place",
            Self::NoArea { .. } => "look for points that are entered twice or all lie on one line",
            Self::HoleOutside { .. } | Self::HoleCrosses { .. } => "move the hole or make it smaller",
            Self::HolesMeet { .. } => "move the holes apart, or enter them as one",
            Self::NotRound { .. } => "replace it by straight lines within a tolerance first",
            Self::EllipseTurned { .. } => "replace it by straight lines within a tolerance first",
            Self::Thickness { .. } => "enter the thickness of the metal",
            Self::TooThick { .. } => "make it thinner, or round the inward corner there",
        }
    }
}
