//! Hatching inside closed rings, and where a line meets them.
//!
//! Main functions: [`hatching`] and [`crossings`]. A place belongs to the inside where an odd number of rings surrounds
//! it.

use crate::drawing::pen::polyline;

/// Where a level line at v meets the rings, by u, from left to right.
pub(super) fn crossings(rings: &[Vec<[f64; 2]>], v: f64) -> Vec<f64> {
    let mut places: Vec<f64> = rings.iter().flat_map(|ring| met(ring, v)).collect();
    places.sort_by(f64::total_cmp);
    places
}

fn met(ring: &[[f64; 2]], v: f64) -> impl Iterator<Item = f64> {
    let ends = ring.iter().zip(ring.iter().cycle().skip(1));
    ends.filter_map(move |(a, b)| {
        // a corner on the line belongs to the edge that goes up from it
        let meets = (a[1] <= v) != (b[1] <= v);
        meets.then(|| a[0] + (v - a[1]) / (b[1] - a[1]) * (b[0] - a[0]))
    })
}

/// Lines at 45° inside rings of drawn places, as a path.
pub(super) fn hatching(rings: &[Vec<(f64, f64)>], spacing: f64) -> String {
    // in the turned frame the lines are level: u = x − y, v = x + y
    let turned: Vec<Vec<[f64; 2]>> =
        rings.iter().map(|ring| ring.iter().map(|(x, y)| [x - y, x + y]).collect()).collect();
    let levels = || turned.iter().flatten().map(|point| point[1]);
    let (low, high) = (levels().fold(f64::INFINITY, f64::min), levels().fold(f64::NEG_INFINITY, f64::max));
    let step = spacing * std::f64::consts::SQRT_2;
    let mut path = String::new();
    let mut v = (low / step).ceil() * step;
    while v < high {
        for pair in crossings(&turned, v).chunks_exact(2) {
            let place = |u: f64| ((v + u) / 2.0, (v - u) / 2.0);
            path.push_str(&polyline(&[place(pair[0]), place(pair[1])]));
        }
        v += step;
    }
    path
}

/// Lines at 45° across a sheet from its upper left corner, from below to above.
pub(super) fn hatch_lines(width: f64, height: f64, spacing: f64) -> Vec<((f64, f64), (f64, f64))> {
    let step = spacing * std::f64::consts::SQRT_2;
    let sums = (1..4000).map(|count| step * f64::from(count)).take_while(|sum| *sum < width + height);
    sums.map(|sum| {
        let (left, right) = ((sum - height).max(0.0), sum.min(width));
        ((left, sum - left), (right, sum - right))
    })
    .collect()
}

/// Closed rings of drawn places as one path.
pub(super) fn closed(rings: &[Vec<(f64, f64)>]) -> String {
    rings.iter().map(|ring| polyline(ring) + "Z").collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const SQUARE: [[f64; 2]; 4] = [[0.0, 0.0], [4.0, 0.0], [4.0, 4.0], [0.0, 4.0]];

    #[test]
    fn a_level_line_meets_a_square_twice_and_its_hole_twice_more() {
        let hole = vec![[1.0, 1.0], [1.0, 3.0], [3.0, 3.0], [3.0, 1.0]];
        assert_eq!(crossings(&[SQUARE.to_vec(), hole], 2.0), [0.0, 1.0, 3.0, 4.0]);
        assert_eq!(crossings(&[SQUARE.to_vec()], 5.0), [0.0; 0]);
    }

    #[test]
    fn hatching_stays_inside() {
        let square = SQUARE.map(|[x, y]| (x, y)).to_vec();
        let path = hatching(&[square], 1.0);
        let numbers = path.split(['M', 'L', ' ']).filter(|part| !part.is_empty());
        let numbers: Vec<f64> = numbers.map(|part| part.parse().unwrap()).collect();
        assert!(8 < numbers.len() && numbers.iter().all(|x| (0.0..=4.0).contains(x)), "{path}");
    }
}
