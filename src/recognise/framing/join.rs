//! Joining: pieces of one member broken at walls, and plies that touch.

use geo::Coord;
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};

use super::super::shape::{between_degrees, bounds, distance, dot, left_of, point_to_segment, unit};
use super::super::tolerance::{
    BLOCK_LENGTH, BREAK, COLLINEAR, CORNER, SAME_THICKNESS, THICKEST_OUTLINE, THINNEST, THINNEST_PLY, TOUCH,
};
use super::Piece;
use crate::plan::MemberSource;

/// A beam crosses the line of the members it carries at no less than this (degrees).
const ACROSS: f64 = 30.0;
/// It fills so much of the gap between those on its two sides, hangers and shims aside.
const FILLS: f64 = 0.75;

/// Joins pieces on one line, of one thickness and kind, that overlap or stand no further apart
/// than a wall is thick. What stops at both sides of a beam hangs from it and stays apart.
pub fn join(pieces: &mut Vec<Piece>, families: &[Coord]) {
    let slack = 2.0 * COLLINEAR;
    let beams = Strips::new(pieces);
    merge(pieces, families, slack, |a, b, gap| {
        let alike = (a.thickness - b.thickness).abs() <= SAME_THICKNESS && a.plies == b.plies;
        let blocks = a.length() < BLOCK_LENGTH && b.length() < BLOCK_LENGTH && gap > CORNER;
        alike && gap <= BREAK && !blocks && !(gap > CORNER && beams.fill(a, b, gap))
    });
}

/// Pieces by place.
struct Strips {
    pieces: Vec<Piece>,
    tree: RTree<GeomWithData<Rectangle<[f64; 2]>, usize>>,
}

impl Strips {
    fn new(pieces: &[Piece]) -> Self {
        let boxes = pieces.iter().enumerate().filter_map(|(i, p)| {
            let out = left_of(unit(p.to - p.from)?) * (p.thickness / 2.0);
            let (low, high) = bounds([p.from - out, p.from + out, p.to - out, p.to + out])?;
            Some(GeomWithData::new(
                Rectangle::from_corners([low.x, low.y], [high.x, high.y]),
                i,
            ))
        });
        Strips {
            tree: RTree::bulk_load(boxes.collect()),
            pieces: pieces.to_vec(),
        }
    }

    /// Whether a piece that runs across fills the gap between two pieces on one line.
    fn fill(&self, a: &Piece, b: &Piece, gap: f64) -> bool {
        let ends = [a.from, a.to].into_iter().flat_map(|p| [(p, b.from), (p, b.to)]);
        let near = ends.min_by(|p, q| distance(p.0, p.1).total_cmp(&distance(q.0, q.1)));
        let Some(middle) = near.map(|(p, q)| (p + q) * 0.5) else {
            return false;
        };
        let about = AABB::from_point([middle.x, middle.y]);
        self.tree.locate_in_envelope_intersecting(about).any(|strip| {
            let p = &self.pieces[strip.data];
            let across = between_degrees(p.to - p.from, a.to - a.from);
            across >= ACROSS
                && p.thickness >= FILLS * gap * across.to_radians().sin()
                && point_to_segment(middle, p.from, p.to) <= p.thickness / 2.0
        })
    }
}

/// Takes the pieces out, each with its offset, low and high end, by family and kind, then offset,
/// then low end.
fn in_order(pieces: &mut Vec<Piece>, families: &[Coord]) -> Vec<(f64, f64, f64, Piece)> {
    let mut keyed: Vec<_> = std::mem::take(pieces)
        .into_iter()
        .map(|p| {
            let (offset, low, high) = p.span(families[p.family]);
            (offset, low, high, p)
        })
        .collect();
    keyed.sort_by(|a, b| {
        (a.3.family, a.3.kind)
            .cmp(&(b.3.family, b.3.kind))
            .then(a.0.total_cmp(&b.0))
            .then(a.1.total_cmp(&b.1))
            .then(a.3.item.cmp(&b.3.item))
    });
    keyed
}

/// Pieces by family, then bands of one offset, then along; neighbours that `may` join do.
fn merge(pieces: &mut Vec<Piece>, families: &[Coord], slack: f64, may: impl Fn(&Piece, &Piece, f64) -> bool) {
    let mut keyed = in_order(pieces, families);
    let mut start = 0;
    while start < keyed.len() {
        let mut end = start + 1;
        while end < keyed.len()
            && (keyed[end].3.family, keyed[end].3.kind) == (keyed[start].3.family, keyed[start].3.kind)
            && keyed[end].0 - keyed[start].0 <= slack
        {
            end += 1;
        }
        let band = &mut keyed[start..end];
        band.sort_by(|a, b| {
            a.1.total_cmp(&b.1)
                .then(a.2.total_cmp(&b.2))
                .then(a.3.item.cmp(&b.3.item))
        });
        let base = pieces.len();
        for (_, low, high, piece) in band.iter() {
            let u = families[piece.family];
            let found = pieces[base..].iter_mut().rev().take(8).find(|p| {
                let (_, _, end) = p.span(u);
                may(p, piece, low - end)
            });
            match found {
                Some(p) => {
                    let (_, from, to) = p.span(u);
                    if *high > to {
                        *p = spanning(p, piece, u, from, *high);
                    }
                    p.item = p.item.min(piece.item);
                    p.source = p.source.min(piece.source);
                }
                None => pieces.push(piece.clone()),
            }
        }
        start = end;
    }
}

