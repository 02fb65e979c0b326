//! The demo's jobs of these weeks, each at another step: the sheets of the demo, entered as they were worked.

use super::DemoError;
use super::book::{Book, What};
use super::data::fields;
use super::sheet::Sheet;
use hingeline_bench::record::deed::{BeforeWeighing, Deed, Field, Fields, Finding};
use hingeline_bench::record::way::LOOK;
use jiff::civil::{Date, date};

/// The weight of the main job, and how its casting is to be trimmed.
const CAP: &str = include_str!("../../../../demo/weights/HP-0231-horn-cap.toml");
const TRIM: &str = "\n[trim]\ntolerance = \"0.5 g\"\nfor_the_file = \"1 g\"\nresolution = \"0.1 g\"\n\n[[tool]]\nkind = \"saw\"\n\
    kerf = \"1 mm\"\nends = 2\nmost = \"1/2 in\"\n\n[[tool]]\nkind = \"file\"\nmost = \"0.03 in\"\n";
/// A weight whose casting is too heavy.
const NOSE: &str = include_str!("../../../../demo/weights/HP-0236-casting.toml");

/// A piece from a drawing program, and its file.
const MESH: &str = include_str!("../../../../demo/weights/HP-0240-horn-mesh.toml");
/// Holes in an old weight, for the rudder that is too nose-heavy.
const HOLES: &str = r#"
[weight]
name = "rudder, horn weight drilled out"
job = "HP-0239"
measured = "6.785 in-lb nose-heavy"
aim = "2.25 in-lb nose-heavy"
moment_uncertainty = "0.399 in-lb"
material = "lead"

[drill_out]
arm = "9 in"
side = "forward"
diameters = ["3/8 in", "1/2 in"]
point = "118 deg"
deepest = "1.1 in"
most_holes = 8
"#;

/// The surface comes in.
pub(super) fn received(book: &mut Book, day: Date, job: Fields) {
    let number = match job.get("number") {
        Some(Field::Text(number)) => number.clone(),
        _ => String::new(),
    };
    book.job("tarn", day, "06:10", &number, What::Job(Deed::Received { job }));
}

/// The incoming look: all in order, except what is found.
pub(super) fn look(book: &mut Book, day: Date, number: &str, found: &[(&str, &str)]) {
    let finding = |item: &str| {
        let found = found.iter().find(|(known, _)| *known == item);
        let (state, text) = found.map_or(("in order", ""), |(_, text)| ("finding", *text));
        Finding { state: state.to_owned(), text: text.to_owned() }
    };
    let findings = LOOK.iter().map(|(item, _)| ((*item).to_owned(), finding(item))).collect();
    book.job("tarn", day, "06:30", number, What::Job(Deed::Looked { findings }));
}

fn before(zero: &str, check: &str) -> BeforeWeighing {
    BeforeWeighing { zero: zero.to_owned(), check: check.to_owned() }
}

/// Received, looked at, judged and weighed as its sheet says.
fn found(
    book: &mut Book,
    sheet: &Sheet,
    number: &str,
    day: Date,
    seen: &[(&str, &str)],
    check: BeforeWeighing,
) {
    received(book, day, sheet.job.clone());
    look(book, day, number, seen);
    book.job("tarn", day, "06:40", number, What::Judge);
    if let Some(weighing) = sheet.weighings.first() {
        book.job("tarn", day, "07:20", number, What::Weigh(weighing.clone(), check));
    }
}

/// The first weighing of a sheet again, as left, on another day.
fn again(book: &Book, sheet: &Sheet, day: Date, change: &[(&str, &[&str])]) -> Fields {
    let mut weighing = sheet.weighings.first().cloned().unwrap_or_default();
    let date = book.day(day).to_string();
    weighing.extend(fields(&[("stage", "as left"), ("date", &date)]));
    for (key, readings) in change {
        let readings = readings.iter().map(|reading| (*reading).to_owned()).collect();
        weighing.insert((*key).to_owned(), Field::List(readings));
    }
    weighing
}

pub(super) fn jobs(book: &mut Book) -> Result<(), DemoError> {
    released(book)?;
    corrected_next(book)?;
    sent_back(book)?;
    not_valid(book)?;
    planned(book)?;
    waits_for_inspection(book)?;
    drilled_next(book)?;
    just_in(book);
    Ok(())
}

/// HP-0228: corrected, weighed, signed, inspected, released.
fn released(book: &mut Book) -> Result<(), DemoError> {
    let (number, sheet) = ("HP-0228", Sheet::of(book, "HP-0228")?);
    found(book, &sheet, number, date(2026, 9, 14), &[], before("0 g", "1000 g"));
    let deed = Deed::Corrected {
        station: "leading-edge bar, outboard end".to_owned(),
        action: "add".to_owned(),
        mass: "476 g".to_owned(),
        what: "brass plates in the bar, lot MS-40, two screws with thread lock".to_owned(),
    };
    book.job("tarn", date(2026, 9, 16), "11:00", number, What::Job(deed));
    if let Some(weighing) = sheet.weighings.get(1) {
        book.job(
            "tarn",
            date(2026, 9, 17),
            "08:00",
            number,
            What::Weigh(weighing.clone(), before("0 g", "1000 g")),
        );
    }
    book.job("tarn", date(2026, 9, 17), "08:30", number, What::Sign);
    book.job("osterby", date(2026, 9, 18), "09:00", number, What::Inspect);
    book.job("tarn", date(2026, 9, 18), "09:30", number, What::Release);
    Ok(())
}

