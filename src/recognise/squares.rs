//! Square fixtures drawn as loose lines on light layers: four lines, a closed polyline, a filled square.
//!
//! Equal squares of a recessed light's size that repeat are lights; others are told of, never lost without a word.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::classes::Class;
use super::drawn_as::{Writing, answers, ruled};
use super::round::{Lettering, Round};
use super::shape::{distance, dot, finite};
use crate::flatten::{Flat, Prim};
use crate::length::inches_only;
use crate::note::Note;
use crate::rules::Rules;

/// From side to side, inches (common practice for recessed squares on house plans; troffers are 24).
const ACROSS: std::ops::RangeInclusive<f64> = 3.0..=12.0;
/// Fewer equal ones do not repeat.
const FEWEST: usize = 3;
/// Corners nearer than this are one, and sides that differ by less are equal, as a share of the side.
const SAME: f64 = 0.02;
/// Lines looked at from one corner.
const AT_A_CORNER: usize = 8;

/// Squares of a light's size among `items` that repeat, as the rounds that are in them. `rounds` are what is round
/// there already: a square about one is part of its symbol.
pub fn squares(
    flat: &Flat,
    items: &[usize],
    rounds: &[Round],
    rules: &Rules,
    notes: &mut Vec<Note>,
) -> Vec<Round> {
    let found = all(flat, items, rounds);
    if found.is_empty() {
        return Vec::new();
    }
    let (lettering, writing) = (Lettering::new(flat), Writing::new(flat));
    let (mut lights, found): (Vec<Round>, Vec<Round>) =
        (found.into_iter()).partition(|s| ruled(&rules.read, &writing.square(s)) == Some(Class::Light));
    let mut sizes: BTreeMap<i64, Vec<Round>> = BTreeMap::new();
    for square in found {
        let size = (square.radius * 16.0).round() as i64;
        sizes.entry(size).or_default().push(square);
    }
    for equal in sizes.into_values() {
        let (n, across) = (equal.len(), inches_only(2.0 * equal[0].radius));
        let marked = equal.iter().filter(|s| lettering.is_in(s)).count();
        let names: BTreeSet<String> = equal.iter().map(|s| writing.square(s)).collect();
        let (code, what) = if n >= FEWEST && 2 * marked < n {
            lights.extend(equal);
            (
                "squares-lights",
                "equal squares, drawn as lines, are taken for recessed lights",
            )
        } else if marked > 0 {
            (
                "squares-asked",
                "squares with letters in them are not taken for lights: junction boxes or marks",
            )
        } else {
            (
                "squares-asked",
                "square(s), drawn as lines, are too few to be taken for lights",
            )
        };
        let answers = answers(rules, &names);
        notes.push(Note::warning(
            code,
            format!("{n} {what} ({across} across, on light layers): {answers}"),
        ));
    }
    lights.sort_by_key(|s| s.item);
    lights
}

/// Every square of a light's size among `items` that is not about something round.
pub fn all(flat: &Flat, items: &[usize], rounds: &[Round]) -> Vec<Round> {
    let mut found: Vec<Round> = items
        .iter()
        .filter_map(|&i| whole(&flat.items[i].prim, i))
        .collect();
    found.extend(of_lines(flat, items));
    found.sort_by_key(|s| s.item);
    let circles = RTree::bulk_load(rounds.iter().map(|r| [r.center.x, r.center.y]).collect());
    found.retain(|s| {
        let near = circles.nearest_neighbor([s.center.x, s.center.y]);
        near.is_none_or(|c| (c[0] - s.center.x).hypot(c[1] - s.center.y) > s.radius)
    });
    if found.is_empty() {
        return Vec::new();
    }
    single(found)
}

/// A square that one item is.
fn whole(prim: &Prim, item: usize) -> Option<Round> {
    let corners: Vec<Coord> = match prim {
        Prim::Path { vertices, closed } if vertices.iter().all(|v| v.bulge == 0.0) => {
            let mut corners: Vec<Coord> = vertices.iter().map(|v| v.at).collect();
            if !closed && corners.first() != corners.last() {
                return None;
            }
            if corners.len() == 5 && corners.first() == corners.last() {
                corners.pop();
            }
            corners
        }
        Prim::Face(ring) => ring.clone(),
        Prim::Region { loops, curved: false } if loops.len() == 1 => loops[0].clone(),
        _ => return None,
    };
    let corners: [Coord; 4] = corners.try_into().ok()?;
    square(corners, vec![item])
}

