//! Student's t at the level that k = 2 stands for, and the probability below a value.
//!
//! The level is the probability within two standard deviations of a normal distribution, 95.45 %
//! (erf √2 = 0.954 499 736), so that infinitely many degrees of freedom give exactly k = 2.
//! Source: JCGM 100 annex G, table G.2 (column 95.45 %) and G.4.1 (truncation to the next lower integer).

use statrs::distribution::{ContinuousCDF, Normal, StudentsT};
use std::sync::OnceLock;

/// The probability that k = 2 stands for with a normal distribution: erf √2.
pub(crate) const LEVEL: f64 = 0.954_499_736_103_641_6;

const TABLE: u32 = 100;

/// The coverage factor k: t at 95.45 %.
///
/// # Inputs
/// `degrees_of_freedom`: effective degrees of freedom, truncated here, at least 1; none is infinitely many.
/// # Gives
/// k without unit, 13.97 for one degree of freedom, 2 for infinitely many.
/// # Source
/// \[GUM\] table G.2, column 95.45 %.
/// # Checked by
/// checks/gum/table-g2.toml
#[must_use]
pub fn coverage_factor(degrees_of_freedom: Option<f64>) -> f64 {
    static FACTORS: OnceLock<Vec<f64>> = OnceLock::new();
    let Some(whole) = truncated(degrees_of_freedom) else {
        return 2.0;
    };
    let factors = FACTORS.get_or_init(|| (1..=TABLE).map(|count| quantile(f64::from(count))).collect());
    let place = (1..=TABLE).position(|count| f64::from(count) >= whole);
    place.map_or_else(|| quantile(whole), |index| factors[index])
}

/// Degrees of freedom cut to a whole number, at least one; none where they are as good as infinite.
#[must_use]
pub(crate) fn truncated(degrees_of_freedom: Option<f64>) -> Option<f64> {
    // A sum of squares may come out a hair below the whole number that it is. What is no number stays none.
    degrees_of_freedom.filter(|count| count.is_nan() || *count < 1e6).map(|count| match count.is_nan() {
        true => count,
        false => (count + 1e-9).floor().max(1.0),
    })
}

/// Above this the first term of the expansion about the normal is exact to twelve digits, and the library's
/// inversion is not.
const MANY: f64 = 1e4;

fn quantile(degrees_of_freedom: f64) -> f64 {
    if degrees_of_freedom > MANY {
        // Cornish and Fisher: t = z + (z³ + z)/(4ν) + (5z⁵ + 16z³ + 3z)/(96ν²), here with z = 2.
        return 2.0
            + 10.0 / (4.0 * degrees_of_freedom)
            + 294.0 / (96.0 * degrees_of_freedom * degrees_of_freedom);
    }
    StudentsT::new(0.0, 1.0, degrees_of_freedom)
        .map_or(f64::INFINITY, |student| student.inverse_cdf(0.5 + LEVEL / 2.0))
}

/// The probability that a variable with this many degrees of freedom lies below `t` (normal for none).
#[must_use]
pub fn probability_below(t: f64, degrees_of_freedom: Option<f64>) -> f64 {
    match truncated(degrees_of_freedom) {
        Some(count) => StudentsT::new(0.0, 1.0, count).map_or(f64::NAN, |student| student.cdf(t)),
        None => Normal::standard().cdf(t),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn k_falls_to_two() {
        assert!((coverage_factor(Some(1.0)) - 13.97).abs() < 0.005);
        assert!((coverage_factor(Some(2.99)) - 4.53).abs() < 0.005);
        assert!((coverage_factor(Some(20.0)) - 2.13).abs() < 0.005);
        assert!((coverage_factor(None) - 2.0).abs() < 1e-15);
        assert!((coverage_factor(Some(1e5)) - 2.000_025).abs() < 1e-8);
        let (below, above) = (coverage_factor(Some(9_999.0)), coverage_factor(Some(10_001.0)));
        assert!(above < below && below - above < 1e-7, "{below} {above}");
        assert!(!coverage_factor(Some(f64::NAN)).is_finite());
        assert!((coverage_factor(Some(0.2)) - coverage_factor(Some(1.0))).abs() < 1e-15);
    }

    #[test]
    fn k_covers_what_it_says() {
        for count in [1.0, 4.0, 17.0, 150.0] {
            let k = coverage_factor(Some(count));
            let covered = probability_below(k, Some(count)) - probability_below(-k, Some(count));
            assert!((covered - LEVEL).abs() < 1e-9, "{count}: {covered}");
        }
    }
}
