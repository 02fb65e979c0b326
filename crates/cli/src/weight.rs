//! `hingeline weight`: one weight sheet in, the piece out. Layout only: numbers and sentences come from the bench.

use crate::balance::{self, PaperName};
use crate::report::Page;
use crate::{errors, print};
use clap::{Args, ValueEnum};
use hingeline_bench::weight::{
    AnySheet, Hand, MOST_MESH_BYTES, Standing, WeightAnswer, Worked, drill_out, words, work,
};
use hingeline_quantity::unit;
use hingeline_sheet::weight::{Size, WeightTexts, pattern_sized, weight_paper};
use std::collections::BTreeSet;
use std::fs;
use std::io::Write;
use std::path::{Component, Path, PathBuf};

#[derive(Args)]
#[command(
    after_help = "Exit status: 0 there is a piece, 1 there is none, it or the holes do not suffice, or the casting is too light, 2 the sheet or the call is wrong."
)]
pub(crate) struct Call {
    /// A weight sheet (TOML)
    #[arg(value_name = "FILE")]
    path: PathBuf,
    /// Print one JSON object (SI, the unit in each key)
    #[arg(long)]
    json: bool,
    /// Write the drawing with its templates at true size (PDF) to this file
    #[arg(long, value_name = "OUT")]
    pdf: Option<PathBuf>,
    /// The paper of the drawing
    #[arg(long, value_enum, default_value_t = PaperName::A4)]
    paper: PaperName,
    /// Write the pattern of the casting before holes (STL, millimetres) to this file; of halves, one file each beside it
    #[arg(long, value_name = "OUT")]
    stl: Option<PathBuf>,
    /// How much the pattern is grown for the shrinkage of the metal, percent
    #[arg(long, value_name = "PERCENT", default_value_t = 1.0, value_parser = percent)]
    shrinkage: f64,
    /// Whether templates and pattern have the reserve to trim; left out: the pattern has it, the templates are exact
    #[arg(long, value_enum, value_name = "WHICH")]
    reserve: Option<Reserve>,
}

/// Of which piece templates and pattern are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Reserve {
    /// As it is poured, with the metal that trimming takes off
    With,
    /// As it is to be when it is trimmed
    Without,
}

impl Reserve {
    fn size(self) -> Size {
        match self {
            Self::With => Size::WithReserve,
            Self::Without => Size::Exact,
        }
    }
}

/// The largest shrinkage that a pattern is grown by, percent.
const MOST_SHRINKAGE: f64 = 10.0;

fn percent(text: &str) -> Result<f64, String> {
    let number = text.trim_end_matches('%').trim().parse::<f64>().ok();
    let allowed = number.filter(|number| (0.0..=MOST_SHRINKAGE).contains(number));
    allowed.ok_or_else(|| format!("it is a number from 0 to {MOST_SHRINKAGE}"))
}

pub(crate) fn run(call: &Call) -> Result<u8, String> {
    for (flag, out) in [("pdf", &call.pdf), ("stl", &call.stl)] {
        out.as_ref().map_or(Ok(()), |out| balance::refuse_to_overwrite_a_sheet(flag, &call.path, out))?;
    }
    if call.pdf.is_some() && call.pdf == call.stl {
        return Err("error: --pdf and --stl name the same file\nhint: name two\n".to_owned());
    }
    let text = balance::read(&call.path)?;
    let name = call.path.display().to_string();
    let files = |file: &str| read_beside(&call.path, file);
    match AnySheet::parse_with(&text, &files).map_err(|faults| errors::faults(&name, &text, &faults))? {
        AnySheet::Piece(sheet) => piece(call, &work(*sheet)),
        AnySheet::DrillOut(sheet) => holes(call, &drill_out::work(*sheet)),
    }
}

fn piece(call: &Call, worked: &Worked) -> Result<u8, String> {
    write_files(call, worked)?;
    if call.json {
        print(&balance::json(&WeightAnswer::of(worked))?)?;
    } else {
        let job = worked.sheet.job.as_deref();
        let head = Head { job, name: &worked.sheet.name, asked: words::asked(worked) };
        print(&person(&head, &words::headline(worked), &words::sections(worked)))?;
    }
    Ok(u8::from(worked.standing() != Standing::Solved))
}

fn holes(call: &Call, drilled: &drill_out::Drilled) -> Result<u8, String> {
    for (flag, out) in [("pdf", &call.pdf), ("stl", &call.stl)] {
        if out.is_some() {
            return Err(format!(
                "error: --{flag} is of a new piece, and this sheet drills an old weight out\nhint: leave --{flag} out\n"
            ));
        }
    }
    if call.json {
        print(&balance::json(&drill_out::DrillAnswer::of(drilled))?)?;
    } else {
        let job = drilled.sheet.job.as_deref();
        let head = Head { job, name: &drilled.sheet.name, asked: drill_out::words::asked(drilled) };
        print(&person(&head, &drill_out::words::headline(drilled), &drill_out::words::sections(drilled)))?;
    }
    Ok(u8::from(!drilled.is_solved()))
}

