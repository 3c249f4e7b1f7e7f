//! A plan with some of its lights moved, related and checked: what the search for moves asks for many thousand
//! times. What stays as it is while lights move is worked out once, and of the lights only those that move, and the
//! rows of their rooms, are related anew.

use std::cell::Cell;
use std::collections::BTreeSet;

use geo::{Coord, Vector2DOps};

use crate::check::work::Ground;
use crate::check::{Finding, check_in_short};
use crate::plan::{LightId, Plan, RoomId, RowId};
use crate::recognise::RoomsByPlace;
use crate::recognise::bays::{Near, bay};
use crate::recognise::rows::rows_in;
use crate::rules::Rules;

/// Furthest move that is related so, inches: the index of the members reaches so far beyond the plan.
const FURTHEST: f64 = 96.0;

/// What of a plan stays as it is while its lights move.
pub(super) struct Still {
    ground: Ground,
    near: Near,
    rooms: RoomsByPlace,
    /// The plan with lights moved, kept from one time to the next.
    there: Cell<Option<Box<Plan>>>,
}

impl Still {
    /// Of a plan that is related.
    pub fn of(plan: &Plan) -> Still {
        Still {
            ground: Ground::of(plan),
            // A diagonal grows by no more than twice what one of its ends moves.
            near: Near::new(plan).wider(4.0 * FURTHEST),
            rooms: RoomsByPlace::new(&plan.rooms),
            there: Cell::new(None),
        }
    }

    pub fn ground(&self) -> &Ground {
        &self.ground
    }

    /// What `tell` says of the plan with these lights moved, related and checked. `plan` is the one that this was made
    /// of, as it is. `None` where only relating all of it will do.
    pub fn moved<T>(
        &self,
        plan: &Plan,
        lights: &[LightId],
        to: &[Coord],
        rules: &Rules,
        tell: impl FnOnce(&Plan, &[Finding]) -> T,
    ) -> Option<T> {
        // Which rooms' framing is only written of depends on which have lights.
        if !plan.callouts.is_empty() {
            return None;
        }
        let near_by = |(id, to): (&LightId, &Coord)| {
            let at = plan.lights.get(id.0).map(|l| l.at);
            at.is_some_and(|at| (*to - at).magnitude() <= FURTHEST)
        };
        if !lights.iter().zip(to).all(near_by) {
            return None;
        }
        let mut there = self.there.take().unwrap_or_else(|| Box::new(plan.clone()));
        let mut touched: BTreeSet<Option<RoomId>> = BTreeSet::new();
        for (id, &to) in lights.iter().zip(to) {
            let room = self.rooms.of(&plan.rooms, to).map(RoomId);
            let Some(light) = there.lights.get_mut(id.0) else {
                continue;
            };
            touched.extend([light.room, room]);
            (light.at, light.room) = (to, room);
        }
        for id in lights.iter().take(to.len()) {
            let found = there.lights.get(id.0).map(|l| bay(&there, &self.near, l, rules));
            if let (Some(light), Some(found)) = (there.lights.get_mut(id.0), found) {
                light.bay = found;
            }
        }
        let rooms = (0..plan.rooms.len()).map(|i| Some(RoomId(i)));
        let mut rows = Vec::new();
        for room in rooms.chain([None]) {
            if touched.contains(&room) {
                rows.extend(rows_in(&there, room, rules));
            } else {
                rows.extend(plan.rows.iter().filter(|r| r.room == room).cloned());
            }
        }
        there.lights.iter_mut().for_each(|l| l.rows.clear());
        for (r, row) in rows.iter().enumerate() {
            for id in &row.lights {
                if let Some(light) = there.lights.get_mut(id.0) {
                    light.rows.push(RowId(r));
                }
            }
        }
        there.rows = rows;
        let found = check_in_short(&there, rules, &self.ground);
        let told = tell(&there, &found);
        for id in lights {
            if let (Some(light), Some(was)) = (there.lights.get_mut(id.0), plan.lights.get(id.0)) {
                light.at = was.at;
                light.room = was.room;
                light.bay.clone_from(&was.bay);
            }
        }
        self.there.set(Some(there));
        Some(told)
    }
}

#[cfg(test)]
mod tests {
    use std::fmt::Write;

    use proptest::prelude::*;

    use super::*;
    use crate::check::check;
    use crate::plan::notation::parse;
    use crate::recognise::relate;

