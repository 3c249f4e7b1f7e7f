//! What is written in rooms: names, sizes as drawn, ceiling heights.

use geo::Coord;

use super::super::classes::Claim;
use super::super::schedule::holds_word;
use super::super::shape::{area, contains, rectangle};
use super::heights::{ceilings, names_a_ceiling};
use super::name_in;
use super::words::{may_name_a_room, names_a_room};
use crate::flatten::{Flat, Prim};
use crate::length::{self, feet_inches};
use crate::note::Note;
use crate::plan::Room;

/// Words of sentences: a line that has one is a note.
const SENTENCE: [&str; 14] = [
    "AND", "FOR", "TO", "WITH", "SEE", "BETWEEN", "ON", "AT", "OR", "NOTE", "PROVIDE", "DOOR", "WINDOW",
    "PER",
];
/// A room no larger than this may be a closet, square inches (40 sq ft).
const CLOSET: f64 = 5760.0;
/// A size written in a room is off its outline by no more than this: finishes and rounding to inches.
const SIZE_SLACK: f64 = 4.0;

/// Ceiling heights that differ by less are one, inches.
const SAME_HEIGHT: f64 = 1.0;

/// A text that stands in a room.
struct Word {
    item: usize,
    at: Coord,
    height: f64,
    text: String,
}

/// Names rooms taken from walls by all the room names in them, and gives every room its ceiling height.
pub fn texts(flat: &Flat, rooms: &mut [Room], claims: &mut [Claim], notes: &mut Vec<Note>) {
    let areas: Vec<f64> = rooms.iter().map(|r| area(&r.outline).abs()).collect();
    let mut held: Vec<Vec<Word>> = rooms.iter().map(|_| Vec::new()).collect();
    for (item, flat_item) in flat.items.iter().enumerate() {
        let Prim::Text { at, height, text, .. } = &flat_item.prim else {
            continue;
        };
        if !flat_item.visible {
            continue;
        }
        let home = (0..rooms.len())
            .filter(|&r| contains(&rooms[r].outline, *at))
            .min_by(|&a, &b| areas[a].total_cmp(&areas[b]).then(a.cmp(&b)));
        if let Some(home) = home {
            held[home].push(Word {
                item,
                at: *at,
                height: *height,
                text: text.to_string(),
            });
        }
    }
    for (room, words) in rooms.iter_mut().zip(&held) {
        if room.ceiling.is_none() {
            room.ceiling = heights(room, words, notes);
        }
        if room.drawn {
            continue;
        }
        let names = match names(words, claims, &names_a_room) {
            none if none.is_empty() => names(words, claims, &|name| {
                may_name_a_room(name, area(&room.outline).abs() <= CLOSET)
            }),
            names => names,
        };
        if names.len() > 1 {
            notes.push(Note::info(
                "room-open-plan",
                format!(
                    "no wall stands between {}: they are one room here",
                    names.join(", ")
                ),
            ));
        }
        if !names.is_empty() {
            room.name = Some(names.join(" / "));
        }
        if names.len() <= 1 {
            sized(room, words, notes);
        }
    }
}

/// The ceiling height written in a room; of two that differ neither is taken.
fn heights(room: &Room, words: &[Word], notes: &mut Vec<Note>) -> Option<f64> {
    let lines = || words.iter().flat_map(|w| w.text.lines());
    // What is only above the floor may be of something else.
    let named: Vec<f64> = lines()
        .filter(|l| names_a_ceiling(l))
        .flat_map(ceilings)
        .collect();
    let all = match named.is_empty() {
        true => lines().flat_map(ceilings).collect(),
        false => named,
    };
    let first = *all.first()?;
    let Some(other) = all.iter().find(|h| (*h - first).abs() > SAME_HEIGHT) else {
        return Some(first);
    };
    notes.push(Note::warning(
        "ceiling-heights",
        format!(
            "{} has two ceiling heights, {} and {}: neither is taken; give the one at the lights under [[room]] in bayline.toml",
            room.name.as_deref().unwrap_or("a room"),
            feet_inches(first),
            feet_inches(*other)
        ),
    ));
    None
}

