//! Circles, arcs and ellipses under any affine map, seen in plan.

use std::f64::consts::{PI, TAU};

use geo::Coord;

use super::Prim;

/// Two axes that differ by no more than this part of their length count as equal: a few digits lost
/// when a scale was written do not make an ellipse of a circle.
const SAME: f64 = 1e-7;

/// True where the images `u`, `v` of the unit axes are of one length and square to each other.
pub fn similar(u: Coord, v: Coord) -> bool {
    let (lu, lv) = (u.x.hypot(u.y), v.x.hypot(v.y));
    let most = lu.max(lv);
    (lu - lv).abs() <= SAME * most && dot(u, v).abs() <= SAME * most * most
}

/// The curve `center + u·cos t + v·sin t`, t from `start` through `sweep` (radians, positive), as
/// circle, arc, ellipse, or the segment that it is when seen from the side.
pub fn conic(center: Coord, u: Coord, v: Coord, start: f64, sweep: f64) -> Prim {
    let full = sweep >= TAU - 1e-9;
    if similar(u, v) {
        let radius = cross(u, v).abs().sqrt();
        if radius == 0.0 {
            return Prim::Point(center);
        }
        if full {
            return Prim::Circle { center, radius };
        }
        // A mirrored arc starts at the image of its start and runs clockwise.
        let sense = if cross(u, v) < 0.0 { -1.0 } else { 1.0 };
        let start = turn(u.y.atan2(u.x) + sense * start);
        return Prim::Arc {
            center,
            radius,
            start,
            sweep: sense * sweep,
        };
    }
    let (major, minor, shift) = principal(u, v);
    let (start, sweep) = (start - shift, sweep.min(TAU));
    if cross(major, minor).abs() <= SAME * dot(major, major) {
        return edge_on(center, major, start, sweep);
    }
    // The minor axis lies to the left of the major one; a mirrored curve runs clockwise.
    let (minor, start, sweep) = if cross(major, minor) < 0.0 {
        (
            Coord {
                x: -minor.x,
                y: -minor.y,
            },
            -start,
            -sweep,
        )
    } else {
        (minor, start, sweep)
    };
    if full {
        return Prim::Ellipse {
            center,
            major,
            minor,
            start: 0.0,
            sweep: TAU,
        };
    }
    Prim::Ellipse {
        center,
        major,
        minor,
        start: turn(start),
        sweep,
    }
}

/// Principal axes of the conjugate half-axes `u`, `v`, and the shift such that
/// `u·cos t + v·sin t = major·cos(t − shift) + minor·sin(t − shift)`.
fn principal(u: Coord, v: Coord) -> (Coord, Coord, f64) {
    // The squared distance from the centre has its greatest value where tan 2t is this ratio (derived).
    let shift = 0.5 * (2.0 * dot(u, v)).atan2(dot(u, u) - dot(v, v));
    let (sin, cos) = shift.sin_cos();
    let major = Coord {
        x: u.x * cos + v.x * sin,
        y: u.y * cos + v.y * sin,
    };
    let minor = Coord {
        x: v.x * cos - u.x * sin,
        y: v.y * cos - u.y * sin,
    };
    (major, minor, shift)
}

/// The stretch of `center ± major` that the curve covers when its plane is seen from the side.
fn edge_on(center: Coord, major: Coord, start: f64, sweep: f64) -> Prim {
    let mut least = start.cos().min((start + sweep).cos());
    let mut most = start.cos().max((start + sweep).cos());
    // The cosine turns round at multiples of π only; no sweep passes more than three of them.
    let first = (start / PI).ceil();
    for k in 0..3 {
        let t = (first + f64::from(k)) * PI;
        if t <= start + sweep {
            least = least.min(t.cos());
            most = most.max(t.cos());
        }
    }
    let at = |c: f64| Coord {
        x: center.x + major.x * c,
        y: center.y + major.y * c,
    };
    Prim::Segment {
        from: at(least),
        to: at(most),
    }
}

/// An angle in [0, 2π).
pub fn turn(angle: f64) -> f64 {
    let a = angle.rem_euclid(TAU);
    if a >= TAU { 0.0 } else { a }
}

/// The counter-clockwise sweep from `start` to `end`, in (0, 2π].
pub fn sweep(start: f64, end: f64) -> f64 {
    let s = turn(end - start);
    if s <= 1e-12 || TAU - s <= 1e-12 { TAU } else { s }
}

pub fn dot(a: Coord, b: Coord) -> f64 {
    a.x * b.x + a.y * b.y
}

pub fn cross(a: Coord, b: Coord) -> f64 {
    a.x * b.y - a.y * b.x
}
