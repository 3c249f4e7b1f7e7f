//! Layers on which colours tell things apart, or how things are drawn.
//!
//! A *pen* is what a layer shows in one colour, written `0:3`: layer 0 in colour 3; or what on it is drawn as framing is
//! ([`lumber`]), written `0:lumber`, and the loose circles on it, `0:circles`. No layer's name has a colon in it, so that the two are
//! never mistaken.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::lumber;
use super::round::rounds;
use super::shape::{bounds, chords, distance};
use super::tolerance::LARGEST_LIGHT_RADIUS;
use crate::flatten::{Flat, Item, Prim};
use crate::rules::{Patterns, Rules, glob_matches};

/// Fewer things in a colour are strays.
const FEWEST: usize = 3;
/// What is drawn in a circle reaches no further than this many times its radius.
const REACH: f64 = 1.5;

/// The layers that are told apart by colour.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Pens {
    layers: BTreeSet<Arc<str>>,
    /// What is drawn as framing, by its place in the file, on layers that are not told apart by colour.
    lumber: BTreeSet<usize>,
    /// Loose circles and what is drawn in them, likewise.
    circles: BTreeSet<usize>,
    /// Layers that the rules name under walls and under framing: what is not drawn as framing is walls.
    shared: BTreeSet<Arc<str>>,
}

/// The part of a layer that is drawn as framing.
const LUMBER: &str = "lumber";
/// The part of a layer that is circles.
const CIRCLES: &str = "circles";

impl Pens {
    /// Layers of which the rules name a pen.
    pub fn given(flat: &Flat, rules: &Rules) -> Pens {
        let read = &rules.read;
        let all = [
            &read.lights,
            &read.framing,
            &read.walls,
            &read.rooms,
            &read.devices,
            &read.ignore,
        ];
        let patterns: Vec<&String> = (all.into_iter())
            .flat_map(Patterns::ruled_layers)
            .filter(|entry| entry.contains(':'))
            .collect();
        let both = |layer: &str| {
            let names = |p: &Patterns| p.layer_ruled(layer).is_some();
            names(&read.walls) && names(&read.framing)
        };
        let all: BTreeSet<&Arc<str>> = flat.items.iter().map(|i| &i.layer).collect();
        let parted = |layer: &&&Arc<str>| {
            let name = format!("{layer}:{LUMBER}");
            both(layer) || patterns.iter().any(|p| glob_matches(p, &name))
        };
        let mut pens = Pens::default();
        let mut large = None;
        for layer in all.iter().filter(parted) {
            let on: Vec<usize> = (0..flat.items.len())
                .filter(|&i| flat.items[i].layer == **layer)
                .collect();
            let large = large.get_or_insert_with(|| lumber::large(flat));
            let found = lumber::drawn(flat, &on, large);
            if !found.is_empty() && both(layer) {
                pens.shared.insert((*layer).clone());
            }
            pens.lumber
                .extend(found.into_iter().map(|i| flat.items[i].offset));
        }
        if patterns.is_empty() {
            return pens;
        }
        for layer in all {
            let name = format!("{layer}:{CIRCLES}");
            if patterns.iter().any(|p| glob_matches(p, &name)) {
                let on = (0..flat.items.len()).filter(|&i| flat.items[i].layer == *layer);
                pens.circles.extend(loose_circles(flat, on));
            }
        }
        let known: BTreeSet<(&Arc<str>, i16)> = flat.items.iter().map(|i| (&i.layer, i.color)).collect();
        let named = |(layer, color): &(&Arc<str>, i16)| {
            let name = pen(layer, *color);
            patterns.iter().any(|p| glob_matches(p, &name))
        };
        pens.layers = (known.into_iter().filter(named))
            .map(|(layer, _)| layer.clone())
            .collect();
        pens
    }

