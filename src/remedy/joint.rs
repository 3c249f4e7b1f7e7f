//! Moves taken together: each one judged on the plan as the ones before it left it.
//!
//! A remedy is clean by itself; two of them need not be so together. So they are taken one by one, the gravest
//! finding's first, and what is left is worked out anew on the plan as it then is, until nothing more is taken.
//! Every move that is taken makes findings fewer and none new, so that this ends.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

use geo::{Coord, Vector2DOps};

use super::judge::{Change, Scope, compare};
use super::keep::Keep;
use super::shift::REACH;
use super::{Action, Remedy, is_moved, put, remedy_keeping};
use crate::check::{Finding, Kind, Severity, check};
use crate::geom::FUZZ;
use crate::plan::{FindingId, LightId, Plan};
use crate::recognise::relate;
use crate::rules::Rules;

/// Most rounds; a round that takes nothing ends it long before.
const ROUNDS: usize = 100;

/// What was moved, and what was not.
#[derive(Clone, Debug, PartialEq)]
pub struct Settled {
    /// The plan with all that is moved, without its linework.
    pub plan: Plan,
    /// By light.
    pub moved: Vec<Moved>,
    pub left: Vec<Left>,
    /// Findings of the plan as drawn that are gone, in their order.
    pub mended: Vec<FindingId>,
}

/// A light at its new place; inches.
#[derive(Clone, Debug, PartialEq)]
pub struct Moved {
    pub light: LightId,
    pub from: Coord,
    pub to: Coord,
}

/// A finding that moves could mend and do not.
#[derive(Clone, Debug, PartialEq)]
pub struct Left {
    pub light: LightId,
    /// Its number on the plan as drawn.
    pub finding: Option<FindingId>,
    pub kind: Kind,
    pub severity: Severity,
    /// Half a sentence, without a stop.
    pub why: String,
}

/// The order in which moves as grave are tried.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Order {
    /// As the remedies are numbered.
    Numbered,
    /// Those of most lights first: a row laid anew mends what its lights' own moves would only make harder.
    Rows,
    /// The last numbered first.
    Reversed,
}

/// Takes what moves there are, jointly. `findings` are those of the plan as drawn. Where one order leaves what must be put
/// right, the others are tried, and the first that leaves least holds.
pub fn settle(plan: &Plan, findings: &[Finding], rules: &Rules, keep: &Keep) -> Settled {
    let mut findings = findings.to_vec();
    for finding in &mut findings {
        finding.remedies.clear();
    }
    let remedies = remedy_keeping(plan, &mut findings, rules, keep);
    settle_from(plan, &findings, &remedies, rules, keep)
}

/// The same where the remedies of the plan as drawn are known, worked out with what `keep` says, and the findings name them.
pub fn settle_from(
    plan: &Plan,
    findings: &[Finding],
    remedies: &[Remedy],
    rules: &Rules,
    keep: &Keep,
) -> Settled {
    let grave = |s: &Settled| s.left.iter().filter(|l| l.severity == Severity::Must).count();
    let mut best = settle_in(Order::Numbered, plan, (findings, remedies), rules, keep);
    for order in [Order::Rows, Order::Reversed] {
        // What has no move of its own stays in any order.
        if grave(&best) == 0 || best.moved.is_empty() {
            break;
        }
        let other = settle_in(order, plan, (findings, remedies), rules, keep);
        if (grave(&other), other.left.len()) < (grave(&best), best.left.len()) {
            best = other;
        }
    }
    best
}

fn settle_in(
    order: Order,
    plan: &Plan,
    (findings, first): (&[Finding], &[Remedy]),
    rules: &Rules,
    keep: &Keep,
) -> Settled {
    let drawn = Plan {
        linework: Vec::new(),
        unclaimed: Vec::new(),
        ..plan.clone()
    };
    let mut now = drawn.clone();
    let mut refused: BTreeMap<LightId, String> = BTreeMap::new();
    let mut found = findings.to_vec();
    let mut remedies = first.to_vec();
    let mut rounds = 0;
    loop {
        if rounds > 0 {
            found = check(&now, rules);
            remedies = remedy_keeping(&now, &mut found, rules, keep);
        }
        refused.clear();
        rounds += 1;
        if rounds > ROUNDS
            || !round(
                order,
                &drawn,
                &mut now,
                &found,
                &remedies,
                rules,
                keep,
                &mut refused,
            )
        {
            break;
        }
    }
    let moved = drawn.lights.iter().zip(&now.lights).enumerate();
    let moved = moved
        .filter(|(_, (was, is))| (is.at - was.at).magnitude() > FUZZ)
        .map(|(i, (was, is))| Moved {
            light: LightId(i),
            from: was.at,
            to: is.at,
        })
        .collect();
    let (gone, _) = compare((&drawn.rows, findings), (&now.rows, &found));
    let mended = gone
        .iter()
        .filter_map(|&i| findings.get(i))
        .map(|f| f.id)
        .collect();
    let left = left((&drawn, findings), (&now, &found), &remedies, &refused);
    Settled {
        plan: now,
        moved,
        left,
        mended,
    }
}

