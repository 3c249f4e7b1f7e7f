//! Strips of a room that one line on the walls' layer cuts off: a counter along a wall, a tub, a closet's shelf or rod.
//!
//! *Strip*: a face without a name whose outline is a wall's on all sides but for one line, or one run of lines, that has no
//! wall's thickness; beyond that is a room with one name. It is as deep as what stands along walls in rooms of that
//! kind, all along the run. No door leads into it. Then the line is no wall, and the room is whole.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;

use super::super::shape::{contains, corners, distance, point_to_segment};
use super::class::class;
use super::from_walls::THINNEST;
use super::gaps::Gap;
use crate::geom::faces::{Face, Network};
use crate::note::Note;
use crate::plan::RoomClass;

/// Depths, inches (common practice): a counter, from wall to front; a tub or a shower; a closet's shelf or rod.
const COUNTER: (f64, f64) = (23.5, 26.5);
const TUB: (f64, f64) = (29.5, 36.5);
const SHELF: (f64, f64) = (11.5, 16.5);
/// A strip is as deep all along, within this, inches.
const EVEN: f64 = 0.5;
/// From the middle of an opening to the face of its wall, beyond half the thickness, inches.
const AT_WALL: f64 = 1.0;

type Segment = (Coord, Coord);
type Key = [u64; 4];

/// What is between a strip and its room.
struct Strip {
    front: Vec<Segment>,
    depth: f64,
    name: String,
}

/// Takes the lines out of the network that cut strips off rooms. `doors` are openings that something may go through.
pub fn join(network: &mut Network, names: &[(Coord, String)], doors: &[&Gap], notes: &mut Vec<Note>) {
    if names.is_empty() {
        return;
    }
    let faces = network.faces();
    let beside = Sides::new(&faces);
    let named: Vec<Option<&str>> = faces.iter().map(|f| only_name(f, names)).collect();
    let strips: Vec<Strip> = (0..faces.len())
        .filter(|&f| !names.iter().any(|(p, _)| contains(&faces[f].outline, *p)))
        .filter_map(|f| strip(f, &faces, &named, &beside))
        .filter(|(_, back)| !doors.iter().any(|door| leads_in(door, back)))
        .map(|(strip, _)| strip)
        .collect();
    let Some(first) = strips.first() else { return };
    let gone: BTreeSet<Key> = (strips.iter().flat_map(|s| &s.front))
        .map(|&(a, b)| Sides::key(a, b))
        .collect();
    let at = &network.nodes;
    network
        .edges
        .retain(|&(a, b)| !gone.contains(&Sides::key(at[a], at[b])));
    let place = first
        .front
        .first()
        .map_or(Coord::default(), |s| (s.0 + s.1) * 0.5);
    notes.push(Note::info(
        "room-strips",
        format!(
            "{} strip(s) along walls behind one line, the first {:.0} in deep in {} at ({:.1}, {:.1}) in, are taken for part of the \
             room, as a counter, a tub or a shelf on the walls' layer: draw the line as a wall with two faces, or outlines of rooms, \
             where that is wrong",
            strips.len(),
            first.depth,
            first.name,
            place.x,
            place.y
        ),
    ));
}

/// Faces by their sides.
pub struct Sides(BTreeMap<Key, Vec<usize>>);

impl Sides {
    pub fn new(faces: &[Face]) -> Sides {
        let mut beside: BTreeMap<Key, Vec<usize>> = BTreeMap::new();
        for (f, face) in faces.iter().enumerate() {
            for ring in std::iter::once(&face.outline).chain(&face.holes) {
                for (a, b) in around(ring) {
                    beside.entry(Sides::key(a, b)).or_default().push(f);
                }
            }
        }
        Sides(beside)
    }

    /// The face beyond a side of one.
    pub fn other(&self, face: usize, (a, b): Segment) -> Option<usize> {
        let both = self.0.get(&Sides::key(a, b))?;
        both.iter().copied().find(|&other| other != face)
    }

    /// A side whichever way it runs.
    pub fn key(a: Coord, b: Coord) -> Key {
        let (p, q) = ([a.x.to_bits(), a.y.to_bits()], [b.x.to_bits(), b.y.to_bits()]);
        let (p, q) = if p <= q { (p, q) } else { (q, p) };
        [p[0], p[1], q[0], q[1]]
    }
}

