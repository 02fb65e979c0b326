//! The bench page: every method good, bad and missing; what it shows is what the record and the sheet say; drafts,
//! struck readings, checks of the scale, mending, and the page without script.

use crate::shop::{Browser, Reply, Shop};
use hingeline_bench::record::deed::{Card, Deed, Field, Fields, Role};
use hingeline_bench::record::job::{Job, ledger_of};
use hingeline_bench::record::sheet::text;
use hingeline_bench::record::shop::LEDGER;
use hingeline_bench::words::{self, Voice};
use hingeline_bench::{Assessment, JobSheet, assess};

const NUMBER: &str = "HP-0240";
const AT: &str = "/jobs/HP-0240/weigh";
const ITEMS: [&str; 2] = ["final paint", "hinge bearings clean and dry"];

fn fields(pairs: &[(&str, &str)]) -> Fields {
    pairs.iter().map(|(key, value)| ((*key).to_owned(), text(*value))).collect()
}

/// A shop with instruments and a job with limits.
fn bench() -> Shop {
    let shop = Shop::new();
    let instruments = [
        (
            vec![
                ("id", "S-2"),
                ("kind", "scale"),
                ("resolution", "0.01 lb"),
                ("capacity", "30 lb"),
                ("due", "2027-03-01"),
            ],
            "5 lb",
        ),
        (vec![("id", "R-1"), ("kind", "rule"), ("resolution", "1/32 in"), ("due", "2027-01-15")], ""),
        (vec![("id", "L-1"), ("kind", "level"), ("resolution", "0.1 deg")], ""),
    ];
    for (pairs, check_weight) in instruments {
        let entered = Deed::InstrumentEntered {
            instrument: fields(&pairs),
            name: "an instrument".to_owned(),
            check_weight: check_weight.to_owned(),
            check_within: if check_weight.is_empty() { String::new() } else { "0.02 lb".to_owned() },
            calibrated: "2026-03-01".to_owned(),
        };
        shop.deed(LEDGER, "setup", &entered);
    }
    let job =
        [("number", NUMBER), ("surface", "right elevator half"), ("part", "SK12-55-210"), ("serial", "0091")];
    shop.deed(&ledger_of(NUMBER), "setup", &Deed::Received { job: fields(&job) });
    shop.deed(&ledger_of(NUMBER), "setup", &Deed::JudgedBy { card: 1, content: card() });
    shop
}

fn card() -> Card {
    let mut limits = fields(&[
        ("source", "SK12 repair manual, 55-20, revision 4"),
        ("from", "4.0 in-lb nose-heavy"),
        ("to", "0 in-lb"),
    ]);
    limits.insert("configuration".to_owned(), Field::List(ITEMS.map(str::to_owned).to_vec()));
    let station = [("name", "horn weight"), ("arm", "6 1/2 in"), ("side", "forward"), ("step", "0.01 lb")];
    Card {
        title: "elevator half".to_owned(),
        parts: vec!["SK12-55-210".to_owned()],
        limits,
        stations: vec![fields(&station)],
        outline: fields(&[("nose", "7.5 in"), ("trailing_edge", "18 1/2 in")]),
    }
}

type Form = Vec<(&'static str, String)>;

/// The form of a method, filled in well, with `seen` as the job stands.
fn filled(method: &'static str) -> Form {
    let mut form: Form = own_fields(method).iter().map(|(key, value)| (*key, (*value).to_owned())).collect();
    let same =
        [("seen", "2"), ("stage", "as found"), ("method", method), ("date", "2026-10-02"), ("do", "enter")];
    form.extend(same.map(|(key, value)| (key, value.to_owned())));
    form.extend(ITEMS.map(|item| ("confirmed", item.to_owned())));
    form
}

#[allow(clippy::too_many_lines, reason = "one table of the fields of all methods")]
fn own_fields(method: &str) -> &'static [(&'static str, &'static str)] {
    match method {
        "hung weight" => &[
            ("scale", "S-2"),
            ("rule", "R-1"),
            ("arm", "6 1/2 in"),
            ("side", "forward"),
            ("hanger", "0.04 lb"),
            ("moves_with", "0.02 lb"),
            ("raising", "0.26 lb; 0.27 lb"),
            ("lowering", "0.22 lb; 0.21 lb"),
        ],
        "balance beam" => &[
            ("scale", "S-2"),
            ("rule", "R-1"),
            ("sliding_mass", "0.50 lb"),
            ("side", "aft"),
            ("beam_moment", "3.1 in-lb tail-heavy"),
            ("beam_uncertainty", "0.05 in-lb"),
            ("raising", "1 1/2 in; 1 17/32 in"),
            ("lowering", "1 9/16 in; 1 19/32 in"),
        ],
        "support scale" => &[
            ("scale", "S-2"),
            ("rule", "R-1"),
            ("arm", "14 3/8 in"),
            ("side", "aft"),
            ("support_mass", "0.84 lb"),
            ("bearing_within", "1/16 in"),
            ("way", "rest"),
            ("readings", "0.94 lb\n0.95 lb; 0.94 lb"),
        ],
        "two attitudes" => &[
            ("scale", "S-2"),
            ("rule", "R-1"),
            ("level", "L-1"),
            ("arm", "17 1/4 in"),
            ("tare", "0.06 lb"),
            ("raising", "0.19 lb; 0.20 lb"),
            ("lowering", "0.13 lb; 0.14 lb"),
            ("second_angle", "20 deg"),
            ("trailing_edge", "raised"),
            ("second_raising", "0.13 lb; 0.12 lb"),
            ("second_lowering", "0.07 lb; 0.06 lb"),
            ("surface_mass", "11.2 lb"),
            ("level_within", "0.5 deg"),
        ],
        "parts list" => &[
            ("scale", "S-2"),
            ("rule", "R-1"),
            ("starting_moment", "1.1 in-lb nose-heavy"),
            ("starting_uncertainty", "0.3 in-lb"),
            ("part.0.name", "new doubler"),
            ("part.0.mass", "0.06 lb"),
            ("part.0.arm", "5 1/2 in"),
            ("part.0.side", "aft"),
            ("part.0.change", "added"),
            ("part.1.name", ""),
        ],
        _ => &[
            ("scale", "S-2"),
            ("rule", "R-1"),
            ("arm", "17 1/4 in"),
            ("tare", "0.06 lb"),
            ("raising", "0.19 lb; 0.20 lb; 0.19 lb"),
            ("lowering", "0.13 lb; 0.14 lb; 0.13 lb"),
            ("surface_mass", "11.2 lb"),
            ("cg_height_within", "0.5 in"),
            ("level_within", "0.5 deg"),
        ],
    }
}

