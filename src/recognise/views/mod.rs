//! Sections, elevations and site plans beside the plan: what stands there is not of the ceiling.
//!
//! Whatever is drawn nearer to each other than a gap hangs together. What hangs together and has the title of such a view
//! near it, and none of a plan, is left out, and a note says what of it looked like framing, lights or walls. The greatest
//! of them stays, unless another has the title of a plan: a section's mark in an untitled plan does not do away with it.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};

use super::classes::{Class, Classes};
use super::shape::{bounds, chords, finite};
use super::titles;
use crate::flatten::{Flat, Prim};
use crate::note::Note;

mod words;

pub use words::is_view;

/// What is nearer than this hangs together, inches: no wall and no closet is between two views.
const GAP: f64 = 36.0;
/// A title stands no further from its view, inches.
const REACH: f64 = 120.0;
/// Width of a letter for its height, for the length of a title (common practice).
const LETTER: f64 = 0.8;
/// What spans so much of all that is drawn both ways is a border.
const BORDER: f64 = 0.9;
/// Ordinates beyond this are of no house, inches.
const FARTHEST: f64 = 1e9;
/// Most groups.
const MOST: usize = 4000;

type Boxed = GeomWithData<Rectangle<[f64; 2]>, usize>;

/// What hangs together.
struct Group {
    low: Coord,
    high: Coord,
    items: Vec<usize>,
    /// How many of them have a class that makes a plan.
    classed: usize,
    view: Option<String>,
    plan: bool,
}

/// Leaves out what stands in such views: its class becomes [`Class::Ignore`].
pub fn leave_out(flat: &Flat, classes: &mut Classes, notes: &mut Vec<Note>) {
    let titles: Vec<(Coord, Coord, &str, bool)> = (flat.items.iter().filter(|i| i.visible))
        .filter_map(|item| match &item.prim {
            Prim::Text { at, height, text, .. } if finite(*at) && height.is_finite() => {
                let view = is_view(text);
                let long = LETTER * height.abs() * text.chars().count() as f64;
                let end = Coord {
                    x: at.x + long,
                    y: at.y,
                };
                (view || titles::is_plan(text)).then_some((*at, end, &**text, view))
            }
            _ => None,
        })
        .collect();
    if !titles.iter().any(|t| t.3) {
        return;
    }
    let mut groups = groups(flat, classes);
    for (from, to, text, view) in titles {
        let off = |g: &Group| {
            let x = (g.low.x - to.x).max(from.x - g.high.x).max(0.0);
            let y = (g.low.y - from.y).max(from.y - g.high.y).max(0.0);
            (x, y)
        };
        let nearest = (0..groups.len()).map(|k| (off(&groups[k]), k)).min_by(|a, b| {
            (a.0.0.hypot(a.0.1))
                .total_cmp(&b.0.0.hypot(b.0.1))
                .then(a.1.cmp(&b.1))
        });
        let Some(((x, y), k)) = nearest.filter(|((x, y), _)| x.hypot(*y) <= REACH) else {
            continue;
        };
        let group = &mut groups[k];
        if !view {
            group.plan = true;
        } else if x <= GAP && y <= REACH && group.view.is_none() {
            group.view = Some(text.split_whitespace().collect::<Vec<_>>().join(" "));
        }
    }
    let planned = groups.iter().any(|g| g.plan);
    let greatest = (0..groups.len()).max_by_key(|&k| (groups[k].classed, std::cmp::Reverse(k)));
    for (k, group) in groups.iter().enumerate() {
        let Some(title) = group.view.as_ref().filter(|_| !group.plan) else {
            continue;
        };
        if !planned && greatest == Some(k) {
            continue;
        }
        let held: BTreeMap<Class, usize> = count(flat, classes, group);
        for i in within(flat, group) {
            classes.of[i] = Class::Ignore;
        }
        let said: Vec<String> = (held.iter())
            .filter_map(|(class, n)| Some(format!("{n} on {}", layers(*class)?)))
            .collect();
        if !said.is_empty() {
            notes.push(Note::warning(
                "view-left-out",
                format!(
                    "what stands beside the title \"{title}\" is no plan of this ceiling and is left out: {}; if it is one, \
                     give it a plan's title, such as FIRST FLOOR PLAN, in place of that one",
                    said.join(", ")
                ),
            ));
        }
    }
}

fn layers(class: Class) -> Option<&'static str> {
    match class {
        Class::Light => Some("layers or in blocks of lights"),
        Class::Framing => Some("layers of framing"),
        Class::Wall => Some("layers of walls"),
        Class::Room => Some("layers of rooms"),
        Class::Device => Some("layers or in blocks of ceiling devices"),
        Class::Ignore | Class::Other => None,
    }
}

/// How many entities of each class a group holds, what is drawn within a symbol aside.
fn count(flat: &Flat, classes: &Classes, group: &Group) -> BTreeMap<Class, usize> {
    let mut shown: BTreeSet<usize> = BTreeSet::new();
    for &i in &group.items {
        // A symbol counts once: by its outermost INSERT of the class.
        let mut top = i;
        while let Some(w) = flat.items[top].within.filter(|&w| w < top) {
            if classes.of[w] != classes.of[i] {
                break;
            }
            top = w;
        }
        shown.insert(top);
    }
    let mut held = BTreeMap::new();
    for i in shown {
        *held.entry(classes.of[i]).or_insert(0) += 1;
    }
    held
}