/// HP-0231, the main job, and HP-0229: weighed as found, outside, still to be corrected.
fn corrected_next(book: &mut Book) -> Result<(), DemoError> {
    let sheet = Sheet::of(book, "HP-0231")?;
    let seen = [("weights", "a corner of the horn weight is torn off, two of six screws are gone")];
    found(book, &sheet, "HP-0231", date(2026, 10, 2), &seen, before("0.00 lb", "5.01 lb"));
    let text = "The missing piece of the weight was not found in the hangar.".to_owned();
    book.job("tarn", date(2026, 10, 2), "06:50", "HP-0231", What::Job(Deed::Noted { text }));
    let cap = What::Weight(format!("{CAP}{TRIM}"), "horn weight, front face");
    book.job("tarn", date(2026, 10, 2), "09:10", "HP-0231", cap);
    let sheet = Sheet::of(book, "HP-0229")?;
    found(book, &sheet, "HP-0229", date(2026, 9, 30), &[], before("0.0 g", "200.0 g"));
    Ok(())
}

/// HP-0235: within, but closer to its limit than the measurement can tell; the inspector sent it back.
fn sent_back(book: &mut Book) -> Result<(), DemoError> {
    let (number, sheet) = ("HP-0235", Sheet::of(book, "HP-0235")?);
    found(book, &sheet, number, date(2026, 10, 20), &[], before("0.00 lb", "20.02 lb"));
    let readings: &[&str] = &["0.92 lb", "0.92 lb", "0.94 lb", "0.92 lb", "0.94 lb"];
    let day = date(2026, 10, 21);
    let weighing = again(book, &sheet, day, &[("readings", readings)]);
    book.job("tarn", day, "08:00", number, What::Weigh(weighing, before("0.00 lb", "20.00 lb")));
    book.job("tarn", day, "08:30", number, What::Sign);
    let reason =
        "The measurement cannot tell on which side of the limit it is. Weigh it with the finer scale.";
    book.job(
        "osterby",
        date(2026, 10, 22),
        "10:00",
        number,
        What::Job(Deed::SentBack { reason: reason.to_owned() }),
    );
    Ok(())
}

/// HP-0236: one item of the configuration was open when it was weighed.
fn not_valid(book: &mut Book) -> Result<(), DemoError> {
    let sheet = Sheet::of(book, "HP-0236")?;
    found(book, &sheet, "HP-0236", date(2026, 10, 5), &[], before("0.00 lb", "5.00 lb"));
    // A piece was drawn first, and is too heavy for its place.
    let drawn = What::Drawn(MESH.replace("HP-0240\"", "HP-0236\""), "horn weight, front face");
    book.job("tarn", date(2026, 10, 5), "09:10", "HP-0236", drawn);
    // The casting came out of its mould too heavy; it is trimmed next.
    let nose = NOSE.replace("[[cast]]\nmass = \"353.4 g\"\n\n", "");
    book.job("tarn", date(2026, 10, 5), "09:30", "HP-0236", What::Weight(nose, "horn weight, front face"));
    book.job("tarn", date(2026, 10, 6), "07:10", "HP-0236", What::Cast("353.4 g", "S-5"));
    Ok(())
}

/// HP-0237: calculated before the work.
fn planned(book: &mut Book) -> Result<(), DemoError> {
    let sheet = Sheet::of(book, "HP-0237")?;
    let seen = [("structure", "rib 4 is cracked at its lightening hole")];
    found(book, &sheet, "HP-0237", date(2026, 10, 12), &seen, before("", ""));
    Ok(())
}

/// HP-0238: weighed as left and signed; the inspector comes next.
fn waits_for_inspection(book: &mut Book) -> Result<(), DemoError> {
    let (number, sheet) = ("HP-0238", Sheet::of(book, "HP-0238")?);
    found(book, &sheet, number, date(2026, 10, 22), &[], before("0.0 oz", "32.0 oz"));
    let day = date(2026, 10, 23);
    let raising: &[&str] = &["2.4 oz", "2.4 oz", "2.5 oz"];
    let weighing = again(book, &sheet, day, &[("raising", raising)]);
    book.job("tarn", day, "08:00", number, What::Weigh(weighing, before("0.0 oz", "32.1 oz")));
    book.job("tarn", day, "08:40", number, What::Sign);
    Ok(())
}

/// HP-0239: too nose-heavy after new, thinner paint; holes in its old weight are meant.
fn drilled_next(book: &mut Book) -> Result<(), DemoError> {
    let (number, sheet) = ("HP-0239", Sheet::of(book, "HP-0235")?);
    let day = date(2026, 10, 22);
    let mut job = sheet.job.clone();
    let reason = "stripped, painted anew in one coat less";
    job.extend(fields(&[("number", number), ("serial", "0044"), ("reason", reason)]));
    received(book, day, job);
    look(book, day, number, &[]);
    book.job("tarn", day, "06:40", number, What::Judge);
    let readings: &[&str] = &["0.36 lb", "0.38 lb", "0.36 lb", "0.38 lb", "0.36 lb"];
    let mut weighing = again(book, &sheet, day, &[("readings", readings)]);
    weighing.extend(fields(&[("stage", "as found")]));
    book.job("tarn", day, "07:20", number, What::Weigh(weighing, before("0.00 lb", "20.00 lb")));
    book.job("tarn", day, "08:30", number, What::Holes(HOLES.to_owned(), "horn weight, lower face"));
    Ok(())
}

/// HP-0240: it came in, and nothing was done yet.
fn just_in(book: &mut Book) {
    let job = fields(&[
        ("number", "HP-0240"),
        ("surface", "elevator trim tab"),
        ("part", "SK12-55-233"),
        ("serial", "0152"),
        ("aircraft", "Skerry SK12, serial 0019"),
        ("work_order", "W-1204"),
        ("shop", super::data::NAME),
        ("reason", "push-rod fitting replaced"),
    ]);
    received(book, date(2026, 10, 23), job);
}
