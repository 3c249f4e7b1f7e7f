//! Wall linework by place: what lies at a box, what crosses a way, what stands ahead of a wall's end.

use geo::{Coord, Vector2DOps};
use rstar::primitives::{GeomWithData, Line as Chord};
use rstar::{AABB, RTree};

use super::{ACROSS, IN_LINE, PARALLEL, SLIP, Segment};
use crate::geom::faces::Network;
use crate::recognise::shape::{bounds, cross, dot, left_of, unit};
use crate::recognise::tolerance::CORNER;

/// The network's edges, by place.
pub struct Lines<'a> {
    network: &'a Network,
    tree: RTree<GeomWithData<Chord<[f64; 2]>, usize>>,
}

impl<'a> Lines<'a> {
    pub fn new(network: &'a Network) -> Self {
        let chords = network.edges.iter().enumerate().map(|(i, &(a, b))| {
            let (a, b) = (network.nodes[a], network.nodes[b]);
            GeomWithData::new(Chord::new([a.x, a.y], [b.x, b.y]), i)
        });
        Lines {
            network,
            tree: RTree::bulk_load(chords.collect()),
        }
    }

    /// Edges whose boxes meet a box, in order.
    pub fn at(&self, (a, b): Segment) -> Vec<usize> {
        let envelope = AABB::from_corners([a.x.min(b.x), a.y.min(b.y)], [a.x.max(b.x), a.y.max(b.y)]);
        let mut found: Vec<usize> = self
            .tree
            .locate_in_envelope_intersecting(envelope)
            .map(|line| line.data)
            .collect();
        found.sort_unstable();
        found
    }

    pub fn ends_of(&self, edge: usize) -> Segment {
        let (a, b) = self.network.edges[edge];
        (self.network.nodes[a], self.network.nodes[b])
    }

    /// Whether an edge crosses or touches the inside of a segment.
    pub fn crossed(&self, a: Coord, b: Coord) -> bool {
        let Some(along) = unit(b - a) else { return false };
        let (a, b) = (a + along * (2.0 * CORNER), b - along * (2.0 * CORNER));
        self.at((a, b)).into_iter().any(|edge| {
            let (c, d) = self.ends_of(edge);
            let (sc, sd) = (cross(along, c - a), cross(along, d - a));
            if sc * sd > 0.0 {
                return false;
            }
            let (tc, td) = (dot(along, c - a), dot(along, d - a));
            let far = (b - a).magnitude();
            let t = if sc == sd {
                tc.min(td).max(0.0).min(tc.max(td))
            } else {
                tc + (td - tc) * sc / (sc - sd)
            };
            (0.0..=far).contains(&t)
        })
    }

    /// How far to the left of a point the walls lie that run along a direction past it, within a reach, in order.
    pub fn beside(&self, p: Coord, along: Coord, reach: f64) -> Vec<f64> {
        let side = left_of(along) * reach;
        let mut found: Vec<f64> = (self.at((p - side, p + side)).into_iter())
            .filter_map(|edge| {
                let (a, b) = self.ends_of(edge);
                let level = unit(b - a).is_some_and(|u| cross(u, along).abs() <= PARALLEL);
                let (ta, tb) = (dot(along, a - p), dot(along, b - p));
                let passes = level && ta.min(tb) <= 0.0 && ta.max(tb) >= 0.0;
                passes.then(|| cross(along, a - p))
            })
            .filter(|off| off.abs() <= reach)
            .collect();
        found.sort_by(f64::total_cmp);
        found.dedup_by(|a, b| (*a - *b).abs() <= CORNER);
        found
    }

    /// The first point of a cross wall met by the way from `p` along `on`, and which way that wall runs; a corner just
    /// beside it counts. `None` where the way meets a wall that runs nearly along it.
    pub fn ahead(&self, p: Coord, on: Coord, reach: f64) -> Option<(Coord, Coord)> {
        let side = left_of(on) * IN_LINE;
        let window = bounds([p + side, p - side, p + on * reach + side, p + on * reach - side])?;
        let mut best: Option<(f64, Option<(Coord, Coord)>)> = None;
        for edge in self.at(window) {
            let (a, b) = self.ends_of(edge);
            let wall = unit(b - a).filter(|u| cross(*u, on).abs() >= ACROSS);
            let (sa, sb) = (cross(on, a - p), cross(on, b - p));
            let q = if sa.abs() <= IN_LINE {
                a
            } else if sb.abs() <= IN_LINE {
                b
            } else if sa * sb < 0.0 {
                a + (b - a) * (sa / (sa - sb))
            } else {
                continue;
            };
            let t = dot(on, q - p);
            if t > SLIP && t <= reach && best.is_none_or(|(least, _)| t < least) {
                best = Some((t, wall.map(|wall| (q, wall))));
            }
        }
        best.and_then(|(_, met)| met)
    }
}
