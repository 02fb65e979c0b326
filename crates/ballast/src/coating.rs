//! Primers and paints: mass per area of a dry film from its thickness and specific gravity.
//!
//! Main type: [`Coating`]. Film thickness per coat is read in a US military paint manual, specific gravities are from
//! memory of typical data sheets; both are ranges and count as rectangular. Coats are not independent: one hand with one
//! gun lays them all too thick or too thin alike, so the range of a film grows as the number of coats does (our rule, not
//! read anywhere). Not covered: wet paint, overspray, filler; weighing the part before and after painting is better.

use crate::source::Grade;

/// Density that a specific gravity is counted from, kg/m³ (water; 0.03 % above water at 4 °C).
const WATER_KG_M3: f64 = 1000.0;
/// 0.001 in, m.
const MIL_M: f64 = 25.4e-6;

/// A range of a number with its source and grade.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// The lower end, in the unit that its place says.
    pub least: f64,
    /// The upper end.
    pub most: f64,
    /// Key of the table of sources.
    pub source: &'static str,
    /// How it came here.
    pub grade: Grade,
}

impl Range {
    fn middle(&self) -> f64 {
        f64::midpoint(self.least, self.most)
    }
    fn standard_uncertainty(&self) -> f64 {
        (self.most - self.least) / 12.0_f64.sqrt()
    }
    fn times(self, factor: f64) -> Self {
        Self { least: factor * self.least, most: factor * self.most, ..self }
    }
}

/// A primer or paint.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coating {
    /// As printed.
    pub name: &'static str,
    /// Dry film of one coat, m.
    pub one_coat_m: Range,
    /// Dry film of two coats (for a topcoat: with its cross coat), m, where the source gives it.
    pub two_coats_m: Option<Range>,
    /// Specific gravity of the dry film.
    pub specific_gravity: Range,
}

/// Mass per area of a dry film.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FilmMass {
    /// In the middle of both ranges, kg/m².
    pub kg_m2: f64,
    /// The thinnest and lightest film, kg/m².
    pub least: f64,
    /// The thickest and heaviest film, kg/m².
    pub most: f64,
    /// kg/m².
    pub standard_uncertainty: f64,
}

/// What can be wrong with a wish for a film.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum CoatingError {
    /// No coats, or more than anybody sprays.
    #[error("{coats} coats; allowed: 1 to 10")]
    Coats {
        /// As asked for.
        coats: u32,
    },
}

const fn film(least_mil: f64, most_mil: f64) -> Range {
    Range { least: least_mil * MIL_M, most: most_mil * MIL_M, source: "TO-PAINT", grade: Grade::Seen }
}

const fn gravity(least: f64, most: f64) -> Range {
    Range { least, most, source: "PAINT-SHEETS", grade: Grade::Memory }
}

/// The primers and paints of the tables.
pub const COATINGS: [Coating; 4] = [
    Coating {
        name: "epoxy primer (MIL-PRF-23377, MIL-PRF-85582)",
        one_coat_m: film(0.6, 0.9),
        two_coats_m: Some(film(0.8, 2.0)),
        specific_gravity: gravity(1.5, 1.7),
    },
    Coating {
        name: "polyurethane topcoat (MIL-PRF-85285)",
        one_coat_m: film(1.7, 2.3),
        two_coats_m: Some(film(1.6, 5.0)),
        specific_gravity: gravity(1.3, 1.5),
    },
    Coating {
        name: "epoxy topcoat (MIL-PRF-22750)",
        one_coat_m: film(0.8, 2.0),
        two_coats_m: None,
        specific_gravity: gravity(1.3, 1.6),
    },
    Coating {
        name: "zinc chromate primer",
        one_coat_m: Range {
            least: 0.3 * MIL_M,
            most: 0.5 * MIL_M,
            source: "MIL-P-8585",
            grade: Grade::Memory,
        },
        two_coats_m: None,
        specific_gravity: gravity(1.4, 1.6),
    },
];

/// Mass per area, kg/m², of a dry film of a thickness (m) and specific gravity: t × SG × 1000; 25.4 g/m² per mil at
/// SG 1.
#[must_use]
pub fn film_mass(thickness_m: f64, specific_gravity: f64) -> f64 {
    thickness_m * specific_gravity * WATER_KG_M3
}

