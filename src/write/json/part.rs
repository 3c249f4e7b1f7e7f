//! The report of one plan of a drawing that holds several: the drawing's own, with what belongs to the others left out.

use serde_json::{Map, Value, json};

use super::{Scale, cut_list, findings, lines, top};
use crate::note::Note;
use crate::plan::{LightId, MemberId, RoomId, RowId};
use crate::report::Report;

/// The report of the plan with that number, counted from 0, under the schema of the whole. Ids are the whole's, and so
/// are readings, notes, unclaimed entities and counts. A plan that is not there gives the whole.
pub fn part(report: &Report, part: usize) -> String {
    let mut top = top(report);
    let Some(share) = report.shares.each.get(part) else {
        return lines(&top);
    };
    top.insert("plan".into(), json!(report.part_name(part)));
    keep(&mut top, "plans", |i| i == part);
    keep(&mut top, "luminaires", |i| share.lights.contains(&LightId(i)));
    keep(&mut top, "members", |i| share.members.contains(&MemberId(i)));
    keep(&mut top, "callouts", |i| share.callouts.contains(&i));
    keep(&mut top, "rooms", |i| share.rooms.contains(&RoomId(i)));
    keep(&mut top, "openings", |i| {
        let opening = report.plan.openings.get(i);
        let sides = opening.into_iter().flat_map(|o| [o.left, o.right]).flatten();
        sides.into_iter().any(|r| share.rooms.contains(&r))
    });
    keep(&mut top, "rows", |i| share.rows.contains(&RowId(i)));
    keep(&mut top, "obstacles", |i| share.obstacles.contains(&i));
    let scale = Scale(report.plan.units.inches_per_unit);
    top.insert("findings".into(), findings(&share.findings, scale));
    let remedies = &report.remedies;
    keep(&mut top, "remedies", |i| {
        (remedies.get(i)).is_some_and(|r| share.remedies.contains(&r.id))
    });
    keep(&mut top, "phases", |i| share.phases.contains(&i));
    if let (Some(Value::Object(applied)), Some(settled)) = (top.get_mut("applied"), &report.applied) {
        keep(applied, "moved", |i| {
            (settled.moved.get(i)).is_some_and(|m| share.lights.contains(&m.light))
        });
        keep(applied, "left", |i| {
            (settled.left.get(i)).is_some_and(|l| share.lights.contains(&l.light))
        });
        keep(applied, "mended", |i| {
            (settled.mended.get(i)).is_some_and(|f| share.has(*f))
        });
    }
    top.insert("cut_list".into(), cut_list(&share.cut_list));
    // A row that reaches into another plan is of none, and not here.
    let own: Vec<Value> = share.rows.iter().map(|w| json!(w)).collect();
    for light in top
        .get_mut("luminaires")
        .and_then(Value::as_array_mut)
        .into_iter()
        .flatten()
    {
        if let Some(Value::Array(rows)) = light.get_mut("rows") {
            rows.retain(|w| own.contains(w));
        }
    }
    if let Some(Value::Array(notes)) = top.get_mut("notes") {
        let message = format!(
            "plan {} of {} in {}, by itself: ids, readings, notes, unclaimed and counts are those of the whole drawing",
            part + 1,
            report.parts.len(),
            report.name
        );
        notes.insert(0, json!(Note::info("plan-by-itself", message)));
    }
    lines(&top)
}

/// Keeps items of a list by their places.
fn keep(top: &mut Map<String, Value>, key: &str, kept: impl Fn(usize) -> bool) {
    if let Some(Value::Array(items)) = top.get_mut(key) {
        let mut places = 0..;
        items.retain(|_| places.next().is_some_and(&kept));
    }
}
