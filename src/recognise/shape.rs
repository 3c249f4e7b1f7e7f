//! Plane geometry that recognition shares: directions, chords of curves, convex clipping.

use std::f64::consts::{PI, TAU};

use geo::Coord;

use super::tolerance::{CORNER, SAGITTA};
use crate::flatten::{PathVertex, Prim};
pub use crate::geom::ring::{contains, point_to_segment};
pub use crate::geom::{bounds, canonical, finite};
use crate::plan::Member;

pub fn dot(a: Coord, b: Coord) -> f64 {
    a.x * b.x + a.y * b.y
}

pub fn cross(a: Coord, b: Coord) -> f64 {
    a.x * b.y - a.y * b.x
}

pub fn length(a: Coord) -> f64 {
    a.x.hypot(a.y)
}

pub fn distance(a: Coord, b: Coord) -> f64 {
    length(b - a)
}

/// `a` turned by +90°.
pub fn left_of(a: Coord) -> Coord {
    Coord { x: -a.y, y: a.x }
}

/// Unit vector of `a`; `None` where it has no direction.
pub fn unit(a: Coord) -> Option<Coord> {
    let l = length(a);
    (l.is_finite() && l > 1e-9).then(|| a / l)
}

/// The unit vector of `a` or of `a` turned by a quarter, angle in (-45°, 45°].
pub fn quarter(a: Coord) -> Coord {
    let mut a = a;
    for _ in 0..4 {
        let slack = 1e-9 * length(a);
        if a.x > 0.0 && a.y > -a.x + slack && a.y <= a.x + slack {
            break;
        }
        a = left_of(a);
    }
    a
}

/// Angle of the line along `a` in degrees, in (-90, 90].
pub fn line_degrees(a: Coord) -> f64 {
    let c = canonical(a);
    c.y.atan2(c.x).to_degrees()
}

/// Angle between two lines in degrees, 0 to 90.
pub fn between_degrees(a: Coord, b: Coord) -> f64 {
    cross(a, b).abs().atan2(dot(a, b).abs()).to_degrees()
}

/// The point of a circle at an angle, radians.
pub fn on_circle(center: Coord, radius: f64, angle: f64) -> Coord {
    let (y, x) = angle.sin_cos();
    center + Coord { x, y } * radius
}

/// Signed area, positive for a counter-clockwise ring. Taken about the first corner, so that
/// large coordinates cost no digits.
pub fn area(ring: &[Coord]) -> f64 {
    let Some(&o) = ring.first() else { return 0.0 };
    let mut sum = 0.0;
    for (i, &a) in ring.iter().enumerate() {
        let b = ring[(i + 1) % ring.len()];
        sum += cross(a - o, b - o);
    }
    sum / 2.0
}

/// Distance along the ray from `p` towards unit `d` to the segment; `None` where it misses.
pub fn ray_to_segment(p: Coord, d: Coord, a: Coord, b: Coord) -> Option<f64> {
    let (ra, rb) = (a - p, b - p);
    let (sa, sb) = (cross(d, ra), cross(d, rb));
    if (sa > 0.0 && sb > 0.0) || (sa < 0.0 && sb < 0.0) || sa == sb {
        return None;
    }
    let t = sa / (sa - sb);
    let along = dot(d, ra) + t * (dot(d, rb) - dot(d, ra));
    (along >= 0.0).then_some(along)
}

/// Least and greatest `dot(q - p, e)` over the part of a convex ring with `low <= dot(q - p, d) <= high`; `None` where
/// there is no such part.
pub fn span_in_band(
    ring: &[Coord],
    p: Coord,
    (d, e): (Coord, Coord),
    low: f64,
    high: f64,
) -> Option<(f64, f64)> {
    let mut found: Option<(f64, f64)> = None;
    let mut meet = |t: f64| {
        let (least, most) = found.unwrap_or((t, t));
        found = Some((least.min(t), most.max(t)));
    };
    for (i, &a) in ring.iter().enumerate() {
        let b = ring[(i + 1) % ring.len()];
        let (sa, sb) = (dot(a - p, d), dot(b - p, d));
        let ta = dot(a - p, e);
        if low <= sa && sa <= high {
            meet(ta);
        }
        for limit in [low, high] {
            if (sa < limit) != (sb < limit) && sa != limit && sb != limit {
                meet(ta + (dot(b - p, e) - ta) * ((limit - sa) / (sb - sa)));
            }
        }
    }
    found
}

/// A member's outline: its centreline widened by half its thickness to either side,
/// counter-clockwise. Empty where the member has no length.
pub fn outline(member: &Member) -> Vec<Coord> {
    let Some(u) = unit(member.to - member.from) else {
        return Vec::new();
    };
    let n = left_of(u) * (member.thickness / 2.0);
    vec![member.from - n, member.to - n, member.to + n, member.from + n]
}

/// Convex hull, counter-clockwise, without the closing point.
pub fn hull(points: &[Coord]) -> Vec<Coord> {
    let mut sorted: Vec<Coord> = points.iter().copied().filter(|p| finite(*p)).collect();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    sorted.dedup();
    if sorted.len() < 3 {
        return sorted;
    }
    let half = |points: &mut dyn Iterator<Item = Coord>| {
        let mut chain: Vec<Coord> = Vec::new();
        for p in points {
            while let [.., a, b] = chain[..] {
                if cross(b - a, p - a) > 0.0 {
                    break;
                }
                chain.pop();
            }
            chain.push(p);
        }
        chain.pop();
        chain
    };
    let mut ring = half(&mut sorted.iter().copied());
    ring.extend(half(&mut sorted.iter().rev().copied()));
    ring
}

