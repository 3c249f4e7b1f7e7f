//! From a move on the plan back to the coordinates that an entity is written in.

use geo::Coord;

use super::insert::Placing;
use super::matrix::{Affine, Vec3};
use super::ocs;
use crate::drawing::Insert;

/// Below this share of their lengths' product the axes of a space lie in one line on the plan.
const FLAT: f64 = 1e-6;

/// The space that an entity stands in: model space, or a block as its INSERTs draw it.
#[derive(Clone, Debug)]
pub struct Back {
    /// To the world, inches; only its linear part is used.
    world: Affine,
}

impl Back {
    /// The space inside these INSERTs, each with its extrusion, the outermost first; inches a drawing unit.
    pub fn new<'a>(chain: impl Iterator<Item = (&'a Insert<'a>, Vec3)>, inches_per_unit: f64) -> Back {
        let scale = [inches_per_unit; 3];
        let world = chain.fold(Affine::scaling(scale), |world, (insert, extrusion)| {
            world.after(&Placing::new(insert, extrusion, [0.0; 3]).cell(0, 0))
        });
        Back { world }
    }

    /// What to add to x and y in the space itself, or in the object coordinates of an extrusion, for a
    /// move of `by` inches on the plan. `None` where the space is tilted out of the plan, or seen edge on.
    pub fn shift(&self, extrusion: Option<Vec3>, by: Coord) -> Option<[f64; 2]> {
        let object = match extrusion {
            Some(extrusion) => self.world.after(&ocs::to_world(extrusion).0),
            None => self.world,
        };
        let (x, y) = (object.vector([1.0, 0.0, 0.0]), object.vector([0.0, 1.0, 0.0]));
        let size = |v: Vec3| v[0].hypot(v[1]);
        let level = |v: Vec3| v[2].abs() <= FLAT * size(v);
        let turn = x[0] * y[1] - x[1] * y[0];
        if !(level(x) && level(y) && turn.abs() > FLAT * size(x) * size(y)) {
            return None;
        }
        let a = (by.x * y[1] - by.y * y[0]) / turn;
        let b = (x[0] * by.y - x[1] * by.x) / turn;
        (a.is_finite() && b.is_finite()).then_some([a, b])
    }
}
