//! Evidence for lights: one symbol, 3 to 12 in across, that stands in even rows in rooms.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::super::classes::{Class, Classes};
use super::super::legend::{Meaning, Seeker, meaning};
use super::super::reading::Named;
use super::super::round::{Round, is_disc, rounds};
use super::super::schedule::Schedule;
use super::super::shape::{bounds, chords, contains, distance, dot, finite, length, point_to_segment};
use super::super::tolerance::{LARGEST_LIGHT_RADIUS, SAME_RADIUS};
use super::half::{HELD, Half};
use super::rooms::House;
use super::{ASKED, Basis, Blank, Judged, says_nothing, sides};
use crate::flatten::{Flat, Prim, Symbol};
use crate::length::inches_only;
use crate::rules::{Rules, folded};

/// Across, inches (common practice for symbols on house plans).
const ACROSS: std::ops::RangeInclusive<f64> = 3.0..=12.0;
/// Blocks that are a little smaller or larger, or neither round nor square, are asked about where nothing else is.
const UNUSUAL: std::ops::RangeInclusive<f64> = 2.0..=18.0;
/// The longer side of such a block is no longer than this many times its shorter one.
const LONGER: f64 = 1.3;
/// The whole symbol with its cross and arrows.
const WHOLE: f64 = 24.0;
/// Fewer make no row.
const FEWEST: usize = 3;
/// From light to light in a row.
const APART: std::ops::RangeInclusive<f64> = 20.0..=192.0;
/// Without a mark, what stands further from the next than this (median) may be columns or sprinklers as well: half
/// the ceiling's height to nine feet is common for lights, ten and more for the others (common practice).
const FAR: f64 = 108.0;
/// Off the even place.
const OFF: f64 = 2.0;
/// Neighbours looked at.
const NEIGHBOURS: usize = 12;
/// Most symbols of one kind that a house has.
const MOST: usize = 500;
/// What stands nearer to the next than lights do, in one room, is one thing: burners, a table's chairs.
const ONE_THING: f64 = 0.4;
/// As large as lights that names give, and so the more likely.
const SAME_SIZE: f64 = 0.15;

/// Equal symbols.
struct Group {
    named: Named,
    name: Arc<str>,
    across: f64,
    at: Vec<Coord>,
    items: Vec<usize>,
    /// Of these, with a mark of the schedule.
    marked: usize,
    /// A name tells half, and one speaks of a ceiling.
    half: bool,
    of_ceilings: bool,
    /// Of a usual size and shape.
    usual: bool,
    /// A legend's words beside one of them, and what they mean.
    explained: Option<(String, Meaning)>,
}

/// Loose circles that a legend says are something else are asked about.
const EXPLAINED_AWAY: f64 = 0.6;

/// What reads as lights; blocks that do are put into `classes` here, with what is in them. `known` holds the sizes of
/// lights that are known, inches across.
pub fn lights(
    flat: &Flat,
    classes: &mut Classes,
    rules: &Rules,
    (blank, house): (&Blank, &House),
    names: Option<&Half>,
    known: &[f64],
) -> Vec<Judged> {
    let mut groups = symbols(flat, classes, rules, blank, names);
    groups.extend(circles(flat, blank, names));
    groups.retain(|g| (FEWEST..=MOST).contains(&g.at.len()));
    explain(flat, classes, &mut groups);
    let beside = Beside::new(flat, blank);
    let weighed: Vec<Weighed> = groups.iter().map(|g| weigh(g, &beside, house)).collect();
    let plain = groups
        .iter()
        .zip(&weighed)
        .any(|(g, w)| g.usual && w.confidence >= ASKED);
    let said: Vec<Option<String>> = (0..groups.len()).map(|k| doubt(&groups, &weighed, k)).collect();
    let mut found = Vec::new();
    for ((group, weighed), doubt) in groups.into_iter().zip(weighed).zip(said) {
        if plain && !group.usual {
            continue;
        }
        let alone = doubt.is_none() && weighed.confidence != ONE_THING;
        let mut confidence = (weighed.confidence + if alone { 0.2 } else { 0.0 }).min(1.0);
        if known.iter().any(|k| (k - group.across).abs() <= 0.02 * k) {
            confidence = (confidence + SAME_SIZE).min(1.0);
        }
        if group.half {
            confidence = Half::held_lights(confidence, alone, group.of_ceilings);
        }
        if !group.usual {
            confidence = confidence.min(HELD);
        }
        let mut why = weighed.why;
        if let Some((words, says)) = &group.explained {
            why += &format!(", and the legend says \"{words}\"");
            if *says != Meaning::Recessed {
                confidence = confidence.min(EXPLAINED_AWAY);
            }
        }
        if weighed.one_a_room {
            why += ", one in each, as alarms stand too: it goes under [read] devices if it is one";
        }
        let judged = Judged {
            named: group.named,
            name: group.name,
            class: Class::Light,
            count: group.at.len(),
            confidence,
            why: doubt.map_or(why.clone(), |doubt| format!("{why}; {doubt}")),
            basis: if group.half { Basis::Half } else { Basis::Nothing },
        };
        if judged.taken() && judged.named == Named::Block {
            for &i in &group.items {
                classes.of[i] = Class::Light;
                for inside in classes.all_inside(i) {
                    classes.of[inside] = Class::Light;
                }
            }
        }
        found.push(judged);
    }
    found
}

