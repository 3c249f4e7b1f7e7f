//! What is drawn as framing is on a layer that holds other things too: lines in pairs a member's thickness apart, several
//! of them side by side at one even pitch.
//!
//! Such lines are a part of their layer, as a [`super::pens`] colour is, and are written `0:lumber`.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::classes::{Class, Classes};
use super::evidence::{OFF_PITCH, is_lumber};
use super::shape::{bounds, chords, cross, distance, dot, finite, left_of, line_degrees, unit};
use super::tolerance::LARGEST_SYMBOL;
use crate::flatten::{Flat, Prim};
use crate::note::Note;
use crate::rules::Rules;

/// Thicknesses that may be told from walls by themselves, inches: bare studs stand 3 1/2 apart.
const THICK: std::ops::RangeInclusive<f64> = 1.4..=3.1;
/// Shorter lines are no members of a family, inches.
const SHORTEST: f64 = 24.0;
/// Members stand so far apart, on centre, inches: treads lie nearer.
const APART: std::ops::RangeInclusive<f64> = 11.5..=60.0;
/// Fewer members side by side at one pitch are none.
const FEWEST: usize = 4;
/// Lines whose directions differ by less are parallel, degrees; ends of a member's faces are level within so much, inches.
const PARALLEL: f64 = 0.06;
const LEVEL: f64 = 0.3;
/// Thicknesses are one within this, and ends meet, inches.
const SAME: f64 = 0.08;

/// Two faces, or an outline.
struct Member {
    items: [usize; 2],
    thickness: f64,
    /// Ends of both faces.
    ends: [Coord; 4],
    /// Offset of its middle, and its reach, along its direction.
    off: f64,
    reach: (f64, f64),
}

struct Line {
    item: usize,
    from: Coord,
    to: Coord,
    degrees: f64,
}

/// Of some items those that are drawn as a family of members with their ends, by their places; none of what is in a
/// symbol, but what is in a [`large`] block is drawn as if by itself.
pub fn drawn(flat: &Flat, items: &[usize], large: &BTreeSet<usize>) -> BTreeSet<usize> {
    let in_parts = |i: usize| {
        let holders =
            std::iter::successors(flat.items[i].within, |&w| flat.items[w].within.filter(|&o| o < w));
        holders.into_iter().all(|w| large.contains(&w))
    };
    let loose = |i: &&usize| flat.items[**i].visible && in_parts(**i);
    let items: Vec<usize> = items.iter().filter(loose).copied().collect();
    let mut lines: Vec<Line> = Vec::new();
    for &item in &items {
        match &flat.items[item].prim {
            Prim::Segment { from, to } => lines.extend(line(item, *from, *to)),
            Prim::Path { vertices, .. } if vertices.len() == 4 && vertices.iter().all(|v| v.bulge == 0.0) => {
                let p: Vec<Coord> = vertices.iter().map(|v| v.at).collect();
                let (first, next) = (distance(p[0], p[1]), distance(p[1], p[2]));
                let pairs = if first > next {
                    [(0, 1), (3, 2)]
                } else {
                    [(1, 2), (0, 3)]
                };
                lines.extend(pairs.into_iter().filter_map(|(a, b)| line(item, p[a], p[b])));
            }
            _ => {}
        }
    }
    lines.sort_by(|a, b| a.degrees.total_cmp(&b.degrees).then(a.item.cmp(&b.item)));
    let mut found: Vec<(usize, f64)> = Vec::new();
    let mut all: Vec<Vec<Member>> = Vec::new();
    for group in lines.chunk_by(|a, b| b.degrees - a.degrees <= PARALLEL) {
        let members = members(group);
        found.extend(in_step(&members));
        all.push(members);
    }
    let mut thicknesses: Vec<f64> = found.iter().map(|f| f.1).collect();
    thicknesses.sort_by(f64::total_cmp);
    thicknesses.dedup_by(|a, b| (*a - *b).abs() <= SAME);
    // Built up of two plies, or a header of the same stock.
    let of_family = |m: &&Member| {
        let like = |t: &f64| [1.0, 2.0].iter().any(|n| (m.thickness - n * t).abs() <= SAME);
        thicknesses.iter().any(like)
    };
    let taken: Vec<&Member> = all.iter().flatten().filter(of_family).collect();
    let mut of: BTreeSet<usize> = taken.iter().flat_map(|m| m.items).collect();
    of.extend(caps(flat, &items, &taken));
    of
}

