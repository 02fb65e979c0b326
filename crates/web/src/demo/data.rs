//! The demo's people, instruments and cards.

use super::book::Book;
use super::sheet::Sheet;
use super::{DemoError, PEOPLE, person};
use hingeline_bench::record::deed::{BeforeWeighing, Card, Deed, Field, Fields};
use jiff::civil::{Date, Weekday, date};

/// What the shop is called.
pub(super) const NAME: &str = "Alderbrook Structures";
/// When the shop began to keep its record.
const BEGUN: Date = date(2021, 3, 1);

pub(super) fn people(book: &mut Book) -> Result<(), DemoError> {
    let mut logins: Vec<&str> = PEOPLE.iter().map(|(login, ..)| *login).collect();
    logins.reverse();
    for login in logins {
        let Some(person) = person(login) else { continue };
        book.shop("admin", BEGUN, "07:00", Deed::PersonEntered { login: login.to_owned(), person });
    }
    let (name, approval) = (NAME.to_owned(), String::new());
    book.shop("admin", BEGUN, "07:00", Deed::ShopNamed { name, approval });
    cards(book)
}

pub(super) fn shop(book: &mut Book) {
    scales(book);
    others(book);
    checks(book);
}

/// Words of a table.
pub(super) fn fields(pairs: &[(&str, &str)]) -> Fields {
    let filled = pairs.iter().filter(|(_, value)| !value.is_empty());
    filled.map(|(key, value)| ((*key).to_owned(), Field::Text((*value).to_owned()))).collect()
}

/// An instrument as it is entered after a calibration.
struct Entered<'a> {
    id: &'a str,
    kind: &'a str,
    name: &'a str,
    step: &'a str,
    capacity: &'a str,
    uncertainty: &'a str,
    check: (&'a str, &'a str),
}

impl Entered<'_> {
    fn calibrated(&self, book: &mut Book, certificate: &str, from: Date, due: Option<Date>) {
        let due = due.map_or_else(String::new, |due| book.day(due).to_string());
        let instrument = fields(&[
            ("id", self.id),
            ("kind", self.kind),
            ("resolution", self.step),
            ("capacity", self.capacity),
            ("calibration_uncertainty", self.uncertainty),
            ("certificate", certificate),
            ("due", &due),
        ]);
        let deed = Deed::InstrumentEntered {
            instrument,
            name: self.name.to_owned(),
            check_weight: self.check.0.to_owned(),
            check_within: self.check.1.to_owned(),
            calibrated: book.day(from).to_string(),
        };
        book.shop("sandell", from, "07:30", deed);
    }
}

fn scales(book: &mut Book) {
    let scale = |id, name, step, capacity, uncertainty, check| Entered {
        id,
        kind: "scale",
        name,
        step,
        capacity,
        uncertainty,
        check,
    };
    let s2 = scale("S-2", "hanging scale, 30 lb", "0.01 lb", "30 lb", "0.01 lb", ("5.00 lb", "0.02 lb"));
    s2.calibrated(book, "C-2021-077", BEGUN, Some(date(2023, 3, 1)));
    s2.calibrated(book, "C-2023-101", date(2023, 2, 27), Some(date(2025, 3, 1)));
    s2.calibrated(book, "C-2025-118", date(2025, 2, 26), Some(date(2027, 3, 1)));
    let points = [
        ("0 lb", "0.00 lb"),
        ("2 lb", "2.00 lb"),
        ("5 lb", "4.99 lb"),
        ("10 lb", "9.99 lb"),
        ("20 lb", "19.97 lb"),
    ];
    let points = points.map(|(known, read)| (known.to_owned(), read.to_owned())).to_vec();
    book.shop("sandell", date(2025, 2, 26), "07:45", Deed::LineFitted { id: "S-2".to_owned(), points });
    let day = date(2025, 5, 30);
    let next = Some(date(2027, 5, 31));
    let s4 = scale("S-4", "bench scale, 3 kg", "1 g", "3 kg", "1 g", ("1000 g", "2 g"));
    s4.calibrated(book, "C-2025-160", day, next);
    scale("S-5", "letter scale, 500 g", "0.1 g", "500 g", "0.1 g", ("200 g", "0.2 g")).calibrated(
        book,
        "C-2025-161",
        day,
        next,
    );
    let p1 = scale("P-1", "platform scale, 60 lb", "0.02 lb", "60 lb", "0.02 lb", ("20 lb", "0.04 lb"));
    p1.calibrated(book, "C-2025-104", date(2025, 2, 10), Some(date(2027, 2, 10)));
    let s3 = scale("S-3", "hanging scale, 10 lb", "0.1 oz", "160 oz", "0.1 oz", ("32 oz", "0.2 oz"));
    s3.calibrated(book, "C-2025-199", date(2025, 1, 2), Some(date(2026, 12, 31)));
    let s6 = scale("S-6", "hanging scale, 60 lb", "0.02 lb", "60 lb", "0.02 lb", ("20 lb", "0.04 lb"));
    s6.calibrated(book, "C-2024-210", date(2024, 11, 8), Some(date(2026, 11, 10)));
    let s1 = scale("S-1", "spring scale, 25 lb", "0.05 lb", "25 lb", "0.05 lb", ("", ""));
    s1.calibrated(book, "C-2024-188", date(2024, 9, 30), Some(date(2026, 9, 30)));
}

