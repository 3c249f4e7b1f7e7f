//! What class each item belongs to, by layer and block name, and what became of it.
//!
//! Words: an item's *class* is what its names say; its *claim* is what recognition made of it.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::pens::{self, Pens};
use super::status::{self, States};
use crate::flatten::{Flat, Prim, Symbol};
use crate::rules::{Luminaire, Patterns, ReadRules, Rules, glob_matches, said_word};

/// What an item's names say it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Class {
    Light,
    Framing,
    Wall,
    Room,
    Device,
    Ignore,
    Other,
}

impl Class {
    /// The key under `[read]` of a class, and what is given there; that of what is ignored for what is of none.
    pub fn section(self, read: &ReadRules) -> (&'static str, &Patterns) {
        match self {
            Class::Light => ("lights", &read.lights),
            Class::Framing => ("framing", &read.framing),
            Class::Wall => ("walls", &read.walls),
            Class::Room => ("rooms", &read.rooms),
            Class::Device => ("devices", &read.devices),
            Class::Ignore | Class::Other => ("ignore", &read.ignore),
        }
    }
}

/// What recognition made of an item.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Claim {
    #[default]
    None,
    /// Part of a light's symbol.
    Light,
    /// On a light layer, but no light: switch legs, notes.
    LightLinework,
    Member,
    /// Words of framing that is not drawn, and the line that tells its direction.
    Callout,
    Wall,
    Room,
    /// Text that named a room.
    RoomName,
    Device,
    /// The rules say to ignore it.
    Ignored,
    /// An INSERT of which something was claimed.
    Holder,
}

/// Layers that our own redlines are drawn on begin so.
const REDLINE: &str = "E-ANNO-REDL-";

/// Classes and nesting of a flat drawing's items.
#[derive(Clone)]
pub struct Classes {
    pub of: Vec<Class>,
    /// Items that stand directly in each item.
    pub inside: Vec<Vec<usize>>,
    /// Layers that are told apart by colour.
    pub pens: Pens,
    /// What the names of blocks that stand in the drawing say.
    blocks: BTreeMap<Arc<str>, Says>,
    /// What a legend says of blocks.
    explained: BTreeMap<Arc<str>, Arc<str>>,
    /// What findings call an item, where its letter in a legend tells it from others of its figure.
    lettered: BTreeMap<usize, Arc<str>>,
    /// Blocks that are told apart so.
    letters: BTreeSet<Arc<str>>,
    /// What the status of its layer leaves out.
    pub states: States,
    /// Whether an item is of its class only by what the rules call more of that; empty where they call nothing so.
    more: Vec<bool>,
    /// What is drawn loose and no light, by its name in the rules: it still tells what stands about it.
    pub settled: BTreeSet<usize>,
}

#[derive(Clone, Copy)]
struct Says {
    class: Class,
    no_recessed_light: bool,
    /// A built-in word, no pattern of the rules, says to ignore it.
    passed_over: bool,
    /// Nothing but what stands beside it tells that it is no recessed light.
    asked_about: bool,
    /// Nothing in the rules names it.
    by_word: bool,
}

impl Classes {
    /// Whether a symbol's names say that it is no recessed light, whatever layer it stands on.
    pub fn no_recessed_light(&self, symbol: &Symbol) -> bool {
        self.says(symbol, |s| s.no_recessed_light)
    }

    /// Whether one of a symbol's names is a light's.
    pub fn called_light(&self, symbol: &Symbol) -> bool {
        self.says(symbol, |s| s.class == Class::Light)
    }

    /// From now on symbols of a block are no recessed lights, though no word of its name says so.
    pub fn set_apart(&mut self, block: &Arc<str>) {
        if let Some(says) = self.blocks.get_mut(block) {
            says.no_recessed_light = true;
            says.asked_about = true;
        }
    }

    /// From now on a block is what a legend's words say, whatever its name says.
    pub fn explain(&mut self, block: &Arc<str>, class: Class, words: &str) {
        let says = Says {
            class,
            no_recessed_light: class != Class::Light,
            passed_over: false,
            asked_about: false,
            by_word: true,
        };
        self.blocks.insert(block.clone(), says);
        self.call(block, words);
    }

    /// From now on findings call a block by a legend's words.
    pub fn call(&mut self, block: &Arc<str>, words: &str) {
        self.explained.insert(block.clone(), words.into());
    }

    /// From now on symbols of a block are told apart by letters.
    pub fn by_letter(&mut self, block: &Arc<str>) {
        self.letters.insert(block.clone());
    }

    /// Whether they are.
    pub fn has_letters(&self, block: &Arc<str>) -> bool {
        self.letters.contains(block)
    }

    /// From now on findings call one item so.
    pub fn call_one(&mut self, item: usize, words: &str) {
        self.lettered.insert(item, words.into());
    }

    /// What findings call one item.
    pub fn called_one(&self, item: usize) -> Option<&Arc<str>> {
        self.lettered.get(&item)
    }

