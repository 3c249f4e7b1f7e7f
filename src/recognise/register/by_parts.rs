//! A framing drawing that holds several plans, or is for one that does: each plan of it is laid over its own.

use super::take_over::{Placed, Placing, Second, merged};
use super::{Hint, Refusal};
use crate::note::Note;
use crate::plan::{Member, Plan};
use crate::recognise::callouts::Written;
use crate::recognise::plans::beside::{Held, held, source, spans, target, walls};
use crate::recognise::plans::lay::{self, Chosen, Source, Target};
use crate::recognise::plans::{Part, called, home};

/// Lays the plans of a second drawing over those of the lights; `None` where neither holds several, or none fits.
pub fn by_parts(
    plan: &mut Plan,
    parts: &[Part],
    second: &Second,
    hint: &Hint,
    notes: &mut Vec<Note>,
) -> Option<(Placed, Vec<Written>)> {
    let theirs = &second.plans;
    let of: Vec<Held> = held(&second.members, &second.written, theirs);
    let framed: Vec<usize> = (0..theirs.len()).filter(|&i| of[i].any()).collect();
    let lit: Vec<usize> = (0..parts.len())
        .filter(|&i| !parts[i].lights.is_empty())
        .collect();
    if lit.is_empty() || framed.is_empty() || lit.len().max(framed.len()) < 2 {
        return None;
    }
    let (our_walls, their_walls) = (walls(&plan.walls, parts), walls(&second.walls, theirs));
    let name = |i: usize| match theirs.len() {
        1 => second.name.clone(),
        _ => format!("{} of {}", called(theirs, i), second.name),
    };
    let sources: Vec<Source> = (framed.iter())
        .map(|&i| {
            let all = (second.members.as_slice(), second.written.as_slice());
            source(name(i), &theirs[i], &their_walls[i], &of[i], all)
        })
        .collect();
    let targets: Vec<Target> = (lit.iter())
        .map(|&i| target(called(parts, i), &parts[i], &our_walls[i], plan))
        .collect();
    let mut choices = lay::chosen(&targets, &sources, &[*hint]);
    if let Some(way) = one_way(&choices) {
        // The plans of one drawing are drawn one way: what one tells holds where another's walls leave it open.
        let again = lay::chosen(&targets, &sources, &[way]);
        for (choice, again) in choices.iter_mut().zip(again) {
            let open = |refused: &[(usize, Refusal)]| {
                let ambiguous = |r: &(usize, Refusal)| matches!(r.1, Refusal::Ambiguous { .. });
                refused.iter().any(ambiguous)
            };
            if matches!(choice, Chosen::None(refused) if open(refused)) {
                *choice = again;
            }
        }
    }
    if !choices.iter().any(|c| matches!(c, Chosen::One(..))) {
        return None;
    }
    let mut placings: Vec<Placing> = Vec::new();
    let (mut members, mut written, mut used) = (Vec::new(), Vec::new(), Vec::new());
    let own = held(&plan.members, &[], parts);
    // Places of the plan's own members that give way to what is laid over them.
    let mut under: Vec<usize> = Vec::new();
    for ((target, choice), &i) in targets.iter().zip(&choices).zip(&lit) {
        lay::told(target, choice, &sources, &targets, notes);
        if let Chosen::One(s, registration) = choice {
            let laid = lay::lay(&sources[*s], registration);
            placings.push(Placing {
                plan: Some(target.name.trim_matches('"').to_string()),
                source: sources[*s].name.clone(),
                members: laid.members.len(),
                registration: registration.clone(),
            });
            members.extend(laid.members);
            written.extend(laid.written);
            under.extend(&own[i].members);
            used.push(*s);
        }
    }
    let unused: Vec<&str> = (0..sources.len())
        .filter(|s| !used.contains(s))
        .map(|s| sources[s].name.as_str())
        .collect();
    if !unused.is_empty() {
        let said = format!("framing of no plan here, and left out: {}", unused.join(", "));
        notes.push(Note::info("framing-elsewhere", said));
    }
    let count = members.len();
    let all: Vec<Member> = std::mem::take(&mut plan.members);
    let (under, rest): (Vec<_>, Vec<_>) = (all.into_iter().enumerate()).partition(|(m, _)| under.contains(m));
    let bare = |list: Vec<(usize, Member)>| list.into_iter().map(|m| m.1).collect::<Vec<Member>>();
    plan.members = bare(rest);
    plan.members
        .extend(merged(bare(under), members, &second.name, notes));
    let placed = Placed {
        source: second.name.clone(),
        members: count,
        registration: placings.first()?.registration.clone(),
        placings,
    };
    Some((placed, written))
}

/// The way all plans that were laid lie, where they agree.
fn one_way(choices: &[Chosen]) -> Option<Hint> {
    let mut ways = choices.iter().filter_map(|c| match c {
        Chosen::One(_, r) => Some((r.matrix.turn_degrees(), r.matrix.mirrored)),
        _ => None,
    });
    let (turn, mirrored) = ways.next()?;
    let off = |other: f64| ((other - turn + 180.0).rem_euclid(360.0) - 180.0).abs();
    ways.all(|(t, m)| m == mirrored && off(t) <= 1.0).then_some(Hint {
        turn: Some(turn),
        mirrored: Some(mirrored),
        ..Hint::default()
    })
}

/// Takes out what a second drawing, laid as a whole, has far from every plan here: another floor's framing.
pub fn drop_elsewhere(
    members: Vec<Member>,
    parts: &[Part],
    second: &Second,
    notes: &mut Vec<Note>,
) -> Vec<Member> {
    if parts.is_empty() || second.plans.len() < 2 {
        return members;
    }
    let here = |m: &Member| home(parts, (m.from + m.to) * 0.5).is_some();
    let (kept, gone): (Vec<Member>, Vec<Member>) = members.into_iter().partition(here);
    let joists = gone.iter().filter(|m| spans(m)).count();
    if !gone.is_empty() {
        notes.push(Note::info(
            "framing-elsewhere",
            format!(
                "{} members of {} ({joists} joists or trusses) lie more than 20 ft from the plan's walls, as another \
                 floor's would, and are left out",
                gone.len(),
                second.name
            ),
        ));
    }
    kept
}
