//! Type marks written beside lights: at the end of a leader, near the symbol, or on a layer whose texts stand
//! beside light symbols at one offset throughout.
//!
//! Two marks equally near that say different things are told of, and neither is taken.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::classes::{Claim, Class, Classes};
use super::schedule::Schedule;
use super::shape::{chords, distance, point_to_segment};
use crate::flatten::{Flat, Prim};
use crate::note::Note;
use crate::plan::Light;

/// A mark stands no further than this from its light, beyond two radii of the symbol, inches.
const REACH: f64 = 12.0;
/// Of two marks whose distances differ by less than this neither is the nearer, inches.
const ALIKE: f64 = 0.5;
/// Marks of one layer stand at one offset where they differ by no more than this, inches.
const SAME_OFFSET: f64 = 1.0;
/// On a layer that is not the lights' so many marks have to agree.
const LEAST_MARKS: usize = 3;
/// A leader ends this near its text, in heights of it, and this near a symbol, in inches beyond its radius.
const LEADER_TEXT: f64 = 2.0;
const LEADER_LIGHT: f64 = 1.5;
/// So many things about a point are looked at; more on one spot say no more.
const MOST_NEAR: usize = 16;
/// Width of a letter, in heights of it (common practice).
const LETTER: f64 = 0.9;

/// A text that is a tag of the schedule.
struct Mark {
    item: usize,
    entry: usize,
    at: Coord,
    /// Both ends of its baseline.
    from: Coord,
    to: Coord,
    height: f64,
    light_layer: bool,
}

/// A light without a schedule entry takes the mark that is written for it.
pub fn tags(
    flat: &Flat,
    classes: &Classes,
    schedule: &Schedule<'_>,
    lights: &mut [Light],
    claims: &mut [Claim],
    notes: &mut Vec<Note>,
) {
    let marks = marks(flat, classes, schedule, claims);
    if marks.is_empty() || lights.iter().all(|l| l.schedule.is_some()) {
        return;
    }
    let on = |light_layer: bool| {
        let all = marks.iter().enumerate();
        tree(
            all.filter(|(_, m)| m.light_layer == light_layer)
                .map(|(n, m)| (m.at, n)),
        )
    };
    let (own, others) = (on(true), on(false));
    let mut taken: Vec<(usize, usize)> = by_leader(flat, classes, &marks, lights);
    let led: BTreeSet<usize> = taken.iter().map(|t| t.0).collect();
    let open: Vec<usize> = (0..lights.len())
        .filter(|l| lights[*l].schedule.is_none() && !led.contains(l))
        .collect();

    // Marks on the lights' own layers: the nearest, and where two are, the one at the usual offset.
    let mut ties: Vec<(usize, Vec<usize>)> = Vec::new();
    let mut offsets: Vec<Coord> = Vec::new();
    let mut rest: Vec<usize> = Vec::new();
    for &l in &open {
        match nearest(&own, &marks, &lights[l])[..] {
            [] => rest.push(l),
            [one] => {
                offsets.push(marks[one].at - lights[l].at);
                taken.push((l, one));
            }
            ref several => ties.push((l, several.to_vec())),
        }
    }
    let usual = common(&offsets);
    for (l, several) in ties {
        let fits =
            |&&m: &&usize| usual.is_some_and(|o| distance(marks[m].at - lights[l].at, o) <= SAME_OFFSET);
        let mut fitting = several.iter().filter(fits);
        match (fitting.next(), fitting.next()) {
            (Some(&m), None) => taken.push((l, m)),
            _ => ambiguous(flat, schedule, &marks, &lights[l], &several, notes),
        }
    }

    // Other layers: only where their marks all stand alike.
    let mut layers: BTreeMap<&str, Vec<(usize, usize)>> = BTreeMap::new();
    for &l in &rest {
        for m in nearest(&others, &marks, &lights[l]) {
            let layer = &*flat.items[marks[m].item].layer;
            layers.entry(layer).or_default().push((l, m));
        }
    }
    let mut done: BTreeSet<usize> = BTreeSet::new();
    for (layer, pairs) in layers {
        let offsets: Vec<Coord> = pairs.iter().map(|(l, m)| marks[*m].at - lights[*l].at).collect();
        let Some(usual) = common(&offsets) else { continue };
        let alike: Vec<(usize, usize)> = (pairs.iter().zip(&offsets))
            .filter(|((l, _), o)| distance(**o, usual) <= SAME_OFFSET && !done.contains(l))
            .map(|(pair, _)| *pair)
            .collect();
        let different: BTreeSet<usize> = alike.iter().map(|p| p.1).collect();
        if alike.len() < LEAST_MARKS || different.len() < alike.len() || 2 * alike.len() <= pairs.len() {
            continue;
        }
        notes.push(Note::info(
            "tags-beside",
            format!(
                "the types of {} lights are read from texts on layer {layer}, which stand beside them at one offset",
                alike.len()
            ),
        ));
        done.extend(alike.iter().map(|p| p.0));
        taken.extend(alike);
    }
    for (l, m) in taken {
        let mark = &marks[m];
        lights[l].schedule = Some(mark.entry);
        lights[l].tag = Some(schedule.tag(mark.entry));
        if claims[mark.item] == Claim::None {
            claims[mark.item] = Claim::LightLinework;
        }
    }
}

