//! Equal symbols that may be lights: blocks of one name, circles of one size on one layer.

use std::collections::BTreeMap;
use std::sync::Arc;

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::super::circles::forms;
use super::super::classes::{Class, Classes};
use super::super::legend::Meaning;
use super::super::pens::layer_of;
use super::super::reading::Named;
use super::super::round::{Round, is_disc, rounds};
use super::super::schedule::Schedule;
use super::super::shape::{bounds, chords, dot, finite, length};
use super::super::tolerance::{LARGEST_LIGHT_RADIUS, SAME_RADIUS};
use super::half::Half;
use super::{Blank, says_nothing};
use crate::flatten::{Flat, Prim};
use crate::rules::Rules;

/// Blocks that are a little smaller or larger, or neither round nor square, are asked about where nothing else is.
const UNUSUAL: std::ops::RangeInclusive<f64> = 2.0..=18.0;
/// The longer side of such a block is no longer than this many times its shorter one.
const LONGER: f64 = 1.3;
/// The whole symbol with its cross and arrows.
const WHOLE: f64 = 24.0;
/// Across, inches (common practice for symbols on house plans).
const ACROSS: std::ops::RangeInclusive<f64> = 3.0..=12.0;

/// Equal symbols.
pub struct Group {
    pub named: Named,
    pub name: Arc<str>,
    pub across: f64,
    pub at: Vec<Coord>,
    pub items: Vec<usize>,
    /// Of these, with a mark of the schedule.
    pub marked: usize,
    /// A name tells half, and one speaks of a ceiling.
    pub half: bool,
    pub of_ceilings: bool,
    /// Of a usual size and shape.
    pub usual: bool,
    /// A legend's words beside one of them, and what they mean.
    pub explained: Option<(String, Meaning)>,
}

/// INSERTs of blocks whose names say nothing, on layers whose names say nothing; or whose names tell half.
pub fn symbols(
    flat: &Flat,
    classes: &Classes,
    rules: &Rules,
    blank: &Blank,
    names: Option<&Half>,
) -> Vec<Group> {
    let schedule = Schedule::new(rules);
    let mut groups: BTreeMap<&Arc<str>, Group> = BTreeMap::new();
    for &i in blank.layers.values().flatten() {
        let Prim::Symbol(symbol) = &flat.items[i].prim else {
            continue;
        };
        // What is in a symbol is part of it.
        let part = flat.items[i]
            .within
            .is_some_and(|w| w < i && small(flat, classes, w));
        let told = [&symbol.true_name, &symbol.block];
        let told = told.into_iter().filter(|name| !says_nothing(name));
        let may =
            |name: &Arc<str>| names.is_some_and(|n| n.tells(name)) && !rules.read.lights.block_excluded(name);
        if part || !told.clone().all(may) {
            continue;
        }
        let Some((at, across, usual)) = main(flat, classes, i) else {
            continue;
        };
        let group = groups.entry(&symbol.true_name).or_insert_with(|| Group {
            named: Named::Block,
            name: symbol.true_name.clone(),
            across,
            at: Vec::new(),
            items: Vec::new(),
            marked: 0,
            half: false,
            of_ceilings: false,
            usual: true,
            explained: None,
        });
        group.at.push(at);
        group.items.push(i);
        group.usual &= usual;
        let layer = &flat.items[i].layer;
        group.half |= told.clone().next().is_some() || !says_nothing(layer);
        group.of_ceilings |= names.is_some_and(|n| n.of_ceilings(layer));
        group.marked += usize::from(schedule.marks(symbol));
    }
    groups.into_values().collect()
}

pub fn small(flat: &Flat, classes: &Classes, symbol: usize) -> bool {
    extent(flat, &classes.all_inside(symbol)).is_some_and(|(low, high)| length(high - low) <= 2.0 * WHOLE)
}

/// Corners of the box about what shows of a symbol's parts.
pub fn extent(flat: &Flat, inside: &[usize]) -> Option<(Coord, Coord)> {
    let drawn = inside.iter().filter(|&&c| flat.items[c].visible);
    let points = drawn.filter_map(|&c| chords(&flat.items[c].prim));
    bounds(points.flat_map(|(points, _)| points))
}

/// Centre and size of a symbol's circle or square, and whether it is of a light's size; else those of the whole where it
/// may be one.
fn main(flat: &Flat, classes: &Classes, symbol: usize) -> Option<(Coord, f64, bool)> {
    let inside = classes.all_inside(symbol);
    let (low, high) = extent(flat, &inside)?;
    let size = high - low;
    if size.x.max(size.y) > WHOLE {
        return None;
    }
    let round = rounds(flat, &inside)
        .into_iter()
        .max_by(|a, b| a.radius.total_cmp(&b.radius));
    if let Some(round) = round {
        let across = 2.0 * round.radius;
        return (UNUSUAL.contains(&across)).then(|| (round.center, across, ACROSS.contains(&across)));
    }
    let square = inside.iter().find_map(|&c| match &flat.items[c].prim {
        Prim::Path {
            vertices,
            closed: true,
        } if vertices.len() == 4 => square(&vertices.iter().map(|v| v.at).collect::<Vec<Coord>>()),
        _ => None,
    });
    if let Some((at, across)) = square {
        return Some((at, across, true));
    }
    let (long, short) = (size.x.max(size.y), size.x.min(size.y));
    (UNUSUAL.contains(&long) && long <= LONGER * short).then(|| ((low + high) * 0.5, long, false))
}

