//! Which rooms written framing holds for, and whether what is drawn there agrees.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;

use super::words::Part;
use super::{SAME_WAY, Written, degrees, sample, way};
use crate::length::{feet_inches, inches_only};
use crate::note::Note;
use crate::plan::{Callout, Member, MemberKind, MemberSource, Plan, RoomId};
use crate::recognise::rooms::room_of;
use crate::recognise::shape::{
    between_degrees, bounds, canonical, contains, distance, dot, finite, left_of, unit,
};
use crate::rules::Rules;

/// A line lies in a room where this much of it does, inches.
const IN_ROOM: f64 = 24.0;
/// A line is followed in steps of this, inches.
const STEP: f64 = 6.0;
/// Most steps along a line or a member.
const MOST_STEPS: f64 = 400.0;
/// Drawn and written spacings, and thicknesses, are the same within these, inches.
const SAME_SPACING: f64 = 0.5;
const SAME_THICKNESS: f64 = 0.13;
/// Two callouts say the same spacing within this, inches.
const SAME: f64 = 0.05;

/// Framing that is drawn in a room: direction, spacing (where there are two or more), thickness.
struct Drawn {
    along: Coord,
    spacing: Option<f64>,
    thickness: f64,
    count: usize,
    /// All that run through the room, other ways too, by number.
    members: Vec<usize>,
}

/// Gives the plan its callouts: one for each room that the words hold for, and the rules' own where
/// neither drawing nor words tell. Everything that is not taken is told of.
pub fn place(plan: &mut Plan, written: &[Written], rules: &Rules, notes: &mut Vec<Note>) {
    let mut by_room: BTreeMap<Option<usize>, Vec<(&Written, Callout)>> = BTreeMap::new();
    let mut drawn: BTreeMap<Option<usize>, Option<Drawn>> = BTreeMap::new();
    // Members that stand for others: rooms laid out from them, what is laid out, and those that only show a direction.
    let (mut extended, mut more, mut gone) = (Vec::new(), Vec::new(), BTreeSet::new());
    // Members drawn as single lines, and how wide words say they are.
    let mut wide: BTreeMap<usize, f64> = BTreeMap::new();
    for w in written {
        let mut homes = rooms_of(plan, w);
        if homes.is_empty() {
            if !plan.rooms.is_empty() && !among(plan, w) {
                notes.push(w.note(
                    false,
                    "callout-outside",
                    "stands in none of the rooms and is left out; move it into its room if it is this \
                     ceiling's",
                ));
                continue;
            }
            homes.push(None);
        }
        for home in homes {
            let shown = &*drawn.entry(home).or_insert_with(|| members_in(plan, home));
            let mut told = None;
            if let Some(shown) = shown {
                let room = named(plan, home);
                let outline = home.and_then(|r| plan.rooms.get(r)).map(|r| &r.outline[..]);
                let sample = outline.and_then(|o| sample::of(plan, w, &shown.members, o));
                match (sample, outline) {
                    (Some(sample), Some(outline)) if sample.placed => {
                        if !extended.contains(&home) {
                            extended.push(home);
                            let from = shown.members.first().and_then(|&m| plan.members.get(m));
                            let all = from.map_or(Vec::new(), |m| {
                                let callout = callout(w, sample.along, home);
                                super::measured::members(outline, (m.from + m.to) * 0.5, &callout)
                            });
                            let others = sample::others(plan, w, &sample, all);
                            notes.push(sample::laid_out(w, &sample, others.len(), &room));
                            more.extend(others);
                        }
                        continue;
                    }
                    (Some(sample), _) => {
                        notes.extend(sample::left_out(plan, w, &sample, &room));
                        told = Some(sample.along);
                        gone.extend(sample.members);
                    }
                    (None, _) => {
                        match centrelines(plan, w, shown, rules) {
                            Some(lines) => {
                                let said = format!(
                                    "says how wide the {} members are that are drawn as single lines {room}: {} is taken",
                                    lines.len(),
                                    inches_only(w.thickness)
                                );
                                notes.push(w.note(false, "callout-width", &said));
                                wide.extend(lines.into_iter().map(|m| (m, w.thickness)));
                            }
                            None => compare(w, shown, &room, notes),
                        }
                        continue;
                    }
                }
            }
            let Some(along) = told.or_else(|| direction(plan, w, home, rules, notes)) else {
                continue;
            };
            by_room
                .entry(home)
                .or_default()
                .push((w, callout(w, along, home)));
        }
    }
    plan.callouts = by_room
        .into_iter()
        .filter_map(|(home, said)| one(said, &named(plan, home), notes))
        .collect();
    for (m, thickness) in wide {
        plan.members[m].thickness = thickness;
    }
    let mut n = 0;
    plan.members.retain(|_| {
        n += 1;
        !gone.contains(&(n - 1))
    });
    plan.members.extend(more);
    if plan.members.is_empty() {
        plan.callouts.extend(by_rules(rules));
    }
    super::measured::laid_out(plan, rules, notes);
}

