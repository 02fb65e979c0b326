//! The shapes of a weight for templates at true size. Main function: [`template_shapes`].

use hingeline_ballast::design::{Design, Form, Half, Mouth, Parting, Prism, Solution};
use hingeline_bench::weight::words::Speech;

use super::picture::hand_of;
use super::views::{figures, front_of, points};
use super::wrap::wrap;
use super::{Size, WeightTexts};
use crate::drawing::{Figure, Hand, TemplateShape};

/// How far the straight sides of a template lie from the true line at most, m.
pub(super) const TEMPLATE: f64 = 5e-6;

type Ring = Vec<[f64; 2]>;

/// The sections of the piece and its halves, the front of the old weight, the piece as seen along the span, and what goes
/// round a cap: exact or with the reserve, as the texts say. After the exact ones comes the section with the reserve. A
/// measured piece has none: it was drawn elsewhere.
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
    let say = texts.say;
    let hand = hand_of(design, solution, texts.hand);
    let is_measured = matches!(solution.form, Form::Measured { .. });
    let mut shapes = if is_measured { Vec::new() } else { sections(design, solution, (say, hand)) };
    let front = front_of(solution, texts, TEMPLATE);
    if 2 < front.len() {
        let name = format!(
            "old weight, front as traced, {} high: lay it on the old weight first",
            say.length(height(&front))
        );
        shapes.push(TemplateShape { name, rings: vec![front], ..TemplateShape::default() });
    }
    if is_measured {
        return shapes;
    }
    if matches!(design.parting, Some(Parting::AtHeight(_))) {
        shapes.extend(solution.halves.iter().flat_map(halves));
    }
    let figures = figures(solution, TEMPLATE);
    shapes.extend(along(design, solution, &figures, (say, hand), Along::Front));
    if design.holes.iter().any(|hole| matches!(hole.mouth, Mouth::Top { .. } | Mouth::Bottom { .. })) {
        shapes.extend(along(design, solution, &figures, (say, hand), Along::Above));
    }
    let wrap = wrap(design, solution, (say, hand));
    shapes.extend(wrap.map(|shape| if hand == Hand::Left { mirrored(shape) } else { shape }));
    shapes
}

fn height(ring: &Ring) -> f64 {
    let high = ring.iter().map(|point| point[1]).fold(f64::NEG_INFINITY, f64::max);
    high - ring.iter().map(|point| point[1]).fold(f64::INFINITY, f64::min)
}

/// Every different section, forward to the left; where holes go into the inboard end, as seen from there.
fn sections(design: &Design, solution: &Solution, (say, hand): (Speech, Hand)) -> Vec<TemplateShape> {
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
    let bent = match &solution.form {
        Form::RingSegment { inner_radius, thickness, .. } => {
            format!(", inner radius {}, thickness {}", say.length(*inner_radius), say.length(*thickness))
        }
        _ => String::new(),
    };
    for (index, prism) in seen.into_iter().enumerate() {
        let what = if index == 0 { "section" } else { "section of the end wall" };
        let is_bored = design.holes.iter().any(|hole| matches!(hole.mouth, Mouth::End { .. }));
        let is_turned = is_bored && hand == Hand::Left;
        let way = match (is_bored, is_turned) {
            (false, _) => "forward to the left",
            (true, false) => "seen from the inboard end of a right-hand surface, forward to the left",
            (true, true) => "seen from the inboard end of a left-hand surface, forward to the right",
        };
        let name = format!("{what}, {way}, {middle} fore and aft{bent}");
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
        let shape = TemplateShape {
            name,
            rings: prism.outline.polygon(TEMPLATE),
            lines,
            circles: circles.collect(),
            centre: (index == 0).then_some(centre),
        };
        shapes.push(if is_turned { mirrored(shape) } else { shape });
    }
    if let (true, Some(figure)) = (shapes.is_empty(), figures(solution, TEMPLATE).first()) {
        let name = format!("section, forward to the left, {middle} fore and aft");
        shapes.push(TemplateShape { name, rings: figure.rings.clone(), ..TemplateShape::default() });
    }
    shapes
}

/// The same with left and right changed over.
fn mirrored(mut shape: TemplateShape) -> TemplateShape {
    shape.rings.iter_mut().chain(&mut shape.lines).flatten().for_each(|point| point[0] = -point[0]);
    shape.circles.iter_mut().for_each(|(middle, _)| middle[0] = -middle[0]);
    shape.centre = shape.centre.map(|[u, v]| [-u, v]);
    shape
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

/// The piece along its span: outboard to the left, as a right-hand surface is seen from ahead; of a left-hand one the
/// mirror image.
fn along(
    design: &Design,
    solution: &Solution,
    figures: &[Figure],
    (say, hand): (Speech, Hand),
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
    let way = match hand {
        Hand::Right => ", of a right-hand surface: outboard to the left",
        Hand::Left => ", of a left-hand surface: outboard to the right",
        Hand::Either | Hand::AsDrawn => "",
    };
    let size = [say.length(high - low), say.length(across)];
    let name = format!("{view}{way}; {} along the span, {}", size[0], size[1]);
    let shape = TemplateShape { name, rings, lines, circles: circles.collect(), centre: None };
    let shape = if hand == Hand::Left { mirrored(shape) } else { shape };
    (!shape.rings.is_empty()).then_some(shape)
}
