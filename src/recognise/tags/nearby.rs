//! Marks that each stand nearer to one light than to any other, at no one offset.

use std::collections::{BTreeMap, BTreeSet};

use super::super::schedule::Schedule;
use super::{ALIKE, LEAST_MARKS, MOST_NEAR, Mark, REACH, tree};
use crate::flatten::Flat;
use crate::note::Note;
use crate::plan::Light;

/// Marks further than this from a light without a type are not for it, inches.
const ASKED: f64 = 60.0;

/// Marks and the lights they stand at.
#[derive(Debug, Default)]
pub struct Owned {
    /// Light and mark: each is the nearest of the other.
    pub matched: Vec<(usize, usize)>,
    /// Marks in reach of a light that may be another's, or of which a light has several that differ.
    pub torn: Vec<usize>,
}

/// Which light each of the marks in `which` stands at.
pub fn owned(marks: &[Mark], which: &[usize], lights: &[Light]) -> Owned {
    let spots = tree(lights.iter().enumerate().map(|(l, light)| (light.at, l)));
    let middles = tree(which.iter().map(|&m| (marks[m].middle(), m)));
    let mut of: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    let mut torn = Vec::new();
    for &m in which {
        let middle = marks[m].middle();
        let mut near: Vec<(f64, usize)> = (spots.nearest_neighbor_iter([middle.x, middle.y]))
            .take(MOST_NEAR)
            .map(|spot| (marks[m].off(lights[spot.data].at), spot.data))
            .collect();
        near.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        match near[..] {
            [(far, l), ..] if far > REACH + lights[l].drawn_radius => {}
            [(far, _), (next, _), ..] if next - far < ALIKE => torn.push(m),
            [(_, l), ..] => of.entry(l).or_default().push(m),
            [] => {}
        }
    }
    let mut matched = Vec::new();
    for (l, own) in of {
        let at = lights[l].at;
        let mut near: Vec<(f64, usize)> = (middles.nearest_neighbor_iter([at.x, at.y]))
            .take(MOST_NEAR)
            .map(|middle| (marks[middle.data].off(at), middle.data))
            .collect();
        near.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let one = own.windows(2).all(|w| marks[w[0]].entry == marks[w[1]].entry);
        match near.first() {
            Some((_, m)) if one && own.contains(m) => matched.push((l, *m)),
            _ => torn.extend(own),
        }
    }
    torn.sort_unstable();
    Owned { matched, torn }
}

/// Pairs of lights that have no type yet and marks that stand at them, layer by layer: where three and more do and few
/// are in doubt.
pub fn taken(
    flat: &Flat,
    schedule: &Schedule<'_>,
    marks: &[Mark],
    lights: &[Light],
    (tagged, used): (&BTreeSet<usize>, &BTreeSet<usize>),
    notes: &mut Vec<Note>,
) -> Vec<(usize, usize)> {
    let open = |l: usize| lights[l].schedule.is_none() && !tagged.contains(&l);
    let which: Vec<usize> = (0..marks.len())
        .filter(|m| !used.contains(m) && !marks[*m].light_layer)
        .collect();
    let mut found = Vec::new();
    let mut done: BTreeSet<usize> = BTreeSet::new();
    for (layer, which) in by_layer(flat, marks, &which) {
        let Owned { mut matched, torn } = owned(marks, &which, lights);
        matched.retain(|(l, _)| open(*l) && !done.contains(l));
        if matched.len() < LEAST_MARKS || 3 * torn.len() > matched.len() {
            continue;
        }
        let said = counted(matched.iter().map(|(_, m)| schedule.tag(marks[*m].entry)));
        notes.push(Note::info(
            "tags-nearest",
            format!(
                "the types of {} lights are read from texts on layer {layer} ({said}), each the nearest to its light \
                 and to no other",
                matched.len()
            ),
        ));
        done.extend(matched.iter().map(|p| p.0));
        found.extend(matched);
    }
    found
}

/// Marks by the layer they stand on.
pub fn by_layer<'a>(flat: &'a Flat, marks: &[Mark], which: &[usize]) -> BTreeMap<&'a str, Vec<usize>> {
    let mut layers: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for &m in which {
        layers
            .entry(&*flat.items[marks[m].item].layer)
            .or_default()
            .push(m);
    }
    layers
}

/// `D1 (3), D2 (4)`, in alphabetical order.
pub fn counted(names: impl Iterator<Item = String>) -> String {
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    for name in names {
        *counts.entry(name).or_insert(0) += 1;
    }
    let said: Vec<String> = counts.iter().map(|(name, n)| format!("{name} ({n})")).collect();
    said.join(", ")
}

/// Asks about marks of the schedule that were given to no light and stand near one that has no type: those in reach,
/// and further ones that are too many to be a table's. Whether there were any.
pub fn ask(
    flat: &Flat,
    schedule: &Schedule<'_>,
    marks: &[Mark],
    used: &[bool],
    lights: &[Light],
    notes: &mut Vec<Note>,
) -> bool {
    let spots = tree(lights.iter().enumerate().map(|(l, light)| (light.at, l)));
    let (mut near, mut far) = (Vec::new(), Vec::new());
    for (m, mark) in marks.iter().enumerate().filter(|(m, _)| !used[*m]) {
        let middle = mark.middle();
        let Some(spot) = spots.nearest_neighbor([middle.x, middle.y]) else {
            continue;
        };
        let light = &lights[spot.data];
        let off = mark.off(light.at);
        if light.schedule.is_none() && off <= REACH + light.drawn_radius {
            // Those on the lights' own layers are told of one by one.
            near.extend((!mark.light_layer).then_some(m));
        } else if light.schedule.is_none() && off <= ASKED {
            far.push(m);
        }
    }
    let mut each: BTreeMap<usize, usize> = BTreeMap::new();
    far.iter()
        .for_each(|&m| *each.entry(marks[m].entry).or_insert(0) += 1);
    if far.len() >= LEAST_MARKS && each.values().any(|&n| n > 1) {
        near.extend(far);
    }
    near.sort_unstable();
    let Some(&first) = near.first() else { return false };
    let bare = lights.iter().filter(|l| l.schedule.is_none()).count();
    notes.push(
        Note::warning(
            "tags-asked",
            format!(
                "{bare} light(s) have no type, and marks of the schedule that stand near them could be given to none for \
                 certain: {}; draw straight leaders from marks to lights, or set each mark beside its own light",
                counted(near.iter().map(|&m| schedule.tag(marks[m].entry)))
            ),
        )
        .at(flat.place(marks[first].item)),
    );
    true
}
