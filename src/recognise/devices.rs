//! Other things in the ceiling: diffusers, alarms, sprinklers, fans, panels.

use geo::Coord;

use super::classes::{Claim, Class, Classes};
use super::shape::{chords, hull};
use crate::flatten::{Flat, Prim};
use crate::plan::Obstacle;

/// One obstacle for each outermost INSERT of the class, and one for each loose closed shape.
pub fn devices(flat: &Flat, classes: &Classes, claims: &mut [Claim]) -> Vec<Obstacle> {
    let mut found = Vec::new();
    for (i, item) in flat.items.iter().enumerate() {
        if classes.of[i] != Class::Device || claims[i] != Claim::None || !item.visible {
            continue;
        }
        if let Prim::Symbol(symbol) = &item.prim {
            let mut points: Vec<Coord> = Vec::new();
            claims[i] = Claim::Device;
            for c in classes.all_inside(i) {
                if flat.items[c].visible && claims[c] == Claim::None {
                    claims[c] = Claim::Device;
                    points.extend(chords(&flat.items[c].prim).into_iter().flat_map(|(p, _)| p));
                }
            }
            push(&mut found, symbol.true_name.to_string(), &points);
        } else if let Some((points, _)) = chords(&item.prim) {
            claims[i] = Claim::Device;
            push(&mut found, item.layer.to_string(), &points);
        }
    }
    found
}

fn push(found: &mut Vec<Obstacle>, name: String, points: &[Coord]) {
    let outline = hull(points);
    if outline.len() >= 3 {
        found.push(Obstacle { name, outline });
    }
}
