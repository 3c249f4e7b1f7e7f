//! Shapes of the entities whose groups do not repeat.

use std::borrow::Cow;
use std::ops::Range;

use super::Trouble;
use super::fields::Fields;
use crate::drawing::tag::Cursor;
use crate::drawing::types::Shape;
use crate::drawing::{Drawing, mtext};

/// Builds a shape from gathered groups.
pub(super) type Builder = for<'d, 'a> fn(&'d Drawing<'a>, &Fields, &mut Trouble) -> Shape<'a>;

/// The builder for a type name; `None` for what is not interpreted.
pub(super) fn builder(name: &[u8]) -> Option<Builder> {
    Some(match name {
        // R9 and R10 write lines in space as 3DLINE.
        b"LINE" | b"3DLINE" => line,
        b"POINT" => point,
        b"CIRCLE" => circle,
        b"ARC" => arc,
        b"ELLIPSE" => ellipse,
        b"TEXT" => text,
        b"DIMENSION" => dimension,
        b"SOLID" | b"TRACE" => solid,
        b"3DFACE" => face,
        _ => return None,
    })
}

/// Raises a loss where one of the groups, without which there is no shape, is absent.
fn need(fields: &Fields, trouble: &mut Trouble, codes: &[u8]) {
    if let Some(code) = codes.iter().find(|c| !fields.has(**c)) {
        trouble.loss("incomplete", format!("is left out: it has no group {code}"));
    }
}

fn line<'a>(_: &Drawing<'a>, fields: &Fields, trouble: &mut Trouble) -> Shape<'a> {
    need(fields, trouble, &[10, 20, 11, 21]);
    Shape::Line {
        from: fields.point(10),
        to: fields.point(11),
    }
}

fn point<'a>(_: &Drawing<'a>, fields: &Fields, trouble: &mut Trouble) -> Shape<'a> {
    need(fields, trouble, &[10, 20]);
    Shape::Point { at: fields.point(10) }
}

fn circle<'a>(_: &Drawing<'a>, fields: &Fields, trouble: &mut Trouble) -> Shape<'a> {
    need(fields, trouble, &[10, 20, 40]);
    Shape::Circle {
        center: fields.point(10),
        radius: fields.real(40).unwrap_or(0.0),
    }
}

fn arc<'a>(_: &Drawing<'a>, fields: &Fields, trouble: &mut Trouble) -> Shape<'a> {
    need(fields, trouble, &[10, 20, 40, 50, 51]);
    Shape::Arc {
        center: fields.point(10),
        radius: fields.real(40).unwrap_or(0.0),
        start: fields.real(50).unwrap_or(0.0),
        end: fields.real(51).unwrap_or(360.0),
    }
}

fn ellipse<'a>(_: &Drawing<'a>, fields: &Fields, trouble: &mut Trouble) -> Shape<'a> {
    need(fields, trouble, &[10, 20, 11, 21, 40]);
    Shape::Ellipse {
        center: fields.point(10),
        major: fields.point(11),
        ratio: fields.real(40).unwrap_or(1.0),
        start: fields.real(41).unwrap_or(0.0),
        end: fields.real(42).unwrap_or(std::f64::consts::TAU),
    }
}

fn string<'a>(drawing: &Drawing<'a>, range: &Option<Range<usize>>) -> Cow<'a, str> {
    range.clone().map_or(Cow::Borrowed(""), |r| drawing.text(r))
}

fn text<'a>(drawing: &Drawing<'a>, fields: &Fields, trouble: &mut Trouble) -> Shape<'a> {
    need(fields, trouble, &[10, 20]);
    Shape::Text {
        at: fields.point(10),
        align: fields.has(11).then(|| fields.point(11)),
        halign: fields.small(72),
        valign: fields.small(73),
        height: fields.real(40).unwrap_or(1.0),
        angle: fields.real(50).unwrap_or(0.0),
        text: mtext::coded(string(drawing, &fields.text)),
    }
}

fn dimension<'a>(drawing: &Drawing<'a>, fields: &Fields, _: &mut Trouble) -> Shape<'a> {
    Shape::Dimension {
        kind: fields.small(70),
        def: fields.point(10),
        text_at: fields.point(11),
        p1: fields.point(13),
        p2: fields.point(14),
        angle: fields.real(50).unwrap_or(0.0),
        measured: fields.real(42),
        text: fields
            .text
            .clone()
            .map_or(Cow::Borrowed(""), |r| mtext::plain(drawing.raw_text(r))),
        block: fields.name.clone().map(|r| drawing.name(r)),
    }
}

/// SOLID and TRACE give their third and fourth corner crosswise.
fn solid<'a>(_: &Drawing<'a>, fields: &Fields, trouble: &mut Trouble) -> Shape<'a> {
    need(fields, trouble, &[10, 20, 11, 21, 12, 22]);
    let last = if fields.has(13) {
        fields.point(13)
    } else {
        fields.point(12)
    };
    Shape::Face {
        corners: ring([fields.point(10), fields.point(11), last, fields.point(12)]),
        world: false,
    }
}

fn face<'a>(_: &Drawing<'a>, fields: &Fields, trouble: &mut Trouble) -> Shape<'a> {
    need(fields, trouble, &[10, 20, 11, 21, 12, 22]);
    let last = if fields.has(13) {
        fields.point(13)
    } else {
        fields.point(12)
    };
    Shape::Face {
        corners: ring([fields.point(10), fields.point(11), fields.point(12), last]),
        world: true,
    }
}

/// A ring without corners that repeat the one before.
fn ring(corners: [[f64; 3]; 4]) -> Vec<[f64; 3]> {
    let mut ring = corners.to_vec();
    ring.dedup();
    if ring.len() > 1 && ring.first() == ring.last() {
        ring.pop();
    }
    ring
}

/// MTEXT: its text comes in pieces (group 3, the last in group 1), joined before decoding
/// since a piece may end inside a character.
pub(super) fn mtext<'a>(
    drawing: &Drawing<'a>,
    cursor: &mut Cursor<'a>,
    fields: &mut Fields,
    trouble: &mut Trouble,
) -> Shape<'a> {
    let mut pieces: Vec<Range<usize>> = Vec::new();
    while let Some(tag) = cursor.next() {
        match tag.code {
            0 | 101 => break,
            1 | 3 => pieces.push(tag.value),
            _ => fields.take(cursor, &tag, trouble),
        }
    }
    need(fields, trouble, &[10, 20]);
    let raw = match pieces.as_slice() {
        [piece] => drawing.raw_text(piece.clone()),
        _ => {
            let bytes: Vec<&[u8]> = pieces.into_iter().filter_map(|p| drawing.source.get(p)).collect();
            Cow::Owned(drawing.encoding.decode(&bytes.concat()).into_owned())
        }
    };
    let direction = fields.point(11);
    let angle = if fields.has(11) && (direction[0] != 0.0 || direction[1] != 0.0) {
        direction[1].atan2(direction[0]).to_degrees()
    } else {
        fields.real(50).unwrap_or(0.0)
    };
    Shape::MText {
        at: fields.point(10),
        height: fields.real(40).unwrap_or(1.0),
        angle,
        width: fields.real(41).unwrap_or(0.0),
        attachment: fields.int(71).map_or(1, |_| fields.small(71)),
        text: mtext::plain(raw),
    }
}
