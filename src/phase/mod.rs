//! Framing of unknown phase: what it means for the lights, over every place the members may stand at.
//!
//! Where a plan only says "16 in on centre, this way" ([`crate::plan::Callout`]) the *phase* is the distance of
//! a member's centreline from the room's edge, modulo the spacing. `docs/phases.md` has the definitions, the
//! guarantee and the limits. Exact and piecewise: nothing here is sampled.

use std::collections::BTreeMap;

use geo::{Coord, Vector2DOps};

use crate::check::work::outline_distance;
use crate::check::{Kind, Severity};
use crate::geom::{FUZZ, finite};
use crate::note::{Note, Place};
use crate::plan::{Callout, Light, LightId, Member, MemberKind, Plan, RoomId};
use crate::recognise::bays::direction;
use crate::recognise::{framed, touches};
use crate::remedy::keep::Keep;
use crate::rules::Rules;

mod count;
mod light;
mod relay;
mod words;

#[cfg(test)]
mod relay_tests;
#[cfg(test)]
mod tests;

pub use words::{on_sheet, percent, question, range, room, summed_up};

use light::{Around, Lone, Piece, spans};
use relay::Lines;

/// Widest spacing that is looked at, inches: beyond it a light may have no member within the 48 in in which
/// a bay's direction is sought.
const WIDEST: f64 = 96.0;
/// Drawn blocks this near a light make its bay depend on more than the phase, inches.
const BLOCKS: f64 = 120.0;

/// Members of a room: endless, `spacing` on centre, one of them `phase` from the origin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Field {
    /// Where phase 0 runs through: a corner of the room; or where the lights are in no room, the first light.
    pub origin: Coord,
    /// Unit vector along the members; the phase grows to the left of it.
    pub along: Coord,
    pub spacing: f64,
    pub thickness: f64,
}

impl Field {
    /// Unit vector the phase grows along.
    pub fn across(&self) -> Coord {
        self.along.left()
    }

    /// Distance of a point from the origin, across the members.
    pub fn place(&self, at: Coord) -> f64 {
        (at - self.origin).dot_product(self.across())
    }
}

/// Phases from one to another, inches; the ends belong to it where so marked. Both the same: that phase alone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    pub from: f64,
    pub to: f64,
    pub from_in: bool,
    pub to_in: bool,
}

impl Span {
    pub fn has(&self, phase: f64) -> bool {
        (phase > self.from && phase < self.to)
            || (self.from_in && phase == self.from)
            || (self.to_in && phase == self.to)
    }
}

/// One light over all phases.
#[derive(Clone, Debug, PartialEq)]
pub struct LightPhases {
    pub light: LightId,
    /// For each kind that fires at any phase, in the order of [`Kind`], at which.
    pub kinds: Vec<(Kind, Vec<Span>)>,
}

/// How many lights, over all phases: least, most, and the mean over the phase.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Range {
    pub least: usize,
    pub most: usize,
    pub expected: f64,
}

/// A run of phases at which as many lights have findings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run {
    /// The middle of it, in [0, spacing).
    pub phase: f64,
    /// Its length, inches; the spacing where it is all phases.
    pub width: f64,
    /// Lights with a finding of severity `must`.
    pub must: usize,
    /// Lights with any finding that depends on framing.
    pub any: usize,
}

/// One room over all phases.
#[derive(Clone, Debug, PartialEq)]
pub struct Phases {
    /// `None`: the lights in no room.
    pub room: Option<RoomId>,
    /// Which of the plan's callouts holds.
    pub callout: usize,
    pub field: Field,
    pub lights: Vec<LightPhases>,
    /// Share of phases at which no light has a `must`, and no finding at all that depends on framing.
    pub works: f64,
    pub clean: f64,
    pub best: Run,
    pub worst: Run,
    /// Lights whose opening hits a member.
    pub hits: Range,
    /// Lights whose housing finds no room: too near a member or a device, or in too narrow a bay.
    pub clashes: Range,
    pub hard_against: Range,
    /// Lights that need blocking.
    pub blocking: Range,
    /// Lights whose bars must be cut.
    pub trims: Range,
    /// Share of phases that no layout of these lights can pass; `None` where drawn members are near.
    pub at_most: Option<f64>,
    /// The layout within reach that works at the most phases, where one works at more than the drawn one.
    pub relay: Option<Relay>,
}

impl Phases {
    /// Whether it matters where the framing stands.
    pub fn asks(&self) -> bool {
        self.works < 1.0 - FUZZ
    }
}

/// Lights moved across the members.
#[derive(Clone, Debug, PartialEq)]
pub struct Relay {
    /// Those that move, and where to.
    pub moves: Vec<(LightId, Coord)>,
    /// The greatest move, inches.
    pub most: f64,
    /// Share of phases at which the plan then works, and at which it has no finding.
    pub works: f64,
    pub clean: f64,
    /// Whether it is the best there is, or the work allowed was done first.
    pub proved: bool,
}

