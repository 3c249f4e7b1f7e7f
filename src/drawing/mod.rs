//! Bytes to entities, losslessly: the group-code layer.
//!
//! Words: a *tag* is a group code and its value; a *drawing* keeps its source and
//! byte ranges into it, and never copies or changes a byte of it.

use std::borrow::Cow;
use std::ops::Range;

pub mod types;
pub use types::*;

use crate::note::Note;

/// A drawing that was read: an index over its source bytes.
#[derive(Debug)]
pub struct Drawing<'a> {
    pub source: &'a [u8],
    pub format: Format,
    pub version: Version,
    pub header: Vec<HeaderVar>,
    pub layers: Vec<Layer>,
    pub blocks: Vec<Block>,
    /// Index of every entity outside blocks, in file order (model and paper space alike).
    pub entities: Vec<EntityRef>,
    /// Byte ranges of sections, tables and what the splice needs.
    pub structure: Structure,
    pub(crate) encoding: &'static encoding_rs::Encoding,
}

impl<'a> Drawing<'a> {
    /// The typed view of one entity, decoded on demand.
    pub fn entity(&self, e: &EntityRef) -> (Entity<'a>, Option<Note>) {
        let _ = e;
        todo!("drawing helper")
    }

    /// The tags in a byte range of the source.
    pub fn tags(&self, range: Range<usize>) -> Vec<Tag> {
        let _ = range;
        todo!("drawing helper")
    }

    /// A value's text, decoded by the drawing's code page, escapes resolved.
    pub fn text(&self, value: Range<usize>) -> Cow<'a, str> {
        let _ = value;
        todo!("drawing helper")
    }

    /// Line number, from 1, of a byte offset (ASCII only; `None` for binary).
    pub fn line_of(&self, offset: usize) -> Option<usize> {
        let _ = offset;
        None
    }
}

/// Reads a drawing. `Err` only where nothing is usable.
pub fn read(source: &[u8]) -> Result<(Drawing<'_>, Vec<Note>), ReadError> {
    let _ = source;
    todo!("drawing helper")
}
