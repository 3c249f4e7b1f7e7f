//! MLINE: parallel lines (elements) along a run of vertices.
//!
//! Its geometry stands in the entity itself, scale and justification applied: at each vertex a mitre direction, and
//! for each element how far along the mitre its line runs and where it is cut. Its MLINESTYLE tells what closes its
//! ends, and the offsets where the entity does not give them. What fills it and the colours of its elements are not
//! looked at: the elements bound the filling, and a layer's pen is the entity's. Source for codes and their meaning:
//! DXF reference, from memory; held against an independent reader in `tests/outside`.

use super::Trouble;
use super::fields::Fields;
use super::polyline::{EMPTY, number, ordinate};
use crate::drawing::tag::Cursor;
use crate::drawing::types::{MlineStyle, Shape, Vertex};
use crate::drawing::{Drawing, number as parse};

/// Elements of one MLINE; the format allows 16.
const MOST_ELEMENTS: usize = 64;
/// Flags of the entity (group 71).
const CLOSED: i64 = 2;
const NO_START_CAP: i64 = 4;
const NO_END_CAP: i64 = 8;
/// Flags of the style (group 70).
const MITRES: i64 = 2;
const START: Caps = Caps {
    line: 16,
    inner: 32,
    round: 64,
};
const END: Caps = Caps {
    line: 256,
    inner: 512,
    round: 1024,
};

/// The flags of what closes one end.
struct Caps {
    line: i64,
    inner: i64,
    round: i64,
}

/// A vertex as it is read, in world coordinates.
#[derive(Debug, Default)]
struct Corner {
    at: [f64; 3],
    direction: [f64; 3],
    mitre: [f64; 3],
    /// For each element: how far along the mitre it passes, where it begins along its line, and then by turns where
    /// it stops and begins again, all from the mitre on.
    elements: Vec<Vec<f64>>,
    /// Numbers of the last element that are still to come.
    due: usize,
}

#[derive(Debug, Default)]
struct Read {
    corners: Vec<Corner>,
    scale: f64,
    justification: i64,
    flags: i64,
    promised: Option<i64>,
    style: Option<u64>,
    style_name: Option<std::ops::Range<usize>>,
}

/// The lines of an MLINE; one without two vertices is not interpreted.
pub(super) fn multiline<'a>(
    drawing: &Drawing<'a>,
    cursor: &mut Cursor<'a>,
    fields: &mut Fields,
    trouble: &mut Trouble,
) -> Shape<'a> {
    let mut read = Read {
        scale: 1.0,
        ..Read::default()
    };
    let mut own = false;
    while let Some(tag) = cursor.next() {
        if matches!(tag.code, 0 | 101) {
            break;
        }
        own |= tag.code == 100 && cursor.bytes(&tag).trim_ascii() == b"AcDbMline";
        if own {
            read.take(cursor, &tag, fields, trouble);
        } else {
            fields.common(cursor, &tag, trouble);
        }
    }
    if let Some(n) = read.promised.filter(|n| *n != read.corners.len() as i64) {
        let has = read.corners.len();
        trouble.warning("vertex-count", format!("promises {n} vertices and has {has}"));
    }
    if read.corners.len() < 2 {
        return Shape::Other;
    }
    let name = read.style_name.clone().map(|range| drawing.name(range));
    let style = drawing.mline_style(read.style, name.as_deref());
    match read.passes(style, trouble) {
        Some(passes) => {
            let parts = read.parts(&passes, style, trouble);
            // Of no length at all: nothing is drawn, and it is an entity still.
            if parts.is_empty() {
                Shape::Other
            } else {
                Shape::Parts(parts)
            }
        }
        None => Shape::Other,
    }
}

