//! Marks at the far end of a leader.

use std::collections::BTreeMap;

use geo::Coord;

use super::super::classes::{Class, Classes};
use super::super::shape::{chords, distance, point_to_segment};
use super::{MOST_NEAR, Mark, tree};
use crate::flatten::{Flat, Prim};
use crate::plan::Light;

/// A leader ends this near its text, in heights of it, and this near a symbol, in inches beyond its radius.
const LEADER_TEXT: f64 = 2.0;
const LEADER_LIGHT: f64 = 1.5;

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
    let at_mark = |p: Coord| {
        let far = |n: usize| point_to_segment(p, marks[n].from, marks[n].to);
        (middles.nearest_neighbor_iter([p.x, p.y]).take(MOST_NEAR))
            .map(|g| g.data)
            .filter(|&n| far(n) <= LEADER_TEXT * marks[n].height)
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
