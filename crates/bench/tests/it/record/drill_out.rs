//! Holes in an old weight, and pieces that were measured from a file, as the ledger of a job has them.

use super::{Ledger, card, fields, person, weighed};
use hingeline_bench::System;
use hingeline_bench::record::deed::{Deed, DrillOutcome, Field, Fields, NamedFile, Role, WeightOutcome};
use hingeline_bench::record::drill_out::asked;
use hingeline_bench::record::expected::expected;
use hingeline_bench::record::job::Job;
use hingeline_bench::record::shelf::Shelf;
use hingeline_bench::record::shop::Shop;
use hingeline_bench::weight::drill_out::{Drilled, bored_kg, is_near, work};
use hingeline_bench::weight::{DrillSheet, WeightSheet};
use hingeline_quantity::unit::{INCH, INCH_POUND, POUND};
use std::sync::Arc;
use std::sync::atomic::{AtomicU32, Ordering};

/// Weighed 5.175 in-lb nose-heavy, wanted 2 in-lb.
const HOLES: &str = r#"
[weight]
name = "horn weight drilled out"
measured = "5.175 in-lb nose-heavy"
aim = "2 in-lb nose-heavy"
material = "lead"

[drill_out]
arm = "6.35 in"
side = "forward"
diameters = ["1/2 in", "3/4 in"]
point = "118 deg"
deepest = "1.2 in"
most_holes = 6
"#;

fn holes() -> Drilled {
    work(DrillSheet::parse(HOLES).expect("a sheet"))
}

/// A job that is too nose-heavy and has holes intended; their entry.
fn intended() -> (Ledger, u64) {
    let mut ledger = Ledger::default();
    let job =
        fields(&[("number", "HP-1"), ("surface", "elevator"), ("part", "SK12-55-210"), ("serial", "1")]);
    ledger.write("M. Tarn", &Deed::Received { job });
    ledger.write("M. Tarn", &Deed::JudgedBy { card: 1, content: card() });
    let found = weighed(&ledger.job(), "as found", "-0.30 lb");
    ledger.write("M. Tarn", &found);
    let outcome = DrillOutcome::of(&holes()).expect("holes");
    let deed = Deed::DrillOutIntended {
        sheet: HOLES.to_owned(),
        station: "horn".to_owned(),
        weighing: Some(3),
        outcome,
    };
    let entry = ledger.write("M. Tarn", &deed);
    (ledger, entry)
}

/// Holes that are meant and drilled, in any job.
pub(super) fn meant_and_drilled(ledger: &mut Ledger, mass: &str, within: &str) -> u64 {
    let meant = intended().0.job().lines.pop().expect("holes").deed;
    let entry = ledger.write("M. Tarn", &meant);
    drill(ledger, entry, mass, within)
}

fn drill(ledger: &mut Ledger, drill_out: u64, mass: &str, within: &str) -> u64 {
    let [station, action] = ["horn", "remove"].map(str::to_owned);
    let corrected =
        Deed::Corrected { station, action, mass: mass.to_owned(), what: "drilled out".to_owned() };
    let correction = ledger.write("M. Tarn", &corrected);
    let [holes, mass_from] = ["6 × 1/2 in", "weighed"].map(str::to_owned);
    ledger.write(
        "M. Tarn",
        &Deed::DrilledOut { drill_out, correction, holes, mass_from, within: within.to_owned() },
    );
    correction
}

#[test]
fn entries_of_today_are_read_for_ever() {
    for body in [
        r#"{"deed":"drill-out-intended","sheet":"[weight]\n","station":"horn","weighing":3,"outcome":{"holes":4,"diameter_m":"0.009525","tip_depth_m":"0.0112","removed_kg":"0.031","arm_m":"-0.16","change_kg_m":"0.005"}}"#,
        r#"{"deed":"drilled-out","drill_out":4,"correction":5,"holes":"4 × 3/8 in","mass_from":"by its holes","within":""}"#,
        r#"{"deed":"weight-intended","sheet":"","station":"","weighing":null,"outcome":{"mass_kg":"0.27","arm_m":"-0.15","moment_kg_m":"-0.043","standard_uncertainty_kg_m":"0.0005","casting_kg":"0.26"},"mesh":{"name":"horn.stl","file":"00"}}"#,
    ] {
        let deed: Deed = serde_json::from_str(body).expect("a deed");
        assert_eq!(serde_json::to_string(&deed).expect("JSON"), body);
    }
}

