//! Other things in the ceiling: diffusers, alarms, sprinklers, fans, panels, ducts, the edges of soffits, and
//! fixtures on light layers that are no recessed lights.
//!
//! Loose lines of a device are put together in [`loose`].

use std::collections::BTreeMap;

use geo::Coord;

use super::classes::{Claim, Class, Classes};
use super::evidence::says_nothing;
use super::legend::Seeker;
use super::shape::{bounds, chords, hull, left_of, rectangle, unit};
use super::tolerance::{APERTURE, LARGEST_DEVICE, LARGEST_SYMBOL, SHORTEST_FACE};
use crate::flatten::{Flat, Prim, Symbol};
use crate::length::feet_inches;
use crate::note::Note;
use crate::plan::Obstacle;
use crate::rules::line::with;
use crate::rules::{Patterns, Rules, fixtures, listed};

pub mod forms;
pub mod kinds;
mod loose;
pub mod marks;
pub mod soffits;

use kinds::{Letters, look};
pub use loose::clusters;

/// What is lower than the ceiling around it, or higher. Lights may stand in it, so only its edges are in the way.
pub(super) const LOWERED: &str =
    "SOFFIT SOFFITS SOFF BULKHEAD BULKHEADS FURRDOWN FURRDOWNS FURR_DOWN FURR_DOWNS FURDOWN FURDOWNS
    FUR_DOWN COFFER COFFERS TRAY_CEILING TRAY_CEILINGS TRAY_CLG CLG_TRAY CLNG_TRAY CEILING_TRAY =TRAY =TRAYS";
/// Half of what an edge takes up: one two-by, 1 1/2 in (PS 20).
const HALF_EDGE: f64 = 0.75;
/// Most names that a note lists.
const MOST_NAMES: usize = 8;

/// One obstacle for each outermost INSERT of the class, and one for each device drawn loose.
pub fn devices(
    flat: &Flat,
    classes: &Classes,
    rules: &Rules,
    claims: &mut [Claim],
    notes: &mut Vec<Note>,
) -> Vec<Obstacle> {
    let (ceiling, lowered) = (at_the_ceiling(), listed(LOWERED));
    let letters = classes.of.contains(&Class::Device).then(|| Letters::new(flat));
    let called = |name: &str, symbol: Option<&Symbol>, items: &[usize]| match &letters {
        _ if symbol.is_some_and(|s| classes.words(s).is_some()) => {
            let words = symbol.and_then(|s| classes.words(s)).map_or("", |w| w);
            format!("{words} ({name})")
        }
        Some(letters) => called(flat, letters, name, symbol, items),
        None => name.to_string(),
    };
    let mut found: Vec<(usize, Obstacle)> = Vec::new();
    let mut apart: BTreeMap<(&str, bool), usize> = BTreeMap::new();
    for (i, item) in flat.items.iter().enumerate() {
        let Prim::Symbol(symbol) = &item.prim else {
            continue;
        };
        if claims[i] != Claim::None || !item.visible {
            continue;
        }
        let device = classes.of[i] == Class::Device;
        if !device && !no_recessed_light(flat, classes, i, symbol) {
            continue;
        }
        let names = [&*symbol.true_name, &*symbol.block];
        let obstructs = device || obstructs(&ceiling, symbol);
        let lowering = names.iter().any(|n| lowered.block_matches(n)) || lowered.layer_matches(&item.layer);
        let content = match !lowering && obstructs && is_one_symbol(flat, classes, i) {
            true => shown(flat, classes, i),
            false => content(flat, classes, i),
        };
        let points: Vec<Coord> = content
            .iter()
            .filter_map(|&c| chords(&flat.items[c].prim))
            .flat_map(|(points, _)| points)
            .collect();
        let of_its_own = |c: &usize| classes.of[*c] == Class::Device;
        if device && is_large(&points) && content.iter().any(of_its_own) {
            // A block that holds many devices: what is in it is looked at by itself.
            claims[i] = Claim::Device;
            continue;
        }
        let claim = match obstructs {
            true => Claim::Device,
            false => Claim::LightLinework,
        };
        claims[i] = claim;
        content.iter().for_each(|&c| claims[c] = claim);
        if !device && !classes.asked_about(symbol) {
            *apart.entry((&symbol.true_name, obstructs)).or_insert(0) += 1;
        }
        if !obstructs {
            continue;
        }
        let name = match classes.called_one(i) {
            Some(name) => name.to_string(),
            None => called(&symbol.true_name, Some(symbol), &content),
        };
        if lowering {
            let drawn = content.iter().filter_map(|&c| chords(&flat.items[c].prim));
            drawn.for_each(|(points, closed)| edges(&mut found, i, &name, &points, closed));
        } else {
            let outline = hull(&points);
            if outline.len() >= 3 {
                found.push((i, Obstacle { name, outline }));
            }
        }
    }
    let free: Vec<usize> = (0..flat.items.len())
        .filter(|&i| classes.of[i] == Class::Device && claims[i] == Claim::None && flat.items[i].visible)
        .collect();
    let (mut rest, mut round) = (Vec::new(), Vec::new());
    for i in free {
        let Some((points, closed)) = chords(&flat.items[i].prim) else {
            continue;
        };
        claims[i] = Claim::Device;
        let layer = &flat.items[i].layer;
        if lowered.layer_matches(layer) {
            if let Prim::Circle { center, radius } = flat.items[i].prim
                && !edged(&points)
                && APERTURE.contains(&(2.0 * radius))
            {
                round.push((i, center, radius));
            }
            edges(&mut found, i, layer, &points, closed);
        } else {
            rest.push(loose::Piece::new(flat, i, points, closed));
        }
    }
    found.extend(loose::put_together(
        rest,
        &|name, items| match items.iter().find_map(|&i| classes.called_one(i)) {
            Some(name) => name.to_string(),
            None => called(name, None, items),
        },
        notes,
    ));
    soffits::round(flat, &round, rules, notes);
    tell(&apart, rules, notes);
    leave_legends(flat, classes, &mut found, notes);
    found.sort_by_key(|f| f.0);
    fitting(found.into_iter().map(|f| f.1).collect(), notes)
}

