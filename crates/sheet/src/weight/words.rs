//! Numbers of a solution in words and units. Main type: `Voice`.

use hingeline_ballast::design::{Accuracy, Design, Form, Kind, Part, Solution, Weight};
use hingeline_quantity::{Unit, decimals};

use super::WeightUnits;
use crate::paper::{Line, WeightPart};

/// Says numbers in the units of the shop.
#[derive(Debug, Clone, Copy)]
pub(super) struct Voice {
    pub(super) units: WeightUnits,
}

/// The decimals that show steps of a size, in SI.
fn places(unit: &Unit, step: f64) -> usize {
    (0..9)
        .find(|count| unit.factor * 0.1_f64.powi(*count) <= step * 1.0001)
        .map_or(9, |count| usize::try_from(count).unwrap_or(9))
}

fn mass_places(unit: &Unit) -> usize {
    places(unit, 4.6e-4)
}

fn moment_places(unit: &Unit) -> usize {
    places(unit, 1.2e-5)
}

/// Decimals beyond those of the sum that a column may need.
const MORE_PLACES: usize = 6;

/// The decimals of a column of numbers whose sum is printed to some: so many that each has two digits, and that they add
/// up to that.
fn column(numbers: &[f64], sum: f64, sum_places: usize) -> usize {
    let rounded = |value: f64, places: usize| format!("{value:.places$}").parse::<f64>().unwrap_or(value);
    let printed = rounded(sum, sum_places);
    let half = 0.5 * 0.1_f64.powi(i32::try_from(sum_places).unwrap_or(0));
    let least =
        numbers.iter().map(|value| hingeline_quantity::places(*value, 2)).fold(sum_places, usize::max);
    let least = least.min(sum_places + MORE_PLACES);
    let adds_up = |places: &usize| {
        let all: f64 = numbers.iter().map(|value| rounded(*value, *places)).sum();
        (all - printed).abs() < half * (1.0 - 1e-6)
    };
    (least..=sum_places + MORE_PLACES).find(adds_up).unwrap_or(least)
}

fn side(moment: f64) -> &'static str {
    if moment < 0.0 { "nose-heavy" } else { "tail-heavy" }
}

fn line(name: &str, value: String) -> Line {
    Line { name: name.to_owned(), value }
}

impl Voice {
    /// A length to a thousandth of an inch.
    pub(super) fn length(self, value: f64) -> String {
        let unit = self.units.length;
        format!("{} {}", decimals(value / unit.factor, places(unit, 2.54e-5)), unit.symbol)
    }
    /// A mass to a thousandth of a pound or better.
    pub(super) fn mass(self, value: f64) -> String {
        let unit = self.units.mass;
        format!("{} {}", decimals(value / unit.factor, mass_places(unit)), unit.symbol)
    }
    /// An arm with its side.
    pub(super) fn arm(self, value: f64) -> String {
        let side = if value < 0.0 { "forward" } else { "aft" };
        format!("{} {side}", self.length(value.abs()))
    }
    /// A moment without its side.
    pub(super) fn size(self, value: f64) -> String {
        let unit = self.units.moment;
        format!("{} {}", decimals(value.abs() / unit.factor, moment_places(unit)), unit.symbol)
    }
    /// A moment with its side.
    pub(super) fn moment(self, value: f64) -> String {
        format!("{} {}", self.size(value), side(value))
    }

