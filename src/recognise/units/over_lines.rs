//! Lengths written as plain texts over lines: dimensions that were exploded, or drawn without dimension entities.

use geo::Coord;

use super::Candidate;
use super::sizes::thinned;
use super::weigh::{Evidence, number, trust};
use super::written::{MOST, NEAR, ROUNDING, SHORTEST};
use crate::flatten::{Flat, Prim};
use crate::length;
use crate::recognise::shape::{distance, dot, finite};

/// With marks or a unit, nearly as much as dimension entities: which line a text is of is not certain.
const MARKED: f64 = 6.0;
/// A bare number as great as what is drawn: only how people write lengths in a unit tells.
const BARE: f64 = 3.0;
/// One text may lie over a line of its length by chance.
const FEWEST: usize = 2;
/// A text stands no further from its line, in heights of its letters.
const BESIDE: f64 = 2.5;
/// Its middle is amid the line, as a share.
const AMID: std::ops::RangeInclusive<f64> = 0.2..=0.8;
/// A letter is so wide, in heights (common practice).
const LETTER: f64 = 0.8;
/// A text may be of one of so many lines, the nearest.
const LINES: usize = 3;
/// Text and line run to one direction, radians.
const TURNED: f64 = 0.03;

/// What a text says.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Says {
    Inches(f64),
    /// A number with so many figures behind the point.
    Number(f64, usize),
}

/// A text with the lengths of the lines it may be of.
struct Over<'a> {
    says: Says,
    text: &'a str,
    lines: Vec<f64>,
}

/// Evidence of texts with marks (`13'-4"`), and of bare numbers (`4064`).
pub fn over_lines(flat: &Flat, candidates: &[Candidate]) -> Vec<Evidence> {
    let found = texts(flat);
    let marked = |o: &&Over| matches!(o.says, Says::Inches(_));
    let (marked, bare): (Vec<&Over>, Vec<&Over>) = found.iter().partition(marked);
    [(marked, MARKED), (bare, BARE)]
        .into_iter()
        .filter_map(|(all, weight)| of(&all, weight, candidates))
        .collect()
}

fn of(all: &[&Over], weight: f64, candidates: &[Candidate]) -> Option<Evidence> {
    let fitting = |c: &Candidate| -> Vec<(f64, &str)> {
        (all.iter())
            .filter_map(|o| {
                let line = o.lines.iter().find(|l| fits(**l, o.says, c))?;
                Some((*line, o.text))
            })
            .collect()
    };
    let most = candidates.iter().map(|c| fitting(c).len()).max().unwrap_or(0);
    (most >= FEWEST).then(|| {
        Evidence::of(candidates, weight * trust(most), |c| {
            let fit = fitting(c);
            let words = fit.first().map_or(String::new(), |(line, text)| {
                format!("texts such as {} over {}", text.trim(), number(*line))
            });
            if fit.len() < FEWEST {
                return (0.0, words);
            }
            // Other texts over lines are of something else: half of them is as good as all.
            (2.0 * fit.len() as f64 / all.len() as f64, words)
        })
    })
}

/// Whether a text says a line's length where the drawing is in a unit.
fn fits(line: f64, says: Says, c: &Candidate) -> bool {
    match says {
        Says::Inches(inches) => (line * c.inches - inches).abs() <= ROUNDING.min(NEAR * inches),
        Says::Number(n, places) => {
            let rounded = 0.51 * 10f64.powi(-i32::try_from(places).unwrap_or(0));
            if (n - line).abs() <= rounded.max(1e-3 * n) {
                written_so(n, places, c.name)
            } else {
                super::converts(n / line, c.inches)
            }
        }
    }
}

/// Whether lengths of a house are written so in a unit (common practice): whole millimetres and centimetres, metres with
/// figures behind the point.
fn written_so(n: f64, places: usize, unit: &str) -> bool {
    let range = match (unit, places) {
        ("mm", 0) => 200.0..=30_000.0,
        ("cm", 0 | 1) => 20.0..=3000.0,
        ("m", 1..=3) => 0.3..=60.0,
        ("ft", 0..=2) => 1.0..=200.0,
        ("in", _) => 12.0..=1200.0,
        _ => return false,
    };
    range.contains(&n)
}

