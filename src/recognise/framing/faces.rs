//! Double lines: which faces stand opposite each other and make a member.
//!
//! Words: a *face* is one or more strokes on one line; a *slot* is the stretch of two faces that
//! make one ply. The common thickness of a layer decides between a member and the air beside it.

use std::collections::BTreeMap;

use geo::Coord;
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};

use super::super::shape::{canonical, dot, left_of, length, unit};
use super::super::tolerance::{
    COLLINEAR, CORNER, LONGEST_DASH, SAME_THICKNESS, SHORTEST_FACE, THICKEST, THICKEST_OUTLINE, THINNEST,
};
use super::{Drawn, Piece, families};
use crate::plan::MemberSource;

/// A line is drawn in dashes from so many on.
const FEWEST_DASHES: usize = 4;
/// So many timbers show by their even width that lines so far apart are two faces, with so many times the width between them.
const FEWEST_TIMBERS: usize = 3;
const AIR: f64 = 3.0;

/// Strokes on one line, as one.
#[derive(Clone, Debug)]
pub struct Face {
    /// A point on it and its direction, near the family's.
    pub at: Coord,
    pub along: Coord,
    /// Interval along the family's direction.
    pub low: f64,
    pub high: f64,
    pub strokes: Vec<usize>,
}

impl Face {
    /// The point of its line at position `s` along `u`.
    pub fn point(&self, u: Coord, s: f64) -> Coord {
        self.at + self.along * ((s - dot(self.at, u)) / dot(self.along, u))
    }

    /// Where it lies across `u` at position `s` along it.
    pub fn offset(&self, u: Coord, s: f64) -> f64 {
        dot(self.point(u, s), left_of(u))
    }

    fn length(&self) -> f64 {
        self.high - self.low
    }
}

/// Two faces that may make a ply; `i` lies below `j`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pair {
    pub i: usize,
    pub j: usize,
    pub gap: f64,
    pub low: f64,
    pub high: f64,
}

struct Slot {
    pair: Pair,
    low: f64,
    high: f64,
}

/// Makes pieces of all double lines; their strokes are marked in `used`. Where a layer and
/// direction is mostly single lines, nothing is paired: those are centrelines.
pub(super) fn pair(drawn: &mut Drawn, families: &[Coord], used: &mut [bool]) {
    let groups = faces(drawn, families);
    let pairs: Vec<Vec<Pair>> = groups
        .iter()
        .map(|((_, f), faces)| match pairs(faces, families[*f]) {
            found if found.is_empty() => timbers(faces, families[*f]),
            found => found,
        })
        .collect();
    let common = common_thickness(drawn, &groups, &pairs);
    for (((layer, family), faces), pairs) in groups.iter().zip(pairs) {
        let mut has = vec![false; faces.len()];
        for p in pairs.iter().filter(|p| p.gap >= THINNEST) {
            has[p.i] = true;
            has[p.j] = true;
        }
        let paired = has.iter().filter(|h| **h).count();
        if faces.len() - paired > 2 * paired {
            continue;
        }
        let u = families[*family];
        let slots = slots(faces, pairs, common.get(layer).copied());
        let slots = extend(faces, slots);
        for slot in slots {
            let Pair { i, j, .. } = slot.pair;
            let middle = |s: f64| (faces[i].point(u, s) + faces[j].point(u, s)) * 0.5;
            let half = (slot.pair.low + slot.pair.high) / 2.0;
            for &k in faces[i].strokes.iter().chain(&faces[j].strokes) {
                let stroke = &drawn.strokes[k];
                let (s, t) = (dot(stroke.a, u), dot(stroke.b, u));
                if s.max(t) > slot.low - CORNER && s.min(t) < slot.high + CORNER {
                    used[k] = true;
                }
            }
            let item = drawn.strokes[faces[i].strokes[0]]
                .item
                .min(drawn.strokes[faces[j].strokes[0]].item);
            drawn.pieces.push(Piece {
                from: middle(slot.low),
                to: middle(slot.high),
                thickness: faces[j].offset(u, half) - faces[i].offset(u, half),
                plies: 1,
                kind: drawn.kinds[*layer],
                source: MemberSource::Drawn,
                layer: *layer,
                item,
                family: *family,
            });
        }
    }
}

