//! Small drawings, one matter each. They are written one tag a line, `code value`, and
//! laid out as ASCII or binary by the helpers here.

mod binary;
mod damage;
mod entities;
mod leaders;
mod mangled;
mod meshes;
mod multilines;
mod refusals;
mod splines;
mod structure;
mod texts;

use super::tag::{SENTINEL, ValueKind, value_kind};
use super::*;
use crate::note::Level;

/// Codes and values of a drawing written one tag a line.
fn pairs(drawing: &str) -> impl Iterator<Item = (i16, &str)> {
    let lines = drawing.lines().map(str::trim_start).filter(|l| !l.is_empty());
    lines.map(|line| {
        let (code, value) = line.split_once(' ').unwrap_or((line, ""));
        (code.parse().expect("a fixture's code"), value)
    })
}

/// The ASCII form, codes in three columns as CAD programs write them.
fn ascii(drawing: &str) -> Vec<u8> {
    pairs(drawing)
        .map(|(code, value)| format!("{code:>3}\n{value}\n"))
        .collect::<String>()
        .into_bytes()
}

/// The binary form, with one-byte codes or (`wide`) two-byte ones.
fn binary(drawing: &str, wide: bool) -> Vec<u8> {
    let mut out = SENTINEL.to_vec();
    for (code, value) in pairs(drawing) {
        match u8::try_from(code) {
            Ok(code) if !wide => out.push(code),
            _ if !wide => {
                out.push(255);
                out.extend(code.to_le_bytes());
            }
            _ => out.extend(code.to_le_bytes()),
        }
        let whole = || {
            value
                .trim()
                .parse::<i64>()
                .expect("a fixture's whole number")
                .to_le_bytes()
        };
        match value_kind(code) {
            ValueKind::Text | ValueKind::Handle => {
                out.extend(value.as_bytes());
                out.push(0);
            }
            ValueKind::Real => out.extend(value.parse::<f64>().expect("a fixture's number").to_le_bytes()),
            ValueKind::Int16 => out.extend(&whole()[..2]),
            ValueKind::Int32 => out.extend(&whole()[..4]),
            ValueKind::Int64 => out.extend(whole()),
            ValueKind::Byte => out.push(whole()[0]),
            ValueKind::Chunk => {
                let bytes = (0..value.len() / 2).map(|i| u8::from_str_radix(&value[2 * i..2 * i + 2], 16));
                let bytes: Vec<u8> = bytes.collect::<Result<_, _>>().expect("a fixture's chunk");
                out.push(u8::try_from(bytes.len()).expect("a chunk of at most 255 bytes"));
                out.extend(bytes);
            }
        }
    }
    out
}

/// Wraps entities into a whole R12 drawing.
fn plan(entities: &str) -> String {
    format!("0 SECTION\n2 ENTITIES\n{entities}\n0 ENDSEC\n0 EOF\n")
}

/// The typed view of every entity of a layout, and every note that came up.
fn view(source: &[u8]) -> (Vec<Entity<'_>>, Vec<Note>) {
    let (drawing, mut notes) = read(source).expect("a drawing");
    let mut entities = Vec::new();
    for e in &drawing.entities {
        let (entity, note) = drawing.entity(e);
        entities.push(entity);
        notes.extend(note);
    }
    (entities, notes)
}

/// The one entity of a drawing without anything odd in it.
fn one(source: &[u8]) -> Entity<'_> {
    let (mut entities, notes) = view(source);
    assert_eq!(entities.len(), 1, "{entities:?}");
    assert!(notes.iter().all(|n| n.level == Level::Info), "{notes:?}");
    entities.remove(0)
}

/// Codes of the notes above [`Level::Info`].
fn codes(notes: &[Note]) -> Vec<&'static str> {
    notes
        .iter()
        .filter(|n| n.level > Level::Info)
        .map(|n| n.code)
        .collect()
}
