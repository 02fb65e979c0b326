//! The function of a measurement as a sum of products of linear forms, each form multiplied or divided by.
//!
//! Every weighing method, and the published examples that this crate is checked against, can be written so.
//! The form buys an exact gradient for the law of propagation, and plain loops over batches of draws for the
//! Monte Carlo route. Main type: [`Expression`].

use crate::lanes::{BATCH, Column, LANES};
use multiversion::multiversion;

/// A linear form: a constant and coefficients of inputs (by their place in the model).
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Linear {
    /// The part that depends on no input.
    pub constant: f64,
    /// Input number and coefficient.
    pub terms: Vec<(usize, f64)>,
}

impl Linear {
    /// A form that is a plain number.
    #[must_use]
    pub fn constant(value: f64) -> Self {
        Self { constant: value, terms: Vec::new() }
    }
    /// The form with one more term.
    #[must_use]
    pub fn plus(mut self, input: usize, coefficient: f64) -> Self {
        self.terms.push((input, coefficient));
        self
    }
    /// The form with a number added.
    #[must_use]
    pub fn shifted(mut self, by: f64) -> Self {
        self.constant += by;
        self
    }
    /// The same form of other inputs: input number i is `center` + `scale` times the new one.
    fn rescaled(&self, inputs: &[(f64, f64)]) -> Self {
        self.terms.iter().fold(Self::constant(self.constant), |form, &(input, coefficient)| {
            let (center, scale) = inputs[input];
            let form = form.shifted(coefficient * center);
            if scale > 0.0 { form.plus(input, coefficient * scale) } else { form }
        })
    }
    /// Its value at given inputs.
    #[must_use]
    pub fn value(&self, inputs: &[f64]) -> f64 {
        self.terms.iter().fold(self.constant, |sum, &(index, coefficient)| sum + coefficient * inputs[index])
    }
}

/// One factor of a product.
#[derive(Debug, Clone, PartialEq)]
pub enum Factor {
    /// Multiplied by the form.
    Times(Linear),
    /// Divided by the form.
    Over(Linear),
}

impl Factor {
    fn form(&self) -> &Linear {
        match self {
            Self::Times(form) | Self::Over(form) => form,
        }
    }
    fn value(&self, inputs: &[f64]) -> f64 {
        let form = self.form().value(inputs);
        match self {
            Self::Times(_) => form,
            Self::Over(_) => 1.0 / form,
        }
    }
    /// The derivative of the factor by its own form.
    fn slope(&self, inputs: &[f64]) -> f64 {
        match self {
            Self::Times(_) => 1.0,
            Self::Over(form) => -form.value(inputs).powi(-2),
        }
    }
}

/// A number times some factors.
#[derive(Debug, Clone, PartialEq)]
pub struct Product {
    /// The number in front.
    pub coefficient: f64,
    /// The factors.
    pub factors: Vec<Factor>,
}

impl Product {
    /// A product of forms, all multiplied.
    #[must_use]
    pub fn of(coefficient: f64, forms: Vec<Linear>) -> Self {
        Self { coefficient, factors: forms.into_iter().map(Factor::Times).collect() }
    }

    fn value(&self, inputs: &[f64]) -> f64 {
        self.factors.iter().fold(self.coefficient, |value, factor| value * factor.value(inputs))
    }

    fn add_gradient(&self, inputs: &[f64], gradient: &mut [f64]) {
        for (index, factor) in self.factors.iter().enumerate() {
            let others = self.factors.iter().enumerate().filter(|(other, _)| *other != index);
            let outer = others.fold(self.coefficient, |value, (_, other)| value * other.value(inputs));
            for &(input, coefficient) in &factor.form().terms {
                gradient[input] += outer * factor.slope(inputs) * coefficient;
            }
        }
    }
}

/// A sum of products.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Expression {
    /// The products that are added.
    pub products: Vec<Product>,
}

impl Expression {
    /// The sum of all inputs, each times one, for the published examples.
    #[must_use]
    pub fn sum_of_inputs(count: usize) -> Self {
        let form = (0..count).fold(Linear::default(), |form, input| form.plus(input, 1.0));
        Self { products: vec![Product::of(1.0, vec![form])] }
    }

    /// Its value at given inputs.
    #[must_use]
    pub fn value(&self, inputs: &[f64]) -> f64 {
        self.products.iter().map(|product| product.value(inputs)).sum()
    }

    /// Its exact derivative by every input.
    #[must_use]
    pub fn gradient(&self, inputs: &[f64]) -> Vec<f64> {
        let mut gradient = vec![0.0; inputs.len()];
        for product in &self.products {
            product.add_gradient(inputs, &mut gradient);
        }
        gradient
    }

