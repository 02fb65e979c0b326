//! Margins of safety of bolts, plates, threads and the arm.

use super::group::BoltLoad;
use super::screening::{Check, Margin, RootLoad};
use super::{Bolt, Fastening, Grip};
use crate::source::{Cited, Grade};

/// Below this part of the whole load a share is the rest of a rounding and gets no margin.
const NEGLIGIBLE: f64 = 1e-9;

pub(super) fn margins(
    fastening: &Fastening,
    loads: &[BoltLoad],
    root: Option<&RootLoad>,
    force_n: f64,
) -> Vec<Margin> {
    let factor = fastening.factors.ultimate.value * fastening.factors.fitting.value;
    let least_n = NEGLIGIBLE * force_n;
    let mut margins = Vec::new();
    for (index, (bolt, load)) in fastening.bolts.iter().zip(loads).enumerate() {
        let bolt_checks = Bolted { bolt, load, factor, least_n };
        let found = bolt_checks.strength().into_iter().chain(bolt_checks.bearing(fastening));
        margins.extend(found.map(|margin| Margin { bolt: Some(index + 1), ..margin }));
    }
    let section = fastening.root.as_ref().and_then(|root| root.section.as_ref());
    if let (Some(section), Some(stress)) = (section, root.and_then(|root| root.stress_pa))
        && 0.0 < stress
    {
        margins.push(margin(Check::Root, stress, factor, section.strength_pa.clone()));
    }
    margins
}

fn margin(check: Check, applied: f64, factor: f64, allowable: Cited) -> Margin {
    let margin = allowable.value / (factor * applied) - 1.0;
    Margin { check, bolt: None, applied, factor, allowable, margin }
}

struct Bolted<'a> {
    bolt: &'a Bolt,
    load: &'a BoltLoad,
    factor: f64,
    least_n: f64,
}

impl Bolted<'_> {
    fn strength(&self) -> Vec<Margin> {
        let size = &self.bolt.size;
        let (shear, tension) = (self.load.shear_n, self.load.tension_n.max(0.0));
        let mut margins = Vec::new();
        if self.least_n < shear {
            margins.push(margin(Check::Shear, shear, self.factor, size.shear_n.clone()));
        }
        if self.least_n < tension {
            margins.push(margin(Check::Tension, tension, self.factor, size.tension_n.clone()));
            for grip in &self.bolt.grips {
                let check = Check::Stripping { grip: grip.name.clone() };
                margins.push(margin(check, tension, self.factor, grip.strip()));
            }
        }
        let ratio = self.interaction(shear, tension);
        if self.least_n < shear.min(tension) {
            let limit = Cited::of(1.0, "INTERACTION", Grade::Practice);
            margins.push(margin(Check::Interaction, ratio, 1.0, limit));
        }
        margins
    }

    /// √(Rs² + Rt²), each ratio with the factors.
    fn interaction(&self, shear: f64, tension: f64) -> f64 {
        let size = &self.bolt.size;
        self.factor * (shear / size.shear_n.value).hypot(tension / size.tension_n.value)
    }

    fn bearing(&self, fastening: &Fastening) -> Vec<Margin> {
        if self.load.shear_n <= self.least_n {
            return Vec::new();
        }
        let on = |plate: &super::Plate| {
            let stress = self.load.shear_n / (self.bolt.size.diameter_m * plate.thickness_m);
            let check = Check::Bearing { plate: plate.name.clone() };
            margin(check, stress, self.factor, plate.bearing_pa.clone())
        };
        fastening.plates.iter().map(on).collect()
    }
}

impl Grip {
    /// The pull that strips the weaker of the two threads, N, with the source of its strength.
    #[must_use]
    pub fn strip(&self) -> Cited {
        let external = self.limits.external_shear_area_m2(self.engagement_m) * self.external_pa.value;
        let internal = self.limits.internal_shear_area_m2(self.engagement_m) * self.internal_pa.value;
        let (value, strength) =
            if external < internal { (external, &self.external_pa) } else { (internal, &self.internal_pa) };
        Cited { value, source: strength.source.clone(), grade: strength.grade }
    }
}
