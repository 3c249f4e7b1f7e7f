//! Symbols that stand upright in space: their blocks are seen from the side, as in a model of a whole house or an
//! elevation that was turned up. They are no symbols of a plan.

use std::collections::BTreeMap;

use geo::Coord;

use super::classes::{Class, Classes};
use super::shape::{cross, dot};
use crate::flatten::{Flat, Prim, Symbol};
use crate::note::Note;

/// What is drawn is this much thinner than long where it is seen from the side (within 1° of it). No scale makes a symbol so.
const THIN: f64 = 0.02;
/// A note names no more blocks than this.
const MOST: usize = 6;

/// Leaves out what stands upright among lights and devices of the ceiling, with notes: its class becomes [`Class::Ignore`].
pub fn leave_out(flat: &Flat, classes: &mut Classes, notes: &mut Vec<Note>) {
    let mut found: BTreeMap<Class, (usize, Coord, BTreeMap<String, usize>)> = BTreeMap::new();
    for (i, item) in flat.items.iter().enumerate() {
        let class = classes.of[i];
        if !item.visible || !matches!(class, Class::Light | Class::Device) {
            continue;
        }
        let (at, name) = match &item.prim {
            Prim::Symbol(symbol) if stands(symbol) => (symbol.at, format!("block {}", symbol.true_name)),
            // Seen from the side a circle is a line.
            Prim::Segment { from, to } if &*item.entity == "CIRCLE" && item.within.is_none() => {
                ((*from + *to) * 0.5, "loose circles".to_string())
            }
            _ => continue,
        };
        for inside in classes.all_inside(i) {
            classes.of[inside] = Class::Ignore;
        }
        classes.of[i] = Class::Ignore;
        let (count, _, names) = found.entry(class).or_insert((0, at, BTreeMap::new()));
        *count += 1;
        *names.entry(name).or_insert(0) += 1;
    }
    for (class, (count, at, names)) in found {
        let mut said: Vec<String> = names.keys().take(MOST).cloned().collect();
        if names.len() > MOST {
            said.push(format!("{} more", names.len() - MOST));
        }
        let what = if class == Class::Light {
            "lights"
        } else {
            "ceiling devices"
        };
        notes.push(Note::warning(
            "upright",
            format!(
                "{count} symbol(s) of {what} ({}) stand upright and are seen from the side, the first at ({:.1}, {:.1}) in: they are \
                 no symbols of a plan and are not counted; if they are {what} of this ceiling, draw them flat (extrusion 0,0,1)",
                said.join(", "),
                at.x,
                at.y
            ),
        ));
    }
}

/// Whether a symbol's block is seen from the side.
fn stands(symbol: &Symbol) -> bool {
    let (x, y) = (symbol.x_axis, symbol.y_axis);
    cross(x, y).abs() <= THIN * dot(x, x).max(dot(y, y))
}
