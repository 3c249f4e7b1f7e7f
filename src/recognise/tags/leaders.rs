//! Marks at the far end of a leader.

use std::collections::BTreeMap;

use geo::Coord;

use super::super::classes::{Class, Classes};
use super::super::shape::{bounds, chords, distance, finite, point_to_segment};
use super::written::extent;
use super::{MOST_NEAR, Mark, tree};
use crate::flatten::{Flat, Prim};
use crate::plan::Light;

/// A leader ends this near its text, in heights of it, and this near a symbol, in inches beyond its radius.
const LEADER_TEXT: f64 = 2.0;
const LEADER_LIGHT: f64 = 1.5;
/// A shape about a mark is no larger, heights of its lettering, and a leader that ends at it ends no further from it, as a
/// share of its size.
const FRAME: f64 = 8.0;
const EDGE: f64 = 0.1;

/// Lights at one end of a line whose other end is at a mark. One mark may have several leaders. A line between
/// two lights is a switch leg.
pub fn by_leader(flat: &Flat, classes: &Classes, marks: &[Mark], lights: &[Light]) -> Vec<(usize, usize)> {
    let spots = tree(lights.iter().enumerate().map(|(n, l)| (l.at, n)));
    let at_light = |p: Coord| {
        (spots.nearest_neighbor_iter([p.x, p.y]).take(MOST_NEAR))
            .map(|g| g.data)
            .filter(|&n| distance(p, lights[n].at) <= lights[n].drawn_radius + LEADER_LIGHT)
            .min_by(|a, b| {
                let far = |n: usize| distance(p, lights[n].at);
                far(*a).total_cmp(&far(*b)).then(a.cmp(b))
            })
    };
    let middles = tree(marks.iter().enumerate().map(|(n, m)| ((m.from + m.to) * 0.5, n)));
    let frames = frames(flat, classes, marks);
    let at_mark = |p: Coord| {
        let far = |n: usize| point_to_segment(p, marks[n].from, marks[n].to);
        let in_frame = |n: usize| {
            frames[n].is_some_and(|(low, high)| {
                let edge = ((high.x - low.x).max(high.y - low.y) * EDGE).max(1.0);
                let (x, y) = (low.x - edge..=high.x + edge, low.y - edge..=high.y + edge);
                x.contains(&p.x) && y.contains(&p.y)
            })
        };
        (middles.nearest_neighbor_iter([p.x, p.y]).take(MOST_NEAR))
            .map(|g| g.data)
            .filter(|&n| far(n) <= LEADER_TEXT * marks[n].height || in_frame(n))
            .min_by(|a, b| far(*a).total_cmp(&far(*b)).then(a.cmp(b)))
    };
    let mut found: BTreeMap<usize, Option<usize>> = BTreeMap::new();
    for (i, item) in flat.items.iter().enumerate() {
        let run = matches!(
            &item.prim,
            Prim::Segment { .. } | Prim::Path { closed: false, .. }
        );
        if !run || !item.visible || !matches!(classes.of[i], Class::Light | Class::Other) {
            continue;
        }
        let Some((points, _)) = chords(&item.prim) else {
            continue;
        };
        let [first, .., last] = points[..] else { continue };
        for (head, tail) in [(first, last), (last, first)] {
            if let (Some(l), None, Some(m)) = (at_light(head), at_light(tail), at_mark(tail)) {
                // Two leaders that say different things say nothing.
                found
                    .entry(l)
                    .and_modify(|known| *known = known.filter(|k| marks[*k].entry == marks[m].entry))
                    .or_insert(Some(m));
            }
        }
    }
    found.into_iter().filter_map(|(l, m)| Some((l, m?))).collect()
}

/// The shape that each mark stands in, if any: a bubble, a hexagon, its own block.
fn frames(flat: &Flat, classes: &Classes, marks: &[Mark]) -> Vec<Option<(Coord, Coord)>> {
    let shapes = (flat.items.iter().filter(|i| i.visible))
        .filter(|i| matches!(i.prim, Prim::Circle { .. } | Prim::Path { closed: true, .. }))
        .filter_map(|i| chords(&i.prim).and_then(|(points, _)| bounds(points)))
        .filter(|(low, high)| finite(*low) && finite(*high));
    let shapes: Vec<(Coord, Coord)> = shapes.collect();
    let middle = |s: &(Coord, Coord)| (s.0 + s.1) * 0.5;
    let tree = tree(shapes.iter().enumerate().map(|(n, s)| (middle(s), n)));
    let size = |s: &(Coord, Coord)| (s.1.x - s.0.x).max(s.1.y - s.0.y);
    let about = |mark: &Mark| {
        if matches!(flat.items[mark.item].prim, Prim::Symbol(_)) {
            return extent(flat, classes, mark.item);
        }
        let p = mark.middle();
        let holds = |s: &(Coord, Coord)| s.0.x < p.x && p.x < s.1.x && s.0.y < p.y && p.y < s.1.y;
        (tree.nearest_neighbor_iter([p.x, p.y]).take(MOST_NEAR))
            .map(|g| shapes[g.data])
            .filter(|s| holds(s) && size(s) <= FRAME * mark.height)
            .min_by(|a, b| size(a).total_cmp(&size(b)))
    };
    marks.iter().map(about).collect()
}
