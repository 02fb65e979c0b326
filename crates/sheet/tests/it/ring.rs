//! A ring segment on paper: its section says how it is bent, its drawing how thick it is, its pattern closes.

use hingeline_sheet::weight::{drawing_of, template_shapes};

use crate::weight_demo;

#[test]
fn a_ring_segment_says_its_radius_and_its_thickness() {
    let design = weight_demo::ring();
    let solution = design.solve().unwrap();
    let drawn = drawing_of(&design, &solution, &weight_demo::texts());
    let size = drawn.size.unwrap();
    assert!(size.label.starts_with("thickness "), "{}", size.label);
    let (_, found) = solution.value.unwrap();
    assert!((size.to_m - size.from_m - found).abs() < 1e-12);
    let section = &template_shapes(&design, &solution, &weight_demo::texts())[0];
    assert!(section.name.contains("inner radius") && section.name.contains("thickness"), "{}", section.name);
    // Two arcs and two straight edges, forward of the hinge line.
    let ring = &section.rings[0];
    let radii = ring.iter().map(|[x, z]| x.hypot(*z));
    let (low, high) = radii.fold((f64::INFINITY, 0.0), |(low, high), r| (r.min(low), r.max(high)));
    assert!((low - 0.15).abs() < 1e-5 && (high - 0.15 - found).abs() < 1e-5, "{low} {high}");
}

/// Where it does not lie straight forward its thickness is nowhere level: the depth is said.
#[test]
fn a_ring_segment_above_says_its_depth() {
    let mut design = weight_demo::ring();
    if let hingeline_ballast::design::Form::RingSegment { from_angle, .. } = &mut design.form {
        *from_angle = 0.4;
    }
    let drawn = drawing_of(&design, &design.solve().unwrap(), &weight_demo::texts());
    assert!(drawn.size.unwrap().label.starts_with("depth "));
}
