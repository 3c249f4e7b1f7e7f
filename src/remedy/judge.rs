//! Whether a change is clean: the plan's part about it is changed, related and checked anew, and
//! its findings before and after are compared.
//!
//! Findings are the same where kind, lights and members agree and their rows share lights (an uneven
//! pitch is the row's, whichever of its lights show it); their numbers and wording do not count, since rows and findings may be numbered anew.

use std::collections::BTreeSet;

use geo::{Coord, Vector2DOps};

use super::still::Still;
use super::{Action, Offer, put};
use crate::check::work::Ground;
use crate::check::{EPSILON, Finding, Kind, check_in_short};
use crate::geom::FUZZ;
use crate::plan::{Light, LightId, Plan, Row, RowId};
use crate::recognise::rows::row_of;
use crate::recognise::{relate, relate_bays};
use crate::rules::Rules;

/// Members and lights this far from a changed light are still looked at, inches. Greater than a
/// bay and a housing with what may be moved.
const AROUND: f64 = 120.0;
/// A finding has got worse where it is further past its limit by more than this, inches.
const WORSE: f64 = 0.001;

/// A row whose pitch changes by more than this share is another row: one light moved half a pitch would
/// else make an even row of half the pitch.
const SAME_PITCH: f64 = 0.1;

/// A change to some lights or members.
pub(crate) struct Change {
    pub lights: Vec<LightId>,
    pub action: Action,
}

impl Change {
    /// What an offer would do; `None` where it does nothing.
    pub fn of(offer: &Offer) -> Option<Change> {
        match &offer.action {
            Action::None { .. } => None,
            action => Some(Change {
                lights: offer.lights.clone(),
                action: action.clone(),
            }),
        }
    }

    pub fn shift(lights: &[(LightId, Coord)], by: Coord) -> Change {
        Change {
            lights: lights.iter().map(|l| l.0).collect(),
            action: Action::Move {
                to: lights.iter().map(|l| l.1 + by).collect(),
                by: by.magnitude(),
            },
        }
    }
}

/// A part of a plan and its findings as they are.
pub(crate) struct Scope {
    plan: Plan,
    /// Which light of the whole plan each one is.
    lights: Vec<LightId>,
    before: Vec<Finding>,
    still: Still,
}

/// The findings after a change, against those before.
pub(crate) struct Verdict {
    /// Kinds of findings that are new or worse.
    pub new: BTreeSet<Kind>,
    /// Something no check speaks of: a light out of its row or room, or upon another.
    pub displaced: bool,
    /// Findings (by place in the scope) that are gone.
    gone: Vec<usize>,
}

impl Verdict {
    pub fn clean(&self) -> bool {
        self.new.is_empty() && !self.displaced
    }

    /// Whether anything is gone.
    pub fn mends_any(&self) -> bool {
        !self.gone.is_empty()
    }

    /// The places in `found`, findings of the whole plan, of those that are gone.
    pub fn mended(&self, scope: &Scope, found: &[Finding]) -> Vec<usize> {
        let gone: Vec<&Finding> = self.gone.iter().filter_map(|&i| scope.before.get(i)).collect();
        let is = |f: &Finding| gone.iter().any(|g| scope.stands_for(g, f));
        (0..found.len())
            .filter(|&j| found.get(j).is_some_and(is))
            .collect()
    }
}

impl Scope {
    /// All of a plan.
    pub fn whole(plan: &Plan, rules: &Rules) -> Scope {
        let lights = (0..plan.lights.len()).map(LightId).collect();
        Scope::of(plan.clone(), lights, rules)
    }

    /// The lights that share a room or a row with the given ones.
    pub fn lights_around(plan: &Plan, lights: &[LightId]) -> Vec<LightId> {
        let moved: Vec<&Light> = lights.iter().filter_map(|l| plan.lights.get(l.0)).collect();
        let near = |at: Coord| moved.iter().any(|m| (m.at - at).magnitude() <= 5.0 * AROUND);
        let mut kept: BTreeSet<LightId> = plan
            .lights
            .iter()
            .enumerate()
            .filter(|(_, light)| moved.iter().any(|m| m.room == light.room))
            .filter(|(_, light)| light.room.is_some() || near(light.at))
            .map(|(i, _)| LightId(i))
            .collect();
        kept.extend(lights);
        // A row cut short is another row: those that any light stands in are kept whole.
        for row in plan.rows.iter() {
            if row.lights.iter().any(|l| kept.contains(l)) {
                kept.extend(&row.lights);
            }
        }
        kept.into_iter().collect()
    }

    /// The lights of [`Scope::lights_around`], and the framing near them.
    pub fn around(plan: &Plan, kept: Vec<LightId>, rules: &Rules) -> Scope {
        Scope::part(plan, kept, 5.0 * AROUND, rules)
    }

    /// Whether it is of just these lights.
    pub fn is_of(&self, lights: &[LightId]) -> bool {
        self.lights == lights
    }

    /// One light alone, with the framing near it: what does not depend on rows.
    pub fn alone(plan: &Plan, light: LightId, rules: &Rules) -> Scope {
        Scope::part(plan, vec![light], AROUND, rules)
    }

