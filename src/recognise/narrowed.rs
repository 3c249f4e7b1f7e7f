//! What a class of the rules file leaves out that names, or what is drawn, would have taken.
//!
//! A list in the rules file is all there is of its class, so a list of one layer that is meant to add to the others
//! takes their place. That is held against the reading without the list, one class at a time.

use std::collections::BTreeSet;

use super::classes::{self, Claim, Class, Classes, of_block, of_layer};
use super::evidence::Judged;
use super::reading::Named;
use super::shape::distance;
use super::{devices, framing, lights, sorted};
use crate::flatten::{Flat, Prim};
use crate::note::{Level, Note};
use crate::plan::{Light, Member};
use crate::rules::Rules;
use crate::rules::line::with;

/// Two readings of one light or of one end of a member are no further apart, inches.
const SAME: f64 = 0.1;
/// Most names that a note lists.
const MOST_NAMES: usize = 8;

/// What was read by the rules as they are.
pub struct Read<'a> {
    pub classes: &'a Classes,
    pub claims: &'a [Claim],
    pub lights: &'a [Light],
    pub members: &'a [Member],
    /// Items of plans that are put aside.
    pub without: &'a BTreeSet<usize>,
}

/// A note for each class whose list leaves something out, and one where the list of what is ignored lets something in.
pub fn told(flat: &Flat, rules: &Rules, read: &Read, notes: &mut Vec<Note>) {
    brought_back(flat, rules, read, notes);
    let free = |i: usize| {
        let item = &flat.items[i];
        let open = read.claims[i] == Claim::None && read.classes.of[i] == Class::Other;
        item.visible && open && !matches!(item.prim, Prim::Text { .. })
    };
    if !(0..flat.items.len()).any(free) {
        return;
    }
    for class in [
        Class::Light,
        Class::Framing,
        Class::Wall,
        Class::Room,
        Class::Device,
    ] {
        let (key, patterns) = class.section(&rules.read);
        if !patterns.given {
            continue;
        }
        let (without, count) = left_out(flat, rules, class, read);
        let names = named(flat, &without, class, &free);
        let Some(what) = said(class, count.unwrap_or(names.items)).filter(|_| !names.is_empty()) else {
            continue;
        };
        let level = match class {
            Class::Light | Class::Framing => Level::Warning,
            _ => Level::Info,
        };
        notes.push(Note::new(
            level,
            "read-narrowed",
            format!(
                "{key} under [read] in the rules file leaves out {what} that names or what is drawn would have taken: {}; \
                 what is listed there is all there is of a class: write {} if they are some, or name them under ignore",
                names.said(),
                with(key, patterns, &names.layers(), &names.blocks())
            ),
        ));
    }
}

/// Says what the built-in words would have ignored, where a list of the rules file takes their place.
fn brought_back(flat: &Flat, rules: &Rules, read: &Read, notes: &mut Vec<Note>) {
    let given = &rules.read.ignore;
    if !given.given {
        return;
    }
    let usual = Rules::default().read.ignore;
    let mut added = given.clone();
    added.more_layers.append(&mut added.layers);
    added.more_blocks.append(&mut added.blocks);
    (added.layers, added.blocks, added.given) = (usual.layers, usual.blocks, false);
    let line = with("ignore", &added, &[], &[]);
    let mut rules = rules.clone();
    rules.read.ignore = added;
    let classes = classes::classes(flat, &rules);
    let mut names = Names::default();
    let mut claimed = 0;
    for (i, item) in flat.items.iter().enumerate() {
        let back = classes.of[i] == Class::Ignore && read.classes.of[i] != Class::Ignore;
        if !back || !item.visible || matches!(item.prim, Prim::Text { .. }) {
            continue;
        }
        names.items += usize::from(item.within.is_none());
        claimed += usize::from(matches!(
            read.claims[i],
            Claim::Light | Claim::Member | Claim::Wall | Claim::Room | Claim::Device
        ));
        let layer = classes.pens.name(item);
        if of_layer(&rules, &layer).0 == Class::Ignore {
            names.all.insert((Named::Layer, layer.to_string()));
        } else if let Prim::Symbol(s) = &item.prim
            && let Some(name) = [&s.true_name, &s.block]
                .iter()
                .find(|n| of_block(&rules, n).0 == Class::Ignore)
        {
            names.all.insert((Named::Block, name.to_string()));
        }
    }
    if names.is_empty() {
        return;
    }
    let (level, taken) = match claimed {
        0 => (Level::Info, String::new()),
        n => (
            Level::Warning,
            format!(", and {n} entit(y/ies) of it are taken for lights, framing, walls, rooms or devices"),
        ),
    };
    let write = match line.contains('[') {
        true => format!("to add to those words write {line}"),
        false => "take it out to have those words".to_string(),
    };
    notes.push(Note::new(
        level,
        "read-narrowed",
        format!(
            "ignore under [read] in the rules file takes the place of the built-in words, which would have ignored {}: that is \
             not ignored now{taken}; {write}",
            names.said()
        ),
    ));
}

