//! What clips of INSERTs leave of their blocks.
//!
//! A clip hides what of a block lies beyond a ring. Straight lines are cut at it, what is round or written stays where its middle
//! is inside, and so does a symbol in the block that is no larger than [`WHOLE`]: half a light is none.

use geo::Coord;

use super::matrix::Affine;
use super::{Flat, Item, PathVertex, Prim};
use crate::drawing;
use crate::geom::bounds;
use crate::geom::ring::{holds, inside};
use crate::note::{Note, Place};

/// Symbols up to this size are shown whole or not at all, inches.
const WHOLE: f64 = 48.0;

/// Further pieces of lines that one drawing's clips may leave; beyond them the longest piece of a line is kept.
const MOST_PIECES: usize = 1_000;

/// What the clips of one INSERT leave out, over all its cells.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Left {
    pub drawn: usize,
    pub gone: usize,
    pub cut: usize,
}

/// What becomes of an item.
#[derive(Clone, Debug, PartialEq)]
enum Fate {
    Stays,
    Goes,
    Parts(Vec<Prim>),
}

/// The ring of a clip in the world; `map` is from the block to the world. `None` where its maps lead nowhere.
pub fn ring(clip: &drawing::Clip, map: &Affine) -> Option<Vec<Coord>> {
    let back = Affine::rows(clip.to_clip).inverse()?;
    let to_world = map.after(&Affine::rows(clip.to_block)).after(&back);
    let corners = match clip.corners[..] {
        [[x0, y0], [x1, y1]] => vec![[x0, y0], [x1, y0], [x1, y1], [x0, y1]],
        _ => clip.corners.clone(),
    };
    let ring: Vec<Coord> = corners
        .iter()
        .map(|[x, y]| to_world.plan([*x, *y, 0.0]))
        .collect();
    ring.iter().all(|p| crate::geom::finite(*p)).then_some(ring)
}

/// Cuts what a symbol draws, which is all that stands after it; `pieces` counts further pieces of lines over the drawing.
pub fn apply(flat: &mut Flat, symbol: usize, ring: &[Coord], pieces: &mut usize, left: &mut Left) {
    let first = symbol + 1;
    left.drawn += flat.items.len().saturating_sub(first);
    let mut gone = vec![false; flat.items.len().saturating_sub(first)];
    let mut more: Vec<Item> = Vec::new();
    left.cut += clipped(flat, &mut gone, (ring, first), (pieces, &mut more));
    left.gone += gone.iter().filter(|g| **g).count();
    settle(flat, first, &gone);
    flat.entities = flat.entities.saturating_add(more.len());
    flat.items.append(&mut more);
}

/// What a clip leaves out of a block.
pub fn note(block: &str, left: &Left, place: Place) -> Note {
    let message = format!(
        "block \"{block}\" is clipped: of the {} things it draws {} lie beyond its clip and are not read, {} are cut at it",
        left.drawn, left.gone, left.cut,
    );
    Note::info("clipped", message).at(place)
}

/// The first item after `symbol` that is not drawn by it.
fn end(flat: &Flat, symbol: usize) -> usize {
    let outside = |item: &Item| item.within.is_none_or(|w| w < symbol);
    let after = flat.items.get(symbol + 1..).unwrap_or_default();
    symbol + 1 + after.iter().position(outside).unwrap_or(after.len())
}

/// Marks what goes of the items from `first` on, and cuts what is cut; how many were cut. Further pieces go to `more`.
fn clipped(
    flat: &mut Flat,
    gone: &mut [bool],
    (ring, first): (&[Coord], usize),
    (pieces, more): (&mut usize, &mut Vec<Item>),
) -> usize {
    let mut cut = 0;
    let mut large = Vec::new();
    let mut i = first;
    while i < flat.items.len() {
        if let Prim::Symbol(symbol) = &flat.items[i].prim {
            let past = end(flat, i);
            let inner = flat.items.get(i + 1..past).unwrap_or_default();
            let size = bounds(inner.iter().flat_map(|item| spots(&item.prim)));
            let (middle, small) = size.map_or((symbol.at, true), |(low, high)| {
                let d = high - low;
                ((low + high) / 2.0, d.x.max(d.y) <= WHOLE)
            });
            if small {
                if !holds(ring, middle) {
                    gone.get_mut(i - first..past - first)
                        .unwrap_or_default()
                        .fill(true);
                }
                i = past;
                continue;
            }
            large.push((i - first, past - first));
            i += 1;
            continue;
        }
        match part(ring, &flat.items[i].prim) {
            Fate::Stays => {}
            Fate::Goes => gone[i - first] = true,
            Fate::Parts(mut parts) => {
                cut += 1;
                if *pieces + parts.len() > MOST_PIECES + 1 {
                    parts.sort_by(|a, b| reach(b).total_cmp(&reach(a)));
                    parts.truncate(1);
                }
                *pieces += parts.len() - 1;
                let mut parts = parts.into_iter();
                if let Some(one) = parts.next() {
                    flat.items[i].prim = one;
                }
                more.extend(parts.map(|prim| Item {
                    prim,
                    ..flat.items[i].clone()
                }));
            }
        }
        i += 1;
    }
    // From the inside out: a symbol of which nothing is left goes too.
    for (i, past) in large.into_iter().rev() {
        if gone
            .get(i + 1..past)
            .is_some_and(|inner| inner.iter().all(|g| *g))
        {
            gone[i] = true;
        }
    }
    cut
}

/// How far a piece of a line goes.
fn reach(prim: &Prim) -> f64 {
    bounds(spots(prim)).map_or(0.0, |(low, high)| (high.x - low.x).hypot(high.y - low.y))
}

