//! What is written in rooms: names, sizes as drawn, ceiling heights.

use geo::Coord;

use super::super::classes::{Claim, Classes};
use super::super::schedule::holds_word;
use super::super::shape::{area, contains, rectangle};
use super::alike::{self, Setting, setting};
use super::heights::{ceilings, is_shaped, names_a_ceiling};
use super::name_in;
use super::pointed::pointed;
use super::stacked::Stacked;
use super::tagged::tag;
use super::words::{may_be_a_cabinet, may_name_a_room, names_a_room};
use crate::flatten::{Flat, Prim};
use crate::length::{self, feet_inches};
use crate::note::{Level, Note};
use crate::plan::Room;

/// Words of sentences and of what stands in a room or over it: a line that has one is a note or a label.
const SENTENCE: [&str; 38] = [
    "AND",
    "FOR",
    "TO",
    "WITH",
    "SEE",
    "BETWEEN",
    "ON",
    "AT",
    "OR",
    "NOTE",
    "PROVIDE",
    "DOOR",
    "WINDOW",
    "PER",
    "OF",
    "LINE",
    "ABOVE",
    "BELOW",
    "UNDER",
    "BEYOND",
    "CABINET",
    "CABINETS",
    "ISLAND",
    "ROD",
    "SHELF",
    "SHELVES",
    "CHUTE",
    "FAN",
    "OPENER",
    "HOOD",
    "VENT",
    "DUCT",
    "ELEVATION",
    "ELEVATIONS",
    "MIRROR",
    "COUNTER",
    "VANITY",
    "DETAIL",
];
/// Letters lower than this share of those of a room's name label something in it.
const LABEL: f64 = 0.65;
/// A size under a name is the room's where it is so much of its area.
const ROOMS_SIZE: std::ops::RangeInclusive<f64> = 0.6..=1.4;
/// A room no larger than this may be a closet, square inches (40 sq ft).
const CLOSET: f64 = 5760.0;
/// A size written in a room is off its outline by no more than this: finishes and rounding to inches.
const SIZE_SLACK: f64 = 4.0;

/// Ceiling heights that differ by less are one, inches.
const SAME_HEIGHT: f64 = 1.0;

/// A text that stands in a room.
#[derive(Clone)]
struct Word {
    item: usize,
    at: Coord,
    /// Where its last line stands.
    foot: Coord,
    height: f64,
    text: String,
    /// The name in a room's tag, by the tag's own word.
    certain: bool,
}

