//! The arithmetic of a result written out, formula by formula, in the units of the sheet, so that it can be
//! checked on a hand calculator.
//!
//! Main type: [`Step`], one line: formula, the same with numbers, result. Numbers that go in are printed to seven
//! digits, results to one digit beyond what the uncertainty deserves, so that hand and program agree in print.
//! Nothing is worked out here that the result does not hold already, except the partial sums that are printed.

use crate::assess::{Assessment, StationCorrection, Weighed};
use crate::job_sheet::Units;
use crate::taken::Typed;
use crate::words::{self, Voice, exact_moment, in_unit, plain};
use hingeline_balance::{
    Action, BalanceBeam, HungWeight, Input, Method, PartsList, Place, Readings, ScaleAtArm, Series, Share,
    Source, Spread, SupportScale, TwoAttitudes,
};
use hingeline_quantity::{Length, Mass, Moment, Quantity, Unit, decimals, significant, unit};

/// One line of arithmetic.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// The formula in words and symbols: "S = (r − tare) × arm".
    pub formula: String,
    /// The same with numbers: "(1.3117 − 0.06) lb × 17.25 in".
    pub numbers: String,
    /// What comes out: "21.59 in-lb tail-heavy".
    pub result: String,
}

impl Step {
    pub(crate) fn new(
        formula: impl Into<String>,
        numbers: impl Into<String>,
        result: impl Into<String>,
    ) -> Self {
        Self { formula: formula.into(), numbers: numbers.into(), result: result.into() }
    }
    /// The step as one line of text.
    #[must_use]
    pub fn line(&self) -> String {
        joined(&[&self.formula, &self.numbers, &self.result])
    }
    /// Numbers and result, without the formula.
    #[must_use]
    pub fn outcome(&self) -> String {
        joined(&[&self.numbers, &self.result])
    }
}

fn joined(parts: &[&str]) -> String {
    parts.iter().copied().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(" = ")
}

/// How the moment of a weighing comes about: conversions, means, the formula of the method, friction.
#[must_use]
pub fn moment(weighed: &Weighed, units: Units) -> Vec<Step> {
    let voice = Voice::of(weighed, units).finer();
    let turning = words::turning(&weighed.taken.weighing.method).map(mean_of_set);
    let book = Book { voice, units, moment: weighed.measured.static_moment(), turning };
    let mut steps: Vec<Step> = weighed.taken.typed.iter().flat_map(|typed| book.conversions(typed)).collect();
    steps.extend(match &weighed.taken.weighing.method {
        Method::TrailingEdgeScale(at) => book.scale_at_arm(at),
        Method::HungWeight(hung) => book.hung_weight(hung),
        Method::BalanceBeam(beam) => book.balance_beam(beam),
        Method::SupportScale(support) => book.support_scale(support),
        Method::PartsList(list) => book.parts_list(list),
        Method::TwoAttitudes(two) => book.two_attitudes(two, weighed),
    });
    steps.extend(book.friction(weighed));
    steps
}

struct Book {
    voice: Voice,
    units: Units,
    moment: Moment,
    /// The means of the two sets, in the words of the method.
    turning: [String; 2],
}

/// "mean raising", "mean of “just rises with”".
fn mean_of_set(word: &str) -> String {
    if word.contains(' ') { format!("mean of “{word}”") } else { format!("mean {word}") }
}

