//! Boxes round names: outlines on room layers that hug what is written in them are no rooms.

use geo::Coord;

use super::super::shape::{area, bounds, contains, point_to_segment, rectangle};
use super::super::walls::runs;
use super::reads_like_a_name;
use crate::flatten::{Flat, Prim};
use crate::note::Note;
use crate::plan::Room;

/// A box round a text is no higher than so many heights of its letters a line, and no larger than so many times the text.
const HIGH: f64 = 4.5;
const LARGE: f64 = 9.0;
/// Boxes of one width for all names fit one of so many letters.
const LETTERS: usize = 8;
/// Of a letter with its share of the line's spacing: width and height over the height of a capital (common practice).
const LETTER: (f64, f64) = (0.85, 1.6);
/// A box is no more than this share of the room that the walls close round it.
const SHARE: f64 = 0.25;
/// What is drawn along a wall has two corners this near to it, inches; a box beside a wall, or across it, has not.
const ON: f64 = 0.5;

/// Takes out outlines that only frame a text within far larger rooms between the walls; those rooms hold. Gives whether
/// there were any.
pub fn leave_out(flat: &Flat, rooms: &mut Vec<Room>, walled: &[Room], notes: &mut Vec<Note>) -> bool {
    let texts: Vec<(Coord, f64, usize, usize)> = (flat.items.iter().filter(|i| i.visible))
        .filter_map(|item| match &item.prim {
            Prim::Text { at, height, text, .. } if *height > 0.0 => {
                let letters = text.lines().map(|l| l.chars().count()).max()?;
                let named = text.lines().any(reads_like_a_name);
                named.then_some((*at, *height, letters, text.lines().count()))
            }
            _ => None,
        })
        .collect();
    let frames = |room: &Room| {
        let (mut high, mut large, mut any) = (0.0, 0.0, false);
        for (at, height, letters, lines) in &texts {
            if contains(&room.outline, *at) {
                let lines = *lines as f64;
                high += HIGH * height * lines;
                large +=
                    LARGE * height * height * LETTER.0 * LETTER.1 * (*letters).max(LETTERS) as f64 * lines;
                any = true;
            }
        }
        let (_, short) = rectangle(&room.outline);
        any && short <= high && area(&room.outline).abs() <= large
    };
    let hugs = |room: &Room| {
        let around = |w: &&Room| {
            let sides = runs(&w.outline, true);
            let on = |p: &&Coord| sides.iter().any(|(a, b)| point_to_segment(**p, *a, *b) <= ON);
            area(&room.outline).abs() <= SHARE * area(&w.outline).abs()
                && bounds(room.outline.iter().copied())
                    .is_some_and(|(l, h)| contains(&w.outline, (l + h) * 0.5))
                && room.outline.iter().filter(on).count() < 2
        };
        walled.iter().any(|w| around(&w)) && frames(room)
    };
    let before = rooms.len();
    let mut first = None;
    rooms.retain(|room| {
        let out = hugs(room);
        if out && first.is_none() {
            first = bounds(room.outline.iter().copied()).map(|b| b.0);
        }
        !out
    });
    let Some(first) = first else { return false };
    notes.push(Note::info(
        "room-frames",
        format!(
            "{} outline(s) on room layers only frame a text within rooms that the walls close, the first at ({:.1}, {:.1}) \
             in: they are taken for boxes round names, and the rooms between the walls hold",
            before - rooms.len(),
            first.x,
            first.y
        ),
    ));
    true
}
