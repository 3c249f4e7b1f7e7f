//! Walls drawn as polylines as wide as the wall is thick: the faces of what they fill.

use std::f64::consts::TAU;

use geo::Coord;

use super::shape::{bulge_center, cross, distance, dot, finite, left_of, path_points, unit};
use super::tolerance::CORNER;
use crate::flatten::PathVertex;

/// Least and greatest width that is a wall's thickness, inches: a partition of studs alone is 3 1/2, boards as
/// drawn may be less; a pen's width is no wall (common practice).
const THICKNESS: std::ops::RangeInclusive<f64> = 2.0..=16.0;
/// Cosine of the sharpest turn whose corner is mitred; sharper ones are cut square.
const SHARPEST: f64 = -0.9;

/// Both faces and, where it is open, both ends of a polyline of one width that is a wall's; `None` for any
/// other.
pub fn faces(vertices: &[PathVertex], closed: bool) -> Option<Vec<(Coord, Coord)>> {
    let width = vertices.first()?.start_width;
    let even = |v: &PathVertex| {
        (v.start_width - width).abs() < 1e-3
            && (v.end_width - width).abs() < 1e-3
            && v.bulge.is_finite()
            && finite(v.at)
    };
    // The last vertex of an open one starts no run.
    let runs = if closed {
        vertices
    } else {
        &vertices[..vertices.len() - 1]
    };
    let last = vertices.last().is_some_and(|v| finite(v.at));
    if !THICKNESS.contains(&width) || !last || !runs.iter().all(even) {
        return None;
    }
    let mut points: Vec<(Coord, f64)> = Vec::with_capacity(vertices.len());
    for v in vertices {
        match points.last_mut() {
            Some(last) if distance(last.0, v.at) <= CORNER => last.1 = v.bulge,
            _ => points.push((v.at, v.bulge)),
        }
    }
    let closed = closed && points.len() > 2;
    if closed && distance(points[0].0, points[points.len() - 1].0) <= CORNER {
        points.pop();
    }
    let n = points.len();
    if n < 2 {
        return None;
    }
    let runs = if closed { n } else { n - 1 };
    let along: Vec<Run> = (0..runs)
        .map(|i| Run::new(points[i], points[(i + 1) % n].0))
        .collect::<Option<_>>()?;
    let half = width / 2.0;
    // Where a run's face to one side starts or ends: at the mitre with its neighbour, else square.
    let corner = |p: Coord, own: Coord, other: Option<Coord>, side: f64| {
        let turn = other.map(|o| (dot(own, o), left_of(o) * side));
        let own = left_of(own) * side;
        match turn {
            Some((turn, beside)) if turn > SHARPEST => p + (own + beside) * (half / (1.0 + turn)),
            _ => p + own * half,
        }
    };
    let mut found = Vec::with_capacity(2 * runs + 2);
    for (k, run) in along.iter().enumerate() {
        let before = (k > 0).then(|| k - 1).or(closed.then(|| runs - 1));
        let after = (k + 1 < runs).then_some(k + 1).or(closed.then_some(0));
        let (before, after) = (before.map(|o| along[o].end), after.map(|o| along[o].start));
        for side in [1.0, -1.0] {
            let from = corner(run.p, run.start, before, side);
            let to = corner(run.q, run.end, after, side);
            run.face(from, to, &mut found);
        }
        let square = |own: Coord, other: Option<Coord>| other.is_none_or(|o| dot(own, o) <= SHARPEST);
        for (p, own, other) in [(run.p, run.start, before), (run.q, run.end, after)] {
            if square(own, other) {
                let out = left_of(own) * half;
                found.push((p + out, p - out));
            }
        }
    }
    Some(found)
}

/// A straight or rounded length of wall, with its ways at both ends.
struct Run {
    p: Coord,
    q: Coord,
    start: Coord,
    end: Coord,
    /// Of its middle line, and its centre, where it is rounded.
    bulge: f64,
    center: Coord,
}

impl Run {
    fn new((p, bulge): (Coord, f64), q: Coord) -> Option<Run> {
        let way = unit(q - p)?;
        let bulge = if bulge.abs() < 1e-9 { 0.0 } else { bulge };
        // Half of the arc's angle to either side of the chord.
        let (s, c) = (2.0 * bulge.atan()).sin_cos();
        let turned = |s: f64| Coord {
            x: c * way.x - s * way.y,
            y: s * way.x + c * way.y,
        };
        let center = if bulge == 0.0 {
            (p + q) * 0.5
        } else {
            bulge_center(p, q, bulge)
        };
        Some(Run {
            p,
            q,
            start: turned(-s),
            end: turned(s),
            bulge,
            center,
        })
    }

