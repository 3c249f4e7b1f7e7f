//! Storeys drawn over one another on the same layers, at heights of their own, as in a model of a whole house.
//!
//! They are read as one, which no ceiling is. One storey may be drawn at several heights too: the feet of its walls and their
//! heads, its ceilings high and low. So two storeys are told by walls at two heights a storey apart that do not lie on each
//! other, or by those and by lights, each a set over the other.

use geo::Coord;

use super::classes::{Class, Classes};
use super::shape::{bounds, chords};
use super::storeys::share;
use crate::flatten::{Flat, Prim};
use crate::length::feet_inches;
use crate::note::Note;

/// From one storey's floor to the next at the least, inches (common practice).
const STOREY: f32 = 84.0;
/// Lights, and wall lines, of a storey before it counts.
const LIGHTS: usize = 2;
const WALLS: usize = 4;
/// Storeys lie over one another where they share this much of the smaller one's box, and where their walls lie on each
/// other's.
const SHARED: f64 = 0.3;
const SHARED_ALIKE: f64 = 0.6;
/// So many of the ends of walls are those of other walls above or below them, within an inch, where both are one storey's.
const ALIKE: f64 = 0.8;
const SAME: f64 = 1.0;

/// What lies at one height.
struct Level {
    height: f32,
    count: usize,
    points: Vec<Coord>,
}

/// Says that storeys lie over one another.
pub fn told(flat: &Flat, classes: &Classes, notes: &mut Vec<Note>) {
    if notes.iter().any(|n| n.code == "storeys-overlaid") {
        return;
    }
    let walls = levels(flat, classes, Class::Wall, WALLS);
    let Some((low, high)) = over(&walls, SHARED) else {
        return;
    };
    let lights = levels(flat, classes, Class::Light, LIGHTS);
    let alike = alike(low, high);
    let lit = over(&lights, if alike { SHARED_ALIKE } else { SHARED }).is_some();
    if alike && !lit {
        return;
    }
    notes.push(Note::loss(
        "storeys-overlaid",
        format!(
            "walls{} are drawn at two heights over one another, at {} and at {}: they look like two storeys on the same layers, and \
             are read as one: export each storey by itself, or put each on layers of its own and name those of the other under \
             [read] ignore in bayline.toml",
            if lit { " and lights" } else { "" },
            feet_inches(f64::from(low.height)),
            feet_inches(f64::from(high.height)),
        ),
    ));
}

/// What lies of a class at heights a storey apart, from below.
fn levels(flat: &Flat, classes: &Classes, class: Class, fewest: usize) -> Vec<Level> {
    let mut all: Vec<(f32, usize)> = (flat.items.iter().enumerate())
        .filter(|(i, item)| {
            let part = item.within.is_some_and(|w| classes.of[w] == class);
            item.visible && classes.of[*i] == class && !part
        })
        .map(|(i, item)| (item.height, i))
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let mut levels: Vec<Level> = Vec::new();
    for (height, i) in all {
        let points = match &flat.items[i].prim {
            Prim::Symbol(symbol) => vec![symbol.at],
            prim => chords(prim).map_or(Vec::new(), |(points, _)| points),
        };
        if points.is_empty() {
            continue;
        }
        match levels.last_mut().filter(|l| height - l.height < STOREY) {
            Some(level) => {
                level.count += 1;
                level.points.extend(points);
            }
            None => levels.push(Level {
                height,
                count: 1,
                points,
            }),
        }
    }
    levels.retain(|l| l.count >= fewest);
    levels
}

/// The first two levels that lie over each other.
fn over(levels: &[Level], shared: f64) -> Option<(&Level, &Level)> {
    let around = |l: &Level| bounds(l.points.iter().copied());
    levels.iter().enumerate().find_map(|(i, low)| {
        let above = levels[i + 1..].iter();
        let mut above = above.filter(|high| match (around(low), around(high)) {
            (Some(a), Some(b)) => share(a, b) >= shared,
            _ => false,
        });
        Some((low, above.next()?))
    })
}

/// Whether most ends of the walls of the level that has fewer are ends of the other's.
fn alike(a: &Level, b: &Level) -> bool {
    let (few, many) = match a.points.len() <= b.points.len() {
        true => (a, b),
        false => (b, a),
    };
    let mut sorted: Vec<Coord> = many.points.clone();
    sorted.sort_by(|p, q| p.x.total_cmp(&q.x).then(p.y.total_cmp(&q.y)));
    let met = |p: &&Coord| {
        let from = sorted.partition_point(|q| q.x < p.x - SAME);
        let mut near = sorted[from..].iter().take_while(|q| q.x <= p.x + SAME);
        near.any(|q| (q.y - p.y).abs() <= SAME)
    };
    few.points.iter().filter(met).count() as f64 >= ALIKE * few.points.len() as f64
}