const METHODS: [&str; 6] =
    ["trailing-edge scale", "hung weight", "balance beam", "support scale", "two attitudes", "parts list"];

fn set(form: &mut Form, key: &'static str, value: &str) {
    form.retain(|(known, _)| *known != key);
    form.push((key, value.to_owned()));
}

async fn post(browser: &Browser, path: &str, form: &Form) -> Reply {
    let pairs: Vec<(&str, &str)> = form.iter().map(|(key, value)| (*key, value.as_str())).collect();
    browser.post(path, &pairs).await
}

fn job(shop: &Shop) -> Job {
    shop.store().job(NUMBER).expect("a store").expect("a job")
}

/// The job as its exported sheet is judged by the reader of sheets.
fn judged(shop: &Shop) -> Assessment {
    let sheet = job(shop).sheet().expect("limits").text().expect("a sheet");
    assess(JobSheet::parse(&sheet).expect("a sheet without fault"), None)
}

#[tokio::test]
async fn every_method_shows_what_the_record_and_the_sheet_say() {
    for method in METHODS {
        let shop = bench();
        let tarn = shop.as_role(Role::Technician);
        let form = filled(method);
        let preview = post(&tarn, &format!("{AT}/preview"), &form).await.is(200);
        post(&tarn, AT, &form).await.goes("/jobs/HP-0240?done=weighed");
        let (assessment, job) = (judged(&shop), job(&shop));
        let voice = Voice::of(assessment.last(), assessment.sheet.limits.units);
        let preview = preview.says("data-state=\"whole\"").says(&words::verdict(assessment.last(), &voice));
        let preview = preview.says(&words::doubt(assessment.last(), &voice));
        preview.says(&words::correction(&assessment.corrections[0], &voice));
        let outcome = &job.weighings[0].outcome;
        assert_eq!(*outcome, hingeline_bench::record::deed::Outcome::of(&assessment), "{method}");
        assert_eq!(outcome.reasons, Vec::<String>::new(), "{method}");
    }
}

#[tokio::test]
async fn every_method_says_what_is_still_to_come() {
    for method in METHODS {
        let shop = bench();
        let tarn = shop.as_role(Role::Technician);
        let empty: Form = filled(method)
            .into_iter()
            .filter(|(key, _)| ["seen", "stage", "method", "date", "do"].contains(key))
            .collect();
        let preview = post(&tarn, &format!("{AT}/preview"), &empty).await.is(200);
        let preview = preview.says("data-state=\"open\"").says("Still to come");
        assert!(!preview.text.contains("data-said="), "{method}: calmly: {}", preview.text);
        let refused = post(&tarn, AT, &empty).await.is(422);
        refused.says("not given yet");
        assert!(job(&shop).weighings.is_empty(), "{method}");
    }
}

#[tokio::test]
async fn every_method_points_at_the_field_that_is_wrong() {
    let wrong = [
        ("trailing-edge scale", "arm", "900 in", "f-arm"),
        ("hung weight", "hanger", "0.04 in", "f-hanger"),
        ("balance beam", "beam_moment", "3.1 in-lb", "f-beam_moment"),
        ("support scale", "readings", "0.94 lb; 95 lb", "f-readings"),
        ("two attitudes", "second_angle", "1 deg", "f-second_angle"),
        ("parts list", "part.0.mass", "6 in", "f-part-0-mass"),
    ];
    for (method, key, value, id) in wrong {
        let shop = bench();
        let tarn = shop.as_role(Role::Technician);
        let mut form = filled(method);
        set(&mut form, key, value);
        let preview = post(&tarn, &format!("{AT}/preview"), &form).await.is(200);
        preview.says(&format!("data-said=\"{key}\""));
        let page = post(&tarn, AT, &form).await.is(422);
        let page = page.says(&format!("aria-describedby=\"said-{id}\"")).says("allowed: ").says("hint: ");
        assert!(page.text.contains(&format!("value=\"{value}\"")), "{method}: typed kept");
        assert!(!page.text.contains("weighing 1"), "{method}: in the words of the page");
    }
}

#[tokio::test]
async fn every_link_of_a_refused_bench_leads_to_a_field() {
    for method in METHODS {
        let shop = bench();
        let tarn = shop.as_role(Role::Technician);
        let mut form = filled(method);
        let kept = ["seen", "stage", "method", "date", "do", "scale", "rule", "level", "draft", "units"];
        for (_, value) in form.iter_mut().filter(|(key, _)| !kept.contains(key)) {
            "much".clone_into(value);
        }
        let page = post(&tarn, AT, &form).await.is(422);
        let links: Vec<&str> = page
            .text
            .split("href=\"#f-")
            .skip(1)
            .map(|rest| rest.split('"').next().expect("an end"))
            .collect();
        assert!(!links.is_empty(), "{method}");
        for link in links {
            assert!(page.text.contains(&format!("id=\"f-{link}\"")), "{method}: nothing is at #f-{link}");
        }
    }
}

