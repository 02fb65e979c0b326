//! What is simulated: ways of weighing, causes of error, mixes of them, and the rows of the table.
//!
//! A [`Row`] is one line's worth of benches. [`claimed`] lists the rows that the claim is made for, [`outside`]
//! those that are shown although the claim does not reach them, and [`sweep`] lays scatter beside all the rest in
//! growing proportion.

use super::chance::Chance;

/// The six ways to weigh.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// A scale holds the trailing edge.
    TrailingEdgeScale,
    /// A known mass levels the surface.
    HungWeight,
    /// A mass slides along a beam.
    BalanceBeam,
    /// A platform scale under a support.
    SupportScale,
    /// Calculated from masses and arms.
    PartsList,
    /// A trailing-edge scale, level and tilted.
    TwoAttitudes,
}

impl Way {
    /// All six.
    pub const ALL: [Self; 6] = [
        Self::TrailingEdgeScale,
        Self::HungWeight,
        Self::BalanceBeam,
        Self::SupportScale,
        Self::PartsList,
        Self::TwoAttitudes,
    ];

    /// As the job sheet calls it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::TrailingEdgeScale => "trailing-edge scale",
            Self::HungWeight => "hung weight",
            Self::BalanceBeam => "balance beam",
            Self::SupportScale => "support scale",
            Self::PartsList => "parts list",
            Self::TwoAttitudes => "two attitudes",
        }
    }

    /// The causes of error that this way has, for readings taken so.
    pub fn causes(self, taken: Taken) -> Vec<Cause> {
        use Cause::{
            BeamMoment, Bearing, DeadBand, Display, Friction, Graduation, Levelling, RuleCertificate,
            ScaleGain, ScaleOffset, Scatter, StartMoment, StatedArms, StatedMasses,
        };
        let tools = [Display, ScaleGain, Graduation, RuleCertificate];
        let own: &[Cause] = match (self, taken) {
            (Self::TrailingEdgeScale | Self::TwoAttitudes, _) => &[ScaleOffset],
            (Self::HungWeight, Taken::Turning) => &[ScaleOffset],
            (Self::HungWeight, _) => &[ScaleOffset, DeadBand],
            (Self::BalanceBeam, _) => &[ScaleOffset, BeamMoment],
            (Self::SupportScale, _) => &[Bearing],
            (Self::PartsList, _) => &[ScaleOffset, StartMoment, StatedMasses, StatedArms],
        };
        let bench: &[Cause] = match (self, taken) {
            (Self::PartsList, _) => &[],
            (Self::HungWeight, Taken::AtRest) => &[Scatter, Levelling],
            _ => &[Scatter, Friction, Levelling],
        };
        [bench, &tools, own].concat()
    }
}

/// The causes of error.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// Noise of each reading.
    Scatter,
    /// Friction of the hinges and its own scatter.
    Friction,
    /// The step of the scale's display, for each thing that it weighs.
    Display,
    /// A scale that is off by the same amount at every load.
    ScaleOffset,
    /// A scale that is off in proportion to the load.
    ScaleGain,
    /// The graduation of the rule.
    Graduation,
    /// The error of the rule within its certificate.
    RuleCertificate,
    /// The chord not quite level, the centre of gravity not in it.
    Levelling,
    /// The band in which a hung weight does not move the surface.
    DeadBand,
    /// Where the surface bears on its support.
    Bearing,
    /// The beam's own moment.
    BeamMoment,
    /// The moment that a parts list starts from.
    StartMoment,
    /// Masses of parts known within bounds only.
    StatedMasses,
    /// Arms of parts known within bounds only.
    StatedArms,
}

const CAUSES: usize = Cause::StatedArms as usize + 1;

impl Cause {
    /// As the table calls it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Scatter => "scatter of readings",
            Self::Friction => "friction",
            Self::Display => "scale display",
            Self::ScaleOffset => "scale error, offset",
            Self::ScaleGain => "scale error, gain",
            Self::Graduation => "rule graduation",
            Self::RuleCertificate => "rule error",
            Self::Levelling => "levelling",
            Self::DeadBand => "dead band",
            Self::Bearing => "where it bears",
            Self::BeamMoment => "beam's own moment",
            Self::StartMoment => "starting moment",
            Self::StatedMasses => "stated masses",
            Self::StatedArms => "stated arms",
        }
    }
}

