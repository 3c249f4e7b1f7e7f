//! Polylines under any affine map: bulges, widths, and circles drawn as polylines.

use geo::Coord;

use super::conic::{conic, cross, similar};
use super::matrix::Affine;
use super::{PathVertex, Prim};
use crate::drawing::Vertex;

/// Greatest distance in inches between an arc and the chords that stand for it under unequal scale.
const SAGITTA: f64 = 0.004;
/// Bulges below this are straight, above its inverse they are no arc (a full turn has no bulge).
const STRAIGHT: f64 = 1e-9;
/// Points and radii that differ by less than this part of the radius are the same.
const SAME: f64 = 1e-6;

/// A polyline of at least one vertex, its vertices at their full height, mapped to plan.
pub fn path(vertices: &[Vertex], closed: bool, map: &Affine) -> Prim {
    let [only] = vertices else {
        return match circle(vertices, closed) {
            Some((center, radius)) => {
                // Drawn with a width it is a ring, or a dot: what shows is its outer edge.
                let first = vertices.first().map_or(0.0, |v| v.start_width);
                let wide = |v: &Vertex| v.start_width == first && v.end_width == first;
                let edge = if vertices.iter().all(wide) {
                    first / 2.0
                } else {
                    0.0
                };
                let radius = radius + edge;
                let z = vertices.first().map_or(0.0, |v| v.at[2]);
                let (u, v) = (
                    map.plan_vector([radius, 0.0, 0.0]),
                    map.plan_vector([0.0, radius, 0.0]),
                );
                conic(
                    map.plan([center.x, center.y, z]),
                    u,
                    v,
                    0.0,
                    std::f64::consts::TAU,
                )
            }
            None => mapped(vertices, closed, map),
        };
    };
    Prim::Point(map.plan(only.at))
}

fn mapped(vertices: &[Vertex], closed: bool, map: &Affine) -> Prim {
    let (u, v) = (map.plan_vector([1.0, 0.0, 0.0]), map.plan_vector([0.0, 1.0, 0.0]));
    let round = similar(u, v);
    let area = cross(u, v);
    let sense = if area < 0.0 { -1.0 } else { 1.0 };
    let mut out = Vec::with_capacity(vertices.len());
    for (i, vertex) in vertices.iter().enumerate() {
        let next = match vertices.get(i + 1) {
            Some(next) => Some(next),
            None if closed => vertices.first(),
            None => None,
        };
        let bulge = bulge_of(vertex);
        let widen = widening(vertex, next, map, area);
        let at = PathVertex {
            at: map.plan(vertex.at),
            bulge: if round { sense * bulge + 0.0 } else { 0.0 },
            start_width: vertex.start_width * widen,
            end_width: vertex.end_width * widen,
        };
        match next {
            Some(next) if !round && bulge != 0.0 => chords(&mut out, at, vertex, next, bulge, map),
            _ => out.push(at),
        }
    }
    Prim::Path {
        vertices: out,
        closed,
    }
}

/// The bulge, or zero where it is none.
fn bulge_of(vertex: &Vertex) -> f64 {
    let size = vertex.bulge.abs();
    if size > STRAIGHT && size < 1.0 / STRAIGHT {
        vertex.bulge
    } else {
        0.0
    }
}

/// By how much the width of the run from `vertex` to `next` grows: areas grow by `area`, lengths
/// along the run by their own factor, and what is left is the width's (derived).
fn widening(vertex: &Vertex, next: Option<&Vertex>, map: &Affine, area: f64) -> f64 {
    if vertex.start_width == 0.0 && vertex.end_width == 0.0 {
        return 1.0;
    }
    let across = area.abs().sqrt();
    let Some(next) = next else { return across };
    let run = [next.at[0] - vertex.at[0], next.at[1] - vertex.at[1], 0.0];
    let (before, after) = (run[0].hypot(run[1]), map.plan_vector(run));
    let after = after.x.hypot(after.y);
    if before > 0.0 && after > 0.0 {
        area.abs() * before / after
    } else {
        across
    }
}

