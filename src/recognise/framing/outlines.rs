//! Members whose outline is one entity: closed or half-drawn rectangles, wide polylines, solids.

use geo::Coord;

use super::super::shape::{between_degrees, corners, cross, distance, dot, left_of, unit};
use super::super::tolerance::{THICKEST_OUTLINE, THINNEST};
use super::Piece;
use crate::flatten::PathVertex;
use crate::plan::{MemberKind, MemberSource};

/// Centreline and thickness of an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outline {
    pub from: Coord,
    pub to: Coord,
    pub thickness: f64,
}

impl Outline {
    pub fn piece(self, kind: MemberKind, layer: usize, item: usize) -> Piece {
        Piece {
            from: self.from,
            to: self.to,
            thickness: self.thickness,
            plies: 1,
            kind,
            source: MemberSource::Drawn,
            layer,
            item,
            family: 0,
        }
    }
}

/// A thin rectangle, its ends square or mitred; three drawn sides of it are enough.
pub fn outline(points: &[Coord], closed: bool) -> Option<Outline> {
    let ring = corners(points, closed);
    let [a, b, c, d] = ring[..] else {
        return open_rectangle(&ring, closed);
    };
    // Sides ab and cd, then bc and da, may be the two faces.
    let long = faces(a, b, c, d);
    let turned = faces(b, c, d, a);
    let best = match (long, turned) {
        (Some(x), Some(y)) => Some(if length(&x) >= length(&y) { x } else { y }),
        (x, y) => x.or(y),
    };
    best.filter(|o| closed || three_sides(o, a, b, c, d))
}

fn length(o: &Outline) -> f64 {
    distance(o.from, o.to)
}

/// Of an open path a-b-c-d the side d-a is missing: the drawn ones must tell both faces, or one
/// face and two equal square ends.
fn three_sides(o: &Outline, a: Coord, b: Coord, c: Coord, d: Coord) -> bool {
    let Some(u) = unit(o.to - o.from) else {
        return false;
    };
    let square = |p: Coord, q: Coord| between_degrees(q - p, u) > 85.0;
    if between_degrees(b - a, u) < 1.0 && between_degrees(d - c, u) < 1.0 {
        return true;
    }
    square(a, b) && square(c, d) && (distance(a, b) - distance(c, d)).abs() < 0.1
}

/// A closed ring that came as five corners because its path ends where it started.
fn open_rectangle(ring: &[Coord], closed: bool) -> Option<Outline> {
    let [a, b, c, d, e] = ring[..] else { return None };
    (!closed && distance(a, e) < 0.05)
        .then(|| outline(&[a, b, c, d], true))
        .flatten()
}

/// The member whose faces are a→b and c→d, joined by b–c.
fn faces(a: Coord, b: Coord, c: Coord, d: Coord) -> Option<Outline> {
    let u = unit(b - a)?;
    if dot(d - c, u) > 0.0 || between_degrees(d - c, u) > 0.5 {
        return None;
    }
    let n = left_of(u);
    let gap = (dot(c - a, n) + dot(d - a, n)) / 2.0;
    let thickness = gap.abs();
    if !(THINNEST..=THICKEST_OUTLINE).contains(&thickness) {
        return None;
    }
    let (low, high) = (0.0_f64.min(dot(d - a, u)), dot(b - a, u).max(dot(c - a, u)));
    let shorter = distance(a, b).min(distance(c, d));
    if high - low < 1.5 * thickness || shorter < 0.5 * (high - low) {
        return None;
    }
    let middle = a + n * (gap / 2.0);
    Some(Outline {
        from: middle + u * low,
        to: middle + u * high,
        thickness,
    })
}

/// Each straight run of a polyline of one constant width is a member of that thickness.
pub fn wide(vertices: &[PathVertex], closed: bool, origin: Coord) -> Option<Vec<Outline>> {
    let width = vertices.first()?.start_width;
    let n = vertices.len();
    let runs = if closed && n > 2 { n } else { n - 1 };
    let even = vertices.iter().take(runs).all(|v| {
        (v.start_width - width).abs() < 1e-3
            && (v.end_width - width).abs() < 1e-3
            && v.bulge.abs() < 1e-9
            && v.at.x.is_finite()
            && v.at.y.is_finite()
    });
    if !even || runs == 0 || !(THINNEST..=THICKEST_OUTLINE).contains(&width) {
        return None;
    }
    let mut pieces: Vec<Outline> = Vec::new();
    for k in 0..runs {
        let (from, to) = (vertices[k].at - origin, vertices[(k + 1) % n].at - origin);
        let Some(u) = unit(to - from) else { continue };
        if let Some(last) = pieces.last_mut()
            && unit(last.to - last.from).is_some_and(|v| cross(v, u).abs() < 1e-6 && dot(v, u) > 0.0)
        {
            last.to = to;
            continue;
        }
        pieces.push(Outline {
            from,
            to,
            thickness: width,
        });
    }
    (!pieces.is_empty()).then_some(pieces)
}
