//! Which face is nearest at every place of a picture. Main type: [`Depths`].

use super::Extent;

/// Side of a cell of the grid, in units of the view box.
const CELL: f64 = 0.5;

/// A line is hidden by what is nearer than it by more than this, in units of the view box.
const NEARER: f64 = 1.5;

/// A grid of the nearest face and how far it is.
pub(super) struct Depths {
    columns: usize,
    cells: Vec<(f64, Option<usize>)>,
}

/// The cell that a coordinate lies in; nothing for one outside the first million.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between 0 and a million")]
fn cell(value: f64) -> Option<usize> {
    let cell = (value / CELL).floor();
    (0.0..1e6).contains(&cell).then_some(cell as usize)
}

fn middle(cell: usize) -> f64 {
    u32::try_from(cell).map_or(f64::INFINITY, |cell| (f64::from(cell) + 0.5) * CELL)
}

impl Depths {
    /// A grid over a picture, with no face.
    pub(super) fn new(width: f64, height: f64) -> Self {
        let columns = cell(width).unwrap_or(0) + 1;
        let rows = cell(height).unwrap_or(0) + 1;
        Self { columns, cells: vec![(f64::INFINITY, None); columns * rows] }
    }
    fn index(&self, x: f64, y: f64) -> Option<usize> {
        let column = cell(x).filter(|column| *column < self.columns)?;
        Some(cell(y)? * self.columns + column).filter(|index| *index < self.cells.len())
    }
    /// Lays a face with drawn corners and how far they are.
    pub(super) fn lay(&mut self, corners: &[[f64; 3]; 3], name: usize) {
        let [a, b, c] = *corners;
        let area = |p: [f64; 2], q: [f64; 3], r: [f64; 3]| {
            (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])
        };
        let whole = area([a[0], a[1]], b, c);
        if whole.abs() < 1e-9 {
            return;
        }
        let Extent { low, high } = Extent::of(&[a, b, c].map(|[x, y, _]| [x, y]));
        let (Some(left), Some(right)) = (cell(low[0]), cell(high[0])) else { return };
        let (Some(top), Some(bottom)) = (cell(low[1]), cell(high[1])) else { return };
        for row in top..=bottom {
            for column in left..=right {
                let place = [middle(column), middle(row)];
                let shares =
                    [area(place, b, c), area(place, c, a), area(place, a, b)].map(|part| part / whole);
                if shares.iter().any(|share| *share < -1e-9) {
                    continue;
                }
                let away = shares[0] * a[2] + shares[1] * b[2] + shares[2] * c[2];
                let Some(index) = self.index(place[0], place[1]) else { continue };
                if let Some(kept) = self.cells.get_mut(index).filter(|kept| away < kept.0) {
                    *kept = (away, Some(name));
                }
            }
        }
    }
    /// The nearest face at a place.
    pub(super) fn face(&self, x: f64, y: f64) -> Option<usize> {
        self.cells.get(self.index(x, y)?)?.1
    }
    /// Whether what is this far away can be seen at a place, or just beside it.
    pub(super) fn is_seen(&self, x: f64, y: f64, away: f64) -> bool {
        let steps = [-CELL, 0.0, CELL];
        steps.iter().any(|dx| {
            steps.iter().any(|dy| {
                let nearest = self.index(x + dx, y + dy).and_then(|index| self.cells.get(index));
                nearest.is_none_or(|(nearest, _)| away - NEARER <= *nearest)
            })
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(away: f64) -> [[[f64; 3]; 3]; 2] {
        let at = |x: f64, y: f64| [x, y, away];
        [[at(2.0, 2.0), at(8.0, 2.0), at(8.0, 8.0)], [at(2.0, 2.0), at(8.0, 8.0), at(2.0, 8.0)]]
    }

    #[test]
    fn the_nearer_face_hides_the_farther_one_in_whatever_order_they_are_laid() {
        for order in [[0, 1], [1, 0]] {
            let mut depths = Depths::new(10.0, 10.0);
            for name in order {
                square(if name == 0 { 30.0 } else { 10.0 }).iter().for_each(|face| depths.lay(face, name));
            }
            assert_eq!(depths.face(5.0, 5.0), Some(1));
            assert!(depths.is_seen(5.0, 5.0, 10.0) && !depths.is_seen(5.0, 5.0, 30.0));
        }
    }

    #[test]
    fn beside_all_faces_everything_is_seen() {
        let mut depths = Depths::new(10.0, 10.0);
        square(1.0).iter().for_each(|face| depths.lay(face, 0));
        assert_eq!(depths.face(0.5, 0.5), None);
        assert!(depths.is_seen(0.5, 0.5, 1e6));
    }
}
