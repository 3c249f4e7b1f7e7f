//! Loose circles on light layers that are something else: letters of devices and keynotes in them, arms, blades, bars of
//! globes, heads on a track, the two lines of a receptacle. They are asked about, as squares are.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};

use super::classes::{Class, Classes};
use super::devices::kinds::text_middle;
use super::devices::marks::mark;
use super::letters;
use super::round::rounds;
use super::schedule::Schedule;
use super::shape::{bounds, chords, contains, cross, distance, dot, finite, length, point_to_segment, unit};
use crate::flatten::{Flat, Prim};
use crate::length::inches_only;
use crate::note::Note;
use crate::plan::Light;

/// Across, inches: recessed lights as drawn on house plans (common practice).
const ACROSS: std::ops::RangeInclusive<f64> = 2.9..=14.1;
/// Letters stand nearer to the middle than this share of the radius, and run over the circle by no more than this.
const INSIDE: f64 = 0.6;
const OVER: f64 = 1.2;
/// Width of a letter, in heights of it (common practice).
const LETTER: f64 = 0.7;
/// From middle to middle, inches: recessed housings need more room, globes of a bar stand so.
const GLOBES: f64 = 12.5;
/// From head to head on a track, inches.
const HEADS: f64 = 30.0;
/// Across a track, inches.
const TRACK: f64 = 6.0;
/// Half the side of a square about a circle, in radii of it.
const BOX: std::ops::RangeInclusive<f64> = 1.45..=4.0;
/// What is on a line or a rim, as a share of the radius.
const ON: f64 = 0.15;
/// So many lines that point away from the middle are arms; the ends of a cross are four.
const RAYS: usize = 5;
/// Lines that are looked at about one circle.
const MOST_LINES: usize = 200;

/// A loose circle.
struct Loose<'a> {
    seen: usize,
    at: Coord,
    radius: f64,
    layer: &'a str,
}

/// A line on a light layer.
struct Line {
    points: Vec<Coord>,
    closed: bool,
}

/// Which of the symbols taken for lights, each with its item, are loose circles that are asked about instead.
pub fn asked(
    flat: &Flat,
    classes: &Classes,
    schedule: &Schedule<'_>,
    lights: &[(usize, &Light)],
    notes: &mut Vec<Note>,
) -> BTreeSet<usize> {
    let loose: Vec<Loose> = (lights.iter().enumerate())
        .filter(|(_, (item, light))| light.block.is_none() && is_round(flat, *item) && finite(light.at))
        .map(|(seen, (item, light))| Loose {
            seen,
            at: light.at,
            radius: light.drawn_radius,
            layer: &flat.items[*item].layer,
        })
        .collect();
    let mut asked = lettered_blocks(flat, classes, schedule, lights, notes);
    if loose.is_empty() {
        return asked;
    }
    let symbols: BTreeSet<usize> = (lights.iter())
        .filter(|(_, light)| light.block.is_some())
        .map(|(item, _)| *item)
        .collect();
    let lines = Lines::new(flat, classes, &symbols);
    let mut why: BTreeMap<usize, String> = BTreeMap::new();
    for (n, circle) in loose.iter().enumerate() {
        if let Some(form) = lines.form(circle) {
            why.insert(n, form.to_string());
        }
    }
    for n in globes(&loose) {
        why.entry(n)
            .or_insert_with(|| "in a row as close as the globes of a bar".into());
    }
    for n in lines.heads(&loose) {
        why.entry(n)
            .or_insert_with(|| "on one line, as the heads of a track are".into());
    }
    // What is left to be a light decides what is strange among them.
    let letters = strange_letters(flat, schedule, &loose);
    let known = |s: &usize| !loose.iter().any(|c| c.seen == *s);
    let blocks = (0..lights.len()).filter(known).count();
    let boxed: BTreeSet<usize> = (0..loose.len()).filter(|&n| lines.boxed(&loose[n])).collect();
    let plain = |n: &usize| !why.contains_key(n) && !letters.contains_key(n) && !boxed.contains(n);
    let usual = |n: &usize| ACROSS.contains(&(2.0 * loose[*n].radius));
    let left = blocks + (0..loose.len()).filter(|n| plain(n) && usual(n)).count();
    if left > 0 {
        for (n, circle) in loose.iter().enumerate() {
            if why.contains_key(&n) {
                continue;
            }
            if let Some(text) = letters.get(&n) {
                why.insert(n, format!("with {text} in them"));
            } else if boxed.contains(&n) {
                why.insert(
                    n,
                    "in the middle of a larger square, as exhaust fans are drawn".into(),
                );
            } else if !usual(&n) && !schedule_tells(lights, circle.seen) {
                why.insert(n, "of a size that no other light here has".into());
            }
        }
    }
    tell(&loose, &why, notes);
    asked.extend(why.keys().map(|&n| loose[n].seen));
    asked
}

