//! Treads of a stair that lines on the walls' layer draw in a room: equal rectangles, as deep as a tread, side by side.

use std::collections::BTreeSet;

use geo::Coord;

use super::super::shape::{bounds, corners, distance, rectangle};
use super::from_walls::THINNEST;
use super::strips::{Sides, around, only_name};
use crate::geom::faces::{Face, Network};
use crate::note::Note;

/// From one tread's edge to the next, and how wide a stair is, inches (common practice; codes ask for 10 or 11, and 36).
const DEEP: std::ops::RangeInclusive<f64> = 9.5..=12.5;
const WIDE: std::ops::RangeInclusive<f64> = 30.0..=72.0;
/// Treads of one flight are equal within this, inches.
const EQUAL: f64 = 0.25;
/// Fewest treads that are told by their shape alone.
const FEWEST: usize = 4;

type Segment = (Coord, Coord);

/// Takes the lines of treads out of the network where one named room is about them and walls, and nothing else.
pub fn join(network: &mut Network, names: &[(Coord, String)], notes: &mut Vec<Note>) {
    let faces = network.faces();
    let cells: Vec<Option<(f64, f64)>> = faces.iter().map(tread).collect();
    if cells.iter().flatten().count() < FEWEST {
        return;
    }
    let sides = Sides::new(&faces);
    let mut seen = vec![false; faces.len()];
    let mut gone: BTreeSet<_> = BTreeSet::new();
    let mut told: Vec<(usize, Coord, &str)> = Vec::new();
    for first in 0..faces.len() {
        let Some((deep, wide)) = cells[first].filter(|_| !seen[first]) else {
            continue;
        };
        let like =
            |f: usize| cells[f].is_some_and(|(d, w)| (d - deep).abs() <= EQUAL && (w - wide).abs() <= EQUAL);
        let (mut flight, mut edges, mut rooms) = (vec![first], Vec::new(), BTreeSet::new());
        let (mut alone, mut next) = (true, 0);
        seen[first] = true;
        while let Some(&cell) = flight.get(next) {
            next += 1;
            for (a, b) in around(&faces[cell].outline) {
                match sides.other(cell, (a, b)) {
                    // The next tread lies beyond a whole long side.
                    Some(other) if like(other) && distance(a, b) > wide - EQUAL => {
                        edges.push((a, b));
                        if !seen[other] {
                            seen[other] = true;
                            flight.push(other);
                        }
                    }
                    Some(other) if thin(&faces[other]) && cells[other].is_none() => {}
                    Some(other) if !thin(&faces[other]) => {
                        edges.push((a, b));
                        rooms.insert(other);
                    }
                    _ => alone = false,
                }
            }
        }
        let room = match rooms.iter().collect::<Vec<_>>()[..] {
            [room] if alone && flight.len() >= FEWEST => only_name(&faces[*room], names),
            _ => None,
        };
        let (Some(name), Some((low, _))) = (room, bounds(faces[first].outline.iter().copied())) else {
            continue;
        };
        told.push((flight.len(), low, name));
        gone.extend(edges.into_iter().map(|(a, b): Segment| Sides::key(a, b)));
    }
    let Some((count, at, name)) = told.first() else {
        return;
    };
    notes.push(Note::info(
        "room-treads",
        format!(
            "{} flight(s) of equal treads on the walls' layer, the first of {} in {name} at ({:.1}, {:.1}) in, are taken for part of \
             the room: draw outlines of rooms where its ceiling is open there",
            told.len(),
            count,
            at.x,
            at.y
        ),
    ));
    let nodes = &network.nodes;
    network
        .edges
        .retain(|&(a, b)| !gone.contains(&Sides::key(nodes[a], nodes[b])));
}

/// How deep and wide a face is that may be a tread.
fn tread(face: &Face) -> Option<(f64, f64)> {
    let outline = corners(&face.outline, true);
    if outline.len() != 4 || !face.holes.is_empty() {
        return None;
    }
    let (wide, deep) = rectangle(&outline);
    let full = face.area() >= wide * deep * 0.99;
    (full && DEEP.contains(&deep) && WIDE.contains(&wide)).then_some((deep, wide))
}

fn thin(face: &Face) -> bool {
    face.area() < THINNEST * face.perimeter()
}
