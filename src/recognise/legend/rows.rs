//! Symbols that have a line of words directly to their right, or to their left where nothing is on the right.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;
use rstar::primitives::GeomWithData;
use rstar::{AABB, RTree};

use super::super::shape::{cross, dot};
use super::lines::Line;
use super::words::tells;

/// Words begin no further right of a symbol than this, and go on after gaps no wider, in heights of their lettering.
pub const GAP: f64 = 16.0;
/// How far words to the left may begin, in the widest gaps, and how far from their symbol they may end, in heights.
const LEFT: f64 = 6.0;
const FAR: f64 = 40.0;
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
    /// Whether the words stand to the left of the symbol.
    pub left: bool,
}

impl Row {
    /// Where symbol and words begin together.
    pub fn begins(&self) -> f64 {
        self.from.min(self.x - self.radius)
    }

    /// And where they end.
    pub fn ends(&self) -> f64 {
        self.to.max(self.x + self.radius)
    }

    /// Whether words and symbols stand as far apart.
    fn set_as(&self, other: &Row) -> bool {
        let apart = |r: &Row| r.x - r.from;
        let h = self.height.max(other.height);
        self.left == other.left && (apart(self) - apart(other)).abs() <= SAME * h
    }

    /// Whether two rows stand in one column: symbols below each other and words too.
    pub fn below(&self, other: &Row, sure: bool) -> bool {
        let h = self.height.max(other.height);
        let starts = self.left == other.left && (!sure || (self.from - other.from).abs() <= SAME * h);
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
                left: false,
            });
        }
    }
    let left = lefts(symbols, lines, along, &starts, &mut found);
    // Short words end far from their symbol where longer ones of the same column, or of one set alike, do not.
    let near: Vec<Row> = (left.iter().filter(|(_, far)| !far))
        .map(|(row, _)| row.clone())
        .collect();
    let kept = left
        .into_iter()
        .filter(|(row, far)| !far || near.iter().any(|n| row.below(n, true) || row.set_as(n)));
    found.extend(kept.map(|(row, _)| row));
    found.sort_by(|a, b| {
        // Words to the right of a symbol are its own before they are another's to their right; the nearest symbol is first.
        let near = (a.x - a.from).abs().total_cmp(&(b.x - b.from).abs());
        let first = a.line.cmp(&b.line).then(a.left.cmp(&b.left));
        first.then(near).then(a.symbol.cmp(&b.symbol))
    });
    found.dedup_by_key(|r| r.line);
    found.sort_by(|a, b| b.y.total_cmp(&a.y).then(a.symbol.cmp(&b.symbol)));
    found
}

/// Rows of words to the left of symbols that have none to the right. Where such words were taken for those of the symbol
/// before, and that one has words before it too, the whole line reads so: words, symbol, words, symbol.
fn lefts(
    symbols: &[(Coord, f64)],
    lines: &[Line],
    along: Coord,
    starts: &RTree<GeomWithData<[f64; 2], usize>>,
    right: &mut Vec<Row>,
) -> Vec<(Row, bool)> {
    let before = Before::new(symbols, along);
    let of: Vec<Option<(Row, bool)>> = (0..symbols.len())
        .map(|s| to_the_left(s, symbols[s], (lines, before.edge(s)), along, starts))
        .collect();
    let mut owner: BTreeMap<usize, (f64, usize)> = BTreeMap::new();
    for row in right.iter() {
        let near = (row.from - row.x, row.symbol);
        let entry = owner.entry(row.line).or_insert(near);
        if near.0.total_cmp(&entry.0).is_lt() {
            *entry = near;
        }
    }
    let has_right: BTreeSet<usize> = right.iter().map(|r| r.symbol).collect();
    let mut shifted: BTreeSet<usize> = BTreeSet::new();
    for s in (0..symbols.len()).filter(|s| !has_right.contains(s)) {
        let mut chain = vec![s];
        let whole = loop {
            let last = chain.last().and_then(|&c| of[c].as_ref());
            let Some((row, _)) = last else { break false };
            match owner.get(&row.line) {
                None => break true,
                Some((_, o)) if chain.contains(o) => break false,
                Some((_, o)) => chain.push(*o),
            }
        };
        if whole {
            shifted.extend(chain);
        }
    }
    right.retain(|r| !shifted.contains(&r.symbol));
    let plain = |s: &usize| shifted.contains(s) || !has_right.contains(s);
    (of.into_iter().enumerate())
        .filter(|(s, _)| plain(s))
        .filter_map(|(_, row)| row)
        .collect()
}

