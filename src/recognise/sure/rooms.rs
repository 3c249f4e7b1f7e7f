//! Rooms as they are drawn: closed outlines with names. Devices as they are drawn: symbols in rooms.

use super::super::classes::Claim;
use super::super::room_of;
use super::super::rooms::{names_a_room, ring};
use super::super::shape::{area, bounds, chords};
use super::{Read, Seen, of_all};
use crate::flatten::Prim;

/// Of a house's rooms, square inches (4 to 3,000 sq ft).
const ROOM: std::ops::RangeInclusive<f64> = 576.0..=432_000.0;
/// What closed outlines weigh, and names in them: closets seldom have one.
const CLOSED: f64 = 0.6;
const CALLED: f64 = 0.4;
/// Devices outside of rooms stand under eaves and in garages as well.
const OUTSIDE: f64 = 0.4;

pub fn rooms(read: &Read, items: &[usize]) -> Option<Seen> {
    let drawn: Vec<_> = (items.iter())
        .filter_map(|&i| chords(&read.flat.items[i].prim))
        .collect();
    let share = |n: usize, of: usize| n as f64 / of as f64;
    if drawn.is_empty() {
        let texts = items
            .iter()
            .filter(|&&i| matches!(read.flat.items[i].prim, Prim::Text { .. }));
        let all = texts.clone().count();
        let names = texts
            .filter(|&&i| match &read.flat.items[i].prim {
                Prim::Text { text, .. } => read.claims[i] == Claim::RoomName || names_a_room(text),
                _ => false,
            })
            .count();
        return (all > 0).then(|| Seen {
            share: 0.5 + 0.5 * share(names, all),
            count: all,
            said: format!("{} of its {all} text(s) name rooms", of_all(names, all)),
        });
    }
    let all = drawn.len();
    let rings: Vec<_> = (drawn.iter())
        .filter_map(|(points, closed)| ring(points, *closed))
        .filter(|ring| ROOM.contains(&area(ring).abs()))
        .collect();
    // Loose lines that close rooms together.
    let whole =
        |i: usize| chords(&read.flat.items[i].prim).is_some_and(|(p, closed)| ring(&p, closed).is_some());
    let loose = (items.iter())
        .filter(|&&i| {
            read.claims[i] == Claim::Room && !whole(i) && chords(&read.flat.items[i].prim).is_some()
        })
        .count();
    let called = (read.plan.rooms.iter())
        .filter(|r| r.name.is_some() && (rings.contains(&r.outline) || loose > 0 && r.drawn))
        .count();
    let of = match loose {
        0 => rings.len(),
        _ => read.plan.rooms.iter().filter(|r| r.drawn).count(),
    };
    let named = match of {
        0 => 0.0,
        n => share(called.min(n), n),
    };
    Some(Seen {
        share: share(rings.len() + loose, all) * (CLOSED + CALLED * named),
        count: all,
        said: match rings.len() {
            0 if loose > 0 => {
                format!("{loose} of {all} line(s) close rooms together, {called} with a name inside")
            }
            0 => format!("none of its {all} line(s) is a closed outline of a room's size"),
            n => format!(
                "{n} of {all} drawn are closed outlines of a room's size, {called} with a name inside"
            ),
        },
    })
}

pub fn devices(read: &Read, items: &[usize]) -> Option<Seen> {
    if read.plan.rooms.is_empty() {
        return None;
    }
    // A symbol stands for what is in it.
    let symbol = |i: usize| matches!(read.flat.items[i].prim, Prim::Symbol(_));
    let outer = |i: usize| {
        let mut at = read.flat.items[i].within.filter(|&w| w < i);
        while let Some(w) = at {
            if items.binary_search(&w).is_ok() {
                return false;
            }
            at = read.flat.items[w].within.filter(|&v| v < w);
        }
        true
    };
    let middles: Vec<_> = (items.iter().copied().filter(|&i| outer(i)))
        .filter_map(|i| {
            let inside = match symbol(i) {
                true => read.classes.all_inside(i),
                false => vec![i],
            };
            let points = inside.iter().filter_map(|&c| chords(&read.flat.items[c].prim));
            bounds(points.flat_map(|(points, _)| points)).map(|(low, high)| (low + high) * 0.5)
        })
        .collect();
    let all = middles.len();
    let housed = middles
        .iter()
        .filter(|&&p| room_of(&read.plan.rooms, p).is_some())
        .count();
    (all > 0).then(|| Seen {
        share: OUTSIDE + (1.0 - OUTSIDE) * housed as f64 / all as f64,
        count: all,
        said: format!("{} of {all} drawn in rooms", of_all(housed, all)),
    })
}
