//! Outlines on room layers held against the walls: those that go round several rooms, and those along the middle or the
//! outer faces of walls.
//!
//! Area plans have both: one outline round the whole house with its floor area, one a room along the walls' middles. The faces of
//! the walls are what lights stand before.

use geo::Coord;

use super::super::shape::{area, contains, distance, point_to_segment};
use super::super::walls::runs;
use super::{name_places, within};
use crate::flatten::Flat;
use crate::length::feet_inches;
use crate::note::Note;
use crate::plan::{Light, Room};
use crate::recognise::shape::{bounds, rectangle};

/// The outer face of a wall stands no further than this from the room (a 2×8 wall with its boards), inches.
const WALL: f64 = 13.0;
/// Outlines nearer than this to the walls' faces are drawn along them, inches.
const ON: f64 = 0.75;
/// Names of rooms that make an outline one round several rooms.
const SEVERAL: usize = 2;

/// Takes the walls' faces where outlines are drawn along the walls, and the rooms between the walls where an outline goes
/// round several that have names. `walled` are the rooms that the walls close; with `framed` outlines were left out that only
/// framed names, and the rooms between the walls stand in for them.
pub fn settle(
    flat: &Flat,
    rooms: &mut Vec<Room>,
    walled: &[Room],
    (lights, framed): (&[Light], bool),
    notes: &mut Vec<Note>,
) {
    if walled.is_empty() {
        return;
    }
    let names = name_places(flat);
    let named = |room: &Room| names.iter().any(|&p| contains(&room.outline, p));
    let (mut around, mut moved) = (Vec::new(), 0);
    let mut kept = Vec::new();
    for room in rooms.drain(..) {
        let inside: Vec<&Room> = walled
            .iter()
            .filter(|w| goes_round(&room.outline, &w.outline))
            .collect();
        if inside.iter().filter(|w| named(w)).count() >= SEVERAL {
            around.push(room);
            continue;
        }
        match inside[..] {
            [one] if beside(&room.outline, &one.outline) => {
                moved += 1;
                kept.push(Room {
                    outline: one.outline.clone(),
                    axis: one.axis,
                    ..room
                });
            }
            _ => kept.push(room),
        }
    }
    let covered = |w: &Room| {
        let one = |k: &Room| goes_round(&k.outline, &w.outline) || goes_round(&w.outline, &k.outline);
        kept.iter().any(one)
    };
    let lit = |w: &Room| lights.iter().any(|l| contains(&w.outline, l.at));
    let open = walled.iter().filter(|w| !covered(w));
    if around.is_empty() {
        let more: Vec<Room> = open.filter(|w| named(w) && (lit(w) || framed)).cloned().collect();
        if !more.is_empty() {
            notes.push(Note::info(
                "rooms-from-walls",
                format!(
                    "{} room(s) with lights and a name have no outline on room layers: they were taken from the wall lines",
                    more.len()
                ),
            ));
        }
        kept.extend(more);
    } else {
        let more: Vec<Room> = open.filter(|w| named(w) || lit(w)).cloned().collect();
        let sizes: Vec<String> = around.iter().take(MOST_SIZES).map(size).collect();
        notes.push(Note::warning(
            "room-around",
            format!(
                "{} outline(s) on room layers go round several rooms that the walls close ({}): they are no rooms, and {} \
                 room(s) between the walls are; name their layer under [read] ignore in bayline.toml to be sure",
                around.len(),
                sizes.join(", "),
                more.len()
            ),
        ));
        kept.extend(more);
    }
    if moved > 0 {
        notes.push(Note::info(
            "room-at-walls",
            format!("{moved} outline(s) of rooms are drawn along the middle or the outside of walls: the faces of the walls hold"),
        ));
    }
    *rooms = kept;
}

/// Most outlines that a note measures.
const MOST_SIZES: usize = 3;

fn size(room: &Room) -> String {
    let (long, wide) = rectangle(&room.outline);
    format!("{} by {}", feet_inches(long), feet_inches(wide))
}

/// Whether all of a room is within an outline, or within a wall's thickness of it.
fn goes_round(outline: &[Coord], room: &[Coord]) -> bool {
    let slack = Coord { x: WALL, y: WALL };
    let around = bounds(outline.iter().copied()).map(|(low, high)| (low - slack, high + slack));
    let holds = |p: &Coord| within(around, *p) && (contains(outline, *p) || off(*p, outline) <= ON);
    room.iter().all(holds) && area(room).abs() <= area(outline).abs() * 1.001
}

/// Whether an outline runs beside a room's walls all the way, further off than drawn on them and no further than
/// a wall is thick.
fn beside(outline: &[Coord], room: &[Coord]) -> bool {
    let offs: Vec<f64> = outline.iter().map(|p| off(*p, room)).collect();
    // A corner is off by the walls' thickness both ways.
    let near = offs.iter().all(|d| *d <= WALL * std::f64::consts::SQRT_2);
    let apart = offs.iter().any(|d| *d > ON);
    let length: f64 = runs(outline, true).iter().map(|(a, b)| distance(*a, *b)).sum();
    near && apart && area(outline).abs() - area(room).abs() <= WALL * length
}

fn off(p: Coord, ring: &[Coord]) -> f64 {
    let sides = runs(ring, true);
    sides
        .iter()
        .map(|(a, b)| point_to_segment(p, *a, *b))
        .fold(f64::INFINITY, f64::min)
}
