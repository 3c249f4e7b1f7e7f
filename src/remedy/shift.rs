//! Moves: the least that mends a light's place, alone, with its row, or with all rows it is tied to.
//!
//! A light off line goes exactly onto its row line. From there, and for what stands on framing, moves are
//! multiples of 1/16 in along a row, so that the light stays on its line, or along the bars.

use std::collections::BTreeSet;

use geo::{Coord, Vector2DOps};

use super::judge::{Change, Scope, Verdict, rows_may_hold};
use super::relay::{Laid, relay};
use super::{Action, Bench, Offer, words};
use crate::check::Kind;
use crate::check::work::{hole, outline_distance};
use crate::geom::{FUZZ, Line, unit};
use crate::length::feet_inches;
use crate::plan::{LightId, Member, Plan, Row};

/// Furthest move, inches: about a bay of 24 in on centre.
pub(super) const REACH: f64 = 24.0;
/// Moves are multiples of this, inches: what a tape shows.
const STEP: f64 = 1.0 / 16.0;
/// After a move was found wanting for the rows' sake, the next one tried is this much longer, inches.
const STRIDE: f64 = 0.25;

/// A light and its place.
type Placed = (LightId, Coord);

/// The least move that mends `targets` (places among the findings), all of them if it can be, else the first.
pub(super) fn find(bench: &mut Bench<'_>, light: LightId, targets: &[usize]) -> Offer {
    let plan = bench.plan;
    let Some(at) = plan.lights.get(light.0).map(|l| l.at) else {
        return Offer::none(light, "it is not on the plan".into());
    };
    if let Some(why) = bench.keep.why(light) {
        return Offer::none(light, format!("it may not move: {why}"));
    }
    let ways = ways(plan, light);
    let alone: Vec<Placed> = vec![(light, at)];
    let mut compromise = None;
    let first = targets.get(..1).unwrap_or(targets);
    let aims: &[&[usize]] = if targets.len() > 1 {
        &[targets, first]
    } else {
        &[targets]
    };
    for wanted in aims {
        let moves = moves(bench, light, at, &ways, wanted);
        if let Ok(by) = least(bench, &alone, &moves, wanted, &mut compromise) {
            return offer(plan, &alone, by);
        }
    }
    let off_line = first
        .iter()
        .filter_map(|&i| bench.findings.get(i))
        .any(|f| f.kind == Kind::OffLine);
    let mut proof = None;
    for group in groups(plan, light).into_iter().filter(|_| !off_line) {
        let ids: Vec<LightId> = group.iter().map(|g| g.0).collect();
        if let Some(why) = bench.stuck.get(&ids) {
            proof = proof.or(why.clone());
            continue;
        }
        let set: BTreeSet<LightId> = ids.iter().copied().collect();
        let held = set
            .iter()
            .copied()
            .filter(|l| bench.keep.why(*l).is_some())
            .collect();
        // Lights of a row that others cross move only with those.
        let laid = closed(plan, &set).then(|| relay(bench, &set, &held, first));
        match laid {
            Some(Laid::Out(offer)) => return offer,
            Some(Laid::Never(why)) => {
                proof = proof.or(Some(why.clone()));
                bench.stuck.insert(ids, Some(why));
            }
            // No lattice to lay them on: as they stand, all together.
            Some(Laid::Unknown) | None => {
                let moves = steps(Coord::zero(), &ways);
                if let Ok(by) = least(bench, &group, &moves, first, &mut None) {
                    return offer(plan, &group, by);
                }
                bench.stuck.insert(ids, None);
            }
        }
    }
    let why = match compromise {
        Some((by, verdict)) => {
            let judged = || {
                bench
                    .around(&[light])
                    .judge(&Change::shift(&alone, by), bench.rules)
            };
            short_of(by, &verdict.unwrap_or_else(judged))
        }
        None => format!(
            "within {} every place has the framing{} in the way",
            feet_inches(REACH),
            if plan.obstacles.is_empty() {
                ""
            } else {
                " or a device"
            }
        ),
    };
    Offer::none(
        light,
        proof.map_or(why.clone(), |proof| format!("{why}; {proof}")),
    )
}

