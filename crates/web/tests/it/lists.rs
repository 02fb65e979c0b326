//! Lists, search, histories, exports, tags.

use crate::shop::{Browser, Shop};
use hingeline_bench::record::deed::{Card, Deed, Field, Fields, Role};
use hingeline_bench::record::ledger::{Draft, Hash, link, seal};
use hingeline_bench::record::sheet::text;
use hingeline_bench::record::shop::LEDGER;
use hingeline_bench::record::weigh;
use hingeline_bench::result::JobResult;
use hingeline_bench::{JobSheet, assess};
use hingeline_store::Write;
use serde_json::Value;

fn fields(pairs: &[(&str, &str)]) -> Fields {
    pairs.iter().map(|(key, value)| ((*key).to_owned(), text(*value))).collect()
}

fn list(texts: &[&str]) -> Field {
    Field::List(texts.iter().map(|text| (*text).to_owned()).collect())
}

/// Writes a deed on a day.
fn on(shop: &Shop, day: &str, ledger: &str, deed: &Deed) {
    let seen = shop.store().entries(ledger).expect("entries").len() as u64;
    let body = serde_json::to_string(deed).expect("JSON");
    let at = format!("{day}T08:00:00Z");
    let draft = Draft { ledger: ledger.to_owned(), at, by: "T. tarn".to_owned(), body };
    shop.store().append(&[Write { draft, seen }]).expect("an entry");
}

fn received(number: &str, surface: &str, part: &str, serial: &str) -> Deed {
    let mut job = fields(&[("number", number), ("surface", surface), ("part", part), ("serial", serial)]);
    job.extend(fields(&[("aircraft", "OY-HGL"), ("work_order", "W-77/3")]));
    Deed::Received { job }
}

fn judged(from: &str) -> Deed {
    let limits = fields(&[("source", "SK12 repair manual"), ("from", from), ("to", "0 in-lb")]);
    let station = fields(&[("name", "horn"), ("arm", "6.5 in"), ("side", "forward")]);
    let content = Card {
        title: "elevator".to_owned(),
        parts: vec!["SK12-*".to_owned()],
        limits,
        stations: vec![station],
        outline: Fields::new(),
    };
    Deed::JudgedBy { card: 1, content }
}

/// A weighing as the bench page enters it.
fn weighed(shop: &Shop, number: &str, stage: &str, date: &str, readings: &[&str]) -> Deed {
    let mut typed = fields(&[
        ("stage", stage),
        ("method", "trailing-edge scale"),
        ("date", date),
        ("scale", "S-2"),
        ("rule", "R-1"),
        ("arm", "17.25 in"),
        ("tare", "0.50 lb"),
    ]);
    typed.insert("readings".to_owned(), list(readings));
    let job = shop.store().job(number).expect("a job").expect("a job");
    weigh::deed(&job, &shop.store().shop().expect("a shop"), &typed, None, vec![], weigh::Occasion::default())
        .expect("a weighing")
}

fn instruments(shop: &Shop) {
    for (id, kind, resolution, due) in
        [("S-2", "scale", "0.01 lb", "2026-09-01"), ("R-1", "rule", "1/32 in", "2027-03-01")]
    {
        let instrument = fields(&[("id", id), ("kind", kind), ("resolution", resolution), ("due", due)]);
        let deed = Deed::InstrumentEntered {
            instrument,
            name: "=bench scale".to_owned(),
            check_weight: String::new(),
            check_within: String::new(),
            calibrated: String::new(),
        };
        on(shop, "2019-01-01", LEDGER, &deed);
    }
}

fn painted() -> Deed {
    Deed::Worked { kind: "paint".to_owned(), what: "two coats, enamel".to_owned() }
}

fn corrected() -> Deed {
    let [station, action, mass, what] = ["horn", "add", "0.31 lb", "lead cap, lot 4"].map(str::to_owned);
    Deed::Corrected { station, action, mass, what }
}

