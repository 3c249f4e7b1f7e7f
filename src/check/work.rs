//! What several checks need of a plan, worked out once: each light's housing, and the members
//! near it.

use std::borrow::Cow;

use geo::Coord;
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};

use super::EPSILON;
use super::footprint::Devices;
use crate::plan::{Bay, Light, LightId, Member, MemberId, MemberKind, Plan, Row, RowId, Side};
use crate::rules::{Luminaire, Mount, Rules};

/// A plan under the checks.
pub struct Work<'a> {
    pub plan: &'a Plan,
    pub rules: &'a Rules,
    ground: &'a Ground,
    beside: Vec<Beside<'a>>,
    /// Whether messages are left empty.
    short: bool,
}

/// What of a plan stays as it is while its lights move: members and devices, by their places.
pub struct Ground {
    members: Index,
    devices: Devices,
}

impl Ground {
    pub fn of(plan: &Plan) -> Ground {
        Ground {
            members: Index::new(&plan.members),
            devices: Devices::new(&plan.obstacles),
        }
    }
}

/// What one light has around it.
struct Beside<'a> {
    housing: Cow<'a, Luminaire>,
    /// Members that the opening or the body could come near, nearest first.
    near: Vec<Near>,
    hit: bool,
}

/// A member near a light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Near {
    pub member: MemberId,
    /// Light's centre to the member's outline; negative inside it, by the way out.
    pub distance: f64,
}

/// A light that hangs from bars in a bay whose two members carry them.
pub struct Hung<'a> {
    pub id: LightId,
    pub light: &'a Light,
    pub housing: &'a Luminaire,
    pub bay: &'a Bay,
}

impl Hung<'_> {
    /// Clear space between the faces that the bars reach for.
    pub fn clear(&self) -> f64 {
        self.bay.left.room + self.bay.right.room
    }

    /// Members on both sides, those that there are.
    pub fn members(&self) -> Vec<MemberId> {
        let mut members: Vec<_> = [self.bay.left.member, self.bay.right.member]
            .into_iter()
            .flatten()
            .collect();
        members.dedup();
        members
    }

    /// What the housing has to spare between the faces, the better way round; negative: what it
    /// is short.
    pub fn spare(&self) -> f64 {
        let (left, right) = (self.bay.left.room, self.bay.right.room);
        let (short, boxed) = (self.housing.short_side, self.housing.box_side);
        let fit = |short_room: f64, box_room: f64| (short_room - short).min(box_room - boxed);
        fit(left, right).max(fit(right, left))
    }
}

/// How far beyond a wall's face a member's near face may lie and still stand upon that wall: a 3 1/2 in
/// stud (PS 20) with 1/2 in of board on both sides (common practice).
pub const UPON_WALL: f64 = 4.5;

/// Whether a bar finds nothing to hang from on a side: no member, or one beyond the wall. One that stands
/// upon the wall's plate carries: the bar runs above the plate, and crosses nothing.
pub fn unsupported(side: &Side) -> bool {
    side.member.is_none()
        || side
            .wall
            .is_some_and(|wall| side.room > wall + UPON_WALL - EPSILON)
}

impl<'a> Work<'a> {
    /// `ground` must be that of the plan.
    pub fn new(plan: &'a Plan, rules: &'a Rules, ground: &'a Ground) -> Self {
        let beside = plan
            .lights
            .iter()
            .map(|light| {
                let housing = rules.housing(light);
                let body = housing.body / 2.0 + rules.tolerance.combustible;
                let near = ground
                    .members
                    .near(&plan.members, light.at, hole(&housing).max(body));
                let hit = near
                    .first()
                    .is_some_and(|n| hole(&housing) - n.distance > EPSILON);
                Beside { housing, near, hit }
            })
            .collect();
        Work {
            plan,
            rules,
            ground,
            beside,
            short: false,
        }
    }

    /// The same for findings without messages.
    pub fn in_short(plan: &'a Plan, rules: &'a Rules, ground: &'a Ground) -> Self {
        Work {
            short: true,
            ..Work::new(plan, rules, ground)
        }
    }

    /// A finding's message, where messages are wanted.
    pub fn say(&self, message: impl FnOnce() -> String) -> String {
        match self.short {
            true => String::new(),
            false => message(),
        }
    }

    pub fn devices(&self) -> &Devices {
        &self.ground.devices
    }

    pub fn lights(&self) -> impl Iterator<Item = (LightId, &'a Light, &Luminaire, &[Near])> {
        self.plan
            .lights
            .iter()
            .zip(&self.beside)
            .enumerate()
            .map(|(i, (light, b))| (LightId(i), light, &*b.housing, b.near.as_slice()))
    }

    /// Lights that hang from bars, whose bay is known and whose opening is clear: those the
    /// housing checks speak of.
    pub fn hung(&self) -> impl Iterator<Item = Hung<'_>> {
        let lights = self.plan.lights.iter().zip(&self.beside).enumerate();
        lights.filter_map(|(i, (light, b))| {
            (b.housing.mount == Mount::NewWork && !b.hit).then_some(())?;
            Some(Hung {
                id: LightId(i),
                light,
                housing: &b.housing,
                bay: light.bay.as_ref()?,
            })
        })
    }

    /// Of those, the ones with a member on both sides before the wall: those the bay checks
    /// speak of.
    pub fn carried(&self) -> impl Iterator<Item = Hung<'_>> {
        self.hung()
            .filter(|h| !unsupported(&h.bay.left) && !unsupported(&h.bay.right))
    }

    pub fn housing(&self, light: LightId) -> Option<&Luminaire> {
        self.beside.get(light.0).map(|b| &*b.housing)
    }

    pub fn rows(&self) -> impl Iterator<Item = (RowId, &'a Row)> {
        self.plan.rows.iter().enumerate().map(|(i, row)| (RowId(i), row))
    }

    /// A member as the message names it: `joist M4`.
    pub fn call(&self, id: MemberId) -> String {
        let kind = self.plan.members.get(id.0).map_or("member", |m| match m.kind {
            MemberKind::Joist => "joist",
            MemberKind::Truss => "truss",
            MemberKind::Beam => "beam",
            MemberKind::Header => "header",
            MemberKind::Block => "block",
        });
        format!("{kind} {id}")
    }
}

