//! Why a casting cannot be judged or trimmed. Main type: [`Fault`].

use crate::design::DrillFault;

/// Why a casting cannot be judged, or a way not be taken. Masses in kg, lengths in m.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum Fault {
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
    /// Not one weighing.
    #[error("no weighing of the casting; allowed: one or more")]
    NotWeighed,
    /// The centroid would lie on the other side of the hinge line than the moment.
    #[error("the arm of the casting is {:.1} mm; allowed: on the side of its moment", arm_m * 1e3)]
    ArmSide {
        /// m.
        arm_m: f64,
    },
    /// A casting that is inside tolerance or too light.
    #[error(
        "nothing is to go: the casting is {:.4} kg above the aim; allowed: above the tolerance",
        excess_kg
    )]
    NothingToGo {
        /// kg.
        excess_kg: f64,
    },
    /// A casting that is not too light.
    #[error("nothing is lacking: the casting is {:.4} kg above the aim", excess_kg)]
    NothingLacking {
        /// kg.
        excess_kg: f64,
    },
    /// What is too much is left for the file.
    #[error("{excess_kg:.4} kg too much is no more than what is left for the file, {left_kg:.4} kg")]
    ForTheFile {
        /// kg.
        excess_kg: f64,
        /// kg.
        left_kg: f64,
    },
    /// A place at which mass works the other way.
    #[error("mass at x {:.1} mm works the other way; allowed: the side of the piece", x * 1e3)]
    WrongSide {
        /// m.
        x: f64,
    },
    /// The cut of the saw alone takes more.
    #[error("{:.2} mm an end would have to go, the cut alone takes {:.2} mm", needed * 1e3, kerf * 1e3)]
    Kerf {
        /// m.
        needed: f64,
        /// m.
        kerf: f64,
    },
    /// More than the tool may take.
    #[error("{:.2} mm would have to go; allowed: up to {:.2} mm", needed * 1e3, most * 1e3)]
    TooDeep {
        /// m.
        needed: f64,
        /// m.
        most: f64,
    },
    /// The holes cannot be had.
    #[error(transparent)]
    Drill(#[from] DrillFault),
    /// An insert that is no denser than the metal it takes the place of.
    #[error("an insert of {insert_kg_m3:.0} kg/m³ gains nothing in metal of {metal_kg_m3:.0} kg/m³")]
    NotDenser {
        /// kg/m³.
        insert_kg_m3: f64,
        /// kg/m³.
        metal_kg_m3: f64,
    },
}

impl Fault {
    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Number { .. } => "look at the unit and the sign",
            Self::NotWeighed => "weigh the casting as it is",
            Self::ArmSide { .. } => "look at the sign: forward of the hinge line is negative",
            Self::NothingToGo { .. } => "leave it, or add what is lacking",
            Self::NothingLacking { .. } => "trim it, or leave it",
            Self::ForTheFile { .. } => "use the file",
            Self::WrongSide { .. } => "choose a place on the same side of the hinge line as the piece",
            Self::Kerf { .. } => "drill or file instead, or cut one end only",
            Self::TooDeep { .. } => "take the rest by another way",
            Self::Drill(fault) => fault.hint(),
            Self::NotDenser { .. } => "take a tungsten alloy, or add mass on the outside",
        }
    }
}
