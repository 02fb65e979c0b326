//! Prints the sheets of an invented job, in both sizes, by every method and on a bad day.
//!
//! `cargo run -p hingeline-sheet --example sample -- FOLDER [PART-OF-A-NAME]`

mod job;

use std::error::Error;
use std::path::PathBuf;

use hingeline_sheet::paper::{Paper, PaperSize, pdf};

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let folder =
        arguments.next().map_or_else(|| std::env::temp_dir().join("hingeline-sheets"), PathBuf::from);
    let wanted = arguments.next().unwrap_or_default();
    std::fs::create_dir_all(&folder)?;
    for (name, paper) in sheets() {
        for (size, suffix) in [(PaperSize::A4, "A4"), (PaperSize::Letter, "Letter")] {
            let file = format!("{name} {suffix}.pdf").replace(' ', "-");
            if file.contains(&wanted) {
                std::fs::write(folder.join(file), pdf(&paper, size)?)?;
            }
        }
    }
    Ok(())
}

fn sheets() -> Vec<(String, Paper)> {
    let methods = job::METHODS.iter();
    let mut sheets: Vec<_> =
        methods.map(|(method, name)| (format!("method {name}"), job::by_method(*method, name))).collect();
    sheets.push(("as found".into(), job::as_found()));
    sheets.push(("as left".into(), job::as_left()));
    sheets.push(("awkward".into(), job::awkward()));
    sheets.push(("empty".into(), Paper::default()));
    sheets
}
