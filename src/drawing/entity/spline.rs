//! SPLINE: a smooth curve, read as arcs that follow each other.
//!
//! Where it has control points and knots its points are worked out by de Boor's rule (source for that and the codes:
//! textbooks and the DXF reference, from memory). One that has only the points it runs through is taken as the natural
//! cubic through them, its parameter growing with the chords: programs draw it nearly so, and its ends are exact.

use super::Trouble;
use super::fields::Fields;
use super::polyline::{EMPTY, number};
use crate::drawing::tag::Cursor;
use crate::drawing::types::{Shape, Vertex};

type Point = [f64; 3];

const CLOSED: i16 = 1;
const PERIODIC: i16 = 2;
/// Greatest degree that is read; the format allows 10.
const HIGHEST: usize = 10;
/// Arcs in all that a curve is given, and for each of its spans at most.
const ARCS: usize = 256;
const ARCS_A_SPAN: usize = 8;
/// Bulges below this are straight: a line of 100 ft strays by less than 1/1000 in.
const STRAIGHT: f64 = 1e-6;

#[derive(Debug, Default)]
struct Read {
    degree: usize,
    knots: Vec<f64>,
    weights: Vec<f64>,
    control: Vec<Point>,
    fit: Vec<Point>,
}

/// The curve as a polyline of arcs; one that its numbers do not make is not interpreted.
pub(super) fn spline<'a>(cursor: &mut Cursor<'a>, fields: &mut Fields, trouble: &mut Trouble) -> Shape<'a> {
    let mut read = Read::default();
    let mut own = false;
    while let Some(tag) = cursor.next() {
        if matches!(tag.code, 0 | 101) {
            break;
        }
        own |= tag.code == 100 && cursor.bytes(&tag).trim_ascii() == b"AcDbSpline";
        let axis = usize::from(tag.code.unsigned_abs() / 10).saturating_sub(1);
        let mut value = || number(cursor, &tag, trouble);
        match tag.code {
            _ if !own => fields.common(cursor, &tag, trouble),
            70 => fields.take(cursor, &tag, trouble),
            71 => {
                let degree = cursor.integer(&tag).and_then(|n| usize::try_from(n).ok());
                read.degree = degree.unwrap_or(0);
            }
            40 => read.knots.push(value()),
            41 => read.weights.push(value()),
            10 => read.control.push([value(), 0.0, 0.0]),
            11 => read.fit.push([value(), 0.0, 0.0]),
            20 | 30 => {
                if let Some(p) = read.control.last_mut() {
                    p[axis] = value();
                }
            }
            21 | 31 => {
                if let Some(p) = read.fit.last_mut() {
                    p[axis] = value();
                }
            }
            _ => {}
        }
    }
    let Some(mut vertices) = read.curve() else {
        return Shape::Other;
    };
    let closed = fields.small(70) & (CLOSED | PERIODIC) != 0;
    let back = match &vertices[..] {
        [first, .., last] => first.at == last.at,
        _ => false,
    };
    if closed && back {
        vertices.pop();
    }
    if vertices.len() < 2 || !vertices.iter().all(|v| v.at.iter().all(|c| c.is_finite())) {
        return Shape::Other;
    }
    Shape::Polyline {
        vertices,
        closed,
        elevation: 0.0,
        world: true,
    }
}

impl Read {
    fn curve(&self) -> Option<Vec<Vertex>> {
        let (n, degree) = (self.control.len(), self.degree);
        let sound = (1..=HIGHEST).contains(&degree)
            && n > degree
            && self.knots.len() == n + degree + 1
            && self.knots.is_sorted()
            && (self.weights.is_empty() || self.weights.len() == n && self.weights.iter().all(|w| *w > 0.0));
        if sound {
            // Spans of no length are where knots coincide.
            let spans: Vec<usize> = (degree..n)
                .filter(|&k| self.knots[k] < self.knots[k + 1])
                .collect();
            let ends = |k: usize| (self.knots[k], self.knots[k + 1]);
            return Some(arcs(spans.len(), |s, share| {
                let (from, to) = ends(spans[s]);
                self.at(spans[s], from + (to - from) * share)
            }));
        }
        self.through()
    }

