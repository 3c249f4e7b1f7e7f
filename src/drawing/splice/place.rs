//! Where new records go.

use std::ops::Range;

use super::edits::Edits;
use super::records::Pen;
use super::{close, look};
use crate::drawing::Drawing;
use crate::drawing::encode;
use crate::drawing::types::{Format, Tag};
use crate::note::Note;

pub(super) fn section(drawing: &Drawing<'_>, name: &str) -> Option<Range<usize>> {
    let sections = &drawing.structure.sections;
    sections
        .iter()
        .find(|(n, _)| n == name)
        .map(|(_, range)| range.clone())
}

fn is(drawing: &Drawing<'_>, tag: &Tag, code: i16, value: &[u8]) -> bool {
    let bytes = drawing.source.get(tag.value.clone()).unwrap_or_default();
    tag.code == code && bytes.trim_ascii() == value
}

/// Where the tag that closes a range starts, looked for from `from` on.
pub(super) fn closing(
    drawing: &Drawing<'_>,
    range: &Range<usize>,
    from: usize,
    name: &[u8],
) -> Option<usize> {
    let tags = drawing.tags(from.max(range.start)..range.end);
    let last = tags.iter().rev().find(|t| t.code == 0)?;
    is(drawing, last, 0, name).then_some(last.range.start)
}

/// Puts layer records at the end of their table, in a table of their own or in a section
/// of their own; counts them.
pub(super) fn layers(
    drawing: &Drawing<'_>,
    pen: &mut Pen<'_>,
    records: Vec<u8>,
    count: usize,
    edits: &mut Edits,
) {
    if let Some(table) = look::table(drawing, "LAYER") {
        let tags = drawing.tags(table.clone());
        let end = closing(drawing, &table, table.start, b"ENDTAB");
        // A table that stops short ends where its last whole record does.
        let at = end.unwrap_or_else(|| whole_end(drawing, &tags, &table));
        edits.insert(at, records);
        count_records(drawing, &tags, count, edits);
        return;
    }
    let table = pen.layer_table(&records, count);
    if let Some(range) = section(drawing, "TABLES") {
        let from = drawing
            .structure
            .tables
            .iter()
            .map(|(_, r)| r.end)
            .max()
            .unwrap_or(0);
        let end = closing(drawing, &range, from.min(range.end), b"ENDSEC");
        edits.insert(end.unwrap_or(range.end), table);
        return;
    }
    let before = ["BLOCKS", "ENTITIES", "OBJECTS"]
        .iter()
        .find_map(|n| section(drawing, n));
    let bytes = pen.section("TABLES", &table);
    let at = before.map_or_else(|| end_of_sections(drawing), |range| range.start);
    edits.insert(at, bytes);
}

/// The end of the last record of which nothing is missing.
fn whole_end(drawing: &Drawing<'_>, tags: &[Tag], range: &Range<usize>) -> usize {
    if range.end < drawing.source.len() {
        return range.end;
    }
    let last = tags.iter().rposition(|t| t.code == 0).unwrap_or(0);
    tags.get(last).map_or(range.end, |t| t.range.start)
}

/// Adds to the count (70) in the head of a table.
pub(super) fn count_records(drawing: &Drawing<'_>, tags: &[Tag], more: usize, edits: &mut Edits) {
    let head = tags.iter().skip(1).take_while(|t| t.code != 0);
    let Some(tag) = head.into_iter().find(|t| t.code == 70) else {
        return;
    };
    let Some(old) = drawing.integer(tag) else { return };
    let new = old.max(0).saturating_add(i64::try_from(more).unwrap_or(0));
    // Sixteen bits hold it, by the format.
    let new = new.min(i16::MAX.into());
    let mut bytes = encode::integer(drawing.format, 70, new);
    if let Format::Ascii { .. } = drawing.format {
        bytes = format!("{new:>width$}", width = tag.value.len()).into_bytes();
    }
    edits.replace(tag.value.clone(), bytes);
}

/// Where a section can follow the last one there is.
fn end_of_sections(drawing: &Drawing<'_>) -> usize {
    let ends = drawing.structure.sections.iter().map(|(_, range)| range.end);
    ends.max().unwrap_or(drawing.source.len())
}

/// Puts entities at the end of their section, and closes a drawing that stops short.
pub(super) fn entities(
    drawing: &Drawing<'_>,
    pen: &mut Pen<'_>,
    records: Vec<u8>,
    edits: &mut Edits,
    notes: &mut Vec<Note>,
) {
    let range = section(drawing, "ENTITIES");
    let last = drawing.structure.sections.iter().max_by_key(|(_, r)| r.end);
    let stops_here = |range: &Range<usize>| {
        !drawing.structure.complete
            && last.is_some_and(|(_, r)| r == range)
            && range.end >= drawing.source.len()
    };
    let mut at_end = Vec::new();
    match &range {
        Some(range) => {
            let inside = drawing
                .entities
                .iter()
                .rev()
                .find(|e| range.contains(&e.range.start));
            let from = inside.map_or(range.start, |e| e.range.end);
            match closing(drawing, range, from, b"ENDSEC") {
                Some(at) => edits.insert(at, records),
                None if stops_here(range) => edits.insert(before_cut(drawing, range), records),
                None => {
                    let mut bytes = records;
                    let mut w = pen.writer();
                    w.name(0, "ENDSEC");
                    bytes.extend(w.out);
                    edits.insert(range.end, bytes);
                }
            }
        }
        None => {
            let bytes = pen.section("ENTITIES", &records);
            match section(drawing, "OBJECTS") {
                Some(objects) => edits.insert(objects.start, bytes),
                None if drawing.structure.complete => edits.insert(end_of_sections(drawing), bytes),
                None => at_end = bytes,
            }
        }
    }
    if !drawing.structure.complete {
        close::close(drawing, pen, &at_end, edits);
        let message = "the drawing stops short; its redline is closed so that it can be opened";
        notes.push(Note::warning("redline-closed", message));
    }
}

/// In a section the source ends in: after the last entity, or before it where it is cut.
fn before_cut(drawing: &Drawing<'_>, range: &Range<usize>) -> usize {
    let tags = drawing.tags(range.clone());
    let part = |t: &Tag| {
        ["VERTEX", "ATTRIB", "SEQEND"]
            .iter()
            .any(|n| is(drawing, t, 0, n.as_bytes()))
    };
    let main = tags.iter().rposition(|t| t.code == 0 && !part(t)).unwrap_or(0);
    let start = tags.get(main).map_or(range.end, |t| t.range.start);
    let end = tags.last().map_or(range.end, |t| t.range.end);
    let cut = close::is_cut(drawing, &tags);
    let open = close::open(drawing, &tags).sequence;
    // The section's own head is no entity.
    if main == 0 || !(cut || open) {
        return end;
    }
    start
}

/// Sets the handle seed to the next free handle, where both are there.
pub(super) fn seed(drawing: &Drawing<'_>, next: Option<u64>, edits: &mut Edits) {
    let Some(next) = next else { return };
    let var = drawing.header_var("$HANDSEED");
    if let Some(tag) = var.and_then(|v| v.tags.iter().find(|t| t.code == 5)) {
        edits.replace(tag.value.clone(), format!("{next:X}").into_bytes());
    }
}
