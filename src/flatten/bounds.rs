//! How much INSERTs may draw: bounded by what is in the file, so that what a drawing costs has to do with its size.

use crate::note::Note;

/// Most items that INSERTs may draw in one plan; entities of model space itself do not count.
const MOST_DRAWN: u64 = 2_000_000;
/// They draw no more than this many for each entity that is in the file: five hundred units of one floor are half of it.
const TIMES: u64 = 1_000;
/// What they may draw in any drawing, however small.
const FEW: u64 = 100_000;
/// The same for INSERTs that would draw more than all that each by itself, together; they are mistakes or traps, and
/// the rest of the plan keeps its room. Least and most of it.
const TIMES_OVERSIZED: u64 = 2;
const OVERSIZED: (u64, u64) = (2_000, 200_000);

/// Items that INSERTs may draw.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bounds {
    /// All of them.
    pub most: u64,
    /// Of these, those together that would draw more than all by themselves.
    pub share: u64,
}

impl Bounds {
    /// By the entities that are written in model space and in blocks.
    pub fn of(written: u64) -> Bounds {
        let share = written.saturating_mul(TIMES_OVERSIZED);
        Bounds {
            most: written.saturating_mul(TIMES).clamp(FEW, MOST_DRAWN),
            share: share.clamp(OVERSIZED.0, OVERSIZED.1),
        }
    }
}

/// The remark on an INSERT that draws `read` of the `inside` items in its block.
pub fn oversized_note(block: &str, inside: u64, read: u64) -> Note {
    let part = match read {
        0 => "nothing".to_string(),
        _ => format!("only the first {read}"),
    };
    let message = format!(
        "block \"{block}\" would draw {inside} things, more than can be held: {part} of it is read; see whether the blocks \
         in it are inserted over and over by mistake, else split the drawing"
    );
    Note::loss("too-many", message)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_may_be_drawn_has_to_do_with_what_is_written() {
        let of = |written| (Bounds::of(written).most, Bounds::of(written).share);
        assert_eq!(of(0), (100_000, 2_000));
        assert_eq!(of(1_500), (1_500_000, 3_000));
        assert_eq!(of(u64::MAX), (2_000_000, 200_000));
    }
}
