//! `OPEN TO BELOW`, `OPEN TO ABOVE`: rooms that go through two storeys.
//!
//! Such words name a room that has no other name, and lights in one are told of: their ceiling is another storey's.

use geo::Coord;

use super::super::classes::Claim;
use super::super::shape::contains;
use super::room_of;
use crate::flatten::{Flat, Prim};
use crate::note::{Level, Note};
use crate::plan::Room;

/// The words of a text that says that there is no floor or no ceiling.
fn open(text: &str) -> Option<String> {
    let words: Vec<String> = (text.split(|c: char| !c.is_alphanumeric()))
        .filter(|w| !w.is_empty())
        .map(str::to_uppercase)
        .collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let said = match words[..] {
        ["OPEN", "TO", .., "BELOW" | "ABOVE"] => words.len() <= 6,
        ["OPEN", "BELOW" | "ABOVE"] | ["LUFTRAUM"] => true,
        _ => false,
    };
    said.then(|| words.join(" "))
}

/// A text that says that a room is open, and the room.
pub struct Open {
    room: usize,
    words: String,
    at: Coord,
}

/// Names rooms without a name that are open to another storey; gives every room that such words stand in.
pub fn name(flat: &Flat, rooms: &mut [Room], claims: &mut [Claim]) -> Vec<Open> {
    let mut found = Vec::new();
    for (i, item) in flat.items.iter().enumerate().filter(|(_, item)| item.visible) {
        let Prim::Text { at, text, .. } = &item.prim else {
            continue;
        };
        let Some(words) = open(text) else { continue };
        let Some(room) = room_of(rooms, *at) else {
            continue;
        };
        if rooms[room].name.is_none() {
            rooms[room].name = Some(words.clone());
            if claims[i] == Claim::None {
                claims[i] = Claim::RoomName;
            }
        }
        let at = *at;
        found.push(Open { room, words, at });
    }
    found
}

/// Tells of rooms that are open to another storey, and of the lights in them.
pub fn told(rooms: &[Room], open: &[Open], lit: &[Coord], notes: &mut Vec<Note>) {
    let mut before = Vec::new();
    for Open { room, words, at } in open {
        if before.contains(room) {
            continue;
        }
        before.push(*room);
        let lights = (lit.iter())
            .filter(|p| contains(&rooms[*room].outline, **p) && room_of(rooms, **p) == Some(*room))
            .count();
        if lights == 0 {
            continue;
        }
        let whole = rooms[*room].name.as_deref() == Some(words);
        let place = match (&rooms[*room].name, whole) {
            (Some(name), false) => format!(" in {name}"),
            _ => String::new(),
        };
        let level = if whole { Level::Warning } else { Level::Info };
        notes.push(Note::new(
            level,
            "open-below",
            format!(
                "{words} is written{place} at ({:.1}, {:.1}) in, and {lights} light(s) are drawn in that room: what is open goes \
                 through two storeys, and its lights hang in the ceiling of the upper one; see that they are counted on one plan \
                 only, and that this framing is theirs",
                at.x, at.y
            ),
        ));
    }
}
