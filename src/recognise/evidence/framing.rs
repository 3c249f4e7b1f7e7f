//! Evidence for framing: parallel members of lumber's thickness at one usual pitch that span walls.

use super::super::classes::{Claim, Class, Classes};
use super::super::framing as read;
use super::super::reading::Named;
use super::super::shape::{between_degrees, cross, distance, dot, left_of, unit};
use super::half::HELD;
use super::rooms::House;
use super::{Basis, Blank, Judged, to_sides};
use crate::flatten::Flat;
use crate::length::inches_only;
use crate::plan::{Member, MemberSource};
use crate::rules::Rules;

/// On centre, inches: 12, 16, 19.2, 24; 300, 400, 600 mm (common practice).
pub const PITCHES: [f64; 7] = [12.0, 16.0, 19.2, 24.0, 11.811, 15.748, 23.622];
pub const OFF_PITCH: f64 = 0.125;
/// Members at any other even pitch are asked about, inches.
const APART: std::ops::RangeInclusive<f64> = 10.0..=60.0;
/// Thickness of sawn lumber (1 1/2, 2 1/2, 3 1/2: PS 20), of engineered lumber and I-joists (1 3/4, 2, 2 5/16),
/// of metric lumber (45 mm) and of two and three plies; from memory beyond PS 20.
const LUMBER: [f64; 10] = [1.5, 1.75, 1.97, 2.3125, 2.5, 3.0, 3.5, 4.5, 5.25, 7.0];
const OFF_LUMBER: f64 = 0.07;
/// Width of timbers, dressed (5 1/2, 7 1/2: PS 20) and full-sawn, which stand so far apart at least, inches (common practice).
const TIMBERS: [f64; 4] = [5.5, 6.0, 7.5, 8.0];
const TIMBERS_APART: f64 = 36.0;
/// An end this near to a wall's line, or to a member that carries it, bears on it.
const BEARS: f64 = 8.0;
/// Fewer make no family.
const FEWEST: usize = 4;
/// A member shorter than this spans nothing.
const SHORTEST: f64 = 36.0;

/// Whether a thickness is one of lumber, built up of plies or not.
pub fn is_lumber(thickness: f64) -> bool {
    LUMBER.iter().any(|t| (t - thickness).abs() <= OFF_LUMBER)
}

/// Each layer whose lines read as framing.
pub fn framing(
    flat: &Flat,
    classes: &mut Classes,
    rules: &Rules,
    blank: &Blank,
    house: &House,
) -> Vec<Judged> {
    let mut found = Vec::new();
    for (layer, items) in &blank.layers {
        items.iter().for_each(|&i| classes.of[i] = Class::Framing);
        // What other layers hold that are framing already says nothing of this one.
        let mut claims = vec![Claim::None; flat.items.len()];
        let all = read::with_items(flat, classes, rules, &mut claims, &mut Vec::new());
        let own = all
            .into_iter()
            .filter(|(_, item)| items.binary_search(item).is_ok());
        let members: Vec<Member> = own.map(|(member, _)| member).collect();
        items.iter().for_each(|&i| classes.of[i] = Class::Other);
        if let Some((confidence, why)) = judge(&members, house, true) {
            found.push(Judged {
                named: Named::Layer,
                name: (*layer).clone(),
                class: Class::Framing,
                count: members.len(),
                confidence,
                why,
                basis: Basis::Nothing,
            });
        }
    }
    found
}

/// The members of what is classed as framing.
pub fn members(flat: &Flat, classes: &Classes, rules: &Rules) -> Vec<Member> {
    let mut claims = vec![Claim::None; flat.items.len()];
    read::framing(flat, classes, rules, &mut claims, &mut Vec::new())
}

/// How sure the members are that names give. Only usual pitches count: this tells the unit, and any other is one in every unit.
pub fn by_name(flat: &Flat, classes: &Classes, rules: &Rules, house: &House) -> Option<(f64, String)> {
    judge(&members(flat, classes, rules), house, false)
}

