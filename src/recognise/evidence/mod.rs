//! What layers and blocks are whose names tell nothing (`0`, `L23`, `A$C1234`), by what is drawn on them.
//!
//! A class is sought only where the rules leave it open and no name says it (devices, of which there are many
//! kinds, beside named ones too), first on names that say nothing at all, then on those that tell [`half`]: a layer
//! called DECK is not asked whether it is framing. Each judgement adds up facts to a
//! confidence from 0 to 1 and says them. From [`TAKEN`] on it is acted on, with a note; from [`ASKED`] on it is
//! asked about; below it is left. The weights are common practice, set so that framing counts only where it is drawn with its
//! thickness at a usual pitch and spans walls, and lights only where one kind of symbol alone stands in rows
//! in rooms.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use geo::Coord;

use super::classes::{Class, Classes};
use super::reading::Named;
use super::shape::{distance, point_to_segment};
use super::walls::{faces, only_filled};
use crate::flatten::{Flat, Prim};
use crate::note::Note;
use crate::rules::{Patterns, Rules, listed};

mod devices;
mod empty;
mod explained;
mod framing;
mod groups;
mod half;
mod lettered;
mod lights;
mod more;
mod rooms;
mod said;

pub(super) use empty::says_nothing;
pub use framing::{OFF_PITCH, PITCHES, beside, crosses, is_lumber};
pub use said::candidates;
use said::{told, word};

/// Acted on from here.
const TAKEN: f64 = 0.85;
/// Asked about from here.
const ASKED: f64 = 0.5;
/// What something may be as well is this near in confidence to what it most likely is.
const NEAR: f64 = 0.1;
/// A layer that holds this share of all that no name tells of is all there is.
const WHOLE: f64 = 0.9;
/// A layer of more entities than this is not looked through.
const MOST: usize = 3000;
/// Windows and doors, as ISO 13567 numbers its layers (CI/SfB table 1, from memory).
const OPENINGS: &str = "#31 #32";
/// A layer or block judged by what is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    pub named: Named,
    pub name: Arc<str>,
    pub class: Class,
    /// Entities, or INSERTs of a block, that say so.
    pub count: usize,
    pub confidence: f64,
    /// What was seen, in one clause.
    pub why: String,
    pub basis: Basis,
}

/// What the name says of something judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// Nothing.
    Nothing,
    /// It, or that of the layer, tells half: it is no word for the class, and none for anything else.
    Half,
    /// It is no known word, and a legend says what it is.
    Legend,
    /// It says something else than a legend does.
    LegendOverName,
}

impl Judged {
    pub fn taken(&self) -> bool {
        self.confidence >= TAKEN - 1e-9
    }

    /// The reason in one clause, with its confidence where that was too little.
    pub fn said(&self) -> String {
        let why = &self.why;
        let name = match self.basis {
            Basis::Nothing => "nothing",
            Basis::Half => "no known word",
            Basis::Legend | Basis::LegendOverName => return why.clone(),
        };
        match self.taken() {
            true => format!("{name} in its name; {why}"),
            false => format!(
                "{name} in its name; may be {}: {why} (confidence {:.2})",
                word(self.class),
                self.confidence
            ),
        }
    }
}

/// What tells nothing by name.
#[derive(Default)]
struct Blank {
    /// Visible items of no class on each layer, in order; of layers that are told apart by colour, on each pen.
    layers: BTreeMap<Arc<str>, Vec<usize>>,
    /// Layers that hold too much to be looked through.
    crowded: Vec<Arc<str>>,
}

/// Classes that neither the rules nor any name give.
struct Open {
    room: bool,
    wall: bool,
    framing: bool,
    light: bool,
    device: bool,
}

impl Open {
    fn of(flat: &Flat, classes: &Classes, rules: &Rules) -> Self {
        let read = &rules.read;
        let by_name: BTreeSet<Class> = (0..flat.items.len())
            .filter(|&i| flat.items[i].visible && !classes.only_more(i))
            .map(|i| classes.of[i])
            .collect();
        let open = |class: Class, patterns: &Patterns| !patterns.given && !by_name.contains(&class);
        Open {
            room: open(Class::Room, &read.rooms),
            wall: open(Class::Wall, &read.walls),
            framing: open(Class::Framing, &read.framing),
            light: open(Class::Light, &read.lights),
            // There are many kinds of them: a name of one says nothing of the others.
            device: !read.devices.given,
        }
    }

