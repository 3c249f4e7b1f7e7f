//! Rooms drawn as outlines and named: a bedroom is of much the same size in every house.

use super::super::classes::{Class, Classes};
use super::super::rooms::{class_of, names_a_room};
use super::super::shape::{area, chords, contains, distance};
use super::Candidate;
use super::weigh::{Evidence, median, number, trust};
use crate::flatten::{Flat, Prim};
use crate::plan::RoomClass::{self, Bath, Bedroom, Closet, Dining, Garage, Kitchen, Living, Office, Pantry};
use geo::Coord;

/// As much as two doors: sizes of rooms leave room for two units at times, never for three.
const WEIGHT: f64 = 2.0;
/// Most outlines that are looked at.
const MOST: usize = 200;

/// Least and greatest usual area, square feet (common practice, large houses included).
fn usual(class: RoomClass) -> Option<(f64, f64)> {
    Some(match class {
        Bedroom => (60.0, 600.0),
        Bath => (15.0, 300.0),
        Kitchen => (40.0, 700.0),
        Dining => (50.0, 600.0),
        Office => (40.0, 500.0),
        Closet | Pantry => (4.0, 250.0),
        Living => (80.0, 1500.0),
        Garage => (180.0, 2000.0),
        _ => return None,
    })
}

/// Areas of named outlines on room layers against the usual ones; `flat` is in the drawing's unit.
pub fn named_rooms(flat: &Flat, classes: &Classes, candidates: &[Candidate]) -> Option<Evidence> {
    let named: Vec<_> = (flat.items.iter())
        .filter_map(|item| match &item.prim {
            Prim::Text { at, text, .. } if item.visible && names_a_room(text) => {
                Some((*at, usual(class_of(text)?)?, &**text))
            }
            _ => None,
        })
        .take(MOST)
        .collect();
    let outlines = (flat.items.iter().zip(&classes.of))
        .filter(|(item, class)| {
            item.visible && **class == Class::Room && !matches!(item.prim, Prim::Text { .. })
        })
        .filter_map(|(item, _)| chords(&item.prim))
        .filter_map(|(points, closed)| ring_of(&points, closed))
        .take(MOST);
    // One name in it: what goes round several rooms, or none, tells nothing.
    let found: Vec<_> = outlines
        .filter_map(|outline| {
            let mut inside = named.iter().filter(|(at, ..)| contains(&outline, *at));
            let (_, usual, name) = inside.next()?;
            inside
                .next()
                .is_none()
                .then(|| (area(&outline).abs(), *usual, *name))
        })
        .collect();
    (!found.is_empty()).then(|| {
        Evidence::of(candidates, WEIGHT * trust(found.len()), |c| {
            let feet = (c.inches / 12.0).powi(2);
            let fits =
                |(area, (low, high), _): &&(f64, (f64, f64), &str)| (*low..=*high).contains(&(area * feet));
            let fit = found.iter().filter(fits);
            let (count, words) = (fit.clone().count(), fit.clone().next().map_or("", |f| f.2));
            let size = median(fit.map(|f| f.0).collect()).unwrap_or(0.0);
            let said = format!("{} and the like of {} square units", words.trim(), number(size));
            (count as f64 / found.len() as f64, said)
        })
    })
}

/// A closed outline without its last point twice.
fn ring_of(points: &[Coord], closed: bool) -> Option<Vec<Coord>> {
    let (first, last) = (*points.first()?, *points.last()?);
    let shut = distance(first, last) <= 1e-6 * area(points).abs().sqrt();
    let points = if shut { points.split_last()?.1 } else { points };
    ((closed || shut) && points.len() >= 3).then(|| points.to_vec())
}