#[tokio::test]
async fn the_page_shows_a_schematic_stand_and_then_the_set_up_of_the_last_weighing() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    let first = tarn.get(&format!("{AT}?stage=as-found")).await.is(200);
    let first = first.says("Weigh as found").says("sketch, not to scale yet").says("value=\"2026-10-02\"");
    first.says("5 lb shows (± 0.02 lb)").says("Secure the surface on its stand");
    post(&tarn, AT, &filled("trailing-edge scale")).await.is(303);
    let second = tarn.get(&format!("{AT}?stage=as+left")).await.is(200);
    let second = second.says("Weigh as left").says("Set up as in the weighing of 2026-10-02");
    let second = second.says("name=\"arm\" type=\"text\" value=\"17 1/4 in\"");
    assert!(!second.text.contains("0.19 lb"), "readings are not handed on");
}

#[tokio::test]
async fn results_speak_in_the_other_system_at_a_touch() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    let mut form = filled("trailing-edge scale");
    let preview = format!("{AT}/preview");
    post(&tarn, &preview, &form).await.is(200).says("limits: 1.78 in-lb tail-heavy").says("20.5 ± 2.0 kg·mm");
    set(&mut form, "units", "metric");
    post(&tarn, &preview, &form).await.is(200).says("limits: 20.5 kg·mm tail-heavy").says("17 1/4 in");
    tarn.get(&format!("{AT}?units=metric")).await.is(200).says("name=\"units\" value=\"metric\"");
}

#[tokio::test]
async fn a_reading_that_stands_out_is_pointed_at_and_struck_only_with_a_reason() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    let mut form = filled("trailing-edge scale");
    set(&mut form, "raising", "0.19 lb; 0.20 lb; 0.19 lb; 0.91 lb; 0.20 lb");
    let preview = post(&tarn, &format!("{AT}/preview"), &form).await.is(200);
    preview
        .says("One reading stands out")
        .says("number 4 of readings “raising”")
        .says("Grubbs")
        .says("strike raising 3");
    set(&mut form, "do", "strike raising 3");
    let page = post(&tarn, AT, &form).await.is(200);
    page.says("value=\"0.19 lb; 0.20 lb; 0.19 lb; 0.20 lb\"")
        .says("name=\"struck.0.reading\" value=\"0.91 lb\"");
    set(&mut form, "raising", "0.19 lb; 0.20 lb; 0.19 lb; 0.20 lb");
    set(&mut form, "struck.0.set", "raising");
    set(&mut form, "struck.0.reading", "0.91 lb");
    set(&mut form, "do", "enter");
    post(&tarn, AT, &form).await.is(422).says("the reading 0.91 lb is struck without a reason");
    set(&mut form, "struck.0.reason", "the stand was knocked");
    post(&tarn, AT, &form).await.is(303);
    let struck = &job(&shop).weighings[0].struck;
    assert_eq!((struck[0].reading.as_str(), struck[0].reason.as_str()), ("0.91 lb", "the stand was knocked"));
}

#[tokio::test]
async fn a_struck_reading_may_count_again() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    let mut form = filled("trailing-edge scale");
    for (key, value) in [("struck.0.set", "raising"), ("struck.0.reading", "0.21 lb"), ("do", "restore 0")] {
        set(&mut form, key, value);
    }
    let page = post(&tarn, AT, &form).await.is(200).says("value=\"0.19 lb; 0.20 lb; 0.19 lb; 0.21 lb\"");
    assert!(!page.text.contains("Let it count again"));
}

#[tokio::test]
async fn a_step_of_the_display_does_not_stand_out() {
    let shop = bench();
    let form = filled("trailing-edge scale");
    let preview = post(&shop.as_role(Role::Technician), &format!("{AT}/preview"), &form).await.is(200);
    assert!(!preview.text.contains("stands out"), "0.19, 0.20, 0.19 is what a scale of 0.01 shows");
}

#[tokio::test]
async fn the_check_of_the_scale_goes_into_the_weighing_and_into_the_shops_ledger() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    let mut form = filled("trailing-edge scale");
    set(&mut form, "zero", "0.01 lb");
    set(&mut form, "check", "5.06 lb");
    let preview = post(&tarn, &format!("{AT}/preview"), &form).await.is(200);
    preview
        .says("The scale failed its check")
        .says("+0.05 lb off")
        .says("Not valid for release")
        .says("5.06 lb, 0.01 lb when empty, for 5 lb ± 0.02 lb");
    post(&tarn, AT, &form).await.is(303);
    let reasons = job(&shop).weighings[0].outcome.reasons.clone();
    assert_eq!(
        reasons,
        ["instrument S-2 failed its last check: 5.06 lb, 0.01 lb when empty, for 5 lb ± 0.02 lb"]
    );
    let before = job(&shop).weighings[0].before.clone().expect("a check");
    let known = shop.store().shop().expect("a shop").instruments["S-2"].checks.clone();
    assert_eq!((known.len(), &known[0].before), (1, &before));
    let at = job(&shop).weighings[0].at.clone();
    assert_eq!(known[0].at, at, "at the same moment");
    set(&mut form, "check", "five");
    post(&tarn, AT, &form).await.is(422).says("aria-describedby=\"said-f-check\" aria-invalid=\"true\"");
}

#[tokio::test]
async fn a_late_entry_is_refused_with_what_was_typed() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    shop.deed(&ledger_of(NUMBER), "J. Osterby", &Deed::Noted { text: "mind the tab".to_owned() });
    let page = post(&tarn, AT, &filled("trailing-edge scale")).await.is(409);
    page.says("Somebody wrote in between")
        .says("0.19 lb; 0.20 lb; 0.19 lb")
        .says("name=\"seen\" value=\"3\"");
    assert!(job(&shop).weighings.is_empty());
}

