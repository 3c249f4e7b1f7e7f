//! Rooms from closed outlines on room layers, else from the faces of the walls; named by the text inside.

mod alike;
mod areas;
mod bare;
mod class;
mod doubted;
mod ends;
mod frames;
mod from_walls;
pub mod gaps;
mod heads;
mod heights;
mod inner;
mod islands;
mod joined;
mod lettering;
mod open_below;
mod openings;
mod pointed;
mod ruled;
mod stacked;
mod strips;
mod swings;
mod tagged;
mod texts;
mod traced;
mod treads;
mod weld;
mod words;

pub use class::class as class_of;
use from_walls::walls_named;
pub use from_walls::{from_walls, walls};
pub use words::names_a_room;

use geo::Coord;

use super::classes::{Claim, Class, Classes};
use super::devices::marks::is_letters;
use super::shape::{area, bounds, canonical, chords, contains, corners, distance, rectangle, unit};
use super::tolerance::{CLOSE_GAP, HALL_RATIO, SMALLEST_ROOM};
use super::walls::runs;
use crate::flatten::{Flat, Prim};
use crate::geom::FUZZ;
use crate::note::Note;
use crate::plan::{Light, Opening, Room};
use crate::rules::Rules;

/// All rooms, in file order.
pub fn rooms(flat: &Flat, classes: &Classes, claims: &mut [Claim], notes: &mut Vec<Note>) -> Vec<Room> {
    let mut rooms = Vec::new();
    let mut open: Vec<joined::Path> = Vec::new();
    for (i, item) in flat.items.iter().enumerate() {
        if classes.of[i] != Class::Room || claims[i] != Claim::None || !item.visible {
            continue;
        }
        if tagged::within_tag(flat, i) {
            continue;
        }
        let Some((points, closed)) = chords(&item.prim) else {
            continue;
        };
        match ring(&points, closed) {
            Some(outline) if !rooms.iter().any(|r: &Room| same(&r.outline, &outline)) => {
                claims[i] = Claim::Room;
                rooms.push(room(outline));
            }
            Some(_) => claims[i] = Claim::Room,
            None => open.push((i, points)),
        }
    }
    if !open.is_empty() {
        let (joined, along) = joined::joined(&open, &rooms);
        if let Some(first) = joined.first().and_then(|r| bounds(r.outline.iter().copied())) {
            notes.push(Note::info(
                "room-joined",
                format!(
                    "{} room(s) are drawn as loose lines on room layers, the first at ({:.1}, {:.1}) in: what the lines close is \
                     taken for rooms",
                    joined.len(),
                    first.0.x,
                    first.0.y
                ),
            ));
        }
        rooms.extend(joined);
        along.iter().for_each(|&i| claims[i] = Claim::Room);
        open.retain(|(i, _)| claims[*i] == Claim::None);
    }
    if !open.is_empty() {
        notes.push(Note::warning(
            "room-open",
            format!(
                "{} line(s) on room layers close no outline: draw each room as one closed polyline",
                open.len()
            ),
        ));
    }
    name(flat, classes, &mut rooms, claims);
    rooms
}

/// Rooms from the walls, where no room is drawn or no light stands in one that is; then what is written in
/// all rooms, and what the rules say of them. Gives the openings in the walls around them.
pub fn complete(
    flat: &Flat,
    classes: &Classes,
    rules: &Rules,
    (rooms, lights): (&mut Vec<Room>, &[Light]),
    claims: &mut [Claim],
    notes: &mut Vec<Note>,
) -> Vec<Opening> {
    let names = bare::names(flat, classes);
    let mut of_walls = Vec::new();
    let walls = walls_named(flat, classes, &names, &mut of_walls);
    let walled = from_walls(&walls, &mut of_walls);
    let framed = frames::leave_out(flat, rooms, &walled, notes);
    let used = lights.iter().any(|l| room_of(rooms, l.at).is_some());
    if rooms.is_empty() || !(used || lights.is_empty()) {
        rooms.extend(walled);
        notes.extend(of_walls);
    } else {
        let of_gaps = |n: &Note| matches!(n.code, "rooms-too-many-walls" | "room-gaps");
        notes.extend(of_walls.into_iter().filter(of_gaps));
        areas::settle(flat, rooms, &walled, (lights, framed), notes);
    }
    let stacked = match rooms.is_empty() {
        true => stacked::Stacked::default(),
        false => stacked::stacked(flat, classes),
    };
    texts::texts(flat, classes, &stacked, rooms, claims, notes);
    let open = open_below::name(flat, rooms, claims);
    for (part, head) in stacked.parts() {
        if claims[head] == Claim::RoomName && claims[part] == Claim::None {
            claims[part] = Claim::RoomName;
        }
    }
    tagged::claim(flat, claims);
    for room in rooms.iter_mut() {
        let (length, width) = rectangle(&room.outline);
        let named = room.name.as_deref().is_some_and(|n| {
            // An open plan with a hall in it is no hall.
            !n.contains(" / ") && words::names_a_hall(n)
        });
        room.class = room.name.as_deref().and_then(class::class);
        room.hall = named || (width > 0.0 && length >= HALL_RATIO * width * (1.0 - 1e-9));
        let rule = room.name.as_deref().and_then(|n| ruled::rule(rules, n));
        if let Some(rule) = rule {
            room.ceiling = rule.ceiling.or(room.ceiling);
            room.insulated = rule.insulated.unwrap_or(false);
            room.hall = rule.hall.unwrap_or(room.hall);
        }
    }
    ruled::told(rooms, rules, notes);
    let lit: Vec<Coord> = lights.iter().map(|l| l.at).collect();
    open_below::told(rooms, &open, &lit, notes);
    bare::told(walls.closed(), rooms, &names, &lit, notes);
    doubted::told(rooms, &walls, &lit, notes);
    openings::openings((flat, classes), walls.gaps(), &walls.drawn, rooms)
}

