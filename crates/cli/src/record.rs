//! `hingeline ledger`, `hingeline backup`, `hingeline restore`: the record of a shop from the terminal.

use crate::print;
use clap::{Args, Subcommand};
use hingeline_bench::record::ledger::Heads;
use hingeline_store::{Reader, Store, StoreError, chain, restore};
use std::error::Error;
use std::path::PathBuf;

#[derive(Args)]
pub(crate) struct LedgerCall {
    #[command(subcommand)]
    command: LedgerCommand,
}

#[derive(Subcommand)]
enum LedgerCommand {
    /// Check every entry, every hash and every photograph of a shop; may run beside the server
    Verify(FolderCall),
    /// Work the lists and the search out again from the entries; the server must be stopped
    Rebuild(FolderCall),
}

#[derive(Args)]
struct FolderCall {
    /// The folder of the shop
    #[arg(long, value_name = "DIR", default_value = "shop")]
    folder: PathBuf,
}

#[derive(Args)]
pub(crate) struct BackupCall {
    /// An empty folder, or one that is not there yet, for the copy
    #[arg(value_name = "DIR")]
    to: PathBuf,
    /// The folder of the shop
    #[arg(long, value_name = "DIR", default_value = "shop")]
    folder: PathBuf,
}

#[derive(Args)]
pub(crate) struct RestoreCall {
    /// The backup
    #[arg(value_name = "FROM")]
    from: PathBuf,
    /// An empty folder, or one that is not there yet, for the shop
    #[arg(value_name = "TO")]
    to: PathBuf,
}

pub(crate) fn ledger(call: &LedgerCall) -> Result<u8, String> {
    match &call.command {
        LedgerCommand::Verify(call) => verify(call),
        LedgerCommand::Rebuild(call) => {
            let jobs = Store::open(&call.folder).and_then(|store| store.rebuild()).map_err(said)?;
            print(&format!("worked out again from the entries: {jobs} jobs\n"))?;
            Ok(0)
        }
    }
}

fn verify(call: &FolderCall) -> Result<u8, String> {
    let reader = Reader::open(&call.folder).map_err(said)?;
    match reader.verify() {
        Ok(heads) => {
            print(&format!("every entry fits\n{}", heads_text(&heads)))?;
            Ok(0)
        }
        Err(error) => {
            let hint = error.hint().map_or(String::new(), |hint| format!("hint: {hint}\n"));
            print(&format!("THE RECORD DOES NOT FIT: {}\n{hint}", chain(&error)))?;
            Ok(1)
        }
    }
}

/// The heads as a person compares them with a printed sheet.
fn heads_text(heads: &Heads) -> String {
    let mut text = format!("shop   {:>6} entries  {}\n", heads.entries, heads.shop.short());
    for (ledger, (entries, hash)) in &heads.ledgers {
        text.push_str(&format!("       {entries:>6} entries  {}  {ledger}\n", hash.short()));
    }
    text
}

pub(crate) fn backup(call: &BackupCall) -> Result<u8, String> {
    let heads = Reader::open(&call.folder).and_then(|reader| reader.backup(&call.to)).map_err(said)?;
    print(&format!("copied to {} and checked\n{}", call.to.display(), heads_text(&heads)))?;
    Ok(0)
}

pub(crate) fn restored(call: &RestoreCall) -> Result<u8, String> {
    let heads = restore(&call.from, &call.to).map_err(said)?;
    print(&format!("copied to {} and checked\n{}", call.to.display(), heads_text(&heads)))?;
    Ok(0)
}

fn said(error: StoreError) -> String {
    told(&error, error.hint())
}

/// An error as the terminal shows it.
pub(crate) fn told(error: &dyn Error, hint: Option<&str>) -> String {
    let hint = hint.map(|hint| format!("hint: {hint}\n")).unwrap_or_default();
    format!("error: {}\n{hint}", chain(error))
}