/// Faces by layer and family, strokes on one line that touch or overlap made one.
pub(super) fn faces(drawn: &Drawn, families: &[Coord]) -> BTreeMap<(usize, usize), Vec<Face>> {
    let mut groups: BTreeMap<(usize, usize), Vec<Face>> = BTreeMap::new();
    let mut short: BTreeMap<(usize, usize), Vec<Face>> = BTreeMap::new();
    for (k, stroke) in drawn.strokes.iter().enumerate() {
        let d = stroke.b - stroke.a;
        let Some(along) = unit(d) else {
            continue;
        };
        let Some(family) = families::of(families, along) else {
            continue;
        };
        let u = families[family];
        let (s, t) = (dot(stroke.a, u), dot(stroke.b, u));
        let kind = if length(d) >= SHORTEST_FACE {
            &mut groups
        } else {
            &mut short
        };
        kind.entry((stroke.layer, family)).or_default().push(Face {
            at: (stroke.a + stroke.b) * 0.5,
            along: canonical(along),
            low: s.min(t),
            high: s.max(t),
            strokes: vec![k],
        });
    }
    for (key, faces) in &mut groups {
        let u = families[key.1];
        *faces = collinear(std::mem::take(faces), u);
        if let Some(short) = short.get_mut(key) {
            end_dashes(drawn, faces, short, u);
        }
    }
    groups
}

/// Gives faces that are drawn in dashes the last one of each end, which is as short as what is left of the line.
fn end_dashes(drawn: &Drawn, faces: &mut [Face], short: &mut [Face], u: Coord) {
    let n = left_of(u);
    let key = |f: &Face| dot(f.at, n);
    short.sort_by(|a, b| key(a).total_cmp(&key(b)).then(a.low.total_cmp(&b.low)));
    for face in faces.iter_mut().filter(|f| f.strokes.len() >= FEWEST_DASHES) {
        let mut dashes: Vec<(f64, f64)> = (face.strokes.iter())
            .map(|&k| (dot(drawn.strokes[k].a, u), dot(drawn.strokes[k].b, u)))
            .map(|(s, t)| (s.min(t), s.max(t)))
            .collect();
        dashes.sort_by(|a, b| a.0.total_cmp(&b.0));
        let [(_, first), (second, _), .., (_, last_but_one), (last, _)] = dashes[..] else {
            continue;
        };
        let (before, after) = (second - first, last - last_but_one);
        let offset = face.offset(u, (face.low + face.high) / 2.0);
        let from = short.partition_point(|s| key(s) < offset - COLLINEAR);
        let on_line = short[from..].iter().take_while(|s| key(s) <= offset + COLLINEAR);
        let (low, high) = (face.low, face.high);
        for dash in on_line {
            let follows = |gap: f64, open: f64| open > CORNER && (gap - open).abs() <= CORNER;
            if follows(dash.low - high, after) || follows(low - dash.high, before) {
                face.low = face.low.min(dash.low);
                face.high = face.high.max(dash.high);
                face.strokes.extend(&dash.strokes);
            }
        }
    }
}

/// Joins faces on one line that touch or overlap. Sorted by offset, then start.
fn collinear(mut faces: Vec<Face>, u: Coord) -> Vec<Face> {
    let n = left_of(u);
    let key = |f: &Face| dot(f.at, n);
    faces.sort_by(|a, b| key(a).total_cmp(&key(b)).then(a.low.total_cmp(&b.low)));
    let mut joined: Vec<Face> = Vec::with_capacity(faces.len());
    let mut start = 0;
    while start < faces.len() {
        let first = key(&faces[start]);
        let mut end = start + 1;
        while end < faces.len() && key(&faces[end]) - first <= COLLINEAR {
            end += 1;
        }
        let band = &mut faces[start..end];
        band.sort_by(|a, b| a.low.total_cmp(&b.low).then(a.high.total_cmp(&b.high)));
        let base = joined.len();
        let mut previous = 0.0;
        for face in band.iter() {
            let long = face.length();
            match joined[base..].last_mut() {
                Some(last)
                    if face.low <= last.high + CORNER || dashed(previous, face.low - last.high, long) =>
                {
                    if long > last.length() {
                        (last.at, last.along) = (face.at, face.along);
                    }
                    last.high = last.high.max(face.high);
                    last.strokes.extend(&face.strokes);
                }
                _ => joined.push(face.clone()),
            }
            previous = long;
        }
        start = end;
    }
    joined
}