/// Names rooms taken from walls by all the room names in them, and gives every room its ceiling height.
pub fn texts(
    flat: &Flat,
    classes: &Classes,
    stacked: &Stacked,
    rooms: &mut [Room],
    claims: &mut [Claim],
    notes: &mut Vec<Note>,
) {
    let areas: Vec<f64> = rooms.iter().map(|r| area(&r.outline).abs()).collect();
    let mut held: Vec<Vec<Word>> = rooms.iter().map(|_| Vec::new()).collect();
    let pointed = pointed(flat, classes, rooms);
    for (item, flat_item) in flat.items.iter().enumerate() {
        if !flat_item.visible || stacked.is_part(item) {
            continue;
        }
        let word = |at: Coord, height: f64, text: String, certain: bool| Word {
            item,
            at,
            foot: at,
            height,
            text,
            certain,
        };
        let words = match &flat_item.prim {
            Prim::Text { at, height, text, .. } => match stacked.whole(item) {
                Some((name, foot)) => vec![Word {
                    foot,
                    ..word(*at, *height, name.to_string(), false)
                }],
                None => vec![word(*at, *height, text.to_string(), false)],
            },
            _ => match tag(flat_item, classes.of[item]) {
                Some(tag) => (tag.name.into_iter().map(|n| word(tag.at, 0.0, n, tag.certain)))
                    .chain(tag.ceiling.into_iter().map(|c| word(tag.at, 0.0, c, false)))
                    .collect(),
                None => continue,
            },
        };
        let Some(at) = words.first().map(|w| w.at) else {
            continue;
        };
        if let Some(at_head) = pointed.get(&item) {
            for &r in at_head {
                held[r].extend(words.iter().cloned());
            }
            continue;
        }
        let home = (0..rooms.len())
            .filter(|&r| contains(&rooms[r].outline, at))
            .min_by(|&a, &b| areas[a].total_cmp(&areas[b]).then(a.cmp(&b)));
        if let Some(home) = home {
            held[home].extend(words);
        }
    }
    let (mut unknown, mut beside, mut shaped) = (Vec::new(), Vec::new(), Vec::new());
    let usual = usual_height(&held);
    let free = |w: &&Word| claims.get(w.item) == Some(&Claim::None) && w.height > 0.0;
    let set = |w: &Word| Some(w).filter(free).and_then(|w| setting(&flat.items[w.item]));
    let settings: Vec<Vec<_>> = held.iter().map(|words| words.iter().map(set).collect()).collect();
    let nameless = |words: &[Word]| !words.iter().any(|w| named(&w.text).is_some());
    let of_rooms = held.iter().zip(&settings);
    let alike = alike::best(of_rooms.map(|(words, of)| (nameless(words), of.iter().flatten().map(|s| &s.0))));
    let mut by_setting = Vec::new();
    for (r, (room, words)) in rooms.iter_mut().zip(&held).enumerate() {
        if room.ceiling.is_none() {
            room.ceiling = heights(room, words, notes);
        }
        if room.ceiling.is_none() {
            shaped.extend(
                words
                    .iter()
                    .flat_map(|w| w.text.lines())
                    .filter(|l| is_shaped(l))
                    .map(str::to_string),
            );
        }
        let is_pointed = pointed.values().flatten().any(|p| *p == r);
        if room.drawn && (room.name.is_some() || !is_pointed) {
            continue;
        }
        let small = area(&room.outline).abs() <= CLOSET;
        let mut labels = Vec::new();
        let mut names = names(words, claims, &mut labels, &|_, name| names_a_room(name));
        if names.is_empty() {
            names = self::names(words, claims, &mut labels, &|word, _| {
                over_its_size(room, word, words)
            });
        }
        if names.is_empty() {
            names = self::names(words, claims, &mut labels, &|_, name| {
                may_name_a_room(name, small)
            });
        }
        if let (true, Some(set)) = (names.is_empty(), &alike)
            && settings[r].iter().flatten().filter(|s| s.0 == *set).count() == 1
        {
            let word =
                (words.iter().zip(&settings[r])).find(|(_, s)| s.as_ref().is_some_and(|s| s.0 == *set));
            if let Some((word, Some((_, name)))) = word {
                claims[word.item] = Claim::RoomName;
                names = vec![name.clone()];
            }
            by_setting.extend(names.iter().cloned());
        }
        if names.is_empty() {
            unknown.extend(may_be_names(words, claims, usual));
        }
        if let (Some(name), false) = (names.first(), labels.is_empty()) {
            notes.push(Note::info(
                "room-labels",
                format!(
                    "in {name} {} stand{} in letters much lower than its name: taken for what it labels, not for a room",
                    quoted(&labels),
                    if labels.len() == 1 { "s" } else { "" },
                ),
            ));
        }
        if names.len() > 1 && !names.iter().all(|n| may_be_a_cabinet(n)) {
            let cabinets: Vec<String> = names.extract_if(.., |n| may_be_a_cabinet(n)).collect();
            if !cabinets.is_empty() {
                notes.push(Note::info(
                    "room-labels",
                    format!(
                        "in {} {} has no walls of its own: taken for a cabinet, not for a room",
                        names.join(", "),
                        quoted(&cabinets)
                    ),
                ));
            }
        }
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
            let name = names.join(" / ");
            let high: Vec<Word> = words.iter().filter(|w| is_as_high(w, usual)).cloned().collect();
            let others = may_be_names(&high, claims, usual);
            beside.extend(others.iter().map(|other| format!("{other:?} in {name}")));
            room.name = Some(name);
        }
        if names.len() <= 1 {
            sized(room, words, notes);
        }
    }
    if !shaped.is_empty() {
        shaped.sort();
        shaped.dedup();
        notes.push(Note::info(
            "ceiling-shape",
            format!(
                "{} speak(s) of a ceiling that is not of one height, or is not read: no height is taken from it; give the one at \
                 the lights under [[room]] in bayline.toml",
                quoted(&shaped)
            ),
        ));
    }
    if !beside.is_empty() {
        let all = listed(&beside);
        notes.push(Note::info(
            "room-texts",
            format!(
                "as large as the names of rooms stand {all}: where one of these is a room of its own, what parts it is not read; draw \
                 its outline on a room layer"
            ),
        ));
    }
    if let (Some(Setting { layer, .. }), false) = (&alike, by_setting.is_empty()) {
        notes.push(Note::info(
            "room-names",
            format!(
                "no word is known for a room's in {}, of layer {layer}: taken for names, since they stand one to a room as names do; \
                 nothing is said of what these rooms are for",
                quoted(&by_setting)
            ),
        ));
    }
    if !unknown.is_empty() {
        notes.push(Note::info(
            "room-names",
            format!(
                "rooms have no name where no word in them is known for one's: {}; where one of these is, write the \
                 room's size under it, or draw its outline on a room layer",
                quoted(&unknown)
            ),
        ));
    }
}

/// Most texts that a note repeats.
const MOST_TEXTS: usize = 6;

