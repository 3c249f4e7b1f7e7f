//! Evidence for outlines of rooms and for walls.

use std::sync::Arc;

use geo::Coord;

use super::super::classes::{Claim, Class, Classes};
use super::super::reading::Named;
use super::super::rooms as read;
use super::super::shape::{area, between_degrees, chords, contains, distance, point_to_segment};
use super::super::walls::{only_filled, runs};
use super::super::wide;
use super::{ASKED, Basis, Blank, Judged, TAKEN, length_of, sides};
use crate::flatten::{Flat, Prim};

/// A room is no smaller than a closet and no larger than a hall of a house, square inches (4 to 3,000 sq ft).
const ROOM: std::ops::RangeInclusive<f64> = 576.0..=432_000.0;
/// The outer face of a wall stands no further than this from the room (a 2×8 wall with its boards).
const WALL: f64 = 13.0;
/// Fewer sides enclose nothing.
const FEWEST: usize = 4;
/// Fewer rooms without names may be tables.
const FEWEST_ROOMS: usize = 3;
/// So much of the rooms' outlines is accompanied by walls where doors and windows are cut out.
const COVERED: f64 = 0.6;

/// A line no further from a room's outline than this lies on it.
const ON: f64 = 1.0;
/// Shares of the outlines that differ by more than this tell walls from what is beside them; so does one room or door.
const CLEARLY: f64 = 0.2;
/// Words of a name on lines of their own stand no further apart, inches.
const SAME_NAME: f64 = 24.0;
/// So many times the share of rooms with names is clearly more.
const TWICE: f64 = 2.0;

type Side = (Coord, Coord);
type Rings = Vec<Vec<Coord>>;

/// The rooms and walls as far as they are known.
pub struct House {
    pub rooms: Vec<Vec<Coord>>,
    /// Sides of rooms, and lines of walls.
    pub lines: Vec<Side>,
}

impl House {
    pub fn new(flat: &Flat, classes: &Classes) -> Self {
        let rooms = outlines(flat, classes);
        let walls: Vec<usize> = (0..flat.items.len())
            .filter(|&i| classes.of[i] == Class::Wall && flat.items[i].visible)
            .collect();
        let mut lines = sides(flat, &walls);
        lines.extend(rooms.iter().flat_map(|r| runs(r, true)));
        House { rooms, lines }
    }
}

/// Outlines of the rooms that the classes give.
fn outlines(flat: &Flat, classes: &Classes) -> Vec<Vec<Coord>> {
    let mut claims = vec![Claim::None; flat.items.len()];
    let mut rooms = read::rooms(flat, classes, &mut claims, &mut Vec::new());
    if rooms.is_empty() {
        let mut notes = Vec::new();
        rooms = read::from_walls(&read::walls(flat, classes, &mut notes), &mut notes);
    }
    rooms.into_iter().map(|r| r.outline).collect()
}

/// A polyline without arcs: a table is round, a room seldom is. One as wide as a wall is thick is a wall.
fn straight(prim: &Prim) -> Option<(Vec<Coord>, bool)> {
    match prim {
        Prim::Path { vertices, closed }
            if vertices.iter().all(|v| v.bulge == 0.0) && wide::faces(vertices, *closed).is_none() =>
        {
            chords(prim)
        }
        _ => None,
    }
}

fn named(rings: &[Vec<Coord>], names: &[Coord]) -> usize {
    let has = |ring: &&Vec<Coord>| names.iter().any(|&p| contains(ring, p));
    rings.iter().filter(has).count()
}

fn holds(ring: &[Coord], other: &[Coord]) -> bool {
    ring != other && other.iter().all(|&p| contains(ring, p))
}

/// Whether one room's name alone is written in a ring: inner faces of walls that run through doors have several.
fn named_once(ring: &[Coord], names: &[Coord]) -> bool {
    let mut within = names.iter().filter(|&&p| contains(ring, p));
    within
        .next()
        .is_some_and(|&first| within.all(|&p| distance(first, p) <= SAME_NAME))
}

/// Whether another ring runs around this one a wall's thickness away: the two are the faces of walls.
fn faced(ring: &[Coord], rings: &[Vec<Coord>]) -> bool {
    let beside = |outer: &Vec<Coord>| {
        let outer = runs(outer, true);
        let mut sides = runs(ring, true).into_iter();
        sides.all(|side| outer.iter().any(|o| accompanies(side, *o, WALL)))
    };
    rings.iter().any(|r| holds(r, ring) && beside(r))
}