/// Whether two strokes on one line, and the gap between them, are dashes of one broken line that
/// was saved as separate lines. Blocks in neighbouring bays leave a smaller share open: 1 1/2 of
/// 10 1/2 in at the least spacing.
fn dashed(before: f64, gap: f64, after: f64) -> bool {
    let alike = (before - after).abs() <= 0.5 * before.max(after);
    alike && before.max(after) <= LONGEST_DASH && gap >= 0.18 * after && gap <= 1.5 * after
}

/// All pairs of faces that may make a ply: they overlap, do not spread, and are no further apart
/// than a member is thick.
pub fn pairs(faces: &[Face], u: Coord) -> Vec<Pair> {
    let offset = |f: &Face| f.offset(u, (f.low + f.high) / 2.0);
    let tree = RTree::bulk_load(
        faces
            .iter()
            .enumerate()
            .map(|(i, f)| {
                let o = offset(f);
                GeomWithData::new(Rectangle::from_corners([f.low, o], [f.high, o]), i)
            })
            .collect(),
    );
    let mut found = Vec::new();
    for (i, face) in faces.iter().enumerate() {
        let o = offset(face);
        let envelope = AABB::from_corners([face.low, o - 1.0], [face.high, o + THICKEST + 1.0]);
        for other in tree.locate_in_envelope_intersecting(envelope) {
            if other.data != i {
                found.extend(opposite(faces, i, other.data, u));
            }
        }
    }
    found.sort_by_key(|p| (p.i, p.j));
    found
}

/// Pairs of faces further apart than most members are thick: three and more of one width, with several times as much air
/// between one and the next.
fn timbers(faces: &[Face], u: Coord) -> Vec<Pair> {
    let offset = |f: &Face| f.offset(u, (f.low + f.high) / 2.0);
    let mut order: Vec<usize> = (0..faces.len()).collect();
    order.sort_by(|&a, &b| offset(&faces[a]).total_cmp(&offset(&faces[b])).then(a.cmp(&b)));
    let (each, rest) = order.as_chunks::<2>();
    if each.len() < FEWEST_TIMBERS || !rest.is_empty() {
        return Vec::new();
    }
    let found: Vec<Pair> = (each.iter())
        .filter_map(|&[i, j]| no_further(faces, (i, j), u, THICKEST_OUTLINE))
        .collect();
    let width = found.first().map_or(0.0, |p| p.gap);
    let even = found.len() == each.len() && found.iter().all(|p| (p.gap - width).abs() <= SAME_THICKNESS);
    let apart = |two: &[[usize; 2]]| match two {
        [[_, top], [bottom, _]] => offset(&faces[*bottom]) - offset(&faces[*top]) >= AIR * width,
        _ => false,
    };
    match even && each.windows(2).all(apart) {
        true => found,
        false => Vec::new(),
    }
}

/// The pair that face `j` above face `i` makes, if it makes one.
pub fn opposite(faces: &[Face], i: usize, j: usize, u: Coord) -> Option<Pair> {
    no_further(faces, (i, j), u, THICKEST)
}

/// The same of faces no further apart than `most`, inches.
fn no_further(faces: &[Face], (i, j): (usize, usize), u: Coord, most: f64) -> Option<Pair> {
    let (a, b) = (&faces[i], &faces[j]);
    let (low, high) = (a.low.max(b.low), a.high.min(b.high));
    let overlap = high - low;
    let shorter = a.length().min(b.length());
    if overlap < SHORTEST_FACE - CORNER || overlap < 0.25 * shorter {
        return None;
    }
    let gap_at = |s: f64| b.offset(u, s) - a.offset(u, s);
    let (g0, g1, gap) = (gap_at(low), gap_at(high), gap_at((low + high) / 2.0));
    let apart = gap > COLLINEAR && gap <= most && overlap >= 2.0 * gap;
    (apart && (g0 - g1).abs() <= 0.25_f64.min(0.2 * gap)).then_some(Pair { i, j, gap, low, high })
}