    /// With those of some layers whose visible items, by index, are drawn in several colours; `None` where there
    /// are none.
    pub fn with<'a>(
        &self,
        flat: &Flat,
        layers: impl Iterator<Item = (&'a Arc<str>, &'a [usize])>,
    ) -> Option<Pens> {
        let several = |items: &[usize]| {
            let mut colors: BTreeMap<i16, usize> = BTreeMap::new();
            for item in items.iter().filter_map(|&i| flat.items.get(i)) {
                // What is in a block has the block's colours.
                if item.within.is_none() {
                    *colors.entry(item.color).or_insert(0) += 1;
                }
            }
            colors.values().filter(|n| **n >= FEWEST).count() > 1
        };
        let more: BTreeSet<Arc<str>> = layers
            .filter(|(layer, items)| !self.layers.contains(*layer) && several(items))
            .map(|(layer, _)| layer.clone())
            .collect();
        (!more.is_empty()).then(|| Pens {
            layers: more.union(&self.layers).cloned().collect(),
            ..self.clone()
        })
    }

    /// With what is drawn as framing on some layers, given by their items; `None` where nothing is, or nothing else.
    pub fn with_lumber<'a>(
        &self,
        flat: &Flat,
        layers: impl Iterator<Item = (&'a Arc<str>, &'a [usize])>,
    ) -> Option<Pens> {
        let mut pens = self.clone();
        let mut large = None;
        for (_, items) in layers.filter(|(layer, _)| !self.layers.contains(*layer)) {
            let large = large.get_or_insert_with(|| lumber::large(flat));
            let found = lumber::drawn(flat, items, large);
            let lines = |i: &&usize| matches!(flat.items[**i].prim, Prim::Segment { .. } | Prim::Path { .. });
            if found.len() < items.iter().filter(lines).count() {
                pens.lumber
                    .extend(found.into_iter().map(|i| flat.items[i].offset));
            }
        }
        (pens != *self).then_some(pens)
    }

    /// With the loose circles of some layers, given by their items, that hold other things too; `None` where none does.
    pub fn with_circles<'a>(
        &self,
        flat: &Flat,
        layers: impl Iterator<Item = (&'a Arc<str>, &'a [usize])>,
    ) -> Option<Pens> {
        let mut pens = self.clone();
        for (_, items) in layers.filter(|(layer, _)| !self.layers.contains(*layer)) {
            let found = loose_circles(flat, items.iter().copied());
            let lines = |i: &&usize| matches!(flat.items[**i].prim, Prim::Segment { .. } | Prim::Path { .. });
            if found.len() >= FEWEST && items.iter().any(|i| lines(&i)) {
                pens.circles.extend(found);
            }
        }
        (pens != *self).then_some(pens)
    }

    /// Whether the rules name a layer under walls and under framing, and it holds both.
    pub fn shared(&self, layer: &str) -> bool {
        self.shared.contains(layer)
    }

    /// Whether an item is a loose circle, or drawn in one, of a layer on which those are told from the rest.
    pub fn parts_circles(&self, item: &Item) -> bool {
        item.within.is_none() && self.circles.contains(&item.offset) && !self.layers.contains(&item.layer)
    }

    /// What an item is on: its layer, or the pen where its layer is told apart.
    pub fn name(&self, item: &Item) -> Arc<str> {
        if self.layers.contains(&item.layer) {
            return pen(&item.layer, item.color);
        }
        let part = if self.lumber.contains(&item.offset) {
            LUMBER
        } else if self.parts_circles(item) {
            CIRCLES
        } else {
            return item.layer.clone();
        };
        format!("{}:{part}", item.layer).into()
    }
}

/// Of what is in no block: circles that are no larger than lights, however they are drawn, and what is drawn in them, by
/// their places in the file.
fn loose_circles(flat: &Flat, items: impl Iterator<Item = usize>) -> Vec<usize> {
    let loose = |&i: &usize| flat.items[i].within.is_none() && flat.items[i].visible;
    let items: Vec<usize> = items.filter(loose).collect();
    let mut found = rounds(flat, &items);
    found.retain(|r| r.radius <= LARGEST_LIGHT_RADIUS);
    let mut parts: BTreeSet<usize> = found.iter().flat_map(|r| r.parts.iter().copied()).collect();
    let spots = found
        .iter()
        .map(|r| GeomWithData::new([r.center.x, r.center.y], r.radius));
    let spots = RTree::bulk_load(spots.collect());
    let inside = |&i: &usize| {
        let chords = chords(&flat.items[i].prim);
        let Some((low, high)) = chords.and_then(|(points, _)| bounds(points)) else {
            return false;
        };
        let middle = (low + high) * 0.5;
        let near = spots.nearest_neighbor([middle.x, middle.y]);
        near.is_some_and(|r| {
            let [x, y] = *r.geom();
            let from = Coord { x, y };
            // A cross may reach beyond its circle.
            distance(middle, from) <= r.data && distance(low, high) <= 2.0 * REACH * r.data
        })
    };
    parts.extend(items.into_iter().filter(inside));
    parts.into_iter().map(|i| flat.items[i].offset).collect()
}

fn pen(layer: &str, color: i16) -> Arc<str> {
    format!("{layer}:{color}").into()
}

/// The name of what on a layer is drawn as framing is.
pub fn lumber_of(layer: &str) -> String {
    format!("{layer}:{LUMBER}")
}

/// The layer of a pen's name; `None` of a layer's.
pub fn layer_of(name: &str) -> Option<&str> {
    let (layer, of) = name.rsplit_once(':')?;
    (of == LUMBER || of == CIRCLES || of.parse::<i16>().is_ok()).then_some(layer)
}

/// A layer's or a pen's name with what it is.
pub fn said(name: &str) -> String {
    match name.rsplit_once(':') {
        Some((layer, LUMBER)) => {
            format!("layer {name} (lines in pairs a member's thickness apart on layer {layer})")
        }
        Some((layer, CIRCLES)) => format!("layer {name} (loose circles on layer {layer})"),
        Some((layer, color)) if color.parse::<i16>().is_ok() => {
            format!("layer {name} (layer {layer} in colour {color})")
        }
        _ => format!("layer {name}"),
    }
}
