//! Matchlines: where a plan too large for its sheet is cut, and drawn in halves.
//!
//! A *matchline* is a long straight line on a layer that is called so, or beside a text that is. Both halves may show the
//! strip about it: what they show twice is counted twice, and asked about. No wall runs from one half on to the other.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;

use super::shape::{cross, distance, dot, line_degrees, point_to_segment, unit};
use super::walls::runs;
use crate::flatten::{Flat, Prim};
use crate::geom::faces::crossing;
use crate::note::Note;
use crate::plan::{Light, LightId, Plan};
use crate::rules::{Patterns, listed};

/// Words of a layer that holds matchlines; MATC is the code of the US National CAD Standard (from memory).
const LAYERS: &str = "MATCHLINE MATCHLINES MATCH_LINE MATCH_LINES MATC MTCH";
/// The least length of a matchline, inches.
const LONG: f64 = 60.0;
/// A text tells of a line that is this near to it and runs along it within so many degrees.
const BESIDE: f64 = 24.0;
const ALONG: f64 = 2.0;
/// A half shows no more beyond its matchline, inches (common practice).
const STRIP: f64 = 96.0;
/// Places of two halves are the same within this, inches, once one is laid on the other.
const SAME: f64 = 1.5;
/// Matchlines are parallel within this sine (1°).
const PARALLEL: f64 = 0.0175;
/// Most matchlines that are held against each other.
const MOST: usize = 40;
/// Most pairs of lights that are named.
const MOST_NAMED: usize = 8;

type Segment = (Coord, Coord);

/// Every matchline of a drawing.
#[derive(Clone, Debug, Default)]
pub struct Matchlines {
    lines: Vec<Segment>,
}

/// Layers of matchlines.
pub fn layers() -> Patterns {
    listed(LAYERS)
}

/// Whether a text says that a matchline is beside it.
fn says_so(text: &str) -> bool {
    let letters: String = text
        .chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_uppercase)
        .collect();
    letters.starts_with("MATCHLINE")
}

/// The matchlines that are drawn.
pub fn matchlines(flat: &Flat) -> Matchlines {
    let layers = layers();
    let texts: Vec<(Coord, f64)> = (flat.items.iter().filter(|i| i.visible))
        .filter_map(|item| match &item.prim {
            Prim::Text { at, angle, text, .. } if says_so(text) => Some((*at, *angle)),
            _ => None,
        })
        .collect();
    let told = |(a, b): Segment| {
        texts.iter().any(|(at, angle)| {
            let off = (line_degrees(b - a) - angle.to_degrees()).rem_euclid(180.0);
            off.min(180.0 - off) <= ALONG && off_line(*at, (a, b)) <= BESIDE
        })
    };
    let mut called: BTreeMap<&str, bool> = BTreeMap::new();
    let mut lines = Vec::new();
    for item in flat.items.iter().filter(|i| i.visible) {
        let (points, closed) = match &item.prim {
            Prim::Segment { from, to } => (vec![*from, *to], false),
            Prim::Path { vertices, closed } if vertices.len() <= 8 => {
                (vertices.iter().map(|v| v.at).collect(), *closed)
            }
            _ => continue,
        };
        let name = &*item.layer;
        let by_layer = *called.entry(name).or_insert_with(|| layers.layer_matches(name));
        if closed || (!by_layer && texts.is_empty()) {
            continue;
        }
        let long = |line: &Segment| distance(line.0, line.1) >= LONG;
        lines.extend(
            runs(&points, false)
                .into_iter()
                .filter(long)
                .filter(|line| by_layer || told(*line)),
        );
    }
    lines.truncate(MOST);
    Matchlines { lines }
}

fn off_line(p: Coord, (a, b): Segment) -> f64 {
    point_to_segment(p, a, b)
}

impl Matchlines {
    /// Whether two ends of walls belong to different halves: each is in the strip of a matchline of its own, on the way
    /// from one to the other.
    pub fn part(&self, p: Coord, q: Coord) -> bool {
        let Some(on) = unit(q - p).filter(|_| self.lines.len() > 1) else {
            return false;
        };
        let across = |line: &&Segment| unit(line.1 - line.0).is_some_and(|u| cross(u, on).abs() > 0.5);
        let nearest = |p: Coord| {
            (self.lines.iter().enumerate())
                .filter(|(_, l)| across(l) && off_line(p, **l) <= STRIP)
                .min_by(|a, b| off_line(p, *a.1).total_cmp(&off_line(p, *b.1)))
                .map(|(n, _)| n)
        };
        matches!((nearest(p), nearest(q)), (Some(a), Some(b)) if a != b)
    }

