//! The search: a trial piece for every value of the free dimension, its moment, and what limits it.
//!
//! Main functions: [`solve`], [`reckon`]. The moment is taken on the side of the wanted one, so that more metal there is
//! always more.

use super::body::Body;
use super::check::{checked, in_range};
use super::solution::{self, Kind, Part, Solution, Weight};
use super::{Design, Dimension, Fault, Form, Limit, Shortfall, Vary, plates, root};
use crate::{Moments, outline};

/// How near the moment comes to the wanted one, as a share of it.
const NEAR: f64 = 1e-13;
/// Places between the bounds where a moment that falls again is looked for.
const PLACES: u32 = 24;
/// How often the bound of a space is halved.
const HALVINGS: usize = 60;
/// How often a dimension is doubled in search of what it would be without limits.
const DOUBLINGS: usize = 40;

/// A piece of given dimensions, with what comes with it.
#[derive(Debug, Clone)]
pub(super) struct Trial {
    pub(super) form: Form,
    pub(super) body: Body,
    pub(super) as_cast: Moments,
    pub(super) as_drilled: Moments,
    pub(super) parts: Vec<Part>,
    pub(super) finished: Weight,
}

pub(super) fn solve(design: &Design) -> Result<Solution, Fault> {
    checked(design)?;
    match &design.vary {
        Vary::Dimension { dimension, least, most } => {
            let search = Search { design, dimension: *dimension };
            let value = search.value(*least, *most)?;
            solution::of(design, search.trial(value)?, Some((*dimension, value)))
        }
        Vary::Plates { stock, most } => solution::of(design, plates::best(design, stock, *most)?, None),
        Vary::Nothing => {
            let trial = trial(design, design.form.clone())?;
            match broken(design, &trial) {
                Some((limit, found, allowed)) => Err(Fault::NoRoom { limit, found, allowed }),
                None => solution::of(design, trial, None),
            }
        }
    }
}

pub(super) fn reckon(design: &Design) -> Result<Solution, Fault> {
    let design = Design { vary: Vary::Nothing, ..design.clone() };
    checked(&design)?;
    let trial = trial(&design, design.form.clone())?;
    solution::of(&design, trial, None)
}

/// What a piece of these dimensions weighs and gives.
pub(super) fn trial(design: &Design, form: Form) -> Result<Trial, Fault> {
    in_range(&form)?;
    let body = Body::of(&form)?;
    let rho = design.density.kg_m3;
    let as_cast = body.volume * rho;
    let mut parts = vec![part(Kind::Metal, "metal before holes".to_owned(), as_cast.total, as_cast.first[0])];
    let mut gone = Moments::default();
    for hole in &design.holes {
        let removed = hole.removed(&body, form.name())? * rho;
        parts.push(part(Kind::Hole, hole.name.clone(), -removed.total, -removed.first[0]));
        gone = gone + removed;
    }
    for item in &design.hardware {
        let x = item.place.x(body.envelope.front);
        parts.push(part(Kind::Hardware, item.name.clone(), item.mass_kg, item.mass_kg * x));
    }
    for film in &design.films {
        let skin = body.skin.ok_or(Fault::NoSkin)?;
        parts.push(part(Kind::Film, film.name.clone(), film.kg_m2 * skin.area, film.kg_m2 * skin.first[0]));
    }
    let mass = parts.iter().map(|part| part.mass_kg).sum();
    let moment = parts.iter().map(|part| part.moment_kg_m).sum();
    let finished = Weight { mass_kg: mass, arm_m: moment / mass, moment_kg_m: moment };
    Ok(Trial { form, body, as_cast, as_drilled: as_cast - gone, parts, finished })
}

fn part(kind: Kind, name: String, mass_kg: f64, moment_kg_m: f64) -> Part {
    Part { kind, name, mass_kg, arm_m: moment_kg_m / mass_kg, moment_kg_m }
}

