//! The drawings of a job: its bench to scale, and its band.

use super::{last_voice, tone};
use crate::drawing::{
    BandDrawing, BandPoint, BenchDrawing, Heavy, Mark, Method as Drawn, Part, PointKind, ScaleBar,
    SecondAttitude, Station,
};
use hingeline_balance::Method;
use hingeline_bench::taken::Typed;
use hingeline_bench::words::{self, Voice};
use hingeline_bench::{Assessment, Stage, Weighed};
use hingeline_quantity::{Moment, Quantity, Side, unit};

/// The bench of the last weighing, to scale.
#[must_use]
pub fn bench_drawing(assessment: &Assessment) -> BenchDrawing {
    let last = assessment.last();
    let moment = last.measured.static_moment();
    let outline = assessment.sheet.outline;
    let ways = words::ways(assessment, &last_voice(assessment));
    let stations = assessment.corrections.iter().zip(ways);
    let (device_label, reading_label) = (device(assessment, last), reading(assessment, last));
    BenchDrawing {
        method: drawn(&last.taken.weighing.method),
        arm_m: arm(&last.taken.weighing.method),
        arm_label: arm_label(assessment, last),
        reading_label,
        device_label,
        stations: stations.map(|(station, way)| self::station(station, way)).collect(),
        heavy: heavy(moment),
        heavy_label: last_voice(assessment).moment(moment),
        second: second(last),
        parts: parts(&last.taken.weighing.method),
        scale_bar: scale_bar(assessment),
        nose_m: outline.nose.map(|nose| -nose.si()),
        trailing_edge_m: outline.trailing_edge.map(Quantity::si),
    }
}

fn drawn(method: &Method) -> Drawn {
    match method {
        Method::TrailingEdgeScale(_) => Drawn::TrailingEdgeScale,
        Method::HungWeight(_) => Drawn::HungWeight,
        Method::BalanceBeam(_) => Drawn::BalanceBeam,
        Method::SupportScale(_) => Drawn::SupportScale,
        Method::PartsList(_) => Drawn::PartsList,
        Method::TwoAttitudes(_) => Drawn::TwoAttitudes,
    }
}

/// Where the measuring device bears, aft positive.
fn arm(method: &Method) -> f64 {
    match method {
        Method::TrailingEdgeScale(at) => at.arm.si(),
        Method::TwoAttitudes(two) => two.level.arm.si(),
        Method::HungWeight(hung) => hung.place.sign() * hung.arm.si(),
        Method::SupportScale(support) => support.place.sign() * support.arm.si(),
        Method::BalanceBeam(beam) => beam.place.sign() * beam.readings.mean(),
        Method::PartsList(_) => 0.0,
    }
}

fn heavy(moment: Moment) -> Heavy {
    match moment.side() {
        Side::TailHeavy => Heavy::TailHeavy,
        Side::NoseHeavy => Heavy::NoseHeavy,
        Side::Balanced => Heavy::Balanced,
    }
}

fn typed(weighed: &Weighed, word: &str) -> Option<String> {
    weighed.taken.typed.iter().find(|typed| typed.word == word).map(|typed| typed.texts.join(", "))
}

/// The arm as typed; for a beam the mean position of its sliding mass.
fn arm_label(assessment: &Assessment, weighed: &Weighed) -> String {
    match &weighed.taken.weighing.method {
        Method::BalanceBeam(beam) => {
            let unit = assessment.sheet.limits.units.length;
            let mean = hingeline_quantity::significant(beam.readings.mean() / unit.factor, 3);
            format!("{mean} {} {}", unit.symbol, beam.place.word())
        }
        _ => typed(weighed, "arm").unwrap_or_default(),
    }
}

fn device(assessment: &Assessment, weighed: &Weighed) -> String {
    let mut instruments = weighed.taken.instruments.iter().map(|&index| &assessment.sheet.instruments[index]);
    let Some(scale) = instruments.find(|instrument| instrument.kind.word() == "scale") else {
        return String::new();
    };
    match &weighed.taken.weighing.method {
        Method::HungWeight(_) | Method::BalanceBeam(_) => format!("weighed on {}", scale.id),
        _ => format!("scale {}", scale.id),
    }
}