#[test]
fn the_mass_that_went_brings_what_the_arm_of_the_holes_says() {
    let (mut ledger, entry) = intended();
    let goes = holes().outcome.expect("holes").removed_kg;
    // By hand: 3.175 in-lb ÷ 6.35 in.
    assert!((goes - 0.5 * POUND.factor).abs() < 1e-9, "{goes}");
    let correction = drill(&mut ledger, entry, "0.5 lb", "0.01 lb");
    let job = ledger.job();
    let brought = job.fitted_by(correction).expect("a moment");
    assert!((brought.moment_kg_m - 3.175 * INCH_POUND.factor).abs() < 1e-12, "{brought:?}");
    let by_hand = 0.01 * POUND.factor * 6.35 * INCH.factor / 3f64.sqrt();
    assert!((brought.standard_uncertainty - by_hand).abs() < 1e-12);
    let compared = job.compared_drilled(&job.drill_outs()[0]).expect("a prediction");
    assert!((compared.predicted.moment_kg_m + 2.0 * INCH_POUND.factor).abs() < 1e-9, "{compared:?}");
    assert!(compared.sum().iter().any(|line| line.starts_with("what the holes took away brings")));
    let told = expected(&job, &Shop::default(), &Fields::new(), System::AsLimits).expect("an expectation");
    assert!(told.standard_uncertainty.is_some() && told.words().starts_with("2.0"), "{}", told.words());
    for (reading, agrees) in [("-0.119 lb", true), ("-0.20 lb", false)] {
        let mut ledger = Ledger { heads: ledger.heads.clone(), entries: ledger.entries.clone() };
        let left = weighed(&ledger.job(), "as left", reading);
        ledger.write("M. Tarn", &left);
        let job = ledger.job();
        let compared = job.compared_drilled(&job.drill_outs()[0]).expect("a prediction");
        assert_eq!(compared.explained(), Some(agrees), "{reading}");
        assert_eq!(agrees, !compared.meaning().expect("words").contains("the place of the holes"));
        let told = &job.fitted_weights()[0];
        let keys: Vec<&str> = told.lines.iter().map(|(key, _)| *key).collect();
        assert_eq!(keys, ["metal", "meant", "drilled", "predicted", "weighed", "difference", "which means"]);
        assert!(told.lines[2].1.contains("6 × 1/2 in: 0.5 lb, weighed at horn, 6.35"), "{told:?}");
    }
}

#[test]
fn a_mass_that_nobody_said_how_closely_is_known_says_nothing_of_the_sum() {
    let (mut ledger, entry) = intended();
    drill(&mut ledger, entry, "0.5 lb", "");
    let told = expected(&ledger.job(), &Shop::default(), &Fields::new(), System::AsLimits).expect("one");
    assert_eq!(told.standard_uncertainty, None);
    let job = ledger.job();
    let compared = job.compared_drilled(&job.drill_outs()[0]).expect("a prediction");
    assert!(compared.sum().iter().any(|line| line.ends_with("its uncertainty not known")));
}

#[test]
fn struck_holes_are_off_the_list_and_their_correction_counts_by_its_station() {
    let (mut ledger, entry) = intended();
    let correction = drill(&mut ledger, entry, "0.5 lb", "");
    let strike = |ledger: &mut Ledger, entry| {
        ledger.write("M. Tarn", &Deed::Mended { entry, reason: "another weight".to_owned(), with: None })
    };
    let mut other = Ledger { heads: ledger.heads.clone(), entries: ledger.entries.clone() };
    strike(&mut other, correction);
    assert!(other.job().drill_outs()[0].done.is_empty(), "without its correction nothing went");
    strike(&mut ledger, entry);
    let job = ledger.job();
    assert!(
        job.drill_outs().is_empty() && job.drill_out(entry).is_none() && job.fitted_by(correction).is_none()
    );
    assert_eq!(job.corrections.len(), 1);
    let tarn = person("M. Tarn", Role::Technician);
    let [holes, mass_from, within] = ["", "", ""].map(str::to_owned);
    let deed = Deed::DrilledOut { drill_out: entry, correction, holes, mass_from, within };
    assert!(job.allows(&deed, &tarn).is_err(), "there are no holes to drill");
}

