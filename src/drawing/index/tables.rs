//! The TABLES section: table ranges, layers, block records.

use std::ops::Range;

use super::Indexer;
use crate::drawing::number;
use crate::note::Level;

/// A LAYER entry; its name still undecoded.
#[derive(Debug, Default)]
pub(crate) struct RawLayer {
    pub(crate) name: Range<usize>,
    pub(crate) color: i64,
    pub(crate) flags: i64,
    /// Group 290, as older drawings lack it: 0 where nothing on it is plotted.
    pub(crate) plot: Option<i64>,
    pub(crate) offset: usize,
}

/// A BLOCK_RECORD entry.
#[derive(Debug, Default)]
pub(crate) struct RawRecord {
    pub(crate) name: Range<usize>,
    pub(crate) handle: Option<u64>,
    /// Handle of the block record this one was made from (`AcDbBlockRepBTag`).
    pub(crate) made_from: Option<u64>,
    /// Name of the block this one was made from (`AcDbDynamicBlockTrueName`).
    pub(crate) true_name: Option<Range<usize>>,
}

impl Indexer<'_> {
    /// Every table up to the tag that ends the section, which is given back.
    pub(super) fn tables(&mut self) {
        while let Some(tag) = self.next() {
            if self.ends_section(&tag) {
                self.push_back(tag);
                return;
            }
            if tag.code == 0 && self.name(&tag) == b"TABLE" {
                self.table(tag.range.start);
            } else {
                self.note_handle(&tag);
            }
        }
    }

    fn table(&mut self, start: usize) {
        let mut name = String::new();
        while let Some(tag) = self.next() {
            if self.ends_section(&tag) || (tag.code == 0 && self.name(&tag) == b"TABLE") {
                let end = tag.range.start;
                let message = format!("the table {name} has no ENDTAB; it is taken to end here");
                self.remark(Level::Warning, "unclosed-table", end, message);
                self.push_back(tag);
                self.index.structure.tables.push((name, start..end));
                return;
            }
            match (tag.code, self.name(&tag)) {
                (0, b"ENDTAB") => {
                    self.index.structure.tables.push((name, start..tag.range.end));
                    return;
                }
                (0, b"LAYER") => self.layer(tag.range.start),
                (0, b"BLOCK_RECORD") => self.record(),
                (2, value) if name.is_empty() => {
                    name = String::from_utf8_lossy(value).to_ascii_uppercase();
                }
                _ => self.note_handle(&tag),
            }
        }
        self.index
            .structure
            .tables
            .push((name, start..self.cursor.source.len()));
    }

    fn layer(&mut self, offset: usize) {
        let mut layer = RawLayer {
            color: 7,
            offset,
            ..RawLayer::default()
        };
        while let Some(tag) = self.inner_tag() {
            match tag.code {
                2 => layer.name = tag.value,
                62 => layer.color = self.cursor.integer(&tag).unwrap_or(7),
                70 => layer.flags = self.cursor.integer(&tag).unwrap_or(0),
                290 => layer.plot = self.cursor.integer(&tag),
                _ => {}
            }
        }
        self.index.layers.push(layer);
    }

    fn record(&mut self) {
        let mut record = RawRecord::default();
        let mut application: &[u8] = b"";
        while let Some(tag) = self.inner_tag() {
            match tag.code {
                2 => record.name = tag.value,
                5 => record.handle = number::handle(self.cursor.bytes(&tag)),
                1001 => application = self.name(&tag),
                1005 if application == b"AcDbBlockRepBTag" => {
                    record.made_from = number::handle(self.cursor.bytes(&tag));
                }
                1000 if application.starts_with(b"AcDbDynamicBlockTrueName") => {
                    record.true_name = Some(tag.value);
                }
                _ => {}
            }
        }
        self.index.records.push(record);
    }
}