/// The keys of a method, as docs/job-sheet.md names them.
fn keys_of(method: &str) -> Vec<String> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/job-sheet.md");
    let text = std::fs::read_to_string(path).expect("the guide");
    let (_, rest) = text.split_once(&format!("### method `\"{method}\"`")).expect("the method");
    let section = rest.split("\n### ").next().unwrap_or(rest);
    let keys = section.lines().filter_map(|line| line.strip_prefix("| `")?.split('`').next());
    keys.map(str::to_owned).collect()
}

#[tokio::test]
async fn every_key_of_every_method_has_its_field() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    for method in METHODS {
        let page = tarn.get(&format!("{AT}?method={}", method.replace(' ', "-"))).await.is(200);
        let keys = keys_of(method);
        assert!(keys.len() > 4, "{method}: {keys:?}");
        for key in keys {
            let name = if key == "part" { "part.0.mass".to_owned() } else { key };
            assert!(page.text.contains(&format!("name=\"{name}\"")), "{method}: no field {name}");
        }
    }
}

async fn keep(browser: &Browser, field: &str, value: &str, rev: &str) -> Reply {
    let form = [("form", "weigh as found"), ("field", field), ("value", value), ("rev", rev)];
    browser.post(&format!("{AT}/draft"), &form).await
}

#[tokio::test]
async fn what_is_typed_is_there_on_another_tablet_until_it_is_entered() {
    let shop = bench();
    let (tarn, osterby) = (shop.as_role(Role::Technician), shop.as_role(Role::Inspector));
    keep(&tarn, "arm", "17 1/4 in", "0").await.is(200).says("\"state\":\"kept\"");
    keep(&tarn, "raising", "0.19 lb; 0.20 lb", "0").await.is(200);
    keep(&tarn, "confirmed", "final paint", "0").await.is(200);
    let page = osterby.get(&format!("{AT}?stage=as-found")).await.is(200);
    page.says("value=\"17 1/4 in\"").says("value=\"0.19 lb; 0.20 lb\"").says("value=\"final paint\" checked");
    post(&tarn, AT, &filled("trailing-edge scale")).await.is(303);
    let drafts = shop.store().draft(NUMBER, "weigh as found").expect("a draft");
    assert!(drafts.fields.is_empty(), "{drafts:?}");
    keep(&tarn, "arm", "17 in", "1").await.is(409).says("\"state\":\"gone\"");
}

#[tokio::test]
async fn two_people_in_one_field_are_told_of_each_other() {
    let shop = bench();
    let (tarn, osterby) = (shop.as_role(Role::Technician), shop.as_role(Role::Inspector));
    keep(&tarn, "arm", "17 1/4 in", "0").await.is(200);
    let conflict = keep(&osterby, "arm", "17 1/2 in", "0").await.is(409);
    let conflict =
        conflict.says("\"mine\":\"17 1/2 in\"").says("\"theirs\":\"17 1/4 in\"").says("\"by\":\"T. tarn\"");
    let (_, rev) = conflict.text.split_once("\"rev\":").expect("a revision");
    keep(&osterby, "arm", "17 1/2 in", rev.trim_end_matches('}')).await.is(200);
}

#[tokio::test]
async fn a_draft_can_be_dropped() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    keep(&tarn, "arm", "17 1/4 in", "0").await.is(200);
    let form = vec![("stage", "as found".to_owned()), ("do", "clear".to_owned())];
    post(&tarn, AT, &form).await.is(303);
    assert!(shop.store().draft(NUMBER, "weigh as found").expect("a draft").fields.is_empty());
    tarn.post(&format!("{AT}/draft"), &[("form", "else"), ("field", "arm"), ("value", "1")]).await.is(400);
}

#[tokio::test]
async fn without_script_it_is_worked_out_and_entered_by_plain_forms() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    let mut form = filled("trailing-edge scale");
    set(&mut form, "do", "work-out");
    let page = post(&tarn, AT, &form).await.is(200);
    page.says("Outside the approved limits: 1.78 in-lb tail-heavy")
        .says("value=\"enter\"")
        .says("The arithmetic in full");
    assert!(job(&shop).weighings.is_empty(), "worked out, not entered");
    set(&mut form, "do", "enter");
    post(&tarn, AT, &form).await.is(303);
}

#[tokio::test]
async fn others_read_and_are_told_who_may_weigh() {
    let shop = bench();
    let keeper = shop.as_role(Role::DataKeeper);
    keeper
        .get(AT)
        .await
        .is(200)
        .says("a technician or an inspector")
        .says("fieldset class=\"whole\" disabled");
    post(&keeper, AT, &filled("trailing-edge scale")).await.is(403);
    post(&keeper, &format!("{AT}/preview"), &filled("trailing-edge scale")).await.is(403);
}

#[tokio::test]
async fn a_weighing_is_mended_with_a_reason() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    post(&tarn, AT, &filled("trailing-edge scale")).await.is(303);
    let mend = format!("{AT}/3/mend");
    tarn.get(&mend).await.is(200).says("Mend a weighing").says("value=\"0.19 lb; 0.20 lb; 0.19 lb\"");
    let mut form = filled("trailing-edge scale");
    set(&mut form, "arm", "17 1/2 in");
    set(&mut form, "seen", "3");
    set(&mut form, "mends", "3");
    post(&tarn, &format!("{AT}/preview"), &form).await.is(200).says("1.81 in-lb tail-heavy");
    post(&tarn, &mend, &form).await.is(422).says("the weighing is mended without a reason");
    set(&mut form, "reason", "the arm was misread");
    post(&tarn, &mend, &form).await.goes("/jobs/HP-0240?done=weighed");
    let job = job(&shop);
    assert_eq!((job.weighings.len(), job.weighings[0].fields.get("arm")), (1, Some(&text("17 1/2 in"))));
    tarn.get(&format!("{AT}/77/mend")).await.is(404);
    tarn.get(&format!("{AT}/x/mend")).await.is(404);
}

