//! What is drawn of each light: the INSERTs, loose circles and lines of its symbols, and a tag beside it.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::classes::{self, Class, Classes};
use super::round::rounds;
use super::shape::{bounds, chords, distance, finite};
use super::tolerance::LARGEST_SYMBOL;
use crate::flatten::{Flat, Prim};
use crate::plan::{LightId, Plan};
use crate::rules::Rules;

/// Centres this near are one, inches: recognition took them from the same numbers.
const SAME: f64 = 1e-6;
/// Loose lines wholly within so many radii of a loose circle are of its symbol (as recognition takes them).
const SYMBOL_RADII: f64 = 1.5;
/// A loose tag stands no further than this from its light, beyond two radii, inches (as recognition takes them).
const TAG_REACH: f64 = 12.0;

/// What is drawn of one light, as places among the flat items.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Parts {
    /// INSERTs that draw its symbols; whatever they hold goes with them.
    pub symbols: BTreeSet<usize>,
    /// Entities of a symbol that is no INSERT.
    pub loose: BTreeSet<usize>,
    /// Its type mark, where that is a text of its own.
    pub tag: Option<usize>,
    /// Symbols on its spot that were not found again.
    pub missing: usize,
}

/// The parts of every light, by light.
pub fn parts(flat: &Flat, plan: &Plan, rules: &Rules) -> Vec<Parts> {
    let classes = classes::classes(flat, rules);
    let mut all: Vec<Parts> = plan.lights.iter().map(|_| Parts::default()).collect();
    let offsets: BTreeSet<usize> = plan.lights.iter().map(|l| l.offset).collect();
    let mut by_offset: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (i, item) in flat.items.iter().enumerate() {
        if offsets.contains(&item.offset) && item.visible {
            by_offset.entry(item.offset).or_default().push(i);
        }
    }
    let stacked = plan.lights.iter().any(|l| !l.stacked.is_empty());
    let spots = if stacked {
        spots(flat, &classes)
    } else {
        Vec::new()
    };
    // Loose circles: centre, radius, light.
    let mut circles: Vec<(Coord, f64, usize)> = Vec::new();
    for (n, light) in plan.lights.iter().enumerate() {
        let own = by_offset.get(&light.offset).map_or(&[][..], Vec::as_slice);
        let nearest = own
            .iter()
            .copied()
            .filter_map(|i| Some((off(flat, &classes, i, light.at)?, i)));
        match nearest.min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1))) {
            Some((_, i)) if matches!(flat.items[i].prim, Prim::Symbol(_)) => {
                all[n].symbols.insert(i);
            }
            Some((_, i)) => {
                all[n].loose.insert(i);
                circles.push((light.at, light.drawn_radius, n));
            }
            None => all[n].missing += 1,
        }
        let mut open = light.stacked.clone();
        for (at, radius, i) in &spots {
            if let Some(k) = open.iter().position(|s| distance(*s, *at) <= SAME)
                && !all[n].symbols.contains(i)
            {
                open.remove(k);
                if matches!(flat.items[*i].prim, Prim::Symbol(_)) {
                    all[n].symbols.insert(*i);
                } else {
                    all[n].loose.insert(*i);
                    circles.push((*at, *radius, n));
                }
            }
        }
        all[n].missing += open.len();
    }
    let held: BTreeSet<usize> = all.iter().flat_map(|p| p.symbols.iter().copied()).collect();
    loose(flat, &classes, &held, &circles, &mut all);
    tags(flat, plan, &held, &mut all);
    for part in &mut all {
        part.symbols = part
            .symbols
            .iter()
            .map(|&s| outermost(flat, &classes, s))
            .collect();
    }
    all
}

/// How far an item's own centre is from a point.
fn off(flat: &Flat, classes: &Classes, item: usize, at: Coord) -> Option<f64> {
    let prim = &flat.items[item].prim;
    let mut inside: Vec<usize> = vec![item];
    if let Prim::Symbol(_) = prim {
        inside = classes.all_inside(item);
        inside.retain(|&c| flat.items[c].visible);
    }
    let centres = rounds(flat, &inside).into_iter().map(|r| r.center);
    let points = inside
        .iter()
        .filter_map(|&c| chords(&flat.items[c].prim))
        .flat_map(|(points, _)| points);
    let middle = bounds(points).map(|(low, high)| (low + high) * 0.5);
    let origin = match prim {
        Prim::Symbol(s) if middle.is_none() => Some(s.at),
        _ => None,
    };
    // An arc of a circle has the circle's centre, not its own middle.
    let arc = match prim {
        Prim::Arc { center, .. } => Some(*center),
        _ => None,
    };
    let all = centres.chain(middle).chain(origin).chain(arc);
    all.map(|c| distance(c, at)).min_by(f64::total_cmp)
}

