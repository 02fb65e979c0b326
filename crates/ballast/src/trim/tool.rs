//! What mass is taken off with. Main type: [`Tool`].

use crate::design::{Drilling, Solution};

/// A way to take mass off that is at hand.
#[derive(Debug, Clone, PartialEq)]
pub enum Tool {
    /// Slices off the span ends.
    Saw {
        /// Area of the section there as designed, m².
        area: f64,
        /// Of the casting that has this section as designed, kg, above 0: one that is heavier may be thicker.
        designed_kg: f64,
        /// x of its centroid, m.
        x: f64,
        /// Width of the cut, m.
        kerf: f64,
        /// How many ends are cut, alike: 1 or 2.
        ends: u32,
        /// Most that may go from an end, the cut included, m.
        most: f64,
    },
    /// Holes square to the chord plane or along the hinge line.
    Drill(Drilling),
    /// An even skin by file or sander.
    File {
        /// Area of the skin, m².
        area: f64,
        /// x of its centroid, m.
        x: f64,
        /// Most that may go, m.
        most: f64,
    },
}

impl Tool {
    /// A saw at the ends of a solved piece: the section there, and no further than its outermost part or a length, m,
    /// cut included. None for a frustum and a measured piece.
    #[must_use]
    pub fn saw(solution: &Solution, kerf: f64, ends: u32, most: f64) -> Option<Self> {
        let prism = solution.body.prisms.first()?;
        let flat = prism.outline.moments();
        let [x, _] = flat.centroid()?;
        let designed_kg = solution.as_cast.total;
        let most = most.min(prism.to_y - prism.from_y);
        Some(Self::Saw { area: flat.area, designed_kg, x, kerf, ends, most })
    }
    /// A file over the whole outside of a solved piece, to a depth (m) at most. None for a measured piece.
    #[must_use]
    pub fn file(solution: &Solution, most: f64) -> Option<Self> {
        let skin = solution.body.skin?;
        let [x, ..] = skin.centroid()?;
        Some(Self::File { area: skin.area, x, most })
    }
}
