//! The program `hingeline`: reads the call, hands it to a use case, prints what comes back.
//!
//! Data go to stdout, messages to stderr. Exit status: 0 the last weighing is within its limits, 1 it is outside,
//! 2 the sheet or the call is wrong. No calculation here.

mod balance;
mod clock;
mod errors;
mod record;
mod report;
mod serve;
mod weight;

use clap::{Parser, Subcommand};
use std::io::Write;
use std::process::ExitCode;

#[derive(Parser)]
#[command(
    name = "hingeline",
    version,
    about = "Static balance of movable control surfaces: readings in; verdict, correction and printed sheet out",
    after_help = "Exit status: 0 the last weighing is within its limits, 1 it is outside, 2 the sheet or the call is wrong."
)]
struct Call {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Work out a job sheet: moment, uncertainty, verdict, correction
    Balance(balance::Call),
    /// Find a balance weight: a weight sheet in; dimensions, masses, trim and fastening out
    Weight(weight::Call),
    /// Run every published check on this machine and print what came out
    SelfCheck,
    /// Serve the pages of a shop: jobs, limits, instruments, people, the record
    Serve(serve::Call),
    /// Check the record of a shop, or work its lists out again
    Ledger(record::LedgerCall),
    /// Copy a shop whole and check the copy; may run beside the server
    Backup(record::BackupCall),
    /// Copy a backup into an empty folder and check it
    Restore(record::RestoreCall),
}

fn main() -> ExitCode {
    let call = Call::parse();
    let done = match call.command {
        Command::Balance(call) => balance::run(&call),
        Command::Weight(call) => weight::run(&call),
        Command::SelfCheck => self_check(),
        Command::Serve(call) => serve::run(&call),
        Command::Ledger(call) => record::ledger(&call),
        Command::Backup(call) => record::backup(&call),
        Command::Restore(call) => record::restored(&call),
    };
    match done {
        Ok(status) => ExitCode::from(status),
        Err(text) => {
            // A closed stderr leaves nobody to tell.
            let _ = std::io::stderr().write_all(text.as_bytes());
            ExitCode::from(2)
        }
    }
}

fn self_check() -> Result<u8, String> {
    let report = hingeline_checks::run().map_err(|error| format!("error: {error}\n"))?;
    print(&report.text())?;
    Ok(if report.all_agree() { 0 } else { 1 })
}

/// Writes to stdout; a reader that closed the pipe early is no fault of the sheet.
fn print(text: &str) -> Result<(), String> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(format!("error: cannot write: {error}\n"))
        }
        _ => Ok(()),
    }
}
