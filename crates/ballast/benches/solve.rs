//! A cap in two halves with screws, inserts and primer: solved from the moment that is missing, timed inside the process.
//!
//! `solve` prints what is found in the units of a shop; `solve RUNS` prints one time in milliseconds a run. All numbers
//! are invented.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "a bench prints times and may stop"
)]

use hingeline_ballast::Material;
use hingeline_ballast::coating::COATINGS;
use hingeline_ballast::design::{
    Accuracy, Depth, Design, Dimension, Film, Form, Hardware, Hole, Mouth, Parting, Place, Solution, Span,
    Vary, Wanted,
};
use hingeline_ballast::outline::{Path, Side, Traced};
use std::hint::black_box;
use std::time::Instant;

const INCH: f64 = 0.0254;
const POUND: f64 = 0.453_592_37;

fn main() {
    // Cargo adds an argument of its own.
    let words: Vec<String> = std::env::args().skip(1).filter(|word| word != "--bench").collect();
    match words.first() {
        None => show(&design().solve().unwrap()),
        Some(runs) => time(runs.parse().unwrap()),
    }
}

fn time(runs: u32) {
    for _ in 0..runs {
        let design = design();
        let start = Instant::now();
        black_box(black_box(&design).solve().unwrap());
        println!("{:.4}", 1e3 * start.elapsed().as_secs_f64());
    }
}

fn show(found: &Solution) {
    let inches_pounds = INCH * POUND;
    let (dimension, value) = found.value.unwrap();
    println!("{}: {:.5} in", dimension.name(), value / INCH);
    for part in &found.parts {
        let (pounds, arm) = (part.mass_kg / POUND, part.arm_m / INCH);
        println!(
            "{:16} {pounds:9.5} lb {arm:9.4} in {:9.4} in-lb",
            part.name,
            part.moment_kg_m / inches_pounds
        );
    }
    let all = found.finished;
    let (pounds, arm) = (all.mass_kg / POUND, all.arm_m / INCH);
    println!("finished         {pounds:9.5} lb {arm:9.4} in {:9.4} in-lb", all.moment_kg_m / inches_pounds);
    for half in &found.halves {
        println!("{} half: {:.5} lb as cast", half.name, half.as_cast.total / POUND);
    }
    println!("front at {:.4} in, swing {:.4} in", found.envelope.front / INCH, found.envelope.swing / INCH);
    let naive = found.naive.unwrap();
    println!("naive: {:.4} lb, {:.4} in-lb", naive.mass_kg / POUND, naive.moment_kg_m / inches_pounds);
    for one in &found.contributions {
        println!("u by {}: {:.4} in-lb", one.name, one.standard_uncertainty / inches_pounds);
    }
    println!("u: {:.4} in-lb", found.standard_uncertainty / inches_pounds);
    let reserve = found.reserve.unwrap();
    println!("cast {:.5} lb ({:+.5} lb)", reserve.cast_kg / POUND, reserve.mass_kg / POUND);
    println!("at {:.5} in", reserve.dimension_m.unwrap() / INCH);
}

fn design() -> Design {
    let inches = |x: f64, z: f64| [x * INCH, z * INCH];
    let edges = [
        Traced::Line { to: inches(-6.1, 0.45) },
        Traced::Arc { through: inches(-6.55, 0.0), to: inches(-6.1, -0.45) },
        Traced::Line { to: inches(-5.6, -0.45) },
    ];
    let front = Path::traced(inches(-5.6, 0.45), &edges).unwrap();
    let span = Span { from: -2.0 * INCH, length: 4.0 * INCH };
    let form = Form::Cap { front, outside: Side::Right, thickness: 0.003, span, end_walls: None };
    let vary = Vary::Dimension { dimension: Dimension::Thickness, least: 0.02 * INCH, most: 0.5 * INCH };
    let wanted = Wanted { moment_kg_m: -3.78 * INCH * POUND, standard_uncertainty: 0.02 * INCH * POUND };
    let density = Material::antimonial_lead(0.04).unwrap().density(20.0).unwrap();
    let mut design = Design::new(wanted, form, vary, density);
    for y in [-INCH, INCH] {
        fasten(&mut design, -5.85 * INCH, y);
    }
    design.films.push(Film::of("primer", COATINGS[0].mass_per_area(1).unwrap()));
    design.accuracy = Accuracy { dimension: 0.002 * INCH, position: 0.005 * INCH, coverage_factor: 2.0 };
    design.parting = Some(Parting::AtHeight(0.0));
    design.old_arm = Some(-5.9 * INCH);
    design
}

fn fasten(design: &mut Design, x: f64, y: f64) {
    let hole = |name: &str, diameter: f64, mouth: Mouth| Hole {
        name: name.to_owned(),
        diameter: diameter * INCH,
        depth: Depth::Wall,
        head: None,
        mouth,
    };
    design.holes.push(hole("insert hole", 0.25, Mouth::Top { x, y }));
    design.holes.push(hole("clearance hole", 0.196, Mouth::Bottom { x, y }));
    let item = |name: &str, mass_kg: f64| Hardware {
        name: name.to_owned(),
        mass_kg,
        standard_uncertainty: 0.000_02,
        place: Place::At(x),
    };
    design.hardware.push(item("#10 screw", 0.004));
    design.hardware.push(item("insert", 0.001_2));
}
