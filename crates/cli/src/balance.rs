//! `hingeline balance`: one sheet, or a folder of sheets in parallel.

use crate::{errors, print, report};
use clap::{Args, ValueEnum};
use hingeline_bench::result::JobResult;
use hingeline_bench::{Assessment, Fault, JobSheet, MonteCarlo, assess};
use hingeline_sheet::PaperSize;
use hingeline_store::ReadBy;
use rayon::prelude::*;
use serde::Serialize;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

#[derive(Args)]
pub(crate) struct Call {
    /// A job sheet (TOML), or a folder of them
    #[arg(value_name = "FILE|FOLDER")]
    path: PathBuf,
    /// Print one JSON object (SI, the unit in each key); for a folder, a list of them
    #[arg(long)]
    json: bool,
    /// Show the uncertainty budget and both routes to the uncertainty
    #[arg(long, conflicts_with = "json")]
    explain: bool,
    /// Work the uncertainty out a second time with so many random trials
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1000..=100_000_000))]
    monte_carlo: Option<u32>,
    /// The seed of the random trials: same seed, same answer
    #[arg(long, value_name = "N", default_value_t = 1)]
    seed: u64,
    /// Write the printed sheet (PDF) to this file
    #[arg(long, value_name = "OUT")]
    pdf: Option<PathBuf>,
    /// The paper of the printed sheet
    #[arg(long, value_enum, default_value_t = PaperName::A4)]
    paper: PaperName,
}

/// The papers that a sheet is printed on.
#[derive(Clone, Copy, ValueEnum)]
pub(crate) enum PaperName {
    A4,
    Letter,
}

impl PaperName {
    pub(crate) fn size(self) -> PaperSize {
        match self {
            Self::A4 => PaperSize::A4,
            Self::Letter => PaperSize::Letter,
        }
    }
}

/// How many trials `--explain` makes where no number is given.
const TRIALS: u32 = 1_000_000;

pub(crate) fn run(call: &Call) -> Result<u8, String> {
    if call.path.is_dir() { folder(call) } else { sheet(call) }
}

impl Call {
    fn wish(&self) -> Option<MonteCarlo> {
        let trials = self.monte_carlo.or(self.explain.then_some(TRIALS))?;
        Some(MonteCarlo { trials: trials as usize, seed: self.seed })
    }
}

pub(crate) fn read(path: &Path) -> Result<String, String> {
    let bytes = fs::read(path).map_err(|error| {
        format!("error: cannot read {}: {error}\nhint: name a sheet, a text file in TOML\n", path.display())
    })?;
    String::from_utf8(bytes).map_err(|error| {
        let good = error.utf8_error().valid_up_to();
        let line = error.as_bytes()[..good].iter().filter(|byte| **byte == b'\n').count() + 1;
        format!("error: {} is not UTF-8 text\n  at: line {line}\nhint: save it as UTF-8\n", path.display())
    })
}

/// What is written never takes the place of a sheet that was read.
pub(crate) fn refuse_to_overwrite_a_sheet(flag: &str, sheet: &Path, out: &Path) -> Result<(), String> {
    let same = fs::canonicalize(sheet).ok().zip(fs::canonicalize(out).ok()).is_some_and(|(a, b)| a == b);
    let toml = out.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("toml"));
    if same || toml {
        return Err(format!(
            "error: --{flag} {} would take the place of a sheet\nhint: name a file that ends in .{flag}\n",
            out.display()
        ));
    }
    Ok(())
}

fn sheet(call: &Call) -> Result<u8, String> {
    if let Some(out) = &call.pdf {
        refuse_to_overwrite_a_sheet("pdf", &call.path, out)?;
    }
    let text = read(&call.path)?;
    let name = call.path.display().to_string();
    let sheet = JobSheet::parse(&text).map_err(|faults| errors::faults(&name, &text, &faults))?;
    let assessment = assess(sheet, call.wish());
    if let Some(out) = &call.pdf {
        write_pdf(&assessment, call.paper, out)?;
        // Who reads only stdout has the result all the same.
        let _ = writeln!(std::io::stderr(), "wrote {}", out.display());
    }
    if call.json {
        print(&json(&JobResult::of(&assessment))?)?;
    } else {
        print(&report::person(&assessment, call.explain))?;
    }
    Ok(u8::from(!assessment.within()))
}

pub(crate) fn json(value: &impl Serialize) -> Result<String, String> {
    serde_json::to_string_pretty(value).map(|text| text + "\n").map_err(|error| format!("error: {error}\n"))
}

fn write_pdf(assessment: &Assessment, paper: PaperName, out: &Path) -> Result<(), String> {
    let checks = hingeline_checks::run().map_err(|error| format!("error: {error}\n"))?;
    let bytes = hingeline_sheet::job_paper(assessment, checks.agree(), paper.size())
        .map_err(|error| format!("error: {error}\n"))?;
    write_out(&bytes, out)
}

