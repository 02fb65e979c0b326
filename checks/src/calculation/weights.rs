//! Solids, drilled holes, test meshes, metals, films and threads of balance weights.

use super::input::{bad, read};
use crate::fault::Fault;
use crate::value::{Results, Told};
use hingeline_ballast::coating::film_mass;
use hingeline_ballast::solid::{self, Drilled};
use hingeline_ballast::thread::{Fit, Thread};
use hingeline_ballast::{Material, Mesh, Moments, TABLED_AT_C};
use serde::Deserialize;
use toml::Table;

/// Metres in an inch.
const INCH: f64 = 0.0254;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Solid {
    shape: String,
    sizes: Vec<f64>,
}

/// Volume, centroid and the inertia about it, of a handbook solid of density one.
pub(super) fn handbook_solid(inputs: Table) -> Result<Results, Fault> {
    let Solid { shape, sizes } = read(inputs)?;
    let moments = match (shape.as_str(), sizes.as_slice()) {
        ("half cylinder", [radius, width]) => solid::half_cylinder(*radius, *width),
        ("half elliptic cylinder", [length, half_height, width]) => {
            solid::half_elliptic_cylinder(*length, *half_height, *width)
        }
        ("parabolic nose", [length, half_height, width]) => {
            solid::parabolic_nose(*length, *half_height, *width)
        }
        ("frustum", [radius, upper, height]) => solid::frustum(*radius, *upper, *height),
        ("cone", [radius, height]) => solid::cone(*radius, *height),
        ("ring segment", [bend, radius, angle]) => solid::ring_segment(*bend, *radius, angle.to_radians()),
        ("corner of a cube", [edge]) => {
            let at = |i: usize| std::array::from_fn(|j| if i == j { *edge } else { 0.0 });
            solid::tetrahedron([[0.0; 3], at(0), at(1), at(2)])
        }
        _ => return Err(bad(format!("no shape “{shape}” of {} sizes", sizes.len()))),
    };
    properties(&moments)
}

fn properties(moments: &Moments) -> Result<Results, Fault> {
    let none = || bad("the body has no volume");
    let centroid = moments.centroid().ok_or_else(none)?;
    let inertia = moments.inertia().ok_or_else(none)?;
    let mut results = Results::new().number("volume", moments.total);
    for (i, axis) in ["x", "y", "z"].into_iter().enumerate() {
        results = results
            .number(format!("centroid {axis}"), centroid[i])
            .number(format!("inertia {axis}"), inertia[i][i])
            .number(format!("inertia {axis} of a unit mass"), inertia[i][i] / moments.total);
    }
    Ok(results)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    file: String,
}

/// The same of a mesh file that lies beside the cases, as its authors give it.
pub(super) fn test_mesh(inputs: Table) -> Result<Results, Fault> {
    let File { file } = read(inputs)?;
    let bytes: &[u8] = match file.as_str() {
        "half-donut.stl" => include_bytes!("../../numpy-stl/half-donut.stl"),
        "half-donut-text.stl" => include_bytes!("../../numpy-stl/half-donut-text.stl"),
        "star.stl" => include_bytes!("../../numpy-stl/star.stl"),
        "cube.stl" => include_bytes!("../../numpy-stl/cube.stl"),
        _ => return Err(bad(format!("no file “{file}”"))),
    };
    let mesh = Mesh::read(bytes, 1.0).map_err(|fault| bad(fault.to_string()))?;
    properties(&mesh.moments)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Hole {
    diameter: f64,
    depth: f64,
    measured: String,
    point: f64,
    density: f64,
}

/// “volume” and “mass” that a drill takes out, in the units of the inputs; the point in degrees.
pub(super) fn drilled_hole(inputs: Table) -> Result<Results, Fault> {
    let Hole { diameter, depth, measured, point, density } = read(inputs)?;
    let point_angle = point.to_radians();
    let drilled = match measured.as_str() {
        "full diameter" => Drilled::FullDiameter { depth, point_angle },
        "to the tip" => Drilled::ToTip { depth, point_angle },
        _ => return Err(bad("“measured” is “full diameter” or “to the tip”")),
    };
    let volume = solid::drill_hole(diameter, drilled).total;
    Ok(Results::new().number("volume", volume).number("mass", volume * density))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Metal {
    material: String,
}

/// “density” at 20 °C, g/cm³.
pub(super) fn density(inputs: Table) -> Result<Results, Fault> {
    let Metal { material } = read(inputs)?;
    let metal = Material::named(&material).map_err(|error| bad(error.to_string()))?;
    let density = metal.density(TABLED_AT_C).map_err(|error| bad(error.to_string()))?;
    Ok(Results::new().told("density", density.kg_m3 / 1000.0, &Told::As("g/cm3".to_owned())))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Film {
    mils: f64,
    specific_gravity: f64,
}

/// “mass per area” of a dry film, g/m².
pub(super) fn film(inputs: Table) -> Result<Results, Fault> {
    let Film { mils, specific_gravity } = read(inputs)?;
    let mass = film_mass(mils * INCH / 1000.0, specific_gravity) * 1000.0;
    Ok(Results::new().told("mass per area", mass, &Told::As("g/m2".to_owned())))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Screw {
    thread: String,
    class: u8,
    engagement: f64,
}

/// Limits and areas of a unified thread, in inches and square inches; the engagement in inches.
pub(super) fn thread(inputs: Table) -> Result<Results, Fault> {
    let Screw { thread, class, engagement } = read(inputs)?;
    let fit = match class {
        2 => Fit::Class2,
        3 => Fit::Class3,
        _ => return Err(bad("“class” is 2 or 3")),
    };
    let thread = Thread::named(&thread).map_err(|error| bad(error.to_string()))?;
    let limits = thread.limits(fit).map_err(|error| bad(error.to_string()))?;
    let (length, area) = (Told::As("in".to_owned()), Told::As("in2".to_owned()));
    let square = INCH * INCH;
    let depth = engagement * INCH;
    Ok(Results::new()
        .told("tensile stress area", limits.tensile_area_m2 / square, &area)
        .told("external shear area", limits.external_shear_area_m2(depth) / square, &area)
        .told("internal shear area", limits.internal_shear_area_m2(depth) / square, &area)
        .told("equal-strength length", limits.equal_strength_length_m() / INCH, &length)
        .told("least major diameter", limits.external_major_min_m / INCH, &length)
        .told("least pitch diameter", limits.external_pitch_min_m / INCH, &length)
        .told("most pitch diameter", limits.internal_pitch_max_m / INCH, &length)
        .told("most minor diameter", limits.internal_minor_max_m / INCH, &length))
}
