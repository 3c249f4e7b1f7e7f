//! What clips of INSERTs leave of their blocks.
//!
//! A clip hides what of a block lies beyond a ring. Straight lines are cut at it, what is round or written stays where its middle
//! is inside, and so does a symbol in the block that is no larger than [`WHOLE`]: half a light is none.

use geo::Coord;

use super::matrix::Affine;
use super::{Flat, Item, PathVertex, Prim};
use crate::drawing;
use crate::geom::ring::{holds, inside};
use crate::note::{Note, Place};

/// Symbols up to this size are shown whole or not at all, inches.
const WHOLE: f64 = 48.0;

/// A clip of one INSERT: the index of its symbol, and the ring in world inches.
#[derive(Debug)]
pub struct Clip {
    pub symbol: usize,
    pub ring: Vec<Coord>,
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

/// Cuts what the clips cut, inner ones first, and says of each what it leaves out.
pub fn apply(flat: &mut Flat, clips: &[Clip], notes: &mut Vec<Note>) {
    if clips.is_empty() {
        return;
    }
    let mut fates = vec![Fate::Stays; flat.items.len()];
    for clip in clips {
        let end = end(flat, clip.symbol);
        let going = |fates: &[Fate]| {
            let inside = fates.get(clip.symbol..end).unwrap_or_default();
            inside.iter().filter(|f| **f == Fate::Goes).count()
        };
        let before = going(&fates);
        let cut = clipped(flat, &mut fates, clip, end);
        let gone = going(&fates) - before;
        if let Some(Item {
            prim: Prim::Symbol(symbol),
            ..
        }) = flat.items.get(clip.symbol)
            && gone + cut > 0
        {
            let message = format!(
                "block \"{}\" is clipped: of the {} things it draws {gone} lie beyond its clip and are not read, {cut} are cut at it",
                symbol.true_name,
                end - clip.symbol - 1,
            );
            let place = Place {
                line: None,
                ..flat.place(clip.symbol)
            };
            notes.push(Note::info("clipped", message).at(place));
        }
    }
    settle(flat, fates);
}

/// The first item after `symbol` that is not drawn by it.
fn end(flat: &Flat, symbol: usize) -> usize {
    let outside = |item: &Item| item.within.is_none_or(|w| w < symbol);
    let after = flat.items.get(symbol + 1..).unwrap_or_default();
    symbol + 1 + after.iter().position(outside).unwrap_or(after.len())
}

/// Settles the fates of what one clip's symbol draws, up to `last`; how many were cut in part.
fn clipped(flat: &Flat, fates: &mut [Fate], clip: &Clip, last: usize) -> usize {
    let ring = &clip.ring;
    let mut cut = 0;
    let mut large = Vec::new();
    let mut i = clip.symbol + 1;
    while i < last {
        let Some(item) = flat.items.get(i) else { break };
        if let Prim::Symbol(symbol) = &item.prim {
            let past = end(flat, i);
            let inner = flat.items.get(i + 1..past).unwrap_or_default();
            let spots = || inner.iter().flat_map(|item| spots(&item.prim));
            let size = bounds(spots());
            let (middle, small) = size.map_or((symbol.at, true), |(low, high)| {
                let d = high - low;
                ((low + high) / 2.0, d.x.max(d.y) <= WHOLE)
            });
            if small {
                if !holds(ring, middle) {
                    fates.get_mut(i..past).unwrap_or_default().fill(Fate::Goes);
                }
                i = past;
                continue;
            }
            large.push((i, past));
            i += 1;
            continue;
        }
        let fate = match &fates[i] {
            Fate::Goes => Fate::Goes,
            Fate::Stays => part(ring, &item.prim),
            Fate::Parts(parts) => {
                let kept: Vec<Prim> = (parts.iter())
                    .flat_map(|p| match part(ring, p) {
                        Fate::Goes => Vec::new(),
                        Fate::Stays => vec![p.clone()],
                        Fate::Parts(parts) => parts,
                    })
                    .collect();
                if kept.is_empty() {
                    Fate::Goes
                } else {
                    Fate::Parts(kept)
                }
            }
        };
        cut += usize::from(matches!(fate, Fate::Parts(_)) && fates[i] == Fate::Stays);
        fates[i] = fate;
        i += 1;
    }
    // From the inside out: a symbol of which nothing is left goes too.
    for (i, past) in large.into_iter().rev() {
        if fates
            .get(i + 1..past)
            .is_some_and(|inner| inner.iter().all(|f| *f == Fate::Goes))
        {
            fates[i] = Fate::Goes;
        }
    }
    cut
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

fn bounds(points: impl Iterator<Item = Coord>) -> Option<(Coord, Coord)> {
    points.fold(None, |found, p| {
        let (low, high) = found.unwrap_or((p, p));
        let pick = |f: fn(f64, f64) -> f64, a: Coord| Coord {
            x: f(a.x, p.x),
            y: f(a.y, p.y),
        };
        Some((pick(f64::min, low), pick(f64::max, high)))
    })
}

/// Puts the fates into effect: every item that goes is counted as dropped, every further part as an entity more.
fn settle(flat: &mut Flat, fates: Vec<Fate>) {
    let mut moved = Vec::with_capacity(fates.len());
    let mut items: Vec<Item> = Vec::with_capacity(fates.len());
    for (mut item, fate) in std::mem::take(&mut flat.items).into_iter().zip(fates) {
        moved.push(items.len());
        item.within = item.within.and_then(|w| moved.get(w).copied());
        match fate {
            Fate::Stays => items.push(item),
            Fate::Goes => flat.dropped = flat.dropped.saturating_add(1),
            Fate::Parts(parts) => {
                flat.entities = flat.entities.saturating_add(parts.len().saturating_sub(1));
                items.extend(parts.into_iter().map(|prim| Item { prim, ..item.clone() }));
            }
        }
    }
    flat.items = items;
}
