//! The published shape of the answer to a weight sheet: one JSON object, SI, the unit in each key.
//!
//! Main type: [`WeightAnswer`]. The keys are a contract: keys may be added, none may change its meaning.
//! docs/weight-sheet.md explains each.

mod holding;
mod trimming;

pub use holding::{FasteningPart, MarginPart, RootPart, ThreadPart};
pub use trimming::{InsertPart, RemedyPart, TrimPart, WayPart, state_word};

use super::bolts::Holding;
use super::mesh::MeshFile;
use super::reserve::Beyond;
use super::sheet::Metal;
use super::work::{Standing, Worked};
use hingeline_ballast::design::{self, Form, Half, Kind, Part, Solution, Wanted};
use hingeline_ballast::{Moments, citation};
use hingeline_quantity::{Moment, Quantity};
use serde::Serialize;

/// The answer to a weight sheet.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold; docs/weight-sheet.md explains each")]
pub struct WeightAnswer {
    #[serde(flatten)]
    pub head: HeadPart,
    pub mesh: Option<MeshPart>,
    pub solution: Option<SolutionPart>,
    pub stopped: Option<StoppedPart>,
    pub trim: Option<TrimPart>,
    pub fastening: Option<FasteningPart>,
    pub sources: Vec<SourcePart>,
}

/// What every answer to a weight sheet begins with.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct HeadPart {
    pub program: &'static str,
    pub sheet_fingerprint: String,
    pub name: String,
    pub job: Option<String>,
    pub standing: &'static str,
    pub wanted: WantedPart,
    pub material: MaterialPart,
}

/// The program that worked it out.
pub(super) const PROGRAM: &str = concat!("hingeline ", env!("CARGO_PKG_VERSION"));

/// What the piece must give.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct WantedPart {
    pub moment_kg_m: f64,
    pub side: &'static str,
    pub standard_uncertainty_kg_m: f64,
}

/// The metal.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct MaterialPart {
    pub name: String,
    pub density_kg_m3: f64,
    pub density_standard_uncertainty_kg_m3: f64,
    pub source: String,
    pub grade: &'static str,
}

/// The file that a piece was measured from.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct MeshPart {
    pub file: String,
    pub file_fingerprint: String,
    pub format: String,
    pub unit_m: f64,
    pub axes: &'static str,
    pub triangles: usize,
    pub notes: Vec<String>,
}

/// The piece.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct SolutionPart {
    pub form: &'static str,
    pub dimension: Option<&'static str>,
    pub value_m: Option<f64>,
    pub plates: Option<u32>,
    pub plate_thickness_m: Option<f64>,
    pub remaining_kg_m: f64,
    pub as_cast: WeightPart,
    pub as_drilled: WeightPart,
    pub finished: WeightPart,
    pub parts: Vec<PartPart>,
    pub envelope: EnvelopePart,
    pub halves: Vec<HalfPart>,
    pub naive: Option<NaivePart>,
    pub standard_uncertainty_kg_m: f64,
    pub coverage_factor: f64,
    pub expanded_uncertainty_kg_m: f64,
    pub contributions: Vec<ContributionPart>,
    pub reserve: Option<ReservePart>,
}

/// Mass, arm, moment.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct WeightPart {
    pub mass_kg: f64,
    pub arm_m: f64,
    pub moment_kg_m: f64,
}

/// A row of the table of parts.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct PartPart {
    pub kind: &'static str,
    pub name: String,
    pub mass_kg: f64,
    pub arm_m: f64,
    pub moment_kg_m: f64,
}

/// How far the piece reaches.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct EnvelopePart {
    pub front_m: f64,
    pub rear_m: f64,
    pub top_m: f64,
    pub bottom_m: f64,
    pub swing_m: f64,
    pub span_m: f64,
}

/// One half as cast.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct HalfPart {
    pub name: &'static str,
    pub mass_kg: f64,
    pub arm_m: f64,
    pub moment_kg_m: f64,
}

/// The naive answer.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct NaivePart {
    pub mass_kg: f64,
    pub moment_kg_m: f64,
    pub miss_kg_m: f64,
}

/// A source of uncertainty.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct ContributionPart {
    pub name: String,
    pub standard_uncertainty_kg_m: f64,
    pub share: f64,
}

/// What to cast.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct ReservePart {
    pub moment_kg_m: f64,
    pub mass_kg: f64,
    pub cast_kg: f64,
    pub value_m: Option<f64>,
    pub beyond: Vec<BeyondPart>,
}

/// A limit that the casting breaks with its reserve.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct BeyondPart {
    pub limit: &'static str,
    pub found: f64,
    pub allowed: f64,
    pub unit: &'static str,
}

/// Why there is no piece.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct StoppedPart {
    pub what: String,
    pub hint: &'static str,
    pub shortfall: Option<ShortfallPart>,
}

