//! What class each item belongs to, by layer and block name, and what became of it.
//!
//! Words: an item's *class* is what its names say; its *claim* is what recognition made of it.

use std::collections::BTreeMap;

use crate::flatten::{Flat, Prim};
use crate::rules::{Patterns, ReadRules};

/// What an item's names say it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Class {
    Light,
    Framing,
    Wall,
    Room,
    Device,
    Ignore,
    Other,
}

/// What recognition made of an item.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Claim {
    #[default]
    None,
    /// Part of a light's symbol.
    Light,
    /// On a light layer, but no light: switch legs, notes.
    LightLinework,
    Member,
    Wall,
    Room,
    /// Text that named a room.
    RoomName,
    Device,
    /// The rules say to ignore it.
    Ignored,
    /// An INSERT of which something was claimed.
    Holder,
}

/// Classes and nesting of a flat drawing's items.
pub struct Classes {
    pub of: Vec<Class>,
    /// Items that stand directly in each item.
    pub inside: Vec<Vec<usize>>,
}

impl Classes {
    /// Every item that stands in `item` at any depth, in order.
    pub fn all_inside(&self, item: usize) -> Vec<usize> {
        let mut found = Vec::new();
        let mut open: Vec<usize> = self.inside[item].clone();
        open.reverse();
        while let Some(i) = open.pop() {
            found.push(i);
            open.extend(self.inside[i].iter().rev());
        }
        found
    }
}

/// Sorts every item into a class. The user's own patterns are asked before built-in ones, so that
/// a default never takes what the rules file gives to another class.
pub fn classes(flat: &Flat, read: &ReadRules) -> Classes {
    let table = table(read);
    let mut layers: BTreeMap<&str, Class> = BTreeMap::new();
    let mut blocks: BTreeMap<&str, Class> = BTreeMap::new();
    let by_name = |matches: &dyn Fn(&Patterns) -> bool| {
        table
            .iter()
            .find(|(_, p)| matches(p))
            .map_or(Class::Other, |(c, _)| *c)
    };

    let n = flat.items.len();
    let mut of = Vec::with_capacity(n);
    // The class that an INSERT's block name hands down to what is in it.
    let mut handed: Vec<Class> = Vec::with_capacity(n);
    let mut inside = vec![Vec::new(); n];
    for (i, item) in flat.items.iter().enumerate() {
        let outer = item.within.filter(|&w| w < i);
        if let Some(w) = outer {
            inside[w].push(i);
        }
        let inherited = outer.map_or(Class::Other, |w| handed[w]);
        let layer = *layers
            .entry(&item.layer)
            .or_insert_with(|| by_name(&|p| p.layer_matches(&item.layer)));
        let mut own = Class::Other;
        if let Prim::Symbol(s) = &item.prim {
            for name in [&s.true_name, &s.block] {
                if own == Class::Other {
                    own = *blocks
                        .entry(name)
                        .or_insert_with(|| by_name(&|p| p.block_matches(name)));
                }
            }
        }
        let class = match (inherited, own, layer) {
            (Class::Ignore, _, _) => Class::Ignore,
            (_, Class::Other, Class::Other) => inherited,
            (_, Class::Other, layer) => layer,
            (_, own, _) => own,
        };
        of.push(class);
        handed.push(if own == Class::Other { inherited } else { own });
    }
    Classes { of, inside }
}

/// Every class and its patterns in the order in which they are asked.
pub fn table(read: &ReadRules) -> Vec<(Class, &Patterns)> {
    let mut table: Vec<(Class, &Patterns)> = vec![
        (Class::Ignore, &read.ignore),
        (Class::Light, &read.lights),
        (Class::Framing, &read.framing),
        (Class::Device, &read.devices),
        (Class::Room, &read.rooms),
        (Class::Wall, &read.walls),
    ];
    table.sort_by_key(|(_, p)| !p.given);
    table
}