    /// Whether anything is open that tells a drawing's unit.
    fn house(&self) -> bool {
        self.room || self.wall || self.framing || self.light
    }

    fn any(&self) -> bool {
        self.house() || self.device
    }

    /// Those of them that tell a drawing's unit.
    fn classes(&self) -> impl Iterator<Item = Class> + use<> {
        let all = [
            (self.room, Class::Room),
            (self.wall, Class::Wall),
            (self.framing, Class::Framing),
            (self.light, Class::Light),
        ];
        all.into_iter().filter(|(open, _)| *open).map(|(_, class)| class)
    }
}

/// Whether there is anything to judge that tells a unit: a class that is open, devices aside, and a layer whose name
/// says nothing or half.
pub fn asked(flat: &Flat, classes: &Classes, rules: &Rules) -> bool {
    let open = Open::of(flat, classes, rules);
    let any = |layers: Blank| !layers.layers.is_empty();
    open.house() && (any(blank(flat, classes)) || any(half::layers(flat, classes, &open)))
}

/// How sure it is that what is on layers called framing is drawn as framing, and what was seen.
pub fn framing_by_name(flat: &Flat, classes: &Classes, rules: &Rules) -> Option<(f64, String)> {
    framing::by_name(flat, classes, rules, &rooms::House::new(flat, classes))
}

/// Judges, puts what is certain enough into `classes`, and tells.
pub fn weigh(flat: &Flat, classes: &mut Classes, rules: &Rules, notes: &mut Vec<Note>) -> Vec<Judged> {
    lettered::settle(flat, classes, rules, notes);
    let (judged, crowded) = judged(flat, classes, rules);
    told(&judged, &crowded, rules, notes);
    judged
}

/// Judges, and puts what is certain enough into `classes`. Also the layers that hold too much to be looked
/// through. Where that leaves a class open, and layers whose names say nothing are drawn in several colours, each
/// colour is judged by itself, and holds where it tells more.
pub fn judged(flat: &Flat, classes: &mut Classes, rules: &Rules) -> (Vec<Judged>, Vec<Arc<str>>) {
    let mut judged = explained::explained(flat, classes, rules);
    let open = Open::of(flat, classes, rules);
    let read = &rules.read;
    let given = more::Given {
        lights: !open.light && !read.lights.given,
        framing: !open.framing && !read.framing.given,
        walls: !open.wall && !read.walls.given && open.room,
    };
    let (found, crowded) = judged_as_drawn(flat, classes, rules);
    judged.extend(found);
    judged.extend(more::more(flat, classes, rules, given));
    judged.retain(|j| j.confidence >= ASKED);
    let judged = one_question(judged);
    (judged, crowded)
}

/// What may be of several classes is asked about as the likeliest only, unless another is near.
fn one_question(judged: Vec<Judged>) -> Vec<Judged> {
    let mut best: BTreeMap<(Named, Arc<str>), f64> = BTreeMap::new();
    for j in judged.iter().filter(|j| !j.taken()) {
        let best = best.entry((j.named, j.name.clone())).or_insert(j.confidence);
        *best = best.max(j.confidence);
    }
    let near = |j: &Judged| {
        let best = best.get(&(j.named, j.name.clone()));
        best.is_none_or(|best| j.confidence > best - NEAR - 1e-9)
    };
    judged.into_iter().filter(|j| j.taken() || near(j)).collect()
}

