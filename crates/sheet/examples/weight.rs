//! Writes drawings, pictures, papers and patterns of invented weights.
//!
//! `cargo run -p hingeline-sheet --example weight -- FOLDER [NAME]`

#[path = "weight_demo/mod.rs"]
mod weight_demo;

use std::error::Error;
use std::path::PathBuf;

use hingeline_bench::weight::Hand;
use hingeline_quantity::unit::MILLIMETRE;
use hingeline_sheet::Palette;
use hingeline_sheet::drawing::{Canvas, weight_picture, weight_views};
use hingeline_sheet::paper::PaperSize;
use hingeline_sheet::weight::{drawing_of, pattern_stl, picture_of, surface_json, weight_paper};

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let folder =
        arguments.next().map_or_else(|| std::env::temp_dir().join("hingeline-weights"), PathBuf::from);
    let wanted = arguments.next().unwrap_or_default();
    std::fs::create_dir_all(&folder)?;
    let texts = weight_demo::texts();
    let palette = Palette::paper();
    for (name, design, solution) in weight_demo::all()? {
        if !name.contains(&wanted) {
            continue;
        }
        let drawing = drawing_of(&design, &solution, &texts);
        for (size, canvas) in [("sheet", Canvas::SHEET), ("wide", Canvas::WIDE), ("phone", Canvas::PHONE)] {
            let svg = weight_views(&drawing, &palette, canvas)?.into_string();
            std::fs::write(folder.join(format!("{name}-{size}.svg")), svg)?;
        }
        for (size, suffix) in [(PaperSize::A4, "A4"), (PaperSize::Letter, "Letter")] {
            let pdf = weight_paper(&design, &solution, &texts, size)?;
            std::fs::write(folder.join(format!("{name}-{suffix}.pdf")), pdf)?;
        }
        let picture = picture_of(&design, &solution, Hand::Right, 1e-4)?;
        let svg = weight_picture(&picture, "picture of the weight", &palette, Canvas::WIDE)?.into_string();
        std::fs::write(folder.join(format!("{name}-picture.svg")), svg)?;
        std::fs::write(folder.join(format!("{name}.json")), surface_json(&picture))?;
        for pattern in pattern_stl(&solution, Hand::Right, 0.01, &MILLIMETRE)? {
            std::fs::write(folder.join(format!("{name}-{}.stl", pattern.name)), pattern.bytes)?;
        }
    }
    Ok(())
}
