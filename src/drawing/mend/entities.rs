//! Blocks and entities: one handle each, an owner, complete sequences.

use super::tables::{MODEL_SPACE, PAPER_SPACE, Tables};
use super::{Field, Handles, Maker, Record};
use crate::drawing::types::Version;

/// The BLOCKS section, with the blocks of both spaces.
pub(super) fn blocks(
    maker: &Maker,
    records: Vec<Record>,
    tables: &Tables,
    handles: &mut Handles,
) -> Vec<Record> {
    let mut out = Vec::new();
    let has = |name: &str| {
        records
            .iter()
            .any(|r| r.name == "BLOCK" && r.text(2).is_some_and(|n| n.eq_ignore_ascii_case(name)))
    };
    if maker.owners() {
        for (name, paper) in [(MODEL_SPACE, false), (PAPER_SPACE, true)] {
            if !has(name) {
                let owner = tables.block_record(name);
                out.extend(empty_block(maker, name, owner, paper, handles));
            }
        }
    }
    let mut owner = None;
    let mut held: Vec<Record> = Vec::new();
    for mut record in records {
        match record.name.as_str() {
            "BLOCK" => {
                owner = record.text(2).and_then(|name| tables.block_record(&name));
                let own = handles.keep(record.handle(5));
                record.identify(maker, 5, own, owner);
                strip(maker, &mut record);
                out.push(record);
            }
            "ENDBLK" => {
                out.extend(list(maker, std::mem::take(&mut held), [owner, owner], handles));
                let own = handles.keep(record.handle(5));
                record.identify(maker, 5, own, owner);
                strip(maker, &mut record);
                out.push(record);
            }
            _ => held.push(record),
        }
    }
    out
}

fn empty_block(
    maker: &Maker,
    name: &str,
    owner: Option<u64>,
    paper: bool,
    handles: &mut Handles,
) -> [Record; 2] {
    let common = |class: &str| {
        let mut fields = vec![Field::text(100, "AcDbEntity")];
        if paper {
            fields.push(maker.int(67, 1));
        }
        fields.extend([Field::text(8, "0"), Field::text(100, class)]);
        fields
    };
    let mut begin = Record::new("BLOCK", common("AcDbBlockBegin"));
    begin.fields.extend([
        Field::text(2, name),
        maker.int(70, 0),
        maker.real(10, 0.0),
        maker.real(20, 0.0),
        maker.real(30, 0.0),
        Field::text(3, name),
        Field::text(1, ""),
    ]);
    begin.identify(maker, 5, handles.fresh(), owner);
    let mut end = Record::new("ENDBLK", common("AcDbBlockEnd"));
    end.identify(maker, 5, handles.fresh(), owner);
    [begin, end]
}

/// Entities of one list; `spaces` are the owners in model and in paper space.
pub(super) fn list(
    maker: &Maker,
    records: Vec<Record>,
    spaces: [Option<u64>; 2],
    handles: &mut Handles,
) -> Vec<Record> {
    let mut out: Vec<Record> = Vec::new();
    let mut sequence = None;
    let mut previous = String::new();
    for mut record in records {
        let name = record.name.clone();
        // A text that an attribute would show in several lines, written where there is none.
        if name == "MTEXT"
            && record.handle(5).is_none()
            && matches!(&*previous, "ATTRIB" | "ATTDEF" | "MTEXT")
        {
            continue;
        }
        let part = matches!(&*name, "ATTRIB" | "VERTEX" | "SEQEND");
        let paper = record.fields.iter().any(|f| f.code == 67 && !zero(f));
        let [model, paper_space] = spaces;
        let space = if paper { paper_space } else { model };
        let own = handles.keep(record.handle(5));
        let owner = if part { sequence.or(space) } else { space };
        if matches!(&*name, "INSERT" | "POLYLINE") {
            sequence = Some(own);
        }
        shape(maker, &mut record);
        record.identify(maker, 5, own, owner);
        strip(maker, &mut record);
        out.push(record);
        previous = name;
    }
    out
}

/// Whether a whole number is 0, in text or in bytes.
fn zero(field: &Field) -> bool {
    field
        .value
        .iter()
        .all(|b| matches!(b, 0 | b'0') || b.is_ascii_whitespace())
}

/// What single kinds of entity need.
fn shape(maker: &Maker, record: &mut Record) {
    // A transparency without its kind, a colour book without a name, references to nothing.
    record.fields.retain(|f| match f.code {
        347 | 348 | 390 | 440 => !zero(f),
        430 => !f.value.trim_ascii().is_empty(),
        _ => true,
    });
    match record.name.as_str() {
        "POLYLINE" if !record.fields.iter().any(|f| f.code == 66) => {
            let at = record
                .fields
                .iter()
                .position(|f| f.code == 10)
                .unwrap_or(record.fields.len());
            record.fields.insert(at, maker.int(66, 1));
        }
        "SEQEND" => {
            if !record.fields.iter().any(|f| f.is(100, b"AcDbEntity")) {
                record.fields.push(Field::text(100, "AcDbEntity"));
            }
            if !record.fields.iter().any(|f| f.code == 8) {
                record.fields.push(Field::text(8, "0"));
            }
        }
        "MTEXT" => mtext(maker, record),
        "ATTDEF" => {
            // The class begins once: where prompt and tag stand.
            let first = record
                .fields
                .iter()
                .position(|f| f.is(100, b"AcDbAttributeDefinition"));
            let last = record
                .fields
                .iter()
                .rposition(|f| f.is(100, b"AcDbAttributeDefinition"));
            if let (Some(first), true) = (first, first != last) {
                record.fields.remove(first);
            }
            one_line(record);
        }
        "ATTRIB" => one_line(record),
        _ => {}
    }
}

/// Takes off the record for several lines, whose text was never written.
fn one_line(record: &mut Record) {
    if let Some(at) = record.fields.iter().position(|f| f.is(100, b"AcDbXrecord")) {
        record.fields.truncate(at);
    }
}

/// Leaves the columns and the background of an MTEXT out where nothing is set.
fn mtext(maker: &Maker, record: &mut Record) {
    if maker.version >= Version::R2018 && record.fields.iter().any(|f| f.code == 101) {
        return;
    }
    let mut turned = false;
    let start = record
        .fields
        .iter()
        .position(|f| f.is(100, b"AcDbMText"))
        .unwrap_or(0);
    let mut at = 0;
    record.fields.retain(|f| {
        at += 1;
        let keep = match f.code {
            50 => !std::mem::replace(&mut turned, true),
            42 | 43 | 45 | 46 | 48 | 49 | 63 | 75..=79 | 90 | 420..=441 => false,
            _ => true,
        };
        keep || at <= start
    });
}

/// Before R13 there are no subclass markers and no codes above those of its day.
fn strip(maker: &Maker, record: &mut Record) {
    if !maker.owners() {
        record.fields.retain(|f| {
            f.code < 100 || matches!(f.code, 105 | 140..=147 | 170..=178 | 210 | 220 | 230 | 1000..)
        });
    }
}
