//! The OBJECTS section: only what tells the true names of blocks, styles of multilines, and clips of INSERTs.

use std::ops::Range;

use super::Indexer;
use crate::drawing::clip::{Clip, MOST_CORNERS};
use crate::drawing::number;
use crate::drawing::types::MlineStyle;

/// An `ACDB_BLOCKREPRESENTATION_DATA` object: what it belongs to, and the block record
/// it stands for.
#[derive(Debug)]
pub(crate) struct Representation {
    pub(crate) owner: u64,
    pub(crate) stands_for: u64,
}

/// An `MLINESTYLE` object; its name still undecoded.
#[derive(Debug, Default)]
pub(crate) struct RawMlineStyle {
    pub(crate) name: Range<usize>,
    pub(crate) style: MlineStyle,
}

/// A `SPATIAL_FILTER` object: what it belongs to, and its numbers as they stand.
#[derive(Debug, Default)]
pub(crate) struct Filter {
    pub(crate) owner: Option<u64>,
    pub(crate) offset: usize,
    pub(crate) enabled: bool,
    x: Vec<f64>,
    y: Vec<f64>,
    /// Groups 40: the distance of a front plane, where there is one, and two maps of 12 numbers.
    maps: Vec<f64>,
    sound: bool,
}

impl Filter {
    /// The clip; `None` where a number is missing or none, or where there are too many of them.
    pub(crate) fn clip(&self) -> Option<Clip> {
        let corners: Vec<[f64; 2]> = self.x.iter().zip(&self.y).map(|(x, y)| [*x, *y]).collect();
        let last = self.maps.len().checked_sub(24)?;
        let numbers = self.maps.get(last..)?;
        let rows = |of: &[f64]| {
            let row = |i: usize| of.get(4 * i..4 * i + 4)?.try_into().ok();
            Some([row(0)?, row(1)?, row(2)?])
        };
        let whole = self.sound && self.x.len() == self.y.len() && self.x.len() <= MOST_CORNERS;
        (whole && corners.len() >= 2).then_some(Clip {
            corners,
            to_block: rows(numbers.get(..12)?)?,
            to_clip: rows(numbers.get(12..)?)?,
        })
    }
}

/// Elements of an MLINESTYLE that are kept; the format allows 16.
const MOST_ELEMENTS: usize = 64;

impl Indexer<'_> {
    /// Every object up to the tag that ends the section, which is given back.
    pub(super) fn objects(&mut self) {
        while let Some(tag) = self.next() {
            if self.ends_section(&tag) {
                self.push_back(tag);
                return;
            }
            let name = if tag.code == 0 { self.name(&tag) } else { b"" };
            if name == b"MLINESTYLE" {
                self.mline_style();
                continue;
            }
            if name == b"SPATIAL_FILTER" {
                self.filter(tag.range.start);
                continue;
            }
            if !matches!(name, b"DICTIONARY" | b"ACDB_BLOCKREPRESENTATION_DATA") {
                self.note_handle(&tag);
                continue;
            }
            let (mut handle, mut owner, mut stands_for, mut group) = (None, None, None, false);
            while let Some(tag) = self.inner_tag() {
                let value = self.cursor.bytes(&tag);
                match tag.code {
                    5 => handle = number::handle(value),
                    102 => group = value.trim_ascii().starts_with(b"{"),
                    330 if !group && owner.is_none() => owner = number::handle(value),
                    340 if stands_for.is_none() => stands_for = number::handle(value),
                    _ => {}
                }
            }
            match (name, handle, owner, stands_for) {
                (b"DICTIONARY", Some(handle), Some(owner), _) => {
                    self.index.dictionaries.push((handle, owner))
                }
                (b"ACDB_BLOCKREPRESENTATION_DATA", _, Some(owner), Some(stands_for)) => {
                    self.index
                        .representations
                        .push(Representation { owner, stands_for });
                }
                _ => {}
            }
        }
    }

    /// One style of MLINEs. An offset that is no number makes it a style without offsets.
    fn mline_style(&mut self) {
        let mut raw = RawMlineStyle::default();
        let mut sound = true;
        while let Some(tag) = self.inner_tag() {
            let style = &mut raw.style;
            match tag.code {
                2 => raw.name = tag.value,
                5 => style.handle = number::handle(self.cursor.bytes(&tag)),
                70 => style.flags = self.cursor.integer(&tag).unwrap_or(0),
                49 => match self.cursor.real(&tag).filter(|r| r.value.is_finite()) {
                    Some(real) if style.offsets.len() < MOST_ELEMENTS => style.offsets.push(real.value),
                    _ => sound = false,
                },
                _ => {}
            }
        }
        if !sound {
            raw.style.offsets.clear();
        }
        self.index.mline_styles.push(raw);
    }

    /// One clip of an INSERT.
    fn filter(&mut self, offset: usize) {
        let mut filter = Filter {
            offset,
            enabled: true,
            sound: true,
            ..Filter::default()
        };
        let mut group = false;
        while let Some(tag) = self.inner_tag() {
            let value = self.cursor.bytes(&tag);
            match tag.code {
                102 => group = value.trim_ascii().starts_with(b"{"),
                330 if !group && filter.owner.is_none() => filter.owner = number::handle(value),
                71 => filter.enabled = self.cursor.integer(&tag) != Some(0),
                10 | 20 | 40 => match self.cursor.real(&tag).filter(|r| r.value.is_finite()) {
                    Some(real) => {
                        let list = match tag.code {
                            10 => &mut filter.x,
                            20 => &mut filter.y,
                            _ => &mut filter.maps,
                        };
                        list.push(real.value);
                    }
                    None => filter.sound = false,
                },
                _ => {}
            }
        }
        self.index.filters.push(filter);
    }
}
