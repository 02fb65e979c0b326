//! Results in plain words, the same on screen, page and paper.
//!
//! Main type: [`Voice`], which knows the sheet's units and how many digits a weighing deserves (two of its
//! uncertainty). Everything here is text made of numbers that others worked out.

mod notes;

pub use notes::{
    NO_TARE, SLING_ONLY_PULLS, arm_beyond, before_correcting, below_sling, hung_pan, no_tare, note, notes,
    to_look_at_first,
};

use crate::assess::{Assessment, NotValid, StationCorrection, Weighed};
use crate::job_sheet::Units;
use crate::mark;
use crate::taken::Stage;
use hingeline_balance::{Action, Attack, Doubt, Gain, Input, Method, Source, Verdict};
use hingeline_quantity::{
    Entered, Length, Mass, Moment, Quantity, Side, Unit, decimals, places, reads_zero, significant,
};

/// Decimal places of a moment at most.
const MOST_PLACES: usize = 9;

/// How to say moments of one weighing: in which units, with how many decimal places.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Voice {
    /// The sheet's units.
    pub units: Units,
    /// Decimal places of a moment.
    pub places: usize,
}

impl Voice {
    /// The voice for a weighing: moments to the second significant digit of their uncertainty, and as many more as
    /// tell a moment outside from the limit that it is beyond.
    #[must_use]
    pub fn of(weighed: &Weighed, units: Units) -> Self {
        let voice =
            Self::with(weighed.measured.static_moment(), weighed.measured.expanded_uncertainty(), units);
        voice.telling(weighed.judgement.margin)
    }
    /// The same with so many decimal places that a moment beyond a limit by this margin (negative outside) never reads
    /// as the limit itself; what is within may.
    #[must_use]
    pub fn telling(self, margin: Moment) -> Self {
        let beyond = -margin.in_unit(self.units.moment);
        let tells = |places: &usize| 10f64.powi(-i32::try_from(*places).unwrap_or(0)) <= beyond;
        let places = if Moment::NEGLIGIBLE < -margin {
            (self.places..MOST_PLACES).find(tells)
        } else {
            Some(self.places)
        };
        Self { places: places.unwrap_or(MOST_PLACES), ..self }
    }
    /// The same from a moment and its expanded uncertainty.
    #[must_use]
    pub fn with(moment: Moment, expanded: Moment, units: Units) -> Self {
        let (moment, expanded) = (moment.in_unit(units.moment), expanded.in_unit(units.moment));
        let places = if expanded > 0.0 { places(expanded, 2) } else { places(moment, 4) };
        Self { units, places: places.min(6) }
    }
    /// The same with one more decimal place, for arithmetic that goes on.
    #[must_use]
    pub fn finer(self) -> Self {
        Self { places: self.places + 1, ..self }
    }
    /// The size of a moment: "21.6 in-lb".
    #[must_use]
    pub fn size(&self, moment: Moment) -> String {
        format!("{} {}", self.number(moment.abs()), self.units.moment.symbol)
    }
    /// The number of a moment, without its unit.
    #[must_use]
    pub fn number(&self, moment: Moment) -> String {
        decimals(moment.in_unit(self.units.moment), self.places)
    }
    /// A moment with its side: "21.6 in-lb tail-heavy"; what rounds to nothing has no side.
    #[must_use]
    pub fn moment(&self, moment: Moment) -> String {
        match self.side(moment) {
            Side::Balanced => self.size(moment),
            side => format!("{} {}", self.size(moment), side.word()),
        }
    }
    /// A measured moment with its uncertainty: "21.6 ± 0.2 in-lb tail-heavy".
    #[must_use]
    pub fn measured(&self, weighed: &Weighed) -> String {
        self.measured_as(weighed.measured.static_moment(), weighed.measured.expanded_uncertainty())
    }
    /// The same from a moment and its expanded uncertainty.
    #[must_use]
    pub fn measured_as(&self, moment: Moment, expanded: Moment) -> String {
        let expanded = self.size(expanded);
        format!("{} ± {expanded} {}", self.number(moment.abs()), self.side(moment).word())
    }
    fn side(&self, moment: Moment) -> Side {
        if reads_zero(&self.number(moment.abs())) { Side::Balanced } else { moment.side() }
    }
    /// A mass in the sheet's unit.
    #[must_use]
    pub fn mass(&self, mass: Mass, digits: u8) -> String {
        format!("{} {}", significant(mass.in_unit(self.units.mass), digits), self.units.mass.symbol)
    }
    /// A mass to seven digits, without trailing zeros.
    #[must_use]
    pub fn plain_mass(&self, mass: Mass) -> String {
        in_unit(mass.si(), self.units.mass)
    }
    /// An arm in the sheet's unit, without trailing zeros.
    #[must_use]
    pub fn plain_length(&self, length: Length) -> String {
        in_unit(length.si(), self.units.length)
    }
}