fn judged_as_drawn(flat: &Flat, classes: &mut Classes, rules: &Rules) -> (Vec<Judged>, Vec<Arc<str>>) {
    let open = Open::of(flat, classes, rules);
    if !open.any() {
        return (Vec::new(), Vec::new());
    }
    let (mut by_color, mut by_lumber) = (None, None);
    let whole = open.house().then(|| whole(flat, classes)).flatten();
    let empty = |name: &str| says_nothing(name) || whole.as_deref() == Some(name);
    if open.house() {
        let all = all(flat, classes, &empty);
        let layers = || all.iter().map(|(l, items)| (l, items.as_slice()));
        by_color = classes.pens.with(flat, layers());
        if open.framing {
            let few = layers().filter(|(_, items)| items.len() <= MOST);
            by_lumber = classes.pens.with_lumber(flat, few);
        }
    }
    let before = classes.clone();
    let mut found = judged_as_named(flat, classes, rules, &open);
    for (pens, class) in [
        (by_color, None),
        (by_lumber, Some(Class::Framing)),
        (None, Some(Class::Light)),
    ] {
        let pens = match class {
            // Circles beside what the walls and the framing were found to be.
            Some(Class::Light) if open.light => {
                let all = all(flat, &before, &empty);
                let few = all.iter().filter(|(_, items)| items.len() <= MOST);
                classes
                    .pens
                    .with_circles(flat, few.map(|(l, items)| (l, items.as_slice())))
            }
            _ => pens,
        };
        let Some(pens) = pens else { continue };
        let told = told_classes(&found.0);
        let enough = match class {
            Some(class) => told.contains(&class),
            None => open.classes().all(|class| told.contains(&class)),
        };
        if enough {
            continue;
        }
        let mut apart = before.clone();
        apart.pens = pens;
        let parted = judged_as_named(flat, &mut apart, rules, &open);
        let more = told_classes(&parted.0).len();
        // Framing asked about beats framing of which nothing is said.
        let asked = |judged: &[Judged]| class.is_some_and(|c| judged.iter().any(|j| j.class == c));
        if more > told.len() || more == told.len() && asked(&parted.0) && !asked(&found.0) {
            *classes = apart;
            found = parted;
        }
    }
    found
}

/// The classes that something was taken for, devices aside.
fn told_classes(judged: &[Judged]) -> BTreeSet<Class> {
    (judged.iter())
        .filter(|j| j.taken() && j.class != Class::Device)
        .map(|j| j.class)
        .collect()
}

fn judged_as_named(
    flat: &Flat,
    classes: &mut Classes,
    rules: &Rules,
    open: &Open,
) -> (Vec<Judged>, Vec<Arc<str>>) {
    let mut blank = blank(flat, classes);
    let mut judged = Vec::new();
    if open.room {
        let found = rooms::rooms(flat, &blank);
        settle(flat, found, &mut blank, classes, &mut judged);
    }
    if open.wall {
        let found = rooms::walls(flat, classes, &blank);
        settle(flat, found, &mut blank, classes, &mut judged);
    }
    if open.device {
        let found = devices::devices(flat, classes, rules, &blank);
        settle(flat, found, &mut blank, classes, &mut judged);
        let of = &classes.of;
        (blank.layers.values_mut()).for_each(|items| items.retain(|&i| of[i] == Class::Other));
    }
    if open.framing || open.light {
        let house = rooms::House::new(flat, classes);
        if open.framing {
            let found = framing::framing(flat, classes, rules, &blank, &house);
            settle(flat, found, &mut blank, classes, &mut judged);
        }
        if open.light {
            let found = lights::lights(flat, classes, rules, (&blank, &house), None, &[]);
            settle(flat, found, &mut blank, classes, &mut judged);
        }
    }
    half::weigh(flat, classes, rules, open, &mut blank, &mut judged);
    judged.retain(|j| j.confidence >= ASKED);
    // A layer that is one thing is not asked whether it is another.
    let sure: BTreeSet<Arc<str>> = (judged.iter())
        .filter(|j| j.taken() && j.named == Named::Layer)
        .map(|j| j.name.clone())
        .collect();
    judged.retain(|j| j.taken() || !sure.contains(&j.name));
    (judged, blank.crowded)
}

/// Gives what is on the layers that were taken its class. Circles that are lights say nothing of the symbols
/// beside them, nor do walls of symbols on their layer.
fn settle(
    flat: &Flat,
    found: Vec<Judged>,
    blank: &mut Blank,
    classes: &mut Classes,
    judged: &mut Vec<Judged>,
) {
    for j in found {
        let items = (j.taken() && j.named == Named::Layer)
            .then(|| blank.layers.remove(&j.name))
            .flatten();
        let mut left = Vec::new();
        for i in items.into_iter().flatten() {
            let item = &flat.items[i];
            let symbol = item.within.is_some() || matches!(item.prim, Prim::Symbol(_));
            match j.class {
                Class::Light if symbol => {}
                Class::Wall if symbol && in_small(flat, classes, i) => left.push(i),
                class => classes.of[i] = class,
            }
        }
        if !left.is_empty() {
            blank.layers.insert(j.name.clone(), left);
        }
        judged.push(j);
    }
}

