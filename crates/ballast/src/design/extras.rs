//! What comes with a piece: hardware, holes, films. Main types: [`Hardware`], [`Hole`], [`Film`].

use std::f64::consts::PI;

use super::body::Body;
use super::{Fault, scan};
use crate::coating::FilmMass;
use crate::outline::Outline;
use crate::solid::{self, Drilled};
use crate::{Moments, Vector};

/// Where a thing has its centre of gravity fore and aft.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Place {
    /// x, m.
    At(f64),
    /// This far aft of the front of the piece, m, and so moving with it; negative for what stands out forward.
    BehindFront(f64),
}

/// A screw, insert, washer or the like.
#[derive(Debug, Clone, PartialEq)]
pub struct Hardware {
    /// As printed.
    pub name: String,
    /// kg, above 0.
    pub mass_kg: f64,
    /// kg, 0 or above.
    pub standard_uncertainty: f64,
    /// Where it sits.
    pub place: Place,
}

/// Where a hole begins and which way it goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Mouth {
    /// In the front, drilled aft.
    Front {
        /// m.
        y: f64,
        /// m.
        z: f64,
    },
    /// In the upper side, drilled down.
    Top {
        /// m.
        x: f64,
        /// m.
        y: f64,
    },
    /// In the lower side, drilled up.
    Bottom {
        /// m.
        x: f64,
        /// m.
        y: f64,
    },
    /// In the inboard end, drilled outboard.
    End {
        /// m.
        x: f64,
        /// m.
        z: f64,
    },
}

/// How deep a hole is, from the middle of its mouth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Depth {
    /// Through the first wall it meets.
    Wall,
    /// The depth of the full diameter; the cone of the point goes beyond.
    FullDiameter {
        /// m.
        depth: f64,
        /// rad, above 0, below half a turn.
        point_angle: f64,
    },
    /// The depth to the tip of the point.
    ToTip {
        /// m.
        depth: f64,
        /// rad, above 0, below half a turn.
        point_angle: f64,
    },
}

/// A hole: its metal is gone. An insert is a hole and a piece of hardware.
///
/// A hole lies in one section of the piece with its whole width. Where it begins in a curved face, what is reckoned to
/// be gone ends at that face. Holes that run into each other are counted twice. In a frustum and a measured piece the
/// mouth lies on the box around it, and whether it meets metal is not looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct Hole {
    /// As printed.
    pub name: String,
    /// m, above 0.
    pub diameter: f64,
    /// How deep.
    pub depth: Depth,
    /// Where.
    pub mouth: Mouth,
}

/// A dry film on the outside of the piece: all of its skin but what lies against an old weight.
#[derive(Debug, Clone, PartialEq)]
pub struct Film {
    /// As printed.
    pub name: String,
    /// Mass per area of all coats, kg/m².
    pub kg_m2: f64,
    /// kg/m².
    pub standard_uncertainty: f64,
}

impl Film {
    /// The film of a coating, as [`crate::coating::Coating::mass_per_area`] gives it.
    #[must_use]
    pub fn of(name: impl Into<String>, mass: FilmMass) -> Self {
        let FilmMass { kg_m2, standard_uncertainty, .. } = mass;
        Self { name: name.into(), kg_m2, standard_uncertainty }
    }
}

impl Place {
    /// x, m, with the front of the piece at a place.
    pub(super) fn x(self, front: f64) -> f64 {
        match self {
            Self::At(x) => x,
            Self::BehindFront(offset) => front + offset,
        }
    }
}

/// Strips across a hole in which its curved mouth is reckoned: Gauss–Chebyshev of the second kind, exact for mouths
/// that are polynomials of degree 15.
const STRIPS: u32 = 8;

/// A hole along one axis into the body: from its mouth in a direction of that axis.
struct Run {
    /// 0 fore and aft, 1 along the hinge line, 2 up and down.
    axis: usize,
    /// +1 or −1.
    towards: f64,
    mouth: Vector,
    /// From the middle of its mouth to where it would break through, m; none where it is not known.
    metal: Option<f64>,
}

