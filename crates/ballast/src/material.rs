//! Materials of balance weights: density at a temperature with its standard uncertainty, expansion, source and
//! grade, and the names a shop writes.
//!
//! Main type: [`Material`], found by [`Material::named`] or made by [`Material::antimonial_lead`]. Data:
//! `materials/*.toml`. A published range a..b counts as a rectangular distribution (GUM 4.3.7). Not covered: strength
//! ([`crate::fastening`]), melting, porosity of a casting; a weighed sample of known volume is better than any table.

use crate::source::{Cited, Grade};
use serde::Deserialize;
use std::borrow::Cow;
use std::sync::LazyLock;

mod name;
#[cfg(test)]
mod tests;

/// The temperature at which densities are tabled, °C.
pub const TABLED_AT_C: f64 = 20.0;
/// The most antimony that [`Material::antimonial_lead`] reckons with, mass fraction.
pub const MOST_ANTIMONY: f64 = 0.12;

/// A density with its standard uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Density {
    /// kg/m³.
    pub kg_m3: f64,
    /// kg/m³.
    pub standard_uncertainty: f64,
}

/// A mean linear expansion and the temperatures it is good for.
#[derive(Debug, Clone, PartialEq)]
pub struct Expansion {
    /// 1/K, with source and grade.
    pub per_kelvin: Cited,
    /// 1/K.
    pub standard_uncertainty: f64,
    /// From and to, °C.
    pub celsius: [f64; 2],
}

/// How well a density is known, beyond its range.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Knowledge {
    /// Tables agree.
    #[default]
    Sound,
    /// No table was seen: weigh a sample of known volume.
    Weak,
}

/// A metal of the tables, or an antimonial lead made from them.
#[derive(Debug, Clone, PartialEq)]
pub struct Material {
    /// Short and lasting: for files.
    pub key: String,
    /// As printed.
    pub name: String,
    /// Other names it is found by.
    pub aliases: Vec<String>,
    /// Density at 20 °C, kg/m³, with source and grade.
    pub density_20: Cited,
    /// Standard uncertainty of that density, kg/m³.
    pub density_20_uncertainty: f64,
    /// Expansion, where a source gives one.
    pub expansion: Option<Expansion>,
    /// How well it is known.
    pub knowledge: Knowledge,
    /// What the tables say of it.
    pub notes: String,
}

/// What can be wrong with a wish for a material or a density.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum MaterialError {
    /// No material of that name.
    #[error("“{text}” is not a known material")]
    Unknown {
        /// As typed.
        text: String,
        /// Known names that look like it, best first.
        nearest: Vec<String>,
    },
    /// Antimonial lead without its antimony.
    #[error(
        "“{text}” does not say how much antimony; allowed: 0 to 12 % by mass, as in “lead, 4 % antimony”"
    )]
    NoAntimony {
        /// As typed.
        text: String,
    },
    /// More antimony, or less, than the density rule was checked for.
    #[error(
        "antimony is {percent} % by mass; allowed: 0 to 12 %, the range the density rule was checked for"
    )]
    Antimony {
        /// % by mass.
        percent: f64,
    },
    /// Outside the temperatures of the expansion.
    #[error("{material} at {celsius} °C; allowed: {from} to {to} °C, the range of its expansion")]
    Temperature {
        /// Name.
        material: String,
        /// °C.
        celsius: f64,
        /// °C.
        from: f64,
        /// °C.
        to: f64,
    },
    /// No expansion in the tables.
    #[error("{material} at {celsius} °C; allowed: 20 °C only, its expansion is not in the tables")]
    NoExpansion {
        /// Name.
        material: String,
        /// °C.
        celsius: f64,
    },
}

impl MaterialError {
    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Unknown { .. } => "choose a name from the list, or enter a density of your own",
            Self::NoAntimony { .. } | Self::Antimony { .. } => {
                "take the antimony from the certificate of the ingot, or weigh a sample of known volume"
            }
            Self::Temperature { .. } | Self::NoExpansion { .. } => {
                "let the piece come to room temperature and use the density at 20 °C"
            }
        }
    }
}

