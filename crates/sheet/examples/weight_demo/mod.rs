//! An invented cap: lead over the half-round nose of an old weight, held by two screws, cast in two halves.

use hingeline_ballast::Density;
use hingeline_ballast::design::{
    Accuracy, Depth, Design, Dimension, Face, Fault, Form, Hardware, Hole, Mouth, NoseShape, Parting, Place,
    Solution, Space, Span, Vary, Wanted,
};
use hingeline_ballast::outline::{Outline, Path, Side, Traced};
use hingeline_bench::job_sheet::Units;
use hingeline_bench::weight::words::Speech;
use hingeline_quantity::unit::{INCH, INCH_POUND, POUND};
use hingeline_sheet::paper::{Day, Footer, TitleBlock};
use hingeline_sheet::weight::WeightTexts;

/// An inch, m.
pub(crate) const IN: f64 = 0.0254;

/// A pound, kg.
pub(crate) const LB: f64 = 0.453_592_37;

/// Lead.
const LEAD: Density = Density { kg_m3: 11_340.0, standard_uncertainty: 20.0 };

/// The front of the old weight: a half-round nose of 0.45 in about 6.1 in forward, its flanks back to 5.6 in.
pub(crate) fn front() -> Result<Path, hingeline_ballast::outline::Fault> {
    let at = |x: f64, z: f64| [x * IN, z * IN];
    Path::traced(
        at(-5.6, 0.45),
        &[
            Traced::Line { to: at(-6.1, 0.45) },
            Traced::Arc { through: at(-6.55, 0.0), to: at(-6.1, -0.45) },
            Traced::Line { to: at(-5.6, -0.45) },
        ],
    )
}

fn screw(y: f64) -> Hole {
    Hole {
        name: "no. 10 screw".into(),
        diameter: 0.193 * IN,
        depth: Depth::Wall,
        head: None,
        mouth: Mouth::Front { y: y * IN, z: 0.0 },
    }
}

/// The cap: 3.78 in-lb nose-heavy.
pub(crate) fn cap() -> Result<Design, Fault> {
    let form = Form::Cap {
        front: front()?,
        outside: Side::Right,
        thickness: 0.2 * IN,
        span: Span { from: 0.0, length: 4.0 * IN },
        end_walls: None,
    };
    let vary = Vary::Dimension { dimension: Dimension::Thickness, least: 0.03 * IN, most: 0.4 * IN };
    let wanted = Wanted { moment_kg_m: -3.78 * IN * LB, standard_uncertainty: 0.05 * IN * LB };
    let mut design = Design::new(wanted, form, vary, LEAD);
    design.space =
        Space { forward: Some(7.0 * IN), above: Some(0.8 * IN), below: Some(0.8 * IN), ..Space::default() };
    design.holes = vec![screw(1.0), screw(3.0)];
    design.hardware = vec![Hardware {
        name: "two no. 10 screws".into(),
        mass_kg: 0.02 * LB,
        standard_uncertainty: 0.0,
        place: Place::BehindFront(0.3 * IN),
    }];
    design.accuracy = Accuracy { dimension: 0.005 * IN, position: 0.01 * IN, coverage_factor: 2.0 };
    design.parting = Some(Parting::AtHeight(0.0));
    design.old_arm = Some(-6.1 * IN);
    Ok(design)
}

/// The cap with end walls.
pub(crate) fn boxed() -> Result<Design, Fault> {
    let mut design = cap()?;
    if let Form::Cap { end_walls, .. } = &mut design.form {
        *end_walls = Some(0.15 * IN);
    }
    Ok(design)
}

/// A long bar near the hinge line, parted at half its span, with holes from above.
pub(crate) fn bar() -> Design {
    let form = Form::Bar {
        depth: 0.02,
        height: 0.012,
        span: Span { from: 0.1, length: 0.5 },
        face: Face::Rear(-0.01),
        middle: 0.0,
    };
    let vary = Vary::Dimension { dimension: Dimension::Depth, least: 0.005, most: 0.08 };
    let wanted = Wanted { moment_kg_m: -0.04, standard_uncertainty: 0.0 };
    let mut design = Design::new(wanted, form, vary, LEAD);
    let hole = |y: f64| Hole {
        name: "6 mm bolt".into(),
        diameter: 0.006,
        depth: Depth::FullDiameter { depth: 0.008, point_angle: 2.06 },
        head: None,
        mouth: Mouth::Top { x: -0.018, y },
    };
    design.holes = vec![hole(0.15), hole(0.35), hole(0.55)];
    design.parting = Some(Parting::MidSpan);
    design
}

