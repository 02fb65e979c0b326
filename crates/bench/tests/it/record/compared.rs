//! A fitted weight beside the weighing after it: halves by themselves, and what two weighings do not know alike.

use super::weight::{bar, fit, fit_piece, intended, intended_after};
use super::{Ledger, fields, weighed};
use hingeline_ballast::design::Film;
use hingeline_bench::record::deed::{Deed, Fields, Outcome};
use hingeline_bench::record::sheet::text;
use hingeline_bench::weight::fitted::{WHOLE, by_the_scale, fitted, pieces};
use hingeline_bench::weight::{WeightSheet, Worked, work};
use hingeline_quantity::Quantity;
use hingeline_quantity::unit::INCH_POUND;

/// A wedge whose lower half reaches further forward; its casting lies on the scale.
const WEDGE: &str = r#"
[weight]
name = "wedge"
moment = "3 in-lb nose-heavy"
material = "lead"

[form]
kind = "outline"
outline = ["5 in forward, 0.5 in below", "5 in forward, 0.5 in above", "5.4 in forward, 0.5 in above", "7 in forward, 0.5 in below"]
halves = "at mid height"
position_within = "0.02 in"

[vary]
what = "span"
least = "0.1 in"
most = "9 in"

[[hardware]]
name = "screw"
mass = "0.01 lb"
arm = "5.5 in"
side = "forward"

[[cast]]
mass = "0.53 lb"

[trim]
tolerance = "0.01 lb"
resolution = "0.001 lb"
"#;

fn wedge() -> Worked {
    work(WeightSheet::parse(WEDGE).expect("a sheet"))
}

/// By hand, from the flat at 5 in: sections 0.4 to 1.2 in and 1.2 to 2.0 in deep over 0.5 in, so areas 0.4 and 0.8 in².
/// A trapezium of depths a and b has its centre (a² + ab + b²)/(3 (a + b)) before the flat: 0.43333 and 0.81667 in;
/// the whole, 0.4 to 2.0 in, 0.68889 in.
#[test]
fn a_half_counts_at_its_own_arm_and_by_its_own_mass() {
    let worked = wedge();
    assert_eq!(pieces(&worked), [WHOLE, "lower half", "upper half"]);
    let inch = 0.0254;
    let arm = |which: &str| fitted(&worked, which, 0.1).expect("a moment").arm_m / inch;
    assert!((arm("upper half") - arm(WHOLE) - (0.688_889 - 0.433_333)).abs() < 1e-5, "{}", arm("upper half"));
    assert!((arm("lower half") - arm(WHOLE) - (0.688_889 - 0.816_667)).abs() < 1e-5, "{}", arm("lower half"));
    let mass = |which: &str| by_the_scale(&worked, which).expect("a casting").mass_kg;
    assert!((mass("upper half") - mass(WHOLE) / 3.0).abs() < 1e-9);
    assert!((mass("lower half") - mass(WHOLE) * 2.0 / 3.0).abs() < 1e-9);
    // Both halves together are the whole.
    let gives = |which: &str| fitted(&worked, which, mass(which)).expect("a moment").moment_kg_m;
    assert!((gives("upper half") + gives("lower half") - gives(WHOLE)).abs() < 1e-12);
}

/// Two pieces of one weight are known no better than the whole: design and place are the same.
#[test]
fn two_pieces_of_one_weight_are_as_sure_as_the_whole() {
    let finished = bar().solution().expect("a piece").finished.mass_kg;
    let (mut ledger, weight) = intended();
    fit(&mut ledger, weight, &format!("{finished} kg"));
    let (mut parted, same) = intended();
    for _ in 0..2 {
        fit_piece(&mut parted, same, &format!("{} kg", 0.5 * finished), "a part");
    }
    let gives = |ledger: &Ledger, weight: u64| {
        let job = ledger.job();
        job.compared(&job.weight(weight).expect("a weight")).expect("a prediction").gives
    };
    let (whole, parts) = (gives(&ledger, weight), gives(&parted, same));
    assert!(0.0 < whole.standard_uncertainty);
    assert!((parts.moment_kg_m - whole.moment_kg_m).abs() < 1e-12);
    assert!((parts.standard_uncertainty - whole.standard_uncertainty).abs() < 1e-12);
}

/// A weighing on a scale whose certificate states 0.02 lb (k = 2), at an arm.
fn on_certified(ledger: &Ledger, stage: &str, reading: &str, arm: &str, certificate: &str) -> Deed {
    let Deed::Weighed { mut weighing, mut instruments, .. } = weighed(&ledger.job(), stage, reading) else {
        panic!("a weighing");
    };
    weighing.insert("arm".to_owned(), text(arm));
    let told: Fields = fields(&[("calibration_uncertainty", "0.02 lb"), ("certificate", certificate)]);
    instruments[0].extend(told);
    let mut sheet = ledger.job().sheet().expect("limits");
    sheet.add(&weighing, &instruments);
    let sheet = hingeline_bench::JobSheet::parse(&sheet.text().expect("TOML")).expect("a sheet");
    let outcome = Outcome::of(&hingeline_bench::assess(sheet, None));
    Deed::Weighed { weighing, instruments, before: None, struck: Vec::new(), outcome }
}

