//! The spacing rule, which `wide-gap` and `wall-gap` share.

use super::work::Work;
use crate::plan::{LightId, RoomId};

/// Height of the work plane above the floor, where a spacing criterion is given: 30 in (the
/// usual one for rooms; from memory of the IES handbook).
pub const WORK_PLANE: f64 = 30.0;

/// Greatest spacing for a light, inches: as many feet as the aperture has inches (common
/// practice), or the spacing criterion times the height above the work plane, where both that
/// and the ceiling are known.
pub fn greatest(work: &Work<'_>, light: LightId, room: Option<RoomId>) -> Option<f64> {
    let spacing = &work.rules.spacing;
    let height = room
        .and_then(|r| work.plan.rooms.get(r.0)?.ceiling)
        .map(|c| c - WORK_PLANE)
        .filter(|h| *h > 0.0);
    match (spacing.criterion, height) {
        (Some(criterion), Some(height)) => Some(criterion * height),
        _ => Some(12.0 * spacing.feet_per_inch * work.housing(light)?.aperture),
    }
}
