//! One pass over the tags: sections, header, tables, blocks, entities, handles.

use super::number;
use super::tag::Cursor;
use super::types::{EntityRef, HeaderVar, Structure, Tag};
use crate::note::{Level, Place};

mod blocks;
mod objects;
mod tables;

pub(crate) use blocks::RawBlock;
pub(crate) use objects::{Filter, RawMlineStyle, Representation};
pub(crate) use tables::{RawLayer, RawRecord};

/// Everything the pass finds; names still undecoded.
#[derive(Debug, Default)]
pub(crate) struct Index {
    pub(crate) header: Vec<HeaderVar>,
    pub(crate) layers: Vec<RawLayer>,
    pub(crate) records: Vec<RawRecord>,
    pub(crate) blocks: Vec<RawBlock>,
    pub(crate) entities: Vec<EntityRef>,
    /// Handles of dictionaries and of what owns them.
    pub(crate) dictionaries: Vec<(u64, u64)>,
    pub(crate) representations: Vec<Representation>,
    pub(crate) filters: Vec<Filter>,
    pub(crate) mline_styles: Vec<RawMlineStyle>,
    pub(crate) structure: Structure,
    pub(crate) remarks: Vec<Remark>,
    /// Name of the section the source ended in, where it did.
    pub(crate) open_section: Option<String>,
    /// First byte after `0 EOF`, or the end of the source.
    pub(crate) end: usize,
}

/// A note in the making: where, and what.
#[derive(Debug)]
pub(crate) struct Remark {
    pub(crate) level: Level,
    pub(crate) code: &'static str,
    pub(crate) offset: usize,
    pub(crate) message: String,
}

impl Remark {
    pub(crate) fn place(&self, line: Option<usize>) -> Place {
        Place {
            line,
            offset: Some(self.offset),
            ..Place::default()
        }
    }
}

/// The pass itself: a cursor with one tag of lookahead.
pub(crate) struct Indexer<'a> {
    pub(crate) cursor: Cursor<'a>,
    ahead: Option<Tag>,
    pub(crate) index: Index,
}

impl<'a> Indexer<'a> {
    pub(crate) fn new(cursor: Cursor<'a>) -> Self {
        Indexer {
            cursor,
            ahead: None,
            index: Index::default(),
        }
    }

    /// Walks the whole source.
    pub(crate) fn run(mut self) -> (Index, Cursor<'a>) {
        let mut strays = 0_usize;
        while let Some(tag) = self.next() {
            match (tag.code, self.name(&tag)) {
                (0, b"SECTION") => self.section(tag.range.start),
                (0, b"EOF") => {
                    self.index.structure.complete = true;
                    self.index.end = tag.range.end;
                    return self.finish(strays);
                }
                // An ENDSEC too many does no harm; a comment belongs anywhere.
                (0, b"ENDSEC") | (999, _) => {}
                (0, _) => {
                    strays += 1;
                    if strays == 1 {
                        let message = "entities or records outside every section are left out".to_string();
                        self.remark(Level::Loss, "outside-section", tag.range.start, message);
                    }
                }
                _ => {}
            }
        }
        self.index.end = self.cursor.source.len();
        self.finish(strays)
    }

    fn finish(mut self, strays: usize) -> (Index, Cursor<'a>) {
        if strays > 1
            && let Some(first) = self
                .index
                .remarks
                .iter_mut()
                .find(|r| r.code == "outside-section")
        {
            first.message = format!("{strays} {}", first.message);
        }
        (self.index, self.cursor)
    }

    #[inline]
    pub(crate) fn next(&mut self) -> Option<Tag> {
        let tag = match self.ahead.take() {
            Some(tag) => tag,
            None => self.cursor.next()?,
        };
        Some(tag)
    }

    pub(crate) fn push_back(&mut self, tag: Tag) {
        self.ahead = Some(tag);
    }

    /// The next tag of the table entry or object at hand, its handle noted; `None`, with the tag given back, at the next `0`.
    pub(crate) fn inner_tag(&mut self) -> Option<Tag> {
        let tag = self.next()?;
        if tag.code == 0 {
            self.push_back(tag);
            return None;
        }
        self.note_handle(&tag);
        Some(tag)
    }

