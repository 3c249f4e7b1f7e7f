//! Recessed lights: INSERTs, bare circles and exploded symbols.
//!
//! Words: a *sighting* is one symbol seen on the drawing; sightings on one spot are one light.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::circles;
use super::classes::{Claim, Class, Classes};
use super::devices::kinds::text_middle;
use super::figures;
use super::legend;
use super::round::{Round, rounds};
use super::schedule::{Doubt, Schedule};
use super::shape::{bounds, chords, distance, finite};
use super::squares;
use super::tags::typical::Many;
use super::tags::{bubbles, lights_are, tags};
use super::tolerance::{LARGEST_LIGHT_RADIUS, LARGEST_SYMBOL, SAME_RADIUS, SMALLEST_LIGHT_RADIUS};
use crate::flatten::{Flat, Item, Prim, Symbol};
use crate::note::{Level, Note};
use crate::plan::Light;
use crate::rules::Rules;

/// From here on hatches with curved edges are doubtful enough for a warning.
const FEWEST_DOTS: usize = 3;

/// One symbol seen; `item` gives the order.
struct Sighting {
    item: usize,
    light: Light,
    /// Two types that its own marks and names say.
    conflict: Option<String>,
}

/// All lights of the drawing, in file order, marks that stand for several of them, and what each symbol was that was seen,
/// with where. Marks what it used in `claims`.
pub fn lights(
    flat: &Flat,
    classes: &Classes,
    rules: &Rules,
    claims: &mut [Claim],
    notes: &mut Vec<Note>,
) -> (Vec<Light>, Vec<Many>, Vec<(usize, Coord)>) {
    let schedule = Schedule::with_explained(rules);
    let mut seen = Vec::new();
    for (i, item) in flat.items.iter().enumerate() {
        if classes.of[i] != Class::Light || claims[i] != Claim::None || !item.visible {
            continue;
        }
        if let Prim::Symbol(symbol) = &item.prim {
            seen.extend(symbol_light(flat, classes, &schedule, i, symbol, claims, notes));
        }
    }
    seen.extend(bare_lights(flat, classes, (&schedule, rules), claims, notes));
    leave_legends(flat, classes, &mut seen, claims, notes);
    let taken: Vec<(usize, &Light)> = seen.iter().map(|s| (s.item, &s.light)).collect();
    let found = bubbles(flat, classes, &schedule, &taken, notes);
    let bubbles: BTreeSet<usize> = found.iter().map(|&n| seen[n].item).collect();
    bubbles.iter().for_each(|&item| no_light(classes, item, claims));
    seen.retain(|s| !bubbles.contains(&s.item));
    let taken: Vec<(usize, &Light)> = seen.iter().map(|s| (s.item, &s.light)).collect();
    let asked = circles::asked(flat, classes, (&schedule, rules), &taken, notes);
    let asked: BTreeSet<usize> = asked.iter().map(|&n| seen[n].item).collect();
    asked.iter().for_each(|&item| no_light(classes, item, claims));
    seen.retain(|s| !asked.contains(&s.item));
    for (i, item) in flat.items.iter().enumerate() {
        if classes.of[i] == Class::Light && claims[i] == Claim::None && item.visible {
            claims[i] = Claim::LightLinework;
        }
    }
    seen.sort_by_key(|s| s.item);
    let conflicts: Vec<(usize, String)> = (seen.iter())
        .filter_map(|s| Some((s.item, s.conflict.clone()?)))
        .collect();
    let items: Vec<(usize, Coord)> = seen.iter().map(|s| (s.item, s.light.at)).collect();
    let mut lights = stack(seen, rules.tolerance.stacked);
    contradicted(flat, &conflicts, &lights, notes);
    super::scaled::told(&lights, notes);
    let many = tags(flat, classes, (&schedule, &bubbles), &mut lights, claims, notes);
    (lights, many, items)
}

/// Says which symbols say two types, one note for all that say the same.
fn contradicted(flat: &Flat, conflicts: &[(usize, String)], lights: &[Light], notes: &mut Vec<Note>) {
    let by_offset: BTreeMap<usize, usize> = lights.iter().enumerate().map(|(l, x)| (x.offset, l)).collect();
    let mut told: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (n, (_, why)) in conflicts.iter().enumerate() {
        told.entry(why).or_default().push(n);
    }
    for (why, which) in told {
        let ids: BTreeSet<usize> = (which.iter())
            .filter_map(|&n| by_offset.get(&flat.items[conflicts[n].0].offset).copied())
            .collect();
        let ids: Vec<usize> = ids.into_iter().collect();
        if let (Some(&first), false) = (which.first(), ids.is_empty()) {
            let message = format!("{} {why}; correct one of the two", lights_are(&ids));
            notes.push(Note::warning("tag-conflict", message).at(flat.place(conflicts[first].0)));
        }
    }
}

