//! Round shapes among items: circles, solid discs, near-round ellipses, arcs that close a circle.

use std::f64::consts::TAU;

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::shape::{bounds, cross, distance, dot, finite, length, path_points};
use super::tolerance::{CORNER, ROUND_RATIO, SAME_RADIUS};
use crate::flatten::{Flat, PathVertex, Prim};

/// A full circle on the drawing, however it was made.
#[derive(Clone, Debug, PartialEq)]
pub struct Round {
    pub center: Coord,
    pub radius: f64,
    /// The first item of it.
    pub item: usize,
    /// All items of it.
    pub parts: Vec<usize>,
}

/// Where texts stand.
pub struct Lettering(RTree<[f64; 2]>);

impl Lettering {
    pub fn new(flat: &Flat) -> Lettering {
        let places = (flat.items.iter().filter(|item| item.visible)).filter_map(|item| match &item.prim {
            Prim::Text { at, .. } if finite(*at) => Some([at.x, at.y]),
            _ => None,
        });
        Lettering(RTree::bulk_load(places.collect()))
    }

    /// Whether a text stands within a shape's radius.
    pub fn is_in(&self, round: &Round) -> bool {
        let near = self.0.nearest_neighbor([round.center.x, round.center.y]);
        near.is_some_and(|t| (t[0] - round.center.x).hypot(t[1] - round.center.y) < round.radius)
    }
}

/// Every round shape among `items`, in their order.
pub fn rounds(flat: &Flat, items: &[usize]) -> Vec<Round> {
    let mut found = Vec::new();
    let mut arcs: Vec<(Coord, f64, f64, usize)> = Vec::new();
    for &i in items {
        let (center, radius) = match &flat.items[i].prim {
            Prim::Circle { center, radius } => (*center, *radius),
            Prim::Arc {
                center,
                radius,
                sweep,
                ..
            } if sweep.abs() < TAU - 0.01 => {
                arcs.push((*center, *radius, sweep.abs(), i));
                continue;
            }
            Prim::Arc { center, radius, .. } => (*center, *radius),
            Prim::Ellipse {
                center,
                major,
                minor,
                sweep,
                ..
            } if sweep.abs() >= TAU - 0.01 => {
                let (a, b) = (length(*major), length(*minor));
                if a.min(b) < ROUND_RATIO * a.max(b) {
                    continue;
                }
                (*center, (a * b).sqrt())
            }
            Prim::Path { vertices, closed } => match from_path(vertices, *closed) {
                Some(round) => round,
                None => continue,
            },
            _ => continue,
        };
        if finite(center) && radius.is_finite() && radius > 0.0 {
            found.push(Round {
                center,
                radius,
                item: i,
                parts: vec![i],
            });
        }
    }
    found.extend(from_arcs(arcs));
    found.sort_by_key(|r| r.item);
    without_fills(flat, found)
}

/// Without discs that fill a circle, or another disc, of their size: they are parts of that one.
fn without_fills(flat: &Flat, mut found: Vec<Round>) -> Vec<Round> {
    let disc: Vec<bool> = found.iter().map(|r| is_disc(flat, r.item)).collect();
    if !disc.contains(&true) {
        return found;
    }
    let spots = found.iter().enumerate();
    let spots = spots.map(|(n, r)| GeomWithData::new([r.center.x, r.center.y], n));
    let tree = RTree::bulk_load(spots.collect());
    let mut kept = vec![true; found.len()];
    for n in (0..found.len()).filter(|&n| disc[n]) {
        let (c, r) = (found[n].center, found[n].radius);
        let slack = SAME_RADIUS * r;
        let outline = (tree.locate_within_distance([c.x, c.y], slack * slack))
            .map(|g| g.data)
            .filter(|&m| (found[m].radius - r).abs() <= slack && kept[m])
            .filter(|&m| !disc[m] || m < n)
            .min_by_key(|&m| (disc[m], m));
        if let Some(m) = outline {
            kept[n] = false;
            let mut parts = std::mem::take(&mut found[n].parts);
            found[m].parts.append(&mut parts);
        }
    }
    let mut kept = kept.into_iter();
    found.retain(|_| kept.next().unwrap_or(true));
    found
}

/// Whether a round item is filled, without an outline of its own.
pub fn is_disc(flat: &Flat, item: usize) -> bool {
    flat.items.get(item).is_some_and(|i| &*i.entity == "HATCH")
}

