//! A bench drawn at random: a surface whose true moment is known, a rig, tools, and how large each cause of
//! error is there.
//!
//! Sizes are drawn from the range of a light-aircraft shop. A yardstick, 0.1 % to 3 % of the moment at hand, sets
//! the scale of the errors; each cause is given the size at which its error in the moment has the standard
//! deviation that the mix wants, in yardsticks, and steps are then moved to the nearest that tools are made
//! with. Main type: [`Bench`].

use super::chance::Chance;
use super::plan::{Cause, Mix, Row, Taken, Way, Weights};
use super::tools::{Steps, Tool};

/// A bench with everything about it that is the same each time something is weighed on it.
pub(super) struct Bench {
    pub(super) row: Row,
    pub(super) surface: Surface,
    pub(super) rig: Rig,
    /// The yardstick of its errors, kg m.
    pub(super) yardstick: f64,
    pub(super) scale: Tool,
    pub(super) rule: Tool,
    pub(super) level: Level,
    pub(super) noise: Noise,
    pub(super) bounds: Bounds,
}

/// What hangs on the hinge line.
#[derive(Debug, Clone, Copy)]
pub(super) struct Surface {
    /// kg
    pub(super) mass: f64,
    /// The true static moment, kg m, tail-heavy positive.
    pub(super) moment: f64,
    /// The true height of the centre of gravity above the chord plane through the hinge line, m.
    pub(super) height: f64,
    /// Hinge line to trailing edge, m.
    pub(super) chord: f64,
}

/// True sizes of what the surface is weighed with; arms in m, masses in kg, moments in kg m.
pub(super) enum Rig {
    TrailingEdge { arm: f64, tare: Option<f64> },
    Hung { arm: f64, hanger: Option<f64> },
    Beam { sliding_mass: f64, slide: f64, beam_moment: f64 },
    Support { arm: f64, support_mass: f64 },
    Parts { start: f64, parts: Vec<TruePart> },
    Tilted { arm: f64, tare: Option<f64>, angle: f64 },
}

/// A part as it truly is.
#[derive(Debug, Clone, Copy)]
pub(super) struct TruePart {
    pub(super) mass: f64,
    pub(super) arm: f64,
    pub(super) change: f64,
}

/// The levelling.
pub(super) struct Level {
    /// The chord is level within this, rad.
    pub(super) within: f64,
    /// The height of the centre of gravity is within this, m.
    pub(super) height_within: f64,
    /// The tool that measures a second angle.
    pub(super) tool: Tool,
}

/// What makes readings differ, as moments, kg m.
pub(super) struct Noise {
    /// Standard deviation of each reading.
    pub(super) scatter: f64,
    /// Friction: while turning its mean, at rest the most that it holds.
    pub(super) friction: f64,
    /// Standard deviation of the friction from reading to reading.
    pub(super) friction_scatter: f64,
}

/// Half-widths and standard deviations of what only some rigs have.
pub(super) struct Bounds {
    /// A hung mass may be off by this without moving the surface, kg.
    pub(super) dead_band: f64,
    /// The surface may bear this far from the middle of its support, m.
    pub(super) bearing: f64,
    /// Standard deviation of the beam's own or the starting moment, kg m.
    pub(super) given_moment: f64,
    /// Masses of parts are known within this, kg.
    pub(super) stated_mass: f64,
    /// Arms of parts are known within this, m.
    pub(super) stated_arm: f64,
}

/// How errors of a tool turn into errors of the moment.
struct Levers {
    /// Moment per kg of scale error.
    mass: f64,
    /// Moment per m of rule error.
    arm: f64,
    /// How many things the display is read for.
    displays: f64,
    /// The largest mass on the scale, kg.
    largest_mass: f64,
    /// The largest length on the rule, m.
    largest_arm: f64,
    /// The moment that the yardstick is a share of, kg m.
    size: f64,
}

impl Bench {
    /// Draws a bench for a row of the table.
    pub(super) fn draw(row: &Row, chance: &mut Chance) -> Self {
        let steps = chance.one_of(&[Steps::Metric, Steps::Inch]);
        let mut surface = Surface::draw(chance);
        let rig = Rig::draw(row, &mut surface, chance);
        let levers = rig.levers(&surface);
        let yardstick = levers.size * chance.octaves(0.001, largest_share(row.mix));
        let weights = Weights::draw(row, chance);
        let size = |cause| weights.of(cause) * yardstick;
        let level = Level::draw(row.way, &mut surface, size(Cause::Levelling), chance);
        Self {
            row: *row,
            scale: scale(steps, &levers, &size),
            rule: rule(steps, &levers, &size, chance),
            noise: Noise::draw(row, &size, chance),
            bounds: Bounds::new(&levers, &size),
            surface,
            rig,
            yardstick,
            level,
        }
    }
}

