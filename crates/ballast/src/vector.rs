//! Vectors of three numbers.

use crate::Vector;

pub(crate) fn add(a: Vector, b: Vector) -> Vector {
    std::array::from_fn(|i| a[i] + b[i])
}
pub(crate) fn sub(a: Vector, b: Vector) -> Vector {
    std::array::from_fn(|i| a[i] - b[i])
}
pub(crate) fn times(a: Vector, factor: f64) -> Vector {
    a.map(|x| x * factor)
}
pub(crate) fn dot(a: Vector, b: Vector) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}
pub(crate) fn cross(a: Vector, b: Vector) -> Vector {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}
pub(crate) fn length(a: Vector) -> f64 {
    dot(a, a).sqrt()
}
/// The part of `a` at right angles to a unit vector.
pub(crate) fn across(a: Vector, unit: Vector) -> Vector {
    sub(a, times(unit, dot(a, unit)))
}
/// The direction of a vector; none for a vector of no length.
pub(crate) fn unit(a: Vector) -> Option<Vector> {
    let size = length(a);
    (size.is_finite() && 1e-12 < size).then(|| times(a, 1.0 / size))
}
