//! Rows as they are defined, sought without any short cut.

use std::collections::BTreeSet;

use geo::{Coord, Vector2DOps};
use rstar::{AABB, RTree};

use super::super::grid::{Candidate, SAME_STEP, by_claim, candidate, even_out, rounded, same_direction};
use super::super::seek::{ENOUGH, OFF_COSTS, ROUNDS, Spot, band, cut, seeds, step_along};
use super::super::{Group, crosses, line};
use crate::geom::zone::minimum_zone;
use crate::geom::{FUZZ, Line};
use crate::rules::Rules;

/// Whether a wall crosses the way from `a` to `b`.
fn walled(group: &Group, a: Coord, b: Coord) -> bool {
    let point = |[x, y]: [f64; 2]| Coord { x, y };
    (group.walls.iter()).any(|wall| crosses(a, b, point(wall.from), point(wall.to)))
}

/// Sets of lights (indices into the group, in order along the row) that may be rows. Each pair of
/// neighbours is tried as the start of a row unless a row with both was found.
pub fn candidates(group: &Group, rules: &Rules) -> Vec<Vec<usize>> {
    if group.lights.len() < 3 {
        return Vec::new();
    }
    let spots: Vec<Spot> = group
        .lights
        .iter()
        .enumerate()
        .map(|(i, (_, p))| Spot::new([p.x, p.y], i))
        .collect();
    let index = RTree::bulk_load(spots);
    let mut found: BTreeSet<Vec<usize>> = BTreeSet::new();
    let mut joined: BTreeSet<(usize, usize)> = BTreeSet::new();
    let mut lines = vec![0_usize; group.lights.len()];
    for (_, a, b) in seeds(group, &index) {
        let enough = |i: usize| lines.get(i).is_some_and(|&n| n >= ENOUGH);
        if joined.contains(&(a.min(b), a.max(b))) || (enough(a) && enough(b)) {
            continue;
        }
        let grown = grow(group, &index, [a, b], rules);
        let Some(settled) = settle(group, &index, grown, rules) else {
            continue;
        };
        for (i, &one) in settled.iter().enumerate() {
            joined.extend(
                settled
                    .iter()
                    .skip(i + 1)
                    .map(|&two| (one.min(two), one.max(two))),
            );
        }
        if !found.contains(&settled) {
            for &i in &settled {
                if let Some(count) = lines.get_mut(i) {
                    *count += 1;
                }
            }
            found.insert(settled);
        }
    }
    found.into_iter().collect()
}

/// Adds lights beyond both ends, the cheapest first, as long as all fit in one band.
fn grow(group: &Group, index: &RTree<Spot>, pair: [usize; 2], rules: &Rules) -> Vec<usize> {
    let mut row: Vec<usize> = pair.into();
    loop {
        let after = next(group, index, &row, rules);
        row.extend(after);
        row.reverse();
        let before = next(group, index, &row, rules);
        row.extend(before);
        row.reverse();
        if after.is_none() && before.is_none() {
            return row;
        }
    }
}

/// The light that continues `row` beyond its last one.
fn next(group: &Group, index: &RTree<Spot>, row: &[usize], rules: &Rules) -> Option<usize> {
    let points: Vec<Coord> = row.iter().filter_map(|&i| group.at(i)).collect();
    let (first, last) = (*points.first()?, *points.last()?);
    let line = Line::through(first, last)?;
    let step = line::median_gap(
        points
            .windows(2)
            .filter_map(|w| Some((*w.get(1)? - *w.first()?).magnitude())),
    )?;
    let reach = step * rules.tolerance.gap_ratio + FUZZ;
    let band = band(step, rules);
    let corner = |sign: f64| [last.x + sign * reach, last.y + sign * reach];
    let mut best: Option<(f64, usize)> = None;
    for spot in index.locate_in_envelope(AABB::from_corners(corner(-1.0), corner(1.0))) {
        let Some(p) = group.at(spot.data) else { continue };
        let ahead = line.station(p) - line.station(last);
        if row.contains(&spot.data) || ahead <= band || ahead > reach {
            continue;
        }
        let cost = ahead + OFF_COSTS * line.offset(p).abs();
        if best.is_some_and(|(least, i)| cost > least + FUZZ || (cost >= least - FUZZ && spot.data > i)) {
            continue;
        }
        let mut with = points.clone();
        with.push(p);
        let fits = minimum_zone(&with).is_some_and(|zone| zone.width <= 2.0 * band);
        if fits && !walled(group, last, p) {
            best = Some((cost, spot.data));
        }
    }
    best.map(|(_, i)| i)
}

/// Fits the line and gathers what lies in its band, until nothing changes. Where two sets each lead to
/// the other, lights are from then on only taken out. `None` where fewer than three stay.
fn settle(group: &Group, index: &RTree<Spot>, mut row: Vec<usize>, rules: &Rules) -> Option<Vec<usize>> {
    let mut round = 0;
    while row.len() >= 3 {
        let fitted = line::fit(group, &row, rules)?;
        let step = step_along(group, &row, fitted.line)?;
        let mut gathered = gather(group, index, &row, fitted.line, band(step, rules), rules);
        if round >= ROUNDS {
            gathered.retain(|i| row.contains(i));
        }
        if gathered == row {
            return Some(row);
        }
        // Taking out ends at the latest when nothing is left; the same lights in a new order are the same row.
        if round >= ROUNDS && gathered.len() == row.len() {
            return Some(gathered);
        }
        row = gathered;
        round += 1;
    }
    None
}

