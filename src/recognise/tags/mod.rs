//! Type marks written beside lights: at the end of a leader, near the symbol, on a layer whose texts stand
//! beside light symbols at one offset throughout, or each nearer to one light than to any other.
//!
//! Two marks equally near that say different things are told of, and neither is taken. So are marks that stand near
//! lights and can be given to none, and those that contradict what the symbol itself says. Without a schedule, marks
//! are read that stand beside nearly every light and repeat.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::classes::{Claim, Class, Classes};
use super::otherwise;
use super::schedule::Schedule;
use super::shape::{distance, left_of, point_to_segment, unit};
use crate::flatten::{Flat, Prim};
use crate::note::{Note, Place};
use crate::plan::{Light, LightId};
use crate::rules::listed;

mod bubbles;
mod figures;
mod leaders;
mod nearby;
pub mod of_all;
pub mod typical;
mod unlisted;
mod written;

pub use bubbles::of_lights as bubbles;
use leaders::by_leader;
use nearby::owned;
use typical::{Many, Typical};
use written::{Written, marks};

/// A mark stands no further than this from its light, beyond two radii of the symbol, inches.
const REACH: f64 = 12.0;
/// Of two marks whose distances differ by less than this neither is the nearer, inches.
const ALIKE: f64 = 0.5;
/// Marks of one layer stand at one offset where they differ by no more than this, inches.
const SAME_OFFSET: f64 = 1.0;
/// On a layer that is not the lights' so many marks have to agree.
const LEAST_MARKS: usize = 3;
/// So many things about a point are looked at; more on one spot say no more.
const MOST_NEAR: usize = 16;
/// Width of a letter, in heights of it (common practice).
const LETTER: f64 = 0.9;

/// Lights that a note names; more are counted.
const NAMED: usize = 6;

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
    text: String,
    /// Whether the number of a circuit stands behind it.
    circuit: bool,
    /// Whether it stands for other lights too.
    typical: Option<Typical>,
}

impl Mark {
    /// The middle of its lettering.
    fn middle(&self) -> Coord {
        (self.from + self.to) * 0.5 + self.up()
    }

    /// Half its height, upward.
    fn up(&self) -> Coord {
        unit(self.to - self.from).map_or(Coord { x: 0.0, y: 0.0 }, left_of) * (self.height / 2.0)
    }

    /// From a point to the line along the middle of its lettering.
    fn off(&self, p: Coord) -> f64 {
        point_to_segment(p, self.from + self.up(), self.to + self.up())
    }
}