/// Every room with lights whose framing is only written of, in the order of rooms, lights in no room last;
/// and a question for each whose answer matters.
pub fn phases(plan: &Plan, rules: &Rules) -> (Vec<Phases>, Vec<Note>) {
    let mut notes = Vec::new();
    if plan.callouts.is_empty() {
        return (Vec::new(), notes);
    }
    let around = Around::new(plan);
    let joists: Vec<usize> = (0..plan.members.len())
        .filter(|&i| plan.members.get(i).is_some_and(|m| tells_direction(m.kind)))
        .collect();
    let keep = Keep::of(plan, rules);
    let found: Vec<Phases> = rooms(plan)
        .into_iter()
        .filter_map(|(room, lights)| {
            let callout = callout(plan, room, &mut notes)?;
            if is_drawn(plan, room, &joists, &lights) {
                let message = format!(
                    "framing is drawn in {}, so the callout there is not used",
                    words::room(plan, room)
                );
                notes.push(Note::info("phase-drawn", message));
                return None;
            }
            let field = field(plan, room, &lights, plan.callouts.get(callout)?)?;
            // Joists beyond the walls are not this room's.
            let local = beyond(plan, room);
            let apart = local.as_ref().map(Around::new);
            let (plan, around) = match (&local, &apart) {
                (Some(local), Some(apart)) => (local, apart),
                _ => (plan, &around),
            };
            let mut found = over_all(around, (room, callout), field, &lights, rules);
            if is_alone(plan, field.spacing, &lights) {
                let lines = Lines::new(plan, field, &lights);
                let best = lights
                    .iter()
                    .map(|l| around.bare(field, l.1, rules).share(field.spacing));
                found.at_most = Some(best.fold(1.0, f64::min));
                let drawn = (found.works, found.clean);
                let (best, proved) = relay::relay(around, &lines, room, drawn, relay::REACH, (rules, &keep));
                found.relay = best;
                if !proved {
                    notes.push(Note::info("phase-unproved", words::unproved(plan, &found)));
                }
            }
            Some(found)
        })
        .collect();
    for found in found.iter().filter(|p| p.asks()) {
        let callout = plan.callouts.get(found.callout);
        let handle = callout.and_then(|c| c.handle.clone());
        let place = Place {
            handle,
            ..Place::default()
        };
        notes.push(Note::warning("phase-question", question(plan, found)).at(place));
    }
    (found, notes)
}

type Lit<'a> = Vec<(LightId, &'a Light)>;

/// Lights by room, those in none last.
fn rooms(plan: &Plan) -> Vec<(Option<RoomId>, Lit<'_>)> {
    let mut rooms: BTreeMap<(bool, Option<RoomId>), Lit<'_>> = BTreeMap::new();
    for (i, light) in plan.lights.iter().enumerate() {
        if finite(light.at) {
            let key = (light.room.is_none(), light.room);
            rooms.entry(key).or_default().push((LightId(i), light));
        }
    }
    rooms
        .into_iter()
        .map(|((_, room), lights)| (room, lights))
        .collect()
}

fn tells_direction(kind: MemberKind) -> bool {
    matches!(kind, MemberKind::Joist | MemberKind::Truss)
}

/// Whether drawn joists or trusses run through the room, or in none beside any of the lights; or blocks stand about in it.
fn is_drawn(plan: &Plan, room: Option<RoomId>, joists: &[usize], lights: &[(LightId, &Light)]) -> bool {
    let outline = room.and_then(|r| plan.rooms.get(r.0)).map(|r| &r.outline);
    let here = |m: &&Member| outline.is_none_or(|o| touches(m, o));
    let blocks = plan
        .members
        .iter()
        .filter(|m| m.kind == MemberKind::Block)
        .filter(here);
    let near = |at: Coord| {
        let mut blocks = blocks.clone();
        blocks.any(|m| outline_distance(m, at) <= BLOCKS)
    };
    if room.is_some_and(|r| framed(plan, r)) {
        return true;
    }
    let beside = |at: Coord| room.is_none() && direction(&plan.members, joists, at).is_some();
    lights.iter().any(|(_, l)| beside(l.at) || near(l.at))
}

/// The plan without the joists and trusses that are in other rooms alone; `None` where there are none.
fn beyond(plan: &Plan, room: Option<RoomId>) -> Option<Plan> {
    let outline = &plan.rooms.get(room?.0)?.outline;
    let here = |m: &Member| !tells_direction(m.kind) || touches(m, outline);
    if plan.members.iter().all(here) {
        return None;
    }
    let mut plan = plan.clone();
    plan.members.retain(here);
    Some(plan)
}

/// Whether no drawn member is anywhere that a light may come, so that members of the callout alone matter.
fn is_alone(plan: &Plan, spacing: f64, lights: &[(LightId, &Light)]) -> bool {
    let view = spacing + 2.0 * relay::REACH;
    let far = |at: Coord| plan.members.iter().all(|m| outline_distance(m, at) > view);
    lights.iter().all(|l| far(l.1.at))
}

