//! Reading `[[insert]]`: a denser metal at hand for a casting that came out too light.
//!
//! Main type: [`InsertAtHand`].

use super::bounds::{DRILL, POINT, SIZE};
use super::place;
use super::sheet::metal_within;
use crate::fault::Fault;
use crate::fields::Fields;
use hingeline_ballast::trim::Stock;
use hingeline_quantity::{Angle, Entered, Length, Quantity};

/// A denser metal at hand, and where its density comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct InsertAtHand {
    /// The metal, its place and its bounds.
    pub stock: Stock,
    /// A key of the table of sources, or “ENTERED”.
    pub source: String,
    /// How the density came here, in words.
    pub grade: &'static str,
}

pub(super) fn read_insert(fields: Fields<'_>) -> Option<InsertAtHand> {
    let metal = metal_within(&fields, None);
    let x = place::arm(&fields);
    let diameters: Option<Vec<(Entered<Length>, _)>> = fields.maybe_list("diameters", &DRILL, "diameter");
    if !fields.has("diameters") {
        let fault = Fault::new(format!("{} has no diameters", fields.name()), fields.span_of("diameters"));
        fields.push(fault.hint("add diameters = [\"1/4 in\", \"3/8 in\"], of the rods and drills at hand"));
    }
    let point: Option<Entered<Angle>> = fields.maybe("point", &POINT);
    let is_flat = !fields.has("point");
    let longest: Option<Entered<Length>> = fields.quantity("longest", &SIZE);
    fields.finish();
    let (metal, diameters) = (metal?, diameters.filter(|diameters| !diameters.is_empty())?);
    Some(InsertAtHand {
        stock: Stock {
            name: metal.name,
            density_kg_m3: metal.density.kg_m3,
            x: x?,
            diameters: diameters.iter().map(|(diameter, _)| diameter.value.si()).collect(),
            point_angle: if is_flat { None } else { Some(point?.value.si()) },
            longest: longest?.value.si(),
        },
        source: metal.source,
        grade: metal.grade,
    })
}