/// Whether no row has lights both of the set and not of it.
fn closed(plan: &Plan, set: &BTreeSet<LightId>) -> bool {
    let mut rows = plan.rows.iter();
    rows.all(|r| r.lights.iter().all(|l| set.contains(l)) || !r.lights.iter().any(|l| set.contains(l)))
}

/// Why the best move alone was not good enough.
fn short_of(by: Coord, verdict: &Verdict) -> String {
    let mut bad: Vec<&str> = verdict.new.iter().map(|k| k.name()).collect();
    if verdict.displaced {
        bad.push("a light out of its row or room, or upon another");
    }
    format!(
        "{} {} clears what is in the way but leaves {}; decide on the spot or ask for the layout to change",
        feet_inches(by.magnitude()),
        words::toward(by),
        bad.join(" and ")
    )
}

/// Unit vectors to move along: the light's rows, then square to the members beside it, then along them.
fn ways(plan: &Plan, light: LightId) -> Vec<Coord> {
    let mut ways: Vec<Coord> = Vec::new();
    let Some(it) = plan.lights.get(light.0) else {
        return ways;
    };
    let rows = it.rows.iter().filter_map(|r| plan.rows.get(r.0));
    let bay = it.bay.iter().flat_map(|bay| [bay.along.left(), bay.along]);
    for way in rows.filter_map(|row| unit(row.to - row.from)).chain(bay) {
        // Less than half a degree apart they are one way.
        if ways.iter().all(|w| w.wedge_product(way).abs() > 0.009) {
            ways.push(way);
        }
    }
    if ways.is_empty() {
        // No row and no framing: along the walls of its room, else of the plan, else of the sheet.
        let room = it.room.and_then(|r| plan.rooms.get(r.0)).map(|r| r.axis);
        let along = room.or(plan.axis).unwrap_or(Coord { x: 1.0, y: 0.0 });
        ways.extend([along, along.left()]);
    }
    ways
}

/// Moves to try for one light, the shortest first.
fn moves(bench: &Bench<'_>, light: LightId, at: Coord, ways: &[Coord], wanted: &[usize]) -> Vec<Coord> {
    let off: Vec<_> = wanted
        .iter()
        .filter_map(|&i| bench.findings.get(i))
        .filter(|f| f.kind == Kind::OffLine)
        .collect();
    if off.is_empty() {
        return steps(Coord::zero(), ways);
    }
    let lines: Vec<Line> = off
        .iter()
        .filter_map(|f| f.row.and_then(|r| bench.plan.rows.get(r.0)))
        .filter_map(line_of)
        .collect();
    let others = bench.plan.lights.get(light.0).into_iter().flat_map(|l| &l.rows);
    let others: Vec<Line> = others
        .filter_map(|r| bench.plan.rows.get(r.0))
        .filter_map(line_of)
        .collect();
    let mut all = Vec::new();
    for (i, line) in lines.iter().enumerate() {
        // On one line, or where it crosses another row that is wanted.
        if lines.len() == 1 {
            all.extend(steps(line.foot(at) - at, &[line.along]));
        }
        let crossed = if lines.len() == 1 {
            others.as_slice()
        } else {
            lines.get(i + 1..).unwrap_or(&[])
        };
        all.extend(
            crossed
                .iter()
                .filter_map(|other| crossing(line, other))
                .map(|p| p - at),
        );
    }
    all.retain(|m| m.magnitude() <= REACH);
    all.sort_by(|a, b| a.magnitude().total_cmp(&b.magnitude()));
    all
}

fn line_of(row: &Row) -> Option<Line> {
    Line::through(row.from, row.to)
}

fn crossing(a: &Line, b: &Line) -> Option<Coord> {
    let turn = a.along.wedge_product(b.along);
    // Nearly parallel lines cross too far off to matter.
    (turn.abs() > 0.009).then(|| a.at((b.point - a.point).wedge_product(b.along) / turn))
}

