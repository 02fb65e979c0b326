//! Keeping labels in a row apart.
//!
//! [`spread`] moves labels as little as is simply found, in their order, so that none touches the next and all
//! stay between two ends.

/// Moves the centres of labels, given in rising order with their widths, until each keeps `gap` to the next and
/// all lie between `low` and `high`.
///
/// Two packings that keep the order and the gaps, one pushed from the left and one from the right, are averaged:
/// the average keeps them too.
pub(super) fn spread(wanted: &[(f64, f64)], gap: f64, low: f64, high: f64) -> Vec<f64> {
    let from_left = from_left(wanted, gap, low, high);
    let mirrored: Vec<_> = wanted.iter().rev().map(|(centre, width)| (-centre, *width)).collect();
    let from_right = self::from_left(&mirrored, gap, -high, -low);
    from_left.iter().zip(from_right.iter().rev()).map(|(left, right)| (left - right) / 2.0).collect()
}

fn from_left(wanted: &[(f64, f64)], gap: f64, low: f64, high: f64) -> Vec<f64> {
    let mut end = low;
    let mut centres = Vec::new();
    for (centre, width) in wanted {
        let left = (centre - width / 2.0).max(end);
        centres.push(left + width / 2.0);
        end = left + width + gap;
    }
    let mut limit = high;
    for (centre, (_, width)) in centres.iter_mut().zip(wanted).rev() {
        *centre = centre.min(limit - width / 2.0);
        limit = *centre - width / 2.0 - gap;
    }
    centres
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(wanted: &[(f64, f64)]) {
        let centres = spread(wanted, 4.0, 0.0, 300.0);
        let mut end = 0.0 - 1e-9;
        for (centre, (_, width)) in centres.iter().zip(wanted) {
            assert!(end <= centre - width / 2.0, "{centres:?}");
            end = centre + width / 2.0 + 4.0 - 1e-9;
        }
        assert!(end <= 304.0, "{centres:?}");
    }

    #[test]
    fn labels_apart_stay_where_they_are() {
        let centres = spread(&[(50.0, 20.0), (150.0, 20.0)], 4.0, 0.0, 300.0);
        assert!((centres[0] - 50.0).abs() < 1e-9 && (centres[1] - 150.0).abs() < 1e-9);
    }

    #[test]
    fn labels_in_one_place_move_apart() {
        check(&[(100.0, 60.0), (100.0, 60.0), (100.0, 60.0)]);
    }

    #[test]
    fn labels_at_the_ends_stay_inside() {
        check(&[(0.0, 60.0), (1.0, 60.0), (299.0, 90.0), (300.0, 60.0)]);
    }

    #[test]
    fn a_full_row_fits() {
        check(&[(10.0, 96.0), (10.0, 96.0), (290.0, 96.0)]);
    }
}