/// Where the symbols before each one end.
struct Before(RTree<GeomWithData<[f64; 2], f64>>, Vec<(f64, f64, f64)>);

impl Before {
    fn new(symbols: &[(Coord, f64)], along: Coord) -> Before {
        let all: Vec<(f64, f64, f64)> = symbols
            .iter()
            .map(|(center, radius)| {
                let (x, y) = seen(*center, along);
                (x, y, *radius)
            })
            .collect();
        let sound = all
            .iter()
            .filter(|(x, y, r)| x.is_finite() && y.is_finite() && r.is_finite());
        let tree = RTree::bulk_load(sound.map(|(x, y, r)| GeomWithData::new([*x, *y], *r)).collect());
        Before(tree, all)
    }

    /// The end of the nearest one on the same line, or minus infinity.
    fn edge(&self, symbol: usize) -> f64 {
        let (x, y, radius) = self.1[symbol];
        if !(x.is_finite() && y.is_finite() && radius.is_finite()) {
            return f64::NEG_INFINITY;
        }
        let reach = radius + LEFT * GAP * LARGEST;
        let field = AABB::from_corners([x - reach, y - radius], [x - 0.5 * radius, y + radius]);
        let ends = self.0.locate_in_envelope(field).map(|g| g.geom()[0] + g.data);
        ends.filter(|e| *e < x).fold(f64::NEG_INFINITY, f64::max)
    }
}

/// The row of a symbol whose words end to its left, and whether they end far from it.
fn to_the_left(
    symbol: usize,
    (center, radius): (Coord, f64),
    (lines, edge): (&[Line], f64),
    along: Coord,
    starts: &RTree<GeomWithData<[f64; 2], usize>>,
) -> Option<(Row, bool)> {
    let (x, y) = seen(center, along);
    if !(x.is_finite() && y.is_finite() && radius.is_finite()) {
        return None;
    }
    let off = LARGEST.max(radius);
    let reach = radius + LEFT * GAP * LARGEST;
    let field = AABB::from_corners([x - reach, y - off], [x - 0.5 * radius, y + off]);
    let end = |n: usize, start: f64| start + lines[n].width;
    let mut beside: Vec<(f64, usize)> = starts
        .locate_in_envelope(field)
        .filter(|g| (g.geom()[1] - y).abs() <= lines[g.data].height.max(radius))
        .map(|g| (g.geom()[0], g.data))
        .filter(|&(start, n)| start >= edge && end(n, start) <= x + radius)
        .collect();
    beside.sort_by(|a, b| end(b.1, b.0).total_cmp(&end(a.1, a.0)).then(a.1.cmp(&b.1)));
    let &(mut from, mut line) = beside.first()?;
    let (to, height) = (end(line, from), lines[line].height);
    let gap = x - to - radius;
    if gap > FAR * height {
        return None;
    }
    let mut says = false;
    for &(start, n) in &beside {
        if end(n, start) < from - GAP * lines[n].height {
            break;
        }
        says |= tells(lines[n].text);
        if start < from {
            (from, line) = (start, n);
        }
    }
    let row = Row {
        symbol,
        line,
        x,
        y,
        radius,
        from,
        to,
        height,
        left: true,
    };
    says.then_some((row, gap > GAP * height))
}
