//! The OBJECTS section: only what tells the true names of blocks, and styles of multilines.

use std::ops::Range;

use super::Indexer;
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
            if !matches!(name, b"DICTIONARY" | b"ACDB_BLOCKREPRESENTATION_DATA") {
                self.note_handle(&tag);
                continue;
            }
            let (mut handle, mut owner, mut stands_for, mut group) = (None, None, None, false);
            while let Some(tag) = self.next() {
                if tag.code == 0 {
                    self.push_back(tag);
                    break;
                }
                self.note_handle(&tag);
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
        while let Some(tag) = self.next() {
            if tag.code == 0 {
                self.push_back(tag);
                break;
            }
            self.note_handle(&tag);
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
}
