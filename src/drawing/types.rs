//! Plain types of a drawing that was read.

use std::borrow::Cow;
use std::ops::Range;

use serde::Serialize;

/// ASCII or binary, and what a splice must imitate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// Text; the line ending most used in the file.
    Ascii { newline: &'static str },
    /// Binary; `wide` means two-byte group codes (R13 and later).
    Binary { wide: bool },
}

/// `$ACADVER`; ordered by age. Absent or unknown is taken as [`Version::R12`] with a note.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub enum Version {
    R9,
    R10,
    R12,
    R13,
    R14,
    R2000,
    R2004,
    R2007,
    R2010,
    R2013,
    R2018,
}

/// A header variable: its name without `$` kept as written (`$INSUNITS`), and its tags.
#[derive(Clone, Debug, PartialEq)]
pub struct HeaderVar {
    pub name: String,
    pub tags: Vec<Tag>,
}

/// One group code and where its value's bytes lie (trimmed of the line end).
#[derive(Clone, Debug, PartialEq)]
pub struct Tag {
    pub code: i16,
    /// The whole tag, code line to the end of the value's line end.
    pub range: Range<usize>,
    /// The value's bytes.
    pub value: Range<usize>,
}

#[derive(Clone, Debug, PartialEq)]
pub struct Layer {
    pub name: String,
    pub color: i16,
    pub off: bool,
    pub frozen: bool,
    /// What is on it is plotted, as far as the layer table says.
    pub plotted: bool,
    pub offset: usize,
}

/// An MLINESTYLE: how MLINEs of this style look.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MlineStyle {
    pub name: String,
    pub handle: Option<u64>,
    /// Group 70: what is drawn at mitres and at ends.
    pub flags: i64,
    /// How far each element lies to the left of the MLINE's way, in the drawing's unit at scale 1.
    pub offsets: Vec<f64>,
}

impl MlineStyle {
    /// Its elements from the rightmost to the leftmost; none where it has not `count` of them.
    pub(super) fn order(&self, count: usize) -> Vec<usize> {
        if self.offsets.len() != count {
            return Vec::new();
        }
        let mut order: Vec<usize> = (0..count).collect();
        order.sort_by(|a, b| self.offsets[*a].total_cmp(&self.offsets[*b]));
        order
    }
}

/// A block definition.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    pub name: String,
    /// The name a dynamic block was made from, where extended data or a dictionary tells it.
    pub true_name: Option<String>,
    /// What it is one of many copies of, where the export of a building model gave each placed piece a block of its own.
    pub family: Option<String>,
    pub base: [f64; 3],
    pub flags: i16,
    /// `*Model_Space`, `*Paper_Space…`, `$MODEL_SPACE` and their like.
    pub layout: bool,
    pub entities: Vec<EntityRef>,
    pub handle: Option<String>,
    pub offset: usize,
    /// External reference path, if it is one.
    pub xref: Option<String>,
}

/// Where one entity lies. An INSERT or POLYLINE takes its ATTRIBs, VERTEXes and SEQEND along.
#[derive(Clone, Debug, PartialEq)]
pub struct EntityRef {
    /// From the first byte of its `0` tag to the first byte after its last tag.
    pub range: Range<usize>,
    /// The bytes of its type name.
    pub name: Range<usize>,
}

/// Byte positions that a splice needs; every one an offset into the source.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Structure {
    /// Section name and the range from its `0 SECTION` tag to after its `0 ENDSEC` tag.
    pub sections: Vec<(String, Range<usize>)>,
    /// Table name and the range from its `0 TABLE` to after its `0 ENDTAB`.
    pub tables: Vec<(String, Range<usize>)>,
    /// The greatest handle seen anywhere, and `$HANDSEED` where present.
    pub greatest_handle: u64,
    pub hand_seed: Option<u64>,
    /// False where the source ended before `0 EOF`.
    pub complete: bool,
}

/// Why nothing could be read. `Display` is one sentence with what to do.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ReadError {
    #[error("the file is empty; export it again from the CAD program")]
    Empty,
    #[error("this is no DXF drawing: {0}; export the plan as DXF, ASCII or binary")]
    NotDxf(String),
    #[error("line {line}: {what}; export the plan again")]
    Broken { line: usize, what: String },
    /// As [`ReadError::Broken`], for a binary drawing, which has no lines.
    #[error("{0}; export the plan again")]
    BrokenBinary(String),
}