/// A surface through seven years: two jobs, a paint job, other limits, and a weighing that was struck.
fn seven_years() -> Shop {
    let shop = Shop::new();
    instruments(&shop);
    let (first, second) = ("job HP-0101", "job HP-0231");
    on(&shop, "2019-05-02", first, &received("HP-0101", "right elevator half", "SK12-55-210", "0087"));
    on(&shop, "2019-05-02", first, &judged("4 in-lb nose-heavy"));
    on(&shop, "2019-05-02", first, &weighed(&shop, "HP-0101", "as found", "2019-05-02", &["0.40 lb"; 3]));
    on(&shop, "2019-05-06", first, &painted());
    on(&shop, "2019-05-09", first, &weighed(&shop, "HP-0101", "as left", "2019-05-09", &["0.44 lb"; 3]));
    on(&shop, "2026-09-20", second, &received("HP-0231", "right elevator half", "SK12-55-210", "0087"));
    on(&shop, "2026-09-20", second, &judged("5 in-lb nose-heavy"));
    on(&shop, "2026-09-20", second, &weighed(&shop, "HP-0231", "as found", "2026-09-20", &["9.99 lb"; 3]));
    let struck = Deed::Mended { entry: 3, reason: "the hook was forgotten".to_owned(), with: None };
    on(&shop, "2026-09-20", second, &struck);
    on(&shop, "2026-09-21", second, &weighed(&shop, "HP-0231", "as found", "2026-09-21", &["0.61 lb"; 3]));
    on(&shop, "2026-09-22", second, &corrected());
    on(&shop, "2026-09-22", second, &weighed(&shop, "HP-0231", "as left", "2026-09-22", &["0.38 lb"; 3]));
    shop
}

fn reader(shop: &Shop) -> Browser {
    shop.as_role(Role::Technician)
}

fn rows(csv: &str) -> Vec<Vec<String>> {
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    reader.records().map(|row| row.expect("a row").iter().map(str::to_owned).collect()).collect()
}

#[tokio::test]
async fn the_sheet_and_the_result_of_a_job_say_the_same() {
    let shop = seven_years();
    let browser = reader(&shop);
    let sheet = browser.get("/jobs/HP-0231/sheet.toml").await.is(200);
    assert_eq!(sheet.headers["content-disposition"], "attachment; filename=\"HP-0231.toml\"");
    let assessment = assess(JobSheet::parse(&sheet.text).expect("a sheet"), None);
    let ours = serde_json::to_string_pretty(&JobResult::of(&assessment)).expect("JSON");
    let result = browser.get("/jobs/HP-0231/result.json").await.is(200);
    assert_eq!(ours, result.text.trim_end());
    let job = shop.store().job("HP-0231").expect("a job").expect("a job");
    let outcome = &job.weighings[1].outcome;
    result.says(&format!("\"static_moment_kg_m\": {}", outcome.moment_kg_m));
}

#[tokio::test]
async fn the_list_says_the_moment_as_the_result_does() {
    let shop = seven_years();
    let row = reader(&shop).get("/jobs").await.is(200);
    // (0.38 − 0.50) lb × 17.25 in = −2.07 in-lb
    row.says("2.07 in-lb nose-heavy")
        .says("within")
        .says("the incoming look")
        .says("/surfaces/SK12-55-210/0087");
}

#[tokio::test]
async fn a_job_is_found_by_each_identity() {
    let shop = seven_years();
    on(&shop, "2026-09-30", "job HP-0300", &received("HP-0300", "rudder", "RX-9", "55"));
    let browser = reader(&shop);
    for text in ["HP-023", "elevator", "SK12-55-210", "0087", "oy-hgl", "W-77%2F3"] {
        browser.get(&format!("/jobs?q={text}")).await.is(200).says("href=\"/jobs/HP-0231\"");
        browser.get(&format!("/search?q={text}")).await.is(200).says("href=\"/jobs/HP-0231\"");
    }
    let rudder = browser.get("/search?q=rudder").await.is(200).says("HP-0300");
    assert!(!rudder.text.contains("HP-0231"));
    browser.get("/search?q=hp-0231").await.goes("/jobs/HP-0231");
    browser.get("/search?q=nothing").await.is(200).says("Nothing has “nothing”");
    browser.get("/search").await.is(200).says("3 jobs");
}