#[test]
fn what_was_fitted_or_drilled_is_one_correction_of_the_right_kind() {
    let (mut ledger, entry) = intended();
    let tarn = person("M. Tarn", Role::Technician);
    let [holes, mass_from, within] = ["", "", ""].map(str::to_owned);
    let link = |correction| Deed::DrilledOut {
        drill_out: entry,
        correction,
        holes: holes.clone(),
        mass_from: mass_from.clone(),
        within: within.clone(),
    };
    let removed = |action: &str| {
        let [station, action, mass, what] = ["horn", action, "0.1 lb", "drilled out"].map(str::to_owned);
        Deed::Corrected { station, action, mass, what }
    };
    let refused = |job: &Job, correction| {
        job.allows(&link(correction), &tarn).map_err(|refusal| refusal.to_string()).err()
    };
    let none = Some("first: enter the correction that took the mass of the holes away; entry 3 is none");
    assert_eq!(refused(&ledger.job(), 3).as_deref(), none, "a weighing is no correction");
    assert!(refused(&ledger.job(), entry + 1).is_some(), "nothing was entered");
    // Written together with its correction.
    assert_eq!(refused(&ledger.job().after(&removed("remove"), "M. Tarn"), entry + 1), None);
    assert!(refused(&ledger.job().after(&removed("add"), "M. Tarn"), entry + 1).is_some(), "it added mass");
    let correction = drill(&mut ledger, entry, "0.1 lb", "");
    let job = ledger.job();
    assert_eq!(refused(&job, correction).as_deref(), Some("the correction belongs to a weight already"));
    // The link itself may be mended, to its own correction.
    let mend = |correction| Deed::Mended {
        entry: entry + 2,
        reason: "other holes".to_owned(),
        with: Some(Box::new(link(correction))),
    };
    assert_eq!(job.allows(&mend(correction), &tarn), Ok(()));
    assert!(job.allows(&mend(3), &tarn).is_err());
    let piece = "the whole piece".to_owned();
    let fitted = Deed::WeightFitted { weight: entry, correction, piece };
    assert!(job.allows(&fitted, &tarn).is_err());
}

#[test]
fn drilling_takes_signatures_and_meaning_to_does_not() {
    let (ledger, entry) = intended();
    let meant = &ledger.job().lines[3].deed.clone();
    let mut ledger = super::as_left();
    let signature = super::signature(ledger.job().weighings.last().expect("a weighing").entry);
    ledger.write("M. Tarn", &Deed::SignedOff(signature));
    ledger.write("M. Tarn", meant);
    assert!(ledger.job().signed.is_some() && entry == 4);
    let number = ledger.entries.len() as u64;
    drill(&mut ledger, number, "0.1 lb", "");
    assert!(ledger.job().signed.is_none());
}

#[test]
fn the_job_says_what_the_holes_must_bring_and_where() {
    let (ledger, _) = intended();
    let (weighing, asked) = asked(&ledger.job(), "horn");
    let text = |key: &str| asked.iter().find(|(known, _)| *known == key).map(|(_, text)| text.as_str());
    assert_eq!(weighing, Some(3));
    assert_eq!((text("drill_out.arm"), text("drill_out.side")), (Some("6.5 in"), Some("forward")));
    assert!(text("weight.measured").is_some_and(|text| text.contains("nose-heavy")), "{asked:?}");
    assert_eq!(text("weight.name"), Some("elevator, horn: drilled out"));
    assert!(text("space.capacity").is_none() && text("drill_out.removable").is_none(), "{asked:?}");
}

#[test]
fn holes_take_their_volume_and_a_weighed_mass_far_from_it_stands_out() {
    let sheet = holes().sheet;
    // 10 mm × 20 mm to the tip of 118°: 1413.491 mm³ each.
    let kg = bored_kg(&sheet, 3, 0.01, 0.02);
    assert!((kg - 3.0 * 1413.491e-9 * sheet.metal.density.kg_m3).abs() < 2e-8, "{kg}");
    assert!(
        is_near(0.9 * kg, kg) && is_near(1.1 * kg, kg) && !is_near(0.8 * kg, kg) && !is_near(1.2 * kg, kg)
    );
}

#[test]
fn a_sheet_without_holes_is_told_so() {
    for text in ["[weight]\nname = \"w\"\n\n[form]\nkind = \"bar\"\n", "[weight]\nname = \"w\"\n", ""] {
        assert!(DrillSheet::parse(text).is_err(), "{text}");
    }
    let faults = DrillSheet::parse("[form]\nkind = \"bar\"\n").expect_err("a piece");
    assert!(faults.faults[0].what.contains("describes a new piece"), "{faults:?}");
}

