//! Blocking for all lights of one bay together.
//!
//! The lights, in their order along the bay, are parted into groups of neighbours: one light with what is best for it
//! alone, several on a ladder whose pieces they share, or several on nailers. Of all partings the one with the least
//! [`Total`] is taken, by dynamic programming over the groups' ends. The groups of that one are then judged; where one is not
//! clean it is struck out and the next best parting is looked for.

use std::collections::{BTreeMap, BTreeSet};

use super::bay::{BayWork, extent, key};
use super::ladder::{Cost, Ladder, ladders};
use super::{Offer, alone, pieces_of, rail, say};
use crate::plan::LightId;
use crate::recognise::bays::Near;
use crate::remedy::judge::{Change, Scope};
use crate::remedy::{Action, Bench, Piece};

/// Most partings that are judged before each light goes by itself.
const TRIES: usize = 60;

/// A way to block some neighbours.
#[derive(Clone, Debug, PartialEq)]
pub struct Group {
    /// Places of the first light, and of the one behind the last.
    pub from: usize,
    pub to: usize,
    pub cost: Cost,
    /// Least and greatest station of its pieces, inches.
    pub extent: (f64, f64),
    /// There is no way.
    pub none: bool,
    pub way: Way,
}

#[derive(Clone, Debug, PartialEq)]
pub enum Way {
    Alone,
    Ladder(Ladder),
    Bay(rail::Rail),
    Wall(rail::Rail),
}

/// What a parting costs; the lesser the better, the first part first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Total {
    /// Lights without blocking.
    pub without: usize,
    /// Neighbouring groups whose pieces stand in each other's way.
    pub clashes: usize,
    pub cost: Cost,
}

/// Works out the offers for all lights of the bay that `light` hangs in; each light's is kept in the bench.
pub fn plan_bay(bench: &mut Bench<'_>, light: LightId) {
    let lights = wanting(bench, light);
    let offers: BTreeMap<LightId, Offer> = lights
        .iter()
        .map(|(&id, targets)| (id, alone(bench, id, targets)))
        .collect();
    let together = match BayWork::new(bench.plan, &lights, bench.rules) {
        Some(work) if lights.len() > 1 => together(bench, &work, &offers),
        _ => Vec::new(),
    };
    let grouped: BTreeSet<LightId> = together.iter().flat_map(|o| o.lights.iter().copied()).collect();
    let lone = offers
        .into_iter()
        .filter(|(id, _)| !grouped.contains(id))
        .map(|o| o.1);
    for offer in together.into_iter().chain(lone) {
        for &id in &offer.lights {
            bench.blocked.insert(id, offer.clone());
        }
    }
}

/// The lights of a light's bay that want blocking, with the places of their findings.
fn wanting(bench: &Bench<'_>, light: LightId) -> BTreeMap<LightId, Vec<usize>> {
    let bay = key(bench.plan, light);
    let mut lights: BTreeMap<LightId, Vec<usize>> = BTreeMap::new();
    for (i, f) in bench.findings.iter().enumerate() {
        let open = super::KINDS.contains(&f.kind) && bench.settled.get(i) == Some(&false);
        let Some(&id) = f.lights.first().filter(|_| open) else {
            continue;
        };
        if id == light || bay.is_some() && key(bench.plan, id) == bay {
            lights.entry(id).or_default().push(i);
        }
    }
    lights
}

/// Offers for groups of lights that together do with less than each alone; none where that is best, or no more is clean.
fn together(bench: &Bench<'_>, work: &BayWork<'_>, alone: &BTreeMap<LightId, Offer>) -> Vec<Offer> {
    let mut groups = groups(work, alone);
    let lights = rail::ids(&work.spots);
    let scope = bench.around(&lights);
    let mut clean: Vec<Group> = Vec::new();
    for _ in 0..TRIES {
        let (_, chosen) = part(work.spots.len(), &groups);
        let several: Vec<&Group> = chosen.iter().filter(|g| g.way != Way::Alone).collect();
        let unfit = several.iter().find(|g| {
            !clean.contains(g) && {
                let offer = offer(work, g);
                ![&*scope, bench.whole]
                    .iter()
                    .all(|s| mends(bench, s, &[&offer], targets(work, g)))
            }
        });
        if let Some(&unfit) = unfit {
            let unfit = unfit.clone();
            groups.retain(|g| *g != unfit);
            continue;
        }
        clean.extend(several.iter().map(|g| (*g).clone()));
        let made: Vec<Offer> = several.iter().map(|g| offer(work, g)).collect();
        let lone = chosen.iter().filter(|g| g.way == Way::Alone && !g.none);
        let lone = lone.filter_map(|g| alone.get(&work.spots.get(g.from)?.id));
        let all: Vec<&Offer> = made.iter().chain(lone).collect();
        let wanted = chosen.iter().filter(|g| !g.none).flat_map(|g| targets(work, g));
        if all.len() < 2 || mends(bench, bench.whole, &all, wanted.collect::<Vec<_>>()) {
            return made;
        }
        // Each is clean and all are not: without the greatest of them the others may be.
        let Some(greatest) = several.into_iter().max_by_key(|g| g.to - g.from).cloned() else {
            break;
        };
        groups.retain(|g| *g != greatest);
    }
    Vec::new()
}

fn targets(work: &BayWork<'_>, group: &Group) -> Vec<usize> {
    let lights = work.spots.get(group.from..group.to).unwrap_or_default();
    lights.iter().flat_map(|s| s.targets.iter().copied()).collect()
}

