//! What follows from lights, members, rooms and walls: rooms of lights, bays, rows.

use std::collections::BTreeSet;

use super::bays::{Near, bay};
use super::callouts::only::{only_written, unframed};
use super::rooms::room_of;
use super::rows;
use crate::plan::{Plan, RoomId, RowId};
use crate::rules::Rules;

/// Works out anew what follows from lights, members, rooms and walls: each light's room and bay,
/// and all rows. Lights, members, rooms keep their ids. Used by `recognise` and after a remedy.
pub fn relate(plan: &mut Plan, rules: &Rules) {
    for i in 0..plan.lights.len() {
        plan.lights[i].room = room_of(&plan.rooms, plan.lights[i].at).map(RoomId);
        plan.lights[i].rows.clear();
    }
    bays(plan, rules);
    plan.rows = rows::rows(plan, rules);
    for (r, row) in plan.rows.iter().enumerate() {
        for id in &row.lights {
            if let Some(light) = plan.lights.get_mut(id.0) {
                light.rows.push(RowId(r));
            }
        }
    }
}

/// Works out each light's bay anew: all that members alone decide.
pub(crate) fn bays(plan: &mut Plan, rules: &Rules) {
    let near = Near::new(plan);
    let lit: BTreeSet<RoomId> = plan.lights.iter().filter_map(|l| l.room).collect();
    // Where framing is only written of, or not drawn at all, what is drawn beyond the walls is not what a light hangs
    // from.
    let written: BTreeSet<RoomId> = (lit.into_iter())
        .filter(|r| only_written(plan, *r) || unframed(plan, *r))
        .collect();
    let bays: Vec<_> = plan
        .lights
        .iter()
        .map(|light| match light.room {
            Some(room) if written.contains(&room) => None,
            _ => bay(plan, &near, light, rules),
        })
        .collect();
    for (light, bay) in plan.lights.iter_mut().zip(bays) {
        light.bay = bay;
    }
}
