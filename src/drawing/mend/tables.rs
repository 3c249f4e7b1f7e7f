//! Symbol tables: every one there, with a handle, its entries owned by it.

use super::{Field, Handles, Maker, Record};
use crate::drawing::types::Version;

pub(super) const MODEL_SPACE: &str = "*MODEL_SPACE";
pub(super) const PAPER_SPACE: &str = "*PAPER_SPACE";

/// In the order CAD programs write them.
const ORDER: [&str; 9] = [
    "VPORT",
    "LTYPE",
    "LAYER",
    "STYLE",
    "VIEW",
    "UCS",
    "APPID",
    "DIMSTYLE",
    "BLOCK_RECORD",
];

struct Table {
    name: &'static str,
    handle: u64,
    entries: Vec<Record>,
}

pub(super) struct Tables(Vec<Table>);

/// Sorts the entries of the section to their tables and gives each its handle.
pub(super) fn mend(maker: &Maker, records: Vec<Record>, handles: &mut Handles) -> Tables {
    let mut tables: Vec<Table> = Vec::new();
    for name in ORDER {
        if name == "BLOCK_RECORD" && !maker.owners() {
            continue;
        }
        let handle = handles.fresh();
        let mut entries: Vec<Record> = records
            .iter()
            .filter(|r| r.name == name && named(r))
            .cloned()
            .collect();
        let mut seen = std::collections::BTreeSet::new();
        entries.retain(|e| seen.insert(e.text(2).unwrap_or_default().to_uppercase()) || name == "VPORT");
        for default in defaults(maker, name) {
            if !entries
                .iter()
                .any(|e| e.fields.iter().any(|f| same_name(f, &default)))
            {
                entries.push(default);
            }
        }
        for entry in &mut entries {
            tidy(maker, entry);
            let code = if name == "DIMSTYLE" { 105 } else { 5 };
            let given = entry.handle(105).filter(|_| code == 105).or(entry.handle(5));
            let own = handles.keep(given);
            if code == 105 {
                entry.fields.retain(|f| f.code != 5);
            }
            // Before R13 only what is drawn has a handle.
            if maker.owners() {
                entry.identify(maker, code, own, Some(handle));
            } else {
                entry.fields.retain(|f| f.code != code);
            }
        }
        tables.push(Table {
            name,
            handle,
            entries,
        });
    }
    Tables(tables)
}

fn named(record: &Record) -> bool {
    record.text(2).is_some_and(|name| !name.is_empty())
}

fn same_name(field: &Field, default: &Record) -> bool {
    default
        .text(2)
        .is_some_and(|name| field.code == 2 && field.is(2, name.as_bytes()))
}

/// Takes out references to nothing and what the version does not know.
fn tidy(maker: &Maker, entry: &mut Record) {
    entry
        .fields
        .retain(|f| !matches!(f.code, 320..=369 | 390..=399) || !matches!(f.value.trim_ascii(), b"" | b"0"));
    match entry.name.as_str() {
        "DIMSTYLE" => {
            // Unused block names of arrows, and variables newer than the drawing.
            entry
                .fields
                .retain(|f| !(matches!(f.code, 5..=7) && f.value.trim_ascii().is_empty()));
            if maker.version < Version::R2000 {
                entry
                    .fields
                    .retain(|f| !matches!(f.code, 79 | 148 | 179 | 276 | 289 | 371 | 372));
            }
        }
        "VPORT" => entry
            .fields
            .retain(|f| !matches!(f.code, 65 | 281) || maker.version >= Version::R2000),
        _ => {}
    }
    if !maker.owners() {
        entry
            .fields
            .retain(|f| f.code < 100 || matches!(f.code, 140..=147 | 170..=178 | 210 | 220 | 230 | 1000..));
    }
}

