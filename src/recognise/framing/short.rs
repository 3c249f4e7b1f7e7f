//! Short things on layers of framing that are no joists: blocking and bridging between them, studs seen from the end.

use std::collections::BTreeMap;

use geo::Coord;
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};

use super::super::classes::Claim;
use super::super::shape::{between_degrees, bounds, point_to_segment};
use super::super::tolerance::BLOCK_LENGTH;
use super::{Drawn, Piece};
use crate::flatten::Flat;
use crate::length::inches_only;
use crate::note::Note;
use crate::plan::{MemberKind, MemberSource};

/// A block ends at members no further from their faces, inches.
const MEETS: f64 = 1.0;
/// It makes at least this angle with them, degrees.
const TURNED: f64 = 20.0;
/// What is shorter and repeats is a stud, inches: a 2x8 is 7 1/4 wide (PS 20).
const STUD: f64 = 8.0;
/// So many of one length repeat, within this, inches.
const REPEATED: usize = 6;
const ONE_LENGTH: f64 = 0.25;

/// Short single lines from member to member are blocks or bridging, where nothing long runs their way.
pub(super) fn between(pieces: &mut [Piece], families: &[Coord]) {
    let mut longest = vec![0.0_f64; families.len()];
    for p in pieces.iter() {
        if let Some(most) = longest.get_mut(p.family) {
            *most = most.max(p.length());
        }
    }
    let may = |p: &Piece| {
        let short = longest.get(p.family).is_some_and(|most| *most < BLOCK_LENGTH);
        short && p.kind == MemberKind::Joist && p.source == MemberSource::Centreline
    };
    if !pieces.iter().any(may) {
        return;
    }
    let carries = |p: &Piece| matches!(p.kind, MemberKind::Joist | MemberKind::Truss);
    let boxes = pieces
        .iter()
        .enumerate()
        .filter(|(_, p)| carries(p) && p.length() >= BLOCK_LENGTH);
    let tree = RTree::bulk_load(
        boxes
            .filter_map(|(i, p)| {
                let (low, high) = bounds([p.from, p.to])?;
                let out = p.thickness / 2.0 + MEETS;
                let (low, high) = ([low.x - out, low.y - out], [high.x + out, high.y + out]);
                Some(GeomWithData::new(Rectangle::from_corners(low, high), i))
            })
            .collect(),
    );
    let ends_at_one = |p: &Piece, end: Coord| {
        let about = AABB::from_point([end.x, end.y]);
        tree.locate_in_envelope_intersecting(about).any(|g| {
            let q = &pieces[g.data];
            between_degrees(p.to - p.from, q.to - q.from) >= TURNED
                && point_to_segment(end, q.from, q.to) <= q.thickness / 2.0 + MEETS
        })
    };
    let found: Vec<usize> = (pieces.iter().enumerate())
        .filter(|(_, p)| may(p) && ends_at_one(p, p.from) && ends_at_one(p, p.to))
        .map(|(i, _)| i)
        .collect();
    for i in found {
        pieces[i].kind = MemberKind::Block;
    }
}

/// Takes out studs and posts seen from the end: too short for any joist, and many of one length.
pub(super) fn studs(flat: &Flat, drawn: &mut Drawn, claims: &mut [Claim], notes: &mut Vec<Note>) {
    let is_short = |p: &Piece| p.kind == MemberKind::Joist && p.length() < STUD;
    let mut by_layer: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (i, p) in drawn.pieces.iter().enumerate().filter(|(_, p)| is_short(p)) {
        by_layer.entry(p.layer).or_default().push(i);
    }
    let mut out = vec![false; drawn.pieces.len()];
    for (layer, mut short) in by_layer {
        short.sort_by(|&a, &b| {
            let (a, b) = (&drawn.pieces[a], &drawn.pieces[b]);
            a.length().total_cmp(&b.length()).then(a.item.cmp(&b.item))
        });
        let mut start = 0;
        for end in 1..=short.len() {
            let long = |k: usize| drawn.pieces[short[k]].length();
            if end < short.len() && long(end) - long(start) <= ONE_LENGTH {
                continue;
            }
            if end - start >= REPEATED {
                let first = drawn.pieces[short[start]].item;
                notes.push(
                    Note::warning(
                        "framing-studs",
                        format!(
                            "{} pieces {} long on framing layer {} are too short for joists: they are taken for studs or posts \
                             seen from the end and left out; draw them on a layer of walls",
                            end - start,
                            inches_only(long(start)),
                            drawn.layers[layer]
                        ),
                    )
                    .at(flat.place(first)),
                );
                short[start..end].iter().for_each(|&i| out[i] = true);
            }
            start = end;
        }
    }
    let mut n = 0;
    drawn.pieces.retain(|p| {
        n += 1;
        if out[n - 1] && claims[p.item] == Claim::Member {
            claims[p.item] = Claim::None;
        }
        !out[n - 1]
    });
}