fn others(book: &mut Book) {
    let rule = |id, name, step| Entered {
        id,
        kind: "rule",
        name,
        step,
        capacity: "",
        uncertainty: "",
        check: ("", ""),
    };
    let r1 = rule("R-1", "steel rule, 24 in", "1/32 in");
    r1.calibrated(book, "C-2021-012", BEGUN, Some(date(2024, 1, 15)));
    r1.calibrated(book, "C-2024-031", date(2024, 1, 12), Some(date(2027, 1, 15)));
    rule("R-3", "steel rule, 600 mm", "1 mm").calibrated(
        book,
        "C-2025-162",
        date(2025, 5, 30),
        Some(date(2027, 5, 31)),
    );
    rule("R-2", "folding rule", "1/16 in").calibrated(book, "", BEGUN, None);
    let reason = "a joint is worn; it reads up to 1/8 in long".to_owned();
    book.shop("sandell", date(2023, 6, 5), "09:00", Deed::InstrumentRetired { id: "R-2".to_owned(), reason });
    let level = Entered {
        id: "L-1",
        kind: "level",
        name: "spirit level with scale",
        step: "0.1 deg",
        capacity: "",
        uncertainty: "",
        check: ("", ""),
    };
    level.calibrated(book, "", BEGUN, None);
}

/// What the check weight of S-2 read beyond five pounds, in hundredths, day by day: it drifts, and one day it hung
/// against the stand.
const OFF: [i32; 40] = [
    0, 0, 1, 0, 0, -1, 0, 0, 1, 0, 0, 1, 0, 0, 1, 0, 1, 0, 0, 1, 1, 0, 1, 3, 0, 1, 0, 1, 1, 0, 1, 1, 0, 1, 1,
    1, 0, 1, 1, 1,
];

fn checks(book: &mut Book) {
    let mut day = date(2026, 8, 31);
    for off in OFF {
        while matches!(day.weekday(), Weekday::Saturday | Weekday::Sunday) {
            day = day.saturating_add(jiff::Span::new().days(1));
        }
        // The day with 3 has a second check, after the scale was hung free.
        let reads = [off].into_iter().chain((off > 2).then_some(0));
        for (turn, off) in reads.enumerate() {
            let check = BeforeWeighing {
                zero: "0.00 lb".to_owned(),
                check: format!("{}.{:02} lb", (500 + off) / 100, (500 + off) % 100),
            };
            let time = if turn == 0 { "05:40" } else { "05:55" };
            book.shop("tarn", day, time, Deed::Checked { id: "S-2".to_owned(), check });
        }
        day = day.saturating_add(jiff::Span::new().days(1));
        if date(2026, 10, 23) < day {
            break;
        }
    }
}

fn cards(book: &mut Book) -> Result<(), DemoError> {
    let elevator = Sheet::of(book, "HP-0231")?.card("SK12 elevator halves", &["SK12-55-209", "SK12-55-210"]);
    let mut earlier = elevator.clone();
    earlier
        .limits
        .insert("source".to_owned(), Field::Text("SK12 repair manual, 55-20, revision 3".to_owned()));
    card(book, date(2021, 3, 3), 1, None, earlier, true);
    let tab = Sheet::of(book, "HP-0229")?.card("SK12 elevator trim tab", &["SK12-55-233"]);
    card(book, date(2021, 4, 12), 2, None, tab, true);
    let rudder = Sheet::of(book, "HP-0235")?.card("SK12 rudder", &["SK12-55-401"]);
    card(book, date(2022, 2, 7), 3, None, rudder.clone(), true);
    let left = Sheet::of(book, "HP-0228")?.card("LN3 left aileron", &["LN3-27-014"]);
    card(book, date(2022, 9, 19), 4, None, left, true);
    let right = Sheet::of(book, "HP-0237")?.card("LN3 right aileron", &["LN3-27-015"]);
    card(book, date(2022, 9, 20), 5, None, right, true);
    let old = Sheet::of(book, "HP-0238")?.card("TR7 elevator, old pattern", &["TR7-310"]);
    card(book, date(2024, 5, 6), 6, None, old, true);
    card(book, date(2025, 11, 10), 7, Some(1), elevator, true);
    let mut next = rudder;
    next.limits.insert("source".to_owned(), Field::Text("SK12 repair manual, 55-40, revision 5".to_owned()));
    next.limits.insert("to".to_owned(), Field::Text("-1.0 in-lb".to_owned()));
    card(book, date(2026, 10, 21), 8, Some(3), next.clone(), false);
    next.title = "SK12 rudder, with servo tab".to_owned();
    next.parts = vec!["SK12-55-40*".to_owned()];
    card(book, date(2026, 3, 9), 9, None, next, false);
    let reason = "the part number would take in the rudder without servo tab".to_owned();
    book.shop("admin", date(2026, 3, 10), "09:00", Deed::CardWithdrawn { card: 9, reason });
    Ok(())
}

fn card(book: &mut Book, day: Date, card: u64, revises: Option<u64>, content: Card, approved: bool) {
    book.shop("sandell", day, "08:00", Deed::CardProposed { card, revises, content });
    if approved {
        let next = day.saturating_add(jiff::Span::new().days(1));
        book.shop("osterby", next, "10:00", Deed::CardApproved { card });
    }
}