fn marks(flat: &Flat, classes: &Classes, schedule: &Schedule<'_>, claims: &[Claim]) -> Vec<Mark> {
    let mut found = Vec::new();
    for (item, it) in flat.items.iter().enumerate() {
        let class = classes.of[item];
        let light_layer = class == Class::Light;
        let free = class == Class::Other && claims[item] == Claim::None;
        let Prim::Text {
            at,
            height,
            angle,
            centred,
            text,
        } = &it.prim
        else {
            continue;
        };
        if !it.visible || !(light_layer || free) || !(at.x.is_finite() && at.y.is_finite()) {
            continue;
        }
        let first = text.lines().find(|l| !l.trim().is_empty()).unwrap_or_default();
        let Some(entry) = schedule.entry(text).or_else(|| schedule.entry(first)) else {
            continue;
        };
        let height = if height.is_finite() { height.abs() } else { 0.0 };
        let angle = if angle.is_finite() { *angle } else { 0.0 };
        let run = Coord {
            x: angle.cos(),
            y: angle.sin(),
        } * (LETTER * height * first.trim().chars().count() as f64);
        let (from, to) = match centred {
            true => (*at - run / 2.0, *at + run / 2.0),
            false => (*at, *at + run),
        };
        found.push(Mark {
            item,
            entry,
            at: *at,
            from,
            to,
            height,
            light_layer,
        });
    }
    found
}

