//! What comes with a piece: hardware, holes, films. Main types: [`Hardware`], [`Hole`], [`Film`].

use std::f64::consts::PI;

use super::body::{Block, Body, Prism};
use super::bored::{self, Drill, Line};
use super::scan::Band;
use super::{Fault, scan};
use crate::coating::FilmMass;
use crate::outline::{Outline, Path};
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

impl Depth {
    /// How deep a hole has its full diameter, m: 0 where the hole is shallower than its point, none where it goes
    /// through.
    #[must_use]
    pub fn full(self, diameter: f64) -> Option<f64> {
        match self {
            Self::Wall => None,
            Self::FullDiameter { depth, .. } => Some(depth),
            Self::ToTip { depth, point_angle } => {
                Some((depth - solid::point_length(diameter, point_angle)).max(0.0))
            }
        }
    }
}

/// The wider mouth of a hole, in which the head of a screw lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Head {
    /// A wider hole with a flat floor.
    Counterbore {
        /// m, above that of the hole.
        diameter: f64,
        /// m, above 0, less than that of the hole.
        depth: f64,
    },
    /// A cone.
    Countersink {
        /// In the face, m, above that of the hole.
        diameter: f64,
        /// From edge to edge, rad, above 0, below half a turn: 82°, 90° and 100° are common.
        angle: f64,
    },
}

impl Head {
    /// In the face of the piece, m.
    #[must_use]
    pub fn diameter(self) -> f64 {
        let (Self::Counterbore { diameter, .. } | Self::Countersink { diameter, .. }) = self;
        diameter
    }
    /// Down to where the hole goes on alone, m.
    #[must_use]
    pub fn depth(self, hole_diameter: f64) -> f64 {
        match self {
            Self::Counterbore { depth, .. } => depth,
            Self::Countersink { diameter, angle } => solid::point_length(diameter - hole_diameter, angle),
        }
    }
    /// As two bores on one axis: the whole head, and what of it the hole has taken already.
    fn bores(self, hole_diameter: f64) -> [(f64, Depth); 2] {
        let whole = match self {
            Self::Counterbore { .. } => self.depth(hole_diameter),
            Self::Countersink { .. } => 0.0,
        };
        let point_angle = match self {
            Self::Counterbore { .. } => PI,
            Self::Countersink { angle, .. } => angle,
        };
        let bore = |diameter: f64, depth: f64| (diameter, Depth::FullDiameter { depth, point_angle });
        [bore(self.diameter(), whole), bore(hole_diameter, self.depth(hole_diameter))]
    }
}

/// A hole: its metal is gone. An insert is a hole and a piece of hardware.
///
/// A hole lies in one section of the piece with its whole width. What is gone is the metal that the drill passes, from
/// the face of the piece at every level of it; its depth counts from the middle of its mouth. Holes that run into each
/// other are refused. In a frustum it comes from the front, and lies in the metal with its full width down to its tip. In
/// a measured piece the mouth lies on the box around it: hole and head lie in that box, and whether there is metal is not
/// looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct Hole {
    /// As printed.
    pub name: String,
    /// m, above 0.
    pub diameter: f64,
    /// How deep.
    pub depth: Depth,
    /// Its wider mouth, where it has one.
    pub head: Option<Head>,
    /// Where.
    pub mouth: Mouth,
}