/// `a` lengthened to the interval, its ends those of `a` and `b` that reach furthest.
fn spanning(a: &Piece, b: &Piece, u: Coord, low: f64, high: f64) -> Piece {
    let ends = [a.from, a.to, b.from, b.to];
    let pick = |s: f64| {
        ends.into_iter()
            .min_by(|p, q| (dot(*p, u) - s).abs().total_cmp(&(dot(*q, u) - s).abs()))
    };
    let mut joined = a.clone();
    if let (Some(from), Some(to)) = (pick(low), pick(high)) {
        (joined.from, joined.to) = (from, to);
    }
    joined
}

/// Pieces side by side that are together thicker than any member: boards of a deck or a floor.
pub(super) struct Boards {
    /// Each board as it was read.
    pub pieces: Vec<Piece>,
    /// All of them together, across.
    pub across: f64,
}

/// Makes one member of parallel pieces that touch over most of their length. Those that are together too
/// thick for one are taken out and given back.
pub fn plies(pieces: &mut Vec<Piece>, families: &[Coord]) -> Vec<Boards> {
    let mut boards = Vec::new();
    let mut keyed = in_order(pieces, families);
    let mut gone = vec![false; keyed.len()];
    for i in 0..keyed.len() {
        if gone[i] {
            continue;
        }
        let mut group = vec![i];
        let mut k = 0;
        while k < group.len() {
            let below = group[k];
            k += 1;
            for above in below + 1..keyed.len() {
                let far = keyed[above].0 - keyed[below].0 > 12.0 + TOUCH;
                if far || !same_kind(&keyed[above].3, &keyed[below].3) {
                    break;
                }
                if !gone[above] && !group.contains(&above) && touches(&keyed[below], &keyed[above]) {
                    group.push(above);
                }
            }
        }
        for &g in &group[1..] {
            gone[g] = true;
        }
        let u = families[keyed[i].3.family];
        let members: Vec<&(f64, f64, f64, Piece)> = group.iter().map(|&g| &keyed[g]).collect();
        let built = build(&members, u);
        if group.len() > 2 && built.thickness > THICKEST_OUTLINE {
            gone[i] = true;
            boards.push(Boards {
                pieces: group.iter().map(|&g| keyed[g].3.clone()).collect(),
                across: built.thickness,
            });
            continue;
        }
        keyed[i].3 = built;
    }
    pieces.extend(
        keyed
            .into_iter()
            .zip(gone)
            .filter(|(_, gone)| !gone)
            .map(|(k, _)| k.3),
    );
    boards
}

fn same_kind(a: &Piece, b: &Piece) -> bool {
    (a.family, a.kind) == (b.family, b.kind)
}

/// Whether `b`, above `a`, lies against it over most of the longer one's length.
fn touches(a: &(f64, f64, f64, Piece), b: &(f64, f64, f64, Piece)) -> bool {
    let gap = (b.0 - b.3.thickness / 2.0) - (a.0 + a.3.thickness / 2.0);
    let overlap = a.2.min(b.2) - a.1.max(b.1);
    let longer = (a.2 - a.1).max(b.2 - b.1);
    // Two centrelines closer than a member is thick are drawn loosely, but stand side by side.
    let loose = a.3.source == MemberSource::Centreline && b.3.source == MemberSource::Centreline;
    let least = if loose {
        -0.75 * a.3.thickness.min(b.3.thickness)
    } else {
        -TOUCH
    };
    gap <= TOUCH && gap >= least && overlap >= 0.7 * longer
}

fn build(group: &[&(f64, f64, f64, Piece)], u: Coord) -> Piece {
    let mut piece = group[0].3.clone();
    if group.len() == 1 {
        return piece;
    }
    let bottom = group
        .iter()
        .map(|g| g.0 - g.3.thickness / 2.0)
        .fold(f64::INFINITY, f64::min);
    let top = group
        .iter()
        .map(|g| g.0 + g.3.thickness / 2.0)
        .fold(f64::NEG_INFINITY, f64::max);
    let low = group.iter().map(|g| g.1).fold(f64::INFINITY, f64::min);
    let high = group.iter().map(|g| g.2).fold(f64::NEG_INFINITY, f64::max);
    let centre = left_of(u) * ((bottom + top) / 2.0);
    piece.from = centre + u * low;
    piece.to = centre + u * high;
    piece.thickness = top - bottom;
    let plies: usize = group
        .iter()
        .filter(|g| g.3.thickness >= THINNEST_PLY)
        .map(|g| g.3.plies)
        .sum();
    // Parts that are all thinner than a ply are flanges and webs: each I-joist has one web.
    let webs = group.iter().filter(|g| g.3.thickness < THINNEST).count();
    piece.plies = if plies == 0 { webs.max(1) } else { plies };
    piece.item = group.iter().map(|g| g.3.item).min().unwrap_or(piece.item);
    piece.source = group.iter().map(|g| g.3.source).min().unwrap_or(piece.source);
    piece
}