/// Length and width of the smallest rectangle around a ring, length first.
pub fn rectangle(ring: &[Coord]) -> (f64, f64) {
    let hull = hull(ring);
    let mut best = (0.0, 0.0);
    let mut least = f64::INFINITY;
    for (i, &a) in hull.iter().enumerate() {
        let Some(u) = unit(hull[(i + 1) % hull.len()] - a) else {
            continue;
        };
        let n = left_of(u);
        let span = |d: Coord| {
            let along = hull.iter().map(|&p| dot(p - a, d));
            along.clone().fold(f64::MIN, f64::max) - along.fold(f64::MAX, f64::min)
        };
        let (l, w) = (span(u), span(n));
        if l * w < least {
            least = l * w;
            best = (l.max(w), l.min(w));
        }
    }
    best
}

/// Points along an elliptic arc, ends included; a chord is nowhere further off than 1/20 in.
fn arc_points(center: Coord, major: Coord, minor: Coord, start: f64, sweep: f64) -> Vec<Coord> {
    let radius = length(major).max(length(minor));
    if !radius.is_finite() || !sweep.is_finite() || !start.is_finite() {
        return Vec::new();
    }
    let sweep = sweep.clamp(-TAU, TAU);
    let step = if radius > SAGITTA {
        2.0 * (1.0 - SAGITTA / radius).acos()
    } else {
        PI / 2.0
    };
    let n = (sweep.abs() / step.clamp(PI / 90.0, PI / 4.0)).ceil().max(1.0) as usize;
    (0..=n)
        .map(|i| {
            let t = start + sweep * i as f64 / n as f64;
            center + major * t.cos() + minor * t.sin()
        })
        .collect()
}

/// Centre of the arc from `a` to `b` with a bulge other than 0.
pub fn bulge_center(a: Coord, b: Coord, bulge: f64) -> Coord {
    (a + b) * 0.5 + left_of(b - a) * ((1.0 - bulge * bulge) / (4.0 * bulge))
}

/// Points of a bulged run from `a` to `b`, `b` included and `a` not.
fn bulge_points(a: Coord, b: Coord, bulge: f64) -> Vec<Coord> {
    let chord = b - a;
    let l = length(chord);
    if bulge.abs() < 1e-9 || !bulge.is_finite() || l < 1e-9 {
        return vec![b];
    }
    let sweep = 4.0 * bulge.atan();
    let center = bulge_center(a, b, bulge);
    let r = a - center;
    let mut points = arc_points(center, r, left_of(r), 0.0, sweep);
    if !points.is_empty() {
        points.remove(0);
    }
    if let Some(last) = points.last_mut() {
        *last = b;
    }
    points
}

/// A path's points with arcs as chords; the closing run is walked, its end point left out.
pub fn path_points(vertices: &[PathVertex], closed: bool) -> Vec<Coord> {
    let mut points = Vec::with_capacity(vertices.len());
    points.extend(vertices.first().map(|v| v.at));
    for pair in vertices.windows(2) {
        points.extend(bulge_points(pair[0].at, pair[1].at, pair[0].bulge));
    }
    if let (true, Some(first), Some(last)) = (closed, vertices.first(), vertices.last()) {
        let mut run = bulge_points(last.at, first.at, last.bulge);
        run.pop();
        points.extend(run);
    }
    points.retain(|p| finite(*p));
    points
}

/// What a primitive draws, as a run of points and whether it is closed. `None` for text, points,
/// dimensions, symbols and what is not interpreted.
pub fn chords(prim: &Prim) -> Option<(Vec<Coord>, bool)> {
    let (points, closed) = match prim {
        Prim::Segment { from, to } => (vec![*from, *to], false),
        Prim::Circle { center, radius } => {
            let mut ring = arc_points(
                *center,
                Coord { x: *radius, y: 0.0 },
                Coord { x: 0.0, y: *radius },
                0.0,
                TAU,
            );
            ring.pop();
            (ring, true)
        }
        Prim::Arc {
            center,
            radius,
            start,
            sweep,
        } => (
            arc_points(
                *center,
                Coord { x: *radius, y: 0.0 },
                Coord { x: 0.0, y: *radius },
                *start,
                *sweep,
            ),
            false,
        ),
        Prim::Ellipse {
            center,
            major,
            minor,
            start,
            sweep,
        } => (arc_points(*center, *major, *minor, *start, *sweep), false),
        Prim::Path { vertices, closed } => (path_points(vertices, *closed), *closed),
        Prim::Face(ring) => (ring.clone(), true),
        Prim::Point(_)
        | Prim::Text { .. }
        | Prim::Dimension { .. }
        | Prim::Region { .. }
        | Prim::Symbol(_)
        | Prim::Opaque => {
            return None;
        }
    };
    (points.len() >= 2 && points.iter().all(|p| finite(*p))).then_some((points, closed))
}

/// Drops repeated corners and corners in the middle of a straight side.
pub fn corners(points: &[Coord], closed: bool) -> Vec<Coord> {
    let mut kept: Vec<Coord> = Vec::with_capacity(points.len());
    for &p in points {
        if kept.last().is_none_or(|&q| distance(p, q) > CORNER) {
            kept.push(p);
        }
    }
    if closed && kept.len() > 1 && distance(kept[0], kept[kept.len() - 1]) <= CORNER {
        kept.pop();
    }
    let n = kept.len();
    if n < 3 {
        return kept;
    }
    let straight = |i: usize| {
        let (a, b, c) = (kept[(i + n - 1) % n], kept[i], kept[(i + 1) % n]);
        point_to_segment(b, a, c) < CORNER / 2.0
    };
    (0..n)
        .filter(|&i| (!closed && (i == 0 || i == n - 1)) || !straight(i))
        .map(|i| kept[i])
        .collect()
}
