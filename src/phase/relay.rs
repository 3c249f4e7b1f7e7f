//! A layout that works at more phases: the lines of lights along the members moved across them.
//!
//! Lights a multiple of the spacing apart miss the members together, so what counts is the pitch of the lines,
//! modulo the spacing; their common place matters at walls and devices only. Every shift and every change of
//! pitch in steps of 1/16 in within the reach is looked at or ruled out by a bound: the best is exact.

use std::cmp::Ordering;
use std::collections::BTreeSet;

use geo::{Coord, Vector2DOps};

use super::light::{Around, Bare};
use super::{Field, Relay};
use crate::check::{Finding, Kind, check};
use crate::geom::{FUZZ, unit};
use crate::plan::{Light, LightId, Plan, RoomId};
use crate::recognise::relate;
use crate::remedy::keep::Keep;
use crate::rules::Rules;

/// Furthest move of a light, inches: about a bay of 24 in on centre.
pub const REACH: f64 = 24.0;
/// Moves are multiples of this, inches: what a tape shows.
pub const STEP: f64 = 1.0 / 16.0;
/// Lights no further than this apart across the members are one line, inches: what makes lights one row.
const CAPTURE: f64 = 6.0;
/// Shares that differ by less are the same: rounding.
const ALIKE: f64 = 1e-9;
/// A finding has got worse where it is further past its limit by more than this, inches.
const WORSE: f64 = 0.001;
/// Most layouts that are measured, times lights, and most that are judged on the plan.
const MEASURED: usize = 60_000;
const JUDGED: usize = 600;

/// What a layout costs: lights moved, greatest move and sum of moves in steps, then the shift and the change
/// of pitch, so that no two cost the same.
pub type Cost = (usize, i64, i64, i64, i64);

/// What is sought: more phases with no `must`, then more with no finding, then less to move.
#[derive(Clone, Copy, Debug)]
pub struct Worth {
    pub works: f64,
    pub clean: f64,
    pub cost: Cost,
}

impl Worth {
    pub fn order(&self, other: &Worth) -> Ordering {
        shares(self, other).then_with(|| other.cost.cmp(&self.cost))
    }
}

fn shares(a: &Worth, b: &Worth) -> Ordering {
    let alike = |a: f64, b: f64| {
        if (a - b).abs() <= ALIKE {
            Ordering::Equal
        } else {
            a.total_cmp(&b)
        }
    };
    alike(a.works, b.works).then_with(|| alike(a.clean, b.clean))
}

/// The lights of a room and their lines.
pub struct Lines<'a> {
    pub plan: &'a Plan,
    pub field: Field,
    pub lights: &'a [(LightId, &'a Light)],
    /// Pitches of each light's line from the first line.
    pitches: Vec<i64>,
    /// Lights of each line, with its pitches.
    counts: Vec<(i64, usize)>,
}

