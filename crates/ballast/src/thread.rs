//! Screw threads: limits of size by the published tolerance formulas, tensile stress area, shear areas of both
//! threads, and how long an engagement must be for the bolt to break before a thread strips.
//!
//! Main types: [`Thread`] (a size) and [`Limits`] (its limits in a class of fit). Sources: ASME B1.1-2003 8.3 and
//! Appendix B, FED-STD-H28/2B, Machinery's Handbook (unified); ISO 724, ISO 965-1 (metric, 6H/6g). Not covered: UNJ
//! and MJ roots, wire inserts by their own parts lists, coated threads, more than standard length of engagement.

use crate::source::Grade;
use std::f64::consts::{FRAC_PI_4, PI};

#[cfg(test)]
mod tests;

const INCH_M: f64 = 0.025_4;
const MM_M: f64 = 0.001;
/// 1/√3, tan 30°, printed as 0.57735.
const TAN_30: f64 = 0.577_350_269_189_625_8;
/// 3√3/8: pitch diameter below the major, in pitches.
const PITCH_BELOW: f64 = 0.649_519_052_838_328_9;
/// 5√3/8: minor diameter below the major, in pitches.
const MINOR_BELOW: f64 = 1.082_531_754_730_548_2;

/// A size of thread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thread {
    /// As written: `1/4-28 UNF`, `M6`.
    pub name: &'static str,
    /// Its system, diameter and pitch.
    pub size: Size,
}

/// Basic size of a thread, in the units of its standard, because its tolerances are formulas in those units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Size {
    /// Unified inch thread.
    Unified {
        /// Basic major diameter, in.
        diameter_in: f64,
        /// Threads per inch.
        per_inch: f64,
    },
    /// ISO metric thread.
    Metric {
        /// Basic major diameter, mm.
        diameter_mm: f64,
        /// Pitch, mm.
        pitch_mm: f64,
        /// Fundamental deviation of position g, mm (ISO 965-1 table).
        deviation_mm: f64,
        /// Geometric mean of the diameters of its step of the table, mm (ISO 965-1).
        step_mm: f64,
    },
}

/// A class of fit of external and internal thread together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fit {
    /// Unified 2A and 2B.
    Class2,
    /// Unified 3A and 3B.
    Class3,
    /// Metric 6g and 6H.
    Medium,
}

/// The limits of size that strength is reckoned from, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// The size.
    pub thread: Thread,
    /// The class of fit.
    pub fit: Fit,
    /// Pitch, m.
    pub pitch_m: f64,
    /// Tensile stress area, m².
    pub tensile_area_m2: f64,
    /// Least major diameter of the external thread (Ds min), m.
    pub external_major_min_m: f64,
    /// Least pitch diameter of the external thread (Es min), m.
    pub external_pitch_min_m: f64,
    /// Most pitch diameter of the internal thread (En max), m.
    pub internal_pitch_max_m: f64,
    /// Most minor diameter of the internal thread (Kn max), m.
    pub internal_minor_max_m: f64,
    /// Key of the table of sources.
    pub source: &'static str,
    /// How the formulas came here: those of class 2 were read, the others are from memory and meet printed tables.
    pub grade: Grade,
}

/// What can be wrong with a wish for a thread.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ThreadError {
    /// No such size in the table.
    #[error("“{text}” is not a thread of the table; allowed: {}", all_names())]
    Unknown {
        /// As typed.
        text: String,
    },
    /// A unified class on a metric thread, or the other way about.
    #[error("{thread} has no such class; allowed: class 2 or 3 for inch threads, 6g/6H for metric ones")]
    Fit {
        /// The size.
        thread: &'static str,
    },
}

fn all_names() -> String {
    THREADS.map(|thread| thread.name).join(", ")
}

const fn unified(name: &'static str, diameter_in: f64, per_inch: f64) -> Thread {
    Thread { name, size: Size::Unified { diameter_in, per_inch } }
}

const fn metric(
    name: &'static str,
    diameter_mm: f64,
    pitch_mm: f64,
    deviation_mm: f64,
    step_mm: f64,
) -> Thread {
    Thread { name, size: Size::Metric { diameter_mm, pitch_mm, deviation_mm, step_mm } }
}

