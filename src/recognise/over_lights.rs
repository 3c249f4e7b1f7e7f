//! Symbols under unknown names that are drawn right over lights: an attic hatch, a camera, a skylight, or a table.
//!
//! Names that are known to be at the ceiling are obstacles, and known furniture is ignored. What is left is told of where
//! a light stands in it, with a warning where its name speaks of ceilings, air, fire or wires.

use std::collections::BTreeMap;

use geo::Coord;
use rstar::primitives::GeomWithData;
use rstar::{AABB, RTree};

use super::classes::{Claim, Class, Classes};
use super::clouds::{are_cloud, is_cloud};
use super::devices::clusters;
use super::shape::{area, bounds, chords, finite, hull};
use super::tags::lights_are;
use crate::flatten::{Flat, Prim};
use crate::note::{Level, Note};
use crate::plan::Light;
use crate::rules::{Rules, listed};

/// Across a symbol, inches.
const ACROSS: std::ops::RangeInclusive<f64> = 3.0..=60.0;
/// What loose lines close about: so much of their box.
const FILLS: f64 = 0.6;
/// A layer with more on it holds patterns.
const MOST: usize = 2_000;
/// Words of what may hang at a ceiling, or not: FP is a fireplace and fire protection, CO an alarm and a cleanout (common
/// practice).
const MAY_BE: &str = "
    ATTIC MECH MECHANICAL FP CO CAMERA CAMERAS CCTV SECURITY SECU SCTY AV A_V AUDIO VIDEO SOUND CLNG CEILING CEILINGS CLG
    LIFT LIFTS SENSOR SENSORS WIFI WAP TELE TELECOM COMM DATA LOWV LOW_VOLTAGE ALARM ALARMS DETECTOR DETECTORS VENT VENTS
    TUBULAR SUN_TUBE AIR AIRFLOW PLENUM HATCH_DOOR LADDER";

/// Notes on layers and blocks with symbols that lights stand in.
pub fn told(
    flat: &Flat,
    (classes, claims): (&Classes, &[Claim]),
    lights: &[Light],
    rules: &Rules,
    notes: &mut Vec<Note>,
) {
    if rules.read.devices.given || lights.is_empty() {
        return;
    }
    let free = |i: usize| {
        let item = &flat.items[i];
        item.visible
            && claims[i] == Claim::None
            && classes.of[i] == Class::Other
            && !item.leads()
            && !is_cloud(&item.prim)
    };
    let may_be = listed(MAY_BE);
    let spots = RTree::bulk_load(
        (lights.iter().enumerate())
            .filter(|(_, l)| finite(l.at))
            .map(|(l, light)| GeomWithData::new([light.at.x, light.at.y], l))
            .collect(),
    );
    let mut loose: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    let mut found: BTreeMap<(&str, bool), (usize, Vec<usize>)> = BTreeMap::new();
    let mut add = |name, block, over: Vec<usize>| {
        let entry = found.entry((name, block)).or_default();
        entry.0 += 1;
        entry.1.extend(over);
    };
    for (i, item) in flat.items.iter().enumerate().filter(|(i, _)| free(*i)) {
        match &item.prim {
            Prim::Symbol(symbol) if item.within.is_none() => {
                let inside = classes.all_inside(i);
                if !inside.iter().all(|&c| free(c) || !flat.items[c].visible) {
                    continue;
                }
                let over = over(flat, &inside, &spots);
                if !over.is_empty() {
                    match may_be.block_matches(&symbol.true_name) {
                        true => add(&*symbol.true_name, true, over),
                        false => add(&*item.layer, false, over),
                    }
                }
            }
            Prim::Symbol(_) | Prim::Text { .. } => {}
            _ if item.within.is_none() && size(flat, &[i]).is_some_and(|s| s <= *ACROSS.end()) => {
                loose.entry(&*item.layer).or_default().push(i);
            }
            _ => {}
        }
    }
    for (layer, items) in loose.into_iter().filter(|(_, items)| items.len() <= MOST) {
        for group in clusters(flat, &items).unwrap_or_default() {
            let over = over(flat, &group, &spots);
            if !over.is_empty() && closes(flat, &group) && !are_cloud(flat, &group) {
                add(layer, false, over);
            }
        }
    }
    for ((name, block), (count, mut over)) in found {
        over.sort_unstable();
        over.dedup();
        let (what, named) = match block {
            true => ("block", true),
            false => ("layer", may_be.layer_matches(name)),
        };
        let level = if named { Level::Warning } else { Level::Info };
        notes.push(Note::new(
            level,
            "over-lights",
            format!(
                "{count} symbol(s) of {what} {name} are drawn where {} and are taken for nothing at the ceiling: name it under \
                 [read] devices in bayline.toml if lights keep clear of it, or under ignore if not",
                lights_are(&over).replace(" are", " stand").replace(" is", " stands")
            ),
        ));
    }
}

fn size(flat: &Flat, items: &[usize]) -> Option<f64> {
    let drawn = items.iter().filter_map(|&i| chords(&flat.items[i].prim));
    let (low, high) = bounds(drawn.flat_map(|(points, _)| points))?;
    Some((high.x - low.x).max(high.y - low.y))
}

/// The lights that stand in what some items draw, where that is of a symbol's size.
fn over(flat: &Flat, items: &[usize], spots: &RTree<GeomWithData<[f64; 2], usize>>) -> Vec<usize> {
    let drawn =
        (items.iter().filter(|&&i| flat.items[i].visible)).filter_map(|&i| chords(&flat.items[i].prim));
    let Some((low, high)) = bounds(drawn.flat_map(|(points, _)| points)) else {
        return Vec::new();
    };
    let size = high - low;
    if !(ACROSS.contains(&size.x) && ACROSS.contains(&size.y)) {
        return Vec::new();
    }
    let within = AABB::from_corners([low.x, low.y], [high.x, high.y]);
    spots.locate_in_envelope(within).map(|g| g.data).collect()
}

/// Whether loose lines close about something, as a symbol's do and a leader's do not.
fn closes(flat: &Flat, items: &[usize]) -> bool {
    let drawn: Vec<(Vec<Coord>, bool)> = items
        .iter()
        .filter_map(|&i| chords(&flat.items[i].prim))
        .collect();
    if drawn.iter().any(|(_, closed)| *closed) {
        return true;
    }
    let points: Vec<Coord> = drawn.into_iter().flat_map(|(points, _)| points).collect();
    let Some((low, high)) = bounds(points.iter().copied()) else {
        return false;
    };
    items.len() >= 3 && area(&hull(&points)).abs() >= FILLS * (high.x - low.x) * (high.y - low.y)
}
