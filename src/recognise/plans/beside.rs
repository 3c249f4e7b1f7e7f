//! Framing that is drawn in a plan of its own, laid over the plan of the lights by the walls both show.
//!
//! A *source* is a plan that holds framing, a *target* one that holds lights and none. Both are of one drawing here; of two
//! in [`crate::recognise::register::by_parts`].

use geo::Coord;

use super::lay::{self, Chosen, Laid, Source, Target};
use super::{Part, called, nearest};
use crate::length::feet_inches;
use crate::note::Note;
use crate::plan::{Member, MemberKind, MemberSource, Plan};
use crate::recognise::callouts::Written;
use crate::recognise::register::Hint;
use crate::recognise::shape::distance;
use crate::rules::FramingRules;

/// Members further from the walls of every plan are of none, inches: what hangs over at the eaves is nearer.
const OVERHANG: f64 = 48.0;
/// Joists of a framing plan at least: fewer are a detail's.
const LEAST: usize = 3;

/// What framing a plan holds: places among the plan's members, and among the words of framing.
#[derive(Clone, Debug, Default)]
pub struct Held {
    pub members: Vec<usize>,
    /// Joists and trusses among them.
    pub joists: usize,
    pub written: Vec<usize>,
}

impl Held {
    /// Whether it is a framing plan's.
    pub fn any(&self) -> bool {
        self.joists >= LEAST || !self.written.is_empty()
    }
}

/// Lays the framing of plans without lights over those of lights without framing, or says why not. What is drawn stays
/// where it is and keeps its ids; what is laid over comes after it.
pub fn lay_over(
    plan: &mut Plan,
    parts: &[Part],
    written: &mut Vec<Written>,
    rules: &FramingRules,
    notes: &mut Vec<Note>,
) {
    let held = held(&plan.members, written, parts);
    let bare: Vec<usize> = (0..parts.len())
        .filter(|&i| !parts[i].lights.is_empty() && held[i].joists == 0 && held[i].written.is_empty())
        .collect();
    let sources: Vec<usize> = (0..parts.len())
        .filter(|&i| parts[i].lights.is_empty() && held[i].any())
        .collect();
    if bare.is_empty() {
        return;
    }
    if sources.is_empty() {
        return told_apart(plan, parts, &bare, notes);
    }
    let walls = walls(&plan.walls, parts);
    let of: Vec<Source> = (sources.iter())
        .map(|&i| {
            source(
                called(parts, i),
                &parts[i],
                &walls[i],
                &held[i],
                (&plan.members, written),
            )
        })
        .collect();
    let to: Vec<Target> = (bare.iter())
        .map(|&i| target(called(parts, i), &parts[i], &walls[i], plan))
        .collect();
    let said = Hint {
        turn: rules.turn,
        mirrored: rules.mirrored,
        ..Hint::default()
    };
    // Plans of one drawing are mostly drawn one way.
    let upright = Hint {
        turn: Some(0.0),
        mirrored: Some(false),
        ..Hint::default()
    };
    let hints = match said == Hint::default() {
        true => [upright, said],
        false => [said, upright],
    };
    let mut all = Vec::new();
    for (target, choice) in to.iter().zip(lay::chosen(&to, &of, &hints)) {
        if let Chosen::One(s, registration) = &choice {
            all.push(lay::lay(&of[*s], registration));
        }
        lay::told(target, &choice, &of, &to, notes);
    }
    for Laid {
        members,
        written: words,
    } in all
    {
        plan.members.extend(members);
        written.extend(words);
    }
}

/// A plan as one that lights are in.
pub fn target<'a>(name: String, part: &'a Part, walls: &'a [(Coord, Coord)], plan: &Plan) -> Target<'a> {
    Target {
        name,
        title: part.words(),
        walls,
        lights: (part.lights.iter())
            .filter_map(|l| Some(plan.lights.get(l.0)?.at))
            .collect(),
    }
}

/// A plan as one that framing is in. Words count where nothing is drawn.
pub fn source<'a>(
    name: String,
    part: &'a Part,
    walls: &'a [(Coord, Coord)],
    held: &Held,
    (members, written): (&[Member], &[Written]),
) -> Source<'a> {
    let words = if held.joists == 0 {
        held.written.as_slice()
    } else {
        &[]
    };
    Source {
        name,
        title: part.words(),
        walls,
        members: held
            .members
            .iter()
            .filter_map(|&m| members.get(m))
            .cloned()
            .collect(),
        written: words.iter().filter_map(|&w| written.get(w)).cloned().collect(),
    }
}

/// The framing of each plan: what is drawn or written among its walls.
pub fn held(members: &[Member], written: &[Written], parts: &[Part]) -> Vec<Held> {
    let mut held = vec![Held::default(); parts.len()];
    let home = |p: Coord| nearest(parts, p).filter(|&i| parts[i].off(p) <= OVERHANG);
    for (m, member) in members.iter().enumerate() {
        if member.source != MemberSource::Rules
            && let Some(i) = home((member.from + member.to) * 0.5)
        {
            held[i].members.push(m);
            held[i].joists += usize::from(spans(member));
        }
    }
    for (w, words) in written.iter().enumerate() {
        if let Some(i) = home(words.at) {
            held[i].written.push(w);
        }
    }
    held
}

/// Joists and trusses, which a light hangs between.
pub fn spans(member: &Member) -> bool {
    matches!(member.kind, MemberKind::Joist | MemberKind::Truss)
}

/// The walls of each plan; where it has none the sides of its rooms.
pub fn walls(all: &[(Coord, Coord)], parts: &[Part]) -> Vec<Vec<(Coord, Coord)>> {
    let mut walls: Vec<Vec<(Coord, Coord)>> = vec![Vec::new(); parts.len()];
    for wall in all {
        if let Some(i) = super::home(parts, (wall.0 + wall.1) * 0.5) {
            walls[i].push(*wall);
        }
    }
    for (own, part) in walls.iter_mut().zip(parts) {
        if own.is_empty() {
            own.clone_from(&part.walls);
        }
    }
    walls
}

/// Says that framing stands by itself, with no walls to place it by.
fn told_apart(plan: &Plan, parts: &[Part], bare: &[usize], notes: &mut Vec<Note>) {
    let middle = |m: &Member| (m.from + m.to) * 0.5;
    let alone: Vec<Coord> = (plan.members.iter())
        .filter(|m| m.source != MemberSource::Rules && spans(m))
        .map(middle)
        .filter(|p| parts.iter().all(|part| part.off(*p) > OVERHANG))
        .collect();
    if alone.len() < LEAST {
        return;
    }
    let lights = bare.iter().flat_map(|&i| &parts[i].lights);
    let lights = lights.filter_map(|l| plan.lights.get(l.0));
    let off = lights.flat_map(|l| alone.iter().map(|p| distance(*p, l.at)));
    let nearest = off.fold(f64::INFINITY, f64::min);
    let names: Vec<String> = bare.iter().map(|&i| called(parts, i)).collect();
    notes.push(Note::warning(
        "framing-beside",
        format!(
            "{} joists or trusses are drawn {} and more from the lights of {}, with no walls of their own to lay them over \
             these by: draw the walls with them, or move them over the lights, if they are this ceiling's",
            alone.len(),
            feet_inches(nearest),
            names.join(" and of ")
        ),
    ));
}
