//! A screening in sentences. Every line ends by asking the engineer; none of them passes judgement.

use super::{
    Case, Check, ClampStress, Direction, Factors, Grip, Margin, RootLoad, Screening, Sense, Warning,
};
use crate::source::Cited;
use crate::thread::Limits;
use std::fmt::{self, Display};

/// The end of every line.
pub const FOR_THE_ENGINEER: &str = "for the engineer to confirm";

impl Direction {
    /// As printed.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Normal => "normal to the surface",
            Self::ForeAndAft => "fore and aft",
            Self::AlongHinge => "along the hinge line",
        }
    }
}

impl Sense {
    /// As printed for a direction.
    #[must_use]
    pub fn words(self, direction: Direction) -> &'static str {
        match (direction, self) {
            (Direction::Normal, Self::Positive) => "up",
            (Direction::Normal, Self::Negative) => "down",
            (Direction::ForeAndAft, Self::Positive) => "aft",
            (Direction::ForeAndAft, Self::Negative) => "forward",
            (Direction::AlongHinge, Self::Positive) => "outboard",
            (Direction::AlongHinge, Self::Negative) => "inboard",
        }
    }
}

impl Check {
    fn words(&self) -> String {
        match self {
            Self::Shear => "shear".to_owned(),
            Self::Tension => "tension".to_owned(),
            Self::Interaction => "shear with tension".to_owned(),
            Self::Bearing { plate } => format!("bearing on {plate}"),
            Self::Stripping { grip } => format!("stripping of {grip}"),
            Self::Root => "root of the arm".to_owned(),
        }
    }
    fn show(&self, value: f64) -> String {
        match self {
            Self::Shear | Self::Tension | Self::Stripping { .. } => newtons(value),
            Self::Interaction => format!("{value:.3}"),
            Self::Bearing { .. } | Self::Root => megapascals(value),
        }
    }
}

fn newtons(value: f64) -> String {
    let places = if value.abs() < 100.0 { 1 } else { 0 };
    format!("{value:.places$} N")
}

fn megapascals(pascals: f64) -> String {
    let places = if pascals.abs() < 1e7 { 2 } else { 1 };
    format!("{:.places$} MPa", pascals / 1e6)
}

fn origin(figure: &Cited) -> String {
    format!("[{}]", figure.origin())
}

impl Display for Margin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(bolt) = self.bolt {
            write!(f, "bolt {bolt}, ")?;
        }
        let (applied, allowable) = (self.check.show(self.applied), self.check.show(self.allowable.value));
        write!(f, "{}: {applied}", self.check.words())?;
        if self.check != Check::Interaction {
            write!(f, " at limit load × {:.3}", self.factor)?;
        }
        write!(f, " against {allowable} {}: ", origin(&self.allowable))?;
        let below = if self.margin < 0.0 { ", BELOW 0" } else { "" };
        write!(f, "M.S. {:+.2}{below}, {FOR_THE_ENGINEER}", self.margin)
    }
}

impl Case {
    /// The load, what every bolt carries, and the root of the arm.
    #[must_use]
    pub fn lines(&self) -> Vec<String> {
        let (way, sense) = (self.direction.words(), self.sense.words(self.direction));
        let force = self.force.iter().map(|part| part * part).sum::<f64>().sqrt();
        let mut lines = vec![format!(
            "{} g {way}, {sense} {}: {} at limit load, {FOR_THE_ENGINEER}",
            self.factor.value,
            origin(&self.factor),
            newtons(force)
        )];
        lines.extend(self.bolts.iter().enumerate().map(|(index, bolt)| {
            let shear = newtons(bolt.shear_n);
            let tension = if bolt.tension_n < 0.0 {
                format!("no tension (the face presses with {})", newtons(-bolt.tension_n))
            } else {
                format!("tension {}", newtons(bolt.tension_n))
            };
            format!("bolt {}: shear {shear}, {tension}, {FOR_THE_ENGINEER}", index + 1)
        }));
        lines.extend(self.heels.iter().map(|heel| {
            let press = heel.force.iter().map(|part| part * part).sum::<f64>().sqrt();
            format!("heel: the weight presses on the arm with {}, {FOR_THE_ENGINEER}", newtons(press))
        }));
        lines.extend(self.root.iter().map(ToString::to_string));
        lines.extend(self.margins.iter().map(ToString::to_string));
        lines
    }
}