fn a_name(alike: bool) -> &'static str {
    match alike {
        true => "a room's name, or what is set as one,",
        false => "a room's name",
    }
}

/// The layer whose closed outlines each hold a room's name.
pub fn rooms(flat: &Flat, blank: &Blank) -> Vec<Judged> {
    let (names, alike) = read::places_of_names(flat);
    let mut best: Option<Judged> = None;
    for (layer, items) in &blank.layers {
        let drawn = items.iter().filter(|&&i| chords(&flat.items[i].prim).is_some());
        let all = drawn.count();
        let rings: Vec<Vec<Coord>> = (items.iter())
            .filter_map(|&i| straight(&flat.items[i].prim))
            .filter_map(|(points, closed)| read::ring(&points, closed))
            .filter(|ring| ROOM.contains(&area(ring).abs()))
            .collect();
        if rings.is_empty() {
            continue;
        }
        // A border around everything is no room.
        let around = |ring: &Vec<Coord>| rings.iter().any(|r| holds(ring, r));
        let nested = rings.iter().filter(|r| around(r)).count();
        let share = |n: usize, of: usize| n as f64 / of.max(1) as f64;
        let leaves: Vec<&Vec<Coord>> = rings.iter().filter(|r| !around(r)).collect();
        let own = |ring: &&&Vec<Coord>| named_once(ring, &names) && !faced(ring, &rings);
        let called = leaves.iter().filter(own).count();
        let confidence = 0.3 * share(rings.len(), all)
            + 0.2 * (1.0 - share(nested, rings.len()))
            + 0.5 * share(called, leaves.len());
        let judged = Judged {
            named: Named::Layer,
            name: (*layer).clone(),
            class: Class::Room,
            count: rings.len(),
            confidence,
            why: format!(
                "{} closed outline(s) of a room's size, {called} with {} inside",
                rings.len(),
                a_name(alike)
            ),
            basis: Basis::Nothing,
        };
        if called > 0 && best.as_ref().is_none_or(|b| confidence > b.confidence) {
            best = Some(judged);
        }
    }
    best.into_iter().collect()
}

/// A layer that may be the walls.
struct Candidate {
    judged: Judged,
    /// Rooms with a name that it closes, and openings bridged for that; none where rooms are known without it.
    closed: (usize, usize),
    /// The share of the rooms it closes that have a name.
    named: f64,
    /// The share of the rooms' outlines that its lines lie on.
    on: f64,
    /// It has lines: hatches alone may fill what the lines of another enclose.
    lines: bool,
}

impl Candidate {
    /// Tells more of the rooms in between and their doors, where it is the layers that close rooms; else lies nearer
    /// to the rooms.
    fn beats(&self, other: &Candidate) -> bool {
        let ((rooms, doors), (others, their)) = (self.closed, other.closed);
        let outlined = self.lines && !other.lines;
        match rooms + others {
            0 => self.on > other.on + CLEARLY || outlined && self.on > other.on - CLEARLY,
            // Crosses of symbols and the legs between them close rooms too, most of them without a name.
            _ if others >= rooms && other.named >= TWICE * self.named => false,
            _ if rooms >= others && self.named >= TWICE * other.named => true,
            _ if rooms == others && doors == their => outlined,
            _ => rooms >= 2 * others || rooms >= others && doors >= their,
        }
    }
}

