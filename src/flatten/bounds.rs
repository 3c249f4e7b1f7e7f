//! How much INSERTs may draw: bounded by the memory that has to do with the size of the file.
//!
//! A few hundred bytes may ask for millions of things: an array of a thousand by a thousand, or blocks in blocks in blocks.
//! A drawing may take 20 times its size and what any may; INSERTs draw what its own entities leave of that.

use super::{Item, PathVertex, Prim, Symbol, SymbolAttrib};
use crate::note::Note;

/// Bytes of memory that a byte of the file may cost.
const TIMES: u64 = 20;
/// What INSERTs may draw in any drawing, however small: 1,600 cells of 40 lines, 65,000 lines.
const ANY: u64 = 12 << 20;
/// And at most in the largest.
const MOST: u64 = 400 << 20;
/// What an entity costs that is written: its place in the file (in lists that grow by doubling), decoded, drawn once.
const WRITTEN: u64 = 600;
/// An item, whatever it draws.
pub const ITEM: u64 = size_of::<Item>() as u64;
/// What INSERTs that would draw more than all by themselves may draw together; they are mistakes or traps, and the rest of
/// the plan keeps its room. For each entity that is written, and least and most of it.
const TIMES_OVERSIZED: u64 = 2 * ITEM;
const OVERSIZED: (u64, u64) = (2_000 * ITEM, 200_000 * ITEM);

/// Bytes of memory that INSERTs may fill with what they draw.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bounds {
    /// All of them.
    pub most: u64,
    /// Of these, those together that would draw more than all by themselves.
    pub share: u64,
}

impl Bounds {
    /// By the bytes of the file and the entities that are written in model space and in blocks.
    pub fn of(bytes: u64, written: u64) -> Bounds {
        let left = (TIMES.saturating_mul(bytes)).saturating_sub(WRITTEN.saturating_mul(written));
        let most = ANY.saturating_add(left).min(MOST);
        let share = written.saturating_mul(TIMES_OVERSIZED);
        Bounds {
            most,
            share: share.clamp(OVERSIZED.0, OVERSIZED.1),
        }
    }
}

/// Bytes that a primitive holds beyond its item.
pub fn beyond(prim: &Prim) -> u64 {
    /// What goes before the letters of a shared text.
    const COUNTS: usize = 16;
    let bytes = match prim {
        Prim::Path { vertices, .. } => size_of::<PathVertex>() * vertices.len(),
        Prim::Face(ring) => size_of_val(ring.as_slice()),
        Prim::Region { loops, .. } => {
            let rings = loops.iter().map(|ring| size_of_val(ring.as_slice()));
            size_of_val(loops.as_slice()) + rings.sum::<usize>()
        }
        Prim::Text { text, .. } | Prim::Dimension { text, .. } => COUNTS + text.len(),
        Prim::Symbol(symbol) => size_of::<Symbol>() + size_of::<SymbolAttrib>() * symbol.attribs.len(),
        Prim::Segment { .. }
        | Prim::Point(_)
        | Prim::Circle { .. }
        | Prim::Arc { .. }
        | Prim::Ellipse { .. }
        | Prim::Opaque => 0,
    };
    bytes as u64
}

/// Bytes that copies of an INSERT's symbol with so many attributes take beyond their items.
pub fn copied(copies: u64, attribs: u64) -> u64 {
    let symbol = attribs
        .saturating_mul(size_of::<SymbolAttrib>() as u64)
        .saturating_add(size_of::<Symbol>() as u64);
    copies.saturating_mul(symbol)
}

/// The remark on an INSERT that draws `read` of the `inside` items in its block.
pub fn oversized_note(block: &str, inside: u64, read: u64) -> Note {
    let part = match read {
        0 => "nothing".to_string(),
        _ => format!("no more than the first {read}"),
    };
    let message = format!(
        "block \"{block}\" would draw {inside} things, more than a drawing of this size may: {part} of it is read; see whether \
         the blocks in it are inserted over and over by mistake, else split the drawing"
    );
    Note::loss("too-many", message)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_may_be_drawn_has_to_do_with_the_size_of_the_file() {
        let of = |bytes, written| Bounds::of(bytes, written).most;
        assert_eq!(of(0, 0), 12 << 20);
        // A sheet of tiles: 1,600 cells of 40 lines each, in the smallest file.
        assert!(1_600 * (41 * ITEM + size_of::<Symbol>() as u64) <= of(1_000, 45));
        // A floor of 1,000 things in a file of a megabyte, a hundred times.
        assert!(100_000 * ITEM <= of(1_000_000, 6_000));
        // What is written comes first, and there is an end to it.
        assert_eq!(of(1_000_000, 30_000), (12 << 20) + 2_000_000);
        assert_eq!(of(1_000_000, 40_000), 12 << 20);
        assert_eq!(of(u64::MAX, 1), 400 << 20);
    }

    #[test]
    fn traps_share_a_part() {
        let of = |written| Bounds::of(0, written).share;
        assert_eq!(of(0), 2_000 * ITEM);
        assert_eq!(of(1_500), 3_000 * ITEM);
        assert_eq!(of(u64::MAX), 200_000 * ITEM);
    }
}
