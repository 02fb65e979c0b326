//! The balance weights of a job: meant, on the scale, fitted, and what the surface weighed after that.
//!
//! Main types: [`BalanceWeight`], read from the ledger by [`Job::weights`], and [`Compared`], its prediction beside the
//! weighing: S after = S as weighed before + what the weight gives + other corrections in between. What both weighings do
//! not know alike is told by `common`; pieces of one weight share its design and its scale, so their uncertainties add up
//! and do not average out. Not covered: paint and repairs in between, whose mass nobody typed.

use super::casting;
use super::common::common;
use super::deed::{BeforeWeighing, Deed, Field, Fields, NamedFile, WeightOutcome};
use super::job::{Job, Line};
use super::sheet::text;
use super::shelf::Shelf;
use crate::Faults;
use crate::Weighed;
use crate::weight::fitted::{FittedMoment, fitted, made_within};
use crate::weight::{AtHand, WeightSheet, Worked, work};
use crate::words::{Voice, exact_moment};
use hingeline_ballast::trim::Intended;
use hingeline_quantity::{Entered, Length, Mass, Moment, Quantity, Unit, decimals};
use toml::{Table, Value};

/// How good a casting must be, where the sheet of a weight does not say.
const USUAL_TRIM: [(&str, &str); 2] = [("tolerance", "0.5 g"), ("resolution", "0.1 g")];

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
        // A mend stands in the place of the entry that it mends.
        if !matches!(line.deed, Deed::WeightIntended { .. }) {
            return None;
        }
        let Deed::WeightIntended { sheet, station, weighing, outcome, mesh } = self.stands(line.number)?
        else {
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
        if !matches!(line.deed, Deed::WeightWeighed { .. }) {
            return None;
        }
        match self.stands(line.number)? {
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
        if !matches!(line.deed, Deed::WeightFitted { .. }) {
            return None;
        }
        let Deed::WeightFitted { weight, correction, piece } = self.stands(line.number)? else { return None };
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

    /// What a correction brought, where it fitted a weight or drilled one out: by the arm of that weight, or of the
    /// holes, and not of the station.
    #[must_use]
    pub fn fitted_by(&self, correction: u64) -> Option<FittedMoment> {
        let weights = self.weights();
        let fitted = weights.iter().find_map(|weight| {
            Some((weight, weight.fitted.iter().find(|piece| piece.correction == correction)?))
        });
        match fitted {
            Some((weight, piece)) => piece.gives(&weight.worked().ok()?),
            None => self.drilled_by(correction),
        }
    }

    /// Whether a correction fitted a weight or drilled one out, so that a sheet says what it brings.
    #[must_use]
    pub fn has_sheet(&self, correction: u64) -> bool {
        self.weights().iter().flat_map(|weight| &weight.fitted).any(|piece| piece.correction == correction)
            || self
                .drill_outs()
                .iter()
                .flat_map(|meant| &meant.done)
                .any(|holes| holes.correction == correction)
    }

    /// The variance of what some corrections brought together, kg² m²: pieces of one weight share its design and its
    /// scale and add up, others are independent.
    pub(super) fn variance(&self, pieces: &[(u64, FittedMoment)]) -> f64 {
        let weights = self.weights();
        let weight_of = |correction: u64| {
            let is_of =
                |weight: &&BalanceWeight| weight.fitted.iter().any(|piece| piece.correction == correction);
            weights.iter().find(is_of).map(|weight| weight.entry)
        };
        let mut sums: Vec<(Option<u64>, f64)> = Vec::new();
        for (correction, gives) in pieces {
            let weight = weight_of(*correction);
            match sums.iter_mut().find(|(known, _)| weight.is_some() && *known == weight) {
                Some((_, sum)) => *sum += gives.standard_uncertainty,
                None => sums.push((weight, gives.standard_uncertainty)),
            }
        }
        sums.iter().map(|(_, u)| u * u).sum()
    }

    /// A weight's prediction beside what the surface weighed; none before it is fitted, or without a weighing before.
    #[must_use]
    pub fn compared(&self, weight: &BalanceWeight) -> Option<Compared> {
        let worked = weight.fitted.first().and_then(|_| weight.worked().ok())?;
        let gives = |piece: &Fitted| Some((piece.correction, piece.gives(&worked)?));
        self.compared_with(Made::Fitted, &weight.fitted.iter().map(gives).collect::<Option<Vec<_>>>()?)
    }

    /// What some corrections were to bring, beside what the surface weighed after them.
    pub(super) fn compared_with(&self, made: Made, pieces: &[(u64, FittedMoment)]) -> Option<Compared> {
        let (first, last) = (pieces.first()?.0, pieces.last()?.0);
        let assessment = self.assessment()?.ok()?;
        let at = |entry: &u64, index: usize| Some((*entry, assessment.weighings.get(index)?));
        let entries: Vec<u64> = self.weighings.iter().map(|weighing| weighing.entry).collect();
        let (from, before) = entries
            .iter()
            .enumerate()
            .rev()
            .find(|(_, entry)| **entry < first)
            .and_then(|(index, entry)| at(entry, index))?;
        let after = entries
            .iter()
            .enumerate()
            .find(|(_, entry)| last < **entry)
            .and_then(|(index, entry)| at(entry, index));
        let to = after.map_or(u64::MAX, |(entry, _)| entry);
        let between = |entry: u64| from < entry && entry < to;
        let moment: f64 = pieces.iter().map(|(_, gives)| gives.moment_kg_m).sum();
        let u = self.variance(pieces).sqrt();
        let mut others = Vec::new();
        let mut predicted = before.measured.static_moment().si() + moment;
        for (entry, [station, action, mass, _]) in &self.corrections {
            if !between(*entry) || pieces.iter().any(|(correction, _)| correction == entry) {
                continue;
            }
            let gives = self.fitted_by(*entry).map(|gives| Moment::from_si(gives.moment_kg_m));
            if gives.is_none() && self.has_sheet(*entry) {
                return None;
            }
            predicted += gives.or_else(|| super::expected::moved(&assessment, station, action, mass))?.si();
            let done = if action == "remove" { "taken away" } else { "added" };
            others.push(format!("{mass} {done} at {station}"));
        }
        let predicted_u = before.measured.standard_uncertainty().si().hypot(u);
        Some(Compared {
            made,
            from,
            before: Sure::new(
                before.measured.static_moment().si(),
                before.measured.standard_uncertainty().si(),
            ),
            gives: Sure::new(moment, u),
            // How closely a mass of another correction, and its arm, are known is said by nobody.
            known: others.is_empty() && pieces.iter().all(|(_, gives)| 0.0 < gives.standard_uncertainty),
            others,
            predicted: Sure::new(predicted, predicted_u),
            weighed: after.map(|(entry, weighed)| {
                let measured = &weighed.measured;
                (entry, Sure::new(measured.static_moment().si(), measured.standard_uncertainty().si()))
            }),
            worked: self.works.iter().any(|(entry, _)| between(*entry)),
            common: after.map_or(0.0, |(_, weighed)| common(&assessment, before, weighed)),
            few: std::iter::once(before).chain(after.map(|(_, weighed)| weighed)).any(is_wider),
            units: assessment.sheet.limits.units,
        })
    }
}

impl Fitted {
    fn gives(&self, worked: &Worked) -> Option<FittedMoment> {
        fitted(worked, &self.piece, Entered::<Mass>::parse(&self.mass).ok()?.value.si())
    }
}

impl BalanceWeight {
    /// The weight worked out, with its castings on the scale.
    ///
    /// # Errors
    /// - [`Faults`]: what the reader of weight sheets says
    pub fn worked(&self) -> Result<Worked, Faults> {
        self.read(&self.on_the_scale(&[]))
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
    let said = |fields: &Fields, key: &str| match fields.get(key) {
        Some(Field::Text(text)) => text.clone(),
        _ => String::new(),
    };
    let Some(fields) = card.stations.iter().find(|fields| fields.get("name") == Some(&text(station))) else {
        return Vec::new();
    };
    let mut asked = vec![("weight.old_arm", said(fields, "arm")), ("weight.old_side", said(fields, "side"))];
    if let Some(room) = job.used(station, "add", None) {
        asked.push(("space.capacity", room.left_words()));
    }
    asked
}

/// A moment with its standard uncertainty, kg m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sure {
    /// Positive tail-heavy.
    pub moment_kg_m: f64,
    /// Standard.
    pub standard_uncertainty: f64,
}

impl Sure {
    fn new(moment_kg_m: f64, standard_uncertainty: f64) -> Self {
        Self { moment_kg_m, standard_uncertainty }
    }
    fn words(self, units: crate::job_sheet::Units) -> String {
        let (moment, expanded) =
            (Moment::from_si(self.moment_kg_m), Moment::from_si(2.0 * self.standard_uncertainty));
        Voice::with(moment, expanded, units).measured_as(moment, expanded)
    }
}

/// What was made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Made {
    /// A piece was fitted.
    Fitted,
    /// Holes were drilled.
    Drilled,
}

