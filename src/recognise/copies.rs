//! A drawing that holds itself twice, a little apart: a reference that was bound two times, or pasted beside itself.
//!
//! Two members cannot stand in one place, and no wall has four faces. Words: a *twin* of an item is another of the same
//! layer or class and the same shape, shifted; items that have twins at one shift are a *copy*. Where nearly all that is
//! long of a class has a twin at one shift, and the shift is none that members or walls have among themselves, what
//! was drawn first is taken, the copy is left out, and a note says so.

use std::collections::BTreeMap;
use std::sync::Arc;

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::classes::{Class, Classes};
use super::shape::{between_degrees, chords, distance, dot, finite, left_of, length, unit};
use super::tolerance::THINNEST;
use crate::flatten::{Flat, Prim};
use crate::length::inches_only;
use crate::note::Note;

/// Copies stand no further apart, inches: nearer than any two members are spaced.
const FURTHEST: f64 = 8.0;
/// What is nearer is one line to every reader.
const NEAREST: f64 = 0.03;
/// Twins are alike to this, inches.
const ALIKE: f64 = 0.01;
/// What is shorter tells nothing: caps, blocks and jambs recur.
const LONG: f64 = 24.0;
/// So many long runs with a twin, and so much of the length of all, are a copy.
const FEWEST: usize = 6;
const MOST_OF: f64 = 0.8;
/// Of a pattern's lines most have a twin on both sides; of a copy's none.
const FEW_BETWEEN: f64 = 0.1;
/// Runs in a second direction, as a share of the length that has twins, and how far from the first (degrees).
const SECOND: f64 = 0.15;
const TURNED: f64 = 10.0;
/// A shift along members, which none have among themselves that lie side by side.
const ALONG: f64 = 1.0 / 64.0;
/// Members that overlap by more than they may where plies are drawn loosely: a ply is 1 1/2 thick (PS 20).
const THROUGH: f64 = 1.2;
/// What is shorter is written as no sixteenth.
const SIXTEENTH: f64 = 1.0 / 16.0;
/// Most that is looked at about one item: where more begins, nothing tells twins apart.
const MOST_NEAR: usize = 256;
/// Most pairs that are looked at.
const MOST: usize = 400_000;

/// Items by where they begin.
struct Items {
    /// What an item draws, as points that tell one shape from another; empty where it has none.
    points: Vec<Vec<Coord>>,
    tree: RTree<GeomWithData<[f64; 2], usize>>,
}

impl Items {
    fn new(flat: &Flat, classes: &Classes) -> Self {
        let counts = |i: usize| flat.items[i].visible && classes.of[i] != Class::Ignore;
        let points: Vec<Vec<Coord>> = (0..flat.items.len())
            .map(|i| {
                if counts(i) {
                    points(&flat.items[i].prim)
                } else {
                    Vec::new()
                }
            })
            .collect();
        let starts = points.iter().enumerate();
        let tree = starts.filter_map(|(i, p)| Some(GeomWithData::new([p.first()?.x, p.first()?.y], i)));
        Items {
            tree: RTree::bulk_load(tree.collect()),
            points,
        }
    }

    /// Items that are `i` shifted, each with its shift, no further than `within` about `about`.
    fn twins<'a>(
        &'a self,
        flat: &'a Flat,
        classes: &'a Classes,
        i: usize,
        about: Coord,
        within: f64,
    ) -> impl Iterator<Item = (usize, Coord)> + 'a {
        let ours = &self.points[i];
        let at = ours.first().map(|p| *p + about);
        let near = at.map(|p| self.tree.locate_within_distance([p.x, p.y], within * within));
        near.into_iter().flatten().take(MOST_NEAR).filter_map(move |g| {
            let theirs = &self.points[g.data];
            let shift = *theirs.first()? - *ours.first()?;
            let one = g.data != i
                && theirs.len() == ours.len()
                && length(shift) > NEAREST
                && of_one(flat, classes, i, g.data)
                && ours
                    .iter()
                    .zip(theirs)
                    .all(|(p, q)| distance(*p + shift, *q) <= ALIKE);
            one.then_some((g.data, shift))
        })
    }

    fn has_twin(&self, flat: &Flat, classes: &Classes, i: usize, shift: Coord) -> bool {
        self.twins(flat, classes, i, shift, ALIKE).next().is_some()
    }
}

