//! A whole job, from receiving a surface to its release, by two people: on a tablet, on a phone, by keyboard alone.

use crate::shop::{OSTERBY, TARN};
use hingeline_browser_tests::browser::{DESK, PHONE, TABLET};
use hingeline_browser_tests::server::balance;
use hingeline_browser_tests::steps::By;
use hingeline_browser_tests::steps::Step::{Choose, Fill, Press, Read, Says, Select, Tick};
use hingeline_browser_tests::{Browser, Look, Person, Server, steps::Step};
use serde_json::Value;

const NUMBER: &str = "HP-0901";
const CONFIGURATION: [&str; 3] =
    ["final paint", "tab fitted and locked at neutral", "hinge bearings clean and dry"];

/// In, and looked over.
const RECEIVE: &[Step<'_>] = &[
    Press("New job"),
    Fill("Job number", NUMBER),
    Fill("Surface", "left elevator half"),
    Fill("Part number", "SK12-55-210"),
    Fill("Serial number", "0112"),
    Fill("Aircraft", "Skerry SK12, serial 0052"),
    Fill("Work order", "W-1300"),
    Fill("Reason", "repainted, balance weight replaced"),
    Press("Receive it"),
    Says("The job is open"),
    Choose("Drain holes open", "in order"),
    Choose("No trapped water", "in order"),
    Choose("Hinge bearings free, clean and dry", "in order"),
    Choose("Balance weights tight, not corroded", "in order"),
    Choose("Skin, ribs and fittings sound", "in order"),
    Choose("Tab, wicks and hardware fitted", "in order"),
    Press("Enter the look"),
    Says("The incoming look is entered"),
];

/// Limits, and the first weighing.
const FIND: &[Step<'_>] = &[
    Press("Choose the limits"),
    Press("Use this card"),
    Says("judged by this card"),
    Press("Weigh as found"),
    Tick(CONFIGURATION[0]),
    Tick(CONFIGURATION[1]),
    Tick(CONFIGURATION[2]),
    Select("scale", "S-2"),
    Read("raising", &["0.19 lb", "0.20 lb", "0.19 lb"]),
    Read("lowering", &["0.13 lb", "0.14 lb", "0.13 lb"]),
    Fill("arm", "17 1/4 in"),
    Select("rule", "R-1"),
    Fill("tare", "0.06 lb"),
    Press("Enter this weighing"),
    Says("The weighing is entered"),
    Says("tail-heavy"),
];

/// The correction, and the weighing after it, by another method.
const CORRECT: &[Step<'_>] = &[
    Press("Correct it"),
    Select("Station", "horn weight, front face"),
    Choose("What was done there", "mass added"),
    Fill("Mass, weighed", "0.58 lb"),
    Fill("What", "lead cap over the front face"),
    Fill("Part or lot", "melt 12"),
    Fill("Fastening", "two screws, locked with wire"),
    Press("Enter what was done"),
    Says("Weigh the surface again"),
    Press("Weigh as left"),
    Press("hung weight"),
    Tick(CONFIGURATION[0]),
    Tick(CONFIGURATION[1]),
    Tick(CONFIGURATION[2]),
    Choose("hung on which side", "aft"),
    Select("scale", "S-2"),
    Read("just rises with", &["0.11 lb", "0.11 lb", "0.12 lb"]),
    Read("just sinks with", &["0.12 lb", "0.12 lb", "0.12 lb"]),
    Fill("arm", "17 1/4 in"),
    Select("rule", "R-1"),
    Press("Enter this weighing"),
    Says("The weighing is entered"),
    Says("nose-heavy"),
];

fn sign(pin: &str) -> [Step<'_>; 4] {
    [Press("Sign off"), Fill("Your PIN", pin), Press("Sign it off"), Says("Another person inspects next")]
}

fn inspect(pin: &str) -> [Step<'_>; 9] {
    [
        Press("Inspect"),
        Tick("surface, part and serial number agree"),
        Tick("the approved data are the right ones"),
        Tick("configuration, set-up, arms and readings"),
        Tick("what was added or taken away"),
        Tick("the surface moves freely"),
        Fill("Your PIN", pin),
        Press("Sign the inspection"),
        Says("The release comes next"),
    ]
}

