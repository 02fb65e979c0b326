//! The pages of a shop with a hundred thousand jobs: how soon the first page is there, how long a redraw takes while
//! ten tablets type, how long a search takes, how much memory it needs.
//!
//! Through the router without a socket: what is measured is the program, not the network. Prints a line a measurement:
//! median, 99th percentile and longest, in milliseconds. Argument: how many jobs.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "a bench prints times and may stop"
)]

#[path = "../../store/benches/many/mod.rs"]
mod many;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::extract::ConnectInfo;
use axum::http::{Request, StatusCode, header};
use hingeline_bench::record::deed::{Deed, Person, Role};
use hingeline_bench::record::shop::LEDGER;
use hingeline_bench::record::{deed::Fields, sheet::text};
use hingeline_store::{Store, Write};
use hingeline_web::{App, Clock, Config, app};
use jiff::Timestamp;
use jiff::tz::TimeZone;
use std::net::SocketAddr;
use std::path::Path;
use std::time::{Duration, Instant};
use tower::ServiceExt;

/// How many type at once.
const TABLETS: u64 = 10;
/// How often each types in a second, as a quick hand does.
const STROKES: u32 = 5;
/// How many strokes each makes.
const TYPED: u64 = 100;
/// The variable that names the folder to be filled.
const FILL: &str = "HINGELINE_BENCH_FILL";
const TOKEN: &str = "0000000000000000000000000000000000000000000000000000000000000001";

fn main() {
    // Cargo adds an argument of its own.
    let jobs: u64 = std::env::args().find_map(|argument| argument.parse().ok()).unwrap_or(100_000);
    if let Some(folder) = std::env::var_os(FILL) {
        return fill(Path::new(&folder), jobs);
    }
    let folder = tempfile::tempdir().unwrap();
    // In a process of its own, so that its memory is not counted.
    let program = std::env::current_exe().unwrap();
    let filled = std::process::Command::new(program).arg(jobs.to_string()).env(FILL, folder.path()).status();
    assert!(filled.unwrap().success());
    tokio::runtime::Runtime::new().unwrap().block_on(measure(folder.path(), jobs));
}

fn now() -> Timestamp {
    "2026-10-02T08:00:00Z".parse().unwrap()
}

fn fill(folder: &Path, jobs: u64) {
    let store = Store::open(folder).unwrap();
    let person = Person {
        name: "M. Tarn".to_owned(),
        role: Role::Technician,
        also: None,
        certificate: "T-4471".to_owned(),
        kind: "airframe".to_owned(),
        active: true,
    };
    let mut deeds = vec![Deed::PersonEntered { login: "tarn".to_owned(), person }];
    for (id, kind, resolution) in [("S-2", "scale", "0.01 lb"), ("R-1", "rule", "1/32 in")] {
        let pairs = [("id", id), ("kind", kind), ("resolution", resolution), ("due", "2027-03-01")];
        let instrument: Fields = pairs.iter().map(|(key, value)| ((*key).to_owned(), text(*value))).collect();
        let none = String::new;
        let deed = Deed::InstrumentEntered {
            instrument,
            name: kind.to_owned(),
            check_weight: none(),
            check_within: none(),
            calibrated: none(),
        };
        deeds.push(deed);
    }
    let writes: Vec<Write> =
        deeds.iter().map(|deed| Write { draft: many::draft(LEDGER, deed), seen: 0 }).collect();
    store.append(&writes).unwrap();
    store.start_session(TOKEN, "tarn", now(), now() + jiff::SignedDuration::from_hours(12)).unwrap();
    many::fill(&store, jobs);
    println!("{jobs} jobs, {} entries", store.head().unwrap().entries);
}

fn open(folder: &Path) -> Router {
    let clock = Clock::new(now, TimeZone::UTC);
    let config = Config { folder: folder.to_owned(), names: vec![], secure: false, demo: false, clock };
    app(App::open(config).unwrap())
}

async fn measure(folder: &Path, jobs: u64) {
    println!("memory before the pages: {}", memory());
    let start = Instant::now();
    let router = open(folder);
    ask(&router, Request::get("/"), Body::empty()).await;
    println!("{:44} {:9.1} ms", "opening the shop, to the first page", 1e3 * start.elapsed().as_secs_f64());
    println!("{:44} {:>9} {:>9} {:>9}", "ms", "median", "99 %", "longest");
    for (what, path) in pages(jobs) {
        let mut times = Vec::new();
        for turn in 0..100 {
            times.push(timed(&router, Request::get(path(turn)), Body::empty()).await);
        }
        say(what, times);
    }
    say("redraw, one tablet", type_on(router.clone(), 0, jobs).await);
    say("redraw, ten tablets typing at once", all_type(&router, jobs).await);
    println!("memory after: {}", memory());
}

