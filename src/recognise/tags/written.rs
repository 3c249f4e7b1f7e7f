//! What is written that may be a type mark: loose texts, and attributes of symbols that are no lights.

use std::collections::BTreeSet;

use geo::Coord;

use super::{LETTER, Mark, typical};
use crate::flatten::{Flat, Prim, Symbol};
use crate::recognise::classes::{Claim, Class, Classes};
use crate::recognise::schedule::telling;
use crate::recognise::shape::{bounds, chords, finite, point_to_segment};

/// From a mark to the TYP. that belongs to it, heights of that.
const BELOW: f64 = 2.5;

/// A drawing in which marks are sought.
pub struct Written<'a> {
    pub flat: &'a Flat,
    pub classes: &'a Classes,
    pub claims: &'a [Claim],
    /// Symbols on light layers that are tags.
    pub bubbles: &'a BTreeSet<usize>,
}

/// The attributes of a symbol that may be its mark, the most telling first.
pub fn attributes(symbol: &Symbol) -> impl Iterator<Item = (&str, Coord)> {
    let mut all: Vec<_> = (symbol.attribs.iter())
        .filter(|a| !a.text.trim().is_empty())
        .filter_map(|a| Some((telling(&a.tag)?, a)))
        .collect();
    all.sort_by_key(|a| a.0);
    all.into_iter().map(|(_, a)| (&*a.text, a.at))
}

/// Texts and attributes that are marks, by what `entry` says of them.
pub fn marks(all: &Written<'_>, entry: &dyn Fn(&str) -> Option<usize>) -> Vec<Mark> {
    let Written {
        flat,
        classes,
        claims,
        bubbles,
    } = *all;
    let mut found = Vec::new();
    for (item, it) in flat.items.iter().enumerate() {
        let class = classes.of[item];
        let light_layer = class == Class::Light;
        let free = class == Class::Other && claims[item] == Claim::None;
        if !it.visible || !(light_layer || free) {
            continue;
        }
        match &it.prim {
            Prim::Text {
                at,
                height,
                angle,
                centred,
                text,
            } if finite(*at) => {
                let first = text.lines().find(|l| !l.trim().is_empty()).unwrap_or_default();
                let ((whole, many), (begin, one)) = (typical::split(text), typical::split(first));
                let Some(entry) = entry(whole).or_else(|| entry(begin)) else {
                    continue;
                };
                let height = if height.is_finite() { height.abs() } else { 0.0 };
                let angle = if angle.is_finite() { *angle } else { 0.0 };
                let run = Coord {
                    x: angle.cos(),
                    y: angle.sin(),
                } * (LETTER * height * first.trim().chars().count() as f64);
                let (from, to) = match centred {
                    true => (*at - run / 2.0, *at + run / 2.0),
                    false => (*at, *at + run),
                };
                found.push(Mark {
                    item,
                    entry,
                    at: *at,
                    from,
                    to,
                    height,
                    light_layer,
                    text: text.trim().to_string(),
                    circuit: false,
                    typical: many.or(one),
                });
            }
            Prim::Symbol(symbol) if bubbles.contains(&item) || free => {
                let Some((entry, text, at)) = attributes(symbol)
                    .find_map(|(text, at)| Some((entry(typical::split(text).0)?, text, at)))
                else {
                    continue;
                };
                let at = middle(flat, classes, item).unwrap_or(at);
                if finite(at) {
                    found.push(Mark {
                        item,
                        entry,
                        at,
                        from: at,
                        to: at,
                        height: 0.0,
                        light_layer,
                        text: text.trim().to_string(),
                        circuit: false,
                        typical: typical::split(text).1,
                    });
                }
            }
            _ => {}
        }
    }
    typed_below(flat, classes, &mut found);
    found
}

/// A TYP. that stands by itself is the nearest mark's.
fn typed_below(flat: &Flat, classes: &Classes, marks: &mut [Mark]) {
    for (item, it) in flat.items.iter().enumerate() {
        let Prim::Text { at, height, text, .. } = &it.prim else {
            continue;
        };
        let free = matches!(classes.of[item], Class::Light | Class::Other);
        let Some(typical) = typical::alone(text).filter(|_| it.visible && free && finite(*at)) else {
            continue;
        };
        let near = marks
            .iter_mut()
            .map(|m| (point_to_segment(*at, m.from, m.to), m))
            .filter(|(far, _)| *far <= BELOW * height.abs())
            .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.item.cmp(&b.1.item)));
        if let Some((_, mark)) = near {
            mark.typical.get_or_insert(typical);
        }
    }
}

/// The middle of what a symbol draws.
fn middle(flat: &Flat, classes: &Classes, symbol: usize) -> Option<Coord> {
    extent(flat, classes, symbol).map(|(low, high)| (low + high) * 0.5)
}

/// The box about what a symbol draws.
pub fn extent(flat: &Flat, classes: &Classes, symbol: usize) -> Option<(Coord, Coord)> {
    let shown = classes
        .all_inside(symbol)
        .into_iter()
        .filter(|&c| flat.items[c].visible);
    let points = shown
        .filter_map(|c| chords(&flat.items[c].prim))
        .flat_map(|(points, _)| points);
    bounds(points)
}

/// Claims a mark, and the symbol it is with all that is in it.
pub fn claim(classes: &Classes, item: usize, claims: &mut [Claim]) {
    for i in classes.all_inside(item).into_iter().chain([item]) {
        if claims[i] == Claim::None {
            claims[i] = Claim::LightLinework;
        }
    }
}
