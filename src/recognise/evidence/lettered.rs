//! One figure for several things, told apart by a letter in or beside it: a legend whose lines show the figure with its letters
//! says what each letter means.
//!
//! It is read so where the lines say of one figure that with one letter it is a recessed light and with another, or without
//! one, it is not. A figure is a block, or loose circles of one size on one layer. What the legend tells of no letter of is not
//! counted and asked about, unless the rules name the block or the layer: they answer for the rest of it. A mark of the
//! schedule is its own.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::super::circles::Inside;
use super::super::classes::{Class, Classes, Why, of_block, of_layer};
use super::super::devices::kinds::text_middle;
use super::super::drawn_as::{Writing, answers, lettered, ruled as ruled_as, speaks};
use super::super::legend::{Meaning, Seeker, meaning};
use super::super::letters;
use super::super::schedule::Schedule;
use super::super::shape::{distance, finite};
use super::super::tolerance::{LARGEST_LIGHT_RADIUS, SMALLEST_LIGHT_RADIUS};
use super::explained::place;
use crate::flatten::{Flat, Prim};
use crate::note::Note;
use crate::rules::Rules;

/// A letter of a symbol is no longer than this.
const LONGEST: usize = 3;
/// A letter beside a symbol is no further from its rim than this many of its heights.
const BESIDE: f64 = 1.5;
/// Circles whose radii differ by less than this share of an inch are of one size.
const SIZES: f64 = 8.0;
/// Most letters that a note names.
const MOST: usize = 8;

/// What is drawn alike.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Figure {
    Block(Arc<str>),
    /// The layer, and the radius in steps.
    Circles(Arc<str>, i64),
}

/// One symbol, its middle and its radius, and the letter it has; empty where it has none.
struct Lettered {
    item: usize,
    figure: Figure,
    place: (Coord, f64),
    letter: String,
}

/// What the legend says of a letter: its words, and what they mean where that is certain.
type Told = BTreeMap<String, (String, Option<Meaning>)>;

/// Gives every symbol of a figure that has several meanings the class that its letter says, and tells.
pub fn settle(flat: &Flat, classes: &mut Classes, rules: &Rules, notes: &mut Vec<Note>) {
    let symbols = symbols(flat, classes, rules);
    let named = speaks(&rules.read);
    if !named && !symbols.iter().any(|s| !s.letter.is_empty()) {
        return;
    }
    let writing = Writing::new(flat);
    let schedule = Schedule::with_explained(rules);
    let inside = named.then(|| Inside::new(flat, classes, &schedule));
    let mut answered = BTreeSet::new();
    for symbol in &symbols {
        if let Some(class) = by_rules(symbol, &writing, inside.as_ref(), rules) {
            // What is loose is settled with what is in it, once all is known.
            if matches!(symbol.figure, Figure::Block(_)) {
                put(flat, classes, symbol.item, class);
            }
            answered.insert(symbol.item);
        }
    }
    let places: Vec<(Coord, f64)> = symbols.iter().map(|s| s.place).collect();
    let words = Seeker::new(flat, classes).words(&places);
    let mut told: BTreeMap<&Figure, Told> = BTreeMap::new();
    let mut in_legend: BTreeSet<usize> = BTreeSet::new();
    for (symbol, words) in symbols.iter().zip(words) {
        let Some(words) = words else { continue };
        in_legend.insert(symbol.item);
        // A letter beside its symbol stands before the words.
        let words = match words.split_once(' ') {
            Some((first, rest)) if first.eq_ignore_ascii_case(&symbol.letter) => rest.to_string(),
            _ => words,
        };
        let says = meaning(&words);
        let of = told.entry(&symbol.figure).or_default();
        let known = of.entry(symbol.letter.clone()).or_insert((words, says));
        if known.1 != says {
            known.1 = None;
        }
    }
    for (figure, told) in told {
        let own = |s: &&Lettered| s.figure == *figure && !answered.contains(&s.item);
        let all: Vec<&Lettered> = symbols.iter().filter(own).collect();
        if !tells_apart(&told, &all) {
            continue;
        }
        if let Figure::Block(block) = figure {
            classes.by_letter(block);
        }
        give(flat, classes, rules, (figure, &told), &all, &in_legend, notes);
    }
}

/// Whether letters make a difference: a recessed light with one and something else with another. A line for one letter
/// alone tells it from the same figure in the plan with other letters, or without.
fn tells_apart(told: &Told, all: &[&Lettered]) -> bool {
    let light = told.values().any(|t| t.1 == Some(Meaning::Recessed));
    let other = |letter: &str| {
        let says = told.get(letter).and_then(|t| t.1);
        says.is_some_and(|m| m != Meaning::Recessed)
    };
    let lettered_other = told.keys().any(|letter| !letter.is_empty() && other(letter));
    let lone = || all.iter().any(|s| !told.contains_key(&s.letter));
    match told.len() {
        1 => lettered_other && lone(),
        _ => light && told.keys().any(|letter| other(letter)) || lettered_other && lone(),
    }
}

