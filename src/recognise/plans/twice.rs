//! The same lights drawn in two plans: an electrical plan beside a ceiling plan, an enlarged plan of one room.
//!
//! They are counted, since either may be the one that is built, and asked about.

use std::collections::BTreeMap;

use geo::Coord;

use super::{Part, called, home};
use crate::note::Note;
use crate::plan::{Plan, Room};
use crate::recognise::shape::{bounds, distance, point_to_segment};
use crate::recognise::titles;

/// Lights and walls of two plans are the same within this, inches, once one is laid on the other.
const SAME: f64 = 1.5;
/// Share of the lights, and of the length of walls, of the plan that has fewer.
const MOST_OF: f64 = 0.8;
const WALLS: f64 = 0.7;
/// Walls held against the other plan's, the longest first.
const VOTERS: usize = 200;
/// Pairs of plans, and pairs of lights of two plans, that are looked at.
const PAIRS: usize = 200;
const MOST: usize = 4_000_000;
/// A room that is drawn larger or smaller by less is of the same size; and no plan is enlarged by more.
const LARGER: f64 = 1.02;
const LARGEST: f64 = 16.0;

/// Asks about plans that show the same lights.
pub fn told(plan: &Plan, parts: &[Part], notes: &mut Vec<Note>) {
    let lit: Vec<usize> = (0..parts.len())
        .filter(|&i| !parts[i].lights.is_empty())
        .collect();
    let pairs = (lit.iter().enumerate()).flat_map(|(n, &i)| lit[n + 1..].iter().map(move |&j| (i, j)));
    for (i, j) in pairs.take(PAIRS) {
        let (few, many) = match parts[i].lights.len() <= parts[j].lights.len() {
            true => (i, j),
            false => (j, i),
        };
        if apart_by_title(&parts[i], &parts[j]) {
            continue;
        }
        let said = if let Some(count) = whole(plan, &parts[few], &parts[many]) {
            format!(
                "{} and {} show the same walls with {} in the same places",
                called(parts, i),
                called(parts, j),
                lights(count)
            )
        } else if let Some((large, small, scale, rooms, count)) = enlarged(plan, parts, (i, j)) {
            let (large, small) = (called(parts, large), called(parts, small));
            let same = match count {
                0 => "with lights that stand so many times too far apart".to_string(),
                n => format!("with {} in the same places", lights(n)),
            };
            format!("{large} shows {rooms} of {small} again, {scale} times as large, {same}")
        } else {
            continue;
        };
        notes.push(Note::warning(
            "lights-twice",
            format!(
                "{said}: which plan counts? They are counted in both, and so are findings and lumber; turn off the layers of the \
                 other, or export the one that is built by itself"
            ),
        ));
    }
}

fn lights(n: usize) -> String {
    if n == 1 {
        "1 light".to_string()
    } else {
        format!("{n} lights")
    }
}

/// Whether the titles name two storeys or units; options and schemes show one house in several ways.
fn apart_by_title(a: &Part, b: &Part) -> bool {
    let (Some(a), Some(b)) = (a.words(), b.words()) else {
        return false;
    };
    let (in_a, in_b) = (titles::which(a), titles::which(b));
    let told = !in_a.is_empty() && !in_b.is_empty() && in_a.is_disjoint(&in_b);
    told && !titles::is_option(a) && !titles::is_option(b)
}

/// How many lights of the one stand where the other has one, where both have the same walls.
pub(super) fn whole(plan: &Plan, few: &Part, many: &Part) -> Option<usize> {
    let at = |part: &Part| -> Vec<Coord> {
        let lights = part.lights.iter().filter_map(|l| plan.lights.get(l.0));
        lights.map(|l| l.at).collect()
    };
    let (ours, theirs) = (at(few), at(many));
    if ours.len().saturating_mul(theirs.len()) > MOST {
        return None;
    }
    let needed = (MOST_OF * ours.len() as f64).ceil() as usize;
    // Of the shifts that lay one of our lights on one of theirs, one lays most; any of the few that may stay
    // without a fellow may be the first, but not all.
    let first = ours.len() - needed + 1;
    let mut sorted = theirs.clone();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let stands = |p: Coord| {
        let from = sorted.partition_point(|q| q.x < p.x - SAME);
        let near = sorted[from..].iter().take_while(|q| q.x <= p.x + SAME);
        near.into_iter().any(|q| distance(*q, p) <= SAME)
    };
    let mut best: Option<usize> = None;
    for a in ours.iter().take(first) {
        for b in &theirs {
            let shift = *b - *a;
            let (mut found, mut missed) = (0, 0);
            for p in &ours {
                if stands(*p + shift) {
                    found += 1;
                } else {
                    missed += 1;
                }
                if missed > ours.len() - needed {
                    break;
                }
            }
            if found >= needed && best.is_none_or(|most| found > most) && same_walls(few, many, shift) {
                best = Some(found);
            }
        }
    }
    best
}