impl Read {
    fn take(
        &mut self,
        cursor: &Cursor<'_>,
        tag: &crate::drawing::types::Tag,
        fields: &mut Fields,
        trouble: &mut Trouble,
    ) {
        let mut set = |point: &mut [f64; 3]| ordinate(cursor, tag, trouble, point);
        match (tag.code, self.corners.last_mut()) {
            (2, None) => self.style_name = Some(tag.value.clone()),
            (340, None) => self.style = parse::handle(cursor.bytes(tag)),
            (40, None) => self.scale = number(cursor, tag, trouble),
            (70, None) => self.justification = cursor.integer(tag).unwrap_or(0),
            (71, None) => self.flags = cursor.integer(tag).unwrap_or(0),
            (72, None) => self.promised = cursor.integer(tag),
            (11, _) => {
                let mut corner = Corner::default();
                set(&mut corner.at);
                self.corners.push(corner);
            }
            (21 | 31, Some(c)) => set(&mut c.at),
            (12 | 22 | 32, Some(c)) => set(&mut c.direction),
            (13 | 23 | 33, Some(c)) => set(&mut c.mitre),
            (74, Some(c)) => {
                c.due = cursor
                    .integer(tag)
                    .and_then(|n| usize::try_from(n).ok())
                    .unwrap_or(0);
                if c.elements.len() < MOST_ELEMENTS {
                    c.elements.push(Vec::new());
                } else {
                    trouble.loss(
                        "mline-elements",
                        "is left out: it has more elements than any may have",
                    );
                }
            }
            (41, Some(c)) if c.due > 0 => {
                c.due -= 1;
                if let Some(element) = c.elements.last_mut() {
                    element.push(number(cursor, tag, trouble));
                }
            }
            (210 | 220 | 230, _) => fields.common(cursor, tag, trouble),
            _ => {}
        }
    }

    /// Where each element passes each vertex. `None`, with a loss told, where neither the entity nor its style says so.
    fn passes(&self, style: Option<&MlineStyle>, trouble: &mut Trouble) -> Option<Vec<Vec<[f64; 3]>>> {
        let offsets = style.map_or(&[][..], |s| &s.offsets);
        let most = self.corners.iter().map(|c| c.elements.len()).max().unwrap_or(0);
        let n = if most > 0 {
            most
        } else {
            offsets.len().min(MOST_ELEMENTS)
        };
        let whole = |c: &Corner| c.elements.len() == n && c.elements.iter().all(|e| !e.is_empty());
        let told = self.corners.iter().all(whole);
        if n == 0 || (!told && offsets.len() != n) {
            let why = "is left out: neither it nor its style says where its lines are";
            trouble.loss("mline-elements", why);
            return None;
        }
        if !told {
            let what = "does not say where all of its lines are; they are drawn by its style";
            trouble.warning("mline-elements", what);
        }
        let shift = match self.justification {
            0 => -offsets.iter().fold(f64::MIN, |m, o| m.max(*o)),
            2 => -offsets.iter().fold(f64::MAX, |m, o| m.min(*o)),
            _ => 0.0,
        };
        let along = |c: &Corner, i: usize| {
            let given = c.elements.get(i).and_then(|e| e.first()).copied();
            given.unwrap_or_else(|| {
                let offset = offsets.get(i).map_or(0.0, |o| (o + shift) * self.scale);
                let (d, m) = (c.direction, c.mitre);
                let sine = length(cross(d, m)) / (length(d) * length(m));
                if sine.is_finite() && sine > 1e-6 {
                    offset / sine
                } else {
                    offset
                }
            })
        };
        let pass = |c: &Corner| (0..n).map(|i| add(c.at, scaled(c.mitre, along(c, i)))).collect();
        Some(self.corners.iter().map(pass).collect())
    }

