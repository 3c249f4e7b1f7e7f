//! What the members that run past everywhere a light may come rule out, whatever its place on the other axis.

use std::collections::BTreeSet;

use geo::{Coord, Vector2DOps};

use super::hold::extent;
use super::layout::Layout;
use super::spot::{AROUND, PIECES};
use crate::check::Kind;
use crate::check::work::{UPON_WALL, hole};
use crate::geom::{FUZZ, unit};
use crate::plan::{LightId, Member, MemberKind, Plan};
use crate::recognise::FRAMING_REACH;
use crate::remedy::judge::is_near;
use crate::rules::{Luminaire, Mount, Rules};

/// Which axis of a layout.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Axis {
    Along,
    Across,
}

impl Axis {
    /// Of a point of the layout's own directions: its place on the axis, and on the other one.
    fn split(self, p: Coord) -> (f64, f64) {
        match self {
            Axis::Along => (p.x, p.y),
            Axis::Across => (p.y, p.x),
        }
    }
}

/// Members that run past everywhere a light may come, square to an axis: for them only the place on that
/// axis counts.
pub struct Past {
    /// Faces along the axis, low and high, in order.
    spans: Vec<(f64, f64)>,
    /// Whether the members that run past tell the bay, as long as it is narrower than `rival`.
    tell: bool,
    /// What a bay is at least between members that run otherwise beyond where the light may come, inches.
    rival: f64,
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
        let (place, other) = axis.split(layout.seen(it.at));
        let way = match axis {
            Axis::Along => layout.v,
            Axis::Across => layout.u,
        };
        // It stays in its room.
        let room = it.room.and_then(|r| plan.rooms.get(r.0));
        let (mut low, mut high) = (other - reach, other + reach);
        if let Some((least, most)) = room.and_then(|r| {
            let ordinates = r.outline.iter().map(|p| axis.split(layout.seen(*p)).1);
            span(ordinates)
        }) {
            (low, high) = (low.max(least).min(other), high.min(most).max(other));
        }
        let wide = hole(&housing)
            .max(housing.body / 2.0 + rules.tolerance.combustible)
            .max(housing.half_width);
        let mut spans = Vec::new();
        let mut tell = true;
        let mut rival = f64::INFINITY;
        let mut cross_piece = false;
        for member in &plan.members {
            if !is_near(&[member.from, member.to], AROUND + reach, it.at) {
                continue;
            }
            let ((x0, y0), (x1, y1)) = (
                axis.split(layout.seen(member.from)),
                axis.split(layout.seen(member.to)),
            );
            let half = member.thickness / 2.0;
            let straight = unit(member.to - member.from).is_some_and(|d| d.wedge_product(way).abs() < 1e-7);
            if straight && y0.min(y1) <= low - FUZZ && y0.max(y1) >= high + FUZZ {
                let middle = (x0 + x1) / 2.0;
                spans.push((middle - half, middle + half));
                cross_piece |= !carries(member);
                // The bars may hang from blocks instead.
                tell &= member.kind != MemberKind::Block;
                continue;
            }
            // How far beyond where the light may come; no light's band or hole meets it from there.
            let beyond = (low - y0.max(y1)).max(y0.min(y1) - high) - if straight { 0.0 } else { half };
            if beyond < wide + FUZZ || member.kind == MemberKind::Block {
                tell = false;
            } else if !straight && beyond <= FRAMING_REACH + FUZZ {
                // A bay between such members has the light in it, and one on either side.
                rival = rival.min(2.0 * (beyond - FUZZ));
            }
        }
        spans.sort_by(|a: &(f64, f64), b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
        let near = |s: &(f64, f64)| s.1 >= place - reach - AROUND && s.0 <= place + reach + AROUND;
        spans.retain(near);
        let gain = rules.tolerance.tab_gain;
        let had = |kind: Kind| had.contains(&kind);
        Some(Past {
            spans,
            // Whose direction it is, is told by joists alone where both kinds run past.
            tell: tell && !(cross_piece && rival.is_finite()),
            rival,
            combustible: rules.tolerance.combustible,
            spare: if had(Kind::HardAgainst) { -gain } else { gain },
            clear: if had(Kind::TrimBars) {
                housing.bars.trimmed
            } else {
                housing.bars.least
            },
            room: room.and_then(|r| extent(r, layout, axis)),
            bare: had(Kind::NoSupport),
            wide: had(Kind::WideBay),
            housing,
        })
    }