/// All that is drawn or written within a group's box.
fn within(flat: &Flat, group: &Group) -> Vec<usize> {
    let inside = |p: Coord| {
        p.x >= group.low.x - 1.0
            && p.y >= group.low.y - 1.0
            && p.x <= group.high.x + 1.0
            && p.y <= group.high.y + 1.0
    };
    let own: BTreeSet<usize> = group.items.iter().copied().collect();
    let stands = |(i, item): (usize, &crate::flatten::Item)| match &item.prim {
        Prim::Text { at, .. } => inside(*at),
        // A block that holds the view and the plan is none of the view.
        Prim::Symbol(_) => false,
        _ => own.contains(&i),
    };
    let mut found: BTreeSet<usize> = (flat.items.iter().enumerate())
        .filter(|pair| stands(*pair))
        .map(|(i, _)| i)
        .collect();
    // An INSERT goes with what is in it, where all of that does.
    let mut parts: BTreeMap<usize, (usize, usize)> = BTreeMap::new();
    for i in (0..flat.items.len()).rev() {
        let gone = match &flat.items[i].prim {
            Prim::Symbol(s) => match parts.get(&i) {
                Some((all, out)) => all == out,
                None => inside(s.at),
            },
            _ => found.contains(&i),
        };
        if gone {
            found.insert(i);
        }
        if let Some(w) = flat.items[i].within.filter(|&w| w < i) {
            let part = parts.entry(w).or_default();
            part.0 += 1;
            part.1 += usize::from(gone);
        }
    }
    found.into_iter().collect()
}

/// What is drawn, by what hangs together; writing and borders aside.
fn groups(flat: &Flat, classes: &Classes) -> Vec<Group> {
    let reach = |p: Coord| finite(p) && p.x.abs() <= FARTHEST && p.y.abs() <= FARTHEST;
    let drawn: Vec<(usize, Coord, Coord)> = (flat.items.iter().enumerate())
        .filter(|(i, item)| item.visible && classes.of[*i] != Class::Ignore && !item.leads())
        .filter_map(|(i, item)| {
            let (points, _) = chords(&item.prim)?;
            let (low, high) = bounds(points)?;
            (reach(low) && reach(high)).then_some((i, low, high))
        })
        .collect();
    let Some((low, high)) = bounds(drawn.iter().flat_map(|d| [d.1, d.2])) else {
        return Vec::new();
    };
    let border = |d: &(usize, Coord, Coord)| {
        d.2.x - d.1.x >= BORDER * (high.x - low.x) && d.2.y - d.1.y >= BORDER * (high.y - low.y)
    };
    // A house's outer wall spans all of it too.
    let drawn: Vec<_> = (drawn.into_iter())
        .filter(|d| classes.of[d.0] != Class::Other || !border(d))
        .collect();
    let boxed = |k: usize| -> Boxed {
        let (_, a, b) = drawn[k];
        GeomWithData::new(Rectangle::from_corners([a.x, a.y], [b.x, b.y]), k)
    };
    let mut open: RTree<Boxed> = RTree::bulk_load((0..drawn.len()).map(boxed).collect());
    let mut taken = vec![false; drawn.len()];
    let mut found = Vec::new();
    for start in 0..drawn.len() {
        if taken[start] {
            continue;
        }
        open.remove(&boxed(start));
        taken[start] = true;
        let mut of_one = vec![start];
        let mut next = 0;
        while let Some(&k) = of_one.get(next) {
            next += 1;
            let (_, a, b) = drawn[k];
            let near = AABB::from_corners([a.x - GAP, a.y - GAP], [b.x + GAP, b.y + GAP]);
            // Whatever was reached is taken out, so each is reached once.
            let reached: Vec<usize> = open
                .drain_in_envelope_intersecting(near)
                .map(|g| g.data)
                .collect();
            for &k in &reached {
                taken[k] = true;
            }
            of_one.extend(reached);
        }
        of_one.sort_unstable();
        if let Some((low, high)) = bounds(of_one.iter().flat_map(|&k| [drawn[k].1, drawn[k].2])) {
            let items: Vec<usize> = of_one.iter().map(|&k| drawn[k].0).collect();
            let makes = |i: &&usize| {
                matches!(
                    classes.of[**i],
                    Class::Wall | Class::Framing | Class::Light | Class::Room
                )
            };
            found.push(Group {
                low,
                high,
                classed: items.iter().filter(makes).count(),
                items,
                view: None,
                plan: false,
            });
        }
    }
    nested(found)
}

/// What stands within the box of another is of that. Of more groups than any sheet has views none is told.
fn nested(groups: Vec<Group>) -> Vec<Group> {
    if groups.len() > MOST {
        return Vec::new();
    }
    let size = |g: &Group| (g.high.x - g.low.x) * (g.high.y - g.low.y);
    let mut order: Vec<usize> = (0..groups.len()).collect();
    order.sort_by(|&a, &b| size(&groups[b]).total_cmp(&size(&groups[a])).then(a.cmp(&b)));
    let mut kept: Vec<Group> = Vec::new();
    let mut groups: Vec<Option<Group>> = groups.into_iter().map(Some).collect();
    for k in order {
        let Some(group) = groups[k].take() else {
            continue;
        };
        let holds = |o: &&mut Group| {
            o.low.x <= group.low.x
                && o.low.y <= group.low.y
                && o.high.x >= group.high.x
                && o.high.y >= group.high.y
        };
        match kept.iter_mut().find(holds) {
            Some(other) => {
                other.items.extend(group.items);
                other.classed += group.classed;
            }
            None => kept.push(group),
        }
    }
    kept
}
