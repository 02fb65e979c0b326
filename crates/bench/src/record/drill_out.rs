//! Holes in an old weight, of a job: meant, drilled, and what the surface weighed after that.
//!
//! Main type: [`DrillOutMeant`], read from the ledger by [`Job::drill_outs`]. What was drilled is a correction that takes
//! mass away; it brings −m × x, m as weighed or by its holes and x the arm of the sheet. Not covered: holes at another
//! arm than was meant, which are entered as a plain correction.

use super::compared::{Compared, Made};
use super::deed::{Deed, DrillOutcome};
use super::job::{Job, Line};
use super::weight;
use crate::Faults;
use crate::job_sheet::Units;
use crate::weight::drill_out::{DrillSheet, Drilled, work};
use crate::weight::fitted::FittedMoment;
use hingeline_quantity::{Entered, Length, Mass, Quantity, decimals, places, significant};

/// Holes that are meant, with all that became of them.
#[derive(Debug, Clone, PartialEq)]
pub struct DrillOutMeant {
    /// The number of the entry.
    pub entry: u64,
    /// When it was entered.
    pub at: String,
    /// By whom.
    pub by: String,
    /// The weight sheet.
    pub sheet: String,
    /// The station of the old weight; empty for none.
    pub station: String,
    /// The weighing that the wanted moment comes from.
    pub weighing: Option<u64>,
    /// What was worked out when it was entered.
    pub outcome: DrillOutcome,
    /// What was drilled, in order.
    pub done: Vec<HolesDrilled>,
}

/// Holes that were drilled.
#[derive(Debug, Clone, PartialEq)]
pub struct HolesDrilled {
    /// The number of the entry.
    pub entry: u64,
    /// When.
    pub at: String,
    /// Who.
    pub by: String,
    /// In words.
    pub holes: String,
    /// "weighed", or "by its holes".
    pub mass_from: String,
    /// How closely the mass is known, as typed; may be empty.
    pub within: String,
    /// The entry of the correction.
    pub correction: u64,
    /// The mass that went, as typed.
    pub mass: String,
    /// Where.
    pub station: String,
}

impl Job {
    /// The holes that are meant and count, in order.
    #[must_use]
    pub fn drill_outs(&self) -> Vec<DrillOutMeant> {
        self.lines.iter().filter_map(|line| self.drill_out_of(line)).collect()
    }

    /// Those of an entry; none where it is none, or struck.
    #[must_use]
    pub fn drill_out(&self, entry: u64) -> Option<DrillOutMeant> {
        self.drill_out_of(self.lines.iter().find(|line| line.number == entry)?)
    }

    fn drill_out_of(&self, line: &Line) -> Option<DrillOutMeant> {
        let Deed::DrillOutIntended { sheet, station, weighing, outcome } = self.stands_of(line)? else {
            return None;
        };
        let later = self.lines.iter().filter(|other| line.number < other.number);
        Some(DrillOutMeant {
            entry: line.number,
            at: line.at.clone(),
            by: line.by.clone(),
            sheet: sheet.clone(),
            station: station.clone(),
            weighing: *weighing,
            outcome: outcome.clone(),
            done: later.filter_map(|other| self.holes_of(line.number, other)).collect(),
        })
    }

    fn holes_of(&self, wanted: u64, line: &Line) -> Option<HolesDrilled> {
        let Deed::DrilledOut { drill_out, correction, holes, mass_from, within } = self.stands_of(line)?
        else {
            return None;
        };
        // Without its correction nothing went.
        let [station, _, mass, _] = &self
            .corrections
            .iter()
            .find(|(entry, _)| entry == correction)
            .filter(|_| *drill_out == wanted)?
            .1;
        Some(HolesDrilled {
            entry: line.number,
            at: line.at.clone(),
            by: line.by.clone(),
            holes: holes.clone(),
            mass_from: mass_from.clone(),
            within: within.clone(),
            correction: *correction,
            mass: mass.clone(),
            station: station.clone(),
        })
    }

    /// What a correction brought, where it drilled an old weight out.
    pub(super) fn drilled_by(&self, correction: u64) -> Option<FittedMoment> {
        self.drill_outs().iter().find_map(|meant| {
            let holes = meant.done.iter().find(|holes| holes.correction == correction)?;
            holes.brings(&meant.worked().ok()?)
        })
    }

