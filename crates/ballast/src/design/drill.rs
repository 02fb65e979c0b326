//! Mass that must go: holes of a drill that take out a wanted moment. Main function: [`drill_out`].

use std::f64::consts::PI;

use crate::Moments;
use crate::solid::{self, Drilled};

/// Most holes.
const MOST_HOLES: u32 = 1000;
/// So little of an old weight, as a share of it, is nothing.
const NOTHING: f64 = 1e-9;

/// One hole of a drill, by both of its depths.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bore {
    /// m.
    pub diameter: f64,
    /// rad.
    pub point_angle: f64,
    /// Depth of the full diameter, m; 0 where it is shallower than the point.
    pub full_depth: f64,
    /// Depth to the tip, m.
    pub tip_depth: f64,
    /// m³.
    pub volume: f64,
}

/// The old weight: its moments as mass, and its metal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OldWeight {
    /// kg, kg m, kg m², in hinge coordinates; none where it is not known.
    pub mass: Option<Moments>,
    /// kg/m³.
    pub density_kg_m3: f64,
    /// Most that may be taken away, kg; none where nothing but its mass bounds it.
    pub removable_kg: Option<f64>,
}

/// How it is drilled: holes square to the chord plane or along the hinge line, all at one x.
#[derive(Debug, Clone, PartialEq)]
pub struct Drilling {
    /// x of the holes, m, not 0.
    pub x: f64,
    /// Drills at hand, m.
    pub diameters: Vec<f64>,
    /// rad: 118° and 135° are common.
    pub point_angle: f64,
    /// Deepest allowed to the tip, m.
    pub deepest: f64,
    /// Most holes, 1 to 1000.
    pub most: u32,
}

/// What is drilled and what is left.
#[derive(Debug, Clone, PartialEq)]
pub struct DrillOut {
    /// How many.
    pub count: u32,
    /// Each of them.
    pub bore: Bore,
    /// Taken away, kg.
    pub removed_kg: f64,
    /// The weight after it; none where its mass is not known, or all of it goes.
    pub left: Option<Left>,
}

/// What is left of an old weight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Left {
    /// kg, above 0.
    pub mass_kg: f64,
    /// x of its centroid, m.
    pub arm_m: f64,
    /// kg m.
    pub moment_kg_m: f64,
}

/// Why it cannot be drilled.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum DrillFault {
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
    /// Taking mass away there works the other way.
    #[error("taking mass away at x {:.1} mm changes the moment the other way", x * 1e3)]
    WrongSide {
        /// m.
        x: f64,
    },
    /// More than may go.
    #[error("{needed_kg:.4} kg must go; allowed: up to {removable_kg:.4} kg")]
    Removable {
        /// kg.
        needed_kg: f64,
        /// kg.
        removable_kg: f64,
    },
    /// Too few or too small holes.
    #[error("all holes as deep as allowed take {most_kg:.4} kg of {needed_kg:.4} kg")]
    TooLittle {
        /// kg.
        needed_kg: f64,
        /// The most that one of the drills takes, kg.
        most_kg: f64,
    },
}

impl DrillFault {
    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Number { .. } => "look at the unit and the sign",
            Self::WrongSide { .. } => "drill on the other side of the hinge line, or add mass here",
            Self::Removable { .. } => "take mass at a longer arm, or from another station too",
            Self::TooLittle { .. } => "allow larger, deeper or more holes",
        }
    }
}

/// The hole of a drill that takes out a volume (m³, above 0): π/4 d² L + π/12 d² h with the point h = (d/2)/tan(angle/2);
/// less than the point is a cone alone.
///
/// Checked by 10 mm × 20 mm at 118°: 1649.449 mm³ by full diameter, 1413.491 mm³ to the tip.
#[must_use]
pub fn bore_for(volume: f64, diameter: f64, point_angle: f64) -> Bore {
    let radius = 0.5 * diameter;
    let area = PI * radius * radius;
    let point = solid::point_length(diameter, point_angle);
    let cone = area * point / 3.0;
    if volume < cone {
        let tip_depth = point * (volume / cone).cbrt();
        return Bore { diameter, point_angle, full_depth: 0.0, tip_depth, volume };
    }
    let full_depth = (volume - cone) / area;
    Bore { diameter, point_angle, full_depth, tip_depth: full_depth + point, volume }
}

