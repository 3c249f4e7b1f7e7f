//! What stands beside the plan, as plain data: summary, numbered list, strips, legend, cautions.

use std::collections::{BTreeMap, BTreeSet};

use super::frame::Frame;
use super::{Layer, ListEntry, Mark, Page, Panel, Strip, badge};
use crate::check::{Finding, Severity};
use crate::geom::finite;
use crate::length::{feet_inches, inches_only};
use crate::plan::{FindingId, LightId, Plan, RemedyId, RowId};
use crate::remedy::cutlist::cut_list;
use crate::remedy::{Action, Remedy};
use crate::rules::Rules;

/// Said on every sheet, by trade custom and so that nobody builds on more than is known.
pub const CAUTIONS: [&str; 5] = [
    "Local code and the inspector govern. A licensed electrician answers for the work.",
    "Never cut, notch or bore a truss, I-joist or engineered member without its designer.",
    "Power off and tested before any work.",
    "Nothing here is a structural design.",
    "Checked from the drawing, not from the ceiling: measure the framing before cutting.",
];

pub fn panel(
    plan: &Plan,
    findings: &[Finding],
    remedies: &[Remedy],
    rules: &Rules,
    frame: &Frame,
    marks: &[Mark],
) -> Panel {
    Panel {
        summary: summary(plan, findings, frame),
        list: list(findings, remedies),
        blocking: blocking(remedies),
        strips: strips(plan, rules),
        legend: legend(marks),
        cautions: CAUTIONS.map(String::from).to_vec(),
        page: Page::default(),
    }
}