    /// These lights, the members near them, and the walls and rooms within `view`.
    fn part(plan: &Plan, kept: Vec<LightId>, view: f64, rules: &Rules) -> Scope {
        let lights: Vec<Light> = kept
            .iter()
            .filter_map(|l| plan.lights.get(l.0))
            .cloned()
            .collect();
        let seen = |ends: &[Coord], view: f64| lights.iter().any(|l| is_near(ends, view, l.at));
        let members = plan
            .members
            .iter()
            .filter(|m| seen(&[m.from, m.to], AROUND + m.thickness));
        let walls = plan.walls.iter().filter(|w| seen(&[w.0, w.1], view));
        let rooms = plan.rooms.iter().filter(|r| seen(&r.outline, view));
        let obstacles = plan.obstacles.iter().filter(|o| seen(&o.outline, AROUND));
        let part = Plan {
            units: plan.units.clone(),
            members: members.cloned().collect(),
            callouts: Vec::new(),
            walls: walls.copied().collect(),
            rooms: rooms.cloned().collect(),
            openings: Vec::new(),
            axis: plan.axis,
            obstacles: obstacles.cloned().collect(),
            rows: Vec::new(),
            linework: Vec::new(),
            unclaimed: Vec::new(),
            counts: plan.counts,
            lights,
        };
        Scope::of(part, kept, rules)
    }

    fn of(mut plan: Plan, lights: Vec<LightId>, rules: &Rules) -> Scope {
        relate(&mut plan, rules);
        let still = Still::of(&plan);
        let before = check_in_short(&plan, rules, still.ground());
        Scope {
            plan,
            lights,
            before,
            still,
        }
    }

    /// Whether a finding of the scope is this one of the whole plan. Members and rows are numbered
    /// differently there, so kind, place and measure tell.
    fn stands_for(&self, mine: &Finding, theirs: &Finding) -> bool {
        let lights = || mine.lights.iter().map(|l| self.lights.get(l.0));
        mine.kind == theirs.kind
            && lights().eq(theirs.lights.iter().map(Some))
            && (mine.measured == theirs.measured || (mine.measured - theirs.measured).abs() <= WORSE)
            && (mine.mend - theirs.mend).magnitude() <= WORSE
    }

    /// Checks the scope with a change of whole-plan lights made.
    pub fn judge(&self, change: &Change, rules: &Rules) -> Verdict {
        let Action::Move { to, .. } = &change.action else {
            return self.judge_anew(change, rules);
        };
        let own = self.own(change);
        let moved = self.still.moved(&self.plan, &own, to, rules, |plan, after| {
            self.verdict(plan, after, &own, rules)
        });
        moved.unwrap_or_else(|| self.judge_anew(change, rules))
    }

    /// Which lights of the scope are changed.
    fn own(&self, change: &Change) -> Vec<LightId> {
        let places = change
            .lights
            .iter()
            .filter_map(|l| self.lights.binary_search(l).ok());
        places.map(LightId).collect()
    }

    /// The same as [`Scope::judge`], with all of the plan related and checked anew.
    fn judge_anew(&self, change: &Change, rules: &Rules) -> Verdict {
        let own = self.own(change);
        let mut plan = self.plan.clone();
        put(&mut plan, &own, &change.action);
        match change.action {
            // Rooms and rows are the lights' matter.
            Action::Block { .. } => relate_bays(&mut plan, rules),
            _ => relate(&mut plan, rules),
        }
        let after = check_in_short(&plan, rules, &Ground::of(&plan));
        let moved = match change.action {
            Action::Move { .. } => own.as_slice(),
            _ => &[],
        };
        self.verdict(&plan, &after, moved, rules)
    }

    /// Of the plan as it is then and what is found on it; `moved` are the lights that moved.
    fn verdict(&self, plan: &Plan, after: &[Finding], moved: &[LightId], rules: &Rules) -> Verdict {
        let (gone, fresh) = compare((&self.plan.rows, &self.before), (&plan.rows, after));
        let new = fresh
            .iter()
            .filter_map(|&i| after.get(i))
            .map(|a| a.kind)
            .collect();
        Verdict {
            new,
            displaced: moved.iter().any(|&l| self.displaced(plan, l, rules)),
            gone,
        }
    }

    /// Whether a moved light has left its room or a row, or crowds another light or device.
    fn displaced(&self, after: &Plan, light: LightId, rules: &Rules) -> bool {
        let (Some(was), Some(is)) = (self.plan.lights.get(light.0), after.lights.get(light.0)) else {
            return true;
        };
        let left_row = was
            .rows
            .iter()
            .filter_map(|r| self.plan.rows.get(r.0))
            .any(|row| {
                let mut now = is.rows.iter().filter_map(|r| after.rows.get(r.0));
                !now.any(|r| same_row_again(r, row))
            });
        let apart = 2.0 * rules.housing(is).box_side;
        let crowded =
            after
                .lights
                .iter()
                .zip(&self.plan.lights)
                .enumerate()
                .any(|(i, (other, other_was))| {
                    let (now, then) = (
                        (other.at - is.at).magnitude(),
                        (other_was.at - was.at).magnitude(),
                    );
                    i != light.0 && now < apart && now < then - FUZZ
                });
        let opening = rules.housing(is).opening / 2.0;
        let covered = after.obstacles.iter().any(|o| {
            let now = outline_gap(&o.outline, is.at);
            now < opening && now < outline_gap(&o.outline, was.at) - FUZZ
        });
        left_row || crowded || covered || was.room != is.room
    }
}

