//! The part of the answer that is about the fastening. Main type: [`FasteningPart`].

use crate::weight::bolts::Holding;
use crate::weight::work::Worked;
use hingeline_ballast::fastening::{Check, Grip, RootLoad, Screening};
use serde::Serialize;

/// The screening of the fastening.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct FasteningPart {
    pub warnings: Vec<String>,
    pub threads: Vec<ThreadPart>,
    pub root: Vec<RootPart>,
    pub margins: Vec<MarginPart>,
}

/// A thread that every bolt pulls on.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct ThreadPart {
    pub name: String,
    pub thread: &'static str,
    pub class: &'static str,
    pub engagement_m: f64,
    pub external_shear_area_m2: f64,
    pub internal_shear_area_m2: f64,
    pub strips_at_n: f64,
    pub source: &'static str,
    pub grade: &'static str,
}

/// What the root of the arm carries under one load.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct RootPart {
    pub load: String,
    pub bending_nm: f64,
    pub torsion_nm: f64,
    pub shear_n: f64,
    pub axial_n: f64,
    pub stress_pa: Option<f64>,
}

/// A margin of safety, for the engineer to confirm.
#[derive(Debug, Serialize)]
#[allow(missing_docs, reason = "the keys say what they hold")]
pub struct MarginPart {
    pub load: String,
    pub check: String,
    pub bolt: Option<usize>,
    pub applied: f64,
    pub allowable: f64,
    pub unit: &'static str,
    pub factor: f64,
    pub margin: f64,
    pub source: String,
    pub grade: &'static str,
}

/// What a margin is about, in words, with the unit of its numbers.
fn check_words(check: &Check) -> (String, &'static str) {
    match check {
        Check::Shear => ("shear".to_owned(), "N"),
        Check::Tension => ("tension".to_owned(), "N"),
        Check::Interaction => ("shear with tension".to_owned(), ""),
        Check::Bearing { plate } => (format!("bearing on {plate}"), "Pa"),
        Check::Stripping { grip } => (format!("stripping of {grip}"), "N"),
        Check::Root => ("root of the arm".to_owned(), "Pa"),
    }
}

fn thread(grip: &Grip) -> ThreadPart {
    let limits = &grip.limits;
    ThreadPart {
        name: grip.name.clone(),
        thread: limits.thread.name,
        class: limits.fit.words(),
        engagement_m: grip.engagement_m,
        external_shear_area_m2: limits.external_shear_area_m2(grip.engagement_m),
        internal_shear_area_m2: limits.internal_shear_area_m2(grip.engagement_m),
        strips_at_n: grip.strip().value,
        source: limits.source,
        grade: limits.grade.words(),
    }
}

fn root_part(load: &str, root: &RootLoad) -> RootPart {
    RootPart {
        load: load.to_owned(),
        bending_nm: root.bending_nm,
        torsion_nm: root.torsion_nm,
        shear_n: root.shear_n,
        axial_n: root.axial_n,
        stress_pa: root.stress_pa,
    }
}

pub(super) fn fastening(worked: &Worked, screening: &Screening) -> FasteningPart {
    let (mut margins, mut root) = (Vec::new(), Vec::new());
    for case in &screening.cases {
        let way = case.direction.words();
        let load = format!("{} g {way}, {}", case.factor.value, case.sense.words(case.direction));
        root.extend(case.root.iter().map(|carried| root_part(&load, carried)));
        margins.extend(case.margins.iter().map(|margin| {
            let (check, unit) = check_words(&margin.check);
            MarginPart {
                load: load.clone(),
                check,
                bolt: margin.bolt,
                applied: margin.applied,
                allowable: margin.allowable.value,
                unit,
                factor: margin.factor,
                margin: margin.margin,
                source: margin.allowable.source.to_string(),
                grade: margin.allowable.grade.words(),
            }
        }));
    }
    let threads = worked.sheet.holding.iter().flat_map(Holding::threads).map(thread).collect();
    let warnings = screening.warnings.iter().map(ToString::to_string).collect();
    FasteningPart { warnings, threads, root, margins }
}
