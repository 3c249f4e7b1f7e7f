//! Flattening: small drawings of one matter each, with coordinates worked out by hand (derived),
//! and hostile ones that must end in a note, in bounded time.

use std::fmt::Write as _;

use bayline::drawing;
use bayline::flatten::{Flat, Item, Prim, Symbol, flatten};
use bayline::note::{Level, Note};
use bayline::plan::Units;
use geo::Coord;

mod fixtures;
mod hostile;

const NEAR: f64 = 1e-9;

fn inches(per_unit: f64) -> Units {
    Units {
        name: "in".into(),
        inches_per_unit: per_unit,
        why: "test".into(),
    }
}

fn flat_of(source: &[u8], per_unit: f64) -> (Flat, Vec<Note>) {
    let (drawing, _) = drawing::read(source).expect("the drawing reads");
    let (flat, notes) = flatten(&drawing, &inches(per_unit));
    assert_eq!(
        flat.entities,
        flat.items.len() + flat.dropped,
        "every entity is an item or dropped"
    );
    (flat, notes)
}

fn fixture(name: &str) -> (Flat, Vec<Note>) {
    let path = format!("{}/fixtures/flatten/{name}.dxf", env!("CARGO_MANIFEST_DIR"));
    let source = std::fs::read(&path).unwrap_or_else(|e| panic!("{path}: {e}"));
    flat_of(&source, 1.0)
}

/// A drawing without header of the blocks and entities given as `code value` pairs, split at `|`.
fn drawing_of(blocks: &str, entities: &str) -> Vec<u8> {
    let mut text = String::new();
    let mut put = |pairs: &str| {
        for pair in pairs.split('|').map(str::trim).filter(|p| !p.is_empty()) {
            let (code, value) = pair.split_once(' ').unwrap_or((pair, ""));
            writeln!(text, "{code}\n{value}").expect("strings grow");
        }
    };
    put("0 SECTION|2 BLOCKS");
    put(blocks);
    put("0 ENDSEC|0 SECTION|2 ENTITIES");
    put(entities);
    put("0 ENDSEC|0 EOF");
    text.into_bytes()
}

#[track_caller]
fn near(got: Coord, x: f64, y: f64) {
    assert!(
        (got.x - x).abs() < NEAR && (got.y - y).abs() < NEAR,
        "{got:?}, not ({x}, {y})"
    );
}

#[track_caller]
fn equal(got: f64, want: f64) {
    assert!((got - want).abs() < NEAR, "{got}, not {want}");
}

fn of<'f>(flat: &'f Flat, entity: &str) -> Vec<&'f Item> {
    flat.items.iter().filter(|i| &*i.entity == entity).collect()
}

fn segments(flat: &Flat) -> Vec<(Coord, Coord)> {
    let both = |p: &Prim| match p {
        Prim::Segment { from, to } => Some((*from, *to)),
        _ => None,
    };
    flat.items.iter().filter_map(|i| both(&i.prim)).collect()
}

fn circles(flat: &Flat) -> Vec<(Coord, f64)> {
    let both = |p: &Prim| match p {
        Prim::Circle { center, radius } => Some((*center, *radius)),
        _ => None,
    };
    flat.items.iter().filter_map(|i| both(&i.prim)).collect()
}

fn symbols(flat: &Flat) -> Vec<&Symbol> {
    let found = flat.items.iter().filter_map(|i| match &i.prim {
        Prim::Symbol(s) => Some(s.as_ref()),
        _ => None,
    });
    found.collect()
}

fn losses(notes: &[Note]) -> Vec<&'static str> {
    notes
        .iter()
        .filter(|n| n.level == Level::Loss)
        .map(|n| n.code)
        .collect()
}