/// A text that begins with a capital.
#[must_use]
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// A number to seven significant digits, without trailing zeros.
#[must_use]
pub fn plain(value: f64) -> String {
    let text = significant(value, 7);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// A quantity in a unit, without trailing zeros.
#[must_use]
pub fn in_unit(value: f64, unit: &Unit) -> String {
    format!("{} {}", plain(value / unit.factor), unit.symbol)
}

/// A moment to seven digits, without trailing zeros, with its side; nothing has none.
#[must_use]
pub fn exact_moment(moment: Moment, unit: &Unit) -> String {
    match moment.side() {
        Side::Balanced => in_unit(0.0, unit),
        side => format!("{} {}", in_unit(moment.abs().si(), unit), side.word()),
    }
}

/// The one big sentence: "Outside the approved limits: 21.6 in-lb tail-heavy".
#[must_use]
pub fn verdict(weighed: &Weighed, voice: &Voice) -> String {
    let place = match (weighed.judgement.verdict, &weighed.taken.weighing.method) {
        (Verdict::Within, Method::PartsList(_)) => "Calculated, within",
        (Verdict::Within, _) => "Within",
        (Verdict::Outside, Method::PartsList(_)) => "Calculated, outside",
        (Verdict::Outside, _) => "Outside",
    };
    if voice.side(weighed.measured.static_moment()) == Side::Balanced {
        return format!("{place} the approved limits: balanced");
    }
    format!("{place} the approved limits: {}", voice.moment(weighed.measured.static_moment()))
}

/// Whether a moment was calculated from a list of parts, and not weighed.
#[must_use]
pub fn calculated(weighed: &Weighed) -> bool {
    matches!(weighed.taken.weighing.method, Method::PartsList(_))
}

/// The doubt beside the verdict, in plain words.
#[must_use]
pub fn doubt(weighed: &Weighed, voice: &Voice) -> String {
    let judgement = &weighed.judgement;
    let inside = judgement.verdict == Verdict::Within;
    let (word, likely) = if inside {
        ("within", judgement.probability_within)
    } else {
        ("outside", 1.0 - judgement.probability_within)
    };
    let by = voice.size(judgement.margin);
    let tell = voice.size(weighed.measured.expanded_uncertainty());
    let what = if calculated(weighed) { "calculation" } else { "measurement" };
    if weighed.measured.expanded_uncertainty() <= Moment::ZERO {
        return format!("{word} by {by}; no uncertainty is stated, so nobody knows how far this can tell");
    }
    if below_sling(&weighed.taken.weighing.method) {
        return format!("This cannot be read so, and {word} by {by} says nothing: {SLING_ONLY_PULLS}");
    }
    if let Some(friction) = friction_beyond_margin(weighed) {
        let friction = voice.size(friction);
        return format!(
            "Friction hides it: {word} by {by}, but a friction moment of {friction} can hold the surface anywhere"
        );
    }
    match judgement.doubt {
        Doubt::Clear => format!("Clearly {word}, by {by}: the {what} can tell to ±{tell}"),
        Doubt::Doubtful => {
            let likely = percent(likely);
            format!(
                "Doubtful: {word} by {by}, but the {what} can only tell to ±{tell}: {likely} likely {word}"
            )
        }
    }
}

/// The doubt in a few words, for what is signed: "doubtful, 86 % likely within"; none where there is no doubt.
#[must_use]
pub fn likely(weighed: &Weighed) -> Option<String> {
    let probability = weighed.judgement.probability_within;
    match (mark::doubt(weighed), weighed.judgement.verdict) {
        (mark::CLEAR, _) => None,
        (mark::DOUBTFUL, Verdict::Within) => {
            Some(format!("doubtful, {} likely within", percent(probability)))
        }
        (mark::DOUBTFUL, Verdict::Outside) => {
            Some(format!("doubtful, {} likely outside", percent(1.0 - probability)))
        }
        (other, _) => Some(other.to_owned()),
    }
}

/// Verdict and doubt of the published words ("within", "clear") as a person says them: "clearly within".
#[must_use]
pub fn verdict_and_doubt(verdict: &str, doubt: &str) -> String {
    match doubt {
        "clear" => format!("clearly {verdict}"),
        "" => verdict.to_owned(),
        doubt => format!("{verdict}, {doubt}"),
    }
}

/// The friction moment, where it is larger than the distance to the nearer limit.
pub(crate) fn friction_beyond_margin(weighed: &Weighed) -> Option<Moment> {
    weighed.measured.friction_moment.filter(|friction| weighed.judgement.margin.abs() < *friction)
}

/// A probability as a person says it.
#[must_use]
pub fn percent(probability: f64) -> String {
    if probability > 0.999 {
        "more than 99.9 %".to_owned()
    } else if probability < 0.001 {
        "less than 0.1 %".to_owned()
    } else if (0.01..0.99).contains(&probability) {
        format!("{} %", decimals(100.0 * probability, 0))
    } else {
        format!("{} %", decimals(100.0 * probability, 1))
    }
}

/// The two limits and the aim: as typed where they were typed as moments with their side, else to seven digits.
#[must_use]
pub fn limits(assessment: &Assessment, voice: &Voice) -> [String; 3] {
    let limits = &assessment.sheet.limits;
    let unit = voice.units.moment;
    let as_typed = limits.manual_plus.is_none() && unit.symbol == limits.typed_unit.symbol;
    let typed = |word: &str| limits.typed.iter().find(|(name, _)| *name == word && as_typed);
    [("from", limits.band.from()), ("to", limits.band.to()), ("aim", limits.band.aim())].map(
        |(word, moment)| typed(word).map_or_else(|| exact_moment(moment, unit), |(_, text)| text.clone()),
    )
}

/// The limits in the approved data's own words, where these are readings or have signs of their own: "-60 g to 20 g at
/// 285 mm, plus is tail-heavy"; none where [`limits`] says the same.
#[must_use]
pub fn limits_as_typed(assessment: &Assessment) -> Option<String> {
    let limits = &assessment.sheet.limits;
    let typed = |word: &str| limits.typed.iter().find(|(name, _)| *name == word).map(|(_, text)| text);
    let sign = limits.manual_plus.map_or_else(String::new, |plus| format!(", plus is {}", plus.word()));
    if let (Some(from), Some(to), Some(arm)) = (typed("from reading"), typed("to reading"), typed("at arm")) {
        return Some(format!("{from} to {to} at {arm}{sign}"));
    }
    limits.manual_plus?;
    Some(format!("{} to {}{sign}", typed("from")?, typed("to")?))
}

/// Whether the sheet gave an aim, or the program took the middle of the limits.
#[must_use]
pub fn aim_is_given(assessment: &Assessment) -> bool {
    assessment.sheet.limits.typed.iter().any(|(word, _)| word.starts_with("aim"))
}

/// Why a weighing is not valid for release.
#[must_use]
pub fn reason(reason: &NotValid) -> String {
    match reason {
        NotValid::NoStartingMoment => {
            "calculated without a starting moment: it speaks of the listed parts alone, not of the surface"
                .to_owned()
        }
        NotValid::NotConfirmed { item } => {
            format!("“{item}” is not confirmed, but the approved data ask for it")
        }
        NotValid::PastDue { instrument, due, used } => {
            format!("instrument {instrument} was due for calibration on {due} and was used on {used}")
        }
        NotValid::FailedCheck { instrument, said } => {
            format!("instrument {instrument} failed its last check: {said}")
        }
    }
}

/// What the readings are called that are taken while the trailing edge rises and while it sinks.
#[must_use]
pub fn turning(method: &Method) -> [&'static str; 2] {
    match method {
        Method::HungWeight(_) => ["just rises with", "just sinks with"],
        Method::BalanceBeam(_) => ["just rises at", "just sinks at"],
        _ => turning_of_a_scale(),
    }
}

fn turning_of_a_scale() -> [&'static str; 2] {
    ["raising", "lowering"]
}

/// The word of something that was written down, in the words of the method: "raising" of a hung weight is "just rises
/// with".
#[must_use]
pub fn set_word(method: &Method, word: &str) -> String {
    let [rises, sinks] = turning(method);
    match word {
        "raising" => rises.to_owned(),
        "lowering" => sinks.to_owned(),
        other => other.to_owned(),
    }
}

/// The name of a source of uncertainty, its set of readings in the words of the method: "scatter of readings, “just
/// rises with”" of a hung weight.
#[must_use]
pub fn input_name(input: &Input, method: &Method) -> String {
    let [rises, sinks] = turning(method);
    match input.name.rsplit_once(", ") {
        Some((what, "raising")) if rises != "raising" => format!("{what}, “{rises}”"),
        Some((what, "lowering")) if sinks != "lowering" => format!("{what}, “{sinks}”"),
        _ => input.name.clone(),
    }
}

/// A or B, as the budget calls the way an uncertainty was found.
#[must_use]
pub fn evaluation(input: &Input) -> &'static str {
    if matches!(input.source, Source::Repeatability { .. }) { "A" } else { "B" }
}