impl Book {
    /// "17 1/4 in = 17.25 in" where what was typed is not already a plain number in the sheet's unit.
    fn conversions(&self, typed: &Typed) -> Vec<Step> {
        let whole = typed.texts.len() == typed.numbers.len();
        let mut steps: Vec<Step> = Vec::new();
        for (index, (value, typed_unit)) in typed.numbers.iter().enumerate() {
            let Some(wanted) = self.unit_for(typed_unit) else {
                continue;
            };
            let here = if whole { typed.texts[index].clone() } else { in_unit(*value, typed_unit) };
            let converted = match typed_unit.kind {
                unit::Kind::Moment => exact_moment(Moment::from_si(*value), wanted),
                _ => in_unit(*value, wanted),
            };
            let step = Step::new(typed.word.clone(), here.clone(), converted.clone());
            let plainly_typed = typed_unit.symbol == wanted.symbol && is_plain(&here, typed_unit);
            let same_moment = typed_unit.kind == unit::Kind::Moment && typed_unit.symbol == wanted.symbol;
            if !plainly_typed && !same_moment && !steps.contains(&step) {
                steps.push(step);
            }
        }
        steps
    }
    fn unit_for(&self, typed: &Unit) -> Option<&'static Unit> {
        match typed.kind {
            unit::Kind::Length => Some(self.units.length),
            unit::Kind::Mass => Some(self.units.mass),
            unit::Kind::Moment => Some(self.units.moment),
            unit::Kind::Angle => None,
        }
    }
    fn gravity(&self) -> &'static str {
        gravity(self.units)
    }
    fn mass(&self, kilograms: f64) -> String {
        plain(kilograms / self.units.mass.factor)
    }
    fn length(&self, metres: f64) -> String {
        plain(metres / self.units.length.factor)
    }
    fn result(&self) -> String {
        self.voice.moment(self.moment)
    }
    fn mean_of(&self, name: &str, series: &Series, unit: &Unit) -> Option<Step> {
        if series.count() < 2 {
            return None;
        }
        let terms: Vec<String> = series.values().iter().map(|value| bracketed(value / unit.factor)).collect();
        let numbers = format!("({}) ÷ {}", terms.join(" + "), series.count());
        Some(Step::new(name, numbers, in_unit(series.mean(), unit)))
    }
    fn means(&self, symbol: &str, attitude: &str, readings: &Readings, unit: &Unit) -> Vec<Step> {
        match readings {
            Readings::AtRest(series) => self.mean_of(symbol, series, unit).into_iter().collect(),
            Readings::Turning { raising, lowering } => {
                let [rises, sinks] = &self.turning;
                let mut steps: Vec<Step> = [(rises, raising), (sinks, lowering)]
                    .into_iter()
                    .filter_map(|(word, series)| self.mean_of(&format!("{word}{attitude}"), series, unit))
                    .collect();
                let number = |series: &Series| bracketed(series.mean() / unit.factor);
                steps.push(Step::new(
                    format!("{symbol} = ({rises} + {sinks}) ÷ 2"),
                    format!("({} + {}) ÷ 2", number(raising), number(lowering)),
                    in_unit(readings.mean(), unit),
                ));
                steps
            }
        }
    }
    /// "(r − tare) × arm" or "r × arm".
    fn lever(&self, formula: &str, load: f64, other: Option<f64>, sign: char, arm: Length) -> Step {
        let (mass, length) = (self.units.mass.symbol, self.units.length.symbol);
        let masses = match other {
            Some(other) => format!("({} {sign} {}) {mass}", self.mass(load), self.mass(other)),
            None => format!("{} {mass}", self.mass(load)),
        };
        Step::new(
            formula,
            format!("{masses}{} × {} {length}", self.gravity(), self.length(arm.si())),
            self.result(),
        )
    }

    fn scale_at_arm(&self, at: &ScaleAtArm) -> Vec<Step> {
        let mut steps = self.means("r", "", &at.readings, self.units.mass);
        let formula = if at.tare.is_some() { "S = (r − tare) × arm" } else { "S = r × arm" };
        steps.push(self.lever(formula, at.readings.mean(), at.tare.map(Quantity::si), '−', at.arm));
        steps
    }
    fn hung_weight(&self, hung: &HungWeight) -> Vec<Step> {
        let mut steps = self.means("m", "", &hung.readings, self.units.mass);
        let side = match hung.place {
            Place::Forward => "hung forward, so the surface is tail-heavy by",
            Place::Aft => "hung aft, so the surface is nose-heavy by",
        };
        let product = if hung.hanger.is_some() { "(m + hanger) × arm" } else { "m × arm" };
        let formula = format!("{side} {product}");
        steps.push(self.lever(&formula, hung.readings.mean(), hung.hanger.map(Quantity::si), '+', hung.arm));
        steps
    }
    fn balance_beam(&self, beam: &BalanceBeam) -> Vec<Step> {
        let mut steps = self.means("a", "", &beam.readings, self.units.length);
        let slide = beam.sliding_mass * Length::from_si(beam.place.sign() * beam.readings.mean());
        steps.push(Step::new(
            "sliding mass: m × a",
            format!(
                "{} {}{} × {} {}",
                self.mass(beam.sliding_mass.si()),
                self.units.mass.symbol,
                self.gravity(),
                self.length(beam.readings.mean()),
                self.units.length.symbol
            ),
            self.voice.moment(slide),
        ));
        steps.push(Step::new(
            "S = −(sliding mass + beam), tail-heavy counted as plus",
            format!(
                "−({}{}) {}",
                self.voice.number(slide),
                self.term(beam.beam_moment),
                self.units.moment.symbol
            ),
            self.result(),
        ));
        steps
    }
    fn support_scale(&self, support: &SupportScale) -> Vec<Step> {
        let mut steps = self.means("r", "", &support.readings, self.units.mass);
        let formula = match support.place {
            Place::Aft => "S = (r − support) × arm",
            Place::Forward => "support forward, so nose-heavy counts: (r − support) × arm",
        };
        let support_mass = Some(support.support_mass.si());
        steps.push(self.lever(formula, support.readings.mean(), support_mass, '−', support.arm));
        steps
    }
    fn parts_list(&self, list: &PartsList) -> Vec<Step> {
        let mut steps: Vec<Step> = list
            .parts
            .iter()
            .map(|part| {
                let word = if part.change > 0.0 { "added" } else { "removed" };
                let place = if part.arm.si() < 0.0 { "forward" } else { "aft" };
                Step::new(
                    format!("{}, {word}: m × x", part.name),
                    format!(
                        "{} {}{} × {} {} {place}",
                        self.mass(part.mass.si()),
                        self.units.mass.symbol,
                        self.gravity(),
                        self.length(part.arm.si().abs()),
                        self.units.length.symbol
                    ),
                    self.voice.moment(part.mass * part.arm * part.change),
                )
            })
            .collect();
        let changes = list.parts.iter().map(|part| part.mass * part.arm * part.change);
        let terms: String = changes.map(|change| self.term(change)).collect();
        steps.push(Step::new(
            "S = starting moment + all of them, tail-heavy counted as plus",
            format!("{}{terms} {}", self.voice.number(list.start), self.units.moment.symbol),
            self.result(),
        ));
        steps
    }
    /// A further term of a sum: " + 0.0826" or " − 0.0467".
    fn term(&self, moment: Moment) -> String {
        let sign = if moment < Moment::ZERO { '−' } else { '+' };
        format!(" {sign} {}", self.voice.number(moment.abs()))
    }
    fn two_attitudes(&self, two: &TwoAttitudes, weighed: &Weighed) -> Vec<Step> {
        let mut steps = self.scale_at_arm(&two.level);
        let tilted = self.means("r₂", ", tilted", &two.tilted, self.units.mass);
        steps.extend(tilted);
        let Some(centre) = weighed.measured.centre_of_gravity else {
            return steps;
        };
        let expanded = centre.expanded_uncertainty.in_unit(self.units.length);
        let places = if expanded > 0.0 { hingeline_quantity::places(expanded, 2) } else { 3 };
        let height = centre.height.in_unit(self.units.length);
        let word = if height < 0.0 { "below" } else { "above" };
        let (mass, length) = (self.units.mass.symbol, self.units.length.symbol);
        steps.push(Step::new(
            "height of the centre of gravity h = (r − r₂) × arm ÷ (surface mass × tan angle)",
            format!(
                "({} − {}) {mass} × {} {length} ÷ ({} {mass} × {})",
                self.mass(two.level.readings.mean()),
                self.mass(two.tilted.mean()),
                self.length(two.level.arm.si()),
                self.mass(two.surface_mass.si()),
                plain(two.angle.si().tan()),
            ),
            format!(
                "{} {length} {word} the hinge line, ±{} {length} (expanded uncertainty)",
                decimals(height.abs(), places),
                decimals(expanded, places)
            ),
        ));
        steps
    }
    fn friction(&self, weighed: &Weighed) -> Option<Step> {
        let friction = weighed.measured.friction_moment?;
        let Readings::Turning { raising, lowering } = weighed.taken.weighing.method.readings()? else {
            return None;
        };
        let result = format!("{} {}", self.voice.number(friction), self.units.moment.symbol);
        let (lever, unit) = match &weighed.taken.weighing.method {
            Method::BalanceBeam(beam) => (self.mass(beam.sliding_mass.si()), self.units.length),
            Method::TrailingEdgeScale(at) => (self.length(at.arm.si()), self.units.mass),
            Method::TwoAttitudes(two) => (self.length(two.level.arm.si()), self.units.mass),
            Method::HungWeight(hung) => (self.length(hung.arm.si()), self.units.mass),
            Method::SupportScale(support) => (self.length(support.arm.si()), self.units.mass),
            Method::PartsList(_) => return None,
        };
        let number = |series: &Series| bracketed(series.mean() / unit.factor);
        // Friction is positive where the sets are named rightly, whichever of them reads more.
        let half = friction.si() * (raising.mean() - lowering.mean());
        let (more, less) = if half < 0.0 { (lowering, raising) } else { (raising, lowering) };
        Some(Step::new(
            "friction moment",
            format!("{lever}{} × ({} − {}) ÷ 2", self.gravity(), number(more), number(less)),
            result,
        ))
    }
}

