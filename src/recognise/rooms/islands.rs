//! Faces of the wall linework that stand free in a room: tables, beds, islands of kitchens.

use geo::Coord;
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};

use super::super::shape::{bounds, contains, finite, point_to_segment};
use super::super::tolerance::CORNER;
use super::super::walls::runs;
use super::from_walls::{THINNEST, as_room};
use crate::geom::FUZZ;
use crate::geom::faces::Face;

type Box2 = Rectangle<[f64; 2]>;

/// A hole of a room's face, and which room's.
struct Hole<'f> {
    room: usize,
    ring: &'f [Coord],
}

/// Of the faces that may be rooms those that stand free amid another, and the others. One line round amid a room is a
/// table or an island; so is a bed that the room's own name is written on: where walls have two faces, what has one
/// is no closet.
pub fn parted<'f>(faces: &'f [Face], names: &[Coord]) -> (Vec<&'f Face>, Vec<&'f Face>) {
    let rooms: Vec<&Face> = faces.iter().filter(|f| as_room(f).is_some()).collect();
    let bodies = faces.iter().any(|f| {
        let (area, around) = (f.area(), f.perimeter());
        as_room(f).is_none() && area > around && area < THINNEST * around
    });
    let names = names.iter().filter(|p| finite(**p)).map(|p| [p.x, p.y]);
    let names: RTree<[f64; 2]> = RTree::bulk_load(names.collect());
    let holes = holes(&rooms);
    let named = |face: &Face| within(&names, &face.outline).any(|p| contains(&face.outline, p));
    // Whether a name stands in a room and in none of its holes.
    let owns: Vec<bool> = (rooms.iter().enumerate())
        .map(|(r, room)| {
            within(&names, &room.outline).any(|p| {
                let mut over = holes.locate_in_envelope_intersecting(AABB::from_point([p.x, p.y]));
                contains(&room.outline, p) && !over.any(|h| h.data.room == r && contains(h.data.ring, p))
            })
        })
        .collect();
    let free = |face: &&Face| {
        let Some((low, high)) = bounds(face.outline.iter().copied()) else {
            return false;
        };
        let named = named(face);
        let mut near =
            holes.locate_in_envelope_intersecting(AABB::from_corners([low.x, low.y], [high.x, high.y]));
        near.any(|hole| (!named || bodies && !owns[hole.data.room]) && fills(face, hole.data.ring))
    };
    rooms.iter().partition(|face| free(face))
}

/// Holes of rooms, by their boxes with what is on their edges.
fn holes<'f>(rooms: &[&'f Face]) -> RTree<GeomWithData<Box2, Hole<'f>>> {
    let all =
        (rooms.iter().enumerate()).flat_map(|(room, face)| face.holes.iter().map(move |ring| (room, ring)));
    let boxed = all.filter_map(|(room, ring)| {
        let (low, high) = bounds(ring.iter().copied())?;
        let (low, high) = (
            [low.x - CORNER, low.y - CORNER],
            [high.x + CORNER, high.y + CORNER],
        );
        Some(GeomWithData::new(
            Rectangle::from_corners(low, high),
            Hole { room, ring },
        ))
    });
    RTree::bulk_load(boxed.collect())
}

/// Names in the box of a ring.
fn within(names: &RTree<[f64; 2]>, ring: &[Coord]) -> impl Iterator<Item = Coord> {
    let around = bounds(ring.iter().copied())
        .map(|(low, high)| AABB::from_corners([low.x - FUZZ, low.y - FUZZ], [high.x + FUZZ, high.y + FUZZ]));
    let near = around.map(|around| names.locate_in_envelope(around));
    near.into_iter().flatten().map(|&[x, y]| Coord { x, y })
}

/// Whether a face lies in a hole and along its edge.
fn fills(face: &Face, hole: &[Coord]) -> bool {
    let sides = runs(hole, true);
    let on = |p: Coord| sides.iter().any(|(a, b)| point_to_segment(p, *a, *b) <= CORNER);
    let inside = face.outline.iter().all(|p| on(*p) || contains(hole, *p));
    inside && runs(&face.outline, true).iter().any(|(a, b)| on((*a + *b) * 0.5))
}