/// The layer whose lines accompany the outlines of rooms, else the one whose lines close rooms. Walls of the storey
/// below, footings and the outline of the whole house do so too: of several the one with more named rooms, more doors
/// and windows, or lines nearer to the rooms is taken, and where that does not tell all are asked about.
pub fn walls(flat: &Flat, classes: &mut Classes, blank: &Blank) -> Vec<Judged> {
    let known = outlines(flat, classes);
    let (names, alike) = read::places_of_names(flat);
    let mut found: Vec<Candidate> = Vec::new();
    for (layer, items) in &blank.layers {
        let lines = sides(flat, items);
        if lines.len() < FEWEST {
            continue;
        }
        let (rooms, openings) = if known.is_empty() {
            items.iter().for_each(|&i| classes.of[i] = Class::Wall);
            let walls = read::walls(flat, classes, &mut Vec::new());
            let (found, openings) = (read::from_walls(&walls, &mut Vec::new()), walls.gaps().len());
            items.iter().for_each(|&i| classes.of[i] = Class::Other);
            (found.into_iter().map(|r| r.outline).collect(), openings)
        } else {
            (known.clone(), 0)
        };
        let around: Vec<Side> = rooms.iter().flat_map(|r| runs(r, true)).collect();
        if around.is_empty() {
            continue;
        }
        let beside = |within: f64| -> f64 {
            let beside = |line: &&Side| around.iter().any(|side| accompanies(**line, *side, within));
            let lines: Vec<Side> = lines.iter().filter(beside).copied().collect();
            length_of(&lines)
        };
        let share = beside(WALL) / length_of(&lines);
        let cover = (beside(WALL) / length_of(&around) / COVERED).min(1.0);
        let called = named(&rooms, &names);
        let closes = called as f64 / rooms.len() as f64;
        let (confidence, why) = if known.is_empty() {
            (
                // How many rooms it tells beside the other layers is added below.
                0.1 + 0.45 * share + 0.25 * closes,
                format!(
                    "its lines close {} room(s), {called} with {} inside; {:.0} % run along them",
                    rooms.len(),
                    a_name(alike),
                    100.0 * share
                ),
            )
        } else {
            (
                0.1 + 0.5 * share + 0.4 * cover,
                format!(
                    "{:.0} % of its {} lines run along outlines of rooms",
                    100.0 * share,
                    lines.len()
                ),
            )
        };
        let judged = Judged {
            named: Named::Layer,
            name: (*layer).clone(),
            class: Class::Wall,
            count: lines.len(),
            confidence,
            why,
            basis: Basis::Nothing,
        };
        // What closes rooms by the bridges over its gaps alone, as symbols in a row do, is no wall. Where no names are written at all
        // nothing but what it closes speaks for it.
        let unnamed = names.is_empty() && rooms.len() >= FEWEST_ROOMS;
        if cover > 0.5 && (called > 0 || unnamed || !known.is_empty()) {
            let closed = if known.is_empty() {
                (if unnamed { rooms.len() } else { called }, openings)
            } else {
                (0, 0)
            };
            let on = (beside(ON) / length_of(&around)).min(1.0);
            let named = if known.is_empty() { closes } else { 0.0 };
            let lines = !only_filled(flat, items.iter().copied());
            found.push(Candidate {
                judged,
                closed,
                named,
                on,
                lines,
            });
        }
    }
    let most = found.iter().map(|c| c.closed.0).max().unwrap_or(0);
    for c in found.iter_mut().filter(|_| most > 0) {
        c.judged.confidence += 0.2 * c.closed.0 as f64 / most as f64;
    }
    // Lines beside rooms that are known are rivals only where they are as good as taken.
    chosen(found, if known.is_empty() { ASKED } else { TAKEN })
}

/// The most certain one; of several that may well be walls the one that beats every other, else all of them, none
/// certain enough to be taken.
fn chosen(mut found: Vec<Candidate>, from: f64) -> Vec<Judged> {
    found.sort_by(|a, b| {
        (b.judged.confidence.total_cmp(&a.judged.confidence)).then(a.judged.name.cmp(&b.judged.name))
    });
    let rivals = found
        .iter()
        .filter(|c| c.judged.confidence >= from - 1e-9)
        .count();
    found.truncate(rivals.max(1));
    let first = (0..found.len()).find(|&i| {
        let mut others = found.iter().enumerate().filter(|(k, _)| *k != i);
        others.all(|(_, o)| found[i].beats(o))
    });
    let names: Vec<Arc<str>> = found.iter().map(|c| c.judged.name.clone()).collect();
    match first {
        Some(i) if found[i].judged.taken() || i == 0 => vec![found.swap_remove(i).judged],
        _ => {
            let mut all: Vec<Judged> = found.into_iter().map(|c| c.judged).collect();
            for j in &mut all {
                j.confidence = j.confidence.min(TAKEN - 0.01);
                let others: Vec<&str> = names.iter().map(|n| &**n).filter(|n| *n != &*j.name).collect();
                if !others.is_empty() {
                    j.why = format!("{}, as do those on {}", j.why, others.join(", "));
                }
            }
            all
        }
    }
}

/// How sure it is that lines are walls which part rooms with several names, where each then has one.
const PARTS_ALL: f64 = 0.9;
const PARTS_SOME: f64 = 0.7;
/// The faces of a wall stand further apart than this, inches.
const THINNEST: f64 = 2.5;