fn texts(flat: &Flat) -> Vec<Over<'_>> {
    let mut lines: Vec<(Coord, Coord)> = Vec::new();
    for item in flat.items.iter().filter(|i| i.visible) {
        match &item.prim {
            Prim::Segment { from, to } => lines.push((*from, *to)),
            Prim::Path {
                vertices,
                closed: false,
            } if vertices.len() == 2 && vertices[0].bulge == 0.0 => {
                lines.push((vertices[0].at, vertices[1].at));
            }
            _ => {}
        }
    }
    lines.retain(|(a, b)| finite(*a) && finite(*b) && distance(*a, *b) > 0.0);
    let written: Vec<_> = (flat.items.iter())
        .filter(|item| item.visible && item.within.is_none())
        .filter_map(|item| match &item.prim {
            Prim::Text {
                at,
                height,
                angle,
                centred,
                text,
            } if *height > 0.0 && finite(*at) => {
                let along = Coord {
                    x: angle.cos(),
                    y: angle.sin(),
                };
                let up = Coord {
                    x: -along.y,
                    y: along.x,
                };
                let long = LETTER * height * text.trim().chars().count() as f64;
                let middle = match centred {
                    true => *at,
                    false => *at + along * (long / 2.0) + up * (height / 2.0),
                };
                Some((says(text)?, &**text, middle, along, *height))
            }
            _ => None,
        })
        .collect();
    // Thinned over the drawing, so that each part of it speaks.
    let step = written.len().div_ceil(MOST).max(1);
    let lines = if lines.len() > 100_000 {
        thinned(lines)
    } else {
        lines
    };
    (written.into_iter().step_by(step))
        .filter_map(|(says, text, middle, along, height)| {
            let mut near: Vec<(f64, f64)> = (lines.iter())
                .filter_map(|&(a, b)| {
                    let long = distance(a, b);
                    let dir = (b - a) / long;
                    let at = middle - a;
                    let off = (at.x * dir.y - at.y * dir.x).abs();
                    let parallel = (dir.x * along.y - dir.y * along.x).abs() <= TURNED;
                    let amid = AMID.contains(&(dot(at, dir) / long));
                    (parallel && amid && off <= BESIDE * height && long > height).then_some((off, long))
                })
                .collect();
            near.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
            near.truncate(LINES);
            let lines: Vec<f64> = near.into_iter().map(|(_, long)| long).collect();
            (!lines.is_empty()).then_some(Over { says, text, lines })
        })
        .collect()
}

/// A text that is a length and nothing else.
fn says(text: &str) -> Option<Says> {
    let text = text.trim().trim_end_matches('±').trim_end();
    let plain = text.replace(',', ".");
    if plain.starts_with(|c: char| c.is_ascii_digit())
        && let Ok(n) = plain.parse::<f64>()
    {
        let places = plain.split_once('.').map_or(0, |(_, p)| p.len());
        return (n.is_finite() && n > 0.0).then_some(Says::Number(n, places));
    }
    let unit = text.contains(['\'', '"', '\u{2032}', '\u{2033}', '\u{2019}', '\u{201D}'])
        || text.chars().any(char::is_alphabetic);
    let inches = length::parse(text).ok().filter(|i| unit && *i >= SHORTEST)?;
    Some(Says::Inches(inches))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_a_length() {
        assert_eq!(says("13'-4\""), Some(Says::Inches(160.0)));
        assert_eq!(says("4064"), Some(Says::Number(4064.0, 0)));
        assert_eq!(says("3,81"), Some(Says::Number(3.81, 2)));
        for text in ["A-7", "2x10 @ 16\" O.C.", "6\"", "", "KITCHEN", "13'-4\" V.I.F."] {
            assert_eq!(says(text), None, "{text}");
        }
    }
}