    /// Pairs of matchlines that are one, each with the way from the first to the second.
    fn pairs(&self, walls: &[Segment]) -> Vec<(Segment, Coord)> {
        let crossed: Vec<Vec<Coord>> = (self.lines.iter())
            .map(|l| {
                walls
                    .iter()
                    .filter_map(|w| crossing(w.0, w.1, l.0, l.1))
                    .collect()
            })
            .collect();
        let mut found = Vec::new();
        for (i, first) in self.lines.iter().enumerate() {
            for (j, second) in self.lines.iter().enumerate().skip(i + 1) {
                let (Some(u), Some(v)) = (unit(first.1 - first.0), unit(second.1 - second.0)) else {
                    continue;
                };
                if cross(u, v).abs() > PARALLEL {
                    continue;
                }
                let foot = first.0 + u * dot(second.0 - first.0, u);
                let middle = |l: &Segment| (l.0 + l.1) * 0.5;
                let shifts = [middle(second) - middle(first), second.0 - foot];
                // Walls cross both at the same places.
                let (few, many, sign) = match crossed[i].len() <= crossed[j].len() {
                    true => (&crossed[i], &crossed[j], 1.0),
                    false => (&crossed[j], &crossed[i], -1.0),
                };
                let lies = |shift: Coord| {
                    let met = |p: &&Coord| many.iter().any(|q| distance(**p + shift * sign, *q) <= SAME);
                    few.iter().filter(met).count()
                };
                let best = shifts.into_iter().max_by_key(|s| lies(*s));
                if let Some(shift) = best.filter(|s| few.len() >= 2 && 4 * lies(*s) >= 3 * few.len()) {
                    found.push((*first, shift));
                }
            }
        }
        found
    }
}

/// Says that there are matchlines, and asks about lights that both halves show.
pub fn told(flat: &Flat, plan: &Plan, notes: &mut Vec<Note>) {
    let found = matchlines(flat);
    if found.lines.is_empty() || plan.lights.is_empty() {
        return;
    }
    let twice = twice(&found, &plan.walls, &plan.lights);
    if !twice.is_empty() {
        let mut named: Vec<String> = (twice.iter().take(MOST_NAMED))
            .map(|(a, b)| format!("{} and {}", LightId(*a), LightId(*b)))
            .collect();
        if twice.len() > MOST_NAMED {
            named.push(format!("{} more pairs", twice.len() - MOST_NAMED));
        }
        let lights = if twice.len() == 1 {
            "1 light".to_string()
        } else {
            format!("{} lights", twice.len())
        };
        notes.push(Note::warning(
            "lights-twice",
            format!(
                "{lights} in the strip at a matchline stand in the same place in both halves that it parts: {}: is each one \
                 light, shown twice? Each is counted twice, and so are findings and lumber; erase it in one half",
                named.join(", "),
            ),
        ));
    }
    notes.push(Note::info(
        "matchlines",
        format!(
            "{} matchline(s) cut the plan, the first at ({:.1}, {:.1}) in: what stands beside one may be shown in both halves, \
             and rooms that one cuts have no outline, as no wall is drawn from one half on to the other; bring the halves together, \
             or draw each half's rooms on a room layer, where rows and rooms are to go on",
            found.lines.len(),
            (found.lines[0].0.x + found.lines[0].1.x) / 2.0,
            (found.lines[0].0.y + found.lines[0].1.y) / 2.0,
        ),
    ));
}

/// Lights that stand at the same place of two halves.
fn twice(found: &Matchlines, walls: &[Segment], lights: &[Light]) -> BTreeSet<(usize, usize)> {
    let mut twice = BTreeSet::new();
    for (line, shift) in found.pairs(walls) {
        for (a, light) in lights.iter().enumerate() {
            if off_line(light.at, line) > STRIP {
                continue;
            }
            let there = light.at + shift;
            let same = (lights.iter().enumerate())
                .filter(|(b, l)| *b != a && distance(l.at, there) <= SAME)
                .min_by(|x, y| distance(x.1.at, there).total_cmp(&distance(y.1.at, there)));
            twice.extend(same.map(|(b, _)| (a.min(b), a.max(b))));
        }
    }
    twice
}
