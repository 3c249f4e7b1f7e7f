//! Ends of wall lines that ran past the wall they were drawn to meet.

use std::collections::BTreeSet;

use geo::Coord;

use super::ACROSS;
use crate::geom::faces::Network;
use crate::recognise::shape::{cross, distance, dot, unit};
use crate::recognise::tolerance::CORNER;

/// A line runs past a wall by no more than this, inches (half of what the thickest wall is): what goes on further is drawn so.
const PAST: f64 = 8.0;

/// The loose ends of lines that cross a wall's line straight on and stop within [`PAST`] of it.
pub struct Past(BTreeSet<(u64, u64)>);

impl Past {
    pub fn new(network: &Network) -> Past {
        let beside = network.neighbours();
        let at = |n: usize| network.nodes[n];
        let runs_past = |n: &usize| {
            let [back] = beside[*n][..] else { return false };
            let Some(on) = unit(at(*n) - at(back)) else {
                return false;
            };
            let ways = || (beside[back].iter().filter(|m| *m != n)).filter_map(|&m| unit(at(m) - at(back)));
            distance(at(*n), at(back)) <= PAST
                && ways().any(|way| dot(way, on) < 0.0 && cross(way, on).abs() <= CORNER)
                && ways().filter(|way| cross(*way, on).abs() >= ACROSS).count() > 1
        };
        let found = (0..network.nodes.len()).filter(runs_past);
        Past(found.map(|n| key(at(n))).collect())
    }

    pub fn holds(&self, end: Coord) -> bool {
        self.0.contains(&key(end))
    }
}

fn key(p: Coord) -> (u64, u64) {
    (p.x.to_bits(), p.y.to_bits())
}
