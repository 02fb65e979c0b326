//! Lists, search and history.

use crate::shop::{
    bench, corrected, fields, mended, noted, received, released, weighed, whole_job, worked, write,
};
use hingeline_bench::record::deed::Deed;
use hingeline_bench::record::way::Step;
use hingeline_store::{EventKind, Filter, JobRow, State, Store};

fn numbers(rows: &[JobRow]) -> Vec<&str> {
    rows.iter().map(|row| row.number.as_str()).collect()
}

fn found(store: &Store, text: &str) -> Vec<String> {
    store.search(text, 10).expect("a search").into_iter().map(|row| row.number).collect()
}

#[test]
fn a_row_says_how_a_job_stands() {
    let bench = bench();
    whole_job(&bench.store, "HP-1", "SK12-55-210", "0087");
    let rows = bench.store.jobs(&Filter::All, 10, 0).expect("rows");
    let row = &rows[0];
    assert_eq!([&row.number, &row.part, &row.serial], ["HP-1", "SK12-55-210", "0087"]);
    assert_eq!([&row.surface, &row.aircraft, &row.work_order], ["right elevator half", "OY-HGL", "W-77/3"]);
    assert_eq!((row.step, row.state, row.entries), (Step::Receive, State::Released, 9), "nobody looked");
    assert_eq!([&row.opened, &row.changed], ["2026-10-02T08:00:00Z", "2026-10-10T08:00:00Z"]);
    let last = row.last.as_ref().expect("a weighing");
    assert_eq!([&last.stage, &last.verdict, &last.doubt], ["as left", "within", "clear"]);
    assert_eq!(last.moment_kg_m.to_string(), "-0.02");
}

#[test]
fn lists_are_filtered_and_paged_the_newest_first() {
    let bench = bench();
    for number in 1..=5 {
        write(
            &bench.store,
            &format!("job HP-{number}"),
            &received(&format!("HP-{number}"), "SK12-55-210", "0087"),
        );
    }
    write(&bench.store, "job HP-2", &released());
    let mut job = fields(&[("number", "HP-9"), ("aircraft", "D-EABC"), ("part", "LN3"), ("serial", "1")]);
    write(&bench.store, "job HP-9", &Deed::Received { job: job.clone() });
    let list = |filter: &Filter| {
        let rows = bench.store.jobs(filter, 10, 0).expect("rows");
        assert_eq!(bench.store.count(filter).expect("a count"), rows.len() as u64);
        numbers(&rows).join(" ")
    };
    assert_eq!(list(&Filter::All), "HP-9 HP-5 HP-4 HP-3 HP-2 HP-1");
    assert_eq!(list(&Filter::Open), "HP-9 HP-5 HP-4 HP-3 HP-1");
    assert_eq!(list(&Filter::Released), "HP-2");
    assert_eq!(list(&Filter::OfAircraft("oy-hgl".to_owned())), "HP-5 HP-4 HP-3 HP-2 HP-1");
    let part = |part: &str, serial: &str| Filter::OfPart { part: part.to_owned(), serial: serial.to_owned() };
    assert_eq!(list(&part("ln3", "1")), "HP-9");
    assert_eq!(list(&part("LN3", "2")), "");
    assert_eq!(numbers(&bench.store.jobs(&Filter::All, 2, 3).expect("rows")), ["HP-3", "HP-2"]);
    write(&bench.store, "job HP-2", &noted("a remark leaves it released"));
    assert_eq!(list(&Filter::Released), "HP-2");
    write(&bench.store, "job HP-2", &worked("paint"));
    assert_eq!(list(&Filter::Released), "", "work opens it again");
    let aircraft = bench.store.aircraft().expect("aircraft");
    let aircraft: Vec<_> = aircraft.iter().map(|one| (one.name.as_str(), one.jobs, one.open)).collect();
    assert_eq!(aircraft, [("D-EABC", 1, 1), ("OY-HGL", 5, 5)]);
    job.insert("aircraft".to_owned(), hingeline_bench::record::sheet::text("OY-HGL"));
    write(&bench.store, "job HP-9", &mended(1, Some(Deed::Received { job })));
    assert_eq!(bench.store.aircraft().expect("aircraft").len(), 1, "the mended one counts");
}

#[test]
fn a_job_is_found_by_any_part_of_what_it_is_known_by() {
    let bench = bench();
    write(&bench.store, "job HP-0231", &received("HP-0231", "SK12-55-210", "0087"));
    write(&bench.store, "job HP-0232", &received("HP-0232", "LN3-27-014", "87"));
    let only = ["HP-0231"];
    for text in [
        "HP-0231",
        "hp-0231",
        "0231",
        "231",
        "SK12-55-210",
        "sk12",
        "55-2",
        "K12",
        "210 hp",
        "0231 elev",
        "0087",
    ] {
        assert_eq!(found(&bench.store, text), only, "{text}");
    }
    for text in ["HP", "h", "elevator", "LEVATOR", "hgl", "oy-hgl", "W-77/3", "77", "right half", "2"] {
        assert_eq!(found(&bench.store, text), ["HP-0232", "HP-0231"], "{text}");
    }
    for text in ["", " - ", "rudder", "0231 0232", "\"", "*", "hp*0233", "NOT"] {
        assert_eq!(found(&bench.store, text), [""; 0], "{text}");
    }
    assert_eq!(found(&bench.store, "87"), ["HP-0232", "HP-0231"], "the serial number itself first");
}

