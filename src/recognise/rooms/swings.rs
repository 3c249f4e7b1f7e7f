//! Doors as they are drawn: arcs that a leaf swings along, and the leaves.

use std::collections::BTreeMap;

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::super::classes::{Class, Classes};
use super::super::shape::{finite, on_circle, rectangle};
use super::super::walls::runs;
use super::gaps::{AT_ARC, Swing};
use crate::flatten::{Flat, Item, Prim};

/// Greatest radius of a door's swing: 4 ft with slack.
const LARGEST: f64 = 50.0;
/// A leaf is no thicker than this, inches: 1 3/4 as made (common practice).
const THICKEST_LEAF: f64 = 3.0;
/// What a leaf turns by, radians: some 30 to 120 degrees.
const TURNS: std::ops::RangeInclusive<f64> = 0.5..=2.1;

/// No house has more doors; beyond them none is a door for sure.
const MOST: usize = 1000;

/// Where a swing stands, in sixteenths of an inch: arcs that are drawn twice are one.
fn key(swing: &Swing) -> [[i64; 2]; 3] {
    let [a, b] = swing.ends;
    [swing.hinge, a, b].map(|p| [p.x, p.y].map(|v| (v * 16.0).round() as i64))
}

/// All arcs of a door's size, with the items they are.
pub struct Doors {
    swings: Vec<(usize, Swing)>,
    hinges: RTree<GeomWithData<[f64; 2], usize>>,
}

impl Doors {
    pub fn new(flat: &Flat, classes: &Classes) -> Doors {
        let swings: Vec<(usize, Swing)> = (flat.items.iter().enumerate())
            .filter(|(_, item)| item.visible)
            .filter_map(|(i, item)| Some((i, swing(item)?)))
            .collect();
        let hinges = swings.iter().enumerate();
        let hinges = hinges.map(|(n, (_, s))| GeomWithData::new([s.hinge.x, s.hinge.y], n));
        let hinges = RTree::bulk_load(hinges.collect());
        let mut doors = Doors { swings, hinges };
        // Where a leaf is drawn on another layer, a line of a wall's at the other end of the arc is the wall's.
        let mut hung: Vec<[bool; 2]> = vec![[false; 2]; doors.swings.len()];
        for (item, class) in flat.items.iter().zip(&classes.of) {
            if item.visible && *class != Class::Wall {
                for (n, end) in doors.leaves(item) {
                    hung[n][end] = true;
                }
            }
        }
        for ((_, swing), hung) in doors.swings.iter_mut().zip(hung) {
            swing.leaf = match hung {
                [true, false] => Some(0),
                [false, true] => Some(1),
                _ => None,
            };
        }
        doors
    }

    /// Those on layers of walls and of no class that is read that turn as a leaf does.
    pub fn swings(&self, flat: &Flat, classes: &Classes) -> Vec<Swing> {
        let turns =
            |i: usize| matches!(flat.items[i].prim, Prim::Arc { sweep, .. } if TURNS.contains(&sweep.abs()));
        (self.swings.iter())
            .filter(|(i, _)| {
                matches!(classes.of[*i], Class::Wall | Class::Other | Class::Ignore) && turns(*i)
            })
            .map(|(_, swing)| (key(swing), *swing))
            .collect::<BTreeMap<_, _>>()
            .into_values()
            .take(MOST)
            .collect()
    }

    /// Whether an item of a wall's layer is such an arc, or the leaf that goes with one.
    pub fn has(&self, item: &Item) -> bool {
        match item.prim {
            Prim::Arc { radius, .. } => radius <= LARGEST,
            _ => (self.leaves(item).into_iter())
                .any(|(n, end)| self.swings[n].1.leaf.is_none_or(|leaf| leaf == end)),
        }
    }

    /// The swings that a line, or the outline of a leaf with its thickness, is a leaf of, and the ends it stands at.
    fn leaves(&self, item: &Item) -> Vec<(usize, usize)> {
        let sides = match &item.prim {
            _ if self.swings.is_empty() => return Vec::new(),
            Prim::Segment { from, to } => vec![(*from, *to)],
            Prim::Path { vertices, closed } if vertices.len() <= 5 => {
                let points: Vec<Coord> = vertices.iter().map(|v| v.at).collect();
                if vertices.iter().any(|v| v.bulge != 0.0) || rectangle(&points).1 > THICKEST_LEAF {
                    return Vec::new();
                }
                runs(&points, *closed)
            }
            _ => return Vec::new(),
        };
        let mut found = Vec::new();
        for (from, to) in sides.into_iter().filter(|(a, b)| finite(*a) && finite(*b)) {
            for p in [from, to] {
                let near = self.hinges.locate_within_distance([p.x, p.y], AT_ARC * AT_ARC);
                found.extend(near.filter_map(|h| Some((h.data, self.swings[h.data].1.leaf_at(from, to)?))));
            }
        }
        found
    }
}

/// An arc of a door's size: its hinge, and where the leaf stands shut and open.
fn swing(item: &Item) -> Option<Swing> {
    let Prim::Arc {
        center,
        radius,
        start,
        sweep,
    } = item.prim
    else {
        return None;
    };
    let at = |angle: f64| on_circle(center, radius, angle);
    (radius <= LARGEST && finite(center)).then(|| Swing {
        hinge: center,
        ends: [at(start), at(start + sweep)],
        leaf: None,
    })
}
