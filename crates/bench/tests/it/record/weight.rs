//! The balance weights of a job, read from its ledger: castings, fittings, the prediction beside the weighing.

use super::{Ledger, card, fields, weighed};
use hingeline_bench::System;
use hingeline_bench::record::casting;
use hingeline_bench::record::deed::{BeforeWeighing, Deed, Fields, WeightOutcome};
use hingeline_bench::record::expected::expected;
use hingeline_bench::record::job::Job;
use hingeline_bench::record::shop::{Instrument, Shop};
use hingeline_bench::record::weight::{asked, taken};
use hingeline_bench::weight::fitted::{WHOLE, fitted, made_within};
use hingeline_bench::weight::{WeightSheet, Worked, work};
use hingeline_quantity::unit::INCH_POUND;
use jiff::civil::{Date, date};

/// A bar whose arm is not that of its station; its place and its depth are kept within a bound.
const BAR: &str = r#"
[weight]
name = "bar"
measured = "1.725 in-lb tail-heavy"
aim = "2 in-lb nose-heavy"
moment_uncertainty = "0.2 in-lb"
old_arm = "6.5 in"
old_side = "forward"
material = "lead"

[form]
kind = "bar"
height = "0.5 in"
span = "4 in"
face = "rear"
arm = "5 in"
side = "forward"
dimension_within = "0.02 in"
position_within = "0.02 in"

[vary]
what = "depth"
least = "0.1 in"
most = "3 in"

[trim]
tolerance = "0.5 g"
resolution = "0.1 g"

[[tool]]
kind = "saw"
kerf = "1 mm"
most = "1/2 in"

[[tool]]
kind = "file"
most = "0.03 in"
"#;

pub(super) fn bar() -> Worked {
    work(WeightSheet::parse(BAR).expect("a sheet"))
}

/// A job that was weighed as found and has a bar intended; its entry.
pub(super) fn intended() -> (Ledger, u64) {
    intended_after(|ledger| weighed(&ledger.job(), "as found", "0.10 lb"))
}

/// The same with its own weighing as found.
pub(super) fn intended_after(found: impl FnOnce(&Ledger) -> Deed) -> (Ledger, u64) {
    let mut ledger = Ledger::default();
    let job =
        fields(&[("number", "HP-1"), ("surface", "elevator"), ("part", "SK12-55-210"), ("serial", "1")]);
    ledger.write("M. Tarn", &Deed::Received { job });
    ledger.write("M. Tarn", &Deed::JudgedBy { card: 1, content: card() });
    let found = found(&ledger);
    ledger.write("M. Tarn", &found);
    let deed = Deed::WeightIntended {
        sheet: BAR.to_owned(),
        station: "horn".to_owned(),
        weighing: Some(3),
        outcome: WeightOutcome::of(&bar()).expect("a piece"),
        mesh: None,
    };
    let entry = ledger.write("M. Tarn", &deed);
    (ledger, entry)
}

fn cast(ledger: &mut Ledger, weight: u64, step: &str, pairs: &[(&str, &str)]) -> u64 {
    weigh_on(ledger, weight, step, pairs, None)
}

fn weigh_on(
    ledger: &mut Ledger,
    weight: u64,
    step: &str,
    pairs: &[(&str, &str)],
    scale: Option<Fields>,
) -> u64 {
    let (step, cast) = (step.to_owned(), fields(pairs));
    ledger.write("M. Tarn", &Deed::WeightWeighed { weight, step, cast, scale, before: None })
}

pub(super) fn fit(ledger: &mut Ledger, weight: u64, mass: &str) -> u64 {
    fit_piece(ledger, weight, mass, WHOLE)
}

pub(super) fn fit_piece(ledger: &mut Ledger, weight: u64, mass: &str, piece: &str) -> u64 {
    let correction = ledger.write(
        "M. Tarn",
        &Deed::Corrected {
            station: "horn".to_owned(),
            action: "add".to_owned(),
            mass: mass.to_owned(),
            what: "lead bar".to_owned(),
        },
    );
    let piece = piece.to_owned();
    ledger.write("M. Tarn", &Deed::WeightFitted { weight, correction, piece });
    correction
}

fn strike(ledger: &mut Ledger, entry: u64) {
    ledger.write("M. Tarn", &Deed::Mended { entry, reason: "wrong scale".to_owned(), with: None });
}