/// What the scale showed, or where the slide stood: the mean, in the unit it was typed in.
fn reading(assessment: &Assessment, weighed: &Weighed) -> String {
    let method = &weighed.taken.weighing.method;
    let Some(readings) = method.readings() else {
        return String::new();
    };
    let is_series = |typed: &&Typed| ["readings", "raising", "lowering"].contains(&typed.word.as_str());
    let units = assessment.sheet.limits.units;
    let first = weighed.taken.typed.iter().find(is_series).and_then(|typed| typed.numbers.first());
    let unit = first.map_or(units.mass, |(_, unit)| unit);
    let text =
        format!("{} {}", hingeline_quantity::significant(readings.mean() / unit.factor, 3), unit.symbol);
    let slide = matches!(method, Method::BalanceBeam(_));
    if slide { format!("slide at {text}") } else { text }
}

fn station(station: &hingeline_bench::StationCorrection, note: String) -> Station {
    Station {
        name: station.station.name.clone(),
        arm_m: station.station.station.arm.si(),
        arm_label: station.station.typed_arm.clone(),
        note,
    }
}

fn second(weighed: &Weighed) -> Option<SecondAttitude> {
    let Method::TwoAttitudes(two) = &weighed.taken.weighing.method else {
        return None;
    };
    let label =
        format!("{}, trailing edge {}", typed(weighed, "second angle")?, typed(weighed, "trailing edge")?);
    // In the drawing an angle is positive with the trailing edge down.
    Some(SecondAttitude { angle_rad: -two.angle.si(), label })
}

fn parts(method: &Method) -> Vec<Part> {
    let Method::PartsList(list) = method else {
        return Vec::new();
    };
    list.parts.iter().map(|part| Part { arm_m: part.arm.si(), label: part.name.clone() }).collect()
}

/// A round length of about a fifth of what is drawn, in the sheet's own system.
fn scale_bar(assessment: &Assessment) -> ScaleBar {
    let last = assessment.last();
    let arms = assessment.corrections.iter().map(|station| station.station.station.arm.si());
    let parts = parts(&last.taken.weighing.method).into_iter().map(|part| part.arm_m);
    let outline = assessment.sheet.outline;
    let ends = [
        outline.nose.map(|nose| -nose.si()),
        outline.trailing_edge.map(Quantity::si),
        Some(arm(&last.taken.weighing.method)),
    ];
    let all: Vec<f64> = arms.chain(parts).chain(ends.into_iter().flatten()).chain([0.0]).collect();
    let width = all.iter().copied().fold(f64::MIN, f64::max) - all.iter().copied().fold(f64::MAX, f64::min);
    let length = assessment.sheet.limits.units.length.symbol;
    let (unit, steps) = if [unit::INCH.symbol, unit::FOOT.symbol].contains(&length) {
        (&unit::INCH, [0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0])
    } else {
        (&unit::MILLIMETRE, [10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0])
    };
    let fits = |step: &&f64| **step * unit.factor <= 0.35 * width;
    let step = steps.iter().rev().find(fits).unwrap_or(&steps[0]);
    ScaleBar { length_m: step * unit.factor, label: format!("{step} {}", unit.symbol) }
}

/// The approved band with every weighing on it.
#[must_use]
pub fn band_drawing(assessment: &Assessment) -> BandDrawing {
    let band = &assessment.sheet.limits.band;
    let voice = last_voice(assessment);
    let [from, to, aim] = words::limits(assessment, &voice);
    let mark = |moment: Moment, label: String| Some(Mark { value_kg_m: moment.si(), label });
    BandDrawing {
        from: mark(band.from(), from),
        to: mark(band.to(), to),
        aim: mark(band.aim(), aim),
        zero_label: "0".to_owned(),
        points: assessment.weighings.iter().map(|weighed| point(assessment, weighed)).collect(),
    }
}

fn point(assessment: &Assessment, weighed: &Weighed) -> BandPoint {
    let voice = Voice::of(weighed, assessment.sheet.limits.units);
    let s = weighed.measured.static_moment();
    let u = weighed.measured.expanded_uncertainty();
    BandPoint {
        kind: match weighed.taken.stage {
            Stage::AsFound => PointKind::AsFound,
            Stage::AsLeft => PointKind::AsLeft,
        },
        value_kg_m: s.si(),
        expanded_uncertainty_kg_m: Some(u.si()),
        label: format!("{}: {}", weighed.taken.stage.word(), voice.measured(weighed)),
        tone: tone(weighed),
    }
}
