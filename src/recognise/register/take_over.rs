//! Framing taken over from a second drawing.

use geo::Coord;

use super::by_parts::{by_parts, drop_elsewhere};
use super::{Hint, How, Refusal, Registration, Similarity, register};
use crate::length::{feet_inches, inches_only};
use crate::note::{Level, Note};
use crate::plan::{Member, MemberKind, MemberSource, Plan};
use crate::recognise::callouts::Written;
use crate::recognise::plans::{Part, groups};
use crate::recognise::shape::{between_degrees, cross, distance, dot, unit};
use crate::recognise::walls::runs;
use crate::rules::{FramingRules, Place};

/// Members nearer than this, side by side, are one drawn twice (inches).
const DOUBLE: f64 = 0.5;

/// What a second drawing shows, in its own coordinates, inches.
#[derive(Clone, Debug, PartialEq)]
pub struct Second {
    /// What notes and reports call it.
    pub name: String,
    pub walls: Vec<(Coord, Coord)>,
    pub members: Vec<Member>,
    /// Framing it only writes of, in its own coordinates.
    pub written: Vec<Written>,
    /// Its plans, where walls stand apart.
    pub plans: Vec<Part>,
    /// A block of the plan's own drawing: where nothing tells otherwise its coordinates are the plan's.
    pub own_drawing: bool,
    /// What reading it gave that matters to the plans it is placed on.
    pub notes: Vec<Note>,
}

/// A second drawing's framing as it came to stand on the plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    pub source: String,
    pub members: usize,
    pub registration: Registration,
    /// Each placing, the above being the first: of the whole, or of each plan of it that was laid over one here.
    pub placings: Vec<Placing>,
}

/// One plan of a second drawing laid over one of the drawing's, or the whole over the whole.
#[derive(Clone, Debug, PartialEq)]
pub struct Placing {
    /// What the plan is called that it lies on; `None` of the whole.
    pub plan: Option<String>,
    /// What the plan of the second drawing is called; the drawing's name where it is the whole.
    pub source: String,
    pub members: usize,
    pub registration: Registration,
}

impl Second {
    /// From what the second drawing was recognised as. Only framing that is drawn counts.
    pub fn new(name: &str, plan: &Plan, notes: Vec<Note>) -> Second {
        // What is asked of a ceiling plan is not asked of a framing plan.
        const OTHER: [&str; 11] = [
            "several-plans",
            "lights-",
            "framing-beside",
            "no-",
            "callout-",
            "light-",
            "room",
            "walls-",
            "framing-phase",
            "framing-incomplete",
            "framing-spacing",
        ];
        let matters = |n: &Note| {
            let other = OTHER.iter().any(|o| n.code.starts_with(o));
            n.level == Level::Loss || (n.level == Level::Warning && !other)
        };
        let drawn = |m: &&Member| matches!(m.source, MemberSource::Drawn | MemberSource::Centreline);
        Second {
            name: name.to_string(),
            walls: evidence(plan),
            members: plan.members.iter().filter(drawn).cloned().collect(),
            written: Vec::new(),
            plans: groups(plan),
            own_drawing: false,
            notes: notes
                .into_iter()
                .filter(matters)
                .map(|mut n| {
                    n.message = format!("in the framing drawing {name}: {}", n.message);
                    n
                })
                .collect(),
        }
    }

    /// One clause: how its walls lie upon those of a plan.
    pub fn fits(&self, plan: &Plan) -> String {
        match register(&evidence(plan), &self.walls, &Hint::default()) {
            Ok(found) => found.to_string(),
            Err(Refusal::NoWalls { .. }) => "with no walls that tell where it stands".to_string(),
            Err(refusal) => format!("whose place is not sure ({refusal})"),
        }
    }
}

/// What places a drawing: wall faces, else the sides of rooms.
fn evidence(plan: &Plan) -> Vec<(Coord, Coord)> {
    if plan.walls.is_empty() {
        plan.rooms.iter().flat_map(|r| runs(&r.outline, true)).collect()
    } else {
        plan.walls.clone()
    }
}

/// A placing convinces as a whole, though there are several plans, where this share of both drawings' walls agrees.
const AS_ONE: f64 = 0.9;

/// Puts the second drawing's members on the plan, or says why not. Ids of members change.
pub fn take_over(
    plan: &mut Plan,
    second: &Second,
    rules: &FramingRules,
    notes: &mut Vec<Note>,
) -> Option<Placed> {
    let parts = groups(plan);
    take_over_on(plan, &parts, second, rules, notes).map(|taken| taken.0)
}

