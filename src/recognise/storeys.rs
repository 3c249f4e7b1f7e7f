//! Storeys drawn over one another on layers of their own: `FIRST FLOOR LIGHTS` and `SECOND FLOOR LIGHTS` in one place.
//!
//! They are read as one, which no ceiling is; a loss says so, with the line of the rules that leaves each storey out.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use geo::Coord;

use super::classes::{Class, Classes};
use super::shape::{bounds, chords};
use super::titles;
use crate::flatten::{Flat, Prim};
use crate::note::Note;
use crate::rules::line::with_patterns;
use crate::rules::{Rules, exactly};

/// Lights, or wall lines, of a storey before it counts.
const FEWEST: usize = 2;
/// Storeys lie over one another where they share this much of the smaller one's box.
const SHARED: f64 = 0.3;

/// What one storey's layers of one class show.
#[derive(Default)]
struct Shown {
    count: usize,
    points: Vec<Coord>,
}

/// Says which storeys lie over one another.
pub fn told(flat: &Flat, classes: &Classes, rules: &Rules, notes: &mut Vec<Note>) {
    let mut storeys: BTreeMap<&Arc<str>, Option<String>> = BTreeMap::new();
    for item in &flat.items {
        storeys.entry(&item.layer).or_insert_with(|| storey(&item.layer));
    }
    let distinct: BTreeSet<&String> = storeys.values().flatten().collect();
    if distinct.len() < 2 {
        return;
    }
    let over = |class| overlaid(flat, classes, &storeys, class);
    let found = over(Class::Light).or_else(|| over(Class::Wall));
    let Some([a, b]) = found else { return };
    let line = |which: &str| {
        let (key, patterns) = Class::Ignore.section(&rules.read);
        with_patterns(key, patterns, &layers_of(&storeys, which), &[])
    };
    notes.push(Note::loss(
        "storeys-overlaid",
        format!(
            "layers of two storeys lie over one another (by their names storey {a} and storey {b}), and are read as one: read each \
             by itself, storey {a} with {} under [read] in bayline.toml, storey {b} with {}",
            line(&b),
            line(&a),
        ),
    ));
}

/// The storey a layer's name gives, where it has a word for storeys or is called `2F`.
fn storey(layer: &str) -> Option<String> {
    let name = layer.rsplit(['$', '|']).next().unwrap_or(layer);
    let words = name
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty());
    for word in words {
        let upper = word.to_uppercase();
        let number = upper.strip_suffix('F').or_else(|| upper.strip_suffix("FL"));
        if let Some(number) =
            number.filter(|n| (1..=2).contains(&n.len()) && n.bytes().all(|b| b.is_ascii_digit()))
        {
            return Some(number.trim_start_matches('0').to_string());
        }
    }
    let which = titles::which_storey(name);
    (which.len() == 1).then(|| which.into_iter().next()).flatten()
}

/// Two storeys whose items of a class share their place.
fn overlaid(
    flat: &Flat,
    classes: &Classes,
    storeys: &BTreeMap<&Arc<str>, Option<String>>,
    class: Class,
) -> Option<[String; 2]> {
    let mut shown: BTreeMap<&String, Shown> = BTreeMap::new();
    for (item, of) in flat.items.iter().zip(&classes.of) {
        let storey = storeys.get(&item.layer).and_then(|s| s.as_ref());
        let (true, Some(storey)) = (*of == class && item.visible, storey) else {
            continue;
        };
        let points = match &item.prim {
            Prim::Symbol(symbol) => vec![symbol.at],
            prim => chords(prim).map_or(Vec::new(), |(points, _)| points),
        };
        if points.is_empty() || (item.within.is_some() && class == Class::Light) {
            continue;
        }
        let entry = shown.entry(storey).or_default();
        entry.count += 1;
        entry.points.extend(points);
    }
    let boxes: Vec<(&String, (Coord, Coord))> = (shown.iter())
        .filter(|(_, s)| s.count >= FEWEST)
        .filter_map(|(storey, s)| Some((*storey, bounds(s.points.iter().copied())?)))
        .collect();
    for (i, (a, of_a)) in boxes.iter().enumerate() {
        for (b, of_b) in boxes.iter().skip(i + 1) {
            if share(*of_a, *of_b) >= SHARED {
                return Some([(*a).clone(), (*b).clone()]);
            }
        }
    }
    None
}

/// How much of the smaller box the other covers. A row of lights has a box without width: a foot is added all around.
pub fn share((low_a, high_a): (Coord, Coord), (low_b, high_b): (Coord, Coord)) -> f64 {
    const AROUND: f64 = 12.0;
    let side = |low: f64, high: f64| (high - low + 2.0 * AROUND).max(0.0);
    let area = |low: Coord, high: Coord| side(low.x, high.x) * side(low.y, high.y);
    let x = side(low_a.x.max(low_b.x), high_a.x.min(high_b.x));
    let y = side(low_a.y.max(low_b.y), high_a.y.min(high_b.y));
    x * y / area(low_a, high_a).min(area(low_b, high_b))
}

/// Patterns of a storey's layers: what they all begin with, else their names.
fn layers_of(storeys: &BTreeMap<&Arc<str>, Option<String>>, which: &str) -> Vec<String> {
    let (of, others): (Vec<_>, Vec<_>) = storeys.iter().partition(|(_, s)| s.as_deref() == Some(which));
    let first = of.first().map_or("", |(name, _)| &***name);
    let mut common = first;
    for (name, _) in &of {
        let same = common
            .char_indices()
            .zip(name.chars())
            .take_while(|((_, a), b)| a == b);
        let end = same.last().map_or(0, |((i, c), _)| i + c.len_utf8());
        common = &common[..end];
    }
    let begins = of.len() > 1
        && common.chars().filter(|c| c.is_alphanumeric()).count() >= 2
        && others.iter().all(|(name, _)| !name.starts_with(common));
    match begins {
        true => vec![format!("{}*", exactly(common))],
        false => of.iter().map(|(name, _)| exactly(name)).collect(),
    }
}