/// How far it goes, and what is lacking.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct ShortfallPart {
    pub dimension: Option<&'static str>,
    pub limit: &'static str,
    pub value_m: Option<f64>,
    pub plates: Option<f64>,
    pub reached_kg_m: f64,
    pub lacking_kg_m: f64,
    pub lacking_percent: f64,
    pub unrestricted_m: Option<f64>,
    pub unrestricted_plates: Option<f64>,
}

/// A source used.
#[derive(Debug, Serialize, Clone, PartialEq, Eq)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct SourcePart {
    pub key: String,
    pub citation: Option<&'static str>,
    pub grade: &'static str,
}

impl WeightAnswer {
    /// The published answer, worked out by this version of the program.
    #[must_use]
    pub fn of(worked: &Worked) -> Self {
        let sheet = &worked.sheet;
        Self {
            head: HeadPart {
                program: PROGRAM,
                sheet_fingerprint: sheet.fingerprint.clone(),
                name: sheet.name.clone(),
                job: sheet.job.clone(),
                standing: worked.standing().word(),
                wanted: WantedPart::of(sheet.design.wanted),
                material: MaterialPart::of(&sheet.metal),
            },
            mesh: sheet.mesh.as_ref().map(MeshPart::of),
            solution: worked.solution().map(|piece| solution(worked, piece)),
            stopped: worked.outcome.as_ref().err().map(stopped),
            trim: worked.trim.as_ref().map(|trimmed| trimming::trim(worked, trimmed)),
            fastening: worked.screening.as_ref().map(|screening| holding::fastening(worked, screening)),
            sources: sources(worked),
        }
    }
    /// Whether the status of the program is 0.
    #[must_use]
    pub fn is_solved(&self) -> bool {
        self.head.standing == Standing::Solved.word()
    }
}

impl WantedPart {
    pub(super) fn of(wanted: Wanted) -> Self {
        Self {
            moment_kg_m: wanted.moment_kg_m,
            side: Moment::from_si(wanted.moment_kg_m).side().word(),
            standard_uncertainty_kg_m: wanted.standard_uncertainty,
        }
    }
}

impl MaterialPart {
    pub(super) fn of(metal: &Metal) -> Self {
        Self {
            name: metal.name.clone(),
            density_kg_m3: metal.density.kg_m3,
            density_standard_uncertainty_kg_m3: metal.density.standard_uncertainty,
            source: metal.source.clone(),
            grade: metal.grade,
        }
    }
}

impl MeshPart {
    fn of(mesh: &MeshFile) -> Self {
        Self {
            file: mesh.name.clone(),
            file_fingerprint: mesh.fingerprint.clone(),
            format: mesh.format.to_string(),
            unit_m: mesh.unit_m,
            axes: mesh.axes,
            triangles: mesh.triangles,
            notes: mesh.notes.clone(),
        }
    }
}

fn beyond(beyond: &Beyond) -> BeyondPart {
    BeyondPart {
        limit: beyond.limit.name(),
        found: beyond.found,
        allowed: beyond.allowed,
        unit: beyond.unit(),
    }
}

fn weight(mass: &Moments) -> WeightPart {
    let arm_m = mass.centroid().map_or(0.0, |centroid| centroid[0]);
    WeightPart { mass_kg: mass.total, arm_m, moment_kg_m: mass.first[0] }
}

fn solution(worked: &Worked, piece: &Solution) -> SolutionPart {
    let k = worked.sheet.design.accuracy.coverage_factor;
    let plates = match piece.form {
        Form::Plates { count, thickness, .. } => Some((count, thickness)),
        _ => None,
    };
    let envelope = &piece.envelope;
    SolutionPart {
        form: worked.sheet.kind,
        dimension: piece.value.map(|(dimension, _)| dimension.name()),
        value_m: piece.value.map(|(_, value)| value),
        plates: plates.map(|(count, _)| count),
        plate_thickness_m: plates.map(|(_, thickness)| thickness),
        remaining_kg_m: piece.remaining_kg_m,
        as_cast: weight(&piece.as_cast),
        as_drilled: weight(&piece.as_drilled),
        finished: WeightPart {
            mass_kg: piece.finished.mass_kg,
            arm_m: piece.finished.arm_m,
            moment_kg_m: piece.finished.moment_kg_m,
        },
        parts: piece.parts.iter().map(part).collect(),
        envelope: EnvelopePart {
            front_m: envelope.front,
            rear_m: envelope.rear,
            top_m: envelope.top,
            bottom_m: envelope.bottom,
            swing_m: envelope.swing,
            span_m: envelope.span,
        },
        halves: piece.halves.iter().map(half).collect(),
        naive: piece.naive.map(|naive| NaivePart {
            mass_kg: naive.mass_kg,
            moment_kg_m: naive.moment_kg_m,
            miss_kg_m: naive.miss_kg_m,
        }),
        standard_uncertainty_kg_m: piece.standard_uncertainty,
        coverage_factor: k,
        expanded_uncertainty_kg_m: k * piece.standard_uncertainty,
        contributions: contributions(piece),
        reserve: piece.reserve.map(|reserve| ReservePart {
            moment_kg_m: reserve.moment_kg_m,
            mass_kg: reserve.mass_kg,
            cast_kg: reserve.cast_kg,
            value_m: reserve.dimension_m,
            beyond: worked.beyond.iter().map(beyond).collect(),
        }),
    }
}

