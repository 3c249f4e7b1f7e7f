//! Tag bubbles: circles and blocks on light layers with a mark inside, one beside each light. They are tags, no lights.
//!
//! What tells them from lights that carry their own mark is what stands beside: a symbol without a mark at each.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;

use super::unlisted::word;
use super::written::attributes;
use super::{REACH, tree};
use crate::flatten::{Flat, Prim};
use crate::length::inches_only;
use crate::note::Note;
use crate::plan::Light;
use crate::recognise::classes::Classes;
use crate::recognise::devices::kinds::text_middle;
use crate::recognise::schedule::Schedule;
use crate::recognise::shape::distance;

/// Symbols that are looked at about one.
const MOST_NEAR: usize = 16;
/// Letters in a symbol stand nearer to its middle than this share of its radius.
const INSIDE: f64 = 0.6;
/// So many are a habit of the drawing, whatever their letters are.
const FEWEST: usize = 3;

/// One symbol seen on a light layer.
struct Seen<'a> {
    at: Coord,
    radius: f64,
    block: Option<&'a str>,
    layer: &'a str,
    /// What is written in it or in its attributes, where that is a mark or may be one.
    mark: Option<Lettered>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Lettered {
    /// A mark of the schedule.
    Listed,
    /// Letters that read like a mark.
    Alike,
}

/// Which of the symbols taken for lights, each with its item, are tags of others.
pub fn of_lights(
    flat: &Flat,
    classes: &Classes,
    schedule: &Schedule<'_>,
    lights: &[(usize, &Light)],
    notes: &mut Vec<Note>,
) -> BTreeSet<usize> {
    let texts: Vec<(Coord, &str)> = (flat.items.iter().filter(|i| i.visible))
        .filter_map(|i| match &i.prim {
            Prim::Text { text, .. } => Some((text_middle(&i.prim)?, &**text)),
            _ => None,
        })
        .collect();
    let spots = tree(texts.iter().enumerate().map(|(n, t)| (t.0, n)));
    let lettered = |text: &str| match schedule.mark(text) {
        Some(_) => Some(Lettered::Listed),
        None => word(text).map(|_| Lettered::Alike),
    };
    let seen: Vec<Seen> = (lights.iter())
        .map(|(item, light)| {
            let held = |&i: &usize| match &flat.items[i].prim {
                Prim::Text { text, .. } => lettered(text),
                _ => None,
            };
            let within = || {
                let near = spots.nearest_neighbor([light.at.x, light.at.y])?;
                let (at, text) = texts[near.data];
                (distance(at, light.at) <= INSIDE * light.drawn_radius).then(|| lettered(text))?
            };
            let mark = match &flat.items[*item].prim {
                Prim::Symbol(symbol) => attributes(symbol)
                    .find_map(|a| lettered(a.0))
                    .or_else(|| classes.all_inside(*item).iter().find_map(held)),
                _ => None,
            };
            Seen {
                at: light.at,
                radius: light.drawn_radius,
                block: light.block.as_deref(),
                layer: &flat.items[*item].layer,
                mark: mark.or_else(within),
            }
        })
        .collect();
    bubbles(&seen, notes)
}

fn bubbles(seen: &[Seen], notes: &mut Vec<Note>) -> BTreeSet<usize> {
    let mut kinds: BTreeMap<(Option<&str>, i64), Vec<usize>> = BTreeMap::new();
    for (n, s) in seen.iter().enumerate() {
        let size = (s.radius * 16.0).round() as i64;
        kinds.entry((s.block, size)).or_default().push(n);
    }
    let bare = tree(
        (seen.iter().enumerate())
            .filter(|(_, s)| s.mark.is_none())
            .map(|(n, s)| (s.at, n)),
    );
    let mut found = BTreeSet::new();
    for ((block, _), all) in kinds {
        // One circle of a light's own size without letters is no reason to doubt the others.
        let which: Vec<usize> = all.into_iter().filter(|&n| seen[n].mark.is_some()).collect();
        let Some(&first) = which.first() else { continue };
        let mut partners = BTreeSet::new();
        let mut beside = 0;
        for &n in &which {
            let s = &seen[n];
            let near = (bare.nearest_neighbor_iter([s.at.x, s.at.y]).take(MOST_NEAR)).find(|b| {
                let other = &seen[b.data];
                let apart = distance(other.at, s.at);
                apart > other.radius.max(s.radius) / 2.0
                    && apart <= REACH + other.radius + s.radius
                    && !partners.contains(&b.data)
            });
            if let Some(b) = near {
                partners.insert(b.data);
                beside += 1;
            }
        }
        let listed = which.iter().all(|&n| seen[n].mark == Some(Lettered::Listed));
        let (count, most) = (which.len(), 4 * beside >= 3 * which.len());
        let across = inches_only(2.0 * seen[first].radius);
        let what = match block {
            Some(block) => format!("{count} of block {block}"),
            None => format!("{count} circle(s) {across} across"),
        };
        let layer = seen[first].layer;
        if most && (listed || beside >= FEWEST) {
            let left = match count - beside {
                0 => String::new(),
                left => format!("; {left} stand beside none"),
            };
            notes.push(Note::info(
                "tag-bubbles",
                format!(
                    "{what} on light layer {layer} have a mark inside and stand one beside each light: they are tags, \
                     not lights{left}"
                ),
            ));
            found.extend(which);
        } else if 2 * beside >= count && beside > 0 {
            notes.push(Note::warning(
                "tag-bubbles-asked",
                format!(
                    "{what} on light layer {layer} have a mark inside, and {beside} stand beside another light: they \
                     are counted as lights; if they are tags, draw them on a layer of their own, or name the lights' \
                     blocks under [read] lights in bayline.toml"
                ),
            ));
        }
    }
    found
}
