//! Evidence for lights: one symbol, 3 to 12 in across, that stands in even rows in rooms.

use std::collections::BTreeSet;

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::super::classes::{Class, Classes};
use super::super::legend::{Meaning, Seeker, meaning};
use super::super::letters::recessed;
use super::super::reading::Named;
use super::super::shape::{contains, distance, dot, finite, length, point_to_segment};
use super::groups::{Group, circles, symbols};
use super::half::{HELD, Half};
use super::rooms::House;
use super::{ASKED, Basis, Blank, Judged, sides};
use crate::flatten::{Flat, Prim};
use crate::length::inches_only;
use crate::rules::Rules;

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
/// Circles of one symbol share their middle within this, inches.
const INNER: f64 = 0.25;
/// As large as lights that names give, and so the more likely.
const SAME_SIZE: f64 = 0.15;

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
    groups.extend(circles(flat, classes, blank, names));
    groups.retain(|g| (FEWEST..=MOST).contains(&g.at.len()));
    without_inner(&mut groups);
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
            why += ", one in each, as alarms stand too: it goes under [read] devices, as one of more_blocks, if it is one";
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

/// Circles that all stand in the middle of larger ones of their layer are parts of those symbols, and no kind of their own.
fn without_inner(groups: &mut Vec<Group>) {
    let inner = |g: &Group, o: &Group| {
        let alike = g.named == Named::Layer && o.named == Named::Layer && g.name == o.name;
        let within = |p: &Coord| o.at.iter().any(|q| distance(*p, *q) <= INNER);
        alike && g.across < o.across && g.at.len() == o.at.len() && g.at.iter().all(within)
    };
    let mut drawn: Vec<bool> = (groups.iter())
        .map(|g| !groups.iter().any(|o| inner(g, o)))
        .collect();
    drawn.reverse();
    groups.retain(|_| drawn.pop().unwrap_or(true));
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
/// Of what stands in rows there is this many times as much as of something strewn about, a table's chairs, that says
/// nothing against it.
const FEW_BESIDE: usize = 4;
/// Most rivals that are named.
const MOST_NAMED: usize = 3;

/// A kind of symbol, others aside.
struct Weighed {
    confidence: f64,
    why: String,
    in_rows: usize,
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
        let strewn = its.in_rows == 0 && FEW_BESIDE * other.at.len() <= group.at.len();
        let aside = own.rows && !smaller && (!own.one_a_room && its.one_a_room || strewn);
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
            "other symbols stand alike: {}{more}; sprinklers and alarms among them go under [read] devices, as more_blocks or more_layers",
            named.join(", ")
        )
    })
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
        in_rows: rows,
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
            Prim::Text { at, text, .. } if finite(*at) && !recessed(text) => Some([at.x, at.y]),
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

    /// How many stand on a long line that goes on: columns on axes, bolts along a plate. What ends at a symbol, or runs
    /// from one to another, is its wire.
    fn threaded(&self, group: &Group) -> usize {
        let tree = RTree::bulk_load(group.at.iter().map(|p| [p.x, p.y]).collect());
        let at_one = |p: Coord| {
            let near = tree.nearest_neighbor([p.x, p.y]);
            near.is_some_and(|q| (q[0] - p.x).hypot(q[1] - p.y) <= group.across / 2.0)
        };
        let long: Vec<&(Coord, Coord)> = (self.lines.iter())
            .filter(|(a, b)| distance(*a, *b) > 4.0 * group.across)
            .filter(|(a, b)| finite(*a) && finite(*b) && !(at_one(*a) && at_one(*b)))
            .collect();
        let on = |p: &&Coord| {
            let ends = |q: Coord| distance(**p, q) <= group.across / 2.0;
            let goes_on = |(a, b): &(Coord, Coord)| !ends(*a) && !ends(*b);
            let mut near = long.iter().filter(|l| goes_on(l));
            near.any(|(a, b)| point_to_segment(**p, *a, *b) <= 0.02 * group.across)
        };
        group.at.iter().filter(on).count()
    }
}
