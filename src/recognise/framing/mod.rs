//! Framing members from what is drawn: outlines, double lines, wide polylines, centrelines.
//!
//! Words: a *stroke* is one straight run on a framing layer; a *family* is the strokes of one
//! direction; a *face* is one or more strokes on one line; a *piece* is a length of one member
//! before pieces are joined. Coordinates in here are taken about a local origin, so that plans
//! far from the drawing's origin lose no digits.

use std::collections::BTreeMap;

use geo::Coord;

use super::classes::{Claim, Class, Classes};
use super::shape::{chords, distance, dot, finite, left_of, unit};
use super::tolerance::CORNER;
use crate::flatten::{Flat, Prim};
use crate::note::Note;
use crate::plan::{Member, MemberKind, MemberSource};
use crate::rules::Rules;

mod apart;
mod boards;
mod centrelines;
pub(super) mod faces;
mod families;
mod join;
mod kinds;
pub mod laid_out;
mod outlines;
pub mod outside;
mod overlapping;
pub mod rivals;
mod short;

/// One straight run on a framing layer.
#[derive(Clone, Debug)]
struct Stroke {
    a: Coord,
    b: Coord,
    item: usize,
    layer: usize,
}

/// A length of one member.
#[derive(Clone, Debug)]
struct Piece {
    from: Coord,
    to: Coord,
    thickness: f64,
    plies: usize,
    kind: MemberKind,
    source: MemberSource,
    layer: usize,
    /// The item whose handle stands for it.
    item: usize,
    family: usize,
}

impl Piece {
    /// Position across `u`, and the interval along it.
    fn span(&self, u: Coord) -> (f64, f64, f64) {
        let (s, t) = (dot(self.from, u), dot(self.to, u));
        let offset = dot((self.from + self.to) * 0.5, left_of(u));
        (offset, s.min(t), s.max(t))
    }

    fn length(&self) -> f64 {
        distance(self.from, self.to)
    }
}

/// What is drawn on the framing layers, sorted out.
struct Drawn {
    origin: Coord,
    layers: Vec<String>,
    kinds: Vec<MemberKind>,
    strokes: Vec<Stroke>,
    pieces: Vec<Piece>,
}

/// All members drawn, sorted by angle, offset and start. Marks what it used in `claims`; each
/// straight run that became no member is told of in `notes`.
pub fn framing(
    flat: &Flat,
    classes: &Classes,
    rules: &Rules,
    claims: &mut [Claim],
    notes: &mut Vec<Note>,
) -> Vec<Member> {
    let each = with_items(flat, classes, rules, claims, notes);
    each.into_iter().map(|(member, _)| member).collect()
}

/// The same, each with the item whose handle stands for it.
pub fn with_items(
    flat: &Flat,
    classes: &Classes,
    rules: &Rules,
    claims: &mut [Claim],
    notes: &mut Vec<Note>,
) -> Vec<(Member, usize)> {
    let mut drawn = collect(flat, classes, claims, notes);
    let families = families::families(&mut drawn);
    let mut used = vec![false; drawn.strokes.len()];
    faces::pair(&mut drawn, &families, &mut used);
    join::join(&mut drawn.pieces, &families);
    centrelines::inside(&drawn, &mut used);
    let aside = centrelines::singles(&mut drawn, &families, rules, &mut used, (flat, notes));
    join::join(&mut drawn.pieces, &families);
    let boards = join::plies(&mut drawn.pieces, &families);
    join::join(&mut drawn.pieces, &families);
    centrelines::inside(&drawn, &mut used);
    let decked = boards::left_out(flat, &drawn, &families, &boards, claims, notes);

    let mut unclear: BTreeMap<usize, (usize, usize)> = BTreeMap::new();
    for (k, (stroke, used)) in drawn.strokes.iter().zip(&used).enumerate() {
        if decked.contains(&k) || aside.contains(&k) {
            continue;
        }
        if *used {
            claims[stroke.item] = Claim::Member;
        } else {
            unclear.entry(stroke.layer).or_insert((0, stroke.item)).0 += 1;
        }
    }
    for (layer, (count, item)) in unclear {
        notes.push(
            Note::warning(
                "framing-unclear",
                format!(
                    "{count} line(s) on framing layer {} form no member: too short, or closed in no \
                     usual way; look at them and draw members as two lines, an outline or a centreline",
                    drawn.layers[layer]
                ),
            )
            .at(flat.place(item)),
        );
    }
    short::between(&mut drawn.pieces, &families);
    short::studs(flat, &mut drawn, claims, notes);
    members(flat, drawn, &families)
}

fn members(flat: &Flat, drawn: Drawn, families: &[Coord]) -> Vec<(Member, usize)> {
    let mut pieces = drawn.pieces;
    pieces.sort_by(|a, b| {
        let (fa, fb) = (families[a.family], families[b.family]);
        let ((oa, sa, ta), (ob, sb, tb)) = (a.span(fa), b.span(fb));
        (a.family.cmp(&b.family))
            .then(oa.total_cmp(&ob))
            .then(sa.total_cmp(&sb))
            .then(ta.total_cmp(&tb))
            .then(a.item.cmp(&b.item))
    });
    pieces
        .into_iter()
        .map(|p| {
            let (from, to) = match dot(p.to - p.from, families[p.family]) {
                d if d < 0.0 => (p.to, p.from),
                _ => (p.from, p.to),
            };
            let member = Member {
                from: from + drawn.origin,
                to: to + drawn.origin,
                thickness: p.thickness,
                kind: p.kind,
                source: p.source,
                plies: u8::try_from(p.plies).unwrap_or(u8::MAX),
                handle: flat.items[p.item].handle.as_ref().map(|h| h.to_string()),
            };
            (member, p.item)
        })
        .collect()
}

