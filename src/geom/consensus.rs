//! The consensus line: the line that keeps the most points within a half-width. Exact.
//!
//! Any line may be shifted to its left, keeping every point it keeps, until one of them lies on
//! the right edge of its band. So it suffices to turn a line about each point in that position:
//! every other point is kept over one or two intervals of the angle, and sweeping their ends finds
//! all largest sets. That is O(n² log n), and no direction is sampled.

use std::collections::BTreeSet;
use std::f64::consts::{PI, TAU};

use geo::{Coord, Vector2DOps};

use super::zone::minimum_zone;
use super::{FUZZ, Line, finite, unit};

/// The line and the indices of the points it keeps, ascending.
#[derive(Clone, Debug, PartialEq)]
pub struct Consensus {
    /// The minimum-zone line of the kept points.
    pub line: Line,
    /// Width of that zone.
    pub width: f64,
    pub kept: Vec<usize>,
}

/// The line that keeps the most of `points` within `half`. `points` are in order along the row, so
/// that the first and last are its ends. Among lines that keep equally many: one parallel to `axis`
/// or square to it, then the one through both ends, then the narrowest zone, then the longest, then
/// the earliest points. The line is then refined to the minimum-zone line of what it keeps.
/// `None` for fewer than two distinct points or any that is not finite.
pub fn consensus(points: &[Coord], half: f64, axis: Option<Coord>) -> Option<Consensus> {
    let origin = *points.first()?;
    if !points.iter().all(|&p| finite(p)) || !half.is_finite() {
        return None;
    }
    let half = half.max(0.0);
    if let Some(zone) = minimum_zone(points).filter(|zone| zone.width <= 2.0 * half) {
        // One line keeps them all, so there is no other set.
        return Some(Consensus {
            line: zone.line,
            width: zone.width,
            kept: (0..points.len()).collect(),
        });
    }
    let local: Vec<Coord> = points.iter().map(|&p| p - origin).collect();
    let largest = largest_sets(&local, half);
    let most = largest.first()?.len();
    let mut sets = axis
        .and_then(unit)
        .map_or_else(Vec::new, |axis| parallel_sets(&local, half, axis, most));
    if sets.is_empty() {
        sets.extend(ends_set(&local, half).filter(|set| set.len() == most));
    }
    if sets.is_empty() {
        sets = largest;
    }
    let mut best: Option<(Consensus, f64)> = None;
    for kept in sets {
        let some: Vec<Coord> = kept.iter().filter_map(|&i| points.get(i).copied()).collect();
        let Some(zone) = minimum_zone(&some) else { continue };
        let length = extent(&some, zone.line);
        let better = best.as_ref().is_none_or(|(other, its_length)| {
            zone.width < other.width - FUZZ
                || (zone.width <= other.width + FUZZ && length > its_length + FUZZ)
        });
        if better {
            let found = Consensus {
                line: zone.line,
                width: zone.width,
                kept,
            };
            best = Some((found, length));
        }
    }
    best.map(|(found, _)| found)
}

/// All largest sets of points that some line keeps, each ascending, in lexicographic order.
pub(super) fn largest_sets(points: &[Coord], half: f64) -> Vec<Vec<usize>> {
    let mut most = 0;
    let mut sets = BTreeSet::new();
    for (pivot, &centre) in points.iter().enumerate() {
        // (angle, leaves, point): at one angle what enters goes before what leaves.
        let mut events: Vec<(f64, bool, usize)> = Vec::with_capacity(4 * points.len());
        for (other, &p) in points.iter().enumerate() {
            if other == pivot {
                continue;
            }
            for (start, end) in kept_over(p - centre, half) {
                for turn in [-TAU, 0.0, TAU] {
                    let (start, end) = ((start + turn).max(0.0), (end + turn).min(PI));
                    if start <= end {
                        events.push((start, false, other));
                        events.push((end, true, other));
                    }
                }
            }
        }
        events.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)).then(a.2.cmp(&b.2)));
        // How often each point is kept, the pivot always, and how many are.
        let mut open = vec![0_usize; points.len()];
        if let Some(times) = open.get_mut(pivot) {
            *times = 1;
        }
        let mut kept = 1;
        let mut grown = true;
        for (_, leaves, other) in events {
            let Some(times) = open.get_mut(other) else {
                continue;
            };
            if !leaves {
                *times += 1;
                if *times == 1 {
                    kept += 1;
                    grown = true;
                }
                continue;
            }
            let was = *times;
            *times = was.saturating_sub(1);
            if grown && kept >= most {
                if kept > most {
                    most = kept;
                    sets.clear();
                }
                let is_kept = |i: &usize| *i == other || open.get(*i).is_some_and(|&n| n > 0);
                sets.insert((0..points.len()).filter(is_kept).collect::<Vec<_>>());
            }
            grown = false;
            kept -= usize::from(was == 1);
        }
        if most <= 1 {
            most = 1;
            sets.insert(vec![pivot]);
        }
    }
    sets.into_iter().collect()
}

/// Angles of a line, with the pivot on the right edge of its band, over which a point at `d` from the
/// pivot is in the band. Its height over that edge, r·sin(φ − θ), must be within 0 and twice `half`.
pub(super) fn kept_over(d: Coord, half: f64) -> Vec<(f64, f64)> {
    let r = d.magnitude();
    if r <= FUZZ {
        return vec![(0.0, TAU)];
    }
    let phi = d.y.atan2(d.x);
    let below = (FUZZ / r).min(1.0).asin();
    let height = (2.0 * half + FUZZ) / r;
    if height >= 1.0 {
        return vec![(phi - PI - below, phi + below)];
    }
    let above = height.asin();
    vec![(phi - above, phi + below), (phi - PI - below, phi - PI + above)]
}

/// Sets of `most` points kept by lines parallel to `axis` or square to it.
fn parallel_sets(points: &[Coord], half: f64, axis: Coord, most: usize) -> Vec<Vec<usize>> {
    let mut sets = BTreeSet::new();
    for normal in [axis.left(), axis] {
        let mut heights: Vec<(f64, usize)> = points
            .iter()
            .enumerate()
            .map(|(i, p)| (normal.dot_product(*p), i))
            .collect();
        heights.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        for window in heights.windows(most) {
            if let (Some(low), Some(high)) = (window.first(), window.last())
                && high.0 - low.0 <= 2.0 * half + FUZZ
            {
                let mut set: Vec<usize> = window.iter().map(|w| w.1).collect();
                set.sort_unstable();
                sets.insert(set);
            }
        }
    }
    sets.into_iter().collect()
}

/// What the line through the first and last point keeps.
fn ends_set(points: &[Coord], half: f64) -> Option<Vec<usize>> {
    let line = Line::through(*points.first()?, *points.last()?)?;
    let near = |p: &Coord| line.offset(*p).abs() <= half + FUZZ;
    Some(
        points
            .iter()
            .enumerate()
            .filter(|(_, p)| near(p))
            .map(|(i, _)| i)
            .collect(),
    )
}

fn extent(points: &[Coord], line: Line) -> f64 {
    let stations = points.iter().map(|&p| line.station(p));
    let (low, high) = stations.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), s| {
        (l.min(s), h.max(s))
    });
    high - low
}
