//! The typed view of one entity.
//!
//! The groups of an entity are gathered into [`Fields`] in one walk, then a shape is
//! built of them; polylines and attributes, which repeat groups, walk on their own.

use std::borrow::Cow;

use super::types::{Entity, EntityRef, Shape, Tag};
use super::{Drawing, Space, number};
use crate::note::{Level, Note, Place};

mod fields;
mod hatch;
mod insert;
mod mesh;
mod multileader;
mod multiline;
mod polyline;
mod shapes;
mod spline;

use fields::Fields;

/// What was odd in an entity; the gravest matter is kept.
#[derive(Debug, Default)]
pub(super) struct Trouble {
    gravest: Option<(Level, &'static str, String)>,
}

impl Trouble {
    fn loss(&mut self, code: &'static str, message: impl Into<String>) {
        self.raise(Level::Loss, code, message.into());
    }

    fn warning(&mut self, code: &'static str, message: impl Into<String>) {
        self.raise(Level::Warning, code, message.into());
    }

    fn raise(&mut self, level: Level, code: &'static str, message: String) {
        if self.gravest.as_ref().is_none_or(|(l, _, _)| *l < level) {
            self.gravest = Some((level, code, message));
        }
    }

    fn lost(&self) -> bool {
        self.gravest.as_ref().is_some_and(|(l, _, _)| *l == Level::Loss)
    }
}

/// Decodes an entity.
pub(super) fn decode<'a>(drawing: &Drawing<'a>, e: &EntityRef) -> (Entity<'a>, Option<Note>) {
    let name = drawing.source.get(e.name.clone()).unwrap_or_default();
    let mut cursor = drawing.cursor(e.range.clone());
    let mut trouble = Trouble::default();
    // Its own `0` tag.
    let first = cursor.next();
    let mut fields = Fields::default();
    let mut shape = match name {
        b"LWPOLYLINE" => polyline::light(&mut cursor, &mut fields, &mut trouble),
        b"HATCH" => hatch::hatch(&mut cursor, &mut fields, &mut trouble),
        b"LEADER" => polyline::leader(&mut cursor, &mut fields, &mut trouble),
        b"MULTILEADER" | b"MLEADER" => {
            multileader::multileader(drawing, &mut cursor, &mut fields, &mut trouble)
        }
        b"MLINE" => multiline::multiline(drawing, &mut cursor, &mut fields, &mut trouble),
        b"MESH" => mesh::mesh(&mut cursor, &mut fields, &mut trouble),
        b"POLYLINE" => polyline::heavy(&mut cursor, &mut fields, &mut trouble),
        b"SPLINE" => spline::spline(&mut cursor, &mut fields, &mut trouble),
        b"INSERT" => insert::insert(drawing, &mut cursor, &mut fields, &mut trouble),
        b"ACAD_TABLE" => insert::table(drawing, &mut cursor, &mut fields, &mut trouble),
        b"MTEXT" => shapes::mtext(drawing, &mut cursor, &mut fields, &mut trouble),
        _ => match shapes::builder(name) {
            Some(build) => {
                fields.gather(&mut cursor, &mut trouble);
                build(drawing, &fields, &mut trouble)
            }
            None => {
                fields.gather_common(&mut cursor, &mut trouble);
                Shape::Other
            }
        },
    };
    if trouble.lost() {
        shape = Shape::Other;
    }
    let handle = fields
        .handle
        .clone()
        .map(|range| trim(drawing.name(range)))
        .filter(|h| !h.is_empty());
    let offset = first.map_or(e.range.start, |t| t.range.start);
    let entity = Entity {
        name: drawing.name(e.name.clone()),
        handle,
        offset,
        layer: fields
            .layer
            .clone()
            .map_or(Cow::Borrowed("0"), |range| drawing.name(range)),
        color: fields.color(),
        linetype: fields.linetype.clone().map(|range| drawing.name(range)),
        paper: in_paper(drawing, &fields, offset),
        invisible: fields.invisible,
        extrusion: fields.extrusion(),
        shape,
    };
    let note = trouble.gravest.map(|(level, code, message)| {
        Note::new(level, code, format!("{} {message}", entity.name)).at(Place {
            line: drawing.line_of(offset),
            offset: Some(offset),
            handle: entity.handle.as_ref().map(|h| h.to_string()),
            path: Vec::new(),
        })
    });
    (entity, note)
}

/// Text without blanks at either end, borrowed where it was.
fn trim(text: Cow<'_, str>) -> Cow<'_, str> {
    match text {
        Cow::Borrowed(text) => Cow::Borrowed(text.trim()),
        Cow::Owned(text) => Cow::Owned(text.trim().to_string()),
    }
}

/// The block it stands in decides, then its owner, then group 67, then the layout's name.
fn in_paper(drawing: &Drawing<'_>, fields: &Fields, offset: usize) -> bool {
    let bytes = |range: &std::ops::Range<usize>| drawing.source.get(range.clone()).unwrap_or_default();
    if let Some(space) = drawing.block_space(offset) {
        return space == Space::Paper;
    }
    let owner = fields
        .owner
        .as_ref()
        .and_then(|range| number::handle(bytes(range)));
    if let Some(space) = owner.and_then(|owner| drawing.owner_space(owner)) {
        return space == Space::Paper;
    }
    match (fields.paper, &fields.layout) {
        (Some(paper), _) => paper,
        (None, Some(layout)) => !bytes(layout).trim_ascii().eq_ignore_ascii_case(b"Model"),
        (None, None) => false,
    }
}

/// Whether a tag opens an object embedded in the entity; what follows is not its own.
fn embedded(tag: &Tag) -> bool {
    tag.code == 101
}
