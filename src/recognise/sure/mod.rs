//! How sure each reading by name is: what the name says, and whether what is drawn bears it out.
//!
//! The rules file is the user's own word and holds. Else a name has a weight ([`name`]), and what is drawn under it
//! a share from 0 to 1 of what the class looks like on house plans: at one half that says nothing, above it
//! raises the confidence, below it lowers it, the less the fewer things were seen. Names go on deciding: below
//! [`DOUBTED`] a note says what was seen and what to do. All weights are common practice.

use std::collections::BTreeMap;

use super::classes::{Claim, Class, Classes, Why, of_block, of_layer};
use super::pens;
use super::reading::Named;
use crate::flatten::{Flat, Prim};
use crate::note::Note;
use crate::plan::{Member, Plan};
use crate::rules::Rules;
use crate::rules::line::{with_block, with_layer};

mod framing;
mod lights;
mod name;
mod rooms;
mod walls;

pub use name::Says;

/// Below this a note tells of the doubt.
pub const DOUBTED: f64 = 0.5;
/// As sure as anything but the user's own word can be.
const SUREST: f64 = 0.99;
/// So much of what is missing to [`SUREST`] is added where all that is drawn agrees.
const RAISES: f64 = 0.8;
/// So much is taken off where nothing of it does.
const LOWERS: f64 = 0.5;

/// What was recognised, as far as confidence needs it.
pub struct Read<'a> {
    pub flat: &'a Flat,
    pub classes: &'a Classes,
    pub claims: &'a [Claim],
    pub plan: &'a Plan,
    /// Members that the drawing shows, and the item that stands for each.
    pub members: &'a [(Member, usize)],
    pub rules: &'a Rules,
}

/// What is drawn under a name, held against its class.
#[derive(Clone, Debug, PartialEq)]
struct Seen {
    /// From 0, nothing like it, to 1; one half says nothing.
    share: f64,
    /// How many things that was seen in.
    count: usize,
    /// In one clause.
    said: String,
}

/// One name, what it was read as, and how sure that is.
#[derive(Clone, Debug, PartialEq)]
pub struct Sure {
    pub class: Class,
    /// From 0 to 1.
    pub confidence: f64,
    /// The word or code, and what kind of name that is.
    pub why: String,
    /// What is drawn under it.
    pub seen: Option<String>,
}

/// What stands under one name and has the class that the name gives.
struct Group<'a> {
    class: Class,
    why: Why<'a>,
    /// Visible items in order, those in INSERTs of a block too.
    items: Vec<usize>,
}

/// Every layer and block whose name decides.
pub fn sure(read: &Read) -> BTreeMap<(Named, String), Sure> {
    let lights = lights::Lights::new(read);
    let lines = walls::Lines::new(read);
    let mut found = BTreeMap::new();
    for ((named, name), mut group) in groups(read) {
        group.items.sort_unstable();
        group.items.dedup();
        let Some(says) = name::says(group.why, &name) else {
            continue;
        };
        let seen = match (says, group.class) {
            (Says::Rules, _) => None,
            (_, Class::Light) => lights.seen(read, &group.items),
            (_, Class::Framing) => framing::seen(read, &lines, &group.items),
            (_, Class::Wall) => lines.seen(read, &group.items),
            (_, Class::Room) => rooms::rooms(read, &group.items),
            (_, Class::Device) => rooms::devices(read, &group.items),
            (_, Class::Ignore) => lights.passed_over(read, &group.items),
            (_, Class::Other) => None,
        };
        let kind = says.said().map(|kind| format!(" ({kind})")).unwrap_or_default();
        found.insert(
            (named, name),
            Sure {
                class: group.class,
                confidence: confidence(says, seen.as_ref()),
                why: group.why.said() + &kind,
                seen: seen.map(|s| s.said),
            },
        );
    }
    found
}

