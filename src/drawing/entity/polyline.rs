//! LWPOLYLINE and POLYLINE with its VERTEXes.

use super::Trouble;
use super::fields::{Fields, bad_number, odd_number};
use super::mesh::{self, Kind};
use crate::drawing::tag::Cursor;
use crate::drawing::types::{Shape, Tag, Vertex};

/// Most vertices that a promised number reserves room for.
const RESERVE: usize = 4096;

pub(super) const EMPTY: Vertex = Vertex {
    at: [0.0; 3],
    bulge: 0.0,
    start_width: 0.0,
    end_width: 0.0,
};

/// Reads a number of a vertex; one that is not finite loses the polyline.
#[inline]
pub(super) fn number(cursor: &Cursor<'_>, tag: &Tag, trouble: &mut Trouble) -> f64 {
    match cursor.real(tag) {
        Some(real) if real.value.is_finite() => {
            if real.odd {
                odd_number(cursor, tag, trouble);
            }
            real.value
        }
        _ => {
            bad_number(cursor, tag, trouble);
            0.0
        }
    }
}

/// Reads one ordinate of a point: its group's tens say which.
pub(super) fn ordinate(cursor: &Cursor<'_>, tag: &Tag, trouble: &mut Trouble, point: &mut [f64; 3]) {
    let axis = usize::from(tag.code.unsigned_abs() % 100 / 10).checked_sub(1);
    if let Some(place) = axis.and_then(|a| point.get_mut(a)) {
        *place = number(cursor, tag, trouble);
    }
}

/// LWPOLYLINE. Group 43 is a width for all; 40 and 41 are one vertex's own.
pub(super) fn light<'a>(cursor: &mut Cursor<'a>, fields: &mut Fields, trouble: &mut Trouble) -> Shape<'a> {
    let mut vertices: Vec<Vertex> = Vec::new();
    let mut promised = None;
    let mut elevation = 0.0;
    let mut constant = 0.0;
    let mut own_width = false;
    let mut halves = 0_usize;
    while let Some(tag) = cursor.next() {
        match (tag.code, vertices.last_mut()) {
            (0 | 101, _) => break,
            (10, _) => {
                let x = number(cursor, &tag, trouble);
                vertices.push(Vertex {
                    at: [x, 0.0, 0.0],
                    ..EMPTY
                });
                halves += 1;
            }
            (20, Some(v)) => {
                v.at[1] = number(cursor, &tag, trouble);
                halves = halves.saturating_sub(1);
            }
            (40, Some(v)) => {
                v.start_width = number(cursor, &tag, trouble);
                own_width = true;
            }
            (41, Some(v)) => {
                v.end_width = number(cursor, &tag, trouble);
                own_width = true;
            }
            (42, Some(v)) => v.bulge = number(cursor, &tag, trouble),
            (38, _) => {
                elevation = cursor
                    .real(&tag)
                    .map(|r| r.value)
                    .filter(|v| v.is_finite())
                    .unwrap_or(0.0)
            }
            (43, _) => constant = number(cursor, &tag, trouble),
            (90, _) => {
                promised = cursor.integer(&tag);
                if let Some(n) = promised.and_then(|n| usize::try_from(n).ok()) {
                    vertices.reserve(n.min(RESERVE));
                }
            }
            (70, _) => fields.take(cursor, &tag, trouble),
            _ => fields.common(cursor, &tag, trouble),
        }
    }
    if halves > 0 {
        trouble.loss("incomplete", "is left out: a vertex has no y");
    }
    if vertices.is_empty() {
        trouble.loss("incomplete", "is left out: it has no vertex");
    }
    if let Some(n) = promised.filter(|n| *n != vertices.len() as i64) {
        trouble.warning(
            "vertex-count",
            format!("promises {n} vertices and has {}", vertices.len()),
        );
    }
    if constant != 0.0 && !own_width {
        for v in &mut vertices {
            (v.start_width, v.end_width) = (constant, constant);
        }
    }
    Shape::Polyline {
        vertices,
        closed: fields.small(70) & 1 != 0,
        elevation,
        world: false,
    }
}

