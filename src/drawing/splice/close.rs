//! How a drawing that stops short is closed.
//!
//! The last tag is made whole by the fewest bytes that do, a point gets its second
//! coordinate, and what is open is ended: sequence, block, table, section, file.

use super::edits::Edits;
use super::records::Pen;
use crate::drawing::Drawing;
use crate::drawing::number;
use crate::drawing::tag::{ValueKind, value_kind};
use crate::drawing::types::{Format, Tag};

/// What is open at the end of a drawing that stops short.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Open {
    pub(super) section: bool,
    pub(super) table: bool,
    pub(super) block: bool,
    pub(super) sequence: bool,
}

/// Appends what is missing, `before_end` between the last section and the end.
pub(super) fn close(drawing: &Drawing<'_>, pen: &mut Pen<'_>, before_end: &[u8], edits: &mut Edits) {
    let last = drawing.structure.sections.iter().max_by_key(|(_, r)| r.end);
    let tags = last
        .map(|(_, range)| drawing.tags(range.start..drawing.source.len()))
        .unwrap_or_default();
    let bytes = pen.closing(open(drawing, &tags), before_end);
    let second = |code: Option<i16>| {
        let mut w = pen.writer();
        if let Some(code @ (10..=18 | 110..=112 | 210 | 1010..=1013)) = code {
            w.real(code + 10, 0.0);
        }
        w.out
    };
    match tail(drawing, &tags, pen.peek()) {
        Tail::Clean(at) => {
            let point = second(tags.last().map(|t| t.code));
            edits.insert(at, [point, bytes].concat());
        }
        Tail::Short { code, missing } => {
            let bytes = [missing, second(Some(code)), bytes].concat();
            edits.insert(drawing.source.len(), bytes);
            pen.fresh();
        }
        Tail::Name(missing) => {
            // The source ends in the code of a record: the first one of the closing takes it up.
            let name = memchr::memchr(drawing.layout.eol, &bytes).map_or(0, |n| n + 1);
            let bytes = bytes.get(name..).unwrap_or_default();
            edits.insert(drawing.source.len(), [missing.as_slice(), bytes].concat());
        }
    }
}

/// Whether the last value of the source may be cut.
pub(super) fn is_cut(drawing: &Drawing<'_>, tags: &[Tag]) -> bool {
    !matches!(tail(drawing, tags, 0), Tail::Clean(_))
}

/// What stands after the last whole tag.
enum Tail {
    /// Nothing but blanks: go on at this offset.
    Clean(usize),
    /// A tag cut short: its code, and the bytes that make it whole.
    Short { code: i16, missing: Vec<u8> },
    /// The code 0 without a name, and the bytes that end its line.
    Name(Vec<u8>),
}

/// How the source ends; `handle` is for an entity whose own handle is missing.
fn tail(drawing: &Drawing<'_>, tags: &[Tag], handle: u64) -> Tail {
    let end = tags.last().map_or(drawing.source.len(), |t| t.range.end);
    let rest = drawing.source.get(end..).unwrap_or_default();
    let newline = match drawing.format {
        Format::Binary { .. } if rest.is_empty() => return Tail::Clean(end),
        Format::Binary { wide } => {
            let (code, missing) = complete_binary(rest, wide);
            return Tail::Short { code, missing };
        }
        Format::Ascii { newline } => newline,
    };
    let eol = drawing.layout.eol;
    let before = drawing.source.get(..end).unwrap_or_default();
    if let (Some(last), false) = (tags.last(), before.ends_with(&[eol])) {
        let value = drawing.source.get(last.value.clone()).unwrap_or_default();
        let missing = [filler(last.code, value, handle), line_end(before, newline)].concat();
        return Tail::Short {
            code: last.code,
            missing,
        };
    }
    if rest.iter().all(|b| b.is_ascii_whitespace() || *b == 0x1A) {
        return Tail::Clean(end);
    }
    let mut missing = if rest.ends_with(&[eol]) {
        Vec::new()
    } else {
        line_end(rest, newline)
    };
    // Lines that are no tag are left as they are.
    let one = rest.iter().filter(|b| **b == eol).count() <= 1;
    match number::integer(rest).and_then(|code| i16::try_from(code).ok()) {
        Some(0) => Tail::Name(missing),
        Some(code) if one => {
            missing.extend(filler(code, b"", handle));
            missing.extend(newline.bytes());
            Tail::Short { code, missing }
        }
        _ => Tail::Short { code: 999, missing },
    }
}