#[tokio::test]
async fn a_job_without_limits_says_what_comes_first() {
    let shop = bench();
    let bare = [("number", "HP-0241"), ("surface", "tab"), ("part", "P"), ("serial", "1")];
    shop.deed(&ledger_of("HP-0241"), "setup", &Deed::Received { job: fields(&bare) });
    let tarn = shop.as_role(Role::Technician);
    tarn.get("/jobs/HP-0241/weigh").await.is(200).says("choose one first");
    let mut form = filled("trailing-edge scale");
    set(&mut form, "seen", "1");
    post(&tarn, "/jobs/HP-0241/weigh", &form).await.is(422);
    tarn.get("/jobs/HP-9999/weigh").await.is(404);
}

/// A correction, entered after a weighing as found.
fn corrected(shop: &Shop, mass: &str) {
    let deed = Deed::Corrected {
        station: "horn weight".to_owned(),
        action: "add".to_owned(),
        mass: mass.to_owned(),
        what: "lead cap, lot 4, two screws".to_owned(),
    };
    shop.deed(&ledger_of(NUMBER), "M. Tarn", &deed);
}

async fn keep_as_left(browser: &Browser, field: &str, value: &str) {
    let form = [("form", "weigh as left"), ("field", field), ("value", value), ("rev", "0")];
    browser.post(&format!("{AT}/draft"), &form).await.is(200);
}

#[tokio::test]
async fn readings_typed_before_a_correction_are_left_out_until_somebody_says_that_they_count() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    post(&tarn, AT, &filled("trailing-edge scale")).await.is(303);
    keep_as_left(&tarn, "raising@trailing-edge-scale@0", "0.31 lb; 0.32 lb").await;
    keep_as_left(&tarn, "arm", "17 in").await;
    let page = format!("{AT}?stage=as-left");
    tarn.get(&page).await.is(200).says("value=\"0.31 lb; 0.32 lb\"");
    corrected(&shop, "0.50 lb");
    let after = tarn.get(&page).await.is(200).says("Typed before the correction of 2026-10-02");
    assert!(!after.text.contains("name=\"raising\" value=\"0.31 lb"), "left out");
    after.says("0.31 lb; 0.32 lb").says("value=\"17 in\"");
    let form: Form =
        [("seen", "4"), ("stage", "as left"), ("method", "trailing-edge scale"), ("do", "use-older")]
            .map(|(key, value)| (key, value.to_owned()))
            .to_vec();
    let used = post(&tarn, AT, &form).await.is(200).says("name=\"raising\" value=\"0.31 lb; 0.32 lb\"");
    assert!(!used.text.contains("Typed before"));
    tarn.get(&page).await.is(200).says("name=\"raising\" value=\"0.31 lb; 0.32 lb\"");
}

#[tokio::test]
async fn readings_typed_before_a_correction_can_be_dropped() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    post(&tarn, AT, &filled("trailing-edge scale")).await.is(303);
    keep_as_left(&tarn, "raising@trailing-edge-scale@0", "0.31 lb").await;
    corrected(&shop, "0.50 lb");
    let form: Form =
        [("seen", "4"), ("stage", "as left"), ("method", "trailing-edge scale"), ("do", "drop-older")]
            .map(|(key, value)| (key, value.to_owned()))
            .to_vec();
    post(&tarn, AT, &form).await.is(200);
    let page = tarn.get(&format!("{AT}?stage=as-left")).await.is(200);
    assert!(!page.text.contains("0.31 lb") && !page.text.contains("Typed before"));
}

#[tokio::test]
async fn readings_belong_to_their_method_and_the_arm_goes_along() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    keep(&tarn, "raising@trailing-edge-scale@0", "0.19 lb", "0").await.is(200);
    keep(&tarn, "arm", "17 1/4 in", "0").await.is(200);
    let page = |method: &str| format!("{AT}?stage=as-found&method={method}");
    let hung = tarn.get(&page("hung-weight")).await.is(200).says("value=\"17 1/4 in\"");
    assert!(!hung.text.contains("0.19 lb"), "empty at first");
    keep(&tarn, "raising@hung-weight@0", "0.11 lb", "0").await.is(200);
    tarn.get(&page("hung-weight")).await.is(200).says("name=\"raising\" value=\"0.11 lb\"");
    tarn.get(&page("trailing-edge-scale")).await.is(200).says("name=\"raising\" value=\"0.19 lb\"");
}

#[tokio::test]
async fn a_scale_in_a_sling_that_reads_below_it_is_said_to_be_the_wrong_way() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    let preview = format!("{AT}/preview");
    let says = "a scale that pulls through a sling cannot read below it: use hung weight";
    for method in ["trailing-edge scale", "two attitudes"] {
        let mut form = filled(method);
        set(&mut form, "raising", "0.03 lb");
        set(&mut form, "lowering", "0.02 lb");
        post(&tarn, &preview, &form).await.is(200).says("This cannot be read this way").says(says);
        form.retain(|(key, _)| *key != "tare");
        set(&mut form, "raising", "-0.05 lb");
        set(&mut form, "lowering", "-0.06 lb");
        post(&tarn, &preview, &form).await.is(200).says(says);
    }
    let above = post(&tarn, &preview, &filled("trailing-edge scale")).await.is(200);
    assert!(!above.text.contains(says));
}

#[tokio::test]
async fn an_empty_tare_is_said_to_count_the_sling_in() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    let mut form = filled("trailing-edge scale");
    form.retain(|(key, _)| *key != "tare");
    let preview = post(&tarn, &format!("{AT}/preview"), &form).await.is(200).says("Still to come");
    preview.says("tare: without it the sling counts as part of the surface").says("no tare is given");
    set(&mut form, "tare", "0 lb");
    let zeroed = post(&tarn, &format!("{AT}/preview"), &form).await.is(200).says("data-whole=\"yes\"");
    assert!(!zeroed.text.contains("without it the sling"), "0 is an answer");
}