/// A file that a sheet names: beside it or below, never above.
fn read_beside(sheet: &Path, file: &str) -> Result<Vec<u8>, String> {
    let name = Path::new(file);
    if !name.components().all(|part| matches!(part, Component::Normal(_))) {
        return Err("it does not lie beside the sheet".to_owned());
    }
    let path = sheet.parent().unwrap_or(Path::new("")).join(name);
    let told = |error: std::io::Error| format!("cannot read {}: {error}", path.display());
    let about = fs::metadata(&path).map_err(told)?;
    if !about.is_file() {
        return Err(format!("{} is no file", path.display()));
    }
    if MOST_MESH_BYTES < about.len() {
        let [found, most] = [about.len().div_ceil(1 << 20), MOST_MESH_BYTES >> 20];
        return Err(format!(
            "{} has {found} MiB, more than the {most} MiB of the largest file",
            path.display()
        ));
    }
    fs::read(&path).map_err(told)
}

/// The drawing and the pattern, where they are asked for: all of them are made before any is written.
fn write_files(call: &Call, worked: &Worked) -> Result<(), String> {
    let asked = [("pdf", &call.pdf), ("stl", &call.stl)];
    let asked = asked.into_iter().filter(|(_, out)| out.is_some());
    let Some(piece) = worked.solution() else {
        for (flag, _) in asked {
            let _ = writeln!(std::io::stderr(), "there is no piece, so --{flag} wrote nothing");
        }
        return Ok(());
    };
    let mut files = Vec::new();
    if let Some(out) = &call.pdf {
        let size = call.reserve.map_or(Size::Exact, Reserve::size);
        let texts = WeightTexts { templates: size, ..texts(worked)? };
        let paper = weight_paper(&worked.sheet.design, piece, &texts, call.paper.size());
        files.push((out.to_owned(), paper.map_err(|error| format!("error: {error}\n"))?));
    }
    if let Some(out) = &call.stl {
        let size = call.reserve.map_or(Size::WithReserve, Reserve::size);
        let made = pattern_sized(worked, size, call.shrinkage / 100.0, &unit::MILLIMETRE)
            .map_err(|fault| format!("error: no pattern: {fault}\nhint: {}\n", fault.hint()))?;
        let (words, patterns) = made.unwrap_or_default();
        let hand = match worked.sheet.hand {
            Hand::Right => "",
            Hand::Left => ", of a left-hand surface",
        };
        let _ = writeln!(std::io::stderr(), "the pattern is {words}{hand}, before holes");
        files.extend(patterns.into_iter().map(|pattern| {
            let place = if pattern.name == "whole" { out.to_owned() } else { beside(out, pattern.name) };
            (place, pattern.bytes)
        }));
    }
    files.iter().try_for_each(|(out, _)| keep_the_mesh(call, worked, out))?;
    files.iter().try_for_each(|(out, _)| balance::can_be_written(out))?;
    apart(files.iter().map(|(out, _)| out.as_path()))?;
    files.into_iter().try_for_each(|(out, bytes)| write(&bytes, &out))
}

/// Whether no two files go to one place.
fn apart<'p>(mut outs: impl Iterator<Item = &'p Path>) -> Result<(), String> {
    let mut places = BTreeSet::new();
    outs.try_for_each(|out| {
        let folder = out.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
        let beside = fs::canonicalize(folder).map(|folder| folder.join(out.file_name().unwrap_or_default()));
        let place = fs::canonicalize(out).or(beside).unwrap_or(out.to_owned());
        if places.insert(place) {
            return Ok(());
        }
        Err(format!(
            "error: the drawing and a pattern would both be {}\nhint: name another file for one of them\n",
            out.display()
        ))
    })
}

/// What is written never takes the place of the mesh that was read.
fn keep_the_mesh(call: &Call, worked: &Worked, out: &Path) -> Result<(), String> {
    let mesh = worked.sheet.mesh.as_ref().map(|mesh| call.path.with_file_name(&mesh.name));
    let same = mesh.and_then(|mesh| fs::canonicalize(mesh).ok().zip(fs::canonicalize(out).ok()));
    if same.is_some_and(|(a, b)| a == b) {
        return Err(format!(
            "error: {} would take the place of the mesh that the sheet names\nhint: name another file\n",
            out.display()
        ));
    }
    Ok(())
}

/// `cap.stl` and "upper" are `cap-upper.stl`.
fn beside(out: &Path, name: &str) -> PathBuf {
    let stem = out.file_stem().map_or(String::new(), |stem| stem.to_string_lossy().into_owned());
    out.with_file_name(format!("{stem}-{}.stl", name.replace(' ', "-")))
}

fn write(bytes: &[u8], out: &Path) -> Result<(), String> {
    balance::write_out(bytes, out)?;
    // Who reads only stdout has the answer all the same.
    let _ = writeln!(std::io::stderr(), "wrote {}", out.display());
    Ok(())
}

fn texts(worked: &Worked) -> Result<WeightTexts, String> {
    let sheet = &worked.sheet;
    let checks = hingeline_checks::run().map_err(|error| format!("error: {error}\n"))?;
    Ok(hingeline_sheet::weight::texts_of(worked, sheet.job.as_deref().unwrap_or(""), checks.agree()))
}

/// What stands above an answer.
struct Head<'t> {
    job: Option<&'t str>,
    name: &'t str,
    asked: String,
}

/// The whole answer.
fn person(head: &Head<'_>, headline: &str, sections: &[words::Section]) -> String {
    let mut out = Page::default();
    let job = head.job.map_or(String::new(), |job| format!("{job}  "));
    out.wrapped(0, &format!("{job}{}", head.name));
    out.wrapped(0, &format!("asked for: {}", head.asked));
    out.line("");
    out.wrapped(0, headline);
    for section in sections {
        out.line("");
        out.line(&section.title.to_uppercase());
        for line in &section.lines {
            out.wrapped(2, line);
        }
    }
    out.into_text()
}
