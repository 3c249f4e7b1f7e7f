//! Rooms whose framing is only written of: words hold for them, and no joist is drawn in them.

use geo::Coord;

use crate::plan::{Member, MemberKind, Plan, RoomId};
use crate::recognise::shape::{between_degrees, bounds, contains, cross, distance, point_to_segment};

/// A joist runs through a room over at least this much, inches; less is its bearing on the wall.
const IN_ROOM: f64 = 24.0;
/// A plate of a 2x4 wall with its board on one side, inches: what stands upon it carries bars.
const PLATE: f64 = 4.5;
/// What runs along a wall differs from it by no more than this, degrees.
const ALONG: f64 = 2.0;

/// Whether words of framing hold for a room, and nothing that tells a direction is drawn in it. What is drawn beyond its
/// walls says nothing of it.
pub fn only_written(plan: &Plan, room: RoomId) -> bool {
    let holds = |c: &crate::plan::Callout| c.room.is_none_or(|r| r == room);
    plan.callouts.iter().any(holds) && !framed(plan, room)
}

/// Whether a joist or truss runs through a room.
pub fn framed(plan: &Plan, room: RoomId) -> bool {
    let Some(outline) = plan.rooms.get(room.0).map(|r| r.outline.as_slice()) else {
        return false;
    };
    let Some((low, high)) = bounds(outline.iter().copied()) else {
        return false;
    };
    plan.members.iter().any(|m| {
        let past = m.from.x.max(m.to.x) < low.x
            || m.from.x.min(m.to.x) > high.x
            || m.from.y.max(m.to.y) < low.y
            || m.from.y.min(m.to.y) > high.y;
        let spans = matches!(m.kind, MemberKind::Joist | MemberKind::Truss);
        spans && !past && inside(m, outline) >= IN_ROOM.min(distance(m.from, m.to) / 2.0)
    })
}

/// Whether nothing at all is drawn in a room, not even upon the plates of its walls.
pub fn unframed(plan: &Plan, room: RoomId) -> bool {
    let Some(outline) = plan.rooms.get(room.0).map(|r| r.outline.as_slice()) else {
        return false;
    };
    let Some((low, high)) = bounds(outline.iter().copied()) else {
        return false;
    };
    !plan.members.iter().any(|m| {
        let past = m.from.x.max(m.to.x) < low.x - PLATE
            || m.from.x.min(m.to.x) > high.x + PLATE
            || m.from.y.max(m.to.y) < low.y - PLATE
            || m.from.y.min(m.to.y) > high.y + PLATE;
        !past && (touches(m, outline) || upon(m, outline))
    })
}

/// Whether a member lies along a side of a ring, within a plate's width of it.
fn upon(m: &Member, ring: &[Coord]) -> bool {
    (0..ring.len()).any(|i| {
        let (a, b) = (ring[i], ring[(i + 1) % ring.len()]);
        between_degrees(m.to - m.from, b - a) <= ALONG
            && [m.from, m.to, (m.from + m.to) * 0.5]
                .iter()
                .any(|p| point_to_segment(*p, a, b) <= PLATE)
    })
}

/// Whether any of a member is in a room's outline.
pub fn touches(member: &Member, outline: &[Coord]) -> bool {
    inside(member, outline) > 0.0
}

/// The length of a member's centreline in a ring, inches.
fn inside(member: &Member, ring: &[Coord]) -> f64 {
    let (p, d) = (member.from, member.to - member.from);
    let mut cuts = vec![0.0, 1.0];
    for (i, &a) in ring.iter().enumerate() {
        let side = ring[(i + 1) % ring.len()] - a;
        let across = cross(d, side);
        if across != 0.0 {
            let (t, u) = (cross(a - p, side) / across, cross(a - p, d) / across);
            if (0.0..=1.0).contains(&t) && (0.0..=1.0).contains(&u) {
                cuts.push(t);
            }
        }
    }
    cuts.sort_by(f64::total_cmp);
    let within = (cuts.windows(2)).filter(|w| contains(ring, p + d * ((w[0] + w[1]) / 2.0)));
    within.map(|w| w[1] - w[0]).sum::<f64>() * distance(member.from, member.to)
}
