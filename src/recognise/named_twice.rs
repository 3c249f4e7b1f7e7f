//! Layers and blocks that the rules file names under two classes: one of the two has no effect.

use std::collections::BTreeSet;

use super::classes::{Class, of_block, of_layer, table};
use crate::flatten::{Flat, Prim};
use crate::note::Note;
use crate::rules::{Patterns, Rules};

/// Says which names of the drawing the rules give two classes word for word. One under walls and framing is parted.
pub fn told(flat: &Flat, rules: &Rules, notes: &mut Vec<Note>) {
    let classes = table(&rules.read);
    let key = |class: Class| class.section(&rules.read).0;
    let mut tell = |kind: &str, name: &str, under: Vec<Class>, taken: Class| {
        if under.len() < 2 || under.iter().all(|c| matches!(c, Class::Wall | Class::Framing)) {
            return;
        }
        let keys: Vec<&str> = under.iter().map(|c| key(*c)).collect();
        notes.push(Note::warning(
            "read-twice",
            format!(
                "{kind} {name} is named under [read] {} in the rules file, and is taken for {}: take it out of the other",
                keys.join(" and "),
                key(taken)
            ),
        ));
    };
    let under = |named: &dyn Fn(&Patterns) -> bool| -> Vec<Class> {
        (classes.iter())
            .filter(|(_, p)| named(p))
            .map(|(class, _)| *class)
            .collect()
    };
    let layers: BTreeSet<&str> = flat.items.iter().map(|i| &*i.layer).collect();
    for layer in layers {
        let named = |p: &Patterns| p.ruled_layers().any(|n| n.eq_ignore_ascii_case(layer));
        tell("layer", layer, under(&named), of_layer(rules, layer).0);
    }
    let blocks: BTreeSet<&str> = (flat.items.iter())
        .filter_map(|i| match &i.prim {
            Prim::Symbol(s) => Some(&*s.true_name),
            _ => None,
        })
        .collect();
    for block in blocks {
        let named = |p: &Patterns| p.ruled_blocks().any(|n| n.eq_ignore_ascii_case(block));
        tell("block", block, under(&named), of_block(rules, block).0);
    }
}