/// `base` and its neighbours along the ways, both ways, the shortest first. A zero move is none.
fn steps(base: Coord, ways: &[Coord]) -> Vec<Coord> {
    let count = (REACH / STEP) as i32;
    let mut all: Vec<(i64, usize, Coord)> = Vec::new();
    for (order, &way) in ways.iter().enumerate() {
        for k in -count..=count {
            let by = base + way * (f64::from(k) * STEP);
            // To 1e-6, so that rounding does not choose between left and right.
            all.push(((by.magnitude() / FUZZ).round() as i64, order, by));
        }
    }
    all.sort_by_key(|a| (a.0, a.1));
    let all = all.into_iter().map(|a| a.2);
    all.filter(|by| by.magnitude() > FUZZ && by.magnitude() <= REACH)
        .collect()
}

/// The first of `moves` that is clean for the whole group and mends what is wanted. The first that
/// only the rows speak against is left in `compromise`.
fn least(
    bench: &Bench<'_>,
    group: &[Placed],
    moves: &[Coord],
    wanted: &[usize],
    compromise: &mut Option<(Coord, Option<Verdict>)>,
) -> Result<Coord, ()> {
    let (plan, rules) = (bench.plan, bench.rules);
    let ids: Vec<LightId> = group.iter().map(|g| g.0).collect();
    let mut group_by_need = group.to_vec();
    // What is to be mended is what most likely rules a place out.
    let needs = |l: LightId| {
        wanted
            .iter()
            .filter_map(|&i| bench.findings.get(i))
            .any(|f| f.lights.contains(&l))
    };
    group_by_need.sort_by_key(|placed| !needs(placed.0));
    let open: Vec<Open> = group_by_need
        .iter()
        .map(|&placed| Open::new(bench, placed, wanted))
        .collect();
    let singles: Vec<(Scope, Placed)> = group
        .iter()
        .map(|&placed| (Scope::alone(plan, placed.0, rules), placed))
        .collect();
    let mut failed: Vec<Coord> = Vec::new();
    for &by in moves {
        if failed.iter().any(|f| (*f - by).magnitude() < STRIDE) {
            continue;
        }
        // What rules out most places at little cost comes first.
        let there: Vec<Placed> = group.iter().map(|&(l, at)| (l, at + by)).collect();
        let allowed = group.iter().all(|&(l, at)| bench.keep.may_move(l, at, at + by));
        if !allowed || !open.iter().all(|o| o.is_open(by)) {
            continue;
        }
        let hold = rows_may_hold(plan, &there, rules);
        let clear = (compromise.is_none() || hold)
            && singles.iter().all(|(scope, placed)| {
                let verdict = scope.judge(&Change::shift(&[*placed], by), rules);
                let framing = wanted
                    .iter()
                    .filter_map(|&i| bench.findings.get(i))
                    .filter(|f| f.kind != Kind::OffLine && f.lights.first() == Some(&placed.0));
                verdict.clean() && {
                    let mended = verdict.mended(scope, bench.findings);
                    framing.clone().all(|f| mended.contains(&f.id.0))
                }
            });
        if !clear {
            continue;
        }
        if !hold {
            // It is sure not to be clean; what it leaves is worked out where that is told.
            failed.push(by);
            compromise.get_or_insert((by, None));
            continue;
        }
        let scope = bench.around(&ids);
        let verdict = scope.judge(&Change::shift(group, by), rules);
        if verdict.clean() {
            let mended = verdict.mended(&scope, bench.findings);
            if wanted.iter().all(|i| mended.contains(i)) {
                return Ok(by);
            }
        }
        failed.push(by);
        compromise.get_or_insert((by, Some(verdict)));
    }
    Err(())
}

/// The members about a light, for a first look.
struct Open<'a> {
    at: Coord,
    /// How far the light must stay from any member, inches.
    keep: f64,
    members: Vec<&'a Member>,
}

