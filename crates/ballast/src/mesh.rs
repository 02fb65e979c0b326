//! Bodies given as a surface of triangles: read from a file of a drawing program, checked, and turned into moments.
//!
//! Main types: [`Mesh`], [`CheckedMesh`]. The moments are sums over the signed tetrahedra that the triangles make with
//! one point in the middle of the body, so that a body far from the origin loses no digits; the second moments of a
//! tetrahedron are exact (∫xᵢxⱼ dV = V/20 (sᵢsⱼ + aᵢaⱼ + bᵢbⱼ + cᵢcⱼ), s = a + b + c, from the fourth corner).
//!
//! That sum means a volume only where the surface is closed and turned one way: every edge, taken in its direction, has
//! its opposite. Whether that holds is told in one pass without a map: each directed edge a→b adds h(a, b), each b→a
//! takes the same off, h a 64-bit hash of the exact coordinates. A sum that is not zero proves a fault, and only then
//! are the edges sorted to say which; a sum of zero proves closedness but for a chance of 2⁻⁶⁴ (not against somebody
//! who builds a file to deceive it).
//!
//! What has all its edges in pairs and is yet no body, this test cannot see. One of several bodies that is inside out is
//! found by looking at each by itself ([`Mesh::pieces`]); faces that are there twice and turned alike are refused. Not
//! covered: surfaces that cross themselves, and bodies that overlap (their common part counts twice; a note says that
//! there are several).

mod coarse;
mod diagnose;
mod extrude;
mod fault;
mod lines;
mod obj;
mod package;
mod pieces;
mod read;
mod stack;
mod stl;
mod survey;
mod turned;

pub use extrude::PolygonFault;
pub use fault::{LineProblem, MeshFault, MeshNote, PackageProblem, Seams};
pub use pieces::{MOST_PIECES, Piece};
pub use read::{CheckedMesh, MeshFormat};
pub use stack::Layer;

use crate::vector::{cross, dot};
use crate::{Matrix, Moments, Vector};

/// Most triangles a mesh from a file may have.
pub const MOST_TRIANGLES: usize = 5_000_000;
/// Most corners a mesh from a file may list.
pub const MOST_VERTICES: usize = 3 * MOST_TRIANGLES;
/// Most bytes that the model inside a 3MF file may unpack to.
pub const MOST_UNPACKED: u64 = 1 << 28;
/// Furthest that a corner may lie from the origin along an axis, m.
pub const FURTHEST_M: f64 = 1e4;

/// Three corners, m, counterclockwise as seen from outside.
pub type Triangle = [Vector; 3];

/// A surface of triangles, m.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Mesh {
    triangles: Vec<Triangle>,
}

impl Mesh {
    /// A surface of these triangles, unchecked: see [`Mesh::checked`].
    #[must_use]
    pub fn new(triangles: Vec<Triangle>) -> Self {
        Self { triangles }
    }
    /// The triangles, m.
    #[must_use]
    pub fn triangles(&self) -> &[Triangle] {
        &self.triangles
    }
    /// The moments of the volume inside (m³, m⁴, m⁵), which are those of a body only for a checked mesh. The same bits
    /// on any number of processors.
    #[must_use]
    pub fn moments(&self) -> Moments {
        self.bounds().map_or_else(Moments::default, |[low, high]| {
            let middle = std::array::from_fn(|i| f64::midpoint(low[i], high[i]));
            survey::moments_about(&self.triangles, middle).moved(middle)
        })
    }
    /// Lowest and highest coordinates, m; none for a mesh of no triangles.
    #[must_use]
    pub fn bounds(&self) -> Option<[Vector; 2]> {
        survey::bounds(&self.triangles)
    }
    /// The same surface moved by a displacement, m.
    #[must_use]
    pub fn moved(&self, by: Vector) -> Self {
        self.each(|[x, y, z]| [x + by[0], y + by[1], z + by[2]])
    }
    /// The same surface grown about the origin, as for shrinkage: a factor of 1.01 adds 1 % to every length. A negative
    /// factor also mirrors.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        self.mapped(&[[factor, 0.0, 0.0], [0.0, factor, 0.0], [0.0, 0.0, factor]])
    }
    /// The same surface after a linear map of space (its rows); outside stays outside under a mirror.
    #[must_use]
    pub fn mapped(&self, map: &Matrix) -> Self {
        let mapped = self.each(|corner| std::array::from_fn(|i| dot(map[i], corner)));
        if dot(map[0], cross(map[1], map[2])) < 0.0 { mapped.turned() } else { mapped }
    }
    /// The same surface with inside and outside changed over.
    #[must_use]
    pub fn turned(mut self) -> Self {
        self.triangles.iter_mut().for_each(|triangle| triangle.swap(1, 2));
        self
    }
    /// Takes the triangles of another mesh in as well.
    pub fn append(&mut self, other: Self) {
        self.triangles.extend(other.triangles);
    }
    fn each(&self, of: impl Fn(Vector) -> Vector) -> Self {
        Self::new(self.triangles.iter().map(|triangle| triangle.map(&of)).collect())
    }
}
