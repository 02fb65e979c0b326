//! The balance weights of a job: meant, on the scale, fitted.
//!
//! Main type: [`BalanceWeight`], read from the ledger by [`Job::weights`]. What it brought is told by `brought`, its
//! prediction beside the weighing by [`super::compared`].

use super::casting;
use super::deed::{self, BeforeWeighing, Deed, Field, Fields, NamedFile, WeightOutcome};
use super::job::{Job, Line};
use super::sheet::text;
use super::shelf::Shelf;
use crate::Faults;
use crate::weight::fitted::{FittedMoment, fitted, made_within};
use crate::weight::{AtHand, WeightSheet, Worked, work};
use crate::words::{Voice, exact_moment};
use hingeline_ballast::trim::Intended;
use hingeline_quantity::{Entered, Length, Mass, Moment, Quantity, Unit, decimals};
use std::sync::Arc;
use toml::{Table, Value};

/// How good a casting must be, where the sheet of a weight does not say.
const USUAL_TRIM: [(&str, &str); 2] = [("tolerance", "0.5 g"), ("resolution", "0.1 g")];

/// The key of `[[cast]]` that begins another casting.
pub const CAST_AGAIN: &str = "cast_again";

/// A weight that is meant, with all that became of it.
#[derive(Debug, Clone, PartialEq)]
pub struct BalanceWeight {
    /// The number of its entry.
    pub entry: u64,
    /// When it was entered.
    pub at: String,
    /// By whom.
    pub by: String,
    /// The weight sheet.
    pub sheet: String,
    /// The station that it is for; empty for none.
    pub station: String,
    /// The weighing that its wanted moment comes from.
    pub weighing: Option<u64>,
    /// What was worked out of it when it was entered.
    pub outcome: WeightOutcome,
    /// The file that its sheet names.
    pub mesh: Option<NamedFile>,
    /// Where that file is read.
    pub shelf: Shelf,
    /// Its castings on the scale, in order.
    pub casts: Vec<Cast>,
    /// What of it was fitted, in order.
    pub fitted: Vec<Fitted>,
}

/// A casting on the scale.
#[derive(Debug, Clone, PartialEq)]
pub struct Cast {
    /// The number of its entry.
    pub entry: u64,
    /// When.
    pub at: String,
    /// Who.
    pub by: String,
    /// "as cast", or what was done since it was last on the scale.
    pub step: String,
    /// The table `[[cast]]`.
    pub fields: Fields,
    /// The scale as it stood; none where the entry names none.
    pub scale: Option<Fields>,
    /// Zero and check weight before it.
    pub before: Option<BeforeWeighing>,
}

/// A piece that was fitted.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitted {
    /// The number of its entry.
    pub entry: u64,
    /// When.
    pub at: String,
    /// Who.
    pub by: String,
    /// Which piece.
    pub piece: String,
    /// The entry of its correction.
    pub correction: u64,
    /// Its mass as typed.
    pub mass: String,
    /// Where.
    pub station: String,
}

impl Job {
    /// The weights that count, in order.
    #[must_use]
    pub fn weights(&self) -> Vec<BalanceWeight> {
        self.lines.iter().filter_map(|line| self.weight_of(line)).collect()
    }

    /// The weight of an entry; none where it is none, or struck.
    #[must_use]
    pub fn weight(&self, entry: u64) -> Option<BalanceWeight> {
        let line = self.lines.iter().find(|line| line.number == entry)?;
        self.weight_of(line)
    }

    fn weight_of(&self, line: &Line) -> Option<BalanceWeight> {
        let Deed::WeightIntended { sheet, station, weighing, outcome, mesh } = self.stands_of(line)? else {
            return None;
        };
        let lines = || self.lines.iter().filter(|other| line.number < other.number);
        Some(BalanceWeight {
            entry: line.number,
            at: line.at.clone(),
            by: line.by.clone(),
            sheet: sheet.clone(),
            station: station.clone(),
            weighing: *weighing,
            outcome: outcome.clone(),
            mesh: mesh.clone(),
            shelf: self.shelf.clone(),
            casts: lines().filter_map(|other| self.cast_of(line.number, other)).collect(),
            fitted: lines().filter_map(|other| self.fitted_of(line.number, other)).collect(),
        })
    }

