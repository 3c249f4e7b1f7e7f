//! Members that lie in one another: two cannot stand in one place.
//!
//! Copies of one drawing are left out before ([`super::super::copies`]); what is still found is drawn by two hands, or by
//! one that slipped. All are counted, and it is asked which counts.

use std::collections::BTreeMap;
use std::sync::Arc;

use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};

use super::super::classes::Classes;
use super::super::evidence::beside;
use super::super::shape::{bounds, finite};
use crate::flatten::Flat;
use crate::length::inches_only;
use crate::note::Note;
use crate::plan::{Member, MemberKind};

/// Members overlap where they lie in one another by more than this, inches: what touches is drawn no worse.
const DEEP: f64 = 0.26;
/// Less than can be said in sixteenths, inches.
const LEAST: f64 = 1.0 / 32.0;
/// So many pairs are told of: one may be a slip of a line.
const FEWEST: usize = 3;
/// Most members that are looked at, and most beside each.
const MOST: usize = 20_000;
const MOST_NEAR: usize = 64;

pub(super) fn told(flat: &Flat, classes: &Classes, drawn: &[(Member, usize)], notes: &mut Vec<Note>) {
    let spans = |m: &Member| {
        matches!(m.kind, MemberKind::Joist | MemberKind::Truss) && finite(m.from) && finite(m.to)
    };
    let some: Vec<&(Member, usize)> = drawn.iter().filter(|(m, _)| spans(m)).take(MOST).collect();
    let boxed = |m: &Member| {
        let (low, high) = bounds([m.from, m.to])?;
        let out = m.thickness / 2.0;
        Some(([low.x - out, low.y - out], [high.x + out, high.y + out]))
    };
    let tree = RTree::bulk_load(
        (some.iter().enumerate())
            .filter_map(|(i, (m, _))| {
                let (low, high) = boxed(m)?;
                Some(GeomWithData::new(Rectangle::from_corners(low, high), i))
            })
            .collect(),
    );
    let mut pairs: BTreeMap<(Arc<str>, Arc<str>), (usize, f64)> = BTreeMap::new();
    for (i, (m, item)) in some.iter().enumerate() {
        let Some((low, high)) = boxed(m) else { continue };
        let around = tree.locate_in_envelope_intersecting(AABB::from_corners(low, high));
        for g in around.take(MOST_NEAR).filter(|g| g.data > i) {
            let (o, other) = some[g.data];
            let Some(off) = overlap(m, o) else { continue };
            let (a, b) = (
                classes.pens.name(&flat.items[*item]),
                classes.pens.name(&flat.items[*other]),
            );
            let pair = pairs
                .entry((a.clone().min(b.clone()), a.max(b)))
                .or_insert((0, 0.0));
            *pair = (pair.0 + 1, pair.1.max(off));
        }
    }
    for ((a, b), (count, off)) in pairs.into_iter().filter(|(_, p)| p.0 >= FEWEST) {
        let (whose, cure) = match a == b {
            true => (
                format!("{count} pairs of members on layer {a} lie in one another"),
                "erase one of each pair".to_string(),
            ),
            false => (
                format!("{count} members on layer {a} lie in others on layer {b}"),
                format!(
                    "name the layer that counts as framing = {{ layers = [{:?}] }} under [read] in bayline.toml, or erase one of \
                     each pair",
                    crate::rules::exactly(&a)
                ),
            ),
        };
        let apart = match off < LEAST {
            true => "on one centreline".to_string(),
            false => format!("their centrelines up to {} apart", inches_only(off)),
        };
        notes.push(Note::warning(
            "members-overlap",
            format!("{whose}, {apart}: two cannot stand in one place, and both are counted; {cure}"),
        ));
    }
}

/// How far apart the centrelines of two members are that lie in one another.
fn overlap(m: &Member, o: &Member) -> Option<f64> {
    let off = beside(m, o)?.abs();
    ((m.thickness + o.thickness) / 2.0 - off > DEEP).then_some(off)
}
