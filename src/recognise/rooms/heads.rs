//! Openings whose heads close the walls: on plans of ceilings the wall above a door or an opening is drawn, on a layer of
//! its own (`A-WALL-HEAD`, NCS).

use geo::Coord;

use super::super::classes::{Class, Classes};
use super::super::shape::{cross, distance, dot, finite, unit};
use super::gaps::Gap;
use crate::flatten::{Flat, Prim};
use crate::rules::{folded, last_part};

/// Words of such layers.
const HEADS: [&str; 5] = ["HEAD", "HEADS", "HDR", "HEADER", "HEADERS"];
/// A wall's thickness, and an opening's width, inches.
const THICK: std::ops::RangeInclusive<f64> = 2.0..=16.0;
const WIDE: std::ops::RangeInclusive<f64> = 18.0..=480.0;
/// Both faces of a head begin and end side by side within so much; a gap that was bridged already is no further off.
const LEVEL: f64 = 1.0;
const SAME: f64 = 6.0;
/// Sine of the greatest angle between lines taken as parallel here (1°).
const PARALLEL: f64 = 0.0175;
/// Most lines that are looked at.
const MOST: usize = 400;

/// Openings under heads that are drawn as both faces of a wall, beside those that were bridged.
pub fn under(flat: &Flat, classes: &Classes, bridged: &[Gap]) -> Vec<Gap> {
    let mut lines: Vec<(Coord, Coord)> = Vec::new();
    for (item, class) in flat.items.iter().zip(&classes.of) {
        if let Prim::Segment { from, to } = item.prim
            && item.visible
            && *class == Class::Wall
            && finite(from)
            && finite(to)
            && WIDE.contains(&distance(from, to))
            && is_head(&item.layer)
        {
            lines.push((from, to));
        }
    }
    lines.truncate(MOST);
    let mut found: Vec<Gap> = Vec::new();
    for (i, &(a, b)) in lines.iter().enumerate() {
        let Some(along) = unit(b - a) else { continue };
        let length = distance(a, b);
        let other = (lines[i + 1..].iter())
            .map(|&(p, q)| if dot(q - p, along) < 0.0 { (q, p) } else { (p, q) })
            .filter(|&(p, q)| {
                let level = |end: Coord, at: f64| (dot(end - a, along) - at).abs() <= LEVEL;
                let parallel = cross(along, q - p).abs() <= PARALLEL * length;
                parallel && level(p, 0.0) && level(q, length) && THICK.contains(&cross(along, p - a).abs())
            })
            .min_by(|x, y| distance(x.0, a).total_cmp(&distance(y.0, a)));
        let Some((p, q)) = other else { continue };
        let (from, to) = ((a + p) * 0.5, (b + q) * 0.5);
        let middle = (from + to) * 0.5;
        let known = |g: &Gap| distance((g.from + g.to) * 0.5, middle) <= SAME;
        if bridged.iter().chain(&found).any(known) {
            continue;
        }
        let (from, to) = if (from.x, from.y) <= (to.x, to.y) {
            (from, to)
        } else {
            (to, from)
        };
        found.push(Gap {
            from,
            to,
            thickness: cross(along, p - a).abs(),
            drawn: Vec::new(),
        });
    }
    found
}

fn is_head(layer: &str) -> bool {
    let name = folded(last_part(layer));
    let mut words = name.split(|c: char| !c.is_alphabetic());
    words.any(|w| HEADS.contains(&w))
}
