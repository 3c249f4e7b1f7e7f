//! How high an entity lies in space, which a plan does not show.

use super::matrix::{Affine, Vec3};
use super::ocs;
use crate::drawing::Shape;

/// The height of an entity's first point, inches; that of its block where it has none.
pub fn height(shape: &Shape<'_>, extrusion: Vec3, world: &Affine) -> f32 {
    let (at, in_world) = match shape {
        Shape::Line { from, .. } => (*from, true),
        Shape::Point { at } | Shape::MText { at, .. } => (*at, true),
        Shape::Ellipse { center, .. } => (*center, true),
        Shape::Dimension { p1, .. } => (*p1, true),
        Shape::Circle { center, .. } | Shape::Arc { center, .. } => (*center, false),
        Shape::Text { at, .. } => (*at, false),
        Shape::Polyline {
            vertices,
            elevation,
            world,
            ..
        } => match vertices.first() {
            Some(first) if *world => (first.at, true),
            Some(first) => ([first.at[0], first.at[1], *elevation], false),
            None => ([0.0; 3], true),
        },
        Shape::Face { corners, world } => (corners.first().copied().unwrap_or_default(), *world),
        Shape::Hatch { elevation, .. } => ([0.0, 0.0, *elevation], false),
        Shape::Insert(_) | Shape::MultiLeader(_) | Shape::Parts(_) | Shape::Other => ([0.0; 3], true),
    };
    let at = match in_world {
        true => at,
        false => ocs::to_world(extrusion).0.point(at),
    };
    of(world.point(at))
}

/// The height of a point; 0 where it is no number.
pub fn of(at: Vec3) -> f32 {
    let z = at[2] as f32;
    if z.is_finite() { z } else { 0.0 }
}
