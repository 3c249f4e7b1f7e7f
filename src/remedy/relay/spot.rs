//! Whether a light can hang at a place, by the checks themselves.

use std::collections::BTreeSet;

use geo::{Coord, Vector2DOps};

use crate::check::device_clash::in_the_way;
use crate::check::footprint::Devices;
use crate::check::work::{Hung, hole, unsupported};
use crate::check::{EPSILON, Kind};
use crate::geom::unit;
use crate::plan::{Light, LightId, Member, Plan, RoomId};
use crate::recognise::RoomsByPlace;
use crate::recognise::bays::{Near, bay_of};
use crate::remedy::judge::is_near;
use crate::rules::{Luminaire, Mount, Rules};

/// Members this far from where a light may come are looked at, inches: more than any bay.
pub const AROUND: f64 = 120.0;
/// Blocking of one light that hangs in a wide bay or has no member on a side: a piece on each side of it.
pub const PIECES: u32 = 2;

/// One light with what is around it. It is asked about hundreds of thousands of places, so that what does not
/// change with the place is worked out once.
pub struct Spot {
    /// The light alone, with the members, walls and devices near it.
    plan: Plan,
    /// The light, at the place that is looked at.
    there: Light,
    rooms: RoomsByPlace,
    bodies: Vec<Body>,
    near: Near,
    devices: Devices,
    housing: Luminaire,
    /// Kinds of findings it has where it stands: those it may keep, unless they are of severity `must`.
    had: BTreeSet<Kind>,
}

impl Spot {
    pub fn new(plan: &Plan, light: LightId, reach: f64, had: BTreeSet<Kind>, rules: &Rules) -> Option<Spot> {
        let it = plan.lights.get(light.0)?;
        let seen = |ends: &[Coord], view: f64| is_near(ends, view, it.at);
        let members = plan.members.iter();
        let walls = plan.walls.iter();
        let plan = Plan {
            units: plan.units.clone(),
            lights: vec![it.clone()],
            members: (members.filter(|m| seen(&[m.from, m.to], AROUND + reach + m.thickness)))
                .cloned()
                .collect(),
            callouts: Vec::new(),
            rooms: plan.rooms.clone(),
            openings: Vec::new(),
            walls: (walls.filter(|w| seen(&[w.0, w.1], AROUND + reach)))
                .copied()
                .collect(),
            axis: plan.axis,
            obstacles: (plan.obstacles.iter().filter(|o| seen(&o.outline, AROUND)))
                .cloned()
                .collect(),
            rows: Vec::new(),
            linework: Vec::new(),
            unclaimed: Vec::new(),
            counts: plan.counts,
        };
        Some(Spot {
            there: it.clone(),
            rooms: RoomsByPlace::new(&plan.rooms),
            bodies: plan.members.iter().map(Body::of).collect(),
            near: Near::new(&plan),
            devices: Devices::new(&plan.obstacles),
            housing: rules.luminaire(it),
            plan,
            had,
        })
    }

