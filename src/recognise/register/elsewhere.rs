//! Walls that both drawings show, but not in one place: too far apart to match, too near to be two walls.

use geo::Coord;

use super::matching::{Match, SKEW, Seg, Walls};
use super::similarity::Similarity;
use super::{APART, SAME};
use crate::recognise::shape::{dot, left_of};

/// A wall of the second drawing and how far from it the plan has it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Elsewhere {
    /// The middle of the plan's wall.
    pub at: Coord,
    /// Over which both run side by side, and how far apart, inches.
    pub length: f64,
    pub by: f64,
}

/// Least of a wall's length that is left over, for it to count as unmatched, and that lies beside the other.
const MOST_OF: f64 = 0.5;

/// Each wall that stands elsewhere, the longest first; both faces of one wall are one.
pub(super) fn elsewhere(ours: &Walls, theirs: &[Seg], t: &Similarity, matches: &[Match]) -> Vec<Elsewhere> {
    let left = |matched: f64, length: f64| matched < (1.0 - MOST_OF) * length;
    let of = |own: &dyn Fn(&Match) -> bool| matches.iter().filter(|m| own(m)).map(Match::length).sum::<f64>();
    let open: Vec<&Seg> = (ours.segs.iter().enumerate())
        .filter(|(i, s)| left(of(&|m| m.ours == *i), s.length))
        .map(|(_, s)| s)
        .collect();
    let mut found: Vec<Elsewhere> = Vec::new();
    for (k, seg) in theirs.iter().enumerate() {
        let Some(seen) = seg.through(t).filter(|s| left(of(&|m| m.theirs == k), s.length)) else {
            continue;
        };
        let beside = (open.iter()).filter_map(|our| beside(our, &seen));
        found.extend(beside.min_by(|a, b| a.by.total_cmp(&b.by)));
    }
    found.sort_by(|a, b| {
        (b.length.total_cmp(&a.length))
            .then(a.at.x.total_cmp(&b.at.x))
            .then(a.at.y.total_cmp(&b.at.y))
    });
    let mut walls: Vec<Elsewhere> = Vec::new();
    for one in found {
        let near = |w: &Elsewhere| {
            let d = w.at - one.at;
            dot(d, d).sqrt() < APART
        };
        if !walls.iter().any(near) {
            walls.push(one);
        }
    }
    walls
}

fn beside(our: &Seg, their: &Seg) -> Option<Elsewhere> {
    let normal = left_of(our.along);
    if dot(their.along, normal).abs() > SKEW {
        return None;
    }
    let station = |p: Coord| dot(p - our.a, our.along);
    let (s, e) = (station(their.a), station(their.b));
    let length = s.max(e).min(our.length) - s.min(e).max(0.0);
    let by = dot((their.a + their.b) * 0.5 - our.a, normal).abs();
    let long = length >= MOST_OF * our.length.max(their.length);
    (long && by > SAME && by < APART).then_some(Elsewhere {
        at: (our.a + our.b) * 0.5,
        length,
        by,
    })
}
