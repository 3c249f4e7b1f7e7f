//! Walls drawn as polylines as wide as the wall is thick: the faces of what they fill.

use geo::Coord;

use super::shape::{distance, dot, finite, left_of, unit};
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
            && v.bulge.abs() < 1e-9
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
    let mut points: Vec<Coord> = Vec::with_capacity(vertices.len());
    for v in vertices {
        if points.last().is_none_or(|&p| distance(p, v.at) > CORNER) {
            points.push(v.at);
        }
    }
    let closed = closed && points.len() > 2;
    if closed && distance(points[0], points[points.len() - 1]) <= CORNER {
        points.pop();
    }
    let n = points.len();
    if n < 2 {
        return None;
    }
    let runs = if closed { n } else { n - 1 };
    let along: Vec<Coord> = (0..runs)
        .map(|i| unit(points[(i + 1) % n] - points[i]))
        .collect::<Option<_>>()?;
    let half = width / 2.0;
    // Where a run's face to one side starts or ends: at the mitre with its neighbour, else square.
    let corner = |p: Coord, run: usize, other: Option<usize>, side: f64| {
        let own = left_of(along[run]) * side;
        let turn = other.map(|o| (dot(along[run], along[o]), left_of(along[o]) * side));
        match turn {
            Some((turn, beside)) if turn > SHARPEST => p + (own + beside) * (half / (1.0 + turn)),
            _ => p + own * half,
        }
    };
    let mut found = Vec::with_capacity(2 * runs + 2);
    for run in 0..runs {
        let before = (run > 0).then(|| run - 1).or(closed.then(|| runs - 1));
        let after = (run + 1 < runs).then_some(run + 1).or(closed.then_some(0));
        let (p, q) = (points[run], points[(run + 1) % n]);
        for side in [1.0, -1.0] {
            found.push((corner(p, run, before, side), corner(q, run, after, side)));
        }
        let square = |other: Option<usize>| other.is_none_or(|o| dot(along[run], along[o]) <= SHARPEST);
        for (p, end) in [(p, square(before)), (q, square(after))] {
            if end {
                let out = left_of(along[run]) * half;
                found.push((p + out, p - out));
            }
        }
    }
    Some(found)
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
}
