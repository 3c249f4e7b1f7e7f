//! Shapes in which ceiling devices are drawn: squares with diagonals or squares within, hubs with blades.
//!
//! Sizes and shapes are common practice. A shape counts only where nothing else is drawn in it: a square with
//! a circle or half a diagonal in it is a drain, a shower or an appliance as well as a diffuser. All of it is
//! the same turned, mirrored or far from the origin.

use std::f64::consts::TAU;
use std::ops::RangeInclusive;

use geo::Coord;

use super::super::round::rounds;
use super::super::shape::{chords, corners, distance, dot, hull, length, point_to_segment, unit};
use super::super::tolerance::CORNER;
use super::super::walls::runs;
use crate::flatten::{Flat, Prim};

/// Across, inches: faces of diffusers and grilles. Larger squares are appliances and showers.
const SQUARE: RangeInclusive<f64> = 9.9..=26.1;
/// Across, inches: blades of ceiling fans.
const FAN: RangeInclusive<f64> = 29.5..=72.5;
/// Blades of a fan.
const BLADES: RangeInclusive<usize> = 3..=5;
/// Across a blade near its tip, inches. A single line is no blade that is certain.
const BLADE: RangeInclusive<f64> = 2.0..=11.0;
/// The hub's radius, inches, and as a share of the fan's.
const HUB: RangeInclusive<f64> = 1.5..=9.0;
const HUB_SHARE: f64 = 0.4;
/// Rings about the hub in which blades are looked for, as shares of the radius.
const BANDS: usize = 10;
const FROM: f64 = 0.45;
/// Most of its share of a turn that a blade fills.
const FULL: f64 = 0.5;
/// So much of a line has to be drawn.
const DRAWN: f64 = 0.95;
/// A symbol of more lines than this is a drawing.
const MOST: usize = 200;
/// As a share of the side: what is on a line.
const ON: f64 = 0.01;

type Side = (Coord, Coord);

/// A shape that a device has.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Form {
    /// Squares in a square, their corners joined.
    FourWay,
    /// A square and both diagonals.
    Cross,
    /// A square and one diagonal.
    Slash,
    /// Squares in a square.
    Rings,
    /// Blades about a hub, each with two edges.
    Blades(usize),
    /// The same, each a line.
    Spokes(usize),
}

impl Form {
    /// The device, in words of a finding.
    pub fn kind(self) -> &'static str {
        match self {
            Form::Slash => "grille",
            Form::Blades(_) | Form::Spokes(_) => "ceiling fan",
            _ => "diffuser",
        }
    }

    /// How it is drawn.
    pub fn drawn(self) -> String {
        match self {
            Form::FourWay => "squares in a square joined at their corners".to_string(),
            Form::Cross => "a square with both diagonals".to_string(),
            Form::Slash => "a square with a diagonal".to_string(),
            Form::Rings => "squares in a square".to_string(),
            Form::Blades(n) => format!("{n} blades about a hub"),
            Form::Spokes(n) => format!("{n} spokes about a hub"),
        }
    }
}

/// The shape of what some items draw, if it is one of a device: its middle, and how far across, inches.
pub fn form(flat: &Flat, items: &[usize]) -> Option<(Form, Coord, f64)> {
    let drawn = |i: &&usize| flat.items[**i].visible && chords(&flat.items[**i].prim).is_some();
    let drawn: Vec<usize> = items.iter().filter(drawn).copied().collect();
    if drawn.is_empty() || drawn.len() > MOST {
        return None;
    }
    square(flat, &drawn).or_else(|| fan(flat, &drawn))
}

/// Straight sides, or `None` where anything is round or filled.
fn straight(flat: &Flat, items: &[usize]) -> Option<Vec<Side>> {
    let mut sides = Vec::new();
    for &i in items {
        match &flat.items[i].prim {
            Prim::Segment { .. } => {}
            Prim::Path { vertices, .. } if vertices.iter().all(|v| v.bulge == 0.0) => {}
            _ => return None,
        }
        let (points, closed) = chords(&flat.items[i].prim)?;
        sides.extend(runs(&points, closed));
    }
    sides.retain(|(a, b)| distance(*a, *b) > CORNER);
    (sides.len() <= MOST).then_some(sides)
}

