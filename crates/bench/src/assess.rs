//! The use case "assess": measure every weighing of a sheet, judge it, and correct from the last one.
//!
//! Main type: [`Assessment`]. A weighing is valid for release when the whole configuration was confirmed and no
//! instrument was past its due date on the day or had failed its last check; the reasons why not are [`NotValid`].

use crate::job_sheet::{Instrument, InstrumentKind, JobSheet, NamedStation, same_item};
use crate::taken::Taken;
use hingeline_balance::{COVERAGE, Correction, Draws, Gain, Judgement, Measured, Method, Note, Verdict};
use hingeline_quantity::{Length, Mass, Moment, Quantity};
use jiff::civil::Date;

/// A wish for the second route to the uncertainty.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MonteCarlo {
    /// How many trials.
    pub trials: usize,
    /// The seed: same seed, same answer.
    pub seed: u64,
}

/// Everything that follows from a job sheet.
#[derive(Debug, Clone)]
pub struct Assessment {
    /// The sheet.
    pub sheet: JobSheet,
    /// Its weighings, in its order, at least one.
    pub weighings: Vec<Weighed>,
    /// The correction at each station alone, worked from the last weighing.
    pub corrections: Vec<StationCorrection>,
    /// Whether mass or work was put into the surface after the last weighing, so that it is not as it was weighed; a
    /// sheet alone does not know.
    pub worked_on_since: bool,
}

/// A weighing with what follows from it.
#[derive(Debug, Clone)]
pub struct Weighed {
    /// As it was taken.
    pub taken: Taken,
    /// The moment with its uncertainty.
    pub measured: Measured,
    /// Verdict and doubt.
    pub judgement: Judgement,
    /// What would make the uncertainty smaller, the most useful first.
    pub gains: Vec<Gain>,
    /// Why it is not valid for release; empty where it is.
    pub reasons: Vec<NotValid>,
    /// The second route, where it was asked for.
    pub draws: Option<Draws>,
}

/// Why a weighing is not valid for release.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotValid {
    /// A calculation that begins nowhere.
    NoStartingMoment,
    /// An item of the configuration was not confirmed.
    NotConfirmed {
        /// The item, in the words of the approved data.
        item: String,
    },
    /// An instrument was past its due date.
    PastDue {
        /// The instrument.
        instrument: String,
        /// Its due date.
        due: Date,
        /// The day of the weighing.
        used: Date,
    },
    /// The last check of an instrument failed.
    FailedCheck {
        /// The instrument.
        instrument: String,
        /// What the check said.
        said: String,
    },
}

/// The correction at one station.
#[derive(Debug, Clone)]
pub struct StationCorrection {
    /// The station.
    pub station: NamedStation,
    /// What to do there.
    pub correction: Correction,
    /// What the scale reads after it, at the arm of the weighing.
    pub predicted_reading: Option<Mass>,
    /// Where the sliding mass stands after it.
    pub predicted_slide: Option<Length>,
    /// Whether the scale will then read less than its sling or support alone.
    pub below_tare: bool,
    /// Whether the surface will then lift off its support.
    pub lifts_off: bool,
    /// Whether that is more than the scale can weigh.
    pub over_scale: bool,
    /// Whether the mass must then hang or slide on the other side of the hinge line.
    pub other_side: bool,
    /// The mass that would level the surface after it, hung at the arm of the weighing, where the scale of that
    /// weighing holds the surface up and so cannot read what is predicted.
    pub hung_instead: Option<Mass>,
    /// Whether the predicted moment lies within the limits.
    pub within: bool,
    /// How far the predicted moment lies from the nearer limit; negative outside.
    pub margin: Moment,
}

impl StationCorrection {
    /// Whether the station can take the mass whole and alone brings the surface within its limits.
    #[must_use]
    pub fn does_it_alone(&self) -> bool {
        self.correction.within_capacity && self.within
    }
}

impl Assessment {
    /// The last weighing: verdict, exit code and corrections come from it.
    #[must_use]
    pub fn last(&self) -> &Weighed {
        // A sheet without a weighing is refused when it is read.
        &self.weighings[self.weighings.len() - 1]
    }
    /// Whether the last weighing is within the limits.
    #[must_use]
    pub fn within(&self) -> bool {
        self.last().judgement.verdict == Verdict::Within
    }
    /// Whether the last weighing asks for a correction: it is outside, and nothing was done to the surface since.
    #[must_use]
    pub fn asks_for_correction(&self) -> bool {
        !self.within() && !self.worked_on_since
    }
    /// The first as-found and the last as-left weighing, where the sheet has both.
    #[must_use]
    pub fn found_and_left(&self) -> Option<(&Weighed, &Weighed)> {
        let stage = |stage| move |weighed: &&Weighed| weighed.taken.stage == stage;
        let found = self.weighings.iter().find(stage(crate::Stage::AsFound))?;
        let left = self.weighings.iter().rev().find(stage(crate::Stage::AsLeft))?;
        Some((found, left))
    }
    /// The change from as found to as left, with its standard uncertainty as if the two were independent.
    #[must_use]
    pub fn change(&self) -> Option<(Moment, Moment)> {
        let (found, left) = self.found_and_left()?;
        let change = left.measured.static_moment() - found.measured.static_moment();
        let u = left.measured.standard_uncertainty().si().hypot(found.measured.standard_uncertainty().si());
        Some((change, Moment::from_si(u)))
    }
}