/// How sure a name and what is drawn under it make.
fn confidence(says: Says, seen: Option<&Seen>) -> f64 {
    let by_name = says.weight();
    let Some(seen) = seen.filter(|s| s.share.is_finite()) else {
        return by_name;
    };
    // One thing may be chance, three hardly.
    let lean = (2.0 * seen.share.clamp(0.0, 1.0) - 1.0) * super::units::trust(seen.count);
    if lean > 0.0 {
        by_name + (SUREST - by_name).max(0.0) * RAISES * lean
    } else {
        (by_name + LOWERS * lean).max(0.0)
    }
}

/// A note for each name that is doubted.
pub fn told(sure: &BTreeMap<(Named, String), Sure>, rules: &Rules, notes: &mut Vec<Note>) {
    for ((named, name), s) in sure.iter().filter(|(_, s)| s.confidence < DOUBTED) {
        let what = match named {
            Named::Layer => pens::said(name),
            Named::Block => format!("block {name}"),
        };
        let line = |class: Class| {
            let (key, patterns) = class.section(&rules.read);
            match named {
                Named::Layer => with_layer(key, patterns, name),
                Named::Block => with_block(key, patterns, name),
            }
        };
        let else_be = match s.class {
            Class::Ignore => Class::Light,
            _ => Class::Ignore,
        };
        notes.push(Note::warning(
            "name-doubtful",
            format!(
                "{what} is read as {} for {}, but what is drawn does not look like it: {} (confidence {:.2}); write \
                 under [read] in bayline.toml {} if it is right, else {}, or so under the class it is",
                said(s.class),
                s.why,
                s.seen.as_deref().unwrap_or("nothing shows"),
                s.confidence,
                line(s.class),
                line(else_be),
            ),
        ));
    }
}

fn said(class: Class) -> &'static str {
    match class {
        Class::Light => "lights",
        Class::Framing => "framing",
        Class::Wall => "walls",
        Class::Room => "rooms",
        Class::Device => "devices in the ceiling",
        Class::Ignore | Class::Other => "none of the plan",
    }
}

/// What stands under each name that decides.
fn groups<'a>(read: &Read<'a>) -> Groups<'a> {
    let mut found = Groups::new();
    for (i, item) in read.flat.items.iter().enumerate() {
        if read.classes.states.holds(i) {
            continue;
        }
        let shows = |c: usize, class| read.classes.of[c] == class && read.flat.items[c].visible;
        if let Some(group) = group(
            &mut found,
            read.rules,
            Named::Layer,
            &read.classes.pens.name(item),
        ) && shows(i, group.class)
        {
            group.items.push(i);
        }
        if let Prim::Symbol(symbol) = &item.prim {
            // The name a block goes by is asked first, then the one it is stored under.
            for name in [&*symbol.true_name, &*symbol.block] {
                if let Some(group) = group(&mut found, read.rules, Named::Block, name) {
                    let all = std::iter::once(i).chain(read.classes.all_inside(i));
                    let class = group.class;
                    group.items.extend(all.filter(|&c| shows(c, class)));
                    break;
                }
            }
        }
    }
    found
}

type Groups<'a> = BTreeMap<(Named, String), Group<'a>>;

/// The group of a name; `None` where the name decides nothing.
fn group<'g, 'a>(
    found: &'g mut Groups<'a>,
    rules: &'a Rules,
    named: Named,
    name: &str,
) -> Option<&'g mut Group<'a>> {
    let group = found.entry((named, name.to_string())).or_insert_with(|| {
        let (class, why) = match named {
            Named::Layer => of_layer(rules, name),
            Named::Block => of_block(rules, name),
        };
        Group {
            class,
            why,
            items: Vec::new(),
        }
    });
    (group.class != Class::Other).then_some(group)
}

/// `3 of 4` in words that read well at none and all.
fn of_all(n: usize, all: usize) -> String {
    match n {
        0 => "none".to_string(),
        n if n == all => "all".to_string(),
        n => n.to_string(),
    }
}