/// What a ring leaves of one primitive.
fn part(ring: &[Coord], prim: &Prim) -> Fate {
    let by = |p: &Coord| if holds(ring, *p) { Fate::Stays } else { Fate::Goes };
    match prim {
        Prim::Segment { from, to } => {
            let parts = inside(ring, *from, *to);
            let run = *to - *from;
            cut(&parts, || {
                let piece = |(t, u): &(f64, f64)| Prim::Segment {
                    from: *from + run * *t,
                    to: *from + run * *u,
                };
                parts.iter().map(piece).collect()
            })
        }
        Prim::Path { vertices, closed } => path(ring, vertices, *closed),
        Prim::Point(at) | Prim::Text { at, .. } => by(at),
        Prim::Circle { center, .. } | Prim::Ellipse { center, .. } => by(center),
        Prim::Arc {
            center,
            radius,
            start,
            sweep,
        } => {
            let (sin, cos) = (start + sweep / 2.0).sin_cos();
            by(&(*center + Coord { x: cos, y: sin } * *radius))
        }
        Prim::Dimension { p1, p2, .. } => by(&((*p1 + *p2) / 2.0)),
        Prim::Face(_) | Prim::Region { .. } => {
            let any = spots(prim).iter().any(|p| holds(ring, *p));
            if any { Fate::Stays } else { Fate::Goes }
        }
        Prim::Symbol(symbol) => by(&symbol.at),
        Prim::Opaque => Fate::Stays,
    }
}

fn cut(parts: &[(f64, f64)], pieces: impl FnOnce() -> Vec<Prim>) -> Fate {
    match parts {
        [] => Fate::Goes,
        [(t, u)] if *t == 0.0 && *u == 1.0 => Fate::Stays,
        _ => Fate::Parts(pieces()),
    }
}

/// A path of straight runs is cut; one with rounded runs stays whole where any of it is inside.
fn path(ring: &[Coord], vertices: &[PathVertex], closed: bool) -> Fate {
    let count = vertices.len();
    let runs = if closed { count } else { count.saturating_sub(1) };
    if runs == 0 {
        let any = vertices.iter().any(|v| holds(ring, v.at));
        return if any { Fate::Stays } else { Fate::Goes };
    }
    let ends = |i: usize| (&vertices[i], &vertices[(i + 1) % count]);
    let kept: Vec<Vec<(f64, f64)>> = (0..runs)
        .map(|i| inside(ring, ends(i).0.at, ends(i).1.at))
        .collect();
    if kept.iter().all(Vec::is_empty) {
        return Fate::Goes;
    }
    let whole = |parts: &Vec<(f64, f64)>| matches!(parts[..], [(t, u)] if t == 0.0 && u == 1.0);
    if kept.iter().all(whole) || vertices.iter().any(|v| v.bulge != 0.0) {
        return Fate::Stays;
    }
    let mut pieces: Vec<Vec<PathVertex>> = Vec::new();
    let mut open = false;
    for (i, parts) in kept.iter().enumerate() {
        let (a, b) = ends(i);
        let at = |t: f64| PathVertex {
            at: a.at + (b.at - a.at) * t,
            bulge: 0.0,
            start_width: a.start_width + (a.end_width - a.start_width) * t,
            end_width: a.end_width,
        };
        for (t, u) in parts {
            match pieces.last_mut() {
                Some(last) if open && *t == 0.0 => last.push(at(*u)),
                _ => pieces.push(vec![at(*t), at(*u)]),
            }
            open = *u == 1.0;
        }
        open &= !parts.is_empty();
    }
    // A ring that begins inside goes on over its beginning.
    let starts = kept.first().and_then(|p| p.first()).is_some_and(|p| p.0 == 0.0);
    if closed
        && open
        && starts
        && pieces.len() > 1
        && let Some(mut last) = pieces.pop()
    {
        last.extend(pieces.remove(0).into_iter().skip(1));
        pieces.push(last);
    }
    let piece = |vertices| Prim::Path {
        vertices,
        closed: false,
    };
    Fate::Parts(pieces.into_iter().map(piece).collect())
}

/// Points that tell where a primitive lies.
fn spots(prim: &Prim) -> Vec<Coord> {
    let about = |c: &Coord, r: f64| vec![*c - Coord { x: r, y: r }, *c + Coord { x: r, y: r }];
    match prim {
        Prim::Segment { from, to } => vec![*from, *to],
        Prim::Circle { center, radius } | Prim::Arc { center, radius, .. } => about(center, *radius),
        Prim::Ellipse {
            center, major, minor, ..
        } => about(center, major.x.hypot(major.y).max(minor.x.hypot(minor.y))),
        Prim::Path { vertices, .. } => vertices.iter().map(|v| v.at).collect(),
        Prim::Face(ring) => ring.clone(),
        Prim::Region { loops, .. } => loops.concat(),
        Prim::Point(at) | Prim::Text { at, .. } => vec![*at],
        Prim::Dimension { p1, p2, .. } => vec![*p1, *p2],
        Prim::Symbol(_) | Prim::Opaque => Vec::new(),
    }
}

/// Takes out what goes of the items from `first` on, and counts it as dropped.
fn settle(flat: &mut Flat, first: usize, gone: &[bool]) {
    let mut moved: Vec<u32> = Vec::with_capacity(gone.len());
    let mut place = first;
    for (i, gone) in gone.iter().enumerate() {
        moved.push(u32::try_from(place).unwrap_or(u32::MAX));
        let Some(item) = flat.items.get_mut(first + i) else {
            break;
        };
        if let Some(w) = item.within.filter(|&w| w >= first) {
            item.within = moved.get(w - first).map(|&w| w as usize);
        }
        if *gone {
            flat.dropped = flat.dropped.saturating_add(1);
        } else {
            flat.items.swap(place, first + i);
            place += 1;
        }
    }
    flat.items.truncate(place);
}
