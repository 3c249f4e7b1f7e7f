//! The clear space beside each light: member direction, faces to left and right, walls.

use geo::Coord;

use super::boxes::Boxes;
use super::shape::{
    between_degrees, bounds, canonical, cross, dot, left_of, outline, ray_to_segment, span_in_band, unit,
};
use super::tolerance::{BAR_SLACK, BAY_FAMILY_DEGREES, FRAMING_REACH};
use crate::geom::FUZZ;
use crate::plan::{Bay, Light, Member, MemberId, MemberKind, Plan, Side};
use crate::rules::{Luminaire, Rules};

/// The plan's members and walls, indexed by place.
pub struct Near {
    members: Boxes,
    outlines: Vec<Vec<Coord>>,
    /// Which way each member runs; `None` where it has no length.
    ways: Vec<Option<Coord>>,
    /// Whether any member is a block.
    blocks: bool,
    walls: Boxes,
    /// Longest distance across everything indexed.
    extent: f64,
}

impl Near {
    pub fn new(plan: &Plan) -> Self {
        let outlines: Vec<Vec<Coord>> = plan.members.iter().map(outline).collect();
        let walls: Vec<[Coord; 2]> = plan.walls.iter().map(|(a, b)| [*a, *b]).collect();
        let all = outlines
            .iter()
            .flatten()
            .copied()
            .chain(plan.walls.iter().flat_map(|w| [w.0, w.1]))
            .chain(plan.lights.iter().map(|l| l.at));
        let extent = bounds(all).map_or(0.0, |(lo, hi)| (hi.x - lo.x).hypot(hi.y - lo.y));
        Near {
            members: Boxes::new(outlines.iter().map(Vec::as_slice)),
            outlines,
            ways: plan.members.iter().map(way).collect(),
            blocks: plan.members.iter().any(|m| m.kind == MemberKind::Block),
            walls: Boxes::new(walls.iter().map(<[Coord; 2]>::as_slice)),
            extent,
        }
    }

    /// The same for lights up to so much further out, inches.
    pub fn wider(self, by: f64) -> Near {
        Near {
            extent: self.extent + by,
            ..self
        }
    }
}

fn way(member: &Member) -> Option<Coord> {
    unit(member.to - member.from).map(canonical)
}

/// The bay of one light; `None` where no member stands near enough to tell a direction.
pub fn bay(plan: &Plan, near: &Near, light: &Light, rules: &Rules) -> Option<Bay> {
    bay_of(plan, near, light, &rules.housing(light))
}

/// The same, with the light's housing at hand.
pub fn bay_of(plan: &Plan, near: &Near, light: &Light, housing: &Luminaire) -> Option<Bay> {
    let at = light.at;
    let around = square(at, FRAMING_REACH);
    let mut found: Vec<usize> = near.members.meeting(&around).collect();
    found.sort_unstable();
    let candidates: Vec<Candidate<'_>> = (found.into_iter())
        .filter_map(|i| Some((plan.members.get(i)?, (*near.ways.get(i)?)?)))
        .collect();
    let along = told(&candidates, at)?;
    let half_width = housing.half_width;
    let across = left_of(along);
    let side = |d: Coord| {
        let (room, member) = nearest(near, at, along, d, half_width);
        Side {
            room,
            member,
            wall: wall(plan, near, light, d),
        }
    };
    let bay = Bay {
        along,
        left: side(across),
        right: side(across * -1.0),
    };
    Some(between_blocks(plan, near, light, &bay, housing).unwrap_or(bay))
}

/// The bay between two blocks nailed across the light's own one: where that is too wide for the bars or
/// open on a side, and blocks stand on both sides along the members, near enough for the bars, the bars
/// hang from the blocks.
fn between_blocks(plan: &Plan, near: &Near, light: &Light, bay: &Bay, housing: &Luminaire) -> Option<Bay> {
    if !near.blocks {
        return None;
    }
    let bare = |s: &Side| s.member.is_none() || s.wall.is_some_and(|wall| s.room > wall);
    let open = bare(&bay.left) || bare(&bay.right);
    if !open && bay.left.room + bay.right.room <= housing.bars.greatest + BAR_SLACK {
        return None;
    }
    let along = canonical(left_of(bay.along));
    let across = left_of(along);
    let side = |d: Coord| {
        let (room, member) = nearest(near, light.at, along, d, housing.half_width);
        let block = plan.members.get(member?.0)?.kind == MemberKind::Block;
        let wall = wall(plan, near, light, d);
        let side = Side { room, member, wall };
        (block && room > 0.0 && !bare(&side)).then_some(side)
    };
    let (left, right) = (side(across)?, side(across * -1.0)?);
    (left.room + right.room <= housing.bars.greatest + BAR_SLACK).then_some(Bay { along, left, right })
}

fn square(at: Coord, half: f64) -> [Coord; 2] {
    let h = Coord { x: half, y: half };
    [at - h, at + h]
}

/// Direction of the framing a light hangs in. Members count that run beside the light: its foot
/// on them lies within their length. The family with members on both sides and the nearest
/// faces wins. Beams, headers and blocks tell no direction unless there is nothing else.
pub fn direction(members: &[Member], candidates: &[usize], at: Coord) -> Option<Coord> {
    let members = candidates.iter().filter_map(|&i| members.get(i));
    let candidates: Vec<Candidate<'_>> = members.filter_map(|m| Some((m, way(m)?))).collect();
    told(&candidates, at)
}

/// A member and which way it runs.
type Candidate<'a> = (&'a Member, Coord);