/// Where further symbols of light classes stand: centre, radius, item.
fn spots(flat: &Flat, classes: &Classes) -> Vec<(Coord, f64, usize)> {
    let visible = |i: usize| flat.items[i].visible && classes.of[i] == Class::Light;
    let mut found = Vec::new();
    let mut free = Vec::new();
    for i in (0..flat.items.len()).filter(|&i| visible(i)) {
        if let Prim::Symbol(symbol) = &flat.items[i].prim {
            let mut inside = classes.all_inside(i);
            inside.retain(|&c| flat.items[c].visible);
            let points = inside
                .iter()
                .filter_map(|&c| chords(&flat.items[c].prim))
                .flat_map(|(points, _)| points);
            match bounds(points) {
                Some((low, high)) if (high - low).x.max((high - low).y) <= LARGEST_SYMBOL => {
                    let centres = rounds(flat, &inside).into_iter().map(|r| r.center);
                    found.extend(centres.chain([(low + high) * 0.5]).map(|c| (c, 0.0, i)));
                }
                Some(_) => {}
                None => found.push((symbol.at, 0.0, i)),
            }
        } else {
            free.push(i);
        }
    }
    found.extend(
        rounds(flat, &free)
            .into_iter()
            .map(|r| (r.center, r.radius, r.item)),
    );
    found
}

/// Gives loose entities of light layers to the loose circle they are nearest to.
fn loose(
    flat: &Flat,
    classes: &Classes,
    held: &BTreeSet<usize>,
    circles: &[(Coord, f64, usize)],
    all: &mut [Parts],
) {
    let tree = RTree::bulk_load(
        circles
            .iter()
            .enumerate()
            .filter(|(_, c)| finite(c.0))
            .map(|(n, c)| GeomWithData::new([c.0.x, c.0.y], n))
            .collect(),
    );
    for (i, item) in flat.items.iter().enumerate() {
        if classes.of[i] != Class::Light || !item.visible || matches!(item.prim, Prim::Symbol(_)) {
            continue;
        }
        if within(flat, i, |w| held.contains(&w)) {
            continue;
        }
        let Some((points, _)) = chords(&item.prim) else {
            continue;
        };
        let Some((low, high)) = bounds(points.iter().copied()) else {
            continue;
        };
        let middle = (low + high) * 0.5;
        let Some(near) = tree.nearest_neighbor([middle.x, middle.y]) else {
            continue;
        };
        let (center, radius, light) = circles[near.data];
        if points
            .iter()
            .all(|&p| distance(p, center) <= SYMBOL_RADII * radius)
        {
            all[light].loose.insert(i);
        }
    }
}

/// Gives each light the text of its own tag that is nearest to it, where it is that text's nearest light.
fn tags(flat: &Flat, plan: &Plan, held: &BTreeSet<usize>, all: &mut [Parts]) {
    let tree = RTree::bulk_load(
        plan.lights
            .iter()
            .enumerate()
            .filter(|(_, l)| finite(l.at))
            .map(|(n, l)| GeomWithData::new([l.at.x, l.at.y], n))
            .collect(),
    );
    let mut nearest: BTreeMap<usize, (f64, usize)> = BTreeMap::new();
    for (i, item) in flat.items.iter().enumerate() {
        let Prim::Text { at, text, .. } = &item.prim else {
            continue;
        };
        if !item.visible || !finite(*at) || within(flat, i, |w| held.contains(&w)) {
            continue;
        }
        let first = text
            .lines()
            .find(|l| !l.trim().is_empty())
            .unwrap_or_default()
            .trim();
        let Some(near) = tree.nearest_neighbor([at.x, at.y]) else {
            continue;
        };
        let light = plan.light(LightId(near.data));
        let far = distance(light.at, *at);
        let says = light
            .tag
            .as_deref()
            .is_some_and(|t| t.trim().eq_ignore_ascii_case(first));
        if says && far <= TAG_REACH + 2.0 * light.drawn_radius {
            let best = nearest.entry(near.data).or_insert((far, i));
            if far < best.0 {
                *best = (far, i);
            }
        }
    }
    for (light, (_, item)) in nearest {
        all[light].tag = Some(item);
    }
}

fn within(flat: &Flat, item: usize, is: impl Fn(usize) -> bool) -> bool {
    let mut at = flat.items[item].within;
    while let Some(w) = at {
        if is(w) {
            return true;
        }
        at = flat.items[w].within.filter(|&o| o < w);
    }
    false
}

/// The outermost INSERT that draws this one and nothing else.
fn outermost(flat: &Flat, classes: &Classes, symbol: usize) -> usize {
    let mut at = symbol;
    while let Some(w) = flat.items[at].within.filter(|&w| w < at)
        && classes.inside[w].len() == 1
    {
        at = w;
    }
    at
}
