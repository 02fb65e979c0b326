//! From the moment that is missing to a weight that gives it: which thickness, span, depth or number of plates makes
//! the finished piece (metal, less its holes, with hardware and films) have exactly that moment about the hinge line.
//!
//! Main types: [`Design`], which is asked by [`Design::solve`], and [`Solution`]; [`drill_out`] for mass that must go.
//! Method: the moment is exact for every trial dimension (Green's theorem, closed solids); the dimension is found between
//! its bounds by Chandrupatla's root finder. Moments are signed, positive tail-heavy: a forward weight gives a negative
//! one. Not covered: bodies whose section changes along the hinge line, save frustums; the strength of what holds it,
//! see [`crate::fastening`].

mod body;
mod bored;
mod check;
mod drill;
mod extras;
mod fault;
mod form;
mod plates;
mod root;
mod scan;
mod solution;
mod solve;

pub use body::{Body, Envelope, Prism};
pub use drill::{Bore, DrillFault, DrillOut, Drilling, Left, OldWeight, bore_for, drill_out};
pub use extras::{Depth, Film, Hardware, Head, Hole, Mouth, Place};
pub use fault::{Fault, Limit, Shortfall};
pub use form::{Dimension, Face, Form, NoseShape, Span};
pub use solution::{Contribution, Half, Kind, Naive, Part, Reserve, Sensitivity, Solution, Weight};

use crate::Density;

/// The moment that the finished piece must give about the hinge line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wanted {
    /// kg m, positive tail-heavy: what a weight forward of the hinge line gives is negative. Not 0.
    pub moment_kg_m: f64,
    /// Of the weighing it comes from, kg m, 0 or above.
    pub standard_uncertainty: f64,
}

/// What may vary.
#[derive(Debug, Clone, PartialEq)]
pub enum Vary {
    /// One dimension, between bounds.
    Dimension {
        /// Which.
        dimension: Dimension,
        /// m, above 0.
        least: f64,
        /// m, above the least.
        most: f64,
    },
    /// The number of plates and the stock they are cut from: the best of all.
    Plates {
        /// Thicknesses of the stock, m, above 0.
        stock: Vec<f64>,
        /// Most plates, 1 to 1000.
        most: u32,
    },
    /// Nothing: what is given is reckoned up, and the remaining difference said.
    Nothing,
}

/// What must be respected; what is none is free.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Space {
    /// Largest distance forward of the hinge line, m.
    pub forward: Option<f64>,
    /// Largest height above the chord plane, m.
    pub above: Option<f64>,
    /// Largest depth below the chord plane, m.
    pub below: Option<f64>,
    /// Largest distance of any point from the hinge line, m: the gap to the structure as the surface moves.
    pub swing: Option<f64>,
    /// Largest length along the hinge line, m.
    pub span: Option<f64>,
    /// Largest mass of the finished piece, kg: the capacity of the station.
    pub capacity: Option<f64>,
    /// Smallest wall, m, of the form itself: what a hole leaves behind it is not looked at.
    pub smallest_wall: Option<f64>,
}

/// How well the piece will be made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Accuracy {
    /// Standard uncertainty of the free dimension, m.
    pub dimension: f64,
    /// Standard uncertainty of the place fore and aft, m.
    pub position: f64,
    /// Coverage factor of the reserve, 0 or above.
    pub coverage_factor: f64,
}

impl Default for Accuracy {
    /// Nothing known of dimension and place; coverage factor 2.
    fn default() -> Self {
        Self { dimension: 0.0, position: 0.0, coverage_factor: 2.0 }
    }
}

/// How the piece is parted into halves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Parting {
    /// Into a lower and an upper half at a height, m.
    AtHeight(f64),
    /// Into an inboard and an outboard half.
    MidSpan,
}