pub fn around(ring: &[Coord]) -> impl Iterator<Item = Segment> + '_ {
    ring.iter().copied().zip(ring.iter().copied().cycle().skip(1))
}

/// The one name that stands in a face.
pub fn only_name<'n>(face: &Face, names: &'n [(Coord, String)]) -> Option<&'n str> {
    let inside = |p: Coord| contains(&face.outline, p) && !face.holes.iter().any(|h| contains(h, p));
    let mut said: Vec<&str> = (names.iter())
        .filter(|(p, _)| inside(*p))
        .map(|(_, name)| name.as_str())
        .collect();
    said.sort_unstable();
    said.dedup();
    let [name] = said[..] else { return None };
    Some(name)
}

/// A face as a strip of the room before it, and its sides at walls.
fn strip(f: usize, faces: &[Face], named: &[Option<&str>], beside: &Sides) -> Option<(Strip, Vec<Segment>)> {
    let thin = |f: usize| faces[f].area() < THINNEST * faces[f].perimeter();
    let ring = &faces[f].outline;
    let (mut room, mut front) = (None, Vec::new());
    for side in around(ring) {
        let other = beside.other(f, side)?;
        if !thin(other) && named[other].is_some() && room.is_none_or(|r| r == other) {
            room = Some(other);
            front.push(true);
        } else if thin(other) {
            front.push(false);
        } else {
            return None;
        }
    }
    let name = named[room?]?;
    // One run of sides, from where it leaves the wall.
    let count = ring.len();
    let starts: Vec<usize> = (0..count)
        .filter(|&i| front[i] && !front[(i + count - 1) % count])
        .collect();
    let [start] = starts[..] else { return None };
    let ahead = front.iter().filter(|front| **front).count();
    let points: Vec<Coord> = (0..=ahead).map(|i| ring[(start + i) % count]).collect();
    let sides: Vec<Segment> = around(ring).collect();
    let back: Vec<Segment> = (0..count).filter(|&i| !front[i]).map(|i| sides[i]).collect();
    let run = corners(&points, false);
    let depth = depth(&run, &back)?;
    let long: f64 = run.windows(2).map(|p| distance(p[0], p[1])).sum();
    let fits = depths(class(name)?)
        .iter()
        .any(|(least, most)| (*least..=*most).contains(&depth))
        && long >= depth
        && faces[f].area() <= depth * (long + depth) * 1.1;
    let front = points.windows(2).map(|p| (p[0], p[1])).collect();
    let name = name.to_string();
    fits.then_some((Strip { front, depth, name }, back))
}

/// What stands along the walls of rooms of a class.
fn depths(class: RoomClass) -> &'static [(f64, f64)] {
    match class {
        RoomClass::Kitchen => &[COUNTER],
        RoomClass::Bath => &[COUNTER, TUB],
        RoomClass::Utility | RoomClass::Pantry => &[COUNTER, SHELF],
        RoomClass::Closet | RoomClass::Storage => &[SHELF],
        _ => &[],
    }
}

/// How far the runs of a strip's front are from the walls behind it, but for one that turns back to a wall.
fn depth(run: &[Coord], back: &[Segment]) -> Option<f64> {
    let sides: Vec<(f64, f64)> = (run.windows(2))
        .map(|p| {
            let middle = (p[0] + p[1]) * 0.5;
            let off = back.iter().map(|(a, b)| point_to_segment(middle, *a, *b));
            (distance(p[0], p[1]), off.fold(f64::INFINITY, f64::min))
        })
        .collect();
    let depth = sides.iter().map(|s| s.1).fold(0.0, f64::max);
    let last = sides.len().checked_sub(1)?;
    let even = sides.iter().enumerate().all(|(i, &(long, off))| {
        let turns_back = last > 0 && (i == 0 || i == last) && long <= depth + EVEN;
        turns_back || depth - off <= EVEN
    });
    (even && depth.is_finite()).then_some(depth)
}

fn leads_in(door: &Gap, back: &[Segment]) -> bool {
    let middle = (door.from + door.to) * 0.5;
    (back.iter()).any(|(a, b)| point_to_segment(middle, *a, *b) <= door.thickness / 2.0 + AT_WALL)
}