/// How the causes share the error.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Mix {
    /// One cause; each of the others is worth from a fiftieth to a fifth of it.
    Chiefly(Cause),
    /// All of them, each worth from a fifth of a yardstick to the whole of it.
    Together,
    /// Scatter, and all other causes together worth so many times as much, in the proportions of
    /// [`Mix::Together`].
    Rest(f64),
    /// Scatter, and a scale error that is the same at every load and worth so many times as much; each of the
    /// others is worth a thousandth of the scatter.
    Beside(f64),
}

impl Mix {
    /// As the table calls it.
    #[must_use]
    pub fn name(self) -> String {
        match self {
            Self::Chiefly(cause) => cause.name().to_owned(),
            Self::Together => "all together".to_owned(),
            Self::Rest(ratio) => format!("scatter 1, the rest {ratio}"),
            Self::Beside(ratio) => format!("scatter 1, scale error {ratio}"),
        }
    }
}

/// What each cause is worth on one bench, as a standard deviation, in yardsticks; a cause that the way of
/// weighing does not have is worth nothing.
pub(super) struct Weights([f64; CAUSES]);

impl Weights {
    pub(super) fn of(&self, cause: Cause) -> f64 {
        self.0[cause as usize]
    }

    pub(super) fn draw(row: &Row, chance: &mut Chance) -> Self {
        let mut weights = Self([0.0; CAUSES]);
        for cause in row.way.causes(row.taken) {
            weights.0[cause as usize] = match row.mix {
                Mix::Chiefly(chief) if chief == cause => 1.0,
                Mix::Chiefly(_) => chance.octaves(0.02, 0.2),
                Mix::Together | Mix::Rest(_) => chance.octaves(0.2, 1.0),
                Mix::Beside(_) if cause == Cause::Scatter => 1.0,
                Mix::Beside(ratio) if cause == Cause::ScaleOffset => ratio,
                Mix::Beside(_) => 0.001,
            };
        }
        if let Mix::Rest(ratio) = row.mix {
            weights.set_rest(ratio);
        }
        weights
    }

    /// Makes scatter 1 and the root sum of squares of all others `ratio`.
    fn set_rest(&mut self, ratio: f64) {
        let scatter = Cause::Scatter as usize;
        self.0[scatter] = 0.0;
        let rest = self.0.iter().map(|weight| weight * weight).sum::<f64>().sqrt();
        for weight in &mut self.0 {
            *weight *= ratio / rest;
        }
        self.0[scatter] = 1.0;
    }
}

/// How the readings are taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Taken {
    /// One after the other, at rest.
    AtRest,
    /// While raising and while lowering.
    Turning,
    /// Nothing is read.
    Calculated,
}

impl Taken {
    /// "3 + 3", "at rest 7", or nothing to say.
    #[must_use]
    pub fn words(self, readings: usize) -> String {
        match self {
            Self::AtRest => format!("at rest {readings}"),
            Self::Turning => format!("{readings} + {readings}"),
            Self::Calculated => "none".to_owned(),
        }
    }
}

/// What the technician is used to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Habit {
    /// As the guide asks.
    Good,
    /// Tries the dead band by adding only, and not by taking away as well.
    OneWay,
    /// Lets the surface come to rest from the same side every time.
    SameSide,
}

/// One line's worth of benches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// The way of weighing.
    pub way: Way,
    /// The mix of causes.
    pub mix: Mix,
    /// How the readings are taken.
    pub taken: Taken,
    /// Readings in each set.
    pub readings: usize,
    /// What the technician is used to do.
    pub habit: Habit,
}

impl Row {
    /// Whether it has as many readings as the claim asks for.
    #[must_use]
    pub fn has_enough_readings(&self) -> bool {
        match self.taken {
            Taken::Turning => self.readings >= RAISING_AND_LOWERING[0],
            Taken::AtRest => self.readings >= AT_REST[0],
            Taken::Calculated => true,
        }
    }

    /// All readings of the weighing.
    pub(super) fn total(&self) -> usize {
        match self.taken {
            Taken::AtRest | Taken::Calculated => self.readings,
            Taken::Turning => 2 * self.readings,
        }
    }
}

/// Readings in each set while raising and lowering that the claim is simulated with, the fewest first.
pub const RAISING_AND_LOWERING: [usize; 3] = [3, 5, 10];
/// Readings at rest that the claim is simulated with, the fewest first.
pub const AT_REST: [usize; 2] = [7, 10];