#[tokio::test]
async fn lists_are_filtered_and_paged() {
    let shop = Shop::new();
    for number in 1..=60 {
        let ledger = format!("job J-{number:03}");
        on(&shop, "2026-09-30", &ledger, &received(&format!("J-{number:03}"), "tab", "P", "1"));
    }
    on(&shop, "2026-09-30", "job J-001", &Deed::Released { log_text: "done".to_owned() });
    let browser = reader(&shop);
    let shown = |text: &str| text.matches("class=\"strong keep\" href=\"/jobs/J-").count();
    let first = browser.get("/jobs").await.is(200).says("59 open jobs").says("page 1 of 3").says("J-060");
    assert_eq!(shown(&first.text), 25);
    assert!(!first.text.contains("rel=\"prev\""));
    let last = browser.get("/jobs?show=open&page=3").await.is(200).says("page 3 of 3").says("J-002");
    assert_eq!(shown(&last.text), 9);
    assert!(!last.text.contains("rel=\"next\""));
    let released = browser.get("/jobs?show=released").await.is(200).says("1 released job").says("J-001");
    assert_eq!(shown(&released.text), 1);
    browser.get("/jobs?show=all&q=tab&page=2").await.is(200).says("60 jobs with “tab”").says("page 2 of 3");
    browser.get("/jobs?show=all&q=j-001").await.is(200).says("1 job with");
    for bad in [
        "page=4",
        "page=0",
        "page=x",
        "page=-1",
        "page=99999999999999999999",
        "page=18446744073709551615",
        "show=some",
    ] {
        browser.get(&format!("/jobs?{bad}")).await.is(404);
    }
}

#[tokio::test]
async fn a_history_runs_through_the_years_without_what_was_struck() {
    let shop = seven_years();
    let page = reader(&shop).get("/surfaces/SK12-55-210/0087").await.is(200);
    let page = page
        .says("<svg")
        .says("2019-05-02")
        .says("2026-09-22")
        .says("other limits from here")
        .says("0.31 lb added at horn");
    assert!(!page.text.contains("163.7"), "the struck one");
    // (0.44 − 0.40) lb × 17.25 in
    page.says("0.69 in-lb towards tail-heavy").says("two coats, enamel").says("Ring: as found");
}

#[tokio::test]
async fn a_history_leaves_as_rows() {
    let shop = seven_years();
    let csv = reader(&shop).get("/surfaces/sk12-55-210/0087/history.csv").await.is(200);
    assert_eq!(csv.headers["content-type"], "text/csv; charset=utf-8; header=present");
    let rows = rows(&csv.text);
    let days: Vec<&str> = rows.iter().map(|row| row[0].as_str()).collect();
    assert_eq!(days, ["2019-05-02", "2019-05-06", "2019-05-09", "2026-09-21", "2026-09-22", "2026-09-22"]);
    let history = shop.store().history("SK12-55-210", "0087").expect("a history");
    let moments: Vec<f64> = rows.iter().filter_map(|row| row[6].parse().ok()).collect();
    let wanted: Vec<f64> = history.points.iter().map(|point| point.moment_kg_m).collect();
    assert_eq!(moments.len(), 4);
    assert!(moments.iter().zip(&wanted).all(|(ours, theirs)| (ours - theirs).abs() < 1e-15));
    assert_eq!([&rows[3][7], &rows[4][16], &rows[1][4]], ["tail-heavy", "0.31 lb", "paint"]);
}

#[tokio::test]
async fn lists_leave_as_rows_that_no_spreadsheet_runs() {
    let shop = seven_years();
    on(&shop, "2026-09-30", "job X", &received("=1+1", "a \"tab\",\nsmall", "-9", "+4"));
    let browser = reader(&shop);
    let jobs = rows(&browser.get("/jobs.csv").await.is(200).text);
    assert_eq!(jobs.len(), 3);
    assert_eq!(jobs[0][..4], ["X", "a \"tab\",\nsmall", "'-9", "'+4"]);
    assert!(jobs[1][11].parse::<f64>().expect("a number") < 0.0, "a number stays one");
    assert_eq!(jobs[1][12], "nose-heavy");
    let (kg_m, in_lb) =
        (jobs[1][11].parse::<f64>().expect("a number"), jobs[1][15].parse::<f64>().expect("a number"));
    assert!((in_lb * 0.45359237 * 0.0254 - kg_m).abs() < 1e-6, "the same moment");
    let found = rows(&browser.get("/jobs.csv?q=elevator&show=open").await.is(200).text);
    assert_eq!(found.len(), 2);
    let tools = rows(&browser.get("/instruments.csv").await.is(200).text);
    assert_eq!(tools[1][..2], ["S-2", "'=bench scale"]);
    assert_eq!([&tools[0][9], &tools[1][9]], ["in date", "past due"]);
}

