//! The record: a job folded from its entries, the rules of who may do what, mends and signatures. The use case of the
//! bench page is in [`weigh`], balance weights are in [`weight`], holes in old ones and
//! pieces from a file in [`drill_out`].

mod compared;
mod drill_out;
mod of_the_day;
mod rules;
mod weigh;
mod weight;

use hingeline_bench::record::deed::{Card, Deed, Field, Fields, Finding, Outcome, Person, Role, Signature};
use hingeline_bench::record::job::{Job, Refusal};
use hingeline_bench::record::ledger::{Draft, Heads, Stored};
use hingeline_bench::record::sheet::text;
use hingeline_bench::record::shop::Shop;
use hingeline_bench::record::way::{LOOK, Step};

/// A ledger being written: the deeds, sealed one after another.
#[derive(Default)]
struct Ledger {
    heads: Heads,
    entries: Vec<Stored>,
}

impl Ledger {
    fn write(&mut self, by: &str, deed: &Deed) -> u64 {
        let stored = self.heads.append(Draft {
            ledger: "job HP-1".to_owned(),
            at: format!("2026-10-02T08:{:02}:00Z", self.entries.len()),
            by: by.to_owned(),
            body: serde_json::to_string(deed).expect("JSON"),
        });
        self.entries.push(stored);
        self.entries.len() as u64
    }
    fn job(&self) -> Job {
        Job::fold(self.entries.iter().map(|stored| &stored.entry)).expect("readable")
    }
}

fn fields(pairs: &[(&str, &str)]) -> Fields {
    pairs.iter().map(|(key, value)| ((*key).to_owned(), text(*value))).collect()
}

fn card() -> Card {
    let mut limits = fields(&[
        ("source", "SK12 repair manual, 55-20, revision 4"),
        ("from", "4.0 in-lb nose-heavy"),
        ("to", "0 in-lb"),
    ]);
    limits.insert("configuration".to_owned(), Field::List(vec!["final paint".to_owned()]));
    let stations = vec![fields(&[("name", "horn"), ("arm", "6.5 in"), ("side", "forward")])];
    Card {
        title: "elevator".to_owned(),
        parts: vec!["SK12-55-*".to_owned()],
        limits,
        stations,
        outline: Fields::new(),
    }
}

/// A weighing with its outcome, as the use case would write it.
fn weighed(job: &Job, stage: &str, reading: &str) -> Deed {
    let mut weighing = fields(&[
        ("stage", stage),
        ("method", "trailing-edge scale"),
        ("date", "2026-10-02"),
        ("scale", "S-2"),
        ("rule", "R-1"),
        ("arm", "17 1/4 in"),
    ]);
    weighing.insert("readings".to_owned(), Field::List(vec![reading.to_owned()]));
    weighing.insert("confirmed".to_owned(), Field::List(vec!["final paint".to_owned()]));
    let instruments = vec![
        fields(&[("id", "S-2"), ("kind", "scale"), ("resolution", "0.01 lb"), ("due", "2027-03-01")]),
        fields(&[("id", "R-1"), ("kind", "rule"), ("resolution", "1/32 in")]),
    ];
    let mut sheet = job.sheet().expect("limits");
    sheet.add(&weighing, &instruments);
    let sheet = hingeline_bench::JobSheet::parse(&sheet.text().expect("TOML")).expect("a sheet");
    let outcome = Outcome::of(&hingeline_bench::assess(sheet, None));
    Deed::Weighed { weighing, instruments, before: None, struck: Vec::new(), outcome }
}

fn signature(weighing: u64) -> Signature {
    Signature {
        name: "M. Tarn".to_owned(),
        certificate: "T-4471".to_owned(),
        kind: "airframe".to_owned(),
        statement: "done".to_owned(),
        weighing,
        head: String::new(),
    }
}

/// The same of the inspector.
fn of_osterby(weighing: u64) -> Signature {
    Signature { name: "J. Osterby".to_owned(), ..signature(weighing) }
}

