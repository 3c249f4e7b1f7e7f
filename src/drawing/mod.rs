//! Bytes to entities, losslessly: the group-code layer.
//!
//! Words: a *tag* is a group code and its value; a *drawing* keeps its source and
//! byte ranges into it, and never copies or changes a byte of it. Reading makes one
//! pass over the tags and keeps an index; entities are decoded when asked for.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::OnceLock;

mod clip;
mod dos;
mod encode;
mod encoding;
mod entity;
mod escape;
mod family;
mod index;
mod mend;
mod mtext;
mod number;
mod read;
mod resync;
mod sniff;
pub mod splice;
mod tag;
#[cfg(test)]
mod tests;
mod true_name;
pub mod types;

pub use clip::Clip;
pub use mend::mend;
pub use read::read;
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
    /// Index of every entity of a layout, in file order (model and paper space alike),
    /// those that stand in the block of a layout included.
    pub entities: Vec<EntityRef>,
    /// Byte ranges of sections, tables and what the splice needs.
    pub structure: Structure,
    /// Styles of MLINEs, in file order.
    pub mline_styles: Vec<MlineStyle>,
    /// Clips of INSERTs, by the INSERT's handle.
    pub clips: BTreeMap<u64, Clip>,
    pub(crate) encoding: encoding::CodePage,
    /// The whole source, where it can be borrowed from as it is: pure ASCII, or UTF-8 both
    /// by name and in fact.
    as_text: Option<&'a str>,
    layout: tag::Layout,
    /// Handles of the block records of model space and of paper spaces.
    layouts: Vec<(u64, Space)>,
    /// The same by handle; of two with one handle the first.
    spaces: BTreeMap<u64, Space>,
    /// Where the blocks of layouts lie, in file order.
    layout_blocks: Vec<(Range<usize>, Space)>,
    /// Line ends before every [`LINE_STEP`]th byte; counted when first asked for.
    lines: OnceLock<Vec<usize>>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Space {
    Model,
    Paper,
}

const LINE_STEP: usize = 1 << 16;

impl<'a> Drawing<'a> {
    /// The typed view of one entity, decoded on demand. The note tells what was odd in
    /// it; where it is a loss, the shape is [`Shape::Other`].
    pub fn entity(&self, e: &EntityRef) -> (Entity<'a>, Option<Note>) {
        entity::decode(self, e)
    }

    /// The tags in a byte range of the source, comments (999) included.
    pub fn tags(&self, range: Range<usize>) -> Vec<Tag> {
        self.cursor(range).collect()
    }

    /// A value's text, decoded by the drawing's code page, escapes resolved.
    pub fn text(&self, value: Range<usize>) -> Cow<'a, str> {
        escape::text(self.raw_text(value))
    }

    /// A value that names something (layer, block): decoded, `\U+XXXX` resolved, no more.
    pub fn name(&self, value: Range<usize>) -> Cow<'a, str> {
        escape::name(self.raw_text(value))
    }

    /// A value decoded by the drawing's code page, and no more.
    #[inline]
    fn raw_text(&self, value: Range<usize>) -> Cow<'a, str> {
        match self.as_text.and_then(|text| text.get(value.clone())) {
            Some(text) => Cow::Borrowed(text),
            None => self.encoding.decode(self.source.get(value).unwrap_or_default()),
        }
    }

    /// A tag's value as a real number; `None` where it is none. May be NaN or infinite.
    pub fn real(&self, tag: &Tag) -> Option<f64> {
        self.cursor(tag.range.clone()).real(tag).map(|r| r.value)
    }

    /// A tag's value as a whole number; `None` where it is none.
    pub fn integer(&self, tag: &Tag) -> Option<i64> {
        self.cursor(tag.range.clone()).integer(tag)
    }

    /// A header variable by its name with `$`.
    pub fn header_var(&self, name: &str) -> Option<&HeaderVar> {
        self.header.iter().find(|v| v.name == name)
    }

    /// A header variable that is a whole number, such as `$INSUNITS`.
    pub fn header_integer(&self, name: &str) -> Option<i64> {
        self.header_var(name)?.tags.first().and_then(|t| self.integer(t))
    }

    /// The style of an MLINE, by its handle, else by its name, letter case aside.
    fn mline_style(&self, handle: Option<u64>, name: Option<&str>) -> Option<&MlineStyle> {
        let styles = || self.mline_styles.iter();
        let by_name =
            || styles().find(|s| Some(s.name.to_lowercase()) == name.map(|n| n.trim().to_lowercase()));
        styles()
            .find(|s| s.handle.is_some() && s.handle == handle)
            .or_else(by_name)
    }

    /// Line number, from 1, of a byte offset (ASCII only; `None` for binary).
    pub fn line_of(&self, offset: usize) -> Option<usize> {
        if let Format::Binary { .. } = self.format {
            return None;
        }
        let eol = self.layout.eol;
        let starts = self.lines.get_or_init(|| {
            let mut before = 0;
            let mut starts = Vec::with_capacity(self.source.len() / LINE_STEP + 1);
            for step in self.source.chunks(LINE_STEP) {
                starts.push(before);
                before += memchr::memchr_iter(eol, step).count();
            }
            starts
        });
        let offset = offset.min(self.source.len());
        let step = (offset / LINE_STEP).min(starts.len().saturating_sub(1));
        let rest = self.source.get(step * LINE_STEP..offset).unwrap_or_default();
        Some(starts.get(step).copied().unwrap_or(0) + memchr::memchr_iter(eol, rest).count() + 1)
    }

    fn cursor(&self, range: Range<usize>) -> tag::Cursor<'a> {
        tag::Cursor::new(self.source, self.layout, range.start, range.end)
    }

    /// The space of the layout block that `offset` lies in, if it does.
    fn block_space(&self, offset: usize) -> Option<Space> {
        let after = self
            .layout_blocks
            .partition_point(|(range, _)| range.start <= offset);
        let (range, space) = self.layout_blocks.get(after.checked_sub(1)?)?;
        range.contains(&offset).then_some(*space)
    }

    fn owner_space(&self, owner: u64) -> Option<Space> {
        self.spaces.get(&owner).copied()
    }
}
