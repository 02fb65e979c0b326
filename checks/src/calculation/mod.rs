//! The calculations that cases name. Each reads its inputs, calls the product's own public functions, and names
//! their results; nothing is worked out here a second time.

mod input;
mod quantity;
mod statistics;
mod uncertainty;
mod weighing;
mod weights;

use crate::fault::Fault;
use crate::value::Results;
use toml::Table;

/// A calculation: inputs in, named results out.
pub(crate) type Calculate = fn(Table) -> Result<Results, Fault>;

/// Every calculation with the name that cases use.
pub(crate) const CALCULATIONS: [(&str, Calculate); 23] = [
    ("reading a quantity", quantity::reading),
    ("sum of moments", quantity::sum_of_moments),
    ("readings", statistics::readings),
    ("coverage factor", statistics::coverage),
    ("probability", statistics::probability),
    ("conformity", statistics::conformity),
    ("straight line", statistics::straight_line),
    ("propagation", uncertainty::propagation),
    ("monte carlo", uncertainty::monte_carlo),
    ("trailing-edge scale", weighing::trailing_edge_scale),
    ("hung weight", weighing::hung_weight),
    ("balance beam", weighing::balance_beam),
    ("support scale", weighing::support_scale),
    ("parts list", weighing::parts_list),
    ("two attitudes", weighing::two_attitudes),
    ("correction", weighing::correction),
    ("correction of a reading", weighing::correction_of_reading),
    ("handbook solid", weights::handbook_solid),
    ("test mesh", weights::test_mesh),
    ("drilled hole", weights::drilled_hole),
    ("density", weights::density),
    ("film", weights::film),
    ("thread", weights::thread),
];

/// The calculation of a name.
pub(crate) fn find(name: &str) -> Result<Calculate, Fault> {
    CALCULATIONS
        .iter()
        .find(|(known, _)| *known == name)
        .map(|(_, calculate)| *calculate)
        .ok_or_else(|| Fault::UnknownCalculation { name: name.to_owned() })
}