/// Blocks taken for lights that have the letters of a device written in them, as where one circle serves for lights and
/// alarms.
fn lettered_blocks(
    flat: &Flat,
    classes: &Classes,
    schedule: &Schedule<'_>,
    lights: &[(usize, &Light)],
    notes: &mut Vec<Note>,
) -> BTreeSet<usize> {
    // Letters on a layer of devices are of the device that is drawn there.
    let letters = (flat.items.iter().zip(&classes.of))
        .filter(|(i, class)| i.visible && i.within.is_none() && **class != Class::Device);
    let spots = letters.filter_map(|(item, _)| match &item.prim {
        Prim::Text { text, .. } if schedule.mark(text).is_none() && mark(text).is_some_and(|m| m.sure) => {
            let at = text_middle(&item.prim).filter(|p| finite(*p))?;
            Some(GeomWithData::new([at.x, at.y], text.trim()))
        }
        _ => None,
    });
    let spots: RTree<GeomWithData<[f64; 2], &str>> = RTree::bulk_load(spots.collect());
    let mut found = BTreeSet::new();
    let mut told: BTreeMap<(&str, &str, &str), usize> = BTreeMap::new();
    for (n, (item, light)) in lights.iter().enumerate() {
        let Some(block) = light.block.as_deref().filter(|_| finite(light.at)) else {
            continue;
        };
        let near = spots.nearest_neighbor([light.at.x, light.at.y]);
        let inside = near.filter(|g| {
            let [x, y] = *g.geom();
            distance(Coord { x, y }, light.at) <= INSIDE * light.drawn_radius
        });
        if let (Some(letters), None) = (inside, light.schedule) {
            *told
                .entry((block, &flat.items[*item].layer, letters.data))
                .or_insert(0) += 1;
            found.insert(n);
        }
    }
    for ((block, layer, letters), count) in told {
        notes.push(Note::warning(
            "circles-asked",
            format!(
                "{count} symbol(s) of block {block} on light layer {layer}, with {letters} in them, are not taken for lights: make \
                 them a block of their own and name it under [read] lights or devices in bayline.toml to be sure"
            ),
        ));
    }
    found
}

fn schedule_tells(lights: &[(usize, &Light)], seen: usize) -> bool {
    lights
        .get(seen)
        .is_some_and(|(_, light)| light.schedule.is_some())
}

fn tell(loose: &[Loose], why: &BTreeMap<usize, String>, notes: &mut Vec<Note>) {
    let mut told: BTreeMap<(&str, &str, i64), usize> = BTreeMap::new();
    for (&n, why) in why {
        let size = (loose[n].radius * 32.0).round() as i64;
        *told.entry((loose[n].layer, why, size)).or_insert(0) += 1;
    }
    for ((layer, why, size), count) in told {
        notes.push(Note::warning(
            "circles-asked",
            format!(
                "{count} circle(s) {} across on light layer {layer}, {why}, are not taken for lights: make each a block \
                 and name it under [read] lights or devices in bayline.toml to be sure",
                inches_only(size as f64 / 16.0)
            ),
        ));
    }
}