fn last_mass(job: &Job, weight: u64) -> f64 {
    let worked = job.weight(weight).expect("a weight").worked().expect("a sheet");
    worked.trim.as_ref().expect("a casting").judged.as_ref().expect("judged").mass_kg
}

#[test]
fn entries_of_today_are_read_for_ever() {
    for body in [
        r#"{"deed":"weight-intended","sheet":"[weight]\n","station":"horn","weighing":3,"outcome":{"mass_kg":"0.27","arm_m":"-0.15","moment_kg_m":"-0.043","standard_uncertainty_kg_m":"0.0005","casting_kg":"0.26"}}"#,
        r#"{"deed":"weight-intended","sheet":"","station":"","weighing":null,"outcome":{"mass_kg":"0.27","arm_m":"-0.15","moment_kg_m":"-0.043","standard_uncertainty_kg_m":"0.0005","casting_kg":"0.26"}}"#,
        r#"{"deed":"weight-weighed","weight":4,"step":"as cast","cast":{"mass":"292.1 g"}}"#,
        r#"{"deed":"weight-weighed","weight":4,"step":"as cast","cast":{"mass":"292.1 g"},"scale":{"id":"S-5"},"before":{"zero":"0.0 g","check":""}}"#,
        r#"{"deed":"weight-fitted","weight":4,"correction":9,"piece":"upper half"}"#,
    ] {
        let deed: Deed = serde_json::from_str(body).expect("readable");
        assert_eq!(serde_json::to_string(&deed).expect("JSON"), body);
    }
}

#[test]
fn what_a_job_asks_of_a_weight_is_said_in_its_own_units() {
    let (ledger, _) = intended();
    let (weighing, pairs) = asked(&ledger.job(), "horn");
    assert_eq!(weighing, Some(3));
    let of = |key: &str| pairs.iter().find(|(known, _)| *known == key).map(|(_, value)| value.as_str());
    assert_eq!(of("weight.measured"), Some("1.725 in-lb tail-heavy"));
    assert_eq!(of("weight.aim"), Some("2 in-lb nose-heavy"));
    assert_eq!((of("weight.old_arm"), of("weight.old_side")), (Some("6.5 in"), Some("forward")));
    assert!(of("weight.moment_uncertainty").is_some_and(|text| text.ends_with(" in-lb")));
    assert_eq!(asked(&Job::default(), "nowhere").0, None);
}

#[test]
fn castings_are_worked_out_in_their_order_and_struck_ones_not() {
    let (mut ledger, weight) = intended();
    let first = cast(&mut ledger, weight, "as cast", &[("mass", "330 g")]);
    cast(&mut ledger, weight, "filed", &[("mass", "325 g")]);
    assert!((last_mass(&ledger.job(), weight) - 0.325).abs() < 1e-12);
    assert_eq!(ledger.job().weight(weight).expect("a weight").casts.len(), 2);
    strike(&mut ledger, first);
    assert_eq!(ledger.job().weight(weight).expect("a weight").casts.len(), 1);
    // A weighing of nothing, or of another entry, is none of this weight.
    cast(&mut ledger, weight - 1, "as cast", &[("mass", "1 g")]);
    assert!((last_mass(&ledger.job(), weight) - 0.325).abs() < 1e-12);
}

#[test]
fn a_sheet_without_bounds_for_its_casting_takes_the_usual_ones() {
    let (mut ledger, _) = intended();
    let sheet = BAR.split("[trim]").next().expect("a sheet").to_owned();
    let outcome = WeightOutcome::of(&bar()).expect("a piece");
    let deed = Deed::WeightIntended { sheet, station: String::new(), weighing: None, outcome, mesh: None };
    let weight = ledger.write("M. Tarn", &deed);
    cast(&mut ledger, weight, "as cast", &[("mass", "330 g")]);
    let worked = ledger.job().weight(weight).expect("a weight").worked().expect("a sheet");
    assert_eq!(worked.sheet.trimming.as_ref().expect("trimming").typed_tolerance, "0.5 g");
}

#[test]
fn a_saw_takes_at_its_place_and_a_file_everywhere() {
    let (mut ledger, weight) = intended();
    cast(&mut ledger, weight, "as cast", &[("mass", "340 g")]);
    let worked = ledger.job().weight(weight).expect("a weight").worked().expect("a sheet");
    let sawn = taken(&worked, "saw");
    assert_eq!(sawn[1], ("taken_side", "forward".to_owned()));
    assert!(sawn[0].1.ends_with(" in"), "{sawn:?}");
    assert_eq!(taken(&worked, "file"), []);
    assert_eq!(taken(&worked, "laser"), []);
}