/// Ends of a designation with their class of fit.
const CLASSES: [(&str, Fit); 6] = [
    ("-2A", Fit::Class2),
    ("-2B", Fit::Class2),
    ("-3A", Fit::Class3),
    ("-3B", Fit::Class3),
    ("-6G", Fit::Medium),
    ("-6H", Fit::Medium),
];

impl Fit {
    /// As printed.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Class2 => "class 2A/2B",
            Self::Class3 => "class 3A/3B",
            Self::Medium => "class 6g/6H",
        }
    }
}

/// √(2.8 × 5.6) and √(5.6 × 11.2), mm.
const STEPS_MM: [f64; 2] = [3.959_797_974_644_666, 7.919_595_949_289_332];

/// The sizes of the table. Numbered sizes are 0.060 + 0.013 × number in.
pub const THREADS: [Thread; 13] = [
    unified("8-32 UNC", 0.164, 32.0),
    unified("10-24 UNC", 0.19, 24.0),
    unified("10-32 UNF", 0.19, 32.0),
    unified("1/4-20 UNC", 0.25, 20.0),
    unified("1/4-28 UNF", 0.25, 28.0),
    unified("5/16-18 UNC", 0.3125, 18.0),
    unified("5/16-24 UNF", 0.3125, 24.0),
    unified("3/8-16 UNC", 0.375, 16.0),
    unified("3/8-24 UNF", 0.375, 24.0),
    metric("M4", 4.0, 0.7, 0.022, STEPS_MM[0]),
    metric("M5", 5.0, 0.8, 0.024, STEPS_MM[0]),
    metric("M6", 6.0, 1.0, 0.026, STEPS_MM[1]),
    metric("M8", 8.0, 1.25, 0.028, STEPS_MM[1]),
];

impl Thread {
    /// A size of the table by its name, with or without its series: `10-32`, `1/4-28 UNF`, `m6`, `M6x1`.
    ///
    /// # Errors
    /// - [`ThreadError::Unknown`]
    pub fn named(text: &str) -> Result<Self, ThreadError> {
        let plain = |text: &str| text.to_uppercase().replace([' ', '#'], "").replace(['X', '×'], "-");
        let wanted = plain(text);
        let fits = |thread: &&Self| {
            let name = plain(thread.name);
            let bare = name.trim_end_matches(|letter: char| letter.is_alphabetic()).to_owned();
            let long = match thread.size {
                Size::Metric { pitch_mm, .. } => format!("{name}-{pitch_mm}"),
                Size::Unified { .. } => bare.clone(),
            };
            !wanted.is_empty() && [name, bare, long].contains(&wanted)
        };
        THREADS
            .iter()
            .find(fits)
            .copied()
            .ok_or_else(|| ThreadError::Unknown { text: text.trim().to_owned() })
    }

    /// A size of the table with its class of fit, as in a designation: `10-32 UNF-2B`, `1/4-28 UNF-3A`, `M5x0.8-6H`.
    /// Where no class is written it is 2 (unified) or 6g/6H (metric).
    ///
    /// # Errors
    /// - as for [`Thread::named`], [`ThreadError::Fit`]
    pub fn designated(text: &str) -> Result<(Self, Fit), ThreadError> {
        let upper = text.to_uppercase().replace(' ', "").replace(',', ".");
        let classed = CLASSES.iter().find_map(|(class, fit)| Some((upper.strip_suffix(class)?, *fit)));
        let (size, fit) = classed.map_or((upper.as_str(), None), |(size, fit)| (size, Some(fit)));
        let unknown = |_| ThreadError::Unknown { text: text.trim().to_owned() };
        let thread = Self::named(size).map_err(unknown)?;
        let usual = match thread.size {
            Size::Unified { .. } => Fit::Class2,
            Size::Metric { .. } => Fit::Medium,
        };
        let fit = fit.unwrap_or(usual);
        thread.limits(fit)?;
        Ok((thread, fit))
    }

    /// Basic major diameter, m.
    #[must_use]
    pub fn diameter_m(&self) -> f64 {
        match self.size {
            Size::Unified { diameter_in, .. } => diameter_in * INCH_M,
            Size::Metric { diameter_mm, .. } => diameter_mm * MM_M,
        }
    }