/// Gathers outlines as pieces and everything else straight as strokes.
fn collect(flat: &Flat, classes: &Classes, claims: &mut [Claim], notes: &mut Vec<Note>) -> Drawn {
    let mut drawn = Drawn {
        origin: Coord { x: 0.0, y: 0.0 },
        layers: Vec::new(),
        kinds: Vec::new(),
        strokes: Vec::new(),
        pieces: Vec::new(),
    };
    let mut kinds = kinds::Kinds::new();
    let mut origin = None;
    let mut number: BTreeMap<(String, MemberKind), usize> = BTreeMap::new();
    let mut unread: BTreeMap<(&str, &str), (usize, usize)> = BTreeMap::new();
    for (i, item) in flat.items.iter().enumerate() {
        if classes.of[i] != Class::Framing || claims[i] != Claim::None || !item.visible {
            continue;
        }
        let straight = match &item.prim {
            Prim::Segment { .. } | Prim::Path { .. } | Prim::Face(_) => chords(&item.prim),
            Prim::Text { .. } | Prim::Dimension { .. } | Prim::Symbol(_) | Prim::Point(_) => continue,
            // What was hatched is the member, where it is a strip.
            Prim::Region { loops, curved: false }
                if loops
                    .iter()
                    .all(|r| r.first().is_some_and(|o| strip(r, *o).is_some())) =>
            {
                loops.first().map(|ring| (ring.clone(), true))
            }
            Prim::Region { .. } => None,
            Prim::Circle { .. } | Prim::Arc { .. } | Prim::Ellipse { .. } | Prim::Opaque => None,
        };
        let Some((points, _)) = straight else {
            unread.entry((&item.layer, &item.entity)).or_insert((0, i)).0 += 1;
            continue;
        };
        let o = *origin.get_or_insert(points[0]);
        drawn.origin = o;
        let kind = kinds.kind(flat, i);
        let next = number.len();
        let layer = *number.entry((item.layer.to_lowercase(), kind)).or_insert(next);
        if layer == drawn.layers.len() {
            drawn.layers.push(item.layer.to_string());
            drawn.kinds.push(kind);
        }
        match &item.prim {
            Prim::Path { vertices, closed } => {
                let ring: Vec<Coord> = vertices.iter().map(|v| v.at - o).collect();
                let bent = vertices.iter().any(|v| v.bulge.abs() > 1e-9);
                if !bent
                    && ring.iter().all(|p| finite(*p))
                    && let Some(found) = outlines::outline(&ring, *closed)
                {
                    claims[i] = Claim::Member;
                    drawn.pieces.push(found.piece(kind, layer, i));
                    continue;
                }
                if let Some(pieces) = outlines::wide(vertices, *closed, o) {
                    claims[i] = Claim::Member;
                    drawn
                        .pieces
                        .extend(pieces.into_iter().map(|p| p.piece(kind, layer, i)));
                    continue;
                }
                let n = vertices.len();
                let runs = if *closed && n > 2 { n } else { n.saturating_sub(1) };
                for k in 0..runs {
                    let (v, w) = (&vertices[k], &vertices[(k + 1) % n]);
                    if v.bulge.abs() > 1e-9 {
                        unread.entry((&item.layer, "curved run")).or_insert((0, i)).0 += 1;
                    } else {
                        stroke(&mut drawn, v.at - o, w.at - o, i, layer);
                    }
                }
            }
            Prim::Face(corners) => {
                let ring: Vec<Coord> = corners.iter().map(|&p| p - o).collect();
                if let Some(found) = outlines::outline(&ring, true) {
                    claims[i] = Claim::Member;
                    drawn.pieces.push(found.piece(kind, layer, i));
                } else {
                    for (k, &a) in ring.iter().enumerate() {
                        stroke(&mut drawn, a, ring[(k + 1) % ring.len()], i, layer);
                    }
                }
            }
            Prim::Region { loops, .. } => {
                claims[i] = Claim::Member;
                let strips = loops.iter().filter_map(|ring| strip(ring, o));
                drawn
                    .pieces
                    .extend(strips.map(|found| found.piece(kind, layer, i)));
            }
            Prim::Segment { from, to } => stroke(&mut drawn, *from - o, *to - o, i, layer),
            _ => {}
        }
    }
    for ((layer, entity), (count, item)) in unread {
        notes.push(
            Note::warning(
                "framing-unclear",
                format!(
                    "{count} {entity} on framing layer {layer} cannot be read as a member: \
                     draw members as straight lines or outlines"
                ),
            )
            .at(flat.place(item)),
        );
    }
    drawn
}

/// A hatched ring as a member, about an origin.
fn strip(ring: &[Coord], o: Coord) -> Option<outlines::Outline> {
    let local: Vec<Coord> = ring.iter().map(|&p| p - o).collect();
    outlines::outline(&local, true).filter(|_| local.iter().all(|p| finite(*p)))
}

fn stroke(drawn: &mut Drawn, a: Coord, b: Coord, item: usize, layer: usize) {
    if finite(a) && finite(b) && distance(a, b) > CORNER && unit(b - a).is_some() {
        drawn.strokes.push(Stroke { a, b, item, layer });
    }
}
