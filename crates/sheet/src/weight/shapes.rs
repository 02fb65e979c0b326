//! The shapes of a weight for templates at true size. Main function: [`template_shapes`].

use hingeline_ballast::design::{Design, Form, Half, Mouth, Parting, Prism, Solution};

use super::views::{figures, front_of, points};
use super::words::Voice;
use super::{Size, WeightTexts};
use crate::drawing::{Figure, TemplateShape};

/// How far the straight sides of a template lie from the true line at most, m.
pub(super) const TEMPLATE: f64 = 5e-6;

type Ring = Vec<[f64; 2]>;

/// The sections of the piece and its halves, the front of the old weight, and the piece as seen along the span: exact or
/// with the reserve, as the texts say. After the exact ones comes the section with the reserve.
#[must_use]
pub fn template_shapes(design: &Design, solution: &Solution, texts: &WeightTexts) -> Vec<TemplateShape> {
    let Some(poured) = &texts.poured else { return shapes_of(design, solution, texts) };
    let named = |words: &str, mut shape: TemplateShape| {
        shape.name = format!("{words}: {}", shape.name);
        shape
    };
    let poured_shapes =
        shapes_of(design, &poured.solution, texts).into_iter().map(|shape| named(&poured.words, shape));
    if texts.templates == Size::WithReserve {
        return poured_shapes.collect();
    }
    let exact = shapes_of(design, solution, texts).into_iter().map(|shape| named("exact", shape));
    exact.chain(poured_shapes.take(1)).collect()
}

fn shapes_of(design: &Design, solution: &Solution, texts: &WeightTexts) -> Vec<TemplateShape> {
    let say = Voice { units: texts.units };
    let mut shapes = sections(design, solution, say);
    let front = front_of(solution, texts, TEMPLATE);
    if 2 < front.len() {
        let name = format!(
            "old weight, front as traced, {} high: lay it on the old weight first",
            say.length(height(&front))
        );
        shapes.push(TemplateShape { name, rings: vec![front], ..TemplateShape::default() });
    }
    if matches!(design.parting, Some(Parting::AtHeight(_))) {
        shapes.extend(solution.halves.iter().flat_map(halves));
    }
    let figures = figures(solution, TEMPLATE);
    shapes.extend(along(design, solution, &figures, say, Along::Front));
    if design.holes.iter().any(|hole| matches!(hole.mouth, Mouth::Top { .. } | Mouth::Bottom { .. })) {
        shapes.extend(along(design, solution, &figures, say, Along::Above));
    }
    shapes
}

fn height(ring: &Ring) -> f64 {
    let high = ring.iter().map(|point| point[1]).fold(f64::NEG_INFINITY, f64::max);
    high - ring.iter().map(|point| point[1]).fold(f64::INFINITY, f64::min)
}

/// Every different section, forward to the left.
fn sections(design: &Design, solution: &Solution, say: Voice) -> Vec<TemplateShape> {
    let envelope = solution.envelope;
    let mut seen: Vec<&Prism> = Vec::new();
    for prism in &solution.body.prisms {
        if !seen.iter().any(|other| other.outline == prism.outline) {
            seen.push(prism);
        }
    }
    let middle = say.length(envelope.rear - envelope.front);
    let mut shapes = Vec::new();
    // the section of the shell comes before that of its end walls
    seen.sort_by(|a, b| (b.to_y - b.from_y).total_cmp(&(a.to_y - a.from_y)));
    for (index, prism) in seen.into_iter().enumerate() {
        let what = if index == 0 { "section" } else { "section of the end wall" };
        let name = format!("{what}, forward to the left, {middle} fore and aft");
        let centre = [solution.as_drilled.first[0], solution.as_drilled.first[2]]
            .map(|first| first / solution.as_drilled.total);
        let lines = match design.parting {
            Some(Parting::AtHeight(z)) if index == 0 => {
                vec![vec![[envelope.front - 0.002, z], [envelope.rear + 0.002, z]]]
            }
            _ => Vec::new(),
        };
        let circles = design.holes.iter().filter_map(|hole| match hole.mouth {
            Mouth::End { x, z } => Some(([x, z], hole.diameter)),
            _ => None,
        });
        shapes.push(TemplateShape {
            name,
            rings: prism.outline.polygon(TEMPLATE),
            lines,
            circles: circles.collect(),
            centre: (index == 0).then_some(centre),
        });
    }
    if let (true, Some(figure)) = (shapes.is_empty(), figures(solution, TEMPLATE).first()) {
        let name = format!("section, forward to the left, {middle} fore and aft");
        shapes.push(TemplateShape { name, rings: figure.rings.clone(), ..TemplateShape::default() });
    }
    shapes
}

/// The longest section of a half.
fn halves(half: &Half) -> Option<TemplateShape> {
    let longest = half.prisms.iter().max_by(|a, b| (a.to_y - a.from_y).total_cmp(&(b.to_y - b.from_y)))?;
    let name = format!("{} half, section, forward to the left", half.name);
    Some(TemplateShape { name, rings: longest.outline.polygon(TEMPLATE), ..TemplateShape::default() })
}

/// From where the span is seen.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Along {
    Front,
    Above,
}

/// The piece along its span: outboard to the left, as a right-hand surface is seen from ahead.
fn along(
    design: &Design,
    solution: &Solution,
    figures: &[Figure],
    say: Voice,
    from: Along,
) -> Option<TemplateShape> {
    let envelope = solution.envelope;
    let part = |figure: &Figure| -> Ring {
        let ends = points(figure).fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], [x, z]| {
            let up = if from == Along::Front { z } else { x };
            [low.min(up), high.max(up)]
        });
        let [low, high] = ends;
        vec![[-figure.to_y, low], [-figure.from_y, low], [-figure.from_y, high], [-figure.to_y, high]]
    };
    let turned = matches!(solution.form, Form::Frustum { .. });
    let rings: Vec<Ring> =
        if turned && from == Along::Front { Vec::new() } else { figures.iter().map(part).collect() };
    let circles = design.holes.iter().filter_map(|hole| match (hole.mouth, from) {
        (Mouth::Front { y, z }, Along::Front) => Some(([-y, z], hole.diameter)),
        (Mouth::Top { x, y } | Mouth::Bottom { x, y }, Along::Above) => Some(([-y, x], hole.diameter)),
        _ => None,
    });
    let (low, high) = figures.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), figure| {
        (low.min(figure.from_y), high.max(figure.to_y))
    });
    let lines = match design.parting {
        Some(Parting::AtHeight(z)) if from == Along::Front => {
            vec![vec![[-high - 0.002, z], [-low + 0.002, z]]]
        }
        Some(Parting::MidSpan) => {
            let (bottom, top) = if from == Along::Front {
                (envelope.bottom, envelope.top)
            } else {
                (envelope.front, envelope.rear)
            };
            let middle = -f64::midpoint(low, high);
            vec![vec![[middle, bottom - 0.002], [middle, top + 0.002]]]
        }
        _ => Vec::new(),
    };
    let (view, across) = match from {
        Along::Front => ("view from ahead", envelope.top - envelope.bottom),
        Along::Above => ("view from above, forward down", envelope.rear - envelope.front),
    };
    let name = format!(
        "{view}, of a right-hand surface: outboard to the left; {} along the span, {}",
        say.length(high - low),
        say.length(across)
    );
    (!rings.is_empty()).then(|| TemplateShape {
        name,
        rings,
        lines,
        circles: circles.collect(),
        centre: None,
    })
}
