//! HATCH: the straight boundaries of what it fills, and the discs that a solid fill makes.

use super::Trouble;
use super::fields::Fields;
use crate::drawing::tag::Cursor;
use crate::drawing::types::{Shape, Tag};

/// Boundaries with more corners than this in all are no strips; the hatch is not interpreted.
const MOST_CORNERS: usize = 4096;
/// Corners of two edges are one within this share of their size.
const SAME: f64 = 1e-6;
/// Centres and radii of the arcs of one circle differ by no more than this share of the radius.
const ROUND: f64 = 1e-4;
/// Arcs that go all the way round, short of so many degrees.
const TURN_SLACK: f64 = 0.01;
/// Kinds of edges (group 72 of an edge) and of boundaries (bits of group 92).
const LINE: i64 = 1;
const ARC: i64 = 2;
const ELLIPSE: i64 = 3;
const POLYLINE: i64 = 2;

type Point = [f64; 2];

/// A whole circle: centre and radius.
type Disc = (Point, f64);

/// An arc, or an elliptic one, of a boundary.
#[derive(Clone, Copy, Default)]
struct Arc {
    center: Point,
    /// End of the greater half axis from the centre, where it is elliptic.
    major: Option<Point>,
    /// The radius, or the ratio of the half axes.
    radius: f64,
    /// Degrees.
    start: f64,
    end: f64,
}

impl Arc {
    /// Centre, radius and sweep in degrees, where it is round.
    fn round(&self) -> Option<(Point, f64, f64)> {
        let radius = match self.major {
            Some([x, y]) if (self.radius - 1.0).abs() <= ROUND => x.hypot(y),
            Some(_) => return None,
            None => self.radius,
        };
        let whole = (self.end - self.start).abs();
        let sweep = if whole >= 360.0 {
            360.0
        } else {
            (self.end - self.start).rem_euclid(360.0)
        };
        (radius > 0.0).then_some((self.center, radius, sweep))
    }
}

/// One boundary as it is read.
#[derive(Default)]
struct Loop {
    polyline: bool,
    /// Corners of a polyline, or start and end of every edge.
    points: Vec<Point>,
    /// One for each corner, where it is a polyline.
    bulges: Vec<f64>,
    arcs: Vec<Arc>,
    /// The kind of the edge being read.
    edge: i64,
    /// Edges of other kinds than arcs.
    others: usize,
    straight: bool,
}

impl Loop {
    fn take(&mut self, cursor: &Cursor<'_>, tag: &Tag) {
        let value = cursor.real(tag).map(|r| r.value).filter(|v| v.is_finite());
        match (tag.code, value) {
            (72, _) if !self.polyline => {
                self.edge = cursor.integer(tag).unwrap_or(0);
                self.straight &= self.edge == LINE;
                match self.edge {
                    ARC => self.arcs.push(Arc::default()),
                    ELLIPSE => self.arcs.push(Arc {
                        major: Some([0.0; 2]),
                        ..Arc::default()
                    }),
                    _ => self.others += 1,
                }
            }
            (42, Some(bulge)) if self.polyline => {
                self.straight &= bulge == 0.0;
                if let Some(last) = self.bulges.last_mut() {
                    *last = bulge;
                }
            }
            (10 | 11 | 20 | 21, None) => {
                self.straight = false;
                self.others += 1;
            }
            (code, Some(v)) if !self.polyline && matches!(self.edge, ARC | ELLIPSE) => {
                if let Some(arc) = self.arcs.last_mut() {
                    match (code, &mut arc.major) {
                        (10, _) => arc.center[0] = v,
                        (20, _) => arc.center[1] = v,
                        (11, Some(major)) => major[0] = v,
                        (21, Some(major)) => major[1] = v,
                        (40, _) => arc.radius = v,
                        (50, _) => arc.start = v,
                        (51, _) => arc.end = v,
                        _ => {}
                    }
                }
            }
            (10 | 11, Some(x)) if tag.code == 10 || !self.polyline => {
                self.points.push([x, 0.0]);
                self.bulges.push(0.0);
            }
            (20 | 21, Some(y)) => {
                if let Some(last) = self.points.last_mut() {
                    last[1] = y;
                }
            }
            _ => {}
        }
    }

    /// Its ring, where it is straight throughout and its edges follow each other.
    fn ring(&self) -> Option<Vec<Point>> {
        if !self.straight {
            return None;
        }
        if self.polyline {
            return (self.points.len() >= 3).then(|| self.points.clone());
        }
        let edges: Vec<_> = self.points.chunks_exact(2).collect();
        let same = |a: Point, b: Point| {
            let size = a.iter().chain(&b).fold(1.0_f64, |m, v| m.max(v.abs()));
            (a[0] - b[0]).abs() <= SAME * size && (a[1] - b[1]).abs() <= SAME * size
        };
        let n = edges.len();
        let chained = (0..n).all(|i| same(edges[i][1], edges[(i + 1) % n][0]));
        (n >= 3 && chained).then(|| edges.iter().map(|e| e[0]).collect())
    }

