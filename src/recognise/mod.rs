//! Flat geometry to a plan: lights, framing, rooms, rows, bays.

use crate::flatten::Flat;
use crate::note::Note;
use crate::plan::{Plan, Units};
use crate::rules::Rules;

pub mod rows;
pub mod units;

/// What the drawing shows. Everything of `flat` is claimed by a class or listed in `unclaimed`.
pub fn recognise(flat: &Flat, units: &Units, rules: &Rules) -> (Plan, Vec<Note>) {
    let _ = (flat, units, rules);
    todo!("recognise helper")
}

/// Works out anew what follows from lights, members, rooms and walls: each light's room and bay,
/// and all rows. Lights, members, rooms keep their ids. Used by `recognise` and after a remedy.
pub fn relate(plan: &mut Plan, rules: &Rules) {
    let _ = (plan, rules);
    todo!("recognise helper")
}