/// Whether a file can be written at a place, as far as can be told before.
pub(crate) fn can_be_written(out: &Path) -> Result<(), String> {
    let folder = out.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    if !folder.is_dir() {
        return Err(format!(
            "error: cannot write {}: there is no folder {}\nhint: make the folder first, or name another\n",
            out.display(),
            folder.display()
        ));
    }
    if fs::metadata(out).is_ok_and(|about| !about.is_file()) {
        return Err(format!(
            "error: cannot write {}: what stands there is no file\nhint: name a file\n",
            out.display()
        ));
    }
    Ok(())
}

/// Writes a file that was asked for.
pub(crate) fn write_out(bytes: &[u8], out: &Path) -> Result<(), String> {
    let failed = |error: std::io::Error| {
        format!(
            "error: cannot write {}: {error}\nhint: name a file in a folder that exists and can be written\n",
            out.display()
        )
    };
    can_be_written(out)?;
    hingeline_store::write_whole(out, ReadBy::Anybody, |file| file.write_all(bytes)).map_err(failed)
}

/// One sheet of a folder: its result, or what is wrong with it.
#[derive(Serialize)]
struct Entry {
    file: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    result: Option<JobResult>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    faults: Vec<FaultPart>,
    #[serde(skip)]
    line: String,
    #[serde(skip)]
    message: String,
    #[serde(skip)]
    status: u8,
}

/// A fault in JSON.
#[derive(Serialize)]
struct FaultPart {
    what: String,
    line: usize,
    column: usize,
    allowed: Option<String>,
    hint: Option<String>,
}

impl From<Fault> for FaultPart {
    fn from(fault: Fault) -> Self {
        Self {
            what: fault.what,
            line: fault.line,
            column: fault.column,
            allowed: fault.allowed,
            hint: fault.hint,
        }
    }
}

fn folder(call: &Call) -> Result<u8, String> {
    if call.pdf.is_some() {
        return Err(
            "error: --pdf writes the paper of one sheet, not of a folder\nhint: name one job sheet\n"
                .to_owned(),
        );
    }
    let files = sheets_in(&call.path)?;
    let entries: Vec<Entry> = files.par_iter().map(|file| entry(file, call.wish())).collect();
    if call.json {
        print(&json(&entries)?)?;
    } else {
        let lines: String = entries.iter().map(|entry| entry.line.as_str()).collect();
        print(&lines)?;
    }
    let messages: String = entries.iter().map(|entry| entry.message.as_str()).collect();
    // The list is out already; what is wrong with single sheets goes to stderr.
    let _ = std::io::stderr().write_all(messages.as_bytes());
    Ok(entries.iter().map(|entry| entry.status).max().unwrap_or(0))
}

fn sheets_in(folder: &Path) -> Result<Vec<PathBuf>, String> {
    let failed = |error: std::io::Error| format!("error: cannot read {}: {error}\n", folder.display());
    let mut files = Vec::new();
    for item in fs::read_dir(folder).map_err(failed)? {
        let path = item.map_err(failed)?.path();
        let hidden = path.file_name().is_some_and(|name| name.to_string_lossy().starts_with('.'));
        let sheet = path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("toml"));
        if sheet && !hidden && !path.is_dir() {
            files.push(path);
        }
    }
    files.sort();
    if files.is_empty() {
        return Err(format!("error: no job sheet in {}\nhint: job sheets end in .toml\n", folder.display()));
    }
    Ok(files)
}

fn entry(path: &Path, wish: Option<MonteCarlo>) -> Entry {
    let file = path.display().to_string();
    let text = match read(path) {
        Ok(text) => text,
        Err(message) => {
            let what = message.lines().next().unwrap_or("").trim_start_matches("error: ").to_owned();
            let fault = FaultPart { what, line: 1, column: 1, allowed: None, hint: None };
            return refused(file, message, vec![fault]);
        }
    };
    match JobSheet::parse(&text) {
        Ok(sheet) => {
            let assessment = assess(sheet, wish);
            Entry {
                line: report::line(&file, &assessment),
                result: Some(JobResult::of(&assessment)),
                faults: Vec::new(),
                message: String::new(),
                status: u8::from(!assessment.within()),
                file,
            }
        }
        Err(faults) => {
            let message = errors::faults(&file, &text, &faults);
            refused(file, message, faults.faults.into_iter().map(FaultPart::from).collect())
        }
    }
}

fn refused(file: String, message: String, faults: Vec<FaultPart>) -> Entry {
    Entry { line: format!("wrong     {file}\n"), result: None, faults, message, status: 2, file }
}