/// The rows that the claim is made for: every way and every mix of its causes, raising and lowering with three
/// readings a set or more, and at rest with seven or more where friction is not the chief cause.
#[must_use]
pub fn claimed() -> Vec<Row> {
    let mut rows = Vec::new();
    for way in Way::ALL {
        for (taken, counts) in way.taken() {
            for mix in mixes(way, taken) {
                let row = |&readings| Row { way, mix, taken, readings, habit: Habit::Good };
                rows.extend(counts.iter().map(row));
            }
        }
    }
    rows
}

/// Every cause as the chief one, then all together.
fn mixes(way: Way, taken: Taken) -> Vec<Mix> {
    let chief = |cause: &Cause| !(taken == Taken::AtRest && *cause == Cause::Friction);
    let causes = way.causes(taken).into_iter().filter(chief).map(Mix::Chiefly);
    causes.chain([Mix::Together]).collect()
}

impl Way {
    /// How its readings may be taken, and with which counts the claim is simulated.
    fn taken(self) -> Vec<(Taken, &'static [usize])> {
        match self {
            Self::PartsList => vec![(Taken::Calculated, &[0])],
            _ => vec![(Taken::Turning, &RAISING_AND_LOWERING), (Taken::AtRest, &AT_REST)],
        }
    }

    /// Whether friction holds it while it is at rest (a hung weight has its dead band instead).
    fn sticks(self) -> bool {
        self.causes(Taken::AtRest).contains(&Cause::Friction)
    }
}

/// Rows that the claim does not reach, under one heading.
#[derive(Debug, Clone, PartialEq)]
pub struct Outside {
    /// What is the matter with them.
    pub heading: &'static str,
    /// The rows.
    pub rows: Vec<Row>,
}

/// The rows that the claim does not reach.
#[must_use]
pub fn outside() -> Vec<Outside> {
    let (rest, turning) = (Taken::AtRest, Taken::Turning);
    let scatter = [Mix::Chiefly(Cause::Scatter), Mix::Together];
    let friction = [Mix::Chiefly(Cause::Friction)];
    let dead_band = [Mix::Chiefly(Cause::DeadBand), Mix::Together];
    let read = |way: Way| way != Way::PartsList;
    let outside = |heading, ways: &dyn Fn(Way) -> bool, mixes: &[Mix], taken, counts: &[usize], habit| {
        let mut rows = Vec::new();
        for way in Way::ALL.into_iter().filter(|way| ways(*way)) {
            for &mix in mixes {
                rows.extend(counts.iter().map(|&readings| Row { way, mix, taken, readings, habit }));
            }
        }
        Outside { heading, rows }
    };
    vec![
        outside("few readings at rest", &read, &scatter, rest, &[3, 5], Habit::Good),
        outside("two readings a set", &read, &scatter, turning, &[2], Habit::Good),
        outside("one reading a set", &read, &scatter, turning, &[1], Habit::Good),
        outside("a single reading at rest", &read, &scatter, rest, &[1], Habit::Good),
        outside("friction chief, at rest", &Way::sticks, &friction, rest, &[3, 5, 7, 10], Habit::Good),
        outside(
            "always coming to rest from the same side",
            &Way::sticks,
            &[Mix::Chiefly(Cause::Friction), Mix::Together],
            rest,
            &[3, 10],
            Habit::SameSide,
        ),
        outside(
            "dead band tried by adding only",
            &|way| way == Way::HungWeight,
            &dead_band,
            rest,
            &[3, 7, 10],
            Habit::OneWay,
        ),
    ]
}

/// How many times the scatter the other causes are worth, along the sweeps.
pub const RATIOS: [f64; 9] = [0.1, 0.2, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0, 4.0];
/// Columns of the sweeps.
pub const SWEPT: [(Taken, usize); 8] = [
    (Taken::Turning, 2),
    (Taken::Turning, 3),
    (Taken::Turning, 5),
    (Taken::AtRest, 3),
    (Taken::AtRest, 5),
    (Taken::AtRest, 6),
    (Taken::AtRest, 7),
    (Taken::AtRest, 10),
];

/// A sweep: a trailing-edge scale whose scatter is laid beside other causes in growing proportion, as `mix` says. One
/// of [`RATIOS`] after the other, each with one row a column of [`SWEPT`].
#[must_use]
pub fn sweep(mix: fn(f64) -> Mix) -> Vec<Row> {
    let row = |ratio, (taken, readings)| Row {
        way: Way::TrailingEdgeScale,
        mix: mix(ratio),
        taken,
        readings,
        habit: Habit::Good,
    };
    RATIOS.iter().flat_map(|&ratio| SWEPT.map(|column| row(ratio, column))).collect()
}