    fn parts<'a>(
        &self,
        passes: &[Vec<[f64; 3]>],
        style: Option<&MlineStyle>,
        trouble: &mut Trouble,
    ) -> Vec<Shape<'a>> {
        let mut parts = Vec::new();
        let closed = self.flags & CLOSED != 0;
        let count = passes.len();
        for at in 0..if closed { count } else { count - 1 } {
            let (from, to) = (&passes[at], &passes[(at + 1) % count]);
            for (i, (a, b)) in from.iter().zip(to).enumerate() {
                let cuts = self.corners[at].elements.get(i).and_then(|e| e.get(1..));
                stretches(*a, *b, cuts.unwrap_or_default(), trouble, &mut parts);
            }
        }
        let Some(style) = style else { return parts };
        let order = style.order(passes[0].len());
        let (Some(&low), Some(&high)) = (order.first(), order.last()) else {
            return parts;
        };
        for (at, pass) in passes.iter().enumerate() {
            let end = at == 0 || at + 1 == count;
            if style.flags & MITRES != 0 && (closed || !end) {
                parts.extend(line(pass[low], pass[high]));
            }
        }
        for (at, next, caps, off) in [
            (0, 1, START, NO_START_CAP),
            (count - 1, count - 2, END, NO_END_CAP),
        ] {
            if closed || self.flags & off != 0 {
                continue;
            }
            // The way of the whole, not of an element: that may run backwards past a sharp corner.
            let (pass, way) = (&passes[at], sub(self.corners[next].at, self.corners[at].at));
            if style.flags & caps.line != 0 {
                parts.extend(line(pass[low], pass[high]));
            }
            if style.flags & caps.round != 0 {
                parts.extend(half_circle(pass[low], pass[high], way));
            }
            if let (true, [_, a, .., b, _]) = (style.flags & caps.inner != 0, &order[..]) {
                parts.extend(half_circle(pass[*a], pass[*b], way));
            }
        }
        parts
    }
}

/// The stretches of one element from `a` to `b` that are drawn. Of `cuts` the first is where it begins, then by turns
/// where it stops and begins again, along the line from `a`; the last stretch that begins goes on to `b`.
fn stretches<'a>(a: [f64; 3], b: [f64; 3], cuts: &[f64], trouble: &mut Trouble, parts: &mut Vec<Shape<'a>>) {
    let whole = length(sub(b, a));
    if !cuts.is_sorted() {
        let what = "has cuts out of their order; the lines are read without them there";
        trouble.warning("mline-cuts", what);
    }
    if cuts.is_empty() || !cuts.is_sorted() || whole.partial_cmp(&0.0).is_none_or(|o| o.is_le()) {
        parts.extend(line(a, b));
        return;
    }
    let at = |t: f64| {
        if t == 0.0 {
            a
        } else {
            add(a, scaled(sub(b, a), t / whole))
        }
    };
    for pair in cuts.chunks(2) {
        match pair {
            [start, stop] => parts.extend(line(at(*start), at(*stop))),
            // What begins where the line ends is not drawn.
            [start] if *start < whole => parts.extend(line(at(*start), b)),
            _ => {}
        }
    }
}

/// None where its ends are one point.
fn line<'a>(from: [f64; 3], to: [f64; 3]) -> Option<Shape<'a>> {
    (from != to).then_some(Shape::Line { from, to })
}

/// The half circle from `a` to `b` that turns its back on where `way` leads.
fn half_circle<'a>(a: [f64; 3], b: [f64; 3], way: [f64; 3]) -> Option<Shape<'a>> {
    let side = sub(b, a);
    let left = side[0] * way[1] - side[1] * way[0] > 0.0;
    let vertex = |at, bulge| Vertex { at, bulge, ..EMPTY };
    // A positive bulge lies to the right of the way from `a` to `b`.
    (a != b).then(|| Shape::Polyline {
        vertices: vec![vertex(a, if left { 1.0 } else { -1.0 }), vertex(b, 0.0)],
        closed: false,
        elevation: 0.0,
        world: true,
    })
}

fn add(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|i| a[i] + b[i])
}

fn sub(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|i| a[i] - b[i])
}

fn scaled(a: [f64; 3], by: f64) -> [f64; 3] {
    a.map(|c| c * by)
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

fn length(a: [f64; 3]) -> f64 {
    a[0].hypot(a[1]).hypot(a[2])
}
