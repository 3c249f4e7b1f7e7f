//! Rooms as faces of the wall linework, where no outlines of rooms are drawn.

use std::collections::BTreeMap;

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::super::classes::{Class, Classes};
use super::super::matchlines::matchlines;
use super::super::shape::{bounds, chords, corners, distance, finite, on_circle, rectangle};
use super::super::tolerance::CORNER;
use super::super::walls::{faces, of_walls, only_filled};
use super::gaps::{self, Gap};
use super::inner::Inner;
use super::swings::Doors;
use super::{bare, heads, islands, openings, room, strips, traced, treads};
use crate::flatten::{Flat, Item, Prim};
use crate::geom::faces::Face;
use crate::note::Note;
use crate::plan::{OpeningKind, Room};

/// Smallest face that is a room, square inches (6 sq ft).
const SMALLEST: f64 = 864.0;
/// Area over perimeter of the thinnest room: half its width where it is long. Walls' bodies are below.
pub const THINNEST: f64 = 6.0;
/// Least width of a room.
const NARROWEST: f64 = 18.0;
type Segment = (Coord, Coord);

/// What is drawn in an opening: its kind, and the centre of its swing where it is an arc.
#[derive(Clone, Copy, Debug)]
pub struct Shown {
    pub kind: OpeningKind,
    pub hinge: Option<Coord>,
}

/// The walls with their gaps closed.
#[derive(Debug, Default)]
pub struct Walls {
    closed: gaps::Closed,
    /// What each box is that the gaps name.
    pub drawn: Vec<Shown>,
    /// Where names of rooms are written.
    names: Vec<Coord>,
}

impl Walls {
    pub fn closed(&self) -> &gaps::Closed {
        &self.closed
    }

    pub fn gaps(&self) -> &[Gap] {
        &self.closed.gaps
    }
}

/// Closes the gaps in the wall lines. None are closed where there are too many lines, with a note.
pub fn walls(flat: &Flat, classes: &Classes, notes: &mut Vec<Note>) -> Walls {
    walls_named(flat, classes, &bare::names(flat, classes), notes)
}

/// The same with the names of rooms as [`bare::names`] finds them.
pub fn walls_named(
    flat: &Flat,
    classes: &Classes,
    names: &[(Coord, String)],
    notes: &mut Vec<Note>,
) -> Walls {
    let doors = Doors::new(flat, classes);
    let (walls, drawn) = linework(flat, classes, &doors);
    if walls.is_empty() {
        return Walls::default();
    }
    let boxes: Vec<Segment> = drawn.iter().map(|d| d.1).collect();
    let swings = doors.swings(flat, classes);
    let halves = matchlines(flat);
    let close = |welded: &[Segment]| {
        let closed = gaps::close_welded(welded, (&boxes, &swings), &halves)?;
        let (mut closed, mut notes) = (closed, Vec::new());
        bare::close(&mut closed, names, &mut notes);
        Some((closed, notes))
    };
    let Some(mut closed) = close(&gaps::weld(&walls)) else {
        notes.push(Note::warning(
            "rooms-too-many-walls",
            format!(
                "{} wall lines are too many to seek rooms and openings among: draw outlines of rooms",
                walls.len()
            ),
        ));
        return Walls::default();
    };
    if let Some(better) = traced::better(&walls, &closed.0, names, close) {
        closed = better;
    }
    let (mut closed, more) = closed;
    notes.extend(more);
    let heads = heads::under(flat, classes, &closed.gaps);
    closed.gaps.extend(heads);
    let window = |&n: &usize| drawn.get(n).is_none_or(|d| d.0.kind == OpeningKind::Window);
    let doors: Vec<&Gap> = (closed.gaps.iter())
        .filter(|g| g.drawn.is_empty() || !g.drawn.iter().all(window))
        .collect();
    strips::join(&mut closed.network, names, &doors, notes);
    treads::join(&mut closed.network, names, notes);
    let drawn = drawn.into_iter().map(|d| d.0).collect();
    let names = names.iter().map(|n| n.0).collect();
    Walls { closed, drawn, names }
}

