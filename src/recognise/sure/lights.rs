//! Lights as they are drawn: one symbol of a light's size, in rooms and rows, or with a mark of the schedule.

use std::collections::{BTreeMap, BTreeSet};

use super::super::classes::Claim;
use super::super::room_of;
use super::super::round::rounds;
use super::super::schedule::Schedule;
use super::{Read, Seen, of_all};
use crate::flatten::{Prim, Symbol};
use crate::length::inches_only;
use crate::plan::Light;

/// Symbols of recessed lights are this large across, inches (common practice).
const ACROSS: std::ops::RangeInclusive<f64> = 2.0..=24.0;
/// What its size, its room and its row add where all are known.
const SIZE: f64 = 0.4;
const ROOM: f64 = 0.4;
const ROW: f64 = 0.2;
/// Linework alone is no light, but switch legs stand on layers of lights as well.
const LINEWORK: f64 = 0.25;

/// Lights by the place of their entity in the file.
pub struct Lights {
    at: BTreeMap<usize, Vec<usize>>,
}

impl Lights {
    pub fn new(read: &Read) -> Self {
        let mut at: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for (i, light) in read.plan.lights.iter().enumerate() {
            at.entry(light.offset).or_default().push(i);
        }
        Lights { at }
    }

    /// The lights that items, or symbols they stand in, were taken for.
    fn of(&self, read: &Read, items: &[usize]) -> BTreeSet<usize> {
        let mut found = BTreeSet::new();
        let mut known = BTreeSet::new();
        for &item in items {
            let mut at = Some(item);
            while let Some(i) = at.filter(|&i| known.insert(i)) {
                if read.claims[i] == Claim::Light {
                    found.extend(self.at.get(&read.flat.items[i].offset).into_iter().flatten());
                }
                at = read.flat.items[i].within.filter(|&w| w < i);
            }
        }
        found
    }

    pub fn seen(&self, read: &Read, items: &[usize]) -> Option<Seen> {
        let lights: Vec<_> = (self.of(read, items).into_iter())
            .filter_map(|i| read.plan.lights.get(i))
            .collect();
        let all = lights.len();
        if all == 0 {
            return nothing(read, items);
        }
        let count = |what: &dyn Fn(&Light) -> bool| lights.iter().filter(|l| what(l)).count();
        let sized = count(&|l| ACROSS.contains(&(2.0 * l.drawn_radius)));
        let housed = count(&|l| l.room.is_some());
        let in_rows = count(&|l| !l.rows.is_empty());
        let marked = count(&|l| l.schedule.is_some());
        let share = |n: usize| n as f64 / all as f64;
        let drawn = if read.plan.rooms.is_empty() {
            (SIZE * share(sized) + ROW * share(in_rows)) / (SIZE + ROW)
        } else {
            SIZE * share(sized) + ROOM * share(housed) + ROW * share(in_rows)
        };
        let mut across: Vec<f64> = lights.iter().map(|l| 2.0 * l.drawn_radius).collect();
        across.sort_by(f64::total_cmp);
        let mut said = format!("{all} symbol(s) {} across", inches_only(across[all / 2]));
        if sized < all {
            said += &format!(", {} of a light's size", of_all(sized, all));
        }
        if !read.plan.rooms.is_empty() {
            said += &format!(", {} in rooms", of_all(housed, all));
        }
        said += &format!(", {} in rows", of_all(in_rows, all));
        if marked > 0 {
            said += &format!(", {} in the schedule", of_all(marked, all));
        }
        Some(Seen {
            share: drawn.max(share(marked)),
            count: all,
            said,
        })
    }

    /// Symbols under a name that is ignored and that look like lights of the schedule.
    pub fn passed_over(&self, read: &Read, items: &[usize]) -> Option<Seen> {
        let schedule = Schedule::new(read.rules);
        let symbols = || {
            items.iter().filter_map(|&i| match &read.flat.items[i].prim {
                Prim::Symbol(s) => Some((i, &**s)),
                _ => None,
            })
        };
        let light = |(i, symbol): &(usize, &Symbol)| {
            let marked = schedule.marks(symbol);
            marked && {
                let round = rounds(read.flat, &read.classes.all_inside(*i));
                round.iter().any(|r| {
                    ACROSS.contains(&(2.0 * r.radius)) && room_of(&read.plan.rooms, r.center).is_some()
                })
            }
        };
        let marked = symbols().filter(light).count();
        (marked > 0).then(|| {
            let all = symbols().count();
            Seen {
                share: 0.5 - 0.5 * marked as f64 / all as f64,
                count: marked,
                said: format!(
                    "{} of its {all} symbol(s) are round, of a light's size, in rooms, and have a mark of the schedule",
                    of_all(marked, all)
                ),
            }
        })
    }
}

/// Where nothing was taken for a light. What was set apart knowingly says nothing against the name.
fn nothing(read: &Read, items: &[usize]) -> Option<Seen> {
    let lines = items
        .iter()
        .filter(|&&i| !matches!(read.flat.items[i].prim, Prim::Text { .. } | Prim::Symbol(_)))
        .count();
    let apart = items.iter().any(|&i| {
        matches!(read.flat.items[i].prim, Prim::Symbol(_)) && read.claims[i] != Claim::None
            || matches!(read.claims[i], Claim::Device | Claim::Light)
    });
    (lines > 0 && !apart).then(|| Seen {
        share: LINEWORK,
        count: lines,
        said: format!("none of its {lines} line(s) and curves is a symbol of a light"),
    })
}
