//! Single lines on a layer whose members are drawn with their thickness: leaders, section lines, the edges of roofs and of
//! accesses stand there too.
//!
//! Where few lines are single, one is taken for a member that lost its second face only where it lies as the others do:
//! along them, as long, among them; across them, where it is a block between two or a rim at their ends. The rest is
//! asked about.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;

use super::super::shape::{bounds, dot, left_of, point_to_segment, unit};
use super::{Drawn, Piece};
use crate::length::inches_only;
use crate::note::Note;
use crate::plan::MemberSource;
use crate::rules::Rules;

/// Members drawn with their thickness show how a layer is drawn from so many on, where no more than this share of them again is
/// single.
const DRAWN: usize = 4;
const SINGLE: f64 = 0.5;
/// A member is as long as this share of the others' middle length.
const AS_LONG: f64 = 0.5;
/// Ends of members at a rim, and the ends of a block, lie this near, inches.
const MEETS: f64 = 3.0;
/// So many members end at a rim.
const AT_A_RIM: usize = 3;
/// A block is no longer than two bays of 24 in.
const BLOCK: f64 = 48.0;

/// So many pairs of a single line and a member are looked at; beyond them all single lines are members.
const MOST_PAIRS: usize = 4_000_000;

/// A single line, and the strokes it is drawn by.
pub type Single = (Piece, Vec<usize>);

/// Takes out of `singles` what is no member by its place; gives its strokes, and the notes on that and on the single lines that
/// are taken, each with the item it begins at. Where the rules give a thickness of single lines all are members.
pub fn set_apart(
    drawn: &Drawn,
    families: &[Coord],
    singles: &mut Vec<Single>,
    rules: &Rules,
) -> (BTreeSet<usize>, Vec<(Note, usize)>) {
    let mut notes = Vec::new();
    let mut aside = BTreeSet::new();
    let mut of_layer: BTreeMap<usize, Vec<&Piece>> = BTreeMap::new();
    for piece in drawn.pieces.iter().filter(|p| p.source == MemberSource::Drawn) {
        of_layer.entry(piece.layer).or_default().push(piece);
    }
    for (layer, known) in of_layer {
        let name = &drawn.layers[layer];
        let own = singles.iter().filter(|s| s.0.layer == layer).count();
        let few = own as f64 <= SINGLE * known.len() as f64;
        let looked_at = own.saturating_mul(known.len()) <= MOST_PAIRS;
        let mut gone: Vec<Single> = Vec::new();
        if own > 0 && known.len() >= DRAWN && few && looked_at && !rules.framing.thickness_given {
            let all = std::mem::take(singles);
            let alike = Alike::of(&known, families);
            let lies = |s: &Single| s.0.layer != layer || fits(&s.0, &known, &alike);
            (*singles, gone) = all.into_iter().partition(lies);
        }
        if let Some((first, _)) = gone.iter().min_by_key(|s| s.0.item) {
            let message = format!(
                "{} single line(s) on framing layer {name}, whose members are drawn {} thick, lie as none of them does (leaders, \
                 edges, section lines): not taken for members; write thickness = {:?} under [framing] in bayline.toml if \
                 single lines are members",
                gone.len(),
                inches_only(middle(known.iter().map(|p| p.thickness))),
                inches_only(first.thickness)
            );
            notes.push((Note::warning("framing-lines", message), first.item));
        }
        aside.extend(gone.into_iter().flat_map(|s| s.1));
        let families: BTreeSet<usize> = known.iter().map(|k| k.family).collect();
        let among = |s: &&Single| s.0.layer == layer && families.contains(&s.0.family);
        let taken: Vec<usize> = singles.iter().filter(among).map(|s| s.0.item).collect();
        if let Some(first) = taken.iter().min() {
            let message = format!(
                "{} single line(s) stand among members drawn with their thickness on framing layer {name}: each is taken as a \
                 centreline, though its second face may be missing; look at them",
                taken.len()
            );
            notes.push((Note::warning("framing-single", message), *first));
        }
    }
    (aside, notes)
}

/// The known members of one direction: their middle length, and the box about them along and across it.
struct Alike(BTreeMap<usize, (Coord, f64, (Coord, Coord))>);

impl Alike {
    fn of(known: &[&Piece], families: &[Coord]) -> Alike {
        let mut of: BTreeMap<usize, Vec<&Piece>> = BTreeMap::new();
        for piece in known {
            of.entry(piece.family).or_default().push(piece);
        }
        let enough = of.into_iter().filter(|(_, all)| all.len() >= AT_A_RIM);
        Alike(
            enough
                .filter_map(|(family, all)| {
                    let along = families.get(family).copied()?;
                    let placed = all
                        .iter()
                        .flat_map(|k| [across(k.from, along), across(k.to, along)]);
                    Some((
                        family,
                        (along, middle(all.iter().map(|k| k.length())), bounds(placed)?),
                    ))
                })
                .collect(),
        )
    }

    /// Whether a line lies along others, as long as they are and among them.
    fn has(&self, single: &Piece) -> bool {
        let Some((along, long, (low, high))) = self.0.get(&single.family) else {
            return false;
        };
        let at = across((single.from + single.to) * 0.5, *along);
        let among = low.x <= at.x && at.x <= high.x && low.y - MEETS <= at.y && at.y <= high.y + MEETS;
        among && single.length() >= AS_LONG * long
    }
}

/// A place along and across a direction.
fn across(p: Coord, along: Coord) -> Coord {
    Coord {
        x: dot(p, along),
        y: dot(p, left_of(along)),
    }
}

/// Whether a single line lies as a member among the known ones does.
fn fits(single: &Piece, known: &[&Piece], alike: &Alike) -> bool {
    if alike.has(single) {
        return true;
    }
    let turned = known.iter().filter(|k| k.family != single.family);
    let to_line = |p: Coord| point_to_segment(p, single.from, single.to);
    let mut rim = 0;
    let (mut starts, mut ends) = (false, false);
    for k in turned {
        rim += usize::from(
            to_line(k.from).min(to_line(k.to)) <= MEETS + k.thickness / 2.0 && !crosses(single, k),
        );
        let meets = |p: Coord| point_to_segment(p, k.from, k.to) <= MEETS + k.thickness / 2.0;
        starts |= meets(single.from);
        ends |= meets(single.to);
    }
    rim >= AT_A_RIM || starts && ends && single.length() <= BLOCK
}

/// Whether a line runs on over a member's middle.
fn crosses(single: &Piece, known: &Piece) -> bool {
    let Some(along) = unit(single.to - single.from) else {
        return false;
    };
    let off = |p: Coord| dot(p - single.from, left_of(along));
    let (a, b) = (off(known.from), off(known.to));
    a * b < 0.0 && a.abs().min(b.abs()) > MEETS + known.thickness / 2.0
}

fn middle(values: impl Iterator<Item = f64>) -> f64 {
    let mut sorted: Vec<f64> = values.collect();
    sorted.sort_by(f64::total_cmp);
    sorted.get(sorted.len() / 2).copied().unwrap_or(0.0)
}
