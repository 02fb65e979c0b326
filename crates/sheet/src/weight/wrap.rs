//! A template to lay round the outside of a cap: its outer skin, rolled out flat, with the centres of the holes and the
//! parting line. Main function: [`wrap`].

use hingeline_ballast::design::{Design, Form, Mouth, Parting, Solution};
use hingeline_bench::weight::words::Speech;

use super::views::polyline;
use crate::drawing::{Hand, TemplateShape};

/// How far the chords lie from the skin at most, m: their length is that of the skin to a hundredth of a millimetre.
const CHORD: f64 = 1e-7;

/// The largest that goes on one sheet of either paper, m: a wrap in parts is of no use.
const LARGEST: [f64; 2] = [0.155, 0.2];

/// The mark of a centre, m across: a hole is no circle once the skin is bent.
const CENTRE: f64 = 0.001;

/// The outer skin of a cap rolled out, as seen from outside: the upper rear edge on top, outboard to the left as on a
/// right-hand surface. None for other forms, and where it does not go on one sheet.
pub(super) fn wrap(
    design: &Design,
    solution: &Solution,
    (say, hand): (Speech, Hand),
) -> Option<TemplateShape> {
    let Form::Cap { front, outside, thickness, .. } = &solution.form else { return None };
    let mut skin = polyline(&front.parallel(*thickness, *outside).ok()?, CHORD);
    if skin.first()?[1] < skin.last()?[1] {
        skin.reverse();
    }
    let mut downs = vec![0.0];
    for side in skin.windows(2) {
        let before = downs.last().copied().unwrap_or_default();
        downs.push(before + (side[1][0] - side[0][0]).hypot(side[1][1] - side[0][1]));
    }
    let round = downs.last().copied()?;
    let prisms = &solution.body.prisms;
    let low = prisms.iter().map(|prism| prism.from_y).fold(f64::INFINITY, f64::min);
    let high = prisms.iter().map(|prism| prism.to_y).fold(f64::NEG_INFINITY, f64::max);
    let [short, long] = [round.min(high - low), round.max(high - low)];
    if LARGEST[0] < short || LARGEST[1] < long {
        return None;
    }
    let skin = Skin { places: skin, downs };
    let centres = design.holes.iter().filter_map(|hole| {
        let (down, y) = match hole.mouth {
            Mouth::Front { y, z } => (skin.met(1, z).min_by(|a, b| a.1[0].total_cmp(&b.1[0]))?.0, y),
            Mouth::Top { x, y } => (skin.met(0, x).max_by(|a, b| a.1[1].total_cmp(&b.1[1]))?.0, y),
            Mouth::Bottom { x, y } => (skin.met(0, x).min_by(|a, b| a.1[1].total_cmp(&b.1[1]))?.0, y),
            Mouth::End { .. } => return None,
        };
        Some(([-y, -down], CENTRE))
    });
    let lines: Vec<Vec<[f64; 2]>> = match design.parting {
        Some(Parting::AtHeight(z)) => {
            skin.met(1, z).map(|(down, _)| vec![[-high - 0.002, -down], [-low + 0.002, -down]]).collect()
        }
        Some(Parting::MidSpan) => {
            let middle = -f64::midpoint(low, high);
            vec![vec![[middle, 0.002], [middle, -round - 0.002]]]
        }
        None => Vec::new(),
    };
    let way = match hand {
        Hand::Right => ", of a right-hand surface: outboard to the left",
        Hand::Left => ", of a left-hand surface: outboard to the right",
        Hand::Either | Hand::AsDrawn => "",
    };
    let name = format!(
        "to lay round the outside of the cap, upper rear edge on top{way}; {} round, {} along the span; the crosses are \
         centres of holes",
        say.length(round),
        say.length(high - low)
    );
    let ring = vec![[-high, -round], [-low, -round], [-low, 0.0], [-high, 0.0]];
    Some(TemplateShape { name, rings: vec![ring], lines, circles: centres.collect(), centre: None })
}

/// The skin from its upper rear edge, with how far down each place lies on it.
struct Skin {
    places: Vec<[f64; 2]>,
    downs: Vec<f64>,
}

impl Skin {
    /// Where it meets a place along an axis of the section: how far down, and the point.
    fn met(&self, axis: usize, at: f64) -> impl Iterator<Item = (f64, [f64; 2])> {
        let sides = self.places.windows(2).zip(self.downs.windows(2));
        sides.filter_map(move |(side, down)| {
            let (a, b) = (side[0], side[1]);
            let share = (at - a[axis]) / (b[axis] - a[axis]);
            let meets = (a[axis] <= at) != (b[axis] <= at);
            meets.then(|| {
                let along = |a: f64, b: f64| a + share * (b - a);
                (along(down[0], down[1]), [along(a[0], b[0]), along(a[1], b[1])])
            })
        })
    }
}