/// Whether two items may be one drawn twice, their shapes aside.
fn of_one(flat: &Flat, classes: &Classes, i: usize, k: usize) -> bool {
    let (a, b) = (&flat.items[i], &flat.items[k]);
    let class = classes.of[i];
    let layer = a.layer == b.layer || class == classes.of[k] && class != Class::Other;
    layer
        && match (&a.prim, &b.prim) {
            (Prim::Symbol(s), Prim::Symbol(t)) => s.true_name == t.true_name,
            (Prim::Text { text: s, .. }, Prim::Text { text: t, .. }) => s == t,
            (p, q) => std::mem::discriminant(p) == std::mem::discriminant(q),
        }
}

fn points(prim: &Prim) -> Vec<Coord> {
    let found = match prim {
        Prim::Segment { from, to } => vec![*from, *to],
        Prim::Circle { center, radius } => vec![*center, *center + Coord { x: *radius, y: 0.0 }],
        Prim::Path { vertices, .. } => vertices.iter().map(|v| v.at).collect(),
        Prim::Region { loops, .. } => loops.first().cloned().unwrap_or_default(),
        Prim::Symbol(s) => vec![s.at, s.at + s.x_axis, s.at + s.y_axis],
        Prim::Text { at, height, .. } => vec![*at, *at + Coord { x: 0.0, y: *height }],
        Prim::Point(_) | Prim::Dimension { .. } | Prim::Opaque => Vec::new(),
        Prim::Arc { .. } | Prim::Ellipse { .. } | Prim::Face(_) => chords(prim).map_or(Vec::new(), |c| c.0),
    };
    match found.iter().all(|p| finite(*p)) {
        true => found,
        false => Vec::new(),
    }
}

/// The long straight runs of an item.
fn runs(prim: &Prim) -> Vec<(Coord, Coord)> {
    let (points, closed) = match prim {
        Prim::Segment { from, to } => (vec![*from, *to], false),
        Prim::Path { vertices, closed } => (vertices.iter().map(|v| v.at).collect(), *closed),
        Prim::Face(ring) => (ring.clone(), true),
        Prim::Region { loops, .. } => (loops.first().cloned().unwrap_or_default(), true),
        _ => return Vec::new(),
    };
    let mut found = super::walls::runs(&points, closed);
    found.retain(|(a, b)| distance(*a, *b) >= LONG && finite(*a) && finite(*b));
    found
}

/// Leaves out what is drawn a second time: its class becomes [`Class::Ignore`].
pub fn leave_out(flat: &Flat, classes: &mut Classes, notes: &mut Vec<Note>) {
    let items = Items::new(flat, classes);
    let mut shifts: Vec<Coord> = Vec::new();
    for group in groups(flat, classes) {
        if let Some(shift) = copied(flat, classes, &items, &group)
            && !shifts.iter().any(|s| distance(*s, shift) <= 2.0 * ALIKE)
        {
            shifts.push(shift);
        }
    }
    for shift in shifts {
        let layers = copies(flat, classes, &items, shift);
        erase(flat, classes, shift, layers, notes);
    }
}

/// What is long, with its runs.
type Long = (usize, Vec<(Coord, Coord)>);

struct Group {
    class: Class,
    long: Vec<Long>,
}

/// All framing, all walls, and what is long on each layer.
fn groups(flat: &Flat, classes: &Classes) -> Vec<Group> {
    let mut by_class: BTreeMap<Class, Vec<Long>> = BTreeMap::new();
    let mut by_layer: BTreeMap<(Class, &Arc<str>), Vec<Long>> = BTreeMap::new();
    for (i, item) in flat.items.iter().enumerate() {
        let class = classes.of[i];
        let may = matches!(class, Class::Framing | Class::Wall | Class::Other);
        if !item.visible || !may {
            continue;
        }
        let runs = runs(&item.prim);
        if runs.is_empty() {
            continue;
        }
        by_layer
            .entry((class, &item.layer))
            .or_default()
            .push((i, runs.clone()));
        if class != Class::Other {
            by_class.entry(class).or_default().push((i, runs));
        }
    }
    let alone = by_layer
        .into_iter()
        .map(|((class, _), long)| Group { class, long });
    (by_class.into_iter().map(|(class, long)| Group { class, long }))
        .chain(alone)
        .filter(|g| g.long.iter().map(|l| l.1.len()).sum::<usize>() >= 2 * FEWEST)
        .collect()
}