    /// Pieces of blocking that the light wants at least at a place on the axis, whatever its place on the
    /// other; `None` where it can hang nowhere there.
    pub fn pieces(&self, x: f64) -> Option<u32> {
        let outside = |(low, high): (f64, f64)| x < low - FUZZ || x > high + FUZZ;
        if self.room.is_some_and(outside) {
            return None;
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
            return None;
        }
        if !self.housing.ic && nearest - self.housing.body / 2.0 < self.combustible - FUZZ {
            return None;
        }
        let clear = left + right;
        if !self.tells(left, right) || self.housing.mount == Mount::OldWork {
            return Some(0);
        }
        let wide = clear > self.housing.bars.greatest + FUZZ;
        let blocked = |may: bool| may.then_some(PIECES);
        match self.room {
            // A member beyond the wall carries nothing.
            Some((low, high)) => {
                let beyond = |far: f64, wall: f64| far > wall + UPON_WALL + FUZZ;
                if beyond(left, x - low) || beyond(right, high - x) {
                    return blocked(self.bare);
                }
                if wide {
                    return blocked(self.wide);
                }
            }
            // Which of the two it is, is not told without a known wall.
            None if wide => return blocked(self.bare || self.wide),
            None => {}
        }
        let fit = |a: f64, b: f64| (a - self.housing.short_side).min(b - self.housing.box_side);
        let spare = fit(left, right).max(fit(right, left));
        (spare >= self.spare - FUZZ && clear >= self.clear - FUZZ).then_some(0)
    }

    /// Whether the bay at a place is the one between the members that run past.
    fn tells(&self, left: f64, right: f64) -> bool {
        let (near, far) = (left.min(right), left.max(right));
        // One with a member on a side only stands back behind one that has two.
        let first = self.rival == f64::INFINITY || far <= FRAMING_REACH - FUZZ && left + right < self.rival;
        self.tell && near <= FRAMING_REACH - FUZZ && first
    }
}

/// Whether a bay is told by such a member; beams, headers and blocks tell none where joists are.
fn carries(member: &Member) -> bool {
    matches!(member.kind, MemberKind::Joist | MemberKind::Truss)
}

/// Least and greatest; `None` of none.
fn span(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| {
        (l.min(v), h.max(v))
    });
    (low <= high).then_some((low, high))
}

#[cfg(test)]
mod tests {
    use std::fmt::Write;

    use proptest::prelude::*;

    use super::super::layout::layout;
    use super::super::spot::Spot;
    use super::*;
    use crate::plan::notation::parse;
    use crate::recognise::relate;

    /// A room with joists in it, rooms above and below with joists either way, and what else may stand
    /// about: headers, a beam, blocks.
    #[derive(Clone, Debug)]
    struct House {
        room: (f64, f64),
        drawn: bool,
        joists: (f64, f64),
        /// How far beyond the room's walls joists run; negative: they end short of them.
        ends: f64,
        beside: Option<(bool, f64)>,
        others: Vec<(u8, f64, f64)>,
        lights: f64,
    }

    fn houses() -> impl Strategy<Value = House> {
        (
            (90.0..200.0_f64, 40.0..150.0_f64, any::<bool>()),
            (
                0.0..16.0_f64,
                prop_oneof![Just(16.0), Just(19.2), Just(24.0), 10.0..60.0_f64],
            ),
            prop_oneof![3 => Just(4.5), 1 => -20.0..40.0_f64],
            prop::option::of((any::<bool>(), 0.0..30.0_f64)),
            prop::collection::vec((0..4_u8, 0.0..1.0_f64, 0.0..1.0_f64), 0..3),
            0.1..0.9_f64,
        )
            .prop_map(|((w, h, drawn), joists, ends, beside, others, lights)| House {
                room: (w, h),
                drawn,
                joists,
                ends,
                beside,
                others,
                lights,
            })
    }

