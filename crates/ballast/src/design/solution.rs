//! A piece that was found. Main type: [`Solution`].

use super::body::{Body, Envelope, Prism};
use super::solve::{Search, Trial};
use super::{Design, Dimension, Fault, Form, Parting, extras};
use crate::{Layer, Mesh, Moments};

/// What a part of the table is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// The metal as cast.
    Metal,
    /// A hole: its mass is negative.
    Hole,
    /// Hardware.
    Hardware,
    /// A film.
    Film,
}

/// A row of the table of parts.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// What it is.
    pub kind: Kind,
    /// As printed.
    pub name: String,
    /// kg, negative for a hole.
    pub mass_kg: f64,
    /// Its arm, x in m; forward is negative.
    pub arm_m: f64,
    /// mass × arm, kg m.
    pub moment_kg_m: f64,
}

/// Mass, arm and moment of a whole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weight {
    /// kg.
    pub mass_kg: f64,
    /// x of the centroid, m; forward is negative.
    pub arm_m: f64,
    /// kg m, positive tail-heavy.
    pub moment_kg_m: f64,
}

/// One half of a parted piece, before holes and hardware.
#[derive(Debug, Clone, PartialEq)]
pub struct Half {
    /// “lower”, “upper”, “inboard”, “outboard”.
    pub name: &'static str,
    /// Of its mass as cast, kg, kg m, kg m².
    pub as_cast: Moments,
    /// Its sections, for drawing.
    pub prisms: Vec<Prism>,
}

/// The answer of mass = moment / old arm, and what it would really give.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Naive {
    /// wanted / old arm, kg.
    pub mass_kg: f64,
    /// That mass at the arm of the finished piece, kg m.
    pub moment_kg_m: f64,
    /// By how much it would miss the wanted moment, kg m, with sign.
    pub miss_kg_m: f64,
}

/// What a small change does. All with sign.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sensitivity {
    /// Moment per m of the free dimension, kg m/m; none where nothing or a number is free.
    pub moment_per_dimension: Option<f64>,
    /// Finished mass per m of the free dimension, kg/m.
    pub mass_per_dimension: Option<f64>,
    /// Moment per m that the whole piece moves aft: its finished mass, kg.
    pub moment_per_position: f64,
    /// Moment per kg/m³ of density, m⁴.
    pub moment_per_density: f64,
}

/// A contribution to the uncertainty of the moment.
#[derive(Debug, Clone, PartialEq)]
pub struct Contribution {
    /// Of what.
    pub name: String,
    /// kg m, 0 or above.
    pub standard_uncertainty: f64,
}

/// What to cast, so that the piece is unlikely to come out too light for the wanted moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reserve {
    /// coverage factor × standard uncertainty of the moment, kg m, 0 or above.
    pub moment_kg_m: f64,
    /// How much heavier the casting is to be than the exact one, kg.
    pub mass_kg: f64,
    /// The casting with it, before holes, kg.
    pub cast_kg: f64,
    /// The free dimension with it, m; none where no dimension is free, and the mass is then reckoned at the arm of the
    /// piece.
    pub dimension_m: Option<f64>,
}

/// A piece that was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// The form with the found dimension, or number and stock of plates, put in.
    pub form: Form,
    /// Which dimension was free, and what it is, m.
    pub value: Option<(Dimension, f64)>,
    /// The wanted moment less that of the finished piece, kg m: nearly 0, but for plates and where nothing may vary.
    pub remaining_kg_m: f64,
    /// Of the mass of the metal before holes, kg, kg m, kg m².
    pub as_cast: Moments,
    /// Of the mass of the metal after holes.
    pub as_drilled: Moments,
    /// With hardware and films.
    pub finished: Weight,
    /// Metal, holes, hardware, films, in this order.
    pub parts: Vec<Part>,
    /// How far it reaches.
    pub envelope: Envelope,
    /// The body: its sections, for drawing and for the mesh, its skin.
    pub body: Body,
    /// The halves, where it is parted: two, or none.
    pub halves: Vec<Half>,
    /// The naive answer, where an old arm is given.
    pub naive: Option<Naive>,
    /// What a small change does.
    pub sensitivity: Sensitivity,
    /// Where the uncertainty of the moment comes from.
    pub contributions: Vec<Contribution>,
    /// All of them together, kg m.
    pub standard_uncertainty: f64,
    /// What to cast; none where no larger piece can be made.
    pub reserve: Option<Reserve>,
}

