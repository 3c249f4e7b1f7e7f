//! Names for what is drawn loose, as blocks have them, so that a rules file can answer for it.
//!
//! A circle of 5 in on layer `E-LITE` is called `E-LITE:circle 5`, one with SD written in it `E-LITE:circle 5 SD`, a square
//! `E-LITE:square 6`, another figure of loose lines `E-LITE:figure 8 x 4`; a symbol of the block `CLG` with a P in it or beside it
//! is `CLG:P`. Sizes are inches to a sixteenth. No layer and no block has a colon in its name. Questions give lines with these names;
//! what the rules list under lights is one, what they list under devices is kept clear of, what they ignore is left alone.

use std::collections::BTreeSet;

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::classes::{Class, Classes};
use super::devices::kinds::text_middle;
use super::round::{Round, rounds};
use super::shape::{distance, finite};
use super::{figures, squares};
use crate::flatten::{Flat, Prim};
use crate::length::inches_only;
use crate::rules::line::with;
use crate::rules::{Patterns, ReadRules, Rules};

/// Letters stand nearer to the middle than this share of the radius, and run over the rim by no more than this.
const INSIDE: f64 = 0.6;
const OVER: f64 = 1.2;
/// Width of a letter, in heights of it (common practice).
const LETTER: f64 = 0.7;

/// What is written, to be found by where it stands.
pub struct Writing<'a> {
    flat: &'a Flat,
    spots: RTree<GeomWithData<[f64; 2], usize>>,
}

impl<'a> Writing<'a> {
    pub fn new(flat: &'a Flat) -> Writing<'a> {
        let texts = (flat.items.iter().enumerate()).filter(|(_, item)| item.visible);
        let spots = texts.filter_map(|(i, item)| {
            let at = text_middle(&item.prim)?;
            Some(GeomWithData::new([at.x, at.y], i))
        });
        Writing {
            flat,
            spots: RTree::bulk_load(spots.collect()),
        }
    }

    /// What is written in a round shape's middle.
    pub fn letters(&self, at: Coord, radius: f64) -> Option<String> {
        let at = Some(at).filter(|p| finite(*p))?;
        let near = self.spots.nearest_neighbor([at.x, at.y])?;
        let [x, y] = *near.geom();
        let Prim::Text { text, height, .. } = &self.flat.items[near.data].prim else {
            return None;
        };
        let text = text.trim();
        let long = LETTER * height * text.chars().count() as f64;
        let inside = distance(Coord { x, y }, at) <= INSIDE * radius && long <= 2.0 * OVER * radius;
        (inside && !text.is_empty()).then(|| text.split_whitespace().collect::<Vec<_>>().join(" "))
    }

    /// The name of a loose circle.
    pub fn circle(&self, layer: &str, at: Coord, radius: f64) -> String {
        self.shape(layer, "circle", &inches_only(2.0 * radius), (at, radius))
    }

    /// The name of a loose square.
    pub fn square(&self, square: &Round) -> String {
        let layer = &self.flat.items[square.item].layer;
        let size = inches_only(2.0 * square.radius);
        self.shape(layer, "square", &size, (square.center, square.radius))
    }

    /// The name of another figure, `long` by `short` inches.
    pub fn figure(&self, figure: &Round, long: f64, short: f64) -> String {
        let layer = &self.flat.items[figure.item].layer;
        let size = format!("{} x {}", inches_only(long), inches_only(short));
        self.shape(layer, "figure", &size, (figure.center, short / 2.0))
    }

    fn shape(&self, layer: &str, shape: &str, size: &str, (at, radius): (Coord, f64)) -> String {
        let size = size.replace('"', "");
        match self.letters(at, radius) {
            Some(letters) => format!("{layer}:{shape} {size} {letters}"),
            None => format!("{layer}:{shape} {size}"),
        }
    }
}

/// The name of a block's symbol with letters.
pub fn lettered(block: &str, letters: &str) -> String {
    format!("{block}:{letters}")
}

/// What the rules file says that something of such a name is.
pub fn ruled(read: &ReadRules, name: &str) -> Option<Class> {
    let by = |p: &Patterns| p.block_ruled(name).is_some();
    [
        (Class::Ignore, &read.ignore),
        (Class::Light, &read.lights),
        (Class::Device, &read.devices),
    ]
    .into_iter()
    .find(|(_, p)| speaks(p) && by(p))
    .map(|(class, _)| class)
}

/// Whether any pattern is of such a name: `*` is of blocks.
fn speaks(patterns: &Patterns) -> bool {
    patterns.ruled_blocks().any(|p| p.contains(':'))
}

/// The lines that answer for what has these names.
pub fn answers(rules: &Rules, names: &BTreeSet<String>) -> String {
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let line = |class: Class| {
        let (key, patterns) = class.section(&rules.read);
        with(key, patterns, &[], &names)
    };
    format!(
        "write under [read] in bayline.toml {} if they are recessed lights, {} if lights keep clear of them, or {} if they are neither",
        line(Class::Light),
        line(Class::Device),
        line(Class::Ignore)
    )
}

/// Gives what is drawn loose on layers of lights and of devices the class that the rules file says by such a name.
pub fn settle(flat: &Flat, classes: &mut Classes, rules: &Rules) {
    let read = &rules.read;
    if !speaks(&read.devices) && !speaks(&read.ignore) && !speaks(&read.lights) {
        return;
    }
    let free: Vec<usize> = (0..flat.items.len())
        .filter(|&i| matches!(classes.of[i], Class::Light | Class::Device) && flat.items[i].visible)
        .filter(|&i| flat.items[i].within.is_none_or(|w| classes.of[w] != Class::Light))
        .collect();
    let writing = Writing::new(flat);
    let round = rounds(flat, &free);
    let mut named: Vec<(String, Vec<usize>)> = Vec::new();
    for square in squares::all(flat, &free, &round) {
        named.push((writing.square(&square), square.parts));
    }
    for (figure, long, short) in figures::all(flat, &free, &round) {
        named.push((writing.figure(&figure, long, short), figure.parts));
    }
    for circle in round {
        let layer = &flat.items[circle.item].layer;
        named.push((writing.circle(layer, circle.center, circle.radius), circle.parts));
    }
    for (name, parts) in named {
        if let Some(class) = ruled(read, &name) {
            parts.iter().for_each(|&i| classes.of[i] = class);
        }
    }
}
