//! Splices layers, blocks and entities into a drawing's own bytes.
//!
//! Every byte of the source stays. What is added goes in where its kind belongs (layers
//! at the end of their table, blocks and entities at the end of their sections), written as the
//! source is written; the handle seed and the counts of tables are changed in place.
//! [`unsplice`] takes it all out again.

use std::collections::BTreeSet;
use std::ops::Range;

use super::{Drawing, encode};
use crate::note::Note;

mod blocks;
mod close;
mod edits;
mod look;
mod place;
mod records;

/// A layer to add.
#[derive(Clone, Debug, PartialEq)]
pub struct NewLayer {
    pub name: String,
    /// AutoCAD Color Index, 1 to 255.
    pub color: i16,
}

/// A block to add, its base point the origin.
#[derive(Clone, Debug, PartialEq)]
pub struct NewBlock {
    pub name: String,
    /// What it holds; an [`NewShape::Insert`] in it is left out.
    pub shapes: Vec<NewShape>,
}

/// An entity to add to model space.
#[derive(Clone, Debug, PartialEq)]
pub struct NewEntity {
    /// Index into the layers given along.
    pub layer: usize,
    pub shape: NewShape,
}

/// Plain shapes that every reader knows; lengths in drawing units, angles in degrees.
#[derive(Clone, Debug, PartialEq)]
pub enum NewShape {
    Line {
        from: [f64; 2],
        to: [f64; 2],
    },
    Circle {
        center: [f64; 2],
        radius: f64,
    },
    Polyline {
        points: Vec<[f64; 2]>,
        closed: bool,
    },
    /// Anchored at its middle where `centred`, else at the left end of its baseline.
    Text {
        at: [f64; 2],
        height: f64,
        angle: f64,
        centred: bool,
        text: String,
    },
    /// A block given along, by its index.
    Insert {
        block: usize,
        at: [f64; 2],
        angle: f64,
    },
}

/// A real number of the source to write anew.
#[derive(Clone, Debug, PartialEq)]
pub struct NewValue {
    /// The bytes of the old value, line end left out.
    pub at: Range<usize>,
    pub value: f64,
}

/// What was spliced: the bytes, and how to get the source back.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Spliced {
    pub bytes: Vec<u8>,
    /// Ranges of `bytes` that are not the source's, in order.
    pub added: Vec<Range<usize>>,
    /// Values changed in place (handle seed, count of layers, what was moved): the range in `bytes` and
    /// the source's bytes there, in order.
    pub replaced: Vec<(Range<usize>, Vec<u8>)>,
    pub notes: Vec<Note>,
}

/// Splices entities and the layers they use into the drawing.
///
/// A layer that no entity uses is left out. Where the drawing has one of the layers
/// already, all of them get the same free number behind their names. Entities with a
/// coordinate that is no finite number are left out, and a note says how many.
pub fn splice(drawing: &Drawing<'_>, layers: &[NewLayer], entities: &[NewEntity]) -> Spliced {
    splice_with(drawing, layers, entities, &[])
}

/// The same, with numbers of the source written anew. A number that is not finite, or whose place is not
/// the source's or overlaps another's, is left as it is.
pub fn splice_with(
    drawing: &Drawing<'_>,
    layers: &[NewLayer],
    entities: &[NewEntity],
    values: &[NewValue],
) -> Spliced {
    splice_all(drawing, layers, &[], entities, values)
}