impl Material {
    /// Every material of the tables, in their order.
    #[must_use]
    pub fn all() -> &'static [Self] {
        &TABLE
    }

    /// The material of a name as a shop writes it: “lead, 4 % antimony”, “tungsten alloy class 3”, “7075-T6
    /// aluminum”. Case, order of words, marks and temper do not matter.
    ///
    /// # Errors
    /// - [`MaterialError::Unknown`] with the nearest names
    /// - [`MaterialError::NoAntimony`], [`MaterialError::Antimony`]
    pub fn named(text: &str) -> Result<Self, MaterialError> {
        name::find(text)
    }

    /// Lead with a mass fraction of antimony (0 to 0.12): 1/ρ = (1−w)/ρ_Pb + w/ρ_Sb; expansion weighted by volume.
    ///
    /// # Errors
    /// - [`MaterialError::Antimony`] outside 0 to 0.12
    ///
    /// # Checked by
    /// Published densities of 4 % and 6 % (read) and 1, 2, 3, 8 % (from memory) within 0.1 %; published expansion of
    /// 6 % within 1 %.
    pub fn antimonial_lead(fraction: f64) -> Result<Self, MaterialError> {
        let w = fraction;
        let outside = || MaterialError::Antimony { percent: w * 100.0 };
        if !(0.0..=MOST_ANTIMONY).contains(&w) {
            return Err(outside());
        }
        let lead = by_key("lead").ok_or_else(outside)?;
        let antimony = by_key("antimony").ok_or_else(outside)?;
        if w <= 0.0 {
            return Ok(lead.clone());
        }
        Ok(mixed(lead, antimony, w))
    }

    /// ρ = ρ₂₀/(1 + α ΔT)³ at a temperature in °C, with the uncertainties of ρ₂₀ and α.
    ///
    /// # Errors
    /// - [`MaterialError::Temperature`] outside the range of the expansion, NaN included
    /// - [`MaterialError::NoExpansion`] away from 20 °C where the tables hold none
    pub fn density(&self, temperature_c: f64) -> Result<Density, MaterialError> {
        let rho = self.density_20.value;
        let rise = temperature_c - TABLED_AT_C;
        if rise.abs() <= 1e-9 {
            return Ok(Density { kg_m3: rho, standard_uncertainty: self.density_20_uncertainty });
        }
        let expansion = self.expansion_at(temperature_c)?;
        let growth = 1.0 + expansion.per_kelvin.value * rise;
        let kg_m3 = rho / growth.powi(3);
        let by_rho = self.density_20_uncertainty / growth.powi(3);
        let by_alpha = 3.0 * kg_m3 * rise * expansion.standard_uncertainty / growth;
        Ok(Density { kg_m3, standard_uncertainty: by_rho.hypot(by_alpha) })
    }

    fn expansion_at(&self, celsius: f64) -> Result<&Expansion, MaterialError> {
        let material = self.name.clone();
        let Some(expansion) = &self.expansion else {
            return Err(MaterialError::NoExpansion { material, celsius });
        };
        let [from, to] = expansion.celsius;
        if from <= celsius && celsius <= to {
            return Ok(expansion);
        }
        Err(MaterialError::Temperature { material, celsius, from, to })
    }
}

fn by_key(key: &str) -> Option<&'static Material> {
    Material::all().iter().find(|material| material.key == key)
}

/// The half-width, relative, within which the mixing rule meets the handbooks.
const MIXING_WITHIN: f64 = 0.001;

