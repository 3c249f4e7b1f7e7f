//! Symbols that explain the drawing: in a legend or a schedule, each with its words to the right.
//!
//! A legend is a heading (a short text with a word for it) and below it lines of a symbol and a
//! text. Lengths are in heights of the heading's lettering, so that the scale does not matter; a
//! turned plan is read along its heading.

use geo::Coord;

use super::shape::{cross, dot, finite};
use crate::flatten::{Flat, Prim};
use crate::rules::folded;

/// Words of headings; the usual ones on drawings (common practice, other languages from memory).
const HEADINGS: [&str; 14] = [
    "LEGEND",
    "SCHEDULE",
    "SYMBOL",
    "SYMBOLS",
    "KEY",
    "LEYENDA",
    "SIMBOLOGIA",
    "SIMBOLOS",
    "LEGENDE",
    "SYMBOLE",
    "ZEICHENERKLARUNG",
    "LEGENDA",
    "SIMBOLOGIE",
    "NOMENCLATURE",
];
/// The same where words are not told apart by spaces.
const UNSPACED: [&str; 4] = ["图例", "圖例", "凡例", "범례"];
/// A heading is no sentence.
const HEADING_WORDS: usize = 6;
/// From a heading to its first line, and from line to line, heights at most.
const STEP: f64 = 12.0;
/// Across from the heading's start, heights at most.
const ASIDE: f64 = 40.0;
/// A tag beside a light is shorter than words that explain.
const LETTERS: usize = 5;
/// Texts on one line that are looked at.
const MOST: usize = 50;

/// A text with its own directions.
struct Words<'a> {
    at: Coord,
    height: f64,
    /// Along the lettering.
    along: Coord,
    text: &'a str,
}

impl Words<'_> {
    /// Along the lettering and upwards from its start.
    fn seen(&self, p: Coord) -> (f64, f64) {
        (dot(p - self.at, self.along), cross(self.along, p - self.at))
    }
}

/// For each symbol (centre, radius) the heading under which it explains the drawing, if it does.
pub fn explained<'a>(flat: &'a Flat, symbols: &[(Coord, f64)]) -> Vec<Option<&'a str>> {
    let texts: Vec<Words> = flat
        .items
        .iter()
        .filter(|item| item.visible)
        .filter_map(|item| words(&item.prim))
        .collect();
    let mut found = vec![None; symbols.len()];
    for heading in texts.iter().filter(|w| is_heading(w.text)) {
        let h = heading.height;
        // What may explain, from below upwards, so that a symbol looks at its own line only.
        let mut beside: Vec<(f64, f64)> = (texts.iter())
            .filter(|w| dot(w.along, heading.along) > 0.99 && w.height <= 2.0 * h && tells(w.text))
            .map(|w| (heading.seen(w.at), w.height))
            // The start of a text lies on its baseline, half a height below the middle of its line.
            .map(|((x, y), height)| (y + height / 2.0, x))
            .collect();
        beside.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut lines: Vec<(f64, usize)> = (symbols.iter().enumerate())
            .filter_map(|(i, &(center, radius))| {
                let (x, y) = heading.seen(center);
                let near = y < 0.0 && x.abs() <= ASIDE * h;
                let off = h.max(radius);
                let from = beside.partition_point(|b| b.0 < y - off);
                let line = beside.iter().skip(from).take_while(|b| b.0 <= y + off);
                let right = |b: &(f64, f64)| (0.5 * radius..=radius + ASIDE * h).contains(&(b.1 - x));
                (near && line.take(MOST).any(right)).then_some((-y, i))
            })
            .collect();
        lines.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let mut last = 0.0;
        for (down, i) in lines {
            if down - last > STEP * h {
                break;
            }
            last = down;
            found[i] = found[i].or(Some(heading.text));
        }
    }
    found
}

/// Whether a text is long enough to explain.
fn tells(text: &str) -> bool {
    text.chars().filter(|c| c.is_alphabetic()).count() >= LETTERS
}

fn words(prim: &Prim) -> Option<Words<'_>> {
    let Prim::Text {
        at,
        height,
        angle,
        text,
        ..
    } = prim
    else {
        return None;
    };
    let along = Coord {
        x: angle.cos(),
        y: angle.sin(),
    };
    (finite(*at) && finite(along) && *height > 0.0 && height.is_finite()).then_some(Words {
        at: *at,
        height: *height,
        along,
        text,
    })
}

fn is_heading(text: &str) -> bool {
    let name = folded(text);
    let words: Vec<&str> = name
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .collect();
    words.len() <= HEADING_WORDS && words.iter().any(|w| HEADINGS.contains(w))
        || UNSPACED.iter().any(|w| name.contains(w)) && name.chars().count() <= 2 * HEADING_WORDS
}

#[cfg(test)]
mod tests {
    use super::is_heading;

    #[test]
    fn headings() {
        for text in [
            "LEGEND",
            "LIGHTING FIXTURE SCHEDULE",
            "Symbols:",
            "Légende",
            "图例",
            "Leyenda de luminarias",
        ] {
            assert!(is_heading(text), "{text}");
        }
        for text in [
            "KEYSTONE",
            "KITCHEN",
            "SEE THE LIGHTING SCHEDULE ON SHEET E2 FOR TYPES",
            "R6",
            "",
        ] {
            assert!(!is_heading(text), "{text}");
        }
    }
}
