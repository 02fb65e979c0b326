//! Balance weights: a weight sheet in, the piece that gives the wanted moment out.
//!
//! The way through: [`WeightSheet::parse`] reads a sheet or says all that is wrong with it; [`work()`] finds the piece,
//! judges the casting and screens the fastening; [`WeightAnswer`] is the published shape of that (JSON), [`words`] says
//! it to a person. [`answer`] is the whole way in one call. A sheet of another kind, [`drill_out`], asks for holes in an
//! old weight; [`AnySheet`] reads both. Not here: calculation (crate ballast), drawings, files.

mod bolts;
pub mod bounds;
mod casting;
pub mod drill_out;
mod extras;
pub mod fitted;
mod form;
mod insert;
mod mesh;
mod place;
mod ratio;
pub mod reserve;
pub mod result;
mod root;
mod sheet;
mod threads;
pub mod words;
pub mod work;

pub use bolts::Holding;
pub use casting::{AtHand, Trimming};
pub use drill_out::{AnySheet, DrillSheet};
pub use form::Hand;
pub use insert::InsertAtHand;
pub use mesh::{Files, MOST_MESH_BYTES, MeshFile, refusal};
pub use result::WeightAnswer;
pub use sheet::{Metal, WeightSheet};
pub use work::{NoWay, Standing, Trimmed, Worked, work};

/// The published answer to a sheet.
#[must_use]
pub fn answer(sheet: &WeightSheet) -> WeightAnswer {
    WeightAnswer::of(&work(sheet.clone()))
}