/// The commonest gap between nearest faces, and thickness of outlines, on each layer.
fn common_thickness(
    drawn: &Drawn,
    groups: &BTreeMap<(usize, usize), Vec<Face>>,
    pairs: &[Vec<Pair>],
) -> BTreeMap<usize, f64> {
    let mut votes: BTreeMap<usize, BTreeMap<i64, usize>> = BTreeMap::new();
    let mut vote = |layer: usize, gap: f64| {
        *votes
            .entry(layer)
            .or_default()
            .entry((gap * 32.0).round() as i64)
            .or_insert(0) += 1;
    };
    for (((layer, _), faces), pairs) in groups.iter().zip(pairs) {
        let mut nearest = vec![f64::INFINITY; faces.len()];
        for p in pairs.iter().filter(|p| p.gap >= THINNEST) {
            for k in [p.i, p.j] {
                nearest[k] = nearest[k].min(p.gap);
            }
        }
        for gap in nearest.into_iter().filter(|g| g.is_finite()) {
            vote(*layer, gap);
        }
    }
    for piece in &drawn.pieces {
        vote(piece.layer, piece.thickness);
    }
    votes
        .into_iter()
        .filter_map(|(layer, votes)| {
            let most = votes.iter().max_by(|a, b| a.1.cmp(b.1).then(b.0.cmp(a.0)))?;
            Some((layer, *most.0 as f64 / 32.0))
        })
        .collect()
}

/// Chooses among the pairs. Lines closer than any member is thin (webs, flanges) always belong
/// together; then the layer's common thickness; then the nearest. A pair beside a slot of another
/// gap is the air between two members.
fn slots(faces: &[Face], mut pairs: Vec<Pair>, common: Option<f64>) -> Vec<Slot> {
    let rank = |p: &Pair| {
        if p.gap < THINNEST {
            2
        } else if common.is_some_and(|t| (p.gap - t).abs() <= SAME_THICKNESS) {
            0
        } else {
            1
        }
    };
    pairs.sort_by(|a, b| {
        let close = |p: &Pair| if rank(p) == 0 { 0.0 } else { p.gap };
        (rank(a).cmp(&rank(b)))
            .then(close(a).total_cmp(&close(b)))
            .then((b.high - b.low).total_cmp(&(a.high - a.low)))
            .then((a.i, a.j).cmp(&(b.i, b.j)))
    });
    // Slots above and below each face: interval and gap.
    let mut above: Vec<Vec<(f64, f64, f64)>> = vec![Vec::new(); faces.len()];
    let mut below: Vec<Vec<(f64, f64, f64)>> = vec![Vec::new(); faces.len()];
    let taken = |used: &[(f64, f64, f64)], low: f64, high: f64, other_than: Option<f64>| {
        used.iter()
            .filter(|(_, _, gap)| other_than.is_none_or(|g| (gap - g).abs() > SAME_THICKNESS))
            .map(|(l, h, _)| (h.min(high) - l.max(low)).max(0.0))
            .sum::<f64>()
            > 0.25 * (high - low)
    };
    let mut chosen = Vec::new();
    for pair in pairs {
        let Pair { i, j, gap, low, high } = pair;
        let thin = gap < THINNEST;
        if taken(&above[i], low, high, None) || taken(&below[j], low, high, None) {
            continue;
        }
        let air = taken(&below[i], low, high, Some(gap)) || taken(&above[j], low, high, Some(gap));
        let lone_thin = below[i].is_empty() && above[j].is_empty();
        if (!thin && air) || (thin && lone_thin) {
            continue;
        }
        above[i].push((low, high, gap));
        below[j].push((low, high, gap));
        chosen.push(Slot { pair, low, high });
    }
    chosen
}

/// Lets each slot take the rest of its faces where no other slot has it: mitred ends, and second
/// faces that are partly hidden.
fn extend(faces: &[Face], mut slots: Vec<Slot>) -> Vec<Slot> {
    let mut of_face: Vec<Vec<usize>> = vec![Vec::new(); faces.len()];
    for (n, slot) in slots.iter().enumerate() {
        of_face[slot.pair.i].push(n);
        of_face[slot.pair.j].push(n);
    }
    for (face, list) in faces.iter().zip(&mut of_face) {
        list.sort_by(|&a, &b| slots[a].pair.low.total_cmp(&slots[b].pair.low).then(a.cmp(&b)));
        let mut covered = face.low;
        let mut last: Option<usize> = None;
        for &n in list.iter() {
            let (low, high) = (slots[n].pair.low, slots[n].pair.high);
            if low > covered {
                // The stretch before this slot goes to the slot before it, if there is one.
                match last {
                    Some(m) => slots[m].high = slots[m].high.max(low),
                    None => slots[n].low = slots[n].low.min(covered),
                }
            }
            if high > covered || last.is_none() {
                covered = covered.max(high);
                last = Some(n);
            }
        }
        if let Some(m) = last {
            slots[m].high = slots[m].high.max(face.high);
        }
    }
    slots
}