/// Rooms that the walls enclose, nameless yet, by their lower left corners.
pub fn from_walls(walls: &Walls, notes: &mut Vec<Note>) -> Vec<Room> {
    let closed = &walls.closed;
    let faces = closed.network.faces();
    let (islands, rooms) = islands::parted(&faces, &walls.names);
    let mut rooms: Vec<Room> = rooms.into_iter().filter_map(as_room).collect();
    if let Some((low, _)) = islands.first().and_then(|f| bounds(f.outline.iter().copied())) {
        notes.push(Note::info(
            "room-islands",
            format!(
                "{} outline(s) of a room's size stand free amid rooms, the first at ({:.1}, {:.1}) in: taken for furniture, not for \
                 rooms; draw its walls with two faces, or its outline on a layer of rooms, where it is one",
                islands.len(),
                low.x,
                low.y
            ),
        ));
    }
    rooms.sort_by(|a, b| corner(a).total_cmp(&corner(b)));
    if !rooms.is_empty() {
        notes.push(Note::info(
            "rooms-from-walls",
            format!(
                "{} room(s) were taken from the wall lines, {} opening(s) bridged: draw closed outlines on a room \
                 layer where that is wrong",
                rooms.len(),
                closed.openings
            ),
        ));
    }
    if let Some(first) = closed.short.first() {
        notes.push(Note::info(
            "walls-short",
            format!(
                "{} wall line(s) stop up to 6 in short of the wall or corner before them, the first at ({:.1}, {:.1}) in: they are \
                 taken to meet it",
                closed.short.len(),
                first.x,
                first.y
            ),
        ));
    }
    if let Some(first) = closed.loose.first() {
        notes.push(Note::warning(
            "walls-open",
            format!(
                "{} wall line(s) end where nothing meets them, the first at ({:.1}, {:.1}) in: rooms beside them \
                 may be missing",
                closed.loose.len(),
                first.x,
                first.y
            ),
        ));
    }
    rooms
}

/// Sorting key: lower left corner, then the second ordinate.
fn corner(room: &Room) -> Key {
    bounds(room.outline.iter().copied()).map_or(Key(0.0, 0.0), |(low, _)| Key(low.x, low.y))
}

struct Key(f64, f64);

impl Key {
    fn total_cmp(&self, other: &Key) -> std::cmp::Ordering {
        self.0.total_cmp(&other.0).then(self.1.total_cmp(&other.1))
    }
}

pub fn as_room(face: &Face) -> Option<Room> {
    let (area, around) = (face.area(), face.perimeter());
    if area < SMALLEST || area < THINNEST * around {
        return None;
    }
    let outline = corners(&face.outline, true);
    let (_, width) = rectangle(&outline);
    (outline.len() >= 3 && width >= NARROWEST).then(|| Room {
        drawn: false,
        ..room(outline)
    })
}

/// Wall lines without what stands in openings, and that with its boxes.
fn linework(flat: &Flat, classes: &Classes, doors: &Doors) -> (Vec<Segment>, Vec<(Shown, Segment)>) {
    let (mut walls, mut openings) = (Vec::new(), Vec::new());
    let mut names = Names::new();
    let filled = only_filled(flat, of_walls(flat, classes));
    let rounded = Rounded::new(flat, classes);
    let inner = Inner::new(of_walls(flat, classes).map(|i| &flat.items[i].prim));
    for (item, class) in flat.items.iter().zip(&classes.of) {
        if !item.visible {
            continue;
        }
        let drawn = chords(&item.prim);
        let swings = || {
            let swings = *class == Class::Wall && doors.has(item) && !rounded.holds(item);
            swings.then_some(OpeningKind::Door)
        };
        let named = drawn.as_ref().and_then(|_| named_opening(flat, item, &mut names));
        if let Some(kind) = named.or_else(swings) {
            let hinge = match item.prim {
                Prim::Arc { center, .. } => Some(center),
                _ => None,
            };
            let shown = Shown { kind, hinge };
            openings.extend(drawn.and_then(|(points, _)| bounds(points)).map(|b| (shown, b)));
        } else if *class == Class::Wall && !rounded.stands_alone(item) {
            let faces = faces(&item.prim, filled).unwrap_or_default();
            let outer = |s: &Segment| !matches!(item.prim, Prim::Face(_)) || !inner.holds(*s);
            walls.extend(
                (faces.into_iter())
                    .filter(|(a, b)| distance(*a, *b) > CORNER)
                    .filter(outer),
            );
        }
    }
    (walls, openings)
}

