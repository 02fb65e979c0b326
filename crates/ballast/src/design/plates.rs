//! The number and stock of plates that give the wanted moment with the least beyond it, since plates can be filed down.
//! Main function: [`best`].

use super::solve::{Trial, broken, trial};
use super::{Design, Fault, Form, Limit, Shortfall};

/// Most plates.
pub(super) const MOST: u32 = 1000;

/// A share of the wanted moment by which two stacks are the same.
const SAME: f64 = 1e-9;

/// What the best count of one stock gives.
struct Stack {
    trial: Trial,
    count: u32,
    /// What stops it, where more plates would come nearer.
    limit: Option<Limit>,
    /// Moment of one plate, kg m.
    step: f64,
    /// What is lacking on the side of the wanted moment, as a share of it; below 0 beyond it.
    lacking: f64,
}

impl Stack {
    fn gives_enough(&self) -> bool {
        self.lacking <= SAME
    }
    /// Enough before too little, then the nearer, then fewer plates.
    fn is_better_than(&self, other: &Self) -> bool {
        if self.gives_enough() != other.gives_enough() {
            return self.gives_enough();
        }
        let nearer = other.lacking.abs() - self.lacking.abs();
        if nearer.abs() <= SAME { self.count < other.count } else { 0.0 < nearer }
    }
}

/// The stack that gives at least the wanted moment with the least beyond it; of equal ones that of the fewest plates.
///
/// # Errors
/// - [`Fault::NoRoom`]: not even the fewest plates that hold the holes keep within the space
/// - [`Fault::HoleOutside`]: no stack of so many plates holds the holes
/// - [`Fault::Shortfall`]: no stack gives enough within the limits; it tells of the one that gives most
pub(super) fn best(design: &Design, stock: &[f64], most: u32) -> Result<Trial, Fault> {
    let mut best: Option<Stack> = None;
    let mut fault = None;
    for thickness in stock {
        match nearest(design, *thickness, most) {
            Ok(stack) => {
                if best.as_ref().is_none_or(|best| stack.is_better_than(best)) {
                    best = Some(stack);
                }
            }
            Err(other @ (Fault::NoRoom { .. } | Fault::HoleOutside { .. })) => fault = Some(other),
            Err(other) => return Err(other),
        }
    }
    let Some(stack) = best else {
        let what = "the number of stock thicknesses";
        return Err(fault.unwrap_or(Fault::Number { what, value: 0.0, allowed: "above 0" }));
    };
    match stack.limit {
        Some(limit) if !stack.gives_enough() => Err(shortfall(design, &stack, limit)),
        _ => Ok(stack.trial),
    }
}

fn shortfall(design: &Design, stack: &Stack, limit: Limit) -> Fault {
    let more = (design.wanted.moment_kg_m - stack.trial.finished.moment_kg_m) / stack.step;
    Fault::Shortfall(Shortfall {
        dimension: None,
        limit,
        value: f64::from(stack.count),
        reached_kg_m: stack.trial.finished.moment_kg_m,
        wanted_kg_m: design.wanted.moment_kg_m,
        unrestricted: (0.0 < more).then(|| f64::from(stack.count) + (more - SAME).ceil()),
    })
}

fn of(design: &Design, thickness: f64, count: u32) -> Result<Trial, Fault> {
    let mut form = design.form.clone();
    if let Form::Plates { thickness: of_one, count: of_all, .. } = &mut form {
        (*of_one, *of_all) = (thickness, count);
    }
    trial(design, form)
}

/// The fewest plates of a stock that give enough, or else as many as may be: the moment grows evenly with every plate.
fn nearest(design: &Design, thickness: f64, most: u32) -> Result<Stack, Fault> {
    let first = first_that_holds(design, thickness, most)?;
    let fewest = of(design, thickness, first)?;
    if let Some((limit, found, allowed)) = broken(design, &fewest) {
        return Err(Fault::NoRoom { limit, found, allowed });
    }
    let (last, limit) = last_within(design, thickness, first, most)?;
    let plain = Design { holes: Vec::new(), ..design.clone() };
    let gives = |count| of(&plain, thickness, count).map(|trial| trial.finished.moment_kg_m);
    let step = gives(2)? - gives(1)?;
    let wanted = design.wanted.moment_kg_m;
    let lacking = |trial: &Trial| (wanted - trial.finished.moment_kg_m) / wanted;
    let more = lacking(&fewest) * wanted / step;
    let (mut low, mut high) = (first, last);
    // Halving over whole numbers; plates on the wrong side stay at the fewest.
    while low < high {
        let middle = low.midpoint(high);
        let is_little = f64::from(middle - first) < more * (1.0 - SAME);
        if is_little { low = middle + 1 } else { high = middle }
    }
    let trial = of(design, thickness, low)?;
    let lacking = lacking(&trial);
    let stopped = low == last && 0.0 < lacking * wanted * step;
    Ok(Stack { trial, count: low, limit: stopped.then_some(limit), step, lacking })
}

/// The fewest plates that the holes lie in: a hole wider or deeper than one plate goes into several.
fn first_that_holds(design: &Design, thickness: f64, most: u32) -> Result<u32, Fault> {
    let holds = |count: u32| match of(design, thickness, count) {
        Ok(_) => Ok(true),
        Err(Fault::HoleOutside { .. }) => Ok(false),
        Err(other) => Err(other),
    };
    if holds(1)? {
        return Ok(1);
    }
    of(design, thickness, most)?;
    let (mut low, mut high) = (1, most);
    while 1 < high - low {
        let middle = low.midpoint(high);
        if holds(middle)? { high = middle } else { low = middle }
    }
    Ok(high)
}

/// The most plates that keep within the space, and what stops the next.
fn last_within(design: &Design, thickness: f64, first: u32, most: u32) -> Result<(u32, Limit), Fault> {
    let mut limit = Limit::Bound;
    let (mut low, mut high) = (first, most);
    while low < high {
        let middle = high - (high - low) / 2;
        match broken(design, &of(design, thickness, middle)?) {
            None => low = middle,
            Some((first, ..)) => (high, limit) = (middle - 1, first),
        }
    }
    Ok((low, if low == most { Limit::Bound } else { limit }))
}