#[tokio::test]
async fn a_day_after_today_is_refused() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    let mut form = filled("trailing-edge scale");
    set(&mut form, "date", "2030-01-01");
    post(&tarn, &format!("{AT}/preview"), &form).await.is(200).says("data-said=\"date\"");
    let page = post(&tarn, AT, &form).await.is(422).says("the day 2030-01-01 is after today");
    let allowed = "allowed: 2026-09-01 to today, 2026-10-02";
    page.says(allowed).says("hint: type the day");
    set(&mut form, "date", "2026-08-31");
    let page = post(&tarn, AT, &form).await.is(422).says("more than 31 days before the job was entered");
    page.says(allowed);
    assert!(job(&shop).weighings.is_empty());
    set(&mut form, "date", "2026-10-02");
    post(&tarn, AT, &form).await.is(303);
}

#[tokio::test]
async fn a_weighing_that_was_on_paper_before_its_receipt_is_taken_and_says_so() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    let mut form = filled("trailing-edge scale");
    set(&mut form, "date", "2026-10-01");
    let early = "Dated 2026-10-01, before the job was entered here on 2026-10-02";
    post(&tarn, &format!("{AT}/preview"), &form).await.is(200).says("Look at this field").says(early);
    post(&tarn, AT, &form).await.is(303);
    tarn.get("/jobs/HP-0240").await.is(200).says(early);
}

/// The readings of a set of the last weighing that was entered.
fn entered(shop: &Shop, set: &str) -> Vec<String> {
    match job(shop).weighings.last().and_then(|weighing| weighing.fields.get(set)) {
        Some(Field::List(readings)) => readings.clone(),
        _ => Vec::new(),
    }
}

#[tokio::test]
async fn a_bare_number_gets_the_unit_that_stands_beside_its_field_and_no_other() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    let page = tarn.get(&format!("{AT}?units=metric")).await.is(200);
    page.says("arm <span class=\"unit\">mm</span>").says("data-units=\"mass\" data-unit=\"kg\"");
    let mut form = filled("trailing-edge scale");
    for (key, value) in [
        ("units", "metric"),
        ("raising", "0,360; 165 g; 0.37"),
        ("lowering", "0,360"),
        ("arm", "438"),
        ("tare", "0"),
        ("level_within", "0.5"),
    ] {
        set(&mut form, key, value);
    }
    post(&tarn, AT, &form).await.is(303);
    assert_eq!(entered(&shop, "raising"), ["0,360 kg", "165 g", "0.37 kg"], "not that of the reading before");
    assert_eq!(entered(&shop, "lowering"), ["0,360 kg"]);
    let fields = job(&shop).weighings[0].fields.clone();
    for (key, value) in [("arm", "438 mm"), ("tare", "0 kg"), ("level_within", "0.5 deg")] {
        assert_eq!(fields.get(key), Some(&text(value)));
    }
    // 0.36 kg and not 0.36 g: at 438 mm about 157 kg·mm.
    let moment = judged(&shop).last().taken.weighing.method.readings().map(hingeline_balance::Readings::mean);
    assert!(moment.is_some_and(|mean| 0.2 < mean && mean < 0.4), "{moment:?}");
}

#[tokio::test]
async fn the_units_of_the_limits_stand_where_none_are_chosen() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    tarn.get(AT).await.is(200).says("arm <span class=\"unit\">in</span>").says("data-unit=\"lb\"");
    let mut form = filled("trailing-edge scale");
    set(&mut form, "raising", "0.20; abc");
    let refused = post(&tarn, AT, &form).await.is(422).says("value=\"0.20 lb; abc\"");
    assert!(!refused.text.contains("abc lb"));
    set(&mut form, "raising", "0.20; 0.19");
    post(&tarn, AT, &form).await.is(303);
    assert_eq!(entered(&shop, "raising"), ["0.20 lb", "0.19 lb"]);
}

#[tokio::test]
async fn an_arm_beyond_the_outline_is_to_be_looked_at_and_stops_nobody() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    let mut form = filled("trailing-edge scale");
    let says = "ook at this arm: the trailing edge is at 18.5 in";
    let well = post(&tarn, &format!("{AT}/preview"), &form).await.is(200);
    assert!(!well.text.contains(says));
    set(&mut form, "arm", "172 1/4 in");
    let preview = post(&tarn, &format!("{AT}/preview"), &form).await.is(200).says(says);
    preview.says("data-look=\"arm\"><p>").says("Look at this field");
    let mut half = form.clone();
    half.retain(|(key, _)| *key != "raising");
    post(&tarn, &format!("{AT}/preview"), &half).await.is(200).says(says);
    post(&tarn, AT, &form).await.is(303);
}

#[tokio::test]
async fn a_check_weight_that_nobody_read_today_is_said() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    let says = "The scale was not checked today";
    let mut form = filled("trailing-edge scale");
    post(&tarn, &format!("{AT}/preview"), &form).await.is(200).says(says);
    set(&mut form, "check", "5.01");
    let checked = post(&tarn, &format!("{AT}/preview"), &form).await.is(200);
    assert!(!checked.text.contains(says));
    post(&tarn, AT, &form).await.is(303);
    set(&mut form, "check", "");
    let after = post(&tarn, &format!("{AT}/preview"), &form).await.is(200);
    assert!(!after.text.contains(says), "it was checked with the weighing before");
}

/// The numbers that a page tells its script of the draft: its newest revision, and that of its last end.
fn revisions(page: &str) -> (u64, u64) {
    let number = |name: &str| {
        let (_, rest) = page.split_once(&format!("{name}=\"")).expect(name);
        rest.split('"').next().and_then(|number| number.parse().ok()).expect(name)
    };
    (number("data-rev"), number("data-cleared"))
}