/// A counter-clockwise ring of at least a closet's size; `None` where the path is not closed.
pub fn ring(points: &[Coord], closed: bool) -> Option<Vec<Coord>> {
    let mut points = points.to_vec();
    if !closed {
        let (first, last) = (*points.first()?, *points.last()?);
        if points.len() < 4 || distance(first, last) > CLOSE_GAP {
            return None;
        }
        points.pop();
    }
    let mut ring = corners(&points, true);
    if ring.len() < 3 || area(&ring).abs() < SMALLEST_ROOM {
        return None;
    }
    if area(&ring) < 0.0 {
        ring.reverse();
    }
    Some(ring)
}

/// The same outline drawn twice, wherever it starts.
fn same(a: &[Coord], b: &[Coord]) -> bool {
    a.len() == b.len()
        && a.iter()
            .all(|p| b.iter().any(|q| distance(*p, *q) < CLOSE_GAP / 4.0))
}

/// A nameless room; its axis is its longest wall's direction.
fn room(outline: Vec<Coord>) -> Room {
    let axis = runs(&outline, true)
        .into_iter()
        .map(|(a, b)| b - a)
        .reduce(|best, side| {
            let longer = super::shape::length(side) - super::shape::length(best);
            // Opposite sides of a rectangle are equally long up to rounding: the first one holds.
            if longer > 1e-6 { side } else { best }
        })
        .and_then(unit)
        .map_or(Coord { x: 1.0, y: 0.0 }, canonical);
    Room {
        name: None,
        class: None,
        outline,
        hall: false,
        axis,
        insulated: false,
        ceiling: None,
        drawn: true,
    }
}

/// Gives each text to the smallest room around it; a room is named by the first one on a room
/// layer, else by the first one at all, that reads like a name.
fn name(flat: &Flat, classes: &Classes, rooms: &mut [Room], claims: &mut [Claim]) {
    if rooms.is_empty() {
        return;
    }
    let boxes: Vec<_> = rooms.iter().map(|r| bounds(r.outline.iter().copied())).collect();
    let areas: Vec<f64> = rooms.iter().map(|r| area(&r.outline)).collect();
    let mut chosen: Vec<Option<(bool, usize, String)>> = vec![None; rooms.len()];
    let stacked = stacked::stacked(flat, classes);
    for (i, item) in flat.items.iter().enumerate() {
        if !item.visible || claims[i] != Claim::None || stacked.is_part(i) {
            continue;
        }
        let (at, words) = match &item.prim {
            Prim::Text { at, text, .. } => (*at, name_in(stacked.whole(i).map_or(text, |w| w.0))),
            _ => match tagged::tag(item, classes.of[i]) {
                Some(tag) if tag.certain || tag.name.as_deref().is_some_and(names_a_room) => {
                    (tag.at, tag.name)
                }
                _ => continue,
            },
        };
        let Some(words) = words else { continue };
        let home = (0..rooms.len())
            .filter(|&r| within(boxes[r], at) && contains(&rooms[r].outline, at))
            .min_by(|&a, &b| areas[a].total_cmp(&areas[b]).then(a.cmp(&b)));
        let Some(home) = home else { continue };
        let other_layer = classes.of[i] != Class::Room;
        if chosen[home]
            .as_ref()
            .is_none_or(|(other, ..)| *other && !other_layer)
        {
            chosen[home] = Some((other_layer, i, words));
        }
    }
    for (room, choice) in rooms.iter_mut().zip(chosen) {
        if let Some((_, item, words)) = choice {
            claims[item] = Claim::RoomName;
            room.name = Some(words);
        }
    }
}