/// Loose circles that a legend explains; it has spoken of blocks already.
fn explain(flat: &Flat, classes: &Classes, groups: &mut [Group]) {
    if !groups.iter().any(|g| g.named == Named::Layer) {
        return;
    }
    let seeker = Seeker::new(flat, classes);
    for group in groups.iter_mut().filter(|g| g.named == Named::Layer) {
        let radius = group.across / 2.0;
        let places: Vec<(Coord, f64)> = group.at.iter().map(|&p| (p, radius)).collect();
        let mut said: Vec<(String, Meaning)> = (seeker.words(&places).into_iter().flatten())
            .filter_map(|w| meaning(&w).map(|says| (w, says)))
            .collect();
        said.dedup_by_key(|s| s.1);
        if let [one] = &said[..] {
            group.explained = Some(one.clone());
        }
    }
}

/// From here on a kind of symbol is a rival of others.
const RIVAL: f64 = 0.5;
/// A sprinkler is drawn no larger, and smaller than the lights beside it.
const SPRINKLER: f64 = 4.0;
const SMALLER: f64 = 1.2;
/// Most rivals that are named.
const MOST_NAMED: usize = 3;

/// A kind of symbol, others aside.
struct Weighed {
    confidence: f64,
    why: String,
    /// Most stand in even rows.
    rows: bool,
    /// All stand in rooms, each in one of its own.
    one_a_room: bool,
}

/// The kinds that stand like one: two are sprinklers and lights as well as two kinds of lights.
fn doubt(groups: &[Group], weighed: &[Weighed], k: usize) -> Option<String> {
    let (group, own) = (&groups[k], &weighed[k]);
    let means = |g: &Group| g.explained.as_ref().map(|e| e.1);
    if means(group) == Some(Meaning::Recessed) {
        return None;
    }
    let rival = |o: &usize| {
        let (other, its) = (&groups[*o], &weighed[*o]);
        let smaller = group.across <= SPRINKLER && other.across > SMALLER * group.across;
        // One in each room is an alarm or a lamp, and says nothing against rows of lights.
        let aside = own.rows && !own.one_a_room && its.one_a_room && !smaller;
        let marked = group.marked == group.at.len() && other.marked == 0;
        let told_apart = means(other).is_some_and(|m| m != Meaning::Recessed);
        *o != k && other.usual && its.confidence >= RIVAL && !aside && !marked && !told_apart
    };
    let rivals: Vec<usize> = (0..groups.len()).filter(rival).collect();
    let named: Vec<String> = (rivals.iter().take(MOST_NAMED))
        .map(|&o| {
            let what = match groups[o].named {
                Named::Layer => "circles of layer",
                Named::Block => "block",
            };
            let (name, count) = (&groups[o].name, groups[o].at.len());
            format!(
                "{what} {name} ({count}, {} across)",
                inches_only(groups[o].across)
            )
        })
        .collect();
    let more = match rivals.len().saturating_sub(MOST_NAMED) {
        0 => String::new(),
        n => format!(" and {n} more kinds"),
    };
    (!rivals.is_empty()).then(|| {
        format!(
            "other symbols stand alike: {}{more}; sprinklers and alarms among them go under [read] devices",
            named.join(", ")
        )
    })
}