/// Less what is no device for its size, which is told of.
fn fitting(found: Vec<Obstacle>, notes: &mut Vec<Note>) -> Vec<Obstacle> {
    let mut large: BTreeMap<String, (usize, f64)> = BTreeMap::new();
    let mut kept = Vec::new();
    for device in found {
        let (_, width) = rectangle(&device.outline);
        if width > LARGEST_DEVICE {
            let (count, widest) = large.entry(device.name).or_insert((0, 0.0));
            *count += 1;
            *widest = widest.max(width);
        } else {
            kept.push(device);
        }
    }
    for (name, (count, widest)) in large {
        let (is, it) = if count == 1 {
            ("is", "it is")
        } else {
            ("are", "they are")
        };
        notes.push(Note::warning(
            "device-large",
            format!(
                "{count} device(s) {name} {is} up to {} across both ways, more than any device: no light is held \
                 clear of what may be a mistake in the drawing; draw {it_at} true size, or name {name} under [read] \
                 ignore in bayline.toml if {it} none",
                feet_inches(widest),
                it_at = if count == 1 { "it at its" } else { "them at their" },
            ),
        ));
    }
    kept
}

/// Takes out what explains the drawing in a legend.
fn leave_legends(flat: &Flat, classes: &Classes, found: &mut Vec<(usize, Obstacle)>, notes: &mut Vec<Note>) {
    let place = |o: &Obstacle| {
        let (low, high) = bounds(o.outline.iter().copied())?;
        let long = (high.x - low.x).max(high.y - low.y);
        (long <= LARGEST_IN_LEGEND).then(|| ((low + high) * 0.5, long / 2.0))
    };
    let nowhere = (
        Coord {
            x: f64::NAN,
            y: f64::NAN,
        },
        f64::NAN,
    );
    let places: Vec<(Coord, f64)> = found.iter().map(|f| place(&f.1).unwrap_or(nowhere)).collect();
    if found.is_empty() {
        return;
    }
    let left = Seeker::new(flat, classes).legends(&places).left;
    let count = left.iter().flatten().count();
    let mut kept = left.iter().map(Option::is_none);
    found.retain(|_| kept.next().unwrap_or(true));
    if count > 0 {
        notes.push(Note::info(
            "legend-devices",
            format!("{count} symbol(s) of ceiling devices explain the drawing in a legend and are in nothing's way"),
        ));
    }
}

/// Across, inches: what is larger is no symbol.
const LARGEST_IN_LEGEND: f64 = 105.0;

/// Which fixtures on light layers take up room at the ceiling. Others that are no recessed lights hang on walls, stand
/// on floors, or are switches.
pub fn at_the_ceiling() -> Patterns {
    listed(fixtures::AT_THE_CEILING)
}

/// Whether a fixture that is no recessed light takes up room at the ceiling, by [`at_the_ceiling`].
pub fn obstructs(ceiling: &Patterns, symbol: &Symbol) -> bool {
    ceiling.block_matches(&symbol.true_name) || ceiling.block_matches(&symbol.block)
}

/// What findings call a device: by its name, and where that says nothing by its letters or its shape first.
fn called(flat: &Flat, letters: &Letters, name: &str, symbol: Option<&Symbol>, items: &[usize]) -> String {
    let seen = says_nothing(name)
        .then(|| look(flat, letters, symbol, items))
        .flatten();
    match seen.and_then(|l| l.kind()) {
        Some(kind) => format!("{kind} ({name})"),
        None => name.to_string(),
    }
}