#[test]
fn a_fitted_piece_gives_its_mass_at_its_own_arm() {
    let worked = bar();
    let piece = worked.solution().expect("a piece");
    let gives = fitted(&worked, WHOLE, piece.finished.mass_kg).expect("a moment");
    assert!((gives.moment_kg_m - piece.finished.moment_kg_m).abs() < 1e-12);
    assert!((gives.arm_m - piece.finished.arm_m).abs() < 1e-12);
    // By hand: the depth moves the centre of a bar by half of its own change, its place by the whole of it.
    let within = 0.02 * 0.0254 / 3f64.sqrt();
    let by_hand = piece.finished.mass_kg * within.hypot(0.5 * within);
    assert!((gives.standard_uncertainty - by_hand).abs() < 1e-3 * by_hand, "{gives:?}, by hand {by_hand}");
    // Before it is weighed its mass is uncertain as well.
    assert!(gives.standard_uncertainty < made_within(&worked, piece));
    let half = fitted(&worked, WHOLE, 0.5 * piece.finished.mass_kg).expect("a moment");
    assert!((half.moment_kg_m - 0.5 * piece.finished.moment_kg_m).abs() < 1e-12);
}

#[test]
fn a_weight_predicts_by_its_own_arm_and_is_compared_with_the_weighing_after_it() {
    let (mut ledger, weight) = intended();
    let finished = bar().solution().expect("a piece").finished;
    let correction = fit(&mut ledger, weight, &format!("{} kg", finished.mass_kg));
    let job = ledger.job();
    let meant = job.weight(weight).expect("a weight");
    let compared = job.compared(&meant).expect("a prediction");
    let pound_inches = |kg_m: f64| kg_m / INCH_POUND.factor;
    assert!((pound_inches(compared.predicted.moment_kg_m) + 2.0).abs() < 1e-6, "{compared:?}");
    assert!((pound_inches(compared.before.moment_kg_m) - 1.725).abs() < 1e-9);
    assert_eq!((compared.difference(), compared.explained()), (None, None));
    assert!(job.fitted_by(correction).is_some() && job.fitted_by(correction + 1).is_none());
    // Weighed 0.05 in-lb off, then far off.
    for (reading, agrees) in [("-0.119 lb", true), ("-0.20 lb", false)] {
        let mut ledger = Ledger { heads: ledger.heads.clone(), entries: ledger.entries.clone() };
        let left = weighed(&ledger.job(), "as left", reading);
        ledger.write("M. Tarn", &left);
        let job = ledger.job();
        let compared = job.compared(&job.weight(weight).expect("a weight")).expect("a prediction");
        assert_eq!(compared.explained(), Some(agrees), "{reading}");
        let difference = compared.difference().expect("a difference");
        let weighed = compared.weighed.expect("a weighing").1;
        assert!(
            (difference.moment_kg_m - weighed.moment_kg_m + compared.predicted.moment_kg_m).abs() < 1e-12
        );
        let u = weighed.standard_uncertainty.hypot(compared.before.standard_uncertainty);
        assert!(
            (difference.standard_uncertainty - u.hypot(compared.gives.standard_uncertainty)).abs() < 1e-12
        );
        assert!(compared.sum().iter().any(|line| line.starts_with("difference: ")));
    }
}

#[test]
fn the_next_weighing_is_told_what_to_expect_and_how_far_it_is_from_that() {
    let (mut ledger, weight) = intended();
    fit(&mut ledger, weight, &format!("{} kg", bar().solution().expect("a piece").finished.mass_kg));
    let job = ledger.job();
    let told = expected(&job, &Shop::default(), &Fields::new(), System::AsLimits).expect("an expectation");
    assert!(told.words().starts_with("2.0"), "{}", told.words());
    let left = weighed(&job, "as left", "-0.119 lb");
    ledger.write("M. Tarn", &left);
    let assessment = ledger.job().assessment().expect("weighings").expect("judged");
    let beside = told.against(&assessment).beside.expect("a comparison");
    assert!(beside.contains("within both uncertainties together"), "{beside}");
    // Of a mass that was only typed at a station nobody knows how sure it is.
    let mut plain = Ledger { heads: ledger.heads.clone(), entries: ledger.entries.clone() };
    let what = "slug".to_owned();
    let (station, action) = ("horn".to_owned(), "add".to_owned());
    plain.write("M. Tarn", &Deed::Corrected { station, action, mass: "0.1 lb".to_owned(), what });
    let told = expected(&plain.job(), &Shop::default(), &Fields::new(), System::AsLimits).expect("one");
    assert_eq!(told.standard_uncertainty, None);
}