/// By hand: 0.01 lb × 17.25 in is the same 0.1725 in-lb at both, and drops out; at 34.5 in the second has 0.345 in-lb,
/// and 0.1725 remain. Under another certificate nothing is alike.
#[test]
fn one_certificate_at_two_weighings_is_counted_once() {
    for (arm, certificate, shared) in [
        ("17 1/4 in", "C-161", 0.1725 * 0.1725),
        ("34 1/2 in", "C-161", 0.1725 * 0.345),
        ("17 1/4 in", "C-162", 0.0),
    ] {
        let found = |ledger: &Ledger| on_certified(ledger, "as found", "0.10 lb", "17 1/4 in", "C-161");
        let (mut ledger, weight) = intended_after(found);
        fit(&mut ledger, weight, &format!("{} kg", bar().solution().expect("a piece").finished.mass_kg));
        let left = on_certified(&ledger, "as left", "-0.119 lb", arm, certificate);
        ledger.write("M. Tarn", &left);
        let job = ledger.job();
        let compared = job.compared(&job.weight(weight).expect("a weight")).expect("a prediction");
        let (_, after) = compared.weighed.expect("a weighing");
        let squares = [after, compared.before, compared.gives].map(|one| one.standard_uncertainty.powi(2));
        let apart =
            squares.iter().sum::<f64>() - compared.difference().expect("one").standard_uncertainty.powi(2);
        let by_hand = 2.0 * shared * INCH_POUND.factor.powi(2);
        assert!((apart - by_hand).abs() < 1e-9 * squares[0], "{arm} {certificate}: {apart} {by_hand}");
    }
}

/// Without a certificate to tell by, "S/1" and "S/2" are two scales that the shop calls so.
#[test]
fn two_scales_whose_ids_end_in_a_number_are_not_one() {
    for (ids, certificate, shares) in
        [(["S/1", "S/2"], None, false), (["S/1", "S/1"], None, true), (["S-2", "S-2"], Some("C-161"), true)]
    {
        let on = |ledger: &Ledger, stage: &str, reading: &str, id: &str, due: &str| {
            let deed = on_certified(ledger, stage, reading, "17 1/4 in", certificate.unwrap_or("C-1"));
            let Deed::Weighed { mut weighing, mut instruments, before, struck, outcome } = deed else {
                panic!("a weighing");
            };
            weighing.insert("scale".to_owned(), text(id));
            instruments[0].insert("id".to_owned(), text(id));
            if certificate.is_none() {
                instruments[0].remove("certificate");
            } else {
                instruments[0].insert("due".to_owned(), text(due));
            }
            Deed::Weighed { weighing, instruments, before, struck, outcome }
        };
        let found = |ledger: &Ledger| on(ledger, "as found", "0.10 lb", ids[0], "2027-03-01");
        let (mut ledger, weight) = intended_after(found);
        fit(&mut ledger, weight, "0.27 kg");
        let left = on(&ledger, "as left", "-0.119 lb", ids[1], "2027-09-01");
        ledger.write("M. Tarn", &left);
        let job = ledger.job();
        let compared = job.compared(&job.weight(weight).expect("a weight")).expect("a prediction");
        let (_, after) = compared.weighed.expect("a weighing");
        let apart = after.standard_uncertainty.hypot(compared.predicted.standard_uncertainty)
            - compared.difference().expect("one").standard_uncertainty;
        assert_eq!(apart > 1e-3 * after.standard_uncertainty, shares, "{ids:?} {certificate:?}");
    }
}

/// A bar of lead and another one: the uncertainty of both is known, and so is what they bring together.
#[test]
fn a_known_neighbour_counts_with_its_uncertainty() {
    let (mut ledger, weight) = intended();
    let meant = ledger.job().lines.last().expect("a weight").deed.clone();
    let other = ledger.write("M. Tarn", &meant);
    fit(&mut ledger, weight, "0.15 kg");
    fit(&mut ledger, other, "0.12 kg");
    told_alike(&mut ledger, weight);
}

/// A weight, and holes in the old one whose mass is known to a bound.
#[test]
fn a_known_neighbour_may_be_drilled_out() {
    let (mut ledger, weight) = intended();
    fit(&mut ledger, weight, "0.3 kg");
    super::drill_out::meant_and_drilled(&mut ledger, "0.05 lb", "0.01 lb");
    told_alike(&mut ledger, weight);
}

