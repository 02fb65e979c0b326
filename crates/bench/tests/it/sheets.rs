//! A sheet made of pieces, so that each test changes one of them.

use hingeline_bench::{Assessment, Faults, JobSheet, assess};

pub(crate) const HEAD: &str = r#"
[job]
number = "HP-0231"
surface = "right elevator half"
part = "SK12-55-210"
serial = "0087"

[[instrument]]
id = "S-2"
kind = "scale"
resolution = "0.01 lb"
calibration_uncertainty = "0.01 lb"
due = 2027-03-01

[[instrument]]
id = "R-1"
kind = "rule"
resolution = "1/32 in"

[[station]]
name = "horn weight, front face"
arm = "6.5 in"
side = "forward"
capacity = "0.8 lb"
removable = "0.2 lb"
step = "0.01 lb"
"#;

pub(crate) const LIMITS: &str = r#"
[limits]
source = "SK12 repair manual, 55-20, revision 4"
configuration = ["final paint", "tab fitted and locked at neutral", "hinge bearings clean and dry"]
from = "4.0 in-lb nose-heavy"
to = "0 in-lb"
aim = "2.0 in-lb nose-heavy"
"#;

pub(crate) const WEIGHING: &str = r#"
[[weighing]]
stage = "as found"
method = "trailing-edge scale"
date = 2026-10-02
confirmed = ["final paint", "tab fitted and locked at neutral", "hinge bearings clean and dry"]
scale = "S-2"
rule = "R-1"
arm = "17 1/4 in"
tare = "0.06 lb"
readings = ["1.31 lb"]
"#;

/// The sheet of the design, with one text in it changed for another (which must be there).
pub(crate) fn changed(from: &str, to: &str) -> String {
    let whole = format!("{HEAD}{LIMITS}{WEIGHING}");
    assert!(whole.contains(from), "the sheet holds no {from}");
    whole.replacen(from, to, 1)
}

pub(crate) fn with_weighing(weighing: &str) -> String {
    format!("{HEAD}{LIMITS}{weighing}")
}

pub(crate) fn assessed(text: &str) -> Assessment {
    let sheet = JobSheet::parse(text).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    assess(sheet, None)
}

pub(crate) fn told(faults: &Faults) -> String {
    faults
        .faults
        .iter()
        .map(|fault| {
            let allowed = fault.allowed.as_ref().map_or(String::new(), |text| format!("  allowed: {text}\n"));
            let hint = fault.hint.as_ref().map_or(String::new(), |text| format!("  hint: {text}\n"));
            format!("{}:{}: {}\n{allowed}{hint}", fault.line, fault.column, fault.what)
        })
        .collect()
}

const CARD: &str = r#"
[limits]
source = "manual, revision 4"
from = "4.0 in-lb nose-heavy"
to = "0 in-lb"

[[station]]
name = "horn"
arm = "6 1/2 in"
side = "forward"
"#;

#[test]
fn a_card_is_read_as_a_sheet_reads_it() {
    let card = hingeline_bench::CardSheet::parse(CARD).expect("a card");
    assert_eq!(card.limits.source, "manual, revision 4");
    assert_eq!(card.stations[0].typed_arm, "6 1/2 in forward");
}

#[test]
fn a_card_says_all_its_faults_at_once() {
    let text = CARD
        .replace("4.0 in-lb", "4.0")
        .replace("6 1/2 in", "6 1/2 kg")
        .replace("[[station]]", "[[station]]\ncolour = \"red\"");
    let faults = hingeline_bench::CardSheet::parse(&text).expect_err("faults");
    assert_eq!(faults.faults.len(), 3, "{faults:?}");
    let empty = hingeline_bench::CardSheet::parse("[job]\nnumber = \"1\"").expect_err("faults");
    assert_eq!(empty.faults.len(), 3, "no limits, no station, and a job has no place here: {empty:?}");
}

#[test]
fn instruments_are_read_alone() {
    let text = "[[instrument]]\nid = \"S-2\"\nkind = \"scale\"\nresolution = \"0.01 lb\"\n";
    let instruments = hingeline_bench::job_sheet::Instrument::parse_all(text).expect("one");
    assert_eq!(instruments[0].id, "S-2");
    hingeline_bench::job_sheet::Instrument::parse_all(&text.replace("0.01 lb", "0.01 mm"))
        .expect_err("a fault");
}