    /// A legend's words for a symbol.
    pub fn words(&self, symbol: &Symbol) -> Option<&Arc<str>> {
        self.explained.get(&symbol.true_name)
    }

    /// Whether a symbol was [`Classes::set_apart`], and told of already.
    pub fn asked_about(&self, symbol: &Symbol) -> bool {
        self.says(symbol, |s| s.asked_about)
    }

    /// Whether a built-in word in one of a symbol's names says to ignore it: DOOR, TABLE, WASHER.
    pub fn passed_over(&self, symbol: &Symbol) -> bool {
        self.says(symbol, |s| s.passed_over)
    }

    fn says(&self, symbol: &Symbol, what: impl Fn(&Says) -> bool) -> bool {
        [&symbol.true_name, &symbol.block]
            .into_iter()
            .any(|name| self.blocks.get(name).is_some_and(&what))
    }

    /// Whether an item is of its class only by what the rules call more of it: neither a name nor the rules have
    /// said where that class is.
    pub fn only_more(&self, item: usize) -> bool {
        self.more.get(item).copied().unwrap_or(false)
    }

    /// Whether one of a symbol's names is what the rules call more lights.
    pub fn more_lights(&self, symbol: &Symbol, rules: &Rules) -> bool {
        let lights = &rules.read.lights;
        !lights.given
            && [&symbol.true_name, &symbol.block]
                .iter()
                .any(|n| lights.block_ruled(n).is_some())
    }

    /// Every item that stands in `item` at any depth, in order.
    pub fn all_inside(&self, item: usize) -> Vec<usize> {
        let mut found = Vec::new();
        let mut open: Vec<usize> = self.inside[item].clone();
        open.reverse();
        while let Some(i) = open.pop() {
            found.push(i);
            open.extend(self.inside[i].iter().rev());
        }
        found
    }
}

/// What in a name, or in the rules, decided.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Why<'a> {
    /// A pattern under `[read]`.
    Pattern(&'a str),
    /// A luminaire of the rules goes by that block.
    Luminaire(&'a Luminaire),
    /// A built-in word.
    Word(&'a str),
    Nothing,
}

impl Why<'_> {
    /// The reason in one clause.
    pub fn said(self) -> String {
        match self {
            Why::Pattern(entry) => format!("the rules' pattern \"{entry}\""),
            Why::Luminaire(luminaire) => format!("the rules' luminaire {} goes by it", luminaire.tag),
            Why::Word(entry) => said_word(entry),
            Why::Nothing => "nothing in its name".to_string(),
        }
    }
}

/// Sorts every item into a class. The user's own patterns are asked before built-in ones, so that
/// a default never takes what the rules file gives to another class.
pub fn classes(flat: &Flat, rules: &Rules) -> Classes {
    let pens = Pens::given(flat, rules);
    let mut layers: BTreeMap<Arc<str>, (Class, bool)> = BTreeMap::new();
    let mut blocks: BTreeMap<Arc<str>, Says> = BTreeMap::new();

    let n = flat.items.len();
    let mut of = Vec::with_capacity(n);
    // The class that an INSERT's block name hands down to what is in it.
    let mut handed: Vec<Class> = Vec::with_capacity(n);
    let mut inside = vec![Vec::new(); n];
    for (i, item) in flat.items.iter().enumerate() {
        let outer = item.within.filter(|&w| w < i);
        if let Some(w) = outer {
            inside[w].push(i);
        }
        let inherited = outer.map_or(Class::Other, |w| handed[w]);
        let (layer, ruled) = *layers.entry(pens.name(item)).or_insert_with_key(|name| {
            let (class, why) = of_layer(rules, name);
            let class = if pens.shared(name) { Class::Wall } else { class };
            (class, matches!(why, Why::Pattern(_)))
        });
        let mut own = Class::Other;
        let (mut passed_over, mut by_word) = (false, true);
        if let Prim::Symbol(s) = &item.prim {
            for name in [&s.true_name, &s.block] {
                if !blocks.contains_key(name) {
                    blocks.insert(name.clone(), says(rules, name));
                }
                if own == Class::Other {
                    let says = blocks.get(name);
                    own = says.map_or(Class::Other, |s| s.class);
                    passed_over = says.is_some_and(|s| s.passed_over);
                    by_word = says.is_none_or(|s| s.by_word);
                }
            }
        }
        let redlined = item
            .layer
            .get(..REDLINE.len())
            .is_some_and(|l| l.eq_ignore_ascii_case(REDLINE));
        let on_its_layer = |w: usize| flat.items[w].layer == item.layer;
        let class = match (inherited, own, layer) {
            // What an earlier redline drew is none of the plan.
            _ if redlined => Class::Ignore,
            (Class::Ignore, _, _) => Class::Ignore,
            // A layer that the rules ignore is ignored, whatever a built-in word says of a block on it.
            (_, _, Class::Ignore) if ruled && by_word => Class::Ignore,
            // On a light layer a washer may be a wall washer: it is told of with what is no recessed light.
            (_, Class::Ignore, Class::Light) if passed_over => Class::Light,
            (_, Class::Other, Class::Other) => inherited,
            // What a light's symbol shows on the layer that it stands on is the symbol, whatever else that layer holds.
            (Class::Light, Class::Other, Class::Wall | Class::Framing) if outer.is_some_and(on_its_layer) => {
                Class::Light
            }
            (_, Class::Other, layer) => layer,
            (_, own, _) => own,
        };
        // A leader points at things and is none; only at a light does it tell a tag.
        let pointer = item.leads() && !matches!(class, Class::Light | Class::Ignore);
        of.push(if pointer { Class::Other } else { class });
        let shut = class == Class::Ignore && own != Class::Other;
        handed.push(match own {
            _ if shut => Class::Ignore,
            Class::Other => inherited,
            own => own,
        });
    }
    let mut classes = Classes {
        of,
        inside,
        pens,
        blocks,
        explained: BTreeMap::new(),
        lettered: BTreeMap::new(),
        letters: BTreeSet::new(),
        states: States::default(),
        more: Vec::new(),
        settled: BTreeSet::new(),
    };
    status::leave_out(flat, &mut classes, rules);
    if let Some(plain) = rules.read.without_more() {
        let plain = Rules {
            read: plain,
            ..rules.clone()
        };
        let of = self::classes(flat, &plain).of;
        classes.more = (classes.of.iter().zip(&of))
            .map(|(with, without)| with != without)
            .collect();
    }
    classes
}

/// What a layer's name says, or a pen's: where no pattern names the pen, what its layer's does.
pub fn of_layer<'a>(rules: &'a Rules, name: &str) -> (Class, Why<'a>) {
    let found = by_name(&rules.read, |p| p.layer_ruled(name), |p| p.layer_reason(name));
    if !matches!(found, Some((_, true, _)))
        && let Some(layer) = pens::layer_of(name)
    {
        return of_layer(rules, layer);
    }
    found.map_or((Class::Other, Why::Nothing), |(class, given, entry)| {
        (class, why(given, entry))
    })
}