#[test]
fn what_is_the_text_itself_comes_before_what_is_newer() {
    let bench = bench();
    for number in ["7", "17", "27", "71"] {
        write(&bench.store, &format!("job {number}"), &received(number, "SK12-55-210", "1"));
    }
    assert_eq!(found(&bench.store, "7"), ["7", "71", "27", "17"]);
    assert_eq!(bench.store.search("7", 2).expect("a search").len(), 2);
}

#[test]
fn the_search_follows_a_mended_entry() {
    let bench = bench();
    write(&bench.store, "job HP-1", &received("HP-1", "SK12-55-210", "0087"));
    write(&bench.store, "job HP-1", &mended(1, Some(received("HP-1", "SK12-55-210", "0113"))));
    assert_eq!(found(&bench.store, "0087"), [""; 0]);
    assert_eq!(found(&bench.store, "0113"), ["HP-1"]);
}

#[test]
fn a_long_number_is_found_by_all_of_its_digits() {
    let bench = bench();
    for number in ["20250100012345", "20250100012346"] {
        write(&bench.store, &format!("job {number}"), &received(number, "SK12-55-210", "1"));
    }
    for text in ["20250100012345", "50100012345", "job 20250100012345 elevator"] {
        let wanted: &[&str] = if text.starts_with("job") { &[] } else { &["20250100012345"] };
        assert_eq!(found(&bench.store, text), wanted, "{text}");
    }
    assert_eq!(found(&bench.store, "elevator 2025010001234").len(), 2);
    let words = "x".repeat(60);
    assert_eq!(found(&bench.store, &words), [""; 0]);
}

#[test]
fn letters_beyond_ascii_are_found() {
    let bench = bench();
    let job = fields(&[("surface", "Höhenruder Ø4"), ("part", "руль-7")]);
    write(&bench.store, "job HP-1", &Deed::Received { job });
    for text in ["höhen", "HÖHENRUDER", "ø4", "РУЛЬ", "уль"] {
        assert_eq!(found(&bench.store, text), ["HP-1"], "{text}");
    }
}

#[test]
fn the_history_of_a_surface_runs_through_its_jobs() {
    let bench = bench();
    let store = &bench.store;
    whole_job(store, "HP-1", "SK12-55-210", "0087");
    whole_job(store, "HP-2", "SK12-55-210", "0088");
    let ledger = "job HP-3";
    write(store, ledger, &received("HP-3", "sk12-55-210", "0087"));
    write(store, ledger, &weighed("as found", "2027-03-01", 0.04));
    write(store, ledger, &weighed("as left", "2027-03-03", 0.02));
    write(store, ledger, &corrected("1 lb"));
    write(store, ledger, &mended(3, Some(weighed("as left", "2027-03-02", -0.01))));
    let history = store.history("SK12-55-210", "0087").expect("a history");
    let points: Vec<_> = history
        .points
        .iter()
        .map(|point| (point.job.as_str(), point.entry, point.date.as_str(), point.moment_kg_m.to_string()))
        .collect();
    let wanted = [
        ("HP-1", 3, "2026-10-02", "0.031"),
        ("HP-1", 6, "2026-10-06", "-0.02"),
        ("HP-3", 2, "2027-03-01", "0.04"),
        ("HP-3", 3, "2027-03-02", "-0.01"),
    ];
    assert_eq!(points, wanted.map(|(job, entry, date, moment)| (job, entry, date, moment.to_owned())));
    assert_eq!(history.points[1].band_kg_m.0.to_string(), "-0.046");
    assert_eq!([&history.points[3].verdict, &history.points[3].stage], ["within", "as left"]);
    assert!(history.points[3].valid);
    let events: Vec<_> = history.events.iter().map(|event| (event.job.as_str(), event.entry)).collect();
    assert_eq!(events, [("HP-1", 4), ("HP-3", 4), ("HP-1", 5)], "by the time they were entered");
    let EventKind::Corrected { station, action, mass, what } = &history.events[0].what else {
        panic!("an event")
    };
    assert_eq!([station, action, mass, what], ["horn", "add", "0.4 lb", "lead cap, lot 4"]);
    let worked = EventKind::Worked { kind: "paint".to_owned(), what: "two coats".to_owned() };
    assert_eq!(history.events[2].what, worked);
    assert_eq!(history.events[2].by, "M. Tarn");
    assert_eq!(store.history("SK12-55-210", "1").expect("a history"), hingeline_store::History::default());
}

#[test]
fn a_struck_weighing_leaves_the_history() {
    let bench = bench();
    whole_job(&bench.store, "HP-1", "SK12-55-210", "0087");
    write(&bench.store, "job HP-1", &mended(6, None));
    write(&bench.store, "job HP-1", &mended(4, None));
    let history = bench.store.history("SK12-55-210", "0087").expect("a history");
    assert_eq!((history.points.len(), history.events.len()), (1, 1));
}

#[test]
fn a_date_that_is_none_falls_back_to_the_day_of_the_entry() {
    let bench = bench();
    write(&bench.store, "job HP-1", &received("HP-1", "SK12-55-210", "1"));
    write(&bench.store, "job HP-1", &weighed("as found", "last week", 0.01));
    let history = bench.store.history("SK12-55-210", "1").expect("a history");
    assert_eq!(history.points[0].date, "2026-10-03");
}
