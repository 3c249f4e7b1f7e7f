//! Revision clouds: rings of arcs around what a revision changed.
//!
//! They are no devices. Two lights in one cloud nearer to each other than lights stand are most likely one light at its old
//! and at its new place: both are counted, and asked about.

use std::collections::BTreeSet;
use std::f64::consts::PI;

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::shape::{chords, distance, finite, path_points};
use crate::flatten::{Flat, Prim};
use crate::geom::ring;
use crate::length::inches_only;
use crate::note::Note;
use crate::plan::{LightId, Plan};

/// Arcs of a cloud, at the fewest.
const FEWEST: usize = 5;
/// The arcs of a rounded outline turn once round; those of a cloud, which meet in cusps, turn so far.
const TURNS: f64 = 3.0 * PI;
/// Share of a ring's runs that are arcs.
const MOST_OF: f64 = 0.8;
/// Recessed lights of one ceiling stand further apart, inches (common practice: 2 ft at a counter).
const NEAR: f64 = 20.0;
/// Most pairs that are named.
const MOST_NAMED: usize = 8;

/// Whether a path is a cloud: arcs bent to one side that meet in cusps.
pub fn is_cloud(prim: &Prim) -> bool {
    let Prim::Path { vertices, closed } = prim else {
        return false;
    };
    let runs = vertices.len().saturating_sub(usize::from(!closed));
    let bent = |sign: f64| {
        let arcs = vertices[..runs]
            .iter()
            .map(|v| v.bulge * sign)
            .filter(|b| *b > 0.1);
        arcs.fold((0, 0.0), |(n, turned), b| {
            (n + 1, turned + 4.0 * b.min(4.0).atan())
        })
    };
    [1.0, -1.0].into_iter().any(|sign| {
        let (arcs, turned) = bent(sign);
        arcs >= FEWEST && arcs as f64 >= MOST_OF * runs as f64 && turned >= TURNS
    })
}

/// Whether loose arcs are a cloud together: each about a middle of its own, and each begins where another ends.
pub fn are_cloud(flat: &Flat, items: &[usize]) -> bool {
    if let [one] = items {
        return is_cloud(&flat.items[*one].prim);
    }
    let arcs: Vec<(Coord, f64, f64)> = (items.iter())
        .filter_map(|&i| match &flat.items[i].prim {
            Prim::Arc {
                center,
                radius,
                sweep,
                ..
            } => Some((*center, *radius, sweep.abs())),
            _ => None,
        })
        .collect();
    let apart = |n: usize| {
        let (center, radius, _) = arcs[n];
        arcs[..n]
            .iter()
            .all(|(c, ..)| distance(*c, center) > radius / 4.0)
    };
    let turned: f64 = arcs.iter().map(|a| a.2).sum();
    arcs.len() >= FEWEST
        && arcs.len() <= 500
        && arcs.len() as f64 >= MOST_OF * items.len() as f64
        && turned >= TURNS
        && (0..arcs.len()).all(apart)
}

/// Asks about lights that stand side by side in a cloud.
pub fn told(flat: &Flat, plan: &Plan, notes: &mut Vec<Note>) {
    let tree = RTree::bulk_load(
        (plan.lights.iter().enumerate())
            .filter(|(_, l)| finite(l.at))
            .map(|(l, light)| GeomWithData::new([light.at.x, light.at.y], l))
            .collect(),
    );
    let mut pairs: BTreeSet<(usize, usize)> = BTreeSet::new();
    for item in flat.items.iter().filter(|i| i.visible && is_cloud(&i.prim)) {
        let Prim::Path { vertices, closed } = &item.prim else {
            continue;
        };
        let outline = path_points(vertices, *closed);
        let Some((low, high)) = chords(&item.prim).and_then(|c| super::shape::bounds(c.0)) else {
            continue;
        };
        let within = rstar::AABB::from_corners([low.x, low.y], [high.x, high.y]);
        let here = tree.locate_in_envelope(within).map(|g| g.data);
        for a in here.filter(|&a| ring::contains(&outline, plan.lights[a].at)) {
            let at = plan.lights[a].at;
            for b in tree.locate_within_distance([at.x, at.y], NEAR * NEAR) {
                if b.data != a && plan.lights[a].block == plan.lights[b.data].block {
                    pairs.insert((a.min(b.data), a.max(b.data)));
                }
            }
        }
    }
    if pairs.is_empty() {
        return;
    }
    let mut named: Vec<String> = (pairs.iter().take(MOST_NAMED))
        .map(|(a, b)| {
            let off = distance(plan.lights[*a].at, plan.lights[*b].at);
            format!("{} and {} {} apart", LightId(*a), LightId(*b), inches_only(off))
        })
        .collect();
    if pairs.len() > MOST_NAMED {
        named.push(format!("{} more pairs", pairs.len() - MOST_NAMED));
    }
    notes.push(Note::warning(
        "lights-clouded",
        format!(
            "a revision cloud goes round lights that stand side by side: {}: one of each may be the old place of a light that was \
             moved, and each is counted; put the old ones on a layer that says so, such as E-LITE-OLD, or ask the architect",
            named.join(", "),
        ),
    ));
}