impl Made {
    /// What it was made of, and what was done, in words.
    #[must_use]
    pub fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Fitted => ("balance weight", "fitted"),
            Self::Drilled => ("old weight", "drilled out"),
        }
    }
}

/// What a weight, or holes in one, was to do to the surface, beside what the surface weighed.
#[derive(Debug, Clone)]
pub struct Compared {
    /// What was made.
    pub made: Made,
    /// The weighing before it.
    pub from: u64,
    /// What that measured.
    pub before: Sure,
    /// What the fitted pieces give, or the holes bring.
    pub gives: Sure,
    /// Other corrections in between.
    pub others: Vec<String>,
    /// What was to be expected.
    pub predicted: Sure,
    /// The first weighing after it, and what that measured.
    pub weighed: Option<(u64, Sure)>,
    /// Whether other work came in between.
    pub worked: bool,
    /// Whether somebody said how closely everything is known that the prediction adds up.
    known: bool,
    /// The covariance of the two weighings, kg² m².
    common: f64,
    /// Whether one of the weighings states more than twice its standard uncertainty.
    few: bool,
    units: crate::job_sheet::Units,
}

/// Whether a weighing states more than twice its standard uncertainty, as one of few readings does.
fn is_wider(weighed: &Weighed) -> bool {
    let measured = &weighed.measured;
    2.1 * measured.standard_uncertainty().si() < measured.expanded_uncertainty().si()
}