/// The same, with what it writes of framing, in the plan's coordinates. Where plans stand apart in either drawing and
/// the two do not lie on each other as wholes, each plan is laid over its own.
pub fn take_over_on(
    plan: &mut Plan,
    parts: &[Part],
    second: &Second,
    rules: &FramingRules,
    notes: &mut Vec<Note>,
) -> Option<(Placed, Vec<Written>)> {
    notes.extend(second.notes.iter().cloned());
    let lost = |why: String| {
        Note::loss(
            "framing-not-placed",
            format!("no framing is taken from {}: {why}", second.name),
        )
    };
    if second.members.is_empty() && second.written.is_empty() {
        notes.push(lost(
            "no framing is found in it; name its layers under [read] framing in bayline.toml".to_string(),
        ));
        return None;
    }
    let hint = Hint {
        origin: rules.place == Place::Origin,
        turn: rules.turn,
        mirrored: rules.mirrored,
    };
    let whole = register(&evidence(plan), &second.walls, &hint);
    let as_one = match &whole {
        Ok(r) => {
            let several = parts.len() > 1 && second.plans.len() > 1;
            !several || r.how == How::ByOrigin || r.of_plan.min(r.of_second) >= AS_ONE
        }
        Err(Refusal::NoWalls { .. }) => true,
        Err(_) => false,
    };
    if !as_one && let Some(taken) = by_parts(plan, parts, second, &hint, notes) {
        return Some(taken);
    }
    let registration = match whole {
        Ok(r) => r,
        // By origin nothing is needed to place it, only to check it.
        Err(Refusal::NoWalls { .. }) if hint.origin || second.own_drawing => unchecked(),
        Err(refusal) => {
            notes.push(lost(refusal.to_string()));
            return None;
        }
    };
    let agrees = registration.of_plan.max(registration.of_second);
    // Other floors of one house share no more than its shell; so may another house.
    let unsure = second.own_drawing && !hint.origin && registration.walls == 0;
    let doubtful = unsure || registration.worst > super::WORST || agrees < super::MORE_SCALED;
    let level = if doubtful { Level::Warning } else { Level::Info };
    let said = format!("framing is taken from {}, {registration}", second.name);
    notes.push(Note::new(level, "framing-placed", said));
    notes.extend(differs(&registration, &second.name));

    let taken: Vec<Member> = second
        .members
        .iter()
        .filter_map(|m| moved(m, &registration.matrix))
        .collect();
    let taken = drop_elsewhere(taken, parts, second, notes);
    let members = taken.len();
    let own = std::mem::take(&mut plan.members);
    plan.members = merged(own, taken, &second.name, notes);
    // Words say true sizes, whatever scale the drawing was laid at.
    let written = (second.written.iter())
        .map(|w| w.moved(|p| registration.matrix.apply(p)))
        .collect();
    let placed = Placed {
        source: second.name.clone(),
        members,
        registration: registration.clone(),
        placings: vec![Placing {
            plan: None,
            source: second.name.clone(),
            members,
            registration,
        }],
    };
    Some((placed, written))
}

/// Says which walls both show, but not in one place.
pub fn differs(registration: &Registration, name: &str) -> Option<Note> {
    let first = registration.elsewhere.first()?;
    let others = match registration.elsewhere.len() - 1 {
        0 => String::new(),
        more => format!(", and {more} more not at one place either"),
    };
    Some(Note::warning(
        "framing-walls-differ",
        format!(
            "a wall {} long, about ({:.0}, {:.0}) in, stands {} from where {name} has it{others}: see which drawing is \
             right before you go by either",
            feet_inches(first.length),
            first.at.x,
            first.at.y,
            feet_inches(first.by),
        ),
    ))
}

fn unchecked() -> Registration {
    Registration {
        elsewhere: Vec::new(),
        how: super::How::ByOrigin,
        matrix: super::similarity::IDENTITY,
        snapped: None,
        board: None,
        rms: 0.0,
        worst: 0.0,
        walls: 0,
        length: 0.0,
        of_plan: 0.0,
        of_second: 0.0,
    }
}

fn moved(m: &Member, t: &Similarity) -> Option<Member> {
    let moved = Member {
        from: t.apply(m.from),
        to: t.apply(m.to),
        thickness: m.thickness * t.scale(),
        source: MemberSource::Second,
        ..m.clone()
    };
    let whole = unit(moved.to - moved.from).is_some() && moved.thickness.is_finite();
    whole.then_some(moved)
}

/// The second drawing's members, and of the plan's own those that it has nothing to say of: its
/// joists and trusses take the place of the plan's, and what both show stands once.
pub fn merged(own: Vec<Member>, taken: Vec<Member>, name: &str, notes: &mut Vec<Note>) -> Vec<Member> {
    let spans = |k: MemberKind| matches!(k, MemberKind::Joist | MemberKind::Truss);
    let replaces = taken.iter().any(|m| spans(m.kind));
    let (mut same, mut gone, mut laid_out, mut stay) = (0, 0, 0, Vec::new());
    for m in own {
        if m.source == MemberSource::Rules {
            laid_out += 1;
        } else if taken.iter().any(|t| doubles(t, &m)) {
            same += 1;
        } else if replaces && spans(m.kind) {
            gone += 1;
        } else {
            stay.push(m);
        }
    }
    if laid_out > 0 {
        let said = format!("{laid_out} members laid out from the rules give way to those of {name}");
        notes.push(Note::info("framing-replaced", said));
    }
    if same + gone + stay.len() > 0 {
        notes.push(Note::warning(
            "framing-replaced",
            format!(
                "the plan shows framing of its own: {same} members are in {name} too (within {}), {gone} joists or trusses that are \
                 not give way to those of {name}, {} others stay",
                inches_only(DOUBLE),
                stay.len()
            ),
        ));
    }
    stay.extend(taken);
    stay
}

/// Whether `b` lies along `a` for at least half of its length.
fn doubles(a: &Member, b: &Member) -> bool {
    let Some(u) = unit(a.to - a.from) else {
        return false;
    };
    if between_degrees(a.to - a.from, b.to - b.from) > 1.0 {
        return false;
    }
    let off = |p: Coord| cross(u, p - a.from).abs();
    let (s, e) = (dot(b.from - a.from, u), dot(b.to - a.from, u));
    let over = s.max(e).min(distance(a.from, a.to)) - s.min(e).max(0.0);
    off(b.from) <= DOUBLE && off(b.to) <= DOUBLE && over >= 0.5 * distance(b.from, b.to)
}