#[test]
fn without_its_correction_a_weight_is_not_on_the_surface() {
    let (mut ledger, weight) = intended();
    let correction = fit(&mut ledger, weight, "0.3 kg");
    assert_eq!(ledger.job().weight(weight).expect("a weight").fitted.len(), 1);
    strike(&mut ledger, correction);
    let job = ledger.job();
    assert_eq!(job.weight(weight).expect("a weight").fitted, []);
    assert!(job.compared(&job.weight(weight).expect("a weight")).is_none());
    assert!(job.corrections.is_empty());
}

/// A scale as an entry keeps it.
fn letter_scale(step: &str) -> Fields {
    fields(&[
        ("id", "S-5"),
        ("resolution", step),
        ("calibration_uncertainty", "0.2 g"),
        ("due", "2027-05-31"),
    ])
}

#[test]
fn a_casting_counts_with_the_scale_that_it_lay_on() {
    let (mut ledger, weight) = intended();
    let sure = |ledger: &Ledger| {
        let worked = ledger.job().weight(weight).expect("a weight").worked().expect("a sheet");
        let weighings = &worked.sheet.trimming.as_ref().expect("castings").weighings;
        weighings.iter().map(|one| one.standard_uncertainty).collect::<Vec<f64>>()
    };
    cast(&mut ledger, weight, "as cast", &[("mass", "292.1 g")]);
    weigh_on(&mut ledger, weight, "weighed again", &[("mass", "292 g")], Some(letter_scale("1 g")));
    let kg = sure(&ledger);
    // Without a scale that of [trim], 0.1 g; then 1 g with a certificate of 0.2 g, k = 2.
    assert!((kg[0] - 1e-4 / 12f64.sqrt()).abs() < 1e-12, "{kg:?}");
    assert!((kg[1] - (1e-3 / 12f64.sqrt()).hypot(1e-4)).abs() < 1e-12, "{kg:?}");
    // The sheet that is given out says the same.
    let sheet = ledger.job().weight(weight).expect("a weight").on_the_scale(&[]);
    assert!(sheet.contains("calibration_uncertainty = \"0.2 g\""), "{sheet}");
}

#[test]
fn a_fitted_weight_names_the_scales_of_its_castings() {
    let (mut ledger, weight) = intended();
    weigh_on(&mut ledger, weight, "as cast", &[("mass", "292.1 g")], Some(letter_scale("0.1 g")));
    cast(&mut ledger, weight, "weighed again", &[("mass", "292 g")]);
    fit(&mut ledger, weight, "292 g");
    let told = ledger.job().fitted_weights().remove(0);
    let line = |name: &str| {
        let found = told.lines.iter().find(|(known, _)| *known == name);
        found.map(|(_, value)| value.clone()).unwrap_or_default()
    };
    assert_eq!(line("as cast"), "292.1 g on S-5");
    assert_eq!(
        line("casting weighed on"),
        "S-5, step 0.1 g, calibration ± 0.2 g (k = 2), due 2027-05-31; scale not named"
    );
}

#[test]
fn a_scale_past_its_due_date_or_with_a_failed_check_is_kept_so() {
    let mut shop = Shop::default();
    let scale = Instrument {
        fields: letter_scale("0.1 g"),
        check_weight: "200 g".to_owned(),
        check_within: "0.2 g".to_owned(),
        ..Instrument::default()
    };
    shop.instruments.insert("S-5".to_owned(), scale);
    let check = |read: &str| BeforeWeighing { zero: "0.0 g".to_owned(), check: read.to_owned() };
    let on = |read: &str, day: Date| casting::scale(&shop, "S-5", Some(&check(read)), day).expect("a scale");
    assert_eq!(casting::to_look_at(&on("200.1 g", date(2027, 5, 31))), Vec::<String>::new());
    let said = casting::to_look_at(&on("205 g", date(2027, 6, 1)));
    assert_eq!(said[0], "past its due date when it was used");
    assert!(said[1].starts_with("its last check failed: 205 g"), "{said:?}");
    assert_eq!(casting::scale(&shop, "S-9", None, date(2027, 1, 1)), None);
    assert_eq!(casting::check_words(&check("200.1 g")), "0.0 g when empty, 200.1 g with its check weight");
}
