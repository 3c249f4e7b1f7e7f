//! The spacing rule, which `wide-gap` and `wall-gap` share.

use super::work::Work;
use crate::plan::{LightId, Room, RoomId};
use crate::rules::{Luminaire, Rules};

/// Height of the work plane above the floor, where a spacing criterion is given: 30 in (the
/// usual one for rooms; from memory of the IES handbook).
pub const WORK_PLANE: f64 = 30.0;

/// Greatest spacing for a light, inches: as many feet as the aperture has inches (common
/// practice), or the spacing criterion times the height above the work plane, where both that
/// and the ceiling are known.
pub fn greatest(work: &Work<'_>, light: LightId, room: Option<RoomId>) -> Option<f64> {
    let room = room.and_then(|r| work.plan.rooms.get(r.0));
    Some(greatest_of(work.rules, work.housing(light)?, room))
}

/// The same of a housing in a room.
pub fn greatest_of(rules: &Rules, housing: &Luminaire, room: Option<&Room>) -> f64 {
    let spacing = &rules.spacing;
    let height = room
        .and_then(|r| r.ceiling)
        .map(|c| c - WORK_PLANE)
        .filter(|h| *h > 0.0);
    match (spacing.criterion, height) {
        (Some(criterion), Some(height)) => criterion * height,
        _ => 12.0 * spacing.feet_per_inch * housing.aperture,
    }
}
