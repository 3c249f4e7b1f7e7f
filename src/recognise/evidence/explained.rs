//! Blocks that a legend explains: the words beside one of them say what all of them are.
//!
//! That is the drafter's own word. It holds where a block's name says nothing or is no known word, and where the name only
//! speaks of a light while the legend says which; against any other name it is told of, and the name holds. What
//! the rules file gives holds in any case.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use geo::Coord;

use super::super::classes::{Class, Classes, Why, of_block, of_layer};
use super::super::legend::{Meaning, Seeker, meaning, tells};
use super::super::reading::Named;
use super::groups::extent;
use super::{Basis, Judged};
use crate::flatten::{Flat, Prim};
use crate::rules::Rules;

/// As sure as the words of a name.
const SURE: f64 = 0.97;
/// Where the name says otherwise.
const DOUBTFUL: f64 = 0.6;
/// Symbols of more parts are looked at no further.
const MOST_PARTS: usize = 300;
/// A symbol in a legend is no larger than this many times lettering of a usual height, inches.
const LARGEST: f64 = 105.0;

/// What the legends say of blocks; what holds is put into `classes` here, with what is in them.
pub fn explained(flat: &Flat, classes: &mut Classes, rules: &Rules) -> Vec<Judged> {
    let mut found = Vec::new();
    for (block, (words, says)) in told(flat, classes) {
        let all: Vec<usize> = (0..flat.items.len()).filter(|&i| is(flat, i, &block)).collect();
        let Some(held) = held(flat, rules, &block, &all, says) else {
            if says == Meaning::AtTheCeiling {
                classes.call(&block, &words);
            }
            continue;
        };
        let (class, confidence, basis) = match held {
            Held::Taken(class) => (class, SURE, Basis::Legend),
            Held::Over(class) => (class, SURE, Basis::LegendOverName),
            Held::Against(class) => (class, DOUBTFUL, Basis::LegendOverName),
        };
        if confidence == SURE {
            take(flat, classes, &block, &all, class, &words);
        }
        found.push(Judged {
            named: Named::Block,
            name: block,
            class,
            count: all.len(),
            confidence,
            why: format!("the legend says \"{words}\""),
            basis,
        });
    }
    found
}

fn take(flat: &Flat, classes: &mut Classes, block: &Arc<str>, all: &[usize], class: Class, words: &str) {
    for &i in all {
        classes.of[i] = class;
        for inside in classes.all_inside(i) {
            if !flat.items[inside].leads() {
                classes.of[inside] = class;
            }
        }
    }
    classes.explain(block, class, words);
}

fn is(flat: &Flat, item: usize, block: &Arc<str>) -> bool {
    matches!(&flat.items[item].prim, Prim::Symbol(s) if s.true_name == *block)
}

/// Each block in a legend, the words beside it, and what they mean. Where legends say two things of one block,
/// none of it is heeded.
fn told(flat: &Flat, classes: &Classes) -> BTreeMap<Arc<str>, (String, Meaning)> {
    let symbols = symbols(flat, classes);
    let places: Vec<(Coord, f64)> = symbols.iter().map(|s| s.1).collect();
    let words = Seeker::new(flat, classes).words(&places);
    let mut found: BTreeMap<Arc<str>, (String, Meaning)> = BTreeMap::new();
    let mut at_odds: BTreeSet<Arc<str>> = BTreeSet::new();
    // Of which other words say something that is not certain.
    let mut unsure: BTreeSet<Arc<str>> = BTreeSet::new();
    for ((block, _), words) in symbols.iter().zip(words) {
        let Some(words) = words.filter(|_| !classes.has_letters(block)) else {
            continue;
        };
        let Some(says) = meaning(&words) else {
            unsure.insert(block.clone());
            continue;
        };
        let known = found.entry(block.clone()).or_insert((words, says));
        if known.1 != says {
            at_odds.insert(block.clone());
        }
    }
    let other = |says: Meaning| says != Meaning::Recessed;
    found.retain(|block, (_, says)| !(at_odds.contains(block) || other(*says) && unsure.contains(block)));
    found
}

/// Every symbol that is part of no other, its middle and its radius.
fn symbols(flat: &Flat, classes: &Classes) -> Vec<(Arc<str>, (Coord, f64))> {
    let mut small: BTreeMap<usize, Option<(Coord, f64)>> = BTreeMap::new();
    let mut found = Vec::new();
    for (i, item) in flat.items.iter().enumerate() {
        let Prim::Symbol(symbol) = &item.prim else {
            continue;
        };
        let outer = item.within.filter(|&w| w < i);
        let part = outer.is_some_and(|w| small.get(&w).is_some_and(Option::is_some));
        let place = match part {
            true => None,
            false => place(flat, classes, i),
        };
        if item.visible
            && let Some(place) = place
        {
            found.push((symbol.true_name.clone(), place));
        }
        small.insert(i, place);
    }
    found
}

/// Where a small symbol is, and half its longer side.
pub fn place(flat: &Flat, classes: &Classes, symbol: usize) -> Option<(Coord, f64)> {
    let inside = classes.all_inside(symbol);
    if inside.len() > MOST_PARTS {
        return None;
    }
    // Several symbols with words beside them are a legend themselves.
    let held = inside.iter().map(|&c| &flat.items[c].prim);
    let symbols = held.clone().filter(|p| matches!(p, Prim::Symbol(_))).count();
    let words = held
        .filter(|p| matches!(p, Prim::Text { text, .. } if tells(text)))
        .count();
    if symbols.min(words) >= 2 {
        return None;
    }
    let (low, high) = extent(flat, &inside)?;
    let size = (high.x - low.x).max(high.y - low.y);
    (size > 0.0 && size <= LARGEST).then(|| ((low + high) * 0.5, size / 2.0))
}

/// What a legend makes of a block.
enum Held {
    /// The name says nothing against it.
    Taken(Class),
    /// The name only speaks of a light, or of something else altogether.
    Over(Class),
    /// The name holds, and says otherwise.
    Against(Class),
}

/// What the legend's word makes of a block; `None` where the name says as much, or the rules decide.
fn held(flat: &Flat, rules: &Rules, block: &Arc<str>, all: &[usize], says: Meaning) -> Option<Held> {
    let read = &rules.read;
    let (class, given) = match says {
        Meaning::Recessed => (Class::Light, read.lights.given),
        Meaning::AtTheCeiling => (Class::Device, read.devices.given),
        Meaning::Elsewhere => (Class::Ignore, false),
    };
    let ruled = |&i: &usize| {
        let Prim::Symbol(s) = &flat.items[i].prim else {
            return false;
        };
        let by = |why: Why| matches!(why, Why::Pattern(_) | Why::Luminaire(_));
        let names = [&s.true_name, &s.block];
        by(of_layer(rules, &flat.items[i].layer).1) || names.iter().any(|n| by(of_block(rules, n).1))
    };
    if given || all.iter().any(ruled) {
        return None;
    }
    let named = of_block(rules, block).0;
    let other_light = named == Class::Other && read.lights.block_excluded(block);
    Some(match (named, class) {
        (named, class) if named == class => return None,
        (Class::Other, Class::Light) if other_light => Held::Against(class),
        (Class::Other, _) => Held::Taken(class),
        (Class::Light, _) if meaning(&spoken(block)) == Some(Meaning::Recessed) => Held::Against(class),
        (Class::Light | Class::Ignore, _) => Held::Over(class),
        (Class::Device, Class::Light) => Held::Against(class),
        _ => return None,
    })
}

/// A block's name as words.
fn spoken(block: &str) -> String {
    block.replace(['-', '_', '.'], " ")
}