fn is_round(flat: &Flat, item: usize) -> bool {
    match &flat.items[item].prim {
        Prim::Circle { .. } | Prim::Ellipse { .. } | Prim::Arc { .. } => true,
        Prim::Path { .. } => !rounds(flat, &[item]).is_empty(),
        _ => false,
    }
}

/// What is written in circles that is no mark of a light.
fn strange_letters(flat: &Flat, schedule: &Schedule<'_>, loose: &[Loose]) -> BTreeMap<usize, String> {
    let spots = RTree::bulk_load(
        (flat.items.iter().enumerate())
            .filter(|(_, item)| item.visible)
            .filter_map(|(i, item)| Some(GeomWithData::new(text_middle(&item.prim).map(|p| [p.x, p.y])?, i)))
            .collect(),
    );
    let mut found = BTreeMap::new();
    for (n, circle) in loose.iter().enumerate() {
        let Some(near) = spots.nearest_neighbor([circle.at.x, circle.at.y]) else {
            break;
        };
        let [x, y] = *near.geom();
        let Prim::Text { text, height, .. } = &flat.items[near.data].prim else {
            continue;
        };
        let text = text.trim();
        let long = LETTER * height * text.chars().count() as f64;
        let inside = distance(Coord { x, y }, circle.at) <= INSIDE * circle.radius
            && long <= 2.0 * OVER * circle.radius;
        if inside && !text.is_empty() && !is_of_light(text, schedule) {
            let text: Vec<&str> = text.split_whitespace().collect();
            found.insert(n, text.join(" "));
        }
    }
    found
}

/// Whether letters in a circle are those of a recessed light: a mark of the schedule, a word, a size, a switch's letter.
fn is_of_light(text: &str, schedule: &Schedule<'_>) -> bool {
    let small = text.chars().count() == 1 && text.chars().all(char::is_lowercase);
    let size = text.starts_with(|c: char| c.is_ascii_digit()) && text.ends_with(['"', '″', '”']);
    let device = mark(text).is_some_and(|m| m.sure);
    schedule.mark(text).is_some() || !device && (small || size || letters::of_a_light(text))
}

/// Circles of one size that stand in threes and more too close for housings.
fn globes(loose: &[Loose]) -> Vec<usize> {
    let spots = spots(loose);
    let close = |n: usize| {
        let circle = &loose[n];
        let around = spots.locate_within_distance([circle.at.x, circle.at.y], GLOBES * GLOBES);
        around.map(|g| g.data).filter(move |&m| {
            let apart = distance(loose[m].at, circle.at);
            m != n && same(&loose[m], circle) && apart >= 1.9 * circle.radius
        })
    };
    let mut found = BTreeSet::new();
    for n in 0..loose.len() {
        let near: Vec<usize> = close(n).take(MOST_LINES).collect();
        if near.len() >= 2 {
            found.insert(n);
            found.extend(near);
        }
    }
    found.into_iter().collect()
}

fn same(a: &Loose, b: &Loose) -> bool {
    (a.radius - b.radius).abs() <= 0.02 * a.radius.max(b.radius)
}

fn spots(loose: &[Loose]) -> RTree<GeomWithData<[f64; 2], usize>> {
    let all = loose.iter().enumerate();
    RTree::bulk_load(all.map(|(n, c)| GeomWithData::new([c.at.x, c.at.y], n)).collect())
}

/// Lines on light layers that are no part of a block that is a light.
struct Lines {
    all: Vec<Line>,
    tree: RTree<GeomWithData<Rectangle<[f64; 2]>, usize>>,
}

