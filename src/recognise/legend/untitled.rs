//! Legends without a heading: columns of symbols with words beside them, beyond all rooms.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;

use super::Left;
use super::around::Around;
use super::lines::Line;
use super::rows::Row;

/// Rows that make a column: one light beside a porch may have its words.
const LEAST: usize = 2;
/// From row to row, heights of the lettering at most: lights stand further apart than lines.
const STEP: f64 = 6.0;

/// Takes the columns that no room and no framing is under. Where no room is known, nothing is beyond them.
pub fn untitled(
    rows: &[&Row],
    symbols: &[(Coord, f64)],
    lines: &[Line],
    around: &Around,
    left: &mut [Option<Left>],
) {
    if around.rooms.is_empty() {
        return;
    }
    let alone = |r: &&&Row| {
        let center = symbols[r.symbol].0;
        around.room(center).is_none() && around.free(center, lines[r.line].at)
    };
    let rows: Vec<&Row> = rows.iter().filter(alone).copied().collect();
    for column in stacks(&rows, lines, &|a, b| {
        around.leads(symbols[a.symbol].0, symbols[b.symbol].0)
    }) {
        // One note repeated beside lights explains no symbols.
        let said: BTreeSet<&str> = column.iter().map(|r| lines[r.line].text).collect();
        if column.len() >= LEAST && said.len() == column.len() {
            let first = lines[column[0].line].text;
            for row in column {
                left[row.symbol] = Some(Left::Untitled(first.to_string()));
            }
        }
    }
}

/// Whether any rows stand as a legend's do, whatever is around them.
pub fn columns(rows: &[&Row], lines: &[Line]) -> bool {
    stacks(rows, lines, &|_, _| true).iter().any(|c| c.len() >= LEAST)
}

/// Rows from above, each with the one that it stands close below.
fn stacks<'a>(rows: &[&'a Row], lines: &[Line], joined: &dyn Fn(&Row, &Row) -> bool) -> Vec<Vec<&'a Row>> {
    let mut open: Vec<&Row> = rows.to_vec();
    open.sort_by(|a, b| b.y.total_cmp(&a.y).then(a.symbol.cmp(&b.symbol)));
    let mut found: Vec<Vec<&Row>> = Vec::new();
    let mut at: BTreeMap<i64, Vec<usize>> = BTreeMap::new();
    for row in open {
        let goes_on = |column: &[&Row]| {
            column.last().is_some_and(|last| {
                let down = last.y - row.y;
                let near = down > 0.5 * row.height && down <= STEP * row.height.max(last.height);
                near && row.below(last, lines[row.line].sure && lines[last.line].sure) && joined(last, row)
            })
        };
        let strip = (row.x / STRIP).floor() as i64;
        let home = (strip - 1..=strip + 1)
            .flat_map(|s| at.get(&s).into_iter().flat_map(|c| c.iter().rev().take(MOST)))
            .copied()
            .find(|&c| goes_on(&found[c]));
        match home {
            Some(column) => found[column].push(row),
            None => {
                at.entry(strip).or_default().push(found.len());
                found.push(vec![row]);
            }
        }
    }
    found
}

/// Columns are sought in strips of this width, inches: symbols in one column are no further apart.
const STRIP: f64 = 24.0;
/// Columns of a strip that a row is compared with, the last first.
const MOST: usize = 50;
