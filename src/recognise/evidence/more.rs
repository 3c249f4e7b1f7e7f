//! More of a class that a name gives already: a block on another layer by a slip, a second layer of joists, partitions
//! apart from the outer walls.
//!
//! Where one name says a class others may belong to it too. What nothing else explains is taken: the very block that
//! stands on light layers, members at their fullest evidence where no other member is, walls that part rooms that have
//! several names. Everything else is asked about. What the rules file gives is all there is.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::super::classes::{Class, Classes, of_layer};
use super::super::reading::Named;
use super::half::{HELD, Half, kept};
use super::rooms::House;
use super::{Basis, Blank, Judged, beside, blank, crosses, framing, gathered, groups, lights, rooms, settle};
use crate::flatten::{Flat, Prim};
use crate::rules::Rules;

/// Lights of another kind are asked about from here on.
const ANOTHER_KIND: f64 = 0.7;
/// A second layer of framing is taken from here on.
const FULL: f64 = 0.95;
/// Members nearer than this beside one another are one framing drawn twice, or two over one another, inches.
const OVER: f64 = 8.0;
/// A family is no smaller: a pair of lines alone is a window or a shelf.
const FAMILY: usize = 4;
/// How sure a block is that stands on light layers and elsewhere too.
const SAME_BLOCK: f64 = 0.9;
const SAME_BLOCK_ASKED: f64 = 0.7;
/// So often it stands on light layers at least.
const REPEATED: usize = 3;

/// Classes that names give, and not the rules.
#[derive(Clone, Copy)]
pub struct Given {
    pub lights: bool,
    pub framing: bool,
    /// and no room is drawn.
    pub walls: bool,
}

/// Judges, and puts what is certain enough into `classes`.
pub fn more(flat: &Flat, classes: &mut Classes, rules: &Rules, given: Given) -> Vec<Judged> {
    let mut judged = Vec::new();
    if given.walls {
        let found = rooms::more_walls(
            flat,
            classes,
            &open(flat, classes, |half| kept(half, &rules.read.walls)),
        );
        take(flat, found, classes, &mut judged);
    }
    if given.framing {
        let found = more_framing(flat, classes, rules);
        take(flat, found, classes, &mut judged);
    }
    if given.lights {
        judged.extend(same_block(flat, classes, rules));
        judged.extend(other_kinds(flat, classes, rules));
    }
    judged
}

/// Layers of no class whose names say nothing or tell half.
fn open(flat: &Flat, classes: &Classes, kept: impl Fn(&Blank) -> Blank) -> Blank {
    let half = Half::new();
    let mut both = kept(&gathered(flat, classes, &|name| half.tells(name)));
    both.layers.extend(blank(flat, classes).layers);
    both
}

fn take(flat: &Flat, found: Vec<Judged>, classes: &mut Classes, judged: &mut Vec<Judged>) {
    let mut layers = blank_of(flat, classes, &found);
    settle(flat, found, &mut layers, classes, judged);
}

/// What is on the layers judged.
fn blank_of(flat: &Flat, classes: &Classes, found: &[Judged]) -> Blank {
    let sought = |name: &str| found.iter().any(|j| j.named == Named::Layer && &*j.name == name);
    gathered(flat, classes, &sought)
}

/// Second layers of framing.
fn more_framing(flat: &Flat, classes: &Classes, rules: &Rules) -> Vec<Judged> {
    let layers = open(flat, classes, |half| kept(half, &rules.read.framing));
    if layers.layers.is_empty() {
        return Vec::new();
    }
    let house = House::new(flat, classes);
    let mut bare = classes.clone();
    let known = framing::members(flat, classes, rules);
    (bare.of.iter_mut().filter(|c| **c == Class::Framing)).for_each(|c| *c = Class::Other);
    let mut found = framing::framing(flat, &mut bare, rules, &layers, &house);
    found.retain(|j| j.count >= FAMILY);
    let half = Half::new();
    for j in &mut found {
        let half = half.tells(&j.name);
        j.basis = if half { Basis::Half } else { Basis::Nothing };
        let items = &layers.layers[&j.name];
        items.iter().for_each(|&i| bare.of[i] = Class::Framing);
        let members = framing::members(flat, &bare, rules);
        items.iter().for_each(|&i| bare.of[i] = Class::Other);
        let over = members
            .iter()
            .filter(|m| {
                known
                    .iter()
                    .any(|k| crosses(m, k) || beside(m, k).is_some_and(|d| d.abs() < OVER))
            })
            .count();
        if over > 0 {
            j.why += &format!("; {over} of them over or across members that a name gives");
        }
        if over > 0 || j.confidence < FULL {
            j.confidence = j.confidence.min(HELD);
        }
    }
    found
}