    /// Tensile stress area, m²: π/4 (D − 0.9743/n)² unified, π/4 (d − 0.9382 P)² metric.
    #[must_use]
    pub fn tensile_area_m2(&self) -> f64 {
        match self.size {
            Size::Unified { diameter_in, per_inch } => {
                FRAC_PI_4 * ((diameter_in - 0.9743 / per_inch) * INCH_M).powi(2)
            }
            Size::Metric { diameter_mm, pitch_mm, .. } => {
                FRAC_PI_4 * ((diameter_mm - 0.9382 * pitch_mm) * MM_M).powi(2)
            }
        }
    }

    /// The limits of size in a class of fit, rounded as the standard prints them.
    ///
    /// # Errors
    /// - [`ThreadError::Fit`] for a class of the other system
    ///
    /// # Checked by
    /// Printed limits: 1/4-28 and 1/4-20, 2A/2B of six coarse sizes, both classes of small sizes, M4 to M8.
    pub fn limits(&self, fit: Fit) -> Result<Limits, ThreadError> {
        match (self.size, fit) {
            (Size::Unified { diameter_in, per_inch }, Fit::Class2 | Fit::Class3) => {
                Ok(self.unified_limits(diameter_in, 1.0 / per_inch, fit))
            }
            (Size::Metric { diameter_mm, pitch_mm, deviation_mm, step_mm }, Fit::Medium) => {
                Ok(self.metric_limits(diameter_mm, pitch_mm, deviation_mm, step_mm))
            }
            _ => Err(ThreadError::Fit { thread: self.name }),
        }
    }

    /// ASME B1.1 8.3, lengths in inches; length of engagement for the tolerance is one diameter. Basic diameters,
    /// allowance and tolerances are each rounded to 0.0001 in (the tolerance of 2A first to 0.000001 in) before they
    /// are added, as in the printed tables.
    fn unified_limits(&self, d: f64, p: f64, fit: Fit) -> Limits {
        let t2a = rounded(0.0015 * d.cbrt() + 0.0015 * d.sqrt() + 0.015 * p.powi(2).cbrt(), 6);
        let (external, internal, allowance) = match fit {
            Fit::Class3 => (0.75, 0.975, 0.0),
            Fit::Class2 | Fit::Medium => (1.0, 1.3, 0.3),
        };
        let (major, pitch) = (tenths(d), tenths(d - PITCH_BELOW * p));
        let allowance = tenths(allowance * t2a);
        let minor = tenths(d - MINOR_BELOW * p) + tenths(minor_tolerance(d, p, fit));
        // Minor diameters of class 2B are printed to three places from size 6 up, all else to four.
        let three_places = matches!(fit, Fit::Class2) && 0.138 <= d;
        let minor = if three_places { (minor / 10.0).round() * 10.0 } else { minor };
        self.made(
            fit,
            p * INCH_M,
            INCH_M / TENTHS,
            "ASME-B1.1",
            [
                major - allowance - tenths(0.06 * p.powi(2).cbrt()),
                pitch - allowance - tenths(external * t2a),
                pitch + tenths(internal * t2a),
                minor,
            ],
        )
    }

    /// ISO 965-1, tolerance grade 6, lengths in millimetres and tolerances in micrometres to preferred numbers R 40.
    fn metric_limits(&self, d: f64, p: f64, es: f64, step_mm: f64) -> Limits {
        let major = preferred(180.0 * p.powi(2).cbrt() - 3.15 / p.sqrt());
        let pitch_formula = 90.0 * p.powf(0.4) * step_mm.powf(0.1);
        let minor = if p < 1.0 { 433.0 * p - 190.0 * p.powf(1.22) } else { 230.0 * p.powf(0.7) };
        let pitch = rounded(d - PITCH_BELOW * p, 3);
        self.made(
            Fit::Medium,
            p * MM_M,
            MM_M,
            "ISO-965-1",
            [
                d - es - major / 1000.0,
                pitch - es - preferred(pitch_formula) / 1000.0,
                pitch + preferred(1.32 * pitch_formula) / 1000.0,
                rounded(d - MINOR_BELOW * p, 3) + preferred(minor) / 1000.0,
            ],
        )
    }

