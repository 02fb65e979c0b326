//! The law of propagation of uncertainty, first order, uncorrelated inputs.
//!
//! u² = Σ (cᵢ u(xᵢ))², effective degrees of freedom by Welch–Satterthwaite, k = t at 95.45 %, U = k u.
//! Correlated contributions are made one input by the model's builder. Main type: [`Propagated`].
//! Source: JCGM 100 5.1.2 (equation 10), G.4.1 (equation G.2b).

use crate::model::{Input, Model};
use crate::student::{coverage_factor, truncated};

/// What one input brings to the uncertainty of the result.
#[derive(Debug, Clone, PartialEq)]
pub struct Share {
    /// The derivative of the result by the input.
    pub sensitivity: f64,
    /// |c| u(x), in the unit of the result.
    pub standard_uncertainty: f64,
    /// Its share of the variance; all shares make one (all are zero where nothing is uncertain).
    pub share: f64,
}

/// A result with its uncertainty.
#[derive(Debug, Clone, PartialEq)]
pub struct Propagated {
    /// The best value.
    pub estimate: f64,
    /// u, the combined standard uncertainty.
    pub standard_uncertainty: f64,
    /// Effective degrees of freedom, not truncated; none is infinitely many.
    pub degrees_of_freedom: Option<f64>,
    /// k.
    pub coverage_factor: f64,
    /// U = k u.
    pub expanded_uncertainty: f64,
    /// One share an input, in their order.
    pub shares: Vec<Share>,
}

impl Propagated {
    /// The degrees of freedom that k was taken with: truncated to a whole number.
    #[must_use]
    pub fn whole_degrees_of_freedom(&self) -> Option<f64> {
        truncated(self.degrees_of_freedom)
    }
}

impl Model {
    /// Propagates the inputs' uncertainties to the result.
    ///
    /// u² = Σ (cᵢ uᵢ)², ν = u⁴ / Σ ((cᵢ uᵢ)⁴ / νᵢ), k = t₉₅.₄₅(ν truncated), U = k u
    ///
    /// # Gives
    /// estimate, u, ν, k, U in the unit of the result, and the share of each input.
    /// # Valid for
    /// uncorrelated inputs and an expression that is straight over their spread; where a sensitivity is zero at
    /// the estimate, first order says nothing (compare [`Model::monte_carlo`]).
    /// # Source
    /// \[GUM\] equations 10 and G.2b
    /// # Checked by
    /// checks/gum/h1.toml
    #[must_use]
    pub fn propagate(&self) -> Propagated {
        let sensitivities = self.expression.gradient(&self.estimates());
        combine(self.estimate(), &self.inputs, &sensitivities)
    }
}

/// The law of propagation for given sensitivities.
pub(crate) fn combine(estimate: f64, inputs: &[Input], sensitivities: &[f64]) -> Propagated {
    let parts: Vec<f64> = inputs
        .iter()
        .zip(sensitivities)
        .map(|(input, c)| (c * input.spread.standard_uncertainty()).abs())
        .collect();
    let variance: f64 = parts.iter().map(|part| part * part).sum();
    let fourth: f64 = inputs
        .iter()
        .zip(&parts)
        .filter_map(|(input, part)| input.degrees_of_freedom.map(|nu| part.powi(4) / nu))
        .sum();
    let degrees_of_freedom = (fourth > 0.0).then(|| variance * variance / fourth);
    let standard_uncertainty = variance.sqrt();
    let k = coverage_factor(degrees_of_freedom);
    let share = |part: f64| {
        if variance > 0.0 { part * part / variance } else { 0.0 }
    };
    let shares = parts
        .iter()
        .zip(sensitivities)
        .map(|(&part, &sensitivity)| Share { sensitivity, standard_uncertainty: part, share: share(part) })
        .collect();
    Propagated {
        estimate,
        standard_uncertainty,
        degrees_of_freedom,
        coverage_factor: k,
        expanded_uncertainty: k * standard_uncertainty,
        shares,
    }
}