/// Both faces of a rounded wall lie so far apart, inches, and about centres no further apart than the other.
const ROUNDED: std::ops::RangeInclusive<f64> = 2.0..=16.0;
const ONE_CENTRE: f64 = 0.5;
/// Greatest radius of a round table: 7 ft across, inches (common practice). A round room is larger.
const LARGEST_TABLE: f64 = 42.0;

/// Arcs on the walls' layers that are no swings: two about one centre, a wall's thickness apart, or one that runs from a
/// wall's end to a wall's end, neither of them a leaf.
struct Rounded {
    arcs: RTree<GeomWithData<[f64; 2], f64>>,
    /// Ends of straight wall lines, each with the other.
    ends: RTree<GeomWithData<[f64; 2], Coord>>,
}

impl Rounded {
    fn new(flat: &Flat, classes: &Classes) -> Rounded {
        let (mut arcs, mut ends) = (Vec::new(), Vec::new());
        for i in of_walls(flat, classes) {
            match flat.items[i].prim {
                Prim::Arc { center, radius, .. } | Prim::Circle { center, radius } if finite(center) => {
                    arcs.push(GeomWithData::new([center.x, center.y], radius));
                }
                Prim::Segment { from, to } if finite(from) && finite(to) => {
                    let both = [(from, to), (to, from)];
                    ends.extend(both.map(|(a, b)| GeomWithData::new([a.x, a.y], b)));
                }
                _ => {}
            }
        }
        if arcs.is_empty() {
            ends.clear();
        }
        Rounded {
            arcs: RTree::bulk_load(arcs),
            ends: RTree::bulk_load(ends),
        }
    }

    /// A whole circle no larger than a table with no other a wall's thickness inside or outside of it.
    fn stands_alone(&self, item: &Item) -> bool {
        let Prim::Circle { center, radius } = item.prim else {
            return false;
        };
        let near = ONE_CENTRE * ONE_CENTRE;
        let mut others = self.arcs.locate_within_distance([center.x, center.y], near);
        radius <= LARGEST_TABLE && !others.any(|other| ROUNDED.contains(&(other.data - radius).abs()))
    }

    fn holds(&self, item: &Item) -> bool {
        let Prim::Arc {
            center,
            radius,
            start,
            sweep,
        } = item.prim
        else {
            return false;
        };
        let near = ONE_CENTRE * ONE_CENTRE;
        let mut others = self.arcs.locate_within_distance([center.x, center.y], near);
        if others.any(|other| ROUNDED.contains(&(other.data - radius).abs())) {
            return true;
        }
        [start, start + sweep].into_iter().all(|angle| {
            let p = on_circle(center, radius, angle);
            let mut met = self.ends.locate_within_distance([p.x, p.y], near);
            met.any(|end| distance(end.data, center) > ONE_CENTRE)
        })
    }
}

/// What names of layers and blocks say of openings, each looked at once.
type Names<'a> = BTreeMap<&'a str, Option<OpeningKind>>;

fn named_opening<'a>(flat: &'a Flat, item: &'a Item, names: &mut Names<'a>) -> Option<OpeningKind> {
    let mut says = |name: &'a str| *names.entry(name).or_insert_with(|| openings::named(name));
    let mut at = Some(item);
    let mut steps = 0;
    while let Some(item) = at {
        let block = match &item.prim {
            Prim::Symbol(s) => says(&s.true_name).or_else(|| says(&s.block)),
            _ => None,
        };
        if let Some(kind) = block.or_else(|| says(&item.layer)) {
            return Some(kind);
        }
        steps += 1;
        at = item.within.filter(|_| steps < 64).and_then(|w| flat.items.get(w));
    }
    None
}