/// Symbols larger than any fixture is.
pub fn large(flat: &Flat) -> BTreeSet<usize> {
    let mut boxes: BTreeMap<usize, (Coord, Coord)> = BTreeMap::new();
    for item in flat.items.iter().filter(|i| i.visible) {
        let Some(holder) = item.within else { continue };
        let points = match &item.prim {
            Prim::Segment { from, to } => vec![*from, *to],
            prim => chords(prim).map_or(Vec::new(), |(points, _)| points),
        };
        let so_far = boxes
            .get(&holder)
            .into_iter()
            .flat_map(|(low, high)| [*low, *high]);
        if let Some(all) = bounds(points.into_iter().chain(so_far)) {
            boxes.insert(holder, all);
        }
    }
    // What stands in a symbol comes after it: the last one's box is whole, and goes to its holder's.
    for w in (0..flat.items.len()).rev() {
        let (Some(own), Some(holder)) = (boxes.get(&w).copied(), flat.items[w].within) else {
            continue;
        };
        let all = boxes.get(&holder).map_or([own, own], |whole| [own, *whole]);
        boxes.extend(bounds(all.iter().flat_map(|(low, high)| [*low, *high])).map(|b| (holder, b)));
    }
    let large = |(low, high): &(Coord, Coord)| (high.x - low.x).max(high.y - low.y) > LARGEST_SYMBOL;
    boxes
        .into_iter()
        .filter(|(_, b)| large(b))
        .map(|(w, _)| w)
        .collect()
}

fn line(item: usize, from: Coord, to: Coord) -> Option<Line> {
    let along = unit(to - from).filter(|_| finite(from) && finite(to) && distance(from, to) >= SHORTEST)?;
    let degrees = line_degrees(along);
    // What is level may be 0 or just below 180 degrees.
    let degrees = if degrees > 180.0 - PARALLEL {
        degrees - 180.0
    } else {
        degrees
    };
    Some(Line {
        item,
        from,
        to,
        degrees,
    })
}

/// Pairs of parallel lines a member's thickness apart that begin and end side by side.
fn members(lines: &[Line]) -> Vec<Member> {
    let Some(first) = lines.first() else {
        return Vec::new();
    };
    let Some(along) = unit(first.to - first.from) else {
        return Vec::new();
    };
    let across = left_of(along);
    let origin = first.from;
    let place = |l: &Line| {
        let (a, b) = (dot(l.from - origin, along), dot(l.to - origin, along));
        let off = dot((l.from + l.to) * 0.5 - origin, across);
        (off, a.min(b), a.max(b))
    };
    let mut placed: Vec<(f64, f64, f64, &Line)> = (lines.iter())
        .map(|l| {
            let (off, low, high) = place(l);
            (off, low, high, l)
        })
        .collect();
    placed.sort_by(|a, b| {
        a.0.total_cmp(&b.0)
            .then(a.1.total_cmp(&b.1))
            .then(a.3.item.cmp(&b.3.item))
    });
    let mut found = Vec::new();
    for (i, (off, low, high, l)) in placed.iter().enumerate() {
        for (other, from, to, o) in &placed[i + 1..] {
            let thickness = other - off;
            if thickness > *THICK.end() {
                break;
            }
            let level = (from - low).abs() <= LEVEL && (to - high).abs() <= LEVEL;
            if level && THICK.contains(&thickness) && is_lumber(thickness) {
                found.push(Member {
                    items: [l.item, o.item],
                    thickness,
                    ends: [l.from, l.to, o.from, o.to],
                    off: (off + other) / 2.0,
                    reach: (*low, *high),
                });
            }
        }
    }
    found
}