/// Puts the classes, and says what became of what.
fn give(
    flat: &Flat,
    classes: &mut Classes,
    rules: &Rules,
    (figure, told): (&Figure, &Told),
    all: &[&Lettered],
    in_legend: &BTreeSet<usize>,
    notes: &mut Vec<Note>,
) {
    let ruled = ruled(flat, rules, figure, all);
    if ruled == Some(Class::Ignore) {
        return;
    }
    // Where the legend tells of no recessed light of the figure, what else it is stays as it was.
    let asks = ruled.is_none() && told.values().any(|t| t.1 == Some(Meaning::Recessed));
    let mut done: BTreeMap<&str, usize> = BTreeMap::new();
    let mut open: BTreeMap<&str, usize> = BTreeMap::new();
    for symbol in all {
        let (i, letter) = (symbol.item, &*symbol.letter);
        let (class, words) = match told.get(letter) {
            Some((words, Some(says))) => (of(*says), Some(words)),
            // Letters of a recessed light need no line.
            None if asks && letters::recessed(letter) => (Class::Light, None),
            _ if !asks => continue,
            _ => (Class::Ignore, None),
        };
        let of_no_light = classes.of[i] == Class::Device || classes.of[i] == Class::Ignore;
        if words.is_none() && of_no_light {
            continue;
        }
        if class == Class::Light
            && ruled.is_none()
            && rules.read.lights.given
            && classes.of[i] != Class::Light
        {
            continue;
        }
        put(flat, classes, i, class);
        if let Some(words) = words {
            classes.call_one(i, &format!("{words} ({})", called(figure, letter)));
        }
        if !in_legend.contains(&i) {
            let counts = if class == Class::Ignore && words.is_none() {
                &mut open
            } else {
                &mut done
            };
            *counts.entry(letter).or_insert(0) += 1;
        }
    }
    let writing = Writing::new(flat);
    let place = all.first().map(|s| flat.place(s.item)).unwrap_or_default();
    let name = match figure {
        Figure::Block(block) => format!("block {block}"),
        Figure::Circles(layer, _) => format!("equal circles on layer {layer}"),
    };
    if !done.is_empty() {
        let each: Vec<String> = (done.iter().take(MOST))
            .map(|(letter, count)| match told.get(*letter) {
                Some((words, _)) => format!("{count} {} are \"{words}\"", with_letter(letter)),
                None => format!("{count} {} are recessed lights", with_letter(letter)),
            })
            .collect();
        notes.push(
            Note::info(
                "by-legend",
                format!(
                    "{name} stands for several things, and the legend tells them apart by letters: {}",
                    each.join(", ")
                ),
            )
            .at(place.clone()),
        );
    }
    for (letter, count) in open {
        let names: BTreeSet<String> = match figure {
            Figure::Block(block) => BTreeSet::from([lettered(block, letter_or_none(letter))]),
            Figure::Circles(..) => (all.iter())
                .filter(|s| s.letter == letter && !in_legend.contains(&s.item))
                .map(|s| writing.circle(&flat.items[s.item].layer, s.place.0, s.place.1))
                .collect(),
        };
        notes.push(
            Note::warning(
                "letters-asked",
                format!(
                    "{count} of {name} {}, of which the legend, that tells others of them apart by letters, says nothing certain: not \
                     counted; {}",
                    with_letter(letter),
                    answers(rules, &names)
                ),
            )
            .at(place.clone()),
        );
    }
}

/// What the rules file itself says of a figure's symbols with one letter.
fn by_rules(symbol: &Lettered, writing: &Writing, inside: Option<&Inside>, rules: &Rules) -> Option<Class> {
    match &symbol.figure {
        Figure::Block(block) => {
            // `CLG:EF-1` has more in it than a letter.
            let held = inside.and_then(|i| i.of(symbol.place.0, symbol.place.1));
            let named = |letters: &str| ruled_as(&rules.read, &lettered(block, letters));
            held.and_then(named)
                .or_else(|| named(letter_or_none(&symbol.letter)))
        }
        Figure::Circles(layer, _) => {
            let (at, radius) = symbol.place;
            ruled_as(&rules.read, &writing.circle(layer, at, radius))
        }
    }
}

/// A name for no letter.
fn letter_or_none(letter: &str) -> &str {
    match letter {
        "" => "-",
        letter => letter,
    }
}

