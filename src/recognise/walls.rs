//! Wall faces as segments, and the direction most of them share.

use geo::Coord;
use rstar::primitives::Line;
use rstar::{AABB, RTree};

use super::classes::{Claim, Class, Classes};
use super::shape::{bounds, chords, distance, point_to_segment, quarter, unit};
use super::tolerance::CORNER;
use super::wide;
use crate::flatten::{Flat, Prim};
use crate::plan::Member;

/// From a symbol to the wall it touches, inches.
const TOUCH: f64 = 0.5;

/// Every straight run on a wall layer, curves as chords.
pub fn walls(flat: &Flat, classes: &Classes, claims: &mut [Claim]) -> Vec<(Coord, Coord)> {
    let mut walls = Vec::new();
    let filled = only_filled(flat, of_walls(flat, classes));
    for (i, item) in flat.items.iter().enumerate() {
        if classes.of[i] != Class::Wall || claims[i] != Claim::None || !item.visible {
            continue;
        }
        if let Some(faces) = faces(&item.prim, filled) {
            claims[i] = Claim::Wall;
            walls.extend(faces);
        } else if matches!(item.prim, Prim::Text { .. }) {
            // Wall marks are no walls, but nothing of the drawing is lost by leaving them.
            claims[i] = Claim::None;
        }
    }
    walls
}

/// What shows on layers of walls.
pub fn of_walls<'a>(flat: &'a Flat, classes: &'a Classes) -> impl Iterator<Item = usize> + 'a {
    (0..flat.items.len()).filter(|&i| classes.of[i] == Class::Wall && flat.items[i].visible)
}

/// Whether hatches and filled faces are all that is drawn of the walls: beside lines they only fill what those enclose.
pub fn only_filled(flat: &Flat, mut items: impl Iterator<Item = usize>) -> bool {
    let mut any = false;
    let fills = items.all(|i| {
        let fill = matches!(flat.items[i].prim, Prim::Region { .. } | Prim::Face(_));
        any |= fill;
        fill || chords(&flat.items[i].prim).is_none()
    });
    fills && any
}

/// What is drawn of a wall as segments: of a polyline as wide as a wall is thick both faces, of a hatch its
/// boundaries where walls are `filled` alone, of anything else its own lines, curves as chords.
pub fn faces(prim: &Prim, filled: bool) -> Option<Vec<(Coord, Coord)>> {
    let wide = match prim {
        Prim::Path { vertices, closed } => wide::faces(vertices, *closed),
        Prim::Region { loops, .. } if filled => {
            Some(loops.iter().flat_map(|ring| runs(ring, true)).collect())
        }
        _ => None,
    };
    wide.or_else(|| chords(prim).map(|(points, closed)| runs(&points, closed)))
}

/// Lines of walls by their place.
pub struct Faces(RTree<Line<[f64; 2]>>);

impl Faces {
    pub fn new(flat: &Flat, classes: &Classes) -> Faces {
        let filled = only_filled(flat, of_walls(flat, classes));
        let all = of_walls(flat, classes)
            .filter_map(|i| faces(&flat.items[i].prim, filled))
            .flatten()
            .filter(|(a, b)| [a.x, a.y, b.x, b.y].iter().all(|v| v.is_finite()));
        Faces(RTree::bulk_load(
            all.map(|(a, b)| Line::new([a.x, a.y], [b.x, b.y])).collect(),
        ))
    }

    /// Whether what is drawn through these points reaches a wall's face.
    pub fn touch(&self, points: &[Coord]) -> bool {
        let Some((low, high)) = bounds(points.iter().copied()) else {
            return false;
        };
        let around = AABB::from_corners([low.x - TOUCH, low.y - TOUCH], [high.x + TOUCH, high.y + TOUCH]);
        let near: Vec<_> = self.0.locate_in_envelope_intersecting(around).collect();
        points.iter().any(|p| {
            near.iter().any(|line| {
                let [a, b] = [line.from, line.to].map(|p| Coord { x: p[0], y: p[1] });
                point_to_segment(*p, a, b) <= TOUCH
            })
        })
    }
}

/// Sides of a run of points, those without length left out.
pub fn runs(points: &[Coord], closed: bool) -> Vec<(Coord, Coord)> {
    let close = match points {
        [first, _, .., last] if closed => Some((*last, *first)),
        _ => None,
    };
    points
        .windows(2)
        .map(|w| (w[0], w[1]))
        .chain(close)
        .filter(|(a, b)| distance(*a, *b) > CORNER)
        .collect()
}

/// Unit vector, angle in (-45°, 45°], of the direction that has the greatest length of walls
/// modulo 90°; of the members where there are no walls; `None` where there is neither.
pub fn axis(walls: &[(Coord, Coord)], members: &[Member]) -> Option<Coord> {
    let of_walls: Vec<Coord> = walls.iter().map(|(a, b)| *b - *a).collect();
    commonest(&of_walls).or_else(|| {
        let of_members: Vec<Coord> = members.iter().map(|m| m.to - m.from).collect();
        commonest(&of_members)
    })
}

/// Length-weighted commonest direction modulo a quarter turn.
fn commonest(vectors: &[Coord]) -> Option<Coord> {
    const STEP: f64 = 0.25;
    let mut turned: Vec<(f64, f64, Coord)> = vectors
        .iter()
        .filter_map(|&v| {
            let q = quarter(unit(v)?);
            Some((q.y.atan2(q.x).to_degrees(), super::shape::length(v), q))
        })
        .collect();
    turned.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    // Around the wrap -45° meets 45°, so a copy of the low end stands above the high one.
    let n = turned.len();
    let above = |i: usize| {
        let (angle, length, _) = turned[i % n];
        (if i < n { angle } else { angle + 90.0 }, length)
    };
    let mut best: Option<(f64, usize, usize)> = None;
    let (mut end, mut sum) = (0, 0.0);
    for start in 0..n {
        if end < start {
            (end, sum) = (start, 0.0);
        }
        while end < start + n && above(end).0 - above(start).0 <= STEP {
            sum += above(end).1;
            end += 1;
        }
        if best.is_none_or(|(most, ..)| sum > most * (1.0 + 1e-9)) {
            best = Some((sum, start, end));
        }
        sum -= above(start).1;
    }
    let (_, start, end) = best?;
    // The longest wall of the family gives the direction: short ones are drawn less exactly.
    (start..end)
        .map(|i| turned[i % n])
        .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.total_cmp(&a.0)))
        .map(|(.., q)| q)
}
