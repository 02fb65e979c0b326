//! What a weighing asks for: one list of ways, nothing where the surface is within or was worked on since, a hung
//! weight where no scale reads what is predicted; and how a moment outside is told from its limit.

use hingeline_bench::record::deed::{Card, Deed, Field, Fields, Outcome};
use hingeline_bench::record::job::Job;
use hingeline_bench::record::ledger::{Draft, Heads, Stored};
use hingeline_bench::record::sheet::text;
use hingeline_bench::record::told::Told;
use hingeline_bench::record::way::Step;
use hingeline_bench::words::{self, Voice};
use hingeline_bench::{Assessment, JobSheet, arithmetic, assess};
use hingeline_quantity::Quantity;

/// A sheet of one weighing with these readings, and these further lines.
fn assessed(readings: &str, stations: &str) -> Assessment {
    let sheet = format!(
        "[job]\nnumber = \"HP-1\"\nsurface = \"elevator\"\npart = \"SK12-55-210\"\nserial = \"1\"\n\
         [limits]\nsource = \"manual\"\nfrom = \"4.0 in-lb nose-heavy\"\nto = \"0 in-lb\"\n\
         [[instrument]]\nid = \"S-2\"\nkind = \"scale\"\nresolution = \"0.01 lb\"\ncalibration_uncertainty = \"0.01 lb\"\n\
         [[instrument]]\nid = \"R-1\"\nkind = \"rule\"\nresolution = \"1/32 in\"\n\
         [[weighing]]\nstage = \"as found\"\nmethod = \"trailing-edge scale\"\ndate = \"2026-10-02\"\nscale = \"S-2\"\n\
         rule = \"R-1\"\narm = \"17 1/4 in\"\ntare = \"0.06 lb\"\nreadings = [{readings}]\n{stations}"
    );
    assess(JobSheet::parse(&sheet).expect("a sheet"), None)
}

const HORN: &str = "[[station]]\nname = \"horn\"\narm = \"6.5 in\"\nside = \"forward\"\ncapacity = \"0.8 lb\"\nstep = \"0.01 lb\"\n";
const RIB: &str = "[[station]]\nname = \"rib\"\narm = \"3.1 in\"\nside = \"forward\"\ncapacity = \"0.25 lb\"\nstep = \"0.01 lb\"\n";
const WEB: &str = "[[station]]\nname = \"web\"\narm = \"5 in\"\nside = \"forward\"\ncapacity = \"2 lb\"\nstep = \"0.01 lb\"\n";

fn voice(assessment: &Assessment) -> Voice {
    Voice::of(assessment.last(), assessment.sheet.limits.units)
}

#[test]
fn the_ways_are_one_list_and_a_place_that_cannot_do_it_alone_is_none() {
    let assessment = assessed("\"0.163 lb\"", &[HORN, RIB, WEB].concat());
    let voice = voice(&assessment);
    assert_eq!(words::ways(&assessment, &voice), ["add 0.58 lb", "", "or add 0.76 lb"]);
    let rib = &assessment.corrections[1];
    assert!(!rib.does_it_alone());
    assert_eq!(words::correction(rib, &voice), "cannot be done here alone");
    assert!(words::correction_notes(rib, &voice)[0].contains("can take 0.25 lb at most"));
}

#[test]
fn a_surface_within_asks_for_nothing() {
    let within = assessed("\"0.00 lb\"", HORN);
    assert!(within.within() && !within.asks_for_correction());
    assert_eq!(words::ways(&within, &voice(&within)), [""]);
}

#[test]
fn what_no_scale_reads_through_a_sling_is_hung() {
    let assessment = assessed("\"0.163 lb\"", HORN);
    let voice = voice(&assessment);
    let horn = &assessment.corrections[0];
    let hung = horn.hung_instead.expect("a mass to hang");
    // 2 in-lb nose-heavy at 17 1/4 in
    assert!((hung.si() / 0.453_592_37 - 2.0 / 17.25).abs() < 0.001, "{hung:?}");
    let last = arithmetic::correction(&assessment, horn).pop().expect("a line").line();
    assert!(last.starts_with("hung at the same arm") && last.ends_with("0.116 lb"), "{last}");
    assert!(
        words::correction_notes(horn, &voice)
            .iter()
            .any(|note| note.contains("use a hung weight, about 0.116 lb"))
    );
}

#[test]
fn a_set_up_that_reads_a_pull_goes_on_reading_it() {
    let assessment = assessed("\"-0.30 lb\"", HORN);
    assert!(assessment.corrections[0].hung_instead.is_none());
}

#[test]
fn outside_never_reads_as_the_limit() {
    for reading in ["0.06001 lb", "0.0600001 lb"] {
        let assessment = assessed(&format!("\"{reading}\""), HORN);
        let said = words::verdict(assessment.last(), &voice(&assessment));
        let number: f64 = said
            .strip_prefix("Outside the approved limits: ")
            .and_then(|rest| rest.strip_suffix(" in-lb tail-heavy"))
            .and_then(|number| number.parse().ok())
            .unwrap_or_else(|| panic!("{said}"));
        assert!(number > 0.0, "{said}");
        let outcome = Outcome::of(&assessment);
        let units = assessment.sheet.limits.units;
        assert!(!outcome.moment(units).expect("a moment").starts_with("0.00 in-lb"), "{outcome:?}");
        assert!(Told::of(&outcome, units).expect("told").moment().ends_with("tail-heavy"));
    }
}

