//! Names for what is drawn loose, as blocks have them, so that a rules file can answer for it.
//!
//! A circle of 5 in on layer `E-LITE` is called `E-LITE:circle 5`, one with SD written in it `E-LITE:circle 5 SD`, one with blades about it,
//! where others of its size have none, `E-LITE:circle 5 (blades)`, a square `E-LITE:square 6`, another figure of loose lines
//! `E-LITE:figure 8 x 4`; a symbol of the block `CLG` with a P in it or beside it is `CLG:P`. Sizes are inches to a sixteenth. No layer and no block has a colon in its name. Questions give lines with these names;
//! what the rules list under lights is one, what they list under devices is kept clear of, what they ignore is left alone.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::classes::{Class, Classes};
use super::devices::kinds::text_middle;
use super::round::{Round, rounds};
use super::shape::{distance, finite};
use super::tolerance::{LARGEST_LIGHT_RADIUS, SAME_RADIUS, SMALLEST_LIGHT_RADIUS};
use super::{circles, figures, squares};
use crate::flatten::{Flat, Prim};
use crate::length::inches_only;
use crate::rules::line::with;
use crate::rules::{Patterns, ReadRules, Rules};

/// Letters stand nearer to the middle than this share of the radius, and run over the rim by no more than this.
const INSIDE: f64 = 0.6;
const OVER: f64 = 1.2;
/// Width of a letter, in heights of it (common practice).
const LETTER: f64 = 0.7;

/// Circles looked at about one that may be in them.
const MOST_AROUND: usize = 64;

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
    .find(|(_, p)| names(p) && by(p))
    .map(|(class, _)| class)
}

/// Whether the rules have such names at all.
pub fn speaks(read: &ReadRules) -> bool {
    [&read.ignore, &read.lights, &read.devices].into_iter().any(names)
}

/// Whether any pattern is of such a name: `*` is of blocks.
fn names(patterns: &Patterns) -> bool {
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
    if !speaks(read) {
        return;
    }
    for class in [Class::Light, Class::Device] {
        let free: Vec<usize> = (0..flat.items.len())
            .filter(|&i| classes.of[i] == class && flat.items[i].visible)
            .filter(|&i| flat.items[i].within.is_none_or(|w| classes.of[w] != Class::Light))
            .collect();
        settle_among(flat, classes, rules, &free);
    }
}

/// The same among some items, seen as they are where lights are sought.
fn settle_among(flat: &Flat, classes: &mut Classes, rules: &Rules, free: &[usize]) {
    let read = &rules.read;
    let writing = Writing::new(flat);
    let round = rounds(flat, free);
    let usual = |r: &&Round| (SMALLEST_LIGHT_RADIUS..=LARGEST_LIGHT_RADIUS).contains(&r.radius);
    let mut known: Vec<Round> = round.iter().filter(usual).cloned().collect();
    let mut named: Vec<(String, Vec<usize>)> = Vec::new();
    for square in squares::all(flat, free, &known) {
        named.push((writing.square(&square), square.parts));
    }
    known.extend(squares::squares(flat, free, &known, rules, &mut Vec::new()));
    for (figure, long, short) in figures::all(flat, free, &known) {
        named.push((writing.figure(&figure, long, short), figure.parts));
    }
    let places: Vec<(Coord, f64)> = round.iter().map(|r| (r.center, r.radius)).collect();
    let blocks = || {
        (flat.items.iter().zip(&classes.of))
            .any(|(item, class)| *class == Class::Light && matches!(item.prim, Prim::Symbol(_)))
    };
    let forms = match any_form(read) {
        true => circles::forms((flat, classes), free, &places, blocks()),
        false => BTreeMap::new(),
    };
    let said: Vec<Option<Class>> = (round.iter().enumerate())
        .map(|(n, circle)| {
            let layer = &flat.items[circle.item].layer;
            let name = writing.circle(layer, circle.center, circle.radius);
            let formed = forms
                .get(&n)
                .and_then(|f| ruled(read, &circles::formed(&name, *f)));
            formed.or_else(|| ruled(read, &name))
        })
        .collect();
    let told = (round.iter().zip(&said)).filter(|(r, said)| {
        finite(r.center) && r.radius <= LARGEST_LIGHT_RADIUS && !matches!(said, None | Some(Class::Light))
    });
    let told: RTree<GeomWithData<[f64; 2], (f64, Class)>> = RTree::bulk_load(
        told.filter_map(|(r, said)| Some(GeomWithData::new([r.center.x, r.center.y], (r.radius, (*said)?))))
            .collect(),
    );
    for (circle, said) in round.iter().zip(&said) {
        // A circle with its middle in another is a part of that symbol, as where lights are sought.
        let around = || {
            let at = Some(circle.center).filter(|p| finite(*p))?;
            let reach = LARGEST_LIGHT_RADIUS * LARGEST_LIGHT_RADIUS;
            let mut near = told.locate_within_distance([at.x, at.y], reach).take(MOST_AROUND);
            let held = |g: &&GeomWithData<[f64; 2], (f64, Class)>| {
                let [x, y] = *g.geom();
                circle.radius < (1.0 - SAME_RADIUS) * g.data.0 && distance(Coord { x, y }, at) <= g.data.0
            };
            near.find(held).map(|g| g.data.1)
        };
        if let Some(class) = said.or_else(around) {
            put(classes, &circle.parts, class);
        }
    }
    for (name, parts) in named {
        if let Some(class) = ruled(read, &name) {
            put(classes, &parts, class);
        }
    }
}

fn put(classes: &mut Classes, parts: &[usize], class: Class) {
    parts.iter().for_each(|&i| classes.of[i] = class);
    if class != Class::Light {
        classes.settled.extend(parts);
    }
}

/// Whether a pattern is of circles by their form.
fn any_form(read: &ReadRules) -> bool {
    [&read.ignore, &read.lights, &read.devices].into_iter().any(|p| {
        p.ruled_blocks()
            .any(|b| b.contains(":circle ") && b.ends_with(')'))
    })
}