/// Replaces the arc from `vertex` to `next` by chords near enough that no check can tell.
fn chords(
    out: &mut Vec<PathVertex>,
    first: PathVertex,
    vertex: &Vertex,
    next: &Vertex,
    bulge: f64,
    map: &Affine,
) {
    let Some(arc) = arc(vertex, next, bulge) else {
        out.push(first);
        return;
    };
    let (u, v) = (
        map.plan_vector([arc.radius, 0.0, 0.0]),
        map.plan_vector([0.0, arc.radius, 0.0]),
    );
    let greatest = u.x.hypot(u.y).max(v.x.hypot(v.y));
    let step = 2.0 * (1.0 - SAGITTA / greatest.max(SAGITTA)).acos();
    let pieces = (arc.sweep.abs() / step).ceil().clamp(4.0, 256.0) as usize;
    out.push(first);
    for k in 1..pieces {
        let part = k as f64 / pieces as f64;
        let (sin, cos) = (arc.start + arc.sweep * part).sin_cos();
        let at = [
            arc.center.x + arc.radius * cos,
            arc.center.y + arc.radius * sin,
            vertex.at[2],
        ];
        let width = first.start_width + (first.end_width - first.start_width) * part;
        let before = out.last_mut();
        if let Some(before) = before {
            before.end_width = width;
        }
        out.push(PathVertex {
            at: map.plan(at),
            bulge: 0.0,
            start_width: width,
            end_width: first.end_width,
        });
    }
}

/// The arc of one bulge, in the polyline's own plane.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Arc {
    center: Coord,
    radius: f64,
    start: f64,
    /// Radians, counter-clockwise positive.
    sweep: f64,
}

/// The arc that a bulge draws: bulge is the tangent of a quarter of the arc's angle.
fn arc(from: &Vertex, to: &Vertex, bulge: f64) -> Option<Arc> {
    let (dx, dy) = (to.at[0] - from.at[0], to.at[1] - from.at[1]);
    let chord = dx.hypot(dy);
    if chord == 0.0 || bulge == 0.0 {
        return None;
    }
    // Distance from the chord to the centre, to the left of the run: (1 − b²)/(4b) chords (derived).
    let off = (1.0 - bulge * bulge) / (4.0 * bulge);
    let center = Coord {
        x: (from.at[0] + to.at[0]) / 2.0 - dy * off,
        y: (from.at[1] + to.at[1]) / 2.0 + dx * off,
    };
    Some(Arc {
        center,
        radius: chord * (1.0 + bulge * bulge) / (4.0 * bulge.abs()),
        start: (from.at[1] - center.y).atan2(from.at[0] - center.x),
        sweep: 4.0 * bulge.atan(),
    })
}

/// Centre and radius where the polyline is one full circle: two half circles, or more pieces, about
/// one centre, all the same way round. Some programs repeat the first point at the end.
fn circle(vertices: &[Vertex], closed: bool) -> Option<(Coord, f64)> {
    let (first, last) = (vertices.first()?, vertices.last()?);
    let size = vertices.iter().fold(0.0_f64, |m, v| {
        m.max((v.at[0] - first.at[0]).hypot(v.at[1] - first.at[1]))
    });
    let back = (last.at[0] - first.at[0]).hypot(last.at[1] - first.at[1]) <= SAME * size;
    let ring = if back && vertices.len() > 2 {
        vertices.get(..vertices.len() - 1)?
    } else {
        vertices
    };
    if ring.len() < 2 || !(closed || back) {
        return None;
    }
    let mut one: Option<Arc> = None;
    let mut turned = 0.0;
    for (i, vertex) in ring.iter().enumerate() {
        let next = ring.get(i + 1).unwrap_or(first);
        let bulge = bulge_of(vertex);
        let piece = arc(vertex, next, bulge)?;
        turned += piece.sweep;
        let same = one.is_none_or(|one| {
            let apart = (one.center.x - piece.center.x).hypot(one.center.y - piece.center.y);
            apart <= SAME * one.radius
                && (one.radius - piece.radius).abs() <= SAME * one.radius
                && one.sweep.signum() == piece.sweep.signum()
        });
        if !same {
            return None;
        }
        one.get_or_insert(piece);
    }
    let one = one?;
    ((turned.abs() - std::f64::consts::TAU).abs() <= 1e-5).then_some((one.center, one.radius))
}
