//! What stands about a legend: rooms, and lines that no legend runs across.

use geo::Coord;

use super::super::classes::{Claim, Class, Classes};
use super::super::rooms as read;
use super::super::shape::{area, bounds, chords, contains, cross, distance};
use super::super::walls::{faces, of_walls, only_filled, runs};
use crate::flatten::Flat;

/// A legend shows walls and members by lines no longer than this, inches.
const SAMPLE: f64 = 30.0;

type Side = (Coord, Coord);

/// Rooms, and lines of walls, rooms and framing.
#[derive(Default)]
pub struct Around {
    pub rooms: Vec<Vec<Coord>>,
    sides: Vec<Side>,
}

impl Around {
    pub fn new(flat: &Flat, classes: &Classes) -> Self {
        let mut claims = vec![Claim::None; flat.items.len()];
        let mut rooms = read::rooms(flat, classes, &mut claims, &mut Vec::new());
        let walls = read::walls(flat, classes, &mut Vec::new());
        rooms.extend(read::from_walls(&walls, &mut Vec::new()));
        let rooms: Vec<Vec<Coord>> = rooms.into_iter().map(|r| r.outline).collect();
        let mut sides: Vec<Side> = rooms.iter().flat_map(|r| runs(r, true)).collect();
        let filled = only_filled(flat, of_walls(flat, classes));
        for (item, class) in flat.items.iter().zip(&classes.of) {
            if !item.visible {
                continue;
            }
            match class {
                Class::Wall => sides.extend(faces(&item.prim, filled).unwrap_or_default()),
                Class::Framing | Class::Room => {
                    let drawn = chords(&item.prim);
                    sides.extend(
                        drawn
                            .map(|(points, closed)| runs(&points, closed))
                            .unwrap_or_default(),
                    );
                }
                _ => {}
            }
        }
        Around { rooms, sides }
    }

    /// The smallest room that holds a point.
    pub fn room(&self, p: Coord) -> Option<usize> {
        let size = |r: usize| area(&self.rooms[r]).abs();
        (0..self.rooms.len())
            .filter(|&r| contains(&self.rooms[r], p))
            .min_by(|&a, &b| size(a).total_cmp(&size(b)).then(a.cmp(&b)))
    }

    /// Whether no wall, room or member lies between two points.
    pub fn free(&self, a: Coord, b: Coord) -> bool {
        self.open(a, b, 0.0)
    }

    /// The same between two lines of a legend: shorter lines may be samples in it.
    pub fn leads(&self, a: Coord, b: Coord) -> bool {
        self.open(a, b, SAMPLE)
    }

    fn open(&self, a: Coord, b: Coord, least: f64) -> bool {
        let Some((low, high)) = bounds([a, b]) else {
            return false;
        };
        !self.sides.iter().any(|&(c, d)| {
            let apart = c.x.max(d.x) < low.x
                || c.x.min(d.x) > high.x
                || c.y.max(d.y) < low.y
                || c.y.min(d.y) > high.y;
            !apart && distance(c, d) > least && meet((a, b), (c, d))
        })
    }
}

/// Whether two segments have a point in common.
fn meet((a, b): Side, (c, d): Side) -> bool {
    let side = |p: Coord, q: Coord, r: Coord| cross(q - p, r - p);
    let split = |p: f64, q: f64| (p >= 0.0) != (q >= 0.0) || p == 0.0 || q == 0.0;
    split(side(a, b, c), side(a, b, d)) && split(side(c, d, a), side(c, d, b))
}
