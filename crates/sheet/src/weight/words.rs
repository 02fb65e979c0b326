//! Numbers of a solution in words and units. Main type: `Voice`.

use hingeline_ballast::design::{Accuracy, Design, Form, Kind, Solution, Weight};
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
        format!("{} {}", decimals(value / unit.factor, places(unit, 4.6e-4)), unit.symbol)
    }
    /// An arm with its side.
    pub(super) fn arm(self, value: f64) -> String {
        let side = if value < 0.0 { "forward" } else { "aft" };
        format!("{} {side}", self.length(value.abs()))
    }
    /// A moment without its side.
    pub(super) fn size(self, value: f64) -> String {
        let unit = self.units.moment;
        format!("{} {}", decimals(value.abs() / unit.factor, places(unit, 1.2e-5)), unit.symbol)
    }
    /// A moment with its side.
    pub(super) fn moment(self, value: f64) -> String {
        format!("{} {}", self.size(value), if value < 0.0 { "nose-heavy" } else { "tail-heavy" })
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
        if 0.0 < solution.standard_uncertainty {
            let k = design.accuracy.coverage_factor;
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
    fn row(self, name: &str, Weight { mass_kg, arm_m, moment_kg_m }: Weight) -> WeightPart {
        WeightPart {
            name: name.to_owned(),
            mass: self.mass(mass_kg),
            arm: self.arm(arm_m),
            moment: self.moment(moment_kg_m),
        }
    }
    /// The table of parts.
    pub(super) fn parts(self, solution: &Solution) -> Vec<WeightPart> {
        let rows = solution.parts.iter().map(|part| {
            let name =
                if part.kind == Kind::Hole { format!("hole: {}", part.name) } else { part.name.clone() };
            self.row(
                &name,
                Weight { mass_kg: part.mass_kg, arm_m: part.arm_m, moment_kg_m: part.moment_kg_m },
            )
        });
        rows.collect()
    }
    /// Its sum.
    pub(super) fn total(self, solution: &Solution) -> WeightPart {
        self.row("finished piece", solution.finished)
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
