//! Symbols on light layers whose form or place is not a recessed light's: bars longer than any aperture, and symbols that
//! stand against walls. They are asked about. Where two kinds of unlike size are left and no name tells them apart, a note says so.
//!
//! Common practice: a housing's aperture is up to 14 in across and its middle further from a wall than its own half width;
//! sconces and bath bars are drawn at the wall they hang on.

use std::collections::BTreeMap;
use std::sync::Arc;

use geo::Coord;

use super::classes::{Class, Classes};
use super::lights::is_small;
use super::round::rounds;
use super::shape::{chords, dot, left_of, unit};
use super::strangers::scheduled;
use super::tolerance::APERTURE;
use super::walls;
use crate::flatten::{Flat, Prim, Symbol};
use crate::length::inches_only;
use crate::note::Note;
use crate::rules::Rules;
use crate::rules::line::with_block;

/// How oblong a bar is at least, where it is longer than any aperture.
const OBLONG: f64 = 2.0;
/// So many times as large is another kind.
const UNLIKE: f64 = 1.25;

/// The symbols of one block.
struct Kind<'a> {
    first: usize,
    symbol: &'a Symbol,
    count: usize,
    at_walls: usize,
    /// Longest and shortest side of its first symbol, along and across its own axes, inches.
    long: f64,
    short: f64,
    /// A circle of an aperture's size makes a light of a longer symbol: what sticks out are its bars.
    aperture: bool,
    /// A mark of the schedule in an attribute, or the name of a luminaire.
    scheduled: bool,
    /// Its name is that of a recessed light, not of any.
    downlight: bool,
}

/// What any light is called.
const ANY: [&str; 18] = [
    "LIGHT",
    "LIGHTS",
    "LITE",
    "LITES",
    "LT",
    "LTS",
    "LTG",
    "LTNG",
    "LIGHTING",
    "LUM",
    "LUMINAIRE",
    "LUMINAIRES",
    "LED",
    "FIXTURE",
    "FIXTURES",
    "ALL",
    "TYP",
    "TYPICAL",
];

/// Sets apart what is no recessed light by its form or its place, and says what of the rest is unlike. What the rules'
/// own patterns say is a light is one.
pub fn set_apart(flat: &Flat, classes: &mut Classes, rules: &Rules, notes: &mut Vec<Note>) {
    if rules.read.lights.given {
        return;
    }
    let kinds = kinds(flat, classes, rules);
    let mut apart: Vec<(Arc<str>, usize, String)> = Vec::new();
    for (block, kind) in kinds.iter().filter(|(_, k)| !k.scheduled) {
        let layer = &flat.items[kind.first].layer;
        let called = match *kind.symbol.true_name == **block {
            true => String::new(),
            false => format!(" (of {})", kind.symbol.true_name),
        };
        let why = if kind.long > *APERTURE.end() && kind.long >= OBLONG * kind.short && !kind.aperture {
            format!(
                "is {} long and {} wide, as no recessed light is",
                inches_only(sixteenth(kind.long)),
                inches_only(sixteenth(kind.short)),
            )
        } else if kind.at_walls == kind.count && (kind.count >= 2 || !kind.downlight) && kinds.len() > 1 {
            format!(
                "stands against a wall each time ({}), as no recessed light can",
                kind.count
            )
        } else {
            continue;
        };
        let line = |class: Class| {
            let (key, patterns) = class.section(&rules.read);
            with_block(key, patterns, block)
        };
        let name_it = format!(
            "write under [read] in bayline.toml {} if it is, {} if lights keep clear of it, or {}",
            line(Class::Light),
            line(Class::Device),
            line(Class::Ignore)
        );
        let message =
            format!("block {block}{called} on light layer {layer} {why}: it is not taken for one; {name_it}");
        apart.push((block.clone(), kind.first, message));
    }
    let gone: Vec<&Arc<str>> = apart.iter().map(|(block, ..)| block).collect();
    let left = kinds.iter().filter(|(block, _)| !gone.contains(block));
    if let Some(note) = unlike(flat, &left.collect::<Vec<_>>()) {
        notes.push(note);
    }
    for (block, i, message) in apart {
        classes.set_apart(&block);
        notes.push(Note::warning("evidence-asks", message).at(flat.place(i)));
    }
}