/// A symbol taken for a light is none.
fn no_light(classes: &Classes, item: usize, claims: &mut [Claim]) {
    for i in classes.all_inside(item).into_iter().chain([item]) {
        if claims[i] == Claim::Light {
            claims[i] = Claim::LightLinework;
        }
    }
}

/// Takes out the symbols that explain the drawing in a legend or a schedule.
fn leave_legends(
    flat: &Flat,
    classes: &Classes,
    seen: &mut Vec<Sighting>,
    claims: &mut [Claim],
    notes: &mut Vec<Note>,
) {
    let symbols: Vec<(Coord, f64)> = seen.iter().map(|s| (s.light.at, s.light.drawn_radius)).collect();
    let legends = legend::Seeker::new(flat, classes).legends(&symbols);
    for (sighting, left) in seen.iter().zip(&legends.left) {
        if left.is_some() {
            no_light(classes, sighting.item, claims);
        }
    }
    let mut kept = legends.left.iter().map(Option::is_none);
    seen.retain(|_| kept.next().unwrap_or(true));
    notes.extend(legend::told(&legends));
}

/// The light an INSERT stands for; `None` where it holds several or shows nothing.
fn symbol_light(
    flat: &Flat,
    classes: &Classes,
    schedule: &Schedule<'_>,
    i: usize,
    symbol: &Symbol,
    claims: &mut [Claim],
    notes: &mut Vec<Note>,
) -> Option<Sighting> {
    let content = classes.all_inside(i);
    let shown: Vec<usize> = content
        .iter()
        .copied()
        .filter(|&c| flat.items[c].visible)
        .collect();
    let drawn: Vec<Coord> = shown
        .iter()
        .filter_map(|&c| chords(&flat.items[c].prim))
        .flat_map(|(points, _)| points)
        .collect();
    let found = rounds(flat, &shown);
    let at;
    let radius;
    if let Some((low, high)) = bounds(drawn) {
        let size = (high.x - low.x).max(high.y - low.y);
        let nested = shown
            .iter()
            .filter(|&&c| matches!(flat.items[c].prim, Prim::Symbol(_)) && classes.of[c] == Class::Light);
        let apart = |r: &Round| {
            found
                .iter()
                .any(|o| distance(o.center, r.center) > o.radius + r.radius)
        };
        if size > LARGEST_SYMBOL && (nested.count() > 1 || found.iter().any(apart)) {
            // A block of several lights: what is in it is looked at by itself.
            return None;
        }
        let middle = (low + high) * 0.5;
        let main = found
            .iter()
            .filter(|r| r.radius >= SMALLEST_LIGHT_RADIUS)
            .max_by(|a, b| {
                let nearer = distance(b.center, middle).total_cmp(&distance(a.center, middle));
                if (a.radius - b.radius).abs() <= SAME_RADIUS * a.radius.max(b.radius) {
                    nearer.then(b.item.cmp(&a.item))
                } else {
                    a.radius.total_cmp(&b.radius)
                }
            });
        at = main.map_or(middle, |r| heads(flat, symbol, &shown, &found, r));
        radius = main.map_or(size / 2.0, |r| r.radius);
    } else if !finite(symbol.at) {
        notes.push(
            Note::loss(
                "light-nowhere",
                format!(
                    "block {} stands at no usable point: a light may be missing; export the plan again",
                    symbol.block
                ),
            )
            .at(flat.place(i)),
        );
        return None;
    } else if content.is_empty() {
        notes.push(
            Note::warning(
                "light-empty",
                format!(
                    "block {} draws nothing: the light is taken at its insertion point",
                    symbol.block
                ),
            )
            .at(flat.place(i)),
        );
        at = symbol.at;
        radius = 0.0;
    } else if let Some(&body) = shown.iter().find(|&&c| super::unread::is_body(&flat.items[c])) {
        notes.push(
            Note::warning(
                "light-unread",
                format!(
                    "block {} is drawn as {}, which is not read: the light is taken at its insertion point",
                    symbol.block, flat.items[body].entity
                ),
            )
            .at(flat.place(i)),
        );
        at = symbol.at;
        radius = 0.0;
    } else {
        notes.push(
            Note::warning(
                "light-hidden",
                format!(
                    "block {} shows nothing that is drawn: no light is taken from it",
                    symbol.block
                ),
            )
            .at(flat.place(i)),
        );
        return None;
    }
    claims[i] = Claim::Light;
    for c in shown {
        claims[c] = Claim::Light;
    }
    let (tag, entry, doubt) = schedule.of_symbol(symbol);
    let conflict = match doubt {
        Some(Doubt::Unknown(why)) => {
            notes.push(Note::warning("tag-unknown", why).at(flat.place(i)));
            None
        }
        Some(Doubt::Conflict(why)) => Some(why),
        None => None,
    };
    let item = &flat.items[i];
    let block = Some(symbol.true_name.to_string());
    Some(Sighting {
        item: i,
        light: light(item, at, radius, block, tag, entry),
        conflict,
    })
}

