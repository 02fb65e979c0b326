//! One day at a bench: errors happen, readings are taken, and the technician writes them down.
//!
//! Statics of the tilted surface with sine and cosine; nothing here comes from the product's own models. What is
//! handed on is a [`Weighing`] with the written-down values only.

use super::chance::Chance;
use super::plan::{Habit, Taken};
use super::shop::{Bench, Rig, TruePart};
use super::tools::{InHand, rounded_up};
use hingeline_balance::{
    BalanceBeam, HungWeight, Levelling, Method, Part, PartsList, Place, Readings, ScaleAtArm, Series,
    SupportScale, TwoAttitudes, Weighing,
};
use hingeline_quantity::{Angle, Length, Mass, Moment, Quantity};

/// The bench on one day.
struct Day<'a> {
    bench: &'a Bench,
    scale: InHand,
    rule: InHand,
    /// How far the chord truly is from level, trailing edge up, rad.
    tilt: f64,
    /// The side on which the surface comes to rest by habit.
    side: f64,
}

impl Bench {
    /// Weighs the surface once; none only where a written-down number would not be finite.
    pub(super) fn weigh(&self, chance: &mut Chance) -> Option<Weighing> {
        let day = Day {
            bench: self,
            scale: self.scale.in_hand(chance),
            rule: self.rule.in_hand(chance),
            tilt: chance.within(self.level.within),
            side: chance.sign(),
        };
        let method = day.method(chance)?;
        let levelled = !matches!(self.rig, Rig::Parts { .. } | Rig::Tilted { .. });
        Some(Weighing {
            levelling: levelled.then(|| self.levelling(chance)),
            level_within: matches!(self.rig, Rig::Tilted { .. }).then(|| Angle::from_si(self.level.within)),
            method,
        })
    }

    /// The mass of the surface is known to a hundredth.
    fn levelling(&self, chance: &mut Chance) -> Levelling {
        Levelling {
            surface_mass: Mass::from_si(self.surface.mass * chance.uniform(0.99, 1.01)),
            cg_height_within: Length::from_si(self.level.height_within),
            level_within: Angle::from_si(self.level.within),
        }
    }

    /// Forward for a tail-heavy moment, aft for a nose-heavy one: where a mass must hang to level it.
    fn against(moment: f64) -> Place {
        if moment > 0.0 { Place::Forward } else { Place::Aft }
    }
}

