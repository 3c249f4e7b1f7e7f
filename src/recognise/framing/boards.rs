//! Boards of a deck or a floor on a framing layer: side by side, they would be a member thicker than there is.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;

use super::super::classes::Claim;
use super::super::shape::{dot, left_of};
use super::super::tolerance::{CORNER, TOUCH};
use super::Drawn;
use super::join::Boards;
use crate::flatten::Flat;
use crate::length::feet_inches;
use crate::note::Note;

/// Leaves boards unclaimed, with a note for each layer. Gives the strokes that are theirs.
pub(super) fn left_out(
    flat: &Flat,
    drawn: &Drawn,
    families: &[Coord],
    boards: &[Boards],
    claims: &mut [Claim],
    notes: &mut Vec<Note>,
) -> BTreeSet<usize> {
    let mut strokes = BTreeSet::new();
    let mut told: BTreeMap<usize, (usize, f64, usize)> = BTreeMap::new();
    for field in boards {
        for piece in &field.pieces {
            let u = families[piece.family];
            let (offset, low, high) = piece.span(u);
            let half = piece.thickness / 2.0 + TOUCH;
            let within = |p: Coord| {
                let (s, t) = (dot(p, u), dot(p, left_of(u)));
                s > low - CORNER && s < high + CORNER && (t - offset).abs() <= half
            };
            let own = (drawn.strokes.iter().enumerate())
                .filter(|(_, s)| s.layer == piece.layer && within(s.a) && within(s.b));
            strokes.extend(own.map(|(k, _)| k));
            // A hatch of many strips may hold members too.
            if !drawn.pieces.iter().any(|p| p.item == piece.item) {
                claims[piece.item] = Claim::None;
            }
        }
        let Some(first) = field.pieces.iter().min_by_key(|p| p.item) else {
            continue;
        };
        let entry = told.entry(first.layer).or_insert((0, 0.0, first.item));
        entry.0 += field.pieces.len();
        entry.1 = entry.1.max(field.across);
        entry.2 = entry.2.min(first.item);
    }
    for (layer, (count, across, item)) in told {
        notes.push(
            Note::warning(
                "framing-boards",
                format!(
                    "{count} strips lie side by side on framing layer {}, {} across: no member is so thick, so \
                     they are taken for boards of a deck or a floor and left out; put them on a layer of their \
                     own, or name that layer under [read] ignore in bayline.toml",
                    drawn.layers[layer],
                    feet_inches(across)
                ),
            )
            .at(flat.place(item)),
        );
    }
    strokes
}