    fn drawn(house: &House) -> Plan {
        let (w, h) = house.room;
        let mut text = format!("room (0,0) ({w},0) ({w},{h}) (0,{h})\n");
        let (first, pitch) = house.joists;
        let every = |low: f64, high: f64| {
            let count = ((high - low) / pitch).max(0.0) as usize;
            (0..=count).map(move |k| low + pitch * k as f64)
        };
        for x in every(first - 5.0 * pitch, w + 80.0) {
            writeln!(
                text,
                "member joist ({x},{}) ({x},{})",
                -house.ends,
                h + house.ends
            )
            .unwrap();
        }
        if let Some((along, gap)) = house.beside {
            for (low, high) in [(-100.0 - gap, -gap), (h + gap, h + gap + 100.0)] {
                if along {
                    for x in every(first, w) {
                        writeln!(text, "member joist ({},{low}) ({},{high})", x + 3.0, x + 3.0).unwrap();
                    }
                } else {
                    for y in every(low, high) {
                        writeln!(text, "member joist (-20,{y}) ({},{y})", w + 20.0).unwrap();
                    }
                }
            }
        }
        for &(kind, a, b) in &house.others {
            let (x, y) = (a * w, b * h);
            match kind {
                0 => writeln!(text, "member header (0,{y}) ({w},{y}) t=3 1/2"),
                1 => writeln!(text, "member beam ({x},-10) ({x},{}) t=3 1/2", h + 10.0),
                2 => writeln!(text, "member block ({x},{y}) ({},{y})", x + pitch - 1.5),
                _ => writeln!(text, "member joist ({x},{y}) ({},{})", x + 60.0, y + 45.0),
            }
            .unwrap();
        }
        for k in 0..3 {
            writeln!(
                text,
                "light ({},{})",
                w * (0.2 + 0.3 * f64::from(k)),
                h * house.lights
            )
            .unwrap();
        }
        let mut plan = parse(&text).unwrap();
        plan.rooms[0].drawn = house.drawn;
        relate(&mut plan, &Rules::default());
        plan
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, cases: 60, ..ProptestConfig::default() })]

        #[test]
        fn it_rules_out_nothing_that_a_place_allows_and_counts_no_piece_too_many(
            house in houses(), had in 0..16_u32, across in any::<bool>(),
        ) {
            let plan = drawn(&house);
            let rules = Rules::default();
            let all: BTreeSet<LightId> = (0..3).map(LightId).collect();
            let Some(seated) = layout(&plan, &all) else { return Ok(()) };
            let kinds = [Kind::HardAgainst, Kind::TrimBars, Kind::WideBay, Kind::NoSupport];
            let had: BTreeSet<Kind> =
                (0..4).filter(|k| had >> k & 1 == 1).map(|k| kinds[k]).collect();
            let axis = if across { Axis::Across } else { Axis::Along };
            let reach = 24.0;
            for light in all {
                let past = Past::new(&plan, &seated, (light, &had), axis, reach, &rules).unwrap();
                let mut spot = Spot::new(&plan, light, reach, had.clone(), &rules).unwrap();
                let at = seated.seen(plan.lights[light.0].at);
                let ways = |k: i32| f64::from(k) * 1.5 + 0.04;
                for (i, j) in (-16..16).flat_map(|i| (-16..16).map(move |j| (i, j))) {
                    let to = at + Coord { x: ways(i), y: ways(j) };
                    let truth = spot.pieces(seated.world(to), &rules);
                    let said = past.pieces(axis.split(to).0);
                    if let Some(pieces) = truth {
                        prop_assert!(said.is_some_and(|s| s <= pieces), "{to:?} {said:?} {truth:?}");
                    }
                }
            }
        }
    }

    /// Joists that bear on the walls tell every place in the room.
    #[test]
    fn joists_from_wall_to_wall_tell_all() {
        let rules = Rules::default();
        let mut text = "room (0,0) (120,0) (120,60) (0,60)\n".to_string();
        for k in 0..8 {
            writeln!(text, "member joist ({0},-4) ({0},64)", 3.0 + 16.0 * f64::from(k)).unwrap();
            writeln!(text, "member joist ({0},70) ({0},164)", 9.0 + 16.0 * f64::from(k)).unwrap();
        }
        text += "light (30,30)\nlight (60,30)\nlight (90,30)\n";
        let mut plan = parse(&text).unwrap();
        relate(&mut plan, &rules);
        let all: BTreeSet<LightId> = (0..3).map(LightId).collect();
        let seated = layout(&plan, &all).unwrap();
        for light in all {
            let none = BTreeSet::new();
            let past = Past::new(&plan, &seated, (light, &none), Axis::Along, 24.0, &rules).unwrap();
            let mut spot = Spot::new(&plan, light, 24.0, none, &rules).unwrap();
            let at = seated.seen(plan.lights[light.0].at);
            assert!(past.tell);
            for k in -40..=40 {
                let to = at
                    + Coord {
                        x: f64::from(k) * 0.6,
                        y: 0.0,
                    };
                assert_eq!(past.pieces(to.x), spot.pieces(seated.world(to), &rules), "{to:?}");
            }
        }
    }
}