/// How much of the way from `a` to `b` lines cover, as a share.
fn covered(lines: &[Side], (a, b): Side, off: f64) -> f64 {
    let (Some(along), whole) = (unit(b - a), distance(a, b)) else {
        return 0.0;
    };
    let on = |p: Coord| {
        let d = p - a;
        (d.x * along.y - d.y * along.x).abs() <= off
    };
    let mut spans: Vec<(f64, f64)> = (lines.iter())
        .filter(|l| on(l.0) && on(l.1))
        .map(|l| (dot(l.0 - a, along), dot(l.1 - a, along)))
        .map(|(s, t)| (s.min(t).max(0.0), s.max(t).min(whole)))
        .filter(|(s, t)| t > s)
        .collect();
    spans.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let (mut sum, mut end) = (0.0, 0.0_f64);
    for (s, t) in spans {
        sum += (t - s.max(end)).max(0.0);
        end = end.max(t);
    }
    sum / whole
}

fn square(flat: &Flat, items: &[usize]) -> Option<(Form, Coord, f64)> {
    let lines = straight(flat, items)?;
    let ends: Vec<Coord> = lines.iter().flat_map(|l| [l.0, l.1]).collect();
    let ring: [Coord; 4] = corners(&hull(&ends), true).try_into().ok()?;
    let side = |k: usize| ring[(k + 1) % 4] - ring[k];
    let across = length(side(0));
    let even = (0..4).all(|k| {
        (length(side(k)) - across).abs() <= 0.02 * across
            && dot(side(k), side((k + 1) % 4)).abs() <= 0.02 * across * across
    });
    if !even || !SQUARE.contains(&across) {
        return None;
    }
    let off = ON * across;
    let sides: [Side; 4] = std::array::from_fn(|k| (ring[k], ring[(k + 1) % 4]));
    if sides.iter().any(|s| covered(&lines, *s, off) < DRAWN) {
        return None;
    }
    let middle = (ring[0] + ring[2]) * 0.5;
    let diagonals: [Side; 2] = [(ring[0], ring[2]), (ring[1], ring[3])];
    let on = |l: &Side, s: &Side| [l.0, l.1].iter().all(|p| point_to_segment(*p, s.0, s.1) <= off);
    let within: Vec<Side> = (lines.iter().copied())
        .filter(|l| !sides.iter().chain(&diagonals).any(|s| on(l, s)))
        .collect();
    let rings = squares(&within, middle, unit(side(0))?, off)?;
    let full = diagonals.map(|d| covered(&lines, d, off) >= DRAWN);
    let bare = diagonals.iter().all(|d| covered(&lines, *d, off) <= 1.0 - DRAWN);
    let form = match rings.last() {
        Some(&inner) => {
            let to = |corner: Coord| middle + (corner - middle) * (2.0 * inner / across);
            let joined = |c: &Coord| covered(&lines, (*c, to(*c)), off) >= DRAWN;
            match bare {
                true => Form::Rings,
                false => ring.iter().all(joined).then_some(Form::FourWay)?,
            }
        }
        None => match full {
            [true, true] => Form::Cross,
            [false, false] => return None,
            _ => Form::Slash,
        },
    };
    Some((form, middle, across))
}

/// Half the sides of the squares about `middle` that lines make up, the largest first; `None` where a line is of none.
fn squares(lines: &[Side], middle: Coord, along: Coord, off: f64) -> Option<Vec<f64>> {
    let across = Coord {
        x: -along.y,
        y: along.x,
    };
    // How far from the middle a line along one of the two runs.
    let half = |l: &Side| {
        let seen = |p: Coord| (dot(p - middle, along), dot(p - middle, across));
        let (a, b) = (seen(l.0), seen(l.1));
        match ((a.0 - b.0).abs() <= off, (a.1 - b.1).abs() <= off) {
            (true, false) => Some((a.0.abs(), a.1.abs().max(b.1.abs()))),
            (false, true) => Some((a.1.abs(), a.0.abs().max(b.0.abs()))),
            _ => None,
        }
    };
    let mut found: Vec<f64> = Vec::new();
    for line in lines {
        let (half, reach) = half(line)?;
        if half <= 2.0 * off || reach > half + off {
            return None;
        }
        if !found.iter().any(|f| (f - half).abs() <= off) {
            found.push(half);
        }
    }
    found.sort_by(|a, b| b.total_cmp(a));
    let whole = |half: &f64| {
        let corner = |s: f64, t: f64| middle + along * (s * half) + across * (t * half);
        let around = [
            corner(1.0, 1.0),
            corner(-1.0, 1.0),
            corner(-1.0, -1.0),
            corner(1.0, -1.0),
        ];
        (0..4).all(|k| covered(lines, (around[k], around[(k + 1) % 4]), off) >= DRAWN)
    };
    found.iter().all(whole).then_some(found)
}