impl Lines {
    fn new(flat: &Flat, classes: &Classes, symbols: &BTreeSet<usize>) -> Lines {
        let mut all = Vec::new();
        let mut boxes = Vec::new();
        for (i, item) in flat.items.iter().enumerate() {
            let straight = match &item.prim {
                Prim::Segment { .. } => true,
                Prim::Path { .. } => rounds(flat, &[i]).is_empty(),
                _ => false,
            };
            let of_symbol = item.within.is_some_and(|w| symbols.contains(&w));
            if classes.of[i] != Class::Light || !item.visible || !straight || of_symbol {
                continue;
            }
            let Some((points, closed)) = chords(&item.prim) else {
                continue;
            };
            let Some((low, high)) = bounds(points.iter().copied()) else {
                continue;
            };
            let back = points.len() > 3 && points.first() == points.last();
            let rectangle = Rectangle::from_corners([low.x, low.y], [high.x, high.y]);
            boxes.push(GeomWithData::new(rectangle, all.len()));
            all.push(Line {
                points,
                closed: closed || back,
            });
        }
        Lines {
            all,
            tree: RTree::bulk_load(boxes),
        }
    }

    fn about(&self, circle: &Loose) -> impl Iterator<Item = &Line> {
        self.within(circle, circle.radius * (1.0 + ON))
    }

    /// Lines that come as near to the middle of a circle.
    fn within(&self, circle: &Loose, reach: f64) -> impl Iterator<Item = &Line> {
        let around = AABB::from_corners(
            [circle.at.x - reach, circle.at.y - reach],
            [circle.at.x + reach, circle.at.y + reach],
        );
        let near = self.tree.locate_in_envelope_intersecting(around);
        near.take(MOST_LINES).map(|g| &self.all[g.data])
    }

    /// Whether it stands in the middle of a larger square: a trim is hardly larger than its opening.
    fn boxed(&self, circle: &Loose) -> bool {
        let (at, r) = (circle.at, circle.radius);
        let sides = self.within(circle, BOX.end() * r).flat_map(|line| {
            let ring = line.closed.then(|| line.points.last().zip(line.points.first()));
            let back = ring.flatten().map(|(a, b)| (*a, *b));
            (line.points.windows(2).map(|w| (w[0], w[1]))).chain(back.filter(|(a, b)| a != b))
        });
        let mut found: Vec<Coord> = Vec::new();
        for (a, b) in sides.take(MOST_LINES) {
            let middle = (a + b) * 0.5 - at;
            let (off, long) = (length(middle), distance(a, b));
            let square =
                (long - 2.0 * off).abs() <= 0.05 * long && dot(middle, b - a).abs() <= 0.05 * off * long;
            let new = |f: &Coord| (length(*f) - off).abs() <= 0.05 * off && dot(*f, middle) < 0.5 * off * off;
            if square && BOX.contains(&(off / r)) && found.iter().all(new) {
                found.push(middle);
            }
        }
        found.len() >= 4
    }

