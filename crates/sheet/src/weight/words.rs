//! What the paper of a weight says, in the same numbers as terminal and page: those of [`Speech`].

use hingeline_ballast::Moments;
use hingeline_ballast::design::{Accuracy, Design, Form, Kind, Part, Solution, Weight};
use hingeline_bench::weight::words::Speech;
use hingeline_quantity::decimals;

use super::{Making, WeightTexts};
use crate::paper::{Line, WeightPart};

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

/// The decimals of a printed number.
fn decimals_of(printed: &str) -> usize {
    let number = printed.split(' ').next().unwrap_or_default();
    number.split_once('.').map_or(0, |(_, after)| after.len())
}

fn side(moment: f64) -> &'static str {
    if moment < 0.0 { "nose-heavy" } else { "tail-heavy" }
}

fn line(name: &str, value: String) -> Line {
    Line { name: name.to_owned(), value }
}

/// The answer in one sentence.
pub(super) fn answer(say: &Speech, solution: &Solution, metal: &str) -> String {
    let form = solution.form.name();
    let form = form.split_once(' ').map_or(form, |(_, name)| name);
    let value = match (solution.value, &solution.form) {
        (Some((dimension, value)), _) => format!(", {} {}", dimension.name(), say.length(value)),
        (None, Form::Plates { count, thickness, .. }) => {
            format!(", {count} plates of {}", say.stock(*thickness))
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
        say.mass(mass_kg),
        say.arm(arm_m),
        say.moment(moment_kg_m)
    )
}

/// What else to know: what is left, the doubt, the naive answer.
pub(super) fn notes(say: &Speech, design: &Design, solution: &Solution) -> Vec<String> {
    let mut notes = vec![format!("Wanted: {}.", say.moment(design.wanted.moment_kg_m))];
    if !say.is_nothing(solution.remaining_kg_m) {
        notes.push(format!("{} is still wanting after this piece.", say.moment(solution.remaining_kg_m)));
    }
    let k = design.accuracy.coverage_factor;
    if 0.0 < k * solution.standard_uncertainty {
        let expanded = say.fine_size(k * solution.standard_uncertainty);
        notes.push(format!("Doubt of its moment before trimming: ± {expanded} (k = {k})."));
    }
    if let Some(naive) = solution.naive {
        notes.push(format!(
            "Wanted moment over the old arm would be {}; at the arm of the new piece that misses by {}.",
            say.mass(naive.mass_kg),
            say.moment(naive.miss_kg_m)
        ));
    }
    notes
}

/// The table of parts: to so many decimals that every mass and moment has two digits, and that they add up to the sum as
/// it is printed.
pub(super) fn parts(say: &Speech, solution: &Solution) -> Vec<WeightPart> {
    let (parts, units, all) = (&solution.parts, say.units(), solution.finished);
    let masses: Vec<f64> = parts.iter().map(|part| part.mass_kg / units.mass.factor).collect();
    let moments: Vec<f64> = parts.iter().map(|part| part.moment_kg_m / units.moment.factor).collect();
    let mass_places = column(&masses, all.mass_kg / units.mass.factor, decimals_of(&say.mass(all.mass_kg)));
    let moment_places =
        column(&moments, all.moment_kg_m / units.moment.factor, decimals_of(&say.size(all.moment_kg_m)));
    let row = |(part, (mass, moment)): (&Part, (&f64, &f64))| {
        let hole = if part.kind == Kind::Hole { "hole: " } else { "" };
        let size = decimals(moment.abs(), moment_places);
        WeightPart {
            name: format!("{hole}{}", part.name),
            mass: format!("{} {}", decimals(*mass, mass_places), units.mass.symbol),
            arm: say.arm(part.arm_m),
            moment: format!("{size} {} {}", units.moment.symbol, side(*moment)),
        }
    };
    parts.iter().zip(masses.iter().zip(&moments)).map(row).collect()
}

/// Its sum.
pub(super) fn total(say: &Speech, solution: &Solution) -> WeightPart {
    let Weight { mass_kg, arm_m, moment_kg_m } = solution.finished;
    WeightPart {
        name: "finished piece".to_owned(),
        mass: say.mass(mass_kg),
        arm: say.arm(arm_m),
        moment: say.moment(moment_kg_m),
    }
}

/// What to cast, or to make: nobody pours a reserve of a piece that is cut.
pub(super) fn make(texts: &WeightTexts, design: &Design, solution: &Solution) -> Vec<Line> {
    let say = &texts.say;
    let read = |mass: f64| say.reading(mass, texts.tolerance_kg);
    let (what, reserve) = match texts.making {
        Making::Cast => ("casting", solution.reserve.filter(|reserve| 0.0 < reserve.mass_kg)),
        Making::Machined => ("piece", None),
    };
    let mut lines = vec![line(&format!("{what} by the design, before holes"), read(solution.as_cast.total))];
    let Accuracy { coverage_factor, .. } = design.accuracy;
    if let Some(reserve) = reserve {
        let name = format!("cast with a reserve of k = {coverage_factor}, to trim down");
        lines.push(line(&name, read(reserve.cast_kg)));
        if let (Some((dimension, _)), Some(value)) = (solution.value, reserve.dimension_m) {
            lines.push(line(&format!("its {}", dimension.name()), say.length(value)));
        }
    }
    for half in &solution.halves {
        lines.push(line(&format!("{} half, before holes", half.name), read(half.as_cast.total)));
    }
    lines
        .push(line("density reckoned with", format!("{} g/cm³", decimals(design.density.kg_m3 / 1000.0, 3))));
    lines
}

/// What the scale must read.
pub(super) fn trim(texts: &WeightTexts, solution: &Solution) -> Vec<Line> {
    let say = &texts.say;
    let at = |mass: f64, arm: f64| {
        format!("{}, centre of gravity {}", say.reading(mass, texts.tolerance_kg), say.arm(arm))
    };
    let metal = |moments: &Moments| at(moments.total, moments.centroid().map_or(0.0, |centroid| centroid[0]));
    let mut lines = vec![line("metal before holes", metal(&solution.as_cast))];
    if solution.parts.iter().any(|part| part.kind == Kind::Hole) {
        lines.push(line("metal after holes", metal(&solution.as_drilled)));
    }
    let Weight { mass_kg, arm_m, .. } = solution.finished;
    lines.push(line("finished", at(mass_kg, arm_m)));
    lines.push(line("what counts is the moment", say.of_one(arm_m)));
    lines
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
