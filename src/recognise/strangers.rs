//! Symbols on light layers that stand alone among lights that repeat, under a name that tells something unknown.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::classes::{Class, Classes};
use super::evidence::says_nothing;
use super::lights::is_small;
use crate::flatten::{Flat, Prim};
use crate::note::Note;
use crate::rules::Rules;

/// So often a light stands before another symbol is a stranger beside it.
const REPEATED: usize = 3;

/// Sets apart blocks that stand once where lights repeat, and asks about them. What the rules' own patterns say is a
/// light is one.
pub fn set_apart(flat: &Flat, classes: &mut Classes, rules: &Rules, notes: &mut Vec<Note>) {
    if rules.read.lights.given {
        return;
    }
    let mut kinds: BTreeMap<&Arc<str>, (usize, usize, bool)> = BTreeMap::new();
    let mut small: BTreeMap<usize, bool> = BTreeMap::new();
    for (i, item) in flat.items.iter().enumerate() {
        let Prim::Symbol(symbol) = &item.prim else {
            continue;
        };
        let mut is_part = |w| *small.entry(w).or_insert_with(|| is_small(flat, classes, w));
        let part = item.within.filter(|&w| w < i).is_some_and(&mut is_part);
        if classes.of[i] != Class::Light || !item.visible || part || classes.no_recessed_light(symbol) {
            continue;
        }
        let known = classes.called_light(symbol)
            || says_nothing(&symbol.true_name)
            || (symbol.attribs.iter()).any(|a| rules.schedule(Some(&a.text), None).is_some());
        let kind = kinds.entry(&symbol.true_name).or_insert((i, 0, false));
        kind.1 += 1;
        kind.2 |= known;
    }
    let most = kinds.values().map(|k| k.1).max().unwrap_or(0);
    if most < REPEATED {
        return;
    }
    let alone: Vec<(Arc<str>, usize)> = (kinds.into_iter())
        .filter(|(_, (i, count, known))| *count == 1 && !known && is_small(flat, classes, *i))
        .map(|(name, (i, ..))| (name.clone(), i))
        .collect();
    for (name, i) in alone {
        classes.set_apart(&name);
        let message = format!(
            "block {name} stands once on light layer {}, where another symbol stands {most} times, and its name is no \
             word for a light: it is not taken for one; name it under [read] lights in bayline.toml if it is, or under \
             ignore",
            flat.items[i].layer
        );
        notes.push(Note::warning("evidence-asks", message).at(flat.place(i)));
    }
}
