//! The lights, each in a style of its own.

use geo::Coord;

use super::pen::{Pen, at};
use super::writer::{Group, int, real, text};

/// An array in a mirrored block, drawn for a whole room at once.
pub const NESTED_ARRAY: usize = 11;
/// Mirrored in x within a block that is mirrored in y.
const TWICE: usize = 12;
/// A leader from the tag to the light.
pub const LED: usize = 13;
/// A solid dot.
pub const DOT: usize = 14;
/// In a block that was a drawing of its own.
pub const BOUND: usize = 15;

pub fn light(pen: &mut Pen, style: usize, n: &[&str; 6], p: Coord) {
    let layer = n[0];
    match style {
        0 => {
            pen.insert(layer, n[4], p, false, &[int(66, 1)]);
            pen.attribute(layer, p + at(5.0, 5.0), "A");
        }
        // The block's circle stands at (9, 4) of its own origin.
        1 => pen.insert(layer, n[4], p - at(9.0, 4.0), false, &[]),
        3 => pen.insert(layer, n[4], p + at(9.0, -4.0), true, &[]),
        // On layer 0, so that nothing but the true name tells.
        8 => pen.insert("0", "*U7", p, false, &[]),
        TWICE => pen.insert_scaled(layer, "OUTER", p + at(9.0, 4.0), (1.0, -1.0), 0.0),
        5 | 10 | LED => pen.circle(layer, p, 3.0),
        6 => {
            pen.circle(layer, p, 3.0);
            pen.line(layer, p - at(4.0, 0.0), p + at(4.0, 0.0));
            pen.line(layer, p - at(0.0, 4.0), p + at(0.0, 4.0));
        }
        DOT => {
            let odd = !pen.out.len().is_multiple_of(2);
            pen.disc(layer, p, 3.0, odd);
            // Half of them have an outline too.
            if p.x > p.y && !pen.r12 {
                pen.circle(layer, p, 3.0);
            }
        }
        7 => pen.path(layer, &[p - at(3.0, 0.0), p + at(3.0, 0.0)], true, 1.0, 0.0),
        _ => pen.insert(layer, n[4], p, false, &[]),
    }
    if style == LED {
        // Every other leader has a landing and stands on a layer of notes.
        let (from, to) = (p + at(2.4, 1.8), p + at(18.0, 13.0));
        if pen.out.len().is_multiple_of(2) {
            pen.line(layer, from, to);
        } else {
            pen.path("A-ANNO-TEXT", &[from, to - at(5.0, 0.0), to], false, 0.0, 0.0);
        }
        pen.words(layer, p + at(19.0, 11.0), 4.0, "A");
    }
    if matches!(style, 9 | 10) {
        pen.words(layer, p + at(5.0, 2.0), 4.0, "A");
    }
}

pub fn block(name: &str, more: &[Group]) -> Vec<Group> {
    let mut out = vec![text(0, "BLOCK"), text(8, "0"), text(2, name), int(70, 0)];
    out.extend([real(10, 0.0), real(20, 0.0)]);
    out.extend(more.iter().cloned());
    out
}

pub fn light_blocks(pen: &mut Pen, style: usize, n: &[&str; 6]) {
    let c = if matches!(style, 1 | 3 | TWICE) {
        at(9.0, 4.0)
    } else {
        at(0.0, 0.0)
    };
    let end = [text(0, "ENDBLK"), text(8, "0")];
    let shape = |pen: &mut Pen| {
        pen.circle("0", c, 3.0);
        pen.line("0", c - at(3.0, 0.0), c + at(3.0, 0.0));
        pen.line("0", c - at(0.0, 3.0), c + at(0.0, 3.0));
    };
    if style == 2 {
        let inner = block(pen.called("INNER"), &[]);
        pen.out.extend(inner);
        shape(pen);
        pen.out.extend(end.clone());
    }
    for name in [n[4], "*U7"] {
        pen.out.extend(block(name, &[]));
        match style {
            2 => pen.insert("0", "INNER", at(0.0, 0.0), false, &[]),
            _ => shape(pen),
        }
        pen.out.extend(end.clone());
    }
    if style == TWICE {
        let outer = block(pen.called("OUTER"), &[]);
        pen.out.extend(outer);
        pen.insert("0", n[4], at(0.0, 0.0), true, &[]);
        pen.out.extend(end);
    }
}