fn put(flat: &Flat, classes: &mut Classes, symbol: usize, class: Class) {
    classes.of[symbol] = class;
    for inside in classes.all_inside(symbol) {
        if !flat.items[inside].leads() {
            classes.of[inside] = class;
        }
    }
}

fn of(says: Meaning) -> Class {
    match says {
        Meaning::Recessed => Class::Light,
        Meaning::AtTheCeiling => Class::Device,
        Meaning::Elsewhere => Class::Ignore,
    }
}

fn with_letter(letter: &str) -> String {
    match letter {
        "" => "without a letter".to_string(),
        letter => format!("with {letter}"),
    }
}

fn called(figure: &Figure, letter: &str) -> String {
    match figure {
        Figure::Block(block) if letter.is_empty() => block.to_string(),
        Figure::Block(block) => format!("{block} {letter}"),
        Figure::Circles(layer, _) if letter.is_empty() => layer.to_string(),
        Figure::Circles(..) => letter.to_string(),
    }
}

/// What the rules file itself says that a figure is.
fn ruled(flat: &Flat, rules: &Rules, figure: &Figure, all: &[&Lettered]) -> Option<Class> {
    let by = |(class, why): (Class, Why)| matches!(why, Why::Pattern(_) | Why::Luminaire(_)).then_some(class);
    let layers = || {
        all.iter()
            .find_map(|s| by(of_layer(rules, &flat.items[s.item].layer)))
    };
    match figure {
        Figure::Block(block) => by(of_block(rules, block)).or_else(layers),
        Figure::Circles(layer, _) => by(of_layer(rules, layer)),
    }
}

/// Blocks and loose circles of a symbol's size, each with its letter.
fn symbols(flat: &Flat, classes: &Classes, rules: &Rules) -> Vec<Lettered> {
    let texts = RTree::bulk_load(
        (flat.items.iter())
            .filter(|item| item.visible)
            .filter_map(|item| match &item.prim {
                Prim::Text { text, height, .. } if is_letter(text, rules) => {
                    let at = text_middle(&item.prim)?;
                    Some(GeomWithData::new([at.x, at.y], (text.trim(), *height)))
                }
                _ => None,
            })
            .collect::<Vec<GeomWithData<[f64; 2], (&str, f64)>>>(),
    );
    let mut small: BTreeMap<usize, bool> = BTreeMap::new();
    let mut found = Vec::new();
    for (i, item) in flat.items.iter().enumerate() {
        let within = item.within.filter(|&w| w < i);
        let part = within.is_some_and(|w| small.get(&w) == Some(&true));
        let (figure, place) = match &item.prim {
            Prim::Symbol(symbol) => {
                let place = if part { None } else { place(flat, classes, i) };
                small.insert(i, part || place.is_some());
                (Figure::Block(symbol.true_name.clone()), place)
            }
            Prim::Circle { center, radius } if !part && classes.of[i] == Class::Light => {
                let usual = (SMALLEST_LIGHT_RADIUS..=LARGEST_LIGHT_RADIUS).contains(radius);
                let size = (radius * SIZES).round() as i64;
                let figure = Figure::Circles(item.layer.clone(), size);
                (figure, usual.then_some((*center, *radius)))
            }
            _ => continue,
        };
        let Some(place) = place.filter(|p| item.visible && finite(p.0)) else {
            continue;
        };
        let held = match &item.prim {
            Prim::Symbol(symbol) => (symbol.attribs.iter())
                .find(|a| is_letter(&a.text, rules))
                .map(|a| a.text.trim()),
            _ => None,
        };
        let near = || {
            let (at, radius) = place;
            let nearest = texts.nearest_neighbor([at.x, at.y])?;
            let [x, y] = *nearest.geom();
            let (text, height) = nearest.data;
            (distance(Coord { x, y }, at) <= radius + BESIDE * height).then_some(text)
        };
        let letter = held.or_else(near).unwrap_or_default().to_uppercase();
        found.push(Lettered {
            item: i,
            figure,
            place,
            letter,
        });
    }
    found
}

/// Whether a text may be a symbol's letter: capitals, and no mark of the schedule.
fn is_letter(text: &str, rules: &Rules) -> bool {
    let text = text.trim();
    let count = text.chars().filter(|c| *c != '/' && *c != '.').count();
    let capitals = text.chars().all(|c| c.is_uppercase() || c == '/' || c == '.');
    let explained = || {
        rules
            .explained
            .iter()
            .any(|e| e.tag.trim().eq_ignore_ascii_case(text))
    };
    (1..=LONGEST).contains(&count) && capitals && rules.schedule(Some(text), None).is_none() && !explained()
}
