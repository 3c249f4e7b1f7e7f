//! What a layer's name says is to be demolished, existing, future, not in contract, or of another storey.
//!
//! Such lights are none to rough in, and such walls and joists are none of this ceiling: they are left out, and a note
//! for each layer says how many and which line of the rules counts them. What the rules file names is counted, and told.
//! Walls above and below and foundations are left out only where the drawing has other walls: a framing plan shows the
//! walls below, and a cellar has its foundation. What may be of the ceiling or not (beams above, lights at their
//! new place) is kept, and told.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::classes::{Class, Classes, table};
use super::lights::is_small;
use crate::flatten::{Flat, Item, Prim};
use crate::note::Note;
use crate::rules::line::with_layer;
use crate::rules::{Patterns, Rules, Status, Statuses, exactly, says_new};

/// What was left out for the status of its layer, and what was not.
#[derive(Clone, Default)]
pub struct States {
    layers: BTreeMap<Arc<str>, Layer>,
    /// Items left out, at any depth.
    out: BTreeSet<usize>,
}

#[derive(Clone)]
struct Layer {
    status: Status,
    /// The word or letter that says so.
    word: String,
    out: BTreeMap<Class, Count>,
    kept: BTreeMap<Class, Count>,
    /// The rules' patterns keep it.
    ruled: bool,
}

/// Visible INSERTs, and entities beside them.
#[derive(Clone, Copy, Default)]
struct Count {
    symbols: usize,
    entities: usize,
}

impl States {
    /// Whether an item was left out.
    pub fn holds(&self, item: usize) -> bool {
        self.out.contains(&item)
    }

    /// Why a class that a layer's name gives is left out, in one clause.
    pub fn why(&self, layer: &str, class: Class) -> Option<String> {
        let said = self.layers.get(layer)?;
        let out = said.out.contains_key(&class);
        out.then(|| {
            format!(
                "the word {} in its name: what is on it {}",
                said.word,
                meaning(said.status)
            )
        })
    }
}

enum Fate {
    Out,
    /// Counted, and told.
    Kept,
    Nothing,
}

/// `others`: whether other layers hold some of the class.
fn fate(status: Status, class: Class, others: bool) -> Fate {
    use Status::*;
    match (class, status) {
        (
            Class::Light,
            Demolished | Existing | Future | NotInContract | Abandoned | Temporary | Alternate | Superseded
            | Old | Void | Below,
        ) => Fate::Out,
        (Class::Light, Moved) => Fate::Kept,
        (Class::Wall, Demolished | Future | Temporary | Superseded) => Fate::Out,
        (Class::Wall, Above | Below | Foundation) if others => Fate::Out,
        (Class::Framing, Demolished | Future | Superseded) => Fate::Out,
        (Class::Framing, Below) if others => Fate::Out,
        (Class::Framing, Above) if others => Fate::Kept,
        (Class::Room, Demolished | Future | Superseded) | (Class::Device, Demolished | Superseded) => {
            Fate::Out
        }
        (Class::Wall | Class::Framing, Old) => Fate::Kept,
        _ => Fate::Nothing,
    }
}

/// Leaves out what the status of its layer says is none of this ceiling: its class becomes [`Class::Ignore`].
pub fn leave_out(flat: &Flat, classes: &mut Classes, rules: &Rules) {
    let names: BTreeSet<&Arc<str>> = flat.items.iter().map(|i| &i.layer).collect();
    let lettered = names.iter().any(|name| says_new(name));
    let statuses = Statuses::default();
    let mut layers: BTreeMap<Arc<str>, Layer> = BTreeMap::new();
    for name in names {
        let Some((status, word)) = statuses.of(name, lettered) else {
            continue;
        };
        let layer = Layer {
            status,
            word,
            out: BTreeMap::new(),
            kept: BTreeMap::new(),
            ruled: false,
        };
        layers.insert(name.clone(), layer);
    }
    if layers.is_empty() {
        return;
    }
    let elsewhere: BTreeSet<Class> = (flat.items.iter().zip(&classes.of))
        .filter(|(item, _)| item.visible && !layers.contains_key(&item.layer))
        .map(|(_, class)| *class)
        .collect();
    let given: BTreeMap<Class, &Patterns> = table(&rules.read).into_iter().collect();
    let ruled = |class: Class, item: &Item| {
        let by_block = |p: &Patterns| match &item.prim {
            Prim::Symbol(s) => [&s.true_name, &s.block]
                .iter()
                .any(|n| p.block_ruled(n).is_some()),
            _ => false,
        };
        (given.get(&class)).is_some_and(|p| p.given || p.layer_ruled(&item.layer).is_some() || by_block(p))
    };
    let mut out = BTreeSet::new();
    for (i, item) in flat.items.iter().enumerate() {
        let class = classes.of[i];
        let Some(layer) = layers.get_mut(&item.layer) else {
            continue;
        };
        if out.contains(&i) {
            continue;
        }
        // The rules may name its blocks for other layers, and ignore this one.
        let ignored = rules.read.ignore.layer_ruled(&item.layer).is_some();
        let by_rules = ruled(class, item) && !ignored;
        let counted = match fate(layer.status, class, elsewhere.contains(&class)) {
            Fate::Nothing => continue,
            Fate::Out if !by_rules => {
                out.insert(i);
                if matches!(item.prim, Prim::Symbol(_)) && is_small(flat, classes, i) {
                    out.extend(classes.all_inside(i));
                }
                if ignored {
                    continue;
                }
                &mut layer.out
            }
            Fate::Kept if by_rules => continue,
            _ => {
                layer.ruled |= by_rules;
                &mut layer.kept
            }
        };
        // What stands in a symbol of the same layer is counted with it.
        let within = item
            .within
            .filter(|&w| w < i && flat.items[w].layer == item.layer);
        if item.visible && within.is_none() {
            let count = counted.entry(class).or_default();
            match item.prim {
                Prim::Symbol(_) => count.symbols += 1,
                Prim::Text { .. } => {}
                _ => count.entities += 1,
            }
        }
    }
    for &i in &out {
        classes.of[i] = Class::Ignore;
    }
    classes.states = States { layers, out };
}