/// Kinds of unlike size, one of which neither its name nor the schedule calls a recessed light.
fn unlike(flat: &Flat, kinds: &[(&Arc<str>, &Kind)]) -> Option<Note> {
    let plain: Vec<&(&Arc<str>, &Kind)> = kinds.iter().filter(|(_, k)| !k.scheduled).collect();
    let differ = |a: &Kind, b: &Kind| a.long.max(b.long) >= UNLIKE * a.long.min(b.long);
    let odd = |a: &Kind| !a.downlight && plain.iter().any(|(_, b)| differ(a, b));
    if !plain.iter().any(|(_, k)| odd(k)) {
        return None;
    }
    let said: Vec<String> = (plain.iter())
        .map(|(block, k)| format!("{block} ({}, {} across)", k.count, inches_only(sixteenth(k.long))))
        .collect();
    let message = format!(
        "symbols of unlike size are taken for recessed lights, and nothing tells them apart: {}; if one of them is another \
         fixture, name it under [read] in bayline.toml as one of more_blocks of devices or ignore",
        said.join(", "),
    );
    let first = plain.iter().map(|(_, k)| k.first).min()?;
    Some(Note::warning("lights-unlike", message).at(flat.place(first)))
}

fn kinds<'a>(flat: &'a Flat, classes: &Classes, rules: &Rules) -> BTreeMap<Arc<str>, Kind<'a>> {
    let faces = walls::Faces::new(flat, classes);
    let mut kinds: BTreeMap<Arc<str>, Kind> = BTreeMap::new();
    let mut small: BTreeMap<usize, bool> = BTreeMap::new();
    for (i, item) in flat.items.iter().enumerate() {
        let Prim::Symbol(symbol) = &item.prim else {
            continue;
        };
        if classes.of[i] != Class::Light || !item.visible || classes.no_recessed_light(symbol) {
            continue;
        }
        // What the rules add is a light, and says nothing of the others.
        if classes.only_more(i) || classes.more_lights(symbol, rules) {
            continue;
        }
        let mut is_one = |w| *small.entry(w).or_insert_with(|| is_small(flat, classes, w));
        let part = item.within.filter(|&w| w < i).is_some_and(&mut is_one);
        if part || !is_one(i) {
            continue;
        }
        let inside = classes.all_inside(i);
        let points: Vec<Coord> = (inside.iter())
            .filter(|&&c| flat.items[c].visible)
            .filter_map(|&c| chords(&flat.items[c].prim))
            .flat_map(|(points, _)| points)
            .collect();
        let along = unit(symbol.x_axis).unwrap_or(Coord { x: 1.0, y: 0.0 });
        let Some((low, high)) = super::shape::bounds(points.iter().map(|p| Coord {
            x: dot(*p - symbol.at, along),
            y: dot(*p - symbol.at, left_of(along)),
        })) else {
            continue;
        };
        let touches = faces.touch(&points);
        let kind = kinds.entry(symbol.block.clone()).or_insert_with(|| {
            let (w, h) = (high.x - low.x, high.y - low.y);
            let round = rounds(flat, &inside);
            Kind {
                first: i,
                symbol,
                count: 0,
                at_walls: 0,
                long: w.max(h),
                short: w.min(h),
                aperture: round.iter().any(|r| APERTURE.contains(&(2.0 * r.radius))),
                scheduled: true,
                downlight: classes.called_light(symbol) && !only_any(&symbol.true_name),
            }
        });
        kind.count += 1;
        kind.at_walls += usize::from(touches);
        kind.scheduled &= scheduled(symbol, rules);
    }
    kinds
}

/// Whether all words of a name are those of any light, or say nothing.
fn only_any(name: &str) -> bool {
    let words = name.split(|c: char| !c.is_alphabetic()).filter(|w| !w.is_empty());
    words
        .map(str::to_uppercase)
        .all(|w| ANY.contains(&&*w) || w.chars().count() == 1)
}

fn sixteenth(length: f64) -> f64 {
    (length * 16.0).round() / 16.0
}