/// What no drawing can be without.
fn defaults(maker: &Maker, table: &str) -> Vec<Record> {
    let class = |own: &str| {
        let mut fields = Vec::new();
        if maker.owners() {
            fields.push(Field::text(100, "AcDbSymbolTableRecord"));
            fields.push(Field::text(100, own));
        }
        fields
    };
    let entry = |own: &str, name: &str, rest: Vec<Field>| {
        let mut fields = class(own);
        fields.push(Field::text(2, name));
        if table != "BLOCK_RECORD" {
            fields.push(maker.int(70, 0));
        }
        fields.extend(rest);
        Record::new(table, fields)
    };
    let line = || {
        vec![
            Field::text(3, ""),
            maker.int(72, 65),
            maker.int(73, 0),
            maker.real(40, 0.0),
        ]
    };
    match table {
        "LTYPE" => ["BYBLOCK", "BYLAYER", "CONTINUOUS"]
            .iter()
            .map(|name| entry("AcDbLinetypeTableRecord", name, line()))
            .collect(),
        "LAYER" => {
            let rest = vec![maker.int(62, 7), Field::text(6, "CONTINUOUS")];
            vec![entry("AcDbLayerTableRecord", "0", rest)]
        }
        "STYLE" => {
            let rest = vec![
                maker.real(40, 0.0),
                maker.real(41, 1.0),
                maker.real(50, 0.0),
                maker.int(71, 0),
                maker.real(42, 0.2),
                Field::text(3, "txt"),
                Field::text(4, ""),
            ];
            vec![entry("AcDbTextStyleTableRecord", "STANDARD", rest)]
        }
        "APPID" => vec![entry("AcDbRegAppTableRecord", "ACAD", vec![])],
        "DIMSTYLE" => vec![entry("AcDbDimStyleTableRecord", "STANDARD", vec![])],
        "BLOCK_RECORD" => [MODEL_SPACE, PAPER_SPACE]
            .iter()
            .map(|name| entry("AcDbBlockTableRecord", name, vec![]))
            .collect(),
        _ => Vec::new(),
    }
}

impl Tables {
    fn table(&mut self, name: &str) -> Option<&mut Table> {
        self.0.iter_mut().find(|t| t.name == name)
    }

    /// A record for every block that has none.
    pub(super) fn add_block_records(&mut self, maker: &Maker, blocks: &[Record], handles: &mut Handles) {
        for block in blocks.iter().filter(|b| b.name == "BLOCK") {
            let Some(name) = block.text(2) else { continue };
            if self.block_record(&name).is_some() {
                continue;
            }
            let Some(table) = self.table("BLOCK_RECORD") else {
                return;
            };
            let mut record = Record::new(
                "BLOCK_RECORD",
                vec![
                    Field::text(100, "AcDbSymbolTableRecord"),
                    Field::text(100, "AcDbBlockTableRecord"),
                    Field {
                        code: 2,
                        value: block
                            .fields
                            .iter()
                            .find(|f| f.code == 2)
                            .map(|f| f.value.clone())
                            .unwrap_or_default(),
                    },
                ],
            );
            record.identify(maker, 5, handles.fresh(), Some(table.handle));
            table.entries.push(record);
        }
    }

    /// The handle of a block's record.
    pub(super) fn block_record(&self, block: &str) -> Option<u64> {
        let table = self.0.iter().find(|t| t.name == "BLOCK_RECORD")?;
        let record = table
            .entries
            .iter()
            .find(|e| e.text(2).is_some_and(|name| name.eq_ignore_ascii_case(block)))?;
        record.handle(5)
    }

    /// Tells a block's record which layout it is.
    pub(super) fn set_layout(&mut self, block: &str, layout: u64) {
        let Some(table) = self.table("BLOCK_RECORD") else {
            return;
        };
        for entry in &mut table.entries {
            if entry.text(2).is_some_and(|name| name.eq_ignore_ascii_case(block)) {
                entry.fields.retain(|f| f.code != 340);
                let at = entry
                    .fields
                    .iter()
                    .position(|f| f.code == 2)
                    .map_or(entry.fields.len(), |at| at + 1);
                entry.fields.insert(at, Field::handle(340, layout));
            }
        }
    }

    /// The section's records, heads and counts in place.
    pub(super) fn records(self, maker: &Maker) -> Vec<Record> {
        let mut out = Vec::new();
        for table in self.0 {
            let count = i64::try_from(table.entries.len()).unwrap_or(i64::MAX);
            let mut head = Record::new("TABLE", vec![Field::text(2, table.name)]);
            if maker.owners() {
                head.fields.extend([
                    Field::handle(5, table.handle),
                    Field::handle(330, 0),
                    Field::text(100, "AcDbSymbolTable"),
                ]);
            }
            head.fields.push(maker.int(70, count));
            if table.name == "DIMSTYLE" && maker.version >= Version::R2000 {
                head.fields
                    .extend([Field::text(100, "AcDbDimStyleTable"), maker.int(71, 0)]);
            }
            out.push(head);
            out.extend(table.entries);
            out.push(Record::new("ENDTAB", vec![]));
        }
        out
    }
}
