//! The surface of a piece as it is seen, without hidden faces: from ahead, inboard and above with the mouths of its
//! holes, or along an axis for a view of the drawing.
//!
//! Main functions: [`weight_picture`], and [`solid`] for the views. Faces that look away or are hidden are left out, the others are laid from the far
//! ones to the near ones (painter's algorithm), large ones in parts, so that their order is right. The tone of a face
//! follows its slope to a light from above; the darker ones are hatched. Edges are drawn where faces meet at more than 30°
//! or one of them looks away. What is hidden of edges and hatching is told by a grid of depths ([`Depths`]). Not covered:
//! surfaces that cross themselves.

use std::collections::BTreeMap;

use maud::Markup;
use serde::{Deserialize, Serialize};

use super::Hand;
use super::depths::Depths;
use super::hatch::{closed, hatch_lines};
use crate::drawing::Canvas;
use crate::drawing::pen::{Anchor, Paint, Pen, Stroke, polyline};
use crate::drawing::text::{Block, Face};
use crate::error::within;
use crate::{Palette, SheetError};

/// A corner, m.
type Corner = [f64; 3];

/// Most triangles of a surface that is drawn.
const MOST: (f64, f64, &str) = (1.0, 20_000.0, "1 to 20000");

/// The same of a view of a drawing, which may have none.
pub(super) const MOST_DRAWN: (f64, f64, &str) = (0.0, 20_000.0, "0 to 20000");

/// No side is drawn in one that is longer than this part of the whole.
const LONGEST: f64 = 0.16;

/// Cosine of the angle between faces above which their edge is not drawn.
const SHARP: f64 = 0.866;

/// The step along a line in which it is asked what hides it.
const STEP: f64 = 1.0;

/// The highest that the picture is drawn, as a part of the width.
const HIGHEST: f64 = 0.55;

/// What [`weight_picture`] draws: places x aft, y outboard, z up, m.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct WeightPicture {
    /// A closed surface, every triangle counterclockwise as seen from outside.
    pub triangles: Vec<[Corner; 3]>,
    /// The rims of holes on the surface, wider ones before those inside them, counterclockwise as seen from outside.
    pub holes: Vec<Vec<Corner>>,
    /// Of which surface the piece is.
    pub hand: Hand,
}

/// A triangle as it is drawn: corners to the right, up and away, and which of its sides are edges.
#[derive(Clone, Copy)]
struct Facet {
    corners: [Corner; 3],
    tone: usize,
}

/// A straight line between two drawn places, each with how far away it is.
type Stretch = [Corner; 2];

/// Draws a piece; `words` says what it is. What has the mouths of its holes on the far side hides them.
///
/// # Errors
/// - [`SheetError::Number`] when there is no triangle or more than 20 000, or a corner is not finite.
pub fn weight_picture(
    picture: &WeightPicture,
    words: &str,
    palette: &Palette,
    canvas: Canvas,
) -> Result<Markup, SheetError> {
    check(picture)?;
    let mut pen = Pen::new(palette, canvas);
    let em = pen.em();
    let (faces, edges) = faces(&picture.triangles, seen);
    let corners = || faces.iter().flat_map(|face| face.corners);
    let least = |axis: usize| corners().map(|corner| corner[axis]).fold(f64::INFINITY, f64::min);
    let most = |axis: usize| corners().map(|corner| corner[axis]).fold(f64::NEG_INFINITY, f64::max);
    let (left, right, low, high) = (least(0), most(0), least(1), most(1));
    within("picture", "width".into(), right - left, "m", (1e-5, 200.0, "0.00001 m to 200 m"))?;
    let scale =
        ((canvas.width - 3.0 * em) / (right - left)).min(HIGHEST * canvas.width / (high - low).max(1e-9));
    let first = (canvas.width - (right - left) * scale) / 2.0;
    // a left-hand piece is the mirror image
    let right_of = |u: f64| if picture.hand == Hand::Left { right - u } else { u - left };
    let at = |[u, v, w]: Corner| [first + right_of(u) * scale, 0.6 * em + (high - v) * scale, w * scale];
    let level = 1.2 * em + (high - low) * scale;
    let depths = paint(&mut pen, &placed(&faces, at), &placed_edges(&edges, at), (canvas.width, level));
    for rim in &picture.holes {
        mouth(&mut pen, &rim.iter().map(|corner| at(seen(*corner))).collect::<Vec<_>>(), &depths);
    }
    let text = match picture.hand {
        Hand::Right => {
            "seen from ahead, inboard and above, of a right-hand surface: forward to the left and down, outboard to the left and up"
        }
        Hand::Left => {
            "seen from ahead, inboard and above, of a left-hand surface: forward to the right and down, outboard to the right and up"
        }
        Hand::AsDrawn => {
            "seen from ahead, one side and above: forward to the left and down, the pilot's right to the left and up"
        }
        Hand::Either => "seen from ahead, one side and above: forward to the left and down",
    };
    let block = Block::plain(text, Face::SOFT, canvas.width - em, pen.lettering());
    pen.label(&block, 0.5 * em, level, Anchor::Start);
    Ok(pen.finish(level + block.height() + 0.3 * em, words))
}

