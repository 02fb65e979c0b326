//! A weighing: one set of readings that gives one static moment with its uncertainty.
//!
//! [`Weighing::measure`] builds the model of the method, adds the levelling, and propagates. What a person must
//! know about the weighing beyond its numbers comes as [`Note`]s.
//! Not covered: whether instruments and configuration allow a release; that is the bench's business.

use crate::method::{
    BalanceBeam, HungWeight, PartsList, ScaleAtArm, SupportScale, TwoAttitudes, add_levelling,
};
use crate::model::Model;
use crate::propagation::Propagated;
use crate::series::Readings;
use hingeline_quantity::{Angle, Length, Mass, Moment, Quantity};

/// The six methods.
#[derive(Debug, Clone, PartialEq)]
pub enum Method {
    /// A scale holds the trailing edge.
    TrailingEdgeScale(ScaleAtArm),
    /// A known mass levels the surface.
    HungWeight(HungWeight),
    /// A mass slides along a beam.
    BalanceBeam(BalanceBeam),
    /// A platform scale under a support.
    SupportScale(SupportScale),
    /// Calculated from masses and arms.
    PartsList(PartsList),
    /// A trailing-edge scale, read level and tilted.
    TwoAttitudes(TwoAttitudes),
}

/// What is known of the levelling, so that its error can be put into the budget.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Levelling {
    /// The mass of the surface.
    pub surface_mass: Mass,
    /// The centre of gravity lies within this of the chord plane through the hinge line.
    pub cg_height_within: Length,
    /// The chord was level within this.
    pub level_within: Angle,
}

/// One weighing.
#[derive(Debug, Clone, PartialEq)]
pub struct Weighing {
    /// How it was weighed.
    pub method: Method,
    /// Its levelling, where stated.
    pub levelling: Option<Levelling>,
    /// For two attitudes: the chord was level within this (the height is measured).
    pub level_within: Option<Angle>,
}

/// The height of the centre of gravity above the hinge line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CentreOfGravity {
    /// Height, up positive.
    pub height: Length,
    /// u(h), its standard uncertainty.
    pub standard_uncertainty: Length,
    /// U = k u, with k from the degrees of freedom of u(h).
    pub expanded_uncertainty: Length,
}

/// What a person must know beyond the numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Note {
    /// A set of one reading says nothing about scatter.
    SingleReading,
    /// Two to six readings at rest: with so few, S ± U covers a little less than it says (docs/coverage.md).
    FewAtRest,
    /// Two readings in a set, raising or lowering: the same.
    FewInASet,
    /// Several readings that are all the same: the scatter hides in the display's step.
    NoScatterSeen,
    /// Friction was not measured by raising and lowering.
    FrictionUnknown,
    /// The lowering readings are above the raising ones.
    FrictionTurned,
    /// The levelling error is not in the uncertainty.
    LevellingLeftOut,
    /// The scale has no certificate in the sheet.
    NoScaleCertificate,
    /// A trailing-edge scale reads less than its own sling.
    BelowTare,
    /// Something in a parts list has no stated uncertainty and is taken as exact.
    TakenAsExact,
    /// The moment is calculated, not weighed.
    Calculated,
}

/// A measured static moment.
#[derive(Debug, Clone, PartialEq)]
pub struct Measured {
    /// The inputs and expression.
    pub model: Model,
    /// S, u, ν, k, U and shares.
    pub propagated: Propagated,
    /// The moment that friction can hold; none where not measured.
    pub friction_moment: Option<Moment>,
    /// For two attitudes.
    pub centre_of_gravity: Option<CentreOfGravity>,
    /// What to tell the person.
    pub notes: Vec<Note>,
}

impl Measured {
    /// S, positive tail-heavy.
    #[must_use]
    pub fn static_moment(&self) -> Moment {
        Moment::from_si(self.propagated.estimate)
    }
    /// u.
    #[must_use]
    pub fn standard_uncertainty(&self) -> Moment {
        Moment::from_si(self.propagated.standard_uncertainty)
    }
    /// U = k u.
    #[must_use]
    pub fn expanded_uncertainty(&self) -> Moment {
        Moment::from_si(self.propagated.expanded_uncertainty)
    }
}

impl Method {
    /// The readings of the method; a parts list has none.
    #[must_use]
    pub fn readings(&self) -> Option<&Readings> {
        match self {
            Self::TrailingEdgeScale(at) => Some(&at.readings),
            Self::HungWeight(hung) => Some(&hung.readings),
            Self::BalanceBeam(beam) => Some(&beam.readings),
            Self::SupportScale(support) => Some(&support.readings),
            Self::PartsList(_) => None,
            Self::TwoAttitudes(two) => Some(&two.level.readings),
        }
    }