/// Further layers of walls beside those that names give: what parts rooms that have several names. The one that parts most
/// comes first, then what parts the rest.
pub fn more_walls(flat: &Flat, classes: &Classes, blank: &Blank) -> Vec<Judged> {
    let names = read::name_places(flat);
    let mut classes = classes.clone();
    let several = |rooms: &[Vec<Coord>]| {
        let within = |r: &&Vec<Coord>| names.iter().any(|&p| contains(r, p)) && !named_once(r, &names);
        rooms.iter().filter(within).count()
    };
    let alone = |rooms: &[Vec<Coord>]| rooms.iter().filter(|r| named_once(r, &names)).count();
    let mut rooms = outlines(flat, &classes);
    let mut found: Vec<Judged> = Vec::new();
    while several(&rooms) > 0 {
        let mut best: Option<(usize, &Arc<str>, Rings)> = None;
        for (layer, items) in &blank.layers {
            let free = |i: &&usize| classes.of[**i] == Class::Other;
            if found.iter().any(|j| j.name == *layer)
                || sides(flat, items).is_empty()
                || !items.iter().any(|i| free(&i))
            {
                continue;
            }
            items.iter().for_each(|&i| classes.of[i] = Class::Wall);
            let parted = outlines(flat, &classes);
            items.iter().for_each(|&i| classes.of[i] = Class::Other);
            let more = alone(&parted);
            if more > alone(&rooms) && best.as_ref().is_none_or(|b| more > b.0) {
                best = Some((more, layer, parted));
            }
        }
        let Some((_, layer, parted)) = best else {
            break;
        };
        let (before, after) = (alone(&rooms), alone(&parted));
        let items = &blank.layers[layer];
        items.iter().for_each(|&i| classes.of[i] = Class::Wall);
        let half = !super::says_nothing(layer);
        found.push(Judged {
            named: Named::Layer,
            name: layer.clone(),
            class: Class::Wall,
            count: sides(flat, items).len(),
            confidence: PARTS_SOME,
            why: format!("with its lines {after} room(s) have a name of their own, {before} without"),
            basis: if half { Basis::Half } else { Basis::Nothing },
        });
        rooms = parted;
    }
    // All of them together do it, and are drawn as walls, or none is certain.
    let doubled = |j: &Judged| {
        let lines = sides(flat, &blank.layers[&j.name]);
        let pair = |a: &&Side| {
            lines
                .iter()
                .any(|b| accompanies(**a, *b, WALL) && !accompanies(**a, *b, THINNEST))
        };
        let paired: Vec<Side> = lines.iter().filter(pair).copied().collect();
        length_of(&paired) >= 0.5 * length_of(&lines)
    };
    let all = several(&rooms) == 0 && found.iter().all(doubled);
    for j in &mut found {
        j.confidence = if all { PARTS_ALL } else { PARTS_SOME };
    }
    found
}

/// Whether a line runs along a side, no further away than that.
fn accompanies(line: Side, side: Side, within: f64) -> bool {
    let (along, of) = (line.1 - line.0, side.1 - side.0);
    let beyond = |p: Coord| point_to_segment(p, side.0, side.1) <= within;
    between_degrees(along, of) < 1.0
        && (beyond(line.0) && beyond(line.1)
            // The outer face is longer than the inner one, and one wall may pass several rooms.
            || distance(side.0, side.1) > 0.0
                && point_to_segment(side.0, line.0, line.1) <= within
                && point_to_segment(side.1, line.0, line.1) <= within)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn candidate(closed: (usize, usize), named: f64) -> Candidate {
        Candidate {
            judged: Judged {
                named: Named::Layer,
                name: "2".into(),
                class: Class::Wall,
                count: 96,
                confidence: 0.9,
                why: String::new(),
                basis: Basis::Nothing,
            },
            closed,
            named,
            on: 1.0,
            lines: true,
        }
    }

    #[test]
    fn rooms_without_names_speak_against_what_closes_them() {
        // Nine rooms, all with names; and 42 cells between symbols, nine of which hold the same names.
        let (walls, symbols) = (candidate((9, 14), 1.0), candidate((9, 60), 9.0 / 42.0));
        assert!(walls.beats(&symbols) && !symbols.beats(&walls));
        // Half of them may be closets.
        let below = candidate((9, 15), 0.6);
        assert!(!walls.beats(&below) && below.beats(&walls));
    }
}