/// Centre and side of a square of a light's size.
fn square(ring: &[Coord]) -> Option<(Coord, f64)> {
    let side = |k: usize| ring[(k + 1) % 4] - ring[k];
    let across = length(side(0));
    let square = (0..4).all(|k| {
        (length(side(k)) - across).abs() <= 0.02 * across
            && dot(side(k), side((k + 1) % 4)).abs() <= 0.02 * across * across
    });
    (square && ACROSS.contains(&across)).then(|| ((ring[0] + ring[2]) * 0.5, across))
}

/// How large the lights are that are known, inches across.
pub fn sizes(flat: &Flat, classes: &Classes) -> Vec<f64> {
    let lit = |i: &usize| classes.of[*i] == Class::Light && flat.items[*i].visible;
    let all: Vec<usize> = (0..flat.items.len()).filter(lit).collect();
    let mut sizes: Vec<f64> = rounds(flat, &all).iter().map(|r| 2.0 * r.radius).collect();
    sizes.retain(|s| ACROSS.contains(s));
    sizes.sort_by(f64::total_cmp);
    sizes.dedup_by(|a, b| (*a - *b).abs() <= 0.01 * *b);
    sizes
}

/// Equal bare circles on one layer.
pub fn circles(flat: &Flat, classes: &Classes, blank: &Blank, names: Option<&Half>) -> Vec<Group> {
    let mut found = Vec::new();
    let bare = |items: &[usize]| -> Vec<usize> {
        (items.iter().copied())
            .filter(|&i| flat.items[i].within.is_none())
            .collect()
    };
    // A disc in a circle is a part of that symbol, whatever its layer.
    let discs = blank.layers.values().flatten().any(|&i| is_disc(flat, i));
    let loose: Vec<usize> = (0..if discs { flat.items.len() } else { 0 })
        .filter(|&i| flat.items[i].visible && flat.items[i].within.is_none() && !is_disc(flat, i))
        .collect();
    let around: Vec<Round> = (rounds(flat, &loose).into_iter())
        .filter(|r| r.radius <= LARGEST_LIGHT_RADIUS && finite(r.center))
        .collect();
    let spots = around
        .iter()
        .map(|r| GeomWithData::new([r.center.x, r.center.y], r.radius));
    let around = RTree::bulk_load(spots.collect());
    let fills = |r: &Round| {
        let reach = LARGEST_LIGHT_RADIUS * LARGEST_LIGHT_RADIUS;
        let mut near = around.locate_within_distance([r.center.x, r.center.y], reach);
        let inside = |c: &GeomWithData<[f64; 2], f64>| {
            let [x, y] = *c.geom();
            let off = (x - r.center.x).hypot(y - r.center.y);
            off + r.radius <= c.data * (1.0 + SAME_RADIUS)
        };
        is_disc(flat, r.item) && finite(r.center) && near.any(inside)
    };
    for (layer, items) in &blank.layers {
        let bare = bare(items);
        let mut sizes: BTreeMap<i64, Vec<(Coord, f64, usize)>> = BTreeMap::new();
        let usual = |r: &Round| ACROSS.contains(&(2.0 * r.radius)) && finite(r.center) && !fills(r);
        let of_size: Vec<Round> = rounds(flat, &bare).into_iter().filter(usual).collect();
        let places: Vec<(Coord, f64)> = of_size.iter().map(|r| (r.center, r.radius)).collect();
        // What would be no light if the layer were theirs is not asked about.
        let otherwise = forms((flat, classes), &bare, &places, false);
        for (_, round) in of_size
            .iter()
            .enumerate()
            .filter(|(n, _)| !otherwise.contains_key(n))
        {
            let size = (round.radius * 16.0).round() as i64;
            sizes
                .entry(size)
                .or_default()
                .push((round.center, round.radius, round.item));
        }
        for group in sizes.into_values() {
            found.push(Group {
                named: Named::Layer,
                name: (*layer).clone(),
                across: 2.0 * group[0].1,
                at: group.iter().map(|g| g.0).collect(),
                items: group.iter().map(|g| g.2).collect(),
                marked: 0,
                half: !says_nothing(layer_of(layer).unwrap_or(layer)),
                of_ceilings: names.is_some_and(|n| n.of_ceilings(layer)),
                usual: true,
                explained: None,
            });
        }
    }
    found
}