/// The reading without the list of one class.
struct Without {
    rules: Rules,
    classes: Classes,
    claims: Vec<Claim>,
    judged: Vec<Judged>,
}

/// Reads without the list of a class; how many lights or members that gives which are not there with it.
fn left_out(flat: &Flat, rules: &Rules, class: Class, read: &Read) -> (Without, Option<usize>) {
    let usual = Rules::default().read;
    let mut rules = rules.clone();
    let (own, words) = match class {
        Class::Light => (&mut rules.read.lights, usual.lights),
        Class::Framing => (&mut rules.read.framing, usual.framing),
        Class::Wall => (&mut rules.read.walls, usual.walls),
        Class::Room => (&mut rules.read.rooms, usual.rooms),
        _ => (&mut rules.read.devices, usual.devices),
    };
    // What the list names is of the class still.
    own.more_layers.append(&mut own.layers);
    own.more_blocks.append(&mut own.blocks);
    (own.layers, own.blocks, own.given) = (words.layers, words.blocks, false);

    let mut aside = Vec::new();
    let (classes, judged) = sorted(flat, &rules, read.without, &mut aside);
    let mut claims = vec![Claim::None; flat.items.len()];
    devices::devices(flat, &classes, &rules, &mut claims, &mut aside);
    let count = match class {
        Class::Light => {
            let (all, ..) = lights::lights(flat, &classes, &rules, &mut claims, &mut aside);
            let known = |l: &&Light| read.lights.iter().any(|o| distance(o.at, l.at) <= SAME);
            Some(all.len() - all.iter().filter(known).count())
        }
        Class::Framing => {
            let all = framing::framing(flat, &classes, &rules, &mut claims, &mut aside);
            let same = |m: &Member, o: &Member| {
                distance(m.from, o.from) <= SAME && distance(m.to, o.to) <= SAME
                    || distance(m.from, o.to) <= SAME && distance(m.to, o.from) <= SAME
            };
            let known = |m: &&Member| read.members.iter().any(|o| same(m, o));
            Some(all.len() - all.iter().filter(known).count())
        }
        _ => None,
    };
    let without = Without {
        rules,
        classes,
        claims,
        judged,
    };
    (without, count)
}

/// The names that would have told, and how many entities stand under them.
#[derive(Default)]
struct Names {
    all: BTreeSet<(Named, String)>,
    items: usize,
}

impl Names {
    fn is_empty(&self) -> bool {
        self.all.is_empty()
    }

    fn of(&self, named: Named) -> Vec<&str> {
        let all = self.all.iter().take(MOST_NAMES);
        all.filter(|(of, _)| *of == named)
            .map(|(_, name)| name.as_str())
            .collect()
    }

    fn layers(&self) -> Vec<&str> {
        self.of(Named::Layer)
    }

    fn blocks(&self) -> Vec<&str> {
        self.of(Named::Block)
    }

    fn said(&self) -> String {
        let mut all: Vec<String> = (self.layers().iter().map(|n| format!("layer {n}")))
            .chain(self.blocks().iter().map(|n| format!("block {n}")))
            .collect();
        if self.all.len() > MOST_NAMES {
            all.push(format!("{} more names", self.all.len() - MOST_NAMES));
        }
        all.join(", ")
    }
}

fn named(flat: &Flat, without: &Without, class: Class, free: &dyn Fn(usize) -> bool) -> Names {
    let mut names = Names::default();
    for (i, item) in flat.items.iter().enumerate() {
        let taken = match class {
            Class::Light => without.claims[i] == Claim::Light,
            Class::Framing => without.claims[i] == Claim::Member,
            Class::Device => without.claims[i] == Claim::Device && without.classes.of[i] == class,
            _ => without.classes.of[i] == class && !matches!(item.prim, Prim::Symbol(_)),
        };
        if !taken || !free(i) {
            continue;
        }
        names.items += usize::from(item.within.is_none());
        let judged = |named: Named, name: &str| {
            let mut all = without.judged.iter();
            all.any(|j| j.class == class && j.taken() && j.named == named && *j.name == *name)
        };
        let layer = without.classes.pens.name(item);
        if of_layer(&without.rules, &layer).0 == class || judged(Named::Layer, &layer) {
            names.all.insert((Named::Layer, layer.to_string()));
        } else if let Prim::Symbol(s) = &item.prim {
            let says =
                |n: &&&std::sync::Arc<str>| of_block(&without.rules, n).0 == class || judged(Named::Block, n);
            if let Some(name) = [&s.true_name, &s.block].iter().find(says) {
                names.all.insert((Named::Block, name.to_string()));
            }
        }
    }
    names
}

fn said(class: Class, count: usize) -> Option<String> {
    let what = match class {
        Class::Light => "light(s)",
        Class::Framing => "member(s)",
        Class::Wall => "line(s) of walls",
        Class::Room => "outline(s) of rooms",
        _ => "thing(s) in the ceiling",
    };
    (count > 0).then(|| format!("{count} {what}"))
}