    fn model(&self) -> Model {
        match self {
            Self::TrailingEdgeScale(at) => at.model(),
            Self::HungWeight(hung) => hung.model(),
            Self::BalanceBeam(beam) => beam.model(),
            Self::SupportScale(support) => support.model(),
            Self::PartsList(list) => list.model(),
            Self::TwoAttitudes(two) => two.model(),
        }
    }

    /// What half the difference of the readings is worth as a moment of friction, per SI unit of reading; the
    /// sign makes friction positive where the sets are named rightly.
    fn friction_lever(&self) -> f64 {
        match self {
            Self::TrailingEdgeScale(at) => at.arm.si(),
            Self::TwoAttitudes(two) => two.level.arm.si(),
            Self::HungWeight(hung) => -hung.place.sign() * hung.arm.si(),
            Self::SupportScale(support) => support.place.sign() * support.arm.si(),
            Self::BalanceBeam(beam) => -beam.place.sign() * beam.sliding_mass.si(),
            Self::PartsList(_) => 0.0,
        }
    }

    /// Whether a moment must be balanced on the other side of the hinge line than today: for a hung weight and a
    /// sliding mass.
    #[must_use]
    pub fn other_side_at(&self, moment: Moment) -> bool {
        match self {
            Self::HungWeight(hung) => moment.si() * -hung.place.sign() < 0.0,
            Self::BalanceBeam(_) => self.slide_at(moment).is_some_and(|slide| slide.si() < 0.0),
            _ => false,
        }
    }

    /// What the scale must read (for a hung weight: what must hang) at a given moment, at the same arm and with
    /// the same tare; none where no scale is read.
    #[must_use]
    pub fn reading_at(&self, moment: Moment) -> Option<Mass> {
        let tared = |at: &ScaleAtArm| moment / at.arm + at.tare.unwrap_or(Mass::ZERO);
        match self {
            Self::TrailingEdgeScale(at) => Some(tared(at)),
            Self::TwoAttitudes(two) => Some(tared(&two.level)),
            Self::HungWeight(hung) => Some((moment / hung.arm).abs() - hung.hanger.unwrap_or(Mass::ZERO)),
            Self::SupportScale(support) => {
                Some(moment / support.arm * support.place.sign() + support.support_mass)
            }
            Self::BalanceBeam(_) | Self::PartsList(_) => None,
        }
    }

    /// Where a scale or support bears aft of the hinge line; none where nothing does.
    #[must_use]
    pub fn bears_at(&self) -> Option<Length> {
        match self {
            Self::TrailingEdgeScale(at) => Some(at.arm),
            Self::TwoAttitudes(two) => Some(two.level.arm),
            Self::SupportScale(support) => Some(support.arm * support.place.sign()),
            Self::HungWeight(hung) => Some(hung.arm * hung.place.sign()),
            Self::BalanceBeam(_) | Self::PartsList(_) => None,
        }
    }

    /// Whether a scale reads what the surface presses or pulls, tare included.
    #[must_use]
    pub fn reads_load(&self) -> bool {
        matches!(self, Self::TrailingEdgeScale(_) | Self::TwoAttitudes(_) | Self::SupportScale(_))
    }

    /// Where the sliding mass of a beam must stand at a given moment; none for the other methods.
    #[must_use]
    pub fn slide_at(&self, moment: Moment) -> Option<Length> {
        match self {
            Self::BalanceBeam(beam) => {
                Some((moment + beam.beam_moment) / beam.sliding_mass * -beam.place.sign())
            }
            _ => None,
        }
    }

    fn scale_has_certificate(&self) -> bool {
        match self {
            Self::TrailingEdgeScale(at) => at.scale.calibration.is_some(),
            Self::TwoAttitudes(two) => two.level.scale.calibration.is_some(),
            Self::HungWeight(hung) => hung.scale.calibration.is_some(),
            Self::SupportScale(support) => support.scale.calibration.is_some(),
            Self::BalanceBeam(beam) => beam.scale.calibration.is_some(),
            Self::PartsList(list) => list.scale.is_none_or(|scale| scale.calibration.is_some()),
        }
    }

