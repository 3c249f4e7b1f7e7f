//! Faces in space: meshes of a POLYLINE, and MESH.

use std::collections::VecDeque;

use super::Trouble;
use super::fields::Fields;
use super::polyline::number;
use crate::drawing::tag::Cursor;
use crate::drawing::types::{Shape, Tag};

/// A mesh of more faces than this is a terrain or a piece of furniture, and no wall.
const MOST: usize = 400;

/// What a POLYLINE with faces is made of: `closed` along the rows of a grid and across them.
pub(super) enum Kind {
    Polyface,
    Grid {
        rows: usize,
        columns: usize,
        closed: [bool; 2],
    },
}

/// VERTEX flags (group 70).
const FRAME: i64 = 16;
const PLACE: i64 = 64;

/// The faces of a POLYLINE's mesh whose vertices begin at a tag; [`Shape::Other`] where there are none to read.
pub(super) fn heavy<'a>(
    cursor: &mut Cursor<'a>,
    mut next: Option<Tag>,
    kind: &Kind,
    trouble: &mut Trouble,
) -> Shape<'a> {
    let (mut places, mut faces): (Vec<[f64; 3]>, Vec<Vec<i64>>) = (Vec::new(), Vec::new());
    while let Some(tag) = next.take() {
        if cursor.bytes(&tag).trim_ascii() != b"VERTEX" {
            break;
        }
        let (mut at, mut flags, mut corners) = ([0.0; 3], 0, Vec::new());
        while let Some(tag) = cursor.next() {
            match tag.code {
                0 => {
                    next = Some(tag);
                    break;
                }
                10 => at[0] = number(cursor, &tag, trouble),
                20 => at[1] = number(cursor, &tag, trouble),
                30 => at[2] = number(cursor, &tag, trouble),
                70 => flags = cursor.integer(&tag).unwrap_or(0),
                71..=74 => corners.push(cursor.integer(&tag).unwrap_or(0)),
                _ => {}
            }
        }
        // An edge that does not show has the number of its corner negative; 0 is no corner.
        match (kind, flags & PLACE != 0) {
            (Kind::Polyface, false) if faces.len() < MOST + 1 => {
                let place = |n: &i64| i64::try_from(n.unsigned_abs() - 1).unwrap_or(-1);
                faces.push(corners.iter().filter(|n| **n != 0).map(place).collect());
            }
            (Kind::Polyface, false) => {}
            _ if flags & FRAME == 0 => places.push(at),
            _ => {}
        }
    }
    if let Kind::Grid {
        rows,
        columns,
        closed,
    } = *kind
    {
        faces = grid(rows, columns, closed, places.len());
    }
    shape(&places, &faces)
}

/// The faces of a grid of points, row by row.
fn grid(rows: usize, columns: usize, closed: [bool; 2], points: usize) -> Vec<Vec<i64>> {
    if rows < 1 || columns < 1 || rows.checked_mul(columns) != Some(points) || points > MOST {
        return Vec::new();
    }
    let steps = |n: usize, closed: bool| if closed && n > 2 { n } else { n - 1 };
    let at = |i: usize, j: usize| ((i % rows) * columns + j % columns) as i64;
    (0..steps(rows, closed[0]))
        .flat_map(|i| (0..steps(columns, closed[1])).map(move |j| (i, j)))
        .map(|(i, j)| vec![at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)])
        .collect()
}

/// MESH that is not to be smoothed: its points, then a list of numbers, for each face how many corners and which.
pub(super) fn mesh<'a>(cursor: &mut Cursor<'a>, fields: &mut Fields, trouble: &mut Trouble) -> Shape<'a> {
    let mut places: Vec<[f64; 3]> = Vec::new();
    let mut numbers: VecDeque<i64> = VecDeque::new();
    let (mut own, mut smooth, mut due) = (false, false, 0_i64);
    while let Some(tag) = cursor.next() {
        if matches!(tag.code, 0 | 101) {
            break;
        }
        own |= tag.code == 100 && cursor.bytes(&tag).trim_ascii() == b"AcDbSubDMesh";
        match tag.code {
            _ if !own => fields.common(cursor, &tag, trouble),
            91 if places.is_empty() => smooth = cursor.integer(&tag).unwrap_or(0) > 0,
            10 => places.push([number(cursor, &tag, trouble), 0.0, 0.0]),
            20 | 30 => {
                let value = number(cursor, &tag, trouble);
                if let Some(place) = places.last_mut() {
                    place[if tag.code == 20 { 1 } else { 2 }] = value;
                }
            }
            93 => due = cursor.integer(&tag).unwrap_or(0),
            90 if due > 0 => {
                due -= 1;
                numbers.extend(cursor.integer(&tag));
            }
            94 => due = 0,
            _ => {}
        }
    }
    let mut faces = Vec::new();
    while let Some(many) = numbers.pop_front() {
        let many = usize::try_from(many).unwrap_or(0).min(numbers.len());
        faces.push(numbers.drain(..many).collect());
    }
    if smooth {
        Shape::Other
    } else {
        shape(&places, &faces)
    }
}

/// The faces with three corners and more, each of its own; nothing that is too much.
fn shape<'a>(places: &[[f64; 3]], faces: &[Vec<i64>]) -> Shape<'a> {
    // A closed surface of triangles has fewer than twice as many as corners.
    if faces.len() > MOST.min(2 * places.len()) {
        return Shape::Other;
    }
    let corner = |n: &i64| usize::try_from(*n).ok().and_then(|n| places.get(n)).copied();
    let face = |face: &Vec<i64>| {
        let corners: Option<Vec<[f64; 3]>> = face.iter().map(corner).collect();
        corners.filter(|c| c.len() >= 3 && c.len() <= 64)
    };
    let parts: Vec<Shape> = (faces.iter().filter_map(face))
        .map(|corners| Shape::Face { corners, world: true })
        .collect();
    match parts.is_empty() {
        true => Shape::Other,
        false => Shape::Parts(parts),
    }
}