/// INSERTs of blocks whose names say nothing, on layers whose names say nothing; or whose names tell half.
fn symbols(flat: &Flat, classes: &Classes, rules: &Rules, blank: &Blank, names: Option<&Half>) -> Vec<Group> {
    let schedule = Schedule::new(rules);
    let mut groups: BTreeMap<&Arc<str>, Group> = BTreeMap::new();
    for &i in blank.layers.values().flatten() {
        let Prim::Symbol(symbol) = &flat.items[i].prim else {
            continue;
        };
        // What is in a symbol is part of it.
        let part = flat.items[i]
            .within
            .is_some_and(|w| w < i && small(flat, classes, w));
        let told = [&symbol.true_name, &symbol.block];
        let told = told.into_iter().filter(|name| !says_nothing(name));
        let may =
            |name: &Arc<str>| names.is_some_and(|n| n.tells(name)) && !rules.read.lights.block_excluded(name);
        if part || !told.clone().all(may) {
            continue;
        }
        let Some((at, across, usual)) = main(flat, classes, i) else {
            continue;
        };
        let group = groups.entry(&symbol.true_name).or_insert_with(|| Group {
            named: Named::Block,
            name: symbol.true_name.clone(),
            across,
            at: Vec::new(),
            items: Vec::new(),
            marked: 0,
            half: false,
            of_ceilings: false,
            usual: true,
            explained: None,
        });
        group.at.push(at);
        group.items.push(i);
        group.usual &= usual;
        let layer = &flat.items[i].layer;
        group.half |= told.clone().next().is_some() || !says_nothing(layer);
        group.of_ceilings |= names.is_some_and(|n| n.of_ceilings(layer));
        group.marked += usize::from(marked(&schedule, symbol));
    }
    groups.into_values().collect()
}

fn marked(schedule: &Schedule, symbol: &Symbol) -> bool {
    symbol.attribs.iter().any(|a| schedule.entry(&a.text).is_some())
}

pub(super) fn small(flat: &Flat, classes: &Classes, symbol: usize) -> bool {
    extent(flat, classes, symbol).is_some_and(|(low, high)| length(high - low) <= 2.0 * WHOLE)
}

fn extent(flat: &Flat, classes: &Classes, symbol: usize) -> Option<(Coord, Coord)> {
    let inside = classes.all_inside(symbol);
    let drawn = inside.iter().filter(|&&c| flat.items[c].visible);
    let points = drawn.filter_map(|&c| chords(&flat.items[c].prim));
    bounds(points.flat_map(|(points, _)| points))
}

/// Centre and size of a symbol's circle or square, and whether it is of a light's size; else those of the whole where it
/// may be one.
fn main(flat: &Flat, classes: &Classes, symbol: usize) -> Option<(Coord, f64, bool)> {
    let (low, high) = extent(flat, classes, symbol)?;
    let size = high - low;
    if size.x.max(size.y) > WHOLE {
        return None;
    }
    let inside = classes.all_inside(symbol);
    let round = rounds(flat, &inside)
        .into_iter()
        .max_by(|a, b| a.radius.total_cmp(&b.radius));
    if let Some(round) = round {
        let across = 2.0 * round.radius;
        return (UNUSUAL.contains(&across)).then(|| (round.center, across, ACROSS.contains(&across)));
    }
    let square = inside.iter().find_map(|&c| match &flat.items[c].prim {
        Prim::Path {
            vertices,
            closed: true,
        } if vertices.len() == 4 => square(&vertices.iter().map(|v| v.at).collect::<Vec<Coord>>()),
        _ => None,
    });
    if let Some((at, across)) = square {
        return Some((at, across, true));
    }
    let (long, short) = (size.x.max(size.y), size.x.min(size.y));
    (UNUSUAL.contains(&long) && long <= LONGER * short).then(|| ((low + high) * 0.5, long, false))
}

/// Centre and side of a square of a light's size.
fn square(ring: &[Coord]) -> Option<(Coord, f64)> {
    let side = |k: usize| ring[(k + 1) % 4] - ring[k];
    let across = length(side(0));
    let square = (0..4).all(|k| {
        (length(side(k)) - across).abs() <= 0.02 * across
            && dot(side(k), side((k + 1) % 4)).abs() <= 0.02 * across * across
    });
    (square && ACROSS.contains(&across)).then(|| ((ring[0] + ring[2]) * 0.5, across))
}