fn mixed(lead: &Material, antimony: &Material, w: f64) -> Material {
    let (rho_lead, rho_antimony) = (lead.density_20.value, antimony.density_20.value);
    let rho = 1.0 / ((1.0 - w) / rho_lead + w / rho_antimony);
    let by_lead = (1.0 - w) * (rho / rho_lead).powi(2) * lead.density_20_uncertainty;
    let by_antimony = w * (rho / rho_antimony).powi(2) * antimony.density_20_uncertainty;
    let by_rule = rho * MIXING_WITHIN / 3.0_f64.sqrt();
    let percent = round(w * 100.0, 4);
    Material {
        key: format!("lead-antimony-{percent}"),
        name: format!("lead, {percent} % antimony"),
        aliases: Vec::new(),
        density_20: Cited::of(rho, "IDEAL-MIX", Grade::Computed),
        density_20_uncertainty: by_lead.hypot(by_antimony).hypot(by_rule),
        expansion: mixed_expansion(lead, antimony, w * rho / rho_antimony),
        knowledge: Knowledge::Sound,
        notes: "Density by ideal mixing. The antimony itself is as certain as the certificate of the ingot: 1 % more \
                antimony is 0.7 % less density."
            .to_owned(),
    }
}

fn mixed_expansion(lead: &Material, antimony: &Material, volume_fraction: f64) -> Option<Expansion> {
    let (lead, antimony) = (lead.expansion.as_ref()?, antimony.expansion.as_ref()?);
    let (a, b) = (lead.per_kelvin.value, antimony.per_kelvin.value);
    let alpha = a + (b - a) * volume_fraction;
    Some(Expansion {
        per_kelvin: Cited::of(alpha, "IDEAL-MIX", Grade::Computed),
        standard_uncertainty: lead.standard_uncertainty.hypot(0.01 * alpha / 3.0_f64.sqrt()),
        celsius: lead.celsius,
    })
}

fn round(value: f64, places: i32) -> f64 {
    let scale = 10.0_f64.powi(places);
    (value * scale).round() / scale
}

/// The stored shape of a row of `materials/*.toml`.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    key: String,
    name: String,
    aliases: Vec<String>,
    density: Stated,
    expansion: Option<Stated>,
    #[serde(default)]
    knowledge: Knowledge,
    notes: String,
}

/// A number as a source states it: a value, a range, or both.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Stated {
    value: Option<f64>,
    range: [f64; 2],
    celsius: Option<[f64; 2]>,
    source: String,
    grade: Grade,
}

#[derive(Deserialize)]
struct File {
    material: Vec<Row>,
}

impl Stated {
    /// The value (the middle of the range if none is named) and the standard uncertainty: rectangular over the range,
    /// reckoned from the value to its farther end.
    fn number(self) -> (Cited, f64) {
        let [low, high] = self.range;
        let value = self.value.unwrap_or(f64::midpoint(low, high));
        let half_width = (value - low).max(high - value);
        (Cited { value, source: Cow::Owned(self.source), grade: self.grade }, half_width / 3.0_f64.sqrt())
    }
}

impl From<Row> for Material {
    fn from(row: Row) -> Self {
        let expansion = row.expansion.map(|stated| {
            let celsius = stated.celsius.unwrap_or([TABLED_AT_C; 2]);
            let (per_kelvin, standard_uncertainty) = stated.number();
            Expansion { per_kelvin, standard_uncertainty, celsius }
        });
        let (density_20, density_20_uncertainty) = row.density.number();
        Self {
            key: row.key,
            name: row.name,
            aliases: row.aliases,
            density_20,
            density_20_uncertainty,
            expansion,
            knowledge: row.knowledge,
            notes: row.notes,
        }
    }
}

const FILES: [&str; 6] = [
    include_str!("../materials/lead.toml"),
    include_str!("../materials/steel.toml"),
    include_str!("../materials/aluminium.toml"),
    include_str!("../materials/copper.toml"),
    include_str!("../materials/tungsten.toml"),
    include_str!("../materials/bismuth.toml"),
];

static TABLE: LazyLock<Vec<Material>> = LazyLock::new(|| {
    // A test reads every file with an error of its own: at run time the table is whole.
    let read = |text: &&str| toml::from_str::<File>(text).map(|file| file.material).unwrap_or_default();
    FILES.iter().flat_map(read).map(Material::from).collect()
});
