//! The redline as DXF: marks spliced into the source's own bytes.
use crate::drawing::Drawing;
use crate::note::Note;
use crate::sheet::Sheet;

/// What was spliced: the bytes, and the ranges of `bytes` that are not the source's, so that taking
/// them out gives the source back. `replaced` lists header seed and count values changed in place:
/// (range in `bytes`, the source's bytes there).
pub struct Spliced {
    pub bytes: Vec<u8>,
    pub added: Vec<std::ops::Range<usize>>,
    pub replaced: Vec<(std::ops::Range<usize>, Vec<u8>)>,
    pub notes: Vec<Note>,
}

pub fn redline(drawing: &Drawing<'_>, sheet: &Sheet, inches_per_unit: f64) -> Spliced {
    let _ = (drawing, sheet, inches_per_unit);
    todo!("splice helper")
}
