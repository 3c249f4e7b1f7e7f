//! Crosses on layers of walls from corner to corner of what is open: a shaft, a chase, a floor's opening.
//!
//! A *cross* is two lines that halve each other and are equally long: the diagonals of a rectangle. Where that one's sides
//! are drawn as walls the cross is no wall, and parts no room.

use std::collections::BTreeMap;

use geo::Coord;
use rstar::RTree;
use rstar::primitives::{GeomWithData, Line};

use super::classes::{Class, Classes};
use super::shape::{distance, finite};
use super::walls::{faces, of_walls, only_filled};
use crate::flatten::{Flat, Prim};
use crate::note::Note;

/// Lines of a cross are longer, inches: those of a column or a post part nothing.
const LONG: f64 = 24.0;
/// Their middles lie on each other, and they are equally long, within this share of their length.
const SAME: f64 = 0.02;
/// Corners of the cross lie this near to the walls, inches, and this share of the way round is drawn as walls: the rest
/// is doors and a railing.
const ON: f64 = 2.0;
const DRAWN: f64 = 0.6;
/// Places that are looked at on each side.
const PLACES: usize = 8;
/// Most lines about one middle that are looked at.
const MOST: usize = 16;

type Segment = (Coord, Coord);

/// Leaves crosses out of the walls, and says how many.
pub fn leave_out(flat: &Flat, classes: &mut Classes, notes: &mut Vec<Note>) {
    let strokes: Vec<(usize, Segment)> = of_walls(flat, classes)
        .filter_map(|i| Some((i, stroke(&flat.items[i].prim)?)))
        .filter(|(_, (a, b))| finite(*a) && finite(*b) && distance(*a, *b) >= LONG)
        .collect();
    let middle = |(a, b): Segment| (a + b) * 0.5;
    let by_middle = RTree::bulk_load(
        (strokes.iter().enumerate())
            .map(|(n, (_, s))| GeomWithData::new([middle(*s).x, middle(*s).y], n))
            .collect(),
    );
    let mut pairs: Vec<(usize, usize)> = Vec::new();
    for (n, (_, one)) in strokes.iter().enumerate() {
        let (at, long) = (middle(*one), distance(one.0, one.1));
        let slack = SAME * long;
        let near = by_middle.locate_within_distance([at.x, at.y], slack * slack);
        for m in near.take(MOST).map(|g| g.data).filter(|m| *m > n) {
            let (_, other) = strokes[m];
            let side = distance(one.0, other.0).min(distance(one.0, other.1));
            if (distance(other.0, other.1) - long).abs() <= slack && side > LONG / 2.0 {
                pairs.push((n, m));
            }
        }
    }
    if pairs.is_empty() {
        return;
    }
    let filled = only_filled(flat, of_walls(flat, classes));
    let walls: Vec<GeomWithData<Line<[f64; 2]>, usize>> = of_walls(flat, classes)
        .flat_map(|i| {
            let lines = faces(&flat.items[i].prim, filled).unwrap_or_default();
            lines.into_iter().map(move |line| (i, line))
        })
        .filter(|(_, (a, b))| finite(*a) && finite(*b))
        .map(|(i, (a, b))| GeomWithData::new(Line::new([a.x, a.y], [b.x, b.y]), i))
        .collect();
    let walls = RTree::bulk_load(walls);
    let mut layers: BTreeMap<&str, (usize, Coord)> = BTreeMap::new();
    for (n, m) in pairs {
        let ((i, one), (j, other)) = (strokes[n], strokes[m]);
        if classes.of[i] != Class::Wall || classes.of[j] != Class::Wall {
            continue;
        }
        let ring = [one.0, other.0, one.1, other.1];
        let on_walls = |p: Coord| {
            walls
                .locate_within_distance([p.x, p.y], ON * ON)
                .any(|w| w.data != i && w.data != j)
        };
        let places = (0..4).flat_map(|k| {
            let (a, b) = (ring[k], ring[(k + 1) % 4]);
            (1..=PLACES).map(move |t| a + (b - a) * (t as f64 / (PLACES + 1) as f64))
        });
        let drawn = places.filter(|p| on_walls(*p)).count();
        if drawn as f64 >= DRAWN * (4 * PLACES) as f64 && ring.iter().all(|p| on_walls(*p)) {
            classes.of[i] = Class::Ignore;
            classes.of[j] = Class::Ignore;
            layers.entry(&flat.items[i].layer).or_insert((0, middle(one))).0 += 1;
        }
    }
    for (layer, (count, first)) in layers {
        notes.push(Note::info(
            "wall-crosses",
            format!(
                "{count} cross(es) of two lines on layer {layer} run from corner to corner between walls, the first about ({:.1}, {:.1}) \
                 in: they mark what is open, and are not read as walls",
                first.x, first.y
            ),
        ));
    }
}

/// A line by itself.
fn stroke(prim: &Prim) -> Option<Segment> {
    match prim {
        Prim::Segment { from, to } => Some((*from, *to)),
        Prim::Path { vertices, .. } => match &vertices[..] {
            [a, b] if a.bulge == 0.0 && a.start_width == 0.0 => Some((a.at, b.at)),
            _ => None,
        },
        _ => None,
    }
}
