//! Words of a whole legend in one text: a line for each symbol of the column beside it.
//!
//! Drafters set the distance of such lines to that of the symbols, and the drawing does not tell it here. So where the
//! text has as many lines as there are symbols beside it, at even steps, each line is its symbol's.

use geo::Coord;

use super::super::shape::{dot, left_of};
use super::lines::Line;
use super::rows::{GAP, seen};

/// Steps from symbol to symbol differ by no more than this share, and lie between so many heights.
const EVEN: f64 = 0.15;
const STEPS: std::ops::RangeInclusive<f64> = 1.0..=8.0;
/// Symbols of one column differ by no more across, heights.
const COLUMN: f64 = 1.0;

/// The lines with those of such texts at their symbols' heights; `None` where there are none.
pub fn spread<'a>(lines: &[Line<'a>], symbols: &[(Coord, f64)], along: Coord) -> Option<Vec<Line<'a>>> {
    let mut moved: Option<Vec<Line<'a>>> = None;
    let mut from = 0;
    while from < lines.len() {
        let whole = lines[from].whole;
        let count = lines[from..]
            .iter()
            .take_while(|l| std::ptr::eq(l.whole, whole))
            .count();
        let text = &lines[from..from + count];
        if count >= 2 && dot(text[0].along, along) > 0.99 {
            let heights = beside(text, symbols, along);
            for (n, y) in heights.into_iter().flatten().enumerate() {
                let all = moved.get_or_insert_with(|| lines.to_vec());
                let line = &mut all[from + n];
                let (_, own) = seen(line.at, along);
                line.at = line.at + left_of(along) * (y - line.height / 2.0 - own);
            }
        }
        from += count;
    }
    moved
}

/// The heights of the symbols left of a text, from above, where there is one for each of its lines.
fn beside(text: &[Line], symbols: &[(Coord, f64)], along: Coord) -> Option<Vec<f64>> {
    let h = text[0].height;
    let left = text
        .iter()
        .map(|l| seen(l.at, along).0)
        .fold(f64::INFINITY, f64::min);
    let middle = |l: &Line| seen(l.at, along).1 + l.height / 2.0;
    let (top, bottom) = (middle(&text[0]), middle(&text[text.len() - 1]));
    let most = STEPS.end() * h * text.len() as f64;
    let mut near: Vec<(f64, f64)> = (symbols.iter())
        .map(|&(center, radius)| (seen(center, along), radius))
        .filter(|((x, _), radius)| left - x > 0.5 * radius && left - x <= radius + GAP * h)
        .filter(|((_, y), _)| *y <= top + most && *y >= bottom - most)
        .map(|(at, _)| at)
        .collect();
    near.sort_by(|a, b| b.1.total_cmp(&a.1));
    // The column goes on from the symbol that is nearest to the first line, or ends at the last.
    let first =
        (0..near.len()).min_by(|&a, &b| (near[a].1 - top).abs().total_cmp(&(near[b].1 - top).abs()))?;
    let column = near.get(first..first + text.len())?;
    let step = (column[0].1 - column[column.len() - 1].1) / (text.len() - 1) as f64;
    let even = column
        .windows(2)
        .all(|w| (w[0].1 - w[1].1 - step).abs() <= EVEN * step);
    let straight = column.iter().all(|c| (c.0 - column[0].0).abs() <= COLUMN * h);
    let alone = near.len() == text.len();
    let at_top = (column[0].1 - top).abs() <= 1.5 * h;
    (STEPS.contains(&(step / h)) && even && straight && alone && at_top)
        .then(|| column.iter().map(|c| c.1).collect())
}
