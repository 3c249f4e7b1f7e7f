//! Which walls of one drawing lie on which of the other, and the map that fits them best.
//!
//! Words: *ours* are the plan's walls, *theirs* the second drawing's, seen through a
//! [`Similarity`]. Two walls *match* over the stretch on which they run side by side within a
//! tolerance.

use geo::Coord;

use super::similarity::Similarity;
use crate::geom::unit;
use crate::recognise::shape::{cross, dot, left_of};

/// A wall face about a local origin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seg {
    pub a: Coord,
    pub b: Coord,
    pub along: Coord,
    pub length: f64,
}

impl Seg {
    pub fn new(a: Coord, b: Coord) -> Option<Seg> {
        let along = unit(b - a)?;
        let length = dot(b - a, along);
        length.is_finite().then_some(Seg { a, b, along, length })
    }

    pub fn through(&self, t: &Similarity) -> Option<Seg> {
        Seg::new(t.apply(self.a), t.apply(self.b))
    }
}

/// Walls further from parallel than this do not match (sine of 1/2 degree).
pub const SKEW: f64 = 0.0087;
/// A stretch shorter than this is no match (inches): corners of crossing walls.
const SHORTEST: f64 = 4.0;

/// One wall along another.
#[derive(Clone, Copy, Debug)]
pub struct Match {
    pub ours: usize,
    pub theirs: usize,
    /// Both ends of the stretch, on their wall as it is laid upon ours.
    pub from: Coord,
    pub to: Coord,
    /// Signed distance of both ends from our wall's line.
    pub off: (f64, f64),
    /// Square to our wall.
    pub normal: Coord,
}

impl Match {
    pub fn length(&self) -> f64 {
        let d = self.to - self.from;
        dot(d, d).sqrt()
    }
    /// Whether more than half of `other` lies on the same stretch of their wall, and less near.
    fn shares_most_of(&self, other: &Match, along: Coord) -> bool {
        let span = |m: &Match| {
            let (s, e) = (dot(m.from, along), dot(m.to, along));
            (s.min(e), s.max(e))
        };
        let ((a, b), (c, d)) = (span(self), span(other));
        b.min(d) - a.max(c) > 0.5 * (d - c) && self.distance() < other.distance() - 1e-9
    }
    pub fn distance(&self) -> f64 {
        self.off.0.abs().max(self.off.1.abs())
    }
}

/// Walls of one direction, by offset.
struct Family {
    along: Coord,
    /// Offset of the middle, number of the wall; in order.
    offsets: Vec<(f64, usize)>,
    /// How far an end may stand from its own middle's offset.
    slack: f64,
}

/// Our walls, ready to be looked up.
pub struct Walls {
    pub segs: Vec<Seg>,
    /// On which side of each lies the other face of its wall: see [`super::finish`].
    pub mates: Vec<f64>,
    families: Vec<Family>,
}

impl Walls {
    pub fn new(segs: Vec<Seg>) -> Walls {
        let mut order: Vec<usize> = (0..segs.len()).collect();
        let angle = |i: usize| {
            let u = crate::geom::canonical(segs[i].along);
            u.y.atan2(u.x)
        };
        order.sort_by(|&i, &j| angle(i).total_cmp(&angle(j)).then(i.cmp(&j)));
        let mut families: Vec<Family> = Vec::new();
        let mut start = f64::NEG_INFINITY;
        for i in order {
            if angle(i) - start > SKEW || families.is_empty() {
                start = angle(i);
                families.push(Family {
                    along: crate::geom::canonical(segs[i].along),
                    offsets: Vec::new(),
                    slack: 0.0,
                });
            }
            if let Some(f) = families.last_mut() {
                let n = left_of(f.along);
                let middle = dot((segs[i].a + segs[i].b) * 0.5, n);
                f.slack = f.slack.max((dot(segs[i].a, n) - middle).abs());
                f.offsets.push((middle, i));
            }
        }
        for f in &mut families {
            f.offsets.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        }
        Walls {
            mates: super::finish::mates(&segs),
            segs,
            families,
        }
    }

    pub fn total(&self) -> f64 {
        self.segs.iter().map(|s| s.length).sum()
    }

    /// Every match of their walls, laid upon ours, by their number, then ours.
    pub fn matches(&self, theirs: &[Seg], t: &Similarity, tolerance: f64) -> Vec<Match> {
        let mut found = Vec::new();
        for (k, seg) in theirs.iter().enumerate() {
            if let Some(seg) = seg.through(t) {
                let start = found.len();
                self.of_one(k, &seg, tolerance, &mut found);
                // Over one stretch the nearest wall is the one that is meant.
                let mut of_one = found.split_off(start);
                of_one.sort_by(|a, b| a.distance().total_cmp(&b.distance()).then(a.ours.cmp(&b.ours)));
                for m in of_one {
                    if !found[start..].iter().any(|n| n.shares_most_of(&m, seg.along)) {
                        found.push(m);
                    }
                }
            }
        }
        found
    }