/// LEADER: its vertices from the arrowhead on. What hangs on it is not looked at; one without two
/// vertices is not interpreted.
pub(super) fn leader<'a>(cursor: &mut Cursor<'a>, fields: &mut Fields, trouble: &mut Trouble) -> Shape<'a> {
    let mut vertices: Vec<Vertex> = Vec::new();
    while let Some(tag) = cursor.next() {
        match (tag.code, vertices.last_mut()) {
            (0 | 101, _) => break,
            (10, _) => {
                let x = number(cursor, &tag, trouble);
                vertices.push(Vertex {
                    at: [x, 0.0, 0.0],
                    ..EMPTY
                });
            }
            (20, Some(v)) => v.at[1] = number(cursor, &tag, trouble),
            _ => fields.common_or_normal(cursor, &tag, trouble),
        }
    }
    if vertices.len() < 2 {
        return Shape::Other;
    }
    Shape::Polyline {
        vertices,
        closed: false,
        elevation: 0.0,
        world: true,
    }
}

/// POLYLINE flags (group 70).
const CLOSED: i16 = 1;
const IN_SPACE: i16 = 8;
const MESH: i16 = 16;
const CLOSED_ACROSS: i16 = 32;
const POLYFACE: i16 = 64;
/// VERTEX flag: a point of a spline's control frame, which is not on the curve.
const FRAME: i16 = 16;

/// POLYLINE, 2D and 3D, and the faces of its meshes.
pub(super) fn heavy<'a>(cursor: &mut Cursor<'a>, fields: &mut Fields, trouble: &mut Trouble) -> Shape<'a> {
    let mut vertices = Vec::new();
    let mut next = fields.take_head(cursor, trouble);
    let flags = fields.small(70);
    if flags & (MESH | POLYFACE) != 0 {
        let count = |code: u8| usize::try_from(fields.int(code).unwrap_or(0)).unwrap_or(0);
        // A smoothed grid has numbers of its own.
        let (rows, columns) = if fields.small(75) == 0 { (71, 72) } else { (73, 74) };
        let kind = match flags & POLYFACE != 0 {
            true => Kind::Polyface,
            false => Kind::Grid {
                rows: count(rows),
                columns: count(columns),
                closed: [flags & CLOSED != 0, flags & CLOSED_ACROSS != 0],
            },
        };
        return mesh::heavy(cursor, next, &kind, trouble);
    }
    let default = Vertex {
        start_width: fields.real(40).unwrap_or(0.0),
        end_width: fields.real(41).unwrap_or(0.0),
        ..EMPTY
    };
    while let Some(tag) = next.take() {
        if cursor.bytes(&tag).trim_ascii() != b"VERTEX" {
            break;
        }
        let (vertex, after) = vertex(cursor, default, trouble);
        vertices.extend(vertex);
        next = after;
    }
    if vertices.is_empty() {
        trouble.loss("incomplete", "is left out: it has no vertex");
    }
    Shape::Polyline {
        vertices,
        closed: flags & CLOSED != 0,
        elevation: fields.point(10)[2],
        world: flags & IN_SPACE != 0,
    }
}

/// One VERTEX, `None` where it is not on the curve, and the `0` tag after it.
fn vertex(cursor: &mut Cursor<'_>, default: Vertex, trouble: &mut Trouble) -> (Option<Vertex>, Option<Tag>) {
    let mut vertex = default;
    let mut flags = 0;
    let (mut has_x, mut has_y) = (false, false);
    let mut next = None;
    while let Some(tag) = cursor.next() {
        match tag.code {
            0 => {
                next = Some(tag);
                break;
            }
            10 => {
                vertex.at[0] = number(cursor, &tag, trouble);
                has_x = true;
            }
            20 => {
                vertex.at[1] = number(cursor, &tag, trouble);
                has_y = true;
            }
            30 => {
                vertex.at[2] = cursor
                    .real(&tag)
                    .map(|r| r.value)
                    .filter(|v| v.is_finite())
                    .unwrap_or(0.0)
            }
            40 => vertex.start_width = number(cursor, &tag, trouble),
            41 => vertex.end_width = number(cursor, &tag, trouble),
            42 => vertex.bulge = number(cursor, &tag, trouble),
            70 => flags = cursor.integer(&tag).unwrap_or(0),
            _ => {}
        }
    }
    if flags & i64::from(FRAME) != 0 {
        return (None, next);
    }
    if !(has_x && has_y) {
        trouble.loss("incomplete", "is left out: a vertex has no x or y");
    }
    (Some(vertex), next)
}