fn quoted(texts: &[String]) -> String {
    let all: Vec<String> = texts.iter().map(|t| format!("{t:?}")).collect();
    listed(&all)
}

fn listed(all: &[String]) -> String {
    let more = match all.len().saturating_sub(MOST_TEXTS) {
        0 => String::new(),
        n => format!(", {n} more"),
    };
    all[..all.len().min(MOST_TEXTS)].join(", ") + &more
}

/// Whether the room's size is written right below a text, or in it: what stands over it is the room's name.
fn over_its_size(room: &Room, word: &Word, words: &[Word]) -> bool {
    let whole = area(&room.outline).abs();
    let is_size = |line: &str| size(line).is_some_and(|(a, b)| ROOMS_SIZE.contains(&(a * b / whole)));
    let below = |w: &&Word| {
        let (down, height) = (word.foot.y - w.at.y, word.height.max(w.height));
        down > 0.5 * height && down <= 2.2 * height && (w.at.x - word.at.x).abs() <= 10.0 * height
    };
    (word.text.lines().any(is_size)) || words.iter().filter(below).any(|w| w.text.lines().any(is_size))
}

/// What reads like a name in a room that has none; few letters do where they are as high as names of rooms are (`usual`).
fn may_be_names(words: &[Word], claims: &[Claim], usual: f64) -> Vec<String> {
    let free = |w: &&Word| matches!(claims.get(w.item), Some(Claim::None));
    let highest = words.iter().map(|w| w.height).fold(0.0, f64::max);
    let named = words.iter().filter(free).filter(|w| w.height >= LABEL * highest);
    named
        .filter_map(|w| Some((w, name_in(&w.text.replace('.', ""))?)))
        .filter(|(w, n)| {
            let letters = n.chars().filter(|c| c.is_alphabetic()).count();
            is_room_name(n) && (letters >= SHORTEST || is_as_high(w, usual))
        })
        .map(|(_, name)| name)
        .collect()
}

fn is_as_high(word: &Word, usual: f64) -> bool {
    usual > 0.0 && word.height >= 0.9 * usual
}

/// Fewest letters of what may be a name: REF and WH label things.
const SHORTEST: usize = 4;

/// How high names of rooms are written, the middle one; 0 where there are none.
fn usual_height(held: &[Vec<Word>]) -> f64 {
    let names = held
        .iter()
        .flatten()
        .filter(|w| w.height > 0.0 && named(&w.text).is_some());
    let mut heights: Vec<f64> = names.map(|w| w.height).collect();
    heights.sort_by(f64::total_cmp);
    heights.get(heights.len() / 2).copied().unwrap_or(0.0)
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

/// The names written in one room, in alphabetical order; lines set one under the other are one name. What has a word for
/// a room and stands in much lower letters than another goes to `labels`.
fn names(
    words: &[Word],
    claims: &mut [Claim],
    labels: &mut Vec<String>,
    says: &dyn Fn(&Word, &str) -> bool,
) -> Vec<String> {
    let free = |w: &&Word| matches!(claims.get(w.item), Some(Claim::None | Claim::RoomName));
    let mut named: Vec<(&Word, String)> = words
        .iter()
        .filter(free)
        .filter_map(|w| {
            let text = w.text.replace('.', "");
            if w.certain {
                return Some((w, text));
            }
            let name = name_in(&text)?;
            (is_room_name(&name) && says(w, &name)).then_some((w, name))
        })
        .collect();
    let highest = named.iter().map(|n| n.0.height).fold(0.0, f64::max);
    named.retain(|(word, name)| {
        // How high the lettering of a room's tag is is not known.
        let keep = word.height <= 0.0 || word.height >= LABEL * highest;
        if !keep {
            labels.push(name.clone());
        }
        keep
    });
    let mut order: Vec<usize> = (0..named.len()).collect();
    order.sort_by(|&a, &b| named[b].0.at.y.total_cmp(&named[a].0.at.y).then(a.cmp(&b)));
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for i in order {
        let word = named[i].0;
        let above = groups.iter_mut().find(|g| {
            g.last().is_some_and(|&l| {
                let last = named[l].0;
                let down = last.foot.y - word.at.y;
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

/// The name of a room that a text is; `None` where it is something else.
pub fn named(text: &str) -> Option<String> {
    name_in(&text.replace('.', "")).filter(|name| is_room_name(name) && names_a_room(name))
}

/// A short line with no word of a sentence in it.
pub fn is_room_name(name: &str) -> bool {
    let sentence = SENTENCE.iter().any(|word| holds_word(name, word));
    name.split_whitespace().count() <= 4 && !sentence
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
        // So far off that it is another's size, or the room another.
        let alike = ROOMS_SIZE.contains(&(a * b / (long * short)));
        notes.push(Note::new(
            if alike { Level::Info } else { Level::Warning },
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
