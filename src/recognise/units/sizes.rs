//! Things that have the same size in every house: door leaves, light symbols, lettering, the house.

use std::f64::consts::{FRAC_PI_2, PI};

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::super::classes::{Class, Classes};
use super::super::shape::{bulge_center, distance, finite};
use super::Candidate;
use super::weigh::{Evidence, median, number, trust};
use crate::flatten::{Flat, Item, Prim};

/// Leaves of doors in houses: 24 to 36 in (600 to 915 mm) are usual; closets and double doors go
/// beyond (common practice).
pub(super) const DOOR: (f64, f64) = (19.5, 44.0);
/// Diameter of a light's symbol at the scales of house plans (common practice).
pub(super) const SYMBOL: (f64, f64) = (4.0, 18.0);
/// Lettering 3/32 to 1/4 in high at 1:48, 2.5 to 5 mm at 1:50 or 1:100 (common practice).
pub(super) const LETTERING: (f64, f64) = (3.5, 13.0);
/// The longer side of a house: 20 to 300 ft, and the usual ones.
const HOUSE: (f64, f64) = (240.0, 3600.0);
pub(super) const USUAL_HOUSE: (f64, f64) = (300.0, 1440.0);

/// Most of a kind that is looked at; what is beyond is thinned evenly.
const MOST: usize = 2000;

