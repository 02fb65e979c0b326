//! Earlier jobs of one surface, serial 0087: paint, a repair, weights added, over the years.

use super::DemoError;
use super::book::{Book, What};
use super::data::fields;
use super::jobs::{look, received};
use super::sheet::Sheet;
use hingeline_bench::record::deed::{BeforeWeighing, Deed, Field, Fields};
use jiff::civil::{Date, date};

/// A weighing: stage, what a scale at the trailing edge would read, sling included, in hundredths of a pound.
type Weighed = (&'static str, i32);

struct Job {
    number: &'static str,
    begun: Date,
    order: &'static str,
    reason: &'static str,
    found: Weighed,
    work: (&'static str, &'static str),
    after: &'static [Weighed],
    correction: Option<[&'static str; 2]>,
}

const JOBS: [Job; 3] = [
    Job {
        number: "HP-0098",
        begun: date(2021, 5, 17),
        order: "W-0412",
        reason: "stripped and repainted",
        found: ("as found", -6),
        work: ("paint", "stripped, primer and two coats"),
        after: &[("as left", -2)],
        correction: None,
    },
    Job {
        number: "HP-0141",
        begun: date(2023, 8, 21),
        order: "W-0735",
        reason: "trailing edge dented by a tow bar",
        found: ("as found", -1),
        work: ("repair", "trailing-edge skin patched between ribs 5 and 7, touched up"),
        after: &[("as left", 11), ("as left", -4)],
        correction: Some(["0.40 lb", "cast lead cap, lot PB-118, two countersunk screws, sealed"]),
    },
    Job {
        number: "HP-0187",
        begun: date(2025, 4, 7),
        order: "W-0990",
        reason: "repainted with the aircraft",
        found: ("as found", -3),
        work: ("paint", "sanded, one coat of colour and clear coat"),
        after: &[("as left", 2)],
        correction: None,
    },
];

pub(super) fn jobs(book: &mut Book) -> Result<(), DemoError> {
    let sheet = Sheet::of(book, "HP-0231")?;
    for job in JOBS {
        one(book, &sheet, &job);
    }
    Ok(())
}

fn one(book: &mut Book, sheet: &Sheet, job: &Job) {
    let number = job.number;
    let day = |after: i32| job.begun.saturating_add(jiff::Span::new().days(after));
    let mut table = sheet.job.clone();
    for (key, value) in fields(&[("number", number), ("work_order", job.order), ("reason", job.reason)]) {
        table.insert(key, value);
    }
    received(book, day(0), table);
    look(book, day(0), number, &[]);
    book.job("tarn", day(0), "06:40", number, What::Judge);
    weigh(book, sheet, day(0), "07:20", number, job.found);
    let (kind, what) = job.work;
    let worked = Deed::Worked { kind: kind.to_owned(), what: what.to_owned() };
    book.job("tarn", day(2), "13:00", number, What::Job(worked));
    for (turn, weighed) in (0..).zip(job.after) {
        if let (1, Some([mass, what])) = (turn, job.correction) {
            correct(book, day(4), number, mass, what);
        }
        weigh(book, sheet, day(3 + turn), "15:00", number, *weighed);
    }
    book.job("tarn", day(4), "15:40", number, What::Sign);
    book.job("osterby", day(4), "16:30", number, What::Inspect);
    book.job("tarn", day(4), "16:50", number, What::Release);
}

fn correct(book: &mut Book, day: Date, number: &str, mass: &str, what: &str) {
    let deed = Deed::Corrected {
        station: "horn weight, front face".to_owned(),
        action: "add".to_owned(),
        mass: mass.to_owned(),
        what: what.to_owned(),
    };
    book.job("tarn", day, "10:30", number, What::Job(deed));
}

/// What the sling weighs, in hundredths of a pound.
const SLING: i32 = 6;

/// The same bench and the same arm as in the sheet of this surface, other readings. What would pull up, and no scale reads
/// through its sling, is levelled by a hung weight.
fn weigh(book: &mut Book, sheet: &Sheet, day: Date, time: &str, number: &str, (stage, mean): Weighed) {
    let mut weighing: Fields = sheet.weighings.first().cloned().unwrap_or_default();
    let date = book.day(day).to_string();
    for (key, value) in fields(&[("stage", stage), ("date", &date)]) {
        weighing.insert(key, value);
    }
    let set = |around: i32| Field::List([0, 1, -1].map(|off| pounds(around + off)).to_vec());
    let (raising, lowering) = if SLING <= mean {
        (set(mean + 3), set(mean - 3))
    } else {
        weighing.remove("tare");
        for (key, value) in fields(&[("method", "hung weight"), ("side", "aft"), ("hanger", "0.01 lb")]) {
            weighing.insert(key, value);
        }
        let hung = SLING - mean - 1;
        (set(hung - 1), set(hung + 1))
    };
    weighing.insert("raising".to_owned(), raising);
    weighing.insert("lowering".to_owned(), lowering);
    let before = BeforeWeighing { zero: "0.00 lb".to_owned(), check: "5.00 lb".to_owned() };
    book.job("tarn", day, time, number, What::Weigh(weighing, before));
}

fn pounds(hundredths: i32) -> String {
    let sign = if hundredths < 0 { "-" } else { "" };
    format!("{sign}{}.{:02} lb", hundredths.abs() / 100, hundredths.abs() % 100)
}