    /// The answer in one sentence.
    pub(super) fn answer(self, solution: &Solution, metal: &str) -> String {
        let form = solution.form.name();
        let form = form.split_once(' ').map_or(form, |(_, name)| name);
        let value = match (solution.value, &solution.form) {
            (Some((dimension, value)), _) => format!(", {} {}", dimension.name(), self.length(value)),
            (None, Form::Plates { count, thickness, .. }) => {
                format!(", {count} plates of {}", self.length(*thickness))
            }
            (None, _) => String::new(),
        };
        let Weight { mass_kg, arm_m, moment_kg_m } = solution.finished;
        let mut metal = metal.to_owned();
        if let Some(first) = metal.get_mut(..1) {
            first.make_ascii_uppercase();
        }
        format!(
            "{metal} {form}{value}: {} finished, centre of gravity {} of the hinge line, gives {}",
            self.mass(mass_kg),
            self.arm(arm_m),
            self.moment(moment_kg_m)
        )
    }
    /// What else to know: what is left, the doubt, the naive answer, the bounds.
    pub(super) fn notes(self, design: &Design, solution: &Solution) -> Vec<String> {
        let mut notes = vec![format!("Wanted: {}.", self.moment(design.wanted.moment_kg_m))];
        if 1e-6 * design.wanted.moment_kg_m.abs() < solution.remaining_kg_m.abs() {
            notes
                .push(format!("{} is still wanting after this piece.", self.moment(solution.remaining_kg_m)));
        }
        let k = design.accuracy.coverage_factor;
        if 0.0 < k * solution.standard_uncertainty {
            let expanded = self.size(k * solution.standard_uncertainty);
            notes.push(format!("Doubt of its moment before trimming: ± {expanded} (k = {k})."));
        }
        if let Some(naive) = solution.naive {
            notes.push(format!(
                "Wanted moment over the old arm would be {}; at the arm of the new piece that misses by {}.",
                self.mass(naive.mass_kg),
                self.moment(naive.miss_kg_m)
            ));
        }
        notes
    }
    /// The table of parts: to so many decimals that every mass and moment has two digits, and that they add up to the
    /// sum as it is printed.
    pub(super) fn parts(self, solution: &Solution) -> Vec<WeightPart> {
        let (parts, units, all) = (&solution.parts, self.units, solution.finished);
        let masses: Vec<f64> = parts.iter().map(|part| part.mass_kg / units.mass.factor).collect();
        let moments: Vec<f64> = parts.iter().map(|part| part.moment_kg_m / units.moment.factor).collect();
        let mass_places = column(&masses, all.mass_kg / units.mass.factor, mass_places(units.mass));
        let moment_places =
            column(&moments, all.moment_kg_m / units.moment.factor, moment_places(units.moment));
        let row = |(part, (mass, moment)): (&Part, (&f64, &f64))| {
            let hole = if part.kind == Kind::Hole { "hole: " } else { "" };
            WeightPart {
                name: format!("{hole}{}", part.name),
                mass: format!("{} {}", decimals(*mass, mass_places), units.mass.symbol),
                arm: self.arm(part.arm_m),
                moment: format!(
                    "{} {} {}",
                    decimals(moment.abs(), moment_places),
                    units.moment.symbol,
                    side(*moment)
                ),
            }
        };
        parts.iter().zip(masses.iter().zip(&moments)).map(row).collect()
    }
    /// Its sum.
    pub(super) fn total(self, solution: &Solution) -> WeightPart {
        let Weight { mass_kg, arm_m, moment_kg_m } = solution.finished;
        WeightPart {
            name: "finished piece".to_owned(),
            mass: self.mass(mass_kg),
            arm: self.arm(arm_m),
            moment: self.moment(moment_kg_m),
        }
    }
    /// What to cast.
    pub(super) fn cast(self, design: &Design, solution: &Solution) -> Vec<Line> {
        let mut lines = vec![line("casting by the design, before holes", self.mass(solution.as_cast.total))];
        let Accuracy { coverage_factor, .. } = design.accuracy;
        if let Some(reserve) = solution.reserve.filter(|reserve| 0.0 < reserve.mass_kg) {
            let name = format!("cast with a reserve of k = {coverage_factor}, to trim down");
            lines.push(line(&name, self.mass(reserve.cast_kg)));
            if let (Some((dimension, _)), Some(value)) = (solution.value, reserve.dimension_m) {
                lines.push(line(&format!("its {}", dimension.name()), self.length(value)));
            }
        }
        for half in &solution.halves {
            lines.push(line(&format!("{} half, before holes", half.name), self.mass(half.as_cast.total)));
        }
        lines.push(line(
            "density reckoned with",
            format!("{} g/cm³", decimals(design.density.kg_m3 / 1000.0, 3)),
        ));
        lines
    }
    /// What the scale must read.
    pub(super) fn trim(self, solution: &Solution) -> Vec<Line> {
        let arm = |moments: &hingeline_ballast::Moments| moments.first[0] / moments.total;
        let at = |moments: &hingeline_ballast::Moments| {
            format!("{}, centre of gravity {}", self.mass(moments.total), self.arm(arm(moments)))
        };
        let mut lines = vec![line("metal before holes", at(&solution.as_cast))];
        if solution.parts.iter().any(|part| part.kind == Kind::Hole) {
            lines.push(line("metal after holes", at(&solution.as_drilled)));
        }
        let Weight { mass_kg, arm_m, .. } = solution.finished;
        lines
            .push(line("finished", format!("{}, centre of gravity {}", self.mass(mass_kg), self.arm(arm_m))));
        let per = solution.finished.arm_m.abs() * self.units.mass.factor / self.units.moment.factor;
        let (mass, moment) = (self.units.mass.symbol, self.units.moment.symbol);
        lines.push(line(
            "what counts is the moment",
            format!("1 {mass} at this arm is {} {moment}", decimals(per, 3)),
        ));
        lines
    }
}

#[cfg(test)]
mod tests {
    use super::column;

    /// 27.847 − 0.309 − 0.309 + 2.205 + 0.025 is 29.459, of a sum that is 29.460: one decimal more makes it.
    #[test]
    fn a_column_adds_up_to_its_sum_as_printed() {
        let numbers = [27.847_26, -0.308_88, -0.308_88, 2.205, 0.025_50];
        assert_eq!(column(&numbers, 29.46, 3), 4);
        assert_eq!(column(&numbers, 29.46, 2), 3, "0.0255 has two digits with three decimals");
        assert_eq!(column(&[1.0, 2.0], 3.0, 1), 1);
    }

    #[test]
    fn a_small_mass_has_two_digits() {
        assert_eq!(column(&[0.584_8, -0.001_463_7], 0.583_3, 3), 4);
    }
}
