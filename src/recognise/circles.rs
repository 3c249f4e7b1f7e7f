//! Loose circles on light layers that are something else: letters of devices and keynotes in them, arms, blades, bars of
//! globes, heads on a track, the two lines of a receptacle. They are asked about, as squares are.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

mod lines;

use super::classes::{Class, Classes};
use super::devices::kinds::text_middle;
use super::devices::marks::mark;
use super::letters;
use super::round::rounds;
use super::schedule::Schedule;
use super::shape::{distance, finite};
use super::walls;
use crate::flatten::{Flat, Prim};
use crate::length::inches_only;
use crate::note::Note;
use crate::plan::Light;
use lines::Lines;

/// Across, inches: recessed lights as drawn on house plans (common practice).
const ACROSS: std::ops::RangeInclusive<f64> = 2.9..=14.1;
/// Letters stand nearer to the middle than this share of the radius, and run over the circle by no more than this.
const INSIDE: f64 = 0.6;
const OVER: f64 = 1.2;
/// Width of a letter, in heights of it (common practice).
const LETTER: f64 = 0.7;
/// From middle to middle, inches: recessed housings need more room, globes of a bar stand so.
const GLOBES: f64 = 12.5;
/// Of what stands at walls this share does; one or another may stand beside a door.
const AT_WALLS: f64 = 0.7;
/// Sides of a rim that is held against walls.
const SIDES: u32 = 48;
/// What is on a line or a rim, as a share of the radius.
const ON: f64 = 0.15;
/// Lines that are looked at about one circle.
const MOST_LINES: usize = 200;

/// A loose circle.
struct Loose<'a> {
    seen: usize,
    at: Coord,
    radius: f64,
    layer: &'a str,
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
    for n in lines.around_rings(&loose) {
        why.entry(n)
            .or_insert_with(|| "on the rim of a ring, as the lamps of a chandelier are".into());
    }
    for n in at_walls((flat, classes), &lines, &loose, !symbols.is_empty()) {
        why.entry(n)
            .or_insert_with(|| "at a wall's face, and drawn otherwise than the lights amid the rooms".into());
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

/// Circles that touch a wall's face, or whose lines do, and are drawn otherwise than the lights that touch none: of another size, with
/// other lines in them, or beside lights that are `blocks`. Receptacles and sconces stand so.
fn at_walls((flat, classes): (&Flat, &Classes), lines: &Lines, loose: &[Loose], blocks: bool) -> Vec<usize> {
    let faces = walls::Faces::new(flat, classes);
    let drawn = |circle: &Loose| {
        let corner = |k: u32| {
            let (y, x) = (f64::from(k) * std::f64::consts::TAU / f64::from(SIDES)).sin_cos();
            circle.at + Coord { x, y } * circle.radius
        };
        let marks = lines.marks(circle).flatten().copied();
        (0..SIDES).map(corner).chain(marks).collect::<Vec<_>>()
    };
    let figure = |circle: &Loose| (lines.marks(circle).count(), (circle.radius * 16.0).round() as i64);
    let mut figures: BTreeMap<(usize, i64), Vec<(usize, bool)>> = BTreeMap::new();
    for (n, circle) in loose.iter().enumerate() {
        figures
            .entry(figure(circle))
            .or_default()
            .push((n, faces.touch(&drawn(circle))));
    }
    let stands = |all: &Vec<(usize, bool)>| {
        let touching = all.iter().filter(|c| c.1).count();
        touching as f64 >= AT_WALLS * all.len() as f64
    };
    let known = blocks || figures.values().any(|all| !stands(all));
    (figures.into_values().filter(|all| known && stands(all)))
        .flatten()
        .map(|(n, _)| n)
        .collect()
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
