//! Parts of a ceiling that are lower, or higher, than the rest: what stands in them, and circles among their edges.
//!
//! Lights may stand in a soffit, so its edges alone are in the way. Its framing and its height are not in the
//! plan, so that what is said of the bays there is of the joists above: that is told of.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;

use super::LOWERED;
use crate::flatten::{Flat, Prim};
use crate::length::{feet_inches, inches_only};
use crate::note::Note;
use crate::plan::{LightId, Plan};
use crate::recognise::classes::{Class, Classes};
use crate::recognise::drawn_as::{Writing, answers};
use crate::recognise::shape::{area, bounds, chords, contains, distance, rectangle};
use crate::recognise::tolerance::APERTURE;
use crate::rules::line::with_layer;
use crate::rules::{Rules, listed};

/// Ends of lines this near meet, inches.
const CORNER: f64 = 0.5;
/// Items and loose lines of one layer that are looked at, and most sides of an outline.
const MOST: usize = 1000;
const SIDES: usize = 64;
/// Most lights that a note names.
const NAMED: usize = 8;

/// Asks about circles of a light's size on layers of soffits; each is its item, its centre and its radius.
pub fn round(flat: &Flat, found: &[(usize, Coord, f64)], rules: &Rules, notes: &mut Vec<Note>) {
    if found.is_empty() {
        return;
    }
    let writing = Writing::new(flat);
    let mut told: BTreeMap<(&str, String), Vec<(usize, String)>> = BTreeMap::new();
    for &(item, at, radius) in found {
        let layer = &flat.items[item].layer;
        let name = writing.circle(layer, at, radius);
        if crate::recognise::drawn_as::ruled(&rules.read, &name).is_none() {
            told.entry((layer, inches_only(2.0 * radius)))
                .or_default()
                .push((item, name));
        }
    }
    for ((layer, across), which) in told {
        let names: BTreeSet<String> = which.iter().map(|w| w.1.clone()).collect();
        notes.push(
            Note::warning(
                "soffit-circles",
                format!(
                    "{} circle(s) {across} across on layer {layer}, which is of soffits, are of a light's size and taken for edges of \
                     something lower: {}",
                    which.len(),
                    answers(rules, &names)
                ),
            )
            .at(flat.place(which[0].0)),
        );
    }
}

/// Says which lights stand within what layers of soffits and the like go round.
pub fn lights_in(flat: &Flat, classes: &Classes, plan: &Plan, rules: &Rules, notes: &mut Vec<Note>) {
    if plan.lights.is_empty() {
        return;
    }
    let lowered = listed(LOWERED);
    let mut layers: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (i, item) in flat.items.iter().enumerate() {
        if item.visible && classes.of[i] == Class::Device && lowered.layer_matches(&item.layer) {
            layers.entry(&item.layer).or_default().push(i);
        }
    }
    for (layer, items) in layers {
        let rings: Vec<(Vec<Coord>, (Coord, Coord))> = (rings(flat, &items).into_iter())
            .filter_map(|ring| bounds(ring.iter().copied()).map(|b| (ring, b)))
            .collect();
        let holds = |(ring, (low, high)): &&(Vec<Coord>, (Coord, Coord)), p: Coord| {
            (low.x..=high.x).contains(&p.x) && (low.y..=high.y).contains(&p.y) && contains(ring, p)
        };
        let inside: Vec<(usize, &Vec<Coord>)> = (plan.lights.iter().enumerate())
            .filter_map(|(l, light)| Some((l, &rings.iter().find(|r| holds(r, light.at))?.0)))
            .collect();
        let Some((_, ring)) = inside.first() else { continue };
        // A round one is as long as it is wide any way it is turned.
        let corners: Vec<Coord> = ring.iter().step_by(ring.len().div_ceil(SIDES)).copied().collect();
        let (long, wide) = rectangle(&corners);
        let mut named: Vec<String> = (inside.iter().take(NAMED))
            .map(|(l, _)| LightId(*l).to_string())
            .collect();
        if inside.len() > NAMED {
            named.push(format!("{} more", inside.len() - NAMED));
        }
        notes.push(Note::warning(
            "soffit-lights",
            format!(
                "{} of the lights ({}) stand within what layer {layer} goes round (such as {} by {}): how much lower or higher \
                 that is and how it is framed is not drawn, so what is said of their bays is of the joists above it; if it shows nothing that is \
                 lower or higher write under [read] in bayline.toml {}",
                inside.len(),
                named.join(", "),
                feet_inches(long),
                feet_inches(wide),
                with_layer("ignore", &rules.read.ignore, layer)
            ),
        ));
    }
}

/// Closed outlines among some items: those drawn so, and those that loose lines form.
fn rings(flat: &Flat, items: &[usize]) -> Vec<Vec<Coord>> {
    let mut found = Vec::new();
    let mut open: Vec<(Coord, Coord)> = Vec::new();
    for &i in items.iter().take(MOST) {
        // A circle of a light's size is asked about by itself.
        if let Prim::Circle { radius, .. } = flat.items[i].prim
            && APERTURE.contains(&(2.0 * radius))
        {
            continue;
        }
        let Some((points, closed)) = chords(&flat.items[i].prim) else {
            continue;
        };
        match (closed, points.first(), points.last()) {
            (true, ..) => found.push(points),
            (false, Some(a), Some(b)) if points.len() > 3 && distance(*a, *b) <= CORNER => found.push(points),
            _ if open.len() + points.len() <= MOST => open.extend(points.windows(2).map(|w| (w[0], w[1]))),
            _ => {}
        }
    }
    let mut used = vec![false; open.len()];
    for start in 0..open.len() {
        if used[start] {
            continue;
        }
        let mut ring = vec![open[start].0, open[start].1];
        let mut own = vec![start];
        while ring.len() <= SIDES && distance(ring[0], ring[ring.len() - 1]) > CORNER {
            let end = ring[ring.len() - 1];
            let next = (0..open.len())
                .filter(|k| !used[*k] && !own.contains(k))
                .find_map(|k| {
                    let (a, b) = open[k];
                    let on = |p: Coord| distance(p, end) <= CORNER;
                    on(a).then_some((k, b)).or(on(b).then_some((k, a)))
                });
            let Some((k, to)) = next else { break };
            own.push(k);
            ring.push(to);
        }
        if ring.len() > 3 && distance(ring[0], ring[ring.len() - 1]) <= CORNER {
            ring.pop();
            own.iter().for_each(|&k| used[k] = true);
            found.push(ring);
        }
    }
    found.retain(|r| r.len() >= 3 && area(r).abs() > 0.0 && bounds(r.iter().copied()).is_some());
    found
}