/// How large the lights are that are known, inches across.
pub fn sizes(flat: &Flat, classes: &Classes) -> Vec<f64> {
    let lit = |i: &usize| classes.of[*i] == Class::Light && flat.items[*i].visible;
    let all: Vec<usize> = (0..flat.items.len()).filter(lit).collect();
    let mut sizes: Vec<f64> = rounds(flat, &all).iter().map(|r| 2.0 * r.radius).collect();
    sizes.retain(|s| ACROSS.contains(s));
    sizes.sort_by(f64::total_cmp);
    sizes.dedup_by(|a, b| (*a - *b).abs() <= 0.01 * *b);
    sizes
}

/// Equal bare circles on one layer.
fn circles(flat: &Flat, blank: &Blank, names: Option<&Half>) -> Vec<Group> {
    let mut found = Vec::new();
    let bare = |items: &[usize]| -> Vec<usize> {
        (items.iter().copied())
            .filter(|&i| flat.items[i].within.is_none())
            .collect()
    };
    // A disc in a circle is a part of that symbol, whatever its layer.
    let discs = blank.layers.values().flatten().any(|&i| is_disc(flat, i));
    let loose: Vec<usize> = (0..if discs { flat.items.len() } else { 0 })
        .filter(|&i| flat.items[i].visible && flat.items[i].within.is_none() && !is_disc(flat, i))
        .collect();
    let around: Vec<Round> = (rounds(flat, &loose).into_iter())
        .filter(|r| r.radius <= LARGEST_LIGHT_RADIUS && finite(r.center))
        .collect();
    let spots = around
        .iter()
        .map(|r| GeomWithData::new([r.center.x, r.center.y], r.radius));
    let around = RTree::bulk_load(spots.collect());
    let fills = |r: &Round| {
        let reach = LARGEST_LIGHT_RADIUS * LARGEST_LIGHT_RADIUS;
        let mut near = around.locate_within_distance([r.center.x, r.center.y], reach);
        let inside = |c: &GeomWithData<[f64; 2], f64>| {
            let [x, y] = *c.geom();
            let off = (x - r.center.x).hypot(y - r.center.y);
            off + r.radius <= c.data * (1.0 + SAME_RADIUS)
        };
        is_disc(flat, r.item) && finite(r.center) && near.any(inside)
    };
    for (layer, items) in &blank.layers {
        let bare = bare(items);
        let mut sizes: BTreeMap<i64, Vec<(Coord, f64, usize)>> = BTreeMap::new();
        for round in rounds(flat, &bare) {
            if ACROSS.contains(&(2.0 * round.radius)) && finite(round.center) && !fills(&round) {
                let size = (round.radius * 16.0).round() as i64;
                sizes
                    .entry(size)
                    .or_default()
                    .push((round.center, round.radius, round.item));
            }
        }
        for group in sizes.into_values() {
            found.push(Group {
                named: Named::Layer,
                name: (*layer).clone(),
                across: 2.0 * group[0].1,
                at: group.iter().map(|g| g.0).collect(),
                items: group.iter().map(|g| g.2).collect(),
                marked: 0,
                half: !says_nothing(layer),
                of_ceilings: names.is_some_and(|n| n.of_ceilings(layer)),
                usual: true,
                explained: None,
            });
        }
    }
    found
}

/// How sure a kind of symbol is lights, others aside, and what was seen.
fn weigh(group: &Group, beside: &Beside, house: &House) -> Weighed {
    let all = group.at.len();
    let share = |n: usize| n as f64 / all as f64;
    let rows = in_rows(&group.at);
    let room = |p: &Coord| house.rooms.iter().position(|r| contains(r, *p));
    let rooms: Vec<usize> = group.at.iter().filter_map(room).collect();
    let housed = rooms.len();
    let apart: BTreeSet<usize> = rooms.into_iter().collect();
    let (lettered, threaded) = (beside.lettered(group), beside.threaded(group));
    let count = if all > FEWEST { 0.25 } else { 0.15 };
    let far = to_the_next(&group.at);
    let confidence = count + 0.25 * share(rows) + 0.25 * share(housed) + 0.15 * share(group.marked)
        - 0.4 * share(lettered)
        // Some stand on lines of a floor's pattern by chance.
        - 0.4 * (2.0 * share(threaded) - 1.0).max(0.0)
        - if far > FAR && group.marked == 0 { 0.15 * share(rows) } else { 0.0 };
    let one_thing = rows == 0 && apart.len() <= 1 && far < *APART.start();
    let confidence = if one_thing {
        confidence.min(ONE_THING)
    } else {
        confidence
    };
    let mut why = format!(
        "{all} equal symbols {} across, {rows} in even rows, {housed} in rooms",
        inches_only(group.across)
    );
    if far > FAR {
        why += &format!(", {} from one to the next", inches_only(far));
    }
    Weighed {
        confidence: confidence.max(0.0),
        why,
        rows: 2 * rows >= all,
        one_a_room: apart.len() == all,
    }
}