/// Whether a built-in word says that an INSERT among the lights is no recessed light. One of no class of its own is
/// among them where something in it is.
fn no_recessed_light(flat: &Flat, classes: &Classes, i: usize, symbol: &Symbol) -> bool {
    if !classes.no_recessed_light(symbol) {
        return false;
    }
    match classes.of[i] {
        Class::Light => true,
        Class::Other => {
            let inside = classes.all_inside(i);
            let points = inside.iter().filter_map(|&c| chords(&flat.items[c].prim));
            let small = !is_large(&points.flat_map(|(points, _)| points).collect::<Vec<_>>());
            let lit = |&&c: &&usize| classes.of[c] == Class::Light && flat.items[c].visible;
            small && inside.iter().any(|c| lit(&c))
        }
        _ => false,
    }
}

/// Across, inches: a fan of 60 in with its light, a chandelier. What is larger may hold lights of their own.
const ONE_SYMBOL: f64 = 72.0;

/// Whether all that an INSERT shows is of one thing's size: lamps in it are its own.
fn is_one_symbol(flat: &Flat, classes: &Classes, i: usize) -> bool {
    let all = shown(flat, classes, i);
    let points = all
        .iter()
        .filter_map(|&c| chords(&flat.items[c].prim))
        .flat_map(|(points, _)| points);
    bounds(points).is_some_and(|(low, high)| (high.x - low.x).max(high.y - low.y) <= ONE_SYMBOL)
}

/// All that an INSERT shows.
fn shown(flat: &Flat, classes: &Classes, i: usize) -> Vec<usize> {
    let inside = classes.all_inside(i).into_iter();
    inside.filter(|&c| flat.items[c].visible).collect()
}

/// What an INSERT shows, less recessed lights in it and what they are made of.
fn content(flat: &Flat, classes: &Classes, i: usize) -> Vec<usize> {
    let mut found = Vec::new();
    let mut open: Vec<usize> = classes.inside[i].iter().rev().copied().collect();
    while let Some(c) = open.pop() {
        if let Prim::Symbol(s) = &flat.items[c].prim
            && classes.called_light(s)
        {
            continue;
        }
        if flat.items[c].visible {
            found.push(c);
        }
        open.extend(classes.inside[c].iter().rev());
    }
    found
}

/// Too large in both directions for one symbol.
fn is_large(points: &[Coord]) -> bool {
    bounds(points.iter().copied())
        .is_some_and(|(low, high)| (high.x - low.x).min(high.y - low.y) > LARGEST_SYMBOL)
}

/// Whether any side is long enough to be one by itself.
fn edged(points: &[Coord]) -> bool {
    points
        .windows(2)
        .any(|w| super::shape::distance(w[0], w[1]) >= SHORTEST_FACE)
}

/// Each side of a lowered part, as thick as the framing of its edge.
fn edges(found: &mut Vec<(usize, Obstacle)>, item: usize, name: &str, points: &[Coord], closed: bool) {
    let back = points.first().copied().filter(|_| closed);
    let ends = points.iter().copied().skip(1).chain(back);
    // The sides of a curve are short, each of them.
    let least = if edged(points) { SHORTEST_FACE } else { 0.0 };
    for (a, b) in points.iter().copied().zip(ends) {
        let Some(along) = unit(b - a).filter(|_| super::shape::distance(a, b) >= least) else {
            continue;
        };
        let side = left_of(along) * HALF_EDGE;
        found.push((
            item,
            Obstacle {
                name: name.to_string(),
                outline: vec![a - side, b - side, b + side, a + side],
            },
        ));
    }
}

/// Says what on light layers was not taken for recessed lights.
fn tell(apart: &BTreeMap<(&str, bool), usize>, rules: &Rules, notes: &mut Vec<Note>) {
    let all: usize = apart.values().sum();
    if all == 0 {
        return;
    }
    let mut names: Vec<String> = apart
        .iter()
        .take(MOST_NAMES)
        .map(|((name, obstructs), count)| {
            let what = if *obstructs { "kept clear of" } else { "left alone" };
            format!("{count} {name} ({what})")
        })
        .collect();
    if apart.len() > MOST_NAMES {
        names.push(format!("{} more kinds", apart.len() - MOST_NAMES));
    }
    let blocks: Vec<&str> = apart.keys().take(MOST_NAMES).map(|(name, _)| *name).collect();
    let are = if all == 1 { "symbol is" } else { "symbols are" };
    notes.push(Note::info(
        "not-recessed",
        format!(
            "{all} {are} named as no recessed lights though on light layers: {}; those that are recessed \
             lights go under [read] in bayline.toml: {}",
            names.join(", "),
            with("lights", &rules.read.lights, &[], &blocks)
        ),
    ));
}
