//! Whether a light can hang at a place, by the checks themselves.

use std::collections::BTreeSet;

use geo::Coord;

use crate::check::device_clash::in_the_way;
use crate::check::footprint::Devices;
use crate::check::work::{Hung, hole, outline_distance, unsupported};
use crate::check::{EPSILON, Kind};
use crate::plan::{Light, LightId, Plan, RoomId};
use crate::recognise::bays::{Near, bay};
use crate::recognise::room_of;
use crate::remedy::judge::is_near;
use crate::rules::{Luminaire, Mount, Rules};

/// Members this far from where a light may come are looked at, inches: more than any bay.
pub const AROUND: f64 = 120.0;
/// Blocking of one light that hangs in a wide bay or has no member on a side: a piece on each side of it.
pub const PIECES: u32 = 2;

/// One light with what is around it.
pub struct Spot {
    /// The light alone, with the members, walls and devices near it.
    plan: Plan,
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
            near: Near::new(&plan),
            devices: Devices::new(&plan.obstacles),
            housing: rules.luminaire(it),
            plan,
            had,
        })
    }

    /// Pieces of blocking that the light wants at a place; `None` where it cannot hang there, or stands in
    /// another room. What the checks say, without their messages.
    pub fn pieces(&self, at: Coord, rules: &Rules) -> Option<u32> {
        let was = self.plan.lights.first()?;
        if room_of(&self.plan.rooms, at).map(RoomId) != was.room {
            return None;
        }
        let light = Light { at, ..was.clone() };
        let (housing, tolerance) = (&self.housing, &rules.tolerance);
        let members = self.plan.members.iter();
        let nearest = members
            .map(|m| outline_distance(m, at))
            .fold(f64::INFINITY, f64::min);
        if hole(housing) - nearest > EPSILON {
            return None;
        }
        let gap = (nearest - housing.body / 2.0).max(0.0);
        if !housing.ic && gap < tolerance.combustible - EPSILON {
            return None;
        }
        let bay = bay(&self.plan, &self.near, &light, rules);
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
            light: &light,
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