    fn cast_of(&self, wanted: u64, line: &Line) -> Option<Cast> {
        match self.stands_of(line)? {
            Deed::WeightWeighed { weight, step, cast, scale, before } if *weight == wanted => Some(Cast {
                entry: line.number,
                at: line.at.clone(),
                by: line.by.clone(),
                step: step.clone(),
                fields: cast.clone(),
                scale: scale.clone(),
                before: before.clone(),
            }),
            _ => None,
        }
    }

    fn fitted_of(&self, wanted: u64, line: &Line) -> Option<Fitted> {
        let Deed::WeightFitted { weight, correction, piece } = self.stands_of(line)? else { return None };
        // Without its correction it is not on the surface.
        let [station, _, mass, _] =
            &self.corrections.iter().find(|(entry, _)| entry == correction).filter(|_| *weight == wanted)?.1;
        Some(Fitted {
            entry: line.number,
            at: line.at.clone(),
            by: line.by.clone(),
            piece: piece.clone(),
            correction: *correction,
            mass: mass.clone(),
            station: station.clone(),
        })
    }
}

impl Fitted {
    pub(super) fn gives(&self, worked: &Worked) -> Option<FittedMoment> {
        fitted(worked, &self.piece, Entered::<Mass>::parse(&self.mass).ok()?.value.si())
    }
}

impl BalanceWeight {
    /// The weight worked out, with its castings on the scale; once while its job is at hand.
    ///
    /// # Errors
    /// - [`Faults`]: what the reader of weight sheets says
    pub fn worked(&self) -> Result<Arc<Worked>, Faults> {
        self.shelf.once(self.on_the_scale(&[]), self.mesh.as_ref(), |sheet| self.read(sheet))
    }

    /// The same with one more weighing of the casting, which is not entered yet, and the scale that it lay on.
    ///
    /// # Errors
    /// - [`Faults`]: what the reader says, the new weighing in the last table `[[cast]]`
    pub fn worked_with(&self, cast: &Fields, scale: Option<&Fields>) -> Result<Worked, Faults> {
        self.read(&self.on_the_scale(&[casting::on_scale(cast, scale)]))
    }

    /// A sheet of this weight with the file that was entered with it.
    fn read(&self, sheet: &str) -> Result<Worked, Faults> {
        WeightSheet::parse_with(sheet, &|_: &str| self.shelf.read(self.mesh.as_ref())).map(work)
    }

    /// What it is called in its sheet, also where that cannot be worked out.
    #[must_use]
    pub fn name(&self) -> Option<String> {
        let table = self.sheet.parse::<Table>().ok()?;
        Some(table.get("weight")?.get("name")?.as_str()?.to_owned())
    }

    /// The sheet with the castings of the ledger, then some more.
    #[must_use]
    pub fn on_the_scale(&self, more: &[Fields]) -> String {
        let entered = self.casts.iter().map(|cast| casting::on_scale(&cast.fields, cast.scale.as_ref()));
        let casts = entered.chain(more.iter().cloned());
        let casts: Vec<Value> = casts.map(|fields| Value::Table(table_of(&fields))).collect();
        let parsed = self.sheet.parse::<Table>().ok().filter(|_| !casts.is_empty());
        // Without a casting of the ledger the sheet is as it was typed.
        let Some(mut table) = parsed else { return self.sheet.clone() };
        table.insert("cast".to_owned(), Value::Array(casts));
        let trim = table.entry("trim").or_insert_with(|| Value::Table(Table::new()));
        for (key, usual) in USUAL_TRIM {
            if let Some(trim) = trim.as_table_mut() {
                trim.entry(key).or_insert_with(|| Value::String(usual.to_owned()));
            }
        }
        toml::to_string(&table).unwrap_or_else(|_| self.sheet.clone())
    }
}

fn table_of(fields: &Fields) -> Table {
    let plain = |(key, field): (&String, &Field)| match field {
        Field::Text(_) if key == CAST_AGAIN => Some((key.clone(), Value::Boolean(true))),
        Field::Text(text) => Some((key.clone(), Value::String(text.clone()))),
        Field::List(items) => {
            Some((key.clone(), Value::Array(items.iter().cloned().map(Value::String).collect())))
        }
        Field::Parts(_) => None,
    };
    fields.iter().filter_map(plain).collect()
}