/// A number in a sum: a negative one in brackets.
fn bracketed(value: f64) -> String {
    if value < 0.0 { format!("({})", plain(value)) } else { plain(value) }
}

/// What stands between a mass and its weight where moments are said as forces at arms.
pub(crate) fn gravity(units: Units) -> &'static str {
    if units.force { " × 9.80665 m/s²" } else { "" }
}

/// Whether a typed text is one decimal number and the unit's own symbol, which needs no conversion line.
fn is_plain(text: &str, unit: &Unit) -> bool {
    let number = text.trim_start_matches(['-', '+', '−']).trim_start();
    number
        .strip_suffix(unit.symbol)
        .is_some_and(|number| hingeline_quantity::parse_decimal(number.trim()).is_ok())
}

/// How one source of uncertainty comes about: "half a step 0.005 lb ÷ √3 × 17.25 in".
#[must_use]
pub fn source(input: &Input, share: &Share, weighed: &Weighed, units: Units) -> String {
    if let (Source::Levelling, Some(half_width)) = (input.source, levelling(weighed, units)) {
        return format!("{half_width} ÷ √3");
    }
    let method = &weighed.taken.weighing.method;
    let lever_of = |unit: &Unit| in_unit(share.sensitivity.abs(), unit);
    let slides = matches!(method, Method::BalanceBeam(_));
    let (own, lever) = match input.source {
        Source::Repeatability { .. } if slides => (units.length, lever_of(units.mass)),
        Source::Repeatability { .. }
        | Source::ScaleDisplay
        | Source::ScaleCalibration
        | Source::StatedMass => (units.mass, lever_of(units.length)),
        Source::RuleGraduation | Source::RuleCalibration | Source::StatedArm => {
            (units.length, lever_of(units.mass))
        }
        Source::Levelling | Source::StatedMoment | Source::LevelTool | Source::Other => {
            (units.moment, String::new())
        }
    };
    let size = match input.spread {
        Spread::Student { scale, .. } => format!("s ÷ √n = {}", in_unit(scale, own)),
        Spread::Normal { sigma } => format!("{} ÷ 2", in_unit(2.0 * sigma, own)),
        Spread::Rectangular { half_width } => format!("{} ÷ √3", in_unit(half_width, own)),
        Spread::ArcSine { half_width } => format!("{} ÷ √2", in_unit(half_width, own)),
        Spread::Exact => "exact".to_owned(),
    };
    if lever.is_empty() { size } else { format!("{size}{} × {lever}", gravity(units)) }
}

