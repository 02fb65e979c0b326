//! Repeated readings: mean, scatter, and the pair of sets taken while raising and lowering.
//!
//! Source: JCGM 100 4.2 (mean, experimental standard deviation of the mean, n − 1 degrees of freedom).

/// Readings of one kind, SI, at least one.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    values: Vec<f64>,
}

impl Series {
    /// A series of readings; none where there is no reading or one is not finite.
    #[must_use]
    pub fn new(values: Vec<f64>) -> Option<Self> {
        (!values.is_empty() && values.iter().all(|value| value.is_finite())).then_some(Self { values })
    }
    /// The readings.
    #[must_use]
    pub fn values(&self) -> &[f64] {
        &self.values
    }
    /// How many there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.values.len()
    }
    /// Their number as a real one.
    #[allow(clippy::cast_precision_loss, reason = "nobody takes 2^53 readings")]
    fn n(&self) -> f64 {
        self.values.len() as f64
    }
    /// Their mean.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.values.iter().sum::<f64>() / self.n()
    }
    /// s, the experimental standard deviation; none for a single reading.
    #[must_use]
    pub fn standard_deviation(&self) -> Option<f64> {
        let mean = self.mean();
        let squares: f64 = self.values.iter().map(|value| (value - mean).powi(2)).sum();
        (self.count() > 1).then(|| (squares / (self.n() - 1.0)).sqrt())
    }
    /// s/√n and n − 1; none for a single reading.
    #[must_use]
    pub fn uncertainty_of_mean(&self) -> Option<(f64, f64)> {
        self.standard_deviation().map(|s| (s / self.n().sqrt(), self.n() - 1.0))
    }
}

/// From so many readings at rest on, S ± U covers what it says in every mix of errors that friction does not
/// dominate.
const ENOUGH_AT_REST: usize = 7;

/// The same of each set, raising and lowering.
const ENOUGH_IN_A_SET: usize = 3;

/// How the readings of a weighing were taken.
#[derive(Debug, Clone, PartialEq)]
pub enum Readings {
    /// One after the other, at rest.
    AtRest(Series),
    /// While moving slowly through level, up and down: friction shows as half of their difference.
    Turning {
        /// Read while the trailing edge rises.
        raising: Series,
        /// Read while the trailing edge sinks.
        lowering: Series,
    },
}

impl Readings {
    /// Each set with the word that the budget uses for it and its weight in the mean.
    pub(crate) fn sets(&self) -> Vec<(&'static str, &Series, f64)> {
        match self {
            Self::AtRest(series) => vec![("", series, 1.0)],
            Self::Turning { raising, lowering } => {
                vec![(", raising", raising, 0.5), (", lowering", lowering, 0.5)]
            }
        }
    }
    /// r: the mean, or the half-sum of the two means.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.sets().iter().map(|(_, series, weight)| weight * series.mean()).sum()
    }
    /// (mean raising − mean lowering)/2; none where friction was not measured.
    #[must_use]
    pub fn half_difference(&self) -> Option<f64> {
        match self {
            Self::AtRest(_) => None,
            Self::Turning { raising, lowering } => Some((raising.mean() - lowering.mean()) / 2.0),
        }
    }
    /// The smallest number of readings in a set.
    #[must_use]
    pub fn fewest(&self) -> usize {
        self.sets().iter().map(|(_, series, _)| series.count()).min().unwrap_or(0)
    }
    /// Whether they were taken at rest and are two to six: enough for a scatter, too few for it to be known
    /// well beside errors of another kind (docs/coverage.md).
    pub(crate) fn few_at_rest(&self) -> bool {
        matches!(self, Self::AtRest(series) if (2..ENOUGH_AT_REST).contains(&series.count()))
    }
    /// Whether they were taken turning and one of the sets has two (docs/coverage.md).
    pub(crate) fn few_in_a_set(&self) -> bool {
        matches!(self, Self::Turning { .. }) && (2..ENOUGH_IN_A_SET).contains(&self.fewest())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn mean_and_scatter() {
        let series = Series::new(vec![1.34, 1.35, 1.33]).expect("readings");
        assert!((series.mean() - 1.34).abs() < 1e-15);
        let (u, nu) = series.uncertainty_of_mean().expect("three readings");
        assert!((u - 0.01 / 3f64.sqrt()).abs() < 1e-15);
        assert!((nu - 2.0).abs() < 1e-15);
    }

    #[test]
    fn one_reading_has_no_scatter() {
        assert!(Series::new(vec![1.0]).expect("one").uncertainty_of_mean().is_none());
        assert!(Series::new(vec![]).is_none());
        assert!(Series::new(vec![f64::NAN]).is_none());
    }

    #[test]
    fn friction_is_half_the_difference() {
        let raising = Series::new(vec![1.34]).expect("one");
        let lowering = Series::new(vec![1.28]).expect("one");
        let readings = Readings::Turning { raising, lowering };
        assert!((readings.mean() - 1.31).abs() < 1e-15);
        assert!((readings.half_difference().expect("both") - 0.03).abs() < 1e-15);
    }
}