/// The nearest mark in reach; all that are as near where they say different things.
fn nearest(near: &RTree<GeomWithData<[f64; 2], usize>>, marks: &[Mark], light: &Light) -> Vec<usize> {
    let reach = REACH + 2.0 * light.drawn_radius;
    let mut found: Vec<(f64, usize)> = Vec::new();
    let around = near.nearest_neighbor_iter_with_distance_2([light.at.x, light.at.y]);
    for (mark, squared) in around.take(MOST_NEAR) {
        let far = squared.sqrt();
        let most = found.first().map_or(reach, |f| (f.0 + ALIKE).min(reach));
        if far > most {
            break;
        }
        found.push((far, mark.data));
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let all: Vec<usize> = found.into_iter().map(|f| f.1).collect();
    let one = all.windows(2).all(|w| marks[w[0]].entry == marks[w[1]].entry);
    all.iter()
        .copied()
        .take(if one { 1 } else { all.len() })
        .collect()
}

/// The offset that most agree on, where it is more than half of them.
fn common(offsets: &[Coord]) -> Option<Coord> {
    let middle = |pick: fn(&Coord) -> f64| {
        let mut all: Vec<f64> = offsets.iter().map(pick).collect();
        all.sort_by(f64::total_cmp);
        all.get(all.len() / 2).copied()
    };
    let usual = Coord {
        x: middle(|o| o.x)?,
        y: middle(|o| o.y)?,
    };
    let alike = offsets.iter().filter(|o| distance(**o, usual) <= SAME_OFFSET);
    (2 * alike.count() > offsets.len()).then_some(usual)
}

/// Lights at one end of a line whose other end is at a mark. One mark may have several leaders. A line between
/// two lights is a switch leg.
fn by_leader(flat: &Flat, classes: &Classes, marks: &[Mark], lights: &[Light]) -> Vec<(usize, usize)> {
    let spots = tree(lights.iter().enumerate().map(|(n, l)| (l.at, n)));
    let at_light = |p: Coord| {
        (spots.nearest_neighbor_iter([p.x, p.y]).take(MOST_NEAR))
            .map(|g| g.data)
            .filter(|&n| distance(p, lights[n].at) <= lights[n].drawn_radius + LEADER_LIGHT)
            .min_by(|a, b| {
                let far = |n: usize| distance(p, lights[n].at);
                far(*a).total_cmp(&far(*b)).then(a.cmp(b))
            })
    };
    let middles = tree(marks.iter().enumerate().map(|(n, m)| ((m.from + m.to) * 0.5, n)));
    let at_mark = |p: Coord| {
        let far = |n: usize| point_to_segment(p, marks[n].from, marks[n].to);
        (middles.nearest_neighbor_iter([p.x, p.y]).take(MOST_NEAR))
            .map(|g| g.data)
            .filter(|&n| far(n) <= LEADER_TEXT * marks[n].height)
            .min_by(|a, b| far(*a).total_cmp(&far(*b)).then(a.cmp(b)))
    };
    let mut found: BTreeMap<usize, Option<usize>> = BTreeMap::new();
    for (i, item) in flat.items.iter().enumerate() {
        let run = matches!(
            &item.prim,
            Prim::Segment { .. } | Prim::Path { closed: false, .. }
        );
        if !run || !item.visible || !matches!(classes.of[i], Class::Light | Class::Other) {
            continue;
        }
        let Some((points, _)) = chords(&item.prim) else {
            continue;
        };
        let [first, .., last] = points[..] else { continue };
        for (head, tail) in [(first, last), (last, first)] {
            if let (Some(l), None, Some(m)) = (at_light(head), at_light(tail), at_mark(tail))
                && lights[l].schedule.is_none()
            {
                // Two leaders that say different things say nothing.
                found
                    .entry(l)
                    .and_modify(|known| *known = known.filter(|k| marks[*k].entry == marks[m].entry))
                    .or_insert(Some(m));
            }
        }
    }
    found.into_iter().filter_map(|(l, m)| Some((l, m?))).collect()
}

fn tree(points: impl Iterator<Item = (Coord, usize)>) -> RTree<GeomWithData<[f64; 2], usize>> {
    let sound = points.filter(|(p, _)| p.x.is_finite() && p.y.is_finite());
    RTree::bulk_load(sound.map(|(p, n)| GeomWithData::new([p.x, p.y], n)).collect())
}

fn ambiguous(
    flat: &Flat,
    schedule: &Schedule<'_>,
    marks: &[Mark],
    light: &Light,
    several: &[usize],
    notes: &mut Vec<Note>,
) {
    let said: BTreeSet<String> = several.iter().map(|&m| schedule.tag(marks[m].entry)).collect();
    let said: Vec<String> = said.into_iter().collect();
    let place = several.first().map(|&m| flat.place(marks[m].item));
    let mut note = Note::warning(
        "tag-ambiguous",
        format!(
            "a light has {} equally near: none is taken; draw a leader or move the texts",
            said.join(" and ")
        ),
    );
    if let Some(mut place) = place {
        // It is the light that has to be found.
        place.handle = light.handle.clone().or(place.handle);
        place.offset = Some(light.offset);
        note = note.at(place);
    }
    notes.push(note);
}