    fn of_one(&self, theirs: usize, seg: &Seg, tolerance: f64, found: &mut Vec<Match>) {
        let middle = (seg.a + seg.b) * 0.5;
        for family in &self.families {
            if cross(family.along, seg.along).abs() > 2.0 * SKEW {
                continue;
            }
            let n = left_of(family.along);
            let at = dot(middle, n);
            let reach = tolerance + family.slack + (dot(seg.a, n) - at).abs();
            let first = family.offsets.partition_point(|o| o.0 < at - reach);
            for &(offset, i) in &family.offsets[first..] {
                if offset > at + reach {
                    break;
                }
                let our = &self.segs[i];
                if cross(our.along, seg.along).abs() > SKEW {
                    continue;
                }
                let station = |p: Coord| dot(p - our.a, our.along);
                let (s, e) = (station(seg.a), station(seg.b));
                if (e - s).abs() < 1e-9 {
                    continue;
                }
                let (low, high) = (s.min(e).max(0.0), s.max(e).min(our.length));
                if high - low < SHORTEST {
                    continue;
                }
                let point = |station: f64| seg.a + (seg.b - seg.a) * ((station - s) / (e - s));
                let (from, to) = (point(low), point(high));
                let normal = left_of(our.along);
                let off = (dot(from - our.a, normal), dot(to - our.a, normal));
                if off.0.abs() <= tolerance && off.1.abs() <= tolerance {
                    found.push(Match {
                        ours: i,
                        theirs,
                        from,
                        to,
                        off,
                        normal,
                    });
                }
            }
        }
    }

    /// Length of our walls, and of theirs as laid upon ours, that is matched. No stretch counts twice.
    pub fn covered(&self, matches: &[Match], t: &Similarity, theirs: &[Seg]) -> (f64, f64) {
        let ours = matches.iter().map(|m| {
            let s = &self.segs[m.ours];
            (m.ours, dot(m.from - s.a, s.along), dot(m.to - s.a, s.along))
        });
        let back = matches.iter().filter_map(|m| {
            let s = theirs[m.theirs].through(t)?;
            Some((m.theirs, dot(m.from - s.a, s.along), dot(m.to - s.a, s.along)))
        });
        (union(ours.collect()), union(back.collect()))
    }
}

/// Length covered by intervals of numbered walls.
fn union(intervals: Vec<(usize, f64, f64)>) -> f64 {
    let mut all: Vec<(usize, f64, f64)> = intervals
        .into_iter()
        .map(|(i, s, e)| (i, s.min(e), s.max(e)))
        .collect();
    all.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.total_cmp(&b.2)));
    let (mut sum, mut end, mut wall) = (0.0, f64::NEG_INFINITY, usize::MAX);
    for (i, s, e) in all {
        if i != wall {
            (wall, end) = (i, f64::NEG_INFINITY);
        }
        if e > end {
            sum += e - s.max(end);
            end = e;
        }
    }
    sum
}

/// The map after one step of least squares on the distances of matched walls, weighted by length;
/// `None` where the walls do not fix it (all of one direction).
pub fn improved(t: &Similarity, matches: &[Match], with_scale: bool) -> Option<Similarity> {
    let weight: f64 = matches.iter().map(Match::length).sum();
    if !(weight > 0.0 && weight.is_finite()) {
        return None;
    }
    let centre = matches
        .iter()
        .map(|m| (m.from + m.to) * (0.5 * m.length()))
        .fold(Coord { x: 0.0, y: 0.0 }, |s, p| s + p)
        / weight;
    // Arms of a hundred inches make turn and stretch weigh like shifts.
    const ARM: f64 = 100.0;
    let unknowns = if with_scale { 4 } else { 3 };
    let mut m = [[0.0f64; 5]; 4];
    for hit in matches {
        let w = hit.length() / weight;
        for (p, off) in [(hit.from, hit.off.0), (hit.to, hit.off.1)] {
            let arm = (p - centre) / ARM;
            let n = hit.normal;
            let row = [n.x, n.y, dot(n, left_of(arm)), dot(n, arm)];
            for i in 0..unknowns {
                for j in 0..unknowns {
                    m[i][j] += w * row[i] * row[j];
                }
                m[i][4] -= w * row[i] * off;
            }
        }
    }
    let x = solved(m, unknowns)?;
    let turn = x[2] / ARM;
    let stretch = if with_scale { 1.0 + x[3] / ARM } else { 1.0 };
    let shift = Coord { x: x[0], y: x[1] };
    (turn.abs() < 0.1 && (stretch - 1.0).abs() < 0.1)
        .then(|| t.then(turn, stretch, centre, shift))
        .filter(Similarity::is_finite)
}

/// Gauss with pivots; the right side is column 4.
fn solved(mut m: [[f64; 5]; 4], n: usize) -> Option<[f64; 4]> {
    for c in 0..n {
        let pivot = (c..n).max_by(|&i, &j| m[i][c].abs().total_cmp(&m[j][c].abs()))?;
        if m[pivot][c].abs() < 1e-7 {
            return None;
        }
        m.swap(c, pivot);
        let row = m[c];
        for (r, other) in m.iter_mut().enumerate().take(n) {
            if r != c {
                let k = other[c] / row[c];
                for (o, v) in other.iter_mut().zip(row) {
                    *o -= k * v;
                }
            }
        }
    }
    let mut x = [0.0; 4];
    for i in 0..n {
        x[i] = m[i][4] / m[i][i];
    }
    Some(x)
}
