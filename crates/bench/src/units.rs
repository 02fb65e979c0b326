//! The same result in the other system: inch-pound beside metric.
//!
//! Main functions: [`Units::other`], [`Assessment::in_units`]. What was typed stays as typed; only what is worked out
//! speaks in other units. [`with_unit`] gives a bare number the unit that stands beside its field, as
//! [`System::typed`] chooses it.

use crate::assess::Assessment;
use crate::job_sheet::Units;
use hingeline_quantity::{Angle, Entered, Kind, Length, Mass, Moment, ParseError, Problem, Unit, unit};

/// Which system results are said in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum System {
    /// As the approved limits are written.
    #[default]
    AsLimits,
    /// Inch, pound, ounce.
    Customary,
    /// Millimetre, gram, kilogram.
    Metric,
}

impl System {
    /// All of them with the word in an address.
    pub const ALL: [(&'static str, Self); 3] =
        [("limits", Self::AsLimits), ("inch", Self::Customary), ("metric", Self::Metric)];

    /// The system of a word; as the limits where there is none of it.
    #[must_use]
    pub fn read(word: &str) -> Self {
        Self::ALL.iter().find(|(known, _)| *known == word).map_or(Self::AsLimits, |(_, system)| *system)
    }
    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(_, system)| *system == self).map_or("limits", |(word, _)| word)
    }
    /// These units, or their partners where they are of the other system.
    #[must_use]
    pub fn of(self, units: Units) -> Units {
        match self {
            Self::Customary if !units.customary() => units.other(),
            Self::Metric if units.customary() => units.other(),
            _ => units,
        }
    }
    /// The units of what is typed under this system without a unit: one a kind, whatever was typed or read before.
    #[must_use]
    pub fn typed(self, limits: Units) -> Units {
        match self {
            Self::AsLimits => limits,
            Self::Customary => {
                Units { moment: &unit::INCH_POUND, length: &unit::INCH, mass: &unit::POUND, force: false }
            }
            Self::Metric => Units {
                moment: &unit::KILOGRAM_MILLIMETRE,
                length: &unit::MILLIMETRE,
                mass: &unit::KILOGRAM,
                force: false,
            },
        }
    }
}

/// What was typed, a bare number with the unit of its field: "0,360" in a field of kilograms is "0,360 kg". Any other
/// text stays as it is, so that a unit that was typed holds, and what is no number is refused as it stands.
#[must_use]
pub fn with_unit(text: &str, unit: &Unit) -> String {
    let bare = match unit.kind {
        Kind::Mass => has_no_unit(Entered::<Mass>::parse(text)),
        Kind::Length => has_no_unit(Entered::<Length>::parse(text)),
        Kind::Moment => has_no_unit(Entered::<Moment>::parse(text)),
        Kind::Angle => has_no_unit(Entered::<Angle>::parse(text)),
    };
    if bare { format!("{} {}", text.trim(), unit.symbol) } else { text.to_owned() }
}

fn has_no_unit<Q>(parsed: Result<Entered<Q>, ParseError>) -> bool {
    matches!(parsed, Err(ParseError { problem: Problem::NoUnit { .. }, .. }))
}

impl Units {
    /// Whether arms are in inches or feet.
    #[must_use]
    pub fn customary(self) -> bool {
        [unit::INCH.symbol, unit::FOOT.symbol].contains(&self.length.symbol)
    }
    /// The units of the other system that a surface of this size is spoken of in.
    #[must_use]
    pub fn other(self) -> Self {
        let other: &'static Unit = match self.moment.symbol {
            symbol if symbol == unit::INCH_OUNCE.symbol => &unit::GRAM_CENTIMETRE,
            symbol if symbol == unit::FOOT_POUND.symbol => &unit::KILOGRAM_METRE,
            symbol if symbol == unit::INCH_POUND.symbol => &unit::KILOGRAM_MILLIMETRE,
            symbol if [unit::GRAM_CENTIMETRE.symbol, unit::GRAM_MILLIMETRE.symbol].contains(&symbol) => {
                &unit::INCH_OUNCE
            }
            _ => &unit::INCH_POUND,
        };
        let (length, mass) = other.parts.unwrap_or((self.length, self.mass));
        Self { moment: other, length, mass, force: false }
    }
}

impl Assessment {
    /// The same, said in other units.
    #[must_use]
    pub fn in_units(&self, units: Units) -> Self {
        let mut other = self.clone();
        if other.sheet.limits.units.moment.symbol != units.moment.symbol {
            other.sheet.limits.units = units;
        }
        other
    }
    /// The same, said in a system.
    #[must_use]
    pub fn in_system(&self, system: System) -> Self {
        self.in_units(system.of(self.sheet.limits.units))
    }
}
