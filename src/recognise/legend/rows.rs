//! Symbols that have a line of words directly to their right.

use geo::Coord;
use rstar::primitives::GeomWithData;
use rstar::{AABB, RTree};

use super::super::shape::{cross, dot};
use super::lines::Line;
use super::words::tells;

/// Words begin no further right of a symbol than this, and go on after gaps no wider, in heights of their lettering.
const GAP: f64 = 16.0;
/// Lettering larger than this explains no symbol, inches.
const LARGEST: f64 = 24.0;
/// Starts of texts in one column differ by no more, heights.
const SAME: f64 = 1.5;

/// A symbol and the words beside it, as seen along the lettering.
#[derive(Clone, Debug)]
pub struct Row {
    pub symbol: usize,
    /// Which line begins the words.
    pub line: usize,
    /// Centre of the symbol, and its radius.
    pub x: f64,
    pub y: f64,
    pub radius: f64,
    /// Start and end of the words, and the height of their lettering.
    pub from: f64,
    pub to: f64,
    pub height: f64,
}

impl Row {
    /// Whether two rows stand in one column: symbols below each other and words too.
    pub fn below(&self, other: &Row, sure: bool) -> bool {
        let h = self.height.max(other.height);
        let starts = !sure || (self.from - other.from).abs() <= SAME * h;
        (self.x - other.x).abs() <= h.max(self.radius - other.radius).max(other.radius - self.radius)
            && starts
    }
}

/// Coordinates along a direction and across it, about the origin.
pub fn seen(p: Coord, along: Coord) -> (f64, f64) {
    (dot(p, along), cross(along, p))
}

/// The rows along one direction of lettering, from above. A line belongs to the nearest symbol to its left.
pub fn rows(symbols: &[(Coord, f64)], lines: &[Line], along: Coord) -> Vec<Row> {
    let starts: Vec<GeomWithData<[f64; 2], usize>> = lines
        .iter()
        .enumerate()
        .filter(|(_, l)| dot(l.along, along) > 0.99 && l.height <= LARGEST)
        .map(|(n, l)| {
            let (x, y) = seen(l.at, along);
            // The start of a text lies on its baseline, half a height below the middle of its line.
            GeomWithData::new([x, y + l.height / 2.0], n)
        })
        .filter(|g| g.geom()[0].is_finite() && g.geom()[1].is_finite())
        .collect();
    let starts = RTree::bulk_load(starts);
    let mut found: Vec<Row> = Vec::new();
    for (i, &(center, radius)) in symbols.iter().enumerate() {
        let (x, y) = seen(center, along);
        let off = LARGEST.max(radius);
        if !(x.is_finite() && y.is_finite() && radius.is_finite()) {
            continue;
        }
        let reach = radius + 3.0 * GAP * LARGEST;
        let field = AABB::from_corners([x + 0.5 * radius, y - off], [x + reach, y + off]);
        let mut beside: Vec<(f64, usize)> = starts
            .locate_in_envelope(field)
            .filter(|g| (g.geom()[1] - y).abs() <= lines[g.data].height.max(radius))
            .map(|g| (g.geom()[0], g.data))
            .collect();
        beside.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let Some(&(from, line)) = beside.first() else {
            continue;
        };
        let height = lines[line].height;
        if from - x > radius + GAP * height {
            continue;
        }
        let (mut to, mut says) = (from, false);
        for &(start, n) in &beside {
            if start > to + GAP * lines[n].height {
                break;
            }
            to = to.max(start + lines[n].width);
            says |= tells(lines[n].text);
        }
        if says {
            found.push(Row {
                symbol: i,
                line,
                x,
                y,
                radius,
                from,
                to,
                height,
            });
        }
    }
    found.sort_by(|a, b| {
        let right = b.x.total_cmp(&a.x);
        a.line.cmp(&b.line).then(right).then(a.symbol.cmp(&b.symbol))
    });
    found.dedup_by_key(|r| r.line);
    found.sort_by(|a, b| b.y.total_cmp(&a.y).then(a.symbol.cmp(&b.symbol)));
    found
}
