//! Blocks with a unit of their own (group 70 of their BLOCK_RECORD, an `$INSUNITS` code) that are not scaled to the
//! drawing's.
//!
//! Many offices leave that code as their program set it, so it alone proves nothing: it is told of where what the
//! block shows is of no sensible size as inserted, and of one in its own unit.

use std::collections::{BTreeMap, BTreeSet};

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
/// A block of so many entities is a plan, no symbol.
const A_PLAN: usize = 40;

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
        let (count, Some(long)) = content(flat, i) else {
            continue;
        };
        let (here, meant) = (long * inches, long * unit.inches);
        let wrong = match count >= A_PLAN {
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

/// How many entities stand in a symbol at any depth, and the longer side of what they draw.
fn content(flat: &Flat, symbol: usize) -> (usize, Option<f64>) {
    let mut inside = vec![false; flat.items.len()];
    inside[symbol] = true;
    let (mut count, mut points) = (0, Vec::new());
    for (i, item) in flat.items.iter().enumerate().skip(symbol + 1) {
        if item.within.is_some_and(|w| inside.get(w) == Some(&true)) {
            inside[i] = true;
            count += 1;
            points.extend(chords(&item.prim).into_iter().flat_map(|(points, _)| points));
        }
    }
    let long = bounds(points).map(|(low, high)| (high.x - low.x).max(high.y - low.y));
    (count, long.filter(|l| l.is_finite() && *l > 0.0))
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