    /// What the lines about a circle make of it.
    fn form(&self, circle: &Loose) -> Option<&'static str> {
        let (at, r) = (circle.at, circle.radius);
        let (mut blades, mut rays) = (0, 0);
        let mut arms: Vec<f64> = Vec::new();
        let mut across: Vec<(Coord, f64)> = Vec::new();
        let mut through = false;
        for line in self.about(circle) {
            let off = |p: &Coord| distance(*p, at);
            let near = line.points.iter().map(off).fold(f64::INFINITY, f64::min);
            let far = line.points.iter().map(off).fold(0.0, f64::max);
            let on_rim = (near - r).abs() <= ON * r;
            if line.closed {
                blades += usize::from(on_rim && far > 1.55 * r);
                continue;
            }
            let [a, b] = line.points[..] else { continue };
            let Some(along) = unit(b - a) else { continue };
            let side = cross(along, at - a);
            if side.abs() <= ON * r {
                through |= near <= ON * r || dot(a - at, b - at) < 0.0;
                let outward = dot(a - at, b - at) > 0.0;
                if outward && on_rim && far > 1.2 * r {
                    rays += 1;
                    if far > 1.55 * r {
                        arms.push(far);
                    }
                }
                // Between an inner circle and the rim.
                rays += usize::from(outward && near > ON * r && near < r && (far - r).abs() <= ON * r);
            } else if side.abs() <= 0.7 * r && distance(a, b) >= 1.2 * r && far <= 2.0 * r {
                across.push((along, side));
            }
        }
        let longest = arms.iter().copied().fold(0.0, f64::max);
        let alike = arms.len() >= 3 && arms.iter().all(|a| *a >= 0.9 * longest);
        if blades >= 2 {
            return Some("with blades about them");
        }
        if alike || rays >= RAYS {
            return Some("with arms about them");
        }
        let twin = match across[..] {
            [(a, s), (b, t)] => {
                let (turn, t) = (cross(a, b).abs(), if dot(a, b) < 0.0 { -t } else { t });
                turn <= 0.05 && s * t < 0.0 && (s + t).abs() <= ON * r
            }
            _ => false,
        };
        (twin && !through).then_some("with two lines across them, as receptacles are drawn")
    }

    /// Circles of one size on a line that goes on beyond them, or in a narrow box.
    fn heads(&self, loose: &[Loose]) -> Vec<usize> {
        let spots = spots(loose);
        let widest = loose.iter().map(|c| c.radius).fold(0.0, f64::max);
        let mut found = BTreeSet::new();
        for line in &self.all {
            let (Some((low, high)), Some((ends, half))) = (bounds(line.points.iter().copied()), track(line))
            else {
                continue;
            };
            let Some(along) = unit(ends.1 - ends.0) else {
                continue;
            };
            let length = distance(ends.0, ends.1);
            let around = AABB::from_corners(
                [low.x - 2.0 * widest, low.y - 2.0 * widest],
                [high.x + 2.0 * widest, high.y + 2.0 * widest],
            );
            let inside = spots.locate_in_envelope(around).map(|g| g.data).take(MOST_LINES);
            let mut on: Vec<(f64, usize)> = inside
                .filter(|&n| {
                    let (at, r) = (loose[n].at, loose[n].radius);
                    let off = point_to_segment(at, ends.0, ends.1);
                    // In the rail, on it, or beside it.
                    let held = line.closed && contains(&line.points, at);
                    let beside = (off - half - r).abs() <= ON * r;
                    held || off <= 0.3 * r || beside || half > 0.0 && off <= half + r
                })
                .map(|n| (dot(loose[n].at - ends.0, along), n))
                .collect();
            on.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
            let (Some(first), Some(last)) = (on.first(), on.last()) else {
                continue;
            };
            let free = first.0 > loose[first.1].radius && length - last.0 > loose[last.1].radius;
            let close = on.windows(2).all(|w| {
                let step = w[1].0 - w[0].0;
                same(&loose[w[0].1], &loose[w[1].1]) && step <= HEADS && step > loose[w[0].1].radius
            });
            if on.len() >= 2 && free && close {
                found.extend(on.iter().map(|o| o.1));
            }
        }
        found.into_iter().collect()
    }
}

/// Both ends of a straight line, or of the middle of a narrow box, and half its width.
fn track(line: &Line) -> Option<((Coord, Coord), f64)> {
    match (&line.points[..], line.closed) {
        ([a, b], false) => Some(((*a, *b), 0.0)),
        ([a, b, c, d], true) | ([a, b, c, d, _], true) => {
            let (one, other) = (distance(*a, *b), distance(*b, *c));
            let ends = match one >= other {
                true => ((*a + *d) * 0.5, (*b + *c) * 0.5),
                false => ((*a + *b) * 0.5, (*c + *d) * 0.5),
            };
            (one.min(other) <= TRACK).then_some((ends, one.min(other) / 2.0))
        }
        _ => None,
    }
}