/// What to attack first and what that and the others would bring; none where nothing is uncertain.
#[must_use]
pub fn attack_first(assessment: &Assessment, weighed: &Weighed, voice: &Voice) -> Vec<String> {
    let law = &weighed.measured.propagated;
    let largest =
        weighed.measured.model.inputs.iter().zip(&law.shares).max_by(|a, b| a.1.share.total_cmp(&b.1.share));
    let Some((input, share)) = largest.filter(|(_, share)| share.share > 0.0) else {
        return Vec::new();
    };
    let name = input_name(input, &weighed.taken.weighing.method);
    let mut lines = vec![format!("Attack first: {name} ({} of the variance)", percent(share.share))];
    let finer = voice.finer();
    lines.extend(weighed.gains.iter().filter(|gain| gain.worth_it()).map(|gain| {
        let after = finer.number(Moment::from_si(gain.after));
        let before = finer.size(Moment::from_si(gain.before));
        format!("{} would bring ±{before} to ±{after}", attack(assessment, weighed, gain))
    }));
    let idle: Vec<String> = weighed
        .gains
        .iter()
        .filter(|gain| !gain.worth_it())
        .map(|gain| attack(assessment, weighed, gain))
        .collect();
    if !idle.is_empty() {
        lines.push(format!("would not help: {}", idle.join("; ")));
    }
    lines
}

