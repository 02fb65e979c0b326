//! What a number of a weight sheet may be, where [`crate::bounds`] has no row for it.
//!
//! The ranges are wide on purpose: they catch slips of unit and decimal mark, not unusual weights.

use crate::bounds::Bound;
use hingeline_quantity::unit;

/// A length of the piece.
pub static SIZE: Bound = Bound::above_zero(2.0, &unit::METRE, "no balance weight is larger");
/// A place: a height, a place along the hinge line, a distance behind the front.
pub static PLACE: Bound = Bound::between(0.0, 5.0, &unit::METRE, "no surface on a bench reaches further");
/// A mass of the piece or of something in it.
pub static PIECE: Bound = Bound::above_zero(100.0, &unit::KILOGRAM, "no balance weight is heavier");
/// How closely such a mass is known, and what is left for the file.
pub static WITHIN: Bound = Bound::between(0.0, 10.0, &unit::KILOGRAM, "wider says nothing about the mass");
/// How closely a dimension or a place is kept.
pub static MADE_WITHIN: Bound = Bound::above_zero(50.0, &unit::MILLIMETRE, "wider is not made to measure");
/// A drill.
pub static DRILL: Bound = Bound::above_zero(100.0, &unit::MILLIMETRE, "no drill of a shop is larger");
/// The point of a drill.
pub static POINT: Bound = Bound::between(60.0, 179.0, &unit::DEGREE, "no drill has another point");
/// Where a ring segment begins and ends, from straight forward.
pub static TURN: Bound = Bound::between(0.0, 180.0, &unit::DEGREE, "that is straight aft");
/// A dry film.
pub static FILM: Bound = Bound::above_zero(5.0, &unit::MILLIMETRE, "no coat is thicker");
/// A torque.
pub static TORQUE: Bound = Bound::above_zero(50.0, &unit::KILOGRAM_METRE, "no bolt of a weight takes more");
/// Most holes of a sheet, those at all places together: whether two of them meet is asked of every pair.
pub const HOLES: usize = 200;
/// Most points of a trace or an outline, and most holes through one: whether it crosses itself is asked edge by edge.
pub const POINTS: usize = 200;