/// A polyline of straight sides is a circle drawn in pieces from this many on; columns and tables have fewer.
const FEWEST_SIDES: usize = 12;
/// How unequal its radii may be, as a share.
const UNEQUAL: f64 = 0.01;

/// The circle that a closed polyline is: of arcs that follow it, or of many short sides on it.
fn from_path(vertices: &[PathVertex], closed: bool) -> Option<(Coord, f64)> {
    let first = vertices.first()?.at;
    let last = vertices.last()?.at;
    let mut ring: &[PathVertex] = vertices;
    if !closed || distance(first, last) <= CORNER {
        if distance(first, last) > CORNER {
            return None;
        }
        ring = vertices.split_last()?.1;
    }
    let curved = ring.iter().any(|v| v.bulge != 0.0);
    if ring.len() < if curved { 2 } else { FEWEST_SIDES } {
        return None;
    }
    let points = path_points(ring, true);
    let (low, high) = bounds(points.iter().copied())?;
    let center = (low + high) * 0.5;
    let size = high - low;
    let radius = (size.x + size.y) / 4.0;
    if !(radius > 0.0 && radius.is_finite()) {
        return None;
    }
    // Vertices lie on the circle; arcs between them stray by their chords alone, and go round once.
    let on = ring
        .iter()
        .all(|v| (distance(v.at, center) - radius).abs() <= 2.0 * UNEQUAL * radius);
    let turned = |k: usize| {
        let (a, b) = (ring[k].at - center, ring[(k + 1) % ring.len()].at - center);
        cross(a, b).atan2(dot(a, b))
    };
    if curved {
        let follows = |k: usize| {
            // The arc's own angle, and that between its ends seen from the centre, by the same way round.
            let (arc, seen) = (4.0 * ring[k].bulge.atan(), turned(k));
            let off = (arc - seen).rem_euclid(TAU);
            off.min(TAU - off) <= 0.05
        };
        let all: f64 = ring.iter().map(|v| 4.0 * v.bulge.atan()).sum();
        (on && (0..ring.len()).all(follows) && (all.abs() - TAU).abs() <= 0.05).then_some((center, radius))
    } else {
        let all: f64 = (0..ring.len()).map(turned).sum();
        let short = (0..ring.len()).all(|k| turned(k).abs() <= TAU / (FEWEST_SIDES as f64 - 1.0));
        (on && short && (all.abs() - TAU).abs() <= 0.05).then_some((center, radius))
    }
}

/// A circle whose line was broken into dashes: so many arcs, and so much of the way round.
const FEWEST_DASHES: usize = 3;
const DASHED: f64 = 0.85;

/// Arcs of one centre and radius that together go all the way round, but for gaps between dashes.
fn from_arcs(mut arcs: Vec<(Coord, f64, f64, usize)>) -> Vec<Round> {
    arcs.retain(|(c, r, s, _)| finite(*c) && r.is_finite() && s.is_finite() && *r > 0.0);
    arcs.sort_by(|a, b| {
        (a.0.x.total_cmp(&b.0.x))
            .then(a.0.y.total_cmp(&b.0.y))
            .then(a.1.total_cmp(&b.1))
            .then(a.3.cmp(&b.3))
    });
    let mut used = vec![false; arcs.len()];
    let mut found = Vec::new();
    for i in 0..arcs.len() {
        if used[i] {
            continue;
        }
        let (center, radius, ..) = arcs[i];
        let slack = 0.01 * radius;
        let group: Vec<usize> = (i..arcs.len())
            .take_while(|&j| arcs[j].0.x - center.x <= slack)
            .filter(|&j| !used[j])
            .filter(|&j| distance(arcs[j].0, center) <= slack && (arcs[j].1 - radius).abs() <= slack)
            .collect();
        let sweep: f64 = group.iter().map(|&j| arcs[j].2).sum();
        let dashed = group.len() >= FEWEST_DASHES && sweep >= DASHED * TAU;
        if sweep >= TAU - 0.05 || dashed {
            let mut parts: Vec<usize> = group.iter().map(|&j| arcs[j].3).collect();
            parts.sort_unstable();
            for j in group {
                used[j] = true;
            }
            if let Some(&item) = parts.first() {
                found.push(Round {
                    center,
                    radius,
                    item,
                    parts,
                });
            }
        }
    }
    found
}