impl Hole {
    /// What it takes out, as volume.
    ///
    /// # Errors
    /// [`Fault::HoleOutside`]: it does not begin in the metal, or goes beyond it.
    pub(super) fn removed(&self, body: &Body) -> Result<Moments, Fault> {
        self.bored(body).ok_or_else(|| Fault::HoleOutside { name: self.name.clone() })
    }
    fn bored(&self, body: &Body) -> Option<Moments> {
        let run = self.run(body)?;
        let outline = self.across(body);
        let drilled = match self.depth {
            Depth::Wall => {
                let wall = run.metal?;
                let Some((outline, level_axis)) = outline else {
                    return Some(
                        run.placed(solid::drill_hole(self.diameter, Drilled::Through { thickness: wall })),
                    );
                };
                return self.columns(outline, level_axis, &run, |mouth, back| Some([mouth, back?]));
            }
            Depth::FullDiameter { depth, point_angle } => Drilled::FullDiameter { depth, point_angle },
            Depth::ToTip { depth, point_angle } => Drilled::ToTip { depth, point_angle },
        };
        let flat = run.placed(solid::drill_hole(self.diameter, drilled));
        if run.metal.is_some_and(|metal| metal < tip(self.diameter, drilled)) {
            return None;
        }
        let Some((outline, level_axis)) = outline else {
            return Some(flat);
        };
        let middle = run.mouth[run.axis];
        let gap = self.columns(outline, level_axis, &run, |mouth, _| Some([middle, mouth]))?;
        Some(flat - gap)
    }
    /// The outline that its mouth lies in, and the axis of the outline across which it runs; none at a flat mouth.
    fn across<'a>(&self, body: &'a Body) -> Option<(&'a Outline, usize)> {
        let radius = 0.5 * self.diameter;
        match self.mouth {
            Mouth::Front { y, .. } => body.prism_at(y, radius).map(|prism| (&prism.outline, 1)),
            Mouth::Top { y, .. } | Mouth::Bottom { y, .. } => {
                body.prism_at(y, radius).map(|prism| (&prism.outline, 0))
            }
            Mouth::End { .. } => None,
        }
    }
    fn run(&self, body: &Body) -> Option<Run> {
        let reach = &body.envelope;
        if body.prisms.is_empty() {
            let (axis, towards, mouth) = match self.mouth {
                Mouth::Front { y, z } => (0, 1.0, [reach.front, y, z]),
                Mouth::Top { x, y } => (2, -1.0, [x, y, reach.top]),
                Mouth::Bottom { x, y } => (2, 1.0, [x, y, reach.bottom]),
                Mouth::End { .. } => return None,
            };
            return Some(Run { axis, towards, mouth, metal: None });
        }
        if let Mouth::End { x, z } = self.mouth {
            let prism = body.prisms.iter().find(|prism| prism.outline.contains([x, z]))?;
            let metal = Some(prism.to_y - prism.from_y);
            return Some(Run { axis: 1, towards: 1.0, mouth: [x, prism.from_y, z], metal });
        }
        let (outline, level_axis) = self.across(body)?;
        let (level, towards) = match self.mouth {
            Mouth::Front { z, .. } => (z, 1.0),
            Mouth::Top { x, .. } => (x, -1.0),
            Mouth::Bottom { x, .. } | Mouth::End { x, .. } => (x, 1.0),
        };
        let (mouth, back) = faces(outline, level_axis, level, towards)?;
        let place = match self.mouth {
            Mouth::Front { y, z } => [mouth, y, z],
            Mouth::Top { x, y } | Mouth::Bottom { x, y } => [x, y, mouth],
            Mouth::End { .. } => return None,
        };
        let axis = if level_axis == 1 { 0 } else { 2 };
        Some(Run { axis, towards, mouth: place, metal: back.map(|back| (back - mouth).abs()) })
    }
    /// Columns of metal across the hole, each between two places along its axis that its mouth and back decide.
    fn columns(
        &self,
        outline: &Outline,
        level_axis: usize,
        run: &Run,
        ends: impl Fn(f64, Option<f64>) -> Option<[f64; 2]>,
    ) -> Option<Moments> {
        let radius = 0.5 * self.diameter;
        let (level_at, along) = if level_axis == 1 { (2, 0) } else { (0, 2) };
        let mut sum = Moments::default();
        for strip in 1..=STRIPS {
            let (sin, cos) = (PI * f64::from(strip) / f64::from(STRIPS + 1)).sin_cos();
            let level = run.mouth[level_at] + radius * cos;
            let (mouth, back) = faces(outline, level_axis, level, run.towards)?;
            let [from, to] = ends(mouth, back)?;
            let area = 2.0 * radius * radius * PI / f64::from(STRIPS + 1) * sin * sin;
            let length = (to - from) * run.towards;
            let mut at = run.mouth;
            at[level_at] = level;
            at[along] = 0.5 * (from + to);
            let mut second = [[0.0; 3]; 3];
            second[along][along] = area * length * length * length / 12.0;
            second[1][1] = area * length * (radius * sin).powi(2) / 3.0;
            sum = sum + Moments::centred(area * length, second).moved(at);
        }
        Some(sum)
    }
}

impl Run {
    fn placed(&self, hole: Moments) -> Moments {
        let mut direction = [0.0; 3];
        direction[self.axis] = self.towards;
        solid::turned_to(direction).map_or(hole, |turn| hole.mapped(&turn)).moved(self.mouth)
    }
}

/// Where a hole across an outline begins and where the metal ends behind its mouth.
fn faces(outline: &Outline, level_axis: usize, level: f64, towards: f64) -> Option<(f64, Option<f64>)> {
    let mut met = scan::crossings(outline, level_axis, level);
    if towards < 0.0 {
        met.reverse();
    }
    Some((*met.first()?, met.get(1).copied()))
}

/// The depth to the tip, m.
fn tip(diameter: f64, drilled: Drilled) -> f64 {
    match drilled {
        Drilled::Through { thickness } => thickness,
        Drilled::FullDiameter { depth, point_angle } => depth + 0.5 * diameter / (0.5 * point_angle).tan(),
        Drilled::ToTip { depth, .. } => depth,
    }
}