    fn takes_as_exact(&self) -> bool {
        let Self::PartsList(list) = self else { return false };
        let masses = list.scale.is_some() || list.parts.iter().all(|part| part.mass_within.is_some());
        let arms = list.rule.is_some() || list.parts.iter().all(|part| part.arm_within.is_some());
        let start = list.start.si().abs() <= 0.0 || list.start_uncertainty.is_some();
        !(masses && arms && start)
    }

    fn reads_below_tare(&self) -> bool {
        let below = |at: &ScaleAtArm| at.tare.is_some_and(|tare| at.readings.mean() < tare.si());
        match self {
            Self::TrailingEdgeScale(at) => below(at),
            Self::TwoAttitudes(two) => below(&two.level),
            Self::SupportScale(support) => support.readings.mean() < support.support_mass.si(),
            _ => false,
        }
    }
}

impl Weighing {
    /// Works out the static moment, its uncertainty, the friction and, for two attitudes, the height of the
    /// centre of gravity.
    ///
    /// # Gives
    /// moments in kg m, positive tail-heavy; u by the law of propagation, U = k u at 95.45 %.
    /// # Valid for
    /// a chord that is level up to the stated bound, and a surface that turns freely.
    /// # Source
    /// formulas in docs/formulas.md; \[GUM\] 4.2, 4.3, 5.1.2, G.4
    /// # Checked by
    /// checks/common-practice/methods.toml
    #[must_use]
    pub fn measure(&self) -> Measured {
        let mut model = self.method.model();
        let centre_of_gravity = self.centre_of_gravity();
        if let Some(half_width) = self.levelling_half_width(centre_of_gravity) {
            add_levelling(&mut model, half_width);
        }
        let propagated = model.propagate();
        let lever = self.method.friction_lever();
        let friction = self.method.readings().and_then(Readings::half_difference).map(|half| half * lever);
        Measured {
            notes: self.notes(friction),
            friction_moment: friction.map(Moment::from_si),
            model,
            propagated,
            centre_of_gravity,
        }
    }

    fn centre_of_gravity(&self) -> Option<CentreOfGravity> {
        let Method::TwoAttitudes(two) = &self.method else {
            return None;
        };
        let height = two.height_model(self.level_within).propagate();
        Some(CentreOfGravity {
            height: Length::from_si(height.estimate),
            standard_uncertainty: Length::from_si(height.standard_uncertainty),
            expanded_uncertainty: Length::from_si(height.expanded_uncertainty),
        })
    }

    /// The moment that the worst unseen tilt brings: m h tan(level).
    ///
    /// With a measured height, √(h² + u²(h)) stands for h: the product of two independent deviations, one of
    /// mean zero, has exactly that variance.
    fn levelling_half_width(&self, measured: Option<CentreOfGravity>) -> Option<Moment> {
        if let (Some(centre), Method::TwoAttitudes(two)) = (measured, &self.method) {
            let height = centre.height.si().hypot(centre.standard_uncertainty.si());
            return self
                .level_within
                .map(|within| two.surface_mass * Length::from_si(height * within.si().tan()));
        }
        let levelling = self.levelling?;
        Some(levelling.surface_mass * (levelling.cg_height_within * levelling.level_within.si().tan()))
    }

    fn notes(&self, friction: Option<f64>) -> Vec<Note> {
        let mut notes = Vec::new();
        let mut tell = |condition: bool, note| {
            if condition {
                notes.push(note)
            }
        };
        if let Some(readings) = self.method.readings() {
            let sets = readings.sets();
            let still = |s: &crate::series::Series| s.standard_deviation().is_some_and(|s| s <= 0.0);
            tell(readings.fewest() < 2, Note::SingleReading);
            tell(readings.few_at_rest(), Note::FewAtRest);
            tell(readings.few_in_a_set(), Note::FewInASet);
            tell(sets.iter().any(|(_, series, _)| still(series)), Note::NoScatterSeen);
            tell(friction.is_none(), Note::FrictionUnknown);
            let rounding = 1e-9 * readings.mean().abs() * self.method.friction_lever().abs();
            tell(friction.is_some_and(|moment| moment < -rounding), Note::FrictionTurned);
            let levelled = self.levelling.is_some() || self.level_within.is_some();
            tell(!levelled, Note::LevellingLeftOut);
            tell(self.method.reads_below_tare(), Note::BelowTare);
        }
        tell(!self.method.scale_has_certificate(), Note::NoScaleCertificate);
        tell(matches!(self.method, Method::PartsList(_)), Note::Calculated);
        tell(self.method.takes_as_exact(), Note::TakenAsExact);
        notes
    }
}
