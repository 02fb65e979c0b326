//! Simulates the benches of every row and writes the page of the proof.
//!
//! `cargo run --release -p hingeline-checks --example coverage -- 100000 docs/coverage.md`: how many benches a row,
//! and where the page goes. It is written beside its place and renamed: whole or not at all.
#![allow(clippy::print_stderr, reason = "a long run tells how far it is")]

use hingeline_checks::coverage::page;
use std::path::PathBuf;
use std::process::ExitCode;
use std::{env, fs, io};

const SEED: u64 = 20_260_711;
const COMMAND: &str = "cargo run --release -p hingeline-checks --example coverage --";

fn main() -> ExitCode {
    let arguments: Vec<String> = env::args().skip(1).collect();
    let [benches, path] = arguments.as_slice() else {
        eprintln!("error: give the number of benches a row, and the file to write");
        return ExitCode::from(2);
    };
    let Ok(benches @ 1..) = benches.parse::<u64>() else {
        eprintln!("error: the number of benches a row is “{benches}”\n  allowed: a whole number, 1 or more");
        return ExitCode::from(2);
    };
    let command = format!("{COMMAND} {benches} {path}");
    let text = page(benches, SEED, &command, |done, of| {
        if done % 50 == 0 || done == of {
            eprintln!("{done} of {of} rows");
        }
    });
    match write(&PathBuf::from(path), &text) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("error: {path} cannot be written: {error}");
            ExitCode::from(2)
        }
    }
}

fn write(path: &PathBuf, text: &str) -> io::Result<()> {
    let beside = path.with_extension("new");
    fs::write(&beside, text)?;
    fs::rename(&beside, path)
}
