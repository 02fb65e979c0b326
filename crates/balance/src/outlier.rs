//! A reading that stands out of its set: pointed at, never taken out.
//!
//! Grubbs' test for one outlier, two-sided at 5 %: G = max |xᵢ − mean| / s against
//! (n − 1)/√n · √(t² / (n − 2 + t²)), t the upper 0.05/(2n) point of Student's t with n − 2 degrees of freedom.
//! Source: Grubbs, Technometrics 11(1), 1969; NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17.
//! Valid for readings that scatter normally; asked from four readings on, and of so few it can only see gross slips. Of
//! three readings in whole steps two are often the same, and then G is (n − 1)/√n whatever the third one is.

use crate::series::Series;
use statrs::distribution::{ContinuousCDF, StudentsT};

/// Readings of a set from which on the test is asked.
const FROM: usize = 4;

/// A reading that stands out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outlier {
    /// Its place in the series, from 0.
    pub index: usize,
    /// G, how many standard deviations it lies from the mean.
    pub statistic: f64,
    /// The value that G is compared with.
    pub critical: f64,
}

/// The critical value of Grubbs' test, two-sided at 5 %; none for fewer than three readings.
#[must_use]
#[allow(clippy::cast_precision_loss, reason = "counts of readings are small")]
pub fn grubbs_critical(count: usize) -> Option<f64> {
    let n = count as f64;
    let student = StudentsT::new(0.0, 1.0, n - 2.0).ok().filter(|_| count > 2)?;
    let t = student.inverse_cdf(1.0 - 0.05 / (2.0 * n));
    Some((n - 1.0) / n.sqrt() * (t * t / (n - 2.0 + t * t)).sqrt())
}

impl Series {
    /// The reading that stands out most, where it stands out at all.
    #[must_use]
    pub fn outlier(&self) -> Option<Outlier> {
        let critical = grubbs_critical(self.count()).filter(|_| FROM <= self.count())?;
        let s = self.standard_deviation().filter(|s| *s > 0.0)?;
        let mean = self.mean();
        let far = |value: f64| (value - mean).abs() / s;
        let (index, statistic) =
            self.values().iter().map(|value| far(*value)).enumerate().max_by(|a, b| a.1.total_cmp(&b.1))?;
        (critical < statistic).then_some(Outlier { index, statistic, critical })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn critical_values_are_those_of_the_tables() {
        // Grubbs 1969, two-sided 5 %, from memory; the formula of the e-Handbook gives them.
        let table =
            [(3, 1.155), (4, 1.481), (5, 1.715), (6, 1.887), (7, 2.020), (8, 2.126), (9, 2.215), (10, 2.290)];
        for (count, printed) in table {
            let critical = grubbs_critical(count).expect("a value");
            assert!((critical - printed).abs() < 0.0011, "{count}: {critical}");
        }
        assert!(grubbs_critical(2).is_none());
    }

    #[test]
    fn a_slip_is_pointed_at_and_scatter_is_not() {
        let slip = Series::new(vec![1.31, 1.32, 1.30, 1.31, 1.91]).expect("readings");
        assert_eq!(slip.outlier().expect("an outlier").index, 4);
        let even = Series::new(vec![1.31, 1.32, 1.30, 1.31, 1.33]).expect("readings");
        assert!(even.outlier().is_none());
        let of_three = Series::new(vec![0.70, 0.70, 0.72]).expect("readings");
        assert!(of_three.outlier().is_none(), "two the same say nothing of the third");
        assert!(Series::new(vec![1.0, 1.0, 1.0]).expect("readings").outlier().is_none());
    }
}
