//! Drawings that were bound into another one: their names, and the units of their blocks.

use super::draw::Told;
use super::writer::{Group, int, text};

/// The drawing that a name was bound from.
pub fn reference(name: &str) -> &str {
    name.split_once("$0$").map_or(name, |(of, _)| of)
}

/// Names as binding the drawings of lights and of framing makes them.
pub fn bound_names(names: &[&str; 6], by: Told) -> [[String; 6]; 2] {
    let of = match by {
        Told::Given => ["ZR", "ZF"],
        Told::Words => ["2207-CEILING", "2207-FRAMING"],
        Told::Nothing => ["2207", "2208"],
    };
    of.map(|of| names.map(|n| format!("{of}$0${n}")))
}

/// Block records of bound drawings, with the units they were drawn in.
pub fn records(bound: &[[String; 6]; 2], unit: i16) -> Vec<Group> {
    let mut out = vec![text(0, "TABLE"), text(2, "BLOCK_RECORD"), int(70, 2)];
    for (names, handle) in bound.iter().zip(["A3", "A4"]) {
        out.extend([text(0, "BLOCK_RECORD"), text(5, handle)]);
        out.extend([text(2, reference(&names[0])), int(70, unit)]);
    }
    out.push(text(0, "ENDTAB"));
    out
}