/// A dry film on the outside of the piece: all of its skin but what lies against an old weight, and nothing in the bores
/// of holes, which stay bare so that bolts fit (common practice). The mouths of drilled holes are not taken off.
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
    #[must_use]
    pub fn x(self, front: f64) -> f64 {
        match self {
            Self::At(x) => x,
            Self::BehindFront(offset) => front + offset,
        }
    }
}

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
    /// What it takes out, as volume: in closed form where its mouth is flat, else to a millionth of it, at steps and
    /// kinks of the outline to a ten thousandth.
    ///
    /// # Errors
    /// - [`Fault::HoleOutside`]: it does not begin in the metal, or goes beyond it
    /// - [`Fault::HoleForm`]: such a hole is not reckoned in a piece without a section
    pub(super) fn removed(&self, body: &Body, form: &'static str) -> Result<Moments, Fault> {
        if let Some((which, allowed)) = body.block.and_then(|block| self.not_reckoned_in(&block)) {
            return Err(Fault::HoleForm { name: self.name.clone(), which, form, allowed });
        }
        self.bored(body).ok_or_else(|| Fault::HoleOutside {
            name: self.name.clone(),
            beyond_end: self.is_beyond_end(body),
        })
    }
    /// Why it is not reckoned in a piece without sections, and what is.
    fn not_reckoned_in(&self, block: &Block) -> Option<(&'static str, &'static str)> {
        let (is_round, allowed) = match block {
            Block::Round { .. } => (true, "from the front with a depth"),
            Block::Around(_) => (false, "from front, top or bottom with a depth"),
        };
        let which = match (self.depth, self.mouth) {
            (Depth::Wall, _) => "goes through",
            (_, Mouth::End { .. }) => "enters at an end",
            (_, Mouth::Top { .. } | Mouth::Bottom { .. }) if is_round => "enters across the axis",
            _ => return None,
        };
        Some((which, allowed))
    }
    /// Whether part of it lies past an end of the piece along the hinge line.
    fn is_beyond_end(&self, body: &Body) -> bool {
        let (Mouth::Front { y, .. } | Mouth::Top { y, .. } | Mouth::Bottom { y, .. }) = self.mouth else {
            return false;
        };
        let radius = 0.5 * self.widest();
        let ends = match body.block {
            Some(Block::Around([low, high])) => [low[1], high[1]],
            Some(Block::Round { .. }) => return false,
            None => body.prisms.iter().fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], prism| {
                [low.min(prism.from_y), high.max(prism.to_y)]
            }),
        };
        y - radius < ends[0] || ends[1] < y + radius
    }
    /// The larger of its own diameter and that of its head, m.
    fn widest(&self) -> f64 {
        self.head.map_or(self.diameter, |head| head.diameter())
    }
    /// The hole, and its head less what the hole takes of it.
    fn bored(&self, body: &Body) -> Option<Moments> {
        let run = self.run(body)?;
        let deep = self.deep(&run)?.max(self.head.map_or(0.0, |head| head.depth(self.diameter)));
        if run.metal.is_some_and(|metal| metal < deep) {
            return None;
        }
        if body.block.is_some_and(|block| !self.cylinders(body).iter().all(|bore| bore.lies_in(&block))) {
            return None;
        }
        let hole = self.bore(body, &run, (self.diameter, self.depth))?;
        let Some(head) = self.head else { return Some(hole) };
        let [whole, taken] = head.bores(self.diameter);
        let head = self.bore(body, &run, whole)? - self.bore(body, &run, taken)?;
        Some(hole + head)
    }
    /// From the middle of its mouth to its deepest place, m.
    fn deep(&self, run: &Run) -> Option<f64> {
        Some(tip(self.diameter, run.drilled(self.depth)?))
    }
    /// What a bore on its axis takes out.
    fn bore(&self, body: &Body, run: &Run, (diameter, depth): (f64, Depth)) -> Option<Moments> {
        let drilled = run.drilled(depth)?;
        let flat = || run.placed(solid::drill_hole(diameter, drilled));
        let Some((outline, level_axis)) = self.across(body) else {
            return Some(flat());
        };
        let (level, along) = if level_axis == 1 { (2, 0) } else { (0, 2) };
        let line = Line { mouth: run.mouth, along, level, towards: run.towards };
        let radius = 0.5 * diameter;
        let middle = run.mouth[level];
        let band = Band::of(outline, level_axis, [middle - radius, middle + radius]);
        if band.is_straight() && is_flat(&band, &line, drilled, diameter)? {
            return Some(flat());
        }
        bored::bored(&band, Drill { radius, floor: floor(diameter, drilled) }, &line)
    }
    /// The outline that its mouth lies in, and the axis of the outline across which it runs; none at a flat mouth.
    fn across<'a>(&self, body: &'a Body) -> Option<(&'a Outline, usize)> {
        let radius = 0.5 * self.widest();
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
            let mouth = Path::circle([x, z], 0.5 * self.widest()).ok()?;
            let holds = |prism: &&Prism| prism.outline.clone().with_hole(mouth.clone()).is_ok();
            let first = body.prisms.iter().position(|prism| prism.outline.contains([x, z]))?;
            // It goes on through the sections behind, as far as they hold it whole.
            let held = body.prisms[first..].iter().take_while(holds);
            let to_y = held.last()?.to_y;
            let from_y = body.prisms[first].from_y;
            return Some(Run { axis: 1, towards: 1.0, mouth: [x, from_y, z], metal: Some(to_y - from_y) });
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
    /// The hole and its head as cylinders, each to its deepest place at full width; none where it is not known.
    fn cylinders(&self, body: &Body) -> Vec<Cylinder> {
        let Some(run) = self.run(body) else { return Vec::new() };
        let Some(deep) = self.deep(&run) else { return Vec::new() };
        let head = self.head.map(|head| (head.diameter(), head.depth(self.diameter)));
        let bores = head.into_iter().chain([(self.diameter, deep)]);
        bores.map(|(diameter, depth)| run.cylinder(0.5 * diameter, depth)).collect()
    }
}

/// Whether all holes are apart, each taken to its deepest place at full width: what two of them had in common would be
/// counted twice.
///
/// # Errors
/// [`Fault::HolesMeet`].
pub(super) fn apart(holes: &[Hole], body: &Body) -> Result<(), Fault> {
    // Where a hole runs is reckoned once; to compare every pair is cheap then.
    let bored: Vec<(&Hole, Vec<Cylinder>)> = holes.iter().map(|hole| (hole, hole.cylinders(body))).collect();
    for (index, (one, ours)) in bored.iter().enumerate() {
        let meets = |theirs: &[Cylinder]| ours.iter().any(|own| theirs.iter().any(|other| own.meets(other)));
        if let Some((other, _)) = bored[index + 1..].iter().find(|(_, theirs)| meets(theirs)) {
            return Err(Fault::HolesMeet { one: one.name.clone(), other: other.name.clone() });
        }
    }
    Ok(())
}

