//! Names of rooms that stand outside of them, with a leader into the room.
//!
//! A closet's or a pantry's name often stands in the next room or outside of the house.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::super::classes::{Class, Classes};
use super::super::shape::{chords, contains, distance, finite, point_to_segment};
use super::texts::named;
use super::within;
use crate::flatten::{Flat, Prim};
use crate::plan::Room;
use crate::recognise::shape::bounds;

/// A leader ends this near its text, in heights of its letters.
const NEAR: f64 = 1.5;
/// A letter is so wide, in heights (common practice).
const LETTER: f64 = 0.85;
/// Shorter lines point at nothing, inches.
const SHORTEST: f64 = 6.0;

/// The rooms that names point at, by the names' items: each has no name in it and lies away from where the text stands.
pub fn pointed(flat: &Flat, classes: &Classes, rooms: &[Room]) -> BTreeMap<usize, Vec<usize>> {
    let boxes: Vec<_> = rooms.iter().map(|r| bounds(r.outline.iter().copied())).collect();
    let home = |p: Coord| {
        (0..rooms.len())
            .filter(|&r| within(boxes[r], p) && contains(&rooms[r].outline, p))
            .min_by(|&a, &b| size(&rooms[a]).total_cmp(&size(&rooms[b])).then(a.cmp(&b)))
    };
    // Where each name runs from and to, and how high it is.
    let mut names: Vec<(usize, [Coord; 2], f64)> = Vec::new();
    let mut taken: BTreeSet<usize> = BTreeSet::new();
    for (i, item) in flat.items.iter().enumerate().filter(|(_, item)| item.visible) {
        let Prim::Text {
            at,
            height,
            angle,
            centred,
            text,
        } = &item.prim
        else {
            continue;
        };
        if named(text).is_none() || !finite(*at) || *height <= 0.0 {
            continue;
        }
        let letters = text.lines().map(|l| l.chars().count()).max().unwrap_or(0);
        let run = Coord {
            x: angle.cos(),
            y: angle.sin(),
        } * (LETTER * height * letters as f64);
        let up = Coord {
            x: -angle.sin(),
            y: angle.cos(),
        } * (height / 2.0);
        let from = if *centred { *at - run * 0.5 } else { *at + up };
        names.push((i, [from, from + run], *height));
        taken.extend(home(*at));
    }
    let mut found: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    if names.is_empty() || taken.len() == rooms.len() {
        return found;
    }
    let spots = names
        .iter()
        .enumerate()
        .flat_map(|(n, (_, [a, b], _))| [*a, (*a + *b) * 0.5, *b].map(|p| GeomWithData::new([p.x, p.y], n)));
    let tree = RTree::bulk_load(spots.collect());
    let reach = names
        .iter()
        .map(|n| NEAR * n.2 + distance(n.1[0], n.1[1]) / 4.0)
        .fold(0.0, f64::max);
    let at_name = |p: Coord| {
        let far = |n: usize| point_to_segment(p, names[n].1[0], names[n].1[1]);
        (tree.locate_within_distance([p.x, p.y], reach * reach))
            .map(|spot| spot.data)
            .filter(|&n| far(n) <= NEAR * names[n].2)
            .min_by(|&a, &b| far(a).total_cmp(&far(b)).then(a.cmp(&b)))
    };
    for (i, item) in flat.items.iter().enumerate() {
        let run = matches!(item.prim, Prim::Segment { .. } | Prim::Path { closed: false, .. });
        if !run || !item.visible || classes.of[i] != Class::Other {
            continue;
        }
        let Some((points, _)) = chords(&item.prim) else {
            continue;
        };
        let [first, .., last] = points[..] else { continue };
        if !finite(first) || !finite(last) || distance(first, last) < SHORTEST {
            continue;
        }
        for (head, tail) in [(first, last), (last, first)] {
            let Some(room) = home(head).filter(|r| !taken.contains(r)) else {
                continue;
            };
            if let Some(n) = at_name(tail).filter(|_| home(tail) != Some(room)) {
                let rooms = found.entry(names[n].0).or_default();
                if !rooms.contains(&room) {
                    rooms.push(room);
                }
            }
        }
    }
    found
}

fn size(room: &Room) -> f64 {
    super::super::shape::area(&room.outline).abs()
}
