//! Balance weights, pure calculation: from the moment that is missing to a piece of metal that gives it, and what
//! its fastening carries.
//!
//! A body is known by its [`Moments`]: volume, first and second moments, which add and subtract. There is no clock,
//! file or environment here; everything is SI.
//!
//! Axes: x from the hinge line, aft positive; y along the hinge line, outboard positive; z up with the surface level.

pub mod coating;
pub mod design;
pub mod fastening;
mod material;
mod mesh;
mod moments;
pub mod outline;
pub mod shrinkage;
pub mod solid;
mod source;
pub mod thread;
pub mod trim;
mod vector;

pub use material::{Density, Expansion, Knowledge, MOST_ANTIMONY, Material, MaterialError, TABLED_AT_C};
pub use mesh::{
    CheckedMesh, FURTHEST_M, Layer, LineProblem, MOST_PIECES, MOST_TRIANGLES, MOST_UNPACKED, MOST_VERTICES,
    Mesh, MeshFault, MeshFormat, MeshNote, PackageProblem, Piece, PolygonFault, Seams, Triangle,
};
pub use moments::{Matrix, Moments, Vector};
pub use source::{Cited, Grade, Source, citation, sources};
