//! Ends of walls: where both faces, or a line, stop at an opening.

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::super::shape::{cross, distance, dot, length, unit};
use super::super::tolerance::CORNER;
use super::gaps::{PARALLEL, SLIP, THICK_WALL, THIN_WALL};
use crate::geom::faces::Network;

/// A line drawn by hand ends this far to the side of where it should, inches; and the sine of the greatest angle (6°)
/// that a short one is turned by so.
const ASIDE: f64 = 0.3;
const ASKEW: f64 = 0.1;
/// The way on from a wall's end is told from so much of its faces, inches.
const TELLING: f64 = 60.0;

/// Where a wall stops, and the way on.
#[derive(Clone, Copy, Debug)]
pub struct End {
    /// On the right and on the left of the way on; the same point for a single line.
    pub right: Coord,
    pub left: Coord,
    pub on: Coord,
    /// How much of the faces tells the way on, inches.
    pub told: f64,
}

/// Sine of the greatest angle that a line of a length may be off by.
pub fn askew(length: f64) -> f64 {
    (ASIDE / length.max(1.0)).clamp(PARALLEL, ASKEW)
}

/// All wall ends: caps first, then pairs of loose ends, then single ones.
pub fn ends(network: &Network) -> Vec<End> {
    let beside = network.neighbours();
    let at = |n: usize| network.nodes[n];
    let mut ends = Vec::new();
    for &(u, v) in &network.edges {
        for (u, v) in [(u, v), (v, u)] {
            let Some((back, last)) = cap(network, &beside, u, v).filter(|&(_, last)| u < last) else {
                continue;
            };
            let Some(on) = unit(back * -1.0) else { continue };
            let (right, left) = match cross(on, at(last) - at(u)) > 0.0 {
                true => (at(u), at(last)),
                false => (at(last), at(u)),
            };
            let told = length(back) / 2.0;
            ends.push(End {
                right,
                left,
                on,
                told,
            });
        }
    }
    let loose: Vec<(Coord, Coord, f64)> = (beside.iter().enumerate())
        .filter_map(|(n, near)| match near[..] {
            [next] => {
                let back = run(network, &beside, n, next);
                Some((at(n), unit(back * -1.0)?, length(back)))
            }
            _ => None,
        })
        .collect();
    let spots = loose
        .iter()
        .enumerate()
        .map(|(i, (p, ..))| GeomWithData::new([p.x, p.y], i));
    let tree = RTree::bulk_load(spots.collect());
    // Ends that stop side by side with one, and how far to its left.
    let alike = |i: usize| -> Vec<(usize, f64)> {
        let (p, on, told) = loose[i];
        let near = tree.locate_within_distance([p.x, p.y], THICK_WALL * THICK_WALL);
        near.map(|spot| spot.data)
            .filter(|&j| j != i)
            .filter(|&j| {
                let (q, other, too) = loose[j];
                dot(on, other) > 0.0
                    && cross(on, other).abs() < askew(told.min(too))
                    && dot(q - p, on).abs() <= SLIP
            })
            .map(|j| (j, cross(on, loose[j].0 - p)))
            .collect()
    };
    // The line between two leaves of a wall stops between its faces.
    let between = |i: usize| {
        let alike = alike(i);
        let (left, right) = alike
            .iter()
            .fold((0.0_f64, 0.0_f64), |(l, r), a| (l.max(a.1), r.min(a.1)));
        left > CORNER && right < -CORNER && left - right <= THICK_WALL
    };
    let inner: Vec<bool> = (0..loose.len()).map(between).collect();
    let mate = |i: usize| {
        let p = loose[i].0;
        (alike(i).into_iter())
            .filter(|(j, across)| !inner[i] && !inner[*j] && across.abs() >= THIN_WALL)
            .map(|(j, _)| j)
            .min_by(|&a, &b| (distance(p, loose[a].0).total_cmp(&distance(p, loose[b].0))).then(a.cmp(&b)))
    };
    let mates: Vec<Option<usize>> = (0..loose.len()).map(mate).collect();
    for (i, &(p, on, told)) in loose.iter().enumerate().filter(|(i, _)| !inner[*i]) {
        match mates[i] {
            Some(j) if mates[j] == Some(i) => {
                if i < j {
                    let q = loose[j].0;
                    let (right, left) = if cross(on, q - p) > 0.0 { (p, q) } else { (q, p) };
                    ends.push(End {
                        right,
                        left,
                        on,
                        told,
                    });
                }
            }
            _ => ends.push(End {
                right: p,
                left: p,
                on,
                told,
            }),
        }
    }
    ends
}

/// From a node over a neighbour, straight on as far as one line goes, to at most [`TELLING`].
pub fn run(network: &Network, beside: &[Vec<usize>], from: usize, next: usize) -> Coord {
    let at = |n: usize| network.nodes[n];
    let (mut before, mut last) = (from, next);
    while distance(at(from), at(last)) < TELLING {
        let Some(way) = unit(at(last) - at(from)) else {
            break;
        };
        let straight = |n: usize| {
            let on = at(n) - at(last);
            unit(on).is_some_and(|u| dot(u, way) > 0.0 && cross(u, way).abs() < askew(length(on)))
        };
        match beside[last].iter().find(|&&n| n != before && straight(n)) {
            Some(&n) => (before, last) = (last, n),
            None => break,
        }
    }
    at(last) - at(from)
}

/// The way back from a cap that begins at `u` towards `v`, as long as both its faces, and the node at its other
/// corner: lines across a wall's thickness whose corners run back as the wall's faces. Lines that run back from
/// between them are leaves of the wall's.
fn cap(network: &Network, beside: &[Vec<usize>], u: usize, v: usize) -> Option<(Coord, usize)> {
    let at = |n: usize| network.nodes[n];
    let back = |n: usize, near: usize| match beside[n][..] {
        [a, b] => Some(run(network, beside, n, if a == near { b } else { a })),
        _ => None,
    };
    if distance(at(u), at(v)) > THICK_WALL {
        return None;
    }
    let first = back(u, v)?;
    let square = |p: Coord, line: Coord| match (unit(p), unit(line)) {
        (Some(p), Some(along)) => dot(p, along).abs() < askew(length(line)) && dot(p, first) > 0.0,
        _ => false,
    };
    let (mut before, mut last) = (u, v);
    while distance(at(u), at(last)) <= THICK_WALL {
        let line = at(last) - at(u);
        let along = unit(line)?;
        let mut next = None;
        for &n in beside[last].iter().filter(|&&n| n != before) {
            let on = at(n) - at(last);
            let way = unit(on)?;
            if dot(way, along) > 0.0 && cross(way, along).abs() < askew(length(on)) && next.is_none() {
                next = Some(n);
            } else if beside[last].len() > 2 && !square(on, line) {
                return None;
            }
        }
        match next {
            Some(n) => (before, last) = (last, n),
            None => break,
        }
    }
    let line = at(last) - at(u);
    let wide = (THIN_WALL..=THICK_WALL).contains(&length(line));
    let second = back(last, before)?;
    (wide && square(first, line) && square(second, line)).then_some((first + second, last))
}