#[tokio::test]
async fn a_page_after_drop_or_entry_begins_a_new_draft() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    let page = format!("{AT}?stage=as-found");
    let old = revisions(&tarn.get(&page).await.is(200).text).0.to_string();
    keep(&tarn, "arm", "17 1/8 in", &old).await.is(200);
    let drop = vec![("stage", "as found".to_owned()), ("do", "clear".to_owned())];
    let dropped = post(&tarn, AT, &drop).await.is(303);
    assert!(!dropped.location().contains("method="), "that would begin a new draft by itself");
    let anew = tarn.get(&page).await.is(200);
    assert!(!anew.text.contains("17 1/8 in"));
    let (rev, cleared) = revisions(&anew.text);
    assert!(old.parse::<u64>().expect("a number") < cleared && cleared <= rev);
    keep(&tarn, "arm", "17 in", &old).await.is(409).says("\"state\":\"gone\"");
    keep(&tarn, "arm", "17 1/4 in", &rev.to_string()).await.is(200);
    post(&tarn, AT, &filled("trailing-edge scale")).await.is(303);
    let again = revisions(&tarn.get(&page).await.is(200).text);
    assert!(rev < again.1 && again.1 <= again.0);
    keep(&tarn, "arm", "17 in", &rev.to_string()).await.is(409).says("\"state\":\"gone\"");
    keep(&tarn, "arm", "17 in", &again.0.to_string()).await.is(200).says("\"state\":\"kept\"");
}

#[tokio::test]
async fn what_is_not_confirmed_is_still_to_come_and_does_not_stop_anybody() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    let mut form = filled("trailing-edge scale");
    form.retain(|(key, value)| *key != "confirmed" || value != "final paint");
    let preview = post(&tarn, &format!("{AT}/preview"), &form).await.is(200);
    let preview = preview.says("Still to come").says("not confirmed: final paint");
    assert!(!preview.text.contains("not confirmed: hinge bearings"));
    let mut half = form.clone();
    half.retain(|(key, _)| *key != "arm");
    post(&tarn, &format!("{AT}/preview"), &half).await.is(200).says("not confirmed: final paint");
    post(&tarn, AT, &form).await.is(303);
}

#[tokio::test]
async fn a_slip_among_few_readings_is_pointed_at_and_stays() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    let preview = format!("{AT}/preview");
    for raising in ["0.12 lb; 1.2 lb", "0.12 lb; 1.2 lb; 0.13 lb"] {
        let mut form = filled("trailing-edge scale");
        set(&mut form, "raising", raising);
        let answer = post(&tarn, &preview, &form).await.is(200);
        let answer = answer.says("data-look=\"raising\" data-index=\"1\"").says("Look at this reading");
        assert!(!answer.text.contains("data-look=\"lowering\" data-index"), "{raising}");
        set(&mut form, "do", "work-out");
        post(&tarn, AT, &form).await.is(200).says("data-look-of=\"raising\"><p>");
    }
    for raising in ["0.19 lb; 0.20 lb", "0.12 lb", "0.15 lb; 0.24 lb; 0.20 lb"] {
        let mut form = filled("trailing-edge scale");
        set(&mut form, "raising", raising);
        let answer = post(&tarn, &preview, &form).await.is(200);
        assert!(!answer.text.contains("data-index"), "{raising}");
    }
}

#[tokio::test]
async fn friction_the_wrong_way_round_is_said_in_the_words_of_the_method_and_the_side() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    let turned = "look whether the two sets were changed over";
    for (side, larger, smaller) in
        [("forward", "just rises with", "just sinks with"), ("aft", "just sinks with", "just rises with")]
    {
        let mut form = filled("hung weight");
        set(&mut form, "side", side);
        let [more, less] = ["0.1167 lb", "0.1133 lb"];
        let key = |words: &str| if words == "just rises with" { "raising" } else { "lowering" };
        set(&mut form, key(larger), more);
        set(&mut form, key(smaller), less);
        let right = post(&tarn, &format!("{AT}/preview"), &form).await.is(200);
        assert!(!right.text.contains(turned), "{side}: raising against friction needs more");
        set(&mut form, key(larger), less);
        set(&mut form, key(smaller), more);
        let wrong = post(&tarn, &format!("{AT}/preview"), &form).await.is(200).says(turned);
        wrong.says(&format!("friction makes “{larger}” the larger reading with the weight hung {side}"));
    }
}

#[tokio::test]
async fn the_reading_to_be_expected_after_a_correction_is_said_for_every_method() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    post(&tarn, AT, &filled("trailing-edge scale")).await.is(303);
    let preview = format!("{AT}/preview");
    let as_left = |method: &'static str| {
        let mut form = filled(method);
        set(&mut form, "stage", "as left");
        form.retain(|(key, _)| !key.ends_with("raising") && !key.ends_with("lowering") && *key != "readings");
        form
    };
    let before = post(&tarn, &preview, &as_left("trailing-edge scale")).await.is(200);
    assert!(!before.text.contains("After the correction"));
    corrected(&shop, "0.20 lb");
    // 1.78 in-lb as found less 0.20 lb × 6.5 in leaves 0.48 in-lb: 0.028 lb at 17.25 in, with 0.06 lb of sling.
    let page = post(&tarn, &preview, &as_left("trailing-edge scale")).await.is(200);
    page.says("the scale should then read about 0.088 lb, sling included")
        .says("0.48 in-lb tail-heavy is to be expected: 1.78 in-lb tail-heavy as last weighed, then 0.20 lb added at horn weight");
    for (method, words) in [
        ("hung weight", "it should then be level with about"),
        ("balance beam", "the sliding mass should then stand at about"),
        ("support scale", "the scale should then read about"),
        ("two attitudes", "the scale should then read about"),
    ] {
        post(&tarn, &preview, &as_left(method)).await.is(200).says(words);
    }
    corrected(&shop, "0.40 lb");
    let below = post(&tarn, &preview, &as_left("trailing-edge scale")).await.is(200);
    below.says("a scale that pulls through a sling cannot read below it: use hung weight, about 0.12 lb hung aft at the same arm");
    tarn.get(&format!("{AT}?stage=as-left")).await.is(200).says("hung aft at the same arm");
    let mut bare = as_left("hung weight");
    bare.retain(|(key, _)| *key != "arm");
    post(&tarn, &preview, &bare).await.is(200).says("once the set-up is typed");
}

