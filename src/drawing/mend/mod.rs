//! Mends a drawing that a DXF library wrote, until strict CAD programs take it.
//!
//! What such a library leaves out is bookkeeping: tables without handles, records and
//! entities without owners, handles used twice, no layouts, no root dictionary. Mending
//! reads the drawing into records, gives each its handle and owner, adds what must be
//! there, and writes all of it again in the same format. Geometry is not touched.
//!
//! Source for what must be there: DXF reference, from memory; held to an independent auditor.

use std::collections::BTreeSet;

use super::encode::{self, Writer};
use super::types::{Format, ReadError, Version};
use super::{Drawing, number, read};

mod entities;
mod objects;
mod tables;
#[cfg(test)]
mod tests;

/// Mends a drawing, ASCII or binary, R12 to R2018.
///
/// # Errors
/// [`ReadError`] where the bytes are no drawing.
pub fn mend(bytes: &[u8]) -> Result<Vec<u8>, ReadError> {
    let (drawing, _) = read(bytes)?;
    let mut sections = sections(&drawing);
    let mut handles = Handles::new(&sections, drawing.structure.greatest_handle);
    let maker = Maker {
        format: drawing.format,
        version: drawing.version,
    };
    let take = |sections: &mut Vec<Section>, name: &str| {
        let at = sections.iter().position(|s| s.name == name);
        at.map(|at| sections.remove(at).records).unwrap_or_default()
    };
    let head = take(&mut sections, "HEADER");
    let classes = take(&mut sections, "CLASSES");
    let mut tables = tables::mend(&maker, take(&mut sections, "TABLES"), &mut handles);
    let blocks = take(&mut sections, "BLOCKS");
    if maker.owners() {
        tables.add_block_records(&maker, &blocks, &mut handles);
    }
    let blocks = entities::blocks(&maker, blocks, &tables, &mut handles);
    let model = tables.block_record(tables::MODEL_SPACE);
    let paper = tables.block_record(tables::PAPER_SPACE);
    let entities = take(&mut sections, "ENTITIES");
    let entities = entities::list(&maker, entities, [model, paper], &mut handles);
    let objects = take(&mut sections, "OBJECTS");
    let objects = objects::mend(&maker, objects, &mut tables, &mut handles);

    let mut out = Output::new(&drawing);
    out.section("HEADER", header(head, handles.next));
    if !classes.is_empty() {
        out.section("CLASSES", classes);
    }
    out.section("TABLES", tables.records(&maker));
    out.section("BLOCKS", blocks);
    out.section("ENTITIES", entities);
    if maker.owners() {
        out.section("OBJECTS", objects);
    }
    for rest in sections {
        out.section(&rest.name, rest.records);
    }
    Ok(out.finish())
}

/// A group code and its value's bytes, in the drawing's own format.
#[derive(Clone, Debug, PartialEq)]
struct Field {
    code: i16,
    value: Vec<u8>,
}

impl Field {
    /// Text and keywords have the same bytes in every format.
    fn text(code: i16, text: &str) -> Self {
        Field {
            code,
            value: text.as_bytes().to_vec(),
        }
    }

    fn handle(code: i16, handle: u64) -> Self {
        Self::text(code, &format!("{handle:X}"))
    }

    fn is(&self, code: i16, text: &[u8]) -> bool {
        self.code == code && self.value.trim_ascii().eq_ignore_ascii_case(text)
    }
}

/// A `0` tag and the tags up to the next one.
#[derive(Clone, Debug, PartialEq)]
struct Record {
    name: String,
    fields: Vec<Field>,
}

impl Record {
    fn new(name: &str, fields: Vec<Field>) -> Self {
        Record {
            name: name.to_string(),
            fields,
        }
    }

    fn text(&self, code: i16) -> Option<String> {
        let field = self.fields.iter().find(|f| f.code == code)?;
        Some(String::from_utf8_lossy(field.value.trim_ascii()).into_owned())
    }

    /// The first handle of this code; `None` for 0 and for what is no handle.
    fn handle(&self, code: i16) -> Option<u64> {
        let field = self.fields.iter().find(|f| f.code == code)?;
        number::handle(&field.value).filter(|h| *h != 0)
    }

    /// Puts handle and owner first, in place of what stood there.
    fn identify(&mut self, maker: &Maker, code: i16, handle: u64, owner: Option<u64>) {
        self.fields
            .retain(|f| f.code != code && !(f.code == 330 && maker.owners()));
        let owner = owner
            .filter(|_| maker.owners())
            .map(|owner| Field::handle(330, owner));
        let lead = std::iter::once(Field::handle(code, handle)).chain(owner);
        self.fields.splice(0..0, lead);
    }
}

