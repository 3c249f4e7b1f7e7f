//! HATCH: the straight boundaries of what it fills.

use super::Trouble;
use super::fields::Fields;
use crate::drawing::tag::Cursor;
use crate::drawing::types::Shape;

/// Boundaries with more corners than this in all are no strips; the hatch is not interpreted.
const MOST_CORNERS: usize = 4096;
/// Corners of two edges are one within this share of their size.
const SAME: f64 = 1e-6;
/// Kinds of edges (group 72 of an edge) and of boundaries (bits of group 92).
const LINE: i64 = 1;
const POLYLINE: i64 = 2;

/// One boundary as it is read.
#[derive(Default)]
struct Loop {
    polyline: bool,
    /// Corners of a polyline, or start and end of every edge.
    points: Vec<[f64; 2]>,
    /// Whether the next 72 names an edge, and the kind of the edge being read.
    edge: i64,
    straight: bool,
}

impl Loop {
    /// Its ring, where it is straight throughout and its edges follow each other.
    fn ring(self) -> Option<Vec<[f64; 2]>> {
        if !self.straight {
            return None;
        }
        if self.polyline {
            return (self.points.len() >= 3).then_some(self.points);
        }
        let edges: Vec<_> = self.points.chunks_exact(2).collect();
        let same = |a: [f64; 2], b: [f64; 2]| {
            let size = a.iter().chain(&b).fold(1.0_f64, |m, v| m.max(v.abs()));
            (a[0] - b[0]).abs() <= SAME * size && (a[1] - b[1]).abs() <= SAME * size
        };
        let n = edges.len();
        let chained = (0..n).all(|i| same(edges[i][1], edges[(i + 1) % n][0]));
        (n >= 3 && chained).then(|| edges.iter().map(|e| e[0]).collect())
    }
}

/// Boundaries that are no closed run of straight edges are passed over; where none is left, the hatch
/// is not interpreted.
pub(super) fn hatch<'a>(cursor: &mut Cursor<'a>, fields: &mut Fields, trouble: &mut Trouble) -> Shape<'a> {
    let mut loops: Vec<Vec<[f64; 2]>> = Vec::new();
    let mut open: Option<Loop> = None;
    let mut elevation = 0.0;
    let mut curved = 0_usize;
    let mut corners = 0_usize;
    let mut over = false;
    let mut close = |open: &mut Option<Loop>| {
        let Some(l) = open.take() else { return };
        match l.ring() {
            Some(ring) => loops.push(ring),
            None => curved += 1,
        }
    };
    while let Some(tag) = cursor.next() {
        let number = |cursor: &Cursor<'_>| cursor.real(&tag).map(|r| r.value).filter(|v| v.is_finite());
        match tag.code {
            0 | 101 => break,
            // Pattern, seeds and colours follow the boundaries.
            75 => {
                close(&mut open);
                over = true;
            }
            92 if !over => {
                close(&mut open);
                let kind = cursor.integer(&tag).unwrap_or(0);
                open = Some(Loop {
                    polyline: kind & POLYLINE != 0,
                    straight: true,
                    ..Loop::default()
                });
            }
            30 if open.is_none() && !over => elevation = number(cursor).unwrap_or(0.0),
            10 | 20 | 11 | 21 | 42 | 72 if !over => {
                let Some(l) = open.as_mut() else { continue };
                let value = number(cursor);
                match (tag.code, value) {
                    (72, _) if !l.polyline => {
                        l.edge = cursor.integer(&tag).unwrap_or(0);
                        l.straight &= l.edge == LINE;
                    }
                    (42, Some(bulge)) if l.polyline => l.straight &= bulge == 0.0,
                    (10 | 11, Some(x)) if tag.code == 10 || !l.polyline => {
                        corners += 1;
                        l.points.push([x, 0.0]);
                    }
                    (20 | 21, Some(y)) => {
                        if let Some(last) = l.points.last_mut() {
                            last[1] = y;
                        }
                    }
                    (10 | 11 | 20 | 21, None) => l.straight = false,
                    _ => {}
                }
                if corners > MOST_CORNERS {
                    return Shape::Other;
                }
            }
            _ => fields.common_or_normal(cursor, &tag, trouble),
        }
    }
    close(&mut open);
    if loops.is_empty() {
        return Shape::Other;
    }
    Shape::Hatch {
        loops,
        elevation,
        curved,
    }
}