#[tokio::test]
async fn a_field_that_cannot_be_read_is_named_with_its_reason_where_it_may_be_seen() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    let mut form = filled("trailing-edge scale");
    set(&mut form, "arm", "900 in");
    let preview = post(&tarn, &format!("{AT}/preview"), &form).await.is(200);
    preview.says("This field is to be mended").says("<a href=\"#f-arm\">arm is 900 in");
}

#[tokio::test]
async fn after_a_refusal_what_is_missing_stays_marked_at_its_field() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    let mut form = filled("trailing-edge scale");
    form.retain(|(key, _)| !["rule", "raising"].contains(key));
    let page = post(&tarn, AT, &form).await.is(422).says("name=\"refused\" value=\"yes\"");
    page.says("<div class=\"at at-rule wrong\">")
        .says("<div class=\"set set-turning wrong\" data-set=\"raising\">");
    let before = post(&tarn, &format!("{AT}/preview"), &form).await.is(200);
    assert!(!before.text.contains("data-said="), "calmly");
    set(&mut form, "refused", "yes");
    post(&tarn, &format!("{AT}/preview"), &form)
        .await
        .is(200)
        .says("data-said=\"rule\"")
        .says("data-said=\"raising\"");
}

#[tokio::test]
async fn dropping_asks_first_and_optional_fields_say_so() {
    let page = bench().as_role(Role::Technician).get(AT).await.is(200);
    let page = page.says("<summary>Drop what is typed?</summary>").says("Yes, drop it all");
    page.says("levelled to within <span class=\"unit\">deg</span><span class=\"optional\"> optional</span>")
        .says("centre of gravity no further off the chord than");
}

#[tokio::test]
async fn friction_that_hides_the_verdict_is_not_marked_good_on_the_bench_nor_in_a_list() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    let mut form = filled("hung weight");
    set(&mut form, "side", "aft");
    set(&mut form, "arm", "17 1/4 in");
    set(&mut form, "raising", "0.01 lb; 0.01 lb; 0.01 lb");
    set(&mut form, "lowering", "0.25 lb; 0.25 lb; 0.25 lb");
    let page = post(&tarn, &format!("{AT}/preview"), &form).await.is(200).says("Friction hides it");
    assert!(page.text.contains("verdict doubt") && !page.text.contains("verdict good"), "{}", page.text);
    post(&tarn, AT, &form).await.is(303);
    let page = tarn.get("/jobs").await.is(200).says("within, friction hides it");
    assert!(!page.text.contains("badge good"), "{}", page.text);
}

#[tokio::test]
async fn a_mended_weighing_keeps_the_scale_of_its_day() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    let scale = |due: &str, calibrated: &str| Deed::InstrumentEntered {
        instrument: fields(&[("id", "S-2"), ("kind", "scale"), ("resolution", "0.01 lb"), ("due", due)]),
        name: "hanging scale".to_owned(),
        check_weight: String::new(),
        check_within: String::new(),
        calibrated: calibrated.to_owned(),
    };
    shop.deed(LEDGER, "setup", &scale("2026-09-30", "2025-09-30"));
    let mut form = filled("trailing-edge scale");
    post(&tarn, AT, &form).await.is(303);
    let past = "instrument S-2 was due for calibration on 2026-09-30 and was used on 2026-10-02";
    assert_eq!(job(&shop).weighings[0].outcome.reasons, [past]);
    shop.deed(LEDGER, "setup", &scale("2027-10-02", "2026-10-02"));
    shop.deed(
        LEDGER,
        "setup",
        &Deed::InstrumentRetired { id: "S-2".to_owned(), reason: "dropped".to_owned() },
    );
    let weighing = &job(&shop).weighings[0];
    set(&mut form, "arm", "17 in");
    set(&mut form, "reason", "misread");
    set(&mut form, "seen", &job(&shop).entries.to_string());
    let to = format!("{AT}/{}/mend", weighing.entry);
    post(&tarn, &to, &form).await.is(303);
    let mended = &job(&shop).weighings[0];
    assert_eq!(mended.fields.get("arm"), Some(&text("17 in")));
    assert_eq!(mended.outcome.reasons, [past], "calibrated since, and past due then");
}

#[tokio::test]
async fn a_calculation_has_no_mark_of_a_weighing_in_the_history() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    post(&tarn, AT, &filled("parts list")).await.is(303);
    let page = tarn.get("/surfaces/SK12-55-210/0091").await.is(200).says("calculated as found");
    let page = page.says("calculated, within");
    assert!(!page.text.contains("badge good") && !page.text.contains("weighed as found"));
}

#[tokio::test]
async fn a_surface_within_its_limits_is_asked_for_nothing() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    let mut form = filled("trailing-edge scale");
    set(&mut form, "raising", "0.02 lb; 0.02 lb");
    set(&mut form, "lowering", "0.01 lb; 0.01 lb");
    let preview = post(&tarn, &format!("{AT}/preview"), &form).await.is(200);
    let preview = preview.says("Within its limits: nothing has to be changed.");
    assert!(!preview.text.contains("<p class=\"what\">add"));
}
