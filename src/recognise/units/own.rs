//! Blocks with a unit of their own (group 70 of their BLOCK_RECORD, an `$INSUNITS` code) that are not scaled to the
//! drawing's.
//!
//! Many offices leave that code as their program set it, so it alone proves nothing: it is told of where what the
//! block shows is of no sensible size as inserted, and of one in its own unit.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;

use super::{Candidate, known};
use crate::drawing::Drawing;
use crate::flatten::{Flat, Prim};
use crate::length::feet_inches;
use crate::note::Note;
use crate::recognise::shape::{bounds, chords};

/// What a plan measures, inches: 8 to 500 ft (common practice, with room to spare).
const HOUSE: std::ops::RangeInclusive<f64> = 96.0..=6000.0;
/// What a symbol measures, inches, and what none does.
const SYMBOL: std::ops::RangeInclusive<f64> = 2.0..=48.0;
const NO_SYMBOL: std::ops::RangeInclusive<f64> = 1.0..=100.0;
/// A block of so many entities is a plan, no symbol; so is one of so many symbols whose own size is a symbol's in the block's
/// unit only.
const A_PLAN: usize = 40;
const SYMBOLS: usize = 3;

/// A note for each such block. `flat` is in the drawing's unit, which is `inches` long.
pub fn unscaled(drawing: &Drawing<'_>, flat: &Flat, inches: f64) -> Vec<Note> {
    let own = own_units(drawing);
    let mut told: BTreeSet<&str> = BTreeSet::new();
    let mut notes = Vec::new();
    if own.is_empty() {
        return notes;
    }
    for (i, item) in flat.items.iter().enumerate() {
        let Prim::Symbol(symbol) = &item.prim else {
            continue;
        };
        let Some(unit) = own.get(&symbol.block.to_uppercase()) else {
            continue;
        };
        let scale = symbol.x_axis.x.hypot(symbol.x_axis.y);
        let ratio = unit.inches / inches;
        let unscaled = (scale - 1.0).abs() < 1e-3 && (ratio - 1.0).abs() > 1e-3;
        if item.within.is_some() || !unscaled || told.contains(&*symbol.block) {
            continue;
        }
        let (count, Some(long), nested) = content(flat, i) else {
            continue;
        };
        let (here, meant) = (long * inches, long * unit.inches);
        let symbols =
            |l: &&f64| !NO_SYMBOL.contains(&(**l * inches)) && SYMBOL.contains(&(**l * unit.inches));
        let of_symbols = nested.iter().filter(symbols).count();
        let wrong = match count >= A_PLAN || (of_symbols >= SYMBOLS && 2 * of_symbols >= nested.len()) {
            true => !HOUSE.contains(&here) && HOUSE.contains(&meant),
            false => !NO_SYMBOL.contains(&here) && SYMBOL.contains(&meant),
        };
        if !wrong {
            continue;
        }
        told.insert(&symbol.block);
        let message = format!(
            "block {} says that it is drawn in {} and is inserted at 1: what it shows measures {} here, and {} in its own \
             unit; insert it at {}, or set the unit of the block right, and export again",
            symbol.block,
            unit.name,
            feet_inches(here),
            feet_inches(meant),
            super::weigh::number(ratio),
        );
        notes.push(Note::warning("units-mixed", message).at(flat.place(i)));
    }
    notes
}

/// How many entities stand in a symbol at any depth, the longer side of what they draw, and that of each symbol right in it.
fn content(flat: &Flat, symbol: usize) -> (usize, Option<f64>, Vec<f64>) {
    // For each item the symbol right in the outer one that it is in, or is.
    let mut inside: Vec<Option<usize>> = vec![None; flat.items.len()];
    let (mut count, mut points) = (0, Vec::new());
    let mut nested: BTreeMap<usize, Vec<Coord>> = BTreeMap::new();
    for (i, item) in flat.items.iter().enumerate().skip(symbol + 1) {
        let own = match item.within {
            Some(w) if w == symbol => Some(i),
            Some(w) => inside.get(w).copied().flatten(),
            None => None,
        };
        let Some(own) = own else { continue };
        inside[i] = Some(own);
        count += 1;
        let drawn = chords(&item.prim).map_or(Vec::new(), |(points, _)| points);
        if own != i {
            nested.entry(own).or_default().extend(&drawn);
        }
        points.extend(drawn);
    }
    let long = |points: Vec<Coord>| {
        let long = bounds(points).map(|(low, high)| (high.x - low.x).max(high.y - low.y));
        long.filter(|l| l.is_finite() && *l > 0.0)
    };
    (
        count,
        long(points),
        nested.into_values().filter_map(long).collect(),
    )
}

/// Units that blocks give, by the block's name in capitals.
fn own_units(drawing: &Drawing<'_>) -> BTreeMap<String, Candidate> {
    let mut found = BTreeMap::new();
    let tables = drawing.structure.tables.iter();
    for (_, range) in tables.filter(|(name, _)| name.eq_ignore_ascii_case("BLOCK_RECORD")) {
        let mut name = None;
        for tag in drawing.tags(range.clone()) {
            match tag.code {
                0 => name = None,
                2 => name = Some(drawing.name(tag.value.clone()).to_uppercase()),
                70 => {
                    let unit = drawing.integer(&tag).and_then(known);
                    if let (Some(name), Some(unit)) = (name.take(), unit) {
                        found.insert(name, unit);
                    }
                }
                _ => {}
            }
        }
    }
    found
}
