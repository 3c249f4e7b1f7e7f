//! A sheet for each plan of a drawing that holds several, with that plan alone on it.
//!
//! Ids are places in the plan's lists, and stay what they are on the drawing's own sheet and in its report. So what
//! belongs to another plan keeps its place, but has no point to be drawn at.

use geo::Coord;

use super::{Sheet, sheet_with};
use crate::plan::{LightId, Linework, MemberId, Plan, RoomId, RowId};
use crate::recognise::plans::{Part, home};
use crate::remedy::Remedy;
use crate::remedy::facing::Facing;
use crate::report::share::{Share, Shares};
use crate::rules::Rules;

/// Nowhere.
const NONE: Coord = Coord {
    x: f64::NAN,
    y: f64::NAN,
};

/// The sheets of all plans of a drawing, in their order. `remarks` stand on each, `phases` (a sentence for each room whose framing
/// is only written of) on that of their plan.
pub fn parts(
    title: &str,
    plan: &Plan,
    (parts, shares): (&[Part], &Shares),
    remedies: &[Remedy],
    facings: &[Facing],
    rules: &Rules,
    (remarks, phases): (&[String], &[String]),
) -> Vec<Sheet> {
    let numbered = parts.iter().zip(&shares.each).enumerate();
    numbered
        .map(|(i, (part, share))| {
            let remedies: Vec<Remedy> = (remedies.iter())
                .filter(|r| share.remedies.contains(&r.id))
                .cloned()
                .collect();
            let alone = alone(plan, share, &|p| home(parts, p) == Some(i));
            let own = phases
                .iter()
                .enumerate()
                .filter(|(k, _)| share.phases.contains(k));
            let remarks: Vec<String> = remarks.iter().chain(own.map(|(_, said)| said)).cloned().collect();
            let heading = part.name(i, parts.len(), title);
            sheet_with(
                &heading,
                &alone,
                &share.findings,
                &remedies,
                facings,
                rules,
                &remarks,
            )
        })
        .collect()
}

/// The plan with all that is not of the share put nowhere.
fn alone(plan: &Plan, share: &Share, mine: &dyn Fn(Coord) -> bool) -> Plan {
    let mut plan = plan.clone();
    for (i, light) in plan.lights.iter_mut().enumerate() {
        if !share.lights.contains(&LightId(i)) {
            light.at = NONE;
        }
    }
    for (i, member) in plan.members.iter_mut().enumerate() {
        if !share.members.contains(&MemberId(i)) {
            (member.from, member.to) = (NONE, NONE);
        }
    }
    for (i, room) in plan.rooms.iter_mut().enumerate() {
        if !share.rooms.contains(&RoomId(i)) {
            room.outline.clear();
            room.name = None;
        }
    }
    for (i, row) in plan.rows.iter_mut().enumerate() {
        if !share.rows.contains(&RowId(i)) {
            (row.from, row.to) = (NONE, NONE);
            row.lights.clear();
            row.stations.clear();
            row.offsets.clear();
            row.along.clear();
        }
    }
    let mut obstacles = 0..;
    (plan.obstacles).retain(|_| obstacles.next().is_some_and(|i| share.obstacles.contains(&i)));
    plan.walls.retain(|w| mine((w.0 + w.1) * 0.5));
    plan.linework.retain(|l| match l {
        Linework::Path { points, .. } => points.first().is_some_and(|&p| mine(p)),
        Linework::Text { at, .. } => mine(*at),
    });
    plan
}
