//! Statics of a bolt group by the elastic method: direct shear, torsion about the group's centroid, tension linear
//! from the group's centroid.
//!
//! The plate is rigid and bolts share by their area. Sources: RP-1228 (shear), AISC Part 7 case II (tension with the
//! neutral axis at the centroid). Where all bolts stand in a line, a moment about that line is carried only by a heel:
//! the edge of the weight pressing on the arm. Not covered: prying, slip, friction, preload.

use crate::Vector;
pub(super) use crate::vector::{across, add, cross, dot, length, sub, times, unit};

/// A bolt this close to the centroid stands on it, m.
const ON_CENTROID_M: f64 = 1e-6;
/// Below this part of the whole, a part of a moment is the rest of a rounding.
const ROUNDING: f64 = 1e-12;
/// Below this part of the greatest, a second moment of the group is none: the bolts stand in a line.
const IN_LINE: f64 = 1e-6;

/// A bolt group: places and relative areas of its bolts, and the unit vector along them, from the arm to the weight.
#[derive(Debug, Clone)]
pub(super) struct Group {
    axis: Vector,
    centroid: Vector,
    total: f64,
    bolts: Vec<Member>,
    /// Principal directions in the joint plane with their second moments.
    principal: [(Vector, f64); 2],
    heel_m: Option<f64>,
}

#[derive(Debug, Clone, Copy)]
struct Member {
    /// From the centroid, in the joint plane.
    from_centroid: Vector,
    area: f64,
}

/// What one bolt carries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoltLoad {
    /// In the joint plane, N.
    pub shear: Vector,
    /// Its size, N.
    pub shear_n: f64,
    /// Along the bolt, N: positive where the weight pulls away from the arm; negative is pressure on the face.
    pub tension_n: f64,
}

/// A heel: where the weight presses on the arm to balance a moment that a line of bolts cannot carry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heel {
    /// Where, m.
    pub at: Vector,
    /// The force on the arm, N.
    pub force: Vector,
}

/// How a load is shared.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Share {
    pub(super) bolts: Vec<BoltLoad>,
    pub(super) heels: Vec<Heel>,
    /// The moment that neither bolts nor heel carry in this model, N m.
    pub(super) uncarried: Vector,
}

impl Group {
    /// Bolts of places (m) and areas (any one unit) along a unit vector; the distance of the heel from the centroid,
    /// m, if there is one. There is at least one bolt.
    pub(super) fn new(axis: Vector, bolts: &[(Vector, f64)], heel_m: Option<f64>) -> Self {
        let total: f64 = bolts.iter().map(|(_, area)| area).sum();
        let sum = bolts.iter().fold([0.0; 3], |sum, (at, area)| add(sum, times(*at, *area)));
        let centroid = times(sum, 1.0 / total);
        let bolts: Vec<Member> = bolts
            .iter()
            .map(|(at, area)| Member { from_centroid: across(sub(*at, centroid), axis), area: *area })
            .collect();
        let principal = principal(axis, &bolts);
        Self { axis, centroid, total, bolts, principal, heel_m }
    }

    pub(super) fn centroid(&self) -> Vector {
        self.centroid
    }

    /// Shares a force (N) acting at a point (m) among the bolts.
    pub(super) fn share(&self, force: Vector, at: Vector) -> Share {
        let moment = cross(sub(at, self.centroid), force);
        let mut uncarried = [0.0; 3];
        let twist = self.twist(dot(moment, self.axis), &mut uncarried);
        let (slope, heels) = self.overturning(across(moment, self.axis), &mut uncarried);
        let pressed: f64 = heels.iter().map(|heel| -dot(heel.force, self.axis)).sum();
        let pull = (dot(force, self.axis) + pressed) / self.total;
        let direct = times(across(force, self.axis), 1.0 / self.total);
        let load = |bolt: &Member| {
            let around = times(cross(self.axis, bolt.from_centroid), twist);
            let shear = times(add(direct, around), bolt.area);
            let tension_n = bolt.area * (pull + dot(slope, bolt.from_centroid));
            BoltLoad { shear, shear_n: length(shear), tension_n }
        };
        Share { bolts: self.bolts.iter().map(load).collect(), heels, uncarried }
    }

    /// Shear per area and distance from a torque about the bolts' direction: Mt/Σ A r².
    fn twist(&self, torque: f64, uncarried: &mut Vector) -> f64 {
        let [(_, large), (_, small)] = self.principal;
        if large + small <= 0.0 {
            *uncarried = add(*uncarried, times(self.axis, torque));
            return 0.0;
        }
        torque / (large + small)
    }

    /// The slope of tension per area across the joint that balances an overturning moment, and the heels.
    fn overturning(&self, moment: Vector, uncarried: &mut Vector) -> (Vector, Vec<Heel>) {
        let wanted = cross(self.axis, moment);
        let greatest = self.principal[0].1.max(self.principal[1].1);
        // Bolts in one place, as a single one, have no directions of their own: that of the moment counts.
        let directions = match unit(wanted) {
            Some(along) if greatest <= 0.0 => [(along, 0.0), (cross(self.axis, along), 0.0)],
            _ => self.principal,
        };
        let mut slope = [0.0; 3];
        let mut heels = Vec::new();
        for (direction, second) in directions {
            let part = dot(wanted, direction);
            if part.abs() <= ROUNDING * length(moment) {
                continue;
            }
            if IN_LINE * greatest < second {
                slope = add(slope, times(direction, part / second));
            } else if let Some(heel) = self.heel(direction, part) {
                heels.push(heel);
            } else {
                *uncarried = add(*uncarried, times(cross(direction, self.axis), part));
            }
        }
        (slope, heels)
    }

    fn heel(&self, direction: Vector, moment: f64) -> Option<Heel> {
        let arm = self.heel_m?;
        let at = add(self.centroid, times(direction, -moment.signum() * arm));
        Some(Heel { at, force: times(self.axis, -moment.abs() / arm) })
    }
}

/// Principal directions and second moments Σ A ρρᵀ of the bolts in the joint plane.
fn principal(axis: Vector, bolts: &[Member]) -> [(Vector, f64); 2] {
    let (u, v) = plane(axis);
    let total: f64 = bolts.iter().map(|bolt| bolt.area).sum();
    let second = |a: Vector, b: Vector| -> f64 {
        bolts.iter().map(|bolt| bolt.area * dot(bolt.from_centroid, a) * dot(bolt.from_centroid, b)).sum()
    };
    let angle = 0.5 * (2.0 * second(u, v)).atan2(second(u, u) - second(v, v));
    let turned = |angle: f64| add(times(u, angle.cos()), times(v, angle.sin()));
    [turned(angle), turned(angle + std::f64::consts::FRAC_PI_2)].map(|w| {
        let second = second(w, w);
        (w, if second <= total * ON_CENTROID_M.powi(2) { 0.0 } else { second })
    })
}

/// Two unit vectors that span the plane at right angles to a unit vector.
pub(super) fn plane(axis: Vector) -> (Vector, Vector) {
    let [x, y, z] = axis.map(f64::abs);
    let far = if x <= y && x <= z {
        [1.0, 0.0, 0.0]
    } else if y <= z {
        [0.0, 1.0, 0.0]
    } else {
        [0.0, 0.0, 1.0]
    };
    let across = across(far, axis);
    let u = times(across, 1.0 / length(across));
    (u, cross(axis, u))
}