/// A note for each layer of which something was left out, or counted in doubt.
pub fn told(classes: &Classes, rules: &Rules, notes: &mut Vec<Note>) {
    for (name, layer) in &classes.states.layers {
        let (word, meaning) = (&layer.word, meaning(layer.status));
        for (class, count) in &layer.out {
            if let Some((many, are)) = said(*count) {
                notes.push(Note::warning(
                    "layer-status",
                    format!(
                        "{many} on layer {name} {are} not {}: what is on it {meaning}, by {word} in its name; if they \
                         are {}, write {} under [read] in bayline.toml",
                        taken(*class),
                        if_they_are(*class),
                        {
                            let (key, patterns) = class.section(&rules.read);
                            with_layer(key, patterns, name)
                        },
                    ),
                ));
            }
        }
        for (class, count) in &layer.kept {
            let Some((many, are)) = said(*count) else {
                continue;
            };
            let why = match layer.ruled {
                true => " since the rules name them",
                false => "",
            };
            let message = format!(
                "{many} on layer {name} {are} {}{why}, though what is on it {meaning}, by {word} in its name; if they are \
                 none of this ceiling, name the layer under [read] ignore in bayline.toml",
                taken(*class),
            );
            let named = table(&rules.read).iter().any(|(c, p)| {
                let exact = exactly(name);
                c == class && p.ruled_layers().any(|l| l.eq_ignore_ascii_case(&exact))
            });
            if !named {
                notes.push(Note::warning("layer-status", message));
            }
        }
    }
}

fn said(count: Count) -> Option<(String, &'static str)> {
    let s = |n: usize, one: &str, many: &str| format!("{n} {}", if n == 1 { one } else { many });
    let many = match (count.symbols, count.entities) {
        (0, 0) => return None,
        (0, n) => s(n, "entity", "entities"),
        (n, 0) => s(n, "symbol", "symbols"),
        (n, m) => format!("{} and {}", s(n, "symbol", "symbols"), s(m, "entity", "entities")),
    };
    Some((
        many,
        if count.symbols + count.entities == 1 {
            "is"
        } else {
            "are"
        },
    ))
}

fn meaning(status: Status) -> &'static str {
    match status {
        Status::Demolished => "is to be removed",
        Status::Existing => "is existing work",
        Status::Future => "is future work",
        Status::NotInContract => "is not in contract",
        Status::Abandoned => "is abandoned",
        Status::Temporary => "is temporary",
        Status::Alternate => "is an alternate or an option",
        Status::Superseded => "is superseded or deleted",
        Status::Old => "is old or superseded",
        Status::Void => "is void",
        Status::Moved => "is moved",
        Status::Above => "is above",
        Status::Below => "is below",
        Status::Foundation => "is a foundation",
    }
}

fn taken(class: Class) -> &'static str {
    match class {
        Class::Light => "counted as lights to rough in",
        Class::Framing => "read as this ceiling's framing",
        Class::Wall => "read as walls",
        Class::Room => "read as rooms",
        _ => "kept clear of",
    }
}

fn if_they_are(class: Class) -> &'static str {
    match class {
        Class::Light => "to be roughed in",
        Class::Framing => "this ceiling's",
        Class::Wall => "walls of these rooms",
        Class::Room => "rooms of this ceiling",
        _ => "in this ceiling",
    }
}