/// A cylinder along one of the axes.
struct Cylinder {
    axis: usize,
    radius: f64,
    middle: Vector,
    /// Along its axis, the lower end first.
    ends: [f64; 2],
}

impl Cylinder {
    /// Whether metal may be all around it: all that is known of a piece without sections.
    fn lies_in(&self, block: &Block) -> bool {
        match block {
            Block::Round { rear: [x, y, z], radii: [rear, front], depth } => {
                // It narrows or widens evenly, so that the two ends tell.
                let width_at = |at: f64| rear + (front - rear) * (x - at) / depth;
                let off = (self.middle[1] - y).hypot(self.middle[2] - z);
                let narrowest = width_at(self.ends[0]).min(width_at(self.ends[1]));
                off + self.radius <= narrowest * (1.0 + 1e-12) && self.ends[1] <= *x
            }
            Block::Around([low, high]) => (0..3).all(|axis| {
                let [from, to] = if axis == self.axis {
                    self.ends
                } else {
                    [self.middle[axis] - self.radius, self.middle[axis] + self.radius]
                };
                let slack = 1e-12 * (high[axis] - low[axis]);
                low[axis] - slack <= from && to <= high[axis] + slack
            }),
        }
    }
    fn meets(&self, other: &Self) -> bool {
        if self.axis == other.axis {
            let across = [0, 1, 2].into_iter().filter(|axis| *axis != self.axis);
            let apart = across.map(|axis| self.middle[axis] - other.middle[axis]).fold(0.0, f64::hypot);
            let overlap = self.ends[1].min(other.ends[1]) - self.ends[0].max(other.ends[0]);
            return apart < self.radius + other.radius && 0.0 < overlap;
        }
        // Where each comes nearest to the other, and how wide both are there along the third axis.
        let third = 3 - self.axis - other.axis;
        let half = |one: &Self, another: &Self| {
            let centre = one.middle[another.axis];
            let off = centre - centre.clamp(another.ends[0], another.ends[1]);
            (one.radius * one.radius - off * off).max(0.0).sqrt()
        };
        let (ours, theirs) = (half(self, other), half(other, self));
        0.0 < ours.min(theirs) && (self.middle[third] - other.middle[third]).abs() < ours + theirs
    }
}

impl Run {
    fn drilled(&self, depth: Depth) -> Option<Drilled> {
        Some(match depth {
            Depth::Wall => Drilled::Through { thickness: self.metal? },
            Depth::FullDiameter { depth, point_angle } => Drilled::FullDiameter { depth, point_angle },
            Depth::ToTip { depth, point_angle } => Drilled::ToTip { depth, point_angle },
        })
    }
    fn placed(&self, hole: Moments) -> Moments {
        let mut direction = [0.0; 3];
        direction[self.axis] = self.towards;
        solid::turned_to(direction).map_or(hole, |turn| hole.mapped(&turn)).moved(self.mouth)
    }
    fn cylinder(&self, radius: f64, depth: f64) -> Cylinder {
        let from = self.mouth[self.axis];
        let to = from + self.towards * depth;
        Cylinder { axis: self.axis, radius, middle: self.mouth, ends: [from.min(to), from.max(to)] }
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
        Drilled::FullDiameter { depth, point_angle } => depth + solid::point_length(diameter, point_angle),
        Drilled::ToTip { depth, .. } => depth,
    }
}

/// Depth to the tip, and rise of the point per distance from the middle; none where it goes through.
fn floor(diameter: f64, drilled: Drilled) -> Option<[f64; 2]> {
    match drilled {
        Drilled::Through { .. } => None,
        Drilled::FullDiameter { point_angle, .. } | Drilled::ToTip { point_angle, .. } => {
            Some([tip(diameter, drilled), 1.0 / (0.5 * point_angle).tan()])
        }
    }
}

/// Whether straight faces are square to the drill, with nothing but a flat mouth and metal down to the tip; none where
/// a part of the mouth meets no metal.
fn is_flat(band: &Band, line: &Line, drilled: Drilled, diameter: f64) -> Option<bool> {
    let middle = line.mouth[line.along];
    let slack = 1e-9 * diameter;
    let mut is_flat = true;
    for level in band.ends() {
        let metal = band.intervals(level);
        let [low, high] = *(if line.towards < 0.0 { metal.last() } else { metal.first() })?;
        let (mouth, back) = if line.towards < 0.0 { (high, low) } else { (low, high) };
        let wall = (back - middle) * line.towards;
        let deep = tip(diameter, drilled);
        let holds = match drilled {
            Drilled::Through { .. } => (wall - deep).abs() <= slack,
            _ => deep <= wall + slack,
        };
        is_flat &= (mouth - middle).abs() <= slack && holds;
    }
    Some(is_flat)
}