fn check(picture: &WeightPicture) -> Result<(), SheetError> {
    let count = u32::try_from(picture.triangles.len()).map_or(f64::INFINITY, f64::from);
    within("picture", "number of triangles".into(), count, "", MOST)?;
    let corners = picture.triangles.iter().flatten().chain(picture.holes.iter().flatten());
    corners.flatten().try_for_each(|value| within("picture", "corner".into(), *value, "m", super::PLACE))
}

/// Draws a surface as seen along an axis: `look` gives how far to the right, up and away a place lies, `at` where that
/// is drawn, with the same scale for all three, within a size from the upper left corner.
pub(super) fn solid(
    pen: &mut Pen,
    triangles: &[[Corner; 3]],
    look: fn(Corner) -> Corner,
    at: impl Fn(Corner) -> Corner + Copy,
    size: (f64, f64),
) {
    let (faces, edges) = faces(triangles, look);
    paint(pen, &placed(&faces, at), &placed_edges(&edges, at), size);
}

fn placed(faces: &[Facet], at: impl Fn(Corner) -> Corner + Copy) -> Vec<Facet> {
    faces.iter().map(|face| Facet { corners: face.corners.map(at), ..*face }).collect()
}

fn placed_edges(edges: &[Stretch], at: impl Fn(Corner) -> Corner + Copy) -> Vec<Stretch> {
    edges.iter().map(|edge| edge.map(at)).collect()
}

/// The mouth of a hole: dark where all of its rim is seen, else the part of the rim that is.
fn mouth(pen: &mut Pen, rim: &[Corner], depths: &Depths) {
    let next = rim.iter().cycle().skip(1);
    let seen: String = rim
        .iter()
        .zip(next)
        .flat_map(|(a, b)| {
            let is_seen = |t: f64| {
                let [x, y, away] = [0, 1, 2].map(|axis: usize| along(a[axis], b[axis], t));
                depths.is_seen(x, y, away)
            };
            stretches((a[0], a[1]), (b[0], b[1]), is_seen)
        })
        .collect();
    if seen.is_empty() {
        return;
    }
    pen.open("mouth");
    if rim.iter().all(|[x, y, away]| depths.is_seen(*x, *y, *away)) {
        let ring: Vec<_> = rim.iter().map(|[x, y, _]| (*x, *y)).collect();
        pen.path(&closed(&[ring]), Stroke::of(Paint::Ink, 1.3), Paint::Soft);
    } else {
        pen.path(&seen, Stroke::of(Paint::Ink, 1.3), Paint::None);
    }
    pen.close();
}

/// To the right, up and away from an eye that is ahead, inboard and above.
fn seen([x, y, z]: Corner) -> Corner {
    [(x - y) / 2f64.sqrt(), (x + y + 2.0 * z) / 6f64.sqrt(), (x + y - z) / 3f64.sqrt()]
}

