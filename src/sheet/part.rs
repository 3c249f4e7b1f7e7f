//! A sheet for each plan of a drawing that holds several, with that plan alone on it.
//!
//! Ids are places in the plan's lists, and stay what they are on the drawing's own sheet and in its report. So what
//! belongs to another plan keeps its place, but has no point to be drawn at.

use geo::Coord;

use super::{Sheet, sheet_with};
use crate::check::Finding;
use crate::geom::finite;
use crate::plan::{LightId, Linework, Plan};
use crate::recognise::plans::{Part, nearest};
use crate::remedy::Remedy;
use crate::rules::Rules;

/// Nowhere.
const NONE: Coord = Coord {
    x: f64::NAN,
    y: f64::NAN,
};

/// The sheets of all plans of a drawing, in their order.
pub fn parts(
    title: &str,
    plan: &Plan,
    parts: &[Part],
    findings: &[Finding],
    remedies: &[Remedy],
    rules: &Rules,
    remarks: &[String],
) -> Vec<Sheet> {
    let numbered = parts.iter().enumerate();
    numbered
        .map(|(i, part)| {
            let mine = |p: Coord| finite(p) && nearest(parts, p) == Some(i);
            let findings: Vec<Finding> = findings.iter().filter(|f| mine(f.at)).cloned().collect();
            let of_mine = |r: &&Remedy| r.mends.iter().any(|id| findings.iter().any(|f| f.id == *id));
            let found = |r: &&Remedy| findings.iter().any(|f| f.remedies.contains(&r.id));
            let remedies: Vec<Remedy> = (remedies.iter())
                .filter(|r| of_mine(r) || found(r))
                .cloned()
                .collect();
            let name = match &part.title {
                Some((_, words)) => words.clone(),
                None => format!("plan {} of {}", i + 1, parts.len()),
            };
            let alone = alone(plan, part, &mine);
            let heading = format!("{name}, {title}");
            sheet_with(&heading, &alone, &findings, &remedies, rules, remarks)
        })
        .collect()
}

/// The plan with all that is not of the part put nowhere.
fn alone(plan: &Plan, part: &Part, mine: &dyn Fn(Coord) -> bool) -> Plan {
    let mut plan = plan.clone();
    let kept = |l: &LightId| part.lights.contains(l);
    for (i, light) in plan.lights.iter_mut().enumerate() {
        if !kept(&LightId(i)) {
            light.at = NONE;
        }
    }
    for member in &mut plan.members {
        if !mine((member.from + member.to) * 0.5) {
            (member.from, member.to) = (NONE, NONE);
        }
    }
    for room in &mut plan.rooms {
        let count = room.outline.len().max(1) as f64;
        let middle = room.outline.iter().fold(Coord::zero(), |sum, &p| sum + p) / count;
        if !mine(middle) {
            room.outline.clear();
            room.name = None;
        }
    }
    for row in &mut plan.rows {
        if !row.lights.iter().all(kept) {
            (row.from, row.to) = (NONE, NONE);
            row.lights.clear();
            row.stations.clear();
            row.offsets.clear();
            row.along.clear();
        }
    }
    plan.walls.retain(|w| mine((w.0 + w.1) * 0.5));
    plan.obstacles
        .retain(|o| o.outline.first().is_some_and(|&p| mine(p)));
    plan.linework.retain(|l| match l {
        Linework::Path { points, .. } => points.first().is_some_and(|&p| mine(p)),
        Linework::Text { at, .. } => mine(*at),
    });
    plan
}