/// The middle of a symbol whose main circle is `main`: of all its equal circles, as the heads of one housing are drawn,
/// those aside that hold letters where others do not.
fn heads(flat: &Flat, symbol: &Symbol, shown: &[usize], found: &[Round], main: &Round) -> Coord {
    let mut texts: Vec<Coord> = symbol.attribs.iter().map(|a| a.at).collect();
    texts.extend(shown.iter().filter_map(|&c| text_middle(&flat.items[c].prim)));
    let equal = |r: &&Round| (r.radius - main.radius).abs() <= SAME_RADIUS * main.radius;
    let plain = |r: &&Round| !texts.iter().any(|t| distance(*t, r.center) < r.radius);
    let centers = found.iter().filter(equal).filter(plain).map(|r| r.center);
    bounds(centers).map_or(main.center, |(low, high)| (low + high) * 0.5)
}

fn light(
    item: &Item,
    at: Coord,
    drawn_radius: f64,
    block: Option<String>,
    tag: Option<String>,
    schedule: Option<usize>,
) -> Light {
    Light {
        at,
        tag,
        block,
        handle: item.handle.as_ref().map(|h| h.to_string()),
        offset: item.offset,
        drawn_radius,
        schedule,
        stacked: Vec::new(),
        room: None,
        rows: Vec::new(),
        bay: None,
    }
}