fn within(bounds: Option<(Coord, Coord)>, p: Coord) -> bool {
    bounds.is_some_and(|(lo, hi)| p.x >= lo.x && p.x <= hi.x && p.y >= lo.y && p.y <= hi.y)
}

/// The lines of a text that read like a name, joined; `None` where there are none. A line of
/// figures with units (`13'8 x 14'`, `CLG 9'-0"`) is a size, not a name.
fn name_in(text: &str) -> Option<String> {
    let lines: Vec<_> = (text.lines().map(lettering::plain))
        .filter(|l| reads_like_a_name(l) && !is_letters(l))
        .collect();
    (!lines.is_empty()).then(|| lines.join(" "))
}

fn reads_like_a_name(line: &str) -> bool {
    const UNITS: [&str; 13] = [
        "X", "BY", "FT", "IN", "MM", "CM", "M", "SF", "SQ", "CLG", "CH", "HT", "OC",
    ];
    // A foot mark or an inch mark follows a figure; OWNER'S has an apostrophe.
    let marked = line.char_indices().any(|(i, c)| {
        matches!(c, '\'' | '"' | '′' | '″' | '’' | '”')
            && line[..i]
                .trim_end()
                .ends_with(|b: char| b.is_ascii_digit() || b == '\'')
    });
    let has_size = marked
        || line.contains('@')
        || line
            .split_whitespace()
            .filter(|w| w.starts_with(|c: char| c.is_ascii_digit()))
            .count()
            > 1;
    // `W.I.C.` is one word.
    let dotless = line.replace('.', "");
    let words: Vec<&str> = dotless
        .split(|c: char| !c.is_alphabetic())
        .filter(|w| !w.is_empty())
        .collect();
    let telling = words
        .iter()
        .filter(|w| w.chars().count() >= 2 && !UNITS.contains(&w.to_uppercase().as_str()))
        .count();
    // `LIVING AREA 1022 S.F.` measures, and names no room.
    let measures =
        words.iter().any(|w| w.eq_ignore_ascii_case("AREA")) && line.contains(|c: char| c.is_ascii_digit());
    telling > 0 && !has_size && !measures
}

/// Where names of rooms are written.
pub fn name_places(flat: &Flat) -> Vec<Coord> {
    (flat.items.iter().filter(|item| item.visible))
        .filter_map(|item| match &item.prim {
            Prim::Text { at, text, .. } if names_a_room(text) => Some(*at),
            _ => None,
        })
        .collect()
}

pub use alike::places as places_of_names;

/// The smallest room that holds `p`.
pub fn room_of(rooms: &[Room], p: Coord) -> Option<usize> {
    (0..rooms.len())
        .filter(|&r| contains(&rooms[r].outline, p))
        .min_by(|&a, &b| {
            let (a_area, b_area) = (area(&rooms[a].outline).abs(), area(&rooms[b].outline).abs());
            a_area.total_cmp(&b_area).then(a.cmp(&b))
        })
}

/// The same, for many points: rooms in the order in which they hold, with their boxes.
pub struct RoomsByPlace(Vec<(usize, (Coord, Coord))>);

impl RoomsByPlace {
    pub fn new(rooms: &[Room]) -> RoomsByPlace {
        let mut order: Vec<(f64, usize)> = (rooms.iter().enumerate())
            .map(|(i, r)| (area(&r.outline).abs(), i))
            .collect();
        order.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        // What is on the edge is inside.
        let edge = Coord { x: FUZZ, y: FUZZ };
        let boxed = |(_, i): (f64, usize)| {
            let (low, high) = bounds(rooms[i].outline.iter().copied())?;
            Some((i, (low - edge, high + edge)))
        };
        RoomsByPlace(order.into_iter().filter_map(boxed).collect())
    }

    /// Of the rooms that it was made of, the one that a point is in.
    pub fn of(&self, rooms: &[Room], p: Coord) -> Option<usize> {
        let inside =
            |(low, high): &(Coord, Coord)| (low.x..=high.x).contains(&p.x) && (low.y..=high.y).contains(&p.y);
        let mut near = self.0.iter().filter(|(_, around)| inside(around));
        near.find(|(i, _)| rooms.get(*i).is_some_and(|r| contains(&r.outline, p)))
            .map(|(i, _)| *i)
    }
}
