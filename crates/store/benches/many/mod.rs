//! A shop of many jobs, invented and the same every time.
#![allow(dead_code, clippy::unwrap_used, reason = "a bench may stop, and takes a part of this")]

use hingeline_bench::record::deed::{Card, Deed, Field, Fields, Finding, Outcome, Signature};
use hingeline_bench::record::ledger::Draft;
use hingeline_bench::record::sheet::text;
use hingeline_bench::record::way::LOOK;
use hingeline_store::{Store, Write};

/// Jobs written in one transaction.
const BATCH: usize = 2_000;
pub(crate) const SURFACES: [&str; 5] =
    ["right elevator half", "left elevator half", "rudder", "left aileron", "elevator trim tab"];

pub(crate) fn fill(store: &Store, jobs: u64) {
    for first in (0..jobs).step_by(BATCH) {
        let writes: Vec<Write> = (first..jobs).take(BATCH).flat_map(job).collect();
        store.append(&writes).unwrap();
    }
}

pub(crate) fn pick(words: [&'static str; 5], number: u64) -> &'static str {
    words[usize::try_from(number % 5).unwrap()]
}
pub(crate) fn number(job: u64) -> String {
    format!("HP-{job:06}")
}
pub(crate) fn part(surface: u64) -> String {
    format!("SK12-{}-{}", 10 + surface % 7, 200 + surface % 31)
}
pub(crate) fn serial(surface: u64) -> String {
    format!("{surface:05}")
}
pub(crate) fn aircraft(job: u64) -> String {
    format!("OY-H{:04}", (job / 4) % 3000)
}

fn fields(pairs: &[(&str, &str)]) -> Fields {
    pairs.iter().map(|(key, value)| ((*key).to_owned(), text(*value))).collect()
}

pub(crate) fn identity(job: u64) -> Fields {
    let surface = job / 4;
    fields(&[
        ("number", &number(job)),
        ("surface", pick(SURFACES, surface)),
        ("part", &part(surface)),
        ("serial", &serial(surface)),
        ("aircraft", &aircraft(job)),
        ("work_order", &format!("W-{job}")),
    ])
}

pub(crate) fn draft(ledger: &str, deed: &Deed) -> Draft {
    Draft {
        ledger: ledger.to_owned(),
        at: "2026-10-02T08:00:00Z".to_owned(),
        by: "M. Tarn".to_owned(),
        body: serde_json::to_string(deed).unwrap(),
    }
}

/// The whole way of a job; every fiftieth is not released yet.
pub(crate) fn job(job: u64) -> Vec<Write> {
    let signature = || Signature {
        name: "M. Tarn".to_owned(),
        certificate: "T-4471".to_owned(),
        kind: "airframe".to_owned(),
        statement: "balanced by the approved data".to_owned(),
        weighing: 6,
        head: "0".repeat(64),
    };
    let in_order = Finding { state: "in order".to_owned(), text: String::new() };
    let mut deeds = vec![
        Deed::Received { job: identity(job) },
        Deed::Looked {
            findings: LOOK.iter().map(|(item, _)| ((*item).to_owned(), in_order.clone())).collect(),
        },
        Deed::JudgedBy { card: 1, content: card() },
        weighed("as found", 0.031),
        Deed::Corrected {
            station: "horn weight, front face".to_owned(),
            action: "add".to_owned(),
            mass: "0.38 lb".to_owned(),
            what: "lead cap, lot 4, two screws".to_owned(),
        },
        weighed("as left", -0.02),
        Deed::SignedOff(signature()),
        Deed::Inspected(signature()),
        Deed::Released { log_text: "balanced by SK12 repair manual, 55-20, revision 4".to_owned() },
    ];
    deeds.truncate(if job.is_multiple_of(50) { 6 } else { 9 });
    let ledger = format!("job {}", number(job));
    deeds.iter().map(|deed| Write { draft: draft(&ledger, deed), seen: 0 }).collect()
}

fn card() -> Card {
    let mut limits = fields(&[
        ("source", "SK12 repair manual, 55-20, revision 4"),
        ("from", "4.0 in-lb nose-heavy"),
        ("to", "0 in-lb"),
        ("aim", "2.0 in-lb nose-heavy"),
    ]);
    let configuration = ["final paint", "tab fitted and locked at neutral", "hinge bearings clean and dry"];
    limits.insert("configuration".to_owned(), Field::List(configuration.map(str::to_owned).to_vec()));
    let station = fields(&[("name", "horn weight, front face"), ("arm", "6.5 in"), ("side", "forward")]);
    Card {
        title: "elevator half".to_owned(),
        parts: vec!["SK12-*".to_owned()],
        limits,
        stations: vec![station],
        outline: Fields::new(),
    }
}

fn weighed(stage: &str, moment_kg_m: f64) -> Deed {
    let mut weighing = fields(&[
        ("stage", stage),
        ("method", "trailing-edge scale"),
        ("date", "2026-10-02"),
        ("scale", "S-2"),
        ("rule", "R-1"),
        ("arm", "17 1/4 in"),
        ("tare", "0.06 lb"),
    ]);
    weighing.insert(
        "raising".to_owned(),
        Field::List(["1.34 lb", "1.35 lb", "1.33 lb"].map(str::to_owned).to_vec()),
    );
    weighing.insert(
        "lowering".to_owned(),
        Field::List(["1.28 lb", "1.29 lb", "1.28 lb"].map(str::to_owned).to_vec()),
    );
    let instruments = vec![
        fields(&[("id", "S-2"), ("kind", "scale"), ("resolution", "0.01 lb"), ("due", "2027-03-01")]),
        fields(&[("id", "R-1"), ("kind", "rule"), ("resolution", "1/32 in")]),
    ];
    let outcome = Outcome {
        moment_kg_m: moment_kg_m.to_string(),
        expanded_kg_m: "0.0021385".to_owned(),
        verdict: if moment_kg_m < 0.0 { "within" } else { "outside" }.to_owned(),
        doubt: "clear".to_owned(),
        band_kg_m: ("-0.046085".to_owned(), "0".to_owned()),
        reasons: vec![],
    };
    Deed::Weighed { weighing, instruments, before: None, struck: vec![], outcome }
}