/// The solution of a trial piece.
pub(super) fn of(design: &Design, trial: Trial, value: Option<(Dimension, f64)>) -> Result<Solution, Fault> {
    extras::apart(&design.holes, &trial.body)?;
    let wanted = design.wanted.moment_kg_m;
    let halves = match design.parting {
        Some(parting) => halves(&trial.body, parting, design.density.kg_m3)?,
        None => Vec::new(),
    };
    let sensitivity = sensitivity(design, &trial, value);
    let contributions = contributions(design, &trial, value, &sensitivity);
    let uncertainty = contributions.iter().map(|one| one.standard_uncertainty).fold(0.0, f64::hypot);
    let reserve = reserve(design, &trial, value, &sensitivity, uncertainty)?;
    let naive = design.old_arm.map(|arm| {
        let mass_kg = wanted / arm;
        let moment_kg_m = mass_kg * trial.finished.arm_m;
        Naive { mass_kg, moment_kg_m, miss_kg_m: moment_kg_m - wanted }
    });
    Ok(Solution {
        form: trial.form,
        value,
        remaining_kg_m: wanted - trial.finished.moment_kg_m,
        as_cast: trial.as_cast,
        as_drilled: trial.as_drilled,
        finished: trial.finished,
        parts: trial.parts,
        envelope: trial.body.envelope,
        body: trial.body,
        halves,
        naive,
        sensitivity,
        contributions,
        standard_uncertainty: uncertainty,
        reserve,
    })
}

/// By differences of a ten thousandth of the dimension to both sides, where a piece can be made there.
fn sensitivity(design: &Design, trial: &Trial, value: Option<(Dimension, f64)>) -> Sensitivity {
    let mut of = Sensitivity {
        moment_per_dimension: None,
        mass_per_dimension: None,
        moment_per_position: trial.finished.mass_kg,
        moment_per_density: trial.as_drilled.first[0] / design.density.kg_m3,
    };
    let Some((dimension, value)) = value else { return of };
    let search = Search { design, dimension };
    let (low, high) = (value * (1.0 - 1e-4), value * (1.0 + 1e-4));
    let here = |value: f64, trial: Trial| (value, trial.finished);
    let above = search.trial(high).map_or((value, trial.finished), |trial| here(high, trial));
    let below = search.trial(low).map_or((value, trial.finished), |trial| here(low, trial));
    let width = above.0 - below.0;
    if 0.0 < width {
        of.moment_per_dimension = Some((above.1.moment_kg_m - below.1.moment_kg_m) / width);
        of.mass_per_dimension = Some((above.1.mass_kg - below.1.mass_kg) / width);
    }
    of
}

/// By the law of propagation, every input independent of the others.
fn contributions(
    design: &Design,
    trial: &Trial,
    value: Option<(Dimension, f64)>,
    sensitivity: &Sensitivity,
) -> Vec<Contribution> {
    let one =
        |name: &str, change: f64| Contribution { name: name.to_owned(), standard_uncertainty: change.abs() };
    let accuracy = design.accuracy;
    let mut all = vec![
        one("density", sensitivity.moment_per_density * design.density.standard_uncertainty),
        one("place", sensitivity.moment_per_position * accuracy.position),
    ];
    if let Some(((dimension, _), slope)) = value.zip(sensitivity.moment_per_dimension) {
        all.push(one(dimension.name(), slope * accuracy.dimension));
    }
    let front = trial.body.envelope.front;
    all.extend(
        design.hardware.iter().map(|item| one(&item.name, item.standard_uncertainty * item.place.x(front))),
    );
    if let Some(skin) = trial.body.skin {
        all.extend(
            design.films.iter().map(|film| one(&film.name, film.standard_uncertainty * skin.first[0])),
        );
    }
    all.push(one("wanted moment", design.wanted.standard_uncertainty));
    all
}

/// The piece of a moment that is larger by the expanded uncertainty; the limits of space do not count, as what is too
/// much is trimmed off again.
fn reserve(
    design: &Design,
    trial: &Trial,
    value: Option<(Dimension, f64)>,
    sensitivity: &Sensitivity,
    uncertainty: f64,
) -> Result<Option<Reserve>, Fault> {
    let moment_kg_m = design.accuracy.coverage_factor * uncertainty;
    let cast = trial.as_cast.total;
    let Some((dimension, value)) = value else {
        let mass_kg = (moment_kg_m / trial.finished.arm_m).abs();
        return Ok(Some(Reserve { moment_kg_m, mass_kg, cast_kg: cast + mass_kg, dimension_m: None }));
    };
    let search = Search { design, dimension };
    let wanted = design.wanted.moment_kg_m;
    let target = wanted + moment_kg_m * wanted.signum();
    let by_slope = sensitivity.moment_per_dimension.map_or(value, |slope| 1.2 * (moment_kg_m / slope).abs());
    // Nothing to add: the exact piece.
    let larger = if moment_kg_m <= 1e-12 * wanted.abs() {
        Some(value)
    } else {
        search.unrestricted(value, value + by_slope, target)?
    };
    let Some(larger) = larger else {
        return Ok(None);
    };
    let cast_kg = search.trial(larger)?.as_cast.total;
    Ok(Some(Reserve { moment_kg_m, mass_kg: cast_kg - cast, cast_kg, dimension_m: Some(larger) }))
}

