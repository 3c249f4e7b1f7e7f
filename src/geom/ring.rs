//! Points and segments against a closed ring of corners, as even and odd crossings say what is inside.

use geo::Coord;

use super::FUZZ;
use super::Vector2DOps;

/// Whether `p` lies inside the ring or on its edge.
pub fn contains(ring: &[Coord], p: Coord) -> bool {
    let mut inside = false;
    for (a, b) in edges(ring) {
        let gap = p - nearest_on(p, a, b);
        if gap.dot_product(gap) < 1e-18 {
            return true;
        }
        if (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x) {
            inside = !inside;
        }
    }
    inside
}

/// Distance from `p` to the segment.
pub fn point_to_segment(p: Coord, a: Coord, b: Coord) -> f64 {
    (p - nearest_on(p, a, b)).magnitude()
}

/// The parts of a segment that lie inside the ring or along its edge (nearer than [`FUZZ`]), as shares of its length in rising
/// order. What is shorter than [`FUZZ`] is none.
pub fn inside(ring: &[Coord], from: Coord, to: Coord) -> Vec<(f64, f64)> {
    let run = to - from;
    let long = run.magnitude();
    if long <= FUZZ {
        return if holds(ring, from) {
            vec![(0.0, 1.0)]
        } else {
            Vec::new()
        };
    }
    let mut at = vec![0.0, 1.0];
    for (a, b) in edges(ring) {
        // Corners beside the segment part it too, so that one along an edge is told apart from what is before and after it.
        let side = |p: Coord| run.wedge_product(p - from) / long;
        let along = |p: Coord| run.dot_product(p - from) / (long * long);
        let (sa, sb) = (side(a), side(b));
        if sa.abs() <= FUZZ {
            at.push(along(a));
        }
        if (sa > 0.0) != (sb > 0.0) && sa != sb {
            let t = sa / (sa - sb);
            at.push(along(a) * (1.0 - t) + along(b) * t);
        }
    }
    at.retain(|t| (0.0..=1.0).contains(t));
    at.sort_by(f64::total_cmp);
    let mut parts: Vec<(f64, f64)> = Vec::new();
    for (t, u) in at.iter().zip(at.iter().skip(1)) {
        if (u - t) * long <= FUZZ || !holds(ring, from + run * ((t + u) / 2.0)) {
            continue;
        }
        match parts.last_mut() {
            Some(last) if (t - last.1) * long <= FUZZ => last.1 = *u,
            _ => parts.push((*t, *u)),
        }
    }
    for part in &mut parts {
        if part.0 * long <= FUZZ {
            part.0 = 0.0;
        }
        if (1.0 - part.1) * long <= FUZZ {
            part.1 = 1.0;
        }
    }
    parts
}

/// [`contains`] with room for rounding.
pub fn holds(ring: &[Coord], p: Coord) -> bool {
    contains(ring, p) || edges(ring).any(|(a, b)| point_to_segment(p, a, b) <= FUZZ)
}

fn edges(ring: &[Coord]) -> impl Iterator<Item = (Coord, Coord)> + '_ {
    let next = ring.iter().cycle().skip(1);
    ring.iter().copied().zip(next.copied())
}

/// The point of a segment that is nearest to `p`.
fn nearest_on(p: Coord, a: Coord, b: Coord) -> Coord {
    let d = b - a;
    let l2 = d.dot_product(d);
    let t = if l2 > 0.0 {
        ((p - a).dot_product(d) / l2).clamp(0.0, 1.0)
    } else {
        0.0
    };
    a + d * t
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A square with a notch cut into its right side, to the middle.
    fn notched() -> Vec<Coord> {
        [
            (0, 0),
            (10, 0),
            (10, 4),
            (5, 4),
            (5, 6),
            (10, 6),
            (10, 10),
            (0, 10),
        ]
        .map(|(x, y)| Coord {
            x: f64::from(x),
            y: f64::from(y),
        })
        .to_vec()
    }

    fn parts(from: (f64, f64), to: (f64, f64)) -> Vec<(f64, f64)> {
        inside(&notched(), from.into(), to.into())
    }

    #[test]
    fn a_segment_keeps_what_is_inside() {
        // Worked by hand.
        assert_eq!(parts((1.0, 1.0), (9.0, 1.0)), [(0.0, 1.0)]);
        assert_eq!(parts((-10.0, 5.0), (10.0, 5.0)), [(0.5, 0.75)]);
        assert_eq!(parts((8.0, -10.0), (8.0, 20.0)).len(), 2);
        assert_eq!(parts((20.0, 0.0), (30.0, 0.0)), []);
        // Along an edge, and beyond it.
        assert_eq!(parts((0.0, -5.0), (0.0, 15.0)), [(0.25, 0.75)]);
        assert_eq!(parts((-10.0, 10.0), (10.0, 10.0)), [(0.5, 1.0)]);
    }

    #[test]
    fn shares_agree_with_points_tried_one_by_one() {
        let ring = notched();
        let at = |i: u32| Coord {
            x: f64::from(i * 37 % 240) / 10.0 - 7.03,
            y: f64::from(i * 101 % 240) / 10.0 - 7.01,
        };
        for i in 0..200 {
            let (a, b) = (at(i), at(i * 7 + 3));
            let found = inside(&ring, a, b);
            for k in 0..=97 {
                let t = f64::from(k) / 97.0;
                let p = a + (b - a) * t;
                let near = (ring.iter().zip(ring.iter().cycle().skip(1)))
                    .any(|(c, d)| point_to_segment(p, *c, *d) < 1e-3);
                let held = found.iter().any(|(u, v)| (*u..=*v).contains(&t));
                assert!(near || held == contains(&ring, p), "{a:?} to {b:?} at {t}");
            }
        }
    }
}
