//! Layers on which colours tell things apart.
//!
//! A *pen* is what a layer shows in one colour, written `0:3`: layer 0 in colour 3. No layer's name has a colon in
//! it, so that the two are never mistaken.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::flatten::{Flat, Item};
use crate::rules::{Rules, glob_matches};

/// Fewer things in a colour are strays.
const FEWEST: usize = 3;

/// The layers that are told apart by colour.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Pens {
    layers: BTreeSet<Arc<str>>,
}

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
        let patterns: Vec<&String> = (all.into_iter().filter(|p| p.given))
            .flat_map(|p| &p.layers)
            .filter(|entry| entry.contains(':'))
            .collect();
        if patterns.is_empty() {
            return Pens::default();
        }
        let known: BTreeSet<(&Arc<str>, i16)> = flat.items.iter().map(|i| (&i.layer, i.color)).collect();
        let named = |(layer, color): &(&Arc<str>, i16)| {
            let name = pen(layer, *color);
            patterns.iter().any(|p| glob_matches(p, &name))
        };
        Pens {
            layers: (known.into_iter().filter(named))
                .map(|(layer, _)| layer.clone())
                .collect(),
        }
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
        })
    }

    /// What an item is on: its layer, or the pen where its layer is told apart.
    pub fn name(&self, item: &Item) -> Arc<str> {
        match self.layers.contains(&item.layer) {
            true => pen(&item.layer, item.color),
            false => item.layer.clone(),
        }
    }
}

fn pen(layer: &str, color: i16) -> Arc<str> {
    format!("{layer}:{color}").into()
}

/// The layer and the colour of a pen's name; `None` of a layer's.
pub fn parts(name: &str) -> Option<(&str, i16)> {
    let (layer, color) = name.rsplit_once(':')?;
    Some((layer, color.parse().ok()?))
}

/// A layer's or a pen's name with what it is.
pub fn said(name: &str) -> String {
    match parts(name) {
        Some((layer, color)) => format!("layer {name} (layer {layer} in colour {color})"),
        None => format!("layer {name}"),
    }
}
