//! What fills walls between their faces: lines of a pattern, and filled faces in pieces.
//!
//! Fills tell a reader of the sheet that there is a wall; to one who follows its faces they are in the way. *Lines of a
//! pattern* run askew to the faces, both ends on them, no longer than a wall is thick at half a right angle, and many
//! to one direction. *Filled faces* have all corners on wall lines, and lie along those. Walls that are only filled
//! are left as they are.

use std::collections::BTreeMap;

use geo::Coord;
use rstar::primitives::{GeomWithData, Line};
use rstar::{AABB, RTree};

use super::classes::{Class, Classes};
use super::shape::{between_degrees, bounds, canonical, distance, finite, line_degrees, point_to_segment};
use super::walls::{faces, of_walls, only_filled, runs};
use crate::flatten::{Flat, Prim};
use crate::note::Note;

/// Corners and ends of a fill lie this near to the faces, inches.
const ON: f64 = 0.1;
/// Longest line of a pattern: across a wall 16 in thick at half a right angle, inches.
const LONGEST: f64 = 24.0;
/// A pattern's lines are askew to the faces by at least so much, degrees; those square to them are caps.
const ASKEW: f64 = 10.0;
/// Fewest lines of a pattern, and the share of them whose ends meet no other line's end: those of bays and of corners cut off do.
const FEWEST: usize = 6;
const AMID: f64 = 0.5;
/// Directions of one pattern, in steps of a degree.
const STEP: f64 = 1.0;
/// A filled face lies along the wall's lines with this share of its sides; one that stands between two walls only ends there.
const ALONG: f64 = 0.25;

type Segment = (Coord, Coord);

/// Leaves the fills of walls out, and says how many.
pub fn leave_out(flat: &Flat, classes: &mut Classes, notes: &mut Vec<Note>) {
    let items: Vec<usize> = of_walls(flat, classes).collect();
    if only_filled(flat, items.iter().copied()) {
        return;
    }
    let mut fills = filled(flat, &items);
    fills.extend(pattern(flat, &items));
    let mut layers: BTreeMap<&str, usize> = BTreeMap::new();
    for i in fills {
        classes.of[i] = Class::Ignore;
        *layers.entry(&flat.items[i].layer).or_insert(0) += 1;
    }
    for (layer, count) in layers {
        notes.push(Note::info(
            "wall-fills",
            format!("{count} lines and filled faces on layer {layer} fill walls between their faces, and are not read"),
        ));
    }
}

/// Lines of walls by their place.
struct Lines(RTree<GeomWithData<Line<[f64; 2]>, usize>>);

impl Lines {
    fn new(all: impl Iterator<Item = (usize, Segment)>) -> Lines {
        let known = all.filter(|(_, (a, b))| finite(*a) && finite(*b));
        let lines = known.map(|(i, (a, b))| GeomWithData::new(Line::new([a.x, a.y], [b.x, b.y]), i));
        Lines(RTree::bulk_load(lines.collect()))
    }

    /// Lines that pass a point, each with what drew it.
    fn at(&self, p: Coord) -> impl Iterator<Item = (usize, Segment)> {
        let around = AABB::from_corners([p.x - ON, p.y - ON], [p.x + ON, p.y + ON]);
        let near = self.0.locate_in_envelope_intersecting(around).map(|line| {
            let [a, b] = [line.geom().from, line.geom().to].map(|[x, y]| Coord { x, y });
            (line.data, (a, b))
        });
        near.filter(move |(_, (a, b))| point_to_segment(p, *a, *b) <= ON)
    }
}

/// Filled faces whose corners lie on the lines of walls, and that lie along them.
fn filled(flat: &Flat, items: &[usize]) -> Vec<usize> {
    let is_face = |i: &usize| matches!(flat.items[*i].prim, Prim::Face(_));
    if !items.iter().any(is_face) {
        return Vec::new();
    }
    let lines = Lines::new((items.iter().filter(|i| !is_face(i))).flat_map(|&i| {
        faces(&flat.items[i].prim, false)
            .unwrap_or_default()
            .into_iter()
            .map(move |s| (i, s))
    }));
    let lies = |(a, b): &Segment| {
        let middle = (*a + *b) * 0.5;
        let along = |(_, (c, d)): (usize, Segment)| between_degrees(d - c, *b - *a) < 1.0;
        lines.at(middle).any(along)
    };
    let fills = |i: &usize| {
        let Prim::Face(ring) = &flat.items[*i].prim else {
            return false;
        };
        let sides = runs(ring, true);
        let around: f64 = sides.iter().map(|(a, b)| distance(*a, *b)).sum();
        let on: f64 = sides
            .iter()
            .filter(|s| lies(s))
            .map(|(a, b)| distance(*a, *b))
            .sum();
        let small = bounds(ring.iter().copied()).is_some_and(|(low, high)| distance(low, high) <= LONGEST);
        ring.iter().all(|p| lines.at(*p).next().is_some()) && (small || on >= ALONG * around)
    };
    items.iter().copied().filter(fills).collect()
}

/// Lines of patterns between the faces of walls.
fn pattern(flat: &Flat, items: &[usize]) -> Vec<usize> {
    let single = |i: usize| match &flat.items[i].prim {
        Prim::Segment { from, to } => Some((*from, *to)),
        Prim::Path {
            vertices,
            closed: false,
        } => match &vertices[..] {
            [a, b] if a.bulge == 0.0 && a.start_width == 0.0 => Some((a.at, b.at)),
            _ => None,
        },
        _ => None,
    };
    let short: Vec<(usize, Segment)> = (items.iter())
        .filter_map(|&i| Some((i, single(i)?)))
        .filter(|(_, (a, b))| finite(*a) && finite(*b) && distance(*a, *b) <= LONGEST)
        .collect();
    if short.len() < FEWEST {
        return Vec::new();
    }
    let lines = Lines::new((items.iter()).flat_map(|&i| {
        faces(&flat.items[i].prim, false)
            .unwrap_or_default()
            .into_iter()
            .map(move |s| (i, s))
    }));
    // By direction, lines that run askew from face to face, and whether no other line ends where they do.
    let mut found: BTreeMap<i64, Vec<(usize, bool)>> = BTreeMap::new();
    for (i, (a, b)) in short {
        let askew = |(of, (c, d)): &(usize, Segment)| {
            let angle = between_degrees(*d - *c, b - a);
            *of != i && angle > ASKEW && angle < 90.0 - ASKEW
        };
        let ends = |p: Coord| lines.at(p).find(askew);
        let (Some(first), Some(last)) = (ends(a), ends(b)) else {
            continue;
        };
        let free = |p: Coord, (c, d): Segment| distance(p, c) > ON && distance(p, d) > ON;
        let turn = (line_degrees(canonical(b - a)) / STEP).round() as i64;
        let amid = free(a, first.1) && free(b, last.1);
        found.entry(turn).or_default().push((i, amid));
    }
    let many = |lines: &Vec<(usize, bool)>| {
        let amid = lines.iter().filter(|l| l.1).count();
        lines.len() >= FEWEST && amid as f64 >= AMID * lines.len() as f64
    };
    (found.into_values().filter(many))
        .flatten()
        .map(|(i, _)| i)
        .collect()
}
