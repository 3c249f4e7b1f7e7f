//! Lights that a cross of two lines strikes out: the old place of a light that was moved.
//!
//! A *cross* is two straight lines that are no part of a symbol, both with their middle on one light and at least as long as
//! its symbol is wide. Where most lights have one, it is how they are drawn.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::classes::Claim;
use super::shape::{between_degrees, distance, finite};
use crate::flatten::{Flat, Prim};
use crate::plan::Plan;

/// The middle of a stroke is this near to the light's, as a share of its radius.
const MIDDLE: f64 = 0.75;
/// A stroke's length, in radii, and at most, inches.
const LONG: std::ops::RangeInclusive<f64> = 1.6..=10.0;
const LONGEST: f64 = 48.0;
/// Strokes of a cross differ by so many degrees.
const ACROSS: f64 = 30.0;

/// The lights that are struck out.
pub fn struck(flat: &Flat, claims: &[Claim], plan: &Plan) -> BTreeSet<usize> {
    let tree = RTree::bulk_load(
        (plan.lights.iter().enumerate())
            .filter(|(_, l)| finite(l.at))
            .map(|(l, light)| GeomWithData::new([light.at.x, light.at.y], l))
            .collect(),
    );
    let mut strokes: BTreeMap<usize, Coord> = BTreeMap::new();
    let mut found = BTreeSet::new();
    for (item, claim) in flat.items.iter().zip(claims) {
        let free = matches!(claim, Claim::None | Claim::Ignored | Claim::LightLinework);
        let (true, true, Some((a, b))) = (item.visible, free && !item.leads(), stroke(&item.prim)) else {
            continue;
        };
        let (middle, long) = ((a + b) * 0.5, distance(a, b));
        if !finite(middle) || long > LONGEST {
            continue;
        }
        let Some(near) = tree.nearest_neighbor([middle.x, middle.y]) else {
            continue;
        };
        let light = &plan.lights[near.data];
        let radius = light.drawn_radius;
        if distance(light.at, middle) > MIDDLE * radius || !LONG.contains(&(long / radius)) {
            continue;
        }
        match strokes.get(&near.data) {
            Some(first) if between_degrees(*first, b - a) >= ACROSS => {
                found.insert(near.data);
            }
            Some(_) => {}
            None => {
                strokes.insert(near.data, b - a);
            }
        }
    }
    match 2 * found.len() > plan.lights.len() {
        true => BTreeSet::new(),
        false => found,
    }
}

fn stroke(prim: &Prim) -> Option<(Coord, Coord)> {
    match prim {
        Prim::Segment { from, to } => Some((*from, *to)),
        Prim::Path { vertices, .. } => match &vertices[..] {
            [a, b] if a.bulge == 0.0 => Some((a.at, b.at)),
            _ => None,
        },
        _ => None,
    }
}