#[tokio::test]
async fn a_ledger_leaves_with_all_that_its_seals_are_made_of() {
    let shop = seven_years();
    let word = |line: &Value, key: &str| line[key].as_str().expect("a text").to_owned();
    let (job, own) = (shop.store().job("HP-0231").expect("a job").expect("a job"), shop.store().shop());
    let own = own.expect("a shop");
    let mut lines: Vec<Value> = Vec::new();
    for (path, head) in [
        ("/shop/ledger.jsonl", (own.entries, own.head)),
        ("/jobs/HP-0231/ledger.jsonl", (job.entries, job.head)),
    ] {
        let text = reader(&shop).get(path).await.is(200).text;
        lines = text.lines().map(|line| serde_json::from_str(line).expect("JSON")).collect();
        let mut last = (0, Hash::default());
        for line in &lines {
            let (number, previous) = (last.0 + 1, last.1);
            assert_eq!(line["number"], number);
            let [ledger, at, by, body] = ["ledger", "at", "by", "body"].map(|key| word(line, key));
            let hash = seal(&previous, &ledger, number, &at, &by, &body);
            assert_eq!([word(line, "previous"), word(line, "hash")], [previous.hex(), hash.hex()]);
            last = (number, hash);
        }
        assert_eq!(last, head, "{path}");
    }
    let before =
        shop.store().entries_from(lines[0]["place"].as_u64().expect("a place") - 1, 1).expect("entries");
    let shop_hash = link(&before[0].shop_hash, &Hash::from_hex(&word(&lines[0], "hash")).expect("a hash"));
    assert_eq!(word(&lines[0], "shop_hash"), shop_hash.hex());
}

/// What another library reads from the code of a tag.
fn code(svg: &str) -> String {
    let start = svg.find("<path d=\"M4 ").expect("a code") + "<path d=\"".len();
    let path = &svg[start..];
    let path = &path[..path.find('"').expect("its end")];
    let dark: Vec<(usize, usize)> = path
        .split('M')
        .filter_map(|module| module.split_once('h')?.0.split_once(' '))
        .map(|(x, y)| (x.parse().expect("x"), y.parse().expect("y")))
        .collect();
    let side = dark.iter().map(|(x, _)| *x).max().expect("modules") + 5;
    let is_dark = |x: usize, y: usize| dark.contains(&(x / 6, y / 6));
    let mut image = rqrr::PreparedImage::prepare_from_bitmap(6 * side, 6 * side, is_dark);
    image.detect_grids().first().expect("a grid").decode().expect("a text").1
}

#[tokio::test]
async fn the_code_of_a_tag_leads_to_its_job() {
    let shop = seven_years();
    let browser = reader(&shop);
    let svg = browser.get("/jobs/HP-0231/tag.svg").await.is(200);
    assert_eq!(svg.headers["content-type"], "image/svg+xml; charset=utf-8");
    assert_eq!(code(&svg.text), "http://bench.test:8080/jobs/HP-0231");
    for size in ["small", "medium", "large"] {
        let page = browser.get(&format!("/jobs/HP-0231/tag?size={size}")).await.is(200);
        let page = page.says("HP-0231").says("0087").says("SK12-55-210").says(&format!("tag-sheet {size}"));
        assert_eq!(code(&page.text), "http://bench.test:8080/jobs/HP-0231");
    }
    browser.get("/jobs/HP-0231/tag?size=huge").await.is(404);
    browser.get("/jobs/HP-0231/tag.svg?size=huge").await.is(404);
}