/// A weight to be found. Lengths in m, masses in kg, moments in kg m; places are counted from the hinge line, x aft
/// positive, z up.
#[derive(Debug, Clone, PartialEq)]
pub struct Design {
    /// What it must give when finished.
    pub wanted: Wanted,
    /// What it is; the free dimension as given is not looked at.
    pub form: Form,
    /// What may vary.
    pub vary: Vary,
    /// Of its metal.
    pub density: Density,
    /// What it must keep within.
    pub space: Space,
    /// Screws, inserts, washers: they count with their moment.
    pub hardware: Vec<Hardware>,
    /// Holes drilled into it: their metal is gone.
    pub holes: Vec<Hole>,
    /// Primer and paint on its outside.
    pub films: Vec<Film>,
    /// How well it will be made.
    pub accuracy: Accuracy,
    /// How it is parted.
    pub parting: Option<Parting>,
    /// Where the old weight has its arm, x in m, for the naive answer; not 0.
    pub old_arm: Option<f64>,
}

impl Design {
    /// A piece with nothing else about it: no limits of space, hardware, holes, films or parting.
    #[must_use]
    pub fn new(wanted: Wanted, form: Form, vary: Vary, density: Density) -> Self {
        Self {
            wanted,
            form,
            vary,
            density,
            space: Space::default(),
            hardware: Vec::new(),
            holes: Vec::new(),
            films: Vec::new(),
            accuracy: Accuracy::default(),
            parting: None,
            old_arm: None,
        }
    }

    /// The piece whose finished moment is the wanted one, to 1e-13 of it; of plates, the nearest.
    ///
    /// With the free dimension d, M(d) = ρ (∫x dV − holes) + Σ mᵢ xᵢ + Σ σ ∫x dS = wanted.
    ///
    /// # Errors
    /// - [`Fault::Shortfall`]: bounds or space stop it before the moment is reached
    /// - [`Fault::TooMuch`]: the smallest allowed piece gives more already
    /// - [`Fault::NoRoom`]: the smallest allowed piece does not keep within the space
    /// - what cannot be reckoned: numbers out of range, a dimension that the form has not, an outline that cannot be
    ///   made, a hole beside the metal
    ///
    /// # Checked by
    /// Closed forms of bar, wedge, round bar, half-round nose and cap; pieces of known dimensions found again; meshes.
    ///
    /// # Example
    /// A lead bar 20 mm high and 100 mm long, its rear face 150 mm forward of the hinge line, is to give 0.05 kg m
    /// nose-heavy:
    /// ```
    /// use hingeline_ballast::design::{Design, Dimension, Face, Form, Span, Vary, Wanted};
    /// use hingeline_ballast::Density;
    ///
    /// let wanted = Wanted { moment_kg_m: -0.05, standard_uncertainty: 0.0 };
    /// let span = Span { from: 0.0, length: 0.1 };
    /// let form = Form::Bar { depth: 0.01, height: 0.02, span, face: Face::Rear(-0.15), middle: 0.0 };
    /// let vary = Vary::Dimension { dimension: Dimension::Depth, least: 0.002, most: 0.04 };
    /// let lead = Density { kg_m3: 11_340.0, standard_uncertainty: 5.0 };
    /// let solution = Design::new(wanted, form, vary, lead).solve()?;
    /// // √(0.15² + 2 × 0.05 / (11 340 × 0.02 × 0.1)) − 0.15 = 14.04 mm
    /// assert!(solution.value.is_some_and(|(_, depth)| (depth - 0.014_04).abs() < 1e-5));
    /// # Ok::<(), hingeline_ballast::design::Fault>(())
    /// ```
    pub fn solve(&self) -> Result<Solution, Fault> {
        solve::solve(self)
    }
    /// The same design and form with nothing varied and no space kept: what a piece of these dimensions weighs and
    /// gives.
    ///
    /// # Errors
    /// As for [`Design::solve`], without those of bounds and space.
    pub fn reckon(&self) -> Result<Solution, Fault> {
        solve::reckon(self)
    }
}