    /// Pieces of blocking that the light wants at a place; `None` where it cannot hang there, or stands in
    /// another room. What the checks say, without their messages.
    pub fn pieces(&mut self, at: Coord, rules: &Rules) -> Option<u32> {
        let (housing, tolerance) = (&self.housing, &rules.tolerance);
        let keep = match housing.ic {
            true => hole(housing),
            false => hole(housing).max(housing.body / 2.0 + tolerance.combustible),
        };
        let nearest = nearest(&self.bodies, at, keep);
        if hole(housing) - nearest > EPSILON {
            return None;
        }
        let gap = (nearest - housing.body / 2.0).max(0.0);
        if !housing.ic && gap < tolerance.combustible - EPSILON {
            return None;
        }
        let was = self.plan.lights.first()?;
        if self.rooms.of(&self.plan.rooms, at).map(RoomId) != was.room {
            return None;
        }
        self.there.at = at;
        let light = &self.there;
        let bay = bay_of(&self.plan, &self.near, light, housing);
        if was.bay.is_some() && bay.is_none() {
            return None;
        }
        let hung = bay.as_ref().filter(|_| housing.mount == Mount::NewWork);
        let along = hung.map(|b| b.along);
        if !in_the_way(&self.devices, at, housing, along).is_empty() {
            return None;
        }
        let Some(bay) = hung else { return Some(0) };
        let hung = Hung {
            id: LightId(0),
            light,
            housing,
            bay,
        };
        let (spare, clear) = (hung.spare(), hung.clear());
        let hard = spare < tolerance.tab_gain - EPSILON;
        if spare < -tolerance.tab_gain - EPSILON || hard && !self.had.contains(&Kind::HardAgainst) {
            return None;
        }
        let bare = unsupported(&bay.left) || unsupported(&bay.right);
        let wide = clear > housing.bars.greatest + EPSILON;
        // Blocking that it does not want where it stands would be a new finding.
        if bare && !self.had.contains(&Kind::NoSupport) || !bare && wide && !self.had.contains(&Kind::WideBay)
        {
            return None;
        }
        if bare || wide {
            return Some(PIECES);
        }
        let short = clear < housing.bars.least - EPSILON;
        if clear < housing.bars.trimmed - EPSILON || short && !self.had.contains(&Kind::TrimBars) {
            return None;
        }
        Some(0)
    }
}

/// A member's outline, measured.
struct Body {
    middle: Coord,
    along: Coord,
    half_length: f64,
    half_thickness: f64,
}

impl Body {
    fn of(member: &Member) -> Body {
        let run = member.to - member.from;
        Body {
            middle: member.from + run / 2.0,
            along: unit(run).unwrap_or(Coord { x: 1.0, y: 0.0 }),
            half_length: run.magnitude() / 2.0,
            half_thickness: member.thickness / 2.0,
        }
    }
}

/// Distance to the nearest outline as [`outline_distance`] has it, where that is no more than `reach`; else more
/// than that.
///
/// [`outline_distance`]: crate::check::work::outline_distance
fn nearest(bodies: &[Body], at: Coord, reach: f64) -> f64 {
    let mut nearest = f64::INFINITY;
    for body in bodies {
        let from_middle = at - body.middle;
        let y = from_middle.wedge_product(body.along).abs() - body.half_thickness;
        if y > reach {
            continue;
        }
        let x = from_middle.dot_product(body.along).abs() - body.half_length;
        if x > reach {
            continue;
        }
        nearest = nearest.min(match x <= 0.0 && y <= 0.0 {
            true => x.max(y),
            false => x.max(0.0).hypot(y.max(0.0)),
        });
    }
    nearest
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::check::work::outline_distance;
    use crate::plan::notation::parse;

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn the_nearest_member_is_the_one_that_measuring_all_finds(
            ends in prop::collection::vec(((-60.0..60.0f64, -60.0..60.0f64), (-60.0..60.0f64, -60.0..60.0f64), 0.0..6.0f64), 0..20),
            at in (-60.0..60.0f64, -60.0..60.0f64),
            reach in 0.0..20.0f64,
        ) {
            let joist = parse("member joist (0,0) (0,1)").unwrap().members.remove(0);
            let members: Vec<Member> = (ends.into_iter())
                .map(|(from, to, thickness)| Member { from: from.into(), to: to.into(), thickness, ..joist.clone() })
                .collect();
            let at = Coord::from(at);
            let bodies: Vec<Body> = members.iter().map(Body::of).collect();
            let got = nearest(&bodies, at, reach);
            let all = members.iter().map(|m| outline_distance(m, at)).fold(f64::INFINITY, f64::min);
            match all <= reach {
                true => prop_assert!((got - all).abs() < 1e-9, "{got} {all}"),
                false => prop_assert!(got > reach, "{got} {all}"),
            }
        }
    }
}
