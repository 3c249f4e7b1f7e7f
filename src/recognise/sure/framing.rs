//! Framing as it is drawn: members of lumber's thickness, at a usual pitch, that bear at both ends.

use super::super::evidence::{OFF_PITCH, PITCHES, beside, crosses, is_lumber};
use super::super::shape::chords;
use super::walls::Lines;
use super::{Read, Seen, of_all};
use crate::length::inches_only;
use crate::plan::{Member, MemberKind, MemberSource};

/// What thickness, pitch and bearing weigh against one another, where each is known.
const THICKNESS: f64 = 0.35;
const PITCH: f64 = 0.3;
const BEARING: f64 = 0.35;
/// Fewer joists make no step.
const FEWEST: usize = 4;
/// Parallel members looked at for the next one.
const NEIGHBOURS: usize = 64;
/// An end bears within this of a wall's face, or of a member across.
const BEARS: f64 = 8.0;
/// Who crosses so many others well within both is one line of a grid.
const CROSSES: usize = 3;

pub fn seen(read: &Read, lines: &Lines, items: &[usize]) -> Option<Seen> {
    let own: Vec<usize> = (0..read.members.len())
        .filter(|&n| items.binary_search(&read.members[n].1).is_ok())
        .collect();
    let members: Vec<&Member> = own.iter().map(|&n| &read.members[n].0).collect();
    let all = members.len();
    if all == 0 {
        let drawn = items
            .iter()
            .filter(|&&i| chords(&read.flat.items[i].prim).is_some())
            .count();
        return (drawn > 0).then(|| Seen {
            share: 0.0,
            count: drawn,
            said: format!("none of its {drawn} line(s) is part of a member"),
        });
    }
    let mut facts: Vec<(f64, f64)> = Vec::new();
    let mut said = format!("{all} member(s)");
    let share = |n: usize, of: usize| n as f64 / of as f64;

    let drawn: Vec<&&Member> = (members.iter())
        .filter(|m| m.source == MemberSource::Drawn)
        .collect();
    if !drawn.is_empty() {
        let thick = drawn.iter().filter(|m| is_lumber(m.thickness)).count();
        facts.push((THICKNESS, share(thick, drawn.len())));
        said += &match thick {
            0 => ", none of lumber's thickness".to_string(),
            n => format!(", {} of lumber's thickness", of_all(n, all)),
        };
    }
    let joists: Vec<&&Member> = (members.iter())
        .filter(|m| matches!(m.kind, MemberKind::Joist | MemberKind::Truss))
        .collect();
    if joists.len() >= FEWEST {
        let steps: Vec<Option<f64>> = (0..joists.len()).map(|i| next(&joists, i)).collect();
        let usual = |pitch: f64| {
            let near = |s: &&Option<f64>| s.is_some_and(|s| (s - pitch).abs() <= OFF_PITCH);
            steps.iter().filter(near).count()
        };
        let (pitch, in_step) = (PITCHES.iter().map(|&p| (p, usual(p))))
            .max_by_key(|(_, n)| *n)
            .unwrap_or((PITCHES[0], 0));
        // The last of a family has no next one.
        let last = joists.len() - steps.iter().flatten().count();
        let stepping = if in_step == 0 {
            0
        } else {
            (in_step + last).min(joists.len())
        };
        facts.push((PITCH, share(stepping, joists.len())));
        said += &match in_step {
            0 => ", at no usual pitch".to_string(),
            n => format!(", {n} step(s) of {}", inches_only(pitch)),
        };
    }
    if lines.any() {
        let bears = |m: &&&Member| lines.carries(m, m.from, BEARS) && lines.carries(m, m.to, BEARS);
        let bearing = members.iter().filter(bears).count();
        facts.push((BEARING, share(bearing, all)));
        said += &format!(", {} from wall to wall", of_all(bearing, all));
    }
    // A beam across joists of another name is no grid.
    let crossed = (members.iter())
        .filter(|m| {
            let others = lines.across(m).filter(|n| own.binary_search(n).is_ok());
            let crossing = others.filter(|&n| crosses(m, &read.members[n].0));
            crossing.take(CROSSES).count() == CROSSES
        })
        .count();
    let weights: f64 = facts.iter().map(|f| f.0).sum();
    let mut sum: f64 = match weights {
        w if w > 0.0 => facts.iter().map(|f| f.0 * f.1).sum::<f64>() / w,
        // Beams as single lines with no walls about say nothing.
        _ => 0.5,
    };
    // A dropped beam crosses all joists, and each of them one beam.
    if 2 * crossed > all {
        sum -= share(crossed, all);
        said += &format!(", {crossed} crossing others as a grid does");
    }
    Some(Seen {
        share: sum.max(0.0),
        count: all,
        said,
    })
}

/// From a member to the next parallel one that it stands beside, inches. Members are in order of direction and
/// of offset.
fn next(members: &[&&Member], i: usize) -> Option<f64> {
    (members[i + 1..].iter().take(NEIGHBOURS))
        .filter_map(|o| beside(members[i], o))
        .map(f64::abs)
        .filter(|d| *d > 1.0)
        .min_by(f64::total_cmp)
}
