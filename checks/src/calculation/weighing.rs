//! The six weighing methods and the correction, through `Weighing::measure` and `Station::correct`.

use super::input::{Instrument, Sets, Text, bad, read, some};
use crate::fault::Fault;
use crate::value::{Results, Told};
use hingeline_balance::{
    Action, BalanceBeam, HungWeight, Indicator, Levelling, Measured, Method, Part, PartsList, Place,
    Readings, ScaleAtArm, Series, Station, SupportScale, TwoAttitudes, Weighing,
};
use hingeline_quantity::{Angle, Kind, Length, Mass, Moment, Quantity};
use serde::Deserialize;
use toml::Table;

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Side {
    Forward,
    Aft,
}

impl Side {
    fn place(self) -> Place {
        match self {
            Self::Forward => Place::Forward,
            Self::Aft => Place::Aft,
        }
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Level {
    surface_mass: Text<Mass>,
    cg_height_within: Text<Length>,
    level_within: Text<Angle>,
}

fn levelling(level: Option<Level>) -> Option<Levelling> {
    level.map(|level| Levelling {
        surface_mass: level.surface_mass.0,
        cg_height_within: level.cg_height_within.0,
        level_within: level.level_within.0,
    })
}

/// Everything that a weighing says, and with a moment what it would read there.
fn results(weighing: &Weighing, at: Option<Text<Moment>>) -> Results {
    let measured = weighing.measure();
    let propagated = &measured.propagated;
    let mut results = Results::new()
        .quantity("static moment", measured.static_moment())
        .quantity("standard uncertainty", measured.standard_uncertainty())
        .quantity("expanded uncertainty", measured.expanded_uncertainty())
        .number("coverage factor", propagated.coverage_factor);
    if let Some(freedom) = propagated.degrees_of_freedom {
        results = results.number("degrees of freedom", freedom);
    }
    if let Some(friction) = measured.friction_moment {
        results = results.quantity("friction moment", friction);
    }
    if let Some(centre) = measured.centre_of_gravity {
        results = results
            .quantity("height of the centre of gravity", centre.height)
            .quantity("uncertainty of the height", centre.standard_uncertainty);
    }
    let moment = Told::In(Kind::Moment);
    for (input, share) in measured.model.inputs.iter().zip(&propagated.shares) {
        let name = format!("contribution of {}", input.name);
        results = results.told(name, share.standard_uncertainty, &moment);
    }
    let Some(at) = some(at) else { return results };
    if let Some(reading) = weighing.method.reading_at(at) {
        results = results.quantity("reading at that moment", reading);
    }
    match weighing.method.slide_at(at) {
        Some(arm) => results.quantity("slide at that moment", arm),
        None => results,
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OfScale {
    readings: Sets<Mass>,
    scale: Instrument<Mass>,
    tare: Option<Text<Mass>>,
    arm: Text<Length>,
    rule: Instrument<Length>,
    levelling: Option<Level>,
    at: Option<Text<Moment>>,
}

/// A scale at the trailing edge.
pub(super) fn trailing_edge_scale(inputs: Table) -> Result<Results, Fault> {
    let of: OfScale = read(inputs)?;
    let weighing = Weighing {
        method: Method::TrailingEdgeScale(ScaleAtArm {
            readings: of.readings.readings()?,
            scale: of.scale.indicator(),
            tare: some(of.tare),
            arm: of.arm.0,
            rule: of.rule.indicator(),
        }),
        levelling: levelling(of.levelling),
        level_within: None,
    };
    Ok(results(&weighing, of.at))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OfHungWeight {
    readings: Sets<Mass>,
    scale: Instrument<Mass>,
    hanger: Option<Text<Mass>>,
    arm: Text<Length>,
    side: Side,
    rule: Instrument<Length>,
    moves_with: Option<Text<Mass>>,
    levelling: Option<Level>,
    at: Option<Text<Moment>>,
}

/// A hung weight that levels the surface.
pub(super) fn hung_weight(inputs: Table) -> Result<Results, Fault> {
    let of: OfHungWeight = read(inputs)?;
    let weighing = Weighing {
        method: Method::HungWeight(HungWeight {
            readings: of.readings.readings()?,
            scale: of.scale.indicator(),
            hanger: some(of.hanger),
            arm: of.arm.0,
            place: of.side.place(),
            rule: of.rule.indicator(),
            moves_with: some(of.moves_with),
        }),
        levelling: levelling(of.levelling),
        level_within: None,
    };
    Ok(results(&weighing, of.at))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OfBeam {
    readings: Sets<Length>,
    rule: Instrument<Length>,
    sliding_mass: Text<Mass>,
    scale: Instrument<Mass>,
    side: Side,
    beam_moment: Text<Moment>,
    beam_uncertainty: Option<Text<Moment>>,
    levelling: Option<Level>,
    at: Option<Text<Moment>>,
}

/// A mass that slides along a beam.
pub(super) fn balance_beam(inputs: Table) -> Result<Results, Fault> {
    let of: OfBeam = read(inputs)?;
    let weighing = Weighing {
        method: Method::BalanceBeam(BalanceBeam {
            readings: of.readings.readings()?,
            rule: of.rule.indicator(),
            sliding_mass: of.sliding_mass.0,
            scale: of.scale.indicator(),
            place: of.side.place(),
            beam_moment: of.beam_moment.0,
            beam_uncertainty: some(of.beam_uncertainty),
        }),
        levelling: levelling(of.levelling),
        level_within: None,
    };
    Ok(results(&weighing, of.at))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OfSupport {
    readings: Sets<Mass>,
    scale: Instrument<Mass>,
    support_mass: Text<Mass>,
    arm: Text<Length>,
    rule: Instrument<Length>,
    side: Side,
    bearing_within: Option<Text<Length>>,
    levelling: Option<Level>,
    at: Option<Text<Moment>>,
}

/// A platform scale under a support.
pub(super) fn support_scale(inputs: Table) -> Result<Results, Fault> {
    let of: OfSupport = read(inputs)?;
    let weighing = Weighing {
        method: Method::SupportScale(SupportScale {
            readings: of.readings.readings()?,
            scale: of.scale.indicator(),
            support_mass: of.support_mass.0,
            arm: of.arm.0,
            rule: of.rule.indicator(),
            place: of.side.place(),
            bearing_within: some(of.bearing_within),
        }),
        levelling: levelling(of.levelling),
        level_within: None,
    };
    Ok(results(&weighing, of.at))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OfPart {
    name: String,
    mass: Text<Mass>,
    /// From the datum, aft positive.
    arm: Text<Length>,
    change: Change,
    mass_within: Option<Text<Mass>>,
    arm_within: Option<Text<Length>>,
}

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Change {
    Added,
    Removed,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OfParts {
    start: Text<Moment>,
    start_uncertainty: Option<Text<Moment>>,
    part: Vec<OfPart>,
    scale: Option<Instrument<Mass>>,
    rule: Option<Instrument<Length>>,
}

impl OfPart {
    fn part(self) -> Part {
        Part {
            name: self.name,
            mass: self.mass.0,
            arm: self.arm.0,
            change: match self.change {
                Change::Added => 1.0,
                Change::Removed => -1.0,
            },
            mass_within: some(self.mass_within),
            arm_within: some(self.arm_within),
        }
    }
}

/// A list of parts added and removed.
pub(super) fn parts_list(inputs: Table) -> Result<Results, Fault> {
    let of: OfParts = read(inputs)?;
    let weighing = Weighing {
        method: Method::PartsList(PartsList {
            start: of.start.0,
            start_uncertainty: some(of.start_uncertainty),
            parts: of.part.into_iter().map(OfPart::part).collect(),
            scale: of.scale.map(|scale| scale.indicator()),
            rule: of.rule.map(|rule| rule.indicator()),
        }),
        levelling: None,
        level_within: None,
    };
    Ok(results(&weighing, None))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OfAttitudes {
    readings: Sets<Mass>,
    tilted: Sets<Mass>,
    scale: Instrument<Mass>,
    tare: Option<Text<Mass>>,
    arm: Text<Length>,
    rule: Instrument<Length>,
    angle: Text<Angle>,
    level_tool: Instrument<Angle>,
    surface_mass: Text<Mass>,
    level_within: Option<Text<Angle>>,
    at: Option<Text<Moment>>,
}

/// Readings level and tilted.
pub(super) fn two_attitudes(inputs: Table) -> Result<Results, Fault> {
    let of: OfAttitudes = read(inputs)?;
    let level = ScaleAtArm {
        readings: of.readings.readings()?,
        scale: of.scale.indicator(),
        tare: some(of.tare),
        arm: of.arm.0,
        rule: of.rule.indicator(),
    };
    let weighing = Weighing {
        method: Method::TwoAttitudes(TwoAttitudes {
            level,
            tilted: of.tilted.readings()?,
            angle: of.angle.0,
            level_tool: of.level_tool.indicator(),
            surface_mass: of.surface_mass.0,
        }),
        levelling: None,
        level_within: some(of.level_within),
    };
    Ok(results(&weighing, of.at))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OfStation {
    arm: Text<Length>,
    side: Side,
    arm_within: Option<Text<Length>>,
    capacity: Option<Text<Mass>>,
    removable: Option<Text<Mass>>,
    step: Option<Text<Mass>>,
}

impl OfStation {
    fn station(&self) -> Station {
        Station {
            arm: self.arm.0 * self.side.place().sign(),
            arm_within: some(self.arm_within),
            capacity: some(self.capacity),
            removable: some(self.removable),
            step: some(self.step),
        }
    }
}

/// A trailing-edge weighing without tare, for corrections.
fn weighed(reading: Mass, arm: Length, scale: Mass, rule: Length) -> Result<Weighing, Fault> {
    let series = Series::new(vec![reading.si()]).ok_or_else(|| bad("the reading is not finite"))?;
    Ok(Weighing {
        method: Method::TrailingEdgeScale(ScaleAtArm {
            readings: Readings::AtRest(series),
            scale: uncertified(scale),
            tare: None,
            arm,
            rule: uncertified(rule),
        }),
        levelling: None,
        level_within: None,
    })
}

fn uncertified<Q>(resolution: Q) -> Indicator<Q> {
    Indicator { resolution, calibration: None }
}

fn corrected(weighing: &Weighing, measured: &Measured, station: &Station, aim: Moment) -> Results {
    let correction = station.correct(measured, aim);
    let sign = match correction.action {
        Action::Add => 1.0,
        Action::Remove => -1.0,
        Action::None => 0.0,
    };
    let results = Results::new()
        .quantity("mass", correction.mass)
        .quantity("mass added", correction.mass * sign)
        .quantity("rounded mass", correction.mass_rounded)
        .quantity("uncertainty of the mass", correction.mass_standard_uncertainty)
        .quantity("predicted moment", correction.predicted_moment);
    match weighing.method.reading_at(correction.predicted_moment) {
        Some(reading) => results.quantity("predicted reading", reading),
        None => results,
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OfCorrection {
    reading: Text<Mass>,
    arm: Text<Length>,
    scale_resolution: Option<Text<Mass>>,
    rule_resolution: Option<Text<Length>>,
    aim: Text<Moment>,
    station: OfStation,
}

/// The correction at a station, from a reading and an aim.
pub(super) fn correction(inputs: Table) -> Result<Results, Fault> {
    let of: OfCorrection = read(inputs)?;
    let scale = some(of.scale_resolution).unwrap_or(Mass::ZERO);
    let rule = some(of.rule_resolution).unwrap_or(Length::ZERO);
    let weighing = weighed(of.reading.0, of.arm.0, scale, rule)?;
    Ok(corrected(&weighing, &weighing.measure(), &of.station.station(), of.aim.0))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OfReading {
    reading: Text<Mass>,
    goal: Text<Mass>,
    arm: Text<Length>,
    station: OfStation,
}

/// The correction at a station, from a reading and a goal reading at the same arm.
pub(super) fn correction_of_reading(inputs: Table) -> Result<Results, Fault> {
    let of: OfReading = read(inputs)?;
    let weighing = weighed(of.reading.0, of.arm.0, Mass::ZERO, Length::ZERO)?;
    let goal = weighed(of.goal.0, of.arm.0, Mass::ZERO, Length::ZERO)?;
    let aim = goal.measure().static_moment();
    Ok(corrected(&weighing, &weighing.measure(), &of.station.station(), aim))
}