impl Coating {
    /// Dry film of a number of coats, m: as the source gives it for one and two; of more, half so many times two coats,
    /// or so many times one where the source gives no two.
    ///
    /// # Errors
    /// - [`CoatingError::Coats`] below 1 or above 10
    pub fn film(&self, coats: u32) -> Result<Range, CoatingError> {
        match (coats, self.two_coats_m) {
            (1, _) => Ok(self.one_coat_m),
            (2..=10, Some(two)) => Ok(two.times(0.5 * f64::from(coats))),
            (2..=10, None) => Ok(self.one_coat_m.times(f64::from(coats))),
            _ => Err(CoatingError::Coats { coats }),
        }
    }

    /// Mass per area of a number of coats, with its range and standard uncertainty (both ranges rectangular).
    ///
    /// # Errors
    /// - [`CoatingError::Coats`] below 1 or above 10
    pub fn mass_per_area(&self, coats: u32) -> Result<FilmMass, CoatingError> {
        let (film, gravity) = (self.film(coats)?, self.specific_gravity);
        let by_film = film_mass(film.standard_uncertainty(), gravity.middle());
        let by_gravity = film_mass(film.middle(), gravity.standard_uncertainty());
        Ok(FilmMass {
            kg_m2: film_mass(film.middle(), gravity.middle()),
            least: film_mass(film.least, gravity.least),
            most: film_mass(film.most, gravity.most),
            standard_uncertainty: by_film.hypot(by_gravity),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source;

    /// lb/ft² in one kg/m².
    const LB_FT2: f64 = 0.304_8 * 0.304_8 / 0.453_592_37;

    #[test]
    fn the_formula_gives_its_worked_values() {
        for (mils, gravity, g_m2, lb_ft2) in [(0.8, 1.6, 32.5, 0.006_66), (2.0, 1.4, 71.1, 0.014_57)] {
            let mass = film_mass(mils * MIL_M, gravity);
            assert!((mass * 1000.0 - g_m2).abs() <= 0.05, "{mass}");
            assert!((mass * LB_FT2 - lb_ft2).abs() <= 0.000_005, "{mass}");
        }
        assert!((film_mass(MIL_M, 1.0) * LB_FT2 - 0.005_202_3).abs() <= 5e-8);
        assert!((film_mass(MIL_M, 1.0) * LB_FT2 * 16.0 - 0.083_24).abs() <= 5e-6);
    }

    /// 0.6 to 0.9 mil at 1.5 to 1.7: 0.75 × 25.4e-6 × 1600 in the middle.
    #[test]
    fn one_coat_of_epoxy_primer_is_worked_by_hand() {
        let mass = COATINGS[0].mass_per_area(1).expect("one coat");
        assert!((mass.kg_m2 - 0.030_48).abs() < 1e-12 && (mass.least - 0.022_86).abs() < 1e-12);
        assert!((mass.most - 0.038_862).abs() < 1e-12);
        let relative = (0.3 / 12.0_f64.sqrt() / 0.75).hypot(0.2 / 12.0_f64.sqrt() / 1.6);
        assert!((mass.standard_uncertainty / mass.kg_m2 - relative).abs() < 1e-12);
    }

    /// Two coats of primer are printed as 0.8 to 2.0 mil, so three are 1.2 to 3.0 mil.
    #[test]
    fn two_coats_are_as_printed_and_three_are_half_as_much_again() {
        let two = COATINGS[0].mass_per_area(2).expect("two coats");
        assert!((two.least - 0.030_48).abs() < 1e-12 && (two.most - 0.086_36).abs() < 1e-12);
        let three = COATINGS[0].mass_per_area(3).expect("three coats");
        assert!((three.least - 1.5 * 0.030_48).abs() < 1e-12 && (three.most - 1.5 * 0.086_36).abs() < 1e-12);
    }

    #[test]
    fn every_coat_more_is_heavier_and_less_sure() {
        for coating in COATINGS {
            let masses = (1..=10).map(|coats| coating.mass_per_area(coats).expect("coats"));
            let masses: Vec<FilmMass> = masses.collect();
            for pair in masses.windows(2) {
                assert!(pair[0].kg_m2 < pair[1].kg_m2, "{}", coating.name);
                assert!(pair[0].standard_uncertainty < pair[1].standard_uncertainty, "{}", coating.name);
            }
        }
    }

    #[test]
    fn no_coat_and_too_many_coats_are_refused() {
        for coats in [0, 11] {
            assert_eq!(COATINGS[0].mass_per_area(coats), Err(CoatingError::Coats { coats }));
        }
    }

    #[test]
    fn every_source_is_in_the_table_of_sources() {
        for coating in COATINGS {
            for range in [coating.one_coat_m, coating.specific_gravity].into_iter().chain(coating.two_coats_m)
            {
                assert!(source::citation(range.source).is_some(), "{}", range.source);
            }
        }
    }
}
