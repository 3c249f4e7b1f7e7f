//! Lights lost within blocks that a built-in word has ignored.

use std::collections::BTreeMap;

use super::classes::{Class, Classes, of_layer};
use crate::flatten::{Flat, Prim};
use crate::note::Note;
use crate::rules::Rules;

/// Words of what holds symbols to explain them, not to light a room.
const EXPLAINS: [&str; 5] = ["LEGEND", "LEGN", "TITLEBLOCK", "TTLB", "BORDER"];
/// Most blocks that are named.
const MOST_NAMES: usize = 8;

/// Says which blocks are ignored for a word in their names though light layers or lights are in them: `BED 2` is
/// furniture, and the plan of an apartment too.
pub fn told(flat: &Flat, classes: &Classes, rules: &Rules, notes: &mut Vec<Note>) {
    let mut light_layer: BTreeMap<&str, bool> = BTreeMap::new();
    let mut found: BTreeMap<&str, usize> = BTreeMap::new();
    for (i, item) in flat.items.iter().enumerate() {
        if classes.of[i] != Class::Ignore || !item.visible || item.within.is_none() {
            continue;
        }
        let lit = match &item.prim {
            Prim::Symbol(symbol) => classes.called_light(symbol),
            Prim::Text { .. } => false,
            _ => *(light_layer.entry(&item.layer))
                .or_insert_with(|| of_layer(rules, &item.layer).0 == Class::Light),
        };
        if lit && let Some(name) = holder(flat, classes, i) {
            *found.entry(name).or_insert(0) += 1;
        }
    }
    let all: usize = found.values().sum();
    if all == 0 {
        return;
    }
    let mut names: Vec<String> = (found.iter().take(MOST_NAMES))
        .map(|(name, count)| format!("{count} in block {name}"))
        .collect();
    if found.len() > MOST_NAMES {
        names.push(format!("{} more blocks", found.len() - MOST_NAMES));
    }
    notes.push(Note::warning(
        "ignored-lights",
        format!(
            "{all} entities on light layers or of lights are ignored for a word in the name of what they stand in: {}; \
             if lights are lost, give your own list of blocks under [read] ignore in bayline.toml",
            names.join(", ")
        ),
    ));
}

/// The outermost block around an item that a word has ignored, unless one around it explains the drawing.
fn holder<'a>(flat: &'a Flat, classes: &Classes, mut i: usize) -> Option<&'a str> {
    let mut found = None;
    while let Some(w) = flat.items[i].within.filter(|&w| w < i) {
        if let Prim::Symbol(symbol) = &flat.items[w].prim
            && classes.passed_over(symbol)
        {
            // On a light layer it is told of with what is no recessed light.
            if classes.of[w] == Class::Light {
                return None;
            }
            let words = |word: &&str| EXPLAINS.iter().any(|e| word.eq_ignore_ascii_case(e));
            let name = &*symbol.true_name;
            if (name.split(|c: char| !c.is_alphanumeric())).any(|word| words(&word)) {
                return None;
            }
            found = Some(name);
        }
        i = w;
    }
    found
}
