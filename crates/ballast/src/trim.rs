//! From a raw casting to a piece inside tolerance: what must go, where, and what the scale must read after each step.
//!
//! Main types: [`Trim`], made of the intended piece and the weighings so far; [`Way`] for each way to take mass off. The
//! moment decides, not the mass: what goes at an arm other than the piece's own counts by its own arm. Method: statics;
//! volumes of saw cuts, drilled holes and skins. Not covered: how even a hand files.

mod fault;
mod light;
mod tool;
mod way;

pub use fault::Fault;
pub use light::{Insert, Remedy, Stock};
pub use tool::Tool;
pub use way::{By, Cut, Way};

use crate::design::{Kind, Solution};
use std::collections::BTreeMap;

/// What still comes to the casting after it is trimmed: hardware and films, holes with a negative mass.
#[derive(Debug, Clone, PartialEq)]
pub struct ToCome {
    /// As printed.
    pub name: String,
    /// kg.
    pub mass_kg: f64,
    /// x, m.
    pub arm_m: f64,
    /// Whether it is hardware, which could be heavier.
    pub is_hardware: bool,
}

/// The piece as intended.
#[derive(Debug, Clone, PartialEq)]
pub struct Intended {
    /// Of the finished piece about the hinge line, kg m, positive tail-heavy; not 0.
    pub moment_kg_m: f64,
    /// x of the casting's centroid as designed, m; on the side of the moment.
    pub arm_m: f64,
    /// Of its metal, kg/m³.
    pub density_kg_m3: f64,
    /// What still comes.
    pub to_come: Vec<ToCome>,
}

/// How a piece was taken from the weighing before to this one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Taken {
    /// Nothing was taken, or everywhere alike: the arm stays.
    Alike,
    /// At a place, x in m: the arm follows.
    At(f64),
}

/// Holes that a casting has already when it is weighed: kept open in the mould, or drilled before. What they took.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Made {
    /// kg, 0 or above.
    pub mass_kg: f64,
    /// kg m, with the sign of their arms.
    pub moment_kg_m: f64,
}

/// What the certificate of a scale leaves open: off by the same at every weighing on that scale.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct InCommon {
    /// Which scale: any number, the same for the same scale.
    pub scale: usize,
    /// kg, 0 or above, no more than all that the scale leaves open.
    pub standard_uncertainty: f64,
}

/// A weighing that shows more mass than the one before, further than the scales can be off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gain {
    /// Which weighing, from 1.
    pub weighing: usize,
    /// By how much, holes that were made counted back in, kg.
    pub by_kg: f64,
}

/// A weighing of the casting, as cast or after a step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weighing {
    /// kg, above 0.
    pub mass_kg: f64,
    /// Of the scale, kg, 0 or above; with what its certificate leaves open.
    pub standard_uncertainty: f64,
    /// What of that is the same at every weighing on that scale.
    pub in_common: InCommon,
    /// x of its centroid where it was balanced on an edge, m; takes the place of the reckoned one.
    pub arm_m: Option<f64>,
    /// How mass went since the weighing before, but for holes that were made; not looked at in the first.
    pub taken: Taken,
    /// Which of the holes to come are in it already.
    pub made: Made,
}

/// When it is good.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tolerance {
    /// Either way, as mass at the piece's arm, kg, above 0.
    pub mass_kg: f64,
    /// What saw and drill leave for the file, kg, 0 or above: no less than what they may take too much.
    pub for_the_file_kg: f64,
    /// Coverage factor of the doubt, 0 or above; 2 is usual.
    pub coverage_factor: f64,
}

/// Where it stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    /// Mass must go.
    ToTrim,
    /// Inside tolerance.
    Inside,
    /// Too light: nothing may go, something must come.
    TooLight,
}

/// Whether the scale can tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doubt {
    /// The whole interval of the scale lies on one side of the tolerance.
    Clear,
    /// It does not.
    Doubtful,
}

/// The judgement of a casting.
#[derive(Debug, Clone, PartialEq)]
pub struct Trim {
    /// The piece as intended.
    pub intended: Intended,
    /// When it is good.
    pub tolerance: Tolerance,
    /// Mass at the last weighing, kg.
    pub mass_kg: f64,
    /// The holes that were made by then.
    pub made: Made,
    /// The largest mass of all weighings, kg, were no hole made: before anything was taken off.
    pub heaviest_kg: f64,
    /// x of the centroid at the last weighing, m.
    pub arm_m: f64,
    /// The finished moment, were nothing done, kg m.
    pub moment_kg_m: f64,
    /// How much too heavy as mass at the piece's arm, kg; negative where it is too light.
    pub excess_kg: f64,
    /// Of the excess, from the scale, kg: certificates count once for each scale, the rest of every weighing by itself.
    pub standard_uncertainty: f64,
    /// Where a weighing shows more than the one before, the last such: right only where mass was added.
    pub gain: Option<Gain>,
    /// Where it stands.
    pub state: State,
    /// Whether the scale can tell.
    pub doubt: Doubt,
}

