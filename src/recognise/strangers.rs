//! Symbols on light layers under a name that tells something unknown: one that stands alone among lights that repeat,
//! and ones that stand beside lights of well-known names. They are asked about.

use std::collections::BTreeMap;
use std::sync::Arc;

use geo::Coord;
use rstar::RTree;

use super::classes::{Class, Classes};
use super::evidence::says_nothing;
use super::lights::is_small;
use super::schedule::{is_figures, is_mark};
use crate::flatten::{Flat, Prim, Symbol, SymbolAttrib};
use crate::note::Note;
use crate::rules::line::with_block;
use crate::rules::{Patterns, Rules, fixtures, listed};

/// So often a light stands before another symbol is a stranger beside it.
const REPEATED: usize = 3;
/// A mark of the schedule this near is a symbol's tag, inches.
const TAG_REACH: f64 = 24.0;
/// Most names of lights that a question repeats.
const MOST_NAMES: usize = 3;

/// What was seen of the symbols of one block.
struct Kind {
    first: usize,
    count: usize,
    /// A word for a light in its name, or the mark of one in its attributes or beside each.
    called: bool,
    /// Its name says nothing at all: what its layer is, it is.
    blank: bool,
    tagged: usize,
}

/// Sets apart blocks of unknown names among lights, and asks about them. What the rules' own patterns say is a
/// light is one.
pub fn set_apart(flat: &Flat, classes: &mut Classes, rules: &Rules, notes: &mut Vec<Note>) {
    if rules.read.lights.given {
        return;
    }
    let kinds = kinds(flat, classes, rules);
    let most = kinds.values().map(|k| k.count).max().unwrap_or(0);
    let called: Vec<(&Arc<str>, &Kind)> = kinds.iter().filter(|(_, k)| k.called).collect();
    let by_name: usize = called.iter().map(|(_, k)| k.count).sum();
    let mut apart: Vec<(Arc<str>, usize, String)> = Vec::new();
    for (name, kind) in &kinds {
        let known = kind.called || kind.blank || kind.tagged == kind.count;
        if known || !is_small(flat, classes, kind.first) {
            continue;
        }
        let layer = &flat.items[kind.first].layer;
        let line = |class: Class| {
            let (key, patterns) = class.section(&rules.read);
            with_block(key, patterns, name)
        };
        let name_it = format!(
            "write under [read] in bayline.toml {} if it is, or {}",
            line(Class::Light),
            line(Class::Ignore)
        );
        let message = if kind.count == 1 && most >= REPEATED {
            format!(
                "block {name} stands once on light layer {layer}, where another symbol stands {most} times, and its \
                 name is no word for a light: it is not taken for one; {name_it}"
            )
        } else if by_name >= REPEATED {
            let mut names: Vec<&str> = called.iter().take(MOST_NAMES).map(|(n, _)| &***n).collect();
            if called.len() > MOST_NAMES {
                names.push("…");
            }
            format!(
                "block {name} stands {} times on light layer {layer}, where {by_name} lights have a name that says so \
                 ({}), and its name is no word for a recessed light: it is not taken for one; {name_it}, or {} \
                 if lights keep clear of it",
                kind.count,
                names.join(", "),
                line(Class::Device)
            )
        } else {
            continue;
        };
        apart.push((name.clone(), kind.first, message));
    }
    for (name, i, message) in apart {
        classes.set_apart(&name);
        notes.push(Note::warning("evidence-asks", message).at(flat.place(i)));
    }
}

/// The blocks of which something stands among the lights.
fn kinds(flat: &Flat, classes: &Classes, rules: &Rules) -> BTreeMap<Arc<str>, Kind> {
    let marks = marks(flat, rules);
    let other = listed(fixtures::MAY_BE_OTHER);
    let mut kinds: BTreeMap<Arc<str>, Kind> = BTreeMap::new();
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
        // What the rules add says nothing of the others.
        if classes.only_more(i) || classes.more_lights(symbol, rules) {
            continue;
        }
        let kind = kinds.entry(symbol.true_name.clone()).or_insert(Kind {
            first: i,
            count: 0,
            called: false,
            blank: is_blank(&symbol.true_name, &other),
            tagged: 0,
        });
        kind.count += 1;
        kind.called |= classes.called_light(symbol) || scheduled(symbol, rules);
        kind.tagged += usize::from(near(&marks, symbol.at));
    }
    kinds
}

fn is_blank(name: &str, other: &Patterns) -> bool {
    says_nothing(name) && !other.block_matches(name)
}

/// Whether a symbol's name or an attribute of it is a mark of the schedule.
pub fn scheduled(symbol: &Symbol, rules: &Rules) -> bool {
    let named = !is_figures(&symbol.true_name) && rules.schedule(Some(&symbol.true_name), None).is_some();
    let mut attribs = symbol.attribs.iter();
    let mark = |a: &SymbolAttrib| !is_figures(&a.text) || is_mark(&a.tag);
    named || attribs.any(|a| mark(a) && rules.schedule(Some(&a.text), None).is_some())
}

/// Where marks of the schedule are written.
fn marks(flat: &Flat, rules: &Rules) -> RTree<[f64; 2]> {
    let mut found = Vec::new();
    for item in flat.items.iter().filter(|i| i.visible) {
        if let Prim::Text { at, text, .. } = &item.prim
            && !is_figures(text)
            && rules.schedule(Some(text), None).is_some()
            && at.x.is_finite()
            && at.y.is_finite()
        {
            found.push([at.x, at.y]);
        }
    }
    RTree::bulk_load(found)
}

fn near(marks: &RTree<[f64; 2]>, at: Coord) -> bool {
    let reach = TAG_REACH * TAG_REACH;
    at.x.is_finite() && at.y.is_finite() && marks.locate_within_distance([at.x, at.y], reach).next().is_some()
}
