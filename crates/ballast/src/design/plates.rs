//! The number and stock of plates that come nearest to the wanted moment. Main function: [`best`].

use super::solve::{Trial, broken, trial};
use super::{Design, Fault, Form, Limit, Shortfall};

/// Most plates.
pub(super) const MOST: u32 = 1000;

/// What the best count of one stock gives.
struct Stack {
    trial: Trial,
    count: u32,
    /// What stopped it, where more plates would come nearer.
    limit: Option<Limit>,
    /// Moment of one plate, kg m.
    step: f64,
    remaining: f64,
}

/// The stack that comes nearest; of equally near ones the first stock.
///
/// # Errors
/// - [`Fault::NoRoom`]: not one plate keeps within the space
/// - [`Fault::Shortfall`]: limits stop it more than half a plate too early
pub(super) fn best(design: &Design, stock: &[f64], most: u32) -> Result<Trial, Fault> {
    let mut best: Option<Stack> = None;
    let mut fault = None;
    for thickness in stock {
        match nearest(design, *thickness, most) {
            Ok(stack) => {
                if best.as_ref().is_none_or(|best| stack.remaining.abs() < best.remaining.abs()) {
                    best = Some(stack);
                }
            }
            Err(other @ Fault::NoRoom { .. }) => fault = Some(other),
            Err(other) => return Err(other),
        }
    }
    let Some(stack) = best else {
        let what = "the number of stock thicknesses";
        return Err(fault.unwrap_or(Fault::Number { what, value: 0.0, allowed: "above 0" }));
    };
    match stack.limit {
        Some(limit) if 0.5 * stack.step.abs() < stack.remaining.abs() => {
            Err(shortfall(design, &stack, limit))
        }
        _ => Ok(stack.trial),
    }
}

fn shortfall(design: &Design, stack: &Stack, limit: Limit) -> Fault {
    let more = stack.remaining / stack.step;
    Fault::Shortfall(Shortfall {
        dimension: None,
        limit,
        value: f64::from(stack.count),
        reached_kg_m: stack.trial.finished.moment_kg_m,
        wanted_kg_m: design.wanted.moment_kg_m,
        unrestricted: (0.0 < more).then(|| f64::from(stack.count) + more.round()),
    })
}

fn of(design: &Design, thickness: f64, count: u32) -> Result<Trial, Fault> {
    let mut form = design.form.clone();
    if let Form::Plates { thickness: of_one, count: of_all, .. } = &mut form {
        (*of_one, *of_all) = (thickness, count);
    }
    trial(design, form)
}

/// The moment grows evenly with every plate, so one more and one fewer than the even share are looked at.
fn nearest(design: &Design, thickness: f64, most: u32) -> Result<Stack, Fault> {
    let one = of(design, thickness, 1)?;
    if let Some((limit, found, allowed)) = broken(design, &one) {
        return Err(Fault::NoRoom { limit, found, allowed });
    }
    let (last, limit) = last_within(design, thickness, most)?;
    let step = of(design, thickness, 2)?.finished.moment_kg_m - one.finished.moment_kg_m;
    let remaining = |trial: &Trial| design.wanted.moment_kg_m - trial.finished.moment_kg_m;
    let more = remaining(&one) / step;
    let (mut low, mut high) = (1, last);
    // How many more plates than one come nearest: halving over whole numbers, as the step is even.
    while low < high {
        let middle = low.midpoint(high);
        if f64::from(middle) < 1.0 + more - 0.5 { low = middle + 1 } else { high = middle }
    }
    let trial = of(design, thickness, low)?;
    let remaining = remaining(&trial);
    let stopped = low == last && 0.0 < remaining * step;
    Ok(Stack { trial, count: low, limit: stopped.then_some(limit), step, remaining })
}

/// The most plates that keep within the space, and what stops the next.
fn last_within(design: &Design, thickness: f64, most: u32) -> Result<(u32, Limit), Fault> {
    let mut limit = Limit::Bound;
    let (mut low, mut high) = (1, most);
    while low < high {
        let middle = high - (high - low) / 2;
        match broken(design, &of(design, thickness, middle)?) {
            None => low = middle,
            Some((first, ..)) => (high, limit) = (middle - 1, first),
        }
    }
    Ok((low, if low == most { Limit::Bound } else { limit }))
}