struct Section {
    name: String,
    records: Vec<Record>,
}

/// Makes fields in the drawing's format and version.
struct Maker {
    format: Format,
    version: Version,
}

impl Maker {
    /// From R13 on, everything has an owner and subclass markers.
    fn owners(&self) -> bool {
        self.version >= Version::R13
    }

    fn int(&self, code: i16, value: i64) -> Field {
        Field {
            code,
            value: encode::integer(self.format, code, value),
        }
    }

    fn real(&self, code: i16, value: f64) -> Field {
        Field {
            code,
            value: encode::real_bytes(self.format, value),
        }
    }
}

/// Hands out handles; keeps one that is given and not yet used.
struct Handles {
    next: u64,
    used: BTreeSet<u64>,
}

impl Handles {
    fn new(sections: &[Section], greatest: u64) -> Self {
        // A handle counts wherever it stands, even where it cannot be kept.
        let most = sections
            .iter()
            .flat_map(|s| &s.records)
            .filter_map(|r| r.handle(5).max(r.handle(105)))
            .max();
        Handles {
            next: greatest.max(most.unwrap_or(0)).saturating_add(1),
            used: BTreeSet::new(),
        }
    }

    fn fresh(&mut self) -> u64 {
        let handle = self.next;
        self.next = self.next.saturating_add(1);
        self.used.insert(handle);
        handle
    }

    fn keep(&mut self, given: Option<u64>) -> u64 {
        match given {
            Some(handle) if self.used.insert(handle) => handle,
            _ => self.fresh(),
        }
    }
}

/// The records of every section, without the tags that open and close it.
fn sections(drawing: &Drawing<'_>) -> Vec<Section> {
    let ranges = drawing.structure.sections.iter();
    ranges
        .map(|(name, range)| {
            let mut records: Vec<Record> = Vec::new();
            for tag in drawing.tags(range.clone()) {
                let value = drawing.source.get(tag.value).unwrap_or_default();
                match (tag.code, records.last_mut()) {
                    (999, _) => {}
                    (0, _) => records.push(Record::new(&String::from_utf8_lossy(value.trim_ascii()), vec![])),
                    (code, Some(record)) => record.fields.push(Field {
                        code,
                        value: value.to_vec(),
                    }),
                    _ => {}
                }
            }
            records.retain(|r| r.name != "ENDSEC");
            if let Some(first) = records.first_mut() {
                first.fields.retain(|f| f.code != 2 || name == "HEADER");
                // The header's variables stand behind the section's name itself.
                if name == "HEADER" && first.fields.first().is_some_and(|f| f.code == 2) {
                    first.fields.remove(0);
                } else if name != "HEADER" {
                    records.remove(0);
                }
            }
            Section {
                name: name.clone(),
                records,
            }
        })
        .collect()
}

/// The header with its handle seed set.
fn header(mut head: Vec<Record>, seed: u64) -> Vec<Record> {
    if head.is_empty() {
        head.push(Record::new("SECTION", Vec::new()));
    }
    if let Some(first) = head.first_mut() {
        let at = first.fields.iter().position(|f| f.is(9, b"$HANDSEED"));
        match at.and_then(|at| first.fields.get_mut(at + 1)) {
            Some(field) if field.code == 5 => *field = Field::handle(5, seed),
            _ => first
                .fields
                .extend([Field::text(9, "$HANDSEED"), Field::handle(5, seed)]),
        }
    }
    head
}

struct Output(Writer);

impl Output {
    fn new(drawing: &Drawing<'_>) -> Self {
        let mut writer = Writer::new(drawing.format, Some(drawing.encoding));
        if let Format::Binary { .. } = drawing.format {
            writer.out.extend(super::tag::SENTINEL);
        }
        Output(writer)
    }

    fn section(&mut self, name: &str, records: Vec<Record>) {
        self.0.name(0, "SECTION");
        self.0.name(2, name);
        for record in records {
            if record.name != "SECTION" {
                self.0.name(0, &record.name);
            }
            for field in record.fields {
                self.0.raw(field.code, &field.value);
            }
        }
        self.0.name(0, "ENDSEC");
    }

    fn finish(mut self) -> Vec<u8> {
        self.0.name(0, "EOF");
        self.0.out
    }
}