/// Rules and levels cannot be made bad enough to be worth more than a hundredth of the moment.
fn largest_share(mix: Mix) -> f64 {
    use Cause::{Bearing, Graduation, Levelling, RuleCertificate, StatedArms};
    match mix {
        Mix::Chiefly(Graduation | RuleCertificate | Levelling | Bearing | StatedArms) | Mix::Together => 0.01,
        Mix::Chiefly(_) | Mix::Rest(_) | Mix::Beside(_) => 0.03,
    }
}

impl Surface {
    /// Aileron, tab, elevator half or rudder.
    fn draw(chance: &mut Chance) -> Self {
        let (mass, chord) = chance.one_of(&[
            ((2.0, 12.0), (0.20, 0.50)),
            ((0.2, 1.5), (0.06, 0.18)),
            ((3.0, 20.0), (0.30, 0.80)),
            ((4.0, 25.0), (0.35, 0.90)),
        ]);
        let mass = chance.octaves(mass.0, mass.1);
        let chord = chance.uniform(chord.0, chord.1);
        Self { mass, chord, moment: mass * chord * chance.octaves(0.005, 0.12) * chance.sign(), height: 0.0 }
    }
}

impl Rig {
    fn draw(row: &Row, surface: &mut Surface, chance: &mut Chance) -> Self {
        match row.way {
            Way::TrailingEdgeScale => {
                let (arm, tare) = at_trailing_edge(row, surface, chance);
                Self::TrailingEdge { arm, tare }
            }
            Way::TwoAttitudes => {
                let (arm, tare) = at_trailing_edge(row, surface, chance);
                let angle = chance.sign() * chance.uniform(5f64.to_radians(), 30f64.to_radians());
                Self::Tilted { arm, tare, angle }
            }
            Way::HungWeight => {
                let arm = surface.chord * chance.uniform(0.2, 0.9);
                let needed = surface.moment.abs() / arm;
                let hanger = chance.coin().then(|| needed * chance.uniform(0.02, 0.4));
                Self::Hung { arm, hanger }
            }
            Way::BalanceBeam => {
                let beam_moment = surface.moment * chance.uniform(-0.7, 1.0);
                let slide = surface.chord * chance.uniform(0.2, 1.0);
                let sliding_mass = (surface.moment + beam_moment).abs() / slide;
                Self::Beam { sliding_mass, slide, beam_moment }
            }
            Way::SupportScale => {
                let arm = surface.chord * chance.uniform(0.3, 0.95);
                let support_mass = surface.moment.abs() / arm * chance.octaves(0.2, 3.0);
                Self::Support { arm, support_mass }
            }
            Way::PartsList => Self::parts(surface, chance),
        }
    }

    /// One to six parts between a weight forward of the hinge line and the trailing edge.
    fn parts(surface: &mut Surface, chance: &mut Chance) -> Self {
        let start = surface.moment;
        let parts: Vec<TruePart> = (0..chance.count(1, 6))
            .map(|_| TruePart {
                mass: surface.mass * chance.octaves(0.002, 0.05),
                arm: surface.chord * chance.sign() * chance.octaves(0.1, 0.9),
                change: chance.sign(),
            })
            .collect();
        surface.moment += parts.iter().map(|part| part.change * part.mass * part.arm).sum::<f64>();
        Self::Parts { start, parts }
    }

    fn levers(&self, surface: &Surface) -> Levers {
        let moment = surface.moment.abs();
        let at = |arm: f64, also: Option<f64>, largest: f64| Levers {
            mass: arm,
            arm: moment / arm,
            displays: if also.is_some() { 2.0 } else { 1.0 },
            largest_mass: largest,
            largest_arm: arm,
            size: moment,
        };
        match self {
            Self::TrailingEdge { arm, tare } => at(*arm, *tare, moment / arm + tare.unwrap_or(0.0)),
            Self::Tilted { arm, tare, .. } => at(*arm, *tare, surface.mass),
            Self::Hung { arm, hanger } => at(*arm, *hanger, moment / arm - hanger.unwrap_or(0.0)),
            Self::Support { arm, support_mass } => at(*arm, Some(*support_mass), moment / arm + support_mass),
            Self::Beam { sliding_mass, slide, .. } => Levers {
                mass: *slide,
                arm: *sliding_mass,
                displays: 1.0,
                largest_mass: *sliding_mass,
                largest_arm: *slide,
                size: sliding_mass * slide,
            },
            Self::Parts { parts, .. } => of_parts(parts),
        }
    }
}

