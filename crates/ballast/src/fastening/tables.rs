//! Figures for fastenings: bolts, washers, lead, load factors and factors of safety, each with source and grade.

use super::{BoltSize, Direction, Factors, Load, Washer};
use crate::source::{Cited, Grade};
use std::borrow::Cow;

const INCH: f64 = 0.025_4;
const POUND_FORCE: f64 = 0.453_592_37 * 9.806_65;
/// 1 psi, Pa.
pub(super) const PSI: f64 = POUND_FORCE / (INCH * INCH);
/// 1 in-lb, N m.
const INCH_POUND: f64 = POUND_FORCE * INCH;
/// Steel bolts below this are not for primary structure (AC 43.13-1B 7-41): 10-32, m.
pub(super) const LEAST_PRIMARY_DIAMETER_M: f64 = 0.19 * INCH;

const fn bolt(
    name: &'static str,
    diameter_in: f64,
    shear: (f64, Grade),
    tension: f64,
    torque: [f64; 2],
) -> BoltSize {
    BoltSize {
        name: Cow::Borrowed(name),
        diameter_m: diameter_in * INCH,
        shear_n: Cited::of(shear.0 * POUND_FORCE, "MIL-HDBK-5-8.1.5", shear.1),
        tension_n: Cited::of(tension * POUND_FORCE, "MIL-B-6812", Grade::Memory),
        torque_nm: Some([
            Cited::of(torque[0] * INCH_POUND, "AC-43.13-1B", Grade::Seen),
            Cited::of(torque[1] * INCH_POUND, "AC-43.13-1B", Grade::Seen),
        ]),
    }
}

/// AN bolts of alloy or carbon steel, 125 ksi: ultimate single shear (75 ksi × shank area; 1/4 in as printed),
/// ultimate tension (from memory), recommended torque with tension nuts.
pub static AN_BOLTS: [BoltSize; 4] = [
    bolt("AN3", 0.19, (2126.0, Grade::Computed), 2210.0, [20.0, 25.0]),
    bolt("AN4", 0.25, (3680.0, Grade::Seen), 4080.0, [50.0, 70.0]),
    bolt("AN5", 0.3125, (5752.0, Grade::Computed), 6500.0, [100.0, 140.0]),
    bolt("AN6", 0.375, (8284.0, Grade::Computed), 10_100.0, [160.0, 190.0]),
];

const fn washer(name: &'static str, outer_in: f64, inner_in: f64) -> Washer {
    Washer { name: Cow::Borrowed(name), outer_m: outer_in * INCH, inner_m: inner_in * INCH }
}

/// Plain washers; dimensions from memory of the drawings (source key `AN-WASHERS`).
pub static AN_WASHERS: [Washer; 4] = [
    washer("AN960-10", 0.438, 0.203),
    washer("AN960-416", 0.500, 0.265),
    washer("AN970-3", 0.875, 0.203),
    washer("AN970-4", 1.125, 0.265),
];

/// Sustained stress that lead is said to bear at 20 °C, Pa: from memory, low confidence.
pub static LEAD_SUSTAINED: [(&str, Cited); 2] = [
    ("chemical lead", Cited::of(200.0 * PSI, "LIA", Grade::Memory)),
    ("6 % antimonial lead", Cited::of(400.0 * PSI, "LIA", Grade::Memory)),
];

/// Short-time shear strength of pure lead, Pa: from memory, no source seen.
pub static LEAD_SHEAR: Cited = Cited::of(12.5e6, "LEAD-SHEAR", Grade::Memory);

/// K of T = K P d for plain dry steel.
pub static NUT_FACTOR: Cited = Cited::of(0.2, "NUT-FACTOR", Grade::Practice);

/// Load factors of 14 CFR 23.659 as it stood before amendment 23-64: limit loads. A starting point for the engineer,
/// who knows the certification basis of the aeroplane.
#[must_use]
pub fn usual_loads() -> Vec<Load> {
    let load =
        |direction, factor| Load { direction, factor: Cited::of(factor, "14-CFR-23.659", Grade::Seen) };
    vec![load(Direction::Normal, 24.0), load(Direction::ForeAndAft, 12.0), load(Direction::AlongHinge, 12.0)]
}

impl Default for Factors {
    fn default() -> Self {
        Self {
            ultimate: Cited::of(1.5, "14-CFR-23.303", Grade::Seen),
            fitting: Cited::of(1.15, "14-CFR-23.625", Grade::Memory),
        }
    }
}