    /// The trimmed bytes of a value.
    #[inline]
    pub(crate) fn name(&self, tag: &Tag) -> &'a [u8] {
        self.cursor.bytes(tag).trim_ascii()
    }

    pub(crate) fn remark(&mut self, level: Level, code: &'static str, offset: usize, message: String) {
        self.index.remarks.push(Remark {
            level,
            code,
            offset,
            message,
        });
    }

    /// Keeps the greatest handle: own handles and references alike, so that a new
    /// handle can never be what a dangling reference means.
    #[inline]
    pub(crate) fn note_handle(&mut self, tag: &Tag) {
        if matches!(tag.code, 5 | 105 | 320..=369 | 390..=399 | 480..=481 | 1005)
            && let Some(handle) = number::handle(self.cursor.bytes(tag))
            && handle >> 60 == 0
        {
            let greatest = &mut self.index.structure.greatest_handle;
            *greatest = (*greatest).max(handle);
        }
    }

    /// Whether this tag ends a section: its own end, or the start of what follows it.
    pub(crate) fn ends_section(&self, tag: &Tag) -> bool {
        tag.code == 0 && matches!(self.name(tag), b"ENDSEC" | b"SECTION" | b"EOF")
    }

    /// One section, from its `0 SECTION` tag at `start`.
    fn section(&mut self, start: usize) {
        let mut name = String::new();
        while let Some(tag) = self.next() {
            match tag.code {
                999 => {}
                2 => {
                    name = String::from_utf8_lossy(self.name(&tag)).to_ascii_uppercase();
                    break;
                }
                _ => {
                    self.push_back(tag);
                    break;
                }
            }
        }
        if name.is_empty() {
            self.remark(
                Level::Loss,
                "unnamed-section",
                start,
                "a section without a name is left out".into(),
            );
        }
        match name.as_str() {
            "HEADER" => self.header(),
            "TABLES" => self.tables(),
            "BLOCKS" => self.blocks(),
            "OBJECTS" => self.objects(),
            "ENTITIES" => {
                let mut entities = std::mem::take(&mut self.index.entities);
                self.entity_list(&mut entities);
                self.index.entities = entities;
            }
            _ => {}
        }
        // What the reader of the section did not take, to the end of the section.
        let mut last = start;
        while let Some(tag) = self.next() {
            if self.ends_section(&tag) {
                let end = self.close(&name, &tag);
                self.index.structure.sections.push((name, start..end));
                return;
            }
            self.note_handle(&tag);
            last = tag.range.end;
        }
        let end = self.cursor.source.len().max(last);
        self.index.open_section = Some(name.clone());
        self.index.structure.sections.push((name, start..end));
    }

    /// Takes the tag that ends a section, or gives it back where it is the next one's.
    fn close(&mut self, name: &str, tag: &Tag) -> usize {
        if self.name(tag) == b"ENDSEC" {
            return tag.range.end;
        }
        let message = format!("the section {name} has no ENDSEC; it is taken to end here");
        self.remark(Level::Warning, "unclosed-section", tag.range.start, message);
        self.push_back(tag.clone());
        tag.range.start
    }

    fn header(&mut self) {
        while let Some(tag) = self.next() {
            if tag.code == 0 {
                self.push_back(tag);
                return;
            }
            if tag.code == 9 {
                let name = String::from_utf8_lossy(self.name(&tag)).into_owned();
                self.index.header.push(HeaderVar {
                    name,
                    tags: Vec::new(),
                });
                continue;
            }
            if tag.code == 999 {
                continue;
            }
            if let Some(var) = self.index.header.last() {
                if var.name == "$HANDSEED" && tag.code == 5 {
                    self.index.structure.hand_seed = number::handle(self.cursor.bytes(&tag));
                } else {
                    self.note_handle(&tag);
                }
            }
            if let Some(var) = self.index.header.last_mut() {
                var.tags.push(tag);
            }
        }
    }
}