fn normal([a, b, c]: &[Corner; 3]) -> Corner {
    let minus = |p: &Corner, q: &Corner| [p[0] - q[0], p[1] - q[1], p[2] - q[2]];
    let (p, q) = (minus(b, a), minus(c, a));
    let across = [p[1] * q[2] - p[2] * q[1], p[2] * q[0] - p[0] * q[2], p[0] * q[1] - p[1] * q[0]];
    let size = dot(across, across).sqrt();
    if 0.0 < size { across.map(|value| value / size) } else { across }
}

fn dot(a: Corner, b: Corner) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// A corner by its bits, so that it can be looked up.
type Bits = [u64; 3];

/// The faces that look towards the eye, and their edges.
fn faces(triangles: &[[Corner; 3]], look: fn(Corner) -> Corner) -> (Vec<Facet>, Vec<Stretch>) {
    let bits = |corner: &Corner| -> Bits { corner.map(|value| (value + 0.0).to_bits()) };
    let normals: Vec<Corner> = triangles.iter().map(normal).collect();
    // whether a face with this outward direction looks towards the eye
    let is_towards = |normal: Corner| look(normal)[2] < -1e-9;
    let mut beside: BTreeMap<(Bits, Bits), Corner> = BTreeMap::new();
    for (triangle, normal) in
        triangles.iter().zip(&normals).filter(|(_, normal)| 0.0 < dot(**normal, **normal))
    {
        for side in 0..3 {
            let (a, b) = (&triangle[side], &triangle[(side + 1) % 3]);
            beside.insert((bits(a), bits(b)), *normal);
        }
    }
    let (mut faces, mut edges) = (Vec::new(), Vec::new());
    for (triangle, normal) in triangles.iter().zip(&normals).filter(|(_, normal)| is_towards(**normal)) {
        faces.push(Facet { corners: triangle.map(look), tone: tone(*normal) });
        for side in 0..3 {
            let (a, b) = (&triangle[side], &triangle[(side + 1) % 3]);
            let is_edge = |other: &Corner| dot(*other, *normal) < SHARP || !is_towards(*other);
            if beside.get(&(bits(b), bits(a))).is_none_or(is_edge) {
                edges.push([look(*a), look(*b)]);
            }
        }
    }
    (faces, edges)
}

/// How far its middle is.
fn away(facet: &Facet) -> f64 {
    facet.corners.iter().map(|corner| corner[2]).sum()
}

/// 0 for the lightest to 3 for the darkest: the light comes from above, a little from ahead.
fn tone(normal: Corner) -> usize {
    let light = dot(normal, [-0.42, -0.15, 0.894]);
    match light {
        light if 0.75 < light => 0,
        light if 0.35 < light => 1,
        light if -0.05 < light => 2,
        _ => 3,
    }
}