/// The page of the weight and that of the weighing tell the same of a weight beside another correction: the sum with the
/// uncertainty of both, and so whether it explains what was weighed.
fn told_alike(ledger: &mut Ledger, weight: u64) {
    let job = ledger.job();
    let shop = hingeline_bench::record::shop::Shop::default();
    let system = hingeline_bench::System::AsLimits;
    let told = hingeline_bench::record::expected::expected(&job, &shop, &Fields::new(), system)
        .expect("an expectation");
    let u = told.standard_uncertainty.expect("known").si();
    let compared = job.compared(&job.weight(weight).expect("a weight")).expect("a prediction");
    assert!((compared.predicted.moment_kg_m - told.moment.si()).abs() < 1e-12);
    assert!((compared.predicted.standard_uncertainty - u).abs() < 1e-12, "{compared:?} {u}");
    // By hand: what each brings is independent of the other.
    let own: f64 = job
        .corrections
        .iter()
        .map(|(entry, _)| job.fitted_by(*entry).expect("a sheet").standard_uncertainty.powi(2))
        .sum();
    let by_hand = (compared.before.standard_uncertainty.powi(2) + own).sqrt();
    assert!((u - by_hand).abs() < 1e-12 && own > compared.gives.standard_uncertainty.powi(2));
    let left = weighed(&job, "as left", "0.9 lb");
    ledger.write("M. Tarn", &left);
    let job = ledger.job();
    let compared = job.compared(&job.weight(weight).expect("a weight")).expect("a prediction");
    assert_eq!((compared.explained(), compared.holds()), (Some(false), "k = 2"));
}

/// By hand: a screw that is heavier than designed draws the centre of a weighed piece to its own place, so by (its arm −
/// the centre's) × its u, not by its arm × its u. A film: what a little more of it does to S/m, times m.
#[test]
fn with_the_mass_weighed_hardware_and_film_only_move_the_centre() {
    let u_of = |sheet: WeightSheet| {
        let worked = work(sheet);
        let finished = worked.solution().expect("a piece").finished;
        (fitted(&worked, WHOLE, finished.mass_kg).expect("a moment").standard_uncertainty, worked)
    };
    let exact = WEDGE.split("[[cast]]").next().expect("a sheet").replace("position_within = \"0.02 in\"", "");
    let exact = exact.replace("material = \"lead\"", "material = \"lead\"\ndensity = \"11.34 g/cm³\"");
    let read = |text: &str| WeightSheet::parse(text).expect("a sheet");
    assert!(u_of(read(&exact)).0 < 1e-12, "nothing is uncertain");
    let mut sheet = read(&exact);
    sheet.design.hardware[0].standard_uncertainty = 1e-3;
    let (u, worked) = u_of(sheet);
    let x = worked.solution().expect("a piece").finished.arm_m;
    let by_hand = (-5.5 * 0.0254 - x).abs() * 1e-3;
    assert!((u - by_hand).abs() < 1e-9 * by_hand, "{u}, by hand {by_hand}");
    assert!(10.0 * u < 5.5 * 0.0254 * 1e-3, "{u}");

    let mut sheet = read(&exact);
    let (name, kg_m2, standard_uncertainty) = ("primer".to_owned(), 0.2, 0.07);
    sheet.design.films.push(Film { name, kg_m2, standard_uncertainty });
    let (u, worked) = u_of(sheet);
    let piece = worked.solution().expect("a piece");
    let (skin, all) = (piece.body.skin.expect("a skin"), piece.finished);
    let more = 1e-6;
    let moved = (all.moment_kg_m + more * skin.first[0]) / (all.mass_kg + more * skin.area) - all.arm_m;
    let by_hand = (all.mass_kg * moved / more * standard_uncertainty).abs();
    assert!((u - by_hand).abs() < 1e-4 * by_hand, "{u}, by hand {by_hand}");
}

/// Of a plain correction nobody says how closely its mass and its arm are known: what the other uncertainties do not
/// explain, that one may.
#[test]
fn an_uncertainty_that_nobody_stated_is_not_nothing() {
    let meant = |others: bool| {
        let (mut ledger, weight) = intended();
        fit(&mut ledger, weight, &format!("{} kg", bar().solution().expect("a piece").finished.mass_kg));
        if others {
            ledger.write("M. Tarn", &super::corrected());
        }
        let left = weighed(&ledger.job(), "as left", "0.9 lb");
        ledger.write("M. Tarn", &left);
        let job = ledger.job();
        let compared = job.compared(&job.weight(weight).expect("a weight")).expect("a prediction");
        (
            compared.explained(),
            compared.holds(),
            compared.meaning().expect("weighed").contains("nobody stated"),
        )
    };
    assert_eq!(meant(false), (Some(false), "k = 2", false));
    assert_eq!(meant(true), (None, "k = 2, without what nobody stated", true));
}