/// From each to the nearest other one, the median.
fn to_the_next(at: &[Coord]) -> f64 {
    let tree = RTree::bulk_load(at.iter().map(|p| [p.x, p.y]).collect());
    let nearest = |p: &Coord| {
        let next = tree.nearest_neighbor_iter([p.x, p.y]).nth(1);
        next.map_or(0.0, |q| (q[0] - p.x).hypot(q[1] - p.y))
    };
    let mut all: Vec<f64> = at.iter().map(nearest).collect();
    all.sort_by(f64::total_cmp);
    all.get(all.len() / 2).copied().unwrap_or(0.0)
}

/// How many stand in an even row of three, or at the corners of a rectangle.
pub fn in_rows(at: &[Coord]) -> usize {
    let tree = RTree::bulk_load(
        (at.iter().enumerate())
            .map(|(n, p)| GeomWithData::new([p.x, p.y], n))
            .collect(),
    );
    let stands = |p: Coord| {
        let near = tree.nearest_neighbor([p.x, p.y]);
        near.is_some_and(|g| distance(at[g.data], p) <= OFF)
    };
    let in_row = |&p: &Coord| {
        let near: Vec<Coord> = (tree.nearest_neighbor_iter([p.x, p.y]))
            .map(|g| at[g.data])
            .filter(|&q| APART.contains(&distance(p, q)))
            .take(NEIGHBOURS)
            .collect();
        near.iter().enumerate().any(|(k, &q)| {
            let across = |r: &Coord| {
                let (d, e) = (q - p, *r - p);
                dot(d, e).abs() <= 0.02 * length(d) * length(e) && stands(q + e)
            };
            stands(p * 2.0 - q) || stands(q * 2.0 - p) || near[..k].iter().any(across)
        })
    };
    at.iter().filter(|p| in_row(p)).count()
}

/// Letters in the circle of a recessed light (common practice).
const OF_LIGHTS: [&str; 5] = ["R", "RL", "DL", "RD", "LED"];

/// What stands by symbols that are no lights.
struct Beside {
    /// Letters of lights aside.
    texts: RTree<[f64; 2]>,
    /// Straight lines on layers that say nothing and are not taken for anything yet.
    lines: Vec<(Coord, Coord)>,
}

impl Beside {
    fn new(flat: &Flat, blank: &Blank) -> Self {
        let texts = (flat.items.iter().filter(|item| item.visible)).filter_map(|item| match &item.prim {
            Prim::Text { at, text, .. } if finite(*at) && !OF_LIGHTS.contains(&&*folded(text.trim())) => {
                Some([at.x, at.y])
            }
            _ => None,
        });
        Beside {
            texts: RTree::bulk_load(texts.collect()),
            lines: (blank.layers.values())
                .flat_map(|items| sides(flat, items))
                .collect(),
        }
    }

    /// How many have a text in them, as marks of axes and notes do.
    fn lettered(&self, group: &Group) -> usize {
        let inside = |p: &&Coord| {
            let near = self.texts.nearest_neighbor([p.x, p.y]);
            near.is_some_and(|t| (t[0] - p.x).hypot(t[1] - p.y) < group.across / 2.0)
        };
        group.at.iter().filter(inside).count()
    }

    /// How many stand on a long line: columns on axes, bolts along a plate.
    fn threaded(&self, group: &Group) -> usize {
        let long: Vec<&(Coord, Coord)> = (self.lines.iter())
            .filter(|(a, b)| distance(*a, *b) > 4.0 * group.across)
            .collect();
        let on = |p: &&Coord| {
            let mut near = long.iter().map(|(a, b)| point_to_segment(**p, *a, *b));
            near.any(|d| d <= 0.02 * group.across)
        };
        group.at.iter().filter(on).count()
    }
}