fn person(name: &str, role: Role) -> Person {
    Person {
        name: name.to_owned(),
        role,
        also: None,
        certificate: "1".to_owned(),
        kind: "airframe".to_owned(),
        active: true,
    }
}

fn corrected() -> Deed {
    Deed::Corrected {
        station: "horn".to_owned(),
        action: "add".to_owned(),
        mass: "0.6 lb".to_owned(),
        what: "lead cap".to_owned(),
    }
}

/// A job up to a weighing as left that is within its limits.
fn as_left() -> Ledger {
    let mut ledger = Ledger::default();
    let job =
        fields(&[("number", "HP-1"), ("surface", "elevator"), ("part", "SK12-55-210"), ("serial", "87")]);
    ledger.write("M. Tarn", &Deed::Received { job });
    let in_order = Finding { state: "in order".to_owned(), text: String::new() };
    let findings = LOOK.iter().map(|(item, _)| ((*item).to_owned(), in_order.clone())).collect();
    ledger.write("M. Tarn", &Deed::Looked { findings });
    ledger.write("M. Tarn", &Deed::JudgedBy { card: 1, content: card() });
    let found = weighed(&ledger.job(), "as found", "0.10 lb");
    ledger.write("M. Tarn", &found);
    ledger.write("M. Tarn", &corrected());
    let left = weighed(&ledger.job(), "as left", "-0.12 lb");
    ledger.write("M. Tarn", &left);
    ledger
}

#[test]
fn a_job_goes_its_way_from_receive_to_release() {
    let mut ledger = as_left();
    assert_eq!(ledger.job().now(), Step::SignOff);
    let signed = Deed::SignedOff(signature(6));
    ledger.job().allows(&signed, &person("M. Tarn", Role::Technician)).expect("allowed");
    ledger.write("M. Tarn", &signed);
    assert_eq!(ledger.job().now(), Step::Inspection);
    let inspected = Deed::Inspected(of_osterby(6));
    ledger.job().allows(&inspected, &person("J. Osterby", Role::Inspector)).expect("allowed");
    ledger.write("J. Osterby", &inspected);
    let released = Deed::Released { log_text: "balanced".to_owned() };
    ledger.job().allows(&released, &person("M. Tarn", Role::Technician)).expect("allowed");
    ledger.write("M. Tarn", &released);
    let job = ledger.job();
    assert!(Step::ALL.iter().all(|(step, ..)| job.missing(*step).is_empty()));
    let mut heads = Heads::default();
    for stored in &ledger.entries {
        heads.take(stored).expect("it fits");
    }
    assert_eq!(heads.entries, 9);
    let assessment = job.assessment().expect("weighings").expect("no fault");
    assert!(assessment.within());
    assert_eq!(assessment.weighings.len(), 2);
}

#[test]
fn steps_say_what_is_missing() {
    let job = Job::default();
    assert_eq!(job.now(), Step::Receive);
    assert_eq!(job.missing(Step::Receive).len(), LOOK.len());
    assert!(job.missing(Step::SignOff).iter().any(|what| what.contains("as left")));
    let mut ledger = as_left();
    ledger.write("M. Tarn", &corrected());
    let missing = ledger.job().missing(Step::AsLeft).join("; ");
    assert!(missing.contains("weigh again"), "{missing}");
}

#[test]
fn the_inspector_is_another_person() {
    let mut ledger = as_left();
    let inspect = Deed::Inspected(of_osterby(6));
    let osterby = person("J. Osterby", Role::Inspector);
    assert!(matches!(ledger.job().allows(&inspect, &osterby), Err(Refusal::Missing { .. })));
    ledger.write("M. Tarn", &Deed::SignedOff(signature(6)));
    assert_eq!(ledger.job().allows(&inspect, &osterby), Ok(()));
    let tarn = person("M. Tarn", Role::Inspector);
    assert!(matches!(ledger.job().allows(&inspect, &tarn), Err(Refusal::NotIndependent { .. })));
    let technician = person("A. Third", Role::Technician);
    assert!(matches!(ledger.job().allows(&inspect, &technician), Err(Refusal::Role { .. })));
}