fn callout(w: &Written, along: Coord, home: Option<usize>) -> Callout {
    Callout {
        text: w.text.clone(),
        at: Some(w.at),
        handle: w.handle.clone(),
        kind: w.kind,
        thickness: w.thickness,
        depth: w.depth,
        spacing: w.spacing,
        along,
        room: home.map(RoomId),
    }
}

/// `[framing]` with spacing and direction and without a phase.
fn by_rules(rules: &Rules) -> Option<Callout> {
    let framing = &rules.framing;
    let (spacing, direction, None) = (framing.spacing?, framing.direction?, framing.phase) else {
        return None;
    };
    let angle = direction.to_radians();
    let along = Coord {
        x: angle.cos(),
        y: angle.sin(),
    };
    (finite(along) && spacing.is_finite() && spacing > framing.thickness).then(|| Callout {
        text: "[framing]".to_string(),
        at: None,
        handle: None,
        kind: MemberKind::Joist,
        thickness: framing.thickness,
        depth: None,
        spacing,
        along: canonical(along),
        room: None,
    })
}

impl Written {
    pub fn note(&self, warn: bool, code: &'static str, what: &str) -> Note {
        let said = format!("\"{}\" {what}", self.text);
        let note = if warn {
            Note::warning(code, said)
        } else {
            Note::info(code, said)
        };
        note.at(self.place.clone())
    }
}

/// The rooms its line lies in, else the one it stands in, else the one it points to.
fn rooms_of(plan: &Plan, w: &Written) -> Vec<Option<usize>> {
    let mut found: BTreeMap<usize, f64> = BTreeMap::new();
    if let Some((a, b)) = w.line {
        for (p, step) in steps(a, b) {
            if let Some(r) = room_of(&plan.rooms, p) {
                *found.entry(r).or_insert(0.0) += step;
            }
        }
        let least = IN_ROOM.min(distance(a, b) / 3.0);
        found.retain(|_, length| *length >= least);
    }
    if found.is_empty() {
        let spot = room_of(&plan.rooms, w.at).or_else(|| room_of(&plan.rooms, w.points_to?));
        return spot.into_iter().map(Some).collect();
    }
    found.into_keys().map(Some).collect()
}

/// Points along a segment, and what length each stands for.
fn steps(a: Coord, b: Coord) -> impl Iterator<Item = (Coord, f64)> {
    let long = distance(a, b);
    let n = (long / STEP).ceil().clamp(1.0, MOST_STEPS);
    (0..n as usize).map(move |i| (a + (b - a) * ((i as f64 + 0.5) / n), long / n))
}

/// Whether the words stand, or their line lies, in the box of all rooms.
fn among(plan: &Plan, w: &Written) -> bool {
    let Some((lo, hi)) = bounds(plan.rooms.iter().flat_map(|r| r.outline.iter().copied())) else {
        return false;
    };
    let inside = |p: Coord| p.x >= lo.x && p.x <= hi.x && p.y >= lo.y && p.y <= hi.y;
    inside(w.at) || w.line.is_some_and(|(a, b)| inside((a + b) * 0.5))
}