/// The square that four corners in sequence are.
fn square(corners: [Coord; 4], parts: Vec<usize>) -> Option<Round> {
    let side = |k: usize| corners[(k + 1) % 4] - corners[k];
    let across = distance(corners[0], corners[1]);
    let slack = SAME * across;
    let equal = |k: usize| {
        let next = side((k + 1) % 4);
        (distance(corners[k], corners[(k + 1) % 4]) - across).abs() <= slack
            && dot(side(k), next).abs() <= slack * across
    };
    let center = (corners[0] + corners[2]) * 0.5;
    let sound = finite(center) && ACROSS.contains(&across) && (0..4).all(equal);
    let item = parts.first().copied()?;
    sound.then_some(Round {
        center,
        radius: across / 2.0,
        item,
        parts,
    })
}

/// Squares of four lines that meet at their ends.
fn of_lines(flat: &Flat, items: &[usize]) -> Vec<Round> {
    let line = |&i: &usize| match flat.items[i].prim {
        Prim::Segment { from, to } if ACROSS.contains(&distance(from, to)) && finite(from) && finite(to) => {
            Some((from, to, i))
        }
        _ => None,
    };
    let lines: Vec<(Coord, Coord, usize)> = items.iter().filter_map(line).collect();
    let ends = |(n, (a, b, _)): (usize, &(Coord, Coord, usize))| {
        [
            GeomWithData::new([a.x, a.y], (n, *b)),
            GeomWithData::new([b.x, b.y], (n, *a)),
        ]
    };
    let tree = RTree::bulk_load(lines.iter().enumerate().flat_map(ends).collect());
    let mut used = vec![false; lines.len()];
    let mut found = Vec::new();
    for first in 0..lines.len() {
        let (a, b, _) = lines[first];
        let across = distance(a, b);
        // Lines of that length that leave squarely from where one came to, and where they end.
        let on = |from: Coord, back: Coord| -> Vec<(usize, Coord)> {
            let leaves = |&(n, to): &(usize, Coord)| {
                let next = to - from;
                n != first
                    && !used[n]
                    && dot(from - back, next).abs() <= SAME * across * across
                    && (distance(from, to) - across).abs() <= SAME * across
            };
            (tree.nearest_neighbor_iter([from.x, from.y]).take(AT_A_CORNER))
                .filter(|g| (g.geom()[0] - from.x).hypot(g.geom()[1] - from.y) <= SAME * across)
                .map(|g| g.data)
                .filter(leaves)
                .collect()
        };
        if used[first] {
            continue;
        }
        let around = on(b, a).into_iter().find_map(|(second, c)| {
            let back = |(_, d): &(usize, Coord)| dot(*d - c, b - a) < 0.0;
            let (third, d) = on(c, b).into_iter().find(back)?;
            let home = |(_, end): &(usize, Coord)| distance(*end, a) <= 2.0 * SAME * across;
            let (fourth, _) = on(d, c).into_iter().find(home)?;
            Some(([first, second, third, fourth], [a, b, c, d]))
        });
        let Some((sides, corners)) = around else { continue };
        let mut parts: Vec<usize> = sides.iter().map(|&n| lines[n].2).collect();
        parts.sort_unstable();
        parts.dedup();
        if parts.len() == 4
            && let Some(square) = square(corners, parts)
        {
            sides.iter().for_each(|&n| used[n] = true);
            found.push(square);
        }
    }
    found
}

/// One for those on one spot: an outline and what fills it.
fn single(found: Vec<Round>) -> Vec<Round> {
    let mut tree: RTree<GeomWithData<[f64; 2], usize>> = RTree::new();
    let mut kept: Vec<Round> = Vec::new();
    for square in found {
        let at = [square.center.x, square.center.y];
        let near = tree.nearest_neighbor(at).map(|g| g.data);
        match near.filter(|&n| distance(kept[n].center, square.center) <= kept[n].radius.max(square.radius)) {
            Some(n) => {
                kept[n].radius = kept[n].radius.max(square.radius);
                kept[n].parts.extend(square.parts);
            }
            None => {
                tree.insert(GeomWithData::new(at, kept.len()));
                kept.push(square);
            }
        }
    }
    kept
}
