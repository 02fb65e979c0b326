//! A shop of a hundred thousand jobs in a temporary folder: how long writing and reading take.
//!
//! The shop is invented and the same every time. Prints a line a measurement: median, 99th percentile and longest, in
//! milliseconds, and how many times. Argument: how many jobs.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "a bench prints times and may stop"
)]

mod many;

use hingeline_bench::record::deed::Deed;
use hingeline_store::{Filter, Store, Write};
use many::{SURFACES, aircraft, draft, fill, identity, number, part, pick, serial};
use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;
use std::hint::black_box;
use std::path::Path;
use std::time::Instant;

fn main() {
    // Cargo adds an argument of its own.
    let jobs: u64 = std::env::args().find_map(|argument| argument.parse().ok()).unwrap_or(100_000);
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(folder.path()).unwrap();
    once(&format!("fill with {jobs} jobs"), || fill(&store, jobs));
    println!("{} entries, {} MB", store.head().unwrap().entries, size(folder.path()) >> 20);
    println!("{:44} {:>9} {:>9} {:>9}", "ms", "median", "99 %", "longest");
    write(&store, jobs);
    find(&store, jobs);
    read(&store, jobs);
    once("verify", || store.verify().unwrap());
    once("rebuild", || store.rebuild().unwrap());
    once("backup, verified", || store.backup(&folder.path().join("backup")).unwrap());
}

fn once<T>(what: &str, run: impl FnOnce() -> T) {
    let start = Instant::now();
    black_box(run());
    println!("{what:44} {:8.1} s", start.elapsed().as_secs_f64());
}

/// Times many runs of one thing, each with its own number.
fn times<T>(what: &str, runs: u64, mut run: impl FnMut(u64) -> T) {
    let time = |number: u64| {
        let start = Instant::now();
        black_box(run(number));
        1e3 * start.elapsed().as_secs_f64()
    };
    let mut times: Vec<f64> = (0..runs).map(time).collect();
    times.sort_by(f64::total_cmp);
    let at = |percent: usize| times[(times.len() - 1) * percent / 100];
    println!("{what:44} {:9.3} {:9.3} {:9.3}   {runs} times", at(50), at(99), at(100));
}

fn size(folder: &Path) -> u64 {
    let files = std::fs::read_dir(folder).unwrap();
    files.map(|file| file.unwrap().metadata().unwrap().len()).sum()
}

fn write(store: &Store, jobs: u64) {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(1);
    times("append: a remark to one of the jobs", 1000, |_| {
        let ledger = format!("job {}", number(random.random_range(0..jobs)));
        let seen = store.job(&ledger[4..]).unwrap().unwrap().entries;
        store.append(&[Write { draft: draft(&ledger, &Deed::Noted { text: "tag fitted".to_owned() }), seen }])
    });
    times("append: a new job", 1000, |job| {
        let job = jobs + job;
        let draft = draft(&format!("job {}", number(job)), &Deed::Received { job: identity(job) });
        store.append(&[Write { draft, seen: 0 }]).unwrap()
    });
}

fn find(store: &Store, jobs: u64) {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(2);
    let mut search = |what: &str, text: &dyn Fn(u64) -> String| {
        times(&format!("search: {what}"), 500, |_| {
            store.search(&text(random.random_range(0..jobs)), 50).unwrap().len()
        });
    };
    search("a whole number (HP-012345)", &number);
    search("the end of a number (12345)", &|job| format!("{job:05}"));
    search("part of a number (234)", &|job| format!("{:03}", job % 1000));
    search("one digit", &|job| (job % 10).to_string());
    search("two letters", &|job| pick(["hp", "el", "in", "sk", "ri"], job).to_owned());
    search("a surface (elevator)", &|job| pick(SURFACES, job).to_owned());
    search("a part number", &|job| part(job / 4));
    search("part and serial number", &|job| format!("{} {}", part(job / 4), serial(job / 4)));
    search("serial number", &|job| serial(job / 4));
    search("an aircraft", &aircraft);
    search("a work order", &|job| format!("W-{job}"));
    search("a common and a rare word (elevator 12345)", &|job| format!("elevator {job:05}"));
    search("a common word and one digit", &|job| format!("elevator {}", job % 10));
    search("three common words", &|job| format!("half sk12 {}", job % 10));
    search("nothing (common words that never meet)", &|_| "rudder half".to_owned());
    search("nothing (zzz)", &|_| "zzz".to_owned());
}

fn read(store: &Store, jobs: u64) {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(3);
    times("job, folded from its ledger", 2000, |_| store.job(&number(random.random_range(0..jobs))).unwrap());
    times("history of a surface", 2000, |_| {
        let surface = random.random_range(0..jobs) / 4;
        store.history(&part(surface), &serial(surface)).unwrap()
    });
    times("jobs: the first 50 that are open", 500, |_| store.jobs(&Filter::Open, 50, 0).unwrap());
    times("jobs: 50 of all, from 1000 on", 500, |_| store.jobs(&Filter::All, 50, 1000).unwrap());
    times("jobs of an aircraft", 500, |job| store.jobs(&Filter::OfAircraft(aircraft(job)), 50, 0).unwrap());
    times("count of those that are open", 100, |_| store.count(&Filter::Open).unwrap());
    times("count of all", 100, |_| store.count(&Filter::All).unwrap());
    times("aircraft", 20, |_| store.aircraft().unwrap());
    times("newest hash", 2000, |_| store.head().unwrap());
}
