//! Where the lines of a table end.

use geo::Coord;

use super::super::shape::{chords, cross, dot};
use super::super::walls::runs;
use super::{DOWN, STEP};
use crate::flatten::{Flat, Prim};

/// A line along the lettering: its height, and from where to where it runs.
pub type Ruled = (f64, f64, f64);

/// Straight lines along the heading and below it.
pub fn rules(flat: &Flat, at: Coord, along: Coord, height: f64) -> Vec<Ruled> {
    let mut found: Vec<Ruled> = Vec::new();
    for item in flat.items.iter().filter(|item| item.visible) {
        if !matches!(item.prim, Prim::Segment { .. } | Prim::Path { .. }) {
            continue;
        }
        let Some((points, closed)) = chords(&item.prim) else {
            continue;
        };
        for (a, b) in runs(&points, closed) {
            let (xa, xb) = (dot(a - at, along), dot(b - at, along));
            let (ya, yb) = (cross(along, a - at), cross(along, b - at));
            let level = (ya - yb).abs() <= 0.01 * (xa - xb).abs();
            if level && ya <= height && ya >= -2.0 * DOWN * height && (xa - xb).abs() >= 4.0 * height {
                found.push((ya, xa.min(xb), xa.max(xb)));
            }
        }
    }
    found.sort_by(|a, b| {
        b.0.total_cmp(&a.0)
            .then(a.1.total_cmp(&b.1))
            .then(a.2.total_cmp(&b.2))
    });
    found
}

/// Where a table's rules end: left, right and lowest. `None` where no rule runs over its column of marks near
/// the line of heads.
pub fn border(rules: &[Ruled], x: f64, y: f64, height: f64) -> Option<(f64, f64, f64)> {
    let over = |r: &&Ruled| r.1 - 0.1 * height <= x && x <= r.2 && (r.0 - y).abs() <= STEP * height;
    // Rules of one table may be drawn cell by cell.
    let spans = |y: f64| {
        let level: Vec<&Ruled> = rules.iter().filter(|r| (r.0 - y).abs() <= 0.1 * height).collect();
        let (mut low, mut high) = (x, x);
        for _ in 0..=level.len() {
            let before = (low, high);
            for r in &level {
                if r.1 <= high + 0.2 * height && r.2 >= low - 0.2 * height {
                    (low, high) = (low.min(r.1), high.max(r.2));
                }
            }
            if before == (low, high) {
                break;
            }
        }
        (low, high)
    };
    let (low, high) = rules
        .iter()
        .filter(over)
        .map(|r| spans(r.0))
        .reduce(|a, b| if b.1 - b.0 > a.1 - a.0 + 1e-9 { b } else { a })?;
    let alike = |r: &&Ruled| {
        let (l, h) = spans(r.0);
        r.1 <= x && x <= r.2 && (l - low).abs() <= height && (h - high).abs() <= height
    };
    let mut bottom = y;
    let mut ruled = 0;
    for r in rules.iter().filter(alike).filter(|r| r.0 < y) {
        if bottom - r.0 > 2.0 * STEP * height {
            break;
        }
        bottom = bottom.min(r.0);
        ruled += 1;
    }
    // One rule below the heads parts them from what follows; more are the table's lines.
    Some((low, high, if ruled >= 2 { bottom } else { f64::NEG_INFINITY }))
}
