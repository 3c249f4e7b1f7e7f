//! Where the second drawing may lie: turns from the directions of walls, scales from their
//! lengths, shifts from votes of parallel walls.

use geo::Coord;

use super::matching::{Seg, Walls};
use super::similarity::Similarity;
use crate::recognise::shape::{cross, dot, quarter};

/// Directions tried of each drawing, and shifts of each direction.
const DIRECTIONS: usize = 2;
const SHIFTS: usize = 6;
/// Wall lines of a direction that vote, the longest first.
const VOTERS: usize = 40;
/// Shifts that differ by less are one vote (inches); a wall's direction is not exact.
const WINDOW: f64 = 1.0;
/// Walls of this many, the longest, tell the score of a candidate before it is fitted.
const SCORED: usize = 120;
/// How near walls must come before the fit.
const LOOSE: f64 = 3.0;
/// Candidates handed on.
const KEPT: usize = 24;

/// Candidates at one scale, the best first, each with its matched length.
pub fn candidates(ours: &Walls, theirs: &[Seg], scale: f64) -> Vec<(f64, Similarity)> {
    let mut few: Vec<Seg> = theirs.to_vec();
    few.truncate(SCORED);
    let mut found: Vec<(f64, Similarity)> = Vec::new();
    for mirrored in [false, true] {
        for &to in &directions(&ours.segs) {
            for &from in &directions(theirs) {
                let from = if mirrored { -from } else { from };
                for quarter in 0..4 {
                    let turn = to - from + f64::from(quarter) * std::f64::consts::FRAC_PI_2;
                    let turned = Similarity::new(turn, mirrored, scale, Coord { x: 0.0, y: 0.0 });
                    for shift in shifts(&ours.segs, theirs, &turned, to) {
                        let t = Similarity { shift, ..turned };
                        let matches = ours.matches(&few, &t, LOOSE);
                        let (a, b) = ours.covered(&matches, &t, &few);
                        found.push((a + b, t));
                    }
                }
            }
        }
    }
    found.sort_by(|x, y| y.0.total_cmp(&x.0));
    found.truncate(KEPT);
    found
}

/// Angles (radians) of the directions with the greatest length of walls, modulo a quarter turn.
fn directions(segs: &[Seg]) -> Vec<f64> {
    const STEP: f64 = 0.01;
    let mut angles: Vec<(f64, f64)> = segs
        .iter()
        .map(|s| {
            let q = quarter(s.along);
            (q.y.atan2(q.x), s.length)
        })
        .collect();
    angles.sort_by(|a, b| a.0.total_cmp(&b.0).then(b.1.total_cmp(&a.1)));
    let mut groups: Vec<(f64, f64, f64)> = Vec::new();
    let mut last = f64::NEG_INFINITY;
    for (angle, length) in angles {
        match groups.last_mut() {
            Some(g) if angle - last <= STEP => {
                g.0 += length;
                // The longest wall of a group tells its direction best.
                if length > g.2 {
                    (g.1, g.2) = (angle, length);
                }
            }
            _ => groups.push((length, angle, length)),
        }
        last = angle;
    }
    groups.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.total_cmp(&b.1)));
    groups.into_iter().take(DIRECTIONS).map(|g| g.1).collect()
}

/// Shifts that lay many lines of one drawing on lines of the other, in the frame of `axis`.
fn shifts(ours: &[Seg], theirs: &[Seg], turned: &Similarity, axis: f64) -> Vec<Coord> {
    let u = Coord {
        x: axis.cos(),
        y: axis.sin(),
    };
    let v = Coord { x: -u.y, y: u.x };
    let turned: Vec<Seg> = theirs.iter().filter_map(|s| s.through(turned)).collect();
    let along = votes(&lines(ours, v, u), &lines(&turned, v, u));
    let across = votes(&lines(ours, u, v), &lines(&turned, u, v));
    let mut found = Vec::with_capacity(along.len() * across.len());
    for &x in &along {
        found.extend(across.iter().map(|&y| u * x + v * y));
    }
    found
}

/// Lines along `u`: offset along `n`, length of wall on it.
fn lines(segs: &[Seg], u: Coord, n: Coord) -> Vec<(f64, f64)> {
    let mut all: Vec<(f64, f64)> = segs
        .iter()
        .filter(|s| cross(s.along, u).abs() < 0.02)
        .map(|s| (dot((s.a + s.b) * 0.5, n), s.length))
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0).then(b.1.total_cmp(&a.1)));
    let mut lines: Vec<(f64, f64)> = Vec::new();
    for (offset, length) in all {
        match lines.last_mut() {
            Some(l) if offset - l.0 <= 0.1 => l.1 += length,
            _ => lines.push((offset, length)),
        }
    }
    lines.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.total_cmp(&b.0)));
    lines.truncate(VOTERS);
    lines
}

/// The differences of offsets that most lengths of lines agree on.
fn votes(ours: &[(f64, f64)], theirs: &[(f64, f64)]) -> Vec<f64> {
    let mut all: Vec<(f64, f64)> = ours
        .iter()
        .flat_map(|a| theirs.iter().map(move |b| (a.0 - b.0, a.1.min(b.1))))
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let peaks = peaks(&all, WINDOW);
    peaks.into_iter().take(SHIFTS).map(|p| p.0).collect()
}

/// Weighted middles of the heaviest windows that do not overlap, the heaviest first.
fn peaks(sorted: &[(f64, f64)], window: f64) -> Vec<(f64, f64)> {
    let mut sums: Vec<(f64, f64)> = Vec::with_capacity(sorted.len());
    let (mut end, mut weight, mut moment) = (0, 0.0, 0.0);
    for (i, &(low, _)) in sorted.iter().enumerate() {
        while end < sorted.len() && sorted[end].0 - low <= window {
            weight += sorted[end].1;
            moment += (sorted[end].0 - low) * sorted[end].1;
            end += 1;
        }
        if weight > 0.0 {
            sums.push((low + moment / weight, weight));
        }
        let next = sorted.get(i + 1).map_or(low, |n| n.0);
        weight -= sorted[i].1;
        moment -= (next - low) * weight;
    }
    sums.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.total_cmp(&b.0)));
    let mut kept: Vec<(f64, f64)> = Vec::new();
    for s in sums {
        if kept.len() < SHIFTS && kept.iter().all(|k| (k.0 - s.0).abs() > window) {
            kept.push(s);
        }
    }
    kept
}

/// Scales other than 1 that many lengths of walls agree on.
pub fn scales(ours: &[Seg], theirs: &[Seg]) -> Vec<f64> {
    const SHARE: f64 = 0.001;
    let logs: Vec<(f64, f64)> = ours
        .iter()
        .take(60)
        .flat_map(|a| {
            theirs
                .iter()
                .take(60)
                .map(move |b| ((a.length / b.length).ln(), a.length))
        })
        .collect();
    let mut logs: Vec<(f64, f64)> = logs.into_iter().filter(|l| l.0.is_finite()).collect();
    logs.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    peaks(&logs, SHARE)
        .into_iter()
        .map(|p| p.0.exp())
        .filter(|s| (s - 1.0).abs() > SHARE)
        .collect()
}