/// Joists and trusses that run through a room (or anywhere, where there are no rooms).
fn members_in(plan: &Plan, home: Option<usize>) -> Option<Drawn> {
    let room = home.and_then(|r| plan.rooms.get(r));
    let through = |(_, m): &(usize, &Member)| {
        let spans = matches!(m.kind, MemberKind::Joist | MemberKind::Truss);
        spans
            && room.is_none_or(|room| {
                let inside = steps(m.from, m.to).filter(|(p, _)| contains(&room.outline, *p));
                inside.map(|(_, step)| step).sum::<f64>() >= IN_ROOM
            })
    };
    let (members, all): (Vec<usize>, Vec<&Member>) = plan.members.iter().enumerate().filter(through).unzip();
    // The direction most run in, the first of equals.
    let ways: Vec<Coord> = all
        .iter()
        .filter_map(|m| unit(m.to - m.from))
        .map(canonical)
        .collect();
    let count = |u: Coord| {
        ways.iter()
            .filter(|v| between_degrees(u, **v) <= SAME_WAY)
            .count()
    };
    let mut best: Option<(Coord, usize)> = None;
    for &u in &ways {
        let n = count(u);
        if best.is_none_or(|(_, most)| n > most) {
            best = Some((u, n));
        }
        if 2 * n > ways.len() {
            break;
        }
    }
    let (along, count) = best?;
    let n = left_of(along);
    let origin = all.first()?.from;
    let family: Vec<&&Member> = (all.iter())
        .filter(|m| between_degrees(m.to - m.from, along) <= SAME_WAY)
        .collect();
    let mut across: Vec<f64> = family
        .iter()
        .map(|m| dot((m.from + m.to) * 0.5 - origin, n))
        .collect();
    across.sort_by(f64::total_cmp);
    let gaps = across.windows(2).map(|w| w[1] - w[0]).filter(|g| *g > 2.0);
    Some(Drawn {
        along,
        spacing: middle(gaps.collect()),
        thickness: middle(family.iter().map(|m| m.thickness).collect())?,
        count,
        members,
    })
}

fn middle(mut values: Vec<f64>) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied()
}

/// The members of a room where all are single lines whose width nothing but the words tells.
fn centrelines(plan: &Plan, w: &Written, drawn: &Drawn, rules: &Rules) -> Option<Vec<usize>> {
    let lines = (drawn.members.iter()).all(|&m| {
        plan.members
            .get(m)
            .is_some_and(|m| m.source == MemberSource::Centreline)
    });
    let differs = (drawn.thickness - w.thickness).abs() > SAME_THICKNESS;
    let turned = |u| between_degrees(u, drawn.along) > SAME_WAY;
    let spaced = drawn
        .spacing
        .is_none_or(|s| (s - w.spacing).abs() <= SAME_SPACING);
    let told = w.sized && !rules.framing.thickness_given && w.kind != MemberKind::Truss;
    (lines && differs && told && spaced && !w.line.and_then(way).is_some_and(turned))
        .then(|| drawn.members.clone())
}

/// Words against what is drawn in the room.
fn compare(w: &Written, drawn: &Drawn, room: &str, notes: &mut Vec<Note>) {
    let mut off = Vec::new();
    let written = w.line.and_then(way);
    if let Some(along) = written
        && between_degrees(along, drawn.along) > SAME_WAY
    {
        off.push(format!(
            "runs at {} and they at {}",
            degrees(along),
            degrees(drawn.along)
        ));
    }
    if let Some(spacing) = drawn.spacing
        && (spacing - w.spacing).abs() > SAME_SPACING
    {
        off.push(format!(
            "says {} on centre and they stand {} apart",
            inches_only(w.spacing),
            inches_only(spacing)
        ));
    }
    if (drawn.thickness - w.thickness).abs() > SAME_THICKNESS && w.kind != MemberKind::Truss {
        off.push(format!(
            "means members {} wide and they are {}",
            inches_only(w.thickness),
            inches_only(drawn.thickness)
        ));
    }
    let members = format!("the {} members drawn {room}", drawn.count);
    notes.push(if off.is_empty() {
        w.note(false, "callout-agrees", &format!("agrees with {members}"))
    } else {
        let what = format!(
            "does not agree with {members}: it {}; the members hold, find out which is right",
            off.join(", ")
        );
        w.note(true, "callout-differs", &what)
    });
}