/// Whether all of these together are clean and mend these findings.
fn mends(bench: &Bench<'_>, scope: &Scope, offers: &[&Offer], targets: Vec<usize>) -> bool {
    let pieces = offers.iter().flat_map(|o| pieces_of(o).iter().cloned()).collect();
    let change = Change {
        lights: offers.iter().flat_map(|o| o.lights.iter().copied()).collect(),
        action: Action::Block { pieces },
    };
    let verdict = scope.judge(&change, bench.rules);
    let mended = verdict.mended(scope, bench.findings);
    verdict.clean() && targets.iter().all(|t| mended.contains(t))
}

/// All ways for all runs of neighbours.
pub fn groups(work: &BayWork<'_>, alone: &BTreeMap<LightId, Offer>) -> Vec<Group> {
    let near = Near::new(work.plan);
    let mut all = Vec::new();
    for (from, spot) in work.spots.iter().enumerate() {
        let own = alone.get(&spot.id).map_or(&[][..], pieces_of);
        all.push(Group {
            from,
            to: from + 1,
            cost: Cost::of(own.len(), own.iter().map(|p| p.cut).sum()),
            extent: extent(&work.line, own),
            none: own.is_empty(),
            way: Way::Alone,
        });
        let mut ways: Vec<(usize, Way, Cost)> = Vec::new();
        for (count, ladder) in ladders(work, from) {
            let cost = ladder.cost;
            ways.push((from + count, Way::Ladder(ladder), cost));
        }
        for to in from + 1..work.spots.len().min(from + super::ladder::MOST) {
            let rails = rail::along_bay(work, from, to).into_iter().map(Way::Bay);
            let walls = rail::along_wall(work, &near, from, to).map(Way::Wall);
            for way in rails.chain(walls) {
                let cost = match &way {
                    Way::Bay(rail) | Way::Wall(rail) => rail.cost,
                    _ => Cost::default(),
                };
                ways.push((to + 1, way, cost));
            }
        }
        for (to, way, cost) in ways {
            let pieces = made(work, from, to, &way);
            all.push(Group {
                from,
                to,
                cost,
                extent: extent(&work.line, &pieces),
                none: false,
                way,
            });
        }
    }
    all
}

/// The pieces of a way, each with the lights it serves.
fn made(work: &BayWork<'_>, from: usize, to: usize, way: &Way) -> Vec<Piece> {
    let ladder = match way {
        Way::Ladder(ladder) => ladder,
        Way::Bay(rail) | Way::Wall(rail) => return rail.pieces.clone(),
        Way::Alone => return Vec::new(),
    };
    let mut pieces = Vec::new();
    let mut next = from;
    let mut before = 0;
    for (i, &station) in ladder.stations.iter().enumerate() {
        let behind = ladder.fields.get(i).copied().unwrap_or(0);
        let served = next - before..next + behind;
        // Seen as it was when the ladder was found: from the light before it, the first from the first.
        let seen = if i == 0 { from } else { next - 1 };
        if let Some(mut piece) = work.across(seen.min(to - 1), station) {
            piece.serves = rail::ids(work.spots.get(served).unwrap_or_default());
            pieces.push(piece);
        }
        next += behind;
        before = behind;
    }
    pieces
}

fn offer(work: &BayWork<'_>, group: &Group) -> Offer {
    let lights = work.spots.get(group.from..group.to).unwrap_or_default();
    let pieces = made(work, group.from, group.to, &group.way);
    let message = match &group.way {
        Way::Bay(rail) => say::rail(work, lights, rail),
        Way::Wall(rail) => say::wall(work, lights, rail),
        Way::Ladder(ladder) => say::ladder(work, lights, ladder, &pieces),
        Way::Alone => String::new(),
    };
    let mut ids = rail::ids(lights);
    ids.sort();
    Offer {
        lights: ids,
        action: Action::Block { pieces },
        message,
    }
}

/// Whether the pieces of a group stand clear of those of the one before it.
fn clear(before: &Group, group: &Group) -> bool {
    before.none || group.none || before.extent.1 <= group.extent.0 + 1e-6
}

/// The parting of `count` lights with the least total; of equals the one whose last group stands first in the list.
pub fn part(count: usize, groups: &[Group]) -> (Total, Vec<Group>) {
    // For each group the least of all partings that end with it, and the group before.
    let mut best: Vec<Option<(Total, Option<usize>)>> = vec![None; groups.len()];
    let mut order: Vec<usize> = (0..groups.len()).collect();
    order.sort_by_key(|&i| (groups[i].from, i));
    let mut ending: Vec<Vec<usize>> = vec![Vec::new(); count + 1];
    for &i in &order {
        let group = &groups[i];
        let before = ending.get(group.from).into_iter().flatten();
        let after = before.filter_map(|&b| {
            let clashes = usize::from(!clear(&groups[b], group));
            Some((best[b]?.0.and(group, clashes), Some(b)))
        });
        let begun = (group.from == 0).then(|| (Total::default().and(group, 0), None));
        best[i] = after.chain(begun).min_by_key(|t| t.0);
        if let Some(ends) = ending.get_mut(group.to) {
            ends.push(i);
        }
    }
    let ends = ending.last().into_iter().flatten();
    let last = ends
        .filter_map(|&i| Some((best[i]?.0, i)))
        .min_by_key(|t| (t.0, t.1));
    let Some((total, last)) = last else {
        return (Total::default(), Vec::new());
    };
    let mut chosen = Vec::new();
    let mut at = Some(last);
    while let Some(i) = at {
        chosen.push(groups[i].clone());
        at = best[i].and_then(|b| b.1);
    }
    chosen.reverse();
    (total, chosen)
}

impl Total {
    /// With one more group.
    pub fn and(self, group: &Group, clashes: usize) -> Total {
        Total {
            without: self.without + if group.none { group.to - group.from } else { 0 },
            clashes: self.clashes + clashes,
            cost: self.cost.and(group.cost),
        }
    }
}