/// What a block's name says. A block that the schedule names is a light, unless a pattern of the rules
/// says otherwise. A schedule's pattern that fits every name tells none from another.
pub fn of_block<'a>(rules: &'a Rules, name: &str) -> (Class, Why<'a>) {
    let found = by_name(&rules.read, |p| p.block_ruled(name), |p| p.block_reason(name));
    if let Some((class, true, entry)) = found {
        return (class, Why::Pattern(entry));
    }
    let tells = |pattern: &str| pattern.contains(|c: char| !"*?".contains(c) && !c.is_whitespace());
    let scheduled = |l: &&Luminaire| (l.blocks.iter()).any(|p| tells(p) && glob_matches(p, name));
    if let Some(luminaire) = rules.luminaires.iter().find(scheduled) {
        return (Class::Light, Why::Luminaire(luminaire));
    }
    found.map_or((Class::Other, Why::Nothing), |(class, given, entry)| {
        (class, why(given, entry))
    })
}

fn says(rules: &Rules, name: &str) -> Says {
    let (class, why) = of_block(rules, name);
    let passed_over = class == Class::Ignore && matches!(why, Why::Word(_));
    Says {
        class,
        no_recessed_light: class != Class::Light && (passed_over || rules.read.lights.block_excluded(name)),
        passed_over,
        asked_about: false,
        by_word: !matches!(why, Why::Pattern(_) | Why::Luminaire(_)),
    }
}

fn why(given: bool, entry: &str) -> Why<'_> {
    if given {
        Why::Pattern(entry)
    } else {
        Why::Word(entry)
    }
}

/// The first class that has a reason, whether the rules gave it, and the reason. What the rules say comes before all
/// built-in words.
fn by_name<'a>(
    read: &'a ReadRules,
    ruled: impl Fn(&'a Patterns) -> Option<&'a str>,
    reason: impl Fn(&'a Patterns) -> Option<&'a str>,
) -> Option<(Class, bool, &'a str)> {
    let table = table(read);
    let by_rules = table
        .iter()
        .find_map(|&(class, p)| Some((class, true, ruled(p)?)));
    by_rules.or_else(|| {
        let by_words = table.iter().filter(|(_, p)| !p.given);
        by_words
            .map(|&(class, p)| (class, p))
            .find_map(|(class, p)| Some((class, false, reason(p)?)))
    })
}

/// Every class and its patterns in the order in which they are asked.
pub fn table(read: &ReadRules) -> Vec<(Class, &Patterns)> {
    let mut table: Vec<(Class, &Patterns)> = vec![
        (Class::Ignore, &read.ignore),
        (Class::Light, &read.lights),
        (Class::Framing, &read.framing),
        (Class::Device, &read.devices),
        (Class::Room, &read.rooms),
        (Class::Wall, &read.walls),
    ];
    table.sort_by_key(|(_, p)| !p.given);
    table
}
