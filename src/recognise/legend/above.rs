//! Legends in a row: symbols beside each other under a heading, each with its words below it.

use geo::Coord;

use super::super::shape::dot;
use super::lines::Line;
use super::rows::seen;
use super::words::tells;
use super::{ASIDE, LARGER, NEXT, STEP};

/// Words stand no further below their symbol, and the symbol no further beside them, heights of their lettering.
const BELOW: f64 = 4.0;
const BESIDE: f64 = 1.0;
/// Symbols of one row differ by no more, heights of their words.
const LEVEL: f64 = 1.0;
/// Symbols that make a row.
const LEAST: usize = 2;

/// A symbol and the line of words below it.
struct Over {
    symbol: usize,
    line: usize,
    x: f64,
    y: f64,
    height: f64,
}

/// Symbols in rows below a heading, each with the line of its words. `open` are those that nothing explains yet.
pub fn under(
    heading: &Line,
    symbols: &[(Coord, f64)],
    open: &dyn Fn(usize) -> bool,
    lines: &[Line],
    along: Coord,
) -> Vec<(usize, usize)> {
    let h = heading.height;
    let (left, top) = seen(heading.at, along);
    let near: Vec<usize> = (0..lines.len())
        .filter(|&n| {
            let line = &lines[n];
            let (_, y) = seen(line.at, along);
            let below = y < top && y >= top - 4.0 * STEP * h;
            below && dot(line.along, along) > 0.99 && line.height <= LARGER * h && tells(line.text)
        })
        .collect();
    if near.len() < LEAST {
        return Vec::new();
    }
    let mut all: Vec<Over> = (0..symbols.len())
        .filter(|&s| open(s))
        .filter_map(|s| over(s, symbols[s], &near, lines, along))
        .filter(|o| o.y < top && o.y >= top - 4.0 * STEP * h)
        .collect();
    // Words below two symbols are neither's.
    let shared: Vec<usize> = all.iter().map(|o| o.line).collect();
    all.retain(|o| shared.iter().filter(|l| **l == o.line).count() == 1);
    all.sort_by(|a, b| {
        b.y.total_cmp(&a.y)
            .then(a.x.total_cmp(&b.x))
            .then(a.symbol.cmp(&b.symbol))
    });
    let mut found = Vec::new();
    let mut last = top;
    let mut from = 0;
    while let Some(first) = all.get(from) {
        let level = |o: &&Over| first.y - o.y <= LEVEL * first.height;
        let count = all[from..].iter().take_while(level).count();
        let row = &mut all[from..from + count];
        row.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.symbol.cmp(&b.symbol)));
        let y = row[0].y;
        if last - y > STEP * h {
            break;
        }
        // From the heading on to the right, without a gap.
        let mut reach = left + heading.width + ASIDE * h;
        let mut kept: Vec<(usize, usize)> = Vec::new();
        for o in row.iter().filter(|o| o.x >= left - ASIDE * h) {
            if o.x > reach {
                break;
            }
            reach = reach.max(o.x + NEXT * h);
            kept.push((o.symbol, o.line));
        }
        if kept.len() >= LEAST {
            found.extend(kept);
            last = y;
        }
        from += count;
    }
    found
}

/// The nearest line of words directly below a symbol.
fn over(
    symbol: usize,
    (center, radius): (Coord, f64),
    near: &[usize],
    lines: &[Line],
    along: Coord,
) -> Option<Over> {
    let (x, y) = seen(center, along);
    if !(x.is_finite() && y.is_finite() && radius.is_finite()) {
        return None;
    }
    let gap = |n: usize| {
        let (from, base) = seen(lines[n].at, along);
        let h = lines[n].height;
        let gap = y - radius - (base + h);
        let across = (from - BESIDE * h..=from + lines[n].width + BESIDE * h).contains(&x);
        (across && (-0.5 * h..=BELOW * h).contains(&gap)).then_some(gap)
    };
    let (_, line) = (near.iter())
        .filter_map(|&n| Some((gap(n)?, n)))
        .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)))?;
    Some(Over {
        symbol,
        line,
        x,
        y,
        height: lines[line].height,
    })
}
