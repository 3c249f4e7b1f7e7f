//! Whether a light can hang at a place: by the checks themselves, and by what the members that run past
//! it rule out beforehand.

use std::collections::BTreeSet;

use geo::{Coord, Vector2DOps};

use super::hold::extent;
use super::layout::Layout;
use crate::check::device_clash::in_the_way;
use crate::check::footprint::Devices;
use crate::check::work::{Hung, UPON_WALL, hole, outline_distance, unsupported};
use crate::check::{EPSILON, Kind};
use crate::geom::{FUZZ, unit};
use crate::plan::{Light, LightId, Member, MemberKind, Plan, RoomId};
use crate::recognise::bays::{Near, bay};
use crate::recognise::room_of;
use crate::remedy::judge::is_near;
use crate::rules::{Luminaire, Mount, Rules};

/// Members this far from where a light may come are looked at, inches: more than any bay.
const AROUND: f64 = 120.0;
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

/// Members that run past everywhere a light may come, square to an axis: for them only the place on that
/// axis counts.
pub struct Past {
    /// Faces along the axis, low and high, in order.
    spans: Vec<(f64, f64)>,
    /// Nothing else is there that a bay could depend on.
    alone: bool,
    housing: Luminaire,
    combustible: f64,
    /// What the housing must have to spare, negative where it may be short, and the bay at least.
    spare: f64,
    clear: f64,
    /// Where its room begins and ends on the axis, known for rectangles.
    room: Option<(f64, f64)>,
    /// Whether it may be where blocking is wanted: for missing support, for width.
    bare: bool,
    wide: bool,
}

/// Which axis of a layout.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Axis {
    Along,
    Across,
}

impl Past {
    pub fn new(
        plan: &Plan,
        layout: &Layout,
        (light, had): (LightId, &BTreeSet<Kind>),
        axis: Axis,
        reach: f64,
        rules: &Rules,
    ) -> Option<Past> {
        let it = plan.lights.get(light.0)?;
        let housing = rules.luminaire(it);
        let at = layout.seen(it.at);
        let (place, other, way) = match axis {
            Axis::Along => (at.x, at.y, layout.v),
            Axis::Across => (at.y, at.x, layout.u),
        };
        let wide = hole(&housing)
            .max(housing.body / 2.0 + rules.tolerance.combustible)
            .max(housing.half_width);
        let mut spans = Vec::new();
        let mut alone = true;
        for member in &plan.members {
            if !is_near(&[member.from, member.to], AROUND + reach, it.at) {
                continue;
            }
            let (a, b) = (layout.seen(member.from), layout.seen(member.to));
            let seen = |p: Coord| {
                if axis == Axis::Along {
                    (p.x, p.y)
                } else {
                    (p.y, p.x)
                }
            };
            let ((x0, y0), (x1, y1)) = (seen(a), seen(b));
            let straight = unit(member.to - member.from).is_some_and(|d| d.wedge_product(way).abs() < 1e-7);
            let past = y0.min(y1) <= other - reach - wide - FUZZ && y0.max(y1) >= other + reach + wide + FUZZ;
            if straight && past {
                let (middle, half) = ((x0 + x1) / 2.0, member.thickness / 2.0);
                spans.push((middle - half, middle + half));
                alone &= carries(member);
            } else {
                alone = false;
            }
        }
        spans.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
        let near = |s: &(f64, f64)| s.1 >= place - reach - AROUND && s.0 <= place + reach + AROUND;
        spans.retain(near);
        let gain = rules.tolerance.tab_gain;
        let had = |kind: Kind| had.contains(&kind);
        Some(Past {
            spans,
            alone,
            combustible: rules.tolerance.combustible,
            spare: if had(Kind::HardAgainst) { -gain } else { gain },
            clear: if had(Kind::TrimBars) {
                housing.bars.trimmed
            } else {
                housing.bars.least
            },
            room: it
                .room
                .and_then(|r| plan.rooms.get(r.0))
                .and_then(|r| extent(r, layout, axis)),
            bare: had(Kind::NoSupport),
            wide: had(Kind::WideBay),
            housing,
        })
    }

    /// Whether the light can hang at a place on the axis, whatever its place on the other; where that is not
    /// known, yes.
    pub fn open(&self, x: f64) -> bool {
        if self
            .room
            .is_some_and(|(low, high)| x < low - FUZZ || x > high + FUZZ)
        {
            return false;
        }
        let beyond = self.spans.partition_point(|s| s.0 < x);
        let right = self.spans.get(beyond).map_or(f64::INFINITY, |s| s.0 - x);
        // Of members that begin before x the furthest end counts; few overlap.
        let left = self.spans.get(..beyond).unwrap_or_default();
        let left = left
            .iter()
            .rev()
            .take(4)
            .map(|s| x - s.1)
            .fold(f64::INFINITY, f64::min);
        let nearest = left.min(right);
        if hole(&self.housing) - nearest > FUZZ {
            return false;
        }
        if !self.housing.ic && nearest - self.housing.body / 2.0 < self.combustible - FUZZ {
            return false;
        }
        let clear = left + right;
        if !self.alone || self.housing.mount == Mount::OldWork {
            return true;
        }
        // A member beyond the wall carries nothing; without a known wall it is not told.
        let beyond = |far: f64, wall: f64| far > wall + UPON_WALL + FUZZ;
        let bare = self
            .room
            .is_some_and(|(low, high)| beyond(left, x - low) || beyond(right, high - x));
        let wide = clear > self.housing.bars.greatest + FUZZ;
        if bare || wide {
            return if bare {
                self.bare
            } else {
                self.wide || clear == f64::INFINITY
            };
        }
        let fit = |a: f64, b: f64| (a - self.housing.short_side).min(b - self.housing.box_side);
        let spare = fit(left, right).max(fit(right, left));
        spare >= self.spare - FUZZ && clear >= self.clear - FUZZ
    }
}

/// Whether a bay is told by such a member; beams, headers and blocks tell none where joists are.
fn carries(member: &Member) -> bool {
    matches!(member.kind, MemberKind::Joist | MemberKind::Truss)
}