/// The findings of one plan and of the same lights elsewhere compared, each with their rows: the places of those that are gone, and
/// of those that are new or worse.
pub(super) fn compare(was: (&[Row], &[Finding]), is: (&[Row], &[Finding])) -> (Vec<usize>, Vec<usize>) {
    let same = |b: &Finding, a: &Finding| {
        b.kind == a.kind
            && (b.kind == Kind::UnevenPitch || b.is_of_the_lights_of(a))
            && a.members.iter().all(|m| b.members.contains(m))
            && same_row(was.0, b.row, is.0, a.row)
    };
    let places = |found: &[Finding], keep: &dyn Fn(&Finding) -> bool| {
        let all = found.iter().enumerate();
        all.filter(|(_, f)| keep(f)).map(|(i, _)| i).collect()
    };
    let gone = places(was.1, &|b| !is.1.iter().any(|a| same(b, a)));
    let new = places(is.1, &|a| !was.1.iter().any(|b| same(b, a) && !worse(b, a)));
    (gone, new)
}

/// Whether the rows of some lights could stay as they are with those at new places: false where it is sure that a row
/// would be another one, or off its line or pitch by more than before. No plan is related for it.
pub(super) fn rows_may_hold(plan: &Plan, lights: &[(LightId, Coord)], rules: &Rules) -> bool {
    let moved = |id: LightId| lights.iter().find(|l| l.0 == id).map(|l| l.1);
    let touched = plan
        .rows
        .iter()
        .filter(|r| r.lights.iter().any(|l| moved(*l).is_some()));
    let limits = &rules.tolerance;
    touched.into_iter().all(|row| {
        let stand = |l: &LightId| Some((*l, moved(*l).or_else(|| plan.lights.get(l.0).map(|l| l.at))?));
        let Some(places) = row.lights.iter().map(stand).collect::<Option<Vec<_>>>() else {
            return false;
        };
        let Some(after) = row_of(plan, &places, row.room, rules) else {
            return false;
        };
        let worst = |values: &[f64]| values.iter().fold(0.0_f64, |w, v| w.max(v.abs()));
        let no_worse = |before: &[f64], after: &[f64], limit: f64| {
            worst(after) <= limit.max(worst(before)) + EPSILON.max(WORSE)
        };
        same_row_again(&after, row)
            && no_worse(&row.along, &after.along, limits.along)
            && no_worse(&row.offsets, &after.offsets, limits.across)
    })
}

/// Whether a row is the same one after a change: its lights in their order, its pitch about what it was.
pub(super) fn same_row_again(after: &Row, before: &Row) -> bool {
    same_order(after, before) && (after.pitch - before.pitch).abs() <= SAME_PITCH * before.pitch
}

/// Whether two rows have the same lights in the same order, from either end: lights do not pass each other.
fn same_order(a: &Row, b: &Row) -> bool {
    a.lights == b.lights || a.lights.iter().eq(b.lights.iter().rev())
}

fn worse(before: &Finding, after: &Finding) -> bool {
    let past = |f: &Finding| (f.measured - f.limit).abs();
    // Where both are infinite the comparison is false: no worse.
    past(after) > past(before) + WORSE
}

fn same_row(before: &[Row], b: Option<RowId>, after: &[Row], a: Option<RowId>) -> bool {
    match (b.and_then(|r| before.get(r.0)), a.and_then(|r| after.get(r.0))) {
        // Rows that cross may have two lights in common where one runs slantwise.
        (Some(b), Some(a)) => {
            let shared = b.lights.iter().filter(|l| a.lights.contains(l)).count();
            2 * shared > b.lights.len().max(a.lights.len())
        }
        (b, a) => b.is_none() && a.is_none(),
    }
}

/// Whether a point lies within `view` of the box about some points.
pub(super) fn is_near(points: &[Coord], view: f64, at: Coord) -> bool {
    let near = |ordinate: fn(&Coord) -> f64| {
        let values = points.iter().map(ordinate);
        let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| {
            (l.min(v), h.max(v))
        });
        (low - view..=high + view).contains(&ordinate(&at))
    };
    near(|p| p.x) && near(|p| p.y)
}

/// Distance from a point to an outline; zero inside.
fn outline_gap(ring: &[Coord], at: Coord) -> f64 {
    use geo::algorithm::line_measures::{Distance, Euclidean};
    let polygon = geo::Polygon::new(ring.to_vec().into(), Vec::new());
    Euclidean.distance(&geo::Point(at), &polygon)
}
