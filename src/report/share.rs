//! What of a drawing's report belongs to each of its plans, where it holds several.
//!
//! Everything has one home: a plan of the drawing, or none. So shares are disjoint, and together with what is
//! outside of every plan they are the whole. One thing alone is in several: a finding that is of lights in several
//! plans (a tag without a schedule entry), with its lights of the plan. Ids stay those of the whole.

use std::collections::BTreeSet;

use geo::Coord;

use crate::check::Finding;
use crate::geom::finite;
use crate::note::Note;
use crate::phase::Phases;
use crate::plan::{FindingId, LightId, MemberId, Plan, RemedyId, RoomId, RowId};
use crate::recognise::plans::{Part, home};
use crate::remedy::Remedy;
use crate::remedy::cutlist::{CutList, cut_list};

/// What belongs to one plan of a drawing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Share {
    pub lights: BTreeSet<LightId>,
    /// By their middles.
    pub members: BTreeSet<MemberId>,
    pub rooms: BTreeSet<RoomId>,
    /// Those all of whose lights are of it.
    pub rows: BTreeSet<RowId>,
    /// Places in the plan's list.
    pub obstacles: BTreeSet<usize>,
    /// Places in the plan's list. Those of the rules file hold for every plan and are in each share.
    pub callouts: BTreeSet<usize>,
    /// In the order of the whole.
    pub findings: Vec<Finding>,
    pub remedies: BTreeSet<RemedyId>,
    /// Places in the list of [`Phases`].
    pub phases: BTreeSet<usize>,
    /// Blocking and lumber for this plan alone. The pieces of all add up to the whole's; the sticks may be
    /// more, since a stick is not shared between plans.
    pub cut_list: CutList,
}

impl Share {
    pub fn has(&self, finding: FindingId) -> bool {
        self.findings.binary_search_by_key(&finding, |f| f.id).is_ok()
    }
}

/// A share for each plan of the drawing, and what is in none.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shares {
    pub each: Vec<Share>,
    pub outside: Share,
}

impl Shares {
    fn of(&mut self, home: Option<usize>) -> &mut Share {
        match home.and_then(|i| self.each.get_mut(i)) {
            Some(share) => share,
            None => &mut self.outside,
        }
    }

    /// The plan that has a finding, where it is one alone.
    pub fn finding(&self, id: FindingId) -> Option<usize> {
        let mut having = (0..self.each.len()).filter(|&i| self.each.get(i).is_some_and(|s| s.has(id)));
        having.next().filter(|_| having.next().is_none())
    }

    /// Says what is in none of the plans.
    pub fn told(&self, notes: &mut Vec<Note>) {
        let out = &self.outside;
        let held: Vec<String> = [
            said("light", &out.lights),
            said("member", &out.members),
            said("room", &out.rooms),
            said("row", &out.rows),
            said("finding", &out.findings.iter().map(|f| f.id).collect()),
            counted("device", out.obstacles.len()),
            counted("callout", out.callouts.len()),
        ]
        .into_iter()
        .flatten()
        .collect();
        if held.is_empty() || self.each.is_empty() {
            return;
        }
        notes.push(Note::warning(
            "outside-plans",
            format!(
                "in none of the plans: {}; the report and redline of the whole drawing alone have them",
                held.join(", ")
            ),
        ));
    }
}

