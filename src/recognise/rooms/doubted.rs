//! Rooms that may be more than one, as the walls between them were not closed where they stand.
//!
//! *A door in a room*: a swing hinged where no gap of the walls was closed, in a room with the names of several: a wall that
//! was not read holds it. *A room around*: one that goes out to the outer line of all walls, around others.

use geo::Coord;

use super::super::shape::{bounds, contains, distance, point_to_segment};
use super::from_walls::Walls;
use super::gaps::HINGE;
use crate::note::{Level, Note};
use crate::plan::{OpeningKind, Room};

/// Between the outline of a room and the outer line of the walls, inches.
const OUT: f64 = 1.0;
/// Rooms in a room before it may be none; a hall may go around a closet.
const INSIDE: usize = 2;

/// Says which rooms from walls may be several, or parts of others. `lit` are the places of lights.
pub fn told(rooms: &[Room], walls: &Walls, lit: &[Coord], notes: &mut Vec<Note>) {
    nameless(rooms, lit, notes);
    let walled = |r: &&Room| !r.drawn && r.name.is_some();
    for room in rooms.iter().filter(walled) {
        let name = room.name.as_deref().unwrap_or_default();
        let doors = doors_amid(room, walls);
        if let (true, Some(first)) = (name.contains(" / "), doors.first()) {
            notes.push(Note::warning(
                "room-doors",
                format!(
                    "{} door(s) are drawn amid {name}, the first at ({:.1}, {:.1}) in, in no gap of a wall that is read: what stands \
                     between those rooms is missing here; see what the wall is drawn on, or draw outlines of rooms",
                    doors.len(),
                    first.x,
                    first.y
                ),
            ));
        }
        let inside = rooms.iter().filter(|r| holds(room, r)).count();
        if inside >= INSIDE && goes_out(room, walls) {
            notes.push(Note::warning(
                "room-around",
                format!(
                    "{name} goes around {inside} other rooms to the outer line of the walls: a wall of it is open or a door \
                     beside it is not understood; close it, or draw outlines of rooms"
                ),
            ));
        }
    }
}

/// Tells of rooms from walls without a name where most have one.
fn nameless(rooms: &[Room], lit: &[Coord], notes: &mut Vec<Note>) {
    let bare: Vec<&Room> = rooms.iter().filter(|r| !r.drawn && r.name.is_none()).collect();
    let named = rooms.iter().filter(|r| r.name.is_some()).count();
    let Some(first) = bare.first().filter(|_| named > bare.len()) else {
        return;
    };
    let lights = lit
        .iter()
        .filter(|p| bare.iter().any(|r| contains(&r.outline, **p)))
        .count();
    let corner = bounds(first.outline.iter().copied()).map_or(Coord::default(), |b| b.0);
    let (level, with) = match lights {
        0 => (Level::Info, String::new()),
        n => (Level::Warning, format!(", and {n} light(s) in them")),
    };
    notes.push(Note::new(
        level,
        "room-nameless",
        format!(
            "{} room(s) that the walls close have no name{with}, the first with its lower left corner at ({:.1}, {:.1}) in: a line \
             of a counter, of treads or of a roof's edge on the walls' layer cuts a room so; put it on another layer, or write its \
             name in",
            bare.len(),
            corner.x,
            corner.y
        ),
    ));
}

/// Hinges of doors in a room that stand in no opening.
fn doors_amid(room: &Room, walls: &Walls) -> Vec<Coord> {
    let placed = |p: Coord| {
        let near = |g: &super::gaps::Gap| point_to_segment(p, g.from, g.to) <= g.thickness / 2.0 + HINGE;
        walls.gaps().iter().any(near)
    };
    let doors = walls.drawn.iter().filter(|d| d.kind == OpeningKind::Door);
    let mut found: Vec<Coord> = Vec::new();
    for hinge in doors.filter_map(|d| d.hinge) {
        let again = found.iter().any(|p| distance(*p, hinge) <= OUT);
        if !again && contains(&room.outline, hinge) && !placed(hinge) {
            found.push(hinge);
        }
    }
    found
}

fn holds(around: &Room, room: &Room) -> bool {
    !std::ptr::eq(around, room) && room.outline.iter().all(|p| contains(&around.outline, *p))
}

fn goes_out(room: &Room, walls: &Walls) -> bool {
    let all = bounds(walls.closed().network.nodes.iter().copied());
    let own = bounds(room.outline.iter().copied());
    own.zip(all)
        .is_some_and(|(own, all)| distance(own.0, all.0) <= OUT && distance(own.1, all.1) <= OUT)
}