/// Measures, judges and corrects.
///
/// # Inputs
/// `sheet`: a job sheet without fault; `monte_carlo`: a wish for the second route.
/// # Gives
/// one [`Weighed`] a weighing, one [`StationCorrection`] a station, worked from the last weighing.
#[must_use]
pub fn assess(sheet: JobSheet, monte_carlo: Option<MonteCarlo>) -> Assessment {
    let weighings: Vec<Weighed> =
        sheet.weighings.iter().map(|taken| weigh(&sheet, taken.clone(), monte_carlo)).collect();
    let corrections = weighings.last().map_or_else(Vec::new, |last| {
        sheet.stations.iter().map(|station| correct(&sheet, last, station)).collect()
    });
    Assessment { sheet, weighings, corrections, worked_on_since: false }
}

fn weigh(sheet: &JobSheet, taken: Taken, monte_carlo: Option<MonteCarlo>) -> Weighed {
    let measured = taken.weighing.measure();
    let band = &sheet.limits.band;
    let draws = monte_carlo.map(|wish| {
        measured.model.monte_carlo(wish.trials, wish.seed, COVERAGE, Some((band.from().si(), band.to().si())))
    });
    Weighed {
        judgement: band.judge(&measured.propagated),
        gains: measured.model.gains(&measured.propagated),
        reasons: not_valid(sheet, &taken),
        measured,
        draws,
        taken,
    }
}

fn not_valid(sheet: &JobSheet, taken: &Taken) -> Vec<NotValid> {
    let missing = sheet
        .limits
        .configuration
        .iter()
        .filter(|item| !taken.confirmed.iter().any(|confirmed| same_item(confirmed, item)))
        .map(|item| NotValid::NotConfirmed { item: item.clone() });
    let id_of = |instrument: &Instrument| sheet.plain_id(&instrument.id).to_owned();
    let past_due = taken.instruments.iter().filter_map(|&index| {
        let instrument = &sheet.instruments[index];
        let due = instrument.due.filter(|due| *due < taken.date)?;
        Some(NotValid::PastDue { instrument: id_of(instrument), due, used: taken.date })
    });
    let failed = taken.instruments.iter().filter_map(|&index| {
        let instrument = &sheet.instruments[index];
        let said = instrument.failed_check.clone()?;
        Some(NotValid::FailedCheck { instrument: id_of(instrument), said })
    });
    let begins_nowhere = taken.begins_nowhere.then_some(NotValid::NoStartingMoment);
    missing.chain(past_due).chain(failed).chain(begins_nowhere).collect()
}

/// The most that the scale of a weighing can weigh.
fn capacity(sheet: &JobSheet, weighed: &Weighed) -> Option<Mass> {
    weighed.taken.instruments.iter().find_map(|&index| match sheet.instruments[index].kind {
        InstrumentKind::Scale(_, capacity) => capacity,
        _ => None,
    })
}

fn correct(sheet: &JobSheet, last: &Weighed, station: &NamedStation) -> StationCorrection {
    let correction = station.station.correct(&last.measured, sheet.limits.band.aim());
    let method = &last.taken.weighing.method;
    let reading = method.reading_at(correction.predicted_moment);
    let below_tare = method.reads_load() && reading < method.reading_at(Moment::ZERO);
    let band = &sheet.limits.band;
    let predicted = correction.predicted_moment;
    StationCorrection {
        station: station.clone(),
        lifts_off: below_tare && matches!(method, Method::SupportScale(_)),
        over_scale: capacity(sheet, last).zip(reading).is_some_and(|(most, reading)| most < reading),
        hung_instead: hung_instead(last, predicted).filter(|_| below_tare),
        below_tare,
        other_side: method.other_side_at(predicted),
        within: band.contains(predicted),
        margin: band.margin(predicted),
        predicted_reading: reading,
        predicted_slide: method.slide_at(correction.predicted_moment),
        correction,
    }
}

/// The mass that levels a surface of this moment, hung where the scale of a weighing bears: m = −S/D.
///
/// # Gives
/// none where the scale does not hold the surface up by a sling, or where it read a pull the other way already, so
/// that this set-up can.
fn hung_instead(last: &Weighed, moment: Moment) -> Option<Mass> {
    let arm = match &last.taken.weighing.method {
        Method::TrailingEdgeScale(at) => at.arm,
        Method::TwoAttitudes(two) => two.level.arm,
        _ => return None,
    };
    let pulls_already = last.measured.notes.contains(&Note::BelowTare);
    (!pulls_already).then(|| (Moment::ZERO - moment) / arm)
}
