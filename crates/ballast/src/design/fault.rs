//! Why there is no piece. Main types: [`Fault`], [`Shortfall`].

use super::Dimension;
use crate::outline;

/// What stops a dimension.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limit {
    /// Its own bound.
    Bound,
    /// The reach forward.
    Forward,
    /// The height above the chord plane.
    Above,
    /// The depth below the chord plane.
    Below,
    /// The gap to the structure as the surface moves.
    Swing,
    /// The length along the hinge line.
    Span,
    /// The mass that the station takes.
    Capacity,
    /// The smallest wall.
    SmallestWall,
    /// A larger one cannot be made: its outline would cross itself.
    Shape,
}

impl Limit {
    /// In words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Bound => "its own bound",
            Self::Forward => "the reach forward",
            Self::Above => "the height above the chord plane",
            Self::Below => "the depth below the chord plane",
            Self::Swing => "the gap to the structure as the surface moves",
            Self::Span => "the length along the hinge line",
            Self::Capacity => "the capacity of the station",
            Self::SmallestWall => "the smallest wall",
            Self::Shape => "the shape of the front",
        }
    }
}

/// How far it goes, and what is lacking. Lengths in m, moments in kg m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shortfall {
    /// What may vary; none for plates.
    pub dimension: Option<Dimension>,
    /// What stops it first.
    pub limit: Limit,
    /// The dimension there, m; of plates, the number of them.
    pub value: f64,
    /// The moment reached there.
    pub reached_kg_m: f64,
    /// What was wanted.
    pub wanted_kg_m: f64,
    /// What the dimension would have to be without any limit; none where no size gives it.
    pub unrestricted: Option<f64>,
}

impl Shortfall {
    /// The moment that is lacking, with the sign of the wanted one.
    #[must_use]
    pub fn lacking_kg_m(&self) -> f64 {
        self.wanted_kg_m - self.reached_kg_m
    }
    /// The same in % of the wanted one.
    #[must_use]
    pub fn lacking_percent(&self) -> f64 {
        100.0 * self.lacking_kg_m() / self.wanted_kg_m
    }
    /// Whether the piece lies where it works the other way.
    #[must_use]
    pub fn is_wrong_side(&self) -> bool {
        self.reached_kg_m * self.wanted_kg_m < 0.0
    }
    fn hint(&self) -> &'static str {
        if self.is_wrong_side() {
            return "look at the side of the form and of the moment";
        }
        match self.limit {
            Limit::Capacity => {
                "take a place further from the hinge line, where less mass does it, or part the mass between two stations"
            }
            _ => {
                "take a denser metal, a longer span or a place further from the hinge line, or part the mass between two \
                 stations"
            }
        }
    }
}

