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
        ("hung weight", "hanger", "0.04", "f-hanger"),
        ("balance beam", "beam_moment", "3.1 in-lb", "f-beam-moment"),
        ("support scale", "readings", "0.94 lb; 95 lb", "f-readings"),
        ("two attitudes", "second_angle", "1 deg", "f-second-angle"),
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
async fn the_page_shows_a_schematic_stand_and_then_the_set_up_of_the_last_weighing() {
    let shop = bench();
    let tarn = shop.as_role(Role::Technician);
    let first = tarn.get(&format!("{AT}?stage=as-found")).await.is(200);
    let first = first
        .says("Weigh as found")
        .says("schematic until the fields are filled in")
        .says("value=\"2026-10-02\"");
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
    preview.says("The check is beyond its bound").says("+0.05 lb off");
    post(&tarn, AT, &form).await.is(303);
    let before = job(&shop).weighings[0].before.clone().expect("a check");
    let known = shop.store().shop().expect("a shop").instruments["S-2"].checks.clone();
    assert_eq!((known.len(), &known[0].2), (1, &before));
    let at = job(&shop).weighings[0].at.clone();
    assert_eq!(known[0].0, at, "at the same moment");
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