/// A half-round nose whose span is found.
pub(crate) fn nose() -> Design {
    let form = Form::Nose {
        shape: NoseShape::HalfElliptic,
        depth: 0.03,
        height: 0.04,
        span: Span { from: 0.0, length: 0.1 },
        flat: -0.2,
        middle: 0.005,
    };
    let vary = Vary::Dimension { dimension: Dimension::Span, least: 0.01, most: 0.5 };
    Design::new(Wanted { moment_kg_m: -0.3, standard_uncertainty: 0.0 }, form, vary, LEAD)
}

/// Plates on the arm.
pub(crate) fn plates() -> Result<Design, Fault> {
    let plate =
        Outline::rectangle(0.05, 0.03)?.moved([-0.1, 0.0]).with_hole(Path::circle([-0.12, 0.0], 0.004)?)?;
    let form = Form::Plates { outline: plate, thickness: 0.005, count: 4, from: 0.0 };
    let vary = Vary::Plates { stock: vec![0.003, 0.005], most: 40 };
    Ok(Design::new(Wanted { moment_kg_m: -0.05, standard_uncertainty: 0.0 }, form, vary, LEAD))
}

/// A cone on the front of an arm.
pub(crate) fn frustum() -> Design {
    let form =
        Form::Frustum { front_diameter: 0.02, rear_diameter: 0.05, depth: 0.05, rear: [-0.15, 0.0, 0.0] };
    let vary = Vary::Dimension { dimension: Dimension::Depth, least: 0.01, most: 0.2 };
    Design::new(Wanted { moment_kg_m: -0.1, standard_uncertainty: 0.0 }, form, vary, LEAD)
}

/// A ring segment about the hinge line whose thickness is found.
pub(crate) fn ring() -> Design {
    let form = Form::RingSegment {
        centre: [0.0, 0.0],
        inner_radius: 0.15,
        thickness: 0.005,
        from_angle: -0.3,
        over_angle: 0.6,
        span: Span { from: 0.0, length: 0.08 },
    };
    let vary = Vary::Dimension { dimension: Dimension::Thickness, least: 0.001, most: 0.05 };
    Design::new(Wanted { moment_kg_m: -0.05, standard_uncertainty: 0.0 }, form, vary, LEAD)
}

/// All of them, solved, by name.
pub(crate) fn all() -> Result<Vec<(&'static str, Design, Solution)>, Fault> {
    let designs = [
        ("cap", cap()?),
        ("boxed", boxed()?),
        ("bar", bar()),
        ("nose", nose()),
        ("plates", plates()?),
        ("frustum", frustum()),
        ("ring", ring()),
    ];
    designs
        .into_iter()
        .map(|(name, design)| design.solve().map(|solution| (name, design, solution)))
        .collect()
}

/// What the shop says about it.
pub(crate) fn texts() -> WeightTexts {
    let units = Units { moment: &INCH_POUND, length: &INCH, mass: &POUND, force: false };
    let mut texts = WeightTexts::new("lead", Speech::in_units(units, 3.78 * INCH_POUND.factor));
    texts.title = TitleBlock {
        document: "Balance weight".into(),
        shop: "Alderbrook Structures".into(),
        shop_detail: "approval AS-1182".into(),
        job: "HP-0231".into(),
        surface: "right elevator half".into(),
        part: "SK12-55-210".into(),
        serial: "0087".into(),
        aircraft: "SK12".into(),
        date: "2026-10-02".into(),
        day: Some(Day { year: 2026, month: 10, day: 2 }),
        document_id: "HP-0231-W1".into(),
    };
    texts.fastening = vec![
        "18 g fore and aft, forward: 48 N at limit load, for the engineer to confirm".into(),
        "bolt 1, stripping of the thread: M.S. +1.20, for the engineer to confirm".into(),
    ];
    texts.sources = vec![
        "Density of lead 11 340 kg/m³ at 20 °C: CRC Handbook of Chemistry and Physics".into(),
        "Wanted moment: weighing of 2026-10-02 against SK12 repair manual, 55-20, revision 4".into(),
    ];
    texts.footer =
        Footer { program: "Hingeline 0.1.0".into(), checks: String::new(), fingerprint: "5f2c1a9e".into() };
    texts
}
