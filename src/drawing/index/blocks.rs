//! The BLOCKS section, and lists of entities in blocks and out of them.

use std::ops::Range;

use super::Indexer;
use crate::drawing::number;
use crate::drawing::types::{EntityRef, Tag};
use crate::note::Level;

/// A block definition; names still undecoded.
#[derive(Debug, Default)]
pub(crate) struct RawBlock {
    pub(crate) name: Range<usize>,
    pub(crate) base: [f64; 3],
    pub(crate) flags: i64,
    pub(crate) handle: Range<usize>,
    pub(crate) owner: Option<u64>,
    pub(crate) xref: Range<usize>,
    /// From its `0 BLOCK` to after its `0 ENDBLK`'s last tag.
    pub(crate) range: Range<usize>,
    pub(crate) entities: Vec<EntityRef>,
}

/// What an open entity may take along.
#[derive(Clone, Copy, PartialEq)]
enum Open {
    Plain,
    Insert,
    Polyline,
}

impl Indexer<'_> {
    /// Every block up to the tag that ends the section, which is given back.
    pub(super) fn blocks(&mut self) {
        while let Some(tag) = self.next() {
            if self.ends_section(&tag) {
                self.push_back(tag);
                return;
            }
            match (tag.code, self.name(&tag)) {
                (0, b"BLOCK") => self.block(tag.range.start),
                (0, name) if name != b"ENDBLK" => {
                    let message = "an entity between two blocks belongs to none; it is left out".into();
                    self.remark(Level::Loss, "outside-block", tag.range.start, message);
                }
                _ => self.note_handle(&tag),
            }
        }
    }

    fn block(&mut self, start: usize) {
        let mut block = RawBlock::default();
        let mut group = false;
        while let Some(tag) = self.next() {
            self.note_handle(&tag);
            match tag.code {
                0 => {
                    self.push_back(tag);
                    break;
                }
                1 => block.xref = tag.value,
                2 => block.name = tag.value,
                5 => block.handle = tag.value,
                10 | 20 | 30 => {
                    let base = &mut block.base[usize::from(tag.code == 20) + 2 * usize::from(tag.code == 30)];
                    match self.cursor.real(&tag).filter(|r| r.value.is_finite()) {
                        Some(real) => *base = real.value,
                        None => {
                            let message = "the base point of a block is no number; it is taken as 0".into();
                            self.remark(Level::Loss, "bad-number", tag.range.start, message);
                        }
                    }
                }
                70 => block.flags = self.cursor.integer(&tag).unwrap_or(0),
                102 => group = self.name(&tag).starts_with(b"{"),
                330 if !group => block.owner = number::handle(self.cursor.bytes(&tag)),
                _ => {}
            }
        }
        let mut entities = Vec::new();
        self.entity_list(&mut entities);
        block.entities = entities;
        let mut end = self.cursor.position();
        match self.next() {
            Some(tag) if tag.code == 0 && self.name(&tag) == b"ENDBLK" => {
                end = tag.range.end;
                while let Some(tag) = self.next() {
                    if tag.code == 0 {
                        end = tag.range.start;
                        self.push_back(tag);
                        break;
                    }
                    end = tag.range.end;
                    self.note_handle(&tag);
                }
            }
            Some(tag) => {
                end = tag.range.start;
                let message = "a block has no ENDBLK; it is taken to end here".into();
                self.remark(Level::Warning, "unclosed-block", end, message);
                self.push_back(tag);
            }
            None => {}
        }
        block.range = start..end;
        self.index.blocks.push(block);
    }

    /// Entities up to a tag that can be none of theirs, which is given back.
    pub(super) fn entity_list(&mut self, out: &mut Vec<EntityRef>) {
        let mut current: Option<(EntityRef, Open)> = None;
        let mut parts = 0_usize;
        let mut sequence_end = false;
        let mut last = self.cursor.position();
        while let Some(tag) = self.next() {
            if tag.code != 0 {
                last = tag.range.end;
                self.note_handle(&tag);
                continue;
            }
            let name = self.name(&tag);
            let open = current.as_ref().map_or(Open::Plain, |(_, open)| *open);
            let part = match name {
                b"ATTRIB" => open == Open::Insert,
                b"VERTEX" => open == Open::Polyline,
                b"SEQEND" => open != Open::Plain,
                _ => false,
            };
            if part && !sequence_end {
                parts += 1;
                sequence_end = name == b"SEQEND";
                last = tag.range.end;
                continue;
            }
            if let Some((entity, open)) = current.take() {
                self.check_sequence(&entity, open, parts, sequence_end);
                out.push(EntityRef {
                    range: entity.range.start..tag.range.start,
                    name: entity.name,
                });
            }
            parts = 0;
            sequence_end = false;
            if matches!(name, b"ENDSEC" | b"ENDBLK" | b"SECTION" | b"EOF" | b"BLOCK") {
                self.push_back(tag);
                return;
            }
            if matches!(name, b"ATTRIB" | b"VERTEX" | b"SEQEND") {
                self.stray(name, &tag);
            }
            let open = match name {
                b"INSERT" => Open::Insert,
                b"POLYLINE" => Open::Polyline,
                _ => Open::Plain,
            };
            let start = tag.range.start;
            last = tag.range.end;
            current = Some((
                EntityRef {
                    range: start..last,
                    name: self.trimmed(&tag),
                },
                open,
            ));
        }
        // The source ended inside this list.
        if let Some((entity, _)) = current.take() {
            self.last_entity(
                out,
                EntityRef {
                    range: entity.range.start..last,
                    name: entity.name,
                },
            );
        }
    }

    /// The entity the source ended in: kept where its last line is whole.
    fn last_entity(&mut self, out: &mut Vec<EntityRef>, entity: EntityRef) {
        if self.cursor.ends_whole() {
            out.push(entity);
            return;
        }
        let name = String::from_utf8_lossy(self.cursor.source.get(entity.name.clone()).unwrap_or_default());
        let message = format!("the last entity, a {name}, is cut short and left out");
        self.remark(Level::Loss, "cut-entity", entity.range.start, message);
    }

    fn check_sequence(&mut self, entity: &EntityRef, open: Open, parts: usize, ended: bool) {
        let wanted = match open {
            Open::Plain => false,
            Open::Insert => parts > 0,
            Open::Polyline => true,
        };
        if wanted && !ended {
            let message =
                "a sequence of vertices or attributes has no SEQEND; it is taken to end here".into();
            self.remark(Level::Warning, "no-seqend", entity.range.start, message);
        }
    }

    fn stray(&mut self, name: &[u8], tag: &Tag) {
        let name = String::from_utf8_lossy(name).into_owned();
        let level = if name == "SEQEND" {
            Level::Warning
        } else {
            Level::Loss
        };
        let message = format!("a {name} stands without what it belongs to");
        self.remark(level, "stray-part", tag.range.start, message);
    }

    /// The range of a value without blanks at either end.
    fn trimmed(&self, tag: &Tag) -> Range<usize> {
        let bytes = self.cursor.bytes(tag);
        let lead = bytes.len() - bytes.trim_ascii_start().len();
        let start = tag.value.start + lead;
        start..start + bytes.trim_ascii().len()
    }
}