    fn made(&self, fit: Fit, pitch_m: f64, unit_m: f64, source: &'static str, limits: [f64; 4]) -> Limits {
        let [major, pitch, internal_pitch, minor] = limits.map(|limit| limit * unit_m);
        Limits {
            thread: *self,
            fit,
            pitch_m,
            tensile_area_m2: self.tensile_area_m2(),
            external_major_min_m: major,
            external_pitch_min_m: pitch,
            internal_pitch_max_m: internal_pitch,
            internal_minor_max_m: minor,
            source,
            grade: if matches!(fit, Fit::Class2) { Grade::Computed } else { Grade::Memory },
        }
    }
}

/// Tolerance of the minor diameter of an internal unified thread of 13 threads per inch or more, in.
fn minor_tolerance(d: f64, p: f64, fit: Fit) -> f64 {
    let by_size = 0.05 * p.powi(2).cbrt() + 0.03 * p / d - 0.002;
    let coarse = 0.25 * p - 0.4 * p * p;
    match fit {
        Fit::Class3 => by_size.max(0.23 * p - 1.5 * p * p).min(0.394 * p),
        Fit::Class2 | Fit::Medium if d < 0.25 => by_size.max(coarse).min(0.394 * p),
        Fit::Class2 | Fit::Medium => coarse,
    }
}

/// Ten-thousandths in an inch.
const TENTHS: f64 = 10_000.0;

/// A length in inches in whole ten-thousandths.
fn tenths(inches: f64) -> f64 {
    (inches * TENTHS).round()
}

fn rounded(value: f64, places: i32) -> f64 {
    let scale = 10.0_f64.powi(places);
    (value * scale).round() / scale
}

/// The nearest number of the series R 40 (between 80 and 300).
fn preferred(value: f64) -> f64 {
    const R40: [f64; 24] = [
        80.0, 85.0, 90.0, 95.0, 100.0, 106.0, 112.0, 118.0, 125.0, 132.0, 140.0, 150.0, 160.0, 170.0, 180.0,
        190.0, 200.0, 212.0, 224.0, 236.0, 250.0, 265.0, 280.0, 300.0,
    ];
    let away = |number: &f64| (number / value).ln().abs();
    R40.into_iter().min_by(|a, b| away(a).total_cmp(&away(b))).unwrap_or(value)
}

impl Limits {
    /// Shear area of the external thread over an engagement (m), m²:
    /// ASs = π n Le Kn max [1/(2n) + tan 30° (Es min − Kn max)].
    #[must_use]
    pub fn external_shear_area_m2(&self, engagement_m: f64) -> f64 {
        let (p, kn) = (self.pitch_m, self.internal_minor_max_m);
        PI / p * engagement_m * kn * (p / 2.0 + TAN_30 * (self.external_pitch_min_m - kn))
    }

    /// Shear area of the internal thread over an engagement (m), m²:
    /// ASn = π n Le Ds min [1/(2n) + tan 30° (Ds min − En max)].
    #[must_use]
    pub fn internal_shear_area_m2(&self, engagement_m: f64) -> f64 {
        let (p, ds) = (self.pitch_m, self.external_major_min_m);
        PI / p * engagement_m * ds * (p / 2.0 + TAN_30 * (ds - self.internal_pitch_max_m))
    }

    /// The engagement at which an external thread in an internal one of equal strength has twice the tensile stress
    /// area in shear, m: Le = 2 At/{π Kn max [½ + tan 30° n (Es min − Kn max)]}.
    #[must_use]
    pub fn equal_strength_length_m(&self) -> f64 {
        2.0 * self.tensile_area_m2 / self.external_shear_area_m2(1.0)
    }

    /// J = (ASs × strength of the external thread)/(ASn × strength of the internal one); tensile strengths in any
    /// one unit. Above 1 the internal thread is the weaker.
    #[must_use]
    pub fn relative_strength(&self, external_strength: f64, internal_strength: f64) -> f64 {
        self.external_shear_area_m2(1.0) * external_strength
            / (self.internal_shear_area_m2(1.0) * internal_strength)
    }

    /// The engagement that keeps the internal thread from stripping before the bolt breaks, m: Le, or Q = J Le where
    /// J is above 1.
    #[must_use]
    pub fn required_engagement_m(&self, external_strength: f64, internal_strength: f64) -> f64 {
        self.equal_strength_length_m() * self.relative_strength(external_strength, internal_strength).max(1.0)
    }
}