/// The shift at which nearly all of a group has twins, where it is one that the group has not by itself.
fn copied(flat: &Flat, classes: &Classes, items: &Items, group: &Group) -> Option<Coord> {
    let shift = commonest(flat, classes, items, group)?;
    let (mut twice, mut between, mut all) = (Vec::new(), 0.0, 0.0);
    for (i, runs) in &group.long {
        let long: f64 = runs.iter().map(|(a, b)| distance(*a, *b)).sum();
        let after = items.has_twin(flat, classes, *i, shift);
        let before = items.has_twin(flat, classes, *i, shift * -1.0);
        all += long;
        if after || before {
            twice.extend(runs.iter().copied());
        }
        if after && before {
            between += long;
        }
    }
    let of = |runs: &[(Coord, Coord)]| runs.iter().map(|(a, b)| distance(*a, *b)).sum::<f64>();
    let found = of(&twice);
    if twice.len() < 2 * FEWEST || found < MOST_OF * all || between > FEW_BETWEEN * all {
        return None;
    }
    let along = |run: &(Coord, Coord)| unit(run.1 - run.0);
    let first = twice
        .iter()
        .max_by(|p, q| distance(p.0, p.1).total_cmp(&distance(q.0, q.1)))
        .and_then(along)?;
    let turned: Vec<(Coord, Coord)> = (twice.iter().copied())
        .filter(|run| along(run).is_some_and(|u| between_degrees(u, first) >= TURNED))
        .collect();
    // Lines that run two ways have no common shift, unless they are a copy; walls that run one way may.
    if of(&turned) >= SECOND * found {
        return Some(shift);
    }
    if group.class != Class::Framing {
        return None;
    }
    let (lengthwise, across) = (dot(shift, first).abs(), dot(shift, left_of(first)).abs());
    let slid = lengthwise >= ALONG && across < THROUGH;
    (slid || across < THINNEST).then_some(shift)
}

/// The shift that most of what is long has to a twin, one way of the two.
fn commonest(flat: &Flat, classes: &Classes, items: &Items, group: &Group) -> Option<Coord> {
    let cell = |s: Coord| ((s.x * 32.0).round() as i64, (s.y * 32.0).round() as i64);
    let mut votes: BTreeMap<(i64, i64), (usize, Coord)> = BTreeMap::new();
    let mut looked = 0;
    for (i, _) in &group.long {
        for (k, shift) in items.twins(flat, classes, *i, Coord { x: 0.0, y: 0.0 }, FURTHEST) {
            looked += 1;
            let up = shift.x > ALIKE || shift.x > -ALIKE && shift.y > 0.0;
            if up && classes.of[k] == classes.of[*i] {
                let vote = votes.entry(cell(shift)).or_insert((0, shift));
                vote.0 += 1;
            }
        }
        if looked > MOST {
            return None;
        }
    }
    let around = |(x, y): (i64, i64)| -> usize {
        let cells = (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (x + dx, y + dy)));
        cells.filter_map(|c| votes.get(&c)).map(|v| v.0).sum()
    };
    let best = votes.iter().max_by(|a, b| {
        (around(*a.0), a.1.0)
            .cmp(&(around(*b.0), b.1.0))
            .then(b.0.cmp(a.0))
    })?;
    (around(*best.0) >= FEWEST).then_some(best.1.1)
}

/// What of a layer has twins at a shift: those that were drawn first, if `ahead`, and their copies.
struct Layer {
    class: Class,
    name: Arc<str>,
    /// Have a twin further along the shift.
    low: Vec<usize>,
    /// Have one further back.
    high: Vec<usize>,
    alone: usize,
}

/// Layers of which nearly all has a twin at a shift.
fn copies(flat: &Flat, classes: &Classes, items: &Items, shift: Coord) -> Vec<Layer> {
    let mut layers: BTreeMap<(Class, &Arc<str>), Layer> = BTreeMap::new();
    for (i, item) in flat.items.iter().enumerate() {
        if items.points[i].is_empty() || classes.of[i] == Class::Ignore {
            continue;
        }
        let layer = layers
            .entry((classes.of[i], &item.layer))
            .or_insert_with(|| Layer {
                class: classes.of[i],
                name: item.layer.clone(),
                low: Vec::new(),
                high: Vec::new(),
                alone: 0,
            });
        let after = items.has_twin(flat, classes, i, shift);
        let before = items.has_twin(flat, classes, i, shift * -1.0);
        match (after, before) {
            (true, false) => layer.low.push(i),
            (false, true) => layer.high.push(i),
            // One in the midst of a pattern tells of no copy.
            _ => layer.alone += 1,
        }
    }
    let nearly = |l: &Layer| {
        let twice = (l.low.len() + l.high.len()) as f64;
        twice >= MOST_OF * (twice + l.alone as f64)
    };
    layers.into_values().filter(nearly).collect()
}