/// The first limit that a piece breaks, with what it has and what is allowed.
pub(super) fn broken(design: &Design, trial: &Trial) -> Option<(Limit, f64, f64)> {
    let (space, reach) = (&design.space, &trial.body.envelope);
    let more = [
        (Limit::Forward, -reach.front, space.forward),
        (Limit::Above, reach.top, space.above),
        (Limit::Below, -reach.bottom, space.below),
        (Limit::Swing, reach.swing, space.swing),
        (Limit::Span, reach.span, space.span),
        (Limit::Capacity, trial.finished.mass_kg, space.capacity),
    ];
    // A length that is the limit but for its last digits keeps within it.
    let over = |found: f64, allowed: f64| allowed + 1e-12 * allowed.abs() < found;
    let first = more.into_iter().find_map(|(limit, found, allowed)| {
        allowed.filter(|allowed| over(found, *allowed)).map(|allowed| (limit, found, allowed))
    });
    let wall = space.smallest_wall.zip(trial.body.wall).filter(|(allowed, wall)| over(*allowed, *wall));
    first.or(wall.map(|(allowed, wall)| (Limit::SmallestWall, wall, allowed)))
}

/// The search along a dimension.
pub(super) struct Search<'a> {
    pub(super) design: &'a Design,
    pub(super) dimension: Dimension,
}