pub fn sizes(flat: &Flat, long: Option<f64>, classes: &Classes, candidates: &[Candidate]) -> Vec<Evidence> {
    [
        doors(flat, candidates),
        lights(flat, classes, candidates),
        lettering(flat, candidates),
        house(long, candidates),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Every `values` thinned to at most [`MOST`].
pub fn thinned<T>(values: Vec<T>) -> Vec<T> {
    let step = values.len().div_ceil(MOST).max(1);
    values.into_iter().step_by(step).collect()
}

pub(super) fn within(value: f64, (low, high): (f64, f64)) -> bool {
    low <= value && value <= high
}

/// How much of `values` lies in `range` for a candidate, and the middle of it in words.
fn share(values: &[f64], range: (f64, f64), inches: f64) -> (f64, Option<f64>) {
    let fit: Vec<f64> = (values.iter().copied())
        .filter(|v| within(v * inches, range))
        .collect();
    (fit.len() as f64 / values.len().max(1) as f64, median(fit))
}

/// Quarter circles: on layers or in blocks that are called doors, else wherever they are. A leaf of a double door fits by its
/// own width or by that of the pair.
fn doors(flat: &Flat, candidates: &[Candidate]) -> Option<Evidence> {
    let mut named = Vec::new();
    let mut other = Vec::new();
    for (i, item) in flat.items.iter().enumerate() {
        if let Some(swing) = quarter(&item.prim) {
            if called_door(flat, i, item) {
                named.push(swing);
            } else {
                other.push(swing);
            }
        }
    }
    let (swings, weight) = if named.is_empty() {
        (other, 2.0)
    } else {
        (named, 4.0)
    };
    let doors = widths(&thinned(swings));
    (!doors.is_empty()).then(|| {
        Evidence::of(candidates, weight * trust(doors.len()), |c| {
            let fits = |w: &&f64| within(**w * c.inches, DOOR);
            let fit: Vec<f64> = (doors.iter())
                .filter_map(|d| d.iter().find(fits).copied())
                .collect();
            let share = fit.len() as f64 / doors.len() as f64;
            let middle = median(fit).unwrap_or(0.0);
            (share, format!("doors {} wide", number(middle)))
        })
    })
}

/// Leaves of the quarter circles on layers or in blocks that are called doors, thinned.
pub(super) fn named_doors(flat: &Flat) -> Vec<f64> {
    let swings = flat.items.iter().enumerate().filter_map(|(i, item)| {
        quarter(&item.prim)
            .filter(|_| called_door(flat, i, item))
            .map(|(_, radius)| radius)
    });
    thinned(swings.collect())
}

/// How wide each swing's door is: its leaf, or both where another of its size stands tip to tip with it.
fn widths(swings: &[(Coord, f64)]) -> Vec<Vec<f64>> {
    const NEAR: f64 = 0.02;
    let hinges = swings.iter().map(|(c, r)| GeomWithData::new([c.x, c.y], *r));
    let hinges = RTree::bulk_load(hinges.collect());
    let double = |(c, r): &(Coord, f64)| {
        let reach = 2.0 * r * (1.0 + NEAR);
        let mut near = hinges.locate_within_distance([c.x, c.y], reach * reach);
        near.any(|h| {
            let apart = (h.geom()[0] - c.x).hypot(h.geom()[1] - c.y);
            (h.data - r).abs() <= NEAR * r && apart >= 2.0 * r * (1.0 - NEAR)
        })
    };
    let of = |s: &(Coord, f64)| match double(s) {
        true => vec![s.1, 2.0 * s.1],
        false => vec![s.1],
    };
    swings.iter().map(of).collect()
}

/// The centre and radius of an arc that a door's swing may be: 75 to 100 degrees.
fn quarter(prim: &Prim) -> Option<(Coord, f64)> {
    let (center, radius, sweep) = match prim {
        Prim::Arc {
            center,
            radius,
            sweep,
            ..
        } => (*center, *radius, sweep.abs()),
        Prim::Path {
            vertices,
            closed: false,
        } => match vertices.as_slice() {
            [a, b] if a.bulge != 0.0 => {
                let center = bulge_center(a.at, b.at, a.bulge);
                (center, distance(center, a.at), 4.0 * a.bulge.abs().atan())
            }
            _ => return None,
        },
        _ => return None,
    };
    let turn = sweep / FRAC_PI_2;
    let sound = finite(center) && radius.is_finite() && radius > 0.0;
    (within(turn, (0.83, 1.12)) && sound).then_some((center, radius))
}

/// Words for doors and openings in the languages plans come in.
fn called_door(flat: &Flat, i: usize, item: &Item) -> bool {
    const WORDS: [&str; 8] = ["DOOR", "OPENING", "PORTE", "PUERTA", "PORTA", "TUER", "TÜR", "门"];
    let says = |name: &str| {
        let name = name.to_uppercase();
        WORDS.iter().any(|w| name.contains(w))
    };
    says(&item.layer) || flat.path(i).iter().any(|block| says(block))
}

/// Diameters of the circles of light symbols, thinned.
pub(super) fn lights_across(flat: &Flat, classes: &Classes) -> Vec<f64> {
    let sizes: Vec<f64> = (flat.items.iter().zip(&classes.of))
        .filter(|(_, class)| **class == Class::Light)
        .filter_map(|(item, _)| match item.prim {
            Prim::Circle { radius, .. } if radius.is_finite() && radius > 0.0 => Some(2.0 * radius),
            _ => None,
        })
        .collect();
    thinned(sizes)
}

fn lights(flat: &Flat, classes: &Classes, candidates: &[Candidate]) -> Option<Evidence> {
    let sizes = lights_across(flat, classes);
    (!sizes.is_empty()).then(|| {
        Evidence::of(candidates, 0.5 * trust(sizes.len()), |c| {
            let (share, middle) = share(&sizes, SYMBOL, c.inches);
            (
                share,
                format!("light symbols {} across", number(middle.unwrap_or(0.0))),
            )
        })
    })
}

/// Heights of all texts, thinned.
pub(super) fn letters_high(flat: &Flat) -> Vec<f64> {
    let heights: Vec<f64> = (flat.items.iter())
        .filter_map(|item| match item.prim {
            Prim::Text { height, .. } if height.is_finite() && height > 0.0 => Some(height),
            _ => None,
        })
        .collect();
    thinned(heights)
}

fn lettering(flat: &Flat, candidates: &[Candidate]) -> Option<Evidence> {
    let heights = letters_high(flat);
    (!heights.is_empty()).then(|| {
        Evidence::of(candidates, 0.5 * trust(heights.len()), |c| {
            let (share, middle) = share(&heights, LETTERING, c.inches);
            (share, format!("lettering {} high", number(middle.unwrap_or(0.0))))
        })
    })
}

fn house(long: Option<f64>, candidates: &[Candidate]) -> Option<Evidence> {
    let size = long?;
    Some(Evidence::of(candidates, 1.0, |c| {
        let long = size * c.inches;
        let share = if within(long, USUAL_HOUSE) {
            1.0
        } else if within(long, HOUSE) {
            0.6
        } else {
            0.0
        };
        (share, format!("the whole {} long", number(size)))
    }))
}

/// The longer side of what is drawn on layers of a house, else of everything, its strays left out.
pub fn longer_side(flat: &Flat, classes: &Classes) -> Option<f64> {
    let of_house = |class: &Class| matches!(class, Class::Wall | Class::Room | Class::Framing | Class::Light);
    let points = |only: bool| -> Vec<Coord> {
        let items = flat.items.iter().zip(&classes.of);
        let points = items.filter(|(item, class)| item.visible && (!only || of_house(class)));
        thinned(points.flat_map(|(item, _)| ends(&item.prim)).collect())
    };
    let mut found = points(true);
    if found.len() < 8 {
        found = points(false);
    }
    if found.len() < 4 {
        return None;
    }
    let spread = |mut values: Vec<f64>| {
        values.sort_by(f64::total_cmp);
        let strays = values.len() / 50;
        let high = values.len().checked_sub(strays + 1).and_then(|i| values.get(i));
        Some(high? - values.get(strays)?)
    };
    let wide = spread(found.iter().map(|p| p.x).collect())?;
    let deep = spread(found.iter().map(|p| p.y).collect())?;
    let size = wide.max(deep);
    (size.is_finite() && size > 0.0).then_some(size)
}

fn ends(prim: &Prim) -> Vec<Coord> {
    match prim {
        Prim::Segment { from, to } => vec![*from, *to],
        Prim::Path { vertices, .. } => vertices.iter().map(|v| v.at).collect(),
        Prim::Circle { center, .. } => vec![*center],
        _ => Vec::new(),
    }
}

/// The direction of a line in [0, π), and its length; `None` of a point.
pub fn direction(from: Coord, to: Coord) -> Option<(f64, f64)> {
    let (dx, dy) = (to.x - from.x, to.y - from.y);
    let length = dx.hypot(dy);
    (length.is_finite() && length > 0.0).then(|| (dy.atan2(dx).rem_euclid(PI), length))
}