/// Bare circles on light layers, with the crosses and inner circles of exploded symbols. A circle
/// inside a small INSERT of no class of its own makes that INSERT the symbol.
fn bare_lights(
    flat: &Flat,
    classes: &Classes,
    (schedule, rules): (&Schedule<'_>, &Rules),
    claims: &mut [Claim],
    notes: &mut Vec<Note>,
) -> Vec<Sighting> {
    let free: Vec<usize> = (0..flat.items.len())
        .filter(|&i| classes.of[i] == Class::Light && claims[i] == Claim::None && flat.items[i].visible)
        .collect();
    let mut found = Vec::new();
    let mut odd = 0;
    for round in rounds(flat, &free) {
        if (SMALLEST_LIGHT_RADIUS..=LARGEST_LIGHT_RADIUS).contains(&round.radius) {
            found.push(round);
        } else if round.radius > LARGEST_LIGHT_RADIUS {
            odd += 1;
        }
    }
    if odd > 0 {
        notes.push(Note::info(
            "light-too-large",
            format!("{odd} circle(s) on light layers are over 3 ft across: not taken for lights"),
        ));
    }
    found.extend(squares::squares(flat, &free, &found, rules, notes));
    found.extend(figures::figures(flat, &free, &found, rules, notes));
    let filled = |&&i: &&usize| {
        let item = &flat.items[i];
        &*item.entity == "HATCH" && matches!(item.prim, Prim::Opaque | Prim::Region { curved: true, .. })
    };
    let filled = free.iter().filter(filled).count();
    if filled > found.len() {
        // One or two may be a pattern, more are symbols.
        let level = if filled < FEWEST_DOTS {
            Level::Info
        } else {
            Level::Warning
        };
        notes.push(Note::new(
            level,
            "light-filled",
            format!(
                "{filled} hatch(es) with curved edges on light layers are not read: if they are lights drawn as solid \
                 dots, draw their circles too"
            ),
        ));
    }
    // Largest first, so that the main circle of a symbol comes before what is inside it.
    found.sort_by(|a, b| b.radius.total_cmp(&a.radius).then(a.item.cmp(&b.item)));
    let tree = RTree::bulk_load(
        found
            .iter()
            .enumerate()
            .map(|(n, r)| GeomWithData::new([r.center.x, r.center.y], n))
            .collect(),
    );
    let mut main_of: Vec<usize> = (0..found.len()).collect();
    for n in 0..found.len() {
        if main_of[n] != n {
            continue;
        }
        let (c, r) = (found[n].center, found[n].radius);
        for near in tree.locate_within_distance([c.x, c.y], r * r) {
            let other = &found[near.data];
            let same = (other.radius - r).abs() <= SAME_RADIUS * r;
            if near.data > n && main_of[near.data] == near.data && !same {
                main_of[near.data] = n;
            }
        }
    }
    let mut seen = Vec::new();
    let mut taken = vec![false; flat.items.len()];
    let mut small: BTreeMap<usize, bool> = BTreeMap::new();
    for (n, round) in found.iter().enumerate() {
        for &part in &round.parts {
            claims[part] = Claim::Light;
        }
        if main_of[n] != n {
            continue;
        }
        let host = flat.items[round.item]
            .within
            .filter(|&w| *small.entry(w).or_insert_with(|| is_small(flat, classes, w)));
        if let Some(w) = host
            && let Prim::Symbol(symbol) = &flat.items[w].prim
        {
            if !std::mem::replace(&mut taken[w], true) {
                claims[w] = Claim::Light;
                for c in classes.all_inside(w) {
                    if flat.items[c].visible {
                        claims[c] = Claim::Light;
                    }
                }
                let (tag, entry, doubt) = schedule.of_symbol(symbol);
                let conflict = doubt.and_then(|d| match d {
                    Doubt::Conflict(why) => Some(why),
                    Doubt::Unknown(_) => None,
                });
                let block = Some(symbol.true_name.to_string());
                let light = light(&flat.items[w], round.center, round.radius, block, tag, entry);
                seen.push(Sighting {
                    item: w,
                    light,
                    conflict,
                });
            }
            continue;
        }
        let light = light(
            &flat.items[round.item],
            round.center,
            round.radius,
            None,
            None,
            None,
        );
        seen.push(Sighting {
            item: round.item,
            light,
            conflict: None,
        });
    }
    claim_crosses(flat, &free, &tree, &found, claims);
    seen
}

pub fn is_small(flat: &Flat, classes: &Classes, symbol: usize) -> bool {
    let points = classes
        .all_inside(symbol)
        .into_iter()
        .filter_map(|c| chords(&flat.items[c].prim))
        .flat_map(|(points, _)| points);
    bounds(points).is_some_and(|(low, high)| (high.x - low.x).max(high.y - low.y) <= LARGEST_SYMBOL)
}

/// Lines wholly within one and a half radii of a bare light belong to its symbol.
fn claim_crosses(
    flat: &Flat,
    free: &[usize],
    tree: &RTree<GeomWithData<[f64; 2], usize>>,
    found: &[Round],
    claims: &mut [Claim],
) {
    for &i in free {
        if claims[i] != Claim::None {
            continue;
        }
        let Some((points, _)) = chords(&flat.items[i].prim) else {
            continue;
        };
        let Some((low, high)) = bounds(points.iter().copied()) else {
            continue;
        };
        let middle = (low + high) * 0.5;
        let Some(near) = tree.nearest_neighbor([middle.x, middle.y]) else {
            continue;
        };
        let round = &found[near.data];
        if points
            .iter()
            .all(|&p| distance(p, round.center) <= 1.5 * round.radius)
        {
            claims[i] = Claim::Light;
        }
    }
}

/// Folds sightings on one spot into one light.
fn stack(seen: Vec<Sighting>, within: f64) -> Vec<Light> {
    let mut lights: Vec<Light> = Vec::with_capacity(seen.len());
    let mut tree: RTree<GeomWithData<[f64; 2], usize>> = RTree::new();
    for Sighting { light, .. } in seen {
        let at = [light.at.x, light.at.y];
        let near = tree
            .locate_within_distance(at, within * within)
            .map(|g| g.data)
            .min();
        if let Some(n) = near {
            let first = &mut lights[n];
            if first.schedule.is_none() && light.schedule.is_some() {
                first.schedule = light.schedule;
                first.tag = light.tag;
            }
            first.stacked.push(light.at);
        } else {
            tree.insert(GeomWithData::new(at, lights.len()));
            lights.push(light);
        }
    }
    lights
}