/// The direction its line tells, else the rules'; otherwise the note asks for it.
fn direction(
    plan: &Plan,
    w: &Written,
    home: Option<usize>,
    rules: &Rules,
    notes: &mut Vec<Note>,
) -> Option<Coord> {
    let told = w.line.and_then(way);
    if let (Some(along), None) = (told, w.crossing) {
        return Some(along);
    }
    if let Some(angle) = rules.framing.direction {
        let angle = angle.to_radians();
        let along = Coord {
            x: angle.cos(),
            y: angle.sin(),
        };
        let said = match told {
            None => "has no line that tells its direction: the rules' [framing] direction is taken",
            Some(_) => "has two lines that cross beside it: the rules' [framing] direction is taken",
        };
        notes.push(w.note(false, "callout-direction", said));
        return finite(along).then(|| canonical(along));
    }
    if let (Some(along), Some(plain)) = (told, w.crossing.and_then(way)) {
        notes.push(w.note(true, "callout-direction", &crossing(plan, home, along, plain)));
        return None;
    }
    let said = if w.torn {
        "has two lines beside it that run different ways: which way do the members run? Move one away, or \
         give direction under [framing] in bayline.toml"
    } else {
        "does not tell which way the members run: draw a line with arrowheads along them beside it, or give \
         direction under [framing] in bayline.toml"
    };
    notes.push(w.note(true, "callout-direction", said));
    None
}

/// Asks which of two lines that cross runs along the members: the one with arrowheads, or the plain one.
fn crossing(plan: &Plan, home: Option<usize>, arrowed: Coord, plain: Coord) -> String {
    let outline = home.and_then(|r| plan.rooms.get(r)).map(|r| &r.outline[..]);
    let long = |u: Coord| {
        let along = outline?.iter().map(|p| dot(*p, u));
        let (low, high) = along.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), s| {
            (l.min(s), h.max(s))
        });
        (high - low).is_finite().then_some(high - low)
    };
    let spans = match (long(arrowed), long(plain)) {
        (Some(a), Some(b)) => format!(
            " They would span {} along the arrows and {} along the plain line, and the shorter is usual.",
            feet_inches(a),
            feet_inches(b)
        ),
        _ => String::new(),
    };
    format!(
        "has a line with arrowheads at {} beside it and a plain line across that at {}, and either may be the members: \
         which way do they run?{spans} Give direction = {} or {} under [framing] in bayline.toml, or draw dots in place of \
         the arrowheads of a line that only shows how far they reach",
        degrees(arrowed),
        degrees(plain),
        degrees(arrowed).trim_end_matches('°'),
        degrees(plain).trim_end_matches('°'),
    )
}

/// The one callout that holds for a room; none where two say different things.
fn one(said: Vec<(&Written, Callout)>, room: &str, notes: &mut Vec<Note>) -> Option<Callout> {
    let same = |a: &Callout, b: &Callout| {
        (a.spacing - b.spacing).abs() <= SAME
            && (a.thickness - b.thickness).abs() <= SAME
            && between_degrees(a.along, b.along) <= SAME_WAY
    };
    let all_same = |said: &[(&Written, Callout)]| said.iter().all(|(_, c)| same(c, &said[0].1));
    let texts = |said: &[(&Written, Callout)]| {
        let mut all: Vec<String> = said.iter().map(|(w, _)| format!("\"{}\"", w.text)).collect();
        all.dedup();
        all.join(" and ")
    };
    let (ceiling, others): (Vec<_>, Vec<_>) =
        (said.into_iter()).partition(|(w, _)| w.part == Some(Part::Ceiling));
    let (chosen, passed) = match (ceiling.is_empty(), others.is_empty()) {
        (false, _) => (ceiling, others),
        (true, _) => (others, Vec::new()),
    };
    let first = chosen.first()?;
    if !all_same(&chosen) {
        let what = format!(
            "{} are all written {room} and say different things: none is taken; leave the one that holds \
             this ceiling, or draw its members",
            texts(&chosen)
        );
        notes.push(Note::warning("callout-conflict", what).at(first.0.place.clone()));
        return None;
    }
    if passed.iter().any(|(_, c)| !same(c, &first.1)) {
        let what = format!(
            "{} is passed over {room}: {} names the ceiling",
            texts(&passed),
            texts(&chosen)
        );
        notes.push(Note::info("callout-passed", what).at(first.0.place.clone()));
    }
    chosen.into_iter().next().map(|(_, c)| c)
}

/// `in KITCHEN`, `in room R2`, `on this plan`.
fn named(plan: &Plan, home: Option<usize>) -> String {
    match home.and_then(|r| Some((r, plan.rooms.get(r)?))) {
        Some((_, room)) if room.name.is_some() => format!("in {}", room.name.as_deref().unwrap_or_default()),
        Some((r, _)) => format!("in room {}", RoomId(r)),
        None => "on this plan".to_string(),
    }
}