/// The shares of a drawing's plans; none where it holds but one.
pub fn shares(
    plan: &Plan,
    parts: &[Part],
    findings: &[Finding],
    remedies: &[Remedy],
    phases: &[Phases],
) -> Shares {
    let mut shares = Shares {
        each: vec![Share::default(); parts.len()],
        outside: Share::default(),
    };
    if parts.is_empty() {
        return shares;
    }
    let mut of_light: Vec<Option<usize>> = vec![None; plan.lights.len()];
    for (i, part) in parts.iter().enumerate() {
        for light in &part.lights {
            if let Some(home) = of_light.get_mut(light.0) {
                *home = Some(i);
            }
        }
    }
    let light = |l: &LightId| of_light.get(l.0).copied().flatten();
    for i in 0..plan.lights.len() {
        shares.of(light(&LightId(i))).lights.insert(LightId(i));
    }
    for (i, m) in plan.members.iter().enumerate() {
        shares
            .of(home(parts, (m.from + m.to) * 0.5))
            .members
            .insert(MemberId(i));
    }
    let of_room: Vec<Option<usize>> = (plan.rooms.iter())
        .map(|r| home(parts, middle(&r.outline)?))
        .collect();
    let room = |r: RoomId| of_room.get(r.0).copied().flatten();
    for (i, home) in of_room.iter().enumerate() {
        shares.of(*home).rooms.insert(RoomId(i));
    }
    for (i, row) in plan.rows.iter().enumerate() {
        shares.of(common(&row.lights, light)).rows.insert(RowId(i));
    }
    for (i, o) in plan.obstacles.iter().enumerate() {
        let home = middle(&o.outline).and_then(|p| home(parts, p));
        shares.of(home).obstacles.insert(i);
    }
    for (i, c) in plan.callouts.iter().enumerate() {
        match (c.room, c.at) {
            (Some(r), _) => _ = shares.of(room(r)).callouts.insert(i),
            (None, Some(at)) => _ = shares.of(home(parts, at)).callouts.insert(i),
            (None, None) => shares.each.iter_mut().for_each(|s| _ = s.callouts.insert(i)),
        }
    }
    for f in findings {
        let homes: BTreeSet<Option<usize>> = f.lights.iter().map(light).collect();
        match homes.len() {
            0 => {
                let at = f.room.map_or_else(|| home(parts, f.at), room);
                shares.of(at).findings.push(f.clone());
            }
            1 => {
                let at = homes.first().copied().flatten();
                shares.of(at).findings.push(f.clone());
            }
            _ => {
                for at in homes.into_iter().filter(Option::is_some) {
                    let own: Vec<LightId> = (f.lights.iter().copied()).filter(|l| light(l) == at).collect();
                    let share = shares.of(at);
                    share.findings.push(restricted(plan, f, own, &share.rows));
                }
            }
        }
    }
    for share in shares.each.iter_mut().chain([&mut shares.outside]) {
        share.findings.sort_by_key(|f| f.id);
    }
    for r in remedies {
        let at = match r.mends.first() {
            _ if !r.lights.is_empty() => common(&r.lights, light),
            Some(&f) => shares.finding(f),
            None => (findings.iter().find(|f| f.remedies.contains(&r.id))).and_then(|f| shares.finding(f.id)),
        };
        shares.of(at).remedies.insert(r.id);
    }
    for (i, p) in phases.iter().enumerate() {
        let lights: Vec<LightId> = p.lights.iter().map(|l| l.light).collect();
        let at = match p.room {
            Some(r) => room(r),
            None => common(&lights, light),
        };
        shares.of(at).phases.insert(i);
    }
    for share in shares.each.iter_mut().chain([&mut shares.outside]) {
        let own: Vec<Remedy> = (remedies.iter())
            .filter(|r| share.remedies.contains(&r.id))
            .cloned()
            .collect();
        share.cut_list = cut_list(&own);
    }
    shares
}

/// A finding of lights in several plans, as one of these has it.
fn restricted(plan: &Plan, f: &Finding, own: Vec<LightId>, rows: &BTreeSet<RowId>) -> Finding {
    let message = match own.len() {
        1 => format!("{} 1 of them is in this plan.", f.message),
        n => format!("{} {n} of them are in this plan.", f.message),
    };
    let at = own
        .first()
        .and_then(|l| plan.lights.get(l.0))
        .map_or(f.at, |l| l.at);
    let row = f.row.filter(|w| rows.contains(w));
    Finding {
        lights: own,
        message,
        at,
        row,
        ..f.clone()
    }
}

/// The home of all of these, where they have one in common.
fn common(lights: &[LightId], of: impl Fn(&LightId) -> Option<usize>) -> Option<usize> {
    let mut homes = lights.iter().map(of);
    let first = homes.next()?;
    homes.all(|h| h == first).then_some(first)?
}

fn middle(outline: &[Coord]) -> Option<Coord> {
    let sum = outline.iter().fold(Coord::zero(), |sum, &p| sum + p);
    let middle = sum / outline.len().max(1) as f64;
    (!outline.is_empty() && finite(middle)).then_some(middle)
}

fn counted(what: &str, n: usize) -> Option<String> {
    match n {
        0 => None,
        1 => Some(format!("1 {what}")),
        n => Some(format!("{n} {what}s")),
    }
}

/// How many, and the first few by name.
fn said(what: &str, ids: &BTreeSet<impl ToString>) -> Option<String> {
    const NAMED: usize = 8;
    let mut names: Vec<String> = ids.iter().take(NAMED).map(ToString::to_string).collect();
    if ids.len() > NAMED {
        names.push("…".to_string());
    }
    Some(format!("{} ({})", counted(what, ids.len())?, names.join(" ")))
}
