//! Walls drawn with their finish in one drawing and without it in the other: every face is off by the thickness of the board,
//! towards the wall's middle or away from it, and the centrelines agree.
//!
//! Words: a wall's *mate* is its other face, the nearest that runs beside it as far off as a wall is thick. The *board* is how
//! much nearer to the middle their faces lie, the same at every face; below 0 it is how much further out.

use geo::Coord;

use super::matching::{Match, SKEW, Seg};
use crate::recognise::shape::{cross, dot, left_of};

/// How thick a wall is, face to face, inches: a stud laid flat to a double wall with its finishes (common practice).
const THICK: std::ops::RangeInclusive<f64> = 1.4..=16.0;
/// A board and less is no finish, inches; two layers of 5/8 in board are the most (common practice).
const BOARD: std::ops::RangeInclusive<f64> = 0.1..=1.25;
/// Faces differ from the board by no more, inches.
const EVEN: f64 = 1.0 / 16.0;
/// So much of the length that is matched has to say so.
const SHARE: f64 = 0.8;

/// On which side of each wall's face its mate lies: 1 to the left, -1 to the right, 0 where it has none.
pub fn mates(segs: &[Seg]) -> Vec<f64> {
    let mut order: Vec<(f64, usize)> = segs
        .iter()
        .enumerate()
        .map(|(i, s)| {
            let along = crate::geom::canonical(s.along);
            (along.y.atan2(along.x), i)
        })
        .collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let mut sides = vec![0.0; segs.len()];
    let mut start = 0;
    while start < order.len() {
        let from = order[start].0;
        let end = order.partition_point(|o| o.0 <= from + SKEW);
        of_one_direction(segs, &order[start..end], &mut sides);
        start = end.max(start + 1);
    }
    sides
}

fn of_one_direction(segs: &[Seg], of_one: &[(f64, usize)], sides: &mut [f64]) {
    let Some(&(_, first)) = of_one.first() else {
        return;
    };
    let normal = left_of(crate::geom::canonical(segs[first].along));
    let middle = |i: usize| (segs[i].a + segs[i].b) * 0.5;
    let mut offsets: Vec<(f64, usize)> = of_one.iter().map(|&(_, i)| (dot(middle(i), normal), i)).collect();
    offsets.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    for &(at, i) in &offsets {
        let low = offsets.partition_point(|o| o.0 < at - THICK.end());
        let near = offsets[low..].iter().take_while(|o| o.0 <= at + THICK.end());
        let mate = near
            .filter(|(off, j)| THICK.contains(&(off - at).abs()) && beside(&segs[i], &segs[*j]))
            .min_by(|a, b| (a.0 - at).abs().total_cmp(&(b.0 - at).abs()));
        if let Some((_, j)) = mate {
            sides[i] = cross(segs[i].along, middle(*j) - segs[i].a).signum();
        }
    }
}

/// Whether two faces run beside each other over half of the shorter.
fn beside(a: &Seg, b: &Seg) -> bool {
    let station = |p: Coord| dot(p - a.a, a.along);
    let (s, e) = (station(b.a), station(b.b));
    let (low, high) = (s.min(e).max(0.0), s.max(e).min(a.length));
    high - low >= 0.5 * a.length.min(b.length)
}

/// The board by which all faces are off alike, by what their walls' mates are; `None` where they are not.
pub fn board(matches: &[Match], mates: &[f64]) -> Option<f64> {
    let of_wall = |m: &&Match| mates.get(m.ours).is_some_and(|side| *side != 0.0);
    let mut offs: Vec<(f64, f64)> = (matches.iter().filter(of_wall))
        .map(|m| ((m.off.0 + m.off.1) / 2.0 * mates[m.ours], m.length()))
        .collect();
    offs.sort_by(|a, b| a.0.total_cmp(&b.0));
    let all: f64 = matches.iter().map(Match::length).sum();
    let half: f64 = offs.iter().map(|o| o.1).sum::<f64>() / 2.0;
    let mut sum = 0.0;
    let (median, _) = *offs.iter().find(|o| {
        sum += o.1;
        sum >= half
    })?;
    let even = offs.iter().filter(|o| (o.0 - median).abs() <= EVEN);
    let alike: f64 = even.map(|o| o.1).sum();
    (BOARD.contains(&median.abs()) && alike >= SHARE * all).then_some(median)
}

/// The matches as they are without the board: faces of walls that have a mate are moved by it.
pub fn without(matches: &mut [Match], mates: &[f64], board: f64) {
    for m in matches {
        let by = board * mates.get(m.ours).copied().unwrap_or(0.0);
        m.off = (m.off.0 - by, m.off.1 - by);
    }
}