type Path1 = Box<dyn Fn(u64) -> String>;

fn pages(jobs: u64) -> Vec<(&'static str, Path1)> {
    let job = move |turn: u64| turn.wrapping_mul(7919) % jobs;
    vec![
        ("first page", Box::new(|_| "/".to_owned())),
        ("list of open jobs", Box::new(|_| "/jobs".to_owned())),
        ("list of all jobs, page 40", Box::new(|_| "/jobs?show=all&page=40".to_owned())),
        (
            "search: a whole number",
            Box::new(move |turn| format!("/jobs?show=all&q={}", many::number(job(turn)))),
        ),
        (
            "search: a serial number",
            Box::new(move |turn| format!("/search?q={}", many::serial(job(turn) / 4))),
        ),
        ("search: a common word", Box::new(|_| "/search?q=elevator".to_owned())),
        ("job", Box::new(move |turn| format!("/jobs/{}", many::number(job(turn))))),
        (
            "history of a surface",
            Box::new(move |turn| {
                let surface = job(turn) / 4;
                format!("/surfaces/{}/{}", many::part(surface), many::serial(surface))
            }),
        ),
    ]
}

/// Ten tablets, each on a job of its own that is not released.
async fn all_type(router: &Router, jobs: u64) -> Vec<f64> {
    let tablets: Vec<_> =
        (0..TABLETS).map(|tablet| tokio::spawn(type_on(router.clone(), tablet, jobs))).collect();
    let mut times = Vec::new();
    for tablet in tablets {
        times.extend(tablet.await.unwrap());
    }
    times
}

/// Types readings, at the pace of a hand; gives how long each redraw took.
async fn type_on(router: Router, tablet: u64, jobs: u64) -> Vec<f64> {
    // Every fiftieth job is open.
    let job = many::number((50 * tablet) % jobs);
    let pace = Duration::from_secs(1) / STROKES;
    let mut times = Vec::new();
    for stroke in 0..TYPED {
        let form = typed(stroke);
        let request = Request::post(format!("/jobs/{job}/weigh/preview"))
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
        let took = timed(&router, request, Body::from(form)).await;
        times.push(took);
        tokio::time::sleep(pace.saturating_sub(Duration::from_secs_f64(took / 1e3))).await;
    }
    times
}

/// The form of the bench page, its last reading as far as it is typed.
fn typed(stroke: u64) -> String {
    let fields = [
        "seen=6&stage=as left&method=trailing-edge scale&date=2026-10-02&scale=S-2&rule=R-1&arm=17 1/4 in&tare=0.06 lb",
        "&raising=-0.08 lb&raising=-0.07 lb&raising=-0.08 lb&lowering=-0.13 lb&lowering=-0.12 lb",
    ];
    format!("{}&lowering=-0.1{} lb", fields.concat(), stroke % 10).replace(' ', "+")
}

async fn ask(router: &Router, request: axum::http::request::Builder, body: Body) -> (StatusCode, String) {
    let request = request
        .header(header::HOST, "127.0.0.1:8080")
        .header(header::COOKIE, format!("hingeline={TOKEN}"))
        .extension(ConnectInfo(SocketAddr::from(([127, 0, 0, 1], 40_000))));
    let response = router.clone().oneshot(request.body(body).unwrap()).await.unwrap();
    let status = response.status();
    let bytes = to_bytes(response.into_body(), 64 << 20).await.unwrap();
    (status, String::from_utf8_lossy(&bytes).into_owned())
}

async fn timed(router: &Router, request: axum::http::request::Builder, body: Body) -> f64 {
    let start = Instant::now();
    let (status, text) = ask(router, request, body).await;
    let took = 1e3 * start.elapsed().as_secs_f64();
    assert!(status.is_success() || status == StatusCode::SEE_OTHER, "{status}");
    assert!(
        !text.contains("Still to come") || text.contains("approved limits"),
        "a redraw without a result: {text}"
    );
    took
}

fn say(what: &str, mut times: Vec<f64>) {
    times.sort_by(f64::total_cmp);
    let at = |percent: usize| times[(times.len() - 1) * percent / 100];
    println!("{what:44} {:9.2} {:9.2} {:9.2}   {} times", at(50), at(99), at(100), times.len());
}

/// What the system says of the memory of this process.
fn memory() -> String {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let of =
        |name: &str| status.lines().find_map(|line| line.strip_prefix(name)).map_or("unknown", str::trim);
    format!("{} now, {} at most", of("VmRSS:"), of("VmHWM:"))
}