/// Blocks of unknown names that stand on light layers, and on others.
fn same_block(flat: &Flat, classes: &mut Classes, rules: &Rules) -> Vec<Judged> {
    let mut lit: BTreeMap<&Arc<str>, usize> = BTreeMap::new();
    let mut apart: BTreeMap<&Arc<str>, BTreeMap<&Arc<str>, Vec<usize>>> = BTreeMap::new();
    for (i, item) in flat.items.iter().enumerate() {
        let Prim::Symbol(symbol) = &item.prim else {
            continue;
        };
        if !item.visible || classes.states.holds(i) {
            continue;
        }
        let told = classes.called_light(symbol) || classes.has_letters(&symbol.true_name);
        if classes.no_recessed_light(symbol) || told {
            continue;
        }
        let of_layer = of_layer(rules, &item.layer);
        let ruled = matches!(of_layer.1, super::super::classes::Why::Pattern(_));
        match classes.of[i] {
            Class::Light if of_layer.0 == Class::Light => *lit.entry(&symbol.true_name).or_insert(0) += 1,
            Class::Light => {}
            _ if ruled => {}
            _ => {
                let layers = apart.entry(&symbol.true_name).or_default();
                layers.entry(&item.layer).or_default().push(i);
            }
        }
    }
    let mut found = Vec::new();
    for (name, layers) in apart {
        let (on, off) = (
            lit.get(name).copied().unwrap_or(0),
            layers.values().map(Vec::len).sum::<usize>(),
        );
        let Some(&first) = layers.values().flatten().next() else {
            continue;
        };
        if on == 0 || !groups::small(flat, classes, first) {
            continue;
        }
        let open = layers.values().flatten().all(|&i| classes.of[i] == Class::Other);
        let sure = open && on >= REPEATED && on >= off;
        let named: Vec<String> = layers
            .iter()
            .map(|(layer, items)| format!("{} on {layer}", items.len()))
            .collect();
        found.push(Judged {
            named: Named::Block,
            name: name.clone(),
            class: Class::Light,
            count: off,
            confidence: if sure { SAME_BLOCK } else { SAME_BLOCK_ASKED },
            why: format!("{on} of it stand on light layers, {}", named.join(", ")),
            basis: if super::says_nothing(name) {
                Basis::Nothing
            } else {
                Basis::Half
            },
        });
        if sure {
            for &i in layers.values().flatten() {
                classes.of[i] = Class::Light;
                for inside in classes.all_inside(i) {
                    classes.of[inside] = Class::Light;
                }
            }
        }
    }
    found
}

/// Equal symbols that stand as lights do, under names that are no known words; all are asked about.
fn other_kinds(flat: &Flat, classes: &Classes, rules: &Rules) -> Vec<Judged> {
    let layers = open(flat, classes, |half| kept(half, &rules.read.lights));
    if layers.layers.is_empty() {
        return Vec::new();
    }
    let half = Half::new();
    let house = House::new(flat, classes);
    let sizes = groups::sizes(flat, classes);
    let mut tried = classes.clone();
    let mut found = lights::lights(flat, &mut tried, rules, (&layers, &house), Some(&half), &sizes);
    found
        .iter_mut()
        .for_each(|j| j.confidence = j.confidence.min(HELD));
    found.retain(|j| j.confidence >= ANOTHER_KIND);
    found
}