/// Radius that must be clear of members: the opening, and for old-work the clips around it.
pub fn hole(housing: &Luminaire) -> f64 {
    match housing.mount {
        Mount::NewWork => housing.opening / 2.0,
        Mount::OldWork => housing.opening / 2.0 + housing.clip,
    }
}

/// Unit vector of a row, looking from its first light to its last; `None` for a row of no length.
pub fn direction(row: &Row) -> Option<Coord> {
    let d = row.to - row.from;
    let long = d.x.hypot(d.y);
    (long > EPSILON && long.is_finite()).then(|| d / long)
}

/// The names of a row's first and last light, to say which way one looks along it.
pub fn looking(row: &Row) -> String {
    match (row.lights.first(), row.lights.last()) {
        (Some(first), Some(last)) => format!("looking from {first} to {last}"),
        _ => "looking along it".into(),
    }
}

/// Distance from a point to a member's outline, a rectangle around its centreline; negative
/// inside, by the shortest way out.
pub fn outline_distance(member: &Member, at: Coord) -> f64 {
    let run = member.to - member.from;
    let long = run.x.hypot(run.y);
    let along = if long > 0.0 {
        run / long
    } else {
        Coord { x: 1.0, y: 0.0 }
    };
    let from_middle = at - (member.from + run / 2.0);
    let out = |c: f64, half: f64| c.abs() - half;
    let x = out(from_middle.x * along.x + from_middle.y * along.y, long / 2.0);
    let y = out(
        from_middle.y * along.x - from_middle.x * along.y,
        member.thickness / 2.0,
    );
    if x <= 0.0 && y <= 0.0 {
        x.max(y)
    } else {
        x.max(0.0).hypot(y.max(0.0))
    }
}

/// Members by their bounding boxes.
struct Index(RTree<GeomWithData<Rectangle<[f64; 2]>, usize>>);

impl Index {
    fn new(members: &[Member]) -> Self {
        let boxes = members.iter().enumerate().filter_map(|(i, m)| {
            let half = m.thickness.abs() / 2.0;
            let low = [m.from.x.min(m.to.x) - half, m.from.y.min(m.to.y) - half];
            let high = [m.from.x.max(m.to.x) + half, m.from.y.max(m.to.y) + half];
            // The tree cannot order what is not a number; such a member is nowhere.
            let sound = low.iter().chain(&high).all(|c| c.is_finite());
            sound.then(|| GeomWithData::new(Rectangle::from_corners(low, high), i))
        });
        Index(RTree::bulk_load(boxes.collect()))
    }

    /// Members whose outline is within `reach` of `at`, nearest first, then by id.
    fn near(&self, members: &[Member], at: Coord, reach: f64) -> Vec<Near> {
        if !(at.x.is_finite() && at.y.is_finite() && reach.is_finite()) {
            return Vec::new();
        }
        let around = AABB::from_corners([at.x - reach, at.y - reach], [at.x + reach, at.y + reach]);
        let found = self.0.locate_in_envelope_intersecting(around);
        let mut near: Vec<Near> = found
            .filter_map(|g| {
                let distance = outline_distance(members.get(g.data)?, at);
                (distance <= reach).then_some(Near {
                    member: MemberId(g.data),
                    distance,
                })
            })
            .collect();
        near.sort_by(|a, b| a.distance.total_cmp(&b.distance).then(a.member.cmp(&b.member)));
        near
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::plan::notation::parse;

    #[test]
    fn the_way_out_of_a_member() {
        let plan = parse("member joist (0,0) (0,100) t=1 1/2").unwrap();
        let to = |x, y| outline_distance(&plan.members[0], Coord { x, y });
        assert_eq!(to(0.0, 50.0), -0.75);
        assert_eq!(to(0.0, 99.9), -0.09999999999999432);
        assert_eq!(to(4.75, 50.0), 4.0);
        assert_eq!(to(-3.75, 104.0), 5.0);
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn the_index_agrees_with_looking_at_every_member(
            members in prop::collection::vec(((-200.0..200.0f64, -200.0..200.0f64), (-200.0..200.0f64, -200.0..200.0f64), 0.0..6.0f64), 0..60),
            at in (-200.0..200.0f64, -200.0..200.0f64),
            reach in 0.0..20.0f64,
        ) {
            let mut plan = parse("").unwrap();
            let joist = parse("member joist (0,0) (0,1)").unwrap().members.remove(0);
            plan.members = members.into_iter().map(|(from, to, thickness)| Member {
                from: from.into(), to: to.into(), thickness, ..joist.clone()
            }).collect();
            let at = Coord::from(at);
            let got = Index::new(&plan.members).near(&plan.members, at, reach);
            let mut all: Vec<(f64, usize)> = plan.members.iter().enumerate()
                .map(|(i, m)| (outline_distance(m, at), i)).filter(|(d, _)| *d <= reach).collect();
            all.sort_by(|a, b| a.partial_cmp(b).unwrap());
            let got: Vec<(f64, usize)> = got.into_iter().map(|n| (n.distance, n.member.0)).collect();
            prop_assert_eq!(got, all);
        }
    }
}
