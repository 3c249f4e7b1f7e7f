//! The OBJECTS section: only what tells the true names of blocks.

use super::Indexer;
use crate::drawing::number;

/// An `ACDB_BLOCKREPRESENTATION_DATA` object: what it belongs to, and the block record
/// it stands for.
#[derive(Debug)]
pub(crate) struct Representation {
    pub(crate) owner: u64,
    pub(crate) stands_for: u64,
}

impl Indexer<'_> {
    /// Every object up to the tag that ends the section, which is given back.
    pub(super) fn objects(&mut self) {
        while let Some(tag) = self.next() {
            if self.ends_section(&tag) {
                self.push_back(tag);
                return;
            }
            let name = if tag.code == 0 { self.name(&tag) } else { b"" };
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
}
