//! Layers whose names speak of lights, walls, framing or rooms and say that they are something else.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::classes::{Claim, Class, Classes, of_layer};
use crate::flatten::{Flat, Prim};
use crate::note::{Level, Note};
use crate::rules::line::with_layer;
use crate::rules::{Elsewhere, Rules};

/// A note for each such layer of which nothing was taken: how much is on it, and where to name it.
pub fn told(flat: &Flat, classes: &Classes, claims: &[Claim], rules: &Rules, notes: &mut Vec<Note>) {
    // What is on each layer: visible symbols and entities that nothing claimed, writing aside.
    let mut layers: BTreeMap<&Arc<str>, (usize, usize)> = BTreeMap::new();
    for (i, item) in flat.items.iter().enumerate() {
        let holder = item.within.filter(|&w| w < i);
        let within = holder.is_some_and(|w| flat.items[w].layer == item.layer);
        if !item.visible || within || claims[i] != Claim::None || classes.of[i] != Class::Other {
            continue;
        }
        let count = layers.entry(&item.layer).or_default();
        match item.prim {
            Prim::Symbol(_) => count.0 += 1,
            Prim::Text { .. } => {}
            _ => count.1 += 1,
        }
    }
    if layers.is_empty() {
        return;
    }
    let words = Elsewhere::default();
    let read = &rules.read;
    let kinds = [
        (&words.lights, &read.lights, "recessed lights", "lights"),
        (&words.framing, &read.framing, "framing", "framing"),
        (&words.walls, &read.walls, "walls up to the ceiling", "walls"),
        (&words.rooms, &read.rooms, "outlines of rooms", "rooms"),
    ];
    for (name, (symbols, entities)) in layers {
        if symbols + entities == 0 || of_layer(rules, name).0 != Class::Other {
            continue;
        }
        let kind = kinds.iter().find_map(|k| Some((k, k.0.by(name)?)));
        let Some(((_, patterns, what, key), word)) = kind else {
            continue;
        };
        if patterns.given {
            continue;
        }
        let (many, one, more) = match symbols {
            0 => (entities, "entity", "entities"),
            n => (n, "symbol", "symbols"),
        };
        let (thing, are) = if many == 1 { (one, "is") } else { (more, "are") };
        // Symbols may be recessed all the same; of emergency lights nobody thinks so.
        let level = match *key == "lights" && symbols > 0 && !Elsewhere::plain(word) {
            true => Level::Warning,
            false => Level::Info,
        };
        notes.push(Note::new(
            level,
            "layer-elsewhere",
            format!(
                "{many} {thing} on layer {name} {are} not taken for {what}, for the word {word} in its name; if they \
                 are, write under [read] in bayline.toml {}",
                with_layer(key, patterns, name)
            ),
        ));
    }
}