/// What is missing of a line end that is cut itself.
fn line_end(before: &[u8], newline: &str) -> Vec<u8> {
    let there = before.iter().rev().take_while(|b| **b == b'\r').count();
    let there = there.min(newline.len().saturating_sub(1));
    newline.as_bytes().get(there..).unwrap_or_default().to_vec()
}

/// What makes a cut value one that its code can have.
fn filler(code: i16, value: &[u8], handle: u64) -> Vec<u8> {
    match value_kind(code) {
        ValueKind::Text | ValueKind::Chunk => Vec::new(),
        // An entity's own handle cannot be 0.
        ValueKind::Handle if !value.trim_ascii().is_empty() => Vec::new(),
        ValueKind::Handle if matches!(code, 5 | 105) => format!("{handle:X}").into_bytes(),
        ValueKind::Handle => b"0".to_vec(),
        _ if number::real(value).is_some() => Vec::new(),
        _ => b"0".to_vec(),
    }
}

/// The code that a cut tag has, and zeros for what is missing of its value.
fn complete_binary(rest: &[u8], wide: bool) -> (i16, Vec<u8>) {
    let (code, head) = match (wide, rest) {
        (true, [a, b, ..]) => (i16::from_le_bytes([*a, *b]), 2),
        (true, [a]) => {
            let (code, more) = complete_binary(&[*a, 0], wide);
            return (code, [vec![0], more].concat());
        }
        (false, [255, a, b, ..]) => (i16::from_le_bytes([*a, *b]), 3),
        (false, [255, ..]) => {
            // The code itself is cut: a comment takes the least room.
            let whole = [255, 0xE7, 0x03];
            let missing = whole.get(rest.len()..).unwrap_or_default();
            return (999, [missing, &[0]].concat());
        }
        (false, [a, ..]) => (i16::from(*a), 1),
        (_, []) => return (0, Vec::new()),
    };
    let value = rest.len().saturating_sub(head);
    let want = match value_kind(code) {
        ValueKind::Text | ValueKind::Handle => value + 1,
        ValueKind::Real | ValueKind::Int64 => 8,
        ValueKind::Int16 => 2,
        ValueKind::Int32 => 4,
        ValueKind::Byte => 1,
        ValueKind::Chunk => 1 + rest.get(head).map_or(0, |n| usize::from(*n)),
    };
    (code, vec![0; want.saturating_sub(value)])
}

/// What the tags of the last section leave open.
pub(super) fn open(drawing: &Drawing<'_>, tags: &[Tag]) -> Open {
    let mut open = Open::default();
    for tag in tags {
        let value = drawing
            .source
            .get(tag.value.clone())
            .unwrap_or_default()
            .trim_ascii();
        match (tag.code, value) {
            (0, b"SECTION") => {
                open = Open {
                    section: true,
                    ..Open::default()
                }
            }
            (0, b"ENDSEC") => open = Open::default(),
            (0, b"TABLE") => open.table = true,
            (0, b"ENDTAB") => open.table = false,
            (0, b"BLOCK") => open.block = true,
            (0, b"ENDBLK") => {
                open = Open {
                    block: false,
                    sequence: false,
                    ..open
                }
            }
            (0, b"POLYLINE" | b"ATTRIB" | b"VERTEX") => open.sequence = true,
            (0, _) => open.sequence = false,
            _ => {}
        }
    }
    open
}