fn erase(flat: &Flat, classes: &mut Classes, shift: Coord, layers: Vec<Layer>, notes: &mut Vec<Note>) {
    let mean = |side: fn(&Layer) -> &Vec<usize>| {
        let all: Vec<usize> = layers.iter().flat_map(|l| side(l).iter().copied()).collect();
        all.iter().map(|i| *i as f64).sum::<f64>() / all.len().max(1) as f64
    };
    let high_is_later = mean(|l| &l.high) >= mean(|l| &l.low);
    let (kept, left): (Vec<&Vec<usize>>, Vec<&Vec<usize>>) = (layers.iter())
        .map(|l| {
            if high_is_later {
                (&l.low, &l.high)
            } else {
                (&l.high, &l.low)
            }
        })
        .unzip();
    let count: usize = left.iter().map(|l| l.len()).sum();
    if count == 0 {
        return;
    }
    for i in left.iter().copied().flatten() {
        classes.of[*i] = Class::Ignore;
    }
    let toward = if high_is_later { shift } else { shift * -1.0 };
    let said: Vec<String> = (layers.iter().zip(&left))
        .filter(|(_, left)| !left.is_empty())
        .map(|(l, left)| format!("{} of layer {}{}", left.len(), l.name, what(l.class)))
        .collect();
    // Where the two have layers of their own the rules can choose.
    let mut choose = String::new();
    for (class, key) in [(Class::Framing, "framing"), (Class::Wall, "walls")] {
        let names = |sets: &[&Vec<usize>]| -> Vec<Arc<str>> {
            let of = layers
                .iter()
                .zip(sets)
                .filter(|(l, set)| l.class == class && !set.is_empty());
            of.map(|(l, _)| l.name.clone()).collect()
        };
        let (ours, theirs) = (names(&kept), names(&left));
        if !theirs.is_empty() && theirs.iter().all(|n| !ours.contains(n)) {
            let list: Vec<String> = theirs
                .iter()
                .map(|n| format!("{:?}", crate::rules::exactly(n)))
                .collect();
            choose += &format!(
                ", or write {key} = {{ layers = [{}] }} under [read] in bayline.toml",
                list.join(", ")
            );
        }
    }
    let place = left
        .iter()
        .filter_map(|l| l.first())
        .min()
        .map(|i| flat.place(*i));
    let note = Note::warning(
        "drawn-twice",
        format!(
            "this drawing holds the same things twice, {} apart: what was drawn first is taken, and its copy {}is left out \
             ({}); if the copy is where it belongs, erase the other and export again{choose}",
            match length(shift) {
                d if d < SIXTEENTH => "less than 1/16\"".to_string(),
                d => inches_only(d),
            },
            offset(toward),
            said.join(", ")
        ),
    );
    notes.push(match place {
        Some(place) => note.at(place),
        None => note,
    });
}

fn what(class: Class) -> &'static str {
    match class {
        Class::Light => " (lights)",
        Class::Framing => " (framing)",
        Class::Wall => " (walls)",
        Class::Room => " (rooms)",
        Class::Device => " (ceiling devices)",
        Class::Ignore | Class::Other => "",
    }
}

/// A shift in words: `1/8" toward +x and 1/8" toward +y from it `; nothing where it is too small to say.
fn offset(shift: Coord) -> String {
    let said: Vec<String> = [("x", shift.x), ("y", shift.y)]
        .into_iter()
        .filter(|(_, d)| d.abs() >= SIXTEENTH)
        .map(|(axis, d)| {
            let sign = if d > 0.0 { "+" } else { "-" };
            format!("{} toward {sign}{axis}", inches_only(d.abs()))
        })
        .collect();
    match said.is_empty() {
        true => String::new(),
        false => format!("{} from it ", said.join(" and ")),
    }
}