impl Intended {
    /// What a solution asks of its casting: the wanted moment, and what still comes to the metal.
    #[must_use]
    pub fn of(solution: &Solution) -> Self {
        let more = solution.parts.iter().filter(|part| part.kind != Kind::Metal);
        let to_come = more.map(|part| ToCome {
            name: part.name.clone(),
            mass_kg: part.mass_kg,
            arm_m: part.arm_m,
            is_hardware: part.kind == Kind::Hardware,
        });
        Self {
            moment_kg_m: solution.finished.moment_kg_m + solution.remaining_kg_m,
            arm_m: solution.as_cast.first[0] / solution.as_cast.total,
            density_kg_m3: solution.as_cast.total / solution.body.volume.total,
            to_come: to_come.collect(),
        }
    }
    /// The mass that a casting of the intended arm is to have, kg.
    #[must_use]
    pub fn casting_kg(&self) -> f64 {
        (self.moment_kg_m - self.moment_to_come()) / self.arm_m
    }
    fn moment_to_come(&self) -> f64 {
        self.to_come.iter().map(|item| item.mass_kg * item.arm_m).sum()
    }
    fn checked(&self) -> Result<(), Fault> {
        above_0("the size of the moment", self.moment_kg_m.abs())?;
        above_0("the density", self.density_kg_m3)?;
        for item in &self.to_come {
            finite("the mass of what still comes", item.mass_kg)?;
            finite("the arm of what still comes", item.arm_m)?;
        }
        on_the_side_of(self.moment_kg_m, self.arm_m)
    }
}

impl Trim {
    /// The judgement of a casting by its weighings so far, the first of the casting as it came from the mould. Every
    /// later one takes the place of the mass; the arm follows the place where mass went.
    ///
    /// excess = (finished moment were nothing done − wanted moment) / arm of the piece.
    ///
    /// # Errors
    /// [`Fault::NotWeighed`], [`Fault::ArmSide`], [`Fault::Number`].
    pub fn of(intended: Intended, tolerance: Tolerance, weighings: &[Weighing]) -> Result<Self, Fault> {
        intended.checked()?;
        above_0("the tolerance", tolerance.mass_kg)?;
        not_below_0("what is left for the file", tolerance.for_the_file_kg)?;
        not_below_0("the coverage factor", tolerance.coverage_factor)?;
        let casting = Casting::weighed(&intended, weighings)?;
        let moment_kg_m = casting.moment + intended.moment_to_come();
        let excess_kg = (moment_kg_m - intended.moment_kg_m) / intended.arm_m;
        let standard_uncertainty = casting.uncertainty / intended.arm_m.abs();
        let within = tolerance.coverage_factor * standard_uncertainty;
        let edge = (excess_kg.abs() - tolerance.mass_kg).abs();
        let state = if excess_kg < -tolerance.mass_kg {
            State::TooLight
        } else if tolerance.mass_kg < excess_kg {
            State::ToTrim
        } else {
            State::Inside
        };
        Ok(Self {
            mass_kg: casting.mass - casting.made.mass_kg,
            made: casting.made,
            heaviest_kg: weighings.iter().map(Weighing::whole_kg).fold(casting.mass, f64::max),
            arm_m: (casting.moment - casting.made.moment_kg_m) / (casting.mass - casting.made.mass_kg),
            moment_kg_m,
            excess_kg,
            standard_uncertainty,
            gain: gain(weighings),
            state,
            doubt: if edge < within { Doubt::Doubtful } else { Doubt::Clear },
            intended,
            tolerance,
        })
    }
}

/// A casting by its weighings: mass and moment, were no hole made, the standard uncertainty of the moment, and the holes
/// that are made.
struct Casting {
    mass: f64,
    moment: f64,
    uncertainty: f64,
    made: Made,
}