/// The names written in one room, in alphabetical order; lines set one under the other are one name.
fn names(words: &[Word], claims: &mut [Claim], says: &dyn Fn(&str) -> bool) -> Vec<String> {
    let free = |w: &&Word| matches!(claims.get(w.item), Some(Claim::None | Claim::RoomName));
    let named: Vec<(&Word, String)> = words
        .iter()
        .filter(free)
        .filter_map(|w| {
            Some((
                w,
                name_in(&w.text.replace('.', "")).filter(|n| is_room_name(n, says))?,
            ))
        })
        .collect();
    let mut order: Vec<usize> = (0..named.len()).collect();
    order.sort_by(|&a, &b| named[b].0.at.y.total_cmp(&named[a].0.at.y).then(a.cmp(&b)));
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for i in order {
        let word = named[i].0;
        let above = groups.iter_mut().find(|g| {
            g.last().is_some_and(|&l| {
                let last = named[l].0;
                let down = last.at.y - word.at.y;
                let height = last.height.max(word.height);
                down > 0.5 * height && down <= 2.2 * height && (last.at.x - word.at.x).abs() <= 6.0 * height
            })
        });
        match above {
            Some(group) => group.push(i),
            None => groups.push(vec![i]),
        }
    }
    let mut found: Vec<String> = Vec::new();
    for group in groups {
        let name: Vec<&str> = group.iter().map(|&i| named[i].1.as_str()).collect();
        let name = name.join(" ");
        for &i in &group {
            claims[named[i].0.item] = Claim::RoomName;
        }
        if !found.contains(&name) {
            found.push(name);
        }
    }
    found.sort();
    found
}

/// A short line with a word for a room in it, and none of a sentence.
fn is_room_name(name: &str, says: &dyn Fn(&str) -> bool) -> bool {
    let sentence = SENTENCE.iter().any(|word| holds_word(name, word));
    name.split_whitespace().count() <= 4 && says(name) && !sentence
}

/// Notes where the one size written in a room is not the room's.
fn sized(room: &Room, words: &[Word], notes: &mut Vec<Note>) {
    let mut sizes = words.iter().flat_map(|w| w.text.lines()).filter_map(size);
    let (Some((a, b)), None) = (sizes.next(), sizes.next()) else {
        return;
    };
    let (long, short) = rectangle(&room.outline);
    let off = (a.max(b) - long).abs().max((a.min(b) - short).abs());
    if off > SIZE_SLACK {
        notes.push(Note::info(
            "room-size",
            format!(
                "{} is written as {} by {}; its walls enclose {} by {} over all",
                room.name.as_deref().unwrap_or("a room"),
                feet_inches(a),
                feet_inches(b),
                feet_inches(long),
                feet_inches(short)
            ),
        ));
    }
}

/// `13'8 x 14'` in inches; `None` where the line is no size of a room.
fn size(line: &str) -> Option<(f64, f64)> {
    let (a, b) = line.trim().split_once(['x', 'X', '×'])?;
    let (a, b) = (feet(a)?, feet(b)?);
    let room = 12.0..=2400.0;
    (room.contains(&a) && room.contains(&b)).then_some((a, b))
}

/// A length with feet in it.
fn feet(text: &str) -> Option<f64> {
    let text = text.trim();
    text.contains(['\'', '′', '’'])
        .then(|| length::parse(text).ok())?
}

#[cfg(test)]
mod tests {
    use super::size;

    #[test]
    fn sizes_of_rooms() {
        assert_eq!(size("13'8 x 14'"), Some((164.0, 168.0)));
        assert_eq!(size("11'-6\" X 13'-0\""), Some((138.0, 156.0)));
        assert_eq!(size("22x30 ATTIC ACCESS"), None);
        assert_eq!(size("XO"), None);
    }
}