impl<'a> Lines<'a> {
    pub fn new(plan: &'a Plan, field: Field, lights: &'a [(LightId, &'a Light)]) -> Lines<'a> {
        let mut order: Vec<(usize, f64)> = lights.iter().map(|l| field.place(l.1.at)).enumerate().collect();
        order.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
        let mut lines: Vec<Vec<(usize, f64)>> = Vec::new();
        for it in order {
            match lines.last_mut() {
                Some(line) if line.last().is_some_and(|l| it.1 - l.1 <= CAPTURE + FUZZ) => line.push(it),
                _ => lines.push(vec![it]),
            }
        }
        let middles: Vec<f64> = (lines.iter())
            .filter_map(|l| Some((l.first()?.1 + l.last()?.1) / 2.0))
            .collect();
        let pitch = middles
            .windows(2)
            .map(|w| w[1] - w[0])
            .fold(f64::INFINITY, f64::min);
        let mut pitches = vec![0; lights.len()];
        let (mut count, mut before) = (0, None);
        for (line, middle) in lines.iter().zip(&middles) {
            // Gap by gap, so that it is the same counted from the other end; a half goes up but for rounding.
            let gap = before.map_or(0.0, |b: f64| (middle - b) / pitch);
            count += (gap + FUZZ).round() as i64;
            before = Some(*middle);
            for (i, _) in line {
                pitches[*i] = count;
            }
        }
        let mut counts: Vec<(i64, usize)> = Vec::new();
        let mut rising = pitches.clone();
        rising.sort_unstable();
        for k in rising {
            match counts.last_mut() {
                Some((last, n)) if *last == k => *n += 1,
                _ => counts.push((k, 1)),
            }
        }
        Lines {
            plan,
            field,
            lights,
            pitches,
            counts,
        }
    }

    /// How far a light moves, in steps.
    fn steps(&self, i: usize, shift: i64, stretch: i64) -> i64 {
        shift + self.pitches.get(i).map_or(0, |k| k * stretch)
    }

    /// Pitches from the first line to the last.
    pub fn last(&self) -> i64 {
        self.counts.last().map_or(0, |c| c.0)
    }

    pub fn cost(&self, shift: i64, stretch: i64) -> Cost {
        let (mut moved, mut most, mut sum) = (0, 0, 0);
        for &(k, n) in &self.counts {
            let by = (shift + k * stretch).abs();
            moved += if by > 0 { n } else { 0 };
            most = most.max(by);
            sum += by * n as i64;
        }
        (moved, most, sum, shift, stretch)
    }

    /// Where the lights then stand.
    pub fn places(&self, shift: i64, stretch: i64) -> Vec<Coord> {
        let across = self.field.across();
        let to = |(i, (_, l)): (usize, &(LightId, &Light))| {
            l.at + across * (self.steps(i, shift, stretch) as f64 * STEP)
        };
        self.lights.iter().enumerate().map(to).collect()
    }
}

/// The best layout within the reach that is better than the one drawn, which works at `works` and is clean at
/// `clean` of phases; and whether there is none better, or the work allowed was done before that was known. What must stay
/// ([`Keep`]) stays.
pub fn relay(
    around: &Around<'_>,
    lines: &Lines<'_>,
    room: Option<RoomId>,
    (works, clean): (f64, f64),
    reach: f64,
    (rules, keep): (&Rules, &Keep),
) -> (Option<Relay>, bool) {
    let (lights, field) = (lines.lights, lines.field);
    let bare: Vec<Bare> = lights.iter().map(|l| around.bare(field, l.1, rules)).collect();
    let room = Room::new(lines, room, rules);
    let most = (reach / STEP).floor() as i64;
    let last = lines.last();
    let stretches = if last == 0 { 0 } else { 2 * most / last };
    // Walls and devices only take phases away: without them a change of pitch can do no better.
    let mut open: Vec<(Worth, i64)> = (-stretches..=stretches)
        .map(|stretch| {
            let at = |i: usize| (lines.steps(i, 0, stretch) as f64) * STEP;
            let share = |any: bool| {
                let bad = bare.iter().enumerate();
                union(bad.flat_map(|(i, b)| b.bad(any, at(i))), field.spacing)
            };
            let cost = (0, 0, 0, 0, stretch);
            let (works, clean) = (share(false), share(true));
            (Worth { works, clean, cost }, stretch)
        })
        .collect();
    open.sort_by(|a, b| {
        shares(&b.0, &a.0)
            .then(a.1.abs().cmp(&b.1.abs()))
            .then(a.1.cmp(&b.1))
    });
    let drawn = Worth {
        works,
        clean,
        cost: lines.cost(0, 0),
    };
    let (mut best, mut proved) = (drawn, true);
    let (mut measured, mut judged) = (0, 0);
    'all: for (bound, stretch) in open {
        // What is as good as drawn is no reason to move.
        let than = if best.cost.0 == 0 {
            Ordering::Equal
        } else {
            Ordering::Less
        };
        if shares(&bound, &best) <= than {
            break;
        }
        let end = last * stretch;
        let mut costs: Vec<Cost> = ((-most).max(-most - end)..=most.min(most - end))
            .map(|shift| lines.cost(shift, stretch))
            .collect();
        costs.sort_unstable();
        let mut refused: Vec<(i64, f64)> = Vec::new();
        for cost in costs {
            if (refused.iter()).any(|(at, within)| (cost.3 - at).abs() as f64 * STEP < *within) {
                continue;
            }
            if (Worth { cost, ..bound }).order(&best) != Ordering::Greater {
                break;
            }
            let to = lines.places(cost.3, stretch);
            let stands = lights.iter().zip(&to);
            if !stands
                .enumerate()
                .all(|(i, (l, to))| lines.steps(i, cost.3, stretch) == 0 || keep.may_move(l.0, l.1.at, *to))
            {
                continue;
            }
            if measured >= MEASURED || judged >= JUDGED {
                proved = false;
                break 'all;
            }
            measured += lights.len();
            let bad = |any: bool| {
                let each = bare.iter().zip(&to).zip(lights).enumerate();
                let spans = each.flat_map(|(i, ((b, at), (_, light)))| {
                    let moved = Light {
                        at: *at,
                        ..Light::clone(light)
                    };
                    let by = lines.steps(i, cost.3, stretch) as f64 * STEP;
                    let mut spans = b.bad(any, by);
                    spans.extend(around.taken_away(field, &moved, rules));
                    spans
                });
                union(spans, field.spacing)
            };
            let worth = Worth {
                works: bad(false),
                clean: bad(true),
                cost,
            };
            if worth.order(&best) != Ordering::Greater {
                continue;
            }
            judged += 1;
            match room.accepts(&to, rules) {
                Ok(()) => {
                    best = worth;
                    if shares(&worth, &bound) != Ordering::Less {
                        break;
                    }
                }
                Err(within) => refused.push((cost.3, within)),
            }
        }
    }
    let (.., shift, stretch) = best.cost;
    if best.cost.0 == 0 {
        return (None, proved);
    }
    let to = lines.places(shift, stretch);
    let moved = (0..lights.len()).filter(|&i| lines.steps(i, shift, stretch) != 0);
    let moves = moved.filter_map(|i| Some((lights.get(i)?.0, *to.get(i)?)));
    let relay = Relay {
        moves: moves.collect(),
        most: best.cost.1 as f64 * STEP,
        works: best.works,
        clean: best.clean,
        proved,
    };
    (Some(relay), proved)
}

/// The share of phases that no span covers.
fn union(spans: impl Iterator<Item = (f64, f64)>, spacing: f64) -> f64 {
    let mut parts: Vec<(f64, f64)> = Vec::new();
    for (from, to) in spans {
        let length = (to - from).min(spacing);
        let from = from.rem_euclid(spacing);
        parts.push((from, (from + length).min(spacing)));
        if from + length > spacing {
            parts.push((0.0, from + length - spacing));
        }
    }
    parts.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut covered, mut end) = (0.0, 0.0f64);
    for (from, to) in parts {
        covered += (to - from.max(end)).max(0.0);
        end = end.max(to);
    }
    (1.0 - covered / spacing).clamp(0.0, 1.0)
}

/// The room's lights by themselves, with what the checks say of them whatever the framing.
pub struct Room {
    plan: Plan,
    before: Vec<Finding>,
    rows: BTreeSet<Vec<LightId>>,
    across: Coord,
    /// Whether the room is a drawn rectangle square to the members.
    square: bool,
    /// Room that the housings take to either side, inches.
    wide: f64,
}

impl Room {
    pub fn new(lines: &Lines<'_>, room: Option<RoomId>, rules: &Rules) -> Room {
        let mut plan = Plan {
            lights: lines.lights.iter().map(|l| Light::clone(l.1)).collect(),
            members: Vec::new(),
            callouts: Vec::new(),
            linework: Vec::new(),
            unclaimed: Vec::new(),
            ..lines.plan.clone()
        };
        plan.lights.iter_mut().for_each(|l| l.room = room);
        relate(&mut plan, rules);
        let boxes = plan.lights.iter().map(|l| rules.luminaire(l).box_side);
        Room {
            across: lines.field.across(),
            square: room.and_then(|r| plan.rooms.get(r.0)).is_some_and(|r| {
                let along = lines.field.along;
                let ends = r.outline.iter().zip(r.outline.iter().cycle().skip(1));
                let mut ways = ends.map(|(a, b)| *b - *a);
                let square = |w: Coord| w.dot_product(along).abs().min(w.wedge_product(along).abs()) < FUZZ;
                r.drawn && r.outline.len() == 4 && ways.all(square)
            }),
            before: check(&plan, rules),
            rows: rows(&plan),
            wide: 2.0 * boxes.fold(0.0, f64::max),
            plan,
        }
    }