const MESH: &str = include_str!("../../../../../demo/weights/HP-0240-horn-mesh.toml");
const HORN: &[u8] = include_bytes!("../../../../../demo/weights/HP-0240-horn.stl");

/// A job with a weight from a file, read from a shelf that has these bytes.
fn drawn(kept: Result<&'static [u8], &'static str>) -> Job {
    let (mut ledger, _) = intended();
    let worked = hingeline_bench::weight::work(
        WeightSheet::parse_with(MESH, &|_: &str| Ok(HORN.to_vec())).expect("the demo"),
    );
    let deed = Deed::WeightIntended {
        sheet: MESH.to_owned(),
        station: "horn".to_owned(),
        weighing: None,
        outcome: WeightOutcome::of(&worked).expect("a piece"),
        mesh: Some(NamedFile {
            name: "HP-0240-horn.stl".to_owned(),
            file: blake3::hash(HORN).to_hex().to_string(),
        }),
    };
    ledger.write("M. Tarn", &deed);
    let shelf = Shelf::new(move |_| kept.map(<[u8]>::to_vec).map_err(str::to_owned));
    Job { shelf, ..ledger.job() }
}

#[test]
fn a_weight_from_a_file_is_worked_out_again_from_the_same_file() {
    let job = drawn(Ok(HORN));
    let weight = job.weights().pop().expect("a weight");
    let worked = weight.worked().expect("a piece");
    assert_eq!(WeightOutcome::of(&worked), Some(weight.outcome.clone()));
    let read = worked.sheet.mesh.as_ref().map(|mesh| mesh.fingerprint.clone());
    assert_eq!(read, weight.mesh.map(|mesh| mesh.file));
}

#[test]
fn a_file_is_read_once_however_often_a_job_is_asked() {
    let read = Arc::new(AtomicU32::new(0));
    let counts = Arc::clone(&read);
    let shelf = Shelf::new(move |_| {
        counts.fetch_add(1, Ordering::SeqCst);
        Ok(HORN.to_vec())
    });
    let job = Job { shelf, ..drawn(Ok(HORN)) };
    for weight in job.weights().iter().chain(&job.weights()) {
        assert!(weight.worked().is_ok() && job.compared(weight).is_none());
    }
    assert_eq!(read.load(Ordering::SeqCst), 1);
    // One more time on the scale is another sheet.
    let cast = Fields::from([("mass".to_owned(), Field::Text("300 g".to_owned()))]);
    assert!(job.weights()[0].worked_with(&cast, None).expect("a piece").trim.is_some());
    assert!(job.weights()[0].worked().expect("a piece").trim.is_none());
}

#[test]
fn a_file_that_is_gone_or_changed_is_told() {
    for (kept, says) in [
        (Err("the record does not have it"), "the record does not have it"),
        (Ok(&b"solid x"[..]), "is not the file"),
    ] {
        let weight = drawn(kept).weights().pop().expect("a weight");
        let faults = weight.worked().expect_err("no file");
        assert!(faults.faults[0].what.contains(says), "{faults:?}");
        assert_eq!(
            weight.name().as_deref(),
            Some("left elevator half, horn weight from the drawing program")
        );
    }
    let without = Job { shelf: Shelf::default(), ..drawn(Ok(HORN)) };
    assert!(without.weights()[0].worked().is_err());
}

#[test]
fn what_a_lost_file_brought_is_not_guessed_by_the_station() {
    let (mut ledger, _) = intended();
    let Deed::WeightIntended { sheet, station, weighing, outcome, mesh } =
        drawn(Ok(HORN)).lines[4].deed.clone()
    else {
        panic!("a weight")
    };
    let weight = ledger.write("M. Tarn", &Deed::WeightIntended { sheet, station, weighing, outcome, mesh });
    let [station, action, mass, what, piece] =
        ["horn", "add", "0.5 lb", "horn", "the whole piece"].map(str::to_owned);
    let correction = ledger.write("M. Tarn", &Deed::Corrected { station, action, mass, what });
    ledger.write("M. Tarn", &Deed::WeightFitted { weight, correction, piece });
    assert!(expected(&ledger.job(), &Shop::default(), &Fields::new(), System::AsLimits).is_none());
    let whole = Job { shelf: Shelf::new(|_| Ok(HORN.to_vec())), ..ledger.job() };
    assert!(expected(&whole, &Shop::default(), &Fields::new(), System::AsLimits).is_some());
}