fn attack(assessment: &Assessment, weighed: &Weighed, gain: &Gain) -> String {
    let finer =
        |kind: &str| half_step(assessment, weighed, kind).unwrap_or_else(|| "twice as fine a".to_owned());
    match gain.attack {
        Attack::ThreeMoreReadings => "three more readings in each set".to_owned(),
        Attack::FinerScale => format!("a {} scale", finer("scale")),
        Attack::BetterScaleCertificate => "a scale certificate with half the uncertainty".to_owned(),
        Attack::FinerRule => format!("a {} rule", finer("rule")),
        Attack::BetterRuleCertificate => "a rule certificate with half the uncertainty".to_owned(),
        Attack::CloserLevel => "levelling twice as close".to_owned(),
        Attack::CloserBounds => format!("knowing twice as closely: {}", stated(weighed)),
    }
}

/// The inputs that are only stated, by name.
fn stated(weighed: &Weighed) -> String {
    let is_stated = |source| matches!(source, Source::StatedMass | Source::StatedArm | Source::StatedMoment);
    let inputs = weighed.measured.model.inputs.iter().filter(|input| is_stated(input.source));
    inputs.map(|input| input.name.as_str()).collect::<Vec<_>>().join("; ")
}

/// Half of the step of the instrument of this kind that the weighing used, as a shop writes it.
fn half_step(assessment: &Assessment, weighed: &Weighed, kind: &str) -> Option<String> {
    let mut used = weighed.taken.instruments.iter().map(|&index| &assessment.sheet.instruments[index]);
    let instrument = used.find(|instrument| instrument.kind.word() == kind)?;
    half_of(&instrument.resolution)
}

/// Half of a step, a plain fraction as a fraction: "1/64 in" of "1/32 in".
fn half_of(text: &str) -> Option<String> {
    // Before the stroke of a mixed number stands a space.
    let plain = text.trim().split_once('/').filter(|(top, _)| !top.contains(char::is_whitespace));
    if let Some((top, rest)) = plain {
        let digits: String = rest.chars().take_while(char::is_ascii_digit).collect();
        let bottom = digits.parse::<u64>().ok()?.checked_mul(2)?;
        return Some(format!("{top}/{bottom}{}", &rest[digits.len()..]));
    }
    let half = |value: f64, unit: &Unit| in_unit(value / 2.0, unit);
    Entered::<Mass>::parse(text)
        .map(|step| half(step.value.si(), step.unit))
        .or_else(|_| Entered::<Length>::parse(text).map(|step| half(step.value.si(), step.unit)))
        .ok()
}