    /// The point at `t` in the span from knot `k` on (de Boor).
    fn at(&self, k: usize, t: f64) -> Point {
        let p = self.degree;
        let weight = |i: usize| self.weights.get(i).copied().unwrap_or(1.0);
        let mut d: Vec<[f64; 4]> = (0..=p)
            .map(|j| {
                let i = k - p + j;
                let ([x, y, z], w) = (self.control[i], weight(i));
                [x * w, y * w, z * w, w]
            })
            .collect();
        for r in 1..=p {
            for j in (r..=p).rev() {
                let i = k - p + j;
                let (low, high) = (self.knots[i], self.knots[i + p + 1 - r]);
                let share = if high > low { (t - low) / (high - low) } else { 0.0 };
                d[j] = std::array::from_fn(|c| d[j - 1][c] * (1.0 - share) + d[j][c] * share);
            }
        }
        let [x, y, z, w] = d[p];
        [x / w, y / w, z / w]
    }

    /// The natural cubic through the fit points.
    fn through(&self) -> Option<Vec<Vertex>> {
        let mut points = self.fit.clone();
        points.dedup();
        let n = points.len();
        if n < 2 {
            return None;
        }
        let far = |a: Point, b: Point| (0..3).map(|c| (b[c] - a[c]).powi(2)).sum::<f64>().sqrt();
        let steps: Vec<f64> = points.windows(2).map(|w| far(w[0], w[1])).collect();
        let bends: Vec<Vec<f64>> = (0..3).map(|c| bends(&points, &steps, c)).collect();
        Some(arcs(n - 1, |s, share| {
            if share >= 1.0 {
                return points[s + 1];
            }
            let (h, u) = (steps[s], 1.0 - share);
            std::array::from_fn(|c| {
                let (a, b) = (points[s][c], points[s + 1][c]);
                let bend = (u.powi(3) - u) * bends[c][s] + (share.powi(3) - share) * bends[c][s + 1];
                a * u + b * share + bend * h * h / 6.0
            })
        }))
    }
}

/// Second derivatives at the points of a natural cubic in one axis: a tridiagonal system, solved forth and back.
fn bends(points: &[Point], steps: &[f64], axis: usize) -> Vec<f64> {
    let n = points.len();
    let mut found = vec![0.0; n];
    let mut upper = vec![0.0; n];
    for i in 1..n - 1 {
        let (before, after) = (steps[i - 1], steps[i]);
        let slope = |a: usize, h: f64| (points[a + 1][axis] - points[a][axis]) / h;
        let right = 6.0 * (slope(i, after) - slope(i - 1, before));
        let pivot = 2.0 * (before + after) - before * upper[i - 1];
        upper[i] = after / pivot;
        found[i] = (right - before * found[i - 1]) / pivot;
    }
    for i in (1..n - 1).rev() {
        found[i] -= upper[i] * found[i + 1];
    }
    found
}

/// Arcs along a curve of so many spans, whose points `at` gives by span and share of it.
fn arcs(spans: usize, at: impl Fn(usize, f64) -> Point) -> Vec<Vertex> {
    let mut out = Vec::new();
    if spans == 0 {
        return out;
    }
    let pieces = (ARCS / spans).clamp(1, ARCS_A_SPAN);
    let mut from = at(0, 0.0);
    for span in 0..spans {
        for piece in 0..pieces {
            let share = |k: f64| (piece as f64 + k) / pieces as f64;
            let (middle, to) = (at(span, share(0.5)), at(span, share(1.0)));
            let bulge = bulge(from, middle, to);
            out.push(Vertex {
                at: from,
                bulge: bulge.unwrap_or(0.0),
                ..EMPTY
            });
            if bulge.is_none() {
                out.push(Vertex { at: middle, ..EMPTY });
            }
            from = to;
        }
    }
    out.push(Vertex { at: from, ..EMPTY });
    out
}

/// Of the arc through three points of the plan; `None` where that is more than half a circle.
fn bulge(a: Point, m: Point, b: Point) -> Option<f64> {
    let (u, v) = ([a[0] - m[0], a[1] - m[1]], [b[0] - m[0], b[1] - m[1]]);
    let (cross, dot) = (u[0] * v[1] - u[1] * v[0], u[0] * v[0] + u[1] * v[1]);
    // The angle at the middle is half of what the arc leaves of a turn; a bulge is the tangent of a quarter of the arc.
    let angle = cross.abs().atan2(dot);
    let size = 1.0 / (angle / 2.0).tan();
    if !size.is_finite() || size > 1.0 {
        return None;
    }
    let straight = size < STRAIGHT;
    Some(if straight { 0.0 } else { size.copysign(-cross) })
}
