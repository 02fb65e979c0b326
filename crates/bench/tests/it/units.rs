//! Results in the other system: the same numbers in other units.

use hingeline_bench::words::{self, Voice};
use hingeline_bench::{Assessment, JobSheet, System, assess, with_unit};
use hingeline_quantity::{Quantity, unit};
use std::fs;

fn demo(name: &str) -> Assessment {
    let path = format!("{}/../../demo/{name}", env!("CARGO_MANIFEST_DIR"));
    let text = fs::read_to_string(path).expect("a demo sheet");
    assess(JobSheet::parse(&text).expect("a sheet"), None)
}

fn said(assessment: &Assessment) -> (String, [String; 3]) {
    let voice = Voice::of(assessment.last(), assessment.sheet.limits.units);
    (words::verdict(assessment.last(), &voice), words::limits(assessment, &voice))
}

#[test]
fn a_result_speaks_in_the_other_system() {
    let inch = demo("HP-0231-elevator.toml");
    let metric = inch.in_system(System::Metric);
    assert_eq!(said(&inch).0, "Outside the approved limits: 1.78 in-lb tail-heavy");
    assert_eq!(said(&metric).0, "Outside the approved limits: 20.5 kg·mm tail-heavy");
    assert_eq!(said(&metric).1[0], "46.08498 kg·mm nose-heavy");
    let moment = |assessment: &Assessment| assessment.last().measured.static_moment().si().to_bits();
    assert_eq!(moment(&inch), moment(&metric), "only the words change");
}

#[test]
fn there_and_back_says_the_same() {
    for name in ["HP-0228-aileron.toml", "HP-0229-tab.toml", "HP-0231-elevator.toml", "HP-0236-elevator.toml"]
    {
        let own = demo(name);
        let units = own.sheet.limits.units;
        let other = own.in_units(units.other());
        assert_ne!(said(&other).0, said(&own).0, "{name}");
        assert_ne!(other.sheet.limits.units.customary(), units.customary(), "{name}");
        assert_eq!(said(&own.in_system(System::AsLimits)), said(&own), "{name}");
        assert_eq!(said(&other.in_units(units)).0, said(&own).0, "{name}");
    }
}

#[test]
fn a_word_of_an_address_is_read_back() {
    for (word, system) in System::ALL {
        assert_eq!(System::read(word), system);
        assert_eq!(system.word(), word);
    }
    assert_eq!(System::read("furlong"), System::AsLimits);
}

#[test]
fn a_bare_number_gets_the_unit_of_its_field_and_nothing_else_does() {
    for (typed, read) in [
        ("0,360", "0,360 kg"),
        (" 0.2 ", "0.2 kg"),
        ("165 g", "165 g"),
        ("1 lb 2 oz", "1 lb 2 oz"),
        ("abc", "abc"),
        ("1..2", "1..2"),
        ("", ""),
    ] {
        assert_eq!(with_unit(typed, &unit::KILOGRAM), read);
    }
    assert_eq!(with_unit("17 1/4", &unit::INCH), "17 1/4 in");
    assert_eq!(with_unit("0.5", &unit::DEGREE), "0.5 deg");
    let kilograms =
        hingeline_quantity::Entered::<hingeline_quantity::Mass>::parse("0,360 kg").expect("a mass");
    assert!((kilograms.value.si() - 0.36).abs() < 1e-12);
}

#[test]
fn the_units_of_what_is_typed_are_those_of_the_system() {
    let limits = demo("HP-0231-elevator.toml").sheet.limits.units;
    for (system, mass, length) in
        [(System::AsLimits, "lb", "in"), (System::Customary, "lb", "in"), (System::Metric, "kg", "mm")]
    {
        let units = system.typed(limits);
        assert_eq!((units.mass.symbol, units.length.symbol), (mass, length));
    }
}