/// Members that stand at one pitch from the next beside them, each with its thickness.
fn in_step(members: &[Member]) -> Vec<(usize, f64)> {
    let mut order: Vec<usize> = (0..members.len()).collect();
    order.sort_by(|&a, &b| members[a].off.total_cmp(&members[b].off).then(a.cmp(&b)));
    let beside = |m: &Member, o: &Member| {
        let overlap = m.reach.1.min(o.reach.1) - m.reach.0.max(o.reach.0);
        overlap >= 0.5 * (m.reach.1 - m.reach.0).min(o.reach.1 - o.reach.0)
    };
    let mut steps: Vec<(usize, f64)> = Vec::new();
    for (k, &i) in order.iter().enumerate() {
        let m = &members[i];
        let next = (order[k + 1..].iter())
            .map(|&j| &members[j])
            .take_while(|o| o.off - m.off <= *APART.end())
            .find(|o| o.off - m.off > 1.0 && (o.thickness - m.thickness).abs() <= SAME && beside(m, o));
        steps.extend(next.map(|o| (i, o.off - m.off)));
    }
    let near = |pitch: f64| steps.iter().filter(move |s| (s.1 - pitch).abs() <= OFF_PITCH);
    let pitch = (steps.iter().map(|s| s.1))
        .filter(|p| APART.contains(p))
        .map(|p| (near(p).count(), p))
        .max_by(|a, b| a.0.cmp(&b.0).then(b.1.total_cmp(&a.1)));
    match pitch {
        Some((count, pitch)) if count >= FEWEST - 1 => {
            near(pitch).map(|s| (s.0, members[s.0].thickness)).collect()
        }
        _ => Vec::new(),
    }
}

/// Tells of framing among what the rules name as walls by its layer.
pub fn told(flat: &Flat, classes: &Classes, rules: &Rules, notes: &mut Vec<Note>) {
    let read = &rules.read;
    if !read.walls.given {
        return;
    }
    let mut layers: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (i, item) in flat.items.iter().enumerate() {
        if classes.of[i] == Class::Wall && read.walls.layer_matches(&item.layer) {
            layers.entry(&item.layer).or_default().push(i);
        }
    }
    if layers.is_empty() {
        return;
    }
    let large = large(flat);
    for (layer, items) in layers {
        let found = drawn(flat, &items, &large);
        if !found.is_empty() {
            notes.push(Note::warning(
                "walls-hold-framing",
                format!(
                    "layer {layer} is named under [read] walls, and {} of its lines are drawn as framing is, in pairs a member's \
                     thickness apart at one pitch, and part the rooms: where they are, write framing = {{ layers = \
                     [\"{layer}:lumber\"] }} under [read] in bayline.toml",
                    found.len()
                ),
            ));
        }
    }
}

/// Short lines from face to face at the ends of members.
fn caps(flat: &Flat, items: &[usize], members: &[&Member]) -> Vec<usize> {
    let ends = members.iter().flat_map(|m| m.ends);
    let spots: Vec<_> = ends.map(|p| GeomWithData::new([p.x, p.y], ())).collect();
    let tree = RTree::bulk_load(spots);
    let at_end = |p: Coord| {
        let near = SAME * SAME;
        finite(p) && tree.locate_within_distance([p.x, p.y], near).next().is_some()
    };
    let cap = |i: &&usize| match flat.items[**i].prim {
        Prim::Segment { from, to } => {
            THICK.contains(&distance(from, to)) && cross(from, to).is_finite() && at_end(from) && at_end(to)
        }
        _ => false,
    };
    items.iter().filter(cap).copied().collect()
}