/// The cautions of the main job, for screen and paper.
pub const CAUTIONS: [&str; 5] = [
    "Flutter can destroy an aeroplane. The approved data and a licensed person decide; this program calculates and \
     records.",
    "Secure the surface on its stand before letting go: it can swing or fall.",
    "Lead: fume and dust are poisonous. Ventilation, gloves, no food, washing; your local rules and the employer's \
     lead programme come first.",
    "Molten metal and water: a damp mould, tool or ingot can explode. Face shield, everything dry, two people for a \
     pour that needs four hands.",
    PAINT_CAUTION,
];

/// The caution that belongs to paint alone.
pub const PAINT_CAUTION: &str = "Removing and applying paint: chromate primers and blasting dust (silica) harm the \
     lungs; follow the data sheet and local rules.";

/// A share of the variance, short.
#[must_use]
pub fn percent_plain(share: f64) -> String {
    format!("{} %", decimals(100.0 * share, 1))
}

/// What is said of a station that cannot correct the surface by itself.
pub const NOT_ALONE: &str = "cannot be done here alone";

/// What to do at a station: "add 0.58 lb"; nothing is asked of a station that cannot take it whole, or would leave the
/// surface outside its limits.
#[must_use]
pub fn correction(station: &StationCorrection, voice: &Voice) -> String {
    if station.correction.action != Action::None && !station.does_it_alone() {
        return NOT_ALONE.to_owned();
    }
    let mass = rounded_mass(station, voice);
    match station.correction.action {
        Action::Add => format!("add {mass}"),
        Action::Remove => format!("remove {mass}"),
        Action::None if station.correction.mass_standard_uncertainty < station.correction.mass => {
            format!(
                "nothing it can do: {} wanted, less than half a step",
                voice.mass(station.correction.mass, 3)
            )
        }
        Action::None => "nothing to change".to_owned(),
    }
}

/// What the drawing says at each station, in their order: the ways to do it, joined by "or"; nothing at a station that
/// cannot do it alone, and nothing at all where the last weighing asks for no correction.
#[must_use]
pub fn ways(assessment: &Assessment, voice: &Voice) -> Vec<String> {
    let mut before = false;
    let way = |station: &StationCorrection| {
        let acts = station.correction.action != Action::None && station.does_it_alone();
        if !acts || !assessment.asks_for_correction() {
            return String::new();
        }
        let joint = if std::mem::replace(&mut before, true) { "or " } else { "" };
        format!("{joint}{}", correction(station, voice))
    };
    assessment.corrections.iter().map(way).collect()
}

