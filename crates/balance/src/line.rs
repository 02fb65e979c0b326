//! A straight line through points by least squares: the calibration line of an instrument.
//!
//! Fits y = y₁ + y₂ (t − t₀) to pairs (t, y) whose t are taken as exact and whose y scatter alike, and predicts
//! y at any t with its uncertainty. Main type: [`Line`].
//! Source: JCGM 100 (GUM) H.3. Not covered: points of unequal weight, uncertain t, a shift common to all y
//! (H.3.6 adds that to the prediction).

/// Why a line was refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum LineError {
    /// Two points make a line without any scatter to judge it by.
    #[error("a calibration line needs 3 points or more, and {count} were given")]
    TooFewPoints {
        /// How many there were.
        count: usize,
    },
    /// A coordinate, or t₀, that is not a finite number.
    #[error("a coordinate of the calibration line is not a finite number")]
    NotFinite,
    /// All points at the same t.
    #[error("all points of the calibration line lie at the same place")]
    AllAtOnePlace,
}

/// A fitted line y = y₁ + y₂ (t − t₀).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// t₀: where the intercept is taken.
    pub origin: f64,
    /// y₁: the value at t₀.
    pub intercept: f64,
    /// y₂: the change of y for one of t.
    pub slope: f64,
    /// u(y₁).
    pub intercept_uncertainty: f64,
    /// u(y₂).
    pub slope_uncertainty: f64,
    /// r(y₁, y₂), from −1 to 1.
    pub correlation: f64,
    /// s: how the points scatter about the line.
    pub residual_standard_deviation: f64,
    /// n − 2.
    pub degrees_of_freedom: f64,
}

/// A value read off a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prediction {
    /// y at that t.
    pub value: f64,
    /// Its standard uncertainty, from the scatter about the line alone.
    pub standard_uncertainty: f64,
}

impl Line {
    /// Fits the line by least squares.
    ///
    /// y₂ = (n Σyθ − Σy Σθ)/D, y₁ = (Σy Σθ² − Σyθ Σθ)/D, D = n Σ(θ − θ̄)², θ = t − t₀;
    /// s² = Σ(y − y₁ − y₂ θ)²/(n − 2); u²(y₁) = s² Σθ²/D, u²(y₂) = n s²/D, r = −Σθ/√(n Σθ²)
    ///
    /// # Inputs
    /// `points`: pairs (t, y), 3 or more, not all at one t; `origin`: t₀. Any units, the same throughout.
    /// # Gives
    /// intercept at t₀ and slope with their standard uncertainties and correlation, s and n − 2.
    /// # Valid for
    /// t known far better than y, and y of equal and independent scatter.
    /// # Errors
    /// - [`LineError::TooFewPoints`]: fewer than 3
    /// - [`LineError::NotFinite`]: a NaN or an infinity
    /// - [`LineError::AllAtOnePlace`]: all t are the same to 12 digits, so D is zero
    /// # Source
    /// \[GUM\] H.3.2, equations H.13a to H.13g; the example's figures transcribed
    /// # Checked by
    /// checks/gum/h3.toml, 4 of 4 printed digits
    /// # Example
    /// ```
    /// use hingeline_balance::Line;
    /// let line = Line::fit(&[(1.0, 2.1), (2.0, 3.9), (3.0, 6.1), (4.0, 7.9)], 0.0)?;
    /// assert!((line.slope - 1.96).abs() < 1e-12);
    /// assert!((line.at(5.0).value - 9.9).abs() < 1e-12);
    /// # Ok::<(), hingeline_balance::LineError>(())
    /// ```
    pub fn fit(points: &[(f64, f64)], origin: f64) -> Result<Self, LineError> {
        check(points, origin)?;
        #[allow(clippy::cast_precision_loss, reason = "nobody takes 2^53 points")]
        let n = points.len() as f64;
        let mean = |of: fn(&(f64, f64)) -> f64| points.iter().map(of).sum::<f64>() / n;
        let (t, y) = (mean(|point| point.0), mean(|point| point.1));
        // Sums about the means: the same as the printed sums, without their loss of digits.
        let sum = |of: &dyn Fn(f64, f64) -> f64| points.iter().map(|p| of(p.0 - t, p.1 - y)).sum::<f64>();
        let squares = sum(&|theta, _| theta * theta);
        let slope = sum(&|theta, y| theta * y) / squares;
        let intercept = y - slope * (t - origin);
        let s = (sum(&|theta, y| (y - slope * theta).powi(2)) / (n - 2.0)).sqrt();
        // Σθ² about t₀ instead of the mean.
        let about_origin = squares + n * (t - origin).powi(2);
        Ok(Self {
            origin,
            intercept,
            slope,
            intercept_uncertainty: s * (about_origin / (n * squares)).sqrt(),
            slope_uncertainty: s / squares.sqrt(),
            correlation: -n * (t - origin) / (n * about_origin).sqrt(),
            residual_standard_deviation: s,
            degrees_of_freedom: n - 2.0,
        })
    }