impl<'a> Open<'a> {
    fn new(bench: &Bench<'a>, (light, at): Placed, wanted: &[usize]) -> Open<'a> {
        let it = bench.plan.lights.get(light.0);
        let keep = it.map_or(0.0, |l| hole(&bench.rules.luminaire(l)));
        let members: Vec<&Member> = bench
            .plan
            .members
            .iter()
            .filter(|m| outline_distance(m, at) <= keep + REACH + STEP)
            .collect();
        // A light that is to stay near a member it is near now may stay as near as it is.
        let now = members
            .iter()
            .map(|m| outline_distance(m, at))
            .fold(keep, f64::min);
        let mut wanted = wanted.iter().filter_map(|&i| bench.findings.get(i));
        let off_it = wanted.any(|f| f.kind == Kind::HitsMember && f.lights.contains(&light));
        Open {
            at,
            keep: if off_it { keep } else { now },
            members,
        }
    }

    fn is_open(&self, by: Coord) -> bool {
        self.members
            .iter()
            .all(|m| outline_distance(m, self.at + by) >= self.keep - 2.0 * FUZZ)
    }
}

/// Groups that may be shifted as one: each row of the light, then all that rows tie together.
fn groups(plan: &Plan, light: LightId) -> Vec<Vec<Placed>> {
    let rows = plan.lights.get(light.0).into_iter().flat_map(|l| &l.rows);
    let mut sets: Vec<BTreeSet<LightId>> = rows
        .filter_map(|r| plan.rows.get(r.0))
        .map(|row| row.lights.iter().copied().collect())
        .collect();
    let mut tied = BTreeSet::from([light]);
    loop {
        let more: BTreeSet<LightId> = plan
            .rows
            .iter()
            .filter(|row| row.lights.iter().any(|l| tied.contains(l)))
            .flat_map(|row| row.lights.iter().copied())
            .collect();
        let before = tied.len();
        tied.extend(more);
        if tied.len() == before {
            break;
        }
    }
    if tied.len() > 1 && !sets.contains(&tied) {
        sets.push(tied);
    }
    let place = |l: LightId| plan.lights.get(l.0).map(|light| (l, light.at));
    sets.into_iter()
        .map(|set| set.into_iter().filter_map(place).collect())
        .collect()
}

fn offer(plan: &Plan, group: &[Placed], by: Coord) -> Offer {
    let lights: Vec<LightId> = group.iter().map(|g| g.0).collect();
    let to: Vec<Coord> = group.iter().map(|g| g.1 + by).collect();
    let distance = feet_inches(by.magnitude());
    let toward = words::toward(by);
    let message = match (to.as_slice(), lights.as_slice()) {
        (&[to], &[light]) => {
            let lies = along_row(plan, light, by);
            format!("Move {light} {distance} {toward}{lies}, to {}.", words::place(to))
        }
        _ => format!(
            "Move {} together {distance} {toward}; {} then stands at {}.",
            words::names(&lights),
            lights.first().map(ToString::to_string).unwrap_or_default(),
            to.first().map(|&p| words::place(p)).unwrap_or_default(),
        ),
    };
    Offer {
        lights,
        action: Action::Move {
            to,
            by: by.magnitude(),
        },
        message,
    }
}

/// `, along row W1` or `, square to row W1`, where it is either.
fn along_row(plan: &Plan, light: LightId, by: Coord) -> String {
    let rows = plan.lights.get(light.0).into_iter().flat_map(|l| &l.rows);
    let said = |square: bool| {
        let turned = |way: Coord| {
            if square {
                way.dot_product(by)
            } else {
                way.wedge_product(by)
            }
        };
        rows.clone().find(|r| {
            let way = plan.rows.get(r.0).and_then(|row| unit(row.to - row.from));
            way.is_some_and(|way| turned(way).abs() <= 0.001 * by.magnitude())
        })
    };
    match (said(false), said(true)) {
        (Some(row), _) => format!(", along row {row}"),
        (None, Some(row)) => format!(", square to row {row}"),
        (None, None) => String::new(),
    }
}
