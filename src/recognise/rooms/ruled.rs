//! What the rules file says of rooms, by their names.

use std::collections::BTreeSet;

use crate::note::{Level, Note};
use crate::plan::Room;
use crate::rules::{RoomRule, Rules};

/// Names less alike than this are not offered (Jaro-Winkler similarity, from 0 to 1).
const ALIKE: f64 = 0.8;
/// Most names that a note lists.
const MOST: usize = 12;

/// What the rules say of a room of that name.
pub fn rule<'a>(rules: &'a Rules, name: &str) -> Option<&'a RoomRule> {
    rules.rooms.iter().find(|r| is(r, name))
}

fn is(rule: &RoomRule, name: &str) -> bool {
    rule.name.trim().eq_ignore_ascii_case(name.trim())
}

/// Says which names of the rules no room has.
pub fn told(rooms: &[Room], rules: &Rules, notes: &mut Vec<Note>) {
    let names: BTreeSet<&str> = rooms.iter().filter_map(|r| r.name.as_deref()).collect();
    for room in &rules.rooms {
        if names.iter().any(|n| is(room, n)) {
            continue;
        }
        let score = |n: &str| strsim::jaro_winkler(&room.name.to_uppercase(), &n.to_uppercase());
        let scored = names.iter().map(|n| (score(n), *n)).filter(|(s, _)| *s >= ALIKE);
        let nearest = scored.max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(a.1)));
        let listed: Vec<&str> = names.iter().copied().take(MOST).collect();
        // A name like one that is there is a slip; another may be of another plan under the same rules.
        let (level, there) = match nearest {
            Some((_, name)) => (Level::Warning, format!("; the nearest is {name}")),
            None if names.is_empty() => (Level::Info, String::new()),
            None => (Level::Info, format!("; rooms here are {}", listed.join(", "))),
        };
        notes.push(Note::new(
            level,
            "room-unmatched",
            format!(
                "no room of this drawing is called {} as a [[room]] of the rules file is: what it says holds for none{there}",
                room.name
            ),
        ));
    }
}
