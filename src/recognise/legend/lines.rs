//! Lines of lettering with where they begin and end.

use geo::Coord;

use super::super::shape::{cross, dot, finite, left_of};
use crate::flatten::{Flat, Prim};

/// Width of an average letter and distance of lines, in heights: an estimate, as the drawing does not tell.
const LETTER: f64 = 0.8;
const LEADING: f64 = 5.0 / 3.0;

/// One line of a text.
#[derive(Clone, Copy)]
pub struct Line<'a> {
    /// Lower left.
    pub at: Coord,
    pub height: f64,
    /// Along the lettering, a unit vector.
    pub along: Coord,
    /// As estimated from its letters.
    pub width: f64,
    /// Whether `at` hangs on no estimate.
    pub sure: bool,
    pub text: &'a str,
    /// The text that it is a line of.
    pub whole: &'a str,
}

impl Line<'_> {
    /// Where a point is along the lettering and upwards, from where the axes are.
    pub fn seen(&self, p: Coord) -> (f64, f64) {
        (dot(p - self.at, self.along), cross(self.along, p - self.at))
    }
}

/// Every visible line of lettering, texts of several lines taken apart.
pub fn lines(flat: &Flat) -> Vec<Line<'_>> {
    let seen = flat.items.iter().filter(|item| item.visible);
    seen.flat_map(|item| of_text(&item.prim)).collect()
}

/// The lines of one text.
pub fn of_text(prim: &Prim) -> Vec<Line<'_>> {
    let Prim::Text {
        at,
        height,
        angle,
        centred,
        text,
    } = prim
    else {
        return Vec::new();
    };
    let along = Coord {
        x: angle.cos(),
        y: angle.sin(),
    };
    if !(finite(*at) && finite(along) && *height > 0.0 && height.is_finite()) {
        return Vec::new();
    }
    let up = left_of(along);
    let wide = |line: &str| line.chars().count() as f64 * LETTER * height;
    let widest = text.lines().map(wide).fold(0.0, f64::max);
    let below = text.lines().count().saturating_sub(1) as f64 * LEADING * height;
    // The last line stands at the text's corner, or half of all below its centre.
    let corner = match centred {
        true => *at - along * (widest / 2.0) - up * ((below + height) / 2.0),
        false => *at,
    };
    let mut found = Vec::new();
    for (n, line) in text.lines().enumerate() {
        let words = line.trim();
        if words.is_empty() {
            continue;
        }
        let width = wide(line);
        // A centred text has its lines about its middle.
        let aside = if *centred { (widest - width) / 2.0 } else { 0.0 };
        found.push(Line {
            at: corner + along * aside + up * (below - n as f64 * LEADING * height),
            height: *height,
            along,
            width,
            sure: !centred,
            text: words,
            whole: text,
        });
    }
    found
}
