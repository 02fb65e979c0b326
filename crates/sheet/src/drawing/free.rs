//! The free places along a row: what is left between the things that cross it.

/// The places between spans (in any order, overlapping or not), each `gap` away from what bounds it, within
/// `room`; from left to right.
pub(super) fn free(spans: &[(f64, f64)], room: (f64, f64), gap: f64) -> Vec<(f64, f64)> {
    let mut spans = spans.to_vec();
    spans.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut places = Vec::new();
    let mut from = room.0 - gap;
    for (start, stop) in spans {
        places.push((from + gap, start.min(room.1 + gap) - gap));
        from = from.max(stop);
    }
    places.push((from + gap, room.1));
    places.retain(|(x0, x1)| x0 < x1);
    places
}

#[cfg(test)]
mod tests {
    use super::free;

    #[test]
    fn an_empty_row_is_one_place() {
        assert_eq!(free(&[], (0.0, 100.0), 5.0), [(0.0, 100.0)]);
    }

    #[test]
    fn spans_are_kept_clear_of_by_the_gap() {
        let places = free(&[(60.0, 70.0), (20.0, 30.0)], (0.0, 100.0), 5.0);
        assert_eq!(places, [(0.0, 15.0), (35.0, 55.0), (75.0, 100.0)]);
    }

    #[test]
    fn overlapping_spans_and_spans_outside_leave_no_false_place() {
        let places = free(&[(10.0, 90.0), (20.0, 30.0), (120.0, 130.0)], (0.0, 100.0), 5.0);
        assert_eq!(places, [(0.0, 5.0), (95.0, 100.0)]);
    }
}
