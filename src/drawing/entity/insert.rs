//! INSERT and the ATTRIBs that follow it.

use std::borrow::Cow;

use super::fields::Fields;
use super::{Trouble, embedded};
use crate::drawing::tag::Cursor;
use crate::drawing::types::{Attrib, Insert, Shape, Tag};
use crate::drawing::{Drawing, mtext};

/// ATTRIB flag (group 70): not shown.
const INVISIBLE: i16 = 1;

/// INSERT; counts of 0 mean 1. ATTRIBs are gathered whatever group 66 says.
pub(super) fn insert<'a>(
    drawing: &Drawing<'a>,
    cursor: &mut Cursor<'a>,
    fields: &mut Fields,
    trouble: &mut Trouble,
) -> Shape<'a> {
    let mut next = fields.take_head(cursor, trouble);
    let mut attribs = Vec::new();
    while let Some(tag) = next.take() {
        if cursor.bytes(&tag).trim_ascii() != b"ATTRIB" {
            break;
        }
        let (attrib, after) = attrib(drawing, cursor, trouble);
        attribs.push(attrib);
        next = after;
    }
    for code in [10, 20] {
        if !fields.has(code) {
            trouble.loss("incomplete", format!("is left out: it has no group {code}"));
        }
    }
    let count = |code| u32::try_from(fields.small(code)).unwrap_or(1).max(1);
    Shape::Insert(Box::new(Insert {
        block: fields.name.clone().map_or(Cow::Borrowed(""), |r| drawing.name(r)),
        at: fields.point(10),
        scale: [41, 42, 43].map(|code| fields.real(code).unwrap_or(1.0)),
        rotation: fields.real(50).unwrap_or(0.0),
        columns: count(70),
        rows: count(71),
        column_spacing: fields.real(44).unwrap_or(0.0),
        row_spacing: fields.real(45).unwrap_or(0.0),
        attribs,
    }))
}

/// ACAD_TABLE: an INSERT of the anonymous block that draws it. Its cells' own groups are not looked at:
/// the block has their texts as they are shown.
pub(super) fn table<'a>(
    drawing: &Drawing<'a>,
    cursor: &mut Cursor<'a>,
    fields: &mut Fields,
    trouble: &mut Trouble,
) -> Shape<'a> {
    let mut cells = false;
    let mut direction = [None; 2];
    while let Some(tag) = cursor.next() {
        cells |= tag.code == 100 && cursor.bytes(&tag).trim_ascii() == b"AcDbTable";
        match tag.code {
            11 | 21 if cells => {
                let known = &mut direction[usize::from(tag.code == 21)];
                *known = known.or(cursor.real(&tag).map(|r| r.value).filter(|v| v.is_finite()));
            }
            _ if cells => {}
            _ => fields.take(cursor, &tag, trouble),
        }
    }
    if fields.name.is_none() || !fields.has(10) || !fields.has(20) {
        return Shape::Other;
    }
    let rotation = match direction {
        [Some(x), Some(y)] if (x, y) != (0.0, 0.0) => y.atan2(x).to_degrees(),
        _ => 0.0,
    };
    Shape::Insert(Box::new(Insert {
        block: fields.name.clone().map_or(Cow::Borrowed(""), |r| drawing.name(r)),
        at: fields.point(10),
        scale: [1.0; 3],
        rotation,
        columns: 1,
        rows: 1,
        column_spacing: 0.0,
        row_spacing: 0.0,
        attribs: Vec::new(),
    }))
}

/// One ATTRIB and the `0` tag after it. What is odd in it is no loss of the INSERT.
fn attrib<'a>(
    drawing: &Drawing<'a>,
    cursor: &mut Cursor<'a>,
    trouble: &mut Trouble,
) -> (Attrib<'a>, Option<Tag>) {
    let mut fields = Fields::default();
    let mut own = Trouble::default();
    let mut next = None;
    let mut past = false;
    while let Some(tag) = cursor.next() {
        if tag.code == 0 {
            next = Some(tag);
            break;
        }
        past |= embedded(&tag);
        if !past {
            fields.take(cursor, &tag, &mut own);
        }
    }
    if let Some((_, code, message)) = own.gravest {
        trouble.warning(code, format!("has an attribute that {message}"));
    }
    let aligned = fields.has(11) && (fields.small(72) != 0 || fields.small(74) != 0);
    let attrib = Attrib {
        tag: fields.name.clone().map_or(Cow::Borrowed(""), |r| drawing.name(r)),
        text: (fields.text.clone()).map_or(Cow::Borrowed(""), |r| mtext::coded(drawing.text(r))),
        layer: fields
            .layer
            .clone()
            .map_or(Cow::Borrowed("0"), |r| drawing.name(r)),
        at: fields.point(if aligned { 11 } else { 10 }),
        invisible: fields.invisible || fields.small(70) & INVISIBLE != 0,
        first: fields.point(10),
        second: fields.has(11).then(|| fields.point(11)),
        halign: fields.small(72),
        valign: fields.small(74),
        height: fields.real(40).unwrap_or(1.0),
        angle: fields.real(50).unwrap_or(0.0),
    };
    (attrib, next)
}