const RELEASE: &[Step<'_>] = &[Press("Release"), Press("Release the job"), Says("The job is released.")];

async fn logs_in(browser: &Browser, server: &Server, by: By, person: Person) {
    browser.go(&server.at("/log-in")).await;
    let steps = [Fill("Login name", person.login), Fill("Password", person.password), Press("Log in")];
    browser.does(by, &steps).await;
    browser.is_at("/").await;
}

async fn whole_job(look: Look, by: By) {
    let server = Server::demo();
    let bench = Browser::open(look).await;
    logs_in(&bench, &server, by, TARN).await;
    bench.does(by, RECEIVE).await;
    bench.does(by, FIND).await;
    bench.does(by, CORRECT).await;
    bench.does(by, &sign(TARN.pin)).await;
    let office = Browser::open(look).await;
    logs_in(&office, &server, by, OSTERBY).await;
    office.does(by, &[Press(NUMBER)]).await;
    office.does(by, &inspect(OSTERBY.pin)).await;
    office.close().await;
    bench.go(&server.at(&format!("/jobs/{NUMBER}"))).await;
    bench.does(by, RELEASE).await;
    agree(&bench, &server).await;
    bench.close().await;
}

/// What a page's own fetch of a path gives: status, media type, text.
async fn fetched(browser: &Browser, path: &str) -> (u64, String, String) {
    let script = "const done = arguments[arguments.length - 1];
        fetch(arguments[0]).then(async (got) => {
          const bytes = new Uint8Array(await got.arrayBuffer());
          done([got.status, got.headers.get('content-type'), new TextDecoder('latin1').decode(bytes)]);
        });";
    let answer = browser.client.execute_async(script, vec![Value::from(path)]).await.expect("an answer");
    let text = |index: usize| answer[index].as_str().unwrap_or_default().to_owned();
    (answer[0].as_u64().unwrap_or(0), text(1), text(2))
}

/// The sheet on paper, the record, the history and the command line say the same.
async fn agree(browser: &Browser, server: &Server) {
    let (status, media, pdf) = fetched(browser, &format!("/jobs/{NUMBER}/release.pdf")).await;
    assert_eq!((status, media.as_str()), (200, "application/pdf"));
    assert!(pdf.starts_with("%PDF-") && pdf.len() > 10_000, "{} bytes of PDF", pdf.len());

    let (_, _, result) = fetched(browser, &format!("/jobs/{NUMBER}/result.json")).await;
    let result: Value = serde_json::from_str(&result).expect("JSON");
    let (status, _, sheet) = fetched(browser, &format!("/jobs/{NUMBER}/sheet.toml")).await;
    assert_eq!(status, 200, "{sheet}");
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("sheet.toml");
    std::fs::write(&file, &sheet).expect("a job sheet");
    let out = balance(&file, &["--json"]);
    assert_eq!(out.status.code(), Some(0), "{}\n{sheet}", String::from_utf8_lossy(&out.stderr));
    let printed: Value = serde_json::from_slice(&out.stdout).expect("JSON");
    assert_eq!(printed["weighings"], result["weighings"]);
    let moment = |index: usize| printed["weighings"][index]["static_moment_kg_m"].as_f64().expect("a moment");
    // By hand: (1/2 (0.58/3 + 0.40/3) lb - 0.06 lb) x 17.25 in, and -(0.34/3 + 0.36/3)/2 lb x 17.25 in.
    let in_lb = 0.0254 * 0.453_592_37;
    assert!((moment(0) / in_lb - 1.7825).abs() < 0.0001, "{}", moment(0) / in_lb);
    assert!((moment(1) / in_lb + 2.0125).abs() < 0.0001, "{}", moment(1) / in_lb);

    browser.go(&server.at(&format!("/jobs/{NUMBER}/ledger"))).await;
    browser.press("Check every seal now").await;
    browser.says("Every seal of this job fits.").await;
    browser.says("0.58 lb added at horn weight, front face").await;
    browser.says("gave 2.01 ± 0.21 in-lb nose-heavy, within").await;
    browser.go(&server.at("/surfaces/SK12-55-210/0112")).await;
    browser.says(NUMBER).await;
    browser.says("0.58 lb added at horn weight, front face").await;
    browser.says("2.01 ± 0.21 in-lb nose-heavy").await;
}

#[tokio::test]
async fn on_a_tablet() {
    whole_job(TABLET, By::Hand).await;
}

#[tokio::test]
async fn on_a_phone() {
    whole_job(PHONE, By::Hand).await;
}

#[tokio::test]
async fn by_keyboard_alone() {
    whole_job(DESK, By::Keys).await;
}
