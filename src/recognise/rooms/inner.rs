//! Edges between filled faces: what lies between two of them is inside a wall, no face of it.

use std::collections::BTreeMap;

use geo::Coord;

use super::super::shape::{area, finite};
use super::super::walls::runs;
use crate::flatten::Prim;

/// Edges are one where their ends are in the same step of this many to the inch.
const STEPS: f64 = 64.0;
/// Faces smaller in plan stand upright, square inches.
const UPRIGHT: f64 = 0.5;

type Key = [i64; 4];

/// The edges that have a filled face on either side, such as those between the triangles that a wall's top is made of.
pub struct Inner(BTreeMap<Key, [bool; 2]>);

impl Inner {
    pub fn new<'a>(prims: impl Iterator<Item = &'a Prim>) -> Inner {
        let mut sides: BTreeMap<Key, [bool; 2]> = BTreeMap::new();
        for prim in prims {
            let Prim::Face(ring) = prim else { continue };
            if !ring.iter().all(|p| finite(*p)) {
                continue;
            }
            let size = area(ring);
            if size.abs() < UPRIGHT {
                continue;
            }
            for (a, b) in runs(ring, true) {
                let (key, turned) = key(a, b);
                let side = usize::from(turned != (size < 0.0));
                sides.entry(key).or_default()[side] = true;
            }
        }
        sides.retain(|_, both| *both == [true; 2]);
        Inner(sides)
    }

    pub fn holds(&self, (a, b): (Coord, Coord)) -> bool {
        !self.0.is_empty() && self.0.contains_key(&key(a, b).0)
    }
}

/// An edge whichever way it runs, and whether that is the other way.
fn key(a: Coord, b: Coord) -> (Key, bool) {
    let step = |v: f64| (v * STEPS).round() as i64;
    let (p, q) = ([step(a.x), step(a.y)], [step(b.x), step(b.y)]);
    let turned = p > q;
    let (p, q) = if turned { (q, p) } else { (p, q) };
    ([p[0], p[1], q[0], q[1]], turned)
}