fn halves(body: &Body, parting: Parting, density: f64) -> Result<Vec<Half>, Fault> {
    if body.prisms.is_empty() {
        return Ok(Vec::new());
    }
    match parting {
        Parting::AtHeight(z) => [("lower", -1.0), ("upper", 1.0)]
            .into_iter()
            .map(|(name, up)| Ok(half(name, side_of(&body.prisms, z, up)?, density)))
            .collect(),
        Parting::MidSpan => {
            let low = body.prisms.iter().map(|prism| prism.from_y).fold(f64::INFINITY, f64::min);
            let high = body.prisms.iter().map(|prism| prism.to_y).fold(f64::NEG_INFINITY, f64::max);
            let middle = 0.5 * (low + high);
            Ok(vec![
                half("inboard", clipped(&body.prisms, low, middle), density),
                half("outboard", clipped(&body.prisms, middle, high), density),
            ])
        }
    }
}

fn half(name: &'static str, prisms: Vec<Prism>, density: f64) -> Half {
    let volume: Moments = prisms.iter().map(Prism::volume).sum();
    Half { name, as_cast: volume * density, prisms }
}

fn side_of(prisms: &[Prism], z: f64, up: f64) -> Result<Vec<Prism>, Fault> {
    let mut parts = Vec::new();
    for prism in prisms {
        let cut = prism.outline.cut([0.0, z], [0.0, up])?;
        let (from_y, to_y) = (prism.from_y, prism.to_y);
        parts.extend(cut.into_iter().map(|outline| Prism { outline, from_y, to_y }));
    }
    Ok(parts)
}

fn clipped(prisms: &[Prism], low: f64, high: f64) -> Vec<Prism> {
    let part = |prism: &Prism| Prism {
        outline: prism.outline.clone(),
        from_y: prism.from_y.max(low),
        to_y: prism.to_y.min(high),
    };
    prisms.iter().map(part).filter(|prism| prism.from_y < prism.to_y).collect()
}

impl Solution {
    /// The piece before holes as one closed surface, whose flat sides are nowhere further from it than a tolerance, m,
    /// above 0, and whose volume is that of the piece. A measured piece has the surface that it was measured by.
    ///
    /// # Errors
    /// - [`Fault::NoMesh`]: a piece that was measured without its surface
    /// - [`Fault::Mesh`]: the sides cross at this tolerance
    pub fn mesh(&self, tolerance: f64) -> Result<Mesh, Fault> {
        match &self.form {
            Form::Frustum { front_diameter, rear_diameter, depth, rear } => {
                let radii = [0.5 * rear_diameter, 0.5 * front_diameter];
                Ok(Mesh::frustum(radii, *depth, tolerance).moved(*rear))
            }
            Form::Measured { surface, .. } if surface.triangles().is_empty() => {
                Err(Fault::NoMesh { form: self.form.name() })
            }
            Form::Measured { surface, .. } => Ok(surface.as_ref().clone()),
            _ => mesh_of(&self.body.prisms, tolerance),
        }
    }
}

impl Half {
    /// The half before holes as a surface, as [`Solution::mesh`].
    ///
    /// # Errors
    /// [`Fault::Mesh`]: the sides cross at this tolerance.
    pub fn mesh(&self, tolerance: f64) -> Result<Mesh, Fault> {
        mesh_of(&self.prisms, tolerance)
    }
}

fn is_same(a: f64, b: f64) -> bool {
    a.total_cmp(&b).is_eq()
}

fn mesh_of(prisms: &[Prism], tolerance: f64) -> Result<Mesh, Fault> {
    let mut ordered: Vec<&Prism> = prisms.iter().collect();
    ordered.sort_by(|a, b| a.from_y.total_cmp(&b.from_y));
    let mut layers: Vec<Layer> = Vec::new();
    for prism in ordered {
        let section = prism.outline.level_polygon(tolerance);
        match layers.last_mut() {
            // the parts of a section that is cut
            Some(layer) if is_same(layer.from_y, prism.from_y) && is_same(layer.to_y, prism.to_y) => {
                layer.sections.push(section);
            }
            _ => layers.push(Layer { sections: vec![section], from_y: prism.from_y, to_y: prism.to_y }),
        }
    }
    Ok(Mesh::stacked(&layers)?)
}