#[tokio::test]
async fn without_a_name_the_tag_leads_where_the_browser_asked() {
    let shop = Shop::with(|config| config.names.clear());
    shop.person("tarn", Role::Technician);
    on(&shop, "2026-09-30", "job A/1", &received("A/1", "tab", "P", "1"));
    let mut browser = shop.of("tarn");
    let page = browser.get("/jobs/A%2F1/tag").await.is(200).says("leads nowhere from another device");
    assert_eq!(code(&page.text), "http://127.0.0.1:8080/jobs/A%2F1");
    browser.host = "192.168.1.7:8080".to_owned();
    let page = browser.get("/jobs/A%2F1/tag").await.is(200);
    assert_eq!(code(&page.text), "http://192.168.1.7:8080/jobs/A%2F1");
    assert!(!page.text.contains("leads nowhere"));
}

#[tokio::test]
async fn an_aircraft_has_its_surfaces_and_what_is_due() {
    let shop = seven_years();
    on(&shop, "2026-09-30", "job HP-0300", &received("HP-0300", "rudder", "RX-9", ""));
    let browser = reader(&shop);
    browser.get("/aircraft").await.is(200).says("href=\"/aircraft/OY-HGL\"").says("3 open");
    let page = browser.get("/aircraft/oy-hgl").await.is(200).says("2 surfaces in 3 jobs");
    page.says("S-2 past due, due 2026-09-01").says("2.07 in-lb nose-heavy").says("not weighed");
    browser.get("/aircraft/OY-NONE").await.is(404);
}

#[tokio::test]
async fn the_first_page_says_what_waits() {
    let shop = seven_years();
    let page = reader(&shop).get("/").await.is(200);
    page.says("HP-0231").says("waits for").says("S-2").says("past due").says("No card waits");
    Shop::new().as_role(Role::DataKeeper).get("/").await.is(200).says("No job is open");
}

#[tokio::test]
async fn the_demo_begins_with_its_job() {
    let shop = Shop::with(|config| config.demo = true);
    shop.person("tarn", Role::Technician);
    instruments(&shop);
    let ledger = "job HP-0231";
    on(&shop, "2026-09-20", ledger, &received("HP-0231", "right elevator half", "SK12-55-210", "0087"));
    on(&shop, "2026-09-20", ledger, &judged("4 in-lb nose-heavy"));
    let browser = shop.of("tarn");
    browser.get("/").await.is(200).says("Go to this job");
    on(&shop, "2026-09-20", ledger, &weighed(&shop, "HP-0231", "as found", "2026-09-20", &["1.75 lb"; 3]));
    let page = browser
        .get("/")
        .await
        .is(200)
        .says("Outside the approved limits: 21.56 in-lb tail-heavy")
        .says("<svg");
    assert_eq!(page.text.matches("href=\"/jobs/HP-0231\"").count(), 2, "in its own place alone");
}

#[tokio::test]
async fn what_is_not_there_is_not_found() {
    let shop = Shop::new();
    on(&shop, "2026-09-30", "job N-1", &received("N-1", "tab", "P", "1"));
    let browser = reader(&shop);
    for file in ["sheet.toml", "result.json"] {
        browser.get(&format!("/jobs/N-1/{file}")).await.is(404).says("yet");
    }
    for path in ["sheet.toml", "result.json", "ledger.jsonl", "tag", "tag.svg"] {
        browser.get(&format!("/jobs/none/{path}")).await.is(404);
    }
    browser.get("/surfaces/P/none").await.is(404);
    browser.get("/surfaces/P/none/history.csv").await.is(404);
    browser.get("/surfaces/P/1/history.csv").await.is(404);
    let surface = browser.get("/surfaces/P/1").await.is(200).says("was not weighed yet");
    assert!(!surface.text.contains("history.csv"), "no file is offered that is not there");
    browser.get("/jobs.csv?show=some").await.is(404);
    browser.get("/jobs?q=%FF%00%22%3Cscript%3E").await.is(200);
}

#[tokio::test]
async fn long_names_and_markup_stay_text() {
    let shop = Shop::new();
    let long = "x".repeat(300);
    on(&shop, "2026-09-30", "job <b>", &received("<b>", "<script>alert(1)</script>", &long, "\"'&"));
    let browser = reader(&shop);
    for path in
        ["/", "/jobs", "/aircraft/OY-HGL", "/jobs/%3Cb%3E/tag", &format!("/surfaces/{long}/%22%27%26")]
    {
        let page = browser.get(path).await.is(200);
        assert!(!page.text.contains("<script>alert"), "{path}");
    }
}