impl Casting {
    fn weighed(intended: &Intended, weighings: &[Weighing]) -> Result<Self, Fault> {
        let mut before: Option<(f64, f64)> = None;
        // How the moment moves with each weighing so far, kg m per kg.
        let mut slopes: Vec<f64> = Vec::with_capacity(weighings.len());
        for weighing in weighings {
            weighing.checked(intended)?;
            let mass = weighing.whole_kg();
            let moment = match (weighing.arm_m, before, weighing.taken) {
                (Some(arm), ..) => weighing.mass_kg * arm + weighing.made.moment_kg_m,
                (None, None, _) => mass * intended.arm_m,
                (None, Some((old, moment)), Taken::Alike) => mass * moment / old,
                (None, Some((old, moment)), Taken::At(x)) => moment - (old - mass) * x,
            };
            advance(&mut slopes, weighing, before, intended.arm_m);
            before = Some((mass, moment));
        }
        let (mass, moment) = before.ok_or(Fault::NotWeighed)?;
        let made = weighings.last().map_or(Made::default(), |last| last.made);
        Ok(Self { mass, moment, uncertainty: uncertainty(&slopes, weighings), made })
    }
}

/// Every weighing by itself, and the certificate of each scale by the sum of the slopes of what lay on it, kg m.
fn uncertainty(slopes: &[f64], weighings: &[Weighing]) -> f64 {
    let mut common: BTreeMap<usize, f64> = BTreeMap::new();
    let mut sum: f64 = 0.0;
    for (slope, weighing) in slopes.iter().zip(weighings) {
        let InCommon { scale, standard_uncertainty: shared } = weighing.in_common;
        let own = (weighing.standard_uncertainty.powi(2) - shared.powi(2)).max(0.0).sqrt();
        sum = sum.hypot(slope * own);
        *common.entry(scale).or_default() += slope * shared;
    }
    common.into_values().fold(sum, f64::hypot)
}

/// The last weighing that shows more than the one before, by more than twice what both scales leave open.
fn gain(weighings: &[Weighing]) -> Option<Gain> {
    let mut steps = weighings.windows(2).enumerate().rev();
    steps.find_map(|(index, two)| {
        let by_kg = two[1].whole_kg() - two[0].whole_kg();
        let open = 2.0 * two[0].standard_uncertainty.hypot(two[1].standard_uncertainty);
        (open < by_kg).then_some(Gain { weighing: index + 2, by_kg })
    })
}

/// The slopes after one more weighing; `arm_m` is that of the piece as intended.
fn advance(slopes: &mut Vec<f64>, weighing: &Weighing, before: Option<(f64, f64)>, arm_m: f64) {
    let mass = weighing.whole_kg();
    match (weighing.arm_m, before, weighing.taken) {
        (Some(_), ..) | (None, None, _) => {
            slopes.iter_mut().for_each(|slope| *slope = 0.0);
            slopes.push(weighing.arm_m.unwrap_or(arm_m));
        }
        (None, Some((old, moment)), Taken::Alike) => {
            slopes.iter_mut().for_each(|slope| *slope *= mass / old);
            if let Some(last) = slopes.last_mut() {
                *last -= mass * moment / (old * old);
            }
            slopes.push(moment / old);
        }
        (None, Some(_), Taken::At(x)) => {
            if let Some(last) = slopes.last_mut() {
                *last -= x;
            }
            slopes.push(x);
        }
    }
}

impl Weighing {
    /// The mass, were no hole made, kg.
    fn whole_kg(&self) -> f64 {
        self.mass_kg + self.made.mass_kg
    }
    fn checked(&self, intended: &Intended) -> Result<(), Fault> {
        above_0("the mass of the casting", self.mass_kg)?;
        not_below_0("the mass of the holes that are made", self.made.mass_kg)?;
        finite("the moment of the holes that are made", self.made.moment_kg_m)?;
        not_below_0("the uncertainty of the scale", self.standard_uncertainty)?;
        not_below_0("what the certificate of the scale leaves open", self.in_common.standard_uncertainty)?;
        if let Taken::At(x) = self.taken {
            finite("the place where mass went", x)?;
        }
        self.arm_m.map_or(Ok(()), |arm| on_the_side_of(intended.moment_kg_m, arm))
    }
}

fn on_the_side_of(moment: f64, arm_m: f64) -> Result<(), Fault> {
    finite("the arm", arm_m)?;
    if 0.0 < moment * arm_m { Ok(()) } else { Err(Fault::ArmSide { arm_m }) }
}

fn above_0(what: &'static str, value: f64) -> Result<(), Fault> {
    let is_good = 0.0 < value && value.is_finite();
    if is_good { Ok(()) } else { Err(Fault::Number { what, value, allowed: "a finite number above 0" }) }
}

fn not_below_0(what: &'static str, value: f64) -> Result<(), Fault> {
    let is_good = 0.0 <= value && value.is_finite();
    if is_good { Ok(()) } else { Err(Fault::Number { what, value, allowed: "a finite number, 0 or above" }) }
}

fn finite(what: &'static str, value: f64) -> Result<(), Fault> {
    if value.is_finite() { Ok(()) } else { Err(Fault::Number { what, value, allowed: "a finite number" }) }
}