/// Why there is no piece. Lengths in m, moments in kg m.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Fault {
    /// Limits stop it before the moment is reached.
    #[error(
        "{} stops at {:.3}{}: {}; {:.5} of {:.5} kg m is reached, {:.2} % is lacking",
        subject(.0), shown(.0), unit(.0), .0.limit.name(), .0.reached_kg_m, .0.wanted_kg_m, .0.lacking_percent()
    )]
    Shortfall(Shortfall),
    /// The smallest allowed piece gives more already.
    #[error(
        "the smallest allowed piece, {:.3} mm in {}, gives {reached_kg_m:.5} kg m already; wanted: {wanted_kg_m:.5} kg m",
        value * 1e3, dimension.name()
    )]
    TooMuch {
        /// What may vary.
        dimension: Dimension,
        /// The smallest allowed.
        value: f64,
        /// What it gives.
        reached_kg_m: f64,
        /// What was wanted.
        wanted_kg_m: f64,
    },
    /// The smallest allowed piece does not keep within the space.
    #[error("the smallest allowed piece does not keep within {}: {found:.4}; allowed: {allowed:.4}", limit.name())]
    NoRoom {
        /// What it breaks.
        limit: Limit,
        /// What it has, m or kg.
        found: f64,
        /// What is allowed, m or kg.
        allowed: f64,
    },
    /// A number that cannot be.
    #[error("{what} is {value}; allowed: {allowed}")]
    Number {
        /// Which.
        what: &'static str,
        /// As given.
        value: f64,
        /// In words.
        allowed: &'static str,
    },
    /// A dimension that the form has not, or that is not free in it.
    #[error("{form} has no {} that may vary; allowed: {allowed}", dimension.name())]
    NotFree {
        /// The form.
        form: &'static str,
        /// What was to vary.
        dimension: Dimension,
        /// In words.
        allowed: &'static str,
    },
    /// Number and stock of plates vary, but the form is another.
    #[error("{form} has no plates to count; allowed: plates")]
    NoPlates {
        /// The form.
        form: &'static str,
    },
    /// A hole that does not begin in the metal or goes beyond it.
    #[error("hole “{name}” {}", if *beyond_end { "lies beyond the end of the span" } else { "does not lie in the metal" })]
    HoleOutside {
        /// The hole.
        name: String,
        /// Whether part of it lies past an end of the piece along the hinge line.
        beyond_end: bool,
    },
    /// Two holes with metal in common, which would be counted twice.
    #[error(
        "holes “{one}” and “{other}” run into each other; allowed: holes apart, each taken to its tip at full width"
    )]
    HolesMeet {
        /// A hole.
        one: String,
        /// The other.
        other: String,
    },
    /// A hole that is not reckoned in a piece without one section along the hinge line.
    #[error("hole “{name}” {which}, which is not reckoned in {form}; allowed: {allowed}")]
    HoleForm {
        /// The hole.
        name: String,
        /// In words.
        which: &'static str,
        /// The form.
        form: &'static str,
        /// In words.
        allowed: &'static str,
    },
    /// The smallest piece that holds a hole gives too much.
    #[error(
        "hole “{name}” would come through a {} below {:.3} mm, which gives {reached_kg_m:.5} kg m already, more than {wanted_kg_m:.5} kg m",
        dimension.name(), value * 1e3
    )]
    HoleNeedsMore {
        /// The hole.
        name: String,
        /// What may vary.
        dimension: Dimension,
        /// The smallest that holds the hole, m.
        value: f64,
        /// What it gives.
        reached_kg_m: f64,
        /// What was wanted.
        wanted_kg_m: f64,
    },
    /// The smallest piece that holds a hole does not keep within the space.
    #[error(
        "hole “{name}” wants a {} of {:.3} mm or more, which does not keep within {}: {found:.4}; allowed: {allowed:.4}",
        dimension.name(), value * 1e3, limit.name()
    )]
    HoleNeedsRoom {
        /// The hole.
        name: String,
        /// What may vary.
        dimension: Dimension,
        /// The smallest that holds the hole with its counterbore or countersink, m.
        value: f64,
        /// What that breaks.
        limit: Limit,
        /// What it has, m or kg.
        found: f64,
        /// What is allowed, m or kg.
        allowed: f64,
    },
    /// Films on a piece whose skin is not known.
    #[error("a measured piece has no known skin for a film; allowed: its mass as hardware")]
    NoSkin,
    /// An outline that cannot be made.
    #[error("the section cannot be made: {0}")]
    Outline(#[from] outline::Fault),
    /// No mesh of it.
    #[error(
        "no surface of {form} is known; allowed: pieces given by dimensions, and pieces measured by their surface"
    )]
    NoMesh {
        /// The form.
        form: &'static str,
    },
    /// A mesh that cannot be made.
    #[error("the mesh cannot be made: {0}")]
    Mesh(#[from] crate::PolygonFault),
}

fn subject(shortfall: &Shortfall) -> &'static str {
    shortfall.dimension.map_or("the number of plates", Dimension::name)
}

fn shown(shortfall: &Shortfall) -> f64 {
    if shortfall.dimension.is_some() { shortfall.value * 1e3 } else { shortfall.value }
}

fn unit(shortfall: &Shortfall) -> &'static str {
    if shortfall.dimension.is_some() { " mm" } else { "" }
}

impl Fault {
    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Shortfall(short) => short.hint(),
            Self::TooMuch { .. } => "allow a smaller piece, a lighter metal or a shorter span",
            Self::HoleNeedsRoom { .. } => {
                "make the hole, its counterbore or its countersink shallower, or allow more room"
            }
            Self::NoRoom { .. } => "allow a smaller piece, or move it",
            Self::Number { .. } => "look at the unit and the sign",
            Self::NotFree { .. } => "let another dimension vary",
            Self::NoPlates { .. } => "let a dimension vary, or take plates",
            Self::HolesMeet { .. } => {
                "move one, or make it shallower; a wider mouth for the head of a screw is a counterbore or countersink of its hole"
            }
            Self::HoleOutside { beyond_end: true, .. } => {
                "look at the place of the hole along the hinge line, or make the span longer"
            }
            Self::HoleOutside { .. } => "move the hole, or make it thinner or shallower",
            Self::HoleForm { .. } => {
                "give the hole a depth and another face, or draw the piece with the hole in it"
            }
            Self::HoleNeedsMore { .. } => {
                "make the hole shallower or move it, or take a lighter metal or a shorter span"
            }
            Self::NoSkin => "weigh the painted piece, or reckon its film apart",
            Self::Outline(fault) => fault.hint(),
            Self::NoMesh { .. } => "draw it from its dimensions",
            Self::Mesh(_) => "take a finer tolerance",
        }
    }
}