fn fan(flat: &Flat, items: &[usize]) -> Option<(Form, Coord, f64)> {
    let all = rounds(flat, items);
    let hubs = all.iter().filter(|r| HUB.contains(&r.radius));
    let hub = hubs.max_by(|a, b| a.radius.total_cmp(&b.radius))?;
    let center = hub.center;
    let lines: Vec<Side> = (items.iter())
        .filter(|i| {
            !all.iter()
                .any(|r| r.parts.contains(i) && distance(r.center, center) <= CORNER)
        })
        .filter_map(|&i| chords(&flat.items[i].prim))
        .flat_map(|(points, closed)| runs(&points, closed))
        .collect();
    let radius = (lines.iter().flat_map(|l| [l.0, l.1]))
        .map(|p| distance(p, center))
        .fold(0.0, f64::max);
    // A circle about the hub is its light, or goes round the tips. A table is as wide as neither.
    let about = |r: &&super::super::round::Round| distance(r.center, center) <= CORNER;
    let light = |share: f64| share <= HUB_SHARE || share >= 0.95;
    if !FAN.contains(&(2.0 * radius)) || !all.iter().filter(about).all(|r| light(r.radius / radius)) {
        return None;
    }
    let bands = bands(&lines, center, radius)?;
    BLADES.rev().find_map(|n| {
        let wide = blades(&bands, n)?;
        let tip = wide.last().copied()? * radius;
        let form = match tip {
            _ if BLADE.contains(&tip) => Form::Blades(n),
            _ if tip < 0.5 => Form::Spokes(n),
            _ => return None,
        };
        Some((form, center, 2.0 * radius))
    })
}

/// Directions, as shares of a turn, of what is drawn in each of the rings about the hub.
fn bands(lines: &[Side], center: Coord, radius: f64) -> Option<Vec<Vec<f64>>> {
    let mut found = vec![Vec::new(); BANDS];
    let step = radius * (1.0 - FROM) / (3.0 * BANDS as f64);
    for (a, b) in lines {
        let parts = (distance(*a, *b) / step).ceil().max(1.0);
        if parts > 1000.0 {
            return None;
        }
        for k in 0..=parts as usize {
            let d = *a + (*b - *a) * (k as f64 / parts) - center;
            let band = (length(d) / radius - FROM) / (1.0 - FROM) * BANDS as f64;
            if band >= 0.0 {
                let turn = (d.y.atan2(d.x) / TAU).rem_euclid(1.0);
                found[(band as usize).min(BANDS - 1)].push(turn);
            }
        }
    }
    Some(found)
}

/// How wide `n` equal blades are in each ring but the last, where tips are round, as a share of the fan's
/// radius; `None` where they are not all there is.
fn blades(bands: &[Vec<f64>], n: usize) -> Option<Vec<f64>> {
    let count = n as f64;
    let first = *bands.first()?.first()?;
    // Folded into one blade's share of the turn, about the middle of what is drawn.
    let fold = |turn: f64, about: f64| ((turn - about) * count + 0.5).rem_euclid(1.0) - 0.5;
    let all = || bands.iter().flatten();
    let mean = all().map(|t| fold(*t, first)).sum::<f64>() / all().count() as f64;
    let about = first + mean / count;
    if all().any(|t| fold(*t, about).abs() > FULL / 2.0) {
        return None;
    }
    let mut wide = Vec::new();
    for (k, band) in bands.iter().enumerate() {
        let mut widths = vec![None::<(f64, f64)>; n];
        for turn in band {
            let off = fold(*turn, about);
            let blade = ((turn - about) * count - off).round().rem_euclid(count) as usize % n;
            let seen = widths[blade].get_or_insert((off, off));
            *seen = (seen.0.min(off), seen.1.max(off));
        }
        // Every blade reaches every ring.
        let each: Option<Vec<f64>> = widths
            .iter()
            .map(|w| w.map(|(a, b)| (b - a) / count * TAU))
            .collect();
        let each = each?;
        let (least, most) = (
            each.iter().copied().fold(f64::INFINITY, f64::min),
            each.iter().copied().fold(0.0, f64::max),
        );
        if most - least > 0.08 {
            return None;
        }
        let share = FROM + (1.0 - FROM) * (k as f64 + 0.5) / bands.len() as f64;
        if k + 1 < bands.len() {
            wide.push(most * share);
        }
    }
    Some(wide)
}