impl Search<'_> {
    pub(super) fn trial(&self, value: f64) -> Result<Trial, Fault> {
        trial(self.design, self.design.form.with(self.dimension, value)?)
    }
    /// How much the moment is beyond a target, on the side of the target.
    fn beyond(&self, value: f64, target: f64) -> Result<f64, Fault> {
        Ok((self.trial(value)?.finished.moment_kg_m - target) * target.signum())
    }
    fn broken(&self, value: f64) -> Result<Option<(Limit, f64, f64)>, Fault> {
        Ok(broken(self.design, &self.trial(value)?))
    }
    fn zero(&self, low: root::Probe, high: root::Probe, target: f64) -> Result<f64, Fault> {
        root::zero(low, high, NEAR * target.abs(), |value| self.beyond(value, target))
    }

    /// The value that gives the wanted moment, between bounds and within the space.
    fn value(&self, least: f64, most: f64) -> Result<f64, Fault> {
        let target = self.design.wanted.moment_kg_m;
        let low = self.lowest(least, most)?;
        let at_low = self.beyond(low, target)?;
        if 0.0 < at_low {
            let reached_kg_m = self.trial(low)?.finished.moment_kg_m;
            let dimension = self.dimension;
            let too_much = Fault::TooMuch { dimension, value: low, reached_kg_m, wanted_kg_m: target };
            return Err(self.held_by(least, low).map_or(too_much, |name| Fault::HoleNeedsMore {
                name,
                dimension,
                value: low,
                reached_kg_m,
                wanted_kg_m: target,
            }));
        }
        let (high, stopped_by) = self.highest(most)?;
        let found = self.between((low, at_low), high, target)?;
        let unbounded = match found {
            Some(found) => found,
            None => high,
        };
        if self.broken(unbounded)?.is_some() {
            let (value, limit) = self.last_within(low, unbounded)?;
            let unrestricted = match found {
                Some(found) => Some(found),
                None => self.unrestricted(high, 2.0 * high, target)?,
            };
            return Err(self.shortfall(limit, value, unrestricted)?);
        }
        match found {
            Some(found) => Ok(found),
            None => Err(self.shortfall(stopped_by, high, self.unrestricted(high, 2.0 * high, target)?)?),
        }
    }
    fn shortfall(&self, limit: Limit, value: f64, unrestricted: Option<f64>) -> Result<Fault, Fault> {
        Ok(Fault::Shortfall(Shortfall {
            dimension: Some(self.dimension),
            limit,
            value,
            reached_kg_m: self.trial(value)?.finished.moment_kg_m,
            wanted_kg_m: self.design.wanted.moment_kg_m,
            unrestricted,
        }))
    }
    /// The smallest value that may be: the least, or that of the smallest wall, or the one that just holds the holes.
    fn lowest(&self, least: f64, most: f64) -> Result<f64, Fault> {
        let low = if self.is_small(least)? { self.stout(least, most)? } else { least };
        let Some((limit, found, allowed)) = self.broken(low)? else { return Ok(low) };
        let dimension = self.dimension;
        Err(self.held_by(least, low).map_or(Fault::NoRoom { limit, found, allowed }, |name| {
            Fault::HoleNeedsRoom { name, dimension, value: low, limit, found, allowed }
        }))
    }
    /// The hole that forbids a smaller value than the lowest.
    fn held_by(&self, least: f64, low: f64) -> Option<String> {
        let below = least.max(low * (1.0 - 1e-9));
        match self.trial(below) {
            Err(Fault::HoleOutside { name, .. }) if below < low => Some(name),
            _ => None,
        }
    }
    /// Too small for its smallest wall or its holes.
    fn is_small(&self, value: f64) -> Result<bool, Fault> {
        match self.trial(value) {
            Ok(trial) => {
                Ok(broken(self.design, &trial).is_some_and(|(limit, ..)| limit == Limit::SmallestWall))
            }
            Err(Fault::HoleOutside { .. }) => Ok(true),
            Err(fault) => Err(fault),
        }
    }
    /// The smallest value between one that is too small and the most that is not.
    fn stout(&self, small: f64, most: f64) -> Result<f64, Fault> {
        let (mut small, mut stout) = (small, self.highest(most)?.0);
        if self.is_small(stout)? {
            return Ok(stout);
        }
        for _ in 0..HALVINGS {
            let middle = 0.5 * (small + stout);
            if self.is_small(middle)? { small = middle } else { stout = middle }
        }
        Ok(stout)
    }
    /// The largest value that can be made, and what stops it.
    fn highest(&self, most: f64) -> Result<(f64, Limit), Fault> {
        match self.trial(most) {
            Ok(_) => Ok((most, Limit::Bound)),
            Err(Fault::Outline(outline::Fault::TooThick { largest, .. }))
                if self.dimension == Dimension::Thickness =>
            {
                Ok((largest * (1.0 - 1e-9), Limit::Shape))
            }
            Err(fault) => Err(fault),
        }
    }
    /// The value between two that gives a moment; none where none does.
    fn between(&self, low: root::Probe, high: f64, target: f64) -> Result<Option<f64>, Fault> {
        let at_high = self.beyond(high, target)?;
        if 0.0 <= at_high {
            return self.zero(low, (high, at_high), target).map(Some);
        }
        // A piece that grows beyond the hinge line gives less again.
        for index in 1..PLACES {
            let value = low.0 + (high - low.0) * f64::from(index) / f64::from(PLACES);
            let beyond = self.beyond(value, target)?;
            if 0.0 <= beyond {
                return self.zero(low, (value, beyond), target).map(Some);
            }
        }
        Ok(None)
    }
    /// The last value from a good one upwards that keeps within the space, and the limit that the next one breaks.
    fn last_within(&self, good: f64, bad: f64) -> Result<(f64, Limit), Fault> {
        let (mut within, mut beyond) = (good, bad);
        let mut limit = Limit::Bound;
        for _ in 0..HALVINGS {
            let middle = 0.5 * (within + beyond);
            match self.broken(middle)? {
                None => within = middle,
                Some((first, ..)) => (beyond, limit) = (middle, first),
            }
        }
        if limit == Limit::Bound {
            limit = self.broken(beyond)?.map_or(limit, |(first, ..)| first);
        }
        Ok((within, limit))
    }
    /// The value above one that gives a moment, were there no limit, with a first guess beyond it; none where no size
    /// does.
    pub(super) fn unrestricted(&self, from: f64, guess: f64, target: f64) -> Result<Option<f64>, Fault> {
        let mut low = (from, self.beyond(from, target)?);
        let mut guess = guess;
        for _ in 0..DOUBLINGS {
            let Ok((high, stopped_by)) = self.highest(guess) else {
                return Ok(None);
            };
            let beyond = self.beyond(high, target)?;
            if 0.0 <= beyond {
                return self.zero(low, (high, beyond), target).map(Some);
            }
            if stopped_by == Limit::Shape || beyond < low.1 {
                return Ok(None);
            }
            low = (high, beyond);
            guess = 2.0 * high;
        }
        Ok(None)
    }
}
