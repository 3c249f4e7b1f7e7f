//! What no layout shows: entities that are off, frozen or invisible, and blocks that nothing inserts.

use std::collections::BTreeMap;

use super::classes::{Class, Classes};
use crate::flatten::Flat;
use crate::note::{Level, Note};
use crate::rules::Rules;

/// Says what is on the layers of a class but off, frozen or invisible.
pub fn hidden(flat: &Flat, classes: &Classes, notes: &mut Vec<Note>) {
    let mut found: BTreeMap<(Class, &str), usize> = BTreeMap::new();
    for (item, class) in flat.items.iter().zip(&classes.of) {
        let matters = matches!(class, Class::Light | Class::Framing | Class::Room | Class::Wall);
        if !item.visible && matters {
            *found.entry((*class, &item.layer)).or_insert(0) += 1;
        }
    }
    for ((class, layer), count) in found {
        let what = match class {
            Class::Light => "lights",
            Class::Framing => "framing",
            Class::Room => "rooms",
            _ => "walls",
        };
        notes.push(Note::warning(
            "hidden",
            format!(
                "{count} entit{} on layer {layer} ({what}) {} off, frozen or invisible and not read: \
                 turn the layer on and export again if it counts",
                if count == 1 { "y" } else { "ies" },
                if count == 1 { "is" } else { "are" },
            ),
        ));
    }
}

/// Says which blocks hold framing or lights that no layout shows.
pub fn unreached(flat: &Flat, rules: &Rules, notes: &mut Vec<Note>) {
    let taken = rules.framing.from_block.as_deref();
    for block in &flat.unreached {
        if taken.is_some_and(|t| t.eq_ignore_ascii_case(&block.name)) {
            continue;
        }
        let read = &rules.read;
        let named = read.framing.block_matches(&block.name);
        let framing: Vec<&(String, usize)> = block
            .layers
            .iter()
            .filter(|(layer, _)| named || read.framing.layer_matches(layer))
            .collect();
        let held: Vec<String> = framing
            .iter()
            .map(|(layer, count)| format!("{count} entities on framing layer {layer}"))
            .collect();
        if !held.is_empty() {
            // Where another block was chosen this one was passed over knowingly.
            let level = if taken.is_some() {
                Level::Info
            } else {
                Level::Warning
            };
            notes.push(Note::new(
                level,
                "block-unreached",
                format!(
                    "block {} holds {} that no layout shows: give from_block = {:?} under [framing] in \
                     bayline.toml, or insert it in the plan, if it is this ceiling's framing",
                    block.name,
                    held.join(", "),
                    block.name
                ),
            ));
        }
        for (layer, count) in &block.layers {
            if !named && read.lights.layer_matches(layer) {
                notes.push(Note::info(
                    "block-unreached",
                    format!(
                        "block {} holds {count} entities on light layer {layer} that no layout shows",
                        block.name
                    ),
                ));
            }
        }
    }
}