impl Drilling {
    /// Holes that take out a volume: as few as will do, then as thin as will do.
    ///
    /// # Errors
    /// [`DrillFault::Number`], [`DrillFault::TooLittle`] with masses of the density.
    pub(crate) fn holes(&self, volume: f64, density_kg_m3: f64) -> Result<(u32, Bore), DrillFault> {
        self.checked()?;
        let mut diameters = self.diameters.clone();
        diameters.sort_by(f64::total_cmp);
        for count in 1..=self.most {
            let bores = diameters.iter().map(|d| bore_for(volume / f64::from(count), *d, self.point_angle));
            if let Some(bore) = bores.into_iter().find(|bore| bore.tip_depth <= self.deepest) {
                return Ok((count, bore));
            }
        }
        Err(DrillFault::TooLittle {
            needed_kg: volume * density_kg_m3,
            most_kg: self.largest() * density_kg_m3,
        })
    }
    /// The volume of as many holes of the widest drill as may be, as deep as allowed, m³.
    fn largest(&self) -> f64 {
        let most_of = |diameter: &f64| {
            let (depth, point_angle) = (self.deepest, self.point_angle);
            solid::drill_hole(*diameter, Drilled::ToTip { depth, point_angle }).total
        };
        self.diameters.iter().map(most_of).fold(0.0, f64::max) * f64::from(self.most)
    }
    fn checked(&self) -> Result<(), DrillFault> {
        for diameter in &self.diameters {
            above_0("the diameter of a drill", *diameter)?;
        }
        above_0("the deepest hole", self.deepest)?;
        above_0("the place of the holes", self.x.abs())?;
        let what = "the number of drills";
        above_0(what, if self.diameters.is_empty() { 0.0 } else { 1.0 })?;
        if !(1..=MOST_HOLES).contains(&self.most) {
            let value = f64::from(self.most);
            return Err(DrillFault::Number { what: "the number of holes", value, allowed: "1 to 1000" });
        }
        let value = self.point_angle;
        let allowed = "above 0, below half a turn";
        if 0.0 < value && value < PI {
            Ok(())
        } else {
            Err(DrillFault::Number { what: "the point angle", value, allowed })
        }
    }
}

fn above_0(what: &'static str, value: f64) -> Result<(), DrillFault> {
    let is_good = 0.0 < value && value.is_finite();
    if is_good { Ok(()) } else { Err(DrillFault::Number { what, value, allowed: "a finite number above 0" }) }
}

/// The holes that change the moment of an old weight by a wanted amount, kg m, positive towards tail-heavy: the mass
/// −change/x goes, at the x of the holes.
///
/// # Errors
/// - [`DrillFault::WrongSide`]: there mass would have to come
/// - [`DrillFault::Removable`], [`DrillFault::TooLittle`]: it is not to be had; where both are so, the one that allows
///   less
/// - [`DrillFault::Number`]
pub fn drill_out(old: &OldWeight, change_kg_m: f64, drilling: &Drilling) -> Result<DrillOut, DrillFault> {
    drilling.checked()?;
    above_0("the density", old.density_kg_m3)?;
    above_0("the size of the change", change_kg_m.abs())?;
    let x = drilling.x;
    let needed_kg = -change_kg_m / x;
    if needed_kg < 0.0 {
        return Err(DrillFault::WrongSide { x });
    }
    let bounds = old.removable_kg.into_iter().chain(old.mass.map(|mass| mass.total));
    // Where both bounds stop it, the tighter one is told.
    let most_kg = drilling.largest() * old.density_kg_m3;
    if let Some(removable_kg) =
        bounds.reduce(f64::min).filter(|kg| kg * (1.0 + NOTHING) < needed_kg && *kg <= most_kg)
    {
        return Err(DrillFault::Removable { needed_kg, removable_kg });
    }
    let (count, bore) = drilling.holes(needed_kg / old.density_kg_m3, old.density_kg_m3)?;
    let left = old.mass.and_then(|mass| left(mass, needed_kg, change_kg_m));
    Ok(DrillOut { count, bore, removed_kg: needed_kg, left })
}

fn left(old: Moments, removed_kg: f64, change_kg_m: f64) -> Option<Left> {
    let (mass_kg, moment_kg_m) = (old.total - removed_kg, old.first[0] + change_kg_m);
    (NOTHING * old.total < mass_kg).then(|| Left { mass_kg, arm_m: moment_kg_m / mass_kg, moment_kg_m })
}