    /// Whether the lights may stand there: no finding new or worse, all rows and rooms kept, no two lights
    /// upon each other. If not, how much further they must be shifted, inches, at least.
    pub fn accepts(&self, to: &[Coord], rules: &Rules) -> Result<(), f64> {
        let mut plan = self.plan.clone();
        for (light, at) in plan.lights.iter_mut().zip(to) {
            light.at = *at;
        }
        relate(&mut plan, rules);
        let (was, is) = (&self.plan.lights, &plan.lights);
        let rooms_kept = was.iter().zip(is).all(|(a, b)| a.room == b.room);
        let far = |lights: &[Light], i: usize, j: usize| {
            let d = lights[i].at - lights[j].at;
            d.x.hypot(d.y)
        };
        let crowded =
            (0..is.len()).any(|i| (0..i).any(|j| far(is, i, j) < self.wide.min(far(was, i, j)) - FUZZ));
        if !rooms_kept || crowded {
            return Err(0.0);
        }
        let after = check(&plan, rules);
        let past = |f: &Finding| (f.measured - f.limit).abs();
        let stood = |a: &Finding| {
            let same =
                |b: &&Finding| b.kind == a.kind && (b.kind == Kind::UnevenPitch || b.is_of_the_lights_of(a));
            self.before.iter().filter(same).map(past).reduce(f64::max)
        };
        let mut further: Option<f64> = None;
        for a in &after {
            let worse = match stood(a) {
                // Where both are infinite the comparison is false: no worse.
                Some(was) if past(a) > was + WORSE => past(a) - was - WORSE,
                Some(_) => continue,
                None => past(a),
            };
            let shift = match a.kind {
                // Gaps along a row are the same wherever its lines stand.
                Kind::WideGap => f64::INFINITY,
                Kind::WallGap if self.square => worse * self.lean(&plan, a),
                _ => 0.0,
            };
            further = Some(further.map_or(shift, |f| f.max(shift)));
        }
        match further {
            Some(shift) => Err(shift),
            None if rows(&plan) != self.rows => Err(0.0),
            None => Ok(()),
        }
    }

    /// In a room square to the members: how far lights must be shifted at least for an inch of gap to a wall.
    fn lean(&self, plan: &Plan, finding: &Finding) -> f64 {
        let row = finding.row.and_then(|r| plan.rows.get(r.0));
        let way = row.and_then(|r| unit(r.to - r.from));
        way.map_or(0.0, |w| w.dot_product(self.across).abs())
    }
}

/// The lights of each row, whichever way it runs.
fn rows(plan: &Plan) -> BTreeSet<Vec<LightId>> {
    let sorted = |lights: &Vec<LightId>| {
        let mut lights = lights.clone();
        lights.sort();
        lights
    };
    plan.rows.iter().map(|r| sorted(&r.lights)).collect()
}
