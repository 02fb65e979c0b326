//! The pictures of the guides: their names, the job sheets that they are drawn from, and how they are drawn.
//!
//! Main function: [`pictures`]. A picture in a guide stands alone, on whatever page and with whatever typeface the
//! reader has: so it brings its own ground, and its labels are laid out for the wider of the usual faces.

use std::error::Error;

use hingeline_bench::{Assessment, JobSheet, assess};
use hingeline_sheet::drawing::{BenchDrawing, Canvas, band, bench};
use hingeline_sheet::{Palette, band_drawing, bench_drawing};

macro_rules! demo {
    ($name:literal) => {
        include_str!(concat!("../../../../demo/", $name, ".toml"))
    };
}

/// What of a job is drawn.
enum View {
    Bench,
    Band,
}

/// A picture: its file name without the ending, what is drawn, and the job sheet.
struct Picture {
    name: &'static str,
    view: View,
    sheet: &'static str,
    /// Nose and trailing edge, m from the hinge line, for a sheet that does not give them: without them the
    /// schematic outline ends at the scale and says little to somebody who sees a bench for the first time.
    outline_m: Option<(f64, f64)>,
}

impl Picture {
    const fn bench(name: &'static str, sheet: &'static str, outline_m: Option<(f64, f64)>) -> Self {
        Self { name, view: View::Bench, sheet, outline_m }
    }
    const fn band(name: &'static str, sheet: &'static str) -> Self {
        Self { name, view: View::Band, sheet, outline_m: None }
    }
}

/// The widest of the usual faces that a reader is likely to have, against the face of the printed sheet.
const LETTER_WIDTH: f64 = 1.14;

const INCH: f64 = 0.0254;

const PICTURES: [Picture; 9] = [
    Picture::bench("trailing-edge-scale", demo!("HP-0231-elevator"), None),
    Picture::bench("hung-weight", demo!("HP-0229-tab"), Some((-0.025, 0.088))),
    Picture::bench("balance-beam", demo!("HP-0236-elevator"), Some((-7.5 * INCH, 18.5 * INCH))),
    Picture::bench("support-scale", demo!("HP-0235-rudder"), Some((-9.5 * INCH, 16.0 * INCH))),
    Picture::bench("parts-list", demo!("HP-0237-aileron-plan"), Some((-0.070, 0.300))),
    Picture::bench("two-attitudes", demo!("HP-0238-elevator"), Some((-5.75 * INCH, 16.5 * INCH))),
    Picture::band("band-clear-pass", demo!("HP-0228-aileron")),
    Picture::band("band-clear-fail", demo!("HP-0231-elevator")),
    Picture::band("band-doubtful", demo!("HP-0235-rudder")),
];

/// Every picture: its file name and the SVG.
pub(crate) fn pictures() -> Result<Vec<(String, String)>, Box<dyn Error>> {
    PICTURES.iter().map(|picture| Ok((format!("{}.svg", picture.name), draw(picture)?))).collect()
}

fn draw(picture: &Picture) -> Result<String, Box<dyn Error>> {
    let assessment = assess(JobSheet::parse(picture.sheet)?, None);
    let palette = Palette {
        font_family: "'Source Sans 3', 'Segoe UI', 'Helvetica Neue', Arial, sans-serif".into(),
        letter_width: LETTER_WIDTH,
        ..Palette::paper()
    };
    let drawn = match picture.view {
        View::Bench => bench(&outlined(&assessment, picture.outline_m), &palette, Canvas::WIDE)?,
        View::Band => band(&band_drawing(&assessment), &palette, Canvas::WIDE)?,
    };
    Ok(on_ground(&drawn.into_string(), &palette.ground))
}

fn outlined(assessment: &Assessment, outline_m: Option<(f64, f64)>) -> BenchDrawing {
    let drawing = bench_drawing(assessment);
    BenchDrawing {
        nose_m: drawing.nose_m.or(outline_m.map(|(nose, _)| nose)),
        trailing_edge_m: drawing.trailing_edge_m.or(outline_m.map(|(_, trailing_edge)| trailing_edge)),
        ..drawing
    }
}

/// The drawing with a ground of its own under it, one element a line.
fn on_ground(svg: &str, colour: &str) -> String {
    let ground = format!("><rect width=\"100%\" height=\"100%\" fill=\"{colour}\"></rect><");
    let svg = svg.replacen("><", &ground, 1);
    // Not between the words of a label, where a line break would count as a space.
    let elements = ["<rect", "<path", "<text", "<g", "</g", "</svg"];
    elements.iter().fold(svg, |text, element| text.replace(&format!(">{element}"), &format!(">\n{element}")))
        + "\n"
}