    /// Two rooms side by side, joists either way in them, blocks and devices between, lights in rows that are not quite
    /// even and some beside the rooms.
    fn plans() -> impl Strategy<Value = Plan> {
        let jitter = || prop_oneof![3 => Just(0.0), 2 => -3.0..3.0_f64];
        (
            (0.0..16.0_f64, prop_oneof![Just(16.0), Just(24.0)], any::<bool>()),
            prop::collection::vec((0..200_i32, 0..100_i32, any::<bool>()), 0..4),
            prop::collection::vec((jitter(), jitter()), 12..=12),
            (20.0..60.0_f64, 20.0..40.0_f64),
        )
            .prop_map(|((first, apart, along), others, off, (pitch, across))| {
                let mut text = String::from(
                    "room (0,0) (200,0) (200,100) (0,100)\nroom inferred (205,0) (400,0) (400,100) (205,100)\n\
                     wall (0,0) (400,0)\nwall (400,100) (0,100)\n",
                );
                for k in 0..13 {
                    let x = first + apart * f64::from(k);
                    writeln!(text, "member joist ({x},-4) ({x},104)").unwrap();
                    let (x, y) = (205.0 + x, x / 3.0);
                    match along {
                        true => writeln!(text, "member truss ({x},-4) ({x},104)").unwrap(),
                        false => writeln!(text, "member joist (200,{y}) (405,{y})").unwrap(),
                    }
                }
                for (x, y, block) in others {
                    match block {
                        true => writeln!(text, "member block ({x},{y}) ({},{y})", f64::from(x) + apart),
                        false => writeln!(text, "device \"DIFFUSER\" ({x},{y}) ({0},{y}) ({0},{1})", x + 12, y + 12),
                    }
                    .unwrap();
                }
                for (k, (dx, dy)) in off.into_iter().enumerate() {
                    let (i, j) = ((k % 6) as f64, (k / 6) as f64);
                    let (x, y) = (20.0 + i * pitch + dx, 30.0 + j * across + dy);
                    writeln!(text, "light ({x},{y}) tag=A").unwrap();
                }
                let mut plan = parse(&text).unwrap();
                relate(&mut plan, &Rules::default());
                plan
            })
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, cases: 120, ..ProptestConfig::default() })]

        #[test]
        fn it_is_as_if_all_of_the_plan_were_related_and_checked_anew(
            plan in plans(),
            moves in prop::collection::vec(prop::collection::btree_map(0..12_usize, (-90..90_i32, -40..40_i32), 1..5), 1..5),
        ) {
            let rules = Rules::default();
            let still = Still::of(&plan);
            // One after the other, so that nothing of the one before is left.
            for moved in moves {
                let ids: Vec<LightId> = moved.keys().map(|i| LightId(*i)).collect();
                let to: Vec<Coord> = (moved.iter())
                    .map(|(i, (x, y))| plan.lights[*i].at + Coord { x: f64::from(*x), y: f64::from(*y) } / 2.0)
                    .collect();
                let mut anew = plan.clone();
                for (id, at) in ids.iter().zip(&to) {
                    anew.lights[id.0].at = *at;
                }
                relate(&mut anew, &rules);
                let mut found = check(&anew, &rules);
                found.iter_mut().for_each(|f| f.message.clear());
                let told = still.moved(&plan, &ids, &to, &rules, |there, after| {
                    (there.clone(), after.to_vec())
                });
                prop_assert_eq!(told, Some((anew, found)));
            }
        }
    }

    #[test]
    fn what_depends_on_all_of_the_plan_is_left_to_relating_all() {
        let rules = Rules::default();
        let mut plan = parse("room (0,0) (200,0) (200,100) (0,100)\nlight (50,50)").unwrap();
        relate(&mut plan, &rules);
        let asked = |plan: &Plan, x: f64| {
            let to = [Coord { x, y: 50.0 }];
            Still::of(plan).moved(plan, &[LightId(0)], &to, &rules, |_, _| ())
        };
        assert_eq!(asked(&plan, 60.0), Some(()));
        assert_eq!(asked(&plan, 50.0 + FURTHEST + 1.0), None);
        assert_eq!(asked(&plan, f64::NAN), None);
        let written = parse("callout joist \"2x10 @ 16 O.C.\" (90,20) spacing=16 along=(0,1)").unwrap();
        plan.callouts = written.callouts;
        assert_eq!(asked(&plan, 60.0), None);
    }
}