/// Whether most of the walls of the plan that has less lie on the other's.
fn same_walls(a: &Part, b: &Part, shift: Coord) -> bool {
    let length = |p: &Part| p.walls.iter().map(|w| distance(w.0, w.1)).sum::<f64>();
    let (a, b, shift) = match length(a) <= length(b) {
        true => (a, b, shift),
        false => (b, a, shift * -1.0),
    };
    let mut walls: Vec<(f64, Coord, Coord)> = (a.walls.iter())
        .map(|w| (distance(w.0, w.1), w.0 + shift, w.1 + shift))
        .collect();
    walls.sort_by(|x, y| y.0.total_cmp(&x.0));
    walls.truncate(VOTERS);
    let lies = |p: Coord| b.walls.iter().any(|w| point_to_segment(p, w.0, w.1) <= SAME);
    let total: f64 = walls.iter().map(|w| w.0).sum();
    let found: f64 = (walls.iter())
        .filter(|(_, a, b)| [0.1, 0.5, 0.9].iter().all(|t| lies(*a + (*b - *a) * *t)))
        .map(|w| w.0)
        .sum();
    total > 0.0 && found >= WALLS * total
}

/// Rooms of one name and shape in two plans: which plan has them larger, the other, how much larger, their names, how many
/// lights are in the same places.
pub(super) fn enlarged(
    plan: &Plan,
    parts: &[Part],
    (i, j): (usize, usize),
) -> Option<(usize, usize, f64, String, usize)> {
    let middle = |r: &Room| bounds(r.outline.iter().copied()).map(|(low, high)| (low + high) * 0.5);
    let of = |part: usize| -> Vec<usize> {
        let here = |r: &usize| middle(&plan.rooms[*r]).and_then(|p| home(parts, p)) == Some(part);
        let named = |r: &usize| plan.rooms[*r].name.is_some();
        (0..plan.rooms.len()).filter(named).filter(here).collect()
    };
    let (ours, theirs) = (of(i), of(j));
    if ours.len().saturating_mul(theirs.len()) > MOST {
        return None;
    }
    // By the scale in hundredths, as all rooms of an enlarged plan have one.
    let mut by_scale: BTreeMap<(bool, i64), (Vec<String>, usize)> = BTreeMap::new();
    for &a in &ours {
        for &b in &theirs {
            let (first, second) = (&plan.rooms[a], &plan.rooms[b]);
            if first.name != second.name {
                continue;
            }
            let up = times(first, second).filter(|s| *s > LARGER);
            let down = times(second, first).filter(|s| *s > LARGER);
            let (up, scale, small, large) = match (up, down) {
                (Some(scale), _) => (true, scale, a, b),
                (_, Some(scale)) => (false, scale, b, a),
                _ => continue,
            };
            // Without a light in the same place two rooms may be alike by chance, unless the title says what it is.
            let titled = parts[if up { j } else { i }]
                .words()
                .is_some_and(titles::is_enlarged);
            let lit = plan.lights.iter().any(|l| l.room.is_some_and(|r| r.0 == large));
            let count = same_lights(plan, small, large, scale);
            if let Some(count) = count.or((titled && lit).then_some(0)) {
                let entry = by_scale.entry((up, (scale * 100.0).round() as i64)).or_default();
                entry.0.extend(first.name.clone());
                entry.1 += count;
            }
        }
    }
    let ((up, hundredths), (mut names, count)) = by_scale
        .into_iter()
        .max_by(|a, b| a.1.1.cmp(&b.1.1).then(b.0.cmp(&a.0)))?;
    names.sort();
    names.dedup();
    let (large, small) = if up { (j, i) } else { (i, j) };
    Some((large, small, hundredths as f64 / 100.0, names.join(", "), count))
}

/// How many times as large `b` is as `a`, where they have one shape.
fn times(a: &Room, b: &Room) -> Option<f64> {
    let (low_a, high_a) = bounds(a.outline.iter().copied())?;
    let (low_b, high_b) = bounds(b.outline.iter().copied())?;
    let (size_a, size_b) = (high_a - low_a, high_b - low_b);
    let scale = size_b.x / size_a.x;
    let one_shape = (size_a.y * scale - size_b.y).abs() <= SAME * scale && a.outline.len() == b.outline.len();
    let to = |p: Coord| low_b + (p - low_a) * scale;
    let corners = one_shape
        && (a.outline.iter()).all(|p| b.outline.iter().any(|q| distance(to(*p), *q) <= SAME * scale));
    (corners && scale.is_finite() && scale <= LARGEST).then_some(scale)
}

/// How many lights of the larger room stand where the smaller has them; `None` where these are not most of them.
fn same_lights(plan: &Plan, small: usize, large: usize, scale: f64) -> Option<usize> {
    let of = |room: usize| -> Vec<Coord> {
        let here = plan.lights.iter().filter(|l| l.room.is_some_and(|r| r.0 == room));
        here.map(|l| l.at).collect()
    };
    let low = |room: usize| bounds(plan.rooms[room].outline.iter().copied()).map(|b| b.0);
    let (ours, theirs) = (of(small), of(large));
    let (from, to) = (low(small)?, low(large)?);
    let stands = |p: &&Coord| {
        let p = to + (**p - from) * scale;
        theirs.iter().any(|q| distance(p, *q) <= 2.0 * SAME * scale)
    };
    let found = ours.iter().filter(stands).count();
    (found > 0 && found as f64 >= MOST_OF * ours.len().min(theirs.len()) as f64).then_some(found)
}
