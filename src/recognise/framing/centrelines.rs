//! Single lines: parts of a member already known, or centrelines of their own.

use std::collections::BTreeSet;

use geo::Coord;
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};

use super::super::shape::{bounds, distance, dot, left_of, unit};
use super::super::tolerance::{INSIDE, SHORTEST_SINGLE};
use super::faces::faces;
use super::{Drawn, Piece, apart};
use crate::flatten::Flat;
use crate::note::Note;
use crate::plan::MemberSource;
use crate::rules::Rules;

/// So many members drawn with their thickness show what the others are.
const FEW: usize = 3;

/// Marks strokes that lie within a member's outline: end caps, webs, a centreline in a double line.
pub fn inside(drawn: &Drawn, used: &mut [bool]) {
    let boxes: Vec<_> = drawn
        .pieces
        .iter()
        .enumerate()
        .filter_map(|(i, p)| {
            let n = left_of(unit(p.to - p.from)?) * (p.thickness / 2.0);
            let (low, high) = bounds([p.from - n, p.from + n, p.to - n, p.to + n])?;
            let low = [low.x - INSIDE, low.y - INSIDE];
            let high = [high.x + INSIDE, high.y + INSIDE];
            Some(GeomWithData::new(Rectangle::from_corners(low, high), i))
        })
        .collect();
    let tree = RTree::bulk_load(boxes);
    for (k, stroke) in drawn.strokes.iter().enumerate() {
        if used[k] {
            continue;
        }
        let point = AABB::from_point([stroke.a.x, stroke.a.y]);
        used[k] = tree.locate_in_envelope_intersecting(point).any(|g| {
            let piece = &drawn.pieces[g.data];
            covers(piece, stroke.a) && covers(piece, stroke.b)
        });
    }
}

fn covers(piece: &Piece, p: Coord) -> bool {
    let Some(u) = unit(piece.to - piece.from) else {
        return false;
    };
    let s = dot(p - piece.from, u);
    let across = dot(p - piece.from, left_of(u)).abs();
    s >= -INSIDE && s <= piece.length() + INSIDE && across <= piece.thickness / 2.0 + INSIDE
}

/// Makes a centreline member of every single line that is long enough and lies as a member does. Its thickness is the
/// rules file's, else the commonest of its layer's other members, else the default. Gives the strokes that lie
/// otherwise.
pub fn singles(
    drawn: &mut Drawn,
    families: &[Coord],
    rules: &Rules,
    used: &mut [bool],
    (flat, notes): (&Flat, &mut Vec<Note>),
) -> BTreeSet<usize> {
    let rest: Vec<usize> = (0..drawn.strokes.len()).filter(|&k| !used[k]).collect();
    if rest.is_empty() {
        return BTreeSet::new();
    }
    let strokes: Vec<_> = rest.iter().map(|&k| drawn.strokes[k].clone()).collect();
    let lone = Drawn {
        origin: drawn.origin,
        layers: Vec::new(),
        kinds: Vec::new(),
        strokes,
        pieces: Vec::new(),
    };
    let mut pieces = Vec::new();
    for ((layer, family), faces) in faces(&lone, families) {
        let u = families[family];
        for face in faces {
            let (from, to) = (face.point(u, face.low), face.point(u, face.high));
            if distance(from, to) < SHORTEST_SINGLE {
                continue;
            }
            let piece = Piece {
                from,
                to,
                thickness: thickness(drawn, layer, family, rules),
                plies: 1,
                kind: drawn.kinds[layer],
                source: MemberSource::Centreline,
                layer,
                item: lone.strokes[face.strokes[0]].item,
                family,
            };
            let strokes = face.strokes.iter().map(|&k| rest[k]).collect();
            pieces.push((piece, strokes));
        }
    }
    let (aside, told) = apart::set_apart(drawn, families, &mut pieces, rules);
    notes.extend(told.into_iter().map(|(note, item)| note.at(flat.place(item))));
    let (pieces, strokes): (Vec<Piece>, Vec<Vec<usize>>) = pieces.into_iter().unzip();
    for k in strokes.into_iter().flatten() {
        used[k] = true;
    }
    if !pieces.is_empty() && !rules.framing.thickness_given {
        notes.push(Note::info(
            "framing-thickness",
            format!(
                "{} member(s) are drawn as single lines: taken as centrelines {} thick; \
                 give [framing] thickness if they are not",
                pieces.len(),
                crate::length::inches_only(pieces[0].thickness)
            ),
        ));
    }
    drawn.pieces.extend(pieces);
    aside
}

/// What the members beside them are drawn at, where [`FEW`] run the same way: a beam says nothing of the
/// joists.
fn thickness(drawn: &Drawn, layer: usize, family: usize, rules: &Rules) -> f64 {
    if rules.framing.thickness_given {
        return rules.framing.thickness;
    }
    let mut drawn_here: Vec<f64> = drawn
        .pieces
        .iter()
        .filter(|p| p.layer == layer && p.family == family && p.source == MemberSource::Drawn)
        .map(|p| p.thickness)
        .collect();
    if drawn_here.len() < FEW {
        return rules.framing.thickness;
    }
    drawn_here.sort_by(f64::total_cmp);
    drawn_here
        .get(drawn_here.len() / 2)
        .copied()
        .unwrap_or(rules.framing.thickness)
}
