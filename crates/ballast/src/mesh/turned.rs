//! Frustums as surfaces. Main function: [`Mesh::frustum`].

use super::{Mesh, Triangle};
use crate::Vector;
use std::f64::consts::{PI, TAU};

/// Fewest and most corners of a circle.
const CORNERS: (u32, u32) = (12, 20_000);

impl Mesh {
    /// A frustum or cone, m: the middle of its rear face at the origin, its axis forward (towards −x). Its flat sides are
    /// nowhere further from it than a tolerance, m, above 0; the corners stand off the circle so far that its volume is
    /// that of the frustum.
    #[must_use]
    pub fn frustum([rear_radius, front_radius]: [f64; 2], depth: f64, tolerance: f64) -> Self {
        let wanted = PI / (2.0 * tolerance / rear_radius.max(front_radius)).sqrt();
        // by fours, so that it reaches equally far to all sides
        let counts = (CORNERS.0..CORNERS.1).step_by(4);
        let count = counts.into_iter().find(|count| wanted <= f64::from(*count)).unwrap_or(CORNERS.1);
        let step = TAU / f64::from(count);
        // n triangles of ½ R² sin step hold π r²
        let out = (step / step.sin()).sqrt();
        let at = |radius: f64, x: f64, corner: u32| -> Vector {
            let (sin, cos) = (step * f64::from(corner % count)).sin_cos();
            [x, out * radius * cos, out * radius * sin]
        };
        let mut triangles: Vec<Triangle> = Vec::new();
        for corner in 0..count {
            let [rear, rear_next] = [corner, corner + 1].map(|corner| at(rear_radius, 0.0, corner));
            let [front, front_next] = [corner, corner + 1].map(|corner| at(front_radius, -depth, corner));
            if 0.0 < rear_radius {
                triangles.push([[0.0; 3], rear, rear_next]);
                triangles.push([rear, front, rear_next]);
            }
            if 0.0 < front_radius {
                triangles.push([[-depth, 0.0, 0.0], front_next, front]);
                triangles.push([rear_next, front, front_next]);
            }
        }
        Self::new(triangles)
    }
}