#[test]
fn a_mend_takes_the_place_and_takes_the_signatures_away() {
    let mut ledger = as_left();
    ledger.write("M. Tarn", &Deed::SignedOff(signature(6)));
    assert!(ledger.job().signed.is_some());
    let with = weighed(&ledger.job(), "as left", "0.08 lb");
    let mend = Deed::Mended { entry: 6, reason: "misread".to_owned(), with: Some(Box::new(with)) };
    ledger.job().allows(&mend, &person("M. Tarn", Role::Technician)).expect("allowed");
    ledger.write("J. Osterby", &mend);
    let job = ledger.job();
    assert!(job.signed.is_none());
    assert_eq!(job.weighings.len(), 2);
    assert_eq!(job.weighings[1].outcome.verdict, "outside");
    assert_eq!(job.lines[5].mended, Some((8, "misread".to_owned())));
    assert!(job.performers.contains("J. Osterby"), "whoever mends takes part");
    let mend = Deed::Mended { entry: 8, reason: "twice".to_owned(), with: None };
    assert!(matches!(
        job.allows(&mend, &person("M. Tarn", Role::Technician)),
        Err(Refusal::NoSuchEntry { .. })
    ));
}

#[test]
fn an_entry_is_mended_again_until_it_is_struck() {
    let mut ledger = as_left();
    let tarn = person("M. Tarn", Role::Technician);
    let mend = |with: Option<&str>| Deed::Mended {
        entry: 5,
        reason: "misread".to_owned(),
        with: with.map(|mass| {
            Box::new(Deed::Corrected {
                station: "horn weight".to_owned(),
                action: "add".to_owned(),
                mass: mass.to_owned(),
                what: "lead cap".to_owned(),
            })
        }),
    };
    for (number, with) in [(7, Some("0.3 lb")), (8, Some("0.31 lb")), (9, None)] {
        let before = ledger.job();
        assert_eq!(before.allows(&mend(with), &tarn), Ok(()));
        ledger.write("M. Tarn", &mend(with));
        let job = ledger.job();
        assert_eq!(job.lines[4].mended.as_ref().map(|(by, _)| *by), Some(number));
        assert_eq!(job.corrections.first().map(|(_, [_, _, mass, _])| mass.as_str()), with);
        assert_eq!(job.stands(5).is_some(), with.is_some());
    }
    let job = ledger.job();
    assert_eq!(job.lines[6].mended.as_ref().map(|(by, _)| *by), Some(9), "an earlier mend is marked too");
    assert_eq!(job.allows(&mend(Some("0.3 lb")), &tarn), Err(Refusal::NoSuchEntry { number: 5 }));
}

#[test]
fn a_struck_weighing_does_not_count() {
    let mut ledger = as_left();
    ledger.write("M. Tarn", &Deed::Mended { entry: 6, reason: "wrong surface".to_owned(), with: None });
    let job = ledger.job();
    assert_eq!(job.weighings.len(), 1);
    assert!(job.missing(Step::AsLeft).join("; ").contains("as left"));
    assert!(job.allows(&Deed::SignedOff(signature(4)), &person("M. Tarn", Role::Technician)).is_err());
}

#[test]
fn work_after_the_signature_takes_it_away() {
    let mut ledger = as_left();
    ledger.write("M. Tarn", &Deed::SignedOff(signature(6)));
    ledger.write("M. Tarn", &Deed::Noted { text: "tag fitted".to_owned() });
    assert!(ledger.job().signed.is_some(), "a remark changes nothing");
    ledger.write("M. Tarn", &corrected());
    assert!(ledger.job().signed.is_none());
}