/// Why a comparison shows another ± than the weighing itself.
const TWICE: &str = "every ± here is twice the standard uncertainty (k = 2); the weighing itself states a wider one, because \
    few readings need a larger k";

impl Compared {
    /// Weighed less predicted; none before it is weighed.
    #[must_use]
    pub fn difference(&self) -> Option<Sure> {
        let (_, weighed) = self.weighed?;
        let square = weighed.standard_uncertainty.powi(2) + self.predicted.standard_uncertainty.powi(2);
        let u = (square - 2.0 * self.common).max(0.0).sqrt();
        Some(Sure::new(weighed.moment_kg_m - self.predicted.moment_kg_m, u))
    }
    /// Whether the two uncertainties (k = 2) explain the difference; none before it is weighed, and where an uncertainty
    /// that nobody stated may be what the known ones do not explain.
    #[must_use]
    pub fn explained(&self) -> Option<bool> {
        let difference = self.difference()?;
        let explained = difference.moment_kg_m.abs() <= 2.0 * difference.standard_uncertainty;
        (explained || self.known).then_some(explained)
    }
    /// What the ± of the prediction holds: "k = 2", and whether something is left out of it.
    #[must_use]
    pub fn holds(&self) -> &'static str {
        if self.known { "k = 2" } else { "k = 2, without what nobody stated" }
    }
    /// What was predicted: "2.05 ± 0.20 in-lb nose-heavy".
    #[must_use]
    pub fn predicted_words(&self) -> String {
        self.predicted.words(self.units)
    }
    /// What was weighed.
    #[must_use]
    pub fn weighed_words(&self) -> Option<String> {
        self.weighed.map(|(_, weighed)| weighed.words(self.units))
    }
    /// The difference in words: "0.06 ± 0.24 in-lb towards tail-heavy".
    #[must_use]
    pub fn difference_words(&self) -> Option<String> {
        let difference = self.difference()?;
        let (moment, expanded) =
            (Moment::from_si(difference.moment_kg_m), Moment::from_si(2.0 * difference.standard_uncertainty));
        let voice = Voice::with(moment, expanded, self.units);
        let side = if difference.moment_kg_m < 0.0 { "nose-heavy" } else { "tail-heavy" };
        Some(format!("{} ± {} towards {side}", voice.number(moment.abs()), voice.size(expanded)))
    }
    /// What the fitted pieces give: without a number for an uncertainty that nobody stated.
    fn gives_words(&self) -> String {
        if 0.0 < self.gives.standard_uncertainty {
            return self.gives.words(self.units);
        }
        let moment = Moment::from_si(self.gives.moment_kg_m);
        let places = hingeline_quantity::places(moment.in_unit(self.units.moment), 4).min(6);
        format!("{}, its uncertainty not known", Voice { units: self.units, places }.moment(moment))
    }
    /// The sum behind the prediction, one line each.
    #[must_use]
    pub fn sum(&self) -> Vec<String> {
        let mut lines = vec![
            format!("as weighed before, entry {}: {}", self.from, self.before.words(self.units)),
            match self.made {
                Made::Fitted => format!("the weight as fitted gives {}", self.gives_words()),
                Made::Drilled => format!("what the holes took away brings {}", self.gives_words()),
            },
        ];
        lines.extend(self.others.iter().map(|other| format!("also {other}")));
        lines.push(format!("predicted: {} ({})", self.predicted_words(), self.holds()));
        if let Some(((entry, _), weighed)) = self.weighed.zip(self.weighed_words()) {
            lines.push(format!("weighed, entry {entry}: {weighed} (k = 2)"));
        }
        lines.extend(self.difference_words().map(|words| format!("difference: {words} ({})", self.holds())));
        lines.extend(self.few.then(|| TWICE.to_owned()));
        lines
    }
    /// What the difference means.
    #[must_use]
    pub fn meaning(&self) -> Option<&'static str> {
        if let (Some(false), false, Made::Drilled) = (self.explained(), self.worked, self.made) {
            return Some(
                "The two differ by more than their uncertainties. Look at the mass that went, the place of the holes, and \
                 what else was changed in between.",
            );
        }
        self.weighed?;
        let Some(explained) = self.explained() else {
            return Some(
                "The two differ by more than what is known of their uncertainties; how closely one of the changes is known \
                 nobody stated, so this says little.",
            );
        };
        Some(match (explained, self.worked) {
            (true, false) => "The two agree within their uncertainties.",
            (true, true) => "The two agree, though other work was done in between.",
            (false, true) => {
                "The two differ by more than their uncertainties; other work was done in between."
            }
            (false, false) => {
                "The two differ by more than their uncertainties. Look at the mass of the fitted piece, its place, \
                 and paint or screws that the design does not have."
            }
        })
    }
}
