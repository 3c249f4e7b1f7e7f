//! What each layer and block was taken for, why, and what became of what is on it.

use std::collections::BTreeMap;
use std::sync::Arc;

use geo::Coord;

use super::classes::{Claim, Class, of_block, of_layer};
use super::evidence::{Basis, Judged};
use super::register::take_over::{Placed, Second};
use super::{Recognised, claimed, devices, shape, sure};
use crate::flatten::{Flat, Prim};
use crate::note::Note;
use crate::plan::{Plan, Units};
use crate::rules::Rules;

/// What an entity became, in the order of the legend.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Became {
    Light,
    Framing,
    Wall,
    Room,
    Device,
    /// On a light layer, but no recessed light: switch legs, other fixtures.
    LightLinework,
    /// Holds something that was claimed.
    Holder,
    Ignored,
    Unclaimed,
    /// Off, frozen or invisible, and so not read.
    Hidden,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Named {
    Layer,
    Block,
}

/// One layer or block.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    pub named: Named,
    pub name: String,
    /// Entities on the layer, or INSERTs of the block.
    pub count: usize,
    /// What the name alone says; `Unclaimed` where it says nothing.
    pub class: Became,
    /// One clause: what in the name, or in the rules, decided.
    pub why: String,
    /// How sure that is, from 0 to 1: 1 is the rules file's word, the rest by the name and by what is drawn under
    /// it. `None` where it was taken for nothing.
    pub confidence: Option<f64>,
    /// What is drawn under a name that decides, in one clause.
    pub seen: Option<String>,
    /// What it may be, where it was taken for nothing and is asked about.
    pub may_be: Option<Became>,
    /// What became of the entities; the numbers add up to `count`.
    pub became: BTreeMap<Became, usize>,
}

/// A line as drawn, and what it became. Points in inches.
#[derive(Clone, Debug, PartialEq)]
pub struct Shown {
    pub became: Became,
    pub points: Vec<Coord>,
    pub closed: bool,
}

/// A plan explained.
#[derive(Clone, Debug, PartialEq)]
pub struct Readings {
    pub plan: Plan,
    pub notes: Vec<Note>,
    pub readings: Vec<Reading>,
    pub shown: Vec<Shown>,
    /// How the second drawing's framing was placed.
    pub placed: Option<Placed>,
}

/// Recognises, and tells of every layer and block what it was taken for: layers first, by name.
pub fn readings(flat: &Flat, units: &Units, rules: &Rules, second: Option<&Second>) -> Readings {
    explained(flat, units, rules, second, true)
}

/// The same without the lines as drawn.
pub fn decisions(flat: &Flat, units: &Units, rules: &Rules, second: Option<&Second>) -> Readings {
    explained(flat, units, rules, second, false)
}

fn explained(flat: &Flat, units: &Units, rules: &Rules, second: Option<&Second>, lines: bool) -> Readings {
    let Recognised {
        plan,
        notes,
        claims,
        classes,
        judged,
        sure,
        placed,
        aside,
    } = claimed(flat, units, rules, second);
    let mut found: BTreeMap<(Named, Arc<str>), Reading> = BTreeMap::new();
    let mut shown = Vec::new();
    let ceiling = devices::at_the_ceiling();
    for ((item, claim), class) in flat.items.iter().zip(&claims).zip(&classes.of) {
        let became = if item.visible {
            of_claim(*claim)
        } else {
            Became::Hidden
        };
        let mut add = |named, name: &Arc<str>| {
            let entry = found.entry((named, name.clone())).or_insert_with(|| {
                let (class, why) = match named {
                    Named::Layer => of_layer(rules, name),
                    Named::Block => of_block(rules, name),
                };
                let status = match named {
                    Named::Layer => classes.states.why(name, class),
                    Named::Block => None,
                };
                let class = if status.is_some() { Class::Ignore } else { class };
                let by_legend = |j: &Judged| j.basis == Basis::LegendOverName && j.taken();
                let seen = (judged.iter())
                    .filter(|j| {
                        (class == Class::Other || by_legend(j)) && j.named == named && j.name == *name
                    })
                    .max_by(|a, b| a.confidence.total_cmp(&b.confidence));
                let taken = seen.filter(|j| j.taken());
                let sure = sure.get(&(named, name.to_string()));
                let confidence = (taken.map(|j| j.confidence)).or(sure.map(|s| s.confidence));
                Reading {
                    named,
                    name: name.to_string(),
                    count: 0,
                    class: of_class(taken.map_or(class, |j| j.class)),
                    why: seen.map_or_else(
                        || sure.map_or_else(|| status.unwrap_or_else(|| why.said()), |s| s.why.clone()),
                        Judged::said,
                    ),
                    confidence,
                    seen: sure.and_then(|s| s.seen.clone()),
                    may_be: seen
                        .filter(|j| !j.taken() && matches!(j.basis, Basis::Nothing | Basis::Half))
                        .map(|j| of_class(j.class)),
                    became: BTreeMap::new(),
                }
            });
            entry.count += 1;
            *entry.became.entry(became).or_insert(0) += 1;
        };
        add(Named::Layer, &classes.pens.name(item));
        if let Prim::Symbol(s) = &item.prim {
            // The name a block goes by is asked first, then the one it is stored under.
            let says = |name: &str| of_block(rules, name).0 != Class::Other;
            let name = if s.true_name != s.block && !says(&s.true_name) && says(&s.block) {
                &s.block
            } else {
                &s.true_name
            };
            add(Named::Block, name);
            // Something in it may be on a light layer though it is not.
            let set_apart = *class == Class::Light
                || *class == Class::Other && matches!(claim, Claim::Device | Claim::LightLinework);
            if set_apart
                && classes.no_recessed_light(s)
                && let Some(entry) = found.get_mut(&(Named::Block, name.clone()))
            {
                // Written so, it is kept clear of again.
                let obstructs = devices::obstructs(&ceiling, s);
                entry.class = if obstructs {
                    Became::Device
                } else {
                    Became::Ignored
                };
                entry.why = "its name says that it is no recessed light".to_string();
                entry.confidence = Some(sure::Says::Word.weight());
                entry.seen = None;
            }
        } else if lines
            && item.visible
            && let Some((points, closed)) = shape::chords(&item.prim)
        {
            shown.push(Shown {
                became,
                points,
                closed,
            });
        }
    }
    for layer in aside {
        if let Some(entry) = found.get_mut(&(Named::Layer, layer)) {
            entry.class = Became::Unclaimed;
            entry.why = "it lies over other framing, and is not the ceiling's for certain".to_string();
            (entry.confidence, entry.seen) = (None, None);
        }
    }
    Readings {
        plan,
        notes,
        readings: found.into_values().collect(),
        shown,
        placed,
    }
}

fn of_class(class: Class) -> Became {
    match class {
        Class::Light => Became::Light,
        Class::Framing => Became::Framing,
        Class::Wall => Became::Wall,
        Class::Room => Became::Room,
        Class::Device => Became::Device,
        Class::Ignore => Became::Ignored,
        Class::Other => Became::Unclaimed,
    }
}

fn of_claim(claim: Claim) -> Became {
    match claim {
        Claim::None => Became::Unclaimed,
        Claim::Light => Became::Light,
        Claim::LightLinework => Became::LightLinework,
        Claim::Member | Claim::Callout => Became::Framing,
        Claim::Wall => Became::Wall,
        Claim::Room | Claim::RoomName => Became::Room,
        Claim::Device => Became::Device,
        Claim::Ignored => Became::Ignored,
        Claim::Holder => Became::Holder,
    }
}
