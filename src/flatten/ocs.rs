//! Object coordinates: the arbitrary axis algorithm of the DXF reference.

use super::matrix::{Affine, Vec3, cross, unit};

/// Where the normal lies nearer than this to the z axis in both x and y, the y axis gives the x axis.
const NEAR_Z: f64 = 1.0 / 64.0;

/// The map from object to world coordinates for an extrusion direction, and whether the direction
/// could be used; where it could not (zero or not a number), z is taken.
///
/// Source: DXF reference, "arbitrary axis algorithm".
pub fn to_world(extrusion: Vec3) -> (Affine, bool) {
    if extrusion == [0.0, 0.0, 1.0] {
        return (Affine::IDENTITY, true);
    }
    let Some(normal) = unit(extrusion) else {
        return (Affine::IDENTITY, false);
    };
    let near_z = normal[0].abs() < NEAR_Z && normal[1].abs() < NEAR_Z;
    let side = if near_z { [0.0, 1.0, 0.0] } else { [0.0, 0.0, 1.0] };
    let Some(x) = unit(cross(side, normal)) else {
        return (Affine::IDENTITY, false);
    };
    // Adding zero keeps minus zero out of coordinates.
    let y = cross(normal, x).map(|c| c + 0.0);
    (Affine::columns(x.map(|c| c + 0.0), y, normal), true)
}