/// Halves the longest side until none is longer than a length.
fn divide(face: Facet, longest: f64, parts: &mut Vec<Facet>) {
    let Facet { corners, tone } = face;
    let length = |side: usize| {
        let (a, b) = (corners[side], corners[(side + 1) % 3]);
        let gap = [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
        dot(gap, gap).sqrt()
    };
    let side = (0..3).max_by(|a, b| length(*a).total_cmp(&length(*b))).unwrap_or(0);
    if length(side) <= longest {
        parts.push(face);
        return;
    }
    let (a, b, c) = (corners[side], corners[(side + 1) % 3], corners[(side + 2) % 3]);
    let middle = [0, 1, 2].map(|axis| f64::midpoint(a[axis], b[axis]));
    divide(Facet { corners: [a, middle, c], tone }, longest, parts);
    divide(Facet { corners: [middle, b, c], tone }, longest, parts);
}

/// Lays the faces from far to near, then what is seen of hatching and edges; gives what is nearest everywhere.
fn paint(pen: &mut Pen, faces: &[Facet], edges: &[Stretch], (width, height): (f64, f64)) -> Depths {
    let mut depths = Depths::new(width, height);
    for (face, name) in faces.iter().zip(0..) {
        depths.lay(&face.corners, name);
    }
    let mut parts = Vec::new();
    for face in faces {
        divide(*face, LONGEST * width, &mut parts);
    }
    parts.retain(|part| shows(part, &depths));
    parts.sort_by(|a, b| away(b).total_cmp(&away(a)));
    for run in parts.chunk_by(|a, b| a.tone == b.tone) {
        let rings: Vec<_> = run.iter().map(|part| part.corners.map(|[x, y, _]| (x, y)).to_vec()).collect();
        let fill = if run.first().is_some_and(|part| part.tone == 0) { Paint::Ground } else { Paint::Tint };
        // the thin line closes the seams
        pen.path(&closed(&rings), Stroke::of(fill, 0.6), fill);
    }
    for (tone, spacing) in [(2, 0.62), (3, 0.31)] {
        let is_hatched = |x: f64, y: f64| {
            depths.face(x, y).and_then(|name| faces.get(name)).is_some_and(|face| face.tone == tone)
        };
        let lines = hatch_lines(width, height, spacing * pen.em());
        let seen: String = lines
            .iter()
            .flat_map(|(a, b)| stretches(*a, *b, |t| is_hatched(along(a.0, b.0, t), along(a.1, b.1, t))))
            .collect();
        pen.path(&seen, Stroke::of(Paint::Soft, 0.6), Paint::None);
    }
    let seen: String = edges
        .iter()
        .flat_map(|[a, b]| {
            let is_seen = |t: f64| {
                let [x, y, away] = [0, 1, 2].map(|axis: usize| along(a[axis], b[axis], t));
                depths.is_seen(x, y, away)
            };
            stretches((a[0], a[1]), (b[0], b[1]), is_seen)
        })
        .collect();
    pen.path(&seen, Stroke::of(Paint::Ink, 1.3), Paint::None);
    depths
}

/// Whether a part is seen anywhere: at its middle, or a little inward of a corner or of the middle of a side.
fn shows(part: &Facet, depths: &Depths) -> bool {
    let [a, b, c] = part.corners;
    let shares = [
        [1.0, 1.0, 1.0],
        [8.0, 1.0, 1.0],
        [1.0, 8.0, 1.0],
        [1.0, 1.0, 8.0],
        [5.0, 5.0, 1.0],
        [1.0, 5.0, 5.0],
        [5.0, 1.0, 5.0],
    ];
    shares.iter().any(|[p, q, r]| {
        let [x, y, away] =
            [0, 1, 2].map(|axis: usize| (p * a[axis] + q * b[axis] + r * c[axis]) / (p + q + r));
        depths.is_seen(x, y, away)
    })
}

fn along(a: f64, b: f64, t: f64) -> f64 {
    a + t * (b - a)
}

/// The stretches of a straight line along which something holds, as paths.
fn stretches(a: (f64, f64), b: (f64, f64), holds: impl Fn(f64) -> bool) -> Vec<String> {
    let length = (b.0 - a.0).hypot(b.1 - a.1);
    let steps = (1..4000).find(|count| length <= STEP * f64::from(*count)).unwrap_or(4000);
    let place = |t: f64| (along(a.0, b.0, t), along(a.1, b.1, t));
    let mut paths = Vec::new();
    let mut begun = None;
    for step in 0..steps {
        let (from, to) = (f64::from(step) / f64::from(steps), f64::from(step + 1) / f64::from(steps));
        let is_on = holds(f64::midpoint(from, to));
        match begun {
            None if is_on => begun = Some(from),
            Some(start) if !is_on => {
                paths.push(polyline(&[place(start), place(from)]));
                begun = None;
            }
            _ => {}
        }
    }
    paths.extend(begun.map(|start| polyline(&[place(start), b])));
    paths
}