#[test]
fn a_card_needs_a_second_person_and_a_revision_takes_its_place() {
    let mut shop_ledger = Ledger::default();
    let propose = |revises: Option<u64>| Deed::CardProposed {
        card: revises.map_or(1, |old| old + 1),
        revises,
        content: card(),
    };
    shop_ledger.write("K. Data", &propose(None));
    let fold =
        |ledger: &Ledger| Shop::fold(ledger.entries.iter().map(|stored| &stored.entry)).expect("readable");
    let shop = fold(&shop_ledger);
    assert!(!shop.cards[&1].in_use());
    let approve = |card| Deed::CardApproved { card };
    let author = person("K. Data", Role::DataKeeper);
    let refused = shop.allows(&approve(1), &author).expect_err("refused").to_string();
    assert_eq!(refused, "K. Data proposed card 1, and its approval needs another person");
    assert!(matches!(shop.allows(&approve(1), &person("T", Role::Technician)), Err(Refusal::Role { .. })));
    assert_eq!(shop.allows(&approve(1), &person("J. Osterby", Role::Inspector)), Ok(()));
    shop_ledger.write("J. Osterby", &approve(1));
    shop_ledger.write("K. Data", &propose(Some(1)));
    let shop = fold(&shop_ledger);
    assert!(
        shop.cards[&1].in_use() && !shop.cards[&2].in_use(),
        "the old one serves until the new one is approved"
    );
    shop_ledger.write("J. Osterby", &approve(2));
    let shop = fold(&shop_ledger);
    assert!(!shop.cards[&1].in_use() && shop.cards[&2].in_use());
    assert!(shop.cards[&2].is_for("sk12-55-210") && !shop.cards[&2].is_for("LN3-27-014"));
}

#[test]
fn a_body_that_is_no_deed_is_named() {
    let mut ledger = as_left();
    let stored = ledger.heads.append(Draft {
        ledger: "job HP-1".to_owned(),
        at: String::new(),
        by: String::new(),
        body: "{\"deed\":\"unheard-of\"}".to_owned(),
    });
    ledger.entries.push(stored);
    let error = Job::fold(ledger.entries.iter().map(|stored| &stored.entry)).expect_err("unreadable");
    assert_eq!(error.number, 7);
}

#[test]
fn another_card_judges_the_weighings_anew() {
    let mut ledger = as_left();
    assert!(ledger.job().before_sign_off().is_empty());
    let before = ledger.job().weighings[1].outcome.clone();
    let mut tighter = card();
    tighter.limits.insert("from".to_owned(), text("0.5 in-lb nose-heavy"));
    ledger.write("M. Tarn", &Deed::JudgedBy { card: 2, content: tighter });
    let job = ledger.job();
    assert!(!job.weighings[1].outcome.within(), "{:?}", job.weighings[1].outcome);
    assert_eq!(job.before_sign_off(), ["bring the surface within its limits"]);
    let choice = job.entries;
    ledger.write("M. Tarn", &Deed::Mended { entry: choice, reason: "wrong card".to_owned(), with: None });
    assert_eq!(ledger.job().weighings[1].outcome, before);
}

#[test]
fn a_card_that_cannot_read_the_weighings_leaves_none_valid() {
    let mut ledger = as_left();
    let mut other = card();
    other.limits.insert("configuration".to_owned(), Field::List(vec!["primer only".to_owned()]));
    ledger.write("M. Tarn", &Deed::JudgedBy { card: 2, content: other });
    let missing = ledger.job().before_sign_off().join("; ");
    assert!(missing.contains("the limits chosen now cannot judge it"), "{missing}");
}

#[test]
fn a_voided_signature_says_what_took_it_away() {
    use hingeline_bench::record::signed::Act;
    let mut ledger = as_left();
    let weighing = ledger.job().weighings[1].entry;
    let signed = ledger.write("M. Tarn", &Deed::SignedOff(signature(weighing)));
    ledger.write("J. Osterby", &Deed::Inspected(signature(weighing)));
    ledger.write("J. Osterby", &Deed::Noted { text: "crated".to_owned() });
    assert_eq!(ledger.job().standing(Act::SignOff).map(|signed| signed.entry), Some(signed));
    assert!(ledger.job().standing(Act::Inspection).is_some());
    let corrected = ledger.write("M. Tarn", &corrected());
    let voided: Vec<Option<u64>> = ledger.job().signatures().iter().map(|signed| signed.voided).collect();
    assert_eq!(voided, [Some(corrected), Some(corrected)]);
    assert!(ledger.job().standing(Act::SignOff).is_none());
}
