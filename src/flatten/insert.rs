//! The map from a block's coordinates to those of the space its INSERT stands in.

use super::matrix::{Affine, Vec3};
use super::ocs;
use crate::drawing::Insert;

/// Where an INSERT puts its block: one map a cell of its array.
#[derive(Clone, Debug)]
pub struct Placing {
    /// OCS to world, then to the insertion point, then the turn.
    outer: Affine,
    /// Scale and base point.
    inner: Affine,
    /// OCS to world, for ATTRIBs, which stand in the INSERT's own coordinates.
    to_world: Affine,
    /// Turn alone, for steps of the array.
    turn: Affine,
    pub columns: u32,
    pub rows: u32,
    step: (f64, f64),
    /// A scale along x or y was zero or no number; 1 was taken.
    pub scale_mended: bool,
    /// The extrusion direction had no length; z was taken.
    pub extrusion_mended: bool,
}

impl Placing {
    /// `base` is the block's base point. A count or a spacing of zero means one column or row.
    pub fn new(insert: &Insert<'_>, extrusion: Vec3, base: Vec3) -> Self {
        let (to_world, straight) = ocs::to_world(extrusion);
        let usable = |s: f64| s.is_finite() && s != 0.0;
        let scale = insert.scale.map(|s| if usable(s) { s } else { 1.0 });
        let finite = |v: f64| if v.is_finite() { v } else { 0.0 };
        let turn = Affine::rotation(finite(insert.rotation));
        let [x, y, z] = insert.at;
        let [bx, by, bz] = base;
        let count = |n: u32, step: f64| {
            if step == 0.0 || !step.is_finite() {
                1
            } else {
                n.max(1)
            }
        };
        Placing {
            outer: to_world
                .after(&Affine::translation([x, y, finite(z)]))
                .after(&turn),
            inner: Affine::scaling(scale).after(&Affine::translation([
                -finite(bx),
                -finite(by),
                -finite(bz),
            ])),
            to_world,
            turn,
            columns: count(insert.columns, insert.column_spacing),
            rows: count(insert.rows, insert.row_spacing),
            step: (finite(insert.column_spacing), finite(insert.row_spacing)),
            scale_mended: !(usable(insert.scale[0]) && usable(insert.scale[1])),
            extrusion_mended: !straight,
        }
    }

    /// How many times the block is drawn.
    pub fn cells(&self) -> u64 {
        u64::from(self.columns) * u64::from(self.rows)
    }

    /// The map of one cell: the array's steps are turned with the INSERT but not scaled.
    pub fn cell(&self, column: u32, row: u32) -> Affine {
        self.outer
            .after(&Affine::translation(self.offset(column, row)))
            .after(&self.inner)
    }

    /// The insertion point of one cell.
    pub fn origin(&self, column: u32, row: u32) -> Vec3 {
        self.outer.point(self.offset(column, row))
    }

    /// The map of an ATTRIB's points in one cell.
    pub fn attrib(&self, column: u32, row: u32) -> Affine {
        let [x, y, _] = self.turn.vector(self.offset(column, row));
        self.to_world.after(&Affine::translation([x, y, 0.0]))
    }

    fn offset(&self, column: u32, row: u32) -> Vec3 {
        [f64::from(column) * self.step.0, f64::from(row) * self.step.1, 0.0]
    }
}
