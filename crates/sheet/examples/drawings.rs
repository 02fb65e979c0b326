//! Writes the drawings of an invented surface by every method, with awkward cases, as SVG files.
//!
//! `cargo run -p hingeline-sheet --example drawings -- FOLDER`

use std::error::Error;
use std::path::PathBuf;

use hingeline_sheet::drawing::{
    BandDrawing, BandPoint, BenchDrawing, Canvas, Heavy, Mark, Method, Part, PointKind, ScaleBar,
    SecondAttitude, Station, band, bench,
};
use hingeline_sheet::{Palette, Tone};

const INCH: f64 = 0.0254;

fn main() -> Result<(), Box<dyn Error>> {
    let folder = std::env::args()
        .nth(1)
        .map_or_else(|| std::env::temp_dir().join("hingeline-drawings"), PathBuf::from);
    std::fs::create_dir_all(&folder)?;
    for (name, drawing) in benches() {
        for (size, canvas) in [("sheet", Canvas::SHEET), ("phone", Canvas::PHONE)] {
            std::fs::write(
                folder.join(format!("bench-{name}-{size}.svg")),
                bench(&drawing, &Palette::paper(), canvas)?.into_string(),
            )?;
        }
    }
    for (name, drawing) in bands() {
        for (size, canvas) in [("sheet", Canvas::SHEET), ("phone", Canvas::PHONE)] {
            std::fs::write(
                folder.join(format!("band-{name}-{size}.svg")),
                band(&drawing, &Palette::paper(), canvas)?.into_string(),
            )?;
        }
    }
    Ok(())
}

fn base(method: Method) -> BenchDrawing {
    BenchDrawing {
        method,
        arm_m: 17.25 * INCH,
        arm_label: "17 1/4 in".into(),
        reading_label: "1.31 lb".into(),
        device_label: "scale S-2".into(),
        stations: vec![station("horn weight, front face", -6.5, "6.5 in forward", "")],
        heavy: Heavy::TailHeavy,
        heavy_label: "21.6 in-lb".into(),
        scale_bar: ScaleBar { length_m: 5.0 * INCH, label: "5 in".into() },
        ..BenchDrawing::default()
    }
}

fn station(name: &str, arm_in: f64, arm_label: &str, note: &str) -> Station {
    Station { name: name.into(), arm_m: arm_in * INCH, arm_label: arm_label.into(), note: note.into() }
}

fn part(arm_in: f64, label: &str) -> Part {
    Part { arm_m: arm_in * INCH, label: label.into() }
}

fn benches() -> Vec<(&'static str, BenchDrawing)> {
    let hung = BenchDrawing {
        reading_label: "1.25 lb".into(),
        device_label: "mass M-4".into(),
        ..base(Method::HungWeight)
    };
    let beam = BenchDrawing {
        arm_m: -9.0 * INCH,
        arm_label: "9 in forward".into(),
        reading_label: "2.40 lb".into(),
        device_label: "sliding mass of beam B-1".into(),
        ..base(Method::BalanceBeam)
    };
    let support = BenchDrawing {
        arm_m: 12.0 * INCH,
        arm_label: "12 in".into(),
        heavy: Heavy::Balanced,
        heavy_label: String::new(),
        ..base(Method::SupportScale)
    };
    let list = BenchDrawing {
        parts: vec![
            part(-6.5, "horn weight, 3.20 lb at 6 1/2 in forward"),
            part(2.0, "spar, 1.10 lb at 2 in"),
            part(9.5, "new rib 4, 0.42 lb at 9 1/2 in"),
            part(9.6, "old rib 4 taken out, 0.40 lb at 9 5/8 in"),
            part(9.7, "patch, 0.05 lb at 9 3/4 in"),
            part(17.0, "trailing-edge strip, 0.21 lb at 17 in"),
        ],
        ..base(Method::PartsList)
    };
    let second = SecondAttitude {
        angle_rad: std::f64::consts::FRAC_PI_6,
        label: "30° trailing edge down, reading 1.12 lb".into(),
    };
    let two = BenchDrawing { second: Some(second), ..base(Method::TwoAttitudes) };
    let up = SecondAttitude { angle_rad: -0.35, label: "20° trailing edge up, reading 1.02 lb".into() };
    let two_up = BenchDrawing { second: Some(up), heavy: Heavy::NoseHeavy, ..base(Method::TwoAttitudes) };
    let mut all = vec![
        ("scale", base(Method::TrailingEdgeScale)),
        ("hung", hung),
        ("beam", beam),
        ("support", support),
        ("list", list),
        ("two", two),
        ("two-up", two_up),
    ];
    all.extend(awkward());
    all
}