impl Display for RootLoad {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "root of the arm: bending {:.2} N m, torsion {:.2} N m, shear {}, along the arm {}",
            self.bending_nm,
            self.torsion_nm,
            newtons(self.shear_n),
            newtons(self.axial_n.abs())
        )?;
        if let Some(stress) = self.stress_pa {
            write!(f, ", stress {} without that of shear and torsion", megapascals(stress))?;
        }
        write!(f, ", {FOR_THE_ENGINEER}")
    }
}

impl Display for Grip {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Limits { thread, fit, source, grade, .. } = self.limits;
        let square_mm = |area: f64| format!("{:.1} mm²", area * 1e6);
        let strip = self.strip();
        write!(
            f,
            "{}: {}, {}, {:.2} mm engaged; shear area {} of the external thread, {} of the internal one [{source}, {}]; \
             the weaker strips at {} {}, {FOR_THE_ENGINEER}",
            self.name,
            thread.name,
            fit.words(),
            self.engagement_m * 1e3,
            square_mm(self.limits.external_shear_area_m2(self.engagement_m)),
            square_mm(self.limits.internal_shear_area_m2(self.engagement_m)),
            grade.words(),
            newtons(strip.value),
            origin(&strip)
        )
    }
}

impl Display for Factors {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "ultimate load is limit load × {} {}, fitting factor {} {}, {FOR_THE_ENGINEER}",
            self.ultimate.value,
            origin(&self.ultimate),
            self.fitting.value,
            origin(&self.fitting)
        )
    }
}

impl Display for ClampStress {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "bolt {}: tightening pulls {} (T = K P d, K {} {}) and presses {} under the washer",
            self.bolt,
            newtons(self.preload_n),
            self.nut_factor.value,
            origin(&self.nut_factor),
            megapascals(self.stress_pa)
        )?;
        for (name, sustained, times) in &self.against {
            let sustained_words = megapascals(sustained.value);
            write!(f, ", {times:.1} times the {sustained_words} said for {name} {}", origin(sustained))?;
        }
        write!(f, ", {FOR_THE_ENGINEER}")
    }
}

impl Display for Warning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::ClampThroughLead { bolt, stress_pa } => write!(
                f,
                "WARNING: bolt {bolt} clamps through bare lead with {}; lead creeps and the bolt comes loose: a hard \
                 bushing that bears on the arm keeps lead out of the clamp",
                megapascals(*stress_pa)
            ),
            Self::ThreadInLead { bolt, grip } => write!(
                f,
                "WARNING: bolt {bolt}, {grip}: a thread in lead creeps under a steady pull; its strength here is that \
                 of a short pull"
            ),
            Self::StripsBeforeBolt { bolt, grip, strip_n, bolt_n } => write!(
                f,
                "bolt {bolt}, {grip}: the thread strips at {}, before the bolt breaks at {}",
                newtons(*strip_n),
                newtons(*bolt_n)
            ),
            Self::NotCarried { direction, moment_nm } => write!(
                f,
                "WARNING: {}: a moment of {moment_nm:.2} N m about a line of bolts or about a single bolt is carried \
                 by nothing in this model; enter the heel, or add a bolt off the line",
                direction.words()
            ),
            Self::Torque { bolt, torque_nm, most_nm } => write!(
                f,
                "bolt {bolt}: the torque of {torque_nm:.2} N m is above the recommended {:.2} N m {}",
                most_nm.value,
                origin(most_nm)
            ),
            Self::SmallBolt { bolt } => write!(
                f,
                "bolt {bolt} is smaller than 10-32, the least for primary structure [AC-43.13-1B, paragraph 7-41]"
            ),
        }?;
        write!(f, ", {FOR_THE_ENGINEER}")
    }
}

impl Screening {
    /// The whole screening, line by line: warnings first, then factors, clamps and cases.
    #[must_use]
    pub fn lines(&self) -> Vec<String> {
        let mut lines: Vec<String> = self.warnings.iter().map(ToString::to_string).collect();
        lines.push(self.factors.to_string());
        lines.extend(self.clamps.iter().map(ToString::to_string));
        lines.extend(self.cases.iter().flat_map(Case::lines));
        lines
    }
}