/// The moment of the worst unseen tilt: "7.5 lb × 0.5 in × tan(0.5 deg)".
fn levelling(weighed: &Weighed, units: Units) -> Option<String> {
    let weighing = &weighed.taken.weighing;
    let length = |length: Length| plain(length.abs().in_unit(units.length));
    let (mass, height, within) = match (&weighing.method, weighed.measured.centre_of_gravity) {
        (Method::TwoAttitudes(two), Some(centre)) => {
            let [height, u] = [centre.height, centre.standard_uncertainty].map(length);
            (two.surface_mass, format!("√({height}² + {u}²)"), weighing.level_within?)
        }
        _ => {
            let levelling = weighing.levelling?;
            (levelling.surface_mass, length(levelling.cg_height_within), levelling.level_within)
        }
    };
    let [mass, within] = [in_unit(mass.si(), units.mass), in_unit(within.si(), &unit::DEGREE)];
    Some(format!("{mass}{} × {height} {} × tan({within})", gravity(units), units.length.symbol))
}

/// From the budget to the expanded uncertainty.
#[must_use]
pub fn uncertainty(weighed: &Weighed, units: Units) -> Vec<Step> {
    let law = &weighed.measured.propagated;
    let in_moment = |value: f64| significant(value / units.moment.factor, 5);
    let unit = units.moment.symbol;
    let parts: Vec<String> =
        law.shares.iter().map(|share| format!("{}²", in_moment(share.standard_uncertainty))).collect();
    let numbers = if parts.is_empty() { "0".to_owned() } else { format!("√({})", parts.join(" + ")) };
    let u = format!("{} {unit}", significant(law.standard_uncertainty / units.moment.factor, 4));
    let k = significant(law.coverage_factor, 5);
    let freedom = match (law.degrees_of_freedom, law.whole_degrees_of_freedom()) {
        (Some(effective), Some(whole)) => Step::new(
            "degrees of freedom ν = u⁴ ÷ (u₁⁴ ÷ ν₁ + u₂⁴ ÷ ν₂ + …)",
            format!("{}, cut to {}", significant(effective, 4), plain(whole)),
            String::new(),
        ),
        _ => Step::new("degrees of freedom ν", "infinitely many", ""),
    };
    vec![
        Step::new("u = √(u₁² + u₂² + …)", numbers, u.clone()),
        freedom,
        Step::new("k = t(95.45 %) for these", "", k.clone()),
        Step::new(
            "U = k × u",
            format!("{k} × {u}"),
            format!("{} {unit}", significant(law.expanded_uncertainty / units.moment.factor, 3)),
        ),
    ]
}