    /// The same function of other inputs: input number i is `center` + `scale` times the new one.
    ///
    /// Centers and scales go into constants and coefficients, once for all trials.
    pub(crate) fn rescaled(&self, inputs: &[(f64, f64)]) -> Self {
        let rescale = |form: &Linear| form.rescaled(inputs);
        let products = self.products.iter().map(|product| Product {
            coefficient: product.coefficient,
            factors: product
                .factors
                .iter()
                .map(|factor| match factor {
                    Factor::Times(form) => Factor::Times(rescale(form)),
                    Factor::Over(form) => Factor::Over(rescale(form)),
                })
                .collect(),
        });
        Self { products: products.collect() }
    }

    /// Its values over a batch of trials: one column of draws an input in, one value a trial out.
    pub(crate) fn values(&self, draws: &[Column], out: &mut Column, scratch: &mut Scratch) {
        out.0.fill(0.0);
        for product in &self.products {
            scratch.product.0.fill(product.coefficient);
            for factor in &product.factors {
                fill_form(factor.form(), draws, &mut scratch.form);
                match factor {
                    Factor::Times(_) => multiply(&mut scratch.product, &scratch.form),
                    Factor::Over(_) => divide(&mut scratch.product, &scratch.form),
                }
            }
            add(out, &scratch.product);
        }
    }
}

/// How many trials of a form are worked on at a time.
const IN_HAND: usize = 4 * LANES;

/// Working space for one batch.
pub(crate) struct Scratch {
    product: Column,
    form: Column,
}

impl Scratch {
    pub(crate) fn new() -> Self {
        Self { product: Column::ZERO, form: Column::ZERO }
    }
}

#[multiversion(targets = "simd")]
fn fill_form(form: &Linear, draws: &[Column], out: &mut Column) {
    for (place, sums) in out.0.as_chunks_mut::<IN_HAND>().0.iter_mut().enumerate() {
        // A copy of its own stays in registers until all terms are added.
        let mut here = [form.constant; IN_HAND];
        for &(input, coefficient) in &form.terms {
            let draws = &draws[input].0.as_chunks::<IN_HAND>().0[place];
            for trial in 0..IN_HAND {
                here[trial] += coefficient * draws[trial];
            }
        }
        *sums = here;
    }
}

#[multiversion(targets = "simd")]
fn multiply(running: &mut Column, by: &Column) {
    for trial in 0..BATCH {
        running.0[trial] *= by.0[trial];
    }
}

#[multiversion(targets = "simd")]
fn divide(running: &mut Column, by: &Column) {
    for trial in 0..BATCH {
        running.0[trial] /= by.0[trial];
    }
}

#[multiversion(targets = "simd")]
fn add(sum: &mut Column, values: &Column) {
    for trial in 0..BATCH {
        sum.0[trial] += values.0[trial];
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// (2 + x0 − x1)(x2)/(1 + x1) + 3 x0
    fn sample() -> Expression {
        let first = Linear::constant(2.0).plus(0, 1.0).plus(1, -1.0);
        let second = Linear::constant(0.0).plus(2, 1.0);
        let third = Linear::constant(1.0).plus(1, 1.0);
        Expression {
            products: vec![
                Product {
                    coefficient: 1.0,
                    factors: vec![Factor::Times(first), Factor::Times(second), Factor::Over(third)],
                },
                Product::of(3.0, vec![Linear::constant(0.0).plus(0, 1.0)]),
            ],
        }
    }

    proptest! {
        #[test]
        fn the_gradient_is_the_numeric_derivative(x in -0.5..2.0f64, y in -0.5..2.0f64, z in -2.0..2.0f64) {
            let inputs = [x, y, z];
            let gradient = sample().gradient(&inputs);
            for index in 0..3 {
                let step = 1e-6;
                let (mut above, mut below) = (inputs, inputs);
                above[index] += step;
                below[index] -= step;
                let slope = (sample().value(&above) - sample().value(&below)) / (2.0 * step);
                prop_assert!((gradient[index] - slope).abs() < 1e-6 * (1.0 + slope.abs()));
            }
        }

        #[test]
        fn a_batch_gives_what_single_trials_give(x in -0.5..2.0f64, y in -0.5..2.0f64, z in -2.0..2.0f64) {
            let mut draws = [Column([1.0; BATCH]); 3];
            (draws[0].0[0], draws[1].0[0], draws[2].0[0]) = (x, y, z);
            let mut out = Column::ZERO;
            sample().values(&draws, &mut out, &mut Scratch::new());
            prop_assert!((out.0[0] - sample().value(&[x, y, z])).abs() < 1e-12);
            prop_assert!((out.0[BATCH - 1] - 4.0).abs() < 1e-12);
        }

        #[test]
        fn rescaled_inputs_give_the_same_value(x in -0.5..2.0f64, y in -0.5..2.0f64) {
            let rescaled = sample().rescaled(&[(1.0, 2.0), (y, 0.0), (-0.5, 3.0)]);
            let there = rescaled.value(&[(x - 1.0) / 2.0, 99.0, (0.25 + 0.5) / 3.0]);
            prop_assert!((there - sample().value(&[x, y, 0.25])).abs() < 1e-12);
        }
    }
}
