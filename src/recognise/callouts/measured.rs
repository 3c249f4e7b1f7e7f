//! Written framing whose phase was measured: one point on a member of a room lays the others out.

use geo::Coord;

use crate::note::Note;
use crate::plan::{Callout, Member, MemberKind, MemberSource, Plan, RoomId};
use crate::recognise::rooms::room_of;
use crate::recognise::shape::{cross, dot, finite, left_of};
use crate::rules::Rules;

/// No room has more members than this; a spacing that asks for more is a slip.
const MOST: f64 = 2_000.0;
/// Pieces shorter than this, in a corner of the room, are no members, inches.
const SHORTEST: f64 = 6.0;

/// Lays out the members of every room in which a member was measured; its callout has done its work.
/// A point that says nothing is told of.
pub fn laid_out(plan: &mut Plan, rules: &Rules, notes: &mut Vec<Note>) {
    let mut done: Vec<RoomId> = Vec::new();
    for &[x, y] in &rules.framing.measured {
        let at = Coord { x, y } * plan.units.inches_per_unit;
        let said = |what: String| Note::warning("measured-unused", format!("measured [{x}, {y}]: {what}"));
        let Some(room) = room_of(&plan.rooms, at).filter(|_| finite(at)) else {
            notes.push(said("stands in no room and is not used".to_string()));
            continue;
        };
        let id = RoomId(room);
        let name = plan.rooms[room].name.clone().unwrap_or_else(|| id.to_string());
        if done.contains(&id) {
            notes.push(said(format!("a point before it has laid {name} out: not used")));
            continue;
        }
        let own = plan.callouts.iter().position(|c| c.room == Some(id));
        let Some(n) = own.or_else(|| plan.callouts.iter().position(|c| c.room.is_none())) else {
            notes.push(said(format!("no callout holds for {name}: not used")));
            continue;
        };
        let callout = plan.callouts[n].clone();
        let members = members(&plan.rooms[room].outline, at, &callout);
        if members.is_empty() {
            notes.push(said(format!("no member fits into {name}: not used")));
            continue;
        }
        notes.push(Note::info(
            "callout-laid-out",
            format!(
                "{} members are laid out in {name} from the one measured at [{x}, {y}] and \"{}\"",
                members.len(),
                callout.text
            ),
        ));
        plan.members.extend(members);
        done.push(id);
    }
    plan.callouts
        .retain(|c| c.room.is_none_or(|r| !done.contains(&r)));
}

/// The members across a ring, one of them through `at`.
pub fn members(ring: &[Coord], at: Coord, callout: &Callout) -> Vec<Member> {
    let (u, n) = (callout.along, left_of(callout.along));
    let across = ring.iter().map(|p| dot(*p - at, n));
    let low = across.clone().fold(f64::INFINITY, f64::min);
    let high = across.fold(f64::NEG_INFINITY, f64::max);
    let spacing = callout.spacing;
    let sound = (high - low).is_finite() && spacing > 0.0 && (high - low) / spacing <= MOST;
    if !sound {
        return Vec::new();
    }
    let (first, last) = ((low / spacing).ceil() as i64, (high / spacing).floor() as i64);
    (first..=last)
        .map(|k| at + n * (k as f64 * spacing))
        .flat_map(|p| {
            stretches(ring, p, u).into_iter().map(move |(from, to)| Member {
                from: p + u * from,
                to: p + u * to,
                thickness: callout.thickness,
                kind: match callout.kind {
                    MemberKind::Truss => MemberKind::Truss,
                    _ => MemberKind::Joist,
                },
                source: MemberSource::Rules,
                plies: 1,
                handle: None,
            })
        })
        .collect()
}

/// Where the line through `at` along `u` runs inside a ring.
fn stretches(ring: &[Coord], at: Coord, u: Coord) -> Vec<(f64, f64)> {
    let mut met: Vec<f64> = Vec::new();
    for (i, &a) in ring.iter().enumerate() {
        let b = ring[(i + 1) % ring.len()];
        let (sa, sb) = (cross(u, a - at), cross(u, b - at));
        // A corner on the line belongs to one of its two sides only.
        if (sa > 0.0) != (sb > 0.0) {
            met.push(dot(a + (b - a) * (sa / (sa - sb)) - at, u));
        }
    }
    met.sort_by(f64::total_cmp);
    met.chunks_exact(2)
        .map(|c| (c[0], c[1]))
        .filter(|(from, to)| to - from >= SHORTEST)
        .collect()
}