/// `1 light`, `2 lights`.
fn count(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

fn summary(plan: &Plan, findings: &[Finding], frame: &Frame) -> Vec<String> {
    let of = |s: Severity| findings.iter().filter(|f| f.severity == s).count();
    let mut lines = vec![
        if findings.is_empty() {
            "Nothing found that the checks object to.".to_string()
        } else {
            format!(
                "{} must, {} should, {}",
                of(Severity::Must),
                of(Severity::Should),
                count(of(Severity::Note), "note", "notes")
            )
        },
        format!(
            "{} in {}, {}, {}",
            count(
                plan.lights.iter().filter(|l| finite(l.at)).count(),
                "light",
                "lights"
            ),
            count(
                plan.rows.iter().filter(|r| !r.lights.is_empty()).count(),
                "row",
                "rows"
            ),
            count(
                plan.rooms.iter().filter(|r| !r.outline.is_empty()).count(),
                "room",
                "rooms"
            ),
            count(
                plan.members.iter().filter(|m| finite(m.from)).count(),
                "member",
                "members"
            )
        ),
    ];
    if !plan.lights.is_empty() && plan.members.is_empty() {
        lines.push(match plan.callouts.is_empty() {
            true => "No framing is known here: nothing that depends on it was checked.".into(),
            false => {
                "Framing is only written of here: what depends on where it stands was not checked.".into()
            }
        });
    }
    if !plan.units.name.is_empty() {
        lines.push(format!(
            "Unit of the drawing: {} ({})",
            plan.units.name, plan.units.why
        ));
    }
    if plan.counts.dropped > 0 {
        lines.push(format!(
            "{} of the drawing could not be used; the report says which.",
            count(plan.counts.dropped, "entity", "entities")
        ));
    }
    if frame.cut {
        lines.push("Drawing far from the lights is not shown here; the redline DXF has all of it.".into());
    }
    lines
}

fn list(findings: &[Finding], remedies: &[Remedy]) -> Vec<ListEntry> {
    let mut order: Vec<&Finding> = findings.iter().collect();
    order.sort_by_key(|f| (std::cmp::Reverse(f.severity), f.id));
    let mut told: BTreeMap<RemedyId, FindingId> = BTreeMap::new();
    order
        .into_iter()
        .map(|f| {
            let said: Vec<String> = remedies
                .iter()
                .filter(|r| r.mends.contains(&f.id) || f.remedies.contains(&r.id))
                .map(|r| {
                    // One remedy may mend forty findings; it is told in full once.
                    let first = *told.entry(r.id).or_insert(f.id);
                    match &r.action {
                        _ if first != f.id => format!("{}: see {first}.", r.id),
                        Action::None { why } => format!("{}: no clean remedy; {why}", r.id),
                        _ => format!("{}: {}", r.id, r.message),
                    }
                })
                .collect();
            ListEntry {
                id: f.id.to_string(),
                layer: badge::layer(f.severity),
                text: f.message.clone(),
                remedy: (!said.is_empty()).then(|| said.join(" ")),
            }
        })
        .collect()
}

/// Each cut with the lights it serves, then the order.
fn blocking(remedies: &[Remedy]) -> Vec<String> {
    let cut_list = cut_list(remedies);
    let mut lines: Vec<String> = cut_list
        .cuts
        .iter()
        .map(|c| {
            // Neighbours may share a piece.
            let lights: BTreeSet<LightId> = c.serves.iter().flat_map(|s| &s.lights).copied().collect();
            let lights: Vec<String> = lights.iter().map(ToString::to_string).collect();
            format!(
                "{} × {} for {}",
                c.count,
                feet_inches(c.length),
                lights.join(", ")
            )
        })
        .collect();
    lines.extend(cut_list.told().map(|told| format!("Two-by lumber, {told}.")));
    lines
}

fn strips(plan: &Plan, rules: &Rules) -> Vec<Strip> {
    let tolerance = rules.tolerance.across;
    let rows = plan.rows.iter().enumerate();
    rows.filter(|(_, row)| !row.lights.is_empty())
        .map(|(i, row)| {
            let points: Vec<(String, f64, f64, bool)> = row
                .lights
                .iter()
                .zip(row.stations.iter().zip(&row.offsets))
                .filter(|(_, (s, o))| s.is_finite() && o.is_finite())
                .map(|(id, (s, o))| (LightId(id.0).to_string(), *s, *o, o.abs() > tolerance + 1e-9))
                .collect();
            let room = row
                .room
                .and_then(|r| plan.rooms.get(r.0))
                .and_then(|r| r.name.clone());
            let mut title = count(row.lights.len(), "light", "lights");
            if let Some(room) = room {
                title = format!("{room}, {title}");
            }
            if row.pitch.is_finite() && row.pitch > 0.0 {
                title = format!("{title}, pitch {}", feet_inches(row.pitch));
            }
            title = format!("{title}, straight within ±{}", inches_only(tolerance));
            let out = points.iter().filter(|p| p.3).count();
            if out > 0 {
                title = format!("{title} but for {out}");
            }
            Strip {
                row: RowId(i).to_string(),
                title,
                tolerance,
                points,
            }
        })
        .collect()
}

/// A line for every layer that has a mark, and for nothing else.
fn legend(marks: &[Mark]) -> Vec<(Layer, String)> {
    let used: BTreeSet<Layer> = marks.iter().map(|m| m.layer).collect();
    used.into_iter().map(|l| (l, meaning(l).to_string())).collect()
}

pub fn meaning(layer: Layer) -> &'static str {
    match layer {
        Layer::Architect => "The architect's drawing, as received",
        Layer::Room => "Room",
        Layer::Member => "Framing member, true thickness; heavier: beam or header",
        Layer::Light => "Light: the opening to cut, true size, and its centre",
        Layer::JunctionBox => "Side on which the junction box goes",
        Layer::RowLine => "Line of a row (W1, W2, …)",
        Layer::Deviation => {
            "Light off its line: which way to move it and the true distance; arrow not to scale"
        }
        Layer::Must => "Must be put right before rough-in; heavy ring at the light",
        Layer::Should => "Should be put right; ring at the light",
        Layer::Note => "Worth knowing",
        Layer::Blocking => "Blocking to add, true size, with its cut length",
        Layer::Move => {
            "Light to move: old place to new, how far, and by tape from member's face and wall; short arrows not to scale"
        }
        Layer::Label => "Name of a light (L1, L2, …)",
        Layer::Wall => "Wall, as drawn",
        Layer::Device => "Device in the ceiling",
        Layer::Lighting => "On a light layer, but no recessed light",
        Layer::Ignored => "Ignored by its name",
        Layer::Unclaimed => "Taken for nothing: look here first",
    }
}