fn awkward() -> Vec<(&'static str, BenchDrawing)> {
    let long =
        "inboard horn balance weight of the replacement spar, front face, outer end, below the fairing";
    let many = BenchDrawing {
        stations: vec![
            station("horn weight, front face", -6.5, "6.5 in forward", "add 3.63 lb"),
            station(long, -6.5, "6.5 in forward", "add 3.63 lb, more than this place can take"),
            station("mid slug", -0.4, "0.4 in forward", ""),
            station("tip weight", -3.0, "3 in forward", "no capacity"),
            station("trailing-edge plate", 15.0, "15 in aft", "remove 1.57 lb"),
            station(long, 1.0, "1 in aft", ""),
        ],
        ..base(Method::TrailingEdgeScale)
    };
    let short = BenchDrawing {
        arm_m: 0.6 * INCH,
        arm_label: "0.6 in".into(),
        nose_m: Some(-INCH),
        trailing_edge_m: Some(20.0 * INCH),
        reading_label: "a very long reading of 123,456.789 kilograms and then some".into(),
        heavy: Heavy::NoseHeavy,
        ..base(Method::SupportScale)
    };
    let forward = BenchDrawing {
        arm_m: -0.2,
        arm_label: "200 mm forward".into(),
        stations: vec![station("weight", -40.0, "40 in forward", "")],
        ..base(Method::HungWeight)
    };
    vec![
        ("many", many),
        ("short", short),
        ("forward", forward),
        ("many-beam", BenchDrawing { method: Method::BalanceBeam, ..awkward_many() }),
    ]
}

fn awkward_many() -> BenchDrawing {
    let stations = (1..7)
        .map(|index| station("station with a name", -f64::from(index), "the same label", "note"))
        .collect();
    BenchDrawing { stations, arm_m: 2.0 * INCH, arm_label: "2 in".into(), ..base(Method::BalanceBeam) }
}

fn mark(value_kg_m: f64, label: &str) -> Option<Mark> {
    Some(Mark { value_kg_m, label: label.into() })
}

fn point(kind: PointKind, value_kg_m: f64, half: f64, label: &str, tone: Tone) -> BandPoint {
    BandPoint { kind, value_kg_m, expanded_uncertainty_kg_m: Some(half), label: label.into(), tone }
}

fn bands() -> Vec<(&'static str, BandDrawing)> {
    let normal = BandDrawing {
        from: mark(-4.0, "4.0 in-lb nose-heavy"),
        to: mark(0.0, "0 in-lb"),
        aim: mark(-2.0, "2.0 in-lb nose-heavy"),
        zero_label: "0 in-lb".into(),
        points: vec![
            point(PointKind::AsFound, 21.6, 0.2, "as found: 21.6 ± 0.2 in-lb tail-heavy", Tone::Bad),
            point(PointKind::AsLeft, -1.9, 0.25, "as left: 1.9 ± 0.2 in-lb nose-heavy", Tone::Good),
        ],
    };
    let with = |points: Vec<BandPoint>| BandDrawing { points, ..normal.clone() };
    let straddle = with(vec![
        point(PointKind::AsFound, 0.1, 0.6, "as found: 0.1 ± 0.6 in-lb tail-heavy", Tone::Doubt),
        point(PointKind::AsLeft, 0.05, 0.5, "as left: 0.1 ± 0.5 in-lb tail-heavy", Tone::Doubt),
        point(PointKind::Predicted, -2.0, 0.0, "predicted: 2.0 in-lb nose-heavy", Tone::Plain),
    ]);
    let far = with(vec![
        point(PointKind::AsFound, 400.0, 3.0, "as found: 400 ± 3 in-lb tail-heavy", Tone::Bad),
        point(PointKind::AsLeft, -2.0, 0.001, "as left: 2.0 in-lb nose-heavy", Tone::Good),
    ]);
    let both = with(vec![
        point(PointKind::AsFound, 400.0, 3.0, "as found: 400 ± 3 in-lb tail-heavy", Tone::Bad),
        point(PointKind::AsLeft, -600.0, 90.0, "as left: 600 ± 90 in-lb nose-heavy", Tone::Bad),
    ]);
    let open = BandDrawing { from: None, ..normal.clone() };
    let huge = with(vec![point(
        PointKind::AsFound,
        10.0,
        80.0,
        "as found: 10 ± 80 in-lb tail-heavy, a label of great length that says much",
        Tone::Bad,
    )]);
    let empty = with(vec![]);
    vec![
        ("normal", normal.clone()),
        ("straddle", straddle),
        ("far", far),
        ("both", both),
        ("open", open),
        ("huge", huge),
        ("empty", empty),
    ]
}