/// What a station can take and give, as typed; empty where nothing is stated.
#[must_use]
pub fn station_bounds(station: &StationCorrection) -> String {
    let station = &station.station;
    let bound = |word: &str, text: &Option<String>| text.as_ref().map(|text| format!("{word} {text}"));
    let bounds = [
        bound("can take", &station.typed_capacity),
        bound("can give", &station.typed_removable),
        bound("step", &station.typed_step),
    ];
    bounds.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// The mass to handle: in the unit that the station's step was typed in, exact; without a step to the digits that its
/// uncertainty deserves.
#[must_use]
pub fn rounded_mass(station: &StationCorrection, voice: &Voice) -> String {
    let correction = &station.correction;
    match station.station.step_unit {
        Some(unit) => in_unit(correction.mass_rounded.si(), unit),
        None => voice.mass(
            correction.mass_rounded,
            crate::arithmetic::digits_of(correction.mass_rounded, correction.mass_standard_uncertainty),
        ),
    }
}

/// What a person must know about a correction, the gravest first.
#[must_use]
pub fn correction_notes(station: &StationCorrection, voice: &Voice) -> Vec<String> {
    let correction = &station.correction;
    let removing = correction.action == Action::Remove;
    let bound = if removing { &station.station.typed_removable } else { &station.station.typed_capacity };
    let mut notes = Vec::new();
    if !correction.within_capacity {
        let most = bound.clone().unwrap_or_else(|| "none".to_owned());
        let verb = if removing { "give" } else { "take" };
        let step = station
            .station
            .typed_step
            .as_ref()
            .map_or_else(String::new, |step| format!(" in steps of {step}"));
        notes.push(format!(
            "this station can {verb} {most} at most{step}; the mass wanted is {}, so it cannot be done here alone",
            voice.mass(correction.mass, 3)
        ));
    }
    if correction.action != Action::None && !station.within {
        let left = voice.telling(station.margin).moment(correction.predicted_moment);
        notes.push(format!("this would leave the surface outside its limits: {left}"));
    }
    notes.extend(reading_notes(station, voice));
    if removing && bound.is_none() {
        notes.push("no removable mass is stated: make sure that so much is there and may go".to_owned());
    }
    if correction.action != Action::None {
        let u = voice.mass(correction.mass_standard_uncertainty, 2);
        let exact = if station.station.station.arm_within.is_none() { "exact " } else { "" };
        notes.push(format!(
            "standard uncertainty of the mass {u}, for the {exact}arm of the added piece's own centre of gravity"
        ));
    }
    notes
}

/// Where the scale cannot show what is predicted.
fn reading_notes(station: &StationCorrection, voice: &Voice) -> Option<String> {
    if let Some(mass) = station.hung_instead.filter(|_| station.correction.action != Action::None) {
        return Some(format!(
            "the surface will then pull up, which no scale reads through a sling: use a hung weight, about {} at the \
             same arm should level it",
            voice.mass(mass, 3)
        ));
    }
    let note = if station.lifts_off {
        "the surface will then lift off its support: weigh it on the other side of the hinge line"
    } else if station.below_tare {
        "the scale will then read less than its sling alone: the surface pulls up"
    } else if station.over_scale {
        "the scale cannot weigh so much: use a larger one then"
    } else {
        return None;
    };
    Some(note.to_owned())
}

/// From as found to as left: how far, and towards which side; where there are several of either, of which. None where
/// there are not both.
#[must_use]
pub fn change(assessment: &Assessment, voice: &Voice) -> Option<String> {
    let (moved, standard_uncertainty) = assessment.change()?;
    let size = voice.size(moved);
    let turn = match voice.side(moved) {
        Side::Balanced => "",
        Side::NoseHeavy => " towards nose-heavy",
        Side::TailHeavy => " towards tail-heavy",
    };
    let which = which_of_several(assessment).unwrap_or_default();
    let u = voice.finer().size(standard_uncertainty);
    Some(format!("change from as found to as left{which}: {size}{turn} (standard uncertainty {u})"))
}

/// Which weighings the change lies between, where there are several of either stage.
fn which_of_several(assessment: &Assessment) -> Option<String> {
    let places = |stage: Stage| {
        let of = (1..).zip(&assessment.weighings).filter(move |(_, weighed)| weighed.taken.stage == stage);
        of.map(|(place, _)| place).collect::<Vec<usize>>()
    };
    let (found, left) = (places(Stage::AsFound), places(Stage::AsLeft));
    let several = 1 < found.len() || 1 < left.len();
    several.then(|| Some(format!(" (weighing {} to {})", found.first()?, left.last()?))).flatten()
}

/// How the two routes to the uncertainty compare, and why they differ; none where the second was not asked for.
#[must_use]
pub fn two_routes(weighed: &Weighed) -> Option<&'static str> {
    let draws = weighed.draws.as_ref()?;
    let ratio = draws.half_width() / weighed.measured.propagated.expanded_uncertainty;
    Some(if ratio > 1.05 {
        "both at 95.45 %. Monte Carlo is the wider here: it draws each set of few readings from a t distribution, whose \
         tails are heavy; docs/coverage.md shows how often the law's interval holds the truth"
    } else if ratio < 0.95 {
        "both at 95.45 %. The law is the wider here: it cuts the degrees of freedom, and k = 2 is more than rectangular \
         sources need"
    } else {
        "both at 95.45 %; they agree within 5 %"
    })
}

#[cfg(test)]
mod tests {
    use super::half_of;

    #[test]
    fn half_a_step_is_half_of_its_value() {
        for (step, half) in [
            ("1/32 in", Some("1/64 in")),
            ("0.01 lb", Some("0.005 lb")),
            ("1 1/2 g", Some("0.75 g")),
            ("1/9999999999999999999 in", None),
            ("no step", None),
        ] {
            assert_eq!(half_of(step).as_deref(), half, "{step}");
        }
    }
}