fn told(candidates: &[Candidate<'_>], at: Coord) -> Option<Coord> {
    let cross_pieces =
        |m: &Member| matches!(m.kind, MemberKind::Beam | MemberKind::Header | MemberKind::Block);
    family(candidates, at, &|m| !cross_pieces(m)).or_else(|| family(candidates, at, &cross_pieces))
}

/// A direction and the nearest face distance on either side of the light.
struct Family {
    along: Coord,
    left: f64,
    right: f64,
}

fn family(candidates: &[Candidate<'_>], at: Coord, counts: &dyn Fn(&Member) -> bool) -> Option<Coord> {
    let mut families: Vec<Family> = Vec::new();
    for &(member, along) in candidates.iter().filter(|(m, _)| counts(m)) {
        let (s0, s1) = (dot(member.from - at, along), dot(member.to - at, along));
        if s0.min(s1) > 0.0 || s0.max(s1) < 0.0 {
            continue;
        }
        let offset = dot(member.from - at, left_of(along));
        let face = (offset.abs() - member.thickness / 2.0).max(0.0);
        if face > FRAMING_REACH {
            continue;
        }
        let n = families
            .iter()
            .position(|f| is_fellow(f.along, along))
            .unwrap_or_else(|| {
                families.push(Family {
                    along,
                    left: f64::INFINITY,
                    right: f64::INFINITY,
                });
                families.len() - 1
            });
        let f = &mut families[n];
        // The nearest member of a family gives its direction.
        if face < f.left.min(f.right) {
            f.along = along;
        }
        let side = if offset >= 0.0 { &mut f.left } else { &mut f.right };
        *side = side.min(face);
    }
    families
        .into_iter()
        .min_by(|a, b| {
            let one_sided = |f: &Family| f.left.is_infinite() || f.right.is_infinite();
            (one_sided(a).cmp(&one_sided(b)))
                .then_with(|| spread(a).total_cmp(&spread(b)))
                .then_with(|| a.along.y.total_cmp(&b.along.y))
        })
        .map(|f| f.along)
}

/// Whether two members are of one family. Most run alike or square to each other, which needs no angle.
fn is_fellow(a: Coord, b: Coord) -> bool {
    let (turn, same) = (cross(a, b).abs(), dot(a, b).abs());
    turn < 1e-3 * same || turn < 0.1 * same && between_degrees(a, b) <= BAY_FAMILY_DEGREES
}

/// Clear width of a family's bay around the light; the one known side where it has but one.
fn spread(f: &Family) -> f64 {
    match (f.left.is_finite(), f.right.is_finite()) {
        (true, true) => f.left + f.right,
        _ => f.left.min(f.right),
    }
}

/// Distance from `at` towards `across` to the nearest part of a member inside the band
/// |along| < `half_width`, and that member. Infinite and `None` where there is none.
fn nearest(near: &Near, at: Coord, along: Coord, across: Coord, half_width: f64) -> (f64, Option<MemberId>) {
    let mut reach = FRAMING_REACH;
    loop {
        let reach_end = at + across * reach;
        let back = at - across * FRAMING_REACH;
        let band = [
            at + along * half_width,
            at - along * half_width,
            reach_end + along * half_width,
            reach_end - along * half_width,
            back,
        ];
        let found = nearest_of(
            (near.members.meeting(&band)).map(|i| (i, near.outlines[i].as_slice())),
            at,
            along,
            across,
            half_width,
        );
        // A member further off than the band looked at may have a rival that was not seen.
        if found.0 <= reach || reach > near.extent {
            return (found.0, found.1.map(MemberId));
        }
        reach *= 4.0;
    }
}

/// The same over any outlines, in any order: what the index must agree with.
pub fn nearest_of<'a>(
    outlines: impl Iterator<Item = (usize, &'a [Coord])>,
    at: Coord,
    along: Coord,
    across: Coord,
    half_width: f64,
) -> (f64, Option<usize>) {
    // A member that only touches the edge of the band is beside the housing, not in it.
    let half = (half_width - 1e-6).max(0.0);
    let mut best: (f64, Option<usize>) = (f64::INFINITY, None);
    outlines.for_each(|(i, ring)| {
        // Most lie behind the light, or beyond one that was met.
        let reach = ring.iter().map(|p| dot(*p - at, across));
        let (low, high) = reach.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), t| {
            (l.min(t), h.max(t))
        });
        if high < -FUZZ || low > best.0 + FUZZ {
            return;
        }
        match span_in_band(ring, at, (along, across), -half, half) {
            Some((room, far)) if far > 0.0 && (room, Some(i)) < best => best = (room, Some(i)),
            _ => {}
        }
    });
    best
}

/// Distance from a light towards `d` to its room's outline, or to the first wall where it has no
/// drawn room.
pub(crate) fn wall(plan: &Plan, near: &Near, light: &Light, d: Coord) -> Option<f64> {
    let room = light.room.and_then(|r| plan.rooms.get(r.0));
    // An outline that was not drawn may bridge an opening: it is no wall there.
    if let Some(room) = room.filter(|r| r.drawn) {
        let n = room.outline.len();
        return (0..n)
            .filter_map(|i| ray_to_segment(light.at, d, room.outline[i], room.outline[(i + 1) % n]))
            .min_by(f64::total_cmp);
    }
    let mut reach = FRAMING_REACH;
    loop {
        let found = (near.walls.meeting(&[light.at, light.at + d * reach]))
            .filter_map(|i| ray_to_segment(light.at, d, plan.walls[i].0, plan.walls[i].1))
            .min_by(f64::total_cmp);
        if found.is_some_and(|f| f <= reach) || reach > near.extent {
            return found;
        }
        reach *= 4.0;
    }
}