/// What a part is, in one word.
#[must_use]
pub fn kind_word(kind: Kind) -> &'static str {
    match kind {
        Kind::Metal => "metal",
        Kind::Hole => "hole",
        Kind::Hardware => "hardware",
        Kind::Film => "film",
    }
}

fn part(part: &Part) -> PartPart {
    PartPart {
        kind: kind_word(part.kind),
        name: part.name.clone(),
        mass_kg: part.mass_kg,
        arm_m: part.arm_m,
        moment_kg_m: part.moment_kg_m,
    }
}

fn half(half: &Half) -> HalfPart {
    let WeightPart { mass_kg, arm_m, moment_kg_m } = weight(&half.as_cast);
    HalfPart { name: half.name, mass_kg, arm_m, moment_kg_m }
}

fn contributions(piece: &Solution) -> Vec<ContributionPart> {
    let variance: f64 = piece.contributions.iter().map(|one| one.standard_uncertainty.powi(2)).sum();
    let share = |u: f64| if 0.0 < variance { u * u / variance } else { 0.0 };
    let parts = piece.contributions.iter().map(|one| ContributionPart {
        name: one.name.clone(),
        standard_uncertainty_kg_m: one.standard_uncertainty,
        share: share(one.standard_uncertainty),
    });
    parts.collect()
}

fn stopped(fault: &design::Fault) -> StoppedPart {
    let shortfall = match fault {
        design::Fault::Shortfall(short) => {
            let is_length = short.dimension.is_some();
            let length = |value: f64| is_length.then_some(value);
            let plates = |value: f64| (!is_length).then_some(value);
            Some(ShortfallPart {
                dimension: short.dimension.map(design::Dimension::name),
                limit: short.limit.name(),
                value_m: length(short.value),
                plates: plates(short.value),
                reached_kg_m: short.reached_kg_m,
                lacking_kg_m: short.lacking_kg_m(),
                lacking_percent: short.lacking_percent(),
                unrestricted_m: short.unrestricted.and_then(length),
                unrestricted_plates: short.unrestricted.and_then(plates),
            })
        }
        _ => None,
    };
    StoppedPart { what: fault.to_string(), hint: fault.hint(), shortfall }
}

/// The source of the density.
pub(super) fn metal_source(metal: &Metal) -> SourcePart {
    SourcePart { citation: citation(&metal.source), key: metal.source.clone(), grade: metal.grade }
}

/// The sources of every number that was not entered or is not plain arithmetic, each once, in the order of use.
#[must_use]
pub fn sources(worked: &Worked) -> Vec<SourcePart> {
    let sheet = &worked.sheet;
    let mut used: Vec<(String, &'static str)> = vec![(sheet.metal.source.clone(), sheet.metal.grade)];
    used.extend(sheet.film_sources.iter().cloned());
    let inserts = worked.trim.iter().flat_map(|trimmed| &trimmed.inserts);
    used.extend(inserts.map(|(hand, _)| (hand.source.clone(), hand.grade)));
    if let Some(screening) = &worked.screening {
        let factors = [&screening.factors.ultimate, &screening.factors.fitting];
        let loads = screening.cases.iter().map(|case| &case.factor);
        let strengths = screening.cases.iter().flat_map(|case| &case.margins).map(|margin| &margin.allowable);
        let clamps = screening.clamps.iter();
        let clamps = clamps.flat_map(|clamp| {
            std::iter::once(&clamp.nut_factor).chain(clamp.against.iter().map(|(_, sustained, _)| sustained))
        });
        let threads = sheet.holding.iter().flat_map(Holding::threads);
        used.extend(threads.flat_map(|thread| {
            let (limits, strip) = (&thread.limits, thread.strip());
            [
                (limits.source.to_owned(), limits.grade.words()),
                (strip.source.to_string(), strip.grade.words()),
            ]
        }));
        let cited = loads.chain(factors).chain(strengths).chain(clamps);
        used.extend(cited.map(|cited| (cited.source.to_string(), cited.grade.words())));
    }
    let mut sources: Vec<SourcePart> = Vec::new();
    for (key, grade) in used {
        let source = SourcePart { citation: citation(&key), key, grade };
        if !sources.contains(&source) {
            sources.push(source);
        }
    }
    sources
}