impl Day<'_> {
    fn method(&self, chance: &mut Chance) -> Option<Method> {
        Some(match &self.bench.rig {
            Rig::TrailingEdge { arm, tare } => Method::TrailingEdgeScale(self.at_arm(*arm, *tare, chance)?),
            Rig::Tilted { arm, tare, angle } => {
                Method::TwoAttitudes(self.two_attitudes(*arm, *tare, *angle, chance)?)
            }
            Rig::Hung { arm, hanger } => Method::HungWeight(self.hung(*arm, *hanger, chance)?),
            Rig::Beam { sliding_mass, slide: _, beam_moment } => {
                Method::BalanceBeam(self.beam(*sliding_mass, *beam_moment, chance)?)
            }
            Rig::Support { arm, support_mass } => {
                Method::SupportScale(self.support(*arm, *support_mass, chance)?)
            }
            Rig::Parts { start, parts } => Method::PartsList(self.parts(*start, parts, chance)),
        })
    }

    /// The moment that must be held at one reading: gravity at the true tilt, friction, and noise. `turn` is +1
    /// while the trailing edge is raised, −1 while it is lowered.
    fn felt(&self, tilt: f64, turn: f64, chance: &mut Chance) -> f64 {
        let Bench { surface, noise, row, .. } = self.bench;
        let gravity = surface.moment * tilt.cos() - surface.mass * surface.height * tilt.sin();
        let friction = match (row.taken, row.habit) {
            (Taken::Turning, _) => turn * (noise.friction + chance.normal(noise.friction_scatter)).max(0.0),
            (Taken::AtRest, Habit::SameSide) => self.side * noise.friction * chance.uniform(0.5, 1.0),
            (Taken::AtRest | Taken::Calculated, _) => chance.within(noise.friction),
        };
        gravity + friction + chance.normal(noise.scatter)
    }

    /// Takes all readings at a tilt; `written` makes of the moment that is held what is written down.
    fn readings(&self, tilt: f64, chance: &mut Chance, written: impl Fn(f64) -> f64) -> Option<Readings> {
        let mut set = |turn| {
            let values = (0..self.bench.row.readings).map(|_| written(self.felt(tilt, turn, chance)));
            Series::new(values.collect())
        };
        Some(match self.bench.row.taken {
            Taken::AtRest | Taken::Calculated => Readings::AtRest(set(0.0)?),
            Taken::Turning => Readings::Turning { raising: set(1.0)?, lowering: set(-1.0)? },
        })
    }

    fn measured(&self, arm: f64) -> Length {
        Length::from_si(self.rule.shows(arm))
    }

    fn weighed(&self, mass: f64) -> Mass {
        Mass::from_si(self.scale.shows(mass))
    }

    fn on_scale(&self, arm: f64, tare: Option<f64>, tilt: f64, chance: &mut Chance) -> Option<Readings> {
        self.readings(tilt, chance, |moment| {
            self.scale.shows(moment / (arm * tilt.cos()) + tare.unwrap_or(0.0))
        })
    }

    fn at_arm(&self, arm: f64, tare: Option<f64>, chance: &mut Chance) -> Option<ScaleAtArm> {
        Some(ScaleAtArm {
            readings: self.on_scale(arm, tare, self.tilt, chance)?,
            scale: self.bench.scale.stated(),
            tare: tare.map(|tare| self.weighed(tare)),
            arm: self.measured(arm),
            rule: self.bench.rule.stated(),
        })
    }

    fn two_attitudes(
        &self,
        arm: f64,
        tare: Option<f64>,
        angle: f64,
        chance: &mut Chance,
    ) -> Option<TwoAttitudes> {
        let level = self.at_arm(arm, tare, chance)?;
        let tool = self.bench.level.tool.in_hand(chance);
        Some(TwoAttitudes {
            level,
            tilted: self.on_scale(arm, tare, angle, chance)?,
            angle: Angle::from_si(tool.shows(angle)),
            level_tool: self.bench.level.tool.stated(),
            surface_mass: self.weighed(self.bench.surface.mass),
        })
    }

    fn hung(&self, arm: f64, hanger: Option<f64>, chance: &mut Chance) -> Option<HungWeight> {
        let band = self.bench.bounds.dead_band;
        // The mass that happens to hang there may be anywhere in the band in which nothing moves.
        let off = chance.within(band);
        let against = Bench::against(self.bench.surface.moment);
        let readings = self.readings(self.tilt, chance, |moment| {
            let needed = -against.sign() * moment / (arm * self.tilt.cos());
            self.scale.shows(needed - hanger.unwrap_or(0.0) + off)
        })?;
        let found = match self.bench.row.habit {
            Habit::OneWay => band - off,
            Habit::Good | Habit::SameSide => band + off.abs(),
        };
        Some(HungWeight {
            readings,
            scale: self.bench.scale.stated(),
            hanger: hanger.map(|hanger| self.weighed(hanger)),
            arm: self.measured(arm),
            place: against,
            rule: self.bench.rule.stated(),
            moves_with: (band > 0.0).then(|| Mass::from_si(rounded_up(found, self.bench.scale.step))),
        })
    }

    fn beam(&self, sliding_mass: f64, beam_moment: f64, chance: &mut Chance) -> Option<BalanceBeam> {
        let place = Bench::against(self.bench.surface.moment + beam_moment);
        let readings = self.readings(self.tilt, chance, |moment| {
            let held = moment + beam_moment * self.tilt.cos();
            self.rule.shows(-place.sign() * held / (sliding_mass * self.tilt.cos()))
        })?;
        let sigma = self.bench.bounds.given_moment;
        Some(BalanceBeam {
            readings,
            rule: self.bench.rule.stated(),
            sliding_mass: self.weighed(sliding_mass),
            scale: self.bench.scale.stated(),
            place,
            beam_moment: Moment::from_si(beam_moment + chance.normal(sigma)),
            beam_uncertainty: Some(Moment::from_si(2.0 * sigma)),
        })
    }

    fn support(&self, arm: f64, support_mass: f64, chance: &mut Chance) -> Option<SupportScale> {
        let bears = arm + chance.within(self.bench.bounds.bearing);
        let moment = self.bench.surface.moment;
        let place = if moment > 0.0 { Place::Aft } else { Place::Forward };
        let readings = self.readings(self.tilt, chance, |moment| {
            self.scale.shows(place.sign() * moment / (bears * self.tilt.cos()) + support_mass)
        })?;
        Some(SupportScale {
            readings,
            scale: self.bench.scale.stated(),
            support_mass: self.weighed(support_mass),
            arm: self.measured(arm),
            rule: self.bench.rule.stated(),
            place,
            bearing_within: Some(Length::from_si(self.bench.bounds.bearing)),
        })
    }

    fn parts(&self, start: f64, parts: &[TruePart], chance: &mut Chance) -> PartsList {
        let sigma = self.bench.bounds.given_moment;
        PartsList {
            start: Moment::from_si(start + chance.normal(sigma)),
            start_uncertainty: Some(Moment::from_si(2.0 * sigma)),
            parts: parts.iter().map(|part| self.part(*part, chance)).collect(),
            scale: Some(self.bench.scale.stated()),
            rule: Some(self.bench.rule.stated()),
        }
    }

    /// A pattern part is weighed and measured; the one that is fitted differs from it within the stated bounds.
    fn part(&self, part: TruePart, chance: &mut Chance) -> Part {
        let (mass, arm) = (self.bench.bounds.stated_mass, self.bench.bounds.stated_arm);
        Part {
            name: "part".to_owned(),
            mass: self.weighed(part.mass + chance.within(mass)),
            arm: self.measured(part.arm + chance.within(arm)),
            change: part.change,
            mass_within: Some(Mass::from_si(mass)),
            arm_within: Some(Length::from_si(arm)),
        }
    }
}
