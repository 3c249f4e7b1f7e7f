//! Framing beyond one family of equal members: hips with their jacks, openings with headers, beams and rims,
//! joists askew to the walls.

use geo::{Coord, Vector2DOps};

use super::framing::{Area, HIP, MIXED, SKEW, thickness};
use super::pen::{Pen, at};

/// Ends of a member's centreline and its thickness.
pub type Stick = (Coord, Coord, f64);

/// A jack stops so far from where its centreline meets the hip's.
const SHORT_OF_HIP: f64 = 2.0;
/// No jack is shorter.
const SHORTEST: f64 = 12.0;
/// An opening between two headers.
const OPENING: f64 = 30.0;
const HEADER: f64 = 3.0;
/// A beam between joists that hang from both its sides, where they are long enough.
const BEAM: f64 = 3.5;
const LEAST_WITH_BEAM: f64 = 150.0;
/// Joists run so far askew, degrees.
const ASKEW: f64 = 20.0;

/// Every member of an area.
pub fn sticks(style: usize, area: &Area) -> Vec<Stick> {
    match style {
        HIP => fan(area),
        MIXED => mixed(area),
        SKEW => skew(area),
        _ => (area.members()).map(|(a, b)| (a, b, thickness(style))).collect(),
    }
}

/// A hip from the corner before the first member, and jacks of falling length on both sides of it.
fn fan(area: &Area) -> Vec<Stick> {
    let (edge, width, length) = (area.edge, area.width, area.length);
    let far = width.min(length);
    let p = |along: f64, from_wall: f64| area.point(along, from_wall - edge);
    let mut found = vec![(p(0.0, 0.0), p(far, far), 1.75)];
    for i in 0..area.count {
        let d = edge + area.spacing * i as f64;
        let end = if d <= far { d - SHORT_OF_HIP } else { length };
        let start = area.start(d - edge);
        if end - start >= SHORTEST {
            found.push((p(start, d), p(end, d), 1.5));
        }
    }
    let rows = ((length - 4.0 - edge) / area.spacing).ceil() as usize;
    for i in 0..rows {
        let s = edge + area.spacing * i as f64;
        let end = if s <= far { s - SHORT_OF_HIP } else { width };
        if end >= SHORTEST {
            found.push((p(s, 0.0), p(s, end), 1.5));
        }
    }
    found
}

/// Joists between rims, the first and the last of them beams, and one cut for an opening between headers.
fn mixed(area: &Area) -> Vec<Stick> {
    let p = |along: f64, across: f64| area.point(along, across);
    let at = |i: usize| area.spacing * i as f64;
    let (low, high) = (area.length * 0.2, area.length * 0.2 + OPENING);
    let hung = area.length >= LEAST_WITH_BEAM;
    let middle = area.length * 0.7;
    let mut found = Vec::new();
    for i in 0..area.count {
        let x = at(i);
        let start = area.start(x);
        let thick = match i {
            0 => 5.25,
            _ if i + 1 == area.count => 3.5,
            _ => 1.5,
        };
        let mut from = start;
        if i == 2 {
            found.push((p(start, x), p(low - HEADER / 2.0, x), thick));
            from = high + HEADER / 2.0;
        }
        if hung {
            found.push((p(from, x), p(middle - BEAM / 2.0, x), thick));
            from = middle + BEAM / 2.0;
        }
        found.push((p(from, x), p(area.length, x), thick));
    }
    let right = area.width - area.edge;
    if hung {
        found.push((p(middle, -area.edge), p(middle, right), BEAM));
    }
    for s in [low, high] {
        found.push((p(s, at(1) + 0.75), p(s, at(3) - 0.75), HEADER));
    }
    found.push((p(-0.75, -area.edge), p(-0.75, area.cut.min(right)), 1.5));
    if !area.beam {
        let far = area.length + 0.75;
        found.push((p(far, -area.edge), p(far, right), 1.5));
    }
    found
}

/// Members at an angle to the walls, from wall to wall.
fn skew(area: &Area) -> Vec<Stick> {
    let (s, c) = ASKEW.to_radians().sin_cos();
    let (along, across) = (at(c, s), at(-s, c));
    let (low, high) = (-area.edge, area.width - area.edge);
    // Inside where the product is no more than the number.
    let sides = [
        (at(-1.0, 0.0), 0.0),
        (at(1.0, 0.0), area.length),
        (at(0.0, -1.0), -low),
        (at(0.0, 1.0), high),
        (at(-1.0, 1.0), area.cut),
    ];
    let reach = area.length + area.width;
    let mut found = Vec::new();
    let steps = (reach / area.spacing) as i32;
    for i in -steps..steps {
        let on = across * (area.spacing * f64::from(i));
        let (mut from, mut to) = (-reach, reach);
        for (normal, most) in sides {
            let (rise, start) = (normal.dot_product(along), normal.dot_product(on));
            let t = (most - start) / rise;
            if rise > 0.0 {
                to = to.min(t)
            } else {
                from = from.max(t)
            }
        }
        if to - from >= 2.0 * SHORTEST {
            let [a, b] = [from, to].map(|t| on + along * t);
            found.push((area.point(a.x, a.y), area.point(b.x, b.y), 1.5));
        }
    }
    found
}

/// Draws members, each as two lines, as an outline or as a wide polyline.
pub fn draw(pen: &mut Pen, layer: &str, sticks: &[Stick], habit: usize) {
    for &(a, b, thick) in sticks {
        let out = (b - a).left() / (b - a).magnitude() * (thick / 2.0);
        match habit % 3 {
            0 => {
                pen.line(layer, a + out, b + out);
                pen.line(layer, a - out, b - out);
            }
            1 => pen.path(layer, &[a + out, b + out, b - out, a - out], true, 0.0, 0.0),
            _ => pen.path(layer, &[a, b], false, 0.0, thick),
        }
    }
}
