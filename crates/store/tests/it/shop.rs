//! An invented shop to test with, and a look into its database from outside.

use hingeline_bench::record::deed::{Card, Deed, Field, Fields, Outcome, Person, Role, Signature};
use hingeline_bench::record::ledger::{Draft, Stored};
use hingeline_bench::record::sheet::text;
use hingeline_store::{Store, Write};
use rusqlite::Connection;
use std::path::Path;
use tempfile::TempDir;

/// A shop in a folder that goes when it is dropped.
pub(crate) struct Bench {
    pub(crate) folder: TempDir,
    pub(crate) store: Store,
}

pub(crate) fn bench() -> Bench {
    let folder = tempfile::tempdir().expect("a folder");
    let store = Store::open(folder.path()).expect("a store");
    Bench { folder, store }
}

pub(crate) fn draft(ledger: &str, by: &str, deed: &Deed) -> Draft {
    Draft {
        ledger: ledger.to_owned(),
        at: "2026-10-02T08:00:00Z".to_owned(),
        by: by.to_owned(),
        body: serde_json::to_string(deed).expect("JSON"),
    }
}

pub(crate) fn seen(store: &Store, ledger: &str) -> u64 {
    store.entries(ledger).expect("entries").len() as u64
}

pub(crate) fn write(store: &Store, ledger: &str, deed: &Deed) -> Stored {
    let mut draft = draft(ledger, "M. Tarn", deed);
    let seen = seen(store, ledger);
    draft.at = format!("2026-10-{:02}T08:00:00Z", seen + 2);
    store.append(&[Write { draft, seen }]).expect("written").remove(0)
}

pub(crate) fn fields(pairs: &[(&str, &str)]) -> Fields {
    pairs.iter().map(|(key, value)| ((*key).to_owned(), text(*value))).collect()
}

pub(crate) fn received(number: &str, part: &str, serial: &str) -> Deed {
    let mut job = fields(&[("number", number), ("surface", "right elevator half")]);
    job.extend(fields(&[
        ("part", part),
        ("serial", serial),
        ("aircraft", "OY-HGL"),
        ("work_order", "W-77/3"),
    ]));
    Deed::Received { job }
}

pub(crate) fn noted(text: &str) -> Deed {
    Deed::Noted { text: text.to_owned() }
}

pub(crate) fn card() -> Card {
    let limits =
        fields(&[("source", "SK12 repair manual"), ("from", "4 in-lb nose-heavy"), ("to", "0 in-lb")]);
    Card { title: "elevator".to_owned(), parts: vec![], limits, stations: vec![], outline: Fields::new() }
}

pub(crate) fn judged() -> Deed {
    Deed::JudgedBy { card: 1, content: card() }
}

pub(crate) fn weighed(stage: &str, date: &str, moment_kg_m: f64) -> Deed {
    let mut weighing = fields(&[("stage", stage), ("method", "trailing-edge scale"), ("date", date)]);
    weighing.insert("readings".to_owned(), Field::List(vec!["0.10 lb".to_owned()]));
    let within = (-0.046..=0.0).contains(&moment_kg_m);
    let outcome = Outcome {
        moment_kg_m: moment_kg_m.to_string(),
        expanded_kg_m: "0.0021".to_owned(),
        verdict: if within { "within" } else { "outside" }.to_owned(),
        doubt: "clear".to_owned(),
        band_kg_m: ("-0.046".to_owned(), "0".to_owned()),
        reasons: vec![],
    };
    Deed::Weighed { weighing, instruments: vec![], before: None, struck: vec![], outcome }
}

pub(crate) fn corrected(mass: &str) -> Deed {
    Deed::Corrected {
        station: "horn".to_owned(),
        action: "add".to_owned(),
        mass: mass.to_owned(),
        what: "lead cap, lot 4".to_owned(),
    }
}

pub(crate) fn worked(kind: &str) -> Deed {
    Deed::Worked { kind: kind.to_owned(), what: "two coats".to_owned() }
}

pub(crate) fn signature(weighing: u64) -> Signature {
    Signature {
        name: "M. Tarn".to_owned(),
        certificate: "T-4471".to_owned(),
        kind: "airframe".to_owned(),
        statement: "done".to_owned(),
        weighing,
        head: String::new(),
    }
}

pub(crate) fn released() -> Deed {
    Deed::Released { log_text: "balanced".to_owned() }
}

pub(crate) fn mended(entry: u64, with: Option<Deed>) -> Deed {
    Deed::Mended { entry, reason: "misread".to_owned(), with: with.map(Box::new) }
}

pub(crate) fn person(login: &str) -> Deed {
    let person = Person {
        name: "M. Tarn".to_owned(),
        role: Role::Technician,
        also: None,
        certificate: "T-4471".to_owned(),
        kind: "airframe".to_owned(),
        active: true,
    };
    Deed::PersonEntered { login: login.to_owned(), person }
}

/// A job through the bench, from receive to release; gives its ledger.
pub(crate) fn whole_job(store: &Store, number: &str, part: &str, serial: &str) -> String {
    let ledger = format!("job {number}");
    let deeds = [
        received(number, part, serial),
        judged(),
        weighed("as found", "2026-10-02", 0.031),
        corrected("0.4 lb"),
        worked("paint"),
        weighed("as left", "2026-10-06", -0.02),
        Deed::SignedOff(signature(6)),
        Deed::Inspected(signature(6)),
        released(),
    ];
    for deed in &deeds {
        write(store, &ledger, deed);
    }
    ledger
}

/// The database from outside, as another program would open it.
pub(crate) fn database(folder: &Path) -> Connection {
    Connection::open(folder.join("hingeline.db")).expect("a database")
}

/// The same with the triggers that guard the entries taken away.
pub(crate) fn unguarded(folder: &Path) -> Connection {
    let connection = database(folder);
    let drop = "DROP TRIGGER entry_is_never_changed; DROP TRIGGER entry_is_never_removed;
        DROP TRIGGER entry_goes_to_the_end;";
    connection.execute_batch(drop).expect("triggers");
    connection
}

/// Every row of a query, as text.
pub(crate) fn rows(connection: &Connection, query: &str) -> Vec<String> {
    let mut query = connection.prepare(query).expect("SQL");
    let columns = query.column_count();
    let row = |row: &rusqlite::Row<'_>| {
        (0..columns)
            .map(|column| Ok(format!("{:?}", row.get_ref(column)?)))
            .collect::<rusqlite::Result<Vec<_>>>()
    };
    let rows = query.query_map([], row).expect("rows").map(|row| row.expect("a row").join("|"));
    rows.collect()
}

/// All that is derived from the entries.
pub(crate) fn derived(folder: &Path) -> Vec<String> {
    let connection = database(folder);
    let vocabulary = "CREATE VIRTUAL TABLE temp.term USING fts5vocab('main', 'search', 'instance')";
    connection.execute_batch(vocabulary).expect("the search");
    let queries = [
        "SELECT * FROM job ORDER BY id",
        "SELECT * FROM point ORDER BY job, entry",
        "SELECT * FROM event ORDER BY job, entry",
        "SELECT doc, term FROM temp.term ORDER BY doc, term",
    ];
    queries.into_iter().flat_map(|query| rows(&connection, query)).collect()
}