#[test]
fn the_doubt_says_what_is_clear() {
    let outside = assessed("\"0.163 lb\"", HORN);
    let said = words::doubt(outside.last(), &voice(&outside));
    assert!(said.starts_with("Clearly outside, by 1.78 in-lb: the measurement can tell to ±"), "{said}");
    let within = assessed("\"-0.05 lb\"", HORN);
    assert!(words::doubt(within.last(), &voice(&within)).starts_with("Clearly within, by "));
    assert_eq!(words::verdict_and_doubt("within", "clear"), "clearly within");
    assert_eq!(words::verdict_and_doubt("within", "doubtful"), "within, doubtful");
}

// --- in the record ---

fn fields(pairs: &[(&str, &str)]) -> Fields {
    pairs.iter().map(|(key, value)| ((*key).to_owned(), text(*value))).collect()
}

fn card() -> Card {
    let station = [
        ("name", "rib"),
        ("arm", "3.1 in"),
        ("side", "forward"),
        ("capacity", "0.25 lb"),
        ("step", "0.01 lb"),
    ];
    Card {
        title: "elevator".to_owned(),
        parts: vec![],
        limits: fields(&[("source", "manual"), ("from", "4 in-lb nose-heavy"), ("to", "0 in-lb")]),
        stations: vec![fields(&station)],
        outline: Fields::new(),
    }
}

fn weighing(reading: &str) -> Deed {
    let mut weighing = fields(&[
        ("stage", "as left"),
        ("method", "trailing-edge scale"),
        ("date", "2026-10-02"),
        ("scale", "S-2"),
        ("rule", "R-1"),
        ("arm", "17 1/4 in"),
    ]);
    weighing.insert("readings".to_owned(), Field::List(vec![reading.to_owned()]));
    let outcome = Outcome {
        moment_kg_m: "0.02".to_owned(),
        expanded_kg_m: "0.002".to_owned(),
        verdict: "outside".to_owned(),
        doubt: "clear".to_owned(),
        band_kg_m: ("-0.046".to_owned(), "0".to_owned()),
        reasons: vec![],
    };
    let instruments = vec![
        fields(&[("id", "S-2"), ("kind", "scale"), ("resolution", "0.01 lb")]),
        fields(&[("id", "R-1"), ("kind", "rule"), ("resolution", "1/32 in")]),
    ];
    Deed::Weighed { weighing, instruments, before: None, struck: vec![], outcome }
}

fn corrected(action: &str, mass: &str) -> Deed {
    let text = str::to_owned;
    Deed::Corrected { station: text("rib"), action: text(action), mass: text(mass), what: text("cap") }
}

fn job(deeds: &[Deed]) -> Job {
    let mut heads = Heads::default();
    let entries: Vec<Stored> = deeds
        .iter()
        .map(|deed| {
            heads.append(Draft {
                ledger: "job HP-1".to_owned(),
                at: "2026-10-02T08:00:00Z".to_owned(),
                by: "M. Tarn".to_owned(),
                body: serde_json::to_string(deed).expect("JSON"),
            })
        })
        .collect();
    Job::fold(entries.iter().map(|stored| &stored.entry)).expect("readable")
}

fn begun() -> Vec<Deed> {
    let received = [("number", "HP-1"), ("surface", "elevator"), ("part", "P"), ("serial", "1")];
    vec![
        Deed::Received { job: fields(&received) },
        Deed::JudgedBy { card: 1, content: card() },
        weighing("0.05 lb"),
    ]
}

#[test]
fn a_place_has_left_what_this_job_did_not_use() {
    let mut deeds = begun();
    deeds.extend([corrected("add", "0.2 lb"), weighing("0.02 lb")]);
    let rib = |job: &Job| job.assessment().expect("a weighing").expect("no fault").sheet.stations[0].clone();
    assert_eq!(rib(&job(&deeds)).typed_capacity.as_deref(), Some("0.05 lb"));
    // What is struck never was.
    deeds.push(Deed::Mended { entry: 4, reason: "another job".to_owned(), with: None });
    assert_eq!(rib(&job(&deeds)).typed_capacity.as_deref(), Some("0.25 lb"));
}

#[test]
fn a_place_that_is_full_is_asked_for_nothing() {
    let mut deeds = begun();
    deeds.extend([corrected("add", "0.25 lb"), weighing("0.01 lb")]);
    let assessment = job(&deeds).assessment().expect("a weighing").expect("no fault");
    assert!(!assessment.corrections[0].does_it_alone());
    assert_eq!(words::ways(&assessment, &voice(&assessment)), [""]);
}

#[test]
fn after_a_correction_nothing_is_asked_for_but_a_weighing() {
    let mut deeds = begun();
    let before = job(&deeds).assessment().expect("a weighing").expect("no fault");
    assert!(before.asks_for_correction());
    deeds.push(corrected("add", "0.2 lb"));
    let job = job(&deeds);
    let after = job.assessment().expect("a weighing").expect("no fault");
    assert!(after.worked_on_since && !after.asks_for_correction());
    assert_eq!(job.missing(Step::AsLeft), ["weigh again: work was done after the last weighing"]);
    assert!(!job.before_sign_off().iter().any(|what| what.contains("bring the surface")));
}
