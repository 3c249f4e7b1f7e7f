//! Lights whose openings overlap: two holes of that size cannot be cut there.
//!
//! Symbols on one spot are one light already. What stands further off than that and nearer than the openings allow is
//! most often one light drawn by two offices, a little apart: all are counted, and it is asked which layer counts.

use std::collections::BTreeMap;
use std::sync::Arc;

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::shape::{distance, finite};
use crate::flatten::Flat;
use crate::length::inches_only;
use crate::note::Note;
use crate::plan::{LightId, Plan};
use crate::rules::{Rules, exactly};

/// Two openings may touch, inches.
const TOUCH: f64 = 1.0 / 16.0;
/// So many lights of one layer with a twin on another, and this share of them, are one set drawn twice.
const FEWEST: usize = 3;
const MOST_OF: f64 = 0.6;
/// Most pairs that are named one by one.
const MOST_NAMED: usize = 8;

/// Two lights, and how far apart their centres are, inches.
type Pair = (usize, usize, f64);

/// Says which lights stand nearer to one another than their openings allow.
pub fn told(flat: &Flat, plan: &Plan, rules: &Rules, notes: &mut Vec<Note>) {
    let layers: BTreeMap<usize, &Arc<str>> = flat.items.iter().map(|i| (i.offset, &i.layer)).collect();
    let sizes: Vec<f64> = (plan.lights.iter().map(|l| rules.luminaire(l).opening))
        .map(|o| if o.is_finite() { o.max(0.0) } else { 0.0 })
        .collect();
    let greatest = sizes.iter().copied().fold(0.0, f64::max);
    let on = |l: usize| layers.get(&plan.lights[l].offset).copied();
    let tree = RTree::bulk_load(
        (plan.lights.iter().enumerate())
            .filter(|(_, l)| finite(l.at))
            .map(|(l, light)| GeomWithData::new([light.at.x, light.at.y], l))
            .collect(),
    );
    // The nearest of those too near, each pair once.
    let mut pairs: Vec<Pair> = Vec::new();
    for (a, light) in plan.lights.iter().enumerate() {
        if !finite(light.at) || greatest <= 0.0 {
            continue;
        }
        let at: Coord = light.at;
        let near = tree
            .locate_within_distance([at.x, at.y], greatest * greatest)
            .map(|g| (distance(at, plan.lights[g.data].at), g.data))
            .filter(|(off, b)| *b != a && *off < (sizes[a] + sizes[*b]) / 2.0 - TOUCH)
            .min_by(|p, q| p.0.total_cmp(&q.0).then(p.1.cmp(&q.1)));
        if let Some((off, b)) = near
            && !pairs.iter().rev().take(2).any(|p| (p.0, p.1) == (b, a))
        {
            pairs.push((a.min(b), a.max(b), off));
        }
    }
    pairs.sort_by_key(|p| (p.0, p.1));
    pairs.dedup_by(|p, q| (p.0, p.1) == (q.0, q.1));
    if pairs.is_empty() {
        return;
    }
    let mut between: BTreeMap<(&str, &str), Vec<Pair>> = BTreeMap::new();
    for &(a, b, off) in &pairs {
        let (of_a, of_b) = (on(a).map_or("", |l| l), on(b).map_or("", |l| l));
        between
            .entry((of_a.min(of_b), of_a.max(of_b)))
            .or_default()
            .push((a, b, off));
    }
    let mut alone = Vec::new();
    for ((one, other), twins) in between {
        let all = |layer: &str| {
            (0..plan.lights.len())
                .filter(|&l| on(l).is_some_and(|n| &**n == layer))
                .count()
        };
        let fewer = all(one).min(all(other));
        let set = one != other && twins.len() >= FEWEST && twins.len() as f64 >= MOST_OF * fewer as f64;
        if !set {
            alone.extend(twins);
            continue;
        }
        let furthest = twins.iter().map(|t| t.2).fold(0.0, f64::max);
        notes.push(Note::warning(
            "lights-overlap",
            format!(
                "{} of {} lights on layer {one} and {} on layer {other} stand up to {} from one on the other, nearer than \
                 two openings can be cut: they look like the same lights drawn twice, and both are counted; name the \
                 layer that counts in bayline.toml: lights = {{ layers = [{:?}] }} or lights = {{ layers = [{:?}] }} under [read], \
                 with other layers of lights",
                twins.len(),
                all(one),
                all(other),
                inches_only(furthest),
                exactly(one),
                exactly(other),
            ),
        ));
    }
    if alone.is_empty() {
        return;
    }
    alone.sort_by_key(|p| (p.0, p.1));
    let mut named: Vec<String> = (alone.iter().take(MOST_NAMED))
        .map(|(a, b, off)| format!("{} and {} {} apart", LightId(*a), LightId(*b), inches_only(*off)))
        .collect();
    if alone.len() > MOST_NAMED {
        named.push(format!("{} more pairs", alone.len() - MOST_NAMED));
    }
    notes.push(Note::warning(
        "lights-overlap",
        format!(
            "{}: nearer to one another than their openings can be cut, and each is counted; move or erase one of each, \
             or give their sizes in the schedule",
            named.join(", ")
        ),
    ));
}