/// The callout that holds for a room: its own, else one that names no room. Where several hold and differ,
/// none does, with a note.
fn callout(plan: &Plan, room: Option<RoomId>, notes: &mut Vec<Note>) -> Option<usize> {
    let of = |wanted: Option<RoomId>| -> Vec<usize> {
        let all = plan.callouts.iter().enumerate();
        all.filter(|(_, c)| c.room == wanted).map(|(i, _)| i).collect()
    };
    let own = room.map(|r| of(Some(r))).filter(|own| !own.is_empty());
    let holding = own.unwrap_or_else(|| of(None));
    let &first = holding.first()?;
    let it = plan.callouts.get(first)?;
    let same = |c: &Callout| {
        (c.spacing - it.spacing).abs() <= FUZZ
            && (c.thickness - it.thickness).abs() <= FUZZ
            && c.along.wedge_product(it.along).abs() <= FUZZ
    };
    if !holding.iter().filter_map(|&i| plan.callouts.get(i)).all(same) {
        let message = format!(
            "{} has several framing callouts that differ: nothing is worked out from them",
            words::room(plan, room)
        );
        notes.push(Note::warning("phase-several", message));
        return None;
    }
    let sound = it.spacing.is_finite()
        && it.spacing <= WIDEST
        && it.thickness > 0.0
        && it.thickness < it.spacing
        && (it.along.magnitude() - 1.0).abs() <= FUZZ
        && tells_direction(it.kind);
    if !sound {
        let message = format!(
            "the framing callout \"{}\" for {} is not used: joists or trusses up to 8 ft on centre, thinner \
             than their spacing, are",
            it.text,
            words::room(plan, room)
        );
        notes.push(Note::warning("phase-unused", message));
        return None;
    }
    Some(first)
}

/// The members as a callout has them, their phase counted from the room's lowest corner across them.
fn field(
    plan: &Plan,
    room: Option<RoomId>,
    lights: &[(LightId, &Light)],
    callout: &Callout,
) -> Option<Field> {
    let (along, across) = (callout.along, callout.along.left());
    let outline = room.and_then(|r| plan.rooms.get(r.0)).map(|r| &r.outline);
    let corners: Vec<Coord> = match outline {
        Some(outline) => outline.clone(),
        None => lights.iter().map(|l| l.1.at).collect(),
    };
    let low = corners
        .iter()
        .map(|c| c.dot_product(across))
        .fold(f64::INFINITY, f64::min);
    // Of corners as low, but for rounding, the first along the members.
    let origin = (corners.iter())
        .filter(|c| c.dot_product(across) <= low + FUZZ)
        .min_by(|a, b| a.dot_product(along).total_cmp(&b.dot_product(along)))?;
    Some(Field {
        origin: *origin,
        along,
        spacing: callout.spacing,
        thickness: callout.thickness,
    })
}

fn over_all(
    around: &Around<'_>,
    (room, callout): (Option<RoomId>, usize),
    field: Field,
    lights: &[(LightId, &Light)],
    rules: &Rules,
) -> Phases {
    let lone = |&(id, light): &(LightId, &Light)| -> Vec<Piece> {
        let lone: Lone<'_> = around.lone(field, (id, light), rules);
        lone.pieces()
    };
    let pieces: Vec<Vec<Piece>> = lights.iter().map(lone).collect();
    let each = lights.iter().zip(&pieces);
    let each = each.map(|((id, _), pieces)| {
        let kinds = light::KINDS.into_iter();
        let spans = kinds.map(|kind| (kind, spans(pieces, field.spacing, |f| f.has(kind))));
        LightPhases {
            light: *id,
            kinds: spans.filter(|(_, spans)| !spans.is_empty()).collect(),
        }
    });
    let lights = each.collect();
    let counts = count::Counts::of(&pieces, field.spacing);
    let any_of = |kinds: &'static [Kind]| move |f: light::Fires| kinds.iter().any(|&k| f.has(k));
    Phases {
        room,
        callout,
        field,
        lights,
        works: counts.share(count::must),
        clean: counts.share(light::Fires::any),
        best: counts.run(false),
        worst: counts.run(true),
        hits: counts.range(any_of(&[Kind::HitsMember])),
        clashes: counts.range(any_of(&[
            Kind::HousingClash,
            Kind::NearCombustible,
            Kind::NarrowBay,
            Kind::DeviceClash,
        ])),
        hard_against: counts.range(any_of(&[Kind::HardAgainst])),
        blocking: counts.range(any_of(&[Kind::WideBay, Kind::NoSupport])),
        trims: counts.range(any_of(&[Kind::TrimBars])),
        at_most: None,
        relay: None,
    }
}

/// Whether a kind is of severity `must`.
fn is_must(kind: Kind) -> bool {
    kind.severity() == Severity::Must
}