/// Whether an item is a symbol of a fixture's size, or stands in one.
fn in_small(flat: &Flat, classes: &Classes, item: usize) -> bool {
    let mut at = Some(item);
    while let Some(i) = at {
        if matches!(flat.items[i].prim, Prim::Symbol(_)) && groups::small(flat, classes, i) {
            return true;
        }
        at = flat.items[i].within.filter(|&w| w < i);
    }
    false
}

/// Layers whose names say nothing, and what is on them.
fn blank(flat: &Flat, classes: &Classes) -> Blank {
    let elements = listed(OPENINGS);
    let whole = whole(flat, classes);
    gathered(flat, classes, &|name| {
        says_nothing(name) && !elements.layer_matches(name) || whole.as_deref() == Some(name)
    })
}

/// The layer that holds nearly all that is of no class, where no name says what walls or framing are: whatever it is called, its
/// name tells no thing on it from another.
fn whole(flat: &Flat, classes: &Classes) -> Option<Arc<str>> {
    let mut counts: BTreeMap<&Arc<str>, usize> = BTreeMap::new();
    for (item, class) in flat
        .items
        .iter()
        .zip(&classes.of)
        .filter(|(item, _)| item.visible)
    {
        match class {
            Class::Wall | Class::Framing => return None,
            Class::Other if !matches!(item.prim, Prim::Text { .. }) => {
                *counts.entry(&item.layer).or_insert(0) += 1;
            }
            _ => {}
        }
    }
    let all: usize = counts.values().sum();
    let (layer, count) = counts.into_iter().max_by_key(|(_, n)| *n)?;
    let most = count as f64 >= WHOLE * all as f64;
    (most && half::Half::new().tells(layer)).then(|| layer.clone())
}

/// Layers of no class whose names are `sought`, and what is on them.
fn gathered(flat: &Flat, classes: &Classes, sought: &dyn Fn(&str) -> bool) -> Blank {
    let mut layers = all(flat, classes, sought);
    let crowded = (layers.iter().filter(|(_, items)| items.len() > MOST))
        .map(|(layer, _)| layer.clone())
        .collect();
    layers.retain(|_, items| items.len() <= MOST);
    Blank { layers, crowded }
}

/// The same, the crowded ones among them.
fn all(flat: &Flat, classes: &Classes, sought: &dyn Fn(&str) -> bool) -> BTreeMap<Arc<str>, Vec<usize>> {
    let mut says: BTreeMap<&str, bool> = BTreeMap::new();
    let mut layers: BTreeMap<Arc<str>, Vec<usize>> = BTreeMap::new();
    for (i, item) in flat.items.iter().enumerate() {
        if item.visible
            && classes.of[i] == Class::Other
            && *says.entry(&item.layer).or_insert_with(|| sought(&item.layer))
        {
            layers.entry(classes.pens.name(item)).or_default().push(i);
        }
    }
    layers
}

/// Straight sides of what is drawn.
fn sides(flat: &Flat, items: &[usize]) -> Vec<(Coord, Coord)> {
    let filled = only_filled(flat, items.iter().copied());
    let straight = |i: &&usize| match flat.items[**i].prim {
        Prim::Segment { .. } | Prim::Path { .. } => true,
        Prim::Region { .. } | Prim::Face(_) => filled,
        _ => false,
    };
    (items.iter().filter(straight))
        .filter_map(|&i| faces(&flat.items[i].prim, filled))
        .flatten()
        .collect()
}

fn length_of(sides: &[(Coord, Coord)]) -> f64 {
    sides.iter().map(|(a, b)| distance(*a, *b)).sum()
}

/// Distance from a point to the nearest of some sides.
fn to_sides(p: Coord, sides: &[(Coord, Coord)]) -> f64 {
    let each = sides.iter().map(|(a, b)| point_to_segment(p, *a, *b));
    each.fold(f64::INFINITY, f64::min)
}
