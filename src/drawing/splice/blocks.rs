//! New blocks: their records in the table and their definitions in the section.

use super::edits::Edits;
use super::look::table;
use super::place::{closing, count_records, section};
use super::records::Pen;
use super::{NewBlock, NewShape};
use crate::drawing::Drawing;
use crate::drawing::number;
use crate::drawing::types::Version;
use crate::note::Note;

/// Adds blocks to the drawing. `false` where there is no place for them: in a drawing that stops short, and where the
/// section of blocks or the table of their records has no end.
pub(super) fn add(
    drawing: &Drawing<'_>,
    pen: &mut Pen<'_>,
    blocks: &[(&str, &NewBlock)],
    edits: &mut Edits,
    notes: &mut Vec<Note>,
) -> bool {
    if blocks.is_empty() {
        return true;
    }
    let records = pen.classes().then(|| table(drawing, "BLOCK_RECORD")).flatten();
    let record_end = records
        .as_ref()
        .map(|range| closing(drawing, range, range.start, b"ENDTAB"));
    let held = section(drawing, "BLOCKS");
    let from = drawing.blocks.iter().map(|b| b.offset).max().unwrap_or(0);
    let end = held
        .as_ref()
        .map(|range| closing(drawing, range, from.min(range.end), b"ENDSEC"));
    if !drawing.structure.complete || record_end == Some(None) || end == Some(None) {
        let message = "the drawing stops short among its blocks; no new block is added";
        notes.push(Note::loss("splice-block", message));
        return false;
    }
    let owner = records.as_ref().and_then(|range| {
        let tags = drawing.tags(range.clone());
        let head = tags.iter().skip(1).take_while(|t| t.code != 0);
        let tag = head.into_iter().find(|t| t.code == 5)?;
        number::handle(drawing.source.get(tag.value.clone())?)
    });
    let (mut in_table, mut in_section) = (Vec::new(), Vec::new());
    for (name, block) in blocks {
        let record = records.is_some().then(|| pen.fresh());
        if let Some(record) = record {
            in_table.extend(pen.block_record(name, record, owner));
        }
        in_section.extend(pen.block(name, block, record));
    }
    if let (Some(range), Some(Some(end))) = (records, record_end) {
        edits.insert(end, in_table);
        count_records(drawing, &drawing.tags(range), blocks.len(), edits);
    }
    match end.flatten() {
        Some(end) => edits.insert(end, in_section),
        None => {
            let bytes = pen.section("BLOCKS", &in_section);
            let before = ["ENTITIES", "OBJECTS"].iter().find_map(|n| section(drawing, n));
            let sections = &drawing.structure.sections;
            let last = || sections.iter().map(|(_, r)| r.end).max();
            let at = before.map(|r| r.start).or_else(last);
            edits.insert(at.unwrap_or(drawing.source.len()), bytes);
        }
    }
    true
}

impl Pen<'_> {
    /// A record of the table of blocks, under the handle given.
    fn block_record(&self, name: &str, own: u64, owner: Option<u64>) -> Vec<u8> {
        let mut w = self.writer();
        w.name(0, "BLOCK_RECORD");
        w.handle(5, own);
        if let Some(owner) = owner {
            w.handle(330, owner);
        }
        w.name(100, "AcDbSymbolTableRecord");
        w.name(100, "AcDbBlockTableRecord");
        w.name(2, name);
        if self.version() >= Version::R2000 {
            // It belongs to no layout.
            w.handle(340, 0);
        }
        if self.version() >= Version::R2007 {
            // Any unit; may be exploded; may be scaled unevenly.
            w.integer(70, 0);
            w.integer(280, 1);
            w.integer(281, 0);
        }
        w.out
    }

    /// A block from its head to its end; its entities are on layer 0, so that they take on the looks of the INSERT's.
    fn block(&mut self, name: &str, block: &NewBlock, record: Option<u64>) -> Vec<u8> {
        let mut w = self.writer();
        self.begin(&mut w, "BLOCK", "0", record);
        self.class(&mut w, "AcDbBlockBegin");
        w.name(2, name);
        w.integer(70, 0);
        w.point(10, 0.0, 0.0);
        w.name(3, name);
        w.name(1, "");
        for shape in &block.shapes {
            if !matches!(shape, NewShape::Insert { .. }) {
                self.entity(&mut w, "0", shape, record);
            }
        }
        self.begin(&mut w, "ENDBLK", "0", record);
        self.class(&mut w, "AcDbBlockEnd");
        w.out
    }
}