/// How the mass at a station comes about, and what it leads to.
#[must_use]
pub fn correction(assessment: &Assessment, station: &StationCorrection) -> Vec<Step> {
    let units = assessment.sheet.limits.units;
    let last = assessment.last();
    let voice = Voice::of(last, units).finer();
    let (from, aim) = (last.measured.static_moment(), assessment.sheet.limits.band.aim());
    let correction = &station.correction;
    let arm = station.station.station.arm.abs();
    let difference = (from - aim).abs();
    let word = if correction.action == Action::Remove { "mass to remove" } else { "mass to add" };
    let mut steps = vec![
        Step::new(
            "moment to move",
            format!("from {} to {}", voice.moment(from), voice.moment(aim)),
            voice.size(difference),
        ),
        Step::new(
            word,
            format!(
                "{} ÷ {}{}",
                voice.size(difference),
                voice.plain_length(arm),
                if units.force { " ÷ 9.80665 m/s²" } else { "" }
            ),
            voice.mass(correction.mass, digits_of(correction.mass, correction.mass_standard_uncertainty)),
        ),
    ];
    if correction.action == Action::None {
        return steps;
    }
    steps.push(Step::new(
        format!("after {}", voice.plain_mass(correction.mass_rounded)),
        format!(
            "{}{} × {}",
            voice.plain_mass(correction.mass_rounded),
            gravity(units),
            voice.plain_length(arm)
        ),
        format!(
            "{}, which leaves {}",
            voice.size(correction.mass_rounded * arm),
            voice.moment(correction.predicted_moment)
        ),
    ));
    steps.extend(predicted(station, last, &voice));
    steps
}

/// What the scale will read, or where the sliding mass will stand; the mass to hang where the scale cannot read it.
fn predicted(station: &StationCorrection, last: &Weighed, voice: &Voice) -> Option<Step> {
    if let Some(mass) = station.hung_instead {
        let arm = last.taken.weighing.method.bears_at()?;
        let gravity = if voice.units.force { " ÷ 9.80665 m/s²" } else { "" };
        return Some(Step::new(
            "hung at the same arm, this should level it",
            format!(
                "{} ÷ {}{gravity}",
                voice.finer().size(station.correction.predicted_moment),
                voice.plain_length(arm)
            ),
            voice.mass(mass, 3),
        ));
    }
    let words = match &last.taken.weighing.method {
        Method::TrailingEdgeScale(at) if at.tare.is_none() => "the scale should then read",
        Method::TrailingEdgeScale(_) | Method::TwoAttitudes(_) => {
            "the scale should then read, sling included"
        }
        Method::SupportScale(_) if station.below_tare => return None,
        Method::SupportScale(_) => "the scale should then read, support included",
        Method::HungWeight(_) => "it should then be level with this mass hung",
        Method::BalanceBeam(_) => "the sliding mass should then stand at",
        Method::PartsList(_) => return None,
    };
    let text = match (station.predicted_reading, station.predicted_slide) {
        (Some(reading), _) => voice.mass(reading, 3),
        (None, Some(slide)) => {
            format!(
                "{} {}",
                significant(slide.abs().in_unit(voice.units.length), 4),
                voice.units.length.symbol
            )
        }
        (None, None) => return None,
    };
    let text = if station.other_side { format!("{text} on the other side of the hinge line") } else { text };
    Some(Step::new(words, "", text))
}

/// As many significant digits of a mass as end one place beyond the first of its uncertainty.
#[must_use]
pub fn digits_of(mass: Mass, u: Mass) -> u8 {
    let (mass, u) = (mass.si().abs(), u.si());
    if u <= 0.0 || mass <= 0.0 {
        return 4;
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to 2..6 first")]
    let digits = ((mass / u).log10().floor() + 2.0).clamp(2.0, 6.0) as u8;
    digits
}