/// Takes the moves that go together; whether there was one.
#[allow(clippy::too_many_arguments)]
fn round(
    by: Order,
    drawn: &Plan,
    now: &mut Plan,
    found: &[Finding],
    remedies: &[Remedy],
    rules: &Rules,
    keep: &Keep,
    refused: &mut BTreeMap<LightId, String>,
) -> bool {
    let gravest = |r: &Remedy| {
        let theirs = found.iter().filter(|f| r.mends.contains(&f.id));
        theirs.map(|f| f.severity).max()
    };
    let mut order: Vec<(Reverse<Option<Severity>>, &Remedy)> = remedies
        .iter()
        .filter(|r| matches!(r.action, Action::Move { .. }))
        .map(|r| (Reverse(gravest(r)), r))
        .collect();
    match by {
        Order::Numbered => order.sort_by_key(|(grave, r)| (*grave, r.id)),
        Order::Rows => order.sort_by_key(|(grave, r)| (*grave, Reverse(r.lights.len()), r.id)),
        Order::Reversed => order.sort_by_key(|(grave, r)| (*grave, Reverse(r.id))),
    }
    let mut touched: BTreeSet<LightId> = BTreeSet::new();
    for (_, r) in order {
        let Action::Move { to, by } = &r.action else {
            continue;
        };
        let mut refuse = |why: &str| {
            for &light in &r.lights {
                refused.insert(light, why.to_string());
            }
        };
        if r.lights.iter().any(|l| touched.contains(l)) {
            // Worked out anew in the next round.
            continue;
        }
        let places = || r.lights.iter().zip(to);
        let at = |plan: &Plan, l: &LightId| plan.lights.get(l.0).map(|l| l.at);
        if !places().all(|(l, to)| at(now, l).is_some_and(|from| keep.may_move(*l, from, *to))) {
            refuse("what would mend it moves a light that may not move");
            continue;
        }
        if !places().all(|(l, to)| at(drawn, l).is_some_and(|from| (*to - from).magnitude() <= REACH + FUZZ))
        {
            refuse("with the moves before it, it would go too far from where it was drawn");
            continue;
        }
        let change = Change {
            lights: r.lights.clone(),
            action: Action::Move {
                to: to.clone(),
                by: *by,
            },
        };
        // The first one of a round was judged on this very plan.
        if !touched.is_empty() {
            let verdict = Scope::whole(now, rules).judge(&change, rules);
            if !(verdict.clean() && verdict.mends_any()) {
                refuse("its move does not go together with those of other lights");
                continue;
            }
        }
        put(now, &change.lights, &change.action);
        relate(now, rules);
        touched.extend(&r.lights);
    }
    !touched.is_empty()
}

/// What a move could mend and none did, with the reason.
fn left(
    drawn: (&Plan, &[Finding]),
    now: (&Plan, &[Finding]),
    remedies: &[Remedy],
    refused: &BTreeMap<LightId, String>,
) -> Vec<Left> {
    now.1
        .iter()
        .filter(|f| is_moved(f.kind))
        .filter_map(|f| {
            let light = *f.lights.first()?;
            let offered = remedies.iter().filter(|r| f.remedies.contains(&r.id));
            let why = offered
                .filter_map(|r| match &r.action {
                    Action::None { why } => Some(why.clone()),
                    _ => r.lights.iter().find_map(|l| refused.get(l).cloned()),
                })
                .next();
            let same = drawn.1.iter().find(|d| {
                let one = std::slice::from_ref(*d);
                compare((&drawn.0.rows, one), (&now.0.rows, std::slice::from_ref(f)))
                    .0
                    .is_empty()
            });
            Some(Left {
                light,
                finding: same.map(|d| d.id),
                kind: f.kind,
                severity: f.severity,
                why: why.unwrap_or_else(|| "no move was found".to_string()),
            })
        })
        .collect()
}