/// All lights in the band, cut at walls and long gaps: of the pieces, the one that shares most with
/// `row`.
fn gather(
    group: &Group,
    index: &RTree<Spot>,
    row: &[usize],
    line: Line,
    band: f64,
    rules: &Rules,
) -> Vec<usize> {
    let stations = row.iter().filter_map(|&i| group.at(i)).map(|p| line.station(p));
    let (low, high) = stations.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), s| {
        (l.min(s), h.max(s))
    });
    // What continues the row lies no further beyond its ends than the row is long, times the ratio.
    let spare = (high - low) * rules.tolerance.gap_ratio + band;
    let (a, b) = (line.at(low - spare), line.at(high + spare));
    let envelope = AABB::from_corners(
        [a.x.min(b.x) - band, a.y.min(b.y) - band],
        [a.x.max(b.x) + band, a.y.max(b.y) + band],
    );
    let mut inside: Vec<(f64, usize)> = index
        .locate_in_envelope(envelope)
        .filter_map(|spot| Some((spot.data, group.at(spot.data)?)))
        .filter(|&(_, p)| line.offset(p).abs() <= band + FUZZ)
        .map(|(i, p)| (line.station(p), i))
        .collect();
    inside.sort_by(|x, y| x.0.total_cmp(&y.0).then(x.1.cmp(&y.1)));
    let mut pieces = vec![Vec::new()];
    let mut before: Option<Coord> = None;
    for (_, i) in inside {
        let Some(p) = group.at(i) else { continue };
        if before.is_some_and(|q| walled(group, q, p)) {
            pieces.push(Vec::new());
        }
        if let Some(piece) = pieces.last_mut() {
            piece.push(i);
        }
        before = Some(p);
    }
    let mut best: (usize, Vec<usize>) = (0, Vec::new());
    while let Some(piece) = pieces.pop() {
        if let Some((left, right)) = cut(group, &piece, line, rules) {
            pieces.extend([left, right]);
            continue;
        }
        let shared = piece.iter().filter(|i| row.contains(i)).count();
        let size = |p: &[usize]| (p.len(), std::cmp::Reverse(p.to_vec()));
        if shared > best.0 || (shared == best.0 && size(&piece) > size(&best.1)) {
            best = (shared, piece);
        }
    }
    best.1
}

/// The candidates that are rows, as sets of lights in order along the row.
pub fn without_diagonals(group: &Group, sets: Vec<Vec<usize>>) -> Vec<Vec<usize>> {
    let all = sets.into_iter().filter_map(|set| candidate(group, set)).collect();
    let mut left = one_a_line(all);
    even_out(&mut left);
    let mut rows: Vec<Candidate> = Vec::new();
    while !left.is_empty() {
        let least = left.iter().map(|c| c.step).fold(f64::INFINITY, f64::min);
        let first = left
            .iter()
            .enumerate()
            .filter(|(_, c)| c.step <= least * SAME_STEP)
            .min_by(|(_, a), (_, b)| by_claim(a, b))
            .map(|(i, _)| i);
        let Some(first) = first else { break };
        let next = left.swap_remove(first);
        if !is_diagonal(&next, &rows) {
            rows.push(next);
        }
    }
    rows.into_iter().map(|c| c.lights).collect()
}

/// Two lines of nearly one direction that share two lights are one row seen twice: the fuller stays.
fn one_a_line(mut all: Vec<Candidate>) -> Vec<Candidate> {
    all.sort_by(|a, b| {
        (b.lights.len().cmp(&a.lights.len()))
            .then(rounded(a.width).cmp(&rounded(b.width)))
            .then(a.lights.cmp(&b.lights))
    });
    let mut kept: Vec<Candidate> = Vec::new();
    for next in all {
        let shared = |row: &Candidate| next.lights.iter().filter(|i| row.lights.contains(i)).count();
        if !kept
            .iter()
            .any(|row| same_direction(row, &next) && shared(row) >= 2)
        {
            kept.push(next);
        }
    }
    kept
}

fn is_diagonal(next: &Candidate, rows: &[Candidate]) -> bool {
    let through = |light: usize| rows.iter().filter(move |row| row.lights.contains(&light));
    let full = next
        .lights
        .iter()
        .filter(|&&i| through(i).nth(1).is_some())
        .count();
    let by_way = next.lights.windows(2).filter(|step| {
        let (Some(&a), Some(&b)) = (step.first(), step.last()) else {
            return false;
        };
        through(a).any(|row| {
            !row.lights.contains(&b)
                && through(b).any(|other| {
                    !other.lights.contains(&a) && row.lights.iter().any(|i| other.lights.contains(i))
                })
        })
    });
    full * 2 > next.lights.len() || by_way.count() * 2 > next.lights.len().saturating_sub(1)
}