/// Arm and sling of a scale at the trailing edge. The surface must be tail-heavy to bear on it. An offset of the
/// scale shows only where no sling is taken off.
fn at_trailing_edge(row: &Row, surface: &mut Surface, chance: &mut Chance) -> (f64, Option<f64>) {
    surface.moment = surface.moment.abs();
    let arm = surface.chord * chance.uniform(0.85, 1.0);
    let offset = matches!(row.mix, Mix::Chiefly(Cause::ScaleOffset) | Mix::Beside(_));
    let tared = chance.coin() && !offset;
    let tare = tared.then(|| surface.moment / arm * chance.octaves(0.02, 0.5));
    (arm, tare)
}

fn of_parts(parts: &[TruePart]) -> Levers {
    let root = |of: fn(&TruePart) -> f64| parts.iter().map(|part| of(part).powi(2)).sum::<f64>().sqrt();
    let most = |of: fn(&TruePart) -> f64| parts.iter().map(|part| of(part).abs()).fold(0.0, f64::max);
    Levers {
        mass: root(|part| part.arm),
        arm: root(|part| part.mass),
        displays: 1.0,
        largest_mass: most(|part| part.mass),
        largest_arm: most(|part| part.arm),
        size: parts.iter().map(|part| (part.mass * part.arm).abs()).sum(),
    }
}

/// A step whose rounding errors have this standard deviation.
fn step_of(sigma: f64) -> f64 {
    sigma * 12f64.sqrt()
}

/// The bound within which a uniform error has this standard deviation.
fn bound_of(sigma: f64) -> f64 {
    sigma * 3f64.sqrt()
}

fn scale(steps: Steps, levers: &Levers, size: &impl Fn(Cause) -> f64) -> Tool {
    Tool {
        step: steps.of_scale(step_of(size(Cause::Display) / levers.mass / levers.displays.sqrt())),
        offset: size(Cause::ScaleOffset) / levers.mass,
        gain: size(Cause::ScaleGain) / levers.mass,
        largest: levers.largest_mass,
    }
}

/// A rule may be worn at its end (offset) or made too long (gain), in any proportion.
fn rule(steps: Steps, levers: &Levers, size: &impl Fn(Cause) -> f64, chance: &mut Chance) -> Tool {
    let error = size(Cause::RuleCertificate) / levers.arm;
    let share = chance.uniform(0.0, 1.0);
    Tool {
        step: steps.of_rule(step_of(size(Cause::Graduation) / levers.arm)),
        offset: error * share.sqrt(),
        gain: error * (1.0 - share).sqrt(),
        largest: levers.largest_arm,
    }
}

impl Level {
    /// Chooses how close the chord is levelled, and from that the height at which the levelling is worth `size`.
    fn draw(way: Way, surface: &mut Surface, size: f64, chance: &mut Chance) -> Self {
        let within = chance.one_of(&[0.1f64, 0.2, 0.25, 0.5, 1.0]).to_radians();
        let per_height = surface.mass * within.tan();
        let height_within = 3.0 * size / per_height;
        surface.height = if way == Way::TwoAttitudes {
            chance.sign() * chance.uniform(0.5, 1.5) * bound_of(size) / per_height
        } else {
            chance.within(height_within)
        };
        let step = chance.one_of(&[0.1f64, 0.2, 0.5, 1.0]).to_radians();
        let error = step / 2.0 * std::f64::consts::FRAC_1_SQRT_2;
        let tool = Tool { step, offset: error, gain: error, largest: 30f64.to_radians() };
        Self { within, height_within, tool }
    }
}

impl Noise {
    fn draw(row: &Row, size: &impl Fn(Cause) -> f64, chance: &mut Chance) -> Self {
        #[allow(clippy::cast_precision_loss, reason = "counts of readings are small")]
        let each = (row.total() as f64).sqrt();
        let friction_scatter = size(Cause::Friction) * each;
        let friction = match row.taken {
            Taken::AtRest | Taken::Calculated => bound_of(friction_scatter),
            Taken::Turning => friction_scatter * chance.uniform(2.0, 10.0),
        };
        Self { scatter: size(Cause::Scatter) * each, friction, friction_scatter }
    }
}

impl Bounds {
    fn new(levers: &Levers, size: &impl Fn(Cause) -> f64) -> Self {
        Self {
            dead_band: bound_of(size(Cause::DeadBand) / levers.mass),
            bearing: bound_of(size(Cause::Bearing) / levers.arm),
            given_moment: size(Cause::BeamMoment).max(size(Cause::StartMoment)),
            stated_mass: bound_of(size(Cause::StatedMasses) / levers.mass),
            stated_arm: bound_of(size(Cause::StatedArms) / levers.arm),
        }
    }
}
