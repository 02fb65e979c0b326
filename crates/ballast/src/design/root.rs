//! A zero between two places of opposite sign, by Chandrupatla's method (Advances in Engineering Software 28, 1997,
//! 145–149; from memory): inverse quadratic steps where they are safe, halving else.

/// Most steps: halving alone needs fewer for all digits of a double.
const MOST_STEPS: usize = 200;

/// A place and its value.
pub(super) type Probe = (f64, f64);

/// The place where a function is 0 between two probes of opposite sign, once it is within a tolerance or no nearer one
/// can be told apart.
pub(super) fn zero<E>(
    low: Probe,
    high: Probe,
    tolerance: f64,
    mut value: impl FnMut(f64) -> Result<f64, E>,
) -> Result<f64, E> {
    let ((mut a, mut fa), (mut b, mut fb)) = (high, low);
    let mut step = 0.5;
    for _ in 0..MOST_STEPS {
        let at = a + step * (b - a);
        let found = value(at)?;
        let (c, fc) = if (found < 0.0) == (fa < 0.0) {
            (a, fa)
        } else {
            let old = (b, fb);
            (b, fb) = (a, fa);
            old
        };
        (a, fa) = (at, found);
        let (best, error) = if fb.abs() < fa.abs() { (b, fb) } else { (a, fa) };
        let least = 2.0 * f64::EPSILON * best.abs() / (b - a).abs();
        if error.abs() <= tolerance || 0.5 < least {
            return Ok(best);
        }
        step = next_step([a, b, c], [fa, fb, fc]).clamp(least, 1.0 - least);
    }
    Ok(if fb.abs() < fa.abs() { b } else { a })
}

fn next_step([a, b, c]: [f64; 3], [fa, fb, fc]: [f64; 3]) -> f64 {
    let xi = (a - b) / (c - b);
    let phi = (fa - fb) / (fc - fb);
    if phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi {
        return fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb);
    }
    0.5
}

#[cfg(test)]
mod tests {
    use super::*;

    fn solved(f: impl Fn(f64) -> f64, low: f64, high: f64) -> (f64, usize) {
        let mut count = 0;
        let counted = |x: f64| -> Result<f64, ()> {
            count += 1;
            Ok(f(x))
        };
        let at = zero((low, f(low)), (high, f(high)), 1e-15, counted).expect("no fault");
        (at, count)
    }

    #[test]
    fn zeros_are_found_in_few_steps() {
        let (at, steps) = solved(|x| x * x - 2.0, 0.0, 2.0);
        assert!((at - 2.0_f64.sqrt()).abs() < 1e-15 && steps < 12, "{at} {steps}");
        // Nearly flat at one end and steep at the other; halving needs some 50 steps.
        let (at, steps) = solved(|x| x.powi(9) - 0.001, 0.0, 2.0);
        assert!((at - 0.001_f64.powf(1.0 / 9.0)).abs() < 1e-14 && steps < 25, "{at} {steps}");
        let (at, _) = solved(|x| if x < 0.3 { -1.0 } else { 1.0 }, 0.0, 1.0);
        assert!((at - 0.3).abs() < 1e-15, "{at}");
    }
}
