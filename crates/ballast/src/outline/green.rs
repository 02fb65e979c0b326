//! What a piece sweeps, by Green's theorem, and how long it is.
//!
//! Main functions: `swept` and `rim`. A function f of degree k over a figure is 1/(k+2) of ∮ f (u dv - v du) along its
//! rim. Closed forms for lines and for elliptic arcs; a rule of eight points where that is as exact and loses fewer
//! digits: for a parabola, whose integrand is a polynomial of degree 6, and for an arc of less than half a radian.
//! Lengths are closed forms for lines and circles; for ellipse and parabola the rule is halved until it agrees to 1e-14.
//! Source of the rule: Gauss and Legendre, its nodes and weights as in Abramowitz and Stegun, table 25.4.

use super::Point;
use super::piece::{Arc, Curve, Piece, cross, dot, minus, plus, size, times};
use super::plane::{PlaneMoments, Rim};

/// Nodes and weights of the rule of eight points on 0 to 1.
const RULE: [(f64, f64); 8] = [
    (0.019_855_071_751_231_884, 0.050_614_268_145_188_13),
    (0.101_666_761_293_186_63, 0.111_190_517_226_687_24),
    (0.237_233_795_041_835_5, 0.156_853_322_938_943_64),
    (0.408_282_678_752_175_1, 0.181_341_891_689_181),
    (0.591_717_321_247_825, 0.181_341_891_689_181),
    (0.762_766_204_958_164_5, 0.156_853_322_938_943_64),
    (0.898_333_238_706_813_4, 0.111_190_517_226_687_24),
    (0.980_144_928_248_768_1, 0.050_614_268_145_188_13),
];
/// An arc of a smaller sweep than this, rad, goes by the rule.
const SHALLOW: f64 = 0.5;

/// What the line from the pole to the piece sweeps, counterclockwise positive, about the pole.
pub(super) fn swept(piece: &Piece, pole: Point) -> PlaneMoments {
    match piece.curve {
        Curve::Line => triangle(minus(piece.a, pole), minus(piece.b, pole)),
        Curve::Arc(arc) if SHALLOW <= arc.sweep.abs() => {
            let centre = minus(arc.centre, pole);
            sector(&arc).moved(centre)
                + triangle(minus(piece.a, pole), centre)
                + triangle(centre, minus(piece.b, pole))
        }
        _ => RULE.iter().map(|(t, weight)| sliver(piece, pole, *t, *weight)).sum(),
    }
}

/// The triangle of the pole and two points.
fn triangle(a: Point, b: Point) -> PlaneMoments {
    let twice = cross(a, b);
    let both = plus(a, b);
    let second = |i: usize, j: usize| twice / 24.0 * (a[i] * a[j] + b[i] * b[j] + both[i] * both[j]);
    let product = second(0, 1);
    PlaneMoments {
        area: twice / 2.0,
        first: times(both, twice / 6.0),
        second: [[second(0, 0), product], [product, second(1, 1)]],
    }
}

/// The sector of an elliptic arc about its centre.
fn sector(arc: &Arc) -> PlaneMoments {
    let [p, q] = arc.radii;
    let ((sin0, cos0), (sin1, cos1)) = (arc.from.sin_cos(), arc.end().sin_cos());
    let double = (sin1 * cos1 - sin0 * cos0) / 2.0;
    let product = p * q * p * q / 4.0 * (sin1 * sin1 - sin0 * sin0) / 2.0;
    PlaneMoments {
        area: p * q * arc.sweep / 2.0,
        first: [p * q / 3.0 * p * (sin1 - sin0), p * q / 3.0 * q * (cos0 - cos1)],
        second: [
            [p * q / 4.0 * p * p * (arc.sweep / 2.0 + double), product],
            [product, p * q / 4.0 * q * q * (arc.sweep / 2.0 - double)],
        ],
    }
}

fn sliver(piece: &Piece, pole: Point, t: f64, weight: f64) -> PlaneMoments {
    let (at, pace) = piece.at_pace(t);
    let [u, v] = minus(at, pole);
    let twice = weight * cross([u, v], pace);
    let product = twice / 4.0 * u * v;
    PlaneMoments {
        area: twice / 2.0,
        first: [twice / 3.0 * u, twice / 3.0 * v],
        second: [[twice / 4.0 * u * u, product], [product, twice / 4.0 * v * v]],
    }
}

/// The area alone that the line from the pole to the piece sweeps: to its chord, and between chord and piece.
pub(super) fn swept_area(piece: &Piece, pole: Point) -> f64 {
    let chord = cross(minus(piece.a, pole), minus(piece.b, pole)) / 2.0;
    match piece.curve {
        Curve::Line => chord,
        Curve::Arc(arc) => chord + arc.radii[0] * arc.radii[1] * (arc.sweep - arc.sweep.sin()) / 2.0,
        Curve::Parabola(c) => chord + cross(minus(c, piece.a), minus(piece.b, c)) / 3.0,
    }
}

/// Length and first moment of a piece.
pub(super) fn rim(piece: &Piece) -> Rim {
    match piece.curve {
        Curve::Line => {
            let length = size(minus(piece.b, piece.a));
            Rim { length, first: times(plus(piece.a, piece.b), length / 2.0) }
        }
        Curve::Arc(arc) if arc.is_round() => round_rim(piece, &arc),
        _ => halved(piece, 0.0, 1.0, by_rule(piece, 0.0, 1.0), 40),
    }
}

fn round_rim(piece: &Piece, arc: &Arc) -> Rim {
    let radius = arc.radii[0];
    let length = radius * arc.sweep.abs();
    if arc.sweep.abs() < SHALLOW {
        let mean = RULE.iter().fold([0.0; 2], |sum, (t, weight)| plus(sum, times(piece.at(*t), *weight)));
        return Rim { length, first: times(mean, length) };
    }
    let ((sin0, cos0), (sin1, cos1)) = (arc.from.sin_cos(), arc.end().sin_cos());
    let chord = times([sin1 - sin0, cos0 - cos1], radius * radius * arc.sweep.signum());
    Rim { length, first: plus(times(arc.centre, length), chord) }
}

fn by_rule(piece: &Piece, low: f64, high: f64) -> Rim {
    RULE.iter().fold(Rim::default(), |sum, (node, weight)| {
        let t = low + (high - low) * node;
        let (at, pace) = piece.at_pace(t);
        let length = size(pace) * weight * (high - low);
        sum + Rim { length, first: times(at, length) }
    })
}

/// The rule on both halves, and again on each until it no longer changes.
fn halved(piece: &Piece, low: f64, high: f64, whole: Rim, depth: u32) -> Rim {
    let middle = 0.5 * (low + high);
    let (before, after) = (by_rule(piece, low, middle), by_rule(piece, middle, high));
    let both = before + after;
    let change = minus(both.first, whole.first);
    let settled = (both.length - whole.length).abs() <= 1e-14 * piece.reach()
        && dot(change, change) <= 1e-28 * (dot(both.first, both.first) + piece.reach().powi(4));
    if settled || depth == 0 {
        return both;
    }
    halved(piece, low, middle, before, depth - 1) + halved(piece, middle, high, after, depth - 1)
}
