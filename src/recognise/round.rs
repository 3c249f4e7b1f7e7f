//! Round shapes among items: circles, near-round ellipses, arcs that close a circle.

use std::f64::consts::TAU;

use geo::Coord;

use super::shape::{distance, finite, length};
use super::tolerance::ROUND_RATIO;
use crate::flatten::{Flat, Prim};

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
    found
}

/// Arcs of one centre and radius that together go all the way round.
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
        if sweep >= TAU - 0.05 {
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
