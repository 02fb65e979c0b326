//! The function of a measurement as a sum of products of linear forms, each form multiplied or divided by.
//!
//! Every weighing method, and the published examples that this crate is checked against, can be written so.
//! The form buys an exact gradient for the law of propagation, and a plain loop over blocks of draws for the
//! Monte Carlo route. Main type: [`Expression`].

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
        Self {
            constant: value,
            terms: Vec::new(),
        }
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
    /// Its value at given inputs.
    #[must_use]
    pub fn value(&self, inputs: &[f64]) -> f64 {
        self.terms
            .iter()
            .fold(self.constant, |sum, &(index, coefficient)| {
                sum + coefficient * inputs[index]
            })
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
        Self {
            coefficient,
            factors: forms.into_iter().map(Factor::Times).collect(),
        }
    }

    fn value(&self, inputs: &[f64]) -> f64 {
        self.factors
            .iter()
            .fold(self.coefficient, |value, factor| value * factor.value(inputs))
    }

    fn add_gradient(&self, inputs: &[f64], gradient: &mut [f64]) {
        for (index, factor) in self.factors.iter().enumerate() {
            let others = self
                .factors
                .iter()
                .enumerate()
                .filter(|(other, _)| *other != index);
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

    /// Its values over a block: `draws[input][trial]` in, one value a trial out.
    pub(crate) fn values(&self, draws: &[Vec<f64>], out: &mut [f64], scratch: &mut Scratch) {
        out.fill(0.0);
        for product in &self.products {
            let running = &mut scratch.product[..out.len()];
            running.fill(product.coefficient);
            for factor in &product.factors {
                let form = &mut scratch.form[..out.len()];
                fill_form(factor.form(), draws, form);
                match factor {
                    Factor::Times(_) => running
                        .iter_mut()
                        .zip(&*form)
                        .for_each(|(value, form)| *value *= form),
                    Factor::Over(_) => running
                        .iter_mut()
                        .zip(&*form)
                        .for_each(|(value, form)| *value /= form),
                }
            }
            out.iter_mut()
                .zip(&*running)
                .for_each(|(sum, value)| *sum += value);
        }
    }
}

/// Working space for one block.
pub(crate) struct Scratch {
    product: Vec<f64>,
    form: Vec<f64>,
}

impl Scratch {
    pub(crate) fn new(block: usize) -> Self {
        Self {
            product: vec![0.0; block],
            form: vec![0.0; block],
        }
    }
}

fn fill_form(form: &Linear, draws: &[Vec<f64>], out: &mut [f64]) {
    out.fill(form.constant);
    for &(input, coefficient) in &form.terms {
        out.iter_mut()
            .zip(&draws[input])
            .for_each(|(sum, draw)| *sum += coefficient * draw);
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
        fn a_block_gives_what_single_trials_give(x in -0.5..2.0f64, y in -0.5..2.0f64, z in -2.0..2.0f64) {
            let mut out = [0.0; 2];
            sample().values(&[vec![x, 1.0], vec![y, 1.0], vec![z, 1.0]], &mut out, &mut Scratch::new(2));
            prop_assert!((out[0] - sample().value(&[x, y, z])).abs() < 1e-12);
            prop_assert!((out[1] - 4.0).abs() < 1e-12);
        }
    }
}
