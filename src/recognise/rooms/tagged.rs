//! Room tags: blocks whose attributes hold a room's name, its number and the height of its ceiling.
//!
//! Names of attributes are common drafting words. What a block draws as text is read as any text is.

use geo::Coord;

use super::heights::ceilings;
use super::reads_like_a_name;
use super::words::names_a_room;
use crate::flatten::{Flat, Item, Prim, Symbol};
use crate::recognise::classes::{Claim, Class};
use crate::recognise::schedule::holds_word;
use crate::recognise::shape::finite;

/// Attributes that hold a room's name, figures and strokes in them left out.
const NAMES: [&str; 16] = [
    "NAME",
    "ROOMNAME",
    "RMNAME",
    "ROOM",
    "RNAME",
    "ROOMTITLE",
    "SPACE",
    "SPACENAME",
    "AREANAME",
    "NOM",
    "NOMBRE",
    "NOME",
    "RAUMNAME",
    "RAUM",
    "NAMELINE",
    "ROOMNAMELINE",
];
/// And the height of its ceiling.
const HEIGHTS: [&str; 12] = [
    "CLG",
    "CLGHT",
    "CLGHGT",
    "CLGHEIGHT",
    "CEILING",
    "CEILINGHT",
    "CEILINGHEIGHT",
    "CEIL",
    "CH",
    "HT",
    "HGT",
    "HEIGHT",
];
/// Words in the name of a block that tags rooms.
const OF_ROOMS: [&str; 6] = ["ROOM", "RM", "SPACE", "RAUM", "PIECE", "LOCAL"];

/// What a room tag says.
#[derive(Clone, Debug, PartialEq)]
pub struct Tag {
    pub at: Coord,
    pub name: Option<String>,
    /// A line that states the height of a ceiling.
    pub ceiling: Option<String>,
    /// Whether it is a room's tag by the names of its block or attributes, whatever the name says.
    pub certain: bool,
}

/// What an INSERT's attributes say of a room; `None` where they say nothing.
pub fn tag(item: &Item, class: Class) -> Option<Tag> {
    let Prim::Symbol(symbol) = &item.prim else {
        return None;
    };
    if !matches!(class, Class::Other | Class::Room) || symbol.attribs.is_empty() || !item.visible {
        return None;
    }
    let filled = || symbol.attribs.iter().filter(|a| !a.text.trim().is_empty());
    let is = |tag: &str, list: &[&str]| list.contains(&&*plain(tag));
    let mut named: Vec<_> = filled()
        .filter(|a| is(&a.tag, &NAMES) && is_name(&a.text))
        .collect();
    named.sort_by_key(|a| a.tag.to_uppercase());
    let of_rooms = of_rooms(symbol)
        || named
            .iter()
            .any(|a| plain(&a.tag) != "NAME" && plain(&a.tag).len() > 4);
    let mut at = named.first().map(|a| a.at);
    let mut name: Vec<&str> = named.iter().map(|a| a.text.trim()).collect();
    if name.is_empty() {
        let other = filled().find(|a| is_name(&a.text) && names_a_room(&a.text));
        name.extend(other.map(|a| a.text.trim()));
        at = other.map(|a| a.at);
    }
    let ceiling = filled().find_map(|a| {
        let text = a.text.trim();
        let line = match ceilings(text).is_empty() {
            true if is(&a.tag, &HEIGHTS) => format!("CLG {text}"),
            true => return None,
            false => text.to_string(),
        };
        Some((a.at, line)).filter(|(_, line)| !ceilings(line).is_empty())
    });
    let at = at.or(ceiling.as_ref().map(|c| c.0))?;
    let name = (!name.is_empty()).then(|| name.join(" "));
    // A height alone may be a door's or a window's.
    let ceiling = ceiling
        .map(|c| c.1)
        .filter(|_| of_rooms || name.as_deref().is_some_and(names_a_room));
    (finite(at) && (name.is_some() || ceiling.is_some())).then_some(Tag {
        at,
        name,
        ceiling,
        certain: of_rooms,
    })
}

fn of_rooms(symbol: &Symbol) -> bool {
    let names = [&symbol.true_name, &symbol.block];
    names
        .iter()
        .any(|n| OF_ROOMS.iter().any(|w| holds_word(&n.replace('_', " "), w)))
}

/// Whether a text reads like a name; an apostrophe within a word is none of feet.
fn is_name(text: &str) -> bool {
    let letters: Vec<char> = text.chars().collect();
    let of_word = |k: usize| {
        let beside = |n: Option<usize>| n.and_then(|n| letters.get(n)).is_some_and(|c| c.is_alphabetic());
        beside(k.checked_sub(1)) && beside(k.checked_add(1))
    };
    let plain = letters.iter().enumerate();
    let plain = plain.filter(|(k, c)| !("'’".contains(**c) && of_word(*k)));
    reads_like_a_name(&plain.map(|(_, c)| *c).collect::<String>())
}

/// An attribute's name in capitals, without figures and strokes.
fn plain(tag: &str) -> String {
    tag.to_uppercase().chars().filter(|c| c.is_alphabetic()).collect()
}

/// Whether an item is drawn in a room's tag: its frame is no outline of a room.
pub fn within_tag(flat: &Flat, item: usize) -> bool {
    let around = flat.items[item].within.and_then(|w| flat.items.get(w));
    around.is_some_and(|w| tag(w, Class::Other).is_some_and(|t| t.name.is_some()))
}

/// What is drawn in tags that named rooms is claimed with them.
pub fn claim(flat: &Flat, claims: &mut [Claim]) {
    for i in 0..flat.items.len() {
        let Some(w) = flat.items[i].within.filter(|&w| w < i) else {
            continue;
        };
        if claims[i] == Claim::None
            && claims[w] == Claim::RoomName
            && matches!(flat.items[w].prim, Prim::Symbol(_))
        {
            claims[i] = Claim::RoomName;
        }
    }
}