/// A light without a schedule entry takes the mark that is written for it. Marks that stand for several lights are handed
/// back: which these are hangs on rooms.
pub fn tags(
    flat: &Flat,
    classes: &Classes,
    (schedule, bubbles): (&Schedule<'_>, &BTreeSet<usize>),
    lights: &mut [Light],
    claims: &mut [Claim],
    notes: &mut Vec<Note>,
) -> Vec<Many> {
    let many = match schedule.is_empty() {
        true => Vec::new(),
        false => by_schedule(flat, classes, (schedule, bubbles), lights, claims, notes),
    };
    if schedule.lists_none() {
        unlisted::tags(flat, classes, bubbles, lights, claims, notes);
    }
    many
}

/// Marks of the schedule.
fn by_schedule(
    flat: &Flat,
    classes: &Classes,
    (schedule, bubbles): (&Schedule<'_>, &BTreeSet<usize>),
    lights: &mut [Light],
    claims: &mut [Claim],
    notes: &mut Vec<Note>,
) -> Vec<Many> {
    let all = Written {
        flat,
        classes,
        claims,
        bubbles,
    };
    let mut marks = marks(&all, &|text| schedule.mark(text));
    keynotes(flat, &mut marks, lights, notes);
    marks.extend(figures::figures(&all, schedule, lights, notes));
    marks.sort_by_key(|m| m.item);
    for mark in &mut marks {
        let (text, _) = typical::split(&mark.text);
        mark.circuit = schedule.entry(text).is_none() && schedule.with_circuit(text) == Some(mark.entry);
    }
    let layers: Vec<(&str, usize)> = (marks.iter())
        .map(|m| (&*flat.items[m.item].layer, m.entry))
        .collect();
    let doubtful = otherwise::doubtful(schedule, &layers);
    let mut at = 0..;
    marks.retain(|_| at.next().is_none_or(|n: usize| !doubtful.contains(&n)));
    let marks = marks;
    switches(flat, schedule, lights, notes);
    let ask = !schedule.lists_none();
    if marks.is_empty() {
        if ask {
            unlisted::ask(&all, schedule, lights, notes);
        }
        return Vec::new();
    }
    let mut many: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    let led_to = by_leader(flat, classes, &marks, lights);
    let given: Vec<bool> = lights.iter().map(|l| l.schedule.is_some()).collect();
    let mut used = vec![false; marks.len()];
    if given.iter().any(|given| !given) {
        let led = led_to.iter().filter(|(l, _)| !given[*l]).copied().collect();
        let taken = beside(flat, schedule, &marks, lights, led, notes);
        for (l, m) in taken {
            let mark = &marks[m];
            used[m] = true;
            many.entry(m).or_default().push(l);
            lights[l].schedule = Some(mark.entry);
            lights[l].tag = Some(schedule.tag(mark.entry));
            written::claim(classes, mark.item, claims);
        }
        circuits(schedule, &marks, &used, notes);
        if !nearby::ask(flat, schedule, &marks, &used, lights, notes) && ask {
            let all = Written {
                flat,
                classes,
                claims,
                bubbles,
            };
            unlisted::ask(&all, schedule, lights, notes);
        }
    }
    // A letter and a number beside a light whose symbol has its type are a panel and a circuit.
    let said = |l: usize, m: usize| (given[l] && !used[m] && !marks[m].circuit).then_some((l, m));
    let led: BTreeSet<usize> = led_to.iter().map(|p| p.1).collect();
    let rest: Vec<usize> = (0..marks.len())
        .filter(|m| !used[*m] && !led.contains(m) && !in_symbol(flat, classes, marks[*m].item))
        .collect();
    let stand_by = owned(&marks, &rest, lights).matched;
    let all = led_to.iter().chain(&stand_by);
    contradicted(
        flat,
        schedule,
        &marks,
        lights,
        all.filter_map(|p| said(p.0, p.1)),
        notes,
    );
    let several = |(m, mark): (usize, &Mark)| {
        Some(Many {
            at: many.remove(&m).unwrap_or_default(),
            entry: mark.entry,
            typical: mark.typical?,
            text: mark.text.clone(),
            item: mark.item,
            middle: mark.middle(),
        })
    };
    marks.iter().enumerate().filter_map(several).collect()
}

/// Layers of keynotes, whose letters may be a type's too (common drafting words).
const KEYNOTES: &str = "KEYN KEYNOTE KEYNOTES KEYED_NOTES KEYED_NOTE KEY_NOTES KEY_NOTE";

/// Takes out marks on layers of keynotes, and says so where lights have no type.
fn keynotes(flat: &Flat, marks: &mut Vec<Mark>, lights: &[Light], notes: &mut Vec<Note>) {
    let words = listed(KEYNOTES);
    let (keyed, kept) = std::mem::take(marks)
        .into_iter()
        .partition::<Vec<Mark>, _>(|m| words.layer_matches(&flat.items[m.item].layer));
    *marks = kept;
    let open = lights.iter().any(|l| l.schedule.is_none());
    if let Some(first) = keyed.first().filter(|_| open) {
        notes.push(Note::info(
            "tags-keynotes",
            format!(
                "{} text(s) on layer {} that read like types of the schedule are keynotes and no marks of lights",
                keyed.len(),
                flat.items[first.item].layer
            ),
        ));
    }
}

/// Says where small letters stand beside lights that are a type of the schedule but for their size.
fn switches(flat: &Flat, schedule: &Schedule<'_>, lights: &[Light], notes: &mut Vec<Note>) {
    let spots = tree(lights.iter().enumerate().map(|(l, light)| (light.at, l)));
    let beside = |at: &Coord| {
        let near = spots.nearest_neighbor([at.x, at.y]);
        near.is_some_and(|n| distance(*at, lights[n.data].at) <= REACH + 2.0 * lights[n.data].drawn_radius)
    };
    let letters = flat
        .items
        .iter()
        .filter(|i| i.visible)
        .filter_map(|i| match &i.prim {
            Prim::Text { at, text, .. } if schedule.is_switch_letter(text) && beside(at) => {
                Some(text.trim().to_string())
            }
            _ => None,
        });
    let said = nearby::counted(letters);
    if !said.is_empty() {
        notes.push(Note::info(
            "switch-letters",
            format!("small letters beside lights ({said}) are of switches, not types of the schedule; write types in capitals"),
        ));
    }
}

/// Says which marks were read with a circuit's number behind them.
fn circuits(schedule: &Schedule<'_>, marks: &[Mark], used: &[bool], notes: &mut Vec<Note>) {
    let with: Vec<&Mark> = (marks.iter().zip(used))
        .filter_map(|(m, used)| (*used && m.circuit).then_some(m))
        .collect();
    if let Some(first) = with.first() {
        notes.push(Note::info(
            "tags-circuit",
            format!(
                "the marks of {} light(s), such as {}, are read as a type of the schedule ({}) with the number of a circuit or the letter of a switch",
                with.len(),
                first.text.split_whitespace().collect::<Vec<_>>().join(" "),
                schedule.tag(first.entry)
            ),
        ));
    }
}

/// Marks for lights that have no entry: those that leaders led to, and those that stand beside them.
fn beside(
    flat: &Flat,
    schedule: &Schedule<'_>,
    marks: &[Mark],
    lights: &[Light],
    mut taken: Vec<(usize, usize)>,
    notes: &mut Vec<Note>,
) -> Vec<(usize, usize)> {
    let on = |light_layer: bool| {
        let all = marks.iter().enumerate();
        tree(
            all.filter(|(_, m)| m.light_layer == light_layer)
                .map(|(n, m)| (m.at, n)),
        )
    };
    let (own, others) = (on(true), on(false));
    let led: BTreeSet<usize> = taken.iter().map(|t| t.0).collect();
    let open: Vec<usize> = (0..lights.len())
        .filter(|l| lights[*l].schedule.is_none() && !led.contains(l))
        .collect();

    // Marks on the lights' own layers: the nearest, and where two are, the one at the usual offset.
    let mut ties: Vec<(usize, Vec<usize>)> = Vec::new();
    let mut offsets: Vec<Coord> = Vec::new();
    let mut rest: Vec<usize> = Vec::new();
    for &l in &open {
        match nearest(&own, marks, &lights[l])[..] {
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
            _ => ambiguous(flat, schedule, marks, &lights[l], &several, notes),
        }
    }

    // Other layers: only where their marks all stand alike.
    let mut layers: BTreeMap<&str, Vec<(usize, usize)>> = BTreeMap::new();
    for &l in &rest {
        for m in nearest(&others, marks, &lights[l]) {
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
    let used: BTreeSet<usize> = taken.iter().map(|t| t.1).collect();
    let tagged: BTreeSet<usize> = taken.iter().map(|t| t.0).collect();
    taken.extend(nearby::taken(
        flat,
        schedule,
        marks,
        lights,
        (&tagged, &used),
        notes,
    ));
    taken
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

fn tree(points: impl Iterator<Item = (Coord, usize)>) -> RTree<GeomWithData<[f64; 2], usize>> {
    let sound = points.filter(|(p, _)| p.x.is_finite() && p.y.is_finite());
    RTree::bulk_load(sound.map(|(p, n)| GeomWithData::new([p.x, p.y], n)).collect())
}

/// Whether a text is part of a light's own symbol.
fn in_symbol(flat: &Flat, classes: &Classes, item: usize) -> bool {
    let holder = flat.items.get(item).and_then(|i| i.within);
    holder.is_some_and(|w| {
        let symbol = matches!(flat.items.get(w).map(|i| &i.prim), Some(Prim::Symbol(_)));
        symbol && classes.of.get(w) == Some(&Class::Light)
    })
}

/// Says which lights have a mark beside them that says another type than the symbol itself.
fn contradicted(
    flat: &Flat,
    schedule: &Schedule<'_>,
    marks: &[Mark],
    lights: &[Light],
    pairs: impl Iterator<Item = (usize, usize)>,
    notes: &mut Vec<Note>,
) {
    let mut found: BTreeMap<(usize, usize), BTreeMap<usize, usize>> = BTreeMap::new();
    for (l, m) in pairs {
        let Some(has) = lights[l].schedule.filter(|&has| has != marks[m].entry) else {
            continue;
        };
        found
            .entry((has, marks[m].entry))
            .or_default()
            .entry(l)
            .or_insert(m);
    }
    for ((has, says), pairs) in found {
        let (has, says) = (schedule.tag(has), schedule.tag(says));
        let message = format!(
            "{} by the symbol {has}, and the mark beside is {says}: taken as {has}; correct one of the two",
            lights_are(&pairs.keys().copied().collect::<Vec<_>>()),
        );
        let mut note = Note::warning("tag-conflict", message);
        if let Some((&l, &m)) = pairs.first_key_value() {
            note = note.at(place(flat, marks, &lights[l], m));
        }
        notes.push(note);
    }
}

/// `L1, L2 and L5 are`.
pub fn lights_are(lights: &[usize]) -> String {
    let named: Vec<String> = lights
        .iter()
        .take(NAMED)
        .map(|&l| LightId(l).to_string())
        .collect();
    match (&named[..], lights.len() - named.len()) {
        ([], _) => "no light is".into(),
        ([one], 0) => format!("{one} is"),
        ([first @ .., last], 0) => format!("{} and {last} are", first.join(", ")),
        (all, more) => format!("{} and {more} more are", all.join(", ")),
    }
}

/// Where a mark is; it is the light that has to be found.
fn place(flat: &Flat, marks: &[Mark], light: &Light, mark: usize) -> Place {
    let mut place = flat.place(marks[mark].item);
    place.handle = light.handle.clone().or(place.handle);
    place.offset = Some(light.offset);
    place
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
    let mut note = Note::warning(
        "tag-ambiguous",
        format!(
            "a light has {} equally near: none is taken; draw a leader or move the texts",
            said.join(" and ")
        ),
    );
    if let Some(&m) = several.first() {
        note = note.at(place(flat, marks, light, m));
    }
    notes.push(note);
}
