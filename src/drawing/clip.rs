//! Clips of INSERTs: SPATIAL_FILTER objects, which say what part of a block is shown.
//!
//! A filter hangs from its INSERT by dictionaries: the INSERT owns one, that one an `ACAD_FILTER`, and that the filter.
//! Source: the DXF reference, SPATIAL_FILTER.

use std::collections::BTreeMap;

use super::index::Index;
use super::true_name::Parents;
use crate::note::{Note, Place};

/// Corners that are held; a clip with more is told of and not used.
pub(super) const MOST_CORNERS: usize = 1_000;

/// The part of a block that one INSERT shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Clip {
    /// Corners in the clip's own coordinates; two are opposite corners of a rectangle.
    pub corners: Vec<[f64; 2]>,
    /// From the world as it was when the clip was made to the clip's coordinates: rows of an affine map.
    pub to_clip: [[f64; 4]; 3],
    /// From that world to the block's coordinates.
    pub to_block: [[f64; 4]; 3],
}

/// Clips by the handle of the INSERT.
pub(super) fn clips(
    index: &Index,
    line_of: impl Fn(usize) -> Option<usize>,
    notes: &mut Vec<Note>,
) -> BTreeMap<u64, Clip> {
    let mut found = BTreeMap::new();
    if index.filters.is_empty() {
        return found;
    }
    let parents = Parents::new(index);
    for filter in index.filters.iter().filter(|f| f.enabled) {
        match (filter.owner, filter.clip()) {
            (Some(owner), Some(clip)) => {
                found.entry(parents.top(owner)).or_insert(clip);
            }
            _ => notes.push(
                Note::warning(
                    "clip-unread",
                    "a clip of a block is not understood: what it hides is read too",
                )
                .at(Place {
                    line: line_of(filter.offset),
                    offset: Some(filter.offset),
                    ..Place::default()
                }),
            ),
        }
    }
    found
}
