//! The line of static moment: from values to places, with a break where the band would be too small to see.
//!
//! Main type: [`Axis`]. As a rule it is one piece to one scale. Where the band would fill less than
//! [`SMALLEST_BAND`] of the line, the far values get pieces of their own, and the drawing shows the breaks.

/// The band fills at least this part of an unbroken line.
const SMALLEST_BAND: f64 = 0.07;

/// Part of the line left free at either end.
const MARGIN: f64 = 0.06;

/// One piece of the line with a scale of its own.
#[derive(Debug, Clone, Copy)]
pub(super) struct Piece {
    low: f64,
    high: f64,
    /// Left end.
    pub(super) x0: f64,
    /// Right end.
    pub(super) x1: f64,
}

/// A value with its half-width.
#[derive(Debug, Clone, Copy)]
pub(super) struct Spot {
    /// The value.
    pub(super) value: f64,
    /// Half the width of its bar.
    pub(super) half: f64,
}

impl Spot {
    fn low(self) -> f64 {
        self.value - self.half
    }

    fn high(self) -> f64 {
        self.value + self.half
    }
}

/// The line, in one to three pieces from left to right.
#[derive(Debug)]
pub(super) struct Axis {
    /// The pieces.
    pub(super) pieces: Vec<Piece>,
}

impl Axis {
    /// Lays the spots and the band (lower and upper end) between two places, with `gap` at each break.
    pub(super) fn new(spots: &[Spot], band: Option<(f64, f64)>, (x0, x1): (f64, f64), gap: f64) -> Self {
        let ends = band.map_or(vec![], |(low, high)| vec![low, high]);
        let low =
            spots.iter().map(|spot| spot.low()).chain(ends.iter().copied()).fold(f64::INFINITY, f64::min);
        let high = spots
            .iter()
            .map(|spot| spot.high())
            .chain(ends.iter().copied())
            .fold(f64::NEG_INFINITY, f64::max);
        let whole = Self { pieces: vec![padded(low, high, x0, x1)] };
        match band {
            Some((from, to)) if 0.0 < to - from && to - from < SMALLEST_BAND * (high - low) => {
                broken(spots, (from, to), (x0, x1), gap).unwrap_or(whole)
            }
            _ => whole,
        }
    }

    /// Where a value lies.
    pub(super) fn place(&self, value: f64) -> f64 {
        let piece = self.pieces.iter().find(|piece| value <= piece.high).or(self.pieces.last());
        piece.map_or(0.0, |piece| piece.place(value))
    }
}

impl Piece {
    fn place(&self, value: f64) -> f64 {
        let part = ((value - self.low) / (self.high - self.low)).clamp(0.0, 1.0);
        self.x0 + part * (self.x1 - self.x0)
    }
}

fn padded(low: f64, high: f64, x0: f64, x1: f64) -> Piece {
    let span = high - low;
    let room = if span > 0.0 { span * MARGIN } else { high.abs().max(1.0) * MARGIN };
    Piece { low: low - room, high: high + room, x0, x1 }
}

/// The line in pieces: the band with its surroundings, and the far values to either side.
///
/// Nothing where a bar reaches from the band's surroundings into the far part: such a line is not broken.
fn broken(spots: &[Spot], (from, to): (f64, f64), (x0, x1): (f64, f64), gap: f64) -> Option<Axis> {
    let width = to - from;
    let near = (from - 1.6 * width, to + 1.6 * width);
    let left: Vec<_> = spots.iter().copied().filter(|spot| spot.high() < near.0).collect();
    let right: Vec<_> = spots.iter().copied().filter(|spot| near.1 < spot.low()).collect();
    let inside = spots.iter().filter(|spot| near.0 <= spot.low() && spot.high() <= near.1).count();
    if left.len() + right.len() + inside < spots.len() || left.len() + right.len() == 0 {
        return None;
    }
    let side = (x1 - x0) * if left.is_empty() || right.is_empty() { 0.42 } else { 0.29 };
    let core_x0 = if left.is_empty() { x0 } else { x0 + side + gap };
    let core_x1 = if right.is_empty() { x1 } else { x1 - side - gap };
    let scale = (near.1 - near.0) / (core_x1 - core_x0);
    let mut pieces = vec![Piece { low: near.0, high: near.1, x0: core_x0, x1: core_x1 }];
    if !left.is_empty() {
        pieces.insert(0, far(&left, scale, x0, x0 + side));
    }
    if !right.is_empty() {
        pieces.push(far(&right, scale, x1 - side, x1));
    }
    Some(Axis { pieces })
}

/// A piece for far values: to the scale of the band where they fit, else to a scale of its own.
fn far(spots: &[Spot], scale: f64, x0: f64, x1: f64) -> Piece {
    let low = spots.iter().map(|spot| spot.low()).fold(f64::INFINITY, f64::min);
    let high = spots.iter().map(|spot| spot.high()).fold(f64::NEG_INFINITY, f64::max);
    let (middle, half) = ((low + high) / 2.0, (high - low) / 2.0);
    let half = (half * 1.4).max(scale * (x1 - x0) / 2.0);
    Piece { low: middle - half, high: middle + half, x0, x1 }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spot(value: f64, half: f64) -> Spot {
        Spot { value, half }
    }

    #[test]
    fn a_line_in_one_piece_is_linear() {
        let axis = Axis::new(&[spot(3.0, 0.5), spot(0.0, 0.0)], Some((-2.0, 0.0)), (0.0, 100.0), 10.0);
        assert_eq!(axis.pieces.len(), 1);
        let middle = (axis.place(-2.0) + axis.place(2.0)) / 2.0;
        assert!((middle - axis.place(0.0)).abs() < 1e-9);
    }

    #[test]
    fn a_small_band_breaks_the_line_and_stays_visible() {
        let axis = Axis::new(&[spot(500.0, 0.5), spot(0.0, 0.0)], Some((-2.0, 0.0)), (0.0, 600.0), 10.0);
        assert_eq!(axis.pieces.len(), 2);
        assert!(axis.place(0.0) - axis.place(-2.0) > 40.0);
        assert!(axis.place(0.0) < axis.place(500.0));
    }

    #[test]
    fn far_values_on_both_sides_give_three_pieces() {
        let spots = [spot(500.0, 0.5), spot(-400.0, 0.5), spot(0.0, 0.0)];
        let axis = Axis::new(&spots, Some((-2.0, 0.0)), (0.0, 600.0), 10.0);
        assert_eq!(axis.pieces.len(), 3);
        assert!(axis.place(-400.0) < axis.place(-2.0) && axis.place(0.0) < axis.place(500.0));
    }

    #[test]
    fn a_bar_across_everything_does_not_break_the_line() {
        let axis = Axis::new(&[spot(50.0, 60.0)], Some((-1.0, 0.0)), (0.0, 600.0), 10.0);
        assert_eq!(axis.pieces.len(), 1);
    }

    #[test]
    fn values_without_spread_lie_in_the_middle() {
        let axis = Axis::new(&[spot(0.0, 0.0)], None, (0.0, 100.0), 10.0);
        assert!((axis.place(0.0) - 50.0).abs() < 1e-9);
    }
}
