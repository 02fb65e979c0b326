//! A surface with fewer triangles, for pictures only. Main function: [`Mesh::coarsened`].

use super::{Mesh, Triangle};
use crate::Vector;
use std::collections::BTreeMap;

/// Cells along the longest side of the first grid, over the root of the triangles that may be.
const FINEST: f64 = 2.0;
/// Most grids that are tried, each with three quarters of the cells of the one before.
const MOST_TRIES: usize = 24;

/// A cell of the grid.
type Cell = [i64; 3];

impl Mesh {
    /// The same surface with no more than `most` triangles, for a picture: corners in one cell of a grid become one, in
    /// their middle, and what then has no size is left out. The grid is as fine as it may be. Its moments are not those
    /// of the body, and it need not be closed.
    #[must_use]
    pub fn coarsened(&self, most: usize) -> Self {
        let Some([low, high]) = self.bounds().filter(|_| most < self.triangles().len()) else {
            return self.clone();
        };
        let longest = (0..3).map(|axis| high[axis] - low[axis]).fold(f64::MIN_POSITIVE, f64::max);
        let mut cells = FINEST * u32::try_from(most).map_or(f64::from(u32::MAX), f64::from).sqrt();
        for _ in 0..MOST_TRIES {
            let triangles = clustered(self.triangles(), low, longest / cells);
            if triangles.len() <= most {
                return Self::new(triangles);
            }
            cells *= 0.75;
        }
        Self::default()
    }
}

fn clustered(triangles: &[Triangle], low: Vector, size: f64) -> Vec<Triangle> {
    let cell = |corner: &Vector| -> Cell { std::array::from_fn(|i| whole((corner[i] - low[i]) / size)) };
    let mut sums: BTreeMap<Cell, (Vector, f64)> = BTreeMap::new();
    let named: Vec<[Cell; 3]> = triangles
        .iter()
        .map(|triangle| {
            triangle.each_ref().map(|corner| {
                let cell = cell(corner);
                let (sum, count) = sums.entry(cell).or_default();
                (0..3).for_each(|i| sum[i] += corner[i]);
                *count += 1.0;
                cell
            })
        })
        .collect();
    let middle = |cell: Cell| sums.get(&cell).map_or(low, |(sum, count)| sum.map(|x| x / count));
    let kept = named.into_iter().filter(|[a, b, c]| a != b && b != c && c != a);
    kept.map(|cells| cells.map(middle)).collect()
}

#[expect(clippy::cast_possible_truncation, reason = "no more than the cells of the grid")]
fn whole(x: f64) -> i64 {
    x.floor() as i64
}