impl WeightOutcome {
    /// What was worked out; none where there is no piece.
    #[must_use]
    pub fn of(worked: &Worked) -> Option<Self> {
        let piece = worked.solution()?;
        Some(Self {
            mass_kg: piece.finished.mass_kg.to_string(),
            arm_m: piece.finished.arm_m.to_string(),
            moment_kg_m: piece.finished.moment_kg_m.to_string(),
            standard_uncertainty_kg_m: made_within(worked, piece).to_string(),
            casting_kg: Intended::of(piece).casting_kg().to_string(),
        })
    }
    /// The finished mass in a unit: "0.6129 lb"; none where its text is no number.
    #[must_use]
    pub fn mass(&self, unit: &Unit) -> Option<String> {
        let mass: f64 = self.mass_kg.parse().ok()?;
        Some(format!("{} {}", hingeline_quantity::significant(mass / unit.factor, 4), unit.symbol))
    }
    /// The moment with its side in units.
    #[must_use]
    pub fn moment(&self, units: crate::job_sheet::Units) -> Option<String> {
        let moment = Moment::from_si(self.moment_kg_m.parse().ok()?);
        let places = hingeline_quantity::places(moment.in_unit(units.moment), 4).min(6);
        Some(Voice { units, places }.moment(moment))
    }
}

/// Where mass goes with a tool, as the next `[[cast]]` says it: its keys and texts; none for a file, which takes
/// everywhere alike.
#[must_use]
pub fn taken(worked: &Worked, tool: &str) -> Vec<(&'static str, String)> {
    let Some(trimmed) = &worked.trim else { return Vec::new() };
    let known = trimmed.ways.iter().find(|(at_hand, _)| at_hand.word() == tool);
    let Some((at_hand, Ok(way))) = known else { return Vec::new() };
    if matches!(at_hand, AtHand::File { .. }) {
        return Vec::new();
    }
    let unit = worked.sheet.units.length;
    let arm = format!("{} {}", decimals(Length::from_si(way.x.abs()).in_unit(unit), 4), unit.symbol);
    let side = if way.x < 0.0 { "forward" } else { "aft" };
    vec![("taken_arm", arm), ("taken_side", side.to_owned())]
}

/// What a job asks of a weight at a station, as keys of a weight sheet ("weight.aim") with their texts, and the
/// weighing that it comes from.
#[must_use]
pub fn asked(job: &Job, station: &str) -> (Option<u64>, Vec<(&'static str, String)>) {
    let mut asked = vec![("weight.job", job.text("number").to_owned())];
    let name = if station.is_empty() { String::new() } else { format!(", {station}") };
    asked.push(("weight.name", format!("{}{name}", job.text("surface"))));
    asked.extend(of_station(job, station));
    let Some(Ok(assessment)) = job.assessment() else { return (None, asked) };
    let last = assessment.last();
    let units = assessment.sheet.limits.units;
    let voice = Voice::of(last, units).finer();
    let u = Moment::from_si(2.0 * last.measured.standard_uncertainty().si());
    asked.push(("weight.measured", voice.moment(last.measured.static_moment())));
    asked.push(("weight.aim", exact_moment(assessment.sheet.limits.band.aim(), units.moment)));
    asked.push(("weight.moment_uncertainty", voice.size(u)));
    (job.weighings.last().map(|weighing| weighing.entry), asked)
}

fn of_station(job: &Job, station: &str) -> Vec<(&'static str, String)> {
    let Some((_, card)) = &job.card else { return Vec::new() };
    let Some(fields) = card.stations.iter().find(|fields| fields.get("name") == Some(&text(station))) else {
        return Vec::new();
    };
    let said = |key: &str| deed::text(fields, key).to_owned();
    let mut asked = vec![("weight.old_arm", said("arm")), ("weight.old_side", said("side"))];
    if let Some(room) = job.used(station, "add", None) {
        asked.push(("space.capacity", room.left_words()));
    }
    asked
}
