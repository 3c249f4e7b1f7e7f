//! Plans that their titles say are not the ceiling to rough in: a demolition plan, the plan of what exists beside that of
//! what is new, a room drawn larger. Beside another plan with lights they are left out, with a note; alone they are read.

use std::collections::BTreeSet;

use geo::Coord;

use super::twice::{enlarged, whole};
use super::{Part, called, home, titled};
use crate::flatten::{Flat, Prim};
use crate::note::Note;
use crate::plan::{Light, Plan};
use crate::recognise::shape::{bounds, chords, distance, finite};
use crate::recognise::titles::{self, Shows};

/// What is drawn so near a plan's walls is of it, inches: dimensions, notes, lights at the eaves.
const BESIDE: f64 = 36.0;
/// What is drawn so near a light's middle is the light, as a part of its radius; and at least so near, inches.
const OF_LIGHT: f64 = 1.5;
const AT_LIGHT: f64 = 8.0;
/// Most plans that are looked at.
const MOST: usize = 40;

/// What is left out: the items, and a note for each plan.
#[derive(Default)]
pub struct LeftOut {
    pub items: BTreeSet<usize>,
    pub notes: Vec<Note>,
}

/// What is left out of a drawing that was read whole.
pub fn left_out(flat: &Flat, plan: &Plan) -> LeftOut {
    let mut found = LeftOut::default();
    let written = || {
        (flat.items.iter().filter(|i| i.visible))
            .flat_map(titles::written)
            .map(|(.., text)| text)
    };
    if !written().any(|text| titles::shows(text).is_some() && titles::is_plan(text)) {
        return found;
    }
    let parts = titled(flat, plan);
    let kinds: Vec<Option<Shows>> = (parts.iter())
        .map(|p| p.words().and_then(titles::shows))
        .collect();
    if parts.len() > MOST {
        return found;
    }
    let framed = |i: usize| (plan.members.iter()).any(|m| home(&parts, (m.from + m.to) * 0.5) == Some(i));
    for (i, kind) in kinds.iter().enumerate() {
        let Some(kind) = kind.filter(|_| !parts[i].lights.is_empty()) else {
            continue;
        };
        let others = (0..parts.len()).filter(|&j| kinds[j].is_none() && !parts[j].lights.is_empty());
        let Some(held) = others
            .into_iter()
            .find(|&j| answers(plan, &parts, (i, j), kind) && (framed(j) || !framed(i)))
        else {
            continue;
        };
        let why = match kind {
            Shows::Removed => "by its title it shows what is taken out",
            Shows::Existing => "by its title it shows what is there already",
            Shows::Enlarged => "by its title it shows a part drawn larger, with the same lights",
        };
        let count = match parts[i].lights.len() {
            1 => "1 light is".to_string(),
            n => format!("{n} lights are"),
        };
        found.notes.push(Note::warning(
            "plan-left-out",
            format!(
                "{} is left out, and its {count} not counted: {why}, and {} is there beside it; if it is to be roughed in, export it by itself",
                called(&parts, i),
                called(&parts, held),
            ),
        ));
        found.items.extend(items(flat, plan, &parts, i));
    }
    found
}

/// Whether the plan `j` stands in place of the plan `i`, which shows what its title says.
fn answers(plan: &Plan, parts: &[Part], (i, j): (usize, usize), kind: Shows) -> bool {
    match kind {
        Shows::Removed => true,
        Shows::Existing => {
            parts[j].words().is_some_and(titles::is_of_new_work)
                || whole_either_way(plan, parts, (i, j))
                || same_rooms(plan, parts, (i, j))
        }
        Shows::Enlarged => {
            let all = parts[i].lights.len();
            whole_either_way(plan, parts, (i, j)) && all <= parts[j].lights.len()
                || enlarged(plan, parts, (i, j)).is_some_and(|(large, .., count)| large == i && count == all)
        }
    }
}

fn whole_either_way(plan: &Plan, parts: &[Part], (i, j): (usize, usize)) -> bool {
    let (few, many) = match parts[i].lights.len() <= parts[j].lights.len() {
        true => (i, j),
        false => (j, i),
    };
    whole(plan, &parts[few], &parts[many]).is_some()
}

/// Whether two rooms and more, and half of the named ones of `i`, have a room of their name in `j`.
fn same_rooms(plan: &Plan, parts: &[Part], (i, j): (usize, usize)) -> bool {
    let names = |part: usize| -> BTreeSet<&str> {
        (plan.rooms.iter())
            .filter(|r| {
                bounds(r.outline.iter().copied())
                    .is_some_and(|(low, high)| home(parts, (low + high) * 0.5) == Some(part))
            })
            .filter_map(|r| r.name.as_deref())
            .collect()
    };
    let (ours, theirs) = (names(i), names(j));
    let shared = ours.intersection(&theirs).count();
    shared >= 2 && 2 * shared >= ours.len()
}

/// What is drawn and written in one of several plans and beside it, and its lights wherever they stand.
fn items(flat: &Flat, plan: &Plan, parts: &[Part], of: usize) -> BTreeSet<usize> {
    let part = &parts[of];
    let inside = |p: Coord| finite(p) && part.off(p) <= BESIDE && home(parts, p) == Some(of);
    let lights: Vec<&Light> = (part.lights.iter().filter_map(|l| plan.lights.get(l.0))).collect();
    let at_light = |points: &[Coord]| {
        lights.iter().any(|l| {
            let reach = (OF_LIGHT * l.drawn_radius).max(AT_LIGHT);
            points.iter().all(|p| distance(*p, l.at) <= reach)
        })
    };
    let title = |text: &str| part.words() == Some(&*text.split_whitespace().collect::<Vec<_>>().join(" "));
    let gone = |i: usize| match &flat.items[i].prim {
        Prim::Text { at, text, .. } => inside(*at) || title(text) && home(parts, *at) == Some(of),
        Prim::Symbol(s) => inside(s.at) || at_light(&[s.at]),
        prim => chords(prim).is_some_and(|(points, _)| {
            !points.is_empty() && (points.iter().all(|p| inside(*p)) || at_light(&points))
        }),
    };
    let mut found = BTreeSet::new();
    // An INSERT goes with what is in it, where all of that does.
    let mut parts_of: Vec<(usize, usize)> = vec![(0, 0); flat.items.len()];
    for i in (0..flat.items.len()).rev() {
        let (all, out) = parts_of[i];
        let goes = if all > 0 { all == out } else { gone(i) };
        if goes {
            found.insert(i);
        }
        if let Some(w) = flat.items[i].within.filter(|&w| w < i) {
            parts_of[w].0 += 1;
            parts_of[w].1 += usize::from(goes);
        }
    }
    found
}