    /// The face from one corner to the other, as chords where it is rounded.
    fn face(&self, from: Coord, to: Coord, found: &mut Vec<(Coord, Coord)>) {
        let (u, v) = (from - self.center, to - self.center);
        let angle = if self.bulge > 0.0 {
            cross(u, v).atan2(dot(u, v)).rem_euclid(TAU)
        } else {
            -cross(v, u).atan2(dot(u, v)).rem_euclid(TAU)
        };
        let bulge = if self.bulge == 0.0 {
            0.0
        } else {
            (angle / 4.0).tan()
        };
        let vertex = |at: Coord, bulge: f64| PathVertex {
            at,
            bulge,
            start_width: 0.0,
            end_width: 0.0,
        };
        let points = path_points(&[vertex(from, bulge), vertex(to, 0.0)], false);
        found.extend(points.windows(2).map(|w| (w[0], w[1])));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::faces::Network;

    fn at(x: f64, y: f64) -> Coord {
        Coord { x, y }
    }

    fn path(points: &[Coord], width: f64) -> Vec<PathVertex> {
        let vertex = |&at: &Coord| PathVertex {
            at,
            bulge: 0.0,
            start_width: width,
            end_width: width,
        };
        points.iter().map(vertex).collect()
    }

    #[test]
    fn a_closed_one_has_an_outer_and_an_inner_face() {
        let ring = [at(0.0, 0.0), at(100.0, 0.0), at(100.0, 80.0), at(0.0, 80.0)];
        let found = faces(&path(&ring, 6.0), true).unwrap();
        let areas: Vec<f64> = Network::new(&found, CORNER)
            .unwrap()
            .faces()
            .iter()
            .map(|f| f.area())
            .collect();
        // By hand: inside 94 by 74, the wall what is left of 106 by 86.
        assert!(areas.iter().any(|a| (a - 94.0 * 74.0).abs() < 1e-6), "{areas:?}");
        let wall = 106.0 * 86.0 - 94.0 * 74.0;
        assert!(areas.iter().any(|a| (a - wall).abs() < 1e-6), "{areas:?}");
        assert_eq!(areas.len(), 2);
    }

    #[test]
    fn an_open_one_has_ends() {
        let found = faces(&path(&[at(0.0, 0.0), at(50.0, 0.0)], 4.0), false).unwrap();
        let network = Network::new(&found, CORNER).unwrap();
        assert_eq!(network.faces().len(), 1);
        assert!((network.faces()[0].area() - 200.0).abs() < 1e-9);
    }

    #[test]
    fn a_turn_back_is_cut_square_and_pens_are_no_walls() {
        let back = faces(&path(&[at(0.0, 0.0), at(50.0, 0.0), at(0.0, 0.0001)], 4.0), false).unwrap();
        let far = back.iter().flat_map(|(a, b)| [a.x, b.x]).fold(0.0, f64::max);
        assert!(far <= 50.001, "{far}");
        assert_eq!(faces(&path(&[at(0.0, 0.0), at(50.0, 0.0)], 0.5), false), None);
        assert_eq!(faces(&path(&[at(0.0, 0.0)], 4.0), true), None);
        assert_eq!(faces(&[], false), None);
    }

    #[test]
    fn a_rounded_one_has_rounded_faces() {
        // A quarter of a circle of 60 in between two straight lengths that touch it.
        let mut ring = path(
            &[at(0.0, 0.0), at(40.0, 0.0), at(100.0, 60.0), at(100.0, 90.0)],
            6.0,
        );
        ring[1].bulge = (std::f64::consts::PI / 8.0).tan();
        let found = faces(&ring, false).unwrap();
        let ends: Vec<Coord> = found.iter().flat_map(|(a, b)| [*a, *b]).collect();
        let mut round = 0;
        for p in ends {
            let straight = (p.x <= 40.0 + 1e-9 && (p.y.abs() - 3.0).abs() < 1e-9)
                || (p.y >= 60.0 - 1e-9 && ((p.x - 100.0).abs() - 3.0).abs() < 1e-9);
            let off = distance(p, at(40.0, 60.0));
            round += usize::from(!straight);
            assert!(
                straight || [57.0, 63.0].iter().any(|r| (off - r).abs() < 1e-9),
                "{p:?}"
            );
        }
        assert!(round > 20, "{round}");
        // The other way round it is the same wall.
        let back: Vec<PathVertex> = (0..4)
            .rev()
            .map(|i| PathVertex {
                bulge: if i == 2 { -ring[1].bulge } else { 0.0 },
                ..ring[i]
            })
            .collect();
        let area = |found: &[(Coord, Coord)]| Network::new(found, CORNER).unwrap().faces()[0].area();
        assert!((area(&found) - area(&faces(&back, false).unwrap())).abs() < 1e-6);
    }
}