/// How sure a layer's members are framing, and what was seen; at unusual pitches too where `any` is given.
fn judge(members: &[Member], house: &House, any: bool) -> Option<(f64, String)> {
    let steps = steps(members);
    let at = |pitch: f64| {
        let near = |s: &&Option<f64>| s.is_some_and(|s| (s - pitch).abs() <= OFF_PITCH);
        (pitch, steps.iter().filter(near).count())
    };
    let most = |pitches: &[f64]| pitches.iter().map(|p| at(*p)).rev().max_by_key(|(_, n)| *n);
    let mut step = most(&PITCHES)?;
    // A beam or two stand in no step, and are asked about at most.
    let few = (1..FEWEST).contains(&members.len());
    let usual = step.1 >= FEWEST - 1;
    if !usual && !few && !any {
        return None;
    }
    if !usual && !few {
        let others: Vec<f64> = steps
            .iter()
            .flatten()
            .copied()
            .filter(|s| APART.contains(s))
            .collect();
        step = most(&others).filter(|(_, n)| *n >= FEWEST - 1)?;
    }
    let (pitch, in_step) = step;
    let carried = |m: &Member, p| {
        to_sides(p, &house.lines) <= BEARS
            || members.iter().any(|o| {
                between_degrees(o.to - o.from, m.to - m.from) > 30.0
                    && to_sides(p, &[(o.from, o.to)]) <= BEARS
            })
    };
    // Headers and the joists they cut short say nothing for framing or against it, where they are few.
    let aside = |m: &&Member| distance(m.from, m.to) < SHORTEST && carried(m, m.from) && carried(m, m.to);
    let asides = members.iter().filter(aside).count();
    let asides = if 3 * asides <= members.len() { asides } else { 0 };
    let all = members.len() - asides;
    let share = |n: usize| n.min(all) as f64 / all as f64;
    let drawn = |m: &&Member| m.source == MemberSource::Drawn;
    let timber = |t: f64| pitch >= TIMBERS_APART && TIMBERS.iter().any(|w| (w - t).abs() <= OFF_LUMBER);
    let lumber = |m: &Member| drawn(&m) && (is_lumber(m.thickness) || timber(m.thickness));
    let of_lumber = members.iter().filter(|m| lumber(m));
    let counted = of_lumber.filter(|m| asides == 0 || !aside(m)).count();
    // Members that stand a pitch from the next, or are the next of one that does; beams aside.
    let stepping = match few {
        true => 0.0,
        false => share(in_step + in_step.div_ceil(8)),
    };
    let spans = |m: &Member| {
        distance(m.from, m.to) >= SHORTEST
            && carried(m, m.from)
            && carried(m, m.to)
            && !house.lines.is_empty()
    };
    let spanning = members.iter().filter(|m| spans(m)).count();
    let mut confidence = 0.3 * share(counted) + 0.35 * stepping + 0.35 * share(spanning);
    if !usual && !few {
        confidence = confidence.min(HELD);
    }
    // Lines that cross one another are tiles or a grid.
    let crossed = crossings(members);
    confidence -= 0.5 * share(crossed);
    let how = match 2 * members.iter().filter(drawn).count() < members.len() {
        true => "single lines".to_string(),
        false => format!("members {} thick", inches_only(commonest(members))),
    };
    let why = if few {
        format!("{} {how}, {spanning} from wall to wall", members.len())
    } else {
        format!(
            "{} {how}, {} on centre, {spanning} of them from wall to wall",
            members.len(),
            inches_only(pitch)
        )
    };
    Some((confidence.max(0.0), why))
}

fn commonest(members: &[Member]) -> f64 {
    let mut all: Vec<f64> = members.iter().map(|m| m.thickness).collect();
    all.sort_by(f64::total_cmp);
    all[all.len() / 2]
}

/// From each member to the next parallel one on its left that it stands beside, inches.
fn steps(members: &[Member]) -> Vec<Option<f64>> {
    let next = |m: &Member| {
        let offsets = members.iter().filter_map(|o| beside(m, o));
        offsets.filter(|d| *d > 1.0).min_by(f64::total_cmp)
    };
    members.iter().map(next).collect()
}

/// How far to the left of a member another stands, inches, that is parallel to it and beside it over half of the
/// shorter one's length; `None` where it is not so.
pub fn beside(m: &Member, o: &Member) -> Option<f64> {
    let along = unit(m.to - m.from)?;
    let length = distance(m.from, m.to);
    let (s, t) = (dot(o.from - m.from, along), dot(o.to - m.from, along));
    let overlap = s.max(t).min(length) - s.min(t).max(0.0);
    let is_beside =
        between_degrees(o.to - o.from, along) < 1.0 && overlap >= 0.5 * length.min(distance(o.from, o.to));
    is_beside.then(|| dot((o.from + o.to) * 0.5 - m.from, left_of(along)))
}

/// How many members are crossed by another well within both.
fn crossings(members: &[Member]) -> usize {
    let crossed = |m: &&Member| members.iter().any(|o| crosses(m, o));
    members.iter().filter(crossed).count()
}

/// Whether two members cross well within both.
pub fn crosses(m: &Member, o: &Member) -> bool {
    let (d, e) = (m.to - m.from, o.to - o.from);
    let turn = cross(d, e);
    if between_degrees(d, e) < 5.0 || turn == 0.0 {
        return false;
    }
    let (s, t) = (cross(o.from - m.from, e) / turn, cross(o.from - m.from, d) / turn);
    let within = 0.05..=0.95;
    within.contains(&s) && within.contains(&t)
}
