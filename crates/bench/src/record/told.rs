//! What the record holds of a weighing, said in words: for lists, histories and charts, without judging it anew.
//!
//! Main type: [`Told`]. Units are those of the approved limits that the job was judged by ([`units`]); digits are
//! those of [`Voice`], so that a list and the job's own page say the same.

use super::deed::Outcome;
use super::job::Job;
use crate::job_sheet::Units;
use crate::words::{self, Voice};
use hingeline_quantity::{Moment, Quantity, Side, unit};

/// The units that a job speaks in: those of its approved limits, kilogram metres before it has any.
#[must_use]
pub fn units(job: &Job) -> Units {
    let metric =
        Units { moment: &unit::KILOGRAM_METRE, length: &unit::METRE, mass: &unit::KILOGRAM, force: false };
    let card = job.card.as_ref().and_then(|(_, card)| card.sheet().ok());
    card.map_or(metric, |card| card.limits.units)
}

/// A weighing as the record holds it.
#[derive(Debug, Clone, Copy)]
pub struct Told {
    moment: Moment,
    expanded: Moment,
    band: (Moment, Moment),
    voice: Voice,
}

impl Told {
    /// From the numbers of the record, kg m.
    #[must_use]
    pub fn new(moment_kg_m: f64, expanded_kg_m: f64, band_kg_m: (f64, f64), units: Units) -> Self {
        let (moment, expanded) = (Moment::from_si(moment_kg_m), Moment::from_si(expanded_kg_m));
        let band = (Moment::from_si(band_kg_m.0), Moment::from_si(band_kg_m.1));
        let margin = Moment::from_si((moment_kg_m - band_kg_m.0).min(band_kg_m.1 - moment_kg_m));
        Self { moment, expanded, band, voice: Voice::with(moment, expanded, units).telling(margin) }
    }
    /// From the outcome of an entry; none where a number of it cannot be read.
    #[must_use]
    pub fn of(outcome: &Outcome, units: Units) -> Option<Self> {
        let number = |text: &str| text.parse::<f64>().ok().filter(|number| number.is_finite());
        let band = (number(&outcome.band_kg_m.0)?, number(&outcome.band_kg_m.1)?);
        Some(Self::new(number(&outcome.moment_kg_m)?, number(&outcome.expanded_kg_m)?, band, units))
    }
    /// The moment with its side: "21.6 in-lb tail-heavy".
    #[must_use]
    pub fn moment(&self) -> String {
        self.voice.moment(self.moment)
    }
    /// The same with its expanded uncertainty: "21.6 ± 0.2 in-lb tail-heavy".
    #[must_use]
    pub fn measured(&self) -> String {
        self.voice.measured_as(self.moment, self.expanded)
    }
    /// The two ends of the band it was judged by, each with its side, to seven digits.
    #[must_use]
    pub fn limits(&self) -> [String; 2] {
        [self.exact(self.band.0), self.exact(self.band.1)]
    }
    fn exact(&self, moment: Moment) -> String {
        words::exact_moment(moment, self.voice.units.moment)
    }
    /// The band in one phrase: "4 in-lb nose-heavy to 0 in-lb".
    #[must_use]
    pub fn band(&self) -> String {
        self.limits().join(" to ")
    }
    /// Zero in the same units.
    #[must_use]
    pub fn zero(&self) -> String {
        self.exact(Moment::ZERO)
    }
    /// How far a change of moment went, and towards which side.
    #[must_use]
    pub fn change(&self, by_kg_m: f64) -> String {
        let by = Moment::from_si(by_kg_m);
        match by.side() {
            Side::Balanced => "no change".to_owned(),
            side => format!("{} towards {}", self.voice.size(by), side.word()),
        }
    }
}

/// The word of the side that a moment of the record lies on.
#[must_use]
pub fn side(moment_kg_m: f64) -> &'static str {
    Moment::from_si(moment_kg_m).side().word()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::deed::{Card, Fields};
    use crate::record::sheet::text;

    fn fields(pairs: &[(&str, &str)]) -> Fields {
        pairs.iter().map(|(key, value)| ((*key).to_owned(), text(*value))).collect()
    }

    fn job(limits: &[(&str, &str)]) -> Job {
        let station = fields(&[("name", "horn"), ("arm", "6.5 in"), ("side", "forward")]);
        let card = Card {
            title: "elevator".to_owned(),
            parts: vec![],
            limits: fields(limits),
            stations: vec![station],
            outline: Fields::new(),
        };
        Job { card: Some((1, card)), ..Job::default() }
    }

    #[test]
    fn a_job_speaks_the_units_of_its_limits() {
        let moments = [("source", "manual"), ("from", "4.0 in-lb nose-heavy"), ("to", "0 in-lb")];
        assert_eq!(units(&job(&moments)).moment.symbol, "in-lb");
        let readings =
            [("source", "m"), ("at_arm", "285 mm"), ("from_reading", "-60 g"), ("to_reading", "20 g")];
        assert_eq!(units(&job(&readings)).length.symbol, "mm");
        assert_eq!(units(&Job::default()).moment.symbol, "kg·m");
    }

    #[test]
    fn an_outcome_is_said_with_its_side_and_digits() {
        let outcome = Outcome {
            moment_kg_m: "0.2484".to_owned(),
            expanded_kg_m: "0.0024".to_owned(),
            verdict: "outside".to_owned(),
            doubt: "clear".to_owned(),
            band_kg_m: ("-0.04608498479200001".to_owned(), "0".to_owned()),
            reasons: vec![],
        };
        let units = units(&job(&[("source", "manual"), ("from", "4.0 in-lb nose-heavy"), ("to", "0 in-lb")]));
        let told = Told::of(&outcome, units).expect("numbers");
        assert_eq!(told.measured(), "21.56 ± 0.21 in-lb tail-heavy");
        assert_eq!(told.moment(), "21.56 in-lb tail-heavy");
        assert_eq!(told.band(), "4 in-lb nose-heavy to 0 in-lb");
        assert_eq!(told.change(-0.0115), "1.00 in-lb towards nose-heavy");
        assert!(Told::of(&Outcome { moment_kg_m: "much".to_owned(), ..outcome }, units).is_none());
    }
}