    /// The circle that it is.
    fn disc(&self) -> Option<Disc> {
        let arcs: Vec<(Point, f64, f64)> = if self.polyline {
            bulged(&self.points, &self.bulges)?
        } else if self.others == 0 {
            self.arcs.iter().map(Arc::round).collect::<Option<_>>()?
        } else {
            return None;
        };
        let &(center, radius, _) = arcs.first()?;
        let one = arcs.iter().all(|(c, r, _)| {
            (c[0] - center[0]).hypot(c[1] - center[1]) <= ROUND * radius
                && (r - radius).abs() <= ROUND * radius
        });
        let turned: f64 = arcs.iter().map(|a| a.2).sum();
        (one && (turned - 360.0).abs() <= TURN_SLACK).then_some((center, radius))
    }
}

/// The arcs of a closed polyline, all of one way round; `None` where a run is straight.
fn bulged(points: &[Point], bulges: &[f64]) -> Option<Vec<(Point, f64, f64)>> {
    let (mut points, mut bulges) = (points, bulges);
    // Some programs repeat the first point at the end.
    if let ([first, _, .., last], [rest @ .., _]) = (points, bulges)
        && first == last
    {
        points = points.get(..rest.len())?;
        bulges = rest;
    }
    let n = points.len();
    let sense = bulges.first()?.signum();
    let arc = |i: usize| {
        let ([ax, ay], [bx, by], bulge) = (points[i], points[(i + 1) % n], *bulges.get(i)?);
        let chord = (bx - ax).hypot(by - ay);
        if bulge == 0.0 || bulge.signum() != sense || chord == 0.0 {
            return None;
        }
        // As in `flatten::path`: the centre lies (1 − b²)/(4b) chords to the left of the run (derived).
        let off = (1.0 - bulge * bulge) / (4.0 * bulge);
        let center = [
            (ax + bx) / 2.0 - (by - ay) * off,
            (ay + by) / 2.0 + (bx - ax) * off,
        ];
        let radius = chord * (1.0 + bulge * bulge) / (4.0 * bulge.abs());
        Some((center, radius, (4.0 * bulge.abs().atan()).to_degrees()))
    };
    (n >= 2).then(|| (0..n).map(arc).collect())?
}

/// The circles that boundaries make, those inside another about the same centre left out: it is a ring.
fn discs(found: &[Option<Disc>]) -> Option<Vec<Disc>> {
    let mut all: Vec<Disc> = found.iter().copied().collect::<Option<_>>()?;
    all.sort_by(|a, b| b.1.total_cmp(&a.1));
    let mut kept: Vec<Disc> = Vec::new();
    for (c, r) in all {
        let inside = |k: &Disc| (k.0[0] - c[0]).hypot(k.0[1] - c[1]) <= k.1 - r + ROUND * k.1;
        if kept.len() > MOST_DISCS {
            return None;
        }
        if !kept.iter().any(inside) {
            kept.push((c, r));
        }
    }
    kept.sort_by(|a, b| a.0[0].total_cmp(&b.0[0]).then(a.0[1].total_cmp(&b.0[1])));
    (!kept.is_empty()).then_some(kept)
}

/// Discs of one hatch; a plan's lights may be filled by one, more are a pattern.
const MOST_DISCS: usize = 500;

/// A solid fill of circles alone is discs. Else boundaries that are no closed run of straight edges are passed over;
/// where none is left, the hatch is not interpreted.
pub(super) fn hatch<'a>(cursor: &mut Cursor<'a>, fields: &mut Fields, trouble: &mut Trouble) -> Shape<'a> {
    let mut rings: Vec<Vec<Point>> = Vec::new();
    let mut round: Vec<Option<Disc>> = Vec::new();
    let mut open: Option<Loop> = None;
    let mut elevation = 0.0;
    let mut solid = false;
    let mut curved = 0_usize;
    let mut corners = 0_usize;
    let mut over = false;
    let mut close = |open: &mut Option<Loop>| {
        let Some(l) = open.take() else { return };
        round.push(l.disc());
        match l.ring() {
            Some(ring) => rings.push(ring),
            None => curved += 1,
        }
    };
    while let Some(tag) = cursor.next() {
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
            30 if open.is_none() && !over => {
                let height = cursor.real(&tag).map(|r| r.value);
                elevation = height.filter(|v| v.is_finite()).unwrap_or(0.0);
            }
            70 if open.is_none() && !over => solid = cursor.integer(&tag) == Some(1),
            10 | 20 | 11 | 21 | 40 | 42 | 50 | 51 | 72 if !over => {
                let Some(l) = open.as_mut() else { continue };
                l.take(cursor, &tag);
                corners += usize::from(matches!(tag.code, 10 | 11));
                if corners > MOST_CORNERS {
                    return Shape::Other;
                }
            }
            _ => fields.common_or_normal(cursor, &tag, trouble),
        }
    }
    close(&mut open);
    if let Some(discs) = discs(&round).filter(|_| solid) {
        let mut circles: Vec<Shape<'a>> = (discs.into_iter())
            .map(|([x, y], radius)| Shape::Circle {
                center: [x, y, elevation],
                radius,
            })
            .collect();
        return match circles.len() {
            1 => circles.pop().unwrap_or(Shape::Other),
            _ => Shape::Parts(circles),
        };
    }
    if rings.is_empty() {
        return Shape::Other;
    }
    Shape::Hatch {
        loops: rings,
        elevation,
        curved,
    }
}