    /// The prediction of drilled holes beside what the surface weighed; none before they are drilled, or without a
    /// weighing before.
    #[must_use]
    pub fn compared_drilled(&self, meant: &DrillOutMeant) -> Option<Compared> {
        let worked = meant.done.first().and_then(|_| meant.worked().ok())?;
        let brings = |holes: &HolesDrilled| Some((holes.correction, holes.brings(&worked)?));
        self.compared_with(Made::Drilled, &meant.done.iter().map(brings).collect::<Option<Vec<_>>>()?)
    }
}

/// What a job asks of holes in the old weight of a station, as keys of a weight sheet with their texts, and the weighing
/// that it comes from.
#[must_use]
pub fn asked(job: &Job, station: &str) -> (Option<u64>, Vec<(&'static str, String)>) {
    let (weighing, mut asked) = weight::asked(job, station);
    let text = |key: &str| asked.iter().find(|(known, _)| *known == key).map(|(_, text)| text.clone());
    let here = [("drill_out.arm", text("weight.old_arm")), ("drill_out.side", text("weight.old_side"))];
    let name = text("weight.name").unwrap_or_default();
    asked.retain(|(key, _)| key.starts_with("weight.") && *key != "weight.name");
    asked.push(("weight.name", format!("{name}: drilled out")));
    asked.extend(here.into_iter().filter_map(|(key, text)| Some((key, text?))));
    if let Some(room) = job.used(station, "remove", None) {
        asked.push(("drill_out.removable", room.left_words()));
    }
    (weighing, asked)
}

impl HolesDrilled {
    fn brings(&self, drilled: &Drilled) -> Option<FittedMoment> {
        let mass = Entered::<Mass>::parse(&self.mass).ok()?.value.si();
        let within = Entered::<Mass>::parse(&self.within).map_or(0.0, |within| within.value.si());
        let x = drilled.sheet.drilling.x;
        Some(FittedMoment {
            moment_kg_m: -mass * x,
            arm_m: x,
            standard_uncertainty: x.abs() * within / 3f64.sqrt(),
        })
    }
    /// "4 × 3/8 in, 0.41 in deep to the tip: 31 g, weighed".
    #[must_use]
    pub fn words(&self) -> String {
        format!("{}: {}, {}", self.holes, self.mass, self.mass_from)
    }
}

impl DrillOutMeant {
    /// The holes worked out.
    ///
    /// # Errors
    /// - [`Faults`]: what the reader of weight sheets says
    pub fn worked(&self) -> Result<Drilled, Faults> {
        DrillSheet::parse(&self.sheet).map(work)
    }
}

impl DrillOutcome {
    /// The holes in words: "4 × 0.375 in, 0.412 in deep to the tip: 0.0682 lb goes".
    #[must_use]
    pub fn words(&self, units: Units) -> Option<String> {
        let number = |text: &str| text.parse::<f64>().ok();
        let length = |metres: f64| {
            let value = Length::from_si(metres).in_unit(units.length);
            format!("{} {}", decimals(value, places(value, 3).min(4)), units.length.symbol)
        };
        let (diameter, depth) = (number(&self.diameter_m)?, number(&self.tip_depth_m)?);
        let mass = number(&self.removed_kg)? / units.mass.factor;
        let mass = format!("{} {}", significant(mass, 4), units.mass.symbol);
        let holes = self.holes;
        Some(format!("{holes} × {}, {} deep to the tip: {mass} goes", length(diameter), length(depth)))
    }
    /// What was worked out; none where holes will not do.
    #[must_use]
    pub fn of(drilled: &Drilled) -> Option<Self> {
        let out = drilled.outcome.as_ref().ok()?;
        let x = drilled.sheet.drilling.x;
        Some(Self {
            holes: out.count,
            diameter_m: out.bore.diameter.to_string(),
            tip_depth_m: out.bore.tip_depth.to_string(),
            removed_kg: out.removed_kg.to_string(),
            arm_m: x.to_string(),
            change_kg_m: (-out.removed_kg * x).to_string(),
        })
    }
}