/// The same, with blocks that the entities insert; one that none inserts is left out, one whose name the drawing
/// has gets a free number behind it. Where blocks cannot be added what inserts them is left out too, and a note says so.
pub fn splice_all(
    drawing: &Drawing<'_>,
    layers: &[NewLayer],
    blocks: &[NewBlock],
    entities: &[NewEntity],
    values: &[NewValue],
) -> Spliced {
    let mut notes = Vec::new();
    let whole = |b: &NewBlock| b.shapes.iter().all(finite);
    let mut sound: Vec<&NewEntity> = entities
        .iter()
        .filter(|e| e.layer < layers.len() && finite(&e.shape))
        .filter(|e| inserted(e).is_none_or(|b| blocks.get(b).is_some_and(whole)))
        .collect();
    if sound.len() < entities.len() {
        let lost = entities.len() - sound.len();
        let message = format!("{lost} marks have no finite place and are missing in the redline");
        notes.push(Note::loss("redline-place", message));
    }
    let mut edits = edits::Edits::default();
    if !sound.is_empty() {
        let names = free_names(drawing, layers, &mut notes);
        let block_names = free_blocks(drawing, blocks);
        let look = look::look(drawing);
        let mut pen = records::Pen::new(drawing, &look, block_names.clone());
        let new: Vec<(&str, &NewBlock)> = (block_names.iter().zip(blocks).enumerate())
            .filter(|(i, _)| sound.iter().any(|e| inserted(e) == Some(*i)))
            .map(|(_, (name, block))| (name.as_str(), block))
            .collect();
        if !blocks::add(drawing, &mut pen, &new, &mut edits, &mut notes) {
            sound.retain(|e| inserted(e).is_none());
        }
        let used: Vec<(&str, i16)> = layers
            .iter()
            .zip(&names)
            .enumerate()
            .filter(|(i, _)| sound.iter().any(|e| e.layer == *i))
            .map(|(_, (layer, name))| (name.as_str(), layer.color))
            .collect();
        if !sound.is_empty() {
            let layer_bytes = pen.layers(&used);
            let marks = sound
                .iter()
                .filter_map(|e| Some((names.get(e.layer)?.as_str(), &e.shape)));
            let entity_bytes = pen.entities(marks);
            place::layers(drawing, &mut pen, layer_bytes, used.len(), &mut edits);
            place::entities(drawing, &mut pen, entity_bytes, &mut edits, &mut notes);
            place::seed(drawing, pen.next_handle(), &mut edits);
        }
    }
    let mut values: Vec<&NewValue> = values.iter().filter(|v| v.value.is_finite()).collect();
    values.sort_by_key(|v| (v.at.start, v.at.end));
    let mut free = 0;
    for v in values {
        if v.at.start >= free && v.at.start < v.at.end && v.at.end <= drawing.source.len() {
            free = v.at.end;
            edits.replace(v.at.clone(), encode::real_bytes(drawing.format, v.value));
        }
    }
    let mut spliced = edits.apply(drawing.source);
    spliced.notes = notes;
    spliced
}

/// Takes what was spliced out again: the source, byte for byte.
pub fn unsplice(spliced: &Spliced) -> Vec<u8> {
    let mut cuts: Vec<(&Range<usize>, &[u8])> = spliced.added.iter().map(|r| (r, [].as_slice())).collect();
    cuts.extend(spliced.replaced.iter().map(|(r, old)| (r, old.as_slice())));
    cuts.sort_by_key(|(range, _)| (range.start, range.end));
    let mut out = Vec::with_capacity(spliced.bytes.len());
    let mut at = 0;
    for (range, old) in cuts {
        out.extend_from_slice(spliced.bytes.get(at..range.start).unwrap_or_default());
        out.extend_from_slice(old);
        at = range.end;
    }
    out.extend_from_slice(spliced.bytes.get(at..).unwrap_or_default());
    out
}

/// The block that an entity inserts.
fn inserted(e: &NewEntity) -> Option<usize> {
    match e.shape {
        NewShape::Insert { block, .. } => Some(block),
        _ => None,
    }
}

/// The blocks' names, numbered where the drawing has a block so named.
fn free_blocks(drawing: &Drawing<'_>, blocks: &[NewBlock]) -> Vec<String> {
    let mut taken: BTreeSet<String> = (drawing.blocks.iter())
        .map(|b| b.name.trim().to_lowercase())
        .collect();
    let free = |b: &NewBlock| {
        let mut name = b.name.clone();
        let mut n = 2;
        while !taken.insert(name.trim().to_lowercase()) {
            name = format!("{}-{n}", b.name);
            n += 1;
        }
        name
    };
    blocks.iter().map(free).collect()
}

fn finite(shape: &NewShape) -> bool {
    let all = |points: &[[f64; 2]]| points.iter().flatten().all(|x| x.is_finite());
    match shape {
        NewShape::Line { from, to } => all(&[*from, *to]),
        NewShape::Circle { center, radius } => all(&[*center]) && radius.is_finite() && *radius > 0.0,
        NewShape::Polyline { points, .. } => points.len() >= 2 && all(points),
        NewShape::Text {
            at, height, angle, ..
        } => all(&[*at]) && height.is_finite() && *height > 0.0 && angle.is_finite(),
        NewShape::Insert { at, angle, .. } => all(&[*at]) && angle.is_finite(),
    }
}

/// The names, numbered where the drawing has one of them (it was redlined before).
fn free_names(drawing: &Drawing<'_>, layers: &[NewLayer], notes: &mut Vec<Note>) -> Vec<String> {
    let numbered = |n: usize| -> Vec<String> {
        let number = if n < 2 { String::new() } else { format!("-{n}") };
        layers.iter().map(|l| format!("{}{number}", l.name)).collect()
    };
    let taken = |names: &[String]| {
        let theirs = || drawing.layers.iter().map(|l| l.name.trim());
        names
            .iter()
            .any(|name| theirs().any(|l| l.eq_ignore_ascii_case(name)))
    };
    // Each number that is taken needs a layer of the drawing, so that one is free.
    let mut n = 1;
    while taken(&numbered(n)) && n <= drawing.layers.len() + 1 {
        n += 1;
    }
    if n > 1 {
        let message = format!("the drawing was redlined before; this redline's layers end in -{n}");
        notes.push(Note::info("redlined-before", message));
    }
    numbered(n)
}