    /// y at `t`, with its standard uncertainty.
    ///
    /// y = y₁ + y₂ (t − t₀); u² = u²(y₁) + (t − t₀)² u²(y₂) + 2 (t − t₀) u(y₁) u(y₂) r
    ///
    /// # Inputs
    /// `t`: in the unit of the points. Outside their range the line is stretched, and says nothing of it.
    /// # Gives
    /// value and standard uncertainty, in the unit of y.
    /// # Source
    /// \[GUM\] H.3.4, equations H.14 and H.15; the example's figures transcribed
    /// # Checked by
    /// checks/gum/h3.toml, 4 of 4 printed digits
    #[must_use]
    pub fn at(&self, t: f64) -> Prediction {
        let theta = t - self.origin;
        let (u1, u2) = (self.intercept_uncertainty, theta * self.slope_uncertainty);
        let variance = u1 * u1 + u2 * u2 + 2.0 * u1 * u2 * self.correlation;
        Prediction {
            value: self.intercept + self.slope * theta,
            standard_uncertainty: variance.max(0.0).sqrt(),
        }
    }
}

fn check(points: &[(f64, f64)], origin: f64) -> Result<(), LineError> {
    if points.len() < 3 {
        return Err(LineError::TooFewPoints { count: points.len() });
    }
    let finite = points.iter().all(|(t, y)| t.is_finite() && y.is_finite());
    if !finite || !origin.is_finite() {
        return Err(LineError::NotFinite);
    }
    let first = points[0].0;
    // The rest of a rounding is no distance.
    let apart = |t: f64| (t - first).abs() > 1e-12 * first.abs().max(t.abs());
    if points.iter().any(|(t, _)| apart(*t)) { Ok(()) } else { Err(LineError::AllAtOnePlace) }
}

#[cfg(test)]
mod tests {
    use super::*;

    const POINTS: [(f64, f64); 4] = [(1.0, 2.1), (2.0, 3.9), (3.0, 6.1), (4.0, 7.9)];

    #[test]
    fn the_origin_moves_the_intercept_and_nothing_else() {
        let (here, there) =
            (Line::fit(&POINTS, 0.0).expect("a line"), Line::fit(&POINTS, 2.5).expect("a line"));
        assert!((here.slope - there.slope).abs() < 1e-14);
        for t in [-3.0, 0.0, 2.5, 10.0] {
            assert!((here.at(t).value - there.at(t).value).abs() < 1e-12);
            assert!((here.at(t).standard_uncertainty - there.at(t).standard_uncertainty).abs() < 1e-12);
        }
        assert!(there.correlation.abs() < 1e-14, "about their mean, intercept and slope are apart");
    }

    #[test]
    fn points_on_a_line_have_no_scatter() {
        let line = Line::fit(&[(0.0, 1.0), (1.0, 3.0), (2.0, 5.0)], 0.0).expect("a line");
        assert!(line.residual_standard_deviation < 1e-15);
        assert!((line.at(7.0).value - 15.0).abs() < 1e-13);
    }

    #[test]
    fn what_makes_no_line_is_refused() {
        let refused = |points: &[(f64, f64)]| Line::fit(points, 0.0).expect_err("no line");
        assert_eq!(refused(&POINTS[..2]), LineError::TooFewPoints { count: 2 });
        assert_eq!(refused(&[(0.1, 1.0), (0.1, 2.0), (0.1, 3.0)]), LineError::AllAtOnePlace);
        assert_eq!(refused(&[(1.0, 1.0), (2.0, f64::NAN), (3.0, 3.0)]), LineError::NotFinite);
        assert_eq!(Line::fit(&POINTS, f64::INFINITY), Err(LineError::NotFinite));
    }
}