/// One entity with the properties every entity has.
#[derive(Clone, Debug, PartialEq)]
pub struct Entity<'a> {
    /// Type name as written: `LINE`, `HATCH`.
    pub name: Cow<'a, str>,
    pub handle: Option<Cow<'a, str>>,
    /// Byte offset of its `0` tag: the identity of an entity.
    pub offset: usize,
    pub layer: Cow<'a, str>,
    /// Group 62; 256 by layer, 0 by block.
    pub color: i16,
    /// Group 6; `None` is by layer.
    pub linetype: Option<Cow<'a, str>>,
    /// In paper space (67, owner or R12 `$PAPER_SPACE`).
    pub paper: bool,
    /// Group 60.
    pub invisible: bool,
    /// Extrusion direction, (0, 0, 1) by default.
    pub extrusion: [f64; 3],
    pub shape: Shape<'a>,
}

/// What an entity draws, in its own coordinates (OCS where the format says so).
#[derive(Clone, Debug, PartialEq)]
pub enum Shape<'a> {
    Line {
        from: [f64; 3],
        to: [f64; 3],
    },
    Point {
        at: [f64; 3],
    },
    Circle {
        center: [f64; 3],
        radius: f64,
    },
    /// Angles in degrees, counter-clockwise from `start` to `end`.
    Arc {
        center: [f64; 3],
        radius: f64,
        start: f64,
        end: f64,
    },
    /// World coordinates; parameters in radians.
    Ellipse {
        center: [f64; 3],
        major: [f64; 3],
        ratio: f64,
        start: f64,
        end: f64,
    },
    /// LWPOLYLINE, 2D/3D POLYLINE, LEADER (from its head on) and SPLINE (as arcs); `world` for a 3D polyline (no OCS).
    Polyline {
        vertices: Vec<Vertex>,
        closed: bool,
        elevation: f64,
        world: bool,
    },
    Insert(Box<Insert<'a>>),
    Text {
        at: [f64; 3],
        align: Option<[f64; 3]>,
        halign: i16,
        valign: i16,
        height: f64,
        angle: f64,
        text: Cow<'a, str>,
    },
    /// Formatting stripped; `angle` in degrees; `attachment` 1–9. World coordinates.
    MText {
        at: [f64; 3],
        height: f64,
        angle: f64,
        width: f64,
        attachment: i16,
        text: Cow<'a, str>,
    },
    /// Points 10, 11, 13, 14 in world coordinates; the measured value (42) and text override (1).
    Dimension {
        kind: i16,
        def: [f64; 3],
        text_at: [f64; 3],
        p1: [f64; 3],
        p2: [f64; 3],
        /// Group 50 in degrees: the direction of a rotated dimension.
        angle: f64,
        measured: Option<f64>,
        text: Cow<'a, str>,
        block: Option<Cow<'a, str>>,
    },
    /// SOLID, TRACE (corner order mended to a ring) and 3DFACE.
    Face {
        corners: Vec<[f64; 3]>,
        world: bool,
    },
    /// Boundaries of a HATCH that are closed and straight (of one that is no disc), each with at least three corners, and how many
    /// others it has. What it fills them with is not looked at.
    Hatch {
        loops: Vec<Vec<[f64; 2]>>,
        elevation: f64,
        curved: usize,
    },
    /// What a MULTILEADER draws, at least one: its words ([`Shape::MText`]) and its lines ([`Shape::Polyline`]), from their
    /// heads on. World coordinates.
    MultiLeader(Vec<Shape<'a>>),
    /// What an entity draws in several parts, at least one: the lines of an MLINE, the stretches of its elements before
    /// what closes its ends, each a [`Shape::Line`] or a [`Shape::Polyline`] in world coordinates; the discs of a solid
    /// HATCH, each a [`Shape::Circle`]; the faces of a mesh, each a [`Shape::Face`].
    Parts(Vec<Shape<'a>>),
    /// Kept in the source, not interpreted (VIEWPORT, proxies, …).
    Other,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Vertex {
    pub at: [f64; 3],
    pub bulge: f64,
    pub start_width: f64,
    pub end_width: f64,
}

#[derive(Clone, Debug, PartialEq)]
pub struct Insert<'a> {
    pub block: Cow<'a, str>,
    pub at: [f64; 3],
    pub scale: [f64; 3],
    /// Degrees.
    pub rotation: f64,
    pub columns: u32,
    pub rows: u32,
    pub column_spacing: f64,
    pub row_spacing: f64,
    pub attribs: Vec<Attrib<'a>>,
}

#[derive(Clone, Debug, PartialEq)]
pub struct Attrib<'a> {
    pub tag: Cow<'a, str>,
    pub text: Cow<'a, str>,
    pub layer: Cow<'a, str>,
    pub at: [f64; 3],
    pub invisible: bool,
    /// Where its lettering stands, as in a TEXT: first and second point, alignment, height, angle in degrees.
    pub first: [f64; 3],
    pub second: Option<[f64; 3]>,
    pub halign: i16,
    pub valign: i16,
    pub height: f64,
    pub angle: f64,
}
