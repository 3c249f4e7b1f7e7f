//! Evidence for outlines of rooms and for walls.

use geo::Coord;

use super::super::classes::{Claim, Class, Classes};
use super::super::reading::Named;
use super::super::rooms as read;
use super::super::shape::{area, between_degrees, chords, contains, distance, point_to_segment};
use super::super::walls::runs;
use super::{Blank, Judged, length_of, sides};
use crate::flatten::{Flat, Prim};

/// A room is no smaller than a closet and no larger than a hall of a house, square inches (4 to 3,000 sq ft).
const ROOM: std::ops::RangeInclusive<f64> = 576.0..=432_000.0;
/// The outer face of a wall stands no further than this from the room (a 2×8 wall with its boards).
const WALL: f64 = 13.0;
/// Fewer sides enclose nothing.
const FEWEST: usize = 4;
/// So much of the rooms' outlines is accompanied by walls where doors and windows are cut out.
const COVERED: f64 = 0.6;

/// Words of a name on lines of their own stand no further apart, inches.
const SAME_NAME: f64 = 24.0;

type Side = (Coord, Coord);

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
        rooms = read::from_walls(flat, classes, &mut Vec::new());
    }
    rooms.into_iter().map(|r| r.outline).collect()
}

/// Where names of rooms are written.
fn names(flat: &Flat) -> Vec<Coord> {
    (flat.items.iter().filter(|item| item.visible))
        .filter_map(|item| match &item.prim {
            Prim::Text { at, text, .. } if read::names_a_room(text) => Some(*at),
            _ => None,
        })
        .collect()
}

/// A polyline without arcs: a table is round, a room seldom is.
fn straight(prim: &Prim) -> Option<(Vec<Coord>, bool)> {
    match prim {
        Prim::Path { vertices, .. } if vertices.iter().all(|v| v.bulge == 0.0) => chords(prim),
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
        sides.all(|side| outer.iter().any(|o| accompanies(side, *o)))
    };
    rings.iter().any(|r| holds(r, ring) && beside(r))
}

/// The layer whose closed outlines each hold a room's name.
pub fn rooms(flat: &Flat, blank: &Blank) -> Vec<Judged> {
    let names = names(flat);
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
                "{} closed outline(s) of a room's size, {called} with a room's name inside",
                rings.len()
            ),
        };
        if called > 0 && best.as_ref().is_none_or(|b| confidence > b.confidence) {
            best = Some(judged);
        }
    }
    best.into_iter().collect()
}

/// The layer whose lines accompany the outlines of rooms, else the one whose lines close rooms.
pub fn walls(flat: &Flat, classes: &mut Classes, blank: &Blank) -> Vec<Judged> {
    let known = outlines(flat, classes);
    let names = names(flat);
    let mut best: Option<Judged> = None;
    for (layer, items) in &blank.layers {
        let lines = sides(flat, items);
        if lines.len() < FEWEST {
            continue;
        }
        let rooms = if known.is_empty() {
            items.iter().for_each(|&i| classes.of[i] = Class::Wall);
            let found = outlines(flat, classes);
            items.iter().for_each(|&i| classes.of[i] = Class::Other);
            found
        } else {
            known.clone()
        };
        let around: Vec<Side> = rooms.iter().flat_map(|r| runs(r, true)).collect();
        if around.is_empty() {
            continue;
        }
        let beside: Vec<Side> = (lines.iter().copied())
            .filter(|line| around.iter().any(|side| accompanies(*line, *side)))
            .collect();
        let share = length_of(&beside) / length_of(&lines);
        let cover = (length_of(&beside) / length_of(&around) / COVERED).min(1.0);
        let called = named(&rooms, &names);
        let closes = called as f64 / rooms.len() as f64;
        let (confidence, why) = if known.is_empty() {
            (
                0.1 + 0.45 * share + 0.45 * closes,
                format!(
                    "its lines close {} room(s), {called} with a room's name inside; {:.0} % run along them",
                    rooms.len(),
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
        };
        let shown = if known.is_empty() { called > 0 } else { cover > 0.5 };
        if shown && best.as_ref().is_none_or(|b| confidence > b.confidence) {
            best = Some(judged);
        }
    }
    best.into_iter().collect()
}

/// Whether a line runs along a side, no further away than a wall is thick.
fn accompanies(line: Side, side: Side) -> bool {
    let (along, of) = (line.1 - line.0, side.1 - side.0);
    let beyond = |p: Coord| point_to_segment(p, side.0, side.1) <= WALL;
    between_degrees(along, of) < 1.0
        && (beyond(line.0) && beyond(line.1)
            // The outer face is longer than the inner one, and one wall may pass several rooms.
            || distance(side.0, side.1) > 0.0
                && point_to_segment(side.0, line.0, line.1) <= WALL
                && point_to_segment(side.1, line.0, line.1) <= WALL)
}
